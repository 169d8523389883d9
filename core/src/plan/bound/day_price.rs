//! The exact price of one day: the cheapest set of lines within the day's hard limits, under given prices.
//!
//! Depth-first over blocks (a pattern, once for each movement it may place in a session), each child bounded
//! by [`DayTable`]. What the table cannot see is kept optimistic in the bound and exact at the leaf:
//! * a **pair** of sets saves `pair_saves_s`; the bound grants half a saving to every pairable set, and
//!   `min(total / 2, total - most) <= total / 2`;
//! * a **muscle day** earns its reward at its threshold; the bound grants it in proportion to
//!   `min(half_sets, threshold)`, rounded up, which is subadditive.
//!
//! Nothing is lost to rounding: costs are integers (ticks), and a branch that is left for
//! want of nodes, or because it could improve by less than the caller's slack, lowers the floor returned.

use super::day_table::{DayTable, NEVER, Step, undominated};
use crate::plan::model::{Day, HeavyClass, Instance, Slot};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// Ticks in a point: a multiple of every number of days up to seven, so that a share of the longest session is
/// a whole number of ticks a second.
pub const SCALE: i64 = 840;

/// Prices of a day beyond the instance's own, in ticks.
#[derive(Debug, Clone, Default)]
pub struct DayPrices {
    /// For each session of each movement.
    pub session: Vec<i64>,
    /// For each set of each movement.
    pub set: Vec<i64>,
    /// For each second of the day's lines (the point that the instance asks included); not negative.
    pub second: i64,
    /// Reward for each muscle that reaches its day's threshold; may be negative.
    pub hit: Vec<i64>,
}

/// What pricing a day gave.
#[derive(Debug, Clone)]
pub struct DayAnswer {
    /// No day within the limits costs less (ticks).
    pub floor: i64,
    /// Cost of the best day found (ticks).
    pub best: i64,
    /// The best day found.
    pub lines: Vec<Slot>,
    /// Other days found on the way, the better the later.
    pub others: Vec<Vec<Slot>>,
    /// Nodes of the depth-first search.
    pub nodes: u64,
    /// Cells of the table.
    pub cells: u64,
}

#[derive(Debug, Clone, Copy)]
struct Choice {
    movement: usize,
    sets: i32,
    sets_s: i64,
    /// Sixteenths of a second, its part of the hoped-for pairs taken off.
    time: i64,
    /// Sixteenths of a pair that the bound grants it.
    pairs: i64,
    /// Time with half a pair for each pairable set.
    plain_time: i64,
    /// Half a pair for each pairable set, in sixteenths.
    plain_pairs: i64,
    /// Cost with no pair and no muscle day.
    cost: i64,
    /// Cost as the bound sees it: every pair, muscle days in proportion, limits priced.
    hopeful: i64,
    /// What it uses of each priced limit but the muscles'.
    uses: [i32; LIMITS],
    /// The priced limits' cost of it.
    limits: i64,
}

/// Limits that the table cannot see and the bound prices, before those of the muscles: single-joint sets
/// against a third, single-joint movements against compounds, axial load, fatigue, grip, movements of the
/// highest axial load, heavy squats and pulls.
const LIMITS: usize = 7;
/// Their usual size, for steps of like length.
const SIZES: [f64; LIMITS] = [8.0, 2.0, 20.0, 30.0, 15.0, 1.0, 1.0];
/// The usual size of a muscle's limit.
const MUSCLE_SIZE: f64 = 16.0;
/// Divisions of the day's time in the priced table.
const BUCKETS: i64 = 96;
/// And in the plain one, which also follows a muscle.
const BUCKETS_PLAIN: i64 = 48;
/// Highest threshold of a muscle that the plain table follows.
const FOLLOWED_MOST: i32 = 8;
/// Most partial days held at a time, for memory's sake.
const PARTIALS_MAX: usize = 60_000;
/// Every so many partial days are followed to a whole one.
const DIVE_EVERY: u32 = 4;
/// Parts of a second, and of a pair, that the bound counts in.
const PARTS: i64 = 16;

/// What a prefix of a day has used.
#[derive(Debug, Clone, Copy, Default)]
struct Used {
    movements: i32,
    single: i32,
    compound: i32,
    trunk: i32,
    carrying: bool,
    axial_three: bool,
    squat: bool,
    floor_pull: bool,
    axial: i32,
    fatigue: i32,
    grip: i32,
    third: i32,
    sets: i32,
    /// Half-sets of the muscle followed.
    followed: i32,
    time: i64,
    pairs: i64,
    plain_time: i64,
    plain_pairs: i64,
    cost: i64,
    earned: i64,
    limits: i64,
}

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

/// Prices days of one kind.
pub struct DayPricer<'a> {
    instance: &'a Instance,
    day: &'a Day,
    /// Movements of each block, and whether it repeats the block before it.
    blocks: Vec<(Vec<usize>, bool)>,
    disjoint: bool,
    table: DayTable,
    /// The same without the limits' prices, which is better where a limit has room left, and with the days of
    /// one muscle exact.
    plain: DayTable,
    has_plain: bool,
    /// The muscle whose days the plain table has exactly.
    followed: Option<usize>,
    choices: Vec<Vec<Choice>>,
    repeats: Vec<bool>,
    hit: Vec<i64>,
    /// The part of a muscle day's reward that is granted in proportion; the rest is granted outright.
    part: Vec<i64>,
    /// `part` as a share of the reward, kept from one pricing to the next.
    share: Vec<f64>,
    /// Price of each limit's use (ticks for a unit), kept from one pricing to the next.
    limit_price: Vec<i64>,
    /// What there is of each limit.
    available: Vec<i32>,
    /// Weights of the ways to bound the pairs: half of all sets, or all sets but those of one class.
    pair_ways: [f64; 5],
    /// What the bound grants of the limits' prices whatever the day holds.
    granted: i64,
    /// And of the muscle days' rewards.
    granted_days: i64,
    /// The last pricing took many nodes, so that the next spends more on its bound.
    laborious: bool,
    diligent: bool,
    steps: Vec<Vec<Step>>,
    spans: Vec<usize>,
    pair: i64,
    half_sets: Vec<i32>,
    chosen: Vec<Slot>,
    best: i64,
    open: i64,
    slack: i64,
    lines: Vec<Slot>,
    others: Vec<Vec<Slot>>,
    nodes: u64,
    nodes_max: u64,
    evaluated: u64,
}

impl<'a> DayPricer<'a> {
    /// A pricer for days with the limits of `day`.
    pub fn new(instance: &'a Instance, day: &'a Day) -> Self {
        let mut blocks = Vec::new();
        let mut trunk = Vec::new();
        for (p, pattern) in instance.patterns.iter().enumerate() {
            let members: Vec<usize> =
                (0..instance.movements.len()).filter(|&m| instance.movements[m].pattern == p).collect();
            let copies = pattern.per_session_max.min(members.len() as i32).min(day.movements_max);
            if copies <= 0 {
                continue;
            }
            if day.trunk_max <= 1 && members.iter().all(|&m| instance.movements[m].trunk) {
                trunk.extend(members);
                continue;
            }
            for copy in 0..copies {
                blocks.push((members.clone(), copy > 0));
            }
        }
        // At most one of them fits into the day, whatever its pattern.
        if !trunk.is_empty() && day.trunk_max == 1 && day.movements_max > 0 {
            blocks.push((trunk, false));
        }
        let disjoint = !instance.movements.iter().any(|m| m.single_joint && m.compound);
        Self {
            instance,
            day,
            blocks,
            disjoint,
            table: DayTable::new(day.time_s, BUCKETS, day.movements_max, day.single_joint_max),
            plain: DayTable::new(day.time_s, BUCKETS_PLAIN, day.movements_max, day.single_joint_max),
            has_plain: false,
            followed: None,
            choices: Vec::new(),
            repeats: Vec::new(),
            hit: Vec::new(),
            part: Vec::new(),
            share: vec![1.0; instance.muscles.len()],
            limit_price: vec![0; LIMITS + instance.muscles.len()],
            available: available(instance, day),
            pair_ways: [1.0, 0.0, 0.0, 0.0, 0.0],
            granted: 0,
            granted_days: 0,
            laborious: false,
            diligent: false,
            steps: Vec::new(),
            spans: Vec::new(),
            pair: 0,
            half_sets: vec![0; instance.muscles.len()],
            chosen: Vec::new(),
            best: 0,
            open: NEVER,
            slack: 0,
            lines: Vec::new(),
            others: Vec::new(),
            nodes: 0,
            nodes_max: 0,
            evaluated: 0,
        }
    }

    /// Always spends on the bound what otherwise only hard days get.
    #[must_use]
    pub fn diligent(mut self) -> Self {
        self.diligent = true;
        self
    }

    /// The exact cost of `lines` on this day (ticks).
    pub fn cost(&self, prices: &DayPrices, lines: &[Slot]) -> i64 {
        let i = self.instance;
        let mut seconds = 0i64;
        let mut by_class = [0; 4];
        let mut carrying = false;
        let lacking = (self.day.movements_wanted - lines.len() as i32).max(0);
        let mut cost = SCALE * i64::from(i.prices.few_movements) * i64::from(lacking);
        for line in lines {
            let m = &i.movements[line.movement];
            let sets = i64::from(line.sets);
            cost += SCALE * i64::from(m.session_price) + prices.session[line.movement];
            cost += (SCALE * i64::from(m.set_price) + prices.set[line.movement]) * sets;
            seconds += i64::from(m.fixed_s) + i64::from(m.set_s) * sets;
            carrying |= m.carrying;
            if let Some(class) = m.pair_class.slot() {
                by_class[class] += line.sets;
            }
        }
        seconds -= i64::from(i.pairs_save(by_class));
        cost += prices.second * seconds;
        if !carrying {
            cost += SCALE * i64::from(i.prices.no_carrying);
        }
        for (g, muscle) in i.muscles.iter().enumerate() {
            if prices.hit[g] != 0 && half_sets(i, lines, g) >= muscle.day_threshold {
                cost -= prices.hit[g];
            }
        }
        cost
    }

    /// Prices the day. Only movements that are `allowed` are used; `hints` are days known to be within the
    /// limits. The floor is at most `slack` below the best day unless `nodes_max` ran out.
    pub fn price(
        &mut self,
        prices: &DayPrices,
        allowed: &[bool],
        hints: &[&[Slot]],
        slack: i64,
        nodes_max: u64,
    ) -> DayAnswer {
        self.best = self.cost(prices, &[]);
        self.lines.clear();
        self.others.clear();
        for hint in hints {
            if hint.iter().all(|line| allowed[line.movement]) {
                let cost = self.cost(prices, hint);
                if cost < self.best {
                    self.best = cost;
                    self.lines = hint.to_vec();
                }
            }
        }
        self.open = NEVER;
        self.slack = slack;
        self.nodes = 0;
        self.evaluated = 0;
        self.nodes_max = nodes_max;
        self.pair = prices.second * i64::from(self.instance.prices.pair_saves_s);
        self.hit.clone_from(&prices.hit);
        self.list_choices(prices, allowed);
        self.half_sets.fill(0);
        self.chosen.clear();
        // A threshold that the empty day meets pays always.
        let mut start = Used::default();
        for (g, muscle) in self.instance.muscles.iter().enumerate() {
            if muscle.day_threshold <= 0 {
                start.cost -= self.hit[g];
            }
        }
        self.has_plain = false;
        let (mut least, mut cells) = self.tighten(&start);
        self.followed = self.most_hoped();
        let other = self.limit_price.iter().any(|&price| price > 0)
            || self.pair_ways[0] < 1.0
            || self.followed.is_some();
        if least < self.best - self.slack && other {
            let most = self.followed.map_or(0, |g| self.instance.muscles[g].day_threshold as usize);
            self.plain.follow(most);
            cells += self.fill_table(true);
            self.has_plain = true;
            least = least.max(self.bound(0, &start));
        }
        if least < self.best - self.slack {
            self.explore(&start);
        } else {
            self.open = least;
        }
        self.laborious = self.nodes > 100;
        DayAnswer {
            floor: self.best.min(self.open.max(least)),
            best: self.best,
            lines: self.lines.clone(),
            others: std::mem::take(&mut self.others),
            nodes: self.nodes,
            cells,
        }
    }

    /// What a muscle with so many half-sets may be hoped to earn of its day's reward.
    fn hope(&self, muscle: usize, half_sets: i32) -> i64 {
        let threshold = i64::from(self.instance.muscles[muscle].day_threshold);
        let reward = self.part[muscle];
        if reward <= 0 || threshold <= 0 {
            return 0;
        }
        let part = reward * i64::from(half_sets).min(threshold);
        part / threshold + i64::from(part % threshold != 0)
    }

    /// Every choice of every block, the most hopeful first, and the most hopeful block first.
    fn list_choices(&mut self, prices: &DayPrices, allowed: &[bool]) {
        let i = self.instance;
        let mut listed: Vec<(i64, usize, Vec<Choice>, bool)> = Vec::with_capacity(self.blocks.len());
        for (at, (members, repeats)) in self.blocks.iter().enumerate() {
            if *repeats {
                let (key, copy, choices) =
                    listed.last().map_or((0, at, Vec::new()), |l| (l.0, l.1, l.2.clone()));
                listed.push((key, copy, choices, true));
                continue;
            }
            let mut choices = Vec::new();
            for &m in members.iter().filter(|&&m| allowed[m]) {
                let movement = &i.movements[m];
                for sets in movement.sets_min..=movement.sets_max {
                    if !self.fits_alone(m, sets) {
                        continue;
                    }
                    let n = i64::from(sets);
                    let seconds = i64::from(movement.fixed_s) + i64::from(movement.set_s) * n;
                    let cost = SCALE * i64::from(movement.session_price)
                        + prices.session[m]
                        + (SCALE * i64::from(movement.set_price) + prices.set[m]) * n
                        + prices.second * seconds;
                    choices.push(Choice {
                        movement: m,
                        sets,
                        sets_s: seconds,
                        time: 0,
                        pairs: 0,
                        plain_time: 0,
                        plain_pairs: 0,
                        cost,
                        hopeful: cost,
                        limits: 0,
                        uses: [
                            if movement.counts_to_third { 2 * sets } else { -sets },
                            i32::from(movement.single_joint) - i32::from(movement.compound),
                            movement.axial * sets,
                            movement.fatigue * sets,
                            movement.grip * sets,
                            i32::from(movement.axial >= 3),
                            i32::from(movement.heavy != HeavyClass::None),
                        ],
                    });
                }
            }
            let key = choices.iter().map(|c| c.cost).min().unwrap_or(NEVER);
            listed.push((key, at, choices, false));
        }
        listed.retain(|l| !l.2.is_empty());
        listed.sort_by_key(|l| (l.0, l.1, l.3));
        self.choices.clear();
        self.repeats.clear();
        for (_, _, choices, repeats) in listed {
            self.choices.push(choices);
            self.repeats.push(repeats);
        }
    }

    fn fits_alone(&self, movement: usize, sets: i32) -> bool {
        let m = &self.instance.movements[movement];
        m.axial * sets <= self.day.axial_max
            && m.fatigue * sets <= self.day.fatigue_max
            && m.grip * sets <= self.day.grip_max
    }

    /// Sets the bound's costs of the choices from the shares and prices as they are.
    fn price_choices(&mut self) {
        let i = self.instance;
        self.part = self
            .hit
            .iter()
            .zip(&self.share)
            .map(|(&hit, share)| ((hit.max(0) as f64 * share) as i64).clamp(0, hit.max(0)))
            .collect();
        self.granted_days = 0;
        for (g, muscle) in i.muscles.iter().enumerate() {
            if muscle.day_threshold > 0 {
                self.granted_days += self.hit[g].max(0) - self.part[g];
            }
        }
        self.granted = 0;
        for (price, available) in self.limit_price.iter().zip(&self.available) {
            self.granted += price * i64::from(*available);
        }
        let saves = i64::from(i.prices.pair_saves_s);
        // A set's part of a pair, by class; rounded up, which grants more.
        let ways = &self.pair_ways;
        let others: f64 = ways[1..].iter().sum();
        let part = [1, 2, 3, 4]
            .map(|c| ((PARTS as f64 * (ways[0] / 2.0 + others - ways[c])).ceil() as i64).clamp(0, PARTS));
        let mut all = std::mem::take(&mut self.choices);
        for choice in all.iter_mut().flatten() {
            let m = &i.movements[choice.movement];
            choice.pairs = m.pair_class.slot().map_or(0, |c| part[c] * i64::from(choice.sets));
            choice.time = (PARTS * choice.sets_s - saves * choice.pairs).max(0);
            choice.plain_pairs = m.pair_class.slot().map_or(0, |_| PARTS / 2 * i64::from(choice.sets));
            choice.plain_time = (PARTS * choice.sets_s - saves * choice.plain_pairs).max(0);
            let fixed = self.limit_price.iter().zip(choice.uses).map(|(price, uses)| price * i64::from(uses));
            choice.limits = fixed.sum();
            let mut hope = 0;
            for t in &m.trains {
                let half_sets = t.half_sets * choice.sets;
                hope += self.hope(t.muscle, half_sets);
                choice.limits += self.limit_price[LIMITS + t.muscle] * i64::from(half_sets);
            }
            choice.hopeful = choice.cost - hope - parts_up(self.pair * choice.pairs) + choice.limits;
        }
        self.choices = all;
    }

    /// Fills the table, and moves shares and prices so that its bound rises. Returns the bound that the
    /// table now gives, and the cells computed.
    ///
    /// For a day within the limits, pricing a limit's use and granting its whole price back adds at most 0.
    /// A muscle day's reward is at most what is granted outright plus the proportional part, since that part
    /// counts in full from the threshold on; the smaller the part, the less is counted twice.
    fn tighten(&mut self, start: &Used) -> (i64, u64) {
        let rounds = if self.laborious || self.diligent { 6 } else { 1 };
        let mut cells = 0;
        let mut best: Option<(i64, Vec<f64>, Vec<i64>, [f64; 5])> = None;
        for round in 0..=rounds {
            if round == rounds {
                // The last round repeats the best.
                let Some((least, share, limit_price, pair_ways)) = best.take() else { break };
                if round == 1 {
                    return (least, cells);
                }
                self.share = share;
                self.limit_price = limit_price;
                self.pair_ways = pair_ways;
            }
            self.price_choices();
            cells += self.fill_table(false);
            let least = self.bound(0, start);
            if round == rounds || least >= self.best - self.slack {
                return (least, cells);
            }
            if best.as_ref().is_none_or(|b| least > b.0) {
                best = Some((least, self.share.clone(), self.limit_price.clone(), self.pair_ways));
            }
            if round + 1 < rounds {
                self.step(least, round);
            }
        }
        (self.bound(0, start), cells)
    }

    /// One step up the bound, of the length that would reach the best day if the bound were linear.
    fn step(&mut self, least: i64, round: usize) {
        let i = self.instance;
        let mut uses = vec![0.0; self.limit_price.len()];
        let mut counted = vec![0.0; i.muscles.len()];
        let mut by_class = [0.0f64; 4];
        let path = self.table.cheapest(&self.steps, &self.spans);
        let placed = path.iter().flat_map(|&(b, k)| {
            let step = &self.steps[b][k];
            [Some(step.choice), step.second].into_iter().flatten().map(move |c| (b, c))
        });
        for (b, c) in placed {
            let choice = &self.choices[b][c];
            for (sum, use_) in uses.iter_mut().zip(choice.uses) {
                *sum += f64::from(use_);
            }
            let m = &i.movements[choice.movement];
            for t in &m.trains {
                let half_sets = f64::from(t.half_sets * choice.sets);
                let threshold = f64::from(i.muscles[t.muscle].day_threshold.max(1));
                counted[t.muscle] += (half_sets / threshold).min(1.0);
                uses[LIMITS + t.muscle] += half_sets;
            }
            if let Some(class) = m.pair_class.slot() {
                by_class[class] += f64::from(choice.sets);
            }
        }
        let size = |k: usize| SIZES.get(k).copied().unwrap_or(MUSCLE_SIZE);
        let mut square = 0.0;
        for (k, used) in uses.iter_mut().enumerate() {
            *used = (*used - f64::from(self.available[k])) / size(k);
            if *used < 0.0 && self.limit_price[k] == 0 {
                *used = 0.0;
            }
            square += *used * *used;
        }
        for (g, count) in counted.iter_mut().enumerate() {
            *count = 1.0 - *count;
            let stuck = (*count > 0.0 && self.share[g] >= 1.0) || (*count < 0.0 && self.share[g] <= 0.0);
            if stuck || self.hit[g] <= 0 || i.muscles[g].day_threshold <= 0 {
                *count = 0.0;
            }
            square += *count * *count;
        }
        if self.pair > 0 {
            // Towards the way of bounding the pairs that is the least for these sets.
            let total: f64 = by_class.iter().sum();
            let mut least_way = (total / 2.0, 0);
            for (c, sets) in by_class.iter().enumerate() {
                if total - sets < least_way.0 {
                    least_way = (total - sets, c + 1);
                }
            }
            let stride = 0.5 / (1.0 + round as f64);
            for (w, weight) in self.pair_ways.iter_mut().enumerate() {
                let to = if w == least_way.1 { 1.0 } else { 0.0 };
                *weight += stride * (to - *weight);
            }
        }
        if square < 1e-9 {
            return;
        }
        let length = (self.best - least) as f64 / square;
        for (k, used) in uses.iter().enumerate() {
            let price = self.limit_price[k] as f64 + length * used / size(k);
            self.limit_price[k] = price.clamp(0.0, 1e9) as i64;
        }
        for (g, count) in counted.iter().enumerate() {
            if *count != 0.0 {
                self.share[g] = (self.share[g] + length * count / self.hit[g] as f64).clamp(0.0, 1.0);
            }
        }
    }

    /// Fills the table, with the limits' prices or without.
    fn fill_table(&mut self, plain: bool) -> u64 {
        let i = self.instance;
        let one = |choice: usize, c: &Choice| Step {
            movements: 1,
            singles: usize::from(i.movements[c.movement].single_joint),
            carrying: i.movements[c.movement].carrying,
            gain: if plain { self.gain(c) } else { 0 },
            bucket: if plain { self.plain.bucket(c.plain_time) } else { self.table.bucket(c.time) },
            cost: if plain {
                let followed = self.followed.map_or(0, |g| self.hope(g, self.gain(c) as i32));
                c.hopeful - c.limits + followed + parts_up(self.pair * c.pairs)
                    - parts_up(self.pair * c.plain_pairs)
            } else {
                c.hopeful
            },
            choice,
            second: None,
        };
        let blocks = self.choices.len();
        let mut spans = vec![1; blocks];
        for b in (0..blocks).rev() {
            if !self.repeats[b] {
                spans[b] = 1 + self.repeats[b + 1..].iter().take_while(|r| **r).count();
            }
        }
        let mut all: Vec<Vec<Step>> = Vec::with_capacity(blocks);
        for (choices, &span) in self.choices.iter().zip(&spans) {
            let ones: Vec<Step> = choices.iter().enumerate().map(|(k, c)| one(k, c)).collect();
            if span == 1 {
                all.push(undominated(ones));
                continue;
            }
            // Two different movements together, so that the bound does not place the best one twice.
            let mut by_movement: BTreeMap<usize, Vec<Step>> = BTreeMap::new();
            for step in &ones {
                by_movement.entry(choices[step.choice].movement).or_default().push(*step);
            }
            let by_movement: Vec<Vec<Step>> = by_movement.into_values().map(undominated).collect();
            let mut steps = ones;
            for (k, first) in by_movement.iter().enumerate() {
                for (a, b) in
                    first.iter().flat_map(|a| by_movement[..k].iter().flatten().map(move |b| (a, b)))
                {
                    steps.push(Step {
                        movements: 2,
                        singles: a.singles + b.singles,
                        carrying: a.carrying || b.carrying,
                        gain: a.gain + b.gain,
                        bucket: a.bucket + b.bucket,
                        cost: a.cost + b.cost,
                        choice: a.choice,
                        second: Some(b.choice),
                    });
                }
            }
            all.push(undominated(steps));
        }
        self.spans = spans;
        self.steps = all;
        let (day, disjoint) = (self.day, self.disjoint);
        let table = if plain { &mut self.plain } else { &mut self.table };
        let reward = self.followed.filter(|_| plain).map_or(0, |g| self.hit[g]);
        table.fill(&self.steps, &self.spans, &|full, carrying, singles, movements| {
            if disjoint && movements < 2 * singles {
                return NEVER;
            }
            let lacking = (day.movements_wanted - movements as i32).max(0);
            let few = i64::from(i.prices.few_movements) * i64::from(lacking);
            let carries = if carrying { 0 } else { i64::from(i.prices.no_carrying) };
            SCALE * (few + carries) - if full { reward } else { 0 }
        })
    }

    fn bound(&self, block: usize, used: &Used) -> i64 {
        let whole = PARTS * i64::from(self.day.time_s);
        let cell = |table: &DayTable, level: i32, time: i64| {
            let (singles, movements) = (used.single as usize, used.movements as usize);
            let state = table.state(level as usize, used.carrying, singles, movements);
            table.cell(block, state, table.bucket(whole - time))
        };
        let mut rest =
            used.limits - self.granted - parts_up(self.pair * used.pairs) + cell(&self.table, 0, used.time);
        if self.has_plain {
            // The muscle followed earns in the table what it earns in truth, so its hopes are taken back.
            let hopes = self.followed.map_or(0, |g| self.hope(g, used.followed) + self.hit[g] - self.part[g]);
            let plain = hopes - parts_up(self.pair * used.plain_pairs)
                + cell(&self.plain, used.followed, used.plain_time);
            rest = rest.max(plain);
        }
        used.cost - used.earned - self.granted_days + rest
    }

    /// Half-sets that a choice gives to the muscle followed.
    fn gain(&self, choice: &Choice) -> usize {
        let of = |t: &&crate::plan::model::Share| Some(t.muscle) == self.followed;
        let share = self.instance.movements[choice.movement].trains.iter().find(of);
        share.map_or(0, |t| (t.half_sets * choice.sets) as usize)
    }

    /// The muscle whose reward the table's best completion hopes for most beyond what it earns.
    fn most_hoped(&self) -> Option<usize> {
        let mut half_sets = vec![0; self.instance.muscles.len()];
        let mut hopes: Vec<i64> =
            self.hit.iter().zip(&self.part).map(|(hit, part)| hit.max(&0) - part).collect();
        for (b, k) in self.table.cheapest(&self.steps, &self.spans) {
            let step = &self.steps[b][k];
            for c in [Some(step.choice), step.second].into_iter().flatten() {
                let choice = &self.choices[b][c];
                for t in &self.instance.movements[choice.movement].trains {
                    half_sets[t.muscle] += t.half_sets * choice.sets;
                    hopes[t.muscle] += self.hope(t.muscle, t.half_sets * choice.sets);
                }
            }
        }
        let beyond = |g: usize| {
            let reached = half_sets[g] >= self.instance.muscles[g].day_threshold;
            hopes[g] - if reached { self.hit[g].max(0) } else { 0 }
        };
        (0..hopes.len())
            .filter(|&g| (1..=FOLLOWED_MOST).contains(&self.instance.muscles[g].day_threshold))
            .filter(|&g| self.hit[g] > 0 && beyond(g) > 0)
            .max_by_key(|&g| (beyond(g), Reverse(g)))
    }

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
    fn explore(&mut self, start: &Used) {
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
                let dive = pops % DIVE_EVERY == 0;
                for child in from..tree.len() {
                    let bound = tree[child].bound;
                    if dive && Some(child) == best {
                        next = Some((bound, child));
                    } else {
                        open.push(Reverse((bound, child)));
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
                let Some(next) = self.with(&used, choice) else { continue };
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

/// A number of sixteenths that is not negative, in wholes, rounded up.
fn parts_up(x: i64) -> i64 {
    (x + PARTS - 1) / PARTS
}

/// What there is of each priced limit.
fn available(instance: &Instance, day: &Day) -> Vec<i32> {
    // With one heavy squat at most and one heavy pull at most there can be one of them at most; where more
    // of a kind fit into a session, so many.
    let most = |heavy: HeavyClass| -> i32 {
        let of = |p: usize| {
            let of_pattern = instance.movements.iter().filter(|m| m.pattern == p && m.heavy == heavy);
            of_pattern.count() as i32
        };
        let patterns = instance.patterns.iter().enumerate();
        patterns.map(|(p, pattern)| of(p).min(pattern.per_session_max)).sum()
    };
    let heavy = most(HeavyClass::Squat).max(most(HeavyClass::FloorPull));
    let mut out = vec![0, 0, day.axial_max, day.fatigue_max, day.grip_max, 1, heavy];
    out.extend(instance.muscles.iter().map(|m| m.session_cap));
    out
}

fn half_sets(instance: &Instance, lines: &[Slot], muscle: usize) -> i32 {
    lines
        .iter()
        .flat_map(|l| {
            instance.movements[l.movement]
                .trains
                .iter()
                .filter(move |t| t.muscle == muscle)
                .map(move |t| t.half_sets * l.sets)
        })
        .sum()
}
