//! Random instances for the bound's tests, a plain search for good weeks, and exhaustive judges.
#![allow(dead_code)] // each test file uses a part

use plinth_core::plan::model::{
    Day, Group, HeavyClass, Instance, Movement, Muscle, Near, PairClass, Pattern, Prices, Share, Side, Slot,
    Week, broken_limits, score,
};

/// A small generator of numbers, so that every run sees the same instances.
#[derive(Debug, Clone)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 16
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    /// A number from `low` to `high`, both included.
    pub(crate) fn between(&mut self, low: i32, high: i32) -> i32 {
        low + self.below((high - low + 1) as usize) as i32
    }

    pub(crate) fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    pub(crate) fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }
}

struct Kind {
    group: Option<usize>,
    class: PairClass,
    side: Side,
    direct: &'static [usize],
    indirect: &'static [usize],
    compound: bool,
    trunk: bool,
}

const QUADS: usize = 0;
const HAMS: usize = 1;
const GLUTES: usize = 2;
const CHEST: usize = 3;
const LATS: usize = 4;
const UPPER_BACK: usize = 5;
const SHOULDERS: usize = 6;
const BICEPS: usize = 7;
const TRICEPS: usize = 8;
const SIDE_DELTS: usize = 9;
const REAR_DELTS: usize = 10;
const CALVES: usize = 11;
const ABS: usize = 12;
const OBLIQUES: usize = 13;
const ERECTORS: usize = 14;
const ADDUCTORS: usize = 15;
const FOREARMS: usize = 16;
const TRAPS: usize = 17;
const MUSCLES: usize = 18;

fn kinds() -> Vec<Kind> {
    use PairClass::{Legs, Pull, Push};
    let compound = |group: usize, class, side, direct, indirect| Kind {
        group: Some(group),
        class,
        side,
        direct,
        indirect,
        compound: true,
        trunk: false,
    };
    let single = |class, direct| Kind {
        group: None,
        class,
        side: Side::None,
        direct,
        indirect: &[],
        compound: false,
        trunk: false,
    };
    let trunk = |direct, indirect| Kind {
        group: None,
        class: PairClass::Trunk,
        side: Side::None,
        direct,
        indirect,
        compound: false,
        trunk: true,
    };
    vec![
        compound(0, Legs, Side::None, &[QUADS, GLUTES], &[ADDUCTORS, ERECTORS, HAMS]),
        compound(0, Legs, Side::None, &[QUADS, GLUTES], &[ADDUCTORS, HAMS]),
        compound(1, Legs, Side::None, &[HAMS, GLUTES], &[ERECTORS, FOREARMS, TRAPS]),
        compound(1, Legs, Side::None, &[GLUTES], &[HAMS, QUADS]),
        compound(2, Push, Side::Push, &[CHEST], &[TRICEPS, SHOULDERS]),
        compound(3, Pull, Side::Pull, &[LATS], &[BICEPS, UPPER_BACK]),
        compound(4, Push, Side::Push, &[SHOULDERS], &[TRICEPS, SIDE_DELTS]),
        compound(5, Pull, Side::Pull, &[UPPER_BACK, LATS], &[BICEPS, REAR_DELTS]),
        single(Legs, &[QUADS]),
        single(Legs, &[HAMS]),
        single(Legs, &[CALVES]),
        single(Push, &[CHEST]),
        single(Pull, &[BICEPS]),
        single(Push, &[TRICEPS]),
        single(Push, &[SIDE_DELTS]),
        single(Pull, &[REAR_DELTS]),
        single(Pull, &[TRAPS]),
        single(Legs, &[ADDUCTORS]),
        trunk(&[ABS], &[OBLIQUES]),
        trunk(&[OBLIQUES], &[ABS]),
        trunk(&[ERECTORS], &[ABS]),
        trunk(&[FOREARMS, TRAPS], &[ABS]),
    ]
}

/// An instance of the size and the numbers of a real one.
pub(crate) fn lifelike(seed: u64) -> Instance {
    let mut dice = Dice::new(seed);
    let kinds = kinds();
    let days = dice.pick(&[1, 2, 2, 3, 3, 3, 4, 4, 5, 6]);
    let minutes = dice.pick(&[20, 30, 30, 45, 45, 60, 60, 75, 90]);
    let paired = dice.one_in(3);
    let strength = dice.one_in(3);
    let richness = dice.pick(&[1, 2, 3, 4, 5]);
    let mut movements = Vec::new();
    for (p, kind) in kinds.iter().enumerate() {
        let n = dice.between(1, 1 + richness);
        for k in 0..n {
            let tier = if !kind.compound {
                3
            } else if k == 0 {
                0
            } else {
                dice.between(0, 1)
            };
            let heavy = tier == 0;
            let reps_s = if kind.trunk { 35 } else { dice.pick(&[25, 35, 35, 70]) };
            let rest = match tier {
                0 => dice.pick(&[150, 180, 120]),
                1 => dice.pick(&[150, 120, 90]),
                _ => dice.pick(&[90, 75, 60]),
            };
            let carrying = heavy && k == 0 && p != 3 && dice.one_in(2);
            let fatigue = if heavy {
                dice.between(3, 5)
            } else if kind.compound {
                dice.between(2, 3)
            } else {
                1
            };
            let mut trains: Vec<Share> =
                kind.direct.iter().map(|&muscle| Share { muscle, half_sets: 2 }).collect();
            for &muscle in kind.indirect {
                if !dice.one_in(4) {
                    trains.push(Share { muscle, half_sets: 1 });
                }
            }
            movements.push(Movement {
                id: format!("m{p}_{k}"),
                set_s: reps_s + rest,
                fixed_s: match tier {
                    0 => dice.pick(&[240, 255, 205]),
                    1 => dice.pick(&[80, 85, 115]),
                    _ => dice.pick(&[15, 40, 45]),
                },
                sets_min: if carrying { 3 } else { 2 },
                sets_max: if heavy {
                    5
                } else if kind.compound {
                    4
                } else {
                    4 - i32::from(kind.trunk)
                },
                pattern: p,
                group: kind.group,
                single_joint: !kind.compound && !kind.trunk,
                counts_to_third: !kind.compound && !kind.trunk && !dice.one_in(8),
                compound: kind.compound,
                trunk: kind.trunk,
                axial: if p == 0 || p == 2 { dice.between(1, 3) } else { i32::from(p == 7) },
                fatigue,
                grip: if kind.side == Side::Pull || p == 2 { dice.between(1, 3) } else { 0 },
                heavy: match (p, heavy && strength) {
                    (0, true) => HeavyClass::Squat,
                    (2, true) if k == 0 => HeavyClass::FloorPull,
                    _ => HeavyClass::None,
                },
                pair_class: if tier == 0 { PairClass::None } else { kind.class },
                side: kind.side,
                carrying,
                set_price: 30 * fatigue + if dice.one_in(6) { dice.pick(&[450, 900, 1200]) } else { 0 },
                session_price: dice.pick(&[0, 0, 0, 150, 300, 450, 900, 1800, 2700]),
                use_price: 0,
                exposures_max: if fatigue >= 5 { 2 } else { 3 },
                exposures_wanted: if carrying { 2 } else { 0 },
                exposure_price: if carrying { 5400 } else { 0 },
                trains,
            });
        }
    }
    let use_price = dice.pick(&[1200, 750, 360]);
    for m in &mut movements {
        m.use_price = use_price;
    }
    if dice.one_in(3) {
        let m = dice.below(movements.len());
        movements[m].exposures_wanted = 1;
        movements[m].exposure_price = 60_000;
    }
    let goals: [[i32; 3]; 3] = dice.pick(&[
        [[8, 16, 28], [4, 8, 24], [0, 4, 24]],
        [[12, 20, 40], [4, 12, 32], [0, 4, 24]],
        [[10, 18, 48], [8, 16, 40], [0, 4, 24]],
    ]);
    let muscles = (0..MUSCLES)
        .map(|g| {
            let rank = match g {
                0..=6 => 0,
                7..=13 => 1,
                _ => 2,
            };
            let [minimum, target, maximum] = goals[rank];
            let twice = if dice.one_in(9) { 2 } else { 1 };
            Muscle {
                id: format!("g{g}"),
                minimum,
                target,
                maximum,
                below_minimum: 1800 * twice,
                below_target: [540, 360, 180][rank] * twice,
                above_maximum: 720,
                days_wanted: if rank == 0 { days.min(2) } else { 0 },
                day_threshold: 4,
                session_cap: dice.pick(&[16, 18, 20]),
            }
        })
        .collect();
    let (movements_max, singles) = match minutes {
        ..35 => (4, 1),
        35..55 => (5, 2),
        55..=75 => (6, 2),
        _ => (7, 3),
    };
    let layouts: [&[i32]; 7] =
        [&[], &[0], &[0, 3], &[0, 2, 4], &[0, 1, 3, 4], &[0, 1, 2, 4, 5], &[0, 1, 2, 3, 4, 5]];
    let other = dice.one_in(5);
    let weekdays = layouts[days as usize];
    Instance {
        format: "plinth.instance/1".to_owned(),
        catalogue_version: "test".to_owned(),
        weights_version: "test".to_owned(),
        days: weekdays
            .iter()
            .enumerate()
            .map(|(d, &weekday)| Day {
                weekday,
                warm_up_s: 300,
                time_s: minutes * 60 - 300 - if other && d % 2 == 1 { 600 } else { 0 },
                movements_max: movements_max + i32::from(paired),
                movements_wanted: 3,
                single_joint_max: singles,
                trunk_max: 1,
                axial_max: 20,
                fatigue_max: 62,
                grip_max: 18,
            })
            .collect(),
        near: weekdays
            .windows(2)
            .enumerate()
            .filter(|(_, w)| w[1] - w[0] == 1)
            .map(|(first, _)| Near { first, second: first + 1 })
            .collect(),
        muscles,
        patterns: (0..kinds.len())
            .map(|p| Pattern {
                id: format!("p{p}"),
                per_session_max: 1 + i32::from(days >= 4 && (4..8).contains(&p)),
            })
            .collect(),
        groups: (0..6)
            .map(|g| Group { id: format!("b{g}"), exposures_wanted: if days >= 3 { 2 } else { 1 } })
            .collect(),
        movements,
        prices: Prices {
            group_missing: 10_800,
            day_missing: 3600,
            near_muscle_free: 14,
            near_muscle: 360,
            near_axial_free: 20,
            near_axial: 180,
            near_heavy: 3600,
            longest: 1,
            few_movements: 1800,
            no_carrying: if strength { 3600 } else { 1800 },
            push_pull: 120,
            pair_saves_s: if paired { 55 } else { 0 },
        },
    }
}

/// A handful of movements with crossing limits, small enough for the exhaustive judges.
pub(crate) fn tiny(seed: u64, days: usize, most: usize) -> Instance {
    let mut dice = Dice::new(seed ^ 0xB0B);
    // Half of them with limits that seldom bind, so that days of many lines occur too.
    let roomy = dice.one_in(2);
    let muscles = 2 + dice.below(3);
    let patterns = 1 + dice.below(4);
    let groups = 1 + dice.below(2);
    let n = 3 + dice.below(most - 2);
    let movements: Vec<Movement> = (0..n)
        .map(|k| {
            let single_joint = dice.one_in(3);
            let trunk = !single_joint && dice.one_in(5);
            let sets_min = dice.between(1, 3);
            let mut trains = Vec::new();
            for muscle in 0..muscles {
                if dice.one_in(2) {
                    trains.push(Share { muscle, half_sets: dice.between(1, 2) });
                }
            }
            Movement {
                id: format!("m{k}"),
                set_s: dice.between(60, 240),
                fixed_s: dice.between(0, 200),
                sets_min,
                sets_max: sets_min + dice.between(0, 2),
                pattern: dice.below(patterns),
                group: (!dice.one_in(3)).then(|| dice.below(groups)),
                single_joint,
                counts_to_third: single_joint && !dice.one_in(4),
                compound: !single_joint && !trunk || dice.one_in(12),
                trunk,
                axial: dice.between(0, 3),
                fatigue: dice.between(1, 5),
                grip: dice.between(0, 3),
                heavy: dice.pick(&[
                    HeavyClass::None,
                    HeavyClass::None,
                    HeavyClass::Squat,
                    HeavyClass::FloorPull,
                ]),
                pair_class: dice.pick(&[
                    PairClass::None,
                    PairClass::Push,
                    PairClass::Pull,
                    PairClass::Legs,
                    PairClass::Trunk,
                ]),
                side: dice.pick(&[Side::None, Side::Push, Side::Pull]),
                carrying: dice.one_in(3),
                set_price: dice.between(-40, 300),
                session_price: dice.between(-200, 900),
                use_price: dice.between(0, 1500),
                exposures_max: dice.between(0, 3),
                exposures_wanted: dice.between(0, 2),
                exposure_price: dice.between(0, 2000),
                trains,
            }
        })
        .collect();
    let day = |dice: &mut Dice, weekday: i32| Day {
        weekday,
        warm_up_s: dice.between(0, 300),
        time_s: if roomy { dice.between(1800, 4000) } else { dice.between(200, 2400) },
        movements_max: if roomy { dice.between(3, 6) } else { dice.between(1, 4) },
        movements_wanted: dice.between(0, 3),
        single_joint_max: dice.between(i32::from(roomy), 2),
        trunk_max: dice.between(0, 2),
        axial_max: dice.between(3, 20) + if roomy { 12 } else { 0 },
        fatigue_max: dice.between(8, 50) + if roomy { 20 } else { 0 },
        grip_max: dice.between(3, 18) + if roomy { 12 } else { 0 },
    };
    let first = day(&mut dice, 0);
    let all: Vec<Day> = (0..days)
        .map(|d| {
            if dice.one_in(2) { day(&mut dice, d as i32) } else { Day { weekday: d as i32, ..first.clone() } }
        })
        .collect();
    Instance {
        format: "plinth.instance/1".to_owned(),
        catalogue_version: "test".to_owned(),
        weights_version: "test".to_owned(),
        near: if days > 1 && dice.one_in(2) { vec![Near { first: 0, second: 1 }] } else { Vec::new() },
        days: all,
        muscles: (0..muscles)
            .map(|g| {
                let minimum = dice.between(0, 8);
                let target = minimum + dice.between(0, 8);
                Muscle {
                    id: format!("g{g}"),
                    minimum,
                    target,
                    maximum: target + dice.between(0, 6),
                    below_minimum: dice.between(0, 1800),
                    below_target: dice.between(0, 700),
                    above_maximum: dice.between(0, 700),
                    days_wanted: dice.between(0, 2),
                    day_threshold: dice.between(0, 6),
                    session_cap: dice.between(4, 16) + if roomy { 10 } else { 0 },
                }
            })
            .collect(),
        patterns: (0..patterns)
            .map(|p| Pattern { id: format!("p{p}"), per_session_max: dice.between(i32::from(roomy), 3) })
            .collect(),
        groups: (0..groups)
            .map(|g| Group { id: format!("b{g}"), exposures_wanted: dice.between(0, 3) })
            .collect(),
        movements,
        prices: Prices {
            group_missing: dice.between(0, 5000),
            day_missing: dice.between(0, 3000),
            near_muscle_free: dice.between(0, 14),
            near_muscle: dice.between(0, 360),
            near_axial_free: dice.between(0, 20),
            near_axial: dice.between(0, 180),
            near_heavy: dice.between(0, 3000),
            longest: dice.between(0, 2),
            few_movements: dice.between(0, 1800),
            no_carrying: dice.between(0, 1800),
            push_pull: dice.between(0, 200),
            pair_saves_s: dice.pick(&[0, 0, 31, 55, 60]),
        },
    }
}

/// Every set of lines that fits into `day`.
pub(crate) fn all_days(instance: &Instance, day: usize) -> Vec<Vec<Slot>> {
    fn grow(instance: &Instance, day: usize, from: usize, lines: &mut Vec<Slot>, out: &mut Vec<Vec<Slot>>) {
        if from == instance.movements.len() {
            if fits(instance, day, lines) {
                out.push(lines.clone());
            }
            return;
        }
        grow(instance, day, from + 1, lines, out);
        for sets in instance.movements[from].sets_min..=instance.movements[from].sets_max {
            lines.push(Slot { movement: from, sets });
            grow(instance, day, from + 1, lines, out);
            lines.pop();
        }
    }
    let mut out = Vec::new();
    grow(instance, day, 0, &mut Vec::new(), &mut out);
    out
}

/// Whether `lines` keep the limits of `day`.
pub(crate) fn fits(instance: &Instance, day: usize, lines: &[Slot]) -> bool {
    let mut week = Week::empty(instance.days.len());
    week.days[day] = lines.to_vec();
    broken_limits(instance, &week).iter().all(|(d, _)| d.is_none())
}

/// The best week of all, by going through every one.
pub(crate) fn best_of_all(instance: &Instance) -> (i64, Week) {
    let per_day: Vec<Vec<Vec<Slot>>> = (0..instance.days.len()).map(|d| all_days(instance, d)).collect();
    let mut best = (i64::MAX, Week::empty(instance.days.len()));
    let mut at = vec![0; per_day.len()];
    loop {
        let week = Week { days: at.iter().zip(&per_day).map(|(&k, days)| days[k].clone()).collect() };
        if broken_limits(instance, &week).is_empty() {
            let points = score(instance, &week).total();
            if points < best.0 {
                best = (points, week);
            }
        }
        let mut d = 0;
        while d < at.len() {
            at[d] += 1;
            if at[d] < per_day[d].len() {
                break;
            }
            at[d] = 0;
            d += 1;
        }
        if d == at.len() {
            return best;
        }
    }
}

/// A good week by annealing: slow and plain.
pub(crate) fn search(instance: &Instance, seed: u64, steps: u32) -> (i64, Week) {
    let mut dice = Dice::new(seed + 77);
    let mut week = Week::empty(instance.days.len());
    let mut points = score(instance, &week).total();
    let mut best = (points, week.clone());
    for step in 0..steps {
        let heat = 4000.0 * (1.0 - f64::from(step) / f64::from(steps)).powi(2) + 20.0;
        let mut next = week.clone();
        for _ in 0..=dice.below(2) {
            let d = dice.below(instance.days.len());
            let m = dice.below(instance.movements.len());
            let range = &instance.movements[m];
            let lines = &mut next.days[d];
            match dice.below(5) {
                0 if !lines.is_empty() => {
                    let k = dice.below(lines.len());
                    lines.remove(k);
                }
                1 if !lines.is_empty() => {
                    let k = dice.below(lines.len());
                    let slot = &mut lines[k];
                    let range = &instance.movements[slot.movement];
                    slot.sets = (slot.sets + dice.pick(&[-1, 1])).clamp(range.sets_min, range.sets_max);
                }
                2 if !lines.is_empty() => {
                    let k = dice.below(lines.len());
                    lines[k] = Slot { movement: m, sets: dice.between(range.sets_min, range.sets_max) };
                }
                3 if !lines.is_empty() => {
                    let k = dice.below(lines.len());
                    let slot = lines.remove(k);
                    let other = dice.below(instance.days.len());
                    next.days[other].push(slot);
                }
                _ => lines.push(Slot { movement: m, sets: dice.between(range.sets_min, range.sets_max) }),
            }
        }
        if !broken_limits(instance, &next).is_empty() {
            continue;
        }
        let new = score(instance, &next).total();
        let chance = (-((new - points) as f64) / heat).exp();
        if new <= points || (dice.below(1 << 20) as f64) < chance * f64::from(1 << 20) {
            week = next;
            points = new;
            if points < best.0 {
                best = (points, week.clone());
            }
        }
    }
    best
}
