//! The one object that a shell holds: events in, a screen and effects out, and what an event records durable
//! before it answers.
//!
//! The floor is pure; this room hands it what the record says, writes what it returns, and words its screen.

mod coming;
mod error;
mod event;
mod files;
mod findings;
mod grants;
mod house;
mod known;
mod locker;
mod pages;
mod profile;
mod programme;
mod programmes;
mod scores;
mod sent;
mod standing;
mod sync;

pub use error::{CompanionError, ErrorKind};
pub use event::Event;
pub use files::{Unsealed, read_import};
pub use findings::{Findings, MaximumOn, MovementFindings};
pub use locker::Backup;
pub use programme::{Draft, NextBlock};
pub use scores::{From as LiftFrom, Lift, SINGLE_DAYS, Scored, Scores};
pub use sync::PairAnswered;

use crate::floor::{self, Floor, Kept, Written};
use crate::moment::Moment;
use crate::page::{FileKind, Page};
use crate::plan::adapt::Adapted;
use crate::record::EntryId;
use crate::store::{Keep, Opened, Recovery, Store, StoreError};
use crate::words::floor::{FloorScreen, FloorWords};
use crate::words::{Language, Speech};
use chrono::NaiveDate;
use house::Prepared;
use known::{Known, Shelf, setting_text};
use pages::Visit;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Fills a buffer with random bytes, or says that it cannot.
pub type Random = Box<dyn FnMut(&mut [u8]) -> bool + Send>;

/// What only a platform can do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "effect", rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Effect {
    /// Sounds and vibrates once at an instant, also when the shell was killed. It replaces an earlier one.
    RaiseAlarm {
        /// On the monotonic clock of `boot`.
        at_monotonic_ms: u64,
        /// On the wall clock, for another boot.
        at_wall_ms: i64,
        /// The boot.
        boot: String,
        /// All that a lock screen shows.
        text: String,
    },
    /// Takes the alarm back.
    CancelAlarm,
    /// Vibrates once.
    Vibrate,
    /// Says a line.
    Speak {
        /// The line.
        text: String,
    },
    /// Keeps the display awake, or lets it go.
    KeepAwake {
        /// Whether.
        on: bool,
    },
    /// Opens the dialler.
    OpenDialler {
        /// The emergency number set with the training address; none where none is set.
        number: Option<String>,
    },
    /// Asks for a sync when there is a connection.
    AskForSync,
    /// Lets syncs use a connection that costs by the byte, or no longer.
    AllowMetered {
        /// Whether.
        on: bool,
    },
    /// Has the platform hand in a code at a server, and the companion read the answer
    /// ([`Companion::paired`]).
    Pair {
        /// The server: scheme, host and port.
        address: String,
        /// SHA-256 of the certificate that alone is taken besides what the platform trusts, 64 hexadecimal digits.
        certificate: Option<String>,
        /// The path at the server; always POST, with JSON.
        path: String,
        /// The body. It holds the code and belongs in no log.
        body: String,
    },
    /// Forgets the token and lets no sync wait any more.
    Unpair,
    /// Lets the lifter choose where a file goes, and has the companion write it.
    GiveFile {
        /// What it holds.
        kind: FileKind,
        /// A name for it.
        name: String,
    },
    /// Lets the lifter choose a file, and hands it to the companion.
    TakeFile {
        /// What it holds.
        kind: FileKind,
    },
    /// Has the companion erase everything, and opens a new record. The lifter confirmed it by a second touch.
    EraseEverything,
    /// Lets the lifter choose a folder for the sealed backups.
    ChooseFolder,
    /// Lets the lifter choose a sealed backup and write its words, and has the companion restore it.
    Restore,
}

/// What to show: complete and plain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "shows", rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Screen {
    /// The session at hand.
    Floor(Box<FloorScreen>),
    /// A page of another place.
    Page(Box<Page>),
}

impl Screen {
    /// The floor's screen, where it is shown.
    pub fn floor(self) -> Option<FloorScreen> {
        match self {
            Self::Floor(screen) => Some(*screen),
            Self::Page(_) => None,
        }
    }

    /// The page, where one is shown.
    pub fn page(self) -> Option<Page> {
        match self {
            Self::Floor(_) => None,
            Self::Page(page) => Some(*page),
        }
    }
}

/// What a shell gets back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct Update {
    /// The screen, complete.
    pub screen: Screen,
    /// What the platform is to do.
    pub effects: Vec<Effect>,
    /// Why the event did nothing, where it did nothing.
    pub refused: Option<String>,
}

/// What had to be done to open.
#[derive(Debug)]
pub struct OpenedCompanion {
    /// The companion.
    pub companion: Companion,
    /// What was recovered from a damaged file.
    pub recovered: Option<Recovery>,
    /// The backup taken before the record was brought to this version.
    pub backup: Option<PathBuf>,
    /// Entries that could not be used, in a sentence each; they stay in the record.
    pub unread: Vec<String>,
}

/// The companion.
pub struct Companion {
    store: Store,
    shelf: Shelf,
    known: Known,
    speech: Speech,
    floor: Floor,
    kept: Kept,
    prepared: Prepared,
    visit: Visit,
    random: Random,
    last_id_ms: u64,
    news: News,
    /// A programme that waits, adapted to this lifter as of today, while its page is open.
    proposed: Option<(EntryId, Adapted)>,
}

/// Up to when the record is complete.
#[derive(Debug, Clone, Copy)]
enum News {
    /// The lifter's own: today.
    Own,
    /// Another's: up to the last exchange, if there was one.
    Until(Option<NaiveDate>),
}

impl std::fmt::Debug for Companion {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Companion").field("path", &self.store.path()).finish_non_exhaustive()
    }
}

impl Companion {
    /// Opens the record at `path`, or makes one, and restores the session that was open. `language` counts until
    /// the record has a setting of its own.
    ///
    /// # Errors
    /// Those of the store; a newer or a stranger's file is left as it is.
    pub fn open(
        path: &Path,
        language: Language,
        moment: &Moment,
        mut random: Random,
    ) -> Result<OpenedCompanion, CompanionError> {
        let Opened { store, recovered, backup } = Store::open(path, moment, &mut *random)?;
        let (companion, unread) = Self::over(store, language, moment, random)?;
        Ok(OpenedCompanion { companion, recovered, backup, unread })
    }

    /// Over a record in memory, for who looks at another's: entries come by [`Self::merge`], and [`Self::heard_on`] says
    /// up to when the record is complete. What was planned after that was not heard of, which is not the same as not
    /// done.
    ///
    /// # Errors
    /// Those of the store.
    pub fn from_afar(
        language: Language,
        moment: &Moment,
        mut random: Random,
    ) -> Result<Self, CompanionError> {
        let store = Store::in_memory(&mut *random)?;
        let mut companion = Self::over(store, language, moment, random)?.0;
        companion.news = News::Until(None);
        Ok(companion)
    }

    /// From afar: the day of the last news.
    pub fn heard_on(&mut self, day: Option<NaiveDate>) {
        self.news = News::Until(day);
    }

    fn over(
        store: Store,
        language: Language,
        moment: &Moment,
        random: Random,
    ) -> Result<(Self, Vec<String>), CompanionError> {
        let shelf = Shelf::builtin()?;
        let known = Known::read(&store, &shelf, moment.local().date_naive())?;
        let speech = speech(&known, language);
        let mut unread = known.unread.clone();
        let mut floor = Floor::default();
        let mut kept = Kept::default();
        if let Some(session) = store.session()? {
            match Kept::read(&session.whole, &session.steps) {
                Ok(open) => (floor, kept) = open,
                Err(why) => unread.push(why.to_string()),
            }
        }
        let prepared = Prepared::new(&store, &shelf, &known, &speech, &floor, moment)?;
        if floor.session().is_none() {
            floor = Floor::new(&prepared.house(&shelf, &known));
        }
        let visit = store.visit()?.map_or_else(Visit::default, |text| Visit::from_json(&text));
        let mut companion = Self {
            store,
            shelf,
            known,
            speech,
            floor,
            kept,
            prepared,
            visit,
            random,
            last_id_ms: 0,
            news: News::Own,
            proposed: None,
        };
        companion.prepare(moment)?;
        Ok((companion, unread))
    }

    /// Takes in an event. What it records is durable when this returns; where it cannot be written, nothing has
    /// happened.
    ///
    /// # Errors
    /// Those of the store, such as a full disk.
    pub fn dispatch(&mut self, event: impl Into<Event>, moment: &Moment) -> Result<Update, CompanionError> {
        self.prepare(moment)?;
        match event.into() {
            Event::Floor(event) => self.on_floor(&event, moment),
            Event::Page(event) => {
                let did = self.on_page(&event, moment)?;
                Ok(Update { screen: self.screen(moment)?, effects: did.effects, refused: did.refused })
            }
        }
    }

    fn on_floor(&mut self, event: &floor::Event, moment: &Moment) -> Result<Update, CompanionError> {
        let mut floor = self.floor.clone();
        let house = self.prepared.house(&self.shelf, &self.known);
        let random = &mut self.random;
        let mut drawn = true;
        let mut id = || {
            let mut bytes = [0; 10];
            drawn &= random(&mut bytes);
            EntryId::new(u64::try_from(moment.wall_ms).unwrap_or(0), bytes)
        };
        let step = floor.dispatch(event, moment, &house, &mut id);
        if !drawn {
            return Err(StoreError::Random.into());
        }
        if step.refused.is_none() {
            let quiet = step.edits.is_empty() && floor == self.floor;
            if !quiet {
                let (written, kept) = self.kept.next(&floor);
                let keep = match &written {
                    Written::Nothing => Keep::Nothing,
                    Written::Whole(whole) => Keep::Whole(whole),
                    Written::Step(step) => Keep::Step(step),
                };
                self.store.write(&step.edits, Some(keep), moment)?;
                self.kept = kept;
            }
            let closed = self.floor.is_open() && !floor.is_open();
            self.floor = floor;
            let told = step.edits.iter().any(|e| !matches!(e.kind, crate::record::Kind::Set));
            if told || closed {
                self.refresh(moment)?;
            }
        }
        let refused = step.refused.map(|r| self.words(&self.known.places).refused(&r));
        let mut effects = Vec::with_capacity(step.effects.len());
        let screen = self.floor_screen(moment);
        for effect in step.effects {
            effects.push(self.effect(effect, &screen));
        }
        // A session that begins takes the lifter to the floor; a clock that ticks does not.
        if self.floor.is_open() && self.visit.spot().is_some() {
            self.visit.go(None);
            self.store.keep_visit(&self.visit.to_json())?;
        }
        let screen = match self.page(moment)? {
            Some(page) => Screen::Page(Box::new(page)),
            None => Screen::Floor(Box::new(screen)),
        };
        Ok(Update { screen, effects, refused })
    }

    /// What to show at a moment.
    ///
    /// # Errors
    /// Those of the store.
    pub fn screen(&mut self, moment: &Moment) -> Result<Screen, CompanionError> {
        self.prepare(moment)?;
        Ok(match self.page(moment)? {
            Some(page) => Screen::Page(Box::new(page)),
            None => Screen::Floor(Box::new(self.floor_screen(moment))),
        })
    }

    /// The floor's screen, whichever page is open.
    ///
    /// # Errors
    /// Those of the store.
    pub fn floor(&mut self, moment: &Moment) -> Result<FloorScreen, CompanionError> {
        self.prepare(moment)?;
        Ok(self.floor_screen(moment))
    }

    /// The same, once the day's house is prepared.
    fn floor_screen(&self, moment: &Moment) -> FloorScreen {
        let house = self.prepared.house(&self.shelf, &self.known);
        let words = FloorWords::new(&self.speech, &house);
        let mut screen = words.screen(&self.floor.view(moment, &house));
        screen.contents = self.contents();
        screen.mirrored = self.mirrored();
        screen
    }

    /// Leaves an ended session for the next: the screen before it.
    ///
    /// # Errors
    /// Those of the store.
    pub fn leave_ended(&mut self, moment: &Moment) -> Result<(), CompanionError> {
        if !self.floor.is_open() {
            self.refresh(moment)?;
            self.floor = Floor::new(&self.prepared.house(&self.shelf, &self.known));
        }
        Ok(())
    }

    /// The record.
    pub fn store(&self) -> &Store {
        &self.store
    }

    /// The language that is spoken.
    pub fn language(&self) -> Language {
        self.speech.language()
    }

    /// The catalogue, with the lifter's own movements.
    pub fn catalogue(&self) -> &crate::catalogue::Catalogue {
        &self.known.catalogue
    }

    /// What is said, in the language of the record.
    pub fn speech(&self) -> &Speech {
        &self.speech
    }

    /// Whether the lifter touches with the left hand.
    fn mirrored(&self) -> bool {
        setting_text(&self.known.settings, "hand") == Some("left")
    }

    /// Whether a session is open.
    pub fn session_open(&self) -> bool {
        self.floor.is_open()
    }

    fn words<'a>(&'a self, places: &'a [floor::Place]) -> FloorWords<'a> {
        FloorWords {
            speech: &self.speech,
            catalogue: &self.known.catalogue,
            texts: &self.shelf.texts,
            places,
        }
    }

    fn effect(&self, effect: floor::Effect, screen: &FloorScreen) -> Effect {
        match effect {
            floor::Effect::RaiseAlarm { at_monotonic_ms, at_wall_ms, boot } => Effect::RaiseAlarm {
                at_monotonic_ms,
                at_wall_ms,
                boot,
                text: screen
                    .clock
                    .as_ref()
                    .map_or_else(|| self.speech.say("floor-rest-over", &[]), |c| c.over.clone()),
            },
            floor::Effect::CancelAlarm => Effect::CancelAlarm,
            floor::Effect::Vibrate => Effect::Vibrate,
            floor::Effect::Speak { what: floor::Spoken::Screen } => {
                Effect::Speak { text: screen.spoken.clone() }
            }
            floor::Effect::KeepAwake { on } => Effect::KeepAwake { on },
            floor::Effect::OpenDialler => Effect::OpenDialler {
                number: setting_text(&self.known.settings, "emergency_number").map(ToOwned::to_owned),
            },
            floor::Effect::AskForSync => Effect::AskForSync,
        }
    }

    /// Works out anew what depends on the day or on what was answered here.
    fn prepare(&mut self, moment: &Moment) -> Result<(), CompanionError> {
        let today = moment.local().date_naive();
        if self.floor.ended_at().is_some_and(|at| at.local().date_naive() != today) {
            self.leave_ended(moment)?;
        }
        let new_day = self.prepared.today != today;
        if new_day {
            // Another programme may begin with it.
            self.refresh(moment)?;
        } else if self.prepared.here != self.floor.here() {
            self.prepared =
                Prepared::new(&self.store, &self.shelf, &self.known, &self.speech, &self.floor, moment)?;
        }
        if new_day && self.floor.session().is_none() {
            // What was answered yesterday is asked again, and the day that comes next is another one.
            self.floor = Floor::new(&self.prepared.house(&self.shelf, &self.known));
        }
        Ok(())
    }

    /// Reads the record anew.
    fn refresh(&mut self, moment: &Moment) -> Result<(), CompanionError> {
        self.known = Known::read(&self.store, &self.shelf, moment.local().date_naive())?;
        self.proposed = None;
        self.speech = speech(&self.known, self.speech.language());
        self.prepared =
            Prepared::new(&self.store, &self.shelf, &self.known, &self.speech, &self.floor, moment)?;
        Ok(())
    }

    fn id(&mut self, moment: &Moment) -> Result<EntryId, CompanionError> {
        let mut random = [0; 10];
        if !(self.random)(&mut random) {
            return Err(StoreError::Random.into());
        }
        // Entries of one millisecond stay in the order of their making; a clock set back begins anew.
        let now = u64::try_from(moment.wall_ms).unwrap_or(0);
        let next = self.last_id_ms.saturating_add(1);
        let ms = if next.saturating_sub(now) < 1000 { now.max(next) } else { now };
        self.last_id_ms = ms;
        Ok(EntryId::new(ms, random))
    }
}

fn speech(known: &Known, language: Language) -> Speech {
    let chosen = setting_text(&known.settings, "language").and_then(|l| l.parse().ok()).unwrap_or(language);
    Speech::new(chosen).with_own_movements(&known.catalogue)
}
