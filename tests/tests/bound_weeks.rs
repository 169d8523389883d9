//! The bound against the best week there is, and against any week.

mod bound_support;

use bound_support::{best_of_all, lifelike, search, tiny};
use plinth_core::plan::bound::{Effort, lower_bound};
use plinth_core::plan::model::{Week, score};

#[test]
fn the_bound_never_exceeds_the_best_of_all_weeks() {
    let mut proved = 0;
    for seed in 0..600 {
        let days = if seed % 3 == 0 { 1 } else { 2 };
        let instance = tiny(seed, days, if days == 1 { 6 } else { 4 });
        let (best, week) = best_of_all(&instance);
        let go = &mut |_| true;
        let blind = lower_bound(&instance, None, Effort::of_about_ms(20), go);
        assert!(
            blind.points <= best,
            "seed {seed}: bound {} above the best week {best}",
            blind.points
        );
        let knowing = lower_bound(&instance, Some(&week), Effort::of_about_ms(50), go);
        assert!(
            knowing.points <= best,
            "seed {seed}: bound {} above the best week {best}",
            knowing.points
        );
        assert_eq!(knowing.proved_optimal, knowing.points == best);
        proved += usize::from(knowing.proved_optimal);
        let poor = lower_bound(&instance, Some(&Week::empty(days)), Effort::of_about_ms(50), go);
        assert!(
            poor.points <= best,
            "seed {seed}: with a poor incumbent {} above {best}",
            poor.points
        );
        assert!(!poor.proved_optimal || best == score(&instance, &Week::empty(days)).total());
    }
    assert!(proved > 300, "only {proved} of 600 tiny weeks were proved");
}

#[test]
fn the_bound_never_exceeds_a_week_that_a_search_found() {
    for seed in 0..12 {
        let instance = lifelike(seed);
        let (poor, _) = search(&instance, seed, 2_000);
        let (good, week) = search(&instance, seed, 40_000);
        for incumbent in [None, Some(&week)] {
            let bound = lower_bound(&instance, incumbent, Effort::of_about_ms(150), &mut |_| true);
            assert!(
                bound.points <= good.min(poor),
                "seed {seed}: {} above {good}",
                bound.points
            );
        }
    }
}
