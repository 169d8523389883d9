//! The record's way home: an exchange with a server, without a connection of its own.

use super::{Companion, CompanionError};
use crate::moment::Moment;
use crate::sync::{Exchange, Step, SyncFault};

impl Companion {
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
