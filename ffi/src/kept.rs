//! What the lifter gives to keep, and what goes out as files.

use crate::companion::PlinthCompanion;
use crate::error::PlinthError;
use crate::text::hexadecimal;
use crate::work::FileForm;
use plinth_core::companion::{CompanionError, Update};
use plinth_core::moment::Moment;
use plinth_core::store::StoreError;
use plinth_core::words::Language;
use std::fs::File;
use std::io::{BufWriter, Write};

#[uniffi::export]
impl PlinthCompanion {
    /// Keeps a brief, a JSON document.
    ///
    /// # Errors
    /// The first fault of the brief; those of the disk.
    pub fn tell_brief(&self, document: &str, moment: &Moment) -> Result<(), PlinthError> {
        self.held.with("tell_brief", moment, |c| c.tell_brief(document.as_bytes(), moment).map(drop))
    }

    /// Takes on a programme, a JSON document, from today; the one before it ends yesterday. `from` is `own` or the
    /// coach's name.
    ///
    /// # Errors
    /// The first fault of the programme; those of the disk.
    pub fn take_on(&self, document: &str, from: &str, moment: &Moment) -> Result<(), PlinthError> {
        let today = moment.local().date_naive();
        self.held.with("take_on", moment, |c| c.take_on(document.as_bytes(), from, today, moment).map(drop))
    }

    /// Takes in a programme that came as a file: bare, signed, or the texts of its pictures. It waits in the record, and
    /// its page says what it would become for this lifter.
    ///
    /// # Errors
    /// The first fault of the programme; those of the disk.
    pub fn receive(&self, document: &str, moment: &Moment) -> Result<Update, PlinthError> {
        self.held.with("receive", moment, |c| c.receive(document.as_bytes(), moment))
    }

    /// Leaves an ended session for the screen before the next.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn leave_ended(&self, moment: &Moment) -> Result<(), PlinthError> {
        self.held.with("leave_ended", moment, |c| c.leave_ended(moment))
    }

    /// The language that is spoken.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn language(&self, moment: &Moment) -> Result<Language, PlinthError> {
        self.held.with("language", moment, |c| Ok(c.language()))
    }

    /// Makes the key of the automatic backups. Its 24 words are shown once and kept nowhere.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn make_backup_key(&self, moment: &Moment) -> Result<String, PlinthError> {
        self.held.with("make_backup_key", moment, |c| c.make_backup_key(moment))
    }

    /// Writes the whole record, or its sets as CSV, to a file, and says how many entries.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn export(&self, to: &str, form: FileForm, moment: &Moment) -> Result<u64, PlinthError> {
        let disk = |e: std::io::Error| CompanionError::from(StoreError::from(e));
        self.held.with("export", moment, |c| {
            let mut out = BufWriter::new(File::create(to).map_err(disk)?);
            let entries = match form {
                FileForm::Json => c.export_json(&mut out)?,
                FileForm::Csv => c.export_csv(&mut out)?,
            };
            out.flush().and_then(|()| out.get_ref().sync_all()).map_err(disk)?;
            Ok(entries)
        })
    }

    /// Writes the programme that runs to a file, a JSON document that [`Self::take_on`] reads. `false`: none runs, and
    /// nothing was written.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn export_programme(&self, to: &str, moment: &Moment) -> Result<bool, PlinthError> {
        self.held.with("export_programme", moment, |c| {
            let Some(document) = c.programme_json()? else { return Ok(false) };
            std::fs::write(to, document).map_err(|e| CompanionError::from(StoreError::from(e)))?;
            Ok(true)
        })
    }

    /// SHA-256 of the record, in hexadecimal digits: equal when two records are equal.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn digest(&self, moment: &Moment) -> Result<String, PlinthError> {
        self.held.with("digest", moment, |c| {
            let digest = c.store().digest()?;
            Ok(hexadecimal(&digest))
        })
    }
}
