//! F6: random edits on several devices, delivered late, twice and out of order, with clocks an hour off.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::record::{Clock, DeviceId, Edit, Entry, EntryId, Kind};
use plinth_tests::faults::{Dice, count};
use serde_json::json;
use std::collections::BTreeMap;

#[test]
fn f6_all_schedules_end_alike() {
    let mut dice = Dice::new("F6");
    let schedules = count(100_000, 10_000_000);
    let (mut edits, mut ties) = (0u64, 0u64);
    for schedule in 0..schedules {
        let devices = 2 + dice.below(4);
        let mut clocks: Vec<Clock> = (0..devices).map(|d| Clock::new(DeviceId::new(d as u64))).collect();
        let off: Vec<i64> = (0..devices).map(|_| dice.below(7_200_000) as i64 - 3_600_000).collect();
        let mut records: Vec<BTreeMap<EntryId, Entry>> = vec![BTreeMap::new(); devices];
        let mut sent: Vec<Entry> = Vec::new();
        let mut wall = 1_777_800_000_000i64;
        for _ in 0..4 + dice.below(8) {
            wall += dice.below(3) as i64;
            let d = dice.below(devices);
            if dice.below(3) == 0 && !sent.is_empty() {
                // Late, out of order, and perhaps not for the first time.
                let entry = sent[dice.below(sent.len())].clone();
                if let Some(last) = entry.last_written() {
                    clocks[d].observe(last);
                }
                records[d]
                    .entry(entry.id)
                    .or_insert_with(|| Entry::new(entry.id, entry.kind.clone()))
                    .merge(&entry);
                continue;
            }
            let id = EntryId::new(1 + dice.below(2) as u64, [0; 10]);
            let field = ["text", "movement", "deleted"][dice.below(3)];
            let value = if field == "deleted" {
                json!(dice.below(2) == 0)
            } else {
                json!(format!("{}", dice.below(5)))
            };
            let edit = Edit { id, kind: Kind::Note, fields: BTreeMap::from([(field.to_owned(), value)]) };
            let entry = records[d].entry(id).or_insert_with(|| Entry::new(id, Kind::Note));
            let replaced = entry.replaced_by(&edit);
            let stamp = clocks[d].tick(wall + off[d], replaced);
            assert!(replaced.is_none_or(|r| stamp > r));
            entry.write(&edit, stamp).unwrap();
            sent.push(entry.clone());
            edits += 1;
        }
        // Everybody hears everything, each in an order of their own.
        let heard: Vec<Vec<Entry>> = records.iter().map(|r| r.values().cloned().collect()).collect();
        for record in &mut records {
            let mut order: Vec<usize> = (0..devices).collect();
            for k in (1..order.len()).rev() {
                order.swap(k, dice.below(k + 1));
            }
            for from in order {
                for entry in &heard[from] {
                    let mine =
                        record.entry(entry.id).or_insert_with(|| Entry::new(entry.id, entry.kind.clone()));
                    mine.merge(entry);
                    assert!(!mine.merge(entry), "merging twice changed something in schedule {schedule}");
                }
            }
        }
        let canonical =
            |r: &BTreeMap<EntryId, Entry>| r.values().map(Entry::canonical).collect::<Vec<_>>().join("\n");
        let first = canonical(&records[0]);
        for record in &records[1..] {
            assert_eq!(canonical(record), first, "schedule {schedule}");
        }
        // Three of the states that were sent, merged every way.
        if sent.len() >= 3 && schedule % 10 == 0 {
            let pick: Vec<Entry> = (0..3).map(|_| sent[dice.below(sent.len())].clone()).collect();
            let [a, b, c] = &pick[..] else { unreachable!() };
            if a.id == b.id && b.id == c.id {
                ties += 1;
                let merged = |x: &Entry, y: &Entry| {
                    let mut x = x.clone();
                    x.merge(y);
                    x
                };
                assert_eq!(merged(&merged(a, b), c), merged(a, &merged(b, c)));
                assert_eq!(merged(a, b), merged(b, a));
                assert_eq!(merged(a, a), *a);
            }
        }
    }
    println!(
        "F6: {schedules} schedules on 2 to 5 devices, {edits} edits, {ties} triples merged every way; all alike"
    );
}
