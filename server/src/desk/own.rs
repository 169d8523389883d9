//! The coach's own record, as far as the desk keeps things in it: drafts, publications and groups.
//!
//! They are entries of the coach's account like any other, so that they survive the host's end, are in its backups, and
//! go with the coach's export. What is held in memory is read on from a number at each look.

use super::Desk;
use super::visit::Visit;
use crate::host::account::AccountId;
use crate::host::fault::{Fails, Fault};
use crate::host::store::{Kept, Store};
use plinth_core::record::{DeviceId, Edit, Entry, EntryId, Kind, Stamp, View};
use plinth_core::store::system_random;
use std::collections::{BTreeMap, HashMap};
use std::sync::{Arc, Mutex, PoisonError};

/// Coaches whose own entries are held at once; the one who was here the longest ago goes first.
const MOST: usize = 100;

#[derive(Default)]
struct Mine {
    epoch: String,
    cursor: u64,
    entries: BTreeMap<EntryId, Entry>,
}

type Place = Arc<tokio::sync::Mutex<Mine>>;

/// The own records of coaches, and what stamps the desk's writes.
pub(super) struct Own {
    held: Mutex<HashMap<AccountId, (i64, Place)>>,
    /// Who writes, in stamps: this desk, until its process ends.
    device: DeviceId,
    last: Mutex<(u64, u16)>,
}

impl Default for Own {
    fn default() -> Self {
        let mut bits = [0; 8];
        // Without randomness two desks might be one device; their stamps still rise, each by its clock.
        let _ = system_random(&mut bits);
        Self {
            held: Mutex::default(),
            device: DeviceId::new(u64::from_le_bytes(bits)),
            last: Mutex::default(),
        }
    }
}

impl Own {
    /// A stamp greater than every one before, and than `replaced`.
    pub(super) fn stamp(&self, now_ms: i64, replaced: Option<Stamp>) -> Stamp {
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let now = (u64::try_from(now_ms).unwrap_or(0), 0);
        let beyond = replaced.map_or((0, 0), |s| (s.millis, s.counter));
        let reached = beyond.max(*last);
        let after = match reached.1.checked_add(1) {
            Some(counter) => (reached.0, counter),
            None => (reached.0 + 1, 0),
        };
        *last = now.max(after);
        Stamp { millis: last.0, counter: last.1, device: self.device }
    }

    fn place(&self, account: &AccountId, now_ms: i64) -> Place {
        let mut all = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= MOST && !all.contains_key(account) {
            let oldest = all.iter().min_by_key(|(_, (looked, _))| *looked).map(|(key, _)| key.clone());
            oldest.map(|oldest| all.remove(&oldest));
        }
        let (looked, place) = all.entry(account.clone()).or_default();
        *looked = now_ms;
        Arc::clone(place)
    }
}

/// What the desk keeps for a coach.
fn is_kept(kind: &Kind) -> bool {
    matches!(kind, Kind::Draft | Kind::Publication | Kind::Group)
}

/// Reads on to the end of the account.
async fn read_on<S: Store>(desk: &Desk<S>, account: &AccountId, mine: &mut Mine) -> Result<(), Fault> {
    let host = &desk.host;
    if mine.epoch != host.house.epoch {
        *mine = Mine { epoch: host.house.epoch.clone(), ..Mine::default() };
    }
    loop {
        let page =
            host.store.after(account, mine.cursor, None, host.limits.entries, host.limits.body_bytes).await?;
        mine.cursor = page.up_to;
        let entries = page.entries.into_iter().filter_map(Kept::held).map(|held| held.entry);
        mine.entries.extend(entries.filter(|e| is_kept(&e.kind)).map(|e| (e.id, e)));
        if !page.more {
            return Ok(());
        }
    }
}

/// A coach's own entries of a kind that were not deleted, oldest first.
pub(super) async fn entries<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    kind: &Kind,
) -> Result<Vec<Entry>, Fault> {
    let account = &visit.caller.account.id;
    let place = desk.own.place(account, desk.host.now_ms());
    let mut mine = place.lock().await;
    read_on(desk, account, &mut mine).await?;
    Ok(mine.entries.values().filter(|e| e.kind == *kind && !e.deleted()).cloned().collect())
}

/// One of them; nothing where there is none, or none of the kind.
pub(super) async fn entry<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    kind: &Kind,
    id: EntryId,
) -> Result<Option<Entry>, Fault> {
    let account = &visit.caller.account.id;
    let place = desk.own.place(account, desk.host.now_ms());
    let mut mine = place.lock().await;
    read_on(desk, account, &mut mine).await?;
    Ok(mine.entries.get(&id).filter(|e| e.kind == *kind && !e.deleted()).cloned())
}

/// Writes into the coach's own record; all of it, or nothing.
///
/// # Errors
/// The first field that its kind does not take; an account that is full; those of the store.
pub(super) async fn write<S: Store>(desk: &Desk<S>, visit: &Visit, edits: &[Edit]) -> Result<(), Fault> {
    let account = &visit.caller.account.id;
    let place = desk.own.place(account, desk.host.now_ms());
    let mut mine = place.lock().await;
    read_on(desk, account, &mut mine).await?;
    let mut pushed = Vec::with_capacity(edits.len());
    for edit in edits {
        let there = mine.entries.get(&edit.id);
        pushed.push(Ok(stamped(desk, edit, there)?.into()));
    }
    let put = desk.host.put_own(account, desk.own.device, &pushed).await?;
    if let Some(refused) = put.refused.into_iter().next() {
        return Err(Fault::new(Fails::Asked, "refused", refused.reason, "see what the desk keeps for you"));
    }
    read_on(desk, account, &mut mine).await
}

/// An edit as the entry that it becomes, its fields stamped now; `there` is what it changes.
pub(super) fn stamped<S: Store>(desk: &Desk<S>, edit: &Edit, there: Option<&Entry>) -> Result<Entry, Fault> {
    let mut entry = Entry::new(edit.id, edit.kind.clone());
    let stamp = desk.own.stamp(desk.host.now_ms(), there.and_then(|e| e.replaced_by(edit)));
    entry
        .write(edit, stamp)
        .map_err(|f| Fault::new(Fails::Asked, f.code, f.reason, f.remedy).at(&f.field))?;
    Ok(entry)
}

/// A view of an entry.
pub(super) fn view<V: View>(entry: &Entry) -> V {
    V::read(entry).0
}

/// A fresh id.
///
/// # Errors
/// The system gives no random bytes.
pub(super) fn fresh_id<S: Store>(desk: &Desk<S>) -> Result<EntryId, Fault> {
    let mut random = [0; 10];
    if !system_random(&mut random) {
        return Err(crate::host::token::no_random());
    }
    Ok(EntryId::new(u64::try_from(desk.host.now_ms()).unwrap_or(0), random))
}

/// Now, as entries say it.
pub(super) fn time_of<S: Store>(desk: &Desk<S>) -> plinth_core::record::Time {
    plinth_core::record::Time::of(&desk.moment())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stamp_exceeds_every_one_before_whatever_the_clock_says() {
        let own = Own::default();
        let first = own.stamp(1_000, None);
        let back = own.stamp(10, None);
        assert!(back > first, "a clock that went back");
        let theirs = Stamp { millis: 5_000, counter: u16::MAX, device: DeviceId::new(u64::MAX) };
        let over = own.stamp(1_000, Some(theirs));
        assert!(over > theirs && over.millis == 5_001);
    }
}
