//! What is wrong with an answer that safety was given: the field, a stable code and the remedy.

use serde::{Deserialize, Serialize};
use std::fmt;

/// What kind of fault it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FaultCode {
    /// Nothing was given where something must stand.
    Missing,
    /// The value cannot be read or is too long.
    Malformed,
    /// The id is not known.
    Unknown,
    /// The date lies after today.
    InTheFuture,
    /// The date lies before what it answers.
    TooEarly,
    /// It answers a flag that is not there.
    NoSuchFlag,
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SafetyFault {
    /// What kind.
    pub code: FaultCode,
    /// The field.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub remedy: String,
}

impl SafetyFault {
    pub(super) fn new(
        code: FaultCode,
        field: impl Into<String>,
        problem: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self { code, field: field.into(), problem: problem.into(), remedy: remedy.into() }
    }
}

impl fmt::Display for SafetyFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}.", self.field, self.problem, self.remedy)
    }
}

impl std::error::Error for SafetyFault {}
