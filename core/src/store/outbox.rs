//! What is not yet known to have reached the server.

use super::error::StoreError;
use super::{Store, rows};
use crate::record::{Entry, EntryId};
use rusqlite::Connection;

const PENDING: &str = "SELECT {} FROM entry WHERE id IN (SELECT id FROM pending WHERE id > ?1 ORDER BY id LIMIT ?2) ORDER BY id";

impl Store {
    /// Entries that wait to be sent, by id, after `after`.
    ///
    /// # Errors
    /// As [`Store::entry`].
    pub fn pending(&self, after: Option<EntryId>, limit: u32) -> Result<Vec<Entry>, StoreError> {
        let after = after.map(|id| id.bytes().to_vec()).unwrap_or_default();
        self.noticing(rows::select(&self.db, PENDING, rusqlite::params![after, limit]))
    }
}

pub(super) fn add(db: &Connection, id: &EntryId) -> Result<(), StoreError> {
    db.prepare_cached("INSERT OR IGNORE INTO pending (id) VALUES (?1)")?.execute([&id.bytes()[..]])?;
    Ok(())
}

/// Takes note that the server has an entry as it was sent. One that was written since stays pending.
pub(super) fn took(db: &Connection, id: &EntryId, sent: &[u8; 32]) -> Result<(), StoreError> {
    db.prepare_cached(
        "DELETE FROM pending WHERE id = ?1 AND EXISTS (SELECT 1 FROM entry WHERE id = ?1 AND digest = ?2)",
    )?
    .execute([&id.bytes()[..], &sent[..]])?;
    Ok(())
}
