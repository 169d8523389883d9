//! Hosts, devices and requests for the tests of this folder.

use plinth::client::{Paired, Reply, Way, exchange};
use plinth::host::account::{AccountId, Role};
use plinth::host::ledger::Ledger;
use plinth::host::serve::{Listening, Serving};
use plinth::host::signature;
use plinth::host::sqlite::SqliteStore;
use plinth::host::store::Store as _;
use plinth::host::tls::Certificate;
use plinth::host::{Clock, Found, Host, ledger_beside, system_clock};
use plinth_core::companion::Companion;
use plinth_core::moment::Moment;
use plinth_core::record::{Entry, EntryId, Kind};
use plinth_core::store::system_random;
use plinth_core::sync::{Invitation, SyncFault, Told, unpack};
use plinth_core::words::Language;
use serde_json::{Value, json};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use tokio::net::TcpListener;

/// A folder that goes away.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        let mut bits = [0; 8];
        system_random(&mut bits);
        let path = std::env::temp_dir().join(format!("plinth-host-{:016x}", u64::from_be_bytes(bits)));
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub(crate) fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Now, milliseconds.
pub(crate) fn now_ms() -> i64 {
    system_clock()()
}

/// The moment of now.
pub(crate) fn now() -> Moment {
    Moment { wall_ms: now_ms(), offset_min: 60, monotonic_ms: 0, boot: "b".into() }
}

/// A clock that is set.
pub(crate) fn set_clock() -> (Arc<AtomicI64>, Clock) {
    let at = Arc::new(AtomicI64::new(now_ms()));
    let read = Arc::clone(&at);
    (at, Arc::new(move || read.load(Ordering::SeqCst)))
}

/// A host that listens on a free port.
pub(crate) struct Running {
    pub(crate) host: Arc<Host<SqliteStore>>,
    pub(crate) serving: Serving,
    pub(crate) address: String,
    pub(crate) certificate: Option<[u8; 32]>,
    pub(crate) found: Option<Found>,
}

impl Running {
    pub(crate) async fn plain(folder: &Folder) -> Self {
        Self::begin(folder, "host", None, system_clock()).await
    }

    pub(crate) async fn begin(folder: &Folder, name: &str, own: Option<Certificate>, clock: Clock) -> Self {
        Self::keeping(folder, name, own, clock, None).await
    }

    /// As it begins, with a folder for backups.
    pub(crate) async fn keeping(
        folder: &Folder,
        name: &str,
        own: Option<Certificate>,
        clock: Clock,
        backups: Option<PathBuf>,
    ) -> Self {
        let file = folder.file(name);
        let store = SqliteStore::open(&file).unwrap();
        let (mut host, found) = Host::open(store, Ledger::at(&ledger_beside(&file)), clock).await.unwrap();
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let scheme = if own.is_some() { "https" } else { "http" };
        let address = format!("{scheme}://{}", listener.local_addr().unwrap());
        host.house.address.clone_from(&address);
        host.store.keep_house(host.house.clone()).await.unwrap();
        let host = Arc::new(host);
        let certificate = own.as_ref().map(Certificate::fingerprint);
        let listening = Listening {
            tls: own.map(|c| c.server().unwrap()),
            behind_proxy: false,
            metrics: Some("127.0.0.1:0".parse().unwrap()),
            pages: plinth::desk::pages(
                &host,
                certificate.is_some(),
                signature::key(&file).unwrap(),
                plinth::desk::Keeping { store: file.clone(), backups, ..plinth::desk::Keeping::default() },
            ),
        };
        let serving = Serving::begin(Arc::clone(&host), listener, listening).await.unwrap();
        Self { host, serving, address, certificate, found }
    }

    /// An invitation for an account.
    pub(crate) async fn invite(&self, account: &str, role: Role) -> Invitation {
        let code = self.host.offer(&named(account), role).await.unwrap();
        let invitation = Invitation::new(&self.address, "", &code).unwrap();
        Invitation { certificate: self.certificate, ..invitation }
    }

    /// A token for an account, as pairing gives it.
    pub(crate) async fn token(&self, account: &str, role: Role) -> String {
        let invitation = self.invite(account, role).await;
        let body =
            json!({"code": invitation.code, "device": "00000000000000aa", "name": "phone", "app": "0.1.0"});
        let (status, answer) = self.ask("POST", "/v1/pair", None, Some(body)).await;
        assert_eq!(status, 200, "{answer}");
        answer["token"].as_str().unwrap().to_owned()
    }

    /// Takes entries into an account by a sync, all of them.
    pub(crate) async fn push(&self, token: &str, push: Vec<Value>) {
        let n = push.len();
        let (status, answer) = self.ask("POST", "/v1/sync", Some(token), Some(request(None, 0, push))).await;
        assert_eq!((status, answer["took"].as_array().map(Vec::len)), (200, Some(n)), "{answer}");
    }

    /// What an account holds of a kind, as its devices get it.
    pub(crate) async fn held(&self, account: &str, kind: &Kind) -> Vec<Entry> {
        let (mut all, mut cursor) = (Vec::new(), 0);
        loop {
            let page = self.host.store.after(&named(account), cursor, None, 100, 1 << 20).await.unwrap();
            cursor = page.up_to;
            all.extend(page.entries.into_iter().map(|kept| kept.held().expect("it is sound").entry));
            if !page.more {
                all.retain(|e: &Entry| e.kind == *kind);
                all.sort_by_key(|e| e.id);
                return all;
            }
        }
    }

    pub(crate) fn way(&self) -> Way {
        Way::to(&self.address, self.certificate).unwrap()
    }

    /// Asks and reads the answer as JSON.
    pub(crate) async fn ask(
        &self,
        method: &str,
        path: &str,
        token: Option<&str>,
        body: Option<Value>,
    ) -> (u16, Value) {
        let mut headers = vec![("Content-Type".to_owned(), "application/json".to_owned())];
        headers.extend(token.map(|t| ("Authorization".to_owned(), format!("Bearer {t}"))));
        let body = body.map(|b| serde_json::to_vec(&b).unwrap()).unwrap_or_default();
        let reply = self.way().send(method.parse().unwrap(), path, &headers, body).await.unwrap();
        (reply.status, json_of(&reply))
    }
}

pub(crate) fn json_of(reply: &Reply) -> Value {
    let plain = unpack(&reply.body, 16 * 1024 * 1024).unwrap();
    serde_json::from_slice(&plain).unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&plain)))
}

pub(crate) fn named(account: &str) -> AccountId {
    account.parse().unwrap()
}

pub(crate) fn id(n: u64) -> EntryId {
    EntryId::new(1_777_800_000_000 + n, [3; 10])
}

/// An entry as JSON, with a stamp of some minutes ago.
pub(crate) fn entry(n: u64, kind: &str, fields: Value, minutes_ago: i64) -> Value {
    let ms = now_ms() - minutes_ago * 60_000;
    entry_at(n, kind, fields, ms)
}

#[allow(clippy::needless_pass_by_value)] // it is made at the call
pub(crate) fn entry_at(n: u64, kind: &str, fields: Value, ms: i64) -> Value {
    let fields: serde_json::Map<String, Value> =
        fields.as_object().unwrap().iter().map(|(k, v)| (k.clone(), json!({ "value": v }))).collect();
    json!({"id": id(n), "kind": kind, "stamp": format!("{ms:012x}-0000-0000000000000001"), "fields": fields})
}

pub(crate) fn note(n: u64, text: &str, minutes_ago: i64) -> Value {
    entry(n, "note", json!({ "text": text }), minutes_ago)
}

/// A request of a sync.
#[allow(clippy::needless_pass_by_value)] // it is made at the call
pub(crate) fn request(epoch: Option<&str>, cursor: u64, push: Vec<Value>) -> Value {
    json!({
        "protocol": 1, "app": "0.1.0", "device": "00000000000000aa", "epoch": epoch, "cursor": cursor,
        "can": ["gzip", "ranges"], "push": push, "want": 500, "sums": true, "ranges": [], "fetch": [],
    })
}

/// A lifter's device: a record on disk, paired or not.
pub(crate) struct Device {
    pub(crate) companion: Companion,
    pub(crate) record: PathBuf,
}

impl Device {
    pub(crate) fn open(folder: &Folder, name: &str) -> Self {
        let record = folder.file(name);
        let opened = Companion::open(&record, Language::English, &now(), Box::new(system_random)).unwrap();
        Self { companion: opened.companion, record }
    }

    pub(crate) async fn pair(&self, invitation: &Invitation) -> Paired {
        let device = self.companion.store().device();
        Paired::redeem(&self.record, invitation, device, "phone", now_ms()).await.unwrap()
    }

    /// Takes entries into the record.
    #[allow(clippy::needless_pass_by_value)] // it is made at the call
    pub(crate) fn write(&mut self, entries: Vec<Value>) {
        let document = json!({"form": "plinth.record/1", "entries": entries});
        let imported = self.companion.import_json(document.to_string().as_bytes(), &now()).unwrap();
        assert!(imported.refused.is_empty(), "{:?}", imported.refused);
    }

    pub(crate) async fn sync(&mut self, paired: &Paired) -> Result<Told, SyncFault> {
        exchange(&mut self.companion, &mut paired.way().unwrap(), &paired.token, &mut now).await
    }

    pub(crate) fn entries(&self) -> Vec<Entry> {
        self.companion.store().all(None, 1_000_000).unwrap()
    }
}
