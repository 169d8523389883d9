//! Reads one entry, strictly.

use super::fault::{Reason, clip};
use super::kind::is_name;
use super::{Entry, EntryId, Field, Json, Kind, Refused, Stamp, scan, views};
use serde::de::{self, Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;
use sha2::{Digest, Sha256};
use std::fmt;

/// The longest file that is read: 512 MB, some two hundred thousand sets with every field.
pub const MOST_BYTES: u64 = 512 * 1024 * 1024;
/// How many entries or rows a file may have.
pub const MOST_ENTRIES: u64 = 1_000_000;
/// How deep an entry may nest.
pub const MOST_DEPTH: usize = 100;
/// How many fields an entry may have.
pub const MOST_FIELDS: usize = 256;
/// How many members an object is read to: a bound for memory, above every other limit.
const MOST_MEMBERS: usize = 4 * MOST_FIELDS;
/// The longest value of a field, in bytes.
pub(super) const MOST_BYTES_OF_A_VALUE: usize = 4 * 1024 * 1024;

/// Reads an entry: `{"id": …, "kind": …, "stamp": …, "fields": {NAME: {"value": …, "stamp": …}}}`. A field without a
/// stamp of its own has that of the entry.
///
/// Fields that this version knows must be what their kind says, and are kept in canonical form; others are kept byte
/// for byte.
///
/// # Errors
/// What is wrong with it, in which field, and the remedy; `line` is 1 (whoever knows the place puts it in).
pub fn read_entry(text: &[u8]) -> Result<Entry, Refused> {
    let mut place = Place::default();
    read(text, &mut place).map_err(|r| Refused {
        line: 1,
        entry: place.entry,
        field: place.field,
        code: r.code,
        reason: r.what,
        remedy: r.remedy.into(),
    })
}

/// How far the reading got, for the message.
#[derive(Default)]
struct Place {
    entry: Option<String>,
    field: Option<String>,
}

fn read(bytes: &[u8], place: &mut Place) -> Result<Entry, Reason> {
    let text = std::str::from_utf8(bytes).map_err(|e| {
        bad("entry_encoding", format!("it is not UTF-8 at byte {}", e.valid_up_to()), "save it as UTF-8")
    })?;
    if scan::depth(bytes) > MOST_DEPTH {
        return Err(bad(
            "entry_depth",
            format!("it nests deeper than {MOST_DEPTH} levels"),
            "nest less deeply",
        ));
    }
    let (mut id, mut kind, mut stamp, mut fields) = (None, None, None, None);
    for (name, value) in pairs(text)? {
        let slot = match name.as_str() {
            "id" => &mut id,
            "kind" => &mut kind,
            "stamp" => &mut stamp,
            "fields" => &mut fields,
            _ => {
                let reason = format!("\"{}\" is no part of an entry", clip(&name));
                return Err(bad(
                    "entry_member",
                    reason,
                    "an entry has id, kind, stamp and fields; put the rest into fields",
                ));
            }
        };
        if slot.replace(value).is_some() {
            return Err(twice(&name));
        }
    }
    let id = id.ok_or_else(|| bad("entry_id", "it has no id", "give it a UUID of version 7"))?;
    place.entry = serde_json::from_str::<String>(id.get()).ok().map(|t| clip(&t));
    let id: EntryId = string(id, "entry_id", "the id")?
        .parse()
        .map_err(|remedy: &'static str| bad("entry_id", "the id is no identity of an entry", remedy))?;
    let kind = kind.ok_or_else(|| bad("entry_kind", "it has no kind", "give it a kind, such as \"set\""))?;
    let kind = Kind::of_name(&string(kind, "entry_kind", "the kind")?)
        .ok_or_else(|| bad("entry_kind", "a kind cannot be called so", "use 1 to 64 of a-z, 0-9 and _"))?;
    let fields =
        fields.ok_or_else(|| bad("entry_fields", "it has no fields", "give it fields, if only {}"))?;
    let stamp = stamp.map(read_stamp).transpose()?;
    let mut entry = Entry::new(id, kind);
    for (name, field) in pairs(fields.get())? {
        place.field = Some(clip(&name));
        if !is_name(&name) {
            return Err(bad("field_name", "a field cannot be called so", "use 1 to 64 of a-z, 0-9 and _"));
        }
        let field = read_field(&entry.kind, &name, field, stamp)?;
        if entry.fields.insert(name.as_str().into(), field).is_some() {
            return Err(twice(&name));
        }
        if entry.fields.len() > MOST_FIELDS {
            let reason = format!("it has more than {MOST_FIELDS} fields");
            return Err(bad("entry_fields", reason, "split it into several entries"));
        }
    }
    place.field = None;
    Ok(entry)
}

fn read_field(kind: &Kind, name: &str, field: &RawValue, of_entry: Option<Stamp>) -> Result<Field, Reason> {
    let (mut value, mut stamp) = (None, None);
    for (member, text) in pairs(field.get())? {
        let slot = match member.as_str() {
            "value" => &mut value,
            "stamp" => &mut stamp,
            _ => {
                let reason = format!("\"{}\" is no part of a field", clip(&member));
                return Err(bad("field_member", reason, "a field has value and stamp, nothing else"));
            }
        };
        if slot.replace(text).is_some() {
            return Err(twice(&member));
        }
    }
    let value =
        value.ok_or_else(|| bad("field_value", "it has no value", "give it a value, if only null"))?.get();
    let stamp = match stamp {
        Some(own) => read_stamp(own)?,
        None => of_entry.ok_or_else(|| {
            bad("field_stamp", "it has no stamp, nor has the entry", "keep the stamp with the value")
        })?,
    };
    if value.len() > MOST_BYTES_OF_A_VALUE {
        let reason = format!("the value is longer than {MOST_BYTES_OF_A_VALUE} bytes");
        return Err(bad("field_too_long", reason, "shorten it"));
    }
    let value = if views::knows(kind, name) {
        let value = Json::strict(value)?;
        if let Some(check) = views::check(kind, name, value.text()) {
            check?;
        }
        value
    } else {
        Json::kept(value)
    };
    Ok(Field { value, stamp })
}

fn read_stamp(text: &RawValue) -> Result<Stamp, Reason> {
    let stamp: Stamp = string(text, "field_stamp", "the stamp")?
        .parse()
        .map_err(|remedy: &'static str| bad("field_stamp", "the stamp cannot be read", remedy))?;
    if stamp.millis > Stamp::FURTHEST {
        let reason = "the stamp lies at the end of all time";
        return Err(bad("field_stamp", reason, "export again with a right clock"));
    }
    Ok(stamp)
}

pub(super) fn string(value: &RawValue, code: &'static str, what: &str) -> Result<String, Reason> {
    serde_json::from_str(value.get())
        .map_err(|_| bad(code, format!("{what} is no text"), "write it as a string"))
}

fn bad(code: &'static str, reason: impl Into<String>, remedy: &'static str) -> Reason {
    Reason::new(code, reason, remedy)
}

fn twice(name: &str) -> Reason {
    bad("duplicate_name", format!("\"{}\" stands twice in one object", clip(name)), "keep one of them")
}

/// The members of an object in the order written, repeated ones and all.
struct Pairs<'a>(Vec<(String, &'a RawValue)>);

pub(super) fn pairs(text: &str) -> Result<Vec<(String, &RawValue)>, Reason> {
    serde_json::from_str::<Pairs<'_>>(text).map(|p| p.0).map_err(|e| {
        let text = e.to_string();
        let text = text.rsplit_once(" at line ").map_or(text.as_str(), |(head, _)| head);
        bad("not_json", format!("it is not a JSON object as it should be ({text})"), "write valid JSON")
    })
}

impl<'de: 'a, 'a> Deserialize<'de> for Pairs<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reader;
        impl<'de> Visitor<'de> for Reader {
            type Value = Vec<(String, &'de RawValue)>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = members.next_entry::<String, &RawValue>()? {
                    if pairs.len() == MOST_MEMBERS {
                        return Err(de::Error::custom(format_args!("more than {MOST_MEMBERS} members")));
                    }
                    pairs.push(pair);
                }
                Ok(pairs)
            }
        }
        deserializer.deserialize_map(Reader).map(Pairs)
    }
}

/// Reads an entry that [`Entry::text`] wrote, when it has the digest.
///
/// What was stored was checked when it came in; here only its digest is believed.
pub fn read_stored(text: &str, digest: &[u8]) -> Option<Entry> {
    // A text that has the digest of the canonical text is the canonical text.
    let canonical = Sha256::digest(text.as_bytes())[..] == *digest;
    let (mut id, mut kind, mut stamp, mut fields) = (None, None, None, None);
    for (name, value) in pairs(text).ok()? {
        match name.as_str() {
            "id" => id = Some(value),
            "kind" => kind = Some(value),
            "stamp" => stamp = Some(value),
            "fields" => fields = Some(value),
            _ => return None,
        }
    }
    let read = |value: &RawValue| serde_json::from_str::<String>(value.get()).ok();
    let mut entry = Entry::new(read(id?)?.parse().ok()?, Kind::of_name(&read(kind?)?)?);
    let of_entry = stamp.and_then(read).and_then(|s| s.parse::<Stamp>().ok());
    for (name, field) in pairs(fields?.get()).ok()? {
        let (mut value, mut stamp) = (None, of_entry);
        for (member, text) in pairs(field.get()).ok()? {
            match member.as_str() {
                "value" => value = Some(text.get()),
                "stamp" => stamp = read(text)?.parse::<Stamp>().ok(),
                _ => return None,
            }
        }
        let value = if canonical { Json::trusted(value?) } else { Json::kept(value?) };
        entry.fields.insert(name.into(), Field { value, stamp: stamp? });
    }
    (canonical || entry.digest()[..] == *digest).then_some(entry)
}
