//! The locker: profile, limits, kit, settings, and the record's way out and in.

use super::error::CompanionError;
use super::programme::document;
use super::{Companion, Moment};
use crate::catalogue::OwnMovement;
use crate::floor::Kept;
use crate::load::{Kit, Mass};
use crate::record::{
    BodyMeasurementFields, DiscomfortFields, Edit, Entry, EntryId, Kind, KitFields, NoteFields,
    OwnMovementFields, ReturnFields, ScreeningFields, SettingFields, Time, View, Writer,
};
use crate::safety::{Return, ReturnAnswers};
use crate::store::{Checked, Imported, Key, Store};
use serde_json::Value;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Days after which an automatic backup is due again (common practice, no source).
const BACKUP_DAYS: i64 = 1;

/// The lightest and the heaviest body that is kept, in kilograms: what lies beyond is a slip of the finger [A].
pub(super) const LIGHTEST_BODY_KG: u32 = 20;
pub(super) const HEAVIEST_BODY_KG: u32 = 400;

/// Whether somebody can have this body mass.
pub(super) fn possible_body_mass(mass: &Mass) -> bool {
    (Mass::grams(LIGHTEST_BODY_KG * 1000)..=Mass::grams(HEAVIEST_BODY_KG * 1000)).contains(mass)
}

/// A backup that is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// The recipient that it is sealed for.
    pub recipient: String,
}

const LARGEST_KIT_BYTES: usize = 256 * 1024;
const MOST_TEXT: usize = 4000;

impl Companion {
    fn write(&mut self, edits: &[Edit], moment: &Moment) -> Result<(), CompanionError> {
        self.store.write(edits, None, moment)?;
        self.refresh(moment)
    }

    /// Sets a setting, by key; `null` takes it away.
    ///
    /// # Errors
    /// A key that is none; those of the store.
    pub fn set(&mut self, key: &str, value: Value, moment: &Moment) -> Result<(), CompanionError> {
        if key.is_empty() || key.len() > 100 || key.chars().any(char::is_control) {
            return Err(CompanionError::input("setting", "key", "it is no key", "give 1 to 100 characters"));
        }
        let existing = super::known::all_of(&self.store, &Kind::Setting)?
            .into_iter()
            .find(|e| !e.deleted() && SettingFields::read(e).0.key.as_deref() == Some(key));
        let edit = match existing {
            Some(e) if value.is_null() => Edit::delete(e.id, Kind::Setting),
            Some(e) => SettingFields { value: Some(value), ..SettingFields::default() }.edit(e.id),
            None if value.is_null() => return Ok(()),
            None => {
                let id = self.id(moment)?;
                SettingFields { key: Some(key.to_owned()), value: Some(value), ..SettingFields::default() }
                    .edit(id)
            }
        };
        self.write(&[edit], moment)
    }

    /// Keeps the answers to the screening.
    ///
    /// # Errors
    /// Those of the store.
    pub fn answer_screening(
        &mut self,
        answers: ScreeningFields,
        moment: &Moment,
    ) -> Result<EntryId, CompanionError> {
        let id = self.id(moment)?;
        let answers = ScreeningFields { answered_at: Some(Time::of(moment)), ..answers };
        self.write(&[answers.edit(id)], moment)?;
        Ok(id)
    }

    /// What the answers to the screening told last of something.
    pub(super) fn newest_screening<T>(
        &self,
        of: impl Fn(ScreeningFields) -> Option<T>,
    ) -> Result<Option<T>, CompanionError> {
        let mut all: Vec<ScreeningFields> = (super::known::all_of(&self.store, &Kind::Screening)?.iter())
            .filter(|e| !e.deleted())
            .map(|e| ScreeningFields::read(e).0)
            .collect();
        all.sort_by_key(|f| f.answered_at.as_ref().map_or(i64::MIN, Time::millis));
        Ok(all.into_iter().rev().find_map(of))
    }

    /// Keeps a discomfort, or what changed of one.
    ///
    /// # Errors
    /// A region that is unknown; those of the store.
    pub fn tell_discomfort(
        &mut self,
        entry: Option<EntryId>,
        fields: DiscomfortFields,
        moment: &Moment,
    ) -> Result<EntryId, CompanionError> {
        if let Some(region) = &fields.region
            && self.known.catalogue.region(region).is_none()
        {
            let ids: Vec<&str> = self.known.catalogue.regions.iter().map(|r| r.id.as_str()).collect();
            let remedy = format!("use one of {}", ids.join(", "));
            return Err(CompanionError::input("region", "region", format!("{region:?} is unknown"), &remedy));
        }
        let id = match entry {
            Some(id) => id,
            None => self.id(moment)?,
        };
        self.write(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Records the return after a flag: who advised, when, with what limits. It does not judge the advice.
    ///
    /// # Errors
    /// What is missing or cannot be.
    pub fn record_return(
        &mut self,
        answers: &ReturnAnswers,
        moment: &Moment,
    ) -> Result<EntryId, CompanionError> {
        let today = moment.local().date_naive();
        let given = Return::given(&self.known.catalogue, &self.known.standing.flags, answers, today)?;
        let flag = given.flag.parse().map_err(|remedy: &str| {
            CompanionError::input("flag", "flag", "it is no entry of the record", remedy)
        })?;
        let fields = ReturnFields {
            flag: Some(flag),
            advised_by: Some(given.advised_by),
            advised_on: Some(crate::record::Date(given.advised_on)),
            limits: Some(given.limits),
            regions_still_out: Some(given.regions_still_out),
            returned_at: Some(Time::of(moment)),
            ..ReturnFields::default()
        };
        let id = self.id(moment)?;
        self.write(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Keeps a body mass, in the unit entered.
    ///
    /// # Errors
    /// One that nobody has; those of the store.
    pub fn tell_body_mass(&mut self, mass: &Mass, moment: &Moment) -> Result<EntryId, CompanionError> {
        if !possible_body_mass(mass) {
            let remedy = format!("give {LIGHTEST_BODY_KG} kg to {HEAVIEST_BODY_KG} kg");
            let problem = format!("{mass} is no body mass");
            return Err(CompanionError::input("body_mass", "body_mass", problem, &remedy));
        }
        let value = mass
            .to_string()
            .parse()
            .map_err(|remedy: &str| CompanionError::input("body_mass", "value", "it is no mass", remedy))?;
        let fields = BodyMeasurementFields {
            what: Some("body_mass".into()),
            value: Some(value),
            measured_at: Some(Time::of(moment)),
            ..BodyMeasurementFields::default()
        };
        let id = self.id(moment)?;
        self.write(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Keeps the kit of a place; `entry` corrects one.
    ///
    /// # Errors
    /// The fault of the kit; an unknown piece of equipment; those of the store.
    pub fn tell_kit(
        &mut self,
        entry: Option<EntryId>,
        place: &str,
        kit: &[u8],
        equipment: Option<Vec<String>>,
        moment: &Moment,
    ) -> Result<EntryId, CompanionError> {
        let document = document(kit, "kit", LARGEST_KIT_BYTES)?;
        let text = String::from_utf8_lossy(kit);
        Kit::from_json(&text)
            .map_err(|e| CompanionError::input("kit", "kit", e.to_string(), "mend the kit there"))?;
        for id in equipment.iter().flatten() {
            if self.known.catalogue.kit(id).is_none() {
                let remedy = "use an id that `plinth catalogue --kit` lists";
                return Err(CompanionError::input("kit", "equipment", format!("{id:?} is unknown"), remedy));
            }
        }
        let id = match entry {
            Some(id) => id,
            None => self.id(moment)?,
        };
        let fields = KitFields {
            document: Some(document),
            place: Some(place.to_owned()),
            equipment,
            ..KitFields::default()
        };
        self.write(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Keeps a movement of the lifter's own, checked as strictly as the catalogue's.
    ///
    /// # Errors
    /// The first fault of the movement; those of the store.
    pub fn tell_own_movement(&mut self, json: &[u8], moment: &Moment) -> Result<EntryId, CompanionError> {
        let bad = |problem: String| {
            CompanionError::input("own_movement", "own_movement", problem, "see `plinth schema own-movement`")
        };
        let document = document(json, "own_movement", LARGEST_KIT_BYTES)?;
        let own: OwnMovement = serde_json::from_slice(json).map_err(|e| bad(e.to_string()))?;
        self.known.catalogue.with_own(&[own]).map_err(|f| {
            f.first().map_or_else(
                || bad("it cannot be read".into()),
                |f| CompanionError::input("own_movement", &f.field, f.problem.clone(), &f.remedy),
            )
        })?;
        let id = self.id(moment)?;
        let fields = OwnMovementFields { document: Some(document), ..OwnMovementFields::default() };
        self.write(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Keeps a note.
    ///
    /// # Errors
    /// A note that is empty or too long; those of the store.
    pub fn note(
        &mut self,
        about: Option<EntryId>,
        movement: Option<String>,
        text: &str,
        by: Writer,
        moment: &Moment,
    ) -> Result<EntryId, CompanionError> {
        if text.trim().is_empty() || text.chars().count() > MOST_TEXT {
            let remedy = format!("write 1 to {MOST_TEXT} characters");
            return Err(CompanionError::input("note", "text", "it is empty or too long", &remedy));
        }
        let fields = NoteFields {
            about,
            movement,
            text: Some(text.to_owned()),
            by: Some(by),
            written_at: Some(Time::of(moment)),
            ..NoteFields::default()
        };
        let id = self.id(moment)?;
        self.write(&[fields.edit(id)], moment)?;
        Ok(id)
    }

    /// Writes any edits of the lifter's own, such as a correction of yesterday.
    ///
    /// # Errors
    /// The first field that is not what its kind says; those of the store.
    pub fn edit(&mut self, edits: &[Edit], moment: &Moment) -> Result<(), CompanionError> {
        self.write(edits, moment)
    }

    /// The whole record as JSON; says how many entries.
    ///
    /// # Errors
    /// Those of the writer and of the store.
    pub fn export_json(&self, out: &mut impl Write) -> Result<u64, CompanionError> {
        Ok(self.store.export_json(out)?)
    }

    /// The sets as CSV; says how many.
    ///
    /// # Errors
    /// As [`Self::export_json`].
    pub fn export_csv(&self, out: &mut impl Write) -> Result<u64, CompanionError> {
        Ok(self.store.export_csv(out)?)
    }

    /// Imports a record: every good entry in one transaction; the refused ones come back.
    ///
    /// # Errors
    /// A file that is no record; those of the store.
    pub fn import_json(&mut self, bytes: &[u8], moment: &Moment) -> Result<Imported, CompanionError> {
        self.import_json_while(bytes, moment, &mut |_| true)
    }

    /// As [`Self::import_json`]; `go_on` is told the entries read so far, and `false` calls it off.
    ///
    /// # Errors
    /// As [`Self::import_json`], and that it was called off.
    pub fn import_json_while(
        &mut self,
        bytes: &[u8],
        moment: &Moment,
        go_on: &mut dyn FnMut(u64) -> bool,
    ) -> Result<Imported, CompanionError> {
        let imported = self.store.import_json_while(bytes, go_on)?;
        self.refresh(moment)?;
        Ok(imported)
    }

    /// Imports sets from CSV.
    ///
    /// # Errors
    /// As [`Self::import_json`].
    pub fn import_csv(&mut self, bytes: &[u8], moment: &Moment) -> Result<Imported, CompanionError> {
        self.import_csv_while(bytes, moment, &mut |_| true)
    }

    /// As [`Self::import_csv`]; `go_on` is told the rows read so far, and `false` calls it off.
    ///
    /// # Errors
    /// As [`Self::import_json_while`].
    pub fn import_csv_while(
        &mut self,
        bytes: &[u8],
        moment: &Moment,
        go_on: &mut dyn FnMut(u64) -> bool,
    ) -> Result<Imported, CompanionError> {
        let imported = self.store.import_csv_while(bytes, moment, &mut *self.random, go_on)?;
        self.refresh(moment)?;
        Ok(imported)
    }

    /// Merges entries of another record, and says how many changed; [`Self::read_again`] makes them known.
    ///
    /// # Errors
    /// Those of the store.
    pub fn merge(&mut self, entries: &[Entry]) -> Result<usize, CompanionError> {
        Ok(self.store.merge(entries)?)
    }

    /// Reads the record anew, after [`Self::merge`].
    ///
    /// # Errors
    /// Those of the store.
    pub fn read_again(&mut self, moment: &Moment) -> Result<(), CompanionError> {
        self.refresh(moment)
    }

    /// Checks every entry.
    ///
    /// # Errors
    /// Those of the store.
    pub fn check(&self) -> Result<Checked, CompanionError> {
        Ok(self.store.check()?)
    }

    /// Copies the record to one file.
    ///
    /// # Errors
    /// Those of the store.
    pub fn backup(&self, to: &Path) -> Result<(), CompanionError> {
        self.backup_while(to, &mut |_, _| true)
    }

    /// As [`Self::backup`]; `go_on` is told the pages copied and those in all, and `false` calls it off.
    ///
    /// # Errors
    /// Those of the store, and that it was called off.
    pub fn backup_while(
        &self,
        to: &Path,
        go_on: &mut dyn FnMut(u64, u64) -> bool,
    ) -> Result<(), CompanionError> {
        Ok(self.store.backup_while(to, go_on)?)
    }

    /// Makes the key of the automatic backups and keeps its recipient. The 24 words are shown once and kept
    /// nowhere here.
    ///
    /// # Errors
    /// Those of the store.
    pub fn make_backup_key(&mut self, moment: &Moment) -> Result<String, CompanionError> {
        let key = Key::new(&mut *self.random)?;
        let words = key.words()?;
        self.set("backup_recipient", Value::String(key.recipient()), moment)?;
        Ok(words)
    }

    /// The automatic backup, where one is due: a day after the last, once a key was made.
    pub fn backup_due(&self, moment: &Moment) -> Option<Backup> {
        let settings = &self.known.settings;
        let recipient = super::known::setting_text(settings, "backup_recipient")?.to_owned();
        let last = settings.get("backup_made_ms").and_then(Value::as_i64);
        let due = last.is_none_or(|ms| {
            let since = moment.wall_ms.saturating_sub(ms);
            !(0..BACKUP_DAYS * 24 * 3_600_000).contains(&since)
        });
        due.then_some(Backup { recipient })
    }

    /// A backup for the key that was made, due or not; none without a key.
    pub fn backup_for_key(&self) -> Option<Backup> {
        let recipient = super::known::setting_text(&self.known.settings, "backup_recipient")?.to_owned();
        Some(Backup { recipient })
    }

    /// Writes the sealed backup to a file and remembers when.
    ///
    /// # Errors
    /// Those of the store.
    pub fn make_backup(&mut self, due: &Backup, to: &Path, moment: &Moment) -> Result<(), CompanionError> {
        self.store.backup_sealed(to, &due.recipient)?;
        self.set("backup_made_ms", Value::from(moment.wall_ms), moment)
    }

    /// Puts a backup in the record's place: checked and counted before the exchange. Returns the companion of the
    /// restored record, which takes a new device identity, and where the one it replaced lies.
    ///
    /// # Errors
    /// A backup that is not good; the record is as it was, open it again.
    pub fn restore(self, from: &Path, moment: &Moment) -> Result<(Self, u64, PathBuf), CompanionError> {
        let Self { store, shelf, speech, mut random, news, .. } = self;
        // The token stays in the platform's key store, and so does what it belongs to.
        let pairing = store.pairing()?;
        let restored = store.restore(from, moment, &mut *random)?;
        let mut store: Store = restored.store;
        store.keep_pairing(pairing.as_deref())?;
        let known = super::Known::read(&store, &shelf, moment.local().date_naive())?;
        let speech = super::speech(&known, speech.language());
        let session = store.session()?.and_then(|s| Kept::read(&s.whole, &s.steps).ok());
        let (floor, kept) = session.unwrap_or_default();
        let prepared = super::Prepared::new(&store, &shelf, &known, &speech, &floor, moment)?;
        let visit = super::Visit::default();
        let mut companion = Self {
            store,
            shelf,
            known,
            speech,
            floor,
            kept,
            prepared,
            visit,
            random,
            last_id_ms: 0,
            news,
            proposed: None,
        };
        companion.leave_ended(moment)?;
        Ok((companion, restored.entries, restored.replaced))
    }

    /// Erases everything.
    ///
    /// # Errors
    /// Those of the disk; call it again.
    pub fn erase(self) -> Result<(), CompanionError> {
        Ok(self.store.erase()?)
    }
}
