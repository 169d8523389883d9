//! Pairing: a one-time code, shown in person, becomes the token of a device.
//!
//! A code is ten letters and digits without those that look alike (Crockford's base 32): 50 random bits, for ten
//! minutes, once. Guesses are counted for each peer and for the whole house: at the house's bound some six hundred
//! guesses fit into the life of a code, of 10^15.

use super::Host;
use super::account::{Account, AccountId, Offered, PairedDevice, Role, hashed, random_hex};
use super::audit::Deed;
use super::fault::{Fails, Fault};
use super::guesses::Guesses;
use super::store::Store;
use super::token::{did, draw, no_random};
use plinth_core::store::system_random;
use plinth_core::sync::{PairAnswer, PairRequest, meant};
use plinth_core::terms::one_line;
use std::net::IpAddr;
use subtle::ConstantTimeEq;

/// How long a code counts, milliseconds.
pub const CODE_MS: i64 = 10 * 60 * 1000;
/// The letters of a code.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// How many.
const LENGTH: usize = 10;
/// Codes at once.
const MOST_CODES: u32 = 1000;
/// The longest name of a device, in characters.
const LONGEST_NAME: usize = 60;
/// Wrong guesses a minute, of one network and of all.
const OF_A_PEER: u32 = 10;
const OF_ALL: u32 = 60;

/// Guesses at codes, none yet.
pub fn guesses() -> Guesses {
    Guesses::new(OF_A_PEER, OF_ALL)
}

/// A fresh code, in two halves joined by a hyphen.
fn draw_code() -> Option<String> {
    let mut bytes = [0; LENGTH];
    system_random(&mut bytes).then(|| {
        let letter = |b: &u8| char::from(LETTERS.get(usize::from(b & 31)).copied().unwrap_or(b'0'));
        let text: String = bytes.iter().map(letter).collect();
        let (head, tail) = text.split_at(LENGTH / 2);
        format!("{head}-{tail}")
    })
}

/// A code as it was meant, and one letter more where it is longer than any.
fn plain(code: &str) -> String {
    meant(code).take(LENGTH + 1).collect()
}

impl<S: Store> Host<S> {
    /// Makes a one-time code for an account, and the account where it is not there. For who stands at the host's
    /// machine.
    ///
    /// # Errors
    /// An account of another role, or one that was erased; those of the store and the ledger.
    pub async fn offer(&self, account: &AccountId, role: Role) -> Result<String, Fault> {
        let now_ms = self.now_ms();
        let ledger = self.ledger.clone();
        let wanted = account.clone();
        let asked = move || ledger.open().map(|l| l.erased(&wanted));
        let erased = tokio::task::spawn_blocking(asked).await.map_err(std::io::Error::other)?;
        if erased.map_err(std::io::Error::other)? {
            let reason = "an account of this name was erased here";
            return Err(
                Fault::new(Fails::Asked, "account_erased", reason, "choose another name").at("account")
            );
        }
        self.store.make_account(Account { id: account.clone(), role, made_ms: now_ms }).await?;
        let there = self.store.account(account).await?.ok_or_else(Fault::missing)?;
        if there.role != role {
            let reason = format!("the account is a {}'s", there.role.name());
            return Err(Fault::new(Fails::Asked, "other_role", reason, "choose another name").at("account"));
        }
        if self.store.offered(now_ms, MOST_CODES).await?.len() >= MOST_CODES as usize {
            let reason = "too many codes are open";
            return Err(Fault::new(Fails::Busy, "codes_open", reason, "wait until some are over").later(600));
        }
        let code = draw_code().ok_or_else(no_random)?;
        let offered =
            Offered { code: hashed(&plain(&code)), account: account.clone(), until_ms: now_ms + CODE_MS };
        self.store.offer(offered, now_ms).await?;
        Ok(code)
    }

    /// Redeems a code. What is wrong with a code is not said: unknown, over and used are one.
    ///
    /// # Errors
    /// [`Fails::TooOften`]; [`Fails::Forbidden`] for a code that does not count; those of the store.
    pub async fn pair(&self, peer: IpAddr, request: &PairRequest) -> Result<PairAnswer, Fault> {
        self.pair_as(peer, request, &[Role::Lifter, Role::Coach, Role::Host]).await
    }

    /// As [`Self::pair`], where only a code for an account of some roles serves: another's is not spent.
    ///
    /// # Errors
    /// As [`Self::pair`]; [`Fails::Forbidden`] with the code `role` for another role's.
    pub async fn pair_as(
        &self,
        peer: IpAddr,
        request: &PairRequest,
        roles: &[Role],
    ) -> Result<PairAnswer, Fault> {
        let now_ms = self.now_ms();
        let name = request.name.trim();
        if !one_line(name, LONGEST_NAME) {
            let remedy = "name the device in 1 to 60 characters";
            return Err(Fault::new(Fails::Asked, "device_name", "it is no name", remedy).at("name"));
        }
        if request.app.len() > 40 {
            return Err(Fault::new(Fails::Asked, "app", "it is no version", "give the version").at("app"));
        }
        if !self.codes.may(peer, now_ms) {
            let remedy = "wait a minute, then ask the host for a new code";
            let reason = "too many codes were tried";
            return Err(Fault::new(Fails::TooOften, "too_many_guesses", reason, remedy).later(60));
        }
        let given = hashed(&plain(&request.code));
        let mut found = None;
        for offered in self.store.offered(now_ms, MOST_CODES).await? {
            if bool::from(offered.code.ct_eq(&given)) {
                found = Some(offered);
            }
        }
        let wrong = || {
            let remedy = "ask the host for a new code: one counts for ten minutes, and once";
            Fault::new(Fails::Forbidden, "code", "the code does not count", remedy).at("code")
        };
        let offered = found.ok_or_else(wrong)?;
        let id = &offered.account;
        let account = self.store.account(id).await?.ok_or_else(wrong)?;
        if !roles.contains(&account.role) {
            let reason = format!("the code is a {}'s", account.role.name());
            let remedy = "use it where it belongs, and ask the host for one of your own";
            return Err(Fault::new(Fails::Forbidden, "role", reason, remedy).at("code"));
        }
        if !self.store.redeem(offered.code).await? {
            return Err(wrong());
        }
        self.codes.right(peer);
        let counting = self.store.devices(id).await?.iter().filter(|d| d.revoked_ms.is_none()).count();
        if counting >= self.quota.devices {
            let remedy = "revoke one that is no longer used";
            let reason = format!("the account has {counting} devices");
            return Err(Fault::new(Fails::Forbidden, "too_many_devices", reason, remedy));
        }
        let (token, kept) = draw(id)?;
        let device = PairedDevice {
            key: random_hex::<8>().ok_or_else(no_random)?,
            name: name.to_owned(),
            app: request.app.clone(),
            token: kept,
            next: None,
            paired_ms: now_ms,
            seen_ms: now_ms,
            revoked_ms: None,
        };
        if !self.store.keep_device(id, None, device).await? {
            return Err(wrong());
        }
        self.store.note(id, id, did(Deed::Paired, name), now_ms).await?;
        Ok(PairAnswer { token, account: id.to_string(), role: account.role.name().to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_as_it_was_meant() {
        let code = draw_code().unwrap();
        assert_eq!(code.len(), LENGTH + 1);
        assert_eq!(plain(&code.to_lowercase()), plain(&code));
        assert_eq!(plain("o1il2-abcde"), "01112ABCDE");
        assert_eq!(plain("12345-678901"), "12345678901", "one letter too many is another code");
        assert_ne!(draw_code(), draw_code());
    }
}
