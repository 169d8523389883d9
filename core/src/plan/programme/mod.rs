//! The programme: a portable document that a coach publishes and a phone adapts.

mod read;

pub use read::{LARGEST_PROGRAMME_BYTES, read_programme};

use super::brief::{Goal, Notice, TrainingAge, Weekday};
use super::order::Turn;
use crate::catalogue::{Measure, OwnMovement};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What may happen to a line when the programme is adapted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// This movement stays; only safety may change it.
    Keep,
    /// A stand-in of the same pattern may serve.
    MayBend,
}

/// A programme of four to six weeks. The peak week is solved; the other weeks only take sets off it, so that
/// every week keeps the minutes, the budgets and the choice of movements.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Programme {
    /// `plinth.programme/1`.
    pub format: String,
    /// A title; may be empty.
    pub title: String,
    /// Version of the catalogue that it was made with.
    pub catalogue_version: String,
    /// Version of the weights that it was made with.
    pub weights_version: String,
    /// What it is for.
    pub goal: Goal,
    /// For whom.
    pub training_age: TrainingAge,
    /// The days of the peak week.
    pub days: Vec<ProgrammeDay>,
    /// Movements that must not be brought in, by id: the mark *never*.
    pub never: Vec<String>,
    /// The weeks of the block.
    pub block: Vec<BlockWeek>,
    /// Weekly sets of the peak week for each muscle.
    pub weekly_sets: Vec<MuscleVolume>,
    /// What is known of how good the week is.
    pub certificate: Certificate,
    /// The movements of somebody's own that its lines name: whoever does not have them learns them by it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub own_movements: Vec<OwnMovement>,
}

impl Programme {
    /// Those of `own` that its lines name.
    pub(super) fn named_of(days: &[ProgrammeDay], own: &[OwnMovement]) -> Vec<OwnMovement> {
        let named = |o: &&OwnMovement| days.iter().flat_map(|d| &d.lines).any(|l| l.movement == o.id);
        own.iter().filter(named).cloned().collect()
    }
}

/// A day of a programme.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ProgrammeDay {
    /// The weekday.
    pub weekday: Weekday,
    /// Minutes that the session may take.
    pub minutes_at_hand: i32,
    /// Seconds that it is reckoned to take, warm-up included.
    pub seconds: i32,
    /// The warm-up.
    pub warm_up: WarmUp,
    /// The lines in order.
    pub lines: Vec<Line>,
    /// Sets done in turn, to save time.
    pub in_turn: Vec<Turn>,
}

/// A day's warm-up besides the ramps of its lines.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WarmUp {
    /// Seconds of easy general movement.
    pub general_s: i32,
    /// Seconds of ankle mobility, where a limit asks for it.
    pub ankle_mobility_s: i32,
}

/// A line of a day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// Id of the movement.
    pub movement: String,
    /// It carries the programme.
    pub carrying: bool,
    /// What may happen to it.
    pub mark: Mark,
    /// Working sets at the peak.
    pub sets: i32,
    /// What is counted.
    pub measure: Measure,
    /// Fewest repetitions (seconds of a hold, metres of a carry).
    pub low: i32,
    /// Most.
    pub high: i32,
    /// Repetitions to leave in reserve.
    pub reserve: i32,
    /// Rest after a set, seconds.
    pub rest_s: i32,
    /// Ramp sets before the first working set.
    pub ramp_sets: i32,
    /// How fast a repetition is done, where the coach says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tempo: Option<Tempo>,
    /// A cue of the coach's own for this movement, at most 140 characters on one line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cue: Option<String>,
}

/// The longest cue of a coach's own, characters: what is read at a glance between two sets (common practice, no source).
pub const LONGEST_CUE: usize = 140;

/// Seconds of the parts of a repetition; 0 says nothing of a part. The planner sets none: what evidence there is finds
/// little between one speed and another (Schoenfeld et al. 2015, memory), so it is the coach's to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tempo {
    /// Lowering, 0 to 10.
    pub lower_s: i32,
    /// Held still at the turn, 0 to 10.
    pub turn_s: i32,
    /// Raising, 0 to 10.
    pub raise_s: i32,
}

impl Tempo {
    /// Seconds of a repetition, as far as they are said.
    pub const fn repetition_s(&self) -> i32 {
        self.lower_s + self.turn_s + self.raise_s
    }
}

/// What a week of the block is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WeekKind {
    /// Working up.
    Build,
    /// The most work.
    Peak,
    /// Less work, to recover: common practice (expert agreement: Bell et al. 2023, read as an abstract).
    Deload,
}

/// A week of the block: for each day and line its sets and reserve.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BlockWeek {
    /// Counted from 1.
    pub number: i32,
    /// What it is for.
    pub kind: WeekKind,
    /// For each day, for each line.
    pub days: Vec<Vec<BlockLine>>,
}

/// A line's sets and reserve in one week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BlockLine {
    /// Working sets.
    pub sets: i32,
    /// Repetitions to leave in reserve.
    pub reserve: i32,
}

/// A muscle's weekly volume against its range, in half-sets (halve to show).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MuscleVolume {
    /// Id of the muscle.
    pub muscle: String,
    /// Half-sets from direct sets.
    pub direct: i32,
    /// Half-sets shared: from sets of movements that train it indirectly.
    pub shared: i32,
    /// Minimum.
    pub minimum: i32,
    /// Target.
    pub target: i32,
    /// Maximum.
    pub maximum: i32,
    /// Days on which it gets at least two sets.
    pub days: i32,
}

/// What is known of how good a week is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    /// Points of the week (fewer is better).
    pub points: i64,
    /// No week has fewer points than this.
    pub at_least: i64,
    /// No single change of a line, its sets, its day or a movement throughout the week improves it.
    pub no_single_change_improves: bool,
    /// Evaluations spent.
    pub evaluations: u64,
}

/// What may be said of a week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Claim {
    /// No week is better.
    BestPossible,
    /// The bound proves it within so many tenths of a per cent of the best possible.
    Within {
        /// Tenths of a per cent, rounded up, at most 50.
        per_mille: i64,
    },
    /// The bound proves less than is worth saying; no single change improves it.
    NoSingleChangeImproves,
    /// Neither is known: the search was cut short.
    Unfinished,
}

impl Certificate {
    /// The strongest claim that the numbers prove: a figure only when it is 5 % or better.
    pub fn claim(&self) -> Claim {
        // The numbers come from a document: any two of them.
        let gap = i128::from(self.points) - i128::from(self.at_least);
        if gap <= 0 {
            return Claim::BestPossible;
        }
        let least = i128::from(self.at_least.max(1));
        let per_mille = (gap * 1000 + least - 1) / least;
        if per_mille <= 50 {
            Claim::Within { per_mille: per_mille as i64 }
        } else if self.no_single_change_improves {
            Claim::NoSingleChangeImproves
        } else {
            Claim::Unfinished
        }
    }
}

/// A programme with what was said while it was made; the notices are for the lifter and are not published.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// The programme.
    pub programme: Programme,
    /// Contradictions and stretches of the brief.
    pub notices: Vec<Notice>,
}
