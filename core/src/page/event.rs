//! Where a lifter can be, and what can be done there.

use serde::{Deserialize, Serialize};

/// The five places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
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

/// A page. In JSON tagged by `spot`: `{"spot": "line", "day": 0, "line": 2}`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(tag = "spot", rename_all = "snake_case", deny_unknown_fields)]
pub enum Spot {
    /// The first page, before there is a week: days, minutes, kit, goal.
    Beginning,

    /// The week.
    Week,
    /// A line of the week and its reasons.
    Line {
        /// Position of the day.
        day: u32,
        /// Position of the line in it.
        line: u32,
    },
    /// What another choice than a line would cost.
    Price {
        /// Position of the day.
        day: u32,
        /// Position of the line in it.
        line: u32,
    },
    /// A missed day folded into those that are left.
    FoldIn {
        /// Position of the day.
        day: u32,
    },
    /// The block after this one.
    NextBlock,

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
    /// A movement of the lifter's own, to be written.
    OwnMovement,

    /// The findings.
    Findings,
    /// Those of a movement.
    FindingsOf {
        /// Its id.
        movement: String,
    },
    /// The sessions of the log, newest first.
    Log {
        /// Those before this session; none for the newest.
        #[serde(default)]
        before: Option<String>,
    },
    /// A session of the log.
    Logged {
        /// Its entry.
        session: String,
    },
    /// A set of the log, to be corrected.
    LoggedSet {
        /// Its entry.
        set: String,
    },

    /// The locker.
    Locker,
    /// Who the lifter is.
    Profile,
    /// The self-screening.
    Screening,
    /// Discomforts and limits.
    Limits,
    /// One of them; none for a new one.
    Limit {
        /// Its entry.
        #[serde(default)]
        entry: Option<String>,
    },
    /// The return after a flag.
    Return {
        /// The flag's entry.
        flag: String,
    },
    /// The places with their kit.
    Kits,
    /// The kit of a place; none for a new one.
    Kit {
        /// Its entry.
        #[serde(default)]
        entry: Option<String>,
    },
    /// Days, minutes, goal and wishes.
    Brief,
    /// The programmes: the one under way, those before it, and the way in for another.
    Programmes,
    /// Language, sound, rests and the other settings.
    Settings,
    /// Pairing with a host, and the devices.
    Pairing,
    /// Who may read what.
    Grants,
    /// Backups.
    Backup,
    /// Export, import, check and erase.
    Record,
    /// What is stored where.
    Privacy,
    /// The licences of all parts.
    Licences,
}

impl Spot {
    /// The place that it belongs to.
    pub const fn place(&self) -> Place {
        match self {
            Self::Beginning
            | Self::Week
            | Self::Line { .. }
            | Self::Price { .. }
            | Self::FoldIn { .. }
            | Self::NextBlock => Place::Week,
            Self::Catalogue
            | Self::Groups { .. }
            | Self::Group { .. }
            | Self::Movement { .. }
            | Self::OwnMovement => Place::Catalogue,
            Self::Findings
            | Self::FindingsOf { .. }
            | Self::Log { .. }
            | Self::Logged { .. }
            | Self::LoggedSet { .. } => Place::Findings,
            _ => Place::Locker,
        }
    }
}

/// What a file holds that a platform's picker is to bring or to take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FileKind {
    /// The whole record as JSON.
    Record,
    /// The sets as CSV.
    Sets,
    /// A programme as JSON.
    Programme,
    /// A sealed backup.
    Backup,
    /// The folder that the automatic backups go to.
    BackupFolder,
}

/// What a page can do besides opening another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "deed", rename_all = "snake_case", deny_unknown_fields)]
pub enum Deed {
    /// Keeps what was filled in on this page.
    Keep,
    /// Throws away what was filled in on this page.
    Discard,
    /// Takes away what this page is about: a limit, a place, a set.
    Remove,
    /// Makes a week of the brief and takes it on from today.
    MakeWeek,
    /// Takes the price of a line: the week as it would be.
    TakePrice {
        /// Position of the choice.
        choice: u32,
    },
    /// Takes the folding of a missed day.
    TakeFolding,
    /// Takes on the next block as drafted.
    TakeNextBlock,
    /// Asks the platform to bring a file.
    BringFile {
        /// Which.
        kind: FileKind,
    },
    /// Asks the platform to take a file.
    GiveFile {
        /// Which.
        kind: FileKind,
    },
    /// Makes the key of the automatic backups, and shows its words once.
    MakeKey,
    /// Checks every entry of the record.
    Check,
    /// Erases everything; the second touch.
    Erase,
    /// Asks for a sync.
    Sync,
}

/// An event of a page, in JSON tagged by `page`: `{"page": "open", "spot": {"spot": "week"}}`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "page", rename_all = "snake_case", deny_unknown_fields)]
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
    /// Chooses a value of a question, or lets it go again where several may be chosen.
    Choose {
        /// Id of the question.
        field: String,
        /// Id of the value.
        value: String,
    },
    /// Writes text into a field.
    Enter {
        /// Id of the field.
        field: String,
        /// The text.
        text: String,
    },
    /// Does something.
    Do {
        /// What.
        deed: Deed,
    },
}
