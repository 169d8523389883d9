//! The disc route: how to load one bar through a whole session with the fewest disc moves.
//!
//! Discs on a sleeve form a stack: only the outermost comes off. A move is one disc put on or taken off one
//! side; both sides carry the same discs at every load. The search behind it is exact (see `search`), and the
//! order of single moves keeps the two sides within one disc of each other, so that a bar on a rack does not
//! tip.

mod change;
mod search;

pub use change::{Change, change};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::kit::{BarKind, Disc};
use super::make::BarLoads;
use super::mass::Mass;
use super::sums::{Packed, count_of};
use search::{Problem, Want};

/// The most loads in one route.
pub const MOST_LOADS: usize = 64;

/// Where the bar lies while it is loaded and lifted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// On a rack, a bench or stands: it can tip.
    Rack,
    /// On the floor, pulled from the height of full-diameter discs.
    Floor,
}

/// One load of the sequence: exactly one mass, or any of several with a price for each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// The loads that will do, and how far each is from the ideal (0 to 1000, any scale). Fewer moves come
    /// before a smaller price.
    pub loads: Vec<(Mass, u32)>,
    /// Where the bar lies.
    pub place: Place,
}

impl Target {
    /// Exactly this load.
    pub fn exact(load: Mass, place: Place) -> Self {
        Self { loads: vec![(load, 0)], place }
    }
}

/// A disc as it is handled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Plate {
    /// Its mass.
    pub mass: Mass,
    /// Whether it is of full diameter.
    pub full_diameter: bool,
}

/// A side of the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The left.
    Left,
    /// The right.
    Right,
}

impl Side {
    const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// On or off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Put on, outermost.
    On,
    /// Taken off, being the outermost.
    Off,
}

/// One disc put on or taken off one side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Move {
    /// On or off.
    pub action: Action,
    /// Which side.
    pub side: Side,
    /// Which disc.
    pub disc: Plate,
    /// How much one side is heavier than the other afterwards.
    pub imbalance: Mass,
    /// Whether the other end must be held down meanwhile: one side is empty and the other carries more than
    /// the tip limit.
    pub hold_other_end: bool,
}

/// One load of the route.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Stop {
    /// The load made.
    pub load: Mass,
    /// The discs on each side, innermost first.
    pub per_side: Vec<Plate>,
    /// Discs taken off each side on the way here.
    pub off: u32,
    /// Discs put on each side on the way here.
    pub on: u32,
    /// The single moves, in order.
    pub moves: Vec<Move>,
    /// For a pull from the floor: the load is too light for a full-diameter disc, so blocks or a rack's pins
    /// must raise the bar to the standard height.
    pub blocks_needed: bool,
}

/// The route through all loads.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Route {
    /// One for each target, in order.
    pub stops: Vec<Stop>,
    /// Disc moves on each side, without stripping the bar at the end.
    pub moves_per_side: u32,
    /// Disc moves on each side when every load is made with the fewest discs, heaviest inside, without
    /// looking ahead.
    pub heaviest_first_moves_per_side: u32,
    /// The single moves that strip the bar after the last load.
    pub strip: Vec<Move>,
    /// Whether no route has fewer moves. False only when the kit is so varied that the search was stopped.
    pub proved: bool,
    /// On a rack, the most that one side may carry while the other is empty: five quarters of the bar's mass.
    pub tip_limit: Mass,
    /// The greatest difference between the sides at any moment.
    pub greatest_imbalance: Mass,
}

/// Share of the bar's mass that one side may carry while the other is empty, in per mille. Common practice,
/// no source; by statics a bar held 0.9 m apart tips at about one and a half bar masses on the inner part of
/// one sleeve, 0.75 m from the middle.
pub const TIP_LIMIT_PER_MILLE: i64 = 1250;

/// The route through the targets with the fewest disc moves on each side; of equal ones the nearest to the
/// ideals, then that with fewer discs on the bar, then with heavier discs inside.
///
/// `strip_after` counts stripping the bar at the end as well.
///
/// # Errors
/// [`LoadError::NotMade`] when a target cannot be made exactly; [`LoadError::TooManyLoads`] beyond 64.
pub fn route(loads: &BarLoads, targets: &[Target], strip_after: bool) -> Result<Route, LoadError> {
    if targets.len() > MOST_LOADS {
        return Err(LoadError::TooManyLoads { given: targets.len(), most: MOST_LOADS });
    }
    let tip_limit = tip_limit(loads);
    let wants = wants(loads, targets, tip_limit)?;
    let straight: Vec<Vec<usize>> = wants.iter().map(|w| heaviest_inside(loads, w)).collect();
    let problem = Problem { sums: &loads.sums, wants: &wants, tip_limit, strip_after };
    let (stacks, proved) = match problem.solve() {
        Some(stacks) => (stacks, true),
        None => (straight.clone(), false),
    };
    let racked = |target: &Target| racked(loads, target);
    let floor = |target: &Target| pulled_from_floor(loads, target);
    let mut walk = Walk { loads, tip_limit, left: 0, right: 0, side: Side::Left, greatest: 0 };
    let mut stops = Vec::with_capacity(stacks.len());
    let mut before: &[usize] = &[];
    for ((stack, want), target) in stacks.iter().zip(&wants).zip(targets) {
        let same = shared(before, stack);
        let off: Vec<usize> = before.iter().skip(same).rev().copied().collect();
        let on: Vec<usize> = stack.iter().skip(same).copied().collect();
        let moves = walk.go(&off, &on, racked(target));
        stops.push(Stop {
            load: loads.mass(weight(loads, stack)),
            per_side: stack.iter().filter_map(|&k| plate(loads.disc(k))).collect(),
            off: off.len() as u32,
            on: on.len() as u32,
            moves,
            blocks_needed: floor(target) && !want.needs_full,
        });
        before = stack;
    }
    let off: Vec<usize> = before.iter().rev().copied().collect();
    let strip = walk.go(&off, &[], targets.last().is_some_and(racked));
    Ok(Route {
        moves_per_side: stops.iter().map(|s| s.off + s.on).sum(),
        heaviest_first_moves_per_side: count_moves(&straight),
        stops,
        strip,
        proved,
        tip_limit: Mass::clamped(tip_limit, loads.bar().mass.unit()),
        greatest_imbalance: Mass::clamped(walk.greatest, loads.bar().mass.unit()),
    })
}

/// The route through exact loads on a rack or on the floor.
///
/// # Errors
/// As for [`route`].
pub fn route_exact(loads: &BarLoads, masses: &[Mass], place: Place) -> Result<Route, LoadError> {
    let targets: Vec<Target> = masses.iter().map(|m| Target::exact(*m, place)).collect();
    route(loads, &targets, false)
}

fn tip_limit(loads: &BarLoads) -> i64 {
    loads.bar().mass.amount() / 1000 * TIP_LIMIT_PER_MILLE
}

/// Whether the bar can tip while it is loaded for this target.
fn racked(loads: &BarLoads, target: &Target) -> bool {
    loads.bar().kind.can_tip() && target.place == Place::Rack
}

/// Whether the height of the bar on the floor matters for this target.
fn pulled_from_floor(loads: &BarLoads, target: &Target) -> bool {
    let other = matches!(loads.bar().kind, BarKind::GuidedBar | BarKind::Sled | BarKind::DumbbellHandle);
    target.place == Place::Floor && !other
}

fn wants(loads: &BarLoads, targets: &[Target], tip_limit: i64) -> Result<Vec<Want>, LoadError> {
    let mut wants = Vec::with_capacity(targets.len());
    for (i, target) in targets.iter().enumerate() {
        let mut sums: Vec<(i64, u32)> = target
            .loads
            .iter()
            .filter_map(|(load, price)| {
                let side = loads.per_side(load)?;
                loads.sums.exact(side, false).map(|s| (s.amount, (*price).min(1000)))
            })
            .collect();
        sums.sort_unstable();
        sums.dedup_by_key(|s| s.0);
        if sums.is_empty() {
            let wanted = target.loads.first().map_or(Mass::ZERO, |l| l.0);
            return Err(LoadError::NotMade { number: i + 1, wanted });
        }
        let floor = pulled_from_floor(loads, target);
        let full: Vec<(i64, u32)> =
            sums.iter().filter(|s| floor && loads.sums.exact(s.0, true).is_some()).copied().collect();
        let needs_full = !full.is_empty();
        let racked = racked(loads, target);
        let mut want = Want { sums: if needs_full { full } else { sums }, needs_full, limited: racked };
        // Where no choice of discs starts light enough, the limit cannot be kept: the moves say so instead.
        if racked {
            let alone = std::slice::from_ref(&want);
            let problem = Problem { sums: &loads.sums, wants: alone, tip_limit, strip_after: false };
            want.limited = problem.solve().is_some();
        }
        wants.push(want);
    }
    Ok(wants)
}

/// The stack that makes a load with the fewest discs, heaviest inside, and of full diameter if it must be.
fn heaviest_inside(loads: &BarLoads, want: &Want) -> Vec<usize> {
    let ideal = want.sums.iter().min_by_key(|s| (s.1, s.0)).map_or(0, |s| s.0);
    let packed = loads.sums.exact(ideal, want.needs_full).map_or(0, |s| s.packed);
    let mut stack = unpack(packed, loads.sums.kinds.len());
    if want.needs_full
        && let Some(first) = stack.iter().position(|&k| loads.sums.kinds.get(k).is_some_and(|d| d.full))
    {
        let full = stack.remove(first);
        stack.insert(0, full);
    }
    stack
}

fn unpack(packed: Packed, kinds: usize) -> Vec<usize> {
    (0..kinds).flat_map(|k| std::iter::repeat_n(k, count_of(packed, k) as usize)).collect()
}

fn shared(a: &[usize], b: &[usize]) -> usize {
    a.iter().zip(b).take_while(|(x, y)| x == y).count()
}

fn count_moves(stacks: &[Vec<usize>]) -> u32 {
    let mut before: &[usize] = &[];
    let mut moves = 0;
    for stack in stacks {
        moves += before.len() + stack.len() - 2 * shared(before, stack);
        before = stack;
    }
    moves as u32
}

fn weight(loads: &BarLoads, stack: &[usize]) -> i64 {
    stack.iter().filter_map(|&k| loads.sums.kinds.get(k)).map(|k| k.amount).sum()
}

fn plate(disc: Option<&Disc>) -> Option<Plate> {
    disc.map(|d| Plate { mass: d.mass, full_diameter: d.full_diameter })
}

/// The lifter going from side to side.
struct Walk<'a> {
    loads: &'a BarLoads,
    tip_limit: i64,
    left: i64,
    right: i64,
    side: Side,
    greatest: i64,
}

impl Walk<'_> {
    /// One disc a side in turn, beginning where one stands: the sides never differ by more than one disc,
    /// and one walks round the bar once for every disc, not twice.
    fn go(&mut self, off: &[usize], on: &[usize], racked: bool) -> Vec<Move> {
        let steps = off.iter().map(|&k| (Action::Off, k)).chain(on.iter().map(|&k| (Action::On, k)));
        let mut moves = Vec::new();
        for (action, kind) in steps {
            let Some(disc) = plate(self.loads.disc(kind)) else {
                continue;
            };
            for side in [self.side, self.side.other()] {
                let change = match action {
                    Action::On => disc.mass.amount(),
                    Action::Off => -disc.mass.amount(),
                };
                match side {
                    Side::Left => self.left += change,
                    Side::Right => self.right += change,
                }
                let imbalance = (self.left - self.right).abs();
                self.greatest = self.greatest.max(imbalance);
                moves.push(Move {
                    action,
                    side,
                    disc,
                    imbalance: Mass::clamped(imbalance, disc.mass.unit()),
                    hold_other_end: racked && self.left.min(self.right) == 0 && imbalance > self.tip_limit,
                });
            }
            self.side = self.side.other();
        }
        moves
    }
}
