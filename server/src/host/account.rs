//! Whose records the host keeps, and which devices may reach them.

use plinth_core::record::hex_of;
use plinth_core::store::system_random;
use plinth_core::sync::is_account_name;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use sha2::{Digest, Sha256};
use std::fmt;
use std::str::FromStr;

/// The name of an account, which the host gives, as [`is_account_name`] says. It is the key of everything that the account
/// owns, and it is never given a second time on one host.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AccountId(String);

impl AccountId {
    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for AccountId {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        if is_account_name(text) {
            Ok(Self(text.to_owned()))
        } else {
            Err("name an account with 1 to 40 of a-z, 0-9 and hyphens, with no hyphen at either end")
        }
    }
}

impl fmt::Display for AccountId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl Serialize for AccountId {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for AccountId {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        String::deserialize(from)?.parse().map_err(de::Error::custom)
    }
}

/// What an account is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Has a record.
    Lifter,
    /// Has a record, and reads those of lifters who grant it.
    Coach,
    /// Looks after the host; has no record.
    Host,
}

impl Role {
    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lifter => "lifter",
            Self::Coach => "coach",
            Self::Host => "host",
        }
    }
}

impl FromStr for Role {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        [Self::Lifter, Self::Coach, Self::Host]
            .into_iter()
            .find(|r| r.name() == text)
            .ok_or("use lifter, coach or host")
    }
}

/// An account.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Account {
    /// Its name.
    pub id: AccountId,
    /// What it is for.
    pub role: Role,
    /// When it was made, milliseconds since 1970.
    pub made_ms: i64,
}

/// What is kept of a secret: its SHA-256.
pub type Hashed = [u8; 32];

/// The SHA-256 of a secret.
pub fn hashed(secret: &str) -> Hashed {
    Sha256::digest(secret.as_bytes()).into()
}

/// A device that was paired.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairedDevice {
    /// Which, within the account: sixteen hexadecimal digits, drawn at pairing.
    pub key: String,
    /// What the lifter calls it.
    pub name: String,
    /// The version of its program at pairing.
    pub app: String,
    /// Of its token.
    pub token: Hashed,
    /// Of the token that replaces it as soon as it is used.
    pub next: Option<Hashed>,
    /// When it was paired, milliseconds since 1970.
    pub paired_ms: i64,
    /// When it was last heard, to the hour.
    pub seen_ms: i64,
    /// When it was revoked.
    pub revoked_ms: Option<i64>,
}

/// A one-time code that was shown and not yet redeemed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offered {
    /// Of the code.
    pub code: Hashed,
    /// For whom.
    pub account: AccountId,
    /// Until when it counts, milliseconds since 1970.
    pub until_ms: i64,
}

/// Random bytes of the system as hexadecimal digits, two for each byte; `None` where the system has no randomness.
pub fn random_hex<const BYTES: usize>() -> Option<String> {
    let mut bytes = [0; BYTES];
    system_random(&mut bytes).then(|| hex_of(&bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_a_plain_key() {
        for good in ["a", "anna", "gym-7", &"x".repeat(40)] {
            assert_eq!(good.parse::<AccountId>().unwrap().as_str(), good);
        }
        for bad in ["", "-a", "a-", "Anna", "a b", "../a", "a/b", "ä", "a\0", &"x".repeat(41)] {
            assert!(bad.parse::<AccountId>().is_err(), "{bad}");
        }
    }
}
