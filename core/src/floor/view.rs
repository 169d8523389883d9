//! What a screen is made of: structured, without a sentence. Every action carries the event that it dispatches
//! and, where it records, what it will record.

use super::begin::{day_of, unanswered};
use super::change::{addable, kit_needed};
use super::event::{Event, Question};
use super::form::{AGO_MIN, all_amounts, near_amounts, near_loads, values, written};
use super::house::House;
use super::line::{SessionLine, session_line};
use super::loads::{loads_for, place};
use super::next::{Next, mass_of};
use super::state::{
    ClosedBy, Company, Feeling, Form, Line, LoadBecause, LoadDone, Loading, Nature, Out, Outcome, Page,
    Phase, Purpose, RestFrom, SetForm, SetWhat, State, Told, WarmUpKind,
};
use super::undo::Did;
use super::work::{Values, planned_discs, sides};
use super::{Floor, forgotten};
use crate::catalogue::{LoadKind, Measure};
use crate::load::first::LighterWay;
use crate::load::route::{Move, Plate, Side, change};
use crate::load::{BarLoads, Implement, Mass};
use crate::moment::Moment;
use crate::plan::brief::{Severity, Weekday};
use serde::{Deserialize, Serialize};

/// Where the session stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "stage", rename_all = "snake_case")]
pub enum Stage {
    /// Before it begins.
    Before,
    /// The general warm-up.
    WarmUp,
    /// A set is the lifter's turn.
    Lifting,
    /// A rest runs.
    Resting,
    /// Nothing is left.
    Finished,
    /// Paused.
    Paused,
    /// Closed.
    Ended {
        /// By whom.
        by: ClosedBy,
    },
}

/// What a set would be in the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recorded {
    /// Done or missed.
    pub outcome: Outcome,
    /// Repetitions, seconds or metres; of the weaker side where the sides differ.
    pub amount: u32,
    /// Of the other side, where it differs.
    pub other: Option<u32>,
    /// Which of them.
    pub measure: Measure,
    /// The load.
    pub load: Option<LoadDone>,
    /// Left in reserve; `None` not reported.
    pub reserve: Option<u32>,
    /// Both sides of a one-sided movement are recorded.
    pub both_sides: bool,
    /// Minutes ago.
    pub ago_min: u32,
}

/// Something that can be touched.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Action {
    /// What it dispatches.
    pub event: Event,
    /// It is the value chosen now.
    pub chosen: bool,
    /// Drawn as an outline: it is not the lifter's turn yet, or something must be answered first.
    pub outlined: bool,
    /// What it will record.
    pub records: Option<Recorded>,
    /// The movement that it is about.
    pub movement: Option<String>,
    /// More about it.
    pub about: Option<LineView>,
}

impl Action {
    fn new(event: Event) -> Self {
        Self { event, chosen: false, outlined: false, records: None, movement: None, about: None }
    }

    fn chosen(event: Event, chosen: bool) -> Self {
        Self { chosen, ..Self::new(event) }
    }

    fn of(event: Event, movement: &str) -> Self {
        Self { movement: Some(movement.to_owned()), ..Self::new(event) }
    }
}

/// A line as an offer or an entry of the list of lines.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LineView {
    /// Id of the movement.
    pub movement: String,
    /// Working sets done.
    pub done: i32,
    /// Working sets in all.
    pub sets: i32,
    /// Fewest repetitions, seconds or metres.
    pub low: i32,
    /// Most.
    pub high: i32,
    /// Which of them.
    pub measure: Measure,
    /// To leave in reserve.
    pub reserve: i32,
    /// The load; none while it is searched for or has no number.
    pub load: Option<LoadDone>,
    /// Its first load must be searched for.
    pub search: bool,
    /// Why it is out.
    pub out: Option<Out>,
    /// Why it may stand in: the catalogue's reason.
    pub because: Option<String>,
    /// Of the same pattern or prime mover as what it stands in for.
    pub related: bool,
    /// Cautions, before the load.
    pub cautions: Vec<String>,
    /// Safety asks more in reserve or more repetitions than written.
    pub eased: bool,
}

/// What a row of actions is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum RowKind {
    Days,
    Company,
    Safeties,
    Adult,
    Feeling,
    Minutes,
    Places,
    Loads,
    AllLoads,
    Amounts,
    Reserve,
    Missed,
    Ago,
    Sides,
    Other,
    Sets,
    Remove,
    Offers,
    Kit,
    Wrong,
    Regions,
    Nature,
    Severity,
    Flags,
    Confirm,
    Lines,
    Extra,
    Late,
    Movements,
    Partner,
    Search,
    Lighter,
}

/// A row of actions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Row {
    /// What it is about.
    pub kind: RowKind,
    /// Its actions.
    pub actions: Vec<Action>,
}

/// Which form is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum FormKind {
    NotAsWritten,
    Correct,
    Late,
    OtherSide,
    AllLoads,
    AllAmounts,
    Reserves,
    Sets,
    StandIns,
    Kit,
    Minutes,
    MinutesAnswer,
    Wrong,
    Where,
    How,
    Much,
    Unwell,
    FlagWhere,
    Confirm,
    Lines,
    Movements,
    Sharing,
}

/// The open form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FormView {
    /// Which.
    pub kind: FormKind,
    /// The movement that it is about.
    pub movement: Option<String>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// What it tells before it is taken.
    pub told: Vec<Told>,
    /// Seconds that the answer leaves to do.
    pub seconds: Option<i32>,
    /// The side that is asked about.
    pub side: Option<Side>,
    /// The region or flag that was named.
    pub named: Option<String>,
    /// The region of a flag that asks for one.
    pub region: Option<String>,
}

/// What a set is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SetKind {
    /// It rises to the working load.
    Ramp,
    /// It looks for a first load.
    Search,
    /// It counts.
    Working,
}

/// What goes on a bar.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BarView {
    /// Its name.
    pub bar: String,
    /// Its mass alone.
    pub bar_mass: Mass,
    /// Both collars.
    pub collars: Mass,
    /// On each side, innermost first.
    pub per_side: Vec<Plate>,
    /// The moves from what is on it now, in order.
    pub moves: Vec<Move>,
    /// For a pull from the floor: blocks or pins must raise it.
    pub blocks_needed: bool,
    /// A partner's load, which is on it while the lifter rests.
    pub partner: Option<Mass>,
    /// Discs of the partner on each side.
    pub partner_per_side: Vec<Plate>,
}

/// The set at hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[allow(clippy::struct_excessive_bools)] // independent facts of one set
pub struct SetView {
    /// Position of its line.
    pub line: usize,
    /// Id of the movement.
    pub movement: String,
    /// What it is.
    pub kind: SetKind,
    /// Its number, counted from 1.
    pub number: i32,
    /// Of how many.
    pub of: i32,
    /// The load that is made.
    pub load: Option<LoadDone>,
    /// The load that was wanted, where the kit makes another.
    pub wanted: Option<Mass>,
    /// Where the load comes from.
    pub because: Option<LoadBecause>,
    /// The kit says nothing of its load.
    pub load_open: bool,
    /// Repetitions, seconds or metres of a set done as written.
    pub amount: u32,
    /// Which of them.
    pub measure: Measure,
    /// Fewest of the range.
    pub low: i32,
    /// Most of the range.
    pub high: i32,
    /// To leave in reserve.
    pub reserve: Option<i32>,
    /// The sides in order, for a one-sided movement.
    pub sides: Option<[Side; 2]>,
    /// The movement that it is done in turn with.
    pub in_turn_with: Option<String>,
    /// What goes on the bar.
    pub bar: Option<BarView>,
    /// One technique cue, which turns from set to set.
    pub cue: Option<String>,
    /// The cue is the coach's own.
    pub cue_of_coach: bool,
    /// What safety says beside it for this lifter: shown first.
    pub own_cautions: Vec<String>,
    /// What can hurt: shown before the load.
    pub cautions: Vec<String>,
    /// How to get out, told before the first set.
    pub bail_out: Option<String>,
    /// Its kit is taken, and nothing else is left to go to.
    pub kit_taken: bool,
    /// Safety asks more in reserve or more repetitions than written.
    pub eased: bool,
    /// Ways to begin lighter, where the first load was too much.
    pub lighter_ways: Vec<LighterWay>,
    /// The hold that is being counted began on this clock.
    pub hold: Option<Moment>,
}

/// The rest that runs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RestView {
    /// Milliseconds left now.
    pub left_ms: i64,
    /// Its end on the monotonic clock of `boot`.
    pub ends_monotonic_ms: u64,
    /// Its end on the wall clock, for another boot.
    pub ends_wall_ms: i64,
    /// The boot.
    pub boot: String,
    /// Seconds in all.
    pub seconds: i32,
    /// Where it comes from.
    pub from: RestFrom,
    /// *Ready now* would be under the floor of rest of a heavy compound.
    pub under_floor: bool,
}

/// A piece of the general warm-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct WarmUpView {
    /// What.
    pub kind: WarmUpKind,
    /// Seconds.
    pub seconds: i32,
}

/// What a day of the programme is named by.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Asking {
    /// Position of the day; none for a session without a programme.
    pub day: Option<usize>,
    /// Its weekday.
    pub weekday: Option<Weekday>,
    /// The movements that carry it.
    pub carrying: Vec<String>,
}

/// The most yet of a session; kept for what findings add.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Best {
    /// Working sets done.
    pub sets: i32,
    /// Working sets that were planned and not done.
    pub not_done: i32,
}

/// A confirmed flag.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FlagView {
    /// Its id.
    pub flag: String,
    /// 1 to 3.
    pub tier: u8,
    /// Who is to be asked for help.
    pub care: crate::safety::Care,
    /// The region, for a flag that asks.
    pub region: Option<String>,
}

/// Everything that a screen needs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct View {
    /// Where the session stands.
    pub stage: Stage,
    /// The session line, once begun.
    pub line: Option<SessionLine>,
    /// The days that can be begun, before.
    pub days: Vec<Asking>,
    /// The rows of questions before.
    pub before: Vec<Row>,
    /// The question that must be answered first.
    pub unanswered: Option<Question>,
    /// Why no session may begin.
    pub barred: Option<String>,
    /// The piece of warm-up at hand.
    pub warm_up: Option<WarmUpView>,
    /// The set at hand, or next while a rest runs.
    pub set: Option<SetView>,
    /// The movement after it.
    pub then: Option<String>,
    /// The rest that runs.
    pub rest: Option<RestView>,
    /// The wide action.
    pub wide: Option<Action>,
    /// The other actions.
    pub actions: Vec<Action>,
    /// Rows beside the wide action: the search's reserve, lighter ways in.
    pub rows: Vec<Row>,
    /// The open form.
    pub form: Option<FormView>,
    /// What the lifter is told now.
    pub told: Vec<Told>,
    /// Confirmed flags.
    pub flags: Vec<FlagView>,
    /// What *Undo* would take back.
    pub undo: Option<Did>,
    /// The session counts as forgotten; its last set ended then.
    pub forgotten: Option<Moment>,
    /// What was done, once it is closed or nothing is left.
    pub sum: Option<Best>,
    /// Changes only when something under a reader's focus may change.
    pub stable: String,
}

/// Seconds of the hold that is being counted.
pub(super) fn held_s(state: &State, moment: &Moment) -> Option<u32> {
    state.hold.as_ref().map(|h| (moment.since(h) / 1000).clamp(0, 1000) as u32)
}

impl Floor {
    /// The view at a moment: a function of the snapshot, the moment and the house.
    pub fn view(&self, moment: &Moment, house: &House<'_>) -> View {
        let state = &self.state;
        let step = state.next(house);
        let open = state.phase == Phase::Open;
        let resting = state.resting(moment);
        let stage = match state.phase {
            Phase::Before => Stage::Before,
            Phase::Ended => Stage::Ended { by: state.ended.as_ref().map_or(ClosedBy::Lifter, |e| e.by) },
            Phase::Open if state.paused.is_some() => Stage::Paused,
            Phase::Open => match step {
                Next::WarmUp(_) => Stage::WarmUp,
                Next::Nothing => Stage::Finished,
                _ if resting.is_some() => Stage::Resting,
                _ => Stage::Lifting,
            },
        };
        let at_work = matches!(stage, Stage::Lifting | Stage::Resting);
        let set = at_work.then(|| set_view(state, house, step)).flatten();
        let form = if open { state.form.as_ref().map(|f| form_view(state, house, f)) } else { None };
        let rest = resting.filter(|_| matches!(stage, Stage::Resting)).map(|r| {
            let left = r.left_ms(moment);
            RestView {
                left_ms: left,
                ends_monotonic_ms: moment.monotonic_ms.saturating_add(left.unsigned_abs()),
                ends_wall_ms: moment.wall_ms.saturating_add(left),
                boot: moment.boot.clone(),
                seconds: r.seconds,
                from: r.from,
                under_floor: moment.since(&r.began) < i64::from(r.floor_s) * 1000,
            }
        });
        View {
            line: (state.phase != Phase::Before).then(|| session_line(state, house, moment)),
            days: if state.phase == Phase::Before { days(house) } else { Vec::new() },
            before: if state.phase == Phase::Before { before_rows(state, house) } else { Vec::new() },
            unanswered: (state.phase == Phase::Before).then(|| unanswered(state, house)).flatten(),
            barred: house.barred.clone().filter(|_| state.phase == Phase::Before),
            warm_up: match step {
                Next::WarmUp(k) if open => {
                    state.warm_up.get(k).map(|w| WarmUpView { kind: w.kind, seconds: w.seconds })
                }
                _ => None,
            },
            then: at_work.then(|| then(state, house, step)).flatten(),
            wide: self.wide(state, house, moment, step, &stage),
            actions: actions(state, house, moment, step, &stage),
            rows: if at_work && state.form.is_none() { rows_beside(state, step) } else { Vec::new() },
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
            sum: matches!(stage, Stage::Ended { .. } | Stage::Finished).then(|| sum(state)),
            stable: stable(state, step),
            stage,
            set,
            rest,
            form,
        }
    }

    fn wide(
        &self,
        state: &State,
        house: &House<'_>,
        moment: &Moment,
        step: Next,
        stage: &Stage,
    ) -> Option<Action> {
        let form = state
            .form
            .as_ref()
            .filter(|_| matches!(stage, Stage::Lifting | Stage::Resting | Stage::WarmUp | Stage::Finished));
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
        match stage {
            Stage::Before => {
                let outlined = unanswered(state, house).is_some() || house.barred.is_some();
                Some(Action { outlined, ..Action::new(Event::Begin) })
            }
            Stage::WarmUp => Some(Action::new(Event::WarmUpDone)),
            Stage::Lifting | Stage::Resting => {
                let line = state.lines.get(step.line()?)?;
                let mut v = Values::written(state, step)?;
                if let Some(held) = held_s(state, moment) {
                    v.amount = held;
                }
                let records = Some(recorded(line, v));
                let outlined = matches!(stage, Stage::Resting);
                Some(Action { records, outlined, ..Action::of(Event::Done, &line.movement) })
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

fn movement_of(state: &State, line: usize) -> Option<String> {
    state.lines.get(line).map(|l| l.movement.clone())
}

fn load_done(line: &Line, mass: Option<Mass>) -> Option<LoadDone> {
    let kind = if matches!(line.loading, Loading::BodyMass) { LoadKind::BodyMass } else { line.load_kind };
    let band = match &line.loading {
        Loading::Band { band } => band.as_deref(),
        _ => None,
    };
    LoadDone::of(kind, mass, band)
}

fn recorded(line: &Line, v: Values) -> Recorded {
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
fn preview(state: &State, form: &SetForm, amount: u32) -> Option<Recorded> {
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

fn cautions(house: &House<'_>, movement: &str) -> Vec<String> {
    house.texts.of(movement).map(|t| t.cautions.clone()).unwrap_or_default()
}

fn set_view(state: &State, house: &House<'_>, step: Next) -> Option<SetView> {
    let k = step.line()?;
    let line = state.lines.get(k)?;
    let mass = mass_of(line, step);
    let text = house.texts.of(&line.movement);
    let coach = house.cues.get(&line.movement).map(Vec::as_slice).unwrap_or_default();
    let own = text.map(|t| t.cues.as_slice()).unwrap_or_default();
    let sets_done = state.standing().filter(|s| s.line == k).map(|s| (s.purpose, s.number));
    let mut turned: Vec<_> = sets_done.collect();
    turned.dedup();
    let cues: Vec<(&String, bool)> =
        coach.iter().map(|c| (c, true)).chain(own.iter().map(|c| (c, false))).collect();
    let cue = turned.len().checked_rem(cues.len()).and_then(|i| cues.get(i));
    let (kind, number, of) = match step {
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
    let wanted = match (&line.loading, step) {
        (_, Next::Ramp { .. }) => None,
        (Loading::Weight { wanted, made, .. }, _) if wanted != made => Some(*wanted),
        _ => None,
    };
    let partner_line = match step {
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
        amount: super::next::amount_of(line, step),
        measure: line.measure,
        low: line.low,
        high: line.high,
        reserve: match (kind, &line.loading) {
            (SetKind::Ramp, _) => None,
            (SetKind::Search, Loading::Find { first, .. }) => Some(first.wanted_reserve as i32),
            _ => Some(line.reserve),
        },
        sides: line.each.then(|| sides(house, &line.movement)),
        in_turn_with: partner_line.and_then(|p| movement_of(state, p)),
        bar: mass.and_then(|m| bar_view(state, house, k, line, &m)),
        cue: cue.map(|c| c.0.clone()),
        cue_of_coach: cue.is_some_and(|c| c.1),
        own_cautions: house.cautions.get(&line.movement).cloned().unwrap_or_default(),
        cautions: cautions(house, &line.movement),
        bail_out: text.and_then(|t| t.bail_out.clone()),
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
fn then(state: &State, house: &House<'_>, step: Next) -> Option<String> {
    let line = step.line()?;
    if let Next::Work { pair: Some(p), .. } = step {
        let p = state.pairs.get(p)?;
        return movement_of(state, if p.first == line { p.second } else { p.first });
    }
    let left = state.lines.get(line)?.sets - state.done_of(line);
    if left > 1 || !matches!(step, Next::Work { .. }) {
        return None;
    }
    let free = |k: &usize| *k != line && state.open_line(*k) && !state.kit_taken(house.catalogue, *k);
    state.order.iter().copied().find(free).and_then(|k| movement_of(state, k))
}

fn actions(state: &State, house: &House<'_>, moment: &Moment, step: Next, stage: &Stage) -> Vec<Action> {
    let mut out = Vec::new();
    let mut add = |event| out.push(Action::new(event));
    match stage {
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
    if matches!(stage, Stage::Resting) {
        add(Event::Longer);
        add(Event::Ready);
        add(Event::EndedEarlier);
    }
    if matches!(stage, Stage::WarmUp) {
        add(Event::WarmUpSkipped);
    }
    if let Some(line) = step.line() {
        if Values::written(state, step).is_some() {
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
    if !matches!(stage, Stage::Finished) {
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
    if !matches!(stage, Stage::Finished) {
        add(Event::Close);
    }
    let _ = house;
    out
}

/// Rows beside the wide action.
fn rows_beside(state: &State, step: Next) -> Vec<Row> {
    let Some(line) = step.line().and_then(|k| state.lines.get(k)) else { return Vec::new() };
    match (&line.loading, step) {
        (Loading::Find { .. }, Next::Find { .. }) => {
            let mut actions: Vec<Action> = (0..=5)
                .map(|reserve| {
                    let mut v = Values::written(state, step);
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

fn line_view(state: &State, house: &House<'_>, k: Option<usize>, line: &Line) -> LineView {
    let mass = match &line.loading {
        Loading::Weight { made, .. } => Some(*made),
        _ => None,
    };
    LineView {
        movement: line.movement.clone(),
        done: k.map_or(0, |k| state.done_of(k)),
        sets: line.sets,
        low: line.low,
        high: line.high,
        measure: line.measure,
        reserve: line.reserve,
        load: load_done(line, mass),
        search: matches!(line.loading, Loading::Find { .. }),
        out: line.out.clone(),
        because: None,
        related: true,
        cautions: cautions(house, &line.movement),
        eased: line.eased,
    }
}

fn form_view(state: &State, house: &House<'_>, form: &Form) -> FormView {
    let mut view = FormView {
        kind: FormKind::Wrong,
        movement: None,
        rows: Vec::new(),
        told: Vec::new(),
        seconds: None,
        side: None,
        named: None,
        region: None,
    };
    let row = |kind, actions: Vec<Action>| Row { kind, actions };
    let regions = |event: &dyn Fn(String) -> Event| {
        house.catalogue.regions.iter().map(|r| Action::new(event(r.id.clone()))).collect::<Vec<_>>()
    };
    match form {
        Form::Set { set } => set_form(&mut view, state, house, set),
        Form::Sets => {
            view.kind = FormKind::Sets;
            let of = |event: &dyn Fn(usize) -> Event| -> Vec<Action> {
                let all = state.sets.iter().enumerate().rev().filter(|(_, s)| !s.deleted);
                all.map(|(k, s)| {
                    let records = Recorded {
                        outcome: s.outcome,
                        amount: s.amount,
                        other: None,
                        measure: s.measure,
                        load: s.load.clone(),
                        reserve: s.reserve,
                        both_sides: false,
                        ago_min: 0,
                    };
                    Action { records: Some(records), ..Action::of(event(k), &s.movement) }
                })
                .collect()
            };
            view.rows.push(row(RowKind::Sets, of(&|set| Event::Correct { set })));
            view.rows.push(row(RowKind::Remove, of(&|set| Event::Remove { set })));
        }
        Form::StandIns { line, offers } => {
            view.kind = FormKind::StandIns;
            view.movement = movement_of(state, *line);
            let actions = offers.iter().enumerate().map(|(k, o)| {
                let mut about = line_view(state, house, None, &o.line);
                about.because.clone_from(&o.because);
                about.related = o.related;
                Action { about: Some(about), ..Action::of(Event::StandIn { offer: k }, &o.line.movement) }
            });
            view.rows.push(row(RowKind::Offers, actions.collect()));
        }
        Form::Kit => {
            view.kind = FormKind::Kit;
            let actions = kit_needed(state, house).into_iter().map(|item| {
                let taken = state.taken.contains(&item);
                Action::chosen(Event::Taken { item, taken: !taken }, taken)
            });
            view.rows.push(row(RowKind::Kit, actions.collect()));
        }
        Form::Minutes { answer } => {
            view.kind = if answer.is_some() { FormKind::MinutesAnswer } else { FormKind::Minutes };
            let now = answer.as_ref().map(|a| a.minutes);
            let minutes = [5, 10, 15, 20, 30, 40, 50, 60]
                .map(|m| Action::chosen(Event::Minutes { minutes: m }, now == Some(m)));
            view.rows.push(row(RowKind::Minutes, minutes.to_vec()));
            if let Some(a) = answer {
                view.told.clone_from(&a.cut);
                view.seconds = Some(a.seconds);
                if let Some(free) = &a.free {
                    let new = free.iter().filter(|s| state.lines.iter().all(|l| l.movement != s.movement));
                    view.told
                        .extend(new.map(|s| Told::BroughtIn { movement: s.movement.clone(), sets: s.sets }));
                    view.rows.push(row(RowKind::Other, vec![Action::new(Event::TakeMinutes { free: true })]));
                }
            }
        }
        Form::Wrong => {
            view.rows.push(row(RowKind::Wrong, vec![Action::new(Event::Hurts), Action::new(Event::Unwell)]));
        }
        Form::Where => {
            view.kind = FormKind::Where;
            view.rows.push(row(RowKind::Regions, regions(&|region| Event::HurtsWhere { region })));
        }
        Form::How { region } => {
            view.kind = FormKind::How;
            view.named = Some(region.clone());
            let actions =
                [Nature::Usual, Nature::NewOrWorse].map(|nature| Action::new(Event::HurtsHow { nature }));
            view.rows.push(row(RowKind::Nature, actions.to_vec()));
        }
        Form::Much { region, .. } => {
            view.kind = FormKind::Much;
            view.named = Some(region.clone());
            let actions = [Severity::Mild, Severity::Moderate, Severity::Severe]
                .map(|severity| Action::new(Event::HurtsMuch { severity }));
            view.rows.push(row(RowKind::Severity, actions.to_vec()));
        }
        Form::Unwell => {
            view.kind = FormKind::Unwell;
            let actions = house.flags.iter().map(|f| Action::new(Event::Flag { flag: f.id.clone() }));
            view.rows.push(row(RowKind::Flags, actions.collect()));
        }
        Form::FlagWhere { flag } => {
            view.kind = FormKind::FlagWhere;
            view.named = Some(flag.clone());
            view.rows.push(row(RowKind::Regions, regions(&|region| Event::FlagWhere { region })));
        }
        Form::Confirm { flag, region, .. } => {
            view.kind = FormKind::Confirm;
            view.named = Some(flag.clone());
            view.region.clone_from(region);
        }
        Form::Lines => {
            view.kind = FormKind::Lines;
            let about = |event: Event, k: usize, l: &Line| Action {
                about: Some(line_view(state, house, Some(k), l)),
                ..Action::of(event, &l.movement)
            };
            let lines = || state.order.iter().filter_map(|k| state.lines.get(*k).map(|l| (*k, l)));
            let at = state.next(house).line();
            let go = lines().filter(|(k, _)| state.open_line(*k)).map(|(k, l)| {
                let mut a = about(Event::GoTo { line: k }, k, l);
                a.chosen = at == Some(k);
                a
            });
            view.rows.push(row(RowKind::Lines, go.collect()));
            let more = lines().filter(|(_, l)| matches!(l.out, None | Some(Out::Minutes)) && l.sets < 30);
            view.rows.push(row(
                RowKind::Extra,
                more.map(|(k, l)| about(Event::ExtraSet { line: k }, k, l)).collect(),
            ));
            let out = lines().filter(|(k, l)| {
                matches!(l.out, Some(Out::Safety { .. } | Out::Hurt)) && state.done_of(*k) < l.sets
            });
            view.rows.push(row(
                RowKind::Offers,
                out.map(|(k, l)| about(Event::StandIns { line: k }, k, l)).collect(),
            ));
            let late = lines().filter(|(k, l)| {
                let step = Next::Work { line: *k, pair: None };
                Values::written(state, step).is_some() && !matches!(l.out, Some(Out::StoodIn { .. }))
            });
            view.rows
                .push(row(RowKind::Late, late.map(|(k, l)| about(Event::Late { line: k }, k, l)).collect()));
        }
        Form::Movements => {
            view.kind = FormKind::Movements;
            let all = addable(state, house);
            let actions = all.iter().map(|m| Action::of(Event::Add { movement: m.id.clone() }, &m.id));
            view.rows.push(row(RowKind::Movements, actions.collect()));
        }
        Form::Sharing => {
            view.kind = FormKind::Sharing;
            let line = state.next(house).line().and_then(|k| state.lines.get(k));
            let mut actions = vec![Action::chosen(Event::Partner { load: None }, state.partner.is_none())];
            let loads = line.map(|l| loads_for(&house.kit(state), l)).unwrap_or_default();
            actions.extend(loads.into_iter().map(|m| {
                let chosen = state.partner.as_ref().is_some_and(|p| p.load == m);
                Action::chosen(Event::Partner { load: Some(m) }, chosen)
            }));
            view.rows.push(row(RowKind::Partner, actions));
        }
    }
    view
}

fn set_form(view: &mut FormView, state: &State, house: &House<'_>, set: &SetForm) {
    let line = state.lines.get(set.line);
    let (asked_mass, asked_amount) = written(state, house, set);
    let all = line.map(|l| loads_for(&house.kit(state), l)).unwrap_or_default();
    let row = |kind, actions: Vec<Action>| Row { kind, actions };
    let loads = |of: Vec<Mass>| -> Vec<Action> {
        of.into_iter().map(|m| Action::chosen(Event::Load { load: Some(m) }, set.mass == Some(m))).collect()
    };
    let amounts = |of: Vec<u32>| -> Vec<Action> {
        of.into_iter()
            .map(|amount| Action {
                records: preview(state, set, amount),
                ..Action::chosen(Event::Amount { amount }, amount == set.amount)
            })
            .collect()
    };
    let reserves = || -> Vec<Action> {
        let told =
            (0..=5).map(|r| Action::chosen(Event::Reserve { reserve: Some(r) }, set.reserve == Some(r)));
        told.chain([Action::chosen(Event::Reserve { reserve: None }, set.reserve.is_none())]).collect()
    };
    let missed = |m: bool| vec![Action::chosen(Event::Missed { missed: m }, set.missed)];
    view.movement = movement_of(state, set.line);
    view.kind = match (set.page, set.what) {
        (Page::OtherSide, _) => FormKind::OtherSide,
        (Page::Loads, _) => FormKind::AllLoads,
        (Page::Amounts, _) => FormKind::AllAmounts,
        (Page::Reserves, _) => FormKind::Reserves,
        (Page::Near, SetWhat::Next) => FormKind::NotAsWritten,
        (Page::Near, SetWhat::Correct { .. }) => FormKind::Correct,
        (Page::Near, SetWhat::Late) => FormKind::Late,
    };
    let each = line.is_some_and(|l| l.each) && !matches!(set.what, SetWhat::Correct { .. });
    if each && set.apart {
        let [first, second] = sides(house, line.map_or("", |l| l.movement.as_str()));
        view.side = Some(if set.weaker.is_some() { second } else { first });
    }
    match set.page {
        Page::Near => {
            if !all.is_empty() {
                view.rows.push(row(RowKind::Loads, loads(near_loads(&all, asked_mass))));
            }
            view.rows.push(row(RowKind::Reserve, reserves()));
            view.rows.push(row(RowKind::Missed, missed(!set.missed)));
            let ago =
                AGO_MIN.map(|minutes| Action::chosen(Event::EndedAgo { minutes }, set.ago_min == minutes));
            if !matches!(set.what, SetWhat::Correct { .. }) {
                view.rows.push(row(RowKind::Ago, ago.to_vec()));
            }
            if each {
                let apart = Action::chosen(Event::SidesApart { apart: !set.apart }, set.apart);
                view.rows.push(row(RowKind::Sides, vec![apart]));
            }
            view.rows.push(row(RowKind::Amounts, amounts(near_amounts(state, set, asked_amount))));
            let page = if all.is_empty() { Page::Amounts } else { Page::Loads };
            view.rows.push(row(RowKind::Other, vec![Action::new(Event::Turn { page })]));
        }
        Page::OtherSide => {
            let near = near_amounts(state, set, set.weaker.unwrap_or(asked_amount));
            view.rows.push(row(RowKind::Amounts, amounts(near)));
            let rest: Vec<u32> = all_amounts(state, set);
            view.rows.push(row(RowKind::Other, amounts(rest)));
        }
        Page::Loads => view.rows.push(row(RowKind::AllLoads, loads(all))),
        Page::Amounts => {
            let of = all_amounts(state, set);
            let actions = if set.apart {
                amounts(of)
            } else {
                let then = |amount| Action::chosen(Event::AmountThen { amount }, amount == set.amount);
                of.into_iter().map(then).collect()
            };
            view.rows.push(row(RowKind::Amounts, actions));
        }
        Page::Reserves => {
            let record = |mut a: Action, reserve, missed| {
                let mut with = set.clone();
                (with.reserve, with.missed) = (reserve, missed);
                a.records = preview(state, &with, set.amount);
                a
            };
            let told = reserves().into_iter().map(|a| match a.event {
                Event::Reserve { reserve } => record(a, reserve, set.missed),
                _ => a,
            });
            view.rows.push(row(RowKind::Reserve, told.collect()));
            let miss = Action::new(Event::Missed { missed: true });
            view.rows.push(row(RowKind::Missed, vec![record(miss, set.reserve, true)]));
        }
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

fn stable(state: &State, step: Next) -> String {
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
    let sets =
        state.standing().filter(|s| super::form::is_work(s.purpose) || s.purpose == Purpose::WarmUp).count();
    format!("{phase}/{step:?}/{sets}/{form}")
}
