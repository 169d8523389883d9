//! How far a record has come with a server.

use super::{Later, SyncFault};
use crate::store::Store;
use serde::{Deserialize, Serialize};

/// Kept beside the record; it is this device's own and no part of it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SyncState {
    /// The server's store.
    pub epoch: Option<String>,
    /// Its number up to which this record has everything.
    pub cursor: u64,
    /// When to try again after failures.
    #[serde(default)]
    pub later: Later,
    /// Not before this instant, milliseconds since 1970 by this device's clock.
    #[serde(default)]
    pub not_before_ms: i64,
    /// When all was last brought together, milliseconds since 1970.
    #[serde(default)]
    pub together_ms: Option<i64>,
}

impl SyncState {
    /// Reads it. One that cannot be read only costs a full comparison.
    ///
    /// # Errors
    /// Those of the store.
    pub fn of(store: &Store) -> Result<Self, SyncFault> {
        Ok(store.sync_state()?.and_then(|t| serde_json::from_str(&t).ok()).unwrap_or_default())
    }

    /// As the store keeps it.
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }
}
