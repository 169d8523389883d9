//! Backups by date: sound, with their ledger, thinned out, and never fewer because one failed.

use crate::common::{Device, Folder, Running, note, now_ms, request};
use crate::process::{end, plinth, serve};
use plinth::client::{Paired, Way};
use plinth::host::account::Role;
use plinth::host::backups::{BackupFault, Plan, keep, listed, make};
use plinth::host::sqlite::Checked;
use plinth::host::sqlite::copy::Copy;
use plinth::host::{Found, ledger_beside, lock, system_clock};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

const HOUR_MS: i64 = 60 * 60 * 1000;

/// A host with so many entries, and a folder for its backups.
async fn with_entries(folder: &Folder, entries: u64) -> (Running, Device, Paired, PathBuf) {
    let running = Running::plain(folder).await;
    let mut device = Device::open(folder, "a");
    let paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
    device.write((0..entries).map(|n| note(n, "kept", 30)).collect());
    assert!(device.sync(&paired).await.unwrap().together);
    let backups = folder.file("backups");
    fs::create_dir(&backups).unwrap();
    (running, device, paired, backups)
}

/// What a backup holds; it is only read.
fn holds(folder: &Folder, backup: &Path) -> Checked {
    Copy::of_file(backup, &folder.file("look")).unwrap().checked().clone()
}

fn files(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> = names.filter(|n| n != "host.lock").collect();
    names.sort();
    names
}

#[tokio::test]
async fn a_backup_is_written_while_the_host_runs_and_restored_with_its_ledger() {
    let folder = Folder::new();
    let (running, mut device, paired, backups) = with_entries(&folder, 30).await;
    let store = folder.file("host");
    // By hand, beside the running host.
    let out = plinth().args(["host", "backup"]).arg(&store).arg(&backups).output().unwrap();
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(out.status.success() && said.contains("Entries: 30, accounts: 1."), "{said}");
    let there = listed(&store, &backups).unwrap();
    let (at_ms, backup) = there.first_key_value().unwrap();
    assert!((now_ms() - at_ms).abs() < 60_000 && there.len() == 1);
    let own = running.host.store.check().await.unwrap();
    assert_eq!(holds(&folder, backup), own, "entries, accounts and digest are those of the store");
    assert_eq!(files(&backups).len(), 2, "a backup and its ledger, and nothing else");
    assert_eq!(fs::read(ledger_beside(backup)).unwrap(), fs::read(ledger_beside(&store)).unwrap());
    running.serving.end().await;
    drop(running.host);
    // The machine is lost.
    for file in ["host", "host-wal", "host-shm", "host.ledger"] {
        let _ = fs::remove_file(folder.file(file));
    }
    let mut restore = plinth();
    restore.args(["host", "restore"]).arg(&store).arg(backup).arg("--ledger").arg(ledger_beside(backup));
    assert!(restore.stdout(Stdio::null()).status().unwrap().success());
    let running = Running::begin(&folder, "host", None, system_clock()).await;
    assert_eq!(running.found, Some(Found::OlderStore));
    let paired = Paired { address: running.address.clone(), ..paired };
    assert!(device.sync(&paired).await.unwrap().together);
    running.serving.end().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_backup_of_a_host_that_is_written_to_all_the_time_is_of_one_moment() {
    let folder = Folder::new();
    let (running, _, _, backups) = with_entries(&folder, 0).await;
    let (store, running) = (folder.file("host"), Arc::new(running));
    let token = running.token("anna", Role::Lifter).await;
    // More than a copy takes at a time.
    let text = "of twenty thousand bytes".repeat(800);
    let push = async |running: &Running, token: &str, first: u64, text: &str| {
        let push = (first..first + 50).map(|n| note(n, text, 5)).collect();
        let answer = running.ask("POST", "/v1/sync", Some(token), Some(request(None, 0, push))).await;
        assert_eq!(answer.0, 200, "{}", answer.1);
    };
    for batch in 0..8 {
        push(&running, &token, 1_000_000 + 50 * batch, &text).await;
    }
    assert!(fs::metadata(&store).unwrap().len() > 6_000_000);
    let over = Arc::new(AtomicBool::new(false));
    let writing = tokio::spawn({
        let (running, over) = (Arc::clone(&running), Arc::clone(&over));
        async move {
            let mut batches = 0;
            while !over.load(Ordering::SeqCst) {
                push(&running, &token, 50 * batches, "written meanwhile").await;
                batches += 1;
            }
            batches
        }
    });
    let mut before = 0;
    for n in 0..4 {
        let (store, backups, at_ms) = (store.clone(), backups.clone(), now_ms() + n * 1_000);
        let made = tokio::task::spawn_blocking(move || make(&store, &backups, at_ms)).await.unwrap().unwrap();
        assert_eq!(made.checked.entries % 50, 0, "a push is whole in it or not there");
        assert!(made.checked.entries >= before && made.checked.entries >= 400);
        before = made.checked.entries;
    }
    over.store(true, Ordering::SeqCst);
    let batches = writing.await.unwrap();
    println!("4 backups while {batches} pushes were taken; the last holds {before} entries");
    assert!(batches > 4 && running.host.store.check().await.unwrap().entries == 400 + 50 * batches);
}

#[tokio::test]
async fn a_year_of_backups_is_thinned_and_the_newest_stays() {
    let folder = Folder::new();
    let (running, _, _, backups) = with_entries(&folder, 3).await;
    let store = folder.file("host");
    let began = now_ms() - 400 * 24 * HOUR_MS;
    let mut removed = 0;
    for day in 0..120 {
        let made = make(&store, &backups, began + day * 24 * HOUR_MS).unwrap();
        assert!(made.path.is_file() && ledger_beside(&made.path).is_file());
        removed += made.removed.len();
        let there = listed(&store, &backups).unwrap();
        assert_eq!(there.last_key_value().unwrap().1, &made.path);
        assert_eq!(files(&backups).len(), 2 * there.len(), "each with its ledger");
    }
    let there = listed(&store, &backups).unwrap();
    assert!((13..=16).contains(&there.len()) && there.len() + removed == 120, "{there:?}");
    for backup in there.values() {
        assert_eq!(holds(&folder, backup).entries, 3);
    }
    // The clock goes back by a year: what is made now stays all the same.
    let early = make(&store, &backups, began - 365 * 24 * HOUR_MS).unwrap();
    assert!(early.path.is_file() && !early.removed.contains(&early.path));
    // What a kill has left is swept away, and what is not ours stays.
    let lefts = ["host.2020-01-01T00-00-00Z.part", "host.2020-01-02T00-00-00Z.ledger"];
    for left in lefts.into_iter().chain(["host.notes", "photo"]) {
        fs::write(backups.join(left), "left").unwrap();
    }
    make(&store, &backups, now_ms()).unwrap();
    let names = files(&backups);
    assert!(names.contains(&"host.notes".to_owned()) && names.contains(&"photo".to_owned()));
    assert!(!names.iter().any(|n| lefts.contains(&n.as_str())), "{names:?}");
    // Two at once do not get into each other's way.
    let held = lock::hold(&backups.join("host")).unwrap().unwrap();
    assert!(matches!(make(&store, &backups, now_ms()), Err(BackupFault::Busy)));
    drop(held);
    running.serving.end().await;
}

#[tokio::test]
async fn a_damaged_store_or_ledger_makes_no_backup() {
    let folder = Folder::new();
    let (running, _, _, backups) = with_entries(&folder, 3).await;
    let store = folder.file("host");
    make(&store, &backups, now_ms() - HOUR_MS).unwrap();
    let before = files(&backups);
    running.serving.end().await;
    drop(running.host);
    let db = rusqlite::Connection::open(&store).unwrap();
    db.execute("UPDATE entry SET body = replace(body, 'kept', 'bent') WHERE number = 2", []).unwrap();
    let fault = make(&store, &backups, now_ms()).unwrap_err().to_string();
    assert!(fault.contains("an entry of anna differs from its digest"), "{fault}");
    db.execute("UPDATE entry SET body = replace(body, 'bent', 'kept') WHERE number = 2", []).unwrap();
    let ledger = ledger_beside(&store);
    let sound = fs::read_to_string(&ledger).unwrap();
    fs::write(&ledger, sound.replace("opened", "opener")).unwrap();
    let fault = make(&store, &backups, now_ms()).unwrap_err().to_string();
    assert!(fault.contains("the ledger does not go with the store"), "{fault}");
    assert_eq!(files(&backups), before, "what was there is there, and nothing else");
    fs::write(&ledger, sound).unwrap();
    make(&store, &backups, now_ms()).unwrap();
}

#[tokio::test]
async fn a_host_makes_them_as_they_are_due_counts_failures_and_tries_again() {
    let folder = Folder::new();
    let (running, _, _, backups) = with_entries(&folder, 3).await;
    let store = folder.file("host");
    let counts = || &running.host.counts;
    // The disk is not there yet.
    fs::remove_dir(&backups).unwrap();
    let plan = Plan::new(&store, &backups, Duration::from_hours(24));
    assert_eq!(plan.again, Duration::from_mins(10));
    let plan = Plan { again: Duration::from_millis(20), ..plan };
    let keeping = tokio::spawn(keep(Arc::clone(&running.host), plan));
    until(|| counts().backups_failed.load(Ordering::Relaxed) >= 3).await;
    fs::create_dir(&backups).unwrap();
    until(|| counts().backup_s.load(Ordering::Relaxed) > 0).await;
    tokio::time::sleep(Duration::from_millis(200)).await;
    assert_eq!(counts().backups_made.load(Ordering::Relaxed), 1, "the next is due tomorrow");
    let text = counts().text();
    assert!(
        text.contains("plinth_backups_made_total 1\n") && text.contains("plinth_backup_seconds 1"),
        "{text}"
    );
    keeping.abort();
    assert_eq!(listed(&store, &backups).unwrap().len(), 1);
    running.serving.end().await;
}

async fn until(holds: impl Fn() -> bool) {
    for _ in 0..2_000 {
        if holds() {
            return;
        }
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
    panic!("it never comes");
}

#[tokio::test]
async fn the_command_makes_one_at_its_start_and_ends_well_meanwhile() {
    let folder = Folder::new();
    let (running, _, _, backups) = with_entries(&folder, 3).await;
    running.serving.end().await;
    drop(running.host);
    let (store, to) = (folder.file("host"), backups.to_str().unwrap());
    let (child, address) = serve(&store, &["--plain", "--backups", to, "--every", "12"]);
    until(|| listed(&store, &backups).unwrap().len() == 1).await;
    let mut way = Way::to(&address, None).unwrap();
    let answer = way.send("GET".parse().unwrap(), "/healthz", &[], Vec::new()).await.unwrap();
    assert_eq!(answer.status, 200);
    end(child);
    // Told to end at once, whatever is under way.
    fs::remove_dir_all(&backups).unwrap();
    fs::create_dir(&backups).unwrap();
    let (child, _) = serve(&store, &["--plain", "--backups", to]);
    end(child);
    for (arguments, wanted) in [
        (["--backups", "/nowhere"].as_slice(), "--backups"),
        (&["--every", "5"], "--backups"),
        (&["--backups", to, "--every", "0"], "--every"),
    ] {
        let out = plinth()
            .arg("serve")
            .arg(&store)
            .args(["--plain", "--listen", "127.0.0.1:0"])
            .args(arguments)
            .stderr(Stdio::piped())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&out.stderr);
        assert!(out.status.code() == Some(2) && said.contains(wanted), "{arguments:?}: {said}");
    }
}

/// F5 for backups: every write and sync in the folder fails in turn, once and from then on.
#[cfg(target_os = "linux")]
#[tokio::test]
async fn f5_a_full_disk_takes_no_backup_away() {
    let tools = plinth_tests::faults::Folder::new();
    let library = plinth_tests::faults::failing_library(&tools);
    let folder = Folder::new();
    let (running, _, _, backups) = with_entries(&folder, 200).await;
    let store = folder.file("host");
    let good = make(&store, &backups, now_ms() - 24 * HOUR_MS).unwrap();
    let (mut runs, mut full) = (0, 0);
    for ever in [false, true] {
        for at in 1.. {
            let mut command = plinth();
            command.args(["host", "backup"]).arg(&store).arg(&backups).stdout(Stdio::null());
            command.env("LD_PRELOAD", &library).env("PLINTH_FAIL_NAME", &backups);
            command.env("PLINTH_FAIL_AT", at.to_string()).env("PLINTH_FAIL_AS", "28");
            if ever {
                command.env("PLINTH_FAIL_EVER", "1");
            }
            let out = command.stderr(Stdio::piped()).output().unwrap();
            let said = String::from_utf8_lossy(&out.stderr);
            runs += 1;
            full += usize::from(said.contains("the disk is full"));
            let there = listed(&store, &backups).unwrap();
            assert_eq!(there.first_key_value().unwrap().1, &good.path, "{at}: the last good one is gone");
            for backup in there.values() {
                assert_eq!(holds(&folder, backup), good.checked, "{at}");
            }
            assert_eq!(files(&backups).len(), 2 * there.len(), "{at}: {:?}", files(&backups));
            for new in there.values().filter(|b| **b != good.path) {
                fs::remove_file(new).unwrap();
                fs::remove_file(ledger_beside(new)).unwrap();
            }
            if out.status.success() {
                assert_eq!(there.len(), 2);
                break;
            }
            assert_eq!((out.status.code(), there.len()), (Some(1), 1), "{at}: {said}");
        }
    }
    running.serving.end().await;
    println!(
        "F5: {runs} backups, another write or sync failing in each; {full} told as a full disk, none lost"
    );
    assert!(full > 10 && runs > 20);
}
