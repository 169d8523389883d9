//! Writes that come by no sync: what a coach writes into a lifter's record, and what a desk keeps in the coach's own.

use super::Host;
use super::account::AccountId;
use super::audit::{Deed, Did};
use super::fault::{Fails, Fault};
use super::grant::Standing;
use super::store::Store;
use super::taking::{self, By, Pushed, Taken};
use super::watch::more;
use plinth_core::record::DeviceId;
use plinth_core::sync::RefusedEntry;

/// How often a change is tried that another one came before.
const TRIES: u32 = 8;

/// What became of a write.
#[derive(Debug, Default)]
pub struct Put {
    /// Positions of what was taken.
    pub took: Vec<u32>,
    /// What was not.
    pub refused: Vec<RefusedEntry>,
    /// The kinds of what changed.
    changed: Vec<String>,
}

impl<S: Store> Host<S> {
    /// Writes into a lifter's record as a coach, within what is granted. What was written, and a try that was refused,
    /// is noted where the lifter reads it.
    ///
    /// # Errors
    /// Those of the store; [`Fails::Busy`] where others write without an end.
    pub async fn put_as_coach(
        &self,
        lifter: &AccountId,
        coach: &AccountId,
        may: &Standing,
        pushed: &Pushed,
    ) -> Result<Put, Fault> {
        let put = self.put(lifter, pushed, By::Coach(coach, may)).await?;
        if !put.changed.is_empty() {
            let did = Did { deed: Deed::Wrote, what: put.changed.clone() };
            self.store.note(lifter, coach, did, self.now_ms()).await?;
        }
        if put.refused.iter().any(|r| r.code == "not_granted") {
            let did = Did { deed: Deed::Refused, what: Vec::new() };
            self.store.note(lifter, coach, did, self.now_ms()).await?;
        }
        Ok(put)
    }

    /// Writes into an account's own record, as one of its devices. For what names nobody: a grant goes by a sync.
    ///
    /// # Errors
    /// As [`Self::put_as_coach`].
    pub async fn put_own(
        &self,
        account: &AccountId,
        device: DeviceId,
        pushed: &Pushed,
    ) -> Result<Put, Fault> {
        self.put(account, pushed, By::Device(device)).await
    }

    async fn put(&self, account: &AccountId, pushed: &Pushed, by: By<'_>) -> Result<Put, Fault> {
        for _ in 0..TRIES {
            let head = self.store.head(account, DeviceId::new(0), &self.house.epoch).await?;
            let Taken { took, refused, change, .. } =
                taking::take(&self.store, account, &head, pushed, by, self.bounds()).await?;
            let mut changed: Vec<String> = change.entries.iter().map(|w| w.kind.name().to_owned()).collect();
            changed.sort_unstable();
            changed.dedup();
            if !changed.is_empty() && !self.store.commit(account, change).await? {
                continue;
            }
            more(&self.counts.taken, took.len());
            more(&self.counts.refused, refused.len());
            return Ok(Put { took, refused, changed });
        }
        Err(Fault::new(Fails::Busy, "store_busy", "others write to the account", "try again later").later(1))
    }
}
