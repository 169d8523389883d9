//! Running sums: what the screens of the history show without reading the history.

use super::error::StoreError;
use super::rows::{self, RawRow};
use crate::record::{
    Entry, EntryId, Kind, LoadDone, Measure, Outcome, Purpose, Quantity, QuantityUnit, ReserveDone,
    SessionFields, SetFields, Time, View,
};
use chrono::Datelike;
use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;

/// What a movement's working sets add up to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MovementSum {
    /// Working sets.
    pub sets: u32,
    /// When the last ended, in milliseconds since 1970.
    pub last_ms: i64,
    /// The session of the last.
    pub last_session: Option<EntryId>,
}

/// The heaviest that was done for a number of repetitions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Best {
    /// How the mass is meant: `bar`, `pair` and so on.
    pub load_of: String,
    /// Repetitions.
    pub repetitions: u32,
    /// The mass, as entered.
    pub mass: String,
    /// The set.
    pub set: EntryId,
}

/// A movement's sets in an ISO week.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WeekSum {
    /// The week, such as `2026-W18`, at the place where the set was done.
    pub week: String,
    /// The movement's id.
    pub movement: String,
    /// Working sets.
    pub working: u32,
    /// Hard sets: four or fewer repetitions in reserve, or not reported.
    pub hard: u32,
}

/// Reads the running sums.
#[derive(Debug)]
pub struct Sums<'a>(pub(super) &'a Connection);

impl Sums<'_> {
    /// A movement's sum.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn movement(&self, movement: &str) -> Result<Option<MovementSum>, StoreError> {
        let row = self
            .0
            .prepare_cached("SELECT sets, last_ms, last_session FROM movement_sum WHERE movement = ?1")?
            .query_row([movement], |row| {
                let session: Vec<u8> = row.get(2)?;
                Ok(MovementSum {
                    sets: row.get(0)?,
                    last_ms: row.get(1)?,
                    last_session: EntryId::from_bytes(&session),
                })
            })
            .optional()?;
        Ok(row)
    }

    /// Every movement that has working sets, by id.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn movements(&self) -> Result<Vec<String>, StoreError> {
        let mut statement = self.0.prepare_cached("SELECT movement FROM movement_sum ORDER BY movement")?;
        let rows = statement.query_map([], |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// A movement's bests, by load and repetitions.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn bests(&self, movement: &str) -> Result<Vec<Best>, StoreError> {
        let mut statement = self.0.prepare_cached(
            "SELECT load_of, repetitions, mass, id FROM best WHERE movement = ?1 ORDER BY load_of, repetitions",
        )?;
        let mut rows = statement.query([movement])?;
        let mut bests = Vec::new();
        while let Some(row) = rows.next()? {
            let id: Vec<u8> = row.get(3)?;
            bests.push(Best {
                load_of: row.get(0)?,
                repetitions: row.get(1)?,
                mass: row.get(2)?,
                set: EntryId::from_bytes(&id).ok_or_else(|| StoreError::damaged("a best names no set"))?,
            });
        }
        Ok(bests)
    }

    /// The sets of every movement in the weeks from `from` to `to`, both included.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn weeks(&self, from: &str, to: &str) -> Result<Vec<WeekSum>, StoreError> {
        let mut statement = self.0.prepare_cached(
            "SELECT week, movement, working, hard FROM week_sum WHERE week BETWEEN ?1 AND ?2 ORDER BY week, movement",
        )?;
        let rows = statement.query_map([from, to], |row| {
            Ok(WeekSum { week: row.get(0)?, movement: row.get(1)?, working: row.get(2)?, hard: row.get(3)? })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The number of sessions begun in each of the weeks from `from` to `to`; a week without one is absent.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn sessions(&self, from: &str, to: &str) -> Result<Vec<(String, u32)>, StoreError> {
        let mut statement = self.0.prepare_cached(
            "SELECT week, sessions FROM week_sessions WHERE week BETWEEN ?1 AND ?2 ORDER BY week",
        )?;
        let rows = statement.query_map([from, to], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// The ISO week of a time at its place, such as `2026-W18`.
fn week(time: &Time) -> String {
    let week = time.date().iso_week();
    format!("{:04}-W{:02}", week.year(), week.week())
}

/// What one set adds.
#[derive(Debug, Clone, PartialEq, Eq)]
struct SetPart {
    movement: String,
    week: Option<String>,
    ended_ms: i64,
    session: Vec<u8>,
    hard: bool,
    best: Option<BestPart>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct BestPart {
    load_of: &'static str,
    repetitions: u32,
    amount: i64,
    mass: String,
}

/// What an entry adds to the sums; nothing when it is deleted or of a kind that is not summed.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Part {
    Set(SetPart),
    Session(String),
}

fn part(entry: &Entry) -> Option<Part> {
    match entry.kind {
        Kind::Set if !entry.deleted() => {
            let (set, _) = SetFields::read(entry);
            if set.purpose.is_some_and(|p| p != Purpose::Working) {
                return None;
            }
            let at = set.ended_at.as_ref().or(set.started_at.as_ref());
            Some(Part::Set(SetPart {
                week: at.map(week),
                ended_ms: at.map_or(0, Time::millis),
                session: set.session.map(|s| s.bytes().to_vec()).unwrap_or_default(),
                hard: !matches!(set.reserve, Some(ReserveDone::Reps(reps)) if reps > 4),
                best: best(&set),
                movement: set.movement?,
            }))
        }
        Kind::Session if !entry.deleted() => {
            SessionFields::read(entry).0.begun_at.as_ref().map(|at| Part::Session(week(at)))
        }
        _ => None,
    }
}

fn best(set: &SetFields) -> Option<BestPart> {
    let repetitions = set.measure.is_none_or(|m| m == Measure::Repetitions);
    if !repetitions || set.outcome == Some(Outcome::Missed) {
        return None;
    }
    let (load_of, mass) = match set.load.as_ref()? {
        LoadDone::Bar { mass } => ("bar", mass),
        LoadDone::Dumbbell { mass } => ("dumbbell", mass),
        LoadDone::Pair { mass } => ("pair", mass),
        LoadDone::Stack { mass } => ("stack", mass),
        LoadDone::Sled { mass } => ("sled", mass),
        LoadDone::Added { mass } => ("added", mass),
        LoadDone::Assisted { .. } | LoadDone::BodyMass | LoadDone::Band { .. } => return None,
    };
    Some(BestPart { load_of, repetitions: set.amount?, amount: amount(mass)?, mass: mass.to_string() })
}

/// A mass in 1e-10 kg, for comparing; [`None`] for what is no mass or beyond all range.
fn amount(mass: &Quantity) -> Option<i64> {
    let (whole, part) = mass.number().split_once('.').unwrap_or((mass.number(), ""));
    let digits: i128 = format!("{whole}{part:0<10}").parse().ok()?;
    let amount = match mass.unit() {
        QuantityUnit::Kilogram => digits,
        // 1 lb = 0.45359237 kg exactly.
        QuantityUnit::Pound => digits * 45_359_237 / 100_000_000,
        QuantityUnit::Centimetre | QuantityUnit::Inch | QuantityUnit::PerCent => return None,
    };
    i64::try_from(amount).ok()
}

/// Brings the sums from what an entry was to what it is.
pub(super) fn update(db: &Connection, old: Option<&Entry>, new: &Entry) -> Result<(), StoreError> {
    let (old, new_part) = (old.and_then(part), part(new));
    if old == new_part {
        return Ok(());
    }
    match &old {
        Some(Part::Set(set)) => take_set(db, set, new)?,
        Some(Part::Session(week)) => count_session(db, week, -1)?,
        None => {}
    }
    match &new_part {
        Some(Part::Set(set)) => add_set(db, set, new)?,
        Some(Part::Session(week)) => count_session(db, week, 1)?,
        None => {}
    }
    Ok(())
}

fn count_session(db: &Connection, week: &str, by: i64) -> Result<(), StoreError> {
    db.prepare_cached(
        "INSERT INTO week_sessions (week, sessions) VALUES (?1, ?2) \
         ON CONFLICT (week) DO UPDATE SET sessions = sessions + ?2",
    )?
    .execute(params![week, by])?;
    db.prepare_cached("DELETE FROM week_sessions WHERE week = ?1 AND sessions = 0")?.execute([week])?;
    Ok(())
}

fn count_week(db: &Connection, set: &SetPart, by: i64) -> Result<(), StoreError> {
    let Some(week) = &set.week else { return Ok(()) };
    db.prepare_cached(
        "INSERT INTO week_sum (week, movement, working, hard) VALUES (?1, ?2, ?3, ?4) \
         ON CONFLICT (week, movement) DO UPDATE SET working = working + ?3, hard = hard + ?4",
    )?
    .execute(params![week, set.movement, by, if set.hard { by } else { 0 }])?;
    if by < 0 {
        db.prepare_cached("DELETE FROM week_sum WHERE week = ?1 AND movement = ?2 AND working = 0")?
            .execute([week, &set.movement])?;
    }
    Ok(())
}

// Equal loads keep the earlier entry, equal times the greater session, so that the sums do not depend on the order.
fn add_set(db: &Connection, set: &SetPart, entry: &Entry) -> Result<(), StoreError> {
    count_week(db, set, 1)?;
    db.prepare_cached(
        "INSERT INTO movement_sum (movement, sets, last_ms, last_session) VALUES (?1, 1, ?2, ?3) \
         ON CONFLICT (movement) DO UPDATE SET sets = sets + 1, \
         last_session = CASE WHEN (?2, ?3) > (last_ms, last_session) THEN ?3 ELSE last_session END, \
         last_ms = max(last_ms, ?2)",
    )?
    .execute(params![set.movement, set.ended_ms, set.session])?;
    if let Some(best) = &set.best {
        db.prepare_cached(
            "INSERT INTO best (movement, load_of, repetitions, amount, mass, id) VALUES (?1, ?2, ?3, ?4, ?5, ?6) \
             ON CONFLICT (movement, load_of, repetitions) DO UPDATE SET amount = ?4, mass = ?5, id = ?6 \
             WHERE ?4 > amount OR (?4 = amount AND ?6 < id)",
        )?
        .execute(params![
            set.movement,
            best.load_of,
            best.repetitions,
            best.amount,
            best.mass,
            &entry.id.bytes()[..]
        ])?;
    }
    Ok(())
}

/// Takes off what a set added. What was the last or the best is looked for again, among this movement's sets only.
fn take_set(db: &Connection, set: &SetPart, entry: &Entry) -> Result<(), StoreError> {
    count_week(db, set, -1)?;
    db.prepare_cached("UPDATE movement_sum SET sets = sets - 1 WHERE movement = ?1")?
        .execute([&set.movement])?;
    let last: Option<(i64, i64, Vec<u8>)> = db
        .prepare_cached("SELECT sets, last_ms, last_session FROM movement_sum WHERE movement = ?1")?
        .query_row([&set.movement], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
        .optional()?;
    let was_last =
        last.as_ref().is_some_and(|(_, ms, session)| (*ms, session) == (set.ended_ms, &set.session));
    let was_best = match &set.best {
        Some(best) => db
            .prepare_cached(
                "SELECT 1 FROM best WHERE movement = ?1 AND load_of = ?2 AND repetitions = ?3 AND id = ?4",
            )?
            .exists(params![set.movement, best.load_of, best.repetitions, &entry.id.bytes()[..]])?,
        None => false,
    };
    if last.is_some_and(|(sets, _, _)| sets == 0) {
        db.prepare_cached("DELETE FROM movement_sum WHERE movement = ?1")?.execute([&set.movement])?;
    } else if was_last {
        let mut last = (i64::MIN, Vec::new());
        each_other_set(db, &set.movement, entry, |_, other| {
            last = last.clone().max((other.ended_ms, other.session.clone()));
            // The sets come newest first, so that only those of the same instant are of interest.
            other.ended_ms >= last.0
        })?;
        db.prepare_cached("UPDATE movement_sum SET last_ms = ?2, last_session = ?3 WHERE movement = ?1")?
            .execute(params![set.movement, last.0, last.1])?;
    }
    if let (true, Some(gone)) = (was_best, &set.best) {
        db.prepare_cached("DELETE FROM best WHERE movement = ?1 AND load_of = ?2 AND repetitions = ?3")?
            .execute(params![set.movement, gone.load_of, gone.repetitions])?;
        let mut found: Option<(BestPart, Entry)> = None;
        each_other_set(db, &set.movement, entry, |other_entry, other| {
            if let Some(best) = &other.best
                && (best.load_of, best.repetitions) == (gone.load_of, gone.repetitions)
                && found.as_ref().is_none_or(|(f, e)| (best.amount, e.id) > (f.amount, other_entry.id))
            {
                found = Some((best.clone(), other_entry.clone()));
            }
            true
        })?;
        if let Some((best, other)) = found {
            db.prepare_cached(
                "INSERT INTO best (movement, load_of, repetitions, amount, mass, id) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            )?
            .execute(params![
                set.movement,
                best.load_of,
                best.repetitions,
                best.amount,
                best.mass,
                &other.id.bytes()[..]
            ])?;
        }
    }
    Ok(())
}

/// Every counted set of a movement but one, newest first, until `each` has seen enough.
fn each_other_set(
    db: &Connection,
    movement: &str,
    but: &Entry,
    mut each: impl FnMut(&Entry, &SetPart) -> bool,
) -> Result<(), StoreError> {
    const STEP: u32 = 64;
    let mut offset = 0;
    loop {
        let entries = rows::select(db, rows::OF_MOVEMENT, params![movement, STEP, offset])?;
        for entry in entries.iter().filter(|e| e.id != but.id) {
            if let Some(Part::Set(set)) = part(entry)
                && !each(entry, &set)
            {
                return Ok(());
            }
        }
        if entries.len() < STEP as usize {
            return Ok(());
        }
        offset += STEP;
    }
}

/// Makes all sums again from the entries that can be read.
pub(super) fn rebuild(db: &Connection) -> Result<(), StoreError> {
    db.execute_batch(
        "DELETE FROM movement_sum; DELETE FROM best; DELETE FROM week_sum; DELETE FROM week_sessions;",
    )?;
    let mut statement = db.prepare("SELECT id, kind, body, digest FROM entry ORDER BY id")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        // An entry that differs from its digest is told when it is read, and counts for nothing.
        if let Ok(entry) = RawRow::of(row)?.entry() {
            update(db, None, &entry)?;
        }
    }
    Ok(())
}

/// All the sums as text, for comparing.
pub(super) fn dump(db: &Connection) -> Result<Vec<String>, StoreError> {
    let mut lines = Vec::new();
    for query in [
        "SELECT movement || ' ' || sets || ' ' || last_ms || ' ' || hex(last_session) FROM movement_sum ORDER BY movement",
        "SELECT movement || ' ' || load_of || ' ' || repetitions || ' ' || amount || ' ' || mass || ' ' || hex(id) \
         FROM best ORDER BY movement, load_of, repetitions",
        "SELECT week || ' ' || movement || ' ' || working || ' ' || hard FROM week_sum ORDER BY week, movement",
        "SELECT week || ' ' || sessions FROM week_sessions ORDER BY week",
    ] {
        let mut statement = db.prepare(query)?;
        let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
        for row in rows {
            lines.push(row?);
        }
    }
    Ok(lines)
}
