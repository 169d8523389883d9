//! F5: the Nth write fails, for every N until a run is clean.
#![cfg(unix)]
#![allow(clippy::unwrap_used)] // a test may stop at what should not be

#[cfg(target_os = "linux")]
use plinth_tests::faults::failing_library;
use plinth_tests::faults::{Folder, count, open, prefix, write};
use std::collections::BTreeMap;
use std::process::Command;

const WRITER: &str = env!("CARGO_BIN_EXE_writer");

/// Runs the writer with files limited to `blocks` of 512 or 1024 bytes, as the shell counts them; a write beyond fails
/// and does not kill.
fn limited(path: &std::path::Path, from: u64, many: u64, blocks: usize) -> (Vec<u64>, Option<String>) {
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let output = Command::new("sh")
        .args(["-c", &script, WRITER, "write"])
        .arg(path)
        .args([from.to_string(), many.to_string()])
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let acknowledged = text.lines().filter_map(|l| l.parse().ok()).collect();
    let code = text.lines().find(|l| l.starts_with("store_")).map(str::to_owned);
    assert_eq!(code.is_some(), !output.status.success(), "{text}");
    (acknowledged, code)
}

#[test]
fn f5_a_write_that_fails_is_told_and_leaves_the_record_whole() {
    let flows: &[u64] = if count(1, 3) == 1 { &[12] } else { &[0, 12, 60] };
    let (mut runs, mut codes) = (0, BTreeMap::new());
    for &ready in flows {
        for blocks in (0..).step_by(count(6, 1)) {
            let folder = Folder::new();
            let path = folder.file("record.plinth");
            if ready > 0 {
                let mut store = open(&path).unwrap().store;
                for n in 0..ready {
                    write(&mut store, n).unwrap();
                }
            }
            let (acknowledged, code) = limited(&path, ready, 12, blocks);
            runs += 1;
            // From then on without the limit: all that was acknowledged is there, and nothing by halves.
            let mut store = open(&path).unwrap().store;
            let there = prefix(&store);
            assert!(
                there >= ready + acknowledged.len() as u64,
                "{blocks} blocks: an acknowledged write is gone"
            );
            assert!(there <= ready + 12);
            assert_eq!(store.check().unwrap().first_fault(), None, "{blocks} blocks");
            write(&mut store, there).unwrap();
            match code {
                Some(code) => *codes.entry(code).or_insert(0) += 1,
                None => break,
            }
            assert!(blocks < 4_000, "no run is clean");
        }
    }
    assert!(codes.keys().all(|c| c == "store_io" || c == "store_disk_full"), "{codes:?}");
    println!(
        "F5: {runs} runs with ever more room, each failing at another write; told as {codes:?}; nothing lost or half"
    );
}

/// A flow of the writer, on a record with so many pairs or an older file.
#[cfg(target_os = "linux")]
#[derive(Debug, Clone, Copy)]
enum Flow {
    /// Pairs on top of so many.
    Pairs(u64),
    /// A file of an older version is brought up to date.
    Older(u32),
}

#[cfg(target_os = "linux")]
impl Flow {
    fn prepare(self, path: &std::path::Path) {
        match self {
            Self::Pairs(ready) => {
                let mut store = open(path).unwrap().store;
                for n in 0..ready {
                    write(&mut store, n).unwrap();
                }
            }
            Self::Older(version) => {
                let frozen = format!("{}/data/store/version-{version}.plinth", env!("CARGO_MANIFEST_DIR"));
                std::fs::copy(frozen, path).unwrap();
            }
        }
    }

    fn command(self, path: &std::path::Path, word: &str) -> Command {
        let mut command = Command::new(WRITER);
        match self {
            Self::Pairs(ready) => {
                command.arg(word).arg(path).args([ready.to_string(), "8".to_owned()]);
            }
            Self::Older(_) => {
                command.arg("open").arg(path);
            }
        }
        command
    }
}

/// Every write, truncation and sync of a flow fails in turn: once, and from then on; as a full disk, and as a fault of
/// the disk.
#[cfg(target_os = "linux")]
#[test]
fn f5_every_write_and_sync_fails_in_turn() {
    let tools = Folder::new();
    let library = failing_library(&tools);
    let flows: &[Flow] = if count(1, 2) == 1 {
        &[Flow::Pairs(12), Flow::Older(1)]
    } else {
        &[Flow::Pairs(0), Flow::Pairs(5), Flow::Pairs(12), Flow::Pairs(60), Flow::Older(1), Flow::Older(2)]
    };
    // ENOSPC and EIO, as Linux numbers them.
    let (full, broken) = ("28", "5");
    let step = count(3, 1);
    let (mut runs, mut codes) = (0, BTreeMap::new());
    for flow in flows {
        for (ever, errno) in [(false, full), (true, full), (false, broken), (true, broken)] {
            for at in (1..).step_by(step) {
                let folder = Folder::in_memory();
                let path = folder.file("record.plinth");
                flow.prepare(&path);
                let before = open_count(*flow);
                let log = folder.file("counted");
                let mut command = flow.command(&path, if ever { "write" } else { "insist" });
                command.env("LD_PRELOAD", &library).env("PLINTH_FAIL_AT", at.to_string());
                command.env("PLINTH_FAIL_AS", errno).env("PLINTH_FAIL_LOG", &log);
                if ever {
                    command.env("PLINTH_FAIL_EVER", "1");
                }
                let output = command.output().unwrap();
                runs += 1;
                let text = String::from_utf8(output.stdout).unwrap();
                let said: Vec<&str> = text.lines().filter(|l| l.starts_with("store_")).collect();
                for code in &said {
                    *codes.entry((errno, (*code).to_owned())).or_insert(0) += 1;
                }
                let acknowledged = text.lines().filter(|l| l.parse::<u64>().is_ok()).count() as u64;
                let place = format!(
                    "{flow:?}, write {at} fails {}, {errno}: {text}",
                    if ever { "ever" } else { "once" }
                );
                // One that fails once holds up nothing for long.
                if !ever && matches!(flow, Flow::Pairs(_)) {
                    assert!(output.status.success(), "{place}");
                    assert_eq!(acknowledged, 8, "{place}");
                }
                let opened = open(&path).unwrap();
                assert_eq!(opened.store.check().unwrap().first_fault(), None, "{place}");
                match flow {
                    Flow::Pairs(ready) => {
                        let there = prefix(&opened.store);
                        assert!(
                            (ready + acknowledged..=ready + 8).contains(&there),
                            "{place}: {there} are there"
                        );
                    }
                    Flow::Older(_) => assert_eq!(opened.store.count().unwrap(), before, "{place}"),
                }
                let counted: i64 = std::fs::read_to_string(&log).unwrap().trim().parse().unwrap();
                if counted < at {
                    assert!(said.is_empty(), "{place}: a run without a fault is clean");
                    break;
                }
                assert!(at < 5_000, "no run is clean");
            }
        }
    }
    assert!(
        codes.keys().all(|(errno, code)| match code.as_str() {
            "store_disk_full" => *errno == full,
            "store_io" => true,
            _ => false,
        }),
        "{codes:?}"
    );
    assert!(codes.contains_key(&(full, "store_disk_full".to_owned())), "a full disk is called so: {codes:?}");
    println!(
        "F5: {runs} runs, another write or sync failing in each; told as {codes:?}; nothing lost or half"
    );
}

#[cfg(target_os = "linux")]
fn open_count(flow: Flow) -> u64 {
    match flow {
        Flow::Pairs(ready) => 2 * ready,
        // What the frozen files hold.
        Flow::Older(_) => 25,
    }
}
