//! What can go wrong at the command line, and the exit code for it.

use plinth_core::load::LoadError;
use plinth_core::plan::DocumentFault;
use std::fmt;

/// A failure that ends a command.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Bad input: exit code 2, one sentence naming field and remedy.
    Input(String),
    /// The output could not be written.
    Output(std::io::Error),
    /// The build's own data are faulty: a defect.
    Data(String),
}

impl Failure {
    pub(crate) fn code(&self) -> u8 {
        match self {
            Self::Input(_) => 2,
            Self::Output(_) => 1,
            Self::Data(_) => 3,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(sentence) => f.write_str(sentence),
            Self::Output(e) => write!(f, "the output could not be written: {e}"),
            Self::Data(what) => write!(f, "the built-in data are faulty: {what}"),
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
        Self::Input(e.to_string())
    }
}

/// The first fault in one sentence, and how many more there are.
impl From<Vec<DocumentFault>> for Failure {
    fn from(faults: Vec<DocumentFault>) -> Self {
        let Some(first) = faults.first() else { return Self::Input("the document cannot be read".into()) };
        let more = match faults.len() - 1 {
            0 => String::new(),
            1 => " (and one more fault)".into(),
            n => format!(" (and {n} more faults)"),
        };
        Self::Input(format!("{first}{more}"))
    }
}
