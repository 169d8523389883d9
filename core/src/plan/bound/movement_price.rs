//! The price of one movement's week: how many sessions, how many sets in all.
//!
//! This part of the relaxation knows what only the week knows of a movement (its use price, its wanted and
//! greatest number of sessions), and credits each muscle with no more than the muscle can use: a movement
//! of 30 half-sets does not close a gap of 12 two and a half times.

use super::day_price::SCALE;
use super::day_table::NEVER;
use super::multipliers::Layout;
use crate::plan::model::{Instance, Side};

/// The cheapest week of a movement for one number of sessions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WeekOption {
    /// Cost in ticks.
    pub(super) cost: i64,
    /// Sessions.
    pub(super) sessions: i32,
    /// Sets in the week.
    pub(super) sets: i32,
}

/// Most sessions that the week holds of `movement`.
pub(super) fn sessions_max(instance: &Instance, movement: usize) -> i32 {
    instance.movements[movement].exposures_max.clamp(0, instance.days.len() as i32)
}

/// Points of a number of sessions: first use and wanted sessions that are missing.
pub(super) fn sessions_cost(instance: &Instance, movement: usize, sessions: i32) -> i64 {
    let m = &instance.movements[movement];
    let missing = (m.exposures_wanted - sessions).max(0);
    i64::from(m.exposure_price) * i64::from(missing) + if sessions > 0 { i64::from(m.use_price) } else { 0 }
}

/// Costs of a movement's weeks under given multipliers, all but those of its sessions and sets.
#[derive(Debug, Default)]
pub(super) struct MovementPricer {
    by_sets: Vec<i64>,
}

impl MovementPricer {
    /// Tables what `0..=sets` sets in the week cost (mostly negative: what they earn).
    fn table(&mut self, instance: &Instance, layout: &Layout, at: &[i64], movement: usize, sets: i32) {
        let m = &instance.movements[movement];
        let side = match m.side {
            Side::None => 0,
            Side::Push => 2 * at[layout.push()] - 3 * at[layout.pull()],
            Side::Pull => 2 * at[layout.pull()] - 3 * at[layout.push()],
        };
        self.by_sets.clear();
        self.by_sets.extend((0..=i64::from(sets)).map(|s| side * s));
        for t in &m.trains {
            let muscle = &instance.muscles[t.muscle];
            let (minimum, target) = (i64::from(muscle.minimum), i64::from(muscle.target));
            let (a, b) = (at[layout.minimum(t.muscle)], at[layout.target(t.muscle)]);
            let c = at[layout.maximum(t.muscle)];
            if a == 0 && b == 0 && c == 0 {
                continue;
            }
            for (s, cost) in self.by_sets.iter_mut().enumerate() {
                let half_sets = i64::from(t.half_sets) * s as i64;
                *cost += c * half_sets - a * half_sets.min(minimum) - b * half_sets.min(target);
            }
        }
    }

    /// What `sessions` sessions cost beside their sets.
    fn fixed(instance: &Instance, layout: &Layout, at: &[i64], movement: usize, sessions: i32) -> i64 {
        let mut cost = SCALE * sessions_cost(instance, movement, sessions);
        if let Some(g) = instance.movements[movement].group {
            let wanted = sessions.min(instance.groups[g].exposures_wanted.max(0));
            cost -= at[layout.group(g)] * i64::from(wanted) + at[layout.count(g)] * i64::from(sessions);
        }
        cost
    }

    /// The cheapest option for each number of sessions in `range`, with sets in `sets_range`; one that has
    /// no such sets costs [`NEVER`].
    pub(super) fn options(
        &mut self,
        instance: &Instance,
        layout: &Layout,
        at: &[i64],
        movement: usize,
        range: (i32, i32),
        sets_range: (i32, i32),
    ) -> Vec<WeekOption> {
        let m = &instance.movements[movement];
        self.table(instance, layout, at, movement, range.1 * m.sets_max);
        let (session, set) = (at[layout.session(movement)], at[layout.set(movement)]);
        (range.0..=range.1)
            .map(|n| {
                let fixed = Self::fixed(instance, layout, at, movement, n) - session * i64::from(n);
                let (low, high) = ((n * m.sets_min).max(sets_range.0), (n * m.sets_max).min(sets_range.1));
                let (cost, sets) = (low..=high)
                    .map(|s| (fixed + self.by_sets[s as usize] - set * i64::from(s), s))
                    .min()
                    .unwrap_or((NEVER, 0));
                WeekOption { cost, sessions: n, sets }
            })
            .collect()
    }

    /// The greatest prices of a session and a set at which the movement's best week is still to leave it
    /// out. Such a price says nothing about the week and as much as it can about the day.
    pub(super) fn break_even(
        &mut self,
        instance: &Instance,
        layout: &Layout,
        at: &[i64],
        movement: usize,
        sessions_max: i32,
    ) -> (i64, i64) {
        let m = &instance.movements[movement];
        let most = sessions_max * m.sets_max;
        self.table(instance, layout, at, movement, most);
        let nothing = Self::fixed(instance, layout, at, movement, 0);
        let mut slopes: Vec<i64> = self.by_sets.windows(2).map(|w| w[1] - w[0]).collect();
        slopes.sort_unstable();
        slopes.dedup();
        let mut best = (i64::MIN, 0, 0);
        for set in slopes {
            let session = (1..=sessions_max)
                .flat_map(|n| {
                    let fixed = Self::fixed(instance, layout, at, movement, n) - nothing;
                    let by_sets = &self.by_sets;
                    (n * m.sets_min..=n * m.sets_max).map(move |s| {
                        (fixed + by_sets[s as usize] - set * i64::from(s)).div_euclid(i64::from(n))
                    })
                })
                .min()
                .unwrap_or(0);
            let worth = 2 * session + set * i64::from(m.sets_min + m.sets_max);
            if worth > best.0 {
                best = (worth, session, set);
            }
        }
        (best.1, best.2)
    }
}
