//! The week and its programme: brief, planning, taking on, the next block.

use super::coming::sets_of;
use super::error::CompanionError;
use super::sent::json_of;
use super::{Companion, Moment};
use crate::catalogue::Catalogue;
use crate::plan::adapt::Adapted;
use crate::plan::brief::{Brief, LARGEST_BRIEF_BYTES, RecentBest, Screening, read_brief};
use crate::plan::programme::{Answer, Programme};
use crate::plan::search::Effort;
use crate::plan::search::Progress;
use crate::plan::{Planner, Weights};
use crate::progress::SetDone;
use crate::published;
use crate::record::{BriefFields, Date, Document, EntryId, Measure, ProgrammeFields, Time, View};
use crate::safety::Occasion;
use chrono::{Days, NaiveDate};
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeSet;

/// Days of the log from which the next block takes its bests.
const BESTS_DAYS: u64 = 56;
/// Repetitions above which a set says too little of strength for a first load (Reynolds et al. 2006 and `LeSuer` et
/// al. 1997 find estimates from ten or fewer closer; memory).
const BEST_REPS: u32 = 12;

/// A block drafted from what the last one showed.
#[derive(Debug, Clone, Serialize)]
pub struct NextBlock {
    /// The brief, with the bests of the log in it.
    pub brief: Brief,
    /// What it becomes.
    pub answer: Answer,
}

impl Companion {
    /// The brief as it stands: the lifter's, or the one to begin from.
    pub fn brief(&self) -> &Brief {
        &self.known.brief
    }

    /// The brief as it is written down: what the record's answers to the screening fill in is left open again, so that
    /// it does not outlast them.
    pub(super) fn brief_to_change(&self) -> Brief {
        let mut brief = self.known.brief.clone();
        let screening = &mut brief.limits.screening;
        if *screening == Screening::AnsweredNoLimit && self.known.standing.screening.complete() {
            *screening = Screening::Unanswered;
        }
        brief
    }

    /// Whether a brief allows only light to moderate work today.
    pub(super) fn light_only(&self, moment: &Moment) -> bool {
        self.brief_of_today(moment).light_to_moderate()
    }

    /// Whether the brief is the lifter's own.
    pub fn brief_told(&self) -> bool {
        self.known.brief_told
    }

    /// The programme under way, with its entry and first day.
    pub fn programme(&self) -> Option<(EntryId, &Programme, NaiveDate)> {
        self.known.programmes.running.as_ref().map(|r| (r.entry, &r.programme, r.starts_on))
    }

    /// Keeps a brief.
    ///
    /// # Errors
    /// The first fault of the brief; those of the store.
    pub fn tell_brief(&mut self, json: &[u8], moment: &Moment) -> Result<EntryId, CompanionError> {
        read_brief(json, &self.known.catalogue)?;
        let document = document(json, "brief", LARGEST_BRIEF_BYTES)?;
        let id = self.id(moment)?;
        let fields = BriefFields {
            document: Some(document),
            made_at: Some(Time::of(moment)),
            ..BriefFields::default()
        };
        self.store.write(&[fields.edit(id)], None, moment)?;
        self.refresh(moment)?;
        Ok(id)
    }

    /// Changes the brief that stands in its own entry, or keeps a first one: what is to be left out holds at once, also
    /// for the week under way.
    ///
    /// # Errors
    /// As [`Self::tell_brief`].
    pub fn change_brief(&mut self, brief: &Brief, moment: &Moment) -> Result<(), CompanionError> {
        let json = serde_json::to_vec(brief).map_err(CompanionError::data)?;
        let Some(entry) = self.known.brief_entry else {
            self.tell_brief(&json, moment)?;
            return Ok(());
        };
        read_brief(&json, &self.known.catalogue)?;
        let document = document(&json, "brief", LARGEST_BRIEF_BYTES)?;
        let fields = BriefFields { document: Some(document), ..BriefFields::default() };
        self.store.write(&[fields.edit(entry)], None, moment)?;
        self.refresh(moment)
    }

    /// The brief of today: with everything that safety takes out or eases.
    pub fn brief_of_today(&self, moment: &Moment) -> Brief {
        self.obeyed(self.known.brief.clone(), moment)
    }

    fn obeyed(&self, mut brief: Brief, moment: &Moment) -> Brief {
        let (alone, safeties) = (brief.alone, brief.safeties);
        // Company and safeties of the week are the brief's word; those of a session are asked at its beginning.
        let here = crate::safety::Here { alone, spotter: !alone, safeties, adult_present: true };
        let occasion = Occasion::at(&self.shelf.rules, &self.known.catalogue, moment, here);
        brief.obey(&self.known.standing, &occasion);
        brief
    }

    /// Makes the brief of today a programme. `go_on` is asked between steps; `false` stops with the best so far.
    pub fn plan(&self, moment: &Moment, effort: Effort, go_on: &mut dyn FnMut() -> bool) -> Answer {
        self.plan_of(&self.brief_of_today(moment), effort, go_on)
    }

    fn plan_of(&self, brief: &Brief, effort: Effort, go_on: &mut dyn FnMut() -> bool) -> Answer {
        let planner = Planner::new(&self.known.catalogue, &self.shelf.weights);
        let solved = planner.solve(brief, effort, &mut |_| go_on());
        planner.programme(brief, &solved)
    }

    /// A programme, in whichever form it comes, as it would be adapted to this lifter, with every difference and its
    /// reason.
    ///
    /// # Errors
    /// The first fault of the document.
    pub fn adapted(&self, json: &[u8], moment: &Moment) -> Result<Adapted, CompanionError> {
        Ok(self.adapt(&published::open(json)?.programme, moment))
    }

    /// Takes on a programme from a day; the one before it ends on the day before. A session under way keeps its
    /// version. `from` is `own` or the coach's name.
    ///
    /// # Errors
    /// The first fault of the document; those of the store.
    pub fn take_on(
        &mut self,
        json: &[u8],
        from: &str,
        starts_on: NaiveDate,
        moment: &Moment,
    ) -> Result<EntryId, CompanionError> {
        let programme = published::open(json)?.programme;
        let id = self.id(moment)?;
        let fields = ProgrammeFields {
            document: Some(json_of(&programme)?),
            title: Some(programme.title.clone()),
            made_at: Some(Time::of(moment)),
            starts_on: Some(Date(starts_on)),
            accepted_at: Some(Time::of(moment)),
            from: Some(from.to_owned()),
            ..ProgrammeFields::default()
        };
        self.begin(fields.edit(id), starts_on, moment)?;
        Ok(id)
    }

    /// Drafts the next block: the brief with the bests that the log shows, solved anew. Nothing is written.
    ///
    /// # Errors
    /// Those of the store.
    pub fn next_block(
        &self,
        moment: &Moment,
        effort: Effort,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Result<NextBlock, CompanionError> {
        Ok(self.draft(moment)?.solve(effort, &mut |_| go_on()))
    }

    /// All that drafting the next block needs, so that it can be solved while the companion does other things.
    ///
    /// # Errors
    /// Those of the store.
    pub fn draft(&self, moment: &Moment) -> Result<Draft, CompanionError> {
        let mut brief = self.known.brief.clone();
        let today = moment.local().date_naive();
        let from = today.checked_sub_days(Days::new(BESTS_DAYS)).unwrap_or(today);
        let mut shown = BTreeSet::new();
        let mut bests = Vec::new();
        for movement in self.store.sums().movements()? {
            let sets = sets_of(&self.store, &self.known, &movement)?;
            if let Some(best) = self.best_of(&movement, &sets, from) {
                shown.insert(movement);
                bests.push(best);
            }
        }
        bests.extend(brief.bests.iter().filter(|b| !shown.contains(&b.movement)).cloned());
        brief.bests = bests;
        // The brief is kept without what limits today, so that it does not outlast the limit.
        Ok(Draft {
            obeyed: self.obeyed(brief.clone(), moment),
            brief,
            catalogue: self.known.catalogue.clone(),
            weights: self.shelf.weights.clone(),
        })
    }

    /// The set that says most of strength: the greatest by load times repetitions and reserve (Epley's order).
    fn best_of(&self, movement: &str, sets: &[SetDone], from: NaiveDate) -> Option<RecentBest> {
        let m = self.known.catalogue.movement(movement)?;
        if m.load_kind == crate::catalogue::LoadKind::BodyMass {
            return None;
        }
        let body = |s: &SetDone| match m.load_kind {
            crate::catalogue::LoadKind::Added => self.known.body.at(s.day).or(self.known.brief.body_mass),
            _ => Some(crate::load::Mass::ZERO),
        };
        let worth = |s: &SetDone| {
            let load = s.load.map_or(0, |l| l.amount());
            i128::from(load) * i128::from(30 + s.reps + s.reserve.unwrap_or(0))
        };
        let best = (sets.iter())
            .filter(|s| s.working && s.day >= from && s.measure == Measure::Repetitions)
            .filter(|s| (1..=BEST_REPS).contains(&s.reps))
            .max_by_key(|s| (worth(s), s.ended))?;
        let load = best.load?.minus(&body(best)?)?;
        // A reserve that was not reported is not nought: the brief's bests take it as none left, which is cautious.
        Some(RecentBest {
            movement: movement.to_owned(),
            load,
            reps: best.reps,
            reserve: best.reserve.unwrap_or(0).min(10),
        })
    }
}

/// A block that is to be solved.
#[derive(Debug, Clone)]
pub struct Draft {
    brief: Brief,
    obeyed: Brief,
    catalogue: Catalogue,
    weights: Weights,
}

impl Draft {
    /// The brief, with the bests of the log in it and without what limits today.
    pub fn brief(&self) -> &Brief {
        &self.brief
    }

    /// Solves it. `go_on` is told the evaluations spent and allowed; `false` stops with the best so far.
    pub fn solve(self, effort: Effort, go_on: &mut dyn FnMut(Progress) -> bool) -> NextBlock {
        let planner = Planner::new(&self.catalogue, &self.weights);
        let solved = planner.solve(&self.obeyed, effort, go_on);
        let answer = planner.programme(&self.obeyed, &solved);
        NextBlock { brief: self.brief, answer }
    }
}

/// A JSON object as the record keeps it.
pub(super) fn document(json: &[u8], field: &str, most: usize) -> Result<Document, CompanionError> {
    if json.len() > most {
        let problem = format!("{} bytes are more than it may have", json.len());
        return Err(CompanionError::input("document", field, problem, "give a smaller one"));
    }
    match serde_json::from_slice(json) {
        Ok(Value::Object(map)) => Ok(Document(map)),
        Ok(_) => {
            Err(CompanionError::input("document", field, "it is no JSON object", "give one JSON object"))
        }
        Err(e) => Err(CompanionError::input("document", field, e.to_string(), "give one JSON object")),
    }
}
