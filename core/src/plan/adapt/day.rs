//! The least change of one day, exactly: depth first over what each line may become.

use super::difference::LEVELS;
use super::options::{Choice, Ground, Options};
use crate::catalogue::HeavyClass;
use crate::plan::model::{Limit, Slot};
use crate::plan::session::DayCost;

/// What becomes of a line: which of its choices with how many sets, or nothing.
pub(super) type Fate = Option<(usize, i32)>;

/// Nodes after which a day's search gives up its claim to be the least.
const NODES: u64 = 1_000_000;

/// A day's lines with what became of them.
#[derive(Debug, Clone)]
pub(super) struct DayFates {
    pub(super) change: [i32; LEVELS],
    pub(super) fates: Vec<Fate>,
    pub(super) least: bool,
}

/// What chosen lines use of the limits that guard a lifter: minutes, spine, fatigue, grip, hard sets.
#[derive(Debug, Clone, Default)]
pub(super) struct Use {
    raw_s: i32,
    by_class: [i32; 4],
    axial: i32,
    axial_three: i32,
    fatigue: i32,
    grip: i32,
    squats: i32,
    floor_pulls: i32,
    half_sets: Vec<i32>,
    movements: Vec<usize>,
}

impl Use {
    pub(super) fn new(ground: &Ground) -> Self {
        Self { half_sets: vec![0; ground.case.instance.muscles.len()], ..Self::default() }
    }

    /// Adds a choice with its sets, `sign` 1, or takes it away again, `sign` -1.
    pub(super) fn add(&mut self, ground: &Ground, choice: &Choice, sets: i32, sign: i32) {
        let m = &ground.case.instance.movements[choice.movement];
        self.raw_s += sign * (choice.fixed_s + choice.set_s * sets);
        if let Some(class) = m.pair_class.slot() {
            self.by_class[class] += sign * sets;
        }
        self.axial += sign * m.axial * sets;
        self.axial_three += sign * i32::from(m.axial >= 3);
        self.fatigue += sign * m.fatigue * sets;
        self.grip += sign * m.grip * sets;
        if choice.heavy {
            match ground.planner.catalogue.movements[choice.movement].heavy_class {
                HeavyClass::Squat => self.squats += sign,
                HeavyClass::FloorPull => self.floor_pulls += sign,
                HeavyClass::None => {}
            }
        }
        for t in &m.trains {
            self.half_sets[t.muscle] += sign * t.half_sets * sets;
        }
        if sign > 0 {
            self.movements.push(choice.movement);
        } else {
            self.movements.pop();
        }
    }

    /// Seconds of the lines.
    pub(super) fn seconds(&self, ground: &Ground) -> i32 {
        self.raw_s - ground.case.instance.pairs_save(self.by_class)
    }

    /// The first limit of the lifter's day that is broken, if any.
    pub(super) fn broken(&self, ground: &Ground, day: usize) -> Option<Limit> {
        let d = &ground.case.instance.days[day];
        let over = [
            (Limit::AxialThree, self.axial_three > 1),
            (Limit::HeavyPair, self.squats > 0 && self.floor_pulls > 0),
            (Limit::Axial, self.axial > d.axial_max),
            (Limit::Fatigue, self.fatigue > d.fatigue_max),
            (Limit::Grip, self.grip > d.grip_max),
        ];
        if let Some((limit, _)) = over.into_iter().find(|(_, over)| *over) {
            return Some(limit);
        }
        let muscles = &ground.case.instance.muscles;
        if let Some(g) = (0..muscles.len()).find(|g| self.half_sets[*g] > muscles[*g].session_cap) {
            return Some(Limit::Muscle(g));
        }
        (self.seconds(ground) > d.time_s).then_some(Limit::Time)
    }

    /// Whether the movement is among the chosen.
    pub(super) fn has(&self, movement: usize) -> bool {
        self.movements.contains(&movement)
    }
}

/// Seconds of a line at its most and at its fewest sets, if it can be done.
type MostAndFewest = Option<(i32, i32)>;

struct Search<'a> {
    ground: &'a Ground<'a>,
    day: usize,
    lines: Vec<&'a Options>,
    barred: &'a [usize],
    /// Least change of the lines from each on.
    least: Vec<[i32; LEVELS]>,
    /// For each line: seconds when it keeps its movement at its published sets and at its fewest, if it can;
    /// seconds of its quickest stand-in likewise.
    seconds: Vec<(MostAndFewest, MostAndFewest)>,
    longest_set: i32,
    /// Most seconds that sets in turn could save.
    turns_save: i32,
    fates: Vec<Fate>,
    best: [i32; LEVELS],
    best_fates: Vec<Fate>,
    nodes: u64,
}

/// The least change of a day: published lines `lines` on the lifter's day `day`, without `barred` movements.
pub(super) fn least_change(ground: &Ground, day: usize, lines: &[&Options], barred: &[usize]) -> DayFates {
    // What carries and what is compound is decided first, so that a good answer is met early.
    let mut order: Vec<usize> = (0..lines.len()).collect();
    order.sort_by_key(|k| (!lines[*k].keep, -lines[*k].weight, *k));
    let sorted: Vec<&Options> = order.iter().map(|k| lines[*k]).collect();
    let mut least = vec![[0; LEVELS]; sorted.len() + 1];
    let mut seconds = Vec::new();
    for (k, line) in sorted.iter().enumerate().rev() {
        let all = line.choices.iter().filter(|c| !barred.contains(&c.movement));
        let own = all.clone().map(|c| line.change(Some((c, c.sets.1)))).chain([line.change(None)]).min();
        least[k] = plus(least[k + 1], own.unwrap_or([0; LEVELS]));
    }
    for line in &sorted {
        let all = || line.choices.iter().filter(|c| !barred.contains(&c.movement));
        let at = |c: &Choice, sets: i32| c.fixed_s + c.set_s * sets;
        let stays = all().find(|c| c.nearness.is_none()).map(|c| (at(c, c.sets.1), at(c, c.sets.0)));
        let others = || all().filter(|c| c.nearness.is_some());
        let most = others().map(|c| at(c, c.sets.1)).min();
        let fewest = others().map(|c| at(c, c.sets.0)).min();
        seconds.push((stays, most.zip(fewest)));
    }
    let instance = &ground.case.instance;
    let pairable = |line: &&Options| {
        let sets = line.choices.iter().filter(|c| instance.movements[c.movement].pair_class.slot().is_some());
        sets.map(|c| c.sets.1).max().unwrap_or(0)
    };
    let mut search = Search {
        ground,
        day,
        barred,
        least,
        seconds,
        longest_set: sorted.iter().flat_map(|l| &l.choices).map(|c| c.set_s).max().unwrap_or(1).max(1),
        turns_save: instance.prices.pair_saves_s.max(0) * (sorted.iter().map(pairable).sum::<i32>() / 2),
        fates: vec![None; sorted.len()],
        best: [i32::MAX; LEVELS],
        best_fates: vec![None; sorted.len()],
        lines: sorted,
        nodes: 0,
    };
    search.go(0, [0; LEVELS], &mut Use::new(ground));
    let mut fates = vec![None; lines.len()];
    for (k, at) in order.into_iter().enumerate() {
        fates[at] = search.best_fates[k];
    }
    DayFates { change: search.best, fates, least: search.nodes <= NODES }
}

/// Change upon change.
pub(super) fn plus(mut a: [i32; LEVELS], b: [i32; LEVELS]) -> [i32; LEVELS] {
    for (x, y) in a.iter_mut().zip(b) {
        *x += y;
    }
    a
}

impl Search<'_> {
    fn go(&mut self, k: usize, change: [i32; LEVELS], used: &mut Use) {
        self.nodes += 1;
        if self.nodes > NODES && self.best[0] < i32::MAX {
            return;
        }
        if k == self.lines.len() {
            if change < self.best {
                self.best = change;
                self.best_fates.clone_from(&self.fates);
            }
            return;
        }
        if !self.may_improve(k, change, used) {
            return;
        }
        let line = self.lines[k];
        for (n, choice) in line.choices.iter().enumerate() {
            if self.barred.contains(&choice.movement) || used.has(choice.movement) {
                continue;
            }
            for sets in (choice.sets.0..=choice.sets.1).rev() {
                used.add(self.ground, choice, sets, 1);
                if used.broken(self.ground, self.day).is_none() {
                    self.fates[k] = Some((n, sets));
                    self.go(k + 1, plus(change, line.change(Some((choice, sets)))), used);
                }
                used.add(self.ground, choice, sets, -1);
            }
        }
        self.fates[k] = None;
        self.go(k + 1, plus(change, line.change(None)), used);
    }

    /// Whether anything below this node can change less than the best so far.
    fn may_improve(&self, k: usize, change: [i32; LEVELS], used: &Use) -> bool {
        let mut at_least = plus(change, self.least[k]);
        if at_least >= self.best || self.best[0] == i32::MAX {
            return at_least < self.best;
        }
        // At most so many further lines may lose their movement without losing more than the best so far.
        if at_least[0] < self.best[0] {
            return true;
        }
        let lose = (self.best[1] - at_least[1]).max(0) as usize;
        let no_drop = at_least[..2] == self.best[..2] && at_least[2] >= self.best[2];
        let limit = self.ground.case.instance.days[self.day].time_s + self.turns_save;
        let (mut full, mut fewest) = (used.raw_s, used.raw_s);
        let (mut from_full, mut from_fewest): (Vec<i32>, Vec<i32>) = (Vec::new(), Vec::new());
        for (stays, quickest) in &self.seconds[k..] {
            let otherwise = if no_drop { *quickest } else { Some((0, 0)) };
            match (stays, otherwise) {
                (Some((most, least)), otherwise) => {
                    full += most;
                    fewest += least;
                    if let Some(other) = otherwise {
                        from_full.push(most - other.0);
                        from_fewest.push(least - other.1);
                    }
                }
                (None, otherwise) => {
                    full += otherwise.map_or(0, |o| o.0);
                    fewest += otherwise.map_or(0, |o| o.1);
                }
            }
        }
        let saved = |mut by: Vec<i32>| -> i32 {
            by.sort_unstable_by(|a, b| b.cmp(a));
            by.into_iter().take(lose).map(|s| s.max(0)).sum()
        };
        if fewest - saved(from_fewest) > limit {
            return false;
        }
        if at_least[..5] == self.best[..5] {
            let over = full - saved(from_full) - limit;
            if over > 0 {
                let off = (over + self.longest_set - 1) / self.longest_set;
                at_least[5] = at_least[5].max(change[5] + off);
            }
        }
        at_least < self.best
    }
}

/// Among the ways to change a day exactly as little as `fates` does, the one with the fewest plan points.
///
/// Looks at a bounded number of them, the nearest to the catalogue's order first.
pub(super) fn best_of_equals(
    ground: &Ground,
    lines: &[&Options],
    barred: &[usize],
    fates: &DayFates,
    cost: &DayCost,
) -> Vec<Fate> {
    let mut least = vec![[0; LEVELS]; lines.len() + 1];
    for (k, line) in lines.iter().enumerate().rev() {
        let all = line.choices.iter().filter(|c| !barred.contains(&c.movement));
        let own = all.map(|c| line.change(Some((c, c.sets.1)))).chain([line.change(None)]).min();
        least[k] = plus(least[k + 1], own.unwrap_or([0; LEVELS]));
    }
    let mut equals = Equals {
        ground,
        lines,
        barred,
        least,
        target: fates.change,
        cost,
        fates: vec![None; lines.len()],
        best: cost.points(&cost.sums(&slots(lines, &fates.fates))),
        best_fates: fates.fates.clone(),
        nodes: 0,
    };
    equals.go(0, [0; LEVELS], &mut Use::new(ground));
    equals.best_fates
}

/// The lines of a day in the model's terms.
pub(super) fn slots(lines: &[&Options], fates: &[Fate]) -> Vec<Slot> {
    let chosen = lines.iter().zip(fates).filter_map(|(line, fate)| {
        fate.and_then(|(n, sets)| line.choices.get(n).map(|c| Slot { movement: c.movement, sets }))
    });
    chosen.collect()
}

struct Equals<'a> {
    ground: &'a Ground<'a>,
    lines: &'a [&'a Options],
    barred: &'a [usize],
    least: Vec<[i32; LEVELS]>,
    target: [i32; LEVELS],
    cost: &'a DayCost<'a>,
    fates: Vec<Fate>,
    best: i64,
    best_fates: Vec<Fate>,
    nodes: u32,
}

impl Equals<'_> {
    fn go(&mut self, k: usize, change: [i32; LEVELS], used: &mut Use) {
        self.nodes += 1;
        if self.nodes > 20_000 || plus(change, self.least[k]) > self.target {
            return;
        }
        let Some(line) = self.lines.get(k) else {
            if change == self.target {
                let points = self.cost.points(&self.cost.sums(&slots(self.lines, &self.fates)));
                if points < self.best {
                    self.best = points;
                    self.best_fates.clone_from(&self.fates);
                }
            }
            return;
        };
        for (n, choice) in line.choices.iter().enumerate() {
            let most = self.ground.most_sessions(choice.movement);
            let often = self.cost.exposures(choice.movement) >= most;
            if often || self.barred.contains(&choice.movement) || used.has(choice.movement) {
                continue;
            }
            for sets in (choice.sets.0..=choice.sets.1).rev() {
                used.add(self.ground, choice, sets, 1);
                if used.broken(self.ground, self.cost.day()).is_none() {
                    self.fates[k] = Some((n, sets));
                    self.go(k + 1, plus(change, line.change(Some((choice, sets)))), used);
                }
                used.add(self.ground, choice, sets, -1);
            }
        }
        self.fates[k] = None;
        self.go(k + 1, plus(change, line.change(None)), used);
    }
}
