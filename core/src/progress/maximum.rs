//! The estimated one-repetition maximum of a movement, with an interval that holds.
//!
//! The answer is a mixture. Each way the lifter may be is a cell: which published curve holds, the lifter's
//! place among people on it (`curve.rs`), how far they misjudge what they have left, and how much they
//! leave when they do not say. In a cell every day's set gives the logarithm of a maximum with a normal
//! error, and the days are combined by their precision; cells are weighed by their prior weight and by how
//! well their days agree. All that belongs to the person is the cell's, and so common to all days: more sets
//! narrow the interval only by what varies from day to day.
//!
//! What goes in, with sources as in `docs/findings.md`: the test-retest spread of 4.2 % (Grgic et al. 2020,
//! seen: quoted); the reserve under-predicted by 0.95 repetitions on average, less near failure (Halperin et
//! al. 2022, seen: abstract); an error of about one repetition with up to five left and of more than two with
//! seven or more (Hackett et al. 2017, seen: abstract); the spread between people (Nuzzo et al. 2024).
//! A reserve that was *not reported* is neither nought nor the target: what was done bounds the maximum from
//! below, and nought to six left are weighed by [`UNSAID`], which is an assumption of ours.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curve::{CURVES, CURVES_OF_PEOPLE, Curves, MEASURED_WEIGHT, PLACES};
use super::normal::below;
use super::set::{Measure, Outcome, SetDone, Side};
use crate::load::equations::{Estimates, estimates};
use crate::load::mass::{HEAVIEST, Mass, PER_KILOGRAM, Unit};

/// Days that a set counts toward the estimate. (our assumption)
pub const WINDOW_DAYS: i64 = 28;
/// Days with a usable set that are needed.
pub const DAYS_NEEDED: u32 = 2;
/// The most days that are combined, newest first.
pub const MOST_DAYS: usize = 12;
/// The most repetitions, those left included, from which a maximum is estimated: the reach of the tables.
pub const MOST_REPS: u32 = 15;
/// The largest reported reserve that is used: beyond it errors exceed two repetitions (Hackett et al. 2017).
pub const MOST_RESERVE: u32 = 6;
/// The probability that the interval is meant to hold, in per cent.
pub const COVERAGE_PERCENT: u32 = 80;
/// The widest interval told, as high over low in per mille; beyond it the answer is "cannot tell yet". (our assumption)
pub const WIDEST_PER_MILLE: u32 = 1_600;

/// Spread of a maximum from day to day, as a share (Grgic et al. 2020).
const DAY: f64 = 0.042;
/// Drift for each week of age, as a share. (our assumption)
const WEEKLY_DRIFT: f64 = 0.008;
/// Repetitions by which the reserve is under-predicted (Halperin et al. 2022), and its spread between
/// people: about twice the standard error of the mean. (our assumption)
const BIAS: (f64, f64) = (0.95, 0.8);
/// Places of the bias in standard deviations of it.
const BIASES: [f64; 5] = [-1.6, -0.8, 0.0, 0.8, 1.6];
/// Weights of nought to six repetitions left, for a lifter who does not say. (our assumption)
pub const UNSAID: [f64; 7] = [0.12, 0.18, 0.20, 0.18, 0.14, 0.10, 0.08];
/// How an unsaid reserve varies from day to day, in repetitions. (our assumption)
const UNSAID_SPREAD: f64 = 1.2;
/// Cells below this share of the whole are dropped: together far less than a tenth of a per cent matters.
const LEAST_CELL: f64 = 2e-4;

/// What is known of the reserve in the sets used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReserveKnown {
    /// Every set's reserve was reported, or the set was missed.
    Reported,
    /// Some were.
    Partly,
    /// None was: the low end rests on what was done, the high end on an assumption.
    NotReported,
}

/// A set that the estimate rests on, one for each day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Basis {
    /// The day.
    #[serde(serialize_with = "super::set::as_text")]
    pub day: NaiveDate,
    /// When it ended, in milliseconds since 1970, UTC: finds the entry.
    pub ended: i64,
    /// What was moved.
    pub load: Mass,
    /// Repetitions.
    pub reps: u32,
    /// Repetitions left; `None` is not reported.
    pub reserve: Option<u32>,
}

/// An estimated one-repetition maximum.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Maximum {
    /// The low end: one in ten lies below.
    pub low: Mass,
    /// The middle: as likely above as below.
    pub middle: Mass,
    /// The high end: one in ten lies above.
    pub high: Mass,
    /// The probability that the interval is meant to hold, in per cent.
    pub coverage_percent: u32,
    /// What is known of the reserve.
    pub reserve: ReserveKnown,
    /// The sets used, newest first, one for each day.
    pub basis: Vec<Basis>,
    /// What the equations say of the newest set read plainly (repetitions and reported reserve as repetitions
    /// to failure): how far they disagree. `None` when its reserve is not reported.
    pub equations: Option<Estimates>,
}

/// Why no maximum can be told yet, and what is needed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum NotYet {
    /// No working set of repetitions in the window.
    NoSet {
        /// The window, in days.
        window_days: u32,
    },
    /// Sets there are, but their loads have no number (bands, or no body mass known for that time).
    NoLoad,
    /// Every set had too many repetitions or too many left.
    TooFarFromFailure {
        /// The most repetitions, those left included.
        most_reps: u32,
        /// The most left.
        most_reserve: u32,
    },
    /// Too few days.
    FewDays {
        /// Days there are.
        have: u32,
        /// Days needed.
        need: u32,
    },
    /// The interval would be too wide to be of use; sets with fewer repetitions and a reported reserve narrow
    /// it.
    TooWide {
        /// High over low, in per mille.
        per_mille: u32,
        /// The widest told.
        widest_per_mille: u32,
    },
    /// The built-in tables are damaged.
    Tables,
}

/// Which sets an estimate is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Of<'a> {
    /// Id of the movement.
    pub movement: &'a str,
    /// One side only; `None` takes the sets without a side as well as both sides.
    pub side: Option<Side>,
}

/// The estimated maximum as of `today` from the sets of the last [`WINDOW_DAYS`].
///
/// Of each day one set counts: the heaviest load's first with a reported reserve, or its first. Later sets
/// are fatigued, and the best of several would be flattered by chance.
///
/// # Errors
/// [`NotYet`] says what is needed.
pub fn estimate(sets: &[SetDone], of: Of<'_>, today: NaiveDate) -> Result<Maximum, NotYet> {
    let curves = CURVES_OF_PEOPLE.as_ref().ok_or(NotYet::Tables)?;
    let days = telling_sets(sets, of, today)?;
    let have = days.len() as u32;
    if have < DAYS_NEEDED {
        return Err(NotYet::FewDays { have, need: DAYS_NEEDED });
    }
    let told: Vec<Told> = days.iter().map(|set| Told::of(set, today)).collect();
    let cells = cells(curves, &told);
    let unit = days.first().and_then(|s| s.load).map_or(Unit::Kilogram, |m| m.unit());
    let at = |p: f64| mass(quantile(&cells, p), unit);
    let tail = (100 - COVERAGE_PERCENT) as f64 / 200.0;
    let (low, middle, high) = (at(tail), at(0.5), at(1.0 - tail));
    let per_mille =
        if low.is_zero() { u32::MAX } else { (high.amount() / (low.amount() / 1000).max(1)) as u32 };
    if per_mille > WIDEST_PER_MILLE {
        return Err(NotYet::TooWide { per_mille, widest_per_mille: WIDEST_PER_MILLE });
    }
    let said = told.iter().filter(|t| t.reserve.is_some()).count();
    let basis: Vec<Basis> = days.iter().filter_map(|set| Basis::of(set)).collect();
    let equations = basis.first().and_then(|b| estimates(&b.load, b.reps.saturating_add(b.reserve?)).ok());
    Ok(Maximum {
        low,
        middle,
        high,
        coverage_percent: COVERAGE_PERCENT,
        reserve: match said {
            0 => ReserveKnown::NotReported,
            n if n == told.len() => ReserveKnown::Reported,
            _ => ReserveKnown::Partly,
        },
        basis,
        equations,
    })
}

impl Basis {
    fn of(set: &SetDone) -> Option<Self> {
        Some(Self { day: set.day, ended: set.ended, load: set.load?, reps: set.reps, reserve: set.left() })
    }
}

/// The set of each day that tells most, newest first.
pub(super) fn telling_sets<'a>(
    sets: &'a [SetDone],
    of: Of<'_>,
    today: NaiveDate,
) -> Result<Vec<&'a SetDone>, NotYet> {
    let window = WINDOW_DAYS as u32;
    let in_window = |set: &&SetDone| {
        let age = (today - set.day).num_days();
        (0..WINDOW_DAYS).contains(&age) && counts(set, of)
    };
    let mut all: Vec<&SetDone> = sets.iter().filter(in_window).collect();
    if all.is_empty() {
        return Err(NotYet::NoSet { window_days: window });
    }
    all.retain(|set| set.load.is_some_and(|load| !load.is_zero()));
    if all.is_empty() {
        return Err(NotYet::NoLoad);
    }
    all.retain(|set| near_enough(set));
    if all.is_empty() {
        return Err(NotYet::TooFarFromFailure { most_reps: MOST_REPS, most_reserve: MOST_RESERVE });
    }
    Ok(one_a_day(all).into_iter().rev().take(MOST_DAYS).collect())
}

/// Whether a set is one of these, and a working set of repetitions.
pub(super) fn counts(set: &SetDone, of: Of<'_>) -> bool {
    set.movement == of.movement
        && set.working
        && set.measure == Measure::Repetitions
        && set.reps > 0
        && (of.side.is_none() || set.side == of.side)
}

/// Whether repetitions and reserve lie within the reach of the tables.
pub(super) fn near_enough(set: &SetDone) -> bool {
    let left = set.left().unwrap_or(0);
    left <= MOST_RESERVE && set.reps.saturating_add(left) <= MOST_REPS
}

/// The telling set of each day, oldest day first.
pub(super) fn one_a_day(mut sets: Vec<&SetDone>) -> Vec<&SetDone> {
    let key = |s: &&SetDone| (s.day, std::cmp::Reverse(s.load), s.left().is_none(), s.ended, s.reps);
    sets.sort_by_key(key);
    sets.dedup_by_key(|set| set.day);
    sets
}

/// A day's set as the cells read it.
struct Told {
    log_load: f64,
    reps: f64,
    reserve: Option<f64>,
    missed: bool,
    weeks: f64,
}

impl Told {
    fn of(set: &SetDone, today: NaiveDate) -> Self {
        Self {
            log_load: libm::log(set.load.map_or(1.0, |m| m.kilograms())),
            reps: f64::from(set.reps),
            reserve: set.left().map(f64::from),
            missed: set.outcome == Outcome::Missed,
            weeks: (today - set.day).num_days() as f64 / 7.0,
        }
    }

    /// Repetitions to failure and their spread, for a bias in repetitions and an unsaid reserve.
    fn to_failure(&self, bias: f64, unsaid: f64) -> (f64, f64) {
        match self.reserve {
            _ if self.missed => (self.reps, 0.3),
            None => (self.reps + unsaid, UNSAID_SPREAD),
            Some(told) => {
                // Judged better near failure, and better with fewer than twelve repetitions (Halperin et al.).
                let share = if told < 0.5 {
                    0.5
                } else if told < 1.5 {
                    0.8
                } else {
                    1.0
                };
                let far = if told <= 4.0 { 1.0 } else { 1.0 + 0.4 * (told - 4.0) };
                let many = if self.reps >= 12.0 { 1.3 } else { 1.0 };
                let spread = if told < 0.5 { 0.7 } else { far * many };
                (self.reps + (told + bias * share).max(0.0), spread)
            }
        }
    }
}

/// A way the lifter may be, with its weight and what it makes of the days.
#[derive(Clone, Copy)]
struct Cell {
    weight: f64,
    mean: f64,
    spread: f64,
}

fn cells(curves: &Curves, told: &[Told]) -> Vec<Cell> {
    let one = [0.0];
    let biases: Vec<f64> =
        if told.iter().any(|t| t.reserve.is_some() && !t.missed) { BIASES.to_vec() } else { one.to_vec() };
    let unsaid: Vec<(f64, f64)> = if told.iter().any(|t| t.reserve.is_none()) {
        UNSAID.iter().enumerate().map(|(left, weight)| (left as f64, *weight)).collect()
    } else {
        vec![(0.0, 1.0)]
    };
    let mut cells = Vec::with_capacity(CURVES * PLACES.len() * biases.len() * unsaid.len());
    for curve in 0..CURVES {
        let share = if curve == 0 { MEASURED_WEIGHT } else { (1.0 - MEASURED_WEIGHT) / (CURVES - 1) as f64 };
        for (place, z) in PLACES.iter().enumerate() {
            for bias in &biases {
                for (left, weight) in &unsaid {
                    let prior = libm::log(share * weight) - 0.5 * (z * z + bias * bias);
                    let bias = BIAS.0 + BIAS.1 * bias;
                    if let Some(cell) = cell(curves, told, (curve, place), bias, *left, prior) {
                        cells.push(cell);
                    }
                }
            }
        }
    }
    let top = cells.iter().map(|c| c.weight).fold(f64::NEG_INFINITY, f64::max);
    for cell in &mut cells {
        cell.weight = libm::exp(cell.weight - top);
    }
    let whole: f64 = cells.iter().map(|c| c.weight).sum();
    cells.retain(|c| c.weight >= LEAST_CELL * whole);
    let whole: f64 = cells.iter().map(|c| c.weight).sum();
    for cell in &mut cells {
        cell.weight /= whole;
    }
    merged(&cells)
}

/// Cells whose means lie within a quarter of the smallest spread of each other as one of the same mean and
/// variance: the mixture hardly changes, and its quantiles cost a tenth.
fn merged(cells: &[Cell]) -> Vec<Cell> {
    let least = cells.iter().map(|c| c.mean).fold(f64::INFINITY, f64::min);
    let step = 0.25 * cells.iter().map(|c| c.spread).fold(f64::INFINITY, f64::min);
    let mut bins: BTreeMap<u32, (f64, f64, f64)> = BTreeMap::new();
    for cell in cells {
        let bin = bins.entry(((cell.mean - least) / step) as u32).or_default();
        let mean = cell.mean - least;
        bin.0 += cell.weight;
        bin.1 += cell.weight * mean;
        bin.2 += cell.weight * (cell.spread * cell.spread + mean * mean);
    }
    let of = |(weight, sum, squares): &(f64, f64, f64)| {
        let mean = sum / weight;
        let spread = libm::sqrt((squares / weight - mean * mean).max(1e-12));
        Cell { weight: *weight, mean: mean + least, spread }
    };
    bins.values().map(of).collect()
}

/// One cell; its weight is still a logarithm.
fn cell(
    curves: &Curves,
    told: &[Told],
    (curve, place): (usize, usize),
    bias: f64,
    unsaid: f64,
    prior: f64,
) -> Option<Cell> {
    // At most twelve factors near a thousandth or near ten: the product stays far from the ends of a double.
    let (mut precision, mut sum, mut squares, mut product, mut slopes) = (0.0, 0.0, 0.0, 1.0, 1.0);
    for set in told {
        let (reps, spread) = set.to_failure(bias, unsaid);
        let (share, slope) = curves.share(curve, place, reps)?;
        let y = set.log_load - share;
        let (judged, drift) = (slope * spread, WEEKLY_DRIFT * set.weeks);
        let variance = DAY * DAY + judged * judged + drift * drift;
        precision += 1.0 / variance;
        sum += y / variance;
        squares += y * y / variance;
        // What was observed are repetitions: their density is that of the logarithm times the slope.
        product *= variance / (slope * slope);
        slopes *= slope * slope;
    }
    // A lifter chooses loads to suit their own curve, so a single set must say nothing of which curve it is.
    product *= libm::pow(slopes, 1.0 / told.len() as f64);
    let mean = sum / precision;
    // The marginal likelihood under a flat prior of the maximum's logarithm.
    let disagreement = squares - mean * sum;
    let weight = prior - 0.5 * (disagreement + libm::log(product * precision));
    Some(Cell { weight, mean, spread: libm::sqrt(1.0 / precision) })
}

/// The logarithm of the maximum at or below which a share `p` of the mixture lies.
fn quantile(cells: &[Cell], p: f64) -> f64 {
    let reach = |sign: f64| cells.iter().map(move |c| c.mean + sign * 6.0 * c.spread);
    let mut low = reach(-1.0).fold(f64::INFINITY, f64::min);
    let mut high = reach(1.0).fold(f64::NEG_INFINITY, f64::max);
    while high - low > 1e-5 {
        let middle = 0.5 * (low + high);
        let under: f64 = cells.iter().map(|c| c.weight * below((middle - c.mean) / c.spread)).sum();
        if under < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// A logarithm of kilograms as a mass in `unit`, to the nearest ten grams or hundredth of a pound.
fn mass(log_kg: f64, unit: Unit) -> Mass {
    let amount = (libm::exp(log_kg) * PER_KILOGRAM as f64).clamp(0.0, HEAVIEST as f64) as i64;
    let step = match unit {
        Unit::Kilogram => PER_KILOGRAM / 100,
        Unit::Pound => crate::load::mass::PER_HUNDREDTH_POUND,
    };
    Mass::from_amount((amount + step / 2).min(HEAVIEST) / step * step, unit).unwrap_or(Mass::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(n: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 5, n).expect("a date")
    }

    fn set(n: u32, kg: u32, reps: u32, reserve: Option<u32>) -> SetDone {
        SetDone::new("barbell_bench_press", day(n), Mass::grams(kg * 1000), reps, reserve)
    }

    const BENCH: Of<'static> = Of { movement: "barbell_bench_press", side: None };

    fn width(m: &Maximum) -> f64 {
        m.high.kilograms() / m.low.kilograms()
    }

    #[test]
    fn cannot_tell_yet_says_what_is_needed() {
        let no_set = NotYet::NoSet { window_days: 28 };
        assert_eq!(estimate(&[], BENCH, day(20)), Err(no_set.clone()));
        assert_eq!(estimate(&[set(1, 80, 5, Some(2))], BENCH, NaiveDate::MAX), Err(no_set.clone()));
        assert_eq!(estimate(&[set(21, 80, 5, Some(2))], BENCH, day(20)), Err(no_set), "not from the future");
        let band = SetDone { load: None, ..set(19, 80, 5, Some(2)) };
        assert_eq!(estimate(&[band], BENCH, day(20)), Err(NotYet::NoLoad));
        let far = NotYet::TooFarFromFailure { most_reps: 15, most_reserve: 6 };
        assert_eq!(estimate(&[set(19, 40, 20, Some(0))], BENCH, day(20)), Err(far));
        let once = [set(19, 80, 5, Some(2)), set(19, 80, 5, Some(1))];
        assert_eq!(estimate(&once, BENCH, day(20)), Err(NotYet::FewDays { have: 1, need: 2 }));
    }

    #[test]
    fn an_unreported_reserve_is_wider_and_leans_upward() {
        let sets = |reserve| vec![set(12, 80, 5, reserve), set(15, 80, 5, reserve), set(19, 80, 5, reserve)];
        let said = estimate(&sets(Some(2)), BENCH, day(20)).expect("told");
        let unsaid = estimate(&sets(None), BENCH, day(20)).expect("told");
        let failed = estimate(&sets(Some(0)), BENCH, day(20)).expect("told");
        assert_eq!((said.reserve, unsaid.reserve), (ReserveKnown::Reported, ReserveKnown::NotReported));
        assert!(width(&unsaid) > width(&said), "wider");
        assert!(unsaid.middle > failed.middle, "not reported is not nought");
        assert!(unsaid.high > said.high, "the high end is open");
        assert!(unsaid.equations.is_none() && said.equations.is_some());
    }

    #[test]
    fn many_alike_sets_do_not_narrow_it_to_nothing() {
        let few = [set(17, 80, 8, Some(2)), set(19, 80, 8, Some(2))];
        let many: Vec<SetDone> = (1..=20).map(|n| set(n, 80, 8, Some(2))).collect();
        let (few, many) = (estimate(&few, BENCH, day(20)).unwrap(), estimate(&many, BENCH, day(20)).unwrap());
        assert!(width(&many) < width(&few));
        // What is the person's stays: the spread between people at eight to eleven repetitions is about 6 %.
        assert!(width(&many) > 1.10, "{}", width(&many));
    }

    #[test]
    fn the_days_set_is_the_first_at_the_heaviest_load() {
        let morning = SetDone { ended: 1, ..set(19, 100, 5, Some(3)) };
        let later = SetDone { ended: 2, ..set(19, 100, 5, Some(1)) };
        let light = SetDone { ended: 0, ..set(19, 60, 10, Some(0)) };
        let all = [later, light, morning, set(16, 100, 5, Some(2))];
        let told = estimate(&all, BENCH, day(20)).expect("told");
        let kept: Vec<_> = told.basis.iter().map(|b| (b.day, b.reserve)).collect();
        assert_eq!(kept, [(day(19), Some(3)), (day(16), Some(2))]);
    }

    #[test]
    fn pounds_stay_pounds() {
        let lb = |n| SetDone { load: "225 lb".parse().ok(), ..set(n, 1, 3, Some(1)) };
        let told = estimate(&[lb(15), lb(18)], BENCH, day(20)).expect("told");
        assert_eq!(told.middle.unit(), Unit::Pound);
        assert!(told.low > "225 lb".parse().unwrap());
    }

    #[test]
    fn a_missed_set_left_none_whatever_was_written() {
        let missed = |n| SetDone { outcome: Outcome::Missed, ..set(n, 100, 1, Some(5)) };
        let told = estimate(&[missed(15), missed(18)], BENCH, day(20)).expect("told");
        assert!((told.middle.kilograms() - 100.0).abs() < 1.5, "{}", told.middle);
        assert!(told.low < told.middle && told.middle < told.high);
    }
}
