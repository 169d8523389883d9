//! What can go wrong on disk, told apart by what the lifter can do about it.

use crate::record::{FieldFault, ImportFault};
use rusqlite::ErrorCode;
use std::io;
use std::path::PathBuf;
use thiserror::Error;

/// The code of [`StoreError::CalledOff`].
pub const CALLED_OFF: &str = "called_off";

/// A fault of the store. Whatever it is, the record on disk is as it was before the call, or complete.
#[derive(Debug, Error)]
pub enum StoreError {
    /// No room.
    #[error("the disk is full; nothing was changed")]
    DiskFull,
    /// Another process has the record open.
    #[error("the record is open elsewhere")]
    Busy,
    /// Written by a newer version.
    #[error("the record is of version {found}, and this program knows versions up to {ours}")]
    Newer {
        /// The file's version.
        found: i64,
        /// The newest that is known here.
        ours: i64,
    },
    /// The file holds what was never written there.
    #[error("the record is damaged: {what}")]
    Damaged {
        /// Where.
        what: String,
    },
    /// Another program's file.
    #[error("{} is not a training record", path.display())]
    NotARecord {
        /// The file.
        path: PathBuf,
    },
    /// What was asked to be written is not what its kind says.
    #[error(transparent)]
    Field(#[from] Box<FieldFault>),
    /// A file that cannot be imported.
    #[error(transparent)]
    Import(#[from] ImportFault),
    /// A sealed backup that does not open.
    #[error("the sealed backup does not open: {what}")]
    Sealed {
        /// Why.
        what: String,
    },
    /// It was called off; nothing was changed.
    #[error("it was called off; nothing was changed")]
    CalledOff,
    /// There is no randomness to make an identity of.
    #[error("the system gave no random bytes")]
    Random,
    /// Reading or writing failed in another way.
    #[error("reading or writing failed")]
    Io(#[source] io::Error),
    /// SQLite failed in another way.
    #[error("the database failed")]
    Database(#[source] rusqlite::Error),
}

impl StoreError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::DiskFull => "store_disk_full",
            Self::Busy => "store_busy",
            Self::Newer { .. } => "store_newer",
            Self::Damaged { .. } => "store_damaged",
            Self::NotARecord { .. } => "store_not_a_record",
            Self::Field(fault) => fault.code,
            Self::Import(fault) => fault.code(),
            Self::Sealed { .. } => "store_sealed",
            Self::CalledOff => CALLED_OFF,
            Self::Random => "store_random",
            Self::Io(_) => "store_io",
            Self::Database(_) => "store_database",
        }
    }

    /// What to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::DiskFull => "make room, then do it again",
            Self::Busy => "close it there, then do it again",
            Self::Newer { .. } => "update the program; the file was left as it is",
            Self::Damaged { .. } => {
                "open it again: what is good is recovered, and the damaged file is kept beside it"
            }
            Self::NotARecord { .. } => {
                "choose the record's own file, or a new name; this one was left as it is"
            }
            Self::Field(fault) => fault.remedy,
            Self::Import(_) => "choose what an export wrote",
            Self::Sealed { .. } => "check the passphrase or the 24 words, and that the file is whole",
            Self::CalledOff => "do it again when you want it",
            Self::Random => "start the device again",
            Self::Io(_) => "check that the disk is there and may be written to, then do it again",
            Self::Database(_) => "do it again; if it fails again, make a backup and report it",
        }
    }

    pub(super) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged { what: what.into() }
    }
}

impl From<FieldFault> for StoreError {
    fn from(fault: FieldFault) -> Self {
        Self::Field(Box::new(fault))
    }
}

impl From<io::Error> for StoreError {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
                Self::DiskFull
            }
            _ => Self::Io(error),
        }
    }
}

/// Every statement is fixed and was tested, so that one that no longer fits its tables means a damaged schema.
impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        match &error {
            rusqlite::Error::SqliteFailure(failure, message) => match failure.code {
                ErrorCode::DiskFull => Self::DiskFull,
                ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Self::Busy,
                ErrorCode::DatabaseCorrupt
                | ErrorCode::NotADatabase
                | ErrorCode::ConstraintViolation
                | ErrorCode::TypeMismatch
                | ErrorCode::Unknown => Self::damaged(message.clone().unwrap_or_else(|| failure.to_string())),
                ErrorCode::SystemIoFailure
                | ErrorCode::CannotOpen
                | ErrorCode::PermissionDenied
                | ErrorCode::ReadOnly
                | ErrorCode::FileLockingProtocolFailed => Self::Io(io::Error::other(error)),
                _ => Self::Database(error),
            },
            rusqlite::Error::SqlInputError { msg, .. } => Self::damaged(msg.clone()),
            rusqlite::Error::FromSqlConversionFailure(..)
            | rusqlite::Error::IntegralValueOutOfRange(..)
            | rusqlite::Error::InvalidColumnType(..)
            | rusqlite::Error::QueryReturnedNoRows
            | rusqlite::Error::Utf8Error(..) => Self::damaged(error.to_string()),
            _ => Self::Database(error),
        }
    }
}

impl From<rusqlite_migration::Error> for StoreError {
    fn from(error: rusqlite_migration::Error) -> Self {
        match error {
            rusqlite_migration::Error::RusqliteError { err, .. } => err.into(),
            other => Self::damaged(other.to_string()),
        }
    }
}
