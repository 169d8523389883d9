//! Changes to the session under way: stand-ins, minutes left, kit that is taken, what is added. The plan's
//! engine answers with everything done held fixed; ramps and rests stay whole.

use super::begin::field;
use super::event::Refused;
use super::house::House;
use super::lines::{Asked, build_line};
use super::loads::plan_ramps;
use super::state::{Loading, MinutesNow, OfferNow, Out, Partner, ShareNow, State, Told};
use crate::catalogue::{Measure, Movement, StandInKind};
use crate::load::{BarLoads, Implement, Mass};
use crate::plan::brief::Weekday;
use crate::plan::filter::{missing_kit, owned_kit};
use crate::plan::prescription::prescribe;
use crate::plan::programme::{Certificate, Line as Planned, Mark, Programme, ProgrammeDay, WarmUp};
use crate::plan::session::{Done, Now, SessionFault};
use crate::safety::permit;

/// Sets of a movement that is added (common practice, no source).
const ADDED_SETS: i32 = 3;
/// The most lines of a session.
const MOST_LINES: usize = 40;

/// The session under way as a programme that the plan can reckon with, and the position of its day.
fn as_programme(state: &State, house: &House<'_>) -> (Programme, usize) {
    let mut lines: Vec<Planned> = Vec::new();
    for k in &state.order {
        let Some(l) = state.lines.get(*k) else { continue };
        let done = state.done_of(*k);
        if (l.out.is_some() && done == 0) || house.catalogue.find(&l.movement).is_none() {
            continue;
        }
        if let Some(same) = lines.iter_mut().find(|p| p.movement == l.movement) {
            same.sets = (same.sets + l.sets).min(30);
            continue;
        }
        lines.push(Planned {
            movement: l.movement.clone(),
            carrying: state.carrying.contains(&l.movement),
            mark: Mark::MayBend,
            sets: l.sets.max(done).clamp(1, 30),
            measure: l.measure,
            low: l.low,
            high: l.high,
            reserve: l.reserve.min(20),
            rest_s: l.rest_s,
            ramp_sets: l.ramp_sets as i32,
            tempo: l.tempo,
            cue: None,
        });
    }
    match (house.programme, state.before.day) {
        (Some(p), Some(day)) if day < p.days.len() => {
            let mut p = p.clone();
            if let Some(d) = p.days.get_mut(day) {
                d.lines = lines;
                d.in_turn.clear();
            }
            (p, day)
        }
        _ => {
            let day = ProgrammeDay {
                weekday: Weekday::Monday,
                minutes_at_hand: state.before.minutes.map_or(90, |m| m as i32),
                seconds: 0,
                warm_up: WarmUp { general_s: 0, ankle_mobility_s: 0 },
                lines,
                in_turn: Vec::new(),
            };
            let programme = Programme {
                format: "plinth.programme/1".into(),
                title: String::new(),
                catalogue_version: house.catalogue.version.clone(),
                weights_version: house.weights.version.clone(),
                goal: house.brief.goal,
                training_age: house.brief.training_age,
                days: vec![day],
                never: Vec::new(),
                block: Vec::new(),
                weekly_sets: Vec::new(),
                certificate: Certificate {
                    points: 0,
                    at_least: 0,
                    no_single_change_improves: false,
                    evaluations: 0,
                },
                own_movements: Vec::new(),
            };
            (programme, 0)
        }
    }
}

/// What is done today, by movement.
fn done_today(state: &State) -> Vec<Done> {
    let mut done: Vec<Done> = Vec::new();
    for (k, l) in state.lines.iter().enumerate() {
        let sets = state.done_of(k);
        if sets > 0 {
            match done.iter_mut().find(|d| d.movement == l.movement) {
                Some(d) => d.sets += sets,
                None => done.push(Done { movement: l.movement.clone(), sets }),
            }
        }
    }
    done
}

fn now(state: &State, house: &House<'_>, today: usize) -> Now {
    let over = house.days_over.iter().filter(|(d, _)| *d != today && state.before.day.is_some());
    Now { today, done: done_today(state), days_over: over.cloned().collect(), taken: state.taken.clone() }
}

fn fault(f: SessionFault) -> Refused {
    match f {
        SessionFault::Line { .. } => field("line"),
        SessionFault::Number { field: name, .. } => field(name),
        other => Refused::Plan { fault: other.to_string() },
    }
}

/// The movements that may stand in for a line, each as it would be done now.
pub(super) fn stand_ins(state: &State, house: &House<'_>, line: usize) -> Result<Vec<OfferNow>, Refused> {
    let of = state.lines.get(line).ok_or_else(|| field("line"))?;
    let left = of.sets - state.done_of(line);
    if left <= 0 || matches!(of.out, Some(Out::StoodIn { .. })) {
        return Err(Refused::NotNow);
    }
    let mut asking = state.clone();
    // A line that safety took out is asked about as if it were still planned.
    if let Some(l) = asking.lines.get_mut(line) {
        l.out = None;
    }
    let (programme, today) = as_programme(&asking, house);
    let brief = house.brief_now(state);
    let at = programme.days.get(today).and_then(|d| d.lines.iter().position(|l| l.movement == of.movement));
    let planner = house.planner();
    let answer = planner
        .session(&brief, &programme, &now(state, house, today))
        .and_then(|s| s.stand_in(at.unwrap_or(usize::MAX)));
    let around = house.circumstances(state);
    let mut offers: Vec<OfferNow> = Vec::new();
    let mut offer = |id: &str, asked: Asked, because: Option<String>, related: bool| {
        let may = house.catalogue.movement(id).is_some_and(|m| permit(m, &around).is_ok());
        if !may || offers.len() >= 4 || offers.iter().any(|o| o.line.movement == id) {
            return;
        }
        let mut built = build_line(state, house, id, asked, true);
        built.stands_in_for = Some(of.movement.clone());
        if built.out.is_none() {
            offers.push(OfferNow { line: built, because, related });
        }
    };
    if let Ok(answer) = &answer {
        for o in &answer.offers {
            let p = o.prescription;
            let asked = Asked {
                sets: o.sets,
                low: p.low,
                high: p.high,
                reserve: p.reserve.max(of.asked.2),
                rest_s: Some(p.rest_s),
                ramp_sets: o.ramp_sets,
                tempo: None,
            };
            offer(&o.movement, asked, o.because.clone(), o.related);
        }
    }
    // Where the plan has no room for any, the catalogue's own stand-ins still serve.
    if let Some(from) = house.catalogue.find(&of.movement) {
        let mut free = owned_kit(&brief, house.catalogue);
        for id in &state.taken {
            if let Some(slot) = house.catalogue.kit(id).and_then(|k| free.get_mut(k)) {
                *slot = false;
            }
        }
        for s in house.catalogue.stand_ins_of(from).filter(|s| s.kind != StandInKind::Pairing) {
            let Some(m) = house.catalogue.movements.get(s.to) else { continue };
            let there = missing_kit(m, &free).is_empty();
            let in_session = state.lines.iter().any(|l| l.movement == m.id && l.out.is_none());
            if there && !in_session {
                offer(&m.id, asked_of(house, state, m, left), Some(s.reason.clone()), true);
            }
        }
    }
    Ok(offers)
}

/// What the plan asks of a movement that is not in it.
fn asked_of(house: &House<'_>, state: &State, movement: &Movement, sets: i32) -> Asked {
    let ease = permit(movement, &house.circumstances(state)).unwrap_or_default();
    let p = prescribe(house.weights, house.brief.goal, movement, ease);
    Asked {
        sets,
        low: p.low,
        high: p.high,
        reserve: p.reserve,
        rest_s: None,
        ramp_sets: movement.ramp_sets,
        tempo: None,
    }
}

/// Puts an offer in the place of its line.
pub(super) fn take_stand_in(
    state: &mut State,
    house: &House<'_>,
    line: usize,
    offer: OfferNow,
) -> Result<(), Refused> {
    let new = state.lines.len();
    if new >= MOST_LINES {
        return Err(Refused::NotNow);
    }
    let done = state.done_of(line);
    let was_at_hand = state.focus == Some(line) || state.next(house).line() == Some(line);
    let old = state.lines.get_mut(line).ok_or_else(|| field("line"))?;
    old.sets = done;
    old.out = Some(Out::StoodIn { line: new });
    let at = state.order.iter().position(|k| *k == line).map_or(state.order.len(), |k| k + 1);
    state.order.insert(at, new);
    state
        .told
        .retain(|t| !matches!(t, Told::Out { movement, .. } if *movement == state.lines[line].movement));
    state.lines.push(offer.line);
    // A stand-in is done straight, with its own whole rests.
    drop_pairs(state, line);
    if was_at_hand {
        state.focus = Some(new);
    }
    plan_ramps(state, house);
    Ok(())
}

fn drop_pairs(state: &mut State, line: usize) {
    // Positions of pairs are kept in the sets, so a pair is emptied, not taken out.
    for pair in state.pairs.iter_mut().filter(|p| p.first == line || p.second == line) {
        pair.sets = 0;
    }
}

/// The best of what is left in so many minutes.
pub(super) fn minutes_left(state: &State, house: &House<'_>, minutes: u32) -> Result<MinutesNow, Refused> {
    let (programme, today) = as_programme(state, house);
    let brief = house.brief_now(state);
    let planner = house.planner();
    let session = planner.session(&brief, &programme, &now(state, house, today)).map_err(fault)?;
    let answer = session.minutes_left(minutes.min(i32::MAX as u32) as i32).map_err(fault)?;
    let shares = |lines: &[crate::plan::session::LineNow]| {
        lines.iter().map(|l| ShareNow { movement: l.movement.clone(), sets: l.sets }).collect::<Vec<_>>()
    };
    let cut = answer.cut.iter().map(|c| Told::Cut { movement: c.movement.clone(), from: c.from, to: c.to });
    Ok(MinutesNow {
        minutes,
        shares: shares(&answer.lines),
        cut: cut.collect(),
        seconds: answer.seconds,
        free: answer.free.as_ref().map(|f| shares(&f.lines)),
    })
}

/// Takes an answer to minutes left; what it drops is told.
pub(super) fn take_minutes(state: &mut State, house: &House<'_>, answer: &MinutesNow, free: bool) {
    let shares = match &answer.free {
        Some(other) if free => other.clone(),
        _ => answer.shares.clone(),
    };
    let mut given: Vec<&str> = Vec::new();
    let mut told = Vec::new();
    for k in state.order.clone() {
        let done = state.done_of(k);
        let Some(line) = state.lines.get_mut(k) else { continue };
        if line.out.is_some() {
            continue;
        }
        // Two lines of one movement share what it got; the first one that is open takes it.
        let share =
            shares.iter().find(|s| s.movement == line.movement && !given.contains(&s.movement.as_str()));
        let sets = share.map_or(done, |s| s.sets.max(done));
        if let Some(s) = share {
            given.push(&s.movement);
        }
        if sets < line.sets {
            told.push(Told::Cut { movement: line.movement.clone(), from: line.sets, to: sets });
            line.sets = sets;
            if sets == 0 {
                line.sets = line.planned_sets.max(1);
                line.out = Some(Out::Minutes);
            }
        }
    }
    for share in &shares {
        let there = state.lines.iter().any(|l| l.movement == share.movement);
        let movement = house.catalogue.movement(&share.movement);
        if let (false, Some(movement)) = (there, movement) {
            let asked = asked_of(house, state, movement, share.sets);
            let line = build_line(state, house, &share.movement, asked, false);
            if line.out.is_none() && state.lines.len() < MOST_LINES {
                told.push(Told::BroughtIn { movement: share.movement.clone(), sets: share.sets });
                state.order.push(state.lines.len());
                state.lines.push(line);
            }
        }
    }
    for pair in &mut state.pairs {
        let sets = |k: usize| state.lines.get(k).filter(|l| l.out.is_none()).map_or(0, |l| l.sets);
        pair.sets = pair.sets.min(sets(pair.first)).min(sets(pair.second));
    }
    state.told = told;
    plan_ramps(state, house);
}

/// One set more of a line.
pub(super) fn extra_set(state: &mut State, house: &House<'_>, line: usize) -> Result<(), Refused> {
    let done = state.done_of(line);
    let l = state.lines.get_mut(line).ok_or_else(|| field("line"))?;
    if !matches!(l.out, None | Some(Out::Minutes)) || l.sets >= 30 {
        return Err(Refused::NotNow);
    }
    l.sets = if l.out.is_some() { done + 1 } else { l.sets + 1 };
    l.out = None;
    super::lines::recheck(state, house);
    Ok(())
}

/// The movements that may be added: permitted, with kit at hand and free, not yet in the session.
pub(super) fn addable<'a>(state: &State, house: &House<'a>) -> Vec<&'a Movement> {
    let brief = house.brief_now(state);
    let around = house.circumstances(state);
    let mut free = owned_kit(&brief, house.catalogue);
    for id in &state.taken {
        if let Some(slot) = house.catalogue.kit(id).and_then(|k| free.get_mut(k)) {
            *slot = false;
        }
    }
    let never = |m: &Movement| house.programme.is_some_and(|p| p.never.contains(&m.id));
    let there = |m: &Movement| state.lines.iter().any(|l| l.movement == m.id && l.out.is_none());
    let may = |m: &&Movement| {
        permit(m, &around).is_ok() && missing_kit(m, &free).is_empty() && !never(m) && !there(m)
    };
    house.catalogue.movements.iter().filter(may).collect()
}

/// Adds a movement that was not planned.
pub(super) fn add(state: &mut State, house: &House<'_>, id: &str) -> Result<(), Refused> {
    let movement = addable(state, house).into_iter().find(|m| m.id == id).ok_or_else(|| field("movement"))?;
    if state.lines.len() >= MOST_LINES {
        return Err(Refused::NotNow);
    }
    let line = build_line(state, house, id, asked_of(house, state, movement, ADDED_SETS), false);
    let new = state.lines.len();
    state.order.push(new);
    state.lines.push(line);
    state.focus = Some(new);
    plan_ramps(state, house);
    Ok(())
}

/// Begins lighter than the lightest load of the search.
pub(super) fn lighter(state: &mut State, house: &House<'_>, way: usize) -> Result<(), Refused> {
    use crate::catalogue::LoadKind;
    use crate::load::first::LighterWay;
    let k = state.next(house).line().ok_or(Refused::NotNow)?;
    let line = state.lines.get_mut(k).ok_or(Refused::NotNow)?;
    let Loading::TooHeavy { ways } = &line.loading else { return Err(Refused::NotNow) };
    let (with, kind, mass) = match ways.get(way).ok_or_else(|| field("way"))? {
        LighterWay::Bar { bar, mass } => (Some(Implement::Bar(bar.clone())), LoadKind::Bar, Some(*mass)),
        LighterWay::DumbbellPair { each } => {
            (Some(Implement::DumbbellPair), LoadKind::DumbbellPair, Some(*each))
        }
        LighterWay::Kettlebell { mass } => (Some(Implement::Kettlebell), LoadKind::Dumbbell, Some(*mass)),
        LighterWay::Unloaded => (None, LoadKind::BodyMass, None),
    };
    line.implement = with;
    line.load_kind = kind;
    line.loading = mass.map_or(Loading::BodyMass, |m| Loading::Weight {
        wanted: m,
        made: m,
        because: super::state::LoadBecause::Found,
    });
    Ok(())
}

/// A partner on the bar of the line at hand.
pub(super) fn partner(state: &mut State, house: &House<'_>, load: Option<Mass>) -> Result<(), Refused> {
    let Some(load) = load else {
        state.partner = None;
        return Ok(());
    };
    let line = state.next(house).line().and_then(|k| state.lines.get(k)).ok_or(Refused::NotNow)?;
    let Some(Implement::Bar(bar)) = &line.implement else { return Err(Refused::NotNow) };
    let kit = house.kit(state);
    let makes = BarLoads::new(&kit, bar).is_ok_and(|b| b.loads().any(|m| m == load));
    if !makes {
        return Err(field("load"));
    }
    state.partner = Some(Partner { bar: bar.clone(), load });
    Ok(())
}

/// A piece of kit is taken or free again.
pub(super) fn taken(state: &mut State, house: &House<'_>, item: &str, taken: bool) -> Result<(), Refused> {
    if house.catalogue.kit(item).is_none() {
        return Err(field("item"));
    }
    state.taken.retain(|t| t != item);
    if taken {
        state.taken.push(item.to_owned());
    }
    Ok(())
}

/// Kit that the rest of the session needs.
pub(super) fn kit_needed(state: &State, house: &House<'_>) -> Vec<String> {
    let mut ids: Vec<String> = state.taken.clone();
    for (k, l) in state.lines.iter().enumerate() {
        if let Some(m) = house.catalogue.movement(&l.movement).filter(|_| state.open_line(k)) {
            for e in m.equipment.iter().flatten() {
                if let Some(item) = house.catalogue.equipment.get(*e)
                    && !ids.contains(&item.id)
                {
                    ids.push(item.id.clone());
                }
            }
        }
    }
    ids.sort();
    ids
}

/// Whether the measure of a line counts something else than repetitions.
pub(super) fn step_of(measure: Measure) -> u32 {
    // Holds and carries are told in steps of five (common practice, no source).
    if measure == Measure::Repetitions { 1 } else { 5 }
}
