//! The description of the paths says what there is: every path, and every member of what is really answered.

use crate::common::{Folder, Running, entry, note, request};
use plinth::host::account::Role;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// Holds a document to one schema of the description.
fn holds(description: &Value, schema: &str, document: &Value) {
    let whole = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$ref": format!("#/components/schemas/{schema}"),
        "components": description["components"],
    });
    let validator = jsonschema::validator_for(&whole).unwrap();
    let faults: Vec<String> =
        validator.iter_errors(document).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(faults.is_empty(), "{schema}: {faults:?} in {document}");
}

#[tokio::test]
async fn every_path_is_described_and_every_described_path_is_there() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let (_, description) = running.ask("GET", "/v1/openapi.json", None, None).await;
    let described: BTreeSet<&str> =
        description["paths"].as_object().unwrap().keys().map(String::as_str).collect();
    let source = include_str!("../../src/host/door/mod.rs");
    let outer = source.split("pub fn inner_routes").next().unwrap();
    let routed: BTreeSet<&str> = outer
        .split(".route(")
        .skip(1)
        .filter_map(|rest| rest.split('"').nth(1))
        .filter(|path| *path != "/v1" && !path.contains('*'))
        .collect();
    assert_eq!(routed, described);
    let token = running.token("anna", Role::Lifter).await;
    for (path, methods) in description["paths"].as_object().unwrap() {
        let real = path.replace("{account}", "anna").replace("{key}", "0000000000000000");
        for method in ["get", "post", "put", "delete"] {
            let there = methods.get(method).is_some();
            if real == "/healthz" {
                continue;
            }
            let (status, answer) = running.ask(&method.to_uppercase(), &real, Some(&token), None).await;
            assert_eq!(status != 405, there, "{method} {path}: {status}");
            if status != 200 {
                holds(&description, "Fault", &answer);
            }
        }
    }
}

#[tokio::test]
async fn what_is_answered_is_what_is_described() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let (_, description) = running.ask("GET", "/v1/openapi.json", None, None).await;
    let code = running.invite("anna", Role::Lifter).await.code;
    let pair = json!({"code": code, "device": "00000000000000aa", "name": "phone", "app": "0.1.0"});
    holds(&description, "PairRequest", &pair);
    let (_, paired) = running.ask("POST", "/v1/pair", None, Some(pair)).await;
    holds(&description, "PairAnswer", &paired);
    let (anna, mara) =
        (paired["token"].as_str().unwrap().to_owned(), running.token("mara", Role::Coach).await);
    let grant = json!({"to": "mara", "may": ["log", "notes"]});
    let mut push = vec![entry(900, "grant", grant, 9), json!({"kind": "note"})];
    push.extend((0..400).map(|n| note(n, "text", 9)));
    let mut ask = request(None, 0, push);
    let zero = "0".repeat(64);
    ask["ranges"] = json!([{"after": null, "up_to": null, "count": 1, "digest": zero}]);
    holds(&description, "SyncRequest", &ask);
    let (status, answer) = running.ask("POST", "/v1/sync", Some(&anna), Some(ask)).await;
    assert_eq!(status, 200);
    holds(&description, "SyncAnswer", &answer);
    let mut narrow = request(Some(answer["epoch"].as_str().unwrap()), 0, vec![]);
    let mut other = answer["ranges"][0]["parts"][1].clone();
    other["count"] = json!(1);
    narrow["ranges"] = json!([answer["ranges"][0]["parts"][0], other]);
    narrow["audit"] = json!(0);
    holds(&description, "SyncRequest", &narrow);
    let (_, answer) = running.ask("POST", "/v1/sync", Some(&anna), Some(narrow)).await;
    assert_eq!(answer["audit"][0]["deed"], "paired", "{answer}");
    assert_eq!((&answer["ranges"][0]["is"], &answer["ranges"][1]["is"]), (&json!("same"), &json!("entries")));
    holds(&description, "SyncAnswer", &answer);
    let writing =
        json!({"push": [entry(901, "note", json!({"text": "good"}), 5), entry(902, "set", json!({}), 5)]});
    holds(&description, "Writing", &writing);
    for (method, path, token, body, schema) in [
        ("GET", "/v1/devices", &anna, None, "Devices"),
        ("POST", "/v1/token", &anna, None, "TokenAnswer"),
        ("GET", "/v1/lifters", &mara, None, "Lifters"),
        ("GET", "/v1/lifters/anna/record", &mara, None, "Seen"),
        ("POST", "/v1/lifters/anna/record", &mara, Some(writing), "Written"),
        ("GET", "/v1/audit", &anna, None, "Audit"),
    ] {
        let (status, answer) = running.ask(method, path, Some(token), body).await;
        assert_eq!(status, 200, "{path}: {answer}");
        holds(&description, schema, &answer);
    }
}

#[tokio::test]
async fn an_object_is_no_list_and_a_range_may_leave_out_its_ends() {
    let folder = Folder::new();
    let running = Running::plain(&folder).await;
    let token = running.token("anna", Role::Lifter).await;
    let mut ask = request(None, 0, vec![]);
    ask["ranges"] = json!([{"count": 0, "digest": "0".repeat(64)}]);
    let (_, description) = running.ask("GET", "/v1/openapi.json", None, None).await;
    holds(&description, "SyncRequest", &ask);
    let (status, answer) = running.ask("POST", "/v1/sync", Some(&token), Some(ask.clone())).await;
    assert_eq!((status, &answer["ranges"][0]["is"]), (200, &json!("same")));
    let members: Vec<_> =
        ["protocol", "app", "device", "epoch", "cursor", "can", "push", "want", "sums", "ranges", "fetch"]
            .iter()
            .map(|name| ask[*name].clone())
            .collect();
    let (status, answer) = running.ask("POST", "/v1/sync", Some(&token), Some(json!(members))).await;
    assert_eq!((status, answer["reason"].as_str()), (400, Some("the body is no JSON object")));
    let in_order = json!([null, null, 0, "0".repeat(64)]);
    ask["ranges"] = json!([in_order]);
    let (status, _) = running.ask("POST", "/v1/sync", Some(&token), Some(ask)).await;
    assert_eq!(status, 400, "nor is a range");
}
