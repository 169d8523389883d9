//! Instances for the unit tests of this room.

use super::model::Instance;
use super::sample::sample_brief;
use super::{Keep, Weights, build};
use crate::catalogue::Catalogue;

/// Twelve instances of invented lifters.
pub(super) fn instances() -> Vec<Instance> {
    let catalogue = Catalogue::builtin().expect("the catalogue is sound");
    let weights = Weights::builtin().expect("the weights are sound");
    (0..12)
        .map(|seed| build(&sample_brief(seed, &catalogue), &catalogue, &weights, Keep::Undominated).instance)
        .collect()
}
