//! What a coach's grants show of lifters: records in memory, brought up to date at each look and let go with the grant.

use super::order::{Reason, reasons};
use crate::host::Host;
use crate::host::account::AccountId;
use crate::host::audit::{Deed, Did};
use crate::host::fault::Fault;
use crate::host::grant::{Standing, standing_of};
use crate::host::store::{Kept, Store};
use crate::moment;
use chrono::{DateTime, NaiveDate};
use plinth_core::companion::{Companion, CompanionError, Findings};
use plinth_core::moment::Moment;
use plinth_core::record::{Entry, Kind, LifterFields, View};
use plinth_core::store::system_random;
use plinth_core::words::Language;
use std::collections::HashMap;
use std::io;
use std::sync::{Arc, Mutex, PoisonError};

/// Records that are held at once; the one that was looked at the longest ago goes first.
const MOST: usize = 200;

/// A lifter as a coach may see them now.
#[derive(Debug, Clone)]
pub(super) struct Seen {
    /// The account.
    pub(super) account: AccountId,
    /// What they call themselves, or the account's name.
    pub(super) name: String,
    /// What is granted.
    pub(super) may: Standing,
    /// The last day on which a device of theirs was heard.
    pub(super) heard: Option<NaiveDate>,
    /// What repays a coach's minutes, the weightiest first.
    pub(super) reasons: Vec<Reason>,
    /// What the log adds up to.
    pub(super) findings: Findings,
}

struct Held {
    may: Standing,
    epoch: String,
    cursor: u64,
    companion: Companion,
    looked_ms: i64,
}

type Place = Arc<tokio::sync::Mutex<Option<Held>>>;

/// The records, by coach and lifter.
#[derive(Default)]
pub(super) struct Readings(Mutex<HashMap<(AccountId, AccountId), (i64, Place)>>);

impl Readings {
    fn place(&self, coach: &AccountId, lifter: &AccountId, now_ms: i64) -> Place {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (coach.clone(), lifter.clone());
        if all.len() >= MOST && !all.contains_key(&key) {
            let oldest = all.iter().min_by_key(|(_, (looked, _))| *looked).map(|(key, _)| key.clone());
            oldest.map(|oldest| all.remove(&oldest));
        }
        let (looked, place) = all.entry(key).or_default();
        *looked = now_ms;
        Arc::clone(place)
    }

    fn forget(&self, coach: &AccountId, lifter: &AccountId) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).remove(&(coach.clone(), lifter.clone()));
    }

    /// A lifter as a coach may see them now, for the words of a language; nothing where no grant stands. The look is
    /// noted where the lifter reads it, before anything is shown.
    pub(super) async fn look<S: Store, T: Send + 'static>(
        &self,
        host: &Host<S>,
        coach: &AccountId,
        lifter: &AccountId,
        with: impl FnOnce(&Companion, &Seen) -> T + Send + 'static,
    ) -> Result<Option<T>, Fault> {
        let now_ms = host.now_ms();
        let may = standing_of(&host.store, lifter, coach, now_ms).await?;
        if may.is_nothing() {
            self.forget(coach, lifter);
            if host.store.account(lifter).await?.is_some() {
                host.store.note(lifter, coach, Did { deed: Deed::Refused, what: Vec::new() }, now_ms).await?;
            }
            return Ok(None);
        }
        let what = may.reads.iter().map(|g| g.name().to_owned()).collect();
        host.store.note(lifter, coach, Did { deed: Deed::Read, what }, now_ms).await?;
        let at = Moment { wall_ms: now_ms, ..moment::now() };
        let heard = host.store.devices(lifter).await?.iter().map(|d| d.seen_ms).max();
        let offset = at.offset_min;
        let heard = heard.and_then(|ms| DateTime::from_timestamp_millis(ms + i64::from(offset) * 60_000));
        let heard = heard.map(|t| t.date_naive());

        let place = self.place(coach, lifter, now_ms);
        let mut held = place.lock_owned().await;
        let fits = held.as_ref().is_some_and(|h| h.may == may && h.epoch == host.house.epoch);
        if !fits {
            let at = at.clone();
            let made = off(move || {
                Companion::from_afar(Language::English, &at, Box::new(system_random))
                    .map_err(io::Error::other)
            })
            .await?;
            *held = Some(Held {
                may: may.clone(),
                epoch: host.house.epoch.clone(),
                cursor: 0,
                companion: made,
                looked_ms: now_ms,
            });
        }
        loop {
            let cursor = held.as_ref().map_or(0, |h| h.cursor);
            let page =
                host.store.after(lifter, cursor, None, host.limits.entries, host.limits.body_bytes).await?;
            let (up_to, more) = (page.up_to, page.more);
            let entries = page.entries.into_iter().filter_map(Kept::held);
            let seen: Vec<Entry> = entries.filter_map(|e| may.seen(coach, &e)).collect();
            held = off(move || {
                if let Some(h) = held.as_mut() {
                    h.companion.merge(&seen).map_err(io::Error::other)?;
                    h.cursor = up_to;
                }
                Ok(held)
            })
            .await?;
            if !more {
                break;
            }
        }
        let account = lifter.clone();
        off(move || {
            let Some(h) = held.as_mut() else { return Ok(None) };
            h.looked_ms = now_ms;
            let shown = show(h, account, heard, &at).map_err(io::Error::other)?;
            Ok(Some(with(&h.companion, &shown)))
        })
        .await
        .map_err(Into::into)
    }
}

/// Work that may take its time, off the threads that answer.
async fn off<T: Send + 'static>(work: impl FnOnce() -> io::Result<T> + Send + 'static) -> io::Result<T> {
    tokio::task::spawn_blocking(work).await.map_err(io::Error::other)?
}

fn show(
    held: &mut Held,
    account: AccountId,
    heard: Option<NaiveDate>,
    at: &Moment,
) -> Result<Seen, CompanionError> {
    held.companion.heard_on(heard);
    held.companion.read_again(at)?;
    let findings = held.companion.findings(at)?;
    let lifters = held.companion.store().of_kind(&Kind::Lifter, None, 50)?;
    let name = lifters.iter().filter(|e| !e.deleted()).find_map(|e| LifterFields::read(e).0.name);
    let name = name.filter(|n| !n.trim().is_empty()).unwrap_or_else(|| account.to_string());
    let today = at.local().date_naive();
    let reasons = reasons(&held.companion, &findings, heard, today)?;
    Ok(Seen { account, name, may: held.may.clone(), heard, reasons, findings })
}
