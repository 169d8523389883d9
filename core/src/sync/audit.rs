//! Who did what with an account, as a server tells it to the account's own devices.

use super::SyncFault;
use crate::store::Store;
use serde::{Deserialize, Serialize};

/// The lines that a device keeps, the newest; a server sends no more at once.
pub const MOST_LINES: usize = 200;
/// So many of the newest lines are asked for again: they may count on.
const MAY_COUNT_ON: u64 = 20;

/// A line of what was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct AuditLine {
    /// Its number within the account, from 1.
    pub number: u64,
    /// The account that did it.
    pub who: String,
    /// What.
    pub deed: AuditDeed,
    /// The groups or kinds of the record that it touched, or the name of the device.
    pub what: Vec<String>,
    /// When first, milliseconds since 1970.
    pub from_ms: i64,
    /// When last.
    pub until_ms: i64,
    /// How often.
    pub times: u64,
}

/// The kinds of deeds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AuditDeed {
    /// A device was paired.
    Paired,
    /// A device took a new token.
    Renewed,
    /// A device was revoked.
    Revoked,
    /// Groups of the record were read.
    Read,
    /// Entries were written.
    Wrote,
    /// Something was asked for that no grant allows.
    Refused,
    /// Something of a newer version.
    #[serde(untagged)]
    Other(String),
}

/// The lines that a device has heard of, oldest first.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heard(Vec<AuditLine>);

impl Heard {
    /// Reads them. What cannot be read is asked for again.
    ///
    /// # Errors
    /// Those of the store.
    pub fn of(store: &Store) -> Result<Self, SyncFault> {
        Ok(store.audit_heard()?.and_then(|t| serde_json::from_str(&t).ok()).unwrap_or_default())
    }

    /// As the store keeps them.
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The lines, oldest first.
    pub fn lines(&self) -> &[AuditLine] {
        &self.0
    }

    /// The number after which lines are asked for.
    pub fn after(&self) -> u64 {
        self.0.last().map_or(0, |l| l.number.saturating_sub(MAY_COUNT_ON))
    }

    /// Takes in lines that came. Says whether anything changed.
    pub fn take(&mut self, came: Vec<AuditLine>) -> bool {
        let Some(first) = came.iter().map(|l| l.number).min() else { return false };
        let mut all: Vec<AuditLine> = self.0.iter().filter(|l| l.number < first).cloned().collect();
        all.extend(came);
        all.sort_by_key(|l| l.number);
        all.dedup_by_key(|l| l.number);
        all.drain(..all.len().saturating_sub(MOST_LINES));
        let changed = all != self.0;
        self.0 = all;
        changed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(number: u64, times: u64) -> AuditLine {
        let (who, what) = ("mara".to_owned(), vec!["log".to_owned()]);
        AuditLine { number, who, deed: AuditDeed::Read, what, from_ms: 0, until_ms: 1, times }
    }

    #[test]
    fn lines_count_on_and_the_oldest_go() {
        let mut heard = Heard::default();
        assert_eq!(heard.after(), 0);
        assert!(!heard.take(Vec::new()));
        assert!(heard.take((1..=150).map(|n| line(n, 1)).collect()));
        assert!(!heard.take(vec![line(150, 1)]), "the same again");
        assert!(heard.take(vec![line(150, 2), line(151, 1)]), "one counted on, one is new");
        assert_eq!((heard.lines().len(), heard.lines()[149].times, heard.after()), (151, 2, 131));
        heard.take((152..=400).map(|n| line(n, 1)).collect());
        assert_eq!((heard.lines().len(), heard.lines()[0].number), (MOST_LINES, 201));
        let text = heard.text();
        assert_eq!(serde_json::from_str::<Heard>(&text).ok(), Some(heard));
    }

    #[test]
    fn a_deed_of_a_newer_version_is_kept_as_it_is() {
        let text = r#"{"number":1,"who":"mara","deed":"sung","what":[],"from_ms":0,"until_ms":0,"times":1}"#;
        let line: AuditLine = serde_json::from_str(text).expect("it reads");
        assert_eq!(line.deed, AuditDeed::Other("sung".into()));
        assert_eq!(serde_json::to_string(&line).expect("it writes"), text);
    }
}
