//! A club's host under load, and what it holds of memory: `cargo bench -p plinth-bench-host --bench load` (Linux).
//!
//! A thousand accounts with a device each, over sixteen connections of this machine. Every third request pushes a
//! session of 25 sets; the one after it shows the host how far the device is, and the next finds nothing new. First so
//! many requests, then ten and a hundred times as many, then as much as goes in some seconds; at last one account of a
//! hundred thousand entries that a new device pulls from the beginning. What the host holds of memory is printed at each
//! step: more work of a kind must not hold more.

use plinth::client::Way;
use plinth_bench_host::{AT_ONCE, Device, Fault, House, percentile, sets};
use plinth_core::record::DeviceId;
use plinth_tests::faults::Folder;
use serde_json::value::RawValue;
use std::sync::Arc;
use std::time::{Duration, Instant};

const ACCOUNTS: usize = 1_000;
const CONNECTIONS: usize = 16;
const SESSION: usize = 25;
const TIMED: Duration = Duration::from_secs(15);
/// Requests of the load whose memory is compared, and its multiples.
const ONCE: usize = 200;
const TIMES: [usize; 3] = [1, 10, 100];
/// Entries of the one large account.
const LARGE: usize = 100_000;
/// The bar: ten times the work may hold so much more, in KiB, which is what the four connections of SQLite may keep of
/// pages (2 MiB each).
const MORE: u64 = 8 * 1024;
/// The bar of all of it, in KiB.
const MOST: u64 = 96 * 1024;

fn main() -> Result<(), Fault> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(run())
}

async fn run() -> Result<(), Fault> {
    let (folder, binary) = (Folder::new(), House::build()?);
    let entries = sets(&folder.file("lifter"), LARGE as u64)?;
    let sessions: Arc<Vec<Vec<Box<RawValue>>>> =
        Arc::new(entries.chunks(SESSION).take(400).map(<[_]>::to_vec).collect());
    let mut names: Vec<(String, DeviceId)> =
        (0..ACCOUNTS).map(|n| (format!("lifter{n}"), DeviceId::new(n as u64 + 1))).collect();
    names.extend([10_001, 10_002].map(|n| ("large".to_owned(), DeviceId::new(n))));
    let store = folder.file("house");
    let tokens = House::furnish(&store, &names).await?;
    let house = House::serve(&binary, &store)?;
    let mut devices: Vec<Member> =
        // They do not begin alike, so that all kinds of requests go at once.
        names.iter().zip(tokens).enumerate().map(|(n, ((_, id), token))| Member::new(Device::new(*id, token), n / CONNECTIONS)).collect();
    let mut large = devices.split_off(ACCOUNTS);
    let mut crews: Crews = (0..CONNECTIONS).map(|_| Vec::new()).collect();
    for (n, member) in devices.into_iter().enumerate() {
        crews[n % CONNECTIONS].push(member);
    }
    let memory = |what: &str| -> Result<u64, Fault> {
        let (now, most) = house.memory()?;
        println!("memory {what}: {now} KiB, at most {most} KiB");
        house.forget_most()?;
        Ok(most)
    };
    memory("before")?;

    let mut held = Vec::new();
    for times in TIMES {
        let each = ONCE * times / CONNECTIONS;
        let (back, told) = load(&house, crews, &sessions, Until::Requests(each)).await?;
        crews = back;
        told.print(&format!("{times:3} x {ONCE} requests"));
        held.push(memory(&format!("after {times} times the load"))?);
    }
    let (_, told) = load(&house, crews, &sessions, Until::Time(TIMED)).await?;
    told.print(&format!("{} s of load", TIMED.as_secs()));
    memory("after it")?;

    let (Some(mut to), Some(mut from)) = (large.pop(), large.pop()) else { return Err("two devices".into()) };
    let mut way = Way::to(&house.address, None)?;
    let (mut filled, mut pulled) = (Vec::new(), Vec::new());
    for part in [&entries[..LARGE / 10], &entries[LARGE / 10..]] {
        for batch in part.chunks(AT_ONCE) {
            let ready = from.device.ready(batch, from.device.cursor, false)?;
            from.device.send(&mut way, ready).await?;
        }
        filled.push(memory(&format!("after {} entries more in one account", part.len()))?);
    }
    let (mut given, mut took) = (0, Duration::ZERO);
    for until in [LARGE / 10, LARGE] {
        while given < until {
            let ready = to.device.ready(&[], to.device.cursor, true)?;
            let (time, answer) = to.device.send(&mut way, ready).await?;
            took += time;
            given += answer.pull.len();
            if answer.pull.is_empty() {
                return Err(format!("{given} entries came of {LARGE}").into());
            }
        }
        pulled.push(memory(&format!("while a new device pulled to {given} entries"))?);
    }
    println!("{given} entries pulled in {:.1} s", took.as_secs_f64());
    let most = held.iter().chain(&filled).chain(&pulled).max().copied().unwrap_or_default();
    println!("the most of all: {most} KiB, of {MOST} that it may");
    bar("100 times the load after 10 times", held[1], held[2])?;
    bar("an account filled to the end after its first tenth", filled[0], filled[1])?;
    bar("an account pulled to the end after its first tenth", pulled[0], pulled[1])?;
    if most > MOST { Err("it holds too much".into()) } else { Ok(()) }
}

fn bar(what: &str, before: u64, after: u64) -> Result<(), Fault> {
    let more = after.saturating_sub(before);
    println!("{what}: {more} KiB more at most, of {MORE} that it may");
    if more > MORE { Err(format!("{what}: the memory is not flat").into()) } else { Ok(()) }
}

/// A lifter's device, and how many sessions it has pushed.
#[derive(Debug)]
struct Member {
    device: Device,
    pushed: usize,
    turn: usize,
}

impl Member {
    fn new(device: Device, turn: usize) -> Self {
        Self { device, pushed: 0, turn }
    }
}

#[derive(Debug, Clone, Copy)]
enum Until {
    /// So many requests of each connection.
    Requests(usize),
    /// So long.
    Time(Duration),
}

/// The turns of a member: it pushes a session, shows how far it is, and finds nothing new.
const KINDS: [&str; 3] = ["pushes", "first after a push", "nothing new"];

/// What came of a load: the times of its requests in milliseconds, by kind.
struct Told {
    took: Duration,
    kinds: [Vec<f64>; 3],
}

impl Told {
    fn print(mut self, what: &str) {
        let mut all = self.kinds.concat();
        let rate = all.len() as f64 / self.took.as_secs_f64();
        println!("{what}: {rate:.0} requests/s over {CONNECTIONS} connections");
        for (which, list) in KINDS.iter().zip(&mut self.kinds).chain([(&"all", &mut all)]) {
            let (middle, high) = (percentile(list, 50), percentile(list, 99));
            println!("  {which}: {} requests, p50 {middle:.1} ms, p99 {high:.1} ms", list.len());
        }
    }
}

type Crews = Vec<Vec<Member>>;

async fn load(
    house: &House,
    crews: Crews,
    sessions: &Arc<Vec<Vec<Box<RawValue>>>>,
    until: Until,
) -> Result<(Crews, Told), Fault> {
    let began = Instant::now();
    let mut tasks = Vec::new();
    for crew in crews {
        let (way, sessions) = (Way::to(&house.address, None)?, Arc::clone(sessions));
        tasks.push(tokio::spawn(one_connection(way, crew, sessions, until)));
    }
    let (mut back, mut kinds) = (Vec::new(), <[Vec<f64>; 3]>::default());
    for task in tasks {
        let (crew, of_one) = task.await??;
        back.push(crew);
        for (all, some) in kinds.iter_mut().zip(of_one) {
            all.extend(some);
        }
    }
    Ok((back, Told { took: began.elapsed(), kinds }))
}

/// Members take turns on one connection, each by turns with an empty sync and a session.
async fn one_connection(
    mut way: Way,
    mut crew: Vec<Member>,
    sessions: Arc<Vec<Vec<Box<RawValue>>>>,
    until: Until,
) -> Result<(Vec<Member>, [Vec<f64>; 3]), Fault> {
    let began = Instant::now();
    let mut kinds = <[Vec<f64>; 3]>::default();
    for n in 0.. {
        let over = match until {
            Until::Requests(many) => n >= many,
            Until::Time(long) => began.elapsed() >= long,
        };
        if over {
            break;
        }
        let place = n % crew.len();
        let member = &mut crew[place];
        let kind = member.turn % KINDS.len();
        member.turn += 1;
        let session: &[_] = if kind == 0 { &sessions[member.pushed % sessions.len()] } else { &[] };
        let ready = member.device.ready(session, member.device.cursor, true)?;
        let (took, answer) = member.device.send(&mut way, ready).await?;
        if answer.took.len() != session.len() {
            return Err("a session was not taken".into());
        }
        member.pushed += usize::from(kind == 0);
        kinds[kind].push(took.as_secs_f64() * 1000.0);
    }
    Ok((crew, kinds))
}
