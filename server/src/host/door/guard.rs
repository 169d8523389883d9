//! Who may come in, and what is noted of every request.

use super::super::Host;
use super::super::fault::{Fails, Fault};
use super::super::store::Store;
use super::REQUEST_ID;
use super::reply::refuse;
use axum::extract::{MatchedPath, Request, State};
use axum::http::header::AUTHORIZATION;
use axum::middleware::Next;
use axum::response::Response;
use std::net::IpAddr;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Within so long a request is answered.
const WITHIN: Duration = Duration::from_mins(1);

/// Where a request came from.
#[derive(Debug, Clone, Copy)]
pub struct Peer {
    /// The address.
    pub address: IpAddr,
    /// Whether it is the peer's own, and not that of a proxy which names none.
    pub own: bool,
}

/// Lets in who bears a token.
pub(super) async fn guard<S: Store>(
    State(host): State<Arc<Host<S>>>,
    mut request: Request,
    next: Next,
) -> Response {
    let token = request.headers().get(AUTHORIZATION).and_then(|h| h.to_str().ok()).and_then(bearer);
    let peer = request.extensions().get::<Peer>().filter(|p| p.own).map(|p| p.address);
    let caller = match token {
        Some(token) => host.caller(token, peer).await,
        None => Err(Fault::token()),
    };
    match caller {
        Ok(caller) => {
            request.extensions_mut().insert(caller);
            next.run(request).await
        }
        Err(fault) => refuse(&fault),
    }
}

/// The token of a header `Bearer TOKEN` (RFC 6750).
fn bearer(header: &str) -> Option<&str> {
    let (scheme, token) = header.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then_some(token.trim())
}

/// Notes every request by its route: no address of a record, no token, no content. None is worked at for ever.
pub(super) async fn watched<S: Store>(
    State(host): State<Arc<Host<S>>>,
    path: Option<MatchedPath>,
    request: Request,
    next: Next,
) -> Response {
    let began = Instant::now();
    let path = path.map_or_else(|| "other".to_owned(), |p| p.as_str().to_owned());
    let method = request.method().clone();
    let id = request.headers().get(REQUEST_ID).and_then(|h| h.to_str().ok()).unwrap_or("-");
    // An id that a stranger sends is theirs to choose: only its plain letters are noted.
    let id: String = id.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(64).collect();
    let response = tokio::time::timeout(WITHIN, next.run(request)).await.unwrap_or_else(|_| {
        let fault = Fault::new(Fails::Busy, "slow", "the answer took too long", "try again later");
        refuse(&fault.later(30))
    });
    let (status, took) = (response.status().as_u16(), began.elapsed());
    host.counts.answered(&path, status, took);
    let ms = u64::try_from(took.as_millis()).unwrap_or(u64::MAX);
    if status >= 500 {
        tracing::warn!(%method, route = path, status, ms, request = id, "answered");
    } else {
        tracing::info!(%method, route = path, status, ms, request = id, "answered");
    }
    response
}
