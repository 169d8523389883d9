//! The parts of which Plinth is built, with their licences and notices.

use super::Making;
use crate::companion::Companion;
use crate::page::{Block, Spot, TableRow};
use crate::table;
use serde::Deserialize;

const PARTS: &str = include_str!("../../../data/licences.csv");

/// The licences under which the parts are taken, by their SPDX names.
const TEXTS: [(&str, &str); 7] = [
    ("MIT", include_str!("../../../data/licences/MIT.txt")),
    ("Apache-2.0", include_str!("../../../data/licences/Apache-2.0.txt")),
    ("BSD-3-Clause", include_str!("../../../data/licences/BSD-3-Clause.txt")),
    ("Zlib", include_str!("../../../data/licences/Zlib.txt")),
    ("Unicode-3.0", include_str!("../../../data/licences/Unicode-3.0.txt")),
    ("CC0-1.0", include_str!("../../../data/licences/CC0-1.0.txt")),
    ("MPL-2.0", include_str!("../../../data/licences/MPL-2.0.txt")),
];

/// A part, as `licences.csv` lists it.
#[derive(Debug, Deserialize)]
struct Part {
    #[serde(rename = "part")]
    name: String,
    version: String,
    /// What its authors offer.
    licence: String,
    /// Under which of it Plinth takes it.
    taken: String,
    copyright: String,
}

fn parts() -> impl Iterator<Item = Part> {
    // A test reads every row: none is left out in a build whose tests pass.
    table::rows::<Part>(PARTS).into_iter().filter_map(Result::ok).map(|(_, part)| part)
}

/// Whether there is a licence of this name.
pub(super) fn is_licence(id: &str) -> bool {
    TEXTS.iter().any(|(name, _)| *name == id)
}

impl Companion {
    pub(super) fn licences_page(&self) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-licences", &[]));
        page.sentence(s.say("licences-intro", &[]));
        for (name, _) in TEXTS {
            page.line(name, Vec::new(), Spot::Licence { id: name.to_owned() });
        }
        let row = |p: Part| {
            let name = if p.version.is_empty() { p.name } else { format!("{} {}", p.name, p.version) };
            TableRow { cells: vec![name, p.licence, p.taken, p.copyright] }
        };
        page.blocks.push(Block::Table {
            caption: s.say("licences-parts", &[]),
            heads: ["licences-part", "licences-offered", "licences-taken", "licences-notice"]
                .map(|k| s.say(k, &[]))
                .to_vec(),
            rows: parts().map(row).collect(),
        });
        page
    }

    /// The text of a licence, a paragraph at a time.
    pub(super) fn licence_page(&self, id: &str) -> Making<'_> {
        let mut page = Making::new(&self.speech, id.to_owned());
        let text = TEXTS.iter().find(|(name, _)| *name == id).map_or("", |(_, text)| text);
        for paragraph in text.split("\n\n") {
            let paragraph = paragraph.split_whitespace().collect::<Vec<_>>().join(" ");
            if !paragraph.is_empty() {
                page.sentence(paragraph);
            }
        }
        page
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_has_a_notice_and_a_licence_whose_text_is_here() {
        let rows = table::rows::<Part>(PARTS);
        assert!(rows.len() > 50, "{}", rows.len());
        for row in rows {
            let (line, part) = row.unwrap();
            assert!(!part.copyright.trim().is_empty() && !part.licence.is_empty(), "line {line}");
            for taken in part.taken.split(" AND ").filter(|t| *t != "public domain") {
                assert!(is_licence(taken), "line {line}: {taken}");
                assert!(part.licence.contains(taken), "line {line}: {taken} is not offered");
            }
        }
        for (name, text) in TEXTS {
            assert!(text.len() > 500, "{name}");
            assert!(parts().any(|p| p.taken.contains(name)), "{name}: nothing is taken under it");
        }
    }
}
