//! Accounts, their devices, one-time codes, and what stands beside their grants.

use super::super::account::{Account, AccountId, Hashed, Offered, PairedDevice};
use super::super::store::{Asked, StoreFault};
use plinth_core::record::{EntryId, Stamp};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};
use std::collections::BTreeMap;

fn damaged(what: &str) -> StoreFault {
    StoreFault::Damaged(what.to_owned())
}

fn account_of(row: (String, String, i64)) -> Asked<Account> {
    let (id, role, made_ms) = row;
    let id = id.parse().map_err(damaged)?;
    Ok(Account { id, role: role.parse().map_err(damaged)?, made_ms })
}

pub(super) fn accounts(db: &Connection, after: Option<&AccountId>, most: u32) -> Asked<Vec<Account>> {
    let mut statement =
        db.prepare_cached("SELECT id, role, made_ms FROM account WHERE id > ?1 ORDER BY id LIMIT ?2")?;
    let after = after.map_or("", AccountId::as_str);
    let rows =
        statement.query_map(params![after, most], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    rows.map(|row| account_of(row?)).collect()
}

pub(super) fn account(db: &Connection, account: &AccountId) -> Asked<Option<Account>> {
    db.prepare_cached("SELECT id, role, made_ms FROM account WHERE id = ?1")?
        .query_row([account.as_str()], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
        .optional()?
        .map(account_of)
        .transpose()
}

pub(super) fn make_account(db: &Transaction<'_>, account: &Account) -> Asked<bool> {
    let made = db.execute(
        "INSERT OR IGNORE INTO account (id, role, made_ms) VALUES (?1, ?2, ?3)",
        params![account.id.as_str(), account.role.name(), account.made_ms],
    )?;
    Ok(made == 1)
}

pub(super) fn device_of(row: &Row<'_>) -> rusqlite::Result<PairedDevice> {
    let next: Vec<u8> = row.get(4)?;
    let revoked_ms: i64 = row.get(7)?;
    Ok(PairedDevice {
        key: row.get(0)?,
        name: row.get(1)?,
        app: row.get(2)?,
        token: row.get(3)?,
        next: Hashed::try_from(next.as_slice()).ok(),
        paired_ms: row.get(5)?,
        seen_ms: row.get(6)?,
        revoked_ms: (revoked_ms != 0).then_some(revoked_ms),
    })
}

pub(super) const DEVICE: &str = "key, name, app, token, next, paired_ms, seen_ms, revoked_ms";

pub(super) fn devices(db: &Connection, account: &AccountId) -> Asked<Vec<PairedDevice>> {
    let mut statement =
        db.prepare_cached(&format!("SELECT {DEVICE} FROM device WHERE account = ?1 ORDER BY key"))?;
    let rows = statement.query_map([account.as_str()], device_of)?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

pub(super) fn keep_device(
    db: &Transaction<'_>,
    account: &AccountId,
    was: Option<&PairedDevice>,
    now: &PairedDevice,
) -> Asked<bool> {
    let there = db
        .prepare_cached(&format!("SELECT {DEVICE} FROM device WHERE account = ?1 AND key = ?2"))?
        .query_row([account.as_str(), &now.key], device_of)
        .optional()?;
    let lives = db.prepare_cached("SELECT 1 FROM account WHERE id = ?1")?.exists([account.as_str()])?;
    if there.as_ref() != was || !lives {
        return Ok(false);
    }
    db.prepare_cached(&format!(
        "INSERT OR REPLACE INTO device (account, {DEVICE}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)"
    ))?
    .execute(params![
        account.as_str(),
        now.key,
        now.name,
        now.app,
        now.token,
        now.next.as_ref().map_or(&[][..], |n| &n[..]),
        now.paired_ms,
        now.seen_ms,
        now.revoked_ms.unwrap_or(0),
    ])?;
    Ok(true)
}

pub(super) fn offer(db: &Transaction<'_>, offered: &Offered, now_ms: i64) -> Asked<()> {
    db.execute("DELETE FROM offered WHERE until_ms <= ?1", [now_ms])?;
    db.execute(
        "INSERT OR REPLACE INTO offered (code, account, until_ms) VALUES (?1, ?2, ?3)",
        params![offered.code, offered.account.as_str(), offered.until_ms],
    )?;
    Ok(())
}

pub(super) fn offered(db: &Connection, now_ms: i64, most: u32) -> Asked<Vec<Offered>> {
    let mut statement = db.prepare_cached(
        "SELECT code, account, until_ms FROM offered WHERE until_ms > ?1 ORDER BY code LIMIT ?2",
    )?;
    let rows = statement.query_map(params![now_ms, most], |row| {
        Ok((row.get::<_, Hashed>(0)?, row.get::<_, String>(1)?, row.get::<_, i64>(2)?))
    })?;
    rows.map(|row| {
        let (code, account, until_ms) = row?;
        Ok(Offered { code, account: account.parse().map_err(damaged)?, until_ms })
    })
    .collect()
}

pub(super) fn redeem(db: &Transaction<'_>, code: &Hashed) -> Asked<bool> {
    Ok(db.execute("DELETE FROM offered WHERE code = ?1", [code])? == 1)
}

pub(super) fn voided(db: &Connection, account: &AccountId) -> Asked<BTreeMap<EntryId, Stamp>> {
    let mut statement = db.prepare_cached("SELECT id, stamp FROM voided WHERE account = ?1")?;
    let rows = statement
        .query_map([account.as_str()], |row| Ok((row.get::<_, Vec<u8>>(0)?, row.get::<_, String>(1)?)))?;
    rows.map(|row| {
        let (id, stamp) = row?;
        let id = EntryId::from_bytes(&id).ok_or_else(|| damaged("a grant has no id"))?;
        Ok((id, stamp.parse().map_err(damaged)?))
    })
    .collect()
}

pub(super) fn void(db: &Transaction<'_>, account: &AccountId, grant: EntryId, stamp: Stamp) -> Asked<()> {
    // The text of a stamp has the order of the stamp.
    db.execute(
        "INSERT INTO voided (account, id, stamp) VALUES (?1, ?2, ?3) \
         ON CONFLICT (account, id) DO UPDATE SET stamp = max(stamp, ?3)",
        params![account.as_str(), &grant.bytes()[..], stamp.to_string()],
    )?;
    Ok(())
}

pub(super) fn name_coach(db: &Transaction<'_>, coach: &AccountId, lifter: &AccountId) -> Asked<()> {
    db.execute(
        "INSERT OR IGNORE INTO named (coach, lifter) VALUES (?1, ?2)",
        [coach.as_str(), lifter.as_str()],
    )?;
    Ok(())
}

pub(super) fn named_by(
    db: &Connection,
    coach: &AccountId,
    after: Option<&AccountId>,
    most: u32,
) -> Asked<Vec<AccountId>> {
    let mut statement = db.prepare_cached(
        "SELECT lifter FROM named WHERE coach = ?1 AND lifter > ?2 ORDER BY lifter LIMIT ?3",
    )?;
    let after = after.map_or("", AccountId::as_str);
    let rows = statement.query_map(params![coach.as_str(), after, most], |row| row.get::<_, String>(0))?;
    rows.map(|row| row?.parse().map_err(damaged)).collect()
}
