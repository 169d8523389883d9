//! Demands that can conflict, and the exact test whether some of them can be kept together.

use super::Barrier;
use crate::plan::brief::{Brief, Minutes, Nature, WishKind};
use crate::plan::model::{HeavyClass, Instance};
use crate::plan::search::{Feasible, Requirement, Rules, feasible};
use crate::plan::{Case, Keep, Planner, build};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// More than any limit.
const LIFTED: i32 = 1_000_000;
/// Most training days of a week.
pub(super) const MOST_DAYS: u32 = 6;

/// Something demanded of the week: a movement asked for, a fact of the brief, or a limit.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Demand {
    /// A movement asked for.
    Asked {
        /// Id of the movement.
        movement: String,
        /// Sessions a week.
        times: i32,
        /// On this day only, counted from 0.
        day: Option<usize>,
        /// With so many sets.
        sets: Option<i32>,
        /// Its place among the wishes of the brief, counted from 0; absent for a change asked about.
        rank: Option<usize>,
    },
    /// No more training days than these.
    Days {
        /// Days a week.
        days: i32,
    },
    /// No more minutes than these, the warm-up among them.
    Minutes {
        /// Minutes of each session.
        minutes: Vec<i32>,
    },
    /// A movement or pattern is forbidden.
    Forbid {
        /// Id of the movement.
        movement: Option<String>,
        /// Id of the pattern.
        pattern: Option<String>,
    },
    /// A limit or another fact of the brief.
    Barrier {
        /// Which.
        barrier: Barrier,
    },
}

impl Demand {
    fn fact(barrier: Barrier) -> Self {
        Self::Barrier { barrier }
    }

    /// It can be lifted without rebuilding the numbers of the brief.
    fn is_limit(&self) -> bool {
        use Barrier as B;
        match self {
            Self::Asked { .. } | Self::Minutes { .. } => true,
            Self::Days { .. } | Self::Forbid { .. } => false,
            Self::Barrier { barrier } => !matches!(
                barrier,
                B::Kit { .. }
                    | B::Discomfort { .. }
                    | B::NewDiscomfort { .. }
                    | B::AfterSurgery { .. }
                    | B::RegionOut { .. }
                    | B::LyingOnBack
                    | B::LyingOnFront
                    | B::AloneWithoutSafeties
            ),
        }
    }
}

/// The limits of the model as demands, those first that one would rather not be told.
pub(super) fn limits(instance: &Instance) -> Vec<Demand> {
    let mut out = Vec::new();
    for m in &instance.muscles {
        out.push(Demand::fact(Barrier::Muscle { muscle: m.id.clone() }));
    }
    for p in &instance.patterns {
        out.push(Demand::fact(Barrier::Pattern { pattern: p.id.clone() }));
    }
    // One demand for the most sessions of every movement: it binds only what would have to help.
    out.push(Demand::fact(Barrier::MostPerWeek { movement: String::new(), most: 0 }));
    out.extend(
        [
            Barrier::Trunk,
            Barrier::Grip,
            Barrier::Fatigue,
            Barrier::Axial,
            Barrier::SingleJoint,
            Barrier::SingleJointThird,
            Barrier::SingleJointOverCompounds,
            Barrier::AxialThree,
            Barrier::HeavyPair,
            Barrier::Movements,
        ]
        .map(Demand::fact),
    );
    out
}

/// The facts of the brief that take movements out, as demands.
pub(super) fn facts(brief: &Brief) -> Vec<Demand> {
    let mut out = Vec::new();
    for w in brief.wishes.iter().filter(|w| w.wish == WishKind::Forbid) {
        out.push(Demand::Forbid { movement: w.movement.clone(), pattern: w.pattern.clone() });
    }
    out.push(Demand::fact(Barrier::Kit { missing: Vec::new() }));
    if brief.alone && !brief.safeties {
        out.push(Demand::fact(Barrier::AloneWithoutSafeties));
    }
    if brief.limits.no_lying_on_back {
        out.push(Demand::fact(Barrier::LyingOnBack));
    }
    if brief.limits.no_lying_on_front {
        out.push(Demand::fact(Barrier::LyingOnFront));
    }
    for d in &brief.discomforts {
        let region = d.region.clone();
        out.push(Demand::fact(if d.nature == Nature::NewOrWorse {
            Barrier::NewDiscomfort { region }
        } else {
            Barrier::Discomfort { region, severity: d.severity as i32 + 1 }
        }));
    }
    for region in &brief.limits.after_surgery {
        out.push(Demand::fact(Barrier::AfterSurgery { region: region.clone() }));
    }
    for region in &brief.limits.regions_out {
        out.push(Demand::fact(Barrier::RegionOut { region: region.clone() }));
    }
    out
}

/// Demands on one brief, and the exact test of any part of them.
pub(super) struct System<'a> {
    planner: Planner<'a>,
    brief: Brief,
    case: &'a Case,
    pub(super) demands: Vec<Demand>,
    /// The numbers last built, with the facts that were in force.
    built: Option<(Vec<bool>, Instance)>,
}

impl<'a> System<'a> {
    pub(super) fn new(planner: Planner<'a>, brief: &Brief, case: &'a Case, demands: Vec<Demand>) -> Self {
        let mut brief = brief.clone();
        // What carries the programme stays what it is while facts are lifted.
        let carrying = case.carrying.iter().map(|m| planner.catalogue.movements[*m].id.clone());
        brief.carrying = Some(carrying.collect());
        Self { planner, brief, case, demands, built: None }
    }

    /// Whether the demands marked in `active` can be kept together, every other demand lifted.
    pub(super) fn test(&mut self, active: &[bool]) -> Feasible {
        let (instance, rules, required) = self.numbers(active);
        let Some(required) = required else { return Feasible::No };
        feasible(&instance, rules, &required)
    }

    /// The numbers with the demands marked in `active` in force; no requirements when one of the movements
    /// asked for is out.
    pub(super) fn numbers(&mut self, active: &[bool]) -> (Instance, Rules, Option<Vec<Requirement>>) {
        let mut instance = self.instance(active);
        let mut rules = Rules::ALL;
        let lifted: Vec<&Demand> =
            self.demands.iter().zip(active).filter(|(_, a)| !**a).map(|(d, _)| d).collect();
        for demand in lifted {
            lift(&mut instance, &mut rules, demand);
        }
        let mut required = Some(Vec::new());
        for (demand, _) in self.demands.iter().zip(active).filter(|(_, a)| **a) {
            let Demand::Asked { movement, times, day, sets, .. } = demand else { continue };
            let at = instance.movements.iter().position(|m| m.id == *movement);
            if let (Some(m), Some(sets)) = (at, *sets) {
                instance.movements[m].sets_min = sets;
            }
            required = required.zip(at).map(|(mut all, movement)| {
                all.push(Requirement { movement, times: *times, day: *day });
                all
            });
        }
        (instance, rules, required)
    }

    /// The numbers of the brief with the inactive facts lifted.
    fn instance(&mut self, active: &[bool]) -> Instance {
        let key: Vec<bool> = self.demands.iter().zip(active).map(|(d, a)| *a || d.is_limit()).collect();
        if let Some((_, instance)) = self.built.as_ref().filter(|(of, _)| *of == key) {
            return instance.clone();
        }
        let mut brief = self.brief.clone();
        for (demand, _) in self.demands.iter().zip(&key).filter(|(_, a)| !**a) {
            relax(&mut brief, demand, self.planner);
        }
        let mut instance = build(&brief, self.planner.catalogue, self.planner.weights, Keep::All).instance;
        // Lifting a fact may not change how a movement is done that was there before: fewer demands must never
        // be harder to keep.
        for m in &mut instance.movements {
            if let Some(of) = self.case.instance.movements.iter().find(|of| of.id == m.id) {
                let exposures_max = m.exposures_max.max(of.exposures_max);
                *m = of.clone();
                m.exposures_max = exposures_max;
            }
        }
        self.built = Some((key, instance.clone()));
        instance
    }
}

/// Takes a fact out of a brief.
fn relax(brief: &mut Brief, demand: &Demand, planner: Planner<'_>) {
    match demand {
        Demand::Days { .. } => {
            let longest = (0..brief.days as usize).map(|d| brief.minutes_of(d)).max().unwrap_or(60);
            if let Minutes::Each(each) = &mut brief.minutes {
                each.resize(MOST_DAYS as usize, longest);
            }
            brief.days = MOST_DAYS;
            brief.weekdays.clear();
        }
        Demand::Forbid { movement, pattern } => brief
            .wishes
            .retain(|w| w.wish != WishKind::Forbid || w.movement != *movement || w.pattern != *pattern),
        Demand::Barrier { barrier } => match barrier {
            Barrier::Kit { .. } => {
                brief.equipment = planner.catalogue.equipment.iter().map(|e| e.id.clone()).collect();
            }
            Barrier::AloneWithoutSafeties => brief.safeties = true,
            Barrier::LyingOnBack => brief.limits.no_lying_on_back = false,
            Barrier::LyingOnFront => brief.limits.no_lying_on_front = false,
            Barrier::Discomfort { region, .. } | Barrier::NewDiscomfort { region } => {
                brief.discomforts.retain(|d| d.region != *region);
            }
            Barrier::AfterSurgery { region } => brief.limits.after_surgery.retain(|r| r != region),
            Barrier::RegionOut { region } => brief.limits.regions_out.retain(|r| r != region),
            _ => {}
        },
        Demand::Asked { .. } | Demand::Minutes { .. } => {}
    }
}

/// Takes a limit out of the numbers.
fn lift(instance: &mut Instance, rules: &mut Rules, demand: &Demand) {
    let Demand::Barrier { barrier } = demand else {
        if matches!(demand, Demand::Minutes { .. }) {
            instance.days.iter_mut().for_each(|d| d.time_s = LIFTED);
        }
        return;
    };
    match barrier {
        Barrier::Muscle { muscle } => {
            instance.muscles.iter_mut().filter(|m| m.id == *muscle).for_each(|m| m.session_cap = LIFTED);
        }
        Barrier::Pattern { pattern } => {
            instance
                .patterns
                .iter_mut()
                .filter(|p| p.id == *pattern)
                .for_each(|p| p.per_session_max = LIFTED);
        }
        Barrier::MostPerWeek { .. } => {
            let days = instance.days.len() as i32;
            instance.movements.iter_mut().for_each(|m| m.exposures_max = m.exposures_max.max(days));
        }
        Barrier::Trunk => instance.days.iter_mut().for_each(|d| d.trunk_max = LIFTED),
        Barrier::Grip => instance.days.iter_mut().for_each(|d| d.grip_max = LIFTED),
        Barrier::Fatigue => instance.days.iter_mut().for_each(|d| d.fatigue_max = LIFTED),
        Barrier::Axial => instance.days.iter_mut().for_each(|d| d.axial_max = LIFTED),
        Barrier::SingleJoint => instance.days.iter_mut().for_each(|d| d.single_joint_max = LIFTED),
        Barrier::Movements => instance.days.iter_mut().for_each(|d| d.movements_max = LIFTED),
        Barrier::SingleJointThird => rules.third = false,
        Barrier::SingleJointOverCompounds => rules.over_compounds = false,
        Barrier::AxialThree => rules.axial_three = false,
        Barrier::HeavyPair => {
            rules.heavy_pair = false;
            instance.movements.iter_mut().for_each(|m| m.heavy = HeavyClass::None);
        }
        _ => {}
    }
}
