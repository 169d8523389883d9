//! What a brief can begin from: a few kits of a place, goals and lengths of a session, read from `begin.toml`.

use super::{Brief, Goal};
use crate::catalogue::Catalogue;
use crate::load::Kit;
use crate::plan::loads::kit_of;
use serde::Deserialize;
use std::collections::BTreeSet;

const FILE: &str = include_str!("../../../data/begin.toml");
/// The brief to begin from where nobody has told one: sensible answers that are changed.
pub const FIRST_BRIEF: &str = include_str!("../../../data/first_brief.json");

/// Answers to begin from.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beginnings {
    /// Minutes of a session.
    pub minutes: Vec<u32>,
    /// Goals.
    pub goals: Vec<NamedGoal>,
    /// Kits of a place.
    pub places: Vec<StartingPlace>,
}

/// A goal by its id.
#[derive(Debug, Clone, Deserialize)]
pub struct NamedGoal {
    /// Its id, for ever.
    pub id: String,
    /// Its parts.
    #[serde(flatten)]
    pub goal: Goal,
}

/// The kit of a place to begin from.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StartingPlace {
    /// Its id, for ever.
    pub id: String,
    /// Ids of the pieces of kit.
    pub equipment: Vec<String>,
    /// Which kit to start from has its bars and discs.
    kit: Option<String>,
    /// Its bars and discs, where no kit to start from has them.
    loads: Option<Kit>,
}

impl StartingPlace {
    /// What there is to load.
    pub fn kit(&self) -> Kit {
        // Read and checked with the file.
        let starting = self.kit.as_deref().and_then(|id| Kit::starting(id).ok());
        starting.or_else(|| self.loads.clone()).unwrap_or_default()
    }

    /// Whether a brief has this kit.
    pub fn is_of(&self, brief: &Brief) -> bool {
        same(&self.equipment, &brief.equipment) && kit_of(brief).is_ok_and(|kit| kit == self.kit())
    }
}

/// Whether two lists name the same pieces; the floor is always there.
fn same(a: &[String], b: &[String]) -> bool {
    let set = |all: &[String]| all.iter().filter(|e| *e != "floor").cloned().collect::<BTreeSet<_>>();
    set(a) == set(b)
}

impl Beginnings {
    /// Those that this build carries.
    ///
    /// # Errors
    /// What is wrong with the file; nothing in a build whose tests pass.
    pub fn builtin(catalogue: &Catalogue) -> Result<Self, String> {
        let read: Self = toml::from_str(FILE).map_err(|e| format!("begin.toml: {e}"))?;
        for place in &read.places {
            let told = |what: String| format!("begin.toml: {}: {what}", place.id);
            if let Some(unknown) = place.equipment.iter().find(|e| catalogue.kit(e).is_none()) {
                return Err(told(format!("{unknown:?} is unknown; use an id of equipment.csv")));
            }
            match (&place.kit, &place.loads) {
                (Some(id), None) => Kit::starting(id).map(drop).map_err(|e| told(e.to_string()))?,
                (None, Some(kit)) => kit.validate().map_err(|e| told(e.to_string()))?,
                _ => return Err(told("give one of kit and loads".into())),
            }
        }
        Ok(read)
    }

    /// The place to begin from with this id.
    pub fn place(&self, id: &str) -> Option<&StartingPlace> {
        self.places.iter().find(|p| p.id == id)
    }

    /// The goal with this id.
    pub fn goal(&self, id: &str) -> Option<Goal> {
        self.goals.iter().find(|g| g.id == id).map(|g| g.goal)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::brief::read_brief;

    #[test]
    fn every_beginning_makes_a_brief_that_can_be_read_and_is_told_from_the_others() {
        let catalogue = Catalogue::builtin().unwrap();
        let begin = Beginnings::builtin(&catalogue).unwrap();
        let (first, _) = read_brief(FIRST_BRIEF.as_bytes(), &catalogue).unwrap();
        assert_eq!(
            begin.places.iter().filter(|p| p.is_of(&first)).count(),
            1,
            "the first brief is one of them"
        );
        assert!(begin.goals.iter().any(|g| g.goal == first.goal));
        for place in &begin.places {
            for named in &begin.goals {
                for minutes in &begin.minutes {
                    let mut brief = first.clone();
                    brief.equipment.clone_from(&place.equipment);
                    brief.kit = Some(place.kit());
                    brief.goal = named.goal;
                    brief.minutes = crate::plan::brief::Minutes::Same(*minutes);
                    let json = serde_json::to_vec(&brief).unwrap();
                    let (read, _) = read_brief(&json, &catalogue).unwrap();
                    let of: Vec<&str> =
                        begin.places.iter().filter(|p| p.is_of(&read)).map(|p| p.id.as_str()).collect();
                    assert_eq!(of, [place.id.as_str()]);
                }
            }
        }
        assert!(begin.place("nothing").is_some_and(|p| p.equipment.is_empty()));
        assert!(begin.goal("no_such").is_none());
    }
}
