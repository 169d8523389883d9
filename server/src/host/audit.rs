//! Who did what with an account, as its lifter can read it.

pub use plinth_core::sync::{AuditDeed as Deed, AuditLine};
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
