//! The locker: language, the key of the backups, the record's way out.

use super::{Did, Making};
use crate::companion::error::CompanionError;
use crate::companion::known::setting_text;
use crate::companion::{Companion, Moment};
use crate::page::{Block, Deed, PageButton, PageEvent, Spot};
use crate::words::Language;
use serde_json::Value;

impl Companion {
    pub(super) fn locker_page(&self, spot: &Spot) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say(title(spot), &[]));
        match spot {
            Spot::Settings => {
                let button = |l: Language| {
                    let event = PageEvent::Choose { field: "language".into(), value: l.code().to_owned() };
                    PageButton::new(l.own_name(), event).chosen(l == s.language())
                };
                page.blocks.push(Block::Question {
                    label: s.say("pages-language", &[]),
                    notes: Vec::new(),
                    buttons: Language::ALL.into_iter().map(button).collect(),
                });
            }
            Spot::Backup => {
                let made = setting_text(&self.known.settings, "backup_recipient").is_some();
                page.sentence(s.say(if made { "pages-backup-made" } else { "pages-backup-none" }, &[]));
                if !self.visit.once.is_empty() {
                    page.blocks.push(Block::Words {
                        label: s.say("pages-backup-words", &[]),
                        words: self.visit.once.clone(),
                    });
                }
                page.deed(
                    if made { "pages-make-another-key" } else { "pages-make-key" },
                    Deed::MakeKey,
                    !made,
                );
                self.offer_backups(&mut page);
            }
            Spot::Record => {
                page.sentence(s.say("pages-record-yours", &[]));
                page.deed("pages-check", Deed::Check, false);
                self.offer_files(&mut page);
            }
            _ => {
                for spot in [Spot::Settings, Spot::Backup, Spot::Record] {
                    page.line(s.say(title(&spot), &[]), Vec::new(), spot);
                }
            }
        }
        page
    }

    pub(super) fn choose_in_locker(
        &mut self,
        spot: &Spot,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<Did, CompanionError> {
        if *spot != Spot::Settings || field != "language" {
            return Ok(self.no_such_field(field));
        }
        if value.parse::<Language>().is_err() {
            return Ok(self.no_such_field("value"));
        }
        self.set("language", Value::String(value.to_owned()), moment)?;
        Ok(Did::default())
    }

    pub(super) fn do_in_locker(
        &mut self,
        spot: &Spot,
        deed: &Deed,
        moment: &Moment,
    ) -> Result<Did, CompanionError> {
        if let Some(did) = self.do_with_files(spot, deed, moment) {
            return Ok(did);
        }
        match (spot, deed) {
            (Spot::Record, Deed::Check) => {
                let checked = self.check()?;
                let told = match checked.first_fault() {
                    None => self.speech.say("pages-checked", &[("n", checked.entries.into())]),
                    Some(fault) => self.speech.english(&fault),
                };
                self.visit.told.push(told);
                Ok(Did::default())
            }
            (Spot::Backup, Deed::MakeKey) => {
                let words = self.make_backup_key(moment)?;
                self.visit.once = words.split_whitespace().map(ToOwned::to_owned).collect();
                Ok(Did::default())
            }
            _ => Ok(self.not_here()),
        }
    }
}

const fn title(spot: &Spot) -> &'static str {
    match spot {
        Spot::Settings => "pages-settings",
        Spot::Backup => "pages-backup",
        Spot::Record => "pages-record",
        _ => "place-locker",
    }
}
