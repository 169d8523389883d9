//! Seven invented lifters, eight weeks each, led by the companion alone: sessions on their days, sets done as written
//! and not as written, misses, stand-ins, pauses, kills, a changed clock, a deload, the next block. Every screen is
//! judged; chosen ones are kept for the reader.

#![allow(clippy::expect_used)] // a walk that cannot go on is a failed test

mod competitor;
mod novice;
mod one_sided;
mod pregnancy;
mod screen_reader;
mod sixty;
mod teen;

use plinth_core::record::{Answer, Date, LifterFields, ScreeningFields, View as _};
use plinth_tests::walk::{Walk, findings_text};
use serde_json::{Value, json};

/// Kit of a usual gym.
const GYM: [&str; 19] = [
    "barbell",
    "rack",
    "bench",
    "dumbbells",
    "kettlebell",
    "cable",
    "cable_row",
    "pulldown",
    "pull_up_bar",
    "leg_press",
    "leg_curl_machine",
    "leg_extension_machine",
    "calf_machine",
    "bands",
    "chest_press_machine",
    "row_machine",
    "shoulder_press_machine",
    "hip_machine",
    "back_extension_bench",
];

/// A brief with the gym's kit and these fields changed.
fn brief(changed: &Value) -> Vec<u8> {
    let mut brief = json!({
        "title": "An invented lifter",
        "days": 3,
        "weekdays": ["monday", "wednesday", "friday"],
        "minutes": 60,
        "goal": { "strength": 50, "size": 50 },
        "training_age": "intermediate",
        "equipment": GYM,
        "alone": false,
        "safeties": true,
        "weeks": 5,
    });
    if let (Some(brief), Some(changed)) = (brief.as_object_mut(), changed.as_object()) {
        brief.extend(changed.clone());
    }
    brief.to_string().into_bytes()
}

/// Tells a brief.
fn tell(walk: &mut Walk, changed: &Value) {
    let now = walk.now.clone();
    walk.companion().tell_brief(&brief(changed), &now).expect("a sound brief");
}

/// An adult whose answers to the screening set no limit.
fn adult(walk: &mut Walk, born_on: &str) {
    born(walk, born_on);
    screened(walk, Answer::Yes, Answer::No, Answer::No);
}

fn born(walk: &mut Walk, on: &str) {
    let now = walk.now.clone();
    let id = plinth_core::record::EntryId::new(1, [9; 10]);
    let born_on = Some(Date(on.parse().expect("a day")));
    let fields = LifterFields { born_on, ..LifterFields::default() };
    walk.companion().edit(&[fields.edit(id)], &now).expect("it is kept");
}

fn screened(walk: &mut Walk, regular: Answer, disease: Answer, symptoms: Answer) {
    let now = walk.now.clone();
    let answers = ScreeningFields {
        regular_exercise: Some(regular),
        known_disease: Some(disease),
        signs_or_symptoms: Some(symptoms),
        ..ScreeningFields::default()
    };
    walk.companion().answer_screening(answers, &now).expect("it is kept");
}

/// The end of a walk: the record is whole, nothing was objected to, and what is for the reader is compared.
fn end(walk: &mut Walk) {
    let now = walk.now.clone();
    let findings = walk.companion().findings(&now).expect("findings");
    println!(
        "{}: {} events, {} screens, {} kills, {} undone, {} sets",
        walk.who,
        walk.events,
        walk.screens,
        walk.kills,
        walk.undone,
        walk.logged.len()
    );
    walk.no_objection();
    walk.account();
    walk.no_jump();
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    let who = walk.who;
    settings.bind(|| {
        for (name, screen) in &walk.kept {
            insta::assert_snapshot!(format!("{who}-{name}"), screen);
        }
        insta::assert_snapshot!(format!("{who}-loads"), walk.ledger());
        insta::assert_snapshot!(format!("{who}-findings"), findings_text(&findings));
    });
}
