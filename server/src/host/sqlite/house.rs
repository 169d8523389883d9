//! What the store says of itself, and erasing.

use super::super::account::AccountId;
use super::super::store::{Asked, House, StoreFault};
use rusqlite::{Connection, OptionalExtension, Transaction};

const HOUSE: &str = "house";

pub(super) fn house(db: &Connection) -> Asked<Option<House>> {
    let text: Option<String> =
        db.query_row("SELECT value FROM meta WHERE name = ?1", [HOUSE], |row| row.get(0)).optional()?;
    text.map(|t| serde_json::from_str(&t).map_err(|e| StoreFault::Damaged(e.to_string()))).transpose()
}

pub(super) fn keep_house(db: &Transaction<'_>, house: &House) -> Asked<()> {
    let text = serde_json::to_string(house).map_err(|e| StoreFault::Engine(e.to_string()))?;
    db.execute(
        "INSERT INTO meta (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2",
        [HOUSE, &text],
    )?;
    Ok(())
}

pub(super) fn erase(db: &Transaction<'_>, account: &AccountId) -> Asked<()> {
    for owned in [
        "DELETE FROM entry WHERE account = ?1",
        "DELETE FROM kind_sum WHERE account = ?1",
        "DELETE FROM shown WHERE account = ?1",
        "DELETE FROM voided WHERE account = ?1",
        "DELETE FROM audit WHERE account = ?1",
        "DELETE FROM device WHERE account = ?1",
        "DELETE FROM offered WHERE account = ?1",
        "DELETE FROM named WHERE coach = ?1 OR lifter = ?1",
        "DELETE FROM account WHERE id = ?1",
    ] {
        db.execute(owned, [account.as_str()])?;
    }
    Ok(())
}
