//! Whom the record is opened to: giving a coach a grant, changing it, withdrawing it, and giving it again.

use super::typed::Typed;
use super::{Did, Making, No, yes_or_no};
use crate::companion::error::CompanionError;
use crate::companion::grants::{Grant, Opened};
use crate::companion::{Companion, Effect, Moment};
use crate::page::{Deed, Keys, Spot};
use crate::record::{Date, Time};
use crate::safety::Age;
use chrono::{NaiveDate, NaiveTime};

/// What can be granted.
struct Group {
    /// The word of the grant.
    word: &'static str,
    /// Whether it lets a coach write.
    writes: bool,
    /// The keys of its name inside a sentence, of the question, and of what it shows.
    keys: [&'static str; 3],
}

const fn reads(word: &'static str, keys: [&'static str; 3]) -> Group {
    Group { word, writes: false, keys }
}

const fn writes(word: &'static str, keys: [&'static str; 3]) -> Group {
    Group { word, writes: true, keys }
}

const DAY_MS: i64 = 86_400_000;

const BODY_MASS: &str = "body_mass";

const GROUPS: [Group; 7] = [
    reads("log", ["grant-log", "grant-log-ask", "grant-log-note"]),
    reads("findings", ["grant-findings", "grant-findings-ask", "grant-findings-note"]),
    reads("discomfort", ["grant-discomfort", "grant-discomfort-ask", "grant-discomfort-note"]),
    reads(BODY_MASS, ["grant-body-mass", "grant-body-mass-ask", "grant-body-mass-note"]),
    reads("screening", ["grant-screening", "grant-screening-ask", "grant-screening-note"]),
    writes("programmes", ["grant-programmes", "grant-programmes-ask", "grant-programmes-note"]),
    writes("notes", ["grant-notes", "grant-notes-ask", "grant-notes-note"]),
];

/// The groups that a lifter is asked about: of a minor body mass is never shown.
fn groups(minor: bool) -> impl Iterator<Item = &'static Group> {
    GROUPS.iter().filter(move |g| !(minor && g.word == BODY_MASS))
}

impl Companion {
    fn is_minor(&self, today: NaiveDate) -> bool {
        self.known.standing.age(today) == Age::Minor
    }

    /// A minor opens nothing to a coach without the guardian.
    fn guardian_is_missing(&self, today: NaiveDate) -> bool {
        let guardian = self.known.standing.guardian.as_ref();
        self.is_minor(today) && !guardian.is_some_and(|g| g.in_force(today))
    }

    fn opened_to(&self, coach: &str, moment: &Moment) -> Result<Option<Opened>, CompanionError> {
        Ok(self.opened(moment)?.into_iter().find(|o| o.coach == coach))
    }

    /// Whether anything is or was opened to an account.
    pub(super) fn has_grant(&self, coach: &str, moment: &Moment) -> Result<bool, CompanionError> {
        Ok(self.opened_to(coach, moment)?.is_some())
    }

    pub(super) fn grants_page(&self, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-grants", &[]));
        let (standing, over): (Vec<Opened>, Vec<Opened>) =
            self.opened(moment)?.into_iter().partition(|o| o.stands);
        if standing.is_empty() {
            page.sentence(s.say("grants-none", &[]));
        }
        for (head, all) in [("grants-standing", standing), ("grants-over", over)] {
            if !all.is_empty() {
                page.heading(head);
            }
            for one in all {
                let more = self.told_of(&one, moment);
                page.line(one.coach.clone(), more, Spot::Grant { coach: one.coach });
            }
        }
        page.line(s.say("grants-add", &[]), Vec::new(), Spot::NewGrant);
        if self.is_minor(moment.local().date_naive()) {
            self.tell_guardian(&mut page, moment);
        }
        if let Some(paired) = self.pairing()? {
            page.line(s.say("pages-audit", &[]), Vec::new(), Spot::Audit);
            page.sentence(s.say("grants-host", &[("address", (&paired.address).into())]));
        } else {
            page.sentence(s.say("grants-no-host", &[]));
            page.line(s.say("pages-pairing", &[]), Vec::new(), Spot::Pairing);
            page.line(s.say("pages-record", &[]), Vec::new(), Spot::Record);
        }
        Ok(page)
    }

    /// What an account may and since when, in sentences.
    fn told_of(&self, one: &Opened, moment: &Moment) -> Vec<String> {
        let s = &self.speech;
        let minor = self.is_minor(moment.local().date_naive());
        let mut told = Vec::new();
        for (key, write) in [("grant-reads", false), ("grant-writes", true)] {
            let allowed = groups(minor).filter(|g| g.writes == write && one.may.contains(g.word));
            let what: Vec<String> = allowed.map(|g| s.say(g.keys[0], &[])).collect();
            if !what.is_empty() {
                told.push(s.say(key, &[("what", (&s.and(&what)).into())]));
            }
        }
        if one.may.iter().any(|w| GROUPS.iter().all(|g| g.word != w)) {
            told.push(s.say("grant-unknown", &[]));
        }
        let dated = |key: &str, day: NaiveDate| s.say(key, &[("date", (&s.date_with_year(day)).into())]);
        if let Some(from) = &one.from {
            let key = if from.millis() > moment.wall_ms { "grant-begins" } else { "grant-since" };
            told.push(dated(key, from.date()));
        }
        told.push(match (&one.withdrawn_at, &one.until) {
            (Some(at), _) => dated("grant-withdrawn", at.date()),
            (None, Some(until)) if one.stands => dated("grant-until-day", until.date()),
            (None, Some(until)) => dated("grant-ended", until.date()),
            (None, None) => s.say("grant-open-end", &[]),
        });
        told
    }

    /// What a minor's grant needs. The guardian's is given on the page about the lifter.
    fn tell_guardian(&self, page: &mut Making<'_>, moment: &Moment) {
        let s = &self.speech;
        let today = moment.local().date_naive();
        let granted = self.known.standing.guardian.as_ref().filter(|g| g.in_force(today));
        let mut lines = vec![s.say("grants-minor", &[])];
        if granted.is_none() {
            lines.push(s.say("grants-no-guardian", &[]));
        }
        page.caution(lines);
        if let Some(g) = granted {
            let date = s.date_with_year(g.from);
            page.sentence(s.say("profile-granted", &[("by", (&g.by).into()), ("date", (&date).into())]));
        }
        page.line(s.say("pages-profile", &[]), Vec::new(), Spot::Profile);
    }

    pub(super) fn new_grant_page(&self, moment: &Moment) -> Making<'_> {
        let s = &self.speech;
        let today = moment.local().date_naive();
        let spot = Spot::NewGrant;
        let mut page = Making::new(s, s.say("grants-add", &[]));
        if self.is_minor(today) {
            self.tell_guardian(&mut page, moment);
        }
        if !self.guardian_is_missing(today) {
            page.sentence(s.say("grant-to-note", &[]));
            page.entry("to", "grant-to", Keys::Words, self.answer(&spot, "to", None));
            self.ask_groups(&mut page, &spot, None, today);
            page.deed("grant-give", Deed::Keep, true);
        }
        page
    }

    pub(super) fn grant_page(&self, coach: &str, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let today = moment.local().date_naive();
        let spot = Spot::Grant { coach: coach.to_owned() };
        let mut page = Making::new(s, coach.to_owned());
        let Some(one) = self.opened_to(coach, moment)? else { return Ok(page) };
        for told in self.told_of(&one, moment) {
            page.sentence(told);
        }
        if one.stands {
            let sure = self.visit.asks_again(&spot);
            let key = if sure { "grant-withdraw-sure" } else { "grant-withdraw" };
            page.action(s.say(key, &[("to", coach.into())]), Deed::Remove, false);
        }
        if self.is_minor(today) {
            self.tell_guardian(&mut page, moment);
        }
        if one.stands || !self.guardian_is_missing(today) {
            page.heading(if one.stands { "grant-change" } else { "grant-again" });
            self.ask_groups(&mut page, &spot, Some(&one), today);
            page.deed(if one.stands { "locker-keep" } else { "grant-give-again" }, Deed::Keep, true);
        }
        Ok(page)
    }

    /// Each group with what it shows, and the last day.
    fn ask_groups(&self, page: &mut Making<'_>, spot: &Spot, held: Option<&Opened>, today: NaiveDate) {
        let s = &self.speech;
        for group in groups(self.is_minor(today)) {
            let now = self.granted(spot, group.word, held);
            let [_, ask, note] = group.keys;
            page.question(ask, vec![s.say(note, &[])], page.yes_no(group.word, now));
        }
        page.sentence(s.say("grant-name-too", &[]));
        let until = self.last_day(spot, held).map(|d| Date(d).to_string());
        page.entry("until", "grant-until", Keys::Date, until);
    }

    /// What was answered about a group; without an answer as it stands.
    fn granted(&self, spot: &Spot, word: &str, held: Option<&Opened>) -> Option<bool> {
        let stood = held.map(|o| if o.may.contains(word) { "yes" } else { "no" });
        self.answer(spot, word, stood).map(|v| v == "yes")
    }

    /// The last day that was answered; without an answer as it stands. What is over ends on no day any more.
    fn last_day(&self, spot: &Spot, held: Option<&Opened>) -> Option<NaiveDate> {
        let stood = held.filter(|o| o.stands).and_then(|o| o.until.as_ref());
        let stood = stood.map(|t| Date(t.date()).to_string());
        self.answer(spot, "until", stood.as_deref()).and_then(|d| d.parse::<Date>().ok()).map(|d| d.0)
    }

    pub(super) fn choose_in_grant(
        &mut self,
        spot: &Spot,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        let today = moment.local().date_naive();
        let held = match spot {
            Spot::Grant { coach } => Some(self.opened_to(coach, moment)?.ok_or(No::NotHere)?),
            _ => None,
        };
        if !held.is_some_and(|o| o.stands) && self.guardian_is_missing(today) {
            return Err(No::NotHere);
        }
        match field {
            "to" if *spot == Spot::NewGrant => {
                let name = Typed::new(&self.speech, "grant-to", value).account()?;
                self.visit.draft(spot, field, name);
            }
            "until" if value.trim().is_empty() => self.visit.draft(spot, field, ""),
            "until" => {
                let day = Typed::new(&self.speech, "grant-until", value).date()?;
                self.not_over(day, today)?;
                self.visit.draft(spot, field, Date(day).to_string());
            }
            _ if groups(self.is_minor(today)).any(|g| g.word == field) => {
                yes_or_no(value)?;
                self.visit.draft(spot, field, value);
            }
            _ => return Err(No::Field(field.to_owned())),
        }
        Ok(())
    }

    fn not_over(&self, day: NaiveDate, today: NaiveDate) -> Result<(), No> {
        if day >= today {
            return Ok(());
        }
        let s = &self.speech;
        let (what, date) = (s.say("grant-until", &[]), s.date_with_year(day));
        Err(s.say("grant-until-over", &[("what", (&what).into()), ("date", (&date).into())]).into())
    }

    pub(super) fn give_new_grant(&mut self, moment: &Moment) -> Result<Did, No> {
        let coach = self.answer(&Spot::NewGrant, "to", None).ok_or_else(|| self.missing("grant-to"))?;
        if self.has_grant(&coach, moment)? {
            self.visit.drop_draft();
            self.visit.told.push(self.speech.say("grant-there", &[("to", (&coach).into())]));
            self.visit.open(Spot::Grants);
            self.visit.open(Spot::Grant { coach });
            return Ok(Did::default());
        }
        self.keep_grant(&Spot::NewGrant, &coach, None, moment)
    }

    pub(super) fn change_grant(&mut self, coach: &str, moment: &Moment) -> Result<Did, No> {
        let one = self.opened_to(coach, moment)?.ok_or(No::NotHere)?;
        self.keep_grant(&Spot::Grant { coach: coach.to_owned() }, coach, Some(&one), moment)
    }

    fn keep_grant(
        &mut self,
        spot: &Spot,
        coach: &str,
        held: Option<&Opened>,
        moment: &Moment,
    ) -> Result<Did, No> {
        let today = moment.local().date_naive();
        let stood = held.filter(|o| o.stands);
        if stood.is_none() && self.guardian_is_missing(today) {
            return Err(No::NotHere);
        }
        let yes = |g: &&Group| self.granted(spot, g.word, held) == Some(true);
        let mut may: Vec<String> =
            groups(self.is_minor(today)).filter(yes).map(|g| g.word.to_owned()).collect();
        if may.is_empty() {
            return Err(self.speech.say("grant-nothing", &[]).into());
        }
        // What a later version let this coach do goes on while the grant stands.
        let unknown = stood.iter().flat_map(|o| &o.may).filter(|w| GROUPS.iter().all(|g| g.word != *w));
        may.extend(unknown.cloned());
        let day = self.last_day(spot, held);
        let kept = stood.and_then(|o| o.until.clone()).filter(|t| Some(t.date()) == day);
        let until = match (kept, day) {
            (None, Some(day)) => {
                self.not_over(day, today)?;
                Some(end_of(day, moment))
            }
            (kept, _) => kept,
        };
        self.open_to(coach, Grant { may, until }, moment)?;
        self.visit.drop_draft();
        self.visit.open(Spot::Grants);
        let told = match stood {
            Some(_) => self.speech.say("locker-kept", &[]),
            None => self.speech.say("grant-given", &[("to", coach.into())]),
        };
        self.visit.told.push(told);
        self.tell_host()
    }

    /// Withdraws everything from an account, once that was touched twice.
    pub(super) fn withdraw_grant(&mut self, coach: &str, moment: &Moment) -> Result<Did, No> {
        self.opened_to(coach, moment)?.filter(|o| o.stands).ok_or(No::NotHere)?;
        if !self.visit.second_touch(&Spot::Grant { coach: coach.to_owned() }) {
            return Ok(Did::default());
        }
        self.close_to(coach, moment)?;
        self.visit.drop_draft();
        self.visit.told.push(self.speech.say("grant-withdrawn-now", &[("to", coach.into())]));
        self.tell_host()
    }

    /// What was said here counts at the host once it is there.
    pub(super) fn tell_host(&self) -> Result<Did, No> {
        let effects = self.pairing()?.map(|_| Effect::AskForSync).into_iter().collect();
        Ok(Did { effects, refused: None })
    }
}

/// The last instant of a day where the lifter is.
fn end_of(day: NaiveDate, moment: &Moment) -> Time {
    let ahead_ms = i64::from(moment.local().offset().local_minus_utc()) * 1_000;
    let midnight_ms = day.and_time(NaiveTime::MIN).and_utc().timestamp_millis();
    Time::of(&Moment { wall_ms: midnight_ms + DAY_MS - 1 - ahead_ms, ..moment.clone() })
}
