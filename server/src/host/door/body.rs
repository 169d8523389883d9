//! Reads bodies: no longer than they may be, packed or not, and not for ever.

use super::super::fault::{Fails, Fault};
use axum::body::Body;
use axum::http::HeaderMap;
use axum::http::header::{CONTENT_ENCODING, CONTENT_TYPE};
use http_body_util::{BodyExt, LengthLimitError, Limited};
use plinth_core::sync::unpack;
use serde::de::DeserializeOwned;
use std::time::Duration;

/// Within so long a body has come.
const WITHIN: Duration = Duration::from_secs(30);

/// Reads a body of JSON of at most `most` bytes, unpacked.
pub(super) async fn read<T: DeserializeOwned + Send + 'static>(
    headers: &HeaderMap,
    body: Body,
    most: u64,
) -> Result<T, Fault> {
    let packed = packed(headers)?;
    let json = headers.get(CONTENT_TYPE).and_then(|t| t.to_str().ok()).is_none_or(|t| {
        t.split(';').next().is_some_and(|t| t.trim().eq_ignore_ascii_case("application/json"))
    });
    if !json {
        return Err(Fault::new(Fails::Packing, "content_type", "it is no JSON", "send application/json"));
    }
    let long = move || {
        let reason = format!("the body is longer than {most} bytes");
        Fault::new(Fails::TooLong, "too_long", reason, "send less at once")
    };
    let limited = Limited::new(body, usize::try_from(most).unwrap_or(usize::MAX));
    let slow = |_| Fault::new(Fails::Slow, "slow", "the body did not come in time", "try again").later(5);
    let whole = tokio::time::timeout(WITHIN, limited.collect()).await.map_err(slow)?;
    let whole = whole.map_err(|e| {
        if e.is::<LengthLimitError>() {
            long()
        } else {
            Fault::new(Fails::Asked, "body", "the body did not come whole", "try again")
        }
    })?;
    let bytes = whole.to_bytes();
    // Off the async threads: a long body takes a while to read.
    let read = move || {
        let plain = if packed { unpack(&bytes, most).ok_or_else(long)? } else { bytes.to_vec() };
        drop(bytes);
        // The parser would take a list for the members of an object in their order.
        if !plain.trim_ascii_start().starts_with(b"{") {
            let reason = "the body is no JSON object";
            return Err(Fault::new(Fails::Asked, "body", reason, "see /v1/openapi.json for its form"));
        }
        serde_json::from_slice(&plain).map_err(|e| {
            let reason = format!("the body cannot be read: {e}");
            Fault::new(Fails::Asked, "body", reason, "see /v1/openapi.json for its form")
        })
    };
    tokio::task::spawn_blocking(read).await.map_err(std::io::Error::other)?
}

fn packed(headers: &HeaderMap) -> Result<bool, Fault> {
    match headers.get(CONTENT_ENCODING).map(|e| e.as_bytes().to_ascii_lowercase()) {
        None => Ok(false),
        Some(e) if e == b"gzip" => Ok(true),
        Some(e) if e == b"identity" => Ok(false),
        Some(_) => {
            Err(Fault::new(Fails::Packing, "content_encoding", "it is packed otherwise", "use gzip, or none"))
        }
    }
}
