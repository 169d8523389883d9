//! Whether a movement has stopped gaining: a probability, with the evidence and the weeks still needed.
//!
//! Each day gives one index of strength: the logarithm of the maximum that the measured mean curve makes of
//! the day's telling set. What is the person's (their own curve, their bias) shifts every day alike and so
//! leaves the trend alone. The days of the last half year are read as a straight line, or as a line with one
//! bend some weeks ago; the answer is the probability that the slope today is below the smallest worthwhile,
//! over all these readings by their weight. Deloads, illness and pregnancy are left out, and a pause of four
//! weeks or more begins a new log: coming back is not a plateau.
//!
//! The smallest worthwhile gain, the priors and the mark at which a plateau is named are assumptions of ours
//! (our assumption), chosen on simulated lifters: `docs/findings.md` has the measured false alarms and the power.

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curve::CURVES_OF_PEOPLE;
use super::maximum::{Of, counts, near_enough, one_a_day};
use super::normal::{below, median};
use super::set::{SetDone, as_text};
use super::trend::{MannKendall, TheilSen, mann_kendall, theil_sen};

/// Weeks over which the smallest worthwhile gain is counted, and the trend told.
pub const WEEKS: u32 = 12;
/// The smallest worthwhile gain over [`WEEKS`], in per mille: half the test-retest spread of 4.2 % (Grgic et
/// al. 2020); less could not be told from a good day. (our assumption)
pub const SMALLEST_WORTHWHILE_PER_MILLE: u32 = 21;
/// The probability at which a plateau is named, in per mille. (our assumption)
pub const NAMED_PER_MILLE: u32 = 750;
const MARK: f64 = NAMED_PER_MILLE as f64 / 1000.0;
/// Weekly looks in a row that must reach it, since a look each week has many chances to be wrong. (our assumption)
pub const LOOKS: u64 = 3;
/// The probability below which a lifter is said to be gaining, in per mille. (our assumption)
pub const GAINING_PER_MILLE: u32 = 200;
/// Days with a usable set that are needed.
pub const DAYS_NEEDED: usize = 8;
/// Weeks that the log must span.
pub const SPAN_WEEKS: i64 = 6;
/// A pause of so many days begins a new log.
pub const PAUSE_DAYS: i64 = 28;

/// Sets of a day whose mean is taken: judging errors even out.
const SETS_A_DAY: usize = 3;
/// Weeks that are read.
const READ_WEEKS: u64 = 26;
/// Weeks ago at which the line may bend.
const BENDS: [f64; 6] = [4.0, 6.0, 8.0, 10.0, 12.0, 15.0];
/// The weight of all bends together.
const BENT: f64 = 0.3;
/// Gain for each week before any evidence: mean and spread of a line, and after a bend.
const STRAIGHT: (f64, f64) = (0.005, 0.006);
const AFTER: (f64, f64) = (0.0, 0.002);
/// Spread of a day's index before any evidence, and how many days that belief is worth.
const NOISE: (f64, f64) = (0.048, 8.0);

/// Why days are left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LeftOutFor {
    /// A lighter week by plan or by trigger.
    Deload,
    /// Illness.
    Illness,
    /// Pregnancy, or the time after a birth.
    Pregnancy,
    /// Something else that the lifter or the coach named, such as a flag or an operation.
    Other,
}

/// Days that are left out, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// The first.
    #[serde(serialize_with = "as_text")]
    pub from: NaiveDate,
    /// The last.
    #[serde(serialize_with = "as_text")]
    pub until: NaiveDate,
    /// Why.
    pub why: LeftOutFor,
}

/// One day's index of strength.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// The day.
    #[serde(serialize_with = "as_text")]
    pub day: NaiveDate,
    /// The natural logarithm of kilograms.
    pub log_kg: f64,
}

/// What is said of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Verdict {
    /// Gaining, as far as can be told.
    Gaining,
    /// A plateau is named.
    Plateau,
    /// Cannot tell yet.
    CannotTell {
        /// Weeks more at the present frequency after which a true plateau would be named; `None` when that
        /// would take more than half a year.
        weeks_needed: Option<u32>,
    },
    /// Too little to read.
    TooFew {
        /// Days there are since the last pause.
        have: u32,
        /// Days needed.
        need: u32,
        /// Weeks of log that are missing, at the least.
        weeks_needed: u32,
    },
}

/// How a movement stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Standing {
    /// What is said.
    pub verdict: Verdict,
    /// The probability that the slope is below the smallest worthwhile, in per mille; `None` when too few.
    pub flat_per_mille: Option<u32>,
    /// The smallest worthwhile gain over [`WEEKS`], in per mille.
    pub smallest_worthwhile_per_mille: u32,
    /// Days read.
    pub days: u32,
    /// The trend of the last [`WEEKS`] weeks in logarithm for each week (times 100: about per cent for each
    /// week), with a 95 % interval.
    pub slope: Option<TheilSen>,
    /// The Mann-Kendall test over the same days.
    pub test: Option<MannKendall>,
}

/// The index of each day, oldest first: the mean over the first sets at the day's heaviest load. Where at least half of the days report a reserve only those count;
/// else all are read as leaving a fixed number: a lifter who never says must not seem to gain by beginning to.
pub fn points(sets: &[SetDone], of: Of<'_>, left_out: &[LeftOut]) -> Vec<Point> {
    let Some(curves) = CURVES_OF_PEOPLE.as_ref() else { return Vec::new() };
    let out = |day: NaiveDate| left_out.iter().any(|span| (span.from..=span.until).contains(&day));
    let usable = |set: &&SetDone| {
        counts(set, of) && near_enough(set) && set.load.is_some_and(|m| !m.is_zero()) && !out(set.day)
    };
    let usable: Vec<&SetDone> = sets.iter().filter(usable).collect();
    let days = one_a_day(usable.clone());
    let said = days.iter().filter(|set| set.left().is_some()).count();
    let most_say = 2 * said >= days.len();
    let place = super::curve::PLACES.len() / 2;
    let index = |set: &SetDone| {
        // Under-predicted by about one (Halperin et al. 2022); two and a half left where none say.
        let left = if most_say { f64::from(set.left()?) + 0.95 } else { 2.5 };
        let (share, _) = curves.share(0, place, f64::from(set.reps) + left)?;
        Some(libm::log(set.load?.kilograms()) - share)
    };
    days.iter()
        .filter_map(|first| {
            let mut alike: Vec<&SetDone> =
                usable.iter().copied().filter(|set| set.day == first.day && set.load == first.load).collect();
            alike.sort_by_key(|set| (set.ended, set.reps));
            let indices: Vec<f64> = alike.into_iter().filter_map(index).take(SETS_A_DAY).collect();
            let mean = indices.iter().sum::<f64>() / indices.len() as f64;
            (!indices.is_empty()).then_some(Point { day: first.day, log_kg: mean })
        })
        .collect()
}

/// How the movement stands as of `today`, from [`points`] in the order of days; later ones are not read.
pub fn standing(points: &[Point], today: NaiveDate) -> Standing {
    let read = read(points, today);
    let recent: Vec<(f64, f64)> = read.iter().copied().filter(|p| p.0 > -f64::from(WEEKS)).collect();
    let mut standing = Standing {
        verdict: Verdict::Gaining,
        flat_per_mille: None,
        smallest_worthwhile_per_mille: SMALLEST_WORTHWHILE_PER_MILLE,
        days: read.len() as u32,
        slope: theil_sen(&recent, 0.95),
        test: mann_kendall(&recent.iter().map(|p| p.1).collect::<Vec<_>>()),
    };
    let Some(flat) = flat(&read) else {
        let span = read.first().map_or(0.0, |p| -p.0);
        standing.verdict = Verdict::TooFew {
            have: read.len() as u32,
            need: DAYS_NEEDED as u32,
            weeks_needed: libm::ceil((SPAN_WEEKS as f64 - span).max(1.0)) as u32,
        };
        return standing;
    };
    let per_mille = (flat * 1000.0) as u32;
    standing.flat_per_mille = Some(per_mille);
    standing.verdict = if is_named(points, today) {
        Verdict::Plateau
    } else if per_mille < GAINING_PER_MILLE {
        Verdict::Gaining
    } else {
        Verdict::CannotTell { weeks_needed: weeks_needed(&read) }
    };
    standing
}

/// Whether a plateau is named as of `today`: what [`standing`] says, without the rest.
pub fn is_named(points: &[Point], today: NaiveDate) -> bool {
    (0..LOOKS).all(|n| {
        let day = today.checked_sub_days(Days::new(7 * n));
        day.and_then(|day| flat(&read(points, day))).is_some_and(|p| p >= MARK)
    })
}

/// The points of the last half year since the last pause, as weeks before `today` and logarithm.
fn read(points: &[Point], today: NaiveDate) -> Vec<(f64, f64)> {
    let first = today.checked_sub_days(Days::new(7 * READ_WEEKS)).unwrap_or(today);
    let mut read: Vec<&Point> = points.iter().filter(|p| p.day > first && p.day <= today).collect();
    let pause = read.windows(2).rposition(|w| match w {
        [before, after] => (after.day - before.day).num_days() >= PAUSE_DAYS,
        _ => false,
    });
    if let Some(last_before) = pause {
        read.drain(..=last_before);
    }
    read.iter().map(|p| (-((today - p.day).num_days() as f64) / 7.0, p.log_kg)).collect()
}

/// Weeks of flat training, at the present frequency, until the mark would be reached for as many looks as are
/// needed.
fn weeks_needed(read: &[(f64, f64)]) -> Option<u32> {
    let recent: Vec<f64> = read.iter().filter(|p| p.0 > -8.0).map(|p| p.1).collect();
    let span = read.first().map_or(1.0, |p| -p.0).clamp(1.0, 8.0);
    let each_week = (recent.len() as f64 / span).clamp(0.5, 7.0);
    let level = median(recent.get(recent.len() / 2..)?)?;
    let mut run = 0;
    for weeks in 1..=READ_WEEKS as u32 {
        let ahead = f64::from(weeks);
        let mut later: Vec<(f64, f64)> =
            read.iter().map(|p| (p.0 - ahead, p.1)).filter(|p| p.0 > -(READ_WEEKS as f64)).collect();
        let more = libm::ceil(each_week * ahead) as u32;
        later.extend((0..more).map(|n| (-ahead + (f64::from(n) + 0.5) * ahead / f64::from(more), level)));
        run = if flat(&later).is_some_and(|p| p >= MARK) { run + 1 } else { 0 };
        if run >= LOOKS {
            return Some(weeks);
        }
    }
    None
}

/// The probability that the slope today is below the smallest worthwhile; `None` with too little to read.
fn flat(read: &[(f64, f64)]) -> Option<f64> {
    let span = -read.first()?.0;
    if read.len() < DAYS_NEEDED || span < SPAN_WEEKS as f64 - 1e-9 {
        return None;
    }
    let line = theil_sen(read, 0.5)?;
    let residual = |p: &(f64, f64)| p.1 - line.intercept - line.slope * p.0;
    let far: Vec<f64> = read.iter().map(|p| residual(p).abs()).collect();
    let seen = 1.4826 * median(&far)?;
    let n = read.len() as f64;
    let noise = libm::sqrt((NOISE.1 * NOISE.0 * NOISE.0 + n * seen * seen) / (NOISE.1 + n));
    // A slip of the pen must not bend the line: what lies beyond three spreads is brought to three.
    let tame: Vec<(f64, f64)> = read
        .iter()
        .map(|p| (p.0, line.intercept + line.slope * p.0 + residual(p).clamp(-3.0 * noise, 3.0 * noise)))
        .collect();
    let worthwhile = f64::from(SMALLEST_WORTHWHILE_PER_MILLE) / 1000.0 / f64::from(WEEKS);
    let mut readings = vec![(libm::log(1.0 - BENT), reading(&tame, None, noise)?)];
    for bend in BENDS.iter().filter(|bend| **bend + 3.0 < span) {
        readings.push((libm::log(BENT / BENDS.len() as f64), reading(&tame, Some(-bend), noise)?));
    }
    let top = readings.iter().map(|(prior, r)| prior + r.evidence).fold(f64::NEG_INFINITY, f64::max);
    let (mut whole, mut flat) = (0.0, 0.0);
    for (prior, reading) in readings {
        let weight = libm::exp(prior + reading.evidence - top);
        whole += weight;
        flat += weight * below((worthwhile - reading.slope) / reading.spread);
    }
    Some(flat / whole)
}

/// A reading of the days: the slope today with its spread, and how well it fits.
struct Reading {
    slope: f64,
    spread: f64,
    evidence: f64,
}

/// Linear regression with normal priors and known noise: a level, a slope before the bend and one after it.
fn reading(points: &[(f64, f64)], bend: Option<f64>, noise: f64) -> Option<Reading> {
    let middle = points.iter().map(|p| p.1).sum::<f64>() / points.len() as f64;
    let knot = bend.unwrap_or(0.0);
    // The level has a flat prior, near enough: a spread of one in logarithm.
    let priors = [(0.0, 1.0), STRAIGHT, AFTER];
    let mut a = [[0.0; 3]; 3];
    let mut right = [0.0; 3];
    let (mut squares, mut prior_logs) = (0.0, 0.0);
    for (i, (mean, spread)) in priors.iter().enumerate() {
        let precision = 1.0 / (spread * spread);
        a[i][i] = precision;
        right[i] = precision * mean;
        squares += precision * mean * mean;
        prior_logs += libm::log(precision);
    }
    for (x, y) in points {
        let row = [1.0, (x - knot).min(0.0), (x - knot).max(0.0)];
        let y = y - middle;
        for i in 0..3 {
            for j in 0..3 {
                a[i][j] += row[i] * row[j] / (noise * noise);
            }
            right[i] += row[i] * y / (noise * noise);
        }
        squares += y * y / (noise * noise);
    }
    let (inverse, determinant) = inverted(&a)?;
    let means: [f64; 3] = core::array::from_fn(|i| (0..3).map(|j| inverse[i][j] * right[j]).sum());
    let fitted: f64 = (0..3).map(|i| means[i] * right[i]).sum();
    let evidence = 0.5 * (prior_logs - libm::log(determinant)) - 0.5 * (squares - fitted);
    let now = if bend.is_some() { 2 } else { 1 };
    Some(Reading { slope: means[now], spread: libm::sqrt(inverse[now][now]), evidence })
}

/// The inverse and the determinant of a symmetric matrix; `None` when it has none.
fn inverted(a: &[[f64; 3]; 3]) -> Option<([[f64; 3]; 3], f64)> {
    let minor = |i: usize, j: usize| {
        let (r0, r1) = ((i + 1) % 3, (i + 2) % 3);
        let (c0, c1) = ((j + 1) % 3, (j + 2) % 3);
        a[r0][c0] * a[r1][c1] - a[r0][c1] * a[r1][c0]
    };
    let determinant: f64 = (0..3).map(|j| a[0][j] * minor(0, j)).sum();
    if determinant <= 0.0 || !determinant.is_finite() {
        return None;
    }
    Some((core::array::from_fn(|i| core::array::from_fn(|j| minor(j, i) / determinant)), determinant))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Mass;

    fn start() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 1, 5).expect("a date")
    }

    fn on(day: u64) -> NaiveDate {
        start() + Days::new(day)
    }

    /// Three days a week for so many weeks; a fixed ripple stands for good and bad days.
    fn log(weeks: u64, gain: impl Fn(f64) -> f64) -> Vec<Point> {
        let ripple = [0.03, -0.02, 0.0, -0.03, 0.02, 0.01, -0.01];
        (0..weeks * 3)
            .map(|n| {
                let day = n / 3 * 7 + n % 3 * 2;
                let log_kg = 4.6 + gain(day as f64 / 7.0) + ripple[n as usize % ripple.len()];
                Point { day: on(day), log_kg }
            })
            .collect()
    }

    #[test]
    fn a_gain_is_called_a_gain_and_a_standstill_a_plateau() {
        let gaining = standing(&log(24, |w| 0.01 * w), on(24 * 7));
        assert_eq!(gaining.verdict, Verdict::Gaining, "{:?}", gaining.flat_per_mille);
        let stuck = standing(&log(26, |w| 0.01 * w.min(13.0)), on(26 * 7));
        assert_eq!(stuck.verdict, Verdict::Plateau, "{:?}", stuck.flat_per_mille);
        assert!(stuck.slope.is_some_and(|s| s.low <= 0.0 && s.high >= 0.0));
    }

    #[test]
    fn too_little_says_what_is_missing() {
        let few = standing(&log(2, |_| 0.0), on(14));
        assert_eq!(few.verdict, Verdict::TooFew { have: 6, need: 8, weeks_needed: 4 });
        let none = standing(&[], on(0));
        assert_eq!(none.verdict, Verdict::TooFew { have: 0, need: 8, weeks_needed: 6 });
        assert!(none.flat_per_mille.is_none());
    }

    #[test]
    fn a_short_flat_log_says_the_weeks_still_needed() {
        let standing = standing(&log(7, |_| 0.0), on(49));
        let Verdict::CannotTell { weeks_needed: Some(weeks) } = standing.verdict else {
            panic!("{standing:?}");
        };
        assert!((2..=26).contains(&weeks), "{weeks}");
    }

    #[test]
    fn a_long_pause_begins_anew() {
        let mut points = log(12, |w| 0.01 * w);
        points.extend(log(2, |_| 0.0).iter().map(|p| Point { day: p.day + Days::new(140), ..*p }));
        assert!(matches!(standing(&points, on(154)).verdict, Verdict::TooFew { have: 6, .. }));
    }

    #[test]
    fn what_is_left_out_does_not_count() {
        let set = |day: u64, kg: u32| SetDone::new("row", on(day), Mass::grams(kg * 1000), 5, Some(2));
        let sets = [set(0, 100), set(3, 60), set(7, 101)];
        let of = Of { movement: "row", side: None };
        let deload = LeftOut { from: on(2), until: on(4), why: LeftOutFor::Deload };
        let days: Vec<NaiveDate> = points(&sets, of, &[deload]).iter().map(|p| p.day).collect();
        assert_eq!(days, [on(0), on(7)]);
        assert_eq!(points(&sets, of, &[]).len(), 3);
    }

    #[test]
    fn beginning_to_report_is_no_gain() {
        let of = Of { movement: "row", side: None };
        let sets: Vec<SetDone> = (0..10)
            .map(|n| SetDone::new("row", on(n), Mass::grams(100_000), 5, (n >= 6).then_some(0)))
            .collect();
        let points = points(&sets, of, &[]);
        assert!(points.windows(2).all(|w| (w[0].log_kg - w[1].log_kg).abs() < 1e-12));
    }
}
