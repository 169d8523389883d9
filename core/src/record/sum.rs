//! Counts and digests of many entries: how two copies of a record tell quickly that they are alike.
//!
//! The digest of a set of entries is the exclusive or of their digests: it does not depend on the order, and an entry
//! that comes or goes changes it in one step. It tells accidents apart, not an attacker, who would be the record's own
//! lifter.

use super::EntryId;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// How many entries there are, and what they add up to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Sum {
    /// How many.
    pub count: u64,
    /// The exclusive or of their digests.
    pub digest: [u8; 32],
}

impl Sum {
    /// Takes in one more entry.
    pub fn add(&mut self, digest: &[u8; 32]) {
        self.count += 1;
        for (ours, theirs) in self.digest.iter_mut().zip(digest) {
            *ours ^= theirs;
        }
    }

    /// The sum of entries.
    pub fn of<'a>(entries: impl IntoIterator<Item = &'a (EntryId, [u8; 32])>) -> Self {
        let mut sum = Self::default();
        for (_, digest) in entries {
            sum.add(digest);
        }
        sum
    }
}

#[derive(Serialize, Deserialize)]
struct SumText {
    count: u64,
    digest: String,
}

impl Serialize for Sum {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        SumText { count: self.count, digest: hex_of(&self.digest) }.serialize(to)
    }
}

impl<'de> Deserialize<'de> for Sum {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let SumText { count, digest } = SumText::deserialize(from)?;
        let digest = unhex(&digest)
            .ok_or_else(|| D::Error::custom("a digest is 64 hexadecimal digits in lower case"))?;
        Ok(Self { count, digest })
    }
}

/// Bytes as hexadecimal digits in lower case.
pub fn hex_of(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    let digit = |d: u8| char::from(DIGITS.get(usize::from(d)).copied().unwrap_or(b'0'));
    bytes.iter().flat_map(|b| [digit(b >> 4), digit(b & 15)]).collect()
}

/// Exactly 64 hexadecimal digits in lower case.
fn unhex(text: &str) -> Option<[u8; 32]> {
    let digit = |b: u8| match b {
        b'0'..=b'9' => Some(b - b'0'),
        b'a'..=b'f' => Some(b - b'a' + 10),
        _ => None,
    };
    let mut out = [0; 32];
    let bytes = text.as_bytes();
    if bytes.len() != 64 {
        return None;
    }
    for (byte, pair) in out.iter_mut().zip(bytes.chunks_exact(2)) {
        if let [high, low] = pair {
            *byte = digit(*high)? << 4 | digit(*low)?;
        }
    }
    Some(out)
}

/// The sum of a kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KindSum {
    /// The kind.
    pub kind: String,
    /// Its sum.
    #[serde(flatten)]
    pub sum: Sum,
}

/// The ids after one and up to another: open at an end that names none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Between {
    /// Greater than this.
    #[serde(default)]
    pub after: Option<EntryId>,
    /// At most this.
    #[serde(default)]
    pub up_to: Option<EntryId>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_read_in_one_spelling() {
        let text = hex_of(&[0xab; 32]);
        assert_eq!(unhex(&text), Some([0xab; 32]));
        assert_eq!(unhex(&text.to_uppercase()), None);
        assert_eq!(unhex(&text[1..]), None);
        let sum = Sum { count: 3, digest: [7; 32] };
        assert_eq!(serde_json::from_str::<Sum>(&serde_json::to_string(&sum).unwrap()).unwrap(), sum);
    }
}
