//! Opens a store with its ledger, and does what follows where the two do not go together.

use super::account::{AccountId, random_hex};
use super::ledger::{Fact, Ledger, LedgerFault, Line};
use super::store::{Held, House, Store, StoreFault};
use plinth_core::record::Kind;
use std::fs;
use std::io;
use std::path::PathBuf;

/// Accounts and grants that are read at a time.
const STEP: u32 = 200;

/// What was found at an opening, for the host to be told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    /// The store is new beside a ledger of earlier days: its devices pair anew.
    NewStore,
    /// The store is an older copy of itself. It has a new epoch; what the ledger says was done again.
    OlderStore,
    /// The ledger is not there, or not this store's: every token and every grant was revoked.
    NoLedger {
        /// Why it was not believed.
        why: String,
        /// Where the file that was there lies now.
        aside: Option<PathBuf>,
    },
}

/// Why a store is not opened.
#[derive(Debug, thiserror::Error)]
pub enum OpeningFault {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreFault),
    /// The ledger.
    #[error(transparent)]
    Ledger(#[from] LedgerFault),
    /// No identity can be drawn.
    #[error("the system gave no random bytes")]
    Random,
    /// The ledger's thread.
    #[error("{0}")]
    Io(#[from] io::Error),
}

fn drawn() -> Result<String, OpeningFault> {
    random_hex::<16>().ok_or(OpeningFault::Random)
}

/// Opens both. The ledger is held meanwhile, so that no other process opens them between two steps.
///
/// # Errors
/// Those of the store and of the disk.
pub(super) async fn open<S: Store>(
    store: &S,
    ledger: &Ledger,
    now_ms: i64,
) -> Result<(House, Option<Found>), OpeningFault> {
    let was = store.house().await?;
    let opened = ledger.clone();
    let opened = tokio::task::spawn_blocking(move || opened.open()).await.map_err(io::Error::other)?;
    let (mut open, believed) = match opened {
        Ok(open) => {
            let why = was.as_ref().and_then(|house| unlike(house, &open));
            (Some(open), why.map_or(Ok(()), Err))
        }
        Err(LedgerFault::Changed(n)) => (None, Err(format!("its line {n} is not what was written"))),
        Err(fault) => return Err(fault.into()),
    };
    let (mut house, found) = match (was, believed) {
        (None, Ok(())) => {
            let before = open.as_ref().and_then(|o| o.house()).map(ToOwned::to_owned);
            let found = before.is_some().then_some(Found::NewStore);
            let id = before.map_or_else(drawn, Ok)?;
            (House { id, epoch: drawn()?, ..House::default() }, found)
        }
        (Some(mut house), Ok(())) => {
            let older =
                house.copied || open.as_ref().and_then(|o| o.marks().next_back()) != Some(&house.mark);
            if older {
                house.epoch = drawn()?;
            }
            (house, older.then_some(Found::OlderStore))
        }
        (was, Err(why)) => {
            drop(open.take());
            let aside = set_aside(ledger, now_ms)?;
            revoke_everything(store, now_ms).await?;
            let id = was.map_or_else(drawn, |house| Ok(house.id))?;
            (House { id, epoch: drawn()?, ..House::default() }, Some(Found::NoLedger { why, aside }))
        }
    };
    let mut open = match open {
        Some(open) => open,
        None => ledger.open()?,
    };
    if open.lines.is_empty() {
        open.add(Fact::House { id: house.id.clone() }, now_ms)?;
    }
    // An older store has followed less than it says, when its number is of before a ledger that was set aside.
    let followed = if found.is_some() { 0 } else { house.followed };
    follow(store, open.lines.iter().filter(|l| l.number > followed)).await?;
    house.mark = drawn()?;
    house.copied = false;
    house.followed = open.add(Fact::Opened { mark: house.mark.clone() }, now_ms)?;
    store.keep_house(house.clone()).await?;
    Ok((house, found))
}

/// Reads both as they are, for who looks after a host that may be running. Says whether they do not go together.
///
/// # Errors
/// As [`open`].
pub(super) async fn look<S: Store>(store: &S, ledger: &Ledger) -> Result<(House, bool), OpeningFault> {
    let opened = ledger.clone();
    // Held until the store was read: a host that opens both meanwhile is between two steps.
    let opened = tokio::task::spawn_blocking(move || opened.open()).await.map_err(io::Error::other)?;
    let house = store.house().await?;
    let last = |open: &super::ledger::Open, house: &House| {
        unlike(house, open).is_none() && open.marks().next_back() == Some(&house.mark)
    };
    match (house, opened) {
        (Some(house), Ok(open)) if last(&open, &house) => Ok((house, false)),
        (house, Ok(_) | Err(LedgerFault::Changed(_))) => Ok((house.unwrap_or_default(), true)),
        (_, Err(fault)) => Err(fault.into()),
    }
}

/// Why a ledger does not go with a store.
pub(super) fn unlike(house: &House, open: &super::ledger::Open) -> Option<String> {
    match open.house() {
        None => Some("it is not there".into()),
        Some(id) if id != house.id => Some("it is of another house".into()),
        // It lacks what this store has seen: an older copy of the ledger, which may lack revocations.
        Some(_) if !open.marks().any(|m| m == house.mark) => Some("it is older than the store".into()),
        Some(_) => None,
    }
}

/// Moves a ledger that is not believed out of the way; an empty one that was just made is taken away.
fn set_aside(ledger: &Ledger, now_ms: i64) -> io::Result<Option<PathBuf>> {
    let path = ledger.path();
    if fs::metadata(path)?.len() == 0 {
        fs::remove_file(path)?;
        return Ok(None);
    }
    let mut name = path.as_os_str().to_owned();
    name.push(format!(".aside-{now_ms}"));
    let aside = PathBuf::from(name);
    fs::rename(path, &aside)?;
    Ok(Some(aside))
}

/// Does again what the ledger says was done. All of it may be done twice.
async fn follow<S: Store>(store: &S, lines: impl Iterator<Item = &Line>) -> Result<(), StoreFault> {
    for line in lines {
        match &line.fact {
            Fact::Revoked { account, device } => {
                for was in store.devices(account).await?.into_iter().filter(|d| d.key == *device) {
                    if was.revoked_ms.is_none() {
                        let now =
                            super::account::PairedDevice { revoked_ms: Some(line.at_ms), ..was.clone() };
                        store.keep_device(account, Some(was), now).await?;
                    }
                }
            }
            Fact::Withdrawn { account, grant, stamp } => store.void(account, *grant, *stamp).await?,
            Fact::Erased { account } => store.erase(account).await?,
            Fact::House { .. } | Fact::Opened { .. } | Fact::Other => {}
        }
    }
    Ok(())
}

/// Revokes every device and lets no grant count until its lifter writes it anew.
async fn revoke_everything<S: Store>(store: &S, now_ms: i64) -> Result<(), StoreFault> {
    let mut after: Option<AccountId> = None;
    loop {
        let accounts = store.accounts(after.clone(), STEP).await?;
        let Some(last) = accounts.last() else { return Ok(()) };
        after = Some(last.id.clone());
        for account in &accounts {
            for was in store.devices(&account.id).await? {
                let now = super::account::PairedDevice {
                    revoked_ms: was.revoked_ms.or(Some(now_ms)),
                    next: None,
                    ..was.clone()
                };
                store.keep_device(&account.id, Some(was), now).await?;
            }
            for held in grants(store, &account.id).await? {
                if let Some(stamp) = held.entry.last_written() {
                    store.void(&account.id, held.entry.id, stamp).await?;
                }
            }
        }
    }
}

/// Every grant of an account, withdrawn ones and all.
pub(crate) async fn grants<S: Store>(store: &S, account: &AccountId) -> Result<Vec<Held>, StoreFault> {
    all_of(store, account, Kind::Grant).await
}

/// Every entry of a kind that a store lists.
pub(crate) async fn all_of<S: Store>(
    store: &S,
    account: &AccountId,
    kind: Kind,
) -> Result<Vec<Held>, StoreFault> {
    let (mut all, mut after) = (Vec::new(), None);
    loop {
        let page = store.of_kind(account, kind.clone(), after, STEP).await?;
        let Some(last) = page.last() else { return Ok(all) };
        after = Some(last.entry.id);
        all.extend(page);
    }
}
