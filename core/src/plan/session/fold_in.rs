//! A missed day folded into what is left of the week, within every cap.

use super::exact::{Item, Room, best};
use super::minutes_left::{Brought, Cut, CutBecause, LineNow, seconds_of, slots, why_not_more};
use super::{CHANGE_FEE, DayCost, Session, SessionFault};
use crate::plan::model::{Slot, Week};
use crate::plan::programme::Mark;
use serde::Serialize;

/// Choices looked at for one day.
const NODES: u64 = 150_000;

/// A line of the missed day that found a place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FoldedIn {
    /// Id of the movement.
    pub movement: String,
    /// The day that takes it, 0-based.
    pub day: usize,
    /// Sets planned on the missed day.
    pub planned: i32,
    /// Sets that day gains of it.
    pub gained: i32,
}

/// A day of what is left of the week.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FoldedDay {
    /// The day, 0-based.
    pub day: usize,
    /// Its lines.
    pub lines: Vec<LineNow>,
    /// Seconds of its lines.
    pub seconds: i32,
    /// What was planned that day and gives way.
    pub cut: Vec<Cut>,
    /// Movements that were planned neither that day nor on the missed one.
    pub brought_in: Vec<Brought>,
}

/// The rest of the week with a missed day folded in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Folding {
    /// The days that are left.
    pub days: Vec<FoldedDay>,
    /// What found a place.
    pub folded: Vec<FoldedIn>,
    /// What did not fit: dropped, and not carried into the next week.
    pub dropped: Vec<Cut>,
    /// Points fewer than leaving the rest of the week as planned, fees paid.
    pub points_fewer: i64,
}

impl Session<'_> {
    /// Folds the missed day `missed` into the days that are left: today, when nothing is done yet, and those
    /// after it that are not over. What is over stays as it is.
    ///
    /// # Errors
    /// The day is not in the programme, is over, or is today with something done.
    pub fn fold_in(&self, missed: usize) -> Result<Folding, SessionFault> {
        let days = self.programme.days.len();
        if missed >= days || self.over.contains(&missed) || (missed == self.today && self.any_done) {
            return Err(SessionFault::Day { day: missed, days });
        }
        let mut week = Week { days: self.week.days.clone() };
        if self.any_done {
            week.days[self.today] = self.planned_slots();
        }
        let lost = std::mem::take(&mut week.days[missed]);
        let first = if self.any_done || missed == self.today { self.today + 1 } else { self.today };
        let left: Vec<usize> = (first..days).filter(|d| *d != missed && !self.over.contains(d)).collect();
        let as_planned = week.clone();
        let before = self.points_of(&as_planned);

        let mut best_week: Option<(i64, Week)> = None;
        for backwards in [false, true] {
            let mut order = left.clone();
            if backwards {
                order.reverse();
            }
            let mut now = as_planned.clone();
            for _ in 0..3 {
                let was = now.clone();
                for &d in &order {
                    self.solve_day(&mut now, &as_planned, &lost, d)?;
                }
                if now == was {
                    break;
                }
            }
            let points = self.points_of(&now) + Self::fees(&now, &as_planned, &lost, &left);
            if best_week.as_ref().is_none_or(|b| points < b.0) {
                best_week = Some((points, now));
            }
        }
        let (points, now) = best_week.unwrap_or((before, as_planned.clone()));
        self.tell(missed, &lost, &left, &as_planned, &now, before - points)
    }

    fn points_of(&self, week: &Week) -> i64 {
        crate::plan::model::score(&self.case.instance, week).total()
    }

    fn fees(now: &Week, planned: &Week, lost: &[Slot], left: &[usize]) -> i64 {
        let brought = |d: &usize| -> i64 {
            let off = now.days[*d].iter().filter(|s| Self::off_plan(planned, lost, *d, s.movement));
            CHANGE_FEE * off.count() as i64
        };
        left.iter().map(brought).sum()
    }

    fn off_plan(planned: &Week, lost: &[Slot], day: usize, movement: usize) -> bool {
        planned.sets(day, movement) == 0 && lost.iter().all(|s| s.movement != movement)
    }

    /// What a day may hold: its own lines, those of the missed day that have no place yet, and what was brought in.
    fn day_items(&self, now: &Week, planned: &Week, lost: &[Slot], day: usize) -> Vec<Item> {
        let instance = &self.case.instance;
        let mut items = Vec::new();
        let gone = |m: usize| lost.iter().find(|s| s.movement == m).map_or(0, |s| s.sets);
        // A missed line has one place: it is open here only if no other day has taken it.
        let taken_elsewhere =
            |m: usize| (0..now.days.len()).any(|d| d != day && now.sets(d, m) > planned.sets(d, m));
        for s in &planned.days[day] {
            let q = &instance.movements[s.movement];
            let keep = self.mark(day, s.movement) == Some(Mark::Keep);
            let extra = if taken_elsewhere(s.movement) { 0 } else { gone(s.movement) };
            let most = (s.sets + extra).min(q.sets_max.max(s.sets));
            let fewest = q.sets_min.min(s.sets);
            let mut options: Vec<i32> = (fewest..=most).rev().collect();
            if self.may_go_on(s.movement).is_err() {
                options.clear();
            }
            if !keep || options.is_empty() {
                options.push(0);
            }
            items.push(self.day_item(day, s.movement, &options, 0));
        }
        for s in lost {
            let open = planned.sets(day, s.movement) == 0 && !taken_elsewhere(s.movement);
            if open && self.case.eases[s.movement].is_some() {
                let q = &instance.movements[s.movement];
                let options: Vec<i32> = (q.sets_min.min(s.sets)..=s.sets).rev().chain([0]).collect();
                items.push(self.day_item(day, s.movement, &options, 0));
            }
        }
        for s in &now.days[day] {
            if items.iter().all(|i| i.movement != s.movement) {
                let q = &instance.movements[s.movement];
                let options: Vec<i32> = (q.sets_min..=q.sets_max).rev().chain([0]).collect();
                items.push(self.day_item(day, s.movement, &options, CHANGE_FEE));
            }
        }
        items
    }

    /// A line with the times of its own prescription, where the programme has it.
    fn day_item(&self, day: usize, movement: usize, options: &[i32], fee: i64) -> Item {
        let id = &self.catalogue().movements[movement].id;
        let of = |d: usize| self.programme.days[d].lines.iter().find(|l| l.movement == *id);
        let line = of(day).or_else(|| (0..self.programme.days.len()).find_map(of));
        let planned = line.and_then(|l| self.planner.planned(&self.case, l, movement).ok());
        planned.map_or_else(
            || self.new_item(movement, options.to_vec(), fee),
            |p| Item { fee, ..super::Planned::item(&p, options.to_vec()) },
        )
    }

    fn room<'c>(
        &'c self,
        now: &Week,
        planned: &Week,
        day: usize,
    ) -> Result<(DayCost<'c>, Room), SessionFault> {
        let cost = DayCost::new(&self.case.instance, day, now).ok_or(SessionFault::TooLarge)?;
        let plan = cost.sums(&planned.days[day]);
        let room = Room::new(&cost, &DayCost::empty(), &plan, self.case.instance.days[day].time_s);
        Ok((cost, room))
    }

    /// Chooses a day's lines anew, the others held.
    fn solve_day(
        &self,
        now: &mut Week,
        planned: &Week,
        lost: &[Slot],
        day: usize,
    ) -> Result<(), SessionFault> {
        let instance = &self.case.instance;
        for _ in 0..3 {
            let (cost, room) = self.room(now, planned, day)?;
            let mut items = self.day_items(now, planned, lost, day);
            for item in &mut items {
                if cost.exposures(item.movement) >= instance.movements[item.movement].exposures_max {
                    item.options.retain(|s| *s == 0 || planned.sets(day, item.movement) > 0);
                }
            }
            let mut found = best(&cost, &items, &room, NODES);
            if found.points == i64::MAX {
                // Kept lines do not all fit any more: then they give way as well.
                for item in &mut items {
                    if !item.options.contains(&0) {
                        item.options.push(0);
                    }
                }
                found = best(&cost, &items, &room, NODES);
            }
            let chosen = slots(&items, &found.sets);
            // One movement that was planned nowhere, if it pays its fee.
            let seconds = seconds_of(&cost, &items, &found.sets);
            let base = cost.sums(&chosen);
            let mut better: Option<(i64, usize, i32)> = None;
            for m in (0..instance.movements.len()).filter(|m| self.offered[*m]) {
                let q = &instance.movements[m];
                let there = items.iter().any(|i| i.movement == m) || lost.iter().any(|s| s.movement == m);
                if there || cost.exposures(m) >= q.exposures_max {
                    continue;
                }
                for sets in q.sets_min..=q.sets_max {
                    let mut sums = base;
                    cost.add(&mut sums, Slot { movement: m, sets });
                    if room.over(&sums, seconds + q.fixed_s + q.set_s * sets).is_some() {
                        break;
                    }
                    let fees: i64 =
                        items.iter().zip(&found.sets).filter(|(_, s)| **s > 0).map(|(i, _)| i.fee).sum();
                    let points = cost.points(&sums) + fees + CHANGE_FEE;
                    if points < better.map_or(found.points, |b| b.0) && room.unmended(&sums).is_none() {
                        better = Some((points, m, sets));
                    }
                }
            }
            now.days[day] = chosen;
            match better {
                Some((_, movement, sets)) => now.days[day].push(Slot { movement, sets }),
                None => break,
            }
        }
        Ok(())
    }

    /// What became of every line.
    fn tell(
        &self,
        missed: usize,
        lost: &[Slot],
        left: &[usize],
        planned: &Week,
        now: &Week,
        points_fewer: i64,
    ) -> Result<Folding, SessionFault> {
        let mut out = Folding { days: Vec::new(), folded: Vec::new(), dropped: Vec::new(), points_fewer };
        let cut = |day: usize, movement: usize, from: i32, to: i32| -> Result<Cut, SessionFault> {
            let because = if let Err(removal) = self.may_go_on(movement) {
                CutBecause::Out { removal }
            } else {
                let (cost, room) = self.room(now, planned, day)?;
                let mut slots = now.days[day].clone();
                slots.retain(|s| s.movement != movement);
                slots.insert(0, Slot { movement, sets: to });
                let more = if to == 0 {
                    self.case.instance.movements[movement].sets_min.min(from).max(1)
                } else {
                    to + 1
                };
                let items: Vec<Item> = slots
                    .iter()
                    .map(|s| {
                        self.day_item(
                            day,
                            s.movement,
                            &[if s.movement == movement { more } else { s.sets }],
                            0,
                        )
                    })
                    .collect();
                let sets = slots.iter().map(|s| s.sets).collect();
                let chosen = super::exact::Best { sets, points: 0, exact: true };
                why_not_more(&cost, &items, &room, &chosen, 0)
            };
            Ok(Cut { movement: self.id(movement), from, to, because })
        };
        for &day in left {
            let (cost, _) = self.room(now, planned, day)?;
            let items: Vec<Item> =
                now.days[day].iter().map(|s| self.day_item(day, s.movement, &[s.sets], 0)).collect();
            let sets: Vec<i32> = now.days[day].iter().map(|s| s.sets).collect();
            let mut cuts = Vec::new();
            for s in &planned.days[day] {
                let to = now.sets(day, s.movement);
                if to < s.sets {
                    cuts.push(cut(day, s.movement, s.sets, to)?);
                }
            }
            let brought = now.days[day].iter().filter(|s| Self::off_plan(planned, lost, day, s.movement));
            out.days.push(FoldedDay {
                day,
                lines: self.lines_of(day, &now.days[day]),
                seconds: seconds_of(&cost, &items, &sets),
                cut: cuts,
                brought_in: brought
                    .map(|s| Brought { movement: self.id(s.movement), sets: s.sets })
                    .collect(),
            });
        }
        for s in lost {
            let mut gained = 0;
            for &day in left {
                let more = now.sets(day, s.movement) - planned.sets(day, s.movement);
                if more > 0 {
                    gained += more;
                    let movement = self.id(s.movement);
                    out.folded.push(FoldedIn { movement, day, planned: s.sets, gained: more });
                }
            }
            if gained < s.sets {
                // The day that could have taken it: the one that did, or the next.
                let took = left.iter().find(|d| now.sets(**d, s.movement) > 0).or(left.first());
                out.dropped.push(match took {
                    Some(day) => {
                        let to = now.sets(*day, s.movement);
                        let because = cut(*day, s.movement, s.sets, to)?.because;
                        Cut { movement: self.id(s.movement), from: s.sets, to: gained, because }
                    }
                    None => Cut {
                        movement: self.id(s.movement),
                        from: s.sets,
                        to: 0,
                        because: CutBecause::NoDayLeft { missed },
                    },
                });
            }
        }
        Ok(out)
    }

    fn lines_of(&self, day: usize, slots: &[Slot]) -> Vec<LineNow> {
        let line = |s: &Slot| {
            let id = self.id(s.movement);
            let of = |d: usize| self.programme.days[d].lines.iter().find(|l| l.movement == id);
            let published = of(day).or_else(|| (0..self.programme.days.len()).find_map(of));
            let p = published.and_then(|l| self.planner.planned(&self.case, l, s.movement).ok());
            let ramp_sets = self.catalogue().movements[s.movement].ramp_sets;
            LineNow {
                movement: id,
                done: 0,
                sets: s.sets,
                prescription: p.as_ref().map_or(self.case.prescriptions[s.movement], |p| p.prescription),
                ramp_sets: p.as_ref().map_or(ramp_sets, |p| p.ramp_sets),
            }
        };
        slots.iter().map(line).collect()
    }
}
