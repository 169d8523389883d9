//! Logging: what a set that was done changes.

use super::begin::field;
use super::event::Refused;
use super::house::House;
use super::loads::{eased, loads_for, place};
use super::next::{Next, amount_of, mass_of};
use super::rest::rest_before;
use super::state::{
    LoadBecause, LoadDone, Loading, Out, Outcome, Purpose, SetDone, SetForm, SetWhat, State, Told,
};
use crate::catalogue::LoadKind;
use crate::load::first::{Next as Found, Tried};
use crate::load::route::{Plate, Side, change};
use crate::load::{BarLoads, Implement, Kit, Mass};
use crate::moment::Moment;
use crate::record::EntryId;

/// The most repetitions, seconds or metres of one set, and the most in reserve.
pub(super) const MOST_AMOUNT: u32 = 1000;
pub(super) const MOST_RESERVE: u32 = 20;
/// The most sets of one session: a record of one day is not a place to fill.
const MOST_SETS: usize = 400;

/// What was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Values {
    pub(super) mass: Option<Mass>,
    pub(super) amount: u32,
    /// The other side of a one-sided set; the same where `None`.
    pub(super) other: Option<u32>,
    pub(super) reserve: Option<u32>,
    pub(super) missed: bool,
    pub(super) form_changed: bool,
    pub(super) ago_min: u32,
}

impl Values {
    /// As written.
    pub(super) fn written(state: &State, step: Next) -> Option<Self> {
        let line = state.lines.get(step.line()?)?;
        if matches!(line.loading, Loading::TooHeavy { .. }) {
            return None;
        }
        Some(Self {
            mass: mass_of(line, step),
            amount: amount_of(line, step),
            other: None,
            reserve: None,
            missed: false,
            form_changed: false,
            ago_min: 0,
        })
    }
}

/// The sides in the order in which they are done: the weaker one first, the left where none is known.
pub(super) fn sides(house: &House<'_>, movement: &str) -> [Side; 2] {
    match house.weaker.get(movement) {
        Some(Side::Right) => [Side::Right, Side::Left],
        _ => [Side::Left, Side::Right],
    }
}

/// The moment so many minutes before another.
pub(super) fn earlier(moment: &Moment, seconds: u32) -> Moment {
    let ms = i64::from(seconds) * 1000;
    Moment {
        wall_ms: moment.wall_ms.saturating_sub(ms),
        monotonic_ms: moment.monotonic_ms.saturating_sub(ms.unsigned_abs()),
        ..moment.clone()
    }
}

/// Logs the set of the step at hand.
pub(super) fn log(
    state: &mut State,
    house: &House<'_>,
    moment: &Moment,
    ids: &mut dyn FnMut() -> EntryId,
    v: Values,
) -> Result<(), Refused> {
    let step = state.next(house);
    let k = step.line().ok_or(Refused::NotNow)?;
    check(state, house, k, step, v)?;
    let since_last = state.last_done().map_or(i64::MAX, |last| moment.since(last) / 1000);
    let ago = i64::from(v.ago_min * 60).min(since_last.max(0)) as u32;
    let ended = earlier(moment, ago);
    push(state, house, k, step, v, &ended, ids);
    if let Some(line) = state.lines.get_mut(k) {
        line.ramp_done += usize::from(matches!(step, Next::Ramp { .. }));
    }
    state.told.clear();
    match step {
        Next::Find { .. } => found(state, house, k, v),
        Next::Work { .. } => keep_load(state, k, v),
        _ => {}
    }
    on_the_bar(state, house, k, v.mass);
    state.turned += 1;
    state.hold = None;
    state.form = None;
    if state.focus.is_some_and(|f| !state.open_line(f)) {
        state.focus = None;
    }
    let next = state.next(house);
    state.rest = rest_before(state, house, step, next, &ended);
    Ok(())
}

/// Logs a working set that was done before; nothing of what is at hand changes.
pub(super) fn log_late(
    state: &mut State,
    house: &House<'_>,
    moment: &Moment,
    ids: &mut dyn FnMut() -> EntryId,
    line: usize,
    v: Values,
) -> Result<(), Refused> {
    let step = Next::Work { line, pair: None };
    check(state, house, line, step, v)?;
    push(state, house, line, step, v, &earlier(moment, v.ago_min * 60), ids);
    state.form = None;
    Ok(())
}

fn check(state: &State, house: &House<'_>, k: usize, step: Next, v: Values) -> Result<(), Refused> {
    let line = state.lines.get(k).ok_or_else(|| field("line"))?;
    if matches!(line.loading, Loading::TooHeavy { .. }) || state.sets.len() >= MOST_SETS {
        return Err(Refused::NotNow);
    }
    if v.amount > MOST_AMOUNT || v.other.is_some_and(|a| a > MOST_AMOUNT) {
        return Err(field("amount"));
    }
    if v.reserve.is_some_and(|r| r > MOST_RESERVE) {
        return Err(field("reserve"));
    }
    let asked = mass_of(line, step);
    if v.mass != asked && !v.mass.is_some_and(|m| loads_for(&house.kit(state), line).contains(&m)) {
        return Err(field("load"));
    }
    Ok(())
}

fn band(line: &super::state::Line) -> Option<&str> {
    match &line.loading {
        Loading::Band { band } => band.as_deref(),
        _ => None,
    }
}

fn push(
    state: &mut State,
    house: &House<'_>,
    k: usize,
    step: Next,
    v: Values,
    ended: &Moment,
    ids: &mut dyn FnMut() -> EntryId,
) {
    let Some(line) = state.lines.get(k) else { return };
    let work = matches!(step, Next::Work { .. });
    let purpose = if work { Purpose::Working } else { Purpose::WarmUp };
    let kind = if matches!(line.loading, Loading::BodyMass) { LoadKind::BodyMass } else { line.load_kind };
    let load = |mass| LoadDone::of(kind, mass, band(line));
    let asked = (mass_of(line, step), amount_of(line, step));
    let started = state.hold.clone().or_else(|| state.rest.as_ref().and_then(|r| r.ready.clone()));
    // A rest is told as taken only where its end was seen.
    let before = state.standing().last().map(|s| &s.ended);
    let rest_s = started.as_ref().zip(before).map(|(s, b)| s.since(b) / 1000);
    let late = !matches!(step, Next::Work { .. }) || state.done_of(k) < line.planned_sets;
    let mut set = SetDone {
        id: ids(),
        movement: line.movement.clone(),
        line: k,
        number: state.next_number(k, purpose),
        purpose,
        outcome: if v.missed { Outcome::Missed } else { Outcome::Done },
        side: None,
        load: load(v.mass),
        amount: v.amount,
        measure: line.measure,
        reserve: v.reserve,
        low: if work { line.low } else { asked.1 as i32 },
        high: if work { line.high } else { asked.1 as i32 },
        target_reserve: line.reserve,
        asked_load: load(asked.0),
        started,
        ended: ended.clone(),
        rest_s,
        as_written: (v.mass, v.amount) == asked && v.other.is_none_or(|o| o == v.amount) && !v.missed,
        planned: line.planned && late,
        pair: if let Next::Work { pair, .. } = step { pair } else { None },
        deleted: false,
    };
    if line.each {
        let [first, second] = sides(house, &line.movement);
        let other = SetDone {
            id: ids(),
            side: Some(second),
            amount: v.other.unwrap_or(v.amount),
            outcome: if v.missed && v.other.is_none() { Outcome::Missed } else { Outcome::Done },
            ..set.clone()
        };
        set.side = Some(first);
        state.sets.push(set);
        state.sets.push(other);
    } else {
        state.sets.push(set);
    }
}

/// What a set of the search for a first load decides.
fn found(state: &mut State, house: &House<'_>, k: usize, v: Values) {
    let kit = house.kit(state);
    let Some(line) = state.lines.get_mut(k) else { return };
    let Loading::Find { first, tried } = &mut line.loading else { return };
    let reserve = if v.missed { Some(0) } else { v.reserve };
    // The load that was really lifted stands in for the one written: the search goes on from there.
    if let (Some(mass), Some(slot)) = (v.mass, first.loads.get_mut(tried.len())) {
        *slot = mass;
    }
    if let Some(mass) = v.mass {
        let at = tried.len();
        let mut later = 0;
        first.loads.retain(|m| {
            later += 1;
            later <= at + 1 || *m > mass
        });
    }
    tried.push(Tried { reserve, form_changed: v.form_changed, hurt: false });
    let (reps, wanted) = (first.reps, first.wanted_reserve);
    match first.next(tried) {
        Found::Try(_) => {}
        Found::Work { load, .. } => {
            // So many were left at so many repetitions: no more is asked at that load than leaves the reserve.
            let most = (reps + wanted).saturating_sub(line.reserve.max(0) as u32).max(1);
            let mut load = load;
            if line.measure == crate::catalogue::Measure::Repetitions && most < line.amount {
                // The fewest repetitions asked for stand: where the load is too much for them, it is made lighter.
                let low = line.low.max(1) as u32;
                let lighter = line.implement.as_ref().filter(|_| most < low).and_then(|with| {
                    eased(&kit, with, &load, (reps as i32, wanted as i32), (line.low, line.reserve))
                });
                line.amount = match lighter {
                    Some((_, made)) => {
                        load = made;
                        low
                    }
                    None => most,
                };
            }
            line.loading = Loading::Weight { wanted: load, made: load, because: LoadBecause::Found };
            line.per_side.clear();
            state.told.push(Told::Found { movement: line.movement.clone(), load });
        }
        Found::Lighter(_) => {
            let ways = first.lighter_ways.clone();
            line.loading = Loading::TooHeavy { ways };
            state.told.push(Told::TooHeavy { movement: line.movement.clone() });
        }
        Found::Leave => line.out = Some(Out::Hurt),
    }
}

/// The sets that follow keep the load that was really lifted.
fn keep_load(state: &mut State, k: usize, v: Values) {
    let Some(line) = state.lines.get_mut(k) else { return };
    let Some(mass) = v.mass else { return };
    match &line.loading {
        Loading::Weight { made, .. } if *made == mass => {}
        Loading::Weight { .. } | Loading::Unknown { .. } | Loading::BodyMass | Loading::Find { .. } => {
            line.loading = Loading::Weight { wanted: mass, made: mass, because: LoadBecause::AsDone };
            line.per_side.clear();
            if state.done_of(k) < state.lines.get(k).map_or(0, |l| l.sets) {
                let movement = state.lines.get(k).map(|l| l.movement.clone()).unwrap_or_default();
                state.told.push(Told::LoadKept { movement, load: mass });
            }
        }
        Loading::Band { .. } | Loading::TooHeavy { .. } => {}
    }
}

/// What lies on the bar after a set: its discs, or those of the partner who lifts next.
fn on_the_bar(state: &mut State, house: &House<'_>, k: usize, mass: Option<Mass>) {
    let kit = house.kit(state);
    let Some(mass) = mass else { return };
    let Some((bar, stack)) = stack_for(state, house, &kit, k, &mass) else { return };
    let partner = state.partner.as_ref().filter(|p| p.bar == bar).map(|p| p.load);
    let stack = match partner {
        Some(load) => BarLoads::new(&kit, &bar)
            .ok()
            .and_then(|l| change(&l, &stack, &[], &load, crate::load::route::Place::Rack))
            .map_or(stack, |c| c.per_side),
        None => stack,
    };
    state.on_bar.insert(bar, stack);
}

/// The discs on each side for a load of a line.
fn stack_for(
    state: &State,
    house: &House<'_>,
    kit: &Kit,
    k: usize,
    mass: &Mass,
) -> Option<(String, Vec<Plate>)> {
    let line = state.lines.get(k)?;
    let Some(Implement::Bar(bar)) = &line.implement else { return None };
    let movement = house.catalogue.movement(&line.movement)?;
    let loads = BarLoads::new(kit, bar).ok()?;
    let from = state.on_bar.get(bar).cloned().unwrap_or_default();
    let planned = planned_discs(line, mass);
    let change = change(&loads, &from, planned, mass, place(movement))?;
    Some((bar.clone(), change.per_side))
}

/// The discs that the session's route has for a load of a line; none where it has not that load.
pub(super) fn planned_discs<'a>(line: &'a super::state::Line, mass: &Mass) -> &'a [Plate] {
    let working = matches!(&line.loading, Loading::Weight { made, .. } if made == mass);
    match line.ramp.iter().find(|r| r.load == *mass) {
        Some(r) => &r.per_side,
        None if working => &line.per_side,
        None => &[],
    }
}

/// Corrects a set that was logged.
pub(super) fn correct(
    state: &mut State,
    house: &House<'_>,
    form: &SetForm,
    v: Values,
) -> Result<(), Refused> {
    let SetWhat::Correct { set } = form.what else { return Err(Refused::NotNow) };
    let line = state.lines.get(form.line).ok_or_else(|| field("line"))?;
    if v.amount > MOST_AMOUNT {
        return Err(field("amount"));
    }
    if v.reserve.is_some_and(|r| r > MOST_RESERVE) {
        return Err(field("reserve"));
    }
    let kind = if v.mass.is_none() && line.load_kind != LoadKind::Band {
        LoadKind::BodyMass
    } else {
        line.load_kind
    };
    let load = LoadDone::of(kind, v.mass, band(line));
    let makes = loads_for(&house.kit(state), line);
    let done = state.sets.get_mut(set).filter(|s| !s.deleted).ok_or_else(|| field("set"))?;
    let was = done.load.as_ref().and_then(LoadDone::mass);
    if v.mass != was {
        if !v.mass.is_some_and(|m| makes.contains(&m)) {
            return Err(field("load"));
        }
        done.load = load;
    }
    done.amount = v.amount;
    done.reserve = v.reserve;
    done.outcome = if v.missed { Outcome::Missed } else { Outcome::Done };
    // What was asked for is kept, so that it shows whether the set was as written after all.
    done.as_written = done.load == done.asked_load && !v.missed && done.amount as i32 == done.high;
    state.form = None;
    Ok(())
}

/// Takes a set off the log; both sides of a one-sided one.
pub(super) fn remove(state: &mut State, set: usize) -> Result<(), Refused> {
    let of = state.sets.get(set).filter(|s| !s.deleted).ok_or_else(|| field("set"))?;
    let (line, number, purpose) = (of.line, of.number, of.purpose);
    for s in &mut state.sets {
        if (s.line, s.number, s.purpose) == (line, number, purpose) {
            s.deleted = true;
        }
    }
    state.form = None;
    Ok(())
}
