//! What the log adds up to: estimated maxima, trends, weekly sets, bests, sides, scores and next loads.
//!
//! Pure: the day is handed in, nothing is drawn by chance, and every answer is data that says what it rests
//! on. Floats appear inside estimates only and go through `libm`, so that every machine gives the same bits;
//! masses come out exact. `docs/findings.md` tells each method, its sources and its measured calibration.

pub mod attendance;
pub mod bests;
pub mod body;
mod curve;
pub mod maximum;
pub mod next;
pub mod normal;
pub mod plateau;
pub mod rest;
pub mod scores;
pub mod set;
pub mod sides;
pub mod trend;
pub mod volume;

pub use set::{Measure, Outcome, SetDone, Side};
