//! Sending a publication to lifters. It lies in their records from then on and waits there: each phone says what it
//! would change and why, and each lifter takes it on or does not. A programme that is under way stays as it is.

use super::super::look::{self, Place, proof};
use super::super::reading::Seen;
use super::super::visit::{self, Visit};
use super::super::{Desk, own, shelf};
use super::one::{everybody, nobody};
use super::{Publication, catalogue_of, one};
use crate::host::account::AccountId;
use crate::host::fault::Fault;
use crate::host::grant::{Group, granted};
use crate::host::store::Store;
use axum::extract::{Extension, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use plinth_core::companion::Companion;
use plinth_core::record::{Document, EntryId, ProgrammeFields, PublicationFields, Sent, View};
use plinth_core::words;
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// Sends it to each of `to`.
pub(super) async fn send<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    visit::Sent(given): visit::Sent<Vec<(String, String)>>,
) -> Response {
    let to = given.iter().filter(|(name, _)| name == "to").filter_map(|(_, v)| v.parse().ok());
    match sent(&desk, &visit, &id, to.collect()).await {
        Ok(()) => Redirect::to(&format!("/desk/published/{id}")).into_response(),
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

async fn sent<S: Store>(desk: &Desk<S>, visit: &Visit, id: &str, to: Vec<AccountId>) -> Result<(), Fault> {
    let mut p = one(desk, visit, id).await?;
    let coach = &visit.caller.account.id;
    let mut failed = None;
    for lifter in to {
        if p.sent.iter().any(|s| s.to == lifter.as_str()) {
            continue;
        }
        match put(desk, coach, &p, &lifter).await {
            Ok(programme) => {
                p.sent.push(Sent { to: lifter.to_string(), at: own::time_of(desk), programme });
            }
            Err(fault) => failed = Some(fault),
        }
    }
    // Who has it is kept, whatever became of the others.
    let fields = PublicationFields { sent: Some(p.sent.clone()), ..PublicationFields::default() };
    own::write(desk, visit, &[fields.edit(p.id)]).await?;
    failed.map_or(Ok(()), Err)
}

/// Where it lies in a lifter's record: always the same, so that what is sent twice is there once.
fn place(p: &Publication, lifter: &AccountId) -> EntryId {
    let digest = Sha256::digest(format!("plinth publication {} to {lifter}", p.id));
    let mut random = [0; 10];
    random.iter_mut().zip(digest).for_each(|(to, from)| *to = from);
    let made = p.made.as_ref().map_or(0, plinth_core::record::Time::millis);
    EntryId::new(u64::try_from(made).unwrap_or(0), random)
}

async fn put<S: Store>(
    desk: &Desk<S>,
    coach: &AccountId,
    p: &Publication,
    lifter: &AccountId,
) -> Result<EntryId, Fault> {
    let may = granted(&desk.host.store, lifter, coach, desk.host.now_ms()).await?.ok_or_else(nobody)?;
    let id = place(p, lifter);
    let fields = ProgrammeFields {
        document: Some(Document(p.document.clone())),
        title: Some(p.title.clone()),
        made_at: p.made.clone(),
        from: Some(coach.to_string()),
        version: Some(p.version),
        ..ProgrammeFields::default()
    };
    let entry = own::stamped(desk, &fields.edit(id), None)?;
    let put = desk.host.put_as_coach(lifter, coach, &may, &vec![Ok(entry.into())]).await?;
    match put.refused.into_iter().next() {
        None => Ok(id),
        Some(r) => Err(nobody().at(&r.field.unwrap_or_else(|| "to".into()))),
    }
}

/// What one lifter's phone would change, and why.
pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path((id, account)): Path<(String, String)>,
) -> Response {
    match changes(&desk, &visit, &id, &account).await {
        Ok((title, main)) => look::page(&visit, Place::Published, &title, &main),
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

async fn changes<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    id: &str,
    account: &str,
) -> Result<(String, Markup), Fault> {
    let p = one(desk, visit, id).await?;
    let coach = &visit.caller.account.id;
    let lifter: AccountId = account.parse().map_err(|_| nobody())?;
    let who =
        everybody(desk, visit, &p).await?.into_iter().find(|w| w.account == lifter).ok_or_else(nobody)?;
    let may = granted(&desk.host.store, &lifter, coach, desk.host.now_ms()).await?.ok_or_else(nobody)?;
    let known = may.reads.contains(&Group::Log) && may.reads.contains(&Group::Discomfort);
    let catalogue = catalogue_of(desk, visit, p.draft).await?;
    let s = shelf::speech_of(visit, &catalogue);
    let json = serde_json::to_vec(&p.document).map_err(std::io::Error::other)?;
    let at = desk.moment();
    let (sitting, published) = (visit.clone(), p.programme.clone());
    let with = move |c: &Companion, seen: &Seen| {
        let (catalogue, _) = c.catalogue().learning(&published.own_movements);
        let words = shelf::speech_of(&sitting, &catalogue);
        let adapted = c.adapted(&json, &at);
        let told = adapted.map(|a| words::adapt::differences(&words, &catalogue, &published, &a));
        (seen.name.clone(), told)
    };
    let (name, told) = desk.readings.look(&desk.host, coach, &lifter, may, with).await?;
    let told = told.map_err(std::io::Error::other)?;
    let main = html! {
        p { a href={ "/desk/published/" (p.id) } { (p.name(&s)) } }
        @if !known { p { (s.say("desk-changes-unknown", &[])) } }
        @else if told.is_empty() { p { (s.say("desk-changes-none", &[])) } }
        @else {
            p { (s.say("desk-changes-about", &[])) }
            ul { @for t in &told { li { (t) } } }
        }
        @if who.sent {
            p { (s.say("desk-changes-sent", &[])) }
        } @else {
            form method="post" action={ "/desk/published/" (p.id) "/send" } {
                (proof(visit))
                input type="hidden" name="to" value=(lifter);
                button.act { (s.say("desk-changes-send", &[("who", (&name).into())])) }
            }
        }
    };
    Ok((s.say("desk-changes", &[("who", (&name).into())]), main))
}
