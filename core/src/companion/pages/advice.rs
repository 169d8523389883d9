//! What licensed care advised, as several pages ask for it: who, when, with what limits, what stays out. Nothing of it
//! counts before it is kept as a whole.

use super::typed::Typed;
use super::{Making, No, pick, yes_or_no};
use crate::companion::Companion;
use crate::page::{Keys, PageButton, Spot};
use crate::safety::{LONGEST_LIMITS, LONGEST_NAME, NO_LIMITS};
use chrono::NaiveDate;

/// What was kept before, or what is about to be kept.
#[derive(Debug, Clone, Default)]
pub(super) struct Advised {
    pub(super) by: Option<String>,
    /// As `2026-05-03`.
    pub(super) on: Option<String>,
    pub(super) limits: Option<String>,
    pub(super) regions_out: Vec<String>,
}

impl Advised {
    /// Whether anything of it was told.
    pub(super) fn told(&self) -> bool {
        self.by.is_some() || self.on.is_some() || self.limits.is_some() || !self.regions_out.is_empty()
    }
}

impl Companion {
    /// An answer of a page: as given there and not kept yet, else as held; none where it was emptied.
    pub(super) fn answer(&self, spot: &Spot, field: &str, held: Option<&str>) -> Option<String> {
        let drafted = self.visit.drafted(spot, field).or(held)?;
        (!drafted.is_empty()).then(|| drafted.to_owned())
    }

    /// The same for a list of ids.
    pub(super) fn answers(&self, spot: &Spot, field: &str, held: &[String]) -> Vec<String> {
        match self.visit.drafted(spot, field) {
            Some(drafted) => drafted.split(',').filter(|id| !id.is_empty()).map(ToOwned::to_owned).collect(),
            None => held.to_vec(),
        }
    }

    /// The advice of a page, with what was held before.
    pub(super) fn advised(&self, spot: &Spot, held: &Advised) -> Advised {
        Advised {
            by: self.answer(spot, "advised_by", held.by.as_deref()),
            on: self.answer(spot, "advised_on", held.on.as_deref()),
            limits: self.answer(spot, "limits", held.limits.as_deref()),
            regions_out: self.answers(spot, "regions_out", &held.regions_out),
        }
    }

    /// Asks for it.
    pub(super) fn ask_advice(&self, page: &mut Making<'_>, now: &Advised, regions: bool) {
        page.entry("advised_by", "return-advised-by", Keys::Words, now.by.clone());
        page.entry("advised_on", "return-advised-on", Keys::Date, now.on.clone());
        let none = now.limits.as_deref() == Some(NO_LIMITS);
        page.entry("limits", "return-limits", Keys::Words, now.limits.clone().filter(|_| !none));
        let button = page.pick("no_limits", "yes", "return-no-limits", none);
        page.question("return-limits", Vec::new(), vec![button]);
        if regions {
            page.question(
                "return-regions-still-out",
                Vec::new(),
                self.regions_offered("regions_out", &now.regions_out),
            );
        }
    }

    /// Every region, the named ones chosen.
    pub(super) fn regions_offered(&self, field: &str, chosen: &[String]) -> Vec<PageButton> {
        let button = |id: &String| pick(field, id, self.speech.region(id)).chosen(chosen.contains(id));
        self.known.catalogue.regions.iter().map(|r| button(&r.id)).collect()
    }

    /// The region of a button.
    pub(super) fn known_region(&self, id: &str) -> Result<(), No> {
        self.known.catalogue.region(id).map(drop).ok_or_else(|| No::Field("value".into()))
    }

    /// Holds an answer to what [`Self::ask_advice`] asks; whether it was one.
    pub(super) fn choose_advice(
        &mut self,
        spot: &Spot,
        field: &str,
        value: &str,
        held: &Advised,
        today: NaiveDate,
    ) -> Result<bool, No> {
        let empty = value.trim().is_empty();
        let kept = match field {
            _ if empty && ["advised_by", "advised_on", "limits"].contains(&field) => String::new(),
            "advised_by" => Typed::new(&self.speech, "return-advised-by", value).words(LONGEST_NAME)?,
            "advised_on" => Typed::new(&self.speech, "return-advised-on", value).past(today)?.to_string(),
            "limits" => Typed::new(&self.speech, "return-limits", value).words(LONGEST_LIMITS)?,
            "no_limits" => {
                yes_or_no(value)?;
                self.visit.draft(spot, "limits", NO_LIMITS);
                return Ok(true);
            }
            "regions_out" => {
                self.known_region(value)?;
                let now = self.answers(spot, field, &held.regions_out);
                toggled(now, value).join(",")
            }
            _ => return Ok(false),
        };
        self.visit.draft(spot, field, kept);
        Ok(true)
    }

    /// What is missing before it can be kept, in words.
    pub(super) fn missing(&self, label: &str) -> No {
        let what = self.speech.say(label, &[]);
        No::Refused(self.speech.say("locker-missing", &[("what", (&what).into())]))
    }

    /// Who and when, which no advice goes without.
    pub(super) fn by_and_on(&self, now: &Advised) -> Result<(String, NaiveDate), No> {
        let by = now.by.clone().ok_or_else(|| self.missing("return-advised-by"))?;
        let on = now.on.as_deref().and_then(|d| d.parse().ok());
        Ok((by, on.ok_or_else(|| self.missing("return-advised-on"))?))
    }

    /// What was recorded of it.
    pub(super) fn recorded(&self, by: &str, on: NaiveDate) -> String {
        let date = self.speech.date_with_year(on);
        self.speech.say("return-recorded", &[("by", by.into()), ("date", (&date).into())])
    }
}

/// A list with an item more, or less where it was there.
pub(super) fn toggled(mut list: Vec<String>, item: &str) -> Vec<String> {
    let before = list.len();
    list.retain(|i| i != item);
    if list.len() == before {
        list.push(item.to_owned());
    }
    list.sort();
    list
}
