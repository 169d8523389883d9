//! Long work on a thread of its own.

use crate::error::PlinthError;
use crate::listener::{Told, WorkProgress};
use crate::living::Living;
use crate::outcome::Outcome;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::thread;
use std::time::Duration;

/// Between two tellings of progress. More would only keep a screen busy (common practice, no source).
const BETWEEN: Duration = Duration::from_millis(100);
/// `of` of work whose size is not known.
const UNKNOWN: u64 = u64::MAX;

/// Long work that runs.
#[derive(Debug, uniffi::Object)]
pub struct LongTask {
    called_off: AtomicBool,
    over: AtomicBool,
    done: AtomicU64,
    of: AtomicU64,
    _living: Living,
}

#[uniffi::export]
impl LongTask {
    /// Calls it off. It ends soon, and its listener is told how; once it is over this does nothing.
    pub fn cancel(&self) {
        self.called_off.store(true, Ordering::Release);
    }

    /// How far it is.
    pub fn progress(&self) -> WorkProgress {
        let of = self.of.load(Ordering::Acquire);
        WorkProgress { done: self.done.load(Ordering::Acquire), of: (of != UNKNOWN).then_some(of) }
    }

    /// Whether it is over.
    pub fn is_over(&self) -> bool {
        self.over.load(Ordering::Acquire)
    }
}

impl LongTask {
    fn new() -> Self {
        let no = || AtomicBool::new(false);
        Self {
            called_off: no(),
            over: no(),
            done: AtomicU64::new(0),
            of: AtomicU64::new(UNKNOWN),
            _living: Living::new(),
        }
    }

    /// Notes how far it is, and says whether to go on.
    pub(crate) fn go_on(&self, done: u64, of: Option<u64>) -> bool {
        self.done.store(done, Ordering::Release);
        self.of.store(of.unwrap_or(UNKNOWN), Ordering::Release);
        !self.called_off()
    }

    pub(crate) fn called_off(&self) -> bool {
        self.called_off.load(Ordering::Acquire)
    }

    /// Begins work. The work may hold a lock, so that another thread tells how far it is.
    pub(crate) fn begin(
        told: Told,
        work: impl FnOnce(&Self) -> Outcome + Send + 'static,
    ) -> Result<Arc<Self>, PlinthError> {
        let task = Arc::new(Self::new());
        let (ended, end) = mpsc::channel();
        let its = Arc::clone(&task);
        let run = move || {
            let outcome = catch_unwind(AssertUnwindSafe(|| work(&its)));
            // Nobody waits only where the telling thread could not be made.
            drop(ended.send(outcome.unwrap_or_else(|_| Outcome::Failed { error: PlinthError::defect() })));
        };
        let its = Arc::clone(&task);
        let tell = move || {
            let mut last = None;
            let outcome = loop {
                match end.recv_timeout(BETWEEN) {
                    Ok(outcome) => break outcome,
                    Err(RecvTimeoutError::Timeout) => {
                        let progress = its.progress();
                        if last.as_ref() != Some(&progress) {
                            told.tell(|l| l.progress(progress.clone()));
                            last = Some(progress);
                        }
                    }
                    Err(RecvTimeoutError::Disconnected) => {
                        break Outcome::Failed { error: PlinthError::defect() };
                    }
                }
            };
            its.over.store(true, Ordering::Release);
            told.outcome(outcome);
        };
        for (name, part) in
            [("plinth-told", Box::new(tell) as Box<dyn FnOnce() + Send>), ("plinth-task", Box::new(run))]
        {
            thread::Builder::new().name(name.into()).spawn(part).map_err(|_| PlinthError::no_thread())?;
        }
        Ok(task)
    }
}

/// The tasks that may be running.
#[derive(Debug, Default)]
pub(crate) struct Tasks(Mutex<Vec<Weak<LongTask>>>);

impl Tasks {
    pub(crate) fn add(&self, task: &Arc<LongTask>) {
        let mut tasks = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        tasks.retain(|t| t.strong_count() > 0);
        tasks.push(Arc::downgrade(task));
    }

    pub(crate) fn call_off(&self) {
        let mut tasks = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        tasks.drain(..).filter_map(|t| t.upgrade()).for_each(|t| t.cancel());
    }
}
