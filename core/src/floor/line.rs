//! The session line: its pieces in proportion to their minutes, what is done of them, a tick for now, and the
//! hour at which it will end.

use super::house::House;
use super::next::Next;
use super::state::{Loading, Out, Purpose, State};
use crate::moment::Moment;
use serde::{Deserialize, Serialize};

/// What a piece is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "piece", rename_all = "snake_case")]
pub enum PieceKind {
    /// The general warm-up.
    WarmUp,
    /// A movement with its ramp.
    Movement {
        /// Its id.
        movement: String,
    },
}

/// A piece of the line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Piece {
    /// What it is.
    pub kind: PieceKind,
    /// Seconds that it is reckoned to take.
    pub seconds: i32,
    /// Of them, done.
    pub done_s: i32,
}

/// The whole line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SessionLine {
    /// The pieces in order.
    pub pieces: Vec<Piece>,
    /// Seconds of all pieces.
    pub seconds: i32,
    /// Where the tick for now stands, in seconds from the beginning; it moves through a rest.
    pub now_s: i32,
    /// When it will end, milliseconds on the wall clock.
    pub ends_wall_ms: i64,
    /// Minutes that local time is ahead of UTC then.
    pub offset_min: i32,
}

impl SessionLine {
    /// The end as a moment of the wall clock.
    pub fn ends(&self) -> Moment {
        Moment {
            wall_ms: self.ends_wall_ms,
            offset_min: self.offset_min,
            monotonic_ms: 0,
            boot: String::new(),
        }
    }
}

/// Seconds of one set of a line with its rest, before and after pairing.
fn set_s(state: &State, house: &House<'_>, line: usize, in_turn: bool) -> i32 {
    let l = state.lines.get(line);
    let rest = if in_turn { house.weights.pair_change_s() } else { l.map_or(0, |l| l.rest_s) };
    l.map_or(0, |l| l.work_s) + rest
}

/// Sets of a line that are done in the rest of another one.
fn in_turn(state: &State, k: usize) -> i32 {
    state.pairs.iter().filter(|p| p.second == k).map(|p| p.sets).sum()
}

/// Seconds of work and of rest that one ramp set is reckoned at.
fn ramp_s(state: &State, house: &House<'_>, k: usize) -> (i32, i32) {
    let line = state.lines.get(k);
    let movement = line.and_then(|l| house.catalogue.movement(&l.movement));
    let whole = movement.map_or(0, |m| house.weights.ramp_set_s(m.tier));
    let work = line.map_or(0, |l| l.work_s).min(whole / 2);
    (work, whole - work)
}

/// Seconds of rest that one set of a search is reckoned at.
const SEARCH_REST_S: i32 = 60;

/// Seconds of a line in all and of them done, given how much of it is done.
fn of_line(state: &State, house: &House<'_>, k: usize) -> (i32, i32) {
    let Some(l) = state.lines.get(k) else { return (0, 0) };
    let done = state.done_of(k);
    let (work, rest) = ramp_s(state, house, k);
    let ramped = l.ramp_done.min(l.ramp.len()) as i32;
    let mut tried: Vec<u32> =
        state.standing().filter(|s| s.line == k && s.purpose == Purpose::WarmUp).map(|s| s.number).collect();
    tried.dedup();
    // A search rarely takes all its steps: half of them are reckoned with, and those that were tried.
    let searched = (tried.len() as i32 - l.ramp_done as i32).max(0);
    let to_search = match &l.loading {
        Loading::Find { first, .. } => (first.loads.len().div_ceil(2) as i32).max(searched + 1),
        _ => searched,
    };
    let steps = |ramps: i32, to_search: i32| ramps * (work + rest) + to_search * (l.work_s + SEARCH_REST_S);
    let sets = if l.out.is_some() { done } else { l.sets.max(done) };
    // The second of a pair is done in the first one's rest: it costs its work and the change of places.
    let second = in_turn(state, k);
    let cost = |n: i32| {
        let turned = n.min(second);
        turned * set_s(state, house, k, true) + (n - turned) * set_s(state, house, k, false)
    };
    let set_up = if state.standing().any(|s| s.line == k) { l.set_up_s } else { 0 };
    let whole = if l.out.is_some() && done == 0 {
        set_up + steps(ramped, searched)
    } else if l.out.is_some() {
        set_up + steps(ramped, searched) + cost(done)
    } else {
        l.set_up_s + steps(l.ramp.len() as i32, to_search) + cost(sets)
    };
    (whole, (set_up + steps(ramped, searched) + cost(done)).min(whole))
}

/// Seconds of rest that were reckoned with the last set.
fn rest_counted(state: &State, house: &House<'_>) -> i32 {
    let Some(last) = state.standing().last() else { return 0 };
    let Some(line) = state.lines.get(last.line) else { return 0 };
    match last.purpose {
        Purpose::Working if state.done_of(last.line) <= in_turn(state, last.line) => {
            house.weights.pair_change_s()
        }
        Purpose::Working => line.rest_s,
        Purpose::WarmUp if line.ramp_done > 0 => ramp_s(state, house, last.line).1,
        Purpose::WarmUp => SEARCH_REST_S,
    }
}

/// Works the line out for this moment.
pub(super) fn session_line(state: &State, house: &House<'_>, moment: &Moment) -> SessionLine {
    let mut pieces = Vec::new();
    let warm: i32 = state.warm_up.iter().map(|w| w.seconds).sum();
    if warm > 0 {
        let done_s = state.warm_up.iter().filter(|w| w.done).map(|w| w.seconds).sum();
        pieces.push(Piece { kind: PieceKind::WarmUp, seconds: warm, done_s });
    }
    for k in &state.order {
        let Some(l) = state.lines.get(*k) else { continue };
        let gone = matches!(l.out, Some(Out::StoodIn { .. } | Out::Minutes | Out::Safety { .. } | Out::Hurt));
        let (seconds, done_s) = of_line(state, house, *k);
        if seconds > 0 && !(gone && done_s == 0) {
            let kind = PieceKind::Movement { movement: l.movement.clone() };
            pieces.push(Piece { kind, seconds, done_s });
        }
    }
    let seconds: i32 = pieces.iter().map(|p| p.seconds).sum();
    let done: i32 = pieces.iter().map(|p| p.done_s).sum();
    // Into the step at hand the tick moves on: through the rest that was reckoned with the set before it, then
    // through the work of the step, and there it waits.
    let since = state.last_done().map_or(0, |last| moment.since(last) / 1000);
    let work = match state.next(house) {
        Next::WarmUp(k) => state.warm_up.get(k).map_or(0, |w| w.seconds),
        Next::Nothing => 0,
        Next::Ramp { line, .. } => ramp_s(state, house, line).0,
        step => step.line().and_then(|k| state.lines.get(k)).map_or(0, |l| l.work_s),
    };
    let resting = state.rest.as_ref().filter(|r| r.ready.is_none()).map_or(0, |r| i64::from(r.seconds));
    let counted = if state.rest.is_some() { rest_counted(state, house) } else { 0 };
    let through =
        if resting == 0 { i64::from(counted) } else { i64::from(counted) * since.min(resting) / resting };
    let into = (since - resting).clamp(0, i64::from(work));
    let now_s = (i64::from((done - counted).max(0)) + through + into).min(i64::from(seconds)) as i32;
    let left = i64::from(seconds - now_s).max(0);
    SessionLine {
        pieces,
        seconds,
        now_s,
        ends_wall_ms: moment.wall_ms.saturating_add(left * 1000),
        offset_min: moment.offset_min,
    }
}
