//! Bad briefs: each is refused with the field at fault and what to do about it, and nothing panics.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::sync::OnceLock;

use plinth_core::catalogue::Catalogue;
use plinth_core::plan::DocumentFault;
use plinth_core::plan::brief::{LARGEST_BRIEF_BYTES, read_brief};
use plinth_core::plan::sample::sample_brief;
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Planner, Weights};
use proptest::prelude::*;
use serde_json::{Value, json};

fn catalogue() -> &'static Catalogue {
    static CATALOGUE: OnceLock<Catalogue> = OnceLock::new();
    CATALOGUE.get_or_init(|| Catalogue::builtin().expect("the catalogue is sound"))
}

fn good() -> Value {
    json!({
        "days": 3, "minutes": 60, "goal": { "size": 100 }, "training_age": "intermediate",
        "equipment": ["barbell", "rack", "bench"],
        "limits": { "screening": "answered_no_limit" }
    })
}

fn faults(json: &[u8]) -> Vec<DocumentFault> {
    read_brief(json, catalogue()).map(|_| ()).expect_err("refused")
}

/// The only fault of a text, which names `field` and says `remedy`.
fn only(json: &[u8], field: &str, remedy: &str) {
    let found = faults(json);
    let what = String::from_utf8_lossy(&json[..json.len().min(200)]).into_owned();
    assert_eq!(found.len(), 1, "{what}: {found:?}");
    let f = &found[0];
    assert_eq!(f.field, field, "{what}: {f}");
    assert!(f.remedy.contains(remedy), "{what}: {f}");
    let sentence = f.to_string();
    assert!(sentence.contains(field) && sentence.ends_with('.') && !sentence.contains('\n'), "{sentence}");
    assert!(sentence.len() < 1000, "a sentence, not a page: {}", sentence.len());
}

#[test]
fn the_brief_that_the_others_are_made_from_is_read() {
    let (brief, _) = read_brief(good().to_string().as_bytes(), catalogue()).expect("good");
    assert_eq!(brief.days, 3);
    assert_eq!(brief.weeks, 5, "five weeks unless asked");
}

#[test]
fn each_bad_value_names_its_field_and_remedy() {
    let kind = "give a value of the kind named";
    let cases: Vec<(&str, Value, &str, &str)> = vec![
        // Wrong numbers.
        ("days", json!(400), "days", "give 1 to 6"),
        ("days", json!(0), "days", "give 1 to 6"),
        ("days", json!(7), "days", "give 1 to 6"),
        ("days", json!(-1), "days", kind),
        ("days", json!(2.5), "days", kind),
        ("days", json!(3.0), "days", kind),
        ("days", json!(9_007_199_254_740_993_u64), "days", kind),
        ("days", json!(u64::MAX), "days", kind),
        ("days", json!("3"), "days", kind),
        ("days", json!(null), "days", kind),
        ("days", json!(true), "days", kind),
        ("days", json!([3]), "days", kind),
        ("minutes", json!(-30), "minutes", kind),
        ("minutes", json!(4), "minutes", "give 5 to 240"),
        ("minutes", json!(241), "minutes", "give 5 to 240"),
        ("minutes", json!(u32::MAX), "minutes", "give 5 to 240"),
        ("minutes", json!("sixty"), "minutes", kind),
        ("minutes", json!([60, 60]), "minutes", "one for each day"),
        ("minutes", json!([60, 60, 3]), "minutes", "give 5 to 240"),
        ("minutes", json!([60, 60, -3]), "minutes", kind),
        ("minutes", json!([]), "minutes", "one for each day"),
        ("weeks", json!(3), "weeks", "give 4 to 6"),
        ("weeks", json!(7), "weeks", "give 4 to 6"),
        ("age_years", json!(4), "age_years", "give 5 to 110"),
        ("age_years", json!(111), "age_years", "give 5 to 110"),
        ("age_years", json!(-20), "age_years", kind),
        ("goal", json!({}), "goal", "at least one above 0"),
        ("goal", json!({ "size": 0, "strength": 0 }), "goal", "at least one above 0"),
        ("goal", json!({ "size": 101 }), "goal", "parts from 0 to 100"),
        ("goal", json!({ "size": -1 }), "goal.size", kind),
        ("goal", json!({ "beauty": 1 }), "goal.beauty", "use one of the fields named"),
        ("goal", json!("size"), "goal", kind),
        // Wrong words.
        ("training_age", json!("expert"), "training_age", "use one of the words named"),
        ("training_age", json!(3), "training_age", "use one of the words named"),
        ("training_age", json!(null), "training_age", "use one of the words named"),
        ("training_age", json!([1, 2]), "training_age", "use one of the words named"),
        ("weekdays", json!(["monday", 2]), "weekdays[1]", "use one of the words named"),
        ("limits", json!({ "screening": true }), "limits.screening", "use one of the words named"),
        (
            "discomforts",
            json!([{ "region": "knee", "severity": 3, "nature": "usual" }]),
            "discomforts[0].severity",
            "use one of the words named",
        ),
        ("weekdays", json!(["monday", "moonday"]), "weekdays[1]", "use one of the words named"),
        ("weekdays", json!("monday"), "weekdays", kind),
        ("limits", json!({ "screening": "fine" }), "limits.screening", "use one of the words named"),
        ("limits", json!({ "minor": "yes" }), "limits.minor", kind),
        ("limits", json!({ "tired": true }), "limits.tired", "use one of the fields named"),
        (
            "limits",
            json!({ "screening": "answered_no_limit", "after_surgery": ["tail"] }),
            "limits.after_surgery[0]",
            "use one of neck",
        ),
        (
            "discomforts",
            json!([{ "region": "knee", "severity": "awful", "nature": "usual" }]),
            "discomforts[0].severity",
            "use one of the words named",
        ),
        (
            "discomforts",
            json!([{ "region": "knee", "severity": "mild", "nature": "old" }]),
            "discomforts[0].nature",
            "use one of the words named",
        ),
        ("discomforts", json!([{ "region": "knee", "severity": "mild" }]), "discomforts[0].nature", "add it"),
        (
            "discomforts",
            json!([{ "region": "tail", "severity": "mild", "nature": "usual" }]),
            "discomforts[0].region",
            "use one of neck",
        ),
        ("format", json!("plinth.brief/99"), "format", "use plinth.brief/1"),
        // Wrong ids.
        ("equipment", json!(["barbell", "rocket"]), "equipment[1]", "plinth catalogue --kit"),
        ("equipment", json!("barbell"), "equipment", kind),
        ("priorities", json!(["wings"]), "priorities[0]", "plinth catalogue --muscles"),
        (
            "muscle_sets",
            json!([{ "muscle": "wings", "minimum": 1, "target": 2, "maximum": 3 }]),
            "muscle_sets[0].muscle",
            "plinth catalogue --muscles",
        ),
        (
            "muscle_sets",
            json!([{ "muscle": "calves", "minimum": 1, "target": 2, "maximum": 201 }]),
            "muscle_sets[0]",
            "give at most 200",
        ),
        ("carrying", json!(["barbell_back_sqat"]), "carrying[0]", "did you mean"),
        ("carrying", json!(["zzz"]), "carrying[0]", "`plinth catalogue` lists"),
        (
            "wishes",
            json!([{ "wish": "require", "movement": "bench_pres" }]),
            "wishes[0].movement",
            "did you mean",
        ),
        (
            "wishes",
            json!([{ "wish": "forbid", "pattern": "squats" }]),
            "wishes[0].pattern",
            "plinth catalogue --patterns",
        ),
        ("wishes", json!([{ "wish": "require", "pattern": "squat" }]), "wishes[0]", "name a movement"),
        ("wishes", json!([{ "wish": "forbid" }]), "wishes[0]", "give one of them"),
        (
            "wishes",
            json!([{ "wish": "forbid", "movement": "plank", "pattern": "trunk" }]),
            "wishes[0]",
            "give one of them",
        ),
        (
            "wishes",
            json!([{ "wish": "demand", "movement": "plank" }]),
            "wishes[0].wish",
            "use one of the words named",
        ),
        (
            "wishes",
            json!([{ "wish": "require", "movement": "plank", "times": 8 }]),
            "wishes[0].times",
            "give 1 to 7",
        ),
        (
            "wishes",
            json!([{ "wish": "require", "movement": "plank", "times": 0 }]),
            "wishes[0].times",
            "give 1 to 7",
        ),
        (
            "wishes",
            json!(vec![json!({ "wish": "avoid", "movement": "plank" }); 41]),
            "wishes",
            "give at most 40",
        ),
        (
            "bests",
            json!([{ "movement": "nothing", "load": "100 kg", "reps": 5 }]),
            "bests[0].movement",
            "plinth catalogue",
        ),
        (
            "bests",
            json!([{ "movement": "plank", "load": "100 kg", "reps": 0 }]),
            "bests[0]",
            "1 to 50 repetitions",
        ),
        (
            "bests",
            json!([{ "movement": "plank", "load": "100 kg", "reps": 5, "reserve": 11 }]),
            "bests[0]",
            "0 to 10 left",
        ),
        ("bests", json!([{ "movement": "plank", "load": "heavy", "reps": 5 }]), "bests[0].load", kind),
        ("body_mass", json!("heavy"), "body_mass", kind),
        ("in_turn", json!(1), "in_turn", kind),
        ("own_movements", json!([{ "id": "own_x" }]), "own_movements[0].name", "add it"),
        // Fields of nobody.
        ("dayz", json!(3), "dayz", "use one of the fields named"),
        ("", json!(3), "", "use one of the fields named"),
    ];
    for (key, value, field, remedy) in cases {
        let mut brief = good();
        brief[key] = value;
        only(brief.to_string().as_bytes(), field, remedy);
    }
}

#[test]
fn a_number_in_place_of_a_word_is_told_the_words() {
    let mut brief = good();
    brief["training_age"] = json!(3);
    let found = faults(brief.to_string().as_bytes());
    for word in ["`3`", "`novice`", "`intermediate`", "`advanced`"] {
        assert!(found[0].problem.contains(word), "{}", found[0]);
    }
    // Text that is no JSON stays a fault of the JSON, even where a word belongs.
    only(br#"{"training_age": NaN}"#, "training_age", "write JSON");
}

#[test]
fn a_missing_field_is_named_in_the_sentence() {
    for key in ["days", "minutes", "goal", "training_age", "equipment"] {
        let mut brief = good();
        brief.as_object_mut().unwrap().remove(key);
        only(brief.to_string().as_bytes(), key, "add it");
    }
}

#[test]
fn several_faults_are_told_at_once() {
    let mut brief = good();
    brief["days"] = json!(400);
    brief["minutes"] = json!(1);
    brief["equipment"] = json!(["rocket"]);
    brief["weeks"] = json!(52);
    let fields: Vec<String> = faults(brief.to_string().as_bytes()).into_iter().map(|f| f.field).collect();
    assert_eq!(fields, ["days", "minutes", "weeks", "equipment[0]"]);
}

#[test]
fn text_that_is_not_json_is_told_so() {
    let write = "write JSON";
    let with = |days: &str| format!(r#"{{"days": {days}, "minutes": 60}}"#).into_bytes();
    for (bytes, field) in [
        (b"".to_vec(), "brief"),
        (b"   ".to_vec(), "brief"),
        (b"{".to_vec(), "brief"),
        (b"days: 3".to_vec(), "brief"),
        (b"\x00".to_vec(), "brief"),
        (b"\xff\xfe{}".to_vec(), "brief"),
        (b"\xef\xbb\xbf{}".to_vec(), "brief"),
        (with("NaN"), "days"),
        (with("Infinity"), "days"),
        (with("-"), "days"),
        (with("03"), "days"),
        (with("1e999"), "days"),
        (with("'3'"), "days"),
        (br#"{"title": "\ud800"}"#.to_vec(), "title"),
        (b"{\"title\": \"a\x00b\"}".to_vec(), "title"),
        (b"{\"title\": \"\xff\"}".to_vec(), "title"),
    ] {
        only(&bytes, field, write);
    }
}

#[test]
fn a_brief_that_is_no_object_is_told_so() {
    for text in ["3", "\"brief\"", "null", "true"] {
        only(text.as_bytes(), "brief", "give a value of the kind named");
    }
}

#[test]
fn what_follows_the_brief_is_refused() {
    for tail in ["x", "{}", "]", "\0"] {
        only(format!("{}{tail}", good()).as_bytes(), "brief", "nothing after it");
    }
    let spaced = format!("\n{} \n\t", good());
    read_brief(spaced.as_bytes(), catalogue()).expect("blank space is nothing");
}

#[test]
fn a_field_given_twice_is_refused() {
    let text = good().to_string().replacen('{', r#"{"days": 2,"#, 1);
    only(text.as_bytes(), "days", "keep one of the two");
    let text = good().to_string().replace(r#""size":100"#, r#""size":100,"size":1"#);
    only(text.as_bytes(), "goal.size", "keep one of the two");
}

#[test]
fn ten_megabytes_are_refused_unread() {
    let mut brief = good();
    brief["title"] = json!("a".repeat(10 * 1024 * 1024));
    only(brief.to_string().as_bytes(), "brief", &format!("give at most {LARGEST_BRIEF_BYTES}"));
    let blank = vec![b' '; LARGEST_BRIEF_BYTES + 1];
    only(&blank, "brief", "give at most");
}

#[test]
fn ten_thousand_brackets_do_not_overflow_the_stack() {
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let nested = format!("{}1{}", open.repeat(10_000), close.repeat(10_000));
        assert!(!faults(nested.as_bytes()).is_empty());
        for key in ["minutes", "wishes", "kit", "own_movements", "title"] {
            let text = good()
                .to_string()
                .replacen('{', &format!("{{\"{key}\": {nested},"), 1)
                .replace(r#""minutes":60,"#, if key == "minutes" { "" } else { r#""minutes":60,"# });
            let found = faults(text.as_bytes());
            assert_eq!(found.len(), 1, "{key}");
            assert!(found[0].field.starts_with(key), "{key}: {}", found[0].field);
            assert!(found[0].to_string().len() < 1000, "{key}: {}", found[0].to_string().len());
        }
    }
}

#[test]
fn an_own_movement_with_faults_names_itself_and_its_field() {
    let mut brief = good();
    brief["own_movements"] = json!([{
        "id": "own_sled", "name": "Sled", "pattern": "shove", "tier": "compound", "joint_actions": ["knee extension"],
        "equipment": [[]], "laterality": "both", "load_kind": "sled", "axial": 0, "fatigue": 3, "skill": 1,
        "grip": 0, "pair_class": "legs", "set_up_s": 40, "ramp_sets": 1, "load_step_kg": "2.5",
        "trains": [{ "muscle": "quadriceps", "share": "direct", "reason": "knees extend" }]
    }]);
    only(brief.to_string().as_bytes(), "own_movements own_sled pattern", "use an id of patterns.csv");
}

#[test]
fn ids_that_mean_the_same_thing_in_another_script_are_unknown() {
    for id in ["Barbell", "barbell ", "b\u{430}rbell", "barbell\u{200b}", "\u{202e}barbell", ""] {
        let mut brief = good();
        brief["equipment"] = json!([id]);
        only(brief.to_string().as_bytes(), "equipment[0]", "plinth catalogue --kit");
    }
}

/// A change to the text of a brief.
#[derive(Debug, Clone)]
enum Edit {
    Cut(usize, usize),
    Put(usize, Vec<u8>),
    Swap(usize, usize),
}

fn edit() -> impl Strategy<Value = Edit> {
    let words: Vec<Vec<u8>> = [
        "-1",
        "1e999",
        "null",
        "{",
        "}",
        "[",
        "]",
        "\"",
        ",",
        "99999999999",
        "0",
        "\u{0}",
        "\\ud800",
        "true",
    ]
    .iter()
    .map(|w| w.as_bytes().to_vec())
    .collect();
    prop_oneof![
        (any::<usize>(), 0..40_usize).prop_map(|(at, n)| Edit::Cut(at, n)),
        (any::<usize>(), prop_oneof![prop::sample::select(words), prop::collection::vec(any::<u8>(), 1..8)])
            .prop_map(|(at, what)| Edit::Put(at, what)),
        (any::<usize>(), any::<usize>()).prop_map(|(a, b)| Edit::Swap(a, b)),
    ]
}

fn apply(text: &mut Vec<u8>, edit: &Edit) {
    if text.is_empty() {
        return;
    }
    let len = text.len();
    match edit {
        Edit::Cut(at, n) => {
            let at = at % len;
            text.drain(at..(at + n).min(len));
        }
        Edit::Put(at, what) => {
            let at = at % len;
            text.splice(at..at, what.iter().copied());
        }
        Edit::Swap(a, b) => text.swap(a % len, b % len),
    }
}

/// A value put in place of one of the brief's own.
fn wild() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(json!(null)),
        any::<i64>().prop_map(|n| json!(n)),
        (0..260_i64).prop_map(|n| json!(n)),
        any::<f64>().prop_map(|n| json!(n)),
        ".{0,12}".prop_map(|s| json!(s)),
        prop::collection::vec(0..300_u32, 0..8).prop_map(|v| json!(v)),
        Just(json!({})),
        Just(json!([])),
    ]
}

fn solve(text: &[u8]) {
    let Ok((brief, catalogue)) = read_brief(text, catalogue()) else { return };
    let weights = Weights::builtin().expect("sound");
    let planner = Planner::new(&catalogue, &weights);
    let effort = Effort { evaluations: 300, chains: 1 };
    let solved = planner.solve(&brief, effort, &mut |_| true);
    let answer = planner.programme(&brief, &solved);
    assert_eq!(answer.programme.days.len(), brief.days as usize);
    assert_eq!(answer.programme.block.len(), brief.weeks as usize);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn a_brief_whose_text_is_damaged_never_panics(seed in 0..200_u64, edits in prop::collection::vec(edit(), 0..6)) {
        let mut text = serde_json::to_vec(&sample_brief(seed, catalogue())).unwrap();
        for e in &edits {
            apply(&mut text, e);
        }
        if let Err(found) = read_brief(&text, catalogue()) {
            prop_assert!(!found.is_empty() && found.iter().all(|f| !f.remedy.is_empty()));
        }
        solve(&text);
    }

    #[test]
    fn a_brief_with_a_value_replaced_is_refused_or_planned(seed in 0..200_u64, at in any::<usize>(), value in wild()) {
        let mut brief = serde_json::to_value(sample_brief(seed, catalogue())).unwrap();
        let object = brief.as_object_mut().unwrap();
        let key = object.keys().nth(at % object.len()).unwrap().clone();
        object.insert(key.clone(), value);
        let text = brief.to_string();
        if let Err(found) = read_brief(text.as_bytes(), catalogue()) {
            let named = found.iter().all(|f| f.field.starts_with(&key) || f.field == "minutes" && key == "days");
            prop_assert!(named, "{key}: {found:?}");
        }
        solve(text.as_bytes());
    }
}
