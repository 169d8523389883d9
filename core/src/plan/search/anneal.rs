//! Simulated annealing over weeks that always keep the limits.

use super::descend::swap_everywhere;
use super::random::Random;
use super::state::State;
use super::walk::Walk;
use crate::plan::model::Slot;

/// Temperature of the first step of cooling, points; the last ends at a fiftieth of it.
const HIGHEST: i64 = 4000;
/// Steps of cooling.
const STEPS: u64 = 48;
/// The step from which a chain starts that forgets where it began.
pub(super) const HOT: u64 = 0;
/// The step from which a good week is annealed again (at 784 points): warm enough to exchange lines between its
/// days, too cold to lose what it has.
pub(super) const WARM: u64 = 20;

/// Chances of acceptance, 32-bit fixed point: entry `k` is `exp(-k / 4)`.
fn chances() -> [u32; 64] {
    // exp(-1/4) in 32-bit fixed point.
    const RATIO: u64 = 3_344_923_893;
    let mut table = [0u32; 64];
    let mut v: u64 = 1 << 32;
    for entry in &mut table {
        *entry = (v - 1).min(u64::from(u32::MAX)) as u32;
        v = (v * RATIO) >> 32;
    }
    table
}

/// The temperature at step `k` of [`STEPS`], falling by a constant ratio from [`HIGHEST`] to a fiftieth.
fn temperature(k: u64) -> i64 {
    // 0.02 ^ (1 / 48) in 32-bit fixed point.
    const RATIO: u64 = 3_958_809_947;
    let mut t = HIGHEST << 16;
    for _ in 0..k {
        t = ((i128::from(t) * i128::from(RATIO)) >> 32) as i64;
    }
    (t >> 16).max(1)
}

/// Lists that proposals draw from.
pub(super) struct Lists {
    by_pattern: Vec<Vec<usize>>,
    by_muscle: Vec<Vec<usize>>,
}

impl Lists {
    pub(super) fn of(state: &State<'_>) -> Self {
        let i = state.instance;
        let mut by_pattern = vec![Vec::new(); i.patterns.len()];
        let mut by_muscle = vec![Vec::new(); i.muscles.len()];
        for (m, movement) in i.movements.iter().enumerate() {
            by_pattern[movement.pattern].push(m);
            for t in &movement.trains {
                by_muscle[t.muscle].push(m);
            }
        }
        Self { by_pattern, by_muscle }
    }
}

/// Runs one chain from the state as it stands, cooling from step `from`, and leaves the best week found in it.
/// `go_on` is asked once for each step of cooling.
pub(super) fn anneal(
    state: &mut State<'_>,
    lists: &Lists,
    random: &mut Random,
    evaluations: u64,
    from: u64,
    go_on: &mut dyn FnMut(i64, u64) -> bool,
) -> u64 {
    let chances = chances();
    let mut spent = 0;
    if state.instance.movements.is_empty() {
        return 0;
    }
    let mut walk = Walk::from(state);
    for step in from..STEPS {
        let t = temperature(step);
        let until = evaluations * (step + 1 - from) / (STEPS - from);
        while spent < until {
            spent += 1;
            let kept = match propose(state, lists, random) {
                None => false,
                Some((usize::MAX, _)) => state.keeps_all(),
                Some((a, b)) => state.keeps(a) && (a == b || state.keeps(b)),
            };
            walk.weigh(state, kept, |worse| {
                worse <= 0 || {
                    let k = worse * 4 / t;
                    k < 64 && random.bits() < chances[k as usize]
                }
            });
        }
        if !go_on(walk.best(), spent) {
            break;
        }
    }
    walk.end(state);
    spent
}

/// Changes the state by one random move; the days that it touched, `usize::MAX` for all.
fn propose(state: &mut State<'_>, lists: &Lists, random: &mut Random) -> Option<(usize, usize)> {
    let days = state.instance.days.len();
    let day = random.below(days);
    let n = state.lines(day);
    let roll = random.below(1000);
    if n == 0 || roll < 170 {
        return add(state, lists, random, day);
    }
    let line = state.slot(day, random.below(n));
    if roll < 260 {
        return drop_line(state, day, line);
    }
    if roll < 500 {
        return change_sets(state, random, day, line);
    }
    if roll < 760 || (days == 1 && roll < 985) {
        return replace(state, lists, random, day, line);
    }
    if roll >= 985 {
        return everywhere(state, lists, random, line);
    }
    if days == 1 {
        return None;
    }
    let mut other = random.below(days - 1);
    if other >= day {
        other += 1;
    }
    across(state, random, roll, day, other, line)
}

fn add(state: &mut State<'_>, lists: &Lists, random: &mut Random, day: usize) -> Option<(usize, usize)> {
    let movements = state.instance.movements.len();
    let m = if random.below(2) == 0 {
        random.below(movements)
    } else {
        let muscles = state.instance.muscles.len();
        let mut g = random.below(muscles);
        for _ in 0..3 {
            if state.lacks(g) > 0 && !lists.by_muscle[g].is_empty() {
                break;
            }
            g = random.below(muscles);
        }
        let list = &lists.by_muscle[g];
        if list.is_empty() { random.below(movements) } else { list[random.below(list.len())] }
    };
    let range = state.ranges.of(day, m);
    if range.high == 0 || state.has(day, m) || !state.room(day) {
        return None;
    }
    let sets = range.low + random.below((range.high - range.low + 1) as usize) as i32;
    state.change(day, m, sets);
    repair(state, random, day, m);
    Some((day, day))
}

fn drop_line(state: &mut State<'_>, day: usize, line: Slot) -> Option<(usize, usize)> {
    if state.ranges.of(day, line.movement).must {
        return None;
    }
    state.change(day, line.movement, 0);
    Some((day, day))
}

fn change_sets(state: &mut State<'_>, random: &mut Random, day: usize, line: Slot) -> Option<(usize, usize)> {
    let step = if random.below(2) == 0 { 1 } else { -1 };
    if !nudge(state, day, line, step) {
        return None;
    }
    let n = state.lines(day);
    if n > 1 && random.below(3) == 0 {
        let other = state.slot(day, random.below(n));
        if other.movement != line.movement {
            nudge(state, day, other, -step);
        }
    }
    Some((day, day))
}

/// One set more or less, inside the range.
fn nudge(state: &mut State<'_>, day: usize, line: Slot, step: i32) -> bool {
    let range = state.ranges.of(day, line.movement);
    let sets = line.sets + step;
    if sets < range.low || sets > range.high {
        return false;
    }
    state.change(day, line.movement, sets);
    true
}

fn replacement(state: &State<'_>, lists: &Lists, random: &mut Random, m: usize) -> usize {
    let movement = &state.instance.movements[m];
    let list = if random.below(3) < 2 {
        &lists.by_pattern[movement.pattern]
    } else if random.below(2) == 0 && !movement.trains.is_empty() {
        &lists.by_muscle[movement.trains[random.below(movement.trains.len())].muscle]
    } else {
        return random.below(state.instance.movements.len());
    };
    list[random.below(list.len())]
}

fn replace(
    state: &mut State<'_>,
    lists: &Lists,
    random: &mut Random,
    day: usize,
    line: Slot,
) -> Option<(usize, usize)> {
    let m = replacement(state, lists, random, line.movement);
    let range = state.ranges.of(day, m);
    if range.high == 0 || state.has(day, m) || state.ranges.of(day, line.movement).must {
        return None;
    }
    let mut sets = line.sets.clamp(range.low, range.high);
    match random.below(6) {
        0 if sets < range.high => sets += 1,
        1 if sets > range.low => sets -= 1,
        _ => {}
    }
    state.change(day, line.movement, 0);
    state.change(day, m, sets);
    if random.below(3) == 0 {
        let other = state.slot(day, random.below(state.lines(day)));
        let step = if random.below(2) == 0 { 1 } else { -1 };
        nudge(state, day, other, step);
    }
    repair(state, random, day, m);
    Some((day, day))
}

/// One movement by another on every day where it stands.
fn everywhere(
    state: &mut State<'_>,
    lists: &Lists,
    random: &mut Random,
    line: Slot,
) -> Option<(usize, usize)> {
    let m = replacement(state, lists, random, line.movement);
    if m == line.movement || !swap_everywhere(state, line.movement, m) {
        return None;
    }
    Some((usize::MAX, usize::MAX))
}

fn across(
    state: &mut State<'_>,
    random: &mut Random,
    roll: usize,
    day: usize,
    other: usize,
    line: Slot,
) -> Option<(usize, usize)> {
    let m = line.movement;
    let n = state.lines(other);
    let there = state.ranges.of(other, m);
    if state.ranges.of(day, m).must && roll < 945 {
        return None;
    }
    if roll < 845 || n == 0 {
        if there.high == 0 || state.has(other, m) || !state.room(other) {
            return None;
        }
        state.change(day, m, 0);
        state.change(other, m, line.sets.clamp(there.low, there.high));
        repair(state, random, other, m);
        return Some((day, other));
    }
    let back = state.slot(other, random.below(n));
    let b = back.movement;
    if roll < 945 {
        let here = state.ranges.of(day, b);
        if b == m
            || here.high == 0
            || there.high == 0
            || state.ranges.of(other, b).must
            || state.has(other, m)
            || state.has(day, b)
        {
            return None;
        }
        state.change(day, m, 0);
        state.change(other, b, 0);
        state.change(day, b, back.sets.clamp(here.low, here.high));
        state.change(other, m, line.sets.clamp(there.low, there.high));
        repair(state, random, day, b);
        repair(state, random, other, m);
        return Some((day, other));
    }
    if !nudge(state, day, line, -1) || !nudge(state, other, back, 1) {
        return None;
    }
    Some((day, other))
}

/// Takes sets and lines off a day that a move has made too long or too full, but not the line just placed.
fn repair(state: &mut State<'_>, random: &mut Random, day: usize, keep: usize) {
    let most = state.instance.days[day].movements_max;
    let n = state.lines(day);
    if n as i32 > most && n > 1 {
        let line = state.slot(day, random.below(n));
        if line.movement != keep && !state.ranges.of(day, line.movement).must {
            state.change(day, line.movement, 0);
        }
    }
    let mut tries = 0;
    while state.over_time(day) > 0 && tries < 8 && state.lines(day) > 0 {
        tries += 1;
        let line = state.slot(day, random.below(state.lines(day)));
        let range = state.ranges.of(day, line.movement);
        if line.sets > range.low {
            state.change(day, line.movement, line.sets - 1);
        } else if tries > 5 && line.movement != keep && !range.must {
            state.change(day, line.movement, 0);
        }
    }
}
