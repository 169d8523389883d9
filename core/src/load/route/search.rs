//! The exact search for the fewest disc moves.
//!
//! A disc lies on the sleeve over an interval of consecutive loads, and because only the outermost comes off,
//! the intervals of two discs are nested or apart. So the best way to serve the loads `from..=to` above a set
//! of discs that stays put is either to serve `from` with just that set and go on, or to push one more disc
//! for `from..=until`, serve those above it, and serve the rest without it. Only the multiset below matters,
//! not its order, which keeps the states few: between two movements the bar is nearly empty. The order of the
//! discs decides among routes of equal cost only, in a second pass over those.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::super::sums::{Packed, Sums, count_of, with_one_more};

/// The most states that are looked at before the search gives up.
const MOST_STATES: usize = 200_000;
/// How many discs on and off the lower bound tells apart from one load to the next.
const DEEPEST: u64 = 3;

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
    /// Whether the innermost disc must keep to the tip limit.
    pub limited: bool,
}

pub(super) struct Problem<'a> {
    pub sums: &'a Sums,
    pub wants: &'a [Want],
    pub tip_limit: i64,
    pub strip_after: bool,
}

/// Discs of one mass: above the innermost it does not matter which of them are of full diameter.
struct Class {
    amount: i64,
    each: u32,
    thickness: u32,
    /// Kinds of full diameter, then the others.
    full: Vec<usize>,
    other: Vec<usize>,
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
    Push { class: u8, until: u8 },
}

/// What is known of a state: its least cost and how, or that it costs at least so much.
#[derive(Clone, Copy)]
struct Known {
    cost: u64,
    choice: Option<Choice>,
}

/// The discs that stay put.
#[derive(Clone, Copy)]
struct Below {
    packed: Packed,
    weight: i64,
    discs: u32,
    /// The outermost of them.
    top: Option<u8>,
}

impl Below {
    const NOTHING: Self = Self { packed: 0, weight: 0, discs: 0, top: None };

    fn with(&self, class: usize, amount: i64) -> Self {
        Self {
            packed: with_one_more(self.packed, class),
            weight: self.weight + amount,
            discs: self.discs + 1,
            top: Some(class as u8),
        }
    }
}

/// A state with its outermost disc, by which alone the order of discs differs.
type Turn = (State, Option<u8>);

struct Search<'a> {
    problem: &'a Problem<'a>,
    classes: Vec<Class>,
    best: Map<State, Known>,
    /// Of the choices of least cost, how few discs lie outside a lighter one, and which choice that is.
    ordered: Map<Turn, (u32, Choice)>,
    reach: Map<(u8, i64), u8>,
    /// Fewest discs on and off, whatever their order, for a difference in mass; absent beyond [`DEEPEST`].
    steps: Map<i64, u64>,
    /// For each load, the least cost of passing from the first to it.
    passed: Vec<u64>,
    /// For each load and those before it, the fewest discs on the bar.
    lying: Vec<u64>,
    stopped: bool,
}

impl Problem<'_> {
    /// The stack of each load, innermost first; `None` when it cannot be done or took too many states.
    pub(super) fn solve(&self) -> Option<Vec<Vec<usize>>> {
        if self.wants.is_empty() {
            return Some(Vec::new());
        }
        let last = (self.wants.len() - 1) as u8;
        let mut search = Search::new(self);
        let cost = search.cost(0, last, 0, 0, 0, NEVER);
        if cost == NEVER || search.stopped {
            return None;
        }
        // When the order takes too many states, the route is as short without it.
        let ordered = search.outside(0, last, &Below::NOTHING, cost).is_some();
        let mut stacks = Vec::with_capacity(self.wants.len());
        search.tell(0, last, &Below::NOTHING, ordered, &mut Vec::new(), &mut stacks);
        Some(stacks)
    }
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem<'a>) -> Self {
        let mut classes: Vec<Class> = Vec::new();
        for (k, kind) in problem.sums.kinds.iter().enumerate() {
            let thickness = if problem.sums.sleeve.is_some() { kind.thickness } else { 0 };
            let place = classes.iter().position(|c| c.amount == kind.amount && c.thickness == thickness);
            let place = place.unwrap_or_else(|| {
                classes.push(Class { amount: kind.amount, each: 0, thickness, full: vec![], other: vec![] });
                classes.len() - 1
            });
            if let Some(class) = classes.get_mut(place) {
                // Eight bits a class; more than 255 of one mass on a side cannot be needed.
                class.each = (class.each + kind.each).min(255);
                if kind.full {
                    class.full.push(k);
                } else {
                    class.other.push(k);
                }
            }
        }
        let mut search = Self {
            problem,
            classes,
            best: Map::default(),
            ordered: Map::default(),
            reach: Map::default(),
            steps: Map::default(),
            passed: Vec::new(),
            lying: Vec::new(),
            stopped: false,
        };
        search.measure();
        search
    }

    /// Works out what the lower bound needs.
    fn measure(&mut self) {
        let mut edge = vec![0];
        self.steps.insert(0, 0);
        for depth in 1..=DEEPEST {
            let mut next = Vec::new();
            for at in edge {
                for change in self.classes.iter().flat_map(|c| [c.amount, -c.amount]) {
                    if let std::collections::hash_map::Entry::Vacant(free) = self.steps.entry(at + change) {
                        free.insert(depth);
                        next.push(at + change);
                    }
                }
            }
            edge = next;
        }
        let (mut passed, mut lying) = (0, 0);
        let mut before: Option<&Want> = None;
        for want in self.problem.wants {
            if let Some(before) = before {
                passed += before.sums.iter().map(|s| self.least_moves(s.0, want)).min().unwrap_or(0);
            }
            self.passed.push(passed);
            // With a sleeve to keep to, sums know the thinnest discs, not the fewest.
            if self.problem.sums.sleeve.is_none() {
                let fewest = |s: &(i64, u32)| self.problem.sums.exact(s.0, false).map_or(0, |s| s.discs);
                lying += u64::from(want.sums.iter().map(fewest).min().unwrap_or(0));
            }
            self.lying.push(lying);
            before = Some(want);
        }
    }

    /// Fewest moves from a sum to a load, whatever the order of the discs.
    fn least_moves(&self, sum: i64, want: &Want) -> u64 {
        want.sums
            .iter()
            .map(|s| self.steps.get(&(s.0 - sum)).copied().unwrap_or(DEEPEST + 1))
            .min()
            .unwrap_or(0)
    }

    /// A cost that serving `from..=to` above a weight is never below.
    fn bound(&self, from: u8, to: u8, weight: i64) -> u64 {
        let wants = self.problem.wants;
        let (Some(first), Some(last)) = (wants.get(from as usize), wants.get(to as usize)) else {
            return 0;
        };
        let at = |list: &[u64], i: usize| list.get(i).copied().unwrap_or(0);
        let mut moves =
            self.least_moves(weight, first) + at(&self.passed, to as usize) - at(&self.passed, from as usize);
        if (to as usize) + 1 < wants.len() || self.problem.strip_after {
            moves += self.least_moves(weight, last);
        }
        let before = (from as usize).checked_sub(1).map_or(0, |i| at(&self.lying, i));
        moves * MOVE + at(&self.lying, to as usize) - before
    }

    /// The least cost of serving `from..=to` above the discs `below`, which weigh `weight` and are `discs`;
    /// [`NEVER`] when it is not below `limit`.
    fn cost(&mut self, from: u8, to: u8, below: Packed, weight: i64, discs: u32, limit: u64) -> u64 {
        if from > to {
            return 0;
        }
        let state = State { from, to, below };
        if let Some(known) = self.best.get(&state) {
            if known.choice.is_some() {
                return if known.cost < limit { known.cost } else { NEVER };
            }
            if known.cost >= limit {
                return NEVER;
            }
        }
        if self.bound(from, to, weight) >= limit {
            return NEVER;
        }
        if self.best.len() >= MOST_STATES {
            self.stopped = true;
            return NEVER;
        }
        let problem = self.problem;
        let Some(want) = problem.wants.get(from as usize) else {
            return NEVER;
        };
        let mut best = Known { cost: limit, choice: None };
        if let Ok(i) = want.sums.binary_search_by_key(&weight, |s| s.0) {
            let here = want.sums.get(i).map_or(0, |s| u64::from(s.1)) * PRICE + u64::from(discs);
            let rest = self.cost(from + 1, to, below, weight, discs, best.cost.saturating_sub(here));
            if rest != NEVER && rest + here < best.cost {
                best = Known { cost: rest + here, choice: Some(Choice::Serve) };
            }
        }
        for class in 0..self.classes.len() {
            let Some((above, heavier)) = self.pushed(class, below, weight) else {
                continue;
            };
            let end = self.reach(from, heavier).min(to + 1);
            for until in from..end {
                if discs == 0 && !self.may_be_innermost(class, from, until) {
                    continue;
                }
                let moves = self.moves(until);
                let least_after = if until < to { self.bound(until + 1, to, weight) } else { 0 };
                let room = best.cost.saturating_sub(moves + least_after);
                if room == 0 {
                    continue;
                }
                let under = self.cost(from, until, above, heavier, discs + 1, room);
                if under == NEVER {
                    continue;
                }
                let room = best.cost.saturating_sub(moves + under);
                let after = self.cost(until + 1, to, below, weight, discs, room);
                if after != NEVER && under + moves + after < best.cost {
                    let choice = Choice::Push { class: class as u8, until };
                    best = Known { cost: under + moves + after, choice: Some(choice) };
                }
            }
        }
        if self.stopped {
            return NEVER;
        }
        self.best.insert(state, best);
        if best.choice.is_some() { best.cost } else { NEVER }
    }

    /// The discs below with one more of a class, and their weight; `None` when there is none or no room.
    fn pushed(&self, class: usize, below: Packed, weight: i64) -> Option<(Packed, i64)> {
        let (amount, each) = self.classes.get(class).map(|c| (c.amount, c.each))?;
        if self.stopped || count_of(below, class) >= each {
            return None;
        }
        let above = with_one_more(below, class);
        let room = self.problem.sums.sleeve.is_none_or(|mm| self.thickness(above) <= mm);
        room.then_some((above, weight + amount))
    }

    /// The moves of a disc that lies until a load: on, and off unless it may stay for good.
    fn moves(&self, until: u8) -> u64 {
        let last = until as usize + 1 == self.problem.wants.len();
        if last && !self.problem.strip_after { MOVE } else { 2 * MOVE }
    }

    /// Of all ways to serve `from..=to` at the least cost, the fewest discs put on outside a lighter one; `None`
    /// when it took too many states. Common practice, no source: larger discs inside.
    fn outside(&mut self, from: u8, to: u8, below: &Below, least: u64) -> Option<u32> {
        if from > to {
            return Some(0);
        }
        let turn = (State { from, to, below: below.packed }, below.top);
        if let Some((outside, _)) = self.ordered.get(&turn) {
            return Some(*outside);
        }
        if self.ordered.len() >= MOST_STATES {
            return None;
        }
        let problem = self.problem;
        let want = problem.wants.get(from as usize)?;
        let mut best: Option<(u32, Choice)> = None;
        if let Ok(i) = want.sums.binary_search_by_key(&below.weight, |s| s.0) {
            let here = want.sums.get(i).map_or(0, |s| u64::from(s.1)) * PRICE + u64::from(below.discs);
            if let Some(rest) = least.checked_sub(here)
                && self.cost(from + 1, to, below.packed, below.weight, below.discs, rest + 1) == rest
            {
                best = Some((self.outside(from + 1, to, below, rest)?, Choice::Serve));
            }
        }
        for class in 0..self.classes.len() {
            let Some((packed, weight)) = self.pushed(class, below.packed, below.weight) else {
                continue;
            };
            let above = below.with(class, weight - below.weight);
            let here = u32::from(self.lighter(below.top, class));
            let end = self.reach(from, weight).min(to + 1);
            for until in from..end {
                let no_better = best.is_some_and(|(outside, _)| here >= outside);
                if no_better || (below.discs == 0 && !self.may_be_innermost(class, from, until)) {
                    continue;
                }
                let after = if until < to { self.bound(until + 1, to, below.weight) } else { 0 };
                let Some(room) = least.checked_sub(self.moves(until) + after) else {
                    continue;
                };
                let under = self.cost(from, until, packed, weight, above.discs, room + 1);
                if under == NEVER {
                    continue;
                }
                let Some(rest) = least.checked_sub(self.moves(until) + under) else {
                    continue;
                };
                if self.cost(until + 1, to, below.packed, below.weight, below.discs, rest + 1) != rest {
                    continue;
                }
                let outside = here
                    + self.outside(from, until, &above, under)?
                    + self.outside(until + 1, to, below, rest)?;
                if best.is_none_or(|(fewest, _)| outside < fewest) {
                    best = Some((outside, Choice::Push { class: class as u8, until }));
                }
            }
        }
        let best = best.filter(|_| !self.stopped)?;
        self.ordered.insert(turn, best);
        Some(best.0)
    }

    /// Whether the outermost disc is lighter than one of this class.
    fn lighter(&self, top: Option<u8>, class: usize) -> bool {
        let amount = |c: usize| self.classes.get(c).map_or(0, |c| c.amount);
        top.is_some_and(|top| amount(top as usize) < amount(class))
    }

    fn thickness(&self, packed: Packed) -> u32 {
        (0..).zip(&self.classes).map(|(c, class)| count_of(packed, c) * class.thickness).sum()
    }

    /// Whether a disc may lie innermost from one load to another.
    fn may_be_innermost(&self, class: usize, from: u8, until: u8) -> bool {
        let Some(class) = self.classes.get(class) else {
            return false;
        };
        let wants = self.problem.wants.get(from as usize..=until as usize).unwrap_or(&[]);
        let full = !class.full.is_empty() || wants.iter().all(|w| !w.needs_full);
        let limited = [wants.first(), wants.last()].into_iter().flatten().any(|w| w.limited);
        full && (!limited || class.amount <= self.problem.tip_limit)
    }

    /// One past the last load that can be reached, in turn from `from`, above discs of this weight.
    fn reach(&mut self, from: u8, weight: i64) -> u8 {
        if let Some(end) = self.reach.get(&(from, weight)) {
            return *end;
        }
        let sums = self.problem.sums;
        let can = |want: &Want| {
            want.sums
                .iter()
                .any(|s| s.0 == weight || (s.0 > weight && sums.exact(s.0 - weight, false).is_some()))
        };
        let open = self.problem.wants.iter().skip(from as usize).take_while(|w| can(w)).count();
        let end = from + open as u8;
        self.reach.insert((from, weight), end);
        end
    }

    /// Follows the best choices, the ordered ones if they are all known, and writes down each stack.
    fn tell(
        &self,
        from: u8,
        to: u8,
        below: &Below,
        ordered: bool,
        stack: &mut Vec<usize>,
        stacks: &mut Vec<Vec<usize>>,
    ) {
        if from > to {
            return;
        }
        let state = State { from, to, below: below.packed };
        let choice = if ordered {
            self.ordered.get(&(state, below.top)).map(|o| o.1)
        } else {
            self.best.get(&state).and_then(|k| k.choice)
        };
        match choice {
            Some(Choice::Push { class, until }) => {
                let class = class as usize;
                stack.push(self.kind_for(class, stack));
                let amount = self.classes.get(class).map_or(0, |c| c.amount);
                self.tell(from, until, &below.with(class, amount), ordered, stack, stacks);
                stack.pop();
                self.tell(until + 1, to, below, ordered, stack, stacks);
            }
            Some(Choice::Serve) | None => {
                stacks.push(stack.clone());
                self.tell(from + 1, to, below, ordered, stack, stacks);
            }
        }
    }

    /// Which disc of a mass to take: of full diameter innermost, the others first above it.
    fn kind_for(&self, class: usize, stack: &[usize]) -> usize {
        let Some(class) = self.classes.get(class) else {
            return 0;
        };
        let (first, then) =
            if stack.is_empty() { (&class.full, &class.other) } else { (&class.other, &class.full) };
        let kinds = &self.problem.sums.kinds;
        let free = |k: &&usize| {
            let used = stack.iter().filter(|s| s == k).count();
            kinds.get(**k).is_some_and(|kind| used < kind.each as usize)
        };
        first.iter().chain(then).find(free).copied().unwrap_or(0)
    }
}
