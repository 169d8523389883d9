//! A minor: the guardian's grant, an adult at each session, nothing maximal, body mass hidden.

use super::{born, end, screened, tell};
use plinth_core::floor::Event;
use plinth_core::load::Mass;
use plinth_core::record::{Answer, EntryId, GrantFields, Time, View as _};
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};
use serde_json::json;

#[test]
fn a_minor_trains_with_a_grant_and_an_adult() {
    let mut walk = Walk::new("teen", Language::English, 7, Body::new(70.0, 61.0, 0.012));
    born(&mut walk, "2010-09-05");
    screened(&mut walk, Answer::Yes, Answer::No, Answer::No);
    walk.around.minor = true;
    let now = walk.now.clone();
    walk.companion().tell_body_mass(&"61 kg".parse::<Mass>().expect("a mass"), &now).expect("it is kept");
    tell(
        &mut walk,
        &json!({ "training_age": "novice", "age_years": 15, "weekdays": ["monday", "thursday"], "days": 2,
                 "goal": { "strength": 80, "size": 20 } }),
    );
    walk.take_on(Walk::monday(1));
    // Without a grant nothing begins.
    assert!(!walk.begin(&Day { alone: false, adult: true, ..Day::default() }));
    walk.keep("no-grant");
    let grant = GrantFields {
        to: Some("mother".into()),
        may: Some(vec!["train".into()]),
        from: Some(Time::of(&now)),
        ..GrantFields::default()
    };
    walk.companion().edit(&[grant.edit(EntryId::new(2, [9; 10]))], &now).expect("it is kept");
    // Without an adult nothing begins.
    assert!(!walk.begin(&Day { alone: false, adult: false, ..Day::default() }));
    walk.keep("no-adult");
    let refused = walk.companion().dispatch(&Event::Begin, &now).expect("an answer");
    assert!(refused.refused.is_some_and(|r| !r.is_empty()));
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            if week == 3 && k == 1 {
                continue; // a day that was not trained
            }
            walk.on(date);
            if week == 6 && k == 0 {
                walk.next_block(date);
            }
            assert!(
                walk.begin(&Day { alone: false, adult: true, ..Day::default() }),
                "with an adult it begins"
            );
            walk.work(|w, _| {
                if w.screen().stage == "lifting" {
                    w.keep("first-set");
                }
                true
            });
            walk.close();
        }
    }
    walk.keep("ended");
    let now = walk.now.clone();
    let findings = walk.companion().findings(&now).expect("findings");
    assert!(findings.body_mass.is_none(), "body mass is hidden");
    end(&mut walk);
}
