//! A brief, its published week and what a reader can look up about them.

use plinth_core::catalogue::{Catalogue, Movement, Pattern, PatternKind, ShareKind, Tier};
use plinth_core::plan::Case;
use plinth_core::plan::brief::Brief;
use plinth_core::plan::programme::{Answer, Line, Programme};
use plinth_core::terms::heavy_set;

/// A brief and its week.
#[derive(Clone)]
pub(crate) struct View<'a> {
    pub(crate) seed: u64,
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) brief: Brief,
    pub(crate) case: Case,
    pub(crate) answer: Answer,
}

impl View<'_> {
    pub(crate) fn programme(&self) -> &Programme {
        &self.answer.programme
    }

    /// The lines of each day.
    pub(crate) fn days(&self) -> impl Iterator<Item = &[Line]> {
        self.answer.programme.days.iter().map(|d| d.lines.as_slice())
    }

    /// All lines of the week.
    pub(crate) fn lines(&self) -> impl Iterator<Item = &Line> {
        self.days().flatten()
    }

    /// All lines of the week, to be spoilt.
    pub(crate) fn lines_mut(&mut self) -> impl Iterator<Item = &mut Line> {
        self.answer.programme.days.iter_mut().flat_map(|d| d.lines.iter_mut())
    }

    pub(crate) fn movement(&self, line: &Line) -> &Movement {
        self.catalogue.movement(&line.movement).expect("a line names a movement of the catalogue")
    }

    pub(crate) fn pattern(&self, line: &Line) -> &Pattern {
        &self.catalogue.patterns[self.movement(line).pattern]
    }

    pub(crate) fn kind(&self, line: &Line) -> PatternKind {
        self.pattern(line).kind
    }

    pub(crate) fn compound(&self, line: &Line) -> bool {
        self.kind(line) == PatternKind::Compound
    }

    pub(crate) fn isolation(&self, line: &Line) -> bool {
        self.kind(line) == PatternKind::SingleJoint
    }

    pub(crate) fn trunk(&self, line: &Line) -> bool {
        matches!(self.kind(line), PatternKind::Trunk | PatternKind::Carry)
    }

    /// Isolation for a muscle that the lifter puts first.
    pub(crate) fn prioritised(&self, line: &Line) -> bool {
        self.movement(line).direct().any(|g| self.brief.priorities.contains(&self.catalogue.muscles[g].id))
    }

    /// A compound done heavy.
    pub(crate) fn heavy(&self, line: &Line) -> bool {
        matches!(self.movement(line).tier, Tier::Main | Tier::Compound) && heavy_set(line.low, line.reserve)
    }

    /// Half-sets of each muscle in these lines.
    pub(crate) fn half_sets<'l>(&self, lines: impl Iterator<Item = &'l Line>) -> Vec<i32> {
        let mut out = vec![0; self.catalogue.muscles.len()];
        for l in lines {
            for a in &self.movement(l).trains {
                out[a.muscle] += l.sets * if a.share == ShareKind::Direct { 2 } else { 1 };
            }
        }
        out
    }

    /// Movements that kit, limits, skill and wishes leave, better ones of the same kind or not.
    pub(crate) fn usable(&self) -> impl Iterator<Item = &Movement> {
        self.catalogue.movements.iter().zip(&self.case.eases).filter(|(_, e)| e.is_some()).map(|(m, _)| m)
    }

    /// Major muscles for which the lifter can do something directly.
    pub(crate) fn majors(&self) -> Vec<usize> {
        (0..self.catalogue.muscles.len())
            .filter(|g| {
                self.catalogue.muscles[*g].major && self.usable().any(|m| m.direct().any(|d| d == *g))
            })
            .collect()
    }

    /// Minutes of the shortest session.
    pub(crate) fn shortest(&self) -> u32 {
        (0..self.brief.days as usize).map(|d| self.brief.minutes_of(d)).min().unwrap_or(0)
    }

    pub(crate) fn at_least(&self, days: u32, minutes: u32) -> bool {
        self.brief.days >= days && self.shortest() >= minutes
    }

    pub(crate) fn owns(&self, kit: &str) -> bool {
        self.brief.equipment.iter().any(|e| e == kit)
    }

    /// Index of the first day and line for which `ask` holds.
    pub(crate) fn place(&self, ask: impl Fn(&Line) -> bool) -> Option<(usize, usize)> {
        self.days().enumerate().find_map(|(d, lines)| lines.iter().position(&ask).map(|k| (d, k)))
    }

    /// Puts another movement in the first line for which `ask` holds.
    pub(crate) fn put(&mut self, id: &str, ask: impl Fn(&Line) -> bool) -> bool {
        let Some((d, k)) = self.place(ask) else { return false };
        id.clone_into(&mut self.answer.programme.days[d].lines[k].movement);
        true
    }
}

/// `Err` with the words when `broken`.
pub(crate) fn unless(broken: bool, words: impl FnOnce() -> String) -> Result<(), String> {
    if broken { Err(words()) } else { Ok(()) }
}

/// The first fault of several questions.
pub(crate) fn each<T>(
    items: impl Iterator<Item = T>,
    ask: impl Fn(T) -> Result<(), String>,
) -> Result<(), String> {
    items.map(ask).find(Result::is_err).unwrap_or(Ok(()))
}
