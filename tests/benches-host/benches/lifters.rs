//! A coach of hundreds looks at the desk's list: `cargo bench -p plinth-bench-host --bench lifters` (Linux).
//!
//! So many lifters with a log each grant it to one coach. The first page comes while records are still being read, and
//! is asked for again until none is; then it is looked at many times, with nothing new and with one lifter who has just
//! written. The same is done for a coach of one lifter: what hundreds cost over one is the ratio. At each step it says
//! what the host holds of memory.

use plinth::client::Way;
use plinth::host::account::Role;
use plinth_bench_host::{AT_ONCE, Device, Fault, House, log, percentile};
use plinth_core::record::{DeviceId, EntryId, Kind};
use plinth_core::sync::unpack;
use plinth_tests::faults::Folder;
use serde_json::json;
use serde_json::value::RawValue;
use std::time::{Duration, Instant};

const LIFTERS: u64 = 400;
/// Sets of each lifter's log: some five weeks of three sessions.
const SETS: u64 = 300;
const LOOKS: usize = 40;
/// The longest page, bytes.
const LONGEST: u64 = 4 * 1024 * 1024;
/// The bar of a look once every record was read.
const BAR: Duration = Duration::from_secs(1);
/// So many times the looks may hold so much more of memory, in KiB, as under load; and all of it this much.
const TIMES: usize = 4;
const MORE: u64 = 8 * 1024;
const MOST: u64 = 192 * 1024;

fn main() -> Result<(), Fault> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(run())
}

async fn run() -> Result<(), Fault> {
    let (folder, binary) = (Folder::new(), House::build()?);
    let entries = log(&folder.file("lifter"), SETS, &[Kind::Session, Kind::Set])?;
    let one = look(&binary, &folder.file("one"), 1, &entries).await?;
    let many = look(&binary, &folder.file("many"), LIFTERS, &entries).await?;
    println!("{LIFTERS} lifters over one: {:.1} times as long", many / one);
    Ok(())
}

/// The time of an entry's stamp, some minutes ago.
fn stamp(minutes_ago: u64) -> Result<String, Fault> {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH)?;
    let ms = u64::try_from(now.as_millis())?.saturating_sub(minutes_ago * 60_000);
    Ok(format!("{ms:012x}-0000-0000000000000001"))
}

#[allow(clippy::needless_pass_by_value)] // it is made at the call
fn entry(n: u8, kind: &str, fields: serde_json::Value, minutes_ago: u64) -> Result<Box<RawValue>, Fault> {
    let fields: serde_json::Map<String, serde_json::Value> = fields
        .as_object()
        .into_iter()
        .flatten()
        .map(|(name, value)| (name.clone(), json!({ "value": value })))
        .collect();
    let id = EntryId::new(1_777_700_000_000, [n; 10]);
    let whole = json!({"id": id, "kind": kind, "stamp": stamp(minutes_ago)?, "fields": fields});
    Ok(RawValue::from_string(whole.to_string())?)
}

async fn push(way: &mut Way, device: &mut Device, entries: &[Box<RawValue>]) -> Result<(), Fault> {
    for batch in entries.chunks(AT_ONCE) {
        let ready = device.ready(batch, device.cursor, false)?;
        let (_, answer) = device.send(way, ready).await?;
        if answer.took.len() != batch.len() {
            return Err(format!("of {} entries {} came in", batch.len(), answer.took.len()).into());
        }
    }
    Ok(())
}

/// Looks at the list of so many lifters; the median time of a look once every record was read, in milliseconds.
async fn look(
    binary: &std::path::Path,
    store: &std::path::Path,
    lifters: u64,
    entries: &[Box<RawValue>],
) -> Result<f64, Fault> {
    let names: Vec<(String, DeviceId)> =
        (0..lifters).map(|n| (format!("lifter{n}"), DeviceId::new(n + 1))).collect();
    let tokens = House::furnish(store, &names).await?;
    let coach = House::furnish_as(store, Role::Coach, &[("mara".into(), DeviceId::new(90_001))]).await?;
    let house = House::serve(binary, store)?;
    let mut way = Way::to(&house.address, None)?;
    let mut devices: Vec<Device> =
        names.iter().zip(tokens).map(|((_, id), token)| Device::new(*id, token)).collect();
    let from = "2026-01-01T00:00:00.000+00:00";
    let grant = json!({"to": "mara", "may": ["log", "notes", "programmes"], "from": from});
    for (n, device) in devices.iter_mut().enumerate() {
        let name = json!({ "name": format!("Invented {n}") });
        push(&mut way, device, &[entry(1, "grant", grant.clone(), 60)?, entry(2, "lifter", name, 60)?])
            .await?;
        push(&mut way, device, entries).await?;
    }
    println!("{lifters} lifters with {} entries each", entries.len() + 2);
    let memory = |what: &str| -> Result<u64, Fault> {
        let (now, most) = house.memory()?;
        println!("memory {what}: {now} KiB, at most {most} KiB");
        house.forget_most()?;
        Ok(most)
    };
    memory("before")?;

    let headers = [("Cookie".to_owned(), format!("plinth_token={}", coach.concat()))];
    let began = Instant::now();
    let (mut first, mut looks) = (None, 0);
    loop {
        let at = Instant::now();
        let page = page(&mut way, &headers).await?;
        first.get_or_insert(at.elapsed());
        looks += 1;
        if !page.contains("still being read") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(250)).await;
    }
    let (first, all) = (first.unwrap_or_default().as_secs_f64(), began.elapsed().as_secs_f64());
    println!("the first page after {first:.2} s; all records read after {all:.2} s, at the page {looks}");
    let read = memory("with all of them read")?;

    let mut quiet = Vec::new();
    for _ in 0..LOOKS {
        let at = Instant::now();
        page(&mut way, &headers).await?;
        quiet.push(at.elapsed().as_secs_f64() * 1_000.0);
    }
    let mut fresh = Vec::new();
    let mut held = Vec::new();
    for looks in [LOOKS, (TIMES - 1) * LOOKS] {
        for _ in 0..looks {
            let n = fresh.len();
            let at = n * 7 % devices.len();
            let note = json!({"text": "an invented question", "by": "lifter"});
            push(&mut way, &mut devices[at], &[entry(u8::try_from(n + 10)?, "note", note, 1)?]).await?;
            let at = Instant::now();
            page(&mut way, &headers).await?;
            fresh.push(at.elapsed().as_secs_f64() * 1_000.0);
        }
        held.push(memory(&format!("after {looks} looks with something new"))?);
    }
    let most = held.iter().copied().fold(read, u64::max);
    for (what, list) in [("nothing new", &mut quiet), ("one lifter has written", &mut fresh)] {
        let (middle, high) = (percentile(list, 50), percentile(list, 95));
        let said = if high <= BAR.as_secs_f64() * 1_000.0 { "within" } else { "above" };
        println!("a look, {what}: p50 {middle:.0} ms, p95 {high:.0} ms ({said} the bar of {BAR:?})");
    }
    println!("the most of memory: {most} KiB, of {MOST} that it may");
    let more = held[1].saturating_sub(held[0]);
    println!("{TIMES} times the looks: {more} KiB more at most, of {MORE} that it may");
    if most > MOST || more > MORE { Err("it holds too much".into()) } else { Ok(percentile(&mut quiet, 50)) }
}

async fn page(way: &mut Way, headers: &[(String, String)]) -> Result<String, Fault> {
    let reply = way.send("GET".parse()?, "/desk/lifters", headers, Vec::new()).await?;
    if reply.status != 200 {
        return Err(format!("the list answers {}", reply.status).into());
    }
    Ok(String::from_utf8(unpack(&reply.body, LONGEST).ok_or("the page does not unpack")?)?)
}
