//! In mid-session: stand-ins, minutes left and a missed day, with safety, ramps and rests protected.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::type_complexity, missing_docs)] // a test may stop at what should not be

use plinth_core::catalogue::{Lying, Measure, Trap};
use plinth_core::plan::brief::{Brief, Discomfort, Nature, Screening, Severity, Wish, WishKind};
use plinth_core::plan::filter::{circumstances, missing_kit, owned_kit};
use plinth_core::plan::programme::Programme;
use plinth_core::plan::session::{Done, Now, SessionFault};
use plinth_core::safety::permit;
use plinth_tests::Data;
use std::time::Instant;

fn data() -> Data {
    Data::builtin().expect("sound")
}

fn gym(data: &Data) -> (Brief, Programme) {
    let brief = data.gym();
    let programme = data.publish(&brief);
    (brief, programme)
}

fn at(programme: &Programme, id: &str) -> (usize, usize) {
    let find = |d: usize| programme.days[d].lines.iter().position(|l| l.movement == id).map(|k| (d, k));
    (0..programme.days.len()).find_map(find).expect("the programme has it")
}

/// The circumstances that no mark, wish, stand-in or shortage of minutes may get round.
fn circumstances_to_try() -> Vec<(&'static str, fn(&mut Brief))> {
    fn sore(region: &str, severity: Severity, nature: Nature) -> Vec<Discomfort> {
        vec![Discomfort { region: region.into(), severity, nature }]
    }
    vec![
        ("alone", |b| b.alone = true),
        ("new", |b| b.discomforts = sore("shoulder", Severity::Mild, Nature::NewOrWorse)),
        ("severe", |b| b.discomforts = sore("low_back", Severity::Severe, Nature::Usual)),
        ("surgery", |b| b.limits.after_surgery = vec!["knee".into()]),
        ("on the back", |b| b.limits.no_lying_on_back = true),
        ("on the front", |b| b.limits.no_lying_on_front = true),
        ("minor", |b| b.limits.minor = true),
        ("light", |b| b.limits.screening = Screening::Unanswered),
        ("maximal", |b| b.limits.no_maximal_lifts = true),
    ]
}

#[test]
fn nothing_gets_round_safety() {
    let data = data();
    let (brief, programme) = gym(&data);
    for (name, change) in circumstances_to_try() {
        let mut brief = brief.clone();
        brief.safeties = false;
        change(&mut brief);
        for line in programme.days.iter().flat_map(|d| &d.lines) {
            let movement = Some(line.movement.clone());
            brief.wishes.push(Wish { wish: WishKind::Require, movement, pattern: None, times: None });
        }
        let around = circumstances(&brief, &data.catalogue);
        let check = |id: &str, low: i32, reserve: i32, rest_s: i32| {
            let m = data.catalogue.movement(id).expect("known");
            let ease = permit(m, &around).unwrap_or_else(|r| panic!("{name}: {id} is offered: {r:?}"));
            assert!(reserve >= ease.reserve_at_least, "{name}: {id}");
            assert!(m.measure != Measure::Repetitions || low >= ease.reps_at_least, "{name}: {id}");
            assert!(rest_s >= 60);
            assert!(!(name == "alone" && m.trap == Trap::Chest));
            assert!(!(name == "on the back" && m.lying == Lying::Back));
        };
        for today in 0..programme.days.len() {
            let now = Now { today, ..Now::default() };
            let session = data.planner().session(&brief, &programme, &now).expect("sound");
            for line in 0..programme.days[today].lines.len() {
                for o in session.stand_in(line).expect("the line is there").offers {
                    check(&o.movement, o.prescription.low, o.prescription.reserve, o.prescription.rest_s);
                }
            }
            for minutes in [15, 40, 120] {
                let answer = session.minutes_left(minutes).expect("in range");
                let free = answer.free.iter().flat_map(|f| &f.lines);
                for l in answer.lines.iter().chain(free) {
                    check(&l.movement, l.prescription.low, l.prescription.reserve, l.prescription.rest_s);
                }
            }
            for missed in (0..programme.days.len()).filter(|d| *d != today) {
                let folding = session.fold_in(missed).expect("sound");
                for l in folding.days.iter().flat_map(|d| &d.lines) {
                    check(&l.movement, l.prescription.low, l.prescription.reserve, l.prescription.rest_s);
                }
            }
        }
    }
}

#[test]
fn a_stand_in_is_possible_now_and_says_why() {
    let data = data();
    let (mut brief, programme) = gym(&data);
    brief.alone = true;
    brief.safeties = true;
    let (mut offers, mut named, mut related) = (0, 0, 0);
    for today in 0..programme.days.len() {
        let now = Now { today, taken: vec!["rack".into(), "barbell".into()], ..Now::default() };
        let session = data.planner().session(&brief, &programme, &now).expect("sound");
        let mut free = owned_kit(&brief, &data.catalogue);
        for kit in &now.taken {
            free[data.catalogue.kit(kit).expect("known")] = false;
        }
        for (k, line) in programme.days[today].lines.iter().enumerate() {
            let answer = session.stand_in(k).expect("the line is there");
            assert_eq!(answer.of, line.movement);
            assert_eq!(answer, session.stand_in(k).expect("again"));
            assert!(answer.offers.len() <= 4);
            for o in &answer.offers {
                let m = data.catalogue.movement(&o.movement).expect("known");
                assert!(missing_kit(m, &free).is_empty(), "{} needs what is taken", o.movement);
                assert!(programme.days[today].lines.iter().all(|l| l.movement != o.movement));
                assert!(o.sets >= 1 && o.sets <= line.sets);
                offers += 1;
                named += i32::from(o.because.is_some());
                related += i32::from(o.related);
            }
        }
    }
    println!("{offers} offers, {named} with the catalogue's reason, {related} related");
    assert!(offers > 30 && named > 10 && related * 10 >= offers * 8);
}

#[test]
fn a_severely_sore_low_back_is_offered_hips_without_load_on_the_back_and_told_so() {
    let data = data();
    let low_back = data.catalogue.region("low_back").expect("a region");
    for id in ["conventional_deadlift", "romanian_deadlift"] {
        let mut brief = data.gym();
        brief.wishes =
            vec![Wish { wish: WishKind::Require, movement: Some(id.into()), pattern: None, times: None }];
        let programme = data.publish(&brief);
        let (today, line) = at(&programme, id);
        brief.discomforts =
            vec![Discomfort { region: "low_back".into(), severity: Severity::Severe, nature: Nature::Usual }];
        let now = Now { today, ..Now::default() };
        let session = data.planner().session(&brief, &programme, &now).expect("sound");
        let answer = session.stand_in(line).expect("there");
        let bridge = answer.offers.iter().find(|o| o.movement == "floor_glute_bridge");
        let bridge = bridge.unwrap_or_else(|| panic!("{id}: {:?}", answer.offers));
        let because = bridge.because.as_ref().expect("a reason");
        assert!(because.contains("load") && because.contains("hips extend"), "{because}");
        for o in &answer.offers {
            let m = data.catalogue.movement(&o.movement).expect("known");
            assert_eq!(m.flag(low_back), 0, "{}", o.movement);
        }
    }
}

#[test]
fn done_sets_are_facts_and_a_begun_line_takes_only_its_rest() {
    let data = data();
    let (brief, programme) = gym(&data);
    let (today, line) = at(&programme, "barbell_bench_press");
    let planned = programme.days[today].lines[line].sets;
    let bench = |sets| vec![Done { movement: "barbell_bench_press".into(), sets }];
    let now = Now { today, done: bench(2), ..Now::default() };
    let session = data.planner().session(&brief, &programme, &now).expect("sound");
    let answer = session.stand_in(line).expect("there");
    assert_eq!(answer.sets_left, planned - 2);
    assert!(!answer.offers.is_empty() && answer.offers.iter().all(|o| o.sets <= planned - 2));
    let same = |o: &&plinth_core::plan::session::Offer| o.related;
    assert!(answer.offers.iter().filter(same).count() >= 3, "{:?}", answer.offers);
    let none = session.minutes_left(0).expect("in range");
    assert_eq!((none.lines.len(), none.lines[0].sets, none.seconds), (1, 2, 0));
    // Far more than any cap: still an answer, and nothing more for the chest.
    let now = Now { today, done: bench(25), ..Now::default() };
    let session = data.planner().session(&brief, &programme, &now).expect("sound");
    let answer = session.minutes_left(60).expect("in range");
    let chest = data.catalogue.muscle("chest").expect("known");
    for l in answer.lines.iter().filter(|l| l.movement != "barbell_bench_press") {
        let m = data.catalogue.movement(&l.movement).expect("known");
        assert!(m.trains.iter().all(|t| t.muscle != chest), "{}", l.movement);
    }
}

#[test]
fn a_missed_day_is_folded_in_within_every_limit_and_what_does_not_fit_is_said() {
    let data = data();
    let (mut folded, mut dropped, mut days) = (0, 0, 0);
    for seed in 0..60u64 {
        let brief = data.brief(seed);
        if brief.days < 2 {
            continue;
        }
        let programme = data.publish(&brief);
        let n = programme.days.len();
        let over = (1..n - 1).map(|d| {
            let done = programme.days[d].lines.iter();
            (d, done.map(|l| Done { movement: l.movement.clone(), sets: l.sets }).collect())
        });
        let now = Now { today: n - 1, days_over: over.collect(), ..Now::default() };
        let session = data.planner().session(&brief, &programme, &now).expect("sound");
        let folding = session.fold_in(0).expect("sound");
        assert_eq!(folding, session.fold_in(0).expect("again"));
        assert!(folding.points_fewer >= 0, "seed {seed}: never worse than leaving the week");
        assert!(folding.days.iter().all(|d| d.day == n - 1), "what is over stays");
        for day in &folding.days {
            days += 1;
            let warm_up =
                programme.days[day.day].warm_up.general_s + programme.days[day.day].warm_up.ankle_mobility_s;
            assert!(day.seconds + warm_up <= programme.days[day.day].minutes_at_hand * 60, "seed {seed}");
            for (g, _) in data.catalogue.muscles.iter().enumerate() {
                let half_sets: i32 = day
                    .lines
                    .iter()
                    .map(|l| {
                        let m = data.catalogue.movement(&l.movement).expect("known");
                        let share = m.trains.iter().filter(|t| t.muscle == g);
                        share.map(|t| t.share.half_sets()).sum::<i32>() * l.sets
                    })
                    .sum();
                assert!(half_sets <= 20, "no cap on hard sets is exceeded");
            }
            // Every line of the missed day is either folded in whole or said to be dropped.
        }
        for line in &programme.days[0].lines {
            let gained: i32 =
                folding.folded.iter().filter(|f| f.movement == line.movement).map(|f| f.gained).sum();
            let said = folding.dropped.iter().find(|c| c.movement == line.movement);
            assert!(gained >= line.sets || said.is_some_and(|c| c.from == line.sets && c.to == gained));
        }
        folded += folding.folded.len();
        dropped += folding.dropped.len();
    }
    println!("{days} days, {folded} folded, {dropped} dropped or cut");
    assert!(folded > 20 && dropped > 20);
}

#[test]
fn bad_questions_are_told_apart() {
    let data = data();
    let (brief, programme) = gym(&data);
    let ask = |now: &Now| data.planner().session(&brief, &programme, now).map(|_| ());
    let day = Now { today: 9, ..Now::default() };
    assert_eq!(ask(&day), Err(SessionFault::Day { day: 9, days: 3 }));
    let done =
        |movement: &str, sets| Now { done: vec![Done { movement: movement.into(), sets }], ..Now::default() };
    assert!(matches!(ask(&done("nothing", 1)), Err(SessionFault::Movement { .. })));
    assert!(matches!(ask(&done("barbell_bench_press", -1)), Err(SessionFault::Number { .. })));
    assert!(matches!(ask(&done("barbell_bench_press", i32::MAX)), Err(SessionFault::Number { .. })));
    let taken = Now { taken: vec!["moon".into()], ..Now::default() };
    assert!(matches!(ask(&taken), Err(SessionFault::Kit { .. })));
    let session = data.planner().session(&brief, &programme, &Now::default()).expect("sound");
    assert!(matches!(session.stand_in(99), Err(SessionFault::Line { .. })));
    assert!(matches!(session.minutes_left(-3), Err(SessionFault::Number { .. })));
    assert!(matches!(session.fold_in(7), Err(SessionFault::Day { .. })));
    assert!(data.planner().session(&brief, &programme, &Now::default()).expect("sound").fold_in(0).is_ok());
}

fn per_cent(sorted: &[u128], per_cent: usize) -> u128 {
    sorted[(sorted.len() - 1) * per_cent / 100]
}

/// Prints times; run with `--release -- --ignored --nocapture`.
#[test]
#[ignore = "measures time"]
fn timing() {
    let data = data();
    let (mut prepare, mut stand_in, mut minutes, mut fold, mut adapt) =
        (vec![], vec![], vec![], vec![], vec![]);
    for seed in 0..100u64 {
        let brief = data.brief(seed);
        let programme = data.publish(&brief);
        let other = data.brief(seed + 900);
        let start = Instant::now();
        let adapted = data.planner().adapt(&programme, &other);
        adapt.push(start.elapsed().as_micros());
        assert!(adapted.least);
        for today in 0..programme.days.len() {
            let start = Instant::now();
            let now = Now { today, ..Now::default() };
            let session = data.planner().session(&brief, &programme, &now).expect("sound");
            prepare.push(start.elapsed().as_micros());
            for line in 0..programme.days[today].lines.len() {
                let start = Instant::now();
                session.stand_in(line).expect("there");
                stand_in.push(start.elapsed().as_micros());
            }
            let half = programme.days[today].minutes_at_hand / 2;
            for m in [half, half * 3 / 2] {
                let start = Instant::now();
                assert!(session.minutes_left(m).expect("in range").exact);
                minutes.push(start.elapsed().as_micros());
            }
            let start = Instant::now();
            session.fold_in((today + 1) % programme.days.len()).ok();
            fold.push(start.elapsed().as_micros());
        }
    }
    for (name, mut times) in [
        ("prepare", prepare),
        ("stand-in", stand_in),
        ("minutes left", minutes),
        ("fold in", fold),
        ("adapt", adapt),
    ] {
        times.sort_unstable();
        println!(
            "{name}: {} calls, median {} us, p99 {} us, most {} us",
            times.len(),
            per_cent(&times, 50),
            per_cent(&times, 99),
            per_cent(&times, 100)
        );
    }
}
