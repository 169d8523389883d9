//! Whole files: backup, restore, exchange of one file for another, erasing.

use super::error::StoreError;
use super::{Opened, Random, Store, check, clock, connect, migrate};
use crate::moment::Moment;
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::ffi::OsString;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

/// A record that took the place of another.
#[derive(Debug)]
pub struct Restored {
    /// It, open.
    pub store: Store,
    /// How many entries it has.
    pub entries: u64,
    /// Where the one that it replaced lies.
    pub replaced: PathBuf,
}

/// A file beside the record, named after it.
pub(super) fn beside(path: &Path, what: &str) -> PathBuf {
    suffixed(path, &format!(".{what}"))
}

fn suffixed(path: &Path, end: &str) -> PathBuf {
    let mut name = OsString::from(path.as_os_str());
    name.push(end);
    PathBuf::from(name)
}

/// What takes the record's place when it is whole.
pub(super) fn fresh(path: &Path) -> PathBuf {
    beside(path, "fresh")
}

/// Pages of the database that a copy takes at a time.
const STEP_PAGES: i32 = 1024;

/// Copies a record, which may be in use, to one file that is whole or not there.
pub(super) fn copy_whole(db: &Connection, to: &Path) -> Result<(), StoreError> {
    copy_whole_while(db, to, &mut |_, _| true)
}

fn copy_whole_while(
    db: &Connection,
    to: &Path,
    go_on: &mut dyn FnMut(u64, u64) -> bool,
) -> Result<(), StoreError> {
    let part = beside(to, "part");
    remove(&part)?;
    let copied = (|| {
        let mut copy = Connection::open(&part)?;
        {
            // The source is ours alone, so that no step waits for another connection.
            let backup = Backup::new(db, &mut copy)?;
            while backup.step(STEP_PAGES)? != StepResult::Done {
                let p = backup.progress();
                let pages = |n: i32| u64::try_from(n).unwrap_or(0);
                if !go_on(pages(p.pagecount - p.remaining), pages(p.pagecount)) {
                    return Err(StoreError::CalledOff);
                }
            }
        }
        // One file, without a log beside it.
        copy.pragma_update(None, "journal_mode", "DELETE")?;
        copy.close().map_err(|(_, e)| e)?;
        File::open(&part)?.sync_all()?;
        fs::rename(&part, to)?;
        sync_folder(to);
        Ok(())
    })();
    if copied.is_err() {
        let _ = remove(&part); // the fault that matters is the one above
    }
    copied
}

/// Puts the fresh file in the record's place and sets the old one aside.
///
/// A kill at any step leaves either the old record in its place, or none and the fresh one whole, which
/// [`finish_swap`] then puts there.
pub(super) fn swap(path: &Path, aside: &Path, between: impl FnOnce()) -> Result<(), StoreError> {
    File::open(fresh(path))?.sync_all()?;
    fs::rename(path, aside)?;
    for end in ["-wal", "-journal", "-shm"] {
        if suffixed(path, end).exists() {
            fs::rename(suffixed(path, end), suffixed(aside, end))?;
        }
    }
    between();
    fs::rename(fresh(path), path)?;
    sync_folder(path);
    Ok(())
}

/// Ends a swap that was cut short, or takes away what one that did not begin has left.
pub(super) fn finish_swap(path: &Path) -> Result<(), StoreError> {
    let fresh = fresh(path);
    if !fresh.exists() {
        return Ok(());
    }
    if path.exists() {
        return remove(&fresh);
    }
    for end in ["-wal", "-journal", "-shm"] {
        if suffixed(path, end).exists() {
            // The log of the file set aside: it must not be taken for the fresh one's.
            fs::rename(suffixed(path, end), suffixed(&beside(path, "left"), end))?;
        }
    }
    fs::rename(fresh, path)?;
    sync_folder(path);
    Ok(())
}

/// Removes a database and its logs, where they are there.
pub(super) fn remove(path: &Path) -> Result<(), StoreError> {
    for end in ["", "-wal", "-journal", "-shm"] {
        match fs::remove_file(suffixed(path, end)) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(e.into()),
            _ => {}
        }
    }
    Ok(())
}

// Some systems do not sync a folder; the rename is then as durable as they make it.
fn sync_folder(path: &Path) {
    if let Some(folder) = path.parent()
        && let Ok(folder) = File::open(if folder.as_os_str().is_empty() { Path::new(".") } else { folder })
    {
        let _ = folder.sync_all();
    }
}

/// A name beside the record that is not taken.
pub(super) fn free_name(path: &Path, what: &str, moment: &Moment) -> PathBuf {
    let stem = format!("{what}-{}", moment.wall_ms);
    let first = beside(path, &stem);
    let more = (1..1000).map(|n| beside(path, &format!("{stem}-{n}")));
    [first].into_iter().chain(more).find(|p| !p.exists()).unwrap_or_else(|| beside(path, &stem))
}

impl Store {
    /// Copies the record to one file, while it is in use. What is at `to` is replaced when the copy is whole.
    ///
    /// # Errors
    /// Those of the disk; what was at `to` is there still.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        self.backup_while(to, &mut |_, _| true)
    }

    /// As [`Self::backup`]; `go_on` is told the pages copied and those in all, and `false` calls it off.
    ///
    /// # Errors
    /// As [`Self::backup`]; [`StoreError::CalledOff`].
    pub fn backup_while(&self, to: &Path, go_on: &mut dyn FnMut(u64, u64) -> bool) -> Result<(), StoreError> {
        self.noticing(copy_whole_while(&self.db, to, go_on))
    }

    /// Puts a backup in the record's place: copied beside it, brought to this version, checked entry by entry, and
    /// only then exchanged. The restored record takes a new device identity, and all of it waits to be sent.
    ///
    /// # Errors
    /// [`StoreError::Damaged`], [`StoreError::Newer`] and [`StoreError::NotARecord`] for a backup that is not good;
    /// others of the disk. The record is as it was; open it again.
    pub fn restore(self, from: &Path, moment: &Moment, random: Random<'_>) -> Result<Restored, StoreError> {
        let prepared = prepare(&self.path, from, random);
        let entries = prepared.inspect_err(|_| {
            let _ = remove(&fresh(&self.path)); // the fault that matters is the one told
        })?;
        let path = self.path.clone();
        let replaced = free_name(&path, "before-restore", moment);
        self.db.close().map_err(|(_, e)| e)?;
        swap(&path, &replaced, || {})?;
        let Opened { store, .. } = Self::open(&path, moment, random)?;
        Ok(Restored { store, entries, replaced })
    }

    /// Erases the record, its log and every file beside it that is named after it, overwriting what it held.
    ///
    /// # Errors
    /// Those of the disk; call it again.
    pub fn erase(self) -> Result<(), StoreError> {
        let path = self.path.clone();
        // The file is overwritten by the deletion, since secure_delete is on.
        self.db.execute_batch(
            "BEGIN IMMEDIATE; DELETE FROM entry; DELETE FROM meta; DELETE FROM floor; DELETE FROM floor_step; DELETE FROM pending; DELETE FROM set_aside; \
             DELETE FROM movement_sum; DELETE FROM best; DELETE FROM week_sum; DELETE FROM week_sessions; COMMIT;",
        )?;
        self.db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        self.db.close().map_err(|(_, e)| e)?;
        remove(&path)?;
        let (Some(folder), Some(name)) =
            (path.parent(), path.file_name().map(|n| n.to_string_lossy().into_owned()))
        else {
            return Ok(());
        };
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        for file in fs::read_dir(folder)? {
            let file = file?;
            if file.file_name().to_string_lossy().starts_with(&format!("{name}.")) {
                fs::remove_file(file.path())?;
            }
        }
        sync_folder(&path);
        Ok(())
    }
}

/// Makes the fresh file from a backup and says how many entries it has.
fn prepare(path: &Path, from: &Path, random: Random<'_>) -> Result<u64, StoreError> {
    migrate::refuse_newer(from)?;
    let fresh = fresh(path);
    remove(&fresh)?;
    {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        copy_whole(&Connection::open_with_flags(from, flags)?, &fresh)?;
    }
    let mut db = connect(&fresh)?;
    let version: i64 = db.pragma_query_value(None, "user_version", |row| row.get(0))?;
    if version == 0 {
        return Err(StoreError::NotARecord { path: from.to_owned() });
    }
    if let Some(backup) = migrate::bring_up_to_date(&mut db, &fresh)? {
        // The backup that is being restored is itself the copy of the older version.
        remove(&backup)?;
    }
    let checked = check::check(&db)?;
    if let Some(fault) = checked.first_fault() {
        return Err(StoreError::damaged(fault));
    }
    clock::renew(&db, random)?;
    db.execute("INSERT OR IGNORE INTO pending (id) SELECT id FROM entry", [])?;
    db.close().map_err(|(_, e)| e)?;
    Ok(checked.entries)
}
