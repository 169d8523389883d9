//! Reads files and the built-in data.

use crate::failure::Failure;
use plinth_core::catalogue::{Catalogue, Fault, Texts};
use plinth_core::plan::Weights;
use plinth_core::plan::brief::{Brief, LARGEST_BRIEF_BYTES, read_brief};
use std::io::Read;
use std::path::Path;

/// Reads at most `most` bytes and one more, so that a huge file is refused and not held.
pub(crate) fn read(path: &Path, most: usize) -> Result<Vec<u8>, Failure> {
    let unreadable = |e: std::io::Error| {
        Failure::Input(format!("{}: cannot be read ({e}); give the path of a readable file.", path.display()))
    };
    let limit = most as u64 + 1;
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin().lock().take(limit).read_to_end(&mut bytes).map_err(unreadable)?;
    } else {
        let file = std::fs::File::open(path).map_err(unreadable)?;
        file.take(limit).read_to_end(&mut bytes).map_err(unreadable)?;
    }
    if bytes.len() > most {
        return Err(Failure::Input(format!(
            "{}: has more than the {most} bytes that such a file may have; give a smaller file.",
            path.display()
        )));
    }
    Ok(bytes)
}

fn data(faults: &[Fault]) -> Failure {
    Failure::Data(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
}

/// The built-in catalogue.
pub(crate) fn catalogue() -> Result<Catalogue, Failure> {
    Catalogue::builtin().map_err(|f| data(&f))
}

/// The built-in texts.
pub(crate) fn texts(catalogue: &Catalogue) -> Result<Texts, Failure> {
    Texts::builtin(catalogue).map_err(|f| data(&f))
}

/// The built-in weights.
pub(crate) fn weights() -> Result<Weights, Failure> {
    Weights::builtin().map_err(|e| Failure::Data(e.to_string()))
}

/// A brief, and the catalogue with its own movements.
pub(crate) fn brief(path: &Path) -> Result<(Brief, Catalogue), Failure> {
    let bytes = read(path, LARGEST_BRIEF_BYTES)?;
    Ok(read_brief(&bytes, &catalogue()?)?)
}

/// A number that people count from 1 as an index.
pub(crate) fn from_one(field: &str, number: usize) -> Result<usize, Failure> {
    number
        .checked_sub(1)
        .ok_or_else(|| Failure::Input(format!("{field}: days are counted from 1; give 1 or more.")))
}
