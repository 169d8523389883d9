//! Every sum that one sleeve can hold, each with its best discs.

use super::kit::{Disc, Kit, MOST_DISC_KINDS};

/// How many discs of each kind: eight bits a kind.
pub(super) type Packed = u128;

/// The most sums that are kept; beyond them only the lightest are certain.
const MOST_SUMS: usize = 60_000;

/// One kind of disc as one side sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Kind {
    /// Mass in 1e-10 kg.
    pub amount: i64,
    /// How many fit on each side.
    pub each: u32,
    /// Whether it is of full diameter.
    pub full: bool,
    /// Thickness in millimetres; nought when unknown.
    pub thickness: u32,
    /// Its place in the kit's list.
    pub place: usize,
}

/// The kinds of discs on each of `sides` sides, heaviest first, then of full diameter first.
pub(super) fn kinds(discs: &[Disc], sides: u32) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = discs
        .iter()
        .take(MOST_DISC_KINDS)
        .enumerate()
        .map(|(place, d)| Kind {
            amount: d.mass.amount(),
            each: (d.count / sides.max(1)).min(255),
            full: d.full_diameter,
            thickness: d.thickness_mm.unwrap_or(0),
            place,
        })
        .filter(|k| k.each > 0 && k.amount > 0)
        .collect();
    kinds.sort_by_key(|k| (-k.amount, !k.full, k.thickness, k.place));
    kinds
}

pub(super) fn count_of(packed: Packed, kind: usize) -> u32 {
    ((packed >> (8 * kind)) & 0xff) as u32
}

pub(super) fn with_one_more(packed: Packed, kind: usize) -> Packed {
    packed + (1u128 << (8 * kind))
}

/// One sum and the discs that make it: thinnest, then fewest, then heaviest.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sum {
    pub amount: i64,
    thickness: u32,
    pub discs: u32,
    pub packed: Packed,
}

impl Sum {
    const NONE: Self = Self { amount: 0, thickness: 0, discs: 0, packed: 0 };

    fn better(&self, other: &Self) -> bool {
        // Counts of the heaviest kind sit in the lowest byte, so compare from there upward.
        (self.thickness, self.discs, other.packed.swap_bytes())
            < (other.thickness, other.discs, self.packed.swap_bytes())
    }
}

/// All sums of one side.
#[derive(Debug, Clone)]
pub(super) struct Sums {
    pub kinds: Vec<Kind>,
    /// Length of a sleeve in millimetres, when it and every thickness are known.
    pub sleeve: Option<u32>,
    /// Every sum, ascending.
    pub all: Vec<Sum>,
    /// Every sum that has a disc of full diameter, ascending.
    pub full: Vec<Sum>,
    /// Every sum up to here is known.
    pub certain_to: i64,
}

impl Sums {
    pub(super) fn of(kit: &Kit, sides: u32, sleeve_mm: Option<u32>, most: i64) -> Self {
        let kinds = kinds(&kit.discs, sides);
        let known = kit.discs.iter().all(|d| d.thickness_mm.is_some());
        let sleeve = sleeve_mm.filter(|_| known);
        let mut certain_to = most;
        let mut all = vec![Sum::NONE];
        let mut full: Vec<Sum> = Vec::new();
        // Kinds of full diameter come last, so that a sum is known to have one.
        let order =
            (0..kinds.len()).filter(|&k| !kinds[k].full).chain((0..kinds.len()).filter(|&k| kinds[k].full));
        for k in order {
            let kind = kinds[k];
            for times in halves(kind.each) {
                let more: Vec<Sum> = all
                    .iter()
                    .map(|s| Sum {
                        amount: s.amount + kind.amount * i64::from(times),
                        thickness: if sleeve.is_some() { s.thickness + kind.thickness * times } else { 0 },
                        discs: s.discs + times,
                        packed: s.packed + (u128::from(times) << (8 * k)),
                    })
                    .filter(|s| s.amount <= certain_to && sleeve.is_none_or(|mm| s.thickness <= mm))
                    .collect();
                if kind.full {
                    full = merge(&full, &more, &mut certain_to);
                }
                all = merge(&all, &more, &mut certain_to);
            }
        }
        all.retain(|s| s.amount <= certain_to);
        full.retain(|s| s.amount <= certain_to);
        Self { kinds, sleeve, all, full, certain_to }
    }

    /// The discs that make exactly this sum.
    pub(super) fn exact(&self, amount: i64, full: bool) -> Option<&Sum> {
        let list = if full { &self.full } else { &self.all };
        list.binary_search_by_key(&amount, |s| s.amount).ok().and_then(|i| list.get(i))
    }

    /// The heaviest sum at or below an amount.
    pub(super) fn at_or_below(&self, amount: i64) -> Option<&Sum> {
        let after = self.all.partition_point(|s| s.amount <= amount);
        after.checked_sub(1).and_then(|i| self.all.get(i))
    }

    /// The lightest sum above an amount.
    pub(super) fn above(&self, amount: i64) -> Option<&Sum> {
        self.all.get(self.all.partition_point(|s| s.amount <= amount))
    }
}

/// Steps of which every number from nought to `count` is a sum: 1, 2, 4 and so on, and the rest.
fn halves(count: u32) -> Vec<u32> {
    let (mut left, mut step, mut steps) = (count, 1, Vec::new());
    while left > 0 {
        let now = step.min(left);
        steps.push(now);
        left -= now;
        step *= 2;
    }
    steps
}

/// Two ascending lists as one, keeping the better of equal sums and no more than are certain.
fn merge(left: &[Sum], right: &[Sum], certain_to: &mut i64) -> Vec<Sum> {
    let mut merged: Vec<Sum> = Vec::with_capacity(left.len() + right.len());
    let (mut i, mut j) = (0, 0);
    loop {
        let next = match (left.get(i), right.get(j)) {
            (Some(a), Some(b)) if a.amount == b.amount => {
                (i, j) = (i + 1, j + 1);
                if b.better(a) { *b } else { *a }
            }
            (Some(a), Some(b)) if b.amount < a.amount => {
                j += 1;
                *b
            }
            (Some(a), _) => {
                i += 1;
                *a
            }
            (None, Some(b)) => {
                j += 1;
                *b
            }
            (None, None) => break,
        };
        if merged.len() == MOST_SUMS {
            *certain_to = merged.last().map_or(0, |s| s.amount).min(*certain_to);
            break;
        }
        merged.push(next);
    }
    merged
}
