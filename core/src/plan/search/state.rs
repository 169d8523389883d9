//! A week under change: every elementary change keeps the score and the limits up to date.

use super::day::{DayState, LINES, Lanes, MUSCLES, PATTERNS, limits_of};
use super::feasible::Rules;
use super::packed::{Packed, PackedMuscle, pack, pack_muscle, price};
use super::ranges::Ranges;
use crate::plan::model::{Instance, Slot, Week};

/// Most base groups.
const GROUPS: usize = 8;
/// Most days.
const DAYS: usize = 14;

/// A change that can be undone.
#[derive(Debug, Clone, Copy)]
struct Change {
    day: usize,
    movement: usize,
    from: i32,
    to: i32,
}

/// Sums over the week.
#[derive(Debug, Clone, Copy)]
struct Sums {
    half_sets: [i16; MUSCLES],
    muscle_days: [i8; MUSCLES],
    groups: [i32; GROUPS],
    exposures_over: i32,
    push: i32,
    pull: i32,
    /// Score but for the terms `longest` and `push_pull`.
    base: i64,
}

/// The week under change.
///
/// A change updates the limits at once; the muscles are counted when the points are asked for, since most
/// proposals break a limit first. What was before the last commit is kept in copies.
pub(super) struct State<'a> {
    pub(super) instance: &'a Instance,
    pub(super) ranges: &'a Ranges,
    movements: Vec<Packed>,
    muscles: Vec<PackedMuscle>,
    limits: Vec<Lanes>,
    near: Vec<Vec<usize>>,
    days: Vec<DayState>,
    sums: Sums,
    /// Sets of each cell, day by day.
    cells: Vec<u8>,
    exposures: Vec<i32>,
    changes: Vec<Change>,
    /// Changes whose muscles are counted.
    counted: usize,
    committed_days: Vec<DayState>,
    committed_sums: Sums,
    /// Days changed since the commit, a bit for each.
    touched: u32,
}

impl<'a> State<'a> {
    /// An empty week (musts are not placed).
    ///
    /// Returns `None` when the instance is larger than this scorer is built for.
    pub(super) fn new(instance: &'a Instance, ranges: &'a Ranges) -> Option<Self> {
        let i = instance;
        let narrow = |v: i32| (0..=100).contains(&v);
        let fits = i.muscles.len() <= MUSCLES
            && i.patterns.len() <= PATTERNS
            && i.groups.len() <= GROUPS
            && i.days.len() <= DAYS
            && i.movements.len() < 65_536
            && ranges.most() <= 20
            && i.movements.iter().all(|m| {
                narrow(m.axial)
                    && narrow(m.fatigue)
                    && narrow(m.grip)
                    && m.trains.iter().all(|t| (0..=8).contains(&t.half_sets))
            });
        if !fits {
            return None;
        }
        let mut near = vec![Vec::new(); i.days.len()];
        for n in &i.near {
            near[n.first].push(n.second);
            near[n.second].push(n.first);
        }
        let sums = Sums {
            half_sets: [0; MUSCLES],
            muscle_days: [0; MUSCLES],
            groups: [0; GROUPS],
            exposures_over: 0,
            push: 0,
            pull: 0,
            base: crate::plan::model::score(i, &Week::empty(i.days.len())).total(),
        };
        Some(Self {
            instance,
            ranges,
            movements: pack(i),
            muscles: (0..i.muscles.len()).map(|g| pack_muscle(i, g)).collect(),
            limits: i.days.iter().map(limits_of).collect(),
            near,
            days: vec![DayState::EMPTY; i.days.len()],
            sums,
            cells: vec![0; i.days.len() * i.movements.len()],
            exposures: vec![0; i.movements.len()],
            changes: Vec::with_capacity(64),
            counted: 0,
            committed_days: vec![DayState::EMPTY; i.days.len()],
            committed_sums: sums,
            touched: 0,
        })
    }

    /// Points of the week as it stands.
    #[inline]
    pub(super) fn points(&mut self) -> i64 {
        self.count();
        let p = &self.instance.prices;
        let s = &self.sums;
        let longest = self.days.iter().map(|d| d.time_s).max().unwrap_or(0).max(0);
        let apart = (2 * s.push - 3 * s.pull).max(2 * s.pull - 3 * s.push).max(0);
        s.base + i64::from(p.longest) * i64::from(longest) + i64::from(p.push_pull) * i64::from(apart)
    }

    /// Whether `day` keeps every limit, and the week its limits on exposures.
    #[inline]
    pub(super) fn keeps(&mut self, day: usize) -> bool {
        let d = &self.days[day];
        if d.time_s > self.instance.days[day].time_s
            || d.pattern_over > 0
            || self.sums.exposures_over > 0
            || !d.within(&self.limits[day])
            || (d.has_squat() && d.has_floor_pull())
        {
            return false;
        }
        self.count();
        self.days[day].cap_over == 0
    }

    /// Whether `day` keeps the limits that only tighten as work is added.
    pub(super) fn keeps_growing(&mut self, day: usize, rules: Rules) -> bool {
        let d = &self.days[day];
        if d.time_s > self.instance.days[day].time_s
            || d.pattern_over > 0
            || self.sums.exposures_over > 0
            || !d.within_growing(&self.limits[day], rules.axial_three)
            || (rules.heavy_pair && d.has_squat() && d.has_floor_pull())
        {
            return false;
        }
        self.count();
        self.days[day].cap_over == 0
    }

    /// Whether `day` keeps the limits on single-joint work that other work loosens.
    pub(super) fn keeps_ratios(&self, day: usize, rules: Rules) -> bool {
        let d = &self.days[day];
        (!rules.over_compounds || d.single_joint_over_compounds() <= 0)
            && (!rules.third || d.over_third() <= 0)
    }

    /// Whether the seconds and lines left on `day` could bring its single-joint work into balance at all.
    pub(super) fn could_balance(&self, day: usize, rules: Rules) -> bool {
        let d = &self.days[day];
        let l = &self.instance.days[day];
        let compounds = if rules.over_compounds { d.single_joint_over_compounds().max(0) } else { 0 };
        let sets = if rules.third { d.over_third().max(0) } else { 0 };
        // A set in turn saves at most one pair's seconds.
        let shortest = self.instance.movements.iter().map(|m| m.set_s).min().unwrap_or(0);
        let set_s = (shortest - self.instance.prices.pair_saves_s).max(0);
        let left = i64::from(l.time_s) - i64::from(d.time_s);
        d.len() as i32 + compounds <= l.movements_max && i64::from(set_s) * i64::from(sets) <= left
    }

    /// Whether two days have equal limits.
    pub(super) fn alike(&self, a: usize, b: usize) -> bool {
        use crate::plan::model::Day;
        let limits = |d: &Day| Day { weekday: 0, warm_up_s: 0, movements_wanted: 0, ..d.clone() };
        limits(&self.instance.days[a]) == limits(&self.instance.days[b])
    }

    /// Whether every day keeps every limit.
    pub(super) fn keeps_all(&mut self) -> bool {
        (0..self.days.len()).all(|d| self.keeps(d))
    }

    /// How many lines a day has.
    #[inline]
    pub(super) fn lines(&self, day: usize) -> usize {
        self.days[day].len()
    }

    /// Line `k` of a day.
    #[inline]
    pub(super) fn slot(&self, day: usize, k: usize) -> Slot {
        self.days[day].slot(k)
    }

    /// Whether one more line fits the scorer (not the limits).
    #[inline]
    pub(super) fn room(&self, day: usize) -> bool {
        self.lines(day) < LINES - 1
    }

    /// Whether a movement is on a day.
    #[inline]
    pub(super) fn has(&self, day: usize, movement: usize) -> bool {
        self.sets(day, movement) > 0
    }

    /// Sets of a movement on a day, 0 when it is not there.
    #[inline]
    pub(super) fn sets(&self, day: usize, movement: usize) -> i32 {
        i32::from(self.cells[day * self.movements.len() + movement])
    }

    /// Sessions of a movement.
    pub(super) fn exposures(&self, movement: usize) -> i32 {
        self.exposures[movement]
    }

    /// Half-sets that a muscle lacks to its target, as of the last count.
    #[inline]
    pub(super) fn lacks(&self, muscle: usize) -> i32 {
        self.instance.muscles[muscle].target - i32::from(self.sums.half_sets[muscle])
    }

    /// Seconds by which a day is too long.
    #[inline]
    pub(super) fn over_time(&self, day: usize) -> i32 {
        self.days[day].time_s - self.instance.days[day].time_s
    }

    /// Sets a cell to `to` sets (0 takes the line out). The only way in which the state changes.
    #[inline]
    pub(super) fn change(&mut self, day: usize, movement: usize, to: i32) {
        let from = self.sets(day, movement);
        if from != to {
            if self.touched == 0 {
                self.committed_sums = self.sums;
            }
            if self.touched & (1 << day) == 0 {
                self.touched |= 1 << day;
                self.committed_days[day] = self.days[day];
            }
            let change = Change { day, movement, from, to };
            self.apply(change);
            self.changes.push(change);
        }
    }

    /// Forgets what could be undone.
    #[inline]
    pub(super) fn commit(&mut self) {
        self.count();
        self.changes.clear();
        self.counted = 0;
        self.touched = 0;
    }

    /// A mark to come back to.
    #[inline]
    pub(super) fn mark(&self) -> usize {
        self.changes.len()
    }

    /// Undoes every change since `mark`.
    pub(super) fn undo_to(&mut self, mark: usize) {
        while self.changes.len() > mark {
            if let Some(c) = self.changes.pop() {
                let back = Change { from: c.to, to: c.from, ..c };
                self.apply(back);
                if self.counted > self.changes.len() {
                    self.counted = self.changes.len();
                    self.count_one(back);
                }
            }
        }
    }

    /// Undoes every change since the commit, from the copies.
    #[inline]
    pub(super) fn undo(&mut self) {
        if self.touched == 0 {
            return;
        }
        while let Some(c) = self.changes.pop() {
            self.cells[c.day * self.movements.len() + c.movement] = c.from as u8;
            self.exposures[c.movement] += i32::from(c.from > 0) - i32::from(c.to > 0);
        }
        self.counted = 0;
        self.sums = self.committed_sums;
        while self.touched != 0 {
            let day = self.touched.trailing_zeros() as usize;
            self.touched &= self.touched - 1;
            self.days[day] = self.committed_days[day];
        }
    }

    /// The week as it stands.
    pub(super) fn week(&self) -> Week {
        Week { days: self.days.iter().map(|d| (0..d.len()).map(|k| d.slot(k)).collect()).collect() }
    }

    /// Makes the state hold `week`.
    pub(super) fn put(&mut self, week: &Week) {
        for d in 0..self.days.len() {
            while self.lines(d) > 0 {
                self.change(d, self.slot(d, 0).movement, 0);
            }
        }
        for (d, slots) in week.days.iter().enumerate() {
            for s in slots {
                self.change(d, s.movement, s.sets);
            }
        }
        self.commit();
    }

    /// Brings the day, its limits and all terms but those of the muscles up to date.
    fn apply(&mut self, change: Change) {
        let i = self.instance;
        let p = &i.prices;
        let q = &self.movements[change.movement];
        let sets = change.to - change.from;
        let lines = i32::from(change.to > 0) - i32::from(change.from > 0);
        let today = &mut self.days[change.day];
        let was =
            (today.len() as i32, today.carrying(), today.axial(), today.has_squat(), today.has_floor_pull());
        self.cells[change.day * self.movements.len() + change.movement] = change.to as u8;
        today.add(&q.line, &q.set, change.movement, change.from, change.to);
        let mut delta = q.set_price * sets;
        if lines != 0 {
            delta += q.session_price * lines;
            let few = |len: i32| (i.days[change.day].movements_wanted - len).max(0);
            delta += p.few_movements * (few(was.0 + lines) - few(was.0));
            delta += p.no_carrying * (i32::from(today.carrying() == 0) - i32::from(was.1 == 0));
            let had = i32::from(today.by_pattern[q.pattern]);
            today.by_pattern[q.pattern] = (had + lines) as i8;
            today.pattern_over += (had + lines - q.most_of_pattern).max(0) - (had - q.most_of_pattern).max(0);
            let had = self.exposures[change.movement];
            let now = had + lines;
            self.exposures[change.movement] = now;
            delta += q.use_price * (i32::from(now > 0) - i32::from(had > 0));
            self.sums.exposures_over += (now - q.exposures_max).max(0) - (had - q.exposures_max).max(0);
            delta +=
                q.exposure_price * ((q.exposures_wanted - now).max(0) - (q.exposures_wanted - had).max(0));
            if let Some(g) = q.group {
                let wanted = i.groups[g].exposures_wanted;
                let had = self.sums.groups[g];
                self.sums.groups[g] = had + lines;
                delta += p.group_missing * ((wanted - had - lines).max(0) - (wanted - had).max(0));
            }
        }
        self.sums.push += q.push * sets;
        self.sums.pull += q.pull * sets;
        today.raw_s += q.fixed_s * lines + q.set_s * sets;
        let time_was = today.time_s;
        today.time_s = if p.pair_saves_s > 0 { today.raw_s - today.pairs_save(i) } else { today.raw_s };
        delta += today.time_s - time_was;
        if !self.near[change.day].is_empty() {
            let here = &self.days[change.day];
            for &e in &self.near[change.day] {
                let other = &self.days[e];
                let over = |axial: i32| (axial + other.axial() - p.near_axial_free).max(0);
                delta += p.near_axial * (over(here.axial()) - over(was.2));
                if q.heavy {
                    let crossed = |squat: bool, pull: bool| {
                        i32::from((squat && other.has_floor_pull()) || (pull && other.has_squat()))
                    };
                    delta += p.near_heavy
                        * (crossed(here.has_squat(), here.has_floor_pull()) - crossed(was.3, was.4));
                }
            }
        }
        self.sums.base += i64::from(delta);
    }

    /// Counts the muscles of the changes that are not counted yet.
    #[inline]
    fn count(&mut self) {
        while self.counted < self.changes.len() {
            let change = self.changes[self.counted];
            self.counted += 1;
            self.count_one(change);
        }
    }

    fn count_one(&mut self, c: Change) {
        let i = self.instance;
        let sets = (c.to - c.from) as i16;
        let mut points = 0;
        for &(g, share) in &self.movements[c.movement].trains {
            let muscle = &self.muscles[g];
            let y = &mut self.days[c.day];
            let was = y.half_sets[g];
            let now = was + share * sets;
            y.half_sets[g] = now;
            y.cap_over += i32::from(now > muscle.cap) - i32::from(was > muscle.cap);
            let week = self.sums.half_sets[g];
            let week_now = week + share * sets;
            self.sums.half_sets[g] = week_now;
            let price = |h: i16| match muscle.table.get(h as usize) {
                Some(price) => *price,
                None => price(i, g, i32::from(h)),
            };
            points += price(week_now) - price(week);
            let hit = i32::from(now >= muscle.threshold) - i32::from(was >= muscle.threshold);
            if hit != 0 {
                let had = i32::from(self.sums.muscle_days[g]);
                self.sums.muscle_days[g] = (had + hit) as i8;
                let missing = |days: i32| (muscle.days_wanted - days).max(0);
                points += i.prices.day_missing * (missing(had + hit) - missing(had));
            }
            for &e in &self.near[c.day] {
                let free = i.prices.near_muscle_free - i32::from(self.days[e].half_sets[g]);
                points +=
                    i.prices.near_muscle * ((i32::from(now) - free).max(0) - (i32::from(was) - free).max(0));
            }
        }
        self.sums.base += i64::from(points);
    }
}

#[cfg(test)]
mod tests {
    use super::super::random::Random;
    use super::*;
    use crate::plan::model::{broken_limits, score};
    use crate::plan::testing::instances;

    /// The fast scorer and the plain one must agree after every change of a long random walk.
    #[test]
    fn the_running_score_equals_the_plain_score() {
        for (k, instance) in instances().iter().enumerate() {
            let ranges = Ranges::free(instance);
            let mut state = State::new(instance, &ranges).expect("small enough");
            let mut random = Random::new(k as u64);
            for step in 0..400 {
                let day = random.below(instance.days.len());
                let movement = random.below(instance.movements.len());
                let mark = state.mark();
                if state.has(day, movement) || state.room(day) {
                    state.change(day, movement, random.below(6) as i32);
                }
                match random.below(6) {
                    0 => state.undo_to(mark),
                    1 => state.undo(),
                    2 => state.commit(),
                    _ => {}
                }
                if step % 10 == 0 {
                    let week = state.week();
                    assert_eq!(state.points(), score(instance, &week).total());
                    let kept = (0..instance.days.len()).all(|d| state.keeps(d));
                    let broken = broken_limits(instance, &week)
                        .iter()
                        .any(|(_, l)| *l != crate::plan::model::Limit::SetsRange);
                    assert_eq!(kept, !broken);
                }
            }
        }
    }
}
