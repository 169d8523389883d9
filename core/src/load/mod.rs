//! How heavy: estimates of a maximum, percentages, ramps, and the discs on the bar.
//!
//! This room knows neither the catalogue nor the plan. Masses are exact integers; floats appear only in the
//! published equations, which go through `libm` so that every machine gives the same bits.

pub mod equations;
pub mod error;
pub mod first;
pub mod kit;
pub mod make;
pub mod mass;
pub mod percent;
pub mod ramp;
pub mod reserve;
pub mod route;
mod sums;
mod tables;

pub use error::LoadError;
pub use kit::Kit;
pub use make::{BarLoads, Implement, Made, Rounding, loads_of, make};
pub use mass::{Mass, Unit};
