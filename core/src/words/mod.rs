//! Sentences for screens and errors, made from data.

pub mod adapt;
mod notice;
mod plan;

pub use notice::{notice, weekday};
pub use plan::{claim, clock, count, name_of_group, prescription, sets};
