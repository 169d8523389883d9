//! One file for each command.

pub(crate) mod adapt;
pub(crate) mod catalogue;
pub(crate) mod demo;
pub(crate) mod findings;
pub(crate) mod floor;
pub(crate) mod host;
pub(crate) mod load;
pub(crate) mod plan;
pub(crate) mod price;
pub(crate) mod record;
pub(crate) mod schema;
pub(crate) mod serve;
pub(crate) mod session;
pub(crate) mod sync;
