//! Answers as responses.

use super::super::fault::Fault;
use axum::body::Body;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_TYPE, RETRY_AFTER, WWW_AUTHENTICATE, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use serde::Serialize;

/// What is answered: a document, or why not.
pub(super) type Reply = Result<Response, Fault>;

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        refuse(&self)
    }
}

/// A fault as a response.
pub(super) fn refuse(fault: &Fault) -> Response {
    let status = StatusCode::from_u16(fault.fails.status()).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let mut response = document(&fault.said);
    *response.status_mut() = status;
    let headers = response.headers_mut();
    if let Some(seconds) = fault.retry_after_s {
        headers.insert(RETRY_AFTER, seconds.into());
    }
    if status == StatusCode::UNAUTHORIZED {
        // The scheme alone is no challenge: RFC 6750, section 3, asks for a parameter, and some platforms end over it.
        headers.insert(WWW_AUTHENTICATE, HeaderValue::from_static("Bearer realm=\"plinth\""));
    }
    response
}

/// A document as JSON.
pub(super) fn document(of: &impl Serialize) -> Response {
    // What is answered are texts, numbers and lists of them, which always have a form.
    text("application/json", serde_json::to_string(of).unwrap_or_default())
}

/// A text of some type.
pub(super) fn text(kind: &'static str, text: String) -> Response {
    let mut response = Response::new(Body::from(text));
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    response
}
