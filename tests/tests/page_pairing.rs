//! Pairing with a server from the locker: what is typed, what the platform is asked for, what an answer does; which
//! hand touches; and charts among the findings.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::companion::{Companion, Effect, Event, PairAnswered};
use plinth_core::moment::Moment;
use plinth_core::page::{Block, Deed, Page, PageEvent, Place, Spot};
use plinth_core::store::system_random;
use plinth_core::sync::{Step, SyncFaultKind};
use plinth_core::words::Language;
use plinth_tests::faults::Folder;
use serde_json::Value;

const ADDRESS: &str = "https://192.168.1.20:8443";

/// 3 May 2026, and seconds later.
fn at(seconds: i64) -> Moment {
    Moment {
        wall_ms: 1_777_800_000_000 + seconds * 1000,
        offset_min: 120,
        monotonic_ms: 1_000_000_000 + u64::try_from(seconds).unwrap() * 1000,
        boot: "b".into(),
    }
}

fn opened(folder: &Folder, language: Language) -> Companion {
    let path = folder.file("record.plinth");
    Companion::open(&path, language, &at(0), Box::new(system_random)).expect("it opens").companion
}

fn on_page(c: &mut Companion, event: PageEvent) -> Result<(Page, Vec<Effect>), String> {
    let update = c.dispatch(Event::from(event), &at(1)).expect("an answer");
    match update.refused {
        Some(why) => Err(why),
        None => Ok((update.screen.page().expect("a page"), update.effects)),
    }
}

fn go(c: &mut Companion) -> Page {
    on_page(c, PageEvent::Place { place: Place::Locker }).unwrap();
    on_page(c, PageEvent::Open { spot: Spot::Pairing }).unwrap().0
}

fn choose(c: &mut Companion, field: &str, value: &str) -> Result<(Page, Vec<Effect>), String> {
    on_page(c, PageEvent::Choose { field: field.into(), value: value.into() })
}

fn act(c: &mut Companion, deed: Deed) -> Result<(Page, Vec<Effect>), String> {
    on_page(c, PageEvent::Do { deed })
}

fn said(page: &Page) -> String {
    serde_json::to_string(page).unwrap()
}

fn value_of<'a>(page: &'a Page, of: &str) -> &'a str {
    let found = page.blocks.iter().find_map(|b| match b {
        Block::Entry { field, value, .. } if field == of => Some(value.as_str()),
        _ => None,
    });
    found.unwrap_or_else(|| panic!("no line for {of}"))
}

fn answered(status: u16, body: &[u8]) -> PairAnswered<'_> {
    PairAnswered { address: ADDRESS, status, body }
}

const GOOD: &[u8] = br#"{"token":"t0ken","account":"Lifter 1","role":"lifter","newer":1}"#;

#[test]
fn an_invitation_fills_the_lines_and_the_platform_is_asked_to_hand_in_its_code() {
    let folder = Folder::new();
    let mut c = opened(&folder, Language::English);
    let page = go(&mut c);
    assert!(said(&page).contains("on this device alone"), "{page:?}");
    let certificate = "ab".repeat(32);
    let line = format!("  plinth:pair?at={ADDRESS}&certificate={certificate}&code=abcd-2345 ");
    let (page, effects) = choose(&mut c, "invitation", &line).unwrap();
    assert_eq!(effects, []);
    assert!(page.told.join(" ").contains(ADDRESS), "{:?}", page.told);
    assert_eq!(value_of(&page, "address"), ADDRESS);
    assert_eq!(value_of(&page, "code"), "ABCD2345");
    assert_eq!(value_of(&page, "certificate"), certificate);
    let (page, _) = choose(&mut c, "name", " my  phone ").unwrap();
    assert_eq!(value_of(&page, "name"), "my phone");
    // A killed process holds what was written.
    drop(c);
    let mut c = opened(&folder, Language::English);
    let (_, effects) = act(&mut c, Deed::Pair).unwrap();
    let [Effect::Pair { address, certificate: Some(given), path, body }] = &effects[..] else {
        panic!("{effects:?}");
    };
    assert_eq!((address.as_str(), given, path.as_str()), (ADDRESS, &certificate, "/v1/pair"));
    let body: Value = serde_json::from_str(body).unwrap();
    assert_eq!((&body["code"], &body["name"]), (&"ABCD2345".into(), &"my phone".into()));
    assert_eq!(body["device"], c.store().device().to_string());
    // Nothing is paired before there is an answer.
    assert_eq!(c.pairing().unwrap(), None);
    assert_eq!(c.paired(&answered(200, GOOD), &at(2)).unwrap(), "t0ken");
    let paired = c.pairing().unwrap().expect("paired");
    assert_eq!(
        (paired.address.as_str(), paired.account.as_str(), paired.metered),
        (ADDRESS, "Lifter 1", false)
    );
    let page = c.screen(&at(3)).unwrap().page().unwrap();
    assert!(page.told.join(" ").contains("Paired with"), "{page:?}");
    assert!(said(&page).contains("3 May 2026") && said(&page).contains("Not brought together yet"));
    // Neither the token nor the code lies in the file.
    drop(c);
    let bytes: Vec<u8> = ["record.plinth", "record.plinth-wal"]
        .iter()
        .flat_map(|name| std::fs::read(folder.file(name)).unwrap_or_default())
        .collect();
    assert!(!bytes.windows(6).any(|w| w == b"t0ken\""));
    assert!(opened(&folder, Language::English).pairing().unwrap().is_some(), "it outlives the process");
}

#[test]
fn what_is_written_wrong_is_refused_by_field_in_both_languages() {
    for (language, names) in [
        (Language::English, ["Invitation", "Address", "Fingerprint", "Code"]),
        (Language::German, ["Einladung", "Adresse", "Fingerabdruck", "Code"]),
    ] {
        let folder = Folder::new();
        let mut c = opened(&folder, language);
        go(&mut c);
        let why = choose(&mut c, "invitation", "https://192.168.1.20").unwrap_err();
        assert!(why.starts_with(names[0]), "{why}");
        let pair_with = |c: &mut Companion, address: &str, certificate: &str, code: &str| {
            for (field, value) in [("address", address), ("certificate", certificate), ("code", code)] {
                choose(c, field, value).unwrap();
            }
            act(c, Deed::Pair)
        };
        let why = pair_with(&mut c, "http://192.168.1.20", "", "ABCDEF").unwrap_err();
        assert!(why.starts_with(names[1]), "{why}");
        let why = pair_with(&mut c, ADDRESS, "abc", "ABCDEF").unwrap_err();
        assert!(why.starts_with(names[2]), "{why}");
        let why = pair_with(&mut c, ADDRESS, "", "AB").unwrap_err();
        assert!(why.starts_with(names[3]), "{why}");
        let (_, effects) = pair_with(&mut c, ADDRESS, "", "ab cd-ef").unwrap();
        assert!(matches!(&effects[..], [Effect::Pair { certificate: None, .. }]), "{effects:?}");
        for (field, value) in
            [("address", "x".repeat(2_000)), ("name", "x".repeat(100)), ("token", "x".into())]
        {
            assert!(choose(&mut c, field, &value).is_err(), "{field}");
        }
        for (deed, when) in [(Deed::Remove, "nothing to part from"), (Deed::Sync, "nothing to sync with")] {
            assert!(act(&mut c, deed).is_err(), "{when}");
        }
    }
}

#[test]
fn an_answer_that_pairs_nothing_says_why_and_what_to_do() {
    let folder = Folder::new();
    let mut c = opened(&folder, Language::German);
    go(&mut c);
    for (status, body, code) in [
        (401, &b"{}"[..], "pair_code"),
        (404, b"", "pair_code"),
        (403, br#"{"code":"code","field":"code","reason":"r","remedy":"r"}"#, "pair_code"),
        (403, br#"{"code":"too_many_devices","field":null,"reason":"r","remedy":"r"}"#, "pair_devices"),
        (429, b"", "pair_often"),
        (426, b"", "pair_old"),
        (500, b"", "pair_answer"),
        (200, b"<html>", "pair_answer"),
        (200, br#"{"token":"","account":"a","role":"lifter"}"#, "pair_answer"),
        (200, br#"{"token":"a b","account":"a","role":"lifter"}"#, "pair_answer"),
        (302, b"", "pair_answer"),
    ] {
        let e = c.paired(&answered(status, body), &at(2)).unwrap_err();
        assert_eq!(e.code, code, "{status}");
        assert!(!e.remedy.is_empty() && !e.problem.contains("the "), "German: {e}");
        assert_eq!(c.pairing().unwrap(), None);
    }
}

#[test]
fn parting_takes_two_touches_and_a_metered_connection_is_allowed_by_device() {
    let folder = Folder::new();
    let mut c = opened(&folder, Language::English);
    go(&mut c);
    c.paired(&answered(200, GOOD), &at(2)).unwrap();
    assert_eq!(act(&mut c, Deed::Sync).unwrap().1, [Effect::AskForSync]);
    assert_eq!(choose(&mut c, "metered", "yes").unwrap().1, [Effect::AllowMetered { on: true }]);
    assert!(choose(&mut c, "metered", "perhaps").is_err());
    assert!(choose(&mut c, "address", ADDRESS).is_err(), "it is paired");
    assert!(act(&mut c, Deed::Pair).is_err(), "it is paired");
    assert!(c.pairing().unwrap().is_some_and(|p| p.metered));
    let entries = c.check().unwrap().entries;
    let (page, effects) = act(&mut c, Deed::Remove).unwrap();
    assert_eq!(effects, []);
    assert!(said(&page).contains("Yes, part from this server"));
    act(&mut c, Deed::Sync).unwrap();
    assert_eq!(act(&mut c, Deed::Remove).unwrap().1, [], "another touch came between");
    let (page, effects) = act(&mut c, Deed::Remove).unwrap();
    assert_eq!(effects, [Effect::Unpair]);
    assert!(page.told.join(" ").contains("no server any more"));
    assert_eq!(c.pairing().unwrap(), None);
    assert_eq!(c.check().unwrap().entries, entries, "the record stays");
}

#[test]
fn a_sync_that_stops_is_told_in_the_lifters_language() {
    let folder = Folder::new();
    let mut c = opened(&folder, Language::German);
    let mut exchange = c.begin_exchange("t0ken").unwrap();
    for (status, kind, part) in [
        (503, SyncFaultKind::Later, "von selbst"),
        (401, SyncFaultKind::Token, "Einladung"),
        (426, SyncFaultKind::TooOld, "aktualisiere"),
        (418, SyncFaultKind::Protocol, "status_418"),
    ] {
        let Step::Send(_) = c.next_of(&mut exchange, &at(1)).unwrap() else { panic!("nothing to send") };
        let fault = c.answer_to(&mut exchange, status, None, b"", &at(1)).unwrap_err();
        assert_eq!(fault.kind, kind);
        let (problem, remedy) = c.sync_fault_said(&fault);
        assert!(format!("{problem}; {remedy}").contains(part), "{problem}; {remedy}");
        assert!(problem.contains("er Server") || problem.contains("dieses Programm"), "{problem}");
    }
}

#[test]
fn the_hand_is_a_setting_that_every_screen_carries() {
    let folder = Folder::new();
    let mut c = opened(&folder, Language::English);
    assert!(!c.floor(&at(1)).unwrap().mirrored);
    on_page(&mut c, PageEvent::Place { place: Place::Locker }).unwrap();
    let (page, _) = on_page(&mut c, PageEvent::Open { spot: Spot::Settings }).unwrap();
    assert!(!page.mirrored);
    assert!(choose(&mut c, "hand", "both").is_err());
    assert!(choose(&mut c, "hand", "left").unwrap().0.mirrored);
    drop(c);
    let mut c = opened(&folder, Language::English);
    assert!(c.floor(&at(1)).unwrap().mirrored);
    assert!(!choose(&mut c, "hand", "right").unwrap().0.mirrored);
}
