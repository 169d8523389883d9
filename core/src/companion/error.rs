//! What a shell is told when something cannot be done.

use crate::plan::DocumentFault;
use crate::safety::SafetyFault;
use crate::store::StoreError;
use std::fmt;

/// Which door refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ErrorKind {
    /// What was given is not what it should be.
    Input,
    /// Safety does not allow it.
    Safety,
    /// The record or the disk.
    Store,
    /// The data of this build: a defect.
    Data,
}

/// The one public error: few kinds, a stable code, the field at fault and the remedy.
#[derive(Debug)]
pub struct CompanionError {
    /// Its kind.
    pub kind: ErrorKind,
    /// Stable, for programs.
    pub code: String,
    /// The field at fault, where there is one.
    pub field: Option<String>,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub remedy: String,
    source: Option<Box<dyn std::error::Error + Send + Sync>>,
}

impl CompanionError {
    pub(super) fn input(code: &str, field: &str, problem: impl Into<String>, remedy: &str) -> Self {
        Self {
            kind: ErrorKind::Input,
            code: code.to_owned(),
            field: Some(field.to_owned()),
            problem: problem.into(),
            remedy: remedy.to_owned(),
            source: None,
        }
    }

    pub(super) fn data(problem: impl fmt::Display) -> Self {
        Self {
            kind: ErrorKind::Data,
            code: "built_in_data".into(),
            field: None,
            problem: problem.to_string(),
            remedy: "install Plinth again; if it stays, report it".into(),
            source: None,
        }
    }
}

impl fmt::Display for CompanionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(field) = &self.field {
            write!(f, "{field}: ")?;
        }
        write!(f, "{}; {}.", self.problem, self.remedy)
    }
}

impl std::error::Error for CompanionError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.source.as_ref().map(|s| &**s as _)
    }
}

impl From<StoreError> for CompanionError {
    fn from(e: StoreError) -> Self {
        let (kind, field) = match &e {
            StoreError::Field(fault) => (ErrorKind::Input, Some(fault.field.clone())),
            StoreError::Import(_) | StoreError::Sealed { .. } => (ErrorKind::Input, Some("file".to_owned())),
            _ => (ErrorKind::Store, None),
        };
        Self {
            kind,
            code: e.code().to_owned(),
            field,
            problem: e.to_string(),
            remedy: e.remedy().to_owned(),
            source: Some(Box::new(e)),
        }
    }
}

impl From<Vec<DocumentFault>> for CompanionError {
    fn from(faults: Vec<DocumentFault>) -> Self {
        let Some(first) = faults.into_iter().next() else {
            return Self::input("document", "document", "it cannot be read", "give another one");
        };
        Self::input("document", &first.field, first.problem, &first.remedy)
    }
}

impl From<Vec<SafetyFault>> for CompanionError {
    fn from(faults: Vec<SafetyFault>) -> Self {
        let Some(first) = faults.into_iter().next() else {
            return Self::input("safety", "answers", "they cannot be read", "answer again");
        };
        let mut e = Self::input("safety", &first.field, first.problem.clone(), &first.remedy);
        e.kind = ErrorKind::Safety;
        e
    }
}
