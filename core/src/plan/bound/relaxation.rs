//! The bound itself: a sum of small problems priced exactly, in integers.
//!
//! Write `x[d]` for the lines of day `d`, `n[m]` and `s[m]` for the sessions and sets of movement `m` in the
//! week. The week couples the days by `n[m] = sum_d sessions` and `s[m] = sum_d sets`, and by the muscles,
//! groups and balances. Each coupling is left out and priced by a multiplier instead; for **any** multipliers
//! within their ranges
//!
//! ```text
//! sum_g (a_g minimum_g + b_g target_g - c_g maximum_g)      half-sets, a <= below_minimum, b <= below_target
//!   + sum_k r_k wanted_k                                    base groups, r <= group_missing
//!   + sum_g min over z of (day_missing (days_wanted - z)+ + h_g z)
//!   + sum_k min over z of (q_k z)                           group exposures, z in the branch's range
//!   + sum_m min over (n, s) of week(m, n, s)                [movement_price]
//!   + sum_d min over lines of day(d, lines)                 [day_price]
//! ```
//!
//! is at most the price of every week. The terms between near days are at least 0 and left out.

use super::day_price::{DayAnswer, DayPricer, DayPrices, SCALE};
use super::movement_price::{MovementPricer, WeekOption, sessions_cost, sessions_max};
use super::multipliers::{Kind, Layout, kinds_of_days};
use crate::plan::model::{Instance, Slot};

/// What branching has decided: ranges that the week's counts are held in, both ends included.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ranges {
    /// Sessions of each movement.
    pub(super) sessions: Vec<(i32, i32)>,
    /// Sets of each movement in the week.
    pub(super) sets: Vec<(i32, i32)>,
    /// Days of each muscle.
    pub(super) hits: Vec<(i32, i32)>,
    /// Exposures of each base group.
    pub(super) groups: Vec<(i32, i32)>,
}

impl Ranges {
    /// The ranges of the instance itself.
    pub(super) fn whole(instance: &Instance) -> Self {
        let days = instance.days.len() as i32;
        let exposures: i32 = instance.days.iter().map(|d| d.movements_max.max(0)).sum();
        Self {
            sessions: (0..instance.movements.len()).map(|m| (0, sessions_max(instance, m))).collect(),
            sets: (0..instance.movements.len())
                .map(|m| (0, sessions_max(instance, m) * instance.movements[m].sets_max))
                .collect(),
            hits: vec![(0, days); instance.muscles.len()],
            groups: (0..instance.groups.len())
                .map(|k| {
                    let members = (0..instance.movements.len())
                        .filter(|&m| instance.movements[m].group == Some(k))
                        .map(|m| sessions_max(instance, m));
                    (0, members.sum::<i32>().min(exposures))
                })
                .collect(),
        }
    }
}

impl Ranges {
    /// Draws what the groups' ranges say of their movements and the reverse. False when nothing is left.
    pub(super) fn propagate(&mut self, instance: &Instance) -> bool {
        for (m, movement) in instance.movements.iter().enumerate() {
            let (sessions, sets) = (&mut self.sessions[m], &mut self.sets[m]);
            sets.0 = sets.0.max(sessions.0 * movement.sets_min);
            sets.1 = sets.1.min(sessions.1 * movement.sets_max);
            sessions.0 = sessions.0.max((sets.0 + movement.sets_max - 1) / movement.sets_max);
            sessions.1 = sessions.1.min(sets.1 / movement.sets_min);
            if sets.0 > sets.1 || sessions.0 > sessions.1 {
                return false;
            }
        }
        for (k, group) in self.groups.iter_mut().enumerate() {
            let member = |m: usize| instance.movements[m].group == Some(k);
            let members = || (0..instance.movements.len()).filter(|&m| member(m));
            let low: i32 = members().map(|m| self.sessions[m].0).sum();
            let high: i32 = members().map(|m| self.sessions[m].1).sum();
            *group = (group.0.max(low), group.1.min(high));
            if group.0 > group.1 {
                return false;
            }
            for m in members() {
                let range = &mut self.sessions[m];
                range.0 = range.0.max(group.0 - (high - range.1));
                range.1 = range.1.min(group.1 - (low - range.0.min(range.1)));
                if range.0 > range.1 {
                    return false;
                }
            }
        }
        true
    }
}

/// The relaxation at one vector of multipliers.
#[derive(Debug)]
pub(super) struct Evaluation {
    /// No week within the ranges costs less (ticks).
    pub(super) floor: i64,
    /// The multipliers used.
    pub(super) at: Vec<i64>,
    /// For each movement its cheapest week for each number of sessions in range.
    pub(super) weeks: Vec<Vec<WeekOption>>,
    /// For each kind of day its price.
    pub(super) days: Vec<DayAnswer>,
}

/// Evaluates the relaxation.
pub(super) struct Relaxation<'a> {
    pub(super) instance: &'a Instance,
    pub(super) layout: Layout,
    pub(super) kinds: Vec<Kind>,
    pub(super) pricers: Vec<DayPricer<'a>>,
    pub(super) weeks: MovementPricer,
    /// Work so far, in units of about a nanosecond.
    pub(super) work: u64,
}

impl<'a> Relaxation<'a> {
    pub(super) fn new(instance: &'a Instance) -> Self {
        let kinds = kinds_of_days(instance);
        let pricers = kinds.iter().map(|k| DayPricer::new(instance, &instance.days[k.days[0]])).collect();
        Self {
            instance,
            layout: Layout::new(instance, kinds.len()),
            kinds,
            pricers,
            weeks: MovementPricer::default(),
            work: 0,
        }
    }

    /// Ticks from floats; a movement that is not `active` gets its break-even prices.
    pub(super) fn multipliers(&mut self, point: &[f64], active: &[bool], ranges: &Ranges) -> Vec<i64> {
        let (i, l) = (self.instance, self.layout);
        let mut at = l.round(i, &self.kinds, point);
        for m in 0..i.movements.len() {
            let most = ranges.sessions[m].1;
            if !active[m] && most > 0 {
                let (session, set) = self.weeks.break_even(i, &l, &at, m, most);
                at[l.session(m)] = session;
                at[l.set(m)] = set;
            }
        }
        at
    }

    /// The bound at `at`. `hints` holds days known to be within the limits, for each kind of day; a day's
    /// price may stay `slack` below the truth, and costs at most `nodes_max` nodes.
    pub(super) fn evaluate(
        &mut self,
        at: Vec<i64>,
        ranges: &Ranges,
        hints: &[Vec<&[Slot]>],
        slack: i64,
        nodes_max: u64,
    ) -> Evaluation {
        let (i, l) = (self.instance, self.layout);
        let mut floor = 0;
        for (g, muscle) in i.muscles.iter().enumerate() {
            floor += at[l.minimum(g)] * i64::from(muscle.minimum)
                + at[l.target(g)] * i64::from(muscle.target)
                - at[l.maximum(g)] * i64::from(muscle.maximum);
            floor += self.hit_costs(&at, g, ranges.hits[g]).min().unwrap_or(0);
        }
        for (k, group) in i.groups.iter().enumerate() {
            let (low, high) = ranges.groups[k];
            let price = at[l.count(k)];
            floor += at[l.group(k)] * i64::from(group.exposures_wanted.max(0));
            floor += (price * i64::from(low)).min(price * i64::from(high));
        }
        let mut weeks = Vec::with_capacity(i.movements.len());
        for m in 0..i.movements.len() {
            let range = ranges.sessions[m];
            let options = if range.1 == 0 && ranges.sets[m].0 == 0 {
                vec![WeekOption { cost: SCALE * sessions_cost(i, m, 0), sessions: 0, sets: 0 }]
            } else {
                self.weeks.options(i, &l, &at, m, range, ranges.sets[m])
            };
            floor += options.iter().map(|o| o.cost).min().unwrap_or(0);
            weeks.push(options);
        }
        self.work += 300 * i.movements.len() as u64;
        let allowed: Vec<bool> = ranges.sessions.iter().map(|r| r.1 > 0).collect();
        let mut days = Vec::with_capacity(self.kinds.len());
        for (k, kind) in self.kinds.iter().enumerate() {
            let prices = DayPrices {
                session: (0..i.movements.len()).map(|m| at[l.session(m)]).collect(),
                set: (0..i.movements.len()).map(|m| at[l.set(m)]).collect(),
                second: SCALE + at[l.longest(k)],
                hit: (0..i.muscles.len()).map(|g| at[l.hit(g)]).collect(),
            };
            let answer = self.pricers[k].price(&prices, &allowed, &hints[k], slack, nodes_max);
            self.work += answer.cells / 2 + 160 * answer.nodes + 60 * hints[k].len() as u64;
            floor += answer.floor * kind.days.len() as i64;
            days.push(answer);
        }
        Evaluation { floor, at, weeks, days }
    }

    /// What each number of days of a muscle within `range` costs.
    pub(super) fn hit_costs(
        &self,
        at: &[i64],
        muscle: usize,
        range: (i32, i32),
    ) -> impl Iterator<Item = i64> + use<> {
        let price = SCALE * i64::from(self.instance.prices.day_missing);
        let wanted = self.instance.muscles[muscle].days_wanted;
        let worth = at[self.layout.hit(muscle)];
        (range.0..=range.1).map(move |z| price * i64::from((wanted - z).max(0)) + worth * i64::from(z))
    }
}

/// Whole points that are at least so many ticks.
pub(super) fn points_up(ticks: i64) -> i64 {
    -(-ticks).div_euclid(SCALE)
}
