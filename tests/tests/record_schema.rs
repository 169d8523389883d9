//! The record's schema: committed, current, and true of the example of every kind.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::record::{
    BodyMeasurementFields, BriefFields, DiscomfortFields, DraftFields, Entry, FORM, FlagFields, GrantFields,
    GroupFields, Kind, KitFields, LifterFields, NoteFields, OwnMovementFields, ProgrammeFields,
    PublicationFields, ReturnFields, ScreeningFields, SessionFields, SetFields, SettingFields, View,
    document_schema, read_document,
};
use serde_json::{Value, json};
use std::path::PathBuf;

fn root(path: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).join(path)
}

#[test]
fn the_committed_schema_is_current() {
    let made = serde_json::to_string_pretty(&document_schema()).unwrap() + "\n";
    if std::env::var_os("PLINTH_RENEW").is_some() {
        std::fs::write(root("docs/record.schema.json"), &made).unwrap();
    }
    let committed = std::fs::read_to_string(root("docs/record.schema.json")).unwrap_or_default();
    assert!(committed == made, "write it anew: plinth schema record > docs/record.schema.json");
}

fn example(kind: &Kind) -> Vec<u8> {
    std::fs::read(root(&format!("tests/data/record/{kind}.json"))).unwrap_or_else(|e| panic!("{kind}: {e}"))
}

fn names(entry: &Entry) -> Vec<String> {
    fn check<V: View>(entry: &Entry) -> Vec<String> {
        assert_eq!(V::of(entry).map(drop), Ok(()));
        V::NAMES.iter().map(|n| (*n).to_owned()).collect()
    }
    match entry.kind {
        Kind::Lifter => check::<LifterFields>(entry),
        Kind::Brief => check::<BriefFields>(entry),
        Kind::Programme => check::<ProgrammeFields>(entry),
        Kind::Session => check::<SessionFields>(entry),
        Kind::Set => check::<SetFields>(entry),
        Kind::BodyMeasurement => check::<BodyMeasurementFields>(entry),
        Kind::Discomfort => check::<DiscomfortFields>(entry),
        Kind::Flag => check::<FlagFields>(entry),
        Kind::Return => check::<ReturnFields>(entry),
        Kind::Screening => check::<ScreeningFields>(entry),
        Kind::Grant => check::<GrantFields>(entry),
        Kind::Kit => check::<KitFields>(entry),
        Kind::OwnMovement => check::<OwnMovementFields>(entry),
        Kind::Note => check::<NoteFields>(entry),
        Kind::Setting => check::<SettingFields>(entry),
        Kind::Draft => check::<DraftFields>(entry),
        Kind::Publication => check::<PublicationFields>(entry),
        Kind::Group => check::<GroupFields>(entry),
        Kind::Other(_) => Vec::new(),
    }
}

#[test]
fn every_kind_has_an_example_that_validates_reads_and_shows_every_field() {
    let schema = serde_json::to_value(document_schema()).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    for kind in Kind::KNOWN {
        let text = example(&kind);
        let value: Value = serde_json::from_slice(&text).unwrap();
        let faults: Vec<String> =
            validator.iter_errors(&value).map(|e| format!("{} at {}", e, e.instance_path())).collect();
        assert!(faults.is_empty(), "{kind}: {faults:?}");
        let taken = read_document(&text).unwrap();
        assert!(taken.refused.is_empty(), "{kind}: {:?}", taken.refused);
        let shown: Vec<String> = taken
            .entries
            .iter()
            .filter(|e| e.kind == kind)
            .flat_map(|e| e.fields.keys().map(ToString::to_string))
            .collect();
        for name in names(taken.entries.iter().find(|e| e.kind == kind).unwrap()) {
            assert!(shown.contains(&name), "{kind}: no example of \"{name}\"");
        }
        taken.entries.iter().for_each(|e| drop(names(e)));
    }
}

#[test]
fn the_schema_refuses_what_reading_refuses() {
    let validator = jsonschema::draft202012::new(&serde_json::to_value(document_schema()).unwrap()).unwrap();
    let entry = |field: &str, value: Value| {
        json!({"form": FORM, "entries": [{"id": "019ddc11-c000-7101-8101-010101010101", "kind": "set",
            "fields": {field: {"value": value, "stamp": "019ddc11c000-0000-0000000000000001"}}}]})
    };
    for (field, value, good) in [
        ("amount", json!(5), true),
        ("amount", json!(null), true),
        ("amount", json!("5"), false),
        ("amount", json!(-1), false),
        ("load", json!({"of": "bar", "mass": "137.5 kg"}), true),
        ("load", json!({"of": "bar", "mass": 137}), false),
        ("load", json!({"of": "anvil", "mass": "137.5 kg"}), false),
        ("reserve", json!({"reps": 2}), true),
        ("reserve", json!("not_reported"), true),
        ("reserve", json!(2), false),
        ("side", json!("both"), false),
        ("ended_at", json!("2026-05-03T18:04:09+02:00"), true),
        ("ended_at", json!("yesterday"), false),
        ("of_a_newer_version", json!([1, {"any": "thing"}]), true),
    ] {
        let document = entry(field, value.clone());
        let read = read_document(document.to_string().as_bytes()).unwrap();
        assert_eq!(read.refused.is_empty(), good, "{field} {value} {:?}", read.refused);
        assert_eq!(validator.is_valid(&document), good, "{field} {value}");
    }
}

#[test]
fn the_documents_example_is_one() {
    let prose = std::fs::read_to_string(root("docs/record.md")).unwrap();
    let example = prose.split("```json\n").nth(1).and_then(|rest| rest.split("```").next()).unwrap();
    let validator = jsonschema::draft202012::new(&serde_json::to_value(document_schema()).unwrap()).unwrap();
    assert!(validator.is_valid(&serde_json::from_str(example).unwrap()));
    let taken = read_document(example.as_bytes()).unwrap();
    assert_eq!((taken.entries.len(), taken.refused.len()), (1, 0));
    for kind in Kind::KNOWN {
        assert!(prose.contains(&format!("`{kind}`")), "docs/record.md does not name the kind {kind}");
    }
}
