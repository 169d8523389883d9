//! Words that every room uses exactly alike, each defined once.

use chrono::{Datelike, NaiveDate};

/// Years from which nobody is a minor unless the place says later.
pub const ADULT_YEARS: u32 = 18;

/// Whether a set is a **working set**, which counts toward volume: not a warm-up set, and something of it was
/// done.
pub fn working_set(warm_up: bool, amount_done: u32) -> bool {
    !warm_up && amount_done > 0
}

/// Whether a set of `reps` repetitions with `reserve` in reserve is **heavy**: at or above 85 % of the
/// estimated maximum (which the repetition table of the textbook puts at six repetitions to failure), or five
/// repetitions or fewer with two or fewer in reserve.
pub fn heavy_set(reps: i32, reserve: i32) -> bool {
    reps.saturating_add(reserve) <= 6 || (reps <= 5 && reserve <= 2)
}

/// Whether a set is the **heaviest work**: at or above 93 % of the estimated maximum, which the repetition table of
/// the textbook puts at three repetitions to failure. Where the line is drawn is common practice, no source.
pub fn heaviest_set(reps: i32, reserve: i32) -> bool {
    reps.saturating_add(reserve) <= 3
}

/// Whether a load is heavy by itself: at or above 85 % of the estimated maximum, both in one unit.
pub fn heavy_load(load: u64, estimated_maximum: u64) -> bool {
    estimated_maximum > 0 && u128::from(load) * 100 >= u128::from(estimated_maximum) * 85
}

/// Whether a set is **hard**: four or fewer repetitions in reserve, or its reserve not reported.
pub fn hard_set(reserve: Option<i32>) -> bool {
    reserve.is_none_or(|r| r <= 4)
}

/// The **floor of rest** in seconds: two minutes after a heavy compound, one minute otherwise
/// (common practice within ACSM 2009).
pub fn floor_of_rest_s(heavy_compound: bool) -> i32 {
    if heavy_compound { 120 } else { 60 }
}

/// Whole years from a birth to a day; `None` when the birth is later. Who was born on 29 February is a year
/// older on 1 March of a common year.
pub fn age_years(born_on: NaiveDate, on: NaiveDate) -> Option<u32> {
    if born_on > on {
        return None;
    }
    let before = (on.month(), on.day()) < (born_on.month(), born_on.day());
    u32::try_from(on.year() - born_on.year() - i32::from(before)).ok()
}

/// Whether someone of this age is a **minor**: under 18, or under the age of the place where that is later.
pub fn minor(age_years: u32, age_of_the_place: u32) -> bool {
    age_years < ADULT_YEARS.max(age_of_the_place)
}

/// Whether a text is a name, a title or a cue: 1 to so many characters on one line.
pub fn one_line(text: &str, most: usize) -> bool {
    !text.trim().is_empty() && text.chars().count() <= most && !text.chars().any(char::is_control)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(y: i32, m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(y, m, d).unwrap()
    }

    #[test]
    fn heavy_is_85_per_cent_or_five_with_two_left() {
        assert!(heavy_set(5, 2));
        assert!(heavy_set(3, 3), "six to failure is 85 %");
        assert!(!heavy_set(6, 2), "eight to failure is 80 %");
        assert!(!heavy_set(5, 3));
        assert!(heavy_load(85_000, 100_000) && !heavy_load(84_999, 100_000));
        assert!(!heavy_load(1, 0), "without an estimate no load is heavy by itself");
    }

    #[test]
    fn the_heaviest_work_is_within_three_repetitions_of_failure() {
        assert!(heaviest_set(1, 0) && heaviest_set(1, 2) && heaviest_set(3, 0));
        assert!(!heaviest_set(3, 1) && !heaviest_set(5, 2));
    }

    #[test]
    fn a_set_of_unknown_reserve_is_hard() {
        assert!(hard_set(None) && hard_set(Some(4)) && !hard_set(Some(5)));
    }

    #[test]
    fn a_warm_up_or_a_missed_first_repetition_is_no_working_set() {
        assert!(working_set(false, 1) && !working_set(true, 8) && !working_set(false, 0));
    }

    #[test]
    fn the_last_day_before_the_birthday_is_still_a_minors() {
        let born = day(2008, 2, 29);
        assert_eq!(age_years(born, day(2026, 2, 28)), Some(17));
        assert_eq!(age_years(born, day(2026, 3, 1)), Some(18));
        assert_eq!(age_years(born, day(2008, 2, 28)), None);
    }

    #[test]
    fn the_place_may_raise_the_age_and_not_lower_it() {
        assert!(minor(17, 16) && !minor(18, 16) && minor(20, 21));
    }

    #[test]
    fn a_name_stands_on_one_line() {
        for good in ["a", " a ", "ä", &"x".repeat(5)] {
            assert!(one_line(good, 5), "{good:?}");
        }
        for bad in ["", "  ", "a\nb", "a\0", &"x".repeat(6)] {
            assert!(!one_line(bad, 5), "{bad:?}");
        }
    }
}
