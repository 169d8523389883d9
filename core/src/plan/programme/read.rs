//! The door: JSON to a programme. A phone adapts what any coach sent it, so every number is checked here.

use super::{LONGEST_CUE, Line, Programme};
use crate::plan::document::{DocumentFault, read_document};
use crate::terms::one_line;
use serde::Deserialize;
use serde_json::value::RawValue;

/// Programmes above this size are refused before they are read.
pub const LARGEST_PROGRAMME_BYTES: usize = 1024 * 1024;

/// An answer of the planner, of which only the programme is wanted.
#[derive(Deserialize)]
struct Answered<'a> {
    #[serde(borrow)]
    programme: &'a RawValue,
}

/// Reads a programme, or the answer that holds one, and checks every number. A movement that this catalogue does
/// not know is no fault: a newer catalogue made it, and adapting says so.
///
/// # Errors
/// Every fault found, or the first that keeps the JSON from being read.
pub fn read_programme(json: &[u8]) -> Result<Programme, Vec<DocumentFault>> {
    let inner = if json.len() <= LARGEST_PROGRAMME_BYTES {
        serde_json::from_slice::<Answered<'_>>(json).ok()
    } else {
        None
    };
    let json = inner.map_or(json, |a| a.programme.get().as_bytes());
    let programme: Programme =
        read_document(json, "programme", LARGEST_PROGRAMME_BYTES).map_err(|f| vec![f])?;
    let faults = check(&programme);
    if faults.is_empty() { Ok(programme) } else { Err(faults) }
}

fn is_id(id: &str) -> bool {
    (1..=64).contains(&id.len())
        && id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
}

struct Check(Vec<DocumentFault>);

impl Check {
    fn within(&mut self, field: impl FnOnce() -> String, given: i32, low: i32, high: i32) {
        if !(low..=high).contains(&given) {
            self.0.push(DocumentFault::new(field(), format!("{given}"), format!("give {low} to {high}")));
        }
    }

    fn same(&mut self, field: impl FnOnce() -> String, given: usize, wanted: usize, of: &str) {
        if given != wanted {
            let problem = format!("{given} entries for {wanted} {of}");
            self.0.push(DocumentFault::new(field(), problem, format!("give one for each of the {of}")));
        }
    }

    fn id(&mut self, field: impl FnOnce() -> String, id: &str) {
        if !is_id(id) {
            let shown: String = id.chars().take(24).collect();
            let remedy = "use an id: at most 64 of a-z, 0-9 and _";
            self.0.push(DocumentFault::new(field(), format!("{shown:?} is no id of a movement"), remedy));
        }
    }

    fn line(&mut self, at: &str, l: &Line) {
        self.id(|| format!("{at}.movement"), &l.movement);
        self.within(|| format!("{at}.sets"), l.sets, 1, 30);
        self.within(|| format!("{at}.low"), l.low, 1, 1000);
        self.within(|| format!("{at}.high"), l.high, l.low.clamp(1, 1000), 1000);
        self.within(|| format!("{at}.reserve"), l.reserve, 0, 20);
        self.within(|| format!("{at}.rest_s"), l.rest_s, 0, 3600);
        self.within(|| format!("{at}.ramp_sets"), l.ramp_sets, 0, 20);
        if let Some(t) = &l.tempo {
            for (name, seconds) in [("lower_s", t.lower_s), ("turn_s", t.turn_s), ("raise_s", t.raise_s)] {
                self.within(|| format!("{at}.tempo.{name}"), seconds, 0, 10);
            }
        }
        if l.cue.as_ref().is_some_and(|cue| !one_line(cue, LONGEST_CUE)) {
            let remedy = format!("write 1 to {LONGEST_CUE} characters on one line, or leave it out");
            self.0.push(DocumentFault::new(format!("{at}.cue"), "it is no cue", remedy));
        }
    }
}

fn check(p: &Programme) -> Vec<DocumentFault> {
    let mut c = Check(Vec::new());
    if p.format != "plinth.programme/1" {
        let shown: String = p.format.chars().take(40).collect();
        let remedy = "use plinth.programme/1, or a newer Plinth";
        c.0.push(DocumentFault::new("format", format!("{shown:?} is unknown"), remedy));
    }
    if p.title.chars().count() > 200 {
        c.0.push(DocumentFault::new("title", "more than 200 characters", "shorten it"));
    }
    c.within(|| "days".into(), i32::try_from(p.days.len()).unwrap_or(i32::MAX), 1, 7);
    c.within(|| "block".into(), i32::try_from(p.block.len()).unwrap_or(i32::MAX), 1, 12);
    c.within(|| "never".into(), i32::try_from(p.never.len()).unwrap_or(i32::MAX), 0, 1000);
    for (k, id) in p.never.iter().enumerate() {
        c.id(|| format!("never[{k}]"), id);
    }
    let own = i32::try_from(p.own_movements.len()).unwrap_or(i32::MAX);
    c.within(|| "own_movements".into(), own, 0, 100);
    for (d, day) in p.days.iter().enumerate() {
        let at = format!("days[{d}]");
        c.within(|| format!("{at}.minutes_at_hand"), day.minutes_at_hand, 5, 240);
        c.within(|| format!("{at}.seconds"), day.seconds, 0, 24 * 3600);
        c.within(|| format!("{at}.warm_up.general_s"), day.warm_up.general_s, 0, 3600);
        c.within(|| format!("{at}.warm_up.ankle_mobility_s"), day.warm_up.ankle_mobility_s, 0, 3600);
        let lines = i32::try_from(day.lines.len()).unwrap_or(i32::MAX);
        c.within(|| format!("{at}.lines"), lines, 0, 30);
        for (k, line) in day.lines.iter().enumerate() {
            c.line(&format!("{at}.lines[{k}]"), line);
        }
        for (k, turn) in day.in_turn.iter().enumerate() {
            if turn.first >= turn.second || turn.second >= day.lines.len() {
                let problem = format!("lines {} and {} of {}", turn.first, turn.second, day.lines.len());
                let remedy = "name two lines of the day, the earlier first, counted from 0";
                c.0.push(DocumentFault::new(format!("{at}.in_turn[{k}]"), problem, remedy));
            }
            c.within(|| format!("{at}.in_turn[{k}].sets"), turn.sets, 1, 30);
        }
    }
    for (w, week) in p.block.iter().enumerate() {
        let at = format!("block[{w}]");
        c.same(|| format!("{at}.days"), week.days.len(), p.days.len(), "days");
        for (d, (lines, day)) in week.days.iter().zip(&p.days).enumerate() {
            c.same(|| format!("{at}.days[{d}]"), lines.len(), day.lines.len(), "lines");
            for (k, line) in lines.iter().enumerate() {
                c.within(|| format!("{at}.days[{d}][{k}].sets"), line.sets, 0, 30);
                c.within(|| format!("{at}.days[{d}][{k}].reserve"), line.reserve, 0, 20);
            }
        }
    }
    c.0
}
