//! Conformance vectors: what every language must answer alike, byte for byte. Each file of `tests/vectors/` is one
//! record from its opening on; each line is a call and what it gives.

mod press;

use crate::Data;
use crate::faults::Folder;
use plinth_core::companion::Update;
use plinth_core::floor::Event;
use plinth_core::moment::Moment;
use plinth_core::words::Language;
use plinth_core::words::findings::Page;
use plinth_core::words::floor::Screen;
use plinth_ffi::{Opening, PlinthCompanion, PlinthError, Rehearsal};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;
use std::sync::Arc;

/// A call of the boundary.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "call", rename_all = "snake_case", deny_unknown_fields)]
pub enum Call {
    /// Opens an empty record, with random bytes that repeat.
    Open {
        /// When.
        at: Moment,
        /// In which language.
        language: Language,
        /// The seed of the bytes.
        seed: u64,
    },
    /// Keeps a brief.
    TellBrief {
        /// When.
        at: Moment,
        /// The brief.
        document: String,
    },
    /// Takes on a programme.
    TakeOn {
        /// When.
        at: Moment,
        /// The programme.
        document: String,
        /// Whose it is.
        from: String,
    },
    /// An event.
    Dispatch {
        /// When.
        at: Moment,
        /// Which.
        event: Event,
    },
    /// The screen.
    Screen {
        /// When.
        at: Moment,
    },
    /// The findings.
    Findings {
        /// When.
        at: Moment,
    },
    /// The record's digest.
    Digest {
        /// When.
        at: Moment,
    },
    /// Lets go of the file.
    Pause,
    /// Ends it.
    ShutDown,
    /// An event from text.
    ReadEvent {
        /// The text.
        text: String,
    },
}

/// What a call gives.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(clippy::large_enum_variant)] // one at a time
pub enum Gives {
    /// Of opening.
    Opening(Opening),
    /// Of an event.
    Update(Update),
    /// The screen.
    Screen(Screen),
    /// The findings.
    Findings(Page),
    /// The digest.
    Digest(String),
    /// The event.
    Event(Event),
    /// Nothing.
    Nothing,
    /// It could not be done.
    Error(PlinthError),
}

/// A line of a file.
#[derive(Debug, Serialize)]
struct Vector<'a> {
    #[serde(rename = "do")]
    call: &'a Call,
    gives: &'a Gives,
}

#[derive(Debug, Deserialize)]
struct Read {
    #[serde(rename = "do")]
    call: Call,
}

/// Makes the calls of one file.
#[derive(Default)]
pub struct Runner {
    open: Option<(Arc<PlinthCompanion>, Folder)>,
}

impl Runner {
    /// Makes a call.
    pub fn make(&mut self, call: &Call) -> Gives {
        self.attempt(call).unwrap_or_else(Gives::Error)
    }

    fn attempt(&mut self, call: &Call) -> Result<Gives, PlinthError> {
        if let Call::Open { at, language, seed } = call {
            let folder = Folder::in_memory();
            let path = folder.file("record.plinth").to_string_lossy().into_owned();
            let rehearsal = Rehearsal { seed: *seed, defect_after: None };
            let companion = PlinthCompanion::open(path, *language, at, None, Some(rehearsal))?;
            let opening = companion.opening();
            self.open = Some((companion, folder));
            return Ok(Gives::Opening(opening));
        }
        if let Call::ReadEvent { text } = call {
            return plinth_ffi::read_event(text).map(Gives::Event);
        }
        let Some((companion, _)) = &self.open else { return Ok(Gives::Nothing) };
        Ok(match call {
            Call::Open { .. } | Call::ReadEvent { .. } => Gives::Nothing,
            Call::TellBrief { at, document } => {
                companion.tell_brief(document, at)?;
                Gives::Nothing
            }
            Call::TakeOn { at, document, from } => {
                companion.take_on(document, from, at)?;
                Gives::Nothing
            }
            Call::Dispatch { at, event } => Gives::Update(companion.dispatch(event, at)?),
            Call::Screen { at } => Gives::Screen(companion.screen(at)?),
            Call::Findings { at } => Gives::Findings(companion.findings(at)?),
            Call::Digest { at } => Gives::Digest(companion.digest(at)?),
            Call::Pause => {
                companion.pause();
                Gives::Nothing
            }
            Call::ShutDown => {
                companion.shut_down();
                Gives::Nothing
            }
        })
    }
}

/// A line of a file, without its end.
///
/// # Errors
/// What cannot be written as JSON.
pub fn line(call: &Call, gives: &Gives) -> Result<String, String> {
    serde_json::to_string(&Vector { call, gives }).map_err(|e| e.to_string())
}

/// Where the files lie.
pub fn folder() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "vectors"].iter().collect()
}

/// Makes the calls of a file anew: the lines that it had and the lines that it would have now.
///
/// # Errors
/// The line that is no call.
pub fn renew(text: &str) -> Result<Vec<(String, String)>, String> {
    let mut runner = Runner::default();
    let mut out = Vec::new();
    for (n, had) in text.lines().enumerate() {
        let read: Read = serde_json::from_str(had).map_err(|e| format!("line {}: {e}", n + 1))?;
        let gives = runner.make(&read.call);
        out.push((had.to_owned(), line(&read.call, &gives)?));
    }
    Ok(out)
}

/// The files by name, each with its lines, made from nothing but seeds.
///
/// # Errors
/// The data's faults, as text.
pub fn make() -> Result<Vec<(String, Vec<String>)>, String> {
    let data = Data::builtin()?;
    [
        ("evening", Language::English, 1, 120),
        ("abend", Language::German, 2, 90),
        ("restless", Language::English, 3, 90),
    ]
    .into_iter()
    .map(|(name, language, seed, calls)| Ok((name.to_owned(), press::pressed(&data, language, seed, calls)?)))
    .collect()
}
