//! The price of a week, term by term: slow, plain, and the judge of every faster scorer.

use super::{HeavyClass, Instance, Side, Week};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A term of the objective. The order is the order in which reasons are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Term {
    /// Wanted sessions of a movement that are missing.
    ExposureMissing,
    /// Wanted exposures of a base group that are missing.
    GroupMissing,
    /// Half-sets below a muscle's minimum.
    BelowMinimum,
    /// Half-sets below a muscle's target.
    BelowTarget,
    /// Half-sets above a muscle's maximum.
    AboveMaximum,
    /// Wanted days of a muscle that are missing.
    DayMissing,
    /// One muscle on two near days.
    NearMuscle,
    /// Axial load on two near days.
    NearAxial,
    /// A heavy squat and a heavy pull from the floor on near days.
    NearHeavy,
    /// Pushes and pulls apart by more than a third.
    PushPull,
    /// Prices of sets.
    Sets,
    /// Prices of sessions of a movement.
    Sessions,
    /// Prices of distinct movements.
    Distinct,
    /// Sessions with few movements.
    FewMovements,
    /// Sessions without a carrying movement.
    NoCarrying,
    /// The longest session.
    Longest,
    /// Session time.
    Time,
}

impl Term {
    /// All terms, in order.
    pub const ALL: [Self; 17] = [
        Self::ExposureMissing,
        Self::GroupMissing,
        Self::BelowMinimum,
        Self::BelowTarget,
        Self::AboveMaximum,
        Self::DayMissing,
        Self::NearMuscle,
        Self::NearAxial,
        Self::NearHeavy,
        Self::PushPull,
        Self::Sets,
        Self::Sessions,
        Self::Distinct,
        Self::FewMovements,
        Self::NoCarrying,
        Self::Longest,
        Self::Time,
    ];
}

/// Points by term, and the sums from which they came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Score {
    points: [i64; Term::ALL.len()],
    /// Weekly half-sets of each muscle.
    pub half_sets: Vec<i32>,
    /// Seconds of each day's lines, pairs allowed for.
    pub day_seconds: Vec<i32>,
    /// Sessions of each movement.
    pub exposures: Vec<i32>,
    /// Exposures of each base group.
    pub group_exposures: Vec<i32>,
    /// Sets of presses and of pulls in the week.
    pub push_pull_sets: (i32, i32),
}

impl Score {
    /// Points of one term.
    pub fn of(&self, term: Term) -> i64 {
        self.points[term as usize]
    }

    /// Points of all terms together: what the search makes small.
    pub fn total(&self) -> i64 {
        self.points.iter().sum()
    }
}

/// Prices `week` on `instance`. Says nothing of the hard limits: see [`super::broken_limits`].
pub fn score(instance: &Instance, week: &Week) -> Score {
    let i = instance;
    let p = &i.prices;
    let mut points = [0i64; Term::ALL.len()];
    let mut add =
        |term: Term, price: i32, units: i32| points[term as usize] += i64::from(price) * i64::from(units);

    let mut half_sets = vec![0; i.muscles.len()];
    let mut muscle_days = vec![0; i.muscles.len()];
    let mut exposures = vec![0; i.movements.len()];
    let mut group_exposures = vec![0; i.groups.len()];
    let (mut push, mut pull) = (0, 0);
    let mut day_seconds = Vec::with_capacity(i.days.len());
    let mut day_muscle = Vec::with_capacity(i.days.len());
    let mut day_axial = Vec::with_capacity(i.days.len());
    let mut day_heavy = Vec::with_capacity(i.days.len());

    for (day, slots) in i.days.iter().zip(&week.days) {
        let mut seconds = 0;
        let mut axial = 0;
        let mut by_class = [0; 4];
        let mut by_muscle = vec![0; i.muscles.len()];
        let (mut squat, mut floor_pull, mut carrying) = (false, false, false);
        for slot in slots {
            let m = &i.movements[slot.movement];
            seconds += m.fixed_s + m.set_s * slot.sets;
            axial += m.axial * slot.sets;
            if let Some(class) = m.pair_class.slot() {
                by_class[class] += slot.sets;
            }
            for share in &m.trains {
                by_muscle[share.muscle] += share.half_sets * slot.sets;
            }
            squat |= m.heavy == HeavyClass::Squat;
            floor_pull |= m.heavy == HeavyClass::FloorPull;
            carrying |= m.carrying;
            match m.side {
                Side::Push => push += slot.sets,
                Side::Pull => pull += slot.sets,
                Side::None => {}
            }
            exposures[slot.movement] += 1;
            if let Some(group) = m.group {
                group_exposures[group] += 1;
            }
            add(Term::Sets, m.set_price, slot.sets);
            add(Term::Sessions, m.session_price, 1);
        }
        seconds -= i.pairs_save(by_class);
        for (muscle, &h) in by_muscle.iter().enumerate() {
            half_sets[muscle] += h;
            muscle_days[muscle] += i32::from(h >= i.muscles[muscle].day_threshold);
        }
        add(Term::FewMovements, p.few_movements, (day.movements_wanted - slots.len() as i32).max(0));
        add(Term::NoCarrying, p.no_carrying, i32::from(!carrying));
        day_seconds.push(seconds);
        day_muscle.push(by_muscle);
        day_axial.push(axial);
        day_heavy.push((squat, floor_pull));
    }

    for (m, &n) in i.movements.iter().zip(&exposures) {
        add(Term::ExposureMissing, m.exposure_price, (m.exposures_wanted - n).max(0));
        add(Term::Distinct, m.use_price, i32::from(n > 0));
    }
    for (group, &n) in i.groups.iter().zip(&group_exposures) {
        add(Term::GroupMissing, p.group_missing, (group.exposures_wanted - n).max(0));
    }
    for ((muscle, &h), &days) in i.muscles.iter().zip(&half_sets).zip(&muscle_days) {
        add(Term::BelowMinimum, muscle.below_minimum, (muscle.minimum - h).max(0));
        add(Term::BelowTarget, muscle.below_target, (muscle.target - h).max(0));
        add(Term::AboveMaximum, muscle.above_maximum, (h - muscle.maximum).max(0));
        add(Term::DayMissing, p.day_missing, (muscle.days_wanted - days).max(0));
    }
    for near in &i.near {
        let (a, b) = (near.first, near.second);
        for (&x, &y) in day_muscle[a].iter().zip(&day_muscle[b]) {
            add(Term::NearMuscle, p.near_muscle, (x + y - p.near_muscle_free).max(0));
        }
        add(Term::NearAxial, p.near_axial, (day_axial[a] + day_axial[b] - p.near_axial_free).max(0));
        let crossed = (day_heavy[a].0 && day_heavy[b].1) || (day_heavy[a].1 && day_heavy[b].0);
        add(Term::NearHeavy, p.near_heavy, i32::from(crossed));
    }
    add(Term::PushPull, p.push_pull, (2 * push - 3 * pull).max(2 * pull - 3 * push).max(0));
    add(Term::Longest, p.longest, day_seconds.iter().copied().max().unwrap_or(0).max(0));
    add(Term::Time, 1, day_seconds.iter().sum());

    Score { points, half_sets, day_seconds, exposures, group_exposures, push_pull_sets: (push, pull) }
}
