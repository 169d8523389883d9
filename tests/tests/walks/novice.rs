//! A novice: the first run with the brief to begin from and the screening open, then answered; first loads found by
//! the bounded search.

use super::{born, end, screened};
use chrono::TimeDelta;
use plinth_core::record::Answer;
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};

#[test]
fn a_novice_finds_first_loads_and_rises_in_small_steps() {
    let mut walk = Walk::new("novice", Language::English, 1, Body::new(50.0, 68.0, 0.02));
    walk.habits.restless = 6;
    // A week is on the screen with no account and nothing answered: light to moderate work only.
    walk.around.light_to_moderate = true;
    walk.keep("nothing-planned");
    walk.take_on(Walk::monday(1));
    walk.keep("before");
    let day = Day { alone: true, safeties: false, ..Day::default() };
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            if week == 4 && k == 1 {
                continue; // a day that was not trained
            }
            walk.on(date);
            if week == 2 && k == 0 {
                born(&mut walk, "1999-08-14");
                screened(&mut walk, Answer::No, Answer::No, Answer::No);
                walk.around.light_to_moderate = false;
                // What was planned while the screening was open is planned anew.
                walk.take_on(date);
            }
            if week == 6 && k == 0 {
                walk.next_block(date);
            }
            let begun = walk.begin(&Day { safeties: week > 2, tired: week == 3, ..day });
            assert!(begun, "a session begins");
            walk.work(|w, _| {
                if w.screen().stage == "lifting" {
                    w.keep("search");
                } else {
                    w.keep("rest");
                }
                true
            });
            if week == 1 && k == 0 {
                walk.keep("finished");
            }
            walk.close();
            if week == 3 && k == 1 {
                walk.pass(86_400);
                walk.correct_yesterday(3);
            }
        }
        if week == 2 {
            // A session that nobody planned.
            walk.on(Walk::monday(2) + TimeDelta::days(5));
            assert!(walk.begin(&Day { day: Some(None), ..day }));
            walk.keep("unplanned");
            walk.work(|_, _| true);
            let add = walk
                .offers(|e| matches!(e, plinth_core::floor::Event::Movements))
                .expect("movements can be added");
            walk.touch(&add);
            walk.keep("movements");
            let some =
                walk.offers(|e| matches!(e, plinth_core::floor::Event::Add { .. })).expect("some movement");
            walk.touch(&some);
            walk.work(|_, _| true);
            walk.close();
        }
    }
    walk.keep("ended");
    let light = walk.proposed.iter().filter(|p| p.day < Walk::monday(2));
    assert!(light.clone().count() > 0);
    for p in light {
        let left = p.what.rsplit_once("leave ").and_then(|(_, n)| n.parse::<u32>().ok());
        assert!(left.is_some_and(|n| n >= 4), "light work only: {}", p.what);
    }
    end(&mut walk);
}
