//! What the kit can make: the load nearest to the one wanted, and how.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::kit::{Bar, BarKind, Disc, Kit, Stack};
use super::mass::{HEAVIEST, Mass, Unit};
use super::sums::{Packed, Sum, Sums, count_of};

/// What carries the load.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Implement {
    /// The bar of this name, discs equal on both sides; the load is bar, collars and discs.
    Bar(String),
    /// Two dumbbells; the load is the mass in one hand.
    DumbbellPair,
    /// One dumbbell.
    Dumbbell,
    /// One kettlebell.
    Kettlebell,
    /// The stack of this machine.
    Stack(String),
    /// Discs or a dumbbell added to body mass, hung or held.
    Added,
}

/// Which way to round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rounding {
    /// Never more than wanted.
    AtOrBelow,
    /// The nearest; of two as near, the lighter. The lightest there is when all are heavier.
    Nearest,
}

/// How what was made differs from what was wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Difference {
    /// Not at all.
    None,
    /// Lighter by this much.
    Lighter(Mass),
    /// Heavier by this much.
    Heavier(Mass),
}

impl Difference {
    /// From what was wanted to what was made.
    pub fn between(wanted: &Mass, made: &Mass) -> Self {
        match (wanted.minus(made), made.minus(wanted)) {
            (Some(less), _) if !less.is_zero() => Self::Lighter(less),
            (_, Some(more)) if !more.is_zero() => Self::Heavier(more),
            _ => Self::None,
        }
    }
}

/// Discs of one kind on one side.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct SideDiscs {
    /// Mass of each.
    pub mass: Mass,
    /// Whether they are of full diameter.
    pub full_diameter: bool,
    /// How many on one side.
    pub count: u32,
}

/// How a load is put together.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Means {
    /// A bar with discs.
    Bar {
        /// Which bar.
        bar: String,
        /// Its mass alone.
        bar_mass: Mass,
        /// Both collars, counted in the load.
        collars: Mass,
        /// The discs on each side, heaviest first.
        per_side: Vec<SideDiscs>,
    },
    /// One or two dumbbells, each of the mass made.
    Dumbbells {
        /// One or two.
        hands: u8,
    },
    /// A kettlebell.
    Kettlebell,
    /// A stack.
    Stack {
        /// Which machine.
        machine: String,
        /// Where the pin goes.
        pin: Mass,
        /// The small weights on top.
        add_ons: Vec<Mass>,
    },
    /// Discs hung or held, heaviest first.
    AddedDiscs {
        /// Which.
        discs: Vec<SideDiscs>,
    },
    /// A dumbbell hung or held.
    AddedDumbbell,
    /// Nothing added.
    NothingAdded,
}

/// A load that was wanted and the one that the kit makes of it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Made {
    /// What was wanted.
    pub wanted: Mass,
    /// What is made.
    pub made: Mass,
    /// How they differ.
    pub difference: Difference,
    /// How it is put together.
    pub means: Means,
}

impl Made {
    fn new(wanted: Mass, made: Mass, means: Means) -> Self {
        Self { wanted, made, difference: Difference::between(&wanted, &made), means }
    }
}

impl fmt::Display for Made {
    /// "wanted 81 kg, made 80 kg", or only the load where nothing was rounded.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.difference {
            Difference::None => f.write_str(&self.made.words()),
            _ => write!(f, "wanted {}, made {}", self.wanted.words(), self.made.words()),
        }
    }
}

/// A bar with every load that its discs can make, worked out once.
#[derive(Debug, Clone)]
pub struct BarLoads {
    bar: Bar,
    collars: Mass,
    discs: Vec<Disc>,
    unit: Unit,
    /// Bar and collars together.
    base: i64,
    sides: u32,
    pub(super) sums: Sums,
}

impl BarLoads {
    /// Works out every load of one bar of the kit.
    ///
    /// # Errors
    /// [`LoadError::Missing`] when the kit has no bar of this name; [`LoadError::Kit`] when it is faulty.
    pub fn new(kit: &Kit, bar: &str) -> Result<Self, LoadError> {
        kit.validate()?;
        let found =
            kit.bar(bar).ok_or_else(|| LoadError::Missing { what: format!("bar called `{}`", clip(bar)) })?;
        Ok(Self::of(kit, found, 1))
    }

    /// Works out every load of two dumbbell handles; loads are those of one handle.
    ///
    /// # Errors
    /// [`LoadError::Missing`] when there are not two handles of this name.
    pub fn pair(kit: &Kit, handle: &str) -> Result<Self, LoadError> {
        kit.validate()?;
        let found =
            kit.bar(handle).filter(|b| b.kind == BarKind::DumbbellHandle && b.count >= 2).ok_or_else(
                || LoadError::Missing { what: format!("pair of handles called `{}`", clip(handle)) },
            )?;
        Ok(Self::of(kit, found, 2))
    }

    fn of(kit: &Kit, bar: &Bar, bars: u32) -> Self {
        let collars = kit.collar_pair(bar.kind);
        let base = bar.mass.amount() + collars.amount();
        let sides = 2;
        let sums = Sums::of(kit, sides * bars, bar.sleeve_mm, (HEAVIEST - base).max(0) / i64::from(sides));
        Self { bar: bar.clone(), collars, discs: kit.discs.clone(), unit: kit.unit(), base, sides, sums }
    }

    /// The bar.
    pub fn bar(&self) -> &Bar {
        &self.bar
    }

    /// The empty bar with its collars.
    pub fn lightest(&self) -> Mass {
        self.mass(0)
    }

    /// The heaviest load that is known to be possible.
    pub fn heaviest(&self) -> Mass {
        self.mass(self.sums.all.last().map_or(0, |s| s.amount))
    }

    /// Every load that can be made, lightest first.
    pub fn loads(&self) -> impl Iterator<Item = Mass> + '_ {
        self.sums.all.iter().map(|s| self.mass(s.amount))
    }

    /// Every load with at least one disc of full diameter on each side, lightest first.
    pub fn full_diameter_loads(&self) -> impl Iterator<Item = Mass> + '_ {
        self.sums.full.iter().map(|s| self.mass(s.amount))
    }

    /// The load nearest to the one wanted.
    ///
    /// # Errors
    /// [`LoadError::BelowLightest`] when rounding down and the bar is heavier; [`LoadError::TooVaried`] when
    /// the kit has too many different discs to be certain at this load.
    pub fn make(&self, wanted: &Mass, rounding: Rounding) -> Result<Made, LoadError> {
        let room = wanted.amount() - self.base;
        if room < 0 && rounding == Rounding::AtOrBelow {
            return Err(LoadError::BelowLightest { wanted: *wanted, lightest: self.lightest() });
        }
        let half = room.max(0) / i64::from(self.sides);
        if half > self.sums.certain_to && wanted.amount() < HEAVIEST {
            return Err(LoadError::TooVaried {
                wanted: *wanted,
                certain_to: self.mass(self.sums.certain_to),
            });
        }
        let below = self.sums.at_or_below(half);
        let above = self.sums.above(half).filter(|_| rounding == Rounding::Nearest);
        let away = |s: &Sum| (room - s.amount * i64::from(self.sides)).abs();
        let best = match (below, above) {
            (Some(b), Some(a)) => Some(if away(a) < away(b) { a } else { b }),
            (b, a) => b.or(a),
        };
        let best = best.ok_or(LoadError::BelowLightest { wanted: *wanted, lightest: self.lightest() })?;
        Ok(Made::new(*wanted, self.mass(best.amount), self.means(best.packed)))
    }

    /// The load of a sum on each side, in the kit's unit where that is exact.
    pub(super) fn mass(&self, per_side: i64) -> Mass {
        Mass::clamped(self.base + per_side * i64::from(self.sides), self.unit)
    }

    /// The sum on each side of a load, if it divides.
    pub(super) fn per_side(&self, load: &Mass) -> Option<i64> {
        let room = load.amount() - self.base;
        (room >= 0 && room % i64::from(self.sides) == 0).then_some(room / i64::from(self.sides))
    }

    /// The disc of a kind.
    pub(super) fn disc(&self, kind: usize) -> Option<&Disc> {
        self.sums.kinds.get(kind).and_then(|k| self.discs.get(k.place))
    }

    fn means(&self, packed: Packed) -> Means {
        Means::Bar {
            bar: self.bar.name.clone(),
            bar_mass: self.bar.mass,
            collars: self.collars,
            per_side: side_discs(&self.sums, &self.discs, packed),
        }
    }
}

fn side_discs(sums: &Sums, discs: &[Disc], packed: Packed) -> Vec<SideDiscs> {
    sums.kinds
        .iter()
        .enumerate()
        .filter_map(|(k, kind)| {
            let count = count_of(packed, k);
            let disc = discs.get(kind.place).filter(|_| count > 0)?;
            Some(SideDiscs { mass: disc.mass, full_diameter: disc.full_diameter, count })
        })
        .collect()
}

/// The load of a kit nearest to the one wanted. For many loads of one bar build [`BarLoads`] once.
///
/// # Errors
/// [`LoadError::Missing`] when the kit lacks the implement, [`LoadError::BelowLightest`] when rounding down
/// and nothing is light enough, [`LoadError::Kit`] when the kit is faulty.
pub fn make(kit: &Kit, implement: &Implement, wanted: &Mass, rounding: Rounding) -> Result<Made, LoadError> {
    match implement {
        Implement::Bar(name) => BarLoads::new(kit, name)?.make(wanted, rounding),
        Implement::DumbbellPair => dumbbells(kit, wanted, rounding, true),
        Implement::Dumbbell => dumbbells(kit, wanted, rounding, false),
        Implement::Kettlebell => {
            kit.validate()?;
            let made = pick(&kit.kettlebells, wanted, rounding, "kettlebell")?;
            Ok(Made::new(*wanted, made, Means::Kettlebell))
        }
        Implement::Stack(machine) => {
            kit.validate()?;
            let stack = kit
                .stack(machine)
                .ok_or_else(|| LoadError::Missing { what: format!("machine called `{}`", clip(machine)) })?;
            on_stack(stack, wanted, rounding)
        }
        Implement::Added => added(kit, wanted, rounding),
    }
}

/// Every load that an implement of the kit can be, lightest first.
///
/// # Errors
/// [`LoadError::Missing`] when the kit lacks the implement, [`LoadError::Kit`] when it is faulty.
pub fn loads_of(kit: &Kit, implement: &Implement) -> Result<Vec<Mass>, LoadError> {
    kit.validate()?;
    let (mut loads, what) = match implement {
        Implement::Bar(name) => return Ok(BarLoads::new(kit, name)?.loads().collect()),
        Implement::DumbbellPair => (hand_loads(kit, 2), "pair of dumbbells".to_owned()),
        Implement::Dumbbell => (hand_loads(kit, 1), "dumbbell".to_owned()),
        Implement::Kettlebell => (kit.kettlebells.clone(), "kettlebell".to_owned()),
        Implement::Stack(machine) => (
            kit.stack(machine).map(settings).unwrap_or_default().into_iter().map(|s| s.0).collect(),
            format!("machine called `{}`", clip(machine)),
        ),
        Implement::Added => {
            let sums = Sums::of(kit, 1, None, HEAVIEST);
            let discs = sums.all.iter().map(|s| Mass::clamped(s.amount, kit.unit()));
            (discs.chain(kit.dumbbell_masses(false)).collect(), String::new())
        }
    };
    if loads.is_empty() {
        return Err(LoadError::Missing { what });
    }
    loads.sort();
    loads.dedup();
    Ok(loads)
}

fn hand_loads(kit: &Kit, hands: u8) -> Vec<Mass> {
    let handles = kit.bars.iter().filter(|b| b.kind == BarKind::DumbbellHandle && b.count >= hands);
    let made = handles.flat_map(|h| BarLoads::of(kit, h, u32::from(hands)).loads().collect::<Vec<_>>());
    made.chain(kit.dumbbell_masses(hands == 2)).collect()
}

fn dumbbells(kit: &Kit, wanted: &Mass, rounding: Rounding, pair: bool) -> Result<Made, LoadError> {
    kit.validate()?;
    let hands = if pair { 2 } else { 1 };
    let fixed = kit.dumbbell_masses(pair);
    let mut best: Result<Made, LoadError> =
        pick(&fixed, wanted, rounding, if pair { "pair of dumbbells" } else { "dumbbell" })
            .map(|made| Made::new(*wanted, made, Means::Dumbbells { hands }));
    for handle in kit.bars.iter().filter(|b| b.kind == BarKind::DumbbellHandle && b.count >= hands) {
        let other = BarLoads::of(kit, handle, u32::from(hands)).make(wanted, rounding);
        best = match (best, other) {
            (Ok(a), Ok(b)) => Ok(if gap(&b) < gap(&a) { b } else { a }),
            (Err(LoadError::Missing { .. }), b) => b,
            (Err(_), Ok(b)) => Ok(b),
            (a, _) => a,
        };
    }
    best
}

fn gap(made: &Made) -> i64 {
    (made.wanted.amount() - made.made.amount()).abs()
}

fn pick(masses: &[Mass], wanted: &Mass, rounding: Rounding, what: &str) -> Result<Mass, LoadError> {
    let lightest = masses.iter().min().ok_or_else(|| LoadError::Missing { what: what.to_owned() })?;
    let below = masses.iter().filter(|m| *m <= wanted).max();
    let above = masses.iter().filter(|m| *m > wanted && rounding == Rounding::Nearest).min();
    let away = |m: &Mass| (m.amount() - wanted.amount()).abs();
    match (below, above) {
        (Some(b), Some(a)) => Ok(if away(a) < away(b) { *a } else { *b }),
        (Some(only), None) | (None, Some(only)) => Ok(*only),
        (None, None) => Err(LoadError::BelowLightest { wanted: *wanted, lightest: *lightest }),
    }
}

/// Every setting of a stack: the load, where the pin goes, and the small weights; of the ways to one load the
/// one with the fewest small weights comes first.
fn settings(stack: &Stack) -> Vec<(Mass, Mass, Vec<Mass>)> {
    let mut settings: Vec<(Mass, Mass, Vec<Mass>)> = Vec::new();
    let mut pin = stack.start.amount();
    let unit = stack.start.unit();
    while pin <= stack.top.amount() {
        for chosen in 0..1u32 << stack.add_ons.len().min(6) {
            let mut add_ons: Vec<Mass> =
                (0..6).zip(&stack.add_ons).filter(|(i, _)| chosen >> i & 1 == 1).map(|(_, m)| *m).collect();
            add_ons.sort_by(|a, b| b.cmp(a));
            let total = pin + add_ons.iter().map(Mass::amount).sum::<i64>();
            settings.push((Mass::clamped(total, unit), Mass::clamped(pin, unit), add_ons));
        }
        pin += stack.step.amount();
    }
    settings.sort_by(|a, b| a.0.cmp(&b.0).then(a.2.len().cmp(&b.2.len())).then(b.1.cmp(&a.1)));
    settings
}

fn on_stack(stack: &Stack, wanted: &Mass, rounding: Rounding) -> Result<Made, LoadError> {
    let settings = settings(stack);
    let loads: Vec<Mass> = settings.iter().map(|s| s.0).collect();
    let made = pick(&loads, wanted, rounding, "setting of the stack")?;
    let (made, pin, add_ons) = settings
        .into_iter()
        .find(|s| s.0 == made)
        .ok_or_else(|| LoadError::Missing { what: "setting of the stack".to_owned() })?;
    Ok(Made::new(*wanted, made, Means::Stack { machine: stack.machine.clone(), pin, add_ons }))
}

fn added(kit: &Kit, wanted: &Mass, rounding: Rounding) -> Result<Made, LoadError> {
    kit.validate()?;
    let sums = Sums::of(kit, 1, None, HEAVIEST);
    let near = |list: [Option<&Sum>; 2]| {
        list.into_iter().flatten().min_by_key(|s| ((s.amount - wanted.amount()).abs(), s.amount)).copied()
    };
    let above = sums.above(wanted.amount()).filter(|_| rounding == Rounding::Nearest);
    let of_discs = near([sums.at_or_below(wanted.amount()), above]);
    let nothing = Made::new(*wanted, Mass::ZERO, Means::NothingAdded);
    let of_discs = of_discs.filter(|s| s.amount > 0).map_or(nothing, |s| {
        let discs = side_discs(&sums, &kit.discs, s.packed);
        Made::new(*wanted, Mass::clamped(s.amount, kit.unit()), Means::AddedDiscs { discs })
    });
    match pick(&kit.dumbbell_masses(false), wanted, rounding, "dumbbell") {
        Ok(mass) => {
            let dumbbell = Made::new(*wanted, mass, Means::AddedDumbbell);
            Ok(if gap(&dumbbell) < gap(&of_discs) { dumbbell } else { of_discs })
        }
        Err(_) => Ok(of_discs),
    }
}

fn clip(text: &str) -> String {
    text.chars().take(40).collect()
}
