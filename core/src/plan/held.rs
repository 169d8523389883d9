//! A brief solved with changes held in it: what a coach has decided line by line stays so while the rest is solved anew.

use super::reason::{Change, PRICE_EFFORT};
use super::search::{Effort, Feasible, Found, Progress, Range, Ranges, Requirement, Rules, feasible, search};
use super::{Case, Keep, Planner, Solved, build};
use crate::catalogue::Catalogue;
use crate::plan::brief::Brief;
use crate::plan::model::{Instance, Slot, Week, score};
use crate::plan::programme::Programme;
use crate::plan::reason::{conform, meets};

/// Price of a movement that must be there on some day, above all others.
const ABOVE_ALL: i32 = 20_000_000;

impl Change {
    /// The movement that it is about.
    pub fn movement(&self) -> &str {
        match self {
            Self::Force { movement, .. }
            | Self::Forbid { movement }
            | Self::Move { movement, .. }
            | Self::Sets { movement, .. } => movement,
        }
    }

    /// The days that it says something of; nothing where it is of the week.
    fn days(&self) -> Option<[usize; 2]> {
        match self {
            Self::Force { day, .. } => day.map(|d| [d, d]),
            Self::Forbid { .. } => None,
            Self::Move { from, to, .. } => Some([*from, *to]),
            Self::Sets { day, .. } => Some([*day, *day]),
        }
    }

    /// Whether this one, decided later, takes the place of another: of one movement, about a day in common or the week.
    pub fn replaces(&self, other: &Self) -> bool {
        self.movement() == other.movement()
            && match (self.days(), other.days()) {
                (Some(ours), Some(theirs)) => ours.iter().any(|d| theirs.contains(d)),
                _ => true,
            }
    }
}

/// A brief solved with changes held.
#[derive(Debug, Clone)]
pub struct Held {
    /// The solved brief.
    pub solved: Solved,
    /// Changes that could not be held beside the others, by their positions: no week that keeps them was found.
    pub let_go: Vec<usize>,
}

/// What the search keeps to for held changes.
pub(super) struct Hold {
    pub(super) instance: Instance,
    pub(super) ranges: Ranges,
    pub(super) required: Vec<Requirement>,
}

impl Hold {
    /// Nothing held.
    pub(super) fn none(case: &Case) -> Self {
        let instance = case.instance.clone();
        Self { ranges: Ranges::free(&instance), instance, required: Vec::new() }
    }

    /// Holds one more change; says whether the case has what it names.
    pub(super) fn add(&mut self, case: &Case, catalogue: &Catalogue, change: &Change) -> bool {
        let absent = matches!(change, Change::Forbid { .. } | Change::Sets { sets: 0, .. });
        let Some(m) = catalogue.find(change.movement()).and_then(|index| case.position(index)) else {
            // A movement that is out is kept off anyhow.
            return absent;
        };
        let days = self.instance.days.len();
        let (fewest, most) = (self.instance.movements[m].sets_min, self.instance.movements[m].sets_max);
        match *change {
            Change::Force { day: Some(d), .. } if d < days => {
                self.ranges.force(d, m);
                self.required.push(Requirement { movement: m, times: 1, day: Some(d) });
            }
            Change::Force { day: None, .. } => {
                let movement = &mut self.instance.movements[m];
                movement.exposures_wanted = movement.exposures_wanted.max(1);
                movement.exposure_price = ABOVE_ALL;
                self.required.push(Requirement { movement: m, times: 1, day: None });
            }
            Change::Forbid { .. } => (0..days).for_each(|d| self.ranges.forbid(d, m)),
            Change::Move { from, to, .. } if from < days && to < days => {
                self.ranges.forbid(from, m);
                self.ranges.force(to, m);
                self.required.push(Requirement { movement: m, times: 1, day: Some(to) });
            }
            Change::Sets { day, sets: 0, .. } if day < days => self.ranges.forbid(day, m),
            Change::Sets { day, sets, .. } if day < days && (fewest..=most).contains(&sets) => {
                self.ranges.set(day, m, Range { must: true, low: sets, high: sets });
                self.required.push(Requirement { movement: m, times: 1, day: Some(day) });
            }
            _ => return false,
        }
        true
    }

    /// Whether a week keeps what is held.
    pub(super) fn kept(&self, week: &Week) -> bool {
        self.ranges.allow(week) && meets(&self.required, week)
    }
}

impl Planner<'_> {
    /// Some week that keeps what is held: the one at hand bent to it, one that is sought for exactly, or the best week
    /// of the brief alone bent to it.
    fn first(&self, brief: &Brief, case: &Case, hold: &Hold, at_hand: &Week) -> Option<Week> {
        let bend = |week: &Week| conform(&case.instance, &hold.ranges, &hold.required, week);
        if let Some(week) = bend(at_hand) {
            return Some(week);
        }
        let mut exact = hold.instance.clone();
        for (d, m) in hold.ranges.musts() {
            // The exact search places a line at its fewest sets.
            let movement = &mut exact.movements[m];
            movement.sets_min = movement.sets_min.max(hold.ranges.of(d, m).low);
        }
        if let Feasible::Yes(week) = feasible(&exact, Rules::ALL, &hold.required)
            && hold.kept(&week)
        {
            return Some(week);
        }
        let free = self.solve(brief, Effort::QUICK, &mut |_| true);
        bend(&super::reason::translate(&free.case, &free.week, case))
    }

    /// The week of a programme in the numbers of a case, as far as that has its days and movements.
    fn week_of(&self, programme: &Programme, case: &Case) -> Week {
        let mut week = Week::empty(case.instance.days.len());
        for (slots, day) in week.days.iter_mut().zip(&programme.days) {
            for line in &day.lines {
                let movement = self.catalogue.find(&line.movement).and_then(|m| case.position(m));
                slots.extend(movement.map(|movement| Slot { movement, sets: line.sets }));
            }
        }
        week
    }

    /// Solves a brief with changes held in it, beginning from an earlier answer where there is one. A later change takes
    /// the place of an earlier one; what cannot be held beside the others is let go and named. As [`Self::solve`]
    /// otherwise.
    pub fn solve_held(
        &self,
        brief: &Brief,
        held: &[Change],
        from: Option<&Programme>,
        effort: Effort,
        control: &mut dyn FnMut(Progress) -> bool,
    ) -> Held {
        if held.is_empty() {
            return Held { solved: self.solve(brief, effort, control), let_go: Vec::new() };
        }
        // Every movement that the brief leaves: one that another dominates may be decided on, or be in the week that a
        // price was said of.
        let case = build(brief, self.catalogue, self.weights, Keep::All);
        let (mut keeps, mut let_go) = (Hold::none(&case), Vec::new());
        let mut start =
            from.map_or_else(|| Week::empty(case.instance.days.len()), |p| self.week_of(p, &case));
        for (k, change) in held.iter().enumerate() {
            if held[k + 1..].iter().any(|later| later.replaces(change)) {
                continue;
            }
            let mut trial = Hold {
                instance: keeps.instance.clone(),
                ranges: keeps.ranges.clone(),
                required: keeps.required.clone(),
            };
            let fits = trial.add(&case, self.catalogue, change);
            match fits.then(|| self.first(brief, &case, &trial, &start)).flatten() {
                Some(week) => (keeps, start) = (trial, week),
                None => let_go.push(k),
            }
        }
        // As a price is searched for, so that none turns out dearer than it was said; then as hard as was asked.
        let priced = search(&keeps.instance, &keeps.ranges, Some(&start), PRICE_EFFORT, &mut |_| true);
        let priced = priced.filter(|f| keeps.kept(&f.week));
        let from = priced.as_ref().map_or(&start, |f| &f.week);
        let found = search(&keeps.instance, &keeps.ranges, Some(from), effort, control);
        let mut found = found.filter(|f| keeps.kept(&f.week)).or(priced).unwrap_or(Found {
            week: start,
            points: 0,
            locally_best: false,
            evaluations: 0,
            cancelled: false,
        });
        // The points are those of the brief alone: at what a held movement was priced while it was searched for is no
        // part of the week. And with changes held nothing is known of those that are not.
        found.points = score(&case.instance, &found.week).total();
        found.locally_best = false;
        let solved = self.finish(brief, case, Some(found));
        Held { solved, let_go }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Weights;
    use super::super::reason::{Outcome, Reasoner};
    use super::super::sample::sample_brief;
    use super::*;

    /// What a week says of a change, read off its programme and not off the ranges that were searched in.
    fn says(planner: &Planner<'_>, brief: &Brief, solved: &Solved, change: &Change) -> bool {
        let programme = planner.programme(brief, solved).programme;
        let sets = |d: usize, id: &str| -> i32 {
            programme.days[d].lines.iter().filter(|l| l.movement == id).map(|l| l.sets).sum()
        };
        let days = 0..programme.days.len();
        match change {
            Change::Force { movement, day: Some(d) } => sets(*d, movement) > 0,
            Change::Force { movement, day: None } => days.into_iter().any(|d| sets(d, movement) > 0),
            Change::Forbid { movement } => days.into_iter().all(|d| sets(d, movement) == 0),
            Change::Move { movement, from, to } => sets(*from, movement) == 0 && sets(*to, movement) > 0,
            Change::Sets { day, movement, sets: n } => sets(*day, movement) == *n,
        }
    }

    /// One change after the other, each priced before it is held, as a coach would do it.
    #[test]
    fn what_is_held_is_in_the_week_and_costs_what_was_said_or_less() {
        let catalogue = Catalogue::builtin().unwrap();
        let weights = Weights::builtin().unwrap();
        let planner = Planner::new(&catalogue, &weights);
        let (mut held_in_all, mut dearer) = (0, 0);
        for seed in 0..10 {
            let brief = sample_brief(seed, &catalogue);
            let mut held: Vec<Change> = Vec::new();
            let mut now = planner.solve(&brief, Effort::QUICK, &mut |_| true);
            for step in 0..4 {
                let reasoner = Reasoner::new(planner, &brief, &now).holding(&held);
                let lines: Vec<(usize, String, i32)> = reasoner
                    .week()
                    .days
                    .iter()
                    .enumerate()
                    .flat_map(|(d, slots)| {
                        let of =
                            |s: &Slot| (d, reasoner.case().instance.movements[s.movement].id.clone(), s.sets);
                        slots.iter().map(of).collect::<Vec<_>>()
                    })
                    .collect();
                let Some((day, movement, sets)) =
                    lines.get((seed as usize + step * 3) % lines.len().max(1)).cloned()
                else {
                    continue;
                };
                let change = match step {
                    0 => Change::Sets { day, movement, sets: sets + 1 },
                    1 => Change::Forbid { movement },
                    2 => Change::Sets { day, movement, sets: sets - 1 },
                    _ => Change::Force { movement: "goblet_squat".into(), day: None },
                };
                let Outcome::Priced { difference } = reasoner.price_of_change(&change).unwrap().outcome
                else {
                    continue;
                };
                held.push(change.clone());
                let before = planner.programme(&brief, &now).programme;
                let next = planner.solve_held(&brief, &held, Some(&before), Effort::QUICK, &mut |_| true);
                assert!(next.let_go.is_empty(), "seed {seed}: {held:?} {:?}", next.let_go);
                for (k, h) in held.iter().enumerate() {
                    let replaced = held[k + 1..].iter().any(|later| later.replaces(h));
                    assert!(replaced || says(&planner, &brief, &next.solved, h), "seed {seed}: {h:?}");
                }
                let points = score(&next.solved.case.instance, &next.solved.week).total();
                assert_eq!(points, next.solved.certificate.points);
                // A price that was said of a movement on some day may be searched for on another start.
                dearer += u32::from(points > now.certificate.points + difference.points);
                held_in_all += 1;
                now = next.solved;
            }
        }
        assert!(held_in_all >= 20, "{held_in_all}");
        assert!(dearer * 20 <= held_in_all, "{dearer} of {held_in_all} cost more than was said");
    }

    #[test]
    fn what_cannot_be_held_is_let_go_and_named() {
        let catalogue = Catalogue::builtin().unwrap();
        let weights = Weights::builtin().unwrap();
        let planner = Planner::new(&catalogue, &weights);
        let brief = sample_brief(1, &catalogue);
        let held = [
            Change::Sets { day: 0, movement: "barbell_back_squat".into(), sets: 99 },
            Change::Force { movement: "no_such_movement".into(), day: Some(1) },
            Change::Sets { day: 40, movement: "goblet_squat".into(), sets: 2 },
            Change::Forbid { movement: "nor_this_one".into() },
        ];
        let answer = planner.solve_held(&brief, &held, None, Effort::QUICK, &mut |_| true);
        assert_eq!(answer.let_go, [0, 1, 2], "what is out is kept off anyhow");
        assert!(answer.solved.week.days.iter().any(|d| !d.is_empty()));
    }

    #[test]
    fn the_later_decision_takes_the_place_of_the_earlier() {
        let sets = |day, sets| Change::Sets { day, movement: "a".into(), sets };
        let forbid = Change::Forbid { movement: "a".into() };
        assert!(sets(0, 2).replaces(&sets(0, 3)) && !sets(0, 2).replaces(&sets(1, 3)));
        assert!(forbid.replaces(&sets(1, 3)) && sets(1, 3).replaces(&forbid));
        let moved = Change::Move { movement: "a".into(), from: 0, to: 2 };
        assert!(moved.replaces(&sets(2, 1)) && !moved.replaces(&sets(1, 1)));
        assert!(!Change::Forbid { movement: "b".into() }.replaces(&forbid));
    }
}
