//! The search of a day's lines: best first, each set of lines bounded by the tables.
//!
//! A branch that is left for want of nodes, or because it could improve by less than the caller's slack,
//! lowers the floor that is returned.

use super::day_price::{Choice, DayPricer, PARTS, SCALE, Used};
use crate::plan::model::{HeavyClass, Slot};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Most partial days held at a time, for memory's sake.
const PARTIALS_MAX: usize = 60_000;
/// Every so many partial days are followed to a whole one.
const DIVE_EVERY: u32 = 4;

/// A node of the search: the lines of its parent and one more.
#[derive(Debug, Clone, Copy)]
struct Partial {
    used: Used,
    bound: i64,
    /// First block that it may still choose from.
    block: u32,
    parent: u32,
    /// Block and number of its last choice.
    line: Option<(u32, u32)>,
}

impl DayPricer<'_> {
    /// What is used with `choice` added, or `None` when a limit is broken.
    fn with(&self, used: &Used, choice: &Choice) -> Option<Used> {
        let m = &self.instance.movements[choice.movement];
        let mut next = *used;
        next.movements += 1;
        next.single += i32::from(m.single_joint);
        next.compound += i32::from(m.compound);
        next.trunk += i32::from(m.trunk);
        next.carrying |= m.carrying;
        next.squat |= m.heavy == HeavyClass::Squat;
        next.floor_pull |= m.heavy == HeavyClass::FloorPull;
        next.axial_three |= m.axial >= 3;
        next.axial += m.axial * choice.sets;
        next.fatigue += m.fatigue * choice.sets;
        next.grip += m.grip * choice.sets;
        next.third += if m.counts_to_third { 3 * choice.sets } else { 0 };
        next.sets += choice.sets;
        next.time += choice.time;
        next.pairs += choice.pairs;
        next.plain_time += choice.plain_time;
        next.plain_pairs += choice.plain_pairs;
        next.cost += choice.cost;
        next.limits += choice.limits;
        let d = self.day;
        let broken = next.movements > d.movements_max
            || next.single > d.single_joint_max
            || next.trunk > d.trunk_max
            || (next.squat && next.floor_pull)
            || (used.axial_three && m.axial >= 3)
            || next.axial > d.axial_max
            || next.fatigue > d.fatigue_max
            || next.grip > d.grip_max
            || next.time.max(next.plain_time) > PARTS * i64::from(d.time_s);
        if broken {
            return None;
        }
        for t in &m.trains {
            let before = self.half_sets[t.muscle];
            let after = before + t.half_sets * choice.sets;
            if after > self.instance.muscles[t.muscle].session_cap {
                return None;
            }
            next.earned += self.hope(t.muscle, after) - self.hope(t.muscle, before);
            if Some(t.muscle) == self.followed {
                next.followed = after;
            }
        }
        Some(next)
    }

    /// Best first over sets of lines, with a dive to a whole day now and then.
    pub(super) fn explore(&mut self, start: &Used) {
        let bound = self.bound(0, start);
        let mut tree = vec![Partial { used: *start, bound, block: 0, parent: 0, line: None }];
        let mut open = BinaryHeap::from([Reverse((bound, 0))]);
        let mut pops = 0u32;
        while let Some(Reverse((bound, at))) = open.pop() {
            let full = self.nodes >= self.nodes_max || tree.len() >= PARTIALS_MAX;
            if bound >= self.best - self.slack || full {
                self.leave(bound);
                break;
            }
            pops += 1;
            let mut next = Some((bound, at));
            while let Some((bound, at)) = next.take() {
                let from = tree.len();
                let best = self.expand(&mut tree, at, bound);
                let dive = pops.is_multiple_of(DIVE_EVERY);
                for (child, partial) in tree.iter().enumerate().skip(from) {
                    if dive && Some(child) == best {
                        next = Some((partial.bound, child));
                    } else {
                        open.push(Reverse((partial.bound, child)));
                    }
                }
            }
        }
    }

    /// Notes that days of at least this cost were not looked at.
    fn leave(&mut self, bound: i64) {
        if bound < self.best {
            self.open = self.open.min(bound);
        }
    }

    /// Finishes a node as a whole day, and adds its children to the tree. Returns the most hopeful.
    fn expand(&mut self, tree: &mut Vec<Partial>, at: usize, bound: i64) -> Option<usize> {
        self.gather(tree, at);
        let Partial { used, block, line, .. } = tree[at];
        self.finish(&used);
        let mut evaluated = 1;
        let mut best: Option<(i64, usize)> = None;
        for b in block as usize..self.choices.len() {
            // Whatever is left out until here, the rest costs at least this.
            let rest = self.bound(b, &used);
            if rest >= self.best - self.slack {
                self.leave(rest);
                break;
            }
            let follows = line
                .filter(|&(last, _)| last as usize + 1 == b)
                .map(|(l, k)| self.choices[l as usize][k as usize].movement);
            if self.repeats[b] && follows.is_none() {
                continue;
            }
            for k in 0..self.choices[b].len() {
                let choice = &self.choices[b][k];
                if self.repeats[b] && follows.is_some_and(|last| choice.movement >= last) {
                    continue;
                }
                evaluated += 1;
                let Some(next) = self.with(&used, choice) else {
                    continue;
                };
                let bound = self.bound(b + 1, &next).max(bound);
                if bound >= self.best - self.slack {
                    self.leave(bound);
                    continue;
                }
                if best.is_none_or(|(least, _)| bound < least) {
                    best = Some((bound, tree.len()));
                }
                tree.push(Partial {
                    used: next,
                    bound,
                    block: b as u32 + 1,
                    parent: at as u32,
                    line: Some((b as u32, k as u32)),
                });
            }
        }
        self.evaluated += evaluated;
        self.nodes = self.evaluated / 4;
        best.map(|(_, child)| child)
    }

    /// Puts a node's lines and half-sets where [`DayPricer::finish`] and [`DayPricer::with`] look for them.
    fn gather(&mut self, tree: &[Partial], mut at: usize) {
        self.half_sets.fill(0);
        self.chosen.clear();
        while let Some((b, k)) = tree[at].line {
            let choice = self.choices[b as usize][k as usize];
            self.train(&choice);
            self.chosen.push(Slot { movement: choice.movement, sets: choice.sets });
            at = tree[at].parent as usize;
        }
    }

    fn train(&mut self, choice: &Choice) {
        for t in &self.instance.movements[choice.movement].trains {
            self.half_sets[t.muscle] += t.half_sets * choice.sets;
        }
    }

    /// A whole day: the limits that only a whole day can break, and its exact cost.
    fn finish(&mut self, used: &Used) {
        if used.single > used.compound || used.third > used.sets {
            return;
        }
        let i = self.instance;
        let mut by_class = [0; 4];
        let mut seconds = 0;
        for line in &self.chosen {
            let m = &i.movements[line.movement];
            seconds += m.fixed_s + m.set_s * line.sets;
            if let Some(class) = m.pair_class.slot() {
                by_class[class] += line.sets;
            }
        }
        let saved = i.pairs_save(by_class);
        if seconds - saved > self.day.time_s {
            return;
        }
        let lacking = (self.day.movements_wanted - used.movements).max(0);
        let pairs = self.pair / i64::from(i.prices.pair_saves_s.max(1)) * i64::from(saved);
        let mut cost = used.cost - pairs + SCALE * i64::from(i.prices.few_movements) * i64::from(lacking);
        if !used.carrying {
            cost += SCALE * i64::from(i.prices.no_carrying);
        }
        for (g, muscle) in i.muscles.iter().enumerate() {
            if muscle.day_threshold > 0 && self.half_sets[g] >= muscle.day_threshold {
                cost -= self.hit[g];
            }
        }
        if cost < self.best {
            self.best = cost;
            let old = std::mem::replace(&mut self.lines, self.chosen.clone());
            self.others.push(old);
        }
    }
}
