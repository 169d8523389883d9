//! Why what is required cannot be had: the conflicts are real, irreducible, and every way out works.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::plan::Solved;
use plinth_core::plan::brief::{
    Brief, Discomfort, Goal, Limits, Minutes, Nature, Screening, Severity, TrainingAge, Wish, WishKind,
};
use plinth_core::plan::reason::{Barrier, Demand, Impossible, Reasoner, Step, take};
use plinth_core::plan::sample::KITS;
use plinth_core::plan::search::Effort;
use plinth_core::words::{Account, Language, Speech};
use plinth_tests::Data;

/// Enough for what is required: it is placed exactly before the search begins.
const EFFORT: Effort = Effort { evaluations: 40_000, chains: 2 };

fn data() -> Data {
    Data::builtin().expect("sound")
}

fn gym(days: u32, minutes: u32) -> Brief {
    Brief {
        format: "plinth.brief/1".into(),
        title: "Invented".into(),
        days,
        weekdays: Vec::new(),
        minutes: Minutes::Same(minutes),
        goal: Goal { strength: 100, size: 0, health: 0 },
        training_age: TrainingAge::Intermediate,
        age_years: Some(30),
        equipment: KITS[0].1.iter().map(ToString::to_string).collect(),
        discomforts: Vec::new(),
        limits: Limits { screening: Screening::AnsweredNoLimit, ..Limits::default() },
        priorities: Vec::new(),
        muscle_sets: Vec::new(),
        carrying: None,
        wishes: Vec::new(),
        in_turn: false,
        alone: false,
        safeties: true,
        bests: Vec::new(),
        body_mass: None,
        kit: None,
        weeks: 5,
        own_movements: Vec::new(),
    }
}

fn require(id: &str, times: u32) -> Wish {
    Wish { wish: WishKind::Require, movement: Some(id.into()), pattern: None, times: Some(times) }
}

fn sessions(data: &Data, solved: &Solved, id: &str) -> i32 {
    let Some(m) = data.catalogue.find(id).and_then(|m| solved.case.position(m)) else { return 0 };
    solved.week.days.iter().filter(|d| d.iter().any(|s| s.movement == m)).count() as i32
}

/// Everything that must hold of an explanation, each by solving or testing again.
fn check(data: &Data, brief: &Brief, solved: &Solved, why: &[Impossible]) {
    let reasoner = Reasoner::new(data.planner(), brief, solved);
    for one in why {
        assert!(one.sessions < one.asked);
        assert!(!one.demands.is_empty(), "{}: not settled", one.movement);
        assert!(one.irreducible, "{}", one.movement);
        assert!(
            one.demands
                .iter()
                .any(|d| matches!(d, Demand::Asked { movement, .. } if *movement == one.movement)),
            "the conflict is about what is asked: {:?}",
            one.demands
        );
        assert_eq!(reasoner.can_keep(&one.demands), Some(false), "{:?}", one.demands);
        for k in 0..one.demands.len() {
            let mut fewer = one.demands.clone();
            let dropped = fewer.remove(k);
            assert_eq!(reasoner.can_keep(&fewer), Some(true), "{}: {dropped:?}", one.movement);
        }
        for way in &one.ways {
            let changed = take(&way.steps, brief);
            assert_eq!(changed.discomforts, brief.discomforts, "health is never offered for change");
            assert_eq!(changed.limits, brief.limits);
            let again = data.solve(&changed, EFFORT);
            let asked = changed
                .wishes
                .iter()
                .find(|w| w.movement.as_deref() == Some(way.movement.as_str()))
                .map_or(1, |w| w.times.unwrap_or(1) as i32);
            assert!(sessions(data, &again, &way.movement) >= asked, "{:?}", way.steps);
            assert!(way.days.len() as i32 >= asked);
        }
    }
}

fn explain(data: &Data, brief: &Brief) -> Vec<Impossible> {
    let solved = data.solve(brief, EFFORT);
    let reasoner = Reasoner::new(data.planner(), brief, &solved);
    let why = reasoner.why_impossible();
    println!("{}", serde_json::to_string_pretty(&why).expect("data"));
    for one in &why {
        let (speech, days) = (Speech::new(Language::English), reasoner.weekdays());
        for line in (Account { speech: &speech, catalogue: &data.catalogue, days: &days }).impossible(one) {
            println!("    {line}");
        }
    }
    check(data, brief, &solved, &why);
    why
}

fn has(one: &Impossible, barrier: &Barrier) -> bool {
    one.demands.iter().any(|d| matches!(d, Demand::Barrier { barrier: b } if b == barrier))
}

fn asked(one: &Impossible) -> usize {
    one.demands.iter().filter(|d| matches!(d, Demand::Asked { .. })).count()
}

fn days(one: &Impossible) -> bool {
    one.demands.iter().any(|d| matches!(d, Demand::Days { .. }))
}

fn minutes(one: &Impossible) -> bool {
    one.demands.iter().any(|d| matches!(d, Demand::Minutes { .. }))
}

#[test]
fn squat_and_deadlift_on_one_day() {
    let data = data();
    let mut brief = gym(1, 90);
    brief.wishes = vec![require("barbell_back_squat", 1), require("conventional_deadlift", 1)];
    let why = explain(&data, &brief);
    assert_eq!(why.len(), 1, "one is placed");
    assert_eq!(asked(&why[0]), 2);
    assert!(days(&why[0]));
    assert!(has(&why[0], &Barrier::HeavyPair) || has(&why[0], &Barrier::AxialThree));
    assert_eq!(why[0].demands.len(), 4);
    let first = why[0].ways.first().expect("a way out");
    assert_eq!(first.steps, [Step::MoreDays { days: 1 }], "a second day is the way");
}

#[test]
fn eight_in_thirty_minutes() {
    let data = data();
    let mut brief = gym(1, 30);
    brief.wishes = [
        "barbell_back_squat",
        "barbell_bench_press",
        "barbell_row",
        "barbell_overhead_press",
        "romanian_deadlift",
        "wide_pulldown",
        "hip_thrust",
        "parallel_bar_dip",
    ]
    .into_iter()
    .filter(|id| data.catalogue.find(id).is_some())
    .map(|id| require(id, 1))
    .collect();
    assert!(brief.wishes.len() >= 6);
    let why = explain(&data, &brief);
    assert!(why.len() >= 4, "{}", why.len());
    assert!(why.iter().all(|w| minutes(w) && days(w) && asked(w) >= 2 && !w.ways.is_empty()));
}

#[test]
fn a_machine_that_is_not_there() {
    let data = data();
    let mut brief = gym(3, 60);
    brief.equipment = vec!["barbell".into(), "rack".into(), "bench".into()];
    brief.wishes = vec![require("leg_press", 1)];
    let why = explain(&data, &brief);
    assert_eq!(why[0].demands.len(), 2);
    assert!(has(&why[0], &Barrier::Kit { missing: vec!["leg_press".into()] }));
    let kit = Step::Kit { equipment: vec!["leg_press".into()] };
    assert!(why[0].ways.iter().any(|w| w.steps == [kit.clone()]));
    assert!(why[0].ways.iter().any(|w| matches!(w.steps[..], [Step::StandIn { .. }])));
}

#[test]
fn a_severe_low_back_stands_above_a_required_deadlift() {
    let data = data();
    let mut brief = gym(3, 60);
    brief.discomforts =
        vec![Discomfort { region: "low_back".into(), severity: Severity::Severe, nature: Nature::Usual }];
    brief.wishes = vec![require("conventional_deadlift", 1)];
    let why = explain(&data, &brief);
    assert!(has(&why[0], &Barrier::Discomfort { region: "low_back".into(), severity: 3 }));
    assert_eq!(why[0].demands.len(), 2);
    assert!(!why[0].ways.is_empty());
    assert!(why[0].ways.iter().all(|w| matches!(w.steps[..], [Step::StandIn { .. }])));
}

#[test]
fn five_bench_presses_in_three_days() {
    let data = data();
    let mut brief = gym(3, 60);
    brief.wishes = vec![require("barbell_bench_press", 5)];
    let why = explain(&data, &brief);
    assert_eq!((why[0].asked, why[0].sessions), (5, 3));
    assert_eq!(why[0].demands.len(), 2);
    assert!(days(&why[0]));
    assert!(why[0].ways.iter().any(|w| w.steps == [Step::MoreDays { days: 2 }]));
    let fewer = Step::FewerTimes { movement: "barbell_bench_press".into(), times: 3 };
    assert!(why[0].ways.iter().any(|w| w.steps == [fewer.clone()]));
}

#[test]
fn required_and_forbidden() {
    let data = data();
    let mut brief = gym(3, 60);
    let id = "barbell_bench_press";
    brief.wishes = vec![
        require(id, 1),
        Wish { wish: WishKind::Forbid, movement: Some(id.into()), pattern: None, times: None },
    ];
    let why = explain(&data, &brief);
    assert_eq!(why[0].demands.len(), 2);
    assert!(why[0].demands.iter().any(|d| matches!(d, Demand::Forbid { .. })));
    assert!(why[0].ways.iter().any(|w| matches!(w.steps[..], [Step::Allow { .. }])));
}

#[test]
fn isolation_in_fifteen_minutes() {
    let data = data();
    let mut seen = 0;
    for id in ["dumbbell_curl", "dumbbell_lateral_raise", "machine_leg_curl", "barbell_curl"] {
        if data.catalogue.find(id).is_none() {
            continue;
        }
        for minutes in [8, 10, 12, 15] {
            let mut brief = gym(3, minutes);
            brief.wishes = vec![require(id, 1)];
            for one in explain(&data, &brief) {
                assert!(minutes_in(&one), "{:?}", one.demands);
                assert!(one.ways.iter().any(|w| matches!(w.steps[..], [Step::MoreMinutes { .. }])));
                seen += 1;
            }
        }
    }
    assert!(seen > 0, "some are impossible");
}

fn minutes_in(one: &Impossible) -> bool {
    minutes(one)
}

#[test]
fn a_missing_machine_that_is_forbidden_as_well_needs_both_lifted() {
    let data = data();
    let mut brief = gym(3, 60);
    brief.equipment = vec!["barbell".into(), "rack".into(), "bench".into()];
    brief.wishes = vec![
        require("leg_press", 1),
        Wish { wish: WishKind::Forbid, movement: Some("leg_press".into()), pattern: None, times: None },
    ];
    let why = explain(&data, &brief);
    assert!(why[0].ways.iter().any(|w| w.steps.len() == 2));
}

#[test]
fn what_the_corpus_requires_and_cannot_have_is_explained() {
    let data = data();
    let mut explained = 0;
    for seed in 0..200 {
        let brief = data.brief(seed);
        if !brief.wishes.iter().any(|w| w.wish == WishKind::Require) {
            continue;
        }
        let solved = data.solve(&brief, EFFORT);
        let why = Reasoner::new(data.planner(), &brief, &solved).why_impossible();
        check(&data, &brief, &solved, &why);
        explained += why.len();
    }
    println!("{explained} explained");
    assert!(explained >= 5);
}
