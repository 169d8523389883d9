//! What was changed in a published programme, and why, as sentences.

use super::count;
use super::notice::weekday;
use crate::catalogue::{Catalogue, Measure};
use crate::plan::adapt::{Change, Difference, Nearness, Reason};
use crate::plan::model::Limit;
use crate::plan::prescription::Prescription;
use crate::safety::Refusal;

fn movement(catalogue: &Catalogue, id: &str) -> String {
    catalogue.movement(id).map_or_else(|| id.to_owned(), |m| m.name.clone())
}

fn kit(catalogue: &Catalogue, ids: &[String]) -> String {
    let name = |id: &String| {
        let found = catalogue.equipment.iter().find(|k| k.id == *id);
        found.map_or_else(|| id.clone(), |k| k.name.clone())
    };
    ids.iter().map(name).collect::<Vec<_>>().join(", ")
}

fn done(measure: Measure, p: Prescription) -> String {
    let unit = match measure {
        Measure::Repetitions => "repetitions",
        Measure::Hold => "s",
        Measure::Carry => "m",
    };
    format!("{}-{} {unit}, {} in reserve, {} s of rest", p.low, p.high, p.reserve, p.rest_s)
}

/// Why safety keeps a movement out, as a clause.
pub fn refusal(catalogue: &Catalogue, refusal: Refusal) -> String {
    let region =
        |r: usize| catalogue.regions.get(r).map_or_else(|| "a region".into(), |n| n.name.to_lowercase());
    match refusal {
        Refusal::Discomfort { region: r, .. } => {
            format!("it loads the {} too much for your discomfort", region(r))
        }
        Refusal::NewDiscomfort { region: r } => format!(
            "the discomfort of the {} is new or worse: what loads it waits until licensed care was taken",
            region(r)
        ),
        Refusal::AfterSurgery { region: r } => {
            format!("it loads the {}, and the surgeon's written limits are not entered yet", region(r))
        }
        Refusal::LyingOnBack => "it is done lying on the back, which your limits leave out".into(),
        Refusal::LyingOnFront => "it is done lying on the front, which your limits leave out".into(),
        Refusal::AloneWithoutSafeties => {
            "alone without safeties a failed repetition can trap you under the bar".into()
        }
    }
}

/// A difference as one sentence. `measure` is what the line's movement counts.
pub fn difference(catalogue: &Catalogue, difference: &Difference, measure: Measure) -> String {
    let because = reason(catalogue, &difference.reason);
    match &difference.change {
        Change::DayLeftOut => format!("This day is left out: {because}."),
        Change::Weekday { from, to } => {
            format!("On {} instead of {}: {because}.", weekday(*to), weekday(*from))
        }
        Change::Folded { movement: id, into } => {
            format!("{} is done on day {} instead: {because}.", movement(catalogue, id), into + 1)
        }
        Change::LeftOut { movement: id, keep } => {
            let marked = if *keep { ", though it is marked to stay" } else { "" };
            format!("{} is left out{marked}: {because}.", movement(catalogue, id))
        }
        Change::Replaced { from, to, nearness, keep, because: named } => {
            let marked = if *keep { ", which is marked to stay" } else { "" };
            let near = match (named, nearness) {
                (Some(named), _) => format!("; {named}"),
                (None, Nearness::SamePattern) => "; it is of the same pattern".to_owned(),
                (None, _) => "; it is the nearest that is left".to_owned(),
            };
            let (from, to) = (movement(catalogue, from), movement(catalogue, to));
            format!("{to} stands in for {from}{marked}: {because}{near}.")
        }
        Change::Sets { from, to } => {
            format!("{} instead of {from}: {because}.", count(i64::from(*to), "set", "sets"))
        }
        Change::Prescribed { from, to } => {
            let (from, to) = (done(measure, *from), done(measure, *to));
            format!("{to} instead of {from}: {because}.")
        }
        Change::Ramp { from, to } => format!("{to} ramp sets instead of {from}: {because}."),
        Change::KeptThoughForbidden { movement: id } => format!(
            "{} stays though you forbid it: {because}. Leave the line out, or ask the coach for another mark.",
            movement(catalogue, id)
        ),
    }
}

/// A reason as a clause.
pub fn reason(catalogue: &Catalogue, reason: &Reason) -> String {
    match reason {
        Reason::Safety { refusal: r } => refusal(catalogue, *r),
        Reason::Eased => "safety asks for lighter work or a longer rest".into(),
        Reason::Kit { missing } => format!("kit is missing ({})", kit(catalogue, missing)),
        Reason::Forbidden => "you forbid it".into(),
        Reason::Skill => "its technique comes later".into(),
        Reason::Minutes { minutes } => format!("more would not fit the {minutes} minutes"),
        Reason::Limit { limit } => limit_clause(catalogue, *limit),
        Reason::TooOften { most } => format!("it is done at most {most} times a week"),
        Reason::FewerDays { published, days } => {
            format!("the programme has {published} days and you train on {days}")
        }
        Reason::AlreadyThere => "the day has this movement already".into(),
        Reason::Weekdays => "it suits your weekdays".into(),
        Reason::Unknown => "the catalogue on this device does not know the movement".into(),
        Reason::StandIn => "this is how the stand-in is done".into(),
        Reason::MarkedKeep => "the coach marked it to stay".into(),
    }
}

/// Why a limit of the session allows no more, as a clause.
pub(super) fn limit_clause(catalogue: &Catalogue, limit: Limit) -> String {
    match limit {
        Limit::Time => "more would not fit the minutes".into(),
        Limit::Axial | Limit::AxialThree => {
            "more would load the spine above this lifter's limit for a session".into()
        }
        Limit::HeavyPair => "a heavy squat and a heavy pull from the floor do not go in one session".into(),
        Limit::Fatigue => "more would be above this lifter's limit of fatigue for a session".into(),
        Limit::Grip => "more would ask too much of the grip in one session".into(),
        Limit::Muscle(g) => {
            let name = catalogue.muscles.get(g).map_or("one muscle", |m| m.name.as_str());
            format!("more would be above the cap on hard sets for {name} in one session")
        }
        _ => "it would break a limit of the session".into(),
    }
}
