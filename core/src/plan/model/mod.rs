//! The plan as an optimisation model: a numeric [`Instance`], a [`Week`] that answers it, and its price.
//!
//! The model is written up in `docs/plan-model.md`; every name there is a field here. Everything is an
//! integer: sets, half-sets, seconds and points, so that every processor finds the same week.

mod instance;
mod limits;
mod score;

pub use instance::{
    Day, Group, HeavyClass, Instance, Movement, Muscle, Near, PairClass, Pattern, Prices, Share, Side,
};
pub use limits::{Limit, Slack, broken_limits, slack_of_day};
pub use score::{Score, Term, score};

/// A line of a week: a movement (index into [`Instance::movements`]) and its working sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot {
    /// Index into [`Instance::movements`].
    pub movement: usize,
    /// Working sets, at least one.
    pub sets: i32,
}

/// A week: for each day of the instance its lines. The order within a day carries no meaning in the model.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Week {
    /// One list of lines for each day.
    pub days: Vec<Vec<Slot>>,
}

impl Week {
    /// A week of `days` empty days.
    pub fn empty(days: usize) -> Self {
        Self { days: vec![Vec::new(); days] }
    }

    /// The same week with each day's lines in order of movement, so that equal weeks compare equal.
    #[must_use]
    pub fn sorted(mut self) -> Self {
        for day in &mut self.days {
            day.sort_unstable();
        }
        self
    }

    /// Sets of `movement` on `day`, 0 when it is not there.
    pub fn sets(&self, day: usize, movement: usize) -> i32 {
        self.days.get(day).and_then(|d| d.iter().find(|s| s.movement == movement)).map_or(0, |s| s.sets)
    }
}
