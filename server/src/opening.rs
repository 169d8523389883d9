//! Opens a record for a command.

use crate::failure::Failure;
use crate::moment;
use plinth_core::companion::{Companion, OpenedCompanion};
use plinth_core::moment::Moment;
use plinth_core::store::system_random;
use plinth_core::words::Speech;
use std::path::Path;

/// Opens the record and tells on standard error what had to be done for it.
pub(crate) fn open(speech: &Speech, path: &Path, at: &Moment) -> Result<Companion, Failure> {
    let OpenedCompanion { companion, recovered, backup, unread } =
        Companion::open(path, speech.language(), at, Box::new(system_random))?;
    if let Some(recovery) = &recovered {
        let aside = recovery.aside.display().to_string();
        let args = [
            ("kept", recovery.recovered.into()),
            ("lost", recovery.lost.len().into()),
            ("aside", (&aside).into()),
        ];
        eprintln!("{}", speech.say("floor-cli-recovered", &args));
    }
    if let Some(backup) = &backup {
        let to = backup.display().to_string();
        eprintln!("{}", speech.say("floor-cli-backup", &[("to", (&to).into())]));
    }
    for sentence in &unread {
        eprintln!("{}", speech.say("floor-cli-unread", &[("what", sentence.into())]));
    }
    Ok(companion)
}

/// As [`open`], for a record that must be there: a name mistyped makes no empty record.
pub(crate) fn open_existing(speech: &Speech, path: &Path) -> Result<(Companion, Moment), Failure> {
    if !path.is_file() {
        return Err(Failure::Input(format!(
            "RECORD: there is no record at {}; give the path of one, or make one with `plinth record begin`.",
            path.display()
        )));
    }
    let at = moment::now();
    Ok((open(speech, path, &at)?, at))
}
