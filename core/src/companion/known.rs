//! What the record says of everything but the log: brief, programme, places, settings, cues.

use super::error::CompanionError;
use super::programmes::Programmes;
use super::standing::{SafetyEntries, standing};
use crate::catalogue::{Catalogue, OwnMovement, Texts};
use crate::floor::Place;
use crate::load::Kit;
use crate::plan::Weights;
use crate::plan::brief::{Beginnings, Brief, FIRST_BRIEF, Screening, TrainingAge, read_brief};
use crate::plan::programme::Programme;
use crate::progress::body::Series;
use crate::record::{
    BriefFields, Entry, EntryId, Kind, KitFields, LifterFields, NoteFields, OwnMovementFields, SettingFields,
    Sex, View, Writer,
};
use crate::safety::{Intensity, Rules, Standing};
use crate::store::{Store, StoreError};
use chrono::NaiveDate;
use serde_json::Value;
use std::collections::BTreeMap;

/// What comes with the build.
#[derive(Debug)]
pub(super) struct Shelf {
    pub(super) builtin: Catalogue,
    pub(super) texts: Texts,
    pub(super) weights: Weights,
    pub(super) rules: Rules,
    pub(super) begin: Beginnings,
}

impl Shelf {
    pub(super) fn builtin() -> Result<Self, CompanionError> {
        let told = |faults: Vec<crate::catalogue::Fault>| {
            CompanionError::data(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
        };
        let builtin = Catalogue::builtin().map_err(told)?;
        let texts = Texts::builtin(&builtin).map_err(told)?;
        let weights = Weights::builtin().map_err(CompanionError::data)?;
        let rules = Rules::builtin().map_err(told)?;
        let begin = Beginnings::builtin(&builtin).map_err(CompanionError::data)?;
        Ok(Self { builtin, texts, weights, rules, begin })
    }
}

/// All of it.
#[derive(Debug)]
pub(super) struct Known {
    pub(super) catalogue: Catalogue,
    pub(super) brief: Brief,
    /// Whether the brief is the lifter's, not the one to begin from.
    pub(super) brief_told: bool,
    /// Its entry.
    pub(super) brief_entry: Option<EntryId>,
    pub(super) programmes: Programmes,
    pub(super) places: Vec<Place>,
    pub(super) standing: Standing,
    pub(super) settings: BTreeMap<String, Value>,
    pub(super) cues: BTreeMap<String, Vec<String>>,
    pub(super) body: Series,
    /// For the published scores that tell the sexes apart; open where it was not told.
    pub(super) sex: Option<Sex>,
    /// Entries that could not be used, in a sentence each; they stay in the record.
    pub(super) unread: Vec<String>,
}

const PAGE: u32 = 500;

/// Every entry of a kind, deleted ones too.
pub(super) fn all_of(store: &Store, kind: &Kind) -> Result<Vec<Entry>, StoreError> {
    let mut out: Vec<Entry> = Vec::new();
    loop {
        let page = store.of_kind(kind, out.last().map(|e| e.id), PAGE)?;
        let last = page.len() < PAGE as usize;
        out.extend(page);
        if last {
            return Ok(out);
        }
    }
}

pub(super) fn living(store: &Store, kind: &Kind) -> Result<Vec<Entry>, StoreError> {
    Ok(all_of(store, kind)?.into_iter().filter(|e| !e.deleted()).collect())
}

/// The merged fields of an entry as JSON, by name.
pub(super) fn fields_of(entry: &Entry) -> BTreeMap<String, Value> {
    let value = |text: &str| serde_json::from_str(text).unwrap_or(Value::Null);
    entry.fields.iter().map(|(k, f)| (k.to_string(), value(f.value.text()))).collect()
}

pub(super) fn setting_bool(settings: &BTreeMap<String, Value>, key: &str) -> bool {
    settings.get(key) == Some(&Value::Bool(true))
}

pub(super) fn setting_u32(settings: &BTreeMap<String, Value>, key: &str) -> Option<u32> {
    settings.get(key).and_then(Value::as_u64).and_then(|n| u32::try_from(n).ok())
}

pub(super) fn setting_text<'a>(settings: &'a BTreeMap<String, Value>, key: &str) -> Option<&'a str> {
    settings.get(key).and_then(Value::as_str)
}

impl Known {
    pub(super) fn read(store: &Store, shelf: &Shelf, today: NaiveDate) -> Result<Self, CompanionError> {
        let mut unread = Vec::new();
        let catalogue = own_movements(store, shelf, &mut unread)?;
        let mut settings = BTreeMap::new();
        for e in living(store, &Kind::Setting)? {
            let f = SettingFields::read(&e).0;
            if let (Some(key), Some(value)) = (f.key, f.value) {
                settings.insert(key, value);
            }
        }
        let (told, catalogue) = brief(store, catalogue, &mut unread)?;
        let brief_told = told.is_some();
        let brief_entry = told.as_ref().map(|(entry, _)| *entry);
        let mut brief = match told {
            Some((_, brief)) => brief,
            None => first_brief(&shelf.builtin)?,
        };
        let entries = SafetyEntries {
            lifter: living(store, &Kind::Lifter)?,
            screening: living(store, &Kind::Screening)?,
            discomfort: living(store, &Kind::Discomfort)?,
            flag: all_of(store, &Kind::Flag)?,
            returned: all_of(store, &Kind::Return)?,
            grant: living(store, &Kind::Grant)?,
        };
        let beginner = brief.training_age == TrainingAge::Novice;
        let sex = entries.lifter.iter().filter_map(|e| LifterFields::read(e).0.sex).next_back();
        let mut standing = standing(&shelf.rules, &catalogue, &entries, &settings, beginner);
        standing.screening_told = match (brief_told, brief.limits.screening) {
            (true, Screening::AnsweredNoLimit) => Some(Intensity::Any),
            (true, Screening::AnsweredLightToModerate) => Some(Intensity::LightToModerate),
            _ => None,
        };
        if brief.limits.screening == Screening::Unanswered && standing.screening.complete() {
            // The record answers what the brief leaves open; what the answers limit, the standing adds.
            brief.limits.screening = Screening::AnsweredNoLimit;
        }
        let programmes = Programmes::read(store, today, &mut unread)?;
        let catalogue = learned(catalogue, &programmes, &mut unread);
        let places = places(store, &mut unread)?;
        let mut cues = cues(store)?;
        if let Some(running) = &programmes.running {
            cues_of(&running.programme, &mut cues);
        }
        let body = Series::read(&living(store, &Kind::BodyMeasurement)?);
        Ok(Self {
            catalogue,
            brief,
            brief_told,
            brief_entry,
            programmes,
            places,
            standing,
            settings,
            cues,
            body,
            sex,
            unread,
        })
    }
}

/// The brief to begin from: sensible answers that the lifter changes.
fn first_brief(catalogue: &Catalogue) -> Result<Brief, CompanionError> {
    read_brief(FIRST_BRIEF.as_bytes(), catalogue)
        .map(|(brief, _)| brief)
        .map_err(|f| CompanionError::data(f.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")))
}

fn own_movements(
    store: &Store,
    shelf: &Shelf,
    unread: &mut Vec<String>,
) -> Result<Catalogue, CompanionError> {
    let mut catalogue = shelf.builtin.clone();
    for e in living(store, &Kind::OwnMovement)? {
        let Some(document) = OwnMovementFields::read(&e).0.document else { continue };
        let own: Result<OwnMovement, String> =
            serde_json::from_value(Value::Object(document.0)).map_err(|e| e.to_string());
        match own.and_then(|own| {
            catalogue.with_own(&[own]).map_err(|f| f.first().map(ToString::to_string).unwrap_or_default())
        }) {
            Ok(with) => catalogue = with,
            Err(why) => unread.push(format!("own_movement {}: {why}", e.id)),
        }
    }
    Ok(catalogue)
}

/// The catalogue with the own movements of programmes that came.
fn learned(catalogue: Catalogue, programmes: &Programmes, unread: &mut Vec<String>) -> Catalogue {
    let mut out = catalogue;
    for (entry, own) in &programmes.own {
        let (with, faults) = out.learning(std::slice::from_ref(own));
        unread.extend(faults.iter().map(|f| format!("programme {entry}: {f}")));
        out = with;
    }
    out
}

/// The brief told last, and the catalogue with its own movements.
fn brief(
    store: &Store,
    catalogue: Catalogue,
    unread: &mut Vec<String>,
) -> Result<(Option<(EntryId, Brief)>, Catalogue), CompanionError> {
    let mut all: Vec<(i64, Entry, BriefFields)> = living(store, &Kind::Brief)?
        .into_iter()
        .map(|e| {
            let f = BriefFields::read(&e).0;
            (f.made_at.as_ref().map_or(i64::MIN, crate::record::Time::millis), e, f)
        })
        .collect();
    all.sort_by_key(|(made, e, _)| (*made, e.id));
    for (_, e, f) in all.into_iter().rev() {
        let Some(document) = f.document else { continue };
        let text = Value::Object(document.0).to_string();
        match read_brief(text.as_bytes(), &catalogue) {
            Ok((brief, with_own)) => return Ok((Some((e.id, brief)), with_own)),
            Err(faults) => {
                let why = faults.first().map(ToString::to_string).unwrap_or_default();
                unread.push(format!("brief {}: {why}", e.id));
            }
        }
    }
    Ok((None, catalogue))
}

fn places(store: &Store, unread: &mut Vec<String>) -> Result<Vec<Place>, CompanionError> {
    let mut out = Vec::new();
    for e in living(store, &Kind::Kit)? {
        let f = KitFields::read(&e).0;
        let Some(document) = f.document else { continue };
        match Kit::from_json(&Value::Object(document.0).to_string()) {
            Ok(kit) => out.push(Place {
                entry: Some(e.id),
                name: f.place.unwrap_or_else(|| kit.name.clone()),
                kit,
                equipment: f.equipment,
            }),
            Err(why) => unread.push(format!("kit {}: {why}", e.id)),
        }
    }
    Ok(out)
}

/// Puts the cues of a programme before those of notes: they came with it.
fn cues_of(programme: &Programme, cues: &mut BTreeMap<String, Vec<String>>) {
    for line in programme.days.iter().flat_map(|d| &d.lines) {
        let Some(cue) = &line.cue else { continue };
        let of = cues.entry(line.movement.clone()).or_default();
        if !of.contains(cue) {
            of.insert(0, cue.clone());
        }
    }
}

/// The coach's cues: notes of a coach about a movement, newest first.
fn cues(store: &Store) -> Result<BTreeMap<String, Vec<String>>, CompanionError> {
    let mut out: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for e in living(store, &Kind::Note)?.into_iter().rev() {
        let f = NoteFields::read(&e).0;
        if let (Some(Writer::Coach), Some(movement), Some(text)) = (f.by, f.movement, f.text) {
            out.entry(movement).or_default().push(text);
        }
    }
    Ok(out)
}
