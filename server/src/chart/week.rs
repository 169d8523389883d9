//! Weekly sets as tally strokes against a hatched aim.

use super::{Anchor, Colour, On, Svg, TEXT, WIDE};
use plinth_core::companion::Findings;
use plinth_core::words::Speech;
use plinth_core::words::findings::SaidWeek;

/// Where the tallies end.
const RIGHT: f64 = 552.0;
const ROW: f64 = 32.0;
/// The fewest sets for which there is room.
const ROOM: u32 = 12;

/// The newest week; none without a set.
pub(crate) fn week(on: On<'_>, speech: &Speech, f: &Findings, said: &SaidWeek) -> Option<String> {
    let newest = f.weeks.last()?;
    let most = (newest.muscles.iter().map(|m| m.sets.quarters()))
        .chain(f.ranges.values().map(|r| r.to_quarters))
        .max()
        .unwrap_or(0)
        .div_ceil(4)
        .max(ROOM);
    let longest = said.muscles.iter().map(|m| plain(&m.name).chars().count()).max().unwrap_or(0);
    let left = (20.0 + longest as f64 * TEXT * WIDE).min(320.0);
    let unit = (RIGHT - left) / f64::from(most);
    let rows = said.muscles.len() as f64;
    let mut svg = Svg::new(on, 720.0, 64.0 + rows * ROW + 74.0);
    let day = speech.date_with_year(newest.monday);
    let title = speech.say("chart-week", &[("day", (&day).into())]);
    svg.text((20.0, 32.0), 19.0, Anchor::Start, Colour::Ink, &title);
    let mut told = Vec::new();
    for (k, muscle) in said.muscles.iter().enumerate() {
        let top = 56.0 + k as f64 * ROW;
        let foot = top + 20.0;
        let Some(m) = newest.muscles.iter().find(|m| m.muscle == muscle.muscle) else { continue };
        let name = plain(&muscle.name);
        svg.text((20.0, foot - 4.0), TEXT, Anchor::Start, Colour::Ink, name);
        if let Some(r) = f.ranges.get(&muscle.muscle) {
            let [from, to] = [r.from_quarters, r.to_quarters].map(|q| left + f64::from(q) / 4.0 * unit);
            svg.hatched(&[(from, top - 2.0), (to, top - 2.0), (to, foot + 2.0), (from, foot + 2.0)]);
        }
        svg.line((left, foot + 2.0), (RIGHT, foot + 2.0), 0.75, Colour::Rule);
        // A long stroke for a direct set, a short one for half a set that is shared, each in the middle of its room.
        let mut at = left;
        let mut strokes = |quarters: u32, each: u32, height: f64, width: f64| {
            let mut open = quarters;
            while open > 0 {
                let here = open.min(each);
                let room = f64::from(here) / 4.0 * unit;
                let tall = height * f64::from(here) / f64::from(each);
                svg.line((at + room / 2.0, foot), (at + room / 2.0, foot - tall), width, Colour::Ink);
                at += room;
                open -= here;
            }
        };
        strokes(m.sets.direct_quarters, 4, 20.0, 3.2);
        strokes(m.sets.shared_quarters, 2, 10.0, 2.0);
        svg.text((RIGHT + 14.0, foot - 4.0), TEXT, Anchor::Start, Colour::Ink, &muscle.total);
        svg.text((700.0, foot - 4.0), TEXT, Anchor::End, Colour::Soft, &muscle.against);
        told.push(format!("{name} {}", muscle.total));
    }
    let about = speech.say("chart-week-about", &[]);
    svg.wrapped((20.0, 64.0 + rows * ROW + 22.0), TEXT, Colour::Soft, &about);
    Some(svg.finish(&title, &format!("{}. {about}", told.join(", "))))
}

/// A name without what explains it in brackets.
fn plain(name: &str) -> &str {
    name.split(" (").next().unwrap_or(name)
}
