//! What opening needs, and what it had to do.

use plinth_core::companion::{self, OpenedCompanion};
use plinth_core::moment::Moment;
use plinth_core::store::{repeatable_random, system_random};
use plinth_core::words::Language;
use serde::Serialize;
use std::path::PathBuf;

/// For replays and tests of a shell: random bytes that repeat, and a defect on demand. Never for a lifter's record,
/// whose identities and keys come from the system.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Rehearsal {
    /// The seed of the bytes.
    pub seed: u64,
    /// After so many draws a call ends in a panic, once.
    pub defect_after: Option<u32>,
}

/// What opening had to do.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, uniffi::Record)]
pub struct Opening {
    /// Where a damaged file was set aside.
    pub damaged_aside: Option<String>,
    /// Entries recovered from it.
    pub recovered: u64,
    /// Entries that could not be.
    pub lost: u64,
    /// The backup taken before the record was brought to this version.
    pub backup: Option<String>,
    /// Entries that could not be used, in a sentence each; they stay in the record.
    pub unread: Vec<String>,
}

impl Opening {
    pub(crate) fn of(opened: &OpenedCompanion) -> Self {
        let path = |p: &PathBuf| p.to_string_lossy().into_owned();
        let recovered = opened.recovered.as_ref();
        Self {
            damaged_aside: recovered.map(|r| path(&r.aside)),
            recovered: recovered.map_or(0, |r| r.recovered as u64),
            lost: recovered.map_or(0, |r| r.lost.len() as u64),
            backup: opened.backup.as_ref().map(path),
            unread: opened.unread.clone(),
        }
    }
}

/// How to open, kept for the next time.
#[derive(Debug)]
pub(crate) struct Way {
    pub(crate) path: PathBuf,
    pub(crate) language: Language,
    pub(crate) rehearsal: Option<Rehearsal>,
}

impl Way {
    pub(crate) fn open(&mut self, moment: &Moment) -> Result<OpenedCompanion, companion::CompanionError> {
        let random: companion::Random = match &mut self.rehearsal {
            None => Box::new(system_random),
            Some(rehearsal) => {
                let mut bytes = repeatable_random(rehearsal.seed);
                // Once: the record that is opened after the defect draws on.
                let mut left = rehearsal.defect_after.take();
                Box::new(move |buffer| {
                    assert!(left != Some(0), "a defect on demand");
                    left = left.map(|n| n - 1);
                    bytes(buffer)
                })
            }
        };
        companion::Companion::open(&self.path, self.language, moment, random)
    }
}
