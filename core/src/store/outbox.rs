//! What is not yet known to have reached the server.

use super::error::StoreError;
use super::{Store, rows};
use crate::record::{Entry, EntryId};
use rusqlite::{Connection, TransactionBehavior};

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

    /// Takes note that the server has these entries, each with the digest that was sent. One that was written since
    /// stays pending.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn sent(&mut self, entries: &[(EntryId, [u8; 32])]) -> Result<(), StoreError> {
        let transaction = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        for (id, digest) in entries {
            transaction
                .prepare_cached(
                    "DELETE FROM pending WHERE id = ?1 AND EXISTS (SELECT 1 FROM entry WHERE id = ?1 AND digest = ?2)",
                )?
                .execute([&id.bytes()[..], &digest[..]])?;
        }
        Ok(transaction.commit()?)
    }

    /// Marks every entry as waiting, as when the server has lost its store.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn send_all_again(&mut self) -> Result<(), StoreError> {
        self.db.execute("INSERT OR IGNORE INTO pending (id) SELECT id FROM entry", [])?;
        Ok(())
    }
}

pub(super) fn add(db: &Connection, id: &EntryId) -> Result<(), StoreError> {
    db.prepare_cached("INSERT OR IGNORE INTO pending (id) VALUES (?1)")?.execute([&id.bytes()[..]])?;
    Ok(())
}
