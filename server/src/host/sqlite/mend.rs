//! Mends a damaged store: what is good in it goes into a fresh file, row by row; the damaged one is set aside and never
//! changed.
//!
//! An entry is good when it agrees with its digest and an index says that it is the account's: the digest does not hold
//! the account, and no flipped bit may show one lifter's entry to another. What is not good is left out: the fresh file
//! is marked as a copy, so that it takes a new epoch, every device offers again what it has, and the ledger is followed
//! from its first line.

use super::super::account::{AccountId, Role};
use super::super::beside;
use super::super::ledger::{private, sync_folder};
use super::super::lock::hold;
use super::super::store::{Asked, House, StoreFault};
use super::record::{HELD, Raw};
use super::salvage::Salvage;
use super::whole::check;
use super::{bring_up_to_date, house, known, people, swap};
use plinth_core::record::{EntryId, GrantFields, Kind, Stamp, Sum, View};
use rusqlite::{Connection, Transaction, params};
use serde::Serialize;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

/// What became of a damaged store.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Mended {
    /// Entries that are good.
    pub entries: u64,
    /// Entries that were there and are not good: they lie in the store that was set aside.
    pub lost: Vec<Lost>,
    /// Accounts whose own row was lost. They were made again as lifters', whatever they were.
    pub made_again: Vec<String>,
    /// Whether what was withdrawn could not be read to its end, so that no grant counts until its lifter writes it anew.
    pub grants_withdrawn: bool,
    /// Where the damaged store lies.
    pub aside: PathBuf,
}

/// An entry that is not good.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Lost {
    /// Of this account, as far as it can be read.
    pub account: String,
    /// Its id, as far as it can be read.
    pub entry: String,
}

/// Why a store is not mended. It is as it was.
#[derive(Debug, thiserror::Error)]
pub enum MendFault {
    /// A host runs on it.
    #[error("a host holds this store")]
    Held,
    /// Nothing of it can be read.
    #[error("{0}")]
    Unreadable(StoreFault),
    /// The disk, or the fresh file.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<io::Error> for MendFault {
    fn from(error: io::Error) -> Self {
        Self::Store(StoreFault::of_disk(&error))
    }
}

/// Mends a store. Nothing where it is sound. It blocks.
///
/// # Errors
/// The store is as it was, or set aside whole with the fresh file beside it, which the next start puts in its place.
pub fn mend(store: &Path, now_ms: i64) -> Result<Option<Mended>, MendFault> {
    let _held = hold(store)?.ok_or(MendFault::Held)?;
    swap::finish(store, now_ms)?;
    // Read from a copy, so that nothing that is tried changes the damaged file.
    let copy = beside(store, "salvage");
    let part = beside(&swap::fresh(store), "part");
    let mended = build(store, &copy, &part, now_ms);
    for left in [&copy, &part] {
        // Best effort: the next mending takes it away.
        let _ = remove(left);
    }
    let Some(mended) = mended? else { return Ok(None) };
    let aside = swap::swap(store, now_ms)?.unwrap_or_default();
    Ok(Some(Mended { aside, ..mended }))
}

/// Makes the fresh file, whole and under its name. Nothing where the store is sound.
fn build(store: &Path, copy: &Path, part: &Path, now_ms: i64) -> Result<Option<Mended>, MendFault> {
    for left in [copy, part] {
        remove(left)?;
    }
    copy_with_log(store, copy)?;
    let salvage = Salvage::open(copy).map_err(MendFault::Unreadable)?;
    if known(salvage.db(), store).and_then(|()| check(salvage.db())).is_ok_and(|c| c.faults.is_empty()) {
        return Ok(None);
    }
    private(OpenOptions::new().write(true).create(true)).open(part)?;
    let mut fresh = Connection::open(part).map_err(StoreFault::from)?;
    bring_up_to_date(&mut fresh)?;
    let change = fresh.transaction().map_err(StoreFault::from)?;
    let mended = fill(&change, &salvage, now_ms)?;
    change.commit().map_err(StoreFault::from)?;
    if let Some(fault) = check(&fresh)?.faults.into_iter().next() {
        return Err(StoreFault::Damaged(fault).into());
    }
    fresh.close().map_err(|(_, e)| StoreFault::from(e))?;
    File::open(part)?.sync_all()?;
    fs::rename(part, swap::fresh(store))?;
    sync_folder(store);
    Ok(Some(mended))
}

/// Copies a file of SQLite with the log that belongs to it.
fn copy_with_log(from: &Path, to: &Path) -> io::Result<()> {
    fs::copy(from, to)?;
    let log = swap::with_end(from, "-wal");
    if log.exists() {
        fs::copy(log, swap::with_end(to, "-wal"))?;
    }
    Ok(())
}

fn remove(file: &Path) -> io::Result<()> {
    for end in ["", "-wal", "-shm", "-journal"] {
        match fs::remove_file(swap::with_end(file, end)) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(e),
            _ => {}
        }
    }
    Ok(())
}

/// Puts into a fresh file what is good.
fn fill(db: &Transaction<'_>, salvage: &Salvage, now_ms: i64) -> Asked<Mended> {
    if let Some(house) = house::house(salvage.db()).ok().flatten() {
        house::keep_house(db, &House { copied: true, ..house })?;
    }
    let mut entries = Entries::default();
    let lost = salvage.each_entry(&mut |account, raw, numbered| entries.put(db, account, raw, numbered))?;
    for (account, raw) in std::mem::take(&mut entries.unnumbered) {
        entries.put_last(db, &account, &raw)?;
    }
    let mut mended = Mended { entries: entries.count, lost, ..Mended::default() };
    for (coach, lifter) in &entries.named {
        people::name_coach(db, coach, lifter)?;
    }
    let devices = salvage.devices();
    let mut owners: BTreeSet<AccountId> = entries.accounts.keys().cloned().collect();
    owners.extend(devices.iter().map(|(account, _)| account.clone()));
    let mut accounts = salvage.accounts();
    for owner in owners {
        if let Entry::Vacant(place) = accounts.entry(owner) {
            mended.made_again.push(place.key().to_string());
            place.insert((Role::Lifter.name().to_owned(), now_ms, 0));
        }
    }
    for (account, (role, made_ms, number)) in &accounts {
        let at = entries.accounts.get(account).copied().unwrap_or_default();
        // Numbers only grow, so that a coach who has come so far misses nothing.
        let number = at.number.max(*number);
        db.execute(
            "INSERT INTO account (id, role, made_ms, number, bytes) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![account.as_str(), role, made_ms, number, at.bytes],
        )?;
    }
    for ((account, kind), sum) in &entries.sums {
        db.execute(
            "INSERT INTO kind_sum (account, kind, count, digest) VALUES (?1, ?2, ?3, ?4)",
            params![account.as_str(), kind, i64::try_from(sum.count).unwrap_or(i64::MAX), sum.digest],
        )?;
    }
    for (account, device) in devices {
        people::keep_device(db, &account, None, &device)?;
    }
    let (voided, whole) = salvage.voided();
    for (account, grant, stamp) in voided {
        people::void(db, &account, grant, stamp)?;
    }
    if !whole {
        mended.grants_withdrawn = true;
        for (account, grant, stamp) in entries.grants {
            people::void(db, &account, grant, stamp)?;
        }
    }
    salvage.copy_audit(db)?;
    Ok(mended)
}

/// Where an account stands while its entries are put.
#[derive(Debug, Clone, Copy, Default)]
struct At {
    number: i64,
    bytes: i64,
}

/// What is known of the entries that were put.
#[derive(Default)]
struct Entries {
    count: u64,
    accounts: BTreeMap<AccountId, At>,
    sums: BTreeMap<(AccountId, String), Sum>,
    named: BTreeSet<(AccountId, AccountId)>,
    grants: Vec<(AccountId, EntryId, Stamp)>,
    unnumbered: Vec<(AccountId, Raw)>,
}

impl Entries {
    /// Puts an entry under its number. One whose number cannot be believed comes after all others.
    fn put(&mut self, db: &Transaction<'_>, account: &AccountId, raw: Raw, numbered: bool) -> Asked<()> {
        if !numbered {
            self.unnumbered.push((account.clone(), raw));
            return Ok(());
        }
        match self.insert(db, account, &raw, raw.number) {
            // Another one has the number.
            Err(StoreFault::Damaged(_)) => {
                self.unnumbered.push((account.clone(), raw));
                Ok(())
            }
            put => put,
        }
    }

    fn put_last(&mut self, db: &Transaction<'_>, account: &AccountId, raw: &Raw) -> Asked<()> {
        let number = self.accounts.get(account).map_or(0, |at| at.number) + 1;
        self.insert(db, account, raw, number)
    }

    fn insert(&mut self, db: &Transaction<'_>, account: &AccountId, raw: &Raw, number: i64) -> Asked<()> {
        let Some(held) = raw.held() else { return Ok(()) };
        let entry = &held.entry;
        let mut put = db.prepare_cached(&format!(
            "INSERT INTO entry (account, {HELD}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) \
             ON CONFLICT (account, id) DO NOTHING"
        ))?;
        let new = put.execute(params![
            account.as_str(),
            &entry.id.bytes()[..],
            raw.kind,
            raw.body,
            entry.digest(),
            number,
            held.by.map(|d| d.to_string()).unwrap_or_default(),
            held.made_by.as_ref().map_or("", AccountId::as_str),
        ])?;
        if new == 0 {
            return Ok(());
        }
        self.count += 1;
        let at = self.accounts.entry(account.clone()).or_default();
        at.number = at.number.max(number);
        at.bytes += i64::try_from(raw.body.len()).unwrap_or(i64::MAX);
        self.sums.entry((account.clone(), raw.kind.clone())).or_default().add(&entry.digest());
        if entry.kind == Kind::Grant {
            if let Some(to) = GrantFields::read(entry).0.to.and_then(|to| to.parse().ok()) {
                self.named.insert((to, account.clone()));
            }
            self.grants.extend(entry.last_written().map(|stamp| (account.clone(), entry.id, stamp)));
        }
        Ok(())
    }
}
