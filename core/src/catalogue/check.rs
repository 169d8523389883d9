//! Checks that look at several rows at once.

use super::fault::{Fault, Faults};
use super::movement::{Movement, ShareKind};
use super::{StandIn, StandInKind};

/// Every movement trains a muscle directly; every row has its reason and source; a second direct muscle
/// has two of each, since an optimiser exploits a generous entry.
pub(super) fn check_attributions(movement: &Movement, faults: &mut Faults<'_>) {
    if !movement.own {
        faults.row.clone_from(&movement.id);
    }
    if movement.direct().next().is_none() {
        faults.add("share", "trains no muscle directly", "give it at least one direct muscle");
    }
    let mut direct = 0;
    for a in &movement.trains {
        if a.reason.trim().is_empty() || a.source.trim().is_empty() {
            faults.add(
                "reason",
                "a row without reason or source",
                "give both, or \"common practice, no source\"",
            );
        }
        if a.share == ShareKind::Direct {
            direct += 1;
            let twice = a.second.as_ref().is_some_and(|(r, s)| {
                !r.trim().is_empty() && !s.trim().is_empty() && r.trim() != a.reason.trim()
            });
            if direct > 1 && !twice {
                faults.add(
                    "second_reason",
                    format!("direct muscle number {direct} has one reason"),
                    "give a second, different reason with its source, or make it indirect",
                );
            }
        }
    }
}

/// At least two stand-ins for every movement; a stand-in for a sore region asks less of that region.
pub(super) fn check_stand_ins(movements: &[Movement], stand_ins: &[StandIn], list: &mut Vec<Fault>) {
    for (m, movement) in movements.iter().enumerate() {
        let mut to: Vec<usize> = stand_ins.iter().filter(|s| s.from == m).map(|s| s.to).collect();
        to.sort_unstable();
        to.dedup();
        if to.len() < 2 {
            let mut faults = Faults { file: "stand_ins.csv", row: movement.id.clone(), list };
            faults.add("from", format!("{} different stand-ins", to.len()), "give at least two");
        }
    }
    for (k, s) in stand_ins.iter().enumerate() {
        let (from, to) = (&movements[s.from], &movements[s.to]);
        let mut faults = Faults { file: "stand_ins.csv", row: format!("{} -> {}", from.id, to.id), list };
        if stand_ins[..k].iter().any(|t| (t.from, t.to, t.kind) == (s.from, s.to, s.kind)) {
            faults.add("kind", "the same stand-in twice", "keep one of them");
        }
        if let StandInKind::Discomfort(region) = s.kind
            && to.flag(region) > 0
            && to.flag(region) >= from.flag(region)
        {
            faults.add("to", "asks as much of the sore region", "choose one that asks less of it");
        }
    }
}
