//! The instance's numbers in the order in which the scorer reads them.

use super::day::{Lanes, lanes_of};
use crate::plan::model::{HeavyClass, Instance, Movement, Side};

/// Weekly half-sets whose price is looked up in a table.
const TABLE: usize = 128;

/// A movement's numbers, packed for speed.
#[derive(Debug, Clone)]
pub(super) struct Packed {
    pub(super) line: Lanes,
    pub(super) set: Lanes,
    pub(super) set_s: i32,
    pub(super) fixed_s: i32,
    pub(super) pattern: usize,
    pub(super) most_of_pattern: i32,
    pub(super) group: Option<usize>,
    pub(super) heavy: bool,
    pub(super) push: i32,
    pub(super) pull: i32,
    pub(super) set_price: i32,
    pub(super) session_price: i32,
    pub(super) use_price: i32,
    pub(super) exposures_max: i32,
    pub(super) exposures_wanted: i32,
    pub(super) exposure_price: i32,
    pub(super) trains: Vec<(usize, i16)>,
}

/// A muscle's numbers, packed for speed.
#[derive(Debug, Clone)]
pub(super) struct PackedMuscle {
    /// Price of the week's half-sets.
    pub(super) table: [i32; TABLE],
    pub(super) cap: i16,
    pub(super) threshold: i16,
    pub(super) days_wanted: i32,
}

/// Price of a muscle's weekly half-sets.
pub(super) fn price(i: &Instance, g: usize, h: i32) -> i32 {
    let m = &i.muscles[g];
    m.below_minimum * (m.minimum - h).max(0)
        + m.below_target * (m.target - h).max(0)
        + m.above_maximum * (h - m.maximum).max(0)
}

/// A muscle, packed.
pub(super) fn pack_muscle(i: &Instance, g: usize) -> PackedMuscle {
    let narrow = |v: i32| v.clamp(i32::from(i16::MIN), i32::from(i16::MAX)) as i16;
    let m = &i.muscles[g];
    PackedMuscle {
        table: std::array::from_fn(|h| price(i, g, h as i32)),
        cap: narrow(m.session_cap),
        threshold: narrow(m.day_threshold),
        days_wanted: m.days_wanted,
    }
}

/// The movements, packed.
pub(super) fn pack(i: &Instance) -> Vec<Packed> {
    let one = |m: &Movement| {
        let (line, set) = lanes_of(m);
        Packed {
            line,
            set,
            set_s: m.set_s,
            fixed_s: m.fixed_s,
            pattern: m.pattern,
            most_of_pattern: i.patterns[m.pattern].per_session_max,
            group: m.group,
            heavy: m.heavy != HeavyClass::None,
            push: i32::from(m.side == Side::Push),
            pull: i32::from(m.side == Side::Pull),
            set_price: m.set_price,
            session_price: m.session_price,
            use_price: m.use_price,
            exposures_max: m.exposures_max,
            exposures_wanted: m.exposures_wanted,
            exposure_price: m.exposure_price,
            trains: m.trains.iter().map(|t| (t.muscle, t.half_sets as i16)).collect(),
        }
    };
    i.movements.iter().map(one).collect()
}
