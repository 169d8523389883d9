//! Pregnancy and the time after a birth: private, voluntary, and led by the clinician's limits.

use super::advice::Advised;
use super::screening::as_answer;
use super::typed::Typed;
use super::{Did, Making, No, yes_or_no};
use crate::companion::error::CompanionError;
use crate::companion::{Companion, Moment};
use crate::page::{Deed, Keys, Spot};
use crate::record::{Advice, AfterBirth, Answer, Date, Pregnancy, ScreeningFields};
use chrono::NaiveDate;

const STATES: [(&str, &str); 3] = [
    ("pregnant", "maternity-pregnant"),
    ("after_birth", "maternity-after-birth"),
    ("none", "maternity-none"),
];

/// What was told last.
#[derive(Debug, Default)]
struct Told {
    state: Option<&'static str>,
    due_on: Option<Date>,
    birth_on: Option<Date>,
    advice: Advice,
}

impl Told {
    fn held(&self) -> Advised {
        Advised {
            by: self.advice.by.clone(),
            on: self.advice.on.map(|d| d.to_string()),
            limits: self.advice.limits.clone(),
            regions_out: self.advice.regions_out.clone(),
        }
    }
}

impl Companion {
    fn maternity_told(&self) -> Result<Told, CompanionError> {
        let newest = self.newest_screening(|f| match (f.pregnancy, f.after_birth) {
            (None, None) => None,
            both => Some(both),
        })?;
        let Some((pregnancy, after)) = newest else { return Ok(Told::default()) };
        if let Some(after) = after.filter(|a| a.on.is_some()) {
            let advice = after.advice.unwrap_or_default();
            return Ok(Told { state: Some("after_birth"), birth_on: after.on, advice, ..Told::default() });
        }
        let pregnancy = pregnancy.unwrap_or_default();
        let state = if pregnancy.pregnant == Some(Answer::Yes) { "pregnant" } else { "none" };
        let advice = pregnancy.advice.unwrap_or_default();
        Ok(Told { state: Some(state), due_on: pregnancy.due_on, advice, ..Told::default() })
    }

    fn maternity_state(&self, told: &Told) -> Option<String> {
        self.answer(&Spot::Maternity, "state", told.state)
    }

    /// What was advised before a birth no longer holds after it, so it is not offered again.
    fn maternity_held(&self, told: &Told) -> Advised {
        let state = self.maternity_state(told);
        if state.as_deref() == told.state { told.held() } else { Advised::default() }
    }

    pub(super) fn maternity_page(&self, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let spot = Spot::Maternity;
        let told = self.maternity_told()?;
        let state = self.maternity_state(&told);
        let mut page = Making::new(s, s.say("pages-maternity", &[]));
        page.sentence(s.say("maternity-intro", &[]));
        let states = STATES.map(|(id, key)| page.pick("state", id, key, state.as_deref() == Some(id)));
        page.question("maternity-state", Vec::new(), states.to_vec());
        let Some(state) = state else { return Ok(page) };
        if state == "none" {
            page.sentence(s.say("maternity-none-note", &[]));
            page.deed("locker-keep", Deed::Keep, true);
            return Ok(page);
        }
        let mut cautions = vec![s.say("caution-maternity-stop-signs", &[])];
        let today = moment.local().date_naive();
        if let Some(m) = &self.known.standing.maternity
            && m.limits_in_force(today).is_none()
        {
            let past = m.limits.as_ref().is_some_and(|l| l.review_on < today);
            cautions
                .push(s.say(if past { "caution-maternity-review-past" } else { "maternity-default" }, &[]));
        }
        if state == "after_birth" {
            cautions.push(s.say("caution-maternity-birth", &[]));
        }
        page.caution(cautions);
        let date =
            |field, held: Option<Date>| self.answer(&spot, field, held.map(|d| d.to_string()).as_deref());
        if state == "pregnant" {
            page.entry("due_on", "maternity-due-on", Keys::Date, date("due_on", told.due_on));
        } else {
            page.entry("birth_on", "maternity-birth-on", Keys::Date, date("birth_on", told.birth_on));
        }
        page.heading("maternity-advice");
        let before = self.maternity_held(&told);
        let now = self.advised(&spot, &before);
        self.ask_advice(&mut page, &now, true);
        let (review, flat) = self.review_and_flat(&told);
        page.entry("review_on", "maternity-review-on", Keys::Date, review);
        page.question("maternity-lying-flat", Vec::new(), page.yes_no("lying_flat", flat));
        page.deed("locker-keep", Deed::Keep, true);
        Ok(page)
    }

    fn review_and_flat(&self, told: &Told) -> (Option<String>, Option<bool>) {
        let same = self.maternity_state(told).as_deref() == told.state;
        let review = told.advice.review_on.filter(|_| same).map(|d| d.to_string());
        let flat = told.advice.lying_flat.filter(|_| same);
        let flat = flat.map(|a| if a == Answer::Yes { "yes" } else { "no" });
        (
            self.answer(&Spot::Maternity, "review_on", review.as_deref()),
            self.answer(&Spot::Maternity, "lying_flat", flat).map(|v| v == "yes"),
        )
    }

    pub(super) fn choose_in_maternity(
        &mut self,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        let today = moment.local().date_naive();
        let typed = |label| Typed::new(&self.speech, label, value);
        let empty = value.trim().is_empty();
        let kept = match field {
            "state" if STATES.iter().any(|(id, _)| *id == value) => value.to_owned(),
            "state" => return Err(No::Field("value".into())),
            "due_on" | "review_on" | "birth_on" if empty => String::new(),
            "due_on" => typed("maternity-due-on").date()?.to_string(),
            "review_on" => typed("maternity-review-on").date()?.to_string(),
            "birth_on" => typed("maternity-birth-on").past(today)?.to_string(),
            "lying_flat" => {
                yes_or_no(value)?;
                value.to_owned()
            }
            _ => {
                let told = self.maternity_told()?;
                let held = self.maternity_held(&told);
                if self.choose_advice(&Spot::Maternity, field, value, &held, today)? {
                    return Ok(());
                }
                return Err(No::Field(field.to_owned()));
            }
        };
        self.visit.draft(&Spot::Maternity, field, kept);
        Ok(())
    }

    /// Keeps what was answered, the advice only as a whole.
    pub(super) fn keep_maternity(&mut self, moment: &Moment) -> Result<Did, No> {
        let spot = Spot::Maternity;
        let told = self.maternity_told()?;
        let state = self.maternity_state(&told).ok_or_else(|| self.missing("maternity-state"))?;
        let day = |field, held: Option<Date>| {
            let text = self.answer(&spot, field, held.map(|d| d.to_string()).as_deref());
            text.and_then(|d| d.parse::<Date>().ok())
        };
        let mut answers = ScreeningFields::default();
        if state == "none" {
            answers.pregnancy = Some(Pregnancy { pregnant: Some(Answer::No), ..Pregnancy::default() });
        } else {
            let advice = self.maternity_advice(&told)?;
            let pregnant = state == "pregnant";
            let due_on = day("due_on", told.due_on).filter(|_| pregnant);
            answers.pregnancy = Some(Pregnancy {
                pregnant: Some(as_answer(pregnant)),
                due_on,
                advice: advice.clone().filter(|_| pregnant),
            });
            if !pregnant {
                let on = day("birth_on", told.birth_on).ok_or_else(|| self.missing("maternity-birth-on"))?;
                if let Some(early) = advice.as_ref().and_then(|a| a.on).filter(|d| *d <= on) {
                    return Err(self.too_early("return-advised-on", early.0, on.0));
                }
                answers.after_birth = Some(AfterBirth { on: Some(on), advice });
            }
        }
        self.answer_screening(answers, moment)?;
        self.visit.drop_draft();
        self.visit.told.push(self.speech.say("locker-kept", &[]));
        Ok(Did::default())
    }

    fn maternity_advice(&self, told: &Told) -> Result<Option<Advice>, No> {
        let now = self.advised(&Spot::Maternity, &self.maternity_held(told));
        let (review, flat) = self.review_and_flat(told);
        if !now.told() && review.is_none() && flat.is_none() {
            return Ok(None);
        }
        let (by, on) = self.by_and_on(&now)?;
        let review: Option<NaiveDate> = review.and_then(|d| d.parse().ok());
        let review = review.ok_or_else(|| self.missing("maternity-review-on"))?;
        if review < on {
            return Err(self.too_early("maternity-review-on", review, on));
        }
        let limits = now.limits.clone().ok_or_else(|| self.missing("return-limits"))?;
        Ok(Some(Advice {
            by: Some(by),
            on: Some(Date(on)),
            limits: Some(limits),
            regions_out: now.regions_out,
            lying_flat: flat.map(as_answer),
            review_on: Some(Date(review)),
        }))
    }
}
