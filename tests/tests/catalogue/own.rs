//! Movements of one's own go through the same checks as the files.

use crate::catalogue;
use plinth_core::catalogue::{Fault, OwnMovement};
use serde_json::{Value, json};

fn good() -> Value {
    json!({
        "id": "own_sled_push", "name": "Sled push", "pattern": "squat", "tier": "compound",
        "joint_actions": ["knee extension", "hip extension"], "equipment": [[]], "laterality": "both",
        "load_kind": "sled", "axial": 0, "fatigue": 3, "skill": 1, "grip": 0, "flags": ["knee:1"],
        "pair_class": "legs", "set_up_s": 40, "ramp_sets": 1, "load_step_kg": "2.5",
        "trains": [
            { "muscle": "quadriceps", "share": "direct", "reason": "knees extend against the sled" },
            { "muscle": "gluteals", "share": "direct", "reason": "hips extend from a deep bend",
              "second_reason": "they ache first" }
        ]
    })
}

fn added(value: Value) -> Result<usize, Vec<Fault>> {
    let own: OwnMovement = serde_json::from_value(value).expect("the shape is right");
    catalogue().with_own(&[own]).map(|c| c.find("own_sled_push").expect("found by its id"))
}

#[test]
fn a_complete_movement_is_added_at_the_end_and_marked() {
    let c = catalogue();
    let own: OwnMovement = serde_json::from_value(good()).unwrap();
    let with = c.with_own(std::slice::from_ref(&own)).unwrap();
    assert_eq!(with.movements.len(), c.movements.len() + 1);
    assert_eq!(with.movements[..c.movements.len()], c.movements[..]);
    let m = with.movement("own_sled_push").unwrap();
    assert!(m.own && m.equipment == [Vec::<usize>::new()] && m.load_step_g == 2500);
    assert!(c.find("own_sled_push").is_none(), "the catalogue handed in is untouched");
}

#[test]
fn each_fault_of_an_own_movement_is_named() {
    let cases: &[(&str, Value, &str, &str)] = &[
        ("id", json!("sled_push"), "id", "begin it with own_"),
        ("id", json!("own_Sled"), "id", "lower case"),
        ("name", json!(""), "name", "give a name"),
        ("pattern", json!("shove"), "pattern", "use an id of patterns.csv"),
        ("tier", json!("huge"), "tier", "write one of"),
        ("joint_actions", json!([]), "joint_actions", "name the joint actions"),
        ("equipment", json!([["rocket"]]), "equipment", "use ids of equipment.csv"),
        ("axial", json!(4), "axial", "from 0 to 3"),
        ("fatigue", json!(0), "fatigue", "from 1 to 5"),
        ("grip", json!(-1), "grip", "from 0 to 3"),
        ("flags", json!(["tail:1"]), "flags", "use ids of regions.csv"),
        ("trap", json!("cupboard"), "trap", "none, chest, shoulders"),
        ("from_floor", json!("perhaps"), "from_floor", "yes or no"),
        ("set_up_s", json!(6000), "set_up_s", "from 0 to 600"),
        ("load_step_kg", json!("a lot"), "load_step_kg", "kilograms"),
        ("trains", json!([]), "share", "at least one direct muscle"),
        (
            "trains",
            json!([{ "muscle": "wings", "share": "direct", "reason": "they flap" },
            { "muscle": "calves", "share": "direct", "reason": "they push" }]),
            "trains",
            "use an id of muscles.csv",
        ),
        (
            "trains",
            json!([{ "muscle": "calves", "share": "whole", "reason": "they push" },
            { "muscle": "gluteals", "share": "direct", "reason": "they push" }]),
            "trains",
            "direct or indirect",
        ),
        (
            "trains",
            json!([{ "muscle": "calves", "share": "direct", "reason": "they push" },
            { "muscle": "calves", "share": "indirect", "reason": "they push" }]),
            "trains",
            "keep one of them",
        ),
        ("trains", json!([{ "muscle": "calves", "share": "direct", "reason": "" }]), "reason", "give both"),
        (
            "trains",
            json!([{ "muscle": "calves", "share": "direct", "reason": "they push" },
            { "muscle": "gluteals", "share": "direct", "reason": "they push" }]),
            "second_reason",
            "make it indirect",
        ),
    ];
    for (key, value, field, remedy) in cases {
        let mut own = good();
        own[*key] = value.clone();
        let found = added(own).expect_err("refused");
        assert_eq!(found.len(), 1, "{key} {value}: {found:?}");
        let f = &found[0];
        assert_eq!((f.file.as_str(), f.field.as_str()), ("own movement", *field), "{key} {value}");
        assert!(f.remedy.contains(remedy), "{f}");
        assert!(f.row.starts_with("own_") || *key == "id", "{f}");
    }
}

#[test]
fn an_id_is_taken_once_and_then_none_is_added() {
    let own: OwnMovement = serde_json::from_value(good()).unwrap();
    let found = catalogue().with_own(&[own.clone(), own]).expect_err("twice");
    assert_eq!(found.len(), 1);
    assert!(found[0].problem.contains("is taken"), "{}", found[0]);
}

#[test]
fn equipment_cannot_be_left_out_by_an_empty_list() {
    let mut own = good();
    own["equipment"] = json!([]);
    let found = added(own).expect_err("refused");
    assert_eq!((found.len(), found[0].field.as_str()), (1, "equipment"));
}
