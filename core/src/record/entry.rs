//! An entry, and how two of it become one.

use super::canonical::write_string;
use super::kind::is_name;
use super::read::{MOST_BYTES_OF_A_VALUE, MOST_FIELDS};
use super::{Edit, EntryId, FieldFault, Json, Kind, Stamp, views};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A field: its value and the stamp of its last write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// The value.
    pub value: Json,
    /// When it was last written.
    pub stamp: Stamp,
}

/// An entry of the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its identity.
    pub id: EntryId,
    /// What it is about.
    pub kind: Kind,
    /// Its fields, by name; names are shared between copies.
    pub fields: BTreeMap<Arc<str>, Field>,
}

impl Entry {
    /// An entry without fields.
    pub fn new(id: EntryId, kind: Kind) -> Self {
        Self { id, kind, fields: BTreeMap::new() }
    }

    /// Keeps, for every field, the greatest stamp; of equal stamps the greater value. Says whether anything changed.
    ///
    /// Commutative, associative and idempotent, so that any order, repetition or delay of deliveries ends alike. An
    /// entry of another id changes nothing. Two kinds under one id, which no correct writer makes, end as the lesser.
    pub fn merge(&mut self, other: &Self) -> bool {
        if self.id != other.id {
            return false;
        }
        let mut changed = false;
        if other.kind.name() < self.kind.name() {
            self.kind = other.kind.clone();
            changed = true;
        }
        for (name, theirs) in &other.fields {
            match self.fields.get_mut(name) {
                None => {
                    self.fields.insert(name.clone(), theirs.clone());
                    changed = true;
                }
                Some(ours) if (theirs.stamp, &theirs.value) > (ours.stamp, &ours.value) => {
                    *ours = theirs.clone();
                    changed = true;
                }
                Some(_) => {}
            }
        }
        changed
    }

    /// Writes an edit's fields with a stamp, where the stamp exceeds what is there.
    ///
    /// # Errors
    /// The first field that is not what its kind says, or has no canonical form; nothing is written then.
    pub fn write(&mut self, edit: &Edit, stamp: Stamp) -> Result<(), FieldFault> {
        let mut written = Vec::with_capacity(edit.fields.len());
        for (name, value) in &edit.fields {
            let fault = |code, reason: String, remedy: &'static str| FieldFault {
                entry: self.id,
                kind: self.kind.clone(),
                field: super::fault::clip(name),
                code,
                reason,
                remedy,
            };
            if !is_name(name) {
                let remedy = "use 1 to 64 of a-z, 0-9 and _";
                return Err(fault("field_name", "a field cannot be called so".into(), remedy));
            }
            let value = Json::of(value).map_err(|r| fault(r.code, r.what, r.remedy))?;
            if value.text().len() > MOST_BYTES_OF_A_VALUE {
                let reason = format!("the value is longer than {MOST_BYTES_OF_A_VALUE} bytes");
                return Err(fault("field_too_long", reason, "shorten it"));
            }
            if let Some(Err(r)) = views::check(&self.kind, name, value.text()) {
                return Err(fault(r.code, r.what, r.remedy));
            }
            if !self.fields.contains_key(name.as_str()) && self.fields.len() + written.len() >= MOST_FIELDS {
                let reason = format!("an entry has at most {MOST_FIELDS} fields");
                return Err(fault("entry_fields", reason, "write fewer fields"));
            }
            written.push((Arc::from(name.as_str()), Field { value, stamp }));
        }
        for (name, field) in written {
            if self.fields.get(&name).is_none_or(|old| stamp > old.stamp) {
                self.fields.insert(name, field);
            }
        }
        Ok(())
    }

    /// The greatest stamp of its fields.
    pub fn last_written(&self) -> Option<Stamp> {
        self.fields.values().map(|f| f.stamp).max()
    }

    /// The greatest stamp among the fields that an edit replaces; the edit's own must exceed it.
    pub fn replaced_by(&self, edit: &Edit) -> Option<Stamp> {
        edit.fields.keys().filter_map(|name| self.fields.get(name.as_str())).map(|f| f.stamp).max()
    }

    /// Whether it was deleted and nothing was written to it since.
    pub fn deleted(&self) -> bool {
        self.fields.get("deleted").is_some_and(|d| {
            d.value.text() == "true" && self.fields.values().all(|other| other.stamp <= d.stamp)
        })
    }

    /// The canonical JSON of the entry: what its digest is of.
    pub fn canonical(&self) -> String {
        self.render(|value, out| out.push_str(&value.canonical()))
    }

    /// The JSON of the entry with every unknown value as it was received. Members stand in canonical order.
    pub fn text(&self) -> String {
        self.render(|value, out| out.push_str(value.text()))
    }

    /// SHA-256 of [`Self::canonical`].
    pub fn digest(&self) -> [u8; 32] {
        Sha256::digest(self.canonical().as_bytes()).into()
    }

    /// [`Self::text`] and [`Self::digest`] at once: most often the one is of the other.
    pub fn text_and_digest(&self) -> (String, [u8; 32]) {
        let text = self.text();
        let canonical = self.fields.values().all(|f| f.value.is_canonical());
        let digest = if canonical { Sha256::digest(text.as_bytes()).into() } else { self.digest() };
        (text, digest)
    }

    // Names of fields are ASCII, so that the order of the map is the order by UTF-16 code units. The greatest stamp is
    // said once, for all fields that have it: most of an entry is written at one time.
    fn render(&self, value: impl Fn(&Json, &mut String)) -> String {
        let greatest = self.last_written();
        let mut out = String::with_capacity(192 + self.fields.len() * 48);
        out.push_str("{\"fields\":{");
        for (k, (name, field)) in self.fields.iter().enumerate() {
            if k > 0 {
                out.push(',');
            }
            write_string(name, &mut out);
            out.push_str(":{");
            if Some(field.stamp) != greatest {
                out.push_str("\"stamp\":\"");
                field.stamp.write(&mut out);
                out.push_str("\",");
            }
            out.push_str("\"value\":");
            value(&field.value, &mut out);
            out.push('}');
        }
        out.push_str("},\"id\":\"");
        out.push_str(&self.id.to_string());
        out.push_str("\",\"kind\":");
        write_string(self.kind.name(), &mut out);
        if let Some(stamp) = greatest {
            out.push_str(",\"stamp\":\"");
            stamp.write(&mut out);
            out.push('"');
        }
        out.push('}');
        out
    }
}

#[cfg(test)]
mod tests {
    use super::super::{DeviceId, read_entry};
    use super::*;
    use proptest::prelude::*;
    use serde_json::json;

    fn id() -> EntryId {
        EntryId::new(1, [1; 10])
    }

    /// Few stamps and values, so that ties are common; some values are kept texts that mean the same.
    fn any_entry() -> impl Strategy<Value = Entry> {
        let value =
            prop::sample::select(vec!["1", "2", "true", "[1]", "[ 1 ]", "1e999", "\"a\"", "\"\\u0061\""]);
        let field = (value, 0u64..3, 0u16..2, 0u64..2).prop_map(|(text, millis, counter, d)| Field {
            value: Json::kept(text),
            stamp: Stamp { millis, counter, device: DeviceId::new(d) },
        });
        (prop::bool::ANY, prop::collection::btree_map("[a-d]".prop_map(Arc::from), field, 0..5)).prop_map(
            |(set, fields)| Entry { id: id(), kind: if set { Kind::Set } else { Kind::Note }, fields },
        )
    }

    fn merged(a: &Entry, b: &Entry) -> Entry {
        let mut a = a.clone();
        a.merge(b);
        a
    }

    proptest! {
        #[test]
        fn merging_commutes_associates_and_repeats(a in any_entry(), b in any_entry(), c in any_entry()) {
            let ab = merged(&a, &b);
            prop_assert_eq!(&ab, &merged(&b, &a));
            prop_assert_eq!(merged(&ab, &c), merged(&a, &merged(&b, &c)));
            prop_assert_eq!(&merged(&ab, &b), &ab);
            prop_assert_eq!(&merged(&a, &a), &a);
            prop_assert!(!ab.clone().merge(&a));
        }

        #[test]
        fn the_text_reads_back(a in any_entry()) {
            let a = Entry { kind: Kind::Other("sled_race".into()), ..a };
            let back = read_entry(a.text().as_bytes()).unwrap();
            prop_assert_eq!(&back, &a);
            prop_assert_eq!(back.digest(), a.digest());
        }
    }

    fn stamp(millis: u64) -> Stamp {
        Stamp { millis, counter: 0, device: DeviceId::new(1) }
    }

    #[test]
    fn a_newer_edit_wins_over_a_deletion() {
        let mut note = Entry::new(id(), Kind::Note);
        let edit = Edit { id: id(), kind: Kind::Note, fields: BTreeMap::new() };
        note.write(&edit.clone().with("text", json!("grip slipped")), stamp(1)).unwrap();
        note.write(&Edit::delete(id(), Kind::Note), stamp(2)).unwrap();
        assert!(note.deleted());
        note.write(&edit.with("text", json!("grip held")), stamp(3)).unwrap();
        assert!(!note.deleted());
    }

    #[test]
    fn the_digest_is_of_the_canonical_text() {
        let mut entry = Entry::new(id(), Kind::Other("sled_race".into()));
        entry
            .fields
            .insert("b".into(), Field { value: Json::kept("{ \"y\": 1, \"x\": 2 }"), stamp: stamp(1) });
        let canonical = entry.canonical();
        assert!(canonical.contains("\"value\":{\"x\":2,\"y\":1}"), "{canonical}");
        assert!(entry.text().contains("{ \"y\": 1, \"x\": 2 }"));
        let again = read_entry(canonical.as_bytes()).unwrap();
        assert_eq!(again.digest(), entry.digest());
    }

    #[test]
    fn a_wrong_field_writes_nothing() {
        let mut set = Entry::new(id(), Kind::Set);
        let edit = Edit { id: id(), kind: Kind::Set, fields: BTreeMap::new() };
        let edit = edit.with("movement", json!("barbell_back_squat")).with("amount", json!("five"));
        let fault = set.write(&edit, stamp(1)).unwrap_err();
        assert_eq!(fault.field, "amount");
        assert!(fault.to_string().contains("amount"), "{fault}");
        assert!(set.fields.is_empty());
    }
}
