//! Warm-up ramps: rising sets before the first working set, with loads that the kit makes and discs that stay
//! on.
//!
//! The steps are data (`ramps.csv`): six repetitions at 40 % and at 80 % of the working load, or at 80 % alone
//! (IJERPH 2020;17(18):6882, abstract read); before them the light bar, and between them steps that follow
//! common practice. A load within 5 % of the working load of its step will do, so the route may choose among
//! them the ones that need the fewest disc moves.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::kit::Kit;
use super::make::{BarLoads, Difference, Implement, Rounding, loads_of, make};
use super::mass::Mass;
use super::route::{Place, Route, Target, route};
use super::tables::{RAMPS, rows};

/// Ramp sets that a heavy compound never goes without: the published pair.
pub const HEAVY_COMPOUND_SETS: u32 = 2;
/// How far a ramp load may be from its step, in per mille of the working load. Common practice, no source.
pub const TOLERANCE_PER_MILLE: i64 = 50;

/// What to ramp up to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RampRequest {
    /// The load of the first working set, as made by the kit.
    pub working: Mass,
    /// Its planned repetitions: no ramp set has more.
    pub working_reps: u32,
    /// Ramp sets asked for. Fewer are given where the kit has no different loads for them.
    pub sets: u32,
    /// Whether it is a heavy compound, which is never left with fewer than two.
    pub heavy_compound: bool,
    /// Where the bar lies.
    pub place: Place,
}

/// One ramp set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RampSet {
    /// The load.
    pub load: Mass,
    /// The step's exact load; the load itself for the light bar.
    pub wanted: Mass,
    /// How they differ.
    pub difference: Difference,
    /// Repetitions.
    pub reps: u32,
    /// Where the step comes from.
    pub source: String,
}

/// The ramp of one movement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Ramp {
    /// The sets, lightest first; every load is below the working load.
    pub sets: Vec<RampSet>,
    /// Whether more sets are given than asked for, because a heavy compound needs them.
    pub raised_to_floor: bool,
    /// Steps left out because the kit makes no load of their own for them below the next.
    pub left_out: u32,
}

/// The ramps of several movements on one bar, and the disc route through them all.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BarSession {
    /// One ramp for each movement, in order.
    pub ramps: Vec<Ramp>,
    /// For each movement its ramp sets and then its working load, in one route.
    pub route: Route,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    carrier: String,
    sets: u32,
    step: u32,
    light: String,
    per_mille: u32,
    reps: u32,
    source: String,
    #[allow(dead_code)] // for the reader; named so that an unknown column is a fault
    provenance: String,
}

/// One step before its load is chosen.
struct Step {
    wanted: Mass,
    loads: Vec<(Mass, u32)>,
    reps: u32,
    source: String,
}

struct Steps {
    rising: Vec<Step>,
    raised_to_floor: bool,
    left_out: u32,
}

/// Ramps and disc route of all movements done in turn on one bar. Every movement's loads are chosen together.
///
/// # Errors
/// [`LoadError::NotMade`] when a working load cannot be made exactly; [`LoadError::Bounds`] for a request out
/// of bounds; [`LoadError::TooManyLoads`] beyond 64 loads.
pub fn load_session(
    loads: &BarLoads,
    requests: &[RampRequest],
    strip_after: bool,
) -> Result<BarSession, LoadError> {
    let all: Vec<Mass> = loads.loads().collect();
    let full: Vec<Mass> = loads.full_diameter_loads().collect();
    let mut planned = Vec::with_capacity(requests.len());
    let mut targets = Vec::new();
    for request in requests {
        // From the floor a ramp set wants full-diameter discs too, where any load within reach has them.
        let steps = steps(request, true, &all, if request.place == Place::Floor { &full } else { &[] })?;
        for step in &steps.rising {
            targets.push(Target { loads: step.loads.clone(), place: request.place });
        }
        targets.push(Target::exact(request.working, request.place));
        planned.push(steps);
    }
    let route = route(loads, &targets, strip_after)?;
    let mut stops = route.stops.iter();
    let ramps = planned
        .into_iter()
        .map(|steps| {
            let sets = steps
                .rising
                .into_iter()
                .zip(stops.by_ref())
                .map(|(step, stop)| set(&step, stop.load))
                .collect();
            stops.next();
            Ramp { sets, raised_to_floor: steps.raised_to_floor, left_out: steps.left_out }
        })
        .collect();
    Ok(BarSession { ramps, route })
}

/// The ramp of a movement with dumbbells, a kettlebell, a stack or added load; with a bar, without a route.
///
/// # Errors
/// [`LoadError::Missing`] when the kit lacks the implement; [`LoadError::Bounds`] for a request out of bounds.
pub fn ramp(kit: &Kit, implement: &Implement, request: &RampRequest) -> Result<Ramp, LoadError> {
    if let Implement::Bar(name) = implement {
        let session = load_session(&BarLoads::new(kit, name)?, std::slice::from_ref(request), false)?;
        return session
            .ramps
            .into_iter()
            .next()
            .ok_or(LoadError::NotMade { number: 1, wanted: request.working });
    }
    let made = make(kit, implement, &request.working, Rounding::AtOrBelow)?;
    if made.difference != Difference::None {
        return Err(LoadError::NotMade { number: 1, wanted: request.working });
    }
    let steps = steps(request, false, &loads_of(kit, implement)?, &[])?;
    let nearest = |s: &Step| s.loads.iter().min_by_key(|l| (l.1, l.0)).map_or(s.wanted, |l| l.0);
    let sets = steps.rising.iter().map(|s| set(s, nearest(s))).collect();
    Ok(Ramp { sets, raised_to_floor: steps.raised_to_floor, left_out: steps.left_out })
}

fn set(step: &Step, load: Mass) -> RampSet {
    RampSet {
        load,
        wanted: step.wanted,
        difference: Difference::between(&step.wanted, &load),
        reps: step.reps,
        source: step.source.clone(),
    }
}

/// The steps with the loads that will do for each; the loads of one step are all below those of the next.
fn steps(request: &RampRequest, bar: bool, all: &[Mass], full: &[Mass]) -> Result<Steps, LoadError> {
    if request.working_reps == 0 || request.working_reps > 100 {
        return Err(LoadError::Bounds {
            field: "working_reps",
            given: request.working_reps.to_string(),
            bounds: "1 to 100".to_owned(),
        });
    }
    let pattern: Vec<Row> = rows("ramps.csv", RAMPS)?;
    let carrier = if bar { "bar" } else { "other" };
    let most = pattern.iter().filter(|r| r.carrier == carrier).map(|r| r.sets).max().unwrap_or(0);
    if request.sets > most {
        return Err(LoadError::Bounds {
            field: "sets",
            given: request.sets.to_string(),
            bounds: format!("0 to {most} ramp sets"),
        });
    }
    let floor = if request.heavy_compound { HEAVY_COMPOUND_SETS } else { 0 };
    let count = request.sets.max(floor);
    let mut chosen: Vec<&Row> = pattern.iter().filter(|r| r.carrier == carrier && r.sets == count).collect();
    chosen.sort_by_key(|r| r.step);
    let working = request.working.amount();
    // Beyond the middle between two steps a load belongs to the other one.
    let middle = |a: u32, b: u32| working * i64::from(a + b) / 2000;
    let mut steps: Vec<Step> = Vec::new();
    let mut above = -1;
    for (i, row) in chosen.iter().enumerate() {
        let next = chosen.get(i + 1).map_or(1000, |n| n.per_mille);
        let before = i.checked_sub(1).and_then(|i| chosen.get(i)).map_or(0, |b| b.per_mille);
        let reps = row.reps.min(request.working_reps);
        let light = row.light == "yes";
        let top = if i + 1 == chosen.len() { working - 1 } else { middle(row.per_mille, next) };
        let ideal = working * i64::from(row.per_mille) / 1000;
        let reach = working * TOLERANCE_PER_MILLE / 1000;
        let open = |m: &&Mass| m.amount() > above && m.amount() <= top.min(working - 1);
        let near = |list: &[Mass]| -> Vec<Mass> {
            let low = (ideal - reach).max(middle(before, row.per_mille).min(ideal));
            list.iter()
                .filter(open)
                .filter(|m| (low..=ideal + reach).contains(&m.amount()))
                .copied()
                .collect()
        };
        let within = if light {
            // The light set is the empty bar, or from the floor the lightest with discs of full diameter, as
            // long as it stays below the next step.
            let next_from = working * i64::from(next) / 1000 - reach;
            let with_full = full.first().filter(|m| m.amount() < next_from);
            with_full.or_else(|| all.first()).filter(|m| m.amount() < working).copied().into_iter().collect()
        } else {
            let of_full = near(full);
            let of_all = if of_full.is_empty() { near(all) } else { of_full };
            if of_all.is_empty() {
                // Nothing near: the heaviest below the step, or else the lightest that there is above it.
                let below = all.iter().filter(open).filter(|m| m.amount() <= ideal).max();
                below.or_else(|| all.iter().find(open)).copied().into_iter().collect()
            } else {
                of_all
            }
        };
        let Some(heaviest) = within.iter().map(Mass::amount).max() else {
            continue;
        };
        above = heaviest;
        let wanted = if light { within.first().copied() } else { None };
        let wanted = wanted.unwrap_or(request.working.per_mille(row.per_mille)?);
        let price = |m: &Mass| {
            if light { 0 } else { ((m.amount() - ideal).abs() * 1000 / working.max(1)) as u32 }
        };
        let loads = within.iter().map(|m| (*m, price(m))).collect();
        steps.push(Step { wanted, loads, reps, source: row.source.clone() });
    }
    Ok(Steps {
        left_out: count.saturating_sub(steps.len() as u32),
        rising: steps,
        raised_to_floor: count > request.sets,
    })
}
