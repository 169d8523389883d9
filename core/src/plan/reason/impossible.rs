//! Why what is required is not there: an irreducible conflict, and the cheapest ways out.

use super::conflict::{conflict, keepable};
use super::demand::MOST_DAYS;
use super::shortfall::sessions;
use super::steps::{MOST_MINUTES, Step, take};
use super::{Demand, Reasoner};
use crate::catalogue::StandInKind;
use crate::plan::brief::{Brief, WishKind};
use crate::plan::filter::{Removal, filter};
use crate::plan::search::{Effort, Feasible, Requirement, Rules, feasible};
use crate::plan::{Keep, build};
use crate::safety::Refusal;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How hard a way out is solved again: what is required is placed exactly before, so little is enough.
pub const WAY_EFFORT: Effort = Effort { evaluations: 40_000, chains: 2 };
/// Stand-ins told at most.
const STAND_INS: usize = 3;
/// Amounts of time that are solved again at most before a way by time is given up: the exact test says that
/// what is met now fits with the movement, but the plan may prefer other requirements to it.
const ATTEMPTS: usize = 5;
/// Longer sessions are tried up to so many minutes more.
const MORE_MINUTES: u32 = 120;

/// A way out of a conflict, proved by solving the changed brief again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// Steps to take together.
    pub steps: Vec<Step>,
    /// Id of the movement that is then there: the one required, or its stand-in.
    pub movement: String,
    /// Days (from 0) on which it stood when the changed brief was solved.
    pub days: Vec<usize>,
}

/// A requirement that is not met, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Impossible {
    /// Its place among the wishes, counted from 0.
    pub rank: usize,
    /// Id of the movement.
    pub movement: String,
    /// Sessions asked.
    pub asked: i32,
    /// Sessions in the week.
    pub sessions: i32,
    /// Demands that cannot be kept together, proved; empty when that was not settled.
    pub demands: Vec<Demand>,
    /// Without any one of them the others can be kept together: proved for each.
    pub irreducible: bool,
    /// Ways out, the least burden first: what costs nothing but a habit, then time, then wishes, then kit, then
    /// what was forbidden.
    pub ways: Vec<Way>,
}

impl Reasoner<'_> {
    /// For each requirement of the brief that the week does not meet: why, and the ways out.
    pub fn why_impossible(&self) -> Vec<Impossible> {
        let catalogue = self.planner.catalogue;
        let mut out: Vec<Impossible> = Vec::new();
        for (rank, w) in self.brief.wishes.iter().enumerate() {
            let Some(m) = w.movement.as_deref().and_then(|id| catalogue.find(id)) else { continue };
            let movement = catalogue.movements[m].id.clone();
            let asked = w.times.unwrap_or(1) as i32;
            let sessions = self.sessions(m);
            let told = out.iter().any(|o| o.movement == movement);
            if w.wish != WishKind::Require || sessions >= asked || told {
                continue;
            }
            let this = Demand::Asked {
                movement: movement.clone(),
                times: asked,
                day: None,
                sets: None,
                rank: Some(rank),
            };
            let mut all = vec![this];
            all.extend(self.kept_demands(m));
            let found = conflict(self.planner, self.brief, &self.case, &all);
            let (demands, irreducible) =
                found.map_or_else(|| (Vec::new(), false), |c| (c.demands, c.irreducible));
            let ways = self.ways(m, asked, &demands);
            out.push(Impossible { rank, movement, asked, sessions, demands, irreducible, ways });
        }
        out
    }

    /// Whether the demands can be kept together when every other demand on the brief is lifted; `None` when the
    /// exact test did not settle it.
    pub fn can_keep(&self, demands: &[Demand]) -> Option<bool> {
        keepable(self.planner, self.brief, &self.case, demands)
    }

    fn ways(&self, movement: usize, asked: i32, demands: &[Demand]) -> Vec<Way> {
        let catalogue = self.planner.catalogue;
        let id = catalogue.movements[movement].id.clone();
        let mut out: Vec<Way> = Vec::new();
        let mut try_out = |steps: Vec<Step>, of: usize, times: i32| -> bool {
            let way = self.prove(steps, of, times);
            let proved = way.is_some();
            out.extend(way);
            proved
        };
        if let Some(lifts) = self.lifts(movement) {
            let with = |steps: &[Step]| [&lifts[..], steps].concat();
            let possible = |steps: &[Step], times: i32| self.possible(&with(steps), movement, times);
            if !lifts.is_empty() {
                try_out(lifts.clone(), movement, asked);
            }
            if !self.brief.in_turn {
                try_out(with(&[Step::InTurn]), movement, asked);
            }
            let minutes = |m: u32| Step::MoreMinutes { minutes: m };
            let most = MOST_MINUTES.saturating_sub(self.brief.minutes_of(0)).min(MORE_MINUTES);
            let longer = (1..=most / 5).map(|k| 5 * k);
            let days = 1..=MOST_DAYS.saturating_sub(self.brief.days);
            // Of a row of steps, each more than the last, the first that is proved.
            let mut first_of = |row: &mut dyn Iterator<Item = Vec<Step>>| {
                let mut fits = row.filter(|steps| possible(steps, asked)).take(ATTEMPTS);
                fits.any(|steps| try_out(with(&steps), movement, asked))
            };
            let mut time = first_of(&mut longer.clone().map(|m| vec![minutes(m)]));
            time |= first_of(&mut days.clone().map(|d| vec![Step::MoreDays { days: d }]));
            let fewer = |t: i32| Step::FewerTimes { movement: id.clone(), times: t as u32 };
            if let Some(t) = (1..asked).rev().find(|t| possible(&[fewer(*t)], *t)) {
                try_out(with(&[fewer(t)]), movement, t);
            }
            let mut let_go = false;
            for d in demands {
                let Demand::Asked { movement: other, rank: Some(_), .. } = d else { continue };
                if *other != id {
                    let step = Step::LetGo { movement: other.clone() };
                    let_go |= try_out(with(&[step]), movement, asked);
                }
            }
            if !time && !let_go && lifts.is_empty() {
                // Neither alone is enough: days and minutes together, fewest days first.
                let mut both = days
                    .flat_map(|d| longer.clone().map(move |m| vec![Step::MoreDays { days: d }, minutes(m)]));
                let mut fits = both.by_ref().filter(|s| possible(s, asked)).take(ATTEMPTS);
                fits.any(|s| try_out(with(&s), movement, asked));
            }
        }
        let (mut told, mut tried) = (0, Vec::new());
        for s in catalogue.stand_ins_of(movement) {
            let instead = catalogue.movements[s.to].id.clone();
            let wished = self.brief.wishes.iter().any(|w| w.movement.as_deref() == Some(instead.as_str()));
            let beside = s.kind == StandInKind::Pairing;
            if told == STAND_INS
                || wished
                || beside
                || tried.contains(&s.to)
                || self.case.eases[s.to].is_none()
            {
                continue;
            }
            tried.push(s.to);
            let step = Step::StandIn { movement: id.clone(), instead };
            told += usize::from(try_out(vec![step], s.to, asked));
        }
        // A way that holds another way and more says nothing new.
        let all = out.clone();
        out.retain(|w| {
            !all.iter().any(|o| o.steps.len() < w.steps.len() && o.steps.iter().all(|s| w.steps.contains(s)))
        });
        out.sort_by_key(|w| {
            let burdens: Vec<(i32, i32)> = w.steps.iter().map(|s| s.burden(self.brief)).collect();
            let worst = burdens.iter().map(|b| b.0).max().unwrap_or(0);
            (worst, burdens.iter().map(|b| b.1).sum::<i32>())
        });
        out
    }

    /// The steps that let a movement in that is out; none when it is in, `None` when health or skill keeps it out.
    fn lifts(&self, movement: usize) -> Option<Vec<Step>> {
        let catalogue = self.planner.catalogue;
        let mut steps: Vec<Step> = Vec::new();
        // Each step lifts one removal, and no movement meets more than a few.
        for _ in 0..8 {
            let brief = take(&steps, self.brief);
            let Err(removal) = filter(&brief, catalogue).into_iter().nth(movement)? else {
                return Some(steps);
            };
            steps.push(match removal {
                Removal::Equipment { missing } => Step::Kit {
                    equipment: missing.iter().map(|e| catalogue.equipment[*e].id.clone()).collect(),
                },
                Removal::Safety { refusal: Refusal::AloneWithoutSafeties } => Step::Safeties,
                Removal::Forbidden => {
                    let m = &catalogue.movements[movement];
                    let pattern = &catalogue.patterns[m.pattern].id;
                    let w = brief.wishes.iter().find(|w| {
                        w.wish == WishKind::Forbid
                            && (w.movement.as_ref() == Some(&m.id) || w.pattern.as_ref() == Some(pattern))
                    })?;
                    Step::Allow { movement: w.movement.clone(), pattern: w.pattern.clone() }
                }
                _ => return None,
            });
        }
        None
    }

    /// Requirements that a changed brief must meet: those met now that are not let go of, and the one at hand.
    fn goals(&self, steps: &[Step], movement: usize, times: i32) -> Vec<(usize, i32)> {
        let catalogue = self.planner.catalogue;
        let mut out = vec![(movement, times)];
        for r in self.kept_requirements() {
            let m = self.case.movements[r.movement];
            let id = &catalogue.movements[m].id;
            let gone = steps.iter().any(|s| matches!(s, Step::LetGo { movement } if movement == id));
            if !gone && m != movement {
                out.push((m, r.times));
            }
        }
        out
    }

    /// The exact test: whether the changed brief can hold the movement and what is met now.
    fn possible(&self, steps: &[Step], movement: usize, times: i32) -> bool {
        let brief = take(steps, self.brief);
        let case = build(&brief, self.planner.catalogue, self.planner.weights, Keep::All);
        let goals = self.goals(steps, movement, times);
        let required: Option<Vec<Requirement>> = goals
            .iter()
            .map(|(m, times)| Some(Requirement { movement: case.position(*m)?, times: *times, day: None }))
            .collect();
        required.is_some_and(|r| matches!(feasible(&case.instance, Rules::ALL, &r), Feasible::Yes(_)))
    }

    /// A way out, if solving the changed brief again brings the movement and keeps what is met now.
    fn prove(&self, steps: Vec<Step>, movement: usize, times: i32) -> Option<Way> {
        let brief: Brief = take(&steps, self.brief);
        if brief == *self.brief || !self.possible(&steps, movement, times) {
            return None;
        }
        let then = self.resolve(&brief, WAY_EFFORT);
        let met = |(m, times): &(usize, i32)| sessions(&then.case, &then.week, *m) >= *times;
        if !self.goals(&steps, movement, times).iter().all(met) {
            return None;
        }
        let at = then.case.position(movement)?;
        let days = (0..then.week.days.len()).filter(|d| then.week.sets(*d, at) > 0).collect();
        Some(Way { steps, movement: self.planner.catalogue.movements[movement].id.clone(), days })
    }
}
