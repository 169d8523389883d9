//! A set as the findings read it.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize, Serializer};

use crate::load::Mass;

/// Which side of the body worked alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// What the amount of a set counts.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Repetitions.
    #[default]
    Repetitions,
    /// Seconds held.
    Hold,
    /// Metres carried.
    Carry,
}

/// How a set ended.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// As meant.
    #[default]
    Done,
    /// A repetition was tried and not finished: those counted were done, and none was left.
    Missed,
}

/// One set of the record, with what the findings need of it.
///
/// `load` is what was moved: the bar with discs and collars, one dumbbell, each of two, a stack; for a load
/// added to or taken off body mass, the body mass of that day plus or minus it. Body mass alone is the body
/// mass. A band has none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SetDone {
    /// Id of the movement.
    pub movement: String,
    /// The day, where the lifter was.
    #[serde(serialize_with = "as_text")]
    pub day: NaiveDate,
    /// When it ended, in milliseconds since 1970, UTC.
    pub ended: i64,
    /// When it began, if known; milliseconds since 1970, UTC.
    pub started: Option<i64>,
    /// The session, to tell two of one day apart.
    pub session: Option<String>,
    /// What was moved; `None` for a band, or where the body mass of that time is not known.
    pub load: Option<Mass>,
    /// Repetitions, seconds or metres, as `measure` says.
    pub reps: u32,
    /// What `reps` counts.
    pub measure: Measure,
    /// Repetitions left, as the lifter judged; `None` is *not reported*: not nought, and not the target.
    pub reserve: Option<u32>,
    /// The side that worked alone.
    pub side: Option<Side>,
    /// How it ended.
    pub outcome: Outcome,
    /// Whether it was a working set.
    pub working: bool,
    /// The fewest repetitions asked for.
    pub low: Option<u32>,
    /// The most repetitions asked for.
    pub high: Option<u32>,
    /// The reserve asked for.
    pub target_reserve: Option<u32>,
    /// Rest taken before it, in seconds.
    pub rest_s: Option<u32>,
}

/// A day as `2026-05-03`.
pub(super) fn as_text<S: Serializer>(day: &NaiveDate, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(day)
}

/// The most repetitions in reserve that make a set a hard one.
pub const HARD_RESERVE: u32 = 4;
/// A set at or above this share of the estimated maximum, in per mille, is heavy.
pub const HEAVY_PER_MILLE: u32 = 850;
/// A set of so many repetitions or fewer is heavy when little is left.
pub const HEAVY_REPS: u32 = 5;
/// How little that is.
pub const HEAVY_RESERVE: u32 = 2;

impl SetDone {
    /// A working set of repetitions with a load, everything else untold.
    pub fn new(movement: &str, day: NaiveDate, load: Mass, reps: u32, reserve: Option<u32>) -> Self {
        let noon = day.and_hms_opt(12, 0, 0).map_or(0, |t| t.and_utc().timestamp_millis());
        Self {
            movement: movement.to_owned(),
            day,
            ended: noon,
            started: None,
            session: None,
            load: Some(load),
            reps,
            measure: Measure::Repetitions,
            reserve,
            side: None,
            outcome: Outcome::Done,
            working: true,
            low: None,
            high: None,
            target_reserve: None,
            rest_s: None,
        }
    }

    /// Whether it is a hard set: a working set with four or fewer in reserve, a missed one, or one whose
    /// reserve is not reported. A set of nothing is none.
    pub fn is_hard(&self) -> bool {
        self.working && self.reps > 0 && self.left().is_none_or(|left| left <= HARD_RESERVE)
    }

    /// Whether it is heavy: at or above 85 % of the estimated maximum, or five repetitions or fewer with two
    /// or fewer in reserve.
    pub fn is_heavy(&self, maximum: Option<&Mass>) -> bool {
        let near = self.load.zip(maximum.copied()).is_some_and(|(load, maximum)| {
            maximum.per_mille(HEAVY_PER_MILLE).is_ok_and(|mark| !mark.is_zero() && load >= mark)
        });
        let few = self.measure == Measure::Repetitions
            && self.reps <= HEAVY_REPS
            && self.left().is_some_and(|left| left <= HEAVY_RESERVE);
        near || few
    }

    /// Repetitions left: none after a missed one, else what was reported.
    pub fn left(&self) -> Option<u32> {
        if self.outcome == Outcome::Missed { Some(0) } else { self.reserve }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(reps: u32, reserve: Option<u32>) -> SetDone {
        let day = NaiveDate::from_ymd_opt(2026, 5, 3).expect("a date");
        SetDone::new("barbell_back_squat", day, Mass::grams(100_000), reps, reserve)
    }

    #[test]
    fn hard_sets_are_those_of_the_design() {
        assert!(set(8, Some(4)).is_hard());
        assert!(!set(8, Some(5)).is_hard());
        assert!(set(8, None).is_hard(), "not reported counts");
        assert!(!SetDone { working: false, ..set(8, Some(1)) }.is_hard());
        assert!(SetDone { outcome: Outcome::Missed, ..set(8, Some(6)) }.is_hard(), "a miss leaves none");
    }

    #[test]
    fn heavy_sets_are_those_of_the_design() {
        let maximum = Mass::grams(117_640);
        assert!(set(8, Some(6)).is_heavy(Some(&maximum)), "100 is 85 % of 117.64, rounded down");
        assert!(!set(8, Some(0)).is_heavy(Some(&Mass::grams(118_000))));
        assert!(set(5, Some(2)).is_heavy(None));
        assert!(!set(5, None).is_heavy(None), "not reported is not nought");
        assert!(!set(6, Some(2)).is_heavy(None));
    }
}
