//! The lines of who did what.

use super::super::account::AccountId;
use super::super::audit::{AuditLine, COUNTED_TOGETHER_MS, Did, MOST_LINES};
use super::super::store::{Asked, StoreFault};
use rusqlite::{Connection, OptionalExtension, Transaction, params};

pub(super) fn note(
    db: &Transaction<'_>,
    account: &AccountId,
    who: &AccountId,
    did: &Did,
    at_ms: i64,
) -> Asked<()> {
    let did = serde_json::to_string(did).map_err(|e| StoreFault::Engine(e.to_string()))?;
    // Among the last few lines: two coaches who read by turns fill no page each.
    let same: Option<i64> = db
        .prepare_cached(
            "SELECT number FROM (SELECT * FROM audit WHERE account = ?1 ORDER BY number DESC LIMIT 20) \
             WHERE who = ?2 AND did = ?3 AND from_ms > ?4 LIMIT 1",
        )?
        .query_row(params![account.as_str(), who.as_str(), did, at_ms - COUNTED_TOGETHER_MS], |row| {
            row.get(0)
        })
        .optional()?;
    if let Some(number) = same {
        db.prepare_cached(
            "UPDATE audit SET until_ms = max(until_ms, ?3), times = times + 1 WHERE account = ?1 AND number = ?2",
        )?
        .execute(params![account.as_str(), number, at_ms])?;
        return Ok(());
    }
    let last: i64 = db
        .prepare_cached("SELECT coalesce(max(number), 0) FROM audit WHERE account = ?1")?
        .query_row([account.as_str()], |row| row.get(0))?;
    db.prepare_cached(
        "INSERT INTO audit (account, number, who, did, from_ms, until_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?5)",
    )?
    .execute(params![account.as_str(), last + 1, who.as_str(), did, at_ms])?;
    let kept = i64::try_from(MOST_LINES).unwrap_or(i64::MAX);
    db.prepare_cached("DELETE FROM audit WHERE account = ?1 AND number <= ?2")?
        .execute(params![account.as_str(), last + 1 - kept])?;
    Ok(())
}

/// Which lines are taken where there are more than are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Which {
    Oldest,
    Newest,
}

/// Lines after a number, oldest first.
pub(super) fn lines(
    db: &Connection,
    account: &AccountId,
    after: u64,
    most: u32,
    which: Which,
) -> Asked<Vec<AuditLine>> {
    let mut statement = db.prepare_cached(match which {
        Which::Oldest => {
            "SELECT number, who, did, from_ms, until_ms, times FROM audit \
             WHERE account = ?1 AND number > ?2 ORDER BY number LIMIT ?3"
        }
        Which::Newest => {
            "SELECT * FROM (SELECT number, who, did, from_ms, until_ms, times FROM audit \
             WHERE account = ?1 AND number > ?2 ORDER BY number DESC LIMIT ?3) ORDER BY number"
        }
    })?;
    let after = i64::try_from(after).unwrap_or(i64::MAX);
    let mut rows = statement.query(params![account.as_str(), after, most])?;
    let mut out = Vec::new();
    while let Some(row) = rows.next()? {
        let (who, did): (String, String) = (row.get(1)?, row.get(2)?);
        let did: Did = serde_json::from_str(&did).map_err(|e| StoreFault::Damaged(e.to_string()))?;
        out.push(AuditLine {
            number: row.get::<_, i64>(0)?.unsigned_abs(),
            who,
            deed: did.deed,
            what: did.what,
            from_ms: row.get(3)?,
            until_ms: row.get(4)?,
            times: row.get::<_, i64>(5)?.unsigned_abs(),
        });
    }
    Ok(out)
}
