//! Published scores of a total against body mass: IPF GL, DOTS, Wilks, Wilks-2, IPF points 2019, Sinclair.
//!
//! Coefficients are data files (`score_*.csv`), each row with where its numbers were read. A score is for
//! comparing totals; it says nothing of health. Bounds are those of the sources where they have any, and are
//! marked where they are ours.

use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::load::Mass;
use crate::load::mass::PER_KILOGRAM;
pub use crate::record::Sex;

const GL: &str = include_str!("../../data/tables/score_gl.csv");
const DOTS: &str = include_str!("../../data/tables/score_dots.csv");
const WILKS: &str = include_str!("../../data/tables/score_wilks.csv");
const IPF_2019: &str = include_str!("../../data/tables/score_ipf_2019.csv");
const SINCLAIR: &str = include_str!("../../data/tables/score_sinclair.csv");

/// A published formula.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Formula {
    /// IPF GL points, May 2020.
    IpfGl,
    /// DOTS, 2019.
    Dots,
    /// Wilks, 1994/95.
    Wilks,
    /// Wilks-2, 2020.
    Wilks2,
    /// IPF points, 2019; superseded by GL in May 2020.
    IpfPoints2019,
    /// Sinclair total of weightlifting; the coefficients change with every Olympic cycle.
    Sinclair {
        /// The cycle, such as `2025-2028`.
        cycle: String,
    },
}

/// What was worn and lifted with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Equipment {
    /// Belt, sleeves and wraps at most.
    Classic,
    /// With a supportive suit or shirt.
    Equipped,
}

/// What the total is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Event {
    /// Squat, bench press and deadlift together.
    FullPower,
    /// Bench press alone.
    BenchPress,
}

/// What a score is worked out from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Given {
    /// Whose formula.
    pub sex: Sex,
    /// Body mass on the day.
    pub body_mass: Mass,
    /// The best of each lift: their sum is the total, which may pass the bound of a single mass.
    pub lifts: Vec<Mass>,
    /// For GL and the IPF points of 2019.
    pub equipment: Equipment,
    /// For GL and the IPF points of 2019.
    pub event: Event,
}

/// A score.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Score {
    /// By which formula.
    pub formula: Formula,
    /// The points; for Sinclair kilograms.
    pub points: f64,
    /// What the total is multiplied by; `None` for the IPF points of 2019, which are no multiple.
    pub coefficient: Option<f64>,
    /// Where the coefficients were read.
    pub provenance: String,
}

/// Why there is no score.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ScoreError {
    /// Body mass outside the formula's bounds.
    #[error(
        "body mass: {given} is outside {from} to {to} kg, the bounds of {formula}; choose another formula or \
         correct the body mass"
    )]
    BodyMass {
        /// What was given.
        given: Mass,
        /// The least, in kilograms, as text.
        from: String,
        /// The most, in kilograms, as text.
        to: String,
        /// The formula.
        formula: &'static str,
    },
    /// Nothing was lifted.
    #[error("lifts: nothing was lifted; give the best of each lift in kilograms or pounds")]
    Total,
    /// The formula gives no meaningful number for this total.
    #[error("total: {given_kg} kg is too small for {formula}; choose another formula")]
    TooSmall {
        /// The total, in kilograms.
        given_kg: String,
        /// The formula.
        formula: &'static str,
    },
    /// A cycle that the table does not have.
    #[error("cycle: `{given}` is not known; choose one of {known}")]
    Cycle {
        /// What was given.
        given: String,
        /// What is known.
        known: String,
    },
    /// The built-in data are damaged.
    #[error("table {file}: {problem}; the program's own data are damaged, install it again")]
    Table {
        /// Which.
        file: &'static str,
        /// What is wrong.
        problem: String,
    },
}

#[derive(Deserialize)]
struct GlRow {
    sex: String,
    equipment: String,
    event: String,
    #[serde(rename = "A")]
    a: f64,
    #[serde(rename = "B")]
    b: f64,
    #[serde(rename = "C")]
    c: f64,
    bw_min: f64,
    bw_max: f64,
    provenance: String,
}

#[derive(Deserialize)]
struct PolynomialRow {
    version: String,
    sex: String,
    numerator: f64,
    c0: f64,
    c1: f64,
    c2: f64,
    c3: f64,
    c4: f64,
    c5: f64,
    bw_min: f64,
    bw_max: f64,
    provenance: String,
}

#[derive(Deserialize)]
struct IpfRow {
    sex: String,
    equipment: String,
    event: String,
    #[serde(rename = "C1")]
    c1: f64,
    #[serde(rename = "C2")]
    c2: f64,
    #[serde(rename = "C3")]
    c3: f64,
    #[serde(rename = "C4")]
    c4: f64,
    bw_min: f64,
    bw_max: f64,
    provenance: String,
}

#[derive(Deserialize)]
struct SinclairRow {
    cycle: String,
    sex: String,
    #[serde(rename = "A")]
    a: f64,
    b_kg: f64,
    bw_min: f64,
    bw_max: f64,
    provenance: String,
}

struct Tables {
    gl: Vec<GlRow>,
    polynomials: Vec<PolynomialRow>,
    ipf: Vec<IpfRow>,
    sinclair: Vec<SinclairRow>,
}

static TABLES: LazyLock<Result<Tables, ScoreError>> = LazyLock::new(|| {
    let mut polynomials: Vec<PolynomialRow> = rows("score_wilks.csv", WILKS)?;
    polynomials.extend(rows::<PolynomialRow>("score_dots.csv", DOTS)?);
    Ok(Tables {
        gl: rows("score_gl.csv", GL)?,
        polynomials,
        ipf: rows("score_ipf_2019.csv", IPF_2019)?,
        sinclair: rows("score_sinclair.csv", SINCLAIR)?,
    })
});

fn rows<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<Vec<T>, ScoreError> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.map_err(|e| ScoreError::Table { file, problem: e.to_string() }))
        .collect()
}

/// The Olympic cycles for which Sinclair coefficients are known, oldest first.
///
/// # Errors
/// [`ScoreError::Table`] when the built-in data are damaged.
pub fn cycles() -> Result<Vec<&'static str>, ScoreError> {
    let tables = TABLES.as_ref().map_err(Clone::clone)?;
    let mut cycles: Vec<&str> = tables.sinclair.iter().map(|row| row.cycle.as_str()).collect();
    cycles.dedup();
    Ok(cycles)
}

/// The score by one formula.
///
/// # Errors
/// [`ScoreError`] outside the formula's bounds, for an unknown cycle, or without a total.
pub fn score(formula: &Formula, given: &Given) -> Result<Score, ScoreError> {
    let tables = TABLES.as_ref().map_err(Clone::clone)?;
    let total: i128 = given.lifts.iter().map(|lift| i128::from(lift.amount())).sum();
    if total == 0 {
        return Err(ScoreError::Total);
    }
    let (mass, total) = (given.body_mass.kilograms(), total as f64 / PER_KILOGRAM as f64);
    let sex = match given.sex {
        Sex::Male => "M",
        Sex::Female => "F",
    };
    let equipment = match given.equipment {
        Equipment::Classic => "classic",
        Equipment::Equipped => "equipped",
    };
    let event = match given.event {
        Event::FullPower => "SBD",
        Event::BenchPress => "B",
    };
    let name = formula.name();
    let within = |from: f64, to: f64| {
        if (from..=to).contains(&mass) {
            return Ok(());
        }
        let (from, to) = (from.to_string(), to.to_string());
        Err(ScoreError::BodyMass { given: given.body_mass, from, to, formula: name })
    };
    let missing = |file| ScoreError::Table { file, problem: format!("no row for {sex} {equipment} {event}") };
    let (points, coefficient, provenance) = match formula {
        Formula::IpfGl => {
            let same = |r: &&GlRow| r.sex == sex && r.equipment == equipment && r.event == event;
            let row = tables.gl.iter().find(same).ok_or_else(|| missing("score_gl.csv"))?;
            within(row.bw_min, row.bw_max)?;
            let coefficient = 100.0 / (row.a - row.b * libm::exp(-row.c * mass));
            (total * coefficient, Some(coefficient), &row.provenance)
        }
        Formula::Dots | Formula::Wilks | Formula::Wilks2 => {
            let same = |r: &&PolynomialRow| r.sex == sex && r.version == name;
            let row = tables.polynomials.iter().find(same).ok_or_else(|| missing("score_wilks.csv"))?;
            within(row.bw_min, row.bw_max)?;
            let powers = [row.c5, row.c4, row.c3, row.c2, row.c1, row.c0];
            let under = powers.iter().fold(0.0, |sum, c| sum * mass + c);
            let coefficient = row.numerator / under;
            (total * coefficient, Some(coefficient), &row.provenance)
        }
        Formula::IpfPoints2019 => {
            let same = |r: &&IpfRow| r.sex == sex && r.equipment == equipment && r.event == event;
            let row = tables.ipf.iter().find(same).ok_or_else(|| missing("score_ipf_2019.csv"))?;
            within(row.bw_min, row.bw_max)?;
            let log = libm::log(mass);
            let points = 500.0 + 100.0 * (total - (row.c1 * log - row.c2)) / (row.c3 * log - row.c4);
            (points, None, &row.provenance)
        }
        Formula::Sinclair { cycle } => {
            if !tables.sinclair.iter().any(|r| &r.cycle == cycle) {
                let given = cycle.chars().take(24).collect();
                return Err(ScoreError::Cycle { given, known: cycles()?.join(", ") });
            }
            let same = |r: &&SinclairRow| r.sex == sex && &r.cycle == cycle;
            let row = tables.sinclair.iter().find(same).ok_or_else(|| missing("score_sinclair.csv"))?;
            within(row.bw_min, row.bw_max)?;
            let log = libm::log10(mass / row.b_kg);
            let coefficient = if mass < row.b_kg { libm::pow(10.0, row.a * log * log) } else { 1.0 };
            (total * coefficient, Some(coefficient), &row.provenance)
        }
    };
    if !points.is_finite() || points < 0.0 {
        return Err(ScoreError::TooSmall { given_kg: total.to_string(), formula: name });
    }
    Ok(Score { formula: formula.clone(), points, coefficient, provenance: provenance.clone() })
}

impl Formula {
    /// Its name.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::IpfGl => "IPF GL",
            Self::Dots => "DOTS",
            Self::Wilks => "Wilks 1994/95",
            Self::Wilks2 => "Wilks-2 (2020)",
            Self::IpfPoints2019 => "IPF points 2019",
            Self::Sinclair { .. } => "Sinclair",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(sex: Sex, body: &str, total: &str) -> Given {
        Given {
            sex,
            body_mass: body.parse().expect("a mass"),
            lifts: vec![total.parse().expect("a mass")],
            equipment: Equipment::Classic,
            event: Event::FullPower,
        }
    }

    #[test]
    fn bounds_are_told_with_the_formula_and_a_remedy() {
        for (formula, sex, body) in [
            (Formula::IpfGl, Sex::Male, "34.9 kg"),
            (Formula::Dots, Sex::Female, "150.01 kg"),
            (Formula::Wilks, Sex::Male, "201.91 kg"),
            (Formula::Wilks2, Sex::Female, "20 kg"),
            (Formula::IpfPoints2019, Sex::Male, "30 kg"),
            (Formula::Sinclair { cycle: "2025-2028".into() }, Sex::Male, "10 kg"),
        ] {
            let error = score(&formula, &given(sex, body, "300 kg")).expect_err("out of bounds");
            assert!(matches!(error, ScoreError::BodyMass { .. }), "{error}");
            let text = error.to_string();
            assert!(text.contains(formula.name()) && text.contains("choose another"), "{text}");
        }
        let none = given(Sex::Male, "80 kg", "0 kg");
        assert_eq!(score(&Formula::Dots, &none), Err(ScoreError::Total));
        let cycle = Formula::Sinclair { cycle: "1896".into() };
        let error = score(&cycle, &given(Sex::Male, "80 kg", "300 kg")).expect_err("unknown");
        assert!(error.to_string().contains("2025-2028"), "{error}");
        let tiny = score(&Formula::IpfPoints2019, &given(Sex::Male, "90 kg", "1 kg"));
        assert!(matches!(tiny, Err(ScoreError::TooSmall { .. })), "{tiny:?}");
    }

    #[test]
    fn above_the_reference_mass_a_sinclair_total_is_the_total() {
        let cycle = Formula::Sinclair { cycle: "2025-2028".into() };
        let heavy = score(&cycle, &given(Sex::Male, "201.159 kg", "400 kg")).expect("a score");
        assert_eq!((heavy.points, heavy.coefficient), (400.0, Some(1.0)));
    }

    #[test]
    fn pounds_are_the_same_mass() {
        let kg = score(&Formula::Dots, &given(Sex::Male, "45.359237 kg", "226.796185 kg")).expect("a score");
        let lb = score(&Formula::Dots, &given(Sex::Male, "100 lb", "500 lb")).expect("a score");
        assert_eq!(kg.points.to_bits(), lb.points.to_bits());
    }
}
