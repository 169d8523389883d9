//! Entries as rows: every read verifies the digest, every write keeps the columns that are read from the body.

use super::error::StoreError;
use crate::record::{Entry, EntryId, Kind, Time, read_stored};
use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};

const COLUMNS: &str = "id, kind, body, digest";

/// A row as it lies in the file, not yet believed.
pub(super) struct RawRow {
    pub(super) id: Vec<u8>,
    kind: String,
    body: String,
    digest: Vec<u8>,
}

impl RawRow {
    pub(super) fn of(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self { id: row.get(0)?, kind: row.get(1)?, body: row.get(2)?, digest: row.get(3)? })
    }

    /// The entry, when id, kind, body and digest agree.
    pub(super) fn entry(&self) -> Result<Entry, StoreError> {
        let name =
            || EntryId::from_bytes(&self.id).map_or_else(|| "without identity".into(), |id| id.to_string());
        read_stored(&self.body, &self.digest)
            .filter(|entry| entry.id.bytes()[..] == self.id[..] && entry.kind.name() == self.kind)
            .ok_or_else(|| StoreError::damaged(format!("the entry {} differs from its digest", name())))
    }
}

/// What the columns say that are read from the body.
struct Columns {
    session: Vec<u8>,
    movement: String,
    ended_ms: i64,
}

fn columns(entry: &Entry) -> Columns {
    if entry.kind != Kind::Set {
        return Columns { session: Vec::new(), movement: String::new(), ended_ms: 0 };
    }
    let at = field::<Time>(entry, "ended_at").or_else(|| field(entry, "started_at"));
    Columns {
        session: field::<EntryId>(entry, "session").map(|s| s.bytes().to_vec()).unwrap_or_default(),
        ended_ms: at.as_ref().map_or(0, Time::millis),
        movement: field(entry, "movement").unwrap_or_default(),
    }
}

/// One field of an entry, without reading the others.
fn field<T: DeserializeOwned>(entry: &Entry, name: &str) -> Option<T> {
    entry.fields.get(name)?.value.read::<Option<T>>().ok().flatten()
}

pub(super) fn save(db: &Connection, entry: &Entry) -> Result<(), StoreError> {
    let c = columns(entry);
    let (text, digest) = entry.text_and_digest();
    db.prepare_cached(
        "INSERT INTO entry (id, kind, body, digest, session, movement, ended_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) \
         ON CONFLICT (id) DO UPDATE SET kind = ?2, body = ?3, digest = ?4, session = ?5, movement = ?6, ended_ms = ?7",
    )?
    .execute(params![
        &entry.id.bytes()[..],
        entry.kind.name(),
        text,
        digest,
        c.session,
        c.movement,
        c.ended_ms
    ])?;
    Ok(())
}

/// Whether the columns that are read from the body are what the body says.
pub(super) fn columns_agree(entry: &Entry, row: &Row<'_>) -> rusqlite::Result<bool> {
    let c = columns(entry);
    Ok(row.get::<_, Vec<u8>>(4)? == c.session
        && row.get::<_, String>(5)? == c.movement
        && row.get::<_, i64>(6)? == c.ended_ms)
}

pub(super) fn load(db: &Connection, id: &EntryId) -> Result<Option<Entry>, StoreError> {
    db.prepare_cached("SELECT id, kind, body, digest FROM entry WHERE id = ?1")?
        .query_row([&id.bytes()[..]], RawRow::of)
        .optional()?
        .map(|row| row.entry())
        .transpose()
}

/// The hot queries, each in one place so that its plan is asserted. `{}` stands for the columns of an entry.
pub(super) const OF_KIND: &str =
    "SELECT {} FROM entry WHERE kind = ?1 AND kind <> 'set' AND id > ?2 ORDER BY id LIMIT ?3";
pub(super) const SETS: &str = "SELECT {} FROM entry WHERE id > ?1 AND kind = 'set' ORDER BY id LIMIT ?2";
pub(super) const ALL: &str = "SELECT {} FROM entry WHERE id > ?1 ORDER BY id LIMIT ?2";
pub(super) const OF_SESSION: &str = "SELECT {} FROM entry WHERE kind = 'set' AND session = ?1 ORDER BY id";
pub(super) const OF_MOVEMENT: &str = "SELECT {} FROM entry WHERE kind = 'set' AND movement = ?1 ORDER BY ended_ms DESC, id DESC LIMIT ?2 OFFSET ?3";

pub(super) fn select(
    db: &Connection,
    query: &str,
    given: impl rusqlite::Params,
) -> Result<Vec<Entry>, StoreError> {
    let mut statement = db.prepare_cached(&query.replace("{}", COLUMNS))?;
    let mut rows = statement.query(given)?;
    let mut entries = Vec::new();
    while let Some(row) = rows.next()? {
        entries.push(RawRow::of(row)?.entry()?);
    }
    Ok(entries)
}

/// One value of the table `meta`.
pub(super) fn meta(db: &Connection, name: &str) -> Result<Option<String>, StoreError> {
    let mut statement = db.prepare_cached("SELECT value FROM meta WHERE name = ?1")?;
    Ok(statement.query_row([name], |row| row.get(0)).optional()?)
}

pub(super) fn set_meta(db: &Connection, name: &str, value: &str) -> Result<(), StoreError> {
    db.prepare_cached(
        "INSERT INTO meta (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2",
    )?
    .execute([name, value])?;
    Ok(())
}

/// The snapshot of the open session, whole, and what changed since, in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Session {
    /// The last whole snapshot.
    pub whole: String,
    /// What each write after it changed.
    pub steps: Vec<String>,
}

/// What a write does with the snapshot of the open session.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep<'a> {
    /// No session is open any more.
    Nothing,
    /// A whole snapshot, instead of what is there.
    Whole(&'a str),
    /// What changed, after what is there.
    Step(&'a str),
}

fn digest(text: &str) -> [u8; 32] {
    Sha256::digest(text.as_bytes()).into()
}

pub(super) fn keep_session(db: &Connection, keep: Keep<'_>) -> Result<(), StoreError> {
    match keep {
        Keep::Nothing => {
            db.prepare_cached("DELETE FROM floor")?.execute([])?;
            db.prepare_cached("DELETE FROM floor_step")?.execute([])?;
        }
        Keep::Whole(whole) => {
            db.prepare_cached("DELETE FROM floor_step")?.execute([])?;
            db.prepare_cached(
                "INSERT INTO floor (one, snapshot, digest) VALUES (1, ?1, ?2) \
                 ON CONFLICT (one) DO UPDATE SET snapshot = ?1, digest = ?2",
            )?
            .execute(params![whole, digest(whole)])?;
        }
        Keep::Step(step) => {
            db.prepare_cached(
                "INSERT INTO floor_step (number, step, digest) \
                 VALUES ((SELECT coalesce(max(number), 0) + 1 FROM floor_step), ?1, ?2)",
            )?
            .execute(params![step, digest(step)])?;
        }
    }
    Ok(())
}

pub(super) fn session(db: &Connection) -> Result<Option<Session>, StoreError> {
    let good = |(text, said): (String, [u8; 32])| {
        if digest(&text) == said {
            Ok(text)
        } else {
            Err(StoreError::damaged("the snapshot of the open session differs from its digest"))
        }
    };
    let whole: Option<(String, [u8; 32])> = db
        .prepare_cached("SELECT snapshot, digest FROM floor WHERE one = 1")?
        .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let Some(whole) = whole else { return Ok(None) };
    let mut session = Session { whole: good(whole)?, steps: Vec::new() };
    let mut statement = db.prepare_cached("SELECT number, step, digest FROM floor_step ORDER BY number")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        // They are numbered from 1 without a gap.
        if row.get::<_, i64>(0)? != session.steps.len() as i64 + 1 {
            return Err(StoreError::damaged("a step of the open session is missing"));
        }
        session.steps.push(good((row.get(1)?, row.get(2)?))?);
    }
    Ok(Some(session))
}
