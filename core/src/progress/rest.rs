//! Rest and seconds for each set, learned from the lifter's own log.
//!
//! Two sets in a row at one load tell how many repetitions were lost after the rest between them. The loss is
//! read as a line in the logarithm of the rest (Bayesian, with a weak prior that longer rest loses less), and
//! the answer is the shortest rest, within those that were really taken, that keeps the repetitions wanted
//! with a probability of 80 %. A floor that is handed in is never undercut. The method is ours (our assumption); that short
//! rest costs repetitions and strength is published (Schoenfeld et al. 2016, Grgic et al. 2018, seen:
//! abstracts).

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::maximum::{Of, counts};
use super::normal::{below, median};
use super::set::SetDone;

/// The probability with which the repetitions are to be kept, in per mille.
pub const KEPT_PER_MILLE: u32 = 800;
/// Pairs of sets that are needed.
pub const PAIRS_NEEDED: usize = 12;
/// The longest rest taken must be so many times the shortest, in per mille: else nothing tells them apart.
pub const SPREAD_PER_MILLE: u32 = 1_500;
/// The most pairs that are read, newest first.
pub const MOST_PAIRS: usize = 60;
/// Rests are told in steps of so many seconds.
pub const STEP_S: u32 = 15;
/// Rests outside these, in seconds, are pauses or slips and are not read.
pub const REST_READ_S: (u32, u32) = (20, 600);
/// Seconds of a repetition, where a set was not timed (common practice, no source).
const REPETITION_S: i64 = 3;
/// Sets that are needed to learn their seconds.
pub const SETS_NEEDED: usize = 6;
/// Seconds that a set may take, to be read.
pub const SET_READ_S: (i64, i64) = (4, 300);

/// Repetitions lost for each e-fold less rest, before any evidence: mean and spread.
const SLOPE: (f64, f64) = (1.0, 1.5);

/// A learned rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LearnedRest {
    /// The rest, in seconds.
    pub rest_s: u32,
    /// The probability with which it keeps the repetitions wanted, in per mille.
    pub kept_per_mille: u32,
    /// Pairs of sets that it rests on.
    pub pairs: u32,
    /// Whether the floor holds it up: the lifter would need less.
    pub at_floor: bool,
}

/// What a set is wanted to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Repetitions of the first set.
    pub reps: u32,
    /// The reserve that it leaves.
    pub reserve: u32,
    /// The fewest repetitions that the next set must still reach.
    pub low: u32,
    /// The floor of rest, in seconds.
    pub floor_s: u32,
}

/// The shortest rest that keeps the repetitions; `None` when the data are too few or too alike, or when even
/// the longest rest taken does not keep them.
pub fn learned_rest(sets: &[SetDone], of: Of<'_>, wanted: Wanted) -> Option<LearnedRest> {
    let pairs = pairs(sets, of);
    let (shortest, longest) = (pairs.iter().map(|p| p.0).min()?, pairs.iter().map(|p| p.0).max()?);
    let apart = u64::from(longest) * 1000 >= u64::from(shortest) * u64::from(SPREAD_PER_MILLE);
    if pairs.len() < PAIRS_NEEDED || !apart {
        return None;
    }
    let line = Line::through(&pairs)?;
    let allowed = f64::from(wanted.reps) + f64::from(wanted.reserve) - f64::from(wanted.low);
    let kept = |rest_s: u32| line.at_most(rest_s, allowed);
    let mark = f64::from(KEPT_PER_MILLE) / 1000.0;
    let first = shortest.div_ceil(STEP_S) * STEP_S;
    let found = (first..=longest).step_by(STEP_S as usize).find(|rest| kept(*rest) >= mark)?;
    let rest_s = found.max(wanted.floor_s);
    Some(LearnedRest {
        rest_s,
        kept_per_mille: (kept(rest_s) * 1000.0) as u32,
        pairs: pairs.len() as u32,
        at_floor: wanted.floor_s > found,
    })
}

/// Rest in seconds and repetitions lost, for pairs of sets in a row of one session at one load whose reserve is
/// known in both, newest first.
fn pairs(sets: &[SetDone], of: Of<'_>) -> Vec<(u32, f64)> {
    let mut all: Vec<&SetDone> = sets.iter().filter(|s| counts(s, of)).collect();
    all.sort_by_key(|s| (s.day, s.ended));
    let able = |s: &SetDone| s.left().map(|left| f64::from(s.reps) + f64::from(left));
    all.windows(2)
        .rev()
        .filter_map(|w| {
            let [first, then] = w else { return None };
            let alike = first.day == then.day
                && first.session == then.session
                && first.side == then.side
                && first.load == then.load
                && first.load.is_some();
            let rest = taken(first, then).filter(|rest| (REST_READ_S.0..=REST_READ_S.1).contains(rest))?;
            alike.then_some((rest, able(first)? - able(then)?))
        })
        .take(MOST_PAIRS)
        .collect()
}

/// The rest between two sets, in seconds: as it was timed, else from one end to the next without the work.
fn taken(first: &SetDone, then: &SetDone) -> Option<u32> {
    let untimed = || {
        let apart_s = (then.ended - first.ended) / 1000;
        u32::try_from(apart_s - i64::from(then.reps) * REPETITION_S).ok()
    };
    then.rest_s.or_else(untimed)
}

/// Repetitions lost as a line in the logarithm of the rest, with what is uncertain about it.
struct Line {
    middle: f64,
    level: f64,
    level_variance: f64,
    slope: f64,
    slope_variance: f64,
    noise: f64,
}

impl Line {
    fn through(pairs: &[(u32, f64)]) -> Option<Self> {
        let n = pairs.len() as f64;
        let xs: Vec<f64> = pairs.iter().map(|p| -libm::log(f64::from(p.0))).collect();
        let middle = xs.iter().sum::<f64>() / n;
        let level = pairs.iter().map(|p| p.1).sum::<f64>() / n;
        let squares: f64 = xs.iter().map(|x| (x - middle) * (x - middle)).sum();
        let products: f64 = xs.iter().zip(pairs).map(|(x, p)| (x - middle) * (p.1 - level)).sum();
        if squares <= 0.0 {
            return None;
        }
        let plain = products / squares;
        let residuals: f64 = xs
            .iter()
            .zip(pairs)
            .map(|(x, p)| {
                let off = p.1 - level - plain * (x - middle);
                off * off
            })
            .sum();
        // Judging alone is off by about one repetition in each of the two sets: never less than half of one.
        let noise = libm::sqrt((residuals / (n - 2.0)).max(0.25));
        let precision = squares / (noise * noise) + 1.0 / (SLOPE.1 * SLOPE.1);
        let slope = (products / (noise * noise) + SLOPE.0 / (SLOPE.1 * SLOPE.1)) / precision;
        // More rest never loses more.
        Some(Self {
            middle,
            level,
            level_variance: noise * noise / n,
            slope: slope.max(0.0),
            slope_variance: 1.0 / precision,
            noise,
        })
    }

    /// The probability that no more than `allowed` repetitions are lost after a rest. Repetitions are whole, so
    /// half of one is added.
    fn at_most(&self, rest_s: u32, allowed: f64) -> f64 {
        let x = -libm::log(f64::from(rest_s.max(1))) - self.middle;
        let variance = self.noise * self.noise + self.level_variance + x * x * self.slope_variance;
        below((allowed + 0.5 - self.level - self.slope * x) / libm::sqrt(variance))
    }
}

/// Seconds that a set takes, learned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LearnedSeconds {
    /// Tenths of a second for each repetition, the middle of the sets read.
    pub per_rep_tenths: u32,
    /// Sets that it rests on.
    pub sets: u32,
}

impl LearnedSeconds {
    /// Seconds of a set of so many repetitions, rounded up.
    pub const fn of_set(&self, reps: u32) -> u32 {
        self.per_rep_tenths.saturating_mul(reps).div_ceil(10)
    }
}

/// Seconds for each repetition from sets whose beginning and end were logged; `None` with fewer than six.
pub fn learned_seconds(sets: &[SetDone], of: Of<'_>) -> Option<LearnedSeconds> {
    let each: Vec<f64> = sets
        .iter()
        .filter(|s| counts(s, of))
        .filter_map(|s| {
            let tenths = s.ended.checked_sub(s.started?)? / 100;
            let read = (SET_READ_S.0 * 10..=SET_READ_S.1 * 10).contains(&tenths);
            read.then_some(tenths as f64 / f64::from(s.reps))
        })
        .collect();
    if each.len() < SETS_NEEDED {
        return None;
    }
    Some(LearnedSeconds { per_rep_tenths: libm::ceil(median(&each)?) as u32, sets: each.len() as u32 })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Mass;
    use chrono::{Days, NaiveDate};

    const OF: Of<'static> = Of { movement: "squat", side: None };
    const WANTED: Wanted = Wanted { reps: 8, reserve: 2, low: 8, floor_s: 60 };

    /// Sessions of two sets; the rest between them and the repetitions lost by it.
    fn log(pairs: &[(u32, u32)]) -> Vec<SetDone> {
        let first = NaiveDate::from_ymd_opt(2026, 1, 5).expect("a date");
        (0..)
            .zip(pairs)
            .flat_map(|(n, (rest, lost))| {
                let set = SetDone::new("squat", first + Days::new(n * 3), Mass::grams(100_000), 8, Some(4));
                let then = SetDone {
                    reserve: Some(4 - lost),
                    rest_s: Some(*rest),
                    ended: set.ended + i64::from(*rest) * 1000,
                    ..set.clone()
                };
                [set, then]
            })
            .collect()
    }

    /// A lifter who loses four after a minute, two after two minutes, one after three, none after five.
    fn fast_fader() -> Vec<SetDone> {
        let each = [(60, 4), (90, 3), (120, 2), (180, 1), (300, 0), (240, 0)];
        log(&each.repeat(3))
    }

    #[test]
    fn the_shortest_rest_that_keeps_the_repetitions() {
        let learned = learned_rest(&fast_fader(), OF, WANTED).expect("told");
        assert!((105..=180).contains(&learned.rest_s), "{learned:?}");
        assert!(learned.kept_per_mille >= KEPT_PER_MILLE && !learned.at_floor && learned.pairs == 18);
        let easier = learned_rest(&fast_fader(), OF, Wanted { reserve: 4, ..WANTED }).expect("told");
        let harder = learned_rest(&fast_fader(), OF, Wanted { reserve: 1, ..WANTED }).expect("told");
        assert!(easier.rest_s < learned.rest_s && learned.rest_s < harder.rest_s);
    }

    #[test]
    fn the_floor_is_never_undercut() {
        let tireless = log(&[(60, 0), (90, 0), (120, 0), (180, 0)].repeat(4));
        let learned = learned_rest(&tireless, OF, Wanted { floor_s: 120, ..WANTED }).expect("told");
        assert_eq!((learned.rest_s, learned.at_floor), (120, true));
    }

    #[test]
    fn too_little_or_too_alike_tells_nothing() {
        assert_eq!(learned_rest(&[], OF, WANTED), None);
        assert_eq!(learned_rest(&log(&[(60, 2), (180, 0)].repeat(5)), OF, WANTED), None, "ten pairs");
        assert_eq!(learned_rest(&log(&[(120, 1); 20]), OF, WANTED), None, "one rest only");
        let untold: Vec<SetDone> = fast_fader().into_iter().map(|s| SetDone { reserve: None, ..s }).collect();
        assert_eq!(learned_rest(&untold, OF, WANTED), None, "not reported is not nought");
        let never = log(&[(60, 4), (120, 4), (240, 4)].repeat(6));
        assert_eq!(
            learned_rest(&never, OF, Wanted { reserve: 0, ..WANTED }),
            None,
            "no rest taken keeps them"
        );
    }

    #[test]
    fn seconds_are_the_middle_of_what_was_timed() {
        let timed = |seconds: i64| {
            let mut set = log(&[(60, 0)]).remove(0);
            set.started = Some(set.ended - seconds * 1000);
            set
        };
        let sets: Vec<SetDone> = [24, 24, 26, 28, 22, 24, 3_000].map(timed).to_vec();
        let learned = learned_seconds(&sets, OF).expect("six are read, the forgotten one is not");
        assert_eq!((learned.per_rep_tenths, learned.sets, learned.of_set(5)), (30, 6, 15));
        assert_eq!(learned_seconds(&sets[..5], OF), None);
    }
}
