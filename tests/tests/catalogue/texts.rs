//! What the lifter reads: complete for every movement, and every fault named.

use std::collections::BTreeMap;

use crate::catalogue;
use plinth_core::catalogue::{Fault, Lying, Texts, Trap};

fn files() -> Vec<(String, String)> {
    let folder = format!("{}/../core/data/texts", env!("CARGO_MANIFEST_DIR"));
    let mut out: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| {
            let name = format!("texts/{}", p.file_name().unwrap().to_string_lossy());
            (name, std::fs::read_to_string(p).unwrap())
        })
        .collect();
    out.sort();
    out
}

fn read(files: &[(String, String)]) -> Result<Texts, Vec<Fault>> {
    let files: Vec<(&str, &str)> = files.iter().map(|(n, t)| (n.as_str(), t.as_str())).collect();
    Texts::read(&catalogue(), &files)
}

/// The faults after `edit` changed the lines of one movement's table.
fn faults_after(id: &str, edit: impl Fn(&str) -> String) -> Vec<Fault> {
    let mut files = files();
    let header = format!("[{id}]\n");
    let (_, text) = files.iter_mut().find(|(_, t)| t.contains(&header)).unwrap();
    let start = text.find(&header).unwrap();
    let end = text[start + 1..].find("\n[").map_or(text.len(), |at| start + 1 + at + 1);
    let edited = edit(&text[start..end]);
    assert_ne!(edited, text[start..end], "the edit does nothing");
    text.replace_range(start..end, &edited);
    read(&files).err().unwrap_or_default()
}

/// The table without the value of `key`, which `value` replaces.
fn with(table: &str, key: &str, value: &str) -> String {
    let start = table.find(&format!("\n{key} = ")).unwrap() + 1;
    let rest = &table[start..];
    let end = if rest[..rest.find('\n').unwrap()].ends_with('[') {
        rest.find("\n]").unwrap() + 3
    } else {
        rest.find('\n').unwrap() + 1
    };
    format!("{}{value}{}", &table[..start], &rest[end..])
}

#[test]
fn every_movement_has_its_text_complete() {
    let c = catalogue();
    let texts = Texts::builtin(&c).unwrap_or_else(|f| panic!("{f:?}"));
    read(&files()).expect("the files on disk are the ones built in");
    let mut cues: BTreeMap<String, usize> = BTreeMap::new();
    for m in &c.movements {
        let t = texts.of(&m.id).unwrap_or_else(|| panic!("{} has no text", m.id));
        assert!((3..=6).contains(&t.cues.len()) && t.faults.len() >= 2 && !t.cautions.is_empty(), "{}", m.id);
        for part in [&t.set_up, &t.range, &t.breathing, &t.easier, &t.harder, &t.source] {
            assert!(part.trim().len() > 5, "{}: {part:?}", m.id);
        }
        assert!(m.trap == Trap::None || t.bail_out.as_ref().is_some_and(|b| b.len() > 20), "{}", m.id);
        for cue in &t.cues {
            *cues.entry(cue.to_lowercase()).or_default() += 1;
        }
    }
    let shared: Vec<&String> = cues.iter().filter(|(_, n)| **n > 3).map(|(c, _)| c).collect();
    assert!(shared.is_empty(), "{shared:?}");
}

#[test]
fn the_texts_say_what_the_trade_says() {
    // Common practice, no source.
    let c = catalogue();
    let texts = Texts::builtin(&c).expect("sound");
    let says = |id: &str, words: &[&str]| {
        let t = texts.of(id).unwrap();
        let faults = t.faults.iter().flat_map(|f| [f.fault.as_str(), f.remedy.as_str()]);
        let parts =
            t.cues.iter().map(String::as_str).chain([t.range.as_str(), t.set_up.as_str()]).chain(faults);
        let all = parts.collect::<Vec<_>>().join(" ").to_lowercase();
        for word in words {
            assert!(all.contains(word), "{id} says nothing of {word:?}: {all}");
        }
    };
    says("barbell_back_squat", &["crease", "knee", "ankle", "heels"]);
    says("barbell_bench_press", &["elbows slightly tucked", "lower chest", "slightly back"]);
    says("romanian_deadlift", &["still", "hips straight back", "not at the floor"]);
}

#[test]
fn what_is_done_lying_says_so_to_those_who_should_not_lie() {
    let c = catalogue();
    let texts = Texts::builtin(&c).expect("sound");
    for m in &c.movements {
        let said: &[&str] = match m.lying {
            Lying::Back => &["lie flat", "lie on your back"],
            Lying::Front => &["on your front", "lying on the front", "lying face down"],
            Lying::No => continue,
        };
        let t = texts.of(&m.id).unwrap();
        let cautions = t.cautions.join(" ").to_lowercase();
        assert!(said.iter().any(|s| cautions.contains(s)), "{}: {cautions}", m.id);
    }
    let curl = texts.of("machine_leg_curl").unwrap();
    assert!(!curl.set_up.contains("or sit") && curl.set_up.contains("face down"), "{}", curl.set_up);
}

#[test]
fn no_text_promises_or_diagnoses() {
    let forbidden = [
        "cleared",
        "normal pain",
        "push through",
        "probably a strain",
        "fix your imbalance",
        "prevents injury",
        "rehabilitation",
        "ideal weight",
    ];
    for (name, text) in files() {
        let text = text.to_lowercase();
        for words in forbidden {
            assert!(!text.contains(words), "{name} says {words:?}");
        }
    }
}

#[test]
fn each_fault_of_a_text_is_named_with_its_place_and_remedy() {
    let bench = "barbell_bench_press";
    let cases: &[(&str, &str, &str, &str)] = &[
        ("range", "range = \"  \"\n", "range", "write it"),
        ("set_up", "set_up = \"\"\n", "set_up", "write it"),
        ("breathing", "breathing = \"\"\n", "breathing", "write it"),
        ("easier", "easier = \"\"\n", "easier", "write it"),
        ("harder", "harder = \"\"\n", "harder", "write it"),
        ("source", "source = \"\"\n", "source", "write it"),
        ("cues", "cues = [\"one cue\", \"two cues\"]\n", "cues", "give three to six"),
        (
            "cues",
            "cues = [\"a1\", \"b2\", \"c3\", \"d4\", \"e5\", \"f6\", \"g7\"]\n",
            "cues",
            "give three to six",
        ),
        ("cues", "cues = [\"a1\", \" \", \"c3\"]\n", "cues", "write it or take it out"),
        ("faults", "faults = [{ fault = \"a\", remedy = \"b\" }]\n", "faults", "give at least two"),
        ("cautions", "cautions = []\n", "cautions", "say what can hurt"),
        ("bail_out", "", "bail_out", "say how to get out"),
    ];
    for (key, value, field, remedy) in cases {
        let found = faults_after(bench, |table| with(table, key, value));
        assert_eq!(found.len(), 1, "{value}: {found:?}");
        let f = &found[0];
        assert_eq!(
            (f.file.as_str(), f.row.as_str(), f.field.as_str()),
            ("texts/horizontal_press.toml", bench, *field)
        );
        assert!(f.remedy.contains(remedy), "{f}");
    }
}

#[test]
fn a_missing_text_a_strange_text_and_a_cue_shared_by_four_are_named() {
    let gone = faults_after("plank", |_| String::new());
    assert_eq!(gone.len(), 1, "{gone:?}");
    assert_eq!((gone[0].row.as_str(), gone[0].field.as_str()), ("plank", "id"));
    assert!(gone[0].remedy.contains("add a table"), "{}", gone[0]);

    let strange = faults_after("plank", |t| t.replace("[plank]", "[plankk]"));
    let mut rows: Vec<&str> = strange.iter().map(|f| f.row.as_str()).collect();
    rows.sort_unstable();
    assert_eq!(rows, ["plank", "plankk"], "the one that is unknown and the one that lacks its text");

    let mut files = files();
    let mut left = 4;
    for (_, text) in &mut files {
        while left > 0 && text.contains("\ncues = [\n") {
            *text = text.replacen("\ncues = [\n", "\ncues = [ \n  \"Breathe and smile at the wall\",\n", 1);
            left -= 1;
        }
    }
    let shared = read(&files).expect_err("a cue of four");
    let about: Vec<&Fault> = shared.iter().filter(|f| f.problem.contains("smile at the wall")).collect();
    assert_eq!(about.len(), 1, "{shared:?}");
    assert!(about[0].problem.contains("serves 4 movements") && about[0].remedy.contains("one for each"));
    assert_eq!(about[0].row.split(' ').count(), 4);
}

#[test]
fn toml_that_cannot_be_read_names_its_file_and_the_others_are_still_checked() {
    let mut files = files();
    let broken = files.iter().position(|(n, _)| n == "texts/trunk.toml").unwrap();
    files[broken].1.insert_str(0, "[plank\n");
    let other = files.iter().position(|(n, _)| n == "texts/squat.toml").unwrap();
    files[other].1 =
        files[other].1.replacen("[barbell_back_squat]\n", "[barbell_back_squat]\ncolour = \"red\"\n", 1);
    let found = read(&files).expect_err("two broken files");
    for name in ["texts/trunk.toml", "texts/squat.toml"] {
        let f = found.iter().find(|f| f.file == name).unwrap_or_else(|| panic!("{name}: {found:?}"));
        assert_eq!(f.field, "file");
        assert!(f.remedy.contains("mend the TOML"));
    }
}
