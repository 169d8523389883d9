//! Findings as charts: where everything stands in the field, and what is written beside it.

use crate::companion::{Findings, MaximumOn, MovementFindings};
use crate::load::Mass;
use crate::load::mass::{PER_KILOGRAM, PER_POUND, Unit};
use crate::page::{Chart, ChartEnd, ChartMark, ChartPath, ChartPoint, ChartRule, FIELD};
use crate::words::Speech;
use chrono::{Days, NaiveDate};

/// Days of points that are shown beside the looks back.
const SHOWN_DAYS: i64 = 126;
/// Repetitions that the curve reaches.
const MOST_REPS: u32 = 30;
/// Kilograms in a pound, exactly.
const POUND_KG: f64 = 0.453_592_37;

/// The estimated maximum with its interval over the weeks, and a mark for each day; none without an estimate. `told`
/// says the same.
pub fn maximum(
    speech: &Speech,
    name: &str,
    m: &MovementFindings,
    told: &str,
    today: NaiveDate,
) -> Option<Chart> {
    let looks: Vec<(NaiveDate, &MaximumOn)> =
        m.history.iter().filter_map(|h| Some((h.day.parse().ok()?, h))).collect();
    let unit = looks.last()?.1.middle.unit();
    let of = |mass: &Mass| in_unit(mass, unit);
    let dots: Vec<(NaiveDate, f64)> = (m.points.iter())
        .filter(|p| (0..SHOWN_DAYS).contains(&(today - p.day).num_days()))
        .map(|p| (p.day, p.log_kg.exp() * PER_KILOGRAM as f64 / per(unit)))
        .collect();
    let first = looks.iter().map(|l| l.0).chain(dots.iter().map(|d| d.0)).min()?;
    let axis = Axis::around(
        (looks.iter().flat_map(|(_, h)| [of(&h.low), of(&h.high)])).chain(dots.iter().map(|d| d.1)),
    );
    let field = Field { first, last: today, axis };
    let title = speech.say("chart-maximum", &[("movement", name.into())]);
    let mut chart = field.chart(speech, unit, title, speech.say("chart-maximum-about", &[]), told);
    // Weeks that cannot be told part the line.
    for run in looks.chunk_by(|a, b| (b.0 - a.0).num_days() <= 7) {
        let line = |end: fn(&MaximumOn) -> &Mass| -> Vec<ChartPoint> {
            run.iter().map(|(day, h)| field.point(*day, of(end(h)))).collect()
        };
        let (low, middle, high) = (line(|h| &h.low), line(|h| &h.middle), line(|h| &h.high));
        if let ([low], [middle], [high]) = (&low[..], &middle[..], &high[..]) {
            chart.lines.push(thin(vec![*low, *high]));
            chart.marks.push(ChartMark { point: *middle, filled: true, label: String::new() });
            continue;
        }
        chart.areas.push(thin(low.iter().chain(high.iter().rev()).copied().collect()));
        chart.lines.extend([thin(low), thin(high), ChartPath { points: middle, strong: true }]);
    }
    let mark = |(day, mass): &(NaiveDate, f64)| ChartMark {
        point: field.point(*day, *mass),
        filled: false,
        label: String::new(),
    };
    chart.marks.extend(dots.iter().map(mark));
    if let Some((_, now)) = looks.last().filter(|(day, _)| *day == today) {
        let middle = about(&now.middle);
        chart.ends = vec![
            field.end(of(&now.high), about(&now.high), false),
            field.end(of(&now.middle), speech.say("chart-now", &[("mass", (&middle).into())]), true),
            field.end(of(&now.low), about(&now.low), false),
        ];
    }
    Some(chart)
}

/// Points on the repetition-load curve, each with its own words; none without two of them.
pub fn bests(speech: &Speech, name: &str, m: &MovementFindings) -> Option<Chart> {
    let shown: Vec<_> = m.bests.iter().filter(|b| b.reps <= MOST_REPS).collect();
    if shown.len() < 2 {
        return None;
    }
    let unit = shown.first()?.load.unit();
    let most = shown.last()?.reps.max(2);
    let axis = Axis::around(shown.iter().map(|b| in_unit(&b.load, unit)));
    let across = |reps: u32| length(f64::from(reps.saturating_sub(1)) / f64::from(most - 1));
    let every = most.div_ceil(10).max(1) as usize;
    let ticks = (1..=most).step_by(every);
    let marks: Vec<ChartMark> = (shown.iter())
        .map(|best| {
            let load = speech.mass(&best.load);
            ChartMark {
                point: ChartPoint { across: across(best.reps), up: axis.at(in_unit(&best.load, unit)) },
                filled: true,
                label: speech.say("chart-best", &[("load", (&load).into()), ("reps", best.reps.into())]),
            }
        })
        .collect();
    // What was lifted so often was lifted for fewer, too: each step reaches back to the one before.
    let mut steps = vec![ChartPoint { across: 0, up: marks.first()?.point.up }];
    for (k, mark) in marks.iter().enumerate() {
        if let Some(before) = k.checked_sub(1).and_then(|k| marks.get(k)) {
            steps.push(ChartPoint { across: before.point.across, up: mark.point.up });
        }
        steps.push(mark.point);
    }
    let about = speech.say("chart-curve-about", &[]);
    let told: Vec<&str> = marks.iter().map(|m| m.label.as_str()).collect();
    Some(Chart {
        title: speech.say("chart-curve", &[("movement", name.into())]),
        unit: unit.symbol().to_owned(),
        counted: speech.say("chart-reps", &[]),
        rules: axis.rules(speech),
        ticks: ticks.map(|r| ChartRule { place: across(r), label: r.to_string() }).collect(),
        areas: Vec::new(),
        lines: vec![thin(steps)],
        sentence: format!("{}. {about}", told.join(", ")),
        marks,
        ends: Vec::new(),
        about,
    })
}

/// Measurements of body mass with their middle slope; none with fewer than two, or where body mass is hidden. `told`
/// says the same.
pub fn body(speech: &Speech, f: &Findings, told: &str, today: NaiveDate) -> Option<Chart> {
    let trend = f.body_mass.as_ref().filter(|_| f.body_masses.len() > 1)?;
    let unit = trend.newest.mass.unit();
    let line = |day: NaiveDate| {
        let weeks = (day - today).num_days() as f64 / 7.0;
        let kg = trend.slope_kg.as_ref().map(|s| s.intercept + s.slope * weeks)?;
        Some(if unit == Unit::Pound { kg / POUND_KG } else { kg })
    };
    let (first, newest) = (f.body_masses.first()?.day, trend.newest.day);
    let axis = Axis::around(
        (f.body_masses.iter().map(|m| in_unit(&m.mass, unit)))
            .chain([first, newest].into_iter().filter_map(line)),
    );
    let field = Field { first, last: newest, axis };
    let title = speech.say("chart-body", &[]);
    let mut chart = field.chart(speech, unit, title, speech.say("chart-body-about", &[]), told);
    if let (Some(from), Some(to)) = (line(first), line(newest)) {
        let points = vec![field.point(first, from), field.point(newest, to)];
        chart.lines.push(ChartPath { points, strong: true });
    }
    chart.marks = (f.body_masses.iter())
        .map(|m| ChartMark {
            point: field.point(m.day, in_unit(&m.mass, unit)),
            filled: false,
            label: String::new(),
        })
        .collect();
    let now = &trend.newest.mass;
    chart.ends = vec![field.end(in_unit(now, unit), speech.mass(now), true)];
    Some(chart)
}

const fn thin(points: Vec<ChartPoint>) -> ChartPath {
    ChartPath { points, strong: false }
}

/// A share of a side as a length; what lies outside is brought to the edge.
fn length(share: f64) -> i32 {
    (share.clamp(0.0, 1.0) * f64::from(FIELD)).round() as i32
}

fn in_unit(mass: &Mass, unit: Unit) -> f64 {
    mass.amount() as f64 / per(unit)
}

fn per(unit: Unit) -> f64 {
    match unit {
        Unit::Kilogram => PER_KILOGRAM as f64,
        Unit::Pound => PER_POUND as f64,
    }
}

/// An estimate to the whole unit.
fn about(mass: &Mass) -> String {
    let unit = mass.unit();
    format!("{:.0} {}", in_unit(mass, unit), unit.symbol())
}

/// A straight axis of numbers.
struct Axis {
    low: f64,
    high: f64,
    step: f64,
}

impl Axis {
    /// Round ends around the values, in about four steps.
    fn around(values: impl Iterator<Item = f64>) -> Self {
        let (low, high) = values
            .filter(|v| v.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        let (low, high) = if low <= high { (low, high) } else { (0.0, 1.0) };
        let room = ((high - low) * 0.08).max(high.abs() * 0.01).max(0.1);
        let (low, high) = ((low - room).max(0.0), high + room);
        let rough = (high - low) / 4.0;
        let ten = 10_f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|k| k * ten).find(|s| *s >= rough).unwrap_or(ten);
        Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step }
    }

    fn at(&self, value: f64) -> i32 {
        length((value - self.low) / (self.high - self.low))
    }

    fn rules(&self, speech: &Speech) -> Vec<ChartRule> {
        let count = ((self.high - self.low) / self.step).round() as u32;
        let rule = |k: u32| {
            let value = self.low + f64::from(k) * self.step;
            let text = format!("{value:.2}");
            let text = text.trim_end_matches('0').trim_end_matches('.');
            ChartRule { place: self.at(value), label: speech.decimal(text) }
        };
        (0..=count).map(rule).collect()
    }
}

/// Masses over days.
struct Field {
    first: NaiveDate,
    last: NaiveDate,
    axis: Axis,
}

impl Field {
    fn point(&self, day: NaiveDate, mass: f64) -> ChartPoint {
        let all = (self.last - self.first).num_days().max(1) as f64;
        ChartPoint { across: length((day - self.first).num_days() as f64 / all), up: self.axis.at(mass) }
    }

    fn end(&self, mass: f64, label: String, now: bool) -> ChartEnd {
        ChartEnd { up: self.axis.at(mass), label, now }
    }

    /// The field with its ruled lines and some days, and nothing in it yet.
    fn chart(&self, speech: &Speech, unit: Unit, title: String, about: String, told: &str) -> Chart {
        let all = (self.last - self.first).num_days();
        let count = match all {
            0 => 0,
            1..=20 => 1,
            _ => 2,
        };
        let tick = |k: i64| {
            let days = if count == 0 { 0 } else { all * k / count };
            let day = self.first.checked_add_days(Days::new(days.unsigned_abs()))?;
            Some(ChartRule { place: self.point(day, 0.0).across, label: speech.date(day) })
        };
        Chart {
            title,
            unit: unit.symbol().to_owned(),
            counted: String::new(),
            rules: self.axis.rules(speech),
            ticks: (0..=count).filter_map(tick).collect(),
            areas: Vec::new(),
            lines: Vec::new(),
            marks: Vec::new(),
            ends: Vec::new(),
            about,
            sentence: told.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    #[test]
    fn an_axis_is_round_and_holds_its_values() {
        let speech = Speech::new(Language::English);
        for values in [vec![112.3, 129.0], vec![80.0], vec![0.0], vec![], vec![61.2, 61.9], vec![f64::NAN]] {
            let axis = Axis::around(values.iter().copied());
            assert!(axis.low < axis.high && axis.step > 0.0, "{values:?}");
            assert!(values.iter().all(|v| v.is_nan() || (axis.low..=axis.high).contains(v)), "{values:?}");
            let rules = axis.rules(&speech);
            assert!((3..=8).contains(&rules.len()), "{values:?}: {rules:?}");
            assert_eq!(
                (rules.first().map(|r| r.place), rules.last().map(|r| r.place)),
                (Some(0), Some(FIELD))
            );
        }
    }

    #[test]
    fn a_single_day_has_one_tick_and_lies_at_the_left() {
        let day = NaiveDate::from_ymd_opt(2026, 5, 3).unwrap_or_default();
        let field = Field { first: day, last: day, axis: Axis::around([80.0].into_iter()) };
        let speech = Speech::new(Language::German);
        let chart = field.chart(&speech, Unit::Kilogram, String::new(), String::new(), "");
        assert_eq!(chart.ticks.len(), 1);
        assert_eq!(field.point(day, 80.0).across, 0);
        assert!((1..FIELD).contains(&field.point(day, 80.0).up));
        let weeks = Field { last: day + Days::new(28), ..field };
        let chart = weeks.chart(&speech, Unit::Pound, String::new(), String::new(), "");
        let places: Vec<i32> = chart.ticks.iter().map(|t| t.place).collect();
        assert_eq!(places, [0, FIELD / 2, FIELD]);
        assert_eq!(weeks.point(day + Days::new(99), 1e9), ChartPoint { across: FIELD, up: FIELD });
    }
}
