//! A whole session is led with a real programme, killed and reopened at every event.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

mod floor_support;

use floor_support::{Home, Lifter, sets};
use plinth_core::floor::{Effect, Event, SetKind, Stage};

#[test]
fn every_day_is_led_to_its_end_with_one_touch_a_set() {
    let home = Home::example();
    for day in 0..home.programme.days.len() {
        for week in 0..home.programme.block.len() {
            let mut house = home.house();
            house.week = week;
            let mut lifter = Lifter::new(house);
            lifter.begin(Some(day));
            let view = lifter.view();
            assert_eq!(view.stage, Stage::WarmUp);
            lifter.work(200);
            let view = lifter.view();
            assert_eq!(view.stage, Stage::Finished, "week {week}, day {day}");
            assert_eq!(view.sum.as_ref().unwrap().not_done, 0);
            let line = view.line.unwrap();
            assert_eq!(line.now_s, line.seconds, "the tick stands at the end");
            let working: Vec<_> =
                sets(&lifter.record).into_iter().filter(|s| s["purpose"] == "working").collect();
            for (k, l) in home.programme.days[day].lines.iter().enumerate() {
                let planned = home.programme.block[week].days[day][k].sets as usize;
                let each = if home.catalogue.movement(&l.movement).unwrap().laterality
                    == plinth_core::catalogue::Laterality::Each
                {
                    2
                } else {
                    1
                };
                let done = working.iter().filter(|s| s["movement"] == l.movement.as_str()).count();
                assert_eq!(done, planned * each, "{}", l.movement);
            }
            // One touch invents nothing: the reserve of a set done as written is not reported.
            let session = floor_support::session(&lifter.record);
            assert_eq!((&session["day"], &session["week"]), (&day.into(), &week.into()));
            for s in &working {
                assert_eq!(s["reserve"], "not_reported");
                assert_eq!(s["as_written"], true);
                assert_eq!(s["planned"], true);
            }
            lifter.wide();
            assert!(matches!(lifter.view().stage, Stage::Ended { .. }));
            assert!(lifter.effects.contains(&Effect::AskForSync));
            assert_eq!(
                lifter.effects.iter().rfind(|e| matches!(e, Effect::KeepAwake { .. })),
                Some(&Effect::KeepAwake { on: false })
            );
        }
    }
}

#[test]
fn the_session_line_moves_on_and_says_when_it_ends() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    let planned = home.programme.days[0].seconds;
    let first = lifter.view().line.unwrap();
    // Reckoned by the same numbers as the plan, without its weeks: a few minutes apart at most.
    assert!((first.seconds - planned).abs() < 900, "{} against {planned}", first.seconds);
    let mut before = first.now_s;
    for _ in 0..60 {
        if lifter.work(1) == 0 {
            break;
        }
        let line = lifter.view().line.unwrap();
        assert!(line.now_s >= before && line.now_s <= line.seconds, "{before} {line:?}");
        assert!(line.pieces.iter().all(|p| (0..=p.seconds).contains(&p.done_s)));
        before = line.now_s;
        if let Some(rest) = lifter.view().rest {
            lifter.pass(rest.left_ms / 2000);
            let through = lifter.view().line.unwrap();
            assert!(through.now_s > before, "the tick moves through a rest");
            before = through.now_s;
        }
    }
}

#[test]
fn ramps_rise_to_the_working_load_and_the_discs_follow() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    let mut ramped = 0;
    let mut last: Option<(usize, plinth_core::load::Mass)> = None;
    for _ in 0..100 {
        let view = lifter.view();
        let Some(set) = &view.set else { break };
        assert!(!set.cautions.is_empty(), "{} has its cautions before the load", set.movement);
        assert!(set.cue.is_some());
        let mass = set.load.as_ref().and_then(plinth_core::floor::LoadDone::mass);
        if set.kind == SetKind::Ramp {
            ramped += 1;
            if let Some((line, load)) = last
                && line == set.line
            {
                assert!(mass.unwrap() > load);
            }
        }
        if let (Some(bar), Some(mass)) = (&set.bar, mass) {
            let sides: i64 = bar.per_side.iter().map(|p| p.mass.amount()).sum();
            assert_eq!(bar.bar_mass.amount() + bar.collars.amount() + 2 * sides, mass.amount());
        }
        last = mass.map(|m| (set.line, m));
        lifter.work(1);
    }
    assert!(ramped >= 3);
    // The second set of the same load needs no disc moved.
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.until(|v| {
        v.set.as_ref().is_some_and(|s| s.kind == SetKind::Working && s.number == 2 && s.bar.is_some())
    });
    assert!(lifter.view().set.unwrap().bar.unwrap().moves.is_empty());
}

#[test]
fn cues_turn_from_set_to_set_the_coachs_own_first() {
    let home = Home::example();
    let movement = home.programme.days[0].lines[0].movement.clone();
    let mut house = home.house();
    house.cues.insert(movement, vec!["Coach's word".into()]);
    let mut lifter = Lifter::new(house);
    lifter.begin(Some(0));
    lifter.warmed_up();
    let first = lifter.view().set.unwrap();
    assert_eq!(first.cue.as_deref(), Some("Coach's word"));
    assert!(first.cue_of_coach);
    lifter.work(1);
    let second = lifter.view().set.unwrap();
    assert_ne!(second.cue, first.cue);
    // Nothing changes under the focus while the rest runs out.
    let key = lifter.view().stable;
    lifter.pass(1000);
    let later = lifter.view();
    assert_eq!(later.stable, key);
    assert_eq!(later.set.unwrap(), second);
    assert_eq!(lifter.refused(Event::Back), plinth_core::floor::Refused::NotNow);
}

#[test]
fn nothing_begins_before_company_is_told_and_while_it_is_barred() {
    use plinth_core::floor::{Company, Question, Refused};
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    assert_eq!(lifter.refused(Event::Begin), Refused::Unanswered { question: Question::Company });
    lifter.do_it(Event::Company { company: Company::Alone });
    assert_eq!(lifter.refused(Event::Begin), Refused::Unanswered { question: Question::Safeties });
    lifter.do_it(Event::Safeties { there: true });
    lifter.house.adult_needed = true;
    assert_eq!(lifter.refused(Event::Begin), Refused::Unanswered { question: Question::Adult });
    lifter.do_it(Event::Adult { present: true });
    lifter.house.barred = Some("flag_today".into());
    assert_eq!(lifter.refused(Event::Begin), Refused::Barred { because: "flag_today".into() });
    assert!(lifter.record.entries.is_empty());
    lifter.house.barred = None;
    lifter.do_it(Event::Begin);
    assert_eq!(lifter.record.entries.len(), 1);
    assert_eq!(lifter.refused(Event::Begin), Refused::NotNow, "a doubled press begins once");
}
