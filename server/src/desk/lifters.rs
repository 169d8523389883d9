//! Everybody who grants the coach something, whoever most repays five minutes first.

use super::Desk;
use super::look::{self, Place};
use super::order::Reason;
use super::reading::Seen;
use super::visit::Visit;
use crate::host::account::AccountId;
use crate::host::fault::Fault;
use crate::host::grant::standing_of;
use crate::host::store::Store;
use axum::extract::{Extension, Query, State};
use axum::response::Response;
use chrono::NaiveDate;
use maud::{Markup, html};
use plinth_core::catalogue::Catalogue;
use plinth_core::words::Speech;
use serde::Deserialize;
use std::sync::Arc;
use std::time::Duration;
use tokio::task::JoinSet;
use tokio::time::{Instant, timeout_at};

/// Lifters that are listed.
const LISTED: u32 = 500;
/// Records that are read at once.
const AT_ONCE: usize = 4;
/// How long a page waits for records that are not in memory yet; they are read on behind it.
const PATIENCE: Duration = Duration::from_secs(3);
/// Reasons that are told of each.
const TOLD: usize = 3;

#[derive(Deserialize)]
pub(super) struct Asked {
    /// What a name holds.
    #[serde(default)]
    q: String,
}

/// One of the list.
struct Row {
    seen: Seen,
    told: Vec<String>,
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Query(Asked { q }): Query<Asked>,
) -> Response {
    match rows(&desk, &visit).await {
        Ok((rows, late)) => {
            let title = visit.speech.say("desk-lifters", &[]);
            look::page(&visit, Place::Lifters, &title, &list(&visit.speech, rows, &late, &q))
        }
        Err(fault) => look::fault(&visit, Place::Lifters, &fault),
    }
}

/// What is known by now, and who is still being read.
async fn rows<S: Store>(desk: &Arc<Desk<S>>, visit: &Visit) -> Result<(Vec<Row>, Vec<AccountId>), Fault> {
    let coach = &visit.caller.account.id;
    let mut waiting = Vec::new();
    for account in desk.host.store.named_by(coach, None, LISTED).await? {
        let may = standing_of(&desk.host.store, &account, coach, desk.host.now_ms()).await?;
        if may.is_nothing() {
            desk.readings.forget(coach, &account);
        } else {
            waiting.push((account, may));
        }
    }
    let until = Instant::now() + PATIENCE;
    let (mut rows, mut tasks) = (Vec::new(), JoinSet::new());
    let mut late: Vec<AccountId> = waiting.iter().map(|(account, _)| account.clone()).collect();
    let mut next = waiting.into_iter();
    loop {
        while tasks.len() < AT_ONCE
            && Instant::now() < until
            && let Some((lifter, may)) = next.next()
        {
            let (desk, coach, speech) = (Arc::clone(desk), coach.clone(), Arc::clone(&visit.speech));
            tasks.spawn(async move {
                let with = move |companion: &plinth_core::companion::Companion, seen: &Seen| {
                    let told = seen.reasons.iter().take(TOLD).map(|r| say(&speech, companion.catalogue(), r));
                    Row { told: told.collect(), seen: seen.clone() }
                };
                desk.readings.look(&desk.host, &coach, &lifter, may, with).await
            });
        }
        match timeout_at(until, tasks.join_next()).await {
            Ok(Some(Ok(row))) => {
                let row = row?;
                late.retain(|a| *a != row.seen.account);
                rows.push(row);
            }
            Ok(Some(Err(broken))) => return Err(std::io::Error::other(broken).into()),
            Ok(None) => break,
            Err(_) => break tasks.detach_all(),
        }
    }
    rows.sort_by(|a, b| weight(b).cmp(&weight(a)).then_with(|| a.seen.name.cmp(&b.seen.name)));
    Ok((rows, late))
}

/// The weightiest reason, then all of them.
fn weight(row: &Row) -> (u32, u32) {
    let all = row.seen.reasons.iter().map(Reason::weight);
    (all.clone().max().unwrap_or(0), all.sum())
}

fn list(s: &Speech, rows: Vec<Row>, late: &[AccountId], q: &str) -> Markup {
    let wanted = q.trim().to_lowercase();
    let fits = |row: &Row| {
        row.seen.name.to_lowercase().contains(&wanted) || row.seen.account.as_str().contains(&wanted)
    };
    let all = rows.len();
    let shown: Vec<Row> = rows.into_iter().filter(fits).collect();
    html! {
        form.search role="search" method="get" action="/desk/lifters" {
            label for="q" { (s.say("desk-search", &[])) }
            input #q name="q" value=(q) type="search";
            button { (s.say("desk-search-go", &[])) }
        }
        @if all == 0 && late.is_empty() {
            p { (s.say("desk-nobody", &[])) }
        } @else {
            p { (s.say("desk-count", &[("n", shown.len().into()), ("all", all.into())])) }
        }
        p { a href="/desk/groups" { (s.say("desk-to-groups", &[])) } }
        ol.lifters {
            @for row in &shown {
                li {
                    h2 { a href={ "/desk/lifters/" (row.seen.account) } { (row.seen.name) } }
                    @for told in &row.told { p { (told) } }
                    @if row.told.is_empty() { p { (s.say("desk-nothing-new", &[])) } }
                    p.soft { (heard(s, &row.seen)) }
                }
            }
        }
        @if !late.is_empty() {
            p role="status" { (s.say("desk-late", &[("n", late.len().into())])) }
        }
    }
}

/// When something was last heard of a lifter.
pub(super) fn heard(s: &Speech, seen: &Seen) -> String {
    match seen.heard {
        Some(day) => {
            let day = s.date_with_year(day);
            s.say("desk-heard", &[("day", (&day).into())])
        }
        None => s.say("desk-never-heard", &[]),
    }
}

/// A reason as a sentence.
pub(super) fn say(s: &Speech, catalogue: &Catalogue, reason: &Reason) -> String {
    // With the day where it is known.
    let since = |bare: &str, dated: &str, what: (&str, &str), day: &Option<NaiveDate>| match day {
        None => s.say(bare, &[(what.0, what.1.into())]),
        Some(day) => s.say(dated, &[(what.0, what.1.into()), ("day", (&s.date_with_year(*day)).into())]),
    };
    match reason {
        Reason::Flag { flag, day } => {
            let flag = s.say(&format!("flag-{}", flag.replace('_', "-")), &[]);
            since("desk-reason-flag", "desk-reason-flag-on", ("flag", &flag), day)
        }
        Reason::Pain { region, day } => {
            let region = s.region_inside(region);
            since("desk-reason-pain", "desk-reason-pain-since", ("region", &region), day)
        }
        Reason::Notes { n } => s.say("desk-reason-notes", &[("n", (*n).into())]),
        Reason::Plateau { movement, per_mille } => {
            let movement = s.movement_in(catalogue, movement);
            let percent = (per_mille + 5) / 10;
            s.say("desk-reason-plateau", &[("movement", (&movement).into()), ("percent", percent.into())])
        }
        Reason::FellShort { movement, sessions } => {
            let movement = s.movement_in(catalogue, movement);
            s.say("desk-reason-short", &[("movement", (&movement).into()), ("n", (*sessions).into())])
        }
        Reason::RunsOut { weeks: 0 } => s.say("desk-reason-over", &[]),
        Reason::RunsOut { weeks } => s.say("desk-reason-runs-out", &[("n", (*weeks).into())]),
        Reason::NoProgramme => s.say("desk-reason-no-programme", &[]),
        Reason::NotHeard { sessions, since: None } => {
            s.say("desk-reason-never-heard", &[("n", (*sessions).into())])
        }
        Reason::NotHeard { sessions, since: Some(day) } => {
            let day = s.date_with_year(*day);
            s.say("desk-reason-not-heard", &[("n", (*sessions).into()), ("day", (&day).into())])
        }
    }
}
