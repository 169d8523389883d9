//! One lifter: what the log adds up to, the log itself, and notes, within what is granted.

use super::Desk;
use super::lifters::{heard, say as say_reason};
use super::look::{self, Place};
use super::reading::{Seen, living};
use super::visit::Visit;
use super::{notes, shelf};
use crate::chart::{self, On};
use crate::host::account::AccountId;
use crate::host::fault::Fault;
use crate::host::grant::{Group, Standing, granted};
use crate::host::store::Store;
use axum::extract::{Extension, Path, State};
use axum::response::Response;
use maud::{Markup, PreEscaped, html};
use plinth_core::companion::{Companion, CompanionError};
use plinth_core::record::{
    EntryId, Kind, LoadDone, Measure, Outcome, Purpose, ReserveDone, SessionFields, SetFields, Time, View,
};
use plinth_core::words::Speech;
use plinth_core::words::findings::{FindingsWords, SaidWeek, chart as charts};
use std::sync::Arc;

/// Sessions of the log that are shown.
const SESSIONS: usize = 12;

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(account): Path<String>,
) -> Response {
    let Ok(lifter) = account.parse::<AccountId>() else { return missing(&visit) };
    let sitting = visit.clone();
    let made = move |companion: &Companion, seen: &Seen| {
        // Own movements of the lifter's have names of their own.
        let own = shelf::speech_of(&sitting, companion.catalogue());
        main(&own, &sitting, companion, seen).map(|m| (seen.name.clone(), m))
    };
    match shown(&desk, &visit.caller.account.id, &lifter, made).await {
        Ok(Some((name, main))) => look::page(&visit, Place::Lifters, &name, &main),
        Ok(None) => missing(&visit),
        Err(fault) => look::fault(&visit, Place::Lifters, &fault),
    }
}

/// What is made of a lifter's record; nothing where no grant stands.
pub(super) async fn shown<S: Store, T: Send + 'static>(
    desk: &Desk<S>,
    coach: &AccountId,
    lifter: &AccountId,
    made: impl FnOnce(&Companion, &Seen) -> Result<T, CompanionError> + Send + 'static,
) -> Result<Option<T>, Fault> {
    let host = &desk.host;
    let Some(may) = granted(&host.store, lifter, coach, host.now_ms()).await? else {
        desk.readings.forget(coach, lifter);
        return Ok(None);
    };
    let made = desk.readings.look(host, coach, lifter, may, made).await?;
    Ok(Some(made.map_err(std::io::Error::other)?))
}

/// Alike for a lifter who grants nothing and one who is not there.
pub(super) fn missing(visit: &Visit) -> Response {
    let s = &*visit.speech;
    let main = html! { p { (s.say("desk-not-granted", &[])) } };
    let mut response = look::page(visit, Place::Lifters, &s.say("desk-nobody-here", &[]), &main);
    *response.status_mut() = axum::http::StatusCode::NOT_FOUND;
    response
}

fn main(s: &Speech, visit: &Visit, companion: &Companion, seen: &Seen) -> Result<Markup, CompanionError> {
    let reads = |group| seen.may.reads.contains(&group);
    let findings =
        if reads(Group::Log) || reads(Group::Findings) { Some(findings(s, companion, seen)) } else { None };
    let log = if reads(Group::Log) { Some(log(s, companion)?) } else { None };
    let notes = if reads(Group::Log) || seen.may.notes {
        Some(notes::list(s, visit, companion, seen)?)
    } else {
        None
    };
    Ok(html! {
        p.soft { (heard(s, seen)) " " (what_is_granted(s, &seen.may)) }
        @if !seen.reasons.is_empty() {
            section aria-labelledby="now" {
                h2 #now { (s.say("desk-now", &[])) }
                ul { @for r in &seen.reasons { li { (say_reason(s, companion.catalogue(), r)) } } }
            }
        }
        @for (id, key, part) in [
            ("findings", "desk-findings", findings), ("log", "desk-log", log), ("notes", "desk-notes", notes),
        ] {
            section aria-labelledby=(id) {
                h2 id=(id) { (s.say(key, &[])) }
                @match part { Some(part) => (part), None => p { (s.say("desk-part-not-granted", &[])) } }
            }
        }
    })
}

/// What the lifter lets the coach see and write.
pub(super) fn what_is_granted(s: &Speech, may: &Standing) -> String {
    let mut what: Vec<String> =
        may.reads.iter().map(|g| s.say(&format!("desk-group-{}", g.name().replace('_', "-")), &[])).collect();
    for (writes, key) in [(may.programmes, "desk-group-programmes"), (may.notes, "desk-group-notes")] {
        if writes {
            what.push(s.say(key, &[]));
        }
    }
    s.say("desk-granted", &[("what", (&s.and(&what)).into())])
}

fn findings(s: &Speech, companion: &Companion, seen: &Seen) -> Markup {
    let f = &seen.findings;
    let page = FindingsWords { speech: s, catalogue: companion.catalogue() }.page(f);
    let today = f.today.parse().unwrap_or_default();
    html! {
        p { (page.head) }
        @for note in &page.notes { p { (note) } }
        @for told in [&page.sessions, &page.body, &page.scores_of] {
            @if !told.is_empty() { p { (told.join(" ")) } }
        }
        @for m in &page.movements {
            article {
                h3 { (m.name) }
                div.beside {
                    div {
                        @for told in &m.told { p { (told) } }
                        @if !m.bests.is_empty() {
                            table {
                                caption { (s.say("desk-bests", &[])) }
                                thead { tr {
                                    th scope="col" { (s.say("head-reps", &[])) }
                                    th scope="col" { (s.say("head-best", &[])) }
                                    th scope="col" { (s.say("head-day", &[])) }
                                } }
                                tbody { @for b in &m.bests { tr { td.n { (b.reps) } td.n { (b.load) } td { (b.day) } } } }
                            }
                        }
                        @if !m.rests_on.is_empty() {
                            details { summary { (s.say("desk-rests-on", &[])) } @for r in &m.rests_on { p { (r) } } }
                        }
                    }
                    @if let Some(found) = f.movements.iter().find(|x| x.movement == m.movement) {
                        @if let Some(chart) = charts::maximum(s, &m.name, found, &m.told.join(" "), today) {
                            (figure(&m.name, &chart::field(On::Page(&m.movement), &chart)))
                        }
                    }
                }
            }
        }
        @if let Some(w) = &page.week { (week(s, seen, w)) }
        @for source in &page.sources { p.soft { (source) } }
    }
}

/// A chart. It can be scrolled by keyboard where it is wider than its place.
fn figure(name: &str, drawn: &str) -> Markup {
    html! { figure tabindex="0" aria-label=(name) { (PreEscaped(drawn)) } }
}

fn week(s: &Speech, seen: &Seen, w: &SaidWeek) -> Markup {
    let heads = ["head-muscle", "head-direct", "head-shared", "head-total", "head-aim", "head-before"];
    html! {
        h3 { (w.head) }
        div.beside {
            div.wide tabindex="0" role="region" aria-label=(w.head) {
                table {
                    thead { tr { @for head in heads { th scope="col" { (s.say(head, &[])) } } } }
                    tbody {
                        @for m in &w.muscles {
                            tr {
                                th scope="row" { (m.name.split(" (").next().unwrap_or_default()) }
                                td.n { (m.direct) } td.n { (m.shared) } td.n { (m.total) }
                                td { (m.aim) @if !m.against.is_empty() { ", " (m.against) } } td { (m.before) }
                            }
                        }
                    }
                }
            }
            @if let Some(chart) = chart::week(On::Page("week"), s, &seen.findings, w) { (figure(&w.head, &chart)) }
        }
        @for note in &w.notes { p.soft { (note) } }
    }
}

/// The last sessions, the newest first.
fn log(s: &Speech, companion: &Companion) -> Result<Markup, CompanionError> {
    let store = companion.store();
    let mut sessions: Vec<(i64, EntryId, SessionFields)> = Vec::new();
    for entry in living(companion, &Kind::Session)? {
        let f = SessionFields::read(&entry).0;
        sessions.push((f.begun_at.as_ref().map_or(0, Time::millis), entry.id, f));
    }
    sessions.sort_by_key(|(begun, id, _)| std::cmp::Reverse((*begun, *id)));
    let mut parts = Vec::new();
    for (_, id, f) in sessions.iter().take(SESSIONS) {
        let mut lines: Vec<(String, Vec<String>)> = Vec::new();
        for entry in store.sets_of(id)?.iter().filter(|e| !e.deleted()) {
            let set = SetFields::read(entry).0;
            let name = s.movement_in(companion.catalogue(), set.movement.as_deref().unwrap_or_default());
            let told = said(s, &set);
            match lines.last_mut().filter(|(last, _)| *last == name) {
                Some((_, sets)) => sets.push(told),
                None => lines.push((name, vec![told])),
            }
        }
        parts.push((f, lines));
    }
    Ok(html! {
        @if parts.is_empty() { p { (s.say("desk-no-log", &[])) } }
        @for (f, lines) in &parts {
            article {
                h3 {
                    @if let Some(begun) = &f.begun_at { (s.date_with_year(begun.date())) }
                    @if let Some(title) = &f.title { ": " (title) }
                }
                dl { @for (name, sets) in lines { dt { (name) } dd { (sets.join("; ")) } } }
                @if let Some(note) = &f.note { p { (note) } }
            }
        }
    })
}

/// A set in short.
fn said(s: &Speech, set: &SetFields) -> String {
    let amount = set.amount.unwrap_or(0);
    let amount = match set.measure {
        Some(Measure::Hold) => s.say("desk-set-hold", &[("n", amount.into())]),
        Some(Measure::Carry) => s.say("desk-set-carry", &[("n", amount.into())]),
        _ => s.say("desk-set-reps", &[("n", amount.into())]),
    };
    let reserve = match set.reserve {
        Some(ReserveDone::Reps(n)) => s.say("desk-set-left", &[("n", n.into())]),
        _ => s.say("desk-set-not-reported", &[]),
    };
    let kind = match (set.outcome, set.purpose) {
        (Some(o), _) if o != Outcome::Done => "missed",
        (_, Some(Purpose::WarmUp)) => "warm-up",
        _ => "done",
    };
    let args = [("amount", (&amount).into()), ("reserve", (&reserve).into()), ("kind", kind.into())];
    match &set.load {
        None => s.say("desk-set-bare", &args),
        Some(lifted) => s.say("desk-set", &[&args[..], &[("load", (&load(s, lifted)).into())]].concat()),
    }
}

fn load(s: &Speech, load: &LoadDone) -> String {
    let (key, mass) = match load {
        LoadDone::Bar { mass }
        | LoadDone::Dumbbell { mass }
        | LoadDone::Stack { mass }
        | LoadDone::Sled { mass } => ("desk-load", mass),
        LoadDone::Pair { mass } => ("desk-load-pair", mass),
        LoadDone::Added { mass } => ("desk-load-added", mass),
        LoadDone::Assisted { mass } => ("desk-load-assisted", mass),
        LoadDone::BodyMass => return s.say("desk-load-body", &[]),
        LoadDone::Band { band } => return s.say("desk-load-band", &[("band", band.into())]),
    };
    let mass = mass.to_string();
    let (number, unit) = mass.split_once(' ').unwrap_or((&mass, ""));
    let mass = format!("{} {unit}", s.decimal(number));
    s.say(key, &[("mass", (&mass).into())])
}
