//! A page of a place: what stands on it, and what can be done there.
//!
//! The floor has a screen of its own; the other places are pages made of a few kinds of block, so that a shell draws
//! any of them with the same few views. All text is worded; an event is sent back as it was given.

mod block;
mod chart;
mod event;

pub use block::{Block, Keys, Page, PageButton, TableRow, Tally};
pub use chart::{Chart, ChartEnd, ChartMark, ChartPath, ChartPoint, ChartRule, FIELD};
pub use event::{By, Deed, FileKind, KitPart, PageEvent, Place, Spot};
