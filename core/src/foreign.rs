//! How the few types cross the foreign boundary that are neither records nor enums. What crosses otherwise says so
//! where it is defined, behind the feature `foreign`.

use crate::load::Mass;

/// A position in a list.
type Position = usize;

uniffi::custom_type!(Position, u32, {
    remote,
    lower: |position| u32::try_from(position).unwrap_or(u32::MAX),
    try_lift: |position| Ok(position as usize),
});

uniffi::custom_type!(Mass, String, {
    lower: |mass| mass.to_string(),
    try_lift: |text| Ok(text.parse()?),
});
