//! From what is on a bar to another load: the next change alone, without looking ahead.

use super::{Move, Place, Plate, Side, Target, Walk, pulled_from_floor, racked, tip_limit};
use crate::load::make::BarLoads;
use crate::load::mass::Mass;

/// The most tries of the search for discs; kits of the trade need some hundreds.
const TRIES: u32 = 50_000;

/// Discs for a load and the moves there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The discs on each side, innermost first.
    pub per_side: Vec<Plate>,
    /// The single moves, in order.
    pub moves: Vec<Move>,
    /// For a pull from the floor: no disc is of full diameter, so blocks or pins must raise the bar.
    pub blocks_needed: bool,
}

/// The change from `from` (each side, innermost first) to `load`: with the discs of `planned` where they make
/// it, else with the fewest moves. `None` when the bar cannot make it with the discs that are free.
pub fn change(
    loads: &BarLoads,
    from: &[Plate],
    planned: &[Plate],
    load: &Mass,
    place: Place,
) -> Option<Change> {
    let target = loads.per_side(load)?;
    let wanted = Target::exact(*load, place);
    let floor = pulled_from_floor(loads, &wanted);
    let needs_full = floor && loads.sums.exact(target, true).is_some();
    let per_side = if weight(planned) == target && (!planned.is_empty() || target == 0) {
        planned.to_vec()
    } else {
        fewest_moves(loads, from, target, needs_full)?
    };
    let same = from.iter().zip(&per_side).take_while(|(a, b)| a == b).count();
    let kind = |p: &Plate| {
        let same = |d: &crate::load::kit::Disc| d.mass == p.mass && d.full_diameter == p.full_diameter;
        (0..loads.sums.kinds.len()).find(|k| loads.disc(*k).is_some_and(same))
    };
    let off: Vec<usize> = from.iter().skip(same).rev().filter_map(kind).collect();
    let on: Vec<usize> = per_side.iter().skip(same).filter_map(kind).collect();
    let there = weight(from);
    let mut walk =
        Walk { loads, tip_limit: tip_limit(loads), left: there, right: there, side: Side::Left, greatest: 0 };
    let moves = walk.go(&off, &on, racked(loads, &wanted));
    let blocks_needed = floor && !per_side.iter().any(|p| p.full_diameter);
    Some(Change { per_side, moves, blocks_needed })
}

fn weight(stack: &[Plate]) -> i64 {
    stack.iter().map(|p| p.mass.amount()).sum()
}

/// The stack with the fewest moves from `from`; of equal ones that with fewer discs.
fn fewest_moves(loads: &BarLoads, from: &[Plate], target: i64, needs_full: bool) -> Option<Vec<Plate>> {
    let mut best: Option<(usize, usize, Vec<Plate>)> = None;
    for keep in (0..=from.len()).rev() {
        let kept = from.get(..keep).unwrap_or_default();
        let room = target - weight(kept);
        if room < 0 {
            continue;
        }
        let full = needs_full && !kept.iter().any(|p| p.full_diameter);
        let Some(more) = fewest_discs(loads, kept, room, full) else { continue };
        let key = (from.len() - keep + more.len(), keep + more.len());
        if best.as_ref().is_none_or(|(m, n, _)| key < (*m, *n)) {
            best = Some((key.0, key.1, kept.iter().copied().chain(more).collect()));
        }
    }
    best.map(|b| b.2)
}

/// The fewest discs that make `room` beside those kept, heaviest first, one of full diameter among them (and
/// then innermost) where it must be.
fn fewest_discs(loads: &BarLoads, kept: &[Plate], room: i64, full: bool) -> Option<Vec<Plate>> {
    let mut kinds: Vec<(Plate, u32, u32)> = Vec::new();
    for (k, kind) in loads.sums.kinds.iter().enumerate() {
        let disc = loads.disc(k)?;
        let plate = Plate { mass: disc.mass, full_diameter: disc.full_diameter };
        let used = kept.iter().filter(|p| **p == plate).count() as u32;
        kinds.push((plate, kind.each.saturating_sub(used), kind.thickness));
    }
    // Kinds that differ in nothing but thickness count as one here; the first is taken.
    kinds.dedup_by_key(|k| k.0);
    let thick = |p: &Plate| kinds.iter().find(|k| k.0 == *p).map_or(0, |k| k.2);
    let sleeve = loads.sums.sleeve.map(|mm| mm.saturating_sub(kept.iter().map(thick).sum()));
    let mut search = Search { kinds: &kinds, full, sleeve, chosen: Vec::new(), best: None, tries: TRIES };
    search.go(0, room);
    let mut stack = search.best?;
    if full && let Some(first) = stack.iter().position(|p| p.full_diameter) {
        let plate = stack.remove(first);
        stack.insert(0, plate);
    }
    Some(stack)
}

struct Search<'a> {
    kinds: &'a [(Plate, u32, u32)],
    full: bool,
    sleeve: Option<u32>,
    chosen: Vec<(Plate, u32)>,
    best: Option<Vec<Plate>>,
    tries: u32,
}

impl Search<'_> {
    fn go(&mut self, at: usize, room: i64) {
        if self.tries == 0 {
            return;
        }
        self.tries -= 1;
        let count: u32 = self.chosen.iter().map(|c| c.1).sum();
        if room == 0 {
            let all: Vec<Plate> =
                self.chosen.iter().flat_map(|(p, n)| std::iter::repeat_n(*p, *n as usize)).collect();
            let mm: u32 = all.iter().filter_map(|p| self.kinds.iter().find(|k| k.0 == *p)).map(|k| k.2).sum();
            let fits = self.sleeve.is_none_or(|most| mm <= most);
            let has = !self.full || all.iter().any(|p| p.full_diameter);
            if fits && has && self.best.as_ref().is_none_or(|b| all.len() < b.len()) {
                self.best = Some(all);
            }
            return;
        }
        let Some((plate, free, _)) = self.kinds.get(at).copied() else { return };
        let amount = plate.mass.amount();
        // At least so many more, were all as heavy as this one.
        let least = (room + amount - 1) / amount;
        if self.best.as_ref().is_some_and(|b| i64::from(count) + least >= b.len() as i64) {
            return;
        }
        let most = (room / amount).min(i64::from(free)) as u32;
        for n in (0..=most).rev() {
            if n > 0 {
                self.chosen.push((plate, n));
            }
            self.go(at + 1, room - amount * i64::from(n));
            if n > 0 {
                self.chosen.pop();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Kit;
    use crate::load::route::{Action, route_exact};

    fn kg(text: &str) -> Mass {
        format!("{text} kg").parse().unwrap()
    }

    #[test]
    fn the_same_load_needs_no_move_and_a_small_step_moves_one_disc_a_side() {
        let kit = Kit::starting("gym_kg").unwrap();
        let bar = &kit.bars[0].name;
        let loads = BarLoads::new(&kit, bar).unwrap();
        let at = loads.loads().find(|m| *m >= kg("100")).unwrap();
        let first = change(&loads, &[], &[], &at, Place::Rack).unwrap();
        assert!(!first.moves.is_empty());
        assert!(change(&loads, &first.per_side, &[], &at, Place::Rack).unwrap().moves.is_empty());
        let next = loads.loads().find(|m| *m > at).unwrap();
        let step = change(&loads, &first.per_side, &[], &next, Place::Rack).unwrap();
        assert!(step.moves.len() <= first.moves.len());
        assert_eq!(
            step.per_side.iter().map(|p| p.mass.amount()).sum::<i64>() * 2,
            next.amount() - loads.lightest().amount()
        );
    }

    #[test]
    fn one_change_is_never_worse_than_stripping_and_never_worse_than_the_exact_route() {
        for name in Kit::STARTING {
            let kit = Kit::starting(name).unwrap();
            let loads = BarLoads::new(&kit, &kit.bars[0].name).unwrap();
            let all: Vec<Mass> = loads.loads().collect();
            for (i, a) in all.iter().enumerate().step_by(7) {
                let on = change(&loads, &[], &[], a, Place::Rack).unwrap();
                let b = all[(i * 5 + 3) % all.len().min(60)];
                let went = change(&loads, &on.per_side, &[], &b, Place::Rack).unwrap();
                let alone = change(&loads, &[], &[], &b, Place::Rack).unwrap();
                assert!(went.moves.len() <= 2 * on.per_side.len() + alone.moves.len());
                // The route of one load is exact: the first change is as short.
                let exact = route_exact(&loads, &[b], Place::Rack).unwrap();
                assert_eq!(alone.per_side.len(), exact.stops[0].per_side.len(), "{name} {b}");
            }
        }
    }

    #[test]
    fn what_is_taken_off_is_outermost_first_and_both_sides_in_turn() {
        let kit = Kit::starting("gym_kg").unwrap();
        let loads = BarLoads::new(&kit, &kit.bars[0].name).unwrap();
        let all: Vec<Mass> = loads.loads().collect();
        let heavy = change(&loads, &[], &[], &all[all.len() / 2], Place::Rack).unwrap();
        let light = change(&loads, &heavy.per_side, &[], &all[0], Place::Rack).unwrap();
        let off: Vec<Plate> =
            light.moves.iter().filter(|m| m.action == Action::Off).step_by(2).map(|m| m.disc).collect();
        assert!(off.iter().eq(heavy.per_side.iter().rev()));
    }
}
