//! The least change of the week: days put together under the limit on a movement's sessions.

use super::day::{DayFates, Fate, best_of_equals, least_change, plus, slots};
use super::difference::LEVELS;
use super::options::{Ground, Kept, Options};
use crate::plan::model::{Slot, Week};
use crate::plan::session::DayCost;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// Weeks looked at before the search gives up its claim to be the least.
const WEEKS: usize = 4_000;

/// What became of every line.
#[derive(Debug)]
pub(super) struct Solved {
    /// For each day that stays its lines (published first, folded after) with their fates.
    pub(super) days: Vec<Vec<(Options, Fate)>>,
    /// Lines that were to be folded in and found no day.
    pub(super) homeless: Vec<Options>,
    pub(super) change: [i32; LEVELS],
    pub(super) least: bool,
}

/// Where the folded lines go, and which movements are barred on which day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    into: Vec<Option<usize>>,
    barred: Vec<(usize, usize)>,
}

struct Weeks<'a> {
    ground: &'a Ground<'a>,
    published: Vec<Vec<Options>>,
    folded: Vec<Options>,
    solved: BTreeMap<(usize, Vec<usize>, Vec<usize>), DayFates>,
}

impl Weeks<'_> {
    fn lines(&self, day: usize, folded: &[usize]) -> Vec<&Options> {
        self.published[day].iter().chain(folded.iter().map(|k| &self.folded[*k])).collect()
    }

    fn folded_into(node: &Node, day: usize) -> Vec<usize> {
        (0..node.into.len()).filter(|k| node.into[*k] == Some(day)).collect()
    }

    fn barred_on(node: &Node, day: usize) -> Vec<usize> {
        node.barred.iter().filter(|(d, _)| *d == day).map(|(_, m)| *m).collect()
    }

    fn day(&mut self, node: &Node, day: usize) -> DayFates {
        let key = (day, Self::folded_into(node, day), Self::barred_on(node, day));
        if let Some(done) = self.solved.get(&key) {
            return done.clone();
        }
        let fates = least_change(self.ground, day, &self.lines(day, &key.1), &key.2);
        self.solved.insert(key, fates.clone());
        fates
    }

    fn change(&mut self, node: &Node) -> [i32; LEVELS] {
        let mut change = [0; LEVELS];
        for day in 0..self.published.len() {
            change = plus(change, self.day(node, day).change);
        }
        for (k, into) in node.into.iter().enumerate() {
            if into.is_none() {
                change = plus(change, self.folded[k].change(None));
            }
        }
        change
    }

    /// A movement that comes more often than it may, with the days on which it comes.
    fn too_often(&mut self, node: &Node) -> Option<(usize, Vec<usize>)> {
        let mut days: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for day in 0..self.published.len() {
            let fates = self.day(node, day);
            for s in slots(&self.lines(day, &Self::folded_into(node, day)), &fates.fates) {
                days.entry(s.movement).or_default().push(day);
            }
        }
        days.into_iter().find(|(m, d)| d.len() as i32 > self.ground.most_sessions(*m))
    }
}

/// Solves the week.
pub(super) fn solve(ground: &Ground, kept: &Kept) -> Solved {
    let options = |place| ground.options(place);
    let published: Vec<Vec<Options>> = kept
        .stay
        .iter()
        .map(|d| (0..ground.published.days[*d].lines.len()).map(|k| options((*d, k))).collect())
        .collect();
    let folded: Vec<Options> = kept.fold.iter().map(|place| options(*place)).collect();
    let days = published.len();
    let mut weeks = Weeks { ground, published, folded, solved: BTreeMap::new() };

    let mut open: BinaryHeap<Reverse<([i32; LEVELS], Node)>> = BinaryHeap::new();
    let ways = (days + 1).pow(weeks.folded.len() as u32);
    for way in 0..ways {
        let mut rest = way;
        let into = (0..weeks.folded.len()).map(|_| {
            let to = rest % (days + 1);
            rest /= days + 1;
            (to < days).then_some(to)
        });
        let node = Node { into: into.collect(), barred: Vec::new() };
        open.push(Reverse((weeks.change(&node), node)));
    }
    let mut looked_at = 0;
    let mut seen = std::collections::BTreeSet::new();
    let mut answer = None;
    while let Some(Reverse((change, node))) = open.pop() {
        looked_at += 1;
        let Some((movement, on)) = weeks.too_often(&node) else {
            answer = Some((change, node, looked_at <= WEEKS));
            break;
        };
        // Past the budget only the last day gives way, so that the search ends.
        let on = if looked_at > WEEKS { on.last().copied().into_iter().collect() } else { on };
        for day in on {
            let mut next = node.clone();
            next.barred.push((day, movement));
            next.barred.sort_unstable();
            if seen.insert(next.clone()) {
                open.push(Reverse((weeks.change(&next), next)));
            }
        }
    }
    let nothing = Node { into: vec![None; weeks.folded.len()], barred: Vec::new() };
    let (change, node, mut least) = answer.unwrap_or(([0; LEVELS], nothing, true));

    let mut fates: Vec<DayFates> = (0..days).map(|d| weeks.day(&node, d)).collect();
    least &= fates.iter().all(|f| f.least);
    let mut week = Week { days: vec![Vec::<Slot>::new(); days] };
    for (d, fates) in fates.iter().enumerate() {
        week.days[d] = slots(&weeks.lines(d, &Weeks::folded_into(&node, d)), &fates.fates);
    }
    for (d, fates) in fates.iter_mut().enumerate() {
        let lines = weeks.lines(d, &Weeks::folded_into(&node, d));
        if let Some(cost) = DayCost::new(&ground.case.instance, d, &week) {
            let barred = Weeks::barred_on(&node, d);
            fates.fates = best_of_equals(ground, &lines, &barred, fates, &cost);
        }
        week.days[d] = slots(&lines, &fates.fates);
    }
    let set_out = |d: usize| {
        let lines = weeks.lines(d, &Weeks::folded_into(&node, d));
        lines.into_iter().cloned().zip(fates[d].fates.iter().copied()).collect()
    };
    Solved {
        days: (0..days).map(set_out).collect(),
        homeless: (0..weeks.folded.len())
            .filter(|k| node.into[*k].is_none())
            .map(|k| weeks.folded[k].clone())
            .collect(),
        change,
        least,
    }
}
