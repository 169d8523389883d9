//! Export and import: the whole record as JSON, sets as CSV.

use super::error::StoreError;
use super::write::{merge_into, put};
use super::{Random, Store, outbox, rows};
use crate::moment::Moment;
use crate::record::{
    CsvRow, CsvRows, DocumentEntries, Edit, Entry, EntryId, Field, Kind, Refusals, Refused, Stamp, write_csv,
    write_document,
};
use rusqlite::Connection;
use serde::Serialize;
use std::io::Write;

/// What an import did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Imported {
    /// Entries that were good, new here or not.
    pub taken: usize,
    /// Those that changed the record.
    pub changed: usize,
    /// Those that were not taken, in the order of the file.
    pub refused: Vec<Refused>,
}

/// Every entry by id, a few at a time.
struct Pages<'a> {
    store: &'a Store,
    kind: Option<Kind>,
    page: std::vec::IntoIter<Entry>,
    after: Option<EntryId>,
    over: bool,
}

impl Iterator for Pages<'_> {
    type Item = Result<Entry, StoreError>;

    fn next(&mut self) -> Option<Self::Item> {
        const STEP: u32 = 500;
        if let Some(entry) = self.page.next() {
            self.after = Some(entry.id);
            return Some(Ok(entry));
        }
        if self.over {
            return None;
        }
        let page = match &self.kind {
            Some(kind) => self.store.of_kind(kind, self.after, STEP),
            None => self.store.all(self.after, STEP),
        };
        match page {
            Ok(entries) => {
                self.over = entries.len() < STEP as usize;
                self.page = entries.into_iter();
                self.page.next().map(|entry| {
                    self.after = Some(entry.id);
                    Ok(entry)
                })
            }
            Err(fault) => {
                self.over = true;
                Some(Err(fault))
            }
        }
    }
}

impl Store {
    fn pages(&self, kind: Option<Kind>) -> Pages<'_> {
        Pages { store: self, kind, page: Vec::new().into_iter(), after: None, over: false }
    }

    /// Writes the whole record as JSON, in the order of ids, and says how many entries.
    ///
    /// # Errors
    /// Those of the writer and of the disk.
    pub fn export_json(&self, out: &mut impl Write) -> Result<u64, StoreError> {
        write_document(self.pages(None), out)
    }

    /// Writes the sets as CSV, in the order of ids, and says how many.
    ///
    /// # Errors
    /// Those of the writer and of the disk.
    pub fn export_csv(&self, out: &mut impl Write) -> Result<u64, StoreError> {
        write_csv(self.pages(Some(Kind::Set)), out)
    }

    /// Imports a JSON document: every good entry in one transaction, merged, so that no newer field is overwritten.
    ///
    /// # Errors
    /// [`StoreError::Import`] for a file that is no such document; others of the disk. Nothing is changed then.
    pub fn import_json(&mut self, bytes: &[u8]) -> Result<Imported, StoreError> {
        self.import_json_while(bytes, &mut |_| true)
    }

    /// As [`Self::import_json`]; `go_on` is told the entries read so far before each, and `false` calls it off.
    ///
    /// # Errors
    /// As [`Self::import_json`]; [`StoreError::CalledOff`].
    pub fn import_json_while(
        &mut self,
        bytes: &[u8],
        go_on: &mut dyn FnMut(u64) -> bool,
    ) -> Result<Imported, StoreError> {
        let entries = DocumentEntries::of(bytes)?;
        let result = self.in_one(|db, clock| {
            let (mut taken, mut changed, mut refused) = (0, 0, Refusals::default());
            for (read, entry) in (0..).zip(entries) {
                if !go_on(read) {
                    return Err(StoreError::CalledOff);
                }
                let (line, entry) = match entry {
                    Ok(entry) => entry,
                    Err(fault) => {
                        refused.add(fault);
                        continue;
                    }
                };
                let old = rows::load(db, &entry.id)?;
                if let Some(old) = &old
                    && old.kind != entry.kind
                {
                    refused.add(other_kind(old, line));
                    continue;
                }
                taken += 1;
                if merge_into(db, clock, old.as_ref(), &entry)?.is_some() {
                    outbox::add(db, &entry.id)?;
                    changed += 1;
                }
            }
            Ok(Imported { taken, changed, refused: refused.into_list() })
        });
        self.noticing(result)
    }

    /// Imports sets from CSV: every good row in one transaction.
    ///
    /// A row without an id is a new set. A field with its stamp is merged; one that was changed in the file and kept
    /// its stamp is an edit of now, unless the record has a newer one. A field without a stamp fills only what is
    /// empty.
    ///
    /// # Errors
    /// As [`Self::import_json`].
    pub fn import_csv(
        &mut self,
        bytes: &[u8],
        moment: &Moment,
        random: Random<'_>,
    ) -> Result<Imported, StoreError> {
        self.import_csv_while(bytes, moment, random, &mut |_| true)
    }

    /// As [`Self::import_csv`]; `go_on` is told the rows read so far before each, and `false` calls it off.
    ///
    /// # Errors
    /// As [`Self::import_json_while`].
    pub fn import_csv_while(
        &mut self,
        bytes: &[u8],
        moment: &Moment,
        random: Random<'_>,
        go_on: &mut dyn FnMut(u64) -> bool,
    ) -> Result<Imported, StoreError> {
        let csv_rows = CsvRows::of(bytes)?;
        let result = self.in_one(|db, clock| {
            let (mut taken, mut changed, mut refused) = (0, 0, Refusals::default());
            for (read, row) in (0..).zip(csv_rows) {
                if !go_on(read) {
                    return Err(StoreError::CalledOff);
                }
                let row = match row {
                    Ok(row) => row,
                    Err(fault) => {
                        refused.add(fault);
                        continue;
                    }
                };
                let id = match row.id {
                    Some(id) => id,
                    None => new_id(db, moment, random)?,
                };
                let old = rows::load(db, &id)?;
                if let Some(old) = &old
                    && old.kind != Kind::Set
                {
                    refused.add(other_kind(old, row.line));
                    continue;
                }
                let mut entry = old.clone().unwrap_or_else(|| Entry::new(id, Kind::Set));
                let edit = apply(&mut entry, &row);
                if !edit.fields.is_empty() {
                    let stamp = clock.tick(moment.wall_ms, entry.replaced_by(&edit));
                    if let Err(fault) = entry.write(&edit, stamp) {
                        refused.add(Refused {
                            line: row.line,
                            entry: row.id.map(|id| id.to_string()),
                            field: Some(fault.field),
                            code: fault.code,
                            reason: fault.reason,
                            remedy: fault.remedy.into(),
                        });
                        continue;
                    }
                }
                if let Some(last) = entry.last_written() {
                    clock.observe(last);
                }
                taken += 1;
                if old.as_ref() != Some(&entry) {
                    put(db, old.as_ref(), &entry)?;
                    outbox::add(db, &id)?;
                    changed += 1;
                }
            }
            Ok(Imported { taken, changed, refused: refused.into_list() })
        });
        self.noticing(result)
    }
}

/// Merges what has a stamp, and says what is an edit of now.
fn apply(entry: &mut Entry, row: &CsvRow) -> Edit {
    let mut edit = Edit { id: entry.id, kind: Kind::Set, fields: std::collections::BTreeMap::new() };
    for (name, (value, stamp)) in &row.fields {
        let kept = entry.fields.get(name.as_str());
        match (stamp, kept) {
            (Some(stamp), Some(kept)) if *stamp < kept.stamp => {}
            (Some(stamp), Some(kept)) if *stamp == kept.stamp && *value == kept.value => {}
            (Some(stamp), kept) if kept.is_none_or(|k| *stamp > k.stamp) => {
                entry.fields.insert(name.as_str().into(), Field { value: value.clone(), stamp: *stamp });
            }
            (Some(_), _) | (None, None) => {
                if let Ok(value) = value.read() {
                    edit.fields.insert(name.clone(), value);
                }
            }
            (None, Some(_)) => {}
        }
    }
    edit
}

fn new_id(db: &Connection, moment: &Moment, random: Random<'_>) -> Result<EntryId, StoreError> {
    loop {
        let mut bits = [0; 10];
        if !random(&mut bits) {
            return Err(StoreError::Random);
        }
        let id = EntryId::new(u64::try_from(moment.wall_ms).unwrap_or(0).min(Stamp::MOST_MILLIS), bits);
        if rows::load(db, &id)?.is_none() {
            return Ok(id);
        }
    }
}

fn other_kind(old: &Entry, line: u64) -> Refused {
    Refused {
        line,
        entry: Some(old.id.to_string()),
        field: Some("kind".into()),
        code: "entry_kind",
        reason: format!("the record has a {} under this id", old.kind),
        remedy: "give it an id of its own".into(),
    }
}
