//! What an invented lifter can do, unknown to the product: how strong in each movement, how fast they improve, and
//! how a day goes. The ratios are invented; they need only be of a plausible size.

use plinth_core::catalogue::{Catalogue, LoadKind, Measure, Movement};
use std::collections::BTreeMap;

/// The body of a walk's lifter.
#[derive(Debug, Clone)]
pub struct Body {
    /// Kilograms that the lifter squats once at the beginning; other movements follow.
    pub squat_kg: f64,
    /// Body mass in kilograms.
    pub mass_kg: f64,
    /// Gain in a week, as a share.
    pub gain: f64,
    /// How far a day may stray, as a share.
    pub stray: f64,
    /// Share of the weaker side's strength, for one-sided movements.
    pub weaker: f64,
    /// Movements in which this lifter is better or worse than the ratios, by id.
    pub own: BTreeMap<String, f64>,
}

impl Body {
    /// A body that squats so much, improving by so much a week.
    pub fn new(squat_kg: f64, mass_kg: f64, gain: f64) -> Self {
        Self { squat_kg, mass_kg, gain, stray: 0.02, weaker: 1.0, own: BTreeMap::new() }
    }

    /// The most that is lifted once in a movement, in kilograms as a screen names loads; `weeks` after the start.
    #[allow(clippy::match_same_arms)] // a table: one row for each pattern and load
    fn most(&self, catalogue: &Catalogue, m: &Movement, weeks: f64) -> f64 {
        use LoadKind::{Added, Bar, Dumbbell, DumbbellPair, Sled, Stack};
        let pattern = catalogue.patterns.get(m.pattern).map_or("", |p| p.id.as_str());
        let share = match (pattern, m.load_kind) {
            ("squat", Sled) => 1.9,
            ("squat", Bar) => 1.0,
            ("squat", _) => 0.35,
            ("lunge", Bar) => 0.6,
            ("lunge", _) => 0.24,
            ("hinge", Bar) => 1.1,
            ("hinge", Stack) => 0.6,
            ("hinge", _) => 0.36,
            ("horizontal_press", Bar) => 0.72,
            ("horizontal_press", DumbbellPair | Dumbbell) => 0.27,
            ("horizontal_press", _) => 0.6,
            ("vertical_press", Bar) => 0.45,
            ("vertical_press", DumbbellPair | Dumbbell) => 0.18,
            ("vertical_press", _) => 0.4,
            ("horizontal_pull", Bar) => 0.7,
            ("horizontal_pull", DumbbellPair | Dumbbell) => 0.3,
            ("horizontal_pull", _) => 0.65,
            ("vertical_pull", Added) => 0.0,
            ("vertical_pull", _) => 0.62,
            ("carry", _) => 0.45,
            ("shrug", Bar) => 0.9,
            ("shrug", _) => 0.38,
            ("calf_raise", Sled) => 1.9,
            ("calf_raise" | "knee_extension", _) => 0.7,
            ("knee_flexion", _) => 0.45,
            ("hip_side" | "trunk" | "shoulder_extension", _) => 0.35,
            (_, Bar) => 0.32,
            (_, Stack) => 0.3,
            _ => 0.1,
        };
        let strong = self.squat_kg * (1.0 + self.gain * weeks) * self.own.get(&m.id).unwrap_or(&1.0);
        match m.load_kind {
            Added => self.mass_kg * 0.55 + strong * 0.6,
            _ => strong * share,
        }
    }

    /// Repetitions (seconds, metres) to failure at a load on a day that goes so well (-1 to 1), fresh.
    pub fn able(&self, catalogue: &Catalogue, m: &Movement, kg: Option<f64>, weeks: f64, day: f64) -> f64 {
        let most = self.most(catalogue, m, weeks) * (1.0 + self.stray * day);
        if m.measure != Measure::Repetitions {
            return 55.0 * (1.0 + self.gain * weeks);
        }
        let Some(kg) = kg else { return 12.0 + self.squat_kg / 12.0 * (1.0 + self.gain * weeks) };
        let load = match m.load_kind {
            LoadKind::Added => self.mass_kg + kg,
            _ => kg,
        };
        // A load for more than thirty repetitions is as good as none here.
        (30.0 * (most / load.max(0.5) - 1.0)).clamp(0.0, 30.0)
    }
}
