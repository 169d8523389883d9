//! Who looked at the record at the server, and what else was done with the account there, as it was told last.

use super::Making;
use crate::companion::error::CompanionError;
use crate::companion::{Companion, Moment};
use crate::page::Spot;
use crate::sync::{Heard, SyncState};
use crate::words;

/// Lines that are shown.
const SHOWN: usize = 60;

impl Companion {
    pub(super) fn audit_page(&self, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-audit", &[]));
        if self.pairing()?.is_none() {
            page.sentence(s.say("audit-no-host", &[]));
            page.line(s.say("pages-pairing", &[]), Vec::new(), Spot::Pairing);
            return Ok(page);
        }
        let local = |ms: i64| Moment { wall_ms: ms, ..moment.clone() }.local();
        let state = self.store.sync_state()?.and_then(|text| serde_json::from_str(&text).ok());
        let state: SyncState = state.unwrap_or_default();
        if let Some(ms) = state.together_ms {
            let (date, time) = (s.date_with_year(local(ms).date_naive()), s.time(local(ms).time()));
            page.sentence(s.say("audit-as-of", &[("date", (&date).into()), ("time", (&time).into())]));
        }
        let heard: Heard =
            self.store.audit_heard()?.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default();
        if heard.lines().is_empty() {
            page.sentence(s.say("audit-none", &[]));
        }
        for line in heard.lines().iter().rev().take(SHOWN) {
            let at = local(line.until_ms);
            let (date, time) = (s.date_with_year(at.date_naive()), s.time(at.time()));
            let told = words::audit(s, line);
            let args = [("date", (&date).into()), ("time", (&time).into()), ("told", (&told).into())];
            page.sentence(s.say("audit-at", &args));
        }
        Ok(page)
    }
}
