//! What one day uses of its limits, in lanes that add and compare together.

use crate::plan::model::{Day, HeavyClass, Instance, Movement, PairClass, Slot};

/// Most lines of a day while moves are tried; limits allow fewer.
pub(super) const LINES: usize = 14;
/// Most muscle groups.
pub(super) const MUSCLES: usize = 24;
/// Most patterns.
pub(super) const PATTERNS: usize = 32;

/// Sums over a day's lines, one in each lane.
pub(super) type Lanes = [i16; 16];

/// Lines of the day.
const COUNT: usize = 0;
const SINGLE: usize = 1;
/// Single-joint lines less compounds.
const SINGLE_OVER: usize = 2;
/// Three times the sets that count to the third, less all sets.
const THIRD: usize = 3;
const TRUNK: usize = 4;
const AXIAL_THREE: usize = 5;
/// Axial load.
const AXIAL: usize = 6;
const FATIGUE: usize = 7;
const GRIP: usize = 8;
const CARRYING: usize = 9;
const SQUATS: usize = 10;
const FLOOR_PULLS: usize = 11;
/// Sets of the four pair classes, in the last four lanes.
const CLASSES: usize = 12;

/// What one line of a movement adds, and what each of its sets adds.
pub(super) fn lanes_of(m: &Movement) -> (Lanes, Lanes) {
    let (mut line, mut set) = ([0; 16], [0; 16]);
    line[COUNT] = 1;
    line[SINGLE] = i16::from(m.single_joint);
    line[SINGLE_OVER] = i16::from(m.single_joint) - i16::from(m.compound);
    line[TRUNK] = i16::from(m.trunk);
    line[AXIAL_THREE] = i16::from(m.axial >= 3);
    line[CARRYING] = i16::from(m.carrying);
    line[SQUATS] = i16::from(m.heavy == HeavyClass::Squat);
    line[FLOOR_PULLS] = i16::from(m.heavy == HeavyClass::FloorPull);
    set[THIRD] = 3 * i16::from(m.counts_to_third) - 1;
    set[AXIAL] = m.axial as i16;
    set[FATIGUE] = m.fatigue as i16;
    set[GRIP] = m.grip as i16;
    if let Some(class) = PairClass::slot(m.pair_class) {
        set[CLASSES + class] = 1;
    }
    (line, set)
}

/// The most that a day allows in each lane.
pub(super) fn limits_of(day: &Day) -> Lanes {
    let mut most = [i16::MAX; 16];
    let narrow = |v: i32| v.clamp(i32::from(i16::MIN), i32::from(i16::MAX)) as i16;
    most[COUNT] = narrow(day.movements_max);
    most[SINGLE] = narrow(day.single_joint_max);
    most[SINGLE_OVER] = 0;
    most[THIRD] = 0;
    most[TRUNK] = narrow(day.trunk_max);
    most[AXIAL_THREE] = 1;
    most[AXIAL] = narrow(day.axial_max);
    most[FATIGUE] = narrow(day.fatigue_max);
    most[GRIP] = narrow(day.grip_max);
    most
}

/// A line of a day, packed.
#[derive(Debug, Clone, Copy, Default)]
struct Line {
    movement: u16,
    sets: u16,
}

/// A day under change.
#[derive(Debug, Clone, Copy)]
pub(super) struct DayState {
    pub(super) lanes: Lanes,
    lines: [Line; LINES],
    pub(super) by_pattern: [i8; PATTERNS],
    pub(super) half_sets: [i16; MUSCLES],
    pub(super) raw_s: i32,
    pub(super) time_s: i32,
    /// Lines above what patterns allow.
    pub(super) pattern_over: i32,
    /// Muscles above their session cap.
    pub(super) cap_over: i32,
}

impl DayState {
    pub(super) const EMPTY: Self = Self {
        lanes: [0; 16],
        lines: [Line { movement: 0, sets: 0 }; LINES],
        by_pattern: [0; PATTERNS],
        half_sets: [0; MUSCLES],
        raw_s: 0,
        time_s: 0,
        pattern_over: 0,
        cap_over: 0,
    };

    #[inline]
    pub(super) fn len(&self) -> usize {
        self.lanes[COUNT] as usize
    }

    #[inline]
    pub(super) fn slot(&self, k: usize) -> Slot {
        let line = self.lines[k];
        Slot { movement: usize::from(line.movement), sets: i32::from(line.sets) }
    }

    /// Whether the lanes that only grow keep their limits; at most one movement that loads the spine most only
    /// where it is asked.
    pub(super) fn within_growing(&self, limits: &Lanes, axial_three: bool) -> bool {
        [COUNT, SINGLE, TRUNK, AXIAL, FATIGUE, GRIP].into_iter().all(|k| self.lanes[k] <= limits[k])
            && (!axial_three || self.lanes[AXIAL_THREE] <= limits[AXIAL_THREE])
    }

    /// Single-joint lines less compounds.
    pub(super) fn single_joint_over_compounds(&self) -> i32 {
        i32::from(self.lanes[SINGLE_OVER])
    }

    /// Three times the sets that count to the third, less all sets.
    pub(super) fn over_third(&self) -> i32 {
        i32::from(self.lanes[THIRD])
    }

    #[inline]
    pub(super) fn carrying(&self) -> i32 {
        i32::from(self.lanes[CARRYING])
    }

    #[inline]
    pub(super) fn axial(&self) -> i32 {
        i32::from(self.lanes[AXIAL])
    }

    #[inline]
    pub(super) fn has_squat(&self) -> bool {
        self.lanes[SQUATS] > 0
    }

    #[inline]
    pub(super) fn has_floor_pull(&self) -> bool {
        self.lanes[FLOOR_PULLS] > 0
    }

    /// Whether every lane is within `most`.
    #[inline]
    pub(super) fn within(&self, most: &Lanes) -> bool {
        let mut over = 0;
        for (used, most) in self.lanes.iter().zip(most) {
            over |= i16::from(used > most);
        }
        over == 0
    }

    /// Seconds that pairs save.
    #[inline]
    pub(super) fn pairs_save(&self, instance: &Instance) -> i32 {
        let c = &self.lanes;
        instance.pairs_save([c[12].into(), c[13].into(), c[14].into(), c[15].into()])
    }

    /// Adds what a change adds to the lanes, and keeps the list of lines.
    #[inline]
    pub(super) fn add(&mut self, line: &Lanes, set: &Lanes, movement: usize, from: i32, to: i32) {
        let n = self.len();
        let sets = (to - from) as i16;
        let lines = i16::from(to > 0) - i16::from(from > 0);
        for ((lane, line), set) in self.lanes.iter_mut().zip(line).zip(set) {
            *lane += line * lines + set * sets;
        }
        let new = Line { movement: movement as u16, sets: to as u16 };
        if lines > 0 {
            self.lines[n] = new;
        } else if let Some(k) = self.lines[..n].iter().position(|l| usize::from(l.movement) == movement) {
            self.lines[k] = if lines < 0 { self.lines[n - 1] } else { new };
        }
    }
}
