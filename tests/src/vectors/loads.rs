//! Loads on a bar: what each is made of, in either unit, and what cannot be made.

use super::press::{begins, open};
use super::{Call, Gives, Runner, line};
use crate::Data;
use plinth_core::companion::{Event, Screen};
use plinth_core::floor;
use plinth_core::words::Language;
use plinth_ffi::FileForm;

/// Asked for at the bar. Competition discs and the pound's exact definition (0.45359237 kg, NIST SP 811, table B.8)
/// are checked where loads are made; here every language must show the same.
const WANTED: [&str; 24] = [
    "20 kg", "22.5 kg", "25 kg", "30 kg", "40 kg", "42.5 kg", "57.5 kg", "60 kg", "61.25 kg", "70 kg",
    "82.5 kg", "97.5 kg", "100 kg", "122.5 kg", "137.5 kg", "142.5 kg", "180 kg", "197.5 kg", "45 lb",
    "95 lb", "135 lb", "225 lb", "999 kg", "0.5 kg",
];

/// The ramp of a first line, then loads at its set.
pub(super) fn discs(data: &Data) -> Result<Vec<String>, String> {
    let mut at = begins();
    let mut runner = Runner::default();
    let mut lines = Vec::new();
    let mut make = |call: Call| {
        let gives = runner.make(&call);
        lines.push(line(&call, &gives)?);
        Ok::<Gives, String>(gives)
    };
    make(open(&at, Language::English, 8))?;
    let document = include_str!("gym.json").to_owned();
    make(Call::Import { at: at.clone(), document, form: FileForm::Json })?;
    let brief = data.gym();
    let text = |e: serde_json::Error| e.to_string();
    make(Call::TellBrief { at: at.clone(), document: serde_json::to_string(&brief).map_err(text)? })?;
    let document = serde_json::to_string(&data.publish(&brief)).map_err(text)?;
    make(Call::TakeOn { at: at.clone(), document, from: "own".into() })?;
    let mut event: Event = floor::Event::Company { company: floor::Company::Spotted }.into();
    for _ in 0..60 {
        at.wall_ms += 240_000;
        at.monotonic_ms += 240_000;
        let Gives::Update(update) = make(Call::Dispatch { at: at.clone(), event })? else { break };
        let Screen::Floor(screen) = update.screen else { break };
        if screen.set.as_ref().is_some_and(|s| s.discs.is_some()) && screen.stage == "lifting" {
            for load in WANTED {
                let load = Some(load.parse().map_err(|_| format!("{load} is no load"))?);
                make(Call::Dispatch { at: at.clone(), event: floor::Event::Load { load }.into() })?;
            }
            make(Call::Digest { at })?;
            return Ok(lines);
        }
        event = match screen.wide {
            Some(wide) => wide.event.into(),
            None => floor::Event::Begin.into(),
        };
    }
    Err(format!("loads: no set with discs came: {:.600}", lines.last().cloned().unwrap_or_default()))
}
