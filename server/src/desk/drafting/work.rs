//! Solving a draft: off the threads that answer, as many at once as there are cores, and stopped by a newer change of the
//! same draft. The last good answer of each is held in memory.

use super::super::visit::Visit;
use super::super::{Desk, own, shelf};
use crate::host::account::AccountId;
use crate::host::fault::{Fails, Fault};
use crate::host::store::Store;
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::{Brief, Notice, read_brief};
use plinth_core::plan::programme::{Mark, Programme, read_programme};
use plinth_core::plan::reason::{Change, Impossible, LineReason, Reasoner, Remedy, Shortfalls, Stops};
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Planner, Solved, bound};
use plinth_core::record::{DraftFields, EntryId, View, hex_of};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, HashMap};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::Semaphore;

/// Work on the proof of a whole page, in about so many milliseconds; what is asked for while one types does without.
const PROOF_MS: u64 = 50;
/// Answers that are held; the one that was asked for the longest ago goes first.
const MOST: usize = 200;

/// A draft, read.
#[derive(Debug, Clone)]
pub(in super::super) struct Draft {
    pub(super) id: EntryId,
    pub(super) title: String,
    pub(super) brief: Map<String, Value>,
    pub(super) held: Vec<Change>,
    pub(super) marks: BTreeMap<String, Mark>,
    pub(super) cues: BTreeMap<String, String>,
    programme: Option<Map<String, Value>>,
    made_of: String,
}

impl Draft {
    /// What of it this version does not read is passed over.
    pub(in super::super) fn read(id: EntryId, f: DraftFields) -> Self {
        let held = f.held.unwrap_or_default().into_iter().filter_map(|v| serde_json::from_value(v).ok());
        let marks = f.marks.map(|d| d.0).unwrap_or_default().into_iter();
        let cues = f.cues.map(|d| d.0).unwrap_or_default().into_iter();
        Self {
            id,
            title: f.title.unwrap_or_default(),
            brief: f.brief.map(|d| d.0).unwrap_or_default(),
            held: held.collect(),
            marks: marks.filter_map(|(m, v)| Some((m, serde_json::from_value(v).ok()?))).collect(),
            cues: cues.filter_map(|(m, v)| Some((m, v.as_str()?.to_owned()))).collect(),
            programme: f.programme.map(|d| d.0),
            made_of: f.made_of.unwrap_or_default(),
        }
    }

    /// Whether what was made of it last is of a brief, decisions, marks or cues as they were before. One that came with its
    /// programme from elsewhere is taken as it came.
    pub(in super::super) fn outdated(&self) -> bool {
        !self.made_of.is_empty() && self.made_of != self.digest()
    }

    /// Of all that the answer depends on.
    fn digest(&self) -> String {
        let all = json!([self.brief, self.held, self.marks, self.cues]);
        hex_of(&Sha256::digest(all.to_string().as_bytes()))
    }
}

/// What a draft becomes.
#[derive(Debug)]
pub(in super::super) struct Answer {
    /// [`Draft::digest`] of what it was made of.
    made_of: String,
    pub(super) brief: Brief,
    pub(super) catalogue: Catalogue,
    pub(super) solved: Solved,
    pub(in super::super) programme: Programme,
    pub(super) notices: Vec<Notice>,
    pub(super) lines: Vec<Vec<LineReason>>,
    pub(super) stops: Vec<Stops>,
    pub(super) shortfalls: Shortfalls,
    pub(super) impossible: Vec<Impossible>,
    pub(super) remedies: Vec<Remedy>,
    /// Held changes that could not be held.
    pub(super) let_go: Vec<Change>,
    /// Whether anything is held.
    pub(super) held: bool,
    proved: bool,
    helped: bool,
}

impl Answer {
    /// Whether it is of a draft as it stands.
    pub(super) fn is_of(&self, draft: &Draft) -> bool {
        self.made_of == draft.digest()
    }
}

struct Place {
    asked_ms: i64,
    newest: Arc<AtomicU64>,
    answer: Option<Arc<Answer>>,
}

/// What is being solved, and what was solved last.
pub(in super::super) struct Solving {
    places: Mutex<HashMap<(AccountId, EntryId), Place>>,
    turns: Semaphore,
}

impl Default for Solving {
    fn default() -> Self {
        let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        Self { places: Mutex::default(), turns: Semaphore::new(cores) }
    }
}

impl Solving {
    /// The last good answer of a draft.
    pub(super) fn last(&self, coach: &AccountId, draft: EntryId) -> Option<Arc<Answer>> {
        let places = self.places.lock().unwrap_or_else(PoisonError::into_inner);
        places.get(&(coach.clone(), draft)).and_then(|p| p.answer.clone())
    }

    /// Begins anew, so that what is being solved of the draft stops.
    fn begin(&self, coach: &AccountId, draft: EntryId, now_ms: i64) -> (Arc<AtomicU64>, u64) {
        let mut places = self.places.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (coach.clone(), draft);
        if places.len() >= MOST && !places.contains_key(&key) {
            let oldest = places.iter().min_by_key(|(_, p)| p.asked_ms).map(|(key, _)| key.clone());
            oldest.map(|oldest| places.remove(&oldest));
        }
        let fresh = || Place { asked_ms: now_ms, newest: Arc::default(), answer: None };
        let place = places.entry(key).or_insert_with(fresh);
        place.asked_ms = now_ms;
        let mine = place.newest.fetch_add(1, Ordering::AcqRel) + 1;
        (Arc::clone(&place.newest), mine)
    }

    fn keep(&self, coach: &AccountId, draft: EntryId, answer: &Arc<Answer>) {
        let mut places = self.places.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(place) = places.get_mut(&(coach.clone(), draft)) {
            place.answer = Some(Arc::clone(answer));
        }
    }
}

/// What a draft becomes: as it was solved last where nothing changed since, else solved now. Nothing where a newer change
/// came before it was done and there is no earlier answer; then the newer one's answer follows.
///
/// # Errors
/// A brief that cannot be read; those of the store.
pub(in super::super) async fn solved<S: Store>(
    desk: &Desk<S>,
    visit: &Visit,
    draft: Draft,
    proved: bool,
    helped: bool,
) -> Result<Option<Arc<Answer>>, Fault> {
    let coach = &visit.caller.account.id;
    let id = draft.id;
    let digest = draft.digest();
    let last = desk.drafts.last(coach, id);
    let serves = |a: &Arc<Answer>| a.made_of == digest && (a.proved || !proved) && (a.helped || !helped);
    if let Some(last) = last.as_ref().filter(|a| serves(a)) {
        return Ok(Some(Arc::clone(last)));
    }
    let (newest, mine) = desk.drafts.begin(coach, id, desk.host.now_ms());
    let _turn = desk.drafts.turns.acquire().await.map_err(std::io::Error::other)?;
    let written = draft.made_of == digest;
    let work = move || solve(&draft, digest, proved, helped, &|| newest.load(Ordering::Acquire) == mine);
    let answer = tokio::task::spawn_blocking(work).await.map_err(std::io::Error::other)??;
    let Some(answer) = answer.map(Arc::new) else { return Ok(desk.drafts.last(coach, id).or(last)) };
    desk.drafts.keep(coach, id, &answer);
    if !written {
        let fields = DraftFields {
            programme: super::as_document(&answer.programme),
            made_of: Some(answer.made_of.clone()),
            ..DraftFields::default()
        };
        own::write(desk, visit, &[fields.edit(id)]).await?;
    }
    Ok(Some(answer))
}

/// Nothing where it was told to stop.
fn solve(
    draft: &Draft,
    made_of: String,
    proved: bool,
    helped: bool,
    go_on: &dyn Fn() -> bool,
) -> Result<Option<Answer>, Fault> {
    let json = serde_json::to_vec(&draft.brief).map_err(std::io::Error::other)?;
    let bare = shelf::catalogue()?;
    let (brief, catalogue) = read_brief(&json, bare).map_err(|faults| {
        let first = faults.into_iter().next();
        let (field, problem, remedy) =
            first.map_or_else(Default::default, |f| (f.field, f.problem, f.remedy));
        Fault::new(Fails::Asked, "brief", problem, &remedy).at(&field)
    })?;
    let planner = Planner::new(&catalogue, shelf::weights()?);
    let before = draft.programme.as_ref().and_then(|p| read_programme(&serde_json::to_vec(p).ok()?).ok());
    let held = planner.solve_held(&brief, &draft.held, before.as_ref(), Effort::QUICK, &mut |_| go_on());
    if !go_on() {
        return Ok(None);
    }
    let let_go: Vec<Change> = held.let_go.iter().filter_map(|k| draft.held.get(*k).cloned()).collect();
    let kept: Vec<Change> = draft.held.iter().filter(|c| !let_go.contains(c)).cloned().collect();
    let mut solved = held.solved;
    if proved {
        planner.prove(&mut solved, bound::Effort::of_about_ms(PROOF_MS), &mut |_| go_on());
    }
    let answer = planner.programme(&brief, &solved);
    let mut programme = answer.programme;
    for line in programme.days.iter_mut().flat_map(|d| &mut d.lines) {
        if let Some(mark) = draft.marks.get(&line.movement) {
            line.mark = *mark;
        }
        line.cue = draft.cues.get(&line.movement).cloned();
    }
    let reasoner = Reasoner::new(planner, &brief, &solved).holding(&kept);
    let shortfalls = reasoner.shortfalls();
    let impossible = if shortfalls.wishes.is_empty() { Vec::new() } else { reasoner.why_impossible() };
    let remedies = if helped { reasoner.remedies(&shortfalls, Effort::QUICK) } else { Vec::new() };
    let (lines, stops) = (reasoner.reasons(), reasoner.what_stops_more());
    if !go_on() {
        return Ok(None);
    }
    Ok(Some(Answer {
        made_of,
        solved,
        programme,
        notices: answer.notices,
        lines,
        stops,
        shortfalls,
        impossible,
        remedies,
        held: !draft.held.is_empty(),
        let_go,
        proved,
        helped,
        brief,
        catalogue,
    }))
}

/// What one more change would cost, beside those that are held.
pub(super) async fn price<S: Store>(
    desk: &Desk<S>,
    draft: &Draft,
    answer: &Arc<Answer>,
    change: Change,
) -> Result<plinth_core::plan::reason::Price, Fault> {
    let _turn = desk.drafts.turns.acquire().await.map_err(std::io::Error::other)?;
    let (answer, held) = (Arc::clone(answer), draft.held.clone());
    let work = move || {
        let planner = Planner::new(&answer.catalogue, shelf::weights()?);
        let kept: Vec<Change> = held.into_iter().filter(|c| !answer.let_go.contains(c)).collect();
        let reasoner = Reasoner::new(planner, &answer.brief, &answer.solved).holding(&kept);
        reasoner
            .price_of_change(&change)
            .map_err(|e| Fault::new(Fails::Asked, "change", e.to_string(), "choose a line of the week"))
    };
    tokio::task::spawn_blocking(work).await.map_err(std::io::Error::other)?
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use plinth_core::record::Document;

    /// A draft of a brief, with nothing decided.
    pub(in super::super) fn draft(brief: Map<String, Value>) -> Draft {
        let fields = DraftFields { brief: Some(Document(brief)), ..DraftFields::default() };
        Draft::read(EntryId::new(1, [1; 10]), fields)
    }

    fn example() -> Draft {
        let json = include_bytes!("../../../data/example-brief.json");
        let Value::Object(brief) = serde_json::from_slice(json).unwrap() else { unreachable!() };
        draft(brief)
    }

    #[test]
    fn marks_cues_and_decisions_are_in_what_it_becomes() {
        let mut draft = example();
        let plain = solve(&draft, draft.digest(), false, false, &|| true).unwrap().unwrap();
        let line = plain.programme.days[0].lines.last().unwrap().clone();
        assert!(line.cue.is_none() && plain.is_of(&draft));
        draft.marks.insert(line.movement.clone(), Mark::Keep);
        draft.cues.insert(line.movement.clone(), "Slow on the way down".into());
        draft.held.push(Change::Sets { day: 0, movement: line.movement.clone(), sets: line.sets + 1 });
        assert!(!plain.is_of(&draft));
        let answer = solve(&draft, draft.digest(), false, false, &|| true).unwrap().unwrap();
        let now = answer.programme.days[0].lines.iter().find(|l| l.movement == line.movement).unwrap();
        assert_eq!((now.sets, now.mark), (line.sets + 1, Mark::Keep));
        assert_eq!(now.cue.as_deref(), Some("Slow on the way down"));
        assert!(answer.let_go.is_empty());
        // What it becomes is a programme that the door takes.
        assert!(read_programme(&serde_json::to_vec(&answer.programme).unwrap()).is_ok());
    }

    #[test]
    fn one_that_was_overtaken_stops() {
        let draft = example();
        assert!(solve(&draft, draft.digest(), true, true, &|| false).unwrap().is_none());
        let solving = Solving::default();
        let coach: AccountId = "mara".parse().unwrap();
        let (newest, first) = solving.begin(&coach, draft.id, 1);
        assert_eq!(newest.load(Ordering::Acquire), first);
        let (_, second) = solving.begin(&coach, draft.id, 2);
        assert!(second > first && newest.load(Ordering::Acquire) == second);
        assert!(solving.last(&coach, draft.id).is_none());
    }
}
