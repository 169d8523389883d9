//! In mid-session: the plan's model with what is done held fixed.
//!
//! Sets that are done are facts: they may exceed what the plan allows, and budgets they have used up are nought.
//! Nothing here shortens a ramp or a rest, and safety and kit are asked anew each time.

mod day;
mod exact;
mod fold_in;
mod minutes_left;
mod stand_in;
#[cfg(test)]
mod tests;

pub(in crate::plan) use day::DayCost;
pub use fold_in::{FoldedDay, FoldedIn, Folding};
pub use minutes_left::{Brought, Cut, CutBecause, FreeTrim, LineNow, MinutesLeft};
pub use stand_in::{Offer, StandInAnswer};

use super::brief::{Brief, Minutes};
use super::filter::owned_kit;
use super::layout::near;
use super::model::{Slot, Week};
use super::prescription::{Prescription, work_s};
use super::programme::{Line, Mark, Programme};
use super::{Case, Keep, Planner, build};
use crate::catalogue::{Catalogue, Measure, Movement, Tier};
use crate::terms::{floor_of_rest_s, heavy_set};
use serde::{Deserialize, Serialize};

/// Points for each movement that the programme does not have on that day.
pub const CHANGE_FEE: i64 = 3_600;

/// Sets done of a movement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Done {
    /// Id of the movement.
    pub movement: String,
    /// Working sets done.
    pub sets: i32,
}

/// What is known at the moment of asking.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Now {
    /// Today's day of the programme, 0-based.
    pub today: usize,
    /// What is done today.
    pub done: Vec<Done>,
    /// Other days of this week that are over, with what was done on them.
    pub days_over: Vec<(usize, Vec<Done>)>,
    /// Ids of kit that is taken or out of order just now.
    pub taken: Vec<String>,
}

/// What is wrong with the question.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SessionFault {
    /// The day is not in the programme.
    #[error("day {day}: the programme has {days} days; count them from 0")]
    Day {
        /// The day asked for.
        day: usize,
        /// Days of the programme.
        days: usize,
    },
    /// The line is not in the day.
    #[error("line {line}: the day has {lines} lines; count them from 0")]
    Line {
        /// The line asked for.
        line: usize,
        /// Lines of the day.
        lines: usize,
    },
    /// A movement is unknown.
    #[error("{id}: unknown movement; use an id of the catalogue")]
    Movement {
        /// The id.
        id: String,
    },
    /// A piece of kit is unknown.
    #[error("{id}: unknown kit; use an id of the catalogue")]
    Kit {
        /// The id.
        id: String,
    },
    /// A number is out of range.
    #[error("{field}: {given} is not possible; give {low} to {high}")]
    Number {
        /// What it is.
        field: &'static str,
        /// As given.
        given: i64,
        /// Fewest.
        low: i64,
        /// Most.
        high: i64,
    },
    /// The instance is larger than the tables.
    #[error("the catalogue has more muscles or patterns than a session can reckon with; leave some out")]
    TooLarge,
}

/// A planned line of today.
#[derive(Debug, Clone)]
struct Planned {
    movement: usize,
    sets: i32,
    done: i32,
    prescription: Prescription,
    ramp_sets: i32,
    set_s: i32,
    fixed_s: i32,
}

/// A session under way: prepared once, asked often.
#[derive(Debug)]
pub struct Session<'a> {
    planner: Planner<'a>,
    programme: &'a Programme,
    /// The whole catalogue, in its order: an index of a movement is an index of the instance.
    case: Case,
    /// The week: facts of the days that are over, the plan of the others.
    week: Week,
    over: Vec<usize>,
    today: usize,
    lines: Vec<Planned>,
    /// Sets done of movements that are not on today's plan.
    extra: Vec<Slot>,
    /// Movements that may be offered: permitted, kit there and free, not barred.
    offered: Vec<bool>,
    /// Regions that are sore just now.
    sore: Vec<usize>,
    pub(super) any_done: bool,
}

impl<'a> Planner<'a> {
    /// Prepares a session of `programme` for the lifter of `brief`, whose discomforts and limits are those of
    /// this moment.
    ///
    /// # Errors
    /// What is wrong with the question, naming the field and the remedy.
    pub fn session(
        &self,
        brief: &Brief,
        programme: &'a Programme,
        now: &Now,
    ) -> Result<Session<'a>, SessionFault> {
        let days = programme.days.len();
        if now.today >= days || days > 7 {
            return Err(SessionFault::Day { day: now.today, days });
        }
        let mut asked = brief.clone();
        asked.days = days as u32;
        let minutes = |d: &super::programme::ProgrammeDay| d.minutes_at_hand.clamp(5, 240) as u32;
        asked.minutes = Minutes::Each(programme.days.iter().map(minutes).collect());
        asked.weekdays = programme.days.iter().map(|d| d.weekday).collect();
        let lines = || programme.days.iter().flat_map(|d| &d.lines);
        asked.carrying = Some(lines().filter(|l| l.carrying).map(|l| l.movement.clone()).collect());
        let mut case = build(&asked, self.catalogue, self.weights, Keep::Everything);
        let weekdays: Vec<i32> = programme.days.iter().map(|d| d.weekday as i32).collect();
        case.instance.near = near_in_order(&weekdays);

        let find =
            |id: &str| self.catalogue.find(id).ok_or_else(|| SessionFault::Movement { id: id.to_owned() });
        let facts = |done: &[Done]| -> Result<Vec<Slot>, SessionFault> {
            let mut slots: Vec<Slot> = Vec::new();
            for d in done {
                let movement = find(&d.movement)?;
                let sets = number("sets done", d.sets, 0, 30)?;
                match slots.iter_mut().find(|s| s.movement == movement) {
                    Some(s) => s.sets = number("sets done", s.sets + sets, 0, 30)?,
                    None if sets > 0 => slots.push(Slot { movement, sets }),
                    None => {}
                }
            }
            Ok(slots)
        };
        let mut week = Week::empty(days);
        for (d, day) in programme.days.iter().enumerate() {
            for line in &day.lines {
                let movement = find(&line.movement)?;
                let sets = number("sets", line.sets, 1, 30)?;
                if week.days[d].iter().all(|s| s.movement != movement) {
                    week.days[d].push(Slot { movement, sets });
                }
            }
        }
        let mut over = Vec::new();
        for (d, done) in &now.days_over {
            if *d >= days || *d == now.today {
                return Err(SessionFault::Day { day: *d, days });
            }
            week.days[*d] = facts(done)?;
            over.push(*d);
        }
        let mut done = facts(&now.done)?;
        let any_done = !done.is_empty();
        let mut planned: Vec<Planned> = Vec::new();
        for line in &programme.days[now.today].lines {
            let p = self.planned(&case, line, find(&line.movement)?)?;
            if planned.iter().any(|q| q.movement == p.movement) {
                continue;
            }
            let at = done.iter().position(|s| s.movement == p.movement);
            let sets = at.map_or(0, |k| done.remove(k).sets);
            planned.push(Planned { done: sets, ..p });
        }
        let owned = owned_kit(brief, self.catalogue);
        let mut free = owned;
        for id in &now.taken {
            let kit = self.catalogue.kit(id).ok_or_else(|| SessionFault::Kit { id: id.clone() })?;
            free[kit] = false;
        }
        let offered = (self.catalogue.movements.iter().enumerate())
            .map(|(m, movement)| {
                case.eases[m].is_some() && there(movement, &free) && !programme.never.contains(&movement.id)
            })
            .collect();
        Ok(Session {
            planner: *self,
            programme,
            case,
            week,
            over,
            today: now.today,
            lines: planned,
            extra: done,
            offered,
            sore: brief.discomforts.iter().filter_map(|d| self.catalogue.region(&d.region)).collect(),
            any_done,
        })
    }

    /// A line as it is done now: eased where safety asks since it was published, its rest not under its floor.
    fn planned(&self, case: &Case, line: &Line, movement: usize) -> Result<Planned, SessionFault> {
        let m = &self.catalogue.movements[movement];
        let ease = case.eases[movement].unwrap_or_default();
        let (mut low, mut high) = (number("low", line.low, 1, 1000)?, number("high", line.high, 1, 1000)?);
        if m.measure == Measure::Repetitions && low < ease.reps_at_least {
            high = high.max(ease.reps_at_least + (high - low).max(2));
            low = ease.reps_at_least;
        }
        let reserve = number("reserve", line.reserve, 0, 20)?.max(ease.reserve_at_least);
        let compound = matches!(m.tier, Tier::Main | Tier::Compound);
        let rest_s = number("rest_s", line.rest_s, 0, 3600)?;
        let rest_s = rest_s.max(floor_of_rest_s(compound && heavy_set(low, reserve)));
        let prescription = Prescription { low, high: high.max(low), reserve, rest_s };
        let ramp_sets = number("ramp_sets", line.ramp_sets, 0, 20)?.max(m.ramp_sets);
        let t = &self.weights.timing;
        let ramp = if m.tier == Tier::Main { t.ramp_main_s } else { t.ramp_compound_s };
        Ok(Planned {
            movement,
            sets: number("sets", line.sets, 1, 30)?,
            done: 0,
            prescription,
            ramp_sets,
            set_s: work_s(self.weights, m, prescription) + rest_s,
            fixed_s: m.set_up_s + ramp_sets * ramp,
        })
    }
}

fn number(field: &'static str, given: i32, low: i32, high: i32) -> Result<i32, SessionFault> {
    if (low..=high).contains(&given) {
        Ok(given)
    } else {
        Err(SessionFault::Number {
            field,
            given: i64::from(given),
            low: i64::from(low),
            high: i64::from(high),
        })
    }
}

/// Near days of a programme whose days may stand in any order.
fn near_in_order(weekdays: &[i32]) -> Vec<super::model::Near> {
    let mut out = Vec::new();
    for second in 0..weekdays.len() {
        for first in 0..second {
            let (a, b) = (weekdays[first].min(weekdays[second]), weekdays[first].max(weekdays[second]));
            if !near(&[a, b]).is_empty() {
                out.push(super::model::Near { first, second });
            }
        }
    }
    out
}

/// Whether all the kit of one alternative is free.
fn there(movement: &Movement, free: &[bool]) -> bool {
    movement.equipment.is_empty() || movement.equipment.iter().any(|all| all.iter().all(|k| free[*k]))
}

impl Session<'_> {
    fn catalogue(&self) -> &Catalogue {
        self.planner.catalogue
    }

    /// The price of today, the other days as they stand.
    fn cost(&self) -> Result<DayCost<'_>, SessionFault> {
        DayCost::new(&self.case.instance, self.today, &self.week).ok_or(SessionFault::TooLarge)
    }

    /// Whether a planned line may go on: safety alone decides.
    fn may_go_on(&self, movement: usize) -> Result<(), super::filter::Removal> {
        use super::filter::Removal;
        let out = self.case.removed.iter().find(|(m, _)| *m == movement);
        match out {
            Some((_, r @ (Removal::Safety { .. } | Removal::Equipment { .. }))) => Err(r.clone()),
            _ => Ok(()),
        }
    }

    /// Everything done today, planned or not.
    fn done(&self) -> Vec<Slot> {
        let planned = self.lines.iter().filter(|l| l.done > 0);
        planned
            .map(|l| Slot { movement: l.movement, sets: l.done })
            .chain(self.extra.iter().copied())
            .collect()
    }

    /// Today as planned, with what is done beyond it.
    fn planned_slots(&self) -> Vec<Slot> {
        let planned = self.lines.iter().map(|l| Slot { movement: l.movement, sets: l.sets.max(l.done) });
        planned.chain(self.extra.iter().copied()).collect()
    }

    /// The mark of today's line of a movement.
    fn mark(&self, day: usize, movement: usize) -> Option<Mark> {
        let id = &self.catalogue().movements[movement].id;
        self.programme.days[day].lines.iter().find(|l| l.movement == *id).map(|l| l.mark)
    }
}
