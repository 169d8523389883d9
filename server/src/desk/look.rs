//! The frame of every page, and what it is drawn with.

use super::visit::Visit;
use axum::extract::Path;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use maud::{DOCTYPE, Markup, html};
use plinth_core::record::hex_of;
use plinth_core::words::Speech;
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

const STYLE: &str = include_str!("../../data/desk/desk.css");
/// Its name says what is in it, so that a browser keeps it for as long as it is the same.
static STYLE_NAME: LazyLock<String> = LazyLock::new(|| {
    let digest = hex_of(&Sha256::digest(STYLE.as_bytes()));
    format!("desk-{}.css", digest.get(..16).unwrap_or_default())
});
/// Nothing from elsewhere, no script, no frame around it.
const POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; \
                      frame-ancestors 'none'; base-uri 'none'";

/// The places of the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// Everybody.
    Lifters,
}

impl Place {
    const ALL: [Self; 1] = [Self::Lifters];

    const fn path(self) -> &'static str {
        match self {
            Self::Lifters => "/desk/lifters",
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::Lifters => "desk-lifters",
        }
    }
}

/// A page for a coach who has signed in.
pub(super) fn page(visit: &Visit, place: Place, title: &str, main: &Markup) -> Response {
    let s = &*visit.speech;
    let nav = html! {
        nav aria-label=(s.say("desk-places", &[])) {
            @for p in Place::ALL {
                a href=(p.path()) aria-current=[(p == place).then_some("page")] { (s.say(p.key(), &[])) }
            }
        }
        div.who {
            span { (visit.caller.account.id) }
            form method="post" action="/desk/sign-out" {
                input type="hidden" name="proof" value=(visit.proof);
                button { (s.say("desk-sign-out", &[])) }
                button name="everywhere" value="yes" { (s.say("desk-sign-out-everywhere", &[])) }
            }
        }
    };
    framed(s, StatusCode::OK, title, &nav, main)
}

/// A page in its frame, whoever looks at it.
pub(super) fn framed(s: &Speech, status: StatusCode, title: &str, nav: &Markup, main: &Markup) -> Response {
    let language = s.language();
    let whole = html! {
        (DOCTYPE)
        html lang=(language.code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · Plinth" }
                link rel="stylesheet" href={ "/desk/assets/" (*STYLE_NAME) };
                link rel="icon" href="data:,";
            }
            body {
                a.skip href="#main" { (s.say("desk-skip", &[])) }
                header { strong { (s.say("desk-name", &[])) } (nav) }
                main #main tabindex="-1" { h1 { (title) } (main) }
                footer {
                    p { (s.say("desk-not-medical", &[])) }
                    form method="post" action="/desk/language" {
                        @for l in plinth_core::words::Language::ALL {
                            button name="language" value=(l.code()) lang=(l.code()) disabled[l == language] { (l.own_name()) }
                        }
                    }
                }
            }
        }
    };
    let mut response = (status, whole.into_string()).into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("text/html; charset=utf-8"));
    headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    response
}

/// What the pages are drawn with, by a name that changes with it.
pub(super) async fn asset(Path(name): Path<String>) -> Response {
    if name != *STYLE_NAME {
        return StatusCode::NOT_FOUND.into_response();
    }
    let mut response = STYLE.into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("text/css; charset=utf-8"));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("public, max-age=31536000, immutable"));
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    response
}
