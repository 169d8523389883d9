//! Looks at everything: what SQLite says, every digest, and whether the sums are what the entries add up to.

use super::error::StoreError;
use super::rows::{self, RawRow};
use super::{Store, sums};
use rusqlite::Connection;
use serde::Serialize;
use sha2::{Digest, Sha256};

/// What a check found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Checked {
    /// Entries that agree with their digests.
    pub entries: u64,
    /// Entries that do not.
    pub bad: Vec<String>,
    /// What SQLite's own check says, when it is not content.
    pub database: Vec<String>,
    /// Whether the running sums are what the entries add up to.
    pub sums_agree: bool,
}

impl Checked {
    /// What is wrong first, if anything is.
    pub fn first_fault(&self) -> Option<String> {
        let sums = (!self.sums_agree).then(|| "the running sums differ from the entries".to_owned());
        self.bad.first().or_else(|| self.database.first()).cloned().or(sums)
    }
}

impl Store {
    /// Checks the whole record. It reads everything, so it is asked for and never done in passing.
    ///
    /// # Errors
    /// Those of the disk; what is wrong with the record is in the answer.
    pub fn check(&self) -> Result<Checked, StoreError> {
        let checked = self.noticing(check(&self.db))?;
        if !checked.bad.is_empty() || !checked.database.is_empty() {
            super::recover::mark(&self.path);
        }
        Ok(checked)
    }

    /// Makes the running sums again from the entries.
    ///
    /// # Errors
    /// Those of the disk; nothing is changed then.
    pub fn rebuild_sums(&mut self) -> Result<(), StoreError> {
        self.in_one(|db, _| sums::rebuild(db))
    }
}

pub(super) fn check(db: &Connection) -> Result<Checked, StoreError> {
    let mut checked = Checked { entries: 0, bad: Vec::new(), database: Vec::new(), sums_agree: true };
    {
        let mut statement = db.prepare("PRAGMA integrity_check(20)")?;
        let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
        for line in lines {
            let line = line?;
            if line != "ok" {
                checked.database.push(line);
            }
        }
    }
    let mut statement =
        db.prepare("SELECT id, kind, body, digest, session, movement, ended_ms FROM entry ORDER BY id")?;
    let mut found = statement.query([])?;
    while let Some(row) = found.next()? {
        match RawRow::of(row)?.entry() {
            Ok(entry) if rows::columns_agree(&entry, row)? => checked.entries += 1,
            Ok(entry) => checked.bad.push(format!("the columns of the entry {} differ from it", entry.id)),
            Err(fault) => checked.bad.push(fault.to_string()),
        }
    }
    checked.sums_agree = sums_agree(db)?;
    Ok(checked)
}

/// Makes the sums again inside a savepoint, compares, and takes it all back.
fn sums_agree(db: &Connection) -> Result<bool, StoreError> {
    let kept = sums::dump(db)?;
    db.execute_batch("SAVEPOINT compare")?;
    let made = sums::rebuild(db).and_then(|()| sums::dump(db));
    db.execute_batch("ROLLBACK TO compare; RELEASE compare")?;
    Ok(made? == kept)
}

/// SHA-256 over ids and digests.
pub(super) fn digest(db: &Connection) -> Result<[u8; 32], StoreError> {
    let mut all = Sha256::new();
    let mut statement = db.prepare("SELECT id, digest FROM entry ORDER BY id")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        all.update(row.get::<_, Vec<u8>>(0)?);
        all.update(row.get::<_, Vec<u8>>(1)?);
    }
    Ok(all.finalize().into())
}
