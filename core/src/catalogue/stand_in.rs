//! Stand-ins: which movement may take another's place, and why.

use serde::Serialize;

/// The occasion for a stand-in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StandInKind {
    /// A region (by index) is sore.
    Discomfort(usize),
    /// The ankle lacks bend.
    LimitAnkle,
    /// The sides differ.
    Imbalance,
    /// The station is taken.
    Busy,
    /// The kit is not there.
    Equipment,
    /// The lifter trains alone and could be trapped.
    Alone,
    /// A muscle (by index) should get more.
    Emphasis(usize),
    /// An easier form.
    Regression,
    /// A harder form.
    Progression,
    /// Goes with another movement of the session.
    Pairing,
    /// As good, another feel.
    Lateral,
}

impl StandInKind {
    /// The kinds as the data files write them.
    pub const WORDS: &'static str = "discomfort:<region>, limit:ankle, imbalance, busy, equipment, alone, \
        emphasis:<muscle>, regression, progression, pairing or lateral";

    /// Reads a kind, given the ids of regions and muscles.
    pub fn read(
        word: &str,
        region: impl Fn(&str) -> Option<usize>,
        muscle: impl Fn(&str) -> Option<usize>,
    ) -> Option<Self> {
        if let Some(id) = word.strip_prefix("discomfort:") {
            return region(id).map(Self::Discomfort);
        }
        if let Some(id) = word.strip_prefix("emphasis:") {
            return muscle(id).map(Self::Emphasis);
        }
        Some(match word {
            "limit:ankle" => Self::LimitAnkle,
            "imbalance" => Self::Imbalance,
            "busy" => Self::Busy,
            "equipment" => Self::Equipment,
            "alone" => Self::Alone,
            "regression" => Self::Regression,
            "progression" => Self::Progression,
            "pairing" => Self::Pairing,
            "lateral" => Self::Lateral,
            _ => return None,
        })
    }
}

/// One movement that may stand in for another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StandIn {
    /// Index of the movement that is replaced.
    pub from: usize,
    /// Index of the movement that stands in.
    pub to: usize,
    /// The occasion.
    pub kind: StandInKind,
    /// Why it serves, in a short clause.
    pub reason: String,
}
