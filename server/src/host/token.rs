//! Tokens: 256 random bits for each device, of which only the SHA-256 is kept.
//!
//! A token names its account before the secret, so that it is looked for in one account only: `ACCOUNT.SECRET`. All the
//! devices of the account are compared, each in constant time.

use super::Host;
use super::account::{Account, AccountId, Hashed, PairedDevice, hashed, random_hex};
use super::audit::{Deed, Did};
use super::fault::{Fails, Fault};
use super::guesses::Guesses;
use super::ledger::Fact;
use super::store::Store;
use std::net::IpAddr;
use subtle::{Choice, ConditionallySelectable, ConstantTimeEq};

/// A device is noted as heard once in so long, milliseconds.
const HEARD_AGAIN_MS: i64 = 60 * 60 * 1000;
/// How often a write is tried that another one came before.
const TRIES: u32 = 8;

/// Wrong tokens a minute, of one network and of all: a gym whose host lost its ledger has all its phones behind one
/// address, and each of them tries once before it asks to be paired anew.
const OF_A_PEER: u32 = 100;
const OF_ALL: u32 = 3_000;

/// Guesses at tokens, none yet.
pub fn guesses() -> Guesses {
    Guesses::new(OF_A_PEER, OF_ALL)
}

/// Whose a token is.
enum Whose {
    /// It counts.
    Counts(Box<Caller>),
    /// It counted once, and was revoked.
    Revoked,
    /// Nobody's: it was never given, was replaced, or its account was erased.
    Nobodys,
}

/// Who asks.
#[derive(Debug, Clone)]
pub struct Caller {
    /// The account.
    pub account: Account,
    /// Its device.
    pub device: PairedDevice,
}

/// Draws a token: as it is told once, and what is kept of it.
///
/// # Errors
/// The system gives no random bytes.
pub fn draw(account: &AccountId) -> Result<(String, Hashed), Fault> {
    let secret = random_hex::<32>().ok_or_else(no_random)?;
    let kept = hashed(&secret);
    Ok((format!("{account}.{secret}"), kept))
}

pub(crate) fn no_random() -> Fault {
    Fault::new(Fails::Broken, "random", "the host has no random bytes", "try again later").later(60)
}

fn too_busy() -> Fault {
    Fault::new(Fails::Busy, "store_busy", "the host is busy", "try again later").later(1)
}

impl<S: Store> Host<S> {
    /// Who bears a token. Wrong ones are counted for the peer's network, where it is known; of one that has sent too
    /// many only such tokens are looked up as have counted from there before, so that no guess is answered and no
    /// honest device is shut out. One that was revoked is no guess: its device may ask as often as it likes.
    ///
    /// # Errors
    /// [`Fails::Token`], whatever is wrong with it; [`Fails::TooOften`]; those of the store.
    pub async fn caller(&self, token: &str, peer: Option<IpAddr>) -> Result<Caller, Fault> {
        let Some(peer) = peer else {
            return match self.whose(token).await? {
                Whose::Counts(caller) => Ok(*caller),
                Whose::Revoked | Whose::Nobodys => Err(Fault::token()),
            };
        };
        let given = hashed(token);
        let known = self.heard.knows(peer, given);
        if !known && !self.tokens.may(peer, self.now_ms()) {
            let reason = "too many tokens that do not count came from this network";
            return Err(Fault::new(Fails::TooOften, "too_many_guesses", reason, "wait a minute").later(60));
        }
        let whose = self.whose(token).await;
        if !known && !matches!(whose, Ok(Whose::Nobodys)) {
            self.tokens.right(peer);
        }
        match whose? {
            Whose::Counts(caller) => {
                if !known {
                    self.heard.note(peer, given);
                }
                Ok(*caller)
            }
            Whose::Revoked | Whose::Nobodys => Err(Fault::token()),
        }
    }

    /// Whose a token is. The first use of a renewed token ends the one before.
    async fn whose(&self, token: &str) -> Result<Whose, Fault> {
        let Some((id, secret)) = token.split_once('.') else { return Ok(Whose::Nobodys) };
        let Ok(id) = id.parse::<AccountId>() else { return Ok(Whose::Nobodys) };
        let given = hashed(secret);
        for _ in 0..TRIES {
            let devices = self.store.devices(&id).await?;
            let (mut found, mut renewed, mut revoked) = (u32::MAX, Choice::from(0), Choice::from(0));
            for (k, device) in devices.iter().enumerate() {
                let live = Choice::from(u8::from(device.revoked_ms.is_none()));
                let alike = device.token.ct_eq(&given);
                let by_token = alike & live;
                revoked |= alike & !live;
                let next = device.next.unwrap_or([0; 32]);
                let by_next = next.ct_eq(&given) & live & Choice::from(u8::from(device.next.is_some()));
                found.conditional_assign(&u32::try_from(k).unwrap_or(u32::MAX), by_token | by_next);
                renewed |= by_next;
            }
            let Some(device) = usize::try_from(found).ok().and_then(|k| devices.get(k)) else {
                return Ok(if revoked.into() { Whose::Revoked } else { Whose::Nobodys });
            };
            let Some(account) = self.store.account(&id).await? else { return Ok(Whose::Nobodys) };
            let mut now = device.clone();
            if renewed.into() {
                (now.token, now.next) = (given, None);
            }
            let now_ms = self.now_ms();
            if now_ms.saturating_sub(now.seen_ms) >= HEARD_AGAIN_MS {
                now.seen_ms = now_ms;
            }
            if now == *device || self.store.keep_device(&id, Some(device.clone()), now.clone()).await? {
                return Ok(Whose::Counts(Box::new(Caller { account, device: now })));
            }
        }
        Err(too_busy())
    }

    /// A new token for a device. The old one counts until the new one is used, so that an answer that is lost locks
    /// nobody out.
    ///
    /// # Errors
    /// Those of the store.
    pub async fn renew(&self, caller: &Caller) -> Result<String, Fault> {
        let id = &caller.account.id;
        let (token, kept) = draw(id)?;
        let was = caller.device.clone();
        let now = PairedDevice { next: Some(kept), ..was.clone() };
        if !self.store.keep_device(id, Some(was), now).await? {
            return Err(too_busy());
        }
        self.store.note(id, id, did(Deed::Renewed, &caller.device.name), self.now_ms()).await?;
        Ok(token)
    }

    /// Revokes a device of an account: into the ledger first, so that no backup brings it back. One that is revoked
    /// stays so.
    ///
    /// # Errors
    /// [`Fails::Missing`] where there is no such device; those of the store and the ledger.
    pub async fn revoke(&self, account: &AccountId, key: &str, who: &AccountId) -> Result<(), Fault> {
        for _ in 0..TRIES {
            let devices = self.store.devices(account).await?;
            let was = devices.into_iter().find(|d| d.key == key).ok_or_else(Fault::missing)?;
            if was.revoked_ms.is_some() {
                return Ok(());
            }
            let now_ms = self.now_ms();
            let fact = Fact::Revoked { account: account.clone(), device: key.to_owned() };
            self.ledger.write(fact, now_ms).await?;
            let now = PairedDevice { revoked_ms: Some(now_ms), next: None, ..was.clone() };
            let name = was.name.clone();
            if self.store.keep_device(account, Some(was), now).await? {
                self.store.note(account, who, did(Deed::Revoked, &name), now_ms).await?;
                return Ok(());
            }
        }
        Err(too_busy())
    }

    /// Erases an account: into the ledger first. Its name is not given again.
    ///
    /// # Errors
    /// [`Fails::Missing`] where there is no such account; those of the store and the ledger.
    pub async fn erase(&self, account: &AccountId) -> Result<(), Fault> {
        self.store.account(account).await?.ok_or_else(Fault::missing)?;
        self.ledger.write(Fact::Erased { account: account.clone() }, self.now_ms()).await?;
        Ok(self.store.erase(account).await?)
    }
}

/// What was done with a device.
pub(super) fn did(deed: Deed, device: &str) -> Did {
    Did { deed, what: vec![device.to_owned()] }
}
