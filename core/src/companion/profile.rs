//! What the record keeps of the lifter as a person, and a guardian's grant for a minor.

use super::error::CompanionError;
use super::known::all_of;
use super::standing::TRAIN;
use super::{Companion, Moment};
use crate::record::{Edit, Entry, EntryId, GrantFields, Kind, LifterFields, Time, View};
use crate::safety::{LONGEST_NAME, Standing};
use serde_json::Value;
use std::collections::BTreeMap;

impl Companion {
    /// What the record holds of the lifter: of each field the newest.
    ///
    /// # Errors
    /// Those of the store.
    pub fn lifter(&self) -> Result<LifterFields, CompanionError> {
        let mut out = LifterFields::default();
        for e in self.lifters()? {
            let f = LifterFields::read(&e).0;
            out.name = f.name.or(out.name);
            out.born_on = f.born_on.or(out.born_on);
            out.sex = f.sex.or(out.sex);
            out.guardian = f.guardian.or(out.guardian);
        }
        Ok(out)
    }

    fn lifters(&self) -> Result<Vec<Entry>, CompanionError> {
        Ok(all_of(&self.store, &Kind::Lifter)?.into_iter().filter(|e| !e.deleted()).collect())
    }

    /// Keeps a field of the lifter's, by its name in the record; `null` takes it away.
    ///
    /// # Errors
    /// A field that there is not or that does not hold this; a day of birth that cannot be; those of the store.
    pub fn tell_lifter(&mut self, field: &str, value: &Value, moment: &Moment) -> Result<(), CompanionError> {
        if !LifterFields::NAMES.contains(&field) || field == "deleted" {
            let remedy = "use name, born_on, sex or guardian";
            return Err(CompanionError::input("lifter", field, "the record has no such field", remedy));
        }
        let today = moment.local().date_naive();
        if field == "born_on" {
            let born_on = value.as_str().and_then(|d| d.parse().ok());
            let told = Standing { born_on, ..Standing::default() };
            let faults = told.faults(&self.known.catalogue, today);
            if !faults.is_empty() {
                return Err(faults.into());
            }
        }
        let edit = |id: EntryId| Edit {
            id,
            kind: Kind::Lifter,
            fields: BTreeMap::from([(field.to_owned(), value.clone())]),
        };
        let there: Vec<EntryId> = self.lifters()?.iter().map(|e| e.id).collect();
        // What is taken away is taken from every entry: none of an older device may shine through.
        let edits: Vec<Edit> = match there.last() {
            _ if value.is_null() => there.into_iter().map(edit).collect(),
            Some(last) => vec![edit(*last)],
            None => vec![edit(self.id(moment)?)],
        };
        if edits.is_empty() { Ok(()) } else { self.edit(&edits, moment) }
    }

    /// Keeps a guardian's grant for a minor to train here, from now on.
    ///
    /// # Errors
    /// No name, or one that is too long; those of the store.
    pub fn give_guardian_grant(&mut self, by: &str, moment: &Moment) -> Result<EntryId, CompanionError> {
        if by.trim().is_empty() || by.chars().count() > LONGEST_NAME {
            let remedy = format!("write the guardian's name in 1 to {LONGEST_NAME} characters");
            return Err(CompanionError::input("grant", "guardian", "it is no name", &remedy));
        }
        let id = self.id(moment)?;
        let fields = GrantFields {
            to: Some(by.trim().to_owned()),
            may: Some(vec![TRAIN.to_owned()]),
            from: Some(Time::of(moment)),
            ..GrantFields::default()
        };
        self.edit(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Withdraws every guardian's grant.
    ///
    /// # Errors
    /// Those of the store.
    pub fn withdraw_guardian_grant(&mut self, moment: &Moment) -> Result<(), CompanionError> {
        let trains = |f: &GrantFields| f.may.iter().flatten().any(|w| w == TRAIN) && f.withdrawn_at.is_none();
        let edits: Vec<Edit> = all_of(&self.store, &Kind::Grant)?
            .into_iter()
            .filter(|e| !e.deleted() && trains(&GrantFields::read(e).0))
            .map(|e| {
                GrantFields { withdrawn_at: Some(Time::of(moment)), ..GrantFields::default() }.edit(e.id)
            })
            .collect();
        if edits.is_empty() { Ok(()) } else { self.edit(&edits, moment) }
    }
}
