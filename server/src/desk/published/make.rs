//! Publishing a draft: what it holds now becomes a version that is changed no more.

use super::super::drafting::{Draft, as_document, solved};
use super::super::look::{self, Place, proof};
use super::super::visit::{Sent, Visit};
use super::super::{Desk, own, shelf, week};
use super::{all, catalogue_of};
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use axum::extract::{Extension, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use plinth_core::plan::programme::{Programme, read_programme};
use plinth_core::record::{Document, DraftFields, EntryId, Kind, PublicationFields, View};
use plinth_core::terms::one_line;
use plinth_core::words::{self, Speech};
use serde::Deserialize;
use std::sync::Arc;

/// The longest title, characters.
const LONGEST_TITLE: usize = 120;
/// Publications of a coach.
const MOST: usize = 500;

#[derive(Deserialize)]
pub(super) struct Of {
    draft: String,
}

#[derive(Deserialize)]
pub(super) struct Given {
    draft: String,
    title: String,
}

/// A draft that can be published.
struct Ready {
    id: EntryId,
    title: String,
    document: Document,
    programme: Programme,
    /// The version that it would become, and what it follows.
    version: u32,
    replaces: Option<EntryId>,
}

async fn ready<S: Store>(desk: &Desk<S>, visit: &Visit, draft: &str) -> Result<Ready, Fault> {
    let missing =
        || Fault::new(Fails::Missing, "draft", "there is no such draft", "choose one of those in Drafting");
    let id: EntryId = draft.parse().map_err(|_| missing())?;
    let entry = own::entry(desk, visit, &Kind::Draft, id).await?.ok_or_else(missing)?;
    let fields: DraftFields = own::view(&entry);
    let unsolved =
        || Fault::new(Fails::Asked, "unsolved", "the draft has no week yet", "let it be solved first");
    let draft = Draft::read(id, fields.clone());
    let document = if draft.outdated() {
        let answer = solved(desk, visit, draft, true, false).await?.ok_or_else(unsolved)?;
        as_document(&answer.programme).ok_or_else(unsolved)?
    } else {
        fields.programme.ok_or_else(unsolved)?
    };
    let json = serde_json::to_vec(&document).map_err(std::io::Error::other)?;
    let programme = read_programme(&json).map_err(|_| unsolved())?;
    let mut same = all(desk, visit).await?;
    if same.len() >= MOST {
        let reason = format!("{MOST} programmes are published");
        return Err(Fault::new(Fails::Asked, "too_many", reason, "delete some that nobody trains by"));
    }
    same.retain(|p| p.draft == Some(id));
    let last = same.iter().max_by_key(|p| p.version);
    let title = fields.title.filter(|t| !t.trim().is_empty()).unwrap_or_else(|| programme.title.clone());
    Ok(Ready {
        id,
        title,
        document,
        version: last.map_or(1, |p| p.version.saturating_add(1)),
        replaces: last.map(|p| p.id),
        programme,
    })
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Query(Of { draft }): Query<Of>,
) -> Response {
    let made = async {
        let ready = ready(&desk, &visit, &draft).await?;
        let catalogue = catalogue_of(&desk, &visit, Some(ready.id)).await?;
        let s = shelf::speech_of(&visit, &catalogue);
        Ok::<_, Fault>(html! {
            (ask(&s, &visit, &ready, None))
            h2 { (s.say("desk-week", &[])) }
            (week::days(&s, &catalogue, &ready.programme))
            p.soft { (words::claim(&s, ready.programme.certificate.claim())) }
        })
    };
    match made.await {
        Ok(main) => look::page(&visit, Place::Published, &visit.speech.say("desk-publish", &[]), &main),
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

fn ask(s: &Speech, visit: &Visit, ready: &Ready, wrong: Option<&str>) -> Markup {
    html! {
        p { (s.say("desk-publish-about", &[("version", ready.version.into())])) }
        form.column method="post" action="/desk/published" {
            (proof(visit))
            input type="hidden" name="draft" value=(ready.id);
            @if let Some(wrong) = wrong { p.wrong #wrong role="alert" { (wrong) } }
            label for="title" { (s.say("desk-publish-title", &[])) }
            input #title name="title" required maxlength=(LONGEST_TITLE) value=(ready.title)
                aria-describedby=[wrong.map(|_| "wrong")];
            button.act { (s.say("desk-publish-do", &[("version", ready.version.into())])) }
        }
    }
}

pub(super) async fn publish<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(given): Sent<Given>,
) -> Response {
    match made(&desk, &visit, &given).await {
        Ok(id) => Redirect::to(&format!("/desk/published/{id}")).into_response(),
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

async fn made<S: Store>(desk: &Desk<S>, visit: &Visit, given: &Given) -> Result<EntryId, Fault> {
    let mut ready = ready(desk, visit, &given.draft).await?;
    let title = given.title.trim();
    if !one_line(title, LONGEST_TITLE) {
        let remedy = "give a title of 1 to 120 characters";
        return Err(Fault::new(Fails::Asked, "title", "it is no title", remedy).at("title"));
    }
    // The programme goes out under the title that is read everywhere.
    ready.document.0.insert("title".into(), title.into());
    let id = own::fresh_id(desk)?;
    let fields = PublicationFields {
        programme: Some(ready.document),
        title: Some(title.to_owned()),
        version: Some(ready.version),
        made_at: Some(own::time_of(desk)),
        draft: Some(ready.id),
        replaces: ready.replaces,
        ..PublicationFields::default()
    };
    own::write(desk, visit, &[fields.edit(id)]).await?;
    Ok(id)
}
