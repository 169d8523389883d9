//! A sync through real records, a real connection and a real host: any order, any cut, any edit meanwhile ends alike,
//! and nothing is lost.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth_core::sync::{Limits, SyncFaultKind, SyncState};
use plinth_tests::faults::{Dice, Folder, count};
use std::collections::BTreeSet;
use std::time::Instant;
use support::proxy::{Fate, PLACES, Place, Proxy, any_fate};
use support::{Device, HOUR_MS, House, MINUTE_MS, When, any_edit, hand, id, note, restore};

/// Batches so small that a few dozen entries take several rounds.
fn small() -> Limits {
    Limits { entries: 40, ranges: 8, ..Limits::default() }
}

/// Syncs every device in turn until one more round changes nothing, and compares all of them.
async fn settle(house: &House, account: &str, devices: &mut [Device], what: &str) {
    for _ in 0..3 {
        for device in devices.iter_mut() {
            let told = device.sync(house.at()).await.unwrap();
            assert!(told.together && told.unread == 0 && told.set_aside == 0, "{what}: {told:?}");
        }
    }
    for device in devices.iter() {
        house.alike(account, device, what).await;
    }
    let digests: BTreeSet<[u8; 32]> = devices.iter().map(|d| d.store().digest().unwrap()).collect();
    assert_eq!(digests.len(), 1, "{what}: the digests differ");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f7_any_order_of_edits_and_messages_ends_alike_everywhere() {
    let mut dice = Dice::new("F7");
    let (began, runs) = (Instant::now(), count(50, 1_000));
    let folder = Folder::in_memory();
    let hand = hand();
    let house = House::with(folder.file("host"), &hand, small(), true).await;
    let proxy = Proxy::begin(house.at()).await;
    let (mut edits, mut syncs, mut restamped) = (0, 0, 0);
    for run in 0..runs {
        let account = format!("lifter-{run}");
        let mut devices = Vec::new();
        for n in 0..2 + dice.below(4) {
            let mut device = Device::paired(folder.file(&format!("{run}-{n}")), &house, &account).await;
            device.skew_ms = [-HOUR_MS, 0, HOUR_MS][dice.below(3)];
            devices.push(device);
        }
        let mut fates = Dice::seeded(dice.roll());
        proxy.fates(move |_| any_fate(&mut fates, 2));
        for step in 0..20 + dice.below(30) {
            hand.fetch_add(dice.below(3) as i64 * MINUTE_MS, std::sync::atomic::Ordering::SeqCst);
            let k = dice.below(devices.len());
            if dice.below(10) < 7 {
                let edit = any_edit(&mut dice, 12, &format!("{k} at {step}"));
                devices[k].write(&edit);
                edits += edit.len();
            } else {
                syncs += 1;
                match devices[k].sync(proxy.at).await {
                    Ok(told) => restamped += told.stamped_anew,
                    Err(fault) => assert_eq!(fault.kind, SyncFaultKind::Later, "run {run}: {fault}"),
                }
            }
        }
        settle(&house, &account, &mut devices, &format!("run {run}")).await;
        for device in &mut devices {
            device.close();
        }
        for n in 0..devices.len() {
            folder.forget(&format!("{run}-{n}"));
        }
    }
    house.sound().await;
    println!(
        "F7: {runs} schedules of 2 to 5 devices, {edits} edits, {syncs} syncs on a bad way with {} bad requests, \
         {restamped} entries stamped anew; alike everywhere ({:.1} s)",
        proxy.bad(),
        began.elapsed().as_secs_f64()
    );
    assert!(edits > 0 && proxy.bad() > 0 && restamped > 0);
}

/// What one scenario of cuts begins with: two devices and what they have written.
struct Scenario {
    seed: u64,
    notes: u64,
    /// The device thinks that it has sent and received more than it has, so that both sides compare by ranges.
    adrift: bool,
}

/// Lets a device take what waits for sent, and what it lacks up to a number for received.
fn drift(device: &mut Device, number: u64) {
    device.close();
    rusqlite::Connection::open(&device.file).unwrap().execute("DELETE FROM pending", []).unwrap();
    device.reopen();
    let state = SyncState { cursor: number, ..SyncState::of(device.store()).unwrap() };
    device.store_mut().keep_sync_state(&state.text()).unwrap();
}

/// Lets a scenario go by with a cut at one request; says how many requests there were, and what the account has seen.
async fn cut_once(
    house: &House,
    folder: &Folder,
    proxy: &Proxy,
    s: &Scenario,
    account: &str,
    at: Option<(u32, Place)>,
) -> (u32, u64) {
    let mut dice = Dice::seeded(s.seed);
    let what = format!("{account}, seed {}, cut {at:?}", s.seed);
    let mut a = Device::paired(folder.file("a"), house, account).await;
    let mut b = Device::paired(folder.file("b"), house, account).await;
    (a.skew_ms, b.skew_ms) = (-MINUTE_MS, [0, HOUR_MS][dice.below(2)]);
    for n in 0..s.notes {
        // The third is the device's own, so that its change of it is the later one.
        (if dice.below(3) == 0 && n != 3 { &mut b } else { &mut a }).write(&[note(n, "as it was")]);
    }
    if s.adrift {
        a.sync(house.at()).await.unwrap();
        b.sync(house.at()).await.unwrap();
        b.write(&[note(1, "changed there")]);
    }
    b.sync(house.at()).await.unwrap();
    if s.adrift {
        a.write(&[note(2, "waits no more")]);
        drift(&mut a, house.changes(account).await);
    }
    a.write(&[note(3, "changed here"), note(s.notes + 1, "new")]);
    proxy.fates(move |n| match at {
        Some((request, place)) if n == request => Fate::Cut(place),
        _ => Fate::Pass,
    });
    let (mut cuts, mut asked) = (0, 0);
    loop {
        match a.sync_as_desk(proxy.at).await {
            Ok(told) => {
                assert!(told.together, "{what}: {told:?}");
                assert!(at.is_some() || s.adrift == (told.healed > 0), "{what}: {told:?}");
                break;
            }
            Err(fault) => {
                assert_eq!(fault.kind, SyncFaultKind::Later, "{what}: {fault}");
                assert!(fault.wait_ms.is_some(), "{what}: it is tried again by itself");
                cuts += 1;
            }
        }
        asked = proxy.asked();
    }
    assert!(cuts <= 1, "{what}: one cut stops it once");
    asked = asked.max(proxy.asked());
    b.sync(house.at()).await.unwrap();
    a.sync(house.at()).await.unwrap();
    house.alike(account, &a, &what).await;
    house.alike(account, &b, &what).await;
    assert_eq!(house.entries(account).await.len() as u64, s.notes + 1, "{what}: nothing twice, nothing lost");
    assert_eq!(a.text_of(&id(3)).unwrap(), "\"changed here\"", "{what}");
    let changes = house.changes(account).await;
    a.close();
    b.close();
    for name in ["a", "b"] {
        folder.forget(name);
    }
    (asked, changes)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f8_a_cut_at_every_byte_boundary_of_every_request_only_costs_a_retry() {
    let mut dice = Dice::new("F8");
    let began = Instant::now();
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), small(), true).await;
    let proxy = Proxy::begin(house.at()).await;
    let (scenarios, mut cuts, mut requests) = (count(2, 10), 0, 0);
    for k in 0..scenarios {
        let notes = if k < 2 { 90 } else { 20 + dice.below(200) as u64 };
        let s = Scenario { seed: dice.roll(), notes, adrift: k % 2 == 1 };
        let (asked, changes) =
            Box::pin(cut_once(&house, &folder, &proxy, &s, &format!("clean-{k}"), None)).await;
        assert!(asked >= 2, "one request only");
        for request in 0..asked {
            for place in PLACES {
                let account = format!("cut-{k}-{request}-{}", format!("{place:?}").to_lowercase());
                let (_, seen) =
                    Box::pin(cut_once(&house, &folder, &proxy, &s, &account, Some((request, place)))).await;
                assert_eq!(seen, changes, "{account}, seed {}: what was repeated changed something", s.seed);
                cuts += 1;
            }
        }
        requests += asked;
    }
    house.sound().await;
    println!(
        "F8: {scenarios} scenarios, {cuts} cuts: {} places at each of {requests} requests; each done on retry, \
         nothing twice, nothing lost ({:.1} s)",
        PLACES.len(),
        began.elapsed().as_secs_f64()
    );
    assert_eq!(cuts, requests * PLACES.len() as u32);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f8_a_way_that_repeats_delays_and_reorders_changes_nothing() {
    let mut dice = Dice::new("F8");
    let began = Instant::now();
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), small(), true).await;
    let proxy = Proxy::begin(house.at()).await;
    let runs = count(10, 200);
    for run in 0..runs {
        let account = format!("lifter-{run}");
        let mut a = Device::paired(folder.file("a"), &house, &account).await;
        let mut b = Device::paired(folder.file("b"), &house, &account).await;
        let mut fates = Dice::seeded(dice.roll());
        proxy.fates(move |_| any_fate(&mut fates, 2));
        for turn in 0..4 {
            for n in 0..30 {
                a.write(&[note(turn * 100 + n, "by a")]);
                b.write(&[note(turn * 100 + n + 15, "by b")]);
            }
            // Both at once.
            tokio::join!(a.sync_until_done(proxy.at, 200), b.sync_until_done(proxy.at, 200));
        }
        let mut both = [a, b];
        settle(&house, &account, &mut both, &format!("run {run}")).await;
        assert_eq!(house.entries(&account).await.len(), 4 * 45);
        both.iter_mut().for_each(Device::close);
        folder.forget("a");
        folder.forget("b");
    }
    house.sound().await;
    println!(
        "F8: {runs} runs of two devices at once on a way with {} bad requests; nothing twice, nothing lost ({:.1} s)",
        proxy.bad(),
        began.elapsed().as_secs_f64()
    );
    assert!(proxy.bad() > 0);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f9_an_edit_at_each_step_of_a_sync_is_kept_and_sent() {
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), small(), true).await;
    let (mut steps, mut run) = (0, 0);
    for when in [When::Before, When::UnderWay, When::After] {
        for place in 0.. {
            run += 1;
            let account = format!("lifter-{run}");
            let mut a = Device::paired(folder.file("a"), &house, &account).await;
            let mut b = Device::paired(folder.file("b"), &house, &account).await;
            for n in 0..90 {
                (if n % 4 == 0 { &mut b } else { &mut a }).write(&[note(n, "first")]);
            }
            b.sync(house.at()).await.unwrap();
            let (mut written, moment) = (false, a.moment());
            let told = a
                .sync_while(house.at(), &mut |n, at, store| {
                    if (n, at) == (place, when) {
                        // On its way, not yet on its way, the other's, and a new one.
                        for k in [5, 85, 4, 200] {
                            store.write(&[note(k, "second")], None, &moment).unwrap();
                        }
                        written = true;
                    }
                })
                .await
                .unwrap();
            if !written {
                a.close();
                folder.forget("a");
                folder.forget("b");
                break;
            }
            steps += 1;
            for k in [5, 85, 4, 200] {
                assert_eq!(a.text_of(&id(k)).unwrap(), "\"second\"", "{when:?} at {place}: {k} is gone");
            }
            // What is written at the very end waits for the next sync; all else was sent in this one.
            if a.store().pending_count().unwrap() > 0 {
                assert!(!told.together || when == When::Before, "{when:?} at {place}: {told:?}");
                a.sync(house.at()).await.unwrap();
            }
            b.sync(house.at()).await.unwrap();
            house.alike(&account, &a, &format!("{when:?} at {place}")).await;
            house.alike(&account, &b, &format!("{when:?} at {place}")).await;
            assert_eq!(b.text_of(&id(200)).unwrap(), "\"second\"");
            a.close();
            b.close();
            folder.forget("a");
            folder.forget("b");
        }
    }
    println!("F9: edits at each of {steps} steps of a sync through a real host; all there and sent");
    assert!(steps >= 9);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f14_three_devices_and_a_host_with_random_actions_end_alike() {
    let mut dice = Dice::new("F14");
    let began = Instant::now();
    let (runs, actions) = (count(10, 200), count(100, 500));
    let mut done = [0_u32; 7];
    for run in 0..runs {
        let seed = dice.roll();
        let mut dice = Dice::seeded(seed);
        let what = format!("run {run}, seed {seed}");
        // In every other run nothing goes back in time; there nothing may be lost.
        let goes_back = run % 2 == 1;
        let folder = Folder::in_memory();
        let hand = hand();
        let mut house = House::with(folder.file("host"), &hand, small(), true).await;
        let proxy = Proxy::begin(house.at()).await;
        let mut fates = Dice::seeded(dice.roll());
        proxy.fates(move |_| any_fate(&mut fates, 3));
        let mut devices = Vec::new();
        for name in ["a", "b", "c"] {
            devices.push(Device::paired(folder.file(name), &house, "anna").await);
        }
        house.host.store.backup(&folder.file("backup")).await.unwrap();
        devices[0].copy_to(&folder.file("copy"));
        let mut ids = BTreeSet::new();
        for step in 0..actions {
            hand.fetch_add(dice.below(5) as i64 * MINUTE_MS, std::sync::atomic::Ordering::SeqCst);
            let k = dice.below(3);
            let device = &mut devices[k];
            let action = match dice.below(100) {
                0..60 => 0,
                60..90 => 1,
                90..94 => 2,
                94..96 => 3,
                96 | 97 => 4,
                98 => 5,
                _ => 6,
            };
            done[action] += 1;
            match action {
                0 => {
                    device.skew_ms = [0, 0, -HOUR_MS, HOUR_MS, 24 * HOUR_MS][dice.below(5)];
                    let edit = any_edit(&mut dice, 25, &format!("{k} at {step}"));
                    device.write(&edit);
                    ids.extend(edit.iter().map(|e| e.id));
                }
                1 => {
                    if let Err(fault) = device.sync(proxy.at).await {
                        assert_eq!(fault.kind, SyncFaultKind::Later, "{what}: {fault}");
                    }
                }
                2 => device.reopen(),
                3 => {
                    house = house.again(|_| {}).await;
                    proxy.aim(house.at());
                }
                4 if goes_back && dice.below(2) == 0 => {
                    house.host.store.backup(&folder.file("backup")).await.unwrap();
                }
                4 => device.copy_to(&folder.file(&format!("copy-{k}"))),
                5 if goes_back => {
                    house = house.again(|file| restore(&folder.file("backup"), file)).await;
                    assert!(house.found.is_some(), "{what}: an older store goes unnoticed");
                    proxy.aim(house.at());
                }
                6 if goes_back && folder.file(&format!("copy-{k}")).exists() => {
                    device.put_back(&folder.file(&format!("copy-{k}")));
                }
                _ => {}
            }
        }
        for device in &mut devices {
            device.skew_ms = 0;
        }
        settle(&house, "anna", &mut devices, &what).await;
        if !goes_back {
            let there: BTreeSet<_> = house.entries("anna").await.into_iter().map(|e| e.id).collect();
            assert_eq!(there, ids, "{what}: something was lost");
        }
        house.sound().await;
        house.close().await;
    }
    println!(
        "F14: {runs} runs of {actions} actions of three devices; {} edits, {} syncs, {} programs ended, {} hosts \
         ended, {} copies made, {} hosts and {} devices put back; contents equal ({:.1} s)",
        done[0],
        done[1],
        done[2],
        done[3],
        done[4],
        done[5],
        done[6],
        began.elapsed().as_secs_f64()
    );
}
