//! The findings: what the log adds up to, as sentences and tables.

use super::Making;
use crate::companion::error::CompanionError;
use crate::companion::{Companion, Findings, Moment};
use crate::page::{Block, Spot, TableRow};
use crate::words::findings::{FindingsWords, Page as Said, SaidMovement, chart};

impl Companion {
    pub(super) fn findings_has(&self, spot: &Spot) -> Result<bool, CompanionError> {
        Ok(match spot {
            Spot::FindingsOf { movement } => self.store.sums().movements()?.contains(movement),
            _ => true,
        })
    }

    pub(super) fn findings_page(&self, spot: &Spot, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let findings = self.findings_at(moment)?;
        let said = FindingsWords { speech: &self.speech, catalogue: &self.known.catalogue }.page(&findings);
        Ok(match spot {
            Spot::FindingsOf { movement } => self.findings_of(&findings, &said, movement, moment),
            _ => self.all_findings(&findings, &said, moment),
        })
    }

    fn all_findings(&self, findings: &Findings, said: &Said, moment: &Moment) -> Making<'_> {
        let mut page = Making::new(&self.speech, self.speech.say("place-findings", &[]));
        page.sentence(said.head.clone());
        for note in &said.notes {
            page.sentence(note.clone());
        }
        for m in &said.movements {
            let first = m.told.first().cloned();
            let spot = Spot::FindingsOf { movement: m.movement.clone() };
            page.line(m.name.clone(), first.into_iter().collect(), spot);
        }
        if let Some(week) = &said.week {
            let heads =
                ["head-muscle", "head-direct", "head-shared", "head-total", "head-aim", "head-against"];
            let row = |m: &crate::words::findings::SaidMuscle| TableRow {
                cells: [&m.name, &m.direct, &m.shared, &m.total, &m.aim, &m.against]
                    .map(Clone::clone)
                    .to_vec(),
            };
            page.blocks.push(Block::Table {
                caption: week.head.clone(),
                heads: heads.map(|k| self.speech.say(k, &[])).to_vec(),
                rows: week.muscles.iter().map(row).collect(),
            });
            for note in &week.notes {
                page.sentence(note.clone());
            }
        }
        for (head, told) in [("find-page-sessions", &said.sessions), ("find-page-body", &said.body)] {
            if !told.is_empty() {
                page.heading(head);
                page.sentence(told.join(" "));
            }
        }
        let today = moment.local().date_naive();
        page.draw(chart::body(&self.speech, findings, &said.body.join(" "), today));
        if !said.scores_of.is_empty() {
            let row = |s: &crate::words::findings::SaidScore| TableRow {
                cells: vec![
                    s.name.clone(),
                    s.points.clone(),
                    s.between.clone(),
                    self.speech.english(&s.read_in),
                ],
            };
            let heads = ["head-score", "head-points", "head-between", "head-read-in"];
            page.blocks.push(Block::Table {
                caption: self.speech.say("find-page-scores", &[]),
                heads: heads.map(|k| self.speech.say(k, &[])).to_vec(),
                rows: said.scores.iter().map(row).collect(),
            });
            for told in &said.scores_of {
                page.sentence(told.clone());
            }
        }
        for source in &said.sources {
            page.sentence(source.clone());
        }
        page.sentence(self.speech.say("find-page-foot", &[]));
        page
    }

    fn findings_of(&self, findings: &Findings, said: &Said, movement: &str, moment: &Moment) -> Making<'_> {
        let found: Option<&SaidMovement> = said.movements.iter().find(|m| m.movement == movement);
        let name = self.speech.movement_in(&self.known.catalogue, movement);
        let mut page = Making::new(&self.speech, found.map_or(name, |m| m.name.clone()));
        let Some(found) = found else {
            page.sentence(self.speech.say("find-nothing", &[]));
            return page;
        };
        for told in &found.told {
            page.sentence(told.clone());
        }
        if let Some(m) = findings.movements.iter().find(|m| m.movement == movement) {
            let told = found.told.join(" ");
            let today = moment.local().date_naive();
            page.draw(chart::maximum(&self.speech, &found.name, m, &told, today));
            page.draw(chart::bests(&self.speech, &found.name, m));
        }
        if !found.bests.is_empty() {
            page.blocks.push(Block::Table {
                caption: self.speech.say("pages-bests", &[]),
                heads: ["head-reps", "head-best", "head-day"].map(|k| self.speech.say(k, &[])).to_vec(),
                rows: found
                    .bests
                    .iter()
                    .map(|b| TableRow { cells: vec![b.reps.clone(), b.load.clone(), b.day.clone()] })
                    .collect(),
            });
        }
        for rests_on in &found.rests_on {
            page.sentence(rests_on.clone());
        }
        if self.known.catalogue.movement(movement).is_some() {
            page.line(
                self.speech.say("pages-in-catalogue", &[]),
                Vec::new(),
                Spot::Movement { id: movement.to_owned() },
            );
        }
        page
    }
}
