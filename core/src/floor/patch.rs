//! The difference between two states as JSON, so that undo keeps what an event changed and not a whole copy.

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A step of the way into a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
enum Step {
    Place(usize),
    Key(String),
}

/// One change: a value put at the end of the way, or taken off there (of an array: with all that follow).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Change {
    at: Vec<Step>,
    #[serde(default, skip_serializing_if = "Option::is_none", deserialize_with = "present")]
    put: Option<Value>,
}

/// A null that is there is a value; only an absent field takes off.
fn present<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Option<Value>, D::Error> {
    Value::deserialize(from).map(Some)
}

/// What turns one document into another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub(super) struct Patch(Vec<Change>);

impl Patch {
    /// What turns `from` into `to`.
    pub(super) fn between(from: &Value, to: &Value) -> Self {
        let mut changes = Vec::new();
        compare(from, to, &mut Vec::new(), &mut changes);
        Self(changes)
    }

    /// Does it. A way that is not there is passed over.
    pub(super) fn apply(&self, to: &mut Value) {
        for change in &self.0 {
            let Some((last, way)) = change.at.split_last() else {
                if let Some(value) = &change.put {
                    to.clone_from(value);
                }
                continue;
            };
            let mut at = Some(&mut *to);
            for step in way {
                at = match (at, step) {
                    (Some(Value::Object(o)), Step::Key(k)) => o.get_mut(k),
                    (Some(Value::Array(a)), Step::Place(k)) => a.get_mut(*k),
                    _ => None,
                };
            }
            match (at, last, &change.put) {
                (Some(Value::Object(o)), Step::Key(k), Some(v)) => {
                    o.insert(k.clone(), v.clone());
                }
                (Some(Value::Object(o)), Step::Key(k), None) => {
                    o.remove(k);
                }
                (Some(Value::Array(a)), Step::Place(k), Some(v)) => match a.get_mut(*k) {
                    Some(old) => old.clone_from(v),
                    None => a.push(v.clone()),
                },
                (Some(Value::Array(a)), Step::Place(k), None) => a.truncate(*k),
                _ => {}
            }
        }
    }
}

fn compare(from: &Value, to: &Value, way: &mut Vec<Step>, changes: &mut Vec<Change>) {
    match (from, to) {
        (Value::Object(a), Value::Object(b)) => {
            for key in a.keys().filter(|k| !b.contains_key(*k)) {
                let at = way.iter().cloned().chain([Step::Key(key.clone())]).collect();
                changes.push(Change { at, put: None });
            }
            for (key, new) in b {
                way.push(Step::Key(key.clone()));
                match a.get(key) {
                    Some(old) => compare(old, new, way, changes),
                    None => changes.push(Change { at: way.clone(), put: Some(new.clone()) }),
                }
                way.pop();
            }
        }
        (Value::Array(a), Value::Array(b)) => {
            for (k, new) in b.iter().enumerate() {
                way.push(Step::Place(k));
                match a.get(k) {
                    Some(old) => compare(old, new, way, changes),
                    None => changes.push(Change { at: way.clone(), put: Some(new.clone()) }),
                }
                way.pop();
            }
            if b.len() < a.len() {
                let at = way.iter().cloned().chain([Step::Place(b.len())]).collect();
                changes.push(Change { at, put: None });
            }
        }
        _ if from == to => {}
        _ => changes.push(Change { at: way.clone(), put: Some(to.clone()) }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn json() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            (0..9i32).prop_map(Value::from),
            "[a-c]{0,2}".prop_map(Value::from),
        ];
        leaf.prop_recursive(3, 24, 4, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
                prop::collection::btree_map("[a-c]", inner, 0..4)
                    .prop_map(|m| Value::Object(m.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn a_patch_read_back_from_json_turns_one_document_into_the_other(from in json(), to in json()) {
            let text = serde_json::to_string(&Patch::between(&from, &to)).unwrap();
            let patch: Patch = serde_json::from_str(&text).unwrap();
            let mut now = from;
            patch.apply(&mut now);
            prop_assert_eq!(now, to);
        }
    }

    #[test]
    fn a_small_change_makes_a_small_patch() {
        let from = serde_json::json!({"a": [1, 2, {"b": 3}], "c": "x".repeat(5000)});
        let mut to = from.clone();
        to["a"][2]["b"] = 4.into();
        let patch = Patch::between(&to, &from);
        assert!(serde_json::to_string(&patch).unwrap().len() < 60);
    }
}
