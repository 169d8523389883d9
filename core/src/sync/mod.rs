//! Bringing two copies of a record together over a connection that this room never sees: it makes request bytes and
//! takes answer bytes.
//!
//! The protocol is described in `docs/sync-protocol.md`. A device and a server are both made of these parts: the
//! messages, the sums and ranges by which two sides find where they differ, and on the device the exchange itself.

mod audit;
mod exchange;
mod invitation;
mod later;
mod message;
mod pack;
mod pair;
mod range;
mod state;

pub use audit::{AuditDeed, AuditLine, Heard, MOST_LINES};
pub use exchange::{Exchange, Outgoing, Step, SyncFault, SyncFaultKind, Told};
pub use invitation::{Invitation, InvitationFault, meant};
pub use later::Later;
pub use message::{
    Answer, Capability, Differs, Fault, Limits, PATH, PROTOCOL, RangeAnswer, RefusedEntry, Request,
};
pub use pack::{pack, unpack};
pub use pair::{PAIR_PATH, PairAnswer, PairRequest, Paired, is_account_name};
pub use range::{LISTED, PARTS, Range, compare};
pub use state::SyncState;

/// How far ahead of the server's clock a stamp may be, milliseconds; checked at the server's door only.
pub const DRIFT_MS: u64 = 5 * 60 * 1000;
