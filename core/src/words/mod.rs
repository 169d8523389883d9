//! English sentences from data: the rooms hand out ids and numbers, and nothing here decides anything.

pub mod adapt;
mod names;
mod notice;
mod plan;
pub mod reason;
mod speech;
pub mod session;

pub use notice::{notice, weekday};
pub use plan::{claim, clock, prescription};
pub use speech::{Arg, Language, Speech, UnknownLanguage};

use crate::catalogue::Catalogue;
use crate::plan::brief::Weekday;

/// Says things in English, with the names of a catalogue and the weekdays of a week.
#[derive(Debug, Clone, Copy)]
pub struct English<'a> {
    /// Where names come from.
    pub catalogue: &'a Catalogue,
    /// The weekday of each training day.
    pub days: &'a [Weekday],
}

impl English<'_> {
    /// A movement's name; its id where the catalogue has none.
    pub fn movement(&self, id: &str) -> String {
        self.catalogue.movement(id).map_or_else(|| id.to_owned(), |m| lower(&m.name))
    }

    /// A muscle's name.
    pub fn muscle(&self, id: &str) -> String {
        let name = self.catalogue.muscles.iter().find(|m| m.id == id).map(|m| m.name.as_str());
        lower(name.unwrap_or(id).split(" (").next().unwrap_or(id))
    }

    /// A pattern's name.
    pub fn pattern(&self, id: &str) -> String {
        lower(self.catalogue.patterns.iter().find(|p| p.id == id).map_or(id, |p| p.name.as_str()))
    }

    /// A region's name.
    pub fn region(&self, id: &str) -> String {
        lower(self.catalogue.regions.iter().find(|r| r.id == id).map_or(id, |r| r.name.as_str()))
    }

    /// The names of kit.
    pub fn kit(&self, ids: &[String]) -> String {
        let name = |id: &String| {
            let kit = self.catalogue.equipment.iter().find(|e| e.id == *id);
            lower(kit.map_or(id.as_str(), |e| e.name.as_str()).split(" (").next().unwrap_or(id))
        };
        and(&ids.iter().map(name).collect::<Vec<_>>())
    }

    /// A training day by its weekday, or by its number where the week has no such day.
    pub fn day(&self, day: usize) -> String {
        self.days.get(day).map_or_else(|| format!("day {}", day + 1), |d| format!("{d:?}"))
    }
}

/// A base group in words: ids of base groups are words joined by underscores.
pub fn group(id: &str) -> String {
    match id {
        "knee" => "squats and lunges".into(),
        "hinge" => "hip hinges".into(),
        "horizontal_press" => "horizontal presses".into(),
        "vertical_press" => "vertical presses".into(),
        "horizontal_pull" => "rows".into(),
        "vertical_pull" => "vertical pulls".into(),
        other => other.replace('_', " "),
    }
}

/// Half-sets as sets: `7` is `3.5`.
pub fn halves(half_sets: i32) -> String {
    let (whole, half) = (half_sets.abs() / 2, half_sets.abs() % 2);
    let sign = if half_sets < 0 { "-" } else { "" };
    if half == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.5") }
}

/// Half-sets as sets with the unit.
pub fn sets(half_sets: i32) -> String {
    let unit = if half_sets.abs() == 2 { "set" } else { "sets" };
    format!("{} {unit}", halves(half_sets))
}

/// Seconds as minutes to the nearest minute, or seconds where it is less than a minute.
pub fn minutes(seconds: i32) -> String {
    if seconds.abs() < 60 {
        format!("{seconds} s")
    } else {
        format!("{} min", (seconds + seconds.signum() * 30) / 60)
    }
}

/// Items in a row: `a, b and c`.
pub fn and(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A number of things, with the word for one and for more.
pub fn count(n: i64, one: &str, more: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {more}") }
}

/// A name inside a sentence: a small first letter, unless the word is all capitals.
fn lower(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(a), Some(b)) if a.is_uppercase() && !b.is_uppercase() => {
            a.to_lowercase().chain(letters).collect()
        }
        _ => name.to_owned(),
    }
}

/// A sentence: a capital first letter and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_carry_their_units() {
        assert_eq!(sets(7), "3.5 sets");
        assert_eq!(sets(-1), "-0.5 sets");
        assert_eq!(sets(2), "1 set");
        assert_eq!(minutes(59), "59 s");
        assert_eq!(minutes(90), "2 min");
        assert_eq!(minutes(-150), "-3 min");
    }

    #[test]
    fn lists_and_names_read_as_prose() {
        assert_eq!(and(&["a".into(), "b".into(), "c".into()]), "a, b and c");
        assert_eq!(lower("Barbell row"), "barbell row");
        assert_eq!(lower("EZ curl"), "EZ curl");
        assert_eq!(sentence("no day"), "No day.");
    }
}
