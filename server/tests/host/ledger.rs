//! A restored backup undoes no revocation, no withdrawal and no erasure; without its ledger a store trusts nobody.

use crate::common::{Device, Folder, Running, entry, named, note, now_ms, request};
use plinth::host::account::Role;
use plinth::host::ledger::{Fact, Ledger, LedgerFault};
use plinth::host::sqlite::SqliteStore;
use plinth::host::{Found, Host, ledger_beside, system_clock};
use plinth_core::sync::SyncFaultKind;
use serde_json::json;
use std::fs;

async fn again(folder: &Folder) -> Running {
    Running::begin(folder, "host", None, system_clock()).await
}

fn forget_store(folder: &Folder) {
    for end in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(folder.file(&format!("host{end}")));
    }
}

#[tokio::test]
async fn an_old_backup_with_its_ledger_undoes_nothing() {
    let folder = Folder::new();
    let running = again(&folder).await;
    assert_eq!(running.found, None);
    let (phone, desk) =
        (running.token("anna", Role::Lifter).await, running.token("anna", Role::Lifter).await);
    let (coach, gone) = (running.token("mara", Role::Coach).await, running.token("gone", Role::Lifter).await);
    let from = "2026-01-01T00:00:00.000+00:00";
    let grant = |n| entry(n, "grant", json!({"to": "mara", "may": ["log"], "from": from}), 40);
    let push = request(None, 0, vec![grant(20), note(1, "early", 40)]);
    let (_, answer) = running.ask("POST", "/v1/sync", Some(&phone), Some(push)).await;
    let epoch = answer["epoch"].clone();
    let record = "/v1/lifters/anna/record";
    assert_eq!(running.ask("GET", record, Some(&coach), None).await.0, 200);
    running.host.store.backup(&folder.file("backup")).await.unwrap();
    // After the backup: a grant withdrawn, a device revoked, an account erased.
    let at = json!({"withdrawn_at": "2026-02-01T00:00:00.000+00:00"});
    let push = request(None, 0, vec![entry(20, "grant", at, 30), note(2, "late", 30)]);
    running.ask("POST", "/v1/sync", Some(&desk), Some(push)).await;
    assert_eq!(running.ask("GET", record, Some(&coach), None).await.0, 404);
    let list = running.ask("GET", "/v1/devices", Some(&desk), None).await.1;
    let key = list["devices"].as_array().unwrap().iter().find(|d| d["this"] == false).unwrap()["key"].clone();
    let path = format!("/v1/devices/{}", key.as_str().unwrap());
    assert_eq!(running.ask("DELETE", &path, Some(&desk), None).await.0, 200);
    running.host.erase(&named("gone")).await.unwrap();
    running.serving.end().await;
    drop(running.host);
    forget_store(&folder);
    fs::copy(folder.file("backup"), folder.file("host")).unwrap();
    let running = again(&folder).await;
    assert_eq!(running.found, Some(Found::OlderStore));
    assert_eq!(running.ask("GET", "/v1/devices", Some(&phone), None).await.0, 401, "revoked is revoked");
    assert_eq!(running.ask("GET", "/v1/devices", Some(&gone), None).await.0, 401, "erased is erased");
    assert_eq!(running.ask("GET", record, Some(&coach), None).await.0, 404, "withdrawn is withdrawn");
    let erased = running.host.offer(&named("gone"), Role::Lifter).await.unwrap_err();
    assert_eq!(erased.said.code, "account_erased");
    let (status, answer) =
        running.ask("POST", "/v1/sync", Some(&desk), Some(request(epoch.as_str(), 3, vec![]))).await;
    assert_eq!((status, &answer["differs"]), (200, &json!("epoch")), "a restored store has a new epoch");
    // The lifter grants anew: a later write of the same grant counts.
    let anew = entry(20, "grant", json!({"withdrawn_at": null, "to": "mara"}), 1);
    running.ask("POST", "/v1/sync", Some(&desk), Some(request(None, 0, vec![anew]))).await;
    assert_eq!(running.ask("GET", record, Some(&coach), None).await.0, 200);
    running.serving.end().await;
    drop(running.host);
    let running = again(&folder).await;
    assert_eq!(running.found, None, "opened again as it was left");
    assert_eq!(running.ask("GET", record, Some(&coach), None).await.0, 200);
}

#[tokio::test]
async fn devices_bring_back_what_a_backup_lacks() {
    let folder = Folder::new();
    let running = again(&folder).await;
    let mut device = Device::open(&folder, "a");
    let paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
    device.write((0..50).map(|n| note(n, "early", 30)).collect());
    assert!(device.sync(&paired).await.unwrap().together);
    running.host.store.backup(&folder.file("backup")).await.unwrap();
    device.write((50..90).map(|n| note(n, "late", 20)).collect());
    assert!(device.sync(&paired).await.unwrap().together);
    running.serving.end().await;
    drop(running.host);
    forget_store(&folder);
    fs::copy(folder.file("backup"), folder.file("host")).unwrap();
    let running = again(&folder).await;
    let paired = plinth::client::Paired { address: running.address.clone(), ..paired };
    let told = device.sync(&paired).await.unwrap();
    assert!(told.together && told.sent >= 40, "{told:?}");
    assert_eq!(running.host.store.check().await.unwrap().entries, 90);
}

#[tokio::test]
async fn without_its_own_ledger_everything_is_revoked() {
    for (case, why) in
        [("gone", "not there"), ("other", "another house"), ("older", "older"), ("changed", "line 2")]
    {
        let folder = Folder::new();
        let running = again(&folder).await;
        let (phone, coach) =
            (running.token("anna", Role::Lifter).await, running.token("mara", Role::Coach).await);
        let from = "2026-01-01T00:00:00.000+00:00";
        let grant = entry(20, "grant", json!({"to": "mara", "may": ["log"], "from": from}), 40);
        let (_, answer) =
            running.ask("POST", "/v1/sync", Some(&phone), Some(request(None, 0, vec![grant]))).await;
        let epoch = answer["epoch"].clone();
        let file = ledger_beside(&folder.file("host"));
        let older = fs::read(&file).unwrap();
        running.serving.end().await;
        drop(running.host);
        match case {
            "gone" => fs::remove_file(&file).unwrap(),
            "other" => {
                Running::begin(&folder, "another", None, system_clock()).await.serving.end().await;
                fs::copy(ledger_beside(&folder.file("another")), &file).unwrap();
            }
            "older" => {
                again(&folder).await.serving.end().await;
                fs::write(&file, older).unwrap();
            }
            _ => {
                let text = String::from_utf8(older).unwrap().replace("opened", "opener");
                fs::write(&file, text).unwrap();
            }
        }
        let running = again(&folder).await;
        let Some(Found::NoLedger { why: said, aside }) = &running.found else {
            panic!("{case}: {:?}", running.found);
        };
        assert!(said.contains(why), "{case}: {said}");
        assert_eq!(aside.as_ref().is_some_and(|a| a.exists()), case != "gone", "it is kept aside");
        for token in [&phone, &coach] {
            assert_eq!(running.ask("GET", "/v1/devices", Some(token), None).await.0, 401, "{case}");
        }
        let (phone, coach) =
            (running.token("anna", Role::Lifter).await, running.token("mara", Role::Coach).await);
        assert_eq!(running.ask("GET", "/v1/lifters/anna/record", Some(&coach), None).await.0, 404, "{case}");
        let (_, answer) =
            running.ask("POST", "/v1/sync", Some(&phone), Some(request(epoch.as_str(), 1, vec![]))).await;
        assert_eq!(
            (&answer["differs"], &answer["sums"][0]["count"]),
            (&json!("epoch"), &json!(1)),
            "{case}: no entry is lost"
        );
        running.serving.end().await;
        drop(running.host);
        assert_eq!(again(&folder).await.found, None, "{case}: said once");
    }
}

#[tokio::test]
async fn a_wiped_store_beside_its_ledger_begins_anew() {
    let folder = Folder::new();
    let running = again(&folder).await;
    let mut device = Device::open(&folder, "a");
    let paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
    device.write((0..40).map(|n| note(n, "kept", 30)).collect());
    assert!(device.sync(&paired).await.unwrap().together);
    running.serving.end().await;
    drop(running.host);
    forget_store(&folder);
    let running = again(&folder).await;
    assert_eq!(running.found, Some(Found::NewStore));
    let moved = plinth::client::Paired { address: running.address.clone(), ..paired };
    assert_eq!(device.sync(&moved).await.unwrap_err().kind, SyncFaultKind::Token);
    let paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
    let told = device.sync(&paired).await.unwrap();
    assert!(told.together && told.sent == 40, "{told:?}");
}

#[test]
fn a_line_that_is_changed_lost_or_moved_is_noticed_and_a_torn_end_is_not_believed() {
    let folder = Folder::new();
    let ledger = Ledger::at(&folder.file("ledger"));
    let revoked = |n: u32| Fact::Revoked { account: named("anna"), device: format!("{n:016x}") };
    ledger.add(Fact::House { id: "h".into() }, now_ms()).unwrap();
    for n in 1..5 {
        assert_eq!(ledger.add(revoked(n), now_ms()).unwrap(), u64::from(n) + 1);
    }
    let whole = fs::read_to_string(ledger.path()).unwrap();
    let lines: Vec<&str> = whole.split_inclusive('\n').collect();
    for (case, text) in [
        ("changed", whole.replace("0000000000000002", "0000000000000009")),
        ("lost", [lines[0], lines[1], lines[3], lines[4]].concat()),
        ("moved", [lines[0], lines[2], lines[1], lines[3], lines[4]].concat()),
        ("garbage", format!("{}{}nonsense\n", lines[0], lines[1])),
    ] {
        fs::write(ledger.path(), text).unwrap();
        assert!(matches!(ledger.open(), Err(LedgerFault::Changed(2 | 3))), "{case}");
    }
    for cut in 1..lines[4].len() {
        fs::write(ledger.path(), &whole[..whole.len() - cut]).unwrap();
        assert_eq!(ledger.open().unwrap().lines.len(), 4);
    }
    assert_eq!(ledger.add(revoked(7), now_ms()).unwrap(), 5, "the torn end is written over");
    assert_eq!(ledger.open().unwrap().lines.last().unwrap().fact, revoked(7));
}

#[tokio::test]
async fn who_looks_after_a_running_host_changes_nothing_by_looking() {
    let folder = Folder::new();
    let running = again(&folder).await;
    let house = running.host.house.clone();
    let ledger = || Ledger::at(&ledger_beside(&folder.file("host")));
    let store = SqliteStore::open(&folder.file("host")).unwrap();
    let (beside, apart) = Host::beside(store, ledger(), system_clock()).await.unwrap();
    assert!(!apart && beside.house == house);
    let token = running.token("anna", Role::Lifter).await;
    let key = running.ask("GET", "/v1/devices", Some(&token), None).await.1["devices"][0]["key"].clone();
    beside.revoke(&named("anna"), key.as_str().unwrap(), &named("host")).await.unwrap();
    assert_eq!(
        running.ask("GET", "/v1/devices", Some(&token), None).await.0,
        401,
        "the running host sees it at once"
    );
}
