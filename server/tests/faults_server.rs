//! What becomes of a host: wiped, put back from an old backup, killed; and of a phone that is put back. Nothing that
//! anyone has is lost, and nothing that was taken back comes again.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth::host::account::Role;
use plinth::host::ledger::Ledger;
use plinth::host::sqlite::SqliteStore;
use plinth::host::store::Store as _;
use plinth::host::{Found, Host, ledger_beside, system_clock};
use plinth_core::record::{DeviceId, Edit, EntryId, Kind};
use plinth_core::sync::{PATH, SyncFaultKind, SyncState};
use plinth_tests::faults::{Dice, Folder, count};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader};
use std::net::SocketAddr;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use support::proxy::{Proxy, any_fate};
use support::{
    Device, HOUR_MS, House, MINUTE_MS, any_edit, forget_store, hand, id, named, note, raw, raw_note, request,
    restore,
};

const DAY_MS: i64 = 24 * HOUR_MS;

/// Writes so many random edits on each device and brings them together in turn, each time `round` is one more.
async fn live(house: &House, dice: &mut Dice, devices: &mut [Device], round: &str) {
    for (k, device) in devices.iter_mut().enumerate() {
        for n in 0..5 + dice.below(30) {
            device.write(&any_edit(dice, 60, &format!("{round}: {n} of {k}")));
        }
        device.sync(house.at()).await.unwrap();
    }
}

/// Every entry that any device has, with the word that it must have in the end: the device's own.
fn ids(devices: &[Device]) -> BTreeSet<EntryId> {
    devices.iter().flat_map(|d| d.all().into_iter().map(|e| e.id)).collect()
}

async fn settle(house: &House, account: &str, devices: &mut [Device], what: &str) {
    for _ in 0..3 {
        for device in devices.iter_mut() {
            assert!(device.sync(house.at()).await.unwrap().together, "{what}");
        }
    }
    for device in devices.iter() {
        house.alike(account, device, what).await;
    }
}

fn epoch_of(device: &Device) -> Option<String> {
    SyncState::of(device.store()).unwrap().epoch
}

fn grant_id(n: u64) -> EntryId {
    EntryId::new(1_777_000_000_000 + n, [9; 10])
}

fn grant(n: u64) -> Edit {
    Edit { id: grant_id(n), kind: Kind::Grant, fields: BTreeMap::new() }
        .with("to", "mara".into())
        .with("may", json!(["log"]))
}

fn withdrawal(n: u64) -> Edit {
    Edit { id: grant_id(n), kind: Kind::Grant, fields: BTreeMap::new() }
        .with("withdrawn_at", "2026-05-03T12:00:00Z".into())
}

async fn wiped(dice: &mut Dice, ledger_too: bool, what: &str) {
    let folder = Folder::in_memory();
    let house = House::open(&folder, "host", &hand()).await;
    let mut devices = Vec::new();
    for name in ["a", "b"] {
        devices.push(Device::paired(folder.file(name), &house, "anna").await);
    }
    live(&house, dice, &mut devices, "before").await;
    settle(&house, "anna", &mut devices, what).await;
    let had = ids(&devices);
    let house = house
        .again(|file| {
            forget_store(file);
            if ledger_too {
                std::fs::remove_file(ledger_beside(file)).unwrap();
            }
        })
        .await;
    assert_eq!(house.found, (!ledger_too).then_some(Found::NewStore), "{what}: it is told");
    devices[0].write(&[note(900, "meanwhile")]);
    for device in &mut devices {
        let (was, held) = (epoch_of(device), device.store().count().unwrap());
        let fault = device.sync(house.at()).await.unwrap_err();
        assert_eq!(
            fault.kind,
            SyncFaultKind::Token,
            "{what}: a token of a store that is gone counts no more"
        );
        device.pair(&house, "anna").await;
        let told = device.sync(house.at()).await.unwrap();
        assert!(told.together, "{what}: {told:?}");
        assert_ne!(epoch_of(device), was, "{what}: the epoch is another");
        assert!(device.store().count().unwrap() >= held, "{what}: nothing is wiped");
    }
    settle(&house, "anna", &mut devices, what).await;
    let there: BTreeSet<EntryId> = house.entries("anna").await.into_iter().map(|e| e.id).collect();
    assert!(there.is_superset(&had) && there.contains(&id(900)), "{what}: all is uploaded again");
    house.sound().await;
}

async fn put_back(dice: &mut Dice, by_backup: bool, what: &str) {
    let folder = Folder::in_memory();
    let mut house = House::open(&folder, "host", &hand()).await;
    let mut devices = Vec::new();
    for name in ["a", "b", "lost"] {
        devices.push(Device::paired(folder.file(name), &house, "anna").await);
    }
    let mut gone = Device::paired(folder.file("gone"), &house, "gone").await;
    gone.write(&[note(1, "to be erased")]);
    gone.sync(house.at()).await.unwrap();
    let mara = house.token("mara", Role::Coach, DeviceId::new(77)).await;
    devices[0].write(&[grant(1)]);
    devices[0].write(&[grant(2)]);
    live(&house, dice, &mut devices, "before").await;
    settle(&house, "anna", &mut devices, what).await;
    let seen = raw::ask(house.at(), "GET", "/v1/lifters/anna/record", Some(&mara), b"").await;
    assert_eq!(seen.status, 200, "{what}: {}", seen.body);
    // The backup: by the host's own command, or a bare copy of its file.
    let backup = folder.file("backup");
    if by_backup {
        house.host.store.backup(&backup).await.unwrap();
    } else {
        house = house.again(|file| restore(file, &backup)).await;
    }
    house.pass(3 * DAY_MS);
    // After it: more edits, a lost device revoked, every grant withdrawn, an account erased, a device paired.
    live(&house, dice, &mut devices, "after").await;
    let lost = devices.pop().unwrap();
    let keys = house.host.store.devices(&named("anna")).await.unwrap();
    let this = plinth::host::account::hashed(lost.token.split_once('.').unwrap().1);
    let key = keys.iter().find(|d| d.token == this).unwrap().key.clone();
    house.host.revoke(&named("anna"), &key, &named("anna")).await.unwrap();
    devices[0].write(&[withdrawal(1), Edit::delete(grant_id(2), Kind::Grant)]);
    devices[0].sync(house.at()).await.unwrap();
    house.host.erase(&named("gone")).await.unwrap();
    devices.push(Device::paired(folder.file("new"), &house, "anna").await);
    live(&house, dice, &mut devices, "later").await;
    settle(&house, "anna", &mut devices, what).await;
    let (had, was) = (ids(&devices), epoch_of(&devices[0]));

    let house = house.again(|file| restore(&backup, file)).await;
    assert_eq!(house.found, Some(Found::OlderStore), "{what}: it is told");
    assert_ne!(Some(&house.host.house.epoch), was.as_ref(), "{what}: the epoch is another");
    // What was taken back stays so, before anyone has synced.
    let mut lost = lost;
    assert_eq!(lost.sync(house.at()).await.unwrap_err().kind, SyncFaultKind::Token, "{what}: revoked");
    let seen = raw::ask(house.at(), "GET", "/v1/lifters/anna/record", Some(&mara), b"").await;
    assert_eq!((seen.status, seen.code().as_str()), (404, "not_granted"), "{what}: withdrawn");
    assert_eq!(gone.sync(house.at()).await.unwrap_err().kind, SyncFaultKind::Token, "{what}: erased");
    assert!(house.entries("gone").await.is_empty(), "{what}: erased");
    let again = house.host.offer(&named("gone"), Role::Lifter).await;
    assert_eq!(again.unwrap_err().said.code, "account_erased", "{what}");
    // The device of after the backup pairs anew; the others go on by themselves.
    let new = devices.last_mut().unwrap();
    assert_eq!(new.sync(house.at()).await.unwrap_err().kind, SyncFaultKind::Token, "{what}");
    new.pair(&house, "anna").await;
    settle(&house, "anna", &mut devices, what).await;
    assert_eq!(ids(&devices), had, "{what}: nothing is wiped");
    let there: BTreeSet<EntryId> = house.entries("anna").await.into_iter().map(|e| e.id).collect();
    assert_eq!(there, had, "{what}: all is uploaded again");
    let seen = raw::ask(house.at(), "GET", "/v1/lifters/anna/record", Some(&mara), b"").await;
    assert_eq!(seen.status, 404, "{what}: withdrawn still");
    // And a host without its ledger lets nobody in on an old word.
    let house = house.again(|file| std::fs::remove_file(ledger_beside(file)).unwrap()).await;
    assert!(matches!(house.found, Some(Found::NoLedger { .. })), "{what}");
    assert_eq!(devices[0].sync(house.at()).await.unwrap_err().kind, SyncFaultKind::Token, "{what}");
    for device in &mut devices {
        device.pair(&house, "anna").await;
    }
    settle(&house, "anna", &mut devices, what).await;
    house.sound().await;
}

async fn phone_put_back(dice: &mut Dice, before_its_first: bool, what: &str) {
    let folder = Folder::in_memory();
    let house = House::open(&folder, "host", &hand()).await;
    let mut a = Device::paired(folder.file("a"), &house, "anna").await;
    let b = Device::paired(folder.file("b"), &house, "anna").await;
    let copy = folder.file("copy");
    if before_its_first {
        a.write(&[note(700, "only in the copy")]);
        a.copy_to(&copy);
    }
    let mut devices = [a, b];
    live(&house, dice, &mut devices, "before").await;
    settle(&house, "anna", &mut devices, what).await;
    if !before_its_first {
        // What waited when the copy was made is in no other place.
        devices[0].write(&[note(700, "only in the copy")]);
        devices[0].copy_to(&copy);
    }
    for round in 0..3 {
        live(&house, dice, &mut devices, &format!("after {round}")).await;
    }
    settle(&house, "anna", &mut devices, what).await;
    let (had, was) = (ids(&devices), devices[0].store().device());
    devices[0].put_back(&copy);
    assert_eq!(devices[0].store().device(), was, "a bare copy keeps the identity");
    devices[0].write(&[note(800, "after it was put back")]);
    let told = devices[0].sync(house.at()).await.unwrap();
    assert!(told.together, "{what}: {told:?}");
    assert_ne!(devices[0].store().device(), was, "{what}: it takes a new identity");
    settle(&house, "anna", &mut devices, what).await;
    let now = ids(&devices);
    assert!(now.is_superset(&had) && now.contains(&id(700)) && now.contains(&id(800)), "{what}");
    house.sound().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f11_wiped_or_put_back_is_noticed_and_all_is_uploaded_again() {
    let mut dice = Dice::new("F11");
    let (began, seeds) = (Instant::now(), count(3, 20));
    for _ in 0..seeds {
        let seed = dice.roll();
        let mut dice = Dice::seeded(seed);
        wiped(&mut dice, false, &format!("wiped, seed {seed}")).await;
        wiped(&mut dice, true, &format!("wiped with its ledger, seed {seed}")).await;
        put_back(&mut dice, true, &format!("put back from a backup, seed {seed}")).await;
        put_back(&mut dice, false, &format!("put back from a copy, seed {seed}")).await;
        phone_put_back(&mut dice, false, &format!("phone put back, seed {seed}")).await;
        phone_put_back(&mut dice, true, &format!("phone put back to before its first sync, seed {seed}"))
            .await;
    }
    println!(
        "F11: {seeds} seeds of 6 scenarios: host wiped (2), host put back (2), phone put back (2); each noticed, all \
         uploaded again, revoked and withdrawn and erased stay so ({:.1} s)",
        began.elapsed().as_secs_f64()
    );
}

/// The real host, as a process of its own.
struct Process {
    child: Child,
    at: SocketAddr,
}

impl Process {
    fn begin(store: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_plinth"))
            .arg("serve")
            .arg(store)
            .args(["--plain", "--listen", "127.0.0.1:0"])
            .env("LANG", "C")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let line = lines.map(Result::unwrap).find(|l| l.contains("http://")).unwrap();
        let at = line.split("http://").nth(1).unwrap();
        let end = at.find(|c: char| c != '.' && c != ':' && !c.is_ascii_digit()).unwrap_or(at.len());
        let at = at[..end].trim_end_matches('.').parse().unwrap();
        Self { child, at }
    }

    /// SIGKILL, to this child alone.
    fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

/// Entries of one push.
const OF_A_PUSH: u64 = 50;

fn ids_of(batch: u64) -> Vec<EntryId> {
    (batch * OF_A_PUSH..(batch + 1) * OF_A_PUSH).map(id).collect()
}

fn push_of(batch: u64) -> Vec<u8> {
    let now = system_clock()() - 5 * MINUTE_MS;
    let push: Vec<Value> =
        (batch * OF_A_PUSH..(batch + 1) * OF_A_PUSH).map(|n| raw_note(n, "kept", now)).collect();
    serde_json::to_vec(&request(&push)).unwrap()
}

/// Pushes batches until the host is gone; says which were begun, with their bodies, and which were answered.
async fn push_on(at: SocketAddr, token: String, first: u64) -> (Vec<(u64, Vec<u8>)>, BTreeSet<u64>) {
    let (mut begun, mut answered) = (Vec::new(), BTreeSet::new());
    for batch in first..first + 2_000 {
        let body = push_of(batch);
        let said = raw::ask(at, "POST", PATH, Some(&token), &body).await;
        begun.push((batch, body));
        if said.status != 200 {
            break;
        }
        answered.insert(batch);
    }
    (begun, answered)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f15_a_kill_in_mid_upload_of_two_devices_leaves_no_half_batch() {
    const OF_A_STORE: usize = 25;
    let mut dice = Dice::new("F15");
    let (from, kills) = (Instant::now(), count(20, 500));
    let (mut all_begun, mut all_answered, mut unanswered_there) = (0, 0, 0);
    let mut left = kills;
    while left > 0 {
        let folder = Folder::new();
        let store = folder.file("host");
        let mut process = Process::begin(&store);
        let mut tokens = Vec::new();
        for _ in 0..2 {
            let ledger = Ledger::at(&ledger_beside(&store));
            let (beside, apart) =
                Host::beside(SqliteStore::open(&store).unwrap(), ledger, system_clock()).await.unwrap();
            assert!(!apart);
            let code = beside.offer(&named("anna"), Role::Lifter).await.unwrap();
            let body = json!({ "code": code, "device": "00000000000000aa", "name": "phone", "app": "0.1.0" });
            let said = raw::ask(process.at, "POST", "/v1/pair", None, body.to_string().as_bytes()).await;
            let told: Value = serde_json::from_str(&said.body).unwrap();
            tokens.push(told["token"].as_str().unwrap().to_owned());
        }
        let mut whole = BTreeSet::new();
        for kill in 0..left.min(OF_A_STORE) as u64 {
            left -= 1;
            let first = kill * 10_000;
            // Two devices at once, in two ranges of ids.
            let one = tokio::spawn(push_on(process.at, tokens[0].clone(), first));
            let other = tokio::spawn(push_on(process.at, tokens[1].clone(), first + 5_000));
            tokio::time::sleep(Duration::from_micros(5_000 + dice.roll() % 120_000)).await;
            process.kill();
            let (mut begun, mut answered) = one.await.unwrap();
            let (more, others) = other.await.unwrap();
            begun.extend(more);
            answered.extend(others);
            let there = SqliteStore::open(&store).unwrap();
            let checked = there.check().await.unwrap();
            assert_eq!(checked.faults, Vec::<String>::new());
            for (batch, _) in &begun {
                let held = there.load(&named("anna"), ids_of(*batch)).await.unwrap().held.len() as u64;
                assert!(held == 0 || held == OF_A_PUSH, "half a batch: {held} of {OF_A_PUSH}");
                assert!(held == OF_A_PUSH || !answered.contains(batch), "an answered batch is gone");
                unanswered_there += u64::from(held > 0 && !answered.contains(batch));
            }
            drop(there);
            process = Process::begin(&store);
            // All of it once more, answered or not: harmless.
            for (batch, body) in &begun {
                let said = raw::ask(process.at, "POST", PATH, Some(&tokens[0]), body).await;
                assert_eq!(said.status, 200, "{}", said.body);
                whole.insert(*batch);
            }
            all_begun += begun.len();
            all_answered += answered.len();
            let there = SqliteStore::open(&store).unwrap();
            let head = there.head(&named("anna"), DeviceId::new(0), "").await.unwrap();
            let wanted = whole.len() as u64 * OF_A_PUSH;
            assert_eq!((head.count(), head.number), (wanted, wanted), "each entry once, changed once");
        }
        // A real device gets all of it.
        let mut device = Device::new(folder.file("a"), &hand());
        device.hand.store(system_clock()(), std::sync::atomic::Ordering::SeqCst);
        device.token.clone_from(&tokens[0]);
        let told = device.sync(process.at).await.unwrap();
        assert!(told.together && told.received == whole.len() as u64 * OF_A_PUSH, "{told:?}");
        process.kill();
    }
    println!(
        "F15: {kills} kills of the host with two devices in mid-upload; {all_begun} pushes begun, {all_answered} \
         answered and all there, {unanswered_there} there unanswered, none half; replay harmless ({:.1} s)",
        from.elapsed().as_secs_f64()
    );
    assert!(all_answered > 0);
}

/// Many devices of several lifters; a backup three days old is put back under them on a bad way.
async fn many(dice: &mut Dice, lifters: usize, of_each: usize, days: i64) -> (u64, u32) {
    let folder = Folder::in_memory();
    let mut house = House::open(&folder, "host", &hand()).await;
    let proxy = Proxy::begin(house.at()).await;
    let account = |l: usize| format!("lifter-{l}");
    let mara = house.token("mara", Role::Coach, DeviceId::new(77)).await;
    let mut groups: Vec<Vec<Device>> = Vec::new();
    for l in 0..lifters {
        let mut group = Vec::new();
        for n in 0..of_each {
            let mut device = Device::paired(folder.file(&format!("{l}-{n}")), &house, &account(l)).await;
            device.skew_ms = [0, -HOUR_MS, HOUR_MS, MINUTE_MS][dice.below(4)];
            group.push(device);
        }
        group[0].write(&[grant(1)]);
        groups.push(group);
    }
    let mut written: Vec<BTreeSet<EntryId>> = vec![[grant_id(1)].into(); lifters];
    let mut fates = Dice::seeded(dice.roll());
    proxy.fates(move |_| any_fate(&mut fates, 4));
    let backup = folder.file("backup");
    for day in 0..days {
        for (l, group) in groups.iter_mut().enumerate() {
            for (n, device) in group.iter_mut().enumerate() {
                for k in 0..=dice.below(6) {
                    let edit = any_edit(dice, 200, &format!("day {day}, {k} of {l}-{n}"));
                    written[l].extend(edit.iter().map(|e| e.id));
                    device.write(&edit);
                }
                // Not every device finds the host every day.
                if dice.below(3) > 0
                    && let Err(fault) = device.sync(proxy.at).await
                {
                    assert_eq!(fault.kind, SyncFaultKind::Later, "{fault}");
                }
            }
        }
        if day == days - 4 {
            for group in &mut groups {
                group[0].sync_until_done(proxy.at, 50).await;
            }
            house.host.store.backup(&backup).await.unwrap();
        }
        house.pass(DAY_MS);
    }
    // Within the three days: each lifter's last device is revoked, and each grant withdrawn.
    let mut revoked = Vec::new();
    for (l, group) in groups.iter_mut().enumerate() {
        // It hands over what it has first: afterwards nobody takes it.
        let mut last = group.pop().unwrap();
        last.sync_until_done(proxy.at, 50).await;
        let this = plinth::host::account::hashed(last.token.split_once('.').unwrap().1);
        let devices = house.host.store.devices(&named(&account(l))).await.unwrap();
        let key = &devices.iter().find(|d| d.token == this).unwrap().key;
        house.host.revoke(&named(&account(l)), key, &named(&account(l))).await.unwrap();
        for device in group.iter_mut() {
            device.sync_until_done(proxy.at, 50).await;
        }
        group[0].write(&[withdrawal(1)]);
        group[0].sync_until_done(proxy.at, 50).await;
        revoked.push(last);
    }
    house = house.again(|file| restore(&backup, file)).await;
    proxy.aim(house.at());
    assert_eq!(house.found, Some(Found::OlderStore));
    let held = async |house: &House, revoked: &mut Vec<Device>| {
        for (l, device) in revoked.iter_mut().enumerate() {
            let fault = device.sync(house.at()).await.unwrap_err();
            assert_eq!(fault.kind, SyncFaultKind::Token, "revoked stays revoked");
            let path = format!("/v1/lifters/{}/record", account(l));
            let seen = raw::ask(house.at(), "GET", &path, Some(&mara), b"").await;
            assert_eq!(
                (seen.status, seen.code().as_str()),
                (404, "not_granted"),
                "withdrawn stays withdrawn"
            );
        }
    };
    held(&house, &mut revoked).await;
    // All of them at once, on the bad way, and edits go on.
    for round in 0..2 {
        let mut together = tokio::task::JoinSet::new();
        for (l, group) in groups.iter_mut().enumerate() {
            for (n, mut device) in group.drain(..).enumerate() {
                let edit = any_edit(dice, 200, &format!("round {round} of {l}-{n}"));
                written[l].extend(edit.iter().map(|e| e.id));
                device.write(&edit);
                let at = proxy.at;
                together.spawn(async move {
                    device.sync_until_done(at, 200).await;
                    (l, device)
                });
            }
        }
        while let Some(done) = together.join_next().await {
            let (l, device) = done.unwrap();
            groups[l].push(device);
        }
    }
    let mut entries = 0;
    for (l, group) in groups.iter_mut().enumerate() {
        settle(&house, &account(l), group, &account(l)).await;
        let there: BTreeSet<EntryId> = house.entries(&account(l)).await.into_iter().map(|e| e.id).collect();
        assert_eq!(there, written[l], "{}: an entry is lost", account(l));
        entries += there.len() as u64;
    }
    held(&house, &mut revoked).await;
    house.sound().await;
    (entries, proxy.bad())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f11_many_devices_converge_over_a_backup_of_three_days_ago() {
    let mut dice = Dice::new("F11");
    let began = Instant::now();
    let (lifters, of_each) = if count(0, 1) == 1 { (8, 5) } else { (2, 4) };
    let (entries, bad) = many(&mut dice, lifters, of_each, 6).await;
    println!(
        "F11: {} devices of {lifters} lifters over a backup of three days ago, {bad} bad requests; {entries} entries, \
         none lost, alike, revoked and withdrawn stay so ({:.1} s)",
        lifters * of_each,
        began.elapsed().as_secs_f64()
    );
    assert!(bad > 0);
}
