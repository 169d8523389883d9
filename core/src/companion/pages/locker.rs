//! The locker: language, the key of the backups, the record's way out.

use super::licences::is_licence;
use super::{Did, Making, No, pick};
use crate::companion::error::CompanionError;
use crate::companion::known::setting_text;
use crate::companion::{Companion, Effect, Moment};
use crate::page::{Block, Deed, Spot};
use crate::words::Language;
use serde_json::Value;

/// The pages of the locker, in the order of its list.
const LISTED: [Spot; 17] = [
    Spot::Brief,
    Spot::Screening,
    Spot::Profile,
    Spot::Limits,
    Spot::Discomfort,
    Spot::Surgeries,
    Spot::Maternity,
    Spot::Return,
    Spot::Notes,
    Spot::Kits,
    Spot::Settings,
    Spot::Backup,
    Spot::Pairing,
    Spot::Grants,
    Spot::Record,
    Spot::Privacy,
    Spot::Licences,
];

/// The page on privacy: heads and what stands under them.
const PRIVACY: &[(&str, &[&str])] = &[
    ("privacy-here", &["privacy-file", "privacy-answers", "privacy-device"]),
    (
        "privacy-leaves",
        &["privacy-nothing", "privacy-sync", "privacy-coach", "privacy-backup", "privacy-export"],
    ),
    ("privacy-never", &["privacy-no-account", "privacy-no-telemetry"]),
    ("privacy-end", &["privacy-erase"]),
];

impl Companion {
    /// Whether what a page of the locker names is there.
    pub(super) fn locker_has(&self, spot: &Spot, moment: &Moment) -> Result<bool, CompanionError> {
        match spot {
            Spot::Surgery { position } => self.has_surgery(*position),
            Spot::Licence { id } => Ok(is_licence(id)),
            Spot::Grant { coach } => self.has_grant(coach, moment),
            Spot::Note { id } => self.has_note(id),
            Spot::Kit { id } | Spot::PartOfKit { id, .. } => Ok(self.place(id).is_some()),
            _ => Ok(true),
        }
    }

    pub(super) fn locker_page(&self, spot: &Spot, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        Ok(match spot {
            Spot::Brief => self.brief_page(moment),
            Spot::Screening => self.screening_page(moment),
            Spot::Profile => self.profile_page(moment)?,
            Spot::Limits => self.limits_page(moment),
            Spot::Discomfort => self.discomfort_page(moment)?,
            Spot::Surgeries => self.surgeries_page()?,
            Spot::Surgery { position } => self.surgery_page(*position)?,
            Spot::Maternity => self.maternity_page(moment)?,
            Spot::Return => self.return_page(moment),
            Spot::Kits => self.kits_page(),
            Spot::Kit { id } => self.kit_page(id),
            Spot::PartOfKit { id, part } => self.kit_part_page(id, *part),
            Spot::Settings => self.settings_page(),
            Spot::Backup => self.backup_page(),
            Spot::Pairing => self.pairing_page(moment)?,
            Spot::Grants => self.grants_page(moment)?,
            Spot::NewGrant => self.new_grant_page(moment),
            Spot::Grant { coach } => self.grant_page(coach, moment)?,
            Spot::Audit => self.audit_page(moment)?,
            Spot::Notes => self.notes_page()?,
            Spot::Note { id } => self.note_page(id)?,
            Spot::Record => self.record_page(),
            Spot::Privacy => self.privacy_page(),
            Spot::Licences => self.licences_page(),
            Spot::Licence { id } => self.licence_page(id),
            _ => self.locker_list()?,
        })
    }

    fn locker_list(&self) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let unread = self.unread_notes()?;
        let mut page = Making::new(s, s.say("place-locker", &[]));
        for spot in LISTED {
            // The return has nothing to say where nothing was raised.
            if spot == Spot::Return && !self.flagged() {
                continue;
            }
            let open = spot == Spot::Screening && !self.known.standing.screening.complete();
            let mut more: Vec<String> = open.then(|| s.say("screening-open", &[])).into_iter().collect();
            if spot == Spot::Notes && unread > 0 {
                more.push(s.say("notes-unread", &[("n", unread.into())]));
            }
            page.line(s.say(title(&spot), &[]), more, spot);
        }
        Ok(page)
    }

    fn settings_page(&self) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-settings", &[]));
        let button = |l: Language| pick("language", l.code(), l.own_name()).chosen(l == s.language());
        page.question("pages-language", Vec::new(), Language::ALL.into_iter().map(button).collect());
        let left = self.mirrored();
        let hands = [("right", "hand-right", !left), ("left", "hand-left", left)]
            .map(|(value, key, now)| page.pick("hand", value, key, now))
            .to_vec();
        page.question("pages-hand", vec![s.say("pages-hand-note", &[])], hands);
        page
    }

    fn backup_page(&self) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-backup", &[]));
        let made = setting_text(&self.known.settings, "backup_recipient").is_some();
        page.sentence(s.say(if made { "pages-backup-made" } else { "pages-backup-none" }, &[]));
        if !self.visit.once.is_empty() {
            page.blocks.push(Block::Words {
                label: s.say("pages-backup-words", &[]),
                words: self.visit.once.clone(),
            });
        }
        page.deed(if made { "pages-make-another-key" } else { "pages-make-key" }, Deed::MakeKey, !made);
        self.offer_backups(&mut page);
        page
    }

    fn record_page(&self) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-record", &[]));
        page.sentence(s.say("pages-record-yours", &[]));
        page.deed("pages-check", Deed::Check, false);
        self.offer_files(&mut page);
        page.heading("record-erase");
        page.sentence(s.say("record-erase-note", &[]));
        let sure = self.visit.asks_again(&Spot::Record);
        page.deed(if sure { "record-erase-sure" } else { "record-erase-all" }, Deed::Remove, false);
        page
    }

    /// What is stored where, and what leaves the device.
    fn privacy_page(&self) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-privacy", &[]));
        for (head, told) in PRIVACY {
            page.heading(head);
            for key in *told {
                page.sentence(s.say(key, &[]));
            }
        }
        page.line(s.say("pages-record", &[]), Vec::new(), Spot::Record);
        page
    }

    pub(super) fn choose_in_locker(
        &mut self,
        spot: &Spot,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<Did, No> {
        match spot {
            Spot::Brief => self.choose_in_brief(field, value, moment),
            Spot::Screening => self.choose_in_screening(field, value, moment),
            Spot::Profile => self.choose_in_profile(field, value, moment),
            Spot::Limits => self.choose_in_limits(field, value, moment),
            Spot::Discomfort => self.choose_in_discomfort(field, value, moment),
            Spot::Surgery { position } => self.choose_in_surgery(*position, field, value, moment),
            Spot::Maternity => self.choose_in_maternity(field, value, moment),
            Spot::Return => self.choose_in_return(field, value, moment),
            Spot::Kits => self.choose_in_kits(field, value, moment),
            Spot::Kit { id } => self.choose_in_kit(id, field, value, moment),
            Spot::PartOfKit { id, part } => self.choose_in_kit_part(id, *part, field, value, moment),
            Spot::Settings => self.choose_in_settings(field, value, moment),
            Spot::NewGrant | Spot::Grant { .. } => self.choose_in_grant(spot, field, value, moment),
            Spot::Pairing => return self.choose_in_pairing(field, value),
            Spot::Notes => return self.choose_in_notes(field, value, moment),
            _ => Err(No::Field(field.to_owned())),
        }
        .map(|()| Did::default())
    }

    fn choose_in_settings(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        let known = match field {
            "language" => value.parse::<Language>().is_ok(),
            "hand" => ["left", "right"].contains(&value),
            _ => return Err(No::Field(field.to_owned())),
        };
        if !known {
            return Err(No::Field("value".into()));
        }
        Ok(self.set(field, Value::String(value.to_owned()), moment)?)
    }

    pub(super) fn do_in_locker(&mut self, spot: &Spot, deed: &Deed, moment: &Moment) -> Result<Did, No> {
        if let Some(did) = self.do_with_files(spot, deed, moment) {
            return Ok(did);
        }
        match (spot, deed) {
            (Spot::Brief, Deed::MakeWeek) => self.make_week(moment),
            (Spot::Screening, Deed::Keep) => self.keep_clearance(moment),
            (Spot::Discomfort, Deed::Keep) => self.keep_discomfort(moment),
            (Spot::Surgery { position }, Deed::Keep) => self.keep_surgery(*position, moment),
            (Spot::Surgery { position }, Deed::Remove) => self.remove_surgery(*position, moment),
            (Spot::Maternity, Deed::Keep) => self.keep_maternity(moment),
            (Spot::Kit { id }, Deed::Remove) => self.remove_place(id, moment),
            (Spot::PartOfKit { id, part }, Deed::Keep) => self.keep_row(id, *part, moment),
            (Spot::Return, Deed::Keep) => self.keep_return(moment),
            (Spot::Record, Deed::Remove) => {
                let second = self.visit.second_touch(&Spot::Record);
                let effects = if second { vec![Effect::EraseEverything] } else { Vec::new() };
                Ok(Did { effects, refused: None })
            }
            (Spot::Pairing, Deed::Pair) => self.pair(),
            (Spot::Pairing, Deed::Remove) => self.unpair_on_page(),
            (Spot::Pairing, Deed::Sync) => self.sync_now(),
            (Spot::NewGrant, Deed::Keep) => self.give_new_grant(moment),
            (Spot::Grant { coach }, Deed::Keep) => self.change_grant(coach, moment),
            (Spot::Grant { coach }, Deed::Remove) => self.withdraw_grant(coach, moment),
            (Spot::Note { id }, deed) => self.do_with_note(id, deed, moment),
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
            _ => Err(No::NotHere),
        }
    }
}

const fn title(spot: &Spot) -> &'static str {
    match spot {
        Spot::Brief => "pages-brief",
        Spot::Screening => "pages-screening",
        Spot::Profile => "pages-profile",
        Spot::Limits => "pages-limits",
        Spot::Discomfort => "pages-discomfort",
        Spot::Surgeries => "pages-surgeries",
        Spot::Maternity => "pages-maternity",
        Spot::Return => "pages-return",
        Spot::Kits => "pages-kits",
        Spot::Settings => "pages-settings",
        Spot::Backup => "pages-backup",
        Spot::Pairing => "pages-pairing",
        Spot::Grants => "pages-grants",
        Spot::Notes => "pages-notes",
        Spot::Record => "pages-record",
        Spot::Privacy => "pages-privacy",
        Spot::Licences => "pages-licences",
        _ => "place-locker",
    }
}
