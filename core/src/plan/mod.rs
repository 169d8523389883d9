//! Brief to programme: the optimiser, its proof and its reasons.

pub mod brief;
mod build;
mod dominance;
pub mod filter;
pub mod layout;
pub mod model;
pub mod prescription;
pub mod sample;
pub mod search;
mod targets;
#[cfg(test)]
mod testing;
mod weights;

pub use build::{Case, Keep, build};
pub use targets::Target;
pub use weights::{Weights, WeightsFault};
