//! A programme that a coach has sent: what this phone would change in it and why, what the week becomes, and the
//! lifter's word.

use super::{Did, Making, No, pick};
use crate::companion::programmes::Waiting;
use crate::companion::{Companion, CompanionError, Moment};
use crate::page::{Deed, Spot};
use crate::plan::adapt::Adapted;
use crate::progress::volume::monday;
use crate::record::EntryId;
use crate::words;
use chrono::{Days, NaiveDate};

/// The field of the first day, and its values.
const BEGINS: &str = "begins";
const TODAY: &str = "today";
const MONDAY: &str = "monday";

/// Whether not a line is left of a programme.
fn nothing_left(adapted: &Adapted) -> bool {
    adapted.programme.days.iter().all(|d| d.lines.is_empty())
}

/// Today, and the next Monday where today is none. A week that is under way is trained to its end.
fn first_days(moment: &Moment) -> (NaiveDate, Option<NaiveDate>) {
    let today = moment.local().date_naive();
    let next = monday(today).checked_add_days(Days::new(7)).filter(|_| monday(today) != today);
    (today, next)
}

impl Companion {
    /// The entry that a page is about, where a programme waits in it.
    pub(super) fn waits_at(&self, id: &str) -> Option<&Waiting> {
        self.waiting(id.parse::<EntryId>().ok()?)
    }

    /// Works out what a programme becomes for this lifter, once for its page.
    pub(super) fn propose(&mut self, spot: &Spot, moment: &Moment) {
        let Spot::Sent { id } = spot else { return };
        let Some((entry, programme)) = self.waits_at(id).map(|w| (w.entry, w.programme.clone())) else {
            return;
        };
        if self.proposed.as_ref().is_none_or(|(of, _)| *of != entry) {
            self.proposed = Some((entry, self.adapt(&programme, moment)));
        }
    }

    /// What waits, a line each, on the page of the week.
    pub(super) fn tell_waiting(&self, page: &mut Making<'_>) -> Result<(), CompanionError> {
        let s = &self.speech;
        for w in &self.known.programmes.waiting {
            page.line(self.name_of_sent(w), vec![self.told_from(w)], Spot::Sent { id: w.entry.to_string() });
        }
        let unread = self.unread_notes()?;
        if unread > 0 {
            page.line(s.say("notes-unread", &[("n", unread.into())]), Vec::new(), Spot::Notes);
        }
        Ok(())
    }

    fn name_of_sent(&self, w: &Waiting) -> String {
        let s = &self.speech;
        if w.title.is_empty() {
            s.say("sent-untitled", &[])
        } else {
            s.say("sent-waits", &[("title", (&w.title).into())])
        }
    }

    fn told_from(&self, w: &Waiting) -> String {
        let s = &self.speech;
        let day = w.made_at.as_ref().map(|t| s.date_with_year(t.date())).unwrap_or_default();
        let day = ("date", (&day).into());
        match (w.from.is_empty(), w.version) {
            (true, _) => s.say("sent-from-file", &[day]),
            (false, Some(version)) => {
                s.say("sent-from-version", &[("from", (&w.from).into()), ("version", version.into()), day])
            }
            (false, None) => s.say("sent-from", &[("from", (&w.from).into()), day]),
        }
    }

    pub(super) fn sent_page(&self, id: &str, moment: &Moment) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("place-week", &[]));
        let Some(w) = self.waits_at(id) else {
            page.sentence(s.say("page-refused-gone", &[]));
            return page;
        };
        page.title = if w.title.is_empty() { s.say("sent-untitled", &[]) } else { w.title.clone() };
        page.sentence(self.told_from(w));
        let Some((_, adapted)) = self.proposed.as_ref().filter(|(of, _)| *of == w.entry) else { return page };
        self.tell_changes(&mut page, w, adapted);
        let spot = Spot::Sent { id: id.to_owned() };
        if nothing_left(adapted) {
            page.sentence(s.say("sent-nothing-left", &[]));
        } else {
            self.ask_begin(&mut page, &spot, moment);
            page.deed("sent-take-on", Deed::TakeOn, true);
        }
        let sure = self.visit.asks_again(&spot);
        page.deed(if sure { "sent-aside-sure" } else { "sent-aside" }, Deed::Remove, false);
        if nothing_left(adapted) {
            return page;
        }
        page.heading("sent-week");
        for day in adapted.programme.days.iter().filter(|d| !d.lines.is_empty()) {
            page.blocks.push(crate::page::Block::Heading { text: self.day_head(day) });
            for line in &day.lines {
                let name = s.movement_in(&self.known.catalogue, &line.movement);
                let what = words::prescription(s, line);
                page.sentence(s.say("pages-labelled", &[("what", (&name).into()), ("text", (&what).into())]));
                if let Some(cue) = &line.cue {
                    page.sentence(cue.clone());
                }
            }
        }
        self.weekly_sets(&mut page, &adapted.programme);
        page
    }

    fn tell_changes(&self, page: &mut Making<'_>, w: &Waiting, adapted: &Adapted) {
        let s = &self.speech;
        page.heading("sent-changes");
        let told = words::adapt::differences(s, &self.known.catalogue, &w.programme, adapted);
        if told.is_empty() {
            page.sentence(s.say("sent-changes-none", &[]));
            return;
        }
        page.sentence(s.say("sent-changes-about", &[]));
        for one in told {
            page.sentence(one);
        }
    }

    fn begins(&self, spot: &Spot, moment: &Moment) -> NaiveDate {
        let (today, next) = first_days(moment);
        let asked = self.visit.drafted(spot, BEGINS);
        let at_once = asked.map_or(self.known.programmes.running.is_none(), |a| a == TODAY);
        next.filter(|_| !at_once).unwrap_or(today)
    }

    fn ask_begin(&self, page: &mut Making<'_>, spot: &Spot, moment: &Moment) {
        let s = &self.speech;
        let (today, next) = first_days(moment);
        let now = self.begins(spot, moment);
        let mut notes = Vec::new();
        if self.known.programmes.running.is_some() {
            notes.push(s.say("sent-before", &[]));
        }
        if let Some(monday) = next {
            let label = s.say("sent-from-monday", &[("date", (&s.date(monday)).into())]);
            let buttons = vec![
                page.pick(BEGINS, TODAY, "sent-from-today", now == today),
                pick(BEGINS, MONDAY, label).chosen(now == monday),
            ];
            page.question("sent-begins", notes, buttons);
        } else {
            for note in notes {
                page.sentence(note);
            }
        }
    }

    pub(super) fn choose_in_sent(
        &mut self,
        spot: &Spot,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        if field != BEGINS || first_days(moment).1.is_none() {
            return Err(No::Field(field.to_owned()));
        }
        if ![TODAY, MONDAY].contains(&value) {
            return Err(No::Field("value".into()));
        }
        self.visit.draft(spot, field, value);
        Ok(())
    }

    pub(super) fn do_in_sent(&mut self, id: &str, deed: &Deed, moment: &Moment) -> Result<Did, No> {
        let w = self.waits_at(id).ok_or(No::NotHere)?;
        let (entry, name) = (w.entry, w.title.clone());
        let spot = Spot::Sent { id: id.to_owned() };
        match deed {
            Deed::TakeOn => {
                let from = self.begins(&spot, moment);
                self.propose(&spot, moment);
                let nothing = self.proposed.as_ref().is_some_and(|(_, a)| nothing_left(a));
                if nothing {
                    return Err(self.speech.say("sent-nothing-left", &[]).into());
                }
                self.take_on_sent(entry, from, moment)?;
                let date = self.speech.date(from);
                self.visit.told.push(self.speech.say("sent-taken-on", &[("date", (&date).into())]));
            }
            Deed::Remove => {
                if !self.visit.second_touch(&spot) {
                    return Ok(Did::default());
                }
                self.put_aside(entry, moment)?;
                let title = if name.is_empty() { self.speech.say("sent-untitled", &[]) } else { name };
                self.visit.told.push(self.speech.say("sent-put-aside", &[("title", (&title).into())]));
            }
            _ => return Err(No::NotHere),
        }
        self.visit.drop_draft();
        self.visit.open(Spot::Week);
        self.tell_host()
    }
}
