//! A competitor with discs in kilograms and in pounds, collars, and heavy sets only where something catches.

use super::{adult, end, tell};
use plinth_core::floor::Event;
use plinth_core::load::Mass;
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};
use serde_json::json;

fn mixed() -> Vec<u8> {
    json!({
        "name": "Both kinds of discs",
        "collars": { "mass": "2.5 kg", "per": "each" },
        "bars": [
            { "name": "Barbell", "mass": "20 kg", "kind": "barbell" },
            { "name": "Old bar", "mass": "45 lb", "kind": "barbell" },
        ],
        "discs": [
            { "mass": "25 kg", "count": 8, "full_diameter": true },
            { "mass": "20 kg", "count": 2, "full_diameter": true },
            { "mass": "45 lb", "count": 4, "full_diameter": true },
            { "mass": "10 kg", "count": 2 },
            { "mass": "10 lb", "count": 4 },
            { "mass": "5 kg", "count": 2 },
            { "mass": "2.5 kg", "count": 2 },
            { "mass": "2.5 lb", "count": 2 },
            { "mass": "1.25 kg", "count": 2 },
        ],
        "dumbbells": [{ "from": "10 lb", "to": "100 lb", "step": "5 lb", "in_pairs": true }],
        "stacks": [{ "machine": "any", "start": "5 kg", "step": "5 kg", "top": "100 kg", "add_ons": ["2.5 kg"] }],
        "bands": ["light", "medium"],
    })
    .to_string()
    .into_bytes()
}

#[test]
fn a_competitor_loads_two_units_and_lifts_heavy_only_where_something_catches() {
    let mut walk = Walk::new("competitor", Language::German, 2, Body::new(190.0, 93.0, 0.003));
    walk.habits.tells_reserve = 60;
    adult(&mut walk, "1994-02-11");
    let now = walk.now.clone();
    walk.companion().tell_kit(None, "Verein", &mixed(), None, &now).expect("a sound kit");
    walk.companion().tell_body_mass(&"93.2 kg".parse::<Mass>().expect("a mass"), &now).expect("it is kept");
    tell(
        &mut walk,
        &json!({
            "days": 4,
            "weekdays": ["monday", "tuesday", "thursday", "saturday"],
            "minutes": 90,
            "goal": { "strength": 100 },
            "training_age": "advanced",
            "body_mass": "93 kg",
            "weeks": 6,
            "bests": [
                { "movement": "barbell_back_squat", "load": "170 kg", "reps": 3, "reserve": 1 },
                { "movement": "barbell_bench_press", "load": "120 kg", "reps": 3, "reserve": 1 },
                { "movement": "conventional_deadlift", "load": "190 kg", "reps": 3, "reserve": 1 },
            ],
        }),
    );
    walk.take_on(Walk::monday(1));
    walk.keep("before");
    let mut heavy_alone = 0;
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            walk.on(date);
            if week == 7 && k == 0 {
                walk.next_block(date);
            }
            // Alone without safeties once a week: nothing over the chest, and nothing heavy that traps.
            let bare = week % 2 == 0 && k == 1;
            walk.begun(&Day { alone: bare, safeties: !bare, ..Day::default() });
            heavy_alone += usize::from(bare);
            walk.work(|w, step| {
                let screen = w.screen();
                if bare && screen.told.len() > 1 {
                    w.keep("alone");
                } else if !bare && screen.stage == "lifting" {
                    let heavy = screen.set.as_ref().is_some_and(|s| s.discs.is_some() && s.because.is_some());
                    if heavy {
                        w.keep("first-heavy-set");
                    }
                } else if !bare && screen.stage == "resting" {
                    w.keep("rest");
                }
                if week == 3 && k == 0 && step == 5 {
                    // The clock is set forward by an hour in mid-session, and back later.
                    w.jump(60);
                }
                if week == 3 && k == 0 && step == 9 {
                    w.jump(-60);
                }
                if week == 5 && step == 6 {
                    w.reboot();
                }
                true
            });
            if week == 1 && k == 0 {
                let form = walk.offers(|e| matches!(e, Event::SetsDone)).expect("sets were done");
                walk.touch(&form);
                walk.keep("sets-done");
                walk.try_touch(|e| matches!(e, Event::Back));
            }
            walk.close();
            if week == 2 && k == 3 {
                walk.pass(86_400);
                walk.correct_yesterday(1);
            }
        }
    }
    assert!(heavy_alone >= 4);
    end(&mut walk);
}
