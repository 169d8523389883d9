//! Conformance vectors: what every language must answer alike, byte for byte. Each file of `tests/vectors/` is one
//! record from its opening on; each line is a call and what it gives.

mod coached;
mod events;
mod loads;
mod merges;
mod press;
mod runner;
mod syncs;

pub use runner::Runner;

use crate::Data;
use plinth_core::companion::{Event, Screen, Update};
use plinth_core::moment::Moment;
use plinth_core::plan::brief::read_brief;
use plinth_core::words::Language;
use plinth_core::words::findings::Page;
use plinth_ffi::{FileForm, LogLine, Opening, Outcome, PlinthError, SyncStep};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

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
        /// The file's name in a folder of its own.
        file: String,
        /// After so many draws a call ends in a defect.
        defect_after: Option<u32>,
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
    /// Imports a file and waits for the end.
    Import {
        /// When.
        at: Moment,
        /// What the file holds.
        document: String,
        /// Its form.
        form: FileForm,
    },
    /// Drafts the next block and waits for the end.
    Draft {
        /// When.
        at: Moment,
    },
    /// Copies the record and waits for the end.
    Backup {
        /// When.
        at: Moment,
    },
    /// Writes the record to a file, which is read back.
    Export {
        /// When.
        at: Moment,
        /// In which form.
        form: FileForm,
    },
    /// Begins a sync, and makes its first step.
    Sync {
        /// When.
        at: Moment,
        /// The token.
        token: String,
    },
    /// The step of the sync again.
    SyncNext {
        /// When.
        at: Moment,
    },
    /// The answer to the last request.
    SyncAnswer {
        /// When.
        at: Moment,
        /// Its status.
        status: u16,
        /// Its header `Retry-After`.
        retry_after_s: Option<u32>,
        /// Its body.
        body: String,
    },
    /// The connection is cut.
    SyncCut {
        /// When.
        at: Moment,
    },
    /// A programme that came as a file.
    Receive {
        /// When.
        at: Moment,
        /// Its text.
        document: String,
    },
    /// The answer to a code that was handed in.
    Paired {
        /// When.
        at: Moment,
        /// The server that was asked.
        address: String,
        /// Its status.
        status: u16,
        /// Its body.
        body: String,
    },
    /// The platform has lost the token.
    Unpair {
        /// When.
        at: Moment,
    },
    /// The lines of the log since it was asked last.
    Log,
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
    /// What the file holds.
    File(String),
    /// The step of the sync.
    Sync(SyncStep),
    /// The token of a pairing.
    Token(String),
    /// How long work ended.
    Outcome(Outcome),
    /// The lines of the log.
    Log(Vec<LogLine>),
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
    let example = read_brief(include_bytes!("../../../server/data/example-brief.json"), &data.catalogue);
    let (example, _) = example.map_err(|f| format!("{f:?}"))?;
    let mut out = vec![
        ("coached".to_owned(), coached::coached(&data)?),
        ("events".to_owned(), events::every_event()?),
        ("faults".to_owned(), events::faults()?),
        ("files".to_owned(), events::files(&data)?),
        ("loads".to_owned(), loads::discs(&data)?),
        ("merges".to_owned(), merges::either_way()?),
        ("pairing".to_owned(), syncs::pairing()?),
        ("sync".to_owned(), syncs::exchanges()?),
    ];
    let sessions = [
        ("evening", &example, Language::English, 1, 120),
        ("abend", &example, Language::German, 2, 90),
        ("restless", &data.brief(3), Language::English, 3, 90),
    ];
    for (name, brief, language, seed, calls) in sessions {
        out.push((name.to_owned(), press::evening(&data, brief, language, seed, calls)?));
    }
    for (name, language, seed) in [("places", Language::English, 4), ("orte", Language::German, 5)] {
        out.push((name.to_owned(), press::places(language, seed, 90)?));
    }
    for (name, language, seed) in [("locker", Language::English, 6), ("spind", Language::German, 7)] {
        out.push((name.to_owned(), press::locker(language, seed)?));
    }
    Ok(out)
}
