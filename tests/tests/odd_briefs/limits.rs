//! Sore, operated on, pregnant, old, young, alone: what is left is planned, and what comes first is said.

use crate::{answer, catalogue, kit};
use plinth_core::catalogue::{Lying, Tier, Trap};
use plinth_core::plan::brief::Notice;
use plinth_core::plan::filter::Removal;
use plinth_core::plan::reason::Barrier;
use plinth_core::safety::Refusal;
use serde_json::{Value, json};

fn sore(regions: &[&str], severity: &str, nature: &str) -> Value {
    json!(
        regions
            .iter()
            .map(|r| json!({ "region": r, "severity": severity, "nature": nature }))
            .collect::<Vec<_>>()
    )
}

fn all_regions() -> Vec<&'static str> {
    catalogue().regions.iter().map(|r| r.id.as_str()).collect()
}

#[test]
fn everything_severe_leaves_light_work_and_sends_to_care_first() {
    let a = answer(json!({ "discomforts": sore(&all_regions(), "severe", "usual") }));
    assert!(a.notices.contains(&Notice::SeeCareFirst), "{:?}", a.notices);
    assert!(a.sizes().iter().all(|n| *n >= 1), "never nothing: {:?}", a.sizes());
}

#[test]
fn everything_new_is_loaded_by_nothing() {
    let a = answer(json!({ "discomforts": sore(&all_regions(), "mild", "new_or_worse") }));
    for day in &a.programme.days {
        for l in &day.lines {
            assert!(a.catalogue.movement(&l.movement).unwrap().flags.is_empty(), "{}", l.movement);
        }
    }
    assert!(a.lines() > 0 && !a.notices.is_empty());
}

#[test]
fn everything_mild_is_still_a_full_week() {
    let a = answer(json!({ "discomforts": sore(&all_regions(), "mild", "usual") }));
    assert!(a.sizes().iter().all(|n| *n >= 3), "{:?}", a.sizes());
    assert!(!a.notices.contains(&Notice::SeeCareFirst));
}

#[test]
fn three_severe_regions_are_not_yet_four() {
    let three = answer(json!({ "discomforts": sore(&["neck", "wrist", "ankle"], "severe", "usual") }));
    assert!(!three.notices.contains(&Notice::SeeCareFirst));
    let four = answer(json!({ "discomforts": sore(&["neck", "wrist", "ankle", "knee"], "severe", "usual") }));
    assert!(four.notices.contains(&Notice::SeeCareFirst));
}

#[test]
fn a_severe_low_back_stands_above_a_required_deadlift() {
    let a = answer(json!({
        "discomforts": sore(&["low_back"], "severe", "usual"),
        "wishes": [{ "wish": "require", "movement": "conventional_deadlift" }]
    }));
    assert_eq!(a.often("conventional_deadlift"), 0);
    let low_back = catalogue().region("low_back").unwrap();
    let why = Removal::Safety { refusal: Refusal::Discomfort { region: low_back, severity: 3 } };
    assert_eq!(a.why_out("conventional_deadlift"), Some(&why));
    let barrier = Barrier::Discomfort { region: "low_back".into(), severity: 3 };
    a.tells_once(
        &Notice::RequiredButOut { movement: "conventional_deadlift".into(), barrier },
        "Conventional deadlift is required but left out: the severe discomfort: low back.",
    );
    let hinge = |m: &plinth_core::catalogue::Movement| a.catalogue.patterns[m.pattern].id == "hinge";
    let done = a
        .programme
        .days
        .iter()
        .flat_map(|d| &d.lines)
        .filter(|l| hinge(a.catalogue.movement(&l.movement).unwrap()));
    assert!(done.count() >= 1, "a hinge that does not load the low back is in the week");
}

#[test]
fn a_new_discomfort_stands_above_what_should_carry() {
    let a = answer(json!({
        "discomforts": sore(&["shoulder"], "mild", "new_or_worse"), "carrying": ["barbell_bench_press", "leg_press"]
    }));
    assert_eq!(a.often("barbell_bench_press"), 0);
    assert!(a.notices.contains(&Notice::CarryingNotPossible { movement: "barbell_bench_press".into() }));
    assert!(a.often("leg_press") >= 2);
}

#[test]
fn a_sore_elbow_with_only_a_bar_keeps_what_does_not_load_it() {
    let a = answer(json!({
        "equipment": ["barbell", "rack", "bench", "pull_up_bar"], "discomforts": sore(&["elbow"], "severe", "usual")
    }));
    let elbow = catalogue().region("elbow").unwrap();
    for l in a.programme.days.iter().flat_map(|d| &d.lines) {
        assert_eq!(a.catalogue.movement(&l.movement).unwrap().flag(elbow), 0, "{}", l.movement);
    }
    assert!(matches!(a.why_out("pull_up"), Some(Removal::Safety { .. })));
    assert!(a.often("barbell_back_squat") >= 1, "the legs go on");
}

#[test]
fn after_surgery_of_each_region_nothing_loads_it() {
    for (region, id) in all_regions().into_iter().enumerate() {
        let a = answer(json!({
            "limits": { "screening": "answered_no_limit", "after_surgery": [id] }
        }));
        for l in a.programme.days.iter().flat_map(|d| &d.lines) {
            assert_eq!(a.catalogue.movement(&l.movement).unwrap().flag(region), 0, "{id}: {}", l.movement);
        }
        assert!(a.lines() >= 3, "{id}: {}", a.lines());
    }
}

#[test]
fn after_surgery_of_everything_leaves_what_is_unflagged_and_says_so() {
    let a = answer(json!({
        "limits": { "screening": "answered_no_limit", "after_surgery": all_regions() }
    }));
    assert!(a.lines() > 0);
    assert!(
        !a.groups_out().is_empty() && a.groups_out().iter().all(|(_, choice)| !choice),
        "{:?}",
        a.notices
    );
}

#[test]
fn limits_like_those_of_a_pregnancy_are_all_kept_together() {
    let a = answer(json!({ "limits": {
        "screening": "answered_light_to_moderate", "no_lying_on_back": true, "no_lying_on_front": true,
        "no_long_breath_hold": true, "no_maximal_lifts": true
    } }));
    assert!(a.notices.contains(&Notice::LightToModerate));
    for l in a.programme.days.iter().flat_map(|d| &d.lines) {
        assert_eq!(a.catalogue.movement(&l.movement).unwrap().lying, Lying::No, "{}", l.movement);
        assert!(l.reserve >= 4 && l.low >= 10, "{}: {} to {}, {} left", l.movement, l.low, l.high, l.reserve);
    }
    assert!(a.programme.block.iter().flat_map(|w| w.days.iter().flatten()).all(|l| l.reserve >= 4));
    assert!(a.sizes().iter().all(|n| *n >= 3));
}

#[test]
fn a_screening_that_was_not_answered_means_light_to_moderate_work() {
    let a = answer(json!({ "limits": {} }));
    assert_eq!(a.notices, [Notice::LightToModerate]);
    assert!(a.programme.days.iter().flat_map(|d| &d.lines).all(|l| l.reserve >= 4));
}

#[test]
fn every_limit_at_once_still_gives_a_week_or_its_reasons() {
    let a = answer(json!({
        "limits": {
            "screening": "unanswered", "stiff_ankles": true, "no_lying_on_back": true, "no_lying_on_front": true,
            "no_long_breath_hold": true, "no_maximal_lifts": true, "minor": true, "after_surgery": ["knee", "shoulder"]
        },
        "discomforts": sore(&["low_back", "wrist", "elbow", "hip"], "severe", "new_or_worse"),
        "alone": true, "age_years": 16, "equipment": kit("floor")
    }));
    assert!(a.notices.contains(&Notice::LightToModerate) && a.notices.contains(&Notice::SeeCareFirst));
    assert!(a.programme.days.iter().all(|d| d.warm_up.ankle_mobility_s >= 60));
}

#[test]
fn at_ninety_the_fatigue_of_a_session_is_less() {
    let fatigue = |a: &crate::Answered| {
        let of = |l: &plinth_core::plan::programme::Line| {
            l.sets * a.catalogue.movement(&l.movement).unwrap().fatigue
        };
        a.programme.days.iter().map(|d| d.lines.iter().map(of).sum::<i32>()).max().unwrap()
    };
    let old = answer(json!({ "age_years": 90, "goal": { "health": 1 } }));
    assert!(fatigue(&old) <= 45, "{}", fatigue(&old));
    assert_eq!(old.notices, []);
    assert!(old.sizes().iter().all(|n| *n >= 3));
}

#[test]
fn a_minor_lifts_nothing_heavy() {
    let a = answer(json!({
        "age_years": 14, "limits": { "screening": "answered_no_limit", "minor": true },
        "goal": { "strength": 1 }
    }));
    assert!(a.programme.days.iter().flat_map(|d| &d.lines).all(|l| l.low >= 6 && l.reserve >= 2));
}

#[test]
fn alone_without_safeties_the_asked_bench_press_is_left_out_with_a_stand_in() {
    let a = answer(json!({ "alone": true, "carrying": ["barbell_bench_press", "barbell_back_squat"] }));
    assert_eq!(a.often("barbell_bench_press"), 0);
    assert!(a.notices.contains(&Notice::NotOfferedAlone { movement: "barbell_bench_press".into() }));
    let why = Removal::Safety { refusal: Refusal::AloneWithoutSafeties };
    assert_eq!(a.why_out("barbell_bench_press"), Some(&why));
    for l in a.programme.days.iter().flat_map(|d| &d.lines) {
        let m = a.catalogue.movement(&l.movement).unwrap();
        assert!(m.trap != Trap::Shoulders || l.reserve >= 3, "{} leaves {}", m.id, l.reserve);
    }
    let with = answer(
        json!({ "alone": true, "safeties": true, "carrying": ["barbell_bench_press", "barbell_back_squat"] }),
    );
    assert!(with.often("barbell_bench_press") >= 2, "with safeties it is there");
}

#[test]
fn stiff_ankles_with_squats_forbidden_keep_their_mobility() {
    let a = answer(json!({
        "limits": { "screening": "answered_no_limit", "stiff_ankles": true },
        "wishes": [{ "wish": "forbid", "pattern": "squat" }]
    }));
    assert!(a.programme.days.iter().all(|d| d.warm_up.ankle_mobility_s == 60));
    assert!(a.half_sets("quadriceps") > 0, "lunges and the machine are left");
}

#[test]
fn the_strongest_lifter_with_no_time_to_rest_still_rests() {
    let a =
        answer(json!({ "days": 6, "minutes": 30, "goal": { "strength": 100 }, "training_age": "advanced" }));
    for l in a.programme.days.iter().flat_map(|d| &d.lines) {
        let main = a.catalogue.movement(&l.movement).unwrap().tier == Tier::Main;
        assert!(l.rest_s >= if main { 120 } else { 60 }, "{} rests {} s", l.movement, l.rest_s);
    }
}
