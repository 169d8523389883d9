//! Loads with discs for a session: from recent bests where there are some, else a bounded ramp to a first load.

use super::brief::Brief;
use super::programme::{Line, Programme};
use crate::catalogue::{Catalogue, LoadKind, Movement, Tier};
use crate::load::first::{Best, FirstKind, FirstLoads, FromBest, first_loads, from_bests};
use crate::load::kit::{Bar, BarKind, Kit};
use crate::load::ramp::{BarSession, Ramp, RampRequest, load_session, ramp};
use crate::load::route::Place;
use crate::load::{BarLoads, Implement, LoadError, Mass, loads_of};
use serde::Serialize;

/// How heavy one line is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum LineLoad {
    /// From a recent best: estimate, percentage, and what the kit makes of it.
    FromBest {
        /// Every step of the way.
        from: Box<FromBest>,
        /// The ramp sets, for lines that are not on a bar with others.
        ramp: Option<Ramp>,
        /// Position of its bar in [`SessionLoads::bars`].
        bar: Option<usize>,
    },
    /// No best: a bounded ramp with a stopping rule finds the load.
    Find {
        /// The ramp.
        first: FirstLoads,
    },
    /// Body mass alone.
    BodyMass,
    /// A band: no number.
    Band,
    /// The kit says nothing of such a load.
    Unknown {
        /// What is missing.
        because: String,
    },
}

/// A bar that several lines of the session share.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SharedBar {
    /// Its name in the kit.
    pub bar: String,
    /// Positions of the lines, in order.
    pub lines: Vec<usize>,
    /// Their ramps and the disc route through all of them.
    pub session: BarSession,
}

/// Loads of all lines of a session.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SessionLoads {
    /// One for each line.
    pub lines: Vec<LineLoad>,
    /// The bars, each with its route.
    pub bars: Vec<SharedBar>,
}

/// The kit of a brief; the usual one where the brief names none.
///
/// # Errors
/// [`LoadError`] when the embedded kits are faulty; never in a build whose tests pass.
pub fn kit_of(brief: &Brief) -> Result<Kit, LoadError> {
    match &brief.kit {
        Some(kit) => Ok(kit.clone()),
        None => Kit::starting("gym_kg"),
    }
}

/// With what a movement is loaded, given the kit; `None` for body mass, bands and what the kit does not have.
pub fn implement(movement: &Movement, brief: &Brief, catalogue: &Catalogue, kit: &Kit) -> Option<Implement> {
    let uses = |id: &str| movement.equipment.iter().flatten().any(|e| catalogue.equipment[*e].id == id);
    // The first of its kind in the kit is the usual one.
    let bar =
        |kind: BarKind| kit.bars.iter().find(|b| b.kind == kind).map(|b| Implement::Bar(b.name.clone()));
    match movement.load_kind {
        LoadKind::Bar if uses("trap_bar") && !uses("barbell") => bar(BarKind::TrapBar),
        LoadKind::Bar if uses("guided_bar") => bar(BarKind::GuidedBar),
        LoadKind::Bar => bar(BarKind::Barbell),
        LoadKind::Sled => bar(BarKind::Sled),
        LoadKind::DumbbellPair => Some(Implement::DumbbellPair),
        LoadKind::Dumbbell if brief.equipment.iter().any(|e| e == "dumbbells") && uses("dumbbells") => {
            Some(Implement::Dumbbell)
        }
        LoadKind::Dumbbell => Some(Implement::Kettlebell),
        LoadKind::Stack => {
            let machine = movement.equipment.first().and_then(|e| e.first());
            Some(Implement::Stack(
                machine.map_or_else(|| "any".into(), |e| catalogue.equipment[*e].id.clone()),
            ))
        }
        LoadKind::Added => Some(Implement::Added),
        LoadKind::BodyMass | LoadKind::Band => None,
    }
}

/// As [`implement`], but with a lighter bar of the same kind where the usual one weighs more than `load`.
pub fn implement_at(
    movement: &Movement,
    brief: &Brief,
    catalogue: &Catalogue,
    kit: &Kit,
    load: &Mass,
) -> Option<Implement> {
    let usual = implement(movement, brief, catalogue, kit)?;
    let Implement::Bar(name) = &usual else { return Some(usual) };
    let Some(bar) = kit.bar(name) else { return Some(usual) };
    let fits = |b: &&Bar| b.mass.plus(&kit.collar_pair(b.kind)).is_ok_and(|empty| empty <= *load);
    if fits(&bar) {
        return Some(usual);
    }
    let lighter = kit.bars.iter().filter(|b| b.kind == bar.kind).filter(fits).max_by_key(|b| b.mass);
    Some(lighter.map_or(usual, |b| Implement::Bar(b.name.clone())))
}

/// Every load that a kit makes for a movement, whichever bar of its kind is taken.
pub fn loads_at(
    movement: &Movement,
    brief: &Brief,
    catalogue: &Catalogue,
    kit: &Kit,
) -> Option<(Implement, Vec<Mass>)> {
    let usual = implement(movement, brief, catalogue, kit)?;
    let mut made = loads_of(kit, &usual).ok()?;
    if let Implement::Bar(name) = &usual
        && let Some(lightest) = made.iter().min().copied()
        && let Some(kind) = kit.bar(name).map(|b| b.kind)
    {
        let others = kit.bars.iter().filter(|b| b.kind == kind && b.name != *name);
        let more = others.filter_map(|b| loads_of(kit, &Implement::Bar(b.name.clone())).ok()).flatten();
        // Another bar is taken only for what the usual one is too heavy for.
        made.extend(more.filter(|load| *load < lightest));
    }
    Some((usual, made))
}

/// Loads of session `day` in week `week` (both 0-based) of a programme.
///
/// A line with a recent best is given the load for the top of its repetitions at that week's reserve, rounded
/// down to what the kit can make; one without gets a ramp.
///
/// # Errors
/// [`LoadError`] when the kit is faulty.
pub fn session_loads(
    brief: &Brief,
    catalogue: &Catalogue,
    programme: &Programme,
    week: usize,
    day: usize,
) -> Result<SessionLoads, LoadError> {
    let kit = kit_of(brief)?;
    let Some(of_day) = programme.days.get(day) else {
        return Ok(SessionLoads { lines: Vec::new(), bars: Vec::new() });
    };
    let reserve = |k: usize, line: &Line| {
        programme.block.get(week).and_then(|w| w.days.get(day)?.get(k)).map_or(line.reserve, |b| b.reserve)
    };
    let mut lines = Vec::new();
    let mut on_bars: Vec<(String, Vec<(usize, RampRequest)>)> = Vec::new();
    for (k, line) in of_day.lines.iter().enumerate() {
        let Some(m) = catalogue.movement(&line.movement) else {
            lines.push(LineLoad::Unknown { because: format!("{} is not in this catalogue", line.movement) });
            continue;
        };
        let Some(implement) = implement(m, brief, catalogue, &kit) else {
            lines.push(match m.load_kind {
                LoadKind::BodyMass => LineLoad::BodyMass,
                LoadKind::Band => LineLoad::Band,
                _ => LineLoad::Unknown { because: format!("the kit has nothing to load {} with", m.name) },
            });
            continue;
        };
        let bests: Vec<Best> = brief
            .bests
            .iter()
            .filter(|b| b.movement == m.id)
            .map(|b| Best { load: b.load, reps: b.reps, reserve: b.reserve })
            .collect();
        if bests.is_empty() {
            lines.push(match first_loads(&kit, first_kind(m), &implement) {
                Ok(first) => LineLoad::Find { first },
                Err(e) => LineLoad::Unknown { because: e.to_string() },
            });
            continue;
        }
        let (reps, left) = (line.high.max(1) as u32, reserve(k, line).max(0) as u32);
        match from_bests(&kit, &implement, &bests, reps, left) {
            Err(e) => lines.push(LineLoad::Unknown { because: e.to_string() }),
            Ok(from) => {
                let request = RampRequest {
                    working: from.made.made,
                    working_reps: reps,
                    sets: line.ramp_sets.max(0) as u32,
                    heavy_compound: m.tier == Tier::Main,
                    place: if m.from_floor { Place::Floor } else { Place::Rack },
                };
                if let Implement::Bar(name) = &implement {
                    match on_bars.iter_mut().find(|(bar, _)| bar == name) {
                        Some((_, requests)) => requests.push((k, request)),
                        None => on_bars.push((name.clone(), vec![(k, request)])),
                    }
                    lines.push(LineLoad::FromBest { from: Box::new(from), ramp: None, bar: None });
                } else {
                    let ramp = ramp(&kit, &implement, &request).ok();
                    lines.push(LineLoad::FromBest { from: Box::new(from), ramp, bar: None });
                }
            }
        }
    }
    let mut bars = Vec::new();
    for (name, requests) in on_bars {
        let loads = BarLoads::new(&kit, &name)?;
        let asked: Vec<RampRequest> = requests.iter().map(|(_, r)| r.clone()).collect();
        let session = load_session(&loads, &asked, true)?;
        for (k, _) in &requests {
            if let LineLoad::FromBest { bar, .. } = &mut lines[*k] {
                *bar = Some(bars.len());
            }
        }
        bars.push(SharedBar { bar: name, lines: requests.iter().map(|(k, _)| *k).collect(), session });
    }
    Ok(SessionLoads { lines, bars })
}

/// What kind of first load a movement has.
pub fn first_kind(m: &Movement) -> FirstKind {
    match m.load_kind {
        LoadKind::Bar | LoadKind::Sled
            if m.pair_class == crate::catalogue::PairClass::Legs || m.axial > 1 =>
        {
            FirstKind::BarLower
        }
        LoadKind::Bar | LoadKind::Sled => FirstKind::BarUpper,
        LoadKind::DumbbellPair | LoadKind::Dumbbell => FirstKind::Dumbbell,
        LoadKind::Stack => FirstKind::Stack,
        LoadKind::Added | LoadKind::BodyMass | LoadKind::Band => FirstKind::Added,
    }
}

/// The load of a line in words, `None` where it has no number yet.
pub fn made(load: &LineLoad) -> Option<Mass> {
    match load {
        LineLoad::FromBest { from, .. } => Some(from.made.made),
        _ => None,
    }
}
