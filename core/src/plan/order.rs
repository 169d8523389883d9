//! The order of a session: deterministic, after solving.
//!
//! What carries the programme leads, then main movements, compounds, single-joint work that is a priority,
//! other single-joint work, trunk; inside a tier the more demanding first, and neighbours do not share a
//! direct muscle or a strong grip where that can be helped. Strength gains are larger in what comes first
//! (multi-joint first, effect size 0.32; size indifferent, 0.03: Nunes et al. 2021,
//! doi:10.1080/17461391.2020.1733672, read as an abstract).

use super::Case;
use super::model::{Slot, Week};
use crate::catalogue::{Catalogue, Movement, Tier};

/// The lines of each day in the order in which they are done.
pub fn order(case: &Case, catalogue: &Catalogue, priorities: &[usize], week: &Week) -> Week {
    let days = week.days.iter().map(|slots| day(case, catalogue, priorities, slots)).collect();
    Week { days }
}

fn day(case: &Case, catalogue: &Catalogue, priorities: &[usize], slots: &[Slot]) -> Vec<Slot> {
    let movement = |s: &Slot| &catalogue.movements[case.movements[s.movement]];
    let key = |s: &Slot| {
        let m = movement(s);
        let carries = case.instance.movements[s.movement].carrying;
        let first = m.direct().any(|g| priorities.contains(&g));
        let rank = match m.tier {
            _ if carries => 0,
            Tier::Main => 1,
            Tier::Compound => 2,
            Tier::SingleJoint if first => 3,
            Tier::SingleJoint => 4,
            Tier::Trunk => 5,
        };
        let demand = 2 * m.axial + m.fatigue + m.skill;
        (rank, -demand, m.id.clone())
    };
    let mut waiting: Vec<Slot> = slots.to_vec();
    waiting.sort_by_key(key);
    let mut out: Vec<Slot> = Vec::with_capacity(waiting.len());
    while !waiting.is_empty() {
        let rank = key(&waiting[0]).0;
        let apart = waiting.iter().position(|s| {
            key(s).0 == rank && out.last().is_none_or(|before| !share(movement(before), movement(s)))
        });
        out.push(waiting.remove(apart.unwrap_or(0)));
    }
    out
}

/// Whether two movements share a direct muscle or both ask much of the grip.
fn share(a: &Movement, b: &Movement) -> bool {
    (a.grip >= 2 && b.grip >= 2) || a.direct().any(|g| b.direct().any(|h| g == h))
}

/// Sets of a day done in turn: pairs of lines (by position) with the number of sets they share.
///
/// Sets of different classes are matched so that exactly as many pairs come about as the model counts:
/// `min(half of all, all but the largest class)`.
pub fn turns(case: &Case, slots: &[Slot]) -> Vec<Turn> {
    if case.instance.prices.pair_saves_s <= 0 {
        return Vec::new();
    }
    let class = |s: &Slot| case.instance.movements[s.movement].pair_class.slot();
    let mut by_class: [Vec<usize>; 4] = [const { Vec::new() }; 4];
    for (k, s) in slots.iter().enumerate() {
        if let Some(c) = class(s) {
            by_class[c].extend(std::iter::repeat_n(k, s.sets.max(0) as usize));
        }
    }
    // The largest class first; then the set `half` places on always belongs to another class.
    by_class.sort_by_key(|sets| std::cmp::Reverse(sets.len()));
    let most = by_class[0].len();
    let sets: Vec<usize> = by_class.concat();
    let pairs = (sets.len() / 2).min(sets.len() - most);
    let shift = most.max(sets.len() - sets.len() / 2);
    let mut out: Vec<Turn> = Vec::new();
    for k in 0..pairs {
        let (a, b) = (sets[k], sets[k + shift]);
        let (first, second) = (a.min(b), a.max(b));
        match out.iter_mut().find(|t| t.first == first && t.second == second) {
            Some(turn) => turn.sets += 1,
            None => out.push(Turn { first, second, sets: 1 }),
        }
    }
    out.sort_by_key(|t| (t.first, t.second));
    out
}

/// Two lines of a day, by position, done in turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Turn {
    /// Position of the earlier line.
    pub first: usize,
    /// Position of the later line.
    pub second: usize,
    /// Sets of each that are done in turn.
    pub sets: i32,
}

#[cfg(test)]
mod tests {
    use super::super::model::PairClass;
    use super::super::sample::sample_brief;
    use super::super::search::{Effort, Ranges, search};
    use super::super::{Keep, Weights, build};
    use super::*;

    #[test]
    fn turns_pair_different_classes_and_are_as_many_as_the_model_counts() {
        let catalogue = Catalogue::builtin().expect("sound");
        let weights = Weights::builtin().expect("sound");
        let mut seen = 0;
        for seed in 0..40 {
            let mut brief = sample_brief(seed, &catalogue);
            brief.in_turn = true;
            let case = build(&brief, &catalogue, &weights, Keep::Undominated);
            let ranges = Ranges::free(&case.instance);
            let effort = Effort { evaluations: 20_000, chains: 1 };
            let found = search(&case.instance, &ranges, None, effort, &mut |_| true).expect("placed");
            for slots in &found.week.days {
                let mut by_class = [0; 4];
                for s in slots {
                    if let Some(c) = case.instance.movements[s.movement].pair_class.slot() {
                        by_class[c] += s.sets;
                    }
                }
                let turns = turns(&case, slots);
                let pairs: i32 = turns.iter().map(|t| t.sets).sum();
                assert_eq!(pairs * case.instance.prices.pair_saves_s, case.instance.pairs_save(by_class));
                for t in &turns {
                    let class = |k: usize| case.instance.movements[slots[k].movement].pair_class;
                    assert_ne!(class(t.first), class(t.second));
                    assert_ne!(class(t.first), PairClass::None);
                }
                for (k, s) in slots.iter().enumerate() {
                    let used: i32 =
                        turns.iter().filter(|t| t.first == k || t.second == k).map(|t| t.sets).sum();
                    assert!(used <= s.sets);
                }
                seen += pairs;
            }
        }
        assert!(seen > 50, "the corpus has pairs");
    }
}
