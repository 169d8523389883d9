//! What a coach reads and writes of lifters who grant it. Every look and every try is noted where the lifter reads it.

use super::super::Host;
use super::super::account::{AccountId, Role};
use super::super::fault::{Fails, Fault};
use super::super::grant::{Standing, granted, note_reading, standing_of};
use super::super::store::{Kept, Store};
use super::super::taking;
use super::super::token::Caller;
use super::body;
use super::people::{After, query};
use super::reply::{Reply, document};
use axum::Extension;
use axum::body::Body;
use axum::extract::rejection::{PathRejection, QueryRejection};
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use plinth_core::sync::RefusedEntry;
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use std::sync::Arc;

/// Lifters that are listed.
const LISTED: u32 = 500;

/// A lifter who grants something.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Granting {
    /// The account.
    pub account: AccountId,
    /// What is granted.
    pub may: Standing,
}

/// Lifters who grant something.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Lifters {
    /// By name.
    pub lifters: Vec<Granting>,
}

fn coach(caller: &Caller) -> Result<&AccountId, Fault> {
    if caller.account.role == Role::Coach {
        return Ok(&caller.account.id);
    }
    Err(Fault::new(Fails::Forbidden, "role", "only a coach reads others' records", "pair as a coach"))
}

pub(super) async fn lifters<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
) -> Reply {
    let coach = coach(&caller)?;
    let mut lifters = Vec::new();
    for account in host.store.named_by(coach, None, LISTED).await? {
        let may = standing_of(&host.store, &account, coach, host.now_ms()).await?;
        if !may.is_nothing() {
            lifters.push(Granting { account, may });
        }
    }
    Ok(document(&Lifters { lifters }))
}

/// What a coach may do with a lifter; a lifter who grants nothing is as one who is not there.
async fn asked_for<S: Store>(
    host: &Host<S>,
    caller: &Caller,
    account: Result<Path<String>, PathRejection>,
) -> Result<(AccountId, Standing), Fault> {
    let coach = coach(caller)?;
    let nothing = || {
        Fault::new(
            Fails::Missing,
            "not_granted",
            "no grant of such a lifter stands",
            "ask the lifter for one",
        )
    };
    let account: AccountId = account.ok().and_then(|Path(a)| a.parse().ok()).ok_or_else(nothing)?;
    let standing = granted(&host.store, &account, coach, host.now_ms()).await?.ok_or_else(nothing)?;
    Ok((account, standing))
}

/// A part of a lifter's record.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Seen {
    /// The state of the store: where it differs from the time before, the record is read from the beginning again.
    pub epoch: String,
    /// What is granted now: where it differs from the time before, the record is read from the beginning again.
    pub may: Standing,
    /// Entries, oldest number first, with the fields that are granted.
    pub entries: Vec<Box<RawValue>>,
    /// What to ask after next.
    pub cursor: u64,
    /// Whether there is more.
    pub more: bool,
}

pub(super) async fn record<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
    account: Result<Path<String>, PathRejection>,
    after: Result<Query<After>, QueryRejection>,
) -> Reply {
    let After { after } = query(after)?;
    let (lifter, may) = asked_for(&host, &caller, account).await?;
    let coach = coach(&caller)?;
    note_reading(&host.store, &lifter, coach, &may, host.now_ms()).await?;
    let _turn = host.turn().await?;
    let page = host.store.after(&lifter, after, None, host.limits.entries, host.limits.body_bytes).await?;
    let held = page.entries.into_iter().filter_map(Kept::held);
    let seen = held.filter_map(|held| may.seen(coach, &held));
    let entries = seen.filter_map(|e| RawValue::from_string(e.text()).ok()).collect();
    let epoch = host.house.epoch.clone();
    Ok(document(&Seen { epoch, may, entries, cursor: page.up_to, more: page.more }))
}

/// What a coach writes.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Writing {
    /// Entries: programmes and notes.
    pub push: Vec<Box<RawValue>>,
}

/// What became of it.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Written {
    /// Positions of what was taken.
    pub took: Vec<u32>,
    /// What was not.
    pub refused: Vec<RefusedEntry>,
}

pub(super) async fn write<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
    account: Result<Path<String>, PathRejection>,
    headers: HeaderMap,
    body: Body,
) -> Reply {
    let (lifter, may) = asked_for(&host, &caller, account).await?;
    let coach = coach(&caller)?;
    let _turn = host.turn().await?;
    let writing: Writing = body::read(&headers, body, host.limits.body_bytes).await?;
    if writing.push.len() > host.limits.entries as usize {
        let reason = format!("{} at once; the server takes {}", writing.push.len(), host.limits.entries);
        return Err(Fault::new(Fails::TooLong, "too_many", reason, "send fewer at once").at("push"));
    }
    let pushed = taking::read(&writing.push, host.most_ms());
    let put = host.put_as_coach(&lifter, coach, &may, &pushed).await?;
    Ok(document(&Written { took: put.took, refused: put.refused }))
}
