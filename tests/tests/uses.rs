//! A data edit shows what it does: the movements whose use over the corpus changes most.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_tests::{Data, data_folder, uses};
use std::collections::BTreeMap;

#[test]
fn the_use_of_every_movement_is_as_committed() {
    let data = Data::builtin().expect("sound");
    let file = data_folder().join("uses.csv");
    let mut reader = csv::Reader::from_path(file).expect("tests/data/uses.csv is there");
    let before: BTreeMap<String, i32> = reader.deserialize().collect::<Result<_, _>>().expect("rows");
    let mut changes: Vec<(i32, String, i32, i32)> = uses(&data)
        .into_iter()
        .map(|(id, now)| {
            let was = before.get(&id).copied().unwrap_or(0);
            (-(now - was).abs(), id, was, now)
        })
        .filter(|c| c.0 != 0)
        .collect();
    changes.sort();
    for (_, id, was, now) in changes.iter().take(20) {
        println!("{id}: {was} sessions before, {now} now");
    }
    assert!(
        changes.is_empty(),
        "the use of {} movements changed (the twenty that changed most are above); if that is meant, renew the file: \
         cargo run --release -p plinth-tests --bin corpus -- uses > tests/data/uses.csv",
        changes.len()
    );
}
