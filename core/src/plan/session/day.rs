//! One day with the others held fixed: its price by table look-up, and its sums for the limits.

use crate::plan::model::{HeavyClass, Instance, Side, Slot, Week};

/// Most muscle groups, patterns and base groups that the sums hold.
const MUSCLES: usize = 24;
const PATTERNS: usize = 32;
const GROUPS: usize = 8;
/// Half-sets of one muscle in a session that the tables reach; more cost the same again each.
const REACH: usize = 96;

/// What the lines of a day add up to.
#[derive(Debug, Clone, Copy)]
pub(in crate::plan) struct Sums {
    pub(in crate::plan) half_sets: [i32; MUSCLES],
    pub(in crate::plan) by_pattern: [i8; PATTERNS],
    groups: [i8; GROUPS],
    pub(in crate::plan) by_class: [i32; 4],
    pub(in crate::plan) raw_s: i32,
    pub(in crate::plan) lines: i32,
    pub(in crate::plan) sets: i32,
    pub(in crate::plan) axial: i32,
    pub(in crate::plan) axial_three: i32,
    pub(in crate::plan) fatigue: i32,
    pub(in crate::plan) grip: i32,
    pub(in crate::plan) single_joint: i32,
    pub(in crate::plan) compound: i32,
    pub(in crate::plan) trunk: i32,
    pub(in crate::plan) third_sets: i32,
    pub(in crate::plan) squats: i32,
    pub(in crate::plan) floor_pulls: i32,
    pub(in crate::plan) carrying: i32,
    push: i32,
    pull: i32,
    /// Points that lines and sets cost by themselves.
    own: i64,
}

impl Sums {
    const EMPTY: Self = Self {
        half_sets: [0; MUSCLES],
        by_pattern: [0; PATTERNS],
        groups: [0; GROUPS],
        by_class: [0; 4],
        raw_s: 0,
        lines: 0,
        sets: 0,
        axial: 0,
        axial_three: 0,
        fatigue: 0,
        grip: 0,
        single_joint: 0,
        compound: 0,
        trunk: 0,
        third_sets: 0,
        squats: 0,
        floor_pulls: 0,
        carrying: 0,
        push: 0,
        pull: 0,
        own: 0,
    };
}

/// A day's price as a function of its own lines, everything on the other days held fixed.
#[derive(Debug, Clone)]
pub(in crate::plan) struct DayCost<'a> {
    instance: &'a Instance,
    day: usize,
    /// Points of each muscle for each number of half-sets today.
    muscles: Vec<Vec<i64>>,
    /// Sessions of each movement on the other days.
    exposures: Vec<i32>,
    groups: [i32; GROUPS],
    near: Vec<(i32, bool, bool)>,
    push: i32,
    pull: i32,
    longest: i32,
    /// Points that do not depend on today.
    rest: i64,
}

impl<'a> DayCost<'a> {
    /// The price of `day` in `week`, whose own lines on that day are left out of account.
    ///
    /// Returns `None` when the instance is larger than the sums are built for.
    pub(in crate::plan) fn new(instance: &'a Instance, day: usize, week: &Week) -> Option<Self> {
        let i = instance;
        if i.muscles.len() > MUSCLES || i.patterns.len() > PATTERNS || i.groups.len() > GROUPS {
            return None;
        }
        let p = &i.prices;
        let mut half = vec![0; i.muscles.len()];
        let mut days = vec![0; i.muscles.len()];
        let mut neighbours: Vec<Vec<i32>> = Vec::new();
        let mut near = Vec::new();
        let mut exposures = vec![0; i.movements.len()];
        let mut groups = [0; GROUPS];
        let (mut push, mut pull, mut longest, mut rest) = (0, 0, 0, 0i64);
        let mut each = Vec::new();
        for (d, slots) in week.days.iter().enumerate().take(i.days.len()) {
            let mut sums = Sums::EMPTY;
            if d != day {
                for s in slots {
                    add_load(i, &mut sums, *s);
                    exposures[s.movement] += 1;
                    let m = &i.movements[s.movement];
                    rest += i64::from(m.set_price * s.sets + m.session_price);
                }
                let seconds = sums.raw_s - i.pairs_save(sums.by_class);
                longest = longest.max(seconds);
                rest += i64::from(seconds);
                rest += i64::from(p.few_movements * (i.days[d].movements_wanted - sums.lines).max(0));
                rest += i64::from(p.no_carrying * i32::from(sums.carrying == 0));
                push += sums.push;
                pull += sums.pull;
                for (g, count) in groups.iter_mut().enumerate() {
                    *count += i32::from(sums.groups[g]);
                }
                for (g, muscle) in i.muscles.iter().enumerate() {
                    half[g] += sums.half_sets[g];
                    days[g] += i32::from(sums.half_sets[g] >= muscle.day_threshold);
                }
            }
            each.push(sums);
        }
        for pair in &i.near {
            let (a, b) = (&each[pair.first], &each[pair.second]);
            if pair.first == day || pair.second == day {
                let other = if pair.first == day { b } else { a };
                neighbours.push(other.half_sets[..i.muscles.len()].to_vec());
                near.push((other.axial, other.squats > 0, other.floor_pulls > 0));
                continue;
            }
            for g in 0..i.muscles.len() {
                let over = (a.half_sets[g] + b.half_sets[g] - p.near_muscle_free).max(0);
                rest += i64::from(p.near_muscle * over);
            }
            rest += i64::from(p.near_axial * (a.axial + b.axial - p.near_axial_free).max(0));
            let crossed = (a.squats > 0 && b.floor_pulls > 0) || (a.floor_pulls > 0 && b.squats > 0);
            rest += i64::from(p.near_heavy * i32::from(crossed));
        }
        for (m, &n) in i.movements.iter().zip(&exposures) {
            rest += i64::from(m.exposure_price * (m.exposures_wanted - n).max(0));
            rest += i64::from(m.use_price * i32::from(n > 0));
        }
        let muscles = (i.muscles.iter().enumerate())
            .map(|(g, muscle)| {
                (0..=REACH as i32)
                    .map(|today| {
                        let h = half[g] + today;
                        let hit = days[g] + i32::from(today >= muscle.day_threshold);
                        let mut points = i64::from(muscle.below_minimum)
                            * i64::from((muscle.minimum - h).max(0))
                            + i64::from(muscle.below_target) * i64::from((muscle.target - h).max(0))
                            + i64::from(muscle.above_maximum) * i64::from((h - muscle.maximum).max(0))
                            + i64::from(p.day_missing) * i64::from((muscle.days_wanted - hit).max(0));
                        for other in &neighbours {
                            let over = (today + other[g] - p.near_muscle_free).max(0);
                            points += i64::from(p.near_muscle) * i64::from(over);
                        }
                        points
                    })
                    .collect()
            })
            .collect();
        Some(Self { instance, day, muscles, exposures, groups, near, push, pull, longest, rest })
    }

    /// The instance.
    pub(in crate::plan) fn instance(&self) -> &'a Instance {
        self.instance
    }

    /// The day.
    pub(in crate::plan) fn day(&self) -> usize {
        self.day
    }

    /// Sessions of a movement on the other days.
    pub(in crate::plan) fn exposures(&self, movement: usize) -> i32 {
        self.exposures[movement]
    }

    /// An empty day.
    pub(in crate::plan) fn empty() -> Sums {
        Sums::EMPTY
    }

    /// Adds a line to a day's sums.
    #[inline]
    pub(in crate::plan) fn add(&self, sums: &mut Sums, slot: Slot) {
        add_load(self.instance, sums, slot);
        sums.own += self.own(slot);
    }

    /// Points of a line by itself: its sets, its session, its first use and the session wanted of it.
    #[inline]
    pub(in crate::plan) fn own(&self, slot: Slot) -> i64 {
        let m = &self.instance.movements[slot.movement];
        let had = self.exposures[slot.movement];
        let mut points = m.set_price * slot.sets + m.session_price;
        points += if had == 0 { m.use_price } else { 0 };
        points -= if had < m.exposures_wanted { m.exposure_price } else { 0 };
        i64::from(points)
    }

    /// The sums of lines.
    pub(in crate::plan) fn sums(&self, slots: &[Slot]) -> Sums {
        let mut sums = Sums::EMPTY;
        for s in slots {
            self.add(&mut sums, *s);
        }
        sums
    }

    /// Points of a muscle for so many half-sets today.
    #[inline]
    pub(in crate::plan) fn muscle(&self, muscle: usize, half_sets: i32) -> i64 {
        let row = &self.muscles[muscle];
        let at = half_sets.clamp(0, REACH as i32) as usize;
        // Beyond the table the last step repeats: every term is linear there.
        row[at] + i64::from((half_sets - REACH as i32).max(0)) * (row[REACH] - row[REACH - 1])
    }

    /// Points of the whole week with these lines today: equal to the plain score.
    #[inline]
    pub(in crate::plan) fn points(&self, sums: &Sums) -> i64 {
        let muscles: i64 = (0..self.muscles.len()).map(|g| self.muscle(g, sums.half_sets[g])).sum();
        muscles + self.others(sums, [0; GROUPS], 0, 0, true)
    }

    /// Points of all but the muscles, or the least that they can become when at most `groups`, `lines` and
    /// `carrying` lines more are added and `exact` is false.
    #[inline]
    fn others(&self, sums: &Sums, groups: [i8; GROUPS], lines: i32, carrying: i32, exact: bool) -> i64 {
        let i = self.instance;
        let p = &i.prices;
        let mut points = self.rest + sums.own;
        for (g, group) in i.groups.iter().enumerate() {
            let have = self.groups[g] + i32::from(sums.groups[g]) + i32::from(groups[g]);
            points += i64::from(p.group_missing * (group.exposures_wanted - have).max(0));
        }
        let wanted = i.days[self.day].movements_wanted;
        points += i64::from(p.few_movements * (wanted - sums.lines - lines).max(0));
        points += i64::from(p.no_carrying * i32::from(sums.carrying + carrying == 0));
        for &(axial, squats, floor_pulls) in &self.near {
            points += i64::from(p.near_axial * (axial + sums.axial - p.near_axial_free).max(0));
            let crossed = (squats && sums.floor_pulls > 0) || (floor_pulls && sums.squats > 0);
            points += i64::from(p.near_heavy * i32::from(crossed));
        }
        if exact {
            let (push, pull) = (self.push + sums.push, self.pull + sums.pull);
            let apart = (2 * push - 3 * pull).max(2 * pull - 3 * push).max(0);
            points += i64::from(p.push_pull) * i64::from(apart);
        }
        let seconds = sums.raw_s - i.pairs_save(sums.by_class);
        points + i64::from(seconds) + i64::from(p.longest) * i64::from(self.longest.max(seconds).max(0))
    }

    /// The least that all but the muscles can cost once the lines counted in `more` may be added.
    #[inline]
    pub(in crate::plan) fn others_at_least(&self, sums: &Sums, more: &Reach) -> i64 {
        self.others(sums, more.groups, more.lines, more.carrying, false) + more.own
    }
}

/// What lines that may still be added can reach at most.
#[derive(Debug, Clone, Copy)]
pub(in crate::plan) struct Reach {
    groups: [i8; GROUPS],
    lines: i32,
    carrying: i32,
    /// Least points of their own, none for a line that is better left out.
    own: i64,
}

impl Reach {
    /// Nothing more.
    pub(in crate::plan) const NOTHING: Self = Self { groups: [0; GROUPS], lines: 0, carrying: 0, own: 0 };

    /// The same with one more line that may be added.
    pub(in crate::plan) fn with(mut self, instance: &Instance, movement: usize, least_own: i64) -> Self {
        let m = &instance.movements[movement];
        if let Some(g) = m.group {
            self.groups[g] += 1;
        }
        self.lines += 1;
        self.carrying += i32::from(m.carrying);
        self.own += least_own.min(0);
        self
    }
}

#[inline]
fn add_load(i: &Instance, sums: &mut Sums, slot: Slot) {
    let m = &i.movements[slot.movement];
    for t in &m.trains {
        sums.half_sets[t.muscle] += t.half_sets * slot.sets;
    }
    sums.by_pattern[m.pattern] += 1;
    if let Some(g) = m.group {
        sums.groups[g] += 1;
    }
    if let Some(class) = m.pair_class.slot() {
        sums.by_class[class] += slot.sets;
    }
    sums.raw_s += m.fixed_s + m.set_s * slot.sets;
    sums.lines += 1;
    sums.sets += slot.sets;
    sums.axial += m.axial * slot.sets;
    sums.axial_three += i32::from(m.axial >= 3);
    sums.fatigue += m.fatigue * slot.sets;
    sums.grip += m.grip * slot.sets;
    sums.single_joint += i32::from(m.single_joint);
    sums.compound += i32::from(m.compound);
    sums.trunk += i32::from(m.trunk);
    sums.third_sets += if m.counts_to_third { slot.sets } else { 0 };
    sums.squats += i32::from(m.heavy == HeavyClass::Squat);
    sums.floor_pulls += i32::from(m.heavy == HeavyClass::FloorPull);
    sums.carrying += i32::from(m.carrying);
    match m.side {
        Side::Push => sums.push += slot.sets,
        Side::Pull => sums.pull += slot.sets,
        Side::None => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::model::score;
    use crate::plan::search::Random;
    use crate::plan::testing::instances;

    #[test]
    fn the_tables_agree_with_the_plain_score() {
        let mut random = Random::new(3);
        for instance in instances() {
            for _ in 0..40 {
                let mut week = Week::empty(instance.days.len());
                for day in &mut week.days {
                    for _ in 0..random.below(9) {
                        let movement = random.below(instance.movements.len());
                        if day.iter().all(|s| s.movement != movement) {
                            day.push(Slot { movement, sets: 1 + random.below(6) as i32 });
                        }
                    }
                }
                for day in 0..instance.days.len() {
                    let cost = DayCost::new(&instance, day, &week).expect("small enough");
                    let sums = cost.sums(&week.days[day]);
                    assert_eq!(cost.points(&sums), score(&instance, &week).total());
                }
            }
        }
    }
}
