//! What may be changed: for each day and movement the sets that are allowed.

use crate::plan::model::{Instance, Week};

/// The sets allowed in one cell (a movement on a day).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// The movement must be there.
    pub must: bool,
    /// Fewest sets when it is there.
    pub low: i32,
    /// Most sets; 0 keeps the movement off the day.
    pub high: i32,
}

/// The sets allowed in every cell. Holding a part of the week fixed, forcing, forbidding and moving are all
/// said with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ranges {
    movements: usize,
    cells: Vec<Range>,
}

impl Ranges {
    /// Every cell as the instance allows it.
    pub fn free(instance: &Instance) -> Self {
        let row = instance.movements.iter().map(|m| Range { must: false, low: m.sets_min, high: m.sets_max });
        let row: Vec<Range> = row.collect();
        Self { movements: row.len(), cells: row.repeat(instance.days.len()) }
    }

    /// The cell of a movement on a day.
    pub fn of(&self, day: usize, movement: usize) -> Range {
        self.cells[day * self.movements + movement]
    }

    /// Most sets that any cell allows.
    pub(super) fn most(&self) -> i32 {
        self.cells.iter().map(|r| r.low.max(r.high)).max().unwrap_or(0)
    }

    /// Sets one cell.
    pub fn set(&mut self, day: usize, movement: usize, range: Range) {
        self.cells[day * self.movements + movement] = range;
    }

    /// Keeps a movement off a day.
    pub fn forbid(&mut self, day: usize, movement: usize) {
        self.set(day, movement, Range { must: false, low: 1, high: 0 });
    }

    /// Requires a movement on a day, with its usual sets.
    pub fn force(&mut self, day: usize, movement: usize) {
        let r = self.of(day, movement);
        self.set(day, movement, Range { must: true, low: r.low, high: r.high });
    }

    /// Holds a day exactly as it is in `week`.
    pub fn hold_day(&mut self, day: usize, week: &Week) {
        for m in 0..self.movements {
            let sets = week.sets(day, m);
            if sets > 0 {
                self.set(day, m, Range { must: true, low: sets, high: sets });
            } else {
                self.forbid(day, m);
            }
        }
    }

    /// Whether `week` keeps every range.
    pub fn allow(&self, week: &Week) -> bool {
        week.days.iter().enumerate().all(|(d, slots)| {
            slots.iter().all(|s| {
                let r = self.of(d, s.movement);
                r.low <= s.sets && s.sets <= r.high
            })
        }) && self.musts().all(|(d, m)| week.sets(d, m) > 0)
    }

    /// The cells that must be filled.
    pub fn musts(&self) -> impl Iterator<Item = (usize, usize)> {
        let n = self.movements;
        self.cells.iter().enumerate().filter(|(_, r)| r.must).map(move |(k, _)| (k / n, k % n))
    }
}
