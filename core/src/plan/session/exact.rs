//! The best choice of sets for a day's lines, exactly: depth first, with bounds from the day's price.

use super::day::{DayCost, Reach, Sums};
use crate::plan::model::{Limit, Movement, Slot};

/// A line whose sets are open.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub(super) movement: usize,
    /// Sets already done: facts.
    pub(super) done: i32,
    /// Sets in all that it may come to, the most first; 0 leaves it out.
    pub(super) options: Vec<i32>,
    /// Seconds of a set with its rest.
    pub(super) set_s: i32,
    /// Seconds still to spend on setting up and the whole ramp, once it starts.
    pub(super) fixed_s: i32,
    /// Points for bringing it in.
    pub(super) fee: i64,
}

/// What there is room for: the day's limits, or what facts already use where that is more.
#[derive(Debug, Clone)]
pub(super) struct Room {
    /// Seconds for what is still to be done.
    pub(super) time_s: i32,
    facts: Sums,
    half_sets: Vec<i32>,
    by_pattern: Vec<i32>,
    movements: i32,
    single_joint: i32,
    trunk: i32,
    axial: i32,
    fatigue: i32,
    grip: i32,
    /// The plan itself keeps single-joint movements under the compounds, and under a third of the sets.
    keeps_compounds: bool,
    keeps_third: bool,
}

impl Room {
    /// The room of a day whose facts and plan are given. Budgets that facts have used up are nought, never less.
    /// Where the published plan itself exceeds a limit on its make-up, the plan is the limit.
    pub(super) fn new(cost: &DayCost, facts: &Sums, plan: &Sums, time_s: i32) -> Self {
        let i = cost.instance();
        let d = &i.days[cost.day()];
        let caps = i.muscles.iter().enumerate();
        let patterns = i.patterns.iter().enumerate();
        Self {
            time_s,
            facts: *facts,
            half_sets: caps.map(|(g, m)| m.session_cap.max(facts.half_sets[g])).collect(),
            by_pattern: patterns
                .map(|(p, x)| x.per_session_max.max(i32::from(facts.by_pattern[p].max(plan.by_pattern[p]))))
                .collect(),
            movements: d.movements_max.max(facts.lines).max(plan.lines),
            single_joint: d.single_joint_max.max(facts.single_joint).max(plan.single_joint),
            trunk: d.trunk_max.max(facts.trunk).max(plan.trunk),
            axial: d.axial_max.max(facts.axial),
            fatigue: d.fatigue_max.max(facts.fatigue),
            grip: d.grip_max.max(facts.grip),
            keeps_compounds: plan.single_joint <= plan.compound,
            keeps_third: 3 * plan.third_sets <= plan.sets,
        }
    }

    /// Whether what is done is above a cap of the session.
    #[cfg(test)]
    pub(super) fn facts_exceed(&self, cost: &DayCost) -> bool {
        let caps = cost.instance().muscles.iter().map(|m| m.session_cap);
        caps.zip(&self.half_sets).any(|(cap, room)| *room > cap)
    }

    /// Room for one line more of this make-up: a line begun and then replaced is two lines of one place.
    pub(super) fn spare_line(&mut self, movement: &Movement) {
        self.movements += 1;
        self.by_pattern[movement.pattern] += 1;
        self.single_joint += i32::from(movement.single_joint);
        self.trunk += i32::from(movement.trunk);
    }

    /// Holds lines that stay as they are: a budget that they use up by themselves is nought for what comes beside
    /// them, and what asks nothing of it still has room.
    pub(super) fn hold(&mut self, held: &Sums) {
        self.axial = self.axial.max(held.axial);
        self.fatigue = self.fatigue.max(held.fatigue);
        self.grip = self.grip.max(held.grip);
        for (cap, used) in self.half_sets.iter_mut().zip(&held.half_sets) {
            *cap = (*cap).max(*used);
        }
    }

    /// The first limit broken that only grows with more work.
    #[inline]
    pub(super) fn over(&self, sums: &Sums, seconds: i32) -> Option<Limit> {
        let grown = sums.squats + sums.floor_pulls > self.facts.squats + self.facts.floor_pulls;
        let threes = sums.axial_three > self.facts.axial_three.max(1);
        let first = [
            (Limit::AxialThree, threes),
            (Limit::HeavyPair, grown && sums.squats > 0 && sums.floor_pulls > 0),
            (Limit::Axial, sums.axial > self.axial),
            (Limit::Fatigue, sums.fatigue > self.fatigue),
            (Limit::Grip, sums.grip > self.grip),
            (Limit::Time, seconds > self.time_s),
            (Limit::Movements, sums.lines > self.movements),
            (Limit::SingleJoint, sums.single_joint > self.single_joint),
            (Limit::Trunk, sums.trunk > self.trunk),
        ];
        if let Some((limit, _)) = first.into_iter().find(|(_, over)| *over) {
            return Some(limit);
        }
        for (g, cap) in self.half_sets.iter().enumerate() {
            if sums.half_sets[g] > *cap {
                return Some(Limit::Muscle(g));
            }
        }
        for (p, most) in self.by_pattern.iter().enumerate() {
            if i32::from(sums.by_pattern[p]) > *most {
                return Some(Limit::Pattern(p));
            }
        }
        None
    }

    /// The limit broken that more work could still mend.
    #[inline]
    pub(super) fn unmended(&self, sums: &Sums) -> Option<Limit> {
        if self.keeps_compounds && sums.single_joint > sums.compound.max(self.facts.single_joint) {
            return Some(Limit::SingleJointOverCompounds);
        }
        let third = 3 * sums.third_sets;
        (self.keeps_third && third > sums.sets.max(3 * self.facts.third_sets))
            .then_some(Limit::SingleJointThird)
    }
}

/// Seconds still to be spent, pairs of sets done in turn allowed for.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Left {
    raw_s: i32,
    by_class: [i32; 4],
}

impl Left {
    #[inline]
    pub(super) fn add(&mut self, cost: &DayCost, item: &Item, sets: i32) {
        let more = sets - item.done;
        if more <= 0 {
            return;
        }
        self.raw_s += item.fixed_s + item.set_s * more;
        if let Some(class) = cost.instance().movements[item.movement].pair_class.slot() {
            self.by_class[class] += more;
        }
    }

    #[inline]
    pub(super) fn seconds(&self, cost: &DayCost) -> i32 {
        self.raw_s - cost.instance().pairs_save(self.by_class)
    }
}

/// The best choice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Best {
    /// Sets in all of each item.
    pub(super) sets: Vec<i32>,
    /// Points with fees; `i64::MAX` when nothing keeps the limits.
    pub(super) points: i64,
    /// Proved: no choice is better.
    pub(super) exact: bool,
}

/// The choice with the fewest points. `nodes` bounds the work; within it the answer is exact.
pub(super) fn best(cost: &DayCost, items: &[Item], room: &Room, nodes: u64) -> Best {
    let n = items.len();
    let instance = cost.instance();
    let muscles = instance.muscles.len();
    let mut reach = vec![Reach::NOTHING; n + 1];
    let mut more = vec![vec![0; muscles]; n + 1];
    for k in (0..n).rev() {
        let m = items[k].movement;
        let own = |s: &i32| if *s > 0 { cost.own(Slot { movement: m, sets: *s }) + items[k].fee } else { 0 };
        reach[k] = reach[k + 1].with(instance, m, items[k].options.iter().map(own).min().unwrap_or(0));
        let after = more[k + 1].clone();
        more[k] = after;
        for t in &instance.movements[m].trains {
            more[k][t.muscle] += t.half_sets * items[k].options.iter().copied().max().unwrap_or(0);
        }
    }
    // For each depth and muscle the least points for each number of half-sets so far.
    let lowest: Vec<Vec<Vec<i64>>> = (0..=n)
        .map(|k| {
            (0..muscles)
                .map(|g| {
                    let top = room.half_sets[g];
                    let mut row = vec![i64::MAX; top as usize + 1];
                    for h in 0..=top {
                        let reach = (h + more[k][g]).min(top);
                        row[h as usize] = (h..=reach).map(|x| cost.muscle(g, x)).min().unwrap_or(i64::MAX);
                    }
                    row
                })
                .collect()
        })
        .collect();
    let mut search = Search {
        cost,
        items,
        room,
        reach,
        lowest,
        sets: vec![0; n],
        best: Best { sets: items.iter().map(|i| i.done).collect(), points: i64::MAX, exact: true },
        nodes,
    };
    search.go(0, &DayCost::empty(), Left::default(), 0);
    search.best
}

struct Search<'a> {
    cost: &'a DayCost<'a>,
    items: &'a [Item],
    room: &'a Room,
    reach: Vec<Reach>,
    lowest: Vec<Vec<Vec<i64>>>,
    sets: Vec<i32>,
    best: Best,
    nodes: u64,
}

impl Search<'_> {
    fn go(&mut self, k: usize, sums: &Sums, left: Left, fees: i64) {
        if self.nodes == 0 {
            self.best.exact = false;
            return;
        }
        self.nodes -= 1;
        let Some(item) = self.items.get(k) else {
            let points = self.cost.points(sums) + fees;
            if points < self.best.points && self.room.unmended(sums).is_none() {
                self.best.points = points;
                self.best.sets.clone_from(&self.sets);
            }
            return;
        };
        let muscles: i64 =
            self.lowest[k].iter().enumerate().map(|(g, row)| row[sums.half_sets[g] as usize]).sum();
        if muscles + self.cost.others_at_least(sums, &self.reach[k]) + fees >= self.best.points {
            return;
        }
        for &sets in &item.options {
            self.sets[k] = sets;
            if sets == 0 {
                self.go(k + 1, sums, left, fees);
                continue;
            }
            let (mut with, mut then) = (*sums, left);
            self.cost.add(&mut with, Slot { movement: item.movement, sets });
            then.add(self.cost, item, sets);
            if self.room.over(&with, then.seconds(self.cost)).is_none() {
                self.go(k + 1, &with, then, fees + item.fee);
            }
        }
        self.sets[k] = 0;
    }
}
