//! `POST /v1/sync`.

use super::super::Host;
use super::super::account::Role;
use super::super::fault::{Fails, Fault};
use super::super::store::Store;
use super::super::token::Caller;
use super::super::watch::more;
use super::body;
use super::reply::{Reply, document};
use axum::Extension;
use axum::body::Body;
use axum::extract::State;
use axum::http::HeaderMap;
use std::sync::Arc;

pub(super) async fn sync<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
    headers: HeaderMap,
    body: Body,
) -> Reply {
    if caller.account.role == Role::Host {
        let remedy = "pair the device with an account of a lifter or a coach";
        return Err(Fault::new(Fails::Forbidden, "role", "the account has no record", remedy));
    }
    let _turn = host.turn().await?;
    let request = body::read(&headers, body, host.limits.body_bytes).await?;
    let answer = host.sync(&caller.account.id, &request).await?;
    more(&host.counts.taken, answer.took.len());
    more(&host.counts.refused, answer.refused.len());
    Ok(document(&answer))
}
