//! Ten thousand entries to a host and back, beside a bare program that keeps the same bytes:
//! `cargo bench -p plinth-bench-host --bench sync`.
//!
//! Both get the same bodies in the same order over one connection of this machine, and each transaction is on the disk
//! before it is answered. What is timed is from the first byte of a request to the last of its answer. Rounds of both
//! take turns; the medians are compared.

use plinth::client::Way;
use plinth_bench_host::{AT_ONCE, BARE, Bare, Device, Fault, House, percentile, sets};
use plinth_core::record::DeviceId;
use plinth_tests::faults::Folder;
use serde_json::value::RawValue;
use std::path::{Path, PathBuf};
use std::time::Duration;

const ENTRIES: usize = 10_000;
const ROUNDS: usize = 5;
/// The bar: so many times as long as the bare program.
const BAR: f64 = 2.0;

fn main() -> Result<(), Fault> {
    let arguments: Vec<String> = std::env::args().collect();
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    if let Some(at) = arguments.iter().position(|a| a == BARE) {
        let file = arguments.get(at + 1).ok_or("no file")?;
        return runtime.block_on(Bare::run(&PathBuf::from(file)));
    }
    let folder = Folder::new();
    let binary = House::build()?;
    let entries = sets(&folder.file("lifter"), ENTRIES as u64)?;
    let bytes: usize = entries.iter().map(|e| e.get().len()).sum();
    println!("{ENTRIES} entries, {bytes} bytes, {AT_ONCE} at once, {ROUNDS} rounds in turn");
    for packs in [true, false] {
        runtime.block_on(compare(&binary, &entries, packs))?;
    }
    Ok(())
}

async fn compare(binary: &Path, entries: &[Box<RawValue>], packs: bool) -> Result<(), Fault> {
    let mut figures: [Vec<f64>; 4] = Default::default();
    for _ in 0..ROUNDS {
        let folder = Folder::new();
        let (pushed, pulled) = to_host(binary, &folder.file("house"), entries, packs).await?;
        let (bare_pushed, bare_pulled) = to_bare(&folder.file("bare"), entries, packs).await?;
        for (list, took) in figures.iter_mut().zip([pushed, bare_pushed, pulled, bare_pulled]) {
            list.push(took.as_secs_f64() * 1000.0);
        }
    }
    let [pushed, bare_pushed, pulled, bare_pulled] = figures.map(|mut list| percentile(&mut list, 50));
    let how = if packs { "packed" } else { "plain" };
    for (what, host, bare) in [("push", pushed, bare_pushed), ("pull", pulled, bare_pulled)] {
        let ratio = host / bare;
        let said = if ratio <= BAR { "within" } else { "above" };
        println!(
            "{how} {what}: host {host:.0} ms, bare {bare:.0} ms, ratio {ratio:.2} ({said} the bar of {BAR})"
        );
    }
    Ok(())
}

async fn to_host(
    binary: &Path,
    store: &Path,
    entries: &[Box<RawValue>],
    packs: bool,
) -> Result<(Duration, Duration), Fault> {
    let ids = [DeviceId::new(1), DeviceId::new(2)];
    let tokens = House::furnish(store, &ids.map(|id| ("anna".to_owned(), id))).await?;
    let house = House::serve(binary, store)?;
    let mut devices = ids.into_iter().zip(tokens).map(|(id, token)| Device::new(id, token));
    let (Some(mut from), Some(mut to)) = (devices.next(), devices.next()) else {
        return Err("two devices".into());
    };
    (from.packs, to.packs) = (packs, packs);
    let mut way = Way::to(&house.address, None)?;
    // The first question says which store it is; the bodies are made before the clock runs.
    let hello = from.ready(&[], 0, false)?;
    from.send(&mut way, hello).await?;
    let mut bodies = Vec::new();
    for (n, batch) in entries.chunks(AT_ONCE).enumerate() {
        bodies.push(from.ready(batch, (n * AT_ONCE) as u64, (n + 1) * AT_ONCE >= entries.len())?);
    }
    let (mut pushed, mut taken) = (Duration::ZERO, 0);
    for body in bodies {
        let (took, answer) = from.send(&mut way, body).await?;
        pushed += took;
        taken += answer.took.len();
    }
    let (mut pulled, mut given) = (Duration::ZERO, 0);
    loop {
        let (took, answer) = to.send(&mut way, to.ready(&[], to.cursor, true)?).await?;
        pulled += took;
        given += answer.pull.len();
        if !answer.more {
            break;
        }
    }
    whole(entries, taken, given)?;
    Ok((pushed, pulled))
}

async fn to_bare(file: &Path, entries: &[Box<RawValue>], packs: bool) -> Result<(Duration, Duration), Fault> {
    let bare = Bare::start(file)?;
    let mut way = bare.way()?;
    let mut device = Device::new(DeviceId::new(1), "none".into());
    device.packs = packs;
    Bare::pull(&mut way, device.ready(&[], 0, false)?).await?;
    let mut bodies = Vec::new();
    for (n, batch) in entries.chunks(AT_ONCE).enumerate() {
        bodies.push(device.ready(batch, (n * AT_ONCE) as u64, false)?);
    }
    let (mut pushed, mut taken) = (Duration::ZERO, 0);
    for body in bodies {
        let (took, kept) = Bare::push(&mut way, body).await?;
        pushed += took;
        taken += kept;
    }
    let (mut pulled, mut given, mut cursor) = (Duration::ZERO, 0, 0);
    while given < entries.len() {
        let (took, came, next) = Bare::pull(&mut way, device.ready(&[], cursor, false)?).await?;
        if came == 0 {
            break;
        }
        pulled += took;
        given += came;
        cursor = next;
    }
    whole(entries, taken, given)?;
    Ok((pushed, pulled))
}

fn whole(entries: &[Box<RawValue>], taken: usize, given: usize) -> Result<(), Fault> {
    let many = entries.len();
    if (taken, given) == (many, many) {
        Ok(())
    } else {
        Err(format!("of {many} {taken} came in and {given} out").into())
    }
}
