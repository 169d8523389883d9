//! Bests on a repetition-load curve: the most load for each number of repetitions at least.

use chrono::NaiveDate;
use serde::Serialize;

use super::maximum::{Of, counts};
use super::set::{SetDone, as_text};
use crate::load::Mass;

/// A best set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BestSet {
    /// The day.
    #[serde(serialize_with = "as_text")]
    pub day: NaiveDate,
    /// When it ended, in milliseconds since 1970, UTC: finds the entry.
    pub ended: i64,
    /// What was moved.
    pub load: Mass,
    /// Repetitions done.
    pub reps: u32,
}

/// A new best and what it beats.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NewBest {
    /// The set.
    pub set: BestSet,
    /// The heaviest before for as many repetitions at least; `None` when none was done.
    pub before: Option<BestSet>,
    /// Numbers of repetitions, this and fewer, for which it is now the most load: from this to `set.reps`.
    pub best_from_reps: u32,
}

impl BestSet {
    fn of(set: &SetDone) -> Option<Self> {
        let load = set.load.filter(|load| !load.is_zero())?;
        Some(Self { day: set.day, ended: set.ended, load, reps: set.reps })
    }
}

fn in_order(sets: &[SetDone], of: Of<'_>) -> Vec<BestSet> {
    let mut all: Vec<BestSet> = sets.iter().filter(|s| counts(s, of)).filter_map(BestSet::of).collect();
    all.sort_by_key(|best| (best.day, best.ended, best.load, best.reps));
    all
}

/// The curve: every set that no other beats in both load and repetitions, fewest repetitions first. Of equals
/// the earliest is kept.
pub fn curve(sets: &[SetDone], of: Of<'_>) -> Vec<BestSet> {
    let mut all = in_order(sets, of);
    // Stable: within equal repetitions and load the earliest stays first.
    all.sort_by(|a, b| b.reps.cmp(&a.reps).then(b.load.cmp(&a.load)));
    let mut curve: Vec<BestSet> = Vec::new();
    for set in all {
        if curve.last().is_none_or(|best| set.load > best.load) {
            curve.push(set);
        }
    }
    curve.reverse();
    curve
}

/// The most load ever moved for `reps` repetitions at least; of equals the earliest.
pub fn most_for(sets: &[SetDone], of: Of<'_>, reps: u32) -> Option<BestSet> {
    curve(sets, of).into_iter().find(|best| best.reps >= reps)
}

/// What was new on a day: sets that moved more for their repetitions than any before that day, the beaten
/// within the day left out. A first day of a movement has no bests: there is nothing before it to beat.
pub fn new_on(sets: &[SetDone], of: Of<'_>, day: NaiveDate) -> Vec<NewBest> {
    let (before, that_day): (Vec<SetDone>, Vec<SetDone>) =
        sets.iter().filter(|s| s.day <= day).cloned().partition(|s| s.day < day);
    let before = curve(&before, of);
    if before.is_empty() {
        return Vec::new();
    }
    let most = |reps: u32| before.iter().find(|best| best.reps >= reps);
    curve(&that_day, of)
        .into_iter()
        .filter(|set| most(set.reps).is_none_or(|old| set.load > old.load))
        .map(|set| {
            let beats = |reps: &u32| most(*reps).is_none_or(|old| set.load > old.load);
            let best_from_reps = (1..=set.reps).rev().take_while(beats).last().unwrap_or(set.reps);
            NewBest { before: most(set.reps).cloned(), best_from_reps, set }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const OF: Of<'static> = Of { movement: "bench", side: None };

    fn on(day: u32, grams: u32, reps: u32) -> SetDone {
        let day = NaiveDate::from_ymd_opt(2026, 5, day).expect("a date");
        SetDone::new("bench", day, Mass::grams(grams), reps, None)
    }

    fn told(curve: &[BestSet]) -> Vec<(u32, String)> {
        curve.iter().map(|b| (b.reps, b.load.to_string())).collect()
    }

    #[test]
    fn the_curve_holds_what_nothing_beats() {
        let sets =
            [on(1, 80_000, 5), on(2, 75_000, 5), on(3, 80_000, 3), on(4, 90_000, 1), on(5, 60_000, 12)];
        let want = [(1, "90 kg".to_owned()), (5, "80 kg".to_owned()), (12, "60 kg".to_owned())];
        assert_eq!(told(&curve(&sets, OF)), want);
        // Against trying every set: a set is on the curve only when none has as much of both and more of one.
        for set in &sets {
            let beaten = sets.iter().any(|o| {
                o.load >= set.load && o.reps >= set.reps && (o.load > set.load || o.reps > set.reps)
            });
            assert_eq!(curve(&sets, OF).iter().any(|b| b.ended == set.ended), !beaten);
        }
        assert_eq!(most_for(&sets, OF, 3).map(|b| b.load), Some(Mass::grams(80_000)));
        assert_eq!(most_for(&sets, OF, 13), None);
    }

    #[test]
    fn a_new_best_names_the_one_before() {
        let sets = [on(3, 77_500, 5), on(3, 85_000, 2), on(10, 80_000, 5)];
        let new = new_on(&sets, OF, on(10, 0, 0).day);
        assert_eq!(new.len(), 1);
        let before = new[0].before.as_ref().expect("one before");
        assert_eq!((before.load, before.day), (Mass::grams(77_500), on(3, 0, 0).day));
        assert_eq!(new[0].best_from_reps, 3, "85 kg for two stands");
        assert!(new_on(&sets, OF, on(3, 0, 0).day).is_empty(), "a first day has nothing to beat");
        let warm_up = SetDone { working: false, ..on(12, 200_000, 5) };
        assert!(new_on(&[sets[0].clone(), warm_up], OF, on(12, 0, 0).day).is_empty());
    }

    #[test]
    fn equalling_a_best_is_not_a_new_one() {
        let sets = [on(3, 80_000, 5), on(10, 80_000, 5)];
        assert!(new_on(&sets, OF, on(10, 0, 0).day).is_empty());
        assert_eq!(curve(&sets, OF)[0].day, on(3, 0, 0).day, "the earliest keeps it");
    }
}
