//! Trends: the Theil-Sen slope with its interval, and the Mann-Kendall test.
//!
//! Theil 1950; Sen PK. J Am Stat Assoc 1968;63:1379-1389; Mann HB. Econometrica 1945;13:245-259; Kendall MG
//! 1975 (memory). The interval is that of `scipy.stats.theilslopes` (documentation seen), and the tests hold
//! to figures computed with scipy 1.17.1.

use serde::Serialize;

use super::normal::{below, median, quantile};

/// The fewest points for which a trend is told.
pub const FEWEST_POINTS: usize = 4;
/// Up to so many points without ties the exact distribution is used: the normal one is poor below ten.
pub const EXACT_TO: usize = 10;

/// The median of all pairwise slopes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TheilSen {
    /// Units of `y` for each unit of `x`.
    pub slope: f64,
    /// `median(y) - slope median(x)`.
    pub intercept: f64,
    /// The low end of the slope's interval.
    pub low: f64,
    /// Its high end.
    pub high: f64,
    /// The probability that the interval is meant to hold.
    pub coverage: f64,
}

/// The slope and its interval; `None` with fewer than two different places on `x`, or a number that is not
/// finite. `coverage` is brought to 0.5 to 0.999.
pub fn theil_sen(points: &[(f64, f64)], coverage: f64) -> Option<TheilSen> {
    if points.iter().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
        return None;
    }
    let coverage = coverage.clamp(0.5, 0.999);
    let mut slopes = Vec::with_capacity(points.len() * points.len().saturating_sub(1) / 2);
    for (i, (x0, y0)) in points.iter().enumerate() {
        for (x1, y1) in points.iter().skip(i + 1) {
            let (x0, y0, x1, y1) = if x1 >= x0 { (x0, y0, x1, y1) } else { (x1, y1, x0, y0) };
            if x1 > x0 {
                slopes.push((y1 - y0) / (x1 - x0));
            }
        }
    }
    slopes.sort_by(f64::total_cmp);
    let slope = median(&slopes)?;
    let xs: Vec<f64> = points.iter().map(|p| p.0).collect();
    let ys: Vec<f64> = points.iter().map(|p| p.1).collect();
    let n = points.len() as f64;
    let ties = |values: &[f64]| tied(values).iter().map(|k| k * (k - 1.0) * (2.0 * k + 5.0)).sum::<f64>();
    let variance = (n * (n - 1.0) * (2.0 * n + 5.0) - ties(&xs) - ties(&ys)) / 18.0;
    let reach = quantile(0.5 + 0.5 * coverage) * libm::sqrt(variance.max(0.0));
    let count = slopes.len() as f64;
    // Rounded half to even, as the reference does.
    let lower = (libm::rint(0.5 * (count - reach)) - 1.0).max(0.0) as usize;
    let upper = libm::rint(0.5 * (count + reach)) as usize;
    let at = |i: usize| slopes.get(i.min(slopes.len() - 1)).copied();
    Some(TheilSen {
        slope,
        intercept: median(&ys)? - slope * median(&xs)?,
        low: at(lower)?,
        high: at(upper)?,
        coverage,
    })
}

/// The Mann-Kendall test for a trend that only rises or only falls.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MannKendall {
    /// Pairs that rise less pairs that fall.
    pub s: i64,
    /// The variance of `s` without a trend, ties taken out.
    pub variance: f64,
    /// `s` brought one toward nought, over its standard deviation; nought where there is no variance.
    pub z: f64,
    /// The two-sided probability of an `s` as far from nought without a trend: exact for up to
    /// [`EXACT_TO`] points without ties, else from the normal distribution.
    pub p: f64,
    /// Whether `p` is exact.
    pub exact: bool,
    /// Kendall's tau, ties taken out of `y` only (the places are all different).
    pub tau: f64,
}

/// Tests values in the order of time; `None` with fewer than two or a number that is not finite.
pub fn mann_kendall(values: &[f64]) -> Option<MannKendall> {
    if values.len() < 2 || values.iter().any(|y| !y.is_finite()) {
        return None;
    }
    let mut s = 0_i64;
    for (i, early) in values.iter().enumerate() {
        for late in values.iter().skip(i + 1) {
            s += i64::from(late > early) - i64::from(late < early);
        }
    }
    let n = values.len() as f64;
    let ties = tied(values);
    let variance = (n * (n - 1.0) * (2.0 * n + 5.0)
        - ties.iter().map(|k| k * (k - 1.0) * (2.0 * k + 5.0)).sum::<f64>())
        / 18.0;
    let z = if variance > 0.0 { (s - s.signum()) as f64 / libm::sqrt(variance) } else { 0.0 };
    let exact = ties.is_empty() && values.len() <= EXACT_TO;
    let p = if exact { exact_p(values.len(), s) } else { (2.0 * below(-z.abs())).min(1.0) };
    let pairs = n * (n - 1.0) / 2.0;
    let tied_pairs: f64 = ties.iter().map(|k| k * (k - 1.0) / 2.0).sum();
    let under = libm::sqrt(pairs * (pairs - tied_pairs));
    let tau = if under > 0.0 { s as f64 / under } else { 0.0 };
    Some(MannKendall { s, variance, z, p, exact, tau })
}

/// The two-sided probability from the number of orders with so many inversions.
fn exact_p(n: usize, s: i64) -> f64 {
    let most = n * (n - 1) / 2;
    let mut orders = vec![0.0_f64; most + 1];
    if let Some(first) = orders.first_mut() {
        *first = 1.0;
    }
    for size in 2..=n {
        let before = orders.clone();
        for (k, count) in orders.iter_mut().enumerate() {
            *count = (0..size.min(k + 1)).filter_map(|j| before.get(k - j)).sum();
        }
    }
    let all: f64 = orders.iter().sum();
    // S is the number of pairs less twice the inversions.
    let far = |k: usize| (most as i64 - 2 * k as i64).abs() >= s.abs();
    let beyond: f64 = orders.iter().enumerate().filter(|(k, _)| far(*k)).map(|(_, c)| c).sum();
    (beyond / all).min(1.0)
}

/// The sizes of the groups of equal values, singles left out.
fn tied(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    // Nought and minus nought are one value.
    for value in &mut sorted {
        *value += 0.0;
    }
    sorted.sort_by(f64::total_cmp);
    sorted
        .chunk_by(|a, b| a.total_cmp(b).is_eq())
        .filter(|group| group.len() > 1)
        .map(|group| group.len() as f64)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const Y: [f64; 10] = [100.0, 101.0, 101.5, 102.0, 102.0, 102.5, 102.0, 102.5, 102.5, 102.0];

    fn points(values: &[f64]) -> Vec<(f64, f64)> {
        values.iter().enumerate().map(|(i, y)| (i as f64, *y)).collect()
    }

    #[test]
    fn theil_sen_as_scipy_1_17_1_computes_it() {
        let all = theil_sen(&points(&Y), 0.95).expect("a slope");
        for (got, want) in [(all.slope, 0.2), (all.intercept, 101.1), (all.low, 0.0), (all.high, 0.357_143)] {
            assert!((got - want).abs() < 1e-6, "{got} for {want}");
        }
        let last = theil_sen(&points(&Y[4..]), 0.95).expect("a slope");
        assert_eq!((last.slope, last.low, last.high), (0.0, -0.25, 0.25));
    }

    #[test]
    fn mann_kendall_as_computed_both_ways_with_scipy_1_17_1() {
        let all = mann_kendall(&Y).expect("a test");
        assert_eq!(all.s, 28);
        for (got, want) in
            [(all.variance, 112.666_667), (all.z, 2.543_701), (all.p, 0.010_968), (all.tau, 0.695_666)]
        {
            assert!((got - want).abs() < 1e-6, "{got} for {want}");
        }
        let last = mann_kendall(&Y[4..]).expect("a test");
        assert_eq!((last.s, last.z, last.p), (1, 0.0, 1.0));
    }

    #[test]
    fn few_points_without_ties_are_exact() {
        // Of the 24 orders of four, one rises throughout and one falls: 2/24 (Kendall's exact table).
        let rising = mann_kendall(&[1.0, 2.0, 3.0, 4.0]).expect("a test");
        assert!(rising.exact && (rising.p - 2.0 / 24.0).abs() < 1e-12);
        // All orders of five, counted one by one.
        let (mut far, mut all) = (0, 0);
        let given = [2.0, 1.0, 3.0, 4.0, 5.0];
        let s = mann_kendall(&given).expect("a test").s;
        let mut order = vec![1.0, 2.0, 3.0, 4.0, 5.0];
        permute(&mut order, 0, &mut |o| {
            all += 1;
            far += i32::from(mann_kendall(o).expect("a test").s.abs() >= s.abs());
        });
        assert!((mann_kendall(&given).unwrap().p - f64::from(far) / f64::from(all)).abs() < 1e-12);
    }

    fn permute(order: &mut Vec<f64>, from: usize, each: &mut dyn FnMut(&[f64])) {
        if from == order.len() {
            return each(order);
        }
        for i in from..order.len() {
            order.swap(from, i);
            permute(order, from + 1, each);
            order.swap(from, i);
        }
    }

    #[test]
    fn nothing_is_told_of_nothing() {
        assert!(theil_sen(&[], 0.95).is_none() && theil_sen(&[(1.0, 2.0)], 0.95).is_none());
        assert!(theil_sen(&[(1.0, 2.0), (1.0, 3.0)], 0.95).is_none(), "no two places");
        assert!(theil_sen(&[(1.0, f64::NAN), (2.0, 3.0)], 0.95).is_none());
        assert!(mann_kendall(&[1.0]).is_none() && mann_kendall(&[1.0, f64::INFINITY]).is_none());
        let flat = mann_kendall(&[1.0; 5]).expect("a test");
        assert_eq!((flat.s, flat.z, flat.p), (0, 0.0, 1.0));
    }
}
