//! Whether a movement may be offered to a lifter in their circumstances, and how it must be eased.

use crate::catalogue::{Lying, Movement, Trap};
use serde::Serialize;

/// A sore region.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sore {
    /// Index of the region.
    pub region: usize,
    /// 1 mild, 2 moderate, 3 severe.
    pub severity: i32,
    /// New or worse, not the lifter's usual.
    pub new_or_worse: bool,
}

/// The circumstances that safety asks about.
#[derive(Debug, Clone, Default)]
#[allow(clippy::struct_excessive_bools)] // independent answers
pub struct Circumstances {
    /// Sore regions.
    pub sore: Vec<Sore>,
    /// Regions operated on whose written limits have not been entered.
    pub after_surgery: Vec<usize>,
    /// Regions that a flag or licensed care keeps out until a return gives them back.
    pub regions_out: Vec<usize>,
    /// Lying on the back is to be left out.
    pub no_lying_on_back: bool,
    /// Lying on the front is to be left out.
    pub no_lying_on_front: bool,
    /// No long breath-holds.
    pub no_long_breath_hold: bool,
    /// No maximal lifts.
    pub no_maximal_lifts: bool,
    /// A minor.
    pub minor: bool,
    /// Light to moderate work only.
    pub light_to_moderate: bool,
    /// Alone.
    pub alone: bool,
    /// Safeties on the rack.
    pub safeties: bool,
}

/// Why a movement is not offered. No wish, mark or pin stands above it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Refusal {
    /// A usual discomfort that the movement loads too much.
    Discomfort {
        /// Index of the region.
        region: usize,
        /// 1-3.
        severity: i32,
    },
    /// A new or worse discomfort in a region that the movement loads: left out until care was taken.
    NewDiscomfort {
        /// Index of the region.
        region: usize,
    },
    /// The region was operated on and the surgeon's written limits are not entered.
    AfterSurgery {
        /// Index of the region.
        region: usize,
    },
    /// A confirmed flag, or the limits of licensed care, keep the region out until a return gives it back.
    RegionOut {
        /// Index of the region.
        region: usize,
    },
    /// Done lying on the back.
    LyingOnBack,
    /// Done lying on the front.
    LyingOnFront,
    /// A barbell over the chest with neither safeties nor a spotter.
    AloneWithoutSafeties,
}

/// How a movement that may be offered must be eased.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Ease {
    /// Fewest repetitions.
    pub reps_at_least: i32,
    /// Fewest repetitions in reserve.
    pub reserve_at_least: i32,
    /// Sum over sore regions of severity times flag: what the plan prices.
    pub discomfort: i32,
}

/// Whether `movement` may be offered, and how it must be eased.
///
/// Cut-offs are common practice, no source: a usual discomfort takes a movement out when it is severe, when
/// severity times flag reaches 4, or when it is mild and the movement loads the region very much.
///
/// # Errors
/// The first reason why it may not.
pub fn permit(movement: &Movement, c: &Circumstances) -> Result<Ease, Refusal> {
    let mut ease = Ease::default();
    for &region in &c.regions_out {
        if movement.flag(region) > 0 {
            return Err(Refusal::RegionOut { region });
        }
    }
    for &region in &c.after_surgery {
        if movement.flag(region) > 0 {
            return Err(Refusal::AfterSurgery { region });
        }
    }
    for sore in &c.sore {
        let flag = movement.flag(sore.region);
        if flag == 0 {
            continue;
        }
        if sore.new_or_worse {
            return Err(Refusal::NewDiscomfort { region: sore.region });
        }
        let load = sore.severity * flag;
        if sore.severity >= 3 || load >= 4 || flag == 3 {
            return Err(Refusal::Discomfort { region: sore.region, severity: sore.severity });
        }
        ease.discomfort += load;
    }
    match movement.lying {
        Lying::Back if c.no_lying_on_back => return Err(Refusal::LyingOnBack),
        Lying::Front if c.no_lying_on_front => return Err(Refusal::LyingOnFront),
        _ => {}
    }
    if c.alone && !c.safeties && movement.trap == Trap::Chest {
        return Err(Refusal::AloneWithoutSafeties);
    }
    let mut at_least = |reps: i32, reserve: i32| {
        ease.reps_at_least = ease.reps_at_least.max(reps);
        ease.reserve_at_least = ease.reserve_at_least.max(reserve);
    };
    if c.alone && !c.safeties && movement.trap == Trap::Shoulders {
        at_least(6, 3);
    }
    if c.minor || c.no_long_breath_hold {
        at_least(6, 2);
    }
    if c.no_maximal_lifts {
        at_least(6, 3);
    }
    if c.light_to_moderate {
        at_least(10, 4);
    }
    Ok(ease)
}
