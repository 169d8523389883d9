//! One file for each command.

pub(crate) mod catalogue;
pub(crate) mod load;
pub(crate) mod plan;
pub(crate) mod schema;
