//! Operations: region, day, and the surgeon's written limits. Until those are entered nothing loads the region.

use super::advice::Advised;
use super::typed::Typed;
use super::{Did, Making, No, yes_or_no};
use crate::companion::error::CompanionError;
use crate::companion::{Companion, Moment};
use crate::page::{Deed, Keys, Spot};
use crate::record::{Advice, Date, ScreeningFields, Surgery};

/// Most operations that are kept.
const MOST: usize = 20;

fn held(surgery: Option<&Surgery>) -> Advised {
    let advice = surgery.and_then(|s| s.advice.clone()).unwrap_or_default();
    Advised {
        by: advice.by,
        on: advice.on.map(|d| d.to_string()),
        limits: advice.limits,
        regions_out: advice.regions_out,
    }
}

impl Companion {
    /// The operations as told last.
    fn surgeries(&self) -> Result<Vec<Surgery>, CompanionError> {
        Ok(self.newest_screening(|f| f.surgery)?.unwrap_or_default())
    }

    pub(super) fn surgeries_page(&self) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-surgeries", &[]));
        page.sentence(s.say("surgery-intro", &[]));
        let all = self.surgeries()?;
        for (k, one) in all.iter().enumerate() {
            let entered = one.advice.is_some();
            let limits =
                s.say(if entered { "surgery-limits-entered" } else { "surgery-limits-missing" }, &[]);
            let day = one.on.map(|d| s.date_with_year(d.0));
            let more = day.into_iter().chain([limits]).collect();
            page.line(s.region(&one.region), more, Spot::Surgery { position: k as u32 });
        }
        if all.len() < MOST {
            page.line(s.say("surgery-add", &[]), Vec::new(), Spot::Surgery { position: all.len() as u32 });
        }
        Ok(page)
    }

    /// Whether there is an operation at this position, or room for a new one.
    pub(super) fn has_surgery(&self, position: u32) -> Result<bool, CompanionError> {
        let n = self.surgeries()?.len();
        Ok(position as usize <= n && (position as usize) < MOST)
    }

    pub(super) fn surgery_page(&self, position: u32) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let spot = Spot::Surgery { position };
        let all = self.surgeries()?;
        let one = all.get(position as usize);
        let region = self.answer(&spot, "region", one.map(|o| o.region.as_str()));
        let title = region.as_ref().map_or_else(|| s.say("surgery-add", &[]), |r| s.region(r));
        let mut page = Making::new(s, title);
        let regions: Vec<String> = region.iter().cloned().collect();
        page.question("surgery-region", Vec::new(), self.regions_offered("region", &regions));
        let on = one.and_then(|o| o.on).map(|d| d.to_string());
        page.entry("on", "surgery-on", Keys::Date, self.answer(&spot, "on", on.as_deref()));
        page.heading("surgery-limits");
        page.sentence(s.say("surgery-limits-note", &[]));
        let before = held(one);
        let now = self.advised(&spot, &before);
        self.ask_advice(&mut page, &now, false);
        let out = self.surgery_still_out(&spot, one);
        page.question("surgery-still-out", Vec::new(), page.yes_no("still_out", out));
        page.deed("locker-keep", Deed::Keep, true);
        if one.is_some() {
            let sure = self.visit.asks_again(&spot);
            let label = match &region {
                Some(region) if sure => {
                    s.say("surgery-remove-sure", &[("region", (&s.region(region)).into())])
                }
                _ => s.say("surgery-remove", &[]),
            };
            page.action(label, Deed::Remove, false);
        }
        Ok(page)
    }

    fn surgery_still_out(&self, spot: &Spot, one: Option<&Surgery>) -> Option<bool> {
        let told = one.and_then(|o| Some(o.advice.as_ref()?.regions_out.contains(&o.region)));
        let told = told.map(|out| if out { "yes" } else { "no" });
        self.answer(spot, "still_out", told).map(|v| v == "yes")
    }

    pub(super) fn choose_in_surgery(
        &mut self,
        position: u32,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        let spot = Spot::Surgery { position };
        let today = moment.local().date_naive();
        let all = self.surgeries()?;
        match field {
            "region" => {
                self.known_region(value)?;
                self.visit.draft(&spot, field, value);
            }
            "on" => {
                let day = Typed::new(&self.speech, "surgery-on", value).past(today)?;
                self.visit.draft(&spot, field, day.to_string());
            }
            "still_out" => {
                yes_or_no(value)?;
                self.visit.draft(&spot, field, value);
            }
            "regions_out" => return Err(No::Field(field.to_owned())),
            _ => {
                if !self.choose_advice(&spot, field, value, &held(all.get(position as usize)), today)? {
                    return Err(No::Field(field.to_owned()));
                }
            }
        }
        Ok(())
    }

    /// Keeps the operation. Limits count only as a whole: who wrote them, when, in words, and after the operation.
    pub(super) fn keep_surgery(&mut self, position: u32, moment: &Moment) -> Result<Did, No> {
        let spot = Spot::Surgery { position };
        let mut all = self.surgeries()?;
        let one = all.get(position as usize).cloned();
        let region = self.answer(&spot, "region", one.as_ref().map(|o| o.region.as_str()));
        let region = region.ok_or_else(|| self.missing("surgery-region"))?;
        let on = one.as_ref().and_then(|o| o.on).map(|d| d.to_string());
        let on = self.answer(&spot, "on", on.as_deref()).and_then(|d| d.parse::<Date>().ok());
        let on = on.ok_or_else(|| self.missing("surgery-on"))?;
        let now = self.advised(&spot, &held(one.as_ref()));
        let advice = if now.told() {
            let (by, advised_on) = self.by_and_on(&now)?;
            let limits = now.limits.clone().ok_or_else(|| self.missing("return-limits"))?;
            if advised_on < on.0 {
                return Err(self.too_early("return-advised-on", advised_on, on.0));
            }
            let out = self.surgery_still_out(&spot, one.as_ref());
            let out = out.ok_or_else(|| self.missing("surgery-still-out"))?;
            Some(Advice {
                by: Some(by),
                on: Some(Date(advised_on)),
                limits: Some(limits),
                regions_out: if out { vec![region.clone()] } else { Vec::new() },
                ..Advice::default()
            })
        } else {
            None
        };
        let told = Surgery { region, on: Some(on), advice };
        match all.get_mut(position as usize) {
            Some(there) => *there = told,
            None => all.push(told),
        }
        self.keep_surgeries(all, moment)
    }

    /// Takes an operation off the list, once that was touched twice.
    pub(super) fn remove_surgery(&mut self, position: u32, moment: &Moment) -> Result<Did, No> {
        let spot = Spot::Surgery { position };
        let mut all = self.surgeries()?;
        if position as usize >= all.len() {
            return Err(No::NotHere);
        }
        if !self.visit.second_touch(&spot) {
            return Ok(Did::default());
        }
        all.remove(position as usize);
        self.keep_surgeries(all, moment)
    }

    fn keep_surgeries(&mut self, all: Vec<Surgery>, moment: &Moment) -> Result<Did, No> {
        let answers = ScreeningFields { surgery: Some(all), ..ScreeningFields::default() };
        self.answer_screening(answers, moment)?;
        self.visit.drop_draft();
        self.visit.open(Spot::Surgeries);
        self.visit.told.push(self.speech.say("locker-kept", &[]));
        Ok(Did::default())
    }
}
