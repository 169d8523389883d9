//! What comes next: a function of the snapshot alone.

use super::house::House;
use super::state::{Line, Loading, Pair, State};
use crate::catalogue::{Catalogue, Measure};

/// The step at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// A piece of the general warm-up.
    WarmUp(usize),
    /// A ramp set of a line.
    Ramp { line: usize, step: usize },
    /// A set in the search for a first load.
    Find { line: usize, step: usize },
    /// A working set; `pair` where it is done in turn.
    Work { line: usize, pair: Option<usize> },
    /// Nothing is left.
    Nothing,
}

impl Next {
    /// The line that it belongs to.
    pub(super) fn line(self) -> Option<usize> {
        match self {
            Self::Ramp { line, .. } | Self::Find { line, .. } | Self::Work { line, .. } => Some(line),
            Self::WarmUp(_) | Self::Nothing => None,
        }
    }
}

impl State {
    /// Whether a line has something left to do.
    pub(super) fn open_line(&self, line: usize) -> bool {
        self.lines.get(line).is_some_and(|l| l.out.is_none() && self.done_of(line) < l.sets)
    }

    /// Whether the kit of a line is taken just now.
    pub(super) fn kit_taken(&self, catalogue: &Catalogue, line: usize) -> bool {
        let Some(movement) = self.lines.get(line).and_then(|l| catalogue.movement(&l.movement)) else {
            return false;
        };
        let taken = |k: &usize| catalogue.equipment.get(*k).is_some_and(|e| self.taken.contains(&e.id));
        !self.taken.is_empty()
            && !movement.equipment.is_empty()
            && movement.equipment.iter().all(|all| all.iter().any(taken))
    }

    /// Sets of a line done in a pair.
    pub(super) fn done_in(&self, pair: usize, line: usize) -> i32 {
        let mut numbers: Vec<u32> =
            self.standing().filter(|s| s.pair == Some(pair) && s.line == line).map(|s| s.number).collect();
        numbers.dedup();
        numbers.len() as i32
    }

    /// The step at hand.
    pub(super) fn next(&self, house: &House<'_>) -> Next {
        if let Some(k) = self.warm_up.iter().position(|w| !w.done) {
            return Next::WarmUp(k);
        }
        let open = |k: &usize| self.open_line(*k);
        let free = |k: &usize| open(k) && !self.kit_taken(house.catalogue, *k);
        let lead = self
            .focus
            .filter(open)
            .or_else(|| self.order.iter().copied().find(free))
            .or_else(|| self.order.iter().copied().find(open));
        let Some(lead) = lead else { return Next::Nothing };
        let with_lead = |p: &Pair| p.first == lead || p.second == lead;
        for (k, pair) in self.pairs.iter().enumerate().filter(|(_, p)| with_lead(p)) {
            let (a, b) = (self.done_in(k, pair.first), self.done_in(k, pair.second));
            // A round begins with both at hand; once begun, the other one follows.
            let goes_on = match a.cmp(&b) {
                std::cmp::Ordering::Equal => a < pair.sets && free(&pair.first) && free(&pair.second),
                std::cmp::Ordering::Greater => free(&pair.second),
                std::cmp::Ordering::Less => free(&pair.first),
            };
            if !goes_on {
                continue;
            }
            // Both are ramped before they are done in turn.
            for line in [pair.first, pair.second] {
                if let Some(step) = self.before_work(line) {
                    return step;
                }
            }
            let line = if a <= b { pair.first } else { pair.second };
            return Next::Work { line, pair: Some(k) };
        }
        self.before_work(lead).unwrap_or(Next::Work { line: lead, pair: None })
    }

    /// The ramp or search set that a line needs before its first working set.
    fn before_work(&self, line: usize) -> Option<Next> {
        let l = self.lines.get(line)?;
        match &l.loading {
            Loading::Find { tried, first } if tried.len() < first.loads.len() => {
                Some(Next::Find { line, step: tried.len() })
            }
            _ if l.ramp_done < l.ramp.len() => Some(Next::Ramp { line, step: l.ramp_done }),
            _ => None,
        }
    }
}

/// The load of a step.
pub(super) fn mass_of(line: &Line, next: Next) -> Option<crate::load::Mass> {
    match (next, &line.loading) {
        (Next::Ramp { step, .. }, _) => line.ramp.get(step).map(|r| r.load),
        (Next::Find { step, .. }, Loading::Find { first, .. }) => first.loads.get(step).copied(),
        (_, Loading::Weight { made, .. }) => Some(*made),
        _ => None,
    }
}

/// Repetitions (seconds, metres) of a step.
pub(super) fn amount_of(line: &Line, next: Next) -> u32 {
    match (next, &line.loading) {
        (Next::Ramp { step, .. }, _) => line.ramp.get(step).map_or(line.amount, |r| r.reps),
        // The search counts repetitions; a hold or carry is tried at the least of its own range.
        (Next::Find { .. }, Loading::Find { first, .. }) if line.measure == Measure::Repetitions => {
            first.reps
        }
        (Next::Find { .. }, _) => line.low.max(1) as u32,
        _ => line.amount,
    }
}
