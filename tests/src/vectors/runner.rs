//! Makes the calls of one file.

use super::{Call, Gives};
use crate::faults::Folder;
use plinth_core::companion::Effect;
use plinth_core::moment::Moment;
use plinth_core::words::Language;
use plinth_ffi::{
    Listener, ListenerFault, LogLine, LongTask, Outcome, PlinthCompanion, PlinthError, Rehearsal,
    SyncSession, WorkProgress,
};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};

/// Hears the lines of the log, and the end of long work.
struct Ears {
    lines: Arc<Mutex<Vec<LogLine>>>,
    ended: Mutex<Sender<Outcome>>,
}

impl Listener for Ears {
    fn effects(&self, _: Vec<Effect>) -> Result<(), ListenerFault> {
        Ok(())
    }

    fn progress(&self, _: WorkProgress) -> Result<(), ListenerFault> {
        Ok(())
    }

    fn finished(&self, outcome: Outcome) -> Result<(), ListenerFault> {
        let ended = self.ended.lock().unwrap_or_else(PoisonError::into_inner);
        ended.send(outcome).map_err(|_| ListenerFault::Threw)
    }

    fn line(&self, line: LogLine) -> Result<(), ListenerFault> {
        self.lines.lock().unwrap_or_else(PoisonError::into_inner).push(line);
        Ok(())
    }
}

/// Makes the calls of one file, each on the record that the one before left.
#[derive(Default)]
pub struct Runner {
    companion: Option<Arc<PlinthCompanion>>,
    sync: Option<Arc<SyncSession>>,
    folder: Option<Folder>,
    lines: Arc<Mutex<Vec<LogLine>>>,
}

impl Runner {
    /// Makes a call.
    pub fn make(&mut self, call: &Call) -> Gives {
        self.attempt(call).unwrap_or_else(Gives::Error)
    }

    fn attempt(&mut self, call: &Call) -> Result<Gives, PlinthError> {
        Ok(match call {
            Call::Open { at, language, seed, file, defect_after } => {
                let rehearsal = Rehearsal { seed: *seed, defect_after: *defect_after };
                self.open(at, *language, file, rehearsal)?
            }
            Call::TellBrief { at, document } => {
                self.it()?.tell_brief(document, at)?;
                Gives::Nothing
            }
            Call::TakeOn { at, document, from } => {
                self.it()?.take_on(document, from, at)?;
                Gives::Nothing
            }
            Call::Receive { at, document } => Gives::Update(self.it()?.receive(document, at)?),
            Call::Dispatch { at, event } => Gives::Update(self.it()?.dispatch(event, at)?),
            Call::Screen { at } => Gives::Screen(self.it()?.screen(at)?),
            Call::Findings { at } => Gives::Findings(self.it()?.findings(at)?),
            Call::Digest { at } => Gives::Digest(self.it()?.digest(at)?),
            Call::Import { at, document, form } => {
                let from = self.file("import")?;
                std::fs::write(&from, document).map_err(|_| unusable())?;
                self.long(|c, ears| c.import(from, *form, at.clone(), ears))?
            }
            Call::Draft { at } => self.long(|c, ears| c.draft(false, at.clone(), ears))?,
            Call::Backup { at } => {
                let to = self.file("backup")?;
                self.long(|c, ears| c.backup(to, at.clone(), ears))?
            }
            Call::Export { at, form } => {
                let to = self.file("export")?;
                self.it()?.export(&to, *form, at)?;
                Gives::File(std::fs::read_to_string(&to).map_err(|_| unusable())?)
            }
            Call::Sync { at, token } => {
                let sync = self.it()?.begin_sync(token, at)?;
                Gives::Sync(self.sync.insert(sync).next(at)?)
            }
            Call::SyncNext { at } => Gives::Sync(self.under_way()?.next(at)?),
            Call::SyncAnswer { at, status, retry_after_s, body } => Gives::Sync(self.under_way()?.answer(
                *status,
                *retry_after_s,
                body.clone().into_bytes(),
                at,
            )?),
            Call::SyncCut { at } => Gives::Sync(self.under_way()?.cut(at)?),
            Call::Paired { at, address, status, body } => {
                Gives::Token(self.it()?.paired(address, *status, body.clone().into_bytes(), at)?)
            }
            Call::Unpair { at } => {
                self.it()?.unpair(at)?;
                Gives::Nothing
            }
            Call::Log => {
                let mut lines = self.lines.lock().unwrap_or_else(PoisonError::into_inner);
                Gives::Log(std::mem::take(&mut *lines))
            }
            Call::Pause => {
                self.it()?.pause();
                Gives::Nothing
            }
            Call::ShutDown => {
                self.it()?.shut_down();
                Gives::Nothing
            }
            Call::ReadEvent { text } => Gives::Event(plinth_ffi::read_event(text)?),
        })
    }

    fn open(
        &mut self,
        at: &Moment,
        language: Language,
        file: &str,
        rehearsal: Rehearsal,
    ) -> Result<Gives, PlinthError> {
        self.folder = Some(Folder::in_memory());
        self.companion = None;
        let path = self.file(file)?;
        let (ears, _) = self.ears();
        let companion = PlinthCompanion::open(path, language, at, Some(ears), Some(rehearsal))?;
        let opening = companion.opening();
        self.companion = Some(companion);
        Ok(Gives::Opening(opening))
    }

    fn long(
        &self,
        begin: impl FnOnce(Arc<PlinthCompanion>, Arc<dyn Listener>) -> Result<Arc<LongTask>, PlinthError>,
    ) -> Result<Gives, PlinthError> {
        let (ears, end) = self.ears();
        begin(self.it()?, ears)?;
        end.recv().map(Gives::Outcome).map_err(|_| unusable())
    }

    fn ears(&self) -> (Arc<dyn Listener>, Receiver<Outcome>) {
        let (ended, end) = channel();
        (Arc::new(Ears { lines: Arc::clone(&self.lines), ended: Mutex::new(ended) }), end)
    }

    fn it(&self) -> Result<Arc<PlinthCompanion>, PlinthError> {
        self.companion.clone().ok_or_else(unusable)
    }

    fn under_way(&self) -> Result<&SyncSession, PlinthError> {
        self.sync.as_deref().ok_or_else(unusable)
    }

    fn file(&self, name: &str) -> Result<String, PlinthError> {
        let folder = self.folder.as_ref().ok_or_else(unusable)?;
        Ok(folder.file(name).to_string_lossy().into_owned())
    }
}

/// A file of vectors that does not make sense.
fn unusable() -> PlinthError {
    PlinthError::Input {
        code: "vectors".into(),
        field: None,
        problem: "the calls of this file do not fit together".into(),
        remedy: "begin with `open`".into(),
    }
}
