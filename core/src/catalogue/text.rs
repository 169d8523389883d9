//! What a lifter reads about a movement.

use super::{Catalogue, Fault, Trap, fault::Faults};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A fault of technique and its remedy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CommonFault {
    /// What goes wrong.
    pub fault: String,
    /// What to do about it.
    pub remedy: String,
}

/// What a lifter reads about one movement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Text {
    /// Where things stand and how to get into position.
    pub set_up: String,
    /// Technique cues, three to six.
    pub cues: Vec<String>,
    /// Common faults with their remedies, two or more.
    pub faults: Vec<CommonFault>,
    /// How deep or how far.
    pub range: String,
    /// When to breathe.
    pub breathing: String,
    /// What can hurt.
    pub cautions: Vec<String>,
    /// How to get out, learnt before the set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bail_out: Option<String>,
    /// What makes it easier.
    pub easier: String,
    /// What makes it harder.
    pub harder: String,
    /// Source of the text.
    pub source: String,
}

/// The texts of all movements by id.
#[derive(Debug, Clone, Default)]
pub struct Texts {
    by_id: BTreeMap<String, Text>,
}

const FILES: &[(&str, &str)] = &[
    ("texts/squat.toml", include_str!("../../data/texts/squat.toml")),
    ("texts/lunge.toml", include_str!("../../data/texts/lunge.toml")),
    ("texts/lower_single_joint.toml", include_str!("../../data/texts/lower_single_joint.toml")),
    ("texts/hinge.toml", include_str!("../../data/texts/hinge.toml")),
    ("texts/knee_flexion.toml", include_str!("../../data/texts/knee_flexion.toml")),
    ("texts/trunk.toml", include_str!("../../data/texts/trunk.toml")),
    ("texts/horizontal_press.toml", include_str!("../../data/texts/horizontal_press.toml")),
    ("texts/vertical_press.toml", include_str!("../../data/texts/vertical_press.toml")),
    ("texts/push_single_joint.toml", include_str!("../../data/texts/push_single_joint.toml")),
    ("texts/horizontal_pull.toml", include_str!("../../data/texts/horizontal_pull.toml")),
    ("texts/vertical_pull.toml", include_str!("../../data/texts/vertical_pull.toml")),
    ("texts/additions.toml", include_str!("../../data/texts/additions.toml")),
    ("texts/pull_single_joint.toml", include_str!("../../data/texts/pull_single_joint.toml")),
];

impl Texts {
    /// The texts that this build carries.
    ///
    /// # Errors
    /// Every fault with its file, movement, field and remedy.
    pub fn builtin(catalogue: &Catalogue) -> Result<Self, Vec<Fault>> {
        Self::read(catalogue, FILES)
    }

    /// Reads texts from named files and checks them against the catalogue: every movement has its text,
    /// complete, and no cue serves more than three movements.
    ///
    /// # Errors
    /// Every fault with its file, movement, field and remedy.
    pub fn read(catalogue: &Catalogue, files: &[(&str, &str)]) -> Result<Self, Vec<Fault>> {
        let mut list = Vec::new();
        let mut by_id: BTreeMap<String, Text> = BTreeMap::new();
        let mut cue_uses: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (file, source) in files {
            let read: BTreeMap<String, Text> = match toml::from_str(source) {
                Ok(read) => read,
                Err(e) => {
                    let mut faults = Faults { file, row: "-".into(), list: &mut list };
                    faults.add("file", e.to_string().replace('\n', " "), "mend the TOML at the place named");
                    continue;
                }
            };
            for (id, text) in read {
                let mut faults = Faults { file, row: id.clone(), list: &mut list };
                match catalogue.movement(&id) {
                    None => faults.add("id", "no such movement", "use an id of movements.csv"),
                    Some(movement) => check(&text, movement.trap, &mut faults),
                }
                for cue in &text.cues {
                    cue_uses.entry(cue.trim().to_lowercase()).or_default().push(id.clone());
                }
                if by_id.insert(id, text).is_some() {
                    faults.add("id", "a second text for this movement", "keep one of them");
                }
            }
        }
        for (cue, ids) in &cue_uses {
            if ids.len() > 3 {
                let mut faults = Faults { file: "texts", row: ids.join(" "), list: &mut list };
                faults.add("cues", format!("{cue:?} serves {} movements", ids.len()), "write one for each");
            }
        }
        for movement in catalogue.movements.iter().filter(|m| !m.own && !by_id.contains_key(&m.id)) {
            let mut faults = Faults { file: "texts", row: movement.id.clone(), list: &mut list };
            faults.add("id", "no text for this movement", "add a table with its id");
        }
        if list.is_empty() { Ok(Self { by_id }) } else { Err(list) }
    }

    /// The text of a movement.
    pub fn of(&self, id: &str) -> Option<&Text> {
        self.by_id.get(id)
    }
}

fn check(text: &Text, trap: Trap, faults: &mut Faults<'_>) {
    let fields = [
        ("set_up", &text.set_up),
        ("range", &text.range),
        ("breathing", &text.breathing),
        ("easier", &text.easier),
        ("harder", &text.harder),
        ("source", &text.source),
    ];
    for (name, value) in fields {
        if value.trim().is_empty() {
            faults.add(name, "empty", "write it");
        }
    }
    if !(3..=6).contains(&text.cues.len()) {
        faults.add("cues", format!("{} cues", text.cues.len()), "give three to six");
    }
    if text.faults.len() < 2 {
        faults.add("faults", "fewer than two", "give at least two, each with its remedy");
    }
    if text.cautions.is_empty() {
        faults.add("cautions", "none", "say what can hurt and what to check");
    }
    let blank = |s: &String| s.trim().is_empty();
    let pairs = text.faults.iter().flat_map(|f| [&f.fault, &f.remedy]);
    if text.cues.iter().chain(&text.cautions).chain(pairs).any(blank) {
        faults.add("cues", "an empty line among cues, faults or cautions", "write it or take it out");
    }
    if trap != Trap::None && text.bail_out.as_ref().is_none_or(blank) {
        faults.add("bail_out", "missing where a failed repetition can trap the lifter", "say how to get out");
    }
}
