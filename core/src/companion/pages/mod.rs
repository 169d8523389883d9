//! The pages of the four places besides the floor: where the lifter is and what stands there.
//!
//! Each place has a file that makes its pages and one match that does what they ask for. A page holds no rule: it asks
//! the rooms and words what they say.

mod advice;
mod audit;
mod brief;
mod catalogue;
mod discomfort;
mod files;
mod findings;
mod grants;
mod kit_parts;
mod kits;
mod licences;
mod limits;
mod locker;
mod maternity;
mod notes;
mod pairing;
mod profile;
mod returns;
mod screening;
mod sent;
mod surgeries;
mod typed;
mod visit;
mod week;

pub(super) use visit::Visit;

use super::error::{CompanionError, ErrorKind};
use super::{Companion, Effect, Moment};
use crate::load::Unit;
use crate::page::{Block, Chart, Deed, Keys, Page, PageButton, PageEvent, Place, Spot};
use crate::store::StoreError;

/// What a page event did.
#[derive(Debug, Default)]
pub(super) struct Did {
    /// What the platform is to do.
    pub(super) effects: Vec<Effect>,
    /// Why it did nothing.
    pub(super) refused: Option<String>,
}

impl Did {
    fn refused(why: String) -> Self {
        Self { effects: Vec::new(), refused: Some(why) }
    }
}

/// Why a page did not do what was asked.
#[derive(Debug)]
pub(super) enum No {
    /// In words.
    Refused(String),
    /// It has no such question, or the question no such value.
    Field(String),
    /// It cannot be done here.
    NotHere,
    /// It could not be written.
    Failed(CompanionError),
}

impl From<String> for No {
    fn from(why: String) -> Self {
        Self::Refused(why)
    }
}

impl From<CompanionError> for No {
    fn from(e: CompanionError) -> Self {
        Self::Failed(e)
    }
}

impl From<StoreError> for No {
    fn from(e: StoreError) -> Self {
        Self::Failed(e.into())
    }
}

/// A page while it is made: the blocks and their words.
pub(super) struct Making<'a> {
    pub(super) speech: &'a crate::words::Speech,
    pub(super) title: String,
    pub(super) blocks: Vec<Block>,
}

impl<'a> Making<'a> {
    pub(super) fn new(speech: &'a crate::words::Speech, title: String) -> Self {
        Self { speech, title, blocks: Vec::new() }
    }

    pub(super) fn heading(&mut self, key: &str) {
        let text = self.speech.say(key, &[]);
        self.blocks.push(Block::Heading { text });
    }

    pub(super) fn sentence(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Sentence { text: text.into() });
    }

    pub(super) fn caution(&mut self, lines: Vec<String>) {
        if !lines.is_empty() {
            self.blocks.push(Block::Caution { head: self.speech.say("floor-caution", &[]), lines });
        }
    }

    pub(super) fn line(&mut self, label: impl Into<String>, more: Vec<String>, spot: Spot) {
        let button = PageButton::new(label, PageEvent::Open { spot }).more(more);
        self.blocks.push(Block::Line { button });
    }

    /// A question whose values are buttons.
    pub(super) fn question(&mut self, key: &str, notes: Vec<String>, buttons: Vec<PageButton>) {
        let label = self.speech.say(key, &[]);
        self.blocks.push(Block::Question { label, notes, buttons });
    }

    /// A line to write in; what stands there is empty where nothing was told.
    pub(super) fn entry(&mut self, field: &str, key: &str, keys: Keys, value: Option<String>) {
        let label = self.speech.say(key, &[]);
        self.entry_as(field, label, keys, value);
    }

    /// The same, with a label that is said already.
    pub(super) fn entry_as(&mut self, field: &str, label: String, keys: Keys, value: Option<String>) {
        let note = match keys {
            Keys::Date => Some("typed-note-date"),
            Keys::Decimal => Some("typed-note-mass"),
            Keys::Words | Keys::Whole => None,
        };
        self.blocks.push(Block::Entry {
            field: field.to_owned(),
            label,
            notes: note.map(|k| self.speech.say(k, &[])).into_iter().collect(),
            value: value.unwrap_or_default(),
            keys,
            save: self.speech.say("typed-save", &[]),
        });
    }

    /// A value of a question.
    pub(super) fn pick(&self, field: &str, value: &str, key: &str, chosen: bool) -> PageButton {
        pick(field, value, self.speech.say(key, &[])).chosen(chosen)
    }

    /// Yes and no.
    pub(super) fn yes_no(&self, field: &str, now: Option<bool>) -> Vec<PageButton> {
        [("yes", "answer-yes", true), ("no", "answer-no", false)]
            .map(|(value, key, yes)| self.pick(field, value, key, now == Some(yes)))
            .to_vec()
    }

    /// A chart, where there is one to draw.
    pub(super) fn draw(&mut self, chart: Option<Chart>) {
        self.blocks.extend(chart.map(|chart| Block::Drawn { chart }));
    }

    pub(super) fn deed(&mut self, key: &str, deed: Deed, wide: bool) {
        self.action(self.speech.say(key, &[]), deed, wide);
    }

    /// The same, with a label that is said already.
    pub(super) fn action(&mut self, label: String, deed: Deed, wide: bool) {
        let button = PageButton::new(label, PageEvent::Do { deed });
        self.blocks.push(Block::Action { button, wide });
    }
}

/// A value of a question, with what stands on its button.
pub(super) fn pick(field: &str, value: &str, label: impl Into<String>) -> PageButton {
    let event = PageEvent::Choose { field: field.to_owned(), value: value.to_owned() };
    PageButton::new(label, event)
}

/// The answer of a button of [`Making::yes_no`].
pub(super) fn yes_or_no(value: &str) -> Result<bool, No> {
    match value {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err(No::Field("value".into())),
    }
}

impl Companion {
    /// The list of contents, in words; empty while a session is open.
    pub(super) fn contents(&self) -> Vec<PageButton> {
        if self.floor.is_open() {
            return Vec::new();
        }
        let here = self.visit.spot().map_or(Place::Floor, Spot::place);
        let button = |place: Place| {
            PageButton::new(self.speech.say(place.key(), &[]), PageEvent::Place { place })
                .chosen(place == here)
        };
        Place::ALL.into_iter().map(button).collect()
    }

    /// The page that the lifter is on; none on the floor.
    pub(super) fn page(&mut self, moment: &Moment) -> Result<Option<Page>, CompanionError> {
        let Some(spot) = self.visit.spot().cloned() else { return Ok(None) };
        self.propose(&spot, moment);
        let making = self.make_page(&spot, moment)?;
        let Making { title, blocks, .. } = making;
        let back = self
            .visit
            .can_go_back()
            .then(|| PageButton::new(self.speech.say("page-back", &[]), PageEvent::Back));
        Ok(Some(Page {
            place: spot.place(),
            title,
            back,
            told: self.visit.told.clone(),
            blocks,
            contents: self.contents(),
            mirrored: self.mirrored(),
        }))
    }

    fn make_page(&self, spot: &Spot, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        match spot.place() {
            Place::Floor | Place::Week => self.week_page(spot, moment),
            Place::Catalogue => Ok(self.catalogue_page(spot)),
            Place::Findings => self.findings_page(spot, moment),
            Place::Locker => self.locker_page(spot, moment),
        }
    }

    /// Takes in an event of a page. Where it cannot be written or is refused, the lifter is where they were.
    pub(super) fn on_page(&mut self, event: &PageEvent, moment: &Moment) -> Result<Did, CompanionError> {
        let before = self.visit.clone();
        let done = self.press(event, moment).and_then(|did| {
            if did.refused.is_some() {
                self.visit.clone_from(&before);
            } else if self.visit.to_json() != before.to_json() {
                self.store.keep_visit(&self.visit.to_json())?;
            }
            Ok(did)
        });
        if done.is_err() {
            self.visit = before;
        }
        done
    }

    fn press(&mut self, event: &PageEvent, moment: &Moment) -> Result<Did, CompanionError> {
        if self.floor.is_open() {
            return Ok(Did::refused(self.speech.say("page-refused-session", &[])));
        }
        self.visit.touch();
        Ok(match event {
            PageEvent::Place { place } => {
                self.visit.go(place.spot());
                Did::default()
            }
            PageEvent::Open { spot } => {
                if let Some(why) = self.cannot_open(spot, moment)? {
                    return Ok(Did::refused(why));
                }
                self.visit.open(spot.clone());
                Did::default()
            }
            PageEvent::Back => {
                if !self.visit.can_go_back() {
                    return Ok(self.not_here());
                }
                self.visit.back();
                Did::default()
            }
            PageEvent::Choose { field, value } => self.choose(field, value, moment)?,
            PageEvent::Do { deed } => self.do_on_page(deed, moment)?,
        })
    }

    /// Why a page cannot be opened: it names something that is not there.
    fn cannot_open(&self, spot: &Spot, moment: &Moment) -> Result<Option<String>, CompanionError> {
        let there = match spot.place() {
            Place::Floor | Place::Week => self.week_has(spot),
            Place::Catalogue => self.catalogue_has(spot),
            Place::Findings => self.findings_has(spot)?,
            Place::Locker => self.locker_has(spot, moment)?,
        };
        Ok((!there).then(|| self.speech.say("page-refused-gone", &[])))
    }

    fn choose(&mut self, field: &str, value: &str, moment: &Moment) -> Result<Did, CompanionError> {
        match self.visit.spot().cloned() {
            Some(spot) if spot.place() == Place::Locker => {
                let done = self.choose_in_locker(&spot, field, value, moment);
                self.settle(done)
            }
            Some(spot) if spot.place() == Place::Week => {
                let done = self.choose_in_week(&spot, field, value, moment);
                self.settle(done.map(|()| Did::default()))
            }
            _ => Ok(self.no_such_field(field)),
        }
    }

    fn do_on_page(&mut self, deed: &Deed, moment: &Moment) -> Result<Did, CompanionError> {
        let Some(spot) = self.visit.spot().cloned() else { return Ok(self.not_here()) };
        match spot.place() {
            Place::Week => {
                let done = self.do_in_week(&spot, deed, moment);
                self.settle(done)
            }
            Place::Locker => {
                let done = self.do_in_locker(&spot, deed, moment);
                self.settle(done)
            }
            Place::Floor | Place::Catalogue | Place::Findings => Ok(self.not_here()),
        }
    }

    /// What was refused becomes words; what could not be written stays a failure.
    fn settle(&self, done: Result<Did, No>) -> Result<Did, CompanionError> {
        done.or_else(|no| match no {
            No::Refused(why) => Ok(Did::refused(why)),
            No::Field(field) => Ok(self.no_such_field(&field)),
            No::NotHere => Ok(self.not_here()),
            No::Failed(e) if matches!(e.kind, ErrorKind::Input | ErrorKind::Safety) => {
                Ok(Did::refused(self.speech.english(&e.to_string())))
            }
            No::Failed(e) => Err(e),
        })
    }

    /// The unit of a mass that is typed without one: as chosen, else that of the kit.
    pub(super) fn typed_unit(&self) -> Unit {
        match super::known::setting_text(&self.known.settings, "typed_unit") {
            Some("lb") => Unit::Pound,
            Some("kg") => Unit::Kilogram,
            _ => self.known.places.first().map_or(Unit::Kilogram, |p| p.kit.unit()),
        }
    }

    /// The question of that unit.
    pub(super) fn ask_unit(&self, page: &mut Making<'_>) {
        let now = self.typed_unit();
        let buttons = [Unit::Kilogram, Unit::Pound]
            .map(|u| pick("typed_unit", u.symbol(), u.symbol()).chosen(u == now))
            .to_vec();
        page.question("typed-unit", Vec::new(), buttons);
    }

    /// Keeps the answer to [`Self::ask_unit`].
    pub(super) fn choose_unit(&mut self, value: &str, moment: &Moment) -> Result<(), No> {
        if !["kg", "lb"].contains(&value) {
            return Err(No::Field("value".into()));
        }
        Ok(self.set("typed_unit", value.into(), moment)?)
    }

    pub(super) fn not_here(&self) -> Did {
        Did::refused(self.speech.say("floor-refused-not_now", &[]))
    }

    pub(super) fn no_such_field(&self, field: &str) -> Did {
        Did::refused(self.speech.say("floor-refused-field", &[("field", field.into())]))
    }
}
