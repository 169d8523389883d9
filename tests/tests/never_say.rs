//! No text of the project says what `docs/safety.md` forbids: data, words and the string literals of the code.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::safety::{NEVER_SAY, Rules, WhyNot, never_said};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What may be said all the same: the file's end, the phrase, and why.
const EXCEPTIONS: &[(&str, &str, &str)] = &[];

/// Files that are not read at all, and why.
const UNREAD: &[(&str, &str)] = &[
    ("core/src/safety/never_say.rs", "it holds the phrases themselves"),
    ("tests.rs", "what tests say no lifter reads"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the workspace").to_owned()
}

fn files(under: &Path, endings: &[&str], out: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> =
        std::fs::read_dir(under).expect("a folder").map(|e| e.expect("an entry").path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            files(&path, endings, out);
        } else if path.extension().and_then(|e| e.to_str()).is_some_and(|e| endings.contains(&e)) {
            out.push(path);
        }
    }
}

/// The string literals of Rust code outside comments and before its unit tests, with the line of each.
fn literals(code: &str) -> Vec<(usize, String)> {
    let code = code.split("#[cfg(test)]\nmod tests {").next().unwrap_or(code);
    let chars: Vec<char> = code.chars().collect();
    let at = |k: usize| chars.get(k).copied().unwrap_or('\0');
    let (mut k, mut line, mut out) = (0, 1, Vec::new());
    while k < chars.len() {
        match at(k) {
            '\n' => line += 1,
            '/' if at(k + 1) == '/' => {
                while k < chars.len() && at(k) != '\n' {
                    k += 1;
                }
                continue;
            }
            '\'' if at(k + 2) == '\'' && at(k + 1) != '\\' => k += 2,
            '\'' if at(k + 1) == '\\' && at(k + 3) == '\'' => k += 3,
            'r' if at(k + 1) == '"' || (at(k + 1) == '#' && matches!(at(k + 2), '"' | '#')) => {
                let hashes = chars[k + 1..].iter().take_while(|c| **c == '#').count();
                let close: Vec<char> = std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
                let (from, start) = (k + 2 + hashes, line);
                k = from;
                while k < chars.len() && !chars[k..].starts_with(&close) {
                    line += usize::from(at(k) == '\n');
                    k += 1;
                }
                out.push((start, chars[from.min(k)..k].iter().collect()));
                k += hashes;
            }
            '"' => {
                let (mut text, start) = (String::new(), line);
                k += 1;
                while k < chars.len() && at(k) != '"' {
                    line += usize::from(at(k) == '\n');
                    if at(k) == '\\' {
                        k += 1;
                        line += usize::from(at(k) == '\n');
                        // A broken line goes on after its indentation; other escapes part words like a space.
                        text.push(' ');
                    } else {
                        text.push(at(k));
                    }
                    k += 1;
                }
                out.push((start, text));
            }
            _ => {}
        }
        k += 1;
    }
    out
}

/// The texts of Fluent: without comments and keys.
fn fluent(text: &str) -> Vec<(usize, String)> {
    let line = |(k, l): (usize, &str)| {
        let said = if l.starts_with('#') { "" } else { l.split_once(" =").map_or(l, |(_, said)| said) };
        (k + 1, said.to_owned())
    };
    text.lines().enumerate().map(line).collect()
}

#[test]
fn nothing_is_said_that_is_never_said() {
    let root = root();
    let mut paths = Vec::new();
    files(&root.join("core/data"), &["toml", "csv", "ftl"], &mut paths);
    for folder in ["core/src", "server/src"] {
        files(&root.join(folder), &["rs"], &mut paths);
    }
    let (mut faults, mut texts, mut used) = (Vec::new(), 0, vec![false; EXCEPTIONS.len()]);
    for path in &paths {
        let name = path.strip_prefix(&root).expect("inside").to_string_lossy().replace('\\', "/");
        if UNREAD.iter().any(|(end, _)| name.ends_with(end)) {
            continue;
        }
        let text = std::fs::read_to_string(path).expect("text");
        let said = match path.extension().and_then(|e| e.to_str()) {
            Some("rs") => literals(&text),
            Some("ftl") => fluent(&text),
            _ => text.lines().enumerate().map(|(k, l)| (k + 1, l.to_owned())).collect(),
        };
        for (line, text) in said {
            texts += 1;
            for phrase in never_said(&text) {
                let excepted = |(end, p, _): &(&str, &str, &str)| name.ends_with(end) && *p == phrase.text;
                match EXCEPTIONS.iter().position(excepted) {
                    Some(k) => used[k] = true,
                    None => faults.push(format!("{name}:{line}: {:?}: {}", phrase.text, phrase.because)),
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(texts > 5000, "only {texts} texts were read");
    assert!(used.iter().all(|u| *u), "an exception that nothing needs: take it out");
}

#[test]
fn the_reader_finds_every_phrase_wherever_it_stands() {
    for phrase in NEVER_SAY {
        let p = phrase.text;
        let code = format!("// {p}\nfn f() {{ let c = '\"'; g(\"one {p} two\"); h(r#\"{p}\"#); }}\n");
        let found: Vec<usize> =
            literals(&code).into_iter().filter(|(_, t)| !never_said(t).is_empty()).map(|(l, _)| l).collect();
        assert_eq!(found, [2, 2], "{p}");
        let ftl = format!("# {p}\nkey = {p}!\n    {p}\n");
        let found: Vec<usize> =
            fluent(&ftl).into_iter().filter(|(_, t)| !never_said(t).is_empty()).map(|(l, _)| l).collect();
        assert_eq!(found, [2, 3], "{p}");
    }
    let broken = literals("f(\"push \\\n     through\")");
    assert_eq!(never_said(&broken[0].1).len(), 1, "a literal over two lines");
}

fn messages(language: &str) -> BTreeMap<String, String> {
    let path = root().join("core/data/words").join(language).join("safety.ftl");
    let text = std::fs::read_to_string(path).expect("the words of safety");
    let message = |l: &str| l.split_once(" = ").map(|(k, v)| (k.to_owned(), v.to_owned()));
    text.lines().filter(|l| !l.starts_with('#')).filter_map(message).collect()
}

/// The names of the arguments in a message.
fn arguments(text: &str) -> Vec<&str> {
    let mut all: Vec<&str> = text
        .split("{ $")
        .skip(1)
        .map(|part| part.split(|c: char| !c.is_ascii_alphanumeric() && c != '_').next().unwrap_or_default())
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

#[test]
fn every_wording_key_of_safety_has_its_words_in_both_languages() {
    let rules = Rules::builtin().expect("sound");
    let mut keys: Vec<String> = rules.flags.iter().map(|f| f.words.clone()).collect();
    keys.extend(rules.screening.iter().map(|r| r.words.clone()));
    keys.extend(rules.cautions.iter().map(|c| c.words.clone()));
    keys.extend(WhyNot::ALL.iter().map(|w| w.words().to_owned()));
    for key in ["same-day", "no-return", "clearance-first", "no-guardian", "no-adult"] {
        keys.push(format!("barred-{key}"));
    }
    let (english, german) = (messages("en"), messages("de"));
    assert!(english.keys().eq(german.keys()), "both languages have the same keys");
    for key in keys {
        assert!(english.get(&key).is_some_and(|t| t.len() > 3), "{key}");
    }
    for (key, text) in &english {
        assert_eq!(arguments(text), arguments(&german[key]), "{key}");
        assert!(key.starts_with("screening-") || *text != german[key], "{key} is not translated");
    }
}

#[test]
fn the_most_urgent_words_point_to_the_local_emergency_number() {
    for (language, urgent, today) in
        [("en", "local emergency number", "licensed care today"), ("de", "örtlichen Notruf", "heute")]
    {
        let m = messages(language);
        assert!(m["flag-care-emergency"].contains(urgent));
        assert!(m["flag-care-same-day"].contains(today));
    }
}
