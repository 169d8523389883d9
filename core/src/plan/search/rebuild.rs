//! Large steps: part of the week is torn down and built up again line by line, best line first.
//!
//! Annealing changes one or two lines at a time; where minutes are short the best weeks differ in whole
//! days, and every small step between them breaks a limit or a goal.

use super::random::Random;
use super::state::State;
use super::walk::Walk;
use crate::plan::model::Week;

/// Times that a rebuilding asks whether to go on.
pub(super) const ASKS: u64 = 8;
/// Cells that one building up leaves out.
const LEFT_OUT: usize = 6;
/// Points above the best week at which a rebuilding goes back to it.
const FARTHEST: i64 = 2500;

/// Cells that a building up may not fill.
#[derive(Default)]
struct LeftOut {
    cells: [(usize, usize); LEFT_OUT],
    len: usize,
}

impl LeftOut {
    fn push(&mut self, day: usize, movement: usize) -> bool {
        let room = self.len < LEFT_OUT;
        if room {
            self.cells[self.len] = (day, movement);
            self.len += 1;
        }
        room
    }

    fn has(&self, day: usize, movement: usize) -> bool {
        self.cells[..self.len].contains(&(day, movement))
    }
}

/// Spends `budget` evaluations on tearing down and building up, keeping what is no worse, or a little.
/// Days of the `elite` weeks are tried in place of the week's own.
/// Returns the evaluations spent. `go_on` is asked [`ASKS`] times.
pub(super) fn rebuild(
    state: &mut State<'_>,
    random: &mut Random,
    budget: u64,
    elite: &[Week],
    go_on: &mut dyn FnMut(i64, u64) -> bool,
) -> u64 {
    let days = state.instance.days.len();
    let mut spent = 0;
    if state.instance.movements.is_empty() || days == 0 {
        return 0;
    }
    let mut walk = Walk::from(state);
    let mut touched = Vec::with_capacity(days);
    let mut asked = 0;
    while spent < budget {
        touched.clear();
        let mut out = LeftOut::default();
        let first = random.below(days);
        touched.push(first);
        let roll = random.below(100);
        if roll < 12 && days > 1 && !elite.is_empty() {
            let from = &elite[random.below(elite.len())];
            borrow_day(state, random, first, from);
            let second = (first + 1 + random.below(days - 1)) % days;
            tear_down(state, random, second);
            touched.push(second);
        } else if roll < 32 && state.lines(first) > 0 {
            let movement = state.slot(first, random.below(state.lines(first))).movement;
            let barred = random.below(2) == 0;
            for day in 0..days {
                if state.has(day, movement) && !state.ranges.of(day, movement).must {
                    state.change(day, movement, 0);
                    if barred {
                        out.push(day, movement);
                    }
                    if day != first {
                        touched.push(day);
                    }
                }
            }
            let day = touched[random.below(touched.len())];
            tear_down(state, random, day);
        } else {
            tear_down(state, random, first);
            if days > 1 && random.below(2) == 0 {
                let second = (first + 1 + random.below(days - 1)) % days;
                tear_down(state, random, second);
                touched.push(second);
            }
        }
        spent += 1 + build_up(state, random, &touched, out);
        let kept = state.keeps_all();
        // A little worse is taken, so that the next step starts elsewhere.
        let slack = if random.below(3) == 0 { i64::from(random.bits() % 600) } else { 0 };
        walk.weigh(state, kept, |worse| worse <= slack);
        walk.stay_within(state, FARTHEST);
        if spent * ASKS >= budget * (asked + 1) {
            asked += 1;
            if !go_on(walk.best(), spent) {
                break;
            }
        }
    }
    walk.end(state);
    spent
}

/// Takes a random part of a day's lines out.
fn tear_down(state: &mut State<'_>, random: &mut Random, day: usize) {
    let mut out = 1 + random.below(state.lines(day).max(1));
    while out > 0 && state.lines(day) > 0 {
        out -= 1;
        let line = state.slot(day, random.below(state.lines(day)));
        if !state.ranges.of(day, line.movement).must {
            state.change(day, line.movement, 0);
        }
    }
}

/// Puts any day of another week in a day's place, as far as the ranges and the exposures allow it.
fn borrow_day(state: &mut State<'_>, random: &mut Random, day: usize, from: &Week) {
    for k in (0..state.lines(day)).rev() {
        let line = state.slot(day, k);
        if !state.ranges.of(day, line.movement).must {
            state.change(day, line.movement, 0);
        }
    }
    let Some(lines) = from.days.get(random.below(from.days.len())) else { return };
    for line in lines {
        let m = line.movement;
        let range = state.ranges.of(day, m);
        let most = state.instance.movements[m].exposures_max;
        if range.high == 0 || state.has(day, m) || !state.room(day) {
            continue;
        }
        if state.exposures(m) >= most {
            let others = (0..state.instance.days.len()).filter(|d| *d != day);
            let Some(other) = others.into_iter().find(|d| state.has(*d, m) && !state.ranges.of(*d, m).must)
            else {
                continue;
            };
            // Taking a line off a day may break the balance of that day; the caller sees it in the limits.
            state.change(other, m, 0);
        }
        state.change(day, m, line.sets.clamp(range.low, range.high));
    }
}

/// Adds the line, or the set, that helps most, until nothing helps; now and then a promising one is left out.
fn build_up(state: &mut State<'_>, random: &mut Random, days: &[usize], mut out: LeftOut) -> u64 {
    let movements = state.instance.movements.len();
    let mut spent = 0;
    loop {
        let before = state.points();
        let mut best: Option<(i64, usize, usize, i32)> = None;
        for &day in days {
            let seconds_left = -state.over_time(day);
            for m in 0..movements {
                let range = state.ranges.of(day, m);
                let has = state.sets(day, m);
                if range.high == 0 || (has == 0 && !state.room(day)) || out.has(day, m) {
                    continue;
                }
                let movement = &state.instance.movements[m];
                let options = if has == 0 { [range.low, range.low + 1, range.high] } else { [has + 1, 0, 0] };
                let mut last = 0;
                for sets in options {
                    if sets <= last || sets > range.high {
                        continue;
                    }
                    last = sets;
                    let needs = movement.set_s * (sets - has) + if has == 0 { movement.fixed_s } else { 0 };
                    if state.instance.prices.pair_saves_s == 0 && needs > seconds_left {
                        break;
                    }
                    spent += 1;
                    let mark = state.mark();
                    state.change(day, m, sets);
                    if state.keeps(day) {
                        let gain = before - state.points();
                        // The clock is what runs short: gains are weighed by the seconds that they take.
                        let worth = gain * 1000 / i64::from(needs.max(60));
                        if gain > 0 && best.is_none_or(|b| worth > b.0) {
                            best = Some((worth, day, m, sets));
                        }
                    }
                    state.undo_to(mark);
                }
            }
        }
        let Some((_, day, m, sets)) = best else { return spent };
        if random.below(5) == 0 && out.push(day, m) {
            continue;
        }
        state.change(day, m, sets);
    }
}

#[cfg(test)]
mod tests {
    use super::super::ranges::Ranges;
    use super::*;
    use crate::plan::model::{broken_limits, score};
    use crate::plan::testing::instances;

    /// Tearing down, borrowing and building up leave a running score that is the plain one, and a sound week.
    #[test]
    fn rebuilding_keeps_score_and_limits() {
        for (k, instance) in instances().iter().enumerate() {
            let ranges = Ranges::free(instance);
            let mut state = State::new(instance, &ranges).expect("small enough");
            let mut random = Random::new(k as u64);
            let mut elite: Vec<Week> = Vec::new();
            let mut before = state.points();
            for _ in 0..3 {
                rebuild(&mut state, &mut random, 4_000, &elite, &mut |_, _| true);
                let week = state.week();
                assert!(state.points() <= before);
                assert_eq!(state.points(), score(instance, &week).total());
                assert!(broken_limits(instance, &week).is_empty());
                before = state.points();
                elite.push(week);
            }
        }
    }

    #[test]
    fn a_required_line_is_never_torn_down() {
        for (k, instance) in instances().iter().enumerate() {
            let mut ranges = Ranges::free(instance);
            let week = {
                let mut state = State::new(instance, &ranges).expect("small enough");
                rebuild(&mut state, &mut Random::new(1), 4_000, &[], &mut |_, _| true);
                state.week()
            };
            let Some(line) = week.days[0].first().copied() else { continue };
            ranges.force(0, line.movement);
            let mut state = State::new(instance, &ranges).expect("small enough");
            state.put(&week);
            let elite = [week.clone(), Week::empty(instance.days.len())];
            rebuild(&mut state, &mut Random::new(k as u64), 8_000, &elite, &mut |_, _| true);
            assert!(ranges.allow(&state.week()));
        }
    }
}
