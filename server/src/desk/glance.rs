//! What the list says of each lifter, kept until something of theirs changes, so that a list of hundreds holds no
//! hundreds of records in memory and reads none of them twice.

use super::order::Reason;
use super::reading::Seen;
use crate::host::account::AccountId;
use crate::host::grant::Standing;
use chrono::NaiveDate;
use plinth_core::words::Language;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Mutex, PoisonError};

/// Glances that are kept, some hundred bytes each; the one that was looked at the longest ago goes first.
const MOST: usize = 10_000;

/// What a glance rests on: while it is the same, so is the glance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Basis {
    /// What is granted.
    pub(super) may: Standing,
    /// The state of the store.
    pub(super) epoch: String,
    /// The number of the account's last change.
    pub(super) number: u64,
    /// The last day on which a device was heard.
    pub(super) heard: Option<NaiveDate>,
    /// What runs out and what is new depends on the day.
    pub(super) today: NaiveDate,
    /// In which language it is told.
    pub(super) language: Language,
}

/// What the list says of a lifter.
#[derive(Debug, Clone)]
pub(super) struct Glance {
    /// The account.
    pub(super) account: AccountId,
    /// What they call themselves, or the account's name.
    pub(super) name: String,
    /// What is granted.
    pub(super) may: Standing,
    /// The last day on which a device was heard.
    pub(super) heard: Option<NaiveDate>,
    /// Why they repay a look, the weightiest first.
    pub(super) told: Vec<String>,
    /// The weightiest reason, then all of them.
    pub(super) weight: (u32, u32),
}

impl Glance {
    pub(super) fn of(seen: &Seen, told: Vec<String>) -> Self {
        let all = seen.reasons.iter().map(Reason::weight);
        Self {
            account: seen.account.clone(),
            name: seen.name.clone(),
            may: seen.may.clone(),
            heard: seen.heard,
            told,
            weight: (all.clone().max().unwrap_or(0), all.sum()),
        }
    }
}

/// By coach and lifter.
pub(super) type Key = (AccountId, AccountId);

struct Kept {
    looked_ms: i64,
    basis: Basis,
    glance: Arc<Glance>,
}

/// The glances of every coach, and for whom records are read on behind a page.
#[derive(Default)]
pub(super) struct Glances {
    kept: Mutex<HashMap<Key, Kept>>,
    behind: Mutex<HashSet<AccountId>>,
}

impl Glances {
    /// The glance at a lifter, where it still rests on the same.
    pub(super) fn get(&self, key: &Key, basis: &Basis, now_ms: i64) -> Option<Arc<Glance>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let kept = kept.get_mut(key)?;
        kept.looked_ms = now_ms;
        (kept.basis == *basis).then(|| Arc::clone(&kept.glance))
    }

    pub(super) fn keep(&self, key: Key, basis: Basis, glance: Arc<Glance>, now_ms: i64) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST && !kept.contains_key(&key) {
            let oldest = kept.iter().min_by_key(|(_, k)| k.looked_ms).map(|(key, _)| key.clone());
            oldest.map(|oldest| kept.remove(&oldest));
        }
        kept.insert(key, Kept { looked_ms: now_ms, basis, glance });
    }

    /// Lets go of a lifter: the grant is gone.
    pub(super) fn forget(&self, key: &Key) {
        self.kept.lock().unwrap_or_else(PoisonError::into_inner).remove(key);
    }

    /// A turn at reading on behind a coach's page, where nobody has it.
    pub(super) fn behind(self: &Arc<Self>, coach: &AccountId) -> Option<Behind> {
        let fresh = self.behind.lock().unwrap_or_else(PoisonError::into_inner).insert(coach.clone());
        fresh.then(|| Behind { of: Arc::clone(self), coach: coach.clone() })
    }
}

/// A turn at reading on behind a coach's page; it ends when it is let go.
pub(super) struct Behind {
    of: Arc<Glances>,
    coach: AccountId,
}

impl Drop for Behind {
    fn drop(&mut self) {
        self.of.behind.lock().unwrap_or_else(PoisonError::into_inner).remove(&self.coach);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn basis(number: u64) -> Basis {
        Basis {
            may: Standing::default(),
            epoch: "e".into(),
            number,
            heard: None,
            today: NaiveDate::default(),
            language: Language::English,
        }
    }

    fn key(n: usize) -> Key {
        ("mara".parse().unwrap(), format!("l{n}").parse().unwrap())
    }

    fn glance(n: usize) -> Arc<Glance> {
        let (_, account) = key(n);
        let name = account.to_string();
        let may = Standing::default();
        Arc::new(Glance { account, name, may, heard: None, told: Vec::new(), weight: (0, 0) })
    }

    #[test]
    fn a_glance_counts_while_nothing_changed_and_no_more_are_kept_than_may() {
        let glances = Glances::default();
        for n in 0..MOST {
            glances.keep(key(n), basis(1), glance(n), 10);
        }
        assert!(glances.get(&key(0), &basis(1), 20).is_some());
        assert!(glances.get(&key(0), &basis(2), 30).is_none(), "something came since");
        glances.keep(key(MOST), basis(1), glance(MOST), 40);
        assert_eq!(glances.kept.lock().unwrap().len(), MOST);
        assert!(glances.get(&key(0), &basis(1), 50).is_some(), "it was looked at");
        glances.forget(&key(0));
        assert!(glances.get(&key(0), &basis(1), 60).is_none());
    }

    #[test]
    fn one_reads_on_behind_a_coachs_page_at_a_time() {
        let glances = Arc::new(Glances::default());
        let mara = "mara".parse().unwrap();
        let turn = glances.behind(&mara);
        assert!(turn.is_some() && glances.behind(&mara).is_none());
        assert!(glances.behind(&"nils".parse().unwrap()).is_some());
        drop(turn);
        assert!(glances.behind(&mara).is_some());
    }
}
