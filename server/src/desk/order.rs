//! Who most repays five minutes, and why.
//!
//! The order is a judgement of ours (common practice, no source): what can hurt comes first, then what waits for an
//! answer, then what the log says, then what runs out.

use super::reading::living;
use chrono::NaiveDate;
use plinth_core::companion::{Companion, CompanionError, Findings};
use plinth_core::progress::attendance::Known;
use plinth_core::progress::next::Because;
use plinth_core::progress::plateau::Verdict;
use plinth_core::progress::volume::monday;
use plinth_core::record::{
    DiscomfortFields, FlagFields, Kind, Nature, NoteFields, ReturnFields, View, Writer,
};
use std::collections::BTreeSet;

/// Discomfort of so many days ago is new.
const NEW_DAYS: i64 = 14;
/// A programme of which so many weeks are left runs out.
const RUNS_OUT_WEEKS: i64 = 1;

/// Why a lifter repays a look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Reason {
    /// A red flag that no care has answered yet.
    Flag {
        /// Which.
        flag: String,
        /// Since when.
        day: Option<NaiveDate>,
    },
    /// Discomfort that is new or worse.
    Pain {
        /// Where.
        region: String,
        /// Since when.
        day: Option<NaiveDate>,
    },
    /// Notes of the lifter's that nobody has read.
    Notes {
        /// How many.
        n: u32,
    },
    /// A plateau.
    Plateau {
        /// Of this movement.
        movement: String,
        /// As a probability in per mille.
        per_mille: u32,
    },
    /// The repetitions fell short of the range.
    FellShort {
        /// Of this movement.
        movement: String,
        /// Sessions in a row.
        sessions: u32,
    },
    /// The programme ends soon, or has ended.
    RunsOut {
        /// Weeks left; none when it is over.
        weeks: u32,
    },
    /// Nothing is under way.
    NoProgramme,
    /// Planned sessions that were not heard of: this says nothing of whether they were done.
    NotHeard {
        /// How many.
        sessions: u32,
        /// The last day on which a device was heard.
        since: Option<NaiveDate>,
    },
}

impl Reason {
    /// How much it weighs; the greater comes first.
    pub(super) fn weight(&self) -> u32 {
        match self {
            Self::Flag { .. } => 1_000,
            Self::Pain { .. } => 500,
            Self::Notes { n } => 200 + (*n).min(9),
            Self::FellShort { sessions, .. } => 60 + 20 * (*sessions).min(2),
            Self::Plateau { per_mille, .. } => per_mille / 10,
            Self::RunsOut { weeks } => {
                if *weeks == 0 {
                    90
                } else {
                    70
                }
            }
            Self::NoProgramme => 50,
            Self::NotHeard { sessions, .. } => 20 + (*sessions).min(9),
        }
    }
}

/// The reasons of a lifter, the weightiest first; of alike ones the one found first.
pub(super) fn reasons(
    companion: &Companion,
    findings: &Findings,
    heard: Option<NaiveDate>,
    today: NaiveDate,
) -> Result<Vec<Reason>, CompanionError> {
    let living = |kind: Kind| living(companion, &kind);
    let mut out = Vec::new();
    let answered: BTreeSet<_> =
        living(Kind::Return)?.iter().filter_map(|e| ReturnFields::read(e).0.flag).collect();
    for entry in living(Kind::Flag)? {
        let f = FlagFields::read(&entry).0;
        if let (Some(flag), false) = (f.flag, answered.contains(&entry.id)) {
            out.push(Reason::Flag { flag, day: f.raised_at.map(|t| t.date()) });
        }
    }
    for entry in living(Kind::Discomfort)? {
        let f = DiscomfortFields::read(&entry).0;
        let over = f.until.as_ref().is_some_and(|t| t.date() < today);
        let day = f.since.as_ref().map(plinth_core::record::Time::date);
        let fresh = day.is_none_or(|d| (today - d).num_days() < NEW_DAYS);
        if let (Some(region), Some(Nature::NewOrWorse), false, true) = (f.region, f.nature, over, fresh) {
            out.push(Reason::Pain { region, day });
        }
    }
    let unread = living(Kind::Note)?
        .iter()
        .filter(|e| {
            let f = NoteFields::read(e).0;
            f.by == Some(Writer::Lifter)
                && f.read_at.is_none()
                && f.text.is_some_and(|t| !t.trim().is_empty())
        })
        .count();
    if unread > 0 {
        out.push(Reason::Notes { n: unread as u32 });
    }
    for m in &findings.movements {
        let movement = m.movement.clone();
        if let Some(standing) = m.standing.as_ref().filter(|s| s.verdict == Verdict::Plateau) {
            out.push(Reason::Plateau {
                movement: movement.clone(),
                per_mille: standing.flat_per_mille.unwrap_or(0),
            });
        }
        match m.next.as_ref().map(|n| &n.because) {
            Some(Because::Reset { .. }) => out.push(Reason::FellShort { movement, sessions: 2 }),
            Some(Because::BelowOnce { .. }) => out.push(Reason::FellShort { movement, sessions: 1 }),
            _ => {}
        }
    }
    match companion.programme() {
        None => out.push(Reason::NoProgramme),
        Some((_, programme, starts_on)) => {
            let passed = (monday(today) - monday(starts_on)).num_days() / 7;
            let left = i64::try_from(programme.block.len()).unwrap_or(i64::MAX) - passed;
            if left <= RUNS_OUT_WEEKS {
                out.push(Reason::RunsOut { weeks: u32::try_from(left).unwrap_or(0) });
            }
        }
    }
    let unheard = findings.attendance.as_ref().map_or(0, |a| a.count(Known::NotHeardFrom));
    if unheard > 0 {
        out.push(Reason::NotHeard { sessions: unheard, since: heard });
    }
    out.sort_by_key(|r| std::cmp::Reverse(r.weight()));
    Ok(out)
}
