//! A sync without a connection of its own: request bytes out, answer bytes in. The shell sends them as its platform
//! does.

use crate::companion::PlinthCompanion;
use crate::error::PlinthError;
use crate::living::Living;
use crate::text::hexadecimal;
use plinth_core::companion::{Companion, PairAnswered};
use plinth_core::moment::Moment;
use plinth_core::sync::{Exchange, Outgoing, Step, SyncFault, SyncFaultKind, Told};
use serde::{Serialize, Serializer};
use std::sync::{Arc, Mutex, PoisonError};

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

/// One sync. It begins with [`Self::next`] and goes from step to step until one is not to be sent.
#[derive(uniffi::Object)]
pub struct SyncSession {
    companion: Arc<PlinthCompanion>,
    exchange: Mutex<Exchange>,
    _living: Living,
}

#[uniffi::export]
impl PlinthCompanion {
    /// Begins a sync with the token that pairing gave.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn begin_sync(
        self: Arc<Self>,
        token: &str,
        moment: &Moment,
    ) -> Result<Arc<SyncSession>, PlinthError> {
        let exchange = self.held.with("begin_sync", moment, |c| Ok(c.begin_exchange(token)))?;
        let exchange = exchange.map_err(|f| PlinthError::Store {
            code: f.code,
            field: None,
            problem: f.reason,
            remedy: f.remedy,
        })?;
        Ok(Arc::new(SyncSession { companion: self, exchange: Mutex::new(exchange), _living: Living::new() }))
    }
}

#[uniffi::export]
impl PlinthCompanion {
    /// Reads the server's answer to what [`Effect::Pair`](plinth_core::companion::Effect) had the platform send, and
    /// remembers the pairing. Gives the token: it goes into the platform's key store and nowhere else; where that
    /// fails, call [`Self::unpair`].
    ///
    /// # Errors
    /// A code that was refused, an answer that is none, in the lifter's language; those of the disk.
    #[allow(clippy::needless_pass_by_value)] // a borrowed body would be a raw buffer over there
    pub fn paired(
        &self,
        address: &str,
        status: u16,
        body: Vec<u8>,
        moment: &Moment,
    ) -> Result<String, PlinthError> {
        let answered = PairAnswered { address, status, body: &body };
        self.held.with("paired", moment, |c| c.paired(&answered, moment))
    }

    /// This device is paired with no server any more: the platform lost the token, or let it go.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn unpair(&self, moment: &Moment) -> Result<(), PlinthError> {
        self.held.with("unpair", moment, Companion::unpair)
    }
}

#[uniffi::export]
impl SyncSession {
    /// The first step, and the same step again while nothing was answered.
    ///
    /// # Errors
    /// It was shut down; a defect.
    pub fn next(&self, moment: &Moment) -> Result<SyncStep, PlinthError> {
        self.step("sync_next", moment, |c, exchange| c.next_of(exchange, moment))
    }

    /// Takes in an answer, and says what comes next: its status, the seconds of a header `Retry-After`, its body as it
    /// came.
    ///
    /// # Errors
    /// As [`Self::next`].
    #[allow(clippy::needless_pass_by_value)] // a borrowed body would be a raw buffer over there
    pub fn answer(
        &self,
        status: u16,
        retry_after_s: Option<u32>,
        body: Vec<u8>,
        moment: &Moment,
    ) -> Result<SyncStep, PlinthError> {
        self.step("sync_answer", moment, |c, exchange| {
            c.answer_to(exchange, status, retry_after_s, &body, moment)?;
            c.next_of(exchange, moment)
        })
    }

    /// The connection failed, or no answer came in time.
    ///
    /// # Errors
    /// As [`Self::next`].
    pub fn cut(&self, moment: &Moment) -> Result<SyncStep, PlinthError> {
        self.step("sync_cut", moment, |c, exchange| Err(c.cut_off(exchange, moment)))
    }
}

impl SyncSession {
    fn step(
        &self,
        call: &str,
        moment: &Moment,
        go: impl FnOnce(&mut Companion, &mut Exchange) -> Result<Step, SyncFault>,
    ) -> Result<SyncStep, PlinthError> {
        self.companion.held.with(call, moment, |c| {
            let mut exchange = self.exchange.lock().unwrap_or_else(PoisonError::into_inner);
            Ok(match go(c, &mut exchange) {
                Ok(Step::Send(request)) => SyncStep::Send { request: request.into() },
                Ok(Step::Done(told)) => SyncStep::Done { told: told.into() },
                Err(fault) => stopped(c, fault),
            })
        })
    }
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
fn stopped(companion: &Companion, fault: SyncFault) -> SyncStep {
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
