//! The server that the record goes to: pairing by an invitation, what waits, what was not taken, and parting.

use super::typed::Typed;
use super::{Did, Making, No};
use crate::companion::{Companion, CompanionError, Effect, Moment};
use crate::page::{Deed, Keys, Spot};
use crate::sync::{Invitation, InvitationFault, RefusedEntry, SyncState};

/// Entries that the server did not take and that the page tells one by one.
const ASIDE_TOLD: u32 = 5;
/// The longest name of a device.
const LONGEST_NAME: usize = 60;
/// The longest part of an invitation that is held until it is sent.
const LONGEST_PART: usize = 1_000;

impl Companion {
    pub(super) fn pairing_page(&self, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-pairing", &[]));
        let Some(paired) = self.pairing()? else {
            self.invitation_page(&mut page);
            return Ok(page);
        };
        let at = |wall_ms: i64| Moment { wall_ms, ..moment.clone() }.local();
        let day = |ms: i64| s.date_with_year(at(ms).date_naive());
        let since = day(paired.since_ms);
        page.sentence(
            s.say("pairing-with", &[("address", (&paired.address).into()), ("date", (&since).into())]),
        );
        let state = self.store.sync_state()?.and_then(|text| serde_json::from_str(&text).ok());
        let state: SyncState = state.unwrap_or_default();
        let together = state.together_ms.map(|ms| s.say("pairing-together", &[("date", (&day(ms)).into())]));
        page.sentence(together.unwrap_or_else(|| s.say("pairing-never", &[])));
        page.sentence(s.say("pairing-waiting", &[("n", self.store.pending_count()?.into())]));
        self.not_taken(&mut page)?;
        page.deed("pairing-now", Deed::Sync, true);
        page.question(
            "pairing-metered",
            vec![s.say("pairing-metered-note", &[])],
            page.yes_no("metered", Some(paired.metered)),
        );
        page.heading("pairing-part-head");
        page.sentence(s.say("pairing-part-note", &[]));
        let sure = self.visit.asks_again(&Spot::Pairing);
        page.deed(if sure { "pairing-part-sure" } else { "pairing-part" }, Deed::Remove, false);
        Ok(page)
    }

    /// What the server did not take, with its reasons.
    fn not_taken(&self, page: &mut Making<'_>) -> Result<(), CompanionError> {
        let s = &self.speech;
        let aside = self.store.set_aside(None, ASIDE_TOLD + 1)?;
        if aside.is_empty() {
            return Ok(());
        }
        page.heading("pairing-aside-head");
        page.sentence(s.say("pairing-aside", &[]));
        for one in aside.iter().take(ASIDE_TOLD as usize) {
            let told = serde_json::from_str::<RefusedEntry>(&one.told)
                .map_or_else(|_| one.told.clone(), |r| format!("{}; {}.", r.reason, r.remedy));
            page.sentence(s.english(&told));
        }
        if aside.len() > ASIDE_TOLD as usize {
            page.sentence(s.say("pairing-aside-more", &[]));
        }
        Ok(())
    }

    fn invitation_page(&self, page: &mut Making<'_>) {
        let s = page.speech;
        page.sentence(s.say("pairing-none", &[]));
        page.sentence(s.say("pairing-who", &[]));
        let drafted = |field: &str| self.visit.drafted(&Spot::Pairing, field).map(ToOwned::to_owned);
        // Where all is there to pair with, nobody looks for the touch that pairs under the lines.
        let whole = self.invited().is_ok();
        if whole {
            page.deed("pairing-pair", Deed::Pair, true);
        }
        page.entry("invitation", "pairing-invitation", Keys::Words, None);
        page.heading("pairing-by-hand");
        page.entry("address", "pairing-address", Keys::Words, drafted("address"));
        page.entry("code", "pairing-code", Keys::Words, drafted("code"));
        page.entry("certificate", "pairing-certificate", Keys::Words, drafted("certificate"));
        page.entry("name", "pairing-name", Keys::Words, Some(self.device_name()));
        if !whole {
            page.deed("pairing-pair", Deed::Pair, true);
        }
    }

    /// The invitation that was read or written, where all of its parts are.
    fn invited(&self) -> Result<Invitation, InvitationFault> {
        let part = |field: &str| self.visit.drafted(&Spot::Pairing, field).unwrap_or_default();
        Invitation::new(part("address"), part("certificate"), part("code"))
    }

    fn device_name(&self) -> String {
        let drafted = self.visit.drafted(&Spot::Pairing, "name").map(ToOwned::to_owned);
        drafted.unwrap_or_else(|| self.speech.say("pairing-name-plain", &[]))
    }

    /// An answer, and what the platform is to do after it.
    pub(super) fn choose_in_pairing(&mut self, field: &str, value: &str) -> Result<Did, No> {
        let paired = self.pairing()?;
        match (field, paired) {
            ("metered", Some(paired)) => {
                let allowed = self.allow_metered(paired, super::yes_or_no(value)?)?;
                return Ok(Did { effects: vec![allowed], refused: None });
            }
            ("invitation", None) => {
                let read: Invitation = value.parse().map_err(|f| self.no_invitation(f))?;
                let certificate = read.certificate_text().unwrap_or_default();
                for (field, value) in
                    [("address", &read.address), ("code", &read.code), ("certificate", &certificate)]
                {
                    self.visit.draft(&Spot::Pairing, field, value);
                }
                self.visit.told.push(self.speech.say("pairing-read", &[("address", (&read.address).into())]));
            }
            ("address" | "code" | "certificate", None) => {
                if value.len() > LONGEST_PART {
                    return Err(No::Field("value".into()));
                }
                self.visit.draft(&Spot::Pairing, field, value.trim());
            }
            ("name", None) => {
                let name = Typed::new(&self.speech, "pairing-name", value).words(LONGEST_NAME)?;
                self.visit.draft(&Spot::Pairing, field, name);
            }
            _ => return Err(No::Field(field.to_owned())),
        }
        Ok(Did::default())
    }

    /// Hands the code to the platform, which hands it to the server.
    pub(super) fn pair(&mut self) -> Result<Did, No> {
        if self.pairing()?.is_some() {
            return Err(No::NotHere);
        }
        let invitation = self.invited().map_err(|f| self.no_invitation(f))?;
        let name = self.device_name();
        Ok(Did { effects: vec![self.pair_by(&invitation, name)?], refused: None })
    }

    fn no_invitation(&self, fault: InvitationFault) -> String {
        self.speech.say(
            match fault {
                InvitationFault::Form => "pairing-no-form",
                InvitationFault::Address => "pairing-no-address",
                InvitationFault::Certificate => "pairing-no-certificate",
                InvitationFault::Code => "pairing-no-code",
            },
            &[],
        )
    }

    pub(super) fn sync_now(&self) -> Result<Did, No> {
        self.pairing()?.ok_or(No::NotHere)?;
        Ok(Did { effects: vec![Effect::AskForSync], refused: None })
    }

    /// At the second touch it parts from the server.
    pub(super) fn unpair_on_page(&mut self) -> Result<Did, No> {
        self.pairing()?.ok_or(No::NotHere)?;
        if !self.visit.second_touch(&Spot::Pairing) {
            return Ok(Did::default());
        }
        self.unpair()?;
        self.visit.told.push(self.speech.say("pairing-parted", &[]));
        Ok(Did { effects: vec![Effect::Unpair], refused: None })
    }

    /// A pairing was made: the page tells so.
    pub(in crate::companion) fn tell_paired(&mut self, address: &str) {
        self.visit.drop_draft();
        self.visit.told.clear();
        self.visit.told.push(self.speech.say("pairing-done", &[("address", address.into())]));
    }
}
