//! Brief to programme: the optimiser, its proof and its reasons.

pub mod adapt;
mod block;
pub mod bound;
pub mod brief;
mod build;
mod document;
mod dominance;
pub mod filter;
mod held;
pub mod layout;
pub mod loads;
pub mod model;
pub mod order;
pub mod prescription;
pub mod programme;
pub mod reason;
pub mod sample;
pub mod search;
pub mod session;
mod solve;
mod targets;
#[cfg(test)]
mod testing;
mod weights;

pub use build::{Case, Keep, build};
pub use document::DocumentFault;
pub use held::Held;
pub use solve::{Planner, Solved};
pub use targets::Target;
pub use weights::{Weights, WeightsFault};
