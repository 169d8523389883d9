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

/// Seconds as minutes and seconds: "2:30".
pub fn clock(seconds: i32) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
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
