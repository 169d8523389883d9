//! The self-screening: one question after another, each with why it is asked, and what the published logic says.

use super::typed::Typed;
use super::{Did, Making, No, yes_or_no};
use crate::companion::{Companion, Moment};
use crate::page::{Deed, Keys, Spot};
use crate::record::{Answer, Clearance, Date, ScreeningFields};
use crate::safety::{Intensity, LONGEST_NAME, Outcome};
use chrono::NaiveDate;

/// The fields of the three questions, with their words and why they are asked.
const QUESTIONS: [(&str, &str, &str); 3] = [
    ("regular_exercise", "screening-question-regular-exercise", "screening-why-regular-exercise"),
    ("known_disease", "screening-question-known-disease", "screening-why-known-disease"),
    ("signs_or_symptoms", "screening-question-signs-or-symptoms", "screening-why-signs-or-symptoms"),
];
const ALLOWED: [(&str, &str, Clearance); 3] = [
    ("none", "screening-allowed-none", Clearance::None),
    ("light_to_moderate", "screening-allowed-light", Clearance::LightToModerate),
    ("any", "screening-allowed-any", Clearance::Any),
];

/// A yes or no as the record keeps it.
pub(super) const fn as_answer(yes: bool) -> Answer {
    if yes { Answer::Yes } else { Answer::No }
}

impl Companion {
    fn answered(&self) -> [Option<bool>; 3] {
        let a = &self.known.standing.screening;
        [a.regular_exercise, a.known_disease, a.signs_or_symptoms]
    }

    fn outcome(&self, today: NaiveDate) -> Outcome<'_> {
        self.known.standing.screened(&self.shelf.rules, today)
    }

    pub(super) fn screening_page(&self, moment: &Moment) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-screening", &[]));
        page.sentence(s.say("screening-intro", &[]));
        for ((field, key, why), now) in QUESTIONS.into_iter().zip(self.answered()) {
            page.question(key, vec![s.say(why, &[])], page.yes_no(field, now));
            if now.is_none() {
                page.caution(vec![s.say("screening-open", &[])]);
                return page;
            }
        }
        let outcome = self.outcome(moment.local().date_naive());
        if let Some(row) = outcome.row {
            page.heading("screening-outcome");
            page.sentence(s.say(&row.words, &[]));
            page.sentence(s.say("screening-source", &[("source", (&row.citation).into())]));
        }
        match outcome.intensity {
            Intensity::Stop => page.caution(vec![s.say("barred-clearance-first", &[])]),
            Intensity::LightToModerate => page.caution(vec![s.say("caution-light-only", &[])]),
            Intensity::StartLight => page.sentence(s.say("caution-start-light", &[])),
            Intensity::Any => {}
        }
        let clearance = self.known.standing.screening.clearance.as_ref();
        let asks = outcome.row.is_some_and(|r| r.until_cleared < r.after_clearance);
        if asks || clearance.is_some() {
            self.ask_clearance(&mut page, &outcome);
        }
        page.line(s.say("pages-brief", &[]), vec![s.say("screening-week-after", &[])], Spot::Brief);
        page
    }

    /// Who allowed what, and when; it counts once it is kept.
    fn ask_clearance(&self, page: &mut Making<'_>, outcome: &Outcome<'_>) {
        let held = self.known.standing.screening.clearance.as_ref();
        if let Some((by, on)) = held.and_then(|c| Some((&c.by, c.on?))) {
            page.sentence(self.recorded(by, on));
            if !outcome.clearance_held {
                page.sentence(self.speech.say("screening-not-held", &[]));
            }
        }
        let what = self.clearance_drafted();
        let buttons = ALLOWED.map(|(id, key, _)| page.pick("allowed", id, key, what.as_deref() == Some(id)));
        page.question("screening-advised-what", Vec::new(), buttons.to_vec());
        let (by, on) = (held.map(|c| c.by.as_str()), held.and_then(|c| c.on).map(|d| d.to_string()));
        let by = self.answer(&Spot::Screening, "advised_by", by);
        let on = self.answer(&Spot::Screening, "advised_on", on.as_deref());
        page.entry("advised_by", "screening-advised-by", Keys::Words, by);
        page.entry("advised_on", "screening-advised-on", Keys::Date, on);
        page.deed("locker-keep", Deed::Keep, true);
    }

    fn clearance_drafted(&self) -> Option<String> {
        let held = self.known.standing.screening.clearance.as_ref().map(|c| match c.may {
            Intensity::Stop => "none",
            Intensity::LightToModerate => "light_to_moderate",
            Intensity::StartLight | Intensity::Any => "any",
        });
        self.answer(&Spot::Screening, "allowed", held)
    }

    pub(super) fn choose_in_screening(
        &mut self,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        if let Some(k) = QUESTIONS.iter().position(|(id, _, _)| *id == field) {
            let yes = yes_or_no(value)?;
            // The same answer again is no later one: it must not outdate what licensed care said since.
            if self.answered()[k] == Some(yes) {
                return Ok(());
            }
            let mut answers = ScreeningFields::default();
            let to = match k {
                0 => &mut answers.regular_exercise,
                1 => &mut answers.known_disease,
                _ => &mut answers.signs_or_symptoms,
            };
            *to = Some(as_answer(yes));
            self.answer_screening(answers, moment)?;
            return Ok(());
        }
        let kept = match field {
            "allowed" if ALLOWED.iter().any(|(id, _, _)| *id == value) => value.to_owned(),
            "allowed" => return Err(No::Field("value".into())),
            "advised_by" => Typed::new(&self.speech, "screening-advised-by", value).words(LONGEST_NAME)?,
            "advised_on" => {
                let today = moment.local().date_naive();
                Typed::new(&self.speech, "screening-advised-on", value).past(today)?.to_string()
            }
            _ => return Err(No::Field(field.to_owned())),
        };
        self.visit.draft(&Spot::Screening, field, kept);
        Ok(())
    }

    /// Keeps what licensed care allowed.
    pub(super) fn keep_clearance(&mut self, moment: &Moment) -> Result<Did, No> {
        let what = self.clearance_drafted().ok_or_else(|| self.missing("screening-advised-what"))?;
        let (_, _, clearance) = ALLOWED.into_iter().find(|(id, _, _)| *id == what).ok_or(No::NotHere)?;
        let held = self.known.standing.screening.clearance.clone();
        let by = self.answer(&Spot::Screening, "advised_by", held.as_ref().map(|c| c.by.as_str()));
        let on = held.and_then(|c| c.on).map(|d| d.to_string());
        let on = self.answer(&Spot::Screening, "advised_on", on.as_deref());
        if clearance != Clearance::None {
            if by.is_none() {
                return Err(self.missing("screening-advised-by"));
            }
            if on.is_none() {
                return Err(self.missing("screening-advised-on"));
            }
        }
        let answers = ScreeningFields {
            clearance: Some(clearance),
            cleared_by: by,
            cleared_on: on.and_then(|d| d.parse().ok()).map(Date),
            ..ScreeningFields::default()
        };
        self.answer_screening(answers, moment)?;
        self.visit.drop_draft();
        self.visit.told.push(self.speech.say("locker-kept", &[]));
        Ok(Did::default())
    }
}
