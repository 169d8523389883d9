//! A single decision: its price before it is taken, and how it is held or let go.

use super::super::look::{self, Place, proof};
use super::super::visit::{Sent, Visit};
use super::super::{Desk, own, shelf};
use super::work::{self, Draft};
use super::{as_document, find, form};
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use axum::extract::{Extension, Path, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::html;
use plinth_core::plan::brief::Weekday;
use plinth_core::plan::programme::LONGEST_CUE;
use plinth_core::plan::reason::{Change, Outcome};
use plinth_core::record::{Document, DraftFields, View};
use plinth_core::terms::one_line;
use plinth_core::words::Account;
use serde::Deserialize;
use serde_json::{Value, json};
use std::sync::Arc;

/// Decisions that a draft holds.
const MOST: usize = 60;

/// A change as a link or a form writes it: only what its kind needs.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct Asked {
    kind: String,
    movement: String,
    day: Option<usize>,
    from: Option<usize>,
    to: Option<usize>,
    sets: Option<i32>,
}

impl Asked {
    fn change(self) -> Result<Change, Fault> {
        let Self { movement, day, from, to, sets, .. } = self;
        let lacks = |field: &str| {
            Fault::new(Fails::Asked, "change", "it says too little", "choose a line of the week").at(field)
        };
        Ok(match &*self.kind {
            "force" => Change::Force { movement, day },
            "forbid" => Change::Forbid { movement },
            "move" => Change::Move {
                movement,
                from: from.ok_or_else(|| lacks("from"))?,
                to: to.ok_or_else(|| lacks("to"))?,
            },
            "sets" => Change::Sets {
                movement,
                day: day.ok_or_else(|| lacks("day"))?,
                sets: sets.ok_or_else(|| lacks("sets"))?,
            },
            _ => return Err(lacks("kind")),
        })
    }
}

/// The fields of a change, as [`Asked`] reads them.
pub(super) fn fields(change: &Change) -> Vec<(&'static str, String)> {
    let mut out = vec![("movement", change.movement().to_owned())];
    match change {
        Change::Force { day, .. } => {
            out.push(("kind", "force".into()));
            out.extend(day.map(|d| ("day", d.to_string())));
        }
        Change::Forbid { .. } => out.push(("kind", "forbid".into())),
        Change::Move { from, to, .. } => {
            out.extend([("kind", "move".into()), ("from", from.to_string()), ("to", to.to_string())]);
        }
        Change::Sets { day, sets, .. } => {
            out.extend([("kind", "sets".into()), ("day", day.to_string()), ("sets", sets.to_string())]);
        }
    }
    out
}

/// Where the price of a change is told. Ids of movements need no escaping in an address.
pub(super) fn price_of(draft: &Draft, change: &Change) -> String {
    let query: Vec<String> =
        fields(change).into_iter().map(|(name, value)| format!("{name}={value}")).collect();
    format!("/desk/drafting/{}/price?{}", draft.id, query.join("&"))
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Response {
    let made = async {
        let draft = find(&desk, &visit, &id).await?;
        let change = asked.change()?;
        let answer = work::solved(&desk, &visit, draft.clone(), false, false).await?.ok_or_else(busy)?;
        let price = work::price(&desk, &draft, &answer, change.clone()).await?;
        let s = shelf::speech_of(&visit, &answer.catalogue);
        let days: Vec<Weekday> = answer.programme.days.iter().map(|d| d.weekday).collect();
        let account = Account { speech: &s, catalogue: &answer.catalogue, days: &days };
        let can = matches!(price.outcome, Outcome::Priced { .. });
        let main = html! {
            @for told in account.price(&price) { p { (told) } }
            @if can {
                form method="post" action={ "/desk/drafting/" (draft.id) "/hold" } {
                    (proof(&visit))
                    @for (name, value) in fields(&change) { input type="hidden" name=(name) value=(value); }
                    button.act { (s.say("draft-do", &[])) }
                }
            }
            p { a href={ "/desk/drafting/" (draft.id) "#becomes" } { (s.say("draft-leave", &[])) } }
        };
        Ok::<_, Fault>(main)
    };
    match made.await {
        Ok(main) => look::page(&visit, Place::Drafting, &visit.speech.say("draft-price", &[]), &main),
        Err(fault) => look::fault(&visit, Place::Drafting, &fault),
    }
}

fn busy() -> Fault {
    Fault::new(Fails::Busy, "newer", "a newer change of the draft is being solved", "look again in a moment")
}

/// Holds a change, and brings back the draft.
pub(super) async fn hold<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Sent(asked): Sent<Asked>,
) -> Response {
    let change = asked.change();
    decided(&desk, &visit, &id, move |draft| {
        let change = change?;
        draft.held.retain(|h| !change.replaces(h));
        if draft.held.len() >= MOST {
            let reason = format!("{MOST} decisions are held");
            return Err(Fault::new(Fails::Asked, "too_many", reason, "let some go"));
        }
        draft.held.push(change);
        Ok(held(draft))
    })
    .await
}

fn held(draft: &Draft) -> DraftFields {
    let held = draft.held.iter().filter_map(|c| serde_json::to_value(c).ok()).collect();
    DraftFields { held: Some(held), ..DraftFields::default() }
}

#[derive(Deserialize)]
pub(super) struct LetGo {
    number: usize,
}

pub(super) async fn let_go<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Sent(given): Sent<LetGo>,
) -> Response {
    decided(&desk, &visit, &id, move |draft| {
        if given.number >= draft.held.len() {
            return Err(Fault::missing());
        }
        draft.held.remove(given.number);
        Ok(held(draft))
    })
    .await
}

/// Marks a movement *keep*, *may bend* or *never*, and takes a cue for it.
pub(super) async fn line<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
    Sent(given): Sent<Vec<(String, String)>>,
) -> Response {
    let (movement, mark) =
        (form::value(&given, "movement").to_owned(), form::value(&given, "mark").to_owned());
    let cue = form::value(&given, "cue").trim().to_owned();
    decided(&desk, &visit, &id, move |draft| {
        if !movement.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_') {
            return Err(Fault::missing());
        }
        if !cue.is_empty() && !one_line(&cue, LONGEST_CUE) {
            let remedy = "write at most 140 characters on one line";
            return Err(Fault::new(Fails::Asked, "cue", "it is no cue", remedy).at("cue"));
        }
        let mut fields = DraftFields::default();
        if cue.is_empty() {
            draft.cues.remove(&movement);
        } else {
            draft.cues.insert(movement.clone(), cue);
        }
        fields.cues = as_document(&draft.cues);
        if mark == "never" {
            avoid(&mut draft.brief, &movement);
            fields.brief = Some(Document(draft.brief.clone()));
            draft.held.retain(|h| h.movement() != movement);
            fields.held = held(draft).held;
            draft.marks.remove(&movement);
        } else if let Ok(mark) = serde_json::from_value(json!(mark)) {
            draft.marks.insert(movement, mark);
        }
        fields.marks = as_document(&draft.marks);
        Ok(fields)
    })
    .await
}

/// Writes into a brief that a movement must not be brought in.
fn avoid(brief: &mut serde_json::Map<String, Value>, movement: &str) {
    let wishes = brief.entry("wishes").or_insert_with(|| json!([]));
    if let Value::Array(wishes) = wishes {
        wishes.retain(|w| w.get("movement").and_then(Value::as_str) != Some(movement));
        wishes.push(json!({"wish": "forbid", "movement": movement}));
    }
}

async fn decided<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    id: &str,
    how: impl FnOnce(&mut Draft) -> Result<DraftFields, Fault>,
) -> Response {
    let done = async {
        let mut draft = find(desk, visit, id).await?;
        let fields = how(&mut draft)?;
        own::write(desk, visit, &[fields.edit(draft.id)]).await
    };
    match done.await {
        Ok(()) => Redirect::to(&format!("/desk/drafting/{id}#becomes")).into_response(),
        Err(fault) => look::fault(visit, Place::Drafting, &fault),
    }
}
