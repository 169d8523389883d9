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
            let alike = |e: usize| state.slots(e).is_empty() && state.alike(e, d);
            if only.is_none() && state.slots(d).is_empty() && (from..d).any(alike) {
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
