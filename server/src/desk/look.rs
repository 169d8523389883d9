//! The frame of every page, and what it is drawn with.

use super::visit::Visit;
use crate::host::account::Role;
use crate::host::fault::Fault;
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

/// A file that the pages are drawn with. Its name says what is in it, so that a browser keeps it for as long as it is the
/// same.
struct Asset {
    kind: &'static str,
    text: &'static str,
    name: String,
}

impl Asset {
    fn of(stem: &str, ending: &str, kind: &'static str, text: &'static str) -> Self {
        let digest = hex_of(&Sha256::digest(text.as_bytes()));
        let name = format!("{stem}-{}.{ending}", digest.get(..16).unwrap_or_default());
        Self { kind, text, name }
    }
}

static STYLE: LazyLock<Asset> = LazyLock::new(|| {
    Asset::of("desk", "css", "text/css; charset=utf-8", include_str!("../../data/desk/desk.css"))
});
static DRAFTING: LazyLock<Asset> = LazyLock::new(|| {
    let script = include_str!("../../data/desk/drafting.js");
    Asset::of("drafting", "js", "text/javascript; charset=utf-8", script)
});
/// What helps a page along where the browser runs it. Every page serves without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Script {
    /// None.
    None,
    /// Solves while a draft is edited.
    Drafting,
}

/// Nothing from elsewhere, no script but the desk's own, no frame around it.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; \
                      img-src 'self' data:; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

/// The places of the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// Everybody.
    Lifters,
    /// Programmes that are being made.
    Drafting,
    /// What was published, and to whom.
    Published,
    /// Devices and grants; for the host's keeper the accounts and backups.
    House,
}

impl Place {
    /// The places of a coach.
    const COACH: &[Self] = &[Self::Lifters, Self::Drafting, Self::Published, Self::House];
    /// Those of the host's keeper, who sees no record.
    const KEEPER: &[Self] = &[Self::House];

    const fn path(self) -> &'static str {
        match self {
            Self::Lifters => "/desk/lifters",
            Self::Drafting => "/desk/drafting",
            Self::Published => "/desk/published",
            Self::House => "/desk/house",
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::Lifters => "desk-lifters",
            Self::Drafting => "desk-drafting",
            Self::Published => "desk-published",
            Self::House => "desk-house",
        }
    }
}

/// A page for who has signed in.
pub(super) fn page(visit: &Visit, place: Place, title: &str, main: &Markup) -> Response {
    page_as(visit, StatusCode::OK, place, title, main)
}

/// What failed, as a page.
pub(super) fn fault(visit: &Visit, place: Place, fault: &Fault) -> Response {
    let s = &*visit.speech;
    let status = StatusCode::from_u16(fault.fails.status()).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let main = html! { p.wrong role="alert" { (told(s, fault)) } };
    page_as(visit, status, place, &s.say("desk-failed", &[]), &main)
}

/// A form that is not of this visit, sent to a path.
pub(super) fn not_from_here(visit: &Visit, path: &str) -> Response {
    let place = Place::COACH.iter().find(|p| path.starts_with(p.path())).copied().unwrap_or(Place::Lifters);
    let s = &*visit.speech;
    let main = html! { p.wrong role="alert" { (s.say("desk-not-from-here", &[])) } };
    page_as(visit, StatusCode::FORBIDDEN, place, &s.say("desk-failed", &[]), &main)
}

/// A fault as a sentence. The protocol's faults are said in English.
pub(super) fn told(s: &Speech, fault: &Fault) -> String {
    let at = fault.said.field.as_ref().map(|f| format!("{f}: ")).unwrap_or_default();
    s.english(&format!("{at}{}; {}.", fault.said.reason, fault.said.remedy))
}

/// A place for what may be wider than the page. Where it is, it is scrolled by keyboard too, and so it has a name.
pub(super) fn wide(name: &str, what: &Markup) -> Markup {
    html! { div.wide tabindex="0" role="region" aria-label=(name) { (what) } }
}

/// What a form carries, so that no other site's form counts as this visit's.
pub(super) fn proof(visit: &Visit) -> Markup {
    html! { input type="hidden" name="proof" value=(visit.proof); }
}

/// As [`page`], with a status.
pub(super) fn page_as(
    visit: &Visit,
    status: StatusCode,
    place: Place,
    title: &str,
    main: &Markup,
) -> Response {
    page_with(visit, status, place, title, main, Script::None)
}

/// As [`page_as`], with what helps it along.
pub(super) fn page_with(
    visit: &Visit,
    status: StatusCode,
    place: Place,
    title: &str,
    main: &Markup,
    script: Script,
) -> Response {
    let s = &*visit.speech;
    let places = if visit.caller.account.role == Role::Host { Place::KEEPER } else { Place::COACH };
    let nav = html! {
        nav aria-label=(s.say("desk-places", &[])) {
            @for &p in places {
                a href=(p.path()) aria-current=[(p == place).then_some("page")] { (s.say(p.key(), &[])) }
            }
        }
        div.who {
            span { (visit.caller.account.id) }
            form method="post" action="/desk/sign-out" {
                (proof(visit))
                button { (s.say("desk-sign-out", &[])) }
                button name="everywhere" value="yes" { (s.say("desk-sign-out-everywhere", &[])) }
            }
        }
    };
    let main = html! {
        (main)
        @if script == Script::Drafting { script src={ "/desk/assets/" (DRAFTING.name) } defer {} }
    };
    framed(s, visit.invented, status, title, &nav, &main)
}

/// A page in its frame, whoever looks at it.
pub(super) fn framed(
    s: &Speech,
    invented: bool,
    status: StatusCode,
    title: &str,
    nav: &Markup,
    main: &Markup,
) -> Response {
    let language = s.language();
    let whole = html! {
        (DOCTYPE)
        html lang=(language.code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · Plinth" }
                link rel="stylesheet" href={ "/desk/assets/" (STYLE.name) };
                link rel="icon" href="data:,";
            }
            body {
                a.skip href="#main" { (s.say("desk-skip", &[])) }
                header { strong { (s.say("desk-name", &[])) } (nav) }
                @if invented { p.invented role="note" { (s.say("desk-invented", &[])) } }
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
    let all = [&*STYLE, &*DRAFTING];
    let Some(asset) = all.into_iter().find(|a| a.name == name) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let mut response = asset.text.into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(asset.kind));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("public, max-age=31536000, immutable"));
    headers.insert(X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    response
}
