//! The return after a flag: who advised, when, with what limits. It is recorded and not judged.

use super::advice::Advised;
use super::{Did, Making, No, pick};
use crate::companion::{Companion, Moment};
use crate::page::{Block, Deed, Spot};
use crate::safety::{FlagHeld, NO_LIMITS, ReturnAnswers};
use chrono::NaiveDate;

impl Companion {
    /// Whether the record holds a flag.
    pub(super) fn flagged(&self) -> bool {
        !self.known.standing.flags.is_empty()
    }

    /// The flags, those without a return first, the most urgent of them first.
    fn flags_held(&self, today: NaiveDate) -> Vec<&FlagHeld> {
        let standing = &self.known.standing;
        let mut all: Vec<&FlagHeld> = standing.flags.iter().collect();
        all.sort_by_key(|f| {
            (standing.return_for(f, today).is_some(), f.tier, std::cmp::Reverse(f.raised_on))
        });
        all
    }

    /// The flag that the page is about.
    fn flag_here(&self, today: NaiveDate) -> Option<&FlagHeld> {
        let chosen = self.answer(&Spot::Return, "flag", None);
        let all = self.flags_held(today);
        let named = all.iter().find(|f| Some(&f.entry) == chosen.as_ref()).copied();
        named.or_else(|| all.first().copied())
    }

    /// A flag in the words that the lifter confirmed it by, with its region and day.
    fn flag_said(&self, flag: &FlagHeld) -> String {
        let s = &self.speech;
        let known = flag.flags.iter().filter_map(|id| self.shelf.rules.flag(id));
        let mut said: Vec<String> = known.map(|f| s.say(&f.words, &[])).collect();
        if said.is_empty() {
            said.push(s.say("return-unknown-flag", &[]));
        }
        said.extend(flag.regions.iter().map(|r| s.region_inside(r)));
        said.extend(flag.raised_on.map(|d| s.date_with_year(d)));
        said.join(", ")
    }

    pub(super) fn return_page(&self, moment: &Moment) -> Making<'_> {
        let s = &self.speech;
        let today = moment.local().date_naive();
        let mut page = Making::new(s, s.say("pages-return", &[]));
        let Some(here) = self.flag_here(today) else {
            page.sentence(s.say("return-none", &[]));
            return page;
        };
        page.sentence(s.say("return-intro", &[]));
        let all = self.flags_held(today);
        if all.len() > 1 {
            let button =
                |f: &&FlagHeld| pick("flag", &f.entry, self.flag_said(f)).chosen(f.entry == here.entry);
            page.question("return-which", Vec::new(), all.iter().map(button).collect());
        }
        let said = self.flag_said(here);
        page.blocks.push(Block::Heading { text: s.say("return-title", &[("flag", (&said).into())]) });
        match self.known.standing.return_for(here, today) {
            Some(r) => page.sentence(self.recorded(&r.advised_by, r.advised_on)),
            None => page.caution(vec![s.say("flag-not-dismissed", &[])]),
        }
        let now = self.advised(&Spot::Return, &Advised::default());
        self.ask_advice(&mut page, &now, true);
        page.deed("return-record", Deed::Keep, true);
        page
    }

    pub(super) fn choose_in_return(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        if !self.flagged() {
            return Err(No::NotHere);
        }
        let today = moment.local().date_naive();
        if field == "flag" {
            if !self.known.standing.flags.iter().any(|f| f.entry == value) {
                return Err(No::Field("value".into()));
            }
            // What was written was about another flag.
            self.visit.drop_draft();
            self.visit.draft(&Spot::Return, "flag", value);
            return Ok(());
        }
        if self.choose_advice(&Spot::Return, field, value, &Advised::default(), today)? {
            return Ok(());
        }
        Err(No::Field(field.to_owned()))
    }

    /// Records the return.
    pub(super) fn keep_return(&mut self, moment: &Moment) -> Result<Did, No> {
        let today = moment.local().date_naive();
        let now = self.advised(&Spot::Return, &Advised::default());
        let flag = self.flag_here(today).ok_or(No::NotHere)?;
        let (by, on) = self.by_and_on(&now)?;
        let limits = now.limits.clone().ok_or_else(|| self.missing("return-limits"))?;
        if let Some(raised) = flag.raised_on.filter(|raised| *raised <= today && on < *raised) {
            return Err(self.too_early("return-advised-on", on, raised));
        }
        let answers = ReturnAnswers {
            flag: flag.entry.clone(),
            advised_by: by.clone(),
            advised_on: on.to_string(),
            limits,
            regions_still_out: now.regions_out,
        };
        self.record_return(&answers, moment)?;
        self.visit.drop_draft();
        let told = self.recorded(&by, on);
        self.visit.told.push(told);
        if answers.limits != NO_LIMITS {
            self.visit
                .told
                .push(self.speech.say("caution-care-limits", &[("limits", (&answers.limits).into())]));
        }
        Ok(Did::default())
    }

    /// A day that lies before another which it must follow.
    pub(super) fn too_early(&self, label: &str, day: NaiveDate, after: NaiveDate) -> No {
        let s = &self.speech;
        let (what, day, after) = (s.say(label, &[]), s.date_with_year(day), s.date_with_year(after));
        let args = [("what", (&what).into()), ("date", (&day).into()), ("after", (&after).into())];
        No::Refused(s.say("typed-early", &args))
    }
}
