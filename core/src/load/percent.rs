//! Percentages of the one-repetition maximum and how many repetitions they allow, in whole per mille.
//!
//! Two readings are kept apart. The textbook's table (NSCA Essentials, 4th edition 2016, table 17.7) gives
//! one percentage for each number of repetitions; at 11 and 12 its copies disagree (70 and 67 against 73 and
//! 70), and the lower is used, since the book's own rule of 67-85 % for 6-12 repetitions agrees with it and
//! the lighter load is the careful choice. Nuzzo et al. 2024 give the mean repetitions at a percentage and how
//! much people differ.

use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::mass::Mass;
use super::tables::{PERCENT_REPS, damaged, rows, span, thousandths};

/// One row of the published tables.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// `textbook`, `textbook_variant`, `nuzzo2024`, `rm_continuum` or `individual_range`.
    pub table: String,
    /// Authors, title, year.
    pub citation: String,
    /// The exercise, or `any` or `general`.
    pub exercise: String,
    /// Per mille of the one-repetition maximum.
    pub per_mille: u32,
    /// The lowest number of repetitions, in thousandths.
    pub reps_from: u32,
    /// The highest number of repetitions, in thousandths.
    pub reps_to: u32,
    /// Whether the numbers are the spread between people, not repetitions.
    pub spread: bool,
    /// Where it was read, or that it is from memory.
    pub provenance: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    table: String,
    citation: String,
    exercise: String,
    pct_1rm: String,
    reps: String,
    note: String,
    provenance: String,
}

static ROWS: LazyLock<Result<Vec<Row>, LoadError>> = LazyLock::new(|| {
    let read: Vec<File> = rows("percent_reps.csv", PERCENT_REPS)?;
    read.into_iter()
        .enumerate()
        .map(|(i, row)| {
            let fault = |what: &str| damaged("percent_reps.csv", i + 1, format!("{what} cannot be read"));
            let percent = thousandths(&row.pct_1rm).ok_or_else(|| fault("pct_1rm"))?;
            let (reps_from, reps_to) = span(&row.reps).ok_or_else(|| fault("reps"))?;
            Ok(Row {
                table: row.table,
                citation: row.citation,
                exercise: row.exercise,
                per_mille: percent / 100,
                reps_from,
                reps_to,
                spread: row.note.starts_with("BETWEEN-PERSON SD"),
                provenance: row.provenance,
            })
        })
        .collect()
});

/// Every row of the published tables.
///
/// # Errors
/// [`LoadError::Table`] when the built-in data are damaged.
pub fn table() -> Result<&'static [Row], LoadError> {
    ROWS.as_deref().map_err(Clone::clone)
}

/// A percentage read from the textbook's table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Percent {
    /// Per mille of the one-repetition maximum.
    pub per_mille: u32,
    /// What other copies of the table say, where they disagree.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub variant_per_mille: Option<u32>,
    /// Whether it lies between two rows of the table.
    pub interpolated: bool,
}

/// The most repetitions, those in reserve included, for which the textbook gives a percentage.
pub const TEXTBOOK_REPS: u32 = 15;
/// The most repetitions for which any table gives a percentage.
pub const MOST_REPS: u32 = 20;

/// The percentage for a number of repetitions to failure, 1 to 20: the textbook's up to 15 (13 and 14 lie
/// between its rows, rounded down), the continuum's 60 % for 16 to 20.
///
/// # Errors
/// [`LoadError::Reps`] outside 1 to 20.
pub fn for_reps(reps: u32) -> Result<Percent, LoadError> {
    let refuse =
        || LoadError::Reps { reps, from: 1, to: MOST_REPS, what: "the table of percentages".to_owned() };
    let table = table()?;
    let wanted = reps.checked_mul(1000).ok_or_else(refuse)?;
    let of = |name: &str| table.iter().filter(|r| r.table == name).collect::<Vec<_>>();
    let variant = of("textbook_variant").iter().find(|r| r.reps_from == wanted).map(|r| r.per_mille);
    let book = of("textbook");
    let below = book.iter().filter(|r| r.reps_from <= wanted).max_by_key(|r| r.reps_from);
    let above = book.iter().filter(|r| r.reps_from >= wanted).min_by_key(|r| r.reps_from);
    if let (Some(below), Some(above)) = (below, above) {
        if below.reps_from == above.reps_from {
            return Ok(Percent {
                per_mille: below.per_mille,
                variant_per_mille: variant,
                interpolated: false,
            });
        }
        let fallen = below.per_mille.saturating_sub(above.per_mille) * (wanted - below.reps_from);
        let per_mille = below.per_mille - fallen.div_ceil(above.reps_from - below.reps_from);
        return Ok(Percent { per_mille, variant_per_mille: None, interpolated: true });
    }
    of("rm_continuum")
        .iter()
        .find(|r| (r.reps_from..=r.reps_to).contains(&wanted))
        .map(|r| Percent { per_mille: r.per_mille, variant_per_mille: None, interpolated: false })
        .ok_or_else(refuse)
}

/// The percentage for a set that leaves some repetitions in reserve: the table read at their sum (a
/// convention after Zourdos and Helms, from memory).
///
/// # Errors
/// [`LoadError::Reps`] when the sum is outside 1 to 20.
pub fn for_set(reps: u32, reserve: u32) -> Result<Percent, LoadError> {
    for_reps(reps.saturating_add(reserve))
}

/// The most repetitions to failure whose percentage is at least this: the inverse of [`for_reps`].
///
/// # Errors
/// [`LoadError::Percent`] outside 600 to 1000 per mille.
pub fn reps_at(per_mille: u32) -> Result<u32, LoadError> {
    let out =
        || LoadError::Percent { per_mille, from: 600, to: 1000, what: "the table of percentages".to_owned() };
    if per_mille > 1000 {
        return Err(out());
    }
    let mut most = None;
    for reps in 1..=MOST_REPS {
        if for_reps(reps)?.per_mille >= per_mille {
            most = Some(reps);
        }
    }
    most.ok_or_else(out)
}

/// The load for a set: its percentage of a maximum, rounded down to ten grams or a hundredth of a pound.
///
/// # Errors
/// As for [`for_set`].
pub fn load_for_set(maximum: &Mass, reps: u32, reserve: u32) -> Result<Mass, LoadError> {
    maximum.per_mille(for_set(reps, reserve)?.per_mille)
}

/// The exercise for which Nuzzo et al. 2024 have a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Exercise {
    /// All exercises together.
    General,
    /// The bench press.
    BenchPress,
    /// The leg press.
    LegPress,
}

impl Exercise {
    const fn column(self) -> &'static str {
        match self {
            Self::General => "general",
            Self::BenchPress => "bench press",
            Self::LegPress => "leg press",
        }
    }
}

/// How many repetitions people manage at a percentage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Repetitions {
    /// The mean, in thousandths of a repetition.
    pub mean: u32,
    /// The standard deviation between people, in thousandths, where it was read: for all exercises together,
    /// as a straight line through the two percentages quoted, within the table.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spread: Option<u32>,
}

/// Mean repetitions to failure at a percentage and how much people differ (Nuzzo et al. 2024), between rows
/// on a straight line.
///
/// # Errors
/// [`LoadError::Percent`] outside the rows of the table (650 or 700 to 950 per mille).
pub fn repetitions_at(exercise: Exercise, per_mille: u32) -> Result<Repetitions, LoadError> {
    let nuzzo: Vec<&Row> =
        table()?.iter().filter(|r| r.table == "nuzzo2024" && r.exercise == exercise.column()).collect();
    let means: Vec<&Row> = nuzzo.iter().filter(|r| !r.spread).copied().collect();
    let mean = between(&means, per_mille).ok_or_else(|| LoadError::Percent {
        per_mille,
        from: means.iter().map(|r| r.per_mille).min().unwrap_or(0),
        to: means.iter().map(|r| r.per_mille).max().unwrap_or(0),
        what: format!("Nuzzo et al. 2024, {}", exercise.column()),
    })?;
    let spreads: Vec<&Row> = nuzzo.iter().filter(|r| r.spread).copied().collect();
    Ok(Repetitions { mean, spread: line(&spreads, per_mille) })
}

/// The greatest percentage, in per mille, at which the mean person manages so many repetitions (in
/// thousandths): the inverse of [`repetitions_at`].
///
/// # Errors
/// [`LoadError::Reps`] outside the table's range.
pub fn per_mille_for_repetitions(exercise: Exercise, reps: u32) -> Result<u32, LoadError> {
    let mut best = None;
    let (mut fewest, mut most) = (u32::MAX, 0);
    for per_mille in 600..=1000 {
        if let Ok(at) = repetitions_at(exercise, per_mille) {
            (fewest, most) = (fewest.min(at.mean), most.max(at.mean));
            if at.mean >= reps {
                best = Some(per_mille);
            }
        }
    }
    best.filter(|_| reps >= fewest).ok_or_else(|| LoadError::Reps {
        reps: reps / 1000,
        from: fewest / 1000,
        to: most / 1000,
        what: format!("Nuzzo et al. 2024, {}", exercise.column()),
    })
}

/// Between the two rows around a percentage; `None` outside the rows. Repetitions fall as it rises.
fn between(rows: &[&Row], per_mille: u32) -> Option<u32> {
    let below = rows.iter().filter(|r| r.per_mille <= per_mille).max_by_key(|r| r.per_mille)?;
    let above = rows.iter().filter(|r| r.per_mille >= per_mille).min_by_key(|r| r.per_mille)?;
    let wide = above.per_mille - below.per_mille;
    if wide == 0 {
        return Some(below.reps_from);
    }
    let fall = below.reps_from.saturating_sub(above.reps_from) * (per_mille - below.per_mille) / wide;
    Some(below.reps_from - fall)
}

/// The straight line through the first two rows; `None` without two or where it falls below nought.
fn line(rows: &[&Row], per_mille: u32) -> Option<u32> {
    let [one, two] = rows.get(..2)? else { return None };
    let (x1, y1) = (i64::from(one.per_mille), i64::from(one.reps_from));
    let (x2, y2) = (i64::from(two.per_mille), i64::from(two.reps_from));
    let run = x2 - x1;
    let rise = (y2 - y1) * (i64::from(per_mille) - x1);
    (run != 0).then(|| y1 + rise / run).and_then(|y| u32::try_from(y).ok())
}
