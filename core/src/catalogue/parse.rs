//! Reads the data files row by row.

use super::check::{check_attributions, check_stand_ins};
use super::fault::{Fault, Faults};
use super::movement::{
    Attribution, HeavyClass, Laterality, LoadKind, Lying, Measure, Movement, PairClass, RegionFlag,
    ShareKind, Tier, Trap,
};
use super::{Catalogue, Direction, Files, Muscle, Named, Pattern, PatternKind, StandIn, StandInKind};
use crate::table::rows;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct VersionFile {
    version: String,
    #[allow(dead_code)] // read so that a missing licence is a fault
    licence: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MuscleRow {
    id: String,
    name: String,
    region: String,
    major: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PatternRow {
    id: String,
    name: String,
    kind: String,
    base_group: String,
    direction: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NamedRow {
    id: String,
    name: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AttributionRow {
    movement: String,
    muscle: String,
    share: String,
    reason: String,
    source: String,
    second_reason: String,
    second_source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StandInRow {
    from: String,
    to: String,
    kind: String,
    reason: String,
}

/// A movement as the files write it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MovementRow {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) pattern: String,
    pub(super) tier: String,
    pub(super) joint_actions: String,
    pub(super) equipment: String,
    pub(super) laterality: String,
    pub(super) measure: String,
    pub(super) load_kind: String,
    pub(super) axial: String,
    pub(super) fatigue: String,
    pub(super) skill: String,
    pub(super) grip: String,
    pub(super) flags: String,
    pub(super) pair_class: String,
    pub(super) trap: String,
    pub(super) heavy_class: String,
    pub(super) from_floor: String,
    pub(super) lying: String,
    pub(super) set_up_s: String,
    pub(super) ramp_sets: String,
    pub(super) load_step_kg: String,
}

/// Reads a CSV table; a row that cannot be read is a fault, the others go on.
fn table<R: DeserializeOwned>(file: &str, text: &str, list: &mut Vec<Fault>) -> Vec<(String, R)> {
    let mut out = Vec::new();
    for row in rows(text) {
        match row {
            Ok((line, row)) => out.push((line.to_string(), row)),
            Err(f) => {
                let mut faults = Faults { file, row: f.line.to_string(), list };
                faults.add(&f.column, f.problem, f.remedy);
            }
        }
    }
    out
}

fn named(file: &str, text: &str, list: &mut Vec<Fault>) -> Vec<Named> {
    let rows: Vec<(String, NamedRow)> = table(file, text, list);
    let mut out: Vec<Named> = Vec::new();
    for (row, r) in rows {
        let mut faults = Faults { file, row, list };
        check_id(&r.id, out.iter().any(|n| n.id == r.id), &r.name, &mut faults);
        out.push(Named { id: r.id, name: r.name });
    }
    out
}

pub(super) fn check_id(id: &str, taken: bool, name: &str, faults: &mut Faults<'_>) {
    if id.is_empty() || !id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_') {
        faults.add("id", format!("{id:?} is not an id"), "use lower case letters, digits and underscores");
    }
    if taken {
        faults.add("id", format!("{id:?} is taken"), "choose another; ids are for ever");
    }
    if name.trim().is_empty() {
        faults.add("name", "empty", "give a name");
    }
}

/// A whole number within bounds, or a fault and the lower bound.
pub(super) fn whole(field: &str, text: &str, low: i32, high: i32, faults: &mut Faults<'_>) -> i32 {
    match text.trim().parse::<i32>() {
        Ok(n) if (low..=high).contains(&n) => n,
        _ => {
            faults.add(field, format!("{text:?}"), format!("give a whole number from {low} to {high}"));
            low
        }
    }
}

fn yes(field: &str, text: &str, faults: &mut Faults<'_>) -> bool {
    match text {
        "yes" => true,
        "no" => false,
        _ => {
            faults.add(field, format!("{text:?}"), "write yes or no");
            false
        }
    }
}

/// Kilograms with up to three decimals as grams, exactly.
fn grams(field: &str, text: &str, faults: &mut Faults<'_>) -> i32 {
    let parsed = (|| {
        let (whole, part) = text.trim().split_once('.').unwrap_or((text.trim(), ""));
        if part.len() > 3 || !part.chars().all(|c| c.is_ascii_digit()) {
            return None;
        }
        let kg: i32 = whole.parse().ok()?;
        let fraction: i32 = format!("{part:0<3}").parse().ok()?;
        (0..=50).contains(&kg).then_some(kg * 1000 + fraction)
    })();
    parsed.unwrap_or_else(|| {
        faults.add(field, format!("{text:?}"), "give kilograms from 0 to 50 with at most three decimals");
        0
    })
}

macro_rules! word {
    ($kind:ident, $row:ident . $field:ident, $faults:ident, $default:expr) => {
        $kind::read(&$row.$field).unwrap_or_else(|| {
            $faults.add(
                stringify!($field),
                format!("{:?}", $row.$field),
                format!("write one of {}", $kind::WORDS.join(", ")),
            );
            $default
        })
    };
}

/// What movement rows may refer to.
pub(super) struct Known<'a> {
    pub(super) patterns: &'a [Pattern],
    pub(super) equipment: &'a [Named],
    pub(super) regions: &'a [Named],
}

/// Reads one movement row; every fault is noted and a stand-in value taken so that all are found at once.
pub(super) fn movement(row: &MovementRow, known: &Known<'_>, own: bool, faults: &mut Faults<'_>) -> Movement {
    let pattern = known.patterns.iter().position(|p| p.id == row.pattern).unwrap_or_else(|| {
        faults.add("pattern", format!("{:?} is unknown", row.pattern), "use an id of patterns.csv");
        0
    });
    let mut equipment = Vec::new();
    for alternative in row.equipment.split(';') {
        let mut parts = Vec::new();
        for part in alternative.split('+').map(str::trim) {
            match known.equipment.iter().position(|e| e.id == part) {
                Some(_) if part == "floor" => {}
                Some(e) => parts.push(e),
                None => faults.add(
                    "equipment",
                    format!("{part:?} is unknown"),
                    "use ids of equipment.csv, or floor",
                ),
            }
        }
        equipment.push(parts);
    }
    let mut flags: Vec<RegionFlag> = Vec::new();
    for flag in row.flags.split_whitespace() {
        let (id, weight) = flag.split_once(':').unwrap_or((flag, ""));
        match known.regions.iter().position(|r| r.id == id) {
            Some(region) if flags.iter().any(|f| f.region == region) => {
                faults.add("flags", format!("{id:?} twice"), "keep one of them");
            }
            Some(region) => flags.push(RegionFlag { region, weight: whole("flags", weight, 1, 3, faults) }),
            None => faults.add("flags", format!("region {id:?} is unknown"), "use ids of regions.csv"),
        }
    }
    let joint_actions: Vec<String> = row.joint_actions.split(';').map(|s| s.trim().to_owned()).collect();
    if joint_actions.iter().any(String::is_empty) {
        faults.add("joint_actions", "empty", "name the joint actions under load, separated by semicolons");
    }
    Movement {
        id: row.id.clone(),
        name: row.name.clone(),
        pattern,
        tier: word!(Tier, row.tier, faults, Tier::Compound),
        joint_actions,
        equipment,
        laterality: word!(Laterality, row.laterality, faults, Laterality::Both),
        measure: word!(Measure, row.measure, faults, Measure::Repetitions),
        load_kind: word!(LoadKind, row.load_kind, faults, LoadKind::Bar),
        axial: whole("axial", &row.axial, 0, 3, faults),
        fatigue: whole("fatigue", &row.fatigue, 1, 5, faults),
        skill: whole("skill", &row.skill, 1, 4, faults),
        grip: whole("grip", &row.grip, 0, 3, faults),
        flags,
        pair_class: word!(PairClass, row.pair_class, faults, PairClass::None),
        trap: word!(Trap, row.trap, faults, Trap::None),
        heavy_class: word!(HeavyClass, row.heavy_class, faults, HeavyClass::None),
        from_floor: yes("from_floor", &row.from_floor, faults),
        lying: word!(Lying, row.lying, faults, Lying::No),
        set_up_s: whole("set_up_s", &row.set_up_s, 0, 600, faults),
        ramp_sets: whole("ramp_sets", &row.ramp_sets, 0, 6, faults),
        load_step_g: grams("load_step_kg", &row.load_step_kg, faults),
        trains: Vec::new(),
        own,
    }
}

pub(super) fn catalogue(files: &Files<'_>) -> Result<Catalogue, Vec<Fault>> {
    let mut list = Vec::new();
    let version = match toml::from_str::<VersionFile>(&files.version) {
        Ok(v) => v.version,
        Err(e) => {
            let mut faults = Faults { file: "version.toml", row: "-".into(), list: &mut list };
            faults.add("file", e.message().to_owned(), "give version and licence, both as text");
            String::new()
        }
    };
    let muscles = muscles(&files.muscles, &mut list);
    let patterns = patterns(&files.patterns, &mut list);
    let equipment = named("equipment.csv", &files.equipment, &mut list);
    let regions = named("regions.csv", &files.regions, &mut list);
    if patterns.is_empty() || muscles.is_empty() {
        let mut faults = Faults { file: "patterns.csv", row: "-".into(), list: &mut list };
        faults.add("file", "no patterns or no muscles", "both files need at least one row");
        return Err(list);
    }

    let known = Known { patterns: &patterns, equipment: &equipment, regions: &regions };
    let mut movements: Vec<Movement> = Vec::new();
    let mut by_id = BTreeMap::new();
    let mut row_of = Vec::new();
    for (row, r) in table::<MovementRow>("movements.csv", &files.movements, &mut list) {
        let mut faults = Faults { file: "movements.csv", row: row.clone(), list: &mut list };
        check_id(&r.id, by_id.contains_key(&r.id), &r.name, &mut faults);
        by_id.entry(r.id.clone()).or_insert(movements.len());
        movements.push(movement(&r, &known, false, &mut faults));
        row_of.push(row);
    }

    attributions(&files.attributions, &muscles, &by_id, &mut movements, &mut list);
    for (m, row) in movements.iter().zip(row_of) {
        check_attributions(m, &mut Faults { file: "attributions.csv", row, list: &mut list });
    }
    let stand_ins = stand_ins(&files.stand_ins, &muscles, &regions, &by_id, &mut list);
    check_stand_ins(&movements, &stand_ins, &mut list);

    if list.is_empty() {
        Ok(Catalogue { version, muscles, patterns, equipment, regions, movements, stand_ins, by_id })
    } else {
        Err(list)
    }
}

fn muscles(text: &str, list: &mut Vec<Fault>) -> Vec<Muscle> {
    let mut out: Vec<Muscle> = Vec::new();
    for (row, r) in table::<MuscleRow>("muscles.csv", text, list) {
        let mut faults = Faults { file: "muscles.csv", row, list };
        check_id(&r.id, out.iter().any(|m| m.id == r.id), &r.name, &mut faults);
        if !["lower", "upper", "trunk"].contains(&r.region.as_str()) {
            faults.add("region", format!("{:?}", r.region), "write lower, upper or trunk");
        }
        let major = yes("major", &r.major, &mut faults);
        out.push(Muscle { id: r.id, name: r.name, region: r.region, major });
    }
    out
}

fn patterns(text: &str, list: &mut Vec<Fault>) -> Vec<Pattern> {
    let mut out: Vec<Pattern> = Vec::new();
    for (row, r) in table::<PatternRow>("patterns.csv", text, list) {
        let mut faults = Faults { file: "patterns.csv", row, list };
        check_id(&r.id, out.iter().any(|p| p.id == r.id), &r.name, &mut faults);
        let kind = match r.kind.as_str() {
            "compound" => PatternKind::Compound,
            "single_joint" => PatternKind::SingleJoint,
            "trunk" => PatternKind::Trunk,
            "carry" => PatternKind::Carry,
            other => {
                faults.add("kind", format!("{other:?}"), "write compound, single_joint, trunk or carry");
                PatternKind::Compound
            }
        };
        let direction = match r.direction.as_str() {
            "none" => Direction::None,
            "push" => Direction::Push,
            "pull" => Direction::Pull,
            other => {
                faults.add("direction", format!("{other:?}"), "write push, pull or none");
                Direction::None
            }
        };
        let base_group = (r.base_group != "none").then_some(r.base_group);
        out.push(Pattern { id: r.id, name: r.name, kind, base_group, direction });
    }
    out
}

fn attributions(
    text: &str,
    muscles: &[Muscle],
    by_id: &BTreeMap<String, usize>,
    movements: &mut [Movement],
    list: &mut Vec<Fault>,
) {
    for (row, r) in table::<AttributionRow>("attributions.csv", text, list) {
        let mut faults = Faults { file: "attributions.csv", row, list };
        let Some(&m) = by_id.get(&r.movement) else {
            faults.add("movement", format!("{:?} is unknown", r.movement), "use an id of movements.csv");
            continue;
        };
        let Some(muscle) = muscles.iter().position(|x| x.id == r.muscle) else {
            faults.add("muscle", format!("{:?} is unknown", r.muscle), "use an id of muscles.csv");
            continue;
        };
        let share = word!(ShareKind, r.share, faults, ShareKind::Indirect);
        let second = (!r.second_reason.trim().is_empty()).then_some((r.second_reason, r.second_source));
        if movements[m].trains.iter().any(|a| a.muscle == muscle) {
            faults.add("muscle", format!("{:?} twice for {:?}", r.muscle, r.movement), "keep one of them");
        }
        movements[m].trains.push(Attribution { muscle, share, reason: r.reason, source: r.source, second });
    }
}

fn stand_ins(
    text: &str,
    muscles: &[Muscle],
    regions: &[Named],
    by_id: &BTreeMap<String, usize>,
    list: &mut Vec<Fault>,
) -> Vec<StandIn> {
    let mut out = Vec::new();
    for (row, r) in table::<StandInRow>("stand_ins.csv", text, list) {
        let mut faults = Faults { file: "stand_ins.csv", row, list };
        let kind = StandInKind::read(
            &r.kind,
            |id| regions.iter().position(|x| x.id == id),
            |id| muscles.iter().position(|x| x.id == id),
        );
        if kind.is_none() {
            faults.add("kind", format!("{:?}", r.kind), format!("write {}", StandInKind::WORDS));
        }
        let from = by_id.get(&r.from).copied();
        let to = by_id.get(&r.to).copied();
        for (field, id, found) in [("from", &r.from, from), ("to", &r.to, to)] {
            if found.is_none() {
                faults.add(field, format!("{id:?} is unknown"), "use an id of movements.csv");
            }
        }
        if r.reason.trim().is_empty() {
            faults.add("reason", "empty", "say in a short clause why it serves");
        }
        if let (Some(kind), Some(from), Some(to)) = (kind, from, to) {
            if from == to {
                faults.add("to", "a movement cannot stand in for itself", "name another");
            }
            out.push(StandIn { from, to, kind, reason: r.reason });
        }
    }
    out
}
