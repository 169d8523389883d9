//! Sixty years with bad knees: the usual discomfort eases; a new or worse one in the fourth week stops what loads the
//! knee until a flag's return, and what was cared for comes back.

use super::{adult, end, tell};
use chrono::TimeDelta;
use plinth_core::floor::{Event, Nature};
use plinth_core::plan::brief::Severity;
use plinth_core::record::{self, DiscomfortFields, Kind, Time};
use plinth_core::safety::{ReturnAnswers, Sore};
use plinth_core::words::Language;
use plinth_tests::walk::{Body, Day, Walk};
use serde_json::json;

#[test]
fn sixty_years_with_bad_knees_trains_around_them() {
    let mut walk = Walk::new("sixty", Language::German, 3, Body::new(85.0, 81.0, 0.005));
    adult(&mut walk, "1965-10-02");
    let now = walk.now.clone();
    let usual = DiscomfortFields {
        region: Some("knee".into()),
        severity: Some(record::Severity::Moderate),
        nature: Some(record::Nature::Usual),
        since: Some(Time::of(&now)),
        ..DiscomfortFields::default()
    };
    walk.companion().tell_discomfort(None, usual, &now).expect("it is kept");
    let knee = walk.catalogue.region("knee").expect("a region");
    let usual = Sore { region: knee, severity: 2, new_or_worse: false };
    walk.around.sore = vec![usual];
    tell(
        &mut walk,
        &json!({ "days": 2, "weekdays": ["tuesday", "friday"], "minutes": 50, "age_years": 60,
                 "goal": { "strength": 30, "size": 30, "health": 40 } }),
    );
    walk.take_on(Walk::monday(1));
    walk.keep("before");
    let mut out = false;
    for week in 1..=8 {
        for (k, date) in walk.days_of(week).into_iter().enumerate() {
            walk.on(date);
            if week == 5 && k == 1 {
                // Care was taken: the return is recorded, and the new discomfort is over.
                let flag =
                    walk.reader().store().of_kind(&Kind::Flag, None, 9).expect("flags").first().map(|e| e.id);
                let now = walk.now.clone();
                let answers = ReturnAnswers {
                    flag: flag.expect("the flag stands").to_string(),
                    advised_by: "die Hausärztin".into(),
                    advised_on: date.to_string(),
                    limits: "none".into(),
                    regions_still_out: Vec::new(),
                };
                walk.companion().record_return(&answers, &now).expect("it is kept");
                for e in
                    walk.reader().store().of_kind(&Kind::Discomfort, None, 9).expect("all").iter().skip(1)
                {
                    let over =
                        DiscomfortFields { until: Some(Time::of(&now)), ..DiscomfortFields::default() };
                    let id = Some(e.id);
                    walk.companion().tell_discomfort(id, over, &now).expect("it is kept");
                }
                // The day itself still counts.
                walk.around.regions_out.clear();
            }
            if week == 6 && k == 0 {
                walk.around.sore = vec![usual];
                walk.next_block(date);
            }
            walk.begun(&Day { alone: k == 0, safeties: true, ..Day::default() });
            walk.work(|w, step| {
                if week == 1 && w.screen().stage == "resting" {
                    w.keep("rest");
                }
                if week == 4 && k == 0 && step == 3 {
                    w.pass(5);
                    w.hurts("knee", Nature::NewOrWorse, Severity::Moderate);
                    w.keep("knee-worse");
                }
                if week == 4 && k == 1 && step == 2 && !out {
                    // It gives way: the region is out until a return.
                    w.try_touch(|e| matches!(e, Event::Wrong));
                    w.try_touch(|e| matches!(e, Event::Unwell));
                    w.keep("unwell");
                    assert!(
                        w.try_touch(|e| matches!(e, Event::Flag { flag } if flag == "giving_way")),
                        "giving way"
                    );
                    w.try_touch(|e| *e == Event::FlagWhere { region: "knee".into() });
                    w.keep("confirm");
                    w.pass(3);
                    w.around.regions_out.push(knee);
                    assert!(w.try_touch(|e| matches!(e, Event::ConfirmFlag { .. })), "the second touch");
                    w.keep("knee-out");
                    out = true;
                }
                true
            });
            walk.close();
        }
    }
    assert!(out, "the flag was raised");
    let squats = walk.proposed.iter().filter(|p| {
        let m = walk.catalogue.movement(&p.movement);
        (Walk::monday(5)..Walk::monday(5) + TimeDelta::days(3)).contains(&p.day)
            && m.is_some_and(|m| m.flag(knee) > 0)
    });
    assert_eq!(squats.count(), 0, "nothing loads the knee before the return");
    end(&mut walk);
}
