//! The record's way home: pairing with a server, and an exchange with it, without a connection of its own.

use super::{Companion, CompanionError, Effect};
use crate::moment::Moment;
use crate::sync::{
    Exchange, Fault, Invitation, PAIR_PATH, PairAnswer, PairRequest, Paired, Step, SyncFault, SyncFaultKind,
};

/// The longest token that is taken.
const LONGEST_TOKEN: usize = 500;

/// A server's answer to a code that was handed in for [`Effect::Pair`].
#[derive(Debug, Clone, Copy)]
pub struct PairAnswered<'a> {
    /// The server that was asked.
    pub address: &'a str,
    /// The status of its answer.
    pub status: u16,
    /// The body.
    pub body: &'a [u8],
}

impl Companion {
    /// With which server this device is paired.
    ///
    /// # Errors
    /// Those of the store.
    pub fn pairing(&self) -> Result<Option<Paired>, CompanionError> {
        Ok(self.store.pairing()?.and_then(|text| serde_json::from_str(&text).ok()))
    }

    /// What the platform sends to pair, under this name of the device.
    ///
    /// # Errors
    /// [`CompanionError`] where the request cannot be written.
    pub fn pair_by(&self, invitation: &Invitation, name: String) -> Result<Effect, CompanionError> {
        let request = PairRequest {
            code: invitation.code.clone(),
            device: self.store.device(),
            name,
            app: env!("CARGO_PKG_VERSION").to_owned(),
        };
        let body = serde_json::to_string(&request).map_err(|_| {
            CompanionError::input("pair_request", "name", "it cannot be sent", "give a plain name")
        })?;
        Ok(Effect::Pair {
            address: invitation.address.clone(),
            certificate: invitation.certificate_text(),
            path: PAIR_PATH.to_owned(),
            body,
        })
    }

    /// Reads the server's answer and remembers the pairing. Gives the token, which goes into the platform's key store
    /// and nowhere else; where that fails, call [`Self::unpair`].
    ///
    /// # Errors
    /// A code that was refused, an answer that is none: in the lifter's language. Nothing is paired then.
    pub fn paired(&mut self, answered: &PairAnswered<'_>, moment: &Moment) -> Result<String, CompanionError> {
        let no = |field: &str, key: &str| {
            let (problem, remedy) = self.pair_words(key);
            CompanionError::input(key, field, &problem, &remedy)
        };
        match answered.status {
            200 => {}
            403 if refused_for(answered.body, "too_many_devices") => {
                return Err(no("device", "pair_devices"));
            }
            400..=404 | 409 | 410 | 422 => return Err(no("code", "pair_code")),
            426 => return Err(no("app", "pair_old")),
            429 => return Err(no("code", "pair_often")),
            _ => return Err(no("address", "pair_answer")),
        }
        let answer: PairAnswer = serde_json::from_slice(answered.body)
            .ok()
            .filter(|a: &PairAnswer| {
                (1..=LONGEST_TOKEN).contains(&a.token.len()) && a.token.bytes().all(|b| b.is_ascii_graphic())
            })
            .ok_or_else(|| no("address", "pair_answer"))?;
        let paired = Paired {
            address: answered.address.to_owned(),
            account: answer.account,
            since_ms: moment.wall_ms,
            metered: false,
        };
        self.keep_paired(&paired)?;
        self.tell_paired(answered.address);
        Ok(answer.token)
    }

    /// This device is paired with no server any more. The record stays; what waits goes on waiting.
    ///
    /// # Errors
    /// Those of the store.
    pub fn unpair(&mut self) -> Result<(), CompanionError> {
        self.visit.told.clear();
        Ok(self.store.keep_pairing(None)?)
    }

    /// Whether a sync may use a connection that costs by the byte: this device's own, and no part of the record.
    pub(super) fn allow_metered(&mut self, mut paired: Paired, on: bool) -> Result<Effect, CompanionError> {
        paired.metered = on;
        self.keep_paired(&paired)?;
        Ok(Effect::AllowMetered { on })
    }

    fn keep_paired(&mut self, paired: &Paired) -> Result<(), CompanionError> {
        Ok(self.store.keep_pairing(Some(&serde_json::to_string(paired).unwrap_or_default()))?)
    }

    /// What is wrong and what to do, in the lifter's language.
    fn pair_words(&self, code: &str) -> (String, String) {
        let s = &self.speech;
        let (problem, remedy) = match code {
            "pair_code" => ("pair-code", "pair-code-remedy"),
            "pair_old" => ("sync-old", "sync-old-remedy"),
            "pair_often" => ("pair-often", "pair-often-remedy"),
            "pair_devices" => ("pair-devices", "pair-devices-remedy"),
            _ => ("pair-answer", "pair-answer-remedy"),
        };
        (s.say(problem, &[]), s.say(remedy, &[]))
    }

    /// Why an exchange stopped and what to do, in the lifter's language: first what is wrong, then the remedy.
    pub fn sync_fault_said(&self, fault: &SyncFault) -> (String, String) {
        let s = &self.speech;
        let (problem, remedy) = match fault.kind {
            SyncFaultKind::Later => ("sync-later", "sync-later-remedy"),
            SyncFaultKind::Token => ("sync-token", "sync-token-remedy"),
            SyncFaultKind::TooOld => ("sync-old", "sync-old-remedy"),
            SyncFaultKind::Protocol => {
                let code = s.say("sync-protocol", &[("code", (&fault.code).into())]);
                return (code, s.say("sync-protocol-remedy", &[]));
            }
            SyncFaultKind::Store => return (s.english(&fault.reason), s.english(&fault.remedy)),
        };
        (s.say(problem, &[]), s.say(remedy, &[]))
    }

    /// Begins an exchange. The token is the device's, from pairing.
    ///
    /// # Errors
    /// Those of the store.
    pub fn begin_exchange(&self, token: &str) -> Result<Exchange, SyncFault> {
        Exchange::begin(&self.store, token)
    }

    /// What is to be sent next; the same again while it is not answered.
    ///
    /// # Errors
    /// Those of the store.
    pub fn next_of(&mut self, exchange: &mut Exchange, moment: &Moment) -> Result<Step, SyncFault> {
        exchange.next(&mut self.store, moment)
    }

    /// Takes in an answer: its status, the seconds of a header `Retry-After`, and its body. What it brought counts from
    /// the next screen on; a session that is open goes on as it was.
    ///
    /// # Errors
    /// Why the exchange goes no further. What came before is kept.
    pub fn answer_to(
        &mut self,
        exchange: &mut Exchange,
        status: u16,
        retry_after_s: Option<u32>,
        body: &[u8],
        moment: &Moment,
    ) -> Result<(), SyncFault> {
        let had = exchange.told().received;
        exchange.answer(&mut self.store, status, retry_after_s, body, moment, &mut *self.random)?;
        if exchange.told().received > had {
            let unread = |e: CompanionError| SyncFault::of_record(e.code, e.problem, e.remedy);
            self.refresh(moment).map_err(unread)?;
        }
        Ok(())
    }

    /// The connection failed, or no answer came in time.
    pub fn cut_off(&mut self, exchange: &mut Exchange, moment: &Moment) -> SyncFault {
        exchange.cut(&mut self.store, moment, &mut *self.random)
    }
}

/// Whether a server's refusal bears this code.
fn refused_for(body: &[u8], code: &str) -> bool {
    serde_json::from_slice::<Fault>(body).is_ok_and(|f| f.code == code)
}
