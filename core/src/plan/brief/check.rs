//! Contradictions that are told before solving, never silently clipped.

use super::{Brief, WishKind};
use crate::plan::reason::Barrier;
use serde::Serialize;

/// A contradiction or a stretch in a brief that can be read: the plan is made, and this is said beside it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Notice {
    /// A movement is both required (or preferred, or to carry the programme) and forbidden: forbidding wins.
    RequiredAndForbidden {
        /// Id of the movement.
        movement: String,
    },
    /// More sessions of a movement are asked than are possible.
    AskedMoreThanPossible {
        /// Id of the movement.
        movement: String,
        /// Sessions asked.
        asked: i32,
        /// Sessions possible.
        possible: i32,
        /// Why not more.
        because: PossibleBecause,
    },
    /// Own weekly sets are out of order; the larger is used for those below it.
    TargetOrder {
        /// Id of the muscle.
        muscle: String,
    },
    /// Every muscle is a priority, which is the same as none.
    EveryMuscleFirst,
    /// The minutes do not hold one movement.
    TimeBelowOneMovement {
        /// The session (0-based).
        day: usize,
        /// Fewest useful minutes.
        useful_minutes: i32,
    },
    /// A movement that should carry the programme cannot be used.
    CarryingNotPossible {
        /// Id of the movement.
        movement: String,
    },
    /// So much is sore that licensed care comes first; light work on the rest is what is left.
    SeeCareFirst,
    /// Everything, or nearly everything, is forbidden or out of reach.
    NothingLeft,
    /// Only light to moderate work is planned, since the self-screening is open or says so.
    LightToModerate,
    /// A base group cannot be trained: by the lifter's choice, or for want of kit or because of limits.
    GroupUnavailable {
        /// Id of the base group.
        group: String,
        /// By the lifter's own choice.
        by_choice: bool,
    },
    /// A muscle cannot be trained at all.
    MuscleUnavailable {
        /// Id of the muscle.
        muscle: String,
    },
    /// A barbell lift is not offered to a lifter alone without safeties.
    NotOfferedAlone {
        /// Id of the movement asked for.
        movement: String,
    },
    /// A required movement is out of the plan.
    RequiredButOut {
        /// Id of the movement asked for.
        movement: String,
        /// What keeps it out.
        barrier: Barrier,
    },
    /// A weekday preference could not be kept.
    WeekdaysTooFew {
        /// Days asked.
        days: u32,
        /// Weekdays named.
        named: usize,
    },
}

/// Why no more sessions are possible.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PossibleBecause {
    /// The week has so many training days.
    Days,
    /// The movement is not done more often in a week.
    MostPerWeek,
}

impl Brief {
    /// Notices that need only the brief.
    pub(in crate::plan) fn contradictions(&self, muscles: usize) -> Vec<Notice> {
        let mut out = Vec::new();
        let forbidden = |id: &str| {
            self.wishes.iter().any(|w| w.wish == WishKind::Forbid && w.movement.as_deref() == Some(id))
        };
        let mut told: Vec<&str> = Vec::new();
        let wished = self
            .wishes
            .iter()
            .filter(|w| matches!(w.wish, WishKind::Require | WishKind::Prefer))
            .filter_map(|w| w.movement.as_deref());
        for id in wished.chain(self.carrying.iter().flatten().map(String::as_str)) {
            if forbidden(id) && !told.contains(&id) {
                told.push(id);
                out.push(Notice::RequiredAndForbidden { movement: id.to_owned() });
            }
        }
        for m in &self.muscle_sets {
            if m.minimum > m.target || m.target > m.maximum {
                out.push(Notice::TargetOrder { muscle: m.muscle.clone() });
            }
        }
        let mut first: Vec<&String> = self.priorities.iter().collect();
        first.sort();
        first.dedup();
        if first.len() == muscles {
            out.push(Notice::EveryMuscleFirst);
        }
        if self.light_to_moderate() {
            out.push(Notice::LightToModerate);
        }
        if !self.weekdays.is_empty() {
            let mut named = self.weekdays.clone();
            named.sort();
            named.dedup();
            if named.len() < self.days as usize {
                out.push(Notice::WeekdaysTooFew { days: self.days, named: named.len() });
            }
        }
        out
    }
}
