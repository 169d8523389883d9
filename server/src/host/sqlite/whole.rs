//! The whole file: its check and its backup.

use super::super::store::{Asked, House, StoreFault};
use super::{SqliteStore, connect, record};
use plinth_core::record::Sum;
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, params};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::Path;
use std::time::Duration;

/// Pages that a copy takes at a time, and the pause after them: the host works on meanwhile.
const STEP_PAGES: i32 = 1024;
const PAUSE: Duration = Duration::from_millis(5);
/// Faults that are told.
const MOST_FAULTS: usize = 100;

/// What a check found.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Checked {
    /// Entries that are as they were written.
    pub entries: u64,
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

    /// Copies the store to one file, while it is in use. What is at `to` is replaced when the copy is whole. The copy
    /// is marked as one: a host that opens it takes a new epoch.
    ///
    /// # Errors
    /// Those of the disk; what was at `to` is there still.
    pub async fn backup(&self, to: &Path) -> Asked<()> {
        let (from, to) = (self.path.clone(), to.to_owned());
        let copied = tokio::task::spawn_blocking(move || backup(&from, &to));
        copied.await.map_err(|e| StoreFault::Engine(e.to_string()))?
    }
}

fn check(db: &Connection) -> Asked<Checked> {
    let mut checked = Checked::default();
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
        check_account(db, &account, number, bytes, &mut checked)?;
    }
    checked.faults.truncate(MOST_FAULTS);
    Ok(checked)
}

fn check_account(
    db: &Connection,
    account: &str,
    number: i64,
    bytes: i64,
    checked: &mut Checked,
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
                checked.entries += 1;
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

fn backup(from: &Path, to: &Path) -> Asked<()> {
    let io = |e: std::io::Error| StoreFault::Engine(e.to_string());
    if fs::canonicalize(from).ok().zip(fs::canonicalize(to).ok()).is_some_and(|(a, b)| a == b) {
        return Err(StoreFault::Engine("that is the store itself; give another path".into()));
    }
    let part = super::super::beside(to, "part");
    for end in ["", "-journal"] {
        let left = super::super::beside(to, &format!("part{end}"));
        if left.exists() {
            fs::remove_file(left).map_err(io)?;
        }
    }
    let source = connect(from)?;
    {
        super::super::ledger::private(fs::OpenOptions::new().write(true).create(true))
            .open(&part)
            .map_err(io)?;
        let mut copy = Connection::open(&part)?;
        {
            let backup = Backup::new(&source, &mut copy)?;
            loop {
                match backup.step(STEP_PAGES)? {
                    StepResult::Done => break,
                    _ => std::thread::sleep(PAUSE),
                }
            }
        }
        // One file, without a log beside it.
        copy.pragma_update(None, "journal_mode", "DELETE")?;
        let change = copy.transaction()?;
        if let Some(house) = super::house::house(&change)? {
            super::house::keep_house(&change, &House { copied: true, ..house })?;
        }
        change.commit()?;
        copy.close().map_err(|(_, e)| e)?;
    }
    File::open(&part).and_then(|f| f.sync_all()).map_err(io)?;
    fs::rename(&part, to).map_err(io)?;
    super::super::ledger::sync_folder(to);
    Ok(())
}
