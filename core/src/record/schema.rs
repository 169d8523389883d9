//! The JSON Schema of the record's document, made from the types.

use super::{EntryId, FORM, Kind, views};
use schemars::{Schema, SchemaGenerator, generate::SchemaSettings};
use serde_json::{Map, Value, json};

/// The schema (2020-12) of what an export writes, as committed in `docs/record.schema.json`.
pub fn document_schema() -> Schema {
    let mut generator = SchemaGenerator::new(SchemaSettings::draft2020_12());
    let id = generator.subschema_for::<EntryId>().to_value();
    let kinds = views::schemas(&mut generator);
    let mut forms: Vec<Value> = kinds.into_iter().map(|(kind, view)| entry(&kind, &view, &id)).collect();
    let known = Kind::KNOWN.map(|kind| kind.name().to_owned());
    forms.push(json!({
        "title": "an entry of a newer version",
        "type": "object",
        "properties": {
            "id": id,
            "kind": { "type": "string", "pattern": NAME, "not": { "enum": known } },
            "stamp": { "$ref": "#/$defs/Stamp" },
            "fields": { "type": "object", "propertyNames": { "pattern": NAME }, "additionalProperties": { "$ref": "#/$defs/AnyField" } }
        },
        "required": ["id", "kind", "fields"],
        "additionalProperties": false
    }));
    let mut definitions: Map<String, Value> = generator.take_definitions(true);
    definitions.insert("Stamp".into(), json!({
        "description": "When a field was last written: milliseconds since 1970, counter and device in hexadecimal. A field without one has that of its entry.",
        "type": "string",
        "pattern": "^[0-9a-f]{12}-[0-9a-f]{4}-[0-9a-f]{16}$"
    }));
    definitions.insert("AnyField".into(), field(&json!(true)));
    let mut schema = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Training record",
        "description": "Entries with stamped fields; docs/record.md explains it.",
        "type": "object",
        "properties": {
            "form": { "const": FORM },
            "entries": { "type": "array", "items": { "oneOf": forms } }
        },
        "required": ["form", "entries"]
    });
    if let Some(object) = schema.as_object_mut() {
        object.insert("$defs".into(), Value::Object(definitions));
    }
    Schema::try_from(schema).unwrap_or_default()
}

const NAME: &str = "^[a-z0-9_]{1,64}$";

fn entry(kind: &Kind, view: &Schema, id: &Value) -> Value {
    let members = view.get("properties").and_then(Value::as_object).cloned().unwrap_or_default();
    let fields: Map<String, Value> =
        members.into_iter().map(|(name, schema)| (name, field(&schema))).collect();
    json!({
        "title": kind.name(),
        "description": view.get("description"),
        "type": "object",
        "properties": {
            "id": id,
            "kind": { "const": kind.name() },
            "stamp": { "$ref": "#/$defs/Stamp" },
            "fields": {
                "type": "object",
                "propertyNames": { "pattern": NAME },
                "properties": fields,
                "additionalProperties": { "$ref": "#/$defs/AnyField" }
            }
        },
        "required": ["id", "kind", "fields"],
        "additionalProperties": false
    })
}

fn field(value: &Value) -> Value {
    json!({
        "type": "object",
        "properties": { "value": value, "stamp": { "$ref": "#/$defs/Stamp" } },
        "required": ["value"],
        "additionalProperties": false
    })
}
