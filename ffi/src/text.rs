//! Events as text, for what must keep one outside the process: a notification's action, an alarm.

use crate::error::PlinthError;
use plinth_core::companion::Event;

/// An event as JSON.
///
/// # Errors
/// A defect.
#[uniffi::export]
pub fn write_event(event: &Event) -> Result<String, PlinthError> {
    serde_json::to_string(event).map_err(|_| PlinthError::defect())
}

/// The event that [`write_event`] wrote.
///
/// # Errors
/// The text is no event.
#[uniffi::export]
pub fn read_event(text: &str) -> Result<Event, PlinthError> {
    serde_json::from_str(text).map_err(|e| {
        PlinthError::input("event", Some("event"), &e.to_string(), "give what `write_event` wrote")
    })
}

/// Two digits for each byte.
pub(crate) fn hexadecimal(bytes: &[u8]) -> String {
    let digit = |n: u8| char::from_digit(n.into(), 16).unwrap_or_default();
    bytes.iter().flat_map(|b| [digit(b >> 4), digit(b & 15)]).collect()
}
