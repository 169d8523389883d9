//! What there is to lift: bars, collars, discs, dumbbells, kettlebells, stacks and bands, in kg or lb or both.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::error::LoadError;
use super::mass::{Mass, Unit};

/// The most kinds of discs that a kit may have.
pub const MOST_DISC_KINDS: usize = 16;
/// The most discs of one kind, in all.
pub const MOST_DISCS: u32 = 200;
/// The most entries of any other list of a kit.
pub const MOST_ENTRIES: usize = 64;

const KITS: &str = include_str!("../../data/tables/kits.toml");

/// Everything at one place that can be loaded.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Kit {
    /// What the lifter calls it.
    pub name: String,
    /// Bars, sleds and handles that take discs.
    pub bars: Vec<Bar>,
    /// Collars, counted in the load of every bar that takes them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub collars: Option<Collars>,
    /// Discs, each kind once.
    pub discs: Vec<Disc>,
    /// Dumbbells of fixed mass.
    pub dumbbells: Vec<Dumbbells>,
    /// Kettlebells.
    pub kettlebells: Vec<Mass>,
    /// Machines with a stack of plates and a pin.
    pub stacks: Vec<Stack>,
    /// Bands, by name: their resistance depends on the stretch, so they carry no number.
    pub bands: Vec<String>,
}

/// A bar, a sled or a handle that takes discs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bar {
    /// What the lifter calls it; unique within the kit.
    pub name: String,
    /// Its mass without collars. Nought for a carriage that is balanced out.
    pub mass: Mass,
    /// What kind of bar.
    pub kind: BarKind,
    /// How many there are; two dumbbell handles make a pair.
    #[serde(default = "one")]
    pub count: u8,
    /// Usable length of one sleeve in millimetres, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sleeve_mm: Option<u32>,
}

/// What kind of bar it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BarKind {
    /// A straight bar with two sleeves.
    Barbell,
    /// A bar that one stands inside.
    TrapBar,
    /// A short bent bar for curls and presses lying down.
    CurlBar,
    /// A padded bar with handles for squats.
    PaddedBar,
    /// A bar that runs on rails.
    GuidedBar,
    /// A carriage loaded with discs on two sides, such as that of a leg press.
    Sled,
    /// A handle for one hand that takes discs on both ends.
    DumbbellHandle,
}

impl BarKind {
    /// Whether collars go on and so count: not on rails and carriages.
    pub const fn takes_collars(self) -> bool {
        !matches!(self, Self::GuidedBar | Self::Sled)
    }

    /// Whether it rests free, so that it can tip when one side is heavier.
    pub const fn can_tip(self) -> bool {
        matches!(self, Self::Barbell | Self::CurlBar | Self::PaddedBar)
    }

    /// The kind in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Barbell => "barbell",
            Self::TrapBar => "trap bar",
            Self::CurlBar => "curl bar",
            Self::PaddedBar => "padded squat bar",
            Self::GuidedBar => "guided bar",
            Self::Sled => "sled",
            Self::DumbbellHandle => "dumbbell handle",
        }
    }
}

/// The collars that hold the discs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Collars {
    /// The mass of one collar or of two, as `per` says.
    pub mass: Mass,
    /// Whether `mass` is that of each or of the pair.
    pub per: Per,
}

/// What a mass is the mass of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// Of each one.
    Each,
    /// Of two together.
    Pair,
}

/// One kind of disc.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Disc {
    /// Its face value.
    pub mass: Mass,
    /// How many there are in all, not per side.
    pub count: u32,
    /// Whether it is as wide as the largest disc, so that a bar on the floor lies at the standard height.
    #[serde(default)]
    pub full_diameter: bool,
    /// Its thickness in millimetres, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness_mm: Option<u32>,
}

/// Dumbbells of fixed mass: a list, or from, to and step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dumbbells {
    /// Each mass that there is; the mass of one dumbbell.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub masses: Vec<Mass>,
    /// The lightest of an even row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Mass>,
    /// The heaviest of an even row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Mass>,
    /// The step of an even row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<Mass>,
    /// Whether there are two of each: a load for two hands is always the mass in one hand.
    #[serde(default = "yes")]
    pub in_pairs: bool,
}

/// A machine with a stack of plates and a pin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stack {
    /// Which machine; `any` stands for all that are not listed.
    pub machine: String,
    /// The lightest setting.
    pub start: Mass,
    /// From one hole to the next.
    pub step: Mass,
    /// The heaviest setting, without add-on weights.
    pub top: Mass,
    /// Small weights that can be put on top, each once.
    #[serde(default)]
    pub add_ons: Vec<Mass>,
}

const fn one() -> u8 {
    1
}

const fn yes() -> bool {
    true
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Starting {
    home: Kit,
    gym_kg: Kit,
    gym_lb: Kit,
}

impl Kit {
    /// The ids of the kits to start from: see [`Kit::starting`].
    pub const STARTING: [&'static str; 3] = ["home", "gym_kg", "gym_lb"];

    /// A kit to start from, by id: a home barbell, a gym in kilograms, a gym in pounds.
    ///
    /// # Errors
    /// [`LoadError::Unknown`] for another id.
    pub fn starting(id: &str) -> Result<Self, LoadError> {
        let kits: Starting = toml::from_str(KITS).map_err(|e| LoadError::Table {
            file: "kits.toml",
            row: 0,
            problem: e.message().to_owned(),
        })?;
        match id {
            "home" => Ok(kits.home),
            "gym_kg" => Ok(kits.gym_kg),
            "gym_lb" => Ok(kits.gym_lb),
            _ => Err(LoadError::Unknown {
                field: "kit",
                given: id.chars().take(24).collect(),
                known: Self::STARTING.join(", "),
            }),
        }
    }

    /// Reads a kit from JSON and checks it.
    ///
    /// # Errors
    /// [`LoadError::Kit`] naming the field (or the line) and the remedy.
    pub fn from_json(text: &str) -> Result<Self, LoadError> {
        let kit: Self = serde_json::from_str(text).map_err(|e| LoadError::Kit {
            field: format!("line {}, column {}", e.line(), e.column()),
            problem: e.to_string(),
            remedy: "write it as the schema of a kit says".to_owned(),
        })?;
        kit.validate()?;
        Ok(kit)
    }

    /// Checks every field.
    ///
    /// # Errors
    /// [`LoadError::Kit`] for the first fault, naming the field and the remedy.
    pub fn validate(&self) -> Result<(), LoadError> {
        most("bars", self.bars.len(), MOST_ENTRIES)?;
        most("discs", self.discs.len(), MOST_DISC_KINDS)?;
        most("dumbbells", self.dumbbells.len(), MOST_ENTRIES)?;
        most("kettlebells", self.kettlebells.len(), MOST_ENTRIES)?;
        most("stacks", self.stacks.len(), MOST_ENTRIES)?;
        most("bands", self.bands.len(), MOST_ENTRIES)?;
        for (i, bar) in self.bars.iter().enumerate() {
            let field = |name: &str| format!("bars[{i}].{name}");
            named(&field("name"), &bar.name)?;
            if self.bars.iter().take(i).any(|b| b.name == bar.name) {
                return Err(fault(
                    field("name"),
                    format!("`{}` is there twice", bar.name),
                    "give each bar its own name",
                ));
            }
            if bar.mass.is_zero() && !matches!(bar.kind, BarKind::GuidedBar | BarKind::Sled) {
                return Err(fault(
                    field("mass"),
                    "a bar weighs something".into(),
                    "weigh it or read its end",
                ));
            }
            if bar.count == 0 {
                return Err(fault(field("count"), "there is none of it".into(), "leave the bar out"));
            }
            if bar.sleeve_mm == Some(0) {
                return Err(fault(
                    field("sleeve_mm"),
                    "a sleeve has a length".into(),
                    "measure it or leave it out",
                ));
            }
        }
        if let Some(collars) = &self.collars
            && collars.mass > Mass::grams(10_000)
        {
            let problem = format!("{} is more than collars weigh", collars.mass);
            return Err(fault("collars.mass".into(), problem, "weigh them or leave them out"));
        }
        for (i, disc) in self.discs.iter().enumerate() {
            let field = |name: &str| format!("discs[{i}].{name}");
            if disc.mass.is_zero() {
                return Err(fault(field("mass"), "a disc weighs something".into(), "write its face value"));
            }
            if disc.count == 0 || disc.count > MOST_DISCS {
                let problem = format!("{} is not a number of discs", disc.count);
                return Err(fault(field("count"), problem, "count all of them on both sides, from 1 to 200"));
            }
            if self.discs.iter().take(i).any(|d| {
                d.mass == disc.mass
                    && d.full_diameter == disc.full_diameter
                    && d.thickness_mm == disc.thickness_mm
            }) {
                let problem = format!("{} is there twice", disc.mass);
                return Err(fault(field("mass"), problem, "add the counts up in one entry"));
            }
        }
        for (i, row) in self.dumbbells.iter().enumerate() {
            row.check(&format!("dumbbells[{i}]"))?;
        }
        for (i, mass) in self.kettlebells.iter().enumerate() {
            if mass.is_zero() {
                let field = format!("kettlebells[{i}]");
                return Err(fault(field, "a kettlebell weighs something".into(), "write its face value"));
            }
        }
        for (i, stack) in self.stacks.iter().enumerate() {
            stack.check(&format!("stacks[{i}]"))?;
        }
        for (i, band) in self.bands.iter().enumerate() {
            named(&format!("bands[{i}]"), band)?;
        }
        Ok(())
    }

    /// The mass of both collars on this kind of bar; nothing where none go on.
    pub fn collar_pair(&self, kind: BarKind) -> Mass {
        match &self.collars {
            Some(collars) if kind.takes_collars() => match collars.per {
                Per::Pair => collars.mass,
                // Validated to at most 10 kg each.
                Per::Each => Mass::clamped(collars.mass.amount() * 2, collars.mass.unit()),
            },
            _ => Mass::ZERO,
        }
    }

    /// The bar of this name.
    pub fn bar(&self, name: &str) -> Option<&Bar> {
        self.bars.iter().find(|b| b.name == name)
    }

    /// The bars of a kind, lightest first.
    pub fn bars_of(&self, kind: BarKind) -> Vec<&Bar> {
        let mut bars: Vec<&Bar> = self.bars.iter().filter(|b| b.kind == kind).collect();
        bars.sort_by(|a, b| a.mass.cmp(&b.mass).then_with(|| a.name.cmp(&b.name)));
        bars
    }

    /// The stack of a machine, or the one called `any`.
    pub fn stack(&self, machine: &str) -> Option<&Stack> {
        let of = |name: &str| self.stacks.iter().find(|s| s.machine == name);
        of(machine).or_else(|| of("any"))
    }

    /// The dumbbells that there are, lightest first, each mass once.
    pub fn dumbbell_masses(&self, pairs: bool) -> Vec<Mass> {
        let mut all: Vec<Mass> =
            self.dumbbells.iter().filter(|d| d.in_pairs || !pairs).flat_map(Dumbbells::all).collect();
        all.sort();
        all.dedup();
        all
    }

    /// The unit in which most of the kit is marked.
    pub fn unit(&self) -> Unit {
        let units = self.bars.iter().map(|b| b.mass.unit()).chain(self.discs.iter().map(|d| d.mass.unit()));
        let (all, pounds) = units.fold((0, 0), |(n, p), u| (n + 1, p + usize::from(u == Unit::Pound)));
        if pounds * 2 > all { Unit::Pound } else { Unit::Kilogram }
    }
}

impl Dumbbells {
    /// Every mass of this row, in order.
    pub fn all(&self) -> Vec<Mass> {
        let mut masses = self.masses.clone();
        if let (Some(from), Some(to), Some(step)) = (self.from, self.to, self.step)
            && !step.is_zero()
        {
            let mut amount = from.amount();
            while amount <= to.amount() {
                masses.push(Mass::clamped(amount, from.unit()));
                amount += step.amount();
            }
        }
        masses
    }

    fn check(&self, field: &str) -> Result<(), LoadError> {
        most(&format!("{field}.masses"), self.masses.len(), MOST_ENTRIES)?;
        match (self.from, self.to, self.step) {
            (None, None, None) if self.masses.is_empty() => Err(fault(
                field.to_owned(),
                "there is no dumbbell".into(),
                "give masses, or from, to and step",
            )),
            (None, None, None) => Ok(()),
            (Some(from), Some(to), Some(step)) => {
                if step.is_zero() || from > to {
                    return Err(fault(
                        field.to_owned(),
                        "the row does not rise".into(),
                        "give from <= to and a step above nought",
                    ));
                }
                let rows = (to.amount() - from.amount()) / step.amount();
                most(field, usize::try_from(rows).unwrap_or(usize::MAX), MOST_ENTRIES * 4)
            }
            _ => Err(fault(
                field.to_owned(),
                "from, to and step belong together".into(),
                "give all three or none",
            )),
        }?;
        if self.all().iter().any(Mass::is_zero) {
            return Err(fault(field.to_owned(), "a dumbbell weighs something".into(), "start above nought"));
        }
        Ok(())
    }
}

impl Stack {
    fn check(&self, field: &str) -> Result<(), LoadError> {
        named(&format!("{field}.machine"), &self.machine)?;
        if self.step.is_zero() || self.start > self.top {
            return Err(fault(
                field.to_owned(),
                "the stack does not rise".into(),
                "give start <= top and a step above nought",
            ));
        }
        let holes = (self.top.amount() - self.start.amount()) / self.step.amount();
        most(&format!("{field}.step"), usize::try_from(holes).unwrap_or(usize::MAX), MOST_ENTRIES * 4)?;
        most(&format!("{field}.add_ons"), self.add_ons.len(), 6)?;
        Ok(())
    }
}

fn fault(field: String, problem: String, remedy: &str) -> LoadError {
    LoadError::Kit { field, problem, remedy: remedy.to_owned() }
}

fn named(field: &str, name: &str) -> Result<(), LoadError> {
    if name.trim().is_empty() || name.chars().count() > 80 {
        return Err(fault(
            field.to_owned(),
            "the name is empty or too long".into(),
            "give it 1 to 80 characters",
        ));
    }
    Ok(())
}

fn most(field: &str, count: usize, limit: usize) -> Result<(), LoadError> {
    if count > limit {
        return Err(fault(field.to_owned(), format!("{count} entries"), &format!("keep at most {limit}")));
    }
    Ok(())
}
