//! What the locker does with files: what goes out, what comes in, where the sealed backups go. The platform has the
//! files; it is asked for them.

use super::{Did, Making};
use crate::companion::known::setting_text;
use crate::companion::{Companion, Effect, Moment};
use crate::page::{Deed, FileKind, Spot};

impl Companion {
    /// What the page of the record offers to do with files.
    pub(super) fn offer_files(&self, page: &mut Making<'_>) {
        page.deed("pages-give-record", Deed::GiveFile { kind: FileKind::Record }, false);
        page.deed("pages-give-sets", Deed::GiveFile { kind: FileKind::Sets }, false);
        if self.known.programmes.running.is_some() {
            page.deed("pages-give-programme", Deed::GiveFile { kind: FileKind::Programme }, false);
        }
        page.heading("pages-take");
        page.sentence(page.speech.say("pages-take-what", &[]));
        page.deed("pages-take-record", Deed::TakeFile { kind: FileKind::Record }, false);
        page.deed("pages-take-sets", Deed::TakeFile { kind: FileKind::Sets }, false);
        page.deed("pages-take-programme", Deed::TakeFile { kind: FileKind::Programme }, false);
    }

    /// What the page of the backups offers besides the key.
    pub(super) fn offer_backups(&self, page: &mut Making<'_>) {
        if setting_text(&self.known.settings, "backup_recipient").is_some() {
            page.deed("pages-choose-folder", Deed::ChooseFolder, false);
        }
        page.heading("pages-restore-head");
        page.sentence(page.speech.say("pages-restore-what", &[]));
        page.deed("pages-restore", Deed::Restore, false);
    }

    /// Does what those offer; nothing where the deed is another or does not belong there.
    pub(super) fn do_with_files(&self, spot: &Spot, deed: &Deed, moment: &Moment) -> Option<Did> {
        let day = moment.local().date_naive();
        let effect = match (spot, deed) {
            (Spot::Record, Deed::GiveFile { kind }) => {
                let name = match kind {
                    FileKind::Record => format!("plinth-record-{day}.json"),
                    FileKind::Sets => format!("plinth-sets-{day}.csv"),
                    FileKind::Programme if self.known.programmes.running.is_none() => return None,
                    FileKind::Programme => format!("plinth-programme-{day}.json"),
                };
                Effect::GiveFile { kind: *kind, name }
            }
            (Spot::Record, Deed::TakeFile { kind }) => Effect::TakeFile { kind: *kind },
            (Spot::Backup, Deed::ChooseFolder) => {
                setting_text(&self.known.settings, "backup_recipient")?;
                Effect::ChooseFolder
            }
            (Spot::Backup, Deed::Restore) => Effect::Restore,
            _ => return None,
        };
        Some(Did { effects: vec![effect], refused: None })
    }
}
