//! Two weeks side by side: points by term, sets by muscle, seconds and lines.

use crate::plan::model::{Instance, Score, Term, Week, score};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Points of one term more (positive: worse) or fewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TermChange {
    /// The term.
    pub term: Term,
    /// Points more; negative when fewer.
    pub points: i64,
}

/// A muscle's weekly half-sets before and after, beside its range.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MuscleChange {
    /// Id of the muscle.
    pub muscle: String,
    /// Weekly half-sets before.
    pub before: i32,
    /// Weekly half-sets after.
    pub after: i32,
    /// Weekly minimum, half-sets.
    pub minimum: i32,
    /// Weekly target, half-sets.
    pub target: i32,
}

/// A line whose sets change; 0 sets means that it is not there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LineChange {
    /// The day, counted from 0.
    pub day: usize,
    /// Id of the movement.
    pub movement: String,
    /// Sets before.
    pub before: i32,
    /// Sets after.
    pub after: i32,
}

/// What changes from one week to another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Difference {
    /// Points more; negative when the other week is better, 0 for a tie.
    pub points: i64,
    /// Terms that change, those that rise most first.
    pub terms: Vec<TermChange>,
    /// Muscles whose weekly sets change.
    pub muscles: Vec<MuscleChange>,
    /// Seconds of each day's lines more.
    pub day_seconds: Vec<i32>,
    /// Lines that change.
    pub lines: Vec<LineChange>,
}

impl Difference {
    /// The weeks are equally good.
    pub fn tie(&self) -> bool {
        self.points == 0
    }

    /// The term that decides: the one that rises most where the week gets worse, that falls most where it gets
    /// better, and none for a tie.
    pub fn dominant(&self) -> Option<TermChange> {
        match self.points {
            0 => None,
            p if p > 0 => self.terms.first().copied(),
            _ => self.terms.last().copied(),
        }
    }

    /// Seconds of the week's lines more.
    pub fn seconds(&self) -> i32 {
        self.day_seconds.iter().sum()
    }
}

/// What changes from `before` to `after` on one instance.
pub(super) fn compare(instance: &Instance, before: &Week, after: &Week) -> Difference {
    compare_scored(instance, before, &score(instance, before), after)
}

/// As [`compare`], with the score of `before` at hand.
pub(super) fn compare_scored(instance: &Instance, before: &Week, was: &Score, after: &Week) -> Difference {
    let now = score(instance, after);
    let mut terms: Vec<TermChange> = Term::ALL
        .into_iter()
        .map(|term| TermChange { term, points: now.of(term) - was.of(term) })
        .filter(|t| t.points != 0)
        .collect();
    terms.sort_by_key(|t| (-t.points, t.term));
    let muscles = instance
        .muscles
        .iter()
        .enumerate()
        .filter(|(g, _)| was.half_sets[*g] != now.half_sets[*g])
        .map(|(g, m)| MuscleChange {
            muscle: m.id.clone(),
            before: was.half_sets[g],
            after: now.half_sets[g],
            minimum: m.minimum,
            target: m.target,
        })
        .collect();
    let day_seconds = was.day_seconds.iter().zip(&now.day_seconds).map(|(a, b)| b - a).collect();
    let mut lines = Vec::new();
    for day in 0..instance.days.len() {
        let here = |w: &Week| w.days[day].iter().map(|s| s.movement).collect::<Vec<_>>();
        let mut movements = here(before);
        movements.extend(here(after).into_iter().filter(|m| before.sets(day, *m) == 0));
        for m in movements {
            let (a, b) = (before.sets(day, m), after.sets(day, m));
            if a != b {
                let movement = instance.movements[m].id.clone();
                lines.push(LineChange { day, movement, before: a, after: b });
            }
        }
    }
    Difference { points: now.total() - was.total(), terms, muscles, day_seconds, lines }
}
