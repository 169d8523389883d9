//! What the benches of the host share: the real binary on a free port of this machine, devices that speak the protocol
//! to it, an invented record to send, and a bare program to compare with.
//!
//! The package stands apart, since it starts a release build of the binary.

mod bare;
mod device;
mod house;

pub use bare::{BARE, Bare};
pub use device::Device;
pub use house::House;

use plinth_bench::fill;
use plinth_core::record::Kind;
use plinth_core::store::{Store, system_random};
use plinth_tests::Data;
use serde_json::value::RawValue;
use std::error::Error;
use std::path::Path;

/// What went wrong; a bench stops at it.
pub type Fault = Box<dyn Error + Send + Sync>;

/// Entries of a request, as a host takes at once.
pub const AT_ONCE: usize = 500;

/// The sets of an invented lifter's log, as canonical text by id. `file` is where the record lies meanwhile.
///
/// # Errors
/// Those of the store.
pub fn sets(file: &Path, many: u64) -> Result<Vec<Box<RawValue>>, Fault> {
    log(file, many, &[Kind::Set])
}

/// What an invented lifter's log of so many sets holds of some kinds, as canonical text. `file` is where the record lies
/// meanwhile.
///
/// # Errors
/// Those of the store.
pub fn log(file: &Path, many: u64, kinds: &[Kind]) -> Result<Vec<Box<RawValue>>, Fault> {
    let movements: Vec<String> =
        Data::builtin()?.catalogue.movements.iter().map(|m| m.id.clone()).take(24).collect();
    let mut store = Store::open(file, &plinth_bench::at(0), &mut system_random)?.store;
    fill(&mut store, many, &movements).map_err(|e| e.to_string())?;
    let mut texts = Vec::new();
    for kind in kinds {
        let mut after = None;
        loop {
            let page = store.of_kind(kind, after, 1_000)?;
            let Some(last) = page.last() else { break };
            after = Some(last.id);
            for entry in &page {
                texts.push(RawValue::from_string(entry.canonical())?);
            }
        }
    }
    Ok(texts)
}

/// The value below which so many per cent of the others lie. The list is sorted by it.
pub fn percentile(of: &mut [f64], percent: usize) -> f64 {
    of.sort_by(f64::total_cmp);
    let at = (of.len() * percent / 100).min(of.len().saturating_sub(1));
    of.get(at).copied().unwrap_or_default()
}
