//! The text of the data files, embedded or handed in.

use std::borrow::Cow;

/// The texts of the catalogue's data files.
#[derive(Debug, Clone)]
pub struct Files<'a> {
    /// `version.toml`
    pub version: Cow<'a, str>,
    /// `muscles.csv`
    pub muscles: Cow<'a, str>,
    /// `patterns.csv`
    pub patterns: Cow<'a, str>,
    /// `equipment.csv`
    pub equipment: Cow<'a, str>,
    /// `regions.csv`
    pub regions: Cow<'a, str>,
    /// `movements.csv`
    pub movements: Cow<'a, str>,
    /// `attributions.csv`
    pub attributions: Cow<'a, str>,
    /// `stand_ins.csv`
    pub stand_ins: Cow<'a, str>,
}

impl Files<'static> {
    /// The files that this build carries.
    pub fn builtin() -> Self {
        Self {
            version: include_str!("../../data/version.toml").into(),
            muscles: include_str!("../../data/muscles.csv").into(),
            patterns: include_str!("../../data/patterns.csv").into(),
            equipment: include_str!("../../data/equipment.csv").into(),
            regions: include_str!("../../data/regions.csv").into(),
            movements: include_str!("../../data/movements.csv").into(),
            attributions: include_str!("../../data/attributions.csv").into(),
            stand_ins: include_str!("../../data/stand_ins.csv").into(),
        }
    }
}
