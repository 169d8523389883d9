//! A published programme made to fit another lifter: least change, each difference with its reason.
//!
//! Every line of the published programme has a set of options: itself, stand-ins, or being left out. Safety,
//! kit, skill and the lifter's own wishes only decide **which options exist**; what counts as change does not
//! depend on them. More kit therefore only adds options, and the least change over more options is never more.
//!
//! Change is compared level by level (see [`Change`] and [`LEVELS`]); the week is solved exactly: each day by
//! depth-first branch and bound, the limit on a movement's sessions in the week by branching on the days.

mod apply;
mod day;
mod difference;
mod document;
mod options;
#[cfg(test)]
mod tests;
mod week;

pub use apply::apply;
pub use difference::{Adapted, Change, Difference, LEVELS, Level, Nearness, Reason};

use super::brief::{Brief, Minutes};
use super::programme::Programme;
use super::{Keep, Planner, build};

impl Planner<'_> {
    /// Adapts a published programme to the lifter of `brief`. The published document is not touched; the
    /// adapted one carries its title and versions.
    ///
    /// Never fails: what cannot be done is left out, and said. A brief of no days gives a programme of none.
    pub fn adapt(&self, published: &Programme, brief: &Brief) -> Adapted {
        let kept = options::days_that_stay(self.catalogue, published, (brief.days as usize).min(7));
        let mut asked = brief.clone();
        asked.days = kept.stay.len() as u32;
        asked.minutes = match &brief.minutes {
            Minutes::Same(m) => Minutes::Same(*m),
            Minutes::Each(each) => Minutes::Each(each.iter().copied().take(kept.stay.len()).collect()),
        };
        asked.goal = published.goal;
        asked.carrying = Some(options::carrying(published));
        asked.weeks = published.block.len() as u32;
        let case = build(&asked, self.catalogue, self.weights, Keep::Everything);
        let ground = options::Ground::new(self, published, &asked, &case);
        let solved = week::solve(&ground, &kept);
        document::set_out(&ground, &kept, &solved)
    }
}
