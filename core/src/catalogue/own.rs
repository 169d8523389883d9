//! Movements that a lifter or coach adds, under the same checks as the files.

use super::check::check_attributions;
use super::fault::Faults;
use super::movement::{Attribution, ShareKind};
use super::parse::{Known, MovementRow, check_id, movement};
use super::{Catalogue, Fault};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A movement of one's own. The fields mean what the columns of `movements.csv` mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnMovement {
    /// Id; must begin with `own_`, so that no later catalogue can collide with it.
    pub id: String,
    /// Name.
    pub name: String,
    /// Id of a pattern.
    pub pattern: String,
    /// `main`, `compound`, `single_joint` or `trunk`.
    pub tier: String,
    /// Joint actions under load.
    pub joint_actions: Vec<String>,
    /// Alternatives, each a list of kit that is all needed; `[]` needs only the floor.
    pub equipment: Vec<Vec<String>>,
    /// `both`, `each` or `paired`.
    pub laterality: String,
    /// `repetitions`, `hold` or `carry`.
    #[serde(default = "repetitions")]
    pub measure: String,
    /// What the load is.
    pub load_kind: String,
    /// Load passing down the spine, 0-3.
    pub axial: i32,
    /// Systemic fatigue of a set, 1-5.
    pub fatigue: i32,
    /// Skill, 1-4.
    pub skill: i32,
    /// Demand on the grip, 0-3.
    pub grip: i32,
    /// Regions it asks something of, as `region:weight`.
    #[serde(default)]
    pub flags: Vec<String>,
    /// `push`, `pull`, `legs`, `trunk` or `none`.
    pub pair_class: String,
    /// `none`, `chest` or `shoulders`.
    #[serde(default = "none")]
    pub trap: String,
    /// `squat`, `floor_pull` or `none`.
    #[serde(default = "none")]
    pub heavy_class: String,
    /// `yes` or `no`.
    #[serde(default = "no")]
    pub from_floor: String,
    /// `back`, `front` or `no`.
    #[serde(default = "no")]
    pub lying: String,
    /// Seconds to set up.
    pub set_up_s: i32,
    /// Ramp sets.
    pub ramp_sets: i32,
    /// Smallest load step in kilograms, as a decimal string.
    pub load_step_kg: String,
    /// What it trains.
    pub trains: Vec<OwnAttribution>,
}

/// A muscle that an own movement trains.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnAttribution {
    /// Id of a muscle.
    pub muscle: String,
    /// `direct` or `indirect`.
    pub share: String,
    /// Why.
    pub reason: String,
    /// A second reason, needed from the second direct muscle on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub second_reason: Option<String>,
}

fn repetitions() -> String {
    "repetitions".into()
}

fn none() -> String {
    "none".into()
}

fn no() -> String {
    "no".into()
}

const FILE: &str = "own movement";
const SOURCE: &str = "the person who added the movement";

pub(super) fn add(catalogue: &Catalogue, own: &[OwnMovement]) -> Result<Catalogue, Vec<Fault>> {
    let mut list = Vec::new();
    let mut out = catalogue.clone();
    for o in own {
        let mut faults = Faults { file: FILE, row: o.id.clone(), list: &mut list };
        if !o.id.starts_with("own_") {
            faults.add("id", format!("{:?}", o.id), "begin it with own_");
        }
        check_id(&o.id, out.by_id.contains_key(&o.id), &o.name, &mut faults);
        let known = Known {
            patterns: &catalogue.patterns,
            equipment: &catalogue.equipment,
            regions: &catalogue.regions,
        };
        let mut m = movement(&row(o), &known, true, &mut faults);
        for t in &o.trains {
            let Some(muscle) = catalogue.muscle(&t.muscle) else {
                faults.add("trains", format!("muscle {:?} is unknown", t.muscle), "use an id of muscles.csv");
                continue;
            };
            let Some(share) = ShareKind::read(&t.share) else {
                faults.add("trains", format!("share {:?}", t.share), "write direct or indirect");
                continue;
            };
            if m.trains.iter().any(|a| a.muscle == muscle) {
                faults.add("trains", format!("{:?} twice", t.muscle), "keep one of them");
            }
            let second = t.second_reason.clone().map(|r| (r, SOURCE.to_owned()));
            m.trains.push(Attribution {
                muscle,
                share,
                reason: t.reason.clone(),
                source: SOURCE.into(),
                second,
            });
        }
        check_attributions(&m, &mut faults);
        out.by_id.insert(m.id.clone(), out.movements.len());
        out.movements.push(m);
    }
    if list.is_empty() { Ok(out) } else { Err(list) }
}

fn row(o: &OwnMovement) -> MovementRow {
    let equipment = o
        .equipment
        .iter()
        .map(|a| if a.is_empty() { "floor".to_owned() } else { a.join("+") })
        .collect::<Vec<_>>()
        .join(";");
    MovementRow {
        id: o.id.clone(),
        name: o.name.clone(),
        pattern: o.pattern.clone(),
        tier: o.tier.clone(),
        joint_actions: o.joint_actions.join(";"),
        equipment,
        laterality: o.laterality.clone(),
        measure: o.measure.clone(),
        load_kind: o.load_kind.clone(),
        axial: o.axial.to_string(),
        fatigue: o.fatigue.to_string(),
        skill: o.skill.to_string(),
        grip: o.grip.to_string(),
        flags: o.flags.join(" "),
        pair_class: o.pair_class.clone(),
        trap: o.trap.clone(),
        heavy_class: o.heavy_class.clone(),
        from_floor: o.from_floor.clone(),
        lying: o.lying.clone(),
        set_up_s: o.set_up_s.to_string(),
        ramp_sets: o.ramp_sets.to_string(),
        load_step_kg: o.load_step_kg.clone(),
    }
}
