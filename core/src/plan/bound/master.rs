//! The linear programme over known days and known movement weeks, whose duals are the next multipliers.
//!
//! Columns are days (for each kind), weeks of a movement, and counts of muscle days and group exposures;
//! rows are the couplings that [`super::relaxation`] leaves out. Its optimum is what the relaxation's bound
//! rises to, once every useful column is known. A movement gets rows of its own only when a day with it is
//! known: until then its break-even prices serve.

use super::movement_price::{sessions_cost, sessions_max};
use super::relaxation::{Ranges, Relaxation};
use super::simplex::Simplex;
use crate::plan::model::{Instance, Side, Slot};

/// Added to the cost of a column that the branch forbids.
const FORBIDDEN: f64 = 1e6;
/// A level above this counts as more than the rounding of the linear programme.
const OPEN: f64 = 1e-4;

#[derive(Debug, Clone, Copy)]
enum Source {
    /// Number in the pool of its kind.
    Day {
        kind: usize,
        number: usize,
    },
    Week {
        movement: usize,
        sessions: i32,
        sets: i32,
    },
    Hits {
        muscle: usize,
        days: i32,
    },
    Exposures {
        group: usize,
        exposures: i32,
    },
}

/// A row that ties days to weeks, with the columns that leave it open at a price: they hold its multiplier
/// in a box.
#[derive(Debug, Clone, Copy)]
struct Link {
    row: usize,
    over: usize,
    under: usize,
    /// Position of its multiplier, which is the dual times `sign`.
    at: usize,
    sign: f64,
    /// Width of its box for a width of one.
    width: f64,
}

impl Link {
    fn add(s: &mut Simplex, at: usize, sign: f64, width: f64) -> Self {
        let (row, over) = s.add_row(0.0, FORBIDDEN);
        let under = s.add_column(FORBIDDEN, vec![(row as u32, -1.0)]);
        Self { row, over, under, at, sign, width }
    }
}

#[derive(Debug, Clone, Copy)]
struct MovementRows {
    sessions: usize,
    sets: usize,
    convex: usize,
}

/// The linear programme and its pool of days.
pub(super) struct Master {
    pub(super) simplex: Simplex,
    /// Known days of each kind.
    pub(super) pool: Vec<Vec<Vec<Slot>>>,
    /// Movements with rows of their own.
    pub(super) active: Vec<bool>,
    links: Vec<Link>,
    sources: Vec<(usize, f64, Source)>,
    known_weeks: Vec<Vec<(i32, i32)>>,
    day: Vec<usize>,
    longest: Vec<Option<usize>>,
    minimum: Vec<Option<usize>>,
    target: Vec<Option<usize>>,
    maximum: Vec<Option<usize>>,
    hits: Vec<Option<usize>>,
    group: Vec<Option<usize>>,
    count: Vec<usize>,
    push: Option<usize>,
    pull: Option<usize>,
    movement: Vec<Option<MovementRows>>,
}

/// What the optimum of the linear programme does, in part.
#[derive(Debug, Default)]
pub(super) struct Blend {
    /// How much of each movement is used at all.
    pub(super) used: Vec<f64>,
    /// Mean sessions of each movement.
    pub(super) sessions: Vec<f64>,
    /// Mean sets of each movement.
    pub(super) sets: Vec<f64>,
    /// Mean days of each muscle.
    pub(super) hits: Vec<f64>,
    /// Mean exposures of each group.
    pub(super) groups: Vec<f64>,
}

impl Master {
    pub(super) fn new(relaxation: &Relaxation) -> Self {
        let i = relaxation.instance;
        let p = &i.prices;
        let mut s = Simplex::default();
        let mut sources = Vec::new();
        let mut day = Vec::new();
        for (kind, days) in relaxation.kinds.iter().enumerate() {
            let cost = base_cost(i, days.days[0], &[]);
            let (row, column) = s.add_row(days.days.len() as f64, cost);
            sources.push((column, cost, Source::Day { kind, number: 0 }));
            day.push(row);
        }
        let shared = |s: &mut Simplex, rows: usize, price: i32| -> Vec<Option<usize>> {
            if price <= 0 {
                return vec![None; rows];
            }
            let rows: Vec<usize> = (0..rows).map(|_| s.add_row(0.0, f64::from(price)).0).collect();
            for &row in &rows {
                s.add_column(0.0, vec![(row as u32, -1.0)]);
            }
            s.add_column(f64::from(price), rows.iter().map(|&r| (r as u32, 1.0)).collect());
            rows.into_iter().map(Some).collect()
        };
        let longest = shared(&mut s, relaxation.kinds.len(), p.longest);
        let balance = shared(&mut s, 2, p.push_pull);
        let at_least = |s: &mut Simplex, wanted: i32, price: i32| -> Option<usize> {
            (wanted > 0 && price > 0).then(|| {
                let (row, _) = s.add_row(f64::from(wanted), f64::from(price));
                s.add_column(0.0, vec![(row as u32, -1.0)]);
                row
            })
        };
        let minimum = i.muscles.iter().map(|m| at_least(&mut s, m.minimum, m.below_minimum)).collect();
        let target = i.muscles.iter().map(|m| at_least(&mut s, m.target, m.below_target)).collect();
        let group = i.groups.iter().map(|g| at_least(&mut s, g.exposures_wanted, p.group_missing)).collect();
        let maximum = i
            .muscles
            .iter()
            .map(|m| {
                (m.above_maximum > 0).then(|| {
                    let (row, _) = s.add_row(f64::from(m.maximum), 0.0);
                    s.add_column(f64::from(m.above_maximum), vec![(row as u32, -1.0)]);
                    row
                })
            })
            .collect();
        let l = relaxation.layout;
        let mut links = Vec::new();
        let mut counts =
            |s: &mut Simplex, at: usize, most: i32, cost: &dyn Fn(i32) -> f64, of: &dyn Fn(i32) -> Source| {
                links.push(Link::add(s, at, 1.0, 1.0));
                let link = links[links.len() - 1].row;
                let (convex, none) = s.add_row(1.0, cost(0));
                sources.push((none, cost(0), of(0)));
                for z in 1..=most {
                    let column =
                        s.add_column(cost(z), vec![(link as u32, -f64::from(z)), (convex as u32, 1.0)]);
                    sources.push((column, cost(z), of(z)));
                }
                link
            };
        let whole = Ranges::whole(i);
        let hits = i
            .muscles
            .iter()
            .enumerate()
            .map(|(muscle, m)| {
                (m.days_wanted > 0 && p.day_missing > 0).then(|| {
                    let cost = |z: i32| f64::from(p.day_missing) * f64::from((m.days_wanted - z).max(0));
                    counts(&mut s, l.hit(muscle), whole.hits[muscle].1, &cost, &|days| Source::Hits {
                        muscle,
                        days,
                    })
                })
            })
            .collect();
        let count = (0..i.groups.len())
            .map(|group| {
                counts(&mut s, l.count(group), whole.groups[group].1, &|_| 0.0, &|exposures| {
                    Source::Exposures { group, exposures }
                })
            })
            .collect();
        Self {
            simplex: s,
            pool: vec![vec![Vec::new()]; relaxation.kinds.len()],
            active: vec![false; i.movements.len()],
            links,
            sources,
            known_weeks: vec![Vec::new(); i.movements.len()],
            day,
            longest,
            minimum,
            target,
            maximum,
            hits,
            group,
            count,
            push: balance[0],
            pull: balance[1],
            movement: vec![None; i.movements.len()],
        }
    }

    /// Adds a day of a kind to the pool, unless it is known. `lines` must be in order of movement.
    pub(super) fn add_day(&mut self, relaxation: &Relaxation, kind: usize, lines: &[Slot]) -> bool {
        if self.pool[kind].iter().any(|known| known == lines) {
            return false;
        }
        let i = relaxation.instance;
        let days = &relaxation.kinds[kind].days;
        for line in lines {
            self.activate(relaxation, line.movement);
        }
        let mut entries = vec![(self.day[kind] as u32, 1.0)];
        for line in lines {
            if let Some(rows) = self.movement[line.movement] {
                entries.push((rows.sessions as u32, 1.0));
                entries.push((rows.sets as u32, f64::from(line.sets)));
            }
        }
        for (g, row) in self.hits.iter().enumerate() {
            if let Some(row) = row
                && half_sets(i, lines, g) >= i.muscles[g].day_threshold
            {
                entries.push((*row as u32, 1.0));
            }
        }
        if let Some(row) = self.longest[kind] {
            let seconds = f64::from(seconds(i, lines));
            entries.push((row as u32, -seconds / days.len() as f64));
        }
        let cost = base_cost(i, days[0], lines);
        let column = self.simplex.add_column(cost, entries);
        let number = self.pool[kind].len();
        self.sources.push((column, cost, Source::Day { kind, number }));
        self.pool[kind].push(lines.to_vec());
        true
    }

    /// Gives a movement rows of its own.
    fn activate(&mut self, relaxation: &Relaxation, movement: usize) {
        let (instance, l) = (relaxation.instance, relaxation.layout);
        if self.active[movement] {
            return;
        }
        self.active[movement] = true;
        let s = &mut self.simplex;
        let of_sessions = Link::add(s, l.session(movement), -1.0, 1.0);
        let of_sets = Link::add(s, l.set(movement), -1.0, 0.3);
        self.links.extend([of_sessions, of_sets]);
        let (sessions, sets) = (of_sessions.row, of_sets.row);
        let cost = sessions_cost(instance, movement, 0) as f64;
        let (convex, none) = s.add_row(1.0, cost);
        self.sources.push((none, cost, Source::Week { movement, sessions: 0, sets: 0 }));
        self.movement[movement] = Some(MovementRows { sessions, sets, convex });
        self.known_weeks[movement].push((0, 0));
        let m = &instance.movements[movement];
        for n in 1..=sessions_max(instance, movement) {
            self.add_week(instance, movement, n, n * m.sets_min);
            self.add_week(instance, movement, n, n * m.sets_max);
        }
    }

    /// Adds a week of an active movement, unless it is known.
    pub(super) fn add_week(
        &mut self,
        instance: &Instance,
        movement: usize,
        sessions: i32,
        sets: i32,
    ) -> bool {
        let Some(rows) = self.movement[movement] else {
            return false;
        };
        if self.known_weeks[movement].contains(&(sessions, sets)) {
            return false;
        }
        self.known_weeks[movement].push((sessions, sets));
        let m = &instance.movements[movement];
        let s = f64::from(sets);
        let mut entries = vec![
            (rows.convex as u32, 1.0),
            (rows.sessions as u32, -f64::from(sessions)),
            (rows.sets as u32, -s),
        ];
        for t in &m.trains {
            let muscle = &instance.muscles[t.muscle];
            let half_sets = t.half_sets * sets;
            let mut credit = |row: Option<usize>, most: i32| {
                if let Some(row) = row {
                    entries.push((row as u32, f64::from(half_sets.min(most))));
                }
            };
            credit(self.minimum[t.muscle], muscle.minimum);
            credit(self.target[t.muscle], muscle.target);
            credit(self.maximum[t.muscle], i32::MAX);
        }
        if let Some(g) = m.group {
            if let Some(row) = self.group[g] {
                entries.push((row as u32, f64::from(sessions.min(instance.groups[g].exposures_wanted))));
            }
            entries.push((self.count[g] as u32, f64::from(sessions)));
        }
        let (push, pull) = match m.side {
            Side::None => (0.0, 0.0),
            Side::Push => (-2.0 * s, 3.0 * s),
            Side::Pull => (3.0 * s, -2.0 * s),
        };
        for (row, by) in [(self.push, push), (self.pull, pull)] {
            if let Some(row) = row
                && by != 0.0
            {
                entries.push((row as u32, by));
            }
        }
        let cost = sessions_cost(instance, movement, sessions) as f64;
        let column = self.simplex.add_column(cost, entries);
        self.sources.push((column, cost, Source::Week { movement, sessions, sets }));
        true
    }

    /// The programme's optimum: an upper bound on what the relaxation can reach with the known columns.
    pub(super) fn objective(&self, instance: &Instance) -> f64 {
        let unused: i64 =
            (0..self.active.len()).filter(|&m| !self.active[m]).map(|m| sessions_cost(instance, m, 0)).sum();
        self.simplex.objective() + unused as f64
    }

    /// Makes columns outside `ranges` dear, and the others cost what they cost.
    pub(super) fn hold(&mut self, ranges: &Ranges) {
        for &(column, cost, source) in &self.sources {
            let within = |z: i32, range: (i32, i32)| range.0 <= z && z <= range.1;
            let allowed = match source {
                Source::Day { kind, number } => {
                    self.pool[kind][number].iter().all(|l| ranges.sessions[l.movement].1 > 0)
                }
                Source::Week { movement, sessions, sets } => {
                    within(sessions, ranges.sessions[movement]) && within(sets, ranges.sets[movement])
                }
                Source::Hits { muscle, days } => within(days, ranges.hits[muscle]),
                Source::Exposures { group, exposures } => within(exposures, ranges.groups[group]),
            };
            self.simplex.set_cost(column, if allowed { cost } else { cost + FORBIDDEN });
        }
    }

    /// Holds the multipliers of the links within `width` points of `centre`.
    pub(super) fn enclose(&mut self, centre: &[f64], width: f64) {
        for link in &self.links {
            let (dual, width) = (link.sign * centre[link.at], link.width * width);
            self.simplex.set_cost(link.over, dual + width);
            self.simplex.set_cost(link.under, width - dual);
        }
    }

    /// Whether a box stops the linear programme from rising further.
    pub(super) fn is_stopped(&self) -> bool {
        let level = self.simplex.level_of_columns();
        self.links.iter().any(|l| level[l.over] > OPEN || level[l.under] > OPEN)
    }

    /// The duals as a vector of multipliers. Entries of movements that are not active stay as they are.
    pub(super) fn duals(&self, relaxation: &Relaxation, point: &mut [f64]) {
        let l = &relaxation.layout;
        let dual = |row: Option<usize>| row.map_or(0.0, |r| self.simplex.dual(r));
        for g in 0..self.minimum.len() {
            point[l.minimum(g)] = dual(self.minimum[g]);
            point[l.target(g)] = dual(self.target[g]);
            point[l.maximum(g)] = -dual(self.maximum[g]);
            point[l.hit(g)] = dual(self.hits[g]);
        }
        for k in 0..self.group.len() {
            point[l.group(k)] = dual(self.group[k]);
            point[l.count(k)] = dual(Some(self.count[k]));
        }
        point[l.push()] = dual(self.push);
        point[l.pull()] = dual(self.pull);
        for (k, kind) in relaxation.kinds.iter().enumerate() {
            point[l.longest(k)] = dual(self.longest[k]) / kind.days.len() as f64;
        }
        for (m, rows) in self.movement.iter().enumerate() {
            if let Some(rows) = rows {
                point[l.session(m)] = -self.simplex.dual(rows.sessions);
                point[l.set(m)] = -self.simplex.dual(rows.sets);
            }
        }
    }

    /// Means over the columns in use.
    pub(super) fn blend(&self, instance: &Instance) -> Blend {
        let mut of_column = vec![None; self.simplex.columns()];
        for &(column, _, source) in &self.sources {
            of_column[column] = Some(source);
        }
        let mut out = Blend {
            used: vec![0.0; instance.movements.len()],
            sessions: vec![0.0; instance.movements.len()],
            sets: vec![0.0; instance.movements.len()],
            hits: vec![0.0; instance.muscles.len()],
            groups: vec![0.0; instance.groups.len()],
        };
        for (column, level) in self.simplex.levels() {
            match of_column[column] {
                Some(Source::Week { movement, sessions, sets }) if sessions > 0 => {
                    out.used[movement] += level;
                    out.sets[movement] += level * f64::from(sets);
                    out.sessions[movement] += level * f64::from(sessions);
                    if let Some(g) = instance.movements[movement].group {
                        out.groups[g] += level * f64::from(sessions);
                    }
                }
                Some(Source::Hits { muscle, days }) => out.hits[muscle] += level * f64::from(days),
                _ => {}
            }
        }
        out
    }
}

/// Points of a day by itself: sets, sessions, time, few movements, no carrying movement.
fn base_cost(instance: &Instance, day: usize, lines: &[Slot]) -> f64 {
    let p = &instance.prices;
    let mut cost = i64::from(seconds(instance, lines));
    for line in lines {
        let m = &instance.movements[line.movement];
        cost += i64::from(m.session_price) + i64::from(m.set_price) * i64::from(line.sets);
    }
    let lacking = (instance.days[day].movements_wanted - lines.len() as i32).max(0);
    cost += i64::from(p.few_movements) * i64::from(lacking);
    if !lines.iter().any(|l| instance.movements[l.movement].carrying) {
        cost += i64::from(p.no_carrying);
    }
    cost as f64
}

fn seconds(instance: &Instance, lines: &[Slot]) -> i32 {
    let mut seconds = 0;
    let mut by_class = [0; 4];
    for line in lines {
        let m = &instance.movements[line.movement];
        seconds += m.fixed_s + m.set_s * line.sets;
        if let Some(class) = m.pair_class.slot() {
            by_class[class] += line.sets;
        }
    }
    seconds - instance.pairs_save(by_class)
}

fn half_sets(instance: &Instance, lines: &[Slot], muscle: usize) -> i32 {
    lines
        .iter()
        .flat_map(|l| instance.movements[l.movement].trains.iter().map(move |t| (t, l.sets)))
        .filter(|(t, _)| t.muscle == muscle)
        .map(|(t, sets)| t.half_sets * sets)
        .sum()
}
