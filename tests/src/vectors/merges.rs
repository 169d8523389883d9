//! Copies of entries that were edited apart, brought together either way: the same digest, the same file.

use super::Call;
use super::events::lines;
use super::press::{begins, open};
use crate::walk::Dice;
use plinth_core::words::Language;
use plinth_ffi::FileForm;

/// Pairs of copies.
const PAIRS: u64 = 12;
/// 09:00 UTC on Sunday, 1 March 2026.
const EDITED_MS: u64 = 1_772_355_600_000;

/// Values whose canonical text is not the shortest way to type them.
const VALUES: [&str; 8] = [
    r#""plain""#,
    r#""\u00fc and \/ and \u0007""#,
    r#"{"b":1,"a":[true,null]}"#,
    "[]",
    "-0",
    "12",
    r#""🏋 \ud83c\udfcb""#,
    "null",
];

/// A copy of note `n` as a file.
fn copy(n: u64, dice: &mut Dice) -> String {
    let mut fields = Vec::new();
    for name in ["text", "about", "of_the_future", "deleted"] {
        if dice.per_cent(25) {
            continue;
        }
        let ms = EDITED_MS + dice.roll() % 4;
        let (counter, device) = (dice.roll() % 2, 1 + dice.roll() % 2);
        let value = match name {
            "text" => format!("\"said {}\"", dice.roll() % 9),
            "about" => "\"set\"".to_owned(),
            "deleted" => dice.per_cent(50).to_string(),
            _ => VALUES[(dice.roll() % 8) as usize].to_owned(),
        };
        fields.push(format!(
            "\"{name}\": {{\"value\": {value}, \"stamp\": \"{ms:012x}-{counter:04x}-{device:016x}\"}}"
        ));
    }
    let kind = if n.is_multiple_of(3) { "of_the_future" } else { "note" };
    format!(
        "{{\"form\": \"plinth.record/1\", \"entries\": [{{\"kind\": \"{kind}\", \"id\": \"019ca890-0000-7101-8101-{n:012x}\", \"fields\": {{{}}}}}]}}",
        fields.join(", ")
    )
}

/// Each pair of copies one way and the other.
pub(super) fn either_way() -> Result<Vec<String>, String> {
    let mut dice = Dice::new(6);
    let at = begins();
    let pairs: Vec<[String; 2]> = (0..PAIRS).map(|n| [copy(n, &mut dice), copy(n, &mut dice)]).collect();
    let mut calls = Vec::new();
    for first in [0, 1] {
        calls.push(open(&at, Language::English, 6));
        for pair in &pairs {
            for copy in [first, 1 - first] {
                let document = pair[copy].clone();
                calls.push(Call::Import { at: at.clone(), document, form: FileForm::Json });
            }
            calls.push(Call::Digest { at: at.clone() });
        }
        calls.push(Call::Export { at: at.clone(), form: FileForm::Json });
    }
    let lines = lines(calls)?;
    let gives = |line: &String| line.split_once("\"gives\":").map(|(_, g)| g.to_owned());
    let half = lines.len() / 2;
    let same = |n: usize| gives(&lines[n]) == gives(&lines[half + n]);
    if !same(half - 1) || !(3..half).step_by(3).all(same) {
        return Err("merges: the two ways do not end alike".into());
    }
    Ok(lines)
}
