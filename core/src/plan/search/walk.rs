//! A walk over weeks: each proposal is taken or undone, and the best week on the way is kept.

use super::state::State;
use crate::plan::model::Week;

/// Where a walk stands and the best week that it has seen.
pub(super) struct Walk {
    points: i64,
    best: i64,
    best_week: Week,
}

impl Walk {
    /// A walk from the state as it stands.
    pub(super) fn from(state: &mut State<'_>) -> Self {
        state.commit();
        let points = state.points();
        Self { points, best: points, best_week: state.week() }
    }

    /// Points of the best week.
    pub(super) fn best(&self) -> i64 {
        self.best
    }

    /// Takes what has changed since the last proposal if it is `kept` within the limits and `take` accepts the
    /// points by which it is worse; undoes it otherwise.
    #[inline]
    pub(super) fn weigh(&mut self, state: &mut State<'_>, kept: bool, take: impl FnOnce(i64) -> bool) {
        if !kept {
            state.undo();
            return;
        }
        let now = state.points();
        if !take(now - self.points) {
            state.undo();
            return;
        }
        state.commit();
        self.points = now;
        if now < self.best {
            self.best = now;
            self.best_week = state.week();
        }
    }

    /// Goes back to the best week when the walk is more than `farthest` points above it.
    pub(super) fn stay_within(&mut self, state: &mut State<'_>, farthest: i64) {
        if self.points > self.best + farthest {
            state.put(&self.best_week);
            self.points = self.best;
        }
    }

    /// Leaves the best week in the state.
    pub(super) fn end(self, state: &mut State<'_>) {
        state.put(&self.best_week);
    }
}
