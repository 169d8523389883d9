//! What the lifter is told, and what undo says.

use super::FloorWords;
use crate::floor::{Did, FormKind, Out, Stage, Told, View};
use crate::safety::Care;

impl FloorWords<'_> {
    /// Everything told on a screen now.
    pub(super) fn told(&self, view: &View) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        if let Some(because) = &view.barred {
            out.push(self.barred(because));
        }
        let ended = matches!(view.stage, Stage::Ended { .. });
        if let Some(flag) = view.flags.iter().min_by_key(|f| f.tier) {
            let key = match flag.care {
                Care::Emergency => "flag-care-emergency",
                Care::SameDay => "flag-care-same-day",
                Care::Maternity => "flag-care-maternity",
                Care::BeforeRegion => "flag-care-before-region",
            };
            out.push(self.say(key, &[]));
            if ended && flag.tier <= 2 {
                out.push(self.say("flag-session-closed", &[]));
            } else if let Some(region) = &flag.region {
                let region = self.speech.region_inside(region);
                out.push(self.say("flag-region-out", &[("region", (&region).into())]));
            }
        }
        if let Some(last) = &view.forgotten {
            let time = self.speech.time(last.local().time());
            out.push(self.say("floor-forgotten", &[("time", (&time).into())]));
        }
        out.extend(view.told.iter().map(|t| self.tell(t)));
        if let Some(rest) = &view.rest
            && rest.under_floor
            && rest.floor_s >= crate::terms::floor_of_rest_s(true)
        {
            out.push(self.say("floor-under-floor", &[]));
        }
        if let Some(sum) = &view.sum {
            out.push(self.say("floor-sum", &[("done", sum.sets.into()), ("left", sum.not_done.into())]));
        }
        out
    }

    /// One thing told.
    pub(super) fn tell(&self, told: &Told) -> String {
        let name = |m: &String| self.speech.movement_in(self.catalogue, m);
        match told {
            Told::Cut { movement, to: 0, .. } => {
                self.say("floor-told-cut-out", &[("movement", (&name(movement)).into())])
            }
            Told::Cut { movement, from, to } => self.say(
                "floor-told-cut",
                &[("movement", (&name(movement)).into()), ("from", (*from).into()), ("to", (*to).into())],
            ),
            Told::Out { movement, reason, region } => {
                let because = self.out_because(reason, region.as_deref());
                self.say(
                    "floor-told-out",
                    &[("movement", (&name(movement)).into()), ("because", (&because).into())],
                )
            }
            Told::Eased { movement } => {
                self.say("floor-told-eased", &[("movement", (&name(movement)).into())])
            }
            Told::BroughtIn { movement, sets } => self.say(
                "floor-told-brought_in",
                &[("movement", (&name(movement)).into()), ("sets", (*sets).into())],
            ),
            Told::LoadKept { movement, load } => self.say(
                "floor-told-load_kept",
                &[("movement", (&name(movement)).into()), ("load", (&self.speech.mass(load)).into())],
            ),
            Told::Found { movement, load } => self.say(
                "floor-told-found",
                &[("movement", (&name(movement)).into()), ("load", (&self.speech.mass(load)).into())],
            ),
            Told::TooHeavy { movement } => {
                self.say("floor-told-too_heavy", &[("movement", (&name(movement)).into())])
            }
        }
    }

    /// Why something is out.
    pub(super) fn out_because(&self, reason: &str, region: Option<&str>) -> String {
        let region = region.map(|r| self.speech.region_inside(r)).unwrap_or_default();
        self.say(&format!("floor-out-{reason}"), &[("region", (&region).into())])
    }

    /// Why a line is out.
    pub(super) fn out(&self, out: &Out) -> String {
        match out {
            Out::StoodIn { .. } => self.say("floor-out-stood_in", &[]),
            Out::Safety { reason, region } => self.out_because(reason, region.as_deref()),
            Out::Minutes => self.say("floor-out-minutes", &[]),
            Out::Hurt => self.say("floor-out-hurt", &[]),
        }
    }

    /// The head of the open form.
    pub(super) fn form_title(&self, view: &View) -> String {
        let Some(form) = &view.form else { return String::new() };
        let plain = |key: &str| self.say(key, &[]);
        let region = || form.named.as_deref().map(|r| self.region(r)).unwrap_or_default();
        match form.kind {
            FormKind::NotAsWritten => plain("floor-form-not_as_written"),
            FormKind::Correct => plain("floor-form-correct"),
            FormKind::Late => plain("floor-form-late"),
            FormKind::OtherSide => plain("floor-form-other_side"),
            FormKind::AllLoads => plain("floor-form-all_loads"),
            FormKind::AllAmounts => plain("floor-form-all_amounts"),
            FormKind::Reserves => plain("floor-form-reserves"),
            FormKind::Sets => plain("floor-form-sets"),
            FormKind::StandIns => {
                let none = form.rows.iter().all(|r| r.actions.is_empty());
                let name = form.movement.as_deref().map(|m| self.inside(m)).unwrap_or_default();
                let key = if none { "floor-form-stand_ins-none" } else { "floor-form-stand_ins" };
                self.say(key, &[("movement", (&name).into())])
            }
            FormKind::Kit => plain("floor-form-kit"),
            FormKind::Minutes => plain("floor-form-minutes"),
            FormKind::MinutesAnswer => plain("floor-form-minutes_answer"),
            FormKind::Wrong => plain("floor-form-wrong"),
            FormKind::Where => plain("floor-form-where"),
            FormKind::How => self.say("floor-form-how", &[("region", (&region()).into())]),
            FormKind::Much => self.say("floor-form-much", &[("region", (&region()).into())]),
            FormKind::Unwell => plain("floor-form-unwell"),
            FormKind::FlagWhere => plain("floor-form-flag_where"),
            FormKind::Confirm => plain("floor-form-confirm"),
            FormKind::Lines => plain("floor-form-lines"),
            FormKind::Movements => plain("floor-form-movements"),
            FormKind::Sharing => plain("floor-form-sharing"),
        }
    }

    /// What undo takes back.
    pub(super) fn did(&self, did: &Did) -> String {
        let of = |key: &str, m: &String| {
            let name = self.inside(m);
            self.say(key, &[("movement", (&name).into())])
        };
        let plain = |key: &str| self.say(key, &[]);
        match did {
            Did::Begun => plain("floor-undo-begun"),
            Did::WarmedUp => plain("floor-undo-warmed_up"),
            Did::Logged { movement, load, amount, measure } => {
                let what = self.logged(*amount, *measure, load.as_ref());
                let name = self.inside(movement);
                self.say("floor-undo-logged", &[("what", (&what).into()), ("movement", (&name).into())])
            }
            Did::Corrected { movement } => of("floor-undo-corrected", movement),
            Did::Removed { movement } => of("floor-undo-removed", movement),
            Did::HoldBegun => plain("floor-undo-hold_begun"),
            Did::Longer => plain("floor-undo-longer"),
            Did::Ready => plain("floor-undo-ready"),
            Did::EndedEarlier => plain("floor-undo-ended_earlier"),
            Did::StoodIn { movement } => of("floor-undo-stood_in", movement),
            Did::Taken { item, .. } => {
                let item = self.speech.kit_item(item);
                self.say("floor-undo-taken", &[("item", (&item).into())])
            }
            Did::Minutes { minutes } => self.say("floor-undo-minutes", &[("n", (*minutes).into())]),
            Did::Sore => plain("floor-undo-sore"),
            Did::WentTo { movement } => of("floor-undo-went_to", movement),
            Did::ExtraSet { movement } => of("floor-undo-extra_set", movement),
            Did::Added { movement } => of("floor-undo-added", movement),
            Did::Lighter => plain("floor-undo-lighter"),
            Did::Partner => plain("floor-undo-partner"),
            Did::Circumstances => plain("floor-undo-circumstances"),
            Did::Closed => plain("floor-undo-closed"),
            Did::Noted => plain("floor-undo-noted"),
        }
    }
}
