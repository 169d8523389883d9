//! What a coach's grants show of lifters: records in memory, brought up to date at each look and let go with the grant.

use super::order::{Reason, reasons};
use crate::host::Host;
use crate::host::account::AccountId;
use crate::host::fault::Fault;
use crate::host::grant::{Standing, note_reading};
use crate::host::store::{Kept, Store};
use crate::moment;
use chrono::NaiveDate;
use plinth_core::companion::{Companion, CompanionError, Findings};
use plinth_core::moment::Moment;
use plinth_core::record::{Entry, Kind, LifterFields, View};
use plinth_core::store::system_random;
use plinth_core::words::Language;
use std::collections::HashMap;
use std::io;
use std::sync::{Arc, Mutex, PoisonError};

/// Records that are held at once, some 3.6 MiB each with five weeks of a log; the one that was looked at the longest ago
/// goes first. The list of lifters holds none ([`super::glance`]).
const MOST: usize = 12;
/// Entries of a kind that are looked through.
const LOOKED: u32 = 5_000;

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

    /// Lets go of a lifter's record: the grant is gone.
    pub(super) fn forget(&self, coach: &AccountId, lifter: &AccountId) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).remove(&(coach.clone(), lifter.clone()));
    }

    /// Hands a lifter on as a coach may see them now, by a grant that was just found. The look is noted where the lifter
    /// reads it, before anything is shown.
    pub(super) async fn look<S: Store, T: Send + 'static>(
        &self,
        host: &Host<S>,
        coach: &AccountId,
        lifter: &AccountId,
        may: Standing,
        with: impl FnOnce(&Companion, &Seen) -> T + Send + 'static,
    ) -> Result<T, Fault> {
        let now_ms = host.now_ms();
        note_reading(&host.store, lifter, coach, &may, now_ms).await?;
        let at = Moment { wall_ms: now_ms, ..moment::now() };
        let heard = host.store.devices(lifter).await?.iter().map(|d| d.seen_ms).max();
        let heard = heard.map(|wall_ms| Moment { wall_ms, ..at.clone() }.local().date_naive());

        let place = self.place(coach, lifter, now_ms);
        // Taken out while it is worked at: what fails on the way is read anew the next time.
        let mut place = place.lock().await;
        let fits = |h: &Held| h.may == may && h.epoch == host.house.epoch;
        let mut held = if let Some(held) = place.take().filter(fits) {
            held
        } else {
            let at = at.clone();
            let companion = off(move || {
                Companion::from_afar(Language::English, &at, Box::new(system_random))
                    .map_err(io::Error::other)
            })
            .await?;
            Held { may: may.clone(), epoch: host.house.epoch.clone(), cursor: 0, companion }
        };
        loop {
            let page = host
                .store
                .after(lifter, held.cursor, None, host.limits.entries, host.limits.body_bytes)
                .await?;
            let (up_to, more) = (page.up_to, page.more);
            let entries = page.entries.into_iter().filter_map(Kept::held);
            let seen: Vec<Entry> = entries.filter_map(|e| may.seen(coach, &e)).collect();
            held = off(move || {
                held.companion.merge(&seen).map_err(io::Error::other)?;
                held.cursor = up_to;
                Ok(held)
            })
            .await?;
            if !more {
                break;
            }
        }
        let account = lifter.clone();
        let (held, told) = off(move || {
            let shown = show(&mut held, account, heard, &at).map_err(io::Error::other)?;
            let told = with(&held.companion, &shown);
            Ok((held, told))
        })
        .await?;
        *place = Some(held);
        Ok(told)
    }
}

/// Every entry of a kind that was not deleted, of those that are granted.
pub(super) fn living(companion: &Companion, kind: &Kind) -> Result<Vec<Entry>, CompanionError> {
    let all = companion.store().of_kind(kind, None, LOOKED)?;
    Ok(all.into_iter().filter(|e| !e.deleted()).collect())
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
    let name = living(&held.companion, &Kind::Lifter)?.iter().find_map(|e| LifterFields::read(e).0.name);
    let name = name.filter(|n| !n.trim().is_empty()).unwrap_or_else(|| account.to_string());
    let today = at.local().date_naive();
    let reasons = reasons(&held.companion, &findings, heard, today)?;
    Ok(Seen { account, name, may: held.may.clone(), heard, reasons, findings })
}
