//! The cautions and the bail-out of a movement in the language spoken.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::{Language, Speech};
use crate::catalogue::{Text, Texts};

/// What is translated of one movement's text.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Part {
    /// Begins the digest of the English cautions and bail-out that were translated.
    #[cfg_attr(not(test), allow(dead_code))]
    // a test compares it, so that no translation goes stale unseen
    of: String,
    cautions: Vec<String>,
    #[serde(default)]
    bail_out: Option<String>,
}

/// The translated parts of a language by movement.
#[derive(Debug, Default)]
pub(super) struct Translated {
    by_id: BTreeMap<String, Part>,
}

impl Translated {
    fn read(language: Language) -> Self {
        let by_id = match language {
            Language::English => BTreeMap::new(),
            // A file that cannot be read leaves the English; a test says that it can.
            Language::German => {
                toml::from_str(include_str!("../../data/texts/de/cautions.toml")).unwrap_or_default()
            }
        };
        Self { by_id }
    }
}

impl Speech {
    fn translated(&self, id: &str) -> Option<&Part> {
        self.translated.get_or_init(|| Translated::read(self.language())).by_id.get(id)
    }

    /// What can hurt in a movement, one sentence or more each; English, marked so, where there is no translation.
    pub fn cautions(&self, texts: &Texts, id: &str) -> Vec<String> {
        let Some(text) = texts.of(id) else { return Vec::new() };
        match self.translated(id).filter(|part| part.cautions.len() == text.cautions.len()) {
            Some(part) => part.cautions.clone(),
            None => text.cautions.iter().map(|c| self.english(c)).collect(),
        }
    }

    /// How to get out of a movement, learnt before the set; `None` where nothing can trap the lifter.
    pub fn bail_out(&self, texts: &Texts, id: &str) -> Option<String> {
        let english = texts.of(id).and_then(|t: &Text| t.bail_out.as_deref())?;
        let part = self.translated(id).and_then(|part| part.bail_out.clone());
        Some(part.unwrap_or_else(|| self.english(english)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use sha2::{Digest, Sha256};

    /// The first eight hexadecimal digits of the SHA-256 of cautions and bail-out, a line each.
    fn digest(text: &Text) -> String {
        let mut lines = text.cautions.clone();
        lines.extend(text.bail_out.clone());
        let sum = Sha256::digest(lines.join("\n").as_bytes());
        let head = sum.iter().take(4).fold(0, |head: u32, b| head << 8 | u32::from(*b));
        format!("{head:08x}")
    }

    fn german() -> BTreeMap<String, Part> {
        toml::from_str(include_str!("../../data/texts/de/cautions.toml")).expect("it can be read")
    }

    #[test]
    fn every_caution_and_bail_out_has_its_german_and_none_is_stale() {
        let catalogue = Catalogue::builtin().expect("sound");
        let texts = Texts::builtin(&catalogue).expect("sound");
        let german = german();
        let mut wrong = Vec::new();
        for m in &catalogue.movements {
            let text = texts.of(&m.id).expect("a text");
            let Some(part) = german.get(&m.id) else {
                wrong.push(format!("{}: not translated; of = \"{}\"", m.id, digest(text)));
                continue;
            };
            if part.of != digest(text) {
                wrong.push(format!(
                    "{}: the English has changed; read it again, then set of = \"{}\"",
                    m.id,
                    digest(text)
                ));
            }
            if part.cautions.len() != text.cautions.len() {
                wrong.push(format!("{}: {} cautions of {}", m.id, part.cautions.len(), text.cautions.len()));
            }
            if part.bail_out.is_some() != text.bail_out.is_some() {
                wrong.push(format!("{}: the bail-out is in one language only", m.id));
            }
            if part.cautions.iter().chain(&part.bail_out).any(|t| t.trim().is_empty()) {
                wrong.push(format!("{}: an empty line", m.id));
            }
        }
        wrong.extend(
            german
                .keys()
                .filter(|id| catalogue.movement(id).is_none())
                .map(|id| format!("{id}: no such movement")),
        );
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    #[test]
    fn each_language_says_its_own_cautions() {
        let catalogue = Catalogue::builtin().expect("sound");
        let texts = Texts::builtin(&catalogue).expect("sound");
        let id = "barbell_back_squat";
        let english = texts.of(id).expect("a text");
        let [en, de] = Language::ALL.map(Speech::new);
        assert_eq!(en.cautions(&texts, id), english.cautions);
        assert_eq!(en.bail_out(&texts, id), english.bail_out);
        assert_eq!(de.cautions(&texts, id).len(), english.cautions.len());
        assert!(de.bail_out(&texts, id).is_some_and(|b| b.contains("Stange")));
        assert_eq!(de.bail_out(&texts, "plank"), None);
        assert!(de.cautions(&texts, "no_such_movement").is_empty());
    }
}
