//! From a brief to the numeric instance.

use super::brief::{Brief, Notice, PossibleBecause, TrainingAge, WishKind};
use super::dominance::dominated;
use super::filter::{Removal, filter};
use super::layout::{near, weekdays};
use super::model::{self, Day, Group, HeavyClass, Instance, PairClass, Pattern, Prices, Share, Side};
use super::prescription::{Prescription, blend, prescribe, work_s};
use super::reason::Barrier;
use super::targets::{Target, targets};
use super::weights::{Weights, below};
use crate::catalogue::{
    self, Catalogue, Direction, Laterality, LoadKind, Measure, Movement, PatternKind, Tier,
};
use crate::safety::{Ease, Refusal};

/// A brief made into numbers, with the way back from numbers to names.
#[derive(Debug, Clone)]
pub struct Case {
    /// The numbers.
    pub instance: Instance,
    /// For each movement of the instance its index in the catalogue.
    pub movements: Vec<usize>,
    /// For each movement of the instance how its sets are done at the block's peak.
    pub prescriptions: Vec<Prescription>,
    /// Movements that are out, by index in the catalogue, with the reason.
    pub removed: Vec<(usize, Removal)>,
    /// What was contradictory or stretched in the brief.
    pub notices: Vec<Notice>,
    /// Movements that carry the programme, by index in the catalogue, as asked or by default.
    pub carrying: Vec<usize>,
    /// For each wish that requires or prefers: index in `brief.wishes`, movement of the catalogue, sessions asked.
    pub wished: Vec<(usize, usize, i32)>,
    /// For each movement of the catalogue how it must be eased, `None` when it is out (dominated ones are not).
    pub eases: Vec<Option<Ease>>,
}

impl Case {
    /// Index in the instance of a movement of the catalogue.
    pub fn position(&self, movement: usize) -> Option<usize> {
        self.movements.iter().position(|m| *m == movement)
    }
}

/// What to leave in the instance besides what the model needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// Drop movements that another does better in every respect: the optimum stays the same.
    Undominated,
    /// Keep all, for stand-ins and prices of changes.
    All,
    /// Keep also what is out, in the order of the catalogue: a set already done is a fact, whatever was allowed.
    /// Whether a movement may be offered is in [`Case::eases`] and [`Case::removed`].
    Everything,
}

/// Makes the instance of a brief.
pub fn build(brief: &Brief, catalogue: &Catalogue, weights: &Weights, keep: Keep) -> Case {
    let mut notices = brief.contradictions(catalogue.muscles.len());
    let outcome = filter(brief, catalogue);
    let eases: Vec<Option<Ease>> = outcome.iter().map(|o| o.as_ref().ok().copied()).collect();
    let layout = weekdays(brief.days as usize, &brief.weekdays);
    let carrying = carrying(brief, catalogue, weights, &eases, &outcome, &mut notices);
    let wished = wished(brief, catalogue, &mut notices);
    notices.extend(refused_alone(brief, catalogue, &outcome));
    required_out(brief, catalogue, &outcome, &mut notices);

    let mut movements = Vec::new();
    let mut terms = Vec::new();
    let mut prescriptions = Vec::new();
    let mut removed = Vec::new();
    let groups = groups(brief, catalogue, weights, &eases, &mut notices);
    let loaded_groups: Vec<Option<String>> = (catalogue.movements.iter().zip(&eases))
        .filter(|(m, ease)| ease.is_some() && takes_load(m))
        .map(|(m, _)| catalogue.patterns[m.pattern].base_group.clone())
        .collect();
    for (m, result) in outcome.into_iter().enumerate() {
        let ease = match result {
            Ok(ease) => ease,
            Err(removal) => {
                removed.push((m, removal));
                if keep != Keep::Everything {
                    continue;
                }
                Ease::default()
            }
        };
        let builder = MovementBuilder {
            brief,
            catalogue,
            weights,
            groups: &groups,
            carrying: &carrying,
            loaded_groups: &loaded_groups,
        };
        let (movement, prescription) = builder.build(m, ease, &wished);
        movements.push(m);
        terms.push(movement);
        prescriptions.push(prescription);
    }

    let days: Vec<Day> = (0..brief.days as usize).map(|d| day(brief, weights, layout[d], d)).collect();
    let patterns = catalogue
        .patterns
        .iter()
        .map(|p| {
            let twice = brief.days as i32 >= weights.session.short_patterns_days
                && (p.direction != Direction::None || p.id == "lunge");
            Pattern { id: p.id.clone(), per_session_max: if twice { 2 } else { 1 } }
        })
        .collect();
    let mut instance = Instance {
        format: "plinth.instance/1".into(),
        catalogue_version: catalogue.version.clone(),
        weights_version: weights.version.clone(),
        days,
        near: near(&layout),
        muscles: muscles(brief, catalogue, weights),
        patterns,
        groups,
        movements: terms,
        prices: prices(brief, weights, &[]),
    };
    if keep == Keep::Undominated {
        let by = dominated(&instance);
        let mut kept = Vec::new();
        for (k, by) in by.iter().enumerate() {
            match by {
                Some(better) => removed.push((movements[k], Removal::Dominated { by: movements[*better] })),
                None => kept.push(k),
            }
        }
        instance.movements = kept.iter().map(|k| instance.movements[*k].clone()).collect();
        prescriptions = kept.iter().map(|k| prescriptions[*k]).collect();
        movements = kept.iter().map(|k| movements[*k]).collect();
    }
    instance.prices = prices(brief, weights, &instance.movements);
    notices.extend(reachability(brief, &instance));
    Case { instance, movements, prescriptions, removed, notices, carrying, wished, eases }
}

/// The movements that carry the programme.
fn carrying(
    brief: &Brief,
    catalogue: &Catalogue,
    weights: &Weights,
    eases: &[Option<Ease>],
    outcome: &[Result<Ease, Removal>],
    notices: &mut Vec<Notice>,
) -> Vec<usize> {
    if let Some(asked) = &brief.carrying {
        let mut out = Vec::new();
        for id in asked {
            let Some(m) = catalogue.find(id) else { continue };
            if eases[m].is_none() {
                if !alone(&outcome[m]) {
                    notices.push(Notice::CarryingNotPossible { movement: id.clone() });
                }
            } else if !out.contains(&m) {
                out.push(m);
            }
        }
        return out;
    }
    let choose = |group: &str| -> Option<usize> {
        let list = weights.carrying.get(group)?;
        let usable = list.iter().filter_map(|id| catalogue.find(id)).filter(|m| eases[*m].is_some());
        // A little discomfort is priced like any other; more of it is worth three places a unit, so that a sore
        // region gives way, but not to work without load.
        usable
            .enumerate()
            .min_by_key(|(rank, m)| {
                let sore = eases[*m].map_or(0, |e| (e.discomfort - 1).max(0));
                let avoided = brief.wishes.iter().any(|w| {
                    w.wish == WishKind::Avoid && w.movement.as_ref() == Some(&catalogue.movements[*m].id)
                });
                *rank as i32 + 3 * sore + if avoided { 6 } else { 0 }
            })
            .map(|(_, m)| m)
    };
    let mut out: Vec<usize> = ["knee", "horizontal_press", "vertical_pull", "hinge", "vertical_press"]
        .iter()
        .filter_map(|g| choose(g))
        .collect();
    let pulls =
        out.iter().any(|m| catalogue.patterns[catalogue.movements[*m].pattern].direction == Direction::Pull);
    if !pulls {
        out.extend(choose("horizontal_pull"));
    }
    out.dedup();
    out
}

/// Whether a movement is out because a failed repetition could trap a lifter alone.
fn alone(outcome: &Result<Ease, Removal>) -> bool {
    matches!(outcome, Err(Removal::Safety { refusal: Refusal::AloneWithoutSafeties }))
}

/// Movements asked for by name that are not offered to a lifter alone without safeties: also against a coach's
/// mark, and it is said.
fn refused_alone(brief: &Brief, catalogue: &Catalogue, outcome: &[Result<Ease, Removal>]) -> Vec<Notice> {
    let asked = brief
        .wishes
        .iter()
        .filter(|w| matches!(w.wish, WishKind::Require | WishKind::Prefer))
        .filter_map(|w| w.movement.as_ref())
        .chain(brief.carrying.iter().flatten());
    let mut out: Vec<Notice> = Vec::new();
    for id in asked {
        let notice = Notice::NotOfferedAlone { movement: id.clone() };
        if catalogue.find(id).is_some_and(|m| alone(&outcome[m])) && !out.contains(&notice) {
            out.push(notice);
        }
    }
    out
}

/// Required movements that are out and not told yet, each with what keeps it out.
fn required_out(
    brief: &Brief,
    catalogue: &Catalogue,
    outcome: &[Result<Ease, Removal>],
    notices: &mut Vec<Notice>,
) {
    for wish in brief.wishes.iter().filter(|w| w.wish == WishKind::Require) {
        let Some(m) = wish.movement.as_ref().and_then(|id| catalogue.find(id)) else { continue };
        let Err(removal) = &outcome[m] else { continue };
        let movement = catalogue.movements[m].id.clone();
        let told = notices.iter().any(|n| match n {
            Notice::RequiredAndForbidden { movement: id } => {
                *removal == Removal::Forbidden && *id == movement
            }
            Notice::NotOfferedAlone { movement: id } | Notice::RequiredButOut { movement: id, .. } => {
                *id == movement
            }
            _ => false,
        });
        if !told {
            let barrier = Barrier::of_removal(removal, catalogue);
            notices.push(Notice::RequiredButOut { movement, barrier });
        }
    }
}

/// The wishes that require or prefer, with the sessions asked, clipped to what is possible and told.
fn wished(brief: &Brief, catalogue: &Catalogue, notices: &mut Vec<Notice>) -> Vec<(usize, usize, i32)> {
    let mut out: Vec<(usize, usize, i32)> = Vec::new();
    for (k, w) in brief.wishes.iter().enumerate() {
        if !matches!(w.wish, WishKind::Require | WishKind::Prefer) {
            continue;
        }
        let Some(m) = w.movement.as_deref().and_then(|id| catalogue.find(id)) else {
            continue;
        };
        let asked = w.times.unwrap_or(1) as i32;
        let days = brief.days as i32;
        if asked > days {
            notices.push(Notice::AskedMoreThanPossible {
                movement: catalogue.movements[m].id.clone(),
                asked,
                possible: days,
                because: PossibleBecause::Days,
            });
        }
        if !out.iter().any(|(_, seen, _)| *seen == m) {
            out.push((k, m, asked.min(days)));
        }
    }
    out
}

fn groups(
    brief: &Brief,
    catalogue: &Catalogue,
    weights: &Weights,
    eases: &[Option<Ease>],
    notices: &mut Vec<Notice>,
) -> Vec<Group> {
    let mut ids: Vec<&String> = Vec::new();
    for p in &catalogue.patterns {
        if let Some(g) = &p.base_group
            && !ids.contains(&g)
        {
            ids.push(g);
        }
    }
    let x = &weights.exposures;
    let wanted = if brief.days as i32 >= x.base_group_wanted_from_days { x.base_group_wanted } else { 1 };
    ids.into_iter()
        .map(|id| {
            let mut of_group = catalogue
                .movements
                .iter()
                .enumerate()
                .filter(|(_, m)| catalogue.patterns[m.pattern].base_group.as_ref() == Some(id));
            let available = of_group.clone().any(|(m, _)| eases[m].is_some());
            if !available {
                let by_choice = of_group.any(|(_, m)| {
                    brief.wishes.iter().any(|w| {
                        w.wish == WishKind::Forbid
                            && (w.movement.as_ref() == Some(&m.id)
                                || w.pattern.as_ref() == Some(&catalogue.patterns[m.pattern].id))
                    })
                });
                notices.push(Notice::GroupUnavailable { group: id.clone(), by_choice });
            }
            Group { id: id.clone(), exposures_wanted: if available { wanted } else { 0 } }
        })
        .collect()
}

fn day(brief: &Brief, weights: &Weights, weekday: i32, index: usize) -> Day {
    let s = &weights.session;
    let minutes = brief.minutes_of(index) as i32;
    let mut warm_up_s = below(&s.warm_up_by_minutes, s.warm_up_otherwise, minutes);
    if brief.limits.stiff_ankles {
        warm_up_s += s.ankle_mobility_s;
    }
    let extra = if brief.in_turn { s.movements_extra_in_turn } else { 0 };
    let novice = brief.training_age == TrainingAge::Novice;
    let axial = if novice { s.axial.novice } else { s.axial.otherwise };
    let grip_sore = brief.severity_of("elbow").max(brief.severity_of("wrist"));
    let age = brief.age_years.map_or(0, |a| a as i32);
    Day {
        weekday,
        warm_up_s,
        time_s: (minutes * 60 - warm_up_s).max(0),
        movements_max: below(&s.movements_by_minutes, s.movements_otherwise, minutes) + extra,
        movements_wanted: below(&s.few_by_minutes, s.few_otherwise, minutes),
        single_joint_max: below(&s.single_joint_by_minutes, s.single_joint_otherwise, minutes),
        trunk_max: s.trunk,
        axial_max: axial.min(s.axial_low_back[brief.severity_of("low_back") as usize]),
        fatigue_max: below(&s.fatigue_by_age, s.fatigue_otherwise, age),
        grip_max: s.grip[grip_sore as usize],
    }
}

fn muscles(brief: &Brief, catalogue: &Catalogue, weights: &Weights) -> Vec<model::Muscle> {
    let p = &weights.prices;
    let every = catalogue.muscles.iter().all(|m| brief.priorities.contains(&m.id));
    targets(brief, catalogue, weights)
        .into_iter()
        .zip(&catalogue.muscles)
        .map(|(Target { minimum, target, maximum, .. }, m)| {
            let support = weights.support.muscles.contains(&m.id);
            let factor = if !every && brief.priorities.contains(&m.id) { p.priority_factor } else { 1 };
            let below_target = if m.major {
                p.below_target.major
            } else if support {
                p.below_target.support
            } else {
                p.below_target.minor
            };
            let days_wanted = if m.major && target > 0 {
                weights.exposures.muscle_days_wanted.min(brief.days as i32)
            } else {
                0
            };
            model::Muscle {
                id: m.id.clone(),
                minimum,
                target,
                maximum,
                below_minimum: p.below_minimum * factor,
                below_target: below_target * factor,
                above_maximum: p.above_maximum,
                days_wanted,
                day_threshold: weights.exposures.muscle_day_threshold,
                session_cap: weights.session.muscle_cap.of(brief.training_age),
            }
        })
        .collect()
}

fn prices(brief: &Brief, weights: &Weights, movements: &[model::Movement]) -> Prices {
    let p = &weights.prices;
    let has = |side: Side| movements.iter().any(|m| m.side == side);
    let single_rest = weights
        .prescription
        .iter()
        .find(|r| r.tier == "single_joint")
        .map_or(60, |r| blend(brief.goal, r.rest_s[0], r.rest_s[1], r.rest_s[2]));
    Prices {
        group_missing: p.group_missing,
        day_missing: p.day_missing,
        near_muscle_free: p.near_muscle_free,
        near_muscle: p.near_muscle,
        near_axial_free: p.near_axial_free,
        near_axial: p.near_axial,
        near_heavy: p.near_heavy,
        longest: p.longest,
        few_movements: p.few_movements,
        no_carrying: if movements.iter().any(|m| m.carrying) { p.no_carrying } else { 0 },
        push_pull: if has(Side::Push) && has(Side::Pull) { p.push_pull } else { 0 },
        pair_saves_s: if brief.in_turn { single_rest - weights.timing.pair_change_s } else { 0 },
    }
}

struct MovementBuilder<'a> {
    brief: &'a Brief,
    catalogue: &'a Catalogue,
    weights: &'a Weights,
    groups: &'a [Group],
    carrying: &'a [usize],
    /// Base groups in which something usable takes a load.
    loaded_groups: &'a [Option<String>],
}

impl MovementBuilder<'_> {
    fn build(
        &self,
        index: usize,
        ease: Ease,
        wished: &[(usize, usize, i32)],
    ) -> (model::Movement, Prescription) {
        let (brief, weights) = (self.brief, self.weights);
        let m = &self.catalogue.movements[index];
        let pattern = &self.catalogue.patterns[m.pattern];
        let prescription = prescribe(weights, brief.goal, m, ease);
        let carrying = self.carrying.contains(&index);
        let wish = wished.iter().find(|(_, of, _)| *of == index);
        let heavy = if prescription.heavy() { heavy_class(m.heavy_class) } else { HeavyClass::None };
        let (sets_min, sets_max) = self.sets(m, carrying);
        let x = &weights.exposures;
        let mut exposures_max = if m.heavy_class == catalogue::HeavyClass::FloorPull {
            x.most_floor_pull
        } else if m.fatigue >= 5 {
            x.most_fatigue_five
        } else {
            x.most
        };
        let p = &weights.prices;
        let (mut wanted, mut price) = (0, 0);
        if carrying {
            wanted = x.carrying_wanted.min(exposures_max).min(brief.days as i32);
            price = p.carrying_exposure;
        }
        if let Some((rank, _, asked)) = wish {
            if brief.wishes[*rank].wish == WishKind::Require {
                let lower = (brief.wishes.len() - rank - 1) as i32;
                // The lifter's own number stands above the usual most.
                exposures_max = exposures_max.max(*asked);
                wanted = *asked;
                price = p.required + p.required_rank * lower;
            } else {
                wanted = wanted.max((*asked).min(exposures_max));
                price = price.max(p.preferred);
            }
        }
        let ramp = match m.tier {
            Tier::Main => weights.timing.ramp_main_s,
            _ => weights.timing.ramp_compound_s,
        };
        let single_joint = pattern.kind == PatternKind::SingleJoint;
        let first = m.direct().any(|g| brief.priorities.contains(&self.catalogue.muscles[g].id));
        let movement = model::Movement {
            id: m.id.clone(),
            set_s: work_s(weights, m, prescription) + prescription.rest_s,
            fixed_s: m.set_up_s + m.ramp_sets * ramp,
            sets_min,
            sets_max,
            pattern: m.pattern,
            group: pattern.base_group.as_ref().and_then(|g| self.groups.iter().position(|x| x.id == *g)),
            single_joint,
            counts_to_third: single_joint && !first,
            compound: pattern.kind == PatternKind::Compound,
            trunk: matches!(pattern.kind, PatternKind::Trunk | PatternKind::Carry),
            axial: m.axial,
            fatigue: m.fatigue,
            grip: m.grip,
            heavy,
            pair_class: pair_class(m),
            side: match pattern.direction {
                Direction::Push => Side::Push,
                Direction::Pull => Side::Pull,
                Direction::None => Side::None,
            },
            carrying,
            set_price: p.fatigue_set * m.fatigue + p.discomfort_set * ease.discomfort + self.avoided(m),
            session_price: self.session_price(m),
            use_price: p.distinct.of(brief.training_age),
            exposures_max,
            exposures_wanted: wanted,
            exposure_price: price,
            trains: m
                .trains
                .iter()
                .map(|a| Share { muscle: a.muscle, half_sets: a.share.half_sets() })
                .collect(),
        };
        (movement, prescription)
    }

    fn sets(&self, m: &Movement, carrying: bool) -> (i32, i32) {
        let s = &self.weights.sets;
        let (low, high) = match m.tier {
            Tier::Main => s.main,
            Tier::Compound => s.compound,
            Tier::SingleJoint => s.single_joint,
            Tier::Trunk => s.trunk,
        };
        let low = if carrying { s.carrying_min } else { low };
        let less = self.brief.training_age == TrainingAge::Novice && m.tier != Tier::Trunk;
        let high = (high - if less { s.novice_less } else { 0 }).max(low);
        (low, high)
    }

    fn avoided(&self, m: &Movement) -> i32 {
        let pattern = &self.catalogue.patterns[m.pattern].id;
        let avoided = self.brief.wishes.iter().any(|w| {
            w.wish == WishKind::Avoid
                && (w.movement.as_ref() == Some(&m.id) || w.pattern.as_ref() == Some(pattern))
        });
        if avoided { self.weights.prices.avoid_set } else { 0 }
    }

    fn session_price(&self, m: &Movement) -> i32 {
        let p = &self.weights.prices;
        let pattern = &self.catalogue.patterns[m.pattern];
        let brief = self.brief;
        let strength = |price: i32| blend(brief.goal, price, 0, 0);
        let mastered = brief.training_age as i32 + 1;
        let mut price = p.skill_session * (m.skill - mastered).max(0);
        let compound = matches!(m.tier, Tier::Main | Tier::Compound);
        if compound && !takes_load(m) && self.loaded_groups.contains(&pattern.base_group) {
            price += p.no_load_session.of(brief.training_age);
        }
        if compound && m.measure == Measure::Hold {
            price += p.hold_session;
        }
        if m.laterality == Laterality::Each && compound {
            price += strength(p.one_sided_session);
        }
        if m.tier == Tier::Compound {
            price += strength(p.light_session);
        }
        let explosive = m.joint_actions.iter().any(|a| a.contains("fast"));
        if explosive {
            let novice = brief.training_age == TrainingAge::Novice;
            price += if novice { p.explosive_session } else { blend(brief.goal, 0, 0, p.explosive_session) };
        }
        if brief.limits.stiff_ankles && self.catalogue.region("ankle").is_some_and(|r| m.flag(r) > 0) {
            price += p.ankle_session;
        }
        price
    }
}

/// Whether load can be added to a movement step by step.
fn takes_load(m: &Movement) -> bool {
    !matches!(m.load_kind, LoadKind::BodyMass | LoadKind::Band)
}

fn heavy_class(class: catalogue::HeavyClass) -> HeavyClass {
    match class {
        catalogue::HeavyClass::None => HeavyClass::None,
        catalogue::HeavyClass::Squat => HeavyClass::Squat,
        catalogue::HeavyClass::FloorPull => HeavyClass::FloorPull,
    }
}

/// Only movements that are neither main nor hard on the spine are done in turn with another.
fn pair_class(m: &Movement) -> PairClass {
    if m.tier == Tier::Main || m.axial > 1 {
        return PairClass::None;
    }
    match m.pair_class {
        catalogue::PairClass::Push => PairClass::Push,
        catalogue::PairClass::Pull => PairClass::Pull,
        catalogue::PairClass::Legs => PairClass::Legs,
        catalogue::PairClass::Trunk => PairClass::Trunk,
        catalogue::PairClass::None => PairClass::None,
    }
}

/// What the numbers say before any search.
fn reachability(brief: &Brief, instance: &Instance) -> Vec<Notice> {
    let mut out = Vec::new();
    if instance.movements.len() < 3 {
        out.push(Notice::NothingLeft);
    }
    let severe = brief.discomforts.iter().filter(|d| d.severity == super::brief::Severity::Severe).count();
    if severe >= 4 {
        out.push(Notice::SeeCareFirst);
    }
    let shortest = instance.movements.iter().map(|m| m.fixed_s + m.set_s * m.sets_min).min();
    for (d, day) in instance.days.iter().enumerate() {
        if let Some(shortest) = shortest.filter(|s| *s > day.time_s) {
            let useful_minutes = (shortest + day.warm_up_s + 59) / 60;
            out.push(Notice::TimeBelowOneMovement { day: d, useful_minutes });
        }
    }
    for (g, muscle) in instance.muscles.iter().enumerate() {
        let trained = instance.movements.iter().any(|m| m.trains.iter().any(|t| t.muscle == g));
        if !trained && muscle.target > 0 {
            out.push(Notice::MuscleUnavailable { muscle: muscle.id.clone() });
        }
    }
    for m in &instance.movements {
        if m.exposures_wanted > instance.days.len() as i32 {
            out.push(Notice::AskedMoreThanPossible {
                movement: m.id.clone(),
                asked: m.exposures_wanted,
                possible: instance.days.len() as i32,
                because: PossibleBecause::MostPerWeek,
            });
        }
    }
    out
}
