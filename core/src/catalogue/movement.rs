//! A movement and the words that describe it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        pub enum $name { $($(#[$vdoc])* #[serde(rename = $word)] $variant),+ }

        impl $name {
            /// The words of the data files, in order.
            pub const WORDS: &'static [&'static str] = &[$($word),+];

            /// Reads a word of the data files.
            pub fn read(word: &str) -> Option<Self> {
                match word { $($word => Some(Self::$variant),)+ _ => None }
            }

            /// The word of the data files.
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }
    };
}

words! {
    /// How much of the body a movement uses.
    Tier {
        /// A main compound movement, which can carry a programme.
        Main = "main",
        /// A compound movement.
        Compound = "compound",
        /// A single-joint movement.
        SingleJoint = "single_joint",
        /// Trunk work or a carry.
        Trunk = "trunk",
    }
}
words! {
    /// How the sides work.
    Laterality {
        /// Together, on one load.
        Both = "both",
        /// One after the other: a set takes twice the time.
        Each = "each",
        /// Together, each with its own load.
        Paired = "paired",
    }
}
words! {
    /// What is counted in a set.
    Measure {
        /// Repetitions.
        Repetitions = "repetitions",
        /// Seconds held.
        Hold = "hold",
        /// Metres carried.
        Carry = "carry",
    }
}
words! {
    /// What the load is.
    LoadKind {
        /// A bar with discs.
        Bar = "bar",
        /// Two dumbbells.
        DumbbellPair = "dumbbell_pair",
        /// One dumbbell or kettlebell.
        Dumbbell = "dumbbell",
        /// A weight stack.
        Stack = "stack",
        /// Discs on a machine.
        Sled = "sled",
        /// The body alone.
        BodyMass = "body_mass",
        /// The body and a load.
        Added = "added",
        /// A band.
        Band = "band",
    }
}
words! {
    /// Two different classes may be done in turn; `none` never.
    PairClass {
        /// Presses.
        Push = "push",
        /// Pulls.
        Pull = "pull",
        /// Legs.
        Legs = "legs",
        /// Trunk.
        Trunk = "trunk",
        /// Never in turn.
        None = "none",
    }
}
words! {
    /// Where a failed repetition can trap the lifter.
    Trap {
        /// Nowhere.
        None = "none",
        /// Under a bar on the chest.
        Chest = "chest",
        /// Under a bar on the shoulders.
        Shoulders = "shoulders",
    }
}
words! {
    /// The two kinds of movement that are not done heavy in one session.
    HeavyClass {
        /// Neither.
        None = "none",
        /// A barbell squat of any kind.
        Squat = "squat",
        /// A deadlift from the floor.
        FloorPull = "floor_pull",
    }
}
words! {
    /// How the lifter lies, which some limits ask about.
    Lying {
        /// Not lying.
        No = "no",
        /// On the back.
        Back = "back",
        /// On the front.
        Front = "front",
    }
}
words! {
    /// How a set counts for a muscle.
    ShareKind {
        /// A whole set.
        Direct = "direct",
        /// Half a set, by convention (Pelland et al. 2025).
        Indirect = "indirect",
    }
}

impl ShareKind {
    /// Half-sets that one set gives.
    pub fn half_sets(self) -> i32 {
        match self {
            Self::Direct => 2,
            Self::Indirect => 1,
        }
    }
}

/// How much a movement asks of a region that may be sore.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct RegionFlag {
    /// Index of the region.
    pub region: usize,
    /// 1 a little, 2 a good deal, 3 very much.
    pub weight: i32,
}

/// One muscle that a movement trains.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Attribution {
    /// Index of the muscle.
    pub muscle: usize,
    /// Direct or indirect.
    pub share: ShareKind,
    /// Why.
    pub reason: String,
    /// The source of the reason, or `common practice, no source`.
    pub source: String,
    /// A second reason and its source: needed from the second direct muscle on.
    pub second: Option<(String, String)>,
}

/// A movement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Movement {
    /// Id, for ever.
    pub id: String,
    /// Name in English.
    pub name: String,
    /// Index of the pattern.
    pub pattern: usize,
    /// How much of the body it uses.
    pub tier: Tier,
    /// Joint actions under load.
    pub joint_actions: Vec<String>,
    /// Alternatives; all of the kit (by index) of one alternative is needed. An empty one needs only the floor.
    pub equipment: Vec<Vec<usize>>,
    /// How the sides work.
    pub laterality: Laterality,
    /// What is counted in a set.
    pub measure: Measure,
    /// What the load is.
    pub load_kind: LoadKind,
    /// Load passing down the spine, 0-3.
    pub axial: i32,
    /// Systemic fatigue of a set, 1-5.
    pub fatigue: i32,
    /// Skill, 1-4.
    pub skill: i32,
    /// Demand on the grip, 0-3.
    pub grip: i32,
    /// What it asks of regions that may be sore.
    pub flags: Vec<RegionFlag>,
    /// Which movements it may be done in turn with.
    pub pair_class: PairClass,
    /// Where a failed repetition can trap the lifter.
    pub trap: Trap,
    /// Heavy squat, heavy pull from the floor, or neither.
    pub heavy_class: HeavyClass,
    /// The bar starts on the floor and needs full-diameter discs.
    pub from_floor: bool,
    /// How the lifter lies.
    pub lying: Lying,
    /// Seconds to set up, once a session (common practice, no source).
    pub set_up_s: i32,
    /// Ramp sets before the first working set.
    pub ramp_sets: i32,
    /// Smallest sensible load step in grams, 0 where no load can be added.
    pub load_step_g: i32,
    /// What it trains; the first direct muscle is the prime mover.
    pub trains: Vec<Attribution>,
    /// Added by a lifter or coach.
    pub own: bool,
}

impl Movement {
    /// Weight of the flag for a region, 0 when there is none.
    pub fn flag(&self, region: usize) -> i32 {
        self.flags.iter().find(|f| f.region == region).map_or(0, |f| f.weight)
    }

    /// Muscles trained directly.
    pub fn direct(&self) -> impl Iterator<Item = usize> {
        self.trains.iter().filter(|a| a.share == ShareKind::Direct).map(|a| a.muscle)
    }
}
