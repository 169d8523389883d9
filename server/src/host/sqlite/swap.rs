//! Puts a whole file in the store's place and sets the store aside, so that a kill at any step loses neither.
//!
//! The file that comes lies beside the store under the name [`fresh`] when it is whole, and so does the ledger that
//! comes with it, which is there first. A kill leaves either the store in its place, or none and the fresh file, which
//! [`finish`] then puts there with its ledger. Who swaps holds the store ([`lock`](super::super::lock)).

use super::super::ledger::sync_folder;
use super::super::{beside, ledger_beside};
use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What belongs to a file of SQLite and lies beside it.
const ENDS: [&str; 3] = ["-wal", "-shm", "-journal"];

/// What takes the place of a store, or of its ledger, when it is whole.
pub fn fresh(of: &Path) -> PathBuf {
    beside(of, "fresh")
}

pub(super) fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = OsString::from(path.as_os_str());
    name.push(end);
    PathBuf::from(name)
}

/// Puts the fresh file in the store's place. Says where the store lies that was there.
///
/// # Errors
/// Those of the disk.
pub fn swap(store: &Path, now_ms: i64) -> io::Result<Option<PathBuf>> {
    let mut aside = None;
    if store.exists() {
        let to = free_name(store, now_ms);
        // The file goes before its log: a store without its log would be taken for an older one.
        fs::rename(store, &to)?;
        set_logs_aside(store, &to)?;
        aside = Some(to);
    }
    finish(store, now_ms)?;
    Ok(aside)
}

/// Ends a swap that was cut short, or takes away what one that did not begin has left. Says whether it put a file in
/// the store's place.
///
/// # Errors
/// Those of the disk.
pub fn finish(store: &Path, now_ms: i64) -> io::Result<bool> {
    let ledger = ledger_beside(store);
    let (fresh, fresh_ledger) = (fresh(store), fresh(&ledger));
    if store.exists() || !fresh.exists() {
        for left in [fresh, fresh_ledger] {
            if left.exists() {
                fs::remove_file(left)?;
            }
        }
        return Ok(false);
    }
    // A log that is here still is that of the store that was set aside last.
    let aside = last_aside(store)?.unwrap_or_else(|| beside(store, "aside"));
    set_logs_aside(store, &aside)?;
    if fresh_ledger.exists() {
        if ledger.exists() {
            fs::rename(&ledger, free_name(&ledger, now_ms))?;
        }
        fs::rename(fresh_ledger, ledger)?;
    }
    sync_folder(store);
    fs::rename(fresh, store)?;
    sync_folder(store);
    Ok(true)
}

fn set_logs_aside(store: &Path, aside: &Path) -> io::Result<()> {
    for end in ENDS {
        let log = with_end(store, end);
        if log.exists() {
            fs::rename(log, with_end(aside, end))?;
        }
    }
    Ok(())
}

fn free_name(of: &Path, now_ms: i64) -> PathBuf {
    let names = (now_ms..).map(|ms| beside(of, &format!("aside-{ms}")));
    let mut free = names.filter(|n| !n.exists());
    free.next().unwrap_or_else(|| beside(of, "aside"))
}

/// The store that was set aside last.
fn last_aside(store: &Path) -> io::Result<Option<PathBuf>> {
    let folder = store.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."));
    let begin = beside(Path::new(store.file_name().unwrap_or_default()), "aside-");
    let begin = begin.to_string_lossy().into_owned();
    let mut last: Option<(i64, PathBuf)> = None;
    for entry in fs::read_dir(folder)? {
        let name = entry?.file_name();
        let ms = name.to_str().and_then(|n| n.strip_prefix(&begin)).and_then(|ms| ms.parse().ok());
        if let Some(ms) = ms.filter(|ms| last.as_ref().is_none_or(|(l, _)| l < ms)) {
            last = Some((ms, store.with_file_name(&name)));
        }
    }
    Ok(last.map(|(_, path)| path))
}
