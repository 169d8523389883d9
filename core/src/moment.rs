//! The instant of an event, as a platform knows it.

use chrono::{DateTime, FixedOffset, TimeZone};
use serde::{Deserialize, Serialize};

/// What a platform knows of now. Wall time may jump; monotonic time does not, but ends with the boot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct Moment {
    /// Milliseconds since 1970-01-01T00:00:00Z by the wall clock.
    pub wall_ms: i64,
    /// Minutes that local time is ahead of UTC.
    pub offset_min: i32,
    /// Milliseconds since the boot, on a clock that counts sleep.
    pub monotonic_ms: u64,
    /// Identifies the boot; another one means that monotonic times cannot be compared.
    pub boot: String,
}

impl Moment {
    /// Local date and time. An instant or offset that no calendar has becomes the nearest one that has.
    pub fn local(&self) -> DateTime<FixedOffset> {
        let minutes = self.offset_min.clamp(-18 * 60, 18 * 60);
        let offset = FixedOffset::east_opt(minutes * 60);
        let utc = DateTime::from_timestamp_millis(self.wall_ms.clamp(LEAST_MS, MOST_MS)).unwrap_or_default();
        offset.map_or_else(|| utc.fixed_offset(), |o| o.from_utc_datetime(&utc.naive_utc()))
    }

    /// RFC 3339 with the offset and milliseconds, as the record keeps times.
    pub fn rfc3339(&self) -> String {
        self.local().to_rfc3339_opts(chrono::SecondsFormat::Millis, false)
    }

    /// Milliseconds from `earlier` to now: by the monotonic clock within one boot, else by the wall clock, never
    /// less than nought.
    pub fn since(&self, earlier: &Self) -> i64 {
        let ms = if self.boot == earlier.boot && self.monotonic_ms >= earlier.monotonic_ms {
            i64::try_from(self.monotonic_ms - earlier.monotonic_ms).unwrap_or(i64::MAX)
        } else {
            self.wall_ms.saturating_sub(earlier.wall_ms)
        };
        ms.max(0)
    }
}

/// 0001-01-02 and 9999-12-30, UTC: a day within the four-digit years, whatever the offset.
const LEAST_MS: i64 = -62_135_510_400_000;
const MOST_MS: i64 = 253_402_128_000_000;

#[cfg(test)]
mod tests {
    use super::*;

    fn at(wall_ms: i64, monotonic_ms: u64, boot: &str) -> Moment {
        Moment { wall_ms, offset_min: 60, monotonic_ms, boot: boot.into() }
    }

    #[test]
    fn a_changed_wall_clock_does_not_change_what_passed() {
        assert_eq!(at(0, 91_000, "a").since(&at(3_600_000, 1_000, "a")), 90_000);
    }

    #[test]
    fn after_a_reboot_the_wall_clock_tells() {
        assert_eq!(at(95_000, 10, "b").since(&at(5_000, 900_000, "a")), 90_000);
        assert_eq!(at(5_000, 10, "b").since(&at(95_000, 900_000, "a")), 0);
    }

    #[test]
    fn times_carry_their_offset() {
        assert_eq!(at(1_764_041_400_123, 0, "a").rfc3339(), "2025-11-25T04:30:00.123+01:00");
    }

    #[test]
    fn a_wall_clock_beyond_every_calendar_is_still_told() {
        for wall_ms in [i64::MIN, i64::MAX] {
            for offset_min in [i32::MIN, -1080, 0, 1080, i32::MAX] {
                let m = Moment { wall_ms, offset_min, monotonic_ms: 0, boot: String::new() };
                assert_eq!(m.rfc3339().len(), "2025-11-25T04:30:00.123+01:00".len());
            }
        }
    }
}
