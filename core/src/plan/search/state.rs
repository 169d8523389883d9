//! A week under change: every elementary change keeps the score and the limits up to date.

use super::feasible::Rules;
use super::ranges::Ranges;
use crate::plan::model::{HeavyClass, Instance, Side, Slot, Week};

/// Most lines of a day while moves are tried; limits allow fewer.
const LINES: usize = 14;
/// Most muscle groups.
const MUSCLES: usize = 24;
/// Most patterns.
const PATTERNS: usize = 32;
/// Most base groups.
const GROUPS: usize = 8;

/// A movement's numbers, packed for speed.
#[derive(Debug, Clone)]
struct Packed {
    set_s: i32,
    fixed_s: i32,
    pattern: usize,
    group: Option<usize>,
    single_joint: i32,
    third: i32,
    compound: i32,
    trunk: i32,
    axial: i32,
    axial_three: i32,
    fatigue: i32,
    grip: i32,
    squat: i32,
    floor_pull: i32,
    push: i32,
    pull: i32,
    carrying: i32,
    pair: Option<usize>,
    set_price: i32,
    session_price: i32,
    use_price: i32,
    exposures_max: i32,
    exposures_wanted: i32,
    exposure_price: i32,
    trains: Vec<(usize, i32)>,
}

#[derive(Debug, Clone, Copy)]
struct DayState {
    slots: [Slot; LINES],
    len: usize,
    raw_s: i32,
    time_s: i32,
    axial: i32,
    fatigue: i32,
    grip: i32,
    axial_three: i32,
    single_joint: i32,
    compound: i32,
    trunk: i32,
    third_sets: i32,
    sets: i32,
    carrying: i32,
    squats: i32,
    floor_pulls: i32,
    by_class: [i32; 4],
    by_pattern: [i8; PATTERNS],
    pattern_over: i32,
    half_sets: [i32; MUSCLES],
    cap_over: i32,
}

/// A change that can be undone.
#[derive(Debug, Clone, Copy)]
struct Change {
    day: usize,
    movement: usize,
    from: i32,
    to: i32,
}

/// The week under change.
pub(super) struct State<'a> {
    pub(super) instance: &'a Instance,
    pub(super) ranges: &'a Ranges,
    packed: Vec<Packed>,
    near: Vec<Vec<usize>>,
    days: Vec<DayState>,
    half_sets: [i32; MUSCLES],
    muscle_days: [i32; MUSCLES],
    groups: [i32; GROUPS],
    exposures: Vec<i32>,
    exposures_over: i32,
    push: i32,
    pull: i32,
    /// Score but for the terms `longest` and `push_pull`.
    base: i64,
    changes: Vec<Change>,
}

impl<'a> State<'a> {
    /// An empty week (musts are not placed).
    ///
    /// Returns `None` when the instance is larger than this scorer is built for.
    pub(super) fn new(instance: &'a Instance, ranges: &'a Ranges) -> Option<Self> {
        let i = instance;
        if i.muscles.len() > MUSCLES || i.patterns.len() > PATTERNS || i.groups.len() > GROUPS {
            return None;
        }
        let empty = DayState {
            slots: [Slot { movement: 0, sets: 0 }; LINES],
            len: 0,
            raw_s: 0,
            time_s: 0,
            axial: 0,
            fatigue: 0,
            grip: 0,
            axial_three: 0,
            single_joint: 0,
            compound: 0,
            trunk: 0,
            third_sets: 0,
            sets: 0,
            carrying: 0,
            squats: 0,
            floor_pulls: 0,
            by_class: [0; 4],
            by_pattern: [0; PATTERNS],
            pattern_over: 0,
            half_sets: [0; MUSCLES],
            cap_over: 0,
        };
        let packed = i
            .movements
            .iter()
            .map(|m| Packed {
                set_s: m.set_s,
                fixed_s: m.fixed_s,
                pattern: m.pattern,
                group: m.group,
                single_joint: i32::from(m.single_joint),
                third: i32::from(m.counts_to_third),
                compound: i32::from(m.compound),
                trunk: i32::from(m.trunk),
                axial: m.axial,
                axial_three: i32::from(m.axial >= 3),
                fatigue: m.fatigue,
                grip: m.grip,
                squat: i32::from(m.heavy == HeavyClass::Squat),
                floor_pull: i32::from(m.heavy == HeavyClass::FloorPull),
                push: i32::from(m.side == Side::Push),
                pull: i32::from(m.side == Side::Pull),
                carrying: i32::from(m.carrying),
                pair: m.pair_class.slot(),
                set_price: m.set_price,
                session_price: m.session_price,
                use_price: m.use_price,
                exposures_max: m.exposures_max,
                exposures_wanted: m.exposures_wanted,
                exposure_price: m.exposure_price,
                trains: m.trains.iter().map(|t| (t.muscle, t.half_sets)).collect(),
            })
            .collect();
        let mut near = vec![Vec::new(); i.days.len()];
        for n in &i.near {
            near[n.first].push(n.second);
            near[n.second].push(n.first);
        }
        let base = crate::plan::model::score(i, &Week::empty(i.days.len())).total();
        Some(Self {
            instance,
            ranges,
            packed,
            near,
            days: vec![empty; i.days.len()],
            half_sets: [0; MUSCLES],
            muscle_days: [0; MUSCLES],
            groups: [0; GROUPS],
            exposures: vec![0; i.movements.len()],
            exposures_over: 0,
            push: 0,
            pull: 0,
            base,
            changes: Vec::with_capacity(64),
        })
    }

    /// Points of the week as it stands.
    #[inline]
    pub(super) fn points(&self) -> i64 {
        let p = &self.instance.prices;
        let longest = self.days.iter().map(|d| d.time_s).max().unwrap_or(0).max(0);
        let apart = (2 * self.push - 3 * self.pull).max(2 * self.pull - 3 * self.push).max(0);
        self.base + i64::from(p.longest) * i64::from(longest) + i64::from(p.push_pull) * i64::from(apart)
    }

    /// Whether `day` keeps every limit, and the week its limits on exposures.
    #[inline]
    pub(super) fn keeps(&self, day: usize) -> bool {
        let d = &self.days[day];
        let l = &self.instance.days[day];
        d.time_s <= l.time_s
            && d.len as i32 <= l.movements_max
            && d.pattern_over == 0
            && d.cap_over == 0
            && d.axial_three <= 1
            && (d.squats == 0 || d.floor_pulls == 0)
            && d.axial <= l.axial_max
            && d.fatigue <= l.fatigue_max
            && d.grip <= l.grip_max
            && d.single_joint <= l.single_joint_max
            && d.single_joint <= d.compound
            && d.trunk <= l.trunk_max
            && 3 * d.third_sets <= d.sets
            && self.exposures_over == 0
    }

    /// Whether `day` keeps the limits that only tighten as work is added.
    pub(super) fn keeps_growing(&self, day: usize, rules: Rules) -> bool {
        let d = &self.days[day];
        let l = &self.instance.days[day];
        d.time_s <= l.time_s
            && d.len as i32 <= l.movements_max
            && d.pattern_over == 0
            && d.cap_over == 0
            && (!rules.axial_three || d.axial_three <= 1)
            && (!rules.heavy_pair || d.squats == 0 || d.floor_pulls == 0)
            && d.axial <= l.axial_max
            && d.fatigue <= l.fatigue_max
            && d.grip <= l.grip_max
            && d.single_joint <= l.single_joint_max
            && d.trunk <= l.trunk_max
            && self.exposures_over == 0
    }

    /// Whether `day` keeps the limits on single-joint work that other work loosens.
    pub(super) fn keeps_ratios(&self, day: usize, rules: Rules) -> bool {
        let d = &self.days[day];
        (!rules.over_compounds || d.single_joint <= d.compound)
            && (!rules.third || 3 * d.third_sets <= d.sets)
    }

    /// Whether the seconds and lines left on `day` could bring its single-joint work into balance at all.
    pub(super) fn could_balance(&self, day: usize, rules: Rules) -> bool {
        let d = &self.days[day];
        let l = &self.instance.days[day];
        let compounds = if rules.over_compounds { (d.single_joint - d.compound).max(0) } else { 0 };
        let sets = if rules.third { (3 * d.third_sets - d.sets).max(0) } else { 0 };
        // A set in turn saves at most one pair's seconds.
        let least = |of: &dyn Fn(&Packed) -> i32| self.packed.iter().map(of).min().unwrap_or(0).max(0);
        let set_s = least(&|q| q.set_s - self.instance.prices.pair_saves_s);
        let left = i64::from(l.time_s) - i64::from(d.time_s);
        d.len as i32 + compounds <= l.movements_max && i64::from(set_s) * i64::from(sets) <= left
    }

    /// Whether two days have equal limits.
    pub(super) fn alike(&self, a: usize, b: usize) -> bool {
        use crate::plan::model::Day;
        let limits = |d: &Day| Day { weekday: 0, warm_up_s: 0, movements_wanted: 0, ..d.clone() };
        limits(&self.instance.days[a]) == limits(&self.instance.days[b])
    }

    /// Lines of a day.
    #[inline]
    pub(super) fn slots(&self, day: usize) -> &[Slot] {
        let d = &self.days[day];
        &d.slots[..d.len]
    }

    /// Whether one more line fits the scorer (not the limits).
    #[inline]
    pub(super) fn room(&self, day: usize) -> bool {
        self.days[day].len < LINES - 1
    }

    /// Whether a movement is on a day.
    #[inline]
    pub(super) fn has(&self, day: usize, movement: usize) -> bool {
        self.slots(day).iter().any(|s| s.movement == movement)
    }

    /// Sets of a movement on a day, 0 when it is not there.
    #[inline]
    pub(super) fn sets(&self, day: usize, movement: usize) -> i32 {
        self.slots(day).iter().find(|s| s.movement == movement).map_or(0, |s| s.sets)
    }

    /// Sessions of a movement.
    pub(super) fn exposures(&self, movement: usize) -> i32 {
        self.exposures[movement]
    }

    /// Half-sets that a muscle lacks to its target.
    #[inline]
    pub(super) fn lacks(&self, muscle: usize) -> i32 {
        self.instance.muscles[muscle].target - self.half_sets[muscle]
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
            self.apply(day, movement, from, to);
            self.changes.push(Change { day, movement, from, to });
        }
    }

    /// Forgets what could be undone.
    #[inline]
    pub(super) fn commit(&mut self) {
        self.changes.clear();
    }

    /// A mark to come back to.
    #[inline]
    pub(super) fn mark(&self) -> usize {
        self.changes.len()
    }

    /// Undoes every change since `mark`.
    #[inline]
    pub(super) fn undo_to(&mut self, mark: usize) {
        while self.changes.len() > mark {
            if let Some(c) = self.changes.pop() {
                self.apply(c.day, c.movement, c.to, c.from);
            }
        }
    }

    /// The week as it stands.
    pub(super) fn week(&self) -> Week {
        Week { days: (0..self.days.len()).map(|d| self.slots(d).to_vec()).collect() }
    }

    /// Makes the state hold `week`.
    pub(super) fn put(&mut self, week: &Week) {
        for d in 0..self.days.len() {
            while let Some(s) = self.slots(d).first().copied() {
                self.change(d, s.movement, 0);
            }
        }
        for (d, slots) in week.days.iter().enumerate() {
            for s in slots {
                self.change(d, s.movement, s.sets);
            }
        }
        self.commit();
    }

    fn apply(&mut self, day: usize, movement: usize, from: i32, to: i32) {
        let i = self.instance;
        let q = &self.packed[movement];
        let p = &i.prices;
        let sets = to - from;
        let lines = i32::from(to > 0) - i32::from(from > 0);
        let y = &mut self.days[day];
        let mut delta = q.set_price * sets + q.session_price * lines;

        if lines > 0 {
            y.slots[y.len] = Slot { movement, sets: to };
            y.len += 1;
        } else if let Some(k) = y.slots[..y.len].iter().position(|s| s.movement == movement) {
            if lines < 0 {
                y.len -= 1;
                y.slots[k] = y.slots[y.len];
            } else {
                y.slots[k].sets = to;
            }
        }
        if lines != 0 {
            let few = |len: i32| (i.days[day].movements_wanted - len).max(0);
            delta += p.few_movements * (few(y.len as i32) - few(y.len as i32 - lines));
            y.single_joint += lines * q.single_joint;
            y.compound += lines * q.compound;
            y.trunk += lines * q.trunk;
            y.axial_three += lines * q.axial_three;
            y.squats += lines * q.squat;
            y.floor_pulls += lines * q.floor_pull;
            let most = i.patterns[q.pattern].per_session_max;
            let had = i32::from(y.by_pattern[q.pattern]);
            y.by_pattern[q.pattern] = (had + lines) as i8;
            y.pattern_over += (had + lines - most).max(0) - (had - most).max(0);
            if q.carrying > 0 {
                let had = y.carrying;
                y.carrying += lines;
                delta += p.no_carrying * (i32::from(y.carrying == 0) - i32::from(had == 0));
            }
            let had = self.exposures[movement];
            let now = had + lines;
            self.exposures[movement] = now;
            delta += q.use_price * (i32::from(now > 0) - i32::from(had > 0));
            self.exposures_over += (now - q.exposures_max).max(0) - (had - q.exposures_max).max(0);
            delta +=
                q.exposure_price * ((q.exposures_wanted - now).max(0) - (q.exposures_wanted - had).max(0));
            if let Some(g) = q.group {
                let wanted = i.groups[g].exposures_wanted;
                let had = self.groups[g];
                self.groups[g] = had + lines;
                delta += p.group_missing * ((wanted - had - lines).max(0) - (wanted - had).max(0));
            }
        }
        let axial_was = y.axial;
        y.axial += q.axial * sets;
        y.fatigue += q.fatigue * sets;
        y.grip += q.grip * sets;
        y.third_sets += q.third * sets;
        y.sets += sets;
        self.push += q.push * sets;
        self.pull += q.pull * sets;
        y.raw_s += q.fixed_s * lines + q.set_s * sets;
        let time_was = y.time_s;
        if let Some(class) = q.pair {
            y.by_class[class] += sets;
        }
        y.time_s = if p.pair_saves_s > 0 { y.raw_s - i.pairs_save(y.by_class) } else { y.raw_s };
        delta += y.time_s - time_was;
        let axial_now = y.axial;

        if !self.near[day].is_empty() {
            let heavy = q.squat + q.floor_pull > 0 && lines != 0;
            for &e in &self.near[day] {
                let other = &self.days[e];
                let over = |axial: i32| (axial + other.axial - p.near_axial_free).max(0);
                delta += p.near_axial * (over(axial_now) - over(axial_was));
                if heavy {
                    let here = &self.days[day];
                    let crossed = |squats: i32, pulls: i32| {
                        i32::from((squats > 0 && other.floor_pulls > 0) || (pulls > 0 && other.squats > 0))
                    };
                    delta += p.near_heavy
                        * (crossed(here.squats, here.floor_pulls)
                            - crossed(
                                here.squats - lines * q.squat,
                                here.floor_pulls - lines * q.floor_pull,
                            ));
                }
            }
        }
        let mut points = i64::from(delta);
        for &(g, share) in &q.trains {
            let muscle = &i.muscles[g];
            let was = self.days[day].half_sets[g];
            let now = was + share * sets;
            self.days[day].half_sets[g] = now;
            self.days[day].cap_over +=
                i32::from(now > muscle.session_cap) - i32::from(was > muscle.session_cap);
            let week = self.half_sets[g];
            self.half_sets[g] = week + share * sets;
            let price = |h: i32| {
                muscle.below_minimum * (muscle.minimum - h).max(0)
                    + muscle.below_target * (muscle.target - h).max(0)
                    + muscle.above_maximum * (h - muscle.maximum).max(0)
            };
            points += i64::from(price(week + share * sets) - price(week));
            let hit = i32::from(now >= muscle.day_threshold) - i32::from(was >= muscle.day_threshold);
            if hit != 0 && muscle.days_wanted > 0 {
                let had = self.muscle_days[g];
                self.muscle_days[g] = had + hit;
                let missing = |days: i32| (muscle.days_wanted - days).max(0);
                points += i64::from(p.day_missing * (missing(had + hit) - missing(had)));
            }
            for &e in &self.near[day] {
                let free = p.near_muscle_free - self.days[e].half_sets[g];
                points += i64::from(p.near_muscle * ((now - free).max(0) - (was - free).max(0)));
            }
        }
        self.base += points;
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
                if random.below(4) == 0 {
                    state.undo_to(mark);
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
