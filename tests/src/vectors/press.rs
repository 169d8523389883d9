//! Someone who presses what a screen offers, by a seed.

use super::{Call, Gives, Runner, line};
use crate::Data;
use crate::walk::Dice;
use plinth_core::companion::{Event, Screen};
use plinth_core::floor;
use plinth_core::moment::Moment;
use plinth_core::page::{Block, Page, PageButton, PageEvent};
use plinth_core::plan::brief::Brief;
use plinth_core::words::Language;
use plinth_core::words::floor::{Button, FloorScreen};
use plinth_ffi::FileForm;

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

/// The lines of a record that is pressed through so many calls.
pub(super) fn pressed(
    data: &Data,
    brief: &Brief,
    language: Language,
    seed: u64,
    calls: usize,
) -> Result<Vec<String>, String> {
    let mut dice = Dice::new(seed);
    let mut at = begins();
    let programme = data.publish(brief);
    let text = |e: serde_json::Error| e.to_string();
    let mut runner = Runner::default();
    let mut lines = Vec::new();
    let mut make = |call: Call| {
        let gives = runner.make(&call);
        lines.push(line(&call, &gives)?);
        Ok::<Gives, String>(gives)
    };
    make(open(&at, language, seed))?;
    let document = include_str!("gym.json").to_owned();
    make(Call::Import { at: at.clone(), document, form: FileForm::Json })?;
    make(Call::TellBrief { at: at.clone(), document: serde_json::to_string(brief).map_err(text)? })?;
    let document = serde_json::to_string(&programme).map_err(text)?;
    make(Call::TakeOn { at: at.clone(), document, from: "own".into() })?;
    let mut screen = None;
    for call in 0..calls {
        let passed = 2_000 + dice.roll() % 88_000;
        at.wall_ms += passed as i64;
        at.monotonic_ms += passed;
        let event = match &screen {
            None => floor::Event::Open.into(),
            Some(screen) => press(screen, &mut dice, call * 4 > calls * 3),
        };
        if let Gives::Update(update) = make(Call::Dispatch { at: at.clone(), event })? {
            screen = Some(update.screen);
        }
        if dice.per_cent(2) {
            make(Call::Pause)?;
            make(Call::Screen { at: at.clone() })?;
        }
    }
    make(Call::Findings { at: at.clone() })?;
    make(Call::Digest { at: at.clone() })?;
    make(Call::ShutDown)?;
    make(Call::Screen { at })?;
    Ok(lines)
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
    if !screen.contents.is_empty() && dice.per_cent(20) {
        return pick(&screen.contents.iter().collect::<Vec<_>>(), dice);
    }
    let rows = screen.before.iter().chain(&screen.rows).chain(screen.form.iter().flat_map(|f| &f.rows));
    let offered: Vec<&Button> = (rows.flat_map(|r| &r.buttons))
        .chain(&screen.actions)
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
