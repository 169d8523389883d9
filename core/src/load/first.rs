//! First loads: from a light start in small steps with a stopping rule, or from recent bests.
//!
//! The steps are data (`first_loads.csv`; common practice, no source). A 20 kg bar may be too heavy, so the
//! lightest bar is taken and the lighter ways in are told beside it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::equations::{Estimates, estimates};
use super::error::LoadError;
use super::kit::{BarKind, Kit};
use super::make::{Implement, Made, Rounding, loads_of, make};
use super::mass::Mass;
use super::percent::{Percent, for_set};
use super::tables::{FIRST_LOADS, rows};

/// What kind of movement it is, as far as a first load goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FirstKind {
    /// A bar or sled moved by the legs and hips.
    BarLower,
    /// A bar moved by the arms and shoulders.
    BarUpper,
    /// Dumbbells or a kettlebell.
    Dumbbell,
    /// A stack.
    Stack,
    /// Load added to body mass.
    Added,
}

impl FirstKind {
    const fn column(self) -> &'static str {
        match self {
            Self::BarLower => "bar_lower",
            Self::BarUpper => "bar_upper",
            Self::Dumbbell => "dumbbell",
            Self::Stack => "stack",
            Self::Added => "added",
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    kind: String,
    step_g: u32,
    most_steps: u32,
    reps: u32,
    reserve: u32,
    rest_s: u32,
    source: String,
    #[allow(dead_code)] // for the reader; named so that an unknown column is a fault
    provenance: String,
}

/// A way to begin lighter than the first load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LighterWay {
    /// A lighter bar of the kit, with collars.
    Bar {
        /// Which.
        bar: String,
        /// What it weighs.
        mass: Mass,
    },
    /// The lightest pair of dumbbells.
    DumbbellPair {
        /// The mass in each hand.
        each: Mass,
    },
    /// The lightest kettlebell.
    Kettlebell {
        /// Its mass.
        mass: Mass,
    },
    /// Body mass alone, or a stick in place of the bar: always at hand.
    Unloaded,
}

/// A bounded ramp to a first load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FirstLoads {
    /// The rising loads, at most as many as the rule allows.
    pub loads: Vec<Mass>,
    /// Repetitions of each.
    pub reps: u32,
    /// The reserve that each must leave; a set that leaves fewer is the last.
    pub wanted_reserve: u32,
    /// Rest between them, in seconds.
    pub rest_s: u32,
    /// Whether the kit's own steps are more than twice the step wanted, so that a rise may be large.
    pub coarse: bool,
    /// Ways to begin lighter, heaviest first.
    pub lighter_ways: Vec<LighterWay>,
    /// Where the rule comes from.
    pub source: String,
}

/// How a set of the ramp went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Tried {
    /// Repetitions left at the end, as the lifter judged; `None` when not told.
    pub reserve: Option<u32>,
    /// Whether the form changed: the movement slowed, shortened or shifted to another part of the body.
    pub form_changed: bool,
    /// Whether it hurt.
    pub hurt: bool,
}

/// Why the ramp ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stopped {
    /// Fewer repetitions were left than wanted.
    ReserveTooSmall,
    /// The form changed.
    FormChanged,
    /// It hurt.
    Hurt,
    /// The reserve was not told, so there is nothing to judge by.
    ReserveNotTold,
    /// The last step was done.
    LastStep,
}

/// What comes next in the ramp.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Next {
    /// Try this load.
    Try(Mass),
    /// Stop, and work with this load today.
    Work {
        /// The load.
        load: Mass,
        /// Why the ramp ends here.
        because: Stopped,
    },
    /// Stop: even the first load was too much, so take a lighter way in.
    Lighter(Stopped),
    /// Stop: it hurt, so this movement is over for now.
    Leave,
}

/// The bounded ramp to a first load with this implement.
///
/// # Errors
/// [`LoadError::Missing`] when the kit lacks the implement; [`LoadError::Kit`] when it is faulty.
pub fn first_loads(kit: &Kit, kind: FirstKind, implement: &Implement) -> Result<FirstLoads, LoadError> {
    let rules: Vec<Row> = rows("first_loads.csv", FIRST_LOADS)?;
    let rule = rules.into_iter().find(|r| r.kind == kind.column()).ok_or_else(|| LoadError::Table {
        file: "first_loads.csv",
        row: 0,
        problem: format!("there is no row for {}", kind.column()),
    })?;
    let step = Mass::grams(rule.step_g).amount();
    let mut loads: Vec<Mass> = Vec::new();
    let mut coarse = false;
    let all = loads_of(kit, implement)?;
    while loads.len() < rule.most_steps as usize {
        let next = match loads.last() {
            None => all.first(),
            Some(last) => {
                let within = all.iter().filter(|m| *m > last && m.amount() <= last.amount() + step).max();
                within.or_else(|| all.iter().find(|m| *m > last))
            }
        };
        let Some(next) = next else { break };
        coarse |= loads.last().is_some_and(|last| next.amount() - last.amount() > 2 * step);
        loads.push(*next);
    }
    let lighter_ways = lighter_ways(kit, implement, loads.first().copied().unwrap_or(Mass::ZERO));
    Ok(FirstLoads {
        loads,
        reps: rule.reps,
        wanted_reserve: rule.reserve,
        rest_s: rule.rest_s,
        coarse,
        lighter_ways,
        source: rule.source,
    })
}

fn lighter_ways(kit: &Kit, implement: &Implement, start: Mass) -> Vec<LighterWay> {
    let mut ways: Vec<(Mass, LighterWay)> = Vec::new();
    if matches!(implement, Implement::Bar(_)) {
        for bar in kit.bars.iter().filter(|b| b.kind == BarKind::Barbell) {
            let collars = kit.collar_pair(bar.kind);
            if let Ok(mass) = bar.mass.plus(&collars) {
                ways.push((mass, LighterWay::Bar { bar: bar.name.clone(), mass }));
            }
        }
    }
    if let Some(each) = kit.dumbbell_masses(true).first()
        && let Ok(both) = each.times(2)
        && !matches!(implement, Implement::DumbbellPair | Implement::Dumbbell)
    {
        ways.push((both, LighterWay::DumbbellPair { each: *each }));
    }
    if let Some(mass) = kit.kettlebells.iter().min() {
        ways.push((*mass, LighterWay::Kettlebell { mass: *mass }));
    }
    ways.retain(|w| w.0 < start);
    ways.sort_by_key(|way| std::cmp::Reverse(way.0));
    ways.into_iter().map(|w| w.1).chain([LighterWay::Unloaded]).collect()
}

impl FirstLoads {
    /// What comes after the sets tried so far, one for each load in order. The ramp stops at the first set
    /// that leaves fewer than the wanted reserve, changes the form or hurts, and after the last step; work
    /// then begins with the heaviest load that went well.
    pub fn next(&self, tried: &[Tried]) -> Next {
        let mut well = None;
        for (load, set) in self.loads.iter().zip(tried) {
            let because = match set {
                Tried { hurt: true, .. } => return Next::Leave,
                Tried { form_changed: true, .. } => Some(Stopped::FormChanged),
                Tried { reserve: Some(left), .. } if *left < self.wanted_reserve => {
                    Some(Stopped::ReserveTooSmall)
                }
                // An untold reserve is no reason to rise, nor to go lighter.
                Tried { reserve: None, .. } => {
                    return Next::Work { load: *load, because: Stopped::ReserveNotTold };
                }
                Tried { .. } => None,
            };
            if let Some(because) = because {
                return well.map_or(Next::Lighter(because), |load| Next::Work { load, because });
            }
            well = Some(*load);
        }
        match (self.loads.get(tried.len()), well) {
            (Some(load), _) => Next::Try(*load),
            (None, Some(load)) => Next::Work { load, because: Stopped::LastStep },
            (None, None) => Next::Lighter(Stopped::LastStep),
        }
    }
}

/// A recent best: a load, the repetitions done and those left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Best {
    /// The load.
    pub load: Mass,
    /// Repetitions done.
    pub reps: u32,
    /// Repetitions left, nought when it was to failure.
    #[serde(default)]
    pub reserve: u32,
}

/// A load worked out from a recent best, with every step of the way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FromBest {
    /// The best it rests on.
    pub best: Best,
    /// What the equations make of it.
    pub estimates: Estimates,
    /// The percentage for the set.
    pub percent: Percent,
    /// The load made, at or below the one wanted.
    pub made: Made,
}

/// The load for a set of `reps` that leaves `reserve`, from recent bests: of those in range the one with the
/// fewest repetitions is taken (estimates are better with fewer: Whisenant et al. 2003, abstract read), the
/// middle of the equations, the table's percentage, and what the kit makes at or below it.
///
/// # Errors
/// [`LoadError::Bounds`] without any best; [`LoadError::Reps`] when none is in range; and as for
/// [`make`].
pub fn from_bests(
    kit: &Kit,
    implement: &Implement,
    bests: &[Best],
    reps: u32,
    reserve: u32,
) -> Result<FromBest, LoadError> {
    let mut in_order: Vec<&Best> = bests.iter().collect();
    in_order.sort_by_key(|b| (b.reps.saturating_add(b.reserve), std::cmp::Reverse(b.load)));
    let best = in_order.into_iter().find(|b| b.reps > 0).ok_or_else(|| LoadError::Bounds {
        field: "bests",
        given: "no set with a repetition".to_owned(),
        bounds: "at least one load with its repetitions, or the ramp to a first load".to_owned(),
    })?;
    let estimates = estimates(&best.load, best.reps.saturating_add(best.reserve))?;
    let percent = for_set(reps, reserve)?;
    let wanted = estimates.middle.per_mille(percent.per_mille)?;
    let made = make(kit, implement, &wanted, Rounding::AtOrBelow)?;
    Ok(FromBest { best: *best, estimates, percent, made })
}
