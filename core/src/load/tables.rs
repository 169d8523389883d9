//! The published tables, read from the data files that are built in.

use serde::de::DeserializeOwned;

use super::error::LoadError;

pub(super) const EQUATIONS: &str = include_str!("../../data/tables/equations.csv");
pub(super) const COEFFICIENTS: &str = include_str!("../../data/tables/equation_coefficients.csv");
pub(super) const PERCENT_REPS: &str = include_str!("../../data/tables/percent_reps.csv");
pub(super) const RPE_RIR: &str = include_str!("../../data/tables/rpe_rir.csv");
pub(super) const RAMPS: &str = include_str!("../../data/tables/ramps.csv");
pub(super) const FIRST_LOADS: &str = include_str!("../../data/tables/first_loads.csv");

/// Every row of a table, by the names of its columns.
pub(super) fn rows<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<Vec<T>, LoadError> {
    csv::Reader::from_reader(text.as_bytes())
        .deserialize()
        .enumerate()
        .map(|(i, row)| row.map_err(|e| damaged(file, i + 1, e.to_string())))
        .collect()
}

pub(super) fn damaged(file: &'static str, row: usize, problem: impl Into<String>) -> LoadError {
    LoadError::Table { file, row, problem: problem.into() }
}

/// A decimal number as thousandths, exactly: `"3.28"` is 3280.
pub(super) fn thousandths(text: &str) -> Option<u32> {
    let (whole, part) = text.trim().split_once('.').unwrap_or((text.trim(), ""));
    if whole.is_empty() || part.len() > 3 || !whole.bytes().chain(part.bytes()).all(|b| b.is_ascii_digit()) {
        return None;
    }
    let whole: u32 = whole.parse().ok()?;
    let part: u32 = format!("{part:0<3}").parse().ok()?;
    whole.checked_mul(1000)?.checked_add(part)
}

/// `"5-6"` as 5 and 6, `"4"` as 4 and 4, each in thousandths.
pub(super) fn span(text: &str) -> Option<(u32, u32)> {
    let (low, high) = text.trim().split_once('-').unwrap_or((text, text));
    Some((thousandths(low)?, thousandths(high)?))
}
