//! Before a session, and its beginning.

use super::event::{Event, Question, Refused};
use super::house::House;
use super::lines::{Asked, build_line};
use super::loads::plan_ramps;
use super::state::{Company, Pair, Phase, State, WarmUp, WarmUpKind};
use crate::moment::Moment;
use crate::plan::programme::{Line as Planned, Programme, ProgrammeDay};
use crate::record::EntryId;

/// Fewest and most minutes of a session.
pub(super) const MINUTES: std::ops::RangeInclusive<u32> = 5..=240;

/// An answer before the session; company, safeties and the adult are asked in mid-session as well.
pub(super) fn answer(state: &mut State, event: &Event, house: &House<'_>) -> Result<(), Refused> {
    match *event {
        Event::ChooseDay { day } => {
            let days = house.programme.map_or(0, |p| p.days.len());
            if day.is_some_and(|d| d >= days) {
                return Err(field("day"));
            }
            state.before.day = day;
        }
        Event::Company { company } => {
            state.before.company = Some(company);
        }
        Event::Safeties { there } => state.before.safeties = Some(there),
        Event::Adult { present } => state.before.adult = present,
        Event::Feeling { feeling } => state.before.feeling = Some(feeling),
        Event::MinutesAtHand { minutes } => {
            if minutes.is_some_and(|m| !MINUTES.contains(&m)) {
                return Err(field("minutes"));
            }
            state.before.minutes = minutes;
        }
        Event::Place { place } => {
            if place >= house.places.len() {
                return Err(field("place"));
            }
            state.before.place = place;
        }
        _ => return Err(Refused::NotNow),
    }
    Ok(())
}

/// What is wrong with a field of an event.
pub(super) fn field(name: &str) -> Refused {
    Refused::Field { field: name.to_owned() }
}

/// The first question still to be answered.
pub(super) fn unanswered(state: &State, house: &House<'_>) -> Option<Question> {
    let b = &state.before;
    match b.company {
        None => Some(Question::Company),
        Some(Company::Alone) if b.safeties.is_none() => Some(Question::Safeties),
        _ if house.adult_needed && !b.adult => Some(Question::Adult),
        _ => None,
    }
}

/// A day with its lines, each with the sets and the reserve of one week.
pub(super) type Day<'a> = (&'a ProgrammeDay, Vec<(&'a Planned, i32, i32)>);

/// The programme's lines of a day in a week of its block.
pub(super) fn day_of(programme: &Programme, week: usize, day: usize) -> Option<Day<'_>> {
    let of_day = programme.days.get(day)?;
    let block = programme.block.get(week).and_then(|w| w.days.get(day));
    let lines = of_day.lines.iter().enumerate().map(|(k, l)| {
        let b = block.and_then(|d| d.get(k));
        (l, b.map_or(l.sets, |b| b.sets), b.map_or(l.reserve, |b| b.reserve))
    });
    Some((of_day, lines.collect()))
}

/// Begins the session.
pub(super) fn begin(
    state: &mut State,
    moment: &Moment,
    house: &House<'_>,
    ids: &mut dyn FnMut() -> EntryId,
) -> Result<(), Refused> {
    if state.phase != Phase::Before {
        return Err(Refused::NotNow);
    }
    if let Some(because) = &house.barred {
        return Err(Refused::Barred { because: because.clone() });
    }
    if let Some(question) = unanswered(state, house) {
        return Err(Refused::Unanswered { question });
    }
    state.adult_asked = house.adult_needed;
    state.week = house.week;
    state.programme = house.programme_entry.filter(|_| state.before.day.is_some());
    state.kit = house.places.get(state.before.place).and_then(|p| p.entry);
    state.began = Some(moment.clone());
    state.session = Some(ids());
    state.phase = Phase::Open;
    let day = state.before.day.and_then(|d| day_of(house.programme?, house.week, d));
    if let Some((of_day, lines)) = &day {
        for (kind, seconds) in [
            (WarmUpKind::General, of_day.warm_up.general_s),
            (WarmUpKind::AnkleMobility, of_day.warm_up.ankle_mobility_s),
        ] {
            if seconds > 0 {
                state.warm_up.push(WarmUp { kind, seconds, done: false });
            }
        }
        for (line, sets, reserve) in lines {
            let asked = Asked {
                sets: *sets,
                low: line.low,
                high: line.high,
                reserve: *reserve,
                rest_s: Some(line.rest_s),
                ramp_sets: line.ramp_sets,
                tempo: line.tempo,
            };
            // A movement that this catalogue does not know keeps its place, so that pairs keep their lines.
            let built = build_line(state, house, &line.movement, asked, true);
            state.order.push(state.lines.len());
            state.lines.push(built);
            if line.carrying {
                state.carrying.push(line.movement.clone());
            }
        }
        for turn in &of_day.in_turn {
            let sets_of = |k: usize| state.lines.get(k).map_or(0, |l| l.sets);
            let sets = turn.sets.min(sets_of(turn.first)).min(sets_of(turn.second));
            if sets > 0 && turn.first != turn.second {
                state.pairs.push(Pair { first: turn.first, second: turn.second, sets });
            }
        }
        if state.carrying.is_empty() {
            state.carrying = state.lines.iter().take(2).map(|l| l.movement.clone()).collect();
        }
    } else {
        // A session without a programme still warms up (common practice: five minutes of easy movement).
        state.warm_up.push(WarmUp { kind: WarmUpKind::General, seconds: 300, done: false });
    }
    let name = |id: &String| house.catalogue.movement(id).map_or_else(|| id.clone(), |m| m.name.clone());
    state.title = state.carrying.iter().map(name).collect::<Vec<_>>().join(", ");
    super::lines::recheck(state, house);
    plan_ramps(state, house);
    if let Some(minutes) = state.before.minutes
        && day.is_some_and(|(d, _)| i64::from(minutes) * 60 < i64::from(d.seconds))
        && let Ok(answer) = super::change::minutes_left(state, house, minutes)
    {
        super::change::take_minutes(state, house, &answer, false);
    }
    Ok(())
}
