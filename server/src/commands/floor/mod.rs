//! `plinth floor`: a session led in the terminal, or replayed from a file of events.

mod draw;
mod keys;
mod replay;

use crate::arguments::FloorArguments;
use crate::failure::Failure;
use crate::{input, moment};
use plinth_core::companion::{Companion, OpenedCompanion, Random};
use plinth_core::moment::Moment;
use plinth_core::plan::brief::LARGEST_BRIEF_BYTES;
use plinth_core::plan::programme::Programme;
use plinth_core::published;
use plinth_core::store::{repeatable_random, system_random};
use plinth_core::words::Speech;

pub(crate) fn run(speech: &Speech, a: &FloorArguments) -> Result<(), Failure> {
    let programme = input::read(&a.programme, published::LARGEST_BYTES)?;
    let given = published::open(&programme)?.programme;
    let brief = a.brief.as_deref().map(|path| input::read(path, LARGEST_BRIEF_BYTES)).transpose()?;
    let events = a.events.as_deref().map(replay::read).transpose()?;
    // A replay has a time of its own, from its first line on.
    let at = events.as_ref().and_then(|e| e.first()).map_or_else(moment::now, |e| e.at.clone());
    let random: Random = match a.seed {
        Some(seed) => Box::new(repeatable_random(seed)),
        None => Box::new(system_random),
    };
    let OpenedCompanion { mut companion, recovered, backup, unread } =
        Companion::open(&a.record, speech.language(), &at, random)?;
    if let Some(recovery) = &recovered {
        let lost = recovery.lost.len();
        let aside = recovery.aside.display().to_string();
        let args = [("kept", recovery.recovered.into()), ("lost", lost.into()), ("aside", (&aside).into())];
        eprintln!("{}", speech.say("floor-cli-recovered", &args));
    }
    if let Some(backup) = &backup {
        let to = backup.display().to_string();
        eprintln!("{}", speech.say("floor-cli-backup", &[("to", (&to).into())]));
    }
    for sentence in &unread {
        eprintln!("{}", speech.say("floor-cli-unread", &[("what", sentence.into())]));
    }
    begin(&mut companion, (&programme, &given), brief.as_deref(), &at)?;
    match events {
        Some(events) => replay::run(&mut companion, &events),
        None => keys::run(&mut companion, speech),
    }
}

/// Takes brief and programme into the record where they are not there yet.
fn begin(
    companion: &mut Companion,
    (programme, given): (&[u8], &Programme),
    brief: Option<&[u8]>,
    at: &Moment,
) -> Result<(), Failure> {
    if let Some(brief) = brief {
        let (told, _) = plinth_core::plan::brief::read_brief(brief, &input::catalogue()?)?;
        if !companion.brief_told() || *companion.brief() != told {
            companion.tell_brief(brief, at)?;
        }
    }
    if companion.programme().is_none_or(|(_, running, _)| running != given) {
        companion.take_on(programme, "own", at.local().date_naive(), at)?;
    }
    Ok(())
}
