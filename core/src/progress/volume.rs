//! Weekly sets for each muscle, direct and shared, against ranges that are handed in.
//!
//! A direct set counts one, a shared one a half (Pelland et al. 2025, seen: abstract); hard sets count, as
//! `SetDone::is_hard` says. Counts are in quarter-sets, so that nothing is rounded. A set of one side counts a
//! half of it, since a set of a one-sided movement is one of each side.

use chrono::{Datelike, Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

use super::set::SetDone;
use crate::catalogue::{Catalogue, Movement, ShareKind};

/// What one muscle got in a week, in quarter-sets: a shared set of one side is a quarter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Sets {
    /// From movements that train it directly.
    pub direct_quarters: u32,
    /// From movements that share their work with it.
    pub shared_quarters: u32,
    /// Working sets that were not hard ones, in quarters, weighed alike: told, not counted.
    pub easy_quarters: u32,
}

impl Sets {
    /// Direct and shared together, in quarter-sets.
    pub const fn quarters(&self) -> u32 {
        self.direct_quarters + self.shared_quarters
    }
}

/// The range of weekly sets that a muscle is meant to get, in quarter-sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Range {
    /// The least.
    pub from_quarters: u32,
    /// The most.
    pub to_quarters: u32,
}

/// How a count stands to its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Against {
    /// No range was given.
    NoRange,
    /// Below it by so much.
    Below {
        /// Quarter-sets that are missing.
        by_quarters: u32,
    },
    /// Within it.
    Within,
    /// Above it by so much.
    Above {
        /// Quarter-sets too many.
        by_quarters: u32,
    },
}

/// One muscle in one week.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MuscleWeek {
    /// Id of the muscle.
    pub muscle: String,
    /// What it got.
    pub sets: Sets,
    /// Against its range.
    pub against: Against,
}

/// One week.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Week {
    /// Its Monday.
    #[serde(serialize_with = "super::set::as_text")]
    pub monday: NaiveDate,
    /// Each muscle of the catalogue, in its order, those without a set too.
    pub muscles: Vec<MuscleWeek>,
    /// Hard sets of movements that neither the catalogue nor `own` knows: their muscles cannot be told.
    pub unknown_hard_sets: u32,
}

/// The Monday of the week of a day.
pub fn monday(day: NaiveDate) -> NaiveDate {
    day.checked_sub_days(Days::new(u64::from(day.weekday().num_days_from_monday()))).unwrap_or(day)
}

/// The weeks with a working set, oldest first. `own` holds the lifter's own movements, checked; `ranges` are by
/// id of the muscle.
pub fn weeks(
    sets: &[SetDone],
    catalogue: &Catalogue,
    own: &[Movement],
    ranges: &BTreeMap<String, Range>,
) -> Vec<Week> {
    let mut by_week: BTreeMap<NaiveDate, (Vec<Sets>, u32)> = BTreeMap::new();
    for set in sets.iter().filter(|set| set.working && set.reps > 0) {
        let week = by_week.entry(monday(set.day)).or_default();
        week.0.resize(catalogue.muscles.len(), Sets::default());
        let known = catalogue.movements.iter().chain(own).find(|m| m.id == set.movement);
        let Some(movement) = known else {
            week.1 += u32::from(set.is_hard());
            continue;
        };
        for part in &movement.trains {
            let Some(sets) = week.0.get_mut(part.muscle) else { continue };
            let quarters = part.share.half_sets() as u32 * if set.side.is_some() { 1 } else { 2 };
            match (set.is_hard(), part.share) {
                (false, _) => sets.easy_quarters += quarters,
                (true, ShareKind::Direct) => sets.direct_quarters += quarters,
                (true, ShareKind::Indirect) => sets.shared_quarters += quarters,
            }
        }
    }
    let told = |(monday, (sets, unknown_hard_sets)): (NaiveDate, (Vec<Sets>, u32))| Week {
        monday,
        muscles: catalogue
            .muscles
            .iter()
            .zip(sets)
            .map(|(muscle, sets)| MuscleWeek {
                muscle: muscle.id.clone(),
                sets,
                against: against(sets.quarters(), ranges.get(&muscle.id)),
            })
            .collect(),
        unknown_hard_sets,
    };
    by_week.into_iter().map(told).collect()
}

fn against(quarters: u32, range: Option<&Range>) -> Against {
    match range {
        None => Against::NoRange,
        Some(range) if quarters < range.from_quarters => {
            Against::Below { by_quarters: range.from_quarters - quarters }
        }
        Some(range) if quarters > range.to_quarters => {
            Against::Above { by_quarters: quarters - range.to_quarters }
        }
        Some(_) => Against::Within,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Mass;
    use crate::progress::Side;

    fn on(day: u32, movement: &str, reserve: Option<u32>) -> SetDone {
        let day = NaiveDate::from_ymd_opt(2026, 5, day).expect("a date");
        SetDone::new(movement, day, Mass::grams(100_000), 5, reserve)
    }

    fn of<'a>(week: &'a Week, muscle: &str) -> &'a MuscleWeek {
        week.muscles.iter().find(|m| m.muscle == muscle).expect("a muscle")
    }

    #[test]
    fn direct_sets_count_one_and_shared_ones_a_half() {
        let catalogue = Catalogue::builtin().expect("the catalogue is whole");
        let range = Range { from_quarters: 12, to_quarters: 40 };
        let ranges = BTreeMap::from([("quadriceps".to_owned(), range), ("adductors".to_owned(), range)]);
        // 4 May 2026 is a Monday; the catalogue has quadriceps direct and adductors indirect for the squat.
        let squat = "barbell_back_squat";
        let sets = [
            on(4, squat, Some(2)),
            on(6, squat, None),
            on(10, squat, Some(4)),
            on(10, squat, Some(5)),
            SetDone { working: false, ..on(10, squat, Some(0)) },
            on(10, "something_else", Some(0)),
            on(11, squat, Some(1)),
        ];
        let weeks = weeks(&sets, &catalogue, &[], &ranges);
        assert_eq!(weeks.len(), 2);
        let (first, second) = (&weeks[0], &weeks[1]);
        assert_eq!(first.monday, on(4, squat, None).day);
        let quadriceps = of(first, "quadriceps");
        assert_eq!(
            (quadriceps.sets.direct_quarters, quadriceps.sets.easy_quarters),
            (12, 4),
            "three hard sets"
        );
        assert_eq!(quadriceps.against, Against::Within);
        let adductors = of(first, "adductors");
        assert_eq!((adductors.sets.direct_quarters, adductors.sets.shared_quarters), (0, 6), "half of three");
        assert_eq!(adductors.against, Against::Below { by_quarters: 6 });
        assert_eq!(first.unknown_hard_sets, 1);
        assert_eq!(of(second, "quadriceps").sets.direct_quarters, 4);
        assert_eq!(of(first, "calves").against, Against::NoRange);
    }

    #[test]
    fn a_set_of_each_side_is_one_set() {
        let catalogue = Catalogue::builtin().expect("the catalogue is whole");
        let squat = on(4, "barbell_back_squat", Some(1));
        let sides = [Side::Left, Side::Right].map(|side| SetDone { side: Some(side), ..squat.clone() });
        let weeks = weeks(&sides, &catalogue, &[], &BTreeMap::new());
        assert_eq!(of(&weeks[0], "quadriceps").sets.direct_quarters, 4);
    }
}
