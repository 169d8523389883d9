//! Pairing: a one-time code becomes the token of a device.

use crate::record::DeviceId;
use serde::{Deserialize, Serialize};

/// Where a code is redeemed.
pub const PAIR_PATH: &str = "/v1/pair";

/// What a device sends, once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PairRequest {
    /// The code, as the host showed it.
    pub code: String,
    /// The device.
    pub device: DeviceId,
    /// What the lifter calls the device, for the list of devices.
    pub name: String,
    /// The version of the program.
    pub app: String,
}

/// What it gets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PairAnswer {
    /// The token of this device: it goes into the platform's key store, never into the record.
    pub token: String,
    /// What the host calls the account.
    pub account: String,
    /// Whether the account is a lifter's or a coach's.
    pub role: String,
}

/// Whether a text can be the name of an account, which a host gives: 1 to 40 of `a-z`, `0-9` and hyphens, not at the
/// ends.
pub fn is_account_name(text: &str) -> bool {
    let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit();
    let within = (1..=40).contains(&text.len()) && text.bytes().all(|b| plain(b) || b == b'-');
    within && !text.starts_with('-') && !text.ends_with('-')
}

/// With which server a device is paired; kept beside the record, for its page. The token is not in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Paired {
    /// The server: scheme, host and port.
    pub address: String,
    /// What the host calls the account.
    pub account: String,
    /// Since when, milliseconds since 1970 by this device's clock.
    pub since_ms: i64,
    /// Whether its syncs may use a connection that costs by the byte.
    #[serde(default)]
    pub metered: bool,
}
