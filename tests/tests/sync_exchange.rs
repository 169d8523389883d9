//! The device's side of a sync against the protocol's model: any order, any cut, any copy ends alike, and nothing is
//! lost. The same faults through a real server and a real connection come with the server.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::moment::Moment;
use plinth_core::record::{Edit, EntryId, Kind};
use plinth_core::store::{Store, system_random};
use plinth_core::sync::{Exchange, PATH, Step, SyncFault, SyncFaultKind, SyncState, Told};
use plinth_tests::faults::{Dice, Folder, at, count};
use plinth_tests::meeting_point::MeetingPoint;
use std::collections::BTreeMap;

fn open(folder: &Folder, name: &str) -> Store {
    Store::open(&folder.file(name), &at(0), &mut system_random).unwrap().store
}

fn id(n: u64) -> EntryId {
    EntryId::new(1_777_800_000_000 + n, [3; 10])
}

fn note(n: u64, text: &str) -> Edit {
    Edit { id: id(n), kind: Kind::Note, fields: BTreeMap::new() }.with("text", text.into())
}

fn write(store: &mut Store, edit: Edit, minute: i64) {
    store.write(&[edit], None, &at(minute)).unwrap();
}

fn now_ms() -> i64 {
    at(100_000).wall_ms
}

/// Syncs until it is over. `cut` says at each request whether it gets lost on its way there (1), its answer on the way
/// back (2), or nothing does.
fn sync(
    store: &mut Store,
    server: &mut MeetingPoint,
    moment: &Moment,
    cut: &mut dyn FnMut(u32) -> u32,
    between: &mut dyn FnMut(u32, &mut Store),
) -> Result<Told, SyncFault> {
    let mut exchange = Exchange::begin(store, "token").unwrap();
    for n in 0..2_000 {
        let request = match exchange.next(store, moment)? {
            Step::Done(told) => return Ok(told),
            Step::Send(request) => request,
        };
        assert_eq!(request.path, PATH);
        assert!(
            request.headers.iter().any(|(name, value)| name == "Authorization" && value == "Bearer token")
        );
        let lost = cut(n);
        if lost == 1 {
            return Err(exchange.cut(store, moment, &mut system_random));
        }
        let answer = server.post(&request.body);
        between(n, store);
        if lost == 2 {
            return Err(exchange.cut(store, moment, &mut system_random));
        }
        exchange.answer(store, 200, None, &answer, moment, &mut system_random)?;
    }
    panic!("it never ends");
}

fn whole(store: &mut Store, server: &mut MeetingPoint) -> Told {
    sync(store, server, &at(100_000), &mut |_| 0, &mut |_, _| {}).expect("nothing is in the way")
}

fn alike(store: &Store, server: &MeetingPoint) {
    let ours = store.all(None, 1_000_000).unwrap();
    let theirs: Vec<_> = server.entries().cloned().collect();
    assert_eq!(ours, theirs);
}

#[test]
fn two_devices_and_a_server_come_to_hold_the_same_and_hold_it_still() {
    let folder = Folder::in_memory();
    let (mut a, mut b) = (open(&folder, "a"), open(&folder, "b"));
    let mut server = MeetingPoint::new("first", now_ms());
    for n in 0..300 {
        write(if n % 2 == 0 { &mut a } else { &mut b }, note(n, &format!("note {n}")), n as i64);
    }
    let told = whole(&mut a, &mut server);
    assert!(told.together && told.sent == 150 && told.received == 0, "{told:?}");
    let told = whole(&mut b, &mut server);
    assert!(told.together && told.sent == 150 && told.received == 150, "{told:?}");
    let told = whole(&mut a, &mut server);
    assert!(told.together && told.sent == 0 && told.received == 150, "{told:?}");
    alike(&a, &server);
    alike(&b, &server);
    let again = whole(&mut a, &mut server);
    assert_eq!(
        (again.rounds, again.sent, again.received, again.healed),
        (1, 0, 0, 0),
        "one question is enough"
    );
    assert_eq!(SyncState::of(&a).unwrap().together_ms, Some(at(100_000).wall_ms));
}

/// F8 at the device: a cut at every request, there and back.
#[test]
fn a_cut_at_any_request_only_repeats_a_round() {
    let mut cuts = 0;
    for lost in [1, 2] {
        for place in 0..u32::MAX {
            let folder = Folder::in_memory();
            let (mut a, mut b) = (open(&folder, "a"), open(&folder, "b"));
            let mut server = MeetingPoint::new("first", now_ms());
            for n in 0..120 {
                write(if n % 3 == 0 { &mut b } else { &mut a }, note(n, "as it was"), n as i64);
            }
            whole(&mut b, &mut server);
            write(&mut a, note(3, "changed there"), 900);
            let cut = sync(
                &mut a,
                &mut server,
                &at(100_000),
                &mut |n| if n == place { lost } else { 0 },
                &mut |_, _| {},
            );
            let was_cut = cut.is_err();
            if let Err(fault) = cut {
                assert_eq!(fault.kind, SyncFaultKind::Later);
                assert!(fault.wait_ms.is_some_and(|ms| (2_500..=5_000).contains(&ms)));
                assert!(SyncState::of(&a).unwrap().not_before_ms > at(100_000).wall_ms);
                cuts += 1;
            }
            whole(&mut a, &mut server);
            whole(&mut b, &mut server);
            alike(&a, &server);
            alike(&b, &server);
            assert_eq!(server.count(), 120);
            assert_eq!(a.pending_count().unwrap(), 0);
            if !was_cut {
                break;
            }
        }
    }
    println!("F8: {cuts} cuts, one at each request there and back; nothing twice, nothing lost");
    assert!(cuts >= 6);
}

/// F9 at the device: an edit at each step of a sync is there afterwards, still waiting or sent.
#[test]
fn an_edit_during_a_sync_is_kept_and_sent() {
    let mut steps = 0;
    for place in 0.. {
        let folder = Folder::in_memory();
        let mut a = open(&folder, "a");
        let mut server = MeetingPoint::new("first", now_ms());
        for n in 0..90 {
            write(&mut a, note(n, "first"), n as i64);
        }
        let mut written = false;
        let told = sync(&mut a, &mut server, &at(100_000), &mut |_| 0, &mut |n, store| {
            if n == place {
                // One that is on its way, one that is not yet, and a new one.
                for k in [5, 85, 200] {
                    write(store, note(k, "second"), 2_000);
                }
                written = true;
            }
        })
        .unwrap();
        assert!(told.together, "{told:?}");
        if !written {
            break;
        }
        steps += 1;
        for k in [5, 85, 200] {
            let text = a.entry(&id(k)).unwrap().unwrap().fields["text"].value.text().to_owned();
            assert_eq!(text, "\"second\"");
        }
        alike(&a, &server);
    }
    println!("F9: edits at each of {steps} steps of a sync; all there and sent");
    assert!(steps >= 3);
}

/// F11 at the device: the server is another or an older one; the device is a copy of itself.
#[test]
fn another_epoch_or_an_older_copy_of_the_device_loses_nothing() {
    let folder = Folder::in_memory();
    let mut a = open(&folder, "a");
    let mut server = MeetingPoint::new("first", now_ms());
    for n in 0..60 {
        write(&mut a, note(n, "early"), n as i64);
    }
    whole(&mut a, &mut server);
    let backup = server.clone();
    drop(a);
    std::fs::copy(folder.file("a"), folder.file("copy")).unwrap();
    let mut a = open(&folder, "a");
    for n in 60..100 {
        write(&mut a, note(n, "late"), n as i64);
    }
    whole(&mut a, &mut server);
    // Wiped.
    let mut wiped = MeetingPoint::new("second", now_ms());
    assert!(whole(&mut a, &mut wiped).together);
    alike(&a, &wiped);
    // Restored from an old backup, and told so by its epoch.
    let mut restored = backup.clone().called("third");
    assert!(whole(&mut a, &mut restored).together);
    alike(&a, &restored);
    // Restored without being told so: the device is further than its numbers.
    let mut unsaid = backup.called("third");
    let told = whole(&mut a, &mut unsaid);
    assert!(told.together, "{told:?}");
    alike(&a, &unsaid);
    // The device's own file put back from an old copy, identity and all.
    let device = a.device();
    let mut server = unsaid;
    write(&mut a, note(200, "after the copy"), 200);
    whole(&mut a, &mut server);
    let mut old = open(&folder, "copy");
    assert_eq!(old.device(), device, "a bare copy keeps the identity");
    // It has been with the first epoch only: bring it to this store's numbers, and then put it back again.
    whole(&mut old, &mut server);
    alike(&old, &server);
    drop(old);
    std::fs::copy(folder.file("copy"), folder.file("older")).unwrap();
    let mut old = open(&folder, "copy");
    write(&mut old, note(300, "further"), 300);
    whole(&mut old, &mut server);
    whole(&mut old, &mut server);
    let mut older = open(&folder, "older");
    let was = older.device();
    assert!(whole(&mut older, &mut server).together);
    assert_ne!(older.device(), was, "a copy that is behind itself takes a new identity");
    alike(&older, &server);
}

#[test]
fn a_bad_entry_is_set_aside_and_holds_nothing_up_and_an_edit_lets_it_go() {
    let folder = Folder::in_memory();
    let mut a = open(&folder, "a");
    let mut server = MeetingPoint::new("first", now_ms());
    for n in 0..100 {
        write(&mut a, note(n, if n == 50 { "refuse me" } else { "good" }), n as i64);
    }
    let told = whole(&mut a, &mut server);
    assert_eq!((told.sent, told.set_aside, server.count()), (99, 1, 99));
    assert!(!told.together);
    let aside = a.set_aside(None, 10).unwrap();
    assert_eq!(aside[0].id, id(50));
    assert!(aside[0].told.contains("\"field\":\"text\"") && aside[0].told.contains("change it"));
    write(&mut a, note(50, "good now"), 200);
    let told = whole(&mut a, &mut server);
    assert!(told.together && server.count() == 100, "{told:?}");
    assert!(a.set_aside(None, 10).unwrap().is_empty());
}

#[test]
fn a_phone_of_the_year_2099_is_stamped_anew_and_does_not_win_for_ever() {
    let folder = Folder::in_memory();
    let (mut a, mut b) = (open(&folder, "a"), open(&folder, "b"));
    let mut server = MeetingPoint::new("first", now_ms());
    let far = Moment { wall_ms: 4_070_908_800_000, ..at(0) };
    for n in 0..90 {
        a.write(&[note(n, "of 2099")], None, &far).unwrap();
    }
    let told = sync(&mut a, &mut server, &far, &mut |_| 0, &mut |_, _| {}).unwrap();
    assert!(told.together && told.stamped_anew == 90, "{told:?}");
    whole(&mut b, &mut server);
    b.write(&[note(7, "newer")], None, &Moment { wall_ms: now_ms() + 60_000, ..at(0) }).unwrap();
    whole(&mut b, &mut server);
    sync(&mut a, &mut server, &far, &mut |_| 0, &mut |_, _| {}).unwrap();
    assert_eq!(a.entry(&id(7)).unwrap().unwrap().fields["text"].value.text(), "\"newer\"");
    alike(&a, &server);
}

#[test]
fn what_one_side_lost_in_silence_is_found_and_healed_singly() {
    let folder = Folder::in_memory();
    let (mut a, mut b) = (open(&folder, "a"), open(&folder, "b"));
    let mut server = MeetingPoint::new("first", now_ms());
    for n in 0..2_000 {
        write(&mut a, note(n, "kept"), n as i64);
    }
    whole(&mut a, &mut server);
    whole(&mut b, &mut server);
    for n in [3, 700, 701, 1_999] {
        server.lose(&id(n));
    }
    let told = whole(&mut a, &mut server);
    assert!(told.together && told.healed == 4, "{told:?}");
    assert!(told.sent == 4 && told.rounds < 10, "not everything goes again: {told:?}");
    alike(&a, &server);
    assert!(whole(&mut b, &mut server).together);
    alike(&b, &server);
}

/// F14 and F7 at the device: three devices, random edits, deletions, cuts and clocks; equal contents at the end.
#[test]
fn random_devices_converge() {
    let mut dice = Dice::new("sync");
    let runs = count(10, 200);
    for _ in 0..runs {
        let folder = Folder::in_memory();
        let mut devices: Vec<Store> = ["a", "b", "c"].map(|name| open(&folder, name)).into();
        let mut server = MeetingPoint::new("first", now_ms());
        for step in 0..count(100, 500) {
            let k = dice.below(devices.len());
            let store = &mut devices[k];
            if dice.below(10) < 6 {
                let n = dice.below(40) as u64;
                let minute = step as i64 + [0, -60, 60, 1_440][dice.below(4)];
                let edit = match dice.below(6) {
                    0 => Edit::delete(id(n), Kind::Note),
                    1 => note(n, "a").with("movement", format!("m{step}").into()),
                    _ => note(n, &format!("{k} at {step}")),
                };
                write(store, edit, minute);
            } else {
                let mut left = dice.below(6) as u32;
                let lost = 1 + dice.below(2) as u32;
                let mut cut = |_| {
                    left = left.wrapping_sub(1);
                    if left == 0 { lost } else { 0 }
                };
                let _ = sync(store, &mut server, &at(100_000), &mut cut, &mut |_, _| {});
            }
        }
        for _ in 0..2 {
            for store in &mut devices {
                whole(store, &mut server);
            }
        }
        for store in &devices {
            alike(store, &server);
            assert_eq!(store.check().unwrap().first_fault(), None);
        }
    }
    println!("{runs} runs of three devices; all alike at the end");
}

#[test]
fn what_is_no_answer_is_told_and_changes_nothing() {
    let folder = Folder::in_memory();
    let mut a = open(&folder, "a");
    let server = MeetingPoint::new("first", now_ms());
    write(&mut a, note(1, "mine"), 1);
    let good = {
        let mut e = Exchange::begin(&a, "t").unwrap();
        let Step::Send(request) = e.next(&mut a, &at(0)).unwrap() else { panic!("it sends") };
        let packed = server.clone().post(&request.body);
        String::from_utf8(plinth_core::sync::unpack(&packed, 1_000_000).unwrap()).unwrap()
    };
    let before = (a.digest().unwrap(), a.pending_count().unwrap(), a.sync_state().unwrap());
    let long = format!("{{\"x\":\"{}\"}}", "x".repeat(20_000_000));
    let bomb = plinth_core::sync::pack(long.as_bytes()).unwrap();
    let fault = br#"{"code":"token_revoked","field":null,"reason":"it was revoked","remedy":"pair again"}"#;
    let cases: Vec<(u16, Vec<u8>, SyncFaultKind, &str)> = vec![
        (200, b"<html>".to_vec(), SyncFaultKind::Protocol, "answer_unread"),
        (200, Vec::new(), SyncFaultKind::Protocol, "answer_unread"),
        (
            200,
            good.replace("\"protocol\":1", "\"protocol\":2").into(),
            SyncFaultKind::Protocol,
            "other_protocol",
        ),
        (
            200,
            good.replace("\"took\":[0]", "\"took\":[]").into(),
            SyncFaultKind::Protocol,
            "answer_incomplete",
        ),
        (
            200,
            good.replace("\"took\":[0]", "\"took\":[99]").into(),
            SyncFaultKind::Protocol,
            "answer_incomplete",
        ),
        (
            200,
            good.replace("\"more\":false", "\"more\":true")
                .replace("\"cursor\":1", "\"cursor\":1e999")
                .into(),
            SyncFaultKind::Protocol,
            "answer_unread",
        ),
        (200, "[".repeat(100_000).into(), SyncFaultKind::Protocol, "answer_unread"),
        (200, bomb, SyncFaultKind::Later, "answer_too_long"),
        (401, fault.to_vec(), SyncFaultKind::Token, "token_revoked"),
        (403, Vec::new(), SyncFaultKind::Token, "status_403"),
        (426, Vec::new(), SyncFaultKind::TooOld, "status_426"),
        (400, b"\xff\xff".to_vec(), SyncFaultKind::Protocol, "status_400"),
        (503, b"busy".to_vec(), SyncFaultKind::Later, "status_503"),
    ];
    for (status, body, kind, code) in cases {
        let mut e = Exchange::begin(&a, "t").unwrap();
        assert!(matches!(e.next(&mut a, &at(0)).unwrap(), Step::Send(_)));
        let fault = e.answer(&mut a, status, Some(7), &body, &at(0), &mut system_random).unwrap_err();
        assert_eq!((fault.kind, fault.code.as_str()), (kind, code), "{fault}");
        assert!(!fault.reason.is_empty() && !fault.remedy.is_empty());
        if kind == SyncFaultKind::Later {
            assert!(fault.wait_ms.unwrap() >= 7_000, "Retry-After is obeyed");
        }
        assert_eq!((a.digest().unwrap(), a.pending_count().unwrap()), (before.0, before.1), "{code}");
    }
    // A stranger's entry among good ones spoils only itself.
    let mut told = Exchange::begin(&a, "t").unwrap();
    assert!(matches!(told.next(&mut a, &at(0)).unwrap(), Step::Send(_)));
    let strange = good.replace("\"pull\":[]", "\"pull\":[{\"id\":7},{\"fields\":{},\"id\":\"019ddc11-c00e-7101-8101-00000000000e\",\"kind\":\"of_tomorrow\"}]");
    told.answer(&mut a, 200, None, strange.as_bytes(), &at(0), &mut system_random).unwrap();
    assert_eq!(a.count().unwrap(), 2, "the one of a newer version is kept");
    assert!(a.pending_count().unwrap() == 0);
}
