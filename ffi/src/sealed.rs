//! Sealed backups, made where one is due and opened with their words; and erasing.

use crate::companion::PlinthCompanion;
use crate::error::PlinthError;
use plinth_core::moment::Moment;
use serde::Serialize;
use std::path::Path;

/// What a restoring did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct Restored {
    /// Entries of the record that is here now.
    pub entries: u64,
    /// Where the record that it replaced lies.
    pub replaced: String,
}

#[uniffi::export]
impl PlinthCompanion {
    /// Writes the automatic backup, sealed, to a file that is whole or not there: where one is due, or with `now` also
    /// where none is. `false`: none is due or no key was made, and nothing was written.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn seal_backup(&self, to: &str, now: bool, moment: &Moment) -> Result<bool, PlinthError> {
        self.held.with("seal_backup", moment, |c| {
            let due = if now { c.backup_for_key() } else { c.backup_due(moment) };
            due.map(|due| c.make_backup(&due, Path::new(to), moment)).transpose().map(|made| made.is_some())
        })
    }

    /// Whether a key for sealed backups was made.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn has_backup_key(&self, moment: &Moment) -> Result<bool, PlinthError> {
        self.held.with("has_backup_key", moment, |c| Ok(c.backup_for_key().is_some()))
    }

    /// Opens a sealed backup with its 24 words and puts it in the record's place, which takes a new device identity.
    ///
    /// # Errors
    /// Words that are none or of another key, a backup that is not good; those of the disk. The record is as it was.
    pub fn restore(&self, from: &str, words: &str, moment: &Moment) -> Result<Restored, PlinthError> {
        let plain = self.held.with("restore", moment, |c| c.unseal(Path::new(from), words))?;
        self.held.exchange("restore", moment, |c| {
            let (companion, entries, replaced) = c.restore(plain.path(), moment)?;
            Ok((companion, Restored { entries, replaced: replaced.to_string_lossy().into_owned() }))
        })
    }

    /// Ends long work and erases the record for good; a new and empty one is begun in its place.
    ///
    /// # Errors
    /// Those of the disk; call it again.
    pub fn erase(&self, moment: &Moment) -> Result<(), PlinthError> {
        self.tasks.call_off();
        self.held.erase(moment)
    }
}
