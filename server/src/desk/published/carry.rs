//! A publication as it goes to lifters without a server: a signed file, and the same as a sequence of pictures.

use super::super::Desk;
use super::super::look::{self, Place};
use super::super::visit::Visit;
use super::{Publication, one};
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use crate::qr::Qr;
use axum::extract::{Extension, Path, State};
use axum::http::HeaderValue;
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_TYPE, X_CONTENT_TYPE_OPTIONS};
use axum::response::{IntoResponse, Response};
use maud::{PreEscaped, html};
use plinth_core::published::parts::split;
use plinth_core::published::signed::fingerprint;
use std::sync::Arc;

/// The signed file.
fn signed<S: Store>(desk: &Desk<S>, visit: &Visit, p: &Publication) -> Result<Vec<u8>, Fault> {
    let made = p.made.as_ref().map(ToString::to_string).unwrap_or_default();
    let by = visit.caller.account.id.as_str();
    let signed = desk.key.sign(p.document.clone(), by, p.version, &made);
    let signed = signed.map_err(|f| Fault::new(Fails::Broken, "signature", f.problem, &f.remedy))?;
    Ok(serde_json::to_vec(&signed).map_err(std::io::Error::other)?)
}

pub(super) async fn file<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
) -> Response {
    let made = one(&desk, &visit, &id).await.and_then(|p| Ok((signed(&desk, &visit, &p)?, p)));
    match made {
        Ok((bytes, p)) => {
            let mut response = bytes.into_response();
            let headers = response.headers_mut();
            headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/json"));
            headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
            headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
            // A name without anything that a file system or a header could take amiss.
            let name = format!("attachment; filename=\"plinth-programme-{}-v{}.json\"", p.id, p.version);
            headers.extend(HeaderValue::from_str(&name).ok().map(|name| (CONTENT_DISPOSITION, name)));
            response
        }
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

pub(super) async fn pictures<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
) -> Response {
    let s = &*visit.speech;
    let made = async {
        let p = one(&desk, &visit, &id).await?;
        let parts = split(&signed(&desk, &visit, &p)?)?;
        let n = parts.len();
        let mut pictures = Vec::new();
        for (k, part) in parts.iter().enumerate() {
            let args = [("k", (k + 1).into()), ("n", n.into())];
            let title = s.say("desk-picture", &args);
            pictures.push((Qr::of(part).map_err(std::io::Error::other)?.svg(&title), title));
        }
        Ok::<_, Fault>((p, pictures))
    };
    match made.await {
        Ok((p, pictures)) => {
            let key = fingerprint(&desk.key.public());
            let main = html! {
                p { a href={ "/desk/published/" (p.id) } { (p.name(s)) } }
                p { (s.say("desk-pictures-about", &[("n", pictures.len().into())])) }
                p.soft { (s.say("desk-key", &[("key", (&key).into())])) }
                div.pictures {
                    @for (svg, title) in &pictures {
                        figure { (PreEscaped(svg)) figcaption { (title) } }
                    }
                }
            };
            look::page(&visit, Place::Published, &s.say("desk-way-pictures", &[]), &main)
        }
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}
