//! What must hold on every screen.

use super::text::{kilograms, screen_text, whole};
use super::{Walk, offered};
use plinth_core::catalogue::{Catalogue, Movement, Tier, Trap};
use plinth_core::floor::Event;
use plinth_core::safety::{Circumstances, never_said, permit};
use plinth_core::terms::{floor_of_rest_s, heavy_set};
use plinth_core::words::Language;
use plinth_core::words::floor::FloorScreen;
use serde_json::Value;

/// What a set on the screen is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Ramp,
    Search,
    Working,
}

/// Fields of a screen that are no sentence.
const NO_SENTENCE: [&str; 5] = ["stage", "stable", "boot", "event", "hold"];
/// Words that no German sentence has. The long texts of the catalogue may be in English and say so.
const ENGLISH: [&str; 12] =
    ["the", "and", "with", "set", "reps", "your", "is", "of", "left", "for", "then", "rest"];

/// Every sentence of a screen with where it stands.
fn sentences(value: &Value, at: &str, out: &mut Vec<(String, String)>) {
    match value {
        Value::String(text) => out.push((at.to_owned(), text.clone())),
        Value::Array(all) => all.iter().for_each(|v| sentences(v, at, out)),
        Value::Object(map) => {
            for (k, v) in map.iter().filter(|(k, _)| !NO_SENTENCE.contains(&k.as_str())) {
                sentences(v, &format!("{at}.{k}"), out);
            }
        }
        _ => {}
    }
}

impl Walk {
    /// The kind of the set on a screen.
    pub(crate) fn kind_of(&self, screen: &FloorScreen) -> Option<Kind> {
        let count = &screen.set.as_ref()?.count;
        let kind = self.counts.get(count).copied();
        assert!(kind.is_some(), "{}: {count} is a kind of set", self.who);
        kind
    }

    /// The circumstances as the walk knows them.
    pub(crate) fn circumstances(&self) -> Circumstances {
        Circumstances { alone: self.alone, safeties: self.safeties, ..self.around.clone() }
    }

    fn object(&mut self, screen: &FloorScreen, what: &str) {
        let text = format!("{} on {}: {what}\n{}", self.who, self.today(), screen_text(screen));
        assert!(self.objections.len() < 20, "too many objections, the last one: {text}");
        self.objections.push(text);
    }

    /// Judges a screen.
    pub(crate) fn judge(&mut self, screen: &FloorScreen) {
        self.screens += 1;
        let mut all = Vec::new();
        let value = serde_json::to_value(screen).expect("a screen has a JSON form");
        sentences(&value, "", &mut all);
        let mut wrong = Vec::new();
        for (at, text) in &all {
            if text.trim().is_empty() {
                wrong.push(format!("{at} is empty"));
            }
            if text.contains(['{', '}', '$']) || text.starts_with("floor-") || text.contains("  ") {
                wrong.push(format!("{at} is not finished: {text}"));
            }
            if let Some(phrase) = never_said(text).first() {
                wrong.push(format!("{at} says what is never said ({}): {text}", phrase.text));
            }
            if self.language == Language::German && !text.contains("(englisch)") {
                let lower = text.to_lowercase();
                let words = lower.split(|c: char| !c.is_alphanumeric());
                let english: Vec<&str> = words.filter(|w| ENGLISH.contains(w)).collect();
                if english.len() > 1 {
                    wrong.push(format!("{at} is not German: {text}"));
                }
            }
        }
        for b in offered(screen) {
            if b.label.trim().is_empty() || b.spoken.trim().is_empty() {
                wrong.push(format!("{:?} has no label or nothing spoken", b.event));
            }
        }
        if screen.spoken.trim().is_empty() {
            wrong.push("nothing is spoken".into());
        }
        if screen.wide.is_none() && !matches!(screen.stage.as_str(), "ended") && screen.form.is_none() {
            let open = screen.set.as_ref().is_some_and(|s| s.load.is_none());
            if !open {
                wrong.push("there is no wide action".into());
            }
        }
        let around = self.circumstances();
        if matches!(screen.stage.as_str(), "lifting" | "resting") {
            self.judge_set(screen, &around, &mut wrong);
        }
        for b in offered(screen) {
            let movement = match &b.event {
                Event::StandIn { .. } => self.movement_named(&b.label),
                Event::Add { movement } => self.catalogue.movement(movement),
                _ => None,
            };
            if matches!(b.event, Event::StandIn { .. }) && movement.is_none() {
                wrong.push(format!("{} names no movement", b.label));
            }
            if let Some(m) = movement
                && let Err(refusal) = permit(m, &around)
            {
                wrong.push(format!("{} is offered: {refusal:?}", m.id));
            }
        }
        for w in wrong {
            self.object(screen, &w);
        }
    }

    fn judge_set(&self, screen: &FloorScreen, around: &Circumstances, wrong: &mut Vec<String>) {
        let Some(set) = &screen.set else {
            wrong.push("no set is on the screen".into());
            return;
        };
        let Some(m) = self.movement_named(&set.movement) else {
            wrong.push(format!("{} is no movement", set.movement));
            return;
        };
        let kind = self.kind_of(screen);
        let ease = match permit(m, around) {
            Ok(ease) => ease,
            Err(refusal) => {
                wrong.push(format!("{} is led: {refusal:?}", m.id));
                return;
            }
        };
        let amount = whole(&set.amount).unwrap_or(0) as i32;
        let reserve = set.reserve.as_deref().and_then(whole).map(|n| n as i32);
        let counts = m.measure == plinth_core::catalogue::Measure::Repetitions;
        if kind == Some(Kind::Working) && counts {
            // Fewer repetitions that leave as many more are no heavier: so it is where no load can be taken off.
            let lighter = amount + reserve.unwrap_or(0) >= ease.reps_at_least + ease.reserve_at_least;
            if amount < ease.reps_at_least && !(lighter && Self::lightest(m)) {
                wrong.push(format!("{amount} reps of {} under {}", m.id, ease.reps_at_least));
            }
            if reserve.is_some_and(|r| r < ease.reserve_at_least) {
                wrong.push(format!("{reserve:?} left of {} under {}", m.id, ease.reserve_at_least));
            }
            let compound = matches!(m.tier, Tier::Main | Tier::Compound);
            let heavy = compound && heavy_set(amount, reserve.unwrap_or(4));
            let caught = self.safeties || !self.alone;
            if heavy && m.trap != Trap::None && !caught {
                wrong.push(format!("a heavy {} with nothing that catches", m.id));
            }
            if heavy && (around.minor || around.no_maximal_lifts || around.light_to_moderate) {
                wrong.push(format!("a heavy {} against a limit", m.id));
            }
        }
        if kind == Some(Kind::Search) && reserve.is_some_and(|r| r < ease.reserve_at_least) {
            wrong.push(format!("the search asks {reserve:?} left of {}", m.id));
        }
        if set.cautions.is_empty() && around.light_to_moderate && m.axial > 1 {
            wrong.push(format!("{} has no caution", m.id));
        }
        if let (Some(discs), Some(load)) = (&set.discs, set.load.as_deref().and_then(kilograms)) {
            Self::judge_bar(load, discs, wrong);
        }
    }

    /// The bar, its collars and both sides' discs weigh what the load says.
    fn judge_bar(load: f64, discs: &plinth_core::words::floor::DiscsScreen, wrong: &mut Vec<String>) {
        let bar = discs.bar.rsplit_once(", ").and_then(|(_, mass)| kilograms(mass));
        let list = discs.words.split_once(": ").map_or("", |(_, list)| list);
        let parts = list.split([';']).flat_map(|p| p.split(", ")).flat_map(|p| p.split(" and "));
        let side: f64 = parts.flat_map(|p| p.split(" und ")).filter_map(kilograms).sum();
        if let Some(bar) = bar
            && (bar + 2.0 * side - load).abs() > 0.06
        {
            wrong.push(format!("{} and {} make no {load} kg", discs.bar, discs.words));
        }
    }

    /// The rest after a set that was logged is not under its floor.
    pub(crate) fn judge_rest(&mut self, logged: &FloorScreen, after: &FloorScreen) {
        let (Some(set), Some(clock)) = (&logged.set, &after.clock) else { return };
        if self.kind_of(logged) != Some(Kind::Working) {
            return;
        }
        // In turn with another movement the rest is shared.
        let paired =
            |s: &FloorScreen| s.set.as_ref().is_some_and(|s| s.notes.iter().any(|n| self.turns.contains(n)));
        if paired(logged) || paired(after) {
            return;
        }
        let Some(m) = self.movement_named(&set.movement) else { return };
        let amount = whole(&set.amount).unwrap_or(0) as i32;
        let reserve = set.reserve.as_deref().and_then(whole).unwrap_or(4) as i32;
        let heavy = matches!(m.tier, Tier::Main | Tier::Compound) && heavy_set(amount, reserve);
        let floor = i64::from(floor_of_rest_s(heavy)) * 1000;
        let left = clock.ends_monotonic_ms as i64 - self.now.monotonic_ms as i64;
        if left < floor {
            let what = format!("{} s of rest after {}", left / 1000, set.movement);
            self.object(after, &what);
        }
    }

    /// Whether nothing can be taken off the load of a movement.
    fn lightest(m: &Movement) -> bool {
        use plinth_core::catalogue::LoadKind::{Added, Band, BodyMass};
        matches!(m.load_kind, Added | Band | BodyMass)
    }

    /// Nothing was objected to.
    pub fn no_objection(&self) {
        assert!(
            self.objections.is_empty(),
            "{}: {} objections\n{}",
            self.who,
            self.objections.len(),
            self.objections.join("\n----\n")
        );
    }
}

/// The catalogue's index of a region.
pub(crate) fn region(catalogue: &Catalogue, id: &str) -> usize {
    catalogue.region(id).expect("a region")
}
