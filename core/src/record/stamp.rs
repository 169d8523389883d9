//! When a field was last written, in an order that every device agrees on.

use super::id::{DeviceId, hex};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

/// A stamp of the hybrid logical clock (Kulkarni et al. 2014): milliseconds, counter, device, compared in that
/// order. The text form `mmmmmmmmmmmm-cccc-dddddddddddddddd` in hexadecimal has the same order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01T00:00:00Z, at most 48 bits.
    pub millis: u64,
    /// Tells apart what was written within one millisecond, or after a clock that went back.
    pub counter: u16,
    /// Who wrote.
    pub device: DeviceId,
}

impl Stamp {
    /// The greatest value of `millis`.
    pub const MOST_MILLIS: u64 = 0xffff_ffff_ffff;
    /// The greatest that is taken from outside, 65 seconds before the end of the range: whatever arrives, there is
    /// room for a greater stamp.
    pub const FURTHEST: u64 = 0xffff_ffff_0000;
}

impl Stamp {
    /// Its text, at the end of `out`.
    pub(super) fn write(&self, out: &mut String) {
        // Formatting to a string does not fail.
        let _ = fmt::Write::write_fmt(out, format_args!("{self}"));
    }
}

impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:012x}-{:04x}-{}", self.millis, self.counter, self.device)
    }
}

impl FromStr for Stamp {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        const FORM: &str =
            "a stamp is twelve, four and sixteen hexadecimal digits in lower case, joined by hyphens";
        let mut parts = text.split('-');
        let (Some(millis), Some(counter), Some(device), None) =
            (parts.next(), parts.next(), parts.next(), parts.next())
        else {
            return Err(FORM);
        };
        let millis = hex(millis, 12).ok_or(FORM)?;
        let counter = hex(counter, 4).and_then(|c| u16::try_from(c).ok()).ok_or(FORM)?;
        Ok(Self { millis, counter, device: device.parse().map_err(|_| FORM)? })
    }
}

impl Serialize for Stamp {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Stamp {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Cow::<'de, str>::deserialize(deserializer)?.parse().map_err(de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_stamp() -> impl Strategy<Value = Stamp> {
        (0..=Stamp::MOST_MILLIS, any::<u16>(), any::<u64>()).prop_map(|(millis, counter, d)| Stamp {
            millis,
            counter,
            device: DeviceId::new(d),
        })
    }

    proptest! {
        #[test]
        fn the_order_of_the_text_is_the_order(a in any_stamp(), b in any_stamp()) {
            prop_assert_eq!(a.cmp(&b), a.to_string().cmp(&b.to_string()));
            prop_assert_eq!(a.to_string().parse(), Ok(a));
        }
    }

    #[test]
    fn other_spellings_are_refused() {
        for bad in
            ["", "0-0-0", "00000000000A-0000-0000000000000000", "000000000000-0000-0000000000000000-", " "]
        {
            assert!(bad.parse::<Stamp>().is_err(), "{bad}");
        }
    }
}
