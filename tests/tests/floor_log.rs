//! What is logged: touches, doubled presses, undo, kills, clocks, and random touches.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

mod floor_support;

use floor_support::{Home, Lifter, sets, touchable};
use plinth_core::floor::{
    Action, Effect, EntryId, Event, Floor, House, LoadDone, Outcome, Page, Refused, RowKind, SetKind, Stage,
};
use plinth_core::load::Mass;
use plinth_core::moment::Moment;
use serde_json::Value;
use std::collections::{BTreeSet, VecDeque};

/// What a lifter wants to log.
#[derive(Debug, Clone, Copy)]
struct Wanted {
    load: Option<Mass>,
    amount: u32,
    reserve: Option<u32>,
    missed: bool,
}

/// Whether a touch brings the form nearer to it, or leads on.
fn helps(action: &Action, w: &Wanted) -> bool {
    match &action.event {
        Event::Done
        | Event::NotAsWritten
        | Event::Turn { page: Page::Loads | Page::Amounts | Page::Reserves } => true,
        // Nothing added is body mass alone.
        Event::Load { load } => load.filter(|m| !m.is_zero()) == w.load,
        Event::Amount { amount } | Event::AmountThen { amount } => *amount == w.amount,
        Event::Reserve { reserve } => *reserve == w.reserve,
        Event::Missed { missed } => *missed == w.missed,
        _ => false,
    }
}

/// The fewest touches of what the screens offer that log exactly this.
fn touches(floor: &Floor, now: &Moment, house: &House<'_>, w: &Wanted) -> Option<usize> {
    let mut queue = VecDeque::from([(floor.clone(), 0usize)]);
    let mut seen = BTreeSet::new();
    let mut ids = || EntryId::new(9, [9; 10]);
    while let Some((at, used)) = queue.pop_front() {
        if used == 7 {
            return None;
        }
        for action in touchable(&at.view(now, house)).iter().filter(|a| helps(a, w)) {
            let mut next = at.clone();
            let step = next.dispatch(&action.event, now, house, &mut ids);
            if step.refused.is_some() {
                continue;
            }
            let set = step.edits.iter().find(|e| e.fields.contains_key("amount"));
            if let Some(set) = set {
                let reserve =
                    w.reserve.map_or(Value::from("not_reported"), |r| serde_json::json!({ "reps": r }));
                let load = set.fields.get("load").and_then(|l| l.get("mass")).and_then(Value::as_str);
                let right = set.fields["amount"] == w.amount
                    && set.fields["reserve"] == reserve
                    && set.fields["outcome"] == if w.missed { "missed" } else { "done" }
                    && load.map(|l| l.parse::<Mass>().unwrap()) == w.load;
                if right {
                    return Some(used + 1);
                }
            } else if seen.insert(next.to_json()) {
                queue.push_back((next, used + 1));
            }
        }
    }
    None
}

fn makes(lifter: &Lifter<'_>) -> Vec<Mass> {
    let mut floor = lifter.floor.clone();
    let mut ids = || EntryId::new(9, [9; 10]);
    for event in [Event::NotAsWritten, Event::Turn { page: Page::Loads }] {
        floor.dispatch(&event, &lifter.now, &lifter.house, &mut ids);
    }
    let view = floor.view(&lifter.now, &lifter.house);
    let rows = view.form.unwrap().rows;
    let loads = rows.iter().filter(|r| r.kind == RowKind::AllLoads).flat_map(|r| &r.actions);
    loads.filter_map(|a| if let Event::Load { load } = a.event { load } else { None }).collect()
}

#[test]
fn one_touch_as_written_three_near_it_six_for_anything_else() {
    let home = Home::example();
    let mut kinds = 0;
    for day in 0..home.programme.days.len() {
        let mut lifter = Lifter::new(home.house());
        lifter.begin(Some(day));
        lifter.warmed_up();
        for line in 0..home.programme.days[day].lines.len() {
            lifter.until(|v| {
                v.stage == Stage::Finished
                    || v.set.as_ref().is_some_and(|s| s.line == line && s.kind == SetKind::Working)
            });
            lifter.pass(5);
            let view = lifter.view();
            let Some(set) = view.set else { continue };
            let written = set.load.as_ref().and_then(LoadDone::mass);
            let count = |w: &Wanted| touches(&lifter.floor, &lifter.now, &lifter.house, w);
            let as_written = Wanted { load: written, amount: set.amount, reserve: None, missed: false };
            assert_eq!(count(&as_written), Some(1), "{}", set.movement);
            let all = if written.is_some() { makes(&lifter) } else { Vec::new() };
            let at = all.iter().position(|m| Some(*m) == written);
            let beside: Vec<Option<Mass>> = match at {
                Some(at) => {
                    all[at.saturating_sub(1)..(at + 2).min(all.len())].iter().map(|m| Some(*m)).collect()
                }
                None => vec![written],
            };
            for load in beside {
                for amount in set.amount.saturating_sub(3)..=set.amount + 3 {
                    let w = Wanted { load, amount, ..as_written };
                    let used = count(&w).unwrap_or(99);
                    assert!(used <= 3, "{}: {w:?} takes {used}", set.movement);
                    kinds += 1;
                }
            }
            // Anything else: every load that the kit makes, other repetitions, a reserve or a miss.
            for k in 0..8usize {
                let load = if all.is_empty() { written } else { Some(all[(k * 37 + line * 11) % all.len()]) };
                let w = Wanted {
                    load,
                    amount: (k as u32 * 7 + 1) % 31,
                    reserve: [None, Some(0), Some(3), Some(5)][k % 4],
                    missed: k % 3 == 2,
                };
                let used = count(&w).unwrap_or(99);
                assert!(used <= 6, "{}: {w:?} takes {used}", set.movement);
                kinds += 1;
            }
        }
    }
    println!("{kinds} sets counted");
    assert!(kinds > 300);
}

#[test]
fn a_doubled_press_logs_once() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.pass(60);
    lifter.wide();
    let logged = sets(&lifter.record).len();
    lifter.now.monotonic_ms += 900;
    lifter.now.wall_ms += 900;
    assert_eq!(lifter.refused(Event::Done), Refused::Doubled);
    assert_eq!(sets(&lifter.record).len(), logged);
    // A wall clock that jumps in between does not make it two.
    lifter.now.wall_ms += 3_600_000;
    assert_eq!(lifter.refused(Event::Done), Refused::Doubled);
    lifter.now.monotonic_ms += 200;
    lifter.do_it(Event::Done);
    assert_eq!(sets(&lifter.record).len(), logged + 1);
}

/// How much can be taken back.
fn past(floor: &Floor) -> usize {
    let json: Value = serde_json::from_str(&floor.to_json()).unwrap();
    json["past"].as_object().unwrap().len()
}

struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % n.max(1) as u64) as usize
    }
}

/// Ids and fields of the sets that stand.
fn standing(lifter: &Lifter<'_>) -> Vec<String> {
    let mut all: Vec<String> = sets(&lifter.record).iter().map(ToString::to_string).collect();
    all.sort();
    all
}

/// Touches at random what the screen offers.
fn random_walk(seed: u64, house: House<'_>, touches: usize, check_undo: bool) -> (usize, usize, bool) {
    let mut dice = Dice(seed.wrapping_mul(2_654_435_761).wrapping_add(99));
    let mut lifter = Lifter::new(house);
    let (mut undone, mut logged, mut flagged) = (0, 0, false);
    let mut made: BTreeSet<String> = BTreeSet::new();
    if dice.below(5) > 0 {
        let days = lifter.house.programme.map_or(0, |p| p.days.len());
        lifter.begin(if days > 0 && dice.below(4) > 0 { Some(dice.below(days)) } else { None });
    }
    for _ in 0..touches {
        let view = lifter.view();
        let offered = touchable(&view);
        let action = if offered.is_empty() || dice.below(40) == 0 {
            // What no screen offers is refused or harmless.
            let odd = [
                Event::Done,
                Event::Amount { amount: 4_000_000_000 },
                Event::Load { load: Some("3.21 kg".parse().unwrap()) },
                Event::StandIn { offer: 99 },
                Event::GoTo { line: 99 },
                Event::ConfirmFlag { flag: "no".into() },
                Event::Correct { set: 9999 },
                Event::HurtsWhere { region: "tail".into() },
                Event::Minutes { minutes: u32::MAX },
                Event::Reserve { reserve: Some(77) },
                Event::Place { place: 8 },
                Event::Tick,
                Event::Open,
            ];
            odd[dice.below(odd.len())].clone()
        } else if view.wide.is_some() && dice.below(3) == 0 {
            view.wide.as_ref().unwrap().event.clone()
        } else {
            offered[dice.below(offered.len())].event.clone()
        };
        // A close or a flag ends the walk early: they come seldom.
        let ends = matches!(action, Event::Close | Event::CloseForgotten | Event::ConfirmFlag { .. });
        if ends && dice.below(8) > 0 {
            continue;
        }
        match dice.below(60) {
            0 => lifter.now.wall_ms += [3_600_000, -3_600_000, 86_400_000, -86_400_000][dice.below(4)],
            1 => lifter.now.offset_min = [-600, 0, 120, 840][dice.below(4)],
            2 => {
                lifter.now.boot = format!("boot {}", dice.below(1000));
                lifter.now.monotonic_ms = dice.below(100_000) as u64;
            }
            _ => lifter.pass(dice.below(200) as i64),
        }
        let before = (lifter.view(), past(&lifter.floor), standing(&lifter));
        let step = lifter.send(&action);
        for e in step.edits.iter().filter(|e| e.fields.contains_key("movement")) {
            assert!(made.insert(e.id.to_string()), "a set is written whole exactly once");
            logged += 1;
        }
        // The record holds exactly the sets of the snapshot.
        let json: Value = serde_json::from_str(&lifter.floor.to_json()).unwrap();
        let in_snapshot =
            json["state"]["sets"].as_array().unwrap().iter().filter(|s| s["deleted"] == false).count();
        assert_eq!(sets(&lifter.record).len(), in_snapshot, "seed {seed}: {action:?}");
        if step.refused.is_some() {
            assert_eq!(lifter.view(), before.0, "what is refused changes nothing");
            continue;
        }
        if matches!(action, Event::ConfirmFlag { .. }) {
            flagged = true;
            assert_eq!(past(&lifter.floor), 0);
            assert_eq!(lifter.refused(Event::Undo), Refused::FlagStands);
        }
        let grew = past(&lifter.floor) > before.1 && past(&lifter.floor) < 60;
        if check_undo && grew {
            let after = standing(&lifter);
            lifter.do_it(Event::Undo);
            assert_eq!(lifter.view(), before.0, "seed {seed}: undo of {action:?} shows the same screen");
            assert_eq!(standing(&lifter), before.2, "seed {seed}: and leaves the same record");
            undone += 1;
            // And on again, with new ids.
            lifter.now.monotonic_ms += 1500;
            lifter.now.wall_ms += 1500;
            let again = lifter.send(&action);
            for e in again.edits.iter().filter(|e| e.fields.contains_key("movement")) {
                made.insert(e.id.to_string());
            }
            if again.refused.is_none() {
                assert_eq!(standing(&lifter).len(), after.len());
            }
        }
        // No illegal state: numbers in their bounds, the tick on its line.
        let view = lifter.view();
        if let Some(line) = &view.line {
            assert!((0..=line.seconds).contains(&line.now_s), "{line:?}");
        }
        if let Some(rest) = &view.rest {
            assert!(rest.left_ms > 0 && rest.left_ms <= i64::from(rest.seconds) * 1000);
        }
        if let Some(set) = &view.set {
            assert!(set.number >= 1 && set.number <= set.of.max(1) && set.low <= set.high);
        }
    }
    (undone, logged, flagged)
}

#[test]
fn random_touches_never_panic_lose_or_double_a_set_and_undo_shows_the_same_screen() {
    let (mut undone, mut logged, mut flagged) = (0, 0, 0);
    for seed in 0..40 {
        let home = if seed % 2 == 0 { Home::example() } else { Home::paired() };
        let (u, l, f) = random_walk(seed, home.house(), 60, true);
        undone += u;
        logged += l;
        flagged += usize::from(f);
    }
    println!("{undone} undone, {logged} sets logged, {flagged} walks flagged");
    assert!(undone > 200 && logged > 200);
}

#[test]
fn a_rest_is_right_whatever_the_clocks_do() {
    let home = Home::example();
    let resting = || {
        let mut lifter = Lifter::new(home.house());
        lifter.begin(Some(0));
        lifter.warmed_up();
        lifter.until(|v| v.set.as_ref().is_some_and(|s| s.kind == SetKind::Working && s.number == 2));
        lifter
    };
    let hour = 3_600_000;
    let whole = i64::from(resting().view().rest.unwrap().seconds) * 1000;
    // Within one boot no wall clock moves it: an hour, a day, 1970, 2099, a daylight-saving change, a flight.
    let walls: [fn(&mut Moment); 8] = [
        |m| m.wall_ms += 3_600_000,
        |m| m.wall_ms -= 3_600_000,
        |m| m.wall_ms += 86_400_000,
        |m| m.wall_ms -= 86_400_000,
        |m| m.wall_ms = 0,
        |m| m.wall_ms = 4_070_908_800_000,
        |m| m.offset_min += 60,
        |m| m.offset_min = -600,
    ];
    for jump in walls {
        let mut lifter = resting();
        lifter.pass(30);
        jump(&mut lifter.now);
        let rest = lifter.view().rest.expect("the rest goes on");
        assert_eq!(rest.left_ms, whole - 30_000);
        assert_eq!(rest.ends_monotonic_ms, lifter.now.monotonic_ms + (whole - 30_000) as u64);
        lifter.send(&Event::Open);
        assert!(lifter.effects.iter().rev().any(|e| matches!(e, Effect::RaiseAlarm { at_monotonic_ms, .. }
            if *at_monotonic_ms == rest.ends_monotonic_ms)));
        lifter.pass(whole / 1000 - 30);
        let view = lifter.view();
        assert!(view.rest.is_none() && view.stage == Stage::Lifting, "it ends by itself, without a touch");
        lifter.wide();
        // The next rest runs whole whatever the clocks said before.
        assert_eq!(lifter.view().rest.map(|r| r.left_ms), Some(whole));
    }
    // A restart in mid-rest: the wall clock tells.
    let restart = |wall_ms: i64| {
        let mut lifter = resting();
        lifter.now = Moment {
            wall_ms: lifter.now.wall_ms + wall_ms,
            monotonic_ms: 7_000,
            boot: "second".into(),
            ..lifter.now.clone()
        };
        lifter.send(&Event::Open);
        let raised = lifter.effects.iter().rev().find_map(|e| match e {
            Effect::RaiseAlarm { at_monotonic_ms, boot, .. } => Some((*at_monotonic_ms, boot.clone())),
            _ => None,
        });
        (lifter.view().rest.map(|r| r.left_ms), raised)
    };
    let (left, raised) = restart(40_000);
    assert_eq!(left, Some(whole - 40_000));
    assert_eq!(raised, Some((7_000 + (whole - 40_000) as u64, "second".into())), "the alarm is set anew");
    // Restarted and the clock set back: the whole rest at most, never more; set ahead: it is over.
    assert_eq!(restart(-hour).0, Some(whole));
    assert_eq!(restart(hour).0, None);
}

#[test]
fn times_of_the_record_keep_their_order_and_offset_when_a_clock_jumps() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.work(3);
    lifter.now.wall_ms -= 86_400_000;
    lifter.now.offset_min = -480;
    lifter.work(3);
    lifter.now.wall_ms += 2 * 86_400_000;
    lifter.work(3);
    let all = sets(&lifter.record);
    assert!(all.iter().any(|s| s["ended_at"].as_str().unwrap().ends_with("-08:00")));
    // The snapshot keeps them in the order in which they were done.
    let json: Value = serde_json::from_str(&lifter.floor.to_json()).unwrap();
    let ids: Vec<&str> =
        json["state"]["sets"].as_array().unwrap().iter().map(|s| s["id"].as_str().unwrap()).collect();
    let mut sorted = ids.clone();
    sorted.sort_unstable();
    assert_eq!(ids, sorted);
    // Midnight passes in mid-session, and the session goes on.
    lifter.pass(13 * 3600);
    assert!(lifter.view().forgotten.is_some());
}

#[test]
fn a_forgotten_session_is_closed_at_the_time_of_its_last_set() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.work(4);
    let last = lifter.now.clone();
    lifter.pass(20 * 60);
    assert!(lifter.view().forgotten.is_none());
    lifter.send(&Event::Tick);
    assert_eq!(lifter.effects.last(), Some(&Effect::KeepAwake { on: false }), "the display is let go");
    lifter.pass(9 * 3600);
    assert_eq!(lifter.view().forgotten, Some(last.clone()));
    lifter.do_it(Event::CloseForgotten);
    let session = floor_support::session(&lifter.record);
    assert_eq!(session["ended_at"], last.rfc3339().as_str());
    assert_eq!(session["closed_by"], "forgotten");
    // Even that is taken back.
    lifter.do_it(Event::Undo);
    assert!(lifter.view().forgotten.is_some());
    assert!(floor_support::session(&lifter.record).get("ended_at").is_none());
}

#[test]
fn sets_are_corrected_taken_off_and_logged_late() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(Some(0));
    lifter.warmed_up();
    lifter.until(|v| v.set.as_ref().is_some_and(|s| s.kind == SetKind::Working && s.number == 2));
    lifter.pass(5);
    let before = sets(&lifter.record).len();
    let at: Value = serde_json::from_str(&lifter.floor.to_json()).unwrap();
    let k = at["state"]["sets"].as_array().unwrap().len() - 1;
    lifter.do_it(Event::SetsDone);
    lifter.do_it(Event::Correct { set: k });
    lifter.do_it(Event::Reserve { reserve: Some(1) });
    lifter.do_it(Event::Missed { missed: true });
    lifter.do_it(Event::Amount { amount: 2 });
    let missed: Vec<_> = sets(&lifter.record).into_iter().filter(|s| s["outcome"] == "missed").collect();
    assert_eq!(missed.len(), 1);
    assert_eq!((&missed[0]["amount"], &missed[0]["reserve"]), (&2.into(), &serde_json::json!({"reps": 1})));
    assert_eq!(missed[0]["as_written"], false);
    lifter.do_it(Event::SetsDone);
    lifter.do_it(Event::Remove { set: k });
    assert_eq!(sets(&lifter.record).len(), before - 1);
    assert_eq!(lifter.view().set.unwrap().number, 1, "it is to be done again");
    lifter.pass(5);
    lifter.do_it(Event::Undo);
    assert_eq!(sets(&lifter.record).len(), before, "brought back whole");
    // Done before, logged now.
    lifter.pass(5);
    lifter.do_it(Event::Lines);
    lifter.do_it(Event::Late { line: 0 });
    lifter.do_it(Event::EndedAgo { minutes: 10 });
    lifter.wide();
    assert_eq!(sets(&lifter.record).len(), before + 1);
    let late = Moment { wall_ms: lifter.now.wall_ms - 600_000, ..lifter.now.clone() }.rfc3339();
    assert!(sets(&lifter.record).iter().any(|s| s["ended_at"] == late.as_str()));
}

#[test]
fn sides_go_apart_the_weaker_first_and_the_other_matches() {
    use plinth_core::load::route::Side;
    let home = Home::example();
    let mut house = home.house();
    house.weaker.insert("one_arm_dumbbell_row".into(), Side::Right);
    let mut lifter = Lifter::new(house);
    lifter.begin(None);
    lifter.warmed_up();
    lifter.do_it(Event::Movements);
    lifter.do_it(Event::Add { movement: "one_arm_dumbbell_row".into() });
    lifter.until(|v| v.set.as_ref().is_some_and(|s| s.kind == SetKind::Working));
    let set = lifter.view().set.unwrap();
    assert_eq!(set.sides, Some([Side::Right, Side::Left]));
    let before = sets(&lifter.record).len();
    lifter.pass(100);
    lifter.wide();
    let both = sets(&lifter.record);
    assert_eq!(both.len(), before + 2, "one touch records both sides");
    lifter.pass(100);
    lifter.do_it(Event::NotAsWritten);
    lifter.do_it(Event::SidesApart { apart: true });
    assert_eq!(lifter.view().form.unwrap().side, Some(Side::Right), "the weaker side is asked first");
    lifter.do_it(Event::Amount { amount: 6 });
    let view = lifter.view();
    assert_eq!(view.form.as_ref().unwrap().side, Some(Side::Left));
    let wide = view.wide.unwrap();
    assert_eq!(wide.event, Event::Amount { amount: 6 }, "the other side matches it");
    lifter.do_it(Event::Amount { amount: 8 });
    let all = sets(&lifter.record);
    assert_eq!(all.len(), before + 4);
    let of =
        |side: &str, n: u32| all.iter().any(|s| s["side"] == side && s["amount"] == n && s["number"] == 2);
    assert!(of("right", 6) && of("left", 8));
    assert_eq!(lifter.view().set.unwrap().number, 3, "two sides are one set");
}

#[test]
fn holds_count_their_seconds_and_carries_their_metres() {
    let home = Home::example();
    let mut lifter = Lifter::new(home.house());
    lifter.begin(None);
    lifter.warmed_up();
    lifter.do_it(Event::Add { movement: "plank".into() });
    let set = lifter.view().set.unwrap();
    assert_eq!(set.load, Some(LoadDone::BodyMass));
    lifter.do_it(Event::HoldBegun);
    lifter.pass(47);
    assert_eq!(lifter.view().wide.unwrap().records.unwrap().amount, 47);
    lifter.wide();
    let held = sets(&lifter.record);
    assert_eq!((&held[0]["amount"], &held[0]["measure"]), (&47.into(), &"hold".into()));
    assert!(held[0]["started_at"].is_string(), "a start that was seen is kept");
    // Without the clock it is as written.
    lifter.pass(90);
    lifter.wide();
    assert_eq!(lifter.refused(Event::Done), Refused::Doubled);
    lifter.do_it(Event::Add { movement: "two_hand_carry".into() });
    lifter.until(|v| v.set.as_ref().is_some_and(|s| s.kind == SetKind::Working));
    lifter.pass(90);
    let recorded = lifter.view().wide.unwrap().records.unwrap();
    assert_eq!(recorded.measure, plinth_core::catalogue::Measure::Carry);
    assert!(matches!(recorded.load, Some(LoadDone::Pair { .. })), "the mass in each hand");
    assert_eq!(recorded.outcome, Outcome::Done);
    lifter.wide();
    assert!(sets(&lifter.record).iter().any(|s| s["measure"] == "carry" && s["load"]["of"] == "pair"));
}
