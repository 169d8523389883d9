//! How long to rest, and how much of it is left.

use super::house::House;
use super::next::Next;
use super::state::{Line, Purpose, Rest, RestFrom, State};
use crate::catalogue::{Movement, Tier};
use crate::moment::Moment;
use crate::plan::brief::Goal;
use crate::terms::floor_of_rest_s;
use serde::Deserialize;
use std::sync::LazyLock;

/// Rest between two ramp sets, seconds (common practice, no source; the minute or two of the textbook's test
/// protocol is for a maximum).
pub(super) const RAMP_S: i32 = 40;
/// Rest after the last ramp set, seconds (common practice, no source).
pub(super) const LAST_RAMP_S: i32 = 60;
/// What *Longer* adds, seconds.
pub const LONGER_S: i32 = 30;
/// The longest rest that can be asked for, seconds.
pub const MOST_S: i32 = 1800;

const TABLE: &str = include_str!("../../data/tables/rest.csv");

#[derive(Debug, Deserialize)]
struct Row {
    goal: String,
    work: String,
    rest_s: i32,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    let mut reader = csv::Reader::from_reader(TABLE.as_bytes());
    // A row that does not read is left out; a test counts them.
    reader.deserialize().filter_map(Result::ok).collect()
});

/// Rest by movement, effort and goal from published guidance (`rest.csv`), blended by the parts of the goal and
/// rounded down to five seconds, never under the floor.
pub fn guidance_s(movement: &Movement, heavy: bool, goal: Goal) -> i32 {
    let work = match movement.tier {
        Tier::Main | Tier::Compound if heavy => "heavy_compound",
        Tier::Main | Tier::Compound => "compound",
        Tier::SingleJoint => "single_joint",
        Tier::Trunk => "trunk",
    };
    let of = |goal: &str| {
        i64::from(ROWS.iter().find(|r| r.goal == goal && r.work == work).map_or(120, |r| r.rest_s))
    };
    let parts = [("strength", goal.strength), ("size", goal.size), ("health", goal.health)];
    let total: i64 = parts.iter().map(|(_, p)| i64::from((*p).min(100))).sum();
    let sum: i64 = parts.iter().map(|(g, p)| of(g) * i64::from((*p).min(100))).sum();
    let blended = if total == 0 { of("health") } else { sum / total };
    (blended as i32 / 5 * 5).max(floor_of_rest_s(heavy))
}

/// The rest after a set: the lifter's own, else what was learned, else the programme's, else the guidance; the
/// floor stands above each.
pub(super) fn rest_of(
    house: &House<'_>,
    movement: &Movement,
    heavy: bool,
    programme: Option<i32>,
) -> (i32, RestFrom) {
    let own = house.rests.get(&movement.id).map(|s| (*s, RestFrom::Own));
    let learned = house.learned_rests.get(&movement.id).map(|s| (*s, RestFrom::Learned));
    let programme = programme.map(|s| (s, RestFrom::Programme));
    let guidance = || (guidance_s(movement, heavy, house.brief.goal), RestFrom::Guidance);
    let (seconds, from) = own.or(learned).or(programme).unwrap_or_else(guidance);
    let floor = floor_of_rest_s(heavy);
    if seconds < floor { (floor, RestFrom::Floor) } else { (seconds.min(MOST_S), from) }
}

impl Rest {
    /// Milliseconds left; nought when it is over.
    pub(super) fn left_ms(&self, now: &Moment) -> i64 {
        let whole = i64::from(self.seconds) * 1000;
        if self.ready.is_some() { 0 } else { (whole - now.since(&self.began)).clamp(0, whole) }
    }
}

impl State {
    /// The rest that is running.
    pub(super) fn resting(&self, now: &Moment) -> Option<&Rest> {
        self.rest.as_ref().filter(|r| r.left_ms(now) > 0)
    }

    /// The longest rest of the session, seconds.
    pub(super) fn longest_rest_s(&self) -> i32 {
        let lines = self.lines.iter().map(|l| l.rest_s).max().unwrap_or(0);
        lines.max(self.rest.as_ref().map_or(0, |r| r.seconds)).max(180)
    }
}

/// The rest between a set of `done` that ended at `ended` and the step `next`.
pub(super) fn rest_before(
    state: &State,
    house: &House<'_>,
    done: Next,
    next: Next,
    ended: &Moment,
) -> Option<Rest> {
    let line = |k: usize| state.lines.get(k);
    let after = done.line().and_then(line)?;
    let floor = |l: &Line| floor_of_rest_s(l.heavy);
    let rest =
        |seconds: i32, from, floor_s| Rest { began: ended.clone(), seconds, from, floor_s, ready: None };
    Some(match (done, next) {
        (_, Next::Nothing | Next::WarmUp(_)) => return None,
        (Next::Ramp { line: a, .. }, Next::Ramp { line: b, .. }) if a == b => {
            rest(RAMP_S, RestFrom::Ramp, RAMP_S)
        }
        (Next::Ramp { .. }, _) => rest(LAST_RAMP_S, RestFrom::Ramp, LAST_RAMP_S),
        (Next::Find { .. }, _) => {
            let seconds = match &after.loading {
                super::state::Loading::Find { first, .. } => first.rest_s as i32,
                _ => after.rest_s,
            };
            rest(seconds.clamp(RAMP_S, MOST_S), RestFrom::Search, RAMP_S)
        }
        (Next::Work { line: a, .. }, Next::Work { line: b, pair: Some(_) }) if a != b => {
            // In turn: the next movement has rested since its own last set; places must be changed.
            let of_next = line(b)?;
            let own = state.standing().filter(|s| s.line == b && s.purpose == Purpose::Working).last();
            let gone = own.map(|s| ended.since(&s.ended) / 1000);
            let due = gone.map_or(0, |g| (i64::from(of_next.rest_s) - g).max(0));
            let change = house.weights.pair_change_s();
            rest((due as i32).max(change).min(MOST_S), RestFrom::InTurn, change)
        }
        _ => rest(after.rest_s, after.rest_from, floor(after)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    fn at(wall_ms: i64, monotonic_ms: u64, boot: &str) -> Moment {
        Moment { wall_ms, offset_min: 0, monotonic_ms, boot: boot.into() }
    }

    #[test]
    fn every_goal_and_kind_of_work_has_its_row_within_its_guidance() {
        assert_eq!(ROWS.len(), 12, "every row of rest.csv reads");
        let rest = |goal: &str, work: &str| {
            ROWS.iter().find(|r| r.goal == goal && r.work == work).map_or(0, |r| r.rest_s)
        };
        // ACSM 2009 (seen as a reproduction of its tables): core at least 2-3 min, assistance 1-2 min.
        assert!(rest("strength", "heavy_compound") >= 120 && rest("strength", "heavy_compound") <= 300);
        assert!((60..=120).contains(&rest("strength", "single_joint")));
        // Schoenfeld 2016 (seen: abstract): 3 min gave more than 1 min; Grgic 2017: both work.
        assert!((60..=180).contains(&rest("size", "compound")));
        for row in ROWS.iter() {
            assert!(row.rest_s >= floor_of_rest_s(row.work == "heavy_compound"), "{row:?}");
        }
    }

    #[test]
    fn guidance_is_blended_by_the_goal_and_never_under_the_floor() {
        let catalogue = Catalogue::builtin().unwrap();
        let squat = catalogue.movement("barbell_back_squat").unwrap();
        let goal = |strength, size, health| Goal { strength, size, health };
        assert_eq!(guidance_s(squat, true, goal(1, 0, 0)), 180);
        assert_eq!(guidance_s(squat, true, goal(1, 1, 0)), 165);
        assert_eq!(guidance_s(squat, false, goal(0, 0, 1)), 90);
        assert_eq!(guidance_s(squat, true, goal(0, 0, 0)), 120, "no goal is taken as health");
    }

    #[test]
    fn a_rest_is_never_longer_than_it_was_set_and_ends_once() {
        let rest =
            Rest { began: at(1000, 1000, "a"), seconds: 60, from: RestFrom::Own, floor_s: 60, ready: None };
        assert_eq!(rest.left_ms(&at(99, 31_000, "a")), 30_000, "the wall clock does not matter in one boot");
        assert_eq!(rest.left_ms(&at(i64::MIN, 5, "b")), 60_000);
        assert_eq!(rest.left_ms(&at(i64::MAX, 5, "b")), 0);
    }
}
