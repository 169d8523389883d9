//! The check of the whole file.

use super::super::store::{Asked, StoreFault};
use super::copy::Copy;
use super::{SqliteStore, record};
use plinth_core::record::{Sum, hex_of};
use rusqlite::{Connection, params};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;

/// Faults that are told.
const MOST_FAULTS: usize = 100;

/// What a check found.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Checked {
    /// Accounts.
    pub accounts: u64,
    /// Entries that are as they were written.
    pub entries: u64,
    /// The digest of all of them, as 64 hexadecimal digits.
    pub digest: String,
    /// What is not as it was written, at most a hundred.
    pub faults: Vec<String>,
}

impl SqliteStore {
    /// Checks the file, every entry against its digest, and every account against its sums and its number.
    ///
    /// # Errors
    /// Those of the disk.
    pub async fn check(&self) -> Asked<Checked> {
        self.read(check).await
    }

    /// Copies the store to one file, while it is in use. What is at `to` is replaced when the copy is whole and was
    /// checked. The copy is marked as one: a host that opens it takes a new epoch.
    ///
    /// # Errors
    /// [`StoreFault::Damaged`] where the copy is; those of the disk. What was at `to` is there still.
    pub async fn backup(&self, to: &Path) -> Asked<Checked> {
        let (from, to) = (self.path.clone(), to.to_owned());
        let copied = tokio::task::spawn_blocking(move || Copy::of_store(&from, &to)?.keep());
        copied.await.map_err(|e| StoreFault::Engine(e.to_string()))?
    }
}

pub(super) fn check(db: &Connection) -> Asked<Checked> {
    let mut checked = Checked::default();
    let mut whole = Sum::default();
    let mut statement = db.prepare("PRAGMA integrity_check(20)")?;
    for line in statement.query_map([], |row| row.get::<_, String>(0))? {
        let line = line?;
        if line != "ok" {
            checked.faults.push(line);
        }
    }
    let mut accounts = db.prepare("SELECT id, number, bytes FROM account ORDER BY id")?;
    let mut rows = accounts.query([])?;
    while let Some(row) = rows.next()? {
        let (account, number, bytes): (String, i64, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
        checked.accounts += 1;
        check_account(db, &account, number, bytes, &mut checked, &mut whole)?;
    }
    checked.entries = whole.count;
    checked.digest = hex_of(&whole.digest);
    checked.faults.truncate(MOST_FAULTS);
    Ok(checked)
}

fn check_account(
    db: &Connection,
    account: &str,
    number: i64,
    bytes: i64,
    checked: &mut Checked,
    whole: &mut Sum,
) -> Asked<()> {
    let mut sums: BTreeMap<String, Sum> = BTreeMap::new();
    let (mut length, mut last) = (0_i64, 0_i64);
    let mut entries = db.prepare_cached(&format!("SELECT {} FROM entry WHERE account = ?1", record::HELD))?;
    let mut rows = entries.query([account])?;
    while let Some(row) = rows.next()? {
        let raw = record::Raw::of(row)?;
        length += i64::try_from(raw.body.len()).unwrap_or(i64::MAX);
        last = last.max(raw.number);
        match raw.held() {
            Some(held) => {
                whole.add(&held.entry.digest());
                sums.entry(raw.kind).or_default().add(&held.entry.digest());
            }
            None => checked.faults.push(format!("an entry of {account} differs from its digest")),
        }
    }
    let mut kept: BTreeMap<String, Sum> = BTreeMap::new();
    let mut statement = db.prepare_cached("SELECT kind, count, digest FROM kind_sum WHERE account = ?1")?;
    let mut rows = statement.query(params![account])?;
    while let Some(row) = rows.next()? {
        let sum = Sum { count: row.get::<_, i64>(1)?.unsigned_abs(), digest: row.get(2)? };
        if sum.count > 0 {
            kept.insert(row.get(0)?, sum);
        }
    }
    if kept != sums {
        checked.faults.push(format!("the sums of {account} are not those of its entries"));
    }
    if last > number || length != bytes {
        checked.faults.push(format!("the head of {account} is not that of its entries"));
    }
    Ok(())
}
