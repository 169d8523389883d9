//! What is kept of the snapshot on disk: the whole of it now and then, and between them what each event changed, since
//! a set changes little of it.

use super::patch::Patch;
use super::{Floor, SnapshotFault};
use serde_json::Value;

/// Steps after which the whole is written again: few enough that opening stays quick.
const MOST_STEPS: usize = 64;
/// Bytes of steps after which the whole is written again.
const MOST_BYTES: usize = 64 * 1024;

/// What is to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Written {
    /// No session is open: nothing is kept.
    Nothing,
    /// The whole snapshot, instead of what was there.
    Whole(String),
    /// What changed, after what is there.
    Step(String),
}

/// What stands on disk.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Kept {
    last: Option<Value>,
    steps: usize,
    bytes: usize,
}

impl Kept {
    /// Reads a snapshot and the steps after it, in order.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(whole: &str, steps: &[String]) -> Result<(Floor, Self), SnapshotFault> {
        let fault = |e: serde_json::Error| SnapshotFault(e.to_string());
        let mut last: Value = serde_json::from_str(whole).map_err(fault)?;
        for step in steps {
            let patch: Patch = serde_json::from_str(step).map_err(fault)?;
            patch.apply(&mut last);
        }
        let floor = Floor::from_value(last.clone())?;
        let kept = Self { last: Some(last), steps: steps.len(), bytes: steps.iter().map(String::len).sum() };
        Ok((floor, kept))
    }

    /// What is to be written for a floor, and what stands on disk once it is.
    pub fn next(&self, floor: &Floor) -> (Written, Self) {
        let new = match serde_json::to_value(floor) {
            Ok(new) if floor.session().is_some() => new,
            _ => return (Written::Nothing, Self::default()),
        };
        if let Some(last) = self.last.as_ref().filter(|_| self.steps < MOST_STEPS) {
            let step = serde_json::to_string(&Patch::between(last, &new)).unwrap_or_default();
            let bytes = self.bytes + step.len();
            if !step.is_empty() && bytes <= MOST_BYTES {
                let kept = Self { last: Some(new), steps: self.steps + 1, bytes };
                return (Written::Step(step), kept);
            }
        }
        let whole = new.to_string();
        (Written::Whole(whole), Self { last: Some(new), steps: 0, bytes: 0 })
    }
}
