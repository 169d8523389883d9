//! A deterministic, anytime search for a good week: annealing chains, each finished by a full descent.
//!
//! The budget counts evaluations, never time, and nothing but integers and a seeded generator decides, so
//! that the same brief gives the same week on every machine.

mod anneal;
mod descend;
mod feasible;
mod place;
mod random;
mod ranges;
mod state;

pub use feasible::{Feasible, Requirement, Rules, feasible};
pub use random::Random;
pub use ranges::{Range, Ranges};

use super::model::{Instance, Week};
use anneal::{Lists, anneal, better};
use descend::descend;
use place::place;
use state::State;

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Evaluations of proposals, over all chains; descents come on top, bounded by half as many.
    pub evaluations: u64,
    /// Independent chains.
    pub chains: u32,
}

impl Effort {
    /// About 50 ms on the machine on which the bars were measured: a first answer.
    pub const QUICK: Self = Self { evaluations: 240_000, chains: 2 };
    /// About 400 ms there: the answer that is kept.
    pub const FULL: Self = Self { evaluations: 2_000_000, chains: 4 };
}

/// What a search has found so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Evaluations spent.
    pub spent: u64,
    /// Evaluations in all.
    pub of: u64,
    /// Points of the best week so far.
    pub points: i64,
}

/// A week that the search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The week, lines in order of movement.
    pub week: Week,
    /// Its points.
    pub points: i64,
    /// No single change of the neighbourhood improves it.
    pub locally_best: bool,
    /// Evaluations spent.
    pub evaluations: u64,
    /// The search was cancelled; the week is the best until then.
    pub cancelled: bool,
}

/// Searches for the best week inside `ranges`, from `start` when it is given.
///
/// `control` is called from time to time with the progress; `false` cancels. Returns `None` when the musts
/// cannot be kept together, or when the instance is larger than the scorer is built for.
pub fn search(
    instance: &Instance,
    ranges: &Ranges,
    start: Option<&Week>,
    effort: Effort,
    control: &mut dyn FnMut(Progress) -> bool,
) -> Option<Found> {
    let mut state = State::new(instance, ranges)?;
    let lists = Lists::of(&state);
    let days = instance.days.len();
    let chains = u64::from(effort.chains.max(1));
    let per_chain = effort.evaluations / chains;
    let mut best: Option<(i64, Week)> = None;
    let mut locally_best = false;
    let mut spent = 0;
    let mut cancelled = false;
    for chain in 0..chains {
        state.put(&Week::empty(days));
        match start {
            Some(week) if chain % 2 == 0 => state.put(week),
            _ => place(&mut state, chain as usize % days.max(1)),
        }
        if !(0..days).all(|d| state.keeps(d)) || !ranges.allow(&state.week()) {
            state.put(&Week::empty(days));
            place(&mut state, chain as usize % days.max(1));
            if !(0..days).all(|d| state.keeps(d)) {
                return best.map(|(points, week)| Found {
                    week,
                    points,
                    locally_best,
                    evaluations: spent,
                    cancelled,
                });
            }
        }
        let mut random = Random::new(chain + 1);
        let so_far = best.as_ref().map_or(i64::MAX, |b| b.0);
        let at = spent;
        let mut step = 0;
        spent += anneal(&mut state, &lists, &mut random, per_chain, &mut |points| {
            step += 1;
            let progress = Progress {
                spent: at + per_chain * step / 48,
                of: effort.evaluations,
                points: points.min(so_far),
            };
            cancelled |= !control(progress);
            !cancelled
        });
        let (evaluations, complete) = descend(&mut state, (per_chain / 2).max(20_000));
        spent += evaluations;
        let points = state.points();
        if better(points, best.as_ref()) {
            best = Some((points, state.week().sorted()));
            locally_best = complete;
        }
        if cancelled {
            break;
        }
    }
    best.map(|(points, week)| Found { week, points, locally_best, evaluations: spent, cancelled })
}
