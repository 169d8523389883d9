//! Writing and merging: each in one transaction with all that follows from it.

use super::error::StoreError;
use super::{Keep, Store, clock, outbox, rows, sums};
use crate::moment::Moment;
use crate::record::{Clock, Edit, Entry, FieldFault};
use rusqlite::{Connection, TransactionBehavior};

impl Store {
    /// Stamps edits and writes them, with what becomes of the snapshot of the open session, durably: when
    /// this returns, a killed process and a lost supply of power leave them there. All of them, or none.
    ///
    /// # Errors
    /// [`StoreError::Field`] for an edit that its kind does not allow; [`StoreError::DiskFull`] and others of the
    /// disk. Nothing is changed then.
    pub fn write(
        &mut self,
        edits: &[Edit],
        floor: Option<Keep<'_>>,
        moment: &Moment,
    ) -> Result<Vec<Entry>, StoreError> {
        let result = self.in_one(|db, clock| {
            let mut written = Vec::with_capacity(edits.len());
            for edit in edits {
                let old = rows::load(db, &edit.id)?;
                let mut entry = old.clone().unwrap_or_else(|| Entry::new(edit.id, edit.kind.clone()));
                if entry.kind != edit.kind {
                    return Err(other_kind(&entry, edit).into());
                }
                // A deletion, and what brings an entry back, exceed every field of it.
                let replaces = if edit.fields.contains_key("deleted") || entry.deleted() {
                    entry.last_written()
                } else {
                    entry.replaced_by(edit)
                };
                entry.write(edit, clock.tick(moment.wall_ms, replaces))?;
                put(db, old.as_ref(), &entry)?;
                outbox::add(db, &entry.id)?;
                written.push(entry);
            }
            if let Some(keep) = floor {
                rows::keep_session(db, keep)?;
            }
            Ok(written)
        });
        self.noticing(result)
    }

    /// Merges entries of the lifter's own, from a file or another record; what changes waits to be sent. Says how many
    /// changed.
    ///
    /// # Errors
    /// Those of the disk; nothing is changed then.
    pub fn merge(&mut self, entries: &[Entry]) -> Result<usize, StoreError> {
        let result = self.in_one(|db, clock| {
            let mut changed = 0;
            for entry in entries {
                if merge_one(db, clock, entry)?.is_some() {
                    outbox::add(db, &entry.id)?;
                    changed += 1;
                }
            }
            Ok(changed)
        });
        self.noticing(result)
    }

    /// One transaction; the clock moves with it or not at all.
    pub(super) fn in_one<T>(
        &mut self,
        work: impl FnOnce(&Connection, &mut Clock) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut ticking = self.clock;
        let transaction = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = work(&transaction, &mut ticking)?;
        if ticking != self.clock {
            clock::save(&transaction, &ticking)?;
        }
        transaction.commit()?;
        self.clock = ticking;
        Ok(done)
    }
}

/// The entry as merged, when it changed.
pub(super) fn merge_one(
    db: &Connection,
    clock: &mut Clock,
    entry: &Entry,
) -> Result<Option<Entry>, StoreError> {
    let old = rows::load(db, &entry.id)?;
    merge_into(db, clock, old.as_ref(), entry)
}

/// As [`merge_one`], with what is there already read.
pub(super) fn merge_into(
    db: &Connection,
    clock: &mut Clock,
    old: Option<&Entry>,
    entry: &Entry,
) -> Result<Option<Entry>, StoreError> {
    if let Some(last) = entry.last_written() {
        clock.observe(last);
    }
    let mut merged = old.cloned().unwrap_or_else(|| Entry::new(entry.id, entry.kind.clone()));
    if !merged.merge(entry) && old.is_some() {
        return Ok(None);
    }
    put(db, old, &merged)?;
    Ok(Some(merged))
}

pub(super) fn put(db: &Connection, old: Option<&Entry>, new: &Entry) -> Result<(), StoreError> {
    rows::save(db, new)?;
    sums::update(db, old, new)
}

fn other_kind(entry: &Entry, edit: &Edit) -> FieldFault {
    FieldFault {
        entry: entry.id,
        kind: entry.kind.clone(),
        field: "kind".into(),
        code: "entry_kind",
        reason: format!("it is to be written as a {}", edit.kind),
        remedy: "give what is new an id of its own",
    }
}
