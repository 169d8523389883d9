//! Signing in by a one-time code, signing out here or everywhere, and the language.

use super::look::{self, Place, framed};
use super::visit::{Sent, Visit, from_here, language};
use super::{Desk, shelf};
use crate::host::account::{Role, random_hex};
use crate::host::door::Peer;
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use crate::host::token::no_random;
use axum::extract::{Extension, Form, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use plinth_core::sync::PairRequest;
use plinth_core::words::{Language, Speech};
use serde::Deserialize;
use std::sync::Arc;

/// What a browser's program is called in the list of devices, before the version.
const APP: &str = "desk ";

fn form(s: &Speech, code: &str, wrong: Option<&str>) -> Markup {
    html! {
        p { (s.say("desk-sign-in-about", &[])) }
        form.column method="post" action="/desk/sign-in" {
            @if let Some(wrong) = wrong { p.wrong role="alert" #wrong { (wrong) } }
            label for="code" { (s.say("desk-code", &[])) }
            input #code name="code" value=(code) required autocomplete="one-time-code" autocapitalize="characters" spellcheck="false"
                maxlength="20" autofocus aria-describedby=[wrong.map(|_| "wrong")];
            label for="name" { (s.say("desk-browser", &[])) }
            input #name name="name" required maxlength="60" value=(s.say("desk-browser-plain", &[]));
            button.act { (s.say("desk-sign-in", &[])) }
        }
    }
}

impl<S> Desk<S> {
    /// The page, with a code that was brought along and with what was wrong.
    fn sign_in_page(&self, s: &Speech, status: StatusCode, code: &str, wrong: Option<&str>) -> Response {
        let title = s.say("desk-sign-in", &[]);
        framed(s, self.keeping.invented, status, &title, &html! {}, &form(s, code, wrong))
    }
}

#[derive(Deserialize)]
pub(super) struct Brought {
    /// A code that whoever opened the page has already: one press signs in with it.
    #[serde(default)]
    code: String,
}

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Query(Brought { code }): Query<Brought>,
    headers: HeaderMap,
) -> Response {
    desk.sign_in_page(&shelf::speech(language(&headers)), StatusCode::OK, &code, None)
}

#[derive(Deserialize)]
pub(super) struct SignIn {
    code: String,
    name: String,
}

/// Pairs the browser as a device of the coach whose code it is.
pub(super) async fn sign_in<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    Form(given): Form<SignIn>,
) -> Response {
    let s = shelf::speech(language(&headers));
    if !from_here(&headers) {
        return desk.sign_in_page(&s, StatusCode::FORBIDDEN, "", None);
    }
    match pair(&desk, peer, given).await {
        Ok(token) => {
            let mut response = Redirect::to("/desk/lifters").into_response();
            desk.keep_token(&mut response, &token);
            response
        }
        Err(fault) => {
            let status =
                StatusCode::from_u16(fault.fails.status()).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
            let why = match fault.fails {
                Fails::TooOften => s.say("desk-too-often", &[]),
                _ if fault.said.code == "role" => s.say("desk-not-a-coach", &[]),
                Fails::Forbidden if fault.said.code == "code" => s.say("desk-wrong-code", &[]),
                _ => look::told(&s, &fault),
            };
            desk.sign_in_page(&s, status, "", Some(&why))
        }
    }
}

async fn pair<S: Store>(desk: &Desk<S>, peer: Peer, given: SignIn) -> Result<String, Fault> {
    let device = random_hex::<8>().and_then(|digits| digits.parse().ok()).ok_or_else(no_random)?;
    let app = format!("{APP}{}", env!("CARGO_PKG_VERSION"));
    let request = PairRequest { code: given.code, device, name: given.name, app };
    let paired = desk.host.pair_as(peer.address, &request, &[Role::Coach, Role::Host]).await?;
    Ok(paired.token)
}

#[derive(Deserialize)]
pub(super) struct SignOut {
    everywhere: Option<String>,
}

/// Ends this browser's visit, or that of every browser of the coach's.
pub(super) async fn sign_out<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(sent): Sent<SignOut>,
) -> Response {
    let id = &visit.caller.account.id;
    let ended = async {
        let all = sent.everywhere.is_some();
        for device in desk.host.store.devices(id).await? {
            let this = device.key == visit.caller.device.key;
            if device.revoked_ms.is_none() && (this || all && device.app.starts_with(APP)) {
                desk.host.revoke(id, &device.key, id).await?;
            }
        }
        Ok::<(), Fault>(())
    };
    if let Err(fault) = ended.await {
        return look::fault(&visit, Place::House, &fault);
    }
    let mut response = Redirect::to("/desk/sign-in").into_response();
    desk.keep_token(&mut response, "");
    response
}

#[derive(Deserialize)]
pub(super) struct Spoken {
    language: Language,
}

/// Has the desk speak another language.
pub(super) async fn choose_language<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Form(Spoken { language }): Form<Spoken>,
) -> Response {
    let mut response = Redirect::to("/desk/lifters").into_response();
    desk.keep_language(&mut response, language);
    response
}
