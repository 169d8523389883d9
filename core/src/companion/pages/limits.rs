//! What is to be left out or eased: what holds by care and by flags, and what the lifter asks for.

use super::advice::toggled;
use super::{Making, No, yes_or_no};
use crate::companion::{Companion, Moment};
use crate::page::Spot;
use crate::plan::brief::Limits;
use crate::record::{History, ScreeningFields};
use crate::safety::{Here, Occasion};

const BREATH: [(&str, &str, History); 4] = [
    ("blood_pressure", "limits-blood-pressure", History::BloodPressure),
    ("heart", "limits-heart", History::Heart),
    ("eye", "limits-eye", History::Eye),
    ("hernia", "limits-hernia", History::Hernia),
];

/// The yes-or-no limits of a brief.
const OF_BRIEF: [(&str, &str); 5] = [
    ("stiff_ankles", "limits-stiff-ankles"),
    ("no_lying_on_back", "limits-no-lying-on-back"),
    ("no_lying_on_front", "limits-no-lying-on-front"),
    ("no_long_breath_hold", "limits-no-long-breath-hold"),
    ("no_maximal_lifts", "limits-no-maximal-lifts"),
];

fn limit<'a>(limits: &'a mut Limits, field: &str) -> Option<&'a mut bool> {
    Some(match field {
        "stiff_ankles" => &mut limits.stiff_ankles,
        "no_lying_on_back" => &mut limits.no_lying_on_back,
        "no_lying_on_front" => &mut limits.no_lying_on_front,
        "no_long_breath_hold" => &mut limits.no_long_breath_hold,
        "no_maximal_lifts" => &mut limits.no_maximal_lifts,
        _ => return None,
    })
}

impl Companion {
    fn breath_told(&self) -> [bool; 4] {
        let b = self.known.standing.breath;
        [b.blood_pressure, b.heart, b.eye, b.hernia]
    }

    pub(super) fn limits_page(&self, moment: &Moment) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-limits", &[]));
        page.sentence(s.say("limits-intro", &[]));
        self.limits_in_force(&mut page, moment);
        let told = BREATH.into_iter().zip(self.breath_told());
        let breath = told.map(|((id, key, _), now)| page.pick("breath", id, key, now)).collect();
        page.question("screening-question-breath", vec![s.say("limits-breath-why", &[])], breath);
        let mut brief = self.brief_to_change();
        for (field, key) in OF_BRIEF {
            let now = limit(&mut brief.limits, field).is_some_and(|l| *l);
            page.question(key, Vec::new(), page.yes_no(field, Some(now)));
        }
        let regions = self.regions_offered("regions_out", &brief.limits.regions_out);
        page.question("limits-regions", vec![s.say("limits-regions-note", &[])], regions);
        for (spot, key) in [
            (Spot::Discomfort, "pages-discomfort"),
            (Spot::Surgeries, "pages-surgeries"),
            (Spot::Return, "pages-return"),
        ] {
            page.line(s.say(key, &[]), Vec::new(), spot);
        }
        page
    }

    /// What holds whether or not the lifter wishes it.
    fn limits_in_force(&self, page: &mut Making<'_>, moment: &Moment) {
        let s = &self.speech;
        let occasion = Occasion::at(&self.shelf.rules, &self.known.catalogue, moment, Here::default());
        let around = self.known.standing.circumstances(&occasion);
        let names = |regions: &[usize]| -> Vec<String> {
            let all = regions.iter().filter_map(|r| self.known.catalogue.regions.get(*r));
            all.map(|r| s.region_inside(&r.id)).collect()
        };
        let mut lines = Vec::new();
        for (key, regions) in [
            ("limits-out", names(&around.regions_out)),
            ("limits-after-surgery", names(&around.after_surgery)),
        ] {
            if !regions.is_empty() {
                lines.push(s.say(key, &[("regions", (&s.and(&regions)).into())]));
            }
        }
        if around.light_to_moderate {
            lines.push(s.say("caution-light-only", &[]));
        }
        if around.no_long_breath_hold {
            lines.push(s.say("caution-breathe-through", &[]));
        }
        page.caution(lines);
    }

    pub(super) fn choose_in_limits(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        if field == "breath" {
            let found = BREATH.iter().position(|(id, _, _)| *id == value);
            let k = found.ok_or_else(|| No::Field("value".into()))?;
            let mut told = self.breath_told();
            told[k] = !told[k];
            let histories = BREATH.into_iter().zip(told).filter(|(_, now)| *now).map(|((_, _, h), _)| h);
            let answers = ScreeningFields { breath: Some(histories.collect()), ..ScreeningFields::default() };
            self.answer_screening(answers, moment)?;
            return Ok(());
        }
        let mut brief = self.brief_to_change();
        if field == "regions_out" {
            self.known_region(value)?;
            brief.limits.regions_out = toggled(brief.limits.regions_out, value);
        } else {
            let to = limit(&mut brief.limits, field).ok_or_else(|| No::Field(field.to_owned()))?;
            *to = yes_or_no(value)?;
        }
        Ok(self.change_brief(&brief, moment)?)
    }
}
