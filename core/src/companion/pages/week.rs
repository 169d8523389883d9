//! The week: its days and lines.

use super::{Did, Making};
use crate::companion::error::CompanionError;
use crate::companion::{Companion, Moment};
use crate::page::{Deed, Spot};
use crate::plan::programme::ProgrammeDay;
use crate::plan::search::Effort;
use crate::words::{self, Arg};

impl Companion {
    pub(super) fn week_has(&self, spot: &Spot) -> bool {
        let days = self.known.running.as_ref().map_or(&[][..], |r| &r.programme.days);
        match spot {
            Spot::Line { day, line } | Spot::Price { day, line } => {
                days.get(*day as usize).is_some_and(|d| (*line as usize) < d.lines.len())
            }
            Spot::FoldIn { day } => (*day as usize) < days.len(),
            Spot::NextBlock => !days.is_empty(),
            _ => true,
        }
    }

    pub(super) fn week_page(&self, spot: &Spot, _moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let title = self.speech.say("place-week", &[]);
        let mut page = Making::new(&self.speech, title);
        let Some(running) = &self.known.running else {
            page.sentence(self.speech.say("page-no-week", &[]));
            page.deed("page-make-week", Deed::MakeWeek, true);
            return Ok(page);
        };
        if matches!(spot, Spot::Week) {
            for (d, day) in running.programme.days.iter().enumerate() {
                let text = self.day_head(day);
                page.blocks.push(crate::page::Block::Heading { text });
                for (l, line) in day.lines.iter().enumerate() {
                    let name = self.speech.movement_in(&self.known.catalogue, &line.movement);
                    let said = words::prescription(&self.speech, line);
                    page.line(name, vec![said], Spot::Line { day: d as u32, line: l as u32 });
                }
            }
        }
        Ok(page)
    }

    /// A day is named by the movements that carry it.
    fn day_head(&self, day: &ProgrammeDay) -> String {
        let name = |id: &str| self.speech.movement_in(&self.known.catalogue, id);
        let carriers: Vec<String> =
            day.lines.iter().filter(|l| l.carrying).map(|l| name(&l.movement)).collect();
        let weekday = self.speech.weekday(day.weekday);
        if carriers.is_empty() {
            return weekday;
        }
        let carriers = self.speech.and(&carriers);
        self.speech.say("day-head", &[("day", Arg::Text(&weekday)), ("movements", Arg::Text(&carriers))])
    }

    pub(super) fn do_in_week(
        &mut self,
        _spot: &Spot,
        deed: &Deed,
        moment: &Moment,
    ) -> Result<Did, CompanionError> {
        match deed {
            Deed::MakeWeek => {
                let answer = self.plan(moment, Effort::QUICK, &mut || true);
                let json = serde_json::to_vec(&answer.programme).map_err(CompanionError::data)?;
                self.take_on(&json, "own", moment.local().date_naive(), moment)?;
                Ok(Did::default())
            }
            _ => Ok(self.not_here()),
        }
    }
}
