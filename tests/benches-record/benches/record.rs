//! A durable set beside bare SQLite, opening to the first screen, and the memory of an import.
//!
//! The closing tables give ratios within one run. `PLINTH_DISK` names the folder on a real disk (the temporary folder
//! when absent); `/dev/shm`, where it is there, stands for a disk that costs nothing.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a bench may stop at what should not be

use criterion::{BenchmarkId, Criterion, criterion_group};
use plinth_bench::{at, fill, lifter, open, train};
use plinth_core::record::{Edit, EntryId, Kind};
use plinth_core::store::{Keep, Store, system_random};
use plinth_tests::Data;
use rusqlite::{Connection, params};
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

/// Rounds of the closing table, and sets in each.
const ROUNDS: usize = 20;
const SETS: usize = 50;
const LOGS: [u64; 3] = [1_000, 10_000, 100_000];
/// The record that a child process is to import, and nothing else.
const IMPORT: &str = "PLINTH_BENCH_IMPORT";

struct Folder(PathBuf);

impl Folder {
    fn new(at: &Path) -> Self {
        let mut bits = [0; 8];
        system_random(&mut bits);
        let path = at.join(format!("plinth-bench-{:016x}", u64::from_be_bytes(bits)));
        std::fs::create_dir_all(&path).expect("a folder that can be written to");
        Self(path)
    }

    fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn disk() -> PathBuf {
    std::env::var_os("PLINTH_DISK").map_or_else(std::env::temp_dir, PathBuf::from)
}

fn movements() -> Vec<String> {
    let data = Data::builtin().expect("sound");
    let brief = serde_json::from_str(include_str!("../../../server/data/example-brief.json")).expect("sound");
    let programme = data.publish(&brief);
    let mut all: Vec<String> =
        programme.days.iter().flat_map(|d| &d.lines).map(|l| l.movement.clone()).collect();
    all.sort();
    all.dedup();
    all
}

/// What the companion writes at a set of a session under way: the edit of the last set and what it changes of the
/// snapshot.
struct Written {
    edit: Edit,
    whole: String,
    step: String,
}

fn written() -> Written {
    let folder = Folder::new(&disk());
    let mut companion = lifter(&folder.file("record.plinth")).expect("a lifter");
    train(&mut companion, 12).expect("sets");
    let store = companion.store();
    let last = store.of_kind(&Kind::Set, None, 100).unwrap().pop().expect("a set");
    let fields = last.fields.iter().map(|(name, f)| (name.to_string(), f.value.read().unwrap())).collect();
    let mut session = store.session().unwrap().expect("a session is open");
    Written {
        edit: Edit { id: last.id, kind: Kind::Set, fields },
        whole: session.whole,
        step: session.steps.pop().expect("a step"),
    }
}

/// Our store, with a log in it.
struct Ours {
    store: Store,
    n: u64,
}

impl Ours {
    fn new(folder: &Folder) -> Self {
        let mut store = Store::open(&folder.file("ours.plinth"), &at(0), &mut system_random).unwrap().store;
        fill(&mut store, 2_000, &movements()).unwrap();
        Self { store, n: 0 }
    }

    fn set(&mut self, w: &Written) {
        self.n += 1;
        let edit = Edit { id: EntryId::new(at(0).wall_ms as u64 + self.n, [7; 10]), ..w.edit.clone() };
        // Now and then the whole is written again, as the companion does.
        let keep = if self.n.is_multiple_of(64) { Keep::Whole(&w.whole) } else { Keep::Step(&w.step) };
        self.store.write(&[edit], Some(keep), &at(self.n.cast_signed())).unwrap();
    }
}

/// SQLite alone with the settings of the store. `Row` inserts the set's row and commits; `Same` also writes the
/// snapshot and the other rows that a set changes, so that it touches the same pages.
#[derive(Clone, Copy, PartialEq)]
enum What {
    Row,
    Same,
}

struct Bare {
    db: Connection,
    n: u64,
    what: What,
}

impl Bare {
    fn new(folder: &Folder, what: What, synchronous: &str) -> Self {
        let name = format!("bare-{}-{synchronous}", if what == What::Row { "row" } else { "same" });
        let db = Connection::open(folder.file(&name)).unwrap();
        for (pragma, value) in [
            ("locking_mode", "EXCLUSIVE"),
            ("journal_mode", "WAL"),
            ("synchronous", synchronous),
            ("trusted_schema", "OFF"),
            ("cell_size_check", "ON"),
            ("secure_delete", "ON"),
        ] {
            db.pragma_update(None, pragma, value).unwrap();
        }
        db.set_prepared_statement_cache_capacity(64);
        db.execute_batch(include_str!("../../../core/src/store/migrations/001_entries.sql")).unwrap();
        db.execute_batch(include_str!("../../../core/src/store/migrations/002_sums_and_pending.sql"))
            .unwrap();
        db.execute_batch(include_str!("../../../core/src/store/migrations/003_steps_and_set_aside.sql"))
            .unwrap();
        let mut bare = Self { db, n: 0, what };
        let body = "x".repeat(1_700);
        for _ in 0..2_000 {
            bare.set(&body, "s");
        }
        bare
    }

    fn set(&mut self, body: &str, step: &str) {
        self.n += 1;
        let id = EntryId::new(at(0).wall_ms as u64 + self.n, [7; 10]);
        let (id, digest) = (&id.bytes()[..], [self.n as u8; 32]);
        let transaction = self.db.transaction().unwrap();
        let run = |sql: &str, given: &[&dyn rusqlite::ToSql]| {
            transaction.prepare_cached(sql).unwrap().execute(given).unwrap();
        };
        run(
            "INSERT INTO entry (id, kind, body, digest, session, movement, ended_ms) VALUES (?1, 'set', ?2, ?3, ?1, 'a', ?4)",
            params![id, body, &digest[..], self.n.cast_signed()],
        );
        if self.what == What::Same {
            run("INSERT INTO pending (id) VALUES (?1)", params![id]);
            run(
                "INSERT INTO movement_sum VALUES ('a', 1, ?1, ?2) ON CONFLICT (movement) DO UPDATE SET sets = sets + 1, last_ms = ?1, last_session = ?2",
                params![self.n.cast_signed(), id],
            );
            run(
                "INSERT INTO week_sum VALUES ('2026-W18', 'a', 1, 1) ON CONFLICT (week, movement) DO UPDATE SET working = working + 1, hard = hard + 1",
                params![],
            );
            run(
                "INSERT INTO best VALUES ('a', 'bar', 5, ?1, '60 kg', ?2) ON CONFLICT (movement, load_of, repetitions) DO UPDATE SET amount = ?1, id = ?2 WHERE ?1 > amount",
                params![1, id],
            );
            run(
                "INSERT INTO meta VALUES ('last_stamp', ?1) ON CONFLICT (name) DO UPDATE SET value = ?1",
                params![format!("{:035}", self.n)],
            );
            run("INSERT INTO floor_step (step, digest) VALUES (?1, ?2)", params![step, &digest[..]]);
            if self.n.is_multiple_of(64) {
                run("DELETE FROM floor_step", params![]);
            }
        }
        transaction.commit().unwrap();
    }
}

fn durable(c: &mut Criterion) {
    let (w, folder) = (written(), Folder::new(&disk()));
    let mut group = c.benchmark_group("durable_set");
    group.sample_size(10);
    let mut ours = Ours::new(&folder);
    group.bench_function("ours", |b| b.iter(|| ours.set(&w)));
    for (name, what) in [("bare_row", What::Row), ("bare_same_pages", What::Same)] {
        let mut bare = Bare::new(&folder, what, "FULL");
        let body = "x".repeat(1_700);
        group.bench_function(name, |b| b.iter(|| bare.set(&body, &w.step)));
    }
    group.finish();
}

/// A record with so many sets, a brief and a programme.
fn log(folder: &Folder, many: u64) -> PathBuf {
    let path = folder.file(&format!("log-{many}.plinth"));
    drop(lifter(&path).expect("a lifter"));
    let mut store = Store::open(&path, &at(0), &mut system_random).unwrap().store;
    fill(&mut store, many, &movements()).unwrap();
    path
}

fn first_screen(path: &Path) -> usize {
    let mut companion = open(path).unwrap();
    companion.floor(&at(60)).unwrap().spoken.len()
}

fn opening(c: &mut Criterion) {
    let folder = Folder::new(&disk());
    let mut group = c.benchmark_group("open_to_first_screen");
    group.sample_size(10);
    for many in LOGS {
        let path = log(&folder, many);
        group.bench_with_input(BenchmarkId::from_parameter(many), &path, |b, path| {
            b.iter(|| first_screen(black_box(path)));
        });
    }
    group.finish();
}

fn timed(mut work: impl FnMut()) -> Duration {
    let from = Instant::now();
    work();
    from.elapsed()
}

fn median(mut all: Vec<Duration>) -> f64 {
    all.sort_unstable();
    all[all.len() / 2].as_secs_f64()
}

/// Bytes of the log that a set adds.
fn grows(wal: &Path, sets: u64, mut set: impl FnMut()) -> u64 {
    let size = || std::fs::metadata(wal).map_or(0, |m| m.len());
    let from = size();
    for _ in 0..sets {
        set();
    }
    size().saturating_sub(from) / sets
}

fn durable_table() {
    let w = written();
    println!(
        "\na durable set: {} fields; {} bytes change of a snapshot of {}",
        w.edit.fields.len(),
        w.step.len(),
        w.whole.len()
    );
    println!(
        "{:<12} {:<22} {:>10} {:>10} {:>7} {:>6}",
        "where", "beside", "ours us", "bare us", "ratio", "bar"
    );
    let memory = PathBuf::from("/dev/shm");
    let places = [("disk", disk(), "FULL", 1.3), ("memory", memory, "OFF", 3.0)];
    for (place, path, synchronous, bar) in places.iter().filter(|(_, path, _, _)| path.is_dir()) {
        let folder = Folder::new(path);
        let mut ours = Ours::new(&folder);
        let id = plant(&mut ours, &w);
        let body = ours.store.entry(&id).unwrap().unwrap().text();
        for (name, what) in [("one row", What::Row), ("the same pages", What::Same)] {
            let mut bare = Bare::new(&folder, what, synchronous);
            let (mut us, mut them) = (Vec::new(), Vec::new());
            for _ in 0..ROUNDS {
                us.push(timed(|| (0..SETS).for_each(|_| ours.set(&w))));
                them.push(timed(|| (0..SETS).for_each(|_| bare.set(&body, &w.step))));
            }
            let (us, them) = (median(us) / SETS as f64 * 1e6, median(them) / SETS as f64 * 1e6);
            let title = format!("{name}, {synchronous}");
            println!("{place:<12} {title:<22} {us:>10.1} {them:>10.1} {:>7.2} {bar:>6}", us / them);
        }
        if *place == "memory" {
            // Fresh files: a log that was reset does not grow.
            let fresh = Folder::new(path);
            let mut store = Store::open(&fresh.file("a"), &at(0), &mut system_random).unwrap().store;
            store.write(std::slice::from_ref(&w.edit), Some(Keep::Step(&w.step)), &at(0)).unwrap();
            let mut n = 0;
            let ours = grows(&fresh.file("a-wal"), 20, || {
                n += 1;
                let edit = Edit { id: EntryId::new(at(0).wall_ms as u64 + n, [7; 10]), ..w.edit.clone() };
                store.write(&[edit], Some(Keep::Step(&w.step)), &at(n.cast_signed())).unwrap();
            });
            println!("bytes of the log for a set: {ours}");
        }
    }
}

fn plant(ours: &mut Ours, w: &Written) -> EntryId {
    ours.set(w);
    EntryId::new(at(0).wall_ms as u64 + ours.n, [7; 10])
}

fn opening_table() {
    let folder = Folder::new(&disk());
    println!("\nopening to the first screen");
    println!("{:>8} {:>10} {:>16}", "sets", "ms", "of the smallest");
    let mut smallest = None;
    let paths: Vec<(u64, PathBuf)> = LOGS.iter().map(|many| (*many, log(&folder, *many))).collect();
    for (many, path) in &paths {
        let ms = median(
            (0..15)
                .map(|_| {
                    timed(|| {
                        black_box(first_screen(path));
                    })
                })
                .collect(),
        ) * 1e3;
        let first = *smallest.get_or_insert(ms);
        println!("{many:>8} {ms:>10.2} {:>16.2}", ms / first);
    }
    if let Some((many, path)) = paths.last() {
        let store = Store::open(path, &at(0), &mut system_random).unwrap().store;
        let mut json = Vec::new();
        let wrote = timed(|| {
            store.export_json(&mut json).unwrap();
        });
        let file = folder.file("export.json");
        std::fs::write(&file, &json).unwrap();
        let output = Command::new(std::env::current_exe().unwrap()).env(IMPORT, &file).output().unwrap();
        println!(
            "\nexport of {many} sets: {} MB in {:.1} s; {}",
            json.len() / 1_000_000,
            wrote.as_secs_f64(),
            String::from_utf8_lossy(&output.stdout)
        );
    }
}

/// Peak memory of this process in kilobytes, where the system says it.
fn peak_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    line.and_then(|l| l.trim().trim_end_matches(" kB").parse().ok()).unwrap_or(0)
}

fn import(file: &Path) {
    let folder = Folder::new(&disk());
    let mut store = Store::open(&folder.file("record.plinth"), &at(0), &mut system_random).unwrap().store;
    let before = peak_kb();
    let bytes = std::fs::read(file).unwrap();
    let held = peak_kb();
    let mut done = Err(String::new());
    let took = timed(|| done = store.import_json(&bytes).map_err(|e| e.to_string()));
    println!(
        "import: {:?} in {:.1} s, peak {} MB, of which the file {} MB and the process {} MB",
        done.map(|d| (d.taken, d.refused.len())),
        took.as_secs_f64(),
        peak_kb() / 1_000,
        (held - before) / 1_000,
        before / 1_000
    );
}

criterion_group!(benches, durable, opening);

fn main() {
    if let Some(file) = std::env::var_os(IMPORT) {
        return import(Path::new(&file));
    }
    // The tables alone: `cargo bench -p plinth-bench --bench record -- tables`.
    if !std::env::args().any(|a| a == "tables") {
        benches();
    }
    durable_table();
    opening_table();
}
