//! The house that the floor is led by: what is known, what the log proposes, what safety says now.

use super::coming::{Coming, coming};
use super::known::{Known, Shelf};
use crate::catalogue::Movement;
use crate::floor::{FlagKind, Floor, House, OwnCaution};
use crate::load::Implement;
use crate::load::first::first_loads;
use crate::moment::Moment;
use crate::plan::loads::{first_kind, implement, kit_of};
use crate::plan::session::Done;
use crate::progress::volume::monday;
use crate::record::{EntryId, Kind, Outcome, Purpose, SessionFields, SetFields, View};
use crate::safety::{Circumstances, Here, NO_LIMITS, Occasion, WhyNot, cautions_for, permit};
use crate::store::{Store, StoreError};
use crate::terms;
use crate::words::Speech;
use chrono::{Datelike, Days, NaiveDate};
use std::collections::{BTreeMap, BTreeSet};

/// Days back that sessions are read: a block of six weeks and a week more.
const DAYS_READ: u64 = 49;
const SESSIONS_READ: u32 = 200;

/// What was worked out from record and day; worked out anew when either changes.
#[derive(Debug)]
pub(super) struct Prepared {
    pub(super) today: NaiveDate,
    pub(super) here: Here,
    week: usize,
    next_day: Option<usize>,
    days_over: Vec<(usize, Vec<Done>)>,
    pub(super) coming: Coming,
    standing: Circumstances,
    cautions: BTreeMap<String, Vec<OwnCaution>>,
    barred: Option<String>,
    adult_needed: bool,
    no_heaviest: BTreeSet<String>,
}

/// Sessions of the last weeks, oldest first, with their ids.
pub(super) fn recent_sessions(
    store: &Store,
    today: NaiveDate,
) -> Result<Vec<(EntryId, SessionFields)>, StoreError> {
    let from = today.checked_sub_days(Days::new(DAYS_READ)).unwrap_or(today);
    let ms = from.and_hms_opt(0, 0, 0).map_or(0, |t| t.and_utc().timestamp_millis());
    // Ids are in the order of their making; an imported session of an older day has a newer id and is read too.
    let after = EntryId::new(u64::try_from(ms).unwrap_or(0), [0; 10]);
    let mut out: Vec<(EntryId, SessionFields)> =
        (store.of_kind(&Kind::Session, Some(after), SESSIONS_READ)?)
            .iter()
            .filter(|e| !e.deleted())
            .map(|e| (e.id, SessionFields::read(e).0))
            .filter(|(_, f)| f.begun_at.is_some())
            .collect();
    out.sort_by_key(|(id, f)| (f.begun_at.as_ref().map(crate::record::Time::millis), *id));
    Ok(out)
}

/// The week of a block on a day: 0-based, the last where the block is over.
pub(super) fn week_of(starts_on: NaiveDate, today: NaiveDate, weeks: usize) -> usize {
    let passed = (monday(today) - monday(starts_on)).num_days() / 7;
    usize::try_from(passed).unwrap_or(0).min(weeks.saturating_sub(1))
}

impl Prepared {
    pub(super) fn new(
        store: &Store,
        shelf: &Shelf,
        known: &Known,
        speech: &Speech,
        floor: &Floor,
        moment: &Moment,
    ) -> Result<Self, StoreError> {
        let today = moment.local().date_naive();
        let here = floor.here();
        let occasion = Occasion::at(&shelf.rules, &known.catalogue, moment, here);
        let sessions = recent_sessions(store, today)?;
        let (mut week, mut next_day, mut days_over) = (0, None, Vec::new());
        if let Some(running) = &known.programmes.running {
            let programme = &running.programme;
            week = week_of(running.starts_on, today, programme.block.len());
            let this_week = sessions.iter().filter(|(id, s)| {
                s.programme == Some(running.entry)
                    && !(floor.is_open() && floor.session() == Some(*id))
                    && s.begun_at.as_ref().is_some_and(|t| monday(t.date()) == monday(today))
            });
            for (id, s) in this_week {
                let Some(day) = s.day.map(|d| d as usize).filter(|d| *d < programme.days.len()) else {
                    continue;
                };
                let done = done_of(store, id)?;
                if !done.is_empty() {
                    days_over.push((day, done));
                }
            }
            let over = |d: &usize| days_over.iter().any(|(o, _)| o == d);
            let weekday = today.weekday().num_days_from_monday() as usize;
            let open: Vec<usize> = (0..programme.days.len()).filter(|d| !over(d)).collect();
            // Today's own day, else the first that is open.
            next_day = (open.iter().copied())
                .find(|d| programme.days[*d].weekday as usize == weekday)
                .or_else(|| open.first().copied());
        }
        let standing = known.standing.circumstances(&occasion);
        let fields: Vec<SessionFields> = sessions.into_iter().map(|(_, f)| f).collect();
        let coming = coming(store, known, &standing, today, week, &fields, speech)?;
        let bars = known.standing.barred(&occasion);
        // An adult is asked for on the floor itself.
        let barred = bars.iter().find(|b| !matches!(b, crate::safety::Barred::NoAdult));
        let adult_needed = bars.iter().any(|b| matches!(b, crate::safety::Barred::NoAdult)) || standing.minor;
        let mut prepared = Self {
            today,
            here,
            week,
            next_day,
            days_over,
            coming,
            standing,
            cautions: BTreeMap::new(),
            barred: barred.map(|b| {
                let age = known.standing.age_of_the_place.max(terms::ADULT_YEARS);
                speech.say(b.words(), &[("age", age.into())])
            }),
            adult_needed,
            no_heaviest: no_heaviest(known, &occasion),
        };
        prepared.cautions = cautions(known, speech, &occasion, &prepared.standing, &prepared.coming);
        Ok(prepared)
    }

    #[allow(clippy::similar_names)] // the house is made from the shelf
    pub(super) fn house<'a>(&self, shelf: &'a Shelf, known: &'a Known) -> House<'a> {
        let mut house = House::new(
            &known.catalogue,
            &shelf.texts,
            &shelf.weights,
            &known.brief,
            known.programmes.running.as_ref().map(|r| &r.programme),
        );
        house.standing = self.standing.clone();
        house.programme_entry = known.programmes.running.as_ref().map(|r| r.entry);
        house.week = self.week;
        house.next_day = self.next_day;
        house.days_over.clone_from(&self.days_over);
        house.places.clone_from(&known.places);
        house.rests.clone_from(&self.coming.rests);
        house.learned_rests.clone_from(&self.coming.learned_rests);
        house.proposals.clone_from(&self.coming.proposals);
        house.cues.clone_from(&known.cues);
        house.cautions.clone_from(&self.cautions);
        house.weaker.clone_from(&self.coming.weaker);
        house.flags = shelf.rules.flags.iter().map(FlagKind::from).collect();
        house.barred.clone_from(&self.barred);
        house.adult_needed = self.adult_needed;
        house.no_heaviest.clone_from(&self.no_heaviest);
        house
    }
}

/// The movements whose heaviest work this lifter is not offered, whoever stands by: company, safeties and the ramp are
/// the floor's to know.
fn no_heaviest(known: &Known, occasion: &Occasion<'_>) -> BTreeSet<String> {
    let of_the_floor = |why: &WhyNot| matches!(why, WhyNot::RampNotDone | WhyNot::NothingCatches);
    let barred = |m: &&Movement| {
        let why = known.standing.why_not_heaviest(occasion, m, true);
        why.iter().any(|w| !of_the_floor(w))
    };
    known.catalogue.movements.iter().filter(barred).map(|m| m.id.clone()).collect()
}

/// Working sets done in a session, by movement, in order.
fn done_of(store: &Store, session: &EntryId) -> Result<Vec<Done>, StoreError> {
    let mut out: Vec<Done> = Vec::new();
    let mut counted: Vec<(Option<u32>, Option<u32>, String)> = Vec::new();
    for e in store.sets_of(session)?.iter().filter(|e| !e.deleted()) {
        let f = SetFields::read(e).0;
        let Some(movement) = f.movement else { continue };
        if f.purpose != Some(Purpose::Working) || f.outcome == Some(Outcome::Missed) && f.amount == Some(0) {
            continue;
        }
        // Both sides of a one-sided set are one.
        let key = (f.line, f.number, movement.clone());
        if f.side.is_some() && counted.contains(&key) {
            continue;
        }
        counted.push(key);
        match out.iter_mut().find(|d| d.movement == movement) {
            Some(d) => d.sets += 1,
            None => out.push(Done { movement, sets: 1 }),
        }
    }
    Ok(out)
}

/// Safety's cautions beside each movement of the programme and its stand-ins.
fn cautions(
    known: &Known,
    speech: &Speech,
    occasion: &Occasion<'_>,
    around: &Circumstances,
    coming: &Coming,
) -> BTreeMap<String, Vec<OwnCaution>> {
    let mut asked: BTreeMap<usize, bool> = BTreeMap::new();
    for day in known.programmes.running.iter().flat_map(|r| &r.programme.days) {
        for line in &day.lines {
            let Some(m) = known.catalogue.find(&line.movement) else { continue };
            // A line that safety eases is not heavy any more.
            let ease = permit(&known.catalogue.movements[m], around).unwrap_or_default();
            let (low, reserve) = (line.low.max(ease.reps_at_least), line.reserve.max(ease.reserve_at_least));
            let heavy = terms::heavy_set(low, reserve);
            *asked.entry(m).or_default() |= heavy;
            for s in known.catalogue.stand_ins_of(m) {
                *asked.entry(s.to).or_default() |= heavy;
            }
        }
    }
    asked
        .into_iter()
        .filter_map(|(m, heavy)| {
            let movement = known.catalogue.movements.get(m)?;
            let found = coming.proposals.contains_key(&movement.id);
            let said: Vec<OwnCaution> = cautions_for(movement, &known.standing, occasion, heavy)
                .iter()
                .filter(|c| !(found && FIRST_LOADS.contains(&c.id.as_str())))
                .filter_map(|c| {
                    let text = caution(known, speech, occasion, movement, &c.words)?;
                    Some(OwnCaution { text, every_set: c.personal })
                })
                .collect();
            (!said.is_empty()).then(|| (movement.id.clone(), said))
        })
        .collect()
}

/// Cautions that are about a load still to be found.
const FIRST_LOADS: [&str; 2] = ["first_loads", "lighter_bar"];

/// A caution with what it names: the age, the limits, the reserve of the search, the bar. Nothing where there is none
/// of it.
fn caution(
    known: &Known,
    speech: &Speech,
    occasion: &Occasion<'_>,
    movement: &Movement,
    key: &str,
) -> Option<String> {
    let standing = &known.standing;
    match key {
        "caution-minor-no-singles" => {
            let age = standing.age_of_the_place.max(terms::ADULT_YEARS);
            Some(speech.say(key, &[("age", age.into())]))
        }
        "caution-care-limits" => {
            let limits = limits_here(known, occasion, movement).join("; ");
            (!limits.is_empty()).then(|| speech.say(key, &[("limits", (&limits).into())]))
        }
        "caution-first-loads" | "caution-lighter-bar" => {
            let usual = || kit_of(&known.brief).ok();
            let kit = known.places.first().map(|p| p.kit.clone()).or_else(usual).unwrap_or_default();
            let with = implement(movement, &known.brief, &known.catalogue, &kit)?;
            if key == "caution-first-loads" {
                let first = first_loads(&kit, first_kind(movement), &with).ok()?;
                return Some(speech.say(key, &[("reserve", first.wanted_reserve.into())]));
            }
            let Implement::Bar(name) = &with else { return None };
            let bar = speech.mass(&kit.bar(name)?.mass);
            Some(speech.say(key, &[("bar", (&bar).into())]))
        }
        _ => Some(speech.say(key, &[])),
    }
}

/// The limits in words that licensed care set where a movement loads.
fn limits_here(known: &Known, occasion: &Occasion<'_>, movement: &Movement) -> Vec<String> {
    let standing = &known.standing;
    let loads = |id: &String| known.catalogue.region(id).is_none_or(|r| movement.flag(r) > 0);
    let surgery = standing.surgery.iter().filter(|s| loads(&s.region));
    let of_surgery = surgery.filter_map(|s| s.limits_entered(occasion.today).map(|l| l.text.clone()));
    let flags = standing.flags.iter().filter(|f| f.regions.is_empty() || f.regions.iter().any(loads));
    let of_returns = flags
        .filter_map(|f| standing.return_for(f, occasion.today))
        .filter(|r| r.has_limits())
        .map(|r| r.limits.clone());
    let mut out: Vec<String> = of_surgery.chain(of_returns).filter(|text| text.trim() != NO_LIMITS).collect();
    out.sort();
    out.dedup();
    out
}
