//! F1 and F2: the process is killed in mid-write and in mid-migration.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::store::LATEST;
use plinth_tests::faults::{Dice, Folder, count, open, prefix, session, writer};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

const WRITER: &str = env!("CARGO_BIN_EXE_writer");

#[test]
fn f1_every_acknowledged_set_survives_a_kill() {
    let (mut dice, folder) = (Dice::new("F1"), Folder::new());
    let times = count(50, 1_000);
    let (mut from, mut acknowledged) = (0, 0);
    for k in 0..times {
        // A fresh file now and then, so that the making of it is killed too.
        if k % 25 == 0 {
            folder.empty();
            from = 0;
        }
        let path = folder.file("record.plinth");
        let mut child = writer(WRITER, &path, from, 1_000_000).stdout(Stdio::piped()).spawn().unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut last = None;
        for _ in 0..dice.below(12) {
            match lines.next() {
                Some(line) => last = line.unwrap().parse::<u64>().ok().or(last),
                None => break,
            }
        }
        std::thread::sleep(Duration::from_micros(dice.roll() % 4_000));
        child.kill().unwrap();
        child.wait().unwrap();
        for line in lines.map_while(Result::ok) {
            last = line.parse().ok().or(last);
        }
        let opened = open(&path).unwrap();
        assert_eq!(opened.recovered, None);
        let there = prefix(&opened.store);
        let wanted = last.map_or(from, |n| n + 1);
        assert!(there >= wanted, "kill {k}: {wanted} were acknowledged and {there} are there");
        if there > 0 {
            assert_eq!(opened.store.session().unwrap(), Some(session(there - 1)));
        }
        if k % 10 == 9 {
            assert_eq!(opened.store.check().unwrap().first_fault(), None);
        }
        acknowledged += wanted - from;
        from = there;
    }
    println!("F1: {times} kills in mid-write, {acknowledged} acknowledged writes, none lost");
}

#[test]
fn f2_a_migration_that_is_killed_ends_at_one_version_or_the_other() {
    let mut dice = Dice::new("F2");
    for version in 1..LATEST {
        let frozen = format!("{}/data/store/version-{version}.plinth", env!("CARGO_MANIFEST_DIR"));
        let wanted = {
            let folder = Folder::new();
            std::fs::copy(&frozen, folder.file("record.plinth")).unwrap();
            open(&folder.file("record.plinth")).unwrap().store.digest().unwrap()
        };
        let (times, mut brought_up) = (count(3, 100), 0);
        for _ in 0..times {
            let folder = Folder::new();
            let path = folder.file("record.plinth");
            std::fs::copy(&frozen, &path).unwrap();
            let mut child = Command::new(WRITER).arg("open").arg(&path).spawn().unwrap();
            std::thread::sleep(Duration::from_micros(500 + dice.roll() % 25_000));
            child.kill().unwrap();
            child.wait().unwrap();
            let opened = open(&path).unwrap();
            brought_up += usize::from(opened.backup.is_some());
            assert_eq!(opened.recovered, None);
            assert_eq!(opened.store.digest().unwrap(), wanted);
            assert_eq!(opened.store.count().unwrap(), 25);
            assert_eq!(opened.store.check().unwrap().first_fault(), None);
            let backup = folder.file(&format!("record.plinth.version-{version}"));
            assert!(Path::new(&backup).exists(), "no backup was taken before the migration");
        }
        println!(
            "F2: {times} kills in a migration from version {version}, {brought_up} of them before it was done, data equal"
        );
    }
}
