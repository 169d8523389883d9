//! Where the record stands with the server: how far it has come, what the server did not take, and the sums by which
//! the two are compared.

use super::error::StoreError;
use super::write::{merge_into, put};
use super::{Random, Store, clock, outbox, rows};
use crate::record::{Between, Clock, Entry, EntryId, KindSum, Stamp, Sum};
use rusqlite::{Connection, params};
use serde::Serialize;

const STATE: &str = "sync";
const PAIRING: &str = "pairing";
const AUDIT: &str = "audit";

/// All that follows from an answer of the server; it is done in one transaction.
#[derive(Debug, Default)]
pub struct Received {
    /// Entries of the server.
    pub entries: Vec<Entry>,
    /// What it has now of what was sent, each with the digest that was sent.
    pub took: Vec<(EntryId, [u8; 32])>,
    /// What it did not take, each with what it said.
    pub refused: Vec<(EntryId, String)>,
    /// Entries with a stamp too far in its future: stamped anew by its clock.
    pub ahead: Vec<EntryId>,
    /// Entries that it lacks, whatever was thought.
    pub lacks: Vec<EntryId>,
    /// That everything waits to be sent again.
    pub all_again: bool,
    /// The greatest stamp that it takes, milliseconds.
    pub most_ms: u64,
    /// Its clock, milliseconds.
    pub server_ms: u64,
}

/// An entry that the server did not take.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SetAside {
    /// The entry.
    pub id: EntryId,
    /// What the server said.
    pub told: String,
}

impl Store {
    /// How far the record has come with its server, as it was kept.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn sync_state(&self) -> Result<Option<String>, StoreError> {
        self.noticing(rows::meta(&self.db, STATE))
    }

    /// Keeps how far it has come, where nothing else changes.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn keep_sync_state(&mut self, state: &str) -> Result<(), StoreError> {
        let kept = rows::set_meta(&self.db, STATE, state);
        self.noticing(kept)
    }

    /// Which server this device is paired with, as it was kept; none where it is with none.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn pairing(&self) -> Result<Option<String>, StoreError> {
        self.noticing(rows::meta(&self.db, PAIRING)).map(|kept| kept.filter(|text| !text.is_empty()))
    }

    /// Keeps which server it is paired with, or that it is with none.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn keep_pairing(&mut self, pairing: Option<&str>) -> Result<(), StoreError> {
        let kept = rows::set_meta(&self.db, PAIRING, pairing.unwrap_or_default());
        self.noticing(kept)
    }

    /// What the server told of who did what with the account, as it was kept.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn audit_heard(&self) -> Result<Option<String>, StoreError> {
        self.noticing(rows::meta(&self.db, AUDIT))
    }

    /// Keeps what it told.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn keep_audit_heard(&mut self, heard: &str) -> Result<(), StoreError> {
        let kept = rows::set_meta(&self.db, AUDIT, heard);
        self.noticing(kept)
    }

    /// Takes in an answer of the server with the state that follows from it: entries, what was sent, what was not
    /// taken, cursor and epoch change together or not at all. Says how many entries changed here.
    ///
    /// # Errors
    /// Those of the disk; nothing is changed then.
    pub fn receive(&mut self, received: &Received, state: &str) -> Result<usize, StoreError> {
        let result = self.in_one(|db, clock| {
            let mut changed = 0;
            for (id, digest) in &received.took {
                outbox::took(db, id, digest)?;
                db.prepare_cached("DELETE FROM set_aside WHERE id = ?1")?.execute([&id.bytes()[..]])?;
            }
            for (id, told) in &received.refused {
                db.prepare_cached("DELETE FROM pending WHERE id = ?1")?.execute([&id.bytes()[..]])?;
                db.prepare_cached(
                    "INSERT INTO set_aside (id, told) VALUES (?1, ?2) ON CONFLICT (id) DO UPDATE SET told = ?2",
                )?
                .execute(params![&id.bytes()[..], told])?;
            }
            restamp(db, clock, received)?;
            for entry in &received.entries {
                let old = rows::load(db, &entry.id)?;
                let merged = merge_into(db, clock, old.as_ref(), entry)?;
                changed += usize::from(merged.is_some());
                // What is greater here still waits to be sent; the rest does not.
                let whole = merged.or(old);
                if whole.is_some_and(|ours| ours != *entry) {
                    outbox::add(db, &entry.id)?;
                }
            }
            for id in &received.lacks {
                outbox::add(db, id)?;
            }
            if received.all_again {
                db.execute("INSERT OR IGNORE INTO pending (id) SELECT id FROM entry", [])?;
            }
            rows::set_meta(db, STATE, state)?;
            Ok(changed)
        });
        self.noticing(result)
    }

    /// Takes a new identity, as a copy of another device does, and lets everything wait to be sent.
    ///
    /// # Errors
    /// [`StoreError::Random`]; those of the disk.
    pub fn become_another_device(&mut self, state: &str, random: Random<'_>) -> Result<(), StoreError> {
        let result = self.in_one(|db, ticking| {
            *ticking = clock::renew(db, random)?;
            db.execute("INSERT OR IGNORE INTO pending (id) SELECT id FROM entry", [])?;
            rows::set_meta(db, STATE, state)
        });
        self.noticing(result)
    }

    /// What the server did not take, after `after`.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn set_aside(&self, after: Option<EntryId>, limit: u32) -> Result<Vec<SetAside>, StoreError> {
        let after = after.map(|id| id.bytes().to_vec()).unwrap_or_default();
        let read = || -> Result<Vec<SetAside>, StoreError> {
            let mut statement = self
                .db
                .prepare_cached("SELECT id, told FROM set_aside WHERE id > ?1 ORDER BY id LIMIT ?2")?;
            let rows = statement.query_map(params![after, limit], |row| {
                Ok((row.get::<_, Vec<u8>>(0)?, row.get::<_, String>(1)?))
            })?;
            let mut out = Vec::new();
            for row in rows {
                let (id, told) = row?;
                let id = EntryId::from_bytes(&id)
                    .ok_or_else(|| StoreError::damaged("an entry set aside has no id"))?;
                out.push(SetAside { id, told });
            }
            Ok(out)
        };
        self.noticing(read())
    }

    /// Whether the server did not take an entry as it is.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn is_set_aside(&self, id: &EntryId) -> Result<bool, StoreError> {
        let read = || -> Result<bool, StoreError> {
            let mut statement = self.db.prepare_cached("SELECT 1 FROM set_aside WHERE id = ?1")?;
            Ok(statement.exists([&id.bytes()[..]])?)
        };
        self.noticing(read())
    }

    /// Entries that wait to be sent.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn pending_count(&self) -> Result<u64, StoreError> {
        let count = self.db.query_row("SELECT count(*) FROM pending", [], |row| row.get::<_, i64>(0));
        self.noticing(count.map(i64::unsigned_abs).map_err(Into::into))
    }

    /// The sum of each kind, by kind. It reads every entry's digest, so it is for the end of an exchange.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn kind_sums(&self) -> Result<Vec<KindSum>, StoreError> {
        let read = || -> Result<Vec<KindSum>, StoreError> {
            let mut sums: std::collections::BTreeMap<String, Sum> = std::collections::BTreeMap::new();
            let mut statement = self.db.prepare_cached("SELECT kind, digest FROM entry")?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let kind: String = row.get(0)?;
                let digest: [u8; 32] = row.get(1)?;
                sums.entry(kind).or_default().add(&digest);
            }
            Ok(sums.into_iter().map(|(kind, sum)| KindSum { kind, sum }).collect())
        };
        self.noticing(read())
    }

    /// Id and digest of the entries between two ids, by id.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn digests_between(&self, between: Between) -> Result<Vec<(EntryId, [u8; 32])>, StoreError> {
        let after = between.after.map(|id| id.bytes().to_vec()).unwrap_or_default();
        let up_to = between.up_to.map_or_else(|| vec![0xff; 16], |id| id.bytes().to_vec());
        let read = || -> Result<Vec<(EntryId, [u8; 32])>, StoreError> {
            let mut statement = self
                .db
                .prepare_cached("SELECT id, digest FROM entry WHERE id > ?1 AND id <= ?2 ORDER BY id")?;
            let mut rows = statement.query(params![after, up_to])?;
            let mut out = Vec::new();
            while let Some(row) = rows.next()? {
                let id: Vec<u8> = row.get(0)?;
                let id = EntryId::from_bytes(&id).ok_or_else(|| StoreError::damaged("an entry has no id"))?;
                out.push((id, row.get(1)?));
            }
            Ok(out)
        };
        self.noticing(read())
    }
}

/// Gives every stamp that the server finds too far ahead a new one by the server's clock, in the order they had, so
/// that a device whose clock stood in another year does not win every merge for ever. The clock goes back with them.
fn restamp(db: &Connection, clock: &mut Clock, received: &Received) -> Result<(), StoreError> {
    if received.ahead.is_empty() {
        return Ok(());
    }
    let now = i64::try_from(received.server_ms).unwrap_or(i64::MAX);
    if clock.last().millis > received.most_ms {
        let back = Stamp { millis: received.server_ms, counter: 0, device: clock.device() };
        *clock = Clock::resume(clock.device(), back);
    }
    for id in &received.ahead {
        let Some(old) = rows::load(db, id)? else { continue };
        let mut new = old.clone();
        let mut ahead: Vec<Stamp> =
            new.fields.values().map(|f| f.stamp).filter(|s| s.millis > received.most_ms).collect();
        ahead.sort_unstable();
        ahead.dedup();
        for was in ahead {
            // The fields of one write keep one stamp.
            let stamp = clock.tick(now, None);
            for field in new.fields.values_mut().filter(|f| f.stamp == was) {
                field.stamp = stamp;
            }
        }
        put(db, Some(&old), &new)?;
        outbox::add(db, id)?;
    }
    Ok(())
}
