//! Best-first branching on the week's counts, each node bounded by cutting planes on the multipliers.

use super::day_price::SCALE;
use super::day_table::NEVER;
use super::master::{Blend, Master};
use super::multipliers::Layout;
use super::relaxation::{Evaluation, Ranges, Relaxation, points_up};
use crate::plan::model::{Instance, Slot};

/// A part of the space of weeks.
pub(super) struct Node {
    /// No week of this part costs less (ticks).
    pub(super) floor: i64,
    pub(super) ranges: Ranges,
    /// The multipliers of the best bound so far, in points.
    centre: Vec<f64>,
    /// How far from the centre towards the linear programme's duals the next evaluation lies.
    mix: f64,
    /// How far the multipliers of the links may move from the centre, in points.
    width: f64,
}

/// What became of a node.
pub(super) enum Outcome {
    /// Nothing in it is better than the incumbent.
    Closed,
    /// It may be split in two.
    Split(Box<Node>, Box<Node>),
    /// It is as tight as it gets and nothing is left to branch on.
    Stuck,
    /// The work ran out.
    Paused,
}

/// The search for a bound.
pub(super) struct Tree<'a> {
    pub(super) relaxation: Relaxation<'a>,
    master: Master,
    /// Points of the incumbent: only better weeks are of interest.
    upper: i64,
    /// Evaluations so far.
    pub(super) evaluations: u64,
    work_max: u64,
}

/// How often a node is bounded anew before it is split.
const ROUNDS_ROOT: u32 = 120;
const ROUNDS_CHILD: u32 = 12;
/// Most nodes of one day's pricing.
const PRICING_NODES: u64 = 4000;
/// And where it did not do.
const PRICING_NODES_MOST: u64 = 64_000;

impl<'a> Tree<'a> {
    pub(super) fn new(instance: &'a Instance, upper: i64, days: &[Vec<Slot>], work_max: u64) -> Self {
        let relaxation = Relaxation::new(instance);
        let mut master = Master::new(&relaxation);
        for (k, kind) in relaxation.kinds.iter().enumerate() {
            for &d in &kind.days {
                if let Some(lines) = days.get(d) {
                    let mut lines = lines.clone();
                    lines.sort_unstable();
                    master.add_day(&relaxation, k, &lines);
                }
            }
        }
        Self { relaxation, master, upper, evaluations: 0, work_max }
    }

    pub(super) fn work(&self) -> u64 {
        let rows = self.master.simplex.rows() as u64;
        self.relaxation.work + self.master.simplex.pivots * (rows * rows / 2 + 5000)
    }

    /// The node of all weeks.
    pub(super) fn root(&self) -> Node {
        let i = self.relaxation.instance;
        Node {
            floor: i64::MIN,
            ranges: Ranges::whole(i),
            centre: guess(i, &self.relaxation.layout, self.relaxation.kinds.len()),
            mix: 0.3,
            width: 2000.0,
        }
    }

    /// Tightens a node's bound, then says how to go on. `control` is asked before each evaluation.
    pub(super) fn process(&mut self, node: &mut Node, control: &mut dyn FnMut(i64, u64) -> bool) -> Outcome {
        let rounds = if node.floor == i64::MIN { ROUNDS_ROOT } else { ROUNDS_CHILD };
        let instance = self.relaxation.instance;
        if !node.ranges.propagate(instance) {
            return Outcome::Closed;
        }
        self.master.hold(&node.ranges);
        let mut pricing_nodes = PRICING_NODES;
        let mut stalled = 0;
        let mut round = 0;
        while round < rounds {
            if self.closed(node) {
                return Outcome::Closed;
            }
            if node.floor > i64::MIN && (self.work() >= self.work_max || !control(node.floor, self.work())) {
                return Outcome::Paused;
            }
            self.master.enclose(&node.centre, node.width);
            if !self.master.simplex.solve(5000) {
                if node.floor == i64::MIN {
                    let centre = node.centre.clone();
                    node.floor = self.evaluate(&centre, node, pricing_nodes).floor;
                }
                break;
            }
            let objective = self.master.objective(instance);
            if (objective - 0.5) * (SCALE as f64) <= node.floor as f64 {
                if self.master.is_stopped() && node.width < 1e6 {
                    node.width *= 4.0;
                    stalled = 0;
                    continue;
                }
                break;
            }
            let mut duals = node.centre.clone();
            self.master.duals(&self.relaxation, &mut duals);
            let point: Vec<f64> =
                node.centre.iter().zip(&duals).map(|(c, d)| c + node.mix * (d - c)).collect();
            let evaluation = self.evaluate(&point, node, pricing_nodes);
            round += 1;
            if evaluation.floor > node.floor {
                node.floor = evaluation.floor;
                node.centre = evaluation.at.iter().map(|&x| x as f64 / SCALE as f64).collect();
                node.mix = (node.mix * 1.15).min(0.95);
                if self.master.is_stopped() {
                    node.width *= 1.5;
                }
            } else {
                node.mix = (node.mix * 0.9).max(0.2);
                node.width = (node.width * 0.8).max(60.0);
            }
            if self.narrow(node, &evaluation) {
                if !node.ranges.propagate(instance) {
                    return Outcome::Closed;
                }
                self.master.hold(&node.ranges);
            }
            if self.learn(&evaluation, &duals, node) {
                stalled = 0;
            } else {
                stalled += 1;
                if stalled > 3 {
                    break;
                }
                if evaluation.days.iter().any(|d| d.nodes >= pricing_nodes) {
                    pricing_nodes = (2 * pricing_nodes).min(PRICING_NODES_MOST);
                } else {
                    node.mix = (node.mix * 2.0).min(1.0);
                }
            }
        }
        if self.closed(node) {
            return Outcome::Closed;
        }
        let blend = self.master.blend(instance);
        match self.split(node, &blend) {
            Some((a, b)) => Outcome::Split(Box::new(a), Box::new(b)),
            None => Outcome::Stuck,
        }
    }

    fn closed(&self, node: &Node) -> bool {
        node.floor > i64::MIN && points_up(node.floor) >= self.upper
    }

    fn evaluate(&mut self, point: &[f64], node: &Node, pricing_nodes: u64) -> Evaluation {
        self.evaluations += 1;
        let at = self.relaxation.multipliers(point, &self.master.active, &node.ranges);
        let hints: Vec<Vec<&[Slot]>> =
            self.master.pool.iter().map(|days| days.iter().map(Vec::as_slice).collect()).collect();
        let days = self.relaxation.instance.days.len() as i64;
        let gap = (SCALE * self.upper.min(1 << 40)).saturating_sub(node.floor.max(-(1 << 60)));
        let slack = (gap / (50 * days)).clamp(0, SCALE * 200);
        self.relaxation.evaluate(at, &node.ranges, &hints, slack, pricing_nodes)
    }

    /// Takes from the ranges what cannot be part of a better week. True when something changed.
    fn narrow(&self, node: &mut Node, evaluation: &Evaluation) -> bool {
        let mut changed = false;
        let beyond = |floor: i64| points_up(floor) >= self.upper;
        for (range, options) in node.ranges.sessions.iter_mut().zip(&evaluation.weeks) {
            let least = options.iter().map(|o| o.cost).min().unwrap_or(0);
            let out = |k: usize| beyond(evaluation.floor - least + options[k].cost);
            let (mut low, mut high) = (0, options.len() - 1);
            while high > low && out(high) {
                high -= 1;
            }
            while low < high && out(low) {
                low += 1;
            }
            let new = (options[low].sessions, options[high].sessions);
            changed |= new != *range;
            *range = new;
        }
        for g in 0..node.ranges.hits.len() {
            let range = node.ranges.hits[g];
            let costs: Vec<i64> = self.relaxation.hit_costs(&evaluation.at, g, range).collect();
            let least = costs.iter().copied().min().unwrap_or(0);
            let out = |k: i32| beyond(evaluation.floor - least + costs[(k - range.0) as usize]);
            let (mut low, mut high) = range;
            while high > low && out(high) {
                high -= 1;
            }
            while low < high && out(low) {
                low += 1;
            }
            changed |= (low, high) != range;
            node.ranges.hits[g] = (low, high);
        }
        changed
    }

    /// Adds the days and weeks that an evaluation found. True when the linear programme can change.
    fn learn(&mut self, evaluation: &Evaluation, duals: &[f64], node: &Node) -> bool {
        let instance = self.relaxation.instance;
        let mut any = false;
        for (kind, answer) in evaluation.days.iter().enumerate() {
            let few = answer.others.len().saturating_sub(3);
            for lines in answer.others[few..].iter().chain(std::iter::once(&answer.lines)) {
                let mut lines = lines.clone();
                lines.sort_unstable();
                any |= self.master.add_day(&self.relaxation, kind, &lines);
            }
        }
        let at = self.relaxation.layout.round(instance, &self.relaxation.kinds, duals);
        let layout = self.relaxation.layout;
        for m in 0..instance.movements.len() {
            if !self.master.active[m] || node.ranges.sessions[m].1 == 0 {
                continue;
            }
            let best = |options: &[super::movement_price::WeekOption]| {
                options.iter().copied().min_by_key(|o| o.cost)
            };
            let there = best(&evaluation.weeks[m]);
            let here = best(&self.relaxation.weeks.options(
                instance,
                &layout,
                &at,
                m,
                node.ranges.sessions[m],
                node.ranges.sets[m],
            ));
            for option in [there, here].into_iter().flatten() {
                if option.sessions > 0 && option.cost < NEVER {
                    any |= self.master.add_week(instance, m, option.sessions, option.sets);
                }
            }
        }
        any
    }

    /// The two halves of a node, split where the linear programme is least decided.
    fn split(&self, node: &Node, blend: &Blend) -> Option<(Node, Node)> {
        let i = self.relaxation.instance;
        let far = |x: f64| (x - x.floor()).min(x.ceil() - x);
        let mut best = (0.0, Branch::Sessions(0, 0));
        let mut offer = |score: f64, branch: Branch| {
            if score > best.0 {
                best = (score, branch);
            }
        };
        for (m, &(low, high)) in node.ranges.sessions.iter().enumerate() {
            let movement = &i.movements[m];
            let (least, most) = node.ranges.sets[m];
            if low == high && low > 0 && least < most {
                let mean = blend.sets[m];
                let at = (mean.floor() as i32).clamp(least, most - 1);
                offer((far(mean) + 0.001) * 600.0, Branch::Sets(m, at));
            }
            if low >= high || !self.master.active[m] {
                continue;
            }
            let weight =
                800.0 + f64::from(movement.use_price.max(0)) + 0.3 * f64::from(movement.session_price.max(0));
            if low == 0 {
                let used = blend.used[m].clamp(0.0, 1.0);
                let seldom = if blend.used[m] < 1e-6 { 0.001 } else { 1.0 };
                offer((far(used) + 0.01) * weight * seldom, Branch::Sessions(m, 0));
            } else {
                let mean = blend.sessions[m];
                let at = (mean.floor() as i32).clamp(low, high - 1);
                offer((far(mean) + 0.001) * weight, Branch::Sessions(m, at));
            }
        }
        for (g, &(low, high)) in node.ranges.hits.iter().enumerate() {
            if low < high && i.muscles[g].days_wanted > 0 {
                let at = (blend.hits[g].floor() as i32).clamp(low, high - 1);
                offer(far(blend.hits[g]) * 0.3 * f64::from(i.prices.day_missing), Branch::Hits(g, at));
            }
        }
        for (k, &(low, high)) in node.ranges.groups.iter().enumerate() {
            if low < high {
                let at = (blend.groups[k].floor() as i32).clamp(low, high - 1);
                offer(far(blend.groups[k]) * 0.2 * f64::from(i.prices.group_missing), Branch::Groups(k, at));
            }
        }
        if best.0 <= 0.0 {
            let m = node.ranges.sessions.iter().position(|r| r.0 < r.1)?;
            best = (1.0, Branch::Sessions(m, node.ranges.sessions[m].0));
        }
        let child = |high: bool| {
            let mut ranges = node.ranges.clone();
            let (range, at) = match best.1 {
                Branch::Sessions(m, at) => (&mut ranges.sessions[m], at),
                Branch::Sets(m, at) => (&mut ranges.sets[m], at),
                Branch::Hits(g, at) => (&mut ranges.hits[g], at),
                Branch::Groups(k, at) => (&mut ranges.groups[k], at),
            };
            *range = if high { (at + 1, range.1) } else { (range.0, at) };
            Node { floor: node.floor, ranges, centre: node.centre.clone(), mix: 0.6, width: 500.0 }
        };
        Some((child(false), child(true)))
    }
}

#[derive(Debug, Clone, Copy)]
enum Branch {
    Sessions(usize, i32),
    Sets(usize, i32),
    Hits(usize, i32),
    Groups(usize, i32),
}

/// Multipliers to start from.
fn guess(instance: &Instance, layout: &Layout, kinds: usize) -> Vec<f64> {
    let mut point = vec![0.0; layout.len()];
    for (g, m) in instance.muscles.iter().enumerate() {
        point[layout.minimum(g)] = 0.3 * f64::from(m.below_minimum);
        point[layout.target(g)] = 0.8 * f64::from(m.below_target);
        if m.days_wanted > 0 {
            point[layout.hit(g)] = 0.3 * f64::from(instance.prices.day_missing);
        }
    }
    for k in 0..instance.groups.len() {
        point[layout.group(k)] = 0.5 * f64::from(instance.prices.group_missing);
    }
    for k in 0..kinds {
        point[layout.longest(k)] = f64::from(instance.prices.longest) / instance.days.len() as f64;
    }
    point
}
