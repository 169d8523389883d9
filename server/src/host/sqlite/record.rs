//! The entries of an account.

use super::super::account::AccountId;
use super::super::store::{
    Asked, Change, Head, Held, Kept, Loaded, MOST_SHOWN, Page, Shown, StoreFault, Written,
};
use plinth_core::record::{Between, DeviceId, EntryId, Kind, Sum, read_stored};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

pub(super) const HELD: &str = "id, kind, body, digest, number, by_device, made_by";

/// A row as it lies in the file, not yet believed.
pub(super) struct Raw {
    pub(super) id: Vec<u8>,
    pub(super) kind: String,
    pub(super) body: String,
    digest: Vec<u8>,
    pub(super) number: i64,
    by: String,
    made_by: String,
}

impl Raw {
    pub(super) fn of(row: &Row<'_>) -> rusqlite::Result<Self> {
        Self::at(row, 0)
    }

    /// As it lies in the columns from one on.
    pub(super) fn at(row: &Row<'_>, first: usize) -> rusqlite::Result<Self> {
        Ok(Self {
            id: row.get(first)?,
            kind: row.get(first + 1)?,
            body: row.get(first + 2)?,
            digest: row.get(first + 3)?,
            number: row.get(first + 4)?,
            by: row.get(first + 5)?,
            made_by: row.get(first + 6)?,
        })
    }

    /// What is kept, when body and digest agree.
    fn kept(self) -> Option<Kept> {
        // The digest is of the canonical text, which the body nearly always is.
        if Sha256::digest(self.body.as_bytes())[..] != self.digest[..] {
            return self.held().map(Kept::from);
        }
        Some(Kept {
            digest: self.digest.as_slice().try_into().ok()?,
            number: self.number.unsigned_abs(),
            by: self.by.parse().ok(),
            made_by: self.made_by.parse().ok(),
            text: self.body,
        })
    }

    /// The entry, when id, kind, body and digest agree.
    pub(super) fn held(&self) -> Option<Held> {
        let entry = read_stored(&self.body, &self.digest)
            .filter(|e| e.id.bytes()[..] == self.id[..] && e.kind.name() == self.kind)?;
        Some(Held {
            entry,
            number: self.number.unsigned_abs(),
            by: self.by.parse().ok(),
            made_by: self.made_by.parse().ok(),
        })
    }
}

fn number(n: u64) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

pub(super) fn head(db: &Connection, account: &AccountId, device: DeviceId, epoch: &str) -> Asked<Head> {
    let Some((number, bytes)) = db
        .prepare_cached("SELECT number, bytes FROM account WHERE id = ?1")?
        .query_row([account.as_str()], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?)))
        .optional()?
    else {
        return Ok(Head::default());
    };
    let mut sums = BTreeMap::new();
    let mut statement = db.prepare_cached("SELECT kind, count, digest FROM kind_sum WHERE account = ?1")?;
    let mut rows = statement.query([account.as_str()])?;
    while let Some(row) = rows.next()? {
        let count: i64 = row.get(1)?;
        sums.insert(row.get(0)?, Sum { count: count.unsigned_abs(), digest: row.get(2)? });
    }
    let shown = db
        .prepare_cached("SELECT cursor FROM shown WHERE account = ?1 AND device = ?2 AND epoch = ?3")?
        .query_row([account.as_str(), &device.to_string(), epoch], |row| row.get::<_, i64>(0))
        .optional()?;
    Ok(Head {
        number: number.unsigned_abs(),
        bytes: bytes.unsigned_abs(),
        sums,
        shown: shown.map(i64::unsigned_abs),
    })
}

pub(super) fn load(db: &Connection, account: &AccountId, ids: &[EntryId]) -> Asked<Loaded> {
    let mut statement =
        db.prepare_cached(&format!("SELECT {HELD} FROM entry WHERE account = ?1 AND id = ?2"))?;
    let mut out = Loaded::default();
    for id in ids {
        let raw = statement.query_row(params![account.as_str(), &id.bytes()[..]], Raw::of).optional()?;
        let Some(raw) = raw else { continue };
        if let Some(held) = raw.held() {
            out.held.push(held);
        } else {
            let digest = raw.digest.as_slice().try_into();
            let digest = digest.map_err(|_| StoreFault::Damaged("an entry has no digest".into()))?;
            out.damaged.push((*id, raw.kind, digest));
        }
    }
    Ok(out)
}

/// The bytes are counted before a body is read, so that a page never holds more than it may.
pub(super) fn after(
    db: &Connection,
    account: &AccountId,
    from: u64,
    but_of: Option<DeviceId>,
    (most, bytes): (u32, u64),
) -> Asked<Page> {
    let passed_over = but_of.map(|device| device.to_string());
    let mut statement = db.prepare_cached(&format!(
        "SELECT {HELD} FROM entry WHERE account = ?1 AND number > ?2 ORDER BY number LIMIT ?3"
    ))?;
    let mut rows = statement.query(params![account.as_str(), number(from), i64::from(most) + 1])?;
    let mut page = Page { up_to: from, ..Page::default() };
    let (mut read, mut length) = (0, 0_u64);
    while let Some(row) = rows.next()? {
        let own = passed_over.as_ref().is_some_and(|d| row.get_ref(5).is_ok_and(|v| v.as_str() == Ok(d)));
        let bytes_here = if own { 0 } else { row.get_ref(2)?.as_bytes().map_or(0, |b| b.len() as u64) };
        let longer = length.saturating_add(bytes_here);
        if read == most || !page.entries.is_empty() && longer > bytes {
            page.more = true;
            return Ok(page);
        }
        (read, length) = (read + 1, longer);
        page.up_to = row.get::<_, i64>(4)?.unsigned_abs();
        if own {
            continue;
        }
        match Raw::of(row)?.kept() {
            Some(kept) => page.entries.push(kept),
            None => page.damaged += 1,
        }
    }
    Ok(page)
}

pub(super) fn of_kind(
    db: &Connection,
    account: &AccountId,
    kind: &Kind,
    after: Option<EntryId>,
    most: u32,
) -> Asked<Vec<Held>> {
    // The kind stands in the text, so that the index of these two kinds is used.
    let of = match kind {
        Kind::Grant => "'grant'",
        Kind::Lifter => "'lifter'",
        other => return Err(StoreFault::Engine(format!("entries of the kind {other} are not listed"))),
    };
    let mut statement = db.prepare_cached(&format!(
        "SELECT {HELD} FROM entry WHERE account = ?1 AND kind = {of} AND id > ?2 ORDER BY id LIMIT ?3"
    ))?;
    let after = after.map(|id| id.bytes().to_vec()).unwrap_or_default();
    let rows = statement.query_map(params![account.as_str(), after, most], Raw::of)?;
    let mut out = Vec::new();
    for raw in rows {
        out.extend(raw?.held());
    }
    Ok(out)
}

pub(super) fn digests(
    db: &Connection,
    account: &AccountId,
    between: Between,
    most: u32,
) -> Asked<Vec<(EntryId, [u8; 32])>> {
    let after = between.after.map(|id| id.bytes().to_vec()).unwrap_or_default();
    let up_to = between.up_to.map_or_else(|| vec![0xff; 16], |id| id.bytes().to_vec());
    let mut statement = db.prepare_cached(
        "SELECT id, digest FROM entry WHERE account = ?1 AND id > ?2 AND id <= ?3 ORDER BY id LIMIT ?4",
    )?;
    let mut rows = statement.query(params![account.as_str(), after, up_to, most])?;
    let mut out = Vec::new();
    while let Some(row) = rows.next()? {
        let id: Vec<u8> = row.get(0)?;
        let id = EntryId::from_bytes(&id).ok_or_else(|| StoreFault::Damaged("an entry has no id".into()))?;
        out.push((id, row.get(1)?));
    }
    Ok(out)
}

pub(super) fn commit(db: &Transaction<'_>, account: &AccountId, change: &Change) -> Asked<bool> {
    let moved = db
        .prepare_cached("UPDATE account SET number = ?3, bytes = ?4 WHERE id = ?1 AND number = ?2")?
        .execute(params![
            account.as_str(),
            number(change.was),
            number(change.number),
            number(change.bytes)
        ])?;
    if moved == 0 {
        return Ok(false);
    }
    let mut put = db.prepare_cached(&format!(
        "INSERT INTO entry (account, {HELD}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) \
         ON CONFLICT (account, id) DO UPDATE SET \
         kind = ?3, body = ?4, digest = ?5, number = ?6, by_device = ?7, made_by = ?8"
    ))?;
    for Written { id, kind, kept } in &change.entries {
        put.execute(params![
            account.as_str(),
            &id.bytes()[..],
            kind.name(),
            kept.text,
            kept.digest,
            number(kept.number),
            kept.by.map(|d| d.to_string()).unwrap_or_default(),
            kept.made_by.as_ref().map_or("", AccountId::as_str),
        ])?;
    }
    let mut keep = db.prepare_cached(
        "INSERT INTO kind_sum (account, kind, count, digest) VALUES (?1, ?2, ?3, ?4) \
         ON CONFLICT (account, kind) DO UPDATE SET count = ?3, digest = ?4",
    )?;
    for (kind, sum) in &change.sums {
        keep.execute(params![account.as_str(), kind, number(sum.count), sum.digest])?;
    }
    if let Some(shown) = &change.shown {
        remember(db, account, shown)?;
    }
    Ok(true)
}

/// Remembers what a device has shown, and lets go of those that have shown nothing new for the longest.
fn remember(db: &Transaction<'_>, account: &AccountId, shown: &Shown) -> Asked<()> {
    let device = shown.device.to_string();
    let last: i64 = db
        .prepare_cached("SELECT coalesce(max(turn), 0) FROM shown WHERE account = ?1")?
        .query_row([account.as_str()], |row| row.get(0))?;
    let values = params![account.as_str(), device, shown.epoch, number(shown.cursor), last + 1];
    let known = db
        .prepare_cached(
            "UPDATE shown SET epoch = ?3, cursor = ?4, turn = ?5 WHERE account = ?1 AND device = ?2",
        )?
        .execute(values)?;
    if known > 0 {
        return Ok(());
    }
    db.prepare_cached(
        "INSERT INTO shown (account, device, epoch, cursor, turn) VALUES (?1, ?2, ?3, ?4, ?5)",
    )?
    .execute(values)?;
    db.prepare_cached(
        "DELETE FROM shown WHERE account = ?1 AND turn <= \
         (SELECT turn FROM shown WHERE account = ?1 ORDER BY turn DESC LIMIT 1 OFFSET ?2)",
    )?
    .execute(params![account.as_str(), MOST_SHOWN])?;
    Ok(())
}
