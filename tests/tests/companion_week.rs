//! The week on the companion: days that are over, the day that comes next, the week of the block, proposals with their
//! reason, the coach's cues, the kit of a place, the backup, the next block.
#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

use chrono::TimeDelta;
use plinth_core::floor::Event;
use plinth_core::load::Kit;
use plinth_core::plan::programme::WeekKind;
use plinth_core::plan::search::Effort;
use plinth_core::record::{Answer, ScreeningFields, Writer};
use plinth_core::words::Language;
use plinth_core::words::floor::FloorScreen;
use plinth_tests::faults::Folder;
use plinth_tests::walk::{Body, Day, Dice, Habits, Walk, offered};
use serde_json::json;

/// A lifter who does everything as written, tells what was left, and is never killed.
fn plain(who: &'static str) -> Walk {
    let mut walk = Walk::new(who, Language::English, 11, Body::new(120.0, 80.0, 0.005));
    walk.habits = Habits { tells_reserve: 100, restless: 0, undoes: 0, killed: 0, stands_in: false };
    walk.dice = Dice::new(5);
    let now = walk.now.clone();
    let answers = ScreeningFields {
        regular_exercise: Some(Answer::Yes),
        known_disease: Some(Answer::No),
        signs_or_symptoms: Some(Answer::No),
        ..ScreeningFields::default()
    };
    walk.companion().answer_screening(answers, &now).unwrap();
    let brief = json!({
        "days": 3, "weekdays": ["monday", "wednesday", "friday"], "minutes": 60,
        "goal": { "strength": 50, "size": 50 }, "training_age": "intermediate", "weeks": 4,
        "equipment": ["barbell", "rack", "bench", "dumbbells", "cable", "pulldown", "leg_press"],
        "alone": false, "safeties": true,
    });
    walk.companion().tell_brief(brief.to_string().as_bytes(), &now).unwrap();
    walk.take_on(Walk::monday(1));
    walk
}

fn chosen_day(screen: &FloorScreen) -> Option<usize> {
    let mut chosen = screen.before.iter().flat_map(|r| &r.buttons).filter(|b| b.chosen);
    chosen.find_map(|b| if let Event::ChooseDay { day } = b.event { Some(day) } else { None }).flatten()
}

#[test]
fn the_day_that_comes_next_is_todays_own_or_the_first_that_is_open() {
    let mut walk = plain("next-day");
    assert_eq!(chosen_day(&walk.screen()), Some(0), "Monday's on Monday");
    walk.session_of(&Day { alone: false, ..Day::default() });
    walk.on(Walk::monday(1) + TimeDelta::days(1));
    assert_eq!(chosen_day(&walk.screen()), Some(1), "on Tuesday the first that is open");
    walk.on(Walk::monday(1) + TimeDelta::days(4));
    assert_eq!(chosen_day(&walk.screen()), Some(2), "on Friday Friday's, though Wednesday was not trained");
    walk.session_of(&Day { alone: false, ..Day::default() });
    walk.on(Walk::monday(1) + TimeDelta::days(5));
    assert_eq!(chosen_day(&walk.screen()), Some(1), "then what is left");
    walk.on(Walk::monday(2));
    assert_eq!(chosen_day(&walk.screen()), Some(0), "a new week begins anew");
}

#[test]
fn the_week_of_the_block_says_how_many_sets_and_how_much_is_left() {
    let mut walk = plain("week-of-block");
    let (_, programme, _) = walk.reader().programme().unwrap();
    let programme = programme.clone();
    let deload = programme.block.iter().position(|w| w.kind == WeekKind::Deload).expect("a deload");
    for week in [0, deload] {
        walk.on(Walk::monday(week as i64 + 1));
        assert!(walk.begin(&Day { alone: false, ..Day::default() }));
        let lines = walk.offers(|e| matches!(e, Event::Lines)).expect("the movements of today");
        walk.touch(&lines);
        let screen = walk.screen();
        let shown: Vec<String> = offered(&screen)
            .into_iter()
            .filter(|b| matches!(b.event, Event::GoTo { .. }))
            .map(|b| b.label.clone())
            .collect();
        let of = &programme.block[week].days[0];
        for (line, block) in programme.days[0].lines.iter().zip(of) {
            let name = walk.speech.movement_in(&walk.catalogue, &line.movement);
            let want = format!("{name}: 0 of {} done", block.sets);
            assert!(shown.contains(&want), "week {week}: {want} in {shown:?}");
        }
        walk.try_touch(|e| matches!(e, Event::Back));
        walk.close();
    }
}

#[test]
fn the_log_proposes_the_next_load_and_says_why() {
    let mut walk = plain("proposals");
    for day in walk.days_of(1).into_iter().chain(walk.days_of(2)) {
        walk.on(day);
        walk.session_of(&Day { alone: false, ..Day::default() });
    }
    let second = walk.proposed.iter().filter(|p| p.day >= Walk::monday(2) && p.grams.is_some());
    let mut reasons = 0;
    for p in second {
        let before = walk.proposed.iter().any(|b| b.movement == p.movement && b.day < p.day);
        if before {
            assert!(!p.because.is_empty(), "{} {} has no reason", p.movement, p.what);
            reasons += 1;
        }
    }
    assert!(reasons > 4, "{reasons} loads were proposed from the log");
    walk.no_objection();
    walk.account();
}

#[test]
fn the_coachs_cue_comes_first() {
    let mut walk = plain("cues");
    let (_, programme, _) = walk.reader().programme().unwrap();
    let movement = programme.days[0].lines[0].movement.clone();
    let now = walk.now.clone();
    walk.companion().note(None, Some(movement.clone()), "Knees over the toes.", Writer::Coach, &now).unwrap();
    walk.companion().note(None, Some(movement), "Not a cue.", Writer::Lifter, &now).unwrap();
    assert!(walk.companion().note(None, None, "  ", Writer::Coach, &now).is_err());
    assert!(walk.begin(&Day { alone: false, ..Day::default() }));
    while walk.screen().stage == "warm_up" {
        walk.pass(60);
        walk.touch(&Event::WarmUpDone);
    }
    let cue = walk.screen().set.and_then(|s| s.cue).expect("a cue");
    assert_eq!(cue, "Your coach: Knees over the toes.");
}

#[test]
fn a_second_place_has_its_own_kit() {
    let mut walk = plain("places");
    let now = walk.now.clone();
    let kit = |id: &str| serde_json::to_vec(&Kit::starting(id).unwrap()).unwrap();
    walk.companion().tell_kit(None, "The gym", &kit("gym_kg"), None, &now).unwrap();
    walk.companion().tell_kit(None, "Abroad", &kit("gym_lb"), None, &now).unwrap();
    let unknown = walk.companion().tell_kit(None, "X", &kit("home"), Some(vec!["anvil".into()]), &now);
    assert_eq!(unknown.unwrap_err().field.as_deref(), Some("equipment"));
    assert!(walk.begin(&Day { alone: false, place: Some(1), ..Day::default() }));
    let mut bars = 0;
    walk.work(|w, _| {
        if let Some(load) = w.screen().set.filter(|s| s.discs.is_some()).and_then(|s| s.load) {
            assert!(load.ends_with("lb"), "{load} on a bar abroad");
            bars += 1;
        }
        true
    });
    assert!(bars > 0);
    walk.close();
    // At home again the loads are made of the gym's discs.
    walk.on(Walk::monday(2));
    assert!(walk.begin(&Day { alone: false, place: Some(0), ..Day::default() }));
    walk.work(|w, _| {
        if let Some(load) = w.screen().set.filter(|s| s.discs.is_some()).and_then(|s| s.load) {
            assert!(load.ends_with("kg"), "{load} on a bar of the gym");
        }
        true
    });
    walk.close();
    walk.no_objection();
    walk.account();
}

#[test]
fn a_backup_is_due_once_a_key_was_made_and_a_day_after_the_last() {
    let mut walk = plain("backup");
    let folder = Folder::new();
    let now = walk.now.clone();
    assert_eq!(walk.companion().backup_due(&now), None, "no key yet");
    let words = walk.companion().make_backup_key(&now).unwrap();
    assert_eq!(words.split_whitespace().count(), 24);
    let due = walk.companion().backup_due(&now).expect("the first is due");
    let file = folder.file("backup");
    walk.companion().make_backup(&due, &file, &now).unwrap();
    assert!(file.metadata().unwrap().len() > 0);
    assert_eq!(walk.companion().backup_due(&now), None);
    walk.kill();
    walk.pass(23 * 3600);
    let now = walk.now.clone();
    assert_eq!(walk.companion().backup_due(&now), None, "not yet a day");
    walk.pass(3700);
    let now = walk.now.clone();
    assert_eq!(walk.companion().backup_due(&now), Some(due));
}

#[test]
fn the_next_block_starts_from_what_the_log_shows_and_does_not_keep_the_limits_of_today() {
    let mut walk = plain("next-block");
    for day in walk.days_of(1) {
        walk.on(day);
        walk.session_of(&Day { alone: false, ..Day::default() });
    }
    let now = walk.now.clone();
    let sore = plinth_core::record::DiscomfortFields {
        region: Some("shoulder".into()),
        severity: Some(plinth_core::record::Severity::Severe),
        nature: Some(plinth_core::record::Nature::Usual),
        ..Default::default()
    };
    walk.companion().tell_discomfort(None, sore, &now).unwrap();
    let effort = Effort { evaluations: 3_000, chains: 1 };
    let next = walk.companion().next_block(&now, effort, &mut || true).unwrap();
    assert!(!next.brief.bests.is_empty(), "bests of the log");
    assert!(next.brief.discomforts.is_empty(), "today's discomfort does not outlast today");
    let shoulder = walk.catalogue.region("shoulder").unwrap();
    for line in next.answer.programme.days.iter().flat_map(|d| &d.lines) {
        let m = walk.catalogue.movement(&line.movement).unwrap();
        assert_eq!(m.flag(shoulder), 0, "{} loads a shoulder that hinders", m.id);
    }
    // Nothing was written: the programme under way stays.
    assert_eq!(walk.reader().programme().map(|(_, _, from)| from), Some(Walk::monday(1)));
}
