//! Bits flip in a host's store: what is good stays, what is not is left out, and the devices bring everything back.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth::host::account::Role;
use plinth::host::ledger_beside;
use plinth::host::lock::hold;
use plinth::host::sqlite::SqliteStore;
use plinth::host::store::Store as _;
use plinth_core::record::{DeviceId, Edit, EntryId, Kind};
use plinth_core::sync::{Limits, SyncFaultKind};
use plinth_tests::faults::{Dice, Folder, count};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Instant;
use support::{BEGAN_MS, Device, Hand, House, hand, id, named, note};

/// Devices with their accounts: two of one lifter, one of another whose name is one bit away.
const DEVICES: [(&str, &str); 3] = [("a", "anna"), ("b", "anna"), ("c", "anne")];

/// A store with its devices, all of which hold what it holds; nothing runs on it.
struct Whole {
    folder: Folder,
    hand: Hand,
    tokens: BTreeMap<&'static str, String>,
    coach: String,
}

fn grant() -> Edit {
    Edit {
        id: EntryId::new(BEGAN_MS.unsigned_abs() + 900, [9; 10]),
        kind: Kind::Grant,
        fields: BTreeMap::new(),
    }
    .with("to", "mara".into())
    .with("may", json!(["log", "notes"]))
    .with("from", "2026-01-01T00:00:00.000+00:00".into())
}

impl Whole {
    async fn new(notes: u64) -> Self {
        let (folder, hand) = (Folder::in_memory(), hand());
        let house = House::with(folder.file("host"), &hand, Limits::default(), true).await;
        let coach = house.token("mara", Role::Coach, DeviceId::new(77)).await;
        let (mut devices, mut tokens) = (Vec::new(), BTreeMap::new());
        for (name, account) in DEVICES {
            let device = Device::paired(folder.file(name), &house, account).await;
            tokens.insert(name, device.token.clone());
            devices.push(device);
        }
        for n in 0..notes {
            devices[(n % 2) as usize].write(&[note(n, &format!("by hand, the {n}th of them"))]);
            devices[2].write(&[note(n, &format!("of another lifter, {n}"))]);
        }
        devices[0].write(&[grant()]);
        for _ in 0..2 {
            for device in &mut devices {
                assert!(device.sync(house.at()).await.unwrap().together);
            }
        }
        devices.iter_mut().for_each(Device::close);
        house.close().await;
        Self { folder, hand, tokens, coach }
    }

    /// The same once more, in a folder of its own, with something done to the bytes of the store.
    fn bent(&self, bend: impl FnOnce(&mut Vec<u8>)) -> Folder {
        let folder = Folder::in_memory();
        for name in ["host", "host.ledger", "a", "b", "c"] {
            std::fs::copy(self.folder.file(name), folder.file(name)).unwrap();
        }
        let mut bytes = std::fs::read(folder.file("host")).unwrap();
        bend(&mut bytes);
        std::fs::write(folder.file("host"), bytes).unwrap();
        folder
    }

    /// Starts a host on the store and lets every device sync, paired anew where it has to be; all hold everything then.
    /// Says how many had to be.
    async fn all_come_back(&self, folder: &Folder, what: &str) -> usize {
        let house = House::with(folder.file("host"), &self.hand, Limits::default(), true).await;
        let (mut devices, mut anew) = (Vec::new(), 0);
        for (name, account) in DEVICES {
            let mut device = Device::new(folder.file(name), &self.hand);
            device.token.clone_from(&self.tokens[name]);
            match device.sync(house.at()).await {
                Ok(_) => {}
                Err(fault) => {
                    assert_eq!(fault.kind, SyncFaultKind::Token, "{what}: {name}: {fault}");
                    device.pair(&house, account).await;
                    anew += 1;
                }
            }
            devices.push(device);
        }
        for device in &mut devices {
            let told = device.sync(house.at()).await.unwrap();
            assert!(told.together && told.unread == 0, "{what}: {told:?}");
        }
        for ((_, account), device) in DEVICES.iter().zip(&devices) {
            house.alike(account, device, what).await;
        }
        // Nobody's entry came to another: each text says whose it is.
        for (account, word) in [("anna", "by hand"), ("anne", "of another lifter")] {
            for entry in house.entries(account).await.iter().filter(|e| e.kind == Kind::Note) {
                assert!(entry.text().contains(word), "{what}: {account} has {}", entry.text());
            }
        }
        house.sound().await;
        devices.iter_mut().for_each(Device::close);
        house.close().await;
        anew
    }
}

fn mend(store: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_plinth"));
    command.args(["host", "check", "--mend", "--json"]).arg(store).env("LANG", "C").stdin(Stdio::null());
    command.output().unwrap()
}

/// What a mending said that went well.
fn mended(out: &Output, what: &str) -> Value {
    assert!(out.status.success(), "{what}: {}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

fn at(bytes: &[u8], pattern: &[u8]) -> usize {
    bytes.windows(pattern.len()).position(|w| w == pattern).unwrap()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f4_flipped_bits_in_a_hosts_store_are_mended_and_everything_comes_back() {
    let mut dice = Dice::new("F4");
    let began = Instant::now();
    let whole = Whole::new(120).await;
    let (runs, mut mendings, mut sound, mut unreadable, mut lost, mut anew) = (count(25, 500), 0, 0, 0, 0, 0);
    for run in 0..runs {
        let seed = dice.roll();
        let mut dice = Dice::seeded(seed);
        let flips = 1 + dice.below(4);
        let what = format!("run {run}, seed {seed}, {flips} bits");
        let mut bent = Vec::new();
        let folder = whole.bent(|bytes| {
            for _ in 0..flips {
                let at = dice.below(bytes.len());
                bytes[at] ^= 1 << dice.below(8);
            }
            bent.clone_from(bytes);
        });
        let store = folder.file("host");
        let out = mend(&store);
        if out.status.code() == Some(1) {
            let said = String::from_utf8_lossy(&out.stderr);
            assert!(said.contains("put the newest backup in its place"), "{what}: {said}");
            assert_eq!(std::fs::read(&store).unwrap(), bent, "{what}: it was changed");
            unreadable += 1;
            continue;
        }
        let told = mended(&out, &what);
        if let Some(aside) = told["aside"].as_str() {
            assert_eq!(std::fs::read(aside).unwrap(), bent, "{what}: the damaged one is kept as it was");
            lost += told["lost"].as_array().unwrap().len();
            mendings += 1;
        } else {
            assert_eq!(told["faults"], json!([]), "{what}");
            sound += 1;
        }
        anew += whole.all_come_back(&folder, &what).await;
    }
    println!(
        "F4: {runs} stores of a host with flipped bits: {mendings} mended with {lost} entries lost there, {sound} where \
         no check finds it, {unreadable} refused; {anew} devices paired anew; all back, alike ({:.1} s)",
        began.elapsed().as_secs_f64()
    );
    assert!(mendings > runs / 4);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_bent_is_named_and_nothing_goes_to_another_account() {
    let whole = Whole::new(60).await;
    let lies = |account: &str, n: u64| [account.as_bytes(), &id(n).bytes()[..], b"note"].concat();
    // An entry's text: the entry is lost here, and named.
    let folder = whole.bent(|b| {
        let k = at(b, b"the 7th of them");
        b[k] ^= 1;
    });
    let told = mended(&mend(&folder.file("host")), "a text");
    assert_eq!(told["lost"], json!([{ "account": "anna", "entry": id(7).to_string() }]));
    assert_eq!((&told["entries"], &told["made_again"]), (&json!(120), &json!([])));
    assert_eq!(whole.all_come_back(&folder, "a text").await, 0);
    // Whose an entry is: by one bit it would be another lifter's, and no digest says so.
    let folder = whole.bent(|b| {
        let k = at(b, &lies("anna", 11));
        b[k + 3] ^= b'a' ^ b'e';
    });
    let db = rusqlite::Connection::open(folder.file("host")).unwrap();
    let query = "SELECT count(*) FROM entry NOT INDEXED WHERE account = 'anne'";
    assert_eq!(db.query_row(query, [], |r| r.get::<_, i64>(0)).unwrap(), 61, "the bit does what it is to do");
    drop(db);
    let told = mended(&mend(&folder.file("host")), "an account");
    assert_eq!(told["lost"], json!([{ "account": "anna", "entry": id(11).to_string() }]));
    let store = SqliteStore::open(&folder.file("host")).unwrap();
    let held = store.load(&named("anne"), vec![id(11)]).await.unwrap().held;
    assert!(held[0].entry.text().contains("of another lifter"), "{:?}", held[0].entry.text());
    drop(store);
    assert_eq!(whole.all_come_back(&folder, "an account").await, 0);
    // The coach's grant counts still, and what she sees is whole.
    let house = House::with(folder.file("host"), &whole.hand, Limits::default(), true).await;
    let seen =
        support::raw::ask(house.at(), "GET", "/v1/lifters/anna/record?after=0", Some(&whole.coach), b"")
            .await;
    assert_eq!(seen.status, 200, "{seen:?}");
    house.close().await;
    // Sums alone: nothing is lost, and they are made anew.
    let folder = whole.bent(|_| {});
    let db = rusqlite::Connection::open(folder.file("host")).unwrap();
    db.execute("UPDATE kind_sum SET count = count + 1 WHERE account = 'anna'", []).unwrap();
    db.close().unwrap();
    let told = mended(&mend(&folder.file("host")), "sums");
    assert_eq!((&told["lost"], &told["entries"]), (&json!([]), &json!(121)));
    assert_eq!(whole.all_come_back(&folder, "sums").await, 0);
    // A sound one stays as it is, and so does one that a host holds.
    let folder = whole.bent(|_| {});
    let before = std::fs::read(folder.file("host")).unwrap();
    let told = mended(&mend(&folder.file("host")), "sound");
    assert_eq!((&told["faults"], &told["entries"]), (&json!([]), &json!(121)));
    let held = hold(&folder.file("host")).unwrap();
    let out = mend(&folder.file("host"));
    assert!(
        out.status.code() == Some(2)
            && String::from_utf8_lossy(&out.stderr).contains("a host holds this store")
    );
    drop(held);
    assert_eq!(std::fs::read(folder.file("host")).unwrap(), before);
    let left: Vec<PathBuf> = std::fs::read_dir(folder.file("")).unwrap().map(|e| e.unwrap().path()).collect();
    let aside =
        |p: &PathBuf| p.to_string_lossy().contains("aside") || p.to_string_lossy().contains("salvage");
    assert!(!left.iter().any(aside), "{left:?}");
    assert!(ledger_beside(&folder.file("host")).is_file());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_page_of_anything_may_be_gone() {
    let whole = Whole::new(120).await;
    let pages = std::fs::metadata(whole.folder.file("host")).unwrap().len() / 4096;
    let (mut mendings, mut unreadable, mut made_again, mut anew) = (0, 0, 0, 0);
    for page in 1..=pages {
        let what = format!("page {page} of {pages}");
        let folder = whole.bent(|b| b[((page - 1) * 4096) as usize..(page * 4096) as usize].fill(0xa5));
        let out = mend(&folder.file("host"));
        if out.status.code() == Some(1) {
            unreadable += 1;
            continue;
        }
        let told = mended(&out, &what);
        mendings += usize::from(told["aside"].is_string());
        made_again += told["made_again"].as_array().map_or(0, Vec::len);
        anew += whole.all_come_back(&folder, &what).await;
    }
    println!(
        "F4: each of {pages} pages of a host's store gone: {mendings} mended, {unreadable} refused; {made_again} \
         accounts made again, {anew} devices paired anew; all back, alike"
    );
    assert!(mendings > 10 && unreadable <= 3 && made_again > 0 && anew > 0);
}

/// Every write, sync, new name and removal of a mending: killed there, or told that the disk is full.
#[cfg(target_os = "linux")]
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_mending_that_is_cut_short_leaves_the_damaged_store_or_the_mended_one() {
    let tools = Folder::new();
    let library = plinth_tests::faults::failing_library(&tools);
    let whole = Whole::new(30).await;
    let (mut killed, mut refused) = (0, 0);
    for kill in [true, false] {
        for step in 1.. {
            let what = format!("step {step}, killed: {kill}");
            let mut bent = Vec::new();
            let folder = whole.bent(|b| {
                let k = at(b, b"the 7th of them");
                b[k] ^= 1;
                bent.clone_from(b);
            });
            let store = folder.file("host");
            let mut command = Command::new(env!("CARGO_BIN_EXE_plinth"));
            command.args(["host", "check", "--mend"]).arg(&store).env("LANG", "C").stdin(Stdio::null());
            command.env("LD_PRELOAD", &library).env("PLINTH_FAIL_NAME", &store);
            command.env("PLINTH_FAIL_AT", step.to_string()).env("PLINTH_FAIL_AS", "28");
            if kill {
                command.env("PLINTH_FAIL_KILL", "1");
            }
            let out = command.output().unwrap();
            let aside = || {
                let files = std::fs::read_dir(folder.file("")).unwrap().map(|e| e.unwrap().path());
                files.into_iter().find(|p| p.to_string_lossy().contains("host.aside-"))
            };
            match aside() {
                Some(aside) => assert_eq!(std::fs::read(aside).unwrap(), bent, "{what}"),
                None => assert_eq!(std::fs::read(&store).unwrap(), bent, "{what}"),
            }
            if out.status.success() {
                whole.all_come_back(&folder, &what).await;
                break;
            }
            if kill {
                killed += 1;
            } else {
                refused += 1;
                assert_eq!(out.status.code(), Some(1), "{what}: {}", String::from_utf8_lossy(&out.stderr));
            }
            // Once more, undisturbed.
            mended(&mend_again(&store), &what);
            assert_eq!(std::fs::read(aside().unwrap()).unwrap(), bent, "{what}");
            if step % 8 == 0 {
                assert_eq!(whole.all_come_back(&folder, &what).await, 0, "{what}");
            }
        }
    }
    println!(
        "mending: killed at {killed} steps, told of a full disk at {refused}; the damaged one is kept each time"
    );
    assert!(killed > 10 && refused > 10);
}

/// Mends a store that may be mended already, or may be about to be put in its place.
#[cfg(target_os = "linux")]
fn mend_again(store: &Path) -> Output {
    plinth::host::sqlite::swap::finish(store, 1).unwrap();
    mend(store)
}
