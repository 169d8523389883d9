//! F5: the Nth write fails, for every N until a run is clean.
#![cfg(unix)]
#![allow(clippy::unwrap_used)] // a test may stop at what should not be

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
