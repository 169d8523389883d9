//! What comes from a coach, on the phone: a programme that waits with what this phone would change in it, notes both
//! ways, and who looked.
#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

use chrono::{Datelike, Days, NaiveDate, Weekday};
use plinth_core::catalogue::OwnMovement;
use plinth_core::companion::{Companion, Event, PairAnswered, Update};
use plinth_core::floor;
use plinth_core::moment::Moment;
use plinth_core::page::{Block, Deed, Page, PageEvent, Place, Spot};
use plinth_core::plan::brief::Brief;
use plinth_core::plan::programme::Programme;
use plinth_core::published::signed::Key;
use plinth_core::record::{
    DeviceId, Document, Edit, Entry, EntryId, Kind, NoteFields, ProgrammeFields, Stamp, View, Writer,
};
use plinth_core::store::system_random;
use plinth_core::sync::{AuditDeed, AuditLine, Step};
use plinth_core::words::{self, Language};
use plinth_tests::Data;
use plinth_tests::faults::Folder;
use plinth_tests::meeting_point::MeetingPoint;
use serde_json::Value;

const DAY_MIN: i64 = 24 * 60;

/// So many minutes after the start, on both clocks.
fn at(minutes: i64) -> Moment {
    Moment { monotonic_ms: 1_000 + minutes.unsigned_abs() * 60_000, ..plinth_tests::faults::at(minutes) }
}

/// Minutes to noon of the first such weekday that is `weeks` weeks on.
fn noon_of(weekday: Weekday, weeks: i64) -> i64 {
    let mut minutes = weeks * 7 * DAY_MIN;
    while at(minutes).local().weekday() != weekday {
        minutes += DAY_MIN;
    }
    minutes
}

fn day_of(minutes: i64) -> NaiveDate {
    at(minutes).local().date_naive()
}

struct Phone {
    c: Companion,
    now: i64,
    _folder: Folder,
}

impl Phone {
    fn new(brief: Option<&Brief>) -> Self {
        let folder = Folder::new();
        let path = folder.file("record.plinth");
        let now = noon_of(Weekday::Wed, 1);
        let random = Box::new(system_random);
        let mut c = Companion::open(&path, Language::English, &at(now), random).unwrap().companion;
        if let Some(brief) = brief {
            c.tell_brief(&serde_json::to_vec(brief).unwrap(), &at(now)).unwrap();
        }
        Self { c, now, _folder: folder }
    }

    fn dispatch(&mut self, event: PageEvent) -> Update {
        self.c.dispatch(Event::from(event), &at(self.now)).expect("an answer")
    }

    fn send(&mut self, event: PageEvent) -> Page {
        let update = self.dispatch(event);
        assert_eq!(update.refused, None);
        update.screen.page().expect("a page")
    }

    fn refused(&mut self, event: PageEvent) -> String {
        self.dispatch(event).refused.expect("it is refused")
    }

    fn go(&mut self, place: Place) -> Page {
        self.send(PageEvent::Place { place })
    }

    fn open(&mut self, spot: Spot) -> Page {
        self.send(PageEvent::Open { spot })
    }

    fn act(&mut self, deed: Deed) -> Page {
        self.send(PageEvent::Do { deed })
    }

    /// Something that a coach wrote comes by a sync.
    fn comes(&mut self, edit: &Edit, millis: u64) {
        let mut entry = Entry::new(edit.id, edit.kind.clone());
        let stamp = Stamp { millis, counter: 0, device: DeviceId::new(9) };
        entry.write(edit, stamp).unwrap();
        self.c.merge(&[entry]).unwrap();
        self.c.read_again(&at(self.now)).unwrap();
    }

    fn sent(&mut self, n: u64, programme: &Programme, title: &str, version: u32) -> EntryId {
        let id = EntryId::new(1_700_000_000_000 + n, [3; 10]);
        let fields = ProgrammeFields {
            title: Some(title.into()),
            from: Some("mara".into()),
            version: Some(version),
            made_at: Some(plinth_core::record::Time::of(&at(self.now))),
            ..document(programme)
        };
        self.comes(&fields.edit(id), 1_700_000_000_000);
        id
    }

    fn running(&self) -> Option<(EntryId, Programme, NaiveDate)> {
        self.c.programme().map(|(id, p, from)| (id, p.clone(), from))
    }

    fn fields(&self, id: EntryId) -> ProgrammeFields {
        ProgrammeFields::of(&self.c.store().entry(&id).unwrap().expect("it is there")).unwrap()
    }
}

fn document(programme: &Programme) -> ProgrammeFields {
    let Value::Object(map) = serde_json::to_value(programme).unwrap() else { panic!("an object") };
    ProgrammeFields { document: Some(Document(map)), ..ProgrammeFields::default() }
}

fn sentences(page: &Page) -> Vec<String> {
    let text = |b: &Block| match b {
        Block::Sentence { text } | Block::Heading { text } => Some(text.clone()),
        _ => None,
    };
    page.blocks.iter().filter_map(text).collect()
}

fn spots(page: &Page) -> Vec<Spot> {
    let spot = |b: &Block| match b {
        Block::Line { button } => match &button.event {
            PageEvent::Open { spot } => Some(spot.clone()),
            _ => None,
        },
        _ => None,
    };
    page.blocks.iter().filter_map(spot).collect()
}

fn deeds(page: &Page) -> Vec<Deed> {
    let deed = |b: &Block| match b {
        Block::Action { button, .. } => match &button.event {
            PageEvent::Do { deed } => Some(deed.clone()),
            _ => None,
        },
        _ => None,
    };
    page.blocks.iter().filter_map(deed).collect()
}

fn chosen(page: &Page) -> Vec<String> {
    let values = |b: &Block| match b {
        Block::Question { buttons, .. } => {
            buttons.iter().filter(|b| b.chosen).map(|b| b.label.clone()).collect()
        }
        _ => Vec::new(),
    };
    page.blocks.iter().flat_map(values).collect()
}

/// A gym's programme, and a lifter who has dumbbells and a bench only.
fn gym_and_home() -> (Data, Programme, Brief) {
    let data = Data::builtin().unwrap();
    let gym = data.gym();
    let programme = data.publish(&gym);
    let home =
        Brief { equipment: vec!["dumbbells".into(), "bench".into()], minutes: gym.minutes.clone(), ..gym };
    (data, programme, home)
}

fn at_spot(id: EntryId) -> Spot {
    Spot::Sent { id: id.to_string() }
}

#[test]
fn a_programme_waits_and_says_what_this_phone_would_change_and_why() {
    let (_, programme, home) = gym_and_home();
    let mut phone = Phone::new(Some(&home));
    assert!(!spots(&phone.go(Place::Week)).iter().any(|s| matches!(s, Spot::Sent { .. })));
    let id = phone.sent(1, &programme, "Evenings", 1);
    let week = phone.go(Place::Week);
    assert!(spots(&week).contains(&at_spot(id)));
    assert!(phone.running().is_none(), "nobody trains by what only waits");
    let page = phone.open(at_spot(id));
    assert_eq!(page.title, "Evenings");
    let told = sentences(&page);
    assert!(told[0].starts_with("From mara, version 1, made on "), "{}", told[0]);
    // The page tells every difference that the adaptation makes, and the adaptation makes some.
    let json = serde_json::to_vec(&programme).unwrap();
    let adapted = phone.c.adapted(&json, &at(phone.now)).unwrap();
    let all = words::adapt::differences(phone.c.speech(), phone.c.catalogue(), &programme, &adapted);
    assert!(!all.is_empty());
    assert!(all.iter().all(|d| told.contains(d)), "{told:?}");
    assert!(all.iter().any(|d| d.contains("kit is missing")), "{all:?}");
    // The week below is the adapted one.
    for line in adapted.programme.days.iter().flat_map(|d| &d.lines) {
        let name = phone.c.speech().movement_in(phone.c.catalogue(), &line.movement);
        assert!(told.iter().any(|t| t.starts_with(&format!("{name}: "))), "{name}");
    }
    assert_eq!(deeds(&page), [Deed::TakeOn, Deed::Remove]);
    assert_eq!(
        phone.refused(PageEvent::Open { spot: at_spot(EntryId::new(5, [0; 10])) }),
        "That is not there any more."
    );
}

#[test]
fn it_is_taken_on_from_the_day_that_is_chosen_and_the_week_before_is_trained_to_its_end() {
    let (data, programme, home) = gym_and_home();
    let mut phone = Phone::new(Some(&home));
    let own = data.publish(&home);
    let now = at(phone.now);
    let first = phone.c.take_on(&serde_json::to_vec(&own).unwrap(), "own", day_of(phone.now), &now).unwrap();
    let id = phone.sent(1, &programme, "Evenings", 1);
    phone.go(Place::Week);
    let page = phone.open(at_spot(id));
    let monday = day_of(noon_of(Weekday::Mon, 2));
    assert_eq!(
        chosen(&page),
        [format!("Monday, {}", phone.c.speech().date(monday))],
        "the week goes on to its end"
    );
    assert!(!phone.refused(PageEvent::Choose { field: "begins".into(), value: "tuesday".into() }).is_empty());
    let page = phone.send(PageEvent::Choose { field: "begins".into(), value: "today".into() });
    assert_eq!(chosen(&page), ["Today"]);
    phone.send(PageEvent::Choose { field: "begins".into(), value: "monday".into() });
    let page = phone.act(Deed::TakeOn);
    assert_eq!(page.title, "Week");
    assert_eq!(page.told, [format!("Taken on from {}.", phone.c.speech().date(monday))]);
    let (next, day) = (&programme.title, phone.c.speech().date(monday));
    let told = sentences(&page);
    assert!(told.contains(&format!("From {day}: {next}.")), "{told:?}");
    assert!(!spots(&page).contains(&at_spot(id)), "it waits no more");
    // Until Sunday the first goes on; on Monday the other is there without a touch.
    assert_eq!(phone.running().unwrap().0, first);
    phone.now = noon_of(Weekday::Sun, 1);
    phone.c.screen(&at(phone.now)).unwrap();
    assert_eq!(phone.running().unwrap().0, first);
    phone.now = noon_of(Weekday::Mon, 2);
    phone.c.screen(&at(phone.now)).unwrap();
    let (entry, runs, from) = phone.running().unwrap();
    assert_eq!((entry, from), (id, monday));
    let ended = phone.fields(first).ended_on.unwrap().0;
    assert_eq!(ended, monday.checked_sub_days(Days::new(1)).unwrap());
    // What is trained by is what it was adapted to; what was sent lies beside it as it came.
    let kept = phone.fields(id);
    assert_eq!(kept.document, document(&programme).document);
    let has = |p: &Programme| p.days.iter().flat_map(|d| &d.lines).any(|l| l.movement.contains("barbell"));
    assert!(has(&programme) && !has(&runs));
    // Whoever changes the document afterwards changes no week that runs.
    let other = document(&data.publish(&data.brief(2)));
    phone.comes(&other.edit(id), 9_000_000_000_000);
    assert_eq!(phone.running().unwrap().1, runs);
}

#[test]
fn a_newer_version_takes_the_place_of_one_that_waits_and_never_of_one_that_runs() {
    let (data, programme, _) = gym_and_home();
    let mut phone = Phone::new(Some(&data.gym()));
    let one = phone.sent(1, &programme, "Evenings", 1);
    phone.go(Place::Week);
    let page = phone.open(at_spot(one));
    assert!(sentences(&page).contains(&"Nothing: it fits as it is.".to_owned()), "{page:?}");
    phone.act(Deed::TakeOn);
    let runs = phone.running().unwrap();
    assert_eq!((runs.0, &runs.1), (one, &programme));
    let two = phone.sent(2, &programme, "Evenings", 2);
    let three = phone.sent(3, &programme, "Evenings", 3);
    let other = phone.sent(4, &programme, "Mornings", 1);
    let week = phone.go(Place::Week);
    let waiting: Vec<Spot> = spots(&week).into_iter().filter(|s| matches!(s, Spot::Sent { .. })).collect();
    assert!(waiting.contains(&at_spot(three)) && waiting.contains(&at_spot(other)) && waiting.len() == 2);
    assert_eq!(phone.running().unwrap(), runs);
    assert_eq!(phone.fields(two).accepted_at, None);
    // Put aside by two touches, and asked about no more.
    let page = phone.open(at_spot(three));
    assert_eq!(deeds(&page), [Deed::TakeOn, Deed::Remove]);
    phone.act(Deed::Remove);
    assert!(phone.fields(three).ended_on.is_none(), "one touch is none");
    let page = phone.act(Deed::Remove);
    assert_eq!(page.told, ["Put aside: Evenings."]);
    assert_eq!(spots(&page).iter().filter(|s| matches!(s, Spot::Sent { .. })).count(), 1);
    assert!(phone.fields(three).accepted_at.is_none() && phone.fields(three).ended_on.is_some());
}

#[test]
fn a_session_under_way_keeps_its_version_and_a_file_waits_for_its_end() {
    let (data, programme, _) = gym_and_home();
    let mut phone = Phone::new(Some(&data.gym()));
    let now = at(phone.now);
    phone.c.take_on(&serde_json::to_vec(&programme).unwrap(), "own", day_of(phone.now), &now).unwrap();
    for event in [floor::Event::Company { company: floor::Company::Spotted }, floor::Event::Begin] {
        assert_eq!(phone.c.dispatch(event.clone(), &now).unwrap().refused, None, "{event:?}");
    }
    let before = phone.c.floor(&now).unwrap();
    phone.sent(1, &data.publish(&data.brief(2)), "Evenings", 1);
    let signed = Key::of(&[7; 32])
        .sign(document(&programme).document.unwrap().0, "Coach M (invented)", 4, "2026-03-01T10:00:00Z")
        .unwrap();
    let file = serde_json::to_vec(&signed).unwrap();
    let kept = phone.c.receive(&file, &now).unwrap();
    assert_eq!(
        kept.refused.as_deref(),
        Some("The programme is kept. It waits on the page of the week until this session is closed.")
    );
    assert_eq!(kept.screen.floor(), Some(before));
    phone.c.dispatch(floor::Event::Close, &now).unwrap();
    let week = phone.go(Place::Week);
    assert_eq!(spots(&week).iter().filter(|s| matches!(s, Spot::Sent { .. })).count(), 2);
    // Outside a session its page opens, tells the key, and what comes twice waits once.
    let opened = phone.c.receive(&file, &now).unwrap().screen.page().unwrap();
    assert!(opened.told[0].contains(&signed.signer().fingerprint()), "{:?}", opened.told);
    assert!(
        sentences(&opened)[0].starts_with("From Coach M (invented), version 4, made on 1 March"),
        "{opened:?}"
    );
    let programmes = phone.c.store().of_kind(&Kind::Programme, None, 99).unwrap();
    assert_eq!(programmes.len(), 3);
    let mut changed = signed;
    changed.version = 5;
    let wrong = phone.c.receive(&serde_json::to_vec(&changed).unwrap(), &now).unwrap_err();
    assert!(wrong.to_string().contains("signature"), "{wrong}");
    assert_eq!(phone.c.store().of_kind(&Kind::Programme, None, 99).unwrap().len(), 3);
}

#[test]
fn a_movement_of_the_coachs_own_comes_with_the_programme_and_keeps_its_name() {
    let data = Data::builtin().unwrap();
    let own: OwnMovement = serde_json::from_value(serde_json::json!({
        "id": "own_sled_push", "name": "Sled push", "pattern": "squat", "tier": "compound",
        "joint_actions": ["knee extension"], "equipment": [[]], "laterality": "both", "load_kind": "sled",
        "axial": 0, "fatigue": 3, "skill": 1, "grip": 0, "pair_class": "legs", "set_up_s": 40, "ramp_sets": 1,
        "load_step_kg": "2.5",
        "trains": [{ "muscle": "quadriceps", "share": "direct", "reason": "knees extend against the sled" }]
    }))
    .unwrap();
    let brief = Brief { own_movements: vec![own.clone()], ..data.gym() };
    let (catalogue, faults) = data.catalogue.learning(&brief.own_movements);
    assert!(faults.is_empty(), "{faults:?}");
    let planner = plinth_core::plan::Planner::new(&catalogue, &data.weights);
    let effort = plinth_core::plan::search::Effort { evaluations: 20_000, chains: 1 };
    let mut programme = planner.programme(&brief, &planner.solve(&brief, effort, &mut |_| true)).programme;
    if programme.own_movements.is_empty() {
        let line = programme.days[0].lines.iter_mut().find(|l| !l.carrying).expect("a line that fills");
        line.movement = own.id.clone();
        programme.own_movements = vec![own.clone()];
    }
    let read =
        plinth_core::plan::programme::read_programme(&serde_json::to_vec(&programme).unwrap()).unwrap();
    assert_eq!(read, programme);
    let mut phone = Phone::new(Some(&data.gym()));
    let id = phone.sent(1, &programme, "Sleds", 1);
    phone.go(Place::Week);
    let told = sentences(&phone.open(at_spot(id)));
    assert!(told.iter().any(|t| t.starts_with("Sled push: ")), "{told:?}");
    assert!(!told.iter().any(|t| t.contains("own_sled_push")), "{told:?}");
    phone.send(PageEvent::Choose { field: "begins".into(), value: "today".into() });
    let week = phone.act(Deed::TakeOn);
    let named = |b: &Block| matches!(b, Block::Line { button } if button.label == "Sled push");
    assert!(week.blocks.iter().any(named), "{week:?}");
    assert_eq!(phone.running().unwrap().1.own_movements, [own]);
    // What is over keeps its name, and what is no movement is told and left out.
    let mut wrong = programme.clone();
    wrong.own_movements[0].id = "own_shove".into();
    wrong.own_movements[0].pattern = "shove".into();
    phone.sent(2, &wrong, "Shoves", 1);
    let other = serde_json::to_vec(&data.publish(&data.gym())).unwrap();
    phone.c.take_on(&other, "own", day_of(phone.now), &at(phone.now)).unwrap();
    assert!(phone.c.catalogue().movement("own_sled_push").is_some());
    assert!(phone.c.catalogue().movement("own_shove").is_none());
}

#[test]
fn nothing_is_taken_on_of_which_nothing_is_left() {
    let (_, programme, home) = gym_and_home();
    let all: Vec<String> = programme.days.iter().flat_map(|d| &d.lines).map(|l| l.movement.clone()).collect();
    let nowhere = Brief { equipment: Vec::new(), ..home };
    let mut phone = Phone::new(Some(&nowhere));
    let mut only = programme;
    // Of what needs a bar a lifter with nothing can do nothing, where every stand-in is ruled out too.
    only.never =
        phone.c.catalogue().movements.iter().map(|m| m.id.clone()).filter(|m| !all.contains(m)).collect();
    let id = phone.sent(1, &only, "", 1);
    phone.go(Place::Week);
    let page = phone.open(at_spot(id));
    assert_eq!(page.title, "A programme waits for you");
    let nothing = "Nothing of it is left for you as things stand today. Tell your coach.";
    assert!(sentences(&page).iter().any(|t| t == nothing), "{page:?}");
    assert_eq!(deeds(&page), [Deed::Remove]);
    assert_eq!(phone.refused(PageEvent::Do { deed: Deed::TakeOn }), nothing);
    assert!(phone.running().is_none());
}

#[test]
fn notes_go_both_ways_and_only_a_touch_says_that_one_was_read() {
    let mut phone = Phone::new(None);
    let note =
        |text: &str| NoteFields { text: Some(text.into()), by: Some(Writer::Coach), ..NoteFields::default() };
    let long = format!("Keep two in reserve. {}\nNo more than that.", "And again. ".repeat(20));
    let (first, second) = (EntryId::new(1, [1; 10]), EntryId::new(2, [1; 10]));
    phone.comes(&note(&long).edit(first), 1_700_000_000_000);
    phone.comes(&note("Well done.").edit(second), 1_700_000_000_001);
    phone.comes(&note("   ").edit(EntryId::new(3, [1; 10])), 1_700_000_000_002);
    let week = phone.go(Place::Week);
    let unread = |p: &Page| {
        p.blocks.iter().any(
            |b| matches!(b, Block::Line { button } if button.label == "2 notes that you have not read yet"),
        )
    };
    assert!(unread(&week) && spots(&week).contains(&Spot::Notes));
    let page = phone.open(Spot::Notes);
    let of = |id: EntryId| Spot::Note { id: id.to_string() };
    assert_eq!(spots(&page), [of(second), of(first)], "the newest first, and none without words");
    let page = phone.open(of(first));
    assert!(sentences(&page).contains(&"No more than that.".to_owned()));
    assert_eq!(deeds(&page), [Deed::Keep], "another's note is not the lifter's to take back");
    let read = |phone: &Phone, id: EntryId| {
        NoteFields::of(&phone.c.store().entry(&id).unwrap().unwrap()).unwrap().read_at.is_some()
    };
    assert!(!read(&phone, first), "to be shown is not to be read");
    let page = phone.act(Deed::Keep);
    assert!(read(&phone, first) && !read(&phone, second));
    assert_eq!(page.title, "Notes");
    assert!(sentences(&page).ends_with(&["Earlier".to_owned()]));
    assert!(!phone.refused(PageEvent::Choose { field: "text".into(), value: " ".into() }).is_empty());
    let long = "x".repeat(2_001);
    assert!(!phone.refused(PageEvent::Choose { field: "text".into(), value: long }).is_empty());
    let page = phone.send(PageEvent::Choose { field: "text".into(), value: "It went well.".into() });
    assert_eq!(page.told, ["Kept in your record. It goes to nobody while no server is paired."]);
    let mine: Vec<Entry> = phone.c.store().of_kind(&Kind::Note, None, 99).unwrap();
    let mine = mine.iter().find(|e| NoteFields::read(e).0.by == Some(Writer::Lifter)).expect("it is kept").id;
    let page = phone.open(of(mine));
    assert_eq!(deeds(&page), [Deed::Remove]);
    phone.act(Deed::Remove);
    assert!(!phone.c.store().entry(&mine).unwrap().unwrap().deleted());
    let page = phone.act(Deed::Remove);
    assert_eq!(page.told, ["Taken back. Who has read it has read it."]);
    assert!(phone.c.store().entry(&mine).unwrap().unwrap().deleted());
    assert_eq!(phone.refused(PageEvent::Open { spot: of(mine) }), "That is not there any more.");
}

#[test]
fn who_looked_comes_with_a_sync_and_is_told_the_newest_first() {
    let mut phone = Phone::new(None);
    phone.go(Place::Locker);
    let page = phone.open(Spot::Audit);
    assert!(sentences(&page)[0].starts_with("Only a server can tell"), "{page:?}");
    let body = br#"{"token":"t","account":"anna","role":"lifter"}"#;
    let answered = PairAnswered { address: "https://192.168.1.20:8443", status: 200, body };
    phone.c.paired(&answered, &at(phone.now)).unwrap();
    let now_ms = at(phone.now).wall_ms;
    let mut server = MeetingPoint::new("0123456789abcdef", now_ms);
    let line = |number: u64, deed: AuditDeed, what: &str, times: u64| AuditLine {
        number,
        who: "mara".into(),
        deed,
        what: vec![what.into()],
        from_ms: now_ms,
        until_ms: now_ms,
        times,
    };
    server.audit = vec![line(1, AuditDeed::Read, "log", 3), line(2, AuditDeed::Wrote, "note", 1)];
    sync(&mut phone, &mut server);
    let page = phone.open(Spot::Audit);
    let told = sentences(&page);
    assert!(told[0].starts_with("As of "), "{told:?}");
    assert!(
        told[1].ends_with(": mara wrote: notes.")
            && told[2].ends_with(": mara read: sessions and sets (3 times).")
    );
    assert_eq!(told.len(), 3);
    // A line that counts on is told once; another store begins anew.
    server.audit = vec![
        line(1, AuditDeed::Read, "log", 4),
        line(2, AuditDeed::Wrote, "note", 1),
        line(3, AuditDeed::Refused, "", 1),
    ];
    sync(&mut phone, &mut server);
    let told = sentences(&phone.open(Spot::Audit));
    assert!(
        told[1].ends_with(": mara asked for what no grant allows.") && told[3].ends_with("(4 times)."),
        "{told:?}"
    );
    server = server.called("fedcba9876543210");
    server.audit = vec![line(1, AuditDeed::Wrote, "programme", 1)];
    sync(&mut phone, &mut server);
    let told = sentences(&phone.open(Spot::Audit));
    assert!(told.len() == 2 && told[1].ends_with(": mara wrote: programmes."), "{told:?}");
}

fn sync(phone: &mut Phone, server: &mut MeetingPoint) {
    let now = at(phone.now);
    let mut exchange = phone.c.begin_exchange("t").unwrap();
    loop {
        match phone.c.next_of(&mut exchange, &now).unwrap() {
            Step::Done(_) => return,
            Step::Send(out) => {
                let answer = server.post(&out.body);
                phone.c.answer_to(&mut exchange, 200, None, &answer, &now).unwrap();
            }
        }
    }
}
