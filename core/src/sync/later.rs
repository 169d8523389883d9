//! When to try again.

use serde::{Deserialize, Serialize};

/// The first wait, milliseconds.
const FIRST_MS: u64 = 5_000;
/// The longest wait, milliseconds: half an hour.
const LONGEST_MS: u64 = 30 * 60 * 1000;

/// Waits that double, with chance in them, so that a gym's phones do not all come back at one instant after a failure
/// (exponential back-off with jitter: common practice, no source).
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Later {
    /// Tries that failed one after the other.
    failed: u32,
}

impl Later {
    /// After another failure: milliseconds to wait, between a half and the whole of the doubled wait. `chance` is any
    /// random number. A server that names a longer wait is obeyed.
    pub fn after_failure(&mut self, chance: u32, named_s: Option<u32>) -> u64 {
        let whole = FIRST_MS.saturating_mul(1 << self.failed.min(20)).min(LONGEST_MS);
        self.failed = self.failed.saturating_add(1);
        let half = whole / 2;
        let wait = half + u64::from(chance) * (whole - half) / u64::from(u32::MAX);
        wait.max(u64::from(named_s.unwrap_or(0)) * 1000)
    }

    /// After a success.
    pub fn succeeded(&mut self) {
        self.failed = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waits_double_up_to_half_an_hour_and_chance_spreads_them() {
        let mut later = Later::default();
        let waits: Vec<u64> = (0..12).map(|_| later.after_failure(u32::MAX, None)).collect();
        assert_eq!(waits[..3], [5_000, 10_000, 20_000]);
        assert_eq!(waits.last(), Some(&LONGEST_MS));
        later.succeeded();
        assert_eq!(later.after_failure(0, None), 2_500);
        assert_eq!(later.after_failure(0, Some(60)), 60_000, "the server's word counts");
    }
}
