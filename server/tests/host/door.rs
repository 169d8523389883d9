//! Strangers, and what is too much: refused, and nothing read or changed.

use crate::common::{Folder, Running, json_of, named, note, request, set_clock};
use plinth::client::Way;
use plinth::host::account::Role;
use plinth_core::sync::pack;
use serde_json::{Value, json};
use std::sync::atomic::Ordering;
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

const GUARDED: [(&str, &str); 10] = [
    ("POST", "/v1/sync"),
    ("POST", "/v1/token"),
    ("GET", "/v1/devices"),
    ("DELETE", "/v1/devices/0000000000000000"),
    ("GET", "/v1/audit"),
    ("GET", "/v1/lifters"),
    ("GET", "/v1/lifters/anna/record"),
    ("POST", "/v1/lifters/anna/record"),
    ("GET", "/v1/anything/else"),
    ("GET", "/v1"),
];

#[tokio::test]
async fn no_path_says_anything_without_a_token() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let (anna, ben) = (running.token("anna", Role::Lifter).await, running.token("ben", Role::Lifter).await);
    let crossed = format!("anna.{}", ben.split_once('.').unwrap().1);
    let mut wrong = anna.clone();
    wrong.replace_range(anna.len() - 1.., if anna.ends_with('0') { "1" } else { "0" });
    for (method, path) in GUARDED {
        let bad = [
            None,
            Some(""),
            Some("anna"),
            Some("anna."),
            Some(wrong.as_str()),
            Some(crossed.as_str()),
            Some("..x"),
        ];
        for token in bad {
            let (status, fault) = running.ask(method, path, token, Some(request(None, 0, vec![]))).await;
            assert_eq!((status, fault["code"].as_str()), (401, Some("token")), "{method} {path} {token:?}");
            assert!(fault["remedy"].is_string());
        }
    }
    let (status, _) = running.ask("GET", "/v1/devices", Some(&anna), None).await;
    assert_eq!(status, 200);
    assert_eq!(running.ask("GET", "/v1/openapi.json", None, None).await.0, 200);
    let basic = vec![("Authorization".to_owned(), format!("Basic {anna}"))];
    let reply = running.way().send("GET".parse().unwrap(), "/v1/devices", &basic, Vec::new()).await.unwrap();
    assert_eq!(reply.status, 401);
}

#[tokio::test]
async fn a_device_is_revoked_from_another_and_at_once() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let (phone, desk) =
        (running.token("anna", Role::Lifter).await, running.token("anna", Role::Lifter).await);
    let ben = running.token("ben", Role::Lifter).await;
    let (_, list) = running.ask("GET", "/v1/devices", Some(&desk), None).await;
    let devices = list["devices"].as_array().unwrap();
    assert_eq!(devices.len(), 2);
    assert!(list.to_string().find("token").is_none(), "a list holds no secret");
    let other = devices.iter().find(|d| d["this"] == false).unwrap()["key"].as_str().unwrap();
    let path = format!("/v1/devices/{other}");
    let (status, fault) = running.ask("DELETE", &path, Some(&ben), None).await;
    assert_eq!((status, fault["code"].as_str()), (404, Some("not_found")), "another lifter's is not there");
    assert_eq!(running.ask("GET", "/v1/devices", Some(&phone), None).await.0, 200);
    assert_eq!(running.ask("DELETE", &path, Some(&desk), None).await.0, 200);
    assert_eq!(running.ask("GET", "/v1/devices", Some(&phone), None).await.0, 401);
    assert_eq!(running.ask("POST", "/v1/sync", Some(&phone), Some(request(None, 0, vec![]))).await.0, 401);
    assert_eq!(running.ask("DELETE", &path, Some(&desk), None).await.0, 200, "once more does no harm");
    for odd in ["/v1/devices/%00", "/v1/devices/..%2f..%2fanna", "/v1/devices/%ff"] {
        assert_eq!(running.ask("DELETE", odd, Some(&desk), None).await.0, 404, "{odd}");
    }
}

#[tokio::test]
async fn a_code_counts_once_for_ten_minutes_and_is_not_guessed() {
    let folder = Folder::new();
    let (clock, read) = set_clock();
    let running = Running::begin(&folder, "host", None, read).await;
    let pair = |code: &str| {
        let body = json!({"code": code, "device": "00000000000000aa", "name": "phone", "app": "0.1.0"});
        running.ask("POST", "/v1/pair", None, Some(body))
    };
    let code = running.host.offer(&named("anna"), Role::Lifter).await.unwrap();
    let (status, told) = pair(&code.to_lowercase().replace('-', " ")).await;
    assert_eq!((status, &told["account"], &told["role"]), (200, &json!("anna"), &json!("lifter")));
    let secret = told["token"].as_str().unwrap().split_once('.').unwrap().1;
    assert!(secret.len() == 64 && secret.bytes().all(|b| b.is_ascii_hexdigit()), "256 random bits");
    assert_eq!(pair(&code).await.1["code"], "code", "not twice");
    let late = running.host.offer(&named("anna"), Role::Lifter).await.unwrap();
    clock.fetch_add(10 * 60 * 1000, Ordering::SeqCst);
    let (status, fault) = pair(&late).await;
    assert_eq!((status, &fault["code"], &fault["field"]), (403, &json!("code"), &json!("code")), "not later");
    for name in ["", "  ", "a\nb", &"x".repeat(61)] {
        let body = json!({"code": "x", "device": "00000000000000aa", "name": name, "app": "0.1.0"});
        let (status, fault) = running.ask("POST", "/v1/pair", None, Some(body)).await;
        assert_eq!((status, &fault["field"]), (400, &json!("name")));
    }
    let good = running.host.offer(&named("anna"), Role::Lifter).await.unwrap();
    let mut statuses = Vec::new();
    for n in 0..12 {
        statuses.push(pair(&format!("AAAAA-AAAA{n}")).await.0);
    }
    assert!(statuses.contains(&403) && statuses.ends_with(&[429, 429]), "{statuses:?}");
    assert_eq!(pair(&good).await.0, 429, "who guesses too often is not heard, right or not");
    clock.fetch_add(61_000, Ordering::SeqCst);
    assert_eq!(pair(&good).await.0, 200);
    let other = running.host.offer(&named("anna"), Role::Coach).await.unwrap_err();
    assert_eq!(other.said.code, "other_role");
}

#[tokio::test]
async fn what_is_too_much_is_refused() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let token = running.token("anna", Role::Lifter).await;
    let post = async |path: &str, encoding: Option<&str>, kind: &str, body: Vec<u8>| {
        let mut headers = vec![
            ("Authorization".to_owned(), format!("Bearer {token}")),
            ("Content-Type".to_owned(), kind.to_owned()),
        ];
        headers.extend(encoding.map(|e| ("Content-Encoding".to_owned(), e.to_owned())));
        let reply = running.way().send("POST".parse().unwrap(), path, &headers, body).await.unwrap();
        (reply.status, json_of(&reply)["code"].as_str().unwrap().to_owned())
    };
    let json = "application/json";
    let bomb = pack(&vec![b' '; 64 * 1024 * 1024]).unwrap();
    assert!(bomb.len() < 100_000);
    assert_eq!(post("/v1/sync", Some("gzip"), json, bomb).await, (413, "too_long".into()));
    assert_eq!(post("/v1/sync", None, json, vec![b' '; 4 * 1024 * 1024 + 1]).await, (413, "too_long".into()));
    assert_eq!(post("/v1/pair", None, json, vec![b' '; 5000]).await, (413, "too_long".into()));
    assert_eq!(post("/v1/sync", Some("br"), json, vec![1]).await, (415, "content_encoding".into()));
    assert_eq!(post("/v1/sync", None, "text/html", vec![1]).await, (415, "content_type".into()));
    let deep = "[".repeat(100_000).into_bytes();
    assert_eq!(post("/v1/sync", None, json, deep).await, (400, "body".into()));
    assert_eq!(post("/v1/sync", None, json, vec![0xff, 0]).await, (400, "body".into()));
    let heap = note(1, &"x".repeat(4_150_000), 5);
    let long = serde_json::to_vec(&request(None, 0, vec![heap])).unwrap();
    let reply = running.way().post_json("/v1/sync", Some(&token), long).await.unwrap();
    let refused = &json_of(&reply)["refused"][0];
    assert_eq!((reply.status, &refused["code"]), (200, &json!("entry_too_long")), "no device could take it");
    for (method, path, status, code) in [
        ("GET", "/v1/pair", 405, "method"),
        ("GET", "/v1/sync", 405, "method"),
        ("GET", "/metrics", 404, "not_found"),
        ("GET", "/../etc/passwd", 404, "not_found"),
        ("GET", "/%2e%2e/%2e%2e/etc/passwd", 404, "not_found"),
        ("GET", "//v1/devices", 404, "not_found"),
        ("GET", "/v1/audit?after=-1", 400, "query"),
    ] {
        let (got, fault) = running.ask(method, path, Some(&token), None).await;
        assert_eq!((got, fault["code"].as_str()), (status, Some(code)), "{method} {path}");
    }
}

#[tokio::test]
async fn slow_and_broken_clients_are_let_go() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let raw = async |sent: &[u8]| {
        let mut stream = TcpStream::connect(running.serving.address).await.unwrap();
        stream.write_all(sent).await.unwrap();
        let mut answer = Vec::new();
        let read = stream.read_to_end(&mut answer);
        tokio::time::timeout(Duration::from_secs(20), read).await.expect("it is let go").ok();
        String::from_utf8_lossy(&answer).into_owned()
    };
    let long = format!("GET / HTTP/1.1\r\nHost: x\r\nX: {}\r\n\r\n", "y".repeat(64 * 1024));
    let (slow, odd, long) = tokio::join!(
        raw(b"POST /v1/sync HTTP/1.1\r\nHost: x\r\nAuth"),
        raw(b"\x16\x03\x01\x00\x05nonsense\r\n\r\n"),
        raw(long.as_bytes())
    );
    assert!(!slow.contains("200 OK"), "{slow}");
    assert!(odd.is_empty() || odd.starts_with("HTTP/1.1 400"), "{odd}");
    assert!(long.is_empty() || long.starts_with("HTTP/1.1 431"), "{long}");
    let (status, _) = running.ask("GET", "/v1/openapi.json", None, None).await;
    assert_eq!(status, 200, "the others are served");
    running.serving.end().await;
}

#[tokio::test]
async fn what_is_counted_names_nobody() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let token = running.token("anna", Role::Lifter).await;
    let _ = running
        .ask("POST", "/v1/sync", Some(&token), Some(request(None, 0, vec![note(1, "secret", 5)])))
        .await;
    let mut inner = Way::to(&format!("http://{}", running.serving.metrics.unwrap()), None).unwrap();
    let reply = inner.send("GET".parse().unwrap(), "/metrics", &[], Vec::new()).await.unwrap();
    let text = String::from_utf8(plinth_core::sync::unpack(&reply.body, 100_000).unwrap()).unwrap();
    assert!(text.contains("plinth_entries_taken_total 1\n"), "{text}");
    assert!(text.contains("plinth_requests_total{route=\"sync\",status=\"2xx\"} 1\n"), "{text}");
    assert!(!text.contains("anna") && !text.contains("secret"));
    let mut outer = running.way();
    let health = outer.send("GET".parse().unwrap(), "/healthz", &[], Vec::new()).await.unwrap();
    assert_eq!((health.status, &health.body[..]), (200, &b"ok\n"[..]));
}

#[tokio::test]
async fn a_role_of_the_host_has_no_record() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let token = running.token("desk", Role::Host).await;
    let (status, fault): (u16, Value) =
        running.ask("POST", "/v1/sync", Some(&token), Some(request(None, 0, vec![]))).await;
    assert_eq!((status, fault["code"].as_str()), (403, Some("role")));
}
