//! The best of what is left of a session in the minutes that are left, exactly.

use super::exact::{Best, Item, Left, Room, best};
use super::{CHANGE_FEE, Session, SessionFault, number};
use crate::plan::filter::Removal;
use crate::plan::model::{Limit, Slot};
use crate::plan::prescription::Prescription;
use crate::plan::session::DayCost;
use serde::Serialize;

/// Choices looked at before exactness is given up; real sessions need a small part of it.
const NODES: u64 = 2_000_000;

/// A line as it is to be done from now on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LineNow {
    /// Id of the movement.
    pub movement: String,
    /// Sets done.
    pub done: i32,
    /// Sets in all, those done among them.
    pub sets: i32,
    /// Repetitions, reserve and rest.
    pub prescription: Prescription,
    /// Ramp sets still to do: the whole ramp, or none once it is done.
    pub ramp_sets: i32,
}

/// Sets or a line taken off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Cut {
    /// Id of the movement.
    pub movement: String,
    /// Sets planned.
    pub from: i32,
    /// Sets in all now; 0 leaves it out.
    pub to: i32,
    /// Why not one set more.
    pub because: CutBecause,
}

/// Why sets were taken off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum CutBecause {
    /// It may not be done now.
    Out {
        /// Why.
        removal: Removal,
    },
    /// More would break a limit of the session, its minutes among them.
    Limit {
        /// The limit.
        limit: Limit,
    },
    /// It would fit, but the week is worth more without it.
    WorthLess,
    /// No day of the week is left to take it.
    NoDayLeft {
        /// The missed day, 0-based.
        missed: usize,
    },
}

/// A movement that the plan does not have today.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Brought {
    /// Id of the movement.
    pub movement: String,
    /// Sets.
    pub sets: i32,
}

/// A second offer: other movements may be brought in, each for a fee.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FreeTrim {
    /// The lines, in the planned order, then what is brought in.
    pub lines: Vec<LineNow>,
    /// What is brought in.
    pub brought_in: Vec<Brought>,
    /// Seconds that are left to do.
    pub seconds: i32,
    /// Points fewer than the first offer, fees paid.
    pub points_fewer: i64,
}

/// What to do in the minutes left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MinutesLeft {
    /// The lines that stay, in the planned order.
    pub lines: Vec<LineNow>,
    /// What was taken off.
    pub cut: Vec<Cut>,
    /// Seconds that are left to do.
    pub seconds: i32,
    /// Points of the week with it.
    pub points: i64,
    /// No other choice of these lines' sets is better.
    pub exact: bool,
    /// A second offer with other movements, where it is better.
    pub free: Option<FreeTrim>,
}

impl Session<'_> {
    /// The best of today's lines for the minutes that are left. No second general warm-up is reckoned with
    /// once something is done; a line that starts needs its whole ramp; rests stay as prescribed.
    ///
    /// # Errors
    /// Minutes outside 0 to 240.
    pub fn minutes_left(&self, minutes: i32) -> Result<MinutesLeft, SessionFault> {
        let seconds = number("minutes left", minutes, 0, 240)? * 60;
        let warm_up = if self.any_done { 0 } else { self.case.instance.days[self.today].warm_up_s };
        let time_s = (seconds - warm_up).max(0);
        let cost = self.cost()?;
        let facts = cost.sums(&self.done());
        let plan = cost.sums(&self.planned_slots());
        let room = Room::new(&cost, &facts, &plan, time_s);
        let items = self.items();
        let first = best(&cost, &items, &room, NODES);
        let free = self.free_trim(&cost, &items, &room, &first);
        let mut cut = Vec::new();
        for (k, l) in self.lines.iter().enumerate() {
            let to = first.sets[k];
            if to < l.sets {
                let because = match self.may_go_on(l.movement) {
                    Err(removal) => CutBecause::Out { removal },
                    Ok(()) => why_not_more(&cost, &items, &room, &first, k),
                };
                cut.push(Cut { movement: self.id(l.movement), from: l.sets, to, because });
            }
        }
        Ok(MinutesLeft {
            lines: self.lines_now(&items, &first.sets),
            cut,
            seconds: seconds_of(&cost, &items, &first.sets),
            points: first.points,
            exact: first.exact,
            free,
        })
    }

    /// Today's lines with their open sets, and what was done beyond the plan.
    pub(super) fn items(&self) -> Vec<Item> {
        let planned = self.lines.iter().map(|l| {
            let least = l.done.max(1);
            let mut options: Vec<i32> = (least..=l.sets.max(l.done)).rev().collect();
            if self.may_go_on(l.movement).is_err() {
                options.clear();
            }
            if l.done == 0 {
                options.push(0);
            } else if options.is_empty() {
                options.push(l.done);
            }
            l.item(options)
        });
        let extra =
            self.extra.iter().map(|s| Item { done: s.sets, ..self.new_item(s.movement, vec![s.sets], 0) });
        planned.chain(extra).collect()
    }

    pub(super) fn id(&self, movement: usize) -> String {
        self.catalogue().movements[movement].id.clone()
    }

    pub(super) fn lines_now(&self, items: &[Item], sets: &[i32]) -> Vec<LineNow> {
        let mut out = Vec::new();
        for (item, &sets) in items.iter().zip(sets) {
            if sets == 0 {
                continue;
            }
            let planned = self.lines.iter().find(|l| l.movement == item.movement);
            let ramp = planned.map_or(self.catalogue().movements[item.movement].ramp_sets, |l| l.ramp_sets);
            out.push(LineNow {
                movement: self.id(item.movement),
                done: item.done,
                sets,
                prescription: planned.map_or(self.case.prescriptions[item.movement], |l| l.prescription),
                ramp_sets: if item.done > 0 { 0 } else { ramp },
            });
        }
        out
    }

    /// Brings in other movements while that pays its fee; each time the sets are chosen anew.
    fn free_trim(&self, cost: &DayCost, items: &[Item], room: &Room, first: &Best) -> Option<FreeTrim> {
        let instance = &self.case.instance;
        let mut items: Vec<Item> = items.to_vec();
        let mut now = first.clone();
        for _ in 0..3 {
            let mut better: Option<(i64, Item, i32)> = None;
            let chosen = slots(&items, &now.sets);
            let base = cost.sums(&chosen);
            let fees: i64 = items.iter().zip(&now.sets).filter(|(_, s)| **s > 0).map(|(i, _)| i.fee).sum();
            // Each movement that may come, alone or in the place of a line that is not begun.
            for m in (0..instance.movements.len()).filter(|m| self.offered[*m]) {
                let there = items.iter().any(|i| i.movement == m);
                if there || cost.exposures(m) >= instance.movements[m].exposures_max {
                    continue;
                }
                let q = &instance.movements[m];
                let item = self.new_item(m, (q.sets_min..=q.sets_max).rev().chain([0]).collect(), CHANGE_FEE);
                let without = items.iter().enumerate().filter(|(k, i)| i.done == 0 && now.sets[*k] > 0);
                for skip in without.map(|(k, _)| Some(k)).chain([None]) {
                    let mut sums = base;
                    let mut fee = fees;
                    if let Some(k) = skip {
                        let rest: Vec<Slot> =
                            chosen.iter().copied().filter(|s| s.movement != items[k].movement).collect();
                        sums = cost.sums(&rest);
                        fee -= items[k].fee;
                    }
                    let mut left = Left::default();
                    for (k, i) in items.iter().enumerate().filter(|(k, _)| Some(*k) != skip) {
                        left.add(cost, i, now.sets[k]);
                    }
                    for sets in q.sets_min..=q.sets_max {
                        let (mut sums, mut left) = (sums, left);
                        cost.add(&mut sums, Slot { movement: m, sets });
                        left.add(cost, &item, sets);
                        if room.over(&sums, left.seconds(cost)).is_some() {
                            break;
                        }
                        let points = cost.points(&sums) + fee + CHANGE_FEE;
                        let best_so_far = better.as_ref().map_or(now.points, |b| b.0);
                        if points < best_so_far && room.unmended(&sums).is_none() {
                            better = Some((points, item.clone(), sets));
                        }
                    }
                }
            }
            let Some((_, item, _)) = better else { break };
            items.push(item);
            now = best(cost, &items, room, 100_000);
        }
        let brought_in: Vec<Brought> = (items.iter().zip(&now.sets))
            .filter(|(i, s)| i.fee > 0 && **s > 0)
            .map(|(i, s)| Brought { movement: self.id(i.movement), sets: *s })
            .collect();
        (now.points < first.points && !brought_in.is_empty()).then(|| FreeTrim {
            lines: self.lines_now(&items, &now.sets),
            brought_in,
            seconds: seconds_of(cost, &items, &now.sets),
            points_fewer: first.points - now.points,
        })
    }
}

pub(super) fn slots(items: &[Item], sets: &[i32]) -> Vec<Slot> {
    let some = items.iter().zip(sets).filter(|(_, s)| **s > 0);
    some.map(|(i, s)| Slot { movement: i.movement, sets: *s }).collect()
}

pub(super) fn seconds_of(cost: &DayCost, items: &[Item], sets: &[i32]) -> i32 {
    let mut left = Left::default();
    for (item, s) in items.iter().zip(sets) {
        left.add(cost, item, *s);
    }
    left.seconds(cost)
}

/// Why item `k` does not get one set more (or, left out, its fewest).
pub(super) fn why_not_more(
    cost: &DayCost,
    items: &[Item],
    room: &Room,
    chosen: &Best,
    k: usize,
) -> CutBecause {
    let mut sets = chosen.sets.clone();
    sets[k] = items[k].options.iter().copied().filter(|s| *s > sets[k]).min().unwrap_or(sets[k] + 1);
    let sums = cost.sums(&slots(items, &sets));
    let limit = room.over(&sums, seconds_of(cost, items, &sets)).or(room.unmended(&sums));
    limit.map_or(CutBecause::WorthLess, |limit| CutBecause::Limit { limit })
}
