//! What the host says where it does not do what was asked.

use super::store::StoreFault;
use plinth_core::sync::Fault as Said;

/// Which way it failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fails {
    /// What was sent is no part of the protocol.
    Asked,
    /// No token, or one that counts no more.
    Token,
    /// The token counts, but not for this.
    Forbidden,
    /// There is no such thing.
    Missing,
    /// The path takes another method.
    Method,
    /// What was sent did not come in time.
    Slow,
    /// It is too long.
    TooLong,
    /// It is packed in a way that is not known here.
    Packing,
    /// The program is too old.
    TooOld,
    /// Too often: later.
    TooOften,
    /// Something here is broken.
    Broken,
    /// Busy: later.
    Busy,
}

impl Fails {
    /// The status of HTTP (RFC 9110) for it.
    pub const fn status(self) -> u16 {
        match self {
            Self::Asked => 400,
            Self::Token => 401,
            Self::Forbidden => 403,
            Self::Missing => 404,
            Self::Method => 405,
            Self::Slow => 408,
            Self::TooLong => 413,
            Self::Packing => 415,
            Self::TooOld => 426,
            Self::TooOften => 429,
            Self::Broken => 500,
            Self::Busy => 503,
        }
    }
}

/// A fault, as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Which way.
    pub fails: Fails,
    /// Code, field, reason and remedy.
    pub said: Said,
    /// Not before so many seconds.
    pub retry_after_s: Option<u32>,
}

impl Fault {
    /// A fault without a field.
    pub fn new(fails: Fails, code: &str, reason: impl Into<String>, remedy: &str) -> Self {
        let said = Said { code: code.into(), field: None, reason: reason.into(), remedy: remedy.into() };
        Self { fails, said, retry_after_s: None }
    }

    /// At a field.
    #[must_use]
    pub fn at(mut self, field: &str) -> Self {
        self.said.field = Some(field.to_owned());
        self
    }

    /// To be tried again after some seconds.
    #[must_use]
    pub const fn later(mut self, seconds: u32) -> Self {
        self.retry_after_s = Some(seconds);
        self
    }

    /// No token that counts. It says nothing of whether the account is there.
    pub fn token() -> Self {
        Self::new(Fails::Token, "token", "no token, or one that counts no more", "pair this device again")
    }

    /// There is no such path, account or device.
    pub fn missing() -> Self {
        Self::new(Fails::Missing, "not_found", "there is no such thing here", "check the address")
    }
}

/// What is wrong inside is told to the host's log, not to a stranger.
impl From<StoreFault> for Fault {
    fn from(fault: StoreFault) -> Self {
        tracing::error!(code = fault.code(), "the store failed: {fault}");
        let later = "nothing is lost; try again later";
        match fault {
            StoreFault::Busy => Self::new(Fails::Busy, "store_busy", "the host is busy", later).later(5),
            StoreFault::DiskFull => {
                Self::new(Fails::Busy, "store_disk_full", "the host's disk is full", later).later(300)
            }
            other => Self::new(Fails::Broken, other.code(), "the host's store failed", later).later(60),
        }
    }
}

impl From<std::io::Error> for Fault {
    fn from(error: std::io::Error) -> Self {
        tracing::error!("the ledger failed: {error}");
        Self::new(Fails::Broken, "ledger", "the host's ledger failed", "nothing is lost; try again later")
            .later(60)
    }
}
