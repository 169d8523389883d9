//! The numeric instance: all that an independent solver needs to check a plan.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One week to be planned, in numbers only. Printed by `plinth plan --instance`.
///
/// Volume is in **half-sets** (a direct set is 2, an indirect set 1), time in seconds, cost in points
/// (one point is one second of session time).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Instance {
    /// Always `plinth.instance/1`.
    pub format: String,
    /// Version of the catalogue that the numbers come from.
    pub catalogue_version: String,
    /// Version of the weights that the numbers come from.
    pub weights_version: String,
    /// The training days in the order of the week.
    pub days: Vec<Day>,
    /// Pairs of days less than 48 hours apart.
    pub near: Vec<Near>,
    /// The muscle groups.
    pub muscles: Vec<Muscle>,
    /// The movement patterns.
    pub patterns: Vec<Pattern>,
    /// The base groups that a balanced week visits.
    pub groups: Vec<Group>,
    /// The movements that may be used.
    pub movements: Vec<Movement>,
    /// Prices that belong to the week as a whole.
    pub prices: Prices,
}

/// A training day and its hard limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Day {
    /// Monday is 0.
    pub weekday: i32,
    /// Seconds of the session's minutes that the general warm-up (and mobility) takes; not part of `time_s`.
    pub warm_up_s: i32,
    /// Seconds at hand for the lines: the session's minutes less `warm_up_s`.
    pub time_s: i32,
    /// Most movements.
    pub movements_max: i32,
    /// Fewer movements than this are priced ([`Prices::few_movements`]).
    pub movements_wanted: i32,
    /// Most single-joint movements; they may also never outnumber the compounds.
    pub single_joint_max: i32,
    /// Most trunk and carry movements.
    pub trunk_max: i32,
    /// Most axial load: sum of `axial * sets`.
    pub axial_max: i32,
    /// Most systemic fatigue: sum of `fatigue * sets`.
    pub fatigue_max: i32,
    /// Most demand on the grip: sum of `grip * sets`.
    pub grip_max: i32,
}

/// Two days, by index into [`Instance::days`], less than 48 hours apart; `first < second`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Near {
    /// The earlier index.
    pub first: usize,
    /// The later index.
    pub second: usize,
}

/// A muscle group's weekly goals (half-sets) and prices (points for each half-set or day).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Muscle {
    /// Id in the catalogue.
    pub id: String,
    /// Weekly minimum, half-sets.
    pub minimum: i32,
    /// Weekly target, half-sets; at least `minimum`.
    pub target: i32,
    /// Weekly maximum, half-sets; at least `target`.
    pub maximum: i32,
    /// Points for each half-set below the minimum.
    pub below_minimum: i32,
    /// Points for each half-set below the target (also those below the minimum).
    pub below_target: i32,
    /// Points for each half-set above the maximum.
    pub above_maximum: i32,
    /// Days a week on which the muscle should be trained.
    pub days_wanted: i32,
    /// A day counts when it holds at least this many half-sets.
    pub day_threshold: i32,
    /// Most half-sets in one session (a hard limit).
    pub session_cap: i32,
}

/// A movement pattern.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pattern {
    /// Id in the catalogue.
    pub id: String,
    /// Most movements of this pattern in one session.
    pub per_session_max: i32,
}

/// A base group of patterns (knee, hinge, horizontal and vertical press and pull).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Group {
    /// Id in the catalogue.
    pub id: String,
    /// Exposures wanted in the week; each that is missing costs [`Prices::group_missing`].
    pub exposures_wanted: i32,
}

/// What a heavy movement may not meet in one session.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HeavyClass {
    /// Neither of the two.
    None,
    /// A barbell squat of any kind, prescribed heavy.
    Squat,
    /// A deadlift from the floor, prescribed heavy.
    FloorPull,
}

/// Which movements may be done in turn: two of different classes, neither [`PairClass::None`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PairClass {
    /// Never done in turn.
    None,
    /// Presses.
    Push,
    /// Pulls.
    Pull,
    /// Legs.
    Legs,
    /// Trunk.
    Trunk,
}

/// Which side of the push-pull balance a movement is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Neither.
    None,
    /// A press.
    Push,
    /// A pull.
    Pull,
}

/// A movement with its costs and its use of each limit.
#[allow(clippy::struct_excessive_bools)] // independent marks that each limit reads by itself
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Movement {
    /// Id in the catalogue.
    pub id: String,
    /// Seconds for each working set, its rest included.
    pub set_s: i32,
    /// Seconds once a session: setting up and ramp sets.
    pub fixed_s: i32,
    /// Fewest working sets when it is done at all.
    pub sets_min: i32,
    /// Most working sets.
    pub sets_max: i32,
    /// Index into [`Instance::patterns`].
    pub pattern: usize,
    /// Index into [`Instance::groups`], if it belongs to a base group.
    pub group: Option<usize>,
    /// Counts as a single-joint movement.
    pub single_joint: bool,
    /// Its sets count against the third that single-joint work may take (not so for a prioritised muscle).
    pub counts_to_third: bool,
    /// Counts as a compound movement.
    pub compound: bool,
    /// Counts as a trunk or carry movement.
    pub trunk: bool,
    /// Load passing down the spine, 0-3. At most one movement of 3 in a session.
    pub axial: i32,
    /// Systemic fatigue of a set.
    pub fatigue: i32,
    /// Demand on the grip.
    pub grip: i32,
    /// Heavy squat, heavy pull from the floor, or neither.
    pub heavy: HeavyClass,
    /// Which movements it may be done in turn with.
    pub pair_class: PairClass,
    /// Side of the push-pull balance.
    pub side: Side,
    /// It carries the programme.
    pub carrying: bool,
    /// Points for each set (fatigue, discomfort, dislike).
    pub set_price: i32,
    /// Points for each session in which it is used (goal, skill, niche).
    pub session_price: i32,
    /// Points once when it is used in the week at all.
    pub use_price: i32,
    /// Most sessions a week (a hard limit).
    pub exposures_max: i32,
    /// Sessions wanted; each that is missing costs `exposure_price`.
    pub exposures_wanted: i32,
    /// Points for each wanted session that is missing.
    pub exposure_price: i32,
    /// Half-sets that each set gives to each muscle it trains.
    pub trains: Vec<Share>,
}

/// What one set of a movement gives to one muscle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// Index into [`Instance::muscles`].
    pub muscle: usize,
    /// 2 for a direct set, 1 for an indirect one.
    pub half_sets: i32,
}

/// Prices and thresholds that belong to the week as a whole, in points.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// For each wanted exposure of a base group that is missing.
    pub group_missing: i32,
    /// For each wanted day of a muscle that is missing.
    pub day_missing: i32,
    /// Half-sets of one muscle on two near days together that cost nothing.
    pub near_muscle_free: i32,
    /// For each half-set above that.
    pub near_muscle: i32,
    /// Axial load on two near days together that costs nothing.
    pub near_axial_free: i32,
    /// For each unit above that.
    pub near_axial: i32,
    /// For each pair of near days with a heavy squat on one and a heavy pull from the floor on the other.
    pub near_heavy: i32,
    /// For each second of the longest session (its lines only).
    pub longest: i32,
    /// For each movement that a session lacks to [`Day::movements_wanted`].
    pub few_movements: i32,
    /// For each session without a carrying movement.
    pub no_carrying: i32,
    /// For each unit by which pushes and pulls differ by more than a third: the larger of
    /// `2 * push - 3 * pull` and `2 * pull - 3 * push`, in sets, when positive.
    pub push_pull: i32,
    /// Seconds that each pair of sets done in turn saves; 0 when the lifter wants no pairs.
    pub pair_saves_s: i32,
}

impl Instance {
    /// Seconds of rest saved on a day by doing sets of different classes in turn, given the sets of
    /// each pairable class (push, pull, legs, trunk).
    pub fn pairs_save(&self, sets_by_class: [i32; 4]) -> i32 {
        let total: i32 = sets_by_class.iter().sum();
        let most = sets_by_class.into_iter().max().unwrap_or(0);
        self.prices.pair_saves_s * (total / 2).min(total - most)
    }
}

impl PairClass {
    /// Position in an array of the four pairable classes.
    pub fn slot(self) -> Option<usize> {
        match self {
            Self::None => None,
            Self::Push => Some(0),
            Self::Pull => Some(1),
            Self::Legs => Some(2),
            Self::Trunk => Some(3),
        }
    }
}
