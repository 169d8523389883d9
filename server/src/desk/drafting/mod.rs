//! Drafting: a brief on the left, what it becomes on the right, and what a coach decides line by line.
//!
//! A draft is an entry of the coach's own record. `form` writes the brief and reads it back, `work` solves it, `answer`
//! shows what came of it, `decide` prices a single decision and holds it.

mod answer;
mod decide;
mod form;
mod work;

pub(super) use work::{Draft, Solving, solved};

use super::look::{self, Place, proof};
use super::reading::Seen;
use super::visit::{Sent, Visit};
use super::{Desk, lifter, lifters, own, shelf};
use crate::host::account::AccountId;
use crate::host::fault::{Fails, Fault};
use crate::host::grant::Group;
use crate::host::store::Store;
use axum::Router;
use axum::extract::{Extension, Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use plinth_core::companion::Companion;
use plinth_core::plan::DocumentFault;
use plinth_core::plan::brief::{FIRST_BRIEF, read_brief};
use plinth_core::record::{Document, DraftFields, Edit, EntryId, Kind, View};
use plinth_core::words::Speech;
use serde::de::IgnoredAny;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::sync::Arc;
use work::Answer;

/// Drafts of a coach.
const MOST: usize = 200;
/// The header with which the desk's script asks for the answered part alone.
const PART: &str = "x-part";

/// The paths of this place.
pub(super) fn routes<S: Store>() -> Router<Arc<Desk<S>>> {
    Router::new()
        .route("/desk/drafting", get(page::<S>).post(begin::<S>))
        .route("/desk/drafting/{id}", get(one::<S>).post(change::<S>))
        .route("/desk/drafting/{id}/document", post(document::<S>))
        .route("/desk/drafting/{id}/delete", post(delete::<S>))
        .route("/desk/drafting/{id}/price", get(decide::page::<S>))
        .route("/desk/drafting/{id}/hold", post(decide::hold::<S>))
        .route("/desk/drafting/{id}/let-go", post(decide::let_go::<S>))
        .route("/desk/drafting/{id}/line", post(decide::line::<S>))
}

/// A JSON object as the record keeps it; nothing of what is none.
pub(super) fn as_document(of: &impl Serialize) -> Option<Document> {
    match serde_json::to_value(of) {
        Ok(Value::Object(map)) => Some(Document(map)),
        _ => None,
    }
}

/// A draft of the coach's.
///
/// # Errors
/// [`Fails::Missing`] where there is none.
async fn find<S: Store>(desk: &Desk<S>, visit: &Visit, id: &str) -> Result<Draft, Fault> {
    let missing =
        || Fault::new(Fails::Missing, "draft", "there is no such draft", "choose one of those in Drafting");
    let id: EntryId = id.parse().map_err(|_| missing())?;
    let entry = own::entry(desk, visit, &Kind::Draft, id).await?.ok_or_else(missing)?;
    Ok(Draft::read(id, own::view(&entry)))
}

async fn page<S: Store>(State(desk): State<Arc<Desk<S>>>, Extension(visit): Extension<Visit>) -> Response {
    let s = &*visit.speech;
    let coach = &visit.caller.account.id;
    let made = async {
        let mut drafts: Vec<(EntryId, DraftFields)> =
            own::entries(&desk, &visit, &Kind::Draft).await?.iter().map(|e| (e.id, own::view(e))).collect();
        drafts.reverse();
        let mut who = Vec::new();
        for (account, may) in lifters::granting(&desk, coach).await? {
            if may.reads.contains(&Group::Log) && may.reads.contains(&Group::Discomfort) {
                who.push(account);
            }
        }
        Ok::<_, Fault>(list(s, &visit, &drafts, &who))
    };
    match made.await {
        Ok(main) => look::page(&visit, Place::Drafting, &s.say("desk-drafting", &[]), &main),
        Err(fault) => look::fault(&visit, Place::Drafting, &fault),
    }
}

fn list(s: &Speech, visit: &Visit, drafts: &[(EntryId, DraftFields)], lifters: &[AccountId]) -> Markup {
    html! {
        section aria-labelledby="begin" {
            h2 #begin { (s.say("draft-begin", &[])) }
            form.column method="post" action="/desk/drafting" {
                (proof(visit))
                label for="from" { (s.say("draft-from", &[])) }
                select #from name="from" {
                    option value="" { (s.say("draft-from-nothing", &[])) }
                    @for account in lifters {
                        option value=(account) { (s.say("draft-from-lifter", &[("who", account.as_str().into())])) }
                    }
                }
                p.soft { (s.say("draft-from-about", &[])) }
                button.act { (s.say("draft-begin-do", &[])) }
            }
        }
        section aria-labelledby="drafts" {
            h2 #drafts { (s.say("draft-all", &[])) }
            @if drafts.is_empty() { p { (s.say("draft-none", &[])) } }
            ul.drafts {
                @for (id, d) in drafts {
                    li {
                        a href={ "/desk/drafting/" (id) } { (title(s, d.title.as_deref())) }
                        form method="post" action={ "/desk/drafting/" (id) "/delete" } {
                            (proof(visit))
                            button { (s.say("draft-delete", &[("title", (&title(s, d.title.as_deref())).into())])) }
                        }
                    }
                }
            }
        }
    }
}

fn title(s: &Speech, title: Option<&str>) -> String {
    match title.map(str::trim).filter(|t| !t.is_empty()) {
        Some(title) => title.to_owned(),
        None => s.say("desk-untitled", &[]),
    }
}

#[derive(Deserialize)]
struct Begun {
    from: String,
}

async fn begin<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(given): Sent<Begun>,
) -> Response {
    match begun(&desk, &visit, &given.from).await {
        Ok(id) => Redirect::to(&format!("/desk/drafting/{id}")).into_response(),
        Err(fault) => look::fault(&visit, Place::Drafting, &fault),
    }
}

async fn begun<S: Store>(desk: &Desk<S>, visit: &Visit, from: &str) -> Result<EntryId, Fault> {
    if own::entries(desk, visit, &Kind::Draft).await?.len() >= MOST {
        let reason = format!("there are {MOST} drafts");
        return Err(Fault::new(Fails::Asked, "too_many", reason, "delete some that you need no more"));
    }
    let brief: Value = if from.is_empty() {
        let mut first: Value = serde_json::from_str(FIRST_BRIEF).map_err(std::io::Error::other)?;
        first["title"] = "".into();
        first
    } else {
        from_lifter(desk, visit, from).await?
    };
    let Value::Object(brief) = brief else { return Err(Fault::missing()) };
    let id = own::fresh_id(desk)?;
    let title = brief.get("title").and_then(Value::as_str).unwrap_or_default().to_owned();
    let fields = DraftFields {
        title: Some(title),
        brief: Some(Document(brief)),
        made_at: Some(own::time_of(desk)),
        ..DraftFields::default()
    };
    own::write(desk, visit, &[fields.edit(id)]).await?;
    Ok(id)
}

/// A lifter's brief as it stands, with the bests that the log shows.
async fn from_lifter<S: Store>(desk: &Desk<S>, visit: &Visit, from: &str) -> Result<Value, Fault> {
    let ask = || {
        Fault::new(
            Fails::Missing,
            "not_granted",
            "no grant of such a lifter stands",
            "ask the lifter for one",
        )
    };
    let account: AccountId = from.parse().map_err(|_| ask())?;
    let at = desk.moment();
    let made = move |c: &Companion, seen: &Seen| {
        let known = seen.may.reads.contains(&Group::Log) && seen.may.reads.contains(&Group::Discomfort);
        known.then(|| c.draft(&at).map(|d| (seen.name.clone(), d.brief().clone()))).transpose()
    };
    let found = lifter::shown(desk, &visit.caller.account.id, &account, made).await?.flatten();
    let (name, mut brief) = found.ok_or_else(ask)?;
    if brief.title.trim().is_empty() {
        brief.title = name;
    }
    Ok(serde_json::to_value(&brief).map_err(std::io::Error::other)?)
}

/// What is asked of a draft's page.
#[derive(Deserialize, Default)]
struct Asked {
    /// Whether to work out what would help.
    #[serde(default)]
    help: String,
}

async fn one<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
    headers: HeaderMap,
) -> Response {
    let made = async {
        let draft = find(&desk, &visit, &id).await?;
        let solved = solved(&desk, &visit, draft.clone(), true, !asked.help.is_empty()).await?;
        Ok::<_, Fault>((draft, solved))
    };
    match made.await {
        Ok((draft, solved)) => whole(&visit, &headers, StatusCode::OK, &draft, solved.as_deref(), &[]),
        Err(fault) => look::fault(&visit, Place::Drafting, &fault),
    }
}

/// The page of a draft, or the answered part of it for the desk's script.
fn whole(
    visit: &Visit,
    headers: &HeaderMap,
    status: StatusCode,
    draft: &Draft,
    answer: Option<&Answer>,
    faults: &[DocumentFault],
) -> Response {
    let s = &*visit.speech;
    let part = html! {
        (wrong(s, faults))
        @match answer {
            Some(answer) => (answer::part(visit, draft, answer)),
            None => p { (s.say("draft-no-answer", &[])) }
        }
    };
    if headers.contains_key(PART) {
        return (status, Html(part.into_string())).into_response();
    }
    let bare = match shelf::catalogue() {
        Ok(bare) => bare,
        Err(fault) => return look::fault(visit, Place::Drafting, &fault),
    };
    let main = html! {
        div.halves.draft {
            section aria-labelledby="brief" {
                h2 #brief { (s.say("draft-brief", &[])) }
                (form::form(visit, draft, bare))
            }
            section aria-labelledby="becomes" {
                h2 #becomes { (s.say("draft-becomes", &[])) }
                p #working role="status" data-working=(s.say("draft-working", &[])) data-done=(s.say("draft-done", &[]))
                    data-failed=(s.say("draft-failed", &[])) {}
                div #answer { (part) }
            }
        }
    };
    look::page_with(
        visit,
        status,
        Place::Drafting,
        &title(s, Some(&draft.title)),
        &main,
        look::Script::Drafting,
    )
}

/// What is wrong with what was typed; the last good answer stands below it.
fn wrong(s: &Speech, faults: &[DocumentFault]) -> Markup {
    html! {
        @if !faults.is_empty() {
            div.wrong role="alert" {
                p { (s.say("draft-wrong", &[])) }
                ul { @for f in faults { li { (s.english(&f.to_string())) } } }
            }
        }
    }
}

/// Takes a changed brief.
async fn change<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    headers: HeaderMap,
    Sent(given): Sent<Vec<(String, String)>>,
) -> Response {
    take(&desk, &visit, &headers, &id, |before| Ok(form::read(&given, before))).await
}

#[derive(Deserialize)]
struct Whole {
    document: String,
}

/// Takes a brief as a document, whole.
async fn document<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    headers: HeaderMap,
    Sent(given): Sent<Whole>,
) -> Response {
    let whole = |_: &_| match serde_json::from_str(&given.document) {
        Ok(Value::Object(brief)) => Ok(brief),
        other => {
            let problem = other.err().map_or_else(|| "it is no object".to_owned(), |e| e.to_string());
            Err(Fault::new(Fails::Asked, "document", problem, "write one JSON object").at("document"))
        }
    };
    take(&desk, &visit, &headers, &id, whole).await
}

/// Keeps a brief that can be read and shows what it becomes; shows what is wrong with another one, beside the last good
/// answer.
async fn take<S: Store>(
    desk: &Arc<Desk<S>>,
    visit: &Visit,
    headers: &HeaderMap,
    id: &str,
    brief: impl FnOnce(&Map<String, Value>) -> Result<Map<String, Value>, Fault>,
) -> Response {
    let found = async {
        let draft = find(desk, visit, id).await?;
        let brief = brief(&draft.brief)?;
        let json = serde_json::to_vec(&brief).map_err(std::io::Error::other)?;
        let faults = read_brief(&json, shelf::catalogue()?).err().unwrap_or_default();
        Ok::<_, Fault>((draft, brief, faults))
    };
    let (mut draft, brief, faults) = match found.await {
        Ok(found) => found,
        Err(fault) => return look::fault(visit, Place::Drafting, &fault),
    };
    if !faults.is_empty() {
        let last = desk.drafts.last(&visit.caller.account.id, draft.id);
        draft.brief = brief;
        return whole(visit, headers, StatusCode::UNPROCESSABLE_ENTITY, &draft, last.as_deref(), &faults);
    }
    draft.title = brief.get("title").and_then(Value::as_str).unwrap_or_default().to_owned();
    draft.brief = brief;
    let kept = async {
        let fields = DraftFields {
            title: Some(draft.title.clone()),
            brief: Some(Document(draft.brief.clone())),
            ..DraftFields::default()
        };
        own::write(desk, visit, &[fields.edit(draft.id)]).await?;
        if headers.contains_key(PART) {
            return solved(desk, visit, draft.clone(), false, false).await;
        }
        Ok(None)
    };
    match kept.await {
        Ok(answer) if headers.contains_key(PART) => {
            whole(visit, headers, StatusCode::OK, &draft, answer.as_deref(), &[])
        }
        Ok(_) => Redirect::to(&format!("/desk/drafting/{}#becomes", draft.id)).into_response(),
        Err(fault) => look::fault(visit, Place::Drafting, &fault),
    }
}

async fn delete<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Sent(_): Sent<IgnoredAny>,
) -> Response {
    let gone = async {
        let draft = find(&desk, &visit, &id).await?;
        own::write(&desk, &visit, &[Edit::delete(draft.id, Kind::Draft)]).await
    };
    match gone.await {
        Ok(()) => Redirect::to("/desk/drafting").into_response(),
        Err(fault) => look::fault(&visit, Place::Drafting, &fault),
    }
}
