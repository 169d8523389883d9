//! Plinth's core: everything that thinks, and nothing that knows a screen or a platform.
//!
//! The rooms and who may know whom are described in `DEVELOPERS.md`.

#![cfg_attr(test, allow(clippy::expect_used, clippy::unwrap_used))] // a test may stop at what should not be

pub mod catalogue;
pub mod companion;
pub mod floor;
#[cfg(feature = "foreign")]
mod foreign;
pub mod load;
pub mod moment;
pub mod page;
pub mod plan;
pub mod progress;
pub mod published;
pub mod record;
pub mod safety;
pub mod store;
pub mod sync;
mod table;
pub mod terms;
pub mod words;

#[cfg(feature = "foreign")]
uniffi::setup_scaffolding!("plinth_core");
