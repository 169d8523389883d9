//! What a coach publishes: versions, to whom they go, and the ways on which they go without this host.

use crate::browser::{Browser, form_of};
use crate::common::{Folder, Running, entry, id, request};
use crate::published::{COURSE, Coach, between, codes, grant, lifter, withdraw};
use plinth::host::account::Role;
use plinth_core::catalogue::{Catalogue, StandInKind};
use plinth_core::plan::programme::{Mark, Programme};
use plinth_core::published::open;
use plinth_core::record::{Entry, Kind, ProgrammeFields, PublicationFields, View};
use plinth_core::words::{Language, Speech};
use serde_json::{Value, json};

fn publications(entries: &[Entry]) -> Vec<PublicationFields> {
    let mut all: Vec<_> = entries.iter().map(|e| PublicationFields::read(e).0).collect();
    all.sort_by_key(|p| p.version);
    all
}

fn programmes(entries: &[Entry]) -> Vec<ProgrammeFields> {
    let mut all: Vec<_> = entries.iter().map(|e| ProgrammeFields::read(e).0).collect();
    all.sort_by_key(|p| p.version);
    all
}

/// The course under another title, as it is published.
fn titled(title: &str) -> Programme {
    Programme { title: title.into(), ..COURSE.programme.clone() }
}

#[tokio::test]
async fn a_draft_becomes_versions_that_count_up_and_are_changed_no_more() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    assert!(mara.browser.look(&gym, "/desk/published").await.text.contains("Nothing is published yet"));
    let ask = format!("/desk/published/new?draft={}", mara.draft);
    let page = mara.browser.look(&gym, &ask).await;
    assert_eq!(page.status, 200, "{}", page.text);
    assert!(page.text.contains("version 1") && page.text.contains("value=\"Three evenings\""));

    // Without the proof of this visit nothing is published, nor under what is no title.
    let draft = mara.draft.to_string();
    for proof in ["", "00"] {
        let form = form_of(&[("proof", proof), ("draft", &draft), ("title", "Evenings")]);
        assert_eq!(mara.browser.send(&gym, "/desk/published", &form).await.status, 403);
    }
    for title in ["", "  ", "two\nlines", &"x".repeat(121)] {
        let page = mara.try_to_publish(&gym, title).await;
        assert!(page.status == 400 && page.text.contains("title"), "{title:?}: {}", page.text);
    }
    assert_eq!(gym.held("mara", &Kind::Publication).await, []);

    let first = mara.publish(&gym, " Evenings <1> ").await;
    let page = mara.browser.look(&gym, &first).await;
    assert!(page.status == 200 && page.text.contains("Evenings &lt;1&gt;, version 1"), "{}", page.text);
    let was = gym.held("mara", &Kind::Publication).await;

    // The draft goes on; what is published of it is the next version, and the one before is as it was.
    let other = serde_json::to_value(titled("Another week")).unwrap();
    gym.push(&mara.token, vec![entry(700, "draft", json!({ "programme": other }), 30)]).await;
    assert!(mara.browser.look(&gym, &ask).await.text.contains("version 2"));
    let second = mara.publish(&gym, "Evenings 2").await;
    assert_ne!(first, second);
    let held = gym.held("mara", &Kind::Publication).await;
    assert!(held.iter().any(|e| *e == was[0]), "the first is untouched");
    let all = publications(&held);
    assert_eq!(all.iter().map(|p| p.version).collect::<Vec<_>>(), [Some(1), Some(2)]);
    assert_eq!((all[0].replaces, all[1].replaces), (None, Some(was[0].id)));
    let documents: Vec<Programme> =
        all.iter().map(|p| serde_json::from_value(json!(p.programme.as_ref().unwrap())).unwrap()).collect();
    assert_eq!(documents, [titled("Evenings <1>"), titled("Evenings 2")]);
    let list = mara.browser.look(&gym, "/desk/published").await.text;
    assert!(
        list.find("Evenings 2, version 2").unwrap() < list.find("Evenings &lt;1&gt;, version 1").unwrap()
    );

    // What has no week cannot be published; what is not there neither.
    gym.push(&mara.token, vec![entry(701, "draft", json!({"title": "Bare", "brief": COURSE.brief}), 20)])
        .await;
    for (draft, status) in [(id(701).to_string(), 400), (id(799).to_string(), 404), ("x".into(), 404)] {
        let page = mara.browser.look(&gym, &format!("/desk/published/new?draft={draft}")).await;
        assert_eq!(page.status, status, "{draft}");
    }
}

#[tokio::test]
async fn what_is_published_is_what_the_draft_becomes_now() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let draft = format!("/desk/drafting/{}", mara.draft);
    // Solved once, so that there is an answer; then changed, and published before anybody looks at it.
    assert_eq!(mara.browser.look(&gym, &draft).await.status, 200);
    let mut brief = COURSE.brief.clone();
    brief["minutes"] = json!(35);
    let document = [("document", &*brief.to_string())];
    let page = mara.browser.fill(&gym, &draft, &format!("{draft}/document"), &document).await;
    assert_eq!(page.status, 303, "{}", page.text);
    mara.publish(&gym, "Short evenings").await;
    let last = publications(&gym.held("mara", &Kind::Publication).await).pop().unwrap().programme;
    let programme: Programme = serde_json::from_value(json!(last)).unwrap();
    assert_eq!(programme.days.iter().map(|d| d.minutes_at_hand).collect::<Vec<_>>(), [35, 35, 35]);
}

#[tokio::test]
async fn what_another_coach_published_is_as_what_is_not_there() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let at = mara.publish(&gym, "Hers alone").await;
    let token = lifter(&gym, "anna", &["log", "programmes"]).await;
    let mut nils = Browser::default();
    nils.sign_in(&gym, "nils").await;
    let nobodys = format!("/desk/published/{}", id(4_000));
    for path in ["", "/for/anna", "/file", "/pictures", "/sheet"] {
        let hers = nils.look(&gym, &format!("{at}{path}")).await;
        let none = nils.look(&gym, &format!("{nobodys}{path}")).await;
        assert_eq!((hers.status, none.status), (404, 404), "{path}");
        assert_eq!(hers.text, none.text, "{path}");
        assert!(!hers.text.contains("Hers alone"), "{path}");
    }
    let page = nils.fill(&gym, "/desk/published", &format!("{at}/send"), &[("to", "anna")]).await;
    assert_eq!(page.status, 404);
    assert_eq!(nils.look(&gym, &format!("/desk/published/new?draft={}", mara.draft)).await.status, 404);
    assert!(!nils.look(&gym, "/desk/published").await.text.contains("Hers alone"));
    assert_eq!(gym.held("anna", &Kind::Programme).await, []);
    let (_, audit) = gym.ask("GET", "/v1/audit", Some(&token), None).await;
    assert!(!audit.to_string().contains("nils"), "nothing of hers was asked for: {audit}");
}

#[tokio::test]
async fn it_goes_to_whom_a_grant_lets_it_and_lies_there_once() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let anna = lifter(&gym, "anna", &["log", "discomfort", "programmes"]).await;
    lifter(&gym, "berta", &["log"]).await;
    let cora = lifter(&gym, "cora", &["programmes"]).await;
    let at = mara.publish(&gym, "Evenings").await;
    let page = mara.browser.look(&gym, &at).await.text;
    assert!(page.contains("value=\"anna\"") && page.contains("value=\"cora\"") && !page.contains("berta"));

    // What one lets her do is done, whatever another does not.
    let form = form_of(&[("proof", "00"), ("to", "anna")]);
    assert_eq!(mara.browser.send(&gym, &format!("{at}/send"), &form).await.status, 403);
    assert_eq!(gym.held("anna", &Kind::Programme).await, []);
    assert_eq!(mara.send(&gym, &at, &["berta", "anna", "nobody"]).await.status, 404);
    assert_eq!(gym.held("berta", &Kind::Programme).await, []);
    let there = gym.held("anna", &Kind::Programme).await;
    let f = &programmes(&there)[0];
    assert_eq!((there.len(), f.from.as_deref(), f.version), (1, Some("mara"), Some(1)));
    assert_eq!((f.title.as_deref(), &f.accepted_at, &f.starts_on), (Some("Evenings"), &None, &None));
    let document: Programme = serde_json::from_value(json!(f.document.as_ref().unwrap())).unwrap();
    assert_eq!(document, titled("Evenings"));
    let told = mara.browser.look(&gym, &at).await.text;
    assert!(told.contains("version 1 waits at theirs") && told.contains("has none of its versions"));
    let (_, audit) = gym.ask("GET", "/v1/audit", Some(&anna), None).await;
    let wrote = |l: &Value| l["who"] == "mara" && l["deed"] == "wrote" && l["what"] == json!(["programme"]);
    assert!(audit["lines"].as_array().unwrap().iter().any(wrote), "{audit}");

    // Sent again, also from a page of before, it is there once and as it was.
    assert_eq!(mara.send(&gym, &at, &["anna", "anna"]).await.status, 303);
    assert_eq!(gym.held("anna", &Kind::Programme).await, there);

    // Who has withdrawn gets nothing, from whatever page it is sent.
    withdraw(&gym, &cora, 5).await;
    assert_eq!(mara.send(&gym, &at, &["cora"]).await.status, 404);
    assert_eq!(gym.held("cora", &Kind::Programme).await, []);
    assert!(!mara.browser.look(&gym, &at).await.text.contains("cora"));
    assert_eq!(mara.browser.look(&gym, &format!("{at}/for/cora")).await.status, 404);

    // Taken on, it is said; the next version waits beside it.
    let accepted = json!({"accepted_at": "2026-05-04T18:04:09.250+02:00", "starts_on": "2026-05-04"});
    let mut taken = entry(0, "programme", accepted, 4);
    taken["id"] = json!(there[0].id);
    gym.push(&anna, vec![taken]).await;
    assert!(mara.browser.look(&gym, &at).await.text.contains("trains by version 1"));
    let next = mara.publish(&gym, "Evenings, heavier").await;
    assert!(mara.browser.look(&gym, &next).await.text.contains("trains by version 1"));
    assert_eq!(mara.send(&gym, &next, &["anna"]).await.status, 303);
    let all = programmes(&gym.held("anna", &Kind::Programme).await);
    assert_eq!(all.iter().map(|p| p.version).collect::<Vec<_>>(), [Some(1), Some(2)]);
    assert!(all[0].accepted_at.is_some() && all[0].title.as_deref() == Some("Evenings"));
    assert!(all[1].accepted_at.is_none());
    assert!(mara.browser.look(&gym, &next).await.text.contains("version 2 waits at theirs"));
}

#[tokio::test]
async fn what_would_change_is_said_as_far_as_is_granted() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let anna = lifter(&gym, "anna", &["programmes"]).await;
    let at = mara.publish(&gym, "Evenings").await;
    let first = &COURSE.programme.days[0].lines[0].movement;
    let day = "2026-11-30T18:04:09.250+00:00";
    let pain = json!({"region": "shoulder", "severity": "severe", "nature": "new_or_worse", "since": day});
    gym.push(&anna, vec![entry(910, "discomfort", pain, 40)]).await;
    let look = format!("{at}/for/anna");
    let page = mara.browser.look(&gym, &look).await;
    assert!(page.status == 200 && page.text.contains("Not known here"), "{}", page.text);
    assert!(!page.text.contains("houlder"), "the discomfort was not granted");
    grant(&gym, &anna, &["programmes", "log", "discomfort"], 30).await;
    let page = mara.browser.look(&gym, &look).await.text;
    assert!(page.contains("what their phone would change") && page.contains("shoulder"), "{page}");
    assert!(page.contains("Send it to anna"), "{page}");
    assert!(!first.is_empty());
    assert_eq!(mara.send(&gym, &at, &["anna"]).await.status, 303);
    assert!(mara.browser.look(&gym, &look).await.text.contains("It was sent"));
}

#[tokio::test]
async fn a_group_chooses_and_opens_nothing() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    lifter(&gym, "anna", &["programmes"]).await;
    lifter(&gym, "berta", &["programmes"]).await;
    lifter(&gym, "cora", &["log"]).await;
    let at = mara.publish(&gym, "Evenings").await;
    let groups = "/desk/groups";
    let form = form_of(&[("proof", "00"), ("name", "Mornings"), ("member", "anna")]);
    assert_eq!(mara.browser.send(&gym, "/desk/groups/new", &form).await.status, 403);
    for name in ["", "a\tb", &"x".repeat(61)] {
        let page = mara.browser.fill(&gym, groups, "/desk/groups/new", &[("name", name)]).await;
        assert!(page.status == 400 && page.text.contains("name"), "{name:?}");
    }
    assert_eq!(gym.held("mara", &Kind::Group).await, []);
    let members = [("name", "Mornings"), ("member", "anna"), ("member", "cora"), ("member", "zoe")];
    assert_eq!(mara.browser.fill(&gym, groups, "/desk/groups/new", &members).await.status, 303);
    let group = gym.held("mara", &Kind::Group).await[0].id;
    let page = mara.browser.look(&gym, &format!("{at}?group={group}")).await.text;
    let people = between(&page, &format!("{at}/send"), "</form>");
    assert!(people.contains("value=\"anna\"") && people.contains("checked"), "{people}");
    assert!(!people.contains("berta") && !people.contains("cora") && !people.contains("zoe"), "{people}");
    // Sent to its members by hand, it still goes only where a grant lets it.
    assert_eq!(mara.send(&gym, &at, &["anna", "cora", "zoe"]).await.status, 404);
    assert_eq!(gym.held("anna", &Kind::Programme).await.len(), 1);
    assert_eq!(gym.held("cora", &Kind::Programme).await, []);

    // Another coach has no part in it.
    let mut nils = Browser::default();
    nils.sign_in(&gym, "nils").await;
    assert!(!nils.look(&gym, groups).await.text.contains("Mornings"));
    let own = format!("/desk/groups/{group}");
    assert_eq!(nils.fill(&gym, groups, &own, &[("name", "Mine")]).await.status, 404);
    // Changed, then deleted.
    let changed = [("name", "Evenings"), ("member", "berta")];
    assert_eq!(mara.browser.fill(&gym, groups, &own, &changed).await.status, 303);
    let page = mara.browser.look(&gym, &format!("{at}?group={group}")).await.text;
    let people = between(&page, &format!("{at}/send"), "</form>");
    assert!(people.contains("value=\"berta\"") && !people.contains("value=\"anna\""), "{people}");
    let deleted = [("name", "Evenings"), ("delete", "yes")];
    assert_eq!(mara.browser.fill(&gym, groups, &own, &deleted).await.status, 303);
    assert!(!mara.browser.look(&gym, groups).await.text.contains(&own));
    assert_eq!(mara.browser.fill(&gym, groups, &own, &changed).await.status, 404);
}

#[tokio::test]
async fn the_signed_file_and_the_pictures_hold_the_same_and_no_byte_may_change() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let at = mara.publish(&gym, "Größe & Kraft").await;
    let file = mara.browser.look(&gym, &format!("{at}/file")).await;
    assert_eq!((file.status, file.header("content-type")), (200, Some("application/json")));
    let name = file.header("content-disposition").unwrap();
    assert!(name.starts_with("attachment; filename=\"plinth-programme-") && name.ends_with("-v1.json\""));
    let opened = open(file.text.as_bytes()).expect("it opens");
    assert_eq!(opened.programme, titled("Größe & Kraft"));
    let signer = opened.signer.expect("it is signed");
    assert_eq!((signer.by.as_str(), signer.version), ("mara", 1));
    let page = mara.browser.look(&gym, &at).await.text;
    assert!(page.contains(&signer.fingerprint()), "the key can be compared");

    let bytes = file.text.as_bytes();
    for k in (0..bytes.len()).step_by(97) {
        let mut changed = bytes.to_vec();
        changed[k] ^= 1;
        let faults = open(&changed).expect_err(&format!("byte {k} of {} was changed", bytes.len()));
        assert!(!faults.is_empty());
    }

    let pictures = mara.browser.look(&gym, &format!("{at}/pictures")).await.text;
    assert!(pictures.contains(&signer.fingerprint()));
    let mut texts = codes(&pictures);
    assert!(texts.len() > 1, "a programme is more than one picture");
    texts.reverse();
    let joined = open(texts.join("\n").as_bytes()).expect("they join, in any order");
    assert_eq!((joined.programme, joined.signer), (opened.programme, Some(signer)));
    let missing = open(texts[1..].join("\n").as_bytes()).expect_err("one is missing");
    assert_eq!(missing[0].field, "pictures");
}

/// The names that may stand in for a movement in a full room, worked out from the catalogue's own rows.
fn serves(catalogue: &Catalogue, speech: &Speech, movement: &str) -> Vec<String> {
    let of = catalogue.movement(movement).expect("a movement");
    let rows = catalogue.stand_ins.iter().filter(|r| catalogue.movements[r.from].id == of.id);
    rows.filter(|r| {
        matches!(
            r.kind,
            StandInKind::Busy | StandInKind::Equipment | StandInKind::Lateral | StandInKind::Alone
        )
    })
    .map(|r| speech.movement_in(catalogue, &catalogue.movements[r.to].id))
    .collect()
}

#[tokio::test]
async fn the_sheet_names_every_line_and_what_may_stand_in() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let at = mara.publish(&gym, "Evenings").await;
    for (language, code) in [(Language::English, "en"), (Language::German, "de")] {
        let asked = [("Accept-Language", code)];
        let page = mara.browser.ask(&gym, "GET", &format!("{at}/sheet"), None, &asked).await.text;
        let s = Speech::new(language);
        let leaves: Vec<&str> = page.split("<section class=\"leaf\">").skip(1).collect();
        assert_eq!(leaves.len(), COURSE.programme.days.len());
        for (leaf, day) in leaves.iter().zip(&COURSE.programme.days) {
            assert!(leaf.contains(&s.weekday(day.weekday)));
            let lines: Vec<&str> = leaf.split("<p class=\"line\">").skip(1).collect();
            assert_eq!(lines.len(), day.lines.len());
            for (told, line) in lines.iter().zip(&day.lines) {
                let name = s.movement_in(&COURSE.catalogue, &line.movement);
                assert!(told.contains(&format!("<strong>{name}</strong>")), "{name}: {told}");
                assert!(told.contains(&s.clock(i64::from(line.rest_s))), "{name}: {told}");
                let others = serves(&COURSE.catalogue, &s, &line.movement);
                let named = others.iter().filter(|o| told.contains(&**o)).count();
                match line.mark {
                    Mark::MayBend => assert!(others.is_empty() || named > 0, "{name}: {told}"),
                    Mark::Keep => assert_eq!(named, 0, "{name} stays: {told}"),
                }
            }
        }
        assert!(!page.contains("<script"));
    }
}

#[tokio::test]
async fn a_lifter_has_no_desk() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let at = mara.publish(&gym, "Evenings").await;
    let token = gym.token("anna", Role::Lifter).await;
    let mut anna = Browser { cookies: vec![("plinth_token".into(), token.clone())] };
    let (file, sheet, send) = (format!("{at}/file"), format!("{at}/sheet"), format!("{at}/send"));
    let places = [
        "/desk",
        "/desk/lifters",
        "/desk/lifters/anna",
        "/desk/groups",
        "/desk/published",
        &at,
        &file,
        &sheet,
        "/desk/house",
        "/desk/house/accounts/anna",
        "/desk/drafting",
    ];
    for path in places {
        let page = anna.look(&gym, path).await;
        assert!(matches!(page.status, 303 | 404), "{path}: {}", page.status);
        assert!(!page.text.contains("Evenings") && !page.text.contains("mara"), "{path}");
    }
    let posts = [
        "/desk/published",
        &send,
        "/desk/groups/new",
        "/desk/house/accounts",
        "/desk/house/accounts/mara/erase",
    ];
    for path in posts {
        let page = anna.send(&gym, path, "proof=00&to=anna&again=mara&account=anna&role=host").await;
        assert_eq!((page.status, page.header("location")), (303, Some("/desk/sign-in")), "{path}");
    }
    let (status, _) = gym.ask("POST", "/v1/sync", Some(&mara.token), Some(request(None, 0, vec![]))).await;
    assert_eq!(status, 200, "the coach's account is there");
}
