//! Pairing with a server: the platform sends what [`Effect::Pair`](plinth_core::companion::Effect) holds, and hands in
//! the answer.

use crate::companion::PlinthCompanion;
use crate::error::PlinthError;
use plinth_core::companion::{Companion, PairAnswered};
use plinth_core::moment::Moment;

#[uniffi::export]
impl PlinthCompanion {
    /// Reads the server's answer to what `Effect::Pair` had the platform send, and
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
