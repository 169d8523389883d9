//! The ledger beside the store: what no restored backup may undo.
//!
//! A text file of JSON lines that only grows: revocations, withdrawn grants, erasures, and a mark for each opening.
//! Every line is synced before what it says is done, and carries the SHA-256 of itself and the line before, so that a
//! line that is changed, lost or moved is noticed. Only the end of the last line may be missing, where a kill cut it
//! short; what it would have said was not yet done.

use super::account::AccountId;
use plinth_core::record::{EntryId, Stamp, hex_of};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use sha2::{Digest, Sha256};
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Fact {
    /// Whose ledger it is: the first line.
    House {
        /// Identifies the house.
        id: String,
    },
    /// The store was opened, and bears this mark from then on.
    Opened {
        /// It.
        mark: String,
    },
    /// A device was revoked.
    Revoked {
        /// Of this account.
        account: AccountId,
        /// Its key.
        device: String,
    },
    /// A grant was withdrawn.
    Withdrawn {
        /// Of this account.
        account: AccountId,
        /// The grant.
        grant: EntryId,
        /// The greatest stamp of the grant by then; a later one makes it count again.
        stamp: Stamp,
    },
    /// An account was erased. Its name is not given again.
    Erased {
        /// It.
        account: AccountId,
    },
    /// Something of a newer version.
    #[serde(other)]
    Other,
}

/// A line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Line {
    /// Counted from 1.
    pub number: u64,
    /// When, milliseconds since 1970.
    pub at_ms: i64,
    /// What.
    #[serde(flatten)]
    pub fact: Fact,
}

#[derive(Serialize, Deserialize)]
struct Sealed<B> {
    line: B,
    sum: String,
}

/// Why a ledger cannot be believed.
#[derive(Debug, thiserror::Error)]
pub enum LedgerFault {
    /// A line is not what was written.
    #[error("line {0} of the ledger is not what was written")]
    Changed(u64),
    /// It cannot be read or written.
    #[error("the ledger cannot be read or written: {0}")]
    Io(#[from] io::Error),
}

/// A ledger.
#[derive(Debug, Clone)]
pub struct Ledger {
    path: PathBuf,
}

/// A ledger that nobody else writes to meanwhile.
#[derive(Debug)]
pub struct Open {
    file: File,
    /// What it says, in order.
    pub lines: Vec<Line>,
    last_sum: String,
    end: u64,
}

impl Ledger {
    /// The ledger at a path.
    pub fn at(path: &Path) -> Self {
        Self { path: path.to_owned() }
    }

    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Opens it, or makes an empty one, and keeps others out while it is held. It blocks.
    ///
    /// # Errors
    /// [`LedgerFault::Changed`]; those of the disk.
    pub fn open(&self) -> Result<Open, LedgerFault> {
        let made = !self.path.exists();
        let file = private(OpenOptions::new().read(true).write(true).create(true)).open(&self.path)?;
        file.lock()?;
        if made {
            sync_folder(&self.path);
        }
        Open::of(file)
    }

    /// Reads it as it is; nothing where there is none, or an empty one. It blocks.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn read(&self) -> Result<Option<Open>, LedgerFault> {
        if !self.path.exists() {
            return Ok(None);
        }
        let file = OpenOptions::new().read(true).open(&self.path)?;
        file.lock_shared()?;
        Ok(Some(Open::of(file)?).filter(|open| !open.lines.is_empty()))
    }

    /// Copies its whole lines to one file, which has its name when it is whole. Says what they are. It blocks.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn copy_to(&self, to: &Path) -> Result<Open, LedgerFault> {
        let mut open = self.read()?.ok_or(LedgerFault::Changed(1))?;
        let mut bytes = vec![0; usize::try_from(open.end).map_err(io::Error::other)?];
        open.file.seek(SeekFrom::Start(0))?;
        open.file.read_exact(&mut bytes)?;
        let part = super::beside(to, "part");
        let mut file = private(OpenOptions::new().write(true).create(true).truncate(true)).open(&part)?;
        let written = file.write_all(&bytes).and_then(|()| file.sync_all());
        if let Err(fault) = written.and_then(|()| std::fs::rename(&part, to)) {
            // Best effort: the next copy writes over it.
            let _ = std::fs::remove_file(&part);
            return Err(fault.into());
        }
        sync_folder(to);
        Ok(open)
    }

    /// Writes a line, durably. It blocks.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn add(&self, fact: Fact, at_ms: i64) -> Result<u64, LedgerFault> {
        self.open()?.add(fact, at_ms)
    }

    /// As [`Self::add`], off the async threads.
    ///
    /// # Errors
    /// As [`Self::add`].
    pub async fn write(&self, fact: Fact, at_ms: i64) -> io::Result<()> {
        let ledger = self.clone();
        let written = tokio::task::spawn_blocking(move || ledger.add(fact, at_ms));
        written.await.map_err(io::Error::other)?.map(drop).map_err(io::Error::other)
    }
}

impl Open {
    fn of(mut file: File) -> Result<Self, LedgerFault> {
        let mut text = Vec::new();
        file.read_to_end(&mut text)?;
        let mut open = Self { file, lines: Vec::new(), last_sum: String::new(), end: 0 };
        for whole in text.split_inclusive(|b| *b == b'\n').filter(|l| l.ends_with(b"\n")) {
            let number = open.lines.len() as u64 + 1;
            let changed = || LedgerFault::Changed(number);
            let sealed: Sealed<Box<RawValue>> = serde_json::from_slice(whole).map_err(|_| changed())?;
            let line: Line = serde_json::from_str(sealed.line.get()).map_err(|_| changed())?;
            if line.number != number || sum(&open.last_sum, sealed.line.get()) != sealed.sum {
                return Err(changed());
            }
            open.lines.push(line);
            open.last_sum = sealed.sum;
            open.end += whole.len() as u64;
        }
        Ok(open)
    }

    /// Writes a line, durably, and says its number.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn add(&mut self, fact: Fact, at_ms: i64) -> Result<u64, LedgerFault> {
        let line = Line { number: self.lines.len() as u64 + 1, at_ms, fact };
        let text = serde_json::to_string(&line).map_err(io::Error::other)?;
        let sum = sum(&self.last_sum, &text);
        let raw = RawValue::from_string(text).map_err(io::Error::other)?;
        let mut bytes =
            serde_json::to_vec(&Sealed { line: raw, sum: sum.clone() }).map_err(io::Error::other)?;
        bytes.push(b'\n');
        // Over what a kill may have left of a line.
        self.file.set_len(self.end)?;
        self.file.seek(SeekFrom::Start(self.end))?;
        self.file.write_all(&bytes)?;
        self.file.sync_all()?;
        self.end += bytes.len() as u64;
        self.last_sum = sum;
        let number = line.number;
        self.lines.push(line);
        Ok(number)
    }

    /// The house that it belongs to.
    pub fn house(&self) -> Option<&str> {
        match self.lines.first().map(|l| &l.fact) {
            Some(Fact::House { id }) => Some(id),
            _ => None,
        }
    }

    /// The marks of the openings, in order.
    pub fn marks(&self) -> impl DoubleEndedIterator<Item = &str> {
        self.lines.iter().filter_map(|l| match &l.fact {
            Fact::Opened { mark } => Some(mark.as_str()),
            _ => None,
        })
    }

    /// Whether an account of this name was erased.
    pub fn erased(&self, account: &AccountId) -> bool {
        self.lines.iter().any(|l| matches!(&l.fact, Fact::Erased { account: a } if a == account))
    }
}

fn sum(before: &str, line: &str) -> String {
    let mut digest = Sha256::new();
    digest.update(before);
    digest.update(b"\n");
    digest.update(line);
    hex_of(&digest.finalize())
}

/// Makes a file that only its owner can read, where the system knows that.
pub(crate) fn private(options: &mut OpenOptions) -> &mut OpenOptions {
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(options, 0o600);
    options
}

// Some systems do not sync a folder; a new name is then as durable as they make it.
pub(crate) fn sync_folder(path: &Path) {
    if let Some(folder) = path.parent()
        && let Ok(folder) = File::open(if folder.as_os_str().is_empty() { Path::new(".") } else { folder })
    {
        let _ = folder.sync_all();
    }
}
