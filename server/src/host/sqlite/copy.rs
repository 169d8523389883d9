//! A copy of the whole file: made while the file is in use, looked through, and only then given its name.

use super::super::beside;
use super::super::ledger::{private, sync_folder};
use super::super::store::{Asked, House, StoreFault};
use super::whole::{Checked, check};
use super::{connect, house, known};
use plinth_core::record::{Sum, hex_of};
use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};
use std::fs::{self, File, OpenOptions};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Pages that a copy takes at a time, and the pause after them: the host works on meanwhile.
const STEP_PAGES: i32 = 1024;
const PAUSE: Duration = Duration::from_millis(5);

/// A copy that was looked through and has no name yet. One that is let go without [`Self::keep`] leaves nothing.
#[derive(Debug)]
pub struct Copy {
    part: PathBuf,
    to: PathBuf,
    checked: Checked,
    house: Option<House>,
}

impl Copy {
    /// Copies a store, which may be in use.
    ///
    /// # Errors
    /// [`StoreFault::Damaged`] where the copy is; those of the disk.
    pub fn of_store(store: &Path, to: &Path) -> Asked<Self> {
        if fs::canonicalize(store).ok().zip(fs::canonicalize(to).ok()).is_some_and(|(a, b)| a == b) {
            return Err(StoreFault::Engine("that is the store itself; give another path".into()));
        }
        Self::of(&connect(store)?, to)
    }

    /// Copies a file that is only read.
    ///
    /// # Errors
    /// As [`Self::of_store`]; [`StoreFault::NotAStore`] and [`StoreFault::Newer`].
    pub fn of_file(from: &Path, to: &Path) -> Asked<Self> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let source = Connection::open_with_flags(from, flags)?;
        known(&source, from)?;
        Self::of(&source, to)
    }

    fn of(source: &Connection, to: &Path) -> Asked<Self> {
        let part = beside(to, "part");
        remove(&part)?;
        let mut copy = Self { part, to: to.to_owned(), checked: Checked::default(), house: None };
        // One snapshot from the first page to the last, however much is written meanwhile.
        source.execute_batch("BEGIN")?;
        let wanted = counted(source)?;
        copy.write(source)?;
        copy.checked = copy.look(&wanted)?;
        Ok(copy)
    }

    fn write(&mut self, source: &Connection) -> Asked<()> {
        private(OpenOptions::new().write(true).create(true))
            .open(&self.part)
            .map_err(|e| StoreFault::of_disk(&e))?;
        let mut copy = Connection::open(&self.part)?;
        {
            let backup = Backup::new(source, &mut copy)?;
            while backup.step(STEP_PAGES)? != StepResult::Done {
                std::thread::sleep(PAUSE);
            }
        }
        // One file, without a log beside it.
        copy.pragma_update(None, "journal_mode", "DELETE")?;
        let change = copy.transaction()?;
        self.house = house::house(&change)?;
        if let Some(house) = &self.house {
            house::keep_house(&change, &House { copied: true, ..house.clone() })?;
        }
        change.commit()?;
        copy.close().map_err(|(_, e)| e)?;
        File::open(&self.part).and_then(|f| f.sync_all()).map_err(|e| StoreFault::of_disk(&e))
    }

    /// Reads the copy from end to end, as a host would open it, and compares it with what was to be copied.
    fn look(&self, wanted: &(u64, Sum)) -> Asked<Checked> {
        let db = Connection::open_with_flags(&self.part, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
        let checked = check(&db)?;
        if let Some(fault) = checked.faults.first() {
            return Err(StoreFault::Damaged(fault.clone()));
        }
        let (accounts, sum) = wanted;
        if (checked.accounts, checked.entries, &checked.digest)
            != (*accounts, sum.count, &hex_of(&sum.digest))
        {
            return Err(StoreFault::Damaged("the copy does not hold what the store holds".into()));
        }
        Ok(checked)
    }

    /// What it holds.
    pub const fn checked(&self) -> &Checked {
        &self.checked
    }

    /// What the store says of itself in it, as it was before it was marked as a copy.
    pub const fn house(&self) -> Option<&House> {
        self.house.as_ref()
    }

    /// Gives it its name, durably; what had the name is replaced.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn keep(self) -> Asked<Checked> {
        fs::rename(&self.part, &self.to).map_err(|e| StoreFault::of_disk(&e))?;
        sync_folder(&self.to);
        Ok(self.checked.clone())
    }
}

impl Drop for Copy {
    fn drop(&mut self) {
        // Best effort: the next copy to the same name takes it away.
        let _ = remove(&self.part);
    }
}

/// Accounts, and the sum of all entries, as the store keeps them.
fn counted(db: &Connection) -> Asked<(u64, Sum)> {
    let accounts: i64 = db.query_row("SELECT count(*) FROM account", [], |row| row.get(0))?;
    let mut whole = Sum::default();
    let mut statement = db.prepare("SELECT count, digest FROM kind_sum")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        whole.count += row.get::<_, i64>(0)?.unsigned_abs();
        let digest: [u8; 32] = row.get(1)?;
        whole.digest.iter_mut().zip(digest).for_each(|(a, b)| *a ^= b);
    }
    Ok((accounts.unsigned_abs(), whole))
}

/// Removes a file and its journal, where they are there.
fn remove(part: &Path) -> Asked<()> {
    for end in ["", "-journal", "-wal", "-shm"] {
        match fs::remove_file(super::swap::with_end(part, end)) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(StoreFault::of_disk(&e)),
            _ => {}
        }
    }
    Ok(())
}
