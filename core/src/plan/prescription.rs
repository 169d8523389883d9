//! Repetitions, reserve and rest of a line, from its tier and the goal, eased where safety asks.

use super::brief::Goal;
use super::weights::Weights;
use crate::catalogue::{Measure, Movement, Tier};
use crate::safety::Ease;
use crate::terms::{floor_of_rest_s, heavy_set};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a set is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prescription {
    /// Fewest repetitions (seconds of a hold, metres of a carry).
    pub low: i32,
    /// Most.
    pub high: i32,
    /// Repetitions to leave in reserve; for holds and carries, seconds or metres are stopped short likewise.
    pub reserve: i32,
    /// Rest after the set, seconds.
    pub rest_s: i32,
}

impl Prescription {
    /// Whether its heaviest sets are heavy.
    pub fn heavy(&self) -> bool {
        heavy_set(self.low, self.reserve)
    }
}

/// Blends three numbers by the goal, rounded half up.
pub(super) fn blend(goal: Goal, strength: i32, size: i32, health: i32) -> i32 {
    let parts = [goal.strength, goal.size, goal.health].map(|p| i64::from(p.min(100)));
    let total: i64 = parts.iter().sum::<i64>().max(1);
    let sum = parts[0] * i64::from(strength) + parts[1] * i64::from(size) + parts[2] * i64::from(health);
    ((2 * sum + total) / (2 * total)) as i32
}

/// The prescription of a movement at the block's peak.
pub fn prescribe(weights: &Weights, goal: Goal, movement: &Movement, ease: Ease) -> Prescription {
    let row = weights.prescription.iter().find(|p| p.tier == movement.tier.word());
    let Some(row) = row else {
        return Prescription { low: 8, high: 12, reserve: 2, rest_s: 120 };
    };
    let of = |f: &dyn Fn(usize) -> i32| blend(goal, f(0), f(1), f(2));
    let mut low = of(&|k| row.reps[k].0);
    let mut high = of(&|k| row.reps[k].1).max(low + 1);
    if low < ease.reps_at_least {
        high = (ease.reps_at_least + (high - low).max(2)).max(high);
        low = ease.reps_at_least;
    }
    let reserve = of(&|k| row.reserve[k]).max(ease.reserve_at_least);
    let heavy = matches!(movement.tier, Tier::Main | Tier::Compound) && heavy_set(low, reserve);
    let mut rest_s = of(&|k| row.rest_s[k]) / 5 * 5;
    if !heavy {
        rest_s = rest_s.min(weights.timing.rest_most_otherwise_s);
    }
    let rest_s = rest_s.max(floor_of_rest_s(heavy));
    match movement.measure {
        Measure::Repetitions => Prescription { low, high, reserve, rest_s },
        // Seconds of a hold, metres of a carry (common practice, no source).
        Measure::Hold | Measure::Carry => Prescription { low: 20, high: 40, reserve, rest_s },
    }
}

/// Seconds of work in one set.
pub fn work_s(weights: &Weights, movement: &Movement, p: Prescription) -> i32 {
    let sides = if movement.laterality == crate::catalogue::Laterality::Each { 2 } else { 1 };
    let once = if movement.tier == Tier::Trunk || movement.measure != Measure::Repetitions {
        weights.timing.trunk_set_s
    } else {
        ((p.low + p.high) * weights.timing.repetition_tenths + 10) / 20
    };
    once * sides
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blends_round_half_up() {
        let even = Goal { strength: 50, size: 50, health: 0 };
        assert_eq!(blend(even, 3, 6, 6), 5);
        assert_eq!(blend(even, 5, 10, 10), 8);
        assert_eq!(blend(Goal { strength: 1, size: 0, health: 0 }, 3, 6, 6), 3);
    }
}
