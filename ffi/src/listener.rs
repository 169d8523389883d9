//! What a shell is told without having asked. It is never told while a lock is held, and what it throws is caught.

use crate::outcome::Outcome;
use plinth_core::companion::Effect;
use serde::Serialize;
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// How far long work is.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct WorkProgress {
    /// What was done: entries, evaluations or pages.
    pub done: u64,
    /// In all, where that is known.
    pub of: Option<u64>,
}

/// A line for a log. It says what happened and nothing of what the record holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Enum)]
#[serde(tag = "line", rename_all = "snake_case")]
pub enum LogLine {
    /// The record was opened.
    Opened {
        /// Entries recovered from a damaged file.
        recovered: u64,
        /// Entries that could not be.
        lost: u64,
    },
    /// The file was released until the next call.
    Paused,
    /// It was shut down.
    ShutDown,
    /// A mistake in Plinth ended a call.
    Defect {
        /// Which call.
        call: String,
    },
}

/// A listener threw; it is told the next time all the same.
#[derive(Debug, uniffi::Error)]
pub enum ListenerFault {
    /// It threw.
    Threw,
}

impl fmt::Display for ListenerFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the listener threw")
    }
}

impl std::error::Error for ListenerFault {}

impl From<uniffi::UnexpectedUniFFICallbackError> for ListenerFault {
    fn from(_: uniffi::UnexpectedUniFFICallbackError) -> Self {
        Self::Threw
    }
}

/// Whoever listens. Every method may be called from any thread, and may call the companion.
#[uniffi::export(with_foreign)]
pub trait Listener: Send + Sync {
    /// Effects that no call returned: those of long work.
    ///
    /// # Errors
    /// It threw; nobody is told.
    fn effects(&self, effects: Vec<Effect>) -> Result<(), ListenerFault>;
    /// Long work went on.
    ///
    /// # Errors
    /// It threw; nobody is told.
    fn progress(&self, progress: WorkProgress) -> Result<(), ListenerFault>;
    /// Long work ended; nothing more is told of it.
    ///
    /// # Errors
    /// It threw; nobody is told.
    fn finished(&self, outcome: Outcome) -> Result<(), ListenerFault>;
    /// A line for the log.
    ///
    /// # Errors
    /// It threw; nobody is told.
    fn line(&self, line: LogLine) -> Result<(), ListenerFault>;
}

/// Tells a listener, and survives it.
#[derive(Clone)]
pub(crate) struct Told(pub(crate) Option<Arc<dyn Listener>>);

impl Told {
    pub(crate) fn tell(&self, what: impl FnOnce(&dyn Listener) -> Result<(), ListenerFault>) {
        if let Some(listener) = &self.0 {
            // Whether it threw or panicked is its own matter.
            let _ = catch_unwind(AssertUnwindSafe(|| what(&**listener)));
        }
    }

    /// An end, and what the platform is to do after it.
    pub(crate) fn outcome(&self, outcome: Outcome) {
        if matches!(&outcome, Outcome::Imported { imported } if imported.changed > 0) {
            self.tell(|l| l.effects(vec![Effect::AskForSync]));
        }
        self.tell(|l| l.finished(outcome));
    }

    pub(crate) fn lines(&self, lines: Vec<LogLine>) {
        for line in lines {
            self.tell(|l| l.line(line));
        }
    }
}
