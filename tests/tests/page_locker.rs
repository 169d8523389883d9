//! What each page of the locker keeps, what it refuses, and what follows for the week and for the session.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::companion::{Companion, Effect, Event};
use plinth_core::floor;
use plinth_core::moment::Moment;
use plinth_core::page::{Block, Deed, FileKind, KitPart, Page, PageButton, PageEvent, Place, Spot};
use plinth_core::plan::brief::{Minutes, Nature, Screening, TrainingAge};
use plinth_core::record::{BriefFields, Edit, EntryId, Kind, ProgrammeFields, View};
use plinth_core::safety::{Rules, raise};
use plinth_core::store::system_random;
use plinth_core::words::Language;
use plinth_tests::faults::Folder;
use std::collections::BTreeSet;
use std::path::Path;

const DAY_S: i64 = 86_400;

/// 3 May 2026, 11:20 in the offset of +2 hours, and seconds later.
fn at(seconds: i64) -> Moment {
    Moment {
        wall_ms: 1_777_800_000_000 + seconds * 1000,
        offset_min: 120,
        monotonic_ms: 1_000_000_000 + u64::try_from(seconds.max(0)).unwrap() * 1000,
        boot: "b".into(),
    }
}

struct Desk {
    folder: Folder,
    c: Companion,
    now: i64,
}

fn opened(path: &Path) -> Companion {
    Companion::open(path, Language::English, &at(0), Box::new(system_random)).expect("it opens").companion
}

impl Desk {
    fn new() -> Self {
        let folder = Folder::new();
        let c = opened(&folder.file("record.plinth"));
        Self { folder, c, now: 1 }
    }

    /// A killed process, and a new one.
    fn again(self) -> Self {
        let Self { folder, c, now } = self;
        drop(c);
        let c = opened(&folder.file("record.plinth"));
        Self { folder, c, now }
    }

    fn moment(&self) -> Moment {
        at(self.now)
    }

    fn page(&mut self) -> Page {
        let now = self.moment();
        self.c.screen(&now).unwrap().page().expect("a page")
    }

    fn send(&mut self, event: impl Into<Event>) -> Page {
        let event = event.into();
        self.now += 1;
        let update = self.c.dispatch(&event, &at(self.now)).expect("an answer");
        assert_eq!(update.refused, None, "{event:?}");
        update.screen.page().expect("a page")
    }

    fn go(&mut self, spot: Spot) -> Page {
        self.send(PageEvent::Place { place: Place::Locker });
        self.send(PageEvent::Open { spot })
    }

    fn choose(&mut self, field: &str, value: &str) -> Page {
        self.send(PageEvent::Choose { field: field.into(), value: value.into() })
    }

    fn act(&mut self, deed: Deed) -> Page {
        self.send(PageEvent::Do { deed })
    }

    /// Refused in words, with nothing changed: neither on the screen nor in the record.
    fn no(&mut self, event: impl Into<Event>) -> String {
        let event = event.into();
        let before = (self.page(), self.entries());
        let update = self.c.dispatch(&event, &at(self.now)).expect("an answer");
        let why = update.refused.unwrap_or_else(|| panic!("{event:?} is accepted"));
        assert_eq!((self.page(), self.entries()), before, "{event:?}");
        why
    }

    fn no_choice(&mut self, field: &str, value: &str) -> String {
        self.no(PageEvent::Choose { field: field.into(), value: value.into() })
    }

    fn entries(&self) -> u64 {
        self.c.check().unwrap().entries
    }

    fn of_kind(&self, kind: &Kind) -> Vec<plinth_core::record::Entry> {
        self.c.store().of_kind(kind, None, 500).unwrap().into_iter().filter(|e| !e.deleted()).collect()
    }

    fn barred(&mut self) -> bool {
        let now = self.moment();
        let floor = self.c.floor(&now).unwrap();
        serde_json::to_value(&floor).unwrap().to_string().contains("No session can begin now")
    }

    /// Answers the three questions of the screening.
    fn screen(&mut self, regular: &str, disease: &str, symptoms: &str) -> Page {
        self.go(Spot::Screening);
        self.choose("regular_exercise", regular);
        self.choose("known_disease", disease);
        self.choose("signs_or_symptoms", symptoms)
    }

    /// A sign confirmed so many seconds from the beginning.
    fn flag(&mut self, flag: &str, region: Option<&str>, seconds: i64) {
        let rules = Rules::builtin().unwrap();
        let raised = raise(&rules, self.c.catalogue(), flag, region).unwrap();
        let fields = raised.confirm(flag, region, &at(seconds), None).unwrap().fields();
        let n = self.entries();
        let edit = Edit { id: EntryId::new(1, [n as u8 + 1; 10]), kind: Kind::Flag, fields };
        let now = self.moment();
        self.c.edit(&[edit], &now).unwrap();
    }
}

/// All that a page says.
fn said(page: &Page) -> String {
    serde_json::to_string(page).unwrap()
}

fn entry<'a>(page: &'a Page, of: &str) -> Option<&'a str> {
    page.blocks.iter().find_map(|b| match b {
        Block::Entry { field, value, .. } if field == of => Some(value.as_str()),
        _ => None,
    })
}

fn chosen(page: &Page, of: &str) -> Vec<String> {
    let all = page.blocks.iter().filter_map(|b| match b {
        Block::Question { buttons, .. } => Some(buttons),
        _ => None,
    });
    let value = |b: &PageButton| match &b.event {
        PageEvent::Choose { field, value } if field == of && b.chosen => Some(value.clone()),
        _ => None,
    };
    all.flatten().filter_map(value).collect()
}

fn asks(page: &Page, of: &str) -> bool {
    said(page).contains(&format!("\"field\":\"{of}\""))
}

fn actions(page: &Page) -> Vec<(String, bool)> {
    let action = |b: &Block| match b {
        Block::Action { button, wide } => Some((button.label.clone(), *wide)),
        _ => None,
    };
    page.blocks.iter().filter_map(action).collect()
}

#[test]
fn a_first_brief_has_answers_in_it_and_makes_the_week_that_it_says() {
    let mut d = Desk::new();
    let week = d.send(PageEvent::Place { place: Place::Week });
    assert_eq!(actions(&week), [("Make a week".to_owned(), true)], "one touch makes it");
    let page = d.send(PageEvent::Open { spot: Spot::Brief });
    for (field, value) in [
        ("days", "3"),
        ("minutes", "60"),
        ("place", "small_gym"),
        ("goal", "balanced"),
        ("experience", "novice"),
        ("alone", "yes"),
        ("safeties", "no"),
    ] {
        assert_eq!(chosen(&page, field), [value], "{field}");
    }
    assert_eq!(entry(&page, "body_mass"), Some(""), "it may stay open");
    assert!(said(&page).contains("light to moderate work only"), "screening is open, and the page says so");
    d.choose("days", "4");
    d.choose("minutes", "45");
    d.choose("minutes", "50");
    d.choose("place", "dumbbells");
    d.choose("goal", "size");
    d.choose("experience", "intermediate");
    assert!(!d.c.brief_told(), "nothing is kept before the week is made");
    let mut d = d.again();
    let page = d.page();
    assert_eq!((chosen(&page, "days"), chosen(&page, "minutes")), (vec!["4".into()], vec!["50".into()]));
    for (field, value) in [
        ("days", "0"),
        ("days", "7"),
        ("days", "4.0"),
        ("minutes", "4"),
        ("minutes", "241"),
        ("minutes", "-60"),
        ("place", "moon"),
        ("goal", "loss"),
        ("experience", ""),
        ("alone", "maybe"),
    ] {
        assert!(d.no_choice(field, value).contains("value"), "{field} {value}");
    }
    let week = d.act(Deed::MakeWeek);
    assert_eq!(week.place, Place::Week);
    let (_, programme, starts) = d.c.programme().expect("a programme");
    assert_eq!(programme.days.len(), 4);
    assert_eq!(starts.to_string(), "2026-05-03");
    let lines: Vec<String> =
        programme.days.iter().flat_map(|d| &d.lines).map(|l| l.movement.clone()).collect();
    for id in &lines {
        let c = d.c.catalogue();
        let m = c.movement(id).unwrap();
        let has = |e: &usize| ["dumbbells", "bench", "bands", "floor"].contains(&c.equipment[*e].id.as_str());
        assert!(m.equipment.iter().any(|way| way.iter().all(has)), "{id} needs other kit");
    }
    let brief = d.c.brief();
    assert_eq!((brief.days, &brief.minutes), (4, &Minutes::Same(50)));
    assert_eq!(brief.training_age, TrainingAge::Intermediate);
    assert_eq!(brief.limits.screening, Screening::Unanswered);
}

#[test]
fn the_next_week_begins_today_and_the_one_before_stays_in_the_record() {
    let mut d = Desk::new();
    d.send(PageEvent::Place { place: Place::Week });
    d.act(Deed::MakeWeek);
    let (first, before, _) = d.c.programme().map(|(id, p, s)| (id, p.clone(), s)).unwrap();
    d.now += 7 * DAY_S;
    let page = d.go(Spot::Brief);
    assert!(said(&page).contains("begins today"), "it says what happens to the one under way");
    assert_eq!(actions(&page), [("Make the next week".to_owned(), true)]);
    d.choose("days", "2");
    assert_eq!(d.c.programme().unwrap().1, &before, "changing an answer rewrites nothing");
    d.act(Deed::MakeWeek);
    let (second, now, starts) = d.c.programme().unwrap();
    assert_ne!(first, second);
    assert_eq!((now.days.len(), starts.to_string()), (2, "2026-05-10".to_owned()));
    let kept: Vec<ProgrammeFields> =
        d.of_kind(&Kind::Programme).iter().map(|e| ProgrammeFields::read(e).0).collect();
    assert_eq!(kept.len(), 2);
    assert_eq!(kept[0].ended_on.unwrap().to_string(), "2026-05-09");
}

#[test]
fn until_the_screening_is_answered_the_week_is_light_and_what_it_answers_decides() {
    let mut d = Desk::new();
    assert!(d.c.brief_of_today(&at(1)).light_to_moderate());
    let page = d.go(Spot::Screening);
    assert!(asks(&page, "regular_exercise") && !asks(&page, "known_disease"), "one after another");
    assert!(d.no_choice("regular_exercise", "perhaps").contains("value"));
    let page = d.choose("regular_exercise", "yes");
    assert!(asks(&page, "known_disease") && !asks(&page, "signs_or_symptoms"));
    assert!(d.c.brief_of_today(&at(1)).light_to_moderate(), "two are still open");
    let page = d.screen("yes", "no", "no");
    assert!(said(&page).contains("Go on as you train now"), "the outcome of the published row");
    assert!(said(&page).contains("10.1249/MSS.0000000000000664"), "and its source");
    assert!(!asks(&page, "advised_by"), "nobody is asked for a clearance that is not advised");
    let now = d.moment();
    assert!(!d.c.brief_of_today(&now).light_to_moderate());
    let brief = d.go(Spot::Brief);
    assert!(!said(&brief).contains("light to moderate"));
    d.act(Deed::MakeWeek);
    // The brief leaves open what the record answers, so that it cannot outlast the answers.
    let kept = d.of_kind(&Kind::Brief);
    let document = BriefFields::read(kept.last().unwrap()).0.document.unwrap().0;
    assert_eq!(document["limits"]["screening"], "unanswered");
    d.screen("yes", "yes", "no");
    let now = d.moment();
    assert!(d.c.brief_of_today(&now).light_to_moderate());
    assert!(!d.barred());
    let page = d.screen("yes", "yes", "yes");
    assert!(d.barred(), "signs or symptoms: licensed care first");
    assert!(said(&page).contains("Stop training for now"));
}

#[test]
fn a_clearance_counts_as_a_whole_and_only_after_the_answers() {
    let mut d = Desk::new();
    d.now = 10 * DAY_S;
    d.screen("no", "no", "yes");
    assert!(d.barred());
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("What did they allow?"));
    d.choose("allowed", "any");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Who in licensed care advised you?"));
    d.choose("advised_by", "Dr. Ada");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("On which day?"));
    for (value, told) in [
        ("2026-06-01", "still to come"),
        ("yesterday", "2026-05-03"),
        ("2026-02-30", "is no day"),
        ("", "is no day"),
    ] {
        assert!(d.no_choice("advised_on", value).contains(told), "{value}");
    }
    assert!(d.no_choice("advised_by", &"x".repeat(10_000)).contains("at most 200"));
    d.choose("advised_on", "12.5.2026");
    let page = d.act(Deed::Keep);
    assert!(said(&page).contains("older than your answers"), "the answers are of the 13th");
    assert!(d.barred());
    d.choose("advised_on", "13.5.2026");
    d.act(Deed::Keep);
    assert!(!d.barred());
    // The same answer again does not outdate it; another one does.
    d.now += DAY_S;
    d.screen("no", "no", "yes");
    assert!(!d.barred());
}

#[test]
fn a_minor_trains_with_a_grant_sees_no_body_mass_and_gets_no_maximal_lifts() {
    let mut d = Desk::new();
    let page = d.go(Spot::Profile);
    assert!(asks(&page, "body_mass") && !asks(&page, "guardian"));
    for (value, told) in [
        ("2026-05-04", "still to come"),
        ("1899-12-31", "is no day"),
        ("1905-01-01", "check the year"),
        ("99999-01-01", "is no day"),
        (&"1".repeat(10_000), "is no day"),
    ] {
        assert!(d.no_choice("born_on", value).contains(told), "{value}");
    }
    let page = d.choose("born_on", "4.5.2010");
    assert!(!asks(&page, "body_mass") && asks(&page, "guardian"));
    assert!(said(&page).contains("No maximal singles"));
    assert!(d.no_choice("body_mass", "60").contains("body_mass"));
    let page = d.go(Spot::Brief);
    assert!(!asks(&page, "body_mass"), "nor on the brief");
    assert!(d.no_choice("body_mass", "60").contains("body_mass"));
    assert!(d.c.brief_of_today(&at(9)).limits.minor);
    assert!(d.barred(), "no guardian's grant");
    d.go(Spot::Profile);
    assert!(d.no_choice("guardian", "  ").contains("Name of the guardian"));
    let page = d.choose("guardian", "Grace  H.");
    assert!(said(&page).contains("Grace H. granted training here on 3 May 2026"));
    assert!(!d.barred());
    d.choose("grant", "withdraw");
    assert!(d.barred());
    // Where the place asks for 21, an adult of eighteen is none.
    d.go(Spot::Profile);
    let page = d.choose("born_on", "2007-01-01");
    assert!(asks(&page, "body_mass"));
    let page = d.choose("age_of_the_place", "21");
    assert!(!asks(&page, "body_mass"));
    for age in ["17", "26", "0", "eighteen"] {
        assert!(d.no_choice("age_of_the_place", age).contains("value"));
    }
    let page = d.choose("born_on", "");
    assert!(asks(&page, "minor"), "without a day of birth it is asked plainly");
    let page = d.choose("minor", "yes");
    assert!(!asks(&page, "body_mass"));
    d.choose("minor", "no");
    assert!(d.no_choice("guardian", "Grace").contains("guardian"), "nobody grants for an adult");
}

#[test]
fn a_body_mass_is_kept_as_entered_and_nonsense_is_refused_with_the_remedy() {
    let mut d = Desk::new();
    d.go(Spot::Profile);
    for text in ["1e9", "", "-70", "0", "seventy", "70 stone", "1.000,5", "NaN", &"7".repeat(10_000)] {
        let why = d.no_choice("body_mass", text);
        assert!(why.starts_with("Body mass, if you like: ") && why.contains("72.5"), "{why}");
    }
    for text in ["19.9", "401", "5 lb", "900 lb"] {
        assert!(d.no_choice("body_mass", text).contains("20 to 400 kg"), "{text}");
    }
    let page = d.choose("body_mass", "72,5");
    assert_eq!(entry(&page, "body_mass"), Some("72.5 kg"));
    d.choose("typed_unit", "lb");
    let page = d.choose("body_mass", "161.5");
    assert_eq!(entry(&page, "body_mass"), Some("161.5 lb"), "in the unit entered");
    assert!(d.no_choice("typed_unit", "stone").contains("value"));
    assert_eq!(d.of_kind(&Kind::BodyMeasurement).len(), 2);
}

#[test]
fn the_profile_keeps_a_name_a_sex_and_the_number_to_dial_and_lets_go_of_them() {
    let mut d = Desk::new();
    d.go(Spot::Profile);
    let page = d.choose("name", "  Åse\n Ng ");
    assert_eq!(entry(&page, "name"), Some("Åse Ng"));
    assert!(d.no_choice("name", &"x".repeat(10_000)).contains("10000 characters are too many"));
    assert!(d.no_choice("name", "a\u{7}b").contains("cannot be shown"));
    assert_eq!(chosen(&d.choose("sex", "female"), "sex"), ["female"]);
    assert_eq!(chosen(&d.choose("sex", "open"), "sex"), ["open"]);
    assert!(d.no_choice("sex", "x").contains("value"));
    assert_eq!(entry(&d.choose("emergency_number", " 112 "), "emergency_number"), Some("112"));
    for number in ["911; rm", "1", "tel:112", "one one two", &"1".repeat(10_000)] {
        assert!(d.no_choice("emergency_number", number).contains("such as 112"), "{number}");
    }
    assert_eq!(d.of_kind(&Kind::Lifter).len(), 1, "one entry, changed in place");
    let page = d.choose("name", "");
    assert_eq!(entry(&page, "name"), Some(""));
    assert_eq!(entry(&d.choose("emergency_number", ""), "emergency_number"), Some(""));
}

#[test]
fn a_sign_is_answered_by_who_advised_when_and_with_what_limits() {
    let mut d = Desk::new();
    d.now = 2 * DAY_S;
    assert!(!said(&d.send(PageEvent::Place { place: Place::Locker })).contains("Return after a sign"));
    let page = d.send(PageEvent::Open { spot: Spot::Return });
    assert!(actions(&page).is_empty());
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).len() > 8);
    assert!(d.no_choice("advised_by", "Dr. Ada").len() > 8);
    d.flag("fever", None, DAY_S);
    assert!(d.barred());
    let page = d.go(Spot::Return);
    assert!(said(&page).contains("Return after: Fever, 4 May 2026"), "{}", said(&page));
    for missing in ["Who advised you?", "On which day?", "What limits were set?"] {
        let why = d.no(PageEvent::Do { deed: Deed::Keep });
        assert!(why.contains(missing), "{why}");
        match missing {
            "Who advised you?" => d.choose("advised_by", "Dr. Ada"),
            "On which day?" => d.choose("advised_on", "2026-05-03"),
            _ => d.choose("no_limits", "yes"),
        };
    }
    let why = d.no(PageEvent::Do { deed: Deed::Keep });
    assert!(why.contains("3 May 2026 is before 4 May 2026"), "{why}");
    assert!(d.no_choice("advised_on", "2026-05-06").contains("still to come"));
    assert!(d.no_choice("limits", &"x".repeat(10_000)).contains("at most 4000"));
    assert!(d.no_choice("regions_out", "tail").contains("value"));
    d.choose("advised_on", "5.5.2026");
    d.choose("limits", "No jumping until June");
    d.choose("regions_out", "knee");
    assert!(d.barred(), "what is not recorded answers nothing");
    let mut d = d.again();
    assert_eq!(
        entry(&d.page(), "limits"),
        Some("No jumping until June"),
        "a killed process loses nothing typed"
    );
    let page = d.act(Deed::Keep);
    assert!(page.told.join(" ").contains("advised by Dr. Ada on 5 May 2026"), "{:?}", page.told);
    assert!(!d.barred());
    let now = d.moment();
    assert!(d.c.brief_of_today(&now).limits.regions_out.contains(&"knee".to_owned()));
    assert_eq!(entry(&page, "advised_by"), Some(""), "the next return begins anew");
}

#[test]
fn of_several_signs_the_return_answers_the_one_that_was_chosen() {
    let mut d = Desk::new();
    d.now = 3 * DAY_S;
    d.flag("locking", Some("knee"), DAY_S);
    d.flag("giving_way", Some("ankle"), DAY_S);
    let out = |d: &Desk| d.c.brief_of_today(&d.moment()).limits.regions_out;
    assert_eq!(out(&d), ["ankle", "knee"]);
    let page = d.go(Spot::Return);
    let first = chosen(&page, "flag");
    let other = d.of_kind(&Kind::Flag).iter().map(|e| e.id.to_string()).find(|id| *id != first[0]).unwrap();
    let of_other = {
        d.choose("advised_by", "somebody");
        let page = d.choose("flag", &other);
        assert_eq!(entry(&page, "advised_by"), Some(""), "what was written was about the other sign");
        said(&page)
    };
    assert!(d.no_choice("flag", "no such entry").contains("value"));
    d.choose("advised_by", "a physiotherapist");
    d.choose("advised_on", "2026-05-05");
    d.choose("no_limits", "yes");
    d.act(Deed::Keep);
    let still = if of_other.contains("Return after: It locks") { "ankle" } else { "knee" };
    assert_eq!(out(&d), [still]);
}

#[test]
fn an_operation_keeps_the_region_out_until_the_written_limits_are_whole() {
    let mut d = Desk::new();
    d.now = 20 * DAY_S;
    d.go(Spot::Surgeries);
    d.send(PageEvent::Open { spot: Spot::Surgery { position: 0 } });
    assert!(d.no(PageEvent::Open { spot: Spot::Surgery { position: 1 } }).contains("not there"));
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Which region?"));
    assert!(d.no_choice("region", "tail").contains("value"));
    d.choose("region", "shoulder");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Day of the operation"));
    assert!(d.no_choice("on", "2026-05-24").contains("still to come"));
    d.choose("on", "2026-05-10");
    d.act(Deed::Keep);
    let after = |d: &Desk| d.c.brief_of_today(&d.moment()).limits.after_surgery;
    assert_eq!(after(&d), ["shoulder"]);
    let page = d.send(PageEvent::Open { spot: Spot::Surgery { position: 0 } });
    assert_eq!(entry(&page, "on"), Some("2026-05-10"));
    d.choose("advised_by", "the surgeon");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("On which day?"), "in part it does not count");
    d.choose("advised_on", "2026-05-09");
    d.choose("limits", "nothing above the head");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("9 May 2026 is before 10 May 2026"));
    d.choose("advised_on", "2026-05-20");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("forbid loading"));
    d.choose("still_out", "no");
    d.act(Deed::Keep);
    assert!(after(&d).is_empty(), "the surgeon's limits take the place of the ban");
    // A second operation stands beside the first; taking one away needs two touches.
    d.send(PageEvent::Open { spot: Spot::Surgery { position: 1 } });
    d.choose("region", "knee");
    d.choose("on", "2026-05-01");
    d.act(Deed::Keep);
    assert_eq!(after(&d), ["knee"]);
    d.send(PageEvent::Open { spot: Spot::Surgery { position: 1 } });
    let page = d.act(Deed::Remove);
    assert!(actions(&page).iter().any(|(label, _)| label.starts_with("Touch again")));
    assert_eq!(after(&d), ["knee"], "one touch takes nothing away");
    d.act(Deed::Remove);
    assert!(after(&d).is_empty());
}

#[test]
fn in_pregnancy_the_careful_default_holds_until_whole_limits_and_a_birth_ends_them() {
    let mut d = Desk::new();
    d.now = 30 * DAY_S;
    d.screen("yes", "no", "no");
    let page = d.go(Spot::Maternity);
    assert!(said(&page).contains("Private and voluntary") && actions(&page).is_empty());
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("What holds for you?"));
    d.choose("state", "pregnant");
    let before = d.c.brief_of_today(&d.moment()).limits;
    assert!(!before.no_maximal_lifts, "nothing is told before it is kept");
    d.act(Deed::Keep);
    let limits = |d: &Desk| d.c.brief_of_today(&d.moment()).limits;
    let now = limits(&d);
    assert!(now.no_maximal_lifts && now.no_long_breath_hold && now.no_lying_on_back && now.no_lying_on_front);
    assert_eq!(now.screening, Screening::AnsweredLightToModerate);
    assert!(said(&d.page()).contains("Stop and contact your maternity care for bleeding"));
    d.choose("advised_by", "the midwife");
    d.choose("advised_on", "2026-06-01");
    d.choose("no_limits", "yes");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("next review"), "in part it does not count");
    d.choose("review_on", "2026-05-31");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("31 May 2026 is before 1 June 2026"));
    d.choose("review_on", "2026-07-01");
    d.choose("lying_flat", "yes");
    d.choose("due_on", "2026-11-20");
    d.act(Deed::Keep);
    let now = limits(&d);
    assert!(now.no_maximal_lifts && !now.no_lying_on_back && !now.no_lying_on_front);
    d.now += 40 * DAY_S;
    assert!(limits(&d).no_lying_on_back, "past the review the careful default holds again");
    let page = d.go(Spot::Maternity);
    assert!(said(&page).contains("The day of review has passed"));
    assert_eq!(entry(&page, "due_on"), Some("2026-11-20"));
    let page = d.choose("state", "after_birth");
    assert_eq!(
        entry(&page, "advised_by"),
        Some(""),
        "what was advised before a birth is not offered after it"
    );
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Day of the birth"));
    d.choose("birth_on", "2026-07-10");
    d.act(Deed::Keep);
    assert!(limits(&d).no_maximal_lifts && limits(&d).no_lying_on_back);
    d.choose("advised_by", "the midwife");
    d.choose("advised_on", "2026-07-10");
    d.choose("no_limits", "yes");
    d.choose("review_on", "2026-09-01");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("write a later day"));
    d.choose("advised_on", "2026-07-11");
    d.choose("lying_flat", "yes");
    d.act(Deed::Keep);
    assert!(!limits(&d).no_lying_on_back);
    d.choose("state", "none");
    d.act(Deed::Keep);
    assert!(!limits(&d).no_maximal_lifts);
}

#[test]
fn what_hurts_is_told_in_three_touches_and_is_over_with_one() {
    let mut d = Desk::new();
    let page = d.go(Spot::Discomfort);
    assert!(!asks(&page, "severity"), "where comes first");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Where?"));
    assert!(d.no_choice("region", "tail").contains("value"));
    d.choose("region", "knee");
    d.choose("severity", "moderate");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Do you know it?"));
    d.choose("nature", "usual");
    let page = d.act(Deed::Keep);
    let told = |d: &Desk| d.c.brief_of_today(&d.moment()).discomforts;
    let now = told(&d);
    assert_eq!(now.len(), 1);
    assert_eq!((now[0].region.as_str(), now[0].nature), ("knee", Nature::Usual));
    let field = d.of_kind(&Kind::Discomfort).iter().map(|e| format!("of.{}", e.id)).next().unwrap();
    assert_eq!(chosen(&page, &field), ["moderate", "usual"]);
    let page = d.choose(&field, "new_or_worse");
    assert!(said(&page).contains("stays out until licensed care was taken"));
    assert_eq!(told(&d)[0].nature, Nature::NewOrWorse);
    assert!(d.no_choice(&field, "gone").contains("value"));
    assert!(d.no_choice("of.nothing", "over").len() > 8);
    d.choose(&field, "over");
    d.now += DAY_S;
    assert!(told(&d).is_empty());
    assert_eq!(d.of_kind(&Kind::Discomfort).len(), 1, "it stays in the record");
}

#[test]
fn limits_hold_at_once_and_change_the_brief_in_its_own_entry() {
    let mut d = Desk::new();
    d.screen("yes", "no", "no");
    let page = d.go(Spot::Limits);
    assert!(chosen(&page, "breath").is_empty());
    assert_eq!(chosen(&page, "stiff_ankles"), ["no"]);
    d.choose("breath", "eye");
    let limits = |d: &Desk| d.c.brief_of_today(&d.moment()).limits;
    assert!(limits(&d).no_long_breath_hold);
    d.choose("breath", "eye");
    assert!(!limits(&d).no_long_breath_hold, "a second touch takes it back");
    d.choose("stiff_ankles", "yes");
    d.choose("no_lying_on_front", "yes");
    let page = d.choose("regions_out", "elbow");
    assert_eq!(chosen(&page, "regions_out"), ["elbow"]);
    let now = limits(&d);
    assert!(now.stiff_ankles && now.no_lying_on_front);
    assert_eq!(now.regions_out, ["elbow"]);
    assert_eq!(d.of_kind(&Kind::Brief).len(), 1);
    for (field, value) in [("breath", "lungs"), ("regions_out", "tail"), ("no_lying_on_back", "")] {
        assert!(d.no_choice(field, value).contains("value"));
    }
    assert!(d.no_choice("minor", "no").contains("minor"), "what safety sets is no wish");
    // A heart answers the question about known disease.
    d.choose("breath", "heart");
    assert_eq!(limits(&d).screening, Screening::AnsweredLightToModerate);
    // An older draft of the brief does not bring back what was left out since.
    d.choose("breath", "heart");
    d.go(Spot::Brief);
    d.choose("days", "2");
    d.go(Spot::Limits);
    d.choose("regions_out", "wrist");
    d.go(Spot::Brief);
    d.act(Deed::MakeWeek);
    assert_eq!(limits(&d).regions_out, ["elbow", "wrist"]);
}

#[test]
fn a_place_begins_as_a_copy_and_is_corrected_piece_by_piece() {
    let mut d = Desk::new();
    d.go(Spot::Kits);
    assert!(d.no_choice("add", "moon").contains("value"));
    d.choose("add", "small_gym");
    let id = d.of_kind(&Kind::Kit)[0].id.to_string();
    let page = d.page();
    assert_eq!(page.title, "Small gym");
    assert_eq!(entry(&d.choose("name", "Cellar"), "name"), Some("Cellar"));
    assert!(d.no_choice("name", " ").contains("Name of the place"));
    assert!(d.no_choice("name", &"x".repeat(10_000)).contains("at most 80"));
    let part = |d: &mut Desk, part| d.go(Spot::PartOfKit { id: id.clone(), part });
    let page = part(&mut d, KitPart::Pieces);
    assert!(chosen(&page, "piece").contains(&"cable".to_owned()));
    let page = d.choose("piece", "cable");
    assert!(!chosen(&page, "piece").contains(&"cable".to_owned()));
    for piece in ["floor", "moon"] {
        assert!(d.no_choice("piece", piece).contains("value"));
    }

    part(&mut d, KitPart::Bars);
    let page = d.choose("bar_mass:0", "44 lb");
    assert!(said(&page).contains("Barbell: 44 lb, 1 of it"), "pounds among kilograms");
    assert!(d.no_choice("bar_mass:0", "1e9").contains("Mass of: Barbell: \"1e9\" is no mass"));
    assert!(d.no_choice("bar_mass:99", "20").contains("bar_mass:99"));
    let page = d.choose("add_bar", "barbell");
    assert!(said(&page).contains("Barbell 2: 20 kg"));
    let page = d.choose("bar:0", "fewer:1");
    assert!(!said(&page).contains("44 lb"), "the last one is gone");
    assert!(d.no_choice("bar:0", "fewer:3").contains("value"));
    let page = d.choose("collars", "0,5");
    assert_eq!(entry(&page, "collars"), Some("0.5 kg"));
    assert!(d.no_choice("collars", "25").contains("collars.mass"));
    assert_eq!(entry(&d.choose("collars", ""), "collars"), Some(""));

    part(&mut d, KitPart::Discs);
    let page = d.choose("disc:0", "fewer:2");
    assert!(said(&page).contains("25 kg: 6 discs"));
    let page = d.choose("disc", "45 lb");
    assert!(said(&page).contains("45 lb: 2 discs"));
    for text in ["0", "-1", "1e9", "", &"9".repeat(10_000)] {
        assert!(d.no_choice("disc", text).contains("is no mass"), "{text}");
    }
    for _ in 0..3 {
        d.choose("disc:0", "fewer:2");
    }
    assert!(!said(&d.page()).contains("\"25 kg:"), "none of them is left");

    part(&mut d, KitPart::Dumbbells);
    let page = d.choose("row:1", "fewer:1");
    assert!(said(&page).contains("12 kg to 38 kg, 2 kg apart"));
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("Lightest"));
    d.choose("from", "50");
    d.choose("to", "42");
    d.choose("step", "2");
    assert!(d.no(PageEvent::Do { deed: Deed::Keep }).contains("below the lightest"));
    d.choose("from", "40");
    assert!(said(&d.act(Deed::Keep)).contains("40 kg to 42 kg, 2 kg apart"));
    let page = d.choose("row:2", "away");
    assert!(!said(&page).contains("40 kg to 42 kg"));

    part(&mut d, KitPart::Kettlebells);
    assert!(said(&d.choose("kettlebell", "9 kg")).contains("9 kg"));
    d.choose("kettlebell_off", "0");
    assert!(d.no_choice("kettlebell_off", "99").contains("value"));

    part(&mut d, KitPart::Stacks);
    assert!(d.no_choice("machine", "moon").contains("value"));
    for (field, value) in
        [("machine", "leg_curl_machine"), ("from", "10 lb"), ("to", "150 lb"), ("step", "10 lb")]
    {
        d.choose(field, value);
    }
    let page = d.act(Deed::Keep);
    assert!(said(&page).contains("10 lb to 150 lb, 10 lb apart"));
    let page = d.choose("add_on:1", "5 lb");
    assert!(said(&page).contains("Take the 5 lb on top away"));
    let page = d.choose("stack:1", "more:1");
    assert!(said(&page).contains("10 lb to 160 lb"));

    part(&mut d, KitPart::Bands);
    assert!(said(&d.choose("band", "the red one")).contains("the red one"));

    // What the week is made from takes the place as it is.
    d.go(Spot::Brief);
    let page = d.choose("place", &id);
    assert_eq!(chosen(&page, "place"), std::slice::from_ref(&id));
    d.act(Deed::MakeWeek);
    assert!(!d.c.brief().equipment.contains(&"cable".to_owned()));
    let kit = d.c.brief().kit.clone().unwrap();
    assert_eq!(kit.stacks.len(), 2);
    let units: BTreeSet<&str> = kit.discs.iter().map(|d| d.mass.unit().symbol()).collect();
    assert_eq!(units.into_iter().collect::<Vec<_>>(), ["kg", "lb"]);

    d.go(Spot::Kit { id: id.clone() });
    let page = d.act(Deed::Remove);
    assert!(actions(&page)[0].0.contains("taken away: Cellar"), "the second touch names it");
    d.act(Deed::Remove);
    assert!(d.of_kind(&Kind::Kit).is_empty());
    assert!(d.no(PageEvent::Open { spot: Spot::Kit { id } }).contains("not there"));
}

#[test]
fn a_rest_of_ones_own_is_stepped_on_the_line_and_let_go() {
    let mut d = Desk::new();
    d.send(PageEvent::Place { place: Place::Week });
    d.act(Deed::MakeWeek);
    let line = d.c.programme().unwrap().1.days[0].lines[0].clone();
    let key = format!("rest_s.{}", line.movement);
    let page = d.send(PageEvent::Open { spot: Spot::Line { day: 0, line: 0 } });
    assert_eq!(chosen(&page, "rest"), ["proposed"]);
    let longer = (line.rest_s + 15).to_string();
    let page = d.choose("rest", &longer);
    assert!(chosen(&page, "rest").is_empty());
    let settings = d.of_kind(&Kind::Setting);
    let kept = settings
        .iter()
        .map(|e| plinth_core::record::SettingFields::read(e).0)
        .find(|f| f.key.as_ref() == Some(&key));
    assert_eq!(kept.unwrap().value.unwrap().to_string(), longer);
    for value in ["0", "14", "901", "-15", "1e2", ""] {
        assert!(d.no_choice("rest", value).contains("value"));
    }
    assert!(d.no_choice("sets", "3").contains("sets"));
    assert_eq!(chosen(&d.choose("rest", "proposed"), "rest"), ["proposed"]);
    assert!(d.of_kind(&Kind::Setting).is_empty());
    d.send(PageEvent::Place { place: Place::Week });
    assert!(d.no_choice("rest", "60").contains("rest"), "on the line only");
}

#[test]
fn files_come_in_and_everything_goes_only_by_a_second_touch() {
    let mut d = Desk::new();
    d.go(Spot::Record);
    let take = |d: &mut Desk, deed: Deed| d.c.dispatch(PageEvent::Do { deed }, &at(9)).unwrap().effects;
    for kind in [FileKind::Record, FileKind::Sets] {
        assert_eq!(take(&mut d, Deed::TakeFile { kind }), [Effect::TakeFile { kind }]);
    }
    assert_eq!(take(&mut d, Deed::Remove), [], "the first touch erases nothing");
    let named = actions(&d.page()).last().unwrap().0.clone();
    assert!(named.starts_with("Touch again, and everything"), "{named}");
    d.act(Deed::Check);
    assert_eq!(take(&mut d, Deed::Remove), [], "another touch came between");
    let mut d = d.again();
    assert_eq!(take(&mut d, Deed::Remove), [], "a new process asks anew");
    assert_eq!(take(&mut d, Deed::Remove), [Effect::EraseEverything]);
}

#[test]
fn the_list_of_parts_is_that_of_the_lock_file() {
    let lock = include_str!("../../Cargo.lock");
    let list = include_str!("../../core/data/licences.csv");
    let mut reader = csv::Reader::from_reader(list.as_bytes());
    let listed: BTreeSet<(String, String)> =
        reader.records().map(|r| r.unwrap()).map(|r| (r[0].to_owned(), r[1].to_owned())).collect();
    assert!(listed.len() > 50);
    for (name, version) in listed.iter().filter(|(_, version)| !version.is_empty()) {
        let locked = format!("name = \"{name}\"\nversion = \"{version}\"\n");
        assert!(lock.contains(&locked), "{name} {version} is not in Cargo.lock: renew licences.csv");
    }
    // What the core names itself is there.
    let manifest = include_str!("../../core/Cargo.toml");
    let needed = manifest.split("[dependencies]").nth(1).unwrap().split("\n[").next().unwrap();
    let names = needed.lines().filter_map(|l| l.split(['.', ' ', '=']).next()).filter(|n| !n.is_empty());
    for name in names.filter(|n| !n.starts_with('#')) {
        assert!(listed.iter().any(|(part, _)| part == name), "{name} is not in licences.csv: renew it");
    }
    let mut d = Desk::new();
    let page = d.go(Spot::Licences);
    assert!(said(&page).contains("serde_json") && said(&page).contains("SQLite"));
    let text = d.send(PageEvent::Open { spot: Spot::Licence { id: "MIT".into() } });
    assert!(said(&text).contains("WITHOUT WARRANTY OF ANY KIND"));
    assert!(d.no(PageEvent::Open { spot: Spot::Licence { id: "none".into() } }).contains("not there"));
}

#[test]
fn no_page_of_the_locker_answers_while_a_session_is_open() {
    let mut d = Desk::new();
    d.send(PageEvent::Place { place: Place::Week });
    d.act(Deed::MakeWeek);
    d.go(Spot::Profile);
    for event in [
        floor::Event::Company { company: floor::Company::Spotted },
        floor::Event::Safeties { there: true },
        floor::Event::Begin,
    ] {
        let now = d.moment();
        let update = d.c.dispatch(&event, &now).unwrap();
        assert_eq!(update.refused, None, "{event:?}");
    }
    let now = d.moment();
    let before = d.c.screen(&now).unwrap();
    let update = d.c.dispatch(PageEvent::Choose { field: "name".into(), value: "Ada".into() }, &now).unwrap();
    assert!(update.refused.is_some_and(|why| why.contains("session")));
    assert_eq!(update.screen, before);
}
