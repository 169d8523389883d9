//! Body mass over time.

use chrono::NaiveDate;
use serde::Serialize;

use super::set::as_text;
use super::trend::{FEWEST_POINTS, TheilSen, theil_sen};
use crate::load::Mass;
use crate::record::{BodyMeasurementFields, Entry, View};

/// Days for which a measured body mass stands, when no later one is known. (our assumption)
pub const STANDS_DAYS: i64 = 90;

/// A body mass measured on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Measured {
    /// The day.
    #[serde(serialize_with = "as_text")]
    pub day: NaiveDate,
    /// The mass, as entered.
    pub mass: Mass,
}

/// A lifter's body masses, oldest first, one for each day.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Series {
    measured: Vec<Measured>,
}

/// What the series says of the last weeks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BodyTrend {
    /// The newest.
    pub newest: Measured,
    /// Measurements read.
    pub count: u32,
    /// Kilograms for each week with a 95 % interval; `None` with fewer than four measurements.
    pub slope_kg: Option<TheilSen>,
}

impl Series {
    /// From measurements in any order; of one day the last given counts.
    pub fn new(measured: impl IntoIterator<Item = Measured>) -> Self {
        let mut by_day = std::collections::BTreeMap::new();
        for one in measured {
            by_day.insert(one.day, one);
        }
        Self { measured: by_day.into_values().collect() }
    }

    /// From entries of the record in any order; what is no body mass, deleted, in another unit or nought is
    /// left out. Of one day the latest counts.
    pub fn read<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> Self {
        let mut all: Vec<(i64, Measured)> = entries
            .into_iter()
            .filter_map(|entry| {
                let fields = BodyMeasurementFields::of(entry).ok()?;
                let body = fields.what.as_deref() == Some("body_mass") && fields.deleted != Some(true);
                let at = fields.measured_at.filter(|_| body)?;
                let mass: Mass = fields.value?.to_string().parse().ok()?;
                (!mass.is_zero()).then_some((at.millis(), Measured { day: at.date(), mass }))
            })
            .collect();
        all.sort_by_key(|(millis, one)| (*millis, one.mass));
        Self::new(all.into_iter().map(|(_, one)| one))
    }

    /// All of them, oldest first.
    pub fn all(&self) -> &[Measured] {
        &self.measured
    }

    /// The body mass that stands on a day: the last measured up to it, or else the first after it, within
    /// [`STANDS_DAYS`].
    pub fn at(&self, day: NaiveDate) -> Option<Mass> {
        let after = self.measured.partition_point(|m| m.day <= day);
        let before = after.checked_sub(1).and_then(|i| self.measured.get(i));
        [before, self.measured.get(after)]
            .into_iter()
            .flatten()
            .find(|m| (m.day - day).num_days().abs() <= STANDS_DAYS)
            .map(|m| m.mass)
    }

    /// The trend of the last `weeks` weeks; `None` without a measurement in them.
    pub fn trend(&self, today: NaiveDate, weeks: u32) -> Option<BodyTrend> {
        let recent = |m: &&Measured| {
            let age = (today - m.day).num_days();
            (0..i64::from(weeks) * 7).contains(&age)
        };
        let read: Vec<&Measured> = self.measured.iter().filter(recent).collect();
        let points: Vec<(f64, f64)> =
            read.iter().map(|m| ((m.day - today).num_days() as f64 / 7.0, m.mass.kilograms())).collect();
        let slope_kg = (points.len() >= FEWEST_POINTS).then(|| theil_sen(&points, 0.95)).flatten();
        read.last().map(|newest| BodyTrend { newest: **newest, count: read.len() as u32, slope_kg })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(day: u32, kg: u32) -> Measured {
        let day = NaiveDate::from_ymd_opt(2026, 5, day).expect("a date");
        Measured { day, mass: Mass::grams(kg * 1000) }
    }

    #[test]
    fn the_mass_of_a_day_is_the_last_before_it() {
        let series = Series::new([on(20, 82), on(10, 80), on(10, 81)]);
        assert_eq!(series.all().len(), 2, "one for each day");
        assert_eq!(series.at(on(15, 0).day), Some(Mass::grams(81_000)));
        assert_eq!(series.at(on(1, 0).day), Some(Mass::grams(81_000)), "the first after it");
        assert_eq!(series.at(NaiveDate::from_ymd_opt(2027, 5, 1).unwrap()), None, "too old to stand");
        assert_eq!(Series::default().at(on(1, 0).day), None);
    }

    #[test]
    fn a_trend_needs_four() {
        let three = Series::new([on(1, 80), on(8, 81), on(15, 82)]);
        assert_eq!(three.trend(on(15, 0).day, 8).unwrap().slope_kg, None);
        let four = Series::new([on(1, 80), on(8, 81), on(15, 82), on(22, 83)]);
        let slope = four.trend(on(22, 0).day, 8).unwrap().slope_kg.unwrap();
        assert!((slope.slope - 1.0).abs() < 1e-9, "a kilogram a week");
        assert!(Series::default().trend(on(1, 0).day, 8).is_none());
    }
}
