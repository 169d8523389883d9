//! Plinth's core: everything that thinks, and nothing that knows a screen or a platform.
//!
//! The rooms and who may know whom are described in `DEVELOPERS.md`.

pub mod catalogue;
pub mod load;
pub mod plan;
pub mod safety;
pub mod words;
