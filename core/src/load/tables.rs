//! The published tables, read from the data files that are built in.

use serde::de::DeserializeOwned;

use super::error::LoadError;
use crate::table::{self, TableFault};

pub(super) const EQUATIONS: &str = include_str!("../../data/tables/equations.csv");
pub(super) const COEFFICIENTS: &str = include_str!("../../data/tables/equation_coefficients.csv");
pub(super) const PERCENT_REPS: &str = include_str!("../../data/tables/percent_reps.csv");
pub(super) const RPE_RIR: &str = include_str!("../../data/tables/rpe_rir.csv");
pub(super) const RAMPS: &str = include_str!("../../data/tables/ramps.csv");
pub(super) const FIRST_LOADS: &str = include_str!("../../data/tables/first_loads.csv");

/// Every row of a table, by the names of its columns.
pub(super) fn rows<T: DeserializeOwned>(file: &'static str, text: &str) -> Result<Vec<T>, LoadError> {
    let told = |f: TableFault| {
        let row = f.line.saturating_sub(1) as usize;
        damaged(file, row, format!("column {}: {}; {}", f.column, f.problem, f.remedy))
    };
    table::rows(text).into_iter().map(|row| row.map(|(_, row)| row).map_err(told)).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)] // only its reading is looked at
    struct Row {
        reps: u32,
    }

    #[test]
    fn a_damaged_table_names_its_file_row_and_column() {
        for (text, row, column) in [("reps\n1\nmany\n", 2, "reps"), ("reps,colour\n1,red\n", 0, "colour")] {
            let e = rows::<Row>("some.csv", text).expect_err("damaged");
            assert!(matches!(&e, LoadError::Table { file: "some.csv", row: r, .. } if *r == row), "{e}");
            assert!(e.to_string().contains(&format!("column {column}")), "{e}");
        }
    }
}
