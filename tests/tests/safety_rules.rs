//! Ways round safety, each tried: a coach's mark and wish, a stand-in, minutes left, a missed day folded in,
//! a programme from outside, and a record in which somebody edited or deleted the flag.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use chrono::NaiveDate;
use plinth_core::catalogue::{Catalogue, Measure, Trap};
use plinth_core::moment::Moment;
use plinth_core::plan::brief::{Brief, Limits, Minutes, Screening, Wish, WishKind};
use plinth_core::plan::filter::circumstances;
use plinth_core::plan::programme::{Line, Mark, Programme};
use plinth_core::plan::sample::{KITS, sample_brief};
use plinth_core::plan::search::Effort;
use plinth_core::plan::session::{Done, Now};
use plinth_core::plan::{Planner, Weights};
use plinth_core::safety::{
    Answers, Discomfort, FlagHeld, GuardianGrant, Here, Intensity, Maternity, Occasion, Return,
    ReturnAnswers, Rules, Standing, Surgery, permit, raise,
};
use serde_json::{Value, json};
use std::collections::BTreeMap;

struct House {
    catalogue: Catalogue,
    weights: Weights,
    rules: Rules,
}

const SPOTTED: Here = Here { alone: false, spotter: true, safeties: true, adult_present: true };

impl House {
    fn new() -> Self {
        let catalogue = Catalogue::builtin().expect("sound");
        let weights = Weights::builtin().expect("sound");
        Self { catalogue, weights, rules: Rules::builtin().expect("sound") }
    }

    fn planner(&self) -> Planner<'_> {
        Planner::new(&self.catalogue, &self.weights)
    }

    fn occasion(&self, here: Here) -> Occasion<'_> {
        Occasion::on(&self.rules, &self.catalogue, day("2026-03-10"), here)
    }

    /// A programme of a full gym, every line of it marked to stay, and the brief that demands every line.
    fn insistent(&self) -> (Brief, Programme) {
        let mut brief = sample_brief(1, &self.catalogue);
        brief.days = 3;
        brief.weekdays = Vec::new();
        brief.minutes = Minutes::Same(75);
        brief.equipment = KITS[0].1.iter().map(ToString::to_string).collect();
        brief.discomforts = Vec::new();
        brief.limits = Limits { screening: Screening::AnsweredNoLimit, ..Default::default() };
        brief.wishes = Vec::new();
        brief.carrying = None;
        brief.alone = false;
        brief.in_turn = false;
        let effort = Effort { evaluations: 20_000, chains: 1 };
        let solved = self.planner().solve(&brief, effort, &mut |_| true);
        let mut programme = self.planner().programme(&brief, &solved).programme;
        for line in programme.days.iter_mut().flat_map(|d| &mut d.lines) {
            line.mark = Mark::Keep;
            let movement = Some(line.movement.clone());
            brief.wishes.push(Wish { wish: WishKind::Require, movement, pattern: None, times: None });
        }
        (brief, programme)
    }

    fn held(&self, flag: &str, region: Option<&str>) -> (FlagHeld, BTreeMap<String, Value>) {
        let raised = raise(&self.rules, &self.catalogue, flag, region).expect("known");
        let at = Moment { wall_ms: 1_772_550_000_000, offset_min: 60, monotonic_ms: 1, boot: "b".into() };
        let fields = raised.confirm(flag, region, &at, None).expect("named").fields();
        (FlagHeld::read(&self.rules, "f", &fields), fields)
    }
}

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

fn adult() -> Standing {
    Standing {
        screening: Answers {
            regular_exercise: Some(true),
            known_disease: Some(false),
            signs_or_symptoms: Some(false),
            answered_on: Some(day("2026-01-01")),
            clearance: None,
        },
        born_on: Some(day("1990-05-01")),
        ..Standing::default()
    }
}

/// Standings that take something out or ease it, each with the session's answers.
fn standings(house: &House) -> Vec<(String, Standing, Here)> {
    let mut out = Vec::new();
    let mut add = |name: &str, here: Here, change: &dyn Fn(&mut Standing)| {
        let mut s = adult();
        change(&mut s);
        out.push((name.to_owned(), s, here));
    };
    for region in &house.catalogue.regions {
        let id = &region.id;
        let flag = house.held("giving_way", Some(id)).0;
        add(&format!("flag {id}"), SPOTTED, &|s| s.flags = vec![flag.clone()]);
        add(&format!("kept out by a return {id}"), SPOTTED, &|s| {
            s.flags = vec![flag.clone()];
            s.returns = vec![Return {
                entry: "r".into(),
                flag: "f".into(),
                advised_by: "a physiotherapist".into(),
                advised_on: day("2026-03-09"),
                limits: "not yet".into(),
                regions_still_out: vec![id.clone()],
                returned_on: day("2026-03-09"),
            }];
        });
    }
    let discomfort = |severity, new_or_worse| Discomfort {
        region: "shoulder".into(),
        severity,
        new_or_worse,
        since: None,
        until: None,
    };
    add("surgery", SPOTTED, &|s| {
        s.surgery = vec![Surgery { region: "knee".into(), on: day("2026-02-01"), limits: None }];
    });
    add("new pain", SPOTTED, &|s| s.discomforts = vec![discomfort(1, true)]);
    add("severe usual pain", SPOTTED, &|s| s.discomforts = vec![discomfort(3, false)]);
    add("pregnant", SPOTTED, &|s| s.maternity = Some(Maternity::default()));
    add("screening open", SPOTTED, &|s| s.screening = Answers::default());
    add("blood pressure", SPOTTED, &|s| s.breath.blood_pressure = true);
    add("minor", SPOTTED, &|s| {
        s.born_on = Some(day("2011-05-01"));
        let from = day("2026-01-01");
        s.guardian = Some(GuardianGrant { by: "a parent".into(), from, until: None, withdrawn: false });
    });
    add("alone", Here::default(), &|_| ());
    out
}

#[test]
fn a_brief_that_obeys_a_standing_is_at_least_as_careful() {
    let house = House::new();
    let (brief, _) = house.insistent();
    for (name, standing, here) in standings(&house) {
        let occasion = house.occasion(here);
        let mut obeyed = brief.clone();
        obeyed.obey(&standing, &occasion);
        let asked = standing.circumstances(&occasion);
        let planned = circumstances(&obeyed, &house.catalogue);
        for m in &house.catalogue.movements {
            match (permit(m, &asked), permit(m, &planned)) {
                (Err(a), Err(b)) => assert_eq!(a, b, "{name}: {}", m.id),
                (Ok(a), Ok(b)) => assert_eq!(a, b, "{name}: {}", m.id),
                (a, b) => panic!("{name}: {}: {a:?} became {b:?}", m.id),
            }
        }
        let mut again = obeyed.clone();
        again.obey(&standing, &occasion);
        assert_eq!(again, obeyed, "{name}: obeying twice changes nothing");
        // A standing without limits takes none of the brief's own away.
        let mut strict = obeyed.clone();
        strict.obey(&adult(), &occasion);
        assert_eq!((strict.limits, strict.discomforts), (obeyed.limits, obeyed.discomforts), "{name}");
    }
}

/// Checks one offered line.
fn check(house: &House, name: &str, standing: &Standing, here: Here, line: (&str, i32, i32, i32)) {
    let (id, low, reserve, rest_s) = line;
    let m = house.catalogue.movement(id).expect("known");
    let ease = standing
        .permit(&house.occasion(here), m)
        .unwrap_or_else(|r| panic!("{name}: {id} is offered in spite of {r:?}"));
    assert!(reserve >= ease.reserve_at_least, "{name}: {id}");
    assert!(m.measure != Measure::Repetitions || low >= ease.reps_at_least, "{name}: {id}");
    assert!(rest_s >= 60, "{name}: {id}");
    assert!(here.caught() || m.trap != Trap::Chest, "{name}: {id}");
}

#[test]
fn neither_mark_wish_stand_in_minutes_nor_folding_in_gets_round_a_standing() {
    let house = House::new();
    let (brief, programme) = house.insistent();
    let (mut refused, mut offered) = (0, 0);
    for (name, standing, here) in standings(&house) {
        let mut brief = brief.clone();
        brief.obey(&standing, &house.occasion(here));
        let mut look = |line: (&str, i32, i32, i32)| {
            offered += 1;
            check(&house, &name, &standing, here, line);
        };
        for today in 0..programme.days.len() {
            let lines = &programme.days[today].lines;
            let out = lines.iter().filter(|l| {
                let m = house.catalogue.movement(&l.movement).expect("known");
                standing.permit(&house.occasion(here), m).is_err()
            });
            refused += out.count();
            // A set already done of a movement that has gone out since does not bring it back.
            for done in [Vec::new(), vec![Done { movement: lines[0].movement.clone(), sets: 1 }]] {
                let now = Now { today, done, ..Now::default() };
                let session = house.planner().session(&brief, &programme, &now).expect("sound");
                for line in 0..lines.len() {
                    for o in session.stand_in(line).expect("the line is there").offers {
                        let p = o.prescription;
                        look((&o.movement, p.low, p.reserve, p.rest_s));
                    }
                }
                for minutes in [20, 60] {
                    let answer = session.minutes_left(minutes).expect("in range");
                    let free = answer.free.iter().flat_map(|f| &f.lines);
                    // A set that is done stays told; what counts is that none is still to do.
                    for l in answer.lines.iter().chain(free).filter(|l| l.sets > l.done) {
                        let p = l.prescription;
                        look((&l.movement, p.low, p.reserve, p.rest_s));
                    }
                }
                for missed in (0..programme.days.len()).filter(|d| *d != today) {
                    let folding = session.fold_in(missed).expect("sound");
                    for l in folding.days.iter().flat_map(|d| &d.lines).filter(|l| l.sets > l.done) {
                        let p = l.prescription;
                        look((&l.movement, p.low, p.reserve, p.rest_s));
                    }
                }
            }
        }
    }
    assert!(refused > 20 && offered > 1000, "the test tries something: {refused} refused, {offered} offered");
}

#[test]
fn a_programme_from_outside_that_holds_the_movement_anyway_is_adapted() {
    let house = House::new();
    let (brief, programme) = house.insistent();
    // As a file: what a coach published elsewhere, by hand if need be.
    let text = serde_json::to_string(&programme).expect("plain");
    let imported: Programme = serde_json::from_str(&text).expect("a programme");
    assert!(imported.days.iter().flat_map(|d| &d.lines).all(|l| l.mark == Mark::Keep));
    for (name, standing, here) in standings(&house) {
        let mut brief = brief.clone();
        brief.obey(&standing, &house.occasion(here));
        let adapted = house.planner().adapt(&imported, &brief);
        let lines: Vec<&Line> = adapted.programme.days.iter().flat_map(|d| &d.lines).collect();
        for l in &lines {
            check(&house, &name, &standing, here, (&l.movement, l.low, l.reserve, l.rest_s));
        }
        let kept = |id: &str| lines.iter().any(|l| l.movement == id);
        for l in imported.days.iter().flat_map(|d| &d.lines) {
            let m = house.catalogue.movement(&l.movement).expect("known");
            if standing.permit(&house.occasion(here), m).is_err() {
                assert!(!kept(&l.movement), "{name}: {}", l.movement);
            }
        }
    }
}

#[test]
fn a_new_plan_that_demands_the_movement_leaves_it_out_and_says_why() {
    let house = House::new();
    let (mut brief, _) = house.insistent();
    let flag = house.held("locking", Some("knee")).0;
    let standing = Standing { flags: vec![flag], ..adult() };
    brief.obey(&standing, &house.occasion(SPOTTED));
    let solved = house.planner().solve(&brief, Effort { evaluations: 20_000, chains: 1 }, &mut |_| true);
    let planned = house.planner().programme(&brief, &solved).programme;
    let knee = house.catalogue.region("knee").expect("known");
    for l in planned.days.iter().flat_map(|d| &d.lines) {
        assert_eq!(house.catalogue.movement(&l.movement).expect("known").flag(knee), 0, "{}", l.movement);
    }
}

#[test]
fn a_merge_that_edits_or_deletes_a_flag_leaves_what_it_did() {
    let house = House::new();
    for (id, region) in
        [("chest_pressure", None), ("hot_swollen_joint", Some("knee")), ("locking", Some("knee"))]
    {
        let (held, fields) = house.held(id, region);
        let of = |f: &FlagHeld| Standing { flags: vec![f.clone()], ..adult() };
        let occasion = house.occasion(SPOTTED);
        let edits = [
            json!({ "deleted": true }),
            json!({ "flag": null, "tier": null, "region": null, "raised_at": null, "confirmed_at": null }),
            json!({ "tier": 3, "flag": "night_pain", "region": "wrist" }),
            json!({ "confirmed_at": "1999-01-01T00:00:00Z", "raised_at": "1999-01-01T00:00:00Z" }),
            json!({ "dismissed": true, "return": "r", "closed": true }),
        ];
        for edit in edits {
            let mut merged = fields.clone();
            for (key, value) in edit.as_object().expect("an object") {
                merged.insert(key.clone(), value.clone());
            }
            let after = FlagHeld::read(&house.rules, "f", &merged);
            assert!(after.tier <= held.tier, "{id} {edit}");
            assert!(after.raised_on >= held.raised_on, "{id} {edit}");
            assert_eq!(of(&held).may_begin(&occasion).is_err(), of(&after).may_begin(&occasion).is_err());
            for m in &house.catalogue.movements {
                let (before, now) = (of(&held).permit(&occasion, m), of(&after).permit(&occasion, m));
                assert!(now.is_err() || before.is_ok(), "{id} {edit}: {} came back", m.id);
            }
            // Only a return that names it lifts it, and the same return would have lifted the untouched flag.
            let answers = ReturnAnswers {
                flag: "f".into(),
                advised_by: "a physician".into(),
                advised_on: "2026-03-09".into(),
                limits: "none".into(),
                regions_still_out: Vec::new(),
            };
            let given =
                Return::given(&house.catalogue, std::slice::from_ref(&after), &answers, day("2026-03-09"));
            let lifted = Standing { returns: vec![given.expect("sound")], ..of(&after) };
            assert_eq!(lifted.may_begin(&occasion), Ok(()), "{id} {edit}");
            assert!(lifted.regions_out(&occasion).is_empty(), "{id} {edit}");
        }
    }
}

#[test]
fn a_clearance_from_an_imported_brief_does_not_outrank_the_screening() {
    let house = House::new();
    let (mut brief, _) = house.insistent();
    let mut standing = adult();
    standing.screening.known_disease = Some(true);
    let occasion = house.occasion(SPOTTED);
    assert_eq!(standing.screened(&house.rules, occasion.today).intensity, Intensity::LightToModerate);
    assert_eq!(brief.limits.screening, Screening::AnsweredNoLimit);
    brief.obey(&standing, &occasion);
    assert!(brief.light_to_moderate());
}
