//! Who an entry is, and which device wrote.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;
use uuid::Uuid;

/// The identity of an entry: a UUID of version 7 (RFC 9562), whose order is the order of its making.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(Uuid);

impl EntryId {
    /// From milliseconds since 1970 (the low 48 bits count) and random bytes.
    pub fn new(millis: u64, random: [u8; 10]) -> Self {
        Self(uuid::Builder::from_unix_timestamp_millis(millis & 0xffff_ffff_ffff, &random).into_uuid())
    }

    /// Its sixteen bytes.
    pub fn bytes(&self) -> &[u8; 16] {
        self.0.as_bytes()
    }

    /// From sixteen bytes, when they are a UUID of version 7.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        Uuid::from_slice(bytes).ok().filter(is_seven).map(Self)
    }
}

fn is_seven(uuid: &Uuid) -> bool {
    uuid.get_version_num() == 7 && uuid.get_variant() == uuid::Variant::RFC4122
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.hyphenated())
    }
}

impl FromStr for EntryId {
    type Err = &'static str;

    /// Only the hyphenated lower-case form is taken, so that one identity has one spelling.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Uuid::try_parse(text)
            .ok()
            .filter(|u| text.len() == 36 && is_seven(u) && !text.bytes().any(|b| b.is_ascii_uppercase()))
            .map(Self)
            .ok_or("give a UUID of version 7, hyphenated, in lower case")
    }
}

impl Serialize for EntryId {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for EntryId {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Cow::<'de, str>::deserialize(deserializer)?.parse().map_err(de::Error::custom)
    }
}

impl JsonSchema for EntryId {
    fn schema_name() -> Cow<'static, str> {
        "EntryId".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A UUID of version 7, hyphenated, in lower case.",
            "type": "string",
            "pattern": "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
        })
    }
}

/// One installation of the record. A restored copy takes a new one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId(u64);

impl DeviceId {
    /// From random bits.
    pub const fn new(bits: u64) -> Self {
        Self(bits)
    }

    /// Its bits.
    pub const fn bits(self) -> u64 {
        self.0
    }
}

impl fmt::Display for DeviceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

impl FromStr for DeviceId {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        hex(text, 16).map(Self).ok_or("give sixteen hexadecimal digits in lower case")
    }
}

impl Serialize for DeviceId {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for DeviceId {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Cow::<'de, str>::deserialize(deserializer)?.parse().map_err(de::Error::custom)
    }
}

/// Exactly `digits` lower-case hexadecimal digits as a number.
pub(super) fn hex(text: &str, digits: usize) -> Option<u64> {
    let lower = text.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    if text.len() == digits && lower { u64::from_str_radix(text, 16).ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_identity_has_one_spelling() {
        let id = EntryId::new(1_764_041_400_123, [7; 10]);
        let text = id.to_string();
        assert_eq!(text.parse(), Ok(id));
        assert_eq!(EntryId::from_bytes(id.bytes()), Some(id));
        for other in [text.to_uppercase(), text.replace('-', ""), format!("{{{text}}}"), String::new()] {
            assert!(other.parse::<EntryId>().is_err(), "{other}");
        }
        // Version 4.
        assert!("0a4ef3a6-49bd-4d3d-8d3c-0f1a1d0d1a11".parse::<EntryId>().is_err());
    }

    #[test]
    fn later_identities_are_greater() {
        assert!(EntryId::new(2, [0; 10]) > EntryId::new(1, [255; 10]));
    }

    #[test]
    fn a_device_is_sixteen_digits() {
        let device = DeviceId::new(0xab);
        assert_eq!(device.to_string(), "00000000000000ab");
        assert_eq!("00000000000000ab".parse(), Ok(device));
        for bad in ["", "ab", "00000000000000AB", "+0000000000000ab"] {
            assert!(bad.parse::<DeviceId>().is_err());
        }
    }
}
