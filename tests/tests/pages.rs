//! The pages of the places besides the floor: every button of every page is accepted, every text is said, a killed
//! process comes back to the very page, and what cannot be is refused with its field.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::companion::{Companion, Effect, Event, Screen};
use plinth_core::floor;
use plinth_core::moment::Moment;
use plinth_core::page::{Block, By, Deed, FileKind, Keys, Page, PageButton, PageEvent, Place, Spot};
use plinth_core::store::system_random;
use plinth_core::words::Language;
use plinth_tests::faults::Folder;
use std::collections::{BTreeSet, VecDeque};
use std::path::Path;

fn at(seconds: i64) -> Moment {
    Moment {
        wall_ms: 1_777_800_000_000 + seconds * 1000,
        offset_min: 120,
        monotonic_ms: 1_000_000 + seconds.unsigned_abs() * 1000,
        boot: "b".into(),
    }
}

fn open(path: &Path, language: Language) -> Companion {
    Companion::open(path, language, &at(0), Box::new(system_random)).expect("it opens").companion
}

fn send(c: &mut Companion, event: impl Into<Event>) -> Page {
    let event = event.into();
    let update = c.dispatch(&event, &at(1)).expect("an answer");
    assert_eq!(update.refused, None, "{event:?}");
    update.screen.page().expect("a page")
}

fn refused(c: &mut Companion, event: impl Into<Event>) -> String {
    let before = c.screen(&at(1)).unwrap();
    let update = c.dispatch(event, &at(1)).expect("an answer");
    assert_eq!(update.screen, before, "what is refused changes nothing");
    update.refused.expect("it is refused")
}

fn buttons(page: &Page) -> Vec<PageButton> {
    let mut all: Vec<PageButton> = page.back.iter().chain(&page.contents).cloned().collect();
    for block in &page.blocks {
        match block {
            Block::Line { button } | Block::Action { button, .. } => all.push(button.clone()),
            Block::Question { buttons, .. } => all.extend(buttons.iter().cloned()),
            _ => {}
        }
    }
    all
}

/// Every text of a page, as JSON has them, ids aside.
fn texts(page: &Page) -> Vec<String> {
    fn collect(v: &serde_json::Value, key: &str, out: &mut Vec<String>) {
        match v {
            serde_json::Value::String(s) => out.push(format!("{key}={s}")),
            serde_json::Value::Array(a) => a.iter().for_each(|v| collect(v, key, out)),
            serde_json::Value::Object(o) => {
                for (k, v) in o.iter().filter(|(k, _)| !["event", "block", "place"].contains(&k.as_str())) {
                    collect(v, k, out);
                }
            }
            _ => {}
        }
    }
    let mut out = Vec::new();
    collect(&serde_json::to_value(page).unwrap(), "page", &mut out);
    out
}

fn judge(page: &Page) {
    for text in texts(page) {
        let (key, said) = text.split_once('=').unwrap();
        let place = format!("{}: {text}", page.title);
        assert!(!said.contains("{ $") && !said.contains("{$"), "{place}");
        if ["label", "spoken", "title", "text", "sentence", "head", "save"].contains(&key) {
            assert!(!said.trim().is_empty(), "{place}");
        }
        let looks_like_a_key = said.contains('-')
            && said.chars().all(|c| c.is_ascii_lowercase() || c == '-' || c.is_ascii_digit())
            && [
                "page",
                "pages",
                "head",
                "find",
                "place",
                "share",
                "occasion",
                "asks",
                "typed",
                "brief",
                "begin",
                "locker",
                "screening",
                "profile",
                "limits",
                "discomfort",
                "surgery",
                "maternity",
                "return",
                "gear",
                "grant",
                "grants",
            ]
            .contains(&said.split('-').next().unwrap());
        assert!(!looks_like_a_key, "a message's key instead of its words: {place}");
    }
}

/// Presses every button of every page, each page once by its place, title and lines.
fn crawl(c: &mut Companion) -> usize {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut open: VecDeque<Vec<PageEvent>> =
        Place::ALL.into_iter().skip(1).map(|place| vec![PageEvent::Place { place }]).collect();
    while let Some(way) = open.pop_front() {
        let mut page = None;
        for event in &way {
            page = Some(send(c, event));
        }
        let page = page.expect("a way leads somewhere");
        judge(&page);
        if !seen.insert(format!("{:?} {} {}", page.place, page.title, texts(&page).join("\n"))) {
            continue;
        }
        assert_eq!(
            c.screen(&at(1)).unwrap(),
            Screen::Page(Box::new(page.clone())),
            "asked again it is the same page"
        );
        for button in buttons(&page) {
            // Each page is opened by its spot, so that the way to it stays short.
            if let PageEvent::Open { spot } = &button.event {
                open.push_back(vec![PageEvent::Place { place: spot.place() }, button.event.clone()]);
            }
            if matches!(button.event, PageEvent::Back | PageEvent::Place { place: Place::Floor }) {
                let update = c.dispatch(&button.event, &at(1)).unwrap();
                assert_eq!(update.refused, None);
                send(c, &way[0]);
                for event in &way[1..] {
                    send(c, event);
                }
            }
        }
    }
    seen.len()
}

/// A record with a programme and a few sessions.
fn trained(folder: &Folder) -> std::path::PathBuf {
    let path = folder.file("record.plinth");
    let mut c = open(&path, Language::English);
    let week = send(&mut c, PageEvent::Place { place: Place::Week });
    assert!(matches!(
        &week.blocks[..],
        [Block::Sentence { .. }, Block::Action { wide: true, .. }, Block::Line { .. }]
    ));
    let week = send(&mut c, PageEvent::Do { deed: Deed::MakeWeek });
    assert!(week.blocks.iter().any(|b| matches!(b, Block::Tallies { tallies, .. } if tallies.len() > 10)));
    assert!(
        refused(&mut c, PageEvent::Do { deed: Deed::MakeWeek }).len() > 5,
        "a running one is not rewritten"
    );
    send_floor(&mut c, &floor::Event::Company { company: floor::Company::Spotted });
    send_floor(&mut c, &floor::Event::Safeties { there: true });
    send_floor(&mut c, &floor::Event::Begin);
    assert!(refused(&mut c, PageEvent::Place { place: Place::Week }).contains("session"));
    let mut done = 0;
    for n in 0..200 {
        let now = at(300 * n);
        let screen = c.floor(&now).unwrap();
        if screen.stage == "ended" {
            break;
        }
        assert!(screen.contents.is_empty(), "the places are hidden while a session is open");
        let row = screen.rows.iter().flat_map(|r| &r.buttons).next().map(|b| b.event.clone());
        let Some(event) = row.or(screen.wide.map(|w| w.event)) else { break };
        c.dispatch(&event, &now).unwrap();
        done += 1;
        if done > 25 {
            c.dispatch(floor::Event::Close, &now).unwrap();
            break;
        }
    }
    assert!(c.store().sums().movements().unwrap().len() > 1, "sets were logged");
    path
}

fn send_floor(c: &mut Companion, event: &floor::Event) {
    let update = c.dispatch(event, &at(1)).unwrap();
    assert_eq!(update.refused, None, "{event:?}");
}

#[test]
fn every_button_of_every_page_is_accepted_and_every_text_is_said_in_both_languages() {
    for language in Language::ALL {
        let folder = Folder::new();
        let path = trained(&folder);
        let mut c = open(&path, language);
        let pages = crawl(&mut c);
        println!("{language}: {pages} pages");
        assert!(pages > 150, "{pages}: movements, groups, lines, findings, locker");
    }
}

/// What each keyboard can write that is meant.
fn good(keys: Keys) -> &'static [&'static str] {
    match keys {
        Keys::Words => &["Ada", "Dr. Åse Ng-O'Neill, the hospital", "none", "Zwölf \u{1f3cb} Stück"],
        Keys::Whole => &["112", "+49 89 123-45"],
        Keys::Decimal => &["72.5", "72,5", "25 kg", "160 lb"],
        Keys::Date => &["2026-05-03", "1.5.2026", "1990-02-28"],
    }
}

/// What nobody means, for whichever keyboard.
fn hostile() -> Vec<String> {
    let texts = [
        "",
        " ",
        "\u{0}",
        "a\u{7}b",
        "\n\n",
        "1e9",
        "-1",
        "0",
        "NaN",
        "1.000,5",
        "9999999999999999999999",
        "2026-02-30",
        "2999-01-01",
        "0000-00-00",
        "3000.1.1",
        "yes'); DROP TABLE entry; --",
        "<b>x</b>",
        "{ x }",
        "\u{202e}abc",
        "\u{663}\u{665} kg",
        "%n%s",
    ];
    texts.iter().map(ToString::to_string).chain([10_000, 100_000].map(|n| "x".repeat(n))).collect()
}

/// Goes to a page by its spot.
fn go(c: &mut Companion, spot: &Spot) -> Option<Page> {
    send(c, PageEvent::Place { place: spot.place() });
    let update = c.dispatch(PageEvent::Open { spot: spot.clone() }, &at(1)).expect("an answer");
    if update.refused.is_some() { None } else { update.screen.page() }
}

/// Writes every text into every line to write in, and touches every answer and action of every page of the locker.
/// What is refused is refused in words and changes nothing.
#[test]
fn every_line_to_write_in_and_every_answer_holds_against_whatever_is_sent() {
    for language in Language::ALL {
        let folder = Folder::new();
        let mut c = open(&trained(&folder), language);
        raise_a_flag(&mut c);
        let mut seen: BTreeSet<Spot> = BTreeSet::new();
        let mut waiting = VecDeque::from([Spot::Locker]);
        let (mut kept, mut refused) = (0, 0);
        let mut touched: BTreeSet<String> = BTreeSet::new();
        while let Some(spot) = waiting.pop_front() {
            if !seen.insert(spot.clone()) {
                continue;
            }
            // What is touched brings up more to touch: at most so often.
            for _ in 0..6 {
                let Some(page) = go(&mut c, &spot) else { break };
                judge(&page);
                let mut events: Vec<PageEvent> = Vec::new();
                for block in &page.blocks {
                    if let Block::Entry { field, keys, .. } = block {
                        let all = hostile().into_iter().chain(good(*keys).iter().map(ToString::to_string));
                        events.extend(all.map(|value| PageEvent::Choose { field: field.clone(), value }));
                    }
                }
                for button in buttons(&page) {
                    match button.event {
                        PageEvent::Open { spot } if spot.place() == Place::Locker => waiting.push_back(spot),
                        PageEvent::Choose { .. } | PageEvent::Do { .. } => events.push(button.event),
                        _ => {}
                    }
                }
                let mut new = false;
                for event in events {
                    if !touched.insert(kind_of(&spot, &event)) {
                        continue;
                    }
                    new = true;
                    if go(&mut c, &spot).is_none() {
                        break;
                    }
                    let before = c.screen(&at(1)).unwrap();
                    let update = c.dispatch(&event, &at(1)).expect("an answer");
                    if let Some(why) = update.refused {
                        refused += 1;
                        assert_eq!(update.screen, before, "{spot:?} {event:?}");
                        let told = why.trim().chars().count();
                        assert!((8..700).contains(&told) && !why.contains(char::is_control), "{why:?}");
                    } else {
                        kept += 1;
                        judge(&update.screen.page().expect("a page"));
                    }
                }
                if !new {
                    break;
                }
            }
        }
        println!("{language}: {} pages, {kept} kept, {refused} refused", seen.len());
        assert!(seen.len() >= 12 && kept > 100 && refused > 300, "{seen:?} {kept} {refused}");
        assert_eq!(c.check().unwrap().first_fault(), None, "whatever was kept is a sound record");
    }
}

/// A touch without what numbers it: the third disc of the second place is asked as the first of the first is.
fn kind_of(spot: &Spot, event: &PageEvent) -> String {
    let spot = match spot {
        Spot::Kit { .. } => "kit".to_owned(),
        Spot::PartOfKit { part, .. } => format!("{part:?}"),
        Spot::Surgery { .. } => "surgery".to_owned(),
        Spot::Grant { .. } => "grant".to_owned(),
        Spot::Licence { .. } => "licence".to_owned(),
        other => format!("{other:?}"),
    };
    match event {
        PageEvent::Choose { field, value } => {
            let field = field.split([':', '.']).next().unwrap_or(field);
            format!("{spot} {field} {value}")
        }
        other => format!("{spot} {other:?}"),
    }
}

/// A sign that was confirmed the day before.
fn raise_a_flag(c: &mut Companion) {
    let rules = plinth_core::safety::Rules::builtin().unwrap();
    let raised = plinth_core::safety::raise(&rules, c.catalogue(), "locking", Some("knee")).unwrap();
    let confirmed = raised.confirm("locking", Some("knee"), &at(-86_400), None).unwrap();
    let edit = plinth_core::record::Edit {
        id: plinth_core::record::EntryId::new(1, [7; 10]),
        kind: plinth_core::record::Kind::Flag,
        fields: confirmed.fields(),
    };
    c.edit(&[edit], &at(1)).unwrap();
}

#[test]
fn a_killed_process_comes_back_to_the_very_page() {
    let folder = Folder::new();
    let path = trained(&folder);
    let mut c = open(&path, Language::English);
    send(&mut c, PageEvent::Place { place: Place::Catalogue });
    send(&mut c, PageEvent::Open { spot: Spot::Groups { by: By::Limit } });
    let page = send(&mut c, PageEvent::Open { spot: Spot::Group { by: By::Limit, id: "knee".into() } });
    drop(c);
    let mut c = open(&path, Language::English);
    assert_eq!(c.screen(&at(2)).unwrap(), Screen::Page(Box::new(page)));
    // A tick of the floor's clock leaves it open; a session that begins leads to the floor.
    let update = c.dispatch(floor::Event::Tick, &at(3)).unwrap();
    assert!(matches!(update.screen, Screen::Page(_)));
    let back = send(&mut c, PageEvent::Back);
    assert_eq!(back.title, "By what they spare");
    for event in [
        floor::Event::Company { company: floor::Company::Spotted },
        floor::Event::Safeties { there: true },
        floor::Event::Begin,
    ] {
        c.dispatch(&event, &at(100_000)).unwrap();
    }
    assert!(matches!(c.screen(&at(100_000)).unwrap(), Screen::Floor(_)));
}

#[test]
fn what_is_not_there_or_cannot_be_is_refused_in_words() {
    let folder = Folder::new();
    let mut c = open(&trained(&folder), Language::German);
    send(&mut c, PageEvent::Place { place: Place::Locker });
    for spot in [
        Spot::Movement { id: "no_such".into() },
        Spot::Group { by: By::Muscle, id: "no_such".into() },
        Spot::FindingsOf { movement: "no_such".into() },
        Spot::Line { day: 99, line: 0 },
        Spot::Line { day: 0, line: u32::MAX },
    ] {
        assert_eq!(refused(&mut c, PageEvent::Open { spot }), "Das gibt es nicht mehr.");
    }
    refused(&mut c, PageEvent::Back);
    for deed in [Deed::Check, Deed::MakeKey, Deed::MakeWeek, Deed::GiveFile { kind: FileKind::Sets }] {
        refused(&mut c, PageEvent::Do { deed });
    }
    for deed in [Deed::TakeFile { kind: FileKind::Record }, Deed::ChooseFolder, Deed::Restore] {
        refused(&mut c, PageEvent::Do { deed });
    }
    let choose = |field: &str, value: &str| PageEvent::Choose { field: field.into(), value: value.into() };
    assert!(refused(&mut c, choose("language", "en")).contains("language"));
    send(&mut c, PageEvent::Open { spot: Spot::Settings });
    assert!(refused(&mut c, choose("colour", "red")).contains("colour"));
    assert!(refused(&mut c, choose("language", "fr")).contains("value"));
}

#[test]
fn the_locker_does_what_it_says() {
    let folder = Folder::new();
    let path = trained(&folder);
    let mut c = open(&path, Language::English);
    send(&mut c, PageEvent::Open { spot: Spot::Settings });
    let german = send(&mut c, PageEvent::Choose { field: "language".into(), value: "de".into() });
    assert_eq!(german.title, "Einstellungen");
    drop(c);
    let mut c = open(&path, Language::English);
    assert_eq!(c.language(), Language::German, "kept in the record");
    send(&mut c, PageEvent::Open { spot: Spot::Backup });
    let words = send(&mut c, PageEvent::Do { deed: Deed::MakeKey });
    let shown =
        |p: &Page| p.blocks.iter().any(|b| matches!(b, Block::Words { words, .. } if words.len() == 24));
    assert!(shown(&words));
    assert!(c.backup_for_key().is_some());
    send(&mut c, PageEvent::Back);
    assert!(!shown(&send(&mut c, PageEvent::Open { spot: Spot::Backup })), "the words are shown once");
    drop(c);
    let bytes = std::fs::read(&path).unwrap();
    for block in &words.blocks {
        if let Block::Words { words, .. } = block {
            let key = words.join(" ");
            assert!(!bytes.windows(key.len()).any(|w| w == key.as_bytes()), "and kept nowhere");
        }
    }
    let mut c = open(&path, Language::English);
    send(&mut c, PageEvent::Open { spot: Spot::Record });
    let update = c.dispatch(PageEvent::Do { deed: Deed::GiveFile { kind: FileKind::Sets } }, &at(1)).unwrap();
    assert!(matches!(&update.effects[..], [Effect::GiveFile { kind: FileKind::Sets, name }]
        if name == "plinth-sets-2026-05-03.csv"));
    let checked = send(&mut c, PageEvent::Do { deed: Deed::Check });
    assert!(checked.told[0].contains("in Ordnung"), "{:?}", checked.told);
}

#[test]
fn the_locker_asks_the_platform_for_files() {
    let folder = Folder::new();
    let mut c = open(&folder.file("record.plinth"), Language::English);
    let does = |c: &mut Companion, deed: Deed| {
        let update = c.dispatch(PageEvent::Do { deed: deed.clone() }, &at(1)).unwrap();
        assert_eq!(update.refused, None, "{deed:?}");
        let offered = buttons(&update.screen.page().unwrap());
        assert!(
            offered.iter().any(|b| b.event == PageEvent::Do { deed: deed.clone() }),
            "{deed:?} is offered"
        );
        update.effects
    };
    send(&mut c, PageEvent::Open { spot: Spot::Record });
    for kind in [FileKind::Record, FileKind::Sets, FileKind::Programme] {
        assert_eq!(does(&mut c, Deed::TakeFile { kind }), [Effect::TakeFile { kind }]);
    }
    let programme = Deed::GiveFile { kind: FileKind::Programme };
    refused(&mut c, PageEvent::Do { deed: programme.clone() });
    send(&mut c, PageEvent::Open { spot: Spot::Backup });
    refused(&mut c, PageEvent::Do { deed: Deed::ChooseFolder });
    assert_eq!(does(&mut c, Deed::Restore), [Effect::Restore]);
    send(&mut c, PageEvent::Do { deed: Deed::MakeKey });
    assert_eq!(does(&mut c, Deed::ChooseFolder), [Effect::ChooseFolder]);
    drop(c);
    let trained = Folder::new();
    let mut c = open(&trained.file("record.plinth"), Language::English);
    send(&mut c, PageEvent::Place { place: Place::Week });
    send(&mut c, PageEvent::Do { deed: Deed::MakeWeek });
    send(&mut c, PageEvent::Open { spot: Spot::Record });
    let effects = does(&mut c, programme);
    assert!(
        matches!(&effects[..], [Effect::GiveFile { kind: FileKind::Programme, name }]
        if name == "plinth-programme-2026-05-03.json"),
        "{effects:?}"
    );
}
