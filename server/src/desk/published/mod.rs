//! What a coach has published: each version an entry of its own, sent to lifters who let the coach write programmes,
//! and carried as a file, as pictures or on paper to everybody else.

mod carry;
mod make;
mod one;
mod send;
mod sheet;

use super::Desk;
use super::look::{self, Place};
use super::visit::Visit;
use super::{own, shelf};
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use axum::Router;
use axum::extract::{Extension, State};
use axum::response::Response;
use axum::routing::{get, post};
use maud::{Markup, html};
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::read_brief;
use plinth_core::plan::programme::{Programme, read_programme};
use plinth_core::record::{DraftFields, Entry, EntryId, Kind, PublicationFields, Sent};
use plinth_core::words::Speech;
use serde_json::{Map, Value};
use std::sync::Arc;

/// The paths of this place.
pub(super) fn routes<S: Store>() -> Router<Arc<Desk<S>>> {
    Router::new()
        .route("/desk/published", get(page::<S>).post(make::publish::<S>))
        .route("/desk/published/new", get(make::page::<S>))
        .route("/desk/published/{id}", get(one::page::<S>))
        .route("/desk/published/{id}/send", post(send::send::<S>))
        .route("/desk/published/{id}/for/{account}", get(send::page::<S>))
        .route("/desk/published/{id}/file", get(carry::file::<S>))
        .route("/desk/published/{id}/pictures", get(carry::pictures::<S>))
        .route("/desk/published/{id}/sheet", get(sheet::page::<S>))
}

/// A publication, read.
#[derive(Debug, Clone)]
struct Publication {
    id: EntryId,
    title: String,
    version: u32,
    made: Option<plinth_core::record::Time>,
    draft: Option<EntryId>,
    sent: Vec<Sent>,
    document: Map<String, Value>,
    programme: Programme,
}

impl Publication {
    /// Nothing for an entry that holds no programme that this version reads.
    fn read(entry: &Entry) -> Option<Self> {
        let f: PublicationFields = own::view(entry);
        let document = f.programme?.0;
        let programme = read_programme(&serde_json::to_vec(&document).ok()?).ok()?;
        Some(Self {
            id: entry.id,
            title: f.title.unwrap_or_default(),
            version: f.version.unwrap_or(1),
            made: f.made_at,
            draft: f.draft,
            sent: f.sent.unwrap_or_default(),
            document,
            programme,
        })
    }

    /// As it is called: its title and version.
    fn name(&self, s: &Speech) -> String {
        let bare = s.say("desk-untitled", &[]);
        let title = if self.title.trim().is_empty() { &bare } else { &self.title };
        s.say("desk-publication", &[("title", title.into()), ("version", self.version.into())])
    }
}

/// All of a coach's, the newest first.
async fn all<S: Store>(desk: &Desk<S>, visit: &Visit) -> Result<Vec<Publication>, Fault> {
    let entries = own::entries(desk, visit, &Kind::Publication).await?;
    let mut all: Vec<Publication> = entries.iter().filter_map(Publication::read).collect();
    all.sort_by_key(|p| std::cmp::Reverse((p.made.as_ref().map(plinth_core::record::Time::millis), p.id)));
    Ok(all)
}

/// One of them.
///
/// # Errors
/// [`Fails::Missing`] where there is none.
async fn one<S: Store>(desk: &Desk<S>, visit: &Visit, id: &str) -> Result<Publication, Fault> {
    let missing = || {
        Fault::new(Fails::Missing, "publication", "nothing of the kind is published", "see what is published")
    };
    let id: EntryId = id.parse().map_err(|_| missing())?;
    let entry = own::entry(desk, visit, &Kind::Publication, id).await?;
    entry.as_ref().and_then(Publication::read).ok_or_else(missing)
}

/// The catalogue of a publication: with the own movements of the draft that it is of.
async fn catalogue_of<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    draft: Option<EntryId>,
) -> Result<Catalogue, Fault> {
    let bare = shelf::catalogue()?;
    let Some(draft) = draft else { return Ok(bare.clone()) };
    let Some(entry) = own::entry(desk, visit, &Kind::Draft, draft).await? else { return Ok(bare.clone()) };
    let brief = own::view::<DraftFields>(&entry).brief.map(|b| b.0).unwrap_or_default();
    let with_own = read_brief(&serde_json::to_vec(&brief).unwrap_or_default(), bare);
    Ok(with_own.map_or_else(|_| bare.clone(), |(_, catalogue)| catalogue))
}

async fn page<S: Store>(State(desk): State<Arc<Desk<S>>>, Extension(visit): Extension<Visit>) -> Response {
    match all(&desk, &visit).await {
        Ok(all) => {
            let title = visit.speech.say("desk-published", &[]);
            look::page(&visit, Place::Published, &title, &list(&visit.speech, &all))
        }
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

fn list(s: &Speech, all: &[Publication]) -> Markup {
    html! {
        @if all.is_empty() {
            p { (s.say("desk-published-none", &[])) }
            p { a href="/desk/drafting" { (s.say("desk-published-begin", &[])) } }
        }
        ol.lifters {
            @for p in all {
                li {
                    h2 { a href={ "/desk/published/" (p.id) } { (p.name(s)) } }
                    p { (s.say("desk-published-sent", &[("n", p.sent.len().into())])) }
                    @if let Some(made) = &p.made {
                        p.soft {
                            (s.say("desk-published-on", &[("day", (&s.date_with_year(made.date())).into())]))
                        }
                    }
                }
            }
        }
    }
}
