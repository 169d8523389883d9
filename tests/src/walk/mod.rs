//! A lifter who walks through weeks of training with the companion alone: touches what a screen offers, reads what
//! it says, is killed at any event, and judges every screen.
//!
//! The walk keeps its own list of what it was told is recorded, in the words of the buttons, and compares it with
//! the record at the end.

#![allow(clippy::expect_used, clippy::panic, clippy::missing_panics_doc)] // a walk that cannot go on is a failed test

mod body;
mod check;
mod days;
mod steps;
mod text;

pub use body::Body;
pub use days::Day;
pub use text::{findings_text, screen_text};

use crate::faults::Folder;
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};
use plinth_core::catalogue::{Catalogue, Movement};
use plinth_core::companion::{Companion, Screen, Update};
use plinth_core::floor::Event;
use plinth_core::moment::Moment;
use plinth_core::record::{Entry, EntryId, Kind};
use plinth_core::safety::Circumstances;
use plinth_core::words::floor::{Button, FloorScreen};
use plinth_core::words::{Language, Speech};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::{Arc, Mutex};

/// A generator (splitmix64) with a fixed seed: a walk is the same every time.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Seeds it.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number.
    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// True so many times in a hundred.
    pub fn per_cent(&mut self, chance: u64) -> bool {
        self.roll() % 100 < chance
    }

    /// A number from -1 to 1, most often near nought.
    pub fn spread(&mut self) -> f64 {
        let one = |n: u64| (n % 2001) as f64 / 1000.0 - 1.0;
        (one(self.roll()) + one(self.roll()) + one(self.roll())) / 3.0
    }
}

/// What a touch was said to record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Logged {
    /// The session's entry.
    pub session: EntryId,
    /// The movement's name on the screen.
    pub movement: String,
    /// What stood on the button, without how long ago it was.
    pub says: String,
    /// The entries that came of it: one, or one for each side.
    pub entries: Vec<EntryId>,
}

/// A working load that was on the screen, for the coach who reads the walk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposed {
    /// The day.
    pub day: NaiveDate,
    /// The movement's id.
    pub movement: String,
    /// "80 kg, 5 reps, leave 2".
    pub what: String,
    /// Why.
    pub because: String,
    /// The load in grams, where it has a number.
    pub grams: Option<i64>,
    /// Repetitions.
    pub amount: u32,
    /// What was done of it, set by set.
    pub done: Vec<String>,
}

/// What the lifter of a walk is like.
#[derive(Debug, Clone)]
pub struct Habits {
    /// Chance in a hundred that a set is told with what was left.
    pub tells_reserve: u64,
    /// Chance in a hundred that something other than the next set happens before it.
    pub restless: u64,
    /// Chance in a hundred that the last thing is undone and done again.
    pub undoes: u64,
    /// Chance in a hundred of a kill after an event.
    pub killed: u64,
    /// Whether stand-ins are asked for now and then.
    pub stands_in: bool,
}

impl Default for Habits {
    fn default() -> Self {
        Self { tells_reserve: 30, restless: 10, undoes: 4, killed: 4, stands_in: true }
    }
}

/// The walk.
pub struct Walk {
    /// Who walks.
    pub who: &'static str,
    /// The language.
    pub language: Language,
    /// How the screens' names are read.
    pub speech: Speech,
    /// The built-in catalogue.
    pub catalogue: Catalogue,
    /// Now.
    pub now: Moment,
    /// What the lifter can do.
    pub body: Body,
    /// What the lifter is like.
    pub habits: Habits,
    /// What limits this lifter today, besides company and safeties: the walk's own knowledge, not the product's.
    pub around: Circumstances,
    /// Chance.
    pub dice: Dice,
    /// What was recorded, as the buttons said.
    pub logged: Vec<Logged>,
    /// Loads that were on the screen.
    pub proposed: Vec<Proposed>,
    /// Everything that a coach or lifter would object to.
    pub objections: Vec<String>,
    /// Events sent.
    pub events: usize,
    /// Kills.
    pub kills: usize,
    /// Screens judged.
    pub screens: usize,
    /// Things taken back.
    pub undone: usize,
    /// Screens kept for the reader, with their names.
    pub kept: Vec<(String, String)>,
    pub(crate) alone: bool,
    pub(crate) safeties: bool,
    pub(crate) shown: Option<FloorScreen>,
    /// What the counts of sets say, by what they are.
    pub(crate) counts: BTreeMap<String, check::Kind>,
    /// Names of movements as titles, with their ids.
    pub(crate) names: BTreeMap<String, String>,
    /// What is said of sets in turn.
    pub(crate) turns: BTreeSet<String>,
    number: String,
    missed: bool,
    companion: Option<Companion>,
    _folder: Folder,
    path: PathBuf,
    seed: Arc<Mutex<Dice>>,
}

/// The floor's screen: no walk leaves the floor by a page.
pub fn floor_of(screen: Screen) -> FloorScreen {
    screen.floor().expect("the floor is shown")
}

impl Walk {
    /// Opens an empty record at six in the evening of Monday, 2 March 2026.
    pub fn new(who: &'static str, language: Language, seed: u64, body: Body) -> Self {
        // What the disk does is another test's business.
        let folder = Folder::in_memory();
        let path = folder.file("record.plinth");
        let start =
            NaiveDate::from_ymd_opt(2026, 3, 2).and_then(|d| d.and_hms_opt(17, 0, 0)).expect("a time");
        let now = Moment {
            wall_ms: start.and_utc().timestamp_millis(),
            offset_min: 60,
            monotonic_ms: 50_000_000,
            boot: "boot-1".into(),
        };
        let mut walk = Self {
            who,
            language,
            speech: Speech::new(language),
            catalogue: Catalogue::builtin().expect("the catalogue is sound"),
            now,
            body,
            habits: Habits::default(),
            around: Circumstances::default(),
            dice: Dice::new(seed),
            logged: Vec::new(),
            proposed: Vec::new(),
            objections: Vec::new(),
            events: 0,
            kills: 0,
            screens: 0,
            undone: 0,
            kept: Vec::new(),
            alone: true,
            safeties: false,
            shown: None,
            counts: BTreeMap::new(),
            names: BTreeMap::new(),
            turns: BTreeSet::new(),
            number: String::new(),
            missed: false,
            companion: None,
            _folder: folder,
            path,
            seed: Arc::new(Mutex::new(Dice::new(seed ^ 0xabcd))),
        };
        walk.learn();
        walk.open();
        walk
    }

    fn open(&mut self) {
        let seed = Arc::clone(&self.seed);
        let random = Box::new(move |bytes: &mut [u8]| {
            let Ok(mut dice) = seed.lock() else { return false };
            for b in bytes {
                *b = dice.roll() as u8;
            }
            true
        });
        let opened = Companion::open(&self.path, self.language, &self.now, random).expect("the record opens");
        assert!(opened.recovered.is_none(), "{}: nothing was damaged", self.who);
        assert_eq!(opened.unread, Vec::<String>::new(), "{}: every entry can be used", self.who);
        self.companion = Some(opened.companion);
    }

    /// The companion.
    pub fn companion(&mut self) -> &mut Companion {
        self.companion.as_mut().expect("it is open")
    }

    /// The companion, to read.
    pub fn reader(&self) -> &Companion {
        self.companion.as_ref().expect("it is open")
    }

    /// The process is killed and started again: the same screen.
    pub fn kill(&mut self) {
        let now = self.now.clone();
        let before = self.companion().floor(&now).expect("a screen");
        self.companion = None;
        self.open();
        let after = self.companion().floor(&now).expect("a screen");
        self.kills += 1;
        // What was answered before a session has begun is not kept: nothing of it is recorded yet.
        if before.stage != "before" && before.stage != "ended" {
            assert_eq!(before, after, "{}: the same screen after a kill", self.who);
            self.shown = Some(after);
        }
    }

    /// Time passes.
    pub fn pass(&mut self, seconds: i64) {
        self.now.wall_ms += seconds * 1000;
        self.now.monotonic_ms += seconds.unsigned_abs() * 1000;
    }

    /// The wall clock jumps; the monotonic one does not.
    pub fn jump(&mut self, minutes: i64) {
        self.now.wall_ms += minutes * 60_000;
    }

    /// The device restarts.
    pub fn reboot(&mut self) {
        self.now.boot = format!("boot-{}", self.kills + 2);
        self.now.monotonic_ms = 30_000;
        self.now.wall_ms += 60_000;
        self.kill();
    }

    /// The local day.
    pub fn today(&self) -> NaiveDate {
        self.now.local().date_naive()
    }

    /// On to six in the evening, or so, of a day.
    pub fn on(&mut self, day: NaiveDate) {
        let summer = day >= NaiveDate::from_ymd_opt(2026, 3, 29).expect("a day");
        self.now.offset_min = if summer { 120 } else { 60 };
        let late = (self.dice.roll() % 40) as i64;
        let local: NaiveDateTime = day.and_hms_opt(18, 0, 0).expect("a time") + TimeDelta::minutes(late);
        let utc = local - TimeDelta::minutes(i64::from(self.now.offset_min));
        let to = utc.and_utc().timestamp_millis();
        let ahead = to - self.now.wall_ms;
        assert!(ahead >= 0, "{}: days go on", self.who);
        self.pass(ahead / 1000);
        self.now.wall_ms = to;
        self.shown = None;
    }

    /// The screen now, judged.
    pub fn screen(&mut self) -> FloorScreen {
        let now = self.now.clone();
        let screen = self.companion().floor(&now).expect("a screen");
        self.judge(&screen);
        self.shown = Some(screen.clone());
        screen
    }

    /// Sets that stand in the record for the newest session.
    pub fn standing(&self) -> Vec<Entry> {
        let Some(session) = self.session() else { return Vec::new() };
        let all = self.reader().store().sets_of(&session).expect("sets");
        all.into_iter().filter(|e| !e.deleted()).collect()
    }

    /// The newest session.
    pub fn session(&self) -> Option<EntryId> {
        let all = self.reader().store().of_kind(&Kind::Session, None, 1000).expect("sessions");
        all.iter().filter(|e| !e.deleted()).map(|e| e.id).next_back()
    }

    /// Touches something: it must be offered and must not be refused.
    pub fn touch(&mut self, event: &Event) -> Update {
        let before = match self.shown.clone() {
            Some(screen) => screen,
            None => self.screen(),
        };
        let button = offered(&before).into_iter().find(|b| b.event == *event).cloned();
        let Some(button) = button else {
            panic!("{}: {event:?} is not offered on\n{}", self.who, screen_text(&before));
        };
        match event {
            Event::AmountThen { .. } => self.number.clone_from(&button.label),
            Event::NotAsWritten => self.missed = false,
            Event::Missed { missed } => self.missed = *missed,
            _ => {}
        }
        let had = self.standing();
        let now = self.now.clone();
        let update = self.companion().dispatch(event, &now).expect("it is written");
        assert_eq!(
            update.refused,
            None,
            "{}: {event:?} ({}) was offered and refused on\n{}",
            self.who,
            button.label,
            screen_text(&before)
        );
        self.events += 1;
        let screen = floor_of(update.screen.clone());
        self.judge(&screen);
        self.shown = Some(screen);
        self.note(event, &button, &before, &had);
        if self.dice.per_cent(self.habits.killed) {
            self.kill();
        }
        update
    }

    /// What was recorded goes on the walk's own list.
    fn note(&mut self, event: &Event, button: &Button, before: &FloorScreen, had: &[Entry]) {
        if matches!(event, Event::Begin) {
            assert!(self.standing().is_empty(), "{}: a new session has no set", self.who);
            return;
        }
        let has = self.standing();
        let new: Vec<EntryId> =
            has.iter().map(|e| e.id).filter(|id| had.iter().all(|h| h.id != *id)).collect();
        let logs = matches!(
            event,
            Event::Done
                | Event::DoneWith { .. }
                | Event::Amount { .. }
                | Event::Reserve { .. }
                | Event::Missed { .. }
        );
        if new.is_empty() {
            let gone = had.iter().filter(|h| has.iter().all(|e| e.id != h.id)).count();
            let takes = matches!(event, Event::Undo | Event::Remove { .. });
            assert!(gone == 0 || takes, "{}: {event:?} took {gone} sets off the log", self.who);
            return;
        }
        if matches!(event, Event::Undo) {
            return;
        }
        assert!(logs, "{}: {event:?} logged {} entries", self.who, new.len());
        assert!(new.len() <= 2, "{}: {event:?} logged {} entries", self.who, new.len());
        let session = self.session().expect("a session");
        let movement = match (&before.set, &before.form) {
            (Some(set), _) => set.movement.clone(),
            _ => before.title.clone(),
        };
        // What a search records is said by its set, and what was left by its button.
        let says = match event {
            Event::DoneWith { reserve, form_changed } => {
                let wide = before.wide.as_ref().map(|w| w.label.clone()).unwrap_or_default();
                let _ = form_changed;
                self.speech.say("floor-record-reserve", &[("done", (&wide).into()), ("n", (*reserve).into())])
            }
            // The last page asks what was left: the number was touched on the page before.
            Event::Reserve { .. } | Event::Missed { .. } => {
                self.pending(before, *event == Event::Missed { missed: true })
            }
            _ => button.spoken.clone(),
        };
        self.logged.push(Logged { session, movement, says, entries: new });
    }

    /// What the pages of a form add up to: the number touched before at the load at hand.
    fn pending(&self, before: &FloorScreen, missed: bool) -> String {
        let load = before.set.as_ref().and_then(|s| s.load.clone());
        let load = load.filter(|l| *l != self.speech.say("floor-load-body", &[]));
        let key = match (missed || self.missed, load.is_some()) {
            (false, false) => "floor-done",
            (false, true) => "floor-done-load",
            (true, false) => "floor-missed",
            (true, true) => "floor-missed-load",
        };
        let (amount, load) = (self.number.clone(), load.unwrap_or_default());
        self.speech.say(key, &[("amount", (&amount).into()), ("load", (&load).into())])
    }

    /// Touches, then takes it back: exactly that is taken back. Leaves the screen as it was before.
    pub fn touch_and_undo(&mut self, event: &Event) {
        let before = match self.shown.clone() {
            Some(screen) => screen,
            None => self.screen(),
        };
        let had = texts(&self.standing());
        let logged = self.logged.len();
        self.touch(event);
        self.pass(2);
        let screen = self.screen();
        let Some(undo) = screen.undo.clone() else {
            panic!("{}: {event:?} cannot be undone on\n{}", self.who, screen_text(&screen));
        };
        self.touch(&undo.event);
        self.undone += 1;
        self.logged.truncate(logged);
        assert_eq!(texts(&self.standing()), had, "{}: {} took back exactly one thing", self.who, undo.label);
        let after = self.screen();
        let core = |s: &FloorScreen| {
            (s.title.clone(), s.set.clone(), s.wide.clone(), s.form.clone(), s.undo.clone(), s.then.clone())
        };
        if before.stage == after.stage {
            assert_eq!(
                core(&before),
                core(&after),
                "{}: {} led back to the same screen",
                self.who,
                undo.label
            );
        }
    }

    /// Keeps a screen for the reader.
    pub fn keep(&mut self, name: &str) {
        if self.kept.iter().any(|(n, _)| n == name) {
            return;
        }
        let screen = self.screen();
        self.kept.push((name.to_owned(), screen_text(&screen)));
    }

    /// The movement whose name begins a text.
    pub fn movement_named(&self, text: &str) -> Option<&Movement> {
        let named = |text: &str| self.names.get(text).and_then(|id| self.catalogue.movement(id));
        named(text).or_else(|| text.match_indices(':').find_map(|(at, _)| named(text.get(..at)?)))
    }

    /// Learns how the product names things in this language.
    fn learn(&mut self) {
        use check::Kind;
        let kinds =
            [("floor-ramp", Kind::Ramp), ("floor-search", Kind::Search), ("floor-working", Kind::Working)];
        for (key, kind) in kinds {
            for of in 1..=15 {
                for n in 1..=of {
                    let says = self.speech.say(key, &[("n", n.into()), ("of", of.into())]);
                    self.counts.insert(says, kind);
                }
            }
        }
        for m in &self.catalogue.movements {
            self.names.insert(self.speech.movement_in(&self.catalogue, &m.id), m.id.clone());
            let name = self.speech.movement_inside(&self.catalogue, &m.id);
            self.turns.insert(self.speech.say("floor-in-turn", &[("movement", (&name).into())]));
        }
    }
}

/// Everything that can be touched on a screen.
pub fn offered(screen: &FloorScreen) -> Vec<&Button> {
    let form = screen.form.iter().flat_map(|f| &f.rows);
    let rows = screen.before.iter().chain(&screen.rows).chain(form).flat_map(|r| &r.buttons);
    let more = screen.more.iter().flat_map(|m| &m.buttons);
    screen.wide.iter().chain(&screen.actions).chain(more).chain(rows).chain(&screen.undo).collect()
}

/// Entries as they stand, each with its fields and without their stamps.
fn texts(entries: &[Entry]) -> Vec<String> {
    let of = |e: &Entry| {
        let fields: Vec<String> = (e.fields.iter())
            .filter(|(name, f)| &***name != "deleted" && f.value.text() != "null")
            .map(|(name, f)| format!("{name}={}", f.value.text()))
            .collect();
        format!("{} {}", e.id, fields.join(" "))
    };
    entries.iter().map(of).collect()
}
