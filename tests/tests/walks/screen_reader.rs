//! A lifter who hears the screen: everything has a spoken label, nothing changes under the focus while a rest runs,
//! and undo is used often.

use super::{adult, end, tell};
use plinth_core::floor::Event;
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};
use serde_json::json;

#[test]
fn a_lifter_who_hears_the_screen_is_led_by_what_is_spoken() {
    let mut walk = Walk::new("screen-reader", Language::English, 6, Body::new(100.0, 77.0, 0.006));
    walk.habits.undoes = 25;
    adult(&mut walk, "1981-01-09");
    tell(&mut walk, &json!({ "minutes": 45, "in_turn": true }));
    walk.take_on(Walk::monday(1));
    let mut rests = 0;
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            walk.on(date);
            if week == 6 && k == 0 {
                walk.next_block(date);
            }
            walk.begun(&Day { alone: true, safeties: true, ..Day::default() });
            walk.work(|w, _| {
                let screen = w.screen();
                if screen.stage == "resting" {
                    w.keep("rest");
                    rests += 1;
                    // Until the next mark nothing moves under the focus.
                    for _ in 0..3 {
                        w.pass(7);
                        let later = w.screen();
                        assert_eq!(later.stable, screen.stable, "nothing changes while the rest runs");
                        assert_eq!(later.set, screen.set, "the next set stays what it is");
                        let labels = |s: &plinth_core::words::floor::FloorScreen| {
                            s.actions.iter().map(|b| b.spoken.clone()).collect::<Vec<_>>()
                        };
                        if later.stage == "resting" {
                            assert_eq!(labels(&later), labels(&screen));
                        }
                    }
                }
                let shown = w.screen();
                if shown.stage == "lifting" {
                    w.keep("spoken-set");
                    let set = shown.set.as_ref().expect("a set");
                    assert!(shown.spoken.contains(&set.movement), "the movement is spoken");
                    assert!(shown.spoken.contains(&set.sentence), "the set is spoken");
                    let wide = shown.wide.as_ref().map(|b| b.spoken.clone()).unwrap_or_default();
                    assert!(shown.spoken.contains(wide.trim_end_matches('.')), "what Done records is spoken");
                    if let Some(caution) = set.cautions.first() {
                        let (c, s) = (shown.spoken.find(caution.as_str()), shown.spoken.find(&set.sentence));
                        assert!(c < s, "cautions are spoken before the load");
                    }
                }
                true
            });
            if week == 2 && k == 0 {
                // The close itself is taken back.
                let close = walk.offers(|e| matches!(e, Event::Close)).expect("it can be closed");
                walk.touch_and_undo(&close);
            }
            walk.close();
        }
    }
    assert!(rests > 100 && walk.undone > 60, "{rests} rests, {} undone", walk.undone);
    end(&mut walk);
}
