//! The clock and the identity of the device, kept with the entries.

use super::error::StoreError;
use super::{Random, rows};
use crate::record::{Clock, DeviceId, Stamp};
use rusqlite::Connection;

/// The last stamp that was given or seen. It holds the device, so that one row says both.
const LAST: &str = "last_stamp";

pub(super) fn load(db: &Connection, random: Random<'_>) -> Result<Clock, StoreError> {
    match rows::meta(db, LAST)? {
        Some(text) => {
            let last: Stamp =
                text.parse().map_err(|_| StoreError::damaged("the clock's state cannot be read"))?;
            Ok(Clock::resume(last.device, last))
        }
        None => renew(db, random),
    }
}

pub(super) fn save(db: &Connection, clock: &Clock) -> Result<(), StoreError> {
    rows::set_meta(db, LAST, &clock.last().to_string())
}

/// A new device identity, whose clock goes on from what the old one saw.
pub(super) fn renew(db: &Connection, random: Random<'_>) -> Result<Clock, StoreError> {
    let mut bits = [0; 8];
    if !random(&mut bits) {
        return Err(StoreError::Random);
    }
    let device = DeviceId::new(u64::from_be_bytes(bits));
    let clock = match rows::meta(db, LAST)?.and_then(|text| text.parse::<Stamp>().ok()) {
        Some(last) => Clock::resume(device, last),
        None => Clock::new(device),
    };
    save(db, &clock)?;
    Ok(clock)
}
