//! What stands in the way: limits and removals, by name.

use crate::catalogue::Catalogue;
use crate::plan::filter::Removal;
use crate::plan::model::{Instance, Limit, Slot, Week, broken_limits, slack_of_day};
use crate::safety::Refusal;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Something that stands in the way, by ids of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Barrier {
    /// A usual discomfort that the movement loads too much.
    Discomfort {
        /// Id of the region.
        region: String,
        /// 1 mild to 3 severe.
        severity: i32,
    },
    /// A new or worse discomfort: left out until care was taken.
    NewDiscomfort {
        /// Id of the region.
        region: String,
    },
    /// A region operated on, whose written limits are not entered.
    AfterSurgery {
        /// Id of the region.
        region: String,
    },
    /// A region that a confirmed flag or licensed care keeps out until a return gives it back.
    RegionOut {
        /// Id of the region.
        region: String,
    },
    /// Done lying on the back, which is to be left out.
    LyingOnBack,
    /// Done lying on the front, which is to be left out.
    LyingOnFront,
    /// A barbell over the chest with neither safeties nor a spotter.
    AloneWithoutSafeties,
    /// Kit that is not at hand.
    Kit {
        /// Ids of the missing kit.
        missing: Vec<String>,
    },
    /// Forbidden by the lifter.
    Forbidden,
    /// Its technique comes later.
    Skill,
    /// Another movement does all that it does at no greater cost.
    Dominated {
        /// Id of the other.
        by: String,
    },
    /// The seconds of a session.
    Time,
    /// The number of movements in a session.
    Movements,
    /// The number of single-joint movements in a session.
    SingleJoint,
    /// Single-joint movements may not outnumber the compounds of a session.
    SingleJointOverCompounds,
    /// Single-joint sets take at most a third of a session.
    SingleJointThird,
    /// The number of trunk and carry movements in a session.
    Trunk,
    /// Movements of one pattern in a session.
    Pattern {
        /// Id of the pattern.
        pattern: String,
    },
    /// One movement that loads the spine most in a session.
    AxialThree,
    /// A heavy squat and a heavy pull from the floor are not done in one session.
    HeavyPair,
    /// Load down the spine in a session.
    Axial,
    /// Fatigue of a session.
    Fatigue,
    /// Demand on the grip in a session.
    Grip,
    /// Work of one muscle in a session.
    Muscle {
        /// Id of the muscle.
        muscle: String,
    },
    /// Sessions a week of one movement.
    MostPerWeek {
        /// Id of the movement.
        movement: String,
        /// Most sessions.
        most: i32,
    },
    /// Sets outside what the movement is done with.
    SetsRange {
        /// Id of the movement.
        movement: String,
        /// Fewest sets.
        fewest: i32,
        /// Most sets.
        most: i32,
    },
    /// The movement is already in the session.
    Repeated,
    /// The movement is not in the session from which it should be taken.
    NotThere,
}

/// A barrier with its numbers: what is used of what there is (seconds, movements, sets times load, half-sets).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bound {
    /// What it is.
    pub barrier: Barrier,
    /// What is used.
    pub used: i32,
    /// What there is.
    pub available: i32,
}

/// A day that does not allow something, and what stands in the way there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BlockedDay {
    /// The day, counted from 0.
    pub day: usize,
    /// What stands in the way, at the fewest sets.
    pub barriers: Vec<Barrier>,
}

impl Barrier {
    /// A removal by name.
    pub fn of_removal(removal: &Removal, catalogue: &Catalogue) -> Self {
        let region = |r: usize| catalogue.regions.get(r).map_or_else(String::new, |r| r.id.clone());
        match removal {
            Removal::Safety { refusal } => match *refusal {
                Refusal::Discomfort { region: r, severity } => {
                    Self::Discomfort { region: region(r), severity }
                }
                Refusal::NewDiscomfort { region: r } => Self::NewDiscomfort { region: region(r) },
                Refusal::AfterSurgery { region: r } => Self::AfterSurgery { region: region(r) },
                Refusal::RegionOut { region: r } => Self::RegionOut { region: region(r) },
                Refusal::LyingOnBack => Self::LyingOnBack,
                Refusal::LyingOnFront => Self::LyingOnFront,
                Refusal::AloneWithoutSafeties => Self::AloneWithoutSafeties,
            },
            Removal::Equipment { missing } => {
                Self::Kit { missing: missing.iter().map(|e| catalogue.equipment[*e].id.clone()).collect() }
            }
            Removal::Forbidden => Self::Forbidden,
            Removal::Skill => Self::Skill,
            Removal::Dominated { by } => Self::Dominated { by: catalogue.movements[*by].id.clone() },
        }
    }

    /// A limit by name. `movement` is the one that was being placed.
    pub(super) fn of_limit(instance: &Instance, limit: Limit, movement: Option<usize>) -> Self {
        match limit {
            Limit::Repeated => Self::Repeated,
            Limit::SetsRange => {
                let m = movement.map(|m| &instance.movements[m]);
                Self::SetsRange {
                    movement: m.map_or_else(String::new, |m| m.id.clone()),
                    fewest: m.map_or(0, |m| m.sets_min),
                    most: m.map_or(0, |m| m.sets_max),
                }
            }
            Limit::Time => Self::Time,
            Limit::Movements => Self::Movements,
            Limit::SingleJoint => Self::SingleJoint,
            Limit::SingleJointOverCompounds => Self::SingleJointOverCompounds,
            Limit::SingleJointThird => Self::SingleJointThird,
            Limit::Trunk => Self::Trunk,
            Limit::Pattern(p) => Self::Pattern { pattern: instance.patterns[p].id.clone() },
            Limit::AxialThree => Self::AxialThree,
            Limit::HeavyPair => Self::HeavyPair,
            Limit::Axial => Self::Axial,
            Limit::Fatigue => Self::Fatigue,
            Limit::Grip => Self::Grip,
            Limit::Muscle(g) => Self::Muscle { muscle: instance.muscles[g].id.clone() },
            Limit::Exposures(m) => Self::MostPerWeek {
                movement: instance.movements[m].id.clone(),
                most: instance.movements[m].exposures_max,
            },
        }
    }
}

/// Whether the lines of a day keep its limits.
pub(super) fn day_keeps(instance: &Instance, day: usize, slots: &[Slot]) -> bool {
    let seconds: i32 = slots
        .iter()
        .map(|s| (&instance.movements[s.movement], s.sets))
        .map(|(m, sets)| m.fixed_s + (m.set_s - instance.prices.pair_saves_s) * sets)
        .sum();
    // Cheap tests first: most trials fail on time or count.
    seconds <= instance.days[day].time_s
        && slots.len() as i32 <= instance.days[day].movements_max
        && slack_of_day(instance, day, slots).iter().all(|s| s.used <= s.available)
}

/// Whether the whole week keeps its limits.
pub(super) fn week_keeps(instance: &Instance, week: &Week) -> bool {
    broken_limits(instance, week).is_empty()
}

/// The limits that `week` breaks, by name, each once; `movement` is the one that was being placed.
pub(super) fn broken_by_name(instance: &Instance, week: &Week, movement: Option<usize>) -> Vec<Barrier> {
    let mut out: Vec<Barrier> = Vec::new();
    for (_, limit) in broken_limits(instance, week) {
        let barrier = Barrier::of_limit(instance, limit, movement);
        if !out.contains(&barrier) {
            out.push(barrier);
        }
    }
    out
}
