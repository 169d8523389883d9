//! The house: a host's store in a folder of its own, into which each lifter's phone was paired and has synced.

use super::{COACH, DemoFault, Lifter};
use crate::host::account::{AccountId, Role};
use crate::host::ledger::Ledger;
use crate::host::sqlite::SqliteStore;
use crate::host::{Host, ledger_beside, system_clock};
use plinth_core::record::DeviceId;
use plinth_core::store::system_random;
use plinth_core::sync::{PROTOCOL, PairRequest, Request};
use serde_json::value::RawValue;
use std::io;
use std::net::{IpAddr, Ipv4Addr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

const DAY_MS: u64 = 24 * 60 * 60 * 1000;
/// Entries that a phone sends at once.
const AT_ONCE: usize = 400;

/// A folder of this process's own, which goes with it.
#[derive(Debug)]
pub struct Folder(PathBuf);

impl Folder {
    /// Makes one among the temporary files, for this user alone.
    ///
    /// # Errors
    /// Those of the disk and of the system's randomness.
    pub fn temporary() -> io::Result<Self> {
        let mut bits = [0; 8];
        if !system_random(&mut bits) {
            return Err(io::Error::other("the system gives no random bytes"));
        }
        let path = std::env::temp_dir().join(format!("plinth-demo-{:016x}", u64::from_le_bytes(bits)));
        let mut made = std::fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut made, 0o700);
        made.create(&path)?;
        Ok(Self(path))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // Nobody is left to tell.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A house that is ready to be looked at.
pub struct Furnished {
    /// The host.
    pub host: Host<SqliteStore>,
    /// Its store.
    pub store: PathBuf,
    /// The code with which the coach signs in, once and within ten minutes.
    pub code: String,
}

impl std::fmt::Debug for Furnished {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Furnished").field("store", &self.store).finish_non_exhaustive()
    }
}

/// Opens a host in a folder, pairs each lifter's phone with it and takes in what it holds, on the day on which it was heard
/// last.
///
/// # Errors
/// What the host refuses; those of its store and ledger.
pub async fn furnish(folder: &Path, lifters: &[Lifter]) -> Result<Furnished, DemoFault> {
    let path = folder.join("demo.plinth");
    let behind = Arc::new(AtomicU64::new(0));
    let (clock, read) = (system_clock(), Arc::clone(&behind));
    let clock: crate::host::Clock =
        Arc::new(move || clock() - i64::try_from(read.load(Ordering::SeqCst)).unwrap_or(0));
    let mut order: Vec<&Lifter> = lifters.iter().collect();
    // Whoever was heard the longest ago first, so that the host's clock goes on.
    order.sort_by_key(|l| std::cmp::Reverse(l.silent_days));
    behind.store(order.first().map_or(0, |l| l.silent_days) * DAY_MS, Ordering::SeqCst);
    let store = SqliteStore::open(&path)?;
    let (mut host, _) = Host::open(store, Ledger::at(&ledger_beside(&path)), clock).await?;
    let named = |account: &str| account.parse::<AccountId>().map_err(|e| DemoFault::Data(e.to_string()));
    host.offer(&named(COACH)?, Role::Coach).await?;
    for lifter in order {
        behind.store(lifter.silent_days * DAY_MS, Ordering::SeqCst);
        take_in(&host, &named(&lifter.account)?, lifter).await?;
    }
    behind.store(0, Ordering::SeqCst);
    host.clock = system_clock();
    let code = host.offer(&named(COACH)?, Role::Coach).await?;
    Ok(Furnished { host, store: path, code })
}

async fn take_in(host: &Host<SqliteStore>, account: &AccountId, lifter: &Lifter) -> Result<(), DemoFault> {
    let app = env!("CARGO_PKG_VERSION").to_owned();
    let device = lifter
        .entries
        .first()
        .and_then(plinth_core::record::Entry::last_written)
        .map_or(DeviceId::new(1), |s| s.device);
    let code = host.offer(account, Role::Lifter).await?;
    let pair = PairRequest { code, device, name: "demo".into(), app: app.clone() };
    host.pair(IpAddr::V4(Ipv4Addr::LOCALHOST), &pair).await?;
    for some in lifter.entries.chunks(AT_ONCE) {
        let push: Result<Vec<_>, _> = some.iter().map(|e| RawValue::from_string(e.text())).collect();
        let request = Request {
            protocol: PROTOCOL,
            app: app.clone(),
            device,
            epoch: None,
            cursor: 0,
            can: Vec::new(),
            push: push.map_err(|e| DemoFault::Data(e.to_string()))?,
            want: 0,
            sums: false,
            ranges: Vec::new(),
            fetch: Vec::new(),
            audit: None,
        };
        let answer = host.sync(account, &request).await?;
        if let Some(refused) = answer.refused.first() {
            return Err(DemoFault::Data(format!("an entry was refused: {}", refused.reason)));
        }
    }
    Ok(())
}
