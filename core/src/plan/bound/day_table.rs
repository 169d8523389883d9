//! Optimistic completions of a day: a dynamic programme over blocks of choices.
//!
//! `cell(b, q, t)` is a lower bound on what the choices in blocks `b..` can still add, when the state `q`
//! (movements so far, single-joint movements so far, a carrying movement or none) has been reached and `t`
//! whole buckets of time are left. Every rounding goes the optimistic way: a choice takes its time rounded
//! **down** to buckets, and sums of floors never exceed the floor of the sum.

/// What stands for "impossible".
pub(super) const NEVER: i64 = 1 << 52;

/// What the table must know of a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Step {
    /// Movements: one, or two of a pattern that may place several.
    pub(super) movements: usize,
    /// Single-joint movements among them.
    pub(super) singles: usize,
    /// One of them carries the programme.
    pub(super) carrying: bool,
    /// Half-sets for the muscle that the table follows.
    pub(super) gain: usize,
    /// Whole buckets of time, rounded down.
    pub(super) bucket: usize,
    /// Optimistic cost.
    pub(super) cost: i64,
    /// The caller's number of it, and of the second movement's.
    pub(super) choice: usize,
    /// See `choice`.
    pub(super) second: Option<usize>,
}

/// The table, its memory kept from one filling to the next.
#[derive(Debug, Default)]
pub(super) struct DayTable {
    unit: i64,
    levels: usize,
    times: usize,
    counts: usize,
    states: usize,
    cells: Vec<i64>,
}

impl DayTable {
    /// A table for a day of `seconds` in at most `buckets` parts, at most `movements` movements and
    /// `singles` single-joint ones.
    pub(super) fn new(seconds: i32, buckets: i64, movements: i32, singles: i32) -> Self {
        let parts = 16 * i64::from(seconds.max(0));
        let unit = parts / buckets + 1;
        let counts = movements.max(0) as usize + 1;
        let single_states = singles.clamp(0, movements.max(0)) as usize + 1;
        Self {
            unit,
            levels: 1,
            times: (parts / unit) as usize + 1,
            counts,
            states: 2 * single_states * counts,
            cells: Vec::new(),
        }
    }

    /// Follows a muscle up to `most` half-sets; with 0 none.
    pub(super) fn follow(&mut self, most: usize) {
        self.states = self.states / self.levels * (most + 1);
        self.levels = most + 1;
    }

    /// Whole buckets in so many sixteenths of a second (not negative), rounded down.
    pub(super) fn bucket(&self, parts: i64) -> usize {
        (parts / self.unit) as usize
    }

    /// Number of a state. The counts must be within the limits given to [`DayTable::new`].
    pub(super) fn state(&self, level: usize, carrying: bool, singles: usize, movements: usize) -> usize {
        let share = self.states / self.levels;
        level.min(self.levels - 1) * share
            + usize::from(carrying) * (share / 2)
            + singles * self.counts
            + movements
    }

    /// Level, whether a carrying movement is there, single-joint movements and movements of a state.
    fn parts(&self, state: usize) -> (usize, bool, usize, usize) {
        let share = self.states / self.levels;
        let (level, rest) = (state / share, state % share);
        let (carrying, rest) = (rest >= share / 2, rest % (share / 2));
        (level, carrying, rest / self.counts, rest % self.counts)
    }

    /// The optimistic completion from block `block` on.
    pub(super) fn cell(&self, block: usize, state: usize, bucket: usize) -> i64 {
        self.cells[(block * self.states + state) * self.times + bucket.min(self.times - 1)]
    }

    /// The state after a step, `None` when it does not fit into the day.
    fn after(&self, state: usize, step: &Step) -> Option<usize> {
        let (level, carrying, singles, movements) = self.parts(state);
        let (singles, movements) = (singles + step.singles, movements + step.movements);
        let fits = singles * self.counts < self.states / self.levels / 2 && movements < self.counts;
        fits.then(|| self.state(level + step.gain, carrying || step.carrying, singles, movements))
    }

    /// The steps of a cheapest completion from the first block on, as (block, position in its steps).
    /// `spans` as in [`DayTable::fill`].
    pub(super) fn cheapest(&self, blocks: &[Vec<Step>], spans: &[usize]) -> Vec<(usize, usize)> {
        let (mut state, mut bucket, mut b) = (0, self.times - 1, 0);
        let mut path = Vec::new();
        while b < blocks.len() {
            let value = self.cell(b, state, bucket);
            let mut to = b + spans[b];
            if value != self.cell(to, state, bucket) {
                for (k, step) in blocks[b].iter().enumerate() {
                    let Some(next) = self.after(state, step).filter(|_| step.bucket <= bucket) else {
                        continue;
                    };
                    let from = if step.movements == 2 { b + 2 } else { b + spans[b] };
                    if self.cell(from, next, bucket - step.bucket) + step.cost == value {
                        path.push((b, k));
                        (state, bucket, to) = (next, bucket - step.bucket, from);
                        break;
                    }
                }
            }
            b = to;
        }
        path
    }

    /// Fills the table from the last block to the first. `ending(full, carrying, singles, movements)` is what
    /// a day that ends in that state costs (`full`: the muscle followed is at its most), [`NEVER`] when it breaks a limit. `spans[b]` is 1, or for the
    /// first of several blocks of one pattern their number: from there the table goes on after them all, or
    /// after two of them when a step places two movements. Returns the cells computed.
    pub(super) fn fill(
        &mut self,
        blocks: &[Vec<Step>],
        spans: &[usize],
        ending: &dyn Fn(bool, bool, usize, usize) -> i64,
    ) -> u64 {
        let size = self.states * self.times;
        let mut cells = std::mem::take(&mut self.cells);
        cells.clear();
        cells.resize((blocks.len() + 1) * size, NEVER);
        for state in 0..self.states {
            let (level, carrying, singles, movements) = self.parts(state);
            let cost = ending(level + 1 == self.levels, carrying, singles, movements);
            let from = (blocks.len() * self.states + state) * self.times;
            cells[from..from + self.times].fill(cost);
        }
        let mut work = 0;
        for (b, steps) in blocks.iter().enumerate().rev() {
            let (now, later) = cells.split_at_mut((b + 1) * size);
            let now = &mut now[b * size..];
            now.copy_from_slice(&later[(spans[b] - 1) * size..spans[b] * size]);
            for state in 0..self.states {
                let (_, _, singles, movements) = self.parts(state);
                if singles > movements {
                    continue;
                }
                for step in steps {
                    let Some(next) = self.after(state, step).filter(|_| step.bucket < self.times) else {
                        continue;
                    };
                    let stage = if step.movements == 2 { 1 } else { spans[b] - 1 };
                    let from = stage * size + next * self.times;
                    let from = &later[from..from + self.times - step.bucket];
                    let to = &mut now[state * self.times + step.bucket..(state + 1) * self.times];
                    for (cell, rest) in to.iter_mut().zip(from) {
                        *cell = (*cell).min(rest + step.cost);
                    }
                    work += to.len() as u64;
                }
            }
        }
        self.cells = cells;
        work
    }
}

/// Leaves of each kind of step only those that no other beats in both time and cost.
pub(super) fn undominated(mut steps: Vec<Step>) -> Vec<Step> {
    steps.sort_unstable();
    let mut kept: Vec<Step> = Vec::with_capacity(steps.len());
    for step in steps {
        let beaten = kept.last().is_some_and(|k| {
            let kind = |s: &Step| (s.movements, s.singles, s.carrying, s.gain);
            kind(k) == kind(&step) && k.cost <= step.cost
        });
        if !beaten {
            kept.push(step);
        }
    }
    kept
}
