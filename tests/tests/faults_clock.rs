//! F10: clocks that jump. Order stays causal, a stamp of another year does not win for ever, and a rest is right.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

mod floor_support;

use floor_support::{Home, Lifter, moment};
use plinth_core::floor::{Event, Stage};
use plinth_core::moment::Moment;
use plinth_core::record::{Edit, EntryId, Kind, Stamp};
use plinth_core::store::{Received, Store, system_random};
use plinth_tests::faults::{Dice, Folder, count};
use std::collections::BTreeMap;

const HOUR: i64 = 3_600_000;
const DAY: i64 = 24 * HOUR;

/// What happens to the clocks; whether the device restarts with it.
type Jump = (&'static str, fn(&mut Moment), bool);

const JUMPS: [Jump; 11] = [
    ("an hour back", |m| m.wall_ms -= HOUR, false),
    ("an hour on", |m| m.wall_ms += HOUR, false),
    ("a day back", |m| m.wall_ms -= DAY, false),
    ("a day on", |m| m.wall_ms += DAY, false),
    ("1970", |m| m.wall_ms = 0, false),
    ("2099", |m| m.wall_ms = 4_070_908_800_000, false),
    ("summer begins", |m| m.offset_min += 60, false),
    ("summer ends", |m| m.offset_min -= 60, false),
    ("a flight", |m| m.offset_min = -600, false),
    ("a restart", |m| restart(m, 0), true),
    ("a restart with the clock an hour back", |m| restart(m, -HOUR), true),
];

fn restart(m: &mut Moment, wall_ms: i64) {
    m.boot = format!("after {}", m.boot);
    m.monotonic_ms = 9_000;
    m.wall_ms += wall_ms;
}

/// The greatest stamp of each entry, in the order in which they were written last.
fn stamps(lifter: &Lifter<'_>) -> BTreeMap<EntryId, Stamp> {
    lifter.record.entries.iter().filter_map(|(id, e)| Some((*id, e.last_written()?))).collect()
}

#[test]
fn f10_order_stays_causal_and_a_rest_is_right_whatever_the_clocks_do() {
    let mut dice = Dice::new("F10");
    let home = Home::example();
    let (seeds, mut rests, mut sets) = (count(1, 100), 0, 0);
    for (what, jump, restarts) in JUMPS {
        for _ in 0..seeds {
            let mut lifter = Lifter::new(home.house());
            lifter.begin(Some(dice.below(home.programme.days.len())));
            lifter.warmed_up();
            lifter.work(1 + dice.below(12));
            if lifter.view().stage == Stage::Lifting {
                lifter.pass(35);
                lifter.wide();
            }
            let Some(before) = lifter.view().rest else { continue };
            let gone = dice.below(usize::try_from(before.left_ms / 1000).unwrap().max(1)) as i64;
            lifter.pass(gone);
            let left = lifter.view().rest.map_or(0, |r| r.left_ms);
            let from_wall = lifter.now.wall_ms;
            jump(&mut lifter.now);
            lifter.send(&Event::Open);
            let now = lifter.view().rest.map_or(0, |r| r.left_ms);
            let whole = i64::from(before.seconds) * 1000;
            if !restarts {
                assert_eq!(now, left, "{what}: no wall clock moves a rest within one boot");
            } else if lifter.now.wall_ms >= from_wall {
                assert_eq!(now, left, "{what}: the wall clock tells");
            } else {
                assert!(
                    (left..=whole).contains(&now),
                    "{what}: never shorter, and never longer than it was set"
                );
            }
            rests += 1;
            // Every entry that is written from here on stands after all that was written before.
            let mut latest = stamps(&lifter).into_values().max().unwrap();
            for _ in 0..4 {
                let known = stamps(&lifter);
                if lifter.work(1) == 0 {
                    break;
                }
                for (id, stamp) in stamps(&lifter) {
                    if known.get(&id) != Some(&stamp) {
                        assert!(stamp > latest, "{what}: what comes later has the greater stamp");
                    }
                }
                latest = stamps(&lifter).into_values().max().unwrap();
                sets += 1;
            }
        }
    }
    println!(
        "F10: {} jumps of the clocks x {seeds}, {rests} rests right and {sets} sets after them in order",
        JUMPS.len()
    );
    assert!(rests >= JUMPS.len() * seeds / 2);
}

#[test]
fn f10_a_stamp_of_another_year_does_not_win_for_ever() {
    let mut dice = Dice::new("F10");
    let times = count(1, 100);
    for _ in 0..times {
        let folder = Folder::in_memory();
        let open =
            |name: &str| Store::open(&folder.file(name), &moment(0), &mut system_random).unwrap().store;
        let (mut ahead, mut other) = (open("ahead"), open("other"));
        let id = EntryId::new(dice.roll() % 1_000_000, [4; 10]);
        let note =
            |text: &str| Edit { id, kind: Kind::Note, fields: BTreeMap::new() }.with("text", text.into());
        let years = 1 + dice.below(73) as i64;
        let far = Moment { wall_ms: moment(0).wall_ms + years * 365 * DAY, ..moment(0) };
        ahead.write(&[note("of another year")], None, &far).unwrap();
        // The server's door refuses the stamp; the device stamps anew by the server's clock.
        let server_ms = moment(60).wall_ms.unsigned_abs();
        let refused =
            Received { ahead: vec![id], server_ms, most_ms: server_ms + 300_000, ..Received::default() };
        ahead.receive(&refused, "{}").unwrap();
        let sent = ahead.pending(None, 9).unwrap();
        assert!(sent.iter().all(|e| e.last_written().unwrap().millis <= server_ms + 300_000));
        let take = |entries| Received { entries, ..Received::default() };
        other.receive(&take(sent), "{}").unwrap();
        let newer = other.write(&[note("newer")], None, &moment(120)).unwrap();
        ahead.receive(&take(newer), "{}").unwrap();
        let text = |s: &Store| s.entry(&id).unwrap().unwrap().fields["text"].value.text().to_owned();
        assert_eq!(text(&ahead), "\"newer\"", "{years} years ahead");
        assert_eq!(ahead.digest().unwrap(), other.digest().unwrap());
    }
    println!("F10: {times} devices years ahead, each brought back; the newer edit won");
}
