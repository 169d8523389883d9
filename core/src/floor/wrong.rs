//! Something is wrong: it hurts, or the lifter feels unwell. Nothing here diagnoses.

use super::begin::field;
use super::event::{Event, Refused};
use super::house::{FlagKind, House};
use super::lines::recheck;
use super::state::{ClosedBy, Ended, FlagNow, Form, Phase, SoreNow, State};
use crate::moment::Moment;
use crate::record::EntryId;

/// Milliseconds within which a second touch is a doubled press and names nothing.
pub(super) const DOUBLED_MS: i64 = 1000;

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Another page of the form.
    Page,
    /// A discomfort was recorded.
    Sore,
    /// A flag was confirmed; `ends` when it ends the session.
    Flagged { ends: bool },
}

pub(super) fn flag_of<'h>(house: &'h House<'_>, id: &str) -> Option<&'h FlagKind> {
    house.flags.iter().find(|f| f.id == id)
}

/// Takes one step of the form.
pub(super) fn step(
    state: &mut State,
    house: &House<'_>,
    moment: &Moment,
    ids: &mut dyn FnMut() -> EntryId,
    event: &Event,
) -> Result<Outcome, Refused> {
    let form = match (event, state.form.clone()) {
        (Event::Wrong, _) => Form::Wrong,
        (Event::Hurts, Some(Form::Wrong)) => Form::Where,
        (Event::Unwell, Some(Form::Wrong)) => Form::Unwell,
        (Event::HurtsWhere { region }, Some(Form::Where)) => {
            if house.catalogue.region(region).is_none() {
                return Err(field("region"));
            }
            Form::How { region: region.clone() }
        }
        (Event::HurtsHow { nature }, Some(Form::How { region })) => Form::Much { region, nature: *nature },
        (Event::HurtsMuch { severity }, Some(Form::Much { region, nature })) => {
            state.sore.push(SoreNow {
                id: ids(),
                region,
                severity: *severity,
                nature,
                since: moment.clone(),
            });
            state.form = None;
            after(state, house);
            return Ok(Outcome::Sore);
        }
        (Event::Flag { flag }, Some(Form::Unwell)) => {
            let kind = flag_of(house, flag).ok_or_else(|| field("flag"))?;
            if kind.asks_region {
                Form::FlagWhere { flag: flag.clone() }
            } else {
                Form::Confirm { flag: flag.clone(), region: None, raised: moment.clone() }
            }
        }
        (Event::FlagWhere { region }, Some(Form::FlagWhere { flag })) => {
            if house.catalogue.region(region).is_none() {
                return Err(field("region"));
            }
            Form::Confirm { flag, region: Some(region.clone()), raised: moment.clone() }
        }
        (Event::ConfirmFlag { flag: named }, Some(Form::Confirm { flag, region, raised })) => {
            if *named != flag {
                return Err(field("flag"));
            }
            if raised.boot == moment.boot
                && moment.monotonic_ms >= raised.monotonic_ms
                && moment.since(&raised) < DOUBLED_MS
            {
                return Err(Refused::Doubled);
            }
            let (tier, care) =
                flag_of(house, &flag).map(|f| (f.tier, f.care)).ok_or_else(|| field("flag"))?;
            let confirmed = moment.clone();
            state.flags.push(FlagNow { id: ids(), flag, tier, care, region, raised, confirmed });
            state.form = None;
            let ends = tier <= 2;
            if ends {
                state.phase = Phase::Ended;
                state.ended = Some(Ended { at: moment.clone(), by: ClosedBy::Flag });
                state.rest = None;
                state.hold = None;
                state.paused = None;
            } else {
                after(state, house);
            }
            return Ok(Outcome::Flagged { ends });
        }
        (Event::Back, Some(form)) => match form {
            Form::Where | Form::Unwell => Form::Wrong,
            Form::How { .. } => Form::Where,
            Form::Much { region, .. } => Form::How { region },
            Form::FlagWhere { .. } | Form::Confirm { .. } => Form::Unwell,
            _ => {
                state.form = None;
                return Ok(Outcome::Page);
            }
        },
        _ => return Err(Refused::NotNow),
    };
    state.form = Some(form);
    Ok(Outcome::Page)
}

/// Safety is asked anew about all that is left; a rest that led to what is out is over.
fn after(state: &mut State, house: &House<'_>) {
    state.told.clear();
    state.hold = None;
    recheck(state, house);
    if state.focus.is_some_and(|f| !state.open_line(f)) {
        state.focus = None;
    }
}
