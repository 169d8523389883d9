//! The snapshot: everything that a session is, so that a killed process reopens at the very screen.

use crate::catalogue::{LoadKind, Measure};
use crate::load::first::{FirstLoads, LighterWay, Tried};
use crate::load::route::{Plate, Side};
use crate::load::{Implement, Mass};
use crate::moment::Moment;
use crate::plan::brief::Severity;
use crate::plan::programme::Tempo;
use crate::record::EntryId;
pub use crate::record::{ClosedBy, Feeling, Nature, Outcome, Purpose};
use crate::safety::Care;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

macro_rules! word {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($(#[$vdoc])* $variant),+ }
    };
}

word! {
    /// Whether someone can help at the bar.
    #[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
    Company {
        /// Nobody can.
        Alone,
        /// A spotter.
        Spotted,
    }
}
word! {
    /// A page of the form of a set.
    #[cfg_attr(feature = "foreign", derive(uniffi::Enum), uniffi(name = "FormPage"))]
    Page {
        /// Repetitions near those written, and the loads beside the one written.
        Near,
        /// Every load that the kit makes.
        Loads,
        /// Every number of repetitions.
        Amounts,
        /// What was left.
        Reserves,
        /// The other side of a one-sided set.
        OtherSide,
    }
}
word! {
    /// What a piece of the warm-up is.
    WarmUpKind {
        /// Easy general movement.
        General,
        /// Ankle mobility.
        AnkleMobility,
    }
}

/// As the plan's briefs have it.
pub(super) fn nature_of(nature: Nature) -> crate::plan::brief::Nature {
    match nature {
        Nature::Usual => crate::plan::brief::Nature::Usual,
        Nature::NewOrWorse => crate::plan::brief::Nature::NewOrWorse,
    }
}

/// What is answered before a session begins; company and safeties may change in mid-session.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(super) struct Before {
    pub(super) day: Option<usize>,
    pub(super) company: Option<Company>,
    pub(super) safeties: Option<bool>,
    pub(super) adult: bool,
    pub(super) feeling: Option<Feeling>,
    pub(super) minutes: Option<u32>,
    pub(super) place: usize,
}

/// A piece of the warm-up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct WarmUp {
    pub(super) kind: WarmUpKind,
    pub(super) seconds: i32,
    pub(super) done: bool,
}

/// What a load is of, and how much: the form that the record keeps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "of", rename_all = "snake_case")]
pub enum LoadDone {
    /// A bar with discs and collars.
    Bar {
        /// In all.
        mass: Mass,
    },
    /// One dumbbell or kettlebell.
    Dumbbell {
        /// Its mass.
        mass: Mass,
    },
    /// Two dumbbells.
    Pair {
        /// The mass of each.
        mass: Mass,
    },
    /// A stack.
    Stack {
        /// The setting.
        mass: Mass,
    },
    /// Discs on a machine.
    Sled {
        /// In all.
        mass: Mass,
    },
    /// Body mass and more.
    Added {
        /// How much more.
        mass: Mass,
    },
    /// Body mass less help.
    Assisted {
        /// How much less.
        mass: Mass,
    },
    /// Body mass alone.
    BodyMass,
    /// A band.
    Band {
        /// Which, where it is named.
        band: String,
    },
}

impl LoadDone {
    /// The load of a movement of this kind.
    pub(super) fn of(kind: LoadKind, mass: Option<Mass>, band: Option<&str>) -> Option<Self> {
        Some(match (kind, mass) {
            (LoadKind::Bar, Some(mass)) => Self::Bar { mass },
            (LoadKind::Dumbbell, Some(mass)) => Self::Dumbbell { mass },
            (LoadKind::DumbbellPair, Some(mass)) => Self::Pair { mass },
            (LoadKind::Stack, Some(mass)) => Self::Stack { mass },
            (LoadKind::Sled, Some(mass)) => Self::Sled { mass },
            (LoadKind::Added, Some(mass)) if !mass.is_zero() => Self::Added { mass },
            (LoadKind::Added | LoadKind::BodyMass, _) => Self::BodyMass,
            (LoadKind::Band, _) => Self::Band { band: band.unwrap_or_default().to_owned() },
            (_, None) => return None,
        })
    }

    /// Its mass, where it has one.
    pub fn mass(&self) -> Option<Mass> {
        match self {
            Self::Bar { mass }
            | Self::Dumbbell { mass }
            | Self::Pair { mass }
            | Self::Stack { mass }
            | Self::Sled { mass }
            | Self::Added { mass }
            | Self::Assisted { mass } => Some(*mass),
            Self::BodyMass | Self::Band { .. } => None,
        }
    }
}

/// How the load of a line is found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub(super) enum Loading {
    /// A load to work with.
    Weight { wanted: Mass, made: Mass, because: LoadBecause },
    /// A bounded search for a first load.
    Find { first: FirstLoads, tried: Vec<Tried> },
    /// Even the first load was too much: a lighter way in must be chosen.
    TooHeavy { ways: Vec<LighterWay> },
    /// Body mass alone.
    BodyMass,
    /// A band.
    Band { band: Option<String> },
    /// The kit says nothing of it; the lifter loads as they see fit.
    Unknown { because: String },
}

/// Where a load comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum LoadBecause {
    /// Proposed from what was done before.
    Proposed {
        /// Why.
        why: String,
    },
    /// From a recent best.
    FromBest,
    /// Found by the search of this session.
    Found,
    /// As the lifter loaded it in this session.
    AsDone,
    /// Made lighter because something asks for more in reserve.
    Eased,
}

/// One ramp set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct RampNow {
    pub(super) load: Mass,
    pub(super) wanted: Mass,
    pub(super) reps: u32,
    /// Discs on each side, innermost first, as the route through the session has them.
    pub(super) per_side: Vec<Plate>,
}

/// Why a line is out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum Out {
    /// Another movement stands in.
    StoodIn {
        /// Position of its line.
        line: usize,
    },
    /// Safety takes it out.
    Safety {
        /// The reason, as safety names it.
        reason: String,
        /// The region, where it is one.
        region: Option<String>,
    },
    /// No minutes are left for it.
    Minutes,
    /// It hurt in the search for a first load.
    Hurt,
}

/// Where a rest comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RestFrom {
    /// The lifter's own setting.
    Own,
    /// Learned from the lifter's log.
    Learned,
    /// The programme.
    Programme,
    /// Published guidance.
    Guidance,
    /// The floor of rest, which stands above what would be shorter.
    Floor,
    /// Between ramp sets.
    Ramp,
    /// Changing places in a pair.
    InTurn,
    /// The search for a first load.
    Search,
}

/// A line of the session.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[allow(clippy::struct_excessive_bools)] // independent facts of one line
pub(super) struct Line {
    pub(super) movement: String,
    /// It is in the programme's day.
    pub(super) planned: bool,
    pub(super) stands_in_for: Option<String>,
    /// Working sets in all, those done among them.
    pub(super) sets: i32,
    /// As the programme has them.
    pub(super) planned_sets: i32,
    pub(super) low: i32,
    pub(super) high: i32,
    pub(super) reserve: i32,
    /// Lowest, highest and reserve as they were asked for, before safety eased them.
    pub(super) asked: (i32, i32, i32),
    /// Repetitions, seconds or metres of a set done as written.
    pub(super) amount: u32,
    pub(super) measure: Measure,
    pub(super) load_kind: LoadKind,
    /// One side after the other.
    pub(super) each: bool,
    /// A heavy compound.
    pub(super) heavy: bool,
    pub(super) rest_s: i32,
    pub(super) rest_from: RestFrom,
    /// How fast a repetition is done, where the coach says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) tempo: Option<Tempo>,
    /// Seconds of work in one set.
    pub(super) work_s: i32,
    pub(super) set_up_s: i32,
    pub(super) implement: Option<Implement>,
    pub(super) loading: Loading,
    /// Discs on each side at the working load, innermost first, as the route has them.
    pub(super) per_side: Vec<Plate>,
    pub(super) ramp_sets: u32,
    pub(super) ramp: Vec<RampNow>,
    pub(super) ramp_done: usize,
    pub(super) out: Option<Out>,
    /// Safety asks more in reserve or more repetitions than were written.
    pub(super) eased: bool,
}

/// Two lines done in turn.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Pair {
    pub(super) first: usize,
    pub(super) second: usize,
    pub(super) sets: i32,
}

/// A set that was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct SetDone {
    pub(super) id: EntryId,
    pub(super) movement: String,
    pub(super) line: usize,
    pub(super) number: u32,
    pub(super) purpose: Purpose,
    pub(super) outcome: Outcome,
    pub(super) side: Option<Side>,
    pub(super) load: Option<LoadDone>,
    pub(super) amount: u32,
    pub(super) measure: Measure,
    pub(super) reserve: Option<u32>,
    pub(super) low: i32,
    pub(super) high: i32,
    pub(super) target_reserve: i32,
    pub(super) asked_load: Option<LoadDone>,
    pub(super) started: Option<Moment>,
    pub(super) ended: Moment,
    pub(super) rest_s: Option<i64>,
    pub(super) as_written: bool,
    pub(super) planned: bool,
    /// Position of the pair in which it was done.
    pub(super) pair: Option<usize>,
    pub(super) deleted: bool,
}

/// A rest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Rest {
    /// When the set before it ended.
    pub(super) began: Moment,
    pub(super) seconds: i32,
    pub(super) from: RestFrom,
    /// The floor under it, where a heavy compound was done.
    pub(super) floor_s: i32,
    /// *Ready now* was touched at this moment.
    pub(super) ready: Option<Moment>,
}

/// A discomfort told in this session.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct SoreNow {
    pub(super) id: EntryId,
    pub(super) region: String,
    pub(super) severity: Severity,
    pub(super) nature: Nature,
    pub(super) since: Moment,
}

/// A confirmed flag.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct FlagNow {
    pub(super) id: EntryId,
    pub(super) flag: String,
    pub(super) tier: u8,
    pub(super) care: Care,
    pub(super) region: Option<String>,
    pub(super) raised: Moment,
    pub(super) confirmed: Moment,
}

/// The end of a session.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Ended {
    pub(super) at: Moment,
    pub(super) by: ClosedBy,
}

/// A partner on the same bar.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Partner {
    pub(super) bar: String,
    pub(super) load: Mass,
}

/// A movement that may stand in, with what it would be done with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct OfferNow {
    pub(super) line: Line,
    pub(super) because: Option<String>,
    /// Of the same pattern, base group or prime mover.
    pub(super) related: bool,
}

/// Sets of a line after the minutes left are shared out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct ShareNow {
    pub(super) movement: String,
    pub(super) sets: i32,
}

/// The answer to minutes left, waiting to be taken.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct MinutesNow {
    pub(super) minutes: u32,
    pub(super) shares: Vec<ShareNow>,
    pub(super) cut: Vec<Told>,
    pub(super) seconds: i32,
    pub(super) free: Option<Vec<ShareNow>>,
}

/// Something that the lifter is told.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "told", rename_all = "snake_case")]
pub enum Told {
    /// Sets were taken off for want of minutes.
    Cut {
        /// Id of the movement.
        movement: String,
        /// Sets before.
        from: i32,
        /// Sets now; 0 leaves it out.
        to: i32,
    },
    /// Safety takes a movement out.
    Out {
        /// Id of the movement.
        movement: String,
        /// The reason, as safety names it.
        reason: String,
        /// The region, where it is one.
        region: Option<String>,
    },
    /// Safety asks that it be done lighter.
    Eased {
        /// Id of the movement.
        movement: String,
    },
    /// A movement was brought in.
    BroughtIn {
        /// Id of the movement.
        movement: String,
        /// Its sets.
        sets: i32,
    },
    /// What this is made of changed and was taken as it is now.
    LoadKept {
        /// Id of the movement.
        movement: String,
        /// The load that the sets that follow are done with.
        load: Mass,
    },
    /// The search found a load.
    Found {
        /// Id of the movement.
        movement: String,
        /// The load to work with.
        load: Mass,
    },
    /// Even the first load was too much.
    TooHeavy {
        /// Id of the movement.
        movement: String,
    },
}

/// The form of a set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct SetForm {
    pub(super) what: SetWhat,
    pub(super) line: usize,
    pub(super) page: Page,
    pub(super) mass: Option<Mass>,
    pub(super) amount: u32,
    pub(super) reserve: Option<u32>,
    pub(super) missed: bool,
    pub(super) ago_min: u32,
    pub(super) apart: bool,
    /// The weaker side's repetitions, once told.
    pub(super) weaker: Option<u32>,
}

/// Which set a form is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "of", rename_all = "snake_case")]
pub(super) enum SetWhat {
    /// The set on the screen.
    Next,
    /// A set that was logged.
    Correct { set: usize },
    /// A set that was not logged when it was done.
    Late,
}

/// The form that is open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "form", rename_all = "snake_case")]
pub(super) enum Form {
    Set { set: SetForm },
    Sets,
    StandIns { line: usize, offers: Vec<OfferNow> },
    Kit,
    Minutes { answer: Option<MinutesNow> },
    Wrong,
    Where,
    How { region: String },
    Much { region: String, nature: Nature },
    Unwell,
    FlagWhere { flag: String },
    Confirm { flag: String, region: Option<String>, raised: Moment },
    Lines,
    Movements,
    Sharing,
}

/// Where a session stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Phase {
    Before,
    Open,
    Ended,
}

/// The snapshot without what undo keeps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct State {
    pub(super) phase: Phase,
    pub(super) before: Before,
    /// An adult had to be present.
    pub(super) adult_asked: bool,
    pub(super) session: Option<EntryId>,
    pub(super) programme: Option<EntryId>,
    pub(super) kit: Option<EntryId>,
    pub(super) week: usize,
    /// Ids of the movements that carry the day.
    pub(super) carrying: Vec<String>,
    /// Their names, as the record keeps them.
    pub(super) title: String,
    pub(super) note: Option<String>,
    pub(super) began: Option<Moment>,
    pub(super) ended: Option<Ended>,
    pub(super) warm_up: Vec<WarmUp>,
    pub(super) lines: Vec<Line>,
    pub(super) order: Vec<usize>,
    pub(super) pairs: Vec<Pair>,
    pub(super) sets: Vec<SetDone>,
    pub(super) sore: Vec<SoreNow>,
    pub(super) flags: Vec<FlagNow>,
    /// What is on each bar, each side, innermost first.
    pub(super) on_bar: BTreeMap<String, Vec<Plate>>,
    pub(super) partner: Option<Partner>,
    pub(super) rest: Option<Rest>,
    pub(super) hold: Option<Moment>,
    pub(super) focus: Option<usize>,
    pub(super) form: Option<Form>,
    pub(super) paused: Option<Moment>,
    pub(super) taken: Vec<String>,
    pub(super) told: Vec<Told>,
    /// Sets and warm-up pieces done so far: turns the cues.
    pub(super) turned: u32,
}

impl State {
    pub(super) fn new() -> Self {
        Self {
            phase: Phase::Before,
            before: Before::default(),
            adult_asked: false,
            session: None,
            programme: None,
            kit: None,
            week: 0,
            carrying: Vec::new(),
            title: String::new(),
            note: None,
            began: None,
            ended: None,
            warm_up: Vec::new(),
            lines: Vec::new(),
            order: Vec::new(),
            pairs: Vec::new(),
            sets: Vec::new(),
            sore: Vec::new(),
            flags: Vec::new(),
            on_bar: BTreeMap::new(),
            partner: None,
            rest: None,
            hold: None,
            focus: None,
            form: None,
            paused: None,
            taken: Vec::new(),
            told: Vec::new(),
            turned: 0,
        }
    }

    /// Whether nobody can help; so until it is answered.
    pub(super) fn alone(&self) -> bool {
        self.before.company != Some(Company::Spotted)
    }

    /// The sets that stand.
    pub(super) fn standing(&self) -> impl Iterator<Item = &SetDone> {
        self.sets.iter().filter(|s| !s.deleted)
    }

    /// Working sets done of a line: both sides of a one-sided set are one.
    pub(super) fn done_of(&self, line: usize) -> i32 {
        let mut numbers: Vec<u32> = self
            .standing()
            .filter(|s| s.line == line && s.purpose == Purpose::Working)
            .map(|s| s.number)
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        numbers.len() as i32
    }

    /// The number of the next set of a line and purpose: one more than the greatest.
    pub(super) fn next_number(&self, line: usize, purpose: Purpose) -> u32 {
        let of = self.sets.iter().filter(|s| s.line == line && s.purpose == purpose && !s.deleted);
        of.map(|s| s.number).max().unwrap_or(0) + 1
    }

    /// The last instant at which something was done.
    pub(super) fn last_done(&self) -> Option<&Moment> {
        self.standing().map(|s| &s.ended).last().or(self.began.as_ref())
    }
}
