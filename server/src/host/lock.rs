//! Who holds a store: a host that runs, or who puts another file in its place. The two never do so at once.

use super::beside;
use super::ledger::private;
use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::Path;

/// A store that is held, until this is let go or the process ends, however it ends.
#[derive(Debug)]
pub struct Held(File);

impl Drop for Held {
    fn drop(&mut self) {
        // A process that is begun at this instant may have the file for a moment longer; the lock is over now.
        let _ = self.0.unlock();
    }
}

/// Holds a store; `None` where another process does.
///
/// # Errors
/// Those of the disk.
pub fn hold(store: &Path) -> io::Result<Option<Held>> {
    let file = private(OpenOptions::new().write(true).create(true)).open(beside(store, "lock"))?;
    match file.try_lock() {
        Ok(()) => Ok(Some(Held(file))),
        Err(TryLockError::WouldBlock) => Ok(None),
        Err(TryLockError::Error(e)) => Err(e),
    }
}
