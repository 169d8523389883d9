//! A fault in the data: where it is and how to mend it.

use serde::Serialize;
use std::fmt;

/// One fault of a data file or of an own movement.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Fault {
    /// The file, or `own movement`.
    pub file: String,
    /// The row: its line in the file (the header is line 1), or the movement's id.
    pub row: String,
    /// The column or key.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub remedy: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, row {}, {}: {}; {}", self.file, self.row, self.field, self.problem, self.remedy)
    }
}

/// Collects faults for one row.
pub(super) struct Faults<'a> {
    pub(super) file: &'a str,
    pub(super) row: String,
    pub(super) list: &'a mut Vec<Fault>,
}

impl Faults<'_> {
    /// Notes a fault of this row.
    pub(super) fn add(&mut self, field: &str, problem: impl Into<String>, remedy: impl Into<String>) {
        self.list.push(Fault {
            file: self.file.to_owned(),
            row: self.row.clone(),
            field: field.to_owned(),
            problem: problem.into(),
            remedy: remedy.into(),
        });
    }
}
