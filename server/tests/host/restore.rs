//! A backup is put in the store's place by one command: checked first, never over a running host, and whole whenever
//! the power goes.

use crate::common::{Device, Folder, Running, named, note, now_ms};
use crate::process::{end, plinth, serve};
use plinth::client::Paired;
use plinth::host::account::Role;
use plinth::host::ledger::{Fact, Ledger};
use plinth::host::sqlite::{SqliteStore, swap};
use plinth::host::store::Store as _;
use plinth::host::{Found, ledger_beside, system_clock};
use plinth_core::sync::SyncFaultKind;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};

async fn again(folder: &Folder) -> Running {
    Running::begin(folder, "host", None, system_clock()).await
}

async fn close(running: Running) {
    running.serving.end().await;
    drop(running.host);
}

fn restore(folder: &Folder, from: &str, arguments: &[&str]) -> Output {
    let mut command = plinth();
    command.args(["host", "restore"]).arg(folder.file("host")).arg(folder.file(from)).args(arguments);
    command.stderr(Stdio::piped()).output().unwrap()
}

/// What a command that went well has said, its lines joined.
fn went_well(out: &Output) -> String {
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8_lossy(&out.stdout).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn refused(out: &Output, code: i32, wanted: &str) {
    let said = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(code), "{said}");
    assert!(said.contains(wanted), "{said}");
}

/// The stores that were set aside.
fn aside(folder: &Folder) -> Vec<PathBuf> {
    let files = fs::read_dir(folder.file("")).unwrap().map(|e| e.unwrap().path());
    let store = |p: &PathBuf| {
        let name = p.file_name().unwrap().to_string_lossy();
        name.strip_prefix("host.aside-").is_some_and(|ms| ms.parse::<i64>().is_ok())
    };
    files.filter(store).collect()
}

async fn entries_of(store: &Path) -> u64 {
    let checked = SqliteStore::open(store).unwrap().check().await.unwrap();
    assert_eq!(checked.faults, Vec::<String>::new(), "{}", store.display());
    checked.entries
}

/// A host with a backup of ten entries, and ten more since; its device, and what it was paired with.
async fn with_backup(folder: &Folder) -> (Device, Paired) {
    let running = again(folder).await;
    let mut device = Device::open(folder, "a");
    let paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
    device.write((0..10).map(|n| note(n, "early", 30)).collect());
    assert!(device.sync(&paired).await.unwrap().together);
    running.host.store.backup(&folder.file("backup")).await.unwrap();
    fs::copy(ledger_beside(&folder.file("host")), folder.file("backup.ledger")).unwrap();
    device.write((10..20).map(|n| note(n, "late", 20)).collect());
    assert!(device.sync(&paired).await.unwrap().together);
    close(running).await;
    (device, paired)
}

#[tokio::test]
async fn a_backup_is_put_in_place_and_the_devices_bring_back_the_rest() {
    let folder = Folder::new();
    let (mut device, paired) = with_backup(&folder).await;
    let said = went_well(&restore(&folder, "backup", &[]));
    assert!(said.contains("Entries: 10, accounts: 1.") && said.contains("takes a new epoch"), "{said}");
    let set_aside = aside(&folder);
    assert_eq!(set_aside.len(), 1);
    assert_eq!(entries_of(&set_aside[0]).await, 20, "the store that was there is whole");
    let running = again(&folder).await;
    assert_eq!(running.found, Some(Found::OlderStore));
    let paired = Paired { address: running.address.clone(), ..paired };
    let told = device.sync(&paired).await.unwrap();
    assert!(told.together, "{told:?}");
    assert_eq!(running.host.store.check().await.unwrap().entries, 20);
    close(running).await;
    // The newest copy can be put back as often as is liked; each store that was there is kept.
    went_well(&restore(&folder, "backup", &[]));
    assert_eq!(aside(&folder).len(), 2);
}

#[tokio::test]
async fn nothing_is_put_under_a_running_host_and_nothing_that_is_no_sound_backup() {
    let folder = Folder::new();
    with_backup(&folder).await;
    let store = folder.file("host");
    let (child, _) = serve(&store, &["--plain"]);
    refused(&restore(&folder, "backup", &[]), 2, "a host holds this store");
    let mut second = plinth();
    second.arg("serve").arg(&store).args(["--plain", "--listen", "127.0.0.1:0"]).stderr(Stdio::piped());
    refused(&second.output().unwrap(), 2, "a host holds this store already");
    end(child);
    let before = fs::read(&store).unwrap();
    // A bit of an entry's text, and one of the tree of pages.
    let sound = fs::read(folder.file("backup")).unwrap();
    let text = sound.windows(5).position(|w| w == b"early").unwrap();
    for (name, at) in [("text", text), ("tree", 4096 * 2)] {
        let mut bent = sound.clone();
        bent[at] ^= 1;
        fs::write(folder.file(name), bent).unwrap();
        refused(&restore(&folder, name, &[]), 1, "the backup is damaged");
    }
    fs::write(folder.file("text-file"), "no store at all, however long it may be").unwrap();
    refused(&restore(&folder, "text-file", &[]), 2, "is not the store of a host");
    refused(&restore(&folder, "a", &[]), 2, "is not the store of a host");
    refused(&restore(&folder, "nowhere", &[]), 2, "there is no backup");
    fs::copy(folder.file("backup"), folder.file("newer")).unwrap();
    rusqlite::Connection::open(folder.file("newer"))
        .unwrap()
        .pragma_update(None, "user_version", 99)
        .unwrap();
    refused(&restore(&folder, "newer", &[]), 2, "is of version 99");
    refused(&restore(&folder, "backup", &["--ledger", "/nowhere/ledger"]), 2, "there is no ledger");
    let garbage = folder.file("garbage.ledger");
    fs::write(&garbage, "{}\n").unwrap();
    refused(&restore(&folder, "backup", &["--ledger", garbage.to_str().unwrap()]), 2, "not what was written");
    assert_eq!(fs::read(&store).unwrap(), before, "nothing was changed");
    assert!(aside(&folder).is_empty() && !swap::fresh(&store).exists());
}

#[tokio::test]
async fn a_lost_machine_comes_back_with_the_ledger_that_was_kept_beside_the_backup() {
    let folder = Folder::new();
    let (mut device, paired) = with_backup(&folder).await;
    for file in ["host", "host-wal", "host-shm", "host.ledger"] {
        let _ = fs::remove_file(folder.file(file));
    }
    let said = went_well(&restore(&folder, "backup", &[]));
    assert!(said.contains("revokes every token") && said.contains("--ledger FILE"), "{said}");
    let ledger = folder.file("backup.ledger");
    let given = ["--ledger", ledger.to_str().unwrap()];
    let said = went_well(&restore(&folder, "backup", &given));
    assert!(said.contains("is in place") && said.contains("takes a new epoch"), "{said}");
    let running = again(&folder).await;
    assert_eq!(running.found, Some(Found::OlderStore), "the ledger is believed");
    let paired = Paired { address: running.address.clone(), ..paired };
    assert!(device.sync(&paired).await.unwrap().together, "its token counts still");
    assert_eq!(running.host.store.check().await.unwrap().entries, 20);
    // The ledger that says more stays, whatever is given.
    let key = running.host.store.devices(&named("anna")).await.unwrap()[0].key.clone();
    running.host.revoke(&named("anna"), &key, &named("host")).await.unwrap();
    close(running).await;
    let said = went_well(&restore(&folder, "backup", &given));
    assert!(said.contains("says as much as the one that was given"), "{said}");
    let running = again(&folder).await;
    let paired = Paired { address: running.address.clone(), ..paired };
    assert_eq!(device.sync(&paired).await.unwrap_err().kind, SyncFaultKind::Token, "revoked is revoked");
    close(running).await;
    // Without any, everything is revoked, and no entry is lost.
    fs::remove_file(folder.file("host.ledger")).unwrap();
    went_well(&restore(&folder, "backup", &[]));
    let running = again(&folder).await;
    assert!(matches!(running.found, Some(Found::NoLedger { .. })));
    assert_eq!(running.host.store.check().await.unwrap().entries, 10);
    close(running).await;
}

#[tokio::test]
async fn of_two_ledgers_the_one_that_says_more_is_used_and_neither_where_they_part() {
    let folder = Folder::new();
    with_backup(&folder).await;
    let (present, kept) = (folder.file("host.ledger"), folder.file("backup.ledger"));
    let given = ["--ledger", kept.to_str().unwrap()];
    let revoked = |n: u32| Fact::Revoked { account: named("anna"), device: format!("{n:016x}") };
    // The one that is given goes on where the present one ends: the machine that was lost had a copy of itself.
    Ledger::at(&kept).add(revoked(1), now_ms()).unwrap();
    went_well(&restore(&folder, "backup", &given));
    assert_eq!(fs::read(&present).unwrap(), fs::read(&kept).unwrap());
    let asides = fs::read_dir(folder.file(""))
        .unwrap()
        .filter(|e| e.as_ref().unwrap().file_name().to_string_lossy().starts_with("host.ledger.aside-"));
    assert_eq!(asides.count(), 1, "the one that was there is kept");
    // Each says what the other does not: nobody can say which revocation to forget.
    Ledger::at(&present).add(revoked(2), now_ms()).unwrap();
    Ledger::at(&kept).add(revoked(3), now_ms()).unwrap();
    let before = (fs::read(&present).unwrap(), fs::read(folder.file("host")).unwrap());
    refused(&restore(&folder, "backup", &given), 2, "each say what the other does not");
    assert_eq!((fs::read(&present).unwrap(), fs::read(folder.file("host")).unwrap()), before);
}

/// The disk is full at any write of it: nothing is changed, and it is told so.
#[cfg(target_os = "linux")]
#[tokio::test]
async fn f5_a_restore_on_a_full_disk_changes_nothing() {
    let tools = plinth_tests::faults::Folder::new();
    let library = plinth_tests::faults::failing_library(&tools);
    let folder = Folder::new();
    with_backup(&folder).await;
    let (store, ledger) = (folder.file("host"), folder.file("host.ledger"));
    // A ledger of another house is exchanged as well.
    close(Running::begin(&folder, "other", None, system_clock()).await).await;
    fs::copy(folder.file("other.ledger"), &ledger).unwrap();
    let before = (fs::read(&store).unwrap(), fs::read(&ledger).unwrap());
    let (mut failed, mut full) = (0, 0);
    for at in 1.. {
        let mut command = plinth();
        command.args(["host", "restore"]).arg(&store).arg(folder.file("backup"));
        command
            .arg("--ledger")
            .arg(folder.file("backup.ledger"))
            .stdout(Stdio::null())
            .stderr(Stdio::piped());
        command.env("LD_PRELOAD", &library).env("PLINTH_FAIL_NAME", &store);
        command.env("PLINTH_FAIL_AT", at.to_string()).env("PLINTH_FAIL_AS", "28");
        let out = command.output().unwrap();
        if out.status.success() {
            break;
        }
        let said = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(1), "{at}: {said}");
        failed += 1;
        full += usize::from(said.contains("the disk is full") || said.contains("No space left"));
        assert_eq!((fs::read(&store).unwrap(), fs::read(&ledger).unwrap()), before, "{at}");
        assert!(aside(&folder).is_empty(), "{at}");
    }
    println!(
        "F5: a restore failed at {failed} writes and syncs, {full} told as a full disk; nothing changed"
    );
    assert!(full > 5);
    assert_eq!(entries_of(&store).await, 10);
}

#[cfg(target_os = "linux")]
#[tokio::test]
async fn a_kill_at_any_step_leaves_the_store_that_was_there_or_the_whole_copy() {
    let tools = plinth_tests::faults::Folder::new();
    let library = plinth_tests::faults::failing_library(&tools);
    let template = Folder::new();
    with_backup(&template).await;
    // While it runs it has a log that is not yet written back.
    let running = again(&template).await;
    assert!(fs::metadata(template.file("host-wal")).unwrap().len() > 0);
    close(Running::begin(&template, "other", None, system_clock()).await).await;
    let files = || fs::read_dir(template.file("")).unwrap().map(|e| e.unwrap().path());
    let (mut kept, mut put) = (0, 0);
    for at in 1.. {
        let folder = Folder::new();
        for file in files().filter(|f| f.is_file()) {
            fs::copy(&file, folder.file(file.file_name().unwrap().to_str().unwrap())).unwrap();
        }
        // The ledger is another's, so that it is exchanged as well.
        fs::copy(template.file("other.ledger"), folder.file("host.ledger")).unwrap();
        let mut command = plinth();
        command.args(["host", "restore"]).arg(folder.file("host")).arg(folder.file("backup"));
        command.arg("--ledger").arg(folder.file("backup.ledger"));
        command.env("LD_PRELOAD", &library).env("PLINTH_FAIL_NAME", folder.file("host"));
        command.env("PLINTH_FAIL_AT", at.to_string()).env("PLINTH_FAIL_KILL", "1").stdout(Stdio::null());
        let whole = command.status().unwrap().success();
        // What the next start does first.
        let store = folder.file("host");
        swap::finish(&store, 1).unwrap();
        let there = entries_of(&store).await;
        match there {
            20 => {
                kept += 1;
                let ledgers = ["host.ledger", "other.ledger"].map(|l| fs::read(folder.file(l)).unwrap());
                assert_eq!(ledgers[0], ledgers[1], "{at}: the store is there without its ledger");
            }
            10 => {
                put += 1;
                let set_aside = aside(&folder);
                assert_eq!(entries_of(&set_aside[0]).await, 20, "{at}: the store that was there is whole");
                let ledgers = ["host.ledger", "backup.ledger"].map(|l| fs::read(folder.file(l)).unwrap());
                assert_eq!(ledgers[0], ledgers[1], "{at}: the copy is there without its ledger");
            }
            n => panic!("{at}: {n} entries"),
        }
        // And the command again brings it to its end.
        let ledger = folder.file("backup.ledger");
        went_well(&restore(&folder, "backup", &["--ledger", ledger.to_str().unwrap()]));
        let running = again(&folder).await;
        assert_eq!(running.found, Some(Found::OlderStore), "{at}");
        assert_eq!(running.host.store.check().await.unwrap().entries, 10);
        close(running).await;
        if whole {
            break;
        }
    }
    close(running).await;
    println!(
        "restore: killed at {} steps; {kept} times as before, {put} times the copy, never neither",
        kept + put - 1
    );
    assert!(kept > 5 && put > 1);
}
