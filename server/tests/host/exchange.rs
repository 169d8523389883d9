//! Real devices, a real host, a real connection.

use crate::common::{Device, Folder, Running, json_of, note, now, set_clock};
use plinth::client::{Paired, Way, exchange};
use plinth::host::account::Role;
use plinth::host::system_clock;
use plinth::host::tls::Certificate;
use plinth_core::sync::SyncFaultKind;
use std::sync::atomic::Ordering;

async fn both_ways(running: &Running, folder: &Folder) {
    let mut devices: Vec<(Device, Paired)> = Vec::new();
    for name in ["a", "b", "c"] {
        let device = Device::open(folder, name);
        let paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
        devices.push((device, paired));
    }
    for (k, (device, _)) in devices.iter_mut().enumerate() {
        let first = k as u64 * 1000;
        device.write((first..first + 700).map(|n| note(n, &format!("{k} wrote {n}"), 10)).collect());
        // All three know this one, and each has written it at another time.
        device.write(vec![note(9_999, &format!("of {k}"), 30 - k as i64)]);
    }
    for round in 0..2 {
        for (device, paired) in &mut devices {
            let told = device.sync(paired).await.unwrap();
            assert!(told.together, "{round}: {told:?}");
        }
    }
    let all = devices[0].0.entries();
    assert_eq!(all.len(), 2_101);
    for (device, _) in &devices {
        assert_eq!(device.entries(), all);
    }
    let last = all.iter().find(|e| e.id == crate::common::id(9_999)).unwrap();
    assert_eq!(last.fields["text"].value.text(), "\"of 2\"");
    assert!(running.host.store.check().await.unwrap().faults.is_empty());
    let (device, paired) = &mut devices[0];
    let again = device.sync(paired).await.unwrap();
    assert_eq!((again.rounds, again.sent, again.received), (1, 0, 0));
}

#[tokio::test]
async fn three_devices_come_to_hold_the_same() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    both_ways(&running, &folder).await;
    running.serving.end().await;
}

#[tokio::test]
async fn the_same_over_a_certificate_of_the_hosts_own_and_no_other_is_taken() {
    let folder = Folder::new();
    let own = || Certificate::own(&folder.file("certificate"), vec!["localhost".into()]).unwrap();
    let fingerprint = own().fingerprint();
    let running = Running::begin(&folder, "host", Some(own()), system_clock()).await;
    assert_eq!(running.certificate, Some(fingerprint), "it is kept, not made anew");
    both_ways(&running, &folder).await;
    let token = Paired::of(&folder.file("a")).unwrap().unwrap().token;
    let mut other = fingerprint;
    other[0] ^= 1;
    for wrong in [Some(other), None] {
        let mut way = Way::to(&running.address, wrong).unwrap();
        assert!(
            way.post_json("/v1/devices", Some(&token), Vec::new()).await.is_err(),
            "not this certificate"
        );
    }
    let mut plain = Way::to(&running.address.replace("https", "http"), None).unwrap();
    assert!(plain.post_json("/v1/pair", None, Vec::new()).await.is_err(), "it does not speak plainly");
    let mut device = Device::open(&folder, "d");
    let invitation = running.invite("anna", Role::Lifter).await;
    let paired = device.pair(&invitation).await;
    let mut way = Way::to(&running.address, Some(other)).unwrap();
    let cut = exchange(&mut device.companion, &mut way, &paired.token, &mut now).await.unwrap_err();
    assert_eq!(cut.kind, SyncFaultKind::Later);
    running.serving.end().await;
}

#[cfg(unix)]
#[tokio::test]
async fn keys_lie_where_only_their_owner_reads_them() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new();
    Certificate::own(&folder.file("certificate"), vec!["localhost".into()]).unwrap();
    let running = Running::plain(&folder).await;
    let device = Device::open(&folder, "a");
    device.pair(&running.invite("anna", Role::Lifter).await).await;
    for file in [folder.file("certificate"), Paired::file(&device.record), folder.file("host.ledger")] {
        let mode = std::fs::metadata(&file).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode, 0o600, "{}", file.display());
    }
}

#[tokio::test]
async fn an_old_token_is_renewed_and_a_lost_answer_locks_nobody_out() {
    let folder = Folder::new();
    let (clock, read) = set_clock();
    let running = Running::begin(&folder, "host", None, read).await;
    let mut device = Device::open(&folder, "a");
    let mut paired = device.pair(&running.invite("anna", Role::Lifter).await).await;
    let first = paired.token.clone();
    let month = 31 * 24 * 60 * 60 * 1000;
    let later = clock.fetch_add(month, Ordering::SeqCst) + month;
    // The answer to the first question is lost.
    let mut way = running.way();
    assert_eq!(way.post_json("/v1/token", Some(&first), Vec::new()).await.unwrap().status, 200);
    assert!(device.sync(&paired).await.unwrap().together, "the old one counts");
    paired.renew_when_old(&device.record, &mut way, later).await.unwrap();
    assert_ne!(paired.token, first);
    assert_eq!(Paired::of(&device.record).unwrap(), Some(paired.clone()));
    let old = Paired { token: first, ..paired.clone() };
    assert!(device.sync(&old).await.unwrap().together, "the old one counts until the new one is used");
    assert!(device.sync(&paired).await.unwrap().together);
    assert_eq!(device.sync(&old).await.unwrap_err().kind, SyncFaultKind::Token);
    let reply = way.post_json("/v1/token", Some(&old.token), Vec::new()).await.unwrap();
    assert_eq!((reply.status, json_of(&reply)["code"].as_str()), (401, Some("token")));
}
