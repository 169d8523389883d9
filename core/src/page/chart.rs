//! A chart as lengths and words: a shell draws it at its own size, with its own text, and works nothing out.

use serde::{Deserialize, Serialize};

/// How far a side of a chart's field reaches; places on it lie between 0 and this.
pub const FIELD: i32 = 10_000;

/// A place in a chart's field: drawing lengths, 0 to [`FIELD`] from the left and from the foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct ChartPoint {
    /// From the left.
    pub across: i32,
    /// From the foot.
    pub up: i32,
}

/// A ruled line of the field, or a tick on its foot, with what stands at it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct ChartRule {
    /// Where, from 0 to [`FIELD`].
    pub place: i32,
    /// What stands at it.
    pub label: String,
}

/// A line, or the edge of a hatched area.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct ChartPath {
    /// Its corners, in order.
    pub points: Vec<ChartPoint>,
    /// It is the one to look at: drawn three times as strong.
    pub strong: bool,
}

/// A square mark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct ChartMark {
    /// Its middle.
    pub point: ChartPoint,
    /// Filled with ink, or open.
    pub filled: bool,
    /// What stands beside it; empty where nothing does. One for which there is no room is left out: the sentence
    /// tells it.
    pub label: String,
}

/// A label to the right of the field, tied to a height by a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct ChartEnd {
    /// The height that it names, from 0 to [`FIELD`].
    pub up: i32,
    /// What it says.
    pub label: String,
    /// Where the lifter stands now: on ochre.
    pub now: bool,
}

/// A chart: ink, hatching, and labels beside what they name. The table beside it, or the sentence, says the same.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// What stands over the ruled lines' labels: the unit.
    pub unit: String,
    /// What the ticks count; empty where they say it themselves.
    pub counted: String,
    /// Ruled lines, from the foot up.
    pub rules: Vec<ChartRule>,
    /// Ticks on the foot, from the left.
    pub ticks: Vec<ChartRule>,
    /// Hatched areas, each closed, drawn first.
    pub areas: Vec<ChartPath>,
    /// Lines.
    pub lines: Vec<ChartPath>,
    /// Marks.
    pub marks: Vec<ChartMark>,
    /// Labels to the right, from the top down.
    pub ends: Vec<ChartEnd>,
    /// What its signs mean.
    pub about: String,
    /// All that it shows, in words: for a screen reader.
    pub sentence: String,
}
