//! The multipliers of the relaxation: where each lies in a flat vector, and how floats become integers.
//!
//! A vector of floats is what the linear programme proposes; [`Layout::round`] makes of it ticks of 1/840
//! point within the range that keeps the bound valid.

use super::day_price::SCALE;
use crate::plan::model::Instance;

/// Days with the same limits: they share a price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Kind {
    /// Indices of the days.
    pub(super) days: Vec<usize>,
}

/// Groups the days by their limits.
pub(super) fn kinds_of_days(instance: &Instance) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for (d, day) in instance.days.iter().enumerate() {
        let same = |k: &&mut Kind| {
            let other = &instance.days[k.days[0]];
            let mut other = other.clone();
            (other.weekday, other.warm_up_s) = (day.weekday, day.warm_up_s);
            other == *day
        };
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.days.push(d),
            None => kinds.push(Kind { days: vec![d] }),
        }
    }
    kinds
}

/// Positions in the vector of multipliers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layout {
    muscles: usize,
    groups: usize,
    movements: usize,
    kinds: usize,
}

impl Layout {
    pub(super) fn new(instance: &Instance, kinds: usize) -> Self {
        Self {
            muscles: instance.muscles.len(),
            groups: instance.groups.len(),
            movements: instance.movements.len(),
            kinds,
        }
    }

    /// Worth of a half-set up to the muscle's minimum.
    #[allow(clippy::unused_self)] // one of the positions, like the others
    pub(super) fn minimum(&self, muscle: usize) -> usize {
        muscle
    }

    /// Worth of a half-set up to the muscle's target.
    pub(super) fn target(&self, muscle: usize) -> usize {
        self.muscles + muscle
    }

    /// Price of a half-set, for what lies above the muscle's maximum.
    pub(super) fn maximum(&self, muscle: usize) -> usize {
        2 * self.muscles + muscle
    }

    /// Worth of a day of the muscle.
    pub(super) fn hit(&self, muscle: usize) -> usize {
        3 * self.muscles + muscle
    }

    /// Worth of an exposure of the base group, up to those wanted.
    pub(super) fn group(&self, group: usize) -> usize {
        4 * self.muscles + group
    }

    /// Worth of an exposure of the base group whose number is held in a range by branching.
    pub(super) fn count(&self, group: usize) -> usize {
        4 * self.muscles + self.groups + group
    }

    /// Weight of `2 * push - 3 * pull`.
    pub(super) fn push(&self) -> usize {
        4 * self.muscles + 2 * self.groups
    }

    /// Weight of `2 * pull - 3 * push`.
    pub(super) fn pull(&self) -> usize {
        self.push() + 1
    }

    /// A day's part in the price of the longest session.
    pub(super) fn longest(&self, kind: usize) -> usize {
        self.push() + 2 + kind
    }

    /// What a day pays for a session of the movement.
    pub(super) fn session(&self, movement: usize) -> usize {
        self.push() + 2 + self.kinds + movement
    }

    /// What a day pays for a set of the movement.
    pub(super) fn set(&self, movement: usize) -> usize {
        self.session(self.movements) + movement
    }

    pub(super) fn len(&self) -> usize {
        self.set(self.movements)
    }

    /// Ticks, within the ranges that keep the bound valid.
    pub(super) fn round(&self, instance: &Instance, kinds: &[Kind], point: &[f64]) -> Vec<i64> {
        let p = &instance.prices;
        let most = 1e8;
        let mut out: Vec<i64> =
            point.iter().map(|x| (x.clamp(-most, most) * SCALE as f64).round() as i64).collect();
        let mut hold = |at: usize, price: i32| out[at] = out[at].clamp(0, SCALE * i64::from(price));
        for (g, muscle) in instance.muscles.iter().enumerate() {
            hold(self.minimum(g), muscle.below_minimum);
            hold(self.target(g), muscle.below_target);
            hold(self.maximum(g), muscle.above_maximum);
        }
        for g in 0..self.groups {
            hold(self.group(g), p.group_missing);
        }
        // Only one of the two can be positive in a week, so together they may weigh no more than its price.
        hold(self.push(), p.push_pull);
        let push = out[self.push()];
        out[self.pull()] = out[self.pull()].clamp(0, SCALE * i64::from(p.push_pull) - push);
        // The longest session is at least any average of the sessions.
        let mut left = SCALE * i64::from(p.longest);
        for (k, kind) in kinds.iter().enumerate() {
            let days = kind.days.len() as i64;
            let at = self.longest(k);
            out[at] = out[at].clamp(0, left / days);
            left -= days * out[at];
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::model::{Day, Group, Muscle, Prices};

    fn instance() -> Instance {
        let day = |time_s| Day {
            weekday: 0,
            warm_up_s: 0,
            time_s,
            movements_max: 5,
            movements_wanted: 3,
            single_joint_max: 2,
            trunk_max: 1,
            axial_max: 20,
            fatigue_max: 60,
            grip_max: 18,
        };
        Instance {
            format: String::new(),
            catalogue_version: String::new(),
            weights_version: String::new(),
            days: vec![day(1800), day(3600), day(1800)],
            near: Vec::new(),
            muscles: vec![Muscle {
                id: String::new(),
                minimum: 8,
                target: 16,
                maximum: 28,
                below_minimum: 1800,
                below_target: 540,
                above_maximum: 720,
                days_wanted: 2,
                day_threshold: 4,
                session_cap: 16,
            }],
            patterns: Vec::new(),
            groups: vec![Group { id: String::new(), exposures_wanted: 2 }],
            movements: Vec::new(),
            prices: Prices {
                group_missing: 10_800,
                day_missing: 3600,
                near_muscle_free: 14,
                near_muscle: 360,
                near_axial_free: 20,
                near_axial: 180,
                near_heavy: 3600,
                longest: 1,
                few_movements: 1800,
                no_carrying: 1800,
                push_pull: 600,
                pair_saves_s: 0,
            },
        }
    }

    /// Whatever the floats say, what is paid for a unit never exceeds the instance's price for it.
    #[test]
    fn rounding_keeps_every_multiplier_in_its_range() {
        let instance = instance();
        let kinds = kinds_of_days(&instance);
        assert_eq!(kinds.len(), 2, "two days share their limits");
        let l = Layout::new(&instance, kinds.len());
        for value in [-1e12, -7.3, 0.0, 0.4, 1.0, 333.3, 5000.0, 1e12, f64::INFINITY] {
            let at = l.round(&instance, &kinds, &vec![value; l.len()]);
            let within = |k: usize, price: i64| assert!((0..=SCALE * price).contains(&at[k]), "{value}");
            within(l.minimum(0), 1800);
            within(l.target(0), 540);
            within(l.maximum(0), 720);
            within(l.group(0), 10_800);
            assert!(at[l.push()] >= 0 && at[l.pull()] >= 0);
            assert!(at[l.push()] + at[l.pull()] <= SCALE * 600, "{value}");
            let seconds: i64 = (0..kinds.len())
                .map(|k| {
                    assert!(at[l.longest(k)] >= 0);
                    at[l.longest(k)] * kinds[k].days.len() as i64
                })
                .sum();
            assert!(seconds <= SCALE, "{value}");
        }
    }
}
