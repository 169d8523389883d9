//! A damaged file: set aside, never deleted; what is good in it goes into a fresh one, entry by entry.

use super::error::StoreError;
use super::rows::{Keep, RawRow, Session};
use super::{Opened, Random, Store, carve, clock, connect, files, migrate, outbox, rows, write};
use crate::moment::Moment;
use crate::record::{Entry, EntryId, Stamp};
use rusqlite::Connection;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// What became of a damaged record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Recovery {
    /// Where the damaged file lies now.
    pub aside: PathBuf,
    /// How many entries are good.
    pub recovered: usize,
    /// Entries that were there and could not be recovered as they were.
    pub lost: Vec<Lost>,
    /// Whether the list of entries itself could not be read to its end, so that more may be lost.
    pub may_be_more: bool,
    /// Whether the open session's snapshot was lost.
    pub floor_lost: bool,
}

/// An entry that could not be recovered as it was.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Lost {
    /// Its id, in its text form.
    pub entry: String,
    /// Whether an older version of it was found and kept.
    pub older_kept: bool,
}

fn marker(path: &Path) -> PathBuf {
    files::beside(path, "damage-seen")
}

pub(super) fn marked(path: &Path) -> bool {
    marker(path).exists()
}

/// Best effort: without the mark the damage is noticed again when it is read again.
pub(super) fn mark(path: &Path) {
    if path.as_os_str().is_empty() {
        return; // in memory
    }
    let _ = fs::File::create(marker(path)).and_then(|file| file.sync_all());
}

pub(super) fn recover(path: &Path, moment: &Moment, random: Random<'_>) -> Result<Opened, StoreError> {
    // Read from a copy, so that nothing that is tried changes the damaged file.
    let copy = files::beside(path, "salvage");
    files::remove(&copy)?;
    fs::copy(path, &copy)?;
    let log = PathBuf::from(format!("{}-wal", path.display()));
    if log.exists() {
        fs::copy(&log, format!("{}-wal", copy.display()))?;
    }
    let bytes = fs::read(path)?;
    let mut salvage = Salvage { complete: false, floor_lost: true, ..Salvage::default() };
    // A file that cannot even be opened gives what lies in its bytes.
    if let Ok(db) = open_copy(&copy) {
        salvage.read(&db);
    }
    salvage.carve(&bytes);
    files::remove(&copy)?;
    if salvage.good.is_empty() && salvage.ids.is_empty() && !looks_like_ours(&bytes) {
        return Err(StoreError::NotARecord { path: path.to_owned() });
    }
    build(path, &salvage, random)?;
    let aside = files::free_name(path, "damaged", moment);
    files::swap(path, &aside, || {
        let _ = fs::remove_file(marker(path)); // a mark that stays costs one more recovery
    })?;
    let opened = Store::open_good(path, random)?;
    let lost = salvage
        .ids
        .iter()
        .filter(|id| !salvage.sure.contains(*id))
        .map(|id| Lost {
            entry: EntryId::from_bytes(id).map_or_else(|| format!("{id:02x?}"), |id| id.to_string()),
            older_kept: EntryId::from_bytes(id).is_some_and(|id| salvage.good.contains_key(&id)),
        })
        .collect();
    let recovery = Recovery {
        aside,
        recovered: salvage.good.len(),
        lost,
        may_be_more: !salvage.complete,
        floor_lost: salvage.floor_lost,
    };
    Ok(Opened { recovered: Some(recovery), ..opened })
}

fn open_copy(copy: &Path) -> Result<Connection, StoreError> {
    let db = Connection::open(copy)?;
    db.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
    Ok(db)
}

fn looks_like_ours(bytes: &[u8]) -> bool {
    let head = bytes.get(..100).unwrap_or_default();
    // A flipped bit spoils at most one of the two.
    head.windows(10).any(|w| w == b"te format ") || bytes.windows(18).any(|w| w == b"CREATE TABLE entry")
}

#[derive(Default)]
struct Salvage {
    good: BTreeMap<EntryId, Entry>,
    /// Ids whose row was read and agreed with its digest.
    sure: BTreeSet<Vec<u8>>,
    /// All ids that were seen.
    ids: BTreeSet<Vec<u8>>,
    complete: bool,
    floor: Option<Session>,
    floor_lost: bool,
    last: Option<Stamp>,
}

impl Salvage {
    fn read(&mut self, db: &Connection) {
        let ids = self.read_ids(db, "SELECT id FROM entry INDEXED BY sqlite_autoindex_entry_1 ORDER BY id");
        let forward =
            self.read_rows(db, "SELECT id, kind, body, digest FROM entry NOT INDEXED ORDER BY rowid");
        if !forward {
            self.read_rows(db, "SELECT id, kind, body, digest FROM entry NOT INDEXED ORDER BY rowid DESC");
        }
        // Through the index each row is found by itself, so that one bad page hides only its own.
        for id in self.ids.clone() {
            if !self.sure.contains(&id) {
                let row = db
                    .prepare_cached("SELECT id, kind, body, digest FROM entry WHERE id = ?1")
                    .and_then(|mut s| s.query_row([&id], RawRow::of));
                if let Ok(row) = row {
                    self.take_row(&row);
                }
            }
        }
        self.complete = ids && (forward || self.ids.iter().all(|id| self.sure.contains(id)));
        match rows::session(db) {
            Ok(floor) => (self.floor, self.floor_lost) = (floor, false),
            Err(_) => self.floor_lost = true,
        }
        self.last = rows::meta(db, "last_stamp").ok().flatten().and_then(|t| t.parse().ok());
    }

    fn read_ids(&mut self, db: &Connection, query: &str) -> bool {
        let mut each = || -> rusqlite::Result<()> {
            let mut statement = db.prepare(query)?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                self.ids.insert(row.get(0)?);
            }
            Ok(())
        };
        each().is_ok()
    }

    /// Whether the table was read to its end.
    fn read_rows(&mut self, db: &Connection, query: &str) -> bool {
        let Ok(mut statement) = db.prepare(query) else { return false };
        let Ok(mut rows) = statement.query([]) else { return false };
        loop {
            match rows.next() {
                Ok(Some(row)) => {
                    if let Ok(row) = RawRow::of(row) {
                        self.take_row(&row);
                    }
                }
                Ok(None) => return true,
                Err(_) => return false,
            }
        }
    }

    fn take_row(&mut self, row: &RawRow) {
        if let Ok(entry) = row.entry() {
            self.sure.insert(row.id.clone());
            self.ids.insert(row.id.clone());
            self.take(entry);
        } else if EntryId::from_bytes(&row.id).is_some() {
            self.ids.insert(row.id.clone());
        }
    }

    fn take(&mut self, entry: Entry) {
        match self.good.get_mut(&entry.id) {
            Some(known) => {
                known.merge(&entry);
            }
            None => {
                self.good.insert(entry.id, entry);
            }
        }
    }

    fn carve(&mut self, bytes: &[u8]) {
        for entry in carve::entries(bytes) {
            // What SQLite read well is newer than, or the same as, any copy that lies about.
            if !self.sure.contains(&entry.id.bytes()[..]) {
                self.take(entry);
            }
        }
    }
}

/// Makes the fresh file. All of it waits to be sent, and the device is a new one: what was given a stamp and lost must
/// not meet another value under the same stamp.
fn build(path: &Path, salvage: &Salvage, random: Random<'_>) -> Result<(), StoreError> {
    let fresh = files::fresh(path);
    files::remove(&fresh)?;
    let mut db = connect(&fresh)?;
    migrate::bring_up_to_date(&mut db, &fresh)?;
    let mut ticking = clock::load(&db, random)?;
    if let Some(last) = salvage.last.filter(|last| last.millis <= Stamp::FURTHEST) {
        ticking.observe(last);
    }
    let transaction = db.transaction()?;
    for entry in salvage.good.values() {
        write::merge_one(&transaction, &mut ticking, entry)?;
        outbox::add(&transaction, &entry.id)?;
    }
    if let Some(floor) = &salvage.floor {
        rows::keep_session(&transaction, Keep::Whole(&floor.whole))?;
        for step in &floor.steps {
            rows::keep_session(&transaction, Keep::Step(step))?;
        }
    }
    clock::save(&transaction, &ticking)?;
    transaction.commit()?;
    db.close().map_err(|(_, e)| e)?;
    Ok(())
}
