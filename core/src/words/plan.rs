//! A programme in words.

use crate::catalogue::Measure;
use crate::plan::programme::{Claim, Line};

/// What may be said of a week: a figure only when it is 5 % or better, "best possible" only when proved.
pub fn claim(claim: Claim) -> String {
    match claim {
        Claim::BestPossible => "Proved: under these wishes and limits no week is better.".into(),
        Claim::Within { per_mille } => {
            format!("Proved within {}.{} % of the best possible week.", per_mille / 10, per_mille % 10)
        }
        Claim::NoSingleChangeImproves => "No single change improves this week.".into(),
        Claim::Unfinished => "The best week found so far; the search was cut short.".into(),
    }
}

/// Half-sets as sets: "6" or "6.5".
pub fn sets(half_sets: i32) -> String {
    let sign = if half_sets < 0 { "-" } else { "" };
    let half_sets = half_sets.abs();
    if half_sets % 2 == 0 { format!("{sign}{}", half_sets / 2) } else { format!("{sign}{}.5", half_sets / 2) }
}

/// Seconds as minutes and seconds: "2:30".
pub fn clock(seconds: i32) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// A number with its noun: "1 set", "3 sets".
pub fn count(number: i32, one: &str, more: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { more })
}

/// How the sets of a line are done: "3 x 5-8, leave 2".
pub fn prescription(line: &Line) -> String {
    match line.measure {
        Measure::Repetitions => {
            format!("{} x {}-{}, leave {}", line.sets, line.low, line.high, line.reserve)
        }
        Measure::Hold => format!("{} x {}-{} s, stop before it breaks", line.sets, line.low, line.high),
        Measure::Carry => format!("{} x {}-{} m, stop before it breaks", line.sets, line.low, line.high),
    }
}

/// A base group in words.
pub fn name_of_group(id: &str) -> String {
    match id {
        "knee" => "squat or lunge".into(),
        "hinge" => "hip hinge".into(),
        other => other.replace('_', " "),
    }
}
