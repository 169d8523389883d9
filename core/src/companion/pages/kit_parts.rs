//! The parts of a kit: pieces, bars and collars, discs with their counts, rows of dumbbells, stacks, bands.

use super::kits::{LONGEST_NAME, PARTS};
use super::typed::Typed;
use super::{Did, Making, No, pick};
use crate::catalogue::LoadKind;
use crate::companion::{Companion, Moment};
use crate::load::kit::{Bar, BarKind, Collars, Disc, Dumbbells, Per, Stack};
use crate::load::{Kit, LoadError, Mass, Unit};
use crate::page::{Block, Deed, Keys, KitPart, PageButton, Spot};
use crate::words;

/// Discs that a new kind begins with: one for each side.
const A_PAIR: u32 = 2;
/// The machine that stands for all that are not listed.
const ANY: &str = "any";

const BARS: [(&str, &str, BarKind); 7] = [
    ("barbell", "gear-bar-barbell", BarKind::Barbell),
    ("trap_bar", "gear-bar-trap", BarKind::TrapBar),
    ("curl_bar", "gear-bar-curl", BarKind::CurlBar),
    ("padded_bar", "gear-bar-padded", BarKind::PaddedBar),
    ("guided_bar", "gear-bar-guided", BarKind::GuidedBar),
    ("sled", "gear-bar-sled", BarKind::Sled),
    ("dumbbell_handle", "gear-bar-handle", BarKind::DumbbellHandle),
];

/// A button's value that names a step: `more:2`, `fewer:1`.
fn step(value: &str) -> Option<(bool, u32)> {
    let (way, n) = value.split_once(':')?;
    let n = n.parse().ok().filter(|n| (1..=2).contains(n))?;
    match way {
        "more" => Some((true, n)),
        "fewer" => Some((false, n)),
        _ => None,
    }
}

fn stepped(count: u32, value: &str) -> Result<u32, No> {
    let (more, n) = step(value).ok_or_else(|| No::Field("value".into()))?;
    Ok(if more { count.saturating_add(n) } else { count.saturating_sub(n) })
}

/// The position at the end of a field such as `disc:3`.
fn position(field: &str, of: &str, len: usize) -> Option<usize> {
    let k = field.strip_prefix(of)?.strip_prefix(':')?.parse::<usize>().ok()?;
    (k < len).then_some(k)
}

/// The bar that a kind begins with: the usual one of the kits to start from, in the unit of this kit.
fn usual_bar(kind: BarKind, unit: Unit) -> Option<Mass> {
    let first = if unit == Unit::Pound { "gym_lb" } else { "gym_kg" };
    let kits = [first, "home"].map(Kit::starting);
    let found = kits.iter().flatten().find_map(|k| k.bars.iter().find(|b| b.kind == kind).map(|b| b.mass));
    // A padded bar is in none of them: it begins as the straight one.
    found.or_else(|| Some(Kit::starting(first).ok()?.bars.first()?.mass))
}

impl Companion {
    fn load_no(&self, e: &LoadError) -> No {
        No::Refused(words::fault::load_fault(&self.speech, e))
    }

    fn steps(&self, field: &str, most: u32) -> Vec<PageButton> {
        let s = &self.speech;
        let more = (1..=most).rev().map(|n| (format!("more:{n}"), s.say("step-more", &[("n", n.into())])));
        let fewer = (1..=most).map(|n| (format!("fewer:{n}"), s.say("step-fewer", &[("n", n.into())])));
        more.chain(fewer).map(|(value, label)| pick(field, &value, label)).collect()
    }

    pub(super) fn kit_part_page(&self, id: &str, part: KitPart) -> Making<'_> {
        let s = &self.speech;
        let key = PARTS.iter().find(|(p, _)| *p == part).map_or("pages-kits", |(_, key)| key);
        let mut page = Making::new(s, s.say(key, &[]));
        let Some(place) = self.place(id) else { return page };
        page.sentence(s.say("gear-of", &[("place", (&place.name).into())]));
        let kit = &place.kit;
        let spot = Spot::PartOfKit { id: id.to_owned(), part };
        match part {
            KitPart::Pieces => page.question("gear-pieces-which", Vec::new(), self.pieces_offered(place)),
            KitPart::Bars => self.bars_part(&mut page, kit),
            KitPart::Discs => self.discs_part(&mut page, kit),
            KitPart::Dumbbells => self.dumbbells_part(&mut page, kit, &spot),
            KitPart::Kettlebells => {
                let all = kit.kettlebells.iter().enumerate();
                let buttons =
                    all.map(|(k, m)| pick("kettlebell_off", &k.to_string(), s.mass(m)).chosen(true));
                self.list_part(&mut page, buttons.collect());
                page.entry("kettlebell", "gear-add-kettlebell", Keys::Decimal, None);
                self.ask_unit(&mut page);
            }
            KitPart::Stacks => self.stacks_part(&mut page, kit, &spot),
            KitPart::Bands => {
                let all = kit.bands.iter().enumerate();
                let buttons = all.map(|(k, b)| pick("band_off", &k.to_string(), b.clone()).chosen(true));
                self.list_part(&mut page, buttons.collect());
                page.entry("band", "gear-add-band", Keys::Words, None);
            }
        }
        page
    }

    /// A list of what is there, each taken away by a touch.
    fn list_part(&self, page: &mut Making<'_>, buttons: Vec<PageButton>) {
        if buttons.is_empty() {
            page.sentence(self.speech.say("gear-nothing", &[]));
        } else {
            page.question("gear-there", vec![self.speech.say("gear-touch-away", &[])], buttons);
        }
    }

    fn bars_part(&self, page: &mut Making<'_>, kit: &Kit) {
        let s = &self.speech;
        for (k, bar) in kit.bars.iter().enumerate() {
            let mass = s.mass(&bar.mass);
            let args = [("name", (&bar.name).into()), ("mass", (&mass).into()), ("n", bar.count.into())];
            let label = s.say("gear-bar", &args);
            let buttons = self.steps(&format!("bar:{k}"), 1);
            page.blocks.push(Block::Question { label, notes: Vec::new(), buttons });
            let label = s.say("gear-bar-mass", &[("name", (&bar.name).into())]);
            let now = s.decimal(&bar.mass.to_string());
            page.entry_as(&format!("bar_mass:{k}"), label, Keys::Decimal, Some(now));
        }
        let kinds = BARS.map(|(id, key, _)| page.pick("add_bar", id, key, false));
        page.question("gear-add-bar", vec![s.say("gear-add-bar-note", &[])], kinds.to_vec());
        let pair = kit.collars.is_some().then(|| s.decimal(&kit.collar_pair(BarKind::Barbell).to_string()));
        page.entry("collars", "gear-collars", Keys::Decimal, pair);
        self.ask_unit(page);
    }

    fn discs_part(&self, page: &mut Making<'_>, kit: &Kit) {
        let s = &self.speech;
        for (k, disc) in kit.discs.iter().enumerate() {
            let field = format!("disc:{k}");
            let mut buttons = self.steps(&field, A_PAIR);
            buttons.push(page.pick(&field, "wide", "gear-disc-wide", disc.full_diameter));
            let mass = s.mass(&disc.mass);
            let label = s.say("gear-disc", &[("mass", (&mass).into()), ("n", disc.count.into())]);
            page.blocks.push(Block::Question { label, notes: Vec::new(), buttons });
        }
        page.sentence(s.say("gear-disc-wide-note", &[]));
        page.entry("disc", "gear-add-disc", Keys::Decimal, None);
        self.ask_unit(page);
    }

    fn dumbbells_part(&self, page: &mut Making<'_>, kit: &Kit, spot: &Spot) {
        let s = &self.speech;
        for (k, row) in kit.dumbbells.iter().enumerate() {
            let field = format!("row:{k}");
            let mut buttons = Vec::new();
            let label = match (row.from, row.to, row.step) {
                (Some(from), Some(to), Some(step)) => {
                    buttons.push(page.pick(&field, "more:1", "gear-row-heavier", false));
                    buttons.push(page.pick(&field, "fewer:1", "gear-row-lighter", false));
                    self.row_said(&from, &to, &step)
                }
                _ => s.and(&row.masses.iter().map(|m| s.mass(m)).collect::<Vec<_>>()),
            };
            buttons.push(page.pick(&field, "pairs", "gear-in-pairs", row.in_pairs));
            buttons.push(page.pick(&field, "away", "gear-away", false));
            page.blocks.push(Block::Question { label, notes: Vec::new(), buttons });
        }
        page.heading("gear-add-row");
        self.ask_row(page, spot, ["from", "to", "step"]);
    }

    fn row_said(&self, from: &Mass, to: &Mass, step: &Mass) -> String {
        let s = &self.speech;
        let [from, to, step] = [from, to, step].map(|m| s.mass(m));
        s.say("gear-row", &[("from", (&from).into()), ("to", (&to).into()), ("step", (&step).into())])
    }

    /// Lightest, heaviest and step of a row or a stack that is added.
    fn ask_row(&self, page: &mut Making<'_>, spot: &Spot, fields: [&str; 3]) {
        for (field, key) in fields.into_iter().zip(["gear-row-from", "gear-row-to", "gear-row-step"]) {
            let now = self.answer(spot, field, None).map(|m| self.speech.decimal(&m));
            page.entry(field, key, Keys::Decimal, now);
        }
        self.ask_unit(page);
        page.deed("locker-keep", Deed::Keep, true);
    }

    fn stacks_part(&self, page: &mut Making<'_>, kit: &Kit, spot: &Spot) {
        let s = &self.speech;
        for (k, stack) in kit.stacks.iter().enumerate() {
            let field = format!("stack:{k}");
            let mut buttons = vec![
                page.pick(&field, "more:1", "gear-row-heavier", false),
                page.pick(&field, "fewer:1", "gear-row-lighter", false),
            ];
            for (n, extra) in stack.add_ons.iter().enumerate() {
                let mass = s.mass(extra);
                let label = s.say("gear-add-on-off", &[("mass", (&mass).into())]);
                buttons.push(pick(&field, &format!("off:{n}"), label));
            }
            buttons.push(page.pick(&field, "away", "gear-away", false));
            let row = self.row_said(&stack.start, &stack.top, &stack.step);
            let machine = self.machine(&stack.machine);
            let label = s.say("pages-labelled", &[("what", (&machine).into()), ("text", (&row).into())]);
            page.blocks.push(Block::Question { label, notes: Vec::new(), buttons });
            let label = s.say("gear-add-on", &[("machine", (&machine).into())]);
            page.entry_as(&format!("add_on:{k}"), label, Keys::Decimal, None);
        }
        page.heading("gear-add-stack");
        let chosen = self.answer(spot, "machine", None);
        let machines = self.machines();
        let button = |id: &String| pick("machine", id, self.machine(id)).chosen(chosen.as_ref() == Some(id));
        page.question("gear-stack-machine", Vec::new(), machines.iter().map(button).collect());
        self.ask_row(page, spot, ["from", "to", "step"]);
    }

    fn machine(&self, id: &str) -> String {
        if id == ANY { self.speech.say("gear-any-machine", &[]) } else { self.speech.kit_item(id) }
    }

    /// The machines with a stack that movements ask for, and the one that stands for all others.
    fn machines(&self) -> Vec<String> {
        let c = &self.known.catalogue;
        let stacks = c.movements.iter().filter(|m| m.load_kind == LoadKind::Stack);
        let mut ids: Vec<String> = stacks
            .filter_map(|m| Some(c.equipment.get(*m.equipment.first()?.first()?)?.id.clone()))
            .collect();
        ids.sort();
        ids.dedup();
        ids.insert(0, ANY.to_owned());
        ids
    }

    pub(super) fn choose_in_kit_part(
        &mut self,
        id: &str,
        part: KitPart,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        let kit = self.place(id).map(|p| p.kit.clone()).ok_or(No::NotHere)?;
        if field == "typed_unit" && part != KitPart::Pieces && part != KitPart::Bands {
            return self.choose_unit(value, moment);
        }
        let changed = match part {
            KitPart::Pieces if field == "piece" => return self.choose_piece(id, value, moment),
            KitPart::Bars => self.choose_bar(kit, field, value)?,
            KitPart::Discs => self.choose_disc(kit, field, value)?,
            KitPart::Dumbbells | KitPart::Stacks if ["from", "to", "step", "machine"].contains(&field) => {
                return self.draft_row(&Spot::PartOfKit { id: id.to_owned(), part }, field, value);
            }
            KitPart::Dumbbells => self.choose_row(kit, field, value)?,
            KitPart::Stacks => self.choose_stack(kit, field, value)?,
            KitPart::Kettlebells => self.choose_kettlebell(kit, field, value)?,
            KitPart::Bands => self.choose_band(kit, field, value)?,
            KitPart::Pieces => None,
        };
        let kit = changed.ok_or_else(|| No::Field(field.to_owned()))?;
        self.change_place(id, moment, |place| {
            place.kit = kit;
            Ok(())
        })
    }

    fn typed_mass(&self, label: &str, value: &str) -> Result<Mass, No> {
        Ok(Typed::new(&self.speech, label, value).mass(self.typed_unit())?)
    }

    fn choose_bar(&self, mut kit: Kit, field: &str, value: &str) -> Result<Option<Kit>, No> {
        let n = kit.bars.len();
        if field == "add_bar" {
            let bar = BARS.into_iter().find(|(id, _, _)| *id == value);
            let (_, key, kind) = bar.ok_or_else(|| No::Field("value".into()))?;
            let mass = usual_bar(kind, kit.unit()).ok_or(No::NotHere)?;
            let name = self.speech.say(key, &[]);
            // Each bar has a name of its own.
            let numbered = (2..).map(|k| format!("{name} {k}"));
            let mut free = std::iter::once(name.clone()).chain(numbered).filter(|n| kit.bar(n).is_none());
            let name = free.next().unwrap_or(name.clone());
            kit.bars.push(Bar { name, mass, kind, count: 1, sleeve_mm: None });
        } else if field == "collars" {
            kit.collars = if value.trim().is_empty() {
                None
            } else {
                Some(Collars { mass: self.typed_mass("gear-collars", value)?, per: Per::Pair })
            };
        } else if let Some(k) = position(field, "bar_mass", n) {
            let Some(bar) = kit.bars.get_mut(k) else { return Ok(None) };
            let what = self.speech.say("gear-bar-mass", &[("name", (&bar.name).into())]);
            let typed = Typed { speech: &self.speech, what, text: value };
            bar.mass = typed.mass(self.typed_unit())?;
        } else if let Some(k) = position(field, "bar", n) {
            let Some(bar) = kit.bars.get_mut(k) else { return Ok(None) };
            match u8::try_from(stepped(u32::from(bar.count), value)?).unwrap_or(u8::MAX) {
                0 => drop(kit.bars.remove(k)),
                count => bar.count = count,
            }
        } else {
            return Ok(None);
        }
        Ok(Some(kit))
    }

    fn choose_disc(&self, mut kit: Kit, field: &str, value: &str) -> Result<Option<Kit>, No> {
        if field == "disc" {
            let mass = self.typed_mass("gear-add-disc", value)?;
            if let Some(there) = kit.discs.iter_mut().find(|d| d.mass == mass && !d.full_diameter) {
                there.count = there.count.saturating_add(A_PAIR);
            } else {
                kit.discs.push(Disc { mass, count: A_PAIR, full_diameter: false, thickness_mm: None });
                kit.discs.sort_by_key(|d| std::cmp::Reverse(d.mass));
            }
            return Ok(Some(kit));
        }
        let Some(k) = position(field, "disc", kit.discs.len()) else { return Ok(None) };
        let Some(disc) = kit.discs.get_mut(k) else { return Ok(None) };
        if value == "wide" {
            disc.full_diameter = !disc.full_diameter;
        } else {
            match stepped(disc.count, value)? {
                0 => drop(kit.discs.remove(k)),
                count => disc.count = count,
            }
        }
        Ok(Some(kit))
    }

    fn choose_row(&self, mut kit: Kit, field: &str, value: &str) -> Result<Option<Kit>, No> {
        let Some(k) = position(field, "row", kit.dumbbells.len()) else { return Ok(None) };
        let Some(row) = kit.dumbbells.get_mut(k) else { return Ok(None) };
        match value {
            "away" => drop(kit.dumbbells.remove(k)),
            "pairs" => row.in_pairs = !row.in_pairs,
            _ => {
                let (Some(from), Some(to), Some(by)) = (row.from, row.to, row.step) else {
                    return Err(No::Field("value".into()));
                };
                row.to = Some(self.stepped_mass(from, to, by, value)?);
            }
        }
        Ok(Some(kit))
    }

    /// The end of a row one step further or nearer; it never falls below its beginning.
    fn stepped_mass(&self, from: Mass, to: Mass, by: Mass, value: &str) -> Result<Mass, No> {
        let (more, _) = step(value).ok_or_else(|| No::Field("value".into()))?;
        if more {
            return to.plus(&by).map_err(|e| self.load_no(&e));
        }
        let nearer = to.minus(&by).filter(|m| *m >= from);
        nearer.ok_or_else(|| No::Refused(self.speech.say("gear-row-shortest", &[])))
    }

    fn choose_stack(&self, mut kit: Kit, field: &str, value: &str) -> Result<Option<Kit>, No> {
        let n = kit.stacks.len();
        if let Some(k) = position(field, "add_on", n) {
            let Some(stack) = kit.stacks.get_mut(k) else { return Ok(None) };
            let machine = self.machine(&stack.machine);
            let what = self.speech.say("gear-add-on", &[("machine", (&machine).into())]);
            let typed = Typed { speech: &self.speech, what, text: value };
            stack.add_ons.push(typed.mass(self.typed_unit())?);
            return Ok(Some(kit));
        }
        let Some(k) = position(field, "stack", n) else { return Ok(None) };
        let Some(stack) = kit.stacks.get_mut(k) else { return Ok(None) };
        if value == "away" {
            kit.stacks.remove(k);
        } else if let Some(off) = value.strip_prefix("off:") {
            let off = off.parse::<usize>().ok().filter(|off| *off < stack.add_ons.len());
            stack.add_ons.remove(off.ok_or_else(|| No::Field("value".into()))?);
        } else {
            stack.top = self.stepped_mass(stack.start, stack.top, stack.step, value)?;
        }
        Ok(Some(kit))
    }

    fn choose_kettlebell(&self, mut kit: Kit, field: &str, value: &str) -> Result<Option<Kit>, No> {
        match field {
            "kettlebell" => {
                kit.kettlebells.push(self.typed_mass("gear-add-kettlebell", value)?);
                kit.kettlebells.sort();
            }
            "kettlebell_off" => {
                let k = value.parse::<usize>().ok().filter(|k| *k < kit.kettlebells.len());
                kit.kettlebells.remove(k.ok_or_else(|| No::Field("value".into()))?);
            }
            _ => return Ok(None),
        }
        Ok(Some(kit))
    }

    fn choose_band(&self, mut kit: Kit, field: &str, value: &str) -> Result<Option<Kit>, No> {
        match field {
            "band" => kit.bands.push(Typed::new(&self.speech, "gear-add-band", value).words(LONGEST_NAME)?),
            "band_off" => {
                let k = value.parse::<usize>().ok().filter(|k| *k < kit.bands.len());
                kit.bands.remove(k.ok_or_else(|| No::Field("value".into()))?);
            }
            _ => return Ok(None),
        }
        Ok(Some(kit))
    }

    /// Holds what is written of a row or a stack that is added.
    fn draft_row(&mut self, spot: &Spot, field: &str, value: &str) -> Result<(), No> {
        let kept = if field == "machine" {
            let stacks = matches!(spot, Spot::PartOfKit { part: KitPart::Stacks, .. });
            if !stacks || !self.machines().iter().any(|m| m == value) {
                return Err(No::Field("value".into()));
            }
            value.to_owned()
        } else {
            let key = match field {
                "from" => "gear-row-from",
                "to" => "gear-row-to",
                _ => "gear-row-step",
            };
            self.typed_mass(key, value)?.to_string()
        };
        self.visit.draft(spot, field, kept);
        Ok(())
    }

    /// Adds the row or the stack that was written.
    pub(super) fn keep_row(&mut self, id: &str, part: KitPart, moment: &Moment) -> Result<Did, No> {
        let spot = Spot::PartOfKit { id: id.to_owned(), part };
        let mass = |field: &str, key: &str| -> Result<Mass, No> {
            let text = self.answer(&spot, field, None);
            text.and_then(|m| m.parse().ok()).ok_or_else(|| self.missing(key))
        };
        let (from, to, step) =
            (mass("from", "gear-row-from")?, mass("to", "gear-row-to")?, mass("step", "gear-row-step")?);
        if from > to {
            return Err(No::Refused(self.speech.say("gear-row-falls", &[])));
        }
        let mut kit = self.place(id).map(|p| p.kit.clone()).ok_or(No::NotHere)?;
        match part {
            KitPart::Dumbbells => kit.dumbbells.push(Dumbbells {
                masses: Vec::new(),
                from: Some(from),
                to: Some(to),
                step: Some(step),
                in_pairs: true,
            }),
            KitPart::Stacks => {
                let machine = self.answer(&spot, "machine", None);
                let machine = machine.ok_or_else(|| self.missing("gear-stack-machine"))?;
                // A machine has one stack: what is written now takes the place of what was.
                kit.stacks.retain(|s| s.machine != machine);
                kit.stacks.push(Stack { machine, start: from, step, top: to, add_ons: Vec::new() });
            }
            _ => return Err(No::NotHere),
        }
        self.change_place(id, moment, |place| {
            place.kit = kit;
            Ok(())
        })?;
        self.visit.drop_draft();
        Ok(Did::default())
    }
}
