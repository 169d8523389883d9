//! What can be wrong with what is read, where, and what to do about it.

use super::{EntryId, Kind};
use serde::Serialize;
use thiserror::Error;

/// What is wrong in one place, without the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Reason {
    pub(crate) code: &'static str,
    pub(crate) what: String,
    pub(crate) remedy: &'static str,
}

impl Reason {
    pub(super) fn new(code: &'static str, what: impl Into<String>, remedy: &'static str) -> Self {
        Self { code, what: what.into(), remedy }
    }
}

/// A field of an entry that cannot be read as what its kind says it is.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("field \"{field}\" of the {kind} {entry}: {reason}; {remedy}")]
pub struct FieldFault {
    /// The entry.
    pub entry: EntryId,
    /// Its kind.
    pub kind: Kind,
    /// The field.
    pub field: String,
    /// A stable code.
    pub code: &'static str,
    /// What is wrong.
    pub reason: String,
    /// What to do about it.
    pub remedy: &'static str,
}

/// An entry or row that an import did not take; everything else was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Error)]
#[error("line {line}: {}{reason}; {remedy}", place(self))]
pub struct Refused {
    /// The line on which it begins, counted from 1.
    pub line: u64,
    /// The entry's id, where it could be read.
    pub entry: Option<String>,
    /// The field at fault, where one is.
    pub field: Option<String>,
    /// A stable code.
    pub code: &'static str,
    /// What is wrong.
    pub reason: String,
    /// What to do about it.
    pub remedy: String,
}

fn place(refused: &Refused) -> String {
    match (&refused.entry, &refused.field) {
        (Some(entry), Some(field)) => format!("field \"{field}\" of entry {entry}: "),
        (Some(entry), None) => format!("entry {entry}: "),
        (None, Some(field)) => format!("field \"{field}\": "),
        (None, None) => String::new(),
    }
}

/// A file that is not taken at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ImportFault {
    /// More than [`super::MOST_BYTES`].
    #[error("the file is {bytes} bytes long; at most {most} are taken: export it in parts and import each")]
    TooLong {
        /// Its length.
        bytes: u64,
        /// The limit.
        most: u64,
    },
    /// Not a document of the record.
    #[error("line {line}: {reason}; {remedy}")]
    NotARecord {
        /// Where, counted from 1.
        line: u64,
        /// What is wrong.
        reason: String,
        /// What to do.
        remedy: String,
    },
    /// A form that this version does not read.
    #[error(
        "the file has the form \"{form}\", which this version does not read; update, or export it as \"{ours}\""
    )]
    OtherForm {
        /// Its form.
        form: String,
        /// The form that is read here.
        ours: &'static str,
    },
}

impl ImportFault {
    /// A stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::TooLong { .. } => "import_too_long",
            Self::NotARecord { .. } => "import_not_a_record",
            Self::OtherForm { .. } => "import_other_form",
        }
    }
}

/// The first characters of a text, so that a message does not repeat a megabyte.
pub(super) fn clip(text: &str) -> String {
    let mut clipped: String = text.chars().take(60).collect();
    if clipped.len() < text.len() {
        clipped.push('…');
    }
    clipped
}

/// As [`clip`], for a message that names what was expected.
pub(super) fn clip_long(text: &str) -> String {
    text.chars().take(300).collect()
}
