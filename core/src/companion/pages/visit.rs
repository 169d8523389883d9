//! Where the lifter is, kept so that a killed process comes back to the very page.

use crate::page::Spot;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Pages that Back remembers.
const LONGEST: usize = 32;

/// Answers of one page by their fields; those of another page take their place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Draft {
    of: Spot,
    fields: BTreeMap<String, String>,
}

/// The way to the page that is open.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(in crate::companion) struct Visit {
    /// From the place's first page to this one; empty on the floor.
    trail: Vec<Spot>,
    /// What was answered on a page and waits for the touch that keeps it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    draft: Option<Draft>,
    /// What the lifter is told of the last thing done; it does not outlive the process.
    #[serde(skip)]
    pub(in crate::companion) told: Vec<String>,
    /// The page on which a first touch asked for a second. Only the very next touch answers it.
    #[serde(skip)]
    asked: Option<Spot>,
    /// What was asked for before the touch at hand.
    #[serde(skip)]
    answering: Option<Spot>,
    /// Words that are shown once and kept nowhere.
    #[serde(skip)]
    pub(in crate::companion) once: Vec<String>,
}

impl Visit {
    pub(in crate::companion) fn spot(&self) -> Option<&Spot> {
        self.trail.last()
    }

    pub(in crate::companion) fn can_go_back(&self) -> bool {
        self.trail.len() > 1
    }

    /// Goes to a place's first page, or to the floor.
    pub(in crate::companion) fn go(&mut self, spot: Option<Spot>) {
        self.trail = spot.into_iter().collect();
    }

    /// Opens a page over this one; one that is already on the way is gone back to.
    pub(in crate::companion) fn open(&mut self, spot: Spot) {
        if let Some(at) = self.trail.iter().position(|s| *s == spot) {
            self.trail.truncate(at + 1);
        } else {
            if self.trail.is_empty() {
                // A page opened from the floor goes back to its place's first page.
                self.trail.extend(spot.place().spot().filter(|first| *first != spot));
            }
            self.trail.push(spot);
            if self.trail.len() > LONGEST {
                self.trail.remove(1);
            }
        }
    }

    pub(in crate::companion) fn back(&mut self) {
        self.trail.pop();
    }

    /// What was answered on a page and not kept yet.
    pub(in crate::companion) fn drafted(&self, of: &Spot, field: &str) -> Option<&str> {
        let draft = self.draft.as_ref().filter(|d| d.of == *of)?;
        draft.fields.get(field).map(String::as_str)
    }

    /// Holds an answer of a page until it is kept.
    pub(in crate::companion) fn draft(&mut self, of: &Spot, field: &str, value: impl Into<String>) {
        let mut fields = self.draft.take().filter(|d| d.of == *of).map(|d| d.fields).unwrap_or_default();
        fields.insert(field.to_owned(), value.into());
        self.draft = Some(Draft { of: of.clone(), fields });
    }

    /// A touch begins: what the last one asked for can be answered now, and not later.
    pub(in crate::companion) fn touch(&mut self) {
        self.told.clear();
        self.once.clear();
        self.answering = self.asked.take();
    }

    /// Whether a page waits for a second touch.
    pub(in crate::companion) fn asks_again(&self, of: &Spot) -> bool {
        self.asked.as_ref() == Some(of)
    }

    /// Whether this is the second touch; where it is the first, the page asks for another.
    pub(in crate::companion) fn second_touch(&mut self, of: &Spot) -> bool {
        let second = self.answering.as_ref() == Some(of);
        if !second {
            self.asked = Some(of.clone());
        }
        second
    }

    /// Lets go of what was answered and not kept.
    pub(in crate::companion) fn drop_draft(&mut self) {
        self.draft = None;
    }

    pub(in crate::companion) fn to_json(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// Reads it back; where it cannot be read, the lifter is on the floor.
    pub(in crate::companion) fn from_json(text: &str) -> Self {
        serde_json::from_str(text).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn back_leads_through_the_pages_in_order_and_a_page_is_on_the_way_once() {
        let mut v = Visit::default();
        assert!(!v.can_go_back() && v.spot().is_none());
        let movement = |id: &str| Spot::Movement { id: id.into() };
        v.open(movement("a"));
        assert!(v.can_go_back(), "to the catalogue");
        v.open(movement("b"));
        v.open(movement("a"));
        assert_eq!(v.spot(), Some(&movement("a")));
        v.back();
        assert_eq!(v.spot(), Some(&Spot::Catalogue));
        assert!(!v.can_go_back());
        for n in 0..100 {
            v.open(movement(&n.to_string()));
        }
        assert_eq!(v.trail.len(), LONGEST);
        assert_eq!(v.trail.first(), Some(&Spot::Catalogue));
        assert_eq!(Visit::from_json(&v.to_json()), v);
        v.draft(&Spot::Settings, "a", "1");
        v.draft(&Spot::Settings, "b", "2");
        v = Visit::from_json(&v.to_json());
        assert_eq!(
            (v.drafted(&Spot::Settings, "a"), v.drafted(&Spot::Settings, "b")),
            (Some("1"), Some("2"))
        );
        assert_eq!(v.drafted(&Spot::Backup, "a"), None);
        v.draft(&Spot::Backup, "a", "3");
        assert_eq!(v.drafted(&Spot::Settings, "a"), None, "one page at a time");
        v.drop_draft();
        assert_eq!(v.drafted(&Spot::Backup, "a"), None);
        assert_eq!(Visit::from_json("{"), Visit::default());
        v.go(None);
        assert_eq!(v.spot(), None);
    }

    #[test]
    fn only_the_very_next_touch_is_the_second_one() {
        let mut v = Visit::default();
        v.touch();
        assert!(!v.second_touch(&Spot::Record));
        assert!(v.asks_again(&Spot::Record) && !v.asks_again(&Spot::Backup));
        v.touch();
        assert!(v.second_touch(&Spot::Record));
        v.touch();
        assert!(!v.second_touch(&Spot::Record), "it was answered");
        v.touch();
        v.touch();
        assert!(!v.second_touch(&Spot::Record), "another touch came between");
        v.touch();
        assert!(!v.second_touch(&Spot::Backup), "another page asked");
        let mut killed = Visit::from_json(&v.to_json());
        killed.touch();
        assert!(!killed.second_touch(&Spot::Backup), "a killed process asks anew");
    }
}
