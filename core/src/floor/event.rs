//! What can happen on the floor. Every action of a screen carries the event that it dispatches, so that a shell
//! sends back what it was given.

use super::state::{Company, Feeling, Nature, Page};
use crate::load::Mass;
use crate::plan::brief::Severity;
use serde::{Deserialize, Serialize};

/// An event, in JSON tagged by `event`: `{"event": "done"}`, `{"event": "load", "load": "77.5 kg"}`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "event", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum), uniffi(name = "FloorEvent"))]
pub enum Event {
    /// The shell came up, perhaps after it was killed or the device restarted.
    Open,
    /// Time passed: sent when a rest is over, and at long intervals.
    Tick,

    /// Before: which day of the programme (0-based), or none for a session without one.
    ChooseDay {
        /// The day.
        day: Option<usize>,
    },
    /// Alone or spotted; asked before, and may change in mid-session.
    Company {
        /// Which.
        company: Company,
    },
    /// Safeties on the rack or not; may change in mid-session.
    Safeties {
        /// Whether they are there.
        there: bool,
    },
    /// A minor's adult is present.
    Adult {
        /// Whether.
        present: bool,
    },
    /// How the lifter feels.
    Feeling {
        /// In three plain words.
        feeling: Feeling,
    },
    /// Minutes at hand; `None` as planned.
    MinutesAtHand {
        /// 5 to 240.
        minutes: Option<u32>,
    },
    /// Which place, and so which kit.
    Place {
        /// Position among the places.
        place: usize,
    },
    /// The session begins.
    Begin,

    /// The piece of warm-up on the screen is done.
    WarmUpDone,
    /// The rest of the general warm-up is left out; ramps stay.
    WarmUpSkipped,
    /// The set on the screen was done as written.
    Done,
    /// It was, and this many more good repetitions were left (a search for a first load lives by it).
    DoneWith {
        /// Repetitions left, 0 to 20.
        reserve: u32,
        /// Whether the form changed.
        #[serde(default)]
        form_changed: bool,
    },
    /// A hold begins: the floor counts its seconds.
    HoldBegun,

    /// *Not as written* for the set on the screen.
    NotAsWritten,
    /// The list of the sets done, to correct one.
    SetsDone,
    /// Corrects a set.
    Correct {
        /// Position among the sets done.
        set: usize,
    },
    /// Takes a set off the log.
    Remove {
        /// Position among the sets done.
        set: usize,
    },
    /// Logs a set of a line that was done before and not logged.
    Late {
        /// Position of the line.
        line: usize,
    },
    /// In the open form of a set: its load.
    Load {
        /// A load that the kit makes; nothing for body mass alone.
        load: Option<Mass>,
    },
    /// In the open form: repetitions that were left; `None` not reported.
    Reserve {
        /// 0 to 20.
        reserve: Option<u32>,
    },
    /// In the open form: the last repetition was missed.
    Missed {
        /// Whether.
        missed: bool,
    },
    /// In the open form: the set ended so many minutes ago.
    EndedAgo {
        /// 0 to 30.
        minutes: u32,
    },
    /// In the open form of a one-sided movement: each side by itself.
    SidesApart {
        /// Whether.
        apart: bool,
    },
    /// In the open form: another page of it.
    Turn {
        /// Which.
        page: Page,
    },
    /// In the open form: so many repetitions (seconds, metres); this records the set.
    Amount {
        /// 0 to 1000.
        amount: u32,
    },
    /// In the page of all loads and repetitions: repetitions, with the reserve asked next.
    AmountThen {
        /// 0 to 1000.
        amount: u32,
    },
    /// Leaves the open form, or its page.
    Back,

    /// Half a minute more of rest.
    Longer,
    /// Ready before the rest is over.
    Ready,
    /// The last set ended a minute before it was logged: the rest is counted from there.
    EndedEarlier,

    /// Asks what may stand in for a line.
    StandIns {
        /// Position of the line.
        line: usize,
    },
    /// Takes an offer of the open list.
    StandIn {
        /// Position among the offers.
        offer: usize,
    },
    /// Which kit is taken.
    Kit,
    /// A piece of kit is taken, or free again.
    Taken {
        /// Id of the kit.
        item: String,
        /// Whether.
        taken: bool,
    },
    /// Asks for minutes left.
    MinutesLeft,
    /// So many minutes are left: what then?
    Minutes {
        /// 0 to 240.
        minutes: u32,
    },
    /// Takes the answer.
    TakeMinutes {
        /// The second offer, with other movements.
        #[serde(default)]
        free: bool,
    },

    /// Something is wrong.
    Wrong,
    /// It hurts.
    Hurts,
    /// Where.
    HurtsWhere {
        /// Id of the region.
        region: String,
    },
    /// Usual, new or worse.
    HurtsHow {
        /// Which.
        nature: Nature,
    },
    /// How much; this records it.
    HurtsMuch {
        /// How much.
        severity: Severity,
    },
    /// The lifter feels unwell: the flags.
    Unwell,
    /// A flag is touched once.
    Flag {
        /// Its id.
        flag: String,
    },
    /// Where, for a flag that asks.
    FlagWhere {
        /// Id of the region.
        region: String,
    },
    /// The second touch, which names the flag. It cannot be undone.
    ConfirmFlag {
        /// Its id.
        flag: String,
    },
    /// The emergency number.
    Dial,

    /// The lines of the session, to go to another one.
    Lines,
    /// Goes to a line now.
    GoTo {
        /// Position of the line.
        line: usize,
    },
    /// One set more of a line.
    ExtraSet {
        /// Position of the line.
        line: usize,
    },
    /// The movements that may be added.
    Movements,
    /// Adds a movement that was not planned.
    Add {
        /// Its id.
        movement: String,
    },
    /// Begins lighter than the lightest load of the search.
    Lighter {
        /// Position among the lighter ways.
        way: usize,
    },
    /// Asks for a partner's load.
    Sharing,
    /// A partner shares the bar of the line at hand; `None` no longer.
    Partner {
        /// The partner's load.
        load: Option<Mass>,
    },

    /// Pauses the session.
    Pause,
    /// Goes on.
    Resume,
    /// Closes the session now.
    Close,
    /// Closes a forgotten session at the time of its last set.
    CloseForgotten,
    /// A note on the session.
    Note {
        /// At most 2000 characters.
        text: String,
    },
    /// Takes back the last thing done.
    Undo,
    /// Says what is on the screen.
    Speak,
}

impl Event {
    /// Whether it is wanted so seldom that a small screen may put it behind one touch more. Never what keeps a lifter
    /// from harm or ends the session.
    pub const fn is_seldom(&self) -> bool {
        matches!(
            self,
            Self::EndedEarlier
                | Self::Kit
                | Self::Sharing
                | Self::Lines
                | Self::Movements
                | Self::SetsDone
                | Self::Company { .. }
                | Self::Safeties { .. }
                | Self::WarmUpSkipped
        )
    }
}

/// What only a platform can do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "effect", rename_all = "snake_case", deny_unknown_fields)]
pub enum Effect {
    /// Sounds and vibrates once at an instant, also when the shell was killed. It replaces an earlier one.
    RaiseAlarm {
        /// On the monotonic clock of `boot`.
        at_monotonic_ms: u64,
        /// On the wall clock, for another boot.
        at_wall_ms: i64,
        /// The boot.
        boot: String,
    },
    /// Takes the alarm back.
    CancelAlarm,
    /// Vibrates once, to confirm a touch.
    Vibrate,
    /// Says a line.
    Speak {
        /// Which.
        what: Spoken,
    },
    /// Keeps the display awake, or lets it go.
    KeepAwake {
        /// Whether.
        on: bool,
    },
    /// Opens the dialler with the emergency number of the place.
    OpenDialler,
    /// Asks for a sync when there is a connection.
    AskForSync,
}

/// A line to be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Spoken {
    /// What is on the screen: the set or the rest, and the cue.
    Screen,
}

/// Why an event did nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "refused", rename_all = "snake_case")]
pub enum Refused {
    /// It cannot be done on this screen.
    NotNow,
    /// A second press within a second: the first one counts.
    Doubled,
    /// A number, position or id that is not there.
    Field {
        /// Its name in the event.
        field: String,
    },
    /// No session may begin now.
    Barred {
        /// Safety's reason.
        because: String,
    },
    /// Something must be answered first.
    Unanswered {
        /// Which question.
        question: Question,
    },
    /// A confirmed flag stands and is not taken back.
    FlagStands,
    /// The plan cannot answer.
    Plan {
        /// What it says.
        fault: String,
    },
}

/// A question that must be answered before a session begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Question {
    /// Alone or spotted.
    Company,
    /// Safeties or not, for a lifter alone.
    Safeties,
    /// An adult is present.
    Adult,
}
