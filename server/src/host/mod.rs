//! The sync server: accounts, their records, and who may reach them ([the protocol](../../../docs/sync-protocol.md),
//! [how to run it](../../../docs/host.md)).
//!
//! `store` is what is asked of a store and `sqlite` the one that comes with it, `ledger` and `opening` keep a restored
//! backup from undoing a revocation, `backups` makes them by date, `restore` puts one in place while nobody holds the
//! `lock`, `signature` has the key of what is published, `exchange` answers a sync without knowing HTTP, `putting` writes what comes by none, `token`, `pairing` and `grant` say who may, `guesses` counts
//! who tries without, `door` is HTTP, and `serve` ties them to a socket.

pub mod account;
pub mod audit;
pub mod backups;

pub mod conformance;
pub mod door;
pub mod exchange;
pub mod fault;
pub mod grant;
pub mod guesses;
pub mod ledger;
pub mod lock;
mod opening;
pub mod pairing;
mod putting;
pub mod ranges;
pub mod restore;
pub mod serve;
pub mod signature;
pub mod sqlite;
pub mod store;
pub mod taking;
pub mod tls;
pub mod token;
pub mod watch;

pub use opening::{Found, OpeningFault};

use fault::{Fails, Fault};
use ledger::Ledger;
use plinth_core::sync::Limits;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use store::{House, Store};
use tokio::sync::{Semaphore, SemaphorePermit};

/// Bodies that are worked at, at once: with a body, what it unpacks to and an answer some twelve megabytes each.
const AT_ONCE: usize = 32;
/// How long a request waits for its turn.
const PATIENCE: Duration = Duration::from_secs(10);

/// Milliseconds since 1970, as the host knows them.
pub type Clock = Arc<dyn Fn() -> i64 + Send + Sync>;

/// The system's clock.
pub fn system_clock() -> Clock {
    Arc::new(|| {
        let passed = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        i64::try_from(passed.as_millis()).unwrap_or(i64::MAX)
    })
}

/// What an account may own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quota {
    /// Entries.
    pub entries: u64,
    /// Bytes of their text.
    pub bytes: u64,
    /// Paired devices that count.
    pub devices: usize,
}

impl Default for Quota {
    fn default() -> Self {
        Self { entries: plinth_core::record::MOST_ENTRIES, bytes: 2 * 1024 * 1024 * 1024, devices: 32 }
    }
}

/// An open host.
pub struct Host<S> {
    /// Its store.
    pub store: S,
    /// Its ledger.
    pub ledger: Ledger,
    /// What the store said of itself when it was opened.
    pub house: House,
    /// What it takes.
    pub limits: Limits,
    /// What an account may own.
    pub quota: Quota,
    /// The oldest program that it serves, as its version: three numbers.
    pub oldest_app: [u32; 3],
    /// Its clock.
    pub clock: Clock,
    /// Guesses at codes.
    pub codes: guesses::Guesses,
    /// Guesses at tokens.
    pub tokens: guesses::Guesses,
    /// Tokens that have counted.
    pub heard: guesses::Heard,
    /// What it counts.
    pub counts: watch::Counts,
    turns: Semaphore,
}

impl<S: Store> Host<S> {
    /// Opens a store with its ledger; says what was found where the two did not go together.
    ///
    /// # Errors
    /// Those of the store, the ledger and the disk.
    pub async fn open(store: S, ledger: Ledger, clock: Clock) -> Result<(Self, Option<Found>), OpeningFault> {
        let (house, found) = opening::open(&store, &ledger, clock()).await?;
        Ok((Self::with(store, ledger, clock, house), found))
    }

    /// As [`Self::open`], beside a host that may be running: changes nothing, and says whether store and ledger do not
    /// go together.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub async fn beside(store: S, ledger: Ledger, clock: Clock) -> Result<(Self, bool), OpeningFault> {
        let (house, apart) = opening::look(&store, &ledger).await?;
        Ok((Self::with(store, ledger, clock, house), apart))
    }

    fn with(store: S, ledger: Ledger, clock: Clock, house: House) -> Self {
        Self {
            store,
            ledger,
            house,
            limits: Limits::default(),
            quota: Quota::default(),
            oldest_app: [0, 1, 0],
            clock,
            codes: pairing::guesses(),
            tokens: token::guesses(),
            heard: guesses::Heard::default(),
            counts: watch::Counts::default(),
            turns: Semaphore::new(AT_ONCE),
        }
    }

    /// A turn at what holds bodies in memory: so many at once, and no more.
    ///
    /// # Errors
    /// None came in time.
    pub(crate) async fn turn(&self) -> Result<SemaphorePermit<'_>, Fault> {
        let busy =
            || Fault::new(Fails::Busy, "busy", "too much is asked at once", "try again later").later(5);
        let turn = tokio::time::timeout(PATIENCE, self.turns.acquire()).await;
        turn.map_err(|_| busy())?.map_err(|_| busy())
    }

    /// Now, milliseconds since 1970.
    pub fn now_ms(&self) -> i64 {
        (self.clock)()
    }
}

/// Where the ledger of a store lies: beside it.
pub fn ledger_beside(store: &Path) -> PathBuf {
    beside(store, "ledger")
}

/// A file beside the store, named after it.
pub(crate) fn beside(store: &Path, what: &str) -> PathBuf {
    let mut name = store.as_os_str().to_owned();
    name.push(format!(".{what}"));
    PathBuf::from(name)
}
