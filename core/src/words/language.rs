//! The languages that are spoken, and their files.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use unic_langid::LanguageIdentifier;

/// A language that Plinth speaks.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Enum))]
pub enum Language {
    /// English, complete; what is missing elsewhere is said in it.
    #[default]
    #[serde(rename = "en")]
    English,
    /// German.
    #[serde(rename = "de")]
    German,
}

/// The names of the Fluent files of a language and what they hold.
type Part = (&'static str, &'static str);

macro_rules! parts {
    ($code:literal: $($name:literal)*) => {
        &[$(($name, include_str!(concat!("../../data/words/", $code, "/", $name, ".ftl"))),)*]
    };
}

const ENGLISH: &[Part] = parts!("en": "common" "names" "week" "floor" "pages" "locker" "coach" "findings" "safety" "errors" "command" "desk" "published" "house" "drafting");
const GERMAN: &[Part] = parts!("de": "common" "names" "week" "floor" "pages" "locker" "coach" "findings" "safety" "errors" "command" "desk" "published" "house" "drafting");

impl Language {
    /// Every language.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its ISO 639-1 code.
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// What it calls itself.
    pub const fn own_name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "Deutsch",
        }
    }

    /// The language of a locale such as `de_AT.UTF-8`; English where it is not spoken here.
    pub fn of_locale(locale: &str) -> Self {
        let code = locale.split(['_', '-', '.', '@']).next().unwrap_or_default();
        code.to_ascii_lowercase().parse().unwrap_or_default()
    }

    /// Its Fluent files: name of the part and text.
    pub const fn parts(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::English => ENGLISH,
            Self::German => GERMAN,
        }
    }

    pub(super) fn identifier(self) -> LanguageIdentifier {
        self.code().parse().unwrap_or_default()
    }
}

impl fmt::Display for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// Not the code of a language that Plinth speaks.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("language: {0:?} is not spoken here; use en or de.")]
pub struct UnknownLanguage(String);

impl FromStr for Language {
    type Err = UnknownLanguage;

    fn from_str(code: &str) -> Result<Self, UnknownLanguage> {
        let found = Self::ALL.into_iter().find(|l| l.code() == code);
        found.ok_or_else(|| UnknownLanguage(code.chars().take(20).collect()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_locale_names_its_language() {
        assert_eq!(Language::of_locale("de_AT.UTF-8"), Language::German);
        assert_eq!(Language::of_locale("de"), Language::German);
        assert_eq!(Language::of_locale("den"), Language::English);
        assert_eq!(Language::of_locale("C"), Language::English);
        assert_eq!("de".parse(), Ok(Language::German));
        assert!("fr".parse::<Language>().unwrap_err().to_string().contains("en or de"));
    }
}
