//! What nobody presses: every event as text, faults, files.

use super::press::{begins, open};
use super::{Call, Runner, line};
use crate::Data;
use plinth_core::floor::Event;
use plinth_core::page::{Deed, PageEvent, Place, Spot};
use plinth_core::words::Language;
use plinth_ffi::FileForm;
use serde::de::DeserializeOwned;

pub(super) fn lines(calls: impl IntoIterator<Item = Call>) -> Result<Vec<String>, String> {
    let mut runner = Runner::default();
    calls.into_iter().map(|call| line(&call, &runner.make(&call))).collect()
}

/// Every event there is: with the fields that it has, and with values at their edges.
pub(super) fn every_event() -> Result<Vec<String>, String> {
    let texts = include_str!("events.txt").lines().filter(|l| !l.is_empty());
    let calls: Vec<Call> = texts.map(|t| Call::ReadEvent { text: t.to_owned() }).collect();
    let has = |name: &str| {
        let quoted = format!("\"{name}\"");
        calls.iter().any(|c| matches!(c, Call::ReadEvent { text } if text.contains(&quoted)))
    };
    let known = [
        variants::<Event>("event"),
        variants::<PageEvent>("page"),
        variants::<Spot>("spot"),
        variants::<Deed>("deed"),
    ];
    if let Some(missing) = known.iter().flatten().find(|name| !has(name)) {
        return Err(format!("events.txt has nothing of {missing}"));
    }
    lines(calls)
}

/// The names that a reader of tagged JSON knows: it lists them when it meets another.
fn variants<T: DeserializeOwned>(tag: &str) -> Vec<String> {
    let fault = serde_json::from_str::<T>(&format!("{{\"{tag}\":\"\"}}")).err();
    let listed = fault.map(|e| e.to_string()).unwrap_or_default();
    listed.split('`').skip(3).step_by(2).map(ToOwned::to_owned).collect()
}

/// What is refused, and that the next call works.
pub(super) fn faults() -> Result<Vec<String>, String> {
    let at = begins();
    let en = Language::English;
    let with = |file: &str, defect_after| Call::Open {
        at: at.clone(),
        language: en,
        seed: 9,
        file: file.into(),
        defect_after,
    };
    let begin = |event: Event| Call::Dispatch { at: at.clone(), event: event.into() };
    let screen = || Call::Screen { at: at.clone() };
    lines([
        with("missing/record.plinth", None),
        with("record.plinth", Some(1)),
        Call::TellBrief { at: at.clone(), document: "{".into() },
        Call::TellBrief { at: at.clone(), document: "{\"days\":9}".into() },
        Call::TakeOn { at: at.clone(), document: "[]".into(), from: "own".into() },
        begin(Event::Begin),
        begin(Event::Company { company: plinth_core::floor::Company::Spotted }),
        begin(Event::Begin),
        begin(Event::Begin),
        begin(Event::Dial),
        screen(),
        Call::Log,
        Call::Pause,
        Call::Pause,
        screen(),
        Call::ShutDown,
        Call::ShutDown,
        screen(),
        Call::Log,
        Call::ReadEvent { text: String::new() },
        Call::ReadEvent { text: "{\"event\":\"dance\"}".into() },
        Call::ReadEvent { text: "{\"event\":\"load\",\"load\":\"80 stone\"}".into() },
        Call::ReadEvent { text: "{\"event\":\"amount\",\"amount\":-1}".into() },
    ])
}

/// Files in and out, and a draft.
pub(super) fn files(data: &Data) -> Result<Vec<String>, String> {
    let at = begins();
    let import = |document: &str, form| Call::Import { at: at.clone(), document: document.to_owned(), form };
    let page = |event: PageEvent| Call::Dispatch { at: at.clone(), event: event.into() };
    let brief = serde_json::to_string(&data.gym()).map_err(|e| e.to_string())?;
    lines([
        open(&at, Language::German, 4),
        import("", FileForm::Json),
        import("[]", FileForm::Json),
        import(include_str!("import.json"), FileForm::Json),
        import(include_str!("gym.json"), FileForm::Json),
        import(include_str!("import.csv"), FileForm::Csv),
        Call::Findings { at: at.clone() },
        page(PageEvent::Place { place: Place::Findings }),
        page(PageEvent::Open { spot: Spot::FindingsOf { movement: "barbell_back_squat".into() } }),
        Call::Backup { at: at.clone() },
        Call::Digest { at: at.clone() },
        Call::TellBrief { at: at.clone(), document: brief },
        Call::Draft { at: at.clone() },
        Call::Log,
    ])
}
