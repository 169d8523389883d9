//! The data files of this room, read and checked.

use super::cautions::{self, Caution};
use super::flags::{self, Flag};
use super::screening::{self, Row};
use crate::catalogue::Fault;
use serde::de::DeserializeOwned;

/// Flags, screening and cautions, as the data files state them.
#[derive(Debug, Clone)]
pub struct Rules {
    /// Every flag, in the order of the file: the most urgent first.
    pub flags: Vec<Flag>,
    /// The published outcomes of the screening.
    pub screening: Vec<Row>,
    /// The cautions, in the order in which they are shown.
    pub cautions: Vec<Caution>,
}

impl Rules {
    /// The rules that this build carries.
    ///
    /// # Errors
    /// The faults of the embedded files; none in a build whose tests pass.
    pub fn builtin() -> Result<Self, Vec<Fault>> {
        Self::read(
            include_str!("../../data/flags.csv"),
            include_str!("../../data/screening.csv"),
            include_str!("../../data/cautions.csv"),
        )
    }

    /// Reads and checks the texts of the three files.
    ///
    /// # Errors
    /// Every fault found, with its file, row, field and remedy.
    pub fn read(flags: &str, screening: &str, cautions: &str) -> Result<Self, Vec<Fault>> {
        let mut faults = Vec::new();
        let rules = Self {
            flags: flags::read(flags, &mut faults),
            screening: screening::read(screening, &mut faults),
            cautions: cautions::read(cautions, &mut faults),
        };
        if faults.is_empty() { Ok(rules) } else { Err(faults) }
    }

    /// The flag with this id.
    pub fn flag(&self, id: &str) -> Option<&Flag> {
        self.flags.iter().find(|f| f.id == id)
    }
}

/// Every row of a file that can be read, with its line (the header is line 1).
pub(super) fn rows<T: DeserializeOwned>(
    file: &'static str,
    text: &str,
    faults: &mut Vec<Fault>,
) -> Vec<(usize, T)> {
    let mut out = Vec::new();
    for (k, row) in csv::Reader::from_reader(text.as_bytes()).deserialize().enumerate() {
        match row {
            Ok(row) => out.push((k + 2, row)),
            Err(e) => faults.push(fault(file, k + 2, "row", e.to_string(), "write it as the header says")),
        }
    }
    out
}

pub(super) fn fault(
    file: &str,
    line: usize,
    field: &str,
    problem: impl Into<String>,
    remedy: impl Into<String>,
) -> Fault {
    Fault {
        file: file.to_owned(),
        row: line.to_string(),
        field: field.to_owned(),
        problem: problem.into(),
        remedy: remedy.into(),
    }
}

/// Faults of ids and wording keys that stand twice or are empty.
pub(super) fn once<'a>(
    file: &'static str,
    field: &'static str,
    values: impl Iterator<Item = (usize, &'a str)>,
    faults: &mut Vec<Fault>,
) {
    let mut seen = std::collections::BTreeSet::new();
    for (line, value) in values {
        if value.trim().is_empty() {
            faults.push(fault(file, line, field, "empty", "write it"));
        } else if !seen.insert(value) {
            faults.push(fault(file, line, field, format!("{value:?} stands twice"), "keep one of them"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_rules_are_sound() {
        let rules = Rules::builtin().unwrap();
        assert_eq!(rules.screening.len(), 6);
        assert!(rules.flags.iter().all(|f| rules.flag(&f.id) == Some(f)));
        assert!(rules.flag("none").is_none());
    }

    #[test]
    fn a_damaged_file_names_row_field_and_remedy() {
        let flags = "id,tier,region,care,asked_of,source,words\na,4,no,emergency,everyone,x,k\na,1,maybe,emergency,everyone,,k\nb,3,no,before_region,everyone,x,l\n";
        let faults = Rules::read(flags, "", "id,order,when,source,words\nc,1,moon,x,w\n").unwrap_err();
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        for wanted in [
            "flags.csv, row 2, tier",
            "flags.csv, row 3, region",
            "flags.csv, row 3, source",
            "flags.csv, row 4, region",
            "cautions.csv, row 2, when",
            "screening.csv",
        ] {
            assert!(told.iter().any(|t| t.contains(wanted)), "{wanted} in {told:#?}");
        }
        assert!(faults.iter().all(|f| !f.remedy.is_empty()));
    }
}
