//! What is asked to be written.

use super::{EntryId, Kind};
use serde_json::Value;
use std::collections::BTreeMap;

/// Fields to be written to one entry, not yet stamped. A field that is `null` is emptied.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The entry: a new one, or one that exists.
    pub id: EntryId,
    /// Its kind.
    pub kind: Kind,
    /// The fields, by name.
    pub fields: BTreeMap<String, Value>,
}

impl Edit {
    /// An edit that deletes an entry. A later edit of any field brings it back.
    pub fn delete(id: EntryId, kind: Kind) -> Self {
        Self { id, kind, fields: BTreeMap::from([("deleted".to_owned(), Value::Bool(true))]) }
    }

    /// Sets one more field.
    #[must_use]
    pub fn with(mut self, field: &str, value: Value) -> Self {
        self.fields.insert(field.to_owned(), value);
        self
    }
}
