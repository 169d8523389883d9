//! How many objects shells hold: a figure of memory could not tell a leak of small objects from a busy collector.

use std::sync::atomic::{AtomicU64, Ordering};

static LIVING: AtomicU64 = AtomicU64::new(0);

/// Stands in an object for as long as it lives.
#[derive(Debug)]
pub(crate) struct Living(());

impl Living {
    pub(crate) fn new() -> Self {
        LIVING.fetch_add(1, Ordering::Relaxed);
        Self(())
    }
}

impl Drop for Living {
    fn drop(&mut self) {
        LIVING.fetch_sub(1, Ordering::Relaxed);
    }
}

/// How many objects of this library are held, by a shell or by work that runs. For a shell's tests of leaks.
#[uniffi::export]
pub fn living_objects() -> u64 {
    LIVING.load(Ordering::Relaxed)
}
