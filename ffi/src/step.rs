//! The steps of a sync: what to send, and how it ends.

use crate::text::hexadecimal;
use plinth_core::companion::Companion;
use plinth_core::sync::{Outgoing, SyncFault, SyncFaultKind, Told};
use serde::{Serialize, Serializer};

/// A header of a request.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct SyncHeader {
    /// Its name.
    pub name: String,
    /// What it says; that of `Authorization` belongs in no log.
    pub value: String,
}

/// A request for the platform to send.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct SyncRequest {
    /// The path at the server; always POST.
    pub path: String,
    /// Headers besides the length.
    pub headers: Vec<SyncHeader>,
    /// The body. In JSON it is its text, or `hex:` and its bytes where it is none.
    #[serde(serialize_with = "text_or_hex")]
    pub body: Vec<u8>,
}

/// What a sync did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct SyncTold {
    /// Entries that the server took.
    pub sent: u64,
    /// Entries that changed here.
    pub received: u64,
    /// Entries that the server did not take; they are set aside with its reason.
    pub set_aside: u64,
    /// Entries of the server that could not be read here.
    pub unread: u64,
    /// Entries that were stamped anew by the server's clock.
    pub stamped_anew: u64,
    /// Entries that the comparison found to differ.
    pub healed: u64,
    /// Requests that were answered.
    pub rounds: u32,
    /// Whether both sides hold the same now.
    pub together: bool,
}

/// What a sync that stopped asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, uniffi::Enum)]
#[serde(rename_all = "snake_case")]
pub enum SyncStop {
    /// Try again after the wait.
    Later,
    /// Pair this device again.
    PairAgain,
    /// Update this program.
    Update,
    /// Tell the host: what was answered is no part of the protocol.
    TellHost,
    /// Look after the record here.
    Record,
}

/// What is to be done next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, uniffi::Enum)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum SyncStep {
    /// Send this, and hand in the answer.
    Send {
        /// What to send.
        request: SyncRequest,
    },
    /// It is over.
    Done {
        /// What it did.
        told: SyncTold,
    },
    /// It stopped; what came before is kept, and nothing is lost.
    Stopped {
        /// What it asks for.
        stop: SyncStop,
        /// Stable, for programs.
        code: String,
        /// What is wrong.
        problem: String,
        /// What to do.
        remedy: String,
        /// After how many milliseconds to try again, where trying again may help.
        wait_ms: Option<u64>,
    },
}

impl From<Outgoing> for SyncRequest {
    fn from(o: Outgoing) -> Self {
        let headers = o.headers.into_iter().map(|(name, value)| SyncHeader { name, value });
        Self { path: o.path.to_owned(), headers: headers.collect(), body: o.body }
    }
}

impl From<Told> for SyncTold {
    fn from(t: Told) -> Self {
        let Told { sent, received, set_aside, unread, stamped_anew, healed, rounds, together } = t;
        Self { sent, received, set_aside, unread, stamped_anew, healed, rounds, together }
    }
}

/// Why it stopped, in the lifter's language.
pub(crate) fn stopped(companion: &Companion, fault: SyncFault) -> SyncStep {
    let stop = stop_of(fault.kind);
    let (problem, remedy) = companion.sync_fault_said(&fault);
    SyncStep::Stopped { stop, code: fault.code, problem, remedy, wait_ms: fault.wait_ms }
}

const fn stop_of(kind: SyncFaultKind) -> SyncStop {
    match kind {
        SyncFaultKind::Later => SyncStop::Later,
        SyncFaultKind::Token => SyncStop::PairAgain,
        SyncFaultKind::TooOld => SyncStop::Update,
        SyncFaultKind::Protocol => SyncStop::TellHost,
        SyncFaultKind::Store => SyncStop::Record,
    }
}

fn text_or_hex<S: Serializer>(body: &[u8], to: S) -> Result<S::Ok, S::Error> {
    match std::str::from_utf8(body) {
        Ok(text) => to.serialize_str(text),
        Err(_) => to.collect_str(&format_args!("hex:{}", hexadecimal(body))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plinth_core::store::StoreError;

    #[test]
    fn a_store_that_fails_in_mid_sync_asks_to_look_after_the_record() {
        let fault = SyncFault::from(StoreError::Random);
        assert_eq!((stop_of(fault.kind), fault.code.as_str()), (SyncStop::Record, StoreError::Random.code()));
        assert!(!fault.reason.is_empty() && !fault.remedy.is_empty());
    }

    #[test]
    fn a_body_that_is_no_text_is_written_in_hexadecimal_digits() {
        let request =
            |body: &[u8]| SyncRequest { path: "/".into(), headers: Vec::new(), body: body.to_vec() };
        let json = |body: &[u8]| serde_json::to_string(&request(body)).unwrap_or_default();
        assert!(json(&[0x1f, 0x8b, 0]).contains(r#""hex:1f8b00""#));
        assert!(json("{ü}".as_bytes()).contains(r#""{ü}""#));
    }
}
