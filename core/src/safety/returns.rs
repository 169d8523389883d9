//! The return after a flag: who advised it, when, with what limits. It records and does not judge.

use super::fault::{FaultCode, SafetyFault};
use super::flags::{FlagHeld, instant, regions_remedy};
use crate::catalogue::Catalogue;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// What stands for "no limits were set".
pub const NO_LIMITS: &str = "none";

/// Most characters of who advised.
pub const LONGEST_NAME: usize = 200;

/// Most characters of the limits.
pub const LONGEST_LIMITS: usize = 4_000;

/// A return that was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Return {
    /// Its entry of the record; empty before it has one.
    #[serde(default)]
    pub entry: String,
    /// The entry of the flag that it answers.
    pub flag: String,
    /// Who advised it, in the lifter's words.
    pub advised_by: String,
    /// When.
    pub advised_on: NaiveDate,
    /// The limits that were set, or [`NO_LIMITS`].
    pub limits: String,
    /// Ids of regions that stay out.
    #[serde(default)]
    pub regions_still_out: Vec<String>,
    /// The local day on which it was recorded.
    pub returned_on: NaiveDate,
}

/// What a lifter answers for a return, as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ReturnAnswers {
    /// The entry of the flag.
    pub flag: String,
    /// Who advised it.
    pub advised_by: String,
    /// When, as `2026-03-09`.
    pub advised_on: String,
    /// The limits that were set, or [`NO_LIMITS`].
    pub limits: String,
    /// Ids of regions that stay out.
    pub regions_still_out: Vec<String>,
}

impl Return {
    /// Checks the answers to a return given on `today`.
    ///
    /// # Errors
    /// Every fault, with its field and remedy.
    pub fn given(
        catalogue: &Catalogue,
        flags: &[FlagHeld],
        answers: &ReturnAnswers,
        today: NaiveDate,
    ) -> Result<Self, Vec<SafetyFault>> {
        let mut faults = Vec::new();
        let mut add = |code, field: &str, problem: String, remedy: String| {
            faults.push(SafetyFault::new(code, field, problem, remedy));
        };
        let flag = flags.iter().find(|f| f.entry == answers.flag);
        if flag.is_none() {
            let problem = format!("{:?} is no flag of the record", answers.flag);
            add(FaultCode::NoSuchFlag, "flag", problem, "name the flag that the return answers".into());
        }
        let texts =
            [("advised_by", &answers.advised_by, LONGEST_NAME), ("limits", &answers.limits, LONGEST_LIMITS)];
        for (field, text, most) in texts {
            let remedy = match field {
                "limits" => format!("write what was advised, or {NO_LIMITS:?} if no limits were set"),
                _ => "write who advised it".to_owned(),
            };
            if text.trim().is_empty() {
                add(FaultCode::Missing, field, "nothing is written".into(), remedy);
            } else if text.chars().count() > most {
                add(FaultCode::Malformed, field, format!("more than {most} characters"), "shorten it".into());
            }
        }
        let date = answers.advised_on.trim().parse::<NaiveDate>().ok();
        match date {
            None => {
                let problem = format!("{:?} is no date", answers.advised_on);
                add(FaultCode::Malformed, "advised_on", problem, "give the day as 2026-03-09".into());
            }
            Some(on) if on > today => {
                let remedy = "give the day on which the advice was received".into();
                add(FaultCode::InTheFuture, "advised_on", format!("{on} is after today, {today}"), remedy);
            }
            Some(on) if flag.is_some_and(|f| comes_before(on, f, today)) => {
                let remedy = "record the advice that was given after the flag".into();
                add(FaultCode::TooEarly, "advised_on", format!("{on} is before the flag"), remedy);
            }
            Some(_) => {}
        }
        for (k, region) in answers.regions_still_out.iter().enumerate() {
            if catalogue.region(region).is_none() {
                let field = format!("regions_still_out[{k}]");
                add(FaultCode::Unknown, &field, format!("{region:?} is unknown"), regions_remedy(catalogue));
            }
        }
        match date {
            Some(advised_on) if faults.is_empty() => Ok(Self {
                entry: String::new(),
                flag: answers.flag.clone(),
                advised_by: answers.advised_by.trim().to_owned(),
                advised_on,
                limits: answers.limits.trim().to_owned(),
                regions_still_out: answers.regions_still_out.clone(),
                returned_on: today,
            }),
            _ => Err(faults),
        }
    }

    /// Reads the merged fields of an entry of kind return. One that is deleted, unreadable or was not sound on
    /// the day of its record lifts nothing.
    ///
    /// # Errors
    /// Why it does not count.
    pub fn read(
        catalogue: &Catalogue,
        flags: &[FlagHeld],
        entry: &str,
        fields: &BTreeMap<String, Value>,
    ) -> Result<Self, Vec<SafetyFault>> {
        let text = |key: &str| fields.get(key).and_then(Value::as_str).unwrap_or_default().to_owned();
        let one = |code, field: &str, problem: &str, remedy: &str| {
            Err(vec![SafetyFault::new(code, field, problem, remedy)])
        };
        if fields.get("deleted").is_some_and(|d| *d != Value::Bool(false) && !d.is_null()) {
            return one(FaultCode::Missing, "deleted", "the return was deleted", "record it anew");
        }
        let Some(returned_on) = instant(&text("returned_at")).map(|i| i.date_naive()) else {
            return one(FaultCode::Malformed, "returned_at", "no instant", "record the return anew");
        };
        let regions_still_out = match fields.get("regions_still_out") {
            None | Some(Value::Null) => Vec::new(),
            // An item that is no text becomes an unknown region, which is refused by its index.
            Some(Value::Array(all)) => {
                all.iter().map(|r| r.as_str().unwrap_or_default().to_owned()).collect()
            }
            Some(_) => {
                return one(FaultCode::Malformed, "regions_still_out", "no list", "give a list of regions");
            }
        };
        let answers = ReturnAnswers {
            flag: text("flag"),
            advised_by: text("advised_by"),
            advised_on: text("advised_on"),
            limits: text("limits"),
            regions_still_out,
        };
        let read = Self::given(catalogue, flags, &answers, returned_on)?;
        Ok(Self { entry: entry.to_owned(), ..read })
    }

    /// Whether limits were set.
    pub fn has_limits(&self) -> bool {
        self.limits.trim() != NO_LIMITS || !self.regions_still_out.is_empty()
    }

    /// Whether it answers `flag` on `today`.
    pub fn answers(&self, flag: &FlagHeld, today: NaiveDate) -> bool {
        self.flag == flag.entry
            && self.returned_on <= today
            && self.advised_on <= self.returned_on
            && !comes_before(self.advised_on, flag, self.returned_on)
    }
}

/// Whether advice came before the flag. A flag that is dated after the day of the return was dated by a wrong
/// clock: then the days cannot be compared, and the day bar of the standing binds instead.
fn comes_before(advised_on: NaiveDate, flag: &FlagHeld, returned_on: NaiveDate) -> bool {
    flag.raised_on.is_some_and(|raised| raised <= returned_on && advised_on < raised)
}

#[cfg(test)]
mod tests {
    use super::*;

    type Change = fn(&mut ReturnAnswers);

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn flag(raised_on: &str) -> FlagHeld {
        FlagHeld {
            entry: "f".into(),
            flags: vec!["locking".into()],
            tier: 3,
            regions: vec!["knee".into()],
            raised_on: Some(day(raised_on)),
            offset_min: Some(0),
        }
    }

    fn answers() -> ReturnAnswers {
        ReturnAnswers {
            flag: "f".into(),
            advised_by: "a physiotherapist".into(),
            advised_on: "2026-03-09".into(),
            limits: "no deep knee bend until April".into(),
            regions_still_out: vec!["knee".into()],
        }
    }

    #[test]
    fn a_return_is_recorded_as_told() {
        let c = Catalogue::builtin().unwrap();
        let given = Return::given(&c, &[flag("2026-03-03")], &answers(), day("2026-03-10")).unwrap();
        assert_eq!(given.limits, "no deep knee bend until April");
        assert!(given.has_limits());
        assert!(given.answers(&flag("2026-03-03"), day("2026-03-10")));
        assert!(!given.answers(&flag("2026-03-03"), day("2026-03-09")), "not before it was recorded");
        assert!(!given.answers(&FlagHeld { entry: "g".into(), ..flag("2026-03-03") }, day("2026-03-10")));
    }

    #[test]
    fn each_bad_answer_names_its_field_and_a_remedy() {
        let c = Catalogue::builtin().unwrap();
        let cases: [(FaultCode, &str, Change); 9] = [
            (FaultCode::NoSuchFlag, "flag", |a| a.flag = "g".into()),
            (FaultCode::Missing, "advised_by", |a| a.advised_by = " ".into()),
            (FaultCode::Malformed, "advised_by", |a| a.advised_by = "x".repeat(201)),
            (FaultCode::Missing, "limits", |a| a.limits = "\n".into()),
            (FaultCode::Malformed, "limits", |a| a.limits = "x".repeat(4001)),
            (FaultCode::Malformed, "advised_on", |a| a.advised_on = "yesterday".into()),
            (FaultCode::InTheFuture, "advised_on", |a| a.advised_on = "2026-03-11".into()),
            (FaultCode::TooEarly, "advised_on", |a| a.advised_on = "2026-03-02".into()),
            (FaultCode::Unknown, "regions_still_out[0]", |a| a.regions_still_out = vec!["tail".into()]),
        ];
        for (code, field, change) in cases {
            let mut a = answers();
            change(&mut a);
            let faults = Return::given(&c, &[flag("2026-03-03")], &a, day("2026-03-10")).unwrap_err();
            assert_eq!(faults.len(), 1, "{faults:?}");
            assert_eq!((faults[0].code, faults[0].field.as_str()), (code, field));
            assert!(!faults[0].remedy.is_empty());
        }
    }

    #[test]
    fn a_stored_return_that_was_deleted_or_damaged_does_not_count() {
        let c = Catalogue::builtin().unwrap();
        let sound: BTreeMap<String, Value> = BTreeMap::from([
            ("flag".into(), "f".into()),
            ("advised_by".into(), "a physician".into()),
            ("advised_on".into(), "2026-03-09".into()),
            ("limits".into(), NO_LIMITS.into()),
            ("returned_at".into(), "2026-03-10T08:00:00+01:00".into()),
        ]);
        let flags = [flag("2026-03-03")];
        let read = Return::read(&c, &flags, "r", &sound).unwrap();
        assert!(!read.has_limits());
        assert_eq!(read.entry, "r");
        let bad: [(&str, Value); 9] = [
            ("deleted", true.into()),
            ("deleted", "yes".into()),
            ("returned_at", Value::Null),
            ("returned_at", "2026-03-08T08:00:00Z".into()),
            ("advised_by", Value::Null),
            ("advised_on", "2019-01-01".into()),
            ("limits", Value::Null),
            ("regions_still_out", "knee".into()),
            ("regions_still_out", vec![Value::from(3)].into()),
        ];
        for (key, value) in bad {
            let mut fields = sound.clone();
            fields.insert(key.into(), value.clone());
            assert!(Return::read(&c, &flags, "r", &fields).is_err(), "{key} {value}");
        }
    }
}
