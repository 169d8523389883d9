//! What the log adds up to, gathered for a day. Data only; `words` says it.

use super::coming::sets_of;
use super::error::CompanionError;
use super::house::{recent_sessions, week_of};
use super::{Companion, Moment};
use crate::progress::SetDone;
use crate::progress::attendance::{Attendance, Heard, Planned, attendance};
use crate::progress::bests::{BestSet, NewBest, curve, new_on};
use crate::progress::body::BodyTrend;
use crate::progress::maximum::{Maximum, NotYet, Of, estimate};
use crate::progress::plateau::{self, LeftOut, LeftOutFor};
use crate::progress::sides::{Sides, compare};
use crate::progress::volume::{Range, Week, monday, weeks};
use crate::safety::Occasion;
use chrono::{Days, NaiveDate};
use serde::Serialize;
use std::collections::BTreeMap;

/// Weeks of weekly sets that are shown.
const WEEKS_SHOWN: u64 = 8;
/// Weeks over which the trend of body mass is told.
const BODY_WEEKS: u32 = 8;

/// What is found of one movement.
#[derive(Debug, Clone, Serialize)]
pub struct MovementFindings {
    /// Its id.
    pub movement: String,
    /// The day of its last set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last: Option<String>,
    /// The estimated maximum; none where it cannot be told yet.
    pub maximum: Option<Maximum>,
    /// What is needed to tell it.
    pub maximum_needs: Option<NotYet>,
    /// Gain or plateau; none where findings are to be silent.
    pub standing: Option<plateau::Standing>,
    /// The days that the standing is read from, oldest first.
    pub points: Vec<plateau::Point>,
    /// The best loads by repetitions.
    pub bests: Vec<BestSet>,
    /// Bests of its last day.
    pub new_bests: Vec<NewBest>,
    /// Left and right, for a movement done one side after the other.
    pub sides: Option<Sides>,
}

/// All that is found.
#[derive(Debug, Clone, Serialize)]
pub struct Findings {
    /// The day.
    pub today: String,
    /// Each movement of the log, the one done last first.
    pub movements: Vec<MovementFindings>,
    /// Weekly sets of the last weeks, oldest first.
    pub weeks: Vec<Week>,
    /// The ranges that they stand against, by muscle, in quarter-sets.
    pub ranges: BTreeMap<String, Range>,
    /// Sessions of the programme under way; none where findings are to be silent.
    pub attendance: Option<Attendance>,
    /// Body mass; none where it is hidden or not known.
    pub body_mass: Option<BodyTrend>,
    /// Findings that could press a lifter are silent: plateaus and missed days.
    pub silent: bool,
}

impl Companion {
    /// What the log adds up to on the day of `moment`.
    ///
    /// # Errors
    /// Those of the store.
    pub fn findings(&mut self, moment: &Moment) -> Result<Findings, CompanionError> {
        self.prepare(moment)?;
        let today = moment.local().date_naive();
        let occasion = Occasion::at(&self.shelf.rules, &self.known.catalogue, moment, self.floor.here());
        let standing = &self.known.standing;
        let silent = standing.findings_silent();
        let left_out = self.left_out(today)?;
        let mut movements = Vec::new();
        let mut all: Vec<SetDone> = Vec::new();
        for id in self.store.sums().movements()? {
            let sets = sets_of(&self.store, &self.known, &id)?;
            if sets.is_empty() {
                continue;
            }
            movements.push(self.of_movement(&id, &sets, &left_out, today, silent));
            let from = monday(today).checked_sub_days(Days::new(7 * (WEEKS_SHOWN - 1))).unwrap_or(today);
            all.extend(sets.into_iter().filter(|s| s.day >= from));
        }
        movements.sort_by(|a, b| (&b.last, &a.movement).cmp(&(&a.last, &b.movement)));
        let ranges = self.ranges();
        let weeks = weeks(&all, &self.known.catalogue, &[], &ranges);
        let attendance = if silent { None } else { self.attendance(today)? };
        let body_mass = (standing.body_mass_shown(occasion.today))
            .then(|| self.known.body.trend(today, BODY_WEEKS))
            .flatten();
        Ok(Findings { today: today.to_string(), movements, weeks, ranges, attendance, body_mass, silent })
    }

    fn of_movement(
        &self,
        id: &str,
        sets: &[SetDone],
        left_out: &[LeftOut],
        today: NaiveDate,
        silent: bool,
    ) -> MovementFindings {
        let of = Of { movement: id, side: None };
        let last = sets.iter().map(|s| s.day).max();
        let (maximum, maximum_needs) = match estimate(sets, of, today) {
            Ok(m) => (Some(m), None),
            Err(needs) => (None, Some(needs)),
        };
        let points = plateau::points(sets, of, left_out);
        let sided = sets.iter().any(|s| s.side.is_some());
        MovementFindings {
            movement: id.to_owned(),
            last: last.map(|d| d.to_string()),
            maximum,
            maximum_needs,
            standing: (!silent).then(|| plateau::standing(&points, today)),
            points,
            bests: curve(sets, of),
            new_bests: last.map(|d| new_on(sets, of, d)).unwrap_or_default(),
            sides: sided.then(|| compare(sets, id, today)),
        }
    }

    /// The programme's ranges of weekly sets.
    fn ranges(&self) -> BTreeMap<String, Range> {
        let quarters = |half_sets: i32| u32::try_from(half_sets).unwrap_or(0) * 2;
        self.known
            .running
            .iter()
            .flat_map(|r| &r.programme.weekly_sets)
            .map(|m| {
                let range = Range { from_quarters: quarters(m.minimum), to_quarters: quarters(m.maximum) };
                (m.muscle.clone(), range)
            })
            .collect()
    }

    /// Days that a trend leaves out: deloads of the programme, illness and pregnancy.
    fn left_out(&self, today: NaiveDate) -> Result<Vec<LeftOut>, CompanionError> {
        let mut out = Vec::new();
        for (from, until) in &self.known.deloads {
            out.push(LeftOut { from: *from, until: *until, why: LeftOutFor::Deload });
        }
        // Illness: settings `illness.FROM` with the last day, or with null while it lasts.
        for (key, value) in &self.known.settings {
            let Some(from) = key.strip_prefix("illness.").and_then(|d| d.parse().ok()) else { continue };
            let until = value.as_str().and_then(|d| d.parse().ok()).unwrap_or(today);
            out.push(LeftOut { from, until, why: LeftOutFor::Illness });
        }
        if self.known.standing.findings_silent() {
            out.push(LeftOut { from: NaiveDate::MIN, until: today, why: LeftOutFor::Pregnancy });
        }
        Ok(out)
    }

    fn attendance(&self, today: NaiveDate) -> Result<Option<Attendance>, CompanionError> {
        let Some(running) = &self.known.running else { return Ok(None) };
        let first = monday(running.starts_on);
        let days = &running.programme.days;
        let mut planned = Vec::new();
        for week in 0..running.programme.block.len() {
            for (number, day) in days.iter().enumerate() {
                let after = 7 * week as u64 + day.weekday as u64;
                if let Some(day) =
                    first.checked_add_days(Days::new(after)).filter(|d| *d >= running.starts_on)
                {
                    planned.push(Planned { day, week: week as u32, number: number as u32 });
                }
            }
        }
        let mut heard = Vec::new();
        for (id, s) in recent_sessions(&self.store, today)? {
            let Some(day) = s.begun_at.as_ref().map(crate::record::Time::date) else { continue };
            let mine = s.programme == Some(running.entry);
            let any_set = self.store.sets_of(&id)?.iter().any(|e| !e.deleted());
            let of_week = week_of(running.starts_on, day, running.programme.block.len()) as u32;
            heard.push(Heard {
                week: mine.then(|| s.week.unwrap_or(of_week)),
                number: if mine { s.day } else { None },
                day,
                any_set,
                called_off: false,
            });
        }
        // On the lifter's own device the record is complete today.
        Ok(Some(attendance(&planned, &heard, Some(today), today)))
    }
}
