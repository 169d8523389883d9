//! The house: a coach's own devices, grants and trail; for the host's keeper the accounts, their devices, backups and
//! erasing.

mod coach;
mod keeper;
mod pair;

use super::Desk;
use super::look::{self, Place, proof};
use super::visit::{Sent, Visit};
use crate::host::account::{AccountId, PairedDevice, Role};
use crate::host::audit::AuditLine;
use crate::host::fault::Fault;
use crate::host::store::Store;
use crate::moment;
use axum::Router;
use axum::extract::{Extension, Query, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use chrono::NaiveDate;
use maud::{Markup, html};
use plinth_core::moment::Moment;
use plinth_core::words::{self, Speech};
use serde::Deserialize;
use std::path::PathBuf;
use std::sync::Arc;

/// Lines of a trail that are shown.
const LINES: u32 = 200;

/// What the keeper of the house can do with its files.
#[derive(Debug, Clone, Default)]
pub struct Keeping {
    /// The store.
    pub store: PathBuf,
    /// The folder of the backups, where the host has one.
    pub backups: Option<PathBuf>,
    /// Whether everybody in it is invented; each page says so then.
    pub invented: bool,
}

/// The paths of this place.
pub(super) fn routes<S: Store>() -> Router<Arc<Desk<S>>> {
    Router::new()
        .route("/desk/house", get(page::<S>))
        .route("/desk/house/revoke", post(revoke::<S>))
        .route("/desk/house/pair", post(pair::own::<S>))
        .route("/desk/house/accounts", post(pair::account::<S>))
        .route("/desk/house/accounts/{account}", get(keeper::account::<S>))
        .route("/desk/house/accounts/{account}/erase", post(keeper::erase::<S>))
        .route("/desk/house/backup", post(keeper::backup::<S>))
}

async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Query(after): Query<keeper::After>,
) -> Response {
    let main = match visit.caller.account.role {
        Role::Host => keeper::main(&desk, &visit, &after).await,
        _ => coach::main(&desk, &visit).await,
    };
    match main {
        Ok(main) => look::page(&visit, Place::House, &visit.speech.say("desk-house", &[]), &main),
        Err(fault) => look::fault(&visit, Place::House, &fault),
    }
}

/// The day of an instant, here.
fn day(ms: i64) -> NaiveDate {
    Moment { wall_ms: ms, ..moment::now() }.local().date_naive()
}

/// The devices of an account, those that count first, each with what revokes it.
fn devices(s: &Speech, visit: &Visit, account: &AccountId, mut all: Vec<PairedDevice>) -> Markup {
    all.sort_by_key(|d| (d.revoked_ms.is_some(), std::cmp::Reverse(d.seen_ms)));
    html! {
        @if all.is_empty() { p { (s.say("desk-devices-none", &[])) } }
        @else {
            (look::wide(&s.say("desk-devices", &[]), &html! {
                table {
                    caption { (s.say("desk-devices", &[])) }
                    thead { tr {
                        @for key in ["desk-device", "desk-device-program", "desk-device-paired", "desk-device-heard", "desk-device-now"] {
                            th scope="col" { (s.say(key, &[])) }
                        }
                    } }
                    tbody {
                        @for d in &all {
                            tr {
                                th scope="row" {
                                    (d.name)
                                    @if d.key == visit.caller.device.key { " (" (s.say("desk-device-this", &[])) ")" }
                                }
                                td { (d.app) }
                                td { (s.date_with_year(day(d.paired_ms))) }
                                td { (s.date_with_year(day(d.seen_ms))) }
                                td {
                                    @if let Some(at) = d.revoked_ms {
                                        (s.say("desk-device-revoked", &[("day", (&s.date_with_year(day(at))).into())]))
                                    } @else {
                                        form method="post" action="/desk/house/revoke" {
                                            (proof(visit))
                                            input type="hidden" name="account" value=(account);
                                            input type="hidden" name="device" value=(d.key);
                                            button { (s.say("desk-device-revoke", &[("name", (&d.name).into())])) }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }))
        }
    }
}

/// Who did what with an account, the newest first.
fn trail(s: &Speech, mut lines: Vec<AuditLine>) -> Markup {
    lines.reverse();
    html! {
        @if lines.is_empty() { p { (s.say("desk-trail-none", &[])) } }
        ul.trail {
            @for line in &lines {
                li {
                    span.soft { (s.date_with_year(day(line.until_ms))) ": " }
                    (words::audit(s, line))
                }
            }
        }
    }
}

/// The newest lines of an account's trail.
async fn newest<S: Store>(desk: &Desk<S>, account: &AccountId) -> Result<Vec<AuditLine>, Fault> {
    Ok(desk.host.store.latest_audit(account, 0, LINES).await?)
}

#[derive(Deserialize)]
pub(super) struct Revoked {
    account: String,
    device: String,
}

/// Revokes a device: a coach one of their own, the keeper anybody's.
async fn revoke<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(given): Sent<Revoked>,
) -> Response {
    let caller = &visit.caller;
    let keeper = caller.account.role == Role::Host;
    let account = given.account.parse::<AccountId>().ok().filter(|a| keeper || *a == caller.account.id);
    let Some(account) = account else { return look::fault(&visit, Place::House, &Fault::missing()) };
    match desk.host.revoke(&account, &given.device, &caller.account.id).await {
        Ok(()) if account == caller.account.id => Redirect::to("/desk/house").into_response(),
        Ok(()) => Redirect::to(&format!("/desk/house/accounts/{account}")).into_response(),
        Err(fault) => look::fault(&visit, Place::House, &fault),
    }
}
