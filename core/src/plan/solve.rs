//! From a brief to a programme: build, search, prove, order, and set out the block.

use super::block::{PeakLine, block};
use super::bound;
use super::brief::{Brief, Weekday, WishKind};
use super::model::{Week, score};
use super::order::{order, turns};
use super::programme::{Answer, Certificate, Line, Mark, MuscleVolume, Programme, ProgrammeDay, WarmUp};
use super::search::{Effort, Found, Progress, Ranges, search};
use super::{Case, Keep, Weights, build};
use crate::catalogue::{Catalogue, ShareKind};

/// A solved brief: the case, the week in the order in which it is done, and what is known of it.
#[derive(Debug, Clone)]
pub struct Solved {
    /// The brief in numbers.
    pub case: Case,
    /// The week, lines in order.
    pub week: Week,
    /// What is known of it.
    pub certificate: Certificate,
}

/// What the parts of the plan need besides a brief.
#[derive(Debug, Clone, Copy)]
pub struct Planner<'a> {
    /// The catalogue, with the brief's own movements.
    pub catalogue: &'a Catalogue,
    /// The weights.
    pub weights: &'a Weights,
}

impl<'a> Planner<'a> {
    /// A planner on a catalogue and weights.
    pub fn new(catalogue: &'a Catalogue, weights: &'a Weights) -> Self {
        Self { catalogue, weights }
    }

    /// Solves a brief. `control` is told the progress; `false` stops with the best found until then.
    ///
    /// Never fails: the empty week keeps every limit, and what could not be met is in the notices and shortfalls.
    pub fn solve(&self, brief: &Brief, effort: Effort, control: &mut dyn FnMut(Progress) -> bool) -> Solved {
        let case = build(brief, self.catalogue, self.weights, Keep::Undominated);
        let ranges = Ranges::free(&case.instance);
        let found = search(&case.instance, &ranges, None, effort, control);
        self.finish(brief, case, found)
    }

    /// Raises what is known of a solved week: no week has fewer points than `certificate.at_least`.
    pub fn prove(
        &self,
        solved: &mut Solved,
        effort: bound::Effort,
        control: &mut dyn FnMut(bound::Progress) -> bool,
    ) {
        let found = bound::lower_bound(&solved.case.instance, Some(&solved.week), effort, control);
        let certificate = &mut solved.certificate;
        certificate.at_least = certificate.at_least.max(found.points);
    }

    pub(super) fn finish(&self, brief: &Brief, case: Case, found: Option<Found>) -> Solved {
        let days = case.instance.days.len();
        let (week, points, locally_best, evaluations) = found.map_or_else(
            || {
                let week = Week::empty(days);
                let points = score(&case.instance, &week).total();
                (week, points, false, 0)
            },
            |f| (f.week, f.points, f.locally_best, f.evaluations),
        );
        let priorities: Vec<usize> =
            brief.priorities.iter().filter_map(|id| self.catalogue.muscle(id)).collect();
        let week = order(&case, self.catalogue, &priorities, &week);
        let certificate =
            Certificate { points, at_least: 0, no_single_change_improves: locally_best, evaluations };
        Solved { case, week, certificate }
    }

    /// Sets out a solved brief as a programme.
    pub fn programme(&self, brief: &Brief, solved: &Solved) -> Answer {
        let case = &solved.case;
        let instance = &case.instance;
        let score = score(instance, &solved.week);
        let mut days = Vec::new();
        let mut peak = Vec::new();
        for (d, slots) in solved.week.days.iter().enumerate() {
            let day = &instance.days[d];
            let mobility = self.mobility_s(brief);
            let mut lines = Vec::new();
            let mut peak_lines = Vec::new();
            for s in slots {
                let index = case.movements[s.movement];
                let m = &self.catalogue.movements[index];
                let p = case.prescriptions[s.movement];
                let carrying = instance.movements[s.movement].carrying;
                let required = brief
                    .wishes
                    .iter()
                    .any(|w| w.wish == WishKind::Require && w.movement.as_deref() == Some(m.id.as_str()));
                lines.push(Line {
                    movement: m.id.clone(),
                    carrying,
                    mark: if carrying || required { Mark::Keep } else { Mark::MayBend },
                    sets: s.sets,
                    measure: m.measure,
                    low: p.low,
                    high: p.high,
                    reserve: p.reserve,
                    rest_s: p.rest_s,
                    ramp_sets: m.ramp_sets,
                    tempo: None,
                    cue: None,
                });
                peak_lines.push(PeakLine {
                    sets: s.sets,
                    reserve: p.reserve,
                    reserve_at_least: case.eases[index].map_or(0, |e| e.reserve_at_least),
                    tier: m.tier,
                });
            }
            days.push(ProgrammeDay {
                weekday: Weekday::ALL[(day.weekday.rem_euclid(7)) as usize],
                minutes_at_hand: brief.minutes_of(d) as i32,
                seconds: score.day_seconds[d] + day.warm_up_s,
                warm_up: WarmUp { general_s: day.warm_up_s - mobility, ankle_mobility_s: mobility },
                lines,
                in_turn: turns(case, slots),
            });
            peak.push(peak_lines);
        }
        let mut never: Vec<String> = Vec::new();
        for (m, removal) in &case.removed {
            if *removal == super::filter::Removal::Forbidden {
                never.push(self.catalogue.movements[*m].id.clone());
            }
        }
        let own_movements = Programme::named_of(&days, &brief.own_movements);
        let programme = Programme {
            format: "plinth.programme/1".into(),
            title: brief.title.clone(),
            catalogue_version: self.catalogue.version.clone(),
            weights_version: self.weights.version.clone(),
            goal: brief.goal,
            training_age: brief.training_age,
            days,
            never,
            block: block(brief.weeks as i32, brief.training_age, &peak),
            weekly_sets: volumes(self, solved),
            certificate: solved.certificate.clone(),
            own_movements,
        };
        Answer { programme, notices: case.notices.clone() }
    }

    /// Seconds of ankle mobility in the warm-up.
    pub(super) fn mobility_s(&self, brief: &Brief) -> i32 {
        if brief.limits.stiff_ankles { self.weights.session.ankle_mobility_s } else { 0 }
    }
}

/// Weekly volume of each muscle, direct and shared apart.
pub(super) fn volumes(planner: &Planner, solved: &Solved) -> Vec<MuscleVolume> {
    let instance = &solved.case.instance;
    let mut out: Vec<MuscleVolume> = instance
        .muscles
        .iter()
        .map(|m| MuscleVolume {
            muscle: m.id.clone(),
            direct: 0,
            shared: 0,
            minimum: m.minimum,
            target: m.target,
            maximum: m.maximum,
            days: 0,
        })
        .collect();
    for slots in &solved.week.days {
        let mut today = vec![0; out.len()];
        for s in slots {
            let m = &planner.catalogue.movements[solved.case.movements[s.movement]];
            for a in &m.trains {
                let half_sets = a.share.half_sets() * s.sets;
                today[a.muscle] += half_sets;
                match a.share {
                    ShareKind::Direct => out[a.muscle].direct += half_sets,
                    ShareKind::Indirect => out[a.muscle].shared += half_sets,
                }
            }
        }
        for (g, half_sets) in today.into_iter().enumerate() {
            out[g].days += i32::from(half_sets >= instance.muscles[g].day_threshold);
        }
    }
    out
}
