//! The estimated maximum over time.

use super::{Anchor, Axis, Field, INK, SOFT, Svg, TEXT, about, apart, in_unit, per};
use chrono::NaiveDate;
use plinth_core::companion::{MaximumOn, MovementFindings};
use plinth_core::load::Mass;
use plinth_core::load::mass::PER_KILOGRAM;
use plinth_core::words::Speech;

/// Days of points that are shown beside the looks back.
const SHOWN_DAYS: i64 = 126;

/// The estimate with its interval over the weeks, and a dot for each day; none without an estimate.
pub(crate) fn maximum(
    speech: &Speech,
    name: &str,
    m: &MovementFindings,
    told: &str,
    today: NaiveDate,
) -> Option<String> {
    let looks: Vec<(NaiveDate, &MaximumOn)> =
        m.history.iter().filter_map(|h| Some((h.day.parse().ok()?, h))).collect();
    let unit = looks.last()?.1.middle.unit();
    let of = |mass: &Mass| in_unit(mass, unit);
    let dots: Vec<(NaiveDate, f64)> = (m.points.iter())
        .filter(|p| (0..SHOWN_DAYS).contains(&(today - p.day).num_days()))
        .map(|p| (p.day, p.log_kg.exp() * PER_KILOGRAM as f64 / per(unit)))
        .collect();
    let first = looks.iter().map(|l| l.0).chain(dots.iter().map(|d| d.0)).min()?;
    let masses = Axis::around(
        (looks.iter().flat_map(|(_, h)| [of(&h.low), of(&h.high)])).chain(dots.iter().map(|d| d.1)),
    );
    let mut svg = Svg::new(720.0, 400.0);
    let field = Field { first, last: today, masses, left: 64.0, right: 516.0, top: 76.0, foot: 300.0 };
    let title = speech.say("chart-maximum", &[("movement", name.into())]);
    svg.text((20.0, 32.0), 19.0, Anchor::Start, INK, &title);
    for run in looks.chunk_by(|a, b| (b.0 - a.0).num_days() <= 7) {
        let line = |end: fn(&MaximumOn) -> &Mass| -> Vec<(f64, f64)> {
            run.iter().map(|(day, h)| (field.x(*day), field.y(of(end(h))))).collect()
        };
        let (low, middle, high) = (line(|h| &h.low), line(|h| &h.middle), line(|h| &h.high));
        let band: Vec<(f64, f64)> = low.iter().copied().chain(high.iter().rev().copied()).collect();
        if run.len() > 1 {
            svg.hatched(&band);
            svg.path(&low, 1.0, INK);
            svg.path(&high, 1.0, INK);
            svg.path(&middle, 3.0, INK);
        } else if let ([from], [to], [at]) = (&low[..], &high[..], &middle[..]) {
            svg.line(*from, *to, 1.5, INK);
            svg.line((at.0 - 6.0, at.1), (at.0 + 6.0, at.1), 3.0, INK);
        }
    }
    field.draw(&mut svg, speech, unit);
    for (day, mass) in &dots {
        svg.mark((field.x(*day), field.y(*mass)), 2.5, false);
    }
    if let Some((day, now)) = looks.last().filter(|(day, _)| *day == today) {
        let ends = [&now.high, &now.middle, &now.low];
        let places = apart(&ends.map(|mass| field.y(of(mass))), 26.0);
        for (k, (mass, y)) in ends.into_iter().zip(places).enumerate() {
            svg.line((field.x(*day), field.y(of(mass))), (field.right + 14.0, y), 1.0, INK);
            let at = (field.right + 18.0, y);
            if k == 1 {
                let mass = about(mass);
                svg.now(at, &speech.say("chart-now", &[("mass", (&mass).into())]));
            } else {
                svg.text((at.0, y + 5.0), TEXT, Anchor::Start, INK, &about(mass));
            }
        }
    }
    svg.wrapped((20.0, 352.0), TEXT, SOFT, &speech.say("chart-maximum-about", &[]));
    Some(svg.finish(&title, told))
}
