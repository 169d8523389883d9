//! An irreducible set of conflicting demands, by a deletion filter on the exact test.

use super::demand::{System, facts, limits};
use super::{Barrier, Demand};
use crate::plan::brief::Brief;
use crate::plan::filter::{missing_kit, owned_kit};
use crate::plan::model::Instance;
use crate::plan::search::{Feasible, Requirement};
use crate::plan::{Case, Planner};

/// An irreducible conflict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Conflict {
    /// Demands that cannot be kept together.
    pub(super) demands: Vec<Demand>,
    /// Without any one of them the others can be kept: proved for each.
    pub(super) irreducible: bool,
}

/// The conflict behind a change asked about, `None` when none is proved.
pub(super) fn conflict_of(
    planner: &Planner<'_>,
    brief: &Brief,
    case: &Case,
    instance: &Instance,
    required: &[Requirement],
) -> Option<Vec<Demand>> {
    let asked: Vec<Demand> = required
        .iter()
        .map(|r| {
            let (m, usual) = (&instance.movements[r.movement], &case.instance.movements[r.movement]);
            Demand::Asked {
                movement: m.id.clone(),
                times: r.times,
                day: r.day,
                sets: (m.sets_min != usual.sets_min).then_some(m.sets_min),
                rank: None,
            }
        })
        .collect();
    conflict(*planner, brief, case, &asked).map(|c| c.demands)
}

/// Facts and limits against which movements are asked for.
fn all_demands(brief: &Brief, case: &Case, asked: &[Demand]) -> Vec<Demand> {
    let mut demands = limits(&case.instance);
    demands.extend(asked.iter().rev().cloned());
    demands.extend(facts(brief));
    demands.push(Demand::Minutes {
        minutes: (0..brief.days as usize).map(|d| brief.minutes_of(d) as i32).collect(),
    });
    if !asked.iter().any(|a| matches!(a, Demand::Asked { day: Some(_), .. })) {
        demands.push(Demand::Days { days: brief.days as i32 });
    }
    demands
}

/// The conflict of `asked` with the brief and the limits. The first of `asked` is the one to be explained and
/// is let go of last. `None` when they can be kept together, or when that was not settled.
pub(super) fn conflict(
    planner: Planner<'_>,
    brief: &Brief,
    case: &Case,
    asked: &[Demand],
) -> Option<Conflict> {
    let demands = all_demands(brief, case, asked);
    let mut system = System::new(planner, brief, case, demands);
    let n = system.demands.len();
    let mut active = vec![true; n];
    if system.test(&active) != Feasible::No {
        return None;
    }
    let first = asked.first().and_then(|a| system.demands.iter().position(|d| d == a));
    let mut irreducible = true;
    // First whole kinds at once, then one demand at a time.
    let minor = |d: &Demand| {
        matches!(
            d,
            Demand::Barrier {
                barrier: Barrier::Muscle { .. }
                    | Barrier::Pattern { .. }
                    | Barrier::MostPerWeek { .. }
                    | Barrier::Trunk
                    | Barrier::Grip
                    | Barrier::Fatigue
                    | Barrier::Axial
            }
        )
    };
    let others = |d: &Demand| matches!(d, Demand::Asked { .. });
    let limit =
        |d: &Demand| matches!(d, Demand::Barrier { .. } | Demand::Minutes { .. } | Demand::Days { .. });
    for kind in [&others as &dyn Fn(&Demand) -> bool, &limit, &minor] {
        let trial: Vec<bool> =
            (0..n).map(|k| active[k] && (!kind(&system.demands[k]) || Some(k) == first)).collect();
        if trial != active && system.test(&trial) == Feasible::No {
            active = trial;
        }
    }
    let order: Vec<usize> = (0..n).filter(|k| Some(*k) != first).chain(first).collect();
    for k in order {
        if !active[k] {
            continue;
        }
        active[k] = false;
        match system.test(&active) {
            Feasible::No => {}
            Feasible::Yes(_) => active[k] = true,
            Feasible::Open => {
                active[k] = true;
                irreducible = false;
            }
        }
    }
    let mut out: Vec<Demand> =
        system.demands.iter().zip(&active).filter(|(_, a)| **a).map(|(d, _)| d.clone()).collect();
    // The movements asked for first, in their order.
    let at = |d: &Demand| asked.iter().position(|a| a == d).unwrap_or(asked.len());
    out.sort_by_key(at);
    name_kit(planner, brief, &mut out);
    Some(Conflict { demands: out, irreducible })
}

/// Names the kit that the movements of a conflict lack.
fn name_kit(planner: Planner<'_>, brief: &Brief, demands: &mut [Demand]) {
    let catalogue = planner.catalogue;
    let owned = owned_kit(brief, catalogue);
    let mut lacking: Vec<String> = Vec::new();
    for d in demands.iter() {
        let Demand::Asked { movement, .. } = d else { continue };
        let Some(m) = catalogue.movement(movement) else { continue };
        for e in missing_kit(m, &owned) {
            let id = &catalogue.equipment[e].id;
            if !lacking.contains(id) {
                lacking.push(id.clone());
            }
        }
    }
    for d in demands {
        if let Demand::Barrier { barrier: Barrier::Kit { missing } } = d {
            missing.clone_from(&lacking);
        }
    }
}

/// Tests a set of demands as [`Impossible::demands`](super::Impossible) gives it: whether they can be kept together
/// when every other demand on the brief is lifted. `None` when it is not settled.
pub(super) fn keepable(planner: Planner<'_>, brief: &Brief, case: &Case, demands: &[Demand]) -> Option<bool> {
    let asked: Vec<Demand> = demands.iter().filter(|d| matches!(d, Demand::Asked { .. })).cloned().collect();
    let mut system = System::new(planner, brief, case, all_demands(brief, case, &asked));
    let same = |a: &Demand, b: &Demand| match (a, b) {
        (
            Demand::Barrier { barrier: Barrier::Kit { .. } },
            Demand::Barrier { barrier: Barrier::Kit { .. } },
        ) => true,
        (a, b) => a == b,
    };
    let active: Vec<bool> = system.demands.iter().map(|d| demands.iter().any(|k| same(k, d))).collect();
    match system.test(&active) {
        Feasible::Yes(_) => Some(true),
        Feasible::No => Some(false),
        Feasible::Open => None,
    }
}
