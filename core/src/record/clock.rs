//! The hybrid logical clock of one device.

use super::{DeviceId, Stamp};

/// Gives stamps that only rise, whatever the wall clock does (Kulkarni et al. 2014, *Logical Physical Clocks*).
///
/// Merging takes any stamp; how far ahead of the wall clock a stamp may lie is judged where a record enters a
/// server, not here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clock {
    device: DeviceId,
    millis: u64,
    counter: u16,
}

impl Clock {
    /// A clock that has seen nothing.
    pub const fn new(device: DeviceId) -> Self {
        Self { device, millis: 0, counter: 0 }
    }

    /// A clock that goes on from the last stamp that it gave or saw.
    pub const fn resume(device: DeviceId, last: Stamp) -> Self {
        Self { device, millis: last.millis, counter: last.counter }
    }

    /// Whose clock it is.
    pub const fn device(&self) -> DeviceId {
        self.device
    }

    /// The greatest that it gave or saw, as a stamp of this device.
    pub const fn last(&self) -> Stamp {
        Stamp { millis: self.millis, counter: self.counter, device: self.device }
    }

    /// The stamp of an edit at `wall_ms` (milliseconds since 1970): greater than every stamp given or seen, and
    /// greater than `replaces`, the stamp of what the edit replaces. A wall clock before 1970 counts as 1970.
    pub fn tick(&mut self, wall_ms: i64, replaces: Option<Stamp>) -> Stamp {
        if let Some(old) = replaces {
            self.observe(old);
        }
        let wall = u64::try_from(wall_ms).unwrap_or(0).min(Stamp::FURTHEST);
        if wall > self.millis {
            (self.millis, self.counter) = (wall, 0);
        } else if let Some(next) = self.counter.checked_add(1) {
            self.counter = next;
        } else if self.millis < Stamp::MOST_MILLIS {
            // The counter is spent: the next millisecond, ahead of the wall clock.
            (self.millis, self.counter) = (self.millis + 1, 0);
        }
        self.last()
    }

    /// Takes note of a stamp from elsewhere, so that later edits exceed it.
    pub fn observe(&mut self, seen: Stamp) {
        if (seen.millis, seen.counter) > (self.millis, self.counter) {
            (self.millis, self.counter) = (seen.millis.min(Stamp::MOST_MILLIS), seen.counter);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const ME: DeviceId = DeviceId::new(1);

    #[test]
    fn a_clock_that_goes_back_still_rises() {
        let mut clock = Clock::new(ME);
        let first = clock.tick(10_000, None);
        assert_eq!((first.millis, first.counter), (10_000, 0));
        let second = clock.tick(-5, None);
        assert_eq!((second.millis, second.counter), (10_000, 1));
        assert_eq!(clock.tick(10_001, None).counter, 0);
    }

    #[test]
    fn a_spent_counter_takes_the_next_millisecond() {
        let last = Stamp { millis: 5, counter: u16::MAX, device: DeviceId::new(9) };
        let next = Clock::new(ME).tick(5, Some(last));
        assert_eq!((next.millis, next.counter), (6, 0));
        assert!(next > last);
    }

    #[test]
    fn the_furthest_stamp_from_outside_can_be_exceeded_seventy_thousand_times() {
        let mut clock = Clock::new(ME);
        let mut last = Stamp { millis: Stamp::FURTHEST, counter: u16::MAX, device: DeviceId::new(u64::MAX) };
        for _ in 0..70_000 {
            let next = clock.tick(i64::MAX, Some(last));
            assert!(next > last);
            last = next;
        }
    }

    proptest! {
        #[test]
        fn an_edit_exceeds_all_before(steps in proptest::collection::vec(
            (any::<i64>(), proptest::option::of((0..=Stamp::FURTHEST, any::<u16>(), any::<u64>()))), 1..60)) {
            let mut clock = Clock::new(ME);
            let mut greatest: Option<Stamp> = None;
            for (wall, seen) in steps {
                let seen = seen.map(|(millis, counter, d)| Stamp { millis, counter, device: DeviceId::new(d) });
                let stamp = clock.tick(wall, seen);
                prop_assert!(seen.is_none_or(|s| stamp > s));
                prop_assert!(greatest.is_none_or(|g| stamp > g));
                greatest = Some(stamp);
                prop_assert_eq!(Clock::resume(ME, stamp), clock);
            }
        }
    }
}
