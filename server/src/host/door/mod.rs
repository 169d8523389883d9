//! HTTP: which path asks what, who may, and how much of a body is read.
//!
//! No path below `/v1` says anything without a token, but pairing and the description of the paths.

mod body;
mod coaches;
mod guard;
mod people;
mod reply;
mod sync;

pub use guard::Peer;

use super::Host;
use super::fault::{Fails, Fault};
use super::store::Store;
use axum::Router;
use axum::extract::Request;
use axum::http::HeaderName;
use axum::middleware;
use axum::response::Response;
use axum::routing::{any, delete, get, post};
use reply::{refuse, text};
use std::sync::Arc;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::request_id::{MakeRequestUuid, PropagateRequestIdLayer, SetRequestIdLayer};

/// The description of the paths (`OpenAPI` 3.1).
pub const OPENAPI: &str = include_str!("../../../data/openapi.json");
/// Names a request in the log and in its answer.
const REQUEST_ID: HeaderName = HeaderName::from_static("x-request-id");

/// All paths of a host, with `pages` beside those of the protocol: bounded, packed, named and noted alike.
pub fn routes<S: Store>(host: &Arc<Host<S>>, pages: Router) -> Router {
    let guarded = Router::new()
        .route("/v1/sync", post(sync::sync::<S>))
        .route("/v1/token", post(people::renew::<S>))
        .route("/v1/devices", get(people::devices::<S>))
        .route("/v1/devices/{key}", delete(people::revoke::<S>))
        .route("/v1/audit", get(people::audit::<S>))
        .route("/v1/lifters", get(coaches::lifters::<S>))
        .route("/v1/lifters/{account}/record", get(coaches::record::<S>).post(coaches::write::<S>))
        .route("/v1", any(missing))
        .route("/v1/{*rest}", any(missing))
        .method_not_allowed_fallback(other_method)
        .layer(middleware::from_fn_with_state(Arc::clone(host), guard::guard::<S>));
    Router::new()
        .route("/healthz", get(async || text("text/plain; charset=utf-8", "ok\n".to_owned())))
        .route("/v1/pair", post(people::pair::<S>))
        .route("/v1/openapi.json", get(async || text("application/json", OPENAPI.to_owned())))
        .method_not_allowed_fallback(other_method)
        .merge(guarded)
        .with_state(Arc::clone(host))
        .merge(pages)
        .fallback(missing)
        .layer(CompressionLayer::new())
        .layer(CatchPanicLayer::custom(panicked))
        .layer(middleware::from_fn_with_state(Arc::clone(host), guard::watched::<S>))
        .layer(PropagateRequestIdLayer::new(REQUEST_ID))
        .layer(SetRequestIdLayer::new(REQUEST_ID, MakeRequestUuid))
}

/// What the host says of itself to who looks after it, on an address of its own.
pub fn inner_routes<S: Store>(host: &Arc<Host<S>>) -> Router {
    let counted = Arc::clone(host);
    Router::new()
        .route("/healthz", get(async || text("text/plain; charset=utf-8", "ok\n".to_owned())))
        .route("/metrics", get(async move || text("text/plain; version=0.0.4", counted.counts.text())))
        .fallback(missing)
}

async fn missing(_: Request) -> Response {
    refuse(&Fault::missing())
}

async fn other_method() -> Response {
    let remedy = "see /v1/openapi.json for the paths";
    refuse(&Fault::new(Fails::Method, "method", "the path does not take this method", remedy))
}

#[allow(clippy::needless_pass_by_value)] // as the layer asks for it
fn panicked(_: Box<dyn std::any::Any + Send>) -> Response {
    tracing::error!("a request panicked");
    refuse(
        &Fault::new(Fails::Broken, "defect", "the host failed", "tell the host; try again later").later(60),
    )
}
