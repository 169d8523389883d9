//! The weeks of a block: the peak week is solved once, the others take sets off it.
//!
//! Common practice, no source; that deloads are usual is expert agreement (Bell et al. 2023,
//! doi:10.1186/s40798-023-00633-0, read as an abstract), not a finding.

use super::brief::TrainingAge;
use super::programme::{BlockLine, BlockWeek, WeekKind};
use crate::catalogue::Tier;

/// One line of the peak week.
#[derive(Debug, Clone, Copy)]
pub(super) struct PeakLine {
    pub(super) sets: i32,
    pub(super) reserve: i32,
    /// Least reserve that safety leaves.
    pub(super) reserve_at_least: i32,
    pub(super) tier: Tier,
}

/// The weeks of a block of `weeks` weeks, the last a deload, the one before it the peak.
pub(super) fn block(weeks: i32, age: TrainingAge, peak: &[Vec<PeakLine>]) -> Vec<BlockWeek> {
    (1..=weeks)
        .map(|number| {
            let before = weeks - 1 - number;
            let kind = match before {
                -1 => WeekKind::Deload,
                0 => WeekKind::Peak,
                _ => WeekKind::Build,
            };
            let days =
                peak.iter().map(|lines| lines.iter().map(|l| week_line(kind, before, age, *l)).collect());
            BlockWeek { number, kind, days: days.collect() }
        })
        .collect()
}

fn week_line(kind: WeekKind, before: i32, age: TrainingAge, l: PeakLine) -> BlockLine {
    let (sets, reserve) = match kind {
        WeekKind::Deload => ((l.sets + 1) / 2, l.reserve.max(4)),
        WeekKind::Peak => {
            let closer = age != TrainingAge::Novice && matches!(l.tier, Tier::Compound | Tier::SingleJoint);
            // One is left even there: the log tells what a set to failure would not.
            (l.sets, if closer { (l.reserve - 1).max(1) } else { l.reserve })
        }
        WeekKind::Build => {
            // A line of two sets cannot lose one and stay a line's worth: there only the reserve falls.
            let fewer = if before >= 3 && l.sets >= 5 { 2 } else { i32::from(before >= 2 && l.sets >= 3) };
            let more = if before >= 3 && age != TrainingAge::Advanced { 2 } else { i32::from(before >= 2) };
            (l.sets - fewer, l.reserve + more)
        }
    };
    BlockLine { sets, reserve: reserve.max(l.reserve_at_least).max(0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_rise_to_the_peak_and_halve_in_the_deload() {
        let line = PeakLine { sets: 5, reserve: 2, reserve_at_least: 0, tier: Tier::Main };
        let weeks = block(6, TrainingAge::Intermediate, &[vec![line]]);
        let sets: Vec<i32> = weeks.iter().map(|w| w.days[0][0].sets).collect();
        let reserve: Vec<i32> = weeks.iter().map(|w| w.days[0][0].reserve).collect();
        assert_eq!(sets, [3, 3, 4, 5, 5, 3]);
        assert_eq!(reserve, [4, 4, 3, 2, 2, 4]);
        assert_eq!(weeks[4].kind, WeekKind::Peak);
        assert_eq!(weeks[5].kind, WeekKind::Deload);
    }

    #[test]
    fn safety_keeps_its_reserve_at_the_peak() {
        let line = PeakLine { sets: 3, reserve: 4, reserve_at_least: 4, tier: Tier::Compound };
        let weeks = block(4, TrainingAge::Advanced, &[vec![line]]);
        assert!(weeks.iter().all(|w| w.days[0][0].reserve >= 4));
    }
}
