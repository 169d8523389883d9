//! Body mass over the last weeks.

use super::{Anchor, Axis, Field, INK, SOFT, Svg, TEXT, in_unit};
use chrono::NaiveDate;
use plinth_core::companion::Findings;
use plinth_core::load::mass::Unit;
use plinth_core::words::Speech;

/// Measurements with their middle slope; none with fewer than two, or where body mass is hidden.
pub(crate) fn body(speech: &Speech, f: &Findings, told: &str, today: NaiveDate) -> Option<String> {
    let trend = f.body_mass.as_ref().filter(|_| f.body_masses.len() > 1)?;
    let unit = trend.newest.mass.unit();
    // The slope is of kilograms.
    let of_kg = |kg: f64| if unit == Unit::Pound { kg / 0.453_592_37 } else { kg };
    let first = f.body_masses.first()?.day;
    let line = |day: NaiveDate| {
        let weeks = (day - today).num_days() as f64 / 7.0;
        trend.slope_kg.as_ref().map(|s| of_kg(s.intercept + s.slope * weeks))
    };
    let newest = trend.newest.day;
    let masses = Axis::around(
        (f.body_masses.iter().map(|m| in_unit(&m.mass, unit)))
            .chain([first, newest].into_iter().filter_map(line)),
    );
    let field = Field { first, last: newest, masses, left: 64.0, right: 560.0, top: 76.0, foot: 280.0 };
    let mut svg = Svg::new(720.0, 370.0);
    let title = speech.say("chart-body", &[]);
    svg.text((20.0, 32.0), 19.0, Anchor::Start, INK, &title);
    field.draw(&mut svg, speech, unit);
    if let (Some(from), Some(to)) = (line(first), line(newest)) {
        svg.line((field.x(first), field.y(from)), (field.x(newest), field.y(to)), 2.0, INK);
    }
    for m in &f.body_masses {
        svg.mark((field.x(m.day), field.y(in_unit(&m.mass, unit))), 3.5, false);
    }
    let y = field.y(in_unit(&trend.newest.mass, unit));
    svg.now((field.right + 14.0, y), &speech.mass(&trend.newest.mass));
    svg.wrapped((20.0, 332.0), TEXT, SOFT, &speech.say("chart-body-about", &[]));
    Some(svg.finish(&title, told))
}
