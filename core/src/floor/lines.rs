//! The lines of a session: how they are built, and what safety takes out or eases, asked anew whenever the
//! circumstances change.

use super::house::House;
use super::loads::{eased, loading};
use super::rest::rest_of;
use super::state::{Line, LoadBecause, Loading, Out, State, Told};
use crate::catalogue::{Catalogue, Laterality, LoadKind, Measure, Movement, Tier};
use crate::plan::prescription::{Prescription, work_s};
use crate::plan::programme::Tempo;
use crate::safety::{Ease, Refusal, permit};
use crate::terms::{heaviest_set, heavy_set};

/// Repetitions over the range that a proposal may aim at.
const MOST_OVER: u32 = 2;

/// What is asked of a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    pub(super) sets: i32,
    pub(super) low: i32,
    pub(super) high: i32,
    pub(super) reserve: i32,
    pub(super) rest_s: Option<i32>,
    pub(super) ramp_sets: i32,
    pub(super) tempo: Option<Tempo>,
}

/// Repetitions and reserve as safety leaves them.
fn ease_to((low, high, reserve): (i32, i32, i32), measure: Measure, ease: Ease) -> (i32, i32, i32) {
    let (mut low, mut high) = (low.max(1), high.max(low).max(1));
    if measure == Measure::Repetitions && low < ease.reps_at_least {
        high = high.max(ease.reps_at_least + (high - low).max(2));
        low = ease.reps_at_least;
    }
    (low, high, reserve.max(ease.reserve_at_least).max(0))
}

/// What a movement must be eased to where `asked` of it is the heaviest work and this lifter may not do that now: the
/// estimate then comes from fewer kilograms.
fn no_heaviest(
    state: &State,
    house: &House<'_>,
    movement: &Movement,
    asked: (i32, i32, i32),
    mut ease: Ease,
) -> Ease {
    let (low, _, reserve) = ease_to(asked, movement.measure, ease);
    let heaviest = movement.measure == Measure::Repetitions && heaviest_set(low, reserve);
    if heaviest && !house.heaviest_allowed(state, movement) {
        ease.reps_at_least = ease.reps_at_least.max(INSTEAD_OF_HEAVIEST.0);
        ease.reserve_at_least = ease.reserve_at_least.max(INSTEAD_OF_HEAVIEST.1);
    }
    ease
}

/// Fewest repetitions and reserve in the place of the heaviest work: what the published equations estimate a maximum
/// from without going near it (common practice, no source).
const INSTEAD_OF_HEAVIEST: (i32, i32) = (3, 2);

fn heavy(movement: &Movement, low: i32, reserve: i32) -> bool {
    matches!(movement.tier, Tier::Main | Tier::Compound) && heavy_set(low, reserve)
}

/// The name of a refusal for the screen, and its region.
pub(super) fn told(catalogue: &Catalogue, refusal: Refusal) -> (String, Option<String>) {
    let region = |r: usize| catalogue.regions.get(r).map(|n| n.id.clone());
    match refusal {
        Refusal::Discomfort { region: r, .. } => ("discomfort".into(), region(r)),
        Refusal::NewDiscomfort { region: r } => ("new_discomfort".into(), region(r)),
        Refusal::AfterSurgery { region: r } => ("after_surgery".into(), region(r)),
        Refusal::RegionOut { region: r } => ("region_out".into(), region(r)),
        Refusal::LyingOnBack => ("lying_on_back".into(), None),
        Refusal::LyingOnFront => ("lying_on_front".into(), None),
        Refusal::AloneWithoutSafeties => ("alone_without_safeties".into(), None),
    }
}

/// A line as it is done now.
pub(super) fn build_line(state: &State, house: &House<'_>, id: &str, asked: Asked, planned: bool) -> Line {
    let base = (asked.low, asked.high, asked.reserve);
    let mut line = Line {
        movement: id.to_owned(),
        planned,
        stands_in_for: None,
        sets: asked.sets.clamp(1, 30),
        planned_sets: asked.sets.clamp(1, 30),
        low: asked.low,
        high: asked.high,
        reserve: asked.reserve,
        asked: base,
        amount: asked.high.max(1) as u32,
        measure: Measure::Repetitions,
        load_kind: LoadKind::BodyMass,
        each: false,
        heavy: false,
        rest_s: 60,
        rest_from: super::state::RestFrom::Floor,
        work_s: 30,
        set_up_s: 0,
        implement: None,
        loading: Loading::Unknown { because: "unknown_movement".into() },
        per_side: Vec::new(),
        tempo: None,
        ramp_sets: 0,
        ramp: Vec::new(),
        ramp_done: 0,
        out: None,
        eased: false,
    };
    let Some(movement) = house.catalogue.movement(id) else {
        line.out = Some(Out::Safety { reason: "unknown_movement".into(), region: None });
        return line;
    };
    let around = house.circumstances(state);
    let ease = match permit(movement, &around) {
        Ok(ease) => ease,
        Err(refusal) => {
            let (reason, region) = told(house.catalogue, refusal);
            line.out = Some(Out::Safety { reason, region });
            Ease::default()
        }
    };
    line.measure = movement.measure;
    line.tempo = asked.tempo.filter(|t| t.repetition_s() > 0 && movement.measure == Measure::Repetitions);
    line.load_kind = movement.load_kind;
    line.each = movement.laterality == Laterality::Each;
    line.set_up_s = movement.set_up_s;
    line.ramp_sets = asked.ramp_sets.max(0) as u32;
    let ease = no_heaviest(state, house, movement, base, ease);
    set_effort(&mut line, house, movement, ease, asked.rest_s);
    let brief = house.brief_now(state);
    let kit = house.kit(state);
    let (with, load, amount) = {
        let asked = line.eased.then(|| ((line.asked.1.max(1), line.asked.2.max(0)), line.low));
        loading(house, &brief, &kit, movement, (line.high, line.reserve), asked)
    };
    line.implement = with;
    line.loading = load;
    if let Some(amount) = amount {
        // Under the range where nothing lighter can be made, unless safety sets the fewest; at most two over it where
        // the next load is far.
        let fewest = if ease.reps_at_least > 0 { line.low.max(1) as u32 } else { 1 };
        let most = (line.high.max(1) as u32 + MOST_OVER).max(fewest);
        line.amount = amount.clamp(fewest, most);
    }
    line
}

/// Repetitions, reserve, rest and work time for an ease.
fn set_effort(line: &mut Line, house: &House<'_>, movement: &Movement, ease: Ease, programme: Option<i32>) {
    (line.low, line.high, line.reserve) = ease_to(line.asked, movement.measure, ease);
    line.eased = (line.low, line.reserve) != (line.asked.0.max(1), line.asked.2.max(0));
    line.amount = line.high as u32;
    line.heavy = heavy(movement, line.low, line.reserve);
    (line.rest_s, line.rest_from) = rest_of(house, movement, line.heavy, programme);
    let p = Prescription { low: line.low, high: line.high, reserve: line.reserve, rest_s: line.rest_s };
    let by_tempo = line.tempo.map_or(0, |t| t.repetition_s() * line.amount as i32);
    line.work_s = work_s(house.weights, movement, p).max(by_tempo).max(10);
}

/// Asks safety anew about every line: what it takes out, what it eases, and what may come back.
pub(super) fn recheck(state: &mut State, house: &House<'_>) {
    let around = house.circumstances(state);
    let kit = house.kit(state);
    let mut news = Vec::new();
    // Worked out before the lines are changed one by one.
    let eases: Vec<(i32, i32)> = (state.lines.iter())
        .map(|line| match house.catalogue.movement(&line.movement) {
            Some(m) => {
                let ease = permit(m, &around).unwrap_or_default();
                let ease = no_heaviest(state, house, m, line.asked, ease);
                (ease.reps_at_least, ease.reserve_at_least)
            }
            None => (0, 0),
        })
        .collect();
    for k in 0..state.lines.len() {
        let begun = state.standing().any(|s| s.line == k);
        let open = state.done_of(k) < state.lines.get(k).map_or(0, |l| l.sets);
        let Some(line) = state.lines.get_mut(k) else { continue };
        let Some(movement) = house.catalogue.movement(&line.movement) else { continue };
        if !matches!(line.out, None | Some(Out::Safety { .. })) || !open {
            continue;
        }
        match permit(movement, &around) {
            Err(refusal) => {
                let (reason, region) = told(house.catalogue, refusal);
                let out = Out::Safety { reason: reason.clone(), region: region.clone() };
                let tell = Told::Out { movement: line.movement.clone(), reason, region };
                if line.out.as_ref() != Some(&out) || !begun {
                    news.push(tell);
                }
                line.out = Some(out);
            }
            Ok(ease) => {
                line.out = None;
                let ease = match eases.get(k) {
                    Some((reps, reserve)) => Ease {
                        reps_at_least: ease.reps_at_least.max(*reps),
                        reserve_at_least: ease.reserve_at_least.max(*reserve),
                        ..ease
                    },
                    None => ease,
                };
                let before = (line.high, line.reserve);
                let programme = Some(line.rest_s).filter(|_| {
                    line.rest_from == super::state::RestFrom::Programme
                        || line.rest_from == super::state::RestFrom::Floor
                });
                let (low, _, reserve) = ease_to(line.asked, movement.measure, ease);
                if (low, reserve) == (line.low, line.reserve) {
                    continue;
                }
                let stricter = low > line.low || reserve > line.reserve;
                let amount = line.amount;
                set_effort(line, house, movement, ease, programme);
                if let (Loading::Weight { made, .. }, Some(with)) = (&line.loading, &line.implement) {
                    // Less strict again, a line keeps the lighter load until the lifter asks for more.
                    if stricter
                        && let Some((wanted, made)) =
                            eased(&kit, with, made, before, (line.high, line.reserve))
                    {
                        line.loading = Loading::Weight { wanted, made, because: LoadBecause::Eased };
                        line.per_side.clear();
                    }
                }
                if stricter {
                    news.push(Told::Eased { movement: line.movement.clone() });
                } else {
                    line.amount = amount.clamp(line.low as u32, line.high as u32);
                }
            }
        }
    }
    for tell in news {
        if !state.told.contains(&tell) {
            state.told.push(tell);
        }
    }
}
