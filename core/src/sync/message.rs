//! The messages of an exchange, as JSON. Members that are not known are passed over, so that a newer side may say
//! more.

use super::audit::AuditLine;
use super::range::Range;
use crate::record::{Between, DeviceId, EntryId, KindSum};
use serde::de::{Error, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::value::RawValue;
use std::fmt;
use std::marker::PhantomData;

/// The version of the protocol.
pub const PROTOCOL: u32 = 1;
/// Where an exchange is posted.
pub const PATH: &str = "/v1/sync";

/// What a side can do beyond the least that version 1 asks for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Capability {
    /// Takes bodies packed by gzip (RFC 1952).
    Gzip,
    /// Compares ranges.
    Ranges,
    /// Something of a newer version.
    #[serde(untagged)]
    Other(String),
}

/// What a device sends.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Request {
    /// [`PROTOCOL`].
    pub protocol: u32,
    /// The version of the program, such as `0.1.0`.
    pub app: String,
    /// The device.
    pub device: DeviceId,
    /// The store that the cursor belongs to; none at first.
    #[serde(default)]
    pub epoch: Option<String>,
    /// The server's number up to which the device has everything.
    pub cursor: u64,
    /// What the device can do.
    #[serde(default, deserialize_with = "few")]
    pub can: Vec<Capability>,
    /// Entries that the server may lack.
    #[serde(default, deserialize_with = "few")]
    pub push: Vec<Box<RawValue>>,
    /// The most entries that are wanted back; none at 0.
    pub want: u32,
    /// Whether the sums are wanted, after what is pushed.
    #[serde(default)]
    pub sums: bool,
    /// Ranges to compare.
    #[serde(default, deserialize_with = "few")]
    pub ranges: Vec<Range>,
    /// Entries to send, whatever the cursor says.
    #[serde(default, deserialize_with = "few")]
    pub fetch: Vec<EntryId>,
    /// That lines of who did what with the account are wanted, those after this number; the newest, where there are too
    /// many.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub audit: Option<u64>,
}

/// A list of a request is read to so many: a bound for memory, above every limit that a server states.
const MOST_AT_ONCE: usize = 5_000;

/// A list that is not read beyond [`MOST_AT_ONCE`].
fn few<'de, T: Deserialize<'de>, D: Deserializer<'de>>(from: D) -> Result<Vec<T>, D::Error> {
    struct Few<T>(PhantomData<T>);
    impl<'de, T: Deserialize<'de>> Visitor<'de> for Few<T> {
        type Value = Vec<T>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a list")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Vec<T>, A::Error> {
            let mut list = Vec::new();
            while let Some(item) = items.next_element()? {
                if list.len() == MOST_AT_ONCE {
                    return Err(A::Error::custom(format_args!("more than {MOST_AT_ONCE} in a list")));
                }
                list.push(item);
            }
            Ok(list)
        }
    }
    from.deserialize_seq(Few(PhantomData))
}

/// What the server takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Limits {
    /// The longest body, unpacked, in bytes.
    pub body_bytes: u64,
    /// The most entries pushed at once, and sent at once.
    pub entries: u32,
    /// The most ranges compared at once, and entries fetched at once.
    pub ranges: u32,
    /// How far ahead of the server's clock a stamp may be, milliseconds.
    pub drift_ms: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self { body_bytes: 4 * 1024 * 1024, entries: 500, ranges: 256, drift_ms: super::DRIFT_MS }
    }
}

/// An entry that the server did not take; everything else was taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RefusedEntry {
    /// Its position among those pushed.
    pub at: u32,
    /// The entry, where its id could be read.
    #[serde(default)]
    pub id: Option<EntryId>,
    /// A stable code; `stamp_ahead` where a stamp is too far in the server's future.
    pub code: String,
    /// The field at fault, where one is.
    #[serde(default)]
    pub field: Option<String>,
    /// What is wrong.
    pub reason: String,
    /// What to do.
    pub remedy: String,
}

/// How a range compares, in JSON tagged by `is`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum RangeAnswer {
    /// Both sides hold the same.
    Same {
        /// Where.
        #[serde(flatten)]
        between: Between,
    },
    /// The answering side's parts of it, which cover it.
    Parts {
        /// In order.
        parts: Vec<Range>,
    },
    /// All that the answering side holds.
    Entries {
        /// Where.
        #[serde(flatten)]
        between: Between,
        /// Id and digest, by id.
        entries: Vec<(EntryId, String)>,
    },
}

/// In which way the server found that it and the device do not go on from where they were.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Differs {
    /// The server's store is another one, or an older state of it.
    Epoch,
    /// The device is a copy, or an older state, of one that was further.
    Device,
}

/// What the server answers.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Answer {
    /// [`PROTOCOL`].
    pub protocol: u32,
    /// The server's store.
    pub epoch: String,
    /// The server's clock, milliseconds since 1970.
    pub server_ms: i64,
    /// What it can do.
    #[serde(default)]
    pub can: Vec<Capability>,
    /// What it takes.
    pub limits: Limits,
    /// That they do not go on from where they were.
    #[serde(default)]
    pub differs: Option<Differs>,
    /// Which of the pushed entries it has now, by their position.
    #[serde(default)]
    pub took: Vec<u32>,
    /// Which it did not take.
    #[serde(default)]
    pub refused: Vec<RefusedEntry>,
    /// Entries for the device.
    #[serde(default)]
    pub pull: Vec<Box<RawValue>>,
    /// The number up to which the device now has everything.
    pub cursor: u64,
    /// Whether there is more.
    pub more: bool,
    /// The sums, where they were wanted and there is no more.
    #[serde(default)]
    pub sums: Option<Vec<KindSum>>,
    /// The ranges compared.
    #[serde(default)]
    pub ranges: Vec<RangeAnswer>,
    /// The lines that were wanted, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub audit: Vec<AuditLine>,
}

/// What the server says where it does not answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fault {
    /// A stable code.
    pub code: String,
    /// The member at fault, where one is.
    #[serde(default)]
    pub field: Option<String>,
    /// What is wrong.
    pub reason: String,
    /// What to do.
    pub remedy: String,
}
