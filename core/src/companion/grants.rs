//! Whom the lifter opens the record to, how much of it, and until when.
//!
//! The entries that name one account count together, as they do at a host. What is changed here ends with one of them
//! that stands, so that a withdrawal leaves none.

use super::error::CompanionError;
use super::known::all_of;
use super::standing::TRAIN;
use super::{Companion, Moment};
use crate::record::{Edit, EntryId, GrantFields, Kind, Time, View};
use crate::store::StoreError;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// An entry that opens something to an account.
struct Given {
    id: EntryId,
    fields: GrantFields,
}

impl Given {
    /// Of a word other than a guardian's.
    fn words(&self) -> impl Iterator<Item = &String> {
        self.fields.may.iter().flatten().filter(|w| *w != TRAIN)
    }

    /// Whether a guardian's word stands in it as well.
    fn trains(&self) -> bool {
        self.fields.may.iter().flatten().any(|w| w == TRAIN)
    }

    /// When it ended or will end, milliseconds since 1970.
    fn ends_ms(&self) -> i64 {
        let ends = [&self.fields.withdrawn_at, &self.fields.until];
        ends.into_iter().flatten().map(Time::millis).min().unwrap_or(i64::MAX)
    }

    fn stands(&self, now_ms: i64) -> bool {
        self.fields.withdrawn_at.is_none() && self.ends_ms() > now_ms
    }

    /// Ends it. A guardian's word in it is not the lifter's to end.
    fn ended(&self, moment: &Moment) -> Edit {
        let mut fields = GrantFields::default();
        if self.trains() {
            fields.may = Some(vec![TRAIN.to_owned()]);
        } else {
            fields.withdrawn_at = Some(Time::of(moment));
        }
        fields.edit(self.id)
    }
}

/// What is or was opened to one account.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Opened {
    /// The account.
    pub(super) coach: String,
    /// Whether it stands, from now or from a day to come.
    pub(super) stands: bool,
    /// The words of what it allows, also such as this version does not know.
    pub(super) may: BTreeSet<String>,
    /// Since when; open where any entry does not say.
    pub(super) from: Option<Time>,
    /// Until when; open where any entry does not say.
    pub(super) until: Option<Time>,
    /// When it was withdrawn.
    pub(super) withdrawn_at: Option<Time>,
}

impl Opened {
    fn of(coach: &str, given: &[Given], now_ms: i64) -> Option<Self> {
        let mut counting: Vec<&Given> = given.iter().filter(|g| g.stands(now_ms)).collect();
        let stands = !counting.is_empty();
        if !stands {
            counting = given.iter().max_by_key(|g| g.ends_ms()).into_iter().collect();
        }
        let first = &counting.first()?.fields;
        let mut all = Self {
            coach: coach.to_owned(),
            stands,
            may: BTreeSet::new(),
            from: first.from.clone(),
            until: first.until.clone(),
            withdrawn_at: first.withdrawn_at.clone(),
        };
        for g in counting {
            all.may.extend(g.words().cloned());
            let (from, until) = (g.fields.from.clone(), g.fields.until.clone());
            all.from = all.from.zip(from).map(|(a, b)| if b.millis() < a.millis() { b } else { a });
            all.until = all.until.zip(until).map(|(a, b)| if b.millis() > a.millis() { b } else { a });
        }
        Some(all)
    }
}

/// What the lifter grants.
pub(super) struct Grant {
    /// The words of what it allows.
    pub(super) may: Vec<String>,
    /// Until when.
    pub(super) until: Option<Time>,
}

impl Companion {
    /// The entries by the account that they name, oldest first. One that cannot be read counts for nothing at a host.
    fn given(&self) -> Result<BTreeMap<String, Vec<Given>>, StoreError> {
        let mut all: BTreeMap<String, Vec<Given>> = BTreeMap::new();
        for e in all_of(&self.store, &Kind::Grant)?.into_iter().filter(|e| !e.deleted()) {
            let (fields, faults) = GrantFields::read(&e);
            let given = Given { id: e.id, fields };
            let to = given.fields.to.clone().filter(|to| !to.trim().is_empty());
            if let Some(to) = to.filter(|_| faults.is_empty() && given.words().next().is_some()) {
                all.entry(to).or_default().push(given);
            }
        }
        Ok(all)
    }

    /// To whom the record is or was opened, by account.
    pub(super) fn opened(&self, moment: &Moment) -> Result<Vec<Opened>, StoreError> {
        let given = self.given()?;
        Ok(given.iter().filter_map(|(to, all)| Opened::of(to, all, moment.wall_ms)).collect())
    }

    /// Opens the record to an account from now on, or changes what is open to it. An earlier grant is written again, so
    /// that there is one for each account; what only another device has withdrawn stays so.
    ///
    /// # Errors
    /// Those of the store.
    pub(super) fn open_to(
        &mut self,
        coach: &str,
        grant: Grant,
        moment: &Moment,
    ) -> Result<(), CompanionError> {
        let all = self.given()?.remove(coach).unwrap_or_default();
        let (standing, over): (Vec<&Given>, Vec<&Given>) = all.iter().partition(|g| g.stands(moment.wall_ms));
        let of_lifter = |g: &&&Given| !g.trains();
        let changed = standing.iter().rfind(of_lifter).copied();
        let Grant { may, until } = grant;
        let written = |may: Vec<String>| GrantFields { may: Some(may), ..GrantFields::default() };
        let mut edits: Vec<Edit> = standing
            .iter()
            .filter(|g| changed.is_none_or(|c| c.id != g.id))
            .map(|g| g.ended(moment))
            .collect();
        let until_value = until.as_ref().map_or(Value::Null, |t| t.to_string().into());
        if let Some(there) = changed {
            let mut edit = GrantFields::default().edit(there.id);
            if there.fields.may.as_ref() != Some(&may) {
                edit.fields.extend(written(may).edit(there.id).fields);
            }
            if there.fields.until != until {
                edit.fields.insert("until".to_owned(), until_value);
            }
            if !edit.fields.is_empty() {
                edits.push(edit);
            }
        } else {
            let again = over.iter().rfind(of_lifter).map(|g| g.id);
            let fields =
                GrantFields { to: Some(coach.to_owned()), from: Some(Time::of(moment)), ..written(may) };
            let mut edit = fields.edit(again.map_or_else(|| self.id(moment), Ok)?);
            if again.is_some() {
                edit.fields.insert("withdrawn_at".to_owned(), Value::Null);
            }
            if again.is_some() || until.is_some() {
                edit.fields.insert("until".to_owned(), until_value);
            }
            edits.push(edit);
        }
        if edits.is_empty() { Ok(()) } else { self.edit(&edits, moment) }
    }

    /// Withdraws everything that is open to an account.
    ///
    /// # Errors
    /// Those of the store.
    pub(super) fn close_to(&mut self, coach: &str, moment: &Moment) -> Result<(), CompanionError> {
        let all = self.given()?.remove(coach).unwrap_or_default();
        let edits: Vec<Edit> =
            all.iter().filter(|g| g.stands(moment.wall_ms)).map(|g| g.ended(moment)).collect();
        if edits.is_empty() { Ok(()) } else { self.edit(&edits, moment) }
    }
}
