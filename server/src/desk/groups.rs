//! Lifters whom a coach keeps together, in the coach's own record: a group opens nothing, it only chooses.

use super::look::{self, Place, proof};
use super::visit::{Sent, Visit};
use super::{Desk, lifters, own};
use crate::host::account::AccountId;
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use axum::extract::{Extension, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use plinth_core::record::{Edit, EntryId, GroupFields, Kind, View};
use plinth_core::terms::one_line;
use plinth_core::words::Speech;
use std::sync::Arc;

/// Groups of a coach, and lifters in one.
const MOST: usize = 100;
const LISTED: usize = 5_000;
/// The longest name, characters.
const LONGEST_NAME: usize = 60;

/// All of a coach's, by name.
pub(super) async fn all<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
) -> Result<Vec<(EntryId, GroupFields)>, Fault> {
    let entries = own::entries(desk, visit, &Kind::Group).await?;
    let mut all: Vec<(EntryId, GroupFields)> = entries.iter().map(|e| (e.id, own::view(e))).collect();
    all.sort_by(|a, b| a.1.name.cmp(&b.1.name).then(a.0.cmp(&b.0)));
    Ok(all)
}

/// Everybody who can be chosen: who grants the coach something.
async fn granting<S: Store>(desk: &Desk<S>, visit: &Visit) -> Result<Vec<AccountId>, Fault> {
    let all = lifters::granting(desk, &visit.caller.account.id).await?;
    Ok(all.into_iter().map(|(account, _)| account).collect())
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
) -> Response {
    let s = &*visit.speech;
    let made = async { Ok::<_, Fault>((all(&desk, &visit).await?, granting(&desk, &visit).await?)) };
    match made.await {
        Ok((groups, lifters)) => {
            let main = html! {
                p { (s.say("desk-groups-about", &[])) }
                @for (id, g) in &groups { (form(s, &visit, Some(*id), g, &lifters)) }
                @if groups.len() < MOST { (form(s, &visit, None, &GroupFields::default(), &lifters)) }
            };
            look::page(&visit, Place::Lifters, &s.say("desk-groups", &[]), &main)
        }
        Err(fault) => look::fault(&visit, Place::Lifters, &fault),
    }
}

fn form(s: &Speech, visit: &Visit, id: Option<EntryId>, g: &GroupFields, lifters: &[AccountId]) -> Markup {
    let key = id.map_or_else(|| "new".to_owned(), |id| id.to_string());
    let name = g.name.as_deref().unwrap_or_default();
    let is_in = |account: &AccountId| g.members.iter().flatten().any(|m| m == account.as_str());
    let title = match id {
        Some(_) => name.to_owned(),
        None => s.say("desk-group-new", &[]),
    };
    html! {
        section aria-labelledby={ "of-" (key) } {
            h2 id={ "of-" (key) } { (title) }
            form method="post" action={ "/desk/groups/" (key) } {
                (proof(visit))
                label for={ "name-" (key) } { (s.say("desk-group-name", &[])) } " "
                input id={ "name-" (key) } name="name" required maxlength=(LONGEST_NAME) value=(name);
                fieldset {
                    legend { (s.say("desk-group-members", &[])) }
                    @if lifters.is_empty() { p { (s.say("desk-nobody", &[])) } }
                    @for account in lifters {
                        div.choice {
                            input type="checkbox" name="member" value=(account) id={ (key) "-" (account) }
                                checked[is_in(account)];
                            label for={ (key) "-" (account) } { (account) }
                        }
                    }
                }
                button { (s.say("desk-group-keep", &[])) }
                @if id.is_some() {
                    " " button name="delete" value="yes" { (s.say("desk-group-delete", &[("name", name.into())])) }
                }
            }
        }
    }
}

pub(super) async fn keep<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Sent(given): Sent<Vec<(String, String)>>,
) -> Response {
    let value = |name: &str| given.iter().find(|(n, _)| n == name).map(|(_, v)| v.as_str());
    let kept = async {
        let there = all(&desk, &visit).await?;
        let shown = granting(&desk, &visit).await?;
        let known = there.iter().find(|(of, _)| of.to_string() == id);
        let edit = match (known, &*id) {
            (Some((id, _)), _) if value("delete").is_some() => Edit::delete(*id, Kind::Group),
            (Some((id, before)), _) => fields(&given, before, &shown)?.edit(*id),
            (None, "new") if there.len() < MOST => {
                fields(&given, &GroupFields::default(), &shown)?.edit(own::fresh_id(&desk)?)
            }
            _ => return Err(Fault::new(Fails::Missing, "group", "there is no such group", "see the groups")),
        };
        own::write(&desk, &visit, &[edit]).await
    };
    match kept.await {
        Ok(()) => Redirect::to("/desk/groups").into_response(),
        Err(fault) => look::fault(&visit, Place::Lifters, &fault),
    }
}

/// What the form says of a group. Who was in it and could not be shown, because nothing is granted now, stays in it.
fn fields(
    given: &[(String, String)],
    before: &GroupFields,
    shown: &[AccountId],
) -> Result<GroupFields, Fault> {
    let name = given.iter().find(|(n, _)| n == "name").map(|(_, v)| v.trim()).unwrap_or_default();
    if !one_line(name, LONGEST_NAME) {
        let remedy = "name the group in 1 to 60 characters";
        return Err(Fault::new(Fails::Asked, "name", "it is no name", remedy).at("name"));
    }
    let accounts =
        given.iter().filter(|(n, _)| n == "member").filter_map(|(_, v)| v.parse::<AccountId>().ok());
    let mut members: Vec<String> = accounts.map(|a| a.to_string()).collect();
    let hidden = |m: &&String| shown.iter().all(|a| a.as_str() != m.as_str());
    members.extend(before.members.iter().flatten().filter(hidden).cloned());
    members.truncate(LISTED);
    Ok(GroupFields { name: Some(name.to_owned()), members: Some(members), deleted: before.deleted })
}
