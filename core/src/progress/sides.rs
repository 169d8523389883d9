//! Left and right, named only where the difference is more than measuring can make.
//!
//! Exell's rule (seen: introductions of later articles): a difference between sides is called real only when it
//! exceeds the variation within the sides. The formula told is the percentage difference for one-sided tests of
//! Bishop et al. 2018; the others of Bishop et al. 2016 are there by name (formulas from memory, "nine
//! equations" seen in the abstract). No mark for harm is attached: the older 15 % has weak support. Nothing
//! here says that a difference should be removed.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::curve::{CURVES_OF_PEOPLE, PLACES};
use super::maximum::{Of, counts, near_enough, one_a_day};
use super::set::{SetDone, Side};

/// Days that are compared. (our assumption)
pub const WINDOW_DAYS: i64 = 56;
/// Days with both sides that are needed. (our assumption)
pub const DAYS_NEEDED: usize = 4;
/// A difference within this is never told as real, in per cent: the test-retest spread of a maximum (Grgic et
/// al. 2020), which few days cannot show.
pub const LEAST_PERCENT: f64 = 4.2;

/// A published formula for the difference between sides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Formula {
    /// Limb symmetry index 1 (Ceroni): `ND / D * 100`.
    Lsi1,
    /// Limb symmetry index 2 (Schiltz): `(1 - ND / D) * 100`.
    Lsi2,
    /// Limb symmetry index 3 (Bell, Marshall): `(R - L) / (0.5 (R + L)) * 100`.
    Lsi3,
    /// Bilateral strength asymmetry (Impellizzeri): `(strong - weak) / strong * 100`.
    Bsa,
    /// Bilateral asymmetry index 1 (Kobayashi): `(D - ND) / (D + ND) * 100`.
    Bai1,
    /// Bilateral asymmetry index 2 (Wong): `2 (D - ND) / (D + ND) * 100`.
    Bai2,
    /// Asymmetry index (Robinson): `(D - ND) / ((D + ND) / 2) * 100`.
    Ai,
    /// Symmetry index (Shorter): `(high - low) / total * 100`.
    Si,
    /// Symmetry angle (Zifchock): `(45 deg - atan(L / R)) / 90 deg * 100`.
    SymmetryAngle,
    /// Percentage difference for one-sided tests (Bishop et al. 2018): `100 - 100 min / max`.
    PercentDifference,
}

impl Formula {
    /// Every formula, in the order of the source's table.
    pub const ALL: [Self; 10] = [
        Self::Lsi1,
        Self::Lsi2,
        Self::Lsi3,
        Self::Bsa,
        Self::Bai1,
        Self::Bai2,
        Self::Ai,
        Self::Si,
        Self::SymmetryAngle,
        Self::PercentDifference,
    ];

    /// Its name in the literature.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lsi1 => "LSI-1 (Ceroni)",
            Self::Lsi2 => "LSI-2 (Schiltz)",
            Self::Lsi3 => "LSI-3 (Bell/Marshall)",
            Self::Bsa => "BSA (Impellizzeri)",
            Self::Bai1 => "BAI-1 (Kobayashi)",
            Self::Bai2 => "BAI-2 (Wong)",
            Self::Ai => "AI (Robinson)",
            Self::Si => "SI (Shorter)",
            Self::SymmetryAngle => "SA (Zifchock)",
            Self::PercentDifference => "% difference, unilateral tests (Bishop 2018)",
        }
    }

    /// The value for two sides, `dominant` being the side of D; the stronger one where it is not told. `None`
    /// unless both are above nought and finite.
    pub fn value(self, left: f64, right: f64, dominant: Option<Side>) -> Option<f64> {
        if !(left > 0.0 && right > 0.0 && left.is_finite() && right.is_finite()) {
            return None;
        }
        let (low, high) = (left.min(right), left.max(right));
        let (d, nd) = match dominant {
            None => (high, low),
            Some(Side::Left) => (left, right),
            Some(Side::Right) => (right, left),
        };
        Some(match self {
            Self::Lsi1 => nd / d * 100.0,
            Self::Lsi2 => (1.0 - nd / d) * 100.0,
            Self::Lsi3 => (right - left) / (0.5 * (right + left)) * 100.0,
            Self::Bsa => (high - low) / high * 100.0,
            Self::Bai1 => (d - nd) / (d + nd) * 100.0,
            Self::Bai2 => 2.0 * (d - nd) / (d + nd) * 100.0,
            Self::Ai => (d - nd) / d.midpoint(nd) * 100.0,
            Self::Si => (high - low) / (high + low) * 100.0,
            Self::SymmetryAngle => (45.0 - libm::atan(left / right).to_degrees()) / 90.0 * 100.0,
            Self::PercentDifference => 100.0 - 100.0 * low / high,
        })
    }
}

/// What is said of the sides.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Sides {
    /// Too few days with both sides.
    TooFew {
        /// Days there are.
        have: u32,
        /// Days needed.
        need: u32,
    },
    /// Not beyond measurement error: nothing is named.
    WithinError(Compared),
    /// Beyond it.
    Differ {
        /// The side that did more.
        stronger: Side,
        /// The numbers.
        compared: Compared,
    },
}

/// Two sides compared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// The formula.
    pub formula: Formula,
    /// The difference by it, in per cent, without a sign.
    pub percent: f64,
    /// The variation within the sides that it must exceed, in per cent: the larger side's coefficient of
    /// variation, or [`LEAST_PERCENT`].
    pub within_percent: f64,
    /// Days compared.
    pub days: u32,
}

/// Compares the sides over the last [`WINDOW_DAYS`] days on which both worked, by the index of each day's
/// telling set (as for the plateau), so that different loads and repetitions may be compared.
///
/// Two things must hold: the difference of the means exceeds the variation within the larger-varying side
/// (Exell's rule), and the same side did more on at least three days of four, since a rule on means alone would
/// name chance.
pub fn compare(sets: &[SetDone], movement: &str, today: NaiveDate) -> Sides {
    let index = |side: Side| -> Vec<(NaiveDate, f64)> {
        let Some(curves) = CURVES_OF_PEOPLE.as_ref() else { return Vec::new() };
        let of = Of { movement, side: Some(side) };
        let usable = |s: &&SetDone| {
            let age = (today - s.day).num_days();
            (0..WINDOW_DAYS).contains(&age)
                && counts(s, of)
                && near_enough(s)
                && s.left().is_some()
                && s.load.is_some_and(|load| !load.is_zero())
        };
        one_a_day(sets.iter().filter(usable).collect())
            .into_iter()
            .filter_map(|s| {
                let reps = f64::from(s.reps) + f64::from(s.left()?) + 0.95;
                let (share, _) = curves.share(0, PLACES.len() / 2, reps)?;
                Some((s.day, libm::exp(libm::log(s.load?.kilograms()) - share)))
            })
            .collect()
    };
    let (left, right) = (index(Side::Left), index(Side::Right));
    let both: Vec<(f64, f64)> = left
        .iter()
        .filter_map(|(day, l)| right.iter().find(|(d, _)| d == day).map(|(_, r)| (*l, *r)))
        .collect();
    if both.len() < DAYS_NEEDED {
        return Sides::TooFew { have: both.len() as u32, need: DAYS_NEEDED as u32 };
    }
    let (left_mean, left_cv) = mean_and_variation(both.iter().map(|b| b.0));
    let (right_mean, right_cv) = mean_and_variation(both.iter().map(|b| b.1));
    let formula = Formula::PercentDifference;
    let compared = Compared {
        formula,
        percent: formula.value(left_mean, right_mean, None).unwrap_or(0.0),
        within_percent: left_cv.max(right_cv).max(LEAST_PERCENT),
        days: both.len() as u32,
    };
    let stronger = if left_mean > right_mean { Side::Left } else { Side::Right };
    let same = both.iter().filter(|(l, r)| if stronger == Side::Left { l > r } else { r > l }).count();
    if compared.percent > compared.within_percent && 4 * same >= 3 * both.len() {
        Sides::Differ { stronger, compared }
    } else {
        Sides::WithinError(compared)
    }
}

/// Mean, and standard deviation over it in per cent, of two values or more.
fn mean_and_variation(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let n = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / n;
    let squares: f64 = values.map(|v| (v - mean) * (v - mean)).sum();
    (mean, 100.0 * libm::sqrt(squares / (n - 1.0)) / mean)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Mass;

    /// Left 45, right 50, computed from the formulas of Bishop et al. 2016 and 2018.
    #[test]
    fn every_formula_for_forty_five_and_fifty() {
        let want = [90.0, 10.0, 10.5263, 10.0, 5.2632, 10.5263, 10.5263, 5.2632, 3.3475, 10.0];
        for (formula, want) in Formula::ALL.into_iter().zip(want) {
            let got = formula.value(45.0, 50.0, None).expect("a value");
            assert!((got - want).abs() < 5e-5, "{}: {got} for {want}", formula.name());
        }
        assert_eq!(Formula::Lsi1.value(0.0, 50.0, None), None);
        assert_eq!(Formula::Lsi1.value(f64::NAN, 50.0, None), None);
        let left = Formula::Lsi1.value(45.0, 50.0, Some(Side::Left)).expect("a value");
        assert!((left - 111.111).abs() < 0.001, "told dominance is used");
    }

    fn day(n: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 5, n).expect("a date")
    }

    fn both(n: u32, left: u32, right: u32) -> [SetDone; 2] {
        [(Side::Left, left), (Side::Right, right)].map(|(side, grams)| SetDone {
            side: Some(side),
            ..SetDone::new("split_squat", day(n), Mass::grams(grams), 8, Some(2))
        })
    }

    #[test]
    fn a_difference_is_named_only_beyond_the_variation_within() {
        let clear: Vec<SetDone> =
            (1..=6).flat_map(|n| both(n * 4, 20_000 + n * 100, 24_000 + n * 100)).collect();
        let Sides::Differ { stronger, compared } = compare(&clear, "split_squat", day(28)) else {
            panic!("20 to 24 is beyond it");
        };
        assert_eq!((stronger, compared.formula, compared.days), (Side::Right, Formula::PercentDifference, 6));
        assert!((16.0..17.0).contains(&compared.percent), "{}", compared.percent);
        let small: Vec<SetDone> = (1..=6).flat_map(|n| both(n * 4, 24_000, 24_500)).collect();
        assert!(matches!(compare(&small, "split_squat", day(28)), Sides::WithinError(_)));
        let scattered = [(20, 30), (30, 20), (20, 34), (34, 30), (20, 30), (30, 24)];
        let scattered: Vec<SetDone> =
            (1..).zip(scattered).flat_map(|(n, (l, r))| both(n * 4, l * 1000, r * 1000)).collect();
        assert!(matches!(compare(&scattered, "split_squat", day(28)), Sides::WithinError(_)));
    }

    #[test]
    fn unreported_reserves_and_too_few_days_name_nothing() {
        let few: Vec<SetDone> = (1..=3).flat_map(|n| both(n, 20_000, 30_000)).collect();
        assert_eq!(compare(&few, "split_squat", day(28)), Sides::TooFew { have: 3, need: 4 });
        let untold: Vec<SetDone> =
            (1..=6).flat_map(|n| both(n, 20_000, 30_000)).map(|s| SetDone { reserve: None, ..s }).collect();
        assert_eq!(compare(&untold, "split_squat", day(28)), Sides::TooFew { have: 0, need: 4 });
    }
}
