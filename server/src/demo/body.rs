//! What an invented lifter can do: strength that gains by the week, tires from set to set, and strays from day to day.
//!
//! A model of ours, good enough to train by and to find something in; nothing else is claimed of it. Repetitions to
//! failure are those of Epley's equation (1985, from memory) turned round: thirty times what is left above the load, as
//! a share of the load.

use plinth_core::catalogue::{Catalogue, LoadKind, Measure, Movement};
use plinth_core::companion::Random;
use plinth_core::store::repeatable_random;

/// Repetitions that each set of a movement costs the next one of it ([A], an assumption).
const SET_COSTS: f64 = 0.4;
/// The most repetitions that tell something of strength.
const MOST_REPS: f64 = 30.0;
/// Seconds, or metres, that are held or carried at first ([A]).
const HELD: f64 = 50.0;

/// Chance that repeats with its seed.
pub(super) struct Chance(Random);

impl Chance {
    pub(super) fn new(seed: u64) -> Self {
        Self(Box::new(repeatable_random(seed)))
    }

    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        let mut bytes = [0; 2];
        (self.0)(&mut bytes);
        f64::from(u16::from_le_bytes(bytes)) / f64::from(u16::MAX)
    }

    /// True so often.
    pub(super) fn happens(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// From -1 to 1, most often near nought.
    pub(super) fn stray(&mut self) -> f64 {
        (self.share() + self.share() + self.share()) / 1.5 - 1.0
    }
}

/// A body.
#[derive(Debug, Clone)]
pub(super) struct Body {
    /// What is squatted once in the first week, kilograms.
    pub(super) squat_kg: f64,
    /// Body mass, kilograms.
    pub(super) mass_kg: f64,
    /// Gain in a week, as a share.
    pub(super) gain: f64,
    /// How far a day may stray, as a share.
    pub(super) stray: f64,
}

/// What is lifted once, as a share of the squat, as a screen names the load. Invented; only the size need be plausible.
fn share(pattern: &str, load: LoadKind) -> f64 {
    use LoadKind::{Bar, Sled, Stack};
    let (bar, stack, one_dumbbell) = match pattern {
        "squat" => (1.0, 0.7, 0.35),
        "hinge" => (1.1, 0.6, 0.36),
        "lunge" => (0.6, 0.5, 0.24),
        "horizontal_press" => (0.72, 0.6, 0.27),
        "vertical_press" => (0.45, 0.4, 0.18),
        "horizontal_pull" => (0.7, 0.65, 0.3),
        "vertical_pull" => (0.62, 0.62, 0.3),
        "carry" | "shrug" => (0.9, 0.6, 0.4),
        "calf_raise" | "knee_extension" => (0.7, 0.7, 0.3),
        "knee_flexion" => (0.45, 0.45, 0.2),
        "hip_side" | "trunk" | "shoulder_extension" => (0.35, 0.35, 0.15),
        _ => (0.32, 0.3, 0.1),
    };
    match load {
        Bar => bar,
        Sled => 1.9,
        Stack => stack,
        _ => one_dumbbell,
    }
}

impl Body {
    /// Repetitions, seconds or metres to failure, `weeks` after the first, after so many sets of the movement; `day` says
    /// how the day goes, from -1 to 1. A load is in kilograms.
    pub(super) fn able(
        &self,
        catalogue: &Catalogue,
        m: &Movement,
        kg: Option<f64>,
        weeks: f64,
        day: f64,
        sets_before: u32,
    ) -> u32 {
        let form = (1.0 + self.gain * weeks) * (1.0 + self.stray * day);
        let pattern = catalogue.patterns.get(m.pattern).map_or("", |p| p.id.as_str());
        let able = match (m.measure, kg) {
            (Measure::Repetitions, Some(kg)) => {
                let (most, load) = match m.load_kind {
                    LoadKind::Added => (self.mass_kg * 0.55 + self.squat_kg * 0.6 * form, self.mass_kg + kg),
                    kind => (self.squat_kg * share(pattern, kind) * form, kg),
                };
                30.0 * (most / load.max(0.5) - 1.0)
            }
            (Measure::Repetitions, None) => (8.0 + self.squat_kg / 14.0) * form,
            _ => HELD * form,
        };
        (able.min(MOST_REPS.max(HELD * form)) - SET_COSTS * f64::from(sets_before.min(5))).max(0.0) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strength_gains_by_the_week_and_tires_from_set_to_set() {
        let catalogue = Catalogue::builtin().unwrap();
        let squat = catalogue.movement("barbell_back_squat").unwrap();
        let body = Body { squat_kg: 120.0, mass_kg: 80.0, gain: 0.01, stray: 0.02 };
        let able = |weeks, day, before| body.able(&catalogue, squat, Some(96.0), weeks, day, before);
        // 30 (120 / 96 - 1) = 7.5.
        assert_eq!(able(0.0, 0.0, 0), 7);
        assert!(able(10.0, 0.0, 0) > able(0.0, 0.0, 0));
        assert!(able(0.0, 0.0, 5) < able(0.0, 0.0, 0));
        assert!(able(0.0, -1.0, 0) < able(0.0, 1.0, 0));
        assert_eq!(body.able(&catalogue, squat, Some(150.0), 0.0, 0.0, 0), 0, "too heavy is not lifted");
    }

    #[test]
    fn chance_repeats_with_its_seed_and_stays_in_its_bounds() {
        let drawn = |seed| {
            let mut chance = Chance::new(seed);
            (0..200).map(|_| chance.stray()).collect::<Vec<_>>()
        };
        assert_eq!(drawn(1), drawn(1));
        assert_ne!(drawn(1), drawn(2));
        assert!(drawn(1).iter().all(|x| (-1.0..=1.0).contains(x)));
        assert!(drawn(1).iter().any(|x| *x < 0.0) && drawn(1).iter().any(|x| *x > 0.0));
    }
}
