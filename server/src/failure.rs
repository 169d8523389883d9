//! What can go wrong at the command line, and the exit code for it.

use plinth_core::companion::{CompanionError, ErrorKind};
use plinth_core::load::LoadError;
use plinth_core::plan::DocumentFault;
use plinth_core::plan::reason::ChangeFault;
use plinth_core::plan::session::SessionFault;
use plinth_core::sync::SyncFault;
use plinth_core::words::{Speech, fault};

/// A failure that ends a command.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Bad input: exit code 2, one sentence naming field and remedy.
    Input(String),
    /// A document with faults.
    Document(Vec<DocumentFault>),
    /// A load that cannot be.
    Load(LoadError),
    /// A change that cannot be priced.
    Change(ChangeFault),
    /// A session that cannot be re-planned so.
    Session(SessionFault),
    /// What the companion refuses, or cannot do.
    Companion(Box<CompanionError>),
    /// What was told already, entry by entry; the sentence counts them.
    Told(String),
    /// A record that a check found faulty.
    Damaged(String),
    /// The host, here or over there, failed.
    Host(String),
    /// A sync that went no further.
    Sync(Box<SyncFault>),
    /// The output could not be written.
    Output(std::io::Error),
    /// The build's own data are faulty: a defect.
    Data(String),
}

impl Failure {
    pub(crate) fn code(&self) -> u8 {
        match self {
            Self::Input(_)
            | Self::Told(_)
            | Self::Document(_)
            | Self::Load(_)
            | Self::Change(_)
            | Self::Session(_) => 2,
            Self::Companion(e) => match e.kind {
                ErrorKind::Input | ErrorKind::Safety => 2,
                ErrorKind::Store => 1,
                ErrorKind::Data => 3,
            },
            Self::Output(_) | Self::Damaged(_) | Self::Host(_) | Self::Sync(_) => 1,
            Self::Data(_) => 3,
        }
    }

    /// The failure in one sentence.
    pub(crate) fn said(&self, speech: &Speech) -> String {
        match self {
            Self::Input(sentence) => speech.english(sentence),
            Self::Document(faults) => fault::document_faults(speech, faults),
            Self::Load(f) => fault::load_fault(speech, f),
            Self::Change(f) => fault::change_fault(speech, f),
            Self::Session(f) => fault::session_fault(speech, f),
            Self::Companion(e) => speech.english(&e.to_string()),
            Self::Told(sentence) | Self::Damaged(sentence) => sentence.clone(),
            Self::Host(why) => speech.say("failure-host", &[("why", (&speech.english(why)).into())]),
            Self::Sync(f) => speech.english(&f.to_string()),
            Self::Output(e) => speech.say("failure-output", &[("why", (&e.to_string()).into())]),
            Self::Data(what) => speech.say("failure-data", &[("what", what.into())]),
        }
    }
}

impl From<std::io::Error> for Failure {
    fn from(e: std::io::Error) -> Self {
        Self::Output(e)
    }
}

impl From<LoadError> for Failure {
    fn from(e: LoadError) -> Self {
        Self::Load(e)
    }
}

impl From<ChangeFault> for Failure {
    fn from(e: ChangeFault) -> Self {
        Self::Change(e)
    }
}

impl From<SessionFault> for Failure {
    fn from(e: SessionFault) -> Self {
        Self::Session(e)
    }
}

impl From<Vec<DocumentFault>> for Failure {
    fn from(faults: Vec<DocumentFault>) -> Self {
        Self::Document(faults)
    }
}

impl From<CompanionError> for Failure {
    fn from(e: CompanionError) -> Self {
        Self::Companion(Box::new(e))
    }
}
