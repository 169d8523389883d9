//! Steps that change a brief: what would help, each a brief that can be solved again.

use super::demand::MOST_DAYS;
use crate::plan::brief::{Brief, Minutes, Wish, WishKind};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Kit that is bought or used together, as the data file lists it.
const PACKS: &str = include_str!("../../../data/kit_packs.csv");
/// Most minutes of a session.
pub(super) const MOST_MINUTES: u32 = 240;

/// A step that changes a brief. Discomforts and limits of health are never among them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Step {
    /// Movements may be done in turn.
    InTurn,
    /// Set safeties, where the lifter trains alone.
    Safeties,
    /// Longer sessions, each by so much.
    MoreMinutes {
        /// Minutes for each session.
        minutes: u32,
    },
    /// More training days, as long as the longest.
    MoreDays {
        /// Days.
        days: u32,
    },
    /// Ask a movement fewer times.
    FewerTimes {
        /// Id of the movement.
        movement: String,
        /// Sessions a week.
        times: u32,
    },
    /// Let go of a wish.
    LetGo {
        /// Id of the movement.
        movement: String,
    },
    /// Ask for a stand-in.
    StandIn {
        /// Id of the movement.
        movement: String,
        /// Id of the one to ask for in its place.
        instead: String,
    },
    /// Get kit.
    Kit {
        /// Ids of the kit.
        equipment: Vec<String>,
    },
    /// Allow what is forbidden.
    Allow {
        /// Id of the movement.
        movement: Option<String>,
        /// Id of the pattern.
        pattern: Option<String>,
    },
}

impl Step {
    /// The brief with the step taken.
    #[must_use]
    pub fn taken(&self, brief: &Brief) -> Brief {
        let mut b = brief.clone();
        let required = |w: &Wish, id: &str| {
            matches!(w.wish, WishKind::Require | WishKind::Prefer) && w.movement.as_deref() == Some(id)
        };
        match self {
            Self::InTurn => b.in_turn = true,
            Self::Safeties => b.safeties = true,
            Self::MoreMinutes { minutes } => {
                let more = |m: u32| m.saturating_add(*minutes).min(MOST_MINUTES);
                b.minutes = match &b.minutes {
                    Minutes::Same(m) => Minutes::Same(more(*m)),
                    Minutes::Each(each) => Minutes::Each(each.iter().copied().map(more).collect()),
                };
            }
            Self::MoreDays { days } => {
                let longest = (0..b.days as usize).map(|d| b.minutes_of(d)).max().unwrap_or(60);
                b.days = b.days.saturating_add(*days).min(MOST_DAYS);
                if let Minutes::Each(each) = &mut b.minutes {
                    each.resize(b.days as usize, longest);
                }
            }
            Self::FewerTimes { movement, times } => {
                for w in b.wishes.iter_mut().filter(|w| required(w, movement)) {
                    w.times = Some(*times);
                }
            }
            Self::LetGo { movement } => b.wishes.retain(|w| !required(w, movement)),
            Self::StandIn { movement, instead } => {
                for w in b.wishes.iter_mut().filter(|w| required(w, movement)) {
                    w.movement = Some(instead.clone());
                }
            }
            Self::Kit { equipment } => b.equipment.extend(equipment.iter().cloned()),
            Self::Allow { movement, pattern } => b
                .wishes
                .retain(|w| w.wish != WishKind::Forbid || w.movement != *movement || w.pattern != *pattern),
        }
        b
    }

    /// What kind of burden the step is (nothing but a habit, time, a wish, money, what was forbidden), and how
    /// much of it: minutes a week, wishes, pieces of kit.
    pub fn burden(&self, brief: &Brief) -> (i32, i32) {
        match self {
            Self::InTurn | Self::Safeties => (0, 0),
            Self::MoreMinutes { minutes } => (1, (*minutes * brief.days) as i32),
            Self::MoreDays { days } => {
                let longest = (0..brief.days as usize).map(|d| brief.minutes_of(d)).max().unwrap_or(60);
                (1, (*days * longest) as i32)
            }
            Self::StandIn { .. } => (2, 0),
            Self::FewerTimes { .. } => (2, 1),
            Self::LetGo { .. } => (2, 2),
            Self::Kit { equipment } => (3, equipment.len() as i32),
            Self::Allow { .. } => (4, 0),
        }
    }
}

/// The brief with all steps taken, in order.
pub fn take(steps: &[Step], brief: &Brief) -> Brief {
    steps.iter().fold(brief.clone(), |b, s| s.taken(&b))
}

/// Packs of kit in the order of the file, each without what is at hand already; empty ones left out, and each
/// remainder once.
pub(super) fn packs(brief: &Brief) -> Vec<Vec<String>> {
    let mut out: Vec<Vec<String>> = Vec::new();
    for row in csv::Reader::from_reader(PACKS.as_bytes()).records().flatten() {
        let new: Vec<String> = row
            .get(1)
            .unwrap_or_default()
            .split(';')
            .filter(|e| !e.is_empty() && !brief.equipment.iter().any(|o| o == e))
            .map(String::from)
            .collect();
        if !new.is_empty() && !out.contains(&new) {
            out.push(new);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use crate::catalogue::Catalogue;

    #[test]
    fn every_pack_names_kit_of_the_catalogue() {
        let catalogue = Catalogue::builtin().expect("sound");
        let rows: Vec<_> = csv::Reader::from_reader(super::PACKS.as_bytes()).records().collect();
        assert!(rows.len() > 8);
        for row in rows {
            let row = row.expect("a row");
            assert_eq!(row.len(), 3);
            for e in row[1].split(';') {
                assert!(catalogue.kit(e).is_some(), "{e}");
            }
        }
    }
}
