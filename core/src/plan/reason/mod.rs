//! Reasons from the numbers: why a line is there, what stops more, what is missing and what would bring it,
//! the price of a change, and why something asked for is impossible.
//!
//! Everything is data with ids of the catalogue; [`crate::words`] turns it into sentences. Every number comes
//! from the same scorer as the plan, and what is said to help was solved again before it is said.

mod barrier;
mod compare;
mod conflict;
mod demand;
mod impossible;
mod lines;
mod price;
mod shortfall;
mod steps;
mod stops;

pub use barrier::{Barrier, BlockedDay, Bound};
pub use compare::{Difference, LineChange, MuscleChange, TermChange};
pub use demand::Demand;
pub use impossible::{Impossible, WAY_EFFORT, Way};
pub use lines::{Alternative, Asked, Exchanged, Here, LineReason};
pub use price::{Change, ChangeFault, Outcome, PRICE_EFFORT, Price};
pub(in crate::plan) use price::{conform, meets};
pub use shortfall::{
    Because, DaysShort, GroupShort, MuscleShort, Remedy, SessionsChange, Shortfalls, WishShort,
};
pub use steps::{Step, take};
pub use stops::{Addition, Stop, Stops};

use super::brief::{Brief, Weekday};
use super::model::{Slot, Week};
use super::{Case, Keep, Planner, Solved, build};

/// Gives reasons for a solved brief.
///
/// Keeps the case in which dominated movements are left in, so that each can be an alternative or be forced;
/// make one and ask it often.
#[derive(Debug, Clone)]
pub struct Reasoner<'a> {
    planner: Planner<'a>,
    brief: &'a Brief,
    case: Case,
    week: Week,
    held: Vec<Change>,
}

impl<'a> Reasoner<'a> {
    /// A reasoner on `solved`, which `planner` made of `brief`.
    pub fn new(planner: Planner<'a>, brief: &'a Brief, solved: &Solved) -> Self {
        let case = build(brief, planner.catalogue, planner.weights, Keep::All);
        let week = translate(&solved.case, &solved.week, &case);
        Self { planner, brief, case, week, held: Vec::new() }
    }

    /// The same, where changes are held: the price of another is asked beside them.
    #[must_use]
    pub fn holding(mut self, held: &[Change]) -> Self {
        self.held = held.to_vec();
        self
    }

    /// The case in which the reasons are reckoned: all movements that the brief leaves.
    pub fn case(&self) -> &Case {
        &self.case
    }

    /// The week in the numbers of [`Self::case`], lines in their order.
    pub fn week(&self) -> &Week {
        &self.week
    }

    /// The weekday of each training day.
    pub fn weekdays(&self) -> Vec<Weekday> {
        let of = |d: &super::model::Day| Weekday::ALL[d.weekday.rem_euclid(7) as usize];
        self.case.instance.days.iter().map(of).collect()
    }

    fn id(&self, movement: usize) -> String {
        self.case.instance.movements[movement].id.clone()
    }

    /// Index in the case of a movement by id.
    fn position(&self, id: &str) -> Option<usize> {
        self.case.instance.movements.iter().position(|m| m.id == id)
    }
}

/// The same week in the numbers of another case; lines of movements that are not in it are left out, and days
/// that it does not have.
pub(in crate::plan) fn translate(from: &Case, week: &Week, to: &Case) -> Week {
    let mut days: Vec<Vec<Slot>> = week
        .days
        .iter()
        .take(to.instance.days.len())
        .map(|slots| {
            let line = |s: &Slot| {
                let movement = to.position(*from.movements.get(s.movement)?)?;
                Some(Slot { movement, sets: s.sets })
            };
            slots.iter().filter_map(line).collect()
        })
        .collect();
    days.resize(to.instance.days.len(), Vec::new());
    Week { days }
}
