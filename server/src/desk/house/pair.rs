//! Invitations: a line and a picture of it that pair one device, once, within ten minutes.

use super::super::Desk;
use super::super::look::{self, Place};
use super::super::visit::{Sent, Visit};
use crate::host::account::{AccountId, Role};
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use crate::qr::Qr;
use axum::extract::{Extension, State};
use axum::response::Response;
use maud::{Markup, PreEscaped, html};
use plinth_core::sync::Invitation;
use plinth_core::words::Speech;
use serde::Deserialize;
use serde::de::IgnoredAny;
use std::sync::Arc;

#[derive(Deserialize)]
pub(super) struct Wanted {
    account: String,
    role: String,
}

/// A code for another device of who asks.
pub(super) async fn own<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(_): Sent<IgnoredAny>,
) -> Response {
    let account = visit.caller.account.clone();
    answer(&desk, &visit, Ok((account.id, account.role))).await
}

/// A code for any account, which is made where it is not there. For the keeper alone.
pub(super) async fn account<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(given): Sent<Wanted>,
) -> Response {
    if visit.caller.account.role != Role::Host {
        return look::fault(&visit, Place::House, &Fault::missing());
    }
    let wrong = |field: &str, why: &str| Fault::new(Fails::Asked, field, why, "write it anew").at(field);
    let wanted = given.account.trim().parse::<AccountId>().map_err(|e| wrong("account", e));
    let wanted = wanted.and_then(|a| Ok((a, given.role.parse::<Role>().map_err(|e| wrong("role", e))?)));
    answer(&desk, &visit, wanted).await
}

async fn answer<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    wanted: Result<(AccountId, Role), Fault>,
) -> Response {
    let made = async {
        let (account, role) = wanted?;
        let house = &desk.host.house;
        let code = desk.host.offer(&account, role).await?;
        let certificate = house.certificate.as_deref().unwrap_or_default();
        let invitation = Invitation::new(&house.address, certificate, &code)
            .map_err(|f| Fault::new(Fails::Asked, f.field(), f.to_string(), f.remedy()).at("--public"))?;
        shown(&visit.speech, &account, &invitation)
    };
    match made.await {
        Ok(main) => look::page(visit, Place::House, &visit.speech.say("desk-pair", &[]), &main),
        Err(fault) => look::fault(visit, Place::House, &fault),
    }
}

fn shown(s: &Speech, account: &AccountId, invitation: &Invitation) -> Result<Markup, Fault> {
    let line = invitation.to_string();
    let title = s.say("desk-pair-picture", &[("account", account.as_str().into())]);
    let picture = Qr::of(&line).map_err(std::io::Error::other)?.svg(&title);
    Ok(html! {
        p { (s.say("desk-pair-about", &[("account", account.as_str().into())])) }
        div.pictures { figure { (PreEscaped(picture)) figcaption { (title) } } }
        dl {
            dt { (s.say("desk-pair-line", &[])) }
            dd { code { (line) } }
            dt { (s.say("desk-code", &[])) }
            dd { code { (invitation.code) } }
            dt { (s.say("desk-pair-address", &[])) }
            dd { code { (invitation.address) } }
        }
        p { a href="/desk/house" { (s.say("desk-pair-back", &[])) } }
    })
}
