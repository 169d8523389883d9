//! The device's side of an exchange: request bytes out, answer bytes in, until both sides hold the same.
//!
//! It goes in rounds. A round sends what waits and takes what the server has; when nothing waits and nothing is left,
//! both sides compare their sums, and where they differ, ranges lead to the entries, which are sent and fetched singly.
//! Whatever an answer brings is written in one transaction with the cursor, so that a cut at any byte only repeats a
//! round.

use super::audit::Heard;
use super::message::{
    Answer, Capability, Differs, Fault, PATH, PROTOCOL, RangeAnswer, RefusedEntry, Request,
};
use super::range::Range;
use super::{Limits, SyncState, pack, unpack};
use crate::moment::Moment;
use crate::record::{Between, EntryId, KindSum, Sum, hex_of, read_entry};
use crate::store::{Received, Store, StoreError};
use serde::Serialize;
use serde_json::value::RawValue;
use std::collections::BTreeMap;
use std::fmt;

/// The longest answer that is read, unpacked: 16 MiB.
const LONGEST_ANSWER: u64 = 16 * 1024 * 1024;
/// Comparisons in one exchange after which it is left for the next.
const MOST_HEALINGS: u32 = 3;
/// Answers in one exchange that bring nothing, besides the pages of what is here already, after which it is left: a
/// server that is none could go on without an end.
const MOST_IDLE: u64 = 500;
/// How often a server may be another one, or this device a copy, within one exchange.
const MOST_TURNS: u32 = 3;
/// Ranges that are open at once: more than a million entries have that all differ.
const MOST_OPEN: usize = 100_000;
/// Bodies from this length on are packed.
const PACK_FROM: usize = 1024;
/// What a packed entry may add to a body besides its text.
const AROUND_AN_ENTRY: u64 = 2;

/// A request for the platform to send.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outgoing {
    /// Always POST, to this path of the server.
    pub path: &'static str,
    /// Headers besides the length: name and value.
    pub headers: Vec<(String, String)>,
    /// The body.
    pub body: Vec<u8>,
}

/// What an exchange did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Told {
    /// Entries that the server took.
    pub sent: u64,
    /// Entries that changed here.
    pub received: u64,
    /// Entries that the server did not take; they are set aside with its reason.
    pub set_aside: u64,
    /// Entries of the server that could not be read here.
    pub unread: u64,
    /// Entries that were stamped anew, because their stamps lay in the server's future.
    pub stamped_anew: u64,
    /// Entries that the comparison found to differ.
    pub healed: u64,
    /// Requests that were answered.
    pub rounds: u32,
    /// Whether both sides hold the same now.
    pub together: bool,
}

/// What is to be done next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Send this, and hand the answer to [`Exchange::answer`].
    Send(Outgoing),
    /// It is over.
    Done(Told),
}

/// Which way an exchange failed; each asks for something else of the lifter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SyncFaultKind {
    /// The server is not reached, busy or down: it is tried again later by itself.
    Later,
    /// The token counts no more: pair again.
    Token,
    /// This program is too old for the server: update.
    TooOld,
    /// What was sent or answered is no part of the protocol.
    Protocol,
    /// The record here.
    Store,
}

/// Why an exchange stopped. Everything that came before it is kept.
#[derive(Debug)]
pub struct SyncFault {
    /// Which way.
    pub kind: SyncFaultKind,
    /// A stable code.
    pub code: String,
    /// What is wrong.
    pub reason: String,
    /// What to do.
    pub remedy: String,
    /// When it may be tried again, milliseconds from now; none where trying again does not help.
    pub wait_ms: Option<u64>,
    source: Option<Box<StoreError>>,
}

impl SyncFault {
    /// The record here, in the words of whoever found it.
    pub(crate) const fn of_record(code: String, reason: String, remedy: String) -> Self {
        Self { kind: SyncFaultKind::Store, code, reason, remedy, wait_ms: None, source: None }
    }

    fn protocol(code: &str, reason: impl Into<String>) -> Self {
        Self {
            kind: SyncFaultKind::Protocol,
            code: code.to_owned(),
            reason: reason.into(),
            remedy: "try again; if it stays, tell the host which versions both sides have".into(),
            wait_ms: None,
            source: None,
        }
    }
}

fn endless() -> SyncFault {
    SyncFault::protocol("answer_stands", "the server goes on and brings nothing")
}

impl fmt::Display for SyncFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}.", self.reason, self.remedy)
    }
}

impl std::error::Error for SyncFault {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.source.as_ref().map(|s| &**s as _)
    }
}

impl From<StoreError> for SyncFault {
    fn from(e: StoreError) -> Self {
        Self {
            kind: SyncFaultKind::Store,
            code: e.code().to_owned(),
            reason: e.to_string(),
            remedy: e.remedy().to_owned(),
            wait_ms: None,
            source: Some(Box::new(e)),
        }
    }
}

/// What the request that is under way holds.
#[derive(Debug, Default)]
struct Sent {
    entries: Vec<(EntryId, [u8; 32])>,
    ranges: usize,
    fetch: usize,
    sums: bool,
}

/// An exchange with a server.
#[derive(Debug)]
#[allow(clippy::struct_excessive_bools)] // independent facts of one exchange
pub struct Exchange {
    token: String,
    state: SyncState,
    limits: Limits,
    packs: bool,
    ranges_known: bool,
    under_way: Option<Sent>,
    more: bool,
    compared: bool,
    healings: u32,
    idle: u64,
    turns: u32,
    open: Vec<Range>,
    fetch: Vec<EntryId>,
    told: Told,
}

impl Exchange {
    /// Begins, from where the record stands with the server. The token is the device's, from pairing.
    ///
    /// # Errors
    /// Those of the store.
    pub fn begin(store: &Store, token: impl Into<String>) -> Result<Self, SyncFault> {
        Ok(Self {
            token: token.into(),
            state: SyncState::of(store)?,
            limits: Limits::default(),
            packs: true,
            ranges_known: true,
            under_way: None,
            more: true,
            compared: false,
            healings: 0,
            idle: 0,
            turns: 0,
            open: Vec::new(),
            fetch: Vec::new(),
            told: Told::default(),
        })
    }

    /// What it has done so far.
    pub const fn told(&self) -> Told {
        self.told
    }

    /// What is to be sent next. The same is given again while it is not answered.
    ///
    /// # Errors
    /// Those of the store.
    pub fn next(&mut self, store: &mut Store, moment: &Moment) -> Result<Step, SyncFault> {
        let waiting = store.pending_count()?;
        if self.compared && waiting == 0 && self.open.is_empty() && self.fetch.is_empty() && !self.more {
            self.state.later.succeeded();
            self.state.not_before_ms = 0;
            if self.told.together {
                self.state.together_ms = Some(moment.wall_ms);
            }
            store.keep_sync_state(&self.state.text())?;
            return Ok(Step::Done(self.told));
        }
        let (push, entries) = self.batch(store)?;
        let ranges: Vec<Range> = self.open.iter().take(self.limits.ranges as usize).copied().collect();
        let fetch: Vec<EntryId> = self.fetch.iter().take(self.limits.ranges as usize).copied().collect();
        // The last that waits goes out with the question whether all is alike.
        let last = entries.len() as u64 == waiting && ranges.is_empty() && self.fetch.len() == fetch.len();
        let request = Request {
            protocol: PROTOCOL,
            app: env!("CARGO_PKG_VERSION").to_owned(),
            device: store.device(),
            epoch: self.state.epoch.clone(),
            cursor: self.state.cursor,
            can: vec![Capability::Gzip, Capability::Ranges],
            push,
            want: self.limits.entries,
            sums: last,
            ranges,
            fetch,
            audit: if last { Some(Heard::of(store)?.after()) } else { None },
        };
        self.under_way = Some(Sent {
            entries,
            ranges: request.ranges.len(),
            fetch: request.fetch.len(),
            sums: request.sums,
        });
        let body = serde_json::to_vec(&request)
            .map_err(|e| SyncFault::protocol("request_unwritten", e.to_string()))?;
        let mut headers = vec![
            ("Content-Type".to_owned(), "application/json".to_owned()),
            ("Authorization".to_owned(), format!("Bearer {}", self.token)),
        ];
        let body = if self.packs && body.len() >= PACK_FROM {
            headers.push(("Content-Encoding".to_owned(), "gzip".to_owned()));
            pack(&body).map_err(|e| SyncFault::protocol("request_unpacked", e.to_string()))?
        } else {
            body
        };
        Ok(Step::Send(Outgoing { path: PATH, headers, body }))
    }

    /// What waits, within the server's limits: the texts, and which entries with which digests.
    #[allow(clippy::type_complexity)] // two lists that are made in one pass
    fn batch(&self, store: &Store) -> Result<(Vec<Box<RawValue>>, Vec<(EntryId, [u8; 32])>), SyncFault> {
        let (mut push, mut entries) = (Vec::new(), Vec::new());
        // The rest of a request is small beside its entries.
        let mut room = self.limits.body_bytes.saturating_sub(self.limits.body_bytes / 8);
        for entry in store.pending(None, self.limits.entries)? {
            let text = entry.text();
            let length = text.len() as u64 + AROUND_AN_ENTRY;
            if length > room && !push.is_empty() {
                break;
            }
            room = room.saturating_sub(length);
            entries.push((entry.id, entry.digest()));
            let raw = RawValue::from_string(text)
                .map_err(|e| SyncFault::protocol("entry_unwritten", e.to_string()))?;
            push.push(raw);
        }
        Ok((push, entries))
    }

    /// Takes in an answer: the status, the seconds that a header `Retry-After` names, and the body.
    ///
    /// # Errors
    /// Why it goes no further; what came before is kept, and the next exchange goes on from there.
    pub fn answer(
        &mut self,
        store: &mut Store,
        status: u16,
        retry_after_s: Option<u32>,
        body: &[u8],
        moment: &Moment,
        random: &mut dyn FnMut(&mut [u8]) -> bool,
    ) -> Result<(), SyncFault> {
        let Some(sent) = self.under_way.take() else {
            return Err(SyncFault::protocol("nothing_sent", "an answer came to nothing that was sent"));
        };
        let Some(body) = unpack(body, LONGEST_ANSWER) else {
            return Err(self.failed(store, "answer_too_long", retry_after_s, moment, random));
        };
        if status == 413 && self.send_less(store, &sent, &body)? {
            return Ok(());
        }
        if status != 200 {
            return Err(self.refused(store, status, retry_after_s, &body, moment, random));
        }
        let answer: Answer = serde_json::from_slice(&body)
            .map_err(|e| SyncFault::protocol("answer_unread", format!("the answer cannot be read: {e}")))?;
        if answer.protocol != PROTOCOL {
            let reason = format!("the server speaks protocol {}, not {PROTOCOL}", answer.protocol);
            return Err(SyncFault::protocol("other_protocol", reason));
        }
        self.told.rounds += 1;
        self.limits = Limits {
            body_bytes: answer.limits.body_bytes.clamp(64 * 1024, 64 * 1024 * 1024),
            entries: answer.limits.entries.clamp(1, 5_000),
            ranges: answer.limits.ranges.clamp(1, 5_000),
            drift_ms: answer.limits.drift_ms,
        };
        self.packs = answer.can.contains(&Capability::Gzip);
        self.ranges_known = answer.can.contains(&Capability::Ranges);
        let another = self.state.epoch.is_some() && self.state.epoch.as_ref() != Some(&answer.epoch);
        if answer.differs.is_some() || another {
            self.turns += 1;
            if self.turns > MOST_TURNS {
                return Err(endless());
            }
        }
        if answer.differs == Some(Differs::Device) {
            self.state = SyncState { later: self.state.later, ..SyncState::default() };
            store.become_another_device(&self.state.text(), random)?;
            (self.more, self.compared) = (true, false);
            self.open.clear();
            self.fetch.clear();
            return Ok(());
        }
        self.take(store, &sent, answer)
    }

    /// Sends less at once where the server says that it was too much: its limits are not known before its first answer.
    /// An entry that is too long by itself is set aside, so that it holds nothing else up. Says whether it goes on.
    fn send_less(&mut self, store: &mut Store, sent: &Sent, body: &[u8]) -> Result<bool, SyncFault> {
        let alone = sent.entries.len() <= 1 && sent.ranges == 0 && sent.fetch == 0;
        if !alone {
            let l = &mut self.limits;
            let most = l.entries.min(u32::try_from(sent.entries.len()).unwrap_or(u32::MAX));
            (l.entries, l.ranges) = ((most / 2).max(1), (l.ranges / 2).max(1));
            l.body_bytes = (l.body_bytes / 2).max(64 * 1024);
            self.idle += 1;
            return Ok(self.idle <= MOST_IDLE);
        }
        let said: Option<Fault> = serde_json::from_slice(body).ok();
        let (Some((id, _)), Some(said)) = (sent.entries.first(), said.filter(|f| f.code == "too_long"))
        else {
            return Ok(false);
        };
        let Fault { code, field, reason, remedy } = said;
        let refused = RefusedEntry { at: 0, id: Some(*id), code, field, reason, remedy };
        let told = serde_json::to_string(&refused).unwrap_or_default();
        let received = Received { refused: vec![(*id, told)], ..Received::default() };
        store.receive(&received, &self.state.text())?;
        self.told.set_aside += 1;
        Ok(true)
    }

    fn take(&mut self, store: &mut Store, sent: &Sent, answer: Answer) -> Result<(), SyncFault> {
        let mut received =
            Received { server_ms: u64::try_from(answer.server_ms).unwrap_or(0), ..Received::default() };
        received.most_ms = received.server_ms.saturating_add(answer.limits.drift_ms);
        let at = |n: u32| sent.entries.get(n as usize).copied();
        received.took = answer.took.iter().filter_map(|n| at(*n)).collect();
        for refused in &answer.refused {
            let Some((id, _)) = at(refused.at) else { continue };
            if refused.code == "stamp_ahead" {
                received.ahead.push(id);
            } else {
                let told = serde_json::to_string(refused).unwrap_or_default();
                received.refused.push((id, told));
            }
        }
        if received.took.len() + received.refused.len() + received.ahead.len() < sent.entries.len() {
            let reason = "the server said nothing of some of the entries that it was sent";
            return Err(SyncFault::protocol("answer_incomplete", reason));
        }
        if sent.sums && !answer.more && answer.sums.is_none() {
            let reason = "the server said nothing of its sums";
            return Err(SyncFault::protocol("answer_incomplete", reason));
        }
        for raw in &answer.pull {
            match read_entry(raw.get().as_bytes()) {
                Ok(entry) => received.entries.push(entry),
                Err(_) => self.told.unread += 1,
            }
        }
        let another = self.state.epoch.as_deref() != Some(answer.epoch.as_str());
        // A first meeting has everything waiting already, unless the record was with another server before.
        received.all_again = answer.differs.is_some() || another && self.state.epoch.is_some();
        let moves = another || answer.cursor != self.state.cursor;
        if answer.more && !moves && answer.pull.is_empty() {
            return Err(SyncFault::protocol("answer_stands", "the server has more and does not send it"));
        }
        self.state.epoch = Some(answer.epoch);
        self.state.cursor = answer.cursor;
        self.more = answer.more;
        if sent.fetch > 0 {
            self.fetch.drain(..sent.fetch.min(self.fetch.len()));
        }
        if sent.ranges > 0 {
            self.open.drain(..sent.ranges.min(self.open.len()));
            self.narrow(store, &answer.ranges, &mut received)?;
        }
        self.told.sent += received.took.len() as u64;
        self.told.set_aside += received.refused.len() as u64;
        self.told.stamped_anew += received.ahead.len() as u64;
        self.told.healed += received.lacks.len() as u64;
        // Cut between the two, the lines are asked for again.
        let mut heard = if another { Heard::default() } else { Heard::of(store)? };
        if heard.take(answer.audit) {
            store.keep_audit_heard(&heard.text())?;
        }
        let changed = store.receive(&received, &self.state.text())? as u64;
        self.told.received += changed;
        self.idle = if changed > 0 || !received.took.is_empty() { 0 } else { self.idle + 1 };
        if self.open.len() > MOST_OPEN
            || self.idle > MOST_IDLE
                && self.idle > MOST_IDLE + store.count()? / u64::from(self.limits.entries)
        {
            return Err(endless());
        }
        if let Some(sums) = answer.sums.filter(|_| sent.sums && !self.more) {
            self.compare_sums(store, sums)?;
        }
        Ok(())
    }

    /// Whether both sides hold the same; where they do not, the whole range is opened.
    fn compare_sums(&mut self, store: &Store, theirs: Vec<KindSum>) -> Result<(), SyncFault> {
        self.compared = true;
        let by_kind = |sums: Vec<KindSum>| -> BTreeMap<String, Sum> {
            sums.into_iter().filter(|s| s.sum.count > 0).map(|s| (s.kind, s.sum)).collect()
        };
        self.told.together = by_kind(theirs) == by_kind(store.kind_sums()?);
        // What was set aside is only here; what was not read is only there.
        let known = self.told.unread > 0 || !store.set_aside(None, 1)?.is_empty();
        if self.told.together || known && self.healings > 0 {
            return Ok(());
        }
        if store.pending_count()? > 0 {
            // It was written meanwhile: it is sent first, and then compared.
            self.compared = false;
            return Ok(());
        }
        if self.ranges_known && self.healings < MOST_HEALINGS {
            self.healings += 1;
            self.compared = false;
            let between = Between::default();
            self.open.push(Range { between, sum: Sum::of(&store.digests_between(between)?) });
        }
        Ok(())
    }

    fn narrow(
        &mut self,
        store: &Store,
        answers: &[RangeAnswer],
        received: &mut Received,
    ) -> Result<(), SyncFault> {
        for answer in answers {
            match answer {
                RangeAnswer::Same { .. } => {}
                RangeAnswer::Parts { parts } => {
                    for part in parts {
                        let sum = Sum::of(&store.digests_between(part.between)?);
                        if sum != part.sum {
                            self.open.push(Range { between: part.between, sum });
                        }
                    }
                }
                RangeAnswer::Entries { between, entries } => {
                    let theirs: BTreeMap<EntryId, &str> =
                        entries.iter().map(|(id, d)| (*id, d.as_str())).collect();
                    let ours: BTreeMap<EntryId, [u8; 32]> =
                        store.digests_between(*between)?.into_iter().collect();
                    for (id, digest) in &ours {
                        match theirs.get(id) {
                            Some(d) if *d == hex_of(digest) => {}
                            // It was refused as it is, and would be again.
                            _ if store.is_set_aside(id)? => {}
                            Some(_) => {
                                received.lacks.push(*id);
                                self.fetch.push(*id);
                            }
                            None => received.lacks.push(*id),
                        }
                    }
                    self.fetch.extend(theirs.keys().filter(|id| !ours.contains_key(id)));
                }
            }
        }
        Ok(())
    }

    /// The connection failed, or no answer came in time.
    ///
    /// # Errors
    /// Always: when it may be tried again.
    pub fn cut(
        &mut self,
        store: &mut Store,
        moment: &Moment,
        random: &mut dyn FnMut(&mut [u8]) -> bool,
    ) -> SyncFault {
        self.under_way = None;
        self.failed(store, "no_connection", None, moment, random)
    }

    fn failed(
        &mut self,
        store: &mut Store,
        code: &str,
        named_s: Option<u32>,
        moment: &Moment,
        random: &mut dyn FnMut(&mut [u8]) -> bool,
    ) -> SyncFault {
        let mut bytes = [0; 4];
        // Without chance the wait is still right, only not spread.
        random(&mut bytes);
        let wait = self.state.later.after_failure(u32::from_le_bytes(bytes), named_s);
        self.state.not_before_ms = moment.wall_ms.saturating_add(i64::try_from(wait).unwrap_or(i64::MAX));
        if let Err(e) = store.keep_sync_state(&self.state.text()) {
            return e.into();
        }
        SyncFault {
            kind: SyncFaultKind::Later,
            code: code.to_owned(),
            reason: "the server was not reached, or is busy".into(),
            remedy: "nothing is lost; it is tried again by itself".into(),
            wait_ms: Some(wait),
            source: None,
        }
    }

    fn refused(
        &mut self,
        store: &mut Store,
        status: u16,
        named_s: Option<u32>,
        body: &[u8],
        moment: &Moment,
        random: &mut dyn FnMut(&mut [u8]) -> bool,
    ) -> SyncFault {
        let said: Option<Fault> = serde_json::from_slice(body).ok();
        let (kind, fallback) = match status {
            401 | 403 => (SyncFaultKind::Token, "pair this device again"),
            426 => (SyncFaultKind::TooOld, "update this program"),
            408 | 429 | 500..=599 => {
                let code = said.map_or_else(|| format!("status_{status}"), |f| f.code);
                return self.failed(store, &code, named_s, moment, random);
            }
            _ => (SyncFaultKind::Protocol, "tell the host which versions both sides have"),
        };
        let (code, reason, remedy) = match said {
            Some(f) => (f.code, f.reason, f.remedy),
            None => (
                format!("status_{status}"),
                format!("the server answered with status {status}"),
                fallback.to_owned(),
            ),
        };
        SyncFault { kind, code, reason, remedy, wait_ms: None, source: None }
    }
}
