//! What may become of each published line.

use super::difference::{LEVELS, Nearness, Reason};
use crate::catalogue::{Catalogue, StandInKind, Tier};
use crate::plan::brief::{Brief, WishKind};
use crate::plan::filter::{circumstances, missing_kit, owned_kit};
use crate::plan::prescription::{Prescription, prescribe, work_s};
use crate::plan::programme::{Line, Mark, Programme};
use crate::plan::{Case, Planner};
use crate::safety::{Circumstances, Ease, Refusal, permit};
use crate::terms::{floor_of_rest_s, heavy_set};

/// Which published days stay, and which lines of the others are wanted elsewhere.
#[derive(Debug)]
pub(super) struct Kept {
    /// Published days that stay, in order.
    pub(super) stay: Vec<usize>,
    /// Lines (published day, line) of the days left out that are folded into the others.
    pub(super) fold: Vec<(usize, usize)>,
}

/// Most lines folded in: four are more than a week of missing days should add.
const FOLDED: usize = 4;

/// The ids of the movements that carry a programme.
pub(super) fn carrying(published: &Programme) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for line in published.days.iter().flat_map(|d| &d.lines) {
        if line.carrying && !out.contains(&line.movement) {
            out.push(line.movement.clone());
        }
    }
    out
}

/// Movements without a day, their sessions lost, sets lost, the days that stay.
type LeftOutKey = (usize, usize, i32, Vec<usize>);

fn leads(line: &Line) -> bool {
    line.carrying || line.mark == Mark::Keep
}

/// Of all choices of `days` published days the one that leaves the fewest carrying movements without a day,
/// then loses the fewest of their sessions, then the fewest sets, then the latest days. Kit plays no part.
pub(super) fn days_that_stay(catalogue: &Catalogue, published: &Programme, days: usize) -> Kept {
    let n = published.days.len();
    if days >= n || n > 14 {
        return Kept { stay: (0..n.min(days)).collect(), fold: Vec::new() };
    }
    let known = |l: &Line| catalogue.find(&l.movement).is_some();
    let mut best: Option<(LeftOutKey, Kept)> = None;
    for mask in 0u32..1 << n {
        if mask.count_ones() as usize != days {
            continue;
        }
        let stay: Vec<usize> = (0..n).filter(|d| mask >> d & 1 == 1).collect();
        let there = |id: &str| stay.iter().any(|d| published.days[*d].lines.iter().any(|l| l.movement == id));
        let mut fold: Vec<(usize, usize)> = Vec::new();
        let (mut sessions, mut sets) = (0, 0);
        for d in (0..n).filter(|d| mask >> d & 1 == 0) {
            for (k, line) in published.days[d].lines.iter().enumerate() {
                sets += line.sets;
                if !leads(line) {
                    continue;
                }
                sessions += 1;
                let again = fold.iter().any(|(e, j)| published.days[*e].lines[*j].movement == line.movement);
                if known(line) && !there(&line.movement) && !again {
                    fold.push((d, k));
                }
            }
        }
        let key = (fold.len(), sessions, sets, stay.clone());
        if best.as_ref().is_none_or(|(b, _)| key < *b) {
            best = Some((key, Kept { stay, fold }));
        }
    }
    let mut kept = best.map_or(Kept { stay: Vec::new(), fold: Vec::new() }, |b| b.1);
    if kept.stay.is_empty() {
        kept.fold.clear();
    }
    kept.fold.sort_by_key(|(d, k)| (!published.days[*d].lines[*k].carrying, *d, *k));
    kept.fold.truncate(FOLDED);
    kept
}

/// One thing that a line may become.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// Index of the movement, in the catalogue and in the case alike.
    pub(super) movement: usize,
    pub(super) prescription: Prescription,
    pub(super) ramp_sets: i32,
    pub(super) set_s: i32,
    pub(super) fixed_s: i32,
    /// Fewest and most sets.
    pub(super) sets: (i32, i32),
    /// `None` for the published movement itself.
    pub(super) nearness: Option<Nearness>,
    pub(super) heavy: bool,
    pub(super) because: Option<String>,
}

/// A published line with all that it may become, besides being left out.
#[derive(Debug, Clone)]
pub(super) struct Options {
    /// Published day and line.
    pub(super) place: (usize, usize),
    pub(super) keep: bool,
    /// 2 carrying, 1 another compound, 0 single-joint or trunk.
    pub(super) weight: i32,
    pub(super) sets: i32,
    /// The published movement comes first when it is possible; then the stand-ins, nearest first.
    pub(super) choices: Vec<Choice>,
    /// Why the published movement is not possible.
    pub(super) impossible: Option<Reason>,
}

impl Options {
    /// The change that a choice makes, by level.
    pub(super) fn change(&self, choice: Option<(&Choice, i32)>) -> [i32; LEVELS] {
        let (lost, dropped, distance, sets) = match choice {
            None => (1, 1, 0, 0),
            Some((c, sets)) => (i32::from(c.nearness.is_some()), 0, c.nearness.map_or(0, |n| n as i32), sets),
        };
        let off = self.sets - sets;
        let compound = i32::from(self.weight > 0);
        [i32::from(self.keep) * lost, lost, dropped, self.weight * lost, distance, off, compound * off]
    }
}

/// All that the adaptation needs to know.
pub(super) struct Ground<'a> {
    pub(super) planner: &'a Planner<'a>,
    pub(super) published: &'a Programme,
    pub(super) brief: &'a Brief,
    /// Everything of the catalogue, in its order.
    pub(super) case: &'a Case,
    pub(super) around: Circumstances,
    owned: Vec<bool>,
}

impl<'a> Ground<'a> {
    pub(super) fn new(
        planner: &'a Planner<'a>,
        published: &'a Programme,
        brief: &'a Brief,
        case: &'a Case,
    ) -> Self {
        let around = circumstances(brief, planner.catalogue);
        let owned = owned_kit(brief, planner.catalogue);
        Self { planner, published, brief, case, around, owned }
    }

    /// Most sessions of a movement in the week: the usual most, or as many as were published.
    pub(super) fn most_sessions(&self, movement: usize) -> i32 {
        let id = &self.planner.catalogue.movements[movement].id;
        let lines = self.published.days.iter().flat_map(|d| &d.lines);
        let published = lines.filter(|l| l.movement == *id).count() as i32;
        self.case.instance.movements[movement].exposures_max.max(published)
    }

    pub(super) fn line(&self, place: (usize, usize)) -> &'a Line {
        &self.published.days[place.0].lines[place.1]
    }

    pub(super) fn forbids(&self, movement: usize) -> bool {
        let m = &self.planner.catalogue.movements[movement];
        let pattern = &self.planner.catalogue.patterns[m.pattern].id;
        self.brief.wishes.iter().filter(|w| w.wish == WishKind::Forbid).any(|w| {
            w.movement.as_deref() == Some(m.id.as_str()) || w.pattern.as_deref() == Some(pattern.as_str())
        })
    }

    /// Why the published movement of a line cannot be done, if so.
    fn impossible(&self, movement: usize, keep: bool) -> Result<Ease, Reason> {
        let m = &self.planner.catalogue.movements[movement];
        let ease = permit(m, &self.around).map_err(|refusal| Reason::Safety { refusal })?;
        let missing = missing_kit(m, &self.owned);
        if !missing.is_empty() {
            let name = |k: &usize| self.planner.catalogue.equipment[*k].id.clone();
            return Err(Reason::Kit { missing: missing.iter().map(name).collect() });
        }
        // A coach's *keep* stands above wish and skill: the coach answers for the technique.
        if !keep && self.forbids(movement) {
            return Err(Reason::Forbidden);
        }
        if !keep && m.skill > self.brief.training_age as i32 + 3 {
            return Err(Reason::Skill);
        }
        Ok(ease)
    }

    fn choice(&self, movement: usize, p: Prescription, ramp_sets: i32, sets: (i32, i32)) -> Choice {
        let m = &self.planner.catalogue.movements[movement];
        let w = self.planner.weights;
        let ramp = if m.tier == Tier::Main { w.timing.ramp_main_s } else { w.timing.ramp_compound_s };
        Choice {
            movement,
            prescription: p,
            ramp_sets,
            set_s: work_s(w, m, p) + p.rest_s,
            fixed_s: m.set_up_s + ramp_sets * ramp,
            sets,
            nearness: None,
            heavy: p.heavy(),
            because: None,
        }
    }

    /// What a published line may become.
    pub(super) fn options(&self, place: (usize, usize)) -> Options {
        let line = self.line(place);
        let catalogue = self.planner.catalogue;
        let keep = line.mark == Mark::Keep;
        let sets = line.sets.clamp(1, 20);
        let Some(movement) = catalogue.find(&line.movement) else {
            let weight = if line.carrying { 2 } else { 1 };
            let impossible = Some(Reason::Unknown);
            return Options { place, keep, weight, sets, choices: Vec::new(), impossible };
        };
        let m = &catalogue.movements[movement];
        let compound = matches!(m.tier, Tier::Main | Tier::Compound);
        let weight = if line.carrying { 2 } else { i32::from(compound) };
        let fewest = if line.carrying { self.planner.weights.sets.carrying_min.min(sets) } else { 1 };
        let mut choices = Vec::new();
        let mut impossible = None;
        match self.impossible(movement, keep) {
            Ok(ease) => {
                // Numbers from a file, held to what a session can hold.
                let low = line.low.clamp(1, 1000);
                let published = Prescription {
                    low,
                    high: line.high.clamp(low, 1000),
                    reserve: line.reserve.clamp(0, 20),
                    rest_s: line.rest_s.clamp(0, 3600),
                };
                let p =
                    eased(published, ease, compound, line.measure == crate::catalogue::Measure::Repetitions);
                let ramp_sets = line.ramp_sets.clamp(m.ramp_sets, 10.max(m.ramp_sets));
                choices.push(self.choice(movement, p, ramp_sets, (fewest, sets)));
            }
            Err(reason) => impossible = Some(reason),
        }
        let refusal = permit(m, &self.around).err();
        for (to, nearness, because) in self.stand_ins(movement, keep, refusal) {
            let Ok(ease) = permit(&catalogue.movements[to], &self.around) else { continue };
            let t = &catalogue.movements[to];
            let p = prescribe(self.planner.weights, self.published.goal, t, ease);
            let most = sets.min(self.case.instance.movements[to].sets_max.max(fewest));
            let choice = self.choice(to, p, t.ramp_sets, (fewest.min(most), most));
            choices.push(Choice { nearness: Some(nearness), because, ..choice });
        }
        Options { place, keep, weight, sets, choices, impossible }
    }

    /// Possible stand-ins, nearest first: none that the programme or the lifter bars.
    fn stand_ins(
        &self,
        from: usize,
        keep: bool,
        refusal: Option<Refusal>,
    ) -> Vec<(usize, Nearness, Option<String>)> {
        let catalogue = self.planner.catalogue;
        let pattern = catalogue.movements[from].pattern;
        let group = &catalogue.patterns[pattern].base_group;
        let mut out: Vec<(usize, Nearness, Option<String>)> = Vec::new();
        for (to, m) in catalogue.movements.iter().enumerate() {
            if to == from || self.case.eases[to].is_none() || self.published.never.contains(&m.id) {
                continue;
            }
            let mut edges = catalogue
                .stand_ins_of(from)
                .filter(|s| s.to == to && s.kind != StandInKind::Pairing)
                .peekable();
            let named = edges.peek().is_some();
            let because = edges.peek().map(|s| s.reason.clone());
            let fitting = edges.find(|s| fits(s.kind, refusal));
            let same = m.pattern == pattern;
            let nearness = match (same, named, &fitting) {
                (true, _, Some(_)) => Nearness::NamedForThis,
                (true, true, None) => Nearness::Named,
                (true, false, None) => Nearness::SamePattern,
                (false, true, _) if keep => Nearness::NamedElsewhere,
                (false, false, _)
                    if keep && group.is_some() && catalogue.patterns[m.pattern].base_group == *group =>
                {
                    Nearness::SameGroup
                }
                _ => continue,
            };
            out.push((to, nearness, fitting.map(|s| s.reason.clone()).or(because)));
        }
        out.sort_by_key(|(to, nearness, _)| (*nearness, *to));
        out
    }
}

/// Whether a stand-in of this kind is meant for the occasion. Where safety has no say every occasion counts
/// the same, so that how near a stand-in is does not depend on the kit at hand.
fn fits(kind: StandInKind, refusal: Option<Refusal>) -> bool {
    match refusal {
        None => matches!(kind, StandInKind::Equipment | StandInKind::Busy | StandInKind::Lateral),
        Some(Refusal::AloneWithoutSafeties) => kind == StandInKind::Alone,
        Some(
            Refusal::Discomfort { region, .. }
            | Refusal::NewDiscomfort { region }
            | Refusal::AfterSurgery { region }
            | Refusal::RegionOut { region },
        ) => kind == StandInKind::Discomfort(region),
        Some(Refusal::LyingOnBack | Refusal::LyingOnFront) => kind == StandInKind::Lateral,
    }
}

/// A published prescription, eased where safety asks and with its floor of rest.
fn eased(published: Prescription, ease: Ease, compound: bool, repetitions: bool) -> Prescription {
    let mut p = published;
    if repetitions && p.low < ease.reps_at_least {
        p.high = p.high.max(ease.reps_at_least + (p.high - p.low).max(2));
        p.low = ease.reps_at_least;
    }
    p.reserve = p.reserve.max(ease.reserve_at_least);
    p.rest_s = p.rest_s.max(floor_of_rest_s(compound && heavy_set(p.low, p.reserve)));
    p
}
