//! What is wrong on purpose: bad entries, and an answer for the cases to bend.

use super::BEGAN_MS;
use plinth_tests::data_folder;
use serde::Deserialize;
use serde_json::{Value, json};
use std::time::Duration;

/// One message takes no longer, on a machine that has other work too.
pub(crate) const LONG: Duration = Duration::from_secs(20);

/// A case of `tests/data/hostile/manifest.jsonl`: a bad entry for the door of the record.
#[derive(Deserialize)]
pub(crate) struct Case {
    #[serde(rename = "case")]
    pub(crate) name: String,
    door: String,
    file: Option<String>,
    among: Option<usize>,
    pub(crate) kept: Option<String>,
    #[serde(default)]
    pub(crate) told: Vec<Told>,
    pub(crate) refused: usize,
}

#[derive(Deserialize)]
pub(crate) struct Told {
    pub(crate) code: String,
    pub(crate) field: Option<String>,
}

/// Those cases, each with its bytes.
pub(crate) fn cases() -> Vec<(Case, Vec<u8>)> {
    let folder = data_folder().join("hostile");
    let manifest = std::fs::read_to_string(folder.join("manifest.jsonl")).unwrap();
    let cases = manifest.lines().map(|l| serde_json::from_str::<Case>(l).unwrap());
    // What is made of pieces is too long for a file; such bodies are made below.
    cases
        .filter(|c| c.door == "record" && c.among.is_some())
        .filter_map(|c| {
            let bytes = std::fs::read(folder.join(c.file.as_ref()?)).unwrap();
            Some((c, bytes))
        })
        .collect()
}

/// A sound answer to a first request of one entry, for the cases to bend.
pub(crate) fn sound() -> Value {
    json!({
        "protocol": 1, "epoch": "e", "server_ms": BEGAN_MS, "can": ["gzip", "ranges"],
        "limits": { "body_bytes": 4_194_304, "entries": 500, "ranges": 256, "drift_ms": 300_000 },
        "differs": null, "took": [0], "refused": [], "pull": [], "cursor": 1, "more": false,
        "sums": [], "ranges": [],
    })
}
