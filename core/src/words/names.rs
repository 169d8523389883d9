//! The English names in the catalogue's own files, which no message repeats.

use std::collections::BTreeMap;

const FILES: &[(&str, &str)] = &[
    ("movement", include_str!("../../data/movements.csv")),
    ("muscle", include_str!("../../data/muscles.csv")),
    ("pattern", include_str!("../../data/patterns.csv")),
    ("region", include_str!("../../data/regions.csv")),
    ("kit", include_str!("../../data/equipment.csv")),
];

/// English names by kind and id.
#[derive(Debug, Default)]
pub(super) struct Names {
    by_id: BTreeMap<(&'static str, String), String>,
}

impl Names {
    /// The names of the built-in catalogue. A row that cannot be read has none; the catalogue's own check says so.
    pub(super) fn builtin() -> Self {
        let mut by_id = BTreeMap::new();
        for (kind, text) in FILES {
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            for row in reader.records().flatten() {
                if let (Some(id), Some(name)) = (row.get(0), row.get(1)) {
                    by_id.insert((*kind, id.to_owned()), name.to_owned());
                }
            }
        }
        Self { by_id }
    }

    pub(super) fn of(&self, kind: &str, id: &str) -> Option<&str> {
        let kind = FILES.iter().map(|(k, _)| *k).find(|k| *k == kind)?;
        self.by_id.get(&(kind, id.to_owned())).map(String::as_str)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    #[test]
    fn every_name_is_the_catalogues() {
        let names = Names::builtin();
        let c = Catalogue::builtin().unwrap();
        for m in &c.movements {
            assert_eq!(names.of("movement", &m.id), Some(m.name.as_str()));
        }
        for m in &c.muscles {
            assert_eq!(names.of("muscle", &m.id), Some(m.name.as_str()));
        }
        for p in &c.patterns {
            assert_eq!(names.of("pattern", &p.id), Some(p.name.as_str()));
        }
        for (kind, list) in [("region", &c.regions), ("kit", &c.equipment)] {
            for n in list {
                assert_eq!(names.of(kind, &n.id), Some(n.name.as_str()));
            }
        }
    }
}
