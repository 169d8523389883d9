//! A certified lower bound on the price of the best week of an [`Instance`].
//!
//! The couplings of the week are relaxed with multipliers (`relaxation` states the bound and why it holds);
//! each day and each movement's week is then priced exactly (`day_price`, `movement_price`). A linear
//! programme over the days and weeks found so far proposes the multipliers (`master`), in points between its
//! duals and the best so far. What the incumbent rules out leaves the instance, and the rest is split, the
//! weakest part first (`branch`). Floats choose the multipliers; the bound itself is integers.

mod branch;
mod check;
mod day_bound;
mod day_price;
mod day_search;
mod day_table;
mod master;
mod movement_price;
mod multipliers;
mod relaxation;
mod simplex;

use super::model::{Instance, Week, broken_limits, score};
use branch::{Node, Outcome, Tree};
pub use day_price::{DayAnswer, DayPricer, DayPrices, SCALE};
use relaxation::points_up;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Ticks beyond anything that an instance can cost.
const UNKNOWN: i64 = 1 << 58;

/// How much work a bound may cost: a count of operations, the same on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Operations, each about a nanosecond on a processor of the 2020s.
    pub work: u64,
}

impl Effort {
    /// About so many milliseconds of one core.
    pub fn of_about_ms(ms: u64) -> Self {
        Self { work: ms.saturating_mul(1_000_000) }
    }
}

/// What is known while the bound rises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// The bound so far.
    pub points: i64,
    /// Work so far.
    pub work: u64,
    /// Work allowed.
    pub work_max: u64,
}

/// A lower bound, and what it cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bound {
    /// No week within the hard limits costs fewer points.
    pub points: i64,
    /// The incumbent that was given costs exactly this.
    pub proved_optimal: bool,
    /// Parts of the space of weeks that were bounded.
    pub nodes: u64,
    /// Evaluations of the relaxation.
    pub evaluations: u64,
    /// Work done.
    pub work: u64,
}

/// A lower bound on the points of every week of `instance`, and of at most the points of `incumbent`.
///
/// `control` is called after every evaluation and stops the work by returning false; the bound so far is
/// returned. An instance that is malformed (indices or numbers out of range) gets 0; an incumbent that breaks
/// a limit is ignored. The same input gives the same bound.
pub fn lower_bound(
    instance: &Instance,
    incumbent: Option<&Week>,
    effort: Effort,
    control: &mut dyn FnMut(Progress) -> bool,
) -> Bound {
    let mut bound = Bound { points: 0, proved_optimal: false, nodes: 0, evaluations: 0, work: 0 };
    if !check::is_sound(instance) {
        return bound;
    }
    let incumbent = incumbent.filter(|week| is_feasible(instance, week));
    let upper = incumbent.map_or(i64::MAX, |week| score(instance, week).total());
    let days = incumbent.map_or(&[][..], |week| &week.days);
    let mut tree = Tree::new(instance, upper, days, effort.work);
    // Parts not yet done, by floor and age; and the least floor of those that will not be split again.
    let mut open: BTreeMap<(i64, Reverse<u64>), Node> = BTreeMap::new();
    let mut done = i64::MAX;
    let mut age = 0;
    open.insert((i64::MIN, Reverse(0)), tree.root());
    while let Some(((floor, age_of), mut node)) = open.pop_first() {
        if floor > i64::MIN && (points_up(floor) >= upper || floor >= done) {
            open.insert((floor, age_of), node);
            break;
        }
        bound.nodes += 1;
        let others = open.first_key_value().map_or(done, |(k, _)| k.0.min(done));
        let outcome = tree.process(&mut node, &mut |floor, work| {
            let least = floor.min(others).max(-UNKNOWN);
            control(Progress { points: points_up(least).min(upper), work, work_max: effort.work })
        });
        match outcome {
            // Nothing in it is better than the incumbent, so it says nothing of what is.
            Outcome::Closed => {}
            Outcome::Stuck => done = done.min(node.floor),
            Outcome::Paused => {
                done = done.min(node.floor);
                break;
            }
            Outcome::Split(a, b) => {
                for child in [a, b] {
                    age += 1;
                    open.insert((child.floor, Reverse(age)), *child);
                }
            }
        }
    }
    let least = open.first_key_value().map_or(done, |(k, _)| k.0.min(done));
    bound.evaluations = tree.evaluations;
    bound.work = tree.work();
    if least > i64::MIN && (least < i64::MAX || upper < i64::MAX) {
        bound.points = points_up(least.min(UNKNOWN)).min(upper);
    }
    bound.proved_optimal = bound.points == upper;
    bound
}

fn is_feasible(instance: &Instance, week: &Week) -> bool {
    week.days.len() == instance.days.len()
        && week.days.iter().flatten().all(|s| s.movement < instance.movements.len())
        && broken_limits(instance, week).is_empty()
}
