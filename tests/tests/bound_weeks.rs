//! The bound against the best week there is, and against any week.

mod bound_support;

use bound_support::{best_of_all, lifelike, search, tiny};
use plinth_core::plan::bound::{Effort, lower_bound};
use plinth_core::plan::model::{Instance, Slot, Week, score};

#[test]
fn the_bound_never_exceeds_the_best_of_all_weeks() {
    let mut proved = 0;
    for seed in 0..600 {
        let days = if seed % 3 == 0 { 1 } else { 2 };
        let instance = tiny(seed, days, if days == 1 { 6 } else { 4 });
        let (best, week) = best_of_all(&instance);
        let go = &mut |_| true;
        let blind = lower_bound(&instance, None, Effort::of_about_ms(20), go);
        assert!(blind.points <= best, "seed {seed}: bound {} above the best week {best}", blind.points);
        let knowing = lower_bound(&instance, Some(&week), Effort::of_about_ms(50), go);
        assert!(knowing.points <= best, "seed {seed}: bound {} above the best week {best}", knowing.points);
        assert_eq!(knowing.proved_optimal, knowing.points == best);
        proved += usize::from(knowing.proved_optimal);
        let poor = lower_bound(&instance, Some(&Week::empty(days)), Effort::of_about_ms(50), go);
        assert!(poor.points <= best, "seed {seed}: with a poor incumbent {} above {best}", poor.points);
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
            assert!(bound.points <= good.min(poor), "seed {seed}: {} above {good}", bound.points);
        }
    }
}

#[test]
fn the_same_input_gives_the_same_bound_and_more_effort_no_worse_a_one() {
    for seed in 20..26 {
        let instance = lifelike(seed);
        let (_, week) = search(&instance, seed, 10_000);
        let bound = |ms| lower_bound(&instance, Some(&week), Effort::of_about_ms(ms), &mut |_| true);
        let (short, long) = (bound(30), bound(120));
        assert_eq!(short, bound(30), "seed {seed}");
        assert!(short.points <= long.points, "seed {seed}: {short:?} and {long:?}");
    }
}

#[test]
fn a_cancelled_bound_is_still_one_and_progress_rises() {
    for seed in 0..6 {
        let instance = lifelike(seed);
        let (best, week) = search(&instance, seed, 40_000);
        for calls in [1, 3, 20] {
            let mut seen = Vec::new();
            let bound = lower_bound(&instance, Some(&week), Effort::of_about_ms(10_000), &mut |p| {
                seen.push(p);
                seen.len() < calls
            });
            assert!(bound.points <= best, "seed {seed}, {calls} calls");
            assert!(seen.len() <= calls);
            assert!(seen.windows(2).all(|p| p[0].work <= p[1].work && p[0].points <= p[1].points));
            assert!(seen.iter().all(|p| p.points <= best));
        }
    }
}

#[test]
fn nothing_malformed_is_bounded_and_nothing_panics() {
    let sound = lifelike(3);
    let spoil: [fn(&mut Instance); 12] = [
        |i| i.movements[0].pattern = 1000,
        |i| i.movements[0].group = Some(1000),
        |i| i.movements[0].trains[0].muscle = 1000,
        |i| i.movements[0].sets_min = 0,
        |i| i.movements[0].sets_max = i.movements[0].sets_min - 1,
        |i| i.movements[0].set_s = -5,
        |i| i.muscles[0].below_minimum = i32::MAX,
        |i| i.muscles[0].target = -1,
        |i| i.days.clear(),
        |i| i.days[0].time_s = -1,
        |i| i.days[0].movements_max = i32::MAX,
        |i| i.prices.longest = i32::MIN,
    ];
    for (k, spoil) in spoil.iter().enumerate() {
        let mut instance = sound.clone();
        spoil(&mut instance);
        let bound = lower_bound(&instance, None, Effort::of_about_ms(5), &mut |_| true);
        assert_eq!(bound.points, 0, "fault {k}");
        assert!(!bound.proved_optimal);
    }
    let mut wrong = Week::empty(sound.days.len());
    wrong.days[0].push(Slot { movement: 10_000, sets: 3 });
    for week in [wrong, Week::default()] {
        let bound = lower_bound(&sound, Some(&week), Effort::of_about_ms(5), &mut |_| true);
        assert!(!bound.proved_optimal, "an incumbent that breaks a limit is none");
    }
    let mut bare = sound.clone();
    bare.movements.clear();
    let empty = score(&bare, &Week::empty(bare.days.len())).total();
    let bound = lower_bound(&bare, None, Effort::of_about_ms(5), &mut |_| true);
    assert!(bound.points <= empty);
    let known =
        lower_bound(&bare, Some(&Week::empty(bare.days.len())), Effort::of_about_ms(5), &mut |_| true);
    assert!(known.proved_optimal, "with no movements the empty week is the best: {known:?} of {empty}");
}
