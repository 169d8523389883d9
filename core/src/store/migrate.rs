//! The versions of the schema, and how an older file comes to the newest.

use super::error::StoreError;
use super::{files, sums};
use rusqlite::config::DbConfig;
use rusqlite::{Connection, Transaction};
use rusqlite_migration::{HookError, M, Migrations};
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// The newest version of the schema.
pub const LATEST: i64 = 3;
/// "PLNT", as the first migration sets it.
const APPLICATION: i64 = 1_347_178_068;

fn migrations() -> Migrations<'static> {
    Migrations::new(vec![
        M::up(include_str!("migrations/001_entries.sql")),
        M::up_with_hook(include_str!("migrations/002_sums_and_pending.sql"), |db: &Transaction<'_>| {
            sums::rebuild(db).map_err(|e| match e {
                StoreError::Database(e) => HookError::RusqliteError(e),
                StoreError::DiskFull => HookError::Hook(FULL.into()),
                other => HookError::Hook(other.to_string()),
            })
        }),
        M::up(include_str!("migrations/003_steps_and_set_aside.sql")),
    ])
}

/// What a hook can say of a full disk is a text.
pub(super) const FULL: &str = "disk full";

/// Refuses a newer file by its first hundred bytes, before anything else touches it.
pub(super) fn refuse_newer(path: &Path) -> Result<(), StoreError> {
    let mut head = [0; 100];
    let read = File::open(path).and_then(|mut file| file.read_exact(&mut head));
    if read.is_err() || !head.starts_with(b"SQLite format 3\0") {
        return Ok(());
    }
    let word =
        |at: usize| head.get(at..at + 4).map_or(0, |b| b.iter().fold(0i64, |n, b| n << 8 | i64::from(*b)));
    let (version, application) = (word(60), word(68));
    if application == APPLICATION && version > LATEST && plausible(version) {
        return Err(StoreError::Newer { found: version, ours: LATEST });
    }
    Ok(())
}

/// A version beyond this was never released: a flipped bit rather than a newer program.
fn plausible(version: i64) -> bool {
    version < 10_000
}

/// As [`refuse_newer`] when the newer version stands in the log only, and for another program's database. Nothing is
/// moved from the log to the file then.
pub(super) fn refuse_others(db: &Connection, path: &Path) -> Result<(), StoreError> {
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    let version = version(db)?;
    if version > LATEST && plausible(version) {
        return Err(StoreError::Newer { found: version, ours: LATEST });
    }
    let application: i64 = db.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if application != APPLICATION {
        let (ours, any): (i64, i64) = db.query_row(
            "SELECT count(*) FILTER (WHERE name IN ('entry', 'meta', 'floor')), count(*) FROM sqlite_schema",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        if any > 0 && ours == 0 {
            return Err(StoreError::NotARecord { path: path.to_owned() });
        }
    }
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
    Ok(())
}

fn version(db: &Connection) -> Result<i64, StoreError> {
    Ok(db.pragma_query_value(None, "user_version", |row| row.get(0))?)
}

/// Backs an older file up and brings it to [`LATEST`]; says where the backup is.
pub(super) fn bring_up_to_date(db: &mut Connection, path: &Path) -> Result<Option<PathBuf>, StoreError> {
    let version = version(db)?;
    let tables: i64 = db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let application: i64 = db.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if version == LATEST && application == APPLICATION {
        return Ok(None);
    }
    if application != APPLICATION && tables > 0 {
        return Err(StoreError::damaged("the mark of a record is missing"));
    }
    if !(0..=LATEST).contains(&version) || (version == 0 && tables > 0) || (version > 0 && tables == 0) {
        return Err(StoreError::damaged("the version of the schema does not fit its tables"));
    }
    let backup = (version > 0).then(|| files::beside(path, &format!("version-{version}")));
    if let Some(backup) = &backup
        && !backup.exists()
    {
        files::copy_whole(db, backup)?;
    }
    migrations().to_latest(db).map_err(|e| match e {
        rusqlite_migration::Error::Hook(text) if text == FULL => StoreError::DiskFull,
        other => other.into(),
    })?;
    Ok(backup)
}

/// Makes a file of an older version, for the tests of migrations and to make the small database files kept for them.
#[cfg(test)]
pub(super) fn make(db: &mut Connection, version: usize) -> Result<(), StoreError> {
    Ok(migrations().to_version(db, version)?)
}
