//! Programmes that a coach has sent: what each would become for this lifter, taking one on, putting one aside.

use super::error::CompanionError;
use super::programmes::Waiting;
use super::{Companion, Moment, Update};
use crate::page::Spot;
use crate::plan::Planner;
use crate::plan::adapt::Adapted;
use crate::plan::programme::{Programme, read_programme};
use crate::published;
use crate::record::{Date, Document, Edit, EntryId, ProgrammeFields, Time, View};
use chrono::{Days, NaiveDate};
use serde_json::Value;

impl Companion {
    /// The programme that waits in an entry.
    pub(super) fn waiting(&self, entry: EntryId) -> Option<&Waiting> {
        self.known.programmes.waiting.iter().find(|w| w.entry == entry)
    }

    /// A programme as this lifter would do it today.
    pub(super) fn adapt(&self, published: &Programme, moment: &Moment) -> Adapted {
        let (catalogue, _) = self.known.catalogue.learning(&published.own_movements);
        Planner::new(&catalogue, &self.shelf.weights).adapt(published, &self.brief_of_today(moment))
    }

    /// Lays a programme that came as a file into the record, where it waits as one that was sent does, and opens its
    /// page; while a session is open it only says that it is kept. One that waits there already is not laid down twice.
    ///
    /// # Errors
    /// The first fault of the document; those of the store.
    pub fn receive(&mut self, json: &[u8], moment: &Moment) -> Result<Update, CompanionError> {
        let published::Opened { programme, signer } = published::open(json)?;
        let (from, version) =
            signer.as_ref().map_or((String::new(), None), |s| (s.by.clone(), Some(s.version)));
        let same = |w: &&Waiting| w.programme == programme && w.from == from && w.version == version;
        let id = if let Some(there) = self.known.programmes.waiting.iter().find(same) {
            there.entry
        } else {
            let made_at = signer.as_ref().and_then(|s| s.made_at.parse().ok());
            let fields = ProgrammeFields {
                document: Some(json_of(&programme)?),
                title: Some(programme.title.clone()),
                made_at: Some(made_at.unwrap_or_else(|| Time::of(moment))),
                from: signer.as_ref().map(|_| from),
                version,
                ..ProgrammeFields::default()
            };
            let id = self.id(moment)?;
            self.edit(&[fields.edit(id)], moment)?;
            id
        };
        if self.floor.is_open() {
            let refused = Some(self.speech.say("sent-kept", &[]));
            return Ok(Update { screen: self.screen(moment)?, effects: Vec::new(), refused });
        }
        self.visit.touch();
        self.visit.open(Spot::Sent { id: id.to_string() });
        if let Some(signer) = signer {
            let key = signer.fingerprint();
            let args = [("by", signer.by.as_str().into()), ("key", (&key).into())];
            self.visit.told.push(self.speech.say("sent-signed", &args));
        }
        self.store.keep_visit(&self.visit.to_json())?;
        Ok(Update { screen: self.screen(moment)?, effects: Vec::new(), refused: None })
    }

    /// Takes on a programme that waits, adapted to this lifter as it is today, from a day on.
    ///
    /// # Errors
    /// Where none waits there, and where nothing of it is left; those of the store.
    pub fn take_on_sent(
        &mut self,
        entry: EntryId,
        starts_on: NaiveDate,
        moment: &Moment,
    ) -> Result<(), CompanionError> {
        let Some(published) = self.waiting(entry).map(|w| w.programme.clone()) else {
            return Err(CompanionError::input(
                "programme",
                "entry",
                "no programme waits there",
                "open the week again",
            ));
        };
        let adapted = self.adapt(&published, moment);
        let adapted = json_of(if adapted.differences.is_empty() { &published } else { &adapted.programme })?;
        // Nothing may be taken on that could not be read again.
        read_programme(Value::Object(adapted.0.clone()).to_string().as_bytes())?;
        let fields = ProgrammeFields {
            adapted: Some(adapted),
            starts_on: Some(Date(starts_on)),
            accepted_at: Some(Time::of(moment)),
            ..ProgrammeFields::default()
        };
        self.begin(fields.edit(entry), starts_on, moment)
    }

    /// Puts aside a programme that waits: it is not asked about any more.
    ///
    /// # Errors
    /// Those of the store.
    pub fn put_aside(&mut self, entry: EntryId, moment: &Moment) -> Result<(), CompanionError> {
        let today = moment.local().date_naive();
        let fields = ProgrammeFields { ended_on: Some(Date(today)), ..ProgrammeFields::default() };
        self.edit(&[fields.edit(entry)], moment)
    }

    /// Writes a programme that is taken on; those before it end on the day before.
    pub(super) fn begin(
        &mut self,
        taken_on: Edit,
        starts_on: NaiveDate,
        moment: &Moment,
    ) -> Result<(), CompanionError> {
        let before = starts_on.checked_sub_days(Days::new(1)).unwrap_or(starts_on);
        let mut edits = vec![taken_on];
        let programmes = &self.known.programmes;
        for earlier in programmes.running.iter().chain(&programmes.next) {
            let ended = ProgrammeFields { ended_on: Some(Date(before)), ..ProgrammeFields::default() };
            edits.push(ended.edit(earlier.entry));
        }
        self.edit(&edits, moment)?;
        if !self.floor.is_open() {
            self.leave_ended(moment)?;
        }
        Ok(())
    }
}

/// A programme as the record keeps it.
pub(super) fn json_of(programme: &Programme) -> Result<Document, CompanionError> {
    match serde_json::to_value(programme) {
        Ok(Value::Object(map)) => Ok(Document(map)),
        _ => Err(CompanionError::input("document", "programme", "it has no JSON form", "give another one")),
    }
}
