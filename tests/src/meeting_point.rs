//! The least server that the sync protocol asks for, in memory: the model that a device is tried against, and that a
//! real server is compared with. It follows `docs/sync-protocol.md`, rule by rule, and nothing else.

use plinth_core::record::{Between, Entry, EntryId, KindSum, Sum, read_entry};
use plinth_core::sync::{
    Answer, AuditLine, Capability, Differs, Limits, PROTOCOL, RefusedEntry, Request, compare, pack, unpack,
};
use serde_json::value::RawValue;
use std::collections::BTreeMap;

/// An entry with the number that it got when it last changed, and whose push made it exactly what it is.
#[derive(Debug, Clone)]
struct Held {
    entry: Entry,
    number: u64,
    by: Option<u64>,
}

/// One account of one lifter.
#[derive(Debug, Clone)]
pub struct MeetingPoint {
    /// The store's epoch.
    pub epoch: String,
    /// Its clock, milliseconds.
    pub now_ms: i64,
    /// What it takes.
    pub limits: Limits,
    /// Who did what with the account.
    pub audit: Vec<AuditLine>,
    held: BTreeMap<EntryId, Held>,
    number: u64,
    shown: BTreeMap<u64, u64>,
}

impl MeetingPoint {
    /// An empty one.
    pub fn new(epoch: &str, now_ms: i64) -> Self {
        let limits = Limits { entries: 40, ranges: 8, ..Limits::default() };
        Self {
            epoch: epoch.to_owned(),
            now_ms,
            limits,
            audit: Vec::new(),
            held: BTreeMap::new(),
            number: 0,
            shown: BTreeMap::new(),
        }
    }

    /// The same under another epoch, in which no device has shown anything yet.
    #[must_use]
    pub fn called(mut self, epoch: &str) -> Self {
        epoch.clone_into(&mut self.epoch);
        self.shown.clear();
        self
    }

    /// How many entries it has.
    pub fn count(&self) -> usize {
        self.held.len()
    }

    /// Every entry, by id.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.held.values().map(|h| &h.entry)
    }

    /// Forgets an entry, as a fault of its own would.
    pub fn lose(&mut self, id: &EntryId) {
        self.held.remove(id);
    }

    /// Takes a body and answers with one.
    ///
    /// # Panics
    /// Where the request is no request: a device does not send such a thing.
    #[allow(clippy::expect_used)] // it is only a model for tests
    pub fn post(&mut self, body: &[u8]) -> Vec<u8> {
        let body = unpack(body, self.limits.body_bytes).expect("within the limits");
        let request: Request = serde_json::from_slice(&body).expect("a request");
        let answer = self.answer(&request);
        pack(&serde_json::to_vec(&answer).expect("json")).expect("packed")
    }

    fn answer(&mut self, r: &Request) -> Answer {
        let device = r.device.bits();
        let mut answer = Answer {
            protocol: PROTOCOL,
            epoch: self.epoch.clone(),
            server_ms: self.now_ms,
            can: vec![Capability::Gzip, Capability::Ranges],
            limits: self.limits,
            differs: None,
            took: Vec::new(),
            refused: Vec::new(),
            pull: Vec::new(),
            cursor: r.cursor,
            more: false,
            sums: None,
            ranges: Vec::new(),
            audit: Vec::new(),
        };
        if let Some(after) = r.audit {
            answer.audit = self.audit.iter().filter(|l| l.number > after).cloned().collect();
        }
        let same_store = r.epoch.as_deref() == Some(self.epoch.as_str());
        let shows = if same_store { r.cursor } else { 0 };
        if self.shown.get(&device).is_some_and(|shown| shows < *shown) {
            answer.differs = Some(Differs::Device);
            return answer;
        }
        // A device that is further than this store was is told that the store is an older one, whatever its epoch says.
        let goes_on = same_store && r.cursor <= self.number;
        if !goes_on && r.epoch.is_some() {
            answer.differs = Some(Differs::Epoch);
        }
        let from = if goes_on { r.cursor } else { 0 };
        self.shown.insert(device, from);
        for (at, raw) in r.push.iter().enumerate() {
            match self.take(raw, device) {
                Ok(()) => answer.took.push(at as u32),
                Err(refused) => answer.refused.push(RefusedEntry { at: at as u32, ..*refused }),
            }
        }
        let most = r.want.min(self.limits.entries) as usize;
        let mut later: Vec<&Held> = self.held.values().filter(|h| h.number > from).collect();
        later.sort_by_key(|h| h.number);
        answer.more = later.len() > most;
        later.truncate(most);
        answer.cursor = if answer.more { later.last().map_or(from, |h| h.number) } else { self.number };
        let raw = |e: &Entry| RawValue::from_string(e.text()).ok();
        answer.pull = later.iter().filter(|h| h.by != Some(device)).filter_map(|h| raw(&h.entry)).collect();
        answer.pull.extend(r.fetch.iter().filter_map(|id| raw(&self.held.get(id)?.entry)));
        if r.sums && !answer.more {
            let mut sums: BTreeMap<String, Sum> = BTreeMap::new();
            for entry in self.entries() {
                sums.entry(entry.kind.name().to_owned()).or_default().add(&entry.digest());
            }
            answer.sums = Some(sums.into_iter().map(|(kind, sum)| KindSum { kind, sum }).collect());
        }
        answer.ranges = r.ranges.iter().map(|range| compare(range, &self.between(range.between))).collect();
        answer
    }

    fn between(&self, b: Between) -> Vec<(EntryId, [u8; 32])> {
        let within = |id: &EntryId| b.after.is_none_or(|a| *id > a) && b.up_to.is_none_or(|u| *id <= u);
        self.held.values().filter(|h| within(&h.entry.id)).map(|h| (h.entry.id, h.entry.digest())).collect()
    }

    fn take(&mut self, raw: &RawValue, device: u64) -> Result<(), Box<RefusedEntry>> {
        let refused = |id, code: &str, field, reason: &str, remedy: &str| {
            Box::new(RefusedEntry {
                at: 0,
                id,
                code: code.into(),
                field,
                reason: reason.into(),
                remedy: remedy.into(),
            })
        };
        let entry = read_entry(raw.get().as_bytes()).map_err(|r| {
            let id = r.entry.and_then(|id| id.parse().ok());
            refused(id, r.code, r.field, &r.reason, &r.remedy)
        })?;
        let most = self.now_ms.unsigned_abs() + self.limits.drift_ms;
        if entry.last_written().is_some_and(|s| s.millis > most) {
            let remedy = "stamp it anew by the server's clock";
            return Err(refused(Some(entry.id), "stamp_ahead", None, "a stamp is too far ahead", remedy));
        }
        // A word of the tests: this entry is always refused.
        if entry.fields.get("text").is_some_and(|f| f.value.text() == "\"refuse me\"") {
            return Err(refused(
                Some(entry.id),
                "not_taken",
                Some("text".into()),
                "it is refused",
                "change it",
            ));
        }
        let old = self.held.get(&entry.id);
        let mut merged = old.map_or_else(|| Entry::new(entry.id, entry.kind.clone()), |h| h.entry.clone());
        if merged.merge(&entry) || old.is_none() {
            self.number += 1;
            let by = (merged == entry).then_some(device);
            self.held.insert(entry.id, Held { entry: merged, number: self.number, by });
        }
        Ok(())
    }
}
