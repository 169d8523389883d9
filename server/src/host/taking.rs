//! Takes pushed entries: each by itself, merged field by field, and all that are good in one change.

use super::Quota;
use super::account::AccountId;
use super::grant::{Standing, withdrawn};
use super::store::{Asked, Change, Head, Held, Kept, Loaded, Old, Shown, Store, Written};
use plinth_core::record::{
    DeviceId, Entry, EntryId, GrantFields, Kind, MOST_FIELDS, Stamp, Sum, View, read_entry,
};
use plinth_core::sync::RefusedEntry;
use serde_json::value::RawValue;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// Who pushes.
#[derive(Debug, Clone, Copy)]
pub enum By<'a> {
    /// A device of the account itself.
    Device(DeviceId),
    /// A coach, within a grant.
    Coach(&'a AccountId, &'a Standing),
}

/// An entry that was pushed, with what is kept of it where nothing is there yet.
#[derive(Debug)]
pub struct Pushing {
    entry: Entry,
    text: String,
    digest: [u8; 32],
}

impl From<Entry> for Pushing {
    fn from(entry: Entry) -> Self {
        let (text, digest) = entry.text_and_digest();
        Self { entry, text, digest }
    }
}

/// What was pushed, read: an entry at each position, or why it is none.
pub type Pushed = Vec<Result<Pushing, RefusedEntry>>;

/// Entries from which on reading them is shared among the processor's cores.
const SHARED_FROM: usize = 64;
/// Cores that share it.
const MOST_CORES: usize = 4;

/// Reads what was pushed. A stamp further ahead than `most_ms` is refused, and only here.
pub fn read(push: &[Box<RawValue>], most_ms: u64) -> Pushed {
    let numbered: Vec<(u32, &RawValue)> = (0..).zip(push.iter().map(|raw| &**raw)).collect();
    let some = |part: &[(u32, &RawValue)]| -> Pushed {
        part.iter().map(|(at, raw)| read_one(*at, raw, most_ms).map(Pushing::from)).collect()
    };
    let cores = std::thread::available_parallelism().map_or(1, |n| n.get().min(MOST_CORES));
    if numbered.len() < SHARED_FROM || cores == 1 {
        return some(&numbered);
    }
    let (own, others) = numbered.split_at(numbered.len().div_ceil(cores));
    std::thread::scope(|scope| {
        let parts: Vec<_> = others
            .chunks(own.len())
            .map(|part| (part, std::thread::Builder::new().spawn_scoped(scope, || some(part))))
            .collect();
        let mut all = some(own);
        for (part, reading) in parts {
            // What no thread could be had for, or was not brought to an end there, is read here.
            all.extend(reading.ok().and_then(|t| t.join().ok()).unwrap_or_else(|| some(part)));
        }
        all
    })
}

fn read_one(at: u32, raw: &RawValue, most_ms: u64) -> Result<Entry, RefusedEntry> {
    let entry = read_entry(raw.get().as_bytes()).map_err(|r| RefusedEntry {
        at,
        id: r.entry.and_then(|id| id.parse().ok()),
        code: r.code.into(),
        field: r.field,
        reason: r.reason,
        remedy: r.remedy,
    })?;
    match entry.fields.iter().find(|(_, f)| f.stamp.millis > most_ms) {
        None => Ok(entry),
        Some((name, _)) => Err(RefusedEntry {
            field: Some(name.to_string()),
            ..refused(
                at,
                &entry,
                "stamp_ahead",
                "a stamp is too far ahead",
                "stamp it anew by the server's clock",
            )
        }),
    }
}

/// What would follow from a push.
#[derive(Debug, Default)]
pub struct Taken {
    /// Positions of what is taken.
    pub took: Vec<u32>,
    /// What is not.
    pub refused: Vec<RefusedEntry>,
    /// What changes in the account.
    pub change: Change,
    /// Grants that are withdrawn by it, each with its greatest stamp.
    pub withdrawn: Vec<(EntryId, Stamp)>,
    /// Whom its grants name.
    pub names: Vec<AccountId>,
}

/// How long an entry may become, and what an account may own.
#[derive(Debug, Clone, Copy)]
pub struct Bounds {
    /// The longest entry, bytes of text.
    pub entry_bytes: u64,
    /// The account's.
    pub quota: Quota,
}

/// Works out what follows from a push where the account stands at `head`. Nothing is written yet.
///
/// # Errors
/// Those of the store.
pub async fn take<S: Store>(
    store: &S,
    account: &AccountId,
    head: &Head,
    pushed: &Pushed,
    by: By<'_>,
    bounds: Bounds,
) -> Asked<Taken> {
    let mut ids: Vec<EntryId> = pushed.iter().flatten().map(|p| p.entry.id).collect();
    ids.sort_unstable();
    ids.dedup();
    let Loaded { held, damaged } =
        if ids.is_empty() { Loaded::default() } else { store.load(account, ids).await? };
    let mut room = Room {
        held: held.into_iter().map(|h| (h.entry.id, h)).collect(),
        damaged: damaged.into_iter().map(|(id, kind, digest)| (id, (kind, digest))).collect(),
        sums: head.sums.clone(),
        number: head.number,
        bytes: head.bytes,
        changed: BTreeMap::new(),
    };
    let mut taken = Taken::default();
    for (at, entry) in (0..).zip(pushed) {
        match entry.as_ref().map_err(Clone::clone).and_then(|p| room.put(at, p, by, bounds, &mut taken)) {
            Ok(()) => taken.took.push(at),
            Err(refused) => taken.refused.push(refused),
        }
    }
    taken.change = Change {
        was: head.number,
        number: room.number,
        bytes: room.bytes,
        entries: room.changed.into_values().map(|(_, written)| written).collect(),
        sums: room.sums.into_iter().filter(|(kind, sum)| head.sums.get(kind) != Some(sum)).collect(),
        shown: None::<Shown>,
    };
    Ok(taken)
}

/// The account as it would be after what was taken so far.
struct Room<'a> {
    held: BTreeMap<EntryId, Held>,
    damaged: BTreeMap<EntryId, (String, [u8; 32])>,
    sums: BTreeMap<String, Sum>,
    number: u64,
    bytes: u64,
    /// What was taken so far, as it is and as it is written.
    changed: BTreeMap<EntryId, (Cow<'a, Entry>, Written)>,
}

impl<'a> Room<'a> {
    fn put(
        &mut self,
        at: u32,
        pushed: &'a Pushing,
        by: By<'_>,
        bounds: Bounds,
        taken: &mut Taken,
    ) -> Result<(), RefusedEntry> {
        let entry = &pushed.entry;
        let changed = self.changed.get(&entry.id);
        let old = match (changed, self.held.get(&entry.id)) {
            (Some((entry, written)), _) => Some(Old { entry, made_by: written.kept.made_by.as_ref() }),
            (None, held) => held.map(Held::old),
        };
        if let By::Coach(coach, standing) = by {
            standing.may_write(coach, old, entry).map_err(|why| RefusedEntry {
                field: why.field,
                ..refused(at, entry, "not_granted", why.reason, "ask the lifter for a grant of it")
            })?;
        }
        let merged = match old {
            None => Cow::Borrowed(entry),
            Some(old) => {
                let mut merged = old.entry.clone();
                if !merged.merge(entry) {
                    return Ok(());
                }
                Cow::Owned(merged)
            }
        };
        let long = |code, reason: String, remedy| Err(refused(at, entry, code, reason, remedy));
        if merged.fields.len() > MOST_FIELDS {
            let reason = format!("with what is here it has more than {MOST_FIELDS} fields");
            return long("entry_fields", reason, "split it into several entries");
        }
        let (text, digest) = match &merged {
            Cow::Borrowed(_) => (pushed.text.clone(), pushed.digest),
            Cow::Owned(merged) => merged.text_and_digest(),
        };
        let length = text.len() as u64;
        if length > bounds.entry_bytes {
            let reason = format!("with what is here it is longer than {} bytes", bounds.entry_bytes);
            return long("entry_too_long", reason, "shorten it");
        }
        let was = match (changed, old) {
            (Some((_, written)), _) => written.kept.text.len() as u64,
            (None, old) => old.map_or(0, |h| h.entry.text().len() as u64),
        };
        let bytes = self.bytes.saturating_sub(was).saturating_add(length);
        let count: u64 = self.sums.values().map(|s| s.count).sum();
        let full = old.is_none() && count >= bounds.quota.entries
            || bytes > bounds.quota.bytes && bytes > self.bytes;
        if full {
            let reason = "the account is full".to_owned();
            return long("account_full", reason, "export what is old and erase it, or ask the host for room");
        }
        self.number += 1;
        self.bytes = bytes;
        if let Some(old) = old {
            let digest = changed.map_or_else(|| old.entry.digest(), |(_, written)| written.kept.digest);
            less(&mut self.sums, old.entry.kind.name(), &digest);
        } else if let Some((kind, digest)) = self.damaged.remove(&entry.id) {
            less(&mut self.sums, &kind, &digest);
        }
        self.sums.entry(merged.kind.name().to_owned()).or_default().add(&digest);
        if merged.kind == Kind::Grant {
            if let Some(to) = GrantFields::read(&merged).0.to.and_then(|to| to.parse().ok()) {
                taken.names.push(to);
            }
            let stood = old.is_some_and(|h| !withdrawn(h.entry));
            if let Some(stamp) = merged.last_written().filter(|_| stood && withdrawn(&merged)) {
                taken.withdrawn.push((merged.id, stamp));
            }
        }
        let number = self.number;
        let by_device = match by {
            By::Device(device) if old.is_none() || *merged == *entry => Some(device),
            _ => None,
        };
        let made_by = match (old, by) {
            (Some(old), _) => old.made_by.cloned(),
            (None, By::Coach(coach, _)) => Some(coach.clone()),
            (None, By::Device(_)) => None,
        };
        let kept = Kept { text, digest, number, by: by_device, made_by };
        let written = Written { id: entry.id, kind: merged.kind.clone(), kept };
        self.changed.insert(entry.id, (merged, written));
        Ok(())
    }
}

/// Takes an entry out of the sums: what was added by exclusive or goes by it.
fn less(sums: &mut BTreeMap<String, Sum>, kind: &str, digest: &[u8; 32]) {
    if let Some(sum) = sums.get_mut(kind) {
        sum.add(digest);
        sum.count = sum.count.saturating_sub(2);
    }
}

fn refused(at: u32, entry: &Entry, code: &str, reason: impl Into<String>, remedy: &str) -> RefusedEntry {
    RefusedEntry {
        at,
        id: Some(entry.id),
        code: code.into(),
        field: None,
        reason: reason.into(),
        remedy: remedy.into(),
    }
}
