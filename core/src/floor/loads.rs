//! How heavy each line is with the kit at hand, its ramp, and the discs on a bar.

use super::house::House;
use super::state::{Line, LoadBecause, Loading, RampNow, State};
use crate::catalogue::{LoadKind, Measure, Movement};
use crate::load::first::{Best, first_loads, from_bests};
use crate::load::percent::for_set;
use crate::load::ramp::{RampRequest, load_session, ramp};
use crate::load::route::Place;
use crate::load::{BarLoads, Implement, Kit, Mass, Rounding, loads_of, make};
use crate::plan::brief::Brief;
use crate::plan::loads::{first_kind, implement, implement_at};

/// The load of a movement for `high` repetitions that leave `reserve`, and what it is loaded with.
///
/// A proposal from what was done stands above recent bests; without either the first load is searched for. `asked` is
/// what was written, where safety eases it for this session: most repetitions with their reserve, and the fewest
/// repetitions now.
pub(super) fn loading(
    house: &House<'_>,
    brief: &Brief,
    kit: &Kit,
    movement: &Movement,
    (high, reserve): (i32, i32),
    asked: Option<((i32, i32), i32)>,
) -> (Option<Implement>, Loading, Option<u32>) {
    let usual = match house.proposals.get(&movement.id) {
        Some(p) => implement_at(movement, brief, house.catalogue, kit, &p.load),
        None => implement(movement, brief, house.catalogue, kit),
    };
    let Some(with) = usual else {
        let loading = match movement.load_kind {
            LoadKind::BodyMass => Loading::BodyMass,
            LoadKind::Band => Loading::Band { band: kit.bands.first().cloned() },
            _ => Loading::Unknown { because: "nothing_to_load_with".into() },
        };
        return (None, loading, None);
    };
    let eases = asked.is_some();
    if let Some(p) = house.proposals.get(&movement.id) {
        let made = match &with {
            // Body mass alone is made everywhere.
            Implement::Added if p.load.is_zero() => Some((p.load, p.load)),
            _ => make(kit, &with, &p.load, Rounding::AtOrBelow).ok().map(|m| (m.wanted, m.made)),
        };
        let because = LoadBecause::Proposed { why: p.because.clone() };
        match (made, asked) {
            (Some((wanted, made)), None) => {
                return (Some(with), Loading::Weight { wanted, made, because }, p.amount);
            }
            // What safety eases for this session is not what the proposal was made for: its load comes down too.
            (Some((_, made)), Some(((most, left), low))) => {
                let was = p.amount.map_or(most, |a| (a as i32).min(most));
                let lighter = eased(kit, &with, &made, (was, left), (low, reserve));
                let (wanted, made) = match &with {
                    Implement::Added => (made, made),
                    // Nothing lighter can be made: the search finds a way in.
                    _ => match lighter {
                        Some(lighter) => lighter,
                        None => return (Some(with.clone()), search(kit, movement, &with), None),
                    },
                };
                let loading = Loading::Weight { wanted, made, because: LoadBecause::Eased };
                return (Some(with), loading, Some(low.max(1) as u32));
            }
            (None, _) => {}
        }
    }
    let of = house.brief.bests.iter().filter(|b| b.movement == movement.id);
    let bests: Vec<Best> = of.map(|b| Best { load: b.load, reps: b.reps, reserve: b.reserve }).collect();
    if movement.measure == Measure::Repetitions
        && let Ok(from) = from_bests(kit, &with, &bests, high.max(1) as u32, reserve.max(0) as u32)
    {
        let because = if eases { LoadBecause::Eased } else { LoadBecause::FromBest };
        let loading = Loading::Weight { wanted: from.made.wanted, made: from.made.made, because };
        return (Some(with), loading, None);
    }
    let loading = search(kit, movement, &with);
    (Some(with), loading, None)
}

/// The search for a first load.
fn search(kit: &Kit, movement: &Movement, with: &Implement) -> Loading {
    match first_loads(kit, first_kind(movement), with) {
        Ok(first) if !first.loads.is_empty() => Loading::Find { first, tried: Vec::new() },
        Ok(_) => Loading::Unknown { because: "nothing_to_load_with".into() },
        Err(e) => Loading::Unknown { because: e.to_string() },
    }
}

/// A load eased to more repetitions or more in reserve, by the ratio of the table's percentages.
pub(super) fn eased(
    kit: &Kit,
    with: &Implement,
    load: &Mass,
    (from_reps, from_reserve): (i32, i32),
    (reps, reserve): (i32, i32),
) -> Option<(Mass, Mass)> {
    let sum = |a: i32, b: i32| ((a.max(1) + b.max(0)) as u32).min(crate::load::percent::MOST_REPS);
    let was = for_set(sum(from_reps, from_reserve), 0).ok()?.per_mille;
    let is = for_set(sum(reps, reserve), 0).ok()?.per_mille;
    let share = (is * 1000 / was.max(1)).min(1000);
    let wanted = load.per_mille(share).ok()?;
    let made = make(kit, with, &wanted, Rounding::AtOrBelow).ok()?;
    Some((wanted, made.made))
}

/// Where the bar of a movement lies while it is loaded.
pub(super) fn place(movement: &Movement) -> Place {
    if movement.from_floor { Place::Floor } else { Place::Rack }
}

/// Plans the ramps of the lines that have not begun, and one disc route for all of them on each bar.
pub(super) fn plan_ramps(state: &mut State, house: &House<'_>) {
    let kit = house.kit(state);
    let mut on_bars: Vec<(String, Vec<(usize, RampRequest)>)> = Vec::new();
    for k in state.order.clone() {
        let begun = state.standing().any(|s| s.line == k);
        let Some(line) = state.lines.get_mut(k) else { continue };
        let Loading::Weight { made, .. } = &line.loading else { continue };
        let (Some(with), Some(movement)) = (&line.implement, house.catalogue.movement(&line.movement)) else {
            continue;
        };
        if begun || line.out.is_some() {
            continue;
        }
        let request = RampRequest {
            working: *made,
            working_reps: line.amount.clamp(1, 100),
            sets: line.ramp_sets,
            heavy_compound: line.heavy,
            place: place(movement),
        };
        line.ramp_done = 0;
        if let Implement::Bar(name) = with {
            match on_bars.iter_mut().find(|(bar, _)| bar == name) {
                Some((_, requests)) => requests.push((k, request)),
                None => on_bars.push((name.clone(), vec![(k, request)])),
            }
        } else {
            // A load the kit no longer makes has no ramp; the working set says what is made.
            let sets = ramp(&kit, with, &request).map(|r| r.sets).unwrap_or_default();
            line.ramp = sets
                .into_iter()
                .map(|s| RampNow { load: s.load, wanted: s.wanted, reps: s.reps, per_side: Vec::new() })
                .collect();
        }
    }
    for (name, requests) in on_bars {
        let asked: Vec<RampRequest> = requests.iter().map(|(_, r)| r.clone()).collect();
        let Ok(session) = BarLoads::new(&kit, &name).and_then(|l| load_session(&l, &asked, true)) else {
            continue;
        };
        let mut stops = session.route.stops.into_iter();
        for ((k, _), ramp) in requests.iter().zip(session.ramps) {
            let Some(line) = state.lines.get_mut(*k) else { continue };
            line.ramp = ramp
                .sets
                .into_iter()
                .zip(stops.by_ref())
                .map(|(s, stop)| RampNow {
                    load: s.load,
                    wanted: s.wanted,
                    reps: s.reps,
                    per_side: stop.per_side,
                })
                .collect();
            line.per_side = stops.next().map(|s| s.per_side).unwrap_or_default();
        }
    }
}

/// The loads that the kit makes for a line, lightest first; none where there is no number.
pub(super) fn loads_for(kit: &Kit, line: &Line) -> Vec<Mass> {
    let Some(with) = &line.implement else { return Vec::new() };
    let mut all = loads_of(kit, with).unwrap_or_default();
    if matches!(with, Implement::Added) && !all.iter().any(Mass::is_zero) {
        all.insert(0, Mass::ZERO);
    }
    all
}
