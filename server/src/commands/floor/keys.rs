//! The session in the terminal: one screen, redrawn; a key for every button.

use super::draw::{Drawn, draw};
use crate::failure::Failure;
use crate::moment;
use crossterm::event::{Event as Input, KeyCode, KeyEventKind, KeyModifiers, poll, read};
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode, size,
};
use crossterm::{cursor, execute, queue, style::Print, tty::IsTty};
use plinth_core::companion::{Companion, Effect, Update};
use plinth_core::floor::Event;
use plinth_core::page::{PageEvent, Place};
use plinth_core::words::Speech;
use plinth_core::words::floor::FloorScreen;
use std::io::Write;
use std::time::Duration;

/// The terminal as it was, whatever ends the session.
struct Raw;

impl Raw {
    fn enter() -> Result<Self, Failure> {
        enable_raw_mode()?;
        let raw = Self;
        execute!(std::io::stdout(), EnterAlternateScreen, cursor::Hide)?;
        Ok(raw)
    }
}

impl Drop for Raw {
    fn drop(&mut self) {
        // Nothing is left to tell if the terminal is gone.
        let _ = execute!(std::io::stdout(), cursor::Show, LeaveAlternateScreen);
        let _ = disable_raw_mode();
    }
}

pub(super) fn run(companion: &mut Companion, speech: &Speech) -> Result<(), Failure> {
    if !std::io::stdin().is_tty() || !std::io::stdout().is_tty() {
        return Err(Failure::Input(
            "terminal: standard input and output are no terminal; run it in one, or give --events.".into(),
        ));
    }
    let raw = Raw::enter()?;
    let left = lead(companion, speech);
    drop(raw);
    if left? && companion.session_open() {
        println!("{}", speech.say("floor-cli-open", &[]));
    }
    Ok(())
}

/// Leads until the lifter leaves; the answer is whether they left.
fn lead(companion: &mut Companion, speech: &Speech) -> Result<bool, Failure> {
    let mut notice: Option<String> = None;
    companion.dispatch(PageEvent::Place { place: Place::Floor }, &moment::now())?;
    let mut effects = companion.dispatch(&Event::Open, &moment::now())?.effects;
    let mut screen = companion.floor(&moment::now())?;
    let mut rest_told = true;
    loop {
        ring(&effects, &mut rest_told)?;
        let drawn = show(speech, &screen, &effects, notice.as_deref())?;
        let event = match next_key(&drawn)? {
            Key::Leave => return Ok(true),
            Key::None => {
                // The clock moves, and a rest that is over brings up the next set.
                let next = companion.floor(&moment::now())?;
                if next.clock.is_none() && screen.clock.is_some() && !rest_told {
                    bell()?;
                    rest_told = true;
                }
                screen = next;
                effects.clear();
                continue;
            }
            Key::Event(event) => event,
        };
        let now = moment::now();
        match companion.dispatch(&event, &now) {
            Ok(Update { effects: told, refused, .. }) => {
                notice = refused;
                effects = told;
                screen = companion.floor(&now)?;
            }
            // What could not be written has not happened; the lifter reads why and may do it again.
            Err(e) => {
                notice = Some(speech.english(&e.to_string()));
                effects.clear();
            }
        }
    }
}

fn ring(effects: &[Effect], rest_told: &mut bool) -> Result<(), Failure> {
    for effect in effects {
        match effect {
            Effect::RaiseAlarm { .. } => *rest_told = false,
            Effect::CancelAlarm => *rest_told = true,
            Effect::Vibrate => bell()?,
            Effect::Speak { .. }
            | Effect::KeepAwake { .. }
            | Effect::OpenDialler { .. }
            | Effect::AskForSync
            | Effect::AllowMetered { .. }
            | Effect::Pair { .. }
            | Effect::Unpair
            | Effect::GiveFile { .. }
            | Effect::TakeFile { .. }
            | Effect::EraseEverything
            | Effect::ChooseFolder
            | Effect::Restore => {}
        }
    }
    Ok(())
}

fn bell() -> Result<(), Failure> {
    execute!(std::io::stdout(), Print('\u{7}'))?;
    Ok(())
}

fn show(
    speech: &Speech,
    screen: &FloorScreen,
    effects: &[Effect],
    notice: Option<&str>,
) -> Result<Drawn, Failure> {
    let (columns, rows) = size()?;
    let drawn = draw(speech, screen, &moment::now(), usize::from(columns));
    let mut out = std::io::stdout().lock();
    queue!(out, cursor::MoveTo(0, 0))?;
    let spoken = effects.iter().filter_map(|e| match e {
        Effect::Speak { text } => Some(text.clone()),
        Effect::OpenDialler { number } => {
            let key = if number.is_some() { "floor-cli-dial" } else { "floor-cli-dial-local" };
            Some(speech.say(key, &[("number", number.as_deref().unwrap_or_default().into())]))
        }
        _ => None,
    });
    let mut lines: Vec<String> = notice.map(ToOwned::to_owned).into_iter().chain(spoken).collect();
    lines.extend(drawn.lines.iter().cloned());
    for line in lines.iter().take(usize::from(rows).saturating_sub(1)) {
        let shown: String = line.chars().take(usize::from(columns)).collect();
        queue!(out, Print(shown), Clear(ClearType::UntilNewLine), Print("\r\n"))?;
    }
    queue!(out, Clear(ClearType::FromCursorDown))?;
    out.flush()?;
    Ok(drawn)
}

enum Key {
    None,
    Leave,
    Event(Event),
}

fn next_key(drawn: &Drawn) -> Result<Key, Failure> {
    if !poll(Duration::from_millis(250))? {
        return Ok(Key::None);
    }
    let Input::Key(key) = read()? else { return Ok(Key::None) };
    if key.kind != KeyEventKind::Press {
        return Ok(Key::None);
    }
    if key.code == KeyCode::Char('c') && key.modifiers.contains(KeyModifiers::CONTROL) {
        return Ok(Key::Leave);
    }
    let event = match key.code {
        KeyCode::Char('q') => return Ok(Key::Leave),
        KeyCode::Enter | KeyCode::Char(' ') => drawn.wide.clone(),
        KeyCode::Char('z') => drawn.undo.clone(),
        KeyCode::Char(c) => drawn.keys.iter().find(|(k, _)| *k == c).map(|(_, e)| e.clone()),
        _ => None,
    };
    Ok(event.map_or(Key::None, Key::Event))
}
