//! What hurts: the lifter's usual is told apart from what is new or worse.

use super::{Did, Making, No};
use crate::companion::error::CompanionError;
use crate::companion::known::all_of;
use crate::companion::{Companion, Moment};
use crate::page::{Block, Deed, PageButton, Spot};
use crate::record::{DiscomfortFields, EntryId, Kind, Nature, Severity, Time, View};

const SEVERITIES: [(&str, &str, Severity); 3] = [
    ("mild", "floor-severity-mild", Severity::Mild),
    ("moderate", "floor-severity-moderate", Severity::Moderate),
    ("severe", "floor-severity-severe", Severity::Severe),
];
const NATURES: [(&str, &str, Nature); 2] =
    [("usual", "pain-usual", Nature::Usual), ("new_or_worse", "pain-new-or-worse", Nature::NewOrWorse)];
/// Opens the field of a discomfort of the record; its id follows.
const OF: &str = "of.";
/// Opens the field of one that the brief names; its position follows.
const OF_BRIEF: &str = "of_brief.";

impl Companion {
    /// Those of the record that are not over.
    fn discomforts(&self, moment: &Moment) -> Result<Vec<(EntryId, DiscomfortFields)>, CompanionError> {
        let all = all_of(&self.store, &Kind::Discomfort)?.into_iter().filter(|e| !e.deleted());
        let there = |f: &DiscomfortFields| {
            f.region.is_some() && f.until.as_ref().is_none_or(|t| t.millis() > moment.wall_ms)
        };
        Ok(all.map(|e| (e.id, DiscomfortFields::read(&e).0)).filter(|(_, f)| there(f)).collect())
    }

    pub(super) fn discomfort_page(&self, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-discomfort", &[]));
        page.sentence(s.say("discomfort-intro", &[]));
        for (id, f) in self.discomforts(moment)? {
            let region = f.region.unwrap_or_default();
            let field = format!("{OF}{id}");
            // What is not told counts as the more cautious.
            let severity = f.severity.unwrap_or(Severity::Severe);
            let nature = f.nature.unwrap_or(Nature::NewOrWorse);
            let mut buttons: Vec<PageButton> = SEVERITIES
                .map(|(id, key, it)| page.pick(&field, id, key, it == severity))
                .into_iter()
                .chain(NATURES.map(|(id, key, it)| page.pick(&field, id, key, it == nature)))
                .collect();
            let over =
                if nature == Nature::NewOrWorse { "discomfort-over-or-care" } else { "discomfort-over" };
            buttons.push(page.pick(&field, "over", over, false));
            let since = f.since.map(|t| s.say("discomfort-since", &[("date", (&s.date(t.date())).into())]));
            let mut notes: Vec<String> = since.into_iter().collect();
            if nature == Nature::NewOrWorse {
                notes.push(s.say("pain-stop", &[("region", (&s.region_inside(&region)).into())]));
            }
            page.blocks.push(Block::Question { label: s.region(&region), notes, buttons });
        }
        for (k, d) in self.known.brief.discomforts.iter().enumerate() {
            let over = page.pick(&format!("{OF_BRIEF}{k}"), "over", "discomfort-over", false);
            let notes = vec![s.say("discomfort-of-brief", &[])];
            page.blocks.push(Block::Question { label: s.region(&d.region), notes, buttons: vec![over] });
        }
        let drafted = |field| self.answer(&Spot::Discomfort, field, None);
        page.heading("discomfort-another");
        let region: Vec<String> = drafted("region").into_iter().collect();
        page.question("floor-row-regions", Vec::new(), self.regions_offered("region", &region));
        if !region.is_empty() {
            let (severity, nature) = (drafted("severity"), drafted("nature"));
            let choice = |field, id: &str, key, now: &Option<String>| {
                page.pick(field, id, key, now.as_deref() == Some(id))
            };
            let severities = SEVERITIES.map(|(id, key, _)| choice("severity", id, key, &severity));
            let natures = NATURES.map(|(id, key, _)| choice("nature", id, key, &nature));
            page.question("floor-row-severity", Vec::new(), severities.to_vec());
            page.question("floor-row-nature", Vec::new(), natures.to_vec());
            page.deed("locker-keep", Deed::Keep, true);
        }
        page.sentence(s.say("discomfort-something-wrong", &[]));
        Ok(page)
    }

    pub(super) fn choose_in_discomfort(
        &mut self,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        let no_value = || No::Field("value".into());
        let severity = SEVERITIES.into_iter().find(|(id, _, _)| *id == value).map(|(_, _, it)| it);
        let nature = NATURES.into_iter().find(|(id, _, _)| *id == value).map(|(_, _, it)| it);
        if let Some(id) = field.strip_prefix(OF) {
            let there = self.discomforts(moment)?;
            let (entry, _) = there.into_iter().find(|(e, _)| e.to_string() == id).ok_or(No::NotHere)?;
            let over = (value == "over").then(|| Time::of(moment));
            if severity.is_none() && nature.is_none() && over.is_none() {
                return Err(no_value());
            }
            let fields = DiscomfortFields { severity, nature, until: over, ..DiscomfortFields::default() };
            self.tell_discomfort(Some(entry), fields, moment)?;
            return Ok(());
        }
        if let Some(k) = field.strip_prefix(OF_BRIEF) {
            let mut brief = self.brief_to_change();
            let k = k.parse::<usize>().ok().filter(|k| *k < brief.discomforts.len()).ok_or(No::NotHere)?;
            if value != "over" {
                return Err(no_value());
            }
            brief.discomforts.remove(k);
            return Ok(self.change_brief(&brief, moment)?);
        }
        match field {
            "region" => self.known_region(value)?,
            "severity" if severity.is_some() => {}
            "nature" if nature.is_some() => {}
            "severity" | "nature" => return Err(no_value()),
            _ => return Err(No::Field(field.to_owned())),
        }
        self.visit.draft(&Spot::Discomfort, field, value);
        Ok(())
    }

    /// Keeps the discomfort that was answered.
    pub(super) fn keep_discomfort(&mut self, moment: &Moment) -> Result<Did, No> {
        let drafted = |field| self.answer(&Spot::Discomfort, field, None);
        let region = drafted("region").ok_or_else(|| self.missing("floor-row-regions"))?;
        let severity = drafted("severity").ok_or_else(|| self.missing("floor-row-severity"))?;
        let nature = drafted("nature").ok_or_else(|| self.missing("floor-row-nature"))?;
        let fields = DiscomfortFields {
            region: Some(region),
            severity: SEVERITIES.into_iter().find(|(id, _, _)| *id == severity).map(|(_, _, it)| it),
            nature: NATURES.into_iter().find(|(id, _, _)| *id == nature).map(|(_, _, it)| it),
            since: Some(Time::of(moment)),
            ..DiscomfortFields::default()
        };
        self.tell_discomfort(None, fields, moment)?;
        self.visit.drop_draft();
        self.visit.told.push(self.speech.say("locker-kept", &[]));
        Ok(Did::default())
    }
}
