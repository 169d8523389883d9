//! Undo: what can be taken back, and what it says it will take back.

use super::Floor;
use super::event::Refused;
use super::patch::Patch;
use super::state::{Form, LoadDone, State};
use crate::catalogue::Measure;
use serde::{Deserialize, Serialize};

/// The most that can be taken back in a row.
const MOST: usize = 60;

/// Something done that can be taken back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "did", rename_all = "snake_case")]
pub enum Did {
    /// The session was begun.
    Begun,
    /// A piece of the warm-up was done or left out.
    WarmedUp,
    /// A set was logged.
    Logged {
        /// Id of the movement.
        movement: String,
        /// Its load.
        load: Option<LoadDone>,
        /// Repetitions, seconds or metres.
        amount: u32,
        /// Which of them.
        measure: Measure,
    },
    /// A set was corrected.
    Corrected {
        /// Id of the movement.
        movement: String,
    },
    /// A set was taken off.
    Removed {
        /// Id of the movement.
        movement: String,
    },
    /// A hold was begun.
    HoldBegun,
    /// The rest was made longer.
    Longer,
    /// The rest was ended.
    Ready,
    /// The last set was moved a minute back.
    EndedEarlier,
    /// A stand-in was taken.
    StoodIn {
        /// Id of the movement.
        movement: String,
    },
    /// Kit was marked as taken or free.
    Taken {
        /// Id of the kit.
        item: String,
        /// Which.
        taken: bool,
    },
    /// The session was cut to so many minutes.
    Minutes {
        /// How many.
        minutes: u32,
    },
    /// A discomfort was told.
    Sore,
    /// The lifter went to another movement.
    WentTo {
        /// Id of the movement.
        movement: String,
    },
    /// A set more.
    ExtraSet {
        /// Id of the movement.
        movement: String,
    },
    /// A movement was added.
    Added {
        /// Id of the movement.
        movement: String,
    },
    /// A lighter way in was chosen.
    Lighter,
    /// A partner's load was set or taken off.
    Partner,
    /// Company, safeties or the adult changed.
    Circumstances,
    /// The session was closed.
    Closed,
    /// A note was written.
    Noted,
}

/// What brings the state before an event back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Past {
    pub(super) did: Did,
    back: Patch,
    /// The form that was open before; moving between forms is not kept step by step.
    form: Option<Form>,
}

impl Floor {
    pub(super) fn remember(&mut self, did: Did, before: &State) {
        let plain = |s: &State| {
            let mut s = s.clone();
            s.form = None;
            serde_json::to_value(s).ok()
        };
        let (Some(old), Some(new)) = (plain(before), plain(&self.state)) else { return };
        let number = self.past.last_key_value().map_or(0, |(n, _)| n.saturating_add(1));
        let past = Past { did, back: Patch::between(&new, &old), form: before.form.clone() };
        self.past.insert(number, past);
        if self.past.len() > MOST {
            self.past.pop_first();
        }
    }

    /// Takes back the last thing done.
    pub(super) fn undo(&mut self) -> Result<(), Refused> {
        let Some((_, past)) = self.past.pop_last() else {
            return Err(if self.state.flags.is_empty() { Refused::NotNow } else { Refused::FlagStands });
        };
        let mut plain = self.state.clone();
        plain.form = None;
        let back = serde_json::to_value(plain).ok().and_then(|mut now| {
            past.back.apply(&mut now);
            serde_json::from_value::<State>(now).ok()
        });
        let Some(mut state) = back.filter(|s| s.unsound().is_none()) else { return Err(Refused::NotNow) };
        state.form = past.form;
        self.state = state;
        self.pressed = None;
        Ok(())
    }

    /// What *Undo* would take back.
    pub(super) fn undoes(&self) -> Option<&Did> {
        self.past.last_key_value().map(|(_, p)| &p.did)
    }
}
