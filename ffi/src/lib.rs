//! The foreign boundary: what Kotlin and Swift see of the core. It converts and forwards, and has no rules of its own.
//!
//! A shell holds one [`PlinthCompanion`]. Values are the core's own records and enums, which describe themselves to the
//! boundary (`docs/decisions/0017`). No call panics across it: a defect becomes [`PlinthError::Defect`], the record is
//! opened anew, and the next call works.

mod companion;
mod error;
mod held;
mod kept;
mod listener;
mod living;
mod opening;
mod outcome;
mod pairing;
mod sealed;
mod step;
mod sync;
mod task;
mod text;
mod work;

pub use companion::PlinthCompanion;
pub use error::PlinthError;
pub use listener::{Listener, ListenerFault, LogLine, WorkProgress};
pub use living::living_objects;
pub use opening::{Opening, Rehearsal};
pub use outcome::{Imported, NotTaken, Outcome};
pub use sealed::Restored;
pub use step::{SyncHeader, SyncRequest, SyncStep, SyncStop, SyncTold};
pub use sync::SyncSession;
pub use task::LongTask;
pub use text::{read_event, write_event};
pub use work::FileForm;

uniffi::setup_scaffolding!("plinth_ffi");
