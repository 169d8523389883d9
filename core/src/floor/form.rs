//! The form of a set that was not done as written: at most three touches within three repetitions and one load
//! step, at most six for anything else, and never a keyboard.
//!
//! The near page has a button for each repetition near those written; it records at once with whatever load,
//! reserve or side was touched before. *Other* turns to every load, every number of repetitions and the
//! reserve, one touch each.

use super::begin::field;
use super::change::step_of;
use super::event::{Event, Refused};
use super::house::House;
use super::loads::loads_for;
use super::next::{Next, amount_of, mass_of};
use super::state::{Form, LoadDone, Outcome, Page, Purpose, SetForm, SetWhat, State};
use super::work::{MOST_AMOUNT, MOST_RESERVE, Values, correct, log, log_late};
use crate::load::Mass;
use crate::moment::Moment;
use crate::record::EntryId;

/// How many repetitions below and above those written have a button on the near page.
pub const NEAR: u32 = 3;
/// Minutes ago that are offered.
pub const AGO_MIN: [u32; 5] = [0, 1, 2, 5, 10];

/// Opens the form for the set at hand, a logged one, or a late one.
pub(super) fn open(state: &mut State, house: &House<'_>, event: &Event) -> Result<(), Refused> {
    let form = match event {
        Event::NotAsWritten => {
            let step = state.next(house);
            let line = step.line().ok_or(Refused::NotNow)?;
            let v = Values::written(state, step).ok_or(Refused::NotNow)?;
            blank(SetWhat::Next, line, v.mass, v.amount)
        }
        Event::Correct { set } => {
            let s = state.sets.get(*set).filter(|s| !s.deleted).ok_or_else(|| field("set"))?;
            let mut form = blank(
                SetWhat::Correct { set: *set },
                s.line,
                s.load.as_ref().and_then(LoadDone::mass),
                s.amount,
            );
            form.reserve = s.reserve;
            form.missed = s.outcome == Outcome::Missed;
            form
        }
        Event::Late { line } => {
            let l = state.lines.get(*line).ok_or_else(|| field("line"))?;
            let step = Next::Work { line: *line, pair: None };
            if Values::written(state, step).is_none() {
                return Err(Refused::NotNow);
            }
            let mut form = blank(SetWhat::Late, *line, mass_of(l, step), amount_of(l, step));
            form.ago_min = 5;
            form
        }
        _ => return Err(Refused::NotNow),
    };
    state.form = Some(Form::Set { set: form });
    Ok(())
}

fn blank(what: SetWhat, line: usize, mass: Option<Mass>, amount: u32) -> SetForm {
    SetForm {
        what,
        line,
        page: Page::Near,
        mass,
        amount,
        reserve: None,
        missed: false,
        ago_min: 0,
        apart: false,
        weaker: None,
    }
}

/// Fills in the open form; an amount records.
pub(super) fn fill(
    state: &mut State,
    house: &House<'_>,
    moment: &Moment,
    ids: &mut dyn FnMut() -> EntryId,
    event: &Event,
) -> Result<bool, Refused> {
    let Some(Form::Set { set: form }) = &state.form else { return Err(Refused::NotNow) };
    let mut form = form.clone();
    let each = state.lines.get(form.line).is_some_and(|l| l.each);
    let wizard = form.page != Page::Near && form.page != Page::OtherSide;
    match event {
        Event::Load { load } => {
            let line = state.lines.get(form.line).ok_or(Refused::NotNow)?;
            let makes = loads_for(&house.kit(state), line);
            if *load != form.mass && !load.is_some_and(|m| makes.contains(&m)) {
                return Err(field("load"));
            }
            form.mass = *load;
            if form.page == Page::Loads {
                form.page = Page::Amounts;
            }
        }
        Event::Reserve { reserve } => {
            if reserve.is_some_and(|r| r > MOST_RESERVE) {
                return Err(field("reserve"));
            }
            form.reserve = *reserve;
            if form.page == Page::Reserves {
                return record(state, house, moment, ids, &form).map(|()| true);
            }
        }
        Event::Missed { missed } => {
            form.missed = *missed;
            if form.page == Page::Reserves {
                return record(state, house, moment, ids, &form).map(|()| true);
            }
        }
        Event::EndedAgo { minutes } if *minutes <= 30 => form.ago_min = *minutes,
        Event::SidesApart { apart } if each && !matches!(form.what, SetWhat::Correct { .. }) => {
            form.apart = *apart;
        }
        Event::Turn { page } => match page {
            Page::OtherSide => return Err(Refused::NotNow),
            page => form.page = *page,
        },
        Event::Amount { amount } => {
            if *amount > MOST_AMOUNT {
                return Err(field("amount"));
            }
            if form.apart && form.weaker.is_none() {
                form.weaker = Some(*amount);
                form.amount = *amount;
                form.page = Page::OtherSide;
            } else {
                form.amount = *amount;
                return record(state, house, moment, ids, &form).map(|()| true);
            }
        }
        Event::AmountThen { amount } if wizard => {
            if *amount > MOST_AMOUNT {
                return Err(field("amount"));
            }
            form.amount = *amount;
            form.page = Page::Reserves;
        }
        Event::Back => {
            let leave = form.page == Page::Near;
            form.page = Page::Near;
            form.weaker = None;
            if leave {
                state.form = None;
                return Ok(false);
            }
        }
        Event::EndedAgo { .. } => return Err(field("minutes")),
        _ => return Err(Refused::NotNow),
    }
    state.form = Some(Form::Set { set: form });
    Ok(false)
}

/// What the form would record with its values as they are.
pub(super) fn values(form: &SetForm) -> Values {
    let (amount, other) = match form.weaker {
        Some(weaker) => (weaker, Some(form.amount)),
        None => (form.amount, None),
    };
    Values {
        mass: form.mass,
        amount,
        other,
        reserve: form.reserve,
        missed: form.missed,
        form_changed: false,
        ago_min: form.ago_min,
    }
}

fn record(
    state: &mut State,
    house: &House<'_>,
    moment: &Moment,
    ids: &mut dyn FnMut() -> EntryId,
    form: &SetForm,
) -> Result<(), Refused> {
    match form.what {
        SetWhat::Next => {
            if state.next(house).line() != Some(form.line) {
                return Err(Refused::NotNow);
            }
            log(state, house, moment, ids, values(form))
        }
        SetWhat::Late => log_late(state, house, moment, ids, form.line, values(form)),
        SetWhat::Correct { .. } => correct(state, house, form, values(form)),
    }
}

/// The repetitions (seconds, metres) that have a button near an amount.
pub(super) fn near_amounts(state: &State, form: &SetForm, written: u32) -> Vec<u32> {
    let step = state.lines.get(form.line).map_or(1, |l| step_of(l.measure));
    let low = written.saturating_sub(NEAR * step);
    (0..=2 * NEAR).map(|k| low + k * step).filter(|a| *a <= written + NEAR * step).collect()
}

/// Every amount that has a button: one to thirty in ones, or in fives where seconds or metres are counted.
pub(super) fn all_amounts(state: &State, form: &SetForm) -> Vec<u32> {
    let step = state.lines.get(form.line).map_or(1, |l| step_of(l.measure));
    if step == 1 { (0..=50).collect() } else { (0..=60).map(|k| k * step).collect() }
}

/// The loads beside one: the next lighter, itself and the next heavier.
pub(super) fn near_loads(all: &[Mass], at: Option<Mass>) -> Vec<Mass> {
    let Some(at) = at else { return all.first().copied().into_iter().collect() };
    let lighter = all.iter().filter(|m| **m < at).max().copied();
    let heavier = all.iter().filter(|m| **m > at).min().copied();
    lighter.into_iter().chain([at]).chain(heavier).collect()
}

/// What was written for the set that a form is for.
pub(super) fn written(state: &State, house: &House<'_>, form: &SetForm) -> (Option<Mass>, u32) {
    match form.what {
        SetWhat::Correct { set } => {
            let s = state.sets.get(set);
            (s.and_then(|s| s.load.as_ref()?.mass()), s.map_or(0, |s| s.amount))
        }
        SetWhat::Next | SetWhat::Late => {
            let step = match form.what {
                SetWhat::Next => state.next(house),
                _ => Next::Work { line: form.line, pair: None },
            };
            let line = state.lines.get(form.line);
            (line.and_then(|l| mass_of(l, step)), line.map_or(0, |l| amount_of(l, step)))
        }
    }
}

/// Whether a set counts as work.
pub(super) fn is_work(purpose: Purpose) -> bool {
    purpose == Purpose::Working
}
