//! Long work: import, drafting the next block, backup.

use crate::companion::PlinthCompanion;
use crate::error::PlinthError;
use crate::listener::{Listener, Told};
use crate::outcome::Outcome;
use crate::task::LongTask;
use plinth_core::companion::read_import;
use plinth_core::moment::Moment;
use plinth_core::plan::search::Effort;
use serde::{Deserialize, Serialize};
use std::path::Path;
use std::sync::Arc;

/// The form of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, uniffi::Enum)]
#[serde(rename_all = "snake_case")]
pub enum FileForm {
    /// The whole record.
    Json,
    /// Its sets.
    Csv,
}

#[uniffi::export]
impl PlinthCompanion {
    /// Imports a file: every good entry, or nothing where it is called off. Other calls wait until it is over.
    ///
    /// # Errors
    /// The system has no thread left; all else comes as the outcome.
    pub fn import(
        self: Arc<Self>,
        from: String,
        form: FileForm,
        moment: Moment,
        listener: Arc<dyn Listener>,
    ) -> Result<Arc<LongTask>, PlinthError> {
        self.begin(listener, move |c, task| {
            let done = read_import(Path::new(&from)).map_err(PlinthError::from).and_then(|bytes| {
                c.held.with("import", &moment, |inner| match form {
                    FileForm::Json => inner.import_json_while(&bytes, &moment, &mut |n| task.go_on(n, None)),
                    FileForm::Csv => inner.import_csv_while(&bytes, &moment, &mut |n| task.go_on(n, None)),
                })
            });
            Outcome::of(done, Outcome::imported)
        })
    }

    /// Drafts the next block. Other calls go on meanwhile; calling it off gives the best programme so far.
    ///
    /// # Errors
    /// As [`Self::import`].
    pub fn draft(
        self: Arc<Self>,
        thorough: bool,
        moment: Moment,
        listener: Arc<dyn Listener>,
    ) -> Result<Arc<LongTask>, PlinthError> {
        self.begin(listener, move |c, task| {
            let draft = c.held.with("draft", &moment, |inner| inner.draft(&moment));
            let effort = if thorough { Effort::FULL } else { Effort::QUICK };
            Outcome::of(draft, |draft| {
                let block = draft.solve(effort, &mut |p| task.go_on(p.spent, Some(p.of)));
                Outcome::drafted(&block, task.called_off())
            })
        })
    }

    /// Copies the record to a file that is whole or not there. Other calls wait until it is over.
    ///
    /// # Errors
    /// As [`Self::import`].
    pub fn backup(
        self: Arc<Self>,
        to: String,
        moment: Moment,
        listener: Arc<dyn Listener>,
    ) -> Result<Arc<LongTask>, PlinthError> {
        self.begin(listener, move |c, task| {
            let done = c.held.with("backup", &moment, |inner| {
                inner.backup_while(Path::new(&to), &mut |done, of| task.go_on(done, Some(of)))
            });
            Outcome::of(done, |()| Outcome::BackedUp)
        })
    }
}

impl PlinthCompanion {
    fn begin(
        self: Arc<Self>,
        listener: Arc<dyn Listener>,
        work: impl FnOnce(&Self, &LongTask) -> Outcome + Send + 'static,
    ) -> Result<Arc<LongTask>, PlinthError> {
        let companion = Arc::clone(&self);
        let task = LongTask::begin(Told(Some(listener)), move |task| work(&companion, task))?;
        self.tasks.add(&task);
        Ok(task)
    }
}
