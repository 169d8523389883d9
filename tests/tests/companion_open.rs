//! The companion opens, is killed and opens again where it was; what cannot be written has not happened; and what the
//! record says of a lifter's safety reaches the floor.
#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::companion::{Companion, ErrorKind, OpenedCompanion};
use plinth_core::floor::{Company, Event};
use plinth_core::moment::Moment;
use plinth_core::plan::search::Effort;
use plinth_core::record::{
    Advice, Answer, Date, DiscomfortFields, Edit, EntryId, FlagFields, GrantFields, History, Kind,
    LifterFields, Nature, Pregnancy, ScreeningFields, Severity, Surgery, Time, View,
};
use plinth_core::words::Language;
use plinth_tests::faults::Folder;
use plinth_tests::walk::offered;
use serde_json::json;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};

/// So many minutes after the start, on both clocks.
fn at(minutes: i64) -> Moment {
    Moment { monotonic_ms: 1_000 + minutes.unsigned_abs() * 60_000, ..plinth_tests::faults::at(minutes) }
}

/// Random bytes that count up, and that can be made to fail.
fn random(works: &Arc<AtomicBool>) -> plinth_core::companion::Random {
    let (works, next) = (Arc::clone(works), Arc::new(AtomicU8::new(1)));
    Box::new(move |bytes| {
        for b in bytes.iter_mut() {
            *b = next.fetch_add(1, Ordering::Relaxed);
        }
        works.load(Ordering::Relaxed)
    })
}

fn open_at(path: &Path, now: &Moment) -> OpenedCompanion {
    Companion::open(path, Language::English, now, random(&Arc::new(AtomicBool::new(true)))).unwrap()
}

fn open(path: &Path) -> Companion {
    open_at(path, &at(0)).companion
}

fn screening() -> ScreeningFields {
    ScreeningFields {
        regular_exercise: Some(Answer::Yes),
        known_disease: Some(Answer::No),
        signs_or_symptoms: Some(Answer::No),
        ..ScreeningFields::default()
    }
}

fn plan_and_take_on(c: &mut Companion) {
    let answer = c.plan(&at(0), Effort { evaluations: 5_000, chains: 1 }, &mut || true);
    let json = serde_json::to_vec(&answer.programme).unwrap();
    c.take_on(&json, "own", at(0).local().date_naive(), &at(0)).unwrap();
}

fn begin(c: &mut Companion, minutes: i64) {
    for event in [Event::Company { company: Company::Alone }, Event::Safeties { there: true }, Event::Begin] {
        let update = c.dispatch(&event, &at(minutes)).unwrap();
        assert_eq!(update.refused, None, "{event:?}");
    }
}

#[test]
fn a_killed_session_opens_at_the_very_screen_with_all_that_was_logged() {
    let folder = Folder::new();
    let path = folder.file("record.plinth");
    let mut c = open(&path);
    plan_and_take_on(&mut c);
    begin(&mut c, 1);
    let mut minutes = 2;
    for _ in 0..6 {
        let screen = c.floor(&at(minutes)).unwrap();
        let row = screen.rows.iter().flat_map(|r| &r.buttons).next().map(|b| b.event.clone());
        let event = row.or(screen.wide.map(|w| w.event)).expect("an action");
        assert_eq!(c.dispatch(&event, &at(minutes)).unwrap().refused, None);
        minutes += 4;
    }
    let shown = c.floor(&at(minutes)).unwrap();
    let (count, digest) = (c.store().count().unwrap(), c.store().digest().unwrap());
    drop(c);
    let opened = open_at(&path, &at(minutes));
    assert_eq!(opened.unread, Vec::<String>::new());
    let mut c = opened.companion;
    assert!(c.session_open());
    assert_eq!(c.floor(&at(minutes)).unwrap(), shown);
    assert_eq!((c.store().count().unwrap(), c.store().digest().unwrap()), (count, digest));
    // What was done before the kill can still be taken back after it.
    let undo = shown.undo.expect("something to take back");
    assert_eq!(c.dispatch(&undo.event, &at(minutes)).unwrap().refused, None);
}

#[test]
fn what_cannot_be_written_has_not_happened() {
    let folder = Folder::new();
    let path = folder.file("record.plinth");
    let works = Arc::new(AtomicBool::new(true));
    let mut c = Companion::open(&path, Language::English, &at(0), random(&works)).unwrap().companion;
    plan_and_take_on(&mut c);
    for event in [Event::Company { company: Company::Alone }, Event::Safeties { there: true }] {
        c.dispatch(&event, &at(1)).unwrap();
    }
    let shown = c.floor(&at(2)).unwrap();
    let digest = c.store().digest().unwrap();
    works.store(false, Ordering::Relaxed);
    let failed = c.dispatch(&Event::Begin, &at(2)).unwrap_err();
    assert_eq!(failed.kind, ErrorKind::Store);
    assert!(!failed.remedy.is_empty());
    assert_eq!(c.floor(&at(2)).unwrap(), shown, "the screen before");
    assert_eq!(c.store().digest().unwrap(), digest, "the record before");
    // A field that is not what its kind says is refused with its name, and nothing of the edit is kept.
    let bad =
        Edit { id: EntryId::new(5, [0; 10]), kind: Kind::Set, fields: std::collections::BTreeMap::new() }
            .with("amount", json!("many"));
    let refused = c.edit(&[bad], &at(2)).unwrap_err();
    assert_eq!((refused.kind, refused.field.as_deref()), (ErrorKind::Input, Some("amount")));
    assert_eq!(c.store().digest().unwrap(), digest);
    works.store(true, Ordering::Relaxed);
    assert_eq!(c.dispatch(&Event::Begin, &at(3)).unwrap().refused, None, "and then it can be written");
}

#[test]
fn a_screening_that_was_answered_ends_light_work_though_the_brief_left_it_open() {
    let folder = Folder::new();
    let mut c = open(&folder.file("record.plinth"));
    assert!(!c.brief_told() && c.brief().light_to_moderate(), "the brief to begin from leaves it open");
    c.answer_screening(ScreeningFields { signs_or_symptoms: None, ..screening() }, &at(1)).unwrap();
    assert!(c.brief_of_today(&at(1)).light_to_moderate(), "an answer is missing");
    c.answer_screening(screening(), &at(2)).unwrap();
    assert!(!c.brief_of_today(&at(2)).light_to_moderate());
    // A disease that is known, without clearance: light to moderate again.
    let known = ScreeningFields { known_disease: Some(Answer::Yes), ..ScreeningFields::default() };
    c.answer_screening(known, &at(3)).unwrap();
    assert!(c.brief_of_today(&at(3)).light_to_moderate());
}

#[test]
fn limits_of_every_kind_of_entry_reach_the_brief_of_today() {
    let folder = Folder::new();
    let mut c = open(&folder.file("record.plinth"));
    let today = at(0).local().date_naive();
    c.answer_screening(screening(), &at(1)).unwrap();
    let limits = |c: &Companion, minutes| c.brief_of_today(&at(minutes)).limits;
    assert!(!limits(&c, 1).minor && !limits(&c, 1).no_maximal_lifts);

    // Age: an entry of the lifter.
    let lifter = EntryId::new(1, [1; 10]);
    let born =
        LifterFields { born_on: Some(Date(today - chrono::TimeDelta::days(16 * 365))), ..Default::default() };
    c.edit(&[born.edit(lifter)], &at(2)).unwrap();
    assert!(limits(&c, 2).minor);
    // A minor without a grant begins nothing; with one and an adult the screen asks only for the adult.
    let barred = c.floor(&at(2)).unwrap();
    assert!(!barred.told.is_empty(), "it says why nothing begins");
    let grant = GrantFields {
        to: Some("father".into()),
        may: Some(vec!["train".into()]),
        from: Some(Time::of(&at(0))),
        ..GrantFields::default()
    };
    c.edit(&[grant.edit(EntryId::new(2, [1; 10]))], &at(3)).unwrap();
    let allowed = c.floor(&at(3)).unwrap();
    assert!(allowed.told.is_empty(), "{:?}", allowed.told);
    let asks = offered(&allowed).into_iter().any(|b| b.event == Event::Adult { present: true });
    assert!(asks, "the adult is asked for");
    let grown =
        LifterFields { born_on: Some(Date(today - chrono::TimeDelta::days(30 * 365))), ..Default::default() };
    c.edit(&[grown.edit(lifter)], &at(4)).unwrap();
    assert!(!limits(&c, 4).minor);

    // Breath, surgery, pregnancy: the screening.
    let breath = ScreeningFields { breath: Some(vec![History::BloodPressure]), ..Default::default() };
    c.answer_screening(breath, &at(5)).unwrap();
    assert!(limits(&c, 5).no_long_breath_hold);
    let surgery = Surgery { region: "hip".into(), on: Some(Date(today)), advice: None };
    c.answer_screening(ScreeningFields { surgery: Some(vec![surgery]), ..Default::default() }, &at(6))
        .unwrap();
    assert_eq!(limits(&c, 6).after_surgery, ["hip"]);
    let advice = Advice {
        by: Some("midwife".into()),
        on: Some(Date(today)),
        review_on: Some(Date(today + chrono::TimeDelta::days(3))),
        lying_flat: Some(Answer::Yes),
        ..Advice::default()
    };
    let pregnancy = Pregnancy { pregnant: Some(Answer::Yes), advice: Some(advice), ..Pregnancy::default() };
    c.answer_screening(ScreeningFields { pregnancy: Some(pregnancy), ..Default::default() }, &at(7)).unwrap();
    assert!(limits(&c, 7).no_maximal_lifts && !limits(&c, 7).no_lying_on_back);
    let later = 7 + 4 * 1440;
    assert!(limits(&c, later).no_lying_on_back, "past the review the cautious default holds again");
    let over = Pregnancy { pregnant: Some(Answer::No), ..Pregnancy::default() };
    c.answer_screening(ScreeningFields { pregnancy: Some(over), ..Default::default() }, &at(8)).unwrap();
    assert!(!limits(&c, 8).no_maximal_lifts);

    // A discomfort while it lasts.
    let sore = DiscomfortFields {
        region: Some("knee".into()),
        severity: Some(Severity::Mild),
        nature: Some(Nature::Usual),
        since: Some(Time::of(&at(0))),
        ..DiscomfortFields::default()
    };
    let id = c.tell_discomfort(None, sore, &at(9)).unwrap();
    assert_eq!(c.brief_of_today(&at(9)).discomforts.len(), 1);
    let ended = DiscomfortFields { until: Some(Time::of(&at(9))), ..DiscomfortFields::default() };
    c.tell_discomfort(Some(id), ended, &at(10)).unwrap();
    assert!(c.brief_of_today(&at(10 + 1440)).discomforts.is_empty(), "over the day after");
    let unknown = DiscomfortFields { region: Some("tail".into()), ..DiscomfortFields::default() };
    assert_eq!(c.tell_discomfort(None, unknown, &at(11)).unwrap_err().field.as_deref(), Some("region"));

    // A flag keeps its region out, deleted or not.
    let flag = FlagFields {
        flag: Some("giving_way".into()),
        tier: Some(3),
        region: Some("shoulder".into()),
        raised_at: Some(Time::of(&at(12))),
        confirmed_at: Some(Time::of(&at(12))),
        ..FlagFields::default()
    };
    let id = EntryId::new(9, [1; 10]);
    c.edit(&[flag.edit(id)], &at(12)).unwrap();
    assert_eq!(limits(&c, 12).regions_out, ["shoulder"]);
    c.edit(&[Edit::delete(id, Kind::Flag)], &at(13)).unwrap();
    assert_eq!(limits(&c, 13).regions_out, ["shoulder"], "a flag that was deleted still stands");
}

/// What a coach pinned, imported as a programme, is asked of a lifter only as their own record allows: singles to
/// failure stay away from whoever's age is not told, and come to a screened adult with safeties.
#[test]
fn a_pinned_single_is_asked_only_of_whom_the_record_allows_it() {
    let asked = |known: bool| {
        let folder = Folder::new();
        let mut c = open(&folder.file("record.plinth"));
        c.answer_screening(screening(), &at(0)).unwrap();
        if known {
            let born = at(0).local().date_naive() - chrono::TimeDelta::days(30 * 365);
            let adult = LifterFields { born_on: Some(Date(born)), ..Default::default() };
            c.edit(&[adult.edit(EntryId::new(1, [1; 10]))], &at(0)).unwrap();
        }
        let answer = c.plan(&at(0), Effort { evaluations: 5_000, chains: 1 }, &mut || true);
        let mut programme = answer.programme;
        let loaded = |id: &str| {
            c.catalogue().movement(id).is_some_and(|m| {
                m.load_kind == plinth_core::catalogue::LoadKind::Bar
                    || m.load_kind == plinth_core::catalogue::LoadKind::DumbbellPair
            })
        };
        let mut singles = Vec::new();
        for (d, day) in programme.days.iter_mut().enumerate() {
            for (k, line) in
                day.lines.iter_mut().enumerate().filter(|(_, l)| l.carrying && loaded(&l.movement))
            {
                (line.low, line.high, line.reserve) = (1, 1, 0);
                line.mark = plinth_core::plan::programme::Mark::Keep;
                programme.block.iter_mut().for_each(|w| w.days[d][k].reserve = 0);
                singles.push(line.movement.clone());
            }
        }
        let json = serde_json::to_vec(&programme).unwrap();
        c.take_on(&json, "coach", at(0).local().date_naive(), &at(0)).unwrap();
        begin(&mut c, 1);
        let mut seen = Vec::new();
        for minutes in 2..400 {
            let screen = c.floor(&at(minutes)).unwrap();
            if screen.stage == "ended" {
                break;
            }
            let name = |id: &String| c.speech().movement_in(c.catalogue(), id);
            if let Some(set) = screen.set.as_ref().filter(|s| singles.iter().any(|id| name(id) == s.movement))
            {
                // The search for a first load has repetitions of its own.
                if set.count.starts_with("Set ") && !set.count.contains("search") {
                    seen.push((set.amount.clone(), set.reserve.clone()));
                }
            }
            let row = screen.rows.iter().flat_map(|r| &r.buttons).next().map(|b| b.event.clone());
            let Some(event) = row.or(screen.wide.map(|w| w.event)) else { break };
            c.dispatch(&event, &at(minutes)).unwrap();
        }
        assert!(!seen.is_empty(), "the singles come up");
        seen
    };
    assert!(asked(true).iter().any(|(amount, _)| amount == "1 rep"), "{:?}", asked(true));
    let unknown = asked(false);
    assert!(unknown.iter().all(|(amount, left)| amount != "1 rep" && left.is_some()), "{unknown:?}");
}
