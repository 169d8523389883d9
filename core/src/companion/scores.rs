//! Published scores of the three competition lifts, from the log.

use super::findings::MovementFindings;
use crate::load::Mass;
use crate::progress::SetDone;
use crate::progress::scores::{Equipment, Event, Formula, Given, Score, score};
use crate::record::Sex;
use chrono::NaiveDate;
use serde::Serialize;

/// The lifts of a powerlifting total, in the order of the meet.
pub(super) const LIFTS: [&str; 3] = ["barbell_back_squat", "barbell_bench_press", "conventional_deadlift"];
/// Days for which a single stands for a lift. (our assumption)
pub const SINGLE_DAYS: i64 = 84;

/// What a lift of a total is taken from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum From {
    /// A single that was done.
    Single {
        /// The day.
        day: String,
    },
    /// The estimated maximum.
    Estimate {
        /// Its low end.
        low: Mass,
        /// Its high end.
        high: Mass,
    },
}

/// A lift of a total.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Lift {
    /// Id of the movement.
    pub movement: String,
    /// The mass.
    pub mass: Mass,
    /// What it is taken from.
    pub from: From,
}

/// A score with what the intervals of the lifts make of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scored {
    /// The score of the middles.
    pub score: Score,
    /// The points of all low ends together, where a lift is an estimate.
    pub low: Option<f64>,
    /// The points of all high ends together.
    pub high: Option<f64>,
}

/// The scores of a lifter.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scores {
    /// Squat, bench press and deadlift.
    pub lifts: Vec<Lift>,
    /// Body mass.
    pub body_mass: Mass,
    /// Whose formulas.
    pub sex: Sex,
    /// The equipment that is taken: nothing in the log says that a suit or shirt was worn.
    pub equipment: Equipment,
    /// Each formula that has a number.
    pub scores: Vec<Scored>,
    /// Each that has none, with why.
    pub without: Vec<String>,
}

/// What a lift counts: the heaviest single of the last weeks unless the estimate lies wholly above it, else the
/// estimate.
pub(super) fn lift(found: &MovementFindings, sets: &[SetDone], today: NaiveDate) -> Option<Lift> {
    let recent = |s: &&SetDone| {
        s.working && s.reps == 1 && s.side.is_none() && (0..SINGLE_DAYS).contains(&(today - s.day).num_days())
    };
    let single = (sets.iter().filter(recent))
        .filter_map(|s| Some((s.load.filter(|l| !l.is_zero())?, s.day)))
        .max_by_key(|(load, day)| (*load, *day));
    let movement = found.movement.clone();
    match (single, &found.maximum) {
        (Some((mass, day)), maximum) if maximum.as_ref().is_none_or(|m| mass >= m.low) => {
            Some(Lift { movement, mass, from: From::Single { day: day.to_string() } })
        }
        (_, Some(m)) => {
            Some(Lift { movement, mass: m.middle, from: From::Estimate { low: m.low, high: m.high } })
        }
        _ => None,
    }
}

/// The scores; `None` unless each lift has a mass.
pub(super) fn scores(lifts: Vec<Lift>, body_mass: Mass, sex: Sex) -> Option<Scores> {
    if LIFTS.iter().any(|id| !lifts.iter().any(|l| l.movement == *id)) {
        return None;
    }
    let equipment = Equipment::Classic;
    let given = |of: &dyn Fn(&Lift) -> Mass| Given {
        sex,
        body_mass,
        lifts: lifts.iter().map(of).collect(),
        equipment,
        event: Event::FullPower,
    };
    let estimated = lifts.iter().any(|l| matches!(l.from, From::Estimate { .. }));
    let end = |low: bool| {
        given(&move |l: &Lift| match &l.from {
            From::Single { .. } => l.mass,
            From::Estimate { low: least, high } => {
                if low {
                    *least
                } else {
                    *high
                }
            }
        })
    };
    let (mut told, mut without) = (Vec::new(), Vec::new());
    for formula in [Formula::IpfGl, Formula::Dots, Formula::Wilks, Formula::Wilks2, Formula::IpfPoints2019] {
        let at = |g: &Given| estimated.then(|| score(&formula, g).ok().map(|s| s.points)).flatten();
        match score(&formula, &given(&|l| l.mass)) {
            Ok(score) => told.push(Scored { low: at(&end(true)), high: at(&end(false)), score }),
            Err(why) => without.push(why.to_string()),
        }
    }
    Some(Scores { lifts, body_mass, sex, equipment, scores: told, without })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn single(id: &str, kg: u32) -> Lift {
        let from = From::Single { day: "2026-05-03".into() };
        Lift { movement: id.into(), mass: Mass::grams(kg * 1000), from }
    }

    #[test]
    fn a_total_needs_each_of_the_three_lifts() {
        let body = Mass::grams(93_000);
        let two = vec![single(LIFTS[0], 200), single(LIFTS[1], 130)];
        assert_eq!(scores(two.clone(), body, Sex::Male), None);
        let three = [two, vec![single(LIFTS[2], 230)]].concat();
        let told = scores(three, body, Sex::Male).expect("all three are there");
        assert_eq!((told.scores.len(), told.without.len()), (5, 0));
        assert!(told.scores.iter().all(|s| s.low.is_none()), "singles have no interval");
    }

    #[test]
    fn an_estimate_gives_the_points_an_interval() {
        let estimate = Lift {
            from: From::Estimate { low: Mass::grams(190_000), high: Mass::grams(215_000) },
            ..single(LIFTS[0], 200)
        };
        let lifts = vec![estimate, single(LIFTS[1], 130), single(LIFTS[2], 230)];
        let told = scores(lifts.clone(), Mass::grams(93_000), Sex::Female).expect("all are there");
        for s in &told.scores {
            let (low, high) = (s.low.expect("a low end"), s.high.expect("a high end"));
            assert!(low < s.score.points && s.score.points < high, "{s:?}");
        }
        let told = scores(lifts, Mass::grams(12_000), Sex::Female).expect("all are there");
        assert!(told.scores.is_empty() && told.without.len() == 5, "outside every formula's bounds");
    }
}
