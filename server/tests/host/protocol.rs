//! The protocol, rule by rule, as `docs/sync-protocol.md` states it.

use crate::common::{Folder, Running, entry_at, id, note, now_ms, request};
use plinth::host::account::Role;
use plinth::host::store::MOST_SHOWN;
use serde_json::{Value, json};

struct Lifter {
    running: Running,
    token: String,
    _folder: Folder,
}

impl Lifter {
    async fn new() -> Self {
        let folder = Folder::new();
        let running = Running::plain(&folder).await;
        let token = running.token("anna", Role::Lifter).await;
        Self { running, token, _folder: folder }
    }

    async fn sync(&self, request: Value) -> (u16, Value) {
        self.running.ask("POST", "/v1/sync", Some(&self.token), Some(request)).await
    }

    async fn good(&self, request: Value) -> Value {
        let (status, answer) = self.sync(request).await;
        assert_eq!(status, 200, "{answer}");
        answer
    }
}

fn other_device(mut request: Value) -> Value {
    request["device"] = json!("00000000000000bb");
    request
}

#[tokio::test]
async fn a_push_may_be_repeated_and_numbers_order_what_changes() {
    let lifter = Lifter::new().await;
    let push = vec![note(1, "one", 5), note(2, "two", 5)];
    let first = lifter.good(request(None, 0, push.clone())).await;
    let epoch = first["epoch"].as_str().unwrap().to_owned();
    assert_eq!(
        (&first["took"], &first["cursor"], &first["more"]),
        (&json!([0, 1]), &json!(2), &json!(false))
    );
    assert_eq!(first["pull"], json!([]), "a device does not get its own back");
    assert_eq!(first["differs"], Value::Null);
    assert_eq!(
        first["limits"],
        json!({"body_bytes": 4_194_304, "entries": 500, "ranges": 256, "drift_ms": 300_000})
    );
    assert_eq!((&first["can"], &first["protocol"]), (&json!(["gzip", "ranges"]), &json!(1)));
    let again = lifter.good(request(None, 0, push)).await;
    assert_eq!(
        (&again["took"], &again["cursor"], &again["sums"]),
        (&json!([0, 1]), &json!(2), &first["sums"])
    );
    let other = lifter.good(other_device(request(None, 0, vec![]))).await;
    assert_eq!(other["pull"].as_array().unwrap().len(), 2);
    assert_eq!(other["sums"][0]["kind"], "note");
    assert_eq!(other["sums"][0]["count"], 2);
    // The older of two writes changes nothing; the newer comes to the other.
    lifter.good(other_device(request(Some(&epoch), 2, vec![note(1, "older", 9), note(2, "newer", 1)]))).await;
    let pulled = lifter.good(request(Some(&epoch), 2, vec![])).await;
    assert_eq!(pulled["cursor"], 3);
    assert_eq!(pulled["pull"].as_array().unwrap().len(), 1);
    assert!(pulled["pull"][0].to_string().contains("newer"));
}

#[tokio::test]
async fn a_bad_entry_is_refused_with_its_reason_and_holds_nothing_up() {
    let lifter = Lifter::new().await;
    let ahead = entry_at(7, "note", json!({"text": "of tomorrow"}), now_ms() + 3_600_000);
    let near = entry_at(8, "note", json!({"text": "a little ahead"}), now_ms() + 60_000);
    let push = vec![
        note(1, "good", 5),
        json!({"id": id(2), "kind": "note", "stamp": "000000000001-0000-0000000000000001", "fields": {"text": {"value": 5}}}),
        json!("no entry"),
        json!({"id": "no id", "kind": "note", "fields": {}}),
        ahead,
        near,
        json!({"id": id(3), "kind": "sled_race", "stamp": "000000000001-0000-0000000000000001", "fields": {"heat": {"value": {"z": 1, "a": 2.50}}}}),
        json!({"id": id(4), "kind": "set", "stamp": "000000000001-0000-0000000000000001", "fields": {"new_field": {"value": [1]}}}),
    ];
    let answer = lifter.good(request(None, 0, push)).await;
    assert_eq!(answer["took"], json!([0, 5, 6, 7]));
    let refused = answer["refused"].as_array().unwrap();
    let at = |k: usize| (refused[k]["at"].as_u64().unwrap(), refused[k]["code"].as_str().unwrap().to_owned());
    assert_eq!(refused.len(), 4);
    assert_eq!(at(0), (1, "field_type".into()));
    assert_eq!((&refused[0]["id"], &refused[0]["field"]), (&json!(id(2)), &json!("text")));
    assert_eq!((at(1).0, at(2)), (2, (3, "entry_id".into())));
    assert_eq!(at(3), (4, "stamp_ahead".into()));
    assert_eq!(refused[3]["field"], "text");
    for r in refused {
        assert!(
            !r["reason"].as_str().unwrap().is_empty() && !r["remedy"].as_str().unwrap().is_empty(),
            "{r}"
        );
    }
    // What is not known is kept, byte for byte.
    let ask = serde_json::to_vec(&other_device(request(None, 0, vec![]))).unwrap();
    let reply = lifter.running.way().post_json("/v1/sync", Some(&lifter.token), ask).await.unwrap();
    let body = plinth_core::sync::unpack(&reply.body, 1_000_000).unwrap();
    let text = String::from_utf8(body).unwrap();
    assert!(text.contains("\"new_field\":{\"value\":[1]}") && text.contains("2.5"), "{text}");
}

#[tokio::test]
async fn another_epoch_or_a_copy_of_the_device_is_told() {
    let lifter = Lifter::new().await;
    let first = lifter.good(request(None, 0, vec![note(1, "one", 5)])).await;
    let epoch = first["epoch"].as_str().unwrap();
    let other = lifter.good(request(Some("another"), 77, vec![])).await;
    assert_eq!((&other["differs"], &other["cursor"]), (&json!("epoch"), &json!(1)));
    let further = lifter.good(request(Some(epoch), 99, vec![])).await;
    assert_eq!(further["differs"], "epoch", "the store is an older state of itself");
    lifter.good(request(Some(epoch), 1, vec![])).await;
    let copy = lifter.good(request(Some(epoch), 0, vec![note(2, "of a copy", 5)])).await;
    assert_eq!((&copy["differs"], &copy["took"], &copy["pull"]), (&json!("device"), &json!([]), &json!([])));
    assert_eq!(copy["sums"], Value::Null);
    // A copy of before the first sync, or of another epoch, is one as well.
    for late in [None, Some("another")] {
        let copy = lifter.good(request(late, 0, vec![note(2, "of a copy", 5)])).await;
        assert_eq!((&copy["differs"], &copy["took"]), (&json!("device"), &json!([])), "{late:?}");
    }
    let after = lifter.good(request(Some(epoch), 1, vec![])).await;
    assert_eq!(after["sums"][0]["count"], 1, "nothing of the copy was taken");
}

#[tokio::test]
async fn a_first_request_is_repeated_until_its_answer_came() {
    let lifter = Lifter::new().await;
    let push: Vec<Value> = (1..4).map(|n| note(n, "first", 5)).collect();
    for _ in 0..3 {
        let answer = lifter.good(request(None, 0, push.clone())).await;
        assert_eq!((&answer["differs"], &answer["took"]), (&Value::Null, &json!([0, 1, 2])));
        assert_eq!(answer["cursor"], 3);
    }
    // The same where the device was with another store before.
    for _ in 0..3 {
        let answer = lifter.good(request(Some("another"), 9, push.clone())).await;
        assert_eq!((&answer["differs"], &answer["took"]), (&json!("epoch"), &json!([0, 1, 2])));
    }
}

#[tokio::test]
async fn pages_ranges_and_fetching() {
    let lifter = Lifter::new().await;
    for chunk in 0..3 {
        let notes = (chunk * 300..chunk * 300 + 300).map(|n| note(n, "n", 5)).collect();
        lifter.good(request(None, 0, notes)).await;
    }
    let mut cursor = 0;
    let mut seen = 0;
    let epoch = loop {
        let mut ask = other_device(request(None, cursor, vec![]));
        ask["want"] = json!(200);
        let answer = lifter.good(ask).await;
        // Without an epoch of its own a device begins at nought each time: the numbers must grow all the same.
        seen += answer["pull"].as_array().unwrap().len();
        cursor = answer["cursor"].as_u64().unwrap();
        assert_eq!(answer["sums"] == Value::Null, answer["more"].as_bool().unwrap(), "sums come at the end");
        if seen == 200 {
            break answer["epoch"].as_str().unwrap().to_owned();
        }
    };
    while cursor < 900 {
        let mut ask = other_device(request(Some(&epoch), cursor, vec![]));
        ask["want"] = json!(200);
        let answer = lifter.good(ask).await;
        seen += answer["pull"].as_array().unwrap().len();
        cursor = answer["cursor"].as_u64().unwrap();
    }
    assert_eq!((seen, cursor), (900, 900));
    let zero = "0".repeat(64);
    let mut ask = request(Some(&epoch), 900, vec![]);
    ask["ranges"] = json!([{"after": null, "up_to": null, "count": 1, "digest": zero}]);
    ask["fetch"] = json!([id(5), id(5_000)]);
    let answer = lifter.good(ask).await;
    assert_eq!(
        answer["pull"].as_array().unwrap().len(),
        1,
        "what is fetched is sent, what is not there is not"
    );
    let parts = answer["ranges"][0]["parts"].as_array().unwrap().clone();
    assert_eq!((&answer["ranges"][0]["is"], parts.len()), (&json!("parts"), 16));
    assert_eq!((&parts[0]["after"], &parts[15]["up_to"]), (&Value::Null, &Value::Null));
    let count: u64 = parts.iter().map(|p| p["count"].as_u64().unwrap()).sum();
    assert_eq!(count, 900);
    for pair in parts.windows(2) {
        assert_eq!(pair[0]["up_to"], pair[1]["after"], "no gap between them");
    }
    let mut ask = request(Some(&epoch), 900, vec![]);
    let mut wrong = parts[1].clone();
    wrong["count"] = json!(3);
    ask["ranges"] = json!([parts[0], wrong]);
    let answer = lifter.good(ask).await;
    assert_eq!(answer["ranges"][0]["is"], "same");
    assert_eq!(answer["ranges"][1]["is"], "entries");
    assert_eq!(answer["ranges"][1]["entries"].as_array().unwrap().len(), 57);
    let mut ask = request(Some(&epoch), 900, vec![]);
    let whole = json!({"after": null, "up_to": null, "count": 1, "digest": zero});
    ask["ranges"] = Value::Array(vec![whole; 256]);
    let (status, fault) = lifter.sync(ask).await;
    assert_eq!((status, fault["code"].as_str()), (400, Some("ranges_overlap")), "work is bounded");
}

#[tokio::test]
async fn what_is_no_request_is_refused_with_its_status() {
    let lifter = Lifter::new().await;
    let with = |name: &str, value: Value| {
        let mut r = request(None, 0, vec![]);
        r[name] = value;
        r
    };
    let many = |n: usize| Value::Array((0..n).map(|_| json!(0)).collect());
    for (ask, status, code, field) in [
        (with("protocol", json!(2)), 400, "other_protocol", Some("protocol")),
        (with("app", json!("0.0.9")), 426, "app_too_old", Some("app")),
        (with("app", json!("none")), 426, "app_too_old", Some("app")),
        (with("push", many(501)), 413, "too_many", Some("push")),
        (with("push", many(5_001)), 400, "body", None),
        (with("push", json!({})), 400, "body", None),
        (with("cursor", json!(-1)), 400, "body", None),
        (with("device", json!("zz")), 400, "body", None),
        (json!([]), 400, "body", None),
    ] {
        let (got, fault) = lifter.sync(ask).await;
        assert_eq!(
            (got, fault["code"].as_str(), fault["field"].as_str()),
            (status, Some(code), field),
            "{fault}"
        );
        assert!(fault["reason"].is_string() && fault["remedy"].is_string());
    }
    assert_eq!(
        lifter.sync(with("newer", json!(1))).await.0,
        200,
        "members that are not known are passed over"
    );
}

#[tokio::test]
async fn a_device_that_is_no_longer_remembered_goes_on_where_it_was() {
    let lifter = Lifter::new().await;
    let first = lifter.good(request(None, 0, vec![note(1, "one", 5), note(2, "two", 5)])).await;
    let epoch = first["epoch"].as_str().unwrap();
    lifter.good(request(Some(epoch), 2, vec![])).await;
    // Another device of the account takes one identity after another, as a phone that is put back each day.
    for n in 0..MOST_SHOWN {
        let mut ask = request(None, 0, vec![]);
        ask["device"] = json!(format!("{:016x}", 1_000 + n));
        ask["want"] = json!(0);
        lifter.good(ask).await;
    }
    let on = lifter.good(request(Some(epoch), 2, vec![note(3, "three", 5)])).await;
    assert_eq!((&on["differs"], &on["took"], &on["cursor"]), (&Value::Null, &json!([0]), &json!(3)));
    lifter.good(request(Some(epoch), 3, vec![])).await;
    let copy = lifter.good(request(Some(epoch), 2, vec![])).await;
    assert_eq!(copy["differs"], "device", "it is remembered again");
}
