//! False alarms and power of the plateau, with a look each week, over invented lifters whose truth is known.

#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

use chrono::{Days, NaiveDate};
use plinth_core::progress::maximum::Of;
use plinth_core::progress::plateau::{is_named, points};
use plinth_tests::lifters::{Chance, Lifter, log_of};

const LIFTERS: u64 = 1_000;
const OF: Of<'static> = Of { movement: "barbell_back_squat", side: None };

fn first() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 1, 5).expect("a date")
}

/// The first week, counted from `from`, at the end of which a plateau is named.
fn named(lifter: u64, gain: (f64, f64), stops: f64, from: u64, until: u64) -> Option<u64> {
    let mut chance = Chance::new(0x2B61_0000 + lifter);
    let who = Lifter::draw(&mut chance);
    let (weekly, each_week) = (chance.between(gain.0, gain.1), u64::from(chance.whole(2, 3)));
    let kg = who.maximum_kg * 0.7;
    let sets = log_of(&who, OF.movement, first(), until, each_week, &mut chance, |day| {
        kg * (1.0 + weekly).powf((day / 7.0).min(stops))
    });
    let points = points(&sets, OF, &[]);
    (1..=until - from).find(|week| is_named(&points, first() + Days::new(7 * (from + week))))
}

/// In per cent, over all lifters, on two threads.
fn share(found: impl Fn(u64) -> bool + Sync) -> f64 {
    let found = &found;
    let count: usize = std::thread::scope(|scope| {
        let halves =
            [0, 1].map(|h| scope.spawn(move || (0..LIFTERS).filter(|n| n % 2 == h && found(*n)).count()));
        halves.into_iter().map(|half| half.join().expect("no panic")).sum()
    });
    100.0 * count as f64 / LIFTERS as f64
}

/// The bars: at most 5 % of steadily improving lifters are told of a plateau in a year of weekly looks,
/// and at least half of true plateaus are named within twelve weeks.
#[test]
fn plateaus_are_named_and_steady_lifters_left_in_peace() {
    let alarms = share(|n| named(n, (0.005, 0.012), f64::INFINITY, 0, 52).is_some());
    let power = share(|n| named(n, (0.005, 0.012), 26.0, 26, 38).is_some());
    let flat = share(|n| named(n, (0.0, 0.0), 0.0, 0, 12).is_some());
    let slow = share(|n| named(n, (0.0025, 0.005), f64::INFINITY, 0, 52).is_some());
    println!("{LIFTERS} invented lifters, two or three days a week, a look each week");
    println!("false alarms in a year, gaining 0.5 to 1.2 % a week: {alarms:.1} %");
    println!("named within 12 weeks of a standstill after 26 weeks of such gains: {power:.1} %");
    println!("named within 12 weeks of a log that never gained: {flat:.1} %");
    println!("named in a year, gaining slowly (0.25 to 0.5 % a week; no bar): {slow:.1} %");
    assert!(alarms <= 5.0, "false alarms {alarms:.1} %");
    assert!(power >= 50.0, "power {power:.1} %");
}
