//! What goes out and comes in as files besides the record's own forms: the programme, and a sealed backup.

use super::Companion;
use super::error::CompanionError;
use crate::record::MOST_BYTES;
use crate::store::{Key, StoreError, unseal_file};
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

/// A backup that was opened: a plain copy beside the record, which goes away with this.
#[derive(Debug)]
pub struct Unsealed(PathBuf);

impl Unsealed {
    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Unsealed {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.0); // the next one replaces what stays
    }
}

/// Reads a file that is to be imported, not further than an import would go.
///
/// # Errors
/// Those of the disk.
pub fn read_import(path: &Path) -> Result<Vec<u8>, CompanionError> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(StoreError::from)?;
    Ok(bytes)
}

impl Companion {
    /// The programme that runs, as a JSON document; none where none runs.
    ///
    /// # Errors
    /// A defect.
    pub fn programme_json(&self) -> Result<Option<Vec<u8>>, CompanionError> {
        let written = self
            .known
            .programmes
            .running
            .as_ref()
            .map(|r| serde_json::to_vec_pretty(&r.programme))
            .transpose();
        written.map_err(CompanionError::data)
    }

    /// Opens a sealed backup with its 24 words, for [`Self::restore`].
    ///
    /// # Errors
    /// Words that are none, those of another key, a file that is not whole; those of the disk.
    pub fn unseal(&self, from: &Path, words: &str) -> Result<Unsealed, CompanionError> {
        let key = Key::of_words(words)?;
        let mut name = OsString::from(self.store.path().as_os_str());
        name.push(".unsealed"); // named after the record, so that erasing takes it too
        let unsealed = Unsealed(name.into());
        unseal_file(from, unsealed.path(), &key)?;
        Ok(unsealed)
    }
}
