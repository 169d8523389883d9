//! The most load for each number of repetitions.

use super::{Anchor, Axis, INK, RULE, SOFT, Svg, TEXT, in_unit, trimmed};
use plinth_core::companion::MovementFindings;
use plinth_core::words::Speech;

/// Repetitions that the chart reaches.
const MOST_REPS: u32 = 30;

/// Points on the repetition-load curve, each with its own words; none without two of them.
pub(crate) fn bests(speech: &Speech, name: &str, m: &MovementFindings) -> Option<String> {
    let shown: Vec<_> = m.bests.iter().filter(|b| b.reps <= MOST_REPS).collect();
    if shown.len() < 2 {
        return None;
    }
    let unit = shown.first()?.load.unit();
    let reps = f64::from(shown.last()?.reps.max(2));
    let loads = Axis::around(shown.iter().map(|b| in_unit(&b.load, unit)));
    let (left, right, top, foot) = (64.0, 540.0, 76.0, 300.0);
    let mut svg = Svg::new(720.0, 380.0);
    let x = |r: f64| left + 14.0 + (r - 1.0) / (reps - 1.0) * (right - left - 28.0);
    let title = speech.say("chart-curve", &[("movement", name.into())]);
    svg.text((20.0, 32.0), 19.0, Anchor::Start, INK, &title);
    for load in loads.ticks() {
        let y = loads.at(load, foot, top);
        svg.line((left, y), (right, y), 0.75, RULE);
        svg.text((left - 8.0, y + 5.0), TEXT, Anchor::End, SOFT, &speech.decimal(&trimmed(load)));
    }
    svg.text((left - 8.0, top - 14.0), TEXT, Anchor::End, SOFT, unit.symbol());
    svg.line((left, foot), (right, foot), 1.5, INK);
    let every = (reps / 10.0).ceil().max(1.0) as usize;
    for r in (1..=reps as u32).step_by(every) {
        let at = x(f64::from(r));
        svg.line((at, foot), (at, foot + 6.0), 1.5, INK);
        svg.text((at, foot + 23.0), TEXT, Anchor::Middle, SOFT, &r.to_string());
    }
    svg.text((right + 12.0, foot + 23.0), TEXT, Anchor::Start, SOFT, &speech.say("chart-reps", &[]));
    // What was lifted so often was lifted for fewer, too: each step reaches back to the one before.
    let at: Vec<(f64, f64)> =
        shown.iter().map(|b| (x(f64::from(b.reps)), loads.at(in_unit(&b.load, unit), foot, top))).collect();
    let mut steps = vec![(x(1.0), at.first()?.1)];
    for (k, point) in at.iter().enumerate() {
        if let Some(before) = k.checked_sub(1).and_then(|k| at.get(k)) {
            steps.push((before.0, point.1));
        }
        steps.push(*point);
    }
    svg.path(&steps, 1.5, INK);
    let mut last = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut told = Vec::new();
    for (best, point) in shown.iter().zip(&at) {
        svg.mark(*point, 4.0, true);
        let load = speech.mass(&best.load);
        let label = speech.say("chart-best", &[("load", (&load).into()), ("reps", best.reps.into())]);
        // A label that would lie on the one before is left to the description.
        if point.1 - last.1 >= 18.0 || point.0 >= last.0 {
            svg.text((point.0 + 8.0, point.1 - 8.0), TEXT, Anchor::Start, INK, &label);
            last = (point.0 + 8.0 + label.chars().count() as f64 * TEXT * super::WIDE, point.1);
        }
        told.push(label);
    }
    let about = speech.say("chart-curve-about", &[]);
    svg.wrapped((20.0, 352.0), TEXT, SOFT, &about);
    Some(svg.finish(&title, &format!("{}. {about}", told.join(", "))))
}
