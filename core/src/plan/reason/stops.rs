//! What stops more on each day: limits with nothing left, and what the next set would cost.

use super::compare::compare_scored;
use super::{Barrier, Bound, Difference, Reasoner};
use crate::plan::model::{Slot, broken_limits, score, slack_of_day};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A limit of a day with nothing left: nothing that draws on it fits any more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// The limit with its numbers.
    pub bound: Bound,
    /// Additions (one more set of a line, or a further movement at its fewest sets) that it stops.
    pub stopped: i32,
    /// It stops every addition there is.
    pub stops_all: bool,
}

/// The best of what still fits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Addition {
    /// Id of the movement.
    pub movement: String,
    /// Its sets after the addition.
    pub sets: i32,
    /// What would change; more points mean that it costs more than it brings.
    pub difference: Difference,
}

/// What stops more on a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stops {
    /// The day, counted from 0.
    pub day: usize,
    /// Limits with nothing left, the one that stops most first.
    pub limits: Vec<Stop>,
    /// Additions that all limits would allow.
    pub fitting: i32,
    /// The one of them that would cost least.
    pub cheapest: Option<Addition>,
}

impl Reasoner<'_> {
    /// What stops more, for each day.
    pub fn what_stops_more(&self) -> Vec<Stops> {
        (0..self.week.days.len()).map(|d| self.stops(d)).collect()
    }

    fn stops(&self, day: usize) -> Stops {
        let i = &self.case.instance;
        let slots = &self.week.days[day];
        let was = score(i, &self.week);
        let now = slack_of_day(i, day, slots);
        // For each limit: additions that draw on it, and those of them that it stops.
        let mut draws = vec![(0, 0); now.len()];
        let (mut additions, mut fitting) = (0, 0);
        let mut cheapest: Option<(i64, usize, i32)> = None;
        for (m, movement) in i.movements.iter().enumerate() {
            let sets = self.week.sets(day, m);
            let more = if sets == 0 { movement.sets_min } else { sets + 1 };
            if more > movement.sets_max || (sets == 0 && was.exposures[m] >= movement.exposures_max) {
                continue;
            }
            let mut week = self.week.clone();
            match week.days[day].iter_mut().find(|s| s.movement == m) {
                Some(line) => line.sets = more,
                None => week.days[day].push(Slot { movement: m, sets: more }),
            }
            additions += 1;
            for ((after, before), (drawn, stopped)) in
                slack_of_day(i, day, &week.days[day]).iter().zip(&now).zip(&mut draws)
            {
                if after.used - after.available > before.used - before.available {
                    *drawn += 1;
                    *stopped += i32::from(after.used > after.available);
                }
            }
            if broken_limits(i, &week).is_empty() {
                fitting += 1;
                let points = score(i, &week).total();
                if cheapest.is_none_or(|c| points < c.0) {
                    cheapest = Some((points, m, more));
                }
            }
        }
        let mut limits: Vec<Stop> = now
            .iter()
            .zip(&draws)
            .filter(|(_, (drawn, stopped))| *drawn > 0 && drawn == stopped)
            .map(|(slack, (_, stopped))| Stop {
                bound: Bound {
                    barrier: Barrier::of_limit(i, slack.limit, None),
                    used: slack.used,
                    available: slack.available,
                },
                stopped: *stopped,
                stops_all: *stopped == additions,
            })
            .collect();
        limits.sort_by(|a, b| b.stopped.cmp(&a.stopped).then_with(|| a.bound.barrier.cmp(&b.bound.barrier)));
        let cheapest = cheapest.map(|(_, m, sets)| {
            let mut week = self.week.clone();
            match week.days[day].iter_mut().find(|s| s.movement == m) {
                Some(line) => line.sets = sets,
                None => week.days[day].push(Slot { movement: m, sets }),
            }
            let difference = compare_scored(i, &self.week, &was, &week);
            Addition { movement: self.id(m), sets, difference }
        });
        Stops { day, limits, fitting, cheapest }
    }
}
