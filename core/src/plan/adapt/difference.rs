//! What was changed, and why: data, from which `words` makes sentences.

use crate::plan::brief::Weekday;
use crate::plan::model::Limit;
use crate::plan::prescription::Prescription;
use crate::plan::programme::Programme;
use crate::safety::Refusal;
use serde::Serialize;

/// An adapted programme and all that was changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Adapted {
    /// The programme as this lifter does it, with the published title and versions.
    pub programme: Programme,
    /// For each of its days the published day (0-based) that it comes from.
    pub from_days: Vec<usize>,
    /// Every change, in the order of the published programme. Applied to it they give the adapted lines.
    pub differences: Vec<Difference>,
    /// How much was changed, by [`Level`], most important first.
    pub change: [i32; LEVELS],
    /// No adaptation changes less: the search was complete. `false` only when its budget ran out.
    pub least: bool,
}

/// Levels of change: less of the first is worth any amount of the second.
pub const LEVELS: usize = 7;

/// What each number of [`Adapted::change`] counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Level {
    /// Lines marked *keep* whose movement is not there any more.
    KeepLost,
    /// Lines whose movement is not there any more: replaced or left out.
    Lost,
    /// Lines left out.
    LeftOut,
    /// Weight of the lost lines: 2 for what carries the programme, 1 for another compound.
    CompoundLost,
    /// Distance of the stand-ins ([`Nearness`]).
    Distance,
    /// Sets taken off.
    Sets,
    /// Sets taken off compounds: single-joint work gives way first.
    CompoundSets,
}

/// How near a stand-in is, nearest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Nearness {
    /// The catalogue names it for just this occasion, and it is of the same pattern.
    NamedForThis,
    /// The catalogue names it, and it is of the same pattern.
    Named,
    /// Of the same pattern.
    SamePattern,
    /// The catalogue names it, of another pattern: only for a line marked *keep*.
    NamedElsewhere,
    /// Of the same base group: only for a line marked *keep*.
    SameGroup,
}

/// One difference between the published and the adapted programme.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// Published day, 0-based.
    pub day: usize,
    /// Published line of that day, 0-based; `None` for what concerns the day.
    pub line: Option<usize>,
    /// What was changed.
    #[serde(flatten)]
    pub change: Change,
    /// Why.
    pub reason: Reason,
}

/// A change.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "change", rename_all = "snake_case")]
pub enum Change {
    /// The day is not trained.
    DayLeftOut,
    /// The day is trained on another weekday.
    Weekday {
        /// As published.
        from: Weekday,
        /// As adapted.
        to: Weekday,
    },
    /// A line of a day that is left out is done on another published day.
    Folded {
        /// Id of the movement as published.
        movement: String,
        /// The published day, 0-based, that takes it.
        into: usize,
    },
    /// A line is left out.
    LeftOut {
        /// Id of the movement.
        movement: String,
        /// It was marked *keep*.
        keep: bool,
    },
    /// Another movement stands in.
    Replaced {
        /// Id of the published movement.
        from: String,
        /// Id of the stand-in.
        to: String,
        /// How near it is.
        nearness: Nearness,
        /// It was marked *keep*.
        keep: bool,
        /// The catalogue's reason for the stand-in, where it names it.
        because: Option<String>,
    },
    /// Fewer working sets.
    Sets {
        /// As published.
        from: i32,
        /// As adapted.
        to: i32,
    },
    /// Repetitions, reserve or rest.
    Prescribed {
        /// As published.
        from: Prescription,
        /// As adapted.
        to: Prescription,
    },
    /// More ramp sets.
    Ramp {
        /// As published.
        from: i32,
        /// As adapted.
        to: i32,
    },
    /// Nothing: the lifter forbids the movement, but it is marked *keep*.
    KeptThoughForbidden {
        /// Id of the movement.
        movement: String,
    },
}

/// Why something was changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "reason", rename_all = "snake_case")]
pub enum Reason {
    /// Safety, which stands above every mark.
    Safety {
        /// Which rule.
        refusal: Refusal,
    },
    /// Safety asks for more repetitions, more in reserve or a longer rest.
    Eased,
    /// Kit is missing.
    Kit {
        /// Ids of the missing kit.
        missing: Vec<String>,
    },
    /// The lifter forbids it.
    Forbidden,
    /// Its technique comes later.
    Skill,
    /// It would not fit the lifter's minutes.
    Minutes {
        /// Minutes at hand.
        minutes: i32,
    },
    /// It would break another limit of the lifter's session.
    Limit {
        /// The limit.
        limit: Limit,
    },
    /// It would come more often in the week than it is done.
    TooOften {
        /// Most sessions a week.
        most: i32,
    },
    /// The lifter trains on fewer days than the programme has.
    FewerDays {
        /// The programme's days.
        published: i32,
        /// The lifter's.
        days: i32,
    },
    /// The day has this movement already.
    AlreadyThere,
    /// The lifter's weekdays.
    Weekdays,
    /// The catalogue at hand does not know the movement.
    Unknown,
    /// It is the stand-in's own.
    StandIn,
    /// It is marked *keep*: only safety may change it.
    MarkedKeep,
}
