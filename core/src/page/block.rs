//! What stands on a page.

use super::chart::Chart;
use super::event::{PageEvent, Place};
use serde::{Deserialize, Serialize};

/// Something that can be touched.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct PageButton {
    /// What it dispatches, sent back as it is.
    pub event: PageEvent,
    /// What stands on it.
    pub label: String,
    /// What a screen reader says of it.
    pub spoken: String,
    /// It is the value chosen now, or the place that one is in.
    pub chosen: bool,
    /// Lines under the label.
    pub more: Vec<String>,
}

impl PageButton {
    /// A button that says what stands on it.
    pub fn new(label: impl Into<String>, event: PageEvent) -> Self {
        let label = label.into();
        Self { event, spoken: label.clone(), label, chosen: false, more: Vec::new() }
    }

    /// The same, chosen or not.
    #[must_use]
    pub const fn chosen(mut self, chosen: bool) -> Self {
        self.chosen = chosen;
        self
    }

    /// The same with lines under the label.
    #[must_use]
    pub fn more(mut self, more: Vec<String>) -> Self {
        self.more = more;
        self
    }

    /// The same, said otherwise by a screen reader.
    #[must_use]
    pub fn spoken(mut self, spoken: impl Into<String>) -> Self {
        self.spoken = spoken.into();
        self
    }
}

/// Weekly work of a muscle as tally strokes against a hatched range.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct Tally {
    /// The muscle.
    pub label: String,
    /// Strokes of direct work, in half-sets.
    pub direct_half_sets: i32,
    /// Strokes of shared work, in half-sets; drawn apart from the direct ones.
    pub shared_half_sets: i32,
    /// Lower end of the range, in half-sets.
    pub low_half_sets: i32,
    /// Upper end of the range, in half-sets.
    pub high_half_sets: i32,
    /// All of it in a sentence: beside the strokes, and for a screen reader.
    pub sentence: String,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct TableRow {
    /// Its cells.
    pub cells: Vec<String>,
}

/// Which keyboard a line to write in asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Keys {
    /// Letters and everything else.
    Words,
    /// Digits; spaces, a plus and hyphens where it is a telephone number.
    Whole,
    /// Digits and the decimal sign.
    Decimal,
    /// A day, sent as `2026-05-03` where the platform has a calendar for it.
    Date,
}

/// A piece of a page, in JSON tagged by `block`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "block", rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Block {
    /// A heading.
    Heading {
        /// What it says.
        text: String,
    },
    /// A sentence.
    Sentence {
        /// What it says.
        text: String,
    },
    /// The hatched band.
    Caution {
        /// Its head.
        head: String,
        /// What can hurt, a sentence each.
        lines: Vec<String>,
    },
    /// A line that opens something.
    Line {
        /// What it opens.
        button: PageButton,
    },
    /// An action.
    Action {
        /// What it does.
        button: PageButton,
        /// It is what the page is for: the wide one.
        wide: bool,
    },
    /// A question with its values as buttons.
    Question {
        /// What it asks.
        label: String,
        /// Why it is asked.
        notes: Vec<String>,
        /// Its values.
        buttons: Vec<PageButton>,
    },
    /// A line to write in, for what no button can offer. What is written comes back as the value of
    /// [`PageEvent::Choose`]; nothing written takes the value away where it may be left open.
    Entry {
        /// Id of the question.
        field: String,
        /// What it asks.
        label: String,
        /// Why it is asked, and how it is written.
        notes: Vec<String>,
        /// What stands there now.
        value: String,
        /// Which keyboard.
        keys: Keys,
        /// What stands on the button that sends it.
        save: String,
    },
    /// Weekly work of the muscles.
    Tallies {
        /// What the strokes mean, and the range's source.
        notes: Vec<String>,
        /// One for each muscle.
        tallies: Vec<Tally>,
    },
    /// A chart; a table or a sentence beside it says the same.
    Drawn {
        /// What is drawn.
        chart: Chart,
    },
    /// A table.
    Table {
        /// What it shows.
        caption: String,
        /// Heads of the columns.
        heads: Vec<String>,
        /// Its rows.
        rows: Vec<TableRow>,
    },
    /// Words to copy down, shown once.
    Words {
        /// What they are.
        label: String,
        /// The words, in order.
        words: Vec<String>,
    },
}

/// A page, complete and plain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record), uniffi(name = "PageScreen"))]
pub struct Page {
    /// The place that it belongs to.
    pub place: Place,
    /// What stands on top.
    pub title: String,
    /// Back to the page before; none on a place's first page.
    pub back: Option<PageButton>,
    /// What the lifter is told of the last thing done.
    pub told: Vec<String>,
    /// What stands on it, in order of reading.
    pub blocks: Vec<Block>,
    /// The places, in words.
    pub contents: Vec<PageButton>,
    /// For the left hand: what lies to the right on other screens lies to the left.
    pub mirrored: bool,
}
