//! Brief to programme: the optimiser, its proof and its reasons.

pub mod bound;

pub mod model;
