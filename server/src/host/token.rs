//! Tokens: 256 random bits for each device, of which only the SHA-256 is kept.
//!
//! A token names its account before the secret, so that it is looked for in one account only: `ACCOUNT.SECRET`. All the
//! devices of the account are compared, each in constant time.

use super::Host;
use super::account::{Account, AccountId, Hashed, PairedDevice, hashed, random_hex};
use super::audit::{Deed, Did};
use super::fault::{Fails, Fault};
use super::ledger::Fact;
use super::store::Store;
use subtle::{Choice, ConditionallySelectable, ConstantTimeEq};

/// A device is noted as heard once in so long, milliseconds.
const HEARD_AGAIN_MS: i64 = 60 * 60 * 1000;
/// How often a write is tried that another one came before.
const TRIES: u32 = 8;

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

pub(super) fn no_random() -> Fault {
    Fault::new(Fails::Broken, "random", "the host has no random bytes", "try again later").later(60)
}

fn too_busy() -> Fault {
    Fault::new(Fails::Busy, "store_busy", "the host is busy", "try again later").later(1)
}

impl<S: Store> Host<S> {
    /// Who bears a token. The first use of a renewed token ends the one before.
    ///
    /// # Errors
    /// [`Fails::Token`], whatever is wrong with it; those of the store.
    pub async fn caller(&self, token: &str) -> Result<Caller, Fault> {
        let (id, secret) = token.split_once('.').ok_or_else(Fault::token)?;
        let id: AccountId = id.parse().map_err(|_| Fault::token())?;
        let given = hashed(secret);
        for _ in 0..TRIES {
            let devices = self.store.devices(&id).await?;
            let (mut found, mut renewed) = (u32::MAX, Choice::from(0));
            for (k, device) in devices.iter().enumerate() {
                let live = Choice::from(u8::from(device.revoked_ms.is_none()));
                let by_token = device.token.ct_eq(&given) & live;
                let next = device.next.unwrap_or([0; 32]);
                let by_next = next.ct_eq(&given) & live & Choice::from(u8::from(device.next.is_some()));
                found.conditional_assign(&u32::try_from(k).unwrap_or(u32::MAX), by_token | by_next);
                renewed |= by_next;
            }
            let device = usize::try_from(found).ok().and_then(|k| devices.get(k)).ok_or_else(Fault::token)?;
            let account = self.store.account(&id).await?.ok_or_else(Fault::token)?;
            let mut now = device.clone();
            if renewed.into() {
                (now.token, now.next) = (given, None);
            }
            let now_ms = self.now_ms();
            if now_ms.saturating_sub(now.seen_ms) >= HEARD_AGAIN_MS {
                now.seen_ms = now_ms;
            }
            if now == *device || self.store.keep_device(&id, Some(device.clone()), now.clone()).await? {
                return Ok(Caller { account, device: now });
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
