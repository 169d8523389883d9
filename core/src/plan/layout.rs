//! On which weekdays to train, and which of them are less than 48 hours apart.

use super::brief::Weekday;
use super::model::Near;

/// The weekdays (Monday 0) for `days` sessions: of all layouts the one with the fewest days outside the
/// preference, then the largest smallest gap, then the fewest gaps under 48 hours, then the earliest.
/// Common practice, no source.
pub fn weekdays(days: usize, preferred: &[Weekday]) -> Vec<i32> {
    let liked = |d: i32| preferred.is_empty() || preferred.iter().any(|w| *w as i32 == d);
    let mut best: Option<(i32, i32, i32, Vec<i32>)> = None;
    for mask in 1u32..128 {
        if mask.count_ones() as usize != days {
            continue;
        }
        let layout: Vec<i32> = (0..7).filter(|d| mask >> d & 1 == 1).collect();
        let outside = layout.iter().filter(|d| !liked(**d)).count() as i32;
        let gaps = gaps(&layout);
        let smallest = gaps.iter().copied().min().unwrap_or(7);
        let short = gaps.iter().filter(|g| **g < 2).count() as i32;
        let key = (outside, -smallest, short, layout);
        if best.as_ref().is_none_or(|b| key < *b) {
            best = Some(key);
        }
    }
    best.map(|b| b.3).unwrap_or_default()
}

fn gaps(layout: &[i32]) -> Vec<i32> {
    let n = layout.len();
    (0..n)
        .map(|k| {
            let gap = layout[(k + 1) % n] - layout[k];
            if gap <= 0 { gap + 7 } else { gap }
        })
        .collect()
}

/// Pairs of sessions on consecutive weekdays; Sunday and Monday are consecutive.
pub fn near(layout: &[i32]) -> Vec<Near> {
    let mut out = Vec::new();
    for (second, &b) in layout.iter().enumerate() {
        for (first, &a) in layout[..second].iter().enumerate() {
            let apart = b - a;
            if apart == 1 || apart == 6 {
                out.push(Near { first, second });
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_days_are_monday_wednesday_friday() {
        assert_eq!(weekdays(3, &[]), [0, 2, 4]);
        assert!(near(&[0, 2, 4]).is_empty());
    }

    #[test]
    fn preferred_days_come_first_even_when_they_touch() {
        assert_eq!(weekdays(2, &[Weekday::Saturday, Weekday::Sunday]), [5, 6]);
        assert_eq!(near(&[5, 6]), [Near { first: 0, second: 1 }]);
    }

    #[test]
    fn sunday_and_monday_touch() {
        assert_eq!(near(&[0, 3, 6]), [Near { first: 0, second: 2 }]);
    }

    #[test]
    fn one_day_has_no_neighbour() {
        assert_eq!(weekdays(1, &[]), [0]);
        assert!(near(&[0]).is_empty());
    }
}
