//! Which movements a brief leaves, and why the others are out.

use super::brief::{Brief, Nature, WishKind};
use crate::catalogue::{Catalogue, Movement};
use crate::safety::{Circumstances, Ease, Refusal, Sore, permit};
use serde::Serialize;

/// Why a movement is out of the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Removal {
    /// Safety; nothing stands above it.
    Safety {
        /// Which rule.
        refusal: Refusal,
    },
    /// Kit is missing; the alternative that lacks least.
    Equipment {
        /// Indices of the missing kit.
        missing: Vec<usize>,
    },
    /// The lifter forbids it.
    Forbidden,
    /// Its technique comes later: master technique before overloading.
    Skill,
    /// Another movement of the pattern does all that it does at no greater cost.
    Dominated {
        /// Index of the better movement.
        by: usize,
    },
}

/// The circumstances of a brief, with regions as indices.
pub fn circumstances(brief: &Brief, catalogue: &Catalogue) -> Circumstances {
    let sore = brief
        .discomforts
        .iter()
        .filter_map(|d| {
            let region = catalogue.region(&d.region)?;
            Some(Sore {
                region,
                severity: d.severity as i32 + 1,
                new_or_worse: d.nature == Nature::NewOrWorse,
            })
        })
        .collect();
    Circumstances {
        sore,
        after_surgery: brief.limits.after_surgery.iter().filter_map(|r| catalogue.region(r)).collect(),
        regions_out: brief.limits.regions_out.iter().filter_map(|r| catalogue.region(r)).collect(),
        no_lying_on_back: brief.limits.no_lying_on_back,
        no_lying_on_front: brief.limits.no_lying_on_front,
        no_long_breath_hold: brief.limits.no_long_breath_hold,
        no_maximal_lifts: brief.limits.no_maximal_lifts,
        minor: brief.limits.minor,
        light_to_moderate: brief.light_to_moderate(),
        alone: brief.alone,
        safeties: brief.safeties,
    }
}

/// The kit that is missing for a movement: of its alternatives the one that lacks least; empty if none.
pub fn missing_kit(movement: &Movement, owned: &[bool]) -> Vec<usize> {
    movement
        .equipment
        .iter()
        .map(|all| all.iter().copied().filter(|e| !owned[*e]).collect::<Vec<_>>())
        .min_by_key(Vec::len)
        .unwrap_or_default()
}

/// For each kit of the catalogue whether the brief names it.
pub fn owned_kit(brief: &Brief, catalogue: &Catalogue) -> Vec<bool> {
    catalogue.equipment.iter().map(|e| e.id == "floor" || brief.equipment.contains(&e.id)).collect()
}

/// For each movement of the catalogue: how it must be eased, or why it is out.
pub fn filter(brief: &Brief, catalogue: &Catalogue) -> Vec<Result<Ease, Removal>> {
    let around = circumstances(brief, catalogue);
    let owned = owned_kit(brief, catalogue);
    let mastered = brief.training_age as i32 + 3;
    let forbids = |m: &Movement| {
        brief.wishes.iter().filter(|w| w.wish == WishKind::Forbid).any(|w| {
            w.movement.as_ref() == Some(&m.id)
                || w.pattern.as_ref() == Some(&catalogue.patterns[m.pattern].id)
        })
    };
    let named = |m: &Movement| {
        brief.carrying.iter().flatten().any(|id| *id == m.id)
            || brief.wishes.iter().any(|w| w.wish == WishKind::Require && w.movement.as_ref() == Some(&m.id))
    };
    catalogue
        .movements
        .iter()
        .map(|m| {
            let ease = permit(m, &around).map_err(|refusal| Removal::Safety { refusal })?;
            let missing = missing_kit(m, &owned);
            if !missing.is_empty() {
                return Err(Removal::Equipment { missing });
            }
            if forbids(m) {
                return Err(Removal::Forbidden);
            }
            // A coach who names a movement takes its technique upon himself.
            if m.skill > mastered && !named(m) {
                return Err(Removal::Skill);
            }
            Ok(ease)
        })
        .collect()
}
