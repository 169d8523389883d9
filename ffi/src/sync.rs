//! A sync without a connection of its own: request bytes out, answer bytes in. The shell sends them as its platform
//! does.

use crate::companion::PlinthCompanion;
use crate::error::PlinthError;
use crate::living::Living;
use crate::step::{SyncStep, stopped};
use plinth_core::companion::Companion;
use plinth_core::moment::Moment;
use plinth_core::sync::{Exchange, Step, SyncFault};
use std::sync::{Arc, Mutex, PoisonError};

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
