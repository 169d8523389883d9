//! Strangers at the door: refused, noted without what they sent, held to a rate; nothing is read and nothing changed.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

mod support;

use plinth::host::account::{AccountId, Role, hashed};
use plinth::host::door::OPENAPI;
use plinth::host::ledger::Ledger;
use plinth::host::sqlite::SqliteStore;
use plinth::host::{Host, ledger_beside, system_clock};
use plinth_core::record::DeviceId;
use plinth_core::sync::{Limits, PAIR_PATH, PATH, pack};
use plinth_tests::faults::Folder;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::net::SocketAddr;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use support::raw::{self, ask, bytes_of, header};
use support::{BEGAN_MS, House, MINUTE_MS, digest_of, hand, id, key_of, named, raw_note, request};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// What the record of the lifter says, and no stranger may read.
const SECRET: &str = "a word for nobody else";

/// Every path of the door, with whether it asks for a token.
const ENDPOINTS: [(&str, &str, bool); 12] = [
    ("GET", "/healthz", false),
    ("GET", "/v1/openapi.json", false),
    ("POST", "/v1/pair", false),
    ("POST", "/v1/sync", true),
    ("POST", "/v1/token", true),
    ("GET", "/v1/devices", true),
    ("DELETE", "/v1/devices/{key}", true),
    ("GET", "/v1/audit", true),
    ("GET", "/v1/lifters", true),
    ("GET", "/v1/lifters/{account}/record", true),
    ("POST", "/v1/lifters/{account}/record", true),
    ("GET", "/v1/of_tomorrow", true),
];

async fn with_record(house: &House, account: &str) -> String {
    let token = house.token(account, Role::Lifter, DeviceId::new(1)).await;
    let push: Vec<Value> = (0..5).map(|n| raw_note(n, SECRET, BEGAN_MS - 1)).collect();
    let body = request(&push).to_string();
    assert_eq!(ask(house.at(), "POST", PATH, Some(&token), body.as_bytes()).await.status, 200);
    token
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f18_no_endpoint_says_or_changes_anything_for_a_token_that_does_not_count() {
    let folder = Folder::in_memory();
    let hand = hand();
    let house = House::with(folder.file("host"), &hand, Limits::default(), false).await;
    let anna = with_record(&house, "anna").await;
    let ben = with_record(&house, "ben").await;
    let mara = house.token("mara", Role::Coach, DeviceId::new(3)).await;
    let keeper = house.token("keeper", Role::Host, DeviceId::new(4)).await;
    // One that was renewed, and the new one used: the old one counts no more.
    let old = house.token("anna", Role::Lifter, DeviceId::new(5)).await;
    let renewed: Value =
        serde_json::from_str(&ask(house.at(), "POST", "/v1/token", Some(&old), b"").await.body).unwrap();
    let new = renewed["token"].as_str().unwrap().to_owned();
    assert_eq!(ask(house.at(), "GET", "/v1/devices", Some(&new), b"").await.status, 200);
    // One that was revoked.
    let revoked = house.token("anna", Role::Lifter, DeviceId::new(6)).await;
    let key = key_of(&house, "anna", &revoked).await;
    house.host.revoke(&named("anna"), &key, &named("anna")).await.unwrap();
    // One of an account that was erased.
    let erased = with_record(&house, "gone").await;
    house.host.erase(&named("gone")).await.unwrap();

    let secret = |token: &str| token.split_once('.').unwrap().1.to_owned();
    let mut wrong = anna.clone();
    wrong.replace_range(anna.len() - 1.., if anna.ends_with('0') { "1" } else { "0" });
    let headers: Vec<(&str, Option<String>)> = vec![
        ("none", None),
        ("empty", Some(String::new())),
        ("no scheme", Some(anna.clone())),
        ("another scheme", Some(format!("Basic {anna}"))),
        ("wrong", Some(format!("Bearer {wrong}"))),
        ("cut short", Some(format!("Bearer {}", &anna[..anna.len() - 1]))),
        ("longer", Some(format!("Bearer {anna}0"))),
        ("without its account", Some(format!("Bearer {}", secret(&anna)))),
        ("of another account", Some(format!("Bearer anna.{}", secret(&ben)))),
        ("of no account", Some(format!("Bearer nobody.{}", secret(&anna)))),
        ("of a path", Some(format!("Bearer ../anna.{}", secret(&anna)))),
        (
            "the kept hash",
            Some(format!("Bearer anna.{}", plinth_core::record::hex_of(&hashed(&secret(&anna))))),
        ),
        ("replaced", Some(format!("Bearer {old}"))),
        ("revoked", Some(format!("Bearer {revoked}"))),
        ("erased", Some(format!("Bearer {erased}"))),
        ("long", Some(format!("Bearer anna.{}", "0".repeat(8_000)))),
    ];
    // The list is that of the description, where there is one.
    let described: Value = serde_json::from_str(OPENAPI).unwrap();
    if let Some(paths) = described["paths"].as_object() {
        let here: BTreeSet<&str> =
            ENDPOINTS.iter().map(|e| e.1).filter(|p| *p != "/v1/of_tomorrow").collect();
        let there: BTreeSet<&str> = paths.keys().map(String::as_str).collect();
        assert_eq!(here, there, "an endpoint is not tried here");
    }
    let before = digest_of(&house.file);
    let anna_key = key_of(&house, "anna", &anna).await;
    let real = |path: &str| path.replace("{key}", &anna_key).replace("{account}", "anna");
    let body = request(&[raw_note(99, "by a stranger", BEGAN_MS - 1)]).to_string();
    let mut tries = 0;
    for (method, path, guarded) in ENDPOINTS {
        let path = real(path);
        // Tokens that nobody was given are held to a rate, which another test tries.
        house.pass(MINUTE_MS);
        for (what, value) in &headers {
            let mut sent = vec![("Content-Type", "application/json")];
            sent.extend(value.as_deref().map(|v| ("Authorization", v)));
            let said = raw::send(house.at(), &bytes_of(method, &path, &sent, body.as_bytes())).await;
            tries += 1;
            assert!(!said.body.contains(SECRET), "{method} {path}, {what}");
            if guarded {
                assert_eq!(
                    (said.status, said.code().as_str()),
                    (401, "token"),
                    "{method} {path}, {what}: {said:?}"
                );
                let asked = header(&said.head, "www-authenticate"); // RFC 6750, section 3
                assert_eq!(asked, Some("Bearer realm=\"plinth\""), "{method} {path}, {what}");
            }
        }
        // No other method says more.
        for other in ["GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "HEAD", "BREW"] {
            let said = ask(house.at(), other, &path, None, b"").await;
            tries += 1;
            let harmless = !guarded && (other == method || other == "HEAD" || said.status == 405);
            assert!(said.status == 401 || harmless, "{other} {path}: {}", said.status);
        }
    }
    assert_eq!(digest_of(&house.file), before, "a stranger changed something");
    // Another's token that does count, at what is not theirs.
    let others = [
        (&ben, "DELETE", real("/v1/devices/{key}"), 404),
        (&ben, "GET", real("/v1/lifters/{account}/record"), 403),
        (&ben, "POST", real("/v1/lifters/{account}/record"), 403),
        (&ben, "GET", "/v1/lifters".to_owned(), 403),
        (&mara, "DELETE", real("/v1/devices/{key}"), 404),
        (&mara, "GET", real("/v1/lifters/{account}/record"), 404),
        (&mara, "POST", real("/v1/lifters/{account}/record"), 404),
        (&mara, "GET", "/v1/lifters/nobody/record".to_owned(), 404),
        (&keeper, "POST", PATH.to_owned(), 403),
        (&keeper, "GET", real("/v1/lifters/{account}/record"), 403),
        (&keeper, "DELETE", real("/v1/devices/{key}"), 404),
    ];
    for (token, method, path, status) in &others {
        let said = ask(house.at(), method, path, Some(token), body.as_bytes()).await;
        assert_eq!(said.status, *status, "{method} {path}: {}", said.body);
        assert!(!said.body.contains(SECRET), "{method} {path}");
        tries += 1;
    }
    // Of two lifters with the same ids, each gets only their own.
    let mut whole = request(&[]);
    whole["want"] = json!(100);
    whole["fetch"] = json!([id(0)]);
    let said = ask(house.at(), "POST", PATH, Some(&ben), whole.to_string().as_bytes()).await;
    assert_eq!(said.status, 200);
    assert_eq!(digest_of(&house.file), before, "another's token changed something");
    // Anna reads who tried; a stranger's word is not in it.
    let audit = ask(house.at(), "GET", "/v1/audit", Some(&anna), b"").await;
    let noted = audit.body.matches("\"refused\"").count();
    assert!(audit.status == 200 && noted > 0 && !audit.body.contains("by a stranger"), "{}", audit.body);
    house.sound().await;
    println!(
        "F18: {} endpoints, {tries} tries with {} tokens that do not count, other methods, and {} others' tokens; \
         nothing read, nothing changed",
        ENDPOINTS.len(),
        headers.len(),
        others.len()
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f18_odd_paths_and_odd_messages_lead_nowhere() {
    let folder = Folder::in_memory();
    let hand = hand();
    let house = House::with(folder.file("host"), &hand, Limits::default(), false).await;
    let anna = with_record(&house, "anna").await;
    let ben = with_record(&house, "ben").await;
    let mara = house.token("mara", Role::Coach, DeviceId::new(3)).await;
    let before = digest_of(&house.file);
    let long = format!("/v1/devices/{}", "a".repeat(12_000));
    let paths = [
        "/",
        "//",
        "/.",
        "/..",
        "/../../etc/passwd",
        "/v1/../healthz/../v1/audit",
        "/v1//audit",
        "//v1/audit",
        "/V1/audit",
        "/v1/audit/",
        "/v1/audit;a=b",
        "/v1/audit%00",
        "/v1/audit%2f",
        "/%76%31/audit",
        "/v1/%61udit",
        "/v1/devices/..%2f..%2faudit",
        "/v1/devices/%2e%2e",
        "/v1/devices/%ff",
        "/v1/devices/%00",
        "/v1/lifters/anna%2frecord",
        "/v1/lifters/anna/record/",
        "/v1/lifters/../lifters/anna/record",
        "/v1/lifters/%61nna/record%20",
        "/v1/lifters/ANNA/record",
        "/v1/lifters/anna%00/record",
        "/v1/lifters/%e2%80%ae/record",
        "/v1/lifters//record",
        "/v1/lifters/'%20or%201=1/record",
        "http://gym/v1/lifters/anna/record",
        "/v1/lifters/anna/record?after=-1",
        "/v1/lifters/anna/record?after=1e999",
        "/v1/lifters/anna/record?after=18446744073709551616",
        "/metrics",
        "/v1/metrics",
        "/host",
        "/plinth.ledger",
        "/v1/openapi.json/../audit",
        "*",
        long.as_str(),
    ];
    let mut tries = 0;
    for path in paths {
        for token in [None, Some(&ben), Some(&mara)] {
            for method in ["GET", "POST", "DELETE"] {
                let said = ask(house.at(), method, path, token.map(|t| &t[..]), b"{}").await;
                tries += 1;
                assert!((400..500).contains(&said.status), "{method} {path}: {said:?}");
                assert!(!said.body.contains(SECRET) && !said.body.contains("root:"), "{method} {path}");
                if token.is_none() && path.starts_with("/v1/") && path != "/v1/openapi.json/../audit" {
                    assert_eq!(said.status, 401, "{method} {path}: {said:?}");
                }
            }
        }
    }
    // Messages with two ends, or none: whatever is made of them, nobody's record is in the answer.
    let inner = format!("GET /v1/audit HTTP/1.1\r\nHost: gym\r\nAuthorization: Bearer {}\r\n\r\n", &ben);
    let big_head = format!("GET /v1/audit HTTP/1.1\r\nHost: gym\r\nX: {}\r\n\r\n", "x".repeat(64 * 1024));
    let many_heads = format!("GET /v1/audit HTTP/1.1\r\nHost: gym\r\n{}\r\n", "X: x\r\n".repeat(2_000));
    let messages: Vec<Vec<u8>> = vec![
        b"\r\n\r\n\r\n".to_vec(),
        b"GET\r\n\r\n".to_vec(),
        b"GET /v1/audit\r\n\r\n".to_vec(),
        b"GET /v1/audit HTTP/9.9\r\n\r\n".to_vec(),
        b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_vec(),
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03".to_vec(),
        b"GET /v1/audit HTTP/1.1\nHost: gym\n\n".to_vec(),
        b"GET /v1/au\0dit HTTP/1.1\r\nHost: gym\r\n\r\n".to_vec(),
        b"GET /v1/audit HTTP/1.1\r\nHost: gym\r\nAuthorization: Bearer a\0b\r\n\r\n".to_vec(),
        b"GET /v1/audit HTTP/1.1\r\nHost: gym\r\nAuthorization: Bearer \xff\xfe\r\nConnection: close\r\n\r\n"
            .to_vec(),
        b"POST /v1/sync HTTP/1.1\r\nHost: gym\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\n{}   "
            .to_vec(),
        b"POST /v1/sync HTTP/1.1\r\nHost: gym\r\nContent-Length: -1\r\n\r\n{}".to_vec(),
        b"POST /v1/sync HTTP/1.1\r\nHost: gym\r\nTransfer-Encoding: chunked\r\n\r\nZZ\r\n{}".to_vec(),
        b"POST /v1/pair HTTP/1.1\r\nHost: gym\r\nTransfer-Encoding: chunked\r\n\r\nFFFFFFFFFFFFFFFFF\r\n{}"
            .to_vec(),
        b"POST /v1/pair HTTP/1.1\r\nHost: gym\r\nContent-Length: 4\r\nTransfer-Encoding: chunked\r\n\
            Connection: close\r\n\r\n0\r\n\r\n"
            .to_vec(),
        big_head.into_bytes(),
        many_heads.into_bytes(),
        format!(
            "POST /v1/sync HTTP/1.1\r\nHost: gym\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{inner}",
            inner.len()
        )
        .into_bytes(),
    ];
    for (n, message) in messages.iter().enumerate() {
        // What keeps the connection open is ended by who asks.
        let said =
            tokio::time::timeout(Duration::from_secs(15), raw::send(house.at(), message)).await.unwrap();
        tries += 1;
        assert!(said.status == 0 || (400..600).contains(&said.status), "message {n}: {said:?}");
        assert!(!said.body.contains("HTTP/1.1 200") && !said.body.contains(SECRET), "message {n}: {said:?}");
    }
    assert_eq!(digest_of(&house.file), before, "something changed");
    assert_eq!(ask(house.at(), "GET", "/v1/audit", Some(&anna), b"").await.status, 200, "the host serves on");
    house.sound().await;
    println!(
        "F18: {} odd paths and {} odd messages, {tries} tries; nothing read, nothing changed",
        paths.len(),
        messages.len()
    );
}

/// The real host as a process, with its log in a file.
struct Process {
    child: Child,
    at: SocketAddr,
}

impl Process {
    fn begin(store: &Path, log: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_plinth"))
            .arg("serve")
            .arg(store)
            .args(["--plain", "--listen", "127.0.0.1:0"])
            .env("LANG", "C")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(std::fs::File::create(log).unwrap())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let line = lines.map(Result::unwrap).find(|l| l.contains("http://")).unwrap();
        let at = line.split("http://").nth(1).unwrap();
        let end = at.find(|c: char| c != '.' && c != ':' && !c.is_ascii_digit()).unwrap_or(at.len());
        Self { at: at[..end].trim_end_matches('.').parse().unwrap(), child }
    }

    /// The most memory that it has ever had, in megabytes, where the system tells.
    fn peak_mb(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
        Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? / 1024)
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Sends a head, then a piece every half second, until the host has had enough or a minute is over; says what it said
/// and how long it took.
async fn slowly(at: SocketAddr, head: String, piece: &'static [u8]) -> (u16, Duration) {
    let (pause, most) = (Duration::from_millis(500), Duration::from_mins(1));
    let began = Instant::now();
    let mut stream = TcpStream::connect(at).await.unwrap();
    stream.write_all(head.as_bytes()).await.unwrap();
    let (mut read, mut write) = stream.split();
    let mut answer = Vec::new();
    let sending = async {
        while began.elapsed() < most {
            if write.write_all(piece).await.is_err() {
                break;
            }
            tokio::time::sleep(pause).await;
        }
    };
    tokio::select! {
        () = sending => {}
        _ = read.read_to_end(&mut answer) => {}
    }
    let text = String::from_utf8_lossy(&answer).into_owned();
    (text.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0), began.elapsed())
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn f18_too_much_too_slow_and_too_many_leave_the_host_serving() {
    let began = Instant::now();
    let folder = Folder::new();
    let (store, log) = (folder.file("host"), folder.file("log"));
    let process = Process::begin(&store, &log);
    let at = process.at;
    let beside = async || {
        let ledger = Ledger::at(&ledger_beside(&store));
        Host::beside(SqliteStore::open(&store).unwrap(), ledger, system_clock()).await.unwrap().0
    };
    let account: AccountId = named("anna");
    let code = beside().await.offer(&account, Role::Lifter).await.unwrap();
    let body =
        json!({ "code": code, "device": "00000000000000aa", "name": "phone", "app": "0.1.0" }).to_string();
    let told: Value =
        serde_json::from_str(&ask(at, "POST", PAIR_PATH, None, body.as_bytes()).await.body).unwrap();
    let token = told["token"].as_str().unwrap().to_owned();
    let push: Vec<Value> = (0..5).map(|n| raw_note(n, SECRET, system_clock()() - 1_000)).collect();
    let push = request(&push).to_string();
    assert_eq!(ask(at, "POST", PATH, Some(&token), push.as_bytes()).await.status, 200);
    let before = digest_of(&store);

    // 100 MB bodies, with and without a token, stated and in chunks; eight at once.
    let bearer = format!("Bearer {token}");
    let heavy = std::sync::Arc::new(vec![b' '; 100 * 1024 * 1024]);
    let mut together = tokio::task::JoinSet::new();
    for n in 0..8 {
        let (heavy, bearer) = (std::sync::Arc::clone(&heavy), bearer.clone());
        together.spawn(async move {
            let path = if n % 2 == 0 { PATH } else { PAIR_PATH };
            let mut headers = vec![("Content-Type", "application/json")];
            if n % 4 < 2 {
                headers.push(("Authorization", &bearer));
            }
            let body = if n < 4 {
                heavy.to_vec()
            } else {
                headers.push(("Transfer-Encoding", "chunked"));
                let mut chunked = format!("{:x}\r\n", heavy.len()).into_bytes();
                chunked.extend(&heavy[..]);
                chunked.extend(b"\r\n0\r\n\r\n");
                chunked
            };
            (n, raw::send(at, &bytes_of("POST", path, &headers, &body)).await)
        });
    }
    let mut said_so = 0;
    while let Some(done) = together.join_next().await {
        let (n, said) = done.unwrap();
        // Where the connection is cut in mid-body, the answer may be lost with it.
        assert!([0, 401, 413].contains(&said.status), "long body {n}: {said:?}");
        said_so += u32::from(said.status != 0);
    }
    // Bombs: a thousand times as much as they weigh.
    let bomb = pack(&vec![b' '; 64 * 1024 * 1024]).unwrap();
    let bombs = 24;
    for n in 0..bombs {
        let (bomb, bearer) = (bomb.clone(), bearer.clone());
        together.spawn(async move {
            let path = if n % 2 == 0 { PATH } else { PAIR_PATH };
            let headers = [
                ("Content-Type", "application/json"),
                ("Authorization", &bearer[..]),
                ("Content-Encoding", "gzip"),
            ];
            (n, raw::send(at, &bytes_of("POST", path, &headers, &bomb)).await)
        });
    }
    while let Some(done) = together.join_next().await {
        let (n, said) = done.unwrap();
        assert_eq!((said.status, said.code().as_str()), (413, "too_long"), "bomb {n}: {said:?}");
    }
    let peak = process.peak_mb();
    assert!(peak.is_none_or(|mb| mb < 300), "{peak:?} MB for what is refused");

    // Slow clients, and a thousand connections that say nothing, all at once. All of them are one peer.
    let head = "POST /v1/sync HTTP/1.1\r\nHost: gym\r\nContent-Type: application/json\r\n";
    let whole = format!("{head}Authorization: {bearer}\r\nContent-Length: 1000000\r\n\r\n");
    let slow = |head: &str, piece: &'static [u8]| tokio::spawn(slowly(at, head.to_owned(), piece));
    let (slow_head, slow_body, silent_body) =
        (slow(head, b"X: y\r\n"), slow(&whole, b" "), slow(&whole, b""));
    tokio::time::sleep(Duration::from_millis(200)).await;
    let mut idle = Vec::new();
    for _ in 0..1_000 {
        idle.extend(TcpStream::connect(at).await);
    }
    let opened = idle.len();
    let began_idle = Instant::now();
    // They are let go after some seconds, and then the host serves this peer again.
    let served = async {
        loop {
            let said = ask(at, "GET", "/v1/devices", Some(&token), b"").await;
            if said.status == 200 {
                return began_idle.elapsed();
            }
            assert!(began_idle.elapsed() < Duration::from_secs(30), "idle connections keep others out");
            tokio::time::sleep(Duration::from_millis(250)).await;
        }
    };
    let waited = served.await;
    drop(idle);
    let (slow_head, slow_body, silent_body) = tokio::join!(slow_head, slow_body, silent_body);
    let (slow_head, slow_body, silent_body) = (slow_head.unwrap(), slow_body.unwrap(), silent_body.unwrap());
    assert!([0, 408].contains(&slow_head.0) && slow_head.1 < Duration::from_secs(20), "{slow_head:?}");
    assert!(slow_body.0 == 408 && slow_body.1 < Duration::from_secs(45), "{slow_body:?}");
    assert!(silent_body.0 == 408 && silent_body.1 < Duration::from_secs(45), "{silent_body:?}");

    assert_eq!(ask(at, "GET", "/v1/devices", Some(&token), b"").await.status, 200, "the host serves on");
    assert_eq!(digest_of(&store), before, "something changed");
    assert_eq!(SqliteStore::open(&store).unwrap().check().await.unwrap().faults, Vec::<String>::new());
    // Noted, and without what was sent.
    let noted = std::fs::read_to_string(&log).unwrap();
    let lines = noted.lines().filter(|l| l.contains("answered")).count();
    for status in ["status=401", "status=413", "status=408"] {
        assert!(noted.contains(status), "{status} is not noted");
    }
    for word in [SECRET, &token, token.split_once('.').unwrap().1, &code, "anna"] {
        assert!(!noted.contains(word), "the log says {word}");
    }
    assert!(!noted.contains("panicked"), "{noted}");
    println!(
        "F18: 8 bodies of 100 MB ({said_so} told so), {bombs} bombs, {opened} idle connections (served again after \
         {:.1} s), slow head cut after {:.1} s, slow bodies after {:.1} s; peak {} MB, {lines} requests noted without \
         content ({:.1} s)",
        waited.as_secs_f64(),
        slow_head.1.as_secs_f64(),
        slow_body.1.as_secs_f64(),
        peak.map_or_else(|| "unknown".to_owned(), |mb| mb.to_string()),
        began.elapsed().as_secs_f64()
    );
}
