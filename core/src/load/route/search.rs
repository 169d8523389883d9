//! The exact search for the fewest disc moves.
//!
//! A disc lies on the sleeve over an interval of consecutive loads, and because only the outermost comes off,
//! the intervals of two discs are nested or apart. So the best way to serve the loads `from..=to` above a set
//! of discs that stays put is either to serve `from` with just that set and go on, or to push one more disc
//! for `from..=until`, serve those above it, and serve the rest without it. Only the multiset below matters,
//! not its order, which keeps the states few: between two movements the bar is nearly empty.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::super::sums::{Packed, Sums, count_of, with_one_more};

/// The most states that are looked at before the search gives up.
const MOST_STATES: usize = 150_000;

const MOVE: u64 = 1 << 40;
const PRICE: u64 = 1 << 20;
const NEVER: u64 = u64::MAX;

/// One load of the sequence, as sums on one side.
#[derive(Debug, Clone)]
pub(super) struct Want {
    /// The sums that will do, ascending, with the price of each.
    pub sums: Vec<(i64, u32)>,
    /// Whether the innermost disc must be of full diameter.
    pub needs_full: bool,
    /// Whether a full diameter is wanted and out of reach.
    pub blocks_needed: bool,
    /// Whether the bar can tip here.
    pub racked: bool,
    /// Whether the innermost disc must keep to the tip limit.
    pub limited: bool,
}

pub(super) struct Problem<'a> {
    pub sums: &'a Sums,
    pub wants: &'a [Want],
    pub tip_limit: i64,
    pub strip_after: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
struct State {
    from: u8,
    to: u8,
    below: Packed,
}

// The map is only looked up, never walked through, so its order cannot show.
impl std::hash::Hash for State {
    fn hash<H: Hasher>(&self, state: &mut H) {
        state.write_u128(self.below ^ (u128::from(self.from) << 120) ^ (u128::from(self.to) << 112));
    }
}

#[derive(Default)]
struct Mix(u64);

impl Hasher for Mix {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }

    fn write_u64(&mut self, n: u64) {
        self.0 = (self.0.rotate_left(23) ^ n).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        self.0 ^= self.0 >> 29;
    }

    fn write_i64(&mut self, n: i64) {
        self.write_u64(n as u64);
    }

    fn write_u8(&mut self, n: u8) {
        self.write_u64(u64::from(n));
    }

    fn write_u128(&mut self, n: u128) {
        self.write_u64(n as u64);
        self.write_u64((n >> 64) as u64);
    }
}

type Map<K, V> = HashMap<K, V, BuildHasherDefault<Mix>>;

#[derive(Clone, Copy)]
enum Choice {
    Serve,
    Push { kind: u8, until: u8 },
}

struct Search<'a> {
    problem: &'a Problem<'a>,
    best: Map<State, (u64, Choice)>,
    reach: Map<(u8, i64), u8>,
    stopped: bool,
}

impl Problem<'_> {
    /// The stack of each load, innermost first; `None` when it cannot be done or took too many states.
    pub(super) fn solve(&self) -> Option<Vec<Vec<usize>>> {
        if self.wants.is_empty() {
            return Some(Vec::new());
        }
        let last = (self.wants.len() - 1) as u8;
        let mut search = Search { problem: self, best: Map::default(), reach: Map::default(), stopped: false };
        let cost = search.cost(0, last, 0, 0, 0);
        if cost == NEVER || search.stopped {
            return None;
        }
        let mut stacks = Vec::with_capacity(self.wants.len());
        search.tell(0, last, 0, &mut Vec::new(), &mut stacks);
        Some(stacks)
    }
}

impl Search<'_> {
    /// The least cost of serving `from..=to` above the discs `below`, which weigh `weight` and are `discs`.
    fn cost(&mut self, from: u8, to: u8, below: Packed, weight: i64, discs: u32) -> u64 {
        if from > to {
            return 0;
        }
        let state = State { from, to, below };
        if let Some((cost, _)) = self.best.get(&state) {
            return *cost;
        }
        if self.best.len() >= MOST_STATES {
            self.stopped = true;
            return NEVER;
        }
        let problem = self.problem;
        let Some(want) = problem.wants.get(from as usize) else { return NEVER };
        let mut best = (NEVER, Choice::Serve);
        if let Ok(i) = want.sums.binary_search_by_key(&weight, |s| s.0) {
            let price = want.sums.get(i).map_or(0, |s| u64::from(s.1));
            let rest = self.cost(from + 1, to, below, weight, discs);
            if rest != NEVER {
                best = (rest + price * PRICE + u64::from(discs), Choice::Serve);
            }
        }
        let last = (problem.wants.len() - 1) as u8;
        for (k, kind) in problem.sums.kinds.iter().enumerate() {
            if self.stopped || count_of(below, k) >= kind.each {
                continue;
            }
            let above = with_one_more(below, k);
            if problem.sums.sleeve.is_some_and(|mm| problem.sums.thickness(above) > mm) {
                continue;
            }
            let heavier = weight + kind.amount;
            let end = self.reach(from, heavier).min(to + 1);
            for until in from..end {
                if weight == 0 && !self.may_be_innermost(k, from, until) {
                    continue;
                }
                let moves = if until == last && !problem.strip_after { MOVE } else { 2 * MOVE };
                if moves >= best.0 {
                    continue;
                }
                let under = self.cost(from, until, above, heavier, discs + 1);
                if under == NEVER || under + moves >= best.0 {
                    continue;
                }
                let after = self.cost(until + 1, to, below, weight, discs);
                if after != NEVER && under + moves + after < best.0 {
                    best = (under + moves + after, Choice::Push { kind: k as u8, until });
                }
            }
        }
        self.best.insert(state, best);
        best.0
    }

    /// Whether a disc may lie innermost from one load to another.
    fn may_be_innermost(&self, kind: usize, from: u8, until: u8) -> bool {
        let Some(disc) = self.problem.sums.kinds.get(kind) else { return false };
        let wants = self.problem.wants.get(from as usize..=until as usize).unwrap_or(&[]);
        let full = disc.full || wants.iter().all(|w| !w.needs_full);
        let limited = [wants.first(), wants.last()].into_iter().flatten().any(|w| w.limited);
        full && (!limited || disc.amount <= self.problem.tip_limit)
    }

    /// One past the last load that can be reached, in turn from `from`, above discs of this weight.
    fn reach(&mut self, from: u8, weight: i64) -> u8 {
        if let Some(end) = self.reach.get(&(from, weight)) {
            return *end;
        }
        let sums = self.problem.sums;
        let can = |want: &Want| {
            want.sums.iter().any(|s| s.0 == weight || (s.0 > weight && sums.exact(s.0 - weight, false).is_some()))
        };
        let open = self.problem.wants.iter().skip(from as usize).take_while(|w| can(w)).count();
        let end = from + open as u8;
        self.reach.insert((from, weight), end);
        end
    }

    /// Follows the best choices and writes down each stack.
    fn tell(&self, from: u8, to: u8, below: Packed, stack: &mut Vec<usize>, stacks: &mut Vec<Vec<usize>>) {
        if from > to {
            return;
        }
        match self.best.get(&State { from, to, below }) {
            Some((_, Choice::Serve)) | None => {
                stacks.push(stack.clone());
                self.tell(from + 1, to, below, stack, stacks);
            }
            Some((_, Choice::Push { kind, until })) => {
                let kind = *kind as usize;
                stack.push(kind);
                self.tell(from, *until, with_one_more(below, kind), stack, stacks);
                stack.pop();
                self.tell(until + 1, to, below, stack, stacks);
            }
        }
    }
}
