//! Whether the intervals of estimated maxima hold, over invented lifters whose truth is known.

#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

use chrono::NaiveDate;
use plinth_core::progress::maximum::{Of, estimate};
use plinth_tests::lifters::{Chance, Lifter, Training};

const LIFTERS: usize = 10_000;

#[derive(Default, Clone, Copy)]
struct Count {
    told: u32,
    held: u32,
    below: u32,
    width: f64,
}

impl Count {
    fn percent(&self) -> f64 {
        100.0 * f64::from(self.held) / f64::from(self.told)
    }
}

/// The bars: 76 to 84 % of all, 70 to 90 % in each group.
#[test]
fn eighty_per_cent_intervals_hold_the_true_maximum() {
    let today = NaiveDate::from_ymd_opt(2026, 6, 30).expect("a date");
    let of = Of { movement: "barbell_back_squat", side: None };
    let names = ["all", "novice", "trained", "low reps", "high reps", "reported", "not reported"];
    let (mut counts, mut untold) = ([Count::default(); 7], 0);
    // Two halves side by side; each lifter has a seed of their own, so the sums do not depend on it.
    std::thread::scope(|scope| {
        let halves = [0, 1].map(|half| scope.spawn(move || half_of_them(half, today, of, |lifter| lifter)));
        for half in halves {
            let (more, not_told) = half.join().expect("no panic");
            untold += not_told;
            for (count, more) in counts.iter_mut().zip(more) {
                count.told += more.told;
                count.held += more.held;
                count.below += more.below;
                count.width += more.width;
            }
        }
    });
    println!("{LIFTERS} invented lifters, {untold} of them not told yet");
    for (name, count) in names.iter().zip(&counts) {
        println!(
            "{name:>13}: {:5} told, {:.1} % held, {:.1} % below, {:.1} % above, high over low {:.3} on average",
            count.told,
            count.percent(),
            100.0 * f64::from(count.below) / f64::from(count.told),
            100.0 - count.percent() - 100.0 * f64::from(count.below) / f64::from(count.told),
            count.width / f64::from(count.told),
        );
    }
    assert!(untold < LIFTERS / 10, "most are told: {untold} were not");
    assert!((76.0..=84.0).contains(&counts[0].percent()), "all: {:.1} %", counts[0].percent());
    for (name, count) in names.iter().zip(&counts) {
        assert!(count.told > 1_000, "{name}: too few to judge");
        assert!((70.0..=90.0).contains(&count.percent()), "{name}: {:.1} %", count.percent());
    }
}

/// People differ in their mean too: among lifters drawn around the textbook's table, which has fewer
/// repetitions at every share than the measured mean, the intervals must not break. No published bar; a third
/// beyond would be useless.
#[test]
fn intervals_bear_another_published_mean() {
    let today = NaiveDate::from_ymd_opt(2026, 6, 30).expect("a date");
    let of = Of { movement: "barbell_back_squat", side: None };
    let (counts, _) = half_of_them(0, today, of, Lifter::by_the_textbook);
    println!("around the textbook's table: {:.1} % of {} held", counts[0].percent(), counts[0].told);
    assert!(counts[0].percent() >= 67.0, "{:.1} %", counts[0].percent());
}

fn half_of_them(
    half: usize,
    today: NaiveDate,
    of: Of<'_>,
    turned: fn(Lifter) -> Lifter,
) -> ([Count; 7], usize) {
    let (mut counts, mut untold) = ([Count::default(); 7], 0);
    for seed in (half..LIFTERS).step_by(2) {
        let mut chance = Chance::new(0x51AB_0000 + seed as u64);
        let lifter = turned(Lifter::draw(&mut chance));
        let sets = lifter.month(of.movement, today, &mut chance);
        let Ok(maximum) = estimate(&sets, of, today) else {
            untold += 1;
            continue;
        };
        let (low, high) = (maximum.low.kilograms(), maximum.high.kilograms());
        let groups = [
            true,
            lifter.training == Training::Novice,
            lifter.training == Training::Trained,
            lifter.reps <= 6,
            lifter.reps > 6,
            lifter.reports,
            !lifter.reports,
        ];
        for (count, inside) in counts.iter_mut().zip(groups) {
            if inside {
                count.told += 1;
                count.held += u32::from((low..=high).contains(&lifter.maximum_kg));
                count.below += u32::from(lifter.maximum_kg < low);
                count.width += high / low;
            }
        }
    }
    (counts, untold)
}
