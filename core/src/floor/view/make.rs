//! The view of a moment: the set at hand, the wide action and the others.

use super::forms::form_view;
use super::{
    Action, Asking, BarView, Best, FlagView, Recorded, RestView, Row, RowKind, SetKind, SetView, Stage, View,
    WarmUpView,
};
use crate::catalogue::{LoadKind, Measure};
use crate::floor::begin::{day_of, unanswered};
use crate::floor::event::Event;
use crate::floor::form::values;
use crate::floor::house::House;
use crate::floor::line::session_line;
use crate::floor::loads::place;
use crate::floor::next::{Next, mass_of};
use crate::floor::state::{
    ClosedBy, Company, Feeling, Form, Line, LoadDone, Loading, Out, Outcome, Page, Phase, Purpose, SetForm,
    SetWhat, State,
};
use crate::floor::work::{Values, planned_discs, sides};
use crate::floor::{Floor, forgotten};
use crate::load::route::change;
use crate::load::{BarLoads, Implement, Mass};
use crate::moment::Moment;

/// Seconds of the hold that is being counted.
pub(in crate::floor) fn held_s(state: &State, moment: &Moment) -> Option<u32> {
    state.hold.as_ref().map(|h| (moment.since(h) / 1000).clamp(0, 1000) as u32)
}

impl Floor {
    /// The view at a moment: a function of the snapshot, the moment and the house.
    pub fn view(&self, moment: &Moment, house: &House<'_>) -> View {
        let state = &self.state;
        let at = state.next(house);
        let open = state.phase == Phase::Open;
        let resting = state.resting(moment);
        let shown = match state.phase {
            Phase::Before => Stage::Before,
            Phase::Ended => Stage::Ended { by: state.ended.as_ref().map_or(ClosedBy::Lifter, |e| e.by) },
            Phase::Open if state.paused.is_some() => Stage::Paused,
            Phase::Open => match at {
                Next::WarmUp(_) => Stage::WarmUp,
                Next::Nothing => Stage::Finished,
                _ if resting.is_some() => Stage::Resting,
                _ => Stage::Lifting,
            },
        };
        let at_work = matches!(shown, Stage::Lifting | Stage::Resting);
        let set = at_work.then(|| set_view(state, house, at)).flatten();
        let form = if open { state.form.as_ref().map(|f| form_view(state, house, f)) } else { None };
        let rest = resting.filter(|_| matches!(shown, Stage::Resting)).map(|r| {
            let left = r.left_ms(moment);
            RestView {
                left_ms: left,
                ends_monotonic_ms: moment.monotonic_ms.saturating_add(left.unsigned_abs()),
                ends_wall_ms: moment.wall_ms.saturating_add(left),
                boot: moment.boot.clone(),
                seconds: r.seconds,
                from: r.from,
                floor_s: r.floor_s,
                under_floor: moment.since(&r.began) < i64::from(r.floor_s) * 1000,
            }
        });
        View {
            line: (state.phase != Phase::Before).then(|| session_line(state, house, moment)),
            days: if state.phase == Phase::Before { days(house) } else { Vec::new() },
            before: if state.phase == Phase::Before { before_rows(state, house) } else { Vec::new() },
            unanswered: (state.phase == Phase::Before).then(|| unanswered(state, house)).flatten(),
            barred: house.barred.clone().filter(|_| state.phase == Phase::Before),
            warm_up: match at {
                Next::WarmUp(k) if open => {
                    state.warm_up.get(k).map(|w| WarmUpView { kind: w.kind, seconds: w.seconds })
                }
                _ => None,
            },
            then: at_work.then(|| then(state, house, at)).flatten(),
            wide: Self::wide(state, house, moment, at, &shown),
            actions: actions(state, house, moment, at, &shown),
            rows: if at_work && state.form.is_none() { rows_beside(state, at) } else { Vec::new() },
            told: state.told.clone(),
            flags: state
                .flags
                .iter()
                .map(|f| FlagView {
                    flag: f.flag.clone(),
                    tier: f.tier,
                    care: f.care,
                    region: f.region.clone(),
                })
                .collect(),
            undo: self.undoes().cloned(),
            forgotten: forgotten(state, moment).then(|| state.last_done().cloned()).flatten(),
            sum: matches!(shown, Stage::Ended { .. } | Stage::Finished).then(|| sum(state)),
            stable: stable(state, at),
            stage: shown,
            set,
            rest,
            form,
        }
    }

    fn wide(state: &State, house: &House<'_>, moment: &Moment, at: Next, shown: &Stage) -> Option<Action> {
        let form = state
            .form
            .as_ref()
            .filter(|_| matches!(shown, Stage::Lifting | Stage::Resting | Stage::WarmUp | Stage::Finished));
        if let Some(form) = form {
            return match form {
                Form::Set { set } if matches!(set.page, Page::Near | Page::OtherSide) => {
                    let event = Event::Amount { amount: set.amount };
                    let recorded = preview(state, set, set.amount);
                    Some(Action {
                        records: recorded,
                        movement: movement_of(state, set.line),
                        ..Action::new(event)
                    })
                }
                Form::Minutes { answer: Some(_) } => Some(Action::new(Event::TakeMinutes { free: false })),
                Form::Confirm { flag, .. } => Some(Action::new(Event::ConfirmFlag { flag: flag.clone() })),
                _ => None,
            };
        }
        match shown {
            Stage::Before => {
                let outlined = unanswered(state, house).is_some() || house.barred.is_some();
                Some(Action { outlined, ..Action::new(Event::Begin) })
            }
            Stage::WarmUp => Some(Action::new(Event::WarmUpDone)),
            Stage::Lifting | Stage::Resting => {
                let line = state.lines.get(at.line()?)?;
                let mut v = Values::written(state, at)?;
                if let Some(held) = held_s(state, moment) {
                    v.amount = held;
                }
                let records = Some(recorded(line, v));
                let outlined = matches!(shown, Stage::Resting);
                Some(Action { outlined, records, ..Action::of(Event::Done, &line.movement) })
            }
            Stage::Finished => Some(Action::new(Event::Close)),
            Stage::Paused => Some(Action::new(Event::Resume)),
            Stage::Ended { by: ClosedBy::Flag } if state.flags.iter().any(|f| f.tier == 1) => {
                Some(Action::new(Event::Dial))
            }
            Stage::Ended { .. } => None,
        }
    }
}

pub(super) fn movement_of(state: &State, line: usize) -> Option<String> {
    state.lines.get(line).map(|l| l.movement.clone())
}

pub(super) fn load_done(line: &Line, mass: Option<Mass>) -> Option<LoadDone> {
    let kind = if matches!(line.loading, Loading::BodyMass) { LoadKind::BodyMass } else { line.load_kind };
    let band = match &line.loading {
        Loading::Band { band } => band.as_deref(),
        _ => None,
    };
    LoadDone::of(kind, mass, band)
}

pub(super) fn recorded(line: &Line, v: Values) -> Recorded {
    Recorded {
        outcome: if v.missed { Outcome::Missed } else { Outcome::Done },
        amount: v.amount,
        other: v.other.filter(|o| *o != v.amount),
        measure: line.measure,
        load: load_done(line, v.mass),
        reserve: v.reserve,
        both_sides: line.each,
        ago_min: v.ago_min,
    }
}

/// What the form would record for an amount; nothing where the touch only leads on.
pub(super) fn preview(state: &State, form: &SetForm, amount: u32) -> Option<Recorded> {
    let line = state.lines.get(form.line)?;
    if form.apart && form.weaker.is_none() {
        return None;
    }
    let mut with = form.clone();
    with.amount = amount;
    let mut r = recorded(line, values(&with));
    r.both_sides &= !matches!(form.what, SetWhat::Correct { .. });
    Some(r)
}

fn days(house: &House<'_>) -> Vec<Asking> {
    let mut out = Vec::new();
    if let Some(p) = house.programme {
        for d in 0..p.days.len() {
            let Some((of_day, lines)) = day_of(p, house.week, d) else { continue };
            let mut carrying: Vec<String> =
                lines.iter().filter(|(l, _, _)| l.carrying).map(|(l, _, _)| l.movement.clone()).collect();
            if carrying.is_empty() {
                carrying = lines.iter().take(2).map(|(l, _, _)| l.movement.clone()).collect();
            }
            out.push(Asking { day: Some(d), weekday: Some(of_day.weekday), carrying });
        }
    }
    out.push(Asking { day: None, weekday: None, carrying: Vec::new() });
    out
}

fn before_rows(state: &State, house: &House<'_>) -> Vec<Row> {
    let b = &state.before;
    let row = |kind, actions| Row { kind, actions };
    let days =
        days(house).into_iter().map(|d| Action::chosen(Event::ChooseDay { day: d.day }, b.day == d.day));
    let company = [Company::Alone, Company::Spotted]
        .map(|c| Action::chosen(Event::Company { company: c }, b.company == Some(c)));
    let safeties =
        [true, false].map(|there| Action::chosen(Event::Safeties { there }, b.safeties == Some(there)));
    let feeling = [Feeling::Well, Feeling::Usual, Feeling::Tired]
        .map(|f| Action::chosen(Event::Feeling { feeling: f }, b.feeling == Some(f)));
    let minutes = [None, Some(20), Some(30), Some(45), Some(60), Some(75), Some(90)]
        .map(|m| Action::chosen(Event::MinutesAtHand { minutes: m }, b.minutes == m));
    let mut rows = vec![
        row(RowKind::Days, days.collect()),
        row(RowKind::Company, company.to_vec()),
        row(RowKind::Safeties, safeties.to_vec()),
        row(RowKind::Feeling, feeling.to_vec()),
        row(RowKind::Minutes, minutes.to_vec()),
    ];
    if house.adult_needed {
        let adult = [true, false].map(|present| Action::chosen(Event::Adult { present }, b.adult == present));
        rows.insert(3, row(RowKind::Adult, adult.to_vec()));
    }
    if house.places.len() > 1 {
        let places = (0..house.places.len()).map(|p| Action::chosen(Event::Place { place: p }, b.place == p));
        rows.push(row(RowKind::Places, places.collect()));
    }
    rows
}

pub(super) fn cautions(house: &House<'_>, movement: &str) -> Vec<String> {
    house.texts.of(movement).map(|t| t.cautions.clone()).unwrap_or_default()
}

fn set_view(state: &State, house: &House<'_>, at: Next) -> Option<SetView> {
    let k = at.line()?;
    let line = state.lines.get(k)?;
    let mass = mass_of(line, at);
    let text = house.texts.of(&line.movement);
    let coach = house.cues.get(&line.movement).map(Vec::as_slice).unwrap_or_default();
    let own = text.map(|t| t.cues.as_slice()).unwrap_or_default();
    let sets_done = state.standing().filter(|s| s.line == k).map(|s| (s.purpose, s.number));
    let mut turned: Vec<_> = sets_done.collect();
    let opening = turned.is_empty();
    turned.dedup();
    let cues: Vec<(&String, bool)> =
        coach.iter().map(|c| (c, true)).chain(own.iter().map(|c| (c, false))).collect();
    let cue = turned.len().checked_rem(cues.len()).and_then(|i| cues.get(i));
    let (kind, number, of) = match at {
        Next::Ramp { step, .. } => (SetKind::Ramp, step as i32 + 1, line.ramp.len() as i32),
        Next::Find { step, .. } => {
            let of = match &line.loading {
                Loading::Find { first, .. } => first.loads.len() as i32,
                _ => 0,
            };
            (SetKind::Search, step as i32 + 1, of)
        }
        _ => (SetKind::Working, state.done_of(k) + 1, line.sets),
    };
    let wanted = match (&line.loading, at) {
        (_, Next::Ramp { .. }) => None,
        (Loading::Weight { wanted, made, .. }, _) if wanted != made => Some(*wanted),
        _ => None,
    };
    let partner_line = match at {
        Next::Work { pair: Some(p), .. } => {
            state.pairs.get(p).map(|p| if p.first == k { p.second } else { p.first })
        }
        _ => None,
    };
    Some(SetView {
        line: k,
        movement: line.movement.clone(),
        kind,
        number,
        of,
        load: load_done(line, mass),
        wanted,
        because: match &line.loading {
            Loading::Weight { because, .. } if kind == SetKind::Working => Some(because.clone()),
            _ => None,
        },
        load_open: matches!(line.loading, Loading::Unknown { .. }),
        amount: crate::floor::next::amount_of(line, at),
        measure: line.measure,
        low: line.low,
        high: line.high,
        reserve: match (kind, &line.loading) {
            (SetKind::Ramp, _) => None,
            (SetKind::Search, Loading::Find { first, .. }) => Some(first.wanted_reserve as i32),
            _ => Some(line.reserve),
        },
        tempo: line.tempo,
        sides: line.each.then(|| sides(house, &line.movement)),
        in_turn_with: partner_line.and_then(|p| movement_of(state, p)),
        bar: mass.and_then(|m| bar_view(state, house, k, line, &m)),
        cue: cue.map(|c| c.0.clone()),
        cue_of_coach: cue.is_some_and(|c| c.1),
        own_cautions: (house.cautions.get(&line.movement).into_iter().flatten())
            .filter(|c| opening || c.every_set)
            .map(|c| c.text.clone())
            .collect(),
        // All of it before the first set; beside the others one line, or nobody reads any.
        cautions: {
            let all = cautions(house, &line.movement);
            let shown = if opening { all.len() } else { 1 };
            all.into_iter().take(shown).collect()
        },
        bail_out: text.and_then(|t| t.bail_out.clone()).filter(|_| opening),
        kit_taken: state.kit_taken(house.catalogue, k),
        eased: line.eased,
        lighter_ways: match &line.loading {
            Loading::TooHeavy { ways } => ways.clone(),
            _ => Vec::new(),
        },
        hold: state.hold.clone(),
    })
}

fn bar_view(state: &State, house: &House<'_>, k: usize, line: &Line, mass: &Mass) -> Option<BarView> {
    let Some(Implement::Bar(bar)) = &line.implement else { return None };
    let movement = house.catalogue.movement(&state.lines.get(k)?.movement)?;
    let kit = house.kit(state);
    let loads = BarLoads::new(&kit, bar).ok()?;
    let from = state.on_bar.get(bar).cloned().unwrap_or_default();
    let way = change(&loads, &from, planned_discs(line, mass), mass, place(movement))?;
    let partner = state.partner.as_ref().filter(|p| p.bar == *bar);
    Some(BarView {
        bar: bar.clone(),
        bar_mass: loads.bar().mass,
        collars: kit.collar_pair(loads.bar().kind),
        per_side: way.per_side,
        moves: way.moves,
        blocks_needed: way.blocks_needed,
        partner: partner.map(|p| p.load),
        partner_per_side: if partner.is_some() { from } else { Vec::new() },
    })
}

/// The movement after the set at hand, where it is another one.
fn then(state: &State, house: &House<'_>, at: Next) -> Option<String> {
    let line = at.line()?;
    if let Next::Work { pair: Some(p), .. } = at {
        let p = state.pairs.get(p)?;
        return movement_of(state, if p.first == line { p.second } else { p.first });
    }
    let left = state.lines.get(line)?.sets - state.done_of(line);
    if left > 1 || !matches!(at, Next::Work { .. }) {
        return None;
    }
    let free = |k: &usize| *k != line && state.open_line(*k) && !state.kit_taken(house.catalogue, *k);
    state.order.iter().copied().find(free).and_then(|k| movement_of(state, k))
}

fn actions(state: &State, house: &House<'_>, moment: &Moment, at: Next, shown: &Stage) -> Vec<Action> {
    let mut out = Vec::new();
    let mut add = |event| out.push(Action::new(event));
    match shown {
        Stage::Before | Stage::Ended { .. } => return out,
        Stage::Paused => {
            add(Event::Close);
            if forgotten(state, moment) {
                add(Event::CloseForgotten);
            }
            return out;
        }
        _ => {}
    }
    if state.form.is_some() {
        add(Event::Back);
        return out;
    }
    if forgotten(state, moment) {
        add(Event::CloseForgotten);
    }
    if matches!(shown, Stage::Resting) {
        add(Event::Longer);
        add(Event::Ready);
        add(Event::EndedEarlier);
    }
    if matches!(shown, Stage::WarmUp) {
        add(Event::WarmUpSkipped);
    }
    if let Some(line) = at.line() {
        if Values::written(state, at).is_some() {
            if state.lines.get(line).is_some_and(|l| l.measure == Measure::Hold) && state.hold.is_none() {
                add(Event::HoldBegun);
            }
            add(Event::NotAsWritten);
        }
        add(Event::StandIns { line });
        add(Event::Kit);
        if matches!(state.lines.get(line).and_then(|l| l.implement.as_ref()), Some(Implement::Bar(_))) {
            add(Event::Sharing);
        }
    }
    if !matches!(shown, Stage::Finished) {
        add(Event::MinutesLeft);
    }
    for event in [Event::Wrong, Event::Lines, Event::Movements] {
        add(event);
    }
    if !state.sets.is_empty() {
        add(Event::SetsDone);
    }
    let company = if state.alone() { Company::Spotted } else { Company::Alone };
    add(Event::Company { company });
    add(Event::Safeties { there: state.before.safeties != Some(true) });
    add(Event::Pause);
    if !matches!(shown, Stage::Finished) {
        add(Event::Close);
    }
    let _ = house;
    out
}

/// Rows beside the wide action.
fn rows_beside(state: &State, at: Next) -> Vec<Row> {
    let Some(line) = at.line().and_then(|k| state.lines.get(k)) else { return Vec::new() };
    match (&line.loading, at) {
        (Loading::Find { .. }, Next::Find { .. }) => {
            let mut actions: Vec<Action> = (0..=5)
                .map(|reserve| {
                    let mut v = Values::written(state, at);
                    if let Some(v) = &mut v {
                        v.reserve = Some(reserve);
                    }
                    let records = v.map(|v| recorded(line, v));
                    Action { records, ..Action::new(Event::DoneWith { reserve, form_changed: false }) }
                })
                .collect();
            actions.push(Action::new(Event::DoneWith { reserve: 0, form_changed: true }));
            vec![Row { kind: RowKind::Search, actions }]
        }
        (Loading::TooHeavy { ways }, _) => {
            let actions = (0..ways.len()).map(|way| Action::new(Event::Lighter { way })).collect();
            vec![Row { kind: RowKind::Lighter, actions }]
        }
        _ => Vec::new(),
    }
}

fn sum(state: &State) -> Best {
    let done: i32 = (0..state.lines.len()).map(|k| state.done_of(k)).sum();
    let planned: i32 = state.lines.iter().filter(|l| l.planned).map(|l| l.planned_sets).sum();
    let counted: i32 = (0..state.lines.len())
        .filter(|k| state.lines.get(*k).is_some_and(|l| l.planned && l.stands_in_for.is_none()))
        .map(|k| {
            let l = state.lines.get(k);
            let stood = match l.and_then(|l| l.out.as_ref()) {
                Some(Out::StoodIn { line }) => state.done_of(*line),
                _ => 0,
            };
            (state.done_of(k) + stood).min(l.map_or(0, |l| l.planned_sets))
        })
        .sum();
    let stand_ins: i32 =
        state.lines.iter().filter(|l| l.planned && l.stands_in_for.is_some()).map(|l| l.planned_sets).sum();
    Best { sets: done, not_done: (planned - stand_ins - counted).max(0) }
}

fn stable(state: &State, at: Next) -> String {
    let phase = match state.phase {
        Phase::Before => "before",
        Phase::Open if state.paused.is_some() => "paused",
        Phase::Open => "open",
        Phase::Ended => "ended",
    };
    let form = match &state.form {
        None => String::new(),
        Some(Form::Set { set }) => format!("set:{:?}:{:?}", set.what, set.page),
        Some(form) => match serde_json::to_value(form) {
            Ok(v) => v.get("form").and_then(|f| f.as_str()).unwrap_or_default().to_owned(),
            Err(_) => String::new(),
        },
    };
    let sets = state
        .standing()
        .filter(|s| crate::floor::form::is_work(s.purpose) || s.purpose == Purpose::WarmUp)
        .count();
    format!("{phase}/{at:?}/{sets}/{form}")
}
