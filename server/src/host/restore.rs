//! Puts a backup in a store's place while no host holds the store.
//!
//! What is put there is a copy that was checked from end to end; the store that was there is set aside, never removed;
//! the ledger stays, or one that was kept beside a backup takes its place where it knows more. A kill at any step
//! leaves the store that was there, or the whole copy.

use super::ledger::{Ledger, LedgerFault, Open};
use super::ledger_beside;
use super::lock::hold;
use super::opening::unlike;
use super::sqlite::copy::Copy;
use super::sqlite::{Checked, swap};
use super::store::{House, StoreFault};
use std::io;
use std::path::{Path, PathBuf};

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// What the copy holds.
    pub checked: Checked,
    /// Where the store lies that was there.
    pub aside: Option<PathBuf>,
    /// Whether the ledger that was given took the place of the one that was there, or of none.
    pub ledger_taken: bool,
    /// Why no ledger goes with the copy, where none does: at the next start every token and grant is revoked.
    pub revokes: Option<String>,
}

/// Why nothing was put in the store's place.
#[derive(Debug, thiserror::Error)]
pub enum RestoreFault {
    /// A host runs on the store, or another restore.
    #[error("a host holds this store")]
    Held,
    /// The backup cannot be read, or is damaged.
    #[error("the backup cannot be used: {0}")]
    Backup(StoreFault),
    /// The ledger that was given is not there.
    #[error("there is no ledger at {0}")]
    NoLedger(PathBuf),
    /// Each of the two ledgers says what the other does not.
    #[error("the ledger that was given and the one that is there each say what the other does not")]
    Apart,
    /// A ledger cannot be believed.
    #[error(transparent)]
    Ledger(#[from] LedgerFault),
    /// The disk.
    #[error("the disk failed: {0}")]
    Io(#[from] io::Error),
}

/// Puts a copy of `from` in the place of `store`. It blocks.
///
/// # Errors
/// The store that was there is in its place still, or set aside whole with the copy beside it, which the next start or
/// the next restore puts there.
pub fn restore(
    store: &Path,
    from: &Path,
    given: Option<&Path>,
    now_ms: i64,
) -> Result<Restored, RestoreFault> {
    let _held = hold(store)?.ok_or(RestoreFault::Held)?;
    swap::finish(store, now_ms)?;
    let given = given.map(read_given).transpose()?;
    let copy = Copy::of_file(from, &swap::fresh(store)).map_err(RestoreFault::Backup)?;
    let house = copy.house().cloned();
    let present = ledger_beside(store);
    let takes = given.as_ref().map_or(Ok(false), |(_, open)| takes(&present, open, house.as_ref()))?;
    if let Some((given, _)) = given.filter(|_| takes) {
        given.copy_to(&swap::fresh(&present))?;
    }
    let checked = copy.keep().map_err(RestoreFault::Backup)?;
    let aside = swap::swap(store, now_ms)?;
    let revokes = house.as_ref().and_then(|h| stands_apart(&present, h));
    Ok(Restored { checked, aside, ledger_taken: takes, revokes })
}

fn read_given(path: &Path) -> Result<(Ledger, Open), RestoreFault> {
    let ledger = Ledger::at(path);
    let open = ledger.read()?.ok_or_else(|| RestoreFault::NoLedger(path.to_owned()))?;
    Ok((ledger, open))
}

/// Whether a ledger that was given is to take the place of the present one: where that is not there, is not what was
/// written, says less, or is of another house than the copy. The one that says more stays.
fn takes(present: &Path, given: &Open, house: Option<&House>) -> Result<bool, RestoreFault> {
    let there = match Ledger::at(present).read() {
        Ok(Some(there)) => there,
        Ok(None) | Err(LedgerFault::Changed(_)) => return Ok(true),
        Err(fault) => return Err(fault.into()),
    };
    if there.lines.starts_with(&given.lines) {
        return Ok(false);
    }
    let foreign = house.is_some_and(|h| there.house() != Some(&h.id) && given.house() == Some(&h.id));
    if given.lines.starts_with(&there.lines) || foreign { Ok(true) } else { Err(RestoreFault::Apart) }
}

/// Why the ledger beside a store does not go with it.
fn stands_apart(ledger: &Path, house: &House) -> Option<String> {
    match Ledger::at(ledger).read() {
        Ok(Some(open)) => unlike(house, &open),
        Ok(None) => Some("it is not there".into()),
        Err(fault) => Some(fault.to_string()),
    }
}
