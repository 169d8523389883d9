//! Why a line is there, why on that day, and what it displaced.

use super::barrier::{broken_by_name, day_keeps, week_keeps};
use super::compare::{compare, compare_scored};
use super::{Barrier, BlockedDay, Difference, Reasoner};
use crate::plan::brief::WishKind;
use crate::plan::model::{Score, Slot, Week, score};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How many alternatives are told.
const ALTERNATIVES: usize = 3;

/// A wish of the brief that a line answers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Asked {
    /// It carries the programme.
    Carrying {
        /// Named in the brief; otherwise the default for the kit.
        named: bool,
    },
    /// It was required.
    Required {
        /// Sessions asked.
        times: i32,
    },
    /// It was preferred.
    Preferred {
        /// Sessions asked.
        times: i32,
    },
    /// It trains a muscle that comes first, directly.
    Priority {
        /// Ids of the muscles.
        muscles: Vec<String>,
    },
}

/// A line that would come back in exchange.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Exchanged {
    /// Id of the movement.
    pub movement: String,
    /// Its sets.
    pub sets: i32,
}

/// Why a line is on its day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Here {
    /// The week has one day.
    OnlyDay,
    /// It is on every day.
    EveryDay,
    /// The best other day, and what going there would change.
    OtherDay {
        /// The day, counted from 0.
        day: usize,
        /// A line of that day that would take its place here, where that is the better way.
        exchanged: Option<Exchanged>,
        /// What would change.
        difference: Difference,
        /// Days that do not allow it.
        blocked: Vec<BlockedDay>,
    },
    /// No other day allows it.
    NoOtherDay {
        /// What stands in the way on each.
        blocked: Vec<BlockedDay>,
    },
}

/// A movement that could have the line's place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Alternative {
    /// Id of the movement.
    pub movement: String,
    /// Its sets: those with which it does best there.
    pub sets: i32,
    /// What would change.
    pub difference: Difference,
}

/// The reasons of one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineReason {
    /// The day, counted from 0.
    pub day: usize,
    /// The line's position in the day, counted from 0.
    pub position: usize,
    /// Id of the movement.
    pub movement: String,
    /// Working sets.
    pub sets: i32,
    /// What of the brief it answers.
    pub asked: Vec<Asked>,
    /// What would change without it; terms that rise say what it is there for.
    pub without: Difference,
    /// Limits that the rest of the day would break without it.
    pub held_up: Vec<Barrier>,
    /// Why on this day.
    pub here: Here,
    /// The best movements that could have its place, the nearest first.
    pub displaced: Vec<Alternative>,
}

impl Reasoner<'_> {
    /// The reasons of every line, day by day.
    pub fn reasons(&self) -> Vec<Vec<LineReason>> {
        let was = score(&self.case.instance, &self.week);
        let line = |day: usize, position: usize| self.reason(&was, day, position);
        (0..self.week.days.len())
            .map(|d| (0..self.week.days[d].len()).map(|k| line(d, k)).collect())
            .collect()
    }

    /// The reasons of the line at `position` on `day`, both counted from 0; `None` where there is none.
    pub fn reasons_of_line(&self, day: usize, position: usize) -> Option<LineReason> {
        self.week.days.get(day)?.get(position)?;
        Some(self.reason(&score(&self.case.instance, &self.week), day, position))
    }

    fn reason(&self, was: &Score, day: usize, position: usize) -> LineReason {
        let i = &self.case.instance;
        let line = self.week.days[day][position];
        let mut without = self.week.clone();
        without.days[day].remove(position);
        LineReason {
            day,
            position,
            movement: self.id(line.movement),
            sets: line.sets,
            asked: self.asked(line.movement),
            held_up: broken_by_name(i, &without, None),
            without: compare_scored(i, &self.week, was, &without),
            here: self.here(day, position),
            displaced: self.displaced(was, day, position),
        }
    }

    fn asked(&self, movement: usize) -> Vec<Asked> {
        let m = self.case.movements[movement];
        let mut out = Vec::new();
        if self.case.carrying.contains(&m) {
            out.push(Asked::Carrying { named: self.brief.carrying.is_some() });
        }
        for (rank, of, times) in &self.case.wished {
            if *of == m {
                let required = self.brief.wishes[*rank].wish == WishKind::Require;
                let times = *times;
                out.push(if required { Asked::Required { times } } else { Asked::Preferred { times } });
            }
        }
        let catalogue = self.planner.catalogue;
        let muscles: Vec<String> = catalogue.movements[m]
            .direct()
            .map(|g| catalogue.muscles[g].id.clone())
            .filter(|g| self.brief.priorities.contains(g))
            .collect();
        if !muscles.is_empty() {
            out.push(Asked::Priority { muscles });
        }
        out
    }

    fn here(&self, day: usize, position: usize) -> Here {
        let i = &self.case.instance;
        let line = self.week.days[day][position];
        let others: Vec<usize> = (0..i.days.len()).filter(|d| *d != day).collect();
        if others.is_empty() {
            return Here::OnlyDay;
        }
        if others.iter().all(|d| self.week.sets(*d, line.movement) > 0) {
            return Here::EveryDay;
        }
        let mut best: Option<(i64, usize, Option<Slot>, Week)> = None;
        let mut blocked = Vec::new();
        let mut consider = |week: Week, to: usize, back: Option<Slot>| {
            if !week_keeps(i, &week) {
                return false;
            }
            let points = score(i, &week).total();
            if best.as_ref().is_none_or(|b| points < b.0) {
                best = Some((points, to, back, week));
            }
            true
        };
        for to in others {
            if self.week.sets(to, line.movement) > 0 {
                blocked.push(BlockedDay { day: to, barriers: vec![Barrier::Repeated] });
                continue;
            }
            let mut moved = self.week.clone();
            moved.days[day].remove(position);
            let gone = moved.clone();
            moved.days[to].push(line);
            let mut allowed = consider(moved, to, None);
            for (k, back) in self.week.days[to].iter().enumerate() {
                if gone.days[day].iter().any(|s| s.movement == back.movement) {
                    continue;
                }
                let mut swapped = gone.clone();
                swapped.days[to][k] = line;
                swapped.days[day].push(*back);
                allowed |= consider(swapped, to, Some(*back));
            }
            if !allowed {
                let mut fewest = gone;
                let sets = i.movements[line.movement].sets_min;
                fewest.days[to].push(Slot { movement: line.movement, sets });
                let mut barriers = broken_by_name(i, &fewest, Some(line.movement));
                if barriers.is_empty() {
                    // At the fewest sets it fits: what is in the way is met at the sets that it has.
                    if let Some(s) = fewest.days[to].last_mut() {
                        s.sets = line.sets;
                    }
                    barriers = broken_by_name(i, &fewest, Some(line.movement));
                }
                blocked.push(BlockedDay { day: to, barriers });
            }
        }
        match best {
            None => Here::NoOtherDay { blocked },
            Some((_, to, back, week)) => Here::OtherDay {
                day: to,
                exchanged: back.map(|s| Exchanged { movement: self.id(s.movement), sets: s.sets }),
                difference: compare(i, &self.week, &week),
                blocked,
            },
        }
    }

    fn displaced(&self, was: &Score, day: usize, position: usize) -> Vec<Alternative> {
        let i = &self.case.instance;
        let mut found: Vec<(i64, usize, i32)> = Vec::new();
        let mut trial = self.week.clone();
        for (m, movement) in i.movements.iter().enumerate() {
            let elsewhere = was.exposures.get(m).copied().unwrap_or(0);
            if self.week.sets(day, m) > 0 || elsewhere >= movement.exposures_max {
                continue;
            }
            let mut best: Option<(i64, i32)> = None;
            for sets in movement.sets_min..=movement.sets_max {
                trial.days[day][position] = Slot { movement: m, sets };
                if !day_keeps(i, day, &trial.days[day]) {
                    continue;
                }
                let points = score(i, &trial).total();
                if best.is_none_or(|b| points < b.0) {
                    best = Some((points, sets));
                }
            }
            found.extend(best.map(|(points, sets)| (points, m, sets)));
        }
        found.sort_unstable();
        found.truncate(ALTERNATIVES);
        found
            .into_iter()
            .map(|(_, m, sets)| {
                trial.days[day][position] = Slot { movement: m, sets };
                let difference = compare_scored(i, &self.week, was, &trial);
                Alternative { movement: self.id(m), sets, difference }
            })
            .collect()
    }
}
