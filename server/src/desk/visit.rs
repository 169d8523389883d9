//! Who sits at the desk. A browser is a device of the coach's account like any other: it is paired by a code, listed and
//! revoked, and its token lies in a cookie that no script reads.

use super::{Desk, look, shelf};
use crate::host::account::{Role, hashed};
use crate::host::door::Peer;
use crate::host::store::Store;
use crate::host::token::Caller;
use axum::Form;
use axum::body::{Body, Bytes};
use axum::extract::rejection::FormRejection;
use axum::extract::{FromRequest, Request, State};
use axum::http::header::{COOKIE, SET_COOKIE};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use plinth_core::record::hex_of;
use plinth_core::words::{Language, Speech};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::net::IpAddr;
use std::sync::Arc;
use subtle::ConstantTimeEq;

/// The cookie with the token.
const TOKEN: &str = "plinth_token";
/// The cookie with the language that was chosen.
const LANGUAGE: &str = "plinth_language";
/// How long a browser keeps them: a month, seconds (common practice, no source).
const KEPT_S: u32 = 30 * 24 * 60 * 60;

/// A coach at the desk.
#[derive(Clone)]
pub(super) struct Visit {
    /// Who.
    pub(super) caller: Caller,
    /// Speaks their language.
    pub(super) speech: Arc<Speech>,
    /// What a form of this visit carries, so that no other site's form counts as the coach's.
    pub(super) proof: String,
    /// Whether everybody here is invented.
    pub(super) invented: bool,
}

/// A form of this visit: one that carries its proof. What another site made a browser send is answered before the path
/// that it was meant for sees it.
pub(super) struct Sent<T>(pub(super) T);

#[derive(Deserialize)]
struct Proof {
    #[serde(default)]
    proof: String,
}

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Sent<T> {
    type Rejection = Response;

    async fn from_request(request: Request, state: &S) -> Result<Self, Response> {
        let (parts, body) = request.into_parts();
        let again = |bytes: Bytes| Request::from_parts(parts.clone(), Body::from(bytes));
        let whole = Request::from_parts(parts.clone(), body);
        let bytes = Bytes::from_request(whole, state).await.map_err(IntoResponse::into_response)?;
        let Form(Proof { proof }) = Form::from_request(again(bytes.clone()), state)
            .await
            .map_err(|e: FormRejection| e.into_response())?;
        let visit = parts.extensions.get::<Visit>();
        if !visit.is_some_and(|v| v.proof.as_bytes().ct_eq(proof.as_bytes()).into()) {
            return Err(visit.map_or_else(
                || StatusCode::FORBIDDEN.into_response(),
                |v| look::not_from_here(v, parts.uri.path()),
            ));
        }
        let Form(sent) =
            Form::from_request(again(bytes), state).await.map_err(IntoResponse::into_response)?;
        Ok(Self(sent))
    }
}

impl Visit {
    /// A visit for a page that is made without one.
    #[cfg(test)]
    pub(super) fn of_nobody() -> Self {
        use crate::host::account::{Account, PairedDevice};
        let id = "nobody".parse().unwrap_or_else(|e| panic!("{e}"));
        let device = PairedDevice {
            key: String::new(),
            name: String::new(),
            app: String::new(),
            token: [0; 32],
            next: None,
            paired_ms: 0,
            seen_ms: 0,
            revoked_ms: None,
        };
        let account = Account { id, role: Role::Coach, made_ms: 0 };
        let speech = Arc::new(Speech::new(Language::English));
        Self { caller: Caller { account, device }, speech, proof: String::new(), invented: false }
    }
}

/// The value of a cookie of a request.
fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let all = headers.get_all(COOKIE).iter().filter_map(|h| h.to_str().ok());
    all.flat_map(|h| h.split(';'))
        .filter_map(|c| c.trim().split_once('='))
        .find(|(n, _)| *n == name)
        .map(|c| c.1)
}

/// The language of a request: as it was chosen, or as the browser asks.
pub(super) fn language(headers: &HeaderMap) -> Language {
    let chosen = cookie(headers, LANGUAGE).and_then(|code| code.parse().ok());
    chosen.unwrap_or_else(|| {
        let asked = headers.get("accept-language").and_then(|h| h.to_str().ok()).unwrap_or_default();
        // The order of the header stands for the weights that browsers give.
        let mut tags = asked.split(',').filter_map(|tag| tag.split([';', '-']).next());
        tags.find_map(|tag| tag.trim().to_ascii_lowercase().parse().ok()).unwrap_or_default()
    })
}

/// Whether a form comes from a page of this host, as far as the browser says.
pub(super) fn from_here(headers: &HeaderMap) -> bool {
    let site = headers.get("sec-fetch-site").and_then(|h| h.to_str().ok());
    site.is_none_or(|site| site == "same-origin" || site == "none")
}

/// The address that guesses are counted for.
pub(super) fn peer(request: &Request) -> Option<IpAddr> {
    request.extensions().get::<Peer>().filter(|p| p.own).map(|p| p.address)
}

impl<S: Store> Desk<S> {
    /// A cookie that only this host's own pages send, and no script reads; an empty value takes it away.
    fn set(&self, name: &str, value: &str) -> Option<HeaderValue> {
        let (secure, age) =
            (if self.secure { "; Secure" } else { "" }, if value.is_empty() { 0 } else { KEPT_S });
        let text = format!("{name}={value}; Path=/desk; HttpOnly; SameSite=Strict; Max-Age={age}{secure}");
        HeaderValue::from_str(&text).ok()
    }

    /// Has a browser keep its token, or let go of it.
    pub(super) fn keep_token(&self, response: &mut Response, token: &str) {
        response.headers_mut().extend(self.set(TOKEN, token).map(|cookie| (SET_COOKIE, cookie)));
    }

    /// Has a browser keep a language.
    pub(super) fn keep_language(&self, response: &mut Response, language: Language) {
        response.headers_mut().extend(self.set(LANGUAGE, language.code()).map(|cookie| (SET_COOKIE, cookie)));
    }
}

/// Whether an account of a role has something there: the host's keeper sees nobody's record.
fn may_be_at(role: Role, path: &str) -> bool {
    match role {
        Role::Coach => true,
        Role::Host => path.starts_with("/desk/house") || path == "/desk/sign-out",
        Role::Lifter => false,
    }
}

/// Lets in whose browser is paired, a coach or the host's keeper; others go to the page that pairs it.
pub(super) async fn signed_in<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    mut request: Request,
    next: Next,
) -> Response {
    let away = || Redirect::to("/desk/sign-in").into_response();
    let Some(token) = cookie(request.headers(), TOKEN).map(ToOwned::to_owned) else { return away() };
    if request.method() != Method::GET && !from_here(request.headers()) {
        return away();
    }
    match desk.host.caller(&token, peer(&request)).await {
        Ok(caller) if may_be_at(caller.account.role, request.uri().path()) => {
            let speech = shelf::speech(language(request.headers()));
            let proof = hex_of(&hashed(&format!("desk form {token}")));
            request.extensions_mut().insert(Visit { caller, speech, proof, invented: desk.keeping.invented });
            next.run(request).await
        }
        Ok(caller) if caller.account.role == Role::Host => Redirect::to("/desk/house").into_response(),
        Ok(_) => away(),
        Err(fault) if fault.fails.status() == 401 => {
            let mut response = away();
            desk.keep_token(&mut response, "");
            response
        }
        Err(fault) => fault.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(name: &'static str, value: &str) -> HeaderMap {
        let mut headers = HeaderMap::new();
        headers.insert(name, HeaderValue::from_str(value).unwrap());
        headers
    }

    #[test]
    fn a_cookie_is_found_among_others_by_its_whole_name() {
        let of = |text| cookie(&headers("cookie", text), TOKEN).map(ToOwned::to_owned);
        assert_eq!(of("a=1; plinth_token=anna.ab; b=2").as_deref(), Some("anna.ab"));
        assert_eq!(of("not_plinth_token=x"), None);
        assert_eq!(of(""), None);
    }

    #[test]
    fn the_language_is_the_chosen_one_or_the_first_that_is_spoken() {
        assert_eq!(language(&HeaderMap::new()), Language::English);
        assert_eq!(language(&headers("accept-language", "fr-CH, de-AT;q=0.9, en;q=0.8")), Language::German);
        let mut both = headers("accept-language", "de");
        both.insert(COOKIE, HeaderValue::from_static("plinth_language=en"));
        assert_eq!(language(&both), Language::English);
    }

    #[test]
    fn a_form_of_another_site_is_told_apart() {
        assert!(from_here(&HeaderMap::new()) && from_here(&headers("sec-fetch-site", "same-origin")));
        assert!(!from_here(&headers("sec-fetch-site", "cross-site")));
        assert!(!from_here(&headers("sec-fetch-site", "same-site")), "another port is another site's");
    }
}
