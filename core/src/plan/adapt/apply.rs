//! Differences applied to the published programme: the check that they tell all.

use super::difference::{Change, Difference};
use crate::catalogue::Catalogue;
use crate::plan::brief::Weekday;
use crate::plan::programme::{Line, Programme};

/// Puts the folded lines of a day after the last line that carries the programme.
pub(super) fn place_folded<T>(mut own: Vec<T>, folded: Vec<T>, carrying: impl Fn(&T) -> bool) -> Vec<T> {
    let at = own.iter().rposition(carrying).map_or(0, |k| k + 1);
    own.splice(at..at, folded);
    own
}

/// The days (weekday and lines) that `differences` make of a published programme.
pub fn apply(
    published: &Programme,
    differences: &[Difference],
    catalogue: &Catalogue,
) -> Vec<(Weekday, Vec<Line>)> {
    let mut out = Vec::new();
    for (day, published_day) in published.days.iter().enumerate() {
        let of_day = || differences.iter().filter(move |d| d.day == day && d.line.is_none());
        if of_day().any(|d| d.change == Change::DayLeftOut) {
            continue;
        }
        let weekday = of_day().find_map(|d| match &d.change {
            Change::Weekday { to, .. } => Some(*to),
            _ => None,
        });
        let own =
            (0..published_day.lines.len()).filter_map(|k| line(published, differences, catalogue, (day, k)));
        let folded = differences.iter().filter_map(|d| match (&d.change, d.line) {
            (Change::Folded { into, .. }, Some(k)) if *into == day => {
                line(published, differences, catalogue, (d.day, k))
            }
            _ => None,
        });
        let lines = place_folded(own.collect(), folded.collect(), |l: &Line| l.carrying);
        out.push((weekday.unwrap_or(published_day.weekday), lines));
    }
    out
}

fn line(
    published: &Programme,
    differences: &[Difference],
    catalogue: &Catalogue,
    place: (usize, usize),
) -> Option<Line> {
    let mut line = published.days.get(place.0)?.lines.get(place.1)?.clone();
    for d in differences.iter().filter(|d| d.day == place.0 && d.line == Some(place.1)) {
        match &d.change {
            Change::LeftOut { .. } => return None,
            Change::Replaced { to, .. } => {
                line.measure = catalogue.movement(to)?.measure;
                line.movement.clone_from(to);
                (line.tempo, line.cue) = (None, None);
            }
            Change::Sets { to, .. } => line.sets = *to,
            Change::Prescribed { to, .. } => {
                line.low = to.low;
                line.high = to.high;
                line.reserve = to.reserve;
                line.rest_s = to.rest_s;
            }
            Change::Ramp { to, .. } => line.ramp_sets = *to,
            Change::DayLeftOut
            | Change::Weekday { .. }
            | Change::Folded { .. }
            | Change::KeptThoughForbidden { .. } => {}
        }
    }
    Some(line)
}
