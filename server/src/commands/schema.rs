//! `plinth schema`: the JSON Schema of each document.

use crate::arguments::SchemaArguments;
use crate::failure::Failure;
use crate::output::json;
use plinth_core::catalogue::OwnMovement;
use plinth_core::load::Kit;
use plinth_core::plan::brief::Brief;
use plinth_core::plan::model::Instance;
use plinth_core::plan::programme::Programme;
use schemars::schema_for;

/// The documents that have a schema.
pub(crate) const NAMES: [&str; 6] = ["brief", "programme", "instance", "kit", "own-movement", "record"];

pub(crate) fn run(a: &SchemaArguments) -> Result<(), Failure> {
    let schema = match a.document.as_str() {
        "programme" => schema_for!(Programme),
        "instance" => schema_for!(Instance),
        "kit" => schema_for!(Kit),
        "own-movement" => schema_for!(OwnMovement),
        "record" => plinth_core::record::document_schema(),
        _ => schema_for!(Brief),
    };
    json(&mut std::io::stdout().lock(), &schema)
}
