//! The published one-repetition-maximum equations, by name.
//!
//! Coefficients come from `equation_coefficients.csv`, citations from `equations.csv`. An equation answers
//! only within the range for which it was made. Four of the seven do not return the load itself for a single
//! repetition; a single is its own maximum, so [`Equation::estimate_kg`] returns the load there, and
//! [`Equation::published_kg`] what the equation says.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::mass::{Mass, PER_KILOGRAM};
use super::tables::{COEFFICIENTS, EQUATIONS, damaged, rows};

/// The seven general equations, in the order in which they are told.
pub const SEVEN: [&str; 7] = ["epley", "brzycki", "lander", "lombardi", "mayhew", "oconner", "wathan"];

/// The form of an equation; `w` is the load in kilograms, `r` the repetitions to failure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// `w (a + b r / c)`
    Linear,
    /// `a w / (b - c r)`
    Hyperbola,
    /// `w r^a`
    Power,
    /// `100 w / (a + b exp(-c r))`
    Exponential,
    /// `a w + b`
    Affine,
    /// `a + b r w - c r`
    Product,
}

/// A published equation.
#[derive(Debug, Clone, PartialEq)]
pub struct Equation {
    /// Its id, such as `epley`.
    pub id: String,
    /// Its name for reading.
    pub name: String,
    /// Its form.
    pub shape: Shape,
    coefficients: [f64; 3],
    /// The fewest repetitions for which it was made.
    pub reps_from: u32,
    /// The most repetitions for which it was made.
    pub reps_to: u32,
    /// `general`, `variant` (another rounding of a general one), or the one lift or group it is for.
    pub use_for: String,
    /// Authors, title, year.
    pub citation: String,
    /// Its range in the source's words.
    pub validity: String,
    /// Where the numbers were read, or that they are from memory.
    pub provenance: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CoefficientRow {
    id: String,
    equation: String,
    name: String,
    shape: Shape,
    a: f64,
    b: f64,
    c: f64,
    reps_from: u32,
    reps_to: u32,
    #[serde(rename = "use")]
    use_for: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceRow {
    id: String,
    citation: String,
    #[serde(rename = "form_1RM(w,r)")]
    #[allow(dead_code)] // for the reader; named so that an unknown column is a fault
    form: String,
    #[allow(dead_code)] // as above
    equivalent_or_note: String,
    validity: String,
    provenance: String,
}

static ALL: LazyLock<Result<Vec<Equation>, LoadError>> = LazyLock::new(|| {
    let sources: Vec<SourceRow> = rows("equations.csv", EQUATIONS)?;
    let coefficients: Vec<CoefficientRow> = rows("equation_coefficients.csv", COEFFICIENTS)?;
    let mut all = Vec::with_capacity(coefficients.len());
    for (i, row) in coefficients.into_iter().enumerate() {
        let source = sources.iter().find(|s| s.id == row.equation).ok_or_else(|| {
            damaged("equation_coefficients.csv", i + 1, format!("no source is called `{}`", row.equation))
        })?;
        all.push(Equation {
            id: row.id,
            name: row.name,
            shape: row.shape,
            coefficients: [row.a, row.b, row.c],
            reps_from: row.reps_from,
            reps_to: row.reps_to,
            use_for: row.use_for,
            citation: source.citation.clone(),
            validity: source.validity.clone(),
            provenance: source.provenance.clone(),
        });
    }
    Ok(all)
});

/// Every equation that is known, variants and those for one lift included.
///
/// # Errors
/// [`LoadError::Table`] when the built-in data are damaged.
pub fn all() -> Result<&'static [Equation], LoadError> {
    ALL.as_deref().map_err(Clone::clone)
}

/// The equation of this id.
///
/// # Errors
/// [`LoadError::Unknown`] when there is none.
pub fn named(id: &str) -> Result<&'static Equation, LoadError> {
    let all = all()?;
    all.iter().find(|e| e.id == id).ok_or_else(|| LoadError::Unknown {
        field: "equation",
        given: id.chars().take(24).collect(),
        known: all.iter().map(|e| e.id.as_str()).collect::<Vec<_>>().join(", "),
    })
}

impl Equation {
    /// What the equation says, also for a single repetition and outside its range; kilograms.
    ///
    /// `None` where it has no value (no repetitions, or at and beyond a pole).
    pub fn published_kg(&self, load_kg: f64, reps: u32) -> Option<f64> {
        if reps == 0 || !load_kg.is_finite() || load_kg < 0.0 {
            return None;
        }
        let [a, b, c] = self.coefficients;
        let r = f64::from(reps);
        let kg = match self.shape {
            Shape::Linear => load_kg * (a + b * r / c),
            Shape::Hyperbola => {
                let under = b - c * r;
                if under <= 0.0 {
                    return None;
                }
                a * load_kg / under
            }
            // The standard library's functions differ in the last bits between machines; these do not.
            Shape::Power => load_kg * libm::pow(r, a),
            Shape::Exponential => 100.0 * load_kg / (a + b * libm::exp(-c * r)),
            Shape::Affine => a * load_kg + b,
            Shape::Product => a + b * r * load_kg - c * r,
        };
        Some(kg)
    }

    /// The estimate in kilograms from a load lifted `reps` times with none in reserve. A single repetition
    /// is its own maximum.
    ///
    /// # Errors
    /// [`LoadError::Reps`] outside the equation's range; [`LoadError::Bounds`] for an equation of one group
    /// at one percentage, which is kept for the record only.
    pub fn estimate_kg(&self, load_kg: f64, reps: u32) -> Result<f64, LoadError> {
        let refuse =
            || LoadError::Reps { reps, from: self.reps_from, to: self.reps_to, what: self.name.clone() };
        if self.shape == Shape::Product {
            return Err(LoadError::Bounds {
                field: "equation",
                given: format!("{} ({})", self.name, self.validity),
                bounds: format!("one of the general equations: {}", SEVEN.join(", ")),
            });
        }
        if reps < self.reps_from || reps > self.reps_to {
            return Err(refuse());
        }
        if reps == 1 {
            return Ok(load_kg);
        }
        self.published_kg(load_kg, reps).ok_or_else(refuse)
    }

    /// Whether the published form itself returns the load for a single repetition.
    pub fn exact_at_one(&self) -> bool {
        self.published_kg(100.0, 1).is_some_and(|kg| (kg - 100.0).abs() < 1e-9)
    }
}

/// One equation's estimate.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Estimate {
    /// The equation's id.
    pub equation: String,
    /// Its estimate, rounded down to ten grams.
    pub mass: Mass,
}

/// What the general equations say together of one set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Estimates {
    /// The load lifted.
    pub load: Mass,
    /// Repetitions to failure: those done and those left in reserve.
    pub reps: u32,
    /// Each equation within its range, in the order of [`SEVEN`].
    pub each: Vec<Estimate>,
    /// The lowest.
    pub lowest: Mass,
    /// The middle one; of two middle ones, the lower.
    pub middle: Mass,
    /// The highest.
    pub highest: Mass,
}

/// The estimates of the seven equations from a load lifted `reps` times to failure, those out of range left
/// out. All agree on a single repetition, which is its own maximum.
///
/// # Errors
/// [`LoadError::Reps`] when no equation was made for so many (1 to 20), [`LoadError::Bounds`] beyond 1000 kg.
pub fn estimates(load: &Mass, reps: u32) -> Result<Estimates, LoadError> {
    let mut each = Vec::with_capacity(SEVEN.len());
    let (mut from, mut to) = (u32::MAX, 0);
    for id in SEVEN {
        let equation = named(id)?;
        (from, to) = (from.min(equation.reps_from), to.max(equation.reps_to));
        if (equation.reps_from..=equation.reps_to).contains(&reps) {
            let mass =
                if reps == 1 { *load } else { to_mass(equation.estimate_kg(load.kilograms(), reps)?, load)? };
            each.push(Estimate { equation: id.to_owned(), mass });
        }
    }
    let mut sorted: Vec<Mass> = each.iter().map(|e| e.mass).collect();
    sorted.sort();
    let pick = |i: usize| sorted.get(i).copied();
    let (Some(lowest), Some(middle), Some(highest)) =
        (pick(0), pick(sorted.len().saturating_sub(1) / 2), sorted.last().copied())
    else {
        return Err(LoadError::Reps { reps, from, to, what: "the equations".to_owned() });
    };
    Ok(Estimates { load: *load, reps, each, lowest, middle, highest })
}

/// Rounded down to ten grams, or to a hundredth of a pound where the load was in pounds.
fn to_mass(kg: f64, like: &Mass) -> Result<Mass, LoadError> {
    // Far beyond the bound the cast would saturate, so the bound is checked first.
    if !(0.0..=1_000.0).contains(&kg) {
        return Err(LoadError::Bounds {
            field: "one_repetition_maximum",
            given: format!("{kg:.0} kg"),
            bounds: "0 to 1000 kg".to_owned(),
        });
    }
    let amount = (kg * PER_KILOGRAM as f64) as i64;
    Mass::from_amount(amount, super::mass::Unit::Kilogram)?;
    let step = match like.unit() {
        super::mass::Unit::Kilogram => PER_KILOGRAM / 100,
        super::mass::Unit::Pound => super::mass::PER_HUNDREDTH_POUND,
    };
    Mass::from_amount(amount - amount % step, like.unit())
}
