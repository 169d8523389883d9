//! The messages of every language: whole, of one shape, used, named for every id, and free of what is never said.
#![allow(clippy::expect_used)] // a test may stop at what should not be

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use fluent_syntax::parser::parse;
use plinth_core::catalogue::{Catalogue, Texts};
use plinth_core::safety::never_said;
use plinth_core::words::{Arg, Language, Speech};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A message's arguments by attribute; the value is under "".
type Shape = BTreeMap<String, BTreeSet<String>>;

/// Every message of a language by key, with the part it stands in.
fn messages(language: Language) -> BTreeMap<String, (&'static str, Shape)> {
    let mut all = BTreeMap::new();
    for (part, text) in language.parts() {
        let resource = match parse(*text) {
            Ok(resource) => resource,
            Err((_, faults)) => panic!("{language}/{part}.ftl: {faults:?}"),
        };
        for entry in resource.body {
            match entry {
                Entry::Message(m) => {
                    let mut shape = Shape::new();
                    if let Some(value) = &m.value {
                        shape.insert(String::new(), arguments(value));
                    }
                    for a in &m.attributes {
                        shape.insert(a.id.name.to_owned(), arguments(&a.value));
                    }
                    let before = all.insert(m.id.name.to_owned(), (*part, shape));
                    assert!(before.is_none(), "{language}/{part}.ftl: {} a second time", m.id.name);
                }
                Entry::Term(t) => panic!("{language}/{part}.ftl: term {} is not used here", t.id.name),
                Entry::Junk { content } => panic!("{language}/{part}.ftl: {content}"),
                Entry::Comment(_) | Entry::GroupComment(_) | Entry::ResourceComment(_) => {}
            }
        }
    }
    all
}

fn arguments(pattern: &Pattern<&str>) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for element in &pattern.elements {
        if let PatternElement::Placeable { expression } = element {
            collect(expression, &mut found);
        }
    }
    found
}

fn collect(expression: &Expression<&str>, found: &mut BTreeSet<String>) {
    match expression {
        Expression::Inline(inline) => collect_inline(inline, found),
        Expression::Select { selector, variants } => {
            collect_inline(selector, found);
            for v in variants {
                found.extend(arguments(&v.value));
            }
        }
    }
}

fn collect_inline(inline: &InlineExpression<&str>, found: &mut BTreeSet<String>) {
    match inline {
        InlineExpression::VariableReference { id } => {
            found.insert(id.name.to_owned());
        }
        InlineExpression::Placeable { expression } => collect(expression, found),
        InlineExpression::FunctionReference { arguments, .. } => {
            arguments.positional.iter().for_each(|a| collect_inline(a, found));
        }
        _ => {}
    }
}

/// Names are in every language but English, whose names are the catalogue's own.
fn sentences(language: Language) -> BTreeMap<String, Shape> {
    let all = messages(language).into_iter();
    all.filter(|(_, (part, _))| *part != "names").map(|(key, (_, shape))| (key, shape)).collect()
}

#[test]
fn every_message_of_english_is_in_every_language_with_the_same_arguments() {
    let english = sentences(Language::English);
    assert!(english.len() > 200, "{}", english.len());
    for language in Language::ALL {
        let other = sentences(language);
        let mut wrong = Vec::new();
        for (key, shape) in &english {
            match other.get(key) {
                None => wrong.push(format!("{key} is missing")),
                Some(s) if s != shape => wrong.push(format!("{key}: {shape:?} in English, {s:?} here")),
                Some(_) => {}
            }
        }
        wrong.extend(
            other.keys().filter(|k| !english.contains_key(*k)).map(|k| format!("{k} is not in English")),
        );
        assert!(wrong.is_empty(), "{language}:\n{}", wrong.join("\n"));
    }
}

#[test]
fn every_message_can_be_said_and_marks_nothing() {
    for language in Language::ALL {
        let speech = Speech::new(language);
        for (key, (_, shape)) in messages(language) {
            for (attribute, arguments) in &shape {
                let full = if attribute.is_empty() { key.clone() } else { format!("{key}.{attribute}") };
                for arg in
                    [Arg::Count(0), Arg::Count(1), Arg::Count(2), Arg::Decimal("1.5"), Arg::Text("word")]
                {
                    let args: Vec<(&str, Arg<'_>)> = arguments.iter().map(|a| (a.as_str(), arg)).collect();
                    let said = speech.say(&full, &args);
                    assert!(!said.trim().is_empty() && said != full, "{language} {full}: {said:?}");
                    let strange = |c: char| matches!(c, '{' | '}' | '$' | '\n' | '\u{2066}'..='\u{2069}');
                    assert!(!said.contains(strange), "{language} {full}: {said:?}");
                    assert!(!said.contains("  "), "{language} {full}: {said:?}");
                }
            }
        }
    }
}

/// The Rust sources under a folder of the workspace, without their tests.
fn sources(folder: &str) -> Vec<(String, String)> {
    fn walk(path: &Path, found: &mut Vec<(String, String)>) {
        for entry in std::fs::read_dir(path).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text = std::fs::read_to_string(&path).expect("a source file");
                let text = text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default().to_owned();
                found.push((path.display().to_string(), text));
            }
        }
    }
    let mut found = Vec::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(folder), &mut found);
    assert!(!found.is_empty());
    found
}

/// What stands between quotes on one line.
fn literals(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|l| !l.trim_start().starts_with("//")).flat_map(|l| l.split('"').skip(1).step_by(2))
}

/// Literals that stand right after one of these openings, on the same line or the next.
fn said<'a>(text: &'a str, opening: &str) -> Vec<&'a str> {
    text.split(opening)
        .skip(1)
        .filter_map(|rest| rest.trim_start().strip_prefix('"')?.split('"').next())
        .collect()
}

/// What screens to come will say: what pain asks for, why the heaviest work is not offered, where one is.
const TO_COME: [&str; 5] =
    ["caution-safeties-height-noted", "pain-", "heaviest-", "flag-address", "flag-let-go"];

#[test]
fn every_key_in_the_code_exists_and_every_message_is_used() {
    let english = messages(Language::English);
    let code: Vec<(String, String)> = [sources("core/src"), sources("server/src")].concat();
    let mut used: BTreeSet<&str> = BTreeSet::new();
    let mut wrong = Vec::new();
    let mut asked = 0;
    for (path, text) in &code {
        used.extend(literals(text));
        // In the words room a literal of small letters with a hyphen is a key.
        let key = |l: &&str| {
            l.contains('-')
                && l.chars().all(|c| c.is_ascii_lowercase() || c == '-')
                && !l.starts_with('-')
                && !l.ends_with('-')
        };
        let in_words =
            if path.contains("/core/src/words/") { literals(text).filter(key).collect() } else { Vec::new() };
        for k in said(text, ".say(").into_iter().chain(said(text, ".sentence(")).chain(in_words) {
            asked += 1;
            if !english.contains_key(k.split('.').next().unwrap_or(k)) {
                wrong.push(format!("{path}: no message {k:?}"));
            }
        }
    }
    assert!(asked > 200, "only {asked} keys were found in the code: the search is broken");
    // A key may be put together from an opening and an id, or stand in a data file.
    let openings: Vec<&str> = code
        .iter()
        .flat_map(|(_, text)| said(text, "format!("))
        .filter_map(|l| l.split_once("-{"))
        .map(|l| l.0)
        .collect();
    let data: String = ["flags", "cautions", "screening"]
        .iter()
        .map(|f| {
            let file = format!("{}/../core/data/{f}.csv", env!("CARGO_MANIFEST_DIR"));
            std::fs::read_to_string(file).expect("a data file")
        })
        .collect();
    for (key, (part, _)) in &english {
        let composed = openings.iter().any(|o| key.strip_prefix(o).is_some_and(|rest| rest.starts_with('-')));
        let in_data = data.split([',', '\n']).any(|cell| cell == key);
        let to_come = TO_COME.iter().any(|o| key.starts_with(o));
        if *part != "names" && !used.contains(key.as_str()) && !composed && !in_data && !to_come {
            wrong.push(format!("{part}.ftl: nothing says {key}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_id_of_the_catalogue_has_a_name_of_its_own_in_every_language() {
    let c = Catalogue::builtin().expect("sound");
    let kinds: [(&str, Vec<&str>); 5] = [
        ("movement", c.movements.iter().map(|m| m.id.as_str()).collect()),
        ("muscle", c.muscles.iter().map(|m| m.id.as_str()).collect()),
        ("pattern", c.patterns.iter().map(|p| p.id.as_str()).collect()),
        ("region", c.regions.iter().map(|r| r.id.as_str()).collect()),
        ("kit", c.equipment.iter().map(|e| e.id.as_str()).collect()),
    ];
    for language in Language::ALL.into_iter().filter(|l| *l != Language::English) {
        let names: Vec<String> = messages(language)
            .into_iter()
            .filter(|(_, (part, _))| *part == "names")
            .map(|(k, _)| k)
            .collect();
        let speech = Speech::new(language);
        let mut expected = BTreeSet::new();
        for (kind, ids) in &kinds {
            let mut told: BTreeMap<String, &str> = BTreeMap::new();
            for id in ids {
                let key = format!("{kind}-{id}");
                assert!(speech.has(&key), "{language}: {key} has no name");
                let name = speech.say(&key, &[]);
                assert!(name.starts_with(char::is_uppercase), "{language}: {key}: {name:?}");
                if let Some(other) = told.insert(name.to_lowercase(), id) {
                    panic!("{language}: {id} and {other} are both called {name}");
                }
                expected.insert(key);
            }
        }
        let stray: Vec<&String> = names.iter().filter(|k| !expected.contains(*k)).collect();
        assert!(stray.is_empty(), "{language}: names of nothing: {stray:?}");
    }
}

#[test]
fn what_is_never_said_stands_in_no_message_and_no_text() {
    for language in Language::ALL {
        for (part, text) in language.parts() {
            for line in text.lines().filter(|l| !l.starts_with('#')) {
                assert_eq!(never_said(line), [], "{language}/{part}.ftl: {line}");
            }
        }
    }
    let catalogue = Catalogue::builtin().expect("sound");
    let texts = Texts::builtin(&catalogue).expect("sound");
    for speech in Language::ALL.map(Speech::new) {
        for m in &catalogue.movements {
            for text in speech.cautions(&texts, &m.id).iter().chain(&speech.bail_out(&texts, &m.id)) {
                assert_eq!(never_said(text), [], "{}: {text}", m.id);
            }
        }
    }
}
