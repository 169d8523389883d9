//! The programmes of the record: the one under way, the one that comes next, those that wait for the lifter's word.

use super::error::CompanionError;
use super::known::living;
use crate::catalogue::OwnMovement;
use crate::plan::programme::{Programme, WeekKind, read_programme};
use crate::progress::volume::monday;
use crate::record::{Entry, EntryId, Kind, ProgrammeFields, Time, View};
use crate::store::Store;
use chrono::{Days, NaiveDate};
use serde_json::Value;
use std::collections::BTreeMap;

/// The programme under way.
#[derive(Debug, Clone)]
pub(super) struct Running {
    pub(super) entry: EntryId,
    pub(super) programme: Programme,
    pub(super) starts_on: NaiveDate,
}

/// A programme that was sent, and that was neither taken on nor put aside.
#[derive(Debug, Clone)]
pub(super) struct Waiting {
    pub(super) entry: EntryId,
    pub(super) programme: Programme,
    pub(super) title: String,
    /// Who sent it.
    pub(super) from: String,
    pub(super) version: Option<u32>,
    pub(super) made_at: Option<Time>,
}

/// A first and a last day.
pub(super) type Span = (NaiveDate, NaiveDate);

/// All of them, as they are on a day.
#[derive(Debug, Default)]
pub(super) struct Programmes {
    pub(super) running: Option<Running>,
    /// Taken on, and from a later day than today.
    pub(super) next: Option<Running>,
    /// Newest first. A version is passed over once a later one came.
    pub(super) waiting: Vec<Waiting>,
    /// First and last days of the deload weeks of every programme that was taken on.
    pub(super) deloads: Vec<Span>,
    /// Own movements that came with a programme, each with its entry: the log names them when it is over, too.
    pub(super) own: Vec<(EntryId, OwnMovement)>,
}

/// A programme that was taken on.
struct TakenOn {
    at_ms: i64,
    running: Running,
    ended_on: Option<NaiveDate>,
}

impl Programmes {
    pub(super) fn read(
        store: &Store,
        today: NaiveDate,
        unread: &mut Vec<String>,
    ) -> Result<Self, CompanionError> {
        let all: Vec<(Entry, ProgrammeFields)> = living(store, &Kind::Programme)?
            .into_iter()
            .map(|e| {
                let f = ProgrammeFields::read(&e).0;
                (e, f)
            })
            .collect();
        let later = latest_versions(&all);
        let (mut taken, mut out) = (Vec::new(), Self::default());
        for (e, f) in all {
            // A lifter trains by what it was adapted to; what was sent stays beside it.
            let Some(document) = f.adapted.or(f.document) else { continue };
            if f.accepted_at.is_none() && f.ended_on.is_some() {
                continue;
            }
            let programme = match read_programme(Value::Object(document.0).to_string().as_bytes()) {
                Ok(programme) => programme,
                Err(faults) => {
                    let why = faults.first().map(ToString::to_string).unwrap_or_default();
                    unread.push(format!("programme {}: {why}", e.id));
                    continue;
                }
            };
            out.own.extend(programme.own_movements.iter().map(|o| (e.id, o.clone())));
            if let Some(accepted) = f.accepted_at {
                let starts_on = f.starts_on.map_or_else(|| accepted.date(), |d| d.0);
                let ended_on = f.ended_on.map(|d| d.0);
                let until = ended_on.unwrap_or(NaiveDate::MAX);
                out.deloads.extend(deload_weeks(&programme, starts_on).filter(|(from, _)| *from <= until));
                let running = Running { entry: e.id, programme, starts_on };
                taken.push(TakenOn { at_ms: accepted.millis(), running, ended_on });
            } else {
                let (title, from) = (f.title.unwrap_or_default(), f.from.unwrap_or_default());
                let superseded =
                    later.get(&(from.clone(), title.clone())).is_some_and(|v| *v > f.version.unwrap_or(0));
                if !superseded {
                    let (version, made_at) = (f.version, f.made_at);
                    out.waiting.push(Waiting { entry: e.id, programme, title, from, version, made_at });
                }
            }
        }
        out.waiting.sort_by_key(|w| std::cmp::Reverse((w.made_at.as_ref().map_or(0, Time::millis), w.entry)));
        taken.sort_by_key(|t| (t.at_ms, t.running.entry));
        out.choose(taken, today);
        Ok(out)
    }

    /// Of those taken on, the last whose day has come and that was not left is under way. Where there is none, the one
    /// that comes next is.
    fn choose(&mut self, taken: Vec<TakenOn>, today: NaiveDate) {
        for t in taken {
            let over = t.ended_on.is_some_and(|day| day < today);
            if over || t.ended_on.is_some_and(|day| day < t.running.starts_on) {
                continue;
            }
            if t.running.starts_on <= today {
                self.running = Some(t.running);
            } else {
                self.next = Some(t.running);
            }
        }
        if self.running.is_none() {
            self.running = self.next.take();
        }
    }
}

/// The greatest version by who sent it and its title.
fn latest_versions(all: &[(Entry, ProgrammeFields)]) -> BTreeMap<(String, String), u32> {
    let mut latest = BTreeMap::new();
    for (_, f) in all {
        let of = (f.from.clone().unwrap_or_default(), f.title.clone().unwrap_or_default());
        let now: &mut u32 = latest.entry(of).or_default();
        *now = (*now).max(f.version.unwrap_or(0));
    }
    latest
}

fn deload_weeks(
    programme: &Programme,
    starts_on: NaiveDate,
) -> impl Iterator<Item = (NaiveDate, NaiveDate)> + '_ {
    let first = monday(starts_on);
    (programme.block.iter().enumerate()).filter(|(_, week)| week.kind == WeekKind::Deload).filter_map(
        move |(k, _)| {
            let from = first.checked_add_days(Days::new(7 * k as u64))?;
            Some((from, from.checked_add_days(Days::new(6))?))
        },
    )
}
