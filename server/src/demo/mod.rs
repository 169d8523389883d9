//! A house to look at: a coach and five lifters who are invented, with twelve weeks of simulated training each.
//!
//! `people` says who they are, `body` what each can do on a day, `training` has them train with the companion as a phone
//! would, and `house` puts their records on a host of their own. Nothing here is anybody's; the pages say so.

mod body;
mod house;
mod people;
mod training;

pub use house::{Folder, Furnished, furnish};
pub use people::{Lifter, lifters};

use crate::host::OpeningFault;
use crate::host::fault::Fault;
use crate::host::ledger::LedgerFault;
use crate::host::store::StoreFault;
use plinth_core::companion::CompanionError;

/// The account of the coach.
pub const COACH: &str = "coach";

/// Why no demo house could be made.
#[derive(Debug, thiserror::Error)]
pub enum DemoFault {
    /// A record could not be written.
    #[error("{0}")]
    Record(#[from] CompanionError),
    /// The build's own data are faulty: a defect.
    #[error("{0}")]
    Data(String),
    /// The host refused something.
    #[error("{} ({})", .0.said.reason, .0.said.remedy)]
    Host(Fault),
    /// The store.
    #[error("{0}")]
    Store(#[from] StoreFault),
    /// The ledger.
    #[error("{0}")]
    Ledger(#[from] LedgerFault),
    /// The store and its ledger could not be opened.
    #[error("{0}")]
    Opening(#[from] OpeningFault),
    /// The disk.
    #[error("{0}")]
    Io(#[from] std::io::Error),
}

impl From<Fault> for DemoFault {
    fn from(fault: Fault) -> Self {
        Self::Host(fault)
    }
}
