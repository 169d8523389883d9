//! The price of a change: the week solved again with the change in it, and told beside the week as it is.

use super::barrier::{broken_by_name, week_keeps};
use super::compare::{compare, compare_scored};
use super::conflict::conflict_of;
use super::{Barrier, Demand, Difference, Reasoner};
use crate::plan::held::Hold;
use crate::plan::model::{Instance, Slot, Week, score};
use crate::plan::search::{Effort, Feasible, Range, Ranges, Requirement, Rules, feasible, search};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How hard the price of one change is searched for: chosen to stay well under 60 ms.
pub const PRICE_EFFORT: Effort = Effort { evaluations: 50_000, chains: 2 };
/// Price of a requirement above all others, while a change is searched for.
const ABOVE_ALL: i32 = 20_000_000;

/// A change that the lifter or coach asks about. Days are counted from 0, movements named by id.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Change {
    /// The movement must be there.
    Force {
        /// Id of the movement.
        movement: String,
        /// On this day; on any when absent.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        day: Option<usize>,
    },
    /// The movement must not be there.
    Forbid {
        /// Id of the movement.
        movement: String,
    },
    /// The movement goes from one day to another.
    Move {
        /// Id of the movement.
        movement: String,
        /// Where it is.
        from: usize,
        /// Where it should be.
        to: usize,
    },
    /// The movement is done with exactly so many sets.
    Sets {
        /// The day.
        day: usize,
        /// Id of the movement.
        movement: String,
        /// Sets; 0 takes it off the day.
        sets: i32,
    },
}

/// A change that cannot be understood.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeFault {
    /// No movement has this id.
    #[error("movement: {id:?} is unknown; {remedy}")]
    UnknownMovement {
        /// The id.
        id: String,
        /// What to do.
        remedy: String,
    },
    /// The week has no such day.
    #[error("{field}: the week has {days} days, counted from 0, and no day {day}; give a smaller number")]
    NoSuchDay {
        /// Which field.
        field: &'static str,
        /// The day asked for.
        day: usize,
        /// Days of the week.
        days: usize,
    },
    /// Sets below nought.
    #[error("sets: {sets} is below 0; give 0 to take the movement off the day")]
    NegativeSets {
        /// The number given.
        sets: i32,
    },
}

/// What came of a change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Outcome {
    /// It can be had at this price.
    Priced {
        /// What changes in the week; 0 points is a tie, fewer points a better week than the one at hand.
        difference: Difference,
    },
    /// It is so already.
    AlreadySo,
    /// The movement is out, or the change is none that could be made.
    NotOffered {
        /// Why.
        barrier: Barrier,
    },
    /// Limits forbid it: together these cannot be kept, and without any one of them they could.
    Forbidden {
        /// The demands.
        demands: Vec<Demand>,
    },
    /// No week with it was found, and none was proved impossible.
    NotFound,
}

/// The price of a change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// The change asked about.
    pub change: Change,
    /// What came of it.
    pub outcome: Outcome,
}

/// What the search must keep to for a change.
struct Task {
    instance: Instance,
    ranges: Ranges,
    /// What must be there, for proof and for a first week.
    required: Vec<Requirement>,
}

impl Reasoner<'_> {
    /// The price of `change`, solved again from the week at hand.
    ///
    /// # Errors
    /// An unknown movement, a day that the week does not have, sets below nought.
    pub fn price_of_change(&self, change: &Change) -> Result<Price, ChangeFault> {
        let outcome = self.outcome(change)?;
        Ok(Price { change: change.clone(), outcome })
    }

    fn outcome(&self, change: &Change) -> Result<Outcome, ChangeFault> {
        let id = match change {
            Change::Force { movement, .. }
            | Change::Forbid { movement }
            | Change::Move { movement, .. }
            | Change::Sets { movement, .. } => movement,
        };
        let catalogue = self.planner.catalogue;
        let Some(index) = catalogue.find(id) else {
            let similar = catalogue.similar(id).join(" or ");
            let remedy = if similar.is_empty() {
                "use an id that `plinth catalogue` lists".into()
            } else {
                format!("did you mean {similar}?")
            };
            return Err(ChangeFault::UnknownMovement { id: id.clone(), remedy });
        };
        let days = self.week.days.len();
        let check = |field: &'static str, day: usize| {
            if day < days { Ok(()) } else { Err(ChangeFault::NoSuchDay { field, day, days }) }
        };
        match change {
            Change::Force { day: Some(day), .. } | Change::Sets { day, .. } => check("day", *day)?,
            Change::Move { from, to, .. } => {
                check("from", *from)?;
                check("to", *to)?;
            }
            _ => {}
        }
        if let Change::Sets { sets, .. } = change
            && *sets < 0
        {
            return Err(ChangeFault::NegativeSets { sets: *sets });
        }
        let removal = self.case.removed.iter().find(|(m, _)| *m == index).map(|(_, r)| r);
        let absent = matches!(change, Change::Forbid { .. } | Change::Sets { sets: 0, .. });
        if let Some(removal) = removal {
            if absent {
                return Ok(Outcome::AlreadySo);
            }
            return Ok(Outcome::NotOffered { barrier: Barrier::of_removal(removal, catalogue) });
        }
        let Some(m) = self.case.position(index) else { return Ok(Outcome::NotFound) };
        Ok(match self.task(change, m) {
            Ok(task) => self.solve_task(&task),
            Err(outcome) => outcome,
        })
    }

    /// The ranges of a change, or what is known of it without solving.
    fn task(&self, change: &Change, m: usize) -> Result<Task, Outcome> {
        let mut hold = Hold::none(&self.case);
        for held in self.held.iter().filter(|held| !change.replaces(held)) {
            hold.add(&self.case, self.planner.catalogue, held);
        }
        let Hold { mut instance, mut ranges, mut required } = hold;
        let movement = &self.case.instance.movements[m];
        let days = 0..instance.days.len();
        let on = |d: usize| self.week.sets(d, m) > 0;
        match *change {
            Change::Force { day: Some(d), .. } => {
                if on(d) {
                    return Err(Outcome::AlreadySo);
                }
                ranges.force(d, m);
                required.push(Requirement { movement: m, times: 1, day: Some(d) });
            }
            Change::Force { day: None, .. } => {
                if days.clone().any(on) {
                    return Err(Outcome::AlreadySo);
                }
                required.push(Requirement { movement: m, times: 1, day: None });
                instance.movements[m].exposures_wanted = instance.movements[m].exposures_wanted.max(1);
                instance.movements[m].exposure_price = ABOVE_ALL;
            }
            Change::Forbid { .. } => {
                if !days.clone().any(on) {
                    return Err(Outcome::AlreadySo);
                }
                for d in days {
                    ranges.forbid(d, m);
                }
            }
            Change::Move { from, to, .. } => {
                if !on(from) {
                    return Err(Outcome::NotOffered { barrier: Barrier::NotThere });
                }
                if on(to) {
                    return Err(Outcome::NotOffered { barrier: Barrier::Repeated });
                }
                ranges.forbid(from, m);
                ranges.force(to, m);
                required.push(Requirement { movement: m, times: 1, day: Some(to) });
            }
            Change::Sets { day, sets, .. } => {
                if self.week.sets(day, m) == sets {
                    return Err(Outcome::AlreadySo);
                }
                if sets == 0 {
                    ranges.forbid(day, m);
                } else if sets < movement.sets_min || sets > movement.sets_max {
                    let barrier = Barrier::SetsRange {
                        movement: movement.id.clone(),
                        fewest: movement.sets_min,
                        most: movement.sets_max,
                    };
                    return Err(Outcome::NotOffered { barrier });
                } else {
                    ranges.set(day, m, Range { must: true, low: sets, high: sets });
                    required.push(Requirement { movement: m, times: 1, day: Some(day) });
                    // The exact search places a line at its fewest sets, which here are these.
                    instance.movements[m].sets_min = sets;
                }
            }
        }
        Ok(Task { instance, ranges, required })
    }

    /// The week solved again with at least `times` sessions of a movement, and `required` kept.
    pub(super) fn at_least(&self, m: usize, times: i32, required: &[Requirement]) -> Outcome {
        let mut instance = self.case.instance.clone();
        instance.movements[m].exposures_wanted = times;
        instance.movements[m].exposure_price = ABOVE_ALL;
        let ranges = Ranges::free(&instance);
        self.solve_task(&Task { instance, ranges, required: required.to_vec() })
    }

    fn solve_task(&self, task: &Task) -> Outcome {
        let real = &self.case.instance;
        let mut start = conform(real, &task.ranges, &task.required, &self.week);
        if start.is_none() && !task.required.is_empty() {
            match feasible(&task.instance, Rules::ALL, &task.required) {
                Feasible::Yes(week) => start = Some(week),
                Feasible::No => return self.forbidden(task),
                Feasible::Open => {}
            }
        }
        let mut solved = task.instance.clone();
        // Sets are held by the ranges; elsewhere in the week the movement keeps its own.
        for (m, of) in solved.movements.iter_mut().zip(&real.movements) {
            m.sets_min = of.sets_min;
        }
        let found = search(&solved, &task.ranges, start.as_ref(), PRICE_EFFORT, &mut |_| true);
        let week = match found {
            Some(f) => Some(f.week),
            None => start,
        };
        let kept = week.filter(|w| task.ranges.allow(w) && week_keeps(real, w) && meets(&task.required, w));
        match kept {
            Some(week) => Outcome::Priced { difference: compare(real, &self.week, &week) },
            None => Outcome::NotFound,
        }
    }

    fn forbidden(&self, task: &Task) -> Outcome {
        match conflict_of(&self.planner, self.brief, &self.case, &task.instance, &task.required) {
            Some(demands) => Outcome::Forbidden { demands },
            None => Outcome::NotFound,
        }
    }

    /// What one change by itself would make of the week, nothing else moved: points and broken limits.
    /// `None` when the movement is out or not where the change says.
    pub fn change_alone(&self, change: &Change) -> Option<(Difference, Vec<Barrier>)> {
        let i = &self.case.instance;
        let mut week = self.week.clone();
        let put = |week: &mut Week, day: usize, m: usize, sets: i32| -> Option<()> {
            let slots = week.days.get_mut(day)?;
            slots.retain(|s| s.movement != m);
            if sets > 0 {
                slots.push(Slot { movement: m, sets });
            }
            Some(())
        };
        let (Change::Force { movement, .. }
        | Change::Forbid { movement }
        | Change::Move { movement, .. }
        | Change::Sets { movement, .. }) = change;
        let m = self.position(movement)?;
        match *change {
            Change::Force { day, .. } => put(&mut week, day?, m, i.movements[m].sets_min)?,
            Change::Forbid { .. } => {
                for d in 0..week.days.len() {
                    put(&mut week, d, m, 0)?;
                }
            }
            Change::Move { from, to, .. } => {
                let sets = Some(self.week.sets(from, m)).filter(|s| *s > 0)?;
                put(&mut week, from, m, 0)?;
                put(&mut week, to, m, sets)?;
            }
            Change::Sets { day, sets, .. } => put(&mut week, day, m, sets)?,
        }
        let difference = compare_scored(i, &self.week, &score(i, &self.week), &week);
        Some((difference, broken_by_name(i, &week, Some(m))))
    }
}

pub(in crate::plan) fn meets(required: &[Requirement], week: &Week) -> bool {
    required.iter().all(|r| {
        let there = |d: &usize| week.sets(*d, r.movement) > 0;
        match r.day {
            Some(d) => there(&d),
            None => (0..week.days.len()).filter(there).count() as i32 >= r.times,
        }
    })
}

/// `week` bent to `ranges` and the limits: what must go goes, what must be there is put in, then lines and
/// sets that cost least are taken off. `None` when that does not lead to an allowed week.
pub(in crate::plan) fn conform(
    instance: &Instance,
    ranges: &Ranges,
    required: &[Requirement],
    week: &Week,
) -> Option<Week> {
    let mut out = week.clone();
    for (d, slots) in out.days.iter_mut().enumerate() {
        slots.retain(|s| ranges.of(d, s.movement).high > 0);
        for s in slots.iter_mut() {
            let r = ranges.of(d, s.movement);
            s.sets = s.sets.clamp(r.low, r.high);
        }
    }
    for (d, m) in ranges.musts() {
        if out.sets(d, m) == 0 {
            out.days[d].push(Slot { movement: m, sets: ranges.of(d, m).low });
        }
    }
    let short = |r: &&Requirement| r.day.is_none() && !meets(&[**r], &out);
    let Some(m) = required.iter().find(short).map(|r| r.movement) else {
        return trim(instance, ranges, None, out).filter(|w| meets(required, w));
    };
    // The day on which it costs least once the rest has made way.
    let mut best: Option<(i64, Week)> = None;
    for d in (0..out.days.len()).filter(|d| out.sets(*d, m) == 0) {
        let mut trial = out.clone();
        trial.days[d].push(Slot { movement: m, sets: ranges.of(d, m).low });
        if let Some(week) = trim(instance, ranges, Some((d, m)), trial).filter(|w| meets(required, w)) {
            let points = score(instance, &week).total();
            if best.as_ref().is_none_or(|b| points < b.0) {
                best = Some((points, week));
            }
        }
    }
    best.map(|b| b.1)
}

/// Takes off sets and lines, the cheapest first by points for each unit of broken limit, until nothing is broken.
fn trim(instance: &Instance, ranges: &Ranges, keep: Option<(usize, usize)>, mut week: Week) -> Option<Week> {
    loop {
        let broken = excess(instance, &week);
        if broken == 0 {
            return Some(week);
        }
        let mut best: Option<(i64, i64, Week)> = None;
        for d in 0..week.days.len() {
            for k in 0..week.days[d].len() {
                let line = week.days[d][k];
                let r = ranges.of(d, line.movement);
                let mut consider = |trial: Week| {
                    let left = excess(instance, &trial);
                    let points = score(instance, &trial).total();
                    if left < broken && best.as_ref().is_none_or(|b| (left.min(1), points) < (b.0, b.1)) {
                        best = Some((left.min(1), points, trial));
                    }
                };
                if line.sets > r.low {
                    let mut trial = week.clone();
                    trial.days[d][k].sets -= 1;
                    consider(trial);
                }
                if !r.must && keep != Some((d, line.movement)) {
                    let mut trial = week.clone();
                    trial.days[d].remove(k);
                    consider(trial);
                }
            }
        }
        week = best?.2;
    }
}

/// How far a week is over its limits, all together.
fn excess(instance: &Instance, week: &Week) -> i64 {
    use crate::plan::model::slack_of_day;
    let mut over: i64 = 0;
    let mut exposures = vec![0; instance.movements.len()];
    for (d, slots) in week.days.iter().enumerate() {
        for s in slots {
            exposures[s.movement] += 1;
        }
        for s in slack_of_day(instance, d, slots) {
            over += i64::from((s.used - s.available).max(0));
        }
    }
    for (m, n) in instance.movements.iter().zip(exposures) {
        over += i64::from((n - m.exposures_max).max(0));
    }
    over
}
