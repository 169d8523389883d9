//! What comes back from a host that is none, or from one that is hostile: it is told, changes nothing, and keeps nobody;
//! a bad entry in its answer spoils only itself.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth_core::record::{Entry, EntryId, Kind};
use plinth_core::store::system_random;
use plinth_core::sync::{Exchange, Step, SyncFaultKind, pack};
use plinth_tests::faults::Folder;
use serde_json::value::RawValue;
use serde_json::{Value, json};
use std::net::SocketAddr;
use std::time::{Duration, Instant};
use support::hostile::{Case, LONG, cases, sound};
use support::raw::read_request;
use support::{BEGAN_MS, Device, hand, note, raw_note};
use tokio::io::AsyncWriteExt;
use tokio::net::TcpListener;

/// What is answered to the nth request.
type Answers = Box<dyn Fn(u32) -> Vec<u8> + Send>;

/// A host that answers every request with what it is given.
async fn liar(
    answers: impl Fn(u32) -> Vec<u8> + Send + 'static,
) -> (SocketAddr, tokio::task::JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let at = listener.local_addr().unwrap();
    let task = tokio::spawn(async move {
        let mut n = 0;
        while let Ok((mut stream, _)) = listener.accept().await {
            if read_request(&mut stream).await.ok().flatten().is_some() {
                // A device that hears enough hangs up.
                let _ = stream.write_all(&answers(n)).await;
                let _ = stream.shutdown().await;
                n += 1;
            }
        }
    });
    (at, task)
}

fn http(status: &str, headers: &str, body: &[u8]) -> Vec<u8> {
    let head =
        format!("HTTP/1.1 {status}\r\nConnection: close\r\nContent-Length: {}\r\n{headers}\r\n", body.len());
    [head.as_bytes(), body].concat()
}

fn bent(of: &str, by: &str) -> Vec<u8> {
    let text = sound().to_string();
    assert!(text.contains(of), "{of}");
    http("200 OK", "", text.replace(of, by).as_bytes())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f12_a_host_that_is_none_changes_nothing_and_keeps_nobody() {
    let began = Instant::now();
    let folder = Folder::in_memory();
    let ok = "200 OK";
    let deep = "[".repeat(10_000);
    let bomb = pack(&vec![b' '; 64 * 1024 * 1024]).unwrap();
    let long = vec![b' '; 20 * 1024 * 1024];
    let ranges = |by: &str| bent("\"ranges\":[]", by);
    let cases: Vec<(&str, Vec<u8>, SyncFaultKind)> = vec![
        ("nothing", Vec::new(), SyncFaultKind::Later),
        ("no HTTP", b"SSH-2.0-gym\r\n".to_vec(), SyncFaultKind::Later),
        (
            "a head without end",
            [&b"HTTP/1.1 200 OK\r\nX: "[..], &vec![b'x'; 2 << 20]].concat(),
            SyncFaultKind::Later,
        ),
        (
            "a body that is short",
            b"HTTP/1.1 200 OK\r\nContent-Length: 99\r\n\r\n{}".to_vec(),
            SyncFaultKind::Later,
        ),
        (
            "a length of words",
            b"HTTP/1.1 200 OK\r\nContent-Length: many\r\n\r\n{}".to_vec(),
            SyncFaultKind::Later,
        ),
        (
            "chunks of no form",
            b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nZZ\r\n{}".to_vec(),
            SyncFaultKind::Later,
        ),
        ("too long", http(ok, "", &long), SyncFaultKind::Later),
        ("a bomb", http(ok, "Content-Encoding: gzip\r\n", &bomb), SyncFaultKind::Later),
        ("gzip that is none", http(ok, "", b"\x1f\x8b\x08nonsense"), SyncFaultKind::Later),
        ("an empty body", http(ok, "", b""), SyncFaultKind::Protocol),
        ("a page", http(ok, "", b"<html>welcome to the gym's network</html>"), SyncFaultKind::Protocol),
        ("NUL", http(ok, "", b"\0\0"), SyncFaultKind::Protocol),
        ("not UTF-8", http(ok, "", b"{\"epoch\":\"\xff\"}"), SyncFaultKind::Protocol),
        ("nested", http(ok, "", deep.as_bytes()), SyncFaultKind::Protocol),
        (
            "a nested member",
            bent("\"can\":[\"gzip\",\"ranges\"]", &format!("\"can\":{deep}")),
            SyncFaultKind::Protocol,
        ),
        ("a member twice", bent("\"more\":false", "\"more\":false,\"more\":false"), SyncFaultKind::Protocol),
        ("NaN", bent("\"cursor\":1", "\"cursor\":NaN"), SyncFaultKind::Protocol),
        ("infinite", bent("\"cursor\":1", "\"cursor\":1e999"), SyncFaultKind::Protocol),
        ("beyond 64 bits", bent("\"cursor\":1", "\"cursor\":18446744073709551616"), SyncFaultKind::Protocol),
        ("a lone surrogate", bent("\"epoch\":\"e\"", "\"epoch\":\"\\udfff\""), SyncFaultKind::Protocol),
        ("text for a number", bent("\"cursor\":1", "\"cursor\":\"1\""), SyncFaultKind::Protocol),
        ("text for a list", bent("\"pull\":[]", "\"pull\":\"\""), SyncFaultKind::Protocol),
        ("of tomorrow", bent("\"protocol\":1", "\"protocol\":2"), SyncFaultKind::Protocol),
        ("says nothing of what was sent", bent("\"took\":[0]", "\"took\":[]"), SyncFaultKind::Protocol),
        ("took what was not sent", bent("\"took\":[0]", "\"took\":[7,4294967295]"), SyncFaultKind::Protocol),
        ("has no sums", bent("\"sums\":[]", "\"sums\":null"), SyncFaultKind::Protocol),
        ("differs in another way", bent("\"differs\":null", "\"differs\":\"mood\""), SyncFaultKind::Protocol),
        ("ranges of words", ranges("\"ranges\":[{\"is\":\"parts\",\"parts\":7}]"), SyncFaultKind::Protocol),
        ("a token", http("401 Unauthorized", "", b"{}"), SyncFaultKind::Token),
        ("too old", http("426 Upgrade Required", "", b"{}"), SyncFaultKind::TooOld),
        ("a portal", http("302 Found", "Location: http://127.0.0.1:1/\r\n", b""), SyncFaultKind::Protocol),
        (
            "busy for ever",
            http("503 Service Unavailable", "Retry-After: 99999999999999\r\n", b"\xff"),
            SyncFaultKind::Later,
        ),
        ("a fault of lists", http("400 Bad Request", "", deep.as_bytes()), SyncFaultKind::Protocol),
    ];
    let many = cases.len();
    for (what, answer, kind) in cases {
        let mut device = Device::new(folder.file("a"), &hand());
        device.token = "t".into();
        device.write(&[note(1, "mine")]);
        let before = (device.store().digest().unwrap(), device.store().pending_count().unwrap());
        let (at, task) = liar(move |_| answer.clone()).await;
        let from = Instant::now();
        let fault = device.sync_as_desk(at).await.expect_err(what);
        assert!(from.elapsed() < LONG, "{what}: {:?}", from.elapsed());
        assert_eq!(fault.kind, kind, "{what}: {} {fault}", fault.code);
        assert!(!fault.remedy.is_empty(), "{what}");
        assert!(fault.wait_ms.is_none_or(|ms| ms <= 86_400_000), "{what}: waits {:?} ms", fault.wait_ms);
        let after = device.store().digest().unwrap();
        assert_eq!(after, before.0, "{what}: the record changed");
        assert_eq!(device.store().pending_count().unwrap(), before.1, "{what}: it waits no more");
        assert_eq!(device.store().check().unwrap().first_fault(), None, "{what}");
        task.abort();
        device.close();
        folder.forget("a");
    }
    println!(
        "F12: {many} answers of a host that is none: each told, nothing changed, nobody kept ({:.1} s)",
        began.elapsed().as_secs_f64()
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f12_a_host_without_end_is_left() {
    let began = Instant::now();
    let folder = Folder::in_memory();
    let answer = |change: fn(&mut Value, u32)| {
        move |n: u32| {
            let mut answer = sound();
            answer["took"] = if n == 0 { json!([0]) } else { json!([]) };
            change(&mut answer, n);
            http("200 OK", "", answer.to_string().as_bytes())
        }
    };
    let cases: Vec<(&str, Answers)> = vec![
        (
            "more for ever",
            Box::new(answer(|a, n| {
                a["more"] = json!(true);
                a["cursor"] = json!(n + 1);
            })),
        ),
        (
            "a new epoch for ever",
            Box::new(answer(|a, n| {
                a["more"] = json!(true);
                a["epoch"] = json!(format!("e{n}"));
                a["took"] = json!([0]);
            })),
        ),
        ("a copy for ever", Box::new(answer(|a, _| a["differs"] = json!("device")))),
        (
            "ahead for ever",
            Box::new(answer(|a, _| {
                a["took"] = json!([]);
                a["refused"] = json!([{ "at": 0, "code": "stamp_ahead", "reason": "r", "remedy": "r" }]);
            })),
        ),
        (
            "parts for ever",
            Box::new(answer(|a, n| {
                a["took"] = if n == 0 { json!([0]) } else { json!([]) };
                let part = json!({ "after": null, "up_to": null, "count": 9, "digest": "0".repeat(64) });
                a["ranges"] = json!([{ "is": "parts", "parts": vec![part; 4_000] }]);
            })),
        ),
    ];
    let many = cases.len();
    for (what, answers) in cases {
        let mut device = Device::new(folder.file("a"), &hand());
        device.token = "t".into();
        device.write(&[note(1, "mine")]);
        let before = device.all();
        let (at, task) = liar(answers).await;
        let from = Instant::now();
        let ended = tokio::time::timeout(Duration::from_mins(1), device.sync_as_desk(at)).await;
        let told = ended.unwrap_or_else(|_| panic!("{what}: it goes on and on"));
        if let Err(fault) = told {
            assert_eq!(fault.kind, SyncFaultKind::Protocol, "{what}: {fault}");
        }
        assert!(from.elapsed() < Duration::from_mins(1), "{what}: {:?}", from.elapsed());
        let texts = |all: &[Entry]| -> Vec<(EntryId, Option<String>)> {
            all.iter().map(|e| (e.id, e.fields.get("text").map(|f| f.value.text().to_owned()))).collect()
        };
        assert_eq!(texts(&device.all()), texts(&before), "{what}");
        task.abort();
        device.close();
        folder.forget("a");
    }
    println!("F12: {many} hosts without end: each left ({:.1} s)", began.elapsed().as_secs_f64());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f12_one_bad_entry_in_a_thousand_of_an_answer_spoils_only_itself() {
    let folder = Folder::in_memory();
    let cases: Vec<(Case, Vec<u8>)> = cases()
        .into_iter()
        .filter(|(c, bytes)| c.refused == 1 && serde_json::from_slice::<Box<RawValue>>(bytes).is_ok())
        .collect();
    for (n, (case, bytes)) in cases.iter().enumerate() {
        let mut device = Device::new(folder.file("a"), &hand());
        let moment = device.moment();
        device.write(&[note(5_000, "mine")]);
        let mut exchange = Exchange::begin(device.store(), "t").unwrap();
        let store = device.store_mut();
        assert!(matches!(exchange.next(store, &moment).unwrap(), Step::Send(_)));
        let mut pull: Vec<Box<RawValue>> = (0..999)
            .map(|n| RawValue::from_string(raw_note(n, "theirs", BEGAN_MS - 1_000).to_string()).unwrap())
            .collect();
        let bad: Box<RawValue> = serde_json::from_slice(bytes).unwrap();
        pull.insert((n * 97) % 1_000, bad);
        let text = sound().to_string();
        let answer =
            text.replace("\"pull\":[]", &format!("\"pull\":{}", serde_json::to_string(&pull).unwrap()));
        exchange.answer(store, 200, None, answer.as_bytes(), &moment, &mut system_random).unwrap();
        let told = exchange.told();
        assert_eq!((told.received, told.unread), (999, 1), "{}", case.name);
        assert_eq!(store.of_kind(&Kind::Note, None, 2_000).unwrap().len(), 1_000, "{}", case.name);
        device.close();
        folder.forget("a");
    }
    println!(
        "F12: {} bad entries, each among 999 good ones of an answer: passed over, the others taken",
        cases.len()
    );
    assert!(cases.len() > 20);
}
