//! The session at hand: a pure state machine. Events go in; edits for the record, effects for the platform and
//! a view for the screen come out. It reads no clock and makes no id: both are handed in.
//!
//! The snapshot ([`Floor`], in JSON) is the whole of it: read back after a kill or a reboot it shows the very
//! screen. What an event writes is the difference between what two states mean for the record, and undo is the
//! same difference backwards.

mod begin;
mod change;
mod entry;
mod event;
mod form;
mod here;
mod house;
mod keep;
mod line;
mod lines;
mod loads;
mod next;
mod patch;
pub mod rest;
mod sound;
mod state;
mod undo;
mod view;
mod work;
mod wrong;

pub use crate::record::{Edit, EntryId, Kind};
pub use event::{Effect, Event, Question, Refused, Spoken};
pub use form::{AGO_MIN, NEAR};
pub use house::{FlagKind, House, OwnCaution, Place, Proposal};
pub use keep::{Kept, Written};
pub use line::{Piece, PieceKind, SessionLine};
pub use state::{
    ClosedBy, Company, Feeling, LoadBecause, LoadDone, Nature, Out, Outcome, Page, Purpose, RestFrom, Told,
    WarmUpKind,
};
pub use undo::Did;
pub use view::{
    Action, Asking, BarView, Best, FlagView, FormKind, FormView, LineView, Recorded, RestView, Row, RowKind,
    SetKind, SetView, Stage, View, WarmUpView,
};

use crate::moment::Moment;
use begin::field;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use state::{ClosedBy as By, Ended, Form, Phase, State};
use std::collections::BTreeMap;
use undo::Past;
use work::Values;

/// Minutes without anything done after which a session counts as forgotten (common practice, no source).
pub const FORGOTTEN_MIN: i64 = 60;
/// Seconds beyond the longest rest after which the display is let go.
const LET_GO_S: i64 = 300;
/// The longest note, characters.
const MOST_NOTE: usize = 2000;

/// The session at hand; its JSON is the snapshot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Floor {
    /// `plinth.floor/1`.
    format: String,
    state: State,
    /// What can be taken back, by number, the latest last: a number is not given twice, so that what was added and
    /// what fell off are two small changes of the snapshot.
    past: BTreeMap<u32, Past>,
    /// When the last set or warm-up was logged by a touch.
    pressed: Option<Moment>,
    /// The last event that a lifter sent.
    touched: Option<Moment>,
    /// Whether the display is kept awake.
    awake: bool,
}

/// What an event did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Step {
    /// What to write into the record, before the screen is shown.
    pub edits: Vec<Edit>,
    /// What the platform is to do.
    pub effects: Vec<Effect>,
    /// Why it did nothing.
    pub refused: Option<Refused>,
}

impl Default for Floor {
    fn default() -> Self {
        Self {
            format: FORMAT.into(),
            state: State::new(),
            past: BTreeMap::new(),
            pressed: None,
            touched: None,
            awake: false,
        }
    }
}

const FORMAT: &str = "plinth.floor/1";

/// A snapshot that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("snapshot of the session: {0}; close the session from the record and begin a new one")]
pub struct SnapshotFault(String);

impl Floor {
    /// Before a session; the day that comes next is chosen, and what the brief says of company stands as an
    /// answer only once it is given.
    pub fn new(house: &House<'_>) -> Self {
        let mut floor = Self::default();
        floor.state.before.day =
            house.next_day.filter(|d| house.programme.is_some_and(|p| *d < p.days.len()));
        floor
    }

    /// Reads a snapshot.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn from_json(text: &str) -> Result<Self, SnapshotFault> {
        let floor = serde_json::from_str(text).map_err(|e| SnapshotFault(e.to_string()))?;
        Self::known(floor)
    }

    fn from_value(value: Value) -> Result<Self, SnapshotFault> {
        let floor = serde_json::from_value(value).map_err(|e| SnapshotFault(e.to_string()))?;
        Self::known(floor)
    }

    fn known(floor: Self) -> Result<Self, SnapshotFault> {
        if floor.format != FORMAT {
            let other: String = floor.format.chars().take(40).collect();
            return Err(SnapshotFault(format!("its format {other:?} is not {FORMAT}")));
        }
        if let Some(number) = floor.state.unsound() {
            return Err(SnapshotFault(format!("{number}: no session has such a number")));
        }
        Ok(floor)
    }

    /// The snapshot as JSON.
    pub fn to_json(&self) -> String {
        // Every part serialises: texts, numbers and maps with text keys.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// Whether a session is open, so that the snapshot must be kept.
    pub fn is_open(&self) -> bool {
        self.state.phase == Phase::Open
    }

    /// The session's entry in the record, once it has begun.
    pub fn session(&self) -> Option<EntryId> {
        self.state.session
    }

    /// Takes in an event. An event that cannot be done changes nothing and says why.
    pub fn dispatch(
        &mut self,
        event: &Event,
        moment: &Moment,
        house: &House<'_>,
        ids: &mut dyn FnMut() -> EntryId,
    ) -> Step {
        let before = self.state.clone();
        let mut effects = Vec::new();
        let did = match self.act(event, moment, house, ids, &mut effects) {
            Ok(did) => did,
            Err(refused) => {
                self.state = before;
                return Step { refused: Some(refused), ..Step::default() };
            }
        };
        if let Some(did) = did {
            self.remember(did, &before);
        }
        if !matches!(event, Event::Open | Event::Tick) {
            self.touched = Some(moment.clone());
        }
        self.alarm(&before, event, moment, &mut effects);
        self.display(event, moment, &mut effects);
        Step { edits: entry::edits(&before, &self.state), effects, refused: None }
    }

    /// The alarm follows the rest.
    fn alarm(&self, before: &State, event: &Event, moment: &Moment, effects: &mut Vec<Effect>) {
        let rest = self.state.resting(moment).filter(|_| self.state.paused.is_none());
        let changed = before.rest != self.state.rest || before.paused != self.state.paused;
        match rest {
            // After a kill or a restart the platform may have lost it, or have it on another clock.
            Some(rest) if changed || matches!(event, Event::Open) => {
                let left = rest.left_ms(moment);
                effects.push(Effect::RaiseAlarm {
                    at_monotonic_ms: moment.monotonic_ms.saturating_add(left.unsigned_abs()),
                    at_wall_ms: moment.wall_ms.saturating_add(left),
                    boot: moment.boot.clone(),
                });
            }
            None if changed && before.resting(moment).is_some() => effects.push(Effect::CancelAlarm),
            _ => {}
        }
    }

    /// The display stays awake while something happens.
    fn display(&mut self, event: &Event, moment: &Moment, effects: &mut Vec<Effect>) {
        let open = self.state.phase == Phase::Open && self.state.paused.is_none();
        let quiet = self.touched.as_ref().map_or(0, |t| moment.since(t) / 1000);
        let on = open && quiet <= i64::from(self.state.longest_rest_s()) + LET_GO_S;
        if on != self.awake || (on && matches!(event, Event::Open)) {
            self.awake = on;
            effects.push(Effect::KeepAwake { on });
        }
    }

    fn act(
        &mut self,
        event: &Event,
        moment: &Moment,
        house: &House<'_>,
        ids: &mut dyn FnMut() -> EntryId,
        effects: &mut Vec<Effect>,
    ) -> Result<Option<Did>, Refused> {
        match (event, self.state.phase) {
            (Event::Open | Event::Tick, _) => return Ok(None),
            (Event::Speak, _) => {
                effects.push(Effect::Speak { what: Spoken::Screen });
                return Ok(None);
            }
            (Event::Dial, _) => {
                effects.push(Effect::OpenDialler);
                return Ok(None);
            }
            (Event::Undo, _) => return self.undo().map(|()| None),
            (Event::Begin, Phase::Before) => {
                begin::begin(&mut self.state, moment, house, ids)?;
                return Ok(Some(Did::Begun));
            }
            (_, Phase::Before) => return begin::answer(&mut self.state, event, house).map(|()| None),
            (_, Phase::Ended) => return Err(Refused::NotNow),
            (_, Phase::Open) => {}
        }
        let state = &mut self.state;
        if state.paused.is_some() && !allowed_in_pause(event) {
            return Err(Refused::NotNow);
        }
        let logs = matches!(
            event,
            Event::Done
                | Event::DoneWith { .. }
                | Event::Amount { .. }
                | Event::WarmUpDone
                | Event::WarmUpSkipped
        );
        if logs
            && let Some(p) = &self.pressed
            && p.boot == moment.boot
            && moment.monotonic_ms >= p.monotonic_ms
            && moment.since(p) < wrong::DOUBLED_MS
        {
            return Err(Refused::Doubled);
        }
        let did = match event {
            Event::WarmUpDone | Event::WarmUpSkipped => {
                let next::Next::WarmUp(k) = state.next(house) else { return Err(Refused::NotNow) };
                let all = matches!(event, Event::WarmUpSkipped);
                for (i, w) in state.warm_up.iter_mut().enumerate() {
                    w.done |= i == k || all;
                }
                state.turned += 1;
                Some(Did::WarmedUp)
            }
            Event::Done | Event::DoneWith { .. } => {
                if state.form.is_some() {
                    return Err(Refused::NotNow);
                }
                let step = state.next(house);
                let mut v = Values::written(state, step).ok_or(Refused::NotNow)?;
                if let Event::DoneWith { reserve, form_changed } = event {
                    (v.reserve, v.form_changed) = (Some(*reserve), *form_changed);
                }
                if let Some(held) = view::held_s(state, moment) {
                    v.amount = held;
                }
                work::log(state, house, moment, ids, v)?;
                last_set(state)
            }
            Event::HoldBegun => {
                let step = state.next(house);
                let hold = step.line().and_then(|k| state.lines.get(k));
                if hold.is_none_or(|l| l.measure != crate::catalogue::Measure::Hold) || state.hold.is_some() {
                    return Err(Refused::NotNow);
                }
                state.hold = Some(moment.clone());
                Some(Did::HoldBegun)
            }
            Event::NotAsWritten | Event::Correct { .. } | Event::Late { .. } => {
                form::open(state, house, event)?;
                None
            }
            Event::SetsDone => open(state, Form::Sets),
            Event::Remove { set } => {
                let s = state.sets.get(*set).ok_or_else(|| field("set"))?;
                let did = Did::Removed { movement: s.movement.clone() };
                work::remove(state, *set)?;
                Some(did)
            }
            Event::Load { .. }
            | Event::Reserve { .. }
            | Event::Missed { .. }
            | Event::EndedAgo { .. }
            | Event::SidesApart { .. }
            | Event::Turn { .. }
            | Event::Amount { .. }
            | Event::AmountThen { .. } => {
                let corrects = matches!(&state.form, Some(Form::Set { set }) if matches!(set.what, state::SetWhat::Correct { .. }));
                let movement = match &state.form {
                    Some(Form::Set { set }) => state.lines.get(set.line).map(|l| l.movement.clone()),
                    _ => None,
                };
                if form::fill(state, house, moment, ids, event)? {
                    self.pressed = Some(moment.clone());
                    if corrects {
                        Some(Did::Corrected { movement: movement.unwrap_or_default() })
                    } else {
                        last_set(state)
                    }
                } else {
                    None
                }
            }
            Event::Back => {
                match &state.form {
                    Some(Form::Set { .. }) => {
                        form::fill(state, house, moment, ids, event)?;
                    }
                    Some(_) => {
                        wrong::step(state, house, moment, ids, event)?;
                    }
                    None => return Err(Refused::NotNow),
                }
                None
            }
            Event::Longer => {
                let seconds = state.resting(moment).map(|r| r.seconds).ok_or(Refused::NotNow)?;
                if seconds + rest::LONGER_S > rest::MOST_S {
                    return Err(Refused::NotNow);
                }
                if let Some(r) = &mut state.rest {
                    r.seconds += rest::LONGER_S;
                }
                Some(Did::Longer)
            }
            Event::Ready => {
                if state.resting(moment).is_none() {
                    return Err(Refused::NotNow);
                }
                if let Some(r) = &mut state.rest {
                    r.ready = Some(moment.clone());
                }
                Some(Did::Ready)
            }
            Event::EndedEarlier => {
                ended_earlier(state, moment)?;
                Some(Did::EndedEarlier)
            }
            Event::StandIns { line } => {
                let offers = change::stand_ins(state, house, *line)?;
                open(state, Form::StandIns { line: *line, offers })
            }
            Event::StandIn { offer } => {
                let Some(Form::StandIns { line, offers }) = state.form.take() else {
                    return Err(Refused::NotNow);
                };
                let offer = offers.into_iter().nth(*offer).ok_or_else(|| field("offer"))?;
                // Asked anew: what is offered may have become unfit while the list was open.
                let may = house.catalogue.movement(&offer.line.movement);
                let around = house.circumstances(state);
                if may.is_none_or(|m| crate::safety::permit(m, &around).is_err()) {
                    return Err(Refused::NotNow);
                }
                let did = Did::StoodIn { movement: offer.line.movement.clone() };
                change::take_stand_in(state, house, line, offer)?;
                lines::recheck(state, house);
                Some(did)
            }
            Event::Kit => open(state, Form::Kit),
            Event::Taken { item, taken } => {
                change::taken(state, house, item, *taken)?;
                state.form = None;
                Some(Did::Taken { item: item.clone(), taken: *taken })
            }
            Event::MinutesLeft => open(state, Form::Minutes { answer: None }),
            Event::Minutes { minutes } => {
                let Some(Form::Minutes { .. }) = &state.form else { return Err(Refused::NotNow) };
                let answer = change::minutes_left(state, house, *minutes)?;
                open(state, Form::Minutes { answer: Some(answer) })
            }
            Event::TakeMinutes { free } => {
                let Some(Form::Minutes { answer: Some(answer) }) = state.form.take() else {
                    return Err(Refused::NotNow);
                };
                change::take_minutes(state, house, &answer, *free);
                Some(Did::Minutes { minutes: answer.minutes })
            }
            Event::Wrong
            | Event::Hurts
            | Event::HurtsWhere { .. }
            | Event::HurtsHow { .. }
            | Event::HurtsMuch { .. }
            | Event::Unwell
            | Event::Flag { .. }
            | Event::FlagWhere { .. }
            | Event::ConfirmFlag { .. } => match wrong::step(state, house, moment, ids, event)? {
                wrong::Outcome::Page => None,
                wrong::Outcome::Sore => Some(Did::Sore),
                wrong::Outcome::Flagged { ends } => {
                    // Nothing before a confirmed flag is taken back: it would take the flag along.
                    self.past.clear();
                    if ends {
                        effects.push(Effect::AskForSync);
                    }
                    None
                }
            },
            Event::Lines => open(state, Form::Lines),
            Event::GoTo { line } => {
                if !state.open_line(*line) {
                    return Err(field("line"));
                }
                state.focus = Some(*line);
                state.form = None;
                Some(Did::WentTo { movement: state.lines[*line].movement.clone() })
            }
            Event::ExtraSet { line } => {
                let movement =
                    state.lines.get(*line).map(|l| l.movement.clone()).ok_or_else(|| field("line"))?;
                change::extra_set(state, house, *line)?;
                state.form = None;
                Some(Did::ExtraSet { movement })
            }
            Event::Movements => open(state, Form::Movements),
            Event::Add { movement } => {
                change::add(state, house, movement)?;
                state.form = None;
                Some(Did::Added { movement: movement.clone() })
            }
            Event::Lighter { way } => {
                change::lighter(state, house, *way)?;
                Some(Did::Lighter)
            }
            Event::Sharing => open(state, Form::Sharing),
            Event::Partner { load } => {
                change::partner(state, house, *load)?;
                state.form = None;
                Some(Did::Partner)
            }
            Event::Company { .. } | Event::Safeties { .. } | Event::Adult { .. } => {
                begin::answer(state, event, house)?;
                state.told.clear();
                lines::recheck(state, house);
                Some(Did::Circumstances)
            }
            Event::Pause => {
                if state.paused.is_some() {
                    return Err(Refused::NotNow);
                }
                state.paused = Some(moment.clone());
                state.form = None;
                None
            }
            Event::Resume => {
                if state.paused.take().is_none() {
                    return Err(Refused::NotNow);
                }
                None
            }
            Event::Close | Event::CloseForgotten => {
                let at = match event {
                    Event::Close => moment.clone(),
                    _ if forgotten(state, moment) => state.last_done().cloned().ok_or(Refused::NotNow)?,
                    _ => return Err(Refused::NotNow),
                };
                let by = if matches!(event, Event::Close) { By::Lifter } else { By::Forgotten };
                state.ended = Some(Ended { at, by });
                state.phase = Phase::Ended;
                state.rest = None;
                state.hold = None;
                state.form = None;
                state.paused = None;
                effects.push(Effect::AskForSync);
                Some(Did::Closed)
            }
            Event::Note { text } => {
                if text.chars().count() > MOST_NOTE {
                    return Err(field("text"));
                }
                state.note = Some(text.clone()).filter(|t| !t.trim().is_empty());
                Some(Did::Noted)
            }
            Event::ChooseDay { .. }
            | Event::Feeling { .. }
            | Event::MinutesAtHand { .. }
            | Event::Place { .. }
            | Event::Begin
            | Event::Open
            | Event::Tick
            | Event::Speak
            | Event::Dial
            | Event::Undo => return Err(Refused::NotNow),
        };
        if logs && did.is_some() {
            self.pressed = Some(moment.clone());
            effects.push(Effect::Vibrate);
        }
        Ok(did)
    }
}

fn open(state: &mut State, form: Form) -> Option<Did> {
    state.form = Some(form);
    None
}

fn allowed_in_pause(event: &Event) -> bool {
    matches!(event, Event::Resume | Event::Close | Event::CloseForgotten | Event::Note { .. })
}

/// Whether nothing has happened for so long that the session counts as forgotten.
fn forgotten(state: &State, moment: &Moment) -> bool {
    state.phase == Phase::Open
        && state.last_done().is_some_and(|last| moment.since(last) > FORGOTTEN_MIN * 60_000)
}

/// What the last set says when it is to be taken back.
fn last_set(state: &State) -> Option<Did> {
    let s = state.standing().last()?;
    Some(Did::Logged {
        movement: s.movement.clone(),
        load: s.load.clone(),
        amount: s.amount,
        measure: s.measure,
    })
}

/// The last set ended a minute before it was logged.
fn ended_earlier(state: &mut State, moment: &Moment) -> Result<(), Refused> {
    if state.resting(moment).is_none() {
        return Err(Refused::NotNow);
    }
    let last = state.standing().last().map(|s| (s.line, s.number, s.purpose)).ok_or(Refused::NotNow)?;
    let of = |s: &state::SetDone| (s.line, s.number, s.purpose) == last;
    let before = state.standing().filter(|s| !of(s)).last().map(|s| s.ended.clone());
    let floor = before.or_else(|| state.began.clone());
    let mut at = None;
    for s in state.sets.iter_mut().filter(|s| !s.deleted && of(s)) {
        // Not before what was done before it.
        let room = floor.as_ref().map_or(60, |f| s.ended.since(f) / 1000).clamp(0, 60) as u32;
        s.ended = work::earlier(&s.ended, room);
        at = Some(s.ended.clone());
    }
    if let (Some(rest), Some(at)) = (&mut state.rest, at) {
        rest.began = at;
    }
    Ok(())
}
