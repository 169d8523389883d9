//! What a coach or lifter asks for.

mod begin;
mod check;
mod obey;
mod read;

pub use begin::{Beginnings, FIRST_BRIEF, NamedGoal, StartingPlace};
pub use check::{Notice, PossibleBecause};
pub use read::{LARGEST_BRIEF_BYTES, read_brief};

use crate::catalogue::OwnMovement;
use crate::load::{Kit, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A day of the week.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Weekday {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl Weekday {
    /// Monday to Sunday.
    pub const ALL: [Self; 7] = [
        Self::Monday,
        Self::Tuesday,
        Self::Wednesday,
        Self::Thursday,
        Self::Friday,
        Self::Saturday,
        Self::Sunday,
    ];
}

/// How long the lifter has trained, which decides skill, volume and progression.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum TrainingAge {
    /// Under about half a year of regular training.
    Novice,
    /// From about half a year.
    Intermediate,
    /// From about three years.
    Advanced,
}

/// What the training is for, in parts that are blended; only their proportion matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Goal {
    /// Part of strength.
    #[serde(default)]
    pub strength: u32,
    /// Part of muscle size.
    #[serde(default)]
    pub size: u32,
    /// Part of general health.
    #[serde(default)]
    pub health: u32,
}

/// Minutes for each session: one number for all, or one for each training day in the order of the week.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Minutes {
    /// The same for every session.
    Same(u32),
    /// One number for each session.
    Each(Vec<u32>),
}

/// How bad a discomfort is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Severity {
    /// Noticed.
    Mild,
    /// Disturbs.
    Moderate,
    /// Hinders.
    Severe,
}

/// Whether a discomfort is known to the lifter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Nature {
    /// "My usual": eases or replaces what loads the region.
    Usual,
    /// New or worse: what loads the region is left out until care was taken.
    NewOrWorse,
}

/// A discomfort. It filters by preference and caution; it diagnoses nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Discomfort {
    /// Id of a region.
    pub region: String,
    /// How bad.
    pub severity: Severity,
    /// Usual, or new or worse.
    pub nature: Nature,
}

/// How the questions of the self-screening stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Screening {
    /// Not answered: light to moderate work only.
    Unanswered,
    /// Answered; clearance is not advised before starting, or was given for any intensity.
    AnsweredNoLimit,
    /// Answered; light to moderate work only until clearance.
    AnsweredLightToModerate,
}

/// Limits that licensed care, the law of the place or prudence sets. Nothing here diagnoses.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
#[allow(clippy::struct_excessive_bools)] // independent answers, each asked by itself
pub struct Limits {
    /// The self-screening.
    pub screening: Screening,
    /// Ankles that lack bend: mobility in the warm-up, heel-raised forms preferred.
    pub stiff_ankles: bool,
    /// Lying on the back is to be left out.
    pub no_lying_on_back: bool,
    /// Lying on the front is to be left out.
    pub no_lying_on_front: bool,
    /// No long breath-holds: cues say so, and nothing is done near failure.
    pub no_long_breath_hold: bool,
    /// No maximal or near-maximal lifts (pregnancy, after birth, on advice).
    pub no_maximal_lifts: bool,
    /// A minor: under 18 or the age of the place.
    pub minor: bool,
    /// Regions operated on whose written limits have not been entered: nothing may load them.
    pub after_surgery: Vec<String>,
    /// Regions that a confirmed flag or licensed care keeps out until a return gives them back: nothing may
    /// load them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub regions_out: Vec<String>,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            screening: Screening::Unanswered,
            stiff_ankles: false,
            no_lying_on_back: false,
            no_lying_on_front: false,
            no_long_breath_hold: false,
            no_maximal_lifts: false,
            minor: false,
            after_surgery: Vec::new(),
            regions_out: Vec::new(),
        }
    }
}

/// What is wished of a movement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WishKind {
    /// Must be in the week; only limits and safety stand above it.
    Require,
    /// Should be in the week.
    Prefer,
    /// Only if nothing else serves.
    Avoid,
    /// Never.
    Forbid,
}

/// A wish. The order of the wishes is their rank: the first is kept before the second.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wish {
    /// What is wished.
    pub wish: WishKind,
    /// Id of a movement; either this or `pattern`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub movement: Option<String>,
    /// Id of a pattern, to avoid or forbid all of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pattern: Option<String>,
    /// Sessions a week, for `require` and `prefer`; once when absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub times: Option<u32>,
}

/// A lifter's own weekly sets for a muscle, in place of the defaults.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MuscleSets {
    /// Id of a muscle.
    pub muscle: String,
    /// Fewest weekly sets.
    pub minimum: u32,
    /// Weekly sets aimed at.
    pub target: u32,
    /// Most weekly sets.
    pub maximum: u32,
}

/// A recent best in a movement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecentBest {
    /// Id of the movement.
    pub movement: String,
    /// The load: of the bar with its discs, of one dumbbell, of the stack, or added to body mass.
    pub load: Mass,
    /// Repetitions done.
    pub reps: u32,
    /// Repetitions left, nought when it was to failure.
    #[serde(default)]
    pub reserve: u32,
}

/// A brief: all that a week is made from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[allow(clippy::struct_excessive_bools)] // independent answers
pub struct Brief {
    /// `plinth.brief/1`.
    #[serde(default = "format")]
    pub format: String,
    /// A title for the reader; may be empty.
    #[serde(default)]
    pub title: String,
    /// Training days a week, 1 to 6.
    pub days: u32,
    /// Weekdays that suit; empty means any.
    #[serde(default)]
    pub weekdays: Vec<Weekday>,
    /// Minutes for each session, 5 to 240.
    pub minutes: Minutes,
    /// What the training is for.
    pub goal: Goal,
    /// How long the lifter has trained.
    pub training_age: TrainingAge,
    /// Age in years, or unknown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub age_years: Option<u32>,
    /// Ids of the kit at hand; the floor is always there.
    pub equipment: Vec<String>,
    /// Discomforts.
    #[serde(default)]
    pub discomforts: Vec<Discomfort>,
    /// Limits.
    #[serde(default)]
    pub limits: Limits,
    /// Muscles that should get more, by id.
    #[serde(default)]
    pub priorities: Vec<String>,
    /// Own weekly sets for muscles.
    #[serde(default)]
    pub muscle_sets: Vec<MuscleSets>,
    /// The movements that carry the programme, by id; absent means the defaults for the kit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carrying: Option<Vec<String>>,
    /// Wishes in the order of their rank.
    #[serde(default)]
    pub wishes: Vec<Wish>,
    /// Movements may be done in turn, to save time.
    #[serde(default)]
    pub in_turn: bool,
    /// The lifter trains alone.
    #[serde(default)]
    pub alone: bool,
    /// There are safeties on the rack.
    #[serde(default)]
    pub safeties: bool,
    /// Recent bests, for the first loads.
    #[serde(default)]
    pub bests: Vec<RecentBest>,
    /// Body mass, or unknown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub body_mass: Option<Mass>,
    /// Bars, discs, dumbbells and stacks, for loads that can be made; a usual kit when absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kit: Option<Kit>,
    /// Weeks of the block, 4 to 6.
    #[serde(default = "weeks")]
    pub weeks: u32,
    /// Movements of one's own.
    #[serde(default)]
    pub own_movements: Vec<OwnMovement>,
}

fn format() -> String {
    "plinth.brief/1".into()
}

fn weeks() -> u32 {
    5
}

impl Brief {
    /// Minutes of session `day` (0-based).
    pub fn minutes_of(&self, day: usize) -> u32 {
        match &self.minutes {
            Minutes::Same(m) => *m,
            Minutes::Each(each) => each.get(day).or(each.last()).copied().unwrap_or(0),
        }
    }

    /// The worst severity of a usual or new discomfort in a region, 0 when there is none.
    pub fn severity_of(&self, region: &str) -> i32 {
        self.discomforts
            .iter()
            .filter(|d| d.region == region)
            .map(|d| match d.severity {
                Severity::Mild => 1,
                Severity::Moderate => 2,
                Severity::Severe => 3,
            })
            .max()
            .unwrap_or(0)
    }

    /// Only light to moderate work may be offered.
    pub fn light_to_moderate(&self) -> bool {
        self.limits.screening != Screening::AnsweredNoLimit
    }
}
