//! The command line as a user meets it: the real binary, its output, its exit codes.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use serde_json::Value;
use std::io::Write;
use std::process::{Command, Output, Stdio};

const EXAMPLE: &str = include_str!("../data/example-brief.json");

fn plinth(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_plinth")).env("LANG", "C").args(args).output().expect("the binary runs")
}

fn plinth_with(args: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_plinth"))
        .env("LANG", "C")
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary runs");
    // A refused input may be left unread.
    let _ = child.stdin.take().expect("piped").write_all(input);
    child.wait_with_output().expect("it ends")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

fn json(output: &Output) -> Value {
    assert!(output.status.success(), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
fn german_is_spoken_on_request_and_where_the_locale_is_german() {
    let asked = text(&plinth(&["--language", "de"]).stdout);
    let located =
        Command::new(env!("CARGO_BIN_EXE_plinth")).env("LANG", "de_AT.UTF-8").output().expect("it runs");
    assert_eq!(asked, text(&located.stdout));
    for said in ["Montag: ", "Kreuzheben", "Minuten pro Woche. Bewiesen", "Kein medizinischer Rat."] {
        assert!(asked.contains(said), "{said:?} is missing in {asked}");
    }
    // The same week: the language changes no number.
    let digits = |t: &str| t.lines().filter(|l| l.contains(" x ")).count();
    assert_eq!(digits(&asked), digits(&text(&plinth(&[]).stdout)));
    let page = text(&plinth(&["catalogue", "barbell_back_squat", "--language", "de"]).stdout);
    assert!(page.contains("Vorsicht     Unterer Rücken") && page.contains("(englisch)"), "{page}");
    let english = Command::new(env!("CARGO_BIN_EXE_plinth"))
        .env("LANG", "de_DE.UTF-8")
        .args(["--language", "en", "catalogue", "--regions"])
        .output()
        .expect("it runs");
    assert!(text(&english.stdout).contains("Low back"));
    let out = plinth(&["--language", "fr"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("use en or de"), "{}", text(&out.stderr));
    let out = plinth(&["--language", "de", "load", "estimate", "12 kg", "90"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("nimm einen Satz in diesem Bereich"), "{}", text(&out.stderr));
}

#[test]
fn without_a_command_it_shows_the_main_job() {
    let out = plinth(&[]);
    let shown = text(&out.stdout);
    assert!(out.status.success());
    for part in [
        "Wednesday",
        "Barbell back squat",
        "weekly sets",
        "shared",
        "deload",
        "disc moves",
        "invented",
        "licensed care",
    ] {
        assert!(shown.contains(part), "{part} is not shown:\n{shown}");
    }
    for line in shown.lines() {
        assert!(line.chars().count() <= 120, "too wide: {line}");
        assert_eq!(line, line.trim_end(), "trailing space");
    }
}

#[test]
fn the_same_brief_gives_the_same_programme_byte_for_byte() {
    let first = plinth_with(&["plan", "-", "--json"], EXAMPLE.as_bytes());
    let second = plinth_with(&["plan", "-", "--json"], EXAMPLE.as_bytes());
    assert!(first.status.success());
    assert_eq!(first.stdout, second.stdout);
}

#[test]
fn what_it_prints_as_json_keeps_its_own_schema() {
    let schema = json(&plinth(&["schema", "programme"]));
    let document = json(&plinth(&["--json"]));
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    assert!(validator.is_valid(&document["programme"]));
    let mut broken = document["programme"].clone();
    broken["days"] = Value::from("three");
    assert!(!validator.is_valid(&broken), "a schema that accepts anything is none");

    let schema = json(&plinth(&["schema", "brief"]));
    let brief: Value = serde_json::from_str(EXAMPLE).expect("JSON");
    assert!(jsonschema::validator_for(&schema).expect("a schema").is_valid(&brief));

    let schema = json(&plinth(&["schema", "instance"]));
    let instance = json(&plinth_with(&["plan", "-", "--instance"], EXAMPLE.as_bytes()));
    assert!(jsonschema::validator_for(&schema).expect("a schema").is_valid(&instance));

    for name in ["kit", "own-movement"] {
        let schema = json(&plinth(&["schema", name]));
        assert!(jsonschema::validator_for(&schema).is_ok());
    }
}

/// One sentence on standard error that names the field and the remedy, exit code 2, nothing on standard output.
fn refused(brief: &[u8], field: &str, remedy: &str) {
    let out = plinth_with(&["plan", "-"], brief);
    let said = text(&out.stderr);
    assert_eq!(out.status.code(), Some(2), "{said}");
    assert!(out.stdout.is_empty());
    assert_eq!(said.trim_end().lines().count(), 1, "{said}");
    assert!(said.contains(field), "{field} is not named: {said}");
    assert!(said.contains(remedy), "{remedy:?} is not the remedy: {said}");
}

fn changed(field: &str, value: &str) -> Vec<u8> {
    let mut brief: Value = serde_json::from_str(EXAMPLE).expect("JSON");
    brief[field] = serde_json::from_str(value).expect("JSON");
    brief.to_string().into_bytes()
}

#[test]
fn each_answer_in_mid_session_prints_the_cautions_of_what_is_to_be_done() {
    let programme = json(&plinth_with(&["plan", "-", "--json"], EXAMPLE.as_bytes()));
    let first = programme["programme"]["days"][0]["lines"][0]["movement"].as_str().expect("a line");
    for question in [&["stand-in", first][..], &["minutes-left", "40"], &["fold-in", "2"]] {
        let args = [&["session", "-", "--today", "1"][..], question].concat();
        let out = plinth_with(&args, EXAMPLE.as_bytes());
        let shown = text(&out.stdout);
        assert!(out.status.success(), "{question:?}: {}", text(&out.stderr));
        assert!(shown.contains("\n! ") && shown.contains("Set the safeties anew"), "{question:?}:\n{shown}");
        assert!(shown.contains("Ramps and rests are never shortened."), "{question:?}:\n{shown}");
        if question[0] == "minutes-left" {
            let told = json(&plinth_with(&[&args[..], &["--json"]].concat(), EXAMPLE.as_bytes()));
            for line in told["lines"].as_array().expect("lines") {
                let id = line["movement"].as_str().expect("an id");
                let known = json(&plinth(&["catalogue", id, "--json"]));
                let name = known["movement"]["name"].as_str().or(known["name"].as_str()).expect("a name");
                assert!(shown.contains(&format!("! {name}: ")), "{name}:\n{shown}");
            }
        }
    }
}

#[test]
fn bad_briefs_are_refused_with_field_and_remedy() {
    refused(&changed("sets", "3"), "sets", "use one of the fields named");
    refused(&changed("days", "\"three\""), "days", "give a value of the kind named");
    refused(&changed("minutes", "-5"), "minutes", "give a value of the kind named");
    refused(&changed("days", "400"), "days", "give 1 to 6");
    refused(&changed("carrying", "[\"back_squat\"]"), "carrying[0]", "barbell_back_squat");
    refused(
        &EXAMPLE.replace("\"minutes\": 60", "\"minutes\": NaN").into_bytes(),
        "minutes",
        "NaN is not a number",
    );
    refused(&EXAMPLE.replace("\"minutes\": 60", "\"minutes\": 1e999").into_bytes(), "minutes", "write JSON");
    let huge = format!("{{\"title\": \"{}\"}}", "x".repeat(10 * 1024 * 1024));
    refused(huge.as_bytes(), "more than", "give a smaller file");
    let deep = format!("{{\"title\": {}1{}}}", "[".repeat(10_000), "]".repeat(10_000));
    refused(deep.as_bytes(), "title", "give a value of the kind named");
    refused(b"", "brief", "write JSON");
    let out = plinth(&["plan", "no-such-file.json"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("no-such-file.json"));
}

#[test]
fn an_unknown_command_or_option_is_refused() {
    assert_eq!(plinth(&["fly"]).status.code(), Some(2));
    assert_eq!(plinth(&["plan", "--fast", "x"]).status.code(), Some(2));
    assert_eq!(plinth(&["schema", "nothing"]).status.code(), Some(2));
}

#[test]
fn the_catalogue_lists_filters_and_shows() {
    let all = json(&plinth(&["catalogue", "--json"]));
    assert!(all.as_array().expect("a list").len() >= 110);
    let pulls =
        json(&plinth(&["catalogue", "--pattern", "vertical_pull", "--with", "pull_up_bar", "--json"]));
    let ids: Vec<&str> = pulls.as_array().expect("a list").iter().filter_map(|m| m["id"].as_str()).collect();
    assert!(ids.contains(&"pull_up") && !ids.contains(&"wide_grip_pulldown"), "{ids:?}");
    let page = text(&plinth(&["catalogue", "barbell_bench_press"]).stdout);
    for part in
        ["Caution", "Bail-out", "Set-up", "Cue", "Fault", "Breathing", "Chest", "training alone", "Lanza"]
    {
        assert!(page.contains(part), "{part}:\n{page}");
    }
    let out = plinth(&["catalogue", "bench_press"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("barbell_bench_press"));
    assert_eq!(plinth(&["catalogue", "--muscle", "heart"]).status.code(), Some(2));
}

#[test]
fn loads_are_estimated_made_and_routed() {
    let estimate = json(&plinth(&["load", "estimate", "100 kg", "10", "--json"]));
    // Epley and Brzycki (in 36ths) meet at ten repetitions: 133.33 kg.
    let each = estimate["each"].as_array().expect("a list");
    let of =
        |id: &str| each.iter().find(|e| e["equation"] == id).map(|e| e["mass"].to_string()).expect("there");
    assert!(of("brzycki").contains("133.3") && of("epley").contains("133.3"), "{each:?}");
    let shown = text(&plinth(&["load", "ramp", "81 kg"]).stdout);
    assert!(shown.contains("wanted 81 kg, made 80 kg"), "{shown}");
    let out = plinth(&["load", "estimate", "100 stone", "5"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("kg"), "{}", text(&out.stderr));
}
