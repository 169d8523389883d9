//! The lifter opens the record to a coach: giving, changing, withdrawing and giving again; a minor and the guardian;
//! what is written wrong; and what the record holds after each.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be
#![allow(clippy::unnecessary_wraps)] // fields of a view are optional

use plinth_core::companion::{Companion, Effect, Event, PairAnswered};
use plinth_core::moment::Moment;
use plinth_core::page::{Block, Deed, Page, PageEvent, Place, Spot};
use plinth_core::record::{EntryId, GrantFields, Kind, Time, View as _};
use plinth_core::store::system_random;
use plinth_core::words::Language;
use plinth_tests::faults::Folder;

const DAY_S: i64 = 86_400;
const ADDRESS: &str = "https://192.168.1.20:8443";

/// 3 May 2026, 11:20 in the offset of +2 hours, and seconds later.
fn at(seconds: i64) -> Moment {
    Moment {
        wall_ms: 1_777_800_000_000 + seconds * 1000,
        offset_min: 120,
        monotonic_ms: 1_000_000_000 + u64::try_from(seconds.max(0)).unwrap() * 1000,
        boot: "b".into(),
    }
}

fn time(text: &str) -> Option<Time> {
    Some(text.parse().unwrap())
}

struct Desk {
    c: Companion,
    now: i64,
    _folder: Folder,
}

impl Desk {
    fn new(language: Language) -> Self {
        let folder = Folder::new();
        let path = folder.file("record.plinth");
        let c =
            Companion::open(&path, language, &at(0), Box::new(system_random)).expect("it opens").companion;
        Self { c, now: 1, _folder: folder }
    }

    fn send(&mut self, event: PageEvent) -> Result<(Page, Vec<Effect>), String> {
        self.now += 1;
        let update = self.c.dispatch(Event::from(event), &at(self.now)).expect("an answer");
        match update.refused {
            Some(why) => Err(why),
            None => Ok((update.screen.page().expect("a page"), update.effects)),
        }
    }

    fn go(&mut self, spot: Spot) -> Page {
        self.send(PageEvent::Place { place: Place::Locker }).unwrap();
        self.send(PageEvent::Open { spot }).unwrap().0
    }

    fn choose(&mut self, field: &str, value: &str) -> Result<Page, String> {
        self.send(PageEvent::Choose { field: field.into(), value: value.into() }).map(|(page, _)| page)
    }

    fn act(&mut self, deed: Deed) -> Result<(Page, Vec<Effect>), String> {
        self.send(PageEvent::Do { deed })
    }

    /// Opens the record to a coach.
    fn give(&mut self, coach: &str, may: &[&str], until: &str) -> Page {
        self.go(Spot::NewGrant);
        self.choose("to", coach).unwrap();
        for word in may {
            self.choose(word, "yes").unwrap();
        }
        self.choose("until", until).unwrap();
        self.act(Deed::Keep).unwrap().0
    }

    /// The entries, oldest first.
    fn grants(&self) -> Vec<(EntryId, GrantFields)> {
        let all = self.c.store().of_kind(&Kind::Grant, None, 100).unwrap();
        all.iter().map(|e| (e.id, GrantFields::of(e).unwrap())).collect()
    }

    fn write(&mut self, n: u64, fields: GrantFields) {
        let id = EntryId::new(1_777_700_000_000 + n, [7; 10]);
        self.c.edit(&[fields.edit(id)], &at(self.now)).unwrap();
    }
}

fn said(page: &Page) -> String {
    serde_json::to_string(page).unwrap()
}

fn asks(page: &Page, of: &str) -> bool {
    said(page).contains(&format!("\"field\":\"{of}\""))
}

fn offers(page: &Page, of: &Deed) -> bool {
    page.blocks.iter().any(|b| match b {
        Block::Action { button, .. } => button.event == PageEvent::Do { deed: of.clone() },
        _ => false,
    })
}

/// What stands beside a coach's name on the list.
fn beside(page: &Page, coach: &str) -> String {
    let found = page.blocks.iter().find_map(|b| match b {
        Block::Line { button } if button.label == coach => Some(button.more.join(" ")),
        _ => None,
    });
    found.unwrap_or_else(|| panic!("{coach} is not on the list: {page:?}"))
}

fn grant(coach: &str) -> Spot {
    Spot::Grant { coach: coach.into() }
}

fn words(may: &[&str]) -> Option<Vec<String>> {
    Some(may.iter().map(ToString::to_string).collect())
}

#[test]
fn a_grant_is_given_changed_withdrawn_and_given_again_in_one_entry() {
    let mut d = Desk::new(Language::English);
    let page = d.go(Spot::Grants);
    assert!(said(&page).contains("to nobody") && said(&page).contains("hand over a file"));
    let page = d.give("mara", &["log", "notes"], "2026-05-10");
    assert_eq!(page.told, ["Opened to mara."]);
    assert_eq!(
        beside(&page, "mara"),
        "Reads: sessions and sets. Writes: notes. Since 3 May 2026. Until the end of 10 May 2026."
    );
    assert!(!said(&page).contains("to nobody"));
    let (id, first) = d.grants().remove(0);
    assert_eq!((first.to.as_deref(), &first.may), (Some("mara"), &words(&["log", "notes"])));
    assert_eq!(first.from, time("2026-05-03T11:20:10.000+02:00"));
    assert_eq!(first.until, time("2026-05-10T23:59:59.999+02:00"), "the last day counts to its end");

    // What is changed waits for the touch that keeps it, and leaves since when as it was.
    d.go(grant("mara"));
    d.choose("notes", "no").unwrap();
    d.choose("discomfort", "yes").unwrap();
    d.choose("until", "").unwrap();
    assert_eq!(d.grants(), [(id, first.clone())]);
    let page = d.act(Deed::Keep).unwrap().0;
    assert_eq!(
        beside(&page, "mara"),
        "Reads: sessions and sets and what hurts. Since 3 May 2026. Until you withdraw it."
    );
    let changed = GrantFields { may: words(&["log", "discomfort"]), until: None, ..first.clone() };
    assert_eq!(d.grants(), [(id, changed.clone())]);

    // A withdrawal takes a second touch that names the coach, and the very next.
    let page = d.go(grant("mara"));
    assert!(said(&page).contains("Withdraw it now"));
    let page = d.act(Deed::Remove).unwrap().0;
    assert!(said(&page).contains("Yes, withdraw it from mara"));
    d.choose("log", "yes").unwrap();
    d.act(Deed::Remove).unwrap();
    assert_eq!(d.grants(), [(id, changed.clone())]);
    let page = d.act(Deed::Remove).unwrap().0;
    assert!(page.told[0].starts_with("Withdrawn from mara."), "{page:?}");
    assert!(!offers(&page, &Deed::Remove) && said(&page).contains("Withdrawn on 3 May 2026."));
    assert!(d.act(Deed::Remove).is_err(), "nothing is left to withdraw");
    let withdrawn = d.grants()[0].1.withdrawn_at.clone();
    assert_eq!(d.grants(), [(id, GrantFields { withdrawn_at: withdrawn, ..changed })]);
    let page = d.go(Spot::Grants);
    assert!(said(&page).contains("to nobody") && said(&page).contains("No longer"));

    // Given again it is the same entry, from today.
    d.now += DAY_S;
    let page = d.go(grant("mara"));
    assert!(said(&page).contains("Open it again"));
    let (page, effects) = d.act(Deed::Keep).unwrap();
    assert_eq!(effects, [], "without a pairing there is nobody to tell");
    assert_eq!(
        beside(&page, "mara"),
        "Reads: sessions and sets and what hurts. Since 4 May 2026. Until you withdraw it."
    );
    let again = d.grants();
    assert_eq!((again.len(), again[0].0, &again[0].1.withdrawn_at), (1, id, &None));
    assert_eq!(d.c.check().unwrap().first_fault(), None);
}

#[test]
fn what_is_written_wrong_is_refused_in_both_languages_and_changes_nothing() {
    for (language, nothing) in [(Language::English, "say yes"), (Language::German, "Sag erst")] {
        let mut d = Desk::new(language);
        d.go(Spot::NewGrant);
        assert!(d.act(Deed::Keep).is_err(), "without a name");
        for bad in ["", "-mara", "mara-", "mara b", "mära", "a/b", &"x".repeat(41)] {
            let why = d.choose("to", bad).unwrap_err();
            assert!(why.contains("a-z, 0-9"), "{bad}: {why}");
        }
        // A telephone's keyboard begins with a capital; no account has one.
        d.choose("to", " Mara ").unwrap();
        assert!(d.act(Deed::Keep).unwrap_err().contains(nothing));
        d.choose("log", "yes").unwrap();
        assert!(d.choose("until", "2026-05-02").unwrap_err().contains("2026"), "it is over");
        assert!(d.choose("until", "tomorrow").is_err() && d.choose("log", "perhaps").is_err());
        assert!(d.choose("train", "yes").is_err(), "that is the guardian's");
        assert_eq!(d.grants(), []);
        // What was a day to come when it was written is over when it is kept.
        d.choose("until", "2026-05-03").unwrap();
        d.now += DAY_S;
        assert!(d.act(Deed::Keep).is_err());
        assert_eq!(d.grants(), []);
        d.choose("until", "4.5.2026").unwrap();
        d.act(Deed::Keep).unwrap();
        assert_eq!(d.grants()[0].1.to.as_deref(), Some("mara"));
        // The same coach once more leads to what there is.
        d.go(Spot::NewGrant);
        d.choose("to", "mara").unwrap();
        let page = d.act(Deed::Keep).unwrap().0;
        assert!(page.title == "mara" && page.told[0].contains("mara"), "{page:?}");
        assert_eq!(d.grants().len(), 1);
        // A day later it is over by itself, and given again it has no end.
        d.now += DAY_S;
        let page = d.go(Spot::Grants);
        let over = match language {
            Language::English => "Ended with 4 May 2026.",
            Language::German => "letzter Tag: 4. Mai 2026.",
        };
        assert!(beside(&page, "mara").ends_with(over), "{}", beside(&page, "mara"));
        d.go(grant("mara"));
        d.act(Deed::Keep).unwrap();
        assert_eq!((d.grants().len(), &d.grants()[0].1.until), (1, &None));
        let gone = d.send(PageEvent::Open { spot: grant("nobody") });
        assert!(gone.is_err(), "a page of nobody's");
    }
}

#[test]
fn a_minor_opens_nothing_without_the_guardian_and_is_never_asked_for_body_mass() {
    let mut d = Desk::new(Language::English);
    d.give("mara", &["log", "body_mass"], "");
    d.go(Spot::Profile);
    d.choose("born_on", "2010-02-03").unwrap();
    let page = d.go(Spot::Grants);
    assert!(said(&page).contains("The guardian's grant is not there"), "{page:?}");
    assert!(beside(&page, "mara").starts_with("Reads: sessions and sets. Since"), "body mass is not shown");
    let page = d.go(Spot::NewGrant);
    assert!(!offers(&page, &Deed::Keep) && !asks(&page, "to") && !asks(&page, "log"));
    assert!(d.choose("to", "ben").is_err() && d.act(Deed::Keep).is_err());
    let page = d.go(grant("mara"));
    assert!(offers(&page, &Deed::Remove), "what is open can always be withdrawn");
    assert!(asks(&page, "log") && !asks(&page, "body_mass"));
    d.act(Deed::Remove).unwrap();
    let page = d.act(Deed::Remove).unwrap().0;
    assert!(!offers(&page, &Deed::Keep) && d.act(Deed::Keep).is_err(), "nor given again");

    // The guardian's is given where it always is; the page leads there.
    let leads = said(&page).contains(r#""spot":"profile""#);
    assert!(leads, "{page:?}");
    d.go(Spot::Profile);
    d.choose("guardian", "Eva").unwrap();
    let page = d.go(Spot::Grants);
    assert!(said(&page).contains("Eva granted training here on 3 May 2026."), "{page:?}");
    assert!(!said(&page).contains("is not there") && !said(&page).contains("\"label\":\"Eva\""));
    d.go(grant("mara"));
    assert!(d.choose("body_mass", "yes").is_err());
    let page = d.act(Deed::Keep).unwrap().0;
    assert_eq!(beside(&page, "mara"), "Reads: sessions and sets. Since 3 May 2026. Until you withdraw it.");
    let to_mara = || GrantFields { to: Some("mara".into()), ..GrantFields::default() };
    let of_mara: Vec<GrantFields> =
        d.grants().into_iter().map(|(_, f)| f).filter(|f| f.to == to_mara().to).collect();
    assert_eq!((of_mara.len(), &of_mara[0].may), (1, &words(&["log"])), "body mass is granted no more");
    d.give("ben", &["findings"], "");
    // The guardian withdraws: nothing new is opened.
    d.go(Spot::Profile);
    d.choose("grant", "withdraw").unwrap();
    assert!(said(&d.go(Spot::Grants)).contains("is not there"));
}

#[test]
fn several_entries_for_one_coach_are_one_grant_and_are_withdrawn_together() {
    let mut d = Desk::new(Language::English);
    let past = time("2026-01-01T08:00:00.000+00:00");
    let of = |may: &[&str]| GrantFields {
        to: Some("mara".into()),
        may: words(may),
        from: past.clone(),
        ..GrantFields::default()
    };
    d.write(1, GrantFields { until: time("2026-06-01T00:00:00.000+00:00"), ..of(&["log"]) });
    d.write(2, of(&["findings", "a_word_of_later"]));
    d.write(3, GrantFields { withdrawn_at: past.clone(), ..of(&["screening"]) });
    d.write(4, of(&["train", "discomfort"]));
    d.write(5, GrantFields { to: Some("Eva".into()), ..of(&["train"]) });
    d.write(6, GrantFields { deleted: Some(true), ..of(&["body_mass"]) });
    let page = d.go(Spot::Grants);
    let told = beside(&page, "mara");
    assert!(
        told.starts_with("Reads: sessions and sets, what findings are made of and what hurts."),
        "{told}"
    );
    assert!(told.contains("does not know") && told.ends_with("Until you withdraw it."), "{told}");
    assert!(!said(&page).contains("\"label\":\"Eva\""), "a guardian's opens nothing to a coach");

    // A change leaves one that stands; what a later version allowed goes on, and the guardian's word stays.
    d.go(grant("mara"));
    d.choose("discomfort", "no").unwrap();
    d.act(Deed::Keep).unwrap();
    let now = |d: &Desk| d.grants().into_iter().map(|(_, f)| f).collect::<Vec<_>>();
    let all = now(&d);
    assert!(all[0].withdrawn_at.is_some() && all[0].may == words(&["log"]));
    assert_eq!((&all[1].may, &all[1].withdrawn_at), (&words(&["log", "findings", "a_word_of_later"]), &None));
    assert_eq!((&all[3].may, &all[3].withdrawn_at), (&words(&["train"]), &None));
    assert_eq!((&all[4].may, &all[4].withdrawn_at), (&words(&["train"]), &None));

    d.write(1, GrantFields { to: Some("ben".into()), ..of(&["log"]) });
    d.write(7, of(&["log"]));
    d.go(grant("mara"));
    d.act(Deed::Remove).unwrap();
    d.act(Deed::Remove).unwrap();
    let page = d.go(Spot::Grants);
    assert!(said(&page).contains("No longer") && beside(&page, "mara").contains("Withdrawn on 3 May 2026."));
    for f in now(&d).iter().filter(|f| f.to.as_deref() == Some("mara") && f.deleted.is_none()) {
        assert!(f.withdrawn_at.is_some() || f.may == words(&["train"]), "{f:?}");
    }
    // Given again, what the page does not name is not granted along with it.
    d.go(grant("mara"));
    d.choose("screening", "yes").unwrap();
    d.act(Deed::Keep).unwrap();
    let standing: Vec<GrantFields> = now(&d)
        .into_iter()
        .filter(|f| f.to.as_deref() == Some("mara") && f.withdrawn_at.is_none() && f.deleted.is_none())
        .filter(|f| f.may != words(&["train"]))
        .collect();
    assert_eq!(standing.len(), 1);
    assert!(!standing[0].may.iter().flatten().any(|w| w == "a_word_of_later"), "{standing:?}");
}

#[test]
fn with_a_pairing_the_server_is_named_and_asked_at_once() {
    let mut d = Desk::new(Language::German);
    d.go(Spot::Pairing);
    let body = br#"{"token":"t0ken","account":"anna","role":"lifter"}"#;
    d.c.paired(&PairAnswered { address: ADDRESS, status: 200, body }, &at(2)).unwrap();
    let page = d.go(Spot::Grants);
    assert!(said(&page).contains(ADDRESS) && !said(&page).contains("Datei weitergeben"), "{page:?}");
    d.go(Spot::NewGrant);
    d.choose("to", "mara").unwrap();
    d.choose("programmes", "yes").unwrap();
    assert_eq!(d.act(Deed::Keep).unwrap().1, [Effect::AskForSync]);
    d.go(grant("mara"));
    assert_eq!(d.act(Deed::Remove).unwrap().1, []);
    assert_eq!(d.act(Deed::Remove).unwrap().1, [Effect::AskForSync]);
}
