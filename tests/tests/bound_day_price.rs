//! The pricer of a day against every day there is.
#![allow(clippy::expect_used)] // a test may fail so

mod bound_support;

use bound_support::{Dice, all_days, tiny};
use plinth_core::plan::bound::{DayPricer, DayPrices, SCALE};
use plinth_core::plan::model::{Instance, Slot, Term, Week, score};

fn drawn(instance: &Instance, dice: &mut Dice) -> DayPrices {
    let n = instance.movements.len();
    let spread = dice.pick(&[50, 500, 2000]);
    DayPrices {
        session: (0..n).map(|_| i64::from(dice.between(-20 * spread, 12 * spread))).collect(),
        set: (0..n).map(|_| i64::from(dice.between(-10 * spread, 2 * spread))).collect(),
        second: SCALE + i64::from(dice.between(0, 16)),
        hit: instance
            .muscles
            .iter()
            .map(|_| if dice.one_in(3) { 0 } else { i64::from(dice.between(-9 * spread / 3, 20 * spread)) })
            .collect(),
    }
}

/// The price of a day from the model's own scorer.
fn judged(instance: &Instance, day: usize, prices: &DayPrices, lines: &[Slot]) -> i64 {
    let mut week = Week::empty(instance.days.len());
    week.days[day] = lines.to_vec();
    let with = score(instance, &week);
    let without = score(instance, &Week::empty(instance.days.len()));
    let day_alone = |s: &plinth_core::plan::model::Score| {
        s.of(Term::Sets) + s.of(Term::Sessions) + s.of(Term::FewMovements) + s.of(Term::NoCarrying)
    };
    // What the other days, empty in both, cost is not this day's.
    let d = &instance.days[day];
    let empty = i64::from(instance.prices.few_movements) * i64::from(d.movements_wanted.max(0))
        + i64::from(instance.prices.no_carrying);
    let mut cost = SCALE * (day_alone(&with) - day_alone(&without) + empty);
    cost += prices.second * i64::from(with.day_seconds[day]);
    for l in lines {
        cost += prices.session[l.movement] + prices.set[l.movement] * i64::from(l.sets);
    }
    for (g, muscle) in instance.muscles.iter().enumerate() {
        if with.half_sets[g] >= muscle.day_threshold {
            cost -= prices.hit[g];
        }
    }
    cost
}

#[test]
fn no_day_is_cheaper_than_the_priced_one_and_one_is_as_cheap() {
    let mut busy = 0;
    for seed in 0..1500 {
        let instance = tiny(seed, 1, 7);
        let mut dice = Dice::new(seed + 5);
        let days = all_days(&instance, 0);
        let mut tested = DayPricer::new(&instance, &instance.days[0]);
        if seed % 2 == 0 {
            tested = tested.diligent();
        }
        for round in 0..3 {
            let prices = drawn(&instance, &mut dice);
            let allowed: Vec<bool> =
                instance.movements.iter().map(|_| round == 0 || !dice.one_in(5)).collect();
            let (least, _) = days
                .iter()
                .filter(|lines| lines.iter().all(|l| allowed[l.movement]))
                .map(|lines| (judged(&instance, 0, &prices, lines), lines))
                .min()
                .expect("the empty day is always there");
            let answer = tested.price(&prices, &allowed, &[], 0, u64::MAX);
            assert_eq!(answer.floor, least, "seed {seed}, round {round}: floor");
            assert_eq!(answer.best, least, "seed {seed}, round {round}: best");
            assert!(
                days.contains(&answer.lines) || {
                    let mut lines = answer.lines.clone();
                    lines.sort_unstable();
                    days.contains(&lines)
                }
            );
            assert_eq!(judged(&instance, 0, &prices, &answer.lines), least);
            busy += usize::from(answer.lines.len() > 1);
            // With slack, few nodes and a hint the floor may fall, and must never rise.
            let hint = &days[dice.below(days.len())];
            for nodes in [1, 5, 40] {
                let slack = i64::from(dice.between(0, 5000));
                let rough = tested.price(&prices, &allowed, &[hint], slack, nodes);
                assert!(rough.floor <= least && least <= rough.best, "seed {seed}, nodes {nodes}");
            }
            let loose = tested.price(&prices, &allowed, &[hint], 900, u64::MAX);
            assert!(loose.floor <= least && loose.best - loose.floor <= 900);
        }
    }
    assert!(busy > 500, "the instances must have days of several lines: {busy}");
}

#[test]
fn the_plain_cost_of_a_day_is_the_models() {
    for seed in 0..200 {
        let instance = tiny(seed, 1, 5);
        let mut dice = Dice::new(seed);
        let tested = DayPricer::new(&instance, &instance.days[0]);
        let prices = drawn(&instance, &mut dice);
        for lines in all_days(&instance, 0) {
            assert_eq!(tested.cost(&prices, &lines), judged(&instance, 0, &prices, &lines), "seed {seed}");
        }
    }
}
