//! What comes from a coach: a programme by file with what this phone changes in it, notes both ways, who looked.

use super::press::{begins, open};
use super::syncs::Talk;
use super::{Call, Gives};
use crate::Data;
use crate::meeting_point::MeetingPoint;
use plinth_core::companion::Screen;
use plinth_core::page::{Block, Deed, PageEvent, Place, Spot};
use plinth_core::published::signed::Key;
use plinth_core::sync::{AuditDeed, AuditLine};
use plinth_core::words::Language;
use plinth_ffi::FileForm;
use serde_json::Value;

const ADDRESS: &str = "https://192.168.1.20:8443";
/// A note of a coach, in a record that came.
const NOTE: &str = r#"{"form":"plinth.record/1","entries":[{"fields":{"by":{"stamp":"019ddc11c005-0000-0000000000000001","value":"coach"},"text":{"stamp":"019ddc11c005-0000-0000000000000001","value":"Keep \"two\" in reserve.\n\nNo more than that."},"written_at":{"stamp":"019ddc11c005-0000-0000000000000001","value":"2026-03-01T18:04:09.250+01:00"}},"id":"019ddc11-c005-7101-8101-000000000009","kind":"note"}]}"#;

/// The spot behind the first line of a page that opens one of these.
fn behind(gives: &Gives, wanted: impl Fn(&Spot) -> bool) -> Result<Spot, String> {
    let Gives::Update(update) = gives else { return Err(format!("no update: {gives:?}")) };
    let Screen::Page(page) = &update.screen else { return Err("no page".to_owned()) };
    let spots = page.blocks.iter().filter_map(|b| match b {
        Block::Line { button } => match &button.event {
            PageEvent::Open { spot } => Some(spot),
            _ => None,
        },
        _ => None,
    });
    spots.into_iter().find(|s| wanted(s)).cloned().ok_or_else(|| format!("nothing to open: {page:?}"))
}

pub(super) fn coached(data: &Data) -> Result<Vec<String>, String> {
    let text = |e: serde_json::Error| e.to_string();
    // On a Wednesday, so that the day is asked for.
    let mut at = begins();
    at.wall_ms += 2 * 86_400_000;
    let does = |event: PageEvent| Call::Dispatch { at: at.clone(), event: event.into() };
    let choose = |field: &str, value: &str| {
        does(PageEvent::Choose { field: field.to_owned(), value: value.to_owned() })
    };
    let act = |deed: Deed| does(PageEvent::Do { deed });
    let go = |place: Place| does(PageEvent::Place { place });
    let to = |spot: Spot| does(PageEvent::Open { spot });
    let receive = |document: &str| Call::Receive { at: at.clone(), document: document.to_owned() };
    let programme = data.publish(&data.gym());
    let Value::Object(map) = serde_json::to_value(&programme).map_err(text)? else {
        return Err("a programme is an object".to_owned());
    };
    let signed = |version: u32| {
        let made = Key::of(&[7; 32]).sign(map.clone(), "Coach M (invented)", version, "2026-03-01T10:00:00Z");
        made.map_err(|f| f.to_string()).and_then(|s| serde_json::to_string(&s).map_err(text))
    };
    let brief = serde_json::to_string(&data.brief(3)).map_err(text)?;
    let mut talk = Talk::default();
    for (seed, language) in [(16, Language::English), (17, Language::German)] {
        talk.make(&open(&at, language, seed))?;
        talk.make(&Call::TellBrief { at: at.clone(), document: brief.clone() })?;
        talk.make(&receive("{}"))?;
        talk.make(&receive(&signed(1)?.replace("Coach M", "Coach N")))?;
        talk.make(&receive(&signed(1)?))?;
        talk.make(&receive(&signed(1)?))?;
        talk.make(&choose("begins", "today"))?;
        talk.make(&choose("begins", "monday"))?;
        talk.make(&act(Deed::TakeOn))?;
        talk.make(&receive(&signed(2)?))?;
        talk.make(&act(Deed::Remove))?;
        talk.make(&act(Deed::Remove))?;
        let bare = serde_json::to_string(&map).map_err(text)?;
        talk.make(&receive(&bare))?;
        talk.make(&Call::Import { at: at.clone(), document: NOTE.to_owned(), form: FileForm::Json })?;
        let week = talk.make(&go(Place::Week))?;
        talk.make(&to(behind(&week, |s| matches!(s, Spot::Sent { .. }))?))?;
        talk.make(&to(Spot::Sent { id: "gone".into() }))?;
        talk.make(&go(Place::Locker))?;
        let notes = talk.make(&to(Spot::Notes))?;
        talk.make(&to(behind(&notes, |s| matches!(s, Spot::Note { .. }))?))?;
        talk.make(&act(Deed::Remove))?;
        talk.make(&act(Deed::Keep))?;
        talk.make(&choose("text", " "))?;
        let written = talk.make(&choose("text", "It went well."))?;
        talk.make(&to(behind(&written, |s| matches!(s, Spot::Note { .. }))?))?;
        talk.make(&act(Deed::Remove))?;
        talk.make(&act(Deed::Remove))?;
        talk.make(&to(Spot::Audit))?;
        talk.make(&Call::Paired {
            at: at.clone(),
            address: ADDRESS.to_owned(),
            status: 200,
            body: "{\"token\":\"token-of-the-vectors\",\"account\":\"anna\",\"role\":\"lifter\"}".to_owned(),
        })?;
        talk.make(&go(Place::Locker))?;
        talk.make(&to(Spot::Notes))?;
        talk.make(&choose("text", "And again."))?;
        let mut server = MeetingPoint::new("0123456789abcdef", at.wall_ms);
        let line = |number: u64, deed: AuditDeed, what: &str, times: u64| AuditLine {
            number,
            who: if deed == AuditDeed::Paired { "anna".to_owned() } else { "mara".to_owned() },
            deed,
            what: vec![what.to_owned()],
            from_ms: at.wall_ms - 60_000,
            until_ms: at.wall_ms - 30_000,
            times,
        };
        server.audit = vec![
            line(1, AuditDeed::Paired, "A phone", 1),
            line(2, AuditDeed::Read, "log", 3),
            line(3, AuditDeed::Wrote, "note", 1),
            line(4, AuditDeed::Other("sung".to_owned()), "log", 1),
        ];
        talk.sync(&mut server)?;
        talk.make(&go(Place::Locker))?;
        talk.make(&to(Spot::Grants))?;
        talk.make(&to(Spot::Audit))?;
        talk.make(&Call::Digest { at: at.clone() })?;
    }
    Ok(talk.lines)
}
