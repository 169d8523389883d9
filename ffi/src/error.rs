//! The one public error.

use plinth_core::companion::{CompanionError, ErrorKind};
use serde::Serialize;
use std::fmt;

/// Why a call could not be done. Every kind says the same of itself: a stable code, the field at fault where there is
/// one, what is wrong, and the remedy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Error)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum PlinthError {
    /// What was given is not what it should be.
    Input {
        /// Stable, for programs.
        code: String,
        /// The field at fault.
        field: Option<String>,
        /// What is wrong.
        problem: String,
        /// What to do.
        remedy: String,
    },
    /// The record or the disk.
    Store {
        /// Stable, for programs.
        code: String,
        /// The field at fault.
        field: Option<String>,
        /// What is wrong.
        problem: String,
        /// What to do.
        remedy: String,
    },
    /// A mistake in Plinth itself; nothing that was answered before is lost.
    Defect {
        /// Stable, for programs.
        code: String,
        /// The field at fault.
        field: Option<String>,
        /// What is wrong.
        problem: String,
        /// What to do.
        remedy: String,
    },
}

impl PlinthError {
    /// After the shut-down.
    pub(crate) fn over() -> Self {
        Self::input("shut_down", None, "it was shut down", "open it again")
    }

    /// A panic inside a call.
    pub(crate) fn defect() -> Self {
        Self::Defect {
            code: "defect".into(),
            field: None,
            problem: "a mistake in Plinth ended the call".into(),
            remedy: "do it again; if it stays, report it".into(),
        }
    }

    /// The system gave no thread.
    pub(crate) fn no_thread() -> Self {
        Self::Store {
            code: "no_thread".into(),
            field: None,
            problem: "the system has no thread left".into(),
            remedy: "close other programs, then do it again".into(),
        }
    }

    /// Something that does not read.
    pub(crate) fn input(code: &str, field: Option<&str>, problem: &str, remedy: &str) -> Self {
        let field = field.map(ToOwned::to_owned);
        Self::Input { code: code.into(), field, problem: problem.into(), remedy: remedy.into() }
    }

    /// The code.
    pub(crate) fn code(&self) -> &str {
        let (Self::Input { code, .. } | Self::Store { code, .. } | Self::Defect { code, .. }) = self;
        code
    }
}

impl From<CompanionError> for PlinthError {
    fn from(e: CompanionError) -> Self {
        let CompanionError { kind, code, field, problem, remedy, .. } = e;
        match kind {
            ErrorKind::Input | ErrorKind::Safety => Self::Input { code, field, problem, remedy },
            ErrorKind::Store => Self::Store { code, field, problem, remedy },
            ErrorKind::Data => Self::Defect { code, field, problem, remedy },
        }
    }
}

impl fmt::Display for PlinthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (Self::Input { field, problem, remedy, .. }
        | Self::Store { field, problem, remedy, .. }
        | Self::Defect { field, problem, remedy, .. }) = self;
        let field = field.as_ref().map(|f| format!("{f}: ")).unwrap_or_default();
        write!(f, "{field}{problem}; {remedy}.")
    }
}

impl std::error::Error for PlinthError {}
