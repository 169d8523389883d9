//! The door: JSON to a brief, with one clear sentence for whatever is wrong.

use super::{Brief, Minutes, WishKind};
use crate::catalogue::{Catalogue, Fault};
use crate::plan::document::{DocumentFault, read_document};

/// Briefs above this size are refused before they are read: a brief is a page, not a record.
pub const LARGEST_BRIEF_BYTES: usize = 256 * 1024;

impl From<Fault> for DocumentFault {
    fn from(f: Fault) -> Self {
        Self::new(format!("own_movements {} {}", f.row, f.field), f.problem, f.remedy)
    }
}

/// Reads a brief and checks every field against the catalogue. Returns the brief and the catalogue with
/// the brief's own movements in it.
///
/// # Errors
/// Every fault found, or the first that keeps the JSON from being read.
pub fn read_brief(json: &[u8], catalogue: &Catalogue) -> Result<(Brief, Catalogue), Vec<DocumentFault>> {
    let brief: Brief = read_document(json, "brief", LARGEST_BRIEF_BYTES).map_err(|f| vec![f])?;
    let catalogue = catalogue
        .with_own(&brief.own_movements)
        .map_err(|faults| faults.into_iter().map(DocumentFault::from).collect::<Vec<_>>())?;
    let faults = check(&brief, &catalogue);
    if faults.is_empty() { Ok((brief, catalogue)) } else { Err(faults) }
}

fn check(b: &Brief, catalogue: &Catalogue) -> Vec<DocumentFault> {
    let mut out = Vec::new();
    let mut add =
        |field: String, problem: String, remedy: &str| out.push(DocumentFault::new(field, problem, remedy));
    if b.format != "plinth.brief/1" {
        add("format".into(), format!("{:?} is unknown", b.format), "use plinth.brief/1, or a newer Plinth");
    }
    if !(1..=6).contains(&b.days) {
        add("days".into(), format!("{} days a week", b.days), "give 1 to 6");
    }
    let minutes: Vec<u32> = match &b.minutes {
        Minutes::Same(m) => vec![*m],
        Minutes::Each(each) => {
            if each.len() != b.days as usize {
                add(
                    "minutes".into(),
                    format!("{} numbers for {} days", each.len(), b.days),
                    "give one number, or one for each day",
                );
            }
            each.clone()
        }
    };
    for m in minutes.into_iter().filter(|m| !(5..=240).contains(m)) {
        add("minutes".into(), format!("{m} minutes"), "give 5 to 240");
    }
    let parts = [b.goal.strength, b.goal.size, b.goal.health];
    if parts.iter().all(|p| *p == 0) || parts.iter().any(|p| *p > 100) {
        add("goal".into(), format!("parts {parts:?}"), "give parts from 0 to 100, at least one above 0");
    }
    if let Some(age) = b.age_years.filter(|a| !(5..=110).contains(a)) {
        add("age_years".into(), format!("{age} years"), "give 5 to 110, or leave it out");
    }
    if !(4..=6).contains(&b.weeks) {
        add("weeks".into(), format!("{} weeks", b.weeks), "give 4 to 6");
    }
    for (k, e) in b.equipment.iter().enumerate() {
        if catalogue.kit(e).is_none() {
            add(
                format!("equipment[{k}]"),
                format!("{e:?} is unknown"),
                "use an id that `plinth catalogue --kit` lists",
            );
        }
    }
    for (k, d) in b.discomforts.iter().enumerate() {
        if catalogue.region(&d.region).is_none() {
            add(
                format!("discomforts[{k}].region"),
                format!("{:?} is unknown", d.region),
                &regions(catalogue),
            );
        }
    }
    for (k, r) in b.limits.after_surgery.iter().enumerate() {
        if catalogue.region(r).is_none() {
            add(format!("limits.after_surgery[{k}]"), format!("{r:?} is unknown"), &regions(catalogue));
        }
    }
    let muscle_remedy = "use an id that `plinth catalogue --muscles` lists";
    for (k, m) in b.priorities.iter().enumerate() {
        if catalogue.muscle(m).is_none() {
            add(format!("priorities[{k}]"), format!("muscle {m:?} is unknown"), muscle_remedy);
        }
    }
    for (k, m) in b.muscle_sets.iter().enumerate() {
        if catalogue.muscle(&m.muscle).is_none() {
            add(format!("muscle_sets[{k}].muscle"), format!("{:?} is unknown", m.muscle), muscle_remedy);
        }
        if m.minimum.max(m.target).max(m.maximum) > 200 {
            add(format!("muscle_sets[{k}]"), "more than 200 weekly sets".into(), "give at most 200");
        }
    }
    for (k, id) in b.carrying.iter().flatten().enumerate() {
        if catalogue.find(id).is_none() {
            add(format!("carrying[{k}]"), format!("movement {id:?} is unknown"), &near(catalogue, id));
        }
    }
    for (k, best) in b.bests.iter().enumerate() {
        if catalogue.find(&best.movement).is_none() {
            add(
                format!("bests[{k}].movement"),
                format!("{:?} is unknown", best.movement),
                &near(catalogue, &best.movement),
            );
        }
        if !(1..=50).contains(&best.reps) || best.reserve > 10 {
            let problem = format!("{} repetitions with {} left", best.reps, best.reserve);
            add(format!("bests[{k}]"), problem, "give 1 to 50 repetitions and 0 to 10 left");
        }
    }
    if let Some(Err(e)) = b.kit.as_ref().map(crate::load::Kit::validate) {
        add("kit".into(), e.to_string(), "mend the kit there");
    }
    if b.wishes.len() > 40 {
        add("wishes".into(), format!("{} wishes", b.wishes.len()), "give at most 40");
    }
    for (k, w) in b.wishes.iter().enumerate() {
        match (&w.movement, &w.pattern) {
            (Some(id), None) => {
                if catalogue.find(id).is_none() {
                    add(format!("wishes[{k}].movement"), format!("{id:?} is unknown"), &near(catalogue, id));
                }
            }
            (None, Some(id)) => {
                if catalogue.pattern(id).is_none() {
                    add(
                        format!("wishes[{k}].pattern"),
                        format!("{id:?} is unknown"),
                        "use an id that `plinth catalogue --patterns` lists",
                    );
                }
                if matches!(w.wish, WishKind::Require | WishKind::Prefer) {
                    add(
                        format!("wishes[{k}]"),
                        "a pattern can only be avoided or forbidden".into(),
                        "name a movement to require or prefer",
                    );
                }
            }
            _ => add(format!("wishes[{k}]"), "needs one of movement and pattern".into(), "give one of them"),
        }
        if w.times.is_some_and(|t| !(1..=7).contains(&t)) {
            add(format!("wishes[{k}].times"), format!("{:?} times a week", w.times), "give 1 to 7");
        }
    }
    out
}

fn regions(catalogue: &Catalogue) -> String {
    let ids: Vec<&str> = catalogue.regions.iter().map(|r| r.id.as_str()).collect();
    format!("use one of {}", ids.join(", "))
}

fn near(catalogue: &Catalogue, id: &str) -> String {
    let similar = catalogue.similar(id);
    if similar.is_empty() {
        "use an id that `plinth catalogue` lists".into()
    } else {
        format!("did you mean {}? `plinth catalogue` lists all", similar.join(" or "))
    }
}
