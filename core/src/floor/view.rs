//! What a screen is made of: structured, without a sentence. Every action carries the event that it dispatches
//! and, where it records, what it will record.

mod forms;
mod make;

pub(super) use make::held_s;

use super::event::{Event, Question};
use super::line::SessionLine;
use super::state::{ClosedBy, LoadBecause, LoadDone, Out, Outcome, RestFrom, Told, WarmUpKind};
use super::undo::Did;
use crate::catalogue::Measure;
use crate::load::Mass;
use crate::load::first::LighterWay;
use crate::load::route::{Move, Plate, Side};
use crate::moment::Moment;
use crate::plan::brief::Weekday;
use crate::plan::programme::Tempo;
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
    pub(super) fn new(event: Event) -> Self {
        Self { event, chosen: false, outlined: false, records: None, movement: None, about: None }
    }

    pub(super) fn chosen(event: Event, chosen: bool) -> Self {
        Self { chosen, ..Self::new(event) }
    }

    pub(super) fn of(event: Event, movement: &str) -> Self {
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
    /// How fast a repetition is done, where the coach says so.
    pub tempo: Option<Tempo>,
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
    /// The floor of rest after the last set, seconds.
    pub floor_s: i32,
    /// *Ready now* would be under the floor of rest.
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
