//! Pregnant, with the limits of licensed care until a review: nothing maximal, nothing lying flat unless it was
//! allowed; past the review the cautious default again; findings that could press are silent.

use super::{adult, end, tell};
use plinth_core::record::{Advice, Answer, Date, Pregnancy, ScreeningFields};
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};
use serde_json::json;

#[test]
fn in_pregnancy_limits_hold_and_the_cautious_default_returns_after_the_review() {
    let mut walk = Walk::new("pregnancy", Language::English, 5, Body::new(80.0, 66.0, 0.0));
    adult(&mut walk, "1993-07-30");
    let now = walk.now.clone();
    let review = Walk::monday(6) - chrono::TimeDelta::days(1);
    let advice = Advice {
        by: Some("midwife".into()),
        on: Some(Date(Walk::monday(1))),
        limits: Some("nothing maximal".into()),
        regions_out: Vec::new(),
        lying_flat: Some(Answer::Yes),
        review_on: Some(Date(review)),
    };
    let answers = ScreeningFields {
        pregnancy: Some(Pregnancy { pregnant: Some(Answer::Yes), due_on: None, advice: Some(advice) }),
        ..ScreeningFields::default()
    };
    walk.companion().answer_screening(answers, &now).expect("it is kept");
    walk.around.no_maximal_lifts = true;
    walk.around.no_long_breath_hold = true;
    tell(&mut walk, &json!({ "goal": { "strength": 60, "size": 20, "health": 20 }, "minutes": 50 }));
    walk.take_on(Walk::monday(1));
    walk.keep("before");
    let mut flat = [false, false];
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            walk.on(date);
            if date > review {
                walk.around.no_lying_on_back = true;
                walk.around.no_lying_on_front = true;
                walk.around.light_to_moderate = true;
            }
            if week == 7 && k == 0 {
                walk.next_block(date);
            }
            walk.begun(&Day { alone: false, ..Day::default() });
            if week == 6 && k == 0 {
                walk.keep("past-the-review");
            }
            walk.work(|w, _| {
                let screen = w.screen();
                if screen.stage == "lifting" {
                    w.keep("first-set");
                }
                let lying = screen.set.as_ref().and_then(|s| w.movement_named(&s.movement)).map(|m| m.lying);
                if lying == Some(plinth_core::catalogue::Lying::Back) {
                    flat[usize::from(date > review)] = true;
                }
                true
            });
            walk.close();
        }
    }
    assert!(!flat[1], "nothing lying flat past the review");
    let now = walk.now.clone();
    let findings = walk.companion().findings(&now).expect("findings");
    assert!(findings.silent && findings.attendance.is_none());
    assert!(findings.movements.iter().all(|m| m.standing.is_none()), "no plateau is named");
    end(&mut walk);
}
