//! Repetitions in reserve and the effort scale that is read from them.
//!
//! The scale is that of Zourdos et al. 2016 (ten is nothing left, nine is one repetition left); the rows and
//! what was read of them are in `rpe_rir.csv`. People tell one repetition too few on average and are nearer
//! to the truth close to failure (Halperin et al. 2022, abstract read): a reported reserve is a judgement.

use std::sync::LazyLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::tables::{RPE_RIR, damaged, rows, span};

/// A reserve told as a range of repetitions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Reserve {
    /// At least so many repetitions left.
    pub from: u32,
    /// At most so many.
    pub to: u32,
}

/// One row of the scale.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Lowest value of the scale, in half points (19 is 9.5).
    pub from_halves: u32,
    /// Highest value of the scale, in half points.
    pub to_halves: u32,
    /// The reserve, where the scale gives a number.
    pub reserve: Option<Reserve>,
    /// What it feels like, in our own words.
    pub words: String,
    /// Authors, title, year.
    pub citation: String,
    /// Where it was read, or that it is from memory.
    pub provenance: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    rpe: String,
    rir: String,
    meaning_in_own_words: String,
    citation: String,
    provenance: String,
}

static SCALE: LazyLock<Result<Vec<Step>, LoadError>> = LazyLock::new(|| {
    let rows: Vec<Row> = rows("rpe_rir.csv", RPE_RIR)?;
    rows.into_iter()
        .enumerate()
        .map(|(i, row)| {
            let halves = span(&row.rpe)
                .filter(|(low, high)| low % 500 == 0 && high % 500 == 0 && low <= high && *high <= 10_000)
                .ok_or_else(|| {
                    damaged("rpe_rir.csv", i + 1, format!("`{}` is not a value of the scale", row.rpe))
                })?;
            // "0 (0-1)" gives a first choice and then the range: the range is kept.
            let inner = row.rir.split_once('(').map_or(row.rir.as_str(), |(_, r)| r.trim_end_matches(')'));
            let reserve = span(inner).map(|(from, to)| Reserve { from: from / 1000, to: to / 1000 });
            let words = if row.meaning_in_own_words.is_empty() { row.rir } else { row.meaning_in_own_words };
            Ok(Step {
                from_halves: halves.0 / 500,
                to_halves: halves.1 / 500,
                reserve,
                words,
                citation: row.citation,
                provenance: row.provenance,
            })
        })
        .collect()
});

/// The whole scale, hardest first.
///
/// # Errors
/// [`LoadError::Table`] when the built-in data are damaged.
pub fn scale() -> Result<&'static [Step], LoadError> {
    SCALE.as_deref().map_err(Clone::clone)
}

/// The reserve that a value of the scale stands for, in half points (19 is 9.5); `None` where the scale
/// speaks of effort only (4 and below). Between two rows (6.5) the reserve lies between theirs.
///
/// # Errors
/// [`LoadError::Bounds`] outside 1 to 10.
pub fn from_effort(halves: u32) -> Result<Option<Reserve>, LoadError> {
    let scale = scale()?;
    if !(2..=20).contains(&halves) {
        return Err(LoadError::Bounds {
            field: "rpe",
            given: format!("{}.{}", halves / 2, halves % 2 * 5),
            bounds: "1 to 10 in half points".to_owned(),
        });
    }
    if let Some(step) = scale.iter().find(|s| (s.from_halves..=s.to_halves).contains(&halves)) {
        return Ok(step.reserve);
    }
    let above = scale.iter().filter(|s| s.from_halves > halves).min_by_key(|s| s.from_halves);
    let below = scale.iter().filter(|s| s.to_halves < halves).max_by_key(|s| s.to_halves);
    Ok(match (above.and_then(|s| s.reserve), below.and_then(|s| s.reserve)) {
        (Some(harder), Some(easier)) => Some(Reserve { from: harder.to, to: easier.from }),
        _ => None,
    })
}

/// The range of the scale, in half points, for a whole number of repetitions in reserve; `None` beyond six,
/// where the scale has no number.
///
/// # Errors
/// [`LoadError::Table`] when the built-in data are damaged.
pub fn to_effort(reserve: u32) -> Result<Option<(u32, u32)>, LoadError> {
    let exact = |s: &&Step| s.reserve == Some(Reserve { from: reserve, to: reserve });
    let within = |s: &&Step| s.reserve.is_some_and(|r| (r.from..=r.to).contains(&reserve));
    let scale = scale()?;
    let step = scale.iter().find(exact).or_else(|| scale.iter().find(within));
    Ok(step.map(|s| (s.from_halves, s.to_halves)))
}
