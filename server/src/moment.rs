//! The instant, as this machine knows it.

use chrono::{Local, Offset};
use plinth_core::moment::Moment;
use std::fs;
use std::sync::OnceLock;
use std::time::Instant;

/// Now. On Linux the boot and a clock that counts sleep come from the kernel; elsewhere the process stands for the
/// boot, so that a rest is timed by the wall clock once it is over.
pub(crate) fn now() -> Moment {
    let local = Local::now();
    let (boot, monotonic_ms) = kernel().unwrap_or_else(process);
    Moment {
        wall_ms: local.timestamp_millis(),
        offset_min: local.offset().fix().local_minus_utc() / 60,
        monotonic_ms,
        boot,
    }
}

fn kernel() -> Option<(String, u64)> {
    let boot = fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?;
    let uptime = fs::read_to_string("/proc/uptime").ok()?;
    let seconds: f64 = uptime.split_whitespace().next()?.parse().ok()?;
    Some((boot.trim().to_owned(), (seconds * 1000.0) as u64))
}

fn process() -> (String, u64) {
    static BEGAN: OnceLock<Instant> = OnceLock::new();
    let began = BEGAN.get_or_init(Instant::now);
    let passed = u64::try_from(began.elapsed().as_millis()).unwrap_or(u64::MAX);
    (format!("process {}", std::process::id()), passed)
}
