//! The companion's findings over a log that is longer than what is read of it each day.
#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

use chrono::{Days, NaiveDate};
use plinth_core::companion::{Companion, Findings, MovementFindings};
use plinth_core::moment::Moment;
use plinth_core::store::system_random;
use plinth_core::words::{Language, Speech, findings::FindingsWords};
use plinth_tests::faults::Folder;
use std::fmt::Write;

fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2025, 1, 6).unwrap()
}

fn day(n: u64) -> NaiveDate {
    first_day().checked_add_days(Days::new(n)).unwrap()
}

fn at(n: u64) -> Moment {
    let wall_ms = day(n).and_hms_opt(20, 0, 0).unwrap().and_utc().timestamp_millis();
    Moment { wall_ms, offset_min: 0, monotonic_ms: 1_000 + n * 86_400_000, boot: "a".into() }
}

/// Takes in sets: day, movement, load, repetitions.
fn log(c: &mut Companion, sets: &[(u64, &str, &str, u32)]) {
    let mut csv = String::from("movement,load,amount,ended_at\n");
    for (k, (n, movement, load, reps)) in sets.iter().enumerate() {
        let (on, second) = (day(*n), k % 60);
        writeln!(csv, "{movement},{load},{reps},{on}T18:00:{second:02}+00:00").unwrap();
    }
    let now = at(sets.iter().map(|s| s.0).max().unwrap());
    assert!(c.import_csv(csv.as_bytes(), &now).unwrap().refused.is_empty());
}

fn of<'a>(f: &'a Findings, movement: &str) -> &'a MovementFindings {
    f.movements.iter().find(|m| m.movement == movement).unwrap()
}

/// Two hundred and forty ordinary sets, six on each of forty days, from day 10 on.
fn ordinary(movement: &'static str, load: &'static str) -> Vec<(u64, &'static str, &'static str, u32)> {
    (0..240).map(|k| (10 + k / 6, movement, load, 5)).collect()
}

#[test]
fn an_old_best_is_remembered_however_long_the_log() {
    let folder = Folder::new();
    let opened =
        Companion::open(&folder.file("record"), Language::English, &at(0), Box::new(system_random)).unwrap();
    let mut c = opened.companion;
    let squat = "barbell_back_squat";
    log(&mut c, &[(1, squat, "bar 100 kg", 5)]);
    log(&mut c, &ordinary(squat, "bar 80 kg"));
    log(&mut c, &[(60, squat, "bar 90 kg", 5)]);
    let found = c.findings(&at(60)).unwrap();
    let m = of(&found, squat);
    assert!(m.new_bests.is_empty(), "100 kg were done long ago: {:?}", m.new_bests);
    assert_eq!(m.bests.iter().map(|b| b.load.to_string()).collect::<Vec<_>>(), ["100 kg"]);
    // A true one names the one before, though the sums hold only the new one now.
    log(&mut c, &[(63, squat, "bar 102.5 kg", 5)]);
    let found = c.findings(&at(63)).unwrap();
    let new = &of(&found, squat).new_bests[0];
    let before = new.before.as_ref().unwrap();
    assert_eq!((before.load.to_string(), before.day), ("100 kg".into(), day(1)));
    let speech = Speech::new(Language::English);
    let words = FindingsWords { speech: &speech, catalogue: c.catalogue() };
    assert_eq!(words.new_best(new), "Most yet for 5 reps: 102.5 kg; before, 100 kg on 7 January 2025.");
}

#[test]
fn an_old_best_with_body_mass_in_it_is_remembered_too() {
    let folder = Folder::new();
    let opened =
        Companion::open(&folder.file("record"), Language::English, &at(0), Box::new(system_random)).unwrap();
    let mut c = opened.companion;
    for n in [0, 60] {
        c.tell_body_mass(&"80 kg".parse().unwrap(), &at(n)).unwrap();
    }
    log(&mut c, &[(1, "pull_up", "added 30 kg", 5)]);
    log(&mut c, &ordinary("pull_up", "body_mass"));
    log(&mut c, &[(60, "pull_up", "added 20 kg", 5)]);
    let found = c.findings(&at(60)).unwrap();
    let m = of(&found, "pull_up");
    assert!(m.holds_body && !m.hidden);
    assert!(m.new_bests.is_empty(), "{:?}", m.new_bests);
    assert_eq!(m.bests.iter().map(|b| b.load.to_string()).collect::<Vec<_>>(), ["110 kg"]);
}
