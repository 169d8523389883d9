//! Whether movements that must be in the week can be there together: an exact search that proves either way.

use super::ranges::Ranges;
use super::state::State;
use crate::plan::model::{Instance, Week};

/// Nodes after which the question is left open.
const NODES: u32 = 400_000;

/// A movement that must be in the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Requirement {
    /// Index into [`Instance::movements`].
    pub movement: usize,
    /// On so many days.
    pub times: i32,
    /// Only on this day.
    pub day: Option<usize>,
}

/// Limits without a number in the instance, each in force or lifted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools)] // independent limits
pub struct Rules {
    /// One movement of axial load 3 in a session.
    pub axial_three: bool,
    /// No heavy squat with a heavy pull from the floor.
    pub heavy_pair: bool,
    /// Single-joint movements never outnumber the compounds.
    pub over_compounds: bool,
    /// Single-joint sets take at most a third.
    pub third: bool,
}

impl Rules {
    /// All in force, as in the model.
    pub const ALL: Self = Self { axial_three: true, heavy_pair: true, over_compounds: true, third: true };
}

/// What the search proved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Feasible {
    /// This week holds all of it and keeps every limit in force.
    Yes(Week),
    /// There is no such week.
    No,
    /// Neither was proved within the bound on the search.
    Open,
}

/// Whether some week keeps the limits of `instance` under `rules` and holds every requirement.
///
/// Exact: lines at their fewest sets use least of every limit but the two on single-joint work, and for those
/// every further line or set that could help is tried.
pub fn feasible(instance: &Instance, rules: Rules, required: &[Requirement]) -> Feasible {
    feasible_within(instance, rules, required, NODES)
}

/// As [`feasible`], left open after `most` nodes.
pub(super) fn feasible_within(
    instance: &Instance,
    rules: Rules,
    required: &[Requirement],
    most: u32,
) -> Feasible {
    let ranges = Ranges::free(instance);
    let Some(mut state) = State::new(instance, &ranges) else { return Feasible::Open };
    let mut todo: Vec<Item> = Vec::new();
    for r in required {
        let m = &instance.movements[r.movement];
        let days = if r.day.is_some() { 1 } else { instance.days.len() as i32 };
        if r.times > days.min(m.exposures_max) {
            return Feasible::No;
        }
        let seconds = m.fixed_s + m.set_s * m.sets_min;
        for copy in 0..r.times {
            todo.push(Item { movement: r.movement, day: r.day, again: copy > 0, seconds });
        }
    }
    // What leaves least choice first; copies of one movement stay together.
    todo.sort_by_key(|t| (t.day.is_none(), -t.seconds, t.movement, t.again));
    let mut search = Placing { rules, todo, nodes: 0, most, open: false };
    if search.place(&mut state, 0, 0) {
        return Feasible::Yes(state.week());
    }
    if search.open { Feasible::Open } else { Feasible::No }
}

struct Item {
    movement: usize,
    day: Option<usize>,
    again: bool,
    seconds: i32,
}

struct Placing {
    rules: Rules,
    todo: Vec<Item>,
    nodes: u32,
    most: u32,
    open: bool,
}

impl Placing {
    /// Places item `k` and all after it; copies of one movement go from `from` on. True leaves the week in `state`.
    fn place(&mut self, state: &mut State<'_>, k: usize, from: usize) -> bool {
        if !self.spend() {
            return false;
        }
        let Some(item) = self.todo.get(k) else { return self.support(state, 0) };
        let (m, only) = (item.movement, item.day);
        let from = if item.again { from } else { 0 };
        let days = state.instance.days.len();
        for d in from..days {
            if only.is_some_and(|o| o != d) || state.has(d, m) {
                continue;
            }
            // Of empty days with equal limits the first stands for all.
            let alike = |e: usize| state.lines(e) == 0 && state.alike(e, d);
            if only.is_none() && state.lines(d) == 0 && (from..d).any(alike) {
                continue;
            }
            if !state.room(d) {
                self.open = true;
                continue;
            }
            let mark = state.mark();
            state.change(d, m, state.ranges.of(d, m).low);
            if state.keeps_growing(d, self.rules) && self.place(state, k + 1, d + 1) {
                return true;
            }
            state.undo_to(mark);
        }
        false
    }

    /// Brings day `d` and those after it under the limits on single-joint work.
    fn support(&mut self, state: &mut State<'_>, d: usize) -> bool {
        if d == state.instance.days.len() {
            return true;
        }
        if state.keeps_ratios(d, self.rules) {
            return self.support(state, d + 1);
        }
        self.extend(state, d, 0)
    }

    /// Adds sets and lines, in order of movement, that do not count against single-joint work.
    fn extend(&mut self, state: &mut State<'_>, d: usize, from: usize) -> bool {
        if !self.spend() || !state.could_balance(d, self.rules) {
            return false;
        }
        for m in from..state.instance.movements.len() {
            let movement = &state.instance.movements[m];
            if movement.counts_to_third || (movement.single_joint && !self.rules.third) {
                continue;
            }
            let (now, range) = (state.sets(d, m), state.ranges.of(d, m));
            if now == 0 && !state.room(d) {
                self.open = true;
                continue;
            }
            for sets in (now + 1).max(range.low)..=range.high {
                let mark = state.mark();
                state.change(d, m, sets);
                let fits = state.keeps_growing(d, self.rules);
                let balanced = state.keeps_ratios(d, self.rules);
                let done =
                    fits && if balanced { self.support(state, d + 1) } else { self.extend(state, d, m + 1) };
                if done {
                    return true;
                }
                state.undo_to(mark);
                if !fits {
                    break;
                }
            }
        }
        false
    }

    fn spend(&mut self) -> bool {
        self.nodes += 1;
        self.open |= self.nodes > self.most;
        self.nodes <= self.most
    }
}

#[cfg(test)]
mod tests {
    use super::super::random::Random;
    use super::*;
    use crate::plan::model::{Slot, broken_limits};
    use crate::plan::testing::instances;

    /// Masks of the movements that some allowed day of `instance` holds together, by trying every day there is.
    fn masks(instance: &Instance, day: usize) -> Vec<u32> {
        let mut days: Vec<Vec<Slot>> = vec![Vec::new()];
        for (movement, m) in instance.movements.iter().enumerate() {
            for k in 0..days.len() {
                for sets in m.sets_min..=m.sets_max {
                    let mut longer = days[k].clone();
                    longer.push(Slot { movement, sets });
                    days.push(longer);
                }
            }
        }
        let mut out: Vec<u32> = days
            .into_iter()
            .filter(|slots| {
                let mut week = Week::empty(instance.days.len());
                week.days[day].clone_from(slots);
                broken_limits(instance, &week).is_empty()
            })
            .map(|slots| slots.iter().map(|s| 1 << s.movement).sum())
            .collect();
        out.sort_unstable();
        out.dedup();
        out
    }

    #[test]
    fn the_exact_search_agrees_with_trying_every_week() {
        let mut random = Random::new(7);
        let (mut yes, mut no) = (0, 0);
        for instance in instances() {
            for _ in 0..8 {
                let mut i = instance.clone();
                i.days.truncate(2);
                i.near.clear();
                if i.days.len() == 2 {
                    i.days[1].time_s = i.days[0].time_s - 600;
                }
                let seconds = 500 + 200 * random.below(8) as i32;
                i.days.iter_mut().for_each(|d| d.time_s = d.time_s.min(seconds));
                // Half of the movements single-joint, so that support is asked for.
                let (single, other): (Vec<_>, Vec<_>) =
                    instance.movements.iter().cloned().partition(|m| m.single_joint);
                i.movements = (0..6)
                    .filter_map(|k| {
                        let from = if k % 2 == 0 { &single } else { &other };
                        (!from.is_empty()).then(|| from[random.below(from.len())].clone())
                    })
                    .collect();
                let by_day: Vec<Vec<u32>> = (0..i.days.len()).map(|d| masks(&i, d)).collect();
                for _ in 0..6 {
                    let mut required: Vec<Requirement> = Vec::new();
                    for _ in 0..=random.below(3) {
                        let movement = random.below(i.movements.len());
                        if required.iter().all(|r| r.movement != movement) {
                            let times = 1 + random.below(2) as i32;
                            required.push(Requirement { movement, times, day: None });
                        }
                    }
                    let meets = |week: &[u32]| {
                        (0..i.movements.len()).all(|m| {
                            let n = week.iter().filter(|d| *d >> m & 1 == 1).count() as i32;
                            let wanted = required.iter().find(|r| r.movement == m).map_or(0, |r| r.times);
                            wanted <= n && n <= i.movements[m].exposures_max
                        })
                    };
                    let there_is = if by_day.len() == 1 {
                        by_day[0].iter().any(|a| meets(&[*a]))
                    } else {
                        by_day[0].iter().any(|a| by_day[1].iter().any(|b| meets(&[*a, *b])))
                    };
                    match feasible(&i, Rules::ALL, &required) {
                        Feasible::Yes(week) => {
                            assert!(there_is);
                            assert!(broken_limits(&i, &week).is_empty());
                            for r in &required {
                                let n =
                                    (0..week.days.len()).filter(|d| week.sets(*d, r.movement) > 0).count();
                                assert!(n as i32 >= r.times);
                            }
                            yes += 1;
                        }
                        Feasible::No => {
                            assert!(!there_is, "{required:?}");
                            no += 1;
                        }
                        Feasible::Open => panic!("small enough to be settled"),
                    }
                }
            }
        }
        assert!(yes > 50 && no > 50, "{yes} yes, {no} no");
    }
}
