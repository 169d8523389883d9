//! A published programme made to fit another lifter: what stays, what bends, and what is said.

#![allow(clippy::expect_used, clippy::unwrap_used, clippy::type_complexity, missing_docs)] // a test may stop at what should not be

use plinth_core::catalogue::Trap;
use plinth_core::plan::adapt::{Adapted, Change, Reason, apply};
use plinth_core::plan::brief::{
    Brief, Discomfort, Minutes, Nature, Screening, Severity, Weekday, Wish, WishKind,
};
use plinth_core::plan::filter::{circumstances, missing_kit, owned_kit};
use plinth_core::plan::programme::{Mark, Programme};
use plinth_core::plan::sample::KITS;
use plinth_core::safety::permit;
use plinth_tests::Data;

fn data() -> Data {
    Data::builtin().expect("sound")
}

/// A gym programme of three days, and its own lifter's brief.
fn gym(data: &Data) -> (Programme, Brief) {
    let brief = data.gym();
    (data.publish(&brief), brief)
}

fn days(adapted: &Adapted) -> Vec<(Weekday, Vec<plinth_core::plan::programme::Line>)> {
    adapted.programme.days.iter().map(|d| (d.weekday, d.lines.clone())).collect()
}

fn has(programme: &Programme, id: &str) -> bool {
    programme.days.iter().flat_map(|d| &d.lines).any(|l| l.movement == id)
}

#[test]
fn the_lifter_of_the_brief_changes_nothing() {
    let data = data();
    for seed in 0..40 {
        let brief = data.brief(seed);
        let published = data.publish(&data.brief(seed));
        let adapted = data.planner().adapt(&published, &brief);
        assert_eq!(adapted.change, [0; 7], "seed {seed}: {:?}", adapted.differences);
        assert!(adapted.differences.is_empty(), "seed {seed}: {:?}", adapted.differences);
        assert_eq!(days(&adapted), apply(&published, &[], &data.catalogue));
    }
}

#[test]
fn differences_tell_everything_and_the_result_keeps_safety_kit_and_minutes() {
    let data = data();
    let (mut replaced, mut left_out, mut folded, mut trimmed) = (0, 0, 0, 0);
    for seed in 0..150u64 {
        let published = data.publish(&data.brief(seed));
        let brief = data.brief(seed * 7 + 1000);
        let adapted = data.planner().adapt(&published, &brief);
        let again = data.planner().adapt(&published, &brief);
        assert_eq!(adapted, again, "the same input gives the same answer");
        assert_eq!(days(&adapted), apply(&published, &adapted.differences, &data.catalogue), "seed {seed}");
        assert!(adapted.programme.days.len() <= brief.days as usize);
        assert_eq!(adapted.programme.title, published.title);
        assert_eq!(adapted.programme.catalogue_version, published.catalogue_version);
        let around = circumstances(&brief, &data.catalogue);
        let owned = owned_kit(&brief, &data.catalogue);
        for (d, day) in adapted.programme.days.iter().enumerate() {
            let minutes = brief.minutes_of(d) as i32;
            assert!(day.seconds <= minutes * 60 || day.lines.is_empty(), "seed {seed} day {d}");
            for line in &day.lines {
                let m = data.catalogue.movement(&line.movement).expect("known");
                let ease = permit(m, &around).expect("safety stands above every mark");
                assert!(missing_kit(m, &owned).is_empty());
                assert!(line.reserve >= ease.reserve_at_least && line.rest_s >= 60);
                assert!(line.sets >= 1);
                if line.carrying {
                    assert!(line.sets >= 3 || has(&published, &line.movement), "carriers keep their sets");
                }
            }
            for week in &adapted.programme.block {
                assert_eq!(week.days[d].len(), day.lines.len());
                for (l, b) in day.lines.iter().zip(&week.days[d]) {
                    assert!(b.sets >= 1 && b.sets <= l.sets);
                }
            }
        }
        for d in &adapted.differences {
            match &d.change {
                Change::Replaced { from, to, keep, .. } => {
                    replaced += 1;
                    let (f, t) = (data.catalogue.movement(from), data.catalogue.movement(to));
                    let (f, t) = (f.expect("known"), t.expect("known"));
                    assert!(*keep || f.pattern == t.pattern, "only a line marked keep leaves its pattern");
                    assert!(!published.never.contains(to));
                    let forbidden =
                        |w: &Wish| w.wish == WishKind::Forbid && w.movement.as_deref() == Some(to.as_str());
                    assert!(!brief.wishes.iter().any(forbidden));
                }
                Change::LeftOut { .. } => left_out += 1,
                Change::Folded { .. } => folded += 1,
                Change::Sets { from, to } => {
                    assert!(to < from);
                    trimmed += 1;
                }
                _ => {}
            }
        }
    }
    println!("replaced {replaced}, left out {left_out}, folded {folded}, trimmed {trimmed}");
    assert!(replaced > 100 && left_out > 30 && folded > 5 && trimmed > 30);
}

#[test]
fn more_kit_never_means_more_change() {
    let data = data();
    let mut smaller = 0;
    for seed in 0..60u64 {
        let published = data.publish(&data.brief(seed));
        let mut brief = data.brief(seed * 3 + 500);
        brief.equipment.clear();
        let mut before = data.planner().adapt(&published, &brief);
        // Kit is added piece by piece, in an order that differs from seed to seed.
        let n = data.catalogue.equipment.len();
        for k in 0..n {
            let id = &data.catalogue.equipment[(k * 7 + seed as usize) % n].id;
            if k % 4 != 3 {
                brief.equipment.push(id.clone());
                continue;
            }
            brief.equipment.push(id.clone());
            let after = data.planner().adapt(&published, &brief);
            assert!(before.least && after.least, "seed {seed}: the searches were complete");
            assert!(after.change <= before.change, "seed {seed}: {:?} -> {:?}", before.change, after.change);
            smaller += i32::from(after.change < before.change);
            before = after;
        }
    }
    assert!(smaller > 100, "kit mattered {smaller} times");
}

#[test]
fn keep_stays_whatever_it_costs_the_others() {
    let data = data();
    let (published, mut brief) = gym(&data);
    brief.minutes = Minutes::Same(30);
    let adapted = data.planner().adapt(&published, &brief);
    // The same programme with nothing but its kept lines: no more of them would fit.
    let mut alone = published.clone();
    for day in &mut alone.days {
        day.lines.retain(|l| l.mark == Mark::Keep);
    }
    alone.block.clear();
    let alone = data.planner().adapt(&alone, &brief);
    assert_eq!(adapted.change[0], alone.change[0], "the other lines cost no kept one");
    let whole = data.planner().adapt(&published, &gym(&data).1);
    assert_eq!(whole.change, [0; 7]);
    println!("in 30 minutes: {:?}, kept lines alone {:?}", adapted.change, alone.change);
    assert!(adapted.change > [0; 7]);
    let minutes = |d: &&plinth_core::plan::adapt::Difference| matches!(d.reason, Reason::Minutes { .. });
    assert!(adapted.differences.iter().filter(minutes).count() > 3);
}

#[test]
fn safety_stands_above_keep() {
    let data = data();
    let (mut published, brief) = gym(&data);
    for line in published.days.iter_mut().flat_map(|d| &mut d.lines) {
        line.mark = Mark::Keep;
    }
    assert!(has(&published, "barbell_bench_press"), "the gym's programme has the bench press");
    let mut alone = brief.clone();
    alone.alone = true;
    alone.safeties = false;
    // Neither a wish nor a carrying mark brings it back.
    alone.carrying = Some(vec!["barbell_bench_press".into()]);
    alone.wishes = vec![Wish {
        wish: WishKind::Require,
        movement: Some("barbell_bench_press".into()),
        pattern: None,
        times: None,
    }];
    let adapted = data.planner().adapt(&published, &alone);
    assert!(!has(&adapted.programme, "barbell_bench_press"));
    for line in adapted.programme.days.iter().flat_map(|d| &d.lines) {
        assert_ne!(data.catalogue.movement(&line.movement).expect("known").trap, Trap::Chest);
    }
    let said = adapted.differences.iter().any(|d| {
        matches!(&d.change, Change::Replaced { from, keep: true, .. } if from == "barbell_bench_press")
            && matches!(d.reason, Reason::Safety { .. })
    });
    assert!(said, "{:?}", adapted.differences);

    for region in ["low_back", "shoulder", "knee"] {
        let index = data.catalogue.region(region).expect("known");
        for surgery in [false, true] {
            let mut sore = brief.clone();
            if surgery {
                sore.limits.after_surgery = vec![region.into()];
            } else {
                sore.discomforts = vec![Discomfort {
                    region: region.into(),
                    severity: Severity::Mild,
                    nature: Nature::NewOrWorse,
                }];
            }
            let adapted = data.planner().adapt(&published, &sore);
            for line in adapted.programme.days.iter().flat_map(|d| &d.lines) {
                let m = data.catalogue.movement(&line.movement).expect("known");
                assert_eq!(m.flag(index), 0, "{} loads the {region}", line.movement);
            }
            assert!(adapted.change[0] > 0, "something kept had to go");
        }
    }
}

#[test]
fn easing_raises_repetitions_reserve_and_never_shortens_rest() {
    let data = data();
    let (published, brief) = gym(&data);
    let cases: [(fn(&mut Brief), i32, i32); 4] = [
        (|b| b.limits.minor = true, 6, 2),
        (|b| b.limits.no_maximal_lifts = true, 6, 3),
        (|b| b.limits.screening = Screening::Unanswered, 10, 4),
        (|b| b.limits.no_long_breath_hold = true, 6, 2),
    ];
    for (limit, reps, reserve) in cases {
        let mut brief = brief.clone();
        limit(&mut brief);
        let adapted = data.planner().adapt(&published, &brief);
        for (d, day) in adapted.programme.days.iter().enumerate() {
            for (k, line) in day.lines.iter().enumerate() {
                assert!(line.reserve >= reserve && line.rest_s >= 60);
                if line.measure == plinth_core::catalogue::Measure::Repetitions {
                    assert!(line.low >= reps);
                }
                for week in &adapted.programme.block {
                    assert!(week.days[d][k].reserve >= reserve, "no week of the block gets round it");
                }
            }
        }
    }
}

#[test]
fn never_and_forbidden_are_not_brought_in() {
    let data = data();
    let (mut published, mut brief) = gym(&data);
    for line in published.days.iter_mut().flat_map(|d| &mut d.lines) {
        line.mark = Mark::MayBend;
    }
    brief.equipment = KITS[4].1.iter().map(ToString::to_string).collect();
    let first = data.planner().adapt(&published, &brief);
    let brought: Vec<String> = first
        .differences
        .iter()
        .filter_map(|d| match &d.change {
            Change::Replaced { to, .. } => Some(to.clone()),
            _ => None,
        })
        .collect();
    assert!(brought.len() >= 2);
    published.never.push(brought[0].clone());
    let forbid =
        Wish { wish: WishKind::Forbid, movement: Some(brought[1].clone()), pattern: None, times: None };
    brief.wishes.push(forbid);
    let second = data.planner().adapt(&published, &brief);
    assert!(!has(&second.programme, &brought[0]) && !has(&second.programme, &brought[1]));
}

#[test]
fn a_missing_kit_of_a_kept_line_is_said_as_kit() {
    let data = data();
    let (published, mut brief) = gym(&data);
    brief.equipment.retain(|k| k != "barbell");
    let adapted = data.planner().adapt(&published, &brief);
    let said = adapted.differences.iter().any(|d| {
        matches!(&d.change, Change::Replaced { keep: true, .. })
            && matches!(&d.reason, Reason::Kit { missing } if missing.contains(&"barbell".to_string()))
    });
    assert!(said, "{:?}", adapted.differences);
}

#[test]
fn fewer_days_keep_what_carries() {
    let data = data();
    let (published, mut brief) = gym(&data);
    for days in 1..=2 {
        brief.days = days;
        brief.minutes = Minutes::Same(90);
        let adapted = data.planner().adapt(&published, &brief);
        assert_eq!(adapted.programme.days.len(), days as usize);
        let out = adapted.differences.iter().filter(|d| d.change == Change::DayLeftOut).count();
        assert_eq!(out, 3 - days as usize);
        if days == 2 {
            for line in published.days.iter().flat_map(|d| &d.lines).filter(|l| l.carrying) {
                assert!(has(&adapted.programme, &line.movement), "{} still has a day", line.movement);
            }
        }
    }
}

#[test]
fn damaged_documents_do_not_break_it() {
    let data = data();
    let (published, brief) = gym(&data);
    let mut odd = published.clone();
    odd.days[0].lines[0].movement = "no_such_movement".into();
    odd.days[0].lines[1].sets = i32::MAX;
    odd.days[1].lines[0].rest_s = i32::MAX;
    odd.days[1].lines[1].low = i32::MIN;
    odd.days[2].lines[0].ramp_sets = i32::MAX;
    odd.block[0].days.clear();
    let adapted = data.planner().adapt(&odd, &brief);
    assert_eq!(days(&adapted), apply(&odd, &adapted.differences, &data.catalogue));
    assert!(adapted.differences.iter().any(|d| d.reason == Reason::Unknown));
    let mut empty = published.clone();
    empty.days.clear();
    assert!(data.planner().adapt(&empty, &brief).programme.days.is_empty());
    let mut many = published;
    for _ in 0..5 {
        many.days.extend(many.days.clone());
    }
    let adapted = data.planner().adapt(&many, &Brief { days: 6, ..brief });
    assert!(adapted.programme.days.len() <= 6);
}
