//! Merging entries in memory beside the maps of two mergeable documents, on the same edits.
//!
//! Two devices hold the same sets; each then edits some of them, and one takes in the other's. The closing table gives
//! ratios within one run.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a bench may stop at what should not be

use automerge::transaction::Transactable;
use automerge::{AutoCommit, ObjType, ROOT, ReadDoc};
use criterion::{BenchmarkId, Criterion, criterion_group};
use flate2::Compression;
use flate2::write::GzEncoder;
use loro::{ExportMode, LoroDoc, LoroMap};
use plinth_bench::{at, set};
use plinth_core::record::{Clock, DeviceId, Edit, Entry, EntryId, read_document, write_document};
use std::collections::BTreeMap;
use std::hint::black_box;
use std::io::{self, Write};
use std::time::Instant;

/// Every tenth set is edited anew on the one device, every seventh on the other.
const EDITED: [u64; 2] = [10, 7];

type Record = BTreeMap<EntryId, Entry>;

fn edits(many: u64) -> Vec<Edit> {
    let movements: Vec<String> = (0..24).map(|n| format!("movement_{n}")).collect();
    (0..many).map(|n| set(n, many, &movements)).collect()
}

/// What a device changes later.
fn later(edits: &[Edit], every: u64, amount: u64) -> impl Iterator<Item = Edit> {
    edits
        .iter()
        .step_by(every as usize)
        .map(move |e| Edit { fields: BTreeMap::from([("amount".to_owned(), amount.into())]), ..e.clone() })
}

fn write(record: &mut Record, clock: &mut Clock, edit: &Edit, ms: i64) {
    let entry = record.entry(edit.id).or_insert_with(|| Entry::new(edit.id, edit.kind.clone()));
    let stamp = clock.tick(ms, entry.replaced_by(edit));
    entry.write(edit, stamp).unwrap();
}

fn merge(into: &mut Record, from: &Record) -> usize {
    let mut changed = 0;
    for (id, entry) in from {
        match into.get_mut(id) {
            Some(ours) => changed += usize::from(ours.merge(entry)),
            None => {
                into.insert(*id, entry.clone());
                changed += 1;
            }
        }
    }
    changed
}

/// The two records after their edits: the first has every set, the second too; or the first none, when it is `fresh`.
fn ours(edits: &[Edit]) -> [Record; 2] {
    let mut clock = Clock::new(DeviceId::new(1));
    let mut base = Record::new();
    for (n, edit) in edits.iter().enumerate() {
        write(&mut base, &mut clock, edit, at(n as i64).wall_ms);
    }
    let mut both = [base.clone(), base];
    for (k, record) in both.iter_mut().enumerate() {
        let mut clock = Clock::resume(DeviceId::new(k as u64 + 2), clock.last());
        for (n, edit) in later(edits, EDITED[k], k as u64).enumerate() {
            write(record, &mut clock, &edit, at((edits.len() + n) as i64).wall_ms);
        }
    }
    both
}

fn loro_value(value: &serde_json::Value) -> loro::LoroValue {
    value.clone().into()
}

fn loro_write(doc: &LoroDoc, edit: &Edit) {
    let entries: LoroMap = doc.get_map("entries");
    let id = edit.id.to_string();
    let entry = match entries.get(&id) {
        Some(entry) => entry.into_container().unwrap().into_map().unwrap(),
        None => entries.insert_container(&id, LoroMap::new()).unwrap(),
    };
    for (name, value) in &edit.fields {
        entry.insert(name, loro_value(value)).unwrap();
    }
}

fn loro_pair(edits: &[Edit]) -> [LoroDoc; 2] {
    let base = LoroDoc::new();
    base.set_peer_id(1).unwrap();
    for edit in edits {
        loro_write(&base, edit);
        base.commit();
    }
    let pair = [base.fork(), base];
    for (doc, peer) in pair.iter().zip(2..) {
        doc.set_peer_id(peer).unwrap();
    }
    pair
}

fn automerge_value(value: &serde_json::Value) -> automerge::ScalarValue {
    match value {
        serde_json::Value::Bool(flag) => (*flag).into(),
        serde_json::Value::Number(number) => number.as_i64().unwrap_or(0).into(),
        serde_json::Value::String(text) => text.as_str().into(),
        other => other.to_string().into(),
    }
}

fn automerge_write(doc: &mut AutoCommit, edit: &Edit) {
    let id = edit.id.to_string();
    let entry = match doc.get(ROOT, &id).unwrap() {
        Some((_, entry)) => entry,
        None => doc.put_object(ROOT, &id, ObjType::Map).unwrap(),
    };
    for (name, value) in &edit.fields {
        doc.put(&entry, name.as_str(), automerge_value(value)).unwrap();
    }
}

fn automerge_pair(edits: &[Edit], each: bool) -> [AutoCommit; 2] {
    let mut base = AutoCommit::new();
    for edit in edits {
        automerge_write(&mut base, edit);
        if each {
            base.commit();
        }
    }
    base.commit();
    let other = base.fork();
    [base, other]
}

fn zipped(bytes: &[u8]) -> usize {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(bytes).unwrap();
    encoder.finish().unwrap().len()
}

fn export(record: &Record) -> Vec<u8> {
    let mut out = Vec::new();
    write_document(record.values().cloned().map(Ok::<_, io::Error>), &mut out).unwrap();
    out
}

fn seconds<T>(work: impl FnOnce() -> T) -> (f64, T) {
    let from = Instant::now();
    let done = black_box(work());
    (from.elapsed().as_secs_f64(), done)
}

fn small(c: &mut Criterion) {
    let edits = edits(1_000);
    let mut group = c.benchmark_group("merge");
    group.sample_size(10);
    let [one, other] = ours(&edits);
    group.bench_function(BenchmarkId::new("ours", 1_000), |b| {
        b.iter_batched(|| one.clone(), |mut r| merge(&mut r, &other), criterion::BatchSize::LargeInput);
    });
    group.finish();
}

/// Every third line: what is measured, ours, theirs and the ratios.
struct Table(Vec<(String, [f64; 3], &'static str)>);

impl Table {
    fn print(&self) {
        println!(
            "{:<44} {:>12} {:>12} {:>12} {:>8} {:>10}",
            "", "ours", "loro", "automerge", "/loro", "/automerge"
        );
        for (what, [ours, loro, automerge], unit) in &self.0 {
            println!(
                "{:<44} {ours:>12.3} {loro:>12.3} {automerge:>12.3} {:>8.2} {:>10.2}",
                format!("{what}, {unit}"),
                ours / loro,
                ours / automerge
            );
        }
    }
}

fn table(many: u64) {
    let edits = edits(many);
    println!("\nmerge of {many} entries of {} fields; ratios are ours to theirs", edits[0].fields.len());
    let mut table = Table(Vec::new());

    // Ours.
    let (mut mine, other) = {
        let [a, b] = ours(&edits);
        (a, b)
    };
    let file = export(&other);
    let mut none = Record::new();
    let (our_first, _) = seconds(|| merge(&mut none, &other));
    let (our_edited, changed) = seconds(|| merge(&mut mine, &other));
    let (our_read, _) = seconds(|| {
        let taken = read_document(&file);
        let mut into = Record::new();
        for entry in taken.unwrap().entries {
            into.insert(entry.id, entry);
        }
        into
    });
    println!("ours: {changed} entries changed by the other's edits");
    let our_zip = zipped(&export(&mine));
    let our_bytes = export(&mine).len();
    drop((mine, other, none));

    // Loro: the other's edits come as bytes, as they always do there.
    let [a, b] = loro_pair(&edits);
    let before = a.oplog_vv();
    for (k, doc) in [&a, &b].into_iter().enumerate() {
        for edit in later(&edits, EDITED[k], k as u64) {
            loro_write(doc, &edit);
            doc.commit();
        }
    }
    let update = b.export(ExportMode::updates(&before)).unwrap();
    let all = b.export(ExportMode::all_updates()).unwrap();
    let snapshot = b.export(ExportMode::Snapshot).unwrap();
    let (loro_edited, _) = seconds(|| {
        a.import(&update).unwrap();
        a.get_deep_value()
    });
    let fresh = LoroDoc::new();
    let (loro_first, _) = seconds(|| {
        fresh.import(&all).unwrap();
        fresh.get_deep_value()
    });
    let fresh = LoroDoc::new();
    let (loro_read, _) = seconds(|| {
        fresh.import(&snapshot).unwrap();
        fresh.get_deep_value()
    });
    let merged = a.export(ExportMode::Snapshot).unwrap();
    let (loro_zip, loro_bytes) = (zipped(&merged), merged.len());
    drop((a, b, fresh));

    // Automerge: document to document.
    let [mut a, mut b] = automerge_pair(&edits, false);
    for (k, doc) in [&mut a, &mut b].into_iter().enumerate() {
        for edit in later(&edits, EDITED[k], k as u64) {
            automerge_write(doc, &edit);
        }
        doc.commit();
    }
    let saved = b.save();
    let (automerge_edited, _) = seconds(|| a.merge(&mut b).unwrap());
    let mut fresh = AutoCommit::new();
    let (automerge_first, _) = seconds(|| fresh.merge(&mut b).unwrap());
    let (automerge_read, _) = seconds(|| AutoCommit::load(&saved).unwrap());
    let merged = a.save();
    let (automerge_zip, automerge_bytes) = (zipped(&merged), merged.len());

    table.0.push(("merge of the other's edits".into(), [our_edited, loro_edited, automerge_edited], "s"));
    table.0.push(("merge of everything into nothing".into(), [our_first, loro_first, automerge_first], "s"));
    table.0.push(("reading an export into nothing".into(), [our_read, loro_read, automerge_read], "s"));
    let mb = |n: usize| n as f64 / 1e6;
    table.0.push(("export".into(), [mb(our_bytes), mb(loro_bytes), mb(automerge_bytes)], "MB"));
    table.0.push(("export, gzipped".into(), [mb(our_zip), mb(loro_zip), mb(automerge_zip)], "MB"));
    table.print();
    println!("bars: merges at most 0.20, gzipped at most 0.50");
}

criterion_group!(benches, small);

fn main() {
    // The table alone: `cargo bench -p plinth-bench --bench merge -- table [ENTRIES]`.
    let args: Vec<String> = std::env::args().collect();
    let asked = args.iter().position(|a| a == "table");
    if asked.is_none() {
        benches();
    }
    let many = asked.and_then(|k| args.get(k + 1)).and_then(|n| n.parse().ok()).unwrap_or(100_000);
    table(many);
}
