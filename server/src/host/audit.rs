//! Who did what with an account, as its lifter can read it.

use super::account::AccountId;
use serde::{Deserialize, Serialize};

/// Within so long the same deed is counted on one line, milliseconds.
pub const COUNTED_TOGETHER_MS: i64 = 60 * 60 * 1000;
/// So many lines are kept of an account; the oldest go first.
pub const MOST_LINES: u64 = 10_000;

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Did {
    /// The deed.
    pub deed: Deed,
    /// The groups of the record that it touched, or the name of the device.
    pub what: Vec<String>,
}

/// The kinds of deeds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Deed {
    /// A device was paired.
    Paired,
    /// A device took a new token.
    Renewed,
    /// A device was revoked.
    Revoked,
    /// Groups of the record were read.
    Read,
    /// Entries were written.
    Wrote,
    /// Something was asked for that no grant allows.
    Refused,
}

/// A line of what was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AuditLine {
    /// Its number within the account, from 1.
    pub number: u64,
    /// Who did it.
    pub who: AccountId,
    /// What.
    #[serde(flatten)]
    pub did: Did,
    /// When first, milliseconds since 1970.
    pub from_ms: i64,
    /// When last.
    pub until_ms: i64,
    /// How often.
    pub times: u64,
}
