//! Days of a walk: a session from its questions to its close, a correction of yesterday, and the record at the end.

use super::{Logged, Proposed, Walk, offered, screen_text};
use chrono::{Datelike, NaiveDate, TimeDelta};
use plinth_core::catalogue::LoadKind;
use plinth_core::floor::{Company, Event, Feeling};
use plinth_core::plan::search::Effort;
use plinth_core::record::{EntryId, Kind, LoadDone, Outcome, ReserveDone, SetFields, View as _};
use plinth_core::words::Arg;
use serde_json::json;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt::Write;

/// How a session is begun.
#[derive(Debug, Clone, Copy)]
#[allow(clippy::struct_excessive_bools)] // independent answers
pub struct Day {
    /// Which day of the programme: nothing takes the one that is chosen already.
    pub day: Option<Option<usize>>,
    /// Alone.
    pub alone: bool,
    /// Safeties.
    pub safeties: bool,
    /// The adult is there.
    pub adult: bool,
    /// Minutes at hand.
    pub minutes: Option<u32>,
    /// Tired.
    pub tired: bool,
    /// Where.
    pub place: Option<usize>,
}

impl Default for Day {
    fn default() -> Self {
        Self {
            day: None,
            alone: true,
            safeties: true,
            adult: false,
            minutes: None,
            tired: false,
            place: None,
        }
    }
}

impl Walk {
    /// Plans the brief of today and takes it on from a day.
    pub fn take_on(&mut self, starts_on: NaiveDate) {
        let now = self.now.clone();
        let effort = Effort { evaluations: 15_000, chains: 1 };
        let answer = self.companion().plan(&now, effort, &mut || true);
        let json = serde_json::to_vec(&answer.programme).expect("json");
        self.companion().take_on(&json, "own", starts_on, &now).expect("it is taken on");
        self.judge_programme();
        self.shown = None;
    }

    /// Drafts the next block and takes it on from a day.
    pub fn next_block(&mut self, starts_on: NaiveDate) {
        let now = self.now.clone();
        let effort = Effort { evaluations: 15_000, chains: 1 };
        let next = self.companion().next_block(&now, effort, &mut || true).expect("it is drafted");
        let brief = serde_json::to_vec(&next.brief).expect("json");
        self.companion().tell_brief(&brief, &now).expect("the drafted brief is sound");
        let json = serde_json::to_vec(&next.answer.programme).expect("json");
        self.companion().take_on(&json, "own", starts_on, &now).expect("it is taken on");
        self.judge_programme();
        self.shown = None;
    }

    /// Nothing planned is forbidden.
    fn judge_programme(&mut self) {
        let around = self.circumstances();
        let (_, programme, _) = self.reader().programme().expect("a programme");
        let mut wrong = Vec::new();
        for line in programme.days.iter().flat_map(|d| &d.lines) {
            let m = self.catalogue.movement(&line.movement).expect("a movement");
            // Company and safeties are asked at the session.
            let anywhere = plinth_core::safety::Circumstances { alone: false, ..around.clone() };
            match plinth_core::safety::permit(m, &anywhere) {
                Err(refusal) => wrong.push(format!("{} is planned: {refusal:?}", m.id)),
                Ok(ease) if line.reserve < ease.reserve_at_least => {
                    wrong.push(format!(
                        "{} leaves {} where {} are asked",
                        m.id, line.reserve, ease.reserve_at_least
                    ));
                }
                Ok(_) => {}
            }
        }
        assert!(wrong.is_empty(), "{}: {wrong:?}", self.who);
    }

    /// Answers the questions before a session and begins it. Says whether it began.
    pub fn begin(&mut self, day: &Day) -> bool {
        let now = self.now.clone();
        self.companion().leave_ended(&now).expect("the screen before");
        self.shown = None;
        self.alone = day.alone;
        self.safeties = day.safeties;
        // What is answered before a session begins is not kept across a kill: it is asked anew.
        let chance = std::mem::take(&mut self.habits.killed);
        let screen = self.screen();
        assert_eq!(screen.stage, "before", "{}: before a session\n{}", self.who, screen_text(&screen));
        if let Some(which) = day.day {
            self.touch(&Event::ChooseDay { day: which });
        }
        let company = if day.alone { Company::Alone } else { Company::Spotted };
        self.touch(&Event::Company { company });
        self.touch(&Event::Safeties { there: day.safeties });
        let feeling = if day.tired { Feeling::Tired } else { Feeling::Usual };
        self.touch(&Event::Feeling { feeling });
        if let Some(minutes) = day.minutes {
            self.touch(&Event::MinutesAtHand { minutes: Some(minutes) });
        }
        if let Some(place) = day.place {
            self.touch(&Event::Place { place });
        }
        if day.adult {
            self.try_touch(|e| *e == Event::Adult { present: true });
        }
        let begun = !self.screen().wide.is_some_and(|w| w.outlined);
        if begun {
            self.touch(&Event::Begin);
        }
        self.habits.killed = chance;
        begun
    }

    /// Begins a session that must begin.
    pub fn begun(&mut self, day: &Day) {
        if !self.begin(day) {
            let screen = self.screen();
            panic!("{}: no session begins on {}\n{}", self.who, self.today(), screen_text(&screen));
        }
    }

    /// Goes on until nothing is left or the session is over; `each` is called before every step.
    pub fn work(&mut self, mut each: impl FnMut(&mut Self, usize) -> bool) {
        let day = self.dice.spread();
        for step in 0..400 {
            let screen = self.screen();
            match screen.stage.as_str() {
                "warm_up" => {
                    self.pass(60);
                    let skip = self.offers(|e| matches!(e, Event::WarmUpSkipped)).is_some();
                    if skip && self.dice.per_cent(50) {
                        self.touch(&Event::WarmUpSkipped);
                    } else {
                        self.touch(&Event::WarmUpDone);
                    }
                }
                "lifting" | "resting" => {
                    if !each(self, step) {
                        return;
                    }
                    if self.dice.per_cent(self.habits.restless) {
                        self.pass(2);
                        self.restless();
                    }
                    let now = self.screen();
                    if matches!(now.stage.as_str(), "lifting" | "resting") && now.form.is_none() {
                        self.set(day);
                    } else if now.form.is_some() {
                        self.try_touch(|e| matches!(e, Event::Back));
                    }
                }
                "paused" => {
                    self.try_touch(|e| matches!(e, Event::Resume));
                }
                "finished" | "ended" => return,
                other => panic!("{}: {other} in mid-session", self.who),
            }
        }
        panic!("{}: the session on {} does not end", self.who, self.today());
    }

    /// Closes the session.
    pub fn close(&mut self) {
        self.pass(20);
        self.screen();
        if !self.try_touch(|e| matches!(e, Event::Close)) {
            let screen = self.screen();
            assert_eq!(screen.stage, "ended", "{}", screen_text(&screen));
        }
    }

    /// A whole session with nothing special.
    pub fn session_of(&mut self, day: &Day) {
        if self.begin(day) {
            self.work(|_, _| true);
            self.close();
        }
    }

    /// The Monday of a week of the walk, counted from 1.
    pub fn monday(week: i64) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 3, 2).expect("a day") + TimeDelta::weeks(week - 1)
    }

    /// The days of the programme that fall into a week of the walk.
    pub fn days_of(&self, week: i64) -> Vec<NaiveDate> {
        let Some((_, programme, from)) = self.reader().programme() else { return Vec::new() };
        let mut days: Vec<NaiveDate> = (programme.days.iter())
            .map(|d| Self::monday(week) + TimeDelta::days(d.weekday as i64))
            .filter(|d| *d >= from)
            .collect();
        days.sort();
        days
    }

    /// Yesterday's last set had so many left in truth.
    pub fn correct_yesterday(&mut self, reserve: u32) {
        let Some(at) = self.logged.iter().rposition(|l| l.entries.len() == 1) else { return };
        let id = self.logged[at].entries[0];
        let fields = SetFields { reserve: Some(ReserveDone::Reps(reserve)), ..SetFields::default() };
        let now = self.now.clone();
        self.companion().edit(&[fields.edit(id)], &now).expect("it is corrected");
        let entry = self.reader().store().entry(&id).expect("it reads").expect("it is there");
        self.logged[at].says = self.says(&[SetFields::of(&entry).expect("a sound set")]);
        self.shown = None;
    }

    /// What a set of the record says, in the words of a button.
    fn says(&self, sides: &[SetFields]) -> String {
        let Some(f) = sides.first() else { return String::new() };
        let speech = &self.speech;
        let measure = f.measure.map(|m| json!(m).as_str().unwrap_or_default().to_owned()).unwrap_or_default();
        let amount = |n: u32| speech.say("floor-amount", &[("measure", (&measure).into()), ("n", n.into())]);
        let mass = |key: &str, mass: &str| {
            let mass = speech.mass(&mass.parse().expect("a mass"));
            if key.is_empty() { mass } else { speech.say(key, &[("mass", (&mass).into())]) }
        };
        let load = f.load.as_ref().and_then(|l| match l {
            LoadDone::BodyMass => None,
            LoadDone::Band { .. } => Some(speech.say("floor-load-band", &[])),
            other => {
                let v = json!(other);
                let text = v["mass"].as_str().unwrap_or_default();
                Some(match v["of"].as_str() {
                    Some("pair") => mass("floor-load-each", text),
                    Some("added") => mass("floor-load-added", text),
                    Some("assisted") => mass("floor-load-assisted", text),
                    _ => mass("", text),
                })
            }
        });
        if let Some(LoadDone::Band { band }) = &f.load
            && !band.is_empty()
        {
            let load = speech.say("floor-load-band-named", &[("band", band.into())]);
            return self.done(f, sides, &amount, Some(load));
        }
        self.done(f, sides, &amount, load)
    }

    fn done(
        &self,
        f: &SetFields,
        sides: &[SetFields],
        amount: &dyn Fn(u32) -> String,
        load: Option<String>,
    ) -> String {
        let speech = &self.speech;
        let missed = f.outcome == Some(Outcome::Missed);
        let key = match (missed, load.is_some()) {
            (false, false) => "floor-done",
            (false, true) => "floor-done-load",
            (true, false) => "floor-missed",
            (true, true) => "floor-missed-load",
        };
        let (what, load) = (amount(f.amount.unwrap_or(0)), load.unwrap_or_default());
        let mut text = speech.say(key, &[("amount", (&what).into()), ("load", (&load).into())]);
        if let Some(other) = sides.get(1).filter(|o| o.amount != f.amount) {
            let n = amount(other.amount.unwrap_or(0));
            text = speech.say("floor-record-other", &[("done", (&text).into()), ("n", (&n).into())]);
        }
        if let Some(ReserveDone::Reps(n)) = f.reserve {
            text = speech.say("floor-record-reserve", &[("done", (&text).into()), ("n", Arg::from(n))]);
        }
        text
    }

    /// Every set that was acknowledged is in the record once, and nothing else.
    pub fn account(&self) {
        let store = self.reader().store();
        let mut record: Vec<String> = Vec::new();
        let sessions = store.of_kind(&Kind::Session, None, 5000).expect("sessions");
        for session in sessions.iter().filter(|e| !e.deleted()) {
            let mut by: BTreeMap<_, Vec<(EntryId, SetFields)>> = BTreeMap::new();
            for e in store.sets_of(&session.id).expect("sets").iter().filter(|e| !e.deleted()) {
                let f = SetFields { deleted: None, ..SetFields::of(e).expect("a sound set") };
                let purpose = format!("{:?}", f.purpose);
                by.entry((f.line, purpose, f.number)).or_default().push((e.id, f));
            }
            for (key, mut sides) in by {
                // The weaker side is told first: it is the one of fewer.
                sides.sort_by_key(|(id, f)| (f.amount, *id));
                assert!(sides.len() <= 2, "{}: a set is there more than once: {key:?}", self.who);
                if sides.len() == 2 {
                    assert_ne!(
                        sides[0].1.side, sides[1].1.side,
                        "{}: the same side twice: {key:?}",
                        self.who
                    );
                }
                let fields: Vec<SetFields> = sides.iter().map(|(_, f)| f.clone()).collect();
                let movement = fields[0].movement.clone().unwrap_or_default();
                let name = self.speech.movement_in(&self.catalogue, &movement);
                record.push(format!("{}|{name}|{}", session.id, self.says(&fields)));
            }
        }
        let own = |l: &Logged| format!("{}|{}|{}", l.session, l.movement, l.says);
        let mut walk: Vec<String> = self.logged.iter().map(own).collect();
        record.sort();
        walk.sort();
        // Minutes ago are told and not kept in the words.
        let only = |a: &[String], b: &[String]| -> Vec<String> {
            a.iter().filter(|x| !b.contains(x)).take(5).cloned().collect()
        };
        assert_eq!(
            walk.len(),
            record.len(),
            "{}: sets acknowledged and sets in the record; only in the walk: {:?}; only in the record: {:?}",
            self.who,
            only(&walk, &record),
            only(&record, &walk)
        );
        assert_eq!(
            Sha256::digest(walk.join("\n")),
            Sha256::digest(record.join("\n")),
            "{}: only in the walk: {:?}; only in the record: {:?}",
            self.who,
            only(&walk, &record),
            only(&record, &walk)
        );
        let checked = self.reader().check().expect("a check");
        assert_eq!(checked.first_fault(), None, "{}: every entry is whole", self.who);
    }

    /// The loads of the walk as a coach reads them, by movement.
    pub fn ledger(&self) -> String {
        let mut by: BTreeMap<&str, Vec<&Proposed>> = BTreeMap::new();
        for p in &self.proposed {
            by.entry(&p.movement).or_default().push(p);
        }
        let mut out = String::new();
        for (movement, all) in by {
            let _ = writeln!(out, "{movement}");
            for p in all {
                let week = (p.day - Self::monday(1)).num_days() / 7 + 1;
                let done: Vec<&str> =
                    p.done.iter().map(|d| d.split_once(": ").map_or(d.as_str(), |(_, d)| d)).collect();
                let _ = writeln!(out, "  week {week} {}: {} | {}", p.day.weekday(), p.what, done.join("; "));
                if !p.because.is_empty() {
                    let _ = writeln!(out, "    {}", p.because);
                }
            }
        }
        out
    }

    /// No proposed load rises by more than a tenth, or one step of a light kit, over the most of three weeks before it:
    /// after light sessions, loads go on from where they stood.
    pub fn no_jump(&self) {
        let mut before_it: BTreeMap<&str, Vec<(NaiveDate, i64)>> = BTreeMap::new();
        for p in &self.proposed {
            let all = before_it.entry(&p.movement).or_default();
            let lately =
                all.iter().filter(|(day, _)| (p.day - *day).num_days() <= 21).map(|(_, grams)| *grams);
            if let (Some(before), Some(now)) = (lately.max(), p.grams)
                && before > 0
                // A load on top of the body is a small part of what rises.
                && self.catalogue.movement(&p.movement).is_none_or(|m| m.load_kind != LoadKind::Added)
            {
                let rise = (now - before) * 1000 / before;
                assert!(
                    rise <= 105 || now - before <= 1_000,
                    "{}: {} jumps from {before} to {now} g on {} ({})",
                    self.who,
                    p.movement,
                    p.day,
                    p.because
                );
            }
            all.extend(p.grams.map(|grams| (p.day, grams)));
        }
    }

    /// Takes a way of the screen by its label, for what has no single event.
    pub fn labelled(&mut self, label: &str) -> bool {
        let screen = self.screen();
        let event = offered(&screen).into_iter().find(|b| b.label == label).map(|b| b.event.clone());
        event.is_some_and(|e| {
            self.touch(&e);
            true
        })
    }
}
