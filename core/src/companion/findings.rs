//! What the log adds up to, gathered for a day. Data only; `words` says it.

use super::coming::sets_of;
use super::error::CompanionError;
use super::house::{recent_sessions, week_of};
use super::scores::{LIFTS, Lift, Scores, lift, scores};
use super::{Companion, Moment, News};
use crate::catalogue::LoadKind;
use crate::load::Mass;
use crate::progress::SetDone;
use crate::progress::attendance::{Attendance, Heard, Planned, attendance};
use crate::progress::bests::{BestSet, NewBest, curve, new_on};
use crate::progress::body::{BodyTrend, Measured};
use crate::progress::maximum::{Maximum, NotYet, Of, estimate};
use crate::progress::next::Proposal;
use crate::progress::plateau::{self, LeftOut, LeftOutFor};
use crate::progress::rest::LearnedRest;
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
/// Weekly looks back at the estimated maximum.
const LOOKS_BACK: u64 = 16;

/// The estimated maximum as it stood on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MaximumOn {
    /// The day.
    pub day: String,
    /// The low end.
    pub low: Mass,
    /// The middle.
    pub middle: Mass,
    /// The high end.
    pub high: Mass,
}

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
    /// The estimate as it stood on the days of weekly looks back, oldest first, today's last.
    pub history: Vec<MaximumOn>,
    /// Its loads hold the body mass.
    pub holds_body: bool,
    /// They hold it and it is hidden: nothing is told that it could be worked out from.
    pub hidden: bool,
    /// Gain or plateau; none where findings are to be silent.
    pub standing: Option<plateau::Standing>,
    /// The days that the standing is read from, oldest first.
    pub points: Vec<plateau::Point>,
    /// Whether it carries the programme under way.
    pub carrying: bool,
    /// The best loads of all time by repetitions.
    pub bests: Vec<BestSet>,
    /// Bests of its last day.
    pub new_bests: Vec<NewBest>,
    /// Left and right, for a movement done one side after the other.
    pub sides: Option<Sides>,
    /// The load proposed next, for a movement of the programme; a load added to body mass without it.
    pub next: Option<Proposal>,
    /// The rest that was learned.
    pub rest: Option<LearnedRest>,
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
    /// Body masses of the weeks that its trend is read from, oldest first.
    pub body_masses: Vec<Measured>,
    /// Published scores; none for a minor, in pregnancy and after birth, or where a lift, the body mass or the
    /// sex is not known.
    pub scores: Option<Scores>,
    /// Findings that could press a lifter are silent: plateaus and missed days.
    pub silent: bool,
}

struct Asked<'a> {
    left_out: &'a [LeftOut],
    today: NaiveDate,
    silent: bool,
    body_shown: bool,
}

impl Companion {
    /// What the log adds up to on the day of `moment`.
    ///
    /// # Errors
    /// Those of the store.
    pub fn findings(&mut self, moment: &Moment) -> Result<Findings, CompanionError> {
        self.prepare(moment)?;
        self.findings_at(moment)
    }

    /// The same, once the day's house is prepared.
    pub(super) fn findings_at(&self, moment: &Moment) -> Result<Findings, CompanionError> {
        let today = moment.local().date_naive();
        let occasion = Occasion::at(&self.shelf.rules, &self.known.catalogue, moment, self.floor.here());
        let standing = &self.known.standing;
        let silent = standing.findings_silent();
        let body_shown = standing.body_mass_shown(occasion.today);
        let left_out = self.left_out(today);
        let asked = Asked { left_out: &left_out, today, silent, body_shown };
        let mut movements = Vec::new();
        let mut all: Vec<SetDone> = Vec::new();
        let mut lifts: Vec<Lift> = Vec::new();
        for id in self.store.sums().movements()? {
            let sets = sets_of(&self.store, &self.known, &id)?;
            if sets.is_empty() {
                continue;
            }
            let found = self.of_movement(&id, &sets, &asked)?;
            if LIFTS.contains(&id.as_str()) {
                lifts.extend(lift(&found, &sets, today));
            }
            movements.push(found);
            let from = monday(today).checked_sub_days(Days::new(7 * (WEEKS_SHOWN - 1))).unwrap_or(today);
            all.extend(sets.into_iter().filter(|s| s.day >= from));
        }
        movements.sort_by(|a, b| (&b.last, &a.movement).cmp(&(&a.last, &b.movement)));
        let ranges = self.ranges();
        let weeks = weeks(&all, &self.known.catalogue, &[], &ranges);
        let attendance = if silent { None } else { self.attendance(today)? };
        let body_mass = body_shown.then(|| self.known.body.trend(today, BODY_WEEKS)).flatten();
        let recent = |m: &&Measured| (0..i64::from(BODY_WEEKS) * 7).contains(&(today - m.day).num_days());
        let body_masses = match body_mass {
            Some(_) => self.known.body.all().iter().filter(recent).copied().collect(),
            None => Vec::new(),
        };
        let scores = match (self.known.body.at(today), self.known.sex) {
            (Some(body), Some(sex)) if body_shown && !silent => {
                lifts.sort_by_key(|l| LIFTS.iter().position(|id| *id == l.movement));
                scores(lifts, body, sex)
            }
            _ => None,
        };
        Ok(Findings {
            today: today.to_string(),
            movements,
            weeks,
            ranges,
            attendance,
            body_mass,
            body_masses,
            scores,
            silent,
        })
    }

    fn of_movement(
        &self,
        id: &str,
        sets: &[SetDone],
        asked: &Asked<'_>,
    ) -> Result<MovementFindings, CompanionError> {
        let today = asked.today;
        let of = Of { movement: id, side: None };
        let last = sets.iter().map(|s| s.day).max();
        let kind = self.known.catalogue.movement(id).map(|m| m.load_kind);
        let holds_body = matches!(kind, Some(LoadKind::Added | LoadKind::BodyMass));
        let mut found = MovementFindings {
            movement: id.to_owned(),
            last: last.map(|d| d.to_string()),
            maximum: None,
            maximum_needs: None,
            history: Vec::new(),
            holds_body,
            hidden: holds_body && !asked.body_shown,
            standing: None,
            points: Vec::new(),
            carrying: self.known.programmes.running.iter().any(|r| {
                r.programme.days.iter().flat_map(|d| &d.lines).any(|l| l.carrying && l.movement == id)
            }),
            bests: Vec::new(),
            new_bests: Vec::new(),
            sides: None,
            next: self.prepared.coming.next.get(id).cloned(),
            rest: self.prepared.coming.learned.get(id).copied(),
        };
        let points = plateau::points(sets, of, asked.left_out);
        found.standing = (!asked.silent).then(|| plateau::standing(&points, today));
        if sets.iter().any(|s| s.side.is_some()) {
            found.sides = Some(compare(sets, id, today));
        }
        if found.hidden {
            return Ok(found);
        }
        match estimate(sets, of, today) {
            Ok(m) => found.maximum = Some(m),
            Err(needs) => found.maximum_needs = Some(needs),
        }
        found.history = (0..LOOKS_BACK)
            .rev()
            .filter_map(|k| {
                let day = today.checked_sub_days(Days::new(7 * k))?;
                let m = estimate(sets, of, day).ok()?;
                Some(MaximumOn { day: day.to_string(), low: m.low, middle: m.middle, high: m.high })
            })
            .collect();
        found.points = points;
        (found.bests, found.new_bests) = self.bests(id, sets, last, holds_body)?;
        Ok(found)
    }

    /// The best loads of all time, and what was new on the last day. The newest sets are not the whole log: the
    /// running sums hold the heaviest for each number of repetitions, and where something seems new, or where
    /// body mass is in the loads, which the sums do not know, all sets are read.
    fn bests(
        &self,
        id: &str,
        newest: &[SetDone],
        last: Option<NaiveDate>,
        holds_body: bool,
    ) -> Result<(Vec<BestSet>, Vec<NewBest>), CompanionError> {
        let of = Of { movement: id, side: None };
        let new = |sets: &[SetDone]| last.map(|d| new_on(sets, of, d)).unwrap_or_default();
        let count = self.store.sums().movement(id)?.map_or(0, |s| s.sets as usize);
        if newest.iter().filter(|s| s.working).count() >= count {
            return Ok((curve(newest, of), new(newest)));
        }
        let mut sets = newest.to_vec();
        for best in self.store.sums().bests(id)? {
            let entry = self.store.entry(&best.set)?;
            let read = entry.and_then(|e| crate::progress::set::read(&e, &self.known.body).ok());
            if let Some(set) = read.filter(|s| !sets.contains(s)) {
                sets.push(set);
            }
        }
        if holds_body || !new(&sets).is_empty() {
            let entries = self.store.sets_of_movement(id, u32::MAX)?;
            sets =
                entries.iter().filter_map(|e| crate::progress::set::read(e, &self.known.body).ok()).collect();
        }
        Ok((curve(&sets, of), new(&sets)))
    }

    /// The programme's ranges of weekly sets.
    fn ranges(&self) -> BTreeMap<String, Range> {
        let quarters = |half_sets: i32| u32::try_from(half_sets).unwrap_or(0) * 2;
        self.known
            .programmes
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
    fn left_out(&self, today: NaiveDate) -> Vec<LeftOut> {
        let mut out = Vec::new();
        for (from, until) in &self.known.programmes.deloads {
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
        out
    }

    fn attendance(&self, today: NaiveDate) -> Result<Option<Attendance>, CompanionError> {
        let Some(running) = &self.known.programmes.running else { return Ok(None) };
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
        let news = match self.news {
            News::Own => Some(today),
            News::Until(day) => day,
        };
        Ok(Some(attendance(&planned, &heard, news, today)))
    }
}
