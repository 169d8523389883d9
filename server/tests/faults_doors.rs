//! What comes in at the two doors of a sync: a bad entry spoils only itself, a bad message changes nothing, and neither
//! panics nor hangs.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth::host::account::Role;
use plinth::host::store::Store as _;
use plinth_core::record::DeviceId;
use plinth_core::store::system_random;
use plinth_core::sync::{Exchange, Limits, PAIR_PATH, PATH, Step, pack};
use plinth_tests::faults::{Dice, Folder, count, garble};
use serde_json::value::RawValue;
use serde_json::{Value, json};
use std::time::{Duration, Instant};
use support::hostile::{LONG, cases, sound};
use support::raw::{self, Said, ask, bytes_of};
use support::{BEGAN_MS, Device, House, hand, id, named, note, raw_note, request};

fn thousand() -> Limits {
    Limits { entries: 1_000, ..Limits::default() }
}

/// A request with bad entries among good ones, byte for byte.
fn among(goods: u64, bad: &[(usize, &[u8])]) -> Vec<u8> {
    let mut push: Vec<Vec<u8>> =
        (0..goods).map(|n| raw_note(n, "good", BEGAN_MS - 1_000).to_string().into_bytes()).collect();
    for (at, bytes) in bad {
        push.insert(*at, bytes.to_vec());
    }
    let text = request(&[json!("HERE")]).to_string();
    let (head, tail) = text.split_once("\"HERE\"").unwrap();
    [head.as_bytes(), &push.join(&b','), tail.as_bytes()].concat()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f12_one_bad_entry_in_a_thousand_is_refused_and_the_others_are_taken() {
    let began = Instant::now();
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), thousand(), true).await;
    let (mut refused, mut unread, mut whole) = (0, 0, 0);
    for (n, (case, bytes)) in cases().into_iter().enumerate() {
        // An account for each, so that what is taken is seen.
        let account = format!("case-{n}");
        let token = house.token(&account, Role::Lifter, DeviceId::new(1)).await;
        let at = (n * 97) % 1_000;
        let began = Instant::now();
        let said = ask(house.at(), "POST", PATH, Some(&token), &among(999, &[(at, &bytes)])).await;
        assert!(began.elapsed() < LONG, "{}: {:?}", case.name, began.elapsed());
        let held = house.entries(&account).await;
        if serde_json::from_slice::<Box<RawValue>>(&bytes).is_err() {
            // What is no JSON makes the whole body none.
            assert_eq!((said.status, said.code().as_str()), (400, "body"), "{}: {}", case.name, said.body);
            assert!(held.is_empty(), "{}", case.name);
            unread += 1;
            continue;
        }
        assert_eq!(said.status, 200, "{}: {}", case.name, said.body);
        let answer: Value = serde_json::from_str(&said.body).unwrap();
        let told = answer["refused"].as_array().unwrap();
        if case.refused == 0 {
            assert_eq!((told.len(), held.len()), (0, 1_000), "{}: {}", case.name, said.body);
            whole += 1;
        } else {
            assert_eq!((told.len(), held.len()), (1, 999), "{}: {}", case.name, said.body);
            assert_eq!(told[0]["at"], at, "{}", case.name);
            assert_eq!(told[0]["code"], case.told[0].code, "{}: {}", case.name, told[0]);
            assert_eq!(told[0]["field"].as_str(), case.told[0].field.as_deref(), "{}", case.name);
            assert!(!told[0]["remedy"].as_str().unwrap().is_empty(), "{}", case.name);
            refused += 1;
        }
        assert_eq!(answer["took"].as_array().unwrap().len(), held.len(), "{}", case.name);
        // One change of the account holds them all: its numbers run without a gap.
        assert_eq!(house.changes(&account).await, held.len() as u64, "{}", case.name);
        if let Some(kept) = case.kept {
            let there = held.iter().any(|e| e.text().contains(&kept));
            assert!(there, "{}: a field that is not known is not kept byte for byte", case.name);
        }
    }
    house.sound().await;
    println!(
        "F12: {} bad entries, each among 999 good ones at the door of a sync: {refused} refused with their reason, \
         {whole} kept, {unread} that are no JSON and change nothing ({:.1} s)",
        refused + whole + unread,
        began.elapsed().as_secs_f64()
    );
    assert!(refused > 20 && whole > 0 && unread > 0);
}

/// Bodies that are no message, with what they are.
fn bodies() -> Vec<(&'static str, Vec<u8>)> {
    let deep = |open: &str, n: usize| open.repeat(n);
    let with = |member: &str| {
        let text = request(&[]).to_string();
        format!("{{{member},{}", &text[1..]).into_bytes()
    };
    let instead = |of: &str, by: &str| request(&[]).to_string().replace(of, by).into_bytes();
    vec![
        ("nothing", Vec::new()),
        ("a word", b"sync".to_vec()),
        ("a list", b"[]".to_vec()),
        ("null", b"null".to_vec()),
        ("a number", b"1e999".to_vec()),
        ("not UTF-8", b"{\"protocol\":\xff\xfe}".to_vec()),
        ("a byte order mark", b"\xef\xbb\xbf{}".to_vec()),
        ("NUL", b"\0\0\0\0".to_vec()),
        ("cut short", b"{\"protocol\":1,\"app\":\"0.1".to_vec()),
        ("two of them", b"{}{}".to_vec()),
        ("nested lists", deep("[", 10_000).into_bytes()),
        ("nested objects", deep("{\"a\":", 10_000).into_bytes()),
        ("a nested member", format!("{{\"protocol\":{}", deep("[", 10_000)).into_bytes()),
        ("a nested name", format!("{{\"name\":{}{}}}", deep("[", 10_000), deep("]", 10_000)).into_bytes()),
        ("a member twice", with("\"cursor\":0")),
        ("NaN", instead("\"cursor\":0", "\"cursor\":NaN")),
        ("infinite", instead("\"cursor\":0", "\"cursor\":1e999")),
        ("beyond 64 bits", instead("\"cursor\":0", "\"cursor\":18446744073709551616")),
        ("negative", instead("\"cursor\":0", "\"cursor\":-1")),
        ("a fraction", instead("\"cursor\":0", "\"cursor\":0.5")),
        ("a lone surrogate", instead("\"app\":\"0.1.0\"", "\"app\":\"\\ud800\"")),
        ("text for a list", instead("\"push\":[]", "\"push\":\"\"")),
        ("an object for a list", instead("\"push\":[]", "\"push\":{}")),
        ("null for a list", instead("\"push\":[]", "\"push\":null")),
        ("no device", instead("\"device\"", "\"another\"")),
        ("a device of words", instead("00000000000000aa", "../../etc/passwd")),
        ("another protocol", instead("\"protocol\":1", "\"protocol\":2")),
        ("a protocol of tomorrow", instead("\"protocol\":1", "\"protocol\":4294967296")),
        ("a range of words", instead("\"ranges\":[]", "\"ranges\":[7]")),
        ("an id of words", instead("\"fetch\":[]", "\"fetch\":[\"one\"]")),
        (
            "a long list",
            instead(
                "\"fetch\":[]",
                &format!("\"fetch\":[{}]", vec![format!("\"{}\"", id(1)); 6_000].join(",")),
            ),
        ),
        (
            "too many ranges",
            instead("\"ranges\":[]", &format!("\"ranges\":[{}]", vec!["7"; 6_000].join(","))),
        ),
    ]
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f12_what_is_no_message_changes_nothing_at_either_door() {
    let began = Instant::now();
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), thousand(), true).await;
    let token = house.token("anna", Role::Lifter, DeviceId::new(1)).await;
    let first = ask(house.at(), "POST", PATH, Some(&token), &among(10, &[])).await;
    assert_eq!(first.status, 200);
    let (before, mut asked) = (house.entries("anna").await, 0);
    let bodies = bodies();
    for (what, body) in &bodies {
        for path in [PATH, PAIR_PATH] {
            for packed in [false, true] {
                let body = if packed { pack(body).unwrap() } else { body.clone() };
                let bearer = format!("Bearer {token}");
                let mut headers = vec![("Content-Type", "application/json"), ("Authorization", &bearer[..])];
                if packed {
                    headers.push(("Content-Encoding", "gzip"));
                }
                let from = Instant::now();
                let said = raw::send(house.at(), &bytes_of("POST", path, &headers, &body)).await;
                assert!(from.elapsed() < LONG, "{path}: {what}: {:?}", from.elapsed());
                assert!([400, 413].contains(&said.status), "{path}: {what}: {} {}", said.status, said.body);
                let fault: Value = serde_json::from_str(&said.body).unwrap();
                for part in ["code", "reason", "remedy"] {
                    assert!(fault[part].as_str().is_some_and(|t| !t.is_empty()), "{what}: {}", said.body);
                }
                assert!(said.body.len() < 2_000, "{what}: {} bytes said", said.body.len());
                asked += 1;
            }
        }
    }
    // Unknown members and capabilities are passed over, however deep, and greater numbers than there are.
    let mut text = request(&[raw_note(500, "taken", BEGAN_MS - 1)]).to_string();
    let deep = format!("{}{}", "[".repeat(10_000), "]".repeat(10_000));
    text.insert_str(1, &format!("\"of_tomorrow\":{deep},\"nan\":\"\\ud800\","));
    let text = text
        .replace("\"gzip\"", "\"gzip\",\"telepathy\"")
        .replace("\"cursor\":0", "\"cursor\":9007199254740993");
    let said = ask(house.at(), "POST", PATH, Some(&token), text.as_bytes()).await;
    assert_eq!(said.status, 200, "{}", said.body);
    let mut after = house.entries("anna").await;
    assert_eq!(after.len(), before.len() + 1);
    after.retain(|e| e.id != id(500));
    assert_eq!(after, before);
    house.sound().await;
    println!(
        "F12: {asked} messages that are none, {} of them at each door, plain and packed: refused with their reason, \
         nothing changed ({:.1} s)",
        bodies.len(),
        began.elapsed().as_secs_f64()
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f12_an_entry_that_is_too_long_for_any_body_holds_nothing_up() {
    let folder = Folder::in_memory();
    let house = House::open(&folder, "host", &hand()).await;
    let mut device = Device::paired(folder.file("a"), &house, "anna").await;
    for n in 0..60 {
        device.write(&[note(n, "short")]);
    }
    let long = "x".repeat(3 * 1024 * 1024);
    device.write(&[note(30, "short").with("one", long.as_str().into()).with("two", long.as_str().into())]);
    let told = device.sync_as_desk(house.at()).await.unwrap();
    assert_eq!((told.sent, told.set_aside), (59, 1), "{told:?}");
    let aside = device.store().set_aside(None, 10).unwrap();
    assert!(aside[0].id == id(30) && aside[0].told.contains("too_long"), "{aside:?}");
    device.write(&[note(30, "short").with("one", "".into()).with("two", "".into())]);
    assert!(device.sync_as_desk(house.at()).await.unwrap().together);
    house.alike("anna", &device, "once it is shorter").await;
    println!("F12: an entry of 6 MB among 59 others is set aside, and goes once it is shorter");
}

/// Bends sound bytes, or makes some without sense.
fn bend(dice: &mut Dice, sound: &[u8]) -> Vec<u8> {
    const TOKENS: [&[u8]; 14] = [
        b"NaN",
        b"1e999",
        b"-1",
        b"9007199254740993",
        b"18446744073709551616",
        b"null",
        b"[]",
        b"{}",
        b"\"\\ud800\"",
        b"\"\\u0000\"",
        b"[[[[",
        b"\"",
        b"\0",
        b"\xff",
    ];
    if dice.below(16) == 0 {
        return (0..dice.below(400)).map(|_| dice.roll() as u8).collect();
    }
    garble(dice, sound, &TOKENS)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f13_no_bytes_make_a_door_of_a_sync_panic_or_hang() {
    let mut dice = Dice::new("F13");
    let budget = Duration::from_secs(count(4, 300) as u64);
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), thousand(), true).await;
    let token = house.token("anna", Role::Lifter, DeviceId::new(1)).await;
    let pairing =
        json!({ "code": "AAAAA-AAAAA", "device": "00000000000000aa", "name": "phone", "app": "0.1.0" });
    let push: Vec<Value> = (0..4).map(|n| raw_note(n, "some text", BEGAN_MS - 1)).collect();
    let mut full = request(&push);
    full["ranges"] = json!([{ "after": null, "up_to": id(9), "count": 3, "digest": "ab".repeat(32) }]);
    full["fetch"] = json!([id(1), id(2)]);
    full["sums"] = json!(true);
    full["want"] = json!(10);
    let mut answer = sound();
    answer["pull"] = json!(push);
    answer["refused"] =
        json!([{ "at": 0, "id": id(1), "code": "c", "field": null, "reason": "r", "remedy": "r" }]);
    answer["ranges"] =
        json!([{ "is": "entries", "after": null, "up_to": null, "entries": [[id(3), "ab".repeat(32)]] }]);
    let (full, pairing, answer) = (full.to_string(), pairing.to_string(), answer.to_string());
    let mut device = Device::new(folder.file("a"), &hand());
    device.write(&[note(1, "mine")]);
    let (mut counts, mut slowest, from) = ([0_u64; 3], Duration::ZERO, Instant::now());
    while from.elapsed() < budget {
        let began = Instant::now();
        let door = dice.below(3);
        counts[door] += 1;
        match door {
            0 | 1 => {
                let (path, sound) = if door == 0 { (PATH, &full) } else { (PAIR_PATH, &pairing) };
                let mut body = bend(&mut dice, sound.as_bytes());
                let bearer = format!("Bearer {token}");
                let mut headers = vec![("Content-Type", "application/json"), ("Authorization", &bearer[..])];
                if dice.below(4) == 0 {
                    body = pack(&body).unwrap();
                    if dice.below(2) == 0 {
                        body = bend(&mut dice, &body);
                    }
                    headers.push(("Content-Encoding", "gzip"));
                }
                let Said { status, body, .. } =
                    raw::send(house.at(), &bytes_of("POST", path, &headers, &body)).await;
                // Too old (426) is one of them: a bent version may be a good one of earlier days.
                assert!([200, 400, 403, 413, 426, 429].contains(&status), "{path}: {status} {body}");
            }
            _ => {
                let body = bend(&mut dice, answer.as_bytes());
                let moment = device.moment();
                let store = device.store_mut();
                let mut exchange = Exchange::begin(store, "t").unwrap();
                if let Step::Send(_) = exchange.next(store, &moment).unwrap() {
                    // Whether it is taken or told does not matter here: that it is, does.
                    let _ = exchange.answer(store, 200, None, &body, &moment, &mut system_random);
                }
            }
        }
        slowest = slowest.max(began.elapsed());
        assert!(began.elapsed() < LONG, "door {door}: {:?}", began.elapsed());
    }
    house.sound().await;
    assert_eq!(device.store().check().unwrap().first_fault(), None);
    assert_eq!(house.host.store.account(&named("anna")).await.unwrap().unwrap().role, Role::Lifter);
    println!(
        "F13: {} requests of a sync, {} of a pairing, {} answers in {} s; no panic, slowest {slowest:?}",
        counts[0],
        counts[1],
        counts[2],
        budget.as_secs()
    );
}
