//! Someone who presses what a screen offers, by a seed.

use super::{Call, Gives, Runner, line};
use crate::Data;
use crate::walk::Dice;
use plinth_core::companion::{Event, Screen};
use plinth_core::floor;
use plinth_core::moment::Moment;
use plinth_core::page::{Block, Keys, Page, PageButton, PageEvent, Place};
use plinth_core::plan::brief::Brief;
use plinth_core::words::Language;
use plinth_core::words::floor::{Button, FloorScreen};
use plinth_ffi::FileForm;
use std::collections::BTreeSet;

/// 17:00 UTC on Monday, 2 March 2026.
const BEGINS_MS: i64 = 1_772_470_800_000;

/// When every file begins.
pub(super) fn begins() -> Moment {
    Moment { wall_ms: BEGINS_MS, offset_min: 60, monotonic_ms: 50_000_000, boot: "boot-1".into() }
}

/// The opening of an empty record.
pub(super) fn open(at: &Moment, language: Language, seed: u64) -> Call {
    Call::Open { at: at.clone(), language, seed, file: "record.plinth".into(), defect_after: None }
}

/// Who presses: the record, the clock and the dice.
struct Someone {
    runner: Runner,
    lines: Vec<String>,
    at: Moment,
    dice: Dice,
    screen: Option<Screen>,
    /// The pages of the locker that were read.
    read: BTreeSet<String>,
}

impl Someone {
    fn new(language: Language, seed: u64) -> Result<Self, String> {
        let (runner, lines) = (Runner::default(), Vec::new());
        let mut it =
            Self { runner, lines, at: begins(), dice: Dice::new(seed), screen: None, read: BTreeSet::new() };
        it.make(&open(&it.at, language, seed))?;
        let document = include_str!("gym.json").to_owned();
        it.make(&Call::Import { at: it.at.clone(), document, form: FileForm::Json })?;
        Ok(it)
    }

    fn make(&mut self, call: &Call) -> Result<Gives, String> {
        let gives = self.runner.make(call);
        self.lines.push(line(call, &gives)?);
        Ok(gives)
    }

    fn press(&mut self, late: bool) -> Result<(), String> {
        let passed = 2_000 + self.dice.roll() % 88_000;
        self.at.wall_ms += passed as i64;
        self.at.monotonic_ms += passed;
        let event = match &self.screen {
            None => floor::Event::Open.into(),
            Some(screen) => press(screen, &mut self.dice, late),
        };
        self.dispatch(event)?;
        if self.dice.per_cent(2) {
            self.make(&Call::Pause)?;
            self.make(&Call::Screen { at: self.at.clone() })?;
        }
        Ok(())
    }

    fn go(&mut self, place: Place) -> Result<(), String> {
        self.dispatch(PageEvent::Place { place }.into())
    }

    fn dispatch(&mut self, event: Event) -> Result<(), String> {
        if let Gives::Update(update) = self.make(&Call::Dispatch { at: self.at.clone(), event })? {
            self.screen = Some(update.screen);
        }
        Ok(())
    }

    fn end(mut self) -> Result<Vec<String>, String> {
        let at = self.at.clone();
        self.make(&Call::Findings { at: at.clone() })?;
        self.make(&Call::Digest { at: at.clone() })?;
        self.make(&Call::ShutDown)?;
        self.make(&Call::Screen { at })?;
        Ok(self.lines)
    }
}

/// The lines of a record with a programme, through so many presses.
pub(super) fn evening(
    data: &Data,
    brief: &Brief,
    language: Language,
    seed: u64,
    presses: usize,
) -> Result<Vec<String>, String> {
    let text = |e: serde_json::Error| e.to_string();
    let mut it = Someone::new(language, seed)?;
    let at = it.at.clone();
    let document = serde_json::to_string(brief).map_err(text)?;
    it.make(&Call::TellBrief { at: at.clone(), document })?;
    let document = serde_json::to_string(&data.publish(brief)).map_err(text)?;
    it.make(&Call::TakeOn { at, document, from: "own".into() })?;
    for press in 0..presses {
        if matches!(it.screen, Some(Screen::Page(_))) {
            it.go(Place::Floor)?; // the other places have files of their own
        }
        it.press(press * 4 > presses * 3)?;
    }
    it.end()
}

/// The lines of a record whose pages are pressed through: whoever began a session leaves it at once.
pub(super) fn places(language: Language, seed: u64, presses: usize) -> Result<Vec<String>, String> {
    let mut it = Someone::new(language, seed)?;
    let at = it.at.clone();
    it.make(&Call::TellBrief {
        at,
        document: include_str!("../../../server/data/example-brief.json").into(),
    })?;
    for _ in 0..presses {
        if matches!(it.screen, Some(Screen::Floor(_))) {
            it.go(Place::Week)?;
        }
        it.press(true)?;
    }
    it.end()
}

/// The lines of someone who reads every page of the locker, answers what it asks and does what it offers.
pub(super) fn locker(language: Language, seed: u64) -> Result<Vec<String>, String> {
    let mut it = Someone::new(language, seed)?;
    it.dispatch(floor::Event::Open.into())?;
    it.dispatch(floor::Event::Speak.into())?;
    it.go(Place::Locker)?;
    it.read_through(0)?;
    it.end()
}

impl Someone {
    /// Everything on the page, and the pages behind its lines.
    fn read_through(&mut self, depth: usize) -> Result<(), String> {
        const DEEPEST: usize = 4;
        let Some(Screen::Page(page)) = self.screen.clone() else { return Ok(()) };
        for block in &page.blocks {
            match block {
                Block::Entry { field, keys, .. } => {
                    let value = written(*keys).to_owned();
                    self.dispatch(PageEvent::Choose { field: field.clone(), value }.into())?;
                }
                Block::Question { buttons, .. } => {
                    let event = pick(&buttons.iter().collect::<Vec<_>>(), &mut self.dice);
                    self.dispatch(event)?;
                }
                Block::Action { button, .. } => {
                    // What takes something away asks for a second touch.
                    for _ in 0..2 {
                        self.dispatch(button.event.clone().into())?;
                    }
                }
                _ => {}
            }
        }
        // What is offered only now: a folder, once there is a key.
        if let Some(Screen::Page(now)) = self.screen.clone() {
            for block in now.blocks.iter().filter(|b| !page.blocks.contains(b)) {
                if let Block::Action { button, .. } = block {
                    self.dispatch(button.event.clone().into())?;
                }
            }
        }
        if depth == DEEPEST {
            return Ok(());
        }
        let lines = page.blocks.iter().filter_map(|b| match b {
            Block::Line { button } => Some(button.event.clone()),
            _ => None,
        });
        for event in lines {
            // Of pages of one kind one is enough: a place's kit, a licence.
            if !self.read.insert(kind(&event)?) {
                continue;
            }
            self.dispatch(event.into())?;
            self.read_through(depth + 1)?;
            self.dispatch(PageEvent::Back.into())?;
        }
        Ok(())
    }
}

/// Which page an event opens, whatever it names.
fn kind(event: &PageEvent) -> Result<String, String> {
    let mut value = serde_json::to_value(event).map_err(|e| e.to_string())?;
    if let Some(spot) = value.get_mut("spot").and_then(|s| s.as_object_mut()) {
        for named in ["id", "position"] {
            spot.remove(named);
        }
    }
    Ok(value.to_string())
}

/// What is written into a line, by its keys.
const fn written(keys: Keys) -> &'static str {
    match keys {
        Keys::Words => "Dr. Example, \"two weeks\" off",
        Keys::Whole => "112",
        Keys::Decimal => "77,5",
        Keys::Date => "2026-02-20",
    }
}

/// Something that the screen offers; what ends a session only `late`.
fn press(screen: &Screen, dice: &mut Dice, late: bool) -> Event {
    match screen {
        Screen::Floor(floor) => press_floor(floor, dice, late),
        Screen::Page(page) => press_page(page, dice),
    }
}

/// Of the floor's: the wide action most often.
fn press_floor(screen: &FloorScreen, dice: &mut Dice, late: bool) -> Event {
    if let Some(wide) = screen.wide.as_ref().filter(|w| !w.outlined)
        && dice.per_cent(45)
    {
        return wide.event.clone().into();
    }
    if dice.per_cent(4) {
        return [
            floor::Event::Tick,
            floor::Event::Open,
            floor::Event::Speak,
            floor::Event::Note { text: "Quiet \"evening\",\n\ttired.".into() },
        ][(dice.roll() % 4) as usize]
            .clone()
            .into();
    }
    if !screen.contents.is_empty() && dice.per_cent(5) {
        return pick(&screen.contents.iter().collect::<Vec<_>>(), dice);
    }
    let rows = screen.before.iter().chain(&screen.rows).chain(screen.form.iter().flat_map(|f| &f.rows));
    let offered: Vec<&Button> = (rows.flat_map(|r| &r.buttons))
        .chain(&screen.actions)
        .chain(screen.more.iter().flat_map(|m| &m.buttons))
        .chain(&screen.undo)
        .chain(&screen.wide)
        .filter(|b| late || !ends(&b.event))
        .collect();
    let picked = (dice.roll() as usize) % offered.len().max(1);
    offered.get(picked).map_or(floor::Event::Tick, |b| b.event.clone()).into()
}

/// Of a page's: a place of the contents now and then, else what stands on the page.
fn press_page(page: &Page, dice: &mut Dice) -> Event {
    let mut offered: Vec<&PageButton> = page.back.iter().collect();
    for block in &page.blocks {
        match block {
            Block::Line { button } | Block::Action { button, .. } => offered.push(button),
            Block::Question { buttons, .. } => offered.extend(buttons),
            _ => {}
        }
    }
    if offered.is_empty() || dice.per_cent(15) {
        offered = page.contents.iter().collect();
    }
    pick(&offered, dice)
}

fn pick(offered: &[&PageButton], dice: &mut Dice) -> Event {
    let picked = (dice.roll() as usize) % offered.len().max(1);
    offered.get(picked).map_or_else(|| PageEvent::Back.into(), |b| b.event.clone().into())
}

fn ends(event: &floor::Event) -> bool {
    use floor::Event;
    matches!(event, Event::ConfirmFlag { .. } | Event::Close | Event::CloseForgotten | Event::Unwell)
}
