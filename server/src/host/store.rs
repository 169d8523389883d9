//! What a host asks of its store, whatever engine lies under it.
//!
//! Everything is keyed by account, and no question spans two of them, so that a store can be split by account. Numbers
//! are the store's own for each account; no clock orders anything. A write that depends on what was read says what it
//! was, and is done only where that still holds: in SQL a transaction, in a partitioned store a compare-and-set on the
//! account's row. [`conformance`](super::conformance) says the same as tests, which every implementation passes.

use super::account::{Account, AccountId, Hashed, Offered, PairedDevice};
use super::audit::{AuditLine, Did};
use plinth_core::record::{Between, DeviceId, Entry, EntryId, Kind, Stamp, Sum, read_stored};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::future::Future;
use thiserror::Error;

/// Devices of an account whose cursors are remembered: those whose cursors moved last. A device takes a new identity
/// when it was put back, so that there are more of them than phones. Common practice, no source.
pub const MOST_SHOWN: u32 = 1_000;

/// A fault of the store. Whatever it is, what the call would have written is there whole or not at all.
#[derive(Debug, Error)]
pub enum StoreFault {
    /// No room.
    #[error("the disk is full; nothing was changed")]
    DiskFull,
    /// Others hold the store for too long.
    #[error("the store is busy")]
    Busy,
    /// Written by a newer version.
    #[error("the store is of version {found}, and this program knows versions up to {ours}")]
    Newer {
        /// The store's version.
        found: i64,
        /// The newest that is known here.
        ours: i64,
    },
    /// Another program's file.
    #[error("{0} is not the store of a host")]
    NotAStore(String),
    /// It holds what was never written there.
    #[error("the store is damaged: {0}")]
    Damaged(String),
    /// The engine failed in another way.
    #[error("the store failed: {0}")]
    Engine(String),
}

impl StoreFault {
    /// What the disk answered to a file that is written whole.
    pub(crate) fn of_disk(error: &std::io::Error) -> Self {
        match error.kind() {
            std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => Self::DiskFull,
            _ => Self::Engine(error.to_string()),
        }
    }

    /// A stable code.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::DiskFull => "store_disk_full",
            Self::Busy => "store_busy",
            Self::Newer { .. } => "store_newer",
            Self::NotAStore(_) => "store_not_a_store",
            Self::Damaged(_) => "store_damaged",
            Self::Engine(_) => "store_engine",
        }
    }
}

/// What the store says of itself.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct House {
    /// Which house it belongs to; its ledger bears the same.
    pub id: String,
    /// Identifies this state of the store for devices.
    pub epoch: String,
    /// Up to which line of the ledger it has followed.
    pub followed: u64,
    /// The mark of the last opening, which the ledger bears too: a store with another is an older copy.
    pub mark: String,
    /// What devices call, as the host last said it.
    #[serde(default)]
    pub address: String,
    /// The fingerprint of the certificate that it shows, where it is not a public one.
    #[serde(default)]
    pub certificate: Option<String>,
    /// Set in a backup: whoever opens it opens a copy.
    #[serde(default)]
    pub copied: bool,
}

/// An entry of an account.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// It.
    pub entry: Entry,
    /// The account's number at which it last changed.
    pub number: u64,
    /// The device whose push made it exactly what it is, and that need not get it back.
    pub by: Option<DeviceId>,
    /// The coach who made it, where a coach did.
    pub made_by: Option<AccountId>,
}

/// What of an entry decides about a change of it.
#[derive(Debug, Clone, Copy)]
pub struct Old<'a> {
    /// It.
    pub entry: &'a Entry,
    /// As in [`Held`].
    pub made_by: Option<&'a AccountId>,
}

impl Held {
    /// What of it decides about a change.
    pub const fn old(&self) -> Old<'_> {
        Old { entry: &self.entry, made_by: self.made_by.as_ref() }
    }
}

/// An entry as a store keeps it: its text, which agrees with its digest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// As [`Entry::text`] wrote it.
    pub text: String,
    /// As [`Entry::digest`] gave it.
    pub digest: [u8; 32],
    /// As in [`Held`].
    pub number: u64,
    /// As in [`Held`].
    pub by: Option<DeviceId>,
    /// As in [`Held`].
    pub made_by: Option<AccountId>,
}

impl Kept {
    /// It, read; nothing where it is none.
    pub fn held(self) -> Option<Held> {
        let Self { text, digest, number, by, made_by } = self;
        Some(Held { entry: read_stored(&text, &digest)?, number, by, made_by })
    }
}

impl From<Held> for Kept {
    fn from(held: Held) -> Self {
        let Held { entry, number, by, made_by } = held;
        let (text, digest) = entry.text_and_digest();
        Self { text, digest, number, by, made_by }
    }
}

/// An entry that is written, and how it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Which.
    pub id: EntryId,
    /// Of which kind.
    pub kind: Kind,
    /// What is kept.
    pub kept: Kept,
}

impl From<Held> for Written {
    fn from(held: Held) -> Self {
        Self { id: held.entry.id, kind: held.entry.kind.clone(), kept: held.into() }
    }
}

/// Entries that were asked for by their ids.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Loaded {
    /// Those that are there, in no order.
    pub held: Vec<Held>,
    /// Those that differ from their digest: kind and digest as they stand in the sums. A push of the entry mends it.
    pub damaged: Vec<(EntryId, String, [u8; 32])>,
}

/// Where an account stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Head {
    /// The number of the last change.
    pub number: u64,
    /// The bytes of all entries as text.
    pub bytes: u64,
    /// The sum of each kind, by its name.
    pub sums: BTreeMap<String, Sum>,
    /// The greatest cursor that the device has shown in this epoch, where it is remembered.
    pub shown: Option<u64>,
}

/// What a device has shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The device.
    pub device: DeviceId,
    /// In which epoch.
    pub epoch: String,
    /// Its cursor.
    pub cursor: u64,
}

/// What one request changes in an account, all of it or nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Change {
    /// The account's number as it was read; at another one nothing is changed.
    pub was: u64,
    /// The number afterwards.
    pub number: u64,
    /// The bytes afterwards.
    pub bytes: u64,
    /// Entries, new or instead of what is there.
    pub entries: Vec<Written>,
    /// The sums afterwards, of every kind that changed.
    pub sums: BTreeMap<String, Sum>,
    /// What the device has shown. Beyond [`MOST_SHOWN`] of them, the device that showed something new the longest ago is
    /// let go.
    pub shown: Option<Shown>,
}

/// Some of an account's entries, oldest number first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Page {
    /// They.
    pub entries: Vec<Kept>,
    /// The number up to which nothing lies between them any more.
    pub up_to: u64,
    /// Whether there are more.
    pub more: bool,
    /// Entries that differ from their digest and are passed over.
    pub damaged: u64,
}

/// What a store answers.
pub type Asked<T> = Result<T, StoreFault>;

/// A store of a host.
pub trait Store: Send + Sync + 'static {
    /// What the store says of itself; nothing in a new one.
    fn house(&self) -> impl Future<Output = Asked<Option<House>>> + Send;
    /// Keeps what it says of itself.
    fn keep_house(&self, house: House) -> impl Future<Output = Asked<()>> + Send;

    /// The accounts by name, after one: for what is done in person on the host's machine, never for a request.
    fn accounts(
        &self,
        after: Option<AccountId>,
        most: u32,
    ) -> impl Future<Output = Asked<Vec<Account>>> + Send;
    /// An account.
    fn account(&self, account: &AccountId) -> impl Future<Output = Asked<Option<Account>>> + Send;
    /// Makes an account, unless one of that name is there; says whether it did.
    fn make_account(&self, account: Account) -> impl Future<Output = Asked<bool>> + Send;
    /// Erases an account with all that it owns.
    fn erase(&self, account: &AccountId) -> impl Future<Output = Asked<()>> + Send;

    /// The account's devices by key, revoked ones and all.
    fn devices(&self, account: &AccountId) -> impl Future<Output = Asked<Vec<PairedDevice>>> + Send;
    /// Writes a device where it still is as it was (`None`: where there is none); says whether it did.
    fn keep_device(
        &self,
        account: &AccountId,
        was: Option<PairedDevice>,
        now: PairedDevice,
    ) -> impl Future<Output = Asked<bool>> + Send;

    /// Keeps a one-time code, and lets go of those that are over at `now_ms`.
    fn offer(&self, offered: Offered, now_ms: i64) -> impl Future<Output = Asked<()>> + Send;
    /// The codes that still count at `now_ms`, at most `most`.
    fn offered(&self, now_ms: i64, most: u32) -> impl Future<Output = Asked<Vec<Offered>>> + Send;
    /// Takes a code away, once; says whether it was there.
    fn redeem(&self, code: Hashed) -> impl Future<Output = Asked<bool>> + Send;

    /// Where an account stands, as a device in an epoch sees it.
    fn head(
        &self,
        account: &AccountId,
        device: DeviceId,
        epoch: &str,
    ) -> impl Future<Output = Asked<Head>> + Send;
    /// Entries by their ids; what is not there is left out.
    fn load(&self, account: &AccountId, ids: Vec<EntryId>) -> impl Future<Output = Asked<Loaded>> + Send;
    /// What changed after a number, oldest first: at most `entries`, and after the first no more than `bytes` of text.
    /// What `but_of` made exactly what it is may be passed over without a look at it.
    fn after(
        &self,
        account: &AccountId,
        number: u64,
        but_of: Option<DeviceId>,
        entries: u32,
        bytes: u64,
    ) -> impl Future<Output = Asked<Page>> + Send;
    /// The entries of a kind by id, deleted ones and all, after one. Only [`Kind::Grant`] and [`Kind::Lifter`] are
    /// asked for.
    fn of_kind(
        &self,
        account: &AccountId,
        kind: Kind,
        after: Option<EntryId>,
        most: u32,
    ) -> impl Future<Output = Asked<Vec<Held>>> + Send;
    /// Id and digest of the entries between two ids, by id, at most so many.
    fn digests(
        &self,
        account: &AccountId,
        between: Between,
        most: u32,
    ) -> impl Future<Output = Asked<Vec<(EntryId, [u8; 32])>>> + Send;
    /// Makes a change, unless the account's number is another by now; says whether it did.
    fn commit(&self, account: &AccountId, change: Change) -> impl Future<Output = Asked<bool>> + Send;

    /// The grants of an account that count no more, each until a field of it has a greater stamp than this.
    fn voided(&self, account: &AccountId) -> impl Future<Output = Asked<BTreeMap<EntryId, Stamp>>> + Send;
    /// Lets a grant count no more.
    fn void(
        &self,
        account: &AccountId,
        grant: EntryId,
        stamp: Stamp,
    ) -> impl Future<Output = Asked<()>> + Send;

    /// Notes with a coach that a lifter's grant names it. It is a hint: the grant itself is read before anything is
    /// shown.
    fn name_coach(&self, coach: &AccountId, lifter: &AccountId) -> impl Future<Output = Asked<()>> + Send;
    /// The lifters whose grants have named a coach, by name, after one.
    fn named_by(
        &self,
        coach: &AccountId,
        after: Option<AccountId>,
        most: u32,
    ) -> impl Future<Output = Asked<Vec<AccountId>>> + Send;

    /// Adds to what an account's lifter can read of who did what. The same again within the hour is counted on the line
    /// that is there.
    fn note(
        &self,
        account: &AccountId,
        who: &AccountId,
        did: Did,
        at_ms: i64,
    ) -> impl Future<Output = Asked<()>> + Send;
    /// The lines after a number, oldest first.
    fn audit(
        &self,
        account: &AccountId,
        after: u64,
        most: u32,
    ) -> impl Future<Output = Asked<Vec<AuditLine>>> + Send;
    /// The newest lines after a number, oldest first.
    fn latest_audit(
        &self,
        account: &AccountId,
        after: u64,
        most: u32,
    ) -> impl Future<Output = Asked<Vec<AuditLine>>> + Send;
}
