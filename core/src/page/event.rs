//! Where a lifter can be, and what can be done there.

use serde::{Deserialize, Serialize};

/// The five places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Place {
    /// The session at hand.
    Floor,
    /// The days and what is on them.
    Week,
    /// The movements.
    Catalogue,
    /// What the log adds up to.
    Findings,
    /// Everything about the lifter, the kit and the record.
    Locker,
}

impl Place {
    /// All of them, in the order of the list of contents.
    pub const ALL: [Self; 5] = [Self::Floor, Self::Week, Self::Catalogue, Self::Findings, Self::Locker];

    /// The key of its name in the words.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Floor => "place-floor",
            Self::Week => "place-week",
            Self::Catalogue => "place-catalogue",
            Self::Findings => "place-findings",
            Self::Locker => "place-locker",
        }
    }

    /// Its first page; none for the floor, which has a screen of its own.
    pub const fn spot(self) -> Option<Spot> {
        match self {
            Self::Floor => None,
            Self::Week => Some(Spot::Week),
            Self::Catalogue => Some(Spot::Catalogue),
            Self::Findings => Some(Spot::Findings),
            Self::Locker => Some(Spot::Locker),
        }
    }
}

/// What the movements are listed by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum By {
    /// Movement pattern.
    Pattern,
    /// Muscle.
    Muscle,
    /// Piece of kit.
    Kit,
    /// Region of the body that is to be spared.
    Limit,
}

/// A part of the kit of a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum KitPart {
    /// The pieces: racks, benches, machines.
    Pieces,
    /// Bars, sleds, handles and collars.
    Bars,
    /// Discs with their counts.
    Discs,
    /// Rows of dumbbells.
    Dumbbells,
    /// Kettlebells.
    Kettlebells,
    /// Machines with a stack.
    Stacks,
    /// Bands.
    Bands,
}

/// A page. In JSON tagged by `spot`: `{"spot": "line", "day": 0, "line": 2}`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "spot", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Spot {
    /// The week.
    Week,
    /// A line of the week and its reasons.
    Line {
        /// Position of the day.
        day: u32,
        /// Position of the line in it.
        line: u32,
    },
    /// A programme that was sent, and what it would become for this lifter.
    Sent {
        /// Its entry in the record.
        id: String,
    },

    /// The catalogue.
    Catalogue,
    /// What the movements can be listed by.
    Groups {
        /// By what.
        by: By,
    },
    /// The movements of a group.
    Group {
        /// By what.
        by: By,
        /// Id of the pattern, muscle, piece of kit or region.
        id: String,
    },
    /// A movement.
    Movement {
        /// Its id.
        id: String,
    },

    /// The findings.
    Findings,
    /// Those of a movement.
    FindingsOf {
        /// Its id.
        movement: String,
    },

    /// The locker.
    Locker,
    /// What the week is made from.
    Brief,
    /// The self-screening.
    Screening,
    /// Age, name and what else concerns the lifter.
    Profile,
    /// What is to be left out or eased.
    Limits,
    /// What hurts.
    Discomfort,
    /// Operations.
    Surgeries,
    /// An operation, or a new one.
    Surgery {
        /// Its position in the list; one past the last is a new one.
        position: u32,
    },
    /// Pregnancy and the time after a birth.
    Maternity,
    /// The return after a flag.
    Return,
    /// The kit of each place.
    Kits,
    /// The kit of a place.
    Kit {
        /// Its entry in the record.
        id: String,
    },
    /// A part of it.
    PartOfKit {
        /// Its entry in the record.
        id: String,
        /// Which part.
        part: KitPart,
    },
    /// Language and the other settings.
    Settings,
    /// The key of the automatic backups.
    Backup,
    /// The server that the record goes to.
    Pairing,
    /// Whom the record is opened to.
    Grants,
    /// A coach to open it to.
    NewGrant,
    /// What is or was opened to a coach.
    Grant {
        /// The coach's account.
        coach: String,
    },
    /// Who looked, and what was done with the account at the server.
    Audit,
    /// The notes between the lifter and who coaches.
    Notes,
    /// A note.
    Note {
        /// Its entry in the record.
        id: String,
    },
    /// Export, import, check and erase.
    Record,
    /// What is stored where.
    Privacy,
    /// The parts of which it is built, and their licences.
    Licences,
    /// The text of a licence.
    Licence {
        /// Its SPDX name.
        id: String,
    },
}

impl Spot {
    /// The place that it belongs to.
    pub const fn place(&self) -> Place {
        match self {
            Self::Week | Self::Line { .. } | Self::Sent { .. } => Place::Week,
            Self::Catalogue | Self::Groups { .. } | Self::Group { .. } | Self::Movement { .. } => {
                Place::Catalogue
            }
            Self::Findings | Self::FindingsOf { .. } => Place::Findings,
            Self::Locker
            | Self::Brief
            | Self::Screening
            | Self::Profile
            | Self::Limits
            | Self::Discomfort
            | Self::Surgeries
            | Self::Surgery { .. }
            | Self::Maternity
            | Self::Return
            | Self::Kits
            | Self::Kit { .. }
            | Self::PartOfKit { .. }
            | Self::Settings
            | Self::Backup
            | Self::Pairing
            | Self::Grants
            | Self::NewGrant
            | Self::Grant { .. }
            | Self::Audit
            | Self::Notes
            | Self::Note { .. }
            | Self::Record
            | Self::Privacy
            | Self::Licences
            | Self::Licence { .. } => Place::Locker,
        }
    }
}

/// What a file holds that goes out or comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum FileKind {
    /// The whole record as JSON.
    Record,
    /// The sets as CSV.
    Sets,
    /// A programme as JSON.
    Programme,
}

/// What a page can do besides opening another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "deed", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Deed {
    /// Makes a week of the brief and takes it on from today.
    MakeWeek,
    /// Asks the platform where a file is to go.
    GiveFile {
        /// Which.
        kind: FileKind,
    },
    /// Takes on the programme that was sent.
    TakeOn,
    /// Keeps what was answered on the page.
    Keep,
    /// Takes away what the page is about; it asks for a second touch.
    Remove,
    /// Asks the platform for a file to take in.
    TakeFile {
        /// Which.
        kind: FileKind,
    },
    /// Asks the platform for a folder that the sealed backups go to.
    ChooseFolder,
    /// Asks the platform for a sealed backup to put in the record's place.
    Restore,
    /// Makes the key of the automatic backups, and shows its words once.
    MakeKey,
    /// Checks every entry of the record.
    Check,
    /// Pairs this device with the server of the invitation.
    Pair,
    /// Brings the record together with the server's now.
    Sync,
}

/// An event of a page, in JSON tagged by `page`: `{"page": "open", "spot": {"spot": "week"}}`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "page", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum PageEvent {
    /// Goes to a place of the list of contents.
    Place {
        /// Which.
        place: Place,
    },
    /// Opens a page.
    Open {
        /// Which.
        spot: Spot,
    },
    /// Back to the page before.
    Back,
    /// Chooses a value of a question.
    Choose {
        /// Id of the question.
        field: String,
        /// Id of the value.
        value: String,
    },
    /// Does something.
    Do {
        /// What.
        deed: Deed,
    },
}
