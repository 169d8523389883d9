//! The house as its keeper has it: every account by name, never what one holds.

use super::super::Desk;
use super::super::look::{self, Place, proof};
use super::super::visit::{Sent, Visit};
use super::{day, devices, newest, trail};
use crate::host::account::{Account, AccountId, Role};
use crate::host::backups;
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use axum::extract::{Extension, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use plinth_core::words::Speech;
use serde::Deserialize;
use serde::de::IgnoredAny;
use std::io;
use std::sync::Arc;

/// Accounts on a page.
const STEP: u32 = 100;
/// The roles that an account is made with.
const ROLES: [(Role, &str); 3] =
    [(Role::Lifter, "desk-role-lifter"), (Role::Coach, "desk-role-coach"), (Role::Host, "desk-role-host")];

fn role(s: &Speech, role: Role) -> String {
    let key = ROLES.iter().find(|(r, _)| *r == role).map_or("desk-role-lifter", |(_, key)| key);
    s.say(key, &[])
}

fn keeper(visit: &Visit) -> Result<(), Fault> {
    if visit.caller.account.role == Role::Host { Ok(()) } else { Err(Fault::missing()) }
}

#[derive(Deserialize, Default)]
pub(super) struct After {
    #[serde(default)]
    after: String,
}

pub(super) async fn main<S: Store>(desk: &Desk<S>, visit: &Visit, after: &After) -> Result<Markup, Fault> {
    let s = &*visit.speech;
    let accounts: Vec<Account> = desk.host.store.accounts(after.after.parse().ok(), STEP).await?;
    let more = (accounts.len() >= STEP as usize).then(|| accounts.last().map(|a| a.id.clone())).flatten();
    let mut rows = Vec::new();
    for account in accounts {
        let devices = desk.host.store.devices(&account.id).await?;
        let count = devices.iter().filter(|d| d.revoked_ms.is_none()).count();
        let heard = devices.iter().map(|d| d.seen_ms).max();
        rows.push((account, count, heard));
    }
    let copies = copies(desk).await?;
    Ok(html! {
        p { (s.say("desk-keeper-about", &[])) }
        section aria-labelledby="new" {
            h2 #new { (s.say("desk-account-new", &[])) }
            p { (s.say("desk-account-new-about", &[])) }
            form.column method="post" action="/desk/house/accounts" {
                (proof(visit))
                label for="account" { (s.say("desk-account-name", &[])) }
                input #account name="account" required maxlength="40" autocapitalize="none" spellcheck="false"
                    pattern="[a-z0-9](?:[a-z0-9\\-]*[a-z0-9])?";
                label for="role" { (s.say("desk-account-role", &[])) }
                select #role name="role" {
                    @for (r, key) in ROLES { option value=(r.name()) { (s.say(key, &[])) } }
                }
                button.act { (s.say("desk-account-pair", &[])) }
            }
        }
        section aria-labelledby="accounts" {
            h2 #accounts { (s.say("desk-accounts", &[])) }
            (look::wide(&s.say("desk-accounts", &[]), &html! {
                table {
                    thead { tr {
                        @for key in ["desk-account", "desk-account-role", "desk-devices", "desk-device-heard"] {
                            th scope="col" { (s.say(key, &[])) }
                        }
                    } }
                    tbody {
                        @for (account, count, heard) in &rows {
                            tr {
                                th scope="row" { a href={ "/desk/house/accounts/" (account.id) } { (account.id) } }
                                td { (role(s, account.role)) }
                                td.n { (count) }
                                td { @if let Some(ms) = heard { (s.date_with_year(day(*ms))) } }
                            }
                        }
                    }
                }
            }))
            @if let Some(last) = more {
                p { a href={ "/desk/house?after=" (last) } { (s.say("desk-accounts-more", &[])) } }
            }
        }
        section aria-labelledby="backups" {
            h2 #backups { (s.say("desk-backups", &[])) }
            @match &copies {
                None => p { (s.say("desk-backups-nowhere", &[])) },
                Some(days) => {
                    p { (s.say("desk-backups-are", &[("n", days.len().into())])) }
                    ul { @for at in days { li { (s.date_with_year(day(*at))) } } }
                    form method="post" action="/desk/house/backup" {
                        (proof(visit))
                        button { (s.say("desk-backup-now", &[])) }
                    }
                }
            }
            p { (s.say("desk-restore-about", &[])) }
            pre { code { "plinth host restore " (desk.keeping.store.file_name().unwrap_or_default().to_string_lossy()) " FILE" } }
        }
    })
}

/// The days of the backups that are there, the newest first; nothing where the host makes none.
async fn copies<S: Store>(desk: &Desk<S>) -> Result<Option<Vec<i64>>, Fault> {
    let Some(folder) = desk.keeping.backups.clone() else { return Ok(None) };
    let store = desk.keeping.store.clone();
    let listed = tokio::task::spawn_blocking(move || backups::listed(&store, &folder));
    let listed = listed.await.map_err(io::Error::other)??;
    Ok(Some(listed.into_keys().rev().collect()))
}

pub(super) async fn backup<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Sent(_): Sent<IgnoredAny>,
) -> Response {
    let made = async {
        keeper(&visit)?;
        let folder = desk.keeping.backups.clone().ok_or_else(Fault::missing)?;
        let (store, now_ms) = (desk.keeping.store.clone(), desk.host.now_ms());
        let made = tokio::task::spawn_blocking(move || backups::make(&store, &folder, now_ms)).await;
        let made = made.map_err(io::Error::other)?;
        made.map_err(|e| {
            Fault::new(Fails::Broken, "backup", e.to_string(), "look after the folder of the backups")
        })
    };
    match made.await {
        Ok(_) => Redirect::to("/desk/house#backups").into_response(),
        Err(fault) => look::fault(&visit, Place::House, &fault),
    }
}

pub(super) async fn account<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(account): Path<String>,
) -> Response {
    let s = &*visit.speech;
    let made = async {
        keeper(&visit)?;
        let id: AccountId = account.parse().map_err(|_| Fault::missing())?;
        let there = desk.host.store.account(&id).await?.ok_or_else(Fault::missing)?;
        let all = desk.host.store.devices(&id).await?;
        let lines = newest(&desk, &id).await?;
        Ok::<_, Fault>(html! {
            p { (role(s, there.role)) }
            form method="post" action="/desk/house/accounts" {
                (proof(&visit))
                input type="hidden" name="account" value=(id);
                input type="hidden" name="role" value=(there.role.name());
                button { (s.say("desk-account-pair", &[])) }
            }
            (devices(s, &visit, &id, all))
            h2 { (s.say("desk-trail-head", &[])) }
            (trail(s, lines))
            section aria-labelledby="erase" {
                h2 #erase { (s.say("desk-erase", &[])) }
                p { (s.say("desk-erase-about", &[])) }
                form.column method="post" action={ "/desk/house/accounts/" (id) "/erase" } {
                    (proof(&visit))
                    label for="again" { (s.say("desk-erase-again", &[("account", id.as_str().into())])) }
                    input #again name="again" required autocomplete="off" autocapitalize="none" spellcheck="false";
                    button { (s.say("desk-erase-do", &[("account", id.as_str().into())])) }
                }
            }
        })
    };
    match made.await {
        Ok(main) => look::page(&visit, Place::House, &account, &main),
        Err(fault) => look::fault(&visit, Place::House, &fault),
    }
}

#[derive(Deserialize)]
pub(super) struct Erasing {
    again: String,
}

pub(super) async fn erase<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(account): Path<String>,
    Sent(given): Sent<Erasing>,
) -> Response {
    let erased = async {
        keeper(&visit)?;
        let id: AccountId = account.parse().map_err(|_| Fault::missing())?;
        if given.again.trim() != id.as_str() {
            let remedy = "write the name of the account, exactly";
            return Err(Fault::new(
                Fails::Asked,
                "again",
                "that is another name; nothing was erased",
                remedy,
            )
            .at("again"));
        }
        if id == visit.caller.account.id {
            let remedy = "use `plinth host erase` at the machine";
            return Err(Fault::new(Fails::Asked, "own", "that is your own account", remedy).at("again"));
        }
        desk.host.erase(&id).await
    };
    match erased.await {
        Ok(()) => Redirect::to("/desk/house").into_response(),
        Err(fault) => look::fault(&visit, Place::House, &fault),
    }
}
