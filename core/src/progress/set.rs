//! A set as the findings read it.

use chrono::NaiveDate;
use serde::{Serialize, Serializer};
use thiserror::Error;

use super::body::Series;
use crate::load::Mass;
use crate::record::{Entry, FieldFault, LoadDone, Purpose, Quantity, ReserveDone, SetFields, View};

pub use crate::record::{Measure, Outcome, Side};

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

/// Why an entry is not a set that the findings can read. Such entries stay in the record; they are left out here.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Unread {
    /// It is not a set, or a field of it has another form.
    #[error("{0}")]
    Field(#[from] FieldFault),
    /// It was deleted.
    #[error("set: it was deleted; write a newer edit to bring it back")]
    Deleted,
    /// A field that every finding needs is missing.
    #[error("set: `{0}` is missing; correct the set in the log")]
    Missing(&'static str),
}

/// Reads a set of the record. `body_mass` gives the lifter's body mass for loads that hang on it.
///
/// # Errors
/// [`Unread`] says why it is left out.
pub fn read(entry: &Entry, body_mass: &Series) -> Result<SetDone, Unread> {
    let set = SetFields::of(entry)?;
    if set.deleted == Some(true) {
        return Err(Unread::Deleted);
    }
    let ended = set.ended_at.as_ref().ok_or(Unread::Missing("ended_at"))?;
    let day = ended.date();
    let load = set.load.as_ref().ok_or(Unread::Missing("load"))?;
    Ok(SetDone {
        movement: set.movement.ok_or(Unread::Missing("movement"))?,
        day,
        ended: ended.millis(),
        started: set.started_at.as_ref().map(crate::record::Time::millis),
        session: set.session.map(|id| id.to_string()),
        load: moved(load, body_mass.at(day)),
        reps: set.amount.ok_or(Unread::Missing("amount"))?,
        measure: set.measure.unwrap_or(Measure::Repetitions),
        reserve: match set.reserve {
            Some(ReserveDone::Reps(left)) => Some(left),
            Some(ReserveDone::NotReported) | None => None,
        },
        side: set.side,
        outcome: set.outcome.unwrap_or(Outcome::Done),
        working: set.purpose.unwrap_or(Purpose::Working) == Purpose::Working,
        low: set.low,
        high: set.high,
        target_reserve: set.target_reserve,
        rest_s: set.rest_s,
    })
}

/// What was moved; `None` for a band, for body mass that is not known, or for a mass out of bounds.
pub fn moved(load: &LoadDone, body_mass: Option<Mass>) -> Option<Mass> {
    let of = |mass: &Quantity| mass.to_string().parse::<Mass>().ok();
    match load {
        LoadDone::Bar { mass }
        | LoadDone::Dumbbell { mass }
        | LoadDone::Pair { mass }
        | LoadDone::Stack { mass }
        | LoadDone::Sled { mass } => of(mass),
        LoadDone::Added { mass } => body_mass?.plus(&of(mass)?).ok(),
        LoadDone::Assisted { mass } => body_mass?.minus(&of(mass)?),
        LoadDone::BodyMass => body_mass,
        LoadDone::Band { .. } => None,
    }
}

/// A day as `2026-05-03`.
#[allow(clippy::trivially_copy_pass_by_ref)] // the form that serde calls
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

    #[test]
    fn an_entry_becomes_a_set_and_says_what_it_lacks() {
        use crate::record::{DeviceId, EntryId, Stamp};
        let id = EntryId::new(1, [7; 10]);
        let mut entry = Entry::new(id, crate::record::Kind::Set);
        let mut write = |millis, fields: SetFields| {
            let stamp = Stamp { millis, counter: 0, device: DeviceId::new(1) };
            entry.write(&fields.edit(id), stamp).expect("written");
            read(&entry, &Series::default())
        };
        let bare = SetFields { movement: Some("row".into()), amount: Some(8), ..SetFields::default() };
        assert_eq!(write(1, bare), Err(Unread::Missing("ended_at")));
        let whole = SetFields {
            load: Some(LoadDone::Bar { mass: "60 kg".parse().expect("a quantity") }),
            reserve: Some(ReserveDone::NotReported),
            started_at: "2026-05-03T23:50:00+02:00".parse().ok(),
            ended_at: "2026-05-03T23:50:30+02:00".parse().ok(),
            ..SetFields::default()
        };
        let set = write(2, whole).expect("read");
        assert_eq!((set.load, set.reps, set.reserve), ("60 kg".parse().ok(), 8, None));
        assert_eq!(set.day, NaiveDate::from_ymd_opt(2026, 5, 3).unwrap(), "the day where the lifter was");
        assert_eq!((set.ended - set.started.unwrap(), set.working), (30_000, true));
        let deleted = SetFields { deleted: Some(true), ..SetFields::default() };
        assert_eq!(write(3, deleted), Err(Unread::Deleted));
    }

    #[test]
    fn a_load_means_what_its_kind_says() {
        let q = |text: &str| text.parse::<Quantity>().expect("a quantity");
        let body: Option<Mass> = "80 kg".parse().ok();
        let kg = |text: &str| text.parse::<Mass>().ok();
        assert_eq!(moved(&LoadDone::Pair { mass: q("20 kg") }, None), kg("20 kg"), "each of the two");
        assert_eq!(moved(&LoadDone::Added { mass: q("12.5 kg") }, body), kg("92.5 kg"));
        assert_eq!(moved(&LoadDone::Assisted { mass: q("30 kg") }, body), kg("50 kg"));
        assert_eq!(moved(&LoadDone::Assisted { mass: q("90 kg") }, body), None);
        assert_eq!(moved(&LoadDone::Added { mass: q("12.5 kg") }, None), None, "no body mass known");
        assert_eq!(moved(&LoadDone::BodyMass, body), body);
        assert_eq!(moved(&LoadDone::Band { band: "green".into() }, body), None);
    }

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
