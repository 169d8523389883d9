//! The exact price of one day: the cheapest set of lines within the day's hard limits, under given prices.
//!
//! Choices lie in blocks (a pattern, once for each movement it may place in a session). [`super::day_table`]
//! bounds what the remaining blocks can add, [`super::day_bound`] makes that bound tight, and
//! [`super::day_search`] goes through the sets of lines. Nothing is lost to rounding: costs are integers
//! (ticks), every rounding in a bound goes down, and a whole day is priced exactly.

use super::day_bound::available;
use super::day_table::{DayTable, NEVER, Step};
use crate::plan::model::{Day, HeavyClass, Instance, Slot};

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
    /// Nodes of the search, in fours of lines tried.
    pub nodes: u64,
    /// Cells of the table.
    pub cells: u64,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Choice {
    pub(super) movement: usize,
    pub(super) sets: i32,
    pub(super) sets_s: i64,
    /// Sixteenths of a second, its part of the hoped-for pairs taken off.
    pub(super) time: i64,
    /// Sixteenths of a pair that the bound grants it.
    pub(super) pairs: i64,
    /// Time with half a pair for each pairable set.
    pub(super) plain_time: i64,
    /// Half a pair for each pairable set, in sixteenths.
    pub(super) plain_pairs: i64,
    /// Cost with no pair and no muscle day.
    pub(super) cost: i64,
    /// Cost as the bound sees it: every pair, muscle days in proportion, limits priced.
    pub(super) hopeful: i64,
    /// What it uses of each priced limit but the muscles'.
    pub(super) uses: [i32; LIMITS],
    /// The priced limits' cost of it.
    pub(super) limits: i64,
}

/// Limits that the table cannot see and the bound prices, before those of the muscles: single-joint sets
/// against a third, single-joint movements against compounds, axial load, fatigue, grip, movements of the
/// highest axial load, heavy squats and pulls.
pub(super) const LIMITS: usize = 7;
/// Divisions of the day's time in the priced table.
const BUCKETS: i64 = 96;
/// And in the plain one, which also follows a muscle.
const BUCKETS_PLAIN: i64 = 48;
/// Parts of a second, and of a pair, that the bound counts in.
pub(super) const PARTS: i64 = 16;

/// What a prefix of a day has used.
#[allow(clippy::struct_excessive_bools)] // each limit has its own
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Used {
    pub(super) movements: i32,
    pub(super) single: i32,
    pub(super) compound: i32,
    pub(super) trunk: i32,
    pub(super) carrying: bool,
    pub(super) axial_three: bool,
    pub(super) squat: bool,
    pub(super) floor_pull: bool,
    pub(super) axial: i32,
    pub(super) fatigue: i32,
    pub(super) grip: i32,
    pub(super) third: i32,
    pub(super) sets: i32,
    /// Half-sets of the muscle followed.
    pub(super) followed: i32,
    pub(super) time: i64,
    pub(super) pairs: i64,
    pub(super) plain_time: i64,
    pub(super) plain_pairs: i64,
    pub(super) cost: i64,
    pub(super) earned: i64,
    pub(super) limits: i64,
}

/// Prices days of one kind.
#[allow(clippy::struct_excessive_bools)] // independent switches
pub struct DayPricer<'a> {
    pub(super) instance: &'a Instance,
    pub(super) day: &'a Day,
    /// Movements of each block, and whether it repeats the block before it.
    pub(super) blocks: Vec<(Vec<usize>, bool)>,
    pub(super) disjoint: bool,
    pub(super) table: DayTable,
    /// The same without the limits' prices, which is better where a limit has room left, and with the days of
    /// one muscle exact.
    pub(super) plain: DayTable,
    pub(super) has_plain: bool,
    /// The muscle whose days the plain table has exactly.
    pub(super) followed: Option<usize>,
    pub(super) choices: Vec<Vec<Choice>>,
    pub(super) repeats: Vec<bool>,
    pub(super) hit: Vec<i64>,
    /// The part of a muscle day's reward that is granted in proportion; the rest is granted outright.
    pub(super) part: Vec<i64>,
    /// `part` as a share of the reward, kept from one pricing to the next.
    pub(super) share: Vec<f64>,
    /// Price of each limit's use (ticks for a unit), kept from one pricing to the next.
    pub(super) limit_price: Vec<i64>,
    /// What there is of each limit.
    pub(super) available: Vec<i32>,
    /// Weights of the ways to bound the pairs: half of all sets, or all sets but those of one class.
    pub(super) pair_ways: [f64; 5],
    /// What the bound grants of the limits' prices whatever the day holds.
    pub(super) granted: i64,
    /// And of the muscle days' rewards.
    pub(super) granted_days: i64,
    /// The last pricing took many nodes, so that the next spends more on its bound.
    pub(super) laborious: bool,
    pub(super) diligent: bool,
    pub(super) steps: Vec<Vec<Step>>,
    pub(super) spans: Vec<usize>,
    pub(super) pair: i64,
    pub(super) half_sets: Vec<i32>,
    pub(super) chosen: Vec<Slot>,
    pub(super) best: i64,
    pub(super) open: i64,
    pub(super) slack: i64,
    pub(super) lines: Vec<Slot>,
    pub(super) others: Vec<Vec<Slot>>,
    pub(super) nodes: u64,
    pub(super) nodes_max: u64,
    pub(super) evaluated: u64,
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
