//! Shared helpers of the cross-cutting tests: the corpus of invented briefs, and what the fault tests need.

pub mod doors;

pub mod faults;
pub mod meeting_point;
pub mod packages;

pub mod lifters;

#[cfg(feature = "boundary")]
pub mod vectors;

pub mod walk;

use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::{Brief, Limits, Minutes, Screening};
use plinth_core::plan::model::{Instance, Slot, Week};
use plinth_core::plan::programme::Programme;
use plinth_core::plan::sample::{KITS, sample_brief};
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Case, Keep, Planner, Solved, Weights, build};
use serde::Deserialize;
use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::path::PathBuf;

/// Briefs of the frozen corpus: the seeds 0 to 199.
pub const CORPUS: u64 = 200;

/// Fields of an instance that say what it was made from.
const VERSIONS: [&str; 2] = ["catalogue_version", "weights_version"];

/// The built-in data that every test plans with.
#[derive(Debug)]
pub struct Data {
    /// The catalogue.
    pub catalogue: Catalogue,
    /// The weights.
    pub weights: Weights,
}

impl Data {
    /// Reads the built-in data.
    ///
    /// # Errors
    /// Its faults, as text.
    pub fn builtin() -> Result<Self, String> {
        let catalogue = Catalogue::builtin().map_err(|f| format!("{f:?}"))?;
        let weights = Weights::builtin().map_err(|e| e.to_string())?;
        Ok(Self { catalogue, weights })
    }

    /// The brief of a seed.
    pub fn brief(&self, seed: u64) -> Brief {
        sample_brief(seed, &self.catalogue)
    }

    /// The case of a seed.
    pub fn case(&self, seed: u64) -> Case {
        build(&self.brief(seed), &self.catalogue, &self.weights, Keep::Undominated)
    }

    /// The planner of this data.
    pub fn planner(&self) -> Planner<'_> {
        Planner::new(&self.catalogue, &self.weights)
    }

    /// A brief solved with so much effort.
    pub fn solve(&self, brief: &Brief, effort: Effort) -> Solved {
        self.planner().solve(brief, effort, &mut |_| true)
    }

    /// The programme of a brief, quickly found.
    pub fn publish(&self, brief: &Brief) -> Programme {
        let solved = self.solve(brief, Effort { evaluations: 20_000, chains: 1 });
        self.planner().programme(brief, &solved).programme
    }

    /// A brief of three days in a gym, with no limits, wishes or discomforts.
    pub fn gym(&self) -> Brief {
        Brief {
            days: 3,
            weekdays: Vec::new(),
            minutes: Minutes::Same(75),
            equipment: KITS[0].1.iter().map(ToString::to_string).collect(),
            discomforts: Vec::new(),
            limits: Limits { screening: Screening::AnsweredNoLimit, ..Limits::default() },
            wishes: Vec::new(),
            carrying: None,
            alone: false,
            in_turn: false,
            ..self.brief(1)
        }
    }
}

/// SHA-256 of an instance's canonical JSON (sorted keys, no spaces) without the versions of the data, which are
/// labels and no part of what is solved: what `tests/judge/solve.py` calls its digest.
///
/// # Errors
/// When the instance cannot be written as JSON.
pub fn digest(instance: &Instance) -> Result<String, serde_json::Error> {
    let mut value = serde_json::to_value(instance)?;
    if let Some(fields) = value.as_object_mut() {
        fields.retain(|name, _| !VERSIONS.contains(&name.as_str()));
    }
    let text = value.to_string();
    let mut out = String::with_capacity(64);
    for byte in Sha256::digest(text.as_bytes()) {
        let _ = write!(out, "{byte:02x}");
    }
    Ok(out)
}

/// A row of the frozen corpus: what the independent solver found.
#[derive(Debug, Clone, Deserialize)]
pub struct Frozen {
    /// The seed, three digits.
    pub id: String,
    /// Digest of the instance that was solved.
    pub digest: String,
    /// `optimal` or `feasible`.
    pub status: String,
    /// Points of the best week known.
    pub objective: i64,
    /// The solver's lower bound.
    pub bound: Option<i64>,
    /// Seconds that it took.
    pub seconds: f64,
}

impl Frozen {
    /// Whether the objective is proved to be the least.
    pub fn proved(&self) -> bool {
        self.status == "optimal"
    }

    /// The seed.
    pub fn seed(&self) -> u64 {
        self.id.parse().unwrap_or(u64::MAX)
    }
}

/// Where the tests' data lie.
pub fn data_folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data")
}

/// The frozen corpus.
///
/// # Errors
/// When the file is missing or a row is faulty.
pub fn frozen() -> Result<Vec<Frozen>, csv::Error> {
    csv::Reader::from_path(data_folder().join("corpus.csv"))?.deserialize().collect()
}

/// A week as the judge writes it: for each day its movements by id with their sets.
pub fn week_by_id(instance: &Instance, week: &Week) -> Vec<Vec<(String, i32)>> {
    let day = |slots: &Vec<Slot>| {
        slots.iter().map(|s| (instance.movements[s.movement].id.clone(), s.sets)).collect()
    };
    week.days.iter().map(day).collect()
}

/// Sessions of each movement over the first hundred briefs of the corpus, in the order of the catalogue.
pub fn uses(data: &Data) -> Vec<(String, i32)> {
    let mut sessions = vec![0; data.catalogue.movements.len()];
    for seed in 0..CORPUS / 2 {
        let solved = data.solve(&data.brief(seed), Effort::QUICK);
        for slot in solved.week.days.iter().flatten() {
            sessions[solved.case.movements[slot.movement]] += 1;
        }
    }
    data.catalogue.movements.iter().map(|m| m.id.clone()).zip(sessions).collect()
}
