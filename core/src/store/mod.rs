//! The record on disk: one SQLite file whose entries never change in silence.
//!
//! One connection writes; every write is durable before it is answered; every entry carries its digest and is verified
//! whenever it is read. `docs/decisions/0011` says how damage is noticed.

mod carve;
mod check;
mod clock;
mod error;
mod exchange;
mod files;
mod migrate;
mod outbox;
mod recover;
mod rows;
mod seal;
mod sums;
mod synced;
#[cfg(test)]
mod tests;
mod write;

pub use check::Checked;
pub use error::{CALLED_OFF, StoreError};
pub use exchange::Imported;
pub use files::Restored;
pub use migrate::LATEST;
pub use recover::{Lost, Recovery};
pub use rows::{Keep, Session};
pub use seal::{Key, seal, seal_for, unseal, unseal_file, unseal_with};
pub use sums::{Best, MovementSum, Sums, WeekSum};
pub use synced::{Received, SetAside};

use crate::moment::Moment;
use crate::record::{Clock, DeviceId, Entry, EntryId, Kind};
use rusqlite::{Connection, OpenFlags, params};
use std::path::{Path, PathBuf};

/// Fills a buffer with random bytes, or says that it cannot.
pub type Random<'a> = &'a mut dyn FnMut(&mut [u8]) -> bool;

/// Random bytes of the system, for [`Store::open`].
pub fn system_random(buffer: &mut [u8]) -> bool {
    getrandom::fill(buffer).is_ok()
}

/// Bytes that repeat with the seed (`SplitMix64`, Steele et al. 2014), for replays; never for keys.
pub fn repeatable_random(mut seed: u64) -> impl FnMut(&mut [u8]) -> bool + Send {
    move |buffer: &mut [u8]| {
        for chunk in buffer.chunks_mut(8) {
            seed = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = seed;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            let bytes = (z ^ (z >> 31)).to_le_bytes();
            chunk.copy_from_slice(&bytes[..chunk.len()]);
        }
        true
    }
}

/// The record on disk.
#[derive(Debug)]
pub struct Store {
    db: Connection,
    path: PathBuf,
    clock: Clock,
}

/// An open store, and what had to be done to open it.
#[derive(Debug)]
pub struct Opened {
    /// The store.
    pub store: Store,
    /// What was recovered, when the file was damaged.
    pub recovered: Option<Recovery>,
    /// The backup that was taken before the file was brought to this version.
    pub backup: Option<PathBuf>,
}

impl Store {
    /// Opens the record at `path`, or makes one.
    ///
    /// An older file is backed up beside itself and brought to this version. A damaged file is set aside, what is good
    /// in it is recovered into a fresh one, and the answer says what was not.
    ///
    /// # Errors
    /// [`StoreError::Newer`] and [`StoreError::NotARecord`] leave the file as it is; [`StoreError::Busy`] when the
    /// record is open elsewhere; others of the disk.
    pub fn open(path: &Path, moment: &Moment, random: Random<'_>) -> Result<Opened, StoreError> {
        files::finish_swap(path)?;
        migrate::refuse_newer(path)?;
        if recover::marked(path) {
            return recover::recover(path, moment, random);
        }
        match Self::open_good(path, random) {
            Err(StoreError::Damaged { .. }) => recover::recover(path, moment, random),
            opened => opened,
        }
    }

    fn open_good(path: &Path, random: Random<'_>) -> Result<Opened, StoreError> {
        let mut db = connect(path)?;
        let backup = migrate::bring_up_to_date(&mut db, path)?;
        let clock = clock::load(&db, random)?;
        rows::session(&db)?;
        Ok(Opened { store: Self { db, path: path.to_owned(), clock }, recovered: None, backup })
    }

    /// A record in memory, gone when it is let go: for what is looked at and kept elsewhere.
    ///
    /// # Errors
    /// [`StoreError::Random`]; no memory.
    pub fn in_memory(random: Random<'_>) -> Result<Self, StoreError> {
        let mut db = Connection::open_in_memory()?;
        db.set_prepared_statement_cache_capacity(64);
        let path = PathBuf::new();
        migrate::bring_up_to_date(&mut db, &path)?;
        let clock = clock::load(&db, random)?;
        Ok(Self { db, path, clock })
    }

    /// Closes the record and opens it anew, recovering what is good: what to do after [`StoreError::Damaged`].
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn mend(self, moment: &Moment, random: Random<'_>) -> Result<Opened, StoreError> {
        let path = self.path.clone();
        drop(self.db);
        recover::recover(&path, moment, random)
    }

    /// Where the record lies; empty for one in memory.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Keeps where the lifter is; it is this device's own and no part of the record.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn keep_visit(&mut self, text: &str) -> Result<(), StoreError> {
        let kept = rows::set_meta(&self.db, "visit", text);
        self.noticing(kept)
    }

    /// What [`Self::keep_visit`] kept.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn visit(&self) -> Result<Option<String>, StoreError> {
        self.noticing(rows::meta(&self.db, "visit"))
    }

    /// This device's identity. A restored copy has a new one.
    pub fn device(&self) -> DeviceId {
        self.clock.device()
    }

    /// An entry, verified.
    ///
    /// # Errors
    /// [`StoreError::Damaged`] when it differs from its digest; others of the disk.
    pub fn entry(&self, id: &EntryId) -> Result<Option<Entry>, StoreError> {
        self.noticing(rows::load(&self.db, id))
    }

    /// The entries of a kind by id, deleted ones and all, after `after`.
    ///
    /// # Errors
    /// As [`Self::entry`].
    pub fn of_kind(&self, kind: &Kind, after: Option<EntryId>, limit: u32) -> Result<Vec<Entry>, StoreError> {
        let after = after.map(|id| id.bytes().to_vec()).unwrap_or_default();
        self.noticing(if *kind == Kind::Set {
            rows::select(&self.db, rows::SETS, params![after, limit])
        } else {
            rows::select(&self.db, rows::OF_KIND, params![kind.name(), after, limit])
        })
    }

    /// All entries by id, after `after`.
    ///
    /// # Errors
    /// As [`Self::entry`].
    pub fn all(&self, after: Option<EntryId>, limit: u32) -> Result<Vec<Entry>, StoreError> {
        let after = after.map(|id| id.bytes().to_vec()).unwrap_or_default();
        self.noticing(rows::select(&self.db, rows::ALL, params![after, limit]))
    }

    /// The sets of a session, in the order logged.
    ///
    /// # Errors
    /// As [`Self::entry`].
    pub fn sets_of(&self, session: &EntryId) -> Result<Vec<Entry>, StoreError> {
        self.noticing(rows::select(&self.db, rows::OF_SESSION, [&session.bytes()[..]]))
    }

    /// The sets of a movement, newest first.
    ///
    /// # Errors
    /// As [`Self::entry`].
    pub fn sets_of_movement(&self, movement: &str, limit: u32) -> Result<Vec<Entry>, StoreError> {
        self.noticing(rows::select(&self.db, rows::OF_MOVEMENT, params![movement, limit, 0]))
    }

    /// The snapshot of the open session.
    ///
    /// # Errors
    /// As [`Self::entry`].
    pub fn session(&self) -> Result<Option<Session>, StoreError> {
        self.noticing(rows::session(&self.db))
    }

    /// The running sums.
    pub fn sums(&self) -> Sums<'_> {
        Sums(&self.db)
    }

    /// The number of entries. It counts, so it is not for a screen.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn count(&self) -> Result<u64, StoreError> {
        let count = self.db.query_row("SELECT count(*) FROM entry", [], |row| row.get::<_, i64>(0));
        self.noticing(count.map(i64::unsigned_abs).map_err(Into::into))
    }

    /// SHA-256 over the digests of all entries by id: equal when two records are equal.
    ///
    /// # Errors
    /// As [`Self::entry`].
    pub fn digest(&self) -> Result<[u8; 32], StoreError> {
        self.noticing(check::digest(&self.db))
    }

    /// Remembers beside the file that damage was seen, so that the next opening recovers even if we are killed now.
    fn noticing<T>(&self, result: Result<T, StoreError>) -> Result<T, StoreError> {
        if let Err(StoreError::Damaged { .. }) = &result {
            recover::mark(&self.path);
        }
        result
    }
}

/// A connection that writes durably and alone.
fn connect(path: &Path) -> Result<Connection, StoreError> {
    let flags =
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let db = Connection::open_with_flags(path, flags)?;
    db.busy_timeout(std::time::Duration::from_secs(2))?;
    db.set_prepared_statement_cache_capacity(64);
    // Exclusive before WAL: no shared-memory file, and no second writer with a clock of its own.
    db.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
    migrate::refuse_others(&db, path)?;
    db.pragma_update(None, "journal_mode", "WAL")?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.pragma_update(None, "trusted_schema", "OFF")?;
    db.pragma_update(None, "cell_size_check", "ON")?;
    db.pragma_update(None, "secure_delete", "ON")?;
    Ok(db)
}
