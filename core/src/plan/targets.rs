//! Weekly sets for each muscle: the defaults of the goal, or the lifter's own.

use super::brief::Brief;
use super::prescription::blend;
use super::weights::Weights;
use crate::catalogue::Catalogue;

/// A muscle's weekly range in half-sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Target {
    /// Minimum.
    pub minimum: i32,
    /// Target.
    pub target: i32,
    /// Maximum.
    pub maximum: i32,
    /// Given by the lifter or coach.
    pub own: bool,
}

/// The ranges of all muscles, in half-sets, `minimum <= target <= maximum`.
pub(super) fn targets(brief: &Brief, catalogue: &Catalogue, weights: &Weights) -> Vec<Target> {
    let row = |goal: &str, major: bool| {
        weights
            .target
            .iter()
            .find(|t| t.goal == goal)
            .map_or((0, 0, 0), |t| if major { t.major } else { t.minor }[brief.training_age as usize])
    };
    catalogue
        .muscles
        .iter()
        .map(|m| {
            if let Some(own) = brief.muscle_sets.iter().find(|o| o.muscle == m.id) {
                // Numbers out of order are told in a notice; the larger is used for those below it.
                let target = own.target.max(own.minimum);
                let maximum = own.maximum.max(target);
                let half = |sets: u32| 2 * sets as i32;
                return Target {
                    minimum: half(own.minimum),
                    target: half(target),
                    maximum: half(maximum),
                    own: true,
                };
            }
            let support = weights.support.muscles.contains(&m.id);
            let (strength, size, health) = if support {
                (weights.support.target, weights.support.target, weights.support.target)
            } else {
                (row("strength", m.major), row("size", m.major), row("health", m.major))
            };
            let minimum = blend(brief.goal, 2 * strength.0, 2 * size.0, 2 * health.0);
            let target = blend(brief.goal, 2 * strength.1, 2 * size.1, 2 * health.1).max(minimum);
            let maximum = blend(brief.goal, 2 * strength.2, 2 * size.2, 2 * health.2).max(target);
            Target { minimum, target, maximum, own: false }
        })
        .collect()
}
