//! The catalogue: its counts, the facts of the trade that it must honour, its texts, and every fault that
//! its loader must name.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod facts;
mod faults;
mod own;
mod texts;

use plinth_core::catalogue::{Catalogue, ShareKind};

fn catalogue() -> Catalogue {
    Catalogue::builtin().expect("the catalogue is sound")
}

/// How a movement counts for a muscle.
fn share(c: &Catalogue, movement: &str, muscle: &str) -> Option<ShareKind> {
    let g = c.muscle(muscle).unwrap_or_else(|| panic!("no muscle {muscle}"));
    let m = c.movement(movement).unwrap_or_else(|| panic!("no movement {movement}"));
    m.trains.iter().find(|a| a.muscle == g).map(|a| a.share)
}
