//! Mass, exact, in the unit in which it was entered.
//!
//! Amounts are whole numbers of 1e-10 kg, since one pound is 0.45359237 kg exactly (international yard and
//! pound, 1959; from memory, a definition), so that a hundredth of a pound is 45 359 237 of them.

use std::borrow::Cow;
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::error::LoadError;

/// Amounts in one kilogram.
pub const PER_KILOGRAM: i64 = 10_000_000_000;
/// Amounts in a hundredth of a pound: the finest step of pounds that is exact.
pub const PER_HUNDREDTH_POUND: i64 = 45_359_237;
/// Amounts in one pound.
pub const PER_POUND: i64 = PER_HUNDREDTH_POUND * 100;
/// The heaviest mass: 1000 kg. More is a slip of the finger.
pub const HEAVIEST: i64 = 1000 * PER_KILOGRAM;

const KILOGRAM_DECIMALS: usize = 10;
const POUND_DECIMALS: usize = 2;

/// The unit in which a mass was entered and is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub enum Unit {
    /// Kilograms.
    #[serde(rename = "kg")]
    Kilogram,
    /// Pounds (avoirdupois, 0.45359237 kg exactly).
    #[serde(rename = "lb")]
    Pound,
}

impl Unit {
    /// The unit's symbol.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kilogram => "kg",
            Self::Pound => "lb",
        }
    }

    fn read(text: &str) -> Option<Self> {
        match text.trim() {
            "kg" => Some(Self::Kilogram),
            "lb" | "lbs" => Some(Self::Pound),
            _ => None,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// A mass between 0 and 1000 kg, exact, kept in the unit entered.
///
/// Two masses are equal when they weigh the same, whatever their units. In JSON it is a string such as
/// `"137.5 kg"`; `{"value": "137.5", "unit": "kg"}` is read as well.
#[derive(Clone, Copy)]
pub struct Mass {
    amount: i64,
    unit: Unit,
}

impl Mass {
    /// Nothing, in kilograms.
    pub const ZERO: Self = Self { amount: 0, unit: Unit::Kilogram };

    /// Reads a decimal number in a unit: at most ten decimals of a kilogram or two of a pound.
    ///
    /// # Errors
    /// [`LoadError::Mass`] when the number is malformed, too fine or outside 0 to 1000 kg.
    pub fn new(value: &str, unit: Unit) -> Result<Self, LoadError> {
        let text = value.trim();
        let fail = |problem| LoadError::Mass { text: format!("{} {unit}", clip(text)), problem };
        let (decimals, per_last) = match unit {
            Unit::Kilogram => (KILOGRAM_DECIMALS, 1),
            Unit::Pound => (POUND_DECIMALS, PER_HUNDREDTH_POUND),
        };
        if text.is_empty() {
            return Err(fail("there is no number"));
        }
        if text.starts_with('-') {
            return Err(fail("a mass cannot be negative"));
        }
        if text.contains(',') {
            return Err(fail("the decimal sign is a point, not a comma"));
        }
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || !digits(whole) || !digits(part) || (text.contains('.') && part.is_empty()) {
            return Err(fail("this is not a decimal number"));
        }
        let part = part.trim_end_matches('0');
        if part.len() > decimals {
            return Err(fail(match unit {
                Unit::Kilogram => "a mass in kilograms has at most ten decimals",
                Unit::Pound => "a mass in pounds has at most two decimals",
            }));
        }
        let whole = whole.trim_start_matches('0');
        if whole.len() > 4 {
            return Err(fail("a mass is at most 1000 kg"));
        }
        let mut number: i64 = 0;
        for byte in whole.bytes().chain(part.bytes()) {
            number = number * 10 + i64::from(byte - b'0');
        }
        for _ in part.len()..decimals {
            number *= 10;
        }
        let amount = number.checked_mul(per_last).ok_or_else(|| fail("a mass is at most 1000 kg"))?;
        if amount > HEAVIEST {
            return Err(fail("a mass is at most 1000 kg"));
        }
        Ok(Self { amount, unit })
    }

    /// Whole grams, shown in kilograms. More than 1000 kg is taken as 1000 kg.
    pub const fn grams(grams: u32) -> Self {
        let amount = grams as i64 * (PER_KILOGRAM / 1000);
        Self { amount: if amount > HEAVIEST { HEAVIEST } else { amount }, unit: Unit::Kilogram }
    }

    /// Hundredths of a pound, shown in pounds. More than 1000 kg is taken as 2204.62 lb.
    pub const fn pound_hundredths(hundredths: u32) -> Self {
        let most = HEAVIEST / PER_HUNDREDTH_POUND;
        let hundredths = if hundredths as i64 > most { most } else { hundredths as i64 };
        Self { amount: hundredths * PER_HUNDREDTH_POUND, unit: Unit::Pound }
    }

    /// From an amount of 1e-10 kg; shown in `unit` where that is exact, in kilograms otherwise.
    ///
    /// # Errors
    /// [`LoadError::Bounds`] when the amount is negative or more than 1000 kg.
    pub fn from_amount(amount: i64, unit: Unit) -> Result<Self, LoadError> {
        if !(0..=HEAVIEST).contains(&amount) {
            return Err(LoadError::Bounds {
                field: "mass",
                given: format!("{} kg", decimal(amount, PER_KILOGRAM, KILOGRAM_DECIMALS)),
                bounds: "0 to 1000 kg".to_owned(),
            });
        }
        Ok(Self::clamped(amount, unit))
    }

    /// As [`Self::from_amount`] for amounts known to be in bounds; others are brought to the nearest bound.
    pub(super) fn clamped(amount: i64, unit: Unit) -> Self {
        let amount = amount.clamp(0, HEAVIEST);
        let exact = unit == Unit::Kilogram || amount % PER_HUNDREDTH_POUND == 0;
        Self { amount, unit: if exact { unit } else { Unit::Kilogram } }
    }

    /// The exact amount, in 1e-10 kg.
    pub const fn amount(&self) -> i64 {
        self.amount
    }

    /// The unit in which it was entered.
    pub const fn unit(&self) -> Unit {
        self.unit
    }

    /// Whether it is nothing.
    pub const fn is_zero(&self) -> bool {
        self.amount == 0
    }

    /// The exact decimal number in the unit entered, without trailing noughts.
    pub fn value(&self) -> String {
        match self.unit {
            Unit::Kilogram => decimal(self.amount, PER_KILOGRAM, KILOGRAM_DECIMALS),
            Unit::Pound => decimal(self.amount / PER_HUNDREDTH_POUND, 100, POUND_DECIMALS),
        }
    }

    /// The sum: in the unit of both, or in kilograms when they differ.
    ///
    /// # Errors
    /// [`LoadError::Bounds`] when the sum is more than 1000 kg.
    pub fn plus(&self, other: &Self) -> Result<Self, LoadError> {
        let unit = if self.unit == other.unit { self.unit } else { Unit::Kilogram };
        Self::from_amount(self.amount + other.amount, unit)
    }

    /// The difference, or nothing when `other` is heavier. The unit is as for [`Self::plus`].
    pub fn minus(&self, other: &Self) -> Option<Self> {
        let unit = if self.unit == other.unit { self.unit } else { Unit::Kilogram };
        (other.amount <= self.amount).then(|| Self::clamped(self.amount - other.amount, unit))
    }

    /// The mass taken `times` times.
    ///
    /// # Errors
    /// [`LoadError::Bounds`] when the product is more than 1000 kg.
    pub fn times(&self, times: u32) -> Result<Self, LoadError> {
        let amount = self.amount.checked_mul(i64::from(times)).unwrap_or(i64::MAX);
        Self::from_amount(amount, self.unit)
    }

    /// A share of it in per mille, rounded down to ten grams or a hundredth of a pound.
    ///
    /// # Errors
    /// [`LoadError::Bounds`] when the share is more than 1000 kg.
    pub fn per_mille(&self, per_mille: u32) -> Result<Self, LoadError> {
        let step = match self.unit {
            Unit::Kilogram => PER_KILOGRAM / 100,
            Unit::Pound => PER_HUNDREDTH_POUND,
        };
        let share = i128::from(self.amount) * i128::from(per_mille) / 1000;
        let amount = i64::try_from(share).unwrap_or(i64::MAX);
        Self::from_amount(amount - amount % step, self.unit)
    }

    /// The number in kilograms as a float, for equations only: never compared, never summed.
    pub fn kilograms(&self) -> f64 {
        self.amount as f64 / PER_KILOGRAM as f64
    }

    /// The number in `unit`, rounded half up to at most two decimals, with its symbol: for reading, not for
    /// arithmetic.
    pub fn words_in(&self, unit: Unit) -> String {
        let hundredth = match unit {
            Unit::Kilogram => PER_KILOGRAM / 100,
            Unit::Pound => PER_HUNDREDTH_POUND,
        };
        format!("{} {unit}", decimal((self.amount + hundredth / 2) / hundredth, 100, 2))
    }

    /// As [`Self::words_in`] the unit entered.
    pub fn words(&self) -> String {
        self.words_in(self.unit)
    }
}

/// `number / scale` as a decimal without trailing noughts; `scale` is ten to the power `decimals`.
fn decimal(number: i64, scale: i64, decimals: usize) -> String {
    let sign = if number < 0 { "-" } else { "" };
    let (number, scale) = (number.unsigned_abs(), scale.unsigned_abs());
    let part = format!("{:0width$}", number % scale, width = decimals);
    let part = part.trim_end_matches('0');
    let point = if part.is_empty() { "" } else { "." };
    format!("{sign}{}{point}{part}", number / scale)
}

/// The first characters of a text, so that an error does not repeat a megabyte.
fn clip(text: &str) -> String {
    text.chars().take(24).collect()
}

impl FromStr for Mass {
    type Err = LoadError;

    fn from_str(text: &str) -> Result<Self, LoadError> {
        let text = text.trim();
        let split = text.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(text.len());
        let (value, unit) = text.split_at(split);
        if unit.is_empty() {
            return Err(LoadError::Mass { text: clip(text), problem: "there is no unit" });
        }
        let unit = Unit::read(unit)
            .ok_or_else(|| LoadError::Mass { text: clip(text), problem: "the unit is neither kg nor lb" })?;
        Self::new(value, unit)
    }
}

impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value(), self.unit)
    }
}

impl fmt::Debug for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Mass({self})")
    }
}

impl PartialEq for Mass {
    fn eq(&self, other: &Self) -> bool {
        self.amount == other.amount
    }
}

impl Eq for Mass {}

impl Hash for Mass {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.amount.hash(state);
    }
}

impl PartialOrd for Mass {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Mass {
    fn cmp(&self, other: &Self) -> Ordering {
        self.amount.cmp(&other.amount)
    }
}

impl Serialize for Mass {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Form {
    Text(String),
    Parts(Parts),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Parts {
    value: String,
    unit: Unit,
}

impl<'de> Deserialize<'de> for Mass {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let form = Form::deserialize(deserializer).map_err(|_| {
            serde::de::Error::custom(
                "a mass is a text with a number and a unit, such as \"137.5 kg\" or \"45 lb\", \
                 or {\"value\": \"137.5\", \"unit\": \"kg\"}",
            )
        })?;
        match form {
            Form::Text(text) => text.parse(),
            Form::Parts(parts) => Self::new(&parts.value, parts.unit),
        }
        .map_err(serde::de::Error::custom)
    }
}

impl JsonSchema for Mass {
    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed("Mass")
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A mass from 0 to 1000 kg, exact, in the unit entered. Written as a string such as \
                            \"137.5 kg\"; the object form is read as well.",
            "anyOf": [
                { "type": "string", "pattern": r"^\s*[0-9]+(\.[0-9]+)?\s*(kg|lbs?)\s*$" },
                {
                    "type": "object",
                    "properties": {
                        "value": { "type": "string", "pattern": r"^\s*[0-9]+(\.[0-9]+)?\s*$" },
                        "unit": { "enum": ["kg", "lb"] }
                    },
                    "required": ["value", "unit"],
                    "additionalProperties": false
                }
            ]
        })
    }
}
