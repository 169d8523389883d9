//! What the fault tests share: a real host on a free port, devices with real records, and a bad way between them.
#![allow(dead_code)] // each test file uses a part
#![allow(clippy::unwrap_used)] // a test may stop at what should not be

pub(crate) mod hostile;
pub(crate) mod proxy;
pub(crate) mod raw;

use plinth::client::{Way, exchange};
use plinth::host::account::{AccountId, Role, hashed};
use plinth::host::ledger::Ledger;
use plinth::host::serve::{Listening, Serving};
use plinth::host::sqlite::SqliteStore;
use plinth::host::store::Store as _;
use plinth::host::{Found, Host, Quota, ledger_beside};
use plinth_core::companion::Companion;
use plinth_core::moment::Moment;
use plinth_core::record::{DeviceId, Edit, Entry, EntryId, Kind};
use plinth_core::store::{Store, system_random};
use plinth_core::sync::{Exchange, Limits, PairRequest, Step, SyncFault, SyncFaultKind, Told};
use plinth_core::words::Language;
use plinth_tests::faults::{Dice, Folder, pair};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use tokio::net::TcpListener;

/// When the invented days begin, milliseconds since 1970.
pub(crate) const BEGAN_MS: i64 = 1_777_800_000_000;
pub(crate) const MINUTE_MS: i64 = 60_000;
pub(crate) const HOUR_MS: i64 = 60 * MINUTE_MS;
/// More entries than any record of these tests has.
pub(crate) const ALL: u32 = 1_000_000;

pub(crate) fn named(account: &str) -> AccountId {
    account.parse().unwrap()
}

/// The clock of a house, which the test sets.
pub(crate) type Hand = Arc<AtomicI64>;

pub(crate) fn hand() -> Hand {
    Arc::new(AtomicI64::new(BEGAN_MS))
}

/// A host on a free port of this machine, over a store on the disk.
pub(crate) struct House {
    pub(crate) file: PathBuf,
    pub(crate) hand: Hand,
    pub(crate) host: Arc<Host<SqliteStore>>,
    pub(crate) found: Option<Found>,
    limits: Limits,
    many: bool,
    serving: Option<Serving>,
}

impl House {
    /// Opens the store of this name, or makes it, and listens.
    pub(crate) async fn open(folder: &Folder, name: &str, hand: &Hand) -> Self {
        Self::with(folder.file(name), hand, Limits::default(), true).await
    }

    /// As [`Self::open`], with other limits. Where `many`, the devices of this one machine are not taken for one peer.
    pub(crate) async fn with(file: PathBuf, hand: &Hand, limits: Limits, many: bool) -> Self {
        let store = SqliteStore::open(&file).unwrap();
        let at = Arc::clone(hand);
        let clock: plinth::host::Clock = Arc::new(move || at.load(Ordering::SeqCst));
        let (mut host, found) = Host::open(store, Ledger::at(&ledger_beside(&file)), clock).await.unwrap();
        host.limits = limits;
        host.quota = Quota { devices: 1_000, ..Quota::default() };
        let host = Arc::new(host);
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let listening =
            Listening { tls: None, behind_proxy: many, metrics: None, pages: axum::Router::new() };
        let serving = Serving::begin(Arc::clone(&host), listener, listening).await.unwrap();
        Self { file, hand: Arc::clone(hand), host, found, limits, many, serving: Some(serving) }
    }

    pub(crate) fn at(&self) -> SocketAddr {
        self.serving.as_ref().unwrap().address
    }

    /// Stops listening and lets go of the store.
    pub(crate) async fn close(mut self) {
        self.stop().await;
    }

    async fn stop(&mut self) {
        self.serving.take().unwrap().end().await;
    }

    /// Ends and begins again on the same store, with something done to its files between.
    pub(crate) async fn again(mut self, between: impl FnOnce(&Path)) -> Self {
        self.stop().await;
        let Self { file, hand, host, limits, many, .. } = self;
        let host = Arc::try_unwrap(host).map_err(|_| "others hold the host").ok().unwrap();
        drop(host);
        between(&file);
        Self::with(file, &hand, limits, many).await
    }

    pub(crate) fn now_ms(&self) -> i64 {
        self.hand.load(Ordering::SeqCst)
    }

    /// Lets time go by.
    pub(crate) fn pass(&self, ms: i64) {
        self.hand.fetch_add(ms, Ordering::SeqCst);
    }

    /// A token of a new device of an account.
    pub(crate) async fn token(&self, account: &str, role: Role, device: DeviceId) -> String {
        let code = self.host.offer(&named(account), role).await.unwrap();
        let request =
            PairRequest { code, device, name: "phone".into(), app: env!("CARGO_PKG_VERSION").into() };
        self.host.pair(IpAddr::V4(Ipv4Addr::LOCALHOST), &request).await.unwrap().token
    }

    /// All entries of an account, by id.
    pub(crate) async fn entries(&self, account: &str) -> Vec<Entry> {
        let page = self.host.store.after(&named(account), 0, None, ALL, u64::MAX).await.unwrap();
        assert_eq!((page.more, page.damaged), (false, 0));
        let mut entries: Vec<Entry> =
            page.entries.into_iter().map(|kept| kept.held().unwrap().entry).collect();
        entries.sort_by_key(|e| e.id);
        entries
    }

    /// How many changes an account has seen.
    pub(crate) async fn changes(&self, account: &str) -> u64 {
        self.host.store.head(&named(account), DeviceId::new(0), "").await.unwrap().number
    }

    /// That the store is sound, from end to end.
    pub(crate) async fn sound(&self) {
        assert_eq!(self.host.store.check().await.unwrap().faults, Vec::<String>::new());
    }

    /// That a device holds what the account holds: the same canonical text of every entry, the same sums, and nothing
    /// that waits.
    pub(crate) async fn alike(&self, account: &str, device: &Device, what: &str) {
        let ours: Vec<String> = device.all().iter().map(Entry::canonical).collect();
        let theirs: Vec<String> = self.entries(account).await.iter().map(Entry::canonical).collect();
        assert_eq!(ours, theirs, "{what}: {} differs from the host", device.file.display());
        let head = self.host.store.head(&named(account), device.store().device(), "").await.unwrap();
        let sums: BTreeMap<String, _> =
            device.store().kind_sums().unwrap().into_iter().map(|s| (s.kind, s.sum)).collect();
        let theirs: BTreeMap<String, _> = head.sums.into_iter().filter(|(_, s)| s.count > 0).collect();
        assert_eq!(sums, theirs, "{what}: the sums differ");
        assert_eq!(device.store().pending_count().unwrap(), 0, "{what}: something waits still");
        assert_eq!(device.store().check().unwrap().first_fault(), None, "{what}");
    }
}

/// Removes a host's store with its log; the ledger stays.
pub(crate) fn forget_store(store: &Path) {
    for end in ["", "-wal", "-shm", "-journal"] {
        let mut name = store.to_owned().into_os_string();
        name.push(end);
        let _ = std::fs::remove_file(name);
    }
}

/// Puts a backup in the place of a host's store; the ledger stays.
pub(crate) fn restore(from: &Path, store: &Path) {
    forget_store(store);
    std::fs::copy(from, store).unwrap();
}

/// When in a round something is done to a device's record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum When {
    /// Before the request is made.
    Before,
    /// While it is on its way.
    UnderWay,
    /// Once the answer is taken in.
    After,
}

/// A lifter's device: a record on the disk, a token, and a clock that may be wrong.
pub(crate) struct Device {
    store: Option<Store>,
    pub(crate) file: PathBuf,
    pub(crate) token: String,
    pub(crate) hand: Hand,
    pub(crate) skew_ms: i64,
}

impl Device {
    /// One that is not paired.
    pub(crate) fn new(file: PathBuf, hand: &Hand) -> Self {
        let mut device = Self { store: None, file, token: String::new(), hand: Arc::clone(hand), skew_ms: 0 };
        device.reopen();
        device
    }

    /// One that is paired with an account of a house.
    pub(crate) async fn paired(file: PathBuf, house: &House, account: &str) -> Self {
        let mut device = Self::new(file, &house.hand);
        device.pair(house, account).await;
        device
    }

    /// Pairs it, once more where it was paired before.
    pub(crate) async fn pair(&mut self, house: &House, account: &str) {
        self.token = house.token(account, Role::Lifter, self.store().device()).await;
    }

    pub(crate) fn store(&self) -> &Store {
        self.store.as_ref().unwrap()
    }

    pub(crate) fn store_mut(&mut self) -> &mut Store {
        self.store.as_mut().unwrap()
    }

    pub(crate) fn moment(&self) -> Moment {
        moment(self.hand.load(Ordering::SeqCst) + self.skew_ms)
    }

    /// Closes its record, as a phone does whose program is ended.
    pub(crate) fn close(&mut self) {
        self.store = None;
    }

    /// Closes and opens its record.
    pub(crate) fn reopen(&mut self) {
        self.close();
        let opened = Store::open(&self.file, &self.moment(), &mut system_random).unwrap();
        assert!(opened.recovered.is_none(), "the record was damaged");
        self.store = Some(opened.store);
    }

    /// Copies its file, identity and all.
    pub(crate) fn copy_to(&mut self, to: &Path) {
        self.close();
        std::fs::copy(&self.file, to).unwrap();
        self.reopen();
    }

    /// Puts another file in the place of its own.
    pub(crate) fn put_back(&mut self, from: &Path) {
        self.close();
        restore(from, &self.file);
        self.reopen();
    }

    pub(crate) fn write(&mut self, edits: &[Edit]) {
        let moment = self.moment();
        self.store_mut().write(edits, None, &moment).unwrap();
    }

    pub(crate) fn all(&self) -> Vec<Entry> {
        self.store().all(None, ALL).unwrap()
    }

    pub(crate) fn text_of(&self, id: &EntryId) -> Option<String> {
        let entry = self.store().entry(id).unwrap()?;
        Some(entry.fields.get("text")?.value.text().to_owned())
    }

    /// One exchange over a connection of its own.
    pub(crate) async fn sync(&mut self, at: SocketAddr) -> Result<Told, SyncFault> {
        self.sync_while(at, &mut |_, _, _| {}).await
    }

    /// As [`Self::sync`], with something done to the record at each step.
    pub(crate) async fn sync_while(
        &mut self,
        at: SocketAddr,
        meanwhile: &mut (dyn FnMut(u32, When, &mut Store) + Send),
    ) -> Result<Told, SyncFault> {
        let mut way = Way::to(&format!("http://{at}"), None).unwrap();
        let moment = self.moment();
        let token = self.token.clone();
        let store = self.store_mut();
        let mut exchange = Exchange::begin(store, token)?;
        for n in 0..2_000 {
            meanwhile(n, When::Before, store);
            let request = match exchange.next(store, &moment)? {
                Step::Done(told) => return Ok(told),
                Step::Send(request) => request,
            };
            meanwhile(n, When::UnderWay, store);
            let sent = way.send("POST".parse().unwrap(), request.path, &request.headers, request.body).await;
            match sent {
                Ok(r) => {
                    let random = &mut system_random;
                    exchange.answer(store, r.status, r.retry_after_s, &r.body, &moment, random)?;
                }
                Err(_) => return Err(exchange.cut(store, &moment, &mut system_random)),
            }
            meanwhile(n, When::After, store);
        }
        panic!("an exchange never ends");
    }

    /// As [`Self::sync`], by the client that `plinth sync` drives, on the whole companion.
    pub(crate) async fn sync_as_desk(&mut self, at: SocketAddr) -> Result<Told, SyncFault> {
        self.close();
        let moment = self.moment();
        let opened =
            Companion::open(&self.file, Language::English, &moment, Box::new(system_random)).unwrap();
        let mut companion = opened.companion;
        let mut way = Way::to(&format!("http://{at}"), None).unwrap();
        let told = exchange(&mut companion, &mut way, &self.token, &mut || moment.clone()).await;
        drop(companion);
        self.reopen();
        told
    }

    /// Tries until it is through, as a device does by itself after a fault that asks for it.
    pub(crate) async fn sync_until_done(&mut self, at: SocketAddr, most: u32) -> Told {
        for _ in 0..most {
            match self.sync(at).await {
                Ok(told) => return told,
                Err(fault) => assert_eq!(fault.kind, SyncFaultKind::Later, "{}: {fault}", fault.code),
            }
        }
        panic!("not through after {most} tries");
    }
}

pub(crate) fn moment(wall_ms: i64) -> Moment {
    Moment { wall_ms, offset_min: 120, monotonic_ms: 0, boot: "b".into() }
}

/// The id of the nth note.
pub(crate) fn id(n: u64) -> EntryId {
    EntryId::new(BEGAN_MS.unsigned_abs() + n, [3; 10])
}

/// A note.
pub(crate) fn note(n: u64, text: &str) -> Edit {
    Edit { id: id(n), kind: Kind::Note, fields: BTreeMap::new() }.with("text", text.into())
}

/// A random edit of one of `among` entries of each kind: new, changed in one field or two, deleted, brought back, or of
/// a kind that this version does not know.
pub(crate) fn any_edit(dice: &mut Dice, among: u64, word: &str) -> Vec<Edit> {
    let n = dice.roll() % among;
    match dice.below(9) {
        0 => vec![Edit::delete(id(n), Kind::Note)],
        1 => vec![note(n, word).with("movement", format!("m{}", dice.below(100)).into())],
        2 => pair(n).into(),
        3 => vec![
            pair(n)[0].clone().with("of_tomorrow", json!({ "deep": [dice.below(100), null, "\u{1f3cb}"] })),
        ],
        4 => vec![
            Edit {
                id: EntryId::new(BEGAN_MS.unsigned_abs() + n, [7; 10]),
                kind: Kind::Other("of_a_newer_version".into()),
                fields: BTreeMap::new(),
            }
            .with("said", word.into()),
        ],
        _ => vec![note(n, word)],
    }
}

/// A note as JSON, as a stranger's program may send it.
pub(crate) fn raw_note(n: u64, text: &str, ms: i64) -> Value {
    json!({
        "id": id(n), "kind": "note", "stamp": format!("{ms:012x}-0000-0000000000000001"),
        "fields": { "text": { "value": text } },
    })
}

/// A request of a sync as JSON.
pub(crate) fn request(push: &[Value]) -> Value {
    json!({
        "protocol": 1, "app": "0.1.0", "device": "00000000000000aa", "epoch": null, "cursor": 0,
        "can": ["gzip", "ranges"], "push": push, "want": 0, "sums": false, "ranges": [], "fetch": [],
    })
}

/// Everything that the store holds but its audit, which refusals are noted in.
pub(crate) fn digest_of(store: &Path) -> String {
    let db = rusqlite::Connection::open(store).unwrap();
    let mut digest = Sha256::new();
    for table in ["meta", "account", "device", "offered", "entry", "kind_sum", "shown", "voided", "named"] {
        let mut rows = db.prepare(&format!("SELECT * FROM {table} ORDER BY 1, 2")).unwrap();
        let columns = rows.column_count();
        let mut rows = rows.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            for column in 0..columns {
                digest.update(format!("{table} {column} {:?}\n", row.get_ref(column).unwrap()));
            }
        }
    }
    format!("{:x?}", digest.finalize())
}

/// The key of the device that bears a token.
pub(crate) async fn key_of(house: &House, account: &str, token: &str) -> String {
    let kept = hashed(token.split_once('.').unwrap().1);
    let devices = house.host.store.devices(&named(account)).await.unwrap();
    devices.iter().find(|d| d.token == kept).unwrap().key.clone()
}
