//! Who guesses at codes or tokens is held to a rate, and shuts nobody else out.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth::host::account::Role;
use plinth_core::record::DeviceId;
use plinth_core::sync::{Limits, PAIR_PATH};
use plinth_tests::faults::Folder;
use serde_json::json;
use support::raw::{self, ask, bytes_of, header};
use support::{House, MINUTE_MS, digest_of, hand, key_of, named};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f18_codes_are_neither_guessed_nor_used_twice() {
    let folder = Folder::in_memory();
    let hand = hand();
    let house = House::with(folder.file("host"), &hand, Limits::default(), false).await;
    let at = house.at();
    let pair = async |code: &str, from: Option<&str>| {
        let body = json!({ "code": code, "device": "00000000000000aa", "name": "phone", "app": "0.1.0" })
            .to_string();
        let mut headers = vec![("Content-Type", "application/json")];
        headers.extend(from.map(|f| ("X-Forwarded-For", f)));
        raw::send(at, &bytes_of("POST", PAIR_PATH, &headers, body.as_bytes())).await
    };
    let offer = async || house.host.offer(&named("anna"), Role::Lifter).await.unwrap();
    // Once, however many try at once.
    let code = offer().await;
    let tries = tokio::join!(pair(&code, None), pair(&code, None), pair(&code, None));
    let won = [&tries.0, &tries.1, &tries.2].iter().filter(|s| s.status == 200).count();
    assert_eq!(won, 1, "a code counts once");
    assert_eq!(pair(&code, None).await.code(), "code", "and not once more");
    // Not after its time.
    house.pass(2 * MINUTE_MS);
    let late = offer().await;
    house.pass(10 * MINUTE_MS);
    assert_eq!(pair(&late, None).await.code(), "code");
    // Guesses are held to a rate, whatever address a stranger claims.
    house.pass(2 * MINUTE_MS);
    let good = offer().await;
    let before = digest_of(&house.file);
    let mut statuses = Vec::new();
    for n in 0..100 {
        let said = pair(&format!("{n:05}-{n:05}"), Some(&format!("10.0.0.{n}"))).await;
        if said.status == 429 {
            let seconds: u32 = header(&said.head, "retry-after").unwrap().parse().unwrap();
            assert!((1..=60).contains(&seconds));
        }
        statuses.push(said.status);
    }
    let heard = statuses.iter().filter(|s| **s == 403).count();
    assert_eq!(heard, 10, "ten guesses a minute: {statuses:?}");
    assert!(statuses[10..].iter().all(|s| *s == 429));
    assert_eq!(pair(&good, None).await.status, 429, "who guesses is not heard, right or not");
    assert_eq!(digest_of(&house.file), before, "guesses change nothing");
    house.pass(2 * MINUTE_MS);
    assert_eq!(pair(&good, None).await.status, 200, "and afterwards the code counts still");
    println!("F18: codes: 1 of 3 at once, 0 replayed, 0 late, {heard} of 100 guesses heard in a minute");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f18_tokens_are_not_guessed_and_who_guesses_shuts_nobody_out() {
    let folder = Folder::in_memory();
    let house = House::with(folder.file("host"), &hand(), Limits::default(), false).await;
    let asks = async |token: &str| ask(house.at(), "GET", "/v1/devices", Some(token), b"").await;
    let honest = house.token("anna", Role::Lifter, DeviceId::new(1)).await;
    let new = house.token("ben", Role::Lifter, DeviceId::new(2)).await;
    let lost = house.token("anna", Role::Lifter, DeviceId::new(3)).await;
    assert_eq!(asks(&honest).await.status, 200);
    // A lost phone that was revoked asks and asks: that is no guess.
    let key = key_of(&house, "anna", &lost).await;
    house.host.revoke(&named("anna"), &key, &named("anna")).await.unwrap();
    for _ in 0..300 {
        assert_eq!(asks(&lost).await.status, 401);
    }
    // Nor is who brings none, whoever looks whether the host is there.
    for _ in 0..150 {
        assert_eq!(ask(house.at(), "GET", "/v1/devices", None, b"").await.status, 401);
    }
    // A stranger behind the same address guesses at an account that is there.
    let before = digest_of(&house.file);
    let mut statuses = Vec::new();
    for n in 0..300 {
        let said = asks(&format!("anna.{n:064x}")).await;
        if said.status == 429 {
            let seconds: u32 = header(&said.head, "retry-after").unwrap().parse().unwrap();
            assert!((1..=60).contains(&seconds) && said.code() == "too_many_guesses");
        }
        statuses.push(said.status);
        if n % 50 == 0 {
            assert_eq!(asks(&honest).await.status, 200, "who was heard before is heard");
        }
    }
    let heard = statuses.iter().filter(|s| **s == 401).count();
    assert_eq!(heard, 100, "a hundred guesses a minute: {statuses:?}");
    assert!(statuses[100..].iter().all(|s| *s == 429));
    assert_eq!(asks(&new).await.status, 429, "of who guesses, no first token is heard, right or not");
    assert_eq!(asks(&honest).await.status, 200);
    assert_eq!(digest_of(&house.file), before, "guesses change nothing");
    house.pass(MINUTE_MS);
    assert_eq!(asks(&new).await.status, 200, "and a minute later it counts");
    // Behind a proxy that names nobody all would be one: nobody is counted there. One that names them is believed.
    let house = House::with(folder.file("proxied"), &hand(), Limits::default(), true).await;
    let mut status = 0;
    for n in 0..150 {
        status = ask(house.at(), "GET", "/v1/devices", Some(&format!("anna.{n:064x}")), b"").await.status;
    }
    assert_eq!(status, 401);
    let from = async |peer: &str, n: u32| {
        let token = format!("Bearer anna.{n:064x}");
        let sent = [("Authorization", token.as_str()), ("X-Forwarded-For", peer)];
        raw::send(house.at(), &bytes_of("GET", "/v1/devices", &sent, b"")).await.status
    };
    for n in 0..150 {
        status = from("10.0.0.1", n).await;
    }
    assert_eq!((status, from("10.0.0.2", 0).await), (429, 401));
    println!(
        "F18: tokens: {heard} of 300 guesses heard in a minute; a device behind the same address was served"
    );
}
