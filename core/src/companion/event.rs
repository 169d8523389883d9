//! What a shell sends: an event of the floor, or of a page.

use crate::floor;
use crate::page::PageEvent;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::{Map, Value};

/// An event. Its JSON is that of the floor's event (`{"event": "done"}`) or of the page's
/// (`{"page": "back"}`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Event {
    /// On the floor.
    Floor(floor::Event),
    /// On a page of another place.
    Page(PageEvent),
}

impl From<floor::Event> for Event {
    fn from(event: floor::Event) -> Self {
        Self::Floor(event)
    }
}

impl From<PageEvent> for Event {
    fn from(event: PageEvent) -> Self {
        Self::Page(event)
    }
}

impl From<&floor::Event> for Event {
    fn from(event: &floor::Event) -> Self {
        Self::Floor(event.clone())
    }
}

impl From<&PageEvent> for Event {
    fn from(event: &PageEvent) -> Self {
        Self::Page(event.clone())
    }
}

impl From<&Self> for Event {
    fn from(event: &Self) -> Self {
        event.clone()
    }
}

impl<'de> Deserialize<'de> for Event {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        // Which of the two it is says its tag, so that a fault is told of the one that was meant.
        let map = Map::deserialize(from)?;
        // An event of the floor may have a field `page`.
        let page = map.contains_key("page") && !map.contains_key("event");
        let value = Value::Object(map);
        if page {
            PageEvent::deserialize(value).map(Self::Page).map_err(D::Error::custom)
        } else {
            floor::Event::deserialize(value).map(Self::Floor).map_err(D::Error::custom)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::{Place, Spot};

    #[test]
    fn either_kind_is_read_and_a_fault_is_told_of_the_one_that_was_meant() {
        let read = serde_json::from_str::<Event>;
        assert_eq!(read(r#"{"event":"done"}"#).ok(), Some(Event::Floor(floor::Event::Done)));
        let turn = read(r#"{"event":"turn","page":"near"}"#).ok();
        assert!(matches!(turn, Some(Event::Floor(floor::Event::Turn { .. }))), "{turn:?}");
        let open = PageEvent::Open { spot: Spot::Line { day: 0, line: 2 } };
        let json = serde_json::to_string(&Event::from(&open)).unwrap();
        assert_eq!(json, r#"{"page":"open","spot":{"spot":"line","day":0,"line":2}}"#);
        assert_eq!(read(&json).ok(), Some(Event::Page(open)));
        assert_eq!(
            read(r#"{"page":"place","place":"week"}"#).ok(),
            Some(Event::Page(PageEvent::Place { place: Place::Week }))
        );
        let fault = read(r#"{"page":"fly"}"#).unwrap_err().to_string();
        assert!(fault.contains("fly") && fault.contains("choose"), "{fault}");
        let fault = read(r#"{"event":"fly"}"#).unwrap_err().to_string();
        assert!(fault.contains("fly") && fault.contains("warm_up_done"), "{fault}");
    }
}
