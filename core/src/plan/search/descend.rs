//! Full descent: no single change of the neighbourhood improves the week that it leaves.

use super::state::State;

/// Improves `state` by single changes until none helps or `budget` evaluations are spent.
/// Returns the evaluations spent, and whether the descent is complete.
pub(super) fn descend(state: &mut State<'_>, budget: u64) -> (u64, bool) {
    let mut d = Descent { spent: 0, budget };
    state.commit();
    loop {
        let before = state.points();
        for day in 0..state.instance.days.len() {
            d.replace_lines(state, day);
            d.add_lines(state, day);
            d.shift_sets(state, day);
            d.move_lines(state, day);
            if d.spent >= d.budget {
                return (d.spent, false);
            }
        }
        d.replace_everywhere(state);
        if state.points() >= before {
            return (d.spent, d.spent < d.budget);
        }
    }
}

struct Descent {
    spent: u64,
    budget: u64,
}

impl Descent {
    /// Keeps the change since the last commit if it is allowed and better than `before`, else undoes it.
    fn judge(&mut self, state: &mut State<'_>, before: i64, a: usize, b: usize) -> bool {
        self.spent += 1;
        if state.keeps(a) && state.keeps(b) && state.points() < before {
            state.commit();
            return true;
        }
        state.undo();
        false
    }

    /// Other sets, another movement with any sets, or nothing in a line's place.
    fn replace_lines(&mut self, state: &mut State<'_>, day: usize) {
        let movements = state.instance.movements.len();
        let mut k = 0;
        'line: while k < state.lines(day) {
            let line = state.slot(day, k);
            let here = state.ranges.of(day, line.movement);
            for m in 0..movements {
                let range = state.ranges.of(day, m);
                let same = m == line.movement;
                if (!same && (here.must || state.has(day, m))) || self.spent >= self.budget {
                    continue;
                }
                for sets in range.low..=range.high {
                    if same && sets == line.sets {
                        continue;
                    }
                    let before = state.points();
                    if !same {
                        state.change(day, line.movement, 0);
                    }
                    state.change(day, m, sets);
                    if self.judge(state, before, day, day) {
                        continue 'line;
                    }
                }
            }
            if !here.must {
                let before = state.points();
                state.change(day, line.movement, 0);
                if self.judge(state, before, day, day) {
                    continue;
                }
            }
            k += 1;
        }
    }

    fn add_lines(&mut self, state: &mut State<'_>, day: usize) {
        for m in 0..state.instance.movements.len() {
            let range = state.ranges.of(day, m);
            for sets in range.low..=range.high {
                if state.has(day, m) || !state.room(day) || self.spent >= self.budget {
                    break;
                }
                let before = state.points();
                state.change(day, m, sets);
                self.judge(state, before, day, day);
            }
        }
    }

    /// One set from one line of the day to another.
    fn shift_sets(&mut self, state: &mut State<'_>, day: usize) {
        let n = state.lines(day);
        for a in 0..n {
            for b in 0..n {
                let (from, to) = (state.slot(day, a), state.slot(day, b));
                let low = state.ranges.of(day, from.movement).low;
                let high = state.ranges.of(day, to.movement).high;
                if a == b || from.sets <= low || to.sets >= high || self.spent >= self.budget {
                    continue;
                }
                let before = state.points();
                state.change(day, from.movement, from.sets - 1);
                state.change(day, to.movement, to.sets + 1);
                self.judge(state, before, day, day);
            }
        }
    }

    /// A line to another day, alone or against a line of that day.
    fn move_lines(&mut self, state: &mut State<'_>, day: usize) {
        for other in (0..state.instance.days.len()).filter(|o| *o != day) {
            let mut k = 0;
            while k < state.lines(day) {
                let line = state.slot(day, k);
                let m = line.movement;
                let there = state.ranges.of(other, m);
                let mut moved = false;
                if !state.ranges.of(day, m).must && !state.has(other, m) && self.spent < self.budget {
                    let sets = line.sets.clamp(there.low, there.high.max(there.low));
                    if state.room(other) && there.high > 0 {
                        let before = state.points();
                        state.change(day, m, 0);
                        state.change(other, m, sets);
                        moved = self.judge(state, before, day, other);
                    }
                    let mut j = 0;
                    while !moved && there.high > 0 && j < state.lines(other) {
                        let back = state.slot(other, j);
                        j += 1;
                        let here = state.ranges.of(day, back.movement);
                        if here.high == 0
                            || state.ranges.of(other, back.movement).must
                            || state.has(day, back.movement)
                        {
                            continue;
                        }
                        let before = state.points();
                        state.change(day, m, 0);
                        state.change(other, back.movement, 0);
                        state.change(day, back.movement, back.sets.clamp(here.low, here.high));
                        state.change(other, m, sets);
                        moved = self.judge(state, before, day, other);
                    }
                }
                if !moved {
                    k += 1;
                }
            }
        }
    }

    /// One movement by another on every day: what distinct movements cost cannot be seen a day at a time.
    fn replace_everywhere(&mut self, state: &mut State<'_>) {
        let movements = state.instance.movements.len();
        for m in 0..movements {
            if state.exposures(m) < 2 {
                continue;
            }
            for other in 0..movements {
                if other == m || self.spent >= self.budget {
                    continue;
                }
                let before = state.points();
                if swap_everywhere(state, m, other) {
                    self.spent += 1;
                    let kept = state.keeps_all();
                    if kept && state.points() < before {
                        state.commit();
                        break;
                    }
                }
                state.undo();
            }
        }
    }
}

/// Puts `other` in the place of `m` on every day where `m` is and `other` is not. False when a range forbids it.
pub(super) fn swap_everywhere(state: &mut State<'_>, m: usize, other: usize) -> bool {
    for d in 0..state.instance.days.len() {
        let sets = state.sets(d, m);
        if sets == 0 {
            continue;
        }
        let range = state.ranges.of(d, other);
        if state.ranges.of(d, m).must || range.high == 0 {
            return false;
        }
        state.change(d, m, 0);
        if !state.has(d, other) {
            state.change(d, other, sets.clamp(range.low, range.high));
        }
    }
    true
}
