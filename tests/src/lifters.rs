//! Invented lifters who train by the published spreads: the judge of the estimators in `progress`.
//!
//! Written apart from them: every number below is written out from its source, and nothing here reads a
//! table or calls a rule of `progress` or `load`. A person's repetitions at a share of the maximum are the
//! published mean plus the person's place times the published spread, added, not multiplied.

use chrono::{Days, NaiveDate};
use plinth_core::load::Mass;
use plinth_core::progress::SetDone;

/// A generator of random numbers with a seed (`splitmix64`).
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Evenly between nought and one.
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Evenly between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// A whole number from `low` to `high`, both included.
    pub fn whole(&mut self, low: u32, high: u32) -> u32 {
        low + (self.even() * f64::from(high - low + 1)) as u32
    }

    /// Normal, with mean nought and spread one (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (1.0 - self.even(), self.even());
        (-2.0 * u.ln()).sqrt() * (2.0 * std::f64::consts::PI * v).cos()
    }
}

/// Mean repetitions to failure at per cent of the maximum: Nuzzo et al. 2024, all exercises (seen in a
/// transcription of the figures); one repetition at 100 % by definition, and 60 % on the line of the last two.
const MEAN: [(f64, f64); 9] = [
    (100.0, 1.0),
    (95.0, 3.28),
    (90.0, 4.94),
    (85.0, 7.15),
    (80.0, 9.75),
    (75.0, 12.37),
    (70.0, 14.80),
    (65.0, 17.11),
    (60.0, 19.42),
];

/// Repetitions at per cent of the maximum by the textbook: NSCA Essentials 4e, table 17.7 (seen: several
/// secondary copies; 11 and 12 repetitions from memory), and 60 % on the line of the last two.
const TEXTBOOK: [(f64, f64); 14] = [
    (100.0, 1.0),
    (95.0, 2.0),
    (93.0, 3.0),
    (90.0, 4.0),
    (87.0, 5.0),
    (85.0, 6.0),
    (83.0, 7.0),
    (80.0, 8.0),
    (77.0, 9.0),
    (75.0, 10.0),
    (70.0, 11.0),
    (67.0, 12.0),
    (65.0, 15.0),
    (60.0, 19.0),
];

/// Repetitions to failure of a person of place `z` at so many per cent: the mean, and the spread between
/// people that falls by 0.0925 for each per cent from 2.51 at 80 % (Nuzzo et al. 2024, seen: quoted), drawn in
/// to nothing from 95 % to 100 %.
fn repetitions(table: &[(f64, f64)], percent: f64, z: f64) -> f64 {
    let after = table.iter().position(|row| row.0 <= percent).unwrap_or(table.len() - 1).max(1);
    let ((p1, r1), (p0, r0)) = (table[after - 1], table[after]);
    let mean = r0 + (r1 - r0) * (percent - p0) / (p1 - p0);
    let spread = 2.51 - 0.0925 * (percent - 80.0);
    let near = ((100.0 - percent) / 5.0).clamp(0.0, 1.0);
    (mean + z * spread * near).max(1.0)
}

/// How long someone has trained.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Training {
    /// New to it.
    Novice,
    /// Not.
    Trained,
}

/// An invented lifter of one movement.
#[derive(Debug, Clone)]
pub struct Lifter {
    /// How long they have trained.
    pub training: Training,
    /// The true maximum on the last day, in kilograms.
    pub maximum_kg: f64,
    /// Place among people in repetitions at a share.
    pub place: f64,
    /// The mean that the place is counted from: repetitions at per cent, falling.
    pub mean: &'static [(f64, f64)],
    /// Repetitions by which they under-predict what is left.
    pub bias: f64,
    /// Spread of a single prediction, in repetitions.
    pub judging: f64,
    /// Day-to-day spread of the maximum, as a share.
    pub daily: f64,
    /// Gain for each week, as a share.
    pub weekly_gain: f64,
    /// Whether they report what is left.
    pub reports: bool,
    /// The repetitions they aim at.
    pub reps: u32,
    /// The true reserve they like to leave.
    pub leaves: f64,
}

impl Lifter {
    /// Draws a lifter. Bias: mean 0.95 repetitions (Halperin et al. 2022). Judging: about one repetition near
    /// failure (Hackett et al. 2017), a third more for novices, whose ratings scatter more (Zourdos et al.
    /// 2016). Day to day: 4.2 % in the median (Grgic et al. 2020), drawn from 3 % to 5.4 %.
    pub fn draw(chance: &mut Chance) -> Self {
        let training = if chance.even() < 0.5 { Training::Novice } else { Training::Trained };
        let novice = training == Training::Novice;
        Self {
            training,
            maximum_kg: chance.between(30.0, if novice { 110.0 } else { 240.0 }),
            place: chance.normal(),
            mean: &MEAN,
            bias: 0.95 + 0.7 * chance.normal(),
            judging: if novice { 1.3 } else { 0.9 },
            daily: chance.between(0.030, 0.054),
            weekly_gain: if novice { chance.between(0.0, 0.012) } else { chance.between(0.0, 0.004) },
            reports: chance.even() < 0.6,
            reps: if chance.even() < 0.5 { chance.whole(3, 6) } else { chance.whole(8, 12) },
            leaves: chance.between(0.0, 4.5),
        }
    }

    /// The same lifter among people whose mean is the textbook's table: fewer repetitions at every share.
    #[must_use]
    pub fn by_the_textbook(self) -> Self {
        Self { mean: &TEXTBOOK, ..self }
    }

    /// A month of training that ends on `today`: two or three days a week, or only a few days in all.
    pub fn month(&self, movement: &str, today: NaiveDate, chance: &mut Chance) -> Vec<SetDone> {
        let days = if chance.even() < 0.3 { chance.whole(2, 3) } else { chance.whole(4, 10) };
        let mut sets = Vec::new();
        for n in 0..days {
            let ago = u64::from(n) * 27 / u64::from(days) + u64::from(n > 0 && chance.even() < 0.5);
            let day = today - Days::new(ago.min(27));
            let maximum = self.maximum_kg * (1.0 - self.weekly_gain * ago as f64 / 7.0);
            sets.extend(self.session(movement, day, maximum, chance));
        }
        sets
    }

    /// One day: three working sets of the load that the lifter believes right, each a little more tired.
    pub fn session(
        &self,
        movement: &str,
        day: NaiveDate,
        maximum_kg: f64,
        chance: &mut Chance,
    ) -> Vec<SetDone> {
        let today_kg = maximum_kg * (1.0 + self.daily * chance.normal());
        // The load that on an average day leaves what the lifter likes to leave, to 2.5 kg.
        let wanted = f64::from(self.reps) + self.leaves;
        let percent =
            (50..=100).rev().map(f64::from).find(|p| repetitions(self.mean, *p, self.place) >= wanted);
        let load = (maximum_kg * percent.unwrap_or(50.0) / 100.0 / 2.5).round().max(1.0) * 2.5;
        let mut sets = Vec::new();
        for number in 0..3 {
            let share = 100.0 * load / today_kg;
            if share > 100.0 {
                // Too heavy today: nothing is done with it.
                continue;
            }
            let able = repetitions(self.mean, share.max(55.0), self.place) - 0.6 * f64::from(number);
            let able = (able + 0.3 * chance.normal()).round().max(1.0);
            let mut reps = f64::from(self.reps).min(able);
            if able - reps > 5.0 {
                // Far too light: a few more are done.
                reps = able - 5.0;
            }
            let left = able - reps;
            // Near failure people know better.
            let near = if left < 0.5 {
                0.4
            } else if left < 1.5 {
                0.8
            } else {
                1.0
            };
            let far = if left > 5.0 { 2.0 } else { 1.0 };
            let said = left - self.bias * near + self.judging * near * far * chance.normal();
            let reserve = self.reports.then(|| said.round().max(0.0) as u32);
            let mass = Mass::grams((load * 1000.0) as u32);
            let mut set = SetDone::new(movement, day, mass, reps as u32, reserve);
            set.ended += i64::from(number) * 240_000;
            sets.push(set);
        }
        sets
    }
}

/// A year's log of one movement with `each_week` days a week, for a lifter whose maximum on day `d` is
/// `maximum_kg(d)`.
pub fn log_of(
    lifter: &Lifter,
    movement: &str,
    first: NaiveDate,
    weeks: u64,
    each_week: u64,
    chance: &mut Chance,
    maximum_kg: impl Fn(f64) -> f64,
) -> Vec<SetDone> {
    let mut sets = Vec::new();
    for n in 0..weeks * each_week {
        let day = n / each_week * 7 + n % each_week * 7 / each_week;
        sets.extend(lifter.session(movement, first + Days::new(day), maximum_kg(day as f64), chance));
    }
    sets
}
