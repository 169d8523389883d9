//! What the log proposes for the sessions to come: loads, rests, the side that goes first.

use super::known::{Known, setting_u32};
use crate::catalogue::{LoadKind, Movement, Tier};
use crate::floor::Proposal;
use crate::load::first::first_loads;
use crate::load::route::Side;
use crate::load::{Implement, Kit, Mass};
use crate::plan::brief::TrainingAge;
use crate::plan::loads::{first_kind, kit_of, loads_at};
use crate::plan::programme::{Line, WeekKind};
use crate::progress::maximum::Of;
use crate::progress::next::{AWAY, Ask, Held, Next, Proposal as NextLoad, TIRED_SESSIONS, next};
use crate::progress::rest::{LearnedRest, Wanted, learned_rest};
use crate::progress::sides::{Sides, compare};
use crate::progress::{self, SetDone};
use crate::record::{Feeling, LoadDone, Purpose, SessionFields, SetFields, View};
use crate::safety::{Circumstances, permit};
use crate::store::{Store, StoreError};
use crate::terms;
use crate::words::Speech;
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};

/// Sets of a movement that are looked at: about half a year of it.
const SETS_READ: u32 = 200;

/// What the log proposes, by movement.
#[derive(Debug, Default)]
pub(super) struct Coming {
    pub(super) proposals: BTreeMap<String, Proposal>,
    pub(super) rests: BTreeMap<String, i32>,
    pub(super) learned_rests: BTreeMap<String, i32>,
    pub(super) weaker: BTreeMap<String, Side>,
    /// The proposals before they were worded, meant as the floor means a load.
    pub(super) next: BTreeMap<String, NextLoad>,
    /// What the learned rests rest on.
    pub(super) learned: BTreeMap<String, LearnedRest>,
}

/// The sets of a movement, newest first, that findings can read.
pub(super) fn sets_of(store: &Store, known: &Known, movement: &str) -> Result<Vec<SetDone>, StoreError> {
    let entries = store.sets_of_movement(movement, SETS_READ)?;
    Ok(entries.iter().filter_map(|e| progress::set::read(e, &known.body).ok()).collect())
}

/// Reads the log of each movement of the programme.
pub(super) fn coming(
    store: &Store,
    known: &Known,
    around: &Circumstances,
    today: NaiveDate,
    week: usize,
    recent: &[SessionFields],
    speech: &Speech,
) -> Result<Coming, StoreError> {
    let mut out = Coming::default();
    for key in known.settings.keys() {
        if let Some(movement) = key.strip_prefix("rest_s.")
            && let Some(seconds) = setting_u32(&known.settings, key)
        {
            out.rests.insert(movement.to_owned(), seconds.min(3600) as i32);
        }
    }
    let Some(running) = &known.programmes.running else { return Ok(out) };
    let tired = recent.iter().rev().take_while(|s| s.feeling == Some(Feeling::Tired)).count() as u32;
    let tired_days = tired_days(recent);
    let deload = running.programme.block.get(week).is_some_and(|w| w.kind == WeekKind::Deload);
    let kit =
        known.places.first().map(|p| p.kit.clone()).or_else(|| kit_of(&known.brief).ok()).unwrap_or_default();
    let mut seen = BTreeSet::new();
    for (d, day) in running.programme.days.iter().enumerate() {
        for (k, line) in day.lines.iter().enumerate() {
            if !seen.insert(line.movement.clone()) {
                continue;
            }
            let Some(m) = known.catalogue.movement(&line.movement) else { continue };
            let sets = sets_of(store, known, &m.id)?;
            if sets.is_empty() {
                continue;
            }
            let of_week = running.programme.block.get(week).and_then(|w| w.days.get(d)?.get(k));
            let reserve = of_week.map_or(line.reserve, |b| b.reserve);
            let asked = Asked { line, reserve, deload, tired, today };
            let basis = if deload { None } else { without_light(&sets, known, line, &tired_days, today) };
            let basis = basis.as_deref().unwrap_or(&sets);
            if let Some(next) = next_load(known, m, &kit, around, basis, &asked) {
                out.proposals.insert(m.id.clone(), as_proposal(&next, speech));
                out.next.insert(m.id.clone(), next);
            } else if m.load_kind == LoadKind::Added
                && let Some(p) = as_last(store, &m.id, &asked, !limited(around), speech)?
            {
                out.proposals.insert(m.id.clone(), p);
            }
            let heavy = matches!(m.tier, Tier::Main | Tier::Compound) && terms::heavy_set(line.low, reserve);
            let wanted = Wanted {
                reps: line.high.max(1) as u32,
                reserve: reserve.max(0) as u32,
                low: line.low.max(1) as u32,
                floor_s: terms::floor_of_rest_s(heavy) as u32,
            };
            if let Some(rest) = learned_rest(&sets, Of { movement: &m.id, side: None }, wanted) {
                out.learned_rests.insert(m.id.clone(), rest.rest_s as i32);
                out.learned.insert(m.id.clone(), rest);
            }
            if let Sides::Differ { stronger, .. } = compare(&sets, &m.id, today) {
                let weaker = match stronger {
                    progress::Side::Left => Side::Right,
                    progress::Side::Right => Side::Left,
                };
                out.weaker.insert(m.id.clone(), weaker);
            }
        }
    }
    Ok(out)
}

/// The log without what was meant to be light: deload weeks, sessions after three tired ones, and sets that were asked
/// for more repetitions than the line has, since safety eased them. Loads go on from where they stood before. Nothing
/// where the log has no other set, or where those before would count as days away.
fn without_light(
    sets: &[SetDone],
    known: &Known,
    line: &Line,
    tired: &BTreeSet<NaiveDate>,
    today: NaiveDate,
) -> Option<Vec<SetDone>> {
    let deload =
        |day: NaiveDate| known.programmes.deloads.iter().any(|(from, until)| (*from..=*until).contains(&day));
    let eased = |s: &SetDone| s.low.is_some_and(|low| low as i32 > line.high);
    let light = |s: &SetDone| deload(s.day) || tired.contains(&s.day) || eased(s);
    let kept: Vec<SetDone> = sets.iter().filter(|s| s.working && !light(s)).cloned().collect();
    let last = kept.iter().map(|s| s.day).max()?;
    ((today - last).num_days() < AWAY[0].0).then_some(kept)
}

/// Days of the sessions that were made lighter since those before were begun tired.
fn tired_days(recent: &[SessionFields]) -> BTreeSet<NaiveDate> {
    let most = TIRED_SESSIONS as usize;
    let tired = |s: &SessionFields| s.feeling == Some(Feeling::Tired);
    let after = recent.windows(most + 1).filter(|w| w.iter().take(most).all(tired));
    after.filter_map(|w| w.last()?.begun_at.as_ref().map(crate::record::Time::date)).collect()
}

/// A load on top of a body whose mass is not known: as it was last loaded, with one repetition more.
fn as_last(
    store: &Store,
    movement: &str,
    asked: &Asked<'_>,
    rises: bool,
    speech: &Speech,
) -> Result<Option<Proposal>, StoreError> {
    let sets: Vec<SetFields> = (store.sets_of_movement(movement, SETS_READ)?.iter())
        .filter(|e| !e.deleted())
        .map(|e| SetFields::read(e).0)
        .filter(|f| f.purpose == Some(Purpose::Working) && f.amount.is_some_and(|n| n > 0))
        .collect();
    let Some(day) = sets.iter().filter_map(|f| f.ended_at.as_ref().map(crate::record::Time::date)).max()
    else {
        return Ok(None);
    };
    if (asked.today - day).num_days() >= AWAY[0].0 {
        return Ok(None);
    }
    let of_day = sets.iter().filter(|f| f.ended_at.as_ref().is_some_and(|t| t.date() == day));
    let mut last: Option<(Mass, u32)> = None;
    for f in of_day {
        let load = match &f.load {
            Some(LoadDone::Added { mass }) => mass.to_string().parse().ok(),
            Some(LoadDone::BodyMass) => Some(Mass::ZERO),
            _ => None,
        };
        let Some(load) = load else { return Ok(None) };
        let amount = f.amount.unwrap_or(0);
        last = Some(last.map_or((load, amount), |(l, a)| (l.max(load), a.min(amount))));
    }
    let high = asked.line.high.max(1) as u32;
    let more = u32::from(rises && !asked.deload);
    Ok(last.map(|(load, fewest)| Proposal {
        load,
        amount: Some((fewest + more).clamp(1, high)),
        because: speech.say("floor-because-as-done", &[]),
    }))
}

/// Whether a limit keeps loads from rising.
fn limited(around: &Circumstances) -> bool {
    around.no_maximal_lifts || around.light_to_moderate || around.no_long_breath_hold
}

struct Asked<'a> {
    line: &'a Line,
    reserve: i32,
    deload: bool,
    tired: u32,
    today: NaiveDate,
}

/// Loads that the kit makes, meant as the findings mean them, and the body mass that is in them.
fn loads(
    m: &Movement,
    known: &Known,
    kit: &Kit,
    today: NaiveDate,
) -> Option<(Implement, Vec<Mass>, Option<Mass>)> {
    let (implement, made) = loads_at(m, &known.brief, &known.catalogue, kit)?;
    if m.load_kind != LoadKind::Added {
        return Some((implement, made, None));
    }
    let body = known.body.at(today).or(known.brief.body_mass)?;
    let with = std::iter::once(body).chain(made.iter().filter_map(|l| l.plus(&body).ok())).collect();
    Some((implement, with, Some(body)))
}

fn next_load(
    known: &Known,
    m: &Movement,
    kit: &Kit,
    around: &Circumstances,
    sets: &[SetDone],
    asked: &Asked<'_>,
) -> Option<NextLoad> {
    let (implement, loads, body) = loads(m, known, kit, asked.today)?;
    let ease = permit(m, around).ok()?;
    let beginner_step = (known.brief.training_age == TrainingAge::Novice)
        .then(|| first_loads(kit, first_kind(m), &implement).ok())
        .flatten()
        .and_then(|f| f.loads.windows(2).filter_map(|w| w[1].minus(&w[0])).max());
    let ask = Ask {
        sets,
        of: Of { movement: &m.id, side: None },
        today: asked.today,
        low: asked.line.low.max(1) as u32,
        high: asked.line.high.max(1) as u32,
        target_reserve: asked.reserve.max(ease.reserve_at_least).max(0) as u32,
        loads: &loads,
        deload_week: asked.deload,
        tired_in_a_row: asked.tired,
        may_rise: ease.discomfort == 0 && !limited(around),
        beginner_step,
    };
    let Next::Load(next) = next(&ask) else { return None };
    let then = known.body.at(next.last_day);
    Some(match body {
        Some(body) => without(next, body, then.unwrap_or(body)),
        None => next,
    })
}

/// What the findings mean by a load holds the body mass, of today or of then; what the floor loads, and what is said,
/// does not.
fn without(mut next: NextLoad, body: Mass, then: Mass) -> NextLoad {
    let less = |mass: &Mass| mass.minus(&body).unwrap_or(Mass::ZERO);
    next.load = less(&next.load);
    next.last = next.last.minus(&then).unwrap_or(Mass::ZERO);
    for held in &mut next.held {
        match held {
            Held::KitStep { next, .. } => *next = less(next),
            Held::KitLacks { wanted } => *wanted = less(wanted),
            Held::KitTop | Held::KitLightest | Held::NoRise | Held::BeginnerStep { .. } => {}
        }
    }
    next
}

fn as_proposal(next: &NextLoad, speech: &Speech) -> Proposal {
    let because = crate::words::findings::because(speech, next);
    Proposal { load: next.load, amount: Some(next.aim_reps), because }
}
