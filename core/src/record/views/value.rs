//! Dates, times, quantities and documents, each with one text form.

use crate::moment::Moment;
use chrono::{DateTime, FixedOffset, NaiveDate};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use serde_json::{Map, Value};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

/// A calendar date, written `2026-05-03`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(pub NaiveDate);

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.format("%Y-%m-%d"))
    }
}

impl FromStr for Date {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        NaiveDate::parse_from_str(text, "%Y-%m-%d")
            .ok()
            .map(Self)
            .filter(|date| date.to_string() == text)
            .ok_or("a date is written as 2026-05-03")
    }
}

/// An instant with the offset of its place, in RFC 3339, kept as it was written.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Time {
    text: Box<str>,
    at: DateTime<FixedOffset>,
}

impl Time {
    /// A platform's moment.
    pub fn of(moment: &Moment) -> Self {
        Self { text: moment.rfc3339().into_boxed_str(), at: moment.local() }
    }

    /// Milliseconds since 1970-01-01T00:00:00Z.
    pub fn millis(&self) -> i64 {
        self.at.timestamp_millis()
    }

    /// The date at its place.
    pub fn date(&self) -> NaiveDate {
        self.at.date_naive()
    }

    /// With its offset.
    pub fn local(&self) -> DateTime<FixedOffset> {
        self.at
    }
}

impl fmt::Display for Time {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl FromStr for Time {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        const FORM: &str = "a time is written as 2026-05-03T18:04:09.250+02:00";
        let shaped =
            text.len() >= 20 && text.as_bytes().get(10) == Some(&b'T') && text.is_ascii() && text.len() <= 35;
        let at = DateTime::parse_from_rfc3339(text).ok().filter(|_| shaped).ok_or(FORM)?;
        Ok(Self { text: text.into(), at })
    }
}

/// The unit of a [`Quantity`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum QuantityUnit {
    /// Kilogram.
    Kilogram,
    /// Pound: exactly 0.45359237 kg.
    Pound,
    /// Centimetre.
    Centimetre,
    /// Inch: exactly 2.54 cm.
    Inch,
    /// Per cent.
    PerCent,
}

impl QuantityUnit {
    /// Its symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kilogram => "kg",
            Self::Pound => "lb",
            Self::Centimetre => "cm",
            Self::Inch => "in",
            Self::PerCent => "%",
        }
    }
}

/// An exact decimal with the unit in which it was entered, written `137.5 kg`: the form of a mass in the load room.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Quantity {
    number: Box<str>,
    unit: QuantityUnit,
}

impl Quantity {
    /// The number, as entered.
    pub fn number(&self) -> &str {
        &self.number
    }

    /// The unit.
    pub fn unit(&self) -> QuantityUnit {
        self.unit
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.unit.symbol())
    }
}

impl FromStr for Quantity {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        const FORM: &str =
            "a quantity is a decimal number and its unit, such as \"137.5 kg\", \"300 lb\" or \"81 cm\"";
        let (number, unit) = text.split_once(' ').ok_or(FORM)?;
        let (whole, part) = number.split_once('.').unwrap_or((number, "0"));
        let digits = |s: &str, most| (1..=most).contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit());
        if !digits(whole, 6) || !digits(part, 10) || (whole.len() > 1 && whole.starts_with('0')) {
            return Err(FORM);
        }
        let unit = match unit {
            "kg" => QuantityUnit::Kilogram,
            "lb" => QuantityUnit::Pound,
            "cm" => QuantityUnit::Centimetre,
            "in" => QuantityUnit::Inch,
            "%" => QuantityUnit::PerCent,
            _ => return Err(FORM),
        };
        Ok(Self { number: number.into(), unit })
    }
}

/// A JSON object: a brief, a programme, a kit or a movement, each of which has a schema of its own.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Document(pub Map<String, Value>);

impl JsonSchema for Document {
    fn schema_name() -> Cow<'static, str> {
        "Document".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A JSON object with a schema of its own. Its numbers are integers.",
            "type": "object"
        })
    }
}

macro_rules! as_text {
    ($($type:ident: $about:literal, $pattern:literal;)*) => {
        $(
            impl Serialize for $type {
                fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                    serializer.collect_str(self)
                }
            }

            impl<'de> Deserialize<'de> for $type {
                fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                    Cow::<'de, str>::deserialize(deserializer)?.parse().map_err(de::Error::custom)
                }
            }

            impl JsonSchema for $type {
                fn schema_name() -> Cow<'static, str> {
                    stringify!($type).into()
                }

                fn json_schema(_: &mut SchemaGenerator) -> Schema {
                    json_schema!({ "description": $about, "type": "string", "pattern": $pattern })
                }
            }
        )*
    };
}

as_text! {
    Date: "A calendar date, such as 2026-05-03.", r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$";
    Time: "An instant in RFC 3339 with its offset, such as 2026-05-03T18:04:09.250+02:00.",
        r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?(Z|[+-][0-9]{2}:[0-9]{2})$";
    Quantity: "An exact decimal number and its unit, such as 137.5 kg.",
        r"^(0|[1-9][0-9]{0,5})(\.[0-9]{1,10})? (kg|lb|cm|in|%)$";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_kept_as_written() {
        for text in ["137.5 kg", "300 lb", "0.50 kg", "0 kg", "81 cm"] {
            assert_eq!(text.parse::<Quantity>().unwrap().to_string(), text);
        }
        for bad in [
            "137,5 kg",
            "137.5",
            "-1 kg",
            "1e3 kg",
            "1. kg",
            "01 kg",
            "1 stone",
            "137.5  kg",
            " 1 kg",
            "1 kg ",
        ] {
            assert!(bad.parse::<Quantity>().is_err(), "{bad}");
        }
        for text in ["2026-05-03T18:04:09.250+02:00", "2026-05-03T16:04:09Z"] {
            assert_eq!(text.parse::<Time>().unwrap().to_string(), text);
        }
        for bad in ["2026-05-03", "2026-05-03 18:04:09+02:00", "2026-02-30T00:00:00Z", "2026-05-03T18:04:09"]
        {
            assert!(bad.parse::<Time>().is_err(), "{bad}");
        }
        assert!("2026-02-29".parse::<Date>().is_err());
        assert!("2026-5-3".parse::<Date>().is_err());
        assert_eq!("2026-05-03".parse::<Date>().unwrap().to_string(), "2026-05-03");
    }
}
