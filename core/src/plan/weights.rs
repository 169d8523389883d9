//! The versioned table of prices, budgets and targets: `core/data/weights.toml`.

use super::brief::TrainingAge;
use crate::table::rows;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A value by training age.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ByAge {
    novice: i32,
    intermediate: i32,
    advanced: i32,
}

impl ByAge {
    pub(super) fn of(&self, age: TrainingAge) -> i32 {
        match age {
            TrainingAge::Novice => self.novice,
            TrainingAge::Intermediate => self.intermediate,
            TrainingAge::Advanced => self.advanced,
        }
    }
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ByRank {
    pub(super) major: i32,
    pub(super) minor: i32,
    pub(super) support: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Axial {
    pub(super) novice: i32,
    pub(super) otherwise: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PriceTable {
    pub(super) group_missing: i32,
    pub(super) day_missing: i32,
    pub(super) near_muscle_free: i32,
    pub(super) near_muscle: i32,
    pub(super) near_axial_free: i32,
    pub(super) near_axial: i32,
    pub(super) near_heavy: i32,
    pub(super) longest: i32,
    pub(super) few_movements: i32,
    pub(super) no_carrying: i32,
    pub(super) push_pull: i32,
    pub(super) required: i32,
    pub(super) required_rank: i32,
    pub(super) preferred: i32,
    pub(super) carrying_exposure: i32,
    pub(super) below_minimum: i32,
    pub(super) below_target: ByRank,
    pub(super) above_maximum: i32,
    pub(super) priority_factor: i32,
    pub(super) fatigue_set: i32,
    pub(super) discomfort_set: i32,
    pub(super) avoid_set: i32,
    #[serde(rename = "use")]
    pub(super) distinct: ByAge,
    pub(super) skill_session: i32,
    pub(super) no_load_session: ByAge,
    pub(super) hold_session: i32,
    pub(super) one_sided_session: i32,
    pub(super) light_session: i32,
    pub(super) explosive_session: i32,
    pub(super) ankle_session: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SessionTable {
    pub(super) movements_by_minutes: Vec<(i32, i32)>,
    pub(super) movements_otherwise: i32,
    pub(super) movements_extra_in_turn: i32,
    pub(super) single_joint_by_minutes: Vec<(i32, i32)>,
    pub(super) single_joint_otherwise: i32,
    pub(super) trunk: i32,
    pub(super) few_by_minutes: Vec<(i32, i32)>,
    pub(super) few_otherwise: i32,
    pub(super) axial: Axial,
    pub(super) axial_low_back: [i32; 4],
    pub(super) fatigue_by_age: Vec<(i32, i32)>,
    pub(super) fatigue_otherwise: i32,
    pub(super) grip: [i32; 4],
    pub(super) muscle_cap: ByAge,
    pub(super) warm_up_by_minutes: Vec<(i32, i32)>,
    pub(super) warm_up_otherwise: i32,
    pub(super) ankle_mobility_s: i32,
    pub(super) short_patterns_days: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SetTable {
    pub(super) main: (i32, i32),
    pub(super) compound: (i32, i32),
    pub(super) single_joint: (i32, i32),
    pub(super) trunk: (i32, i32),
    pub(super) carrying_min: i32,
    pub(super) novice_less: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ExposureTable {
    pub(super) most: i32,
    pub(super) most_fatigue_five: i32,
    pub(super) most_floor_pull: i32,
    pub(super) carrying_wanted: i32,
    pub(super) base_group_wanted_from_days: i32,
    pub(super) base_group_wanted: i32,
    pub(super) muscle_days_wanted: i32,
    pub(super) muscle_day_threshold: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TimingTable {
    pub(super) repetition_tenths: i32,
    pub(super) trunk_set_s: i32,
    pub(super) ramp_main_s: i32,
    pub(super) ramp_compound_s: i32,
    pub(super) pair_change_s: i32,
    pub(super) rest_most_otherwise_s: i32,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PrescriptionRow {
    pub(super) tier: String,
    pub(super) reps: [(i32, i32); 3],
    pub(super) reserve: [i32; 3],
    pub(super) rest_s: [i32; 3],
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TargetRow {
    pub(super) goal: String,
    pub(super) major: [(i32, i32, i32); 3],
    pub(super) minor: [(i32, i32, i32); 3],
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Support {
    pub(super) muscles: Vec<String>,
    pub(super) target: (i32, i32, i32),
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct WeightFile {
    version: String,
    prices: PriceTable,
    session: SessionTable,
    sets: SetTable,
    exposures: ExposureTable,
    timing: TimingTable,
    prescription: Vec<PrescriptionRow>,
    target: Vec<TargetRow>,
    support: Support,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct CarryingRow {
    base_group: String,
    #[allow(dead_code)] // the rows stand in this order; named so that an unknown column is a fault
    rank: u32,
    movement: String,
    #[allow(dead_code)] // for the reader
    note: String,
}

/// The table of weights, and the order in which movements come to carry a programme.
#[derive(Debug, Clone)]
pub struct Weights {
    /// Version, carried by every programme.
    pub version: String,
    pub(super) prices: PriceTable,
    pub(super) session: SessionTable,
    pub(super) sets: SetTable,
    pub(super) exposures: ExposureTable,
    pub(super) timing: TimingTable,
    pub(super) prescription: Vec<PrescriptionRow>,
    pub(super) target: Vec<TargetRow>,
    pub(super) support: Support,
    /// Movements by base group, the first choice first.
    pub(super) carrying: BTreeMap<String, Vec<String>>,
}

/// A fault of the weights file: what serde or the check said.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{file}: {problem}")]
pub struct WeightsFault {
    file: &'static str,
    problem: String,
}

impl Weights {
    /// Seconds that changing places in a pair takes.
    pub fn pair_change_s(&self) -> i32 {
        self.timing.pair_change_s
    }

    /// Seconds that one ramp set of a movement of this tier is reckoned at.
    pub fn ramp_set_s(&self, tier: crate::catalogue::Tier) -> i32 {
        if tier == crate::catalogue::Tier::Main {
            self.timing.ramp_main_s
        } else {
            self.timing.ramp_compound_s
        }
    }

    /// The weights that this build carries.
    ///
    /// # Errors
    /// The fault of the embedded file; none in a build whose tests pass.
    pub fn builtin() -> Result<Self, WeightsFault> {
        Self::read(include_str!("../../data/weights.toml"), include_str!("../../data/carrying.csv"))
    }

    /// Reads and checks a table of weights.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(weights: &str, carrying: &str) -> Result<Self, WeightsFault> {
        let fault = |problem: String| WeightsFault { file: "weights.toml", problem };
        let f: WeightFile = toml::from_str(weights).map_err(|e| fault(e.to_string()))?;
        for tier in ["main", "compound", "single_joint", "trunk"] {
            if !f.prescription.iter().any(|p| p.tier == tier) {
                return Err(fault(format!("no prescription for tier {tier}; add one")));
            }
        }
        for goal in ["strength", "size", "health"] {
            if !f.target.iter().any(|t| t.goal == goal) {
                return Err(fault(format!("no target for goal {goal}; add one")));
            }
        }
        let mut by_group: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for row in rows::<CarryingRow>(carrying) {
            let (_, row) = row.map_err(|f| WeightsFault {
                file: "carrying.csv",
                problem: format!("line {}, column {}: {}; {}", f.line, f.column, f.problem, f.remedy),
            })?;
            by_group.entry(row.base_group).or_default().push(row.movement);
        }
        Ok(Self {
            version: f.version,
            prices: f.prices,
            session: f.session,
            sets: f.sets,
            exposures: f.exposures,
            timing: f.timing,
            prescription: f.prescription,
            target: f.target,
            support: f.support,
            carrying: by_group,
        })
    }
}

/// The value of the first row whose bound is above `key`.
pub(super) fn below(rows: &[(i32, i32)], otherwise: i32, key: i32) -> i32 {
    rows.iter().find(|(bound, _)| key < *bound).map_or(otherwise, |(_, value)| *value)
}
