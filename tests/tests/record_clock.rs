//! The clock beside another implementation of the same paper (Kulkarni et al. 2014): the crate `uhlc`.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::record::{Clock, DeviceId, Stamp};
use plinth_tests::faults::Dice;
use std::cell::Cell;
use std::collections::BTreeSet;
use std::time::Duration;
use uhlc::{HLC, HLCBuilder, ID, NTP64, Timestamp};

thread_local! {
    static WALL_MS: Cell<u64> = const { Cell::new(0) };
}

/// `uhlc` counts in the low bits of a fraction of a second, which a whole millisecond leaves free.
fn wall() -> NTP64 {
    let whole = WALL_MS.get();
    NTP64::from(Duration::from_millis(whole))
}

fn reference(id: ID) -> HLC {
    HLCBuilder::new().with_id(id).with_clock(wall).with_max_delta(Duration::from_secs(1_000_000_000)).build()
}

/// Whether the reference, too, stands at the wall clock's millisecond.
fn at_wall(timestamp: &Timestamp, stamp: &Stamp) -> bool {
    timestamp.get_time().to_duration().as_millis().abs_diff(u128::from(stamp.millis)) <= 1
}

#[test]
fn both_clocks_order_the_same_sequences_alike() {
    let mut dice = Dice::new("clock");
    let (mut compared, mut sequences) = (0u64, 0);
    for _ in 0..300 {
        let devices = 2 + dice.below(3);
        let mut ours: Vec<Clock> = (0..devices).map(|d| Clock::new(DeviceId::new(d as u64 + 1))).collect();
        let theirs: Vec<HLC> =
            (0..devices).map(|d| reference(ID::try_from([d as u8 + 1]).unwrap())).collect();
        let off: Vec<i64> = (0..devices).map(|_| dice.below(7_200_000) as i64 - 3_600_000).collect();
        let mut made: Vec<(Stamp, Timestamp)> = Vec::new();
        // Which of those made came before, for each made and for what each device has heard.
        let mut before: Vec<BTreeSet<usize>> = Vec::new();
        let mut heard: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); devices];
        let mut now = 1_777_800_000_000i64;
        for _ in 0..60 {
            let d = dice.below(devices);
            now += dice.below(4) as i64;
            // A clock that is set back now and then.
            let jump = if dice.below(15) == 0 { -(dice.below(600_000) as i64) } else { 0 };
            let wall_ms = now + off[d] + jump;
            WALL_MS.set(wall_ms as u64);
            if dice.below(3) == 0 && !made.is_empty() {
                let k = dice.below(made.len());
                let (stamp, timestamp) = made[k];
                heard[d].insert(k);
                heard[d].extend(&before[k]);
                ours[d].observe(stamp);
                theirs[d].update_with_timestamp(&timestamp).unwrap();
            } else {
                before.push(heard[d].clone());
                heard[d].insert(made.len());
                made.push((ours[d].tick(wall_ms, None), theirs[d].new_timestamp()));
            }
        }
        for (j, (a, x)) in made.iter().enumerate() {
            for (k, (b, y)) in made.iter().enumerate() {
                // What came before is less in both. Of the rest, what was stamped by the wall clock alone is ordered by
                // it in both; how far a counter has run differs, since `uhlc` counts receiving as an event.
                let causal = before[k].contains(&j);
                let walls = a.counter == 0
                    && b.counter == 0
                    && a.millis != b.millis
                    && at_wall(x, a)
                    && at_wall(y, b);
                if causal || walls {
                    assert_eq!(a.cmp(b), x.cmp(y), "{a} {b} against {x} {y}");
                    assert!(!causal || a < b);
                    compared += 1;
                }
            }
        }
        sequences += 1;
    }
    println!("clock: {sequences} sequences, {compared} pairs of stamps ordered as uhlc does");
}
