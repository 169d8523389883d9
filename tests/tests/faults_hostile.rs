//! F12: hostile files at every door. `tests/data/hostile/manifest.jsonl` names each case, how it is made where it is too
//! large to be kept, and what must be said of it.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::record::{EntryId, FORM};
use plinth_tests::data_folder;
use plinth_tests::doors::{Door, Doors, Told};
use plinth_tests::faults::{Dice, count};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::PathBuf;
use std::sync::mpsc;
use std::time::Duration;

/// A case that says nothing for so long hangs.
const HANGS: Duration = Duration::from_mins(2);

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(clippy::struct_field_names)] // the fields are those of the manifest
struct Case {
    case: String,
    door: Door,
    /// The file, or
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<String>,
    /// texts and how often each is repeated; `{n}` counts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pieces: Option<Vec<(String, usize)>>,
    /// How many good entries or rows it is set among.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    among: Option<usize>,
    /// Bytes that the record must hold afterwards.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    kept: Option<String>,
    /// What is refused: the first few, and how many in all.
    told: Option<Vec<Told>>,
    #[serde(default)]
    refused: usize,
    #[serde(default)]
    taken: usize,
}

impl Case {
    fn bytes(&self) -> Vec<u8> {
        match (&self.file, &self.pieces) {
            (Some(file), _) => std::fs::read(folder().join(file)).unwrap(),
            (None, Some(pieces)) => make(pieces),
            (None, None) => panic!("{}: neither file nor pieces", self.case),
        }
    }

    /// The bad one among good ones, at a place.
    fn document(&self, bad: &[&[u8]], places: &[usize]) -> Vec<u8> {
        among(self.door, self.among.unwrap_or(0), bad, places)
    }
}

fn folder() -> PathBuf {
    data_folder().join("hostile")
}

fn make(pieces: &[(String, usize)]) -> Vec<u8> {
    if let [(zeros, times)] = pieces
        && zeros == "\0"
    {
        return vec![0; *times];
    }
    let (mut out, mut n) = (String::new(), 0);
    for (text, times) in pieces {
        for _ in 0..*times {
            match text.split_once("{n}") {
                Some((head, tail)) => write!(out, "{head}{n}{tail}").unwrap(),
                None => out.push_str(text),
            }
            n += 1;
        }
    }
    out.into_bytes()
}

fn good(door: Door, n: u64) -> String {
    if door == Door::Sets {
        return format!("row,{},bar 60 kg,2,set {n}", 1 + n % 12);
    }
    format!(
        r#"{{"id":"{}","kind":"note","fields":{{"text":{{"value":"note {n}","stamp":"000000000001-0000-0000000000000001"}}}}}}"#,
        EntryId::new(1 + n, [5; 10])
    )
}

/// Good entries or rows, with bad ones put before the good ones at these places.
fn among(door: Door, goods: usize, bad: &[&[u8]], places: &[usize]) -> Vec<u8> {
    let (head, between, tail) = match door {
        Door::Sets => ("movement,amount,load,reserve,note\r\n".to_owned(), "\r\n", "\r\n".to_owned()),
        _ => (format!("{{\"form\":\"{FORM}\",\"entries\":[\n"), ",\n", "\n]}\n".to_owned()),
    };
    let mut parts: Vec<Vec<u8>> = Vec::new();
    for n in 0..=goods {
        for (bad, _) in bad.iter().zip(places).filter(|(_, at)| **at == n) {
            parts.push(bad.to_vec());
        }
        if n < goods {
            parts.push(good(door, n as u64).into_bytes());
        }
    }
    let mut out = head.into_bytes();
    out.extend(parts.join(between.as_bytes()));
    out.extend(tail.into_bytes());
    out
}

fn cases() -> Vec<Case> {
    let text = std::fs::read_to_string(folder().join("manifest.jsonl")).unwrap();
    text.lines().map(|l| serde_json::from_str(l).unwrap()).collect()
}

/// Runs on a thread of its own and waits for each step, so that a hang is told by its name.
fn watched(work: impl FnOnce(&dyn Fn(&str)) + Send + 'static) {
    let (says, hears) = mpsc::channel();
    let worker = std::thread::spawn(move || work(&|step| says.send(step.to_owned()).unwrap()));
    let mut last = String::from("the beginning");
    loop {
        match hears.recv_timeout(HANGS) {
            Ok(step) => last = step,
            Err(mpsc::RecvTimeoutError::Disconnected) => break,
            Err(mpsc::RecvTimeoutError::Timeout) => panic!("{last} hangs"),
        }
    }
    assert!(worker.join().is_ok(), "it panicked at {last}");
}

#[test]
fn f12_every_hostile_file_is_refused_with_its_reason_and_spoils_only_itself() {
    let renew = std::env::var_os("PLINTH_RENEW").is_some();
    watched(move |step| {
        let doors = Doors::new().unwrap();
        let (mut cases, mut by_door, mut wrong) = (cases(), BTreeMap::new(), Vec::new());
        for case in &mut cases {
            step(&case.case);
            let mut bytes = case.bytes();
            let length = bytes.len();
            if case.among.is_some() {
                bytes = case.document(&[&bytes], &[500]);
            }
            let answer = doors.knock(case.door, &bytes).unwrap();
            assert_eq!(answer.without_remedy, 0, "{}: a refusal says not what to do", case.case);
            // What is said is bounded by what was given, and by itself.
            assert!(answer.told.len() <= 70_000, "{}: {} refusals", case.case, answer.told.len());
            assert!(answer.said <= 200_000 + 64 * length, "{}: {} bytes said", case.case, answer.said);
            if let Some(kept) = &case.kept {
                let there = answer.export.windows(kept.len()).any(|w| w == kept.as_bytes());
                assert!(there && answer.told.is_empty(), "{}: not kept byte for byte", case.case);
            }
            if let Some(goods) = case.among {
                let expected = goods + usize::from(answer.told.is_empty());
                assert!(answer.told.len() <= 1, "{}: it spoils its neighbours", case.case);
                assert!(answer.taken == expected, "{}: {} of {expected} taken", case.case, answer.taken);
            }
            let first: Vec<Told> = answer.told.iter().take(3).cloned().collect();
            let (refused, taken) = (answer.told.len(), answer.taken);
            if renew {
                (case.told, case.refused, case.taken) = (Some(first), refused, taken);
            } else if (case.told.as_ref(), case.refused, case.taken) != (Some(&first), refused, taken) {
                wrong.push(format!("{}: told {first:?}, {refused} refused, {taken} taken", case.case));
            }
            *by_door.entry(case.door).or_insert(0) += 1;
        }
        if renew {
            let lines: Vec<String> = cases.iter().map(|c| serde_json::to_string(c).unwrap()).collect();
            std::fs::write(folder().join("manifest.jsonl"), lines.join("\n") + "\n").unwrap();
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
        assert!(cases.len() >= 200);
        println!("F12: {} hostile files, by door {by_door:?}; each as the manifest says", cases.len());
    });
}

#[test]
fn f12_any_number_of_bad_entries_among_good_ones() {
    let mut dice = Dice::new("F12");
    let times = count(10, 500);
    watched(move |step| {
        let doors = Doors::new().unwrap();
        let cases = cases();
        let mut refused_in_all = 0;
        for n in 0..times {
            let door = if n % 3 == 0 { Door::Sets } else { Door::Record };
            let bad: Vec<(&Case, Vec<u8>)> = (cases.iter())
                .filter(|c| c.door == door && c.among.is_some() && c.refused == 1)
                .map(|c| (c, c.bytes()))
                .filter(|(_, bytes)| bytes.len() < 100_000)
                .collect();
            let many = 1 + dice.below(60);
            let chosen: Vec<&(&Case, Vec<u8>)> = (0..many).map(|_| &bad[dice.below(bad.len())]).collect();
            let places: Vec<usize> = chosen.iter().map(|_| dice.below(940)).collect();
            let texts: Vec<&[u8]> = chosen.iter().map(|(_, bytes)| &bytes[..]).collect();
            step(&format!("variant {n}"));
            let answer = doors.knock(door, &among(door, 940, &texts, &places)).unwrap();
            assert_eq!((answer.told.len(), answer.taken), (many, 940), "variant {n}: {:?}", answer.told);
            refused_in_all += many;
        }
        println!(
            "F12: {times} generated files of 940 good entries and {refused_in_all} bad ones; all told apart"
        );
    });
}
