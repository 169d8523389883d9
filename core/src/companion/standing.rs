//! What the record says of a lifter's safety. What cannot be read counts as the more cautious.

use super::known::{fields_of, setting_bool, setting_u32};
use crate::catalogue::Catalogue;
use crate::record::{
    self, Answer, DiscomfortFields, Entry, GrantFields, History, Kind, LifterFields, ScreeningFields, View,
};
use crate::safety::{
    Answers, BreathHistory, CareLimits, Clearance, Discomfort, FlagHeld, GuardianGrant, Intensity, Maternity,
    Return, Rules, Standing, Surgery, SurgeryLimits,
};
use crate::terms;
use chrono::NaiveDate;
use serde_json::Value;
use std::collections::BTreeMap;

/// A guardian's consent to a minor's training: a grant whose `may` holds this word and whose `to` is the guardian.
pub(super) const TRAIN: &str = "train";

/// Entries by kind, deleted ones too where they still count.
pub(super) struct SafetyEntries {
    pub(super) lifter: Vec<Entry>,
    pub(super) screening: Vec<Entry>,
    pub(super) discomfort: Vec<Entry>,
    pub(super) flag: Vec<Entry>,
    pub(super) returned: Vec<Entry>,
    pub(super) grant: Vec<Entry>,
}

fn yes(answer: Option<Answer>) -> Option<bool> {
    answer.map(|a| a == Answer::Yes)
}

pub(super) fn standing(
    rules: &Rules,
    catalogue: &Catalogue,
    entries: &SafetyEntries,
    settings: &BTreeMap<String, Value>,
    beginner: bool,
) -> Standing {
    let born_on = living(&entries.lifter).filter_map(|e| LifterFields::read(e).0.born_on).map(|d| d.0).last();
    let mut s = Standing {
        born_on,
        says_minor: setting_bool(settings, "minor"),
        age_of_the_place: setting_u32(settings, "age_of_the_place").unwrap_or(terms::ADULT_YEARS),
        beginner,
        ..Standing::default()
    };
    s.bail_outs_taught = settings
        .iter()
        .filter(|(_, v)| **v == Value::Bool(true))
        .filter_map(|(k, _)| k.strip_prefix("bail_out_taught.").map(ToOwned::to_owned))
        .collect();
    // The newest answer of each question stands; an older entry fills what the newest leaves open.
    let mut screenings: Vec<ScreeningFields> =
        living(&entries.screening).map(|e| ScreeningFields::read(e).0).collect();
    screenings.sort_by_key(|f| f.answered_at.as_ref().map_or(i64::MIN, record::Time::millis));
    for f in screenings {
        read_screening(&mut s, f);
    }
    s.discomforts = living(&entries.discomfort)
        .filter_map(|e| {
            let f = DiscomfortFields::read(e).0;
            Some(Discomfort {
                region: f.region?,
                severity: match f.severity {
                    Some(record::Severity::Mild) => 1,
                    Some(record::Severity::Moderate) => 2,
                    _ => 3,
                },
                new_or_worse: f.nature != Some(record::Nature::Usual),
                since: f.since.map(|t| t.date()),
                until: f.until.map(|t| t.date()),
            })
        })
        .collect();
    // Deleted or not: a confirmed flag is lifted by nothing but a return.
    s.flags = entries.flag.iter().map(|e| FlagHeld::read(rules, &e.id.to_string(), &fields_of(e))).collect();
    s.returns = (entries.returned.iter())
        .filter_map(|e| Return::read(catalogue, &s.flags, &e.id.to_string(), &fields_of(e)).ok())
        .collect();
    s.guardian = living(&entries.grant)
        .map(|e| GrantFields::read(e).0)
        .filter(|f| f.may.as_ref().is_some_and(|m| m.iter().any(|w| w == TRAIN)))
        .filter_map(|f| {
            Some(GuardianGrant {
                by: f.to?,
                from: f.from?.date(),
                until: f.until.map(|t| t.date()),
                withdrawn: f.withdrawn_at.is_some(),
            })
        })
        .last();
    s
}

fn living(entries: &[Entry]) -> impl Iterator<Item = &Entry> {
    entries.iter().filter(|e| !e.deleted() && e.kind != Kind::Flag)
}

fn read_screening(s: &mut Standing, f: ScreeningFields) {
    let answered_on: Option<NaiveDate> = f.answered_at.as_ref().map(record::Time::date);
    let a: &mut Answers = &mut s.screening;
    let mut told = false;
    for (to, from) in [
        (&mut a.regular_exercise, f.regular_exercise),
        (&mut a.known_disease, f.known_disease),
        (&mut a.signs_or_symptoms, f.signs_or_symptoms),
    ] {
        if let Some(answer) = yes(from) {
            *to = Some(answer);
            told = true;
        }
    }
    if told {
        a.answered_on = answered_on.or(a.answered_on);
    }
    if let Some(c) = f.clearance {
        let may = match c {
            record::Clearance::None => None,
            record::Clearance::LightToModerate => Some(Intensity::LightToModerate),
            record::Clearance::Any => Some(Intensity::Any),
        };
        let (by, on) = (f.cleared_by.unwrap_or_default(), f.cleared_on.map(|d| d.0));
        a.clearance = may.map(|may| Clearance { may, by, on });
    }
    if let Some(histories) = f.breath {
        s.breath = BreathHistory {
            blood_pressure: histories.contains(&History::BloodPressure),
            heart: histories.contains(&History::Heart),
            eye: histories.contains(&History::Eye),
            hernia: histories.contains(&History::Hernia),
        };
    }
    if let Some(p) = f.pregnancy {
        s.maternity = (p.pregnant == Some(Answer::Yes))
            .then(|| Maternity { birth_on: None, limits: p.advice.and_then(care_limits) });
    }
    if let Some(b) = f.after_birth
        && let Some(on) = b.on
    {
        s.maternity = Some(Maternity { birth_on: Some(on.0), limits: b.advice.and_then(care_limits) });
    }
    if let Some(all) = f.surgery {
        s.surgery = all.into_iter().map(surgery).collect();
    }
}

fn care_limits(a: record::Advice) -> Option<CareLimits> {
    let flat = a.lying_flat == Some(Answer::Yes);
    Some(CareLimits {
        advised_by: a.by?,
        advised_on: a.on?.0,
        review_on: a.review_on?.0,
        back_allowed: flat,
        front_allowed: flat,
        light_to_moderate: false,
        regions_out: a.regions_out,
        text: a.limits.unwrap_or_default(),
    })
}

fn surgery(s: record::Surgery) -> Surgery {
    let limits = s.advice.and_then(|a| {
        Some(SurgeryLimits {
            advised_by: a.by?,
            advised_on: a.on?.0,
            text: a.limits?,
            still_out: a.regions_out.contains(&s.region),
        })
    });
    // Without a day no written limits can be later than it: the region stays out.
    Surgery { region: s.region, on: s.on.map_or(NaiveDate::MAX, |d| d.0), limits }
}
