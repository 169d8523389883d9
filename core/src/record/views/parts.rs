//! The small types of which fields are made.

use super::super::EntryId;
use super::value::{Date, Quantity, Time};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

macro_rules! words {
    ($( $(#[$about:meta])* $name:ident { $( $(#[$doc:meta])* $word:ident, )* } )*) => {
        $(
            $(#[$about])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
            #[serde(rename_all = "snake_case")]
            pub enum $name { $( $(#[$doc])* $word, )* }
        )*
    };
}

words! {
    /// For the published scores.
    Sex {
        /// Female.
        Female,
        /// Male.
        Male,
    }

    /// What closed a session.
    ClosedBy {
        /// The lifter.
        Lifter,
        /// A red flag.
        Flag,
        /// It was left open and closed later, at the time of its last set.
        Forgotten,
    }

    /// How the lifter felt before a session.
    #[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
    Feeling {
        /// Well.
        Well,
        /// As usual.
        Usual,
        /// Tired.
        Tired,
    }

    /// Whether a set counts toward volume.
    Purpose {
        /// A working set.
        Working,
        /// A set of the warm-up.
        WarmUp,
    }

    /// How a set ended.
    Outcome {
        /// Done.
        Done,
        /// The last repetition was missed.
        Missed,
    }

    /// The side of a one-sided movement.
    Side {
        /// Left.
        Left,
        /// Right.
        Right,
    }

    /// What the amount of a set counts.
    Measure {
        /// Repetitions.
        Repetitions,
        /// Seconds held.
        Hold,
        /// Metres carried.
        Carry,
    }

    /// How much a discomfort is felt.
    Severity {
        /// Mild.
        Mild,
        /// Moderate.
        Moderate,
        /// Severe.
        Severe,
    }

    /// Whether a discomfort is the lifter's usual.
    #[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
    Nature {
        /// My usual.
        Usual,
        /// New or worse.
        NewOrWorse,
    }

    /// An answer; one not given is absent.
    Answer {
        /// Yes.
        Yes,
        /// No.
        No,
    }

    /// What medical clearance was given.
    Clearance {
        /// None.
        None,
        /// For light to moderate work.
        LightToModerate,
        /// For any work.
        Any,
    }

    /// What speaks against holding the breath.
    History {
        /// High blood pressure.
        BloodPressure,
        /// A disease of the heart.
        Heart,
        /// A disease of or surgery on the eye.
        Eye,
        /// A hernia.
        Hernia,
    }

    /// Who wrote a note.
    Writer {
        /// The lifter.
        Lifter,
        /// The coach.
        Coach,
        /// The guardian of a minor.
        Guardian,
    }
}

/// What was lifted, and how its mass is meant.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "of", rename_all = "snake_case")]
pub enum LoadDone {
    /// A bar with its discs and collars.
    Bar {
        /// All of it.
        mass: Quantity,
    },
    /// One dumbbell or kettlebell.
    Dumbbell {
        /// Its mass.
        mass: Quantity,
    },
    /// Two dumbbells or kettlebells.
    Pair {
        /// The mass of each of the two.
        mass: Quantity,
    },
    /// A stack, as its pin says.
    Stack {
        /// What the stack shows.
        mass: Quantity,
    },
    /// A sled or carriage with what lies on it.
    Sled {
        /// All of it.
        mass: Quantity,
    },
    /// Body mass and more.
    Added {
        /// What was added.
        mass: Quantity,
    },
    /// Body mass less what a machine or a band takes off.
    Assisted {
        /// What was taken off.
        mass: Quantity,
    },
    /// Body mass alone.
    BodyMass,
    /// A band.
    Band {
        /// Which, as the lifter calls it.
        band: String,
    },
}

/// Repetitions in reserve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ReserveDone {
    /// As the lifter judged it.
    Reps(u32),
    /// Not reported; never taken for the target.
    NotReported,
}

/// A clinician's advice, in their words.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct Advice {
    /// Who advised.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// When.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<Date>,
    /// The limits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limits: Option<String>,
    /// Regions that stay out.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub regions_out: Vec<String>,
    /// Whether lying flat was advised to be in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lying_flat: Option<Answer>,
    /// When it is to be looked at again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub review_on: Option<Date>,
}

/// Pregnancy.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct Pregnancy {
    /// Whether the lifter is pregnant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pregnant: Option<Answer>,
    /// The date on which the child is due.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub due_on: Option<Date>,
    /// The clinician's advice.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advice: Option<Advice>,
}

/// The time after a birth.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct AfterBirth {
    /// The day of the birth, which ends the clearance given before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<Date>,
    /// The clinician's advice since.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advice: Option<Advice>,
}

/// Surgery.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Surgery {
    /// The region's id.
    pub region: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<Date>,
    /// The surgeon's advice; until its limits are entered the region is not loaded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub advice: Option<Advice>,
}

/// That a publication was sent to a lifter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Sent {
    /// The lifter's account.
    pub to: String,
    /// When.
    pub at: Time,
    /// The programme that it became in the lifter's record.
    pub programme: EntryId,
}
