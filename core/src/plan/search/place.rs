//! Places what must be in the week before anything else is chosen, by a small exact search.

use super::feasible::{Feasible, Requirement, Rules, feasible_within};
use super::state::State;
use crate::plan::model::Week;
use std::cell::OnceCell;

/// Price from which a wanted session is a requirement.
const REQUIRED: i32 = 100_000;
/// Nodes after which the search settles for the best found.
const NODES: u32 = 40_000;
/// Nodes of the search for all of it at once, where the first search left something out.
const ALL_NODES: u32 = 20_000;

/// Weeks to begin with, each worked out once, when it is first asked for.
pub(super) struct Placed {
    /// By the day that is tried first.
    weeks: Vec<Option<Week>>,
    /// The week with every requirement, which no day comes first in; inside, whether there is one.
    whole: OnceCell<Option<Week>>,
}

impl Placed {
    /// Nothing worked out yet.
    pub(super) fn new(days: usize) -> Self {
        Self { weeks: vec![None; days], whole: OnceCell::new() }
    }

    /// Fills `state` with the musts of its ranges and then with as many required sessions as fit, the
    /// higher-priced first, trying day `rotate` first.
    pub(super) fn put(&mut self, state: &mut State<'_>, rotate: usize) {
        if let Some(week) = &self.weeks[rotate] {
            state.put(week);
            return;
        }
        state.put(&Week::empty(state.instance.days.len()));
        place(state, rotate, &self.whole);
        self.weeks[rotate] = Some(state.week());
    }
}

/// Fills an empty `state`; `whole` is asked, and worked out, only where the first search leaves something out.
fn place(state: &mut State<'_>, rotate: usize, whole: &OnceCell<Option<Week>>) {
    for (day, movement) in state.ranges.musts().collect::<Vec<_>>() {
        let low = state.ranges.of(day, movement).low;
        state.change(day, movement, low);
    }
    // A required single-joint line may need compounds that nobody asked for.
    let mut helper =
        Placing { todo: Vec::new(), best: 0, plan: Vec::new(), path: Vec::new(), nodes: 0, rotate };
    for day in 0..state.instance.days.len() {
        if !state.keeps(day) {
            helper.support(state, day);
        }
    }
    let mut todo: Vec<(i32, usize)> = Vec::new();
    for (m, movement) in state.instance.movements.iter().enumerate() {
        let missing = movement.exposures_wanted - state.exposures(m);
        // Only requirements are worth an exact search: they are priced above all else.
        if movement.exposure_price >= REQUIRED {
            todo.extend((0..missing).map(|_| (movement.exposure_price, m)));
        }
    }
    todo.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    if todo.is_empty() {
        state.commit();
        return;
    }
    let mut search = Placing { todo, best: i64::MIN, plan: Vec::new(), path: Vec::new(), nodes: 0, rotate };
    let mark = state.mark();
    search.go(state, 0, 0);
    state.undo_to(mark);
    let all: i64 = search.todo.iter().map(|t| i64::from(t.0)).sum();
    if search.best < all
        && state.ranges.musts().next().is_none()
        && let Some(week) = whole.get_or_init(|| all_at_once(state))
    {
        state.put(week);
        return;
    }
    for (day, movement, sets) in search.plan {
        state.change(day, movement, sets);
    }
    state.commit();
}

/// A week with every requirement, with whatever supports it, if there is one and it is found.
fn all_at_once(state: &State<'_>) -> Option<Week> {
    let instance = state.instance;
    let required: Vec<Requirement> = instance
        .movements
        .iter()
        .enumerate()
        .filter(|(_, m)| m.exposure_price >= REQUIRED && m.exposures_wanted > 0)
        .map(|(movement, m)| Requirement { movement, times: m.exposures_wanted, day: None })
        .collect();
    match feasible_within(instance, Rules::ALL, &required, ALL_NODES) {
        Feasible::Yes(week) if state.ranges.allow(&week) => Some(week),
        _ => None,
    }
}

struct Placing {
    todo: Vec<(i32, usize)>,
    best: i64,
    plan: Vec<(usize, usize, i32)>,
    path: Vec<(usize, usize, i32)>,
    nodes: u32,
    rotate: usize,
}

impl Placing {
    fn go(&mut self, state: &mut State<'_>, k: usize, placed: i64) {
        self.nodes += 1;
        if placed > self.best {
            self.best = placed;
            self.plan.clone_from(&self.path);
        }
        let rest: i64 = self.todo[k..].iter().map(|t| i64::from(t.0)).sum();
        if k == self.todo.len() || placed + rest <= self.best || self.nodes > NODES {
            return;
        }
        let (price, m) = self.todo[k];
        let days = state.instance.days.len();
        for k_day in 0..days {
            let d = (k_day + self.rotate) % days;
            let range = state.ranges.of(d, m);
            if state.has(d, m) || range.high == 0 || !state.room(d) {
                continue;
            }
            let mark = state.mark();
            let path = self.path.len();
            state.change(d, m, range.low);
            self.path.push((d, m, range.low));
            if state.keeps(d) || self.support(state, d) {
                self.go(state, k + 1, placed + i64::from(price));
            }
            state.undo_to(mark);
            self.path.truncate(path);
        }
        self.go(state, k + 1, placed);
    }

    /// Single-joint work needs compounds beside it: tries one, then two, with any sets.
    fn support(&mut self, state: &mut State<'_>, day: usize) -> bool {
        let compounds: Vec<usize> = (0..state.instance.movements.len())
            .filter(|c| state.instance.movements[*c].compound && state.ranges.of(day, *c).high > 0)
            .filter(|c| !state.has(day, *c))
            .collect();
        for (k, &a) in compounds.iter().enumerate() {
            let ra = state.ranges.of(day, a);
            for sa in ra.low..=ra.high {
                let mark = state.mark();
                state.change(day, a, sa);
                if state.keeps(day) {
                    self.path.push((day, a, sa));
                    return true;
                }
                if state.over_time(day) <= 0 && state.room(day) {
                    for &b in &compounds[k + 1..] {
                        let rb = state.ranges.of(day, b);
                        let inner = state.mark();
                        state.change(day, b, rb.high);
                        if state.keeps(day) {
                            self.path.push((day, a, sa));
                            self.path.push((day, b, rb.high));
                            return true;
                        }
                        state.undo_to(inner);
                        state.change(day, b, rb.low);
                        if state.keeps(day) {
                            self.path.push((day, a, sa));
                            self.path.push((day, b, rb.low));
                            return true;
                        }
                        state.undo_to(inner);
                    }
                }
                state.undo_to(mark);
            }
        }
        false
    }
}
