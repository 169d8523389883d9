//! How many repetitions a person manages at a share of the maximum: eight published curves, each bent by how
//! much people differ.
//!
//! Seven curves are the general equations of the load room, each within its range and beyond it with the
//! slope of the eighth. The eighth is the measured mean of Nuzzo et al. 2024 (table read in a transcription).
//! A person's own curve has `exp(z c)` times as many repetitions beyond the first, where `z` is the person's
//! place among people and `c` the spread of Nuzzo et al. over the mean beyond the first; so `z` of one is one
//! standard deviation more repetitions at every share.

use std::sync::LazyLock;

use crate::load::equations::{SEVEN, named};
use crate::load::percent::{Exercise, repetitions_at};

/// Places among people for which curves are kept, in standard deviations, with their weights' logarithms
/// left to the normal density.
pub(super) const PLACES: [f64; 13] = [-2.4, -2.0, -1.6, -1.2, -0.8, -0.4, 0.0, 0.4, 0.8, 1.2, 1.6, 2.0, 2.4];
/// Published curves: the measured one and the seven equations.
pub(super) const CURVES: usize = 8;
/// The weight of the measured curve among the eight, which pools many studies where each equation comes mostly
/// from one sample; the equations share the rest evenly. (our assumption)
pub(super) const MEASURED_WEIGHT: f64 = 2.0 / 3.0;

/// Repetitions are tabulated in quarters from one to this many.
const MOST: usize = 40;
const QUARTERS: usize = (MOST - 1) * 4 + 1;

/// Logarithm of the share of the maximum, for a curve, a place and repetitions to failure.
pub(super) struct Curves {
    /// `[curve][place][quarter]`
    shares: Vec<Vec<Vec<f64>>>,
}

/// The table, or `None` when the built-in data are damaged.
pub(super) static CURVES_OF_PEOPLE: LazyLock<Option<Curves>> = LazyLock::new(Curves::build);

/// Repetitions and what they mean, in order of repetitions; straight between, the last slope beyond.
struct Line(Vec<(f64, f64)>);

impl Line {
    fn at(&self, x: f64) -> f64 {
        let after = self.0.partition_point(|p| p.0 < x).clamp(1, self.0.len().saturating_sub(1).max(1));
        match (self.0.get(after - 1), self.0.get(after)) {
            (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
            (Some((_, y0)), None) => *y0,
            _ => 0.0,
        }
    }
}

impl Curves {
    fn build() -> Option<Self> {
        let mut measured = vec![(1.0, 0.0)];
        let mut spread = Vec::new();
        for percent in (65..=95).rev().step_by(5) {
            let at = repetitions_at(Exercise::General, percent * 10).ok()?;
            let mean = f64::from(at.mean) / 1000.0;
            measured.push((mean, libm::log(f64::from(percent) / 100.0)));
            spread.push((mean, f64::from(at.spread?) / 1000.0 / (mean - 1.0)));
        }
        let measured = Line(measured);
        let (first, last) = (spread.first()?.0, spread.last()?.0);
        let spread = Line(spread);
        let mut curves = vec![];
        for id in SEVEN {
            let equation = named(id).ok()?;
            let mut points = Vec::new();
            let mut end = (1, 0.0);
            for reps in 1..=MOST as u32 {
                let x = f64::from(reps);
                let share = match equation.estimate_kg(100.0, reps) {
                    Ok(kg) => {
                        end = (reps, -libm::log(kg / 100.0));
                        end.1
                    }
                    Err(_) => end.1 + measured.at(x) - measured.at(f64::from(end.0)),
                };
                points.push((x, share));
            }
            curves.push(Line(points));
        }
        curves.insert(0, measured);
        // The relative spread is kept at its ends outside the measured range.
        let relative = |mean: f64| spread.at(mean.clamp(first, last));
        let shares = curves
            .iter()
            .map(|curve| {
                PLACES
                    .iter()
                    .map(|z| {
                        (0..QUARTERS)
                            .map(|q| curve.at(typical(1.0 + q as f64 / 4.0, *z, &relative)))
                            .collect()
                    })
                    .collect()
            })
            .collect();
        Some(Self { shares })
    }

    /// Logarithm of the share and its slope per repetition at so many repetitions to failure.
    pub(super) fn share(&self, curve: usize, place: usize, reps: f64) -> Option<(f64, f64)> {
        let line = self.shares.get(curve)?.get(place)?;
        let quarter = (reps.clamp(1.0, MOST as f64) - 1.0) * 4.0;
        let at = (quarter as usize).min(QUARTERS - 2);
        let (low, high) = (*line.get(at)?, *line.get(at + 1)?);
        // Across a whole repetition, so that a kink of the table does not decide.
        let (from, to) = (at.saturating_sub(2), (at + 3).min(QUARTERS - 1));
        let slope = (*line.get(to)? - *line.get(from)?) / ((to - from) as f64 / 4.0);
        Some((low + (high - low) * (quarter - at as f64), slope))
    }
}

/// The repetitions of the mean person at the share at which a person of place `z` manages `reps`.
fn typical(reps: f64, z: f64, relative: &dyn Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (1.0, 400.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if 1.0 + (middle - 1.0) * libm::exp(z * relative(middle)) < reps {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_measured_curve_goes_through_its_published_rows() {
        let curves = CURVES_OF_PEOPLE.as_ref().expect("the data are whole");
        // Nuzzo et al. 2024, general: 9.75 repetitions at 80 %, 4.94 at 90 % (seen in a transcription).
        for (reps, percent) in [(9.75, 0.80), (4.94, 0.90), (1.0, 1.0)] {
            let (share, slope) = curves.share(0, 6, reps).expect("inside the table");
            assert!((libm::exp(share) - percent).abs() < 0.002, "{reps} gave {}", libm::exp(share));
            assert!(slope < 0.0, "more repetitions, smaller share");
        }
    }

    #[test]
    fn one_standard_deviation_is_the_published_spread() {
        let curves = CURVES_OF_PEOPLE.as_ref().expect("the data are whole");
        // At 80 % the spread between people is 2.51 repetitions; the places 0.8 and -0.8 are 1.6 of it apart.
        let reps_at = |place: usize| {
            let at = |quarter: &usize| 1.0 + *quarter as f64 / 4.0;
            let reach = |quarter: &usize| {
                curves.share(0, place, at(quarter)).expect("inside").0 >= libm::log(0.80) - 1e-9
            };
            (0..QUARTERS).filter(reach).map(|quarter| at(&quarter)).fold(0.0, f64::max)
        };
        let apart = reps_at(8) - reps_at(4);
        assert!((apart - 1.6 * 2.51).abs() < 0.4, "{apart}");
    }

    #[test]
    fn equations_are_followed_within_their_range() {
        let curves = CURVES_OF_PEOPLE.as_ref().expect("the data are whole");
        // Epley at ten repetitions: 100 (1 + 10/30) = 133.33.
        let (share, _) = curves.share(1, 6, 10.0).expect("inside the table");
        assert!((libm::exp(-share) - 4.0 / 3.0).abs() < 1e-6);
        for curve in 0..CURVES {
            for place in 0..PLACES.len() {
                let shares: Vec<f64> = (0..QUARTERS)
                    .map(|q| curves.share(curve, place, 1.0 + q as f64 / 4.0).unwrap().0)
                    .collect();
                assert!(shares.windows(2).all(|w| w[1] <= w[0]), "curve {curve}, place {place} rises");
            }
        }
    }
}
