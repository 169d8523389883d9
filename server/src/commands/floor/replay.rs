//! Events from a file, screens and effects to standard output.

use crate::failure::Failure;
use crate::input;
use plinth_core::companion::{Companion, Event, Update};
use plinth_core::moment::Moment;
use serde::{Deserialize, Serialize};
use std::io::Write;
use std::path::Path;

const LARGEST_EVENTS_BYTES: usize = 16 * 1024 * 1024;

/// One line of the file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Happened {
    /// When.
    pub(super) at: Moment,
    /// What.
    pub(super) event: Event,
}

#[derive(Serialize)]
struct Printed<'a> {
    at: &'a Moment,
    event: &'a Event,
    #[serde(flatten)]
    update: &'a Update,
}

/// Reads the whole file before anything is done.
pub(super) fn read(path: &Path) -> Result<Vec<Happened>, Failure> {
    let bytes = input::read(path, LARGEST_EVENTS_BYTES)?;
    let mut out = Vec::new();
    for (k, line) in bytes.split(|b| *b == b'\n').enumerate() {
        if line.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        let happened = serde_json::from_slice(line).map_err(|e| {
            Failure::Input(format!(
                "{} line {}: {e}; give one JSON object with `at` (wall_ms, offset_min, monotonic_ms, boot) and `event`.",
                path.display(),
                k + 1
            ))
        })?;
        out.push(happened);
    }
    Ok(out)
}

pub(super) fn run(companion: &mut Companion, events: &[Happened]) -> Result<(), Failure> {
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for Happened { at, event } in events {
        let update = companion.dispatch(event, at)?;
        let printed = Printed { at, event, update: &update };
        serde_json::to_writer(&mut out, &printed).map_err(std::io::Error::from)?;
        writeln!(out)?;
    }
    out.flush()?;
    Ok(())
}
