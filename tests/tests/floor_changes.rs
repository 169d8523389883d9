//! Changes in mid-session: rests and pairs, first loads, minutes left, stand-ins, what is wrong, and the words of
//! it all.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

mod floor_support;

use floor_support::{Home, Lifter, example_brief, sets, touchable};
use plinth_core::catalogue::{LoadKind, Measure, Trap};
use plinth_core::floor::{
    ClosedBy, Company, Did, Event, House, Kind, LoadBecause, Nature, Out, Proposal, Refused, RestFrom,
    SetKind, Stage, Told, View,
};
use plinth_core::load::Mass;
use plinth_core::plan::brief::{Brief, Severity, Wish, WishKind};
use plinth_core::plan::programme::Tempo;
use plinth_core::record::{DiscomfortFields, FlagFields, View as _};
use plinth_core::safety::{FlagHeld, Rules};
use plinth_core::terms::heaviest_set;
use plinth_core::words::floor::FloorWords;
use plinth_core::words::{Language, Speech};

fn working(lifter: &mut Lifter<'_>, number: i32) {
    lifter.until(|v| v.set.as_ref().is_some_and(|s| s.kind == SetKind::Working && s.number == number));
}

#[test]
fn ones_own_rest_stands_above_the_learned_one_and_neither_under_the_floor() {
    let home = Home::example();
    let movement = home.programme.days[0].lines[0].movement.clone();
    let rest = |own: Option<i32>, learned: Option<i32>| {
        let mut house = home.house();
        house.rests.extend(own.map(|s| (movement.clone(), s)));
        house.learned_rests.extend(learned.map(|s| (movement.clone(), s)));
        // The heaviest week, so that the set is heavy.
        house.week = home.programme.block.len() - 2;
        let mut lifter = Lifter::new(house);
        lifter.begin(Some(0));
        lifter.warmed_up();
        working(&mut lifter, 2);
        lifter.view().rest.map(|r| (r.seconds, r.from)).unwrap()
    };
    assert_eq!(rest(None, None).1, RestFrom::Programme);
    assert_eq!(rest(None, Some(200)), (200, RestFrom::Learned));
    assert_eq!(rest(Some(240), Some(200)), (240, RestFrom::Own));
    let (least, from) = rest(Some(10), None);
    assert_eq!(from, RestFrom::Floor);
    assert!(least == 120 || least == 60);
}

#[test]
fn a_rest_is_made_longer_ended_or_counted_from_a_minute_before() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    working(&mut lifter, 2);
    let whole = lifter.view().rest.unwrap().left_ms;
    lifter.do_it(Event::Longer);
    assert_eq!(lifter.view().rest.unwrap().left_ms, whole + 30_000);
    lifter.do_it(Event::EndedEarlier);
    let moved = lifter.view().rest.unwrap().left_ms;
    assert!(moved < whole + 30_000 && moved >= whole - 30_000);
    lifter.do_it(Event::Ready);
    assert_eq!(lifter.view().stage, Stage::Lifting);
    lifter.pass(30);
    lifter.wide();
    let last = sets(&lifter.record).into_iter().max_by_key(|s| s["ended_at"].to_string()).unwrap();
    assert!(
        last["rest_s"].is_number() && last["started_at"].is_string(),
        "an end of rest that was seen is kept"
    );
}

#[test]
fn pairs_are_done_in_turn_and_each_movement_rests_its_own_rest() {
    let home = Home::paired();
    let mut seen = 0;
    for (day, of_day) in home.programme.days.iter().enumerate() {
        let Some(turn) = of_day.in_turn.first().filter(|t| t.sets >= 2) else { continue };
        let mut lifter = Lifter::new(home.house());
        lifter.begin(Some(day));
        lifter.warmed_up();
        lifter.until(|v| v.set.as_ref().is_some_and(|s| s.in_turn_with.is_some()));
        let first = lifter.view().set.unwrap();
        let mut order = Vec::new();
        let mut ended: std::collections::BTreeMap<usize, i64> = std::collections::BTreeMap::new();
        while let Some(set) = lifter.view().set.filter(|s| s.in_turn_with.is_some()) {
            let rest = lifter.view().rest.map_or(0, |r| (r.left_ms + 999) / 1000);
            lifter.pass(rest);
            if let Some(before) = ended.get(&set.line) {
                let gone = (lifter.now.wall_ms - before) / 1000;
                let planned = i64::from(of_day.lines[set.line].rest_s);
                assert!(gone >= planned, "{} rested {gone} of {planned}", set.movement);
            }
            if order.last().is_some_and(|l| *l != set.line) {
                assert!(rest >= 20, "there is time to change places");
            }
            lifter.pass(30);
            lifter.wide();
            ended.insert(set.line, lifter.now.wall_ms);
            order.push(set.line);
        }
        assert!(order.len() >= 4 && order.windows(2).all(|w| w[0] != w[1]), "{order:?}");
        assert!(order.contains(&turn.first) || order.contains(&first.line));
        seen += 1;
    }
    assert!(seen > 0, "the example has pairs");
}

fn without_bests() -> Home {
    Home::of(Brief { bests: Vec::new(), ..example_brief() })
}

#[test]
fn a_first_load_is_searched_for_in_small_steps_with_a_stopping_rule() {
    let home = without_bests();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    let first = lifter.view().set.unwrap();
    assert_eq!(first.kind, SetKind::Search);
    let start = first.load.unwrap().mass().unwrap();
    lifter.pass(60);
    lifter.do_it(Event::DoneWith { reserve: 5, form_changed: false });
    let second = lifter.view().set.unwrap();
    let risen = second.load.unwrap().mass().unwrap();
    assert!(risen > start);
    lifter.pass(60);
    lifter.do_it(Event::DoneWith { reserve: 0, form_changed: false });
    // Too little was left: work with the load that went well.
    let view = lifter.view();
    assert_eq!(view.set.as_ref().unwrap().kind, SetKind::Working);
    assert_eq!(view.set.as_ref().unwrap().load.as_ref().unwrap().mass(), Some(start));
    assert_eq!(view.set.unwrap().because, Some(LoadBecause::Found));
    assert!(matches!(view.told[..], [Told::Found { load, .. }] if load == start));
    // Even the first load too much: lighter ways in, and no wide action until one is chosen.
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.pass(60);
    lifter.do_it(Event::DoneWith { reserve: 0, form_changed: true });
    let view = lifter.view();
    assert!(view.wide.is_none() && !view.set.as_ref().unwrap().lighter_ways.is_empty());
    let ways = view.set.unwrap().lighter_ways.len();
    lifter.do_it(Event::Lighter { way: ways - 1 });
    assert!(lifter.view().wide.is_some());
    for s in sets(&lifter.record) {
        assert_eq!(s["purpose"], "warm_up", "a search does not count toward volume");
    }
}

#[test]
fn a_proposal_is_made_with_the_kit_and_the_sets_that_follow_keep_what_was_lifted() {
    let home = Home::example();
    let movement = home.programme.days[0].lines[0].movement.clone();
    let mut house = home.house();
    let load: Mass = "81 kg".parse().unwrap();
    house.proposals.insert(movement, Proposal { load, amount: Some(4), because: "more_than_asked".into() });
    let mut lifter = Lifter::new(house);
    lifter.begin(Some(0));
    lifter.warmed_up();
    working(&mut lifter, 1);
    let set = lifter.view().set.unwrap();
    assert_eq!(set.wanted, Some(load));
    let made = set.load.unwrap().mass().unwrap();
    assert!(made < load);
    let speech = Speech::new(Language::English);
    let screen = FloorWords::new(&speech, &lifter.house).screen(&lifter.view());
    let said = format!("wanted 81 kg, made {}", made.words());
    assert_eq!(screen.set.unwrap().made, Some(said));
    // Heavier than written: the next set is written so, and needs one touch.
    lifter.pass(200);
    lifter.do_it(Event::NotAsWritten);
    let rows = lifter.view().form.unwrap().rows;
    let heavier = rows[0].actions.last().unwrap().event.clone();
    lifter.do_it(heavier.clone());
    lifter.do_it(Event::Amount { amount: set.amount });
    let Event::Load { load: heavier } = heavier else { panic!("a load") };
    let next = lifter.view().set.unwrap();
    assert_eq!(next.load.unwrap().mass(), heavier);
    assert_eq!(next.because, Some(LoadBecause::AsDone));
    assert!(next.bar.unwrap().moves.is_empty(), "it is on the bar already");
}

#[test]
fn minutes_left_keeps_ramps_and_rests_and_says_what_it_drops() {
    let home = Home::example();
    for minutes in [5, 10, 20, 30, 40] {
        let mut lifter = Lifter::new(home.house());
        lifter.begin(Some(0));
        lifter.warmed_up();
        lifter.work(2);
        lifter.do_it(Event::MinutesLeft);
        lifter.do_it(Event::Minutes { minutes });
        let form = lifter.view().form.unwrap();
        assert!(form.seconds.unwrap() <= minutes as i32 * 60);
        let told = form.told.clone();
        lifter.do_it(Event::TakeMinutes { free: false });
        let view = lifter.view();
        assert!(view.told.iter().all(|t| told.contains(t) || matches!(t, Told::Cut { .. })));
        assert_eq!(view.told.is_empty(), told.iter().all(|t| !matches!(t, Told::Cut { .. })));
        let mut ramps: std::collections::BTreeMap<String, i32> = std::collections::BTreeMap::new();
        for _ in 0..100 {
            let view = lifter.view();
            let Some(set) = view.set else { break };
            if set.kind == SetKind::Ramp {
                *ramps.entry(set.movement.clone()).or_default() += 1;
            }
            if set.kind == SetKind::Working
                && set.number > 1
                && let Some(rest) = view.rest
            {
                let planned =
                    home.programme.days[0].lines.iter().find(|l| l.movement == set.movement).unwrap();
                assert!(rest.seconds >= planned.rest_s, "rests stay whole");
            }
            lifter.work(1);
        }
        assert_eq!(lifter.view().stage, Stage::Finished);
        // A line that started had its whole ramp.
        let mut whole = Lifter::new(home.house());
        whole.begin(Some(0));
        whole.warmed_up();
        whole.work(2);
        let mut asked: std::collections::BTreeMap<String, i32> = std::collections::BTreeMap::new();
        while let Some(set) = whole.view().set {
            if set.kind == SetKind::Ramp {
                *asked.entry(set.movement.clone()).or_default() += 1;
            }
            whole.work(1);
        }
        for (movement, n) in ramps {
            assert!(n >= asked[&movement].min(2), "{movement} keeps its ramp with {minutes} minutes");
        }
    }
}

#[test]
fn a_stand_in_is_offered_with_its_load_cautions_and_reason_and_safety_is_asked_anew() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    let line = lifter.view().set.unwrap().line;
    let planned = lifter.view().set.unwrap().movement;
    lifter.do_it(Event::StandIns { line });
    let form = lifter.view().form.unwrap();
    let offers: Vec<_> = form.rows.iter().flat_map(|r| &r.actions).collect();
    assert!((1..=4).contains(&offers.len()));
    for o in &offers {
        let about = o.about.as_ref().unwrap();
        assert!(!about.cautions.is_empty() && about.sets >= 1 && about.movement != planned);
    }
    let taken = offers[0].movement.clone().unwrap();
    lifter.do_it(Event::StandIn { offer: 0 });
    assert_eq!(lifter.view().set.unwrap().movement, taken);
    assert_eq!(lifter.view().undo, Some(Did::StoodIn { movement: taken.clone() }));
    lifter.work(100);
    let done = sets(&lifter.record);
    assert!(done.iter().any(|s| s["movement"] == taken.as_str() && s["planned"] == true));
    assert!(done.iter().all(|s| s["movement"] != planned.as_str()));
    // Taken kit goes to the end, and no offer needs it.
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.do_it(Event::Taken { item: "rack".into(), taken: true });
    let set = lifter.view().set.unwrap();
    let needs = |id: &str| {
        let m = home.catalogue.movement(id).unwrap();
        let rack = home.catalogue.kit("rack").unwrap();
        !m.equipment.is_empty() && m.equipment.iter().all(|all| all.contains(&rack))
    };
    assert!(!needs(&set.movement));
    lifter.do_it(Event::StandIns { line: 0 });
    for o in lifter.view().form.unwrap().rows.iter().flat_map(|r| &r.actions) {
        assert!(!needs(o.movement.as_deref().unwrap()));
    }
}

#[test]
fn alone_without_safeties_takes_the_barbell_bench_out_in_mid_session_and_every_door_keeps_it_out() {
    let bench = Wish {
        wish: WishKind::Require,
        movement: Some("barbell_bench_press".into()),
        pattern: None,
        times: Some(1),
    };
    let home = Home::of(Brief {
        discomforts: Vec::new(),
        wishes: vec![bench],
        priorities: Vec::new(),
        ..example_brief()
    });
    let trapped = |id: &str| home.catalogue.movement(id).is_some_and(|m| m.trap == Trap::Chest);
    let day = home.programme.days.iter().position(|d| d.lines.iter().any(|l| trapped(&l.movement)));
    let day = day.expect("the example benches");
    let bench = home.programme.days[day].lines.iter().position(|l| trapped(&l.movement)).unwrap();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(day));
    lifter.warmed_up();
    lifter.do_it(Event::Safeties { there: false });
    assert!(lifter.view().told.is_empty(), "a spotter is there");
    lifter.do_it(Event::Company { company: Company::Alone });
    assert!(
        lifter
            .view()
            .told
            .iter()
            .any(|t| matches!(t, Told::Out { reason, .. } if reason == "alone_without_safeties"))
    );
    assert_eq!(lifter.refused(Event::GoTo { line: bench }), Refused::Field { field: "line".into() });
    lifter.do_it(Event::Lines);
    let rows = lifter.view().form.unwrap().rows;
    let out = rows.iter().flat_map(|r| &r.actions).filter_map(|a| a.about.as_ref());
    assert!(out.filter(|l| trapped(&l.movement)).any(|l| matches!(l.out, Some(Out::Safety { .. }))));
    lifter.do_it(Event::StandIns { line: bench });
    for o in lifter.view().form.unwrap().rows.iter().flat_map(|r| &r.actions) {
        assert!(!trapped(o.movement.as_deref().unwrap()));
    }
    lifter.do_it(Event::Back);
    lifter.do_it(Event::Movements);
    for a in lifter.view().form.unwrap().rows.iter().flat_map(|r| &r.actions) {
        assert!(!trapped(a.movement.as_deref().unwrap()));
    }
    assert!(matches!(
        lifter.refused(Event::Add { movement: "barbell_bench_press".into() }),
        Refused::Field { .. }
    ));
    // With safeties it comes back.
    lifter.do_it(Event::Back);
    lifter.do_it(Event::Safeties { there: true });
    lifter.do_it(Event::GoTo { line: bench });
}

#[test]
fn what_hurts_eases_replaces_or_stops_and_is_recorded() {
    let home = Home::example();
    let knee = home.catalogue.region("knee").unwrap();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    for event in [
        Event::Wrong,
        Event::Hurts,
        Event::HurtsWhere { region: "knee".into() },
        Event::HurtsHow { nature: Nature::NewOrWorse },
        Event::HurtsMuch { severity: Severity::Mild },
    ] {
        lifter.do_it(event);
    }
    let sore = lifter.record.of(&Kind::Discomfort);
    let sore = DiscomfortFields::of(sore[0]).unwrap();
    assert_eq!(sore.region.as_deref(), Some("knee"));
    assert!(lifter.view().told.iter().any(|t| matches!(t, Told::Out { .. })));
    while let Some(set) = lifter.view().set {
        assert_eq!(home.catalogue.movement(&set.movement).unwrap().flag(knee), 0, "{}", set.movement);
        lifter.work(1);
    }
    // A discomfort that was told by mistake is taken back; a flag is not.
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    let before = lifter.view();
    for event in [
        Event::Wrong,
        Event::Hurts,
        Event::HurtsWhere { region: "shoulder".into() },
        Event::HurtsHow { nature: Nature::Usual },
        Event::HurtsMuch { severity: Severity::Moderate },
    ] {
        lifter.do_it(event);
    }
    lifter.do_it(Event::Undo);
    assert!(lifter.record.of(&Kind::Discomfort).is_empty());
    assert_eq!(lifter.view().set, before.set);
}

#[test]
fn a_flag_needs_a_second_touch_that_names_it_ends_the_session_and_stands() {
    let home = Home::example();
    let rules = Rules::builtin().unwrap();
    for flag in &rules.flags {
        let mut lifter = Lifter::new(home.house());
        lifter.begin(Some(0));
        lifter.warmed_up();
        lifter.work(2);
        let logged = sets(&lifter.record).len();
        lifter.pass(30);
        lifter.do_it(Event::Wrong);
        lifter.do_it(Event::Unwell);
        lifter.do_it(Event::Flag { flag: flag.id.clone() });
        if flag.asks_region {
            lifter.do_it(Event::FlagWhere { region: "knee".into() });
        }
        assert!(lifter.record.of(&Kind::Flag).is_empty(), "one touch confirms nothing");
        // A doubled press on the same spot is no second touch, and another name confirms nothing.
        assert_eq!(lifter.refused(Event::ConfirmFlag { flag: flag.id.clone() }), Refused::Doubled);
        lifter.pass(2);
        assert!(matches!(lifter.refused(Event::ConfirmFlag { flag: "other".into() }), Refused::Field { .. }));
        lifter.wide();
        let held = lifter.record.of(&Kind::Flag);
        let fields = FlagFields::of(held[0]).unwrap();
        assert_eq!(
            (fields.flag.as_deref(), fields.tier),
            (Some(flag.id.as_str()), Some(u32::from(flag.tier)))
        );
        // Safety's own reader sees it, sealed.
        let raw: std::collections::BTreeMap<String, serde_json::Value> = held[0]
            .fields
            .iter()
            .map(|(k, f)| (k.to_string(), serde_json::from_str(f.value.text()).unwrap()))
            .collect();
        let read = FlagHeld::read(&rules, "e", &raw);
        assert_eq!((read.tier, &read.flags[..]), (flag.tier, &[flag.id.clone()][..]));
        assert!(raw.keys().any(|k| k.starts_with("sealed")));
        assert_eq!(sets(&lifter.record).len(), logged, "what was done is saved");
        assert_eq!(lifter.refused(Event::Undo), Refused::FlagStands);
        let view = lifter.view();
        if flag.tier <= 2 {
            assert_eq!(view.stage, Stage::Ended { by: ClosedBy::Flag });
            assert_eq!(floor_support::session(&lifter.record)["closed_by"], "flag");
            assert_eq!(view.wide.is_some(), flag.tier == 1, "the dial action stands on the screen");
            for event in [Event::Begin, Event::Resume, Event::Done, Event::Close] {
                assert_eq!(lifter.refused(event), Refused::NotNow);
            }
        } else {
            let knee = home.catalogue.region("knee").unwrap();
            while let Some(set) = lifter.view().set {
                assert_eq!(home.catalogue.movement(&set.movement).unwrap().flag(knee), 0);
                lifter.work(1);
            }
            assert!(matches!(
                lifter.refused(Event::Add { movement: "barbell_back_squat".into() }),
                Refused::Field { .. }
            ));
        }
    }
}

#[test]
fn a_partner_shares_the_bar_and_the_moves_start_from_their_load() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    working(&mut lifter, 1);
    let mine = lifter.view().set.unwrap().load.unwrap().mass().unwrap();
    lifter.do_it(Event::Sharing);
    let loads = lifter.view().form.unwrap().rows[0].actions.clone();
    let partner = loads
        .iter()
        .filter_map(|a| if let Event::Partner { load } = a.event { load } else { None })
        .find(|m| m.amount() > mine.amount() + 100_000_000_000)
        .unwrap();
    lifter.do_it(Event::Partner { load: Some(partner) });
    lifter.pass(200);
    lifter.wide();
    let bar = lifter.view().set.unwrap().bar.unwrap();
    assert_eq!(bar.partner, Some(partner));
    let sum =
        |plates: &[plinth_core::load::route::Plate]| -> i64 { plates.iter().map(|p| p.mass.amount()).sum() };
    let base = bar.bar_mass.amount() + bar.collars.amount();
    assert_eq!(base + 2 * sum(&bar.partner_per_side), partner.amount());
    assert_eq!(base + 2 * sum(&bar.per_side), mine.amount());
    assert!(!bar.moves.is_empty());
    lifter.do_it(Event::Partner { load: None });
    assert!(lifter.view().set.unwrap().bar.unwrap().partner.is_none());
}

#[test]
fn a_session_without_a_programme_an_extra_set_and_a_pause() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(None);
    lifter.warmed_up();
    assert_eq!(lifter.view().stage, Stage::Finished, "nothing is planned");
    lifter.do_it(Event::Movements);
    lifter.do_it(Event::Add { movement: "barbell_back_squat".into() });
    assert_eq!(lifter.view().set.unwrap().kind, SetKind::Ramp, "what is not planned is ramped too");
    lifter.work(3);
    lifter.do_it(Event::Pause);
    assert_eq!(lifter.view().stage, Stage::Paused);
    assert_eq!(lifter.refused(Event::Done), Refused::NotNow);
    lifter.pass(30);
    lifter.wide();
    lifter.work(100);
    lifter.do_it(Event::Lines);
    lifter.do_it(Event::ExtraSet { line: 0 });
    let set = lifter.view().set.unwrap();
    assert_eq!((set.number, set.of), (4, 4));
    lifter.work(1);
    let all = sets(&lifter.record);
    assert!(all.iter().all(|s| s["planned"] == false));
    assert!(floor_support::session(&lifter.record).get("programme").is_none());
    // Minutes left and stand-ins work there too.
    lifter.do_it(Event::ExtraSet { line: 0 });
    lifter.do_it(Event::StandIns { line: 0 });
    lifter.do_it(Event::Back);
    lifter.do_it(Event::MinutesLeft);
    lifter.do_it(Event::Minutes { minutes: 0 });
    lifter.do_it(Event::TakeMinutes { free: false });
    assert_eq!(lifter.view().stage, Stage::Finished);
}

/// Fails on a sentence that is a key, holds an unfilled place or a word that is never said.
fn sound(text: &str, place: &str) {
    assert!(!text.contains("floor-") && !text.contains("{ $") && !text.contains("{$"), "{place}: {text}");
    assert!(plinth_core::safety::never_said(text).is_empty(), "{place}: {text}");
}

/// Every text of a screen that is shown or said.
fn strings(v: &serde_json::Value, key: &str, out: &mut Vec<String>) {
    match v {
        serde_json::Value::String(s) if !matches!(key, "stable" | "boot" | "event") => {
            out.push(s.clone());
        }
        serde_json::Value::Array(a) => a.iter().for_each(|v| strings(v, key, out)),
        serde_json::Value::Object(o) => {
            o.iter().filter(|(k, _)| *k != "event").for_each(|(k, v)| strings(v, k, out));
        }
        _ => {}
    }
}

#[test]
fn every_screen_of_a_walk_is_said_whole_in_both_languages() {
    let home = Home::paired();
    let speeches = Language::ALL.map(Speech::new);
    let mut lifter = Lifter::new(home.house());
    let mut labels = std::collections::BTreeSet::new();
    let look = |lifter: &Lifter<'_>, labels: &mut std::collections::BTreeSet<String>| {
        for speech in &speeches {
            let screen = FloorWords::new(speech, &lifter.house).screen(&lifter.view());
            let json = serde_json::to_value(&screen).unwrap();
            let mut all = Vec::new();
            strings(&json, "", &mut all);
            for text in all {
                sound(&text, &screen.stage);
            }
            assert!(!screen.spoken.trim().is_empty());
            let line = screen.line.as_ref();
            assert!(line.is_none_or(
                |l| l.pieces.iter().map(|p| p.per_mille).sum::<i32>() == 1000 || l.pieces.is_empty()
            ));
            let buttons = screen
                .wide
                .iter()
                .chain(&screen.actions)
                .chain(screen.more.iter().flat_map(|m| &m.buttons))
                .chain(screen.form.iter().flat_map(|f| f.rows.iter().flat_map(|r| &r.buttons)));
            for b in buttons {
                assert!(!b.label.trim().is_empty(), "{:?}", b.event);
                labels.insert(format!("{}: {}", speech.language(), b.label));
            }
        }
    };
    look(&lifter, &mut labels);
    lifter.begin(Some(0));
    look(&lifter, &mut labels);
    lifter.warmed_up();
    for _ in 0..30 {
        look(&lifter, &mut labels);
        // Every form one touch away is said as well.
        for action in touchable(&lifter.view()) {
            let mut one = Lifter { floor: lifter.floor.clone(), ..Lifter::new(home.house()) };
            one.now = lifter.now.clone();
            one.now.monotonic_ms += 2000;
            one.killed = false;
            if one.send(&action.event).refused.is_none() {
                look(&one, &mut labels);
            }
        }
        if lifter.work(1) == 0 {
            break;
        }
    }
    println!("{} labels", labels.len());
    assert!(labels.iter().any(|l| l.starts_with("en: Done: ") && l.contains(" at ")));
    assert!(labels.iter().any(|l| l.starts_with("de: Getan: ")));
    assert!(labels.iter().any(|l| l.starts_with("en: Begin ")) || !labels.is_empty());
}

#[test]
fn screens_say_it_in_sentences() {
    let home = Home::example();
    let [english, german] = Language::ALL.map(Speech::new);
    let mut lifter = Lifter::new(home.house());
    let title = |speech: &Speech, lifter: &Lifter<'_>| {
        let screen = FloorWords::new(speech, &lifter.house).screen(&lifter.view());
        screen.wide.map(|w| w.label).unwrap_or_default()
    };
    assert!(title(&english, &lifter).starts_with("Begin Monday: "), "{}", title(&english, &lifter));
    assert!(title(&german, &lifter).starts_with("Montag anfangen: "), "{}", title(&german, &lifter));
    lifter.begin(Some(0));
    lifter.warmed_up();
    working(&mut lifter, 2);
    lifter.pass(400);
    let set = lifter.view().set.unwrap();
    let mass = set.load.as_ref().unwrap().mass().unwrap();
    let screen = FloorWords::new(&english, &lifter.house).screen(&lifter.view());
    let said = screen.set.unwrap();
    let reserve = set.reserve.unwrap();
    assert_eq!(
        said.sentence,
        format!("Set 2 of {}: {}, {} reps, leave {reserve}.", set.of, mass.words(), set.amount)
    );
    assert_eq!(screen.wide.unwrap().label, format!("Done: {} reps at {}", set.amount, mass.words()));
    assert!(screen.undo.unwrap().label.starts_with("Undo: "));
    assert!(!said.cautions.is_empty());
    assert!(screen.line.unwrap().ends.starts_with("ends at "));
    let de = FloorWords::new(&german, &lifter.house).screen(&lifter.view());
    assert!(de.set.unwrap().sentence.starts_with("Satz 2 von "));
}

/// The example's programme with singles to failure in it, pinned by a coach, and their day and line.
fn singles() -> (Home, usize, usize) {
    let mut home = Home::of(Brief { discomforts: Vec::new(), priorities: Vec::new(), ..example_brief() });
    let heavy = |home: &Home, id: &str| {
        let m = home.catalogue.movement(id).unwrap();
        m.load_kind == LoadKind::Bar && m.trap != Trap::Chest
    };
    let at = home.programme.days.iter().enumerate().find_map(|(d, day)| {
        Some((d, day.lines.iter().position(|l| l.carrying && heavy(&home, &l.movement))?))
    });
    let (day, k) = at.expect("the example carries a barbell");
    let line = &mut home.programme.days[day].lines[k];
    (line.low, line.high, line.reserve, line.mark) = (1, 1, 0, plinth_core::plan::programme::Mark::Keep);
    for week in &mut home.programme.block {
        week.days[day][k].reserve = 0;
    }
    (home, day, k)
}

/// SAFETY: the heaviest work is for an adult with no open flag or limit, the ramp done, a spotter or safeties confirmed
/// in this session; nobody else is asked for it, whatever a coach pinned.
#[test]
fn the_heaviest_work_is_asked_only_of_who_may_and_only_while_someone_or_something_catches() {
    let (home, day, k) = singles();
    let asked = |lifter: &Lifter<'_>| {
        let set = lifter.view().set.expect("a set");
        (set.amount, set.reserve.unwrap_or(0))
    };
    let came_to_work = |house: House<'_>, company, there, check: &mut dyn FnMut(&mut Lifter<'_>)| {
        let mut lifter = Lifter::new(house);
        lifter.do_it(Event::ChooseDay { day: Some(day) });
        lifter.do_it(Event::Company { company });
        lifter.do_it(Event::Safeties { there });
        lifter.do_it(Event::Begin);
        lifter.warmed_up();
        let here = |v: &View| v.set.as_ref().is_some_and(|s| s.line == k && s.kind == SetKind::Working);
        lifter.until(here);
        check(&mut lifter);
    };
    // Who may, with a spotter or with safeties.
    for (company, there) in [(Company::Spotted, false), (Company::Alone, true)] {
        came_to_work(home.house(), company, there, &mut |l| {
            assert_eq!(asked(l), (1, 0), "{company:?}");
            assert!(l.record.of(&Kind::Set).iter().any(|e| e.text().contains("warm_up")), "the ramp was led");
        });
    }
    // Nothing catches.
    came_to_work(home.house(), Company::Alone, false, &mut |l| {
        let (reps, left) = asked(l);
        assert!(!heaviest_set(reps as i32, left) && left >= 2, "{reps} leave {left}");
    });
    // The spotter leaves between ramp and work: what is asked comes down with its load.
    came_to_work(home.house(), Company::Spotted, false, &mut |l| {
        let before = l.view().set.and_then(|s| s.load?.mass()).expect("a load");
        l.do_it(Event::Company { company: Company::Alone });
        let (reps, left) = asked(l);
        assert!(!heaviest_set(reps as i32, left), "{reps} leave {left}");
        let now = l.view().set.and_then(|s| s.load?.mass()).expect("a load");
        assert!(now < before, "{now} for {before}");
        assert!(l.view().told.iter().any(|t| matches!(t, Told::Eased { .. })), "and it says so");
    });
    // A lifter whom safety does not allow it, though a spotter stands by; neither minutes nor a stand-in open the door.
    let mut house = home.house();
    house.no_heaviest = home.catalogue.movements.iter().map(|m| m.id.clone()).collect();
    came_to_work(house, Company::Spotted, true, &mut |l| {
        assert!(!heaviest_set(asked(l).0 as i32, asked(l).1));
        l.do_it(Event::MinutesLeft);
        l.do_it(Event::Minutes { minutes: 40 });
        l.do_it(Event::TakeMinutes { free: false });
        assert!(!heaviest_set(asked(l).0 as i32, asked(l).1));
        l.do_it(Event::StandIns { line: k });
        l.do_it(Event::StandIn { offer: 0 });
        let set = l.view().set.expect("a set");
        assert!(set.line != k && !heaviest_set(set.amount as i32, set.reserve.unwrap_or(9)));
    });
}

/// A coach's tempo is said before the set, counted into its time, and is not a stand-in's.
#[test]
fn a_tempo_is_said_and_counted_and_stays_with_its_movement() {
    let mut home = Home::of(Brief { discomforts: Vec::new(), ..example_brief() });
    let reps = |l: &plinth_core::plan::programme::Line| l.measure == Measure::Repetitions;
    let k = home.programme.days[0].lines.iter().position(reps).unwrap();
    let plain = {
        let mut lifter = Lifter::new(home.house());
        lifter.begin(Some(0));
        lifter.view().line.unwrap().seconds
    };
    home.programme.days[0].lines[k].tempo = Some(Tempo { lower_s: 5, turn_s: 2, raise_s: 0 });
    let json = serde_json::to_vec(&home.programme).unwrap();
    let read = plinth_core::plan::programme::read_programme(&json).expect("a programme");
    assert_eq!(read, home.programme);
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    assert!(lifter.view().line.unwrap().seconds > plain, "slow sets take longer");
    lifter.warmed_up();
    lifter.until(|v| v.set.as_ref().is_some_and(|s| s.line == k && s.kind == SetKind::Working));
    for (language, said) in [
        (Language::English, "Tempo: lower for 5 s and hold still for 2 s at the turn."),
        (Language::German, "Tempo: 5 s ablassen und 2 s an der Umkehr stillhalten."),
    ] {
        let speech = Speech::new(language);
        let set = FloorWords::new(&speech, &lifter.house).screen(&lifter.view()).set.unwrap();
        assert!(set.notes.iter().any(|n| n == said), "{:?}", set.notes);
    }
    lifter.do_it(Event::StandIns { line: k });
    lifter.do_it(Event::StandIn { offer: 0 });
    assert!(lifter.view().set.unwrap().tempo.is_none());
    // A number that cannot be is told with its field.
    home.programme.days[0].lines[k].tempo = Some(Tempo { lower_s: 11, turn_s: -1, raise_s: 0 });
    let faults = plinth_core::plan::programme::read_programme(&serde_json::to_vec(&home.programme).unwrap());
    let fields: Vec<String> = faults.unwrap_err().into_iter().map(|f| f.field).collect();
    let at = format!("days[0].lines[{k}].tempo");
    assert_eq!(fields, [format!("{at}.lower_s"), format!("{at}.turn_s")]);
}
