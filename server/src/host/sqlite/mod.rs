//! The store in one SQLite file: one connection writes, a few read, all of them off the async threads.
//!
//! The log is written ahead and synced at each commit, so that what is answered is on the disk. Other processes of the
//! same machine may open the file beside a running host, which is how it is looked after in person.

mod audit;
pub mod copy;
mod house;
pub mod mend;
mod people;
mod pool;
mod record;
mod salvage;
pub mod swap;
mod whole;

pub use whole::Checked;

use super::account::{Account, AccountId, Hashed, Offered, PairedDevice};
use super::audit::{AuditLine, Did};
use super::ledger::private;
use super::store::{Asked, Change, Head, Held, House, Loaded, Page, Store, StoreFault};
use audit::Which;
use plinth_core::record::{Between, DeviceId, EntryId, Kind, Stamp};
use pool::Pool;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};
use rusqlite_migration::{M, Migrations};
use std::collections::BTreeMap;
use std::fs::OpenOptions;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The newest version of the schema.
pub const LATEST: i64 = 2;
/// "PLNH", as the first migration sets it.
const APPLICATION: i64 = 1_347_178_056;
/// Connections that read.
const READERS: usize = 3;
/// How long a connection waits for another process.
const PATIENCE: Duration = Duration::from_secs(5);

/// The store in one file.
#[derive(Debug)]
pub struct SqliteStore {
    path: PathBuf,
    writer: Pool,
    readers: Pool,
}

impl SqliteStore {
    /// Opens the store at `path`, or makes one.
    ///
    /// # Errors
    /// [`StoreFault::Newer`] and [`StoreFault::NotAStore`] leave the file as it is; others of the disk.
    pub fn open(path: &Path) -> Asked<Self> {
        narrow(path);
        let mut db = connect(path)?;
        let tables: i64 = db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
        if tables > 0 {
            known(&db, path)?;
        }
        bring_up_to_date(&mut db)?;
        let readers = (0..READERS).map(|_| connect(path)).collect::<Asked<Vec<_>>>()?;
        Ok(Self { path: path.to_owned(), writer: Pool::of(vec![db]), readers: Pool::of(readers) })
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    async fn read<T: Send + 'static>(
        &self,
        ask: impl FnOnce(&Connection) -> Asked<T> + Send + 'static,
    ) -> Asked<T> {
        // One snapshot for all that the question reads.
        self.readers
            .with(move |db| {
                let snapshot = db.transaction()?;
                let told = ask(&snapshot)?;
                snapshot.commit()?;
                Ok(told)
            })
            .await
    }

    async fn write<T: Send + 'static>(
        &self,
        make: impl FnOnce(&Transaction<'_>) -> Asked<T> + Send + 'static,
    ) -> Asked<T> {
        self.writer
            .with(move |db| {
                let change = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
                let told = make(&change)?;
                change.commit()?;
                Ok(told)
            })
            .await
    }
}

fn bring_up_to_date(db: &mut Connection) -> Asked<()> {
    Migrations::new(vec![M::up(include_str!("001_host.sql")), M::up(include_str!("002_shown_in_turn.sql"))])
        .to_latest(db)
        .map_err(|e| StoreFault::Engine(e.to_string()))
}

/// Whether it is a store, and of a version that is known here.
fn known(db: &Connection, path: &Path) -> Asked<()> {
    let version: i64 = db.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let application: i64 = db.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if application != APPLICATION {
        return Err(StoreFault::NotAStore(path.display().to_string()));
    }
    if version > LATEST {
        return Err(StoreFault::Newer { found: version, ours: LATEST });
    }
    Ok(())
}

/// A connection that writes durably.
/// Takes from everybody but its owner what an older program, or a copy, left open. Where that cannot be done the store
/// is still the keeper's to use, and the log says so.
#[cfg(unix)]
fn narrow(path: &Path) {
    use std::fs::{Permissions, metadata, set_permissions};
    use std::os::unix::fs::PermissionsExt as _;
    for file in [path.to_owned(), beside(path, "-wal"), beside(path, "-shm")] {
        if metadata(&file).is_ok_and(|m| m.permissions().mode() & 0o077 != 0) {
            match set_permissions(&file, Permissions::from_mode(0o600)) {
                Ok(()) => tracing::warn!("others could read the store; it is its owner's alone now"),
                Err(e) => tracing::error!("others can read the store, and that cannot be changed: {e}"),
            }
        }
    }
}

#[cfg(not(unix))]
const fn narrow(_path: &Path) {}

/// The name of a file that SQLite puts beside a store.
#[cfg(unix)]
fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    name.into()
}

fn connect(path: &Path) -> Asked<Connection> {
    let flags =
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    if !path.exists() {
        // A new one is its owner's alone, and so are the files that SQLite puts beside it. Where it cannot be made, SQLite
        // says why.
        drop(private(OpenOptions::new().write(true).create_new(true)).open(path));
    }
    let db = Connection::open_with_flags(path, flags)?;
    db.busy_timeout(PATIENCE)?;
    db.set_prepared_statement_cache_capacity(64);
    db.pragma_update(None, "journal_mode", "WAL")?;
    db.pragma_update(None, "synchronous", "FULL")?;
    db.pragma_update(None, "trusted_schema", "OFF")?;
    db.pragma_update(None, "cell_size_check", "ON")?;
    db.pragma_update(None, "secure_delete", "ON")?;
    db.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    Ok(db)
}

impl From<rusqlite::Error> for StoreFault {
    fn from(error: rusqlite::Error) -> Self {
        match &error {
            rusqlite::Error::SqliteFailure(failure, message) => {
                let told = || message.clone().unwrap_or_else(|| failure.to_string());
                match failure.code {
                    ErrorCode::DiskFull => Self::DiskFull,
                    ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Self::Busy,
                    ErrorCode::DatabaseCorrupt | ErrorCode::ConstraintViolation => Self::Damaged(told()),
                    ErrorCode::NotADatabase => Self::NotAStore(told()),
                    _ => Self::Engine(told()),
                }
            }
            rusqlite::Error::FromSqlConversionFailure(..)
            | rusqlite::Error::IntegralValueOutOfRange(..)
            | rusqlite::Error::InvalidColumnType(..)
            | rusqlite::Error::Utf8Error(..) => Self::Damaged(error.to_string()),
            _ => Self::Engine(error.to_string()),
        }
    }
}

impl Store for SqliteStore {
    async fn house(&self) -> Asked<Option<House>> {
        self.read(house::house).await
    }

    async fn keep_house(&self, house: House) -> Asked<()> {
        self.write(move |db| house::keep_house(db, &house)).await
    }

    async fn accounts(&self, after: Option<AccountId>, most: u32) -> Asked<Vec<Account>> {
        self.read(move |db| people::accounts(db, after.as_ref(), most)).await
    }

    async fn account(&self, account: &AccountId) -> Asked<Option<Account>> {
        let account = account.clone();
        self.read(move |db| people::account(db, &account)).await
    }

    async fn make_account(&self, account: Account) -> Asked<bool> {
        self.write(move |db| people::make_account(db, &account)).await
    }

    async fn erase(&self, account: &AccountId) -> Asked<()> {
        let account = account.clone();
        self.write(move |db| house::erase(db, &account)).await?;
        // What was erased does not stay in the log.
        self.writer.with(|db| Ok(db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?)).await
    }

    async fn devices(&self, account: &AccountId) -> Asked<Vec<PairedDevice>> {
        let account = account.clone();
        self.read(move |db| people::devices(db, &account)).await
    }

    async fn keep_device(
        &self,
        account: &AccountId,
        was: Option<PairedDevice>,
        now: PairedDevice,
    ) -> Asked<bool> {
        let account = account.clone();
        self.write(move |db| people::keep_device(db, &account, was.as_ref(), &now)).await
    }

    async fn offer(&self, offered: Offered, now_ms: i64) -> Asked<()> {
        self.write(move |db| people::offer(db, &offered, now_ms)).await
    }

    async fn offered(&self, now_ms: i64, most: u32) -> Asked<Vec<Offered>> {
        self.read(move |db| people::offered(db, now_ms, most)).await
    }

    async fn redeem(&self, code: Hashed) -> Asked<bool> {
        self.write(move |db| people::redeem(db, &code)).await
    }

    async fn head(&self, account: &AccountId, device: DeviceId, epoch: &str) -> Asked<Head> {
        let (account, epoch) = (account.clone(), epoch.to_owned());
        self.read(move |db| record::head(db, &account, device, &epoch)).await
    }

    async fn load(&self, account: &AccountId, ids: Vec<EntryId>) -> Asked<Loaded> {
        let account = account.clone();
        self.read(move |db| record::load(db, &account, &ids)).await
    }

    async fn after(
        &self,
        account: &AccountId,
        number: u64,
        but_of: Option<DeviceId>,
        entries: u32,
        bytes: u64,
    ) -> Asked<Page> {
        let account = account.clone();
        self.read(move |db| record::after(db, &account, number, but_of, (entries, bytes))).await
    }

    async fn of_kind(
        &self,
        account: &AccountId,
        kind: Kind,
        after: Option<EntryId>,
        most: u32,
    ) -> Asked<Vec<Held>> {
        let account = account.clone();
        self.read(move |db| record::of_kind(db, &account, &kind, after, most)).await
    }

    async fn digests(
        &self,
        account: &AccountId,
        between: Between,
        most: u32,
    ) -> Asked<Vec<(EntryId, [u8; 32])>> {
        let account = account.clone();
        self.read(move |db| record::digests(db, &account, between, most)).await
    }

    async fn commit(&self, account: &AccountId, change: Change) -> Asked<bool> {
        let account = account.clone();
        self.write(move |db| record::commit(db, &account, &change)).await
    }

    async fn voided(&self, account: &AccountId) -> Asked<BTreeMap<EntryId, Stamp>> {
        let account = account.clone();
        self.read(move |db| people::voided(db, &account)).await
    }

    async fn void(&self, account: &AccountId, grant: EntryId, stamp: Stamp) -> Asked<()> {
        let account = account.clone();
        self.write(move |db| people::void(db, &account, grant, stamp)).await
    }

    async fn name_coach(&self, coach: &AccountId, lifter: &AccountId) -> Asked<()> {
        let (coach, lifter) = (coach.clone(), lifter.clone());
        self.write(move |db| people::name_coach(db, &coach, &lifter)).await
    }

    async fn named_by(
        &self,
        coach: &AccountId,
        after: Option<AccountId>,
        most: u32,
    ) -> Asked<Vec<AccountId>> {
        let coach = coach.clone();
        self.read(move |db| people::named_by(db, &coach, after.as_ref(), most)).await
    }

    async fn note(&self, account: &AccountId, who: &AccountId, did: Did, at_ms: i64) -> Asked<()> {
        let (account, who) = (account.clone(), who.clone());
        self.write(move |db| audit::note(db, &account, &who, &did, at_ms)).await
    }

    async fn audit(&self, account: &AccountId, after: u64, most: u32) -> Asked<Vec<AuditLine>> {
        let account = account.clone();
        self.read(move |db| audit::lines(db, &account, after, most, Which::Oldest)).await
    }

    async fn latest_audit(&self, account: &AccountId, after: u64, most: u32) -> Asked<Vec<AuditLine>> {
        let account = account.clone();
        self.read(move |db| audit::lines(db, &account, after, most, Which::Newest)).await
    }
}
