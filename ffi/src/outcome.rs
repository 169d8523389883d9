//! How long work ends.

use crate::error::PlinthError;
use plinth_core::companion::NextBlock;
use plinth_core::store;
use serde::Serialize;

/// How long work ended.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Enum)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub enum Outcome {
    /// Entries were imported.
    Imported {
        /// What was done.
        imported: Imported,
    },
    /// A programme was drafted; nothing is written until it is taken on.
    Drafted {
        /// The programme, a JSON document.
        programme: String,
        /// It was called off, and this is the best until then.
        called_off: bool,
    },
    /// The copy is whole.
    BackedUp,
    /// It was called off, and nothing was changed.
    CalledOff,
    /// It could not be done.
    Failed {
        /// Why.
        error: PlinthError,
    },
}

/// What an import did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct Imported {
    /// Entries that were good, new here or not.
    pub taken: u64,
    /// Those that changed the record.
    pub changed: u64,
    /// Those that were not taken, in the order of the file.
    pub not_taken: Vec<NotTaken>,
}

/// An entry or row that an import did not take.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct NotTaken {
    /// The line on which it begins, counted from 1.
    pub line: u64,
    /// The entry's id, where it could be read.
    pub entry: Option<String>,
    /// The field at fault, where one is.
    pub field: Option<String>,
    /// A stable code.
    pub code: String,
    /// What is wrong.
    pub reason: String,
    /// What to do about it.
    pub remedy: String,
}

impl Outcome {
    /// Of what could fail or be called off.
    pub(crate) fn of<T>(done: Result<T, PlinthError>, well: impl FnOnce(T) -> Self) -> Self {
        match done {
            Ok(done) => well(done),
            Err(error) if error.code() == store::CALLED_OFF => Self::CalledOff,
            Err(error) => Self::Failed { error },
        }
    }

    pub(crate) fn imported(done: store::Imported) -> Self {
        let not_taken = done.refused.into_iter().map(|r| NotTaken {
            line: r.line,
            entry: r.entry,
            field: r.field,
            code: r.code.to_owned(),
            reason: r.reason,
            remedy: r.remedy,
        });
        let imported = Imported {
            taken: done.taken as u64,
            changed: done.changed as u64,
            not_taken: not_taken.collect(),
        };
        Self::Imported { imported }
    }

    pub(crate) fn drafted(block: &NextBlock, called_off: bool) -> Self {
        match serde_json::to_string(&block.answer.programme) {
            Ok(programme) => Self::Drafted { programme, called_off },
            Err(_) => Self::Failed { error: PlinthError::defect() },
        }
    }
}
