//! The one object that a shell holds.

use crate::error::PlinthError;
use crate::held::Held;
use crate::listener::{Listener, Told};
use crate::living::Living;
use crate::opening::{Opening, Rehearsal, Way};
use crate::task::Tasks;
use plinth_core::companion::{Event, Screen, Update};
use plinth_core::moment::Moment;
use plinth_core::words::Language;
use plinth_core::words::findings::{FindingsWords, Page};
use std::sync::Arc;

/// The companion of one record. Every call may come from any thread; calls wait for each other.
#[derive(uniffi::Object)]
pub struct PlinthCompanion {
    pub(crate) held: Held,
    pub(crate) tasks: Tasks,
    opening: Opening,
    _living: Living,
}

#[uniffi::export]
impl PlinthCompanion {
    /// Opens the record at `path`, or makes one, and restores the session that was open. `language` counts until the
    /// record has a setting of its own. `rehearsal` is for replays and tests.
    ///
    /// # Errors
    /// A newer, a stranger's or a busy file, which is left as it is; those of the disk.
    #[uniffi::constructor]
    pub fn open(
        path: String,
        language: Language,
        moment: &Moment,
        listener: Option<Arc<dyn Listener>>,
        rehearsal: Option<Rehearsal>,
    ) -> Result<Arc<Self>, PlinthError> {
        let held = Held::new(Way { path: path.into(), language, rehearsal }, Told(listener));
        let opening = held.open(moment)?;
        Ok(Arc::new(Self { held, tasks: Tasks::default(), opening, _living: Living::new() }))
    }

    /// What opening had to do.
    pub fn opening(&self) -> Opening {
        self.opening.clone()
    }

    /// Takes in an event. What it records is durable when this returns; where it cannot be written, nothing has
    /// happened.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn dispatch(&self, event: &Event, moment: &Moment) -> Result<Update, PlinthError> {
        self.held.with("dispatch", moment, |c| c.dispatch(event, moment))
    }

    /// The screen at a moment.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn screen(&self, moment: &Moment) -> Result<Screen, PlinthError> {
        self.held.with("screen", moment, |c| c.screen(moment))
    }

    /// What the log adds up to.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn findings(&self, moment: &Moment) -> Result<Page, PlinthError> {
        self.held.with("findings", moment, |c| {
            let found = c.findings(moment)?;
            Ok(FindingsWords { speech: c.speech(), catalogue: c.catalogue() }.page(&found))
        })
    }

    /// Ends long work, finishes what is being written, and lets go of the file: before the system suspends the app.
    /// The next call opens it again.
    pub fn pause(&self) {
        self.tasks.call_off();
        self.held.release(false);
    }

    /// As [`Self::pause`], for good: every later call says that it was shut down. Once more does nothing.
    pub fn shut_down(&self) {
        self.tasks.call_off();
        self.held.release(true);
    }
}
