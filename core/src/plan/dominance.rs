//! Exact dominance: a movement that another of its pattern replaces at no greater cost in any respect.

use super::model::{Instance, Movement};

/// For each movement the index of one that dominates it, if any.
///
/// By an exchange argument the optimum does not change without it: wherever the dominated movement stands,
/// the other can stand, since one session holds one movement of the pattern and the other may be used every
/// day; every limit is used no more and every term of the objective is no greater.
pub(super) fn dominated(instance: &Instance) -> Vec<Option<usize>> {
    let ms = &instance.movements;
    let mut out: Vec<Option<usize>> = vec![None; ms.len()];
    for (k, m) in ms.iter().enumerate() {
        if instance.patterns[m.pattern].per_session_max != 1 {
            continue;
        }
        out[k] = (0..ms.len()).find(|&j| {
            j != k && out[j].is_none() && beats(&ms[j], m, instance.days.len() as i32) && {
                // Of two that beat each other the first stays.
                j < k || !beats(m, &ms[j], instance.days.len() as i32)
            }
        });
    }
    out
}

fn beats(a: &Movement, b: &Movement, days: i32) -> bool {
    a.pattern == b.pattern
        && a.exposures_max >= days
        && b.exposures_wanted == 0
        && a.exposures_wanted == 0
        && same_shares(a, b)
        && a.carrying == b.carrying
        && a.single_joint == b.single_joint
        && a.counts_to_third == b.counts_to_third
        && a.compound == b.compound
        && a.trunk == b.trunk
        && a.side == b.side
        && a.group == b.group
        && a.pair_class == b.pair_class
        && (a.heavy == b.heavy || a.heavy == super::model::HeavyClass::None)
        && a.sets_min <= b.sets_min
        && a.sets_max >= b.sets_max
        && a.set_s <= b.set_s
        && a.fixed_s <= b.fixed_s
        && a.axial <= b.axial
        && a.fatigue <= b.fatigue
        && a.grip <= b.grip
        && a.set_price <= b.set_price
        && a.session_price <= b.session_price
        && a.use_price <= b.use_price
}

fn same_shares(a: &Movement, b: &Movement) -> bool {
    a.trains.len() == b.trains.len()
        && a.trains
            .iter()
            .all(|s| b.trains.iter().any(|t| t.muscle == s.muscle && t.half_sets == s.half_sets))
}
