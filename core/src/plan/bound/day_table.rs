//! Optimistic completions of a day: a dynamic programme over blocks of choices.
//!
//! `cell(b, q, t)` is a lower bound on what the choices in blocks `b..` can still add, when the state `q`
//! (movements so far, single-joint movements so far, a carrying movement or none) has been reached and `t`
//! whole buckets of time are left. Every rounding goes the optimistic way: a choice takes its time rounded
//! **down** to buckets, and sums of floors never exceed the floor of the sum.

/// What stands for "impossible".
pub(super) const NEVER: i64 = 1 << 52;

/// Finest division of a day's time.
const BUCKETS_MAX: i64 = 96;

/// What the table must know of a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Step {
    /// Counts as a single-joint movement.
    pub(super) single: bool,
    /// Carries the programme.
    pub(super) carrying: bool,
    /// Whole buckets of time, rounded down.
    pub(super) bucket: usize,
    /// Optimistic cost.
    pub(super) cost: i64,
    /// The caller's number of it.
    pub(super) choice: usize,
}

/// The table, its memory kept from one filling to the next.
#[derive(Debug, Default)]
pub(super) struct DayTable {
    unit2: i64,
    times: usize,
    counts: usize,
    states: usize,
    cells: Vec<i64>,
}

impl DayTable {
    /// A table for a day of `seconds`, at most `movements` movements and `singles` single-joint ones.
    pub(super) fn new(seconds: i32, movements: i32, singles: i32) -> Self {
        let seconds2 = 2 * i64::from(seconds.max(0));
        let unit2 = (seconds2 / BUCKETS_MAX + 1).max(1);
        let counts = movements.max(0) as usize + 1;
        let single_states = singles.clamp(0, movements.max(0)) as usize + 1;
        Self {
            unit2,
            times: (seconds2 / unit2) as usize + 1,
            counts,
            states: 2 * single_states * counts,
            cells: Vec::new(),
        }
    }

    /// Whole buckets in twice so many seconds (not negative), rounded down.
    pub(super) fn bucket(&self, seconds2: i64) -> usize {
        (seconds2 / self.unit2) as usize
    }

    /// Number of a state. The counts must be within the limits given to [`DayTable::new`].
    pub(super) fn state(&self, carrying: bool, singles: usize, movements: usize) -> usize {
        usize::from(carrying) * (self.states / 2) + singles * self.counts + movements
    }

    /// The optimistic completion from block `block` on.
    pub(super) fn cell(&self, block: usize, state: usize, bucket: usize) -> i64 {
        self.cells[(block * self.states + state) * self.times + bucket.min(self.times - 1)]
    }

    /// The steps of a cheapest completion from the first block on, as (block, position in its steps).
    pub(super) fn cheapest(&self, blocks: &[Vec<Step>]) -> Vec<(usize, usize)> {
        let (mut state, mut bucket) = (0, self.times - 1);
        let half = self.states / 2;
        let mut path = Vec::new();
        for (b, steps) in blocks.iter().enumerate() {
            let value = self.cell(b, state, bucket);
            if value == self.cell(b + 1, state, bucket) {
                continue;
            }
            for (k, step) in steps.iter().enumerate() {
                let rest = state % half;
                let singles = rest / self.counts + usize::from(step.single);
                let count = rest % self.counts + 1;
                if step.bucket > bucket || singles * self.counts >= half || count >= self.counts {
                    continue;
                }
                let next = self.state(state >= half || step.carrying, singles, count);
                if self.cell(b + 1, next, bucket - step.bucket) + step.cost == value {
                    path.push((b, k));
                    (state, bucket) = (next, bucket - step.bucket);
                    break;
                }
            }
        }
        path
    }

    /// Fills the table from the last block to the first. `ending(carrying, singles, movements)` is what a
    /// day that ends in that state costs, [`NEVER`] when it breaks a limit. Returns the cells computed.
    pub(super) fn fill(&mut self, blocks: &[Vec<Step>], ending: &dyn Fn(bool, usize, usize) -> i64) -> u64 {
        let size = self.states * self.times;
        self.cells.clear();
        self.cells.resize((blocks.len() + 1) * size, NEVER);
        let half = self.states / 2;
        for state in 0..self.states {
            let (carrying, rest) = (state >= half, state % half);
            let cost = ending(carrying, rest / self.counts, rest % self.counts);
            let from = (blocks.len() * self.states + state) * self.times;
            self.cells[from..from + self.times].fill(cost);
        }
        let mut work = 0;
        for (b, steps) in blocks.iter().enumerate().rev() {
            let (now, later) = self.cells.split_at_mut((b + 1) * size);
            let now = &mut now[b * size..];
            let later = &later[..size];
            now.copy_from_slice(later);
            for state in 0..self.states {
                let rest = state % half;
                let (single, count) = (rest / self.counts, rest % self.counts);
                if count + 1 >= self.counts || single > count {
                    continue;
                }
                for step in steps {
                    let singles = single + usize::from(step.single);
                    if singles * self.counts >= half || step.bucket >= self.times {
                        continue;
                    }
                    let carrying = state >= half || step.carrying;
                    let next = usize::from(carrying) * half + singles * self.counts + count + 1;
                    let to = &mut now[state * self.times + step.bucket..(state + 1) * self.times];
                    let from = &later[next * self.times..(next + 1) * self.times - step.bucket];
                    for (cell, rest) in to.iter_mut().zip(from) {
                        *cell = (*cell).min(rest + step.cost);
                    }
                    work += to.len() as u64;
                }
            }
        }
        work
    }
}

/// Leaves of each kind of step only those that no other beats in both time and cost.
pub(super) fn undominated(mut steps: Vec<Step>) -> Vec<Step> {
    steps.sort_unstable();
    let mut kept: Vec<Step> = Vec::with_capacity(steps.len());
    for step in steps {
        let beaten = kept
            .last()
            .is_some_and(|k| k.single == step.single && k.carrying == step.carrying && k.cost <= step.cost);
        if !beaten {
            kept.push(step);
        }
    }
    kept
}
