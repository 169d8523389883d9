//! `plinth record` and `plinth findings` as a user meets them: the real binary on records of an invented lifter.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use chrono::{Days, Local, NaiveDate};
use serde_json::{Value, json};
use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};
use std::sync::atomic::{AtomicU32, Ordering};

static FOLDERS: AtomicU32 = AtomicU32::new(0);

/// A folder of a test's own, gone with it.
struct Folder(PathBuf);

impl Folder {
    fn new() -> Self {
        let n = FOLDERS.fetch_add(1, Ordering::Relaxed);
        let path = std::env::temp_dir().join(format!("plinth-record-{}-{n}", std::process::id()));
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn at(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }

    fn with(&self, name: &str, text: &str) -> String {
        fs::write(self.0.join(name), text).unwrap();
        self.at(name)
    }

    /// A record with a brief.
    fn record(&self) -> String {
        let record = self.at("r.plinth");
        let brief = self.with("brief.json", include_str!("../data/example-brief.json"));
        good(&["record", "begin", &record, "--brief", &brief]);
        record
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn plinth(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_plinth")).env("LANG", "C").args(args).output().expect("the binary runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

fn good(args: &[&str]) -> String {
    let out = plinth(args);
    assert!(out.status.success(), "{args:?}: {}", text(&out.stderr));
    text(&out.stdout)
}

/// Ends with this code, says these words and leaves standard output empty.
fn refused(args: &[&str], code: i32, words: &[&str]) {
    let out = plinth(args);
    let said = text(&out.stderr);
    assert_eq!(out.status.code(), Some(code), "{args:?}: {said}");
    assert!(out.stdout.is_empty(), "{args:?}");
    for word in words {
        assert!(said.contains(word), "{args:?}: {word:?} is missing in {said}");
    }
}

fn day(ago: u64) -> NaiveDate {
    Local::now().date_naive().checked_sub_days(Days::new(ago)).unwrap()
}

/// Six weeks of three lifts, twice a week, each time a little more, with fewer repetitions; as CSV.
fn log() -> String {
    let mut rows = String::from("movement,load,amount,reserve,ended_at\n");
    for session in 0..12_u64 {
        let on = day(1 + 3 * (11 - session));
        for (movement, kg) in
            [("barbell_back_squat", 100), ("barbell_bench_press", 70), ("conventional_deadlift", 130)]
        {
            let (kg, reps) = (kg * 10 + session * 10, 8 - session / 3);
            for set in 0..3 {
                let kg = format!("{}.{}", kg / 10, kg % 10);
                rows += &format!("{movement},bar {kg} kg,{reps},2,{on}T18:{:02}:00+00:00\n", 10 * set);
            }
        }
    }
    rows
}

fn entry(n: u32, kind: &str, fields: &[(&str, Value)]) -> Value {
    let stamp = "019a00000000-0000-0000000000000009";
    let fields: serde_json::Map<String, Value> =
        fields.iter().map(|(k, v)| ((*k).to_owned(), json!({ "value": v, "stamp": stamp }))).collect();
    json!({ "id": format!("019a0000-0000-7101-8101-{n:012x}"), "kind": kind, "fields": fields })
}

fn document(entries: &[Value]) -> String {
    json!({ "form": "plinth.record/1", "entries": entries }).to_string()
}

fn body(n: u32, kg: &str) -> Value {
    let at = format!("{}T07:00:00+00:00", day(u64::from(7 * n)));
    entry(
        n,
        "body_measurement",
        &[("what", json!("body_mass")), ("value", json!(kg)), ("measured_at", json!(at))],
    )
}

/// A lifter with a log, body mass, sex and date of birth.
fn lifter(folder: &Folder, born_on: &str, more: &[Value]) -> String {
    let record = folder.record();
    good(&["record", "import", &record, &folder.with("log.csv", &log()), "--csv"]);
    let who = entry(100, "lifter", &[("sex", json!("female")), ("born_on", json!(born_on))]);
    let mut entries =
        vec![who, body(1, "64.5 kg"), body(2, "64.2 kg"), body(3, "64.9 kg"), body(4, "65.1 kg")];
    entries.extend_from_slice(more);
    good(&["record", "import", &record, &folder.with("more.json", &document(&entries))]);
    record
}

#[test]
fn findings_are_said_in_both_languages_and_trace_to_what_they_rest_on() {
    let folder = Folder::new();
    let record = lifter(&folder, "1990-03-01", &[]);
    let said = good(&["findings", &record]);
    for part in [
        "Barbell back squat\n",
        "One-repetition maximum: about",
        "eight times in ten between",
        "From the first heaviest set of",
        "published equations",
        "Most yet for 5 reps: 111 kg; before, 110 kg on",
        "Sets ",
        "Quadriceps",
        "IPF GL",
        "an estimate between",
        "classic equipment is taken",
        "64.5 kg on",
        "Not medical advice.",
    ] {
        assert!(said.contains(part), "{part:?} is missing in:\n{said}");
    }
    for line in said.lines() {
        assert!(line.chars().count() <= 120, "too wide: {line}");
    }
    let german = good(&["findings", &record, "--language", "de"]);
    for part in
        ["Maximum für eine Wiederholung: etwa", "Am meisten bisher für 5 Wiederholungen: 111 kg", "64,5 kg"]
    {
        assert!(german.contains(part), "{part:?} is missing in:\n{german}");
    }
    for words in [said, german] {
        assert!(plinth_core::safety::never_said(&words).is_empty());
    }
}

#[test]
fn charts_are_whole_pictures_with_words_for_a_screen_reader() {
    let folder = Folder::new();
    let record = lifter(&folder, "1990-03-01", &[]);
    let charts = folder.at("charts");
    let answer: Value =
        serde_json::from_str(&good(&["findings", &record, "--charts", &charts, "--json"])).expect("JSON");
    let drawn = answer["charts"].as_array().expect("a list");
    assert_eq!(drawn.len(), 8, "two for each of three lifts, the week, body mass: {drawn:?}");
    for path in drawn {
        let svg = fs::read_to_string(path.as_str().expect("a path")).expect("a file");
        for part in ["<title id=\"title\">", "<desc id=\"desc\">", "role=\"img\"", "tabular-nums", "</svg>"] {
            assert!(svg.contains(part), "{path}: {part}");
        }
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{path}");
        assert!(!svg.contains("rx="), "square corners");
        let colours: std::collections::BTreeSet<&str> =
            svg.match_indices('#').map(|(k, _)| &svg[k..k + 7]).collect();
        let house = ["#F4F0E6", "#1B1A17", "#524D43", "#8A8373", "#DE9C36"];
        assert!(colours.iter().all(|c| house.contains(c) || *c == "#hatch)"), "{path}: {colours:?}");
    }
    let blocked = folder.with("file", "");
    refused(&["findings", &record, "--charts", &blocked], 2, &["--charts", "give a folder"]);
}

#[test]
fn a_minor_sees_no_body_mass_and_no_score() {
    let folder = Folder::new();
    let pull_up = entry(
        50,
        "set",
        &[
            ("movement", json!("pull_up")),
            ("load", json!({ "of": "added", "mass": "5 kg" })),
            ("amount", json!(5)),
            ("ended_at", json!(format!("{}T18:00:00+00:00", day(2)))),
        ],
    );
    let born = day(365 * 15).to_string();
    let record = lifter(&folder, &born, &[pull_up]);
    let answer = good(&["findings", &record, "--json"]);
    for hidden in ["64.5", "69.5", "IPF GL"] {
        assert!(!answer.contains(hidden), "{hidden} is shown");
    }
    let answer: Value = serde_json::from_str(&answer).expect("JSON");
    assert!(answer["findings"]["scores"].is_null() && answer["findings"]["body_mass"].is_null());
    let said = good(&["findings", &record]);
    assert!(said.contains("Its loads hold body mass, which is not shown"), "{said}");
}

#[test]
fn in_pregnancy_plateaus_sessions_and_scores_are_silent() {
    let folder = Folder::new();
    let pregnant = entry(
        60,
        "screening",
        &[
            ("answered_at", json!(format!("{}T08:00:00+00:00", day(1)))),
            ("pregnancy", json!({ "pregnant": "yes" })),
        ],
    );
    let record = lifter(&folder, "1990-03-01", &[pregnant]);
    let said = good(&["findings", &record]);
    assert!(said.contains("are not told in pregnancy"), "{said}");
    for silent in ["plateau:", "Gaining", "cannot be told yet: ", "sessions done", "IPF GL"] {
        assert!(!said.contains(silent), "{silent:?} is said:\n{said}");
    }
}

#[test]
fn a_record_travels_whole() {
    let folder = Folder::new();
    let record = lifter(&folder, "1990-03-01", &[]);
    let exported = good(&["record", "export", &record]);
    let other = folder.at("other.plinth");
    let brief = folder.at("brief.json");
    good(&["record", "begin", &other, "--brief", &brief]);
    let file = folder.at("out.json");
    assert!(good(&["record", "export", &record, "-o", &file]).contains("entries were written to"));
    assert_eq!(fs::read_to_string(&file).unwrap(), exported, "two exports are the same bytes");
    good(&["record", "import", &other, &file]);
    assert!(good(&["record", "merge", &record, &other]).contains("1 changed the record"), "the other brief");
    assert!(good(&["record", "merge", &other, &record]).contains(" 0 changed the record"));
    assert_eq!(good(&["record", "export", &record]), good(&["record", "export", &other]));
    assert!(good(&["record", "check", &record]).contains("each agrees with its digest"));
    let checked: Value = serde_json::from_str(&good(&["record", "check", &other, "--json"])).unwrap();
    assert_eq!((&checked["bad"], &checked["sums_agree"]), (&json!([]), &json!(true)));
    // Sets go out as CSV and change nothing when they come back.
    let sets = folder.at("sets.csv");
    assert!(good(&["record", "export", &record, "--csv", "-o", &sets]).contains("108 sets"));
    assert!(good(&["record", "import", &record, &sets, "--csv"]).contains(" 0 changed the record"));
}

#[test]
fn a_backup_comes_back_also_sealed() {
    let folder = Folder::new();
    let record = lifter(&folder, "1990-03-01", &[]);
    let before = good(&["record", "export", &record]);
    let backup = folder.at("backup");
    good(&["record", "backup", &record, &backup]);
    refused(&["record", "seal", &record, &folder.at("sealed")], 2, &["key", "plinth record key"]);
    let words = good(&["record", "key", &record]);
    let first = words.lines().next().unwrap();
    assert_eq!(first.split(' ').count(), 24, "{first}");
    let (key, sealed, opened) = (folder.with("key", first), folder.at("sealed"), folder.at("opened"));
    good(&["record", "seal", &record, &sealed]);
    let bytes = fs::read(&sealed).unwrap();
    assert!(!bytes.windows(15).any(|w| w == b"SQLite format 3"), "it is sealed");
    let wrong = folder.with("wrong", &first.replacen(first.split(' ').next().unwrap(), "zebra", 1));
    refused(&["record", "open", &sealed, &opened, "--key", &wrong], 2, &["24 words"]);
    good(&["record", "open", &sealed, &opened, "--key", &key]);
    refused(&["record", "open", &sealed, &opened, "--key", &key], 2, &["give a path where nothing is"]);
    refused(&["record", "erase", &record], 2, &["--everything", "export or back up"]);
    good(&["record", "erase", &record, "--everything"]);
    assert!(!fs::exists(&record).unwrap());
    // A lost record is restored to where nothing is.
    good(&["record", "restore", &record, &backup]);
    assert_eq!(good(&["record", "export", &record]), before);
    let aside = good(&["record", "restore", &record, &opened]);
    assert!(aside.contains("What was there before lies at"), "{aside}");
    assert!(good(&["record", "check", &record]).contains("each agrees"));
}

#[test]
fn refused_entries_are_told_and_the_others_taken() {
    let folder = Folder::new();
    let record = folder.record();
    let bad = json!({ "id": "none", "kind": "set", "fields": {} });
    let file = folder.with("half.json", &document(&[body(1, "64 kg"), bad]));
    let out = plinth(&["record", "import", &record, &file]);
    let said = text(&out.stderr);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stdout).contains("One entry was taken; 1 changed the record."));
    for part in ["line 1", "entry none", "the id is no identity", "give a UUID", "one entry was refused"] {
        assert!(said.contains(part), "{part:?} is missing in {said}");
    }
    let rows = "movement,load,amount,ended_at\nbarbell_back_squat,bar 80 kg,5,2026-05-03T18:00:00+02:00\n\
                barbell_back_squat,bar many,5,2026-05-03T18:00:00+02:00\n";
    let out = plinth(&["record", "import", &record, &folder.with("rows.csv", rows), "--csv", "--json"]);
    assert_eq!(out.status.code(), Some(2));
    let told: Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!((&told["taken"], &told["refused"][0]["line"]), (&json!(1), &json!(3)));
    assert_eq!(told["refused"][0]["field"], "load");
}

#[test]
fn what_is_no_record_is_refused_and_left_as_it_is() {
    let folder = Folder::new();
    let none = folder.at("none");
    for question in [&["findings"][..], &["record", "check"], &["record", "export"], &["record", "erase"]] {
        refused(&[question, &[&none]].concat(), 2, &["RECORD: there is no record", "plinth record begin"]);
    }
    assert!(!fs::exists(&none).unwrap(), "a name mistyped makes no record");
    let letter = folder.with("letter.txt", "Dear all, this is a letter and no record.");
    let out = plinth(&["findings", &letter]);
    assert_eq!(out.status.code(), Some(1), "{}", text(&out.stderr));
    assert_eq!(fs::read_to_string(&letter).unwrap(), "Dear all, this is a letter and no record.");
    let record = folder.record();
    refused(&["record", "import", &record, &letter], 2, &["line 1"]);
    refused(&["record", "merge", &record, &letter], 2, &["line 1"]);
    refused(&["record", "merge", &record, &record], 2, &["the record itself"]);
    refused(&["record", "backup", &record, &record], 2, &["the record itself"]);
    refused(&["record", "restore", &record, &none], 2, &["FROM", "give the path"]);
    refused(&["record", "begin", &none], 2, &["--brief"]);
    let brief = folder.at("brief.json");
    refused(&["record", "begin", &none, "--brief", &letter], 2, &["brief"]);
    refused(&["record", "begin", &none, "--programme", &brief], 2, &["days", "give a value"]);
    assert!(!fs::exists(&none).unwrap(), "nothing is made before everything is read");
    assert!(good(&["record", "check", &record]).contains("agrees"));
}

#[test]
fn a_programme_is_taken_on_from_a_day() {
    let folder = Folder::new();
    let record = folder.record();
    let brief = folder.at("brief.json");
    let week = folder.with("week.json", &good(&["plan", &brief, "--json"]));
    refused(
        &["record", "begin", &record, "--programme", &week, "--starts-on", "soon"],
        2,
        &["--starts-on", "2026-05-03"],
    );
    let said = good(&["record", "begin", &record, "--programme", &week, "--starts-on", &day(21).to_string()]);
    assert!(said.contains("The programme was taken on"), "{said}");
    good(&["record", "import", &record, &folder.with("log.csv", &log()), "--csv"]);
    let said = good(&["findings", &record]);
    for part in ["sessions done.", "with nothing logged.", "Next: ", "The rule of the next load: "] {
        assert!(said.contains(part), "{part:?} is missing in:\n{said}");
    }
}
