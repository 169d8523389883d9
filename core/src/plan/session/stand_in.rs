//! A stand-in for one line, everything else as it is.

use super::exact::{Item, Left, Room};
use super::{Session, SessionFault};
use crate::catalogue::StandInKind;
use crate::plan::model::{Slot, Term, Week, score};
use crate::plan::prescription::Prescription;
use serde::Serialize;

/// How many movements are offered.
const OFFERED: usize = 4;
/// Points within which two offers count as equal and the catalogue's word decides: a minute.
const EQUAL: i64 = 60;

/// A movement that may stand in now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// Id of the movement.
    pub movement: String,
    /// Working sets: those that the line has left, or as many as the limits leave.
    pub sets: i32,
    /// Repetitions, reserve and rest, eased where safety asks.
    pub prescription: Prescription,
    /// Ramp sets before the first.
    pub ramp_sets: i32,
    /// Points more than with the planned line (fewer points are better).
    pub points_more: i64,
    /// The term of the price in which it differs most from the planned line.
    pub mostly: Term,
    /// Of the same pattern, base group or prime mover.
    pub related: bool,
    /// The catalogue's reason, where it names the stand-in.
    pub because: Option<String>,
}

/// What may stand in for a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StandInAnswer {
    /// Id of the planned movement.
    pub of: String,
    /// Sets that it has left.
    pub sets_left: i32,
    /// At most four, best first; none when nothing fits.
    pub offers: Vec<Offer>,
}

impl Session<'_> {
    /// The best movements to stand in for line `line` of today: permitted, possible with the kit that is free,
    /// within every limit of the session.
    ///
    /// # Errors
    /// The line is not in the day.
    pub fn stand_in(&self, line: usize) -> Result<StandInAnswer, SessionFault> {
        let lines = self.lines.len();
        let planned = self.lines.get(line).ok_or(SessionFault::Line { line, lines })?;
        let cost = self.cost()?;
        let catalogue = self.catalogue();
        let instance = &self.case.instance;
        let of = &catalogue.movements[planned.movement];
        let sets_left = (planned.sets - planned.done).max(0);
        let mut answer = StandInAnswer { of: of.id.clone(), sets_left, offers: Vec::new() };
        if sets_left == 0 {
            return Ok(answer);
        }
        // The rest of today: what is done, and the other lines as planned.
        let mut others: Vec<Slot> =
            self.planned_slots().into_iter().filter(|s| s.movement != planned.movement).collect();
        if planned.done > 0 {
            others.push(Slot { movement: planned.movement, sets: planned.done });
        }
        let base = cost.sums(&others);
        let mut left = Left::default();
        let mut whole = Left::default();
        for (k, l) in self.lines.iter().enumerate() {
            let item = l.item(Vec::new());
            whole.add(&cost, &item, l.sets.max(l.done));
            if k != line {
                left.add(&cost, &item, l.sets.max(l.done));
            }
        }
        let facts = cost.sums(&self.done());
        let plan = cost.sums(&self.planned_slots());
        // A stand-in may take the time that the day has, or that the line itself would have taken.
        let spent = plan.raw_s - instance.pairs_save(plan.by_class) - whole.seconds(&cost);
        let time_s = whole.seconds(&cost).max(instance.days[self.today].time_s - spent.max(0));
        let mut room = Room::new(&cost, &facts, &plan, time_s);
        if planned.done > 0 {
            room.spare_line(&instance.movements[planned.movement]);
        }

        room.hold(&base);

        let group = &catalogue.patterns[of.pattern].base_group;
        let prime = of.direct().next();
        let mut found: Vec<(bool, i64, bool, i64, usize, i32)> = Vec::new();
        for (m, movement) in catalogue.movements.iter().enumerate() {
            let taken = !self.offered[m]
                || m == planned.movement
                || others.iter().any(|s| s.movement == m)
                || cost.exposures(m) >= instance.movements[m].exposures_max;
            if taken {
                continue;
            }
            let item = self.new_item(m, Vec::new(), 0);
            let most = sets_left.min(instance.movements[m].sets_max);
            for sets in (1..=most).rev() {
                let (mut sums, mut then) = (base, left);
                cost.add(&mut sums, Slot { movement: m, sets });
                then.add(&cost, &item, sets);
                if room.over(&sums, then.seconds(&cost)).is_some() || room.unmended(&sums).is_some() {
                    continue;
                }
                let points = cost.points(&sums);
                let related = movement.pattern == of.pattern
                    || (group.is_some() && catalogue.patterns[movement.pattern].base_group == *group)
                    || (prime.is_some() && movement.direct().next() == prime);
                let named = catalogue.stand_ins_of(planned.movement).any(|s| s.to == m && meant(s.kind));
                found.push((!related, points.div_euclid(EQUAL), !named, points, m, sets));
                break;
            }
        }
        found.sort_unstable();
        found.truncate(OFFERED);

        let with = |slots: Vec<Slot>| {
            let mut week = Week { days: self.week.days.clone() };
            week.days[self.today] = slots;
            score(instance, &week)
        };
        let before = with(self.planned_slots());
        for (unrelated, _, _, points, m, sets) in found {
            let mut slots = others.clone();
            slots.push(Slot { movement: m, sets });
            let after = with(slots);
            let mostly = Term::ALL
                .into_iter()
                .max_by_key(|t| (after.of(*t).abs_diff(before.of(*t)), std::cmp::Reverse(*t as usize)));
            let edges = || catalogue.stand_ins_of(planned.movement).filter(|s| s.to == m);
            // What spares a sore region comes before what any other lifter would be told.
            let spares =
                |kind: StandInKind| matches!(kind, StandInKind::Discomfort(r) if self.sore.contains(&r));
            let named = edges()
                .find(|s| spares(s.kind))
                .or_else(|| edges().find(|s| meant(s.kind)))
                .or_else(|| edges().find(|s| s.kind != StandInKind::Pairing));
            answer.offers.push(Offer {
                movement: catalogue.movements[m].id.clone(),
                sets,
                prescription: self.case.prescriptions[m],
                ramp_sets: catalogue.movements[m].ramp_sets,
                points_more: points - before.total(),
                mostly: mostly.unwrap_or(Term::Time),
                related: !unrelated,
                because: named.map(|s| s.reason.clone()),
            });
        }
        Ok(answer)
    }

    /// A movement that is not on today's plan.
    pub(super) fn new_item(&self, movement: usize, options: Vec<i32>, fee: i64) -> Item {
        let m = &self.case.instance.movements[movement];
        Item { movement, done: 0, options, set_s: m.set_s, fixed_s: m.fixed_s, fee }
    }
}

/// Kinds of stand-in that a session asks for.
fn meant(kind: StandInKind) -> bool {
    matches!(
        kind,
        StandInKind::Busy | StandInKind::Discomfort(_) | StandInKind::Equipment | StandInKind::Alone
    )
}

impl super::Planned {
    /// A planned line with open sets.
    pub(super) fn item(&self, options: Vec<i32>) -> Item {
        Item {
            movement: self.movement,
            done: self.done,
            options,
            set_s: self.set_s,
            fixed_s: if self.done > 0 { 0 } else { self.fixed_s },
            fee: 0,
        }
    }
}
