//! What was typed, read strictly: what cannot be is refused in a sentence that names the field and the remedy.

use crate::load::{Mass, Unit};
use crate::sync::is_account_name;
use crate::words::{Arg, Speech};
use chrono::{Datelike, NaiveDate};

/// Most characters of what was typed that a refusal repeats.
const REPEATED: usize = 40;
/// The first and last year that a typed day may have: others are slips of the finger.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2199;

/// A field, its label, and what was typed for it.
pub(super) struct Typed<'a> {
    pub(super) speech: &'a Speech,
    /// The label, as the page shows it.
    pub(super) what: String,
    pub(super) text: &'a str,
}

impl<'a> Typed<'a> {
    pub(super) fn new(speech: &'a Speech, label: &str, text: &'a str) -> Self {
        Self { speech, what: speech.say(label, &[]), text }
    }

    fn no(&self, key: &str, more: &[(&str, Arg<'_>)]) -> String {
        let text: String = self.text.trim().chars().filter(|c| !c.is_control()).take(REPEATED).collect();
        let mut args = vec![("what", Arg::Text(&self.what))];
        if more.is_empty() {
            args.push(("text", Arg::Text(&text)));
        }
        args.extend_from_slice(more);
        self.speech.say(key, &args)
    }

    /// One line of words, of at most `most` characters.
    pub(super) fn words(&self, most: usize) -> Result<String, String> {
        let text = self.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let n = text.chars().count();
        if text.is_empty() {
            return Err(self.speech.say("typed-empty", &[("what", (&self.what).into())]));
        }
        if n > most {
            return Err(self.no("typed-long", &[("n", n.into()), ("most", most.into())]));
        }
        if text.chars().any(char::is_control) {
            return Err(self.speech.say("typed-control", &[("what", (&self.what).into())]));
        }
        Ok(text)
    }

    /// The name of an account at a host. A keyboard begins with a capital, and no account has one.
    pub(super) fn account(&self) -> Result<String, String> {
        let name = self.text.trim().to_ascii_lowercase();
        if is_account_name(&name) { Ok(name) } else { Err(self.no("typed-account", &[])) }
    }

    /// A day, written `2026-05-03` or `3.5.2026`.
    pub(super) fn date(&self) -> Result<NaiveDate, String> {
        let text = self.text.trim();
        let digits = |s: &&str| (1..=4).contains(&s.len()) && s.bytes().all(|b| b.is_ascii_digit());
        let parts = |sign| text.split(sign).filter(digits).map(|s| s.parse().ok()).collect::<Vec<_>>();
        let (y, m, d) = match (parts('-').as_slice(), parts('.').as_slice()) {
            ([y, m, d], _) if text.matches('-').count() == 2 => (*y, *m, *d),
            (_, [d, m, y]) if text.matches('.').count() == 2 => (*y, *m, *d),
            _ => (None, None, None),
        };
        let day = y
            .zip(m)
            .zip(d)
            .and_then(|((y, m), d): ((u32, u32), u32)| NaiveDate::from_ymd_opt(i32::try_from(y).ok()?, m, d));
        day.filter(|d| YEARS.contains(&d.year())).ok_or_else(|| self.no("typed-date", &[]))
    }

    /// A day that is over or today.
    pub(super) fn past(&self, today: NaiveDate) -> Result<NaiveDate, String> {
        let day = self.date()?;
        if day > today {
            let date = self.speech.date_with_year(day);
            return Err(self.no("typed-future", &[("date", (&date).into())]));
        }
        Ok(day)
    }

    /// A mass above nothing: a number in `unit`, or with its own unit; the decimal sign may be a comma.
    pub(super) fn mass(&self, unit: Unit) -> Result<Mass, String> {
        let text = self.text.trim().to_lowercase();
        let (number, unit) = match [("kg", Unit::Kilogram), ("lbs", Unit::Pound), ("lb", Unit::Pound)]
            .into_iter()
            .find_map(|(sign, unit)| Some((text.strip_suffix(sign)?, unit)))
        {
            Some((number, unit)) => (number.trim(), unit),
            None => (text.as_str(), unit),
        };
        let pointed = if number.contains('.') { number.to_owned() } else { number.replacen(',', ".", 1) };
        match Mass::new(&pointed, unit) {
            Ok(mass) if !mass.is_zero() => Ok(mass),
            _ => Err(self.no("typed-mass", &[])),
        }
    }

    /// A telephone number: digits, and what people write between them.
    pub(super) fn telephone(&self) -> Result<String, String> {
        let text = self.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let digits = text.bytes().filter(u8::is_ascii_digit).count();
        let plain = text.chars().enumerate().all(|(k, c)| {
            c.is_ascii_digit() || matches!(c, ' ' | '-' | '/' | '(' | ')') || (k == 0 && c == '+')
        });
        if (2..=15).contains(&digits) && text.len() <= 30 && plain {
            Ok(text)
        } else {
            Err(self.no("typed-telephone", &[]))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    fn typed<'a>(speech: &'a Speech, text: &'a str) -> Typed<'a> {
        Typed { speech, what: "Field".into(), text }
    }

    #[test]
    fn a_day_is_read_in_two_forms_and_nothing_else_is_one() {
        let s = Speech::new(Language::English);
        let day = NaiveDate::from_ymd_opt(2026, 5, 3);
        for good in ["2026-05-03", " 2026-5-3 ", "3.5.2026", "03.05.2026"] {
            assert_eq!(typed(&s, good).date().ok(), day, "{good}");
        }
        for bad in [
            "",
            "2026-02-30",
            "3/5/2026",
            "2026-05",
            "-2026-05-03",
            "1.5.26",
            "20260503",
            "0000-01-01",
            "12026-01-01",
            "2026-05-03T10:00",
            "3.5-2026",
            "99999999999999-1-1",
            "\u{0663}.5.2026",
        ] {
            let told = typed(&s, bad).date().unwrap_err();
            assert!(told.starts_with("Field: "), "{bad}: {told}");
        }
        let today = day.unwrap();
        assert!(typed(&s, "2026-05-03").past(today).is_ok());
        assert!(typed(&s, "2026-05-04").past(today).unwrap_err().contains("4 May 2026"));
    }

    #[test]
    fn an_account_is_called_as_a_host_calls_it() {
        let s = Speech::new(Language::English);
        assert_eq!(typed(&s, " Mara-2 ").account().as_deref(), Ok("mara-2"));
        for bad in ["", "mara b", "-mara", "mära", "mara@gym", &"x".repeat(41)] {
            assert!(typed(&s, bad).account().unwrap_err().contains("1 to 40"), "{bad}");
        }
    }

    #[test]
    fn a_mass_is_exact_in_its_unit_and_no_power_of_ten_passes() {
        let s = Speech::new(Language::German);
        let read = |text: &str| typed(&s, text).mass(Unit::Kilogram).map(|m| m.to_string()).ok();
        assert_eq!(read("72,5").as_deref(), Some("72.5 kg"));
        assert_eq!(read("72.5 KG").as_deref(), Some("72.5 kg"));
        assert_eq!(read("160 lb").as_deref(), Some("160 lb"));
        for bad in
            ["", "1e9", "-5", "0", "0,0", "1,234.5", "1,2,3", "1000.1", "nan", "inf", "70 stone", "7 0"]
        {
            assert_eq!(read(bad), None, "{bad}");
        }
    }

    #[test]
    fn words_are_one_line_and_bounded() {
        let s = Speech::new(Language::English);
        assert_eq!(typed(&s, "  a\n\tb ").words(3).as_deref(), Ok("a b"));
        assert!(typed(&s, " \n").words(3).unwrap_err().contains("Field"));
        assert!(typed(&s, &"x".repeat(10_000)).words(200).unwrap_err().contains("200"));
        assert!(typed(&s, "a\u{7}b").words(200).is_err());
        assert_eq!(typed(&s, " 112 ").telephone().as_deref(), Ok("112"));
        assert!(typed(&s, "+49 89 (0)123-45").telephone().is_ok());
        for bad in ["1", "911;rm", "tel:112", "1+2", &"1".repeat(16)] {
            assert!(typed(&s, bad).telephone().is_err(), "{bad}");
        }
    }
}
