//! What an entry is about.

use std::fmt;

/// The kind of an entry. A kind of a newer version is kept under its own name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Who the record belongs to.
    Lifter,
    /// What a programme was asked for.
    Brief,
    /// A programme.
    Programme,
    /// A session.
    Session,
    /// A set: working, warm-up or missed.
    Set,
    /// Body mass or another measure of the body.
    BodyMeasurement,
    /// A discomfort of a region.
    Discomfort,
    /// A red flag that was raised.
    Flag,
    /// The return after a flag.
    Return,
    /// Answers to the screening.
    Screening,
    /// Who may see what.
    Grant,
    /// The kit of a place.
    Kit,
    /// A movement of the lifter's own.
    OwnMovement,
    /// A note.
    Note,
    /// A setting.
    Setting,
    /// A coach's draft of a programme.
    Draft,
    /// A programme that a coach has published.
    Publication,
    /// Lifters whom a coach keeps together.
    Group,
    /// A kind that this version does not know.
    Other(String),
}

impl Kind {
    /// Every kind that this version knows, in the order of the documentation.
    pub const KNOWN: [Self; 18] = [
        Self::Lifter,
        Self::Brief,
        Self::Programme,
        Self::Session,
        Self::Set,
        Self::BodyMeasurement,
        Self::Discomfort,
        Self::Flag,
        Self::Return,
        Self::Screening,
        Self::Grant,
        Self::Kit,
        Self::OwnMovement,
        Self::Note,
        Self::Setting,
        Self::Draft,
        Self::Publication,
        Self::Group,
    ];

    /// Its name in the record.
    pub fn name(&self) -> &str {
        match self {
            Self::Lifter => "lifter",
            Self::Brief => "brief",
            Self::Programme => "programme",
            Self::Session => "session",
            Self::Set => "set",
            Self::BodyMeasurement => "body_measurement",
            Self::Discomfort => "discomfort",
            Self::Flag => "flag",
            Self::Return => "return",
            Self::Screening => "screening",
            Self::Grant => "grant",
            Self::Kit => "kit",
            Self::OwnMovement => "own_movement",
            Self::Note => "note",
            Self::Setting => "setting",
            Self::Draft => "draft",
            Self::Publication => "publication",
            Self::Group => "group",
            Self::Other(name) => name,
        }
    }

    /// The kind of a name; [`None`] when it is not a name: 1 to 64 of `a-z`, `0-9` and `_`.
    pub fn of_name(name: &str) -> Option<Self> {
        Self::KNOWN
            .into_iter()
            .find(|k| k.name() == name)
            .or_else(|| is_name(name).then(|| Self::Other(name.to_owned())))
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Whether a kind or a field may be called so.
pub(super) fn is_name(text: &str) -> bool {
    (1..=64).contains(&text.len())
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_kinds_agree() {
        for kind in Kind::KNOWN {
            assert_eq!(Kind::of_name(kind.name()), Some(kind));
        }
        assert_eq!(Kind::of_name("sled_race"), Some(Kind::Other("sled_race".into())));
        for bad in ["", "Set", "a b", "ä", &"x".repeat(65)] {
            assert_eq!(Kind::of_name(bad), None);
        }
    }
}
