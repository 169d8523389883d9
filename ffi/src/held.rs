//! The core's companion behind a lock: opened when it is needed, released on request, opened anew after a defect.

use crate::error::PlinthError;
use crate::listener::{LogLine, Told};
use crate::opening::{Opening, Way};
use plinth_core::companion::{Companion, CompanionError};
use plinth_core::moment::Moment;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, PoisonError};

enum State {
    /// The file is ours.
    Open(Box<Companion>),
    /// The file is not ours; the next call opens it.
    Released,
    /// Shut down.
    Over,
}

pub(crate) struct Held {
    inner: Mutex<(State, Way)>,
    told: Told,
}

impl Held {
    pub(crate) fn new(way: Way, told: Told) -> Self {
        Self { inner: Mutex::new((State::Released, way)), told }
    }

    /// Opens the record where it is not open.
    pub(crate) fn open(&self, moment: &Moment) -> Result<Opening, PlinthError> {
        self.locked("open", |state, way, lines| opened(state, way, moment, lines))
    }

    /// Does something with the companion, opening the record where it was released.
    pub(crate) fn with<T>(
        &self,
        call: &str,
        moment: &Moment,
        work: impl FnOnce(&mut Companion) -> Result<T, CompanionError>,
    ) -> Result<T, PlinthError> {
        self.locked(call, |state, way, lines| {
            opened(state, way, moment, lines)?;
            match state {
                State::Open(companion) => Ok(work(companion)?),
                State::Released | State::Over => Err(PlinthError::over()),
            }
        })
    }

    /// Puts another companion in this one's place. Where it cannot, the next call opens the record as it is.
    pub(crate) fn exchange<T>(
        &self,
        call: &str,
        moment: &Moment,
        work: impl FnOnce(Companion) -> Result<(Companion, T), CompanionError>,
    ) -> Result<T, PlinthError> {
        self.locked(call, |state, way, lines| {
            opened(state, way, moment, lines)?;
            let old = match std::mem::replace(state, State::Released) {
                State::Open(old) => old,
                other => {
                    *state = other;
                    return Err(PlinthError::over());
                }
            };
            let (new, done) = work(*old)?;
            *state = State::Open(Box::new(new));
            Ok(done)
        })
    }

    /// Erases the record, and opens a new one.
    pub(crate) fn erase(&self, moment: &Moment) -> Result<(), PlinthError> {
        self.locked("erase", |state, way, lines| {
            opened(state, way, moment, lines)?;
            match std::mem::replace(state, State::Released) {
                State::Open(old) => old.erase()?,
                other => {
                    *state = other;
                    return Err(PlinthError::over());
                }
            }
            opened(state, way, moment, lines).map(drop)
        })
    }

    /// Lets go of the file, for now or for good. All that was answered is durable already.
    pub(crate) fn release(&self, over: bool) {
        let done = self.locked("release", |state, _, lines| {
            match (&state, over) {
                (State::Open(_), false) => lines.push(LogLine::Paused),
                (State::Open(_) | State::Released, true) => lines.push(LogLine::ShutDown),
                (State::Released, false) | (State::Over, _) => return Ok(()),
            }
            *state = if over { State::Over } else { State::Released };
            Ok(())
        });
        drop(done); // a defect while closing was logged, and the file is released all the same
    }

    /// Runs `work` under the lock; what it logs is told once the lock is free.
    fn locked<T>(
        &self,
        call: &str,
        work: impl FnOnce(&mut State, &mut Way, &mut Vec<LogLine>) -> Result<T, PlinthError>,
    ) -> Result<T, PlinthError> {
        let mut lines = Vec::new();
        let mut inner = self.inner.lock().unwrap_or_else(PoisonError::into_inner);
        let (state, way) = &mut *inner;
        let done = catch_unwind(AssertUnwindSafe(|| work(state, way, &mut lines)));
        let done = done.unwrap_or_else(|_| {
            // What it had in memory cannot be trusted; what it wrote is whole.
            if let State::Open(broken) = std::mem::replace(state, State::Released) {
                let _ = catch_unwind(AssertUnwindSafe(|| drop(broken)));
            }
            lines.push(LogLine::Defect { call: call.to_owned() });
            Err(PlinthError::defect())
        });
        drop(inner);
        self.told.lines(lines);
        done
    }
}

fn opened(
    state: &mut State,
    way: &mut Way,
    moment: &Moment,
    lines: &mut Vec<LogLine>,
) -> Result<Opening, PlinthError> {
    if !matches!(state, State::Released) {
        return Ok(Opening::default());
    }
    let opened = way.open(moment)?;
    let opening = Opening::of(&opened);
    *state = State::Open(Box::new(opened.companion));
    lines.push(LogLine::Opened { recovered: opening.recovered, lost: opening.lost });
    Ok(opening)
}
