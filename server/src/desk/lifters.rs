//! Everybody who grants the coach something, whoever most repays five minutes first.

use super::Desk;
use super::glance::{Basis, Behind, Glance, Key};
use super::look::{self, Place};
use super::order::Reason;
use super::reading::Seen;
use super::visit::Visit;
use crate::host::account::AccountId;
use crate::host::fault::Fault;
use crate::host::grant::{Standing, note_reading, standing_of};
use crate::host::store::Store;
use axum::extract::{Extension, Query, State};
use axum::response::Response;
use chrono::NaiveDate;
use maud::{Markup, html};
use plinth_core::catalogue::Catalogue;
use plinth_core::companion::Companion;
use plinth_core::moment::Moment;
use plinth_core::record::DeviceId;
use plinth_core::words::Speech;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::io;
use std::sync::Arc;
use std::time::Duration;
use tokio::task::JoinSet;
use tokio::time::{Instant, timeout_at};

/// Lifters that are asked for at a time, and in all.
const STEP: u32 = 500;
const LISTED: usize = 5_000;
/// Lifters on a page: what is skimmed in a minute (common practice, no source).
const ON_A_PAGE: usize = 50;
/// Records that are read at once for a page; another one is read behind it.
const AT_ONCE: usize = 2;
/// How long a page waits for records that were not looked at yet; they are read on behind it.
const PATIENCE: Duration = Duration::from_secs(3);
/// Reasons that are told of each.
const TOLD: usize = 3;

#[derive(Deserialize)]
pub(super) struct Asked {
    /// What a name holds.
    #[serde(default)]
    q: String,
    /// Which page, counted from 1. What is no number is the first.
    #[serde(default)]
    page: String,
}

/// What is known by now.
struct Known {
    glances: Vec<Arc<Glance>>,
    /// Those whose look is noted already: their record was read for this page.
    noted: BTreeSet<AccountId>,
    /// Lifters who are still being read.
    late: usize,
}

/// A part of a list.
struct Part<'a> {
    rows: &'a [Arc<Glance>],
    q: &'a str,
    /// Counted from 1, and how many there are.
    number: usize,
    of: usize,
    /// How many have granted something, and how many of them are still being read.
    all: usize,
    late: usize,
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Query(asked): Query<Asked>,
) -> Response {
    match shown(&desk, &visit, &asked).await {
        Ok(main) => look::page(&visit, Place::Lifters, &visit.speech.say("desk-lifters", &[]), &main),
        Err(fault) => look::fault(&visit, Place::Lifters, &fault),
    }
}

async fn shown<S: Store>(desk: &Arc<Desk<S>>, visit: &Visit, asked: &Asked) -> Result<Markup, Fault> {
    let known = known(desk, visit).await?;
    let (all, wanted) = (known.glances.len() + known.late, asked.q.trim().to_lowercase());
    let fits =
        |g: &Arc<Glance>| g.name.to_lowercase().contains(&wanted) || g.account.as_str().contains(&wanted);
    let mut fit: Vec<Arc<Glance>> = known.glances.into_iter().filter(fits).collect();
    fit.sort_by(|a, b| b.weight.cmp(&a.weight).then_with(|| a.name.cmp(&b.name)));
    let of = fit.len().div_ceil(ON_A_PAGE).max(1);
    let number = asked.page.parse().unwrap_or(1).clamp(1, of);
    let rows = fit.chunks(ON_A_PAGE).nth(number - 1).unwrap_or_default();
    // Before it is shown, whether the record was read for it now or before.
    let (coach, now_ms) = (&visit.caller.account.id, desk.host.now_ms());
    for row in rows.iter().filter(|g| !known.noted.contains(&g.account)) {
        note_reading(&desk.host.store, &row.account, coach, &row.may, now_ms).await?;
    }
    let part = Part { rows, q: &asked.q, number, of, all, late: known.late };
    Ok(list(&visit.speech, &part))
}

/// Everybody who grants the coach something now, by name.
pub(super) async fn granting<S: Store>(
    desk: &Desk<S>,
    coach: &AccountId,
) -> Result<Vec<(AccountId, Standing)>, Fault> {
    let (mut out, mut after) = (Vec::new(), None);
    while out.len() < LISTED {
        let named = desk.host.store.named_by(coach, after, STEP).await?;
        let Some(last) = named.last().cloned() else { break };
        after = Some(last);
        for account in named {
            let may = standing_of(&desk.host.store, &account, coach, desk.host.now_ms()).await?;
            if may.is_nothing() {
                desk.readings.forget(coach, &account);
                desk.glances.forget(&(coach.clone(), account));
            } else {
                out.push((account, may));
            }
        }
    }
    out.truncate(LISTED);
    Ok(out)
}

/// What a glance at a lifter would rest on now.
async fn basis<S: Store>(
    desk: &Desk<S>,
    speech: &Speech,
    lifter: &AccountId,
    may: Standing,
) -> Result<Basis, Fault> {
    let (store, epoch) = (&desk.host.store, &desk.host.house.epoch);
    let at = desk.moment();
    let heard = store.devices(lifter).await?.iter().map(|d| d.seen_ms).max();
    Ok(Basis {
        may,
        epoch: epoch.clone(),
        number: store.head(lifter, DeviceId::new(0), epoch).await?.number,
        heard: heard.map(|wall_ms| Moment { wall_ms, ..at.clone() }.local().date_naive()),
        today: at.local().date_naive(),
        language: speech.language(),
    })
}

/// Reads a lifter's record as far as is granted, and keeps the glance at it.
async fn read<S: Store>(
    desk: Arc<Desk<S>>,
    speech: Arc<Speech>,
    key: Key,
    basis: Basis,
) -> Result<Arc<Glance>, Fault> {
    let with = move |companion: &Companion, seen: &Seen| {
        let told = seen.reasons.iter().take(TOLD).map(|r| say(&speech, companion.catalogue(), r));
        Glance::of(seen, told.collect())
    };
    let (coach, lifter) = &key;
    let glance = desk.readings.look(&desk.host, coach, lifter, basis.may.clone(), with).await?;
    let glance = Arc::new(glance);
    desk.glances.keep(key, basis, Arc::clone(&glance), desk.host.now_ms());
    Ok(glance)
}

/// What is known of everybody by now; who is not looked at yet is read on behind the page.
async fn known<S: Store>(desk: &Arc<Desk<S>>, visit: &Visit) -> Result<Known, Fault> {
    let coach = &visit.caller.account.id;
    let (mut glances, mut waiting) = (Vec::new(), Vec::new());
    for (lifter, may) in granting(desk, coach).await? {
        let basis = basis(desk, &visit.speech, &lifter, may).await?;
        let key = (coach.clone(), lifter);
        match desk.glances.get(&key, &basis, desk.host.now_ms()) {
            Some(glance) => glances.push(glance),
            None => waiting.push((key, basis)),
        }
    }
    let until = Instant::now() + PATIENCE;
    let (mut noted, mut tasks) = (BTreeSet::new(), JoinSet::new());
    let mut next = waiting.into_iter();
    loop {
        while tasks.len() < AT_ONCE
            && Instant::now() < until
            && let Some((key, basis)) = next.next()
        {
            tasks.spawn(read(Arc::clone(desk), Arc::clone(&visit.speech), key, basis));
        }
        match timeout_at(until, tasks.join_next()).await {
            Ok(Some(Ok(read))) => {
                let glance = read?;
                noted.insert(glance.account.clone());
                glances.push(glance);
            }
            Ok(Some(Err(broken))) => return Err(io::Error::other(broken).into()),
            Ok(None) | Err(_) => break,
        }
    }
    let late = tasks.len() + next.len();
    tasks.detach_all();
    let rest: Vec<AccountId> = next.map(|((_, lifter), _)| lifter).collect();
    if let Some(turn) = (!rest.is_empty()).then(|| desk.glances.behind(coach)).flatten() {
        tokio::spawn(read_behind(Arc::clone(desk), visit.clone(), rest, turn));
    }
    Ok(Known { glances, noted, late })
}

/// Reads on where a page did not wait, one record after another, each while it is still granted.
async fn read_behind<S: Store>(desk: Arc<Desk<S>>, visit: Visit, rest: Vec<AccountId>, turn: Behind) {
    let coach = &visit.caller.account.id;
    for lifter in rest {
        let read = async {
            let may = standing_of(&desk.host.store, &lifter, coach, desk.host.now_ms()).await?;
            if may.is_nothing() {
                return Ok(());
            }
            let basis = basis(&desk, &visit.speech, &lifter, may).await?;
            let key = (coach.clone(), lifter);
            read(Arc::clone(&desk), Arc::clone(&visit.speech), key, basis).await.map(|_| ())
        };
        // The next page says what is wrong.
        if let Err::<(), Fault>(fault) = read.await {
            tracing::warn!("reading on behind a coach's list ended: {}", fault.said.reason);
            break;
        }
    }
    drop(turn);
}

fn list(s: &Speech, part: &Part<'_>) -> Markup {
    html! {
        form.search role="search" method="get" action="/desk/lifters" {
            label for="q" { (s.say("desk-search", &[])) }
            input #q name="q" value=(part.q) type="search";
            button { (s.say("desk-search-go", &[])) }
        }
        @if part.all == 0 {
            p { (s.say("desk-nobody", &[])) }
        } @else {
            p { (s.say("desk-count", &[("n", part.rows.len().into()), ("all", part.all.into())])) }
        }
        p { a href="/desk/groups" { (s.say("desk-to-groups", &[])) } }
        @if part.late > 0 {
            p role="status" { (s.say("desk-late", &[("n", part.late.into())])) }
        }
        ol.lifters start=((part.number - 1) * ON_A_PAGE + 1) {
            @for row in part.rows {
                li {
                    h2 { a href={ "/desk/lifters/" (row.account) } { (row.name) } }
                    @for told in &row.told { p { (told) } }
                    @if row.told.is_empty() { p { (s.say("desk-nothing-new", &[])) } }
                    p.soft { (last_heard(s, row.heard)) }
                }
            }
        }
        @if part.of > 1 { (pages(s, part)) }
    }
}

/// The ways to the other parts of the list.
fn pages(s: &Speech, part: &Part<'_>) -> Markup {
    let to = |number: usize| {
        // What is looked for goes along; whatever an address does not take is escaped.
        let q = part.q.bytes().fold(String::new(), |mut out, b| {
            let _ = if b.is_ascii_alphanumeric() {
                out.write_char(char::from(b))
            } else {
                write!(out, "%{b:02X}")
            };
            out
        });
        format!("/desk/lifters?q={q}&page={number}")
    };
    html! {
        nav.pages aria-label=(s.say("desk-pages", &[])) {
            @if part.number > 1 {
                a href=(to(part.number - 1)) rel="prev" { (s.say("desk-page-before", &[])) }
            }
            span { (s.say("desk-page-here", &[("n", part.number.into()), ("of", part.of.into())])) }
            @if part.number < part.of {
                a href=(to(part.number + 1)) rel="next" { (s.say("desk-page-after", &[])) }
            }
        }
    }
}

/// When something was last heard of a lifter.
pub(super) fn heard(s: &Speech, seen: &Seen) -> String {
    last_heard(s, seen.heard)
}

fn last_heard(s: &Speech, heard: Option<NaiveDate>) -> String {
    match heard {
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
