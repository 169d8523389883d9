//! Reasons of lines, stops, shortfalls and prices over the corpus: every number is reckoned again from the
//! ids in the report, with the plain scorer.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::{Brief, WishKind};
use plinth_core::plan::model::{Instance, Limit, Slot, Term, Week, broken_limits, score, slack_of_day};
use plinth_core::plan::reason::{
    Barrier, Because, Change, ChangeFault, Difference, Here, Outcome, Reasoner, Step, Stops,
};
use plinth_core::plan::search::Effort;
use plinth_core::words::{Account, Language, Speech};
use plinth_tests::Data;

const EFFORT: Effort = Effort { evaluations: 60_000, chains: 2 };

fn on_corpus(seeds: std::ops::Range<u64>, mut check: impl FnMut(&Reasoner<'_>, &Brief, &Catalogue, u64)) {
    let data = Data::builtin().expect("sound");
    for seed in seeds {
        let brief = data.brief(seed);
        let solved = data.solve(&brief, EFFORT);
        let reasoner = Reasoner::new(data.planner(), &brief, &solved);
        check(&reasoner, &brief, &data.catalogue, seed);
    }
}

fn at(instance: &Instance, id: &str) -> usize {
    instance.movements.iter().position(|m| m.id == id).expect("in the instance")
}

fn total(instance: &Instance, week: &Week) -> i64 {
    score(instance, week).total()
}

/// The numbers of a difference, by applying its lines to `week` and scoring afresh.
fn agrees(instance: &Instance, week: &Week, d: &Difference) -> Week {
    let mut after = week.clone();
    for l in &d.lines {
        let m = at(instance, &l.movement);
        assert_eq!(week.sets(l.day, m), l.before);
        after.days[l.day].retain(|s| s.movement != m);
        if l.after > 0 {
            after.days[l.day].push(Slot { movement: m, sets: l.after });
        }
    }
    let (a, b) = (score(instance, week), score(instance, &after));
    assert_eq!(d.points, b.total() - a.total());
    for term in Term::ALL {
        let told = d.terms.iter().find(|t| t.term == term).map_or(0, |t| t.points);
        assert_eq!(told, b.of(term) - a.of(term), "{term:?}");
    }
    for (g, m) in instance.muscles.iter().enumerate() {
        let told = d.muscles.iter().find(|c| c.muscle == m.id).map_or(0, |c| c.after - c.before);
        assert_eq!(told, b.half_sets[g] - a.half_sets[g], "{}", m.id);
    }
    let seconds: i32 = b.day_seconds.iter().sum::<i32>() - a.day_seconds.iter().sum::<i32>();
    assert_eq!(d.seconds(), seconds);
    if let Some(dominant) = d.dominant() {
        assert!((dominant.points > 0) == (d.points > 0), "what decides goes the way of the whole");
    } else {
        assert_eq!(d.points, 0);
    }
    after
}

#[test]
fn every_line_has_reasons_whose_numbers_hold() {
    let (mut lines, mut elsewhere, mut nowhere, mut ties) = (0, 0, 0, 0);
    on_corpus(0..40, |reasoner, brief, catalogue, seed| {
        let (i, week) = (&reasoner.case().instance, reasoner.week());
        let weekdays = reasoner.weekdays();
        let speech = Speech::new(Language::English);
        let account = Account { speech: &speech, catalogue, days: &weekdays };
        let all = reasoner.reasons();
        assert_eq!(all.len(), week.days.len());
        for (d, day) in all.iter().enumerate() {
            assert_eq!(day.len(), week.days[d].len());
            for (k, r) in day.iter().enumerate() {
                lines += 1;
                assert_eq!(reasoner.reasons_of_line(d, k).as_ref(), Some(r));
                let line = week.days[d][k];
                assert_eq!(r.movement, i.movements[line.movement].id);
                let without = agrees(i, week, &r.without);
                assert!(without.days[d].iter().all(|s| s.movement != line.movement));
                assert_eq!(r.held_up.is_empty(), broken_limits(i, &without).is_empty());
                assert!(
                    r.without.points >= 0 || !r.held_up.is_empty(),
                    "seed {seed}: the descent would have dropped {}",
                    r.movement
                );
                match &r.here {
                    Here::OnlyDay => assert_eq!(week.days.len(), 1),
                    Here::EveryDay => assert!((0..week.days.len()).all(|e| week.sets(e, line.movement) > 0)),
                    Here::OtherDay { day, difference, blocked, .. } => {
                        elsewhere += 1;
                        let moved = agrees(i, week, difference);
                        assert!(broken_limits(i, &moved).is_empty());
                        assert_eq!(moved.sets(*day, line.movement), line.sets);
                        assert_eq!(moved.sets(d, line.movement), 0);
                        assert!(blocked.iter().all(|b| b.day != *day && !b.barriers.is_empty()));
                    }
                    Here::NoOtherDay { blocked } => {
                        nowhere += 1;
                        assert_eq!(blocked.len(), week.days.len() - 1);
                        assert!(blocked.iter().all(|b| !b.barriers.is_empty()));
                    }
                }
                assert!(r.displaced.len() <= 3);
                assert!(r.displaced.windows(2).all(|w| w[0].difference.points <= w[1].difference.points));
                for a in &r.displaced {
                    let swapped = agrees(i, week, &a.difference);
                    assert!(broken_limits(i, &swapped).is_empty());
                    ties += i32::from(a.difference.tie());
                }
                // No swap that was left out is nearer than the last one told.
                if let Some(last) = r.displaced.last().filter(|_| r.displaced.len() == 3 && seed % 8 == 0) {
                    for m in 0..i.movements.len() {
                        let told = r.displaced.iter().any(|a| a.movement == i.movements[m].id);
                        for sets in i.movements[m].sets_min..=i.movements[m].sets_max {
                            let mut trial = week.clone();
                            trial.days[d][k] = Slot { movement: m, sets };
                            if told || week.sets(d, m) > 0 || !broken_limits(i, &trial).is_empty() {
                                continue;
                            }
                            assert!(total(i, &trial) - total(i, week) >= last.difference.points);
                        }
                    }
                }
                let words = account.line(r);
                assert!(
                    words.len() >= 2 && words.iter().all(|w| w.ends_with('.') && !w.contains('_')),
                    "{words:?}"
                );
                if seed == 4 && d == 0 {
                    println!("{}\n", words.join("\n"));
                }
            }
        }
        for w in brief.wishes.iter().filter(|w| w.wish == WishKind::Require) {
            for r in all.iter().flatten().filter(|r| Some(&r.movement) == w.movement.as_ref()) {
                assert!(!r.asked.is_empty(), "what was required is told as such");
            }
        }
    });
    println!("{lines} lines, {elsewhere} could be elsewhere, {nowhere} not, {ties} ties");
    assert!(lines > 300 && elsewhere > 100 && nowhere > 5 && ties > 0);
}

fn draws(i: &Instance, day: usize, before: &[Slot], after: &[Slot], limit: &Barrier) -> Option<bool> {
    let of = |slots: &[Slot]| slack_of_day(i, day, slots);
    of(before)
        .iter()
        .zip(of(after))
        .find(|(b, _)| named(i, b.limit).as_ref() == Some(limit))
        .and_then(|(b, a)| (a.used - a.available > b.used - b.available).then_some(a.used > a.available))
}

fn named(i: &Instance, limit: Limit) -> Option<Barrier> {
    Some(match limit {
        Limit::Time => Barrier::Time,
        Limit::Movements => Barrier::Movements,
        Limit::Axial => Barrier::Axial,
        Limit::Fatigue => Barrier::Fatigue,
        Limit::Grip => Barrier::Grip,
        Limit::Muscle(g) => Barrier::Muscle { muscle: i.muscles[g].id.clone() },
        _ => return None,
    })
}

#[test]
fn what_stops_more_has_nothing_left() {
    let mut seen = 0;
    on_corpus(0..40, |reasoner, _, catalogue, seed| {
        let (i, week) = (&reasoner.case().instance, reasoner.week());
        let weekdays = reasoner.weekdays();
        let speech = Speech::new(Language::English);
        let account = Account { speech: &speech, catalogue, days: &weekdays };
        let all: Vec<Stops> = reasoner.what_stops_more();
        for s in &all {
            let mut fitting = 0;
            for m in 0..i.movements.len() {
                let sets = week.sets(s.day, m);
                let more = if sets == 0 { i.movements[m].sets_min } else { sets + 1 };
                let mut trial = week.clone();
                trial.days[s.day].retain(|x| x.movement != m);
                trial.days[s.day].push(Slot { movement: m, sets: more });
                let broken = broken_limits(i, &trial);
                fitting += i32::from(broken.is_empty());
                if broken.iter().any(|(_, l)| matches!(l, Limit::Exposures(_) | Limit::SetsRange)) {
                    continue;
                }
                for stop in &s.limits {
                    let drawn = draws(i, s.day, &week.days[s.day], &trial.days[s.day], &stop.bound.barrier);
                    assert_ne!(drawn, Some(false), "{:?} has room for {}", stop.bound, i.movements[m].id);
                    seen += 1;
                }
            }
            assert_eq!(s.fitting, fitting);
            assert_eq!(s.cheapest.is_some(), fitting > 0);
            if let Some(a) = &s.cheapest {
                let after = agrees(i, week, &a.difference);
                assert!(broken_limits(i, &after).is_empty());
            }
            let words = account.stops(s);
            assert!(words.ends_with('.') && !words.contains('_'), "{words}");
            if seed == 4 {
                println!("{words}");
            }
        }
    });
    assert!(seen > 1000);
}

#[test]
fn shortfalls_are_what_the_scorer_charges_and_remedies_bring_what_they_say() {
    let (mut short, mut remedies_seen, mut outweighed) = (0, 0, 0);
    on_corpus(0..16, |reasoner, brief, catalogue, seed| {
        let i = &reasoner.case().instance;
        let now = score(i, reasoner.week());
        let weekdays = reasoner.weekdays();
        let speech = Speech::new(Language::English);
        let account = Account { speech: &speech, catalogue, days: &weekdays };
        let s = reasoner.shortfalls();
        let missing: i64 = s
            .muscles
            .iter()
            .map(|m| {
                let x = i.muscles.iter().find(|x| x.id == m.muscle).expect("a muscle");
                i64::from(x.below_target * (m.target - m.half_sets))
            })
            .sum();
        assert_eq!(missing, now.of(Term::BelowTarget));
        let days: i32 = s.days.iter().map(|d| d.wanted - d.days).sum();
        assert_eq!(i64::from(days * i.prices.day_missing), now.of(Term::DayMissing));
        let groups: i32 = s.groups.iter().map(|g| (g.wanted - g.exposures).max(0)).sum();
        assert_eq!(i64::from(groups * i.prices.group_missing), now.of(Term::GroupMissing));
        for w in &s.wishes {
            if let Because::Outweighed { difference } = &w.because {
                outweighed += 1;
                let after = agrees(i, reasoner.week(), difference);
                let m = at(i, &w.movement);
                let sessions = (0..after.days.len()).filter(|d| after.sets(*d, m) > 0).count() as i32;
                assert_eq!(sessions > w.sessions, w.asked > 0);
                assert!(broken_limits(i, &after).is_empty());
            }
            if let Because::Conflict { demands } = &w.because {
                assert_eq!(reasoner.can_keep(demands), Some(false));
            }
        }
        short += s.muscles.len();
        let remedies = reasoner.remedies(&s, EFFORT);
        for r in &remedies {
            remedies_seen += 1;
            let changed = r.step.taken(brief);
            assert_eq!(changed.discomforts, brief.discomforts);
            assert_eq!(changed.limits, brief.limits);
            let gain: i32 = r.muscles.iter().map(|m| m.after.min(m.target) - m.before.min(m.target)).sum();
            let loss: i32 = r.losses.iter().map(|m| m.before.min(m.target) - m.after.min(m.target)).sum();
            assert_eq!(gain - loss, r.lacking_before - r.lacking_after);
            assert!(gain > loss || !r.groups.is_empty() || !r.wishes.is_empty());
        }
        assert_eq!(remedies, reasoner.remedies(&s, EFFORT), "the same again");
        let mut words = account.shortfalls(&s);
        words.extend(remedies.iter().map(|r| account.remedy(r)));
        assert!(words.iter().all(|w| w.ends_with('.') && !w.contains('_')), "{words:?}");
        if seed == 4 {
            println!("{}", words.join("\n"));
        }
    });
    println!("{short} short, {remedies_seen} remedies, {outweighed} outweighed");
    assert!(short > 20 && remedies_seen > 10);
}

#[test]
fn prices_are_of_weeks_that_hold_the_change() {
    let (mut priced, mut refused, mut ties) = (0, 0, 0);
    on_corpus(0..20, |reasoner, _, catalogue, seed| {
        let (i, week) = (&reasoner.case().instance, reasoner.week());
        let weekdays = reasoner.weekdays();
        let speech = Speech::new(Language::English);
        let account = Account { speech: &speech, catalogue, days: &weekdays };
        let mut changes = Vec::new();
        for k in 0..6 {
            let movement =
                catalogue.movements[(seed as usize * 31 + k * 17) % catalogue.movements.len()].id.clone();
            changes.push(Change::Force { movement: movement.clone(), day: (k % 2 == 0).then_some(0) });
        }
        if let Some(s) = week.days[0].first() {
            let movement = i.movements[s.movement].id.clone();
            changes.push(Change::Forbid { movement: movement.clone() });
            changes.push(Change::Sets { day: 0, movement: movement.clone(), sets: s.sets + 1 });
            changes.push(Change::Sets { day: 0, movement: movement.clone(), sets: 0 });
            if week.days.len() > 1 {
                changes.push(Change::Move { movement, from: 0, to: 1 });
            }
        }
        for change in changes {
            let price = reasoner.price_of_change(&change).expect("a change that can be understood");
            let words = account.price(&price);
            assert!(words.iter().all(|w| w.ends_with('.') && !w.contains('_')), "{words:?}");
            if seed < 2 {
                println!("{}", words.join("\n"));
            }
            match &price.outcome {
                Outcome::Priced { difference } => {
                    priced += 1;
                    ties += i32::from(difference.tie());
                    let after = agrees(i, week, difference);
                    assert!(broken_limits(i, &after).is_empty());
                    let on = |id: &str, d: usize| after.sets(d, at(i, id)) > 0;
                    match &change {
                        Change::Force { movement, day: Some(d) } => assert!(on(movement, *d)),
                        Change::Force { movement, day: None } => {
                            assert!((0..week.days.len()).any(|d| on(movement, d)));
                        }
                        Change::Forbid { movement } => {
                            assert!((0..week.days.len()).all(|d| !on(movement, d)));
                        }
                        Change::Move { movement, from, to } => {
                            assert!(on(movement, *to) && !on(movement, *from));
                        }
                        Change::Sets { day, movement, sets } => {
                            assert_eq!(after.sets(*day, at(i, movement)), *sets);
                        }
                    }
                }
                Outcome::Forbidden { demands } => {
                    refused += 1;
                    assert_eq!(reasoner.can_keep(demands), Some(false), "{demands:?}");
                    for k in 0..demands.len() {
                        let mut fewer = demands.clone();
                        fewer.remove(k);
                        assert_eq!(reasoner.can_keep(&fewer), Some(true), "{demands:?} without {k}");
                    }
                }
                Outcome::NotOffered { .. } => refused += 1,
                Outcome::AlreadySo => {}
                Outcome::NotFound => panic!("seed {seed}: {change:?} is left open"),
            }
            assert_eq!(price, reasoner.price_of_change(&change).expect("again"));
        }
    });
    println!("{priced} priced, {refused} refused, {ties} ties");
    assert!(priced > 80 && refused > 10);
}

#[test]
fn a_change_that_cannot_be_understood_names_the_field() {
    on_corpus(3..4, |reasoner, _, _, _| {
        let unknown = Change::Forbid { movement: "bench_pres".into() };
        assert!(matches!(reasoner.price_of_change(&unknown), Err(ChangeFault::UnknownMovement { .. })));
        let movement = "barbell_bench_press".to_owned();
        let far = Change::Force { movement: movement.clone(), day: Some(9) };
        assert!(reasoner.price_of_change(&far).expect_err("no day 9").to_string().starts_with("day:"));
        let negative = Change::Sets { day: 0, movement, sets: -1 };
        assert!(matches!(reasoner.price_of_change(&negative), Err(ChangeFault::NegativeSets { .. })));
    });
}

#[test]
fn a_step_taken_twice_is_a_brief_still() {
    let brief = Data::builtin().expect("sound").brief(5);
    let more = Step::MoreMinutes { minutes: 1000 };
    assert!((0..brief.days as usize).all(|d| more.taken(&brief).minutes_of(d) == 240));
    assert_eq!(Step::MoreDays { days: 40 }.taken(&brief).days, 6);
}

/// Prints how long a price takes; nothing fails on wall time.
#[test]
#[ignore = "a measurement"]
fn time_of_a_price() {
    let mut times = Vec::new();
    let (mut build, mut lines) = (Vec::new(), Vec::new());
    on_corpus(0..30, |reasoner, _, catalogue, seed| {
        for k in 0..4 {
            let movement =
                catalogue.movements[(seed as usize * 31 + k * 17) % catalogue.movements.len()].id.clone();
            let change = Change::Force { movement, day: (k % 2 == 0).then_some(0) };
            let t = std::time::Instant::now();
            let price = reasoner.price_of_change(&change).expect("sound");
            if matches!(price.outcome, Outcome::Priced { .. } | Outcome::Forbidden { .. }) {
                times.push(t.elapsed().as_micros());
            }
        }
        let t = std::time::Instant::now();
        let all = reasoner.reasons();
        lines.push(t.elapsed().as_micros());
        assert!(!all.is_empty());
        let t = std::time::Instant::now();
        let stops = reasoner.what_stops_more();
        build.push(t.elapsed().as_micros());
        assert!(!stops.is_empty());
    });
    for (name, mut t) in [("price", times), ("reasons of a week", lines), ("stops of a week", build)] {
        t.sort_unstable();
        println!(
            "{name}: {} runs, median {} us, p90 {} us, longest {} us",
            t.len(),
            t[t.len() / 2],
            t[t.len() * 9 / 10],
            t[t.len() - 1]
        );
    }
}
