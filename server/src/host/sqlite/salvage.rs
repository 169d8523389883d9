//! Reads what can be read of a damaged file: one bad page hides only its own rows.

use super::super::account::{AccountId, PairedDevice, Role};
use super::super::audit::Did;
use super::super::store::{Asked, StoreFault};
use super::mend::Lost;
use super::record::{HELD, Raw};
use super::{APPLICATION, LATEST, people};
use plinth_core::record::{EntryId, Stamp, hex_of};
use rusqlite::{Connection, Row, Transaction, params};
use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::Path;

/// Numbers that an account can come to; a greater one is a flipped bit.
const FURTHEST: i64 = 1 << 53;

/// A copy of a damaged file that is open.
pub(super) struct Salvage {
    db: Connection,
}

/// An account's own row: what it is for, when it was made, its number.
pub(super) type AccountRow = (String, i64, i64);

/// What an index says of the rows: the account, and the rest of its key.
type Said<T> = HashMap<i64, (String, T)>;

/// What takes a good entry: its account, the row, and whether its number can be believed.
type Take<'a> = &'a mut dyn FnMut(&AccountId, Raw, bool) -> Asked<()>;

impl Salvage {
    /// Opens it.
    ///
    /// # Errors
    /// Where not even its tables are known.
    pub(super) fn open(copy: &Path) -> Asked<Self> {
        let db = Connection::open(copy)?;
        // Alone, so that the log is read without shared memory.
        db.pragma_update(None, "locking_mode", "EXCLUSIVE")?;
        let version: i64 = db.pragma_query_value(None, "user_version", |row| row.get(0))?;
        let application: i64 = db.pragma_query_value(None, "application_id", |row| row.get(0))?;
        // A flipped bit spoils one of the two.
        if application != APPLICATION && !(1..=LATEST).contains(&version) {
            return Err(StoreFault::NotAStore(copy.display().to_string()));
        }
        db.prepare(&format!("SELECT account, {HELD} FROM entry"))?;
        Ok(Self { db })
    }

    pub(super) const fn db(&self) -> &Connection {
        &self.db
    }

    /// The rows of a query that can be read, `{}` standing for its order: from the first on, and where that stops, from
    /// the last on. Says whether one way led from end to end.
    fn rows(&self, query: &str, mut read: impl FnMut(&Row<'_>)) -> bool {
        ["ASC", "DESC"].iter().any(|order| self.rows_once(&query.replace("{}", order), &mut read))
    }

    fn rows_once(&self, query: &str, read: &mut impl FnMut(&Row<'_>)) -> bool {
        let Ok(mut statement) = self.db.prepare(query) else { return false };
        let Ok(mut rows) = statement.query([]) else { return false };
        loop {
            match rows.next() {
                Ok(Some(row)) => read(row),
                Ok(None) => return true,
                Err(_) => return false,
            }
        }
    }

    fn said<T: rusqlite::types::FromSql>(&self, query: &str) -> Said<T> {
        let mut said = Said::new();
        self.rows(query, |row| {
            let read = || Ok::<_, rusqlite::Error>((row.get(0)?, (row.get(1)?, row.get(2)?)));
            said.extend(read());
        });
        said
    }

    /// Gives every good entry to `take`; says which were there and are not good.
    ///
    /// # Errors
    /// Those of `take`.
    pub(super) fn each_entry(&self, take: Take<'_>) -> Asked<Vec<Lost>> {
        let ids: Said<Vec<u8>> = self.said(
            "SELECT rowid, account, id FROM entry INDEXED BY sqlite_autoindex_entry_1 ORDER BY account {}, id {}",
        );
        let numbers: Said<i64> = self.said(
            "SELECT rowid, account, number FROM entry INDEXED BY entry_by_number ORDER BY account {}, number {}",
        );
        let (mut good, mut bad, mut fault) = (HashSet::new(), HashMap::new(), None);
        let mut read = |row: &Row<'_>| {
            let Ok(at) = row.get::<_, i64>(0) else { return };
            if fault.is_some() || good.contains(&at) {
                return;
            }
            let (account, raw) = (row.get::<_, String>(1), Raw::at(row, 2));
            if let (Ok(account), Ok(raw)) = (&account, raw) {
                let by_id = ids.get(&at).is_some_and(|(a, id)| a == account && *id == raw.id);
                let numbered = numbers.get(&at).is_some_and(|(a, n)| a == account && *n == raw.number);
                let by_number = numbers.get(&at).is_some_and(|(a, _)| a == account);
                let owner = account.parse().ok().filter(|_| (by_id || by_number) && raw.held().is_some());
                if let Some(owner) = owner {
                    good.insert(at);
                    let numbered = numbered && (1..FURTHEST).contains(&raw.number);
                    fault = take(&owner, raw, numbered).err();
                    return;
                }
            }
            let id = row.get::<_, Vec<u8>>(2).unwrap_or_default();
            bad.insert(at, (account.unwrap_or_default(), id));
        };
        let query = format!("SELECT rowid, account, {HELD} FROM entry NOT INDEXED ORDER BY rowid {{}}");
        self.rows(&query, &mut read);
        // Found singly, so that one bad page hides only its own.
        let one = format!("SELECT rowid, account, {HELD} FROM entry WHERE rowid = ");
        for at in ids.keys().chain(numbers.keys()) {
            self.rows_once(&format!("{one}{at}"), &mut read);
        }
        if let Some(fault) = fault {
            return Err(fault);
        }
        for (at, (account, id)) in ids {
            bad.insert(at, (account, id));
        }
        for (at, (account, _)) in numbers {
            bad.entry(at).or_insert((account, Vec::new()));
        }
        let lost = bad.into_iter().filter(|(at, _)| !good.contains(at)).map(|(_, (account, id))| Lost {
            account,
            entry: EntryId::from_bytes(&id).map_or_else(|| hex_of(&id), |id| id.to_string()),
        });
        let mut lost: Vec<Lost> = lost.collect();
        lost.sort_unstable();
        Ok(lost)
    }

    /// The accounts whose own rows can be read.
    pub(super) fn accounts(&self) -> BTreeMap<AccountId, AccountRow> {
        let mut accounts = BTreeMap::new();
        self.rows("SELECT id, role, made_ms, number FROM account ORDER BY id {}", |row| {
            let read = || -> rusqlite::Result<(String, String, i64, i64)> {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            };
            let Ok((id, role, made_ms, number)) = read() else { return };
            if let (Ok(id), Ok(role)) = (id.parse(), role.parse::<Role>()) {
                let number = if (0..FURTHEST).contains(&number) { number } else { 0 };
                accounts.insert(id, (role.name().to_owned(), made_ms, number));
            }
        });
        accounts
    }

    /// The devices whose rows can be read. One that cannot pairs anew.
    pub(super) fn devices(&self) -> Vec<(AccountId, PairedDevice)> {
        let mut devices = BTreeMap::new();
        let query = format!("SELECT {}, account FROM device ORDER BY account {{}}, key {{}}", people::DEVICE);
        self.rows(&query, |row| {
            let account = row.get::<_, String>(8).ok().and_then(|a| a.parse::<AccountId>().ok());
            if let (Some(account), Ok(device)) = (account, people::device_of(row)) {
                devices.insert((account, device.key.clone()), device);
            }
        });
        devices.into_iter().map(|((account, _), device)| (account, device)).collect()
    }

    /// The grants that count no more, and whether all of them could be read.
    pub(super) fn voided(&self) -> (Vec<(AccountId, EntryId, Stamp)>, bool) {
        let (mut voided, mut whole) = (Vec::new(), true);
        let ended = self.rows("SELECT account, id, stamp FROM voided ORDER BY account {}, id {}", |row| {
            let account = row.get::<_, String>(0).ok().and_then(|a| a.parse().ok());
            let id = row.get::<_, Vec<u8>>(1).ok().and_then(|id| EntryId::from_bytes(&id));
            let stamp = row.get::<_, String>(2).ok().and_then(|s| s.parse().ok());
            match (account, id, stamp) {
                (Some(account), Some(id), Some(stamp)) => voided.push((account, id, stamp)),
                _ => whole = false,
            }
        });
        (voided, whole && ended)
    }

    /// Puts into a fresh file what can be read of who did what.
    ///
    /// # Errors
    /// Those of the fresh file.
    pub(super) fn copy_audit(&self, to: &Transaction<'_>) -> Asked<()> {
        type Line = (String, i64, String, String, i64, i64, i64);
        let mut put = to.prepare(
            "INSERT OR IGNORE INTO audit (account, number, who, did, from_ms, until_ms, times) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        )?;
        let mut fault = None;
        let query = "SELECT account, number, who, did, from_ms, until_ms, times FROM audit \
                     ORDER BY account {}, number {}";
        self.rows(query, |row| {
            let read = || -> rusqlite::Result<Line> {
                let whole = (row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?);
                Ok((whole.0, whole.1, whole.2, whole.3, row.get(4)?, row.get(5)?, row.get(6)?))
            };
            let Ok((account, number, who, did, from_ms, until_ms, times)) = read() else { return };
            let sound = account.parse::<AccountId>().is_ok()
                && who.parse::<AccountId>().is_ok()
                && serde_json::from_str::<Did>(&did).is_ok()
                && (1..FURTHEST).contains(&number);
            if sound && fault.is_none() {
                fault = put.execute(params![account, number, who, did, from_ms, until_ms, times]).err();
            }
        });
        fault.map_or(Ok(()), |fault| Err(fault.into()))
    }
}
