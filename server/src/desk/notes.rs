//! Notes both ways: the lifter's and the coach's, each with whether it was read.

use super::look::{self, Place, proof};
use super::reading::{Seen, living};
use super::visit::{Sent, Visit};
use super::{Desk, lifter, own};
use crate::host::account::AccountId;
use crate::host::fault::{Fails, Fault};
use crate::host::grant::granted;
use crate::host::store::Store;
use axum::extract::{Extension, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use plinth_core::companion::{Companion, CompanionError};
use plinth_core::record::{EntryId, Kind, NoteFields, Time, View, Writer};
use plinth_core::words::Speech;
use serde::Deserialize;
use serde::de::IgnoredAny;
use std::sync::Arc;

/// Notes that are shown.
const SHOWN: usize = 40;
/// The longest note of a coach, characters.
const LONGEST: usize = 2_000;

/// Notes both ways, the newest first, each with whether it was read; then the place to write one.
pub(super) fn list(
    s: &Speech,
    visit: &Visit,
    companion: &Companion,
    seen: &Seen,
) -> Result<Markup, CompanionError> {
    let mut all: Vec<(EntryId, NoteFields)> =
        living(companion, &Kind::Note)?.iter().map(|e| (e.id, NoteFields::read(e).0)).collect();
    all.retain(|(_, f)| f.text.as_ref().is_some_and(|t| !t.trim().is_empty()));
    all.sort_by_key(|(id, f)| std::cmp::Reverse((f.written_at.as_ref().map_or(0, Time::millis), *id)));
    let to = format!("/desk/lifters/{}/notes", seen.account);
    Ok(html! {
        @if all.is_empty() { p { (s.say("desk-no-notes", &[])) } }
        @for (id, f) in all.iter().take(SHOWN) {
            article {
                p.soft {
                    (s.say(match f.by {
                        Some(Writer::Coach) => "desk-note-coach",
                        Some(Writer::Guardian) => "desk-note-guardian",
                        _ => "desk-note-lifter",
                    }, &[]))
                    @if let Some(at) = &f.written_at { ", " (s.date_with_year(at.date())) }
                    @if let Some(movement) = &f.movement { ", " (s.movement_in(companion.catalogue(), movement)) }
                    ": " (s.say(if f.read_at.is_some() { "desk-read" } else { "desk-not-yet-read" }, &[]))
                }
                p.note { (f.text.as_deref().unwrap_or_default()) }
                @if seen.may.notes && f.by != Some(Writer::Coach) && f.read_at.is_none() {
                    form method="post" action={ (to) "/" (id) "/read" } {
                        (proof(visit))
                        button { (s.say("desk-note-mark", &[])) }
                    }
                }
            }
        }
        @if seen.may.notes {
            form.column method="post" action=(to) {
                (proof(visit))
                label for="text" { (s.say("desk-note-write", &[])) }
                textarea #text name="text" rows="4" required maxlength=(LONGEST) {}
                button { (s.say("desk-note-send", &[])) }
            }
        }
    })
}

#[derive(Deserialize)]
pub(super) struct Written {
    text: String,
}

pub(super) async fn write<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(account): Path<String>,
    Sent(given): Sent<Written>,
) -> Response {
    let text = given.text.replace("\r\n", "\n");
    let text = text.trim();
    let bad = text.is_empty()
        || text.chars().count() > LONGEST
        || text.chars().any(|c| c.is_control() && c != '\n');
    if bad {
        let remedy = "write 1 to 2,000 characters";
        let fault = Fault::new(Fails::Asked, "text", "it is no note", remedy).at("text");
        return look::fault(&visit, Place::Lifters, &fault);
    }
    let fields = own::fresh_id(&desk).map(|id| {
        NoteFields {
            text: Some(text.to_owned()),
            by: Some(Writer::Coach),
            written_at: Some(own::time_of(&desk)),
            ..NoteFields::default()
        }
        .edit(id)
    });
    put(&desk, &visit, &account, fields).await
}

pub(super) async fn mark_read<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path((account, id)): Path<(String, String)>,
    Sent(_): Sent<IgnoredAny>,
) -> Response {
    let fields = id
        .parse::<EntryId>()
        .map_err(|_| Fault::missing())
        .map(|id| NoteFields { read_at: Some(own::time_of(&desk)), ..NoteFields::default() }.edit(id));
    put(&desk, &visit, &account, fields).await
}

/// Writes into a lifter's record, within what is granted.
async fn put<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    account: &str,
    edit: Result<plinth_core::record::Edit, Fault>,
) -> Response {
    let coach = &visit.caller.account.id;
    let Ok(who) = account.parse::<AccountId>() else { return lifter::missing(visit) };
    let put = async {
        let Some(may) = granted(&desk.host.store, &who, coach, desk.host.now_ms()).await? else {
            return Ok(None);
        };
        let entry = own::stamped(desk, &edit?, None)?;
        let put = desk.host.put_as_coach(&who, coach, &may, &vec![Ok(entry.into())]).await?;
        match put.refused.into_iter().next() {
            None => Ok(Some(())),
            Some(r) => {
                Err(Fault::new(Fails::Forbidden, "not_granted", r.reason, "ask the lifter for a grant of it"))
            }
        }
    };
    match put.await {
        Ok(Some(())) => Redirect::to(&format!("/desk/lifters/{who}#notes")).into_response(),
        Ok(None) => lifter::missing(visit),
        Err(fault) => look::fault(visit, Place::Lifters, &fault),
    }
}
