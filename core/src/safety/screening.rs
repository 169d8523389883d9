//! The self-screening: three answers, the published outcome, and what may be trained until clearance.
//!
//! The logic is that of Riebe et al. 2015 (doi:10.1249/MSS.0000000000000664), row by row in `screening.csv`.
//! The questions are our own words.

use super::rules;
use crate::catalogue::Fault;
use chrono::{Months, NaiveDate};
use serde::{Deserialize, Serialize};

const FILE: &str = "screening.csv";

/// What may be trained; ordered from least to most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Intensity {
    /// Nothing until clearance.
    Stop,
    /// Light to moderate work only.
    LightToModerate,
    /// Start light to moderate; vigorous work may follow by progress.
    StartLight,
    /// Any.
    Any,
}

/// An answer that a row asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Asked {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Either.
    Any,
}

impl Asked {
    /// Whether an answer fits; one that is not given fits all.
    fn fits(self, answer: Option<bool>) -> bool {
        match (self, answer) {
            (Self::Any, _) | (_, None) => true,
            (Self::Yes, Some(a)) => a,
            (Self::No, Some(a)) => !a,
        }
    }
}

/// One published outcome.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Id, for ever.
    pub id: String,
    /// Regular exercise: at least 30 minutes of moderate work on three days a week for three months.
    pub regular_exercise: Asked,
    /// Known cardiovascular, metabolic or renal disease.
    pub known_disease: Asked,
    /// Signs or symptoms of it.
    pub signs_or_symptoms: Asked,
    /// Clearance, as published.
    pub clearance: String,
    /// Intensity, as published.
    pub start_intensity: String,
    /// What may be trained until clearance.
    pub until_cleared: Intensity,
    /// What may be trained after it.
    pub after_clearance: Intensity,
    /// Months that a clearance holds, where the publication says so.
    pub clearance_months: Option<u32>,
    /// The key of its words.
    pub words: String,
    /// The publication.
    pub citation: String,
    /// What of it was read.
    pub provenance: String,
}

pub(super) fn read(text: &str, faults: &mut Vec<Fault>) -> Vec<Row> {
    let read: Vec<(usize, Row)> = rules::rows(FILE, text, faults);
    rules::once(FILE, "id", read.iter().map(|(k, r)| (*k, r.id.as_str())), faults);
    rules::once(FILE, "words", read.iter().map(|(k, r)| (*k, r.words.as_str())), faults);
    for (k, r) in &read {
        if r.until_cleared > r.after_clearance {
            let problem = "more may be trained without clearance than with it";
            faults.push(rules::fault(
                FILE,
                *k,
                "until_cleared",
                problem,
                "give no more than after_clearance",
            ));
        }
        if r.citation.trim().is_empty() {
            faults.push(rules::fault(FILE, *k, "citation", "empty", "name the publication"));
        }
    }
    for combination in 0..8u8 {
        let [a, b, c] = [1, 2, 4].map(|bit| Some(combination & bit != 0));
        let fitting = read.iter().filter(|(_, r)| r.fits(a, b, c)).count();
        if fitting != 1 {
            let problem = format!("{fitting} rows for exercise {a:?}, disease {b:?}, symptoms {c:?}");
            faults.push(rules::fault(FILE, 1, "row", problem, "have exactly one for each three answers"));
        }
    }
    read.into_iter().map(|(_, r)| r).collect()
}

impl Row {
    fn fits(&self, regular: Option<bool>, disease: Option<bool>, symptoms: Option<bool>) -> bool {
        self.regular_exercise.fits(regular)
            && self.known_disease.fits(disease)
            && self.signs_or_symptoms.fits(symptoms)
    }

    /// Whether clearance is advised before anything or before vigorous work.
    pub fn clearance_advised(&self) -> bool {
        self.until_cleared < Intensity::StartLight
    }
}

/// What licensed care allowed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clearance {
    /// The most that was allowed: `stop`, `light_to_moderate`, or more.
    pub may: Intensity,
    /// Who gave it, in the lifter's words.
    pub by: String,
    /// When; a clearance without a date takes away and gives nothing.
    pub on: Option<NaiveDate>,
}

/// The answers to the self-screening.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Answers {
    /// Regular exercise.
    pub regular_exercise: Option<bool>,
    /// Known cardiovascular, metabolic or renal disease.
    pub known_disease: Option<bool>,
    /// Signs or symptoms.
    pub signs_or_symptoms: Option<bool>,
    /// When they were last changed.
    pub answered_on: Option<NaiveDate>,
    /// What licensed care allowed.
    pub clearance: Option<Clearance>,
}

/// What the answers lead to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Outcome<'a> {
    /// The published row; `None` while the answers leave it open.
    pub row: Option<&'a Row>,
    /// What may be trained now.
    pub intensity: Intensity,
    /// A clearance that the row asks for is there.
    pub clearance_held: bool,
}

impl Answers {
    /// Whether all three questions are answered.
    pub fn complete(&self) -> bool {
        [self.regular_exercise, self.known_disease, self.signs_or_symptoms].iter().all(Option::is_some)
    }

    /// The outcome on `today`.
    ///
    /// Open answers allow light to moderate work, or nothing where every row that still fits says so. What care
    /// takes away binds whatever its date; what it allows needs a date that is not to come, that is not before
    /// the answers where there are symptoms, and that is no older than the row lets it be.
    pub fn outcome<'a>(&self, rows: &'a [Row], today: NaiveDate) -> Outcome<'a> {
        let fitting = |r: &&Row| r.fits(self.regular_exercise, self.known_disease, self.signs_or_symptoms);
        let fitting: Vec<&Row> = rows.iter().filter(fitting).collect();
        let row = if let [one] = fitting.as_slice() { Some(*one) } else { None };
        let held = row.is_some_and(|r| self.clearance_holds(r, today));
        let open = match row {
            Some(r) if held => r.after_clearance,
            Some(r) => r.until_cleared,
            None => {
                let most = fitting.iter().map(|r| r.until_cleared).max().unwrap_or(Intensity::Stop);
                most.min(Intensity::LightToModerate)
            }
        };
        let intensity = self.clearance.as_ref().map_or(open, |c| open.min(c.may));
        Outcome { row, intensity, clearance_held: held }
    }

    fn clearance_holds(&self, row: &Row, today: NaiveDate) -> bool {
        let Some(clearance) = &self.clearance else { return false };
        let Some(on) = clearance.on.filter(|on| *on <= today) else { return false };
        let answers_them = row.signs_or_symptoms != Asked::Yes || self.answered_on.is_some_and(|a| on >= a);
        let recent = row
            .clearance_months
            .is_none_or(|m| today.checked_sub_months(Months::new(m)).is_some_and(|oldest| on >= oldest));
        clearance.may > Intensity::Stop && !clearance.by.trim().is_empty() && answers_them && recent
    }
}

#[cfg(test)]
mod tests {
    use super::super::Rules;
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn answers(regular: Option<bool>, disease: Option<bool>, symptoms: Option<bool>) -> Answers {
        Answers {
            regular_exercise: regular,
            known_disease: disease,
            signs_or_symptoms: symptoms,
            answered_on: Some(day("2026-03-01")),
            clearance: None,
        }
    }

    fn cleared(a: &Answers, may: Intensity, on: &str) -> Answers {
        Answers {
            clearance: Some(Clearance { may, by: "a physician".into(), on: Some(day(on)) }),
            ..a.clone()
        }
    }

    /// Every combination of answers, with the published row, what may be trained without clearance, and with.
    /// Written out by hand from the publication's outcomes, not from the file.
    #[test]
    fn every_combination_of_answers_leads_to_the_published_row() {
        use Intensity::{Any, LightToModerate as Light, StartLight as Start, Stop};
        let (y, n, o) = (Some(true), Some(false), None);
        let table = [
            (n, n, n, "not_regular_none", Start, Start),
            (n, y, n, "not_regular_disease", Stop, Start),
            (n, n, y, "not_regular_symptoms", Stop, Start),
            (n, y, y, "not_regular_symptoms", Stop, Start),
            (n, o, y, "not_regular_symptoms", Stop, Start),
            (y, n, n, "regular_none", Any, Any),
            (y, y, n, "regular_disease", Light, Any),
            (y, n, y, "regular_symptoms", Stop, Any),
            (y, y, y, "regular_symptoms", Stop, Any),
            (y, o, y, "regular_symptoms", Stop, Any),
            (o, o, o, "", Light, Light),
            (o, o, n, "", Light, Light),
            (o, o, y, "", Stop, Stop),
            (o, n, o, "", Light, Light),
            (o, n, n, "", Light, Light),
            (o, n, y, "", Stop, Stop),
            (o, y, o, "", Light, Light),
            (o, y, n, "", Light, Light),
            (o, y, y, "", Stop, Stop),
            (n, o, o, "", Light, Light),
            (n, o, n, "", Light, Light),
            (n, n, o, "", Light, Light),
            (n, y, o, "", Stop, Stop),
            (y, o, o, "", Light, Light),
            (y, o, n, "", Light, Light),
            (y, n, o, "", Light, Light),
            (y, y, o, "", Light, Light),
        ];
        let rules = Rules::builtin().unwrap();
        let rows = &rules.screening;
        let today = day("2026-03-10");
        let mut seen = std::collections::BTreeSet::new();
        for (regular, disease, symptoms, id, without, with) in table {
            assert!(seen.insert((regular, disease, symptoms)));
            let a = answers(regular, disease, symptoms);
            let out = a.outcome(rows, today);
            let told = format!("{regular:?} {disease:?} {symptoms:?}");
            assert_eq!(out.row.map_or("", |r| r.id.as_str()), id, "{told}");
            assert_eq!(out.intensity, without, "{told}");
            assert_eq!(cleared(&a, Any, "2026-03-05").outcome(rows, today).intensity, with, "{told}");
            let light = cleared(&a, Light, "2026-03-05").outcome(rows, today).intensity;
            assert_eq!(light, with.min(Light), "{told}");
            let refused = cleared(&a, Stop, "2026-03-05").outcome(rows, today).intensity;
            assert_eq!(refused, Stop, "{told}: care that allows nothing is obeyed");
        }
        assert_eq!(seen.len(), 27);
    }

    #[test]
    fn a_clearance_that_is_to_come_undated_unsigned_or_before_the_symptoms_allows_nothing() {
        let rules = Rules::builtin().unwrap();
        let a = answers(Some(true), Some(false), Some(true));
        let today = day("2026-03-10");
        let intensity = |a: &Answers| a.outcome(&rules.screening, today).intensity;
        assert_eq!(intensity(&cleared(&a, Intensity::Any, "2026-03-11")), Intensity::Stop);
        assert_eq!(intensity(&cleared(&a, Intensity::Any, "2026-02-28")), Intensity::Stop);
        let mut undated = cleared(&a, Intensity::Any, "2026-03-05");
        undated.clearance.as_mut().unwrap().on = None;
        assert_eq!(intensity(&undated), Intensity::Stop);
        let mut unsigned = cleared(&a, Intensity::Any, "2026-03-05");
        unsigned.clearance.as_mut().unwrap().by = " ".into();
        assert_eq!(intensity(&unsigned), Intensity::Stop);
    }

    #[test]
    fn for_vigorous_work_a_clearance_holds_twelve_months() {
        let rules = Rules::builtin().unwrap();
        let a = answers(Some(true), Some(true), Some(false));
        let at =
            |on: &str| cleared(&a, Intensity::Any, on).outcome(&rules.screening, day("2026-03-10")).intensity;
        assert_eq!(at("2025-03-10"), Intensity::Any);
        assert_eq!(at("2025-03-09"), Intensity::LightToModerate);
    }

    #[test]
    fn the_file_holds_the_six_published_rows_with_their_source() {
        let rules = Rules::builtin().unwrap();
        assert_eq!(rules.screening.len(), 6);
        for r in &rules.screening {
            assert!(r.citation.contains("10.1249/MSS.0000000000000664") && r.provenance.starts_with("seen:"));
        }
    }
}
