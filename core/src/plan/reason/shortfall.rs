//! What the week lacks, why, and what would bring it.

use super::conflict::conflict;
use super::steps::{Step, packs};
use super::{Barrier, Demand, Difference, MuscleChange, Reasoner, translate};
use crate::plan::brief::{Brief, Notice, WishKind};
use crate::plan::filter::filter;
use crate::plan::model::{Instance, Score, Week, score};
use crate::plan::search::{Effort, Ranges, Requirement, search};
use crate::plan::{Case, Keep, build};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A muscle below its target.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MuscleShort {
    /// Id of the muscle.
    pub muscle: String,
    /// Weekly half-sets.
    pub half_sets: i32,
    /// Weekly minimum, half-sets.
    pub minimum: i32,
    /// Weekly target, half-sets.
    pub target: i32,
    /// No movement that is left trains it.
    pub unavailable: bool,
}

/// A muscle trained on fewer days than wanted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DaysShort {
    /// Id of the muscle.
    pub muscle: String,
    /// Days with at least the half-sets that count.
    pub days: i32,
    /// Days wanted.
    pub wanted: i32,
}

/// A base group visited less than wanted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupShort {
    /// Id of the base group.
    pub group: String,
    /// Exposures in the week.
    pub exposures: i32,
    /// Exposures wanted.
    pub wanted: i32,
    /// Nothing of the group can be used.
    pub unavailable: bool,
    /// By the lifter's own choice.
    pub by_choice: bool,
}

/// Why a wish is not met.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Because {
    /// The movement is out.
    Out {
        /// Why.
        barrier: Barrier,
    },
    /// These demands cannot be kept together.
    Conflict {
        /// The demands.
        demands: Vec<Demand>,
    },
    /// It could be had, at this price.
    Outweighed {
        /// What one session more (or, for what is to be avoided, none) would change.
        difference: Difference,
    },
    /// Neither a week with it nor a proof against it was found.
    Open,
}

/// A wish that is not met, or a carrying movement that recurs less than wanted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WishShort {
    /// Id of the movement.
    pub movement: String,
    /// The wish; absent for a carrying movement.
    pub wish: Option<WishKind>,
    /// Its place among the wishes, counted from 0.
    pub rank: Option<usize>,
    /// Sessions in the week.
    pub sessions: i32,
    /// Sessions asked; 0 for what is to be avoided.
    pub asked: i32,
    /// Why.
    pub because: Because,
}

/// What a week lacks.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shortfalls {
    /// Muscles below their target.
    pub muscles: Vec<MuscleShort>,
    /// Muscles trained on too few days.
    pub days: Vec<DaysShort>,
    /// Base groups visited too little.
    pub groups: Vec<GroupShort>,
    /// Wishes not met, in the order of their rank, then carrying movements.
    pub wishes: Vec<WishShort>,
}

/// Sessions of something before and after.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SessionsChange {
    /// Id of the movement or base group.
    pub id: String,
    /// Sessions before.
    pub before: i32,
    /// Sessions after.
    pub after: i32,
}

/// A step that brings something that the week lacks, proved by solving again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Remedy {
    /// The step.
    pub step: Step,
    /// Muscles that come nearer to their target.
    pub muscles: Vec<MuscleChange>,
    /// Muscles that were short and lose something by it.
    pub losses: Vec<MuscleChange>,
    /// Base groups visited more often, up to what is wanted.
    pub groups: Vec<SessionsChange>,
    /// Movements asked for that come more often, up to what is asked.
    pub wishes: Vec<SessionsChange>,
    /// Half-sets that all muscles together lack to their targets, before.
    pub lacking_before: i32,
    /// The same after.
    pub lacking_after: i32,
    /// Seconds of the week more, warm-ups among them.
    pub seconds_more: i32,
}

impl Shortfalls {
    /// The week lacks nothing.
    pub fn is_empty(&self) -> bool {
        self.muscles.is_empty() && self.days.is_empty() && self.groups.is_empty() && self.wishes.is_empty()
    }
}

/// Another brief solved: its case and week.
#[derive(Debug, Clone)]
pub(super) struct Resolved {
    pub(super) case: Case,
    pub(super) week: Week,
}

impl Reasoner<'_> {
    /// What the week lacks, with the reason for each wish that is not met. Solves again where a wish is
    /// outweighed.
    pub fn shortfalls(&self) -> Shortfalls {
        let i = &self.case.instance;
        let now = score(i, &self.week);
        let mut out = Shortfalls::default();
        let threshold = |g: usize| {
            let by_day = |d: &Vec<_>| half_sets_of(i, d, g) >= i.muscles[g].day_threshold;
            self.week.days.iter().filter(|d| by_day(d)).count() as i32
        };
        for (g, m) in i.muscles.iter().enumerate() {
            if now.half_sets[g] < m.target {
                let trained = i.movements.iter().any(|x| x.trains.iter().any(|t| t.muscle == g));
                out.muscles.push(MuscleShort {
                    muscle: m.id.clone(),
                    half_sets: now.half_sets[g],
                    minimum: m.minimum,
                    target: m.target,
                    unavailable: !trained,
                });
            }
            let days = threshold(g);
            if days < m.days_wanted {
                out.days.push(DaysShort { muscle: m.id.clone(), days, wanted: m.days_wanted });
            }
        }
        for (k, g) in i.groups.iter().enumerate() {
            let unavailable = self.case.notices.iter().find_map(|n| match n {
                Notice::GroupUnavailable { group, by_choice } if *group == g.id => Some(*by_choice),
                _ => None,
            });
            if now.group_exposures[k] < g.exposures_wanted || unavailable.is_some() {
                out.groups.push(GroupShort {
                    group: g.id.clone(),
                    exposures: now.group_exposures[k],
                    wanted: g.exposures_wanted,
                    unavailable: unavailable.is_some(),
                    by_choice: unavailable == Some(true),
                });
            }
        }
        out.wishes = self.wishes_short();
        out
    }

    /// Sessions of a movement of the catalogue.
    pub(super) fn sessions(&self, movement: usize) -> i32 {
        sessions(&self.case, &self.week, movement)
    }

    fn wishes_short(&self) -> Vec<WishShort> {
        let catalogue = self.planner.catalogue;
        let mut out = Vec::new();
        for (rank, w) in self.brief.wishes.iter().enumerate() {
            let Some(m) = w.movement.as_deref().and_then(|id| catalogue.find(id)) else { continue };
            let movement = catalogue.movements[m].id.clone();
            let sessions = self.sessions(m);
            match w.wish {
                WishKind::Require | WishKind::Prefer => {
                    let asked = w.times.unwrap_or(1) as i32;
                    if sessions < asked {
                        let because = self.because(m, sessions + 1, asked, rank);
                        let wish = Some(w.wish);
                        out.push(WishShort { movement, wish, rank: Some(rank), sessions, asked, because });
                    }
                }
                WishKind::Avoid if sessions > 0 => {
                    let change = super::Change::Forbid { movement: movement.clone() };
                    let because = match self.price_of_change(&change).map(|p| p.outcome) {
                        Ok(super::Outcome::Priced { difference }) => Because::Outweighed { difference },
                        _ => Because::Open,
                    };
                    let wish = Some(w.wish);
                    out.push(WishShort { movement, wish, rank: Some(rank), sessions, asked: 0, because });
                }
                WishKind::Avoid | WishKind::Forbid => {}
            }
        }
        for id in self.brief.carrying.iter().flatten() {
            let Some(m) = catalogue.find(id) else { continue };
            if !self.case.carrying.contains(&m) {
                let removed = self.case.removed.iter().find(|(k, _)| *k == m);
                if let Some((_, removal)) = removed {
                    let because = Because::Out { barrier: Barrier::of_removal(removal, catalogue) };
                    let movement = id.clone();
                    out.push(WishShort { movement, wish: None, rank: None, sessions: 0, asked: 1, because });
                }
            }
        }
        for &m in &self.case.carrying {
            let Some(k) = self.case.position(m) else { continue };
            let x = &self.case.instance.movements[k];
            let sessions = self.sessions(m);
            let told = out.iter().any(|o| o.movement == x.id);
            if sessions < x.exposures_wanted && !told {
                let because = self.because(m, sessions + 1, sessions + 1, usize::MAX);
                out.push(WishShort {
                    movement: x.id.clone(),
                    wish: None,
                    rank: None,
                    sessions,
                    asked: x.exposures_wanted,
                    because,
                });
            }
        }
        out
    }

    /// Why a movement does not come `times` times; `asked` times in all were asked for.
    fn because(&self, movement: usize, times: i32, asked: i32, rank: usize) -> Because {
        let catalogue = self.planner.catalogue;
        if let Some((_, removal)) = self.case.removed.iter().find(|(m, _)| *m == movement) {
            return Because::Out { barrier: Barrier::of_removal(removal, catalogue) };
        }
        let Some(m) = self.case.position(movement) else { return Because::Open };
        let instance = &self.case.instance;
        let most = (instance.days.len() as i32).min(instance.movements[m].exposures_max);
        if times <= most {
            let mut required = vec![Requirement { movement: m, times, day: None }];
            required.extend(self.kept_requirements().into_iter().filter(|r| r.movement != m));
            match self.at_least(m, times, &required) {
                super::Outcome::Priced { difference } => return Because::Outweighed { difference },
                super::Outcome::Forbidden { demands } => return Because::Conflict { demands },
                _ => {}
            }
        }
        let mut wanted = vec![Demand::Asked {
            movement: instance.movements[m].id.clone(),
            times: if times <= most { times } else { asked.max(times) },
            day: None,
            sets: None,
            rank: (rank < self.brief.wishes.len()).then_some(rank),
        }];
        wanted.extend(self.kept_demands(movement));
        match conflict(self.planner, self.brief, &self.case, &wanted) {
            Some(c) => Because::Conflict { demands: c.demands },
            None => Because::Open,
        }
    }

    /// Requirements of the brief as far as the week meets them.
    pub(super) fn kept_requirements(&self) -> Vec<Requirement> {
        let kept = |(rank, m, asked): &(usize, usize, i32)| {
            let times = self.sessions(*m).min(*asked);
            let required = self.brief.wishes[*rank].wish == WishKind::Require && times > 0;
            required.then_some(())?;
            Some(Requirement { movement: self.case.position(*m)?, times, day: None })
        };
        self.case.wished.iter().filter_map(kept).collect()
    }

    /// The same as demands, without `but`.
    pub(super) fn kept_demands(&self, but: usize) -> Vec<Demand> {
        let mut out = Vec::new();
        for (rank, m, asked) in &self.case.wished {
            let times = self.sessions(*m).min(*asked);
            if *m != but && times > 0 && self.brief.wishes[*rank].wish == WishKind::Require {
                let movement = self.planner.catalogue.movements[*m].id.clone();
                out.push(Demand::Asked { movement, times, day: None, sets: None, rank: Some(*rank) });
            }
        }
        out
    }

    /// Solves `brief` afresh, from the week at hand where that fits.
    pub(super) fn resolve(&self, brief: &Brief, effort: Effort) -> Resolved {
        let case = build(brief, self.planner.catalogue, self.planner.weights, Keep::Undominated);
        let start = translate(&self.case, &self.week, &case);
        let ranges = Ranges::free(&case.instance);
        let found = search(&case.instance, &ranges, Some(&start), effort, &mut |_| true);
        let week = found.map_or_else(|| Week::empty(case.instance.days.len()), |f| f.week);
        Resolved { case, week }
    }

    /// What would bring what is lacking: each step solved again with `effort`, and told only when it brings
    /// something; what brings most first. Discomforts and limits of health are never offered for change.
    pub fn remedies(&self, shortfalls: &Shortfalls, effort: Effort) -> Vec<Remedy> {
        if shortfalls.is_empty() {
            return Vec::new();
        }
        let mut out: Vec<Remedy> = self
            .candidates(shortfalls)
            .into_iter()
            .filter_map(|step| {
                let brief = step.taken(self.brief);
                (brief != *self.brief).then(|| self.remedy(step, &brief, effort))?
            })
            .collect();
        // Stable: steps that bring as much keep the order in which they were thought of.
        out.sort_by_key(|r| {
            let sessions = |s: &[SessionsChange]| s.iter().map(|c| c.after - c.before).sum::<i32>();
            let gain = r.lacking_before - r.lacking_after;
            std::cmp::Reverse(gain + 4 * sessions(&r.groups) + 8 * sessions(&r.wishes))
        });
        out
    }

    fn candidates(&self, shortfalls: &Shortfalls) -> Vec<Step> {
        let brief = self.brief;
        let mut steps = vec![Step::MoreMinutes { minutes: 15 }, Step::MoreDays { days: 1 }];
        if !brief.in_turn {
            steps.push(Step::InTurn);
        }
        if brief.alone && !brief.safeties {
            steps.push(Step::Safeties);
        }
        for w in brief.wishes.iter().filter(|w| w.wish == WishKind::Forbid) {
            steps.push(Step::Allow { movement: w.movement.clone(), pattern: w.pattern.clone() });
        }
        steps.extend(packs(brief).into_iter().map(|equipment| Step::Kit { equipment }));
        steps.retain(|s| match s {
            Step::Kit { .. } | Step::Allow { .. } | Step::Safeties => self.opens(s, shortfalls),
            _ => true,
        });
        steps
    }

    /// Whether a step lets in a movement that could bring what is lacking.
    fn opens(&self, step: &Step, short: &Shortfalls) -> bool {
        let catalogue = self.planner.catalogue;
        let was = &self.case.eases;
        let now = filter(&step.taken(self.brief), catalogue);
        let short_muscle = |g: usize| {
            let id = &catalogue.muscles[g].id;
            short.muscles.iter().any(|m| m.muscle == *id) || short.days.iter().any(|m| m.muscle == *id)
        };
        catalogue.movements.iter().zip(&now).zip(was).any(|((m, now), was)| {
            let group = catalogue.patterns[m.pattern].base_group.as_ref();
            now.is_ok()
                && was.is_none()
                && (m.direct().any(short_muscle)
                    || group.is_some_and(|g| short.groups.iter().any(|s| s.group == *g))
                    || short.wishes.iter().any(|w| w.movement == m.id))
        })
    }

    fn remedy(&self, step: Step, brief: &Brief, effort: Effort) -> Option<Remedy> {
        let (i, catalogue) = (&self.case.instance, self.planner.catalogue);
        let was = score(i, &self.week);
        let then = self.resolve(brief, effort);
        let j = &then.case.instance;
        let now = score(j, &then.week);
        let mut muscles = Vec::new();
        let mut losses = Vec::new();
        let (mut lacking_before, mut lacking_after) = (0, 0);
        for (g, m) in i.muscles.iter().enumerate() {
            let (before, after) = (was.half_sets[g], now.half_sets[g]);
            lacking_before += (m.target - before).max(0);
            lacking_after += (m.target - after).max(0);
            let change =
                || MuscleChange { muscle: m.id.clone(), before, after, minimum: m.minimum, target: m.target };
            if before.min(m.target) < after.min(m.target) {
                muscles.push(change());
            } else if after.min(m.target) < before.min(m.target) {
                losses.push(change());
            }
        }
        let groups: Vec<SessionsChange> = i
            .groups
            .iter()
            .zip(&j.groups)
            .enumerate()
            .map(|(k, (a, b))| {
                let wanted = a.exposures_wanted.max(b.exposures_wanted);
                let before = was.group_exposures[k].min(wanted);
                SessionsChange { id: a.id.clone(), before, after: now.group_exposures[k].min(wanted) }
            })
            .filter(|c| c.after > c.before)
            .collect();
        let mut wishes: Vec<SessionsChange> = Vec::new();
        for w in brief.wishes.iter().filter(|w| matches!(w.wish, WishKind::Require | WishKind::Prefer)) {
            let Some(m) = w.movement.as_deref().and_then(|id| catalogue.find(id)) else { continue };
            let asked = w.times.unwrap_or(1) as i32;
            let before = self.sessions(m).min(asked);
            let after = sessions(&then.case, &then.week, m).min(asked);
            if after > before {
                wishes.push(SessionsChange { id: catalogue.movements[m].id.clone(), before, after });
            }
        }
        if lacking_after >= lacking_before && groups.is_empty() && wishes.is_empty() {
            return None;
        }
        let seconds_more = seconds(j, &then.week, &now) - seconds(i, &self.week, &was);
        Some(Remedy { step, muscles, losses, groups, wishes, lacking_before, lacking_after, seconds_more })
    }
}

/// Seconds of a week, the warm-ups of days with lines among them.
fn seconds(instance: &Instance, week: &Week, score: &Score) -> i32 {
    let warm_ups: i32 =
        instance.days.iter().zip(&week.days).filter(|(_, l)| !l.is_empty()).map(|(d, _)| d.warm_up_s).sum();
    warm_ups + score.day_seconds.iter().sum::<i32>()
}

/// Sessions of a movement of the catalogue in a week.
pub(super) fn sessions(case: &Case, week: &Week, movement: usize) -> i32 {
    case.position(movement)
        .map_or(0, |m| week.days.iter().filter(|d| d.iter().any(|s| s.movement == m)).count() as i32)
}

fn half_sets_of(instance: &Instance, slots: &[crate::plan::model::Slot], muscle: usize) -> i32 {
    let share = |m: usize| {
        instance.movements[m].trains.iter().filter(|t| t.muscle == muscle).map(|t| t.half_sets).sum::<i32>()
    };
    slots.iter().map(|s| share(s.movement) * s.sets).sum()
}
