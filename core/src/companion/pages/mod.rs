//! The pages of the four places besides the floor: where the lifter is and what stands there.
//!
//! Each place has a file that makes its pages and one match that does what they ask for. A page holds no rule: it asks
//! the rooms and words what they say.

mod catalogue;
mod files;
mod findings;
mod locker;
mod visit;
mod week;

pub(super) use visit::Visit;

use super::error::CompanionError;
use super::{Companion, Effect, Moment};
use crate::page::{Block, Deed, Page, PageButton, PageEvent, Place, Spot};

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

    pub(super) fn deed(&mut self, key: &str, deed: Deed, wide: bool) {
        let button = PageButton::new(self.speech.say(key, &[]), PageEvent::Do { deed });
        self.blocks.push(Block::Action { button, wide });
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
        }))
    }

    fn make_page(&self, spot: &Spot, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        match spot.place() {
            Place::Floor | Place::Week => Ok(self.week_page(spot)),
            Place::Catalogue => Ok(self.catalogue_page(spot)),
            Place::Findings => self.findings_page(spot, moment),
            Place::Locker => Ok(self.locker_page(spot)),
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
        self.visit.told.clear();
        self.visit.once.clear();
        Ok(match event {
            PageEvent::Place { place } => {
                self.visit.go(place.spot());
                Did::default()
            }
            PageEvent::Open { spot } => {
                if let Some(why) = self.cannot_open(spot)? {
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
    fn cannot_open(&self, spot: &Spot) -> Result<Option<String>, CompanionError> {
        let there = match spot.place() {
            Place::Floor | Place::Week => self.week_has(spot),
            Place::Catalogue => self.catalogue_has(spot),
            Place::Findings => self.findings_has(spot)?,
            Place::Locker => true,
        };
        Ok((!there).then(|| self.speech.say("page-refused-gone", &[])))
    }

    fn choose(&mut self, field: &str, value: &str, moment: &Moment) -> Result<Did, CompanionError> {
        match self.visit.spot().cloned() {
            Some(spot) if spot.place() == Place::Locker => self.choose_in_locker(&spot, field, value, moment),
            _ => Ok(self.no_such_field(field)),
        }
    }

    fn do_on_page(&mut self, deed: &Deed, moment: &Moment) -> Result<Did, CompanionError> {
        let Some(spot) = self.visit.spot().cloned() else { return Ok(self.not_here()) };
        match spot.place() {
            Place::Week => self.do_in_week(&spot, deed, moment),
            Place::Locker => self.do_in_locker(&spot, deed, moment),
            Place::Floor | Place::Catalogue | Place::Findings => Ok(self.not_here()),
        }
    }

    pub(super) fn not_here(&self) -> Did {
        Did::refused(self.speech.say("floor-refused-not_now", &[]))
    }

    pub(super) fn no_such_field(&self, field: &str) -> Did {
        Did::refused(self.speech.say("floor-refused-field", &[("field", field.into())]))
    }
}
