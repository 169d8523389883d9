//! Plinth's core: everything that thinks, and nothing that knows a screen or a platform.
//!
//! The rooms and who may know whom are described in `DEVELOPERS.md`.

#![cfg_attr(test, allow(clippy::expect_used, clippy::unwrap_used))] // a test may stop at what should not be

pub mod catalogue;
pub mod load;
pub mod moment;
pub mod plan;
pub mod record;
pub mod safety;
mod table;
pub mod words;
