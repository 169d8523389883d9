//! Sentences from data: the rooms hand out ids and numbers, the Fluent messages of `core/data/words` hold the
//! grammar, and nothing here decides anything.

pub mod adapt;
mod audit;
mod caution;
pub mod fault;
pub mod findings;
pub mod floor;
mod language;
mod movement;
mod names;
mod notice;
mod plan;
pub mod reason;
pub mod session;
mod speech;

pub use audit::audit;
pub use language::{Language, UnknownLanguage};
pub use notice::notice;
pub use plan::{claim, prescription, tempo};
pub use speech::{Arg, Speech};

use crate::catalogue::Catalogue;
use crate::plan::brief::Weekday;

/// Tells of a plan in a language, with the names of a catalogue and the weekdays of a week.
#[derive(Debug, Clone, Copy)]
pub struct Account<'a> {
    /// Says it.
    pub speech: &'a Speech,
    /// Where the names of own movements come from.
    pub catalogue: &'a Catalogue,
    /// The weekday of each training day.
    pub days: &'a [Weekday],
}

impl Account<'_> {
    fn say(&self, key: &str, args: &[(&str, Arg<'_>)]) -> String {
        self.speech.say(key, args)
    }

    /// A movement's name inside a sentence; its id where the catalogue has none.
    pub fn movement(&self, id: &str) -> String {
        self.speech.movement_inside(self.catalogue, id)
    }

    /// A muscle's name inside a sentence.
    pub fn muscle(&self, id: &str) -> String {
        self.speech.muscle_inside(id)
    }

    /// A pattern's name inside a sentence.
    pub fn pattern(&self, id: &str) -> String {
        self.speech.pattern_inside(id)
    }

    /// A region's name inside a sentence.
    pub fn region(&self, id: &str) -> String {
        self.speech.region_inside(id)
    }

    /// The names of kit.
    pub fn kit(&self, ids: &[String]) -> String {
        self.speech.and(&ids.iter().map(|id| self.speech.kit_item_inside(id)).collect::<Vec<_>>())
    }

    /// A training day by its weekday, or by its number where the week has no such day.
    pub fn day(&self, day: usize) -> String {
        match self.days.get(day) {
            Some(d) => self.speech.weekday(*d),
            None => self.say("day-number", &[("n", (day + 1).into())]),
        }
    }
}

/// A base group in words, as the subject of a sentence.
pub fn group(speech: &Speech, id: &str) -> String {
    let key = match id {
        "knee" => "group-knee",
        "hinge" => "group-hinge",
        "horizontal_press" => "group-horizontal-press",
        "vertical_press" => "group-vertical-press",
        "horizontal_pull" => "group-horizontal-pull",
        "vertical_pull" => "group-vertical-pull",
        other => return other.replace('_', " "),
    };
    speech.say(key, &[])
}

/// A sentence: a capital first letter and a full stop.
fn sentence(text: &str) -> String {
    format!("{}.", speech::capital(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_begins_large_and_ends() {
        assert_eq!(sentence("no day"), "No day.");
    }
}
