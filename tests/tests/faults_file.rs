//! F3 and F4: the log or the file itself is not what was written.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::record::{Entry, EntryId};
use plinth_core::store::{Opened, Recovery, Store, StoreError, system_random};
use plinth_tests::faults::{Dice, Folder, at, count, open, prefix, session, write};
use std::collections::BTreeMap;
use std::path::Path;

/// A record with `pairs` of which the last `in_log` lie in the log only; the bytes of both files.
fn record(pairs: u64, in_log: u64) -> (Vec<u8>, Vec<u8>) {
    let folder = Folder::new();
    let path = folder.file("record.plinth");
    {
        let mut store = open(&path).unwrap().store;
        for n in 0..pairs - in_log {
            write(&mut store, n).unwrap();
        }
    }
    let mut store = open(&path).unwrap().store;
    for n in pairs - in_log..pairs {
        write(&mut store, n).unwrap();
    }
    let file = std::fs::read(&path).unwrap();
    (file, std::fs::read(folder.file("record.plinth-wal")).unwrap_or_default())
}

#[test]
fn f3_a_spoilt_log_leaves_a_consistent_prefix() {
    let (mut dice, folder) = (Dice::new("F3"), Folder::new());
    let (pairs, in_log) = (40, 15);
    let (file, log) = record(pairs, in_log);
    assert!(log.len() > 50_000, "the log is too short for the test");
    let times = count(100, 1_000);
    let mut kept = BTreeMap::new();
    for how in ["torn", "flipped", "garbage"] {
        for _ in 0..times {
            folder.empty();
            let mut spoilt = log.clone();
            let place = dice.below(spoilt.len());
            match how {
                "torn" => spoilt.truncate(place),
                "flipped" => spoilt[place] ^= 1 << dice.below(8),
                _ => {
                    let end = (place + 1 + dice.below(8_192)).min(spoilt.len());
                    for byte in &mut spoilt[place..end] {
                        *byte = dice.roll() as u8;
                    }
                }
            }
            let path = folder.file("record.plinth");
            std::fs::write(&path, &file).unwrap();
            std::fs::write(folder.file("record.plinth-wal"), &spoilt).unwrap();
            let opened = open(&path).unwrap();
            assert_eq!(opened.recovered, None);
            let there = prefix(&opened.store);
            assert!((pairs - in_log..=pairs).contains(&there), "{there} pairs");
            assert_eq!(opened.store.session().unwrap(), Some(session(there - 1)));
            assert_eq!(opened.store.check().unwrap().first_fault(), None);
            *kept.entry(there).or_insert(0) += 1;
        }
    }
    println!(
        "F3: {times} torn, {times} flipped and {times} garbage logs; pairs kept and how often: {kept:?}"
    );
}

fn entries(store: &Store) -> Result<BTreeMap<EntryId, Entry>, StoreError> {
    Ok(store.all(None, 1_000_000)?.into_iter().map(|e| (e.id, e)).collect())
}

/// Reads everything; what was seen to be damaged is mended, and how it was noticed.
fn read(path: &Path) -> Result<(&'static str, Store, Option<Recovery>), StoreError> {
    let Opened { store, recovered, .. } = open(path)?;
    if recovered.is_some() {
        return Ok(("at opening", store, recovered));
    }
    let read = entries(&store).and_then(|_| store.session());
    let (how, damaged) = match read {
        Err(StoreError::Damaged { .. }) => ("at reading", true),
        Err(other) => return Err(other),
        Ok(_) => match store.check() {
            Ok(checked) if checked.bad.is_empty() && checked.database.is_empty() && checked.sums_agree => {
                ("", false)
            }
            Ok(checked) if checked.bad.is_empty() && checked.database.is_empty() => ("in the sums", true),
            _ => ("by the check", true),
        },
    };
    if !damaged {
        return Ok(("not at all, and nothing had changed", store, None));
    }
    let opened = store.mend(&at(0), &mut system_random)?;
    Ok((how, opened.store, opened.recovered))
}

#[test]
fn f4_a_flipped_bit_is_never_a_silent_change() {
    let (mut dice, folder) = (Dice::new("F4"), Folder::new());
    let (file, _) = record(60, 0);
    let path = folder.file("record.plinth");
    std::fs::write(&path, &file).unwrap();
    let original = entries(&open(&path).unwrap().store).unwrap();
    let times = count(200, 1_000);
    let (mut noticed, mut lost, mut most) = (BTreeMap::new(), 0, 0);
    for _ in 0..times {
        folder.empty();
        let (byte, bit) = (dice.below(file.len()), dice.below(8));
        let mut flipped = file.clone();
        flipped[byte] ^= 1 << bit;
        std::fs::write(&path, &flipped).unwrap();
        match read(&path) {
            Err(fault) => {
                // A version or mark that is no longer ours: refused, and the file left as it is.
                assert!(
                    matches!(fault, StoreError::Newer { .. } | StoreError::NotARecord { .. }),
                    "{byte}:{bit} {fault:?}"
                );
                assert!(byte < 100 && std::fs::read(&path).unwrap() == flipped, "{byte}:{bit} {fault}");
                *noticed.entry("by refusing the file").or_insert(0) += 1;
            }
            Ok((how, store, recovery)) => {
                *noticed.entry(how).or_insert(0) += 1;
                let now = entries(&store).unwrap();
                for (id, entry) in &now {
                    let older = recovery
                        .as_ref()
                        .is_some_and(|r| r.lost.iter().any(|l| l.older_kept && l.entry == id.to_string()));
                    assert!(
                        older || original.get(id) == Some(entry),
                        "{byte}:{bit} the entry {id} changed in silence"
                    );
                }
                let gone: Vec<_> = original.keys().filter(|id| !now.contains_key(id)).collect();
                for id in &gone {
                    let told = recovery
                        .as_ref()
                        .is_some_and(|r| r.may_be_more || r.lost.iter().any(|l| l.entry == id.to_string()));
                    assert!(told, "{byte}:{bit} the entry {id} is gone and nobody said so");
                }
                if let Some(recovery) = &recovery {
                    assert!(
                        std::fs::read(&recovery.aside).unwrap().len() == file.len(),
                        "{byte}:{bit} not set aside whole"
                    );
                }
                lost += gone.len();
                most = most.max(gone.len());
                assert_eq!(store.check().unwrap().first_fault(), None, "{byte}:{bit}");
            }
        }
    }
    println!(
        "F4: {times} flipped bits in a file of {} entries; noticed {noticed:?}; entries lost and told: {lost}, at most {most} by one bit",
        original.len()
    );
}
