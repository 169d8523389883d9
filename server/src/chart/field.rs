//! A chart of the core, drawn.

use super::{Anchor, Colour, On, Svg, TEXT, WIDE, apart};
use plinth_core::page::{Chart, ChartPoint, FIELD};

const LEFT: f64 = 64.0;
const TOP: f64 = 76.0;
const FOOT: f64 = 300.0;
/// Where the field ends with labels beside it, and without.
const RIGHT: (f64, f64) = (516.0, 560.0);
/// Between the labels beside the field.
const GAP: f64 = 26.0;

/// The chart as SVG.
pub(crate) fn field(on: On<'_>, chart: &Chart) -> String {
    let right = if chart.ends.is_empty() { RIGHT.1 } else { RIGHT.0 };
    // Marks at the edges stay off the ruled lines' labels.
    let inset = if chart.marks.iter().any(|m| !m.label.is_empty()) { 14.0 } else { 0.0 };
    let x = |across: i32| LEFT + inset + f64::from(across) / f64::from(FIELD) * (right - LEFT - 2.0 * inset);
    let y = |up: i32| FOOT - f64::from(up) / f64::from(FIELD) * (FOOT - TOP);
    let at = |p: &ChartPoint| (x(p.across), y(p.up));
    let mut svg = Svg::new(on, 720.0, 414.0);
    svg.text((20.0, 32.0), 19.0, Anchor::Start, Colour::Ink, &chart.title);
    for area in &chart.areas {
        svg.hatched(&area.points.iter().map(at).collect::<Vec<_>>());
    }
    for rule in &chart.rules {
        svg.line((LEFT, y(rule.place)), (right, y(rule.place)), 0.75, Colour::Rule);
        svg.text((LEFT - 8.0, y(rule.place) + 5.0), TEXT, Anchor::End, Colour::Soft, &rule.label);
    }
    svg.text((LEFT - 8.0, TOP - 14.0), TEXT, Anchor::End, Colour::Soft, &chart.unit);
    svg.line((LEFT, FOOT), (right, FOOT), 1.5, Colour::Ink);
    for tick in &chart.ticks {
        svg.line((x(tick.place), FOOT), (x(tick.place), FOOT + 6.0), 1.5, Colour::Ink);
        let anchor = match tick.place {
            _ if !chart.counted.is_empty() => Anchor::Middle,
            0 => Anchor::Start,
            FIELD => Anchor::End,
            _ => Anchor::Middle,
        };
        svg.text((x(tick.place), FOOT + 23.0), TEXT, anchor, Colour::Soft, &tick.label);
    }
    svg.text((right + 12.0, FOOT + 23.0), TEXT, Anchor::Start, Colour::Soft, &chart.counted);
    for line in &chart.lines {
        svg.path(
            &line.points.iter().map(at).collect::<Vec<_>>(),
            if line.strong { 3.0 } else { 1.0 },
            Colour::Ink,
        );
    }
    let mut last = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for mark in &chart.marks {
        let point = at(&mark.point);
        svg.mark(point, if mark.filled { 4.0 } else { 2.5 }, mark.filled);
        // A label that would lie on the one before is left to the description.
        if !mark.label.is_empty() && (point.1 - last.1 >= 18.0 || point.0 >= last.0) {
            svg.text((point.0 + 8.0, point.1 - 8.0), TEXT, Anchor::Start, Colour::Ink, &mark.label);
            last = (point.0 + 8.0 + mark.label.chars().count() as f64 * TEXT * WIDE, point.1);
        }
    }
    let places = apart(&chart.ends.iter().map(|end| y(end.up)).collect::<Vec<_>>(), GAP);
    for (end, place) in chart.ends.iter().zip(places) {
        svg.line((right, y(end.up)), (right + 14.0, place), 1.0, Colour::Ink);
        if end.now {
            svg.now((right + 18.0, place), &end.label);
        } else {
            svg.text((right + 18.0, place + 5.0), TEXT, Anchor::Start, Colour::Ink, &end.label);
        }
    }
    svg.wrapped((20.0, 352.0), TEXT, Colour::Soft, &chart.about);
    svg.finish(&chart.title, &chart.sentence)
}
