//! Pairing, tokens, devices, and what was done with an account.

use super::super::Host;
use super::super::account::PairedDevice;
use super::super::audit::AuditLine;
use super::super::fault::{Fails, Fault};
use super::super::store::Store;
use super::super::token::Caller;
use super::reply::{Reply, document};
use super::{Peer, body};
use axum::Extension;
use axum::body::Body;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// The longest body that pairs.
const PAIR_BYTES: u64 = 4096;
/// Lines of the audit at once.
const LINES: u32 = 200;

pub(super) async fn pair<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Reply {
    let _turn = host.turn().await?;
    let request = body::read(&headers, body, PAIR_BYTES).await?;
    Ok(document(&host.pair(peer.address, &request).await?))
}

/// A token, told once.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Renewed {
    /// It.
    pub token: String,
}

pub(super) async fn renew<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
) -> Reply {
    Ok(document(&Renewed { token: host.renew(&caller).await? }))
}

/// A device of the account, as it is listed.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct ListedDevice {
    /// Its key: what revokes it.
    pub key: String,
    /// What it is called.
    pub name: String,
    /// The version of its program at pairing.
    pub app: String,
    /// When it was paired, milliseconds since 1970.
    pub paired_ms: i64,
    /// When it was last heard, to the hour.
    pub seen_ms: i64,
    /// When it was revoked.
    pub revoked_ms: Option<i64>,
    /// Whether it is the one that asks.
    pub this: bool,
}

impl ListedDevice {
    /// As it is listed for the device with a key.
    pub(super) fn of(device: PairedDevice, asks: &str) -> Self {
        let this = device.key == asks;
        let PairedDevice { key, name, app, paired_ms, seen_ms, revoked_ms, .. } = device;
        Self { key, name, app, paired_ms, seen_ms, revoked_ms, this }
    }
}

/// The account's devices.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Devices {
    /// By key.
    pub devices: Vec<ListedDevice>,
}

pub(super) async fn devices<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
) -> Reply {
    let devices = host.store.devices(&caller.account.id).await?;
    let devices = devices.into_iter().map(|d| ListedDevice::of(d, &caller.device.key)).collect();
    Ok(document(&Devices { devices }))
}

pub(super) async fn revoke<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
    key: Result<Path<String>, axum::extract::rejection::PathRejection>,
) -> Reply {
    let Path(key) = key.map_err(|_| Fault::missing())?;
    let id = &caller.account.id;
    host.revoke(id, &key, id).await?;
    devices(State(host), Extension(caller)).await
}

/// Where a list goes on.
#[derive(Debug, Default, Deserialize)]
pub(super) struct After {
    /// After this number.
    #[serde(default)]
    pub after: u64,
}

/// What a query that cannot be read is answered with.
pub(super) fn query<T>(
    query: Result<Query<T>, axum::extract::rejection::QueryRejection>,
) -> Result<T, Fault> {
    query.map(|Query(q)| q).map_err(|_| {
        let remedy = "give after as a whole number, as the answer before said it";
        Fault::new(Fails::Asked, "query", "the query cannot be read", remedy).at("after")
    })
}

/// Lines of what was done.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Audit {
    /// Oldest first.
    pub lines: Vec<AuditLine>,
    /// Whether there are more.
    pub more: bool,
}

pub(super) async fn audit<S: Store>(
    State(host): State<Arc<Host<S>>>,
    Extension(caller): Extension<Caller>,
    after: Result<Query<After>, axum::extract::rejection::QueryRejection>,
) -> Reply {
    let After { after } = query(after)?;
    let mut lines = host.store.audit(&caller.account.id, after, LINES + 1).await?;
    let more = lines.len() > LINES as usize;
    lines.truncate(LINES as usize);
    Ok(document(&Audit { lines, more }))
}
