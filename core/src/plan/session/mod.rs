//! In mid-session: the plan's model with what is done held fixed.

mod day;

pub(in crate::plan) use day::DayCost;
