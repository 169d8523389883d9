//! F13: random bytes and mutated valid input at each decoder.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_tests::data_folder;
use plinth_tests::doors::{DOORS, Door, Doors};
use plinth_tests::faults::{Dice, count, garble};
use serde_json::Value;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc;
use std::time::{Duration, Instant};

/// A decoder that says nothing for so long hangs.
const HANGS: Duration = Duration::from_mins(1);
/// A single answer that takes longer is told; what else the machine does may be the reason.
const SLOW: Duration = Duration::from_secs(1);

/// What breaks numbers, texts and structure.
const TOKENS: [&str; 22] = [
    "NaN",
    "1e999",
    "-0",
    "-1",
    "2.5",
    "9007199254740993",
    "18446744073709551615",
    "4294967296",
    "2147483648",
    "null",
    "true",
    "[]",
    "{}",
    "\"\"",
    "\"\\ud800\"",
    "\"\\u0000\"",
    "{\"a\":",
    "[[[[",
    "\"",
    "\\",
    ",,",
    "\u{202e}",
];

fn values() -> [Value; 10] {
    [
        Value::Null,
        true.into(),
        (-1).into(),
        i64::MAX.into(),
        u64::MAX.into(),
        2_147_483_647.into(),
        1e300.into(),
        "".into(),
        "\u{0}".into(),
        Value::Array(Vec::new()),
    ]
}

/// Sound documents: those of the corpus, and what only a running program makes.
fn sound(doors: &Doors) -> BTreeMap<Door, Vec<Vec<u8>>> {
    let mut all: BTreeMap<Door, Vec<Vec<u8>>> = BTreeMap::new();
    let hostile = data_folder().join("hostile");
    for (door, name) in [
        (Door::Brief, "brief_sound.json"),
        (Door::Programme, "programme_sound.json"),
        (Door::Kit, "kit_sound.json"),
        (Door::Own, "own_sound.json"),
        (Door::Event, "event_sound.json"),
        (Door::Floor, "floor_sound.json"),
    ] {
        all.entry(door).or_default().push(std::fs::read(hostile.join(name)).unwrap());
    }
    for file in std::fs::read_dir(data_folder().join("record")).unwrap() {
        all.entry(Door::Record).or_default().push(std::fs::read(file.unwrap().path()).unwrap());
    }
    all.entry(Door::Floor).or_default().push(doors.snapshot().into_bytes());
    let sets = "id,movement,amount,load,reserve,note,more,stamps\r\n,row,5,bar 60 kg,2,\"a, b\",,\r\n\
        019ddc11-c005-7101-8101-0000000000ff,row,5,pair 45 lb,not_reported,'=x,\"{\"\"tempo\"\":1}\",\
        \"{\"\"movement\"\":\"\"019ddc11c005-0000-0000000000000001\"\",\"\"tempo\"\":\"\"019ddc11c005-0000-0000000000000001\"\"}\"\r\n";
    all.insert(Door::Sets, vec![sets.as_bytes().to_vec()]);
    all.insert(Door::Sealed, vec![doors.sealed(b"an invented record").unwrap()]);
    for touch in [
        r#"{"event":"amount","amount":5}"#,
        r#"{"event":"correct","set":0}"#,
        r#"{"event":"stand_in","offer":0}"#,
        r#"{"event":"go_to","line":1}"#,
        r#"{"event":"choose_day","day":1}"#,
    ] {
        all.entry(Door::Event).or_default().push(touch.as_bytes().to_vec());
    }
    all
}

fn mutate(dice: &mut Dice, sound: &[u8]) -> Vec<u8> {
    if dice.below(16) == 0 {
        return (0..dice.below(400)).map(|_| dice.roll() as u8).collect();
    }
    if dice.below(2) == 0
        && let Ok(mut value) = serde_json::from_slice::<Value>(sound)
    {
        for _ in 0..=dice.below(3) {
            bend(dice, &mut value, 0);
        }
        return value.to_string().into_bytes();
    }
    garble(dice, sound, &TOKENS.map(str::as_bytes))
}

/// Puts something else in the place of one value within.
fn bend(dice: &mut Dice, value: &mut Value, depth: usize) {
    let inside = depth < 12 && dice.below(5) > 0;
    match value {
        Value::Array(items) if inside && !items.is_empty() => {
            let at = dice.below(items.len());
            match dice.below(12) {
                0 => drop(items.remove(at)),
                1 => items.push(items[at].clone()),
                2 => items.swap(0, at),
                _ => bend(dice, &mut items[at], depth + 1),
            }
        }
        Value::Object(members) if inside && !members.is_empty() => {
            let name = members.keys().nth(dice.below(members.len())).unwrap().clone();
            match dice.below(16) {
                0 => drop(members.remove(&name)),
                1 => drop(members.insert("of_tomorrow".into(), 1.into())),
                _ => bend(dice, &mut members[&name], depth + 1),
            }
        }
        Value::Number(number) if dice.below(2) == 0 => {
            let by = dice.below(7) as i64 - 3;
            *value = number.as_i64().unwrap_or(0).saturating_add(by).into();
        }
        other => *other = values()[dice.below(10)].clone(),
    }
}

#[test]
fn f13_no_bytes_make_a_decoder_panic_or_hang() {
    let budget = Duration::from_secs(
        std::env::var("PLINTH_F13_SECONDS")
            .ok()
            .and_then(|s| s.parse().ok())
            .unwrap_or(count(60, 1_800) as u64),
    );
    let mut dice = Dice::new("F13");
    let (says, hears) = mpsc::channel();
    let worker = std::thread::spawn(move || {
        let doors = Doors::new().unwrap();
        let sound = sound(&doors);
        let (mut counts, mut taken, mut slow): (BTreeMap<Door, u64>, u64, Vec<String>) = Default::default();
        let (mut crashes, mut slowest) = (Vec::new(), Duration::ZERO);
        // The panics are caught and told at the end, each with its input.
        let from = Instant::now();
        let mut n = 0;
        while from.elapsed() < budget && crashes.len() < 20 {
            let door = DOORS[n % DOORS.len()];
            n += 1;
            let given = &sound[&door];
            let which = dice.below(given.len());
            let bytes = mutate(&mut dice, &given[which]);
            says.send(format!(
                "input {n} at {door:?}: {:?}",
                String::from_utf8_lossy(&bytes[..bytes.len().min(200)])
            ))
            .unwrap();
            let began = Instant::now();
            if let Ok(answer) = catch_unwind(AssertUnwindSafe(|| doors.listen(door, &bytes))) {
                taken += u64::from(answer.taken > 0);
            } else {
                let name = std::env::temp_dir().join(format!("crash-{door:?}-{n}").to_lowercase());
                std::fs::write(&name, &bytes).unwrap();
                crashes.push(name.display().to_string());
            }
            let took = began.elapsed();
            slowest = slowest.max(took);
            if took > SLOW {
                slow.push(format!("input {n} at {door:?}, {} bytes: {took:?}", bytes.len()));
            }
            *counts.entry(door).or_insert(0) += 1;
        }
        println!(
            "F13: {n} inputs in {} s, {taken} of them still sound, {} panics, {} over a second, slowest {slowest:?}; by decoder {counts:?}",
            budget.as_secs(),
            crashes.len(),
            slow.len()
        );
        for line in &slow {
            println!("slow: {line}");
        }
        assert!(
            crashes.is_empty(),
            "panics; put each input into tests/data/hostile/ with a line in its manifest: {crashes:?}"
        );
    });
    let mut last = String::new();
    loop {
        match hears.recv_timeout(HANGS) {
            Ok(step) => last = step,
            Err(mpsc::RecvTimeoutError::Disconnected) => break,
            Err(mpsc::RecvTimeoutError::Timeout) => panic!("{last} hangs"),
        }
    }
    assert!(worker.join().is_ok(), "see above; the last was {last}");
}
