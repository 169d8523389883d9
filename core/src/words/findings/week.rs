//! Weekly sets.

use super::FindingsWords;
use crate::companion::Findings;
use crate::progress::volume::{Against, MuscleWeek, Week};
use serde::Serialize;

/// Weeks before that are said.
const WEEKS_BEFORE: usize = 4;

/// A muscle's sets in the newest week of the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct SaidMuscle {
    /// Its id.
    pub muscle: String,
    /// Its name.
    pub name: String,
    /// Direct sets.
    pub direct: String,
    /// Shared sets, each weighed as a half.
    pub shared: String,
    /// Both.
    pub total: String,
    /// The range; empty where there is none.
    pub aim: String,
    /// How it stands to the range; empty within it.
    pub against: String,
    /// The weeks before, oldest first.
    pub before: String,
}

/// The newest week of the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct SaidWeek {
    /// Which week.
    pub head: String,
    /// Each muscle with a set or a range.
    pub muscles: Vec<SaidMuscle>,
    /// What counts, by which sources; what could not be told.
    pub notes: Vec<String>,
}

/// Quarter-sets as an exact decimal of sets.
pub(super) fn quarters(quarters: u32) -> String {
    let part = ["", ".25", ".5", ".75"][quarters as usize % 4];
    format!("{}{part}", quarters / 4)
}

impl FindingsWords<'_> {
    fn quarters(&self, n: u32) -> String {
        self.speech.decimal(&quarters(n))
    }

    /// The newest week, with those before it in short.
    pub fn week(&self, f: &Findings) -> Option<SaidWeek> {
        let (week, before) = f.weeks.split_last()?;
        let day = self.speech.date_with_year(week.monday);
        let this_week = f.today.parse().is_ok_and(|d| crate::progress::volume::monday(d) == week.monday);
        let key = if this_week { "find-week-so-far" } else { "find-week" };
        let shown =
            |m: &&MuscleWeek| m.sets.quarters() + m.sets.easy_quarters > 0 || m.against != Against::NoRange;
        let muscles = week.muscles.iter().filter(shown).map(|m| self.muscle(m, before, f)).collect();
        let mut notes = vec![self.say("find-week-note", &[])];
        let easy = week.muscles.iter().any(|m| m.sets.easy_quarters > 0);
        if easy {
            notes.push(self.say("find-week-easy", &[]));
        }
        if week.unknown_hard_sets > 0 {
            notes.push(self.say("find-week-unknown", &[("n", week.unknown_hard_sets.into())]));
        }
        Some(SaidWeek { head: self.say(key, &[("day", (&day).into())]), muscles, notes })
    }

    fn muscle(&self, m: &MuscleWeek, before: &[Week], f: &Findings) -> SaidMuscle {
        let range = f.ranges.get(&m.muscle);
        let earlier: Vec<String> = before
            .iter()
            .skip(before.len().saturating_sub(WEEKS_BEFORE))
            .filter_map(|w| w.muscles.iter().find(|o| o.muscle == m.muscle))
            .map(|o| self.quarters(o.sets.quarters()))
            .collect();
        let by = |key: &str, n: u32| self.say(key, &[("sets", (&self.quarters(n)).into())]);
        SaidMuscle {
            muscle: m.muscle.clone(),
            name: self.speech.muscle(&m.muscle),
            direct: self.quarters(m.sets.direct_quarters),
            shared: self.quarters(m.sets.shared_quarters),
            total: self.quarters(m.sets.quarters()),
            aim: range.map_or_else(String::new, |r| {
                let (low, high) = (self.quarters(r.from_quarters), self.quarters(r.to_quarters));
                self.say("find-between", &[("low", (&low).into()), ("high", (&high).into())])
            }),
            against: match m.against {
                Against::NoRange | Against::Within => String::new(),
                Against::Below { by_quarters } => by("find-week-below", by_quarters),
                Against::Above { by_quarters } => by("find-week-above", by_quarters),
            },
            before: earlier.join("  "),
        }
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn quarters_are_exact() {
        assert_eq!([0, 1, 2, 7, 40].map(super::quarters), ["0", "0.25", "0.5", "1.75", "10"]);
    }
}
