//! What a movement is, what it trains, and what may stand in for it.
//!
//! The data are files under `core/data/`; this room reads them, checks every row and names each fault.

mod check;
mod fault;
mod files;
mod movement;
mod own;
mod parse;
mod stand_in;
mod text;

pub use fault::Fault;
pub use files::Files;
pub use movement::{
    Attribution, HeavyClass, Laterality, LoadKind, Lying, Measure, Movement, PairClass, RegionFlag,
    ShareKind, Tier, Trap,
};
pub use own::{OwnAttribution, OwnMovement};
pub use stand_in::{StandIn, StandInKind};
pub use text::{CommonFault, Text, Texts};

use serde::Serialize;
use std::collections::BTreeMap;

/// A muscle group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Muscle {
    /// Id, for ever.
    pub id: String,
    /// Name in English.
    pub name: String,
    /// `lower`, `upper` or `trunk`.
    pub region: String,
    /// A major muscle, which a week should train on two days.
    pub major: bool,
}

/// What kind of work a pattern is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PatternKind {
    /// Several joints.
    Compound,
    /// One joint.
    SingleJoint,
    /// Trunk.
    Trunk,
    /// Carry.
    Carry,
}

/// Whether a pattern presses or pulls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Neither.
    None,
    /// Press.
    Push,
    /// Pull.
    Pull,
}

/// A movement pattern.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pattern {
    /// Id, for ever.
    pub id: String,
    /// Name in English.
    pub name: String,
    /// Kind of work.
    pub kind: PatternKind,
    /// The base group that it belongs to, if any: what a balanced week visits.
    pub base_group: Option<String>,
    /// Press, pull or neither.
    pub direction: Direction,
}

/// A piece of kit, or a region of the body: an id and a name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Named {
    /// Id, for ever.
    pub id: String,
    /// Name in English.
    pub name: String,
}

/// The whole catalogue, checked.
#[derive(Debug, Clone)]
pub struct Catalogue {
    /// Version, carried by every programme.
    pub version: String,
    /// The muscle groups.
    pub muscles: Vec<Muscle>,
    /// The patterns.
    pub patterns: Vec<Pattern>,
    /// The kit.
    pub equipment: Vec<Named>,
    /// The regions.
    pub regions: Vec<Named>,
    /// The movements.
    pub movements: Vec<Movement>,
    /// Who may stand in for whom.
    pub stand_ins: Vec<StandIn>,
    by_id: BTreeMap<String, usize>,
}

impl Catalogue {
    /// Reads and checks `files`.
    ///
    /// # Errors
    /// Every fault found, each with its file, row, field and remedy.
    pub fn read(files: &Files<'_>) -> Result<Self, Vec<Fault>> {
        parse::catalogue(files)
    }

    /// The catalogue that this build carries.
    ///
    /// # Errors
    /// The faults of the embedded files; none in a build whose tests pass.
    pub fn builtin() -> Result<Self, Vec<Fault>> {
        Self::read(&Files::builtin())
    }

    /// Index of a movement by id.
    pub fn find(&self, id: &str) -> Option<usize> {
        self.by_id.get(id).copied()
    }

    /// The movement with this id.
    pub fn movement(&self, id: &str) -> Option<&Movement> {
        self.find(id).map(|m| &self.movements[m])
    }

    /// The stand-ins of a movement, in the order of the file.
    pub fn stand_ins_of(&self, movement: usize) -> impl Iterator<Item = &StandIn> {
        self.stand_ins.iter().filter(move |s| s.from == movement)
    }

    /// Index of a muscle by id.
    pub fn muscle(&self, id: &str) -> Option<usize> {
        self.muscles.iter().position(|m| m.id == id)
    }

    /// Index of a pattern by id.
    pub fn pattern(&self, id: &str) -> Option<usize> {
        self.patterns.iter().position(|m| m.id == id)
    }

    /// Index of a piece of kit by id.
    pub fn kit(&self, id: &str) -> Option<usize> {
        self.equipment.iter().position(|m| m.id == id)
    }

    /// Index of a region by id.
    pub fn region(&self, id: &str) -> Option<usize> {
        self.regions.iter().position(|m| m.id == id)
    }

    /// Ids near `id` in spelling or holding it, for error messages: at most three.
    pub fn similar(&self, id: &str) -> Vec<&str> {
        let wanted: Vec<&str> = id.split(['_', ' ', '-']).filter(|w| w.len() > 2).collect();
        let mut scored: Vec<(usize, &str)> = self
            .movements
            .iter()
            .map(|m| (wanted.iter().filter(|w| m.id.contains(**w)).count(), m.id.as_str()))
            .filter(|(n, _)| *n > 0)
            .collect();
        scored.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
        scored.into_iter().take(3).map(|(_, id)| id).collect()
    }

    /// The catalogue with own movements added, each checked as strictly as a row of the files.
    ///
    /// # Errors
    /// Every fault of every movement; then none is added.
    pub fn with_own(&self, own: &[OwnMovement]) -> Result<Self, Vec<Fault>> {
        own::add(self, own)
    }

    /// The catalogue with those of a programme's own movements that it does not know. One that is no movement stays out:
    /// its faults come back.
    pub fn learning(&self, own: &[OwnMovement]) -> (Self, Vec<Fault>) {
        let (mut out, mut faults) = (self.clone(), Vec::new());
        for one in own.iter().filter(|o| self.movement(&o.id).is_none()) {
            match out.with_own(std::slice::from_ref(one)) {
                Ok(with) => out = with,
                Err(mut wrong) => faults.append(&mut wrong),
            }
        }
        (out, faults)
    }
}
