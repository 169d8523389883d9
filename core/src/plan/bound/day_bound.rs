//! How a day's bound is made tight: what the table cannot see is priced, and the prices are moved.
//!
//! * **Limits** outside the table (a third, compounds, axial load, fatigue, grip, heavy pairs, muscles) get a
//!   price for each unit used, and the whole price of what there is back: for a day within its limits the two
//!   together are at most 0, so the bound stays one.
//! * A **pair** of sets saves seconds. The pairs are at most half of all sets, and at most all sets but those
//!   of one class; any mean of these bounds is a bound, and gives each set of a class a fixed part of a pair.
//! * A **muscle day's** reward is at most what is granted outright plus a part in proportion to
//!   `min(half_sets, threshold)`. The smaller the part, the less is counted twice.
//!
//! A second, plain table goes without the limits' prices, which are a hindrance where a limit has room left,
//! and follows one muscle exactly. The better of the two bounds holds.

use super::day_price::{Choice, DayPricer, LIMITS, PARTS, SCALE, Used};
use super::day_table::{DayTable, NEVER, Step, undominated};
use crate::plan::model::{Day, HeavyClass, Instance, Share};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Their usual size, for steps of like length.
const SIZES: [f64; LIMITS] = [8.0, 2.0, 20.0, 30.0, 15.0, 1.0, 1.0];
/// The usual size of a muscle's limit.
const MUSCLE_SIZE: f64 = 16.0;
/// Highest threshold of a muscle that the plain table follows.
const FOLLOWED_MOST: i32 = 8;

/// The bound that the table gave, with the shares, prices and ways of pairing that gave it.
type Tuned = (i64, Vec<f64>, Vec<i64>, [f64; 5]);

impl DayPricer<'_> {
    /// What a muscle with so many half-sets may be hoped to earn of its day's reward.
    pub(super) fn hope(&self, muscle: usize, half_sets: i32) -> i64 {
        let threshold = i64::from(self.instance.muscles[muscle].day_threshold);
        let reward = self.part[muscle];
        if reward <= 0 || threshold <= 0 {
            return 0;
        }
        let part = reward * i64::from(half_sets).min(threshold);
        part / threshold + i64::from(part % threshold != 0)
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
    pub(super) fn tighten(&mut self, start: &Used) -> (i64, u64) {
        let rounds = if self.laborious || self.diligent { 6 } else { 1 };
        let mut cells = 0;
        let mut best: Option<Tuned> = None;
        for round in 0..=rounds {
            if round == rounds {
                // The last round repeats the best.
                let Some((least, share, limit_price, pair_ways)) = best.take() else {
                    break;
                };
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
    pub(super) fn fill_table(&mut self, plain: bool) -> u64 {
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

    pub(super) fn bound(&self, block: usize, used: &Used) -> i64 {
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
        let of = |t: &&Share| Some(t.muscle) == self.followed;
        let share = self.instance.movements[choice.movement].trains.iter().find(of);
        share.map_or(0, |t| (t.half_sets * choice.sets) as usize)
    }

    /// The muscle whose reward the table's best completion hopes for most beyond what it earns.
    pub(super) fn most_hoped(&self) -> Option<usize> {
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
}

/// A number of sixteenths that is not negative, in wholes, rounded up.
pub(super) fn parts_up(x: i64) -> i64 {
    (x + PARTS - 1) / PARTS
}

/// What there is of each priced limit.
pub(super) fn available(instance: &Instance, day: &Day) -> Vec<i32> {
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
