//! One side weaker than the other: the weaker side goes first, and the sides are told apart.

use super::{adult, end, tell};
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};
use serde_json::json;

#[test]
fn one_side_is_weaker_and_goes_first() {
    let mut body = Body::new(95.0, 74.0, 0.006);
    body.weaker = 0.85;
    let mut walk = Walk::new("one-sided", Language::English, 4, body);
    adult(&mut walk, "1988-05-20");
    tell(
        &mut walk,
        &json!({ "wishes": [
            { "wish": "require", "movement": "rear_foot_elevated_split_squat", "times": 1 },
            { "wish": "require", "movement": "one_arm_dumbbell_row", "times": 2 },
        ], "equipment": [
            "barbell", "rack", "bench", "dumbbells", "cable", "pulldown", "pull_up_bar", "bands", "box"
        ] }),
    );
    walk.take_on(Walk::monday(1));
    let mut apart = 0;
    let (_, programme, _) = walk.reader().programme().expect("a programme");
    let sided = programme.days.iter().flat_map(|d| &d.lines).filter(|l| {
        walk.catalogue
            .movement(&l.movement)
            .is_some_and(|m| m.laterality == plinth_core::catalogue::Laterality::Each)
    });
    assert!(sided.count() > 1, "one-sided movements are planned");
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            walk.on(date);
            if week == 6 && k == 0 {
                walk.next_block(date);
            }
            walk.begun(&Day { alone: false, ..Day::default() });
            walk.work(|w, _| {
                let screen = w.screen();
                let Some(set) = &screen.set else { return true };
                let sided = set.notes.iter().any(|n| n.starts_with("One side, then the other"));
                if sided && set.count.starts_with("Set ") {
                    w.rest();
                    w.keep("one-sided-set");
                    if week > 5 {
                        w.keep("one-sided-set-later");
                    }
                    let amount: u32 = set.amount.split(' ').next().and_then(|n| n.parse().ok()).unwrap_or(8);
                    w.pass(40);
                    if w.sides_apart(amount.saturating_sub(2), amount) {
                        apart += 1;
                        let after = w.screen();
                        return after.stage != "finished";
                    }
                }
                true
            });
            walk.close();
        }
    }
    assert!(apart > 20, "{apart} sets with their sides apart");
    let later = walk.kept.iter().find(|(name, _)| name == "one-sided-set-later").map(|(_, s)| s.clone());
    assert!(later.is_some_and(|s| s.contains("left first")), "the weaker side, which was told, goes first");
    end(&mut walk);
}
