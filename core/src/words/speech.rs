//! Sentences in the language of the lifter: Fluent messages of `core/data/words`, English behind every other language.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use chrono::{Datelike, NaiveDate, NaiveTime, Timelike};
use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};

use super::caution::Translated;
use super::language::Language;
use super::names::Names;
use crate::catalogue::Catalogue;
use crate::load::Mass;
use crate::plan::brief::Weekday;

/// What a sentence is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arg<'a> {
    /// Text as it stands, or a word that a selector of the message chooses by.
    Text(&'a str),
    /// A whole number, with the plural it takes.
    Count(i64),
    /// An exact decimal with a point, such as "137.5"; said with the sign of the language.
    Decimal(&'a str),
}

impl<'a> From<&'a str> for Arg<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text)
    }
}

impl<'a> From<&'a String> for Arg<'a> {
    fn from(text: &'a String) -> Self {
        Self::Text(text)
    }
}

macro_rules! counts {
    ($($t:ty)*) => {$(
        impl From<$t> for Arg<'_> {
            fn from(n: $t) -> Self {
                Self::Count(i64::try_from(n).unwrap_or(i64::MAX))
            }
        }
    )*};
}
counts!(u8 u16 u32 u64 usize i32 i64);

type Bundle = FluentBundle<FluentResource>;

/// Reads the messages of a language. A faulty message is left out: a test says that there is none.
fn bundle(language: Language) -> Bundle {
    let mut bundle = FluentBundle::new_concurrent(vec![language.identifier()]);
    bundle.set_use_isolating(false);
    // The one built-in that the messages use is NUMBER; without it they say the bare number.
    let _ = bundle.add_builtins();
    for (_, text) in language.parts() {
        let resource = FluentResource::try_new((*text).to_owned()).unwrap_or_else(|(good, _)| good);
        let _ = bundle.add_resource(resource);
    }
    bundle
}

/// Says things in one language.
pub struct Speech {
    language: Language,
    messages: Bundle,
    english: OnceLock<Bundle>,
    names: OnceLock<Names>,
    pub(super) translated: OnceLock<Translated>,
    own: BTreeMap<String, String>,
}

impl fmt::Debug for Speech {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Speech").field("language", &self.language).finish_non_exhaustive()
    }
}

impl Speech {
    /// Reads the messages of the language.
    pub fn new(language: Language) -> Self {
        Self {
            language,
            messages: bundle(language),
            english: OnceLock::new(),
            names: OnceLock::new(),
            translated: OnceLock::new(),
            own: BTreeMap::new(),
        }
    }

    /// Learns the names of a catalogue's own movements, which no message has.
    #[must_use]
    pub fn with_own_movements(mut self, catalogue: &Catalogue) -> Self {
        self.learn(catalogue);
        self
    }

    /// As [`Self::with_own_movements`], in place.
    pub fn learn(&mut self, catalogue: &Catalogue) {
        self.own =
            catalogue.movements.iter().filter(|m| m.own).map(|m| (m.id.clone(), m.name.clone())).collect();
    }

    /// The language spoken.
    pub const fn language(&self) -> Language {
        self.language
    }

    /// Whether this language has the message, English aside.
    pub fn has(&self, key: &str) -> bool {
        let (message, attribute) = key.split_once('.').map_or((key, None), |(m, a)| (m, Some(a)));
        self.messages.get_message(message).is_some_and(|m| match attribute {
            Some(a) => m.get_attribute(a).is_some(),
            None => m.value().is_some(),
        })
    }

    /// The message `key` (or `key.attribute`) with its arguments: in this language, else in English, else the key.
    pub fn say(&self, key: &str, args: &[(&str, Arg<'_>)]) -> String {
        self.find(&self.messages, key, args)
            .or_else(|| match self.language {
                Language::English => None,
                Language::German => {
                    let english = self.english.get_or_init(|| bundle(Language::English));
                    self.find(english, key, args)
                }
            })
            .unwrap_or_else(|| key.to_owned())
    }

    /// As [`Self::say`] with a capital first letter.
    pub fn sentence(&self, key: &str, args: &[(&str, Arg<'_>)]) -> String {
        capital(&self.say(key, args))
    }

    fn find(&self, bundle: &Bundle, key: &str, args: &[(&str, Arg<'_>)]) -> Option<String> {
        let (message, attribute) = key.split_once('.').map_or((key, None), |(m, a)| (m, Some(a)));
        let message = bundle.get_message(message)?;
        let pattern = match attribute {
            Some(a) => message.get_attribute(a)?.value(),
            None => message.value()?,
        };
        let mut values = FluentArgs::with_capacity(args.len());
        for (name, arg) in args {
            values.set(*name, self.value(*arg));
        }
        let mut faults = Vec::new();
        let text = bundle.format_pattern(pattern, Some(&values), &mut faults).into_owned();
        debug_assert!(faults.is_empty(), "{key}: {faults:?}");
        Some(text)
    }

    fn value<'a>(&self, arg: Arg<'a>) -> FluentValue<'a> {
        match arg {
            Arg::Text(text) => FluentValue::String(Cow::Borrowed(text)),
            Arg::Count(n) => FluentValue::from(n),
            // What is no whole number takes the general plural in both languages: it need not be a number.
            Arg::Decimal(text) => text
                .parse::<i64>()
                .map_or_else(|_| FluentValue::String(Cow::Owned(self.decimal(text))), FluentValue::from),
        }
    }

    /// An exact decimal with the decimal sign of the language: "137.5" is "137,5" in German.
    pub fn decimal(&self, number: &str) -> String {
        match self.language {
            Language::English => number.to_owned(),
            Language::German => number.replace('.', ","),
        }
    }

    /// A mass with its unit, to the hundredth: "137.5 kg".
    pub fn mass(&self, mass: &Mass) -> String {
        self.decimal(&mass.words())
    }

    /// Seconds as minutes and seconds, "2:30"; from an hour on as "1:02:30".
    pub fn clock(&self, seconds: i64) -> String {
        let sign = if seconds < 0 { "-" } else { "" };
        let s = seconds.unsigned_abs();
        match (s / 3600, s / 60 % 60, s % 60) {
            (0, m, s) => format!("{sign}{m}:{s:02}"),
            (h, m, s) => format!("{sign}{h}:{m:02}:{s:02}"),
        }
    }

    /// Seconds as minutes to the nearest minute, or as seconds where it is less than a minute.
    pub fn duration(&self, seconds: i64) -> String {
        if seconds.abs() < 60 {
            self.say("seconds", &[("n", Arg::Count(seconds))])
        } else {
            self.minutes(seconds.saturating_add(seconds.signum() * 30) / 60)
        }
    }

    /// Whole minutes with their unit; from two hours on as hours and minutes.
    pub fn minutes(&self, minutes: i64) -> String {
        if minutes.abs() < 120 {
            return self.say("minutes", &[("n", Arg::Count(minutes))]);
        }
        match (minutes / 60, minutes.abs() % 60) {
            (hours, 0) => self.say("hours", &[("n", Arg::Count(hours))]),
            (hours, rest) => {
                self.say("hours-minutes", &[("hours", Arg::Count(hours)), ("minutes", Arg::Count(rest))])
            }
        }
    }

    /// A day of the year: "3 May", "3. Mai".
    pub fn date(&self, day: NaiveDate) -> String {
        self.say("date", &[("day", day.day().into()), ("month", day.month().into())])
    }

    /// A day with its year: "3 May 2026".
    pub fn date_with_year(&self, day: NaiveDate) -> String {
        let year = day.year().to_string();
        self.say("date-year", &[("date", (&self.date(day)).into()), ("year", (&year).into())])
    }

    /// A time of day by 24 hours: "14:05".
    pub fn time(&self, time: NaiveTime) -> String {
        format!("{}:{:02}", time.hour(), time.minute())
    }

    /// A weekday.
    pub fn weekday(&self, day: Weekday) -> String {
        let number = Weekday::ALL.iter().position(|d| *d == day).map_or(1, |k| k + 1);
        self.say("weekday", &[("day", number.into())])
    }

    /// The weekday of a date.
    pub fn weekday_of(&self, day: NaiveDate) -> String {
        self.say("weekday", &[("day", day.weekday().number_from_monday().into())])
    }

    /// A place in a row: "2nd", "2.".
    pub fn ordinal(&self, n: u32) -> String {
        self.say("ordinal", &[("n", n.into())])
    }

    /// Half-sets as sets: `7` is "3.5".
    pub fn halves(&self, half_sets: i32) -> String {
        self.decimal(&halves(half_sets))
    }

    /// Half-sets as sets with the word for them.
    pub fn sets(&self, half_sets: i32) -> String {
        self.say("sets", &[("n", Arg::Decimal(&halves(half_sets)))])
    }

    /// Items in a row: "a, b and c".
    pub fn and<S: AsRef<str>>(&self, items: &[S]) -> String {
        self.list("list-two", items)
    }

    /// Items of which one: "a, b or c".
    pub fn or<S: AsRef<str>>(&self, items: &[S]) -> String {
        self.list("list-or", items)
    }

    fn list<S: AsRef<str>>(&self, last_two: &str, items: &[S]) -> String {
        let Some((last, before)) = items.split_last() else { return String::new() };
        let Some((first, more)) = before.split_first() else { return last.as_ref().to_owned() };
        let joined = more.iter().fold(first.as_ref().to_owned(), |all, next| {
            self.say("list-join", &[("first", (&all).into()), ("next", next.as_ref().into())])
        });
        self.say(last_two, &[("first", (&joined).into()), ("last", last.as_ref().into())])
    }

    /// A movement's name; its id where nothing names it.
    pub fn movement(&self, id: &str) -> String {
        self.own.get(id).cloned().unwrap_or_else(|| self.name("movement", id))
    }

    /// A muscle's name.
    pub fn muscle(&self, id: &str) -> String {
        self.name("muscle", id)
    }

    /// A pattern's name.
    pub fn pattern(&self, id: &str) -> String {
        self.name("pattern", id)
    }

    /// A region's name.
    pub fn region(&self, id: &str) -> String {
        self.name("region", id)
    }

    /// The name of a piece of kit.
    pub fn kit_item(&self, id: &str) -> String {
        self.name("kit", id)
    }

    /// A movement's name, also of a catalogue's own movements.
    pub fn movement_in(&self, catalogue: &Catalogue, id: &str) -> String {
        match catalogue.movement(id) {
            Some(m) if m.own => m.name.clone(),
            _ => self.movement(id),
        }
    }

    /// Text that a catalogue or a person wrote in English, marked so in any other language.
    pub fn english(&self, text: &str) -> String {
        self.say("untranslated", &[("text", text.into())])
    }

    fn name(&self, kind: &str, id: &str) -> String {
        let key = format!("{kind}-{id}");
        if self.has(&key) {
            return self.say(&key, &[]);
        }
        self.names.get_or_init(Names::builtin).of(kind, id).unwrap_or(id).to_owned()
    }

    /// A movement's name inside a sentence: "barbell row", "vorgebeugtes Rudern".
    pub fn movement_inside(&self, catalogue: &Catalogue, id: &str) -> String {
        self.inside("movement", id, &self.movement_in(catalogue, id))
    }

    /// A muscle's name inside a sentence, without what explains it in brackets.
    pub fn muscle_inside(&self, id: &str) -> String {
        self.inside("muscle", id, plain(&self.muscle(id)))
    }

    /// A pattern's name inside a sentence.
    pub fn pattern_inside(&self, id: &str) -> String {
        self.inside("pattern", id, &self.pattern(id))
    }

    /// A region's name inside a sentence.
    pub fn region_inside(&self, id: &str) -> String {
        self.inside("region", id, &self.region(id))
    }

    /// The name of a piece of kit inside a sentence, without what explains it in brackets.
    pub fn kit_item_inside(&self, id: &str) -> String {
        self.inside("kit", id, plain(&self.kit_item(id)))
    }

    /// English takes a small first letter; German nouns stay as they are, and the few names that begin with
    /// another word have an attribute `inside`.
    fn inside(&self, kind: &str, id: &str, name: &str) -> String {
        let key = format!("{kind}-{id}.inside");
        match self.language {
            _ if self.has(&key) => self.say(&key, &[]),
            Language::English => lower(name),
            Language::German => name.to_owned(),
        }
    }
}

/// Half-sets as an exact decimal of sets.
pub(super) fn halves(half_sets: i32) -> String {
    let (whole, half) = (half_sets.unsigned_abs() / 2, half_sets.unsigned_abs() % 2);
    let sign = if half_sets < 0 { "-" } else { "" };
    if half == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.5") }
}

/// A name without what explains it in brackets.
fn plain(name: &str) -> &str {
    name.split(" (").next().unwrap_or(name)
}

/// A name inside a sentence: a small first letter, unless the word is all capitals.
pub(super) fn lower(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(a), Some(b)) if a.is_uppercase() && !b.is_uppercase() => {
            a.to_lowercase().chain(letters).collect()
        }
        _ => name.to_owned(),
    }
}

/// A capital first letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    first + letters.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn both() -> [Speech; 2] {
        Language::ALL.map(Speech::new)
    }

    #[test]
    fn numbers_are_said_with_the_sign_and_the_plural_of_the_language() {
        let [en, de] = both();
        assert_eq!((en.sets(7), de.sets(7)), ("3.5 sets".into(), "3,5 Sätze".into()));
        assert_eq!((en.sets(-1), de.sets(-1)), ("-0.5 sets".into(), "-0,5 Sätze".into()));
        assert_eq!((en.sets(2), de.sets(2)), ("1 set".into(), "1 Satz".into()));
        let mass: Mass = "137.5 kg".parse().unwrap();
        assert_eq!((en.mass(&mass), de.mass(&mass)), ("137.5 kg".into(), "137,5 kg".into()));
        assert_eq!(
            (en.ordinal(1), en.ordinal(22), en.ordinal(13)),
            ("1st".into(), "22nd".into(), "13th".into())
        );
        assert_eq!(de.ordinal(3), "3.");
    }

    #[test]
    fn times_and_days_are_said_as_people_say_them() {
        let [en, de] = both();
        let day = NaiveDate::from_ymd_opt(2026, 5, 3).unwrap();
        assert_eq!((en.date(day), de.date(day)), ("3 May".into(), "3. Mai".into()));
        assert_eq!(
            (en.date_with_year(day), de.date_with_year(day)),
            ("3 May 2026".into(), "3. Mai 2026".into())
        );
        assert_eq!((en.weekday_of(day), de.weekday_of(day)), ("Sunday".into(), "Sonntag".into()));
        assert_eq!(de.weekday(Weekday::Wednesday), "Mittwoch");
        assert_eq!(
            (en.clock(150), en.clock(5), en.clock(3725), en.clock(-9)),
            ("2:30".into(), "0:05".into(), "1:02:05".into(), "-0:09".into())
        );
        assert_eq!(
            (en.duration(59), en.duration(90), en.duration(-150)),
            ("59 s".into(), "2 min".into(), "-3 min".into())
        );
        assert_eq!((en.duration(7200), en.duration(7500)), ("2 h".into(), "2 h 5 min".into()));
        assert_eq!(en.time(NaiveTime::from_hms_opt(9, 5, 0).unwrap()), "9:05");
    }

    #[test]
    fn items_stand_in_a_row() {
        let [en, de] = both();
        assert_eq!(en.and::<&str>(&[]), "");
        assert_eq!(en.and(&["a"]), "a");
        assert_eq!(en.and(&["a", "b", "c"]), "a, b and c");
        assert_eq!(de.and(&["a", "b", "c"]), "a, b und c");
        assert_eq!(de.or(&["a", "b"]), "a oder b");
    }

    #[test]
    fn nothing_is_marked_for_isolation() {
        for speech in both() {
            let text = speech.say("list-two", &[("first", "a".into()), ("last", "b".into())]);
            assert!(text.chars().all(|c| !('\u{2066}'..='\u{2069}').contains(&c)), "{text:?}");
        }
    }

    #[test]
    fn what_no_language_has_is_said_by_its_key() {
        for speech in both() {
            assert_eq!(speech.say("no-such-message", &[]), "no-such-message");
            assert_eq!(speech.movement("no_such_movement"), "no_such_movement");
        }
    }

    #[test]
    fn names_stand_small_inside_an_english_sentence() {
        assert_eq!(lower("Barbell row"), "barbell row");
        assert_eq!(lower("EZ curl"), "EZ curl");
        assert_eq!(plain("Gluteals (gluteus maximus)"), "Gluteals");
        assert_eq!(capital("no day"), "No day");
        assert_eq!(capital(""), "");
    }
}
