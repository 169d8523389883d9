use super::super::life::{CareLimits, SurgeryLimits};
use super::super::returns::NO_LIMITS;
use super::super::screening::Clearance;
use super::super::{WhyNot, raise};
use super::*;
use crate::catalogue::{Lying, Trap};

struct House {
    rules: Rules,
    catalogue: Catalogue,
}

const SPOTTED: Here = Here { alone: false, spotter: true, safeties: true, adult_present: true };

impl House {
    fn new() -> Self {
        Self { rules: Rules::builtin().unwrap(), catalogue: Catalogue::builtin().unwrap() }
    }

    fn on(&self, today: &str, here: Here) -> Occasion<'_> {
        Occasion::on(&self.rules, &self.catalogue, day(today), here)
    }

    fn at(&self, moment: &str) -> Occasion<'_> {
        Occasion::at(&self.rules, &self.catalogue, &instant(moment), SPOTTED)
    }

    fn flag(&self, flag: &str, region: Option<&str>, at: &str) -> FlagHeld {
        let raised = raise(&self.rules, &self.catalogue, flag, region).unwrap();
        let confirmed = raised.confirm(flag, region, &instant(at), None).unwrap();
        FlagHeld::read(&self.rules, "flag-entry", &confirmed.fields())
    }

    fn movement(&self, id: &str) -> &Movement {
        self.catalogue.movement(id).unwrap()
    }
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn instant(text: &str) -> Moment {
    let t = DateTime::parse_from_rfc3339(text).unwrap();
    let offset_min = t.offset().local_minus_utc() / 60;
    Moment { wall_ms: t.timestamp_millis(), offset_min, monotonic_ms: 1, boot: "b".into() }
}

/// An adult whose screening sets no limit.
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

fn minor() -> Standing {
    Standing {
        born_on: Some(day("2010-05-01")),
        guardian: Some(GuardianGrant {
            by: "a parent".into(),
            from: day("2026-01-01"),
            until: None,
            withdrawn: false,
        }),
        ..adult()
    }
}

fn answered(flag: &FlagHeld, advised_on: &str, returned_on: &str, out: &[&str]) -> Return {
    Return {
        entry: format!("r{returned_on}"),
        flag: flag.entry.clone(),
        advised_by: "a physician".into(),
        advised_on: day(advised_on),
        limits: NO_LIMITS.into(),
        regions_still_out: out.iter().map(ToString::to_string).collect(),
        returned_on: day(returned_on),
    }
}

#[test]
fn a_flag_of_the_first_two_tiers_bars_its_day_and_every_later_one_until_a_return() {
    let house = House::new();
    for (id, region) in [("chest_pressure", None), ("pop_with_lost_strength", Some("knee"))] {
        let flag = house.flag(id, region, "2026-03-03T18:00:00+01:00");
        let mut s = Standing { flags: vec![flag.clone()], ..adult() };
        assert!(matches!(s.may_begin(&house.at("2026-03-03T18:00:01+01:00")), Err(Barred::SameDay { .. })));
        for later in ["2026-03-04T06:00:00+01:00", "2027-03-04T06:00:00+01:00"] {
            assert!(matches!(s.may_begin(&house.at(later)), Err(Barred::NoReturn { .. })), "{later}");
        }
        // Advice on the same evening does not open the same evening.
        s.returns = vec![answered(&flag, "2026-03-03", "2026-03-03", &[])];
        assert!(matches!(s.may_begin(&house.at("2026-03-03T23:59:59+01:00")), Err(Barred::SameDay { .. })));
        assert_eq!(s.may_begin(&house.at("2026-03-04T06:00:00+01:00")), Ok(()));
    }
}

#[test]
fn neither_a_clock_set_back_nor_a_flight_ends_the_day_of_a_flag() {
    let house = House::new();
    let flag = house.flag("fainting", None, "2026-03-03T22:00:00+01:00");
    let s = Standing {
        returns: vec![answered(&flag, "2026-03-03", "2026-03-03", &[])],
        flags: vec![flag],
        ..adult()
    };
    for moment in [
        "2026-03-02T22:00:00+01:00",
        "2019-01-01T00:00:00Z",
        // One hour later, the zone changed to the east: the local day is the next one.
        "2026-03-04T11:00:00+14:00",
        // And to the west.
        "2026-03-03T10:30:00-11:00",
    ] {
        assert!(s.may_begin(&house.at(moment)).is_err(), "{moment}");
    }
    assert_eq!(s.may_begin(&house.at("2026-03-04T07:00:00+01:00")), Ok(()));
}

#[test]
fn a_flag_that_a_wrong_clock_dated_ahead_still_ends_on_a_day_after_its_return() {
    let house = House::new();
    let flag = house.flag("fainting", None, "2099-03-03T22:00:00+01:00");
    let mut s = Standing { flags: vec![flag.clone()], ..adult() };
    assert!(matches!(s.may_begin(&house.on("2026-03-05", SPOTTED)), Err(Barred::NoReturn { .. })));
    s.returns = vec![answered(&flag, "2026-03-05", "2026-03-05", &[])];
    assert!(matches!(s.may_begin(&house.on("2026-03-05", SPOTTED)), Err(Barred::SameDay { .. })));
    assert_eq!(s.may_begin(&house.on("2026-03-06", SPOTTED)), Ok(()));
}

#[test]
fn only_a_sound_return_that_names_the_flag_lifts_it() {
    let house = House::new();
    let flag = house.flag("fainting", None, "2026-03-03T22:00:00Z");
    let sound = answered(&flag, "2026-03-04", "2026-03-05", &[]);
    let others = [
        Return { flag: "another".into(), ..sound.clone() },
        Return { advised_on: day("2026-03-02"), ..sound.clone() },
        Return { advised_on: day("2026-03-06"), ..sound.clone() },
        Return { returned_on: day("2026-03-20"), ..sound.clone() },
    ];
    for r in others {
        let s = Standing { flags: vec![flag.clone()], returns: vec![r.clone()], ..adult() };
        assert!(s.may_begin(&house.on("2026-03-10", SPOTTED)).is_err(), "{r:?}");
    }
    let s = Standing { flags: vec![flag], returns: vec![sound], ..adult() };
    assert_eq!(s.may_begin(&house.on("2026-03-10", SPOTTED)), Ok(()));
}

#[test]
fn a_second_flag_is_not_lifted_by_the_return_of_the_first() {
    let house = House::new();
    let first = house.flag("fainting", None, "2026-03-03T22:00:00Z");
    let second = FlagHeld { entry: "second".into(), ..house.flag("fever", None, "2026-03-03T22:10:00Z") };
    let s = Standing {
        returns: vec![answered(&first, "2026-03-04", "2026-03-04", &[])],
        flags: vec![first, second],
        ..adult()
    };
    assert!(matches!(s.may_begin(&house.on("2026-03-10", SPOTTED)), Err(Barred::NoReturn { tier: 2, .. })));
}

#[test]
fn a_flag_of_the_third_tier_takes_out_every_movement_that_loads_the_region_until_a_return() {
    let house = House::new();
    for region in &house.catalogue.regions {
        let index = house.catalogue.region(&region.id).unwrap();
        let flag = house.flag("night_pain", Some(&region.id), "2026-03-03T22:00:00Z");
        let mut s = Standing { flags: vec![flag.clone()], ..adult() };
        let later = house.on("2026-09-10", SPOTTED);
        assert_eq!(s.may_begin(&later), Ok(()), "the rest of the body may be trained");
        for m in &house.catalogue.movements {
            let out = s.permit(&later, m) == Err(Refusal::RegionOut { region: index });
            assert_eq!(out, m.flag(index) > 0, "{}", m.id);
        }
        s.returns = vec![answered(&flag, "2026-03-09", "2026-03-09", &[&region.id])];
        assert_eq!(s.circumstances(&later).regions_out, [index], "the return keeps it out");
        s.returns.push(answered(&flag, "2026-04-09", "2026-04-09", &[]));
        assert!(s.circumstances(&later).regions_out.is_empty(), "a newer return gives it back");
        assert_eq!(s.circumstances(&house.on("2026-04-01", SPOTTED)).regions_out, [index]);
    }
}

#[test]
fn a_flag_of_the_third_tier_without_a_readable_region_keeps_all_of_them_out() {
    let house = House::new();
    let mut flag = house.flag("locking", Some("knee"), "2026-03-03T22:00:00Z");
    for regions in [vec![], vec!["from_a_newer_version".to_owned()]] {
        flag.regions = regions;
        let s = Standing { flags: vec![flag.clone()], ..adult() };
        assert_eq!(s.regions_out(&house.on("2026-03-10", SPOTTED)).len(), house.catalogue.regions.len());
    }
}

#[test]
fn an_open_screening_leaves_light_work_and_symptoms_leave_none() {
    let house = House::new();
    let open = Standing { screening: Answers::default(), ..adult() };
    let now = house.on("2026-03-10", SPOTTED);
    assert_eq!(open.may_begin(&now), Ok(()));
    assert!(open.circumstances(&now).light_to_moderate);
    for m in &house.catalogue.movements {
        if let Ok(ease) = open.permit(&now, m) {
            assert!(!terms::heavy_set(ease.reps_at_least, ease.reserve_at_least), "{}", m.id);
        }
    }
    let mut symptoms = adult();
    symptoms.screening.signs_or_symptoms = Some(true);
    assert_eq!(symptoms.may_begin(&now), Err(Barred::ClearanceFirst));
    symptoms.screening.clearance = Some(Clearance {
        may: Intensity::LightToModerate,
        by: "a physician".into(),
        on: Some(day("2026-02-01")),
    });
    assert_eq!(symptoms.may_begin(&now), Ok(()));
    assert!(symptoms.circumstances(&now).light_to_moderate);
}

#[test]
fn a_heart_history_answers_the_question_about_disease() {
    let house = House::new();
    let mut s = adult();
    assert_eq!(s.screened(&house.rules, day("2026-03-10")).intensity, Intensity::Any);
    s.breath.heart = true;
    assert_eq!(s.screened(&house.rules, day("2026-03-10")).intensity, Intensity::LightToModerate);
}

#[test]
fn a_minor_needs_a_guardian_and_an_adult_and_does_no_singles() {
    let house = House::new();
    let today = "2026-03-10";
    let s = minor();
    assert_eq!(s.age(day(today)), Age::Minor);
    assert_eq!(s.may_begin(&house.on(today, SPOTTED)), Ok(()));
    let nobody = Here { adult_present: false, ..SPOTTED };
    assert_eq!(s.may_begin(&house.on(today, nobody)), Err(Barred::NoAdult));
    let grant = s.guardian.clone().unwrap();
    let broken = [
        None,
        Some(GuardianGrant { withdrawn: true, ..grant.clone() }),
        Some(GuardianGrant { until: Some(day("2026-03-09")), ..grant.clone() }),
        Some(GuardianGrant { from: day("2026-03-11"), ..grant.clone() }),
        Some(GuardianGrant { by: "  ".into(), ..grant }),
    ];
    for guardian in broken {
        let s = Standing { guardian: guardian.clone(), ..minor() };
        assert_eq!(s.may_begin(&house.on(today, SPOTTED)), Err(Barred::NoGuardian), "{guardian:?}");
    }
    for m in &house.catalogue.movements {
        let ease = s.permit(&house.on(today, SPOTTED), m).unwrap();
        assert!(ease.reps_at_least >= 6 && ease.reserve_at_least >= 2, "{}", m.id);
        assert_eq!(s.heaviest_allowed(&house.on(today, SPOTTED), m, true), Err(WhyNot::Minor), "{}", m.id);
    }
    assert!(!s.body_mass_shown(day(today)) && !s.weight_loss_goal_allowed(day(today)));
    assert!(s.guardian_reads_messages(day(today)) && !adult().guardian_reads_messages(day(today)));
    assert!(adult().body_mass_shown(day(today)) && adult().weight_loss_goal_allowed(day(today)));
}

#[test]
fn the_place_raises_the_age_and_a_word_of_the_lifter_is_enough() {
    let today = day("2026-03-10");
    let twenty = Standing { born_on: Some(day("2006-01-01")), ..adult() };
    assert_eq!(twenty.age(today), Age::Adult);
    assert_eq!(Standing { age_of_the_place: 21, ..twenty.clone() }.age(today), Age::Minor);
    assert_eq!(Standing { age_of_the_place: 0, ..minor() }.age(today), Age::Minor);
    assert_eq!(Standing { says_minor: true, ..twenty }.age(today), Age::Minor);
    assert_eq!(Standing { born_on: None, ..adult() }.age(today), Age::Unknown);
}

#[test]
fn a_minors_lasting_joint_pain_waits_for_care() {
    let house = House::new();
    let knee = house.catalogue.region("knee").unwrap();
    let pain = |since: &str| {
        vec![Discomfort {
            region: "knee".into(),
            severity: 1,
            new_or_worse: false,
            since: Some(day(since)),
            until: None,
        }]
    };
    let now = house.on("2026-03-10", SPOTTED);
    let lasting = Standing { discomforts: pain("2026-03-02"), ..minor() };
    assert_eq!(
        lasting.permit(&now, house.movement("barbell_back_squat")),
        Err(Refusal::NewDiscomfort { region: knee })
    );
    let fresh = Standing { discomforts: pain("2026-03-03"), ..minor() };
    assert!(fresh.permit(&now, house.movement("barbell_back_squat")).is_ok());
    let of_an_adult = Standing { discomforts: pain("2020-01-01"), ..adult() };
    assert!(of_an_adult.permit(&now, house.movement("barbell_back_squat")).is_ok());
}

fn care() -> CareLimits {
    CareLimits {
        advised_by: "a midwife".into(),
        advised_on: day("2026-03-01"),
        review_on: day("2026-04-01"),
        back_allowed: true,
        front_allowed: false,
        light_to_moderate: false,
        regions_out: Vec::new(),
        text: "stop when dizzy".into(),
    }
}

#[test]
fn limits_in_pregnancy_hold_until_their_review_and_birth_closes_them() {
    let house = House::new();
    let pregnant = |birth_on: Option<&str>, limits| Standing {
        maternity: Some(Maternity { birth_on: birth_on.map(day), limits }),
        ..adult()
    };
    let cautious = |s: &Standing, today: &str| {
        let c = s.circumstances(&house.on(today, SPOTTED));
        assert!(c.no_maximal_lifts && c.no_long_breath_hold, "always");
        (c.no_lying_on_back, c.no_lying_on_front, c.light_to_moderate)
    };
    assert_eq!(cautious(&pregnant(None, None), "2026-03-10"), (true, true, true));
    let held = pregnant(None, Some(care()));
    assert_eq!(cautious(&held, "2026-03-10"), (false, true, false));
    assert_eq!(cautious(&held, "2026-04-01"), (false, true, false));
    assert_eq!(cautious(&held, "2026-04-02"), (true, true, true), "past the review");
    assert_eq!(cautious(&held, "2026-02-28"), (true, true, true), "before they were set");
    let born = pregnant(Some("2026-03-05"), Some(care()));
    assert_eq!(cautious(&born, "2026-03-10"), (true, true, true), "birth closes the clearance");
    let after = pregnant(Some("2026-02-05"), Some(care()));
    assert_eq!(cautious(&after, "2026-03-10"), (false, true, false), "set after the birth");
    let unsigned = pregnant(None, Some(CareLimits { advised_by: String::new(), ..care() }));
    assert_eq!(cautious(&unsigned, "2026-03-10"), (true, true, true));
    for m in house.catalogue.movements.iter().filter(|m| m.lying == Lying::Back) {
        assert!(pregnant(None, None).permit(&house.on("2026-03-10", SPOTTED), m).is_err(), "{}", m.id);
    }
    let bench = house.movement("barbell_bench_press");
    assert_eq!(held.why_not_heaviest(&house.on("2026-03-10", SPOTTED), bench, true), [WhyNot::Maternity]);
    assert!(held.findings_silent() && born.findings_silent() && !adult().findings_silent());
    assert!(!held.weight_loss_goal_allowed(day("2026-03-10")));
    let knees = pregnant(None, Some(CareLimits { regions_out: vec!["knee".into()], ..care() }));
    assert_eq!(knees.regions_out(&house.on("2026-03-10", SPOTTED)).len(), 1);
}

#[test]
fn a_region_operated_on_is_forbidden_until_the_written_limits_are_entered() {
    let house = House::new();
    let knee = house.catalogue.region("knee").unwrap();
    let limits = SurgeryLimits {
        advised_by: "a surgeon".into(),
        advised_on: day("2026-02-01"),
        text: "no kneeling".into(),
        still_out: false,
    };
    let with = |limits: Option<SurgeryLimits>| Standing {
        surgery: vec![Surgery { region: "knee".into(), on: day("2026-01-10"), limits }],
        ..adult()
    };
    let now = house.on("2026-03-10", SPOTTED);
    let forbidden = |s: &Standing| {
        house.catalogue.movements.iter().all(|m| (m.flag(knee) > 0) == s.permit(&now, m).is_err())
    };
    assert!(forbidden(&with(None)));
    // A year does not give it back: there are no timelines of ours.
    assert!(!with(None).circumstances(&house.on("2030-03-10", SPOTTED)).after_surgery.is_empty());
    for bad in [
        SurgeryLimits { text: " ".into(), ..limits.clone() },
        SurgeryLimits { advised_by: String::new(), ..limits.clone() },
        SurgeryLimits { advised_on: day("2026-01-09"), ..limits.clone() },
        SurgeryLimits { advised_on: day("2026-03-11"), ..limits.clone() },
        SurgeryLimits { still_out: true, ..limits.clone() },
    ] {
        assert!(forbidden(&with(Some(bad.clone()))), "{bad:?}");
    }
    let entered = with(Some(limits));
    let squat = house.movement("barbell_back_squat");
    assert!(entered.permit(&now, squat).is_ok());
    assert_eq!(entered.why_not_heaviest(&now, squat, true), [WhyNot::LimitOfCare]);
}

#[test]
fn a_breath_history_leaves_reserve_and_forbids_the_heaviest() {
    let house = House::new();
    let now = house.on("2026-03-10", SPOTTED);
    let histories: [fn(&mut BreathHistory); 4] =
        [|b| b.blood_pressure = true, |b| b.heart = true, |b| b.eye = true, |b| b.hernia = true];
    for tell in histories {
        let mut s = adult();
        tell(&mut s.breath);
        assert!(s.circumstances(&now).no_long_breath_hold);
        let squat = house.movement("barbell_back_squat");
        assert!(s.permit(&now, squat).unwrap().reserve_at_least >= 2);
        assert!(s.why_not_heaviest(&now, squat, true).contains(&WhyNot::BreathHold));
    }
}

#[test]
fn alone_the_barbell_is_not_over_the_chest_whatever_is_claimed() {
    let house = House::new();
    let heres = [
        (Here::default(), false),
        (Here { spotter: true, ..Here::default() }, false),
        (Here { alone: false, ..Here::default() }, false),
        (Here { safeties: true, ..Here::default() }, true),
        (Here { alone: false, spotter: true, ..Here::default() }, true),
    ];
    for (here, offered) in heres {
        let now = house.on("2026-03-10", here);
        for m in house.catalogue.movements.iter().filter(|m| m.trap == Trap::Chest) {
            assert_eq!(adult().permit(&now, m).is_ok(), offered, "{} {here:?}", m.id);
        }
    }
}

#[test]
fn the_heaviest_work_needs_everything_at_once() {
    let house = House::new();
    let today = "2026-03-10";
    let now = house.on(today, SPOTTED);
    let squat = house.movement("barbell_back_squat");
    assert_eq!(adult().heaviest_allowed(&now, squat, true), Ok(()));
    let why = |s: &Standing| s.why_not_heaviest(&now, squat, true);
    assert_eq!(adult().why_not_heaviest(&now, squat, false), [WhyNot::RampNotDone]);
    let uncaught = Here { alone: false, adult_present: true, ..Here::default() };
    assert_eq!(adult().why_not_heaviest(&house.on(today, uncaught), squat, true), [WhyNot::NothingCatches]);
    let claimed = Here { spotter: true, ..Here::default() };
    assert_eq!(adult().why_not_heaviest(&house.on(today, claimed), squat, true), [WhyNot::NothingCatches]);
    assert_eq!(why(&Standing { born_on: None, ..adult() }), [WhyNot::AgeUnknown]);
    assert_eq!(why(&Standing { screening: Answers::default(), ..adult() }), [WhyNot::Screening]);
    let mut starting = adult();
    starting.screening.regular_exercise = Some(false);
    assert_eq!(why(&starting), [WhyNot::Screening]);
    // A flag elsewhere in the body, and limits that came with its return.
    let flag = house.flag("locking", Some("neck"), "2026-03-03T10:00:00Z");
    let neck = house.catalogue.region("neck").unwrap();
    assert_eq!(squat.flag(neck), 0);
    let mut flagged = Standing { flags: vec![flag.clone()], ..adult() };
    assert_eq!(why(&flagged), [WhyNot::FlagOpen]);
    let mut back = answered(&flag, "2026-03-09", "2026-03-09", &[]);
    back.limits = "nothing overhead".into();
    flagged.returns = vec![back];
    assert_eq!(why(&flagged), [WhyNot::LimitOfCare]);
    let ache =
        Discomfort { region: "knee".into(), severity: 1, new_or_worse: false, since: None, until: None };
    assert_eq!(why(&Standing { discomforts: vec![ache.clone()], ..adult() }), [WhyNot::Discomfort]);
    let over = Discomfort { until: Some(day("2026-03-09")), ..ache };
    assert_eq!(why(&Standing { discomforts: vec![over], ..adult() }), []);
}

#[test]
fn bad_answers_name_their_field_and_remedy() {
    let house = House::new();
    let today = day("2026-03-10");
    let mut s = adult();
    assert!(s.faults(&house.catalogue, today).is_empty());
    s.born_on = Some(day("2026-03-11"));
    s.age_of_the_place = 60;
    s.screening.clearance =
        Some(Clearance { may: Intensity::Any, by: "a physician".into(), on: Some(day("2026-03-11")) });
    s.maternity = Some(Maternity {
        birth_on: None,
        limits: Some(CareLimits { advised_on: day("2026-03-12"), review_on: day("2026-03-11"), ..care() }),
    });
    s.surgery = vec![Surgery { region: "tail".into(), on: day("2026-01-10"), limits: None }];
    s.discomforts =
        vec![Discomfort { region: "tail".into(), severity: 9, new_or_worse: true, since: None, until: None }];
    let fields: Vec<String> = s.faults(&house.catalogue, today).into_iter().map(|f| f.field).collect();
    assert_eq!(
        fields,
        [
            "born_on",
            "age_of_the_place",
            "screening.clearance.on",
            "maternity.limits.advised_on",
            "maternity.limits.review_on",
            "surgery[0].region",
            "discomforts[0].region",
            "discomforts[0].severity",
        ]
    );
    assert!(s.faults(&house.catalogue, today).iter().all(|f| !f.remedy.is_empty()));
}

#[test]
fn a_standing_survives_the_snapshot() {
    let house = House::new();
    let s = Standing {
        flags: vec![house.flag("locking", Some("knee"), "2026-03-03T10:00:00Z")],
        maternity: Some(Maternity { birth_on: None, limits: Some(care()) }),
        ..minor()
    };
    let text = serde_json::to_string(&s).unwrap();
    assert_eq!(serde_json::from_str::<Standing>(&text).unwrap(), s);
    assert_eq!(serde_json::from_str::<Standing>("{}").unwrap(), Standing::default());
}
