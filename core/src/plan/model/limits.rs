//! The hard limits of a day and of the week: which are broken, and which have nothing left.

use super::{HeavyClass, Instance, Slot, Week};
use serde::Serialize;

/// A hard limit. The empty week breaks none, so the model always has an answer.
///
/// Each is put into words once, at the [`Barrier`](crate::plan::reason::Barrier) of the same name
/// ([`MostPerWeek`](crate::plan::reason::Barrier::MostPerWeek) for `Exposures`); the numbers of
/// [`slack_of_day`] say it exactly. What it holds is an index into the instance's patterns, muscles or movements.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)] // said at Barrier
pub enum Limit {
    Repeated,
    SetsRange,
    Time,
    Movements,
    SingleJoint,
    SingleJointOverCompounds,
    SingleJointThird,
    Trunk,
    Pattern(usize),
    AxialThree,
    HeavyPair,
    Axial,
    Fatigue,
    Grip,
    Muscle(usize),
    Exposures(usize),
}

/// How much of a day's limit is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slack {
    /// The limit.
    pub limit: Limit,
    /// What is used.
    pub used: i32,
    /// What there is.
    pub available: i32,
}

/// Uses and limits of one day's lines, in the order of [`Limit`].
pub fn slack_of_day(instance: &Instance, day: usize, slots: &[Slot]) -> Vec<Slack> {
    let d = &instance.days[day];
    let sum = |f: &dyn Fn(&super::Movement, i32) -> i32| -> i32 {
        slots.iter().map(|s| f(&instance.movements[s.movement], s.sets)).sum()
    };
    let mut by_class = [0; 4];
    for s in slots {
        if let Some(class) = instance.movements[s.movement].pair_class.slot() {
            by_class[class] += s.sets;
        }
    }
    let seconds = sum(&|m, sets| m.fixed_s + m.set_s * sets) - instance.pairs_save(by_class);
    let single = sum(&|m, _| i32::from(m.single_joint));
    let compound = sum(&|m, _| i32::from(m.compound));
    let third = sum(&|m, sets| if m.counts_to_third { 3 * sets } else { 0 });
    let squats = sum(&|m, _| i32::from(m.heavy == HeavyClass::Squat)).min(1);
    let pulls = sum(&|m, _| i32::from(m.heavy == HeavyClass::FloorPull)).min(1);
    let mut out = vec![
        Slack { limit: Limit::Time, used: seconds, available: d.time_s },
        Slack { limit: Limit::Movements, used: slots.len() as i32, available: d.movements_max },
        Slack { limit: Limit::SingleJoint, used: single, available: d.single_joint_max },
        Slack { limit: Limit::SingleJointOverCompounds, used: single, available: compound },
        Slack { limit: Limit::SingleJointThird, used: third, available: sum(&|_, sets| sets) },
        Slack { limit: Limit::Trunk, used: sum(&|m, _| i32::from(m.trunk)), available: d.trunk_max },
    ];
    for (p, pattern) in instance.patterns.iter().enumerate() {
        let used = sum(&|m, _| i32::from(m.pattern == p));
        out.push(Slack { limit: Limit::Pattern(p), used, available: pattern.per_session_max });
    }
    out.push(Slack { limit: Limit::AxialThree, used: sum(&|m, _| i32::from(m.axial >= 3)), available: 1 });
    out.push(Slack { limit: Limit::HeavyPair, used: squats + pulls, available: 1 });
    out.push(Slack { limit: Limit::Axial, used: sum(&|m, sets| m.axial * sets), available: d.axial_max });
    out.push(Slack {
        limit: Limit::Fatigue,
        used: sum(&|m, sets| m.fatigue * sets),
        available: d.fatigue_max,
    });
    out.push(Slack { limit: Limit::Grip, used: sum(&|m, sets| m.grip * sets), available: d.grip_max });
    for (g, muscle) in instance.muscles.iter().enumerate() {
        let used =
            sum(&|m, sets| m.trains.iter().filter(|t| t.muscle == g).map(|t| t.half_sets * sets).sum());
        out.push(Slack { limit: Limit::Muscle(g), used, available: muscle.session_cap });
    }
    out
}

/// Every limit that `week` breaks, with the day where it is broken (`None` for a limit of the week).
pub fn broken_limits(instance: &Instance, week: &Week) -> Vec<(Option<usize>, Limit)> {
    let mut broken = Vec::new();
    let mut exposures = vec![0; instance.movements.len()];
    for (d, slots) in week.days.iter().enumerate() {
        for (k, s) in slots.iter().enumerate() {
            let m = &instance.movements[s.movement];
            exposures[s.movement] += 1;
            if slots[..k].iter().any(|t| t.movement == s.movement) {
                broken.push((Some(d), Limit::Repeated));
            }
            if s.sets < m.sets_min || s.sets > m.sets_max {
                broken.push((Some(d), Limit::SetsRange));
            }
        }
        for slack in slack_of_day(instance, d, slots) {
            if slack.used > slack.available {
                broken.push((Some(d), slack.limit));
            }
        }
    }
    for (m, &n) in exposures.iter().enumerate() {
        if n > instance.movements[m].exposures_max {
            broken.push((None, Limit::Exposures(m)));
        }
    }
    broken
}
