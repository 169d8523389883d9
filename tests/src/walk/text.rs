//! A screen as a reader sees it, line by line; and what the walk reads from it.

use plinth_core::companion::Findings;
use plinth_core::words::floor::{Button, ButtonRow, FloorScreen};
use std::fmt::Write;

fn button(b: &Button) -> String {
    let mut text = format!("[{}{}]", if b.chosen { "*" } else { "" }, b.label);
    if b.spoken != b.label {
        let _ = write!(text, " (said: {})", b.spoken);
    }
    text
}

fn row(out: &mut String, indent: &str, r: &ButtonRow) {
    let _ = write!(out, "{indent}{}", r.label);
    if r.buttons.iter().any(|b| !b.more.is_empty()) {
        out.push('\n');
        for b in &r.buttons {
            let _ = writeln!(out, "{indent}  {}", button(b));
            for more in &b.more {
                let _ = writeln!(out, "{indent}    - {more}");
            }
        }
    } else {
        let all: Vec<String> = r.buttons.iter().map(button).collect();
        let _ = writeln!(out, " {}", all.join(" "));
    }
}

/// The screen as text.
pub fn screen_text(s: &FloorScreen) -> String {
    let mut out = format!("== {} ({})\n", s.title, s.stage);
    if let Some(line) = &s.line {
        let pieces: Vec<String> = (line.pieces.iter())
            .map(|p| format!("{} {}/{}", p.label, p.done_per_mille, p.per_mille))
            .collect();
        let _ = writeln!(out, "line: {} | now {} | {}", pieces.join(", "), line.now_per_mille, line.ends);
    }
    for told in &s.told {
        let _ = writeln!(out, "! {told}");
    }
    for r in &s.before {
        row(&mut out, "", r);
    }
    if let Some(c) = &s.clock {
        let _ = writeln!(out, "{}: the clock runs", c.label);
    }
    if let Some(set) = &s.set {
        let _ = writeln!(out, "{}\n{}", set.movement, set.sentence);
        for (name, text) in [("made", &set.made), ("because", &set.because)] {
            if let Some(text) = text {
                let _ = writeln!(out, "  {name}: {text}");
            }
        }
        for note in &set.notes {
            let _ = writeln!(out, "  note: {note}");
        }
        for c in &set.cautions {
            let _ = writeln!(out, "  {}: {c}", s.caution_head);
        }
        if let Some(b) = &set.bail_out {
            let _ = writeln!(out, "  bail-out: {b}");
        }
        if let Some(d) = &set.discs {
            let drawn: Vec<String> = d.drawn.iter().map(|d| d.label.clone()).collect();
            let _ = writeln!(out, "  {} | {} | {}", d.bar, d.words, drawn.join(" "));
            for text in d.moves.iter().chain(&d.notes) {
                let _ = writeln!(out, "    {text}");
            }
        }
        if let Some(cue) = &set.cue {
            let _ = writeln!(out, "  cue: {cue}");
        }
    }
    if let Some(then) = &s.then {
        let _ = writeln!(out, "{then}");
    }
    if let Some(f) = &s.form {
        let _ = writeln!(out, "form: {}", f.title);
        for l in &f.lines {
            let _ = writeln!(out, "  {l}");
        }
        for r in &f.rows {
            row(&mut out, "  ", r);
        }
    }
    for r in &s.rows {
        row(&mut out, "", r);
    }
    if let Some(w) = &s.wide {
        let _ = writeln!(out, "WIDE {}{}", button(w), if w.outlined { " outlined" } else { "" });
    }
    if !s.actions.is_empty() {
        let all: Vec<String> = s.actions.iter().map(button).collect();
        let _ = writeln!(out, "{}", all.join(" "));
    }
    if let Some(more) = &s.more {
        row(&mut out, "", more);
    }
    if let Some(u) = &s.undo {
        let _ = writeln!(out, "{}", button(u));
    }
    let _ = writeln!(out, "said: {}", s.spoken);
    out
}

/// The findings in short: what a coach looks at first.
pub fn findings_text(f: &Findings) -> String {
    let mut out = format!("silent: {}\n", f.silent);
    for m in &f.movements {
        let max = m.maximum.as_ref().map_or_else(
            || format!("cannot tell yet: {:?}", m.maximum_needs),
            |x| format!("{} ({} to {})", x.middle, x.low, x.high),
        );
        let standing = m.standing.as_ref().map_or_else(
            || "nothing said".into(),
            |s| format!("{s:?}").chars().take(160).collect::<String>(),
        );
        let _ = writeln!(
            out,
            "{}: maximum {max}; {standing}; {} bests, {} new; sides {}",
            m.movement,
            m.bests.len(),
            m.new_bests.len(),
            m.sides
                .as_ref()
                .map_or_else(|| "-".into(), |s| { format!("{s:?}").chars().take(160).collect::<String>() }),
        );
    }
    let _ = writeln!(out, "attendance: {:?}", f.attendance);
    let _ = writeln!(out, "body mass: {:?}", f.body_mass);
    out
}

/// The first number of a text, decimal sign as it comes, with what follows it.
fn number(text: &str) -> Option<(f64, &str)> {
    let from = text.find(|c: char| c.is_ascii_digit())?;
    let rest = text.get(from..)?;
    let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(rest.len());
    let digits = rest.get(..end)?.trim_end_matches(['.', ',']).replace(',', ".");
    Some((digits.parse().ok()?, rest.get(end..)?))
}

/// Kilograms of a load as a screen names it; none for body mass alone or a band.
pub(crate) fn kilograms(load: &str) -> Option<f64> {
    let (n, rest) = number(load)?;
    let unit = rest.trim_start();
    if unit.starts_with("kg") {
        Some(n)
    } else if unit.starts_with("lb") {
        Some(n * 0.453_592_37)
    } else {
        None
    }
}

/// The first whole number of a text.
pub(crate) fn whole(text: &str) -> Option<u32> {
    number(text).map(|(n, _)| n as u32)
}
