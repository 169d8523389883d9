//! Too little or too much of kit and time.

use crate::{answer, brief, kit};
use plinth_core::plan::brief::Notice;
use serde_json::json;

#[test]
fn no_equipment_trains_the_whole_body_on_the_floor() {
    let a = answer(json!({ "equipment": [], "minutes": 45 }));
    assert!(a.sizes().iter().all(|n| *n >= 3), "{:?}", a.sizes());
    let traps = Notice::MuscleUnavailable { muscle: "upper_traps".into() };
    assert_eq!(a.notices, [traps], "nothing on the floor loads them");
    assert!(a.half_sets("quadriceps") >= 8 && a.half_sets("chest") >= 8 && a.half_sets("upper_back") >= 4);
}

#[test]
fn one_day_of_twenty_minutes_is_two_movements() {
    let a = answer(json!({ "days": 1, "minutes": 20 }));
    assert!((1..=3).contains(&a.lines()), "{}", a.lines());
    assert!(a.short().len() >= 8, "{:?}", a.short());
    assert_eq!(a.notices, []);
}

#[test]
fn three_days_of_twelve_minutes_are_a_movement_each() {
    let a = answer(json!({ "minutes": 12 }));
    assert!(a.sizes().iter().all(|n| (1..=2).contains(n)), "{:?}", a.sizes());
}

#[test]
fn five_minutes_hold_nothing_and_say_what_would() {
    let a = answer(json!({ "minutes": 5, "equipment": ["barbell", "rack", "bench"] }));
    let told: Vec<i32> = a
        .notices
        .iter()
        .filter_map(|n| match n {
            Notice::TimeBelowOneMovement { useful_minutes, .. } => Some(*useful_minutes),
            _ => None,
        })
        .collect();
    assert_eq!(a.lines(), 0);
    assert_eq!(told.len(), 3, "each day is told: {:?}", a.notices);
    // What is told is true: with those minutes there is a line.
    if let Some(minutes) = told.first() {
        let b = answer(json!({ "minutes": minutes, "equipment": ["barbell", "rack", "bench"] }));
        assert!(b.sizes().iter().all(|n| *n >= 1), "{minutes} minutes: {:?}", b.sizes());
        let c = answer(json!({ "minutes": minutes - 1, "equipment": ["barbell", "rack", "bench"] }));
        assert_eq!(c.lines(), 0, "one minute less holds nothing");
    }
}

#[test]
fn six_days_of_fifteen_minutes_are_one_or_two_movements_a_day() {
    let a = answer(json!({ "days": 6, "minutes": 15 }));
    assert!(a.sizes().iter().all(|n| (1..=3).contains(n)), "{:?}", a.sizes());
    assert_eq!(a.notices, []);
}

#[test]
fn six_days_of_ninety_minutes_do_not_fill_a_novices_clock() {
    let a = answer(json!({ "days": 6, "minutes": 90, "training_age": "novice", "goal": { "health": 1 } }));
    assert!(a.minutes().iter().all(|m| (10..=60).contains(m)), "{:?}", a.minutes());
    assert_eq!(a.short(), Vec::<&str>::new());
}

#[test]
fn six_days_of_four_hours_stay_within_the_ranges() {
    let a = answer(json!({ "days": 6, "minutes": 240, "training_age": "advanced", "goal": { "size": 1 } }));
    assert!(a.minutes().iter().all(|m| *m <= 120), "{:?}", a.minutes());
    assert!(a.programme.weekly_sets.iter().all(|v| v.direct + v.shared <= v.maximum + 4));
    assert_eq!(a.short(), Vec::<&str>::new());
}

#[test]
fn a_bar_without_a_rack_lifts_from_the_floor() {
    let a = answer(json!({ "equipment": ["barbell"] }));
    let squat = ["barbell_back_squat", "barbell_front_squat", "barbell_bench_press"];
    assert!(squat.iter().all(|id| a.often(id) == 0));
    assert!(squat.iter().all(|id| a.why_out(id).is_some()), "the reason is kept");
    assert!(a.sizes().iter().all(|n| *n >= 3));
}

#[test]
fn only_bands_are_enough_for_a_week() {
    let a = answer(json!({ "equipment": ["bands"] }));
    assert!(a.sizes().iter().all(|n| *n >= 3));
    assert_eq!(a.groups_out(), []);
}

#[test]
fn one_piece_of_kit_each_always_gives_three_movements_a_day() {
    for e in &crate::catalogue().equipment {
        let a = answer(json!({ "equipment": [e.id], "minutes": 45 }));
        assert!(a.sizes().iter().all(|n| *n >= 3), "{}: {:?}", e.id, a.sizes());
    }
}

#[test]
fn very_unequal_days_are_each_used() {
    let a = answer(json!({ "days": 4, "minutes": [5, 240, 10, 120] }));
    let sizes = a.sizes();
    assert!(sizes[1] >= 4 && sizes[3] >= 4, "{sizes:?}");
    assert!(sizes[0] <= 1 && sizes[2] <= 2, "{sizes:?}");
    let empty = sizes.iter().filter(|n| **n == 0).count();
    let told = a.notices.iter().filter(|n| matches!(n, Notice::TimeBelowOneMovement { .. })).count();
    assert_eq!(empty, told, "{:?}", a.notices);
}

#[test]
fn saturday_and_sunday_only_are_kept_though_they_touch() {
    let a = answer(json!({ "days": 2, "weekdays": ["saturday", "sunday"] }));
    let days: Vec<String> = a.programme.days.iter().map(|d| format!("{:?}", d.weekday)).collect();
    assert_eq!(days, ["Saturday", "Sunday"]);
    assert_eq!(a.notices, []);
}

#[test]
fn weekdays_named_twice_count_once_and_too_few_are_told() {
    let a = answer(json!({ "days": 3, "weekdays": ["monday", "monday", "thursday", "monday"] }));
    assert_eq!(a.notices, [Notice::WeekdaysTooFew { days: 3, named: 2 }]);
    let days: Vec<String> = a.programme.days.iter().map(|d| format!("{:?}", d.weekday)).collect();
    assert!(days.contains(&"Monday".into()) && days.contains(&"Thursday".into()), "{days:?}");
}

#[test]
fn kit_named_three_times_changes_nothing() {
    let thrice = [kit("garage"), kit("garage"), kit("garage")]
        .iter()
        .flat_map(|k| k.as_array().unwrap().clone())
        .collect::<Vec<_>>();
    let (once, thrice) =
        (answer(json!({ "equipment": kit("garage") })), answer(json!({ "equipment": thrice })));
    assert_eq!(once.programme, thrice.programme);
}

#[test]
fn the_same_brief_gives_the_same_programme_byte_for_byte() {
    let with = || json!({ "days": 4, "priorities": ["calves"], "in_turn": true });
    let (a, b) = (answer(with()), answer(with()));
    let bytes = |a: &crate::Answered| serde_json::to_vec(&a.programme).unwrap();
    assert_eq!(bytes(&a), bytes(&b));
    assert_eq!(brief(with()), brief(with()));
}
