//! What a coach sees and writes, and when no more.

use crate::common::{Device, Folder, Running, entry, entry_at, id, note, now, now_ms, request};
use plinth::host::account::Role;
use plinth_core::companion::Event;
use plinth_core::page::{Deed, PageEvent, Place, Spot};
use serde_json::{Value, json};

struct Gym {
    running: Running,
    lifter: String,
    coach: String,
    _folder: Folder,
}

impl Gym {
    async fn new() -> Self {
        let folder = Folder::new();
        let running = Running::plain(&folder).await;
        let lifter = running.token("anna", Role::Lifter).await;
        let coach = running.token("mara", Role::Coach).await;
        let gym = Self { running, lifter, coach, _folder: folder };
        gym.push(vec![
            entry(1, "session", json!({"title": "A", "bodyweight": "71 kg", "note": "tired"}), 50),
            entry(
                2,
                "set",
                json!({"session": id(1), "movement": "barbell_back_squat", "amount": 5, "note": "slow"}),
                50,
            ),
            entry(3, "discomfort", json!({"region": "knee", "severity": "mild"}), 50),
            entry(4, "body_measurement", json!({"what": "body_mass", "value": "71 kg"}), 50),
            entry(5, "screening", json!({"regular_exercise": "yes"}), 50),
            entry(6, "lifter", json!({"name": "Anna", "guardian": "nobody"}), 50),
            entry(7, "setting", json!({"key": "x", "value": 1}), 50),
            entry(8, "brief", json!({"made_at": "2026-05-03T18:04:09.250+02:00"}), 50),
            entry(9, "sled_race", json!({"heat": 1}), 50),
        ])
        .await;
        gym
    }

    async fn push(&self, entries: Vec<Value>) {
        let n = entries.len();
        let (status, answer) =
            self.running.ask("POST", "/v1/sync", Some(&self.lifter), Some(request(None, 0, entries))).await;
        assert_eq!((status, answer["took"].as_array().unwrap().len()), (200, n), "{answer}");
    }

    async fn grant(&self, n: u64, may: &[&str]) {
        let from = "2026-01-01T00:00:00.000+00:00";
        self.push(vec![entry(n, "grant", json!({"to": "mara", "may": may, "from": from}), 40)]).await;
    }

    async fn withdraw(&self, n: u64, minutes_ago: i64) {
        let at = "2026-02-01T00:00:00.000+00:00";
        self.push(vec![entry(n, "grant", json!({ "withdrawn_at": at }), minutes_ago)]).await;
    }

    async fn coach(&self, method: &str, path: &str, body: Option<Value>) -> (u16, Value) {
        self.running.ask(method, path, Some(&self.coach), body).await
    }

    /// Kind and the names of the fields of all that the coach sees, by id.
    async fn seen(&self) -> Vec<(String, Vec<String>)> {
        let (status, answer) = self.coach("GET", "/v1/lifters/anna/record", None).await;
        assert_eq!(status, 200, "{answer}");
        let mut entries = answer["entries"].as_array().unwrap().clone();
        entries.sort_by_key(|e| e["id"].to_string());
        entries
            .iter()
            .map(|e| {
                let fields = e["fields"].as_object().unwrap().keys().cloned().collect();
                (e["kind"].as_str().unwrap().to_owned(), fields)
            })
            .collect()
    }
}

fn of(kind: &str, fields: &[&str]) -> (String, Vec<String>) {
    (kind.to_owned(), fields.iter().map(|f| (*f).to_owned()).collect())
}

#[tokio::test]
async fn a_coach_sees_exactly_what_is_granted_and_nothing_once_it_is_withdrawn() {
    let gym = Gym::new().await;
    let name = of("lifter", &["name"]);
    for path in ["/v1/lifters/anna/record", "/v1/lifters/nobody/record", "/v1/lifters/Anna/record"] {
        let (status, fault) = gym.coach("GET", path, None).await;
        assert_eq!(
            (status, fault["code"].as_str()),
            (404, Some("not_granted")),
            "{path}: alike, there or not"
        );
    }
    assert_eq!(gym.coach("GET", "/v1/lifters", None).await.1["lifters"], json!([]));
    gym.grant(20, &["log"]).await;
    let session = of("session", &["note", "title"]);
    let set = of("set", &["amount", "movement", "note", "session"]);
    assert_eq!(gym.seen().await, [session.clone(), set.clone(), name.clone()]);
    // By the store's epoch a coach notices that a cursor is of another state of it.
    let (_, seen) = gym.coach("GET", "/v1/lifters/anna/record", None).await;
    assert_eq!(seen["epoch"], gym.running.host.house.epoch.as_str());
    gym.withdraw(20, 39).await;
    assert_eq!(gym.coach("GET", "/v1/lifters/anna/record", None).await.0, 404);
    gym.grant(21, &["findings", "body_mass"]).await;
    let found = of("set", &["amount", "movement", "session"]);
    let mass = of("body_measurement", &["value", "what"]);
    assert_eq!(gym.seen().await, [found, mass.clone(), name.clone()]);
    gym.withdraw(21, 38).await;
    gym.grant(22, &["discomfort", "screening", "a_word_of_later"]).await;
    let discomfort = of("discomfort", &["region", "severity"]);
    let screening = of("screening", &["regular_exercise"]);
    assert_eq!(gym.seen().await, [discomfort.clone(), screening.clone(), name.clone()]);
    gym.grant(23, &["log", "body_mass"]).await;
    let whole = of("session", &["bodyweight", "note", "title"]);
    let brief = of("brief", &["made_at"]);
    assert_eq!(gym.seen().await, [whole, set, discomfort, mass, screening, name, brief]);
    let (_, list) = gym.coach("GET", "/v1/lifters", None).await;
    assert_eq!(list["lifters"][0]["account"], "anna");
    assert_eq!(list["lifters"][0]["may"]["reads"], json!(["log", "discomfort", "body_mass", "screening"]));
    // The lifter deletes one and withdraws the other.
    gym.push(vec![entry(22, "grant", json!({"deleted": true}), 1)]).await;
    gym.withdraw(23, 1).await;
    assert_eq!(gym.coach("GET", "/v1/lifters/anna/record", None).await.0, 404);
    assert_eq!(gym.coach("GET", "/v1/lifters", None).await.1["lifters"], json!([]));
}

#[tokio::test]
async fn a_grant_counts_in_its_time_and_for_its_coach_only() {
    let gym = Gym::new().await;
    let far = "2099-01-01T00:00:00.000+00:00";
    let past = "2026-01-01T00:00:00.000+00:00";
    let may = json!(["log"]);
    for (n, fields) in [
        (20, json!({"to": "mara", "may": may, "from": far})),
        (21, json!({"to": "mara", "may": may, "from": past, "until": past})),
        (22, json!({"to": "ben", "may": may, "from": past})),
        (23, json!({"to": "Mara", "may": may, "from": past})),
    ] {
        gym.push(vec![entry(n, "grant", fields, 40)]).await;
        assert_eq!(gym.coach("GET", "/v1/lifters/anna/record", None).await.0, 404, "{n}");
    }
    let lifter = gym.running.ask("GET", "/v1/lifters/anna/record", Some(&gym.lifter), None).await;
    assert_eq!(
        (lifter.0, lifter.1["code"].as_str()),
        (403, Some("role")),
        "a lifter reads no other's record"
    );
}

#[tokio::test]
async fn a_minors_record_needs_the_guardian_and_hides_body_mass() {
    let gym = Gym::new().await;
    gym.push(vec![entry(6, "lifter", json!({"born_on": "2012-05-03"}), 45)]).await;
    gym.grant(20, &["log", "body_mass"]).await;
    assert_eq!(gym.coach("GET", "/v1/lifters/anna/record", None).await.0, 404, "no guardian has granted");
    let from = "2026-01-01T00:00:00.000+00:00";
    gym.push(vec![entry(21, "grant", json!({"to": "Eva", "may": ["train"], "from": from}), 40)]).await;
    assert_eq!(gym.seen().await.iter().filter(|(kind, _)| kind == "body_measurement").count(), 0);
    assert_eq!(gym.seen().await[0], of("session", &["note", "title"]), "no body mass of the day");
    gym.withdraw(21, 1).await;
    assert_eq!(gym.coach("GET", "/v1/lifters/anna/record", None).await.0, 404, "the guardian withdrew");
}

#[tokio::test]
async fn a_coach_writes_programmes_and_notes_and_nothing_else() {
    let gym = Gym::new().await;
    let path = "/v1/lifters/anna/record";
    let write = |push: Vec<Value>| gym.coach("POST", path, Some(json!({ "push": push })));
    gym.grant(20, &["log"]).await;
    let note_of = |n| entry(n, "note", json!({"text": "keep the bar close", "by": "coach"}), 5);
    let (_, answer) = write(vec![note_of(30)]).await;
    assert_eq!((&answer["took"], &answer["refused"][0]["code"]), (&json!([]), &json!("not_granted")));
    gym.grant(21, &["programmes", "notes"]).await;
    gym.push(vec![note(32, "the lifter's own", 30)]).await;
    let programme = json!({"title": "Block 1", "from": "mara", "version": 1});
    let (status, answer) = write(vec![
        note_of(30),
        entry(31, "programme", programme.clone(), 5),
        entry(2, "set", json!({"amount": 50}), 1),
        entry(32, "note", json!({"text": "changed by another"}), 1),
        entry(33, "programme", json!({"title": "x", "accepted_at": "2026-05-03T18:04:09.250+02:00"}), 5),
        entry(20, "grant", json!({"may": ["log", "screening"]}), 1),
        entry(34, "sled_race", json!({"heat": 1}), 1),
        entry_at(35, "note", json!({"text": "of tomorrow"}), now_ms() + 86_400_000),
        entry(1, "programme", json!({"title": "under the id of a session"}), 1),
    ])
    .await;
    assert_eq!((status, &answer["took"]), (200, &json!([0, 1])), "{answer}");
    let codes: Vec<&str> =
        answer["refused"].as_array().unwrap().iter().map(|r| r["code"].as_str().unwrap()).collect();
    let barred = "not_granted";
    assert_eq!(codes, [barred, barred, barred, barred, barred, "stamp_ahead", barred]);
    assert_eq!(answer["refused"][2]["field"], "accepted_at");
    // Until the lifter takes it on the coach may change it; from then on it stays as it was taken on.
    let better = json!({"title": "Block 1, mended"});
    assert_eq!(write(vec![entry(31, "programme", better, 4)]).await.1["took"], json!([0]));
    let accepted = json!({"accepted_at": "2026-05-03T18:04:09.250+02:00"});
    gym.push(vec![entry(31, "programme", accepted, 3)]).await;
    for (changed, field) in [
        (json!({"title": "Block 1b", "version": 2}), "title"),
        (json!({"document": {"format": "plinth.programme/1"}}), "document"),
        (json!({"deleted": true}), "deleted"),
    ] {
        let answer = write(vec![entry(31, "programme", changed, 2)]).await.1;
        assert_eq!(
            (&answer["took"], &answer["refused"][0]["field"]),
            (&json!([]), &json!(field)),
            "{answer}"
        );
    }
    let newer = json!({"title": "Block 1b", "from": "mara", "version": 2});
    assert_eq!(write(vec![entry(36, "programme", newer, 2)]).await.1["took"], json!([0]));
    let pulled =
        gym.running.ask("POST", "/v1/sync", Some(&gym.lifter), Some(request(None, 0, vec![]))).await.1;
    let of_31 = pulled["pull"].as_array().unwrap().iter().find(|e| e["id"] == json!(id(31))).unwrap();
    assert!(of_31.to_string().contains("mended") && of_31.to_string().contains("accepted_at"), "{of_31}");
    let set = pulled["pull"].as_array().unwrap().iter().any(|e| e.to_string().contains("\"value\":50"));
    assert!(!set, "a set is the lifter's");
}

#[tokio::test]
async fn the_lifter_reads_who_did_what() {
    let gym = Gym::new().await;
    let _ = gym.coach("GET", "/v1/lifters/anna/record", None).await;
    gym.grant(20, &["log", "notes"]).await;
    let _ = gym.seen().await;
    let _ = gym.seen().await;
    let body = json!({ "push": [entry(30, "note", json!({"text": "well done"}), 5)] });
    let _ = gym.coach("POST", "/v1/lifters/anna/record", Some(body)).await;
    let (status, audit) = gym.running.ask("GET", "/v1/audit", Some(&gym.lifter), None).await;
    assert_eq!(status, 200);
    let told: Vec<(String, String, u64)> = audit["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| {
            (
                l["who"].as_str().unwrap().into(),
                l["deed"].as_str().unwrap().into(),
                l["times"].as_u64().unwrap(),
            )
        })
        .collect();
    let line = |who: &str, deed: &str, times| (who.to_owned(), deed.to_owned(), times);
    let wanted = [
        line("anna", "paired", 1),
        line("mara", "refused", 1),
        line("mara", "read", 2),
        line("mara", "wrote", 1),
    ];
    assert_eq!(told, wanted);
    assert_eq!(audit["lines"][2]["what"], json!(["log"]));
    assert_eq!(audit["lines"][3]["what"], json!(["note"]));
    // A sync tells the same to whoever asks for it.
    for (after, lines) in [(None, None), (Some(0), Some(0..4)), (Some(3), Some(3..4)), (Some(9), None)] {
        let mut asking = request(None, 0, Vec::new());
        asking["audit"] = json!(after);
        let (status, answer) = gym.running.ask("POST", "/v1/sync", Some(&gym.lifter), Some(asking)).await;
        assert_eq!(status, 200, "{answer}");
        let wanted = lines.map(|of| audit["lines"].as_array().unwrap()[of].to_vec());
        assert_eq!(answer.get("audit"), wanted.map(Value::from).as_ref(), "after {after:?}");
    }
    let own = gym.running.ask("GET", "/v1/audit?after=3", Some(&gym.coach), None).await;
    assert_eq!(own.1["lines"], json!([]), "a coach reads their own account's only");
}

/// Goes to a page of the locker and does there what is asked.
fn on_page(device: &mut Device, spot: Spot, events: &[PageEvent]) {
    let way = [PageEvent::Place { place: Place::Locker }, PageEvent::Open { spot }];
    for event in way.iter().chain(events) {
        let update = device.companion.dispatch(Event::from(event.clone()), &now()).unwrap();
        assert_eq!(update.refused, None, "{event:?}");
    }
}

#[tokio::test]
async fn what_is_granted_on_the_lifters_page_is_read_until_it_is_withdrawn_there() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let coach = running.token("mara", Role::Coach).await;
    let read = || running.ask("GET", "/v1/lifters/anna/record", Some(&coach), None);
    let mut device = Device::open(&folder, "anna.plinth");
    let invitation = running.invite("anna", Role::Lifter).await;
    let paired = device.pair(&invitation).await;
    device.write(vec![note(1, "slept badly", 50)]);
    device.sync(&paired).await.unwrap();
    assert_eq!(read().await.0, 404, "nothing is granted");

    let choose = |field: &str, value: &str| PageEvent::Choose { field: field.into(), value: value.into() };
    let keep = PageEvent::Do { deed: Deed::Keep };
    on_page(&mut device, Spot::NewGrant, &[choose("to", "Mara"), choose("log", "yes"), keep.clone()]);
    assert_eq!(read().await.0, 404, "the host does not have it yet");
    device.sync(&paired).await.unwrap();
    let (status, answer) = read().await;
    assert_eq!((status, &answer["may"]["reads"]), (200, &json!(["log"])), "{answer}");
    assert!(answer["entries"].to_string().contains("slept badly"), "{answer}");

    let withdraw = PageEvent::Do { deed: Deed::Remove };
    let of_mara = Spot::Grant { coach: "mara".into() };
    on_page(&mut device, of_mara.clone(), &[withdraw.clone(), withdraw]);
    device.sync(&paired).await.unwrap();
    assert_eq!(read().await.0, 404, "it is withdrawn");

    on_page(&mut device, of_mara, &[choose("log", "no"), choose("findings", "yes"), keep]);
    device.sync(&paired).await.unwrap();
    let (status, answer) = read().await;
    assert_eq!((status, &answer["may"]["reads"]), (200, &json!(["findings"])), "{answer}");
    assert!(!answer.to_string().contains("slept badly"), "{answer}");
}
