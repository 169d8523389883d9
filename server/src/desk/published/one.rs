//! A publication: its week, to whom it went, what became of it there, and the ways on which it goes to others.

use super::super::look::{self, Place, proof};
use super::super::visit::Visit;
use super::super::{Desk, groups, lifters, shelf, week};
use super::{Publication, all, catalogue_of};
use crate::host::account::AccountId;
use crate::host::fault::{Fails, Fault};
use crate::host::grant::{note_reading, standing_of};
use crate::host::store::Store;
use axum::extract::{Extension, Path, Query, State};
use axum::response::Response;
use maud::{Markup, html};
use plinth_core::published::signed::fingerprint;
use plinth_core::record::{EntryId, GroupFields, ProgrammeFields, Time, View};
use plinth_core::words::{self, Speech};
use serde::Deserialize;
use std::sync::Arc;

/// A lifter who lets the coach write programmes.
pub(super) struct Who {
    pub(super) account: AccountId,
    /// The newest version of the same draft that was sent, with the programme that it became there.
    pub(super) has: Option<(u32, EntryId)>,
    /// Whether this one was sent.
    pub(super) sent: bool,
}

#[derive(Deserialize)]
pub(super) struct Asked {
    /// A group: only its lifters are shown.
    #[serde(default)]
    group: String,
}

/// Everybody to whom programmes may be sent now.
pub(super) async fn everybody<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    p: &Publication,
) -> Result<Vec<Who>, Fault> {
    let coach = &visit.caller.account.id;
    let same: Vec<Publication> = all(desk, visit)
        .await?
        .into_iter()
        .filter(|q| q.id == p.id || q.draft.is_some() && q.draft == p.draft)
        .collect();
    let mut who = Vec::new();
    let granting = lifters::granting(desk, coach).await?;
    for (account, _) in granting.into_iter().filter(|(_, may)| may.programmes) {
        let to = |q: &Publication| {
            q.sent.iter().find(|s| s.to == account.as_str()).map(|s| (q.version, s.programme))
        };
        let has = same.iter().filter_map(to).max_by_key(|(version, _)| *version);
        who.push(Who { sent: to(p).is_some(), has, account });
    }
    Ok(who)
}

/// What became of a programme at a lifter's.
#[derive(Debug, Clone)]
enum Became {
    Waits,
    PutAside,
    Runs(Option<Time>),
    Ended,
    Gone,
}

/// As far as the lifter's grant shows it. The look is noted before it is said; no record is read for one entry.
async fn state<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    lifter: &AccountId,
    programme: EntryId,
) -> Result<Became, Fault> {
    let (store, coach, now_ms) = (&desk.host.store, &visit.caller.account.id, desk.host.now_ms());
    let may = standing_of(store, lifter, coach, now_ms).await?;
    note_reading(store, lifter, coach, &may, now_ms).await?;
    let there = store.load(lifter, vec![programme]).await?.held.pop();
    let Some(entry) = there.and_then(|held| may.seen(coach, &held)).filter(|e| !e.deleted()) else {
        return Ok(Became::Gone);
    };
    let f = ProgrammeFields::read(&entry).0;
    Ok(match (f.accepted_at, f.ended_on) {
        (None, None) => Became::Waits,
        (None, Some(_)) => Became::PutAside,
        // One that is left on a day to come is trained by until then.
        (Some(at), Some(last)) if last.0 >= desk.moment().local().date_naive() => Became::Runs(Some(at)),
        (Some(_), Some(_)) => Became::Ended,
        (at, None) => Became::Runs(at),
    })
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Query(Asked { group }): Query<Asked>,
) -> Response {
    match shown(&desk, &visit, &id, &group).await {
        Ok((title, main)) => look::page(&visit, Place::Published, &title, &main),
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

async fn shown<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    id: &str,
    group: &str,
) -> Result<(String, Markup), Fault> {
    let p = super::one(desk, visit, id).await?;
    let catalogue = catalogue_of(desk, visit, p.draft).await?;
    let s = shelf::speech_of(visit, &catalogue);
    let mut who = everybody(desk, visit, &p).await?;
    let all_groups = groups::all(desk, visit).await?;
    let chosen = all_groups.iter().find(|(id, _)| id.to_string() == group).map(|(_, g)| g);
    if let Some(g) = chosen {
        let members = g.members.clone().unwrap_or_default();
        who.retain(|w| members.iter().any(|m| m == w.account.as_str()));
    }
    let mut rows = Vec::new();
    for w in &who {
        let told = match w.has {
            None => s.say("desk-send-never", &[]),
            Some((version, programme)) => {
                told(&s, version, &state(desk, visit, &w.account, programme).await?)
            }
        };
        rows.push((w, told));
    }
    let list = people(&s, visit, &p, &rows, &all_groups, chosen);
    let key = fingerprint(&desk.key.public());
    let main = html! {
        @if let Some(made) = &p.made {
            p.soft { (s.say("desk-published-on", &[("day", (&s.date_with_year(made.date())).into())])) }
        }
        div.halves {
            section aria-labelledby="week" {
                h2 #week { (s.say("desk-week", &[])) }
                (week::days(&s, &catalogue, &p.programme))
                p.soft { (words::claim(&s, p.programme.certificate.claim())) }
                h2 { (s.say("desk-block", &[])) }
                (week::block(&s, &catalogue, &p.programme))
            }
            div {
                section aria-labelledby="who" {
                    h2 #who { (s.say("desk-send", &[])) }
                    (list)
                }
                section aria-labelledby="ways" {
                    h2 #ways { (s.say("desk-ways", &[])) }
                    p { (s.say("desk-ways-about", &[])) }
                    ul.ways {
                        li { a href={ "/desk/published/" (p.id) "/file" } download { (s.say("desk-way-file", &[])) } }
                        li { a href={ "/desk/published/" (p.id) "/pictures" } { (s.say("desk-way-pictures", &[])) } }
                        li { a href={ "/desk/published/" (p.id) "/sheet" } { (s.say("desk-way-sheet", &[])) } }
                    }
                    p.soft { (s.say("desk-key", &[("key", (&key).into())])) }
                }
            }
        }
    };
    Ok((p.name(&s), main))
}

fn told(s: &Speech, version: u32, state: &Became) -> String {
    let n = ("version", version.into());
    match state {
        Became::Waits => s.say("desk-send-waits", &[n]),
        Became::PutAside => s.say("desk-send-aside", &[n]),
        Became::Runs(Some(at)) => {
            s.say("desk-send-runs-since", &[n, ("day", (&s.date_with_year(at.date())).into())])
        }
        Became::Runs(None) => s.say("desk-send-runs", &[n]),
        Became::Ended => s.say("desk-send-ended", &[n]),
        Became::Gone => s.say("desk-send-gone", &[n]),
    }
}

fn people(
    s: &Speech,
    visit: &Visit,
    p: &Publication,
    rows: &[(&Who, String)],
    groups: &[(EntryId, GroupFields)],
    chosen: Option<&GroupFields>,
) -> Markup {
    html! {
        @if !groups.is_empty() {
            form.search method="get" {
                label for="group" { (s.say("desk-group", &[])) }
                select #group name="group" {
                    option value="" { (s.say("desk-group-everybody", &[])) }
                    @for (id, g) in groups {
                        option value=(id) selected[chosen.is_some_and(|c| c == g)] { (g.name.as_deref().unwrap_or_default()) }
                    }
                }
                button { (s.say("desk-group-show", &[])) }
            }
        }
        @if rows.is_empty() { p { (s.say("desk-send-nobody", &[])) } }
        @else {
            p { (s.say("desk-send-about", &[])) }
            form method="post" action={ "/desk/published/" (p.id) "/send" } {
                (proof(visit))
                fieldset {
                    legend { (s.say("desk-send-whom", &[])) }
                    @for (w, told) in rows {
                        div.choice {
                            input type="checkbox" name="to" value=(w.account) id={ "to-" (w.account) }
                                checked[chosen.is_some() && !w.sent] disabled[w.sent];
                            label for={ "to-" (w.account) } { (w.account) }
                            span.soft { (told) }
                            a href={ "/desk/published/" (p.id) "/for/" (w.account) } {
                                (s.say("desk-send-changes", &[("who", w.account.as_str().into())]))
                            }
                        }
                    }
                }
                button.act { (s.say("desk-send-do", &[])) }
            }
        }
    }
}

/// Nothing of the kind.
pub(super) fn nobody() -> Fault {
    Fault::new(Fails::Missing, "not_granted", "no grant of such a lifter stands", "ask the lifter for one")
}
