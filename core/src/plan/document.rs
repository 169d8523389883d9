//! The doors: JSON to a brief or a programme, with one clear sentence for whatever is wrong.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use serde_path_to_error::Segment;
use std::fmt;

/// What is wrong with a document, where, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DocumentFault {
    /// The field, as a path.
    pub field: String,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub remedy: String,
}

impl DocumentFault {
    pub(crate) fn new(
        field: impl Into<String>,
        problem: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self { field: field.into(), problem: problem.into(), remedy: remedy.into() }
    }
}

impl fmt::Display for DocumentFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}.", self.field, self.problem, self.remedy)
    }
}

impl std::error::Error for DocumentFault {}

/// Reads one JSON document of at most `most` bytes; `what` is what a fault of the whole calls it.
///
/// # Errors
/// The first fault that keeps it from being read.
pub(in crate::plan) fn read_document<T: DeserializeOwned>(
    json: &[u8],
    what: &str,
    most: usize,
) -> Result<T, DocumentFault> {
    if json.len() > most {
        let problem = format!("{} bytes are more than a {what} may have", json.len());
        return Err(DocumentFault::new(what, problem, format!("give at most {most}")));
    }
    let mut reader = serde_json::Deserializer::from_slice(json);
    let document = serde_path_to_error::deserialize(&mut reader)
        .map_err(|e| not_a_word::<T>(json, what, &e).unwrap_or_else(|| fault_of(what, e)))?;
    match reader.end() {
        Ok(()) => Ok(document),
        Err(e) => Err(DocumentFault::new(what, e.to_string(), "give one JSON object and nothing after it")),
    }
}

/// The reader's error as a fault, with the full path of the field.
fn fault_of(what: &str, e: serde_path_to_error::Error<serde_json::Error>) -> DocumentFault {
    let path = e.path().to_string();
    let inner = e.into_inner();
    let text = inner.to_string();
    let whole = path == "." || path == "?";
    // The path of a field that is missing or there twice ends at what should hold it once.
    let named = ["missing field `", "duplicate field `"]
        .into_iter()
        .find_map(|start| text.strip_prefix(start)?.split('`').next());
    let field = match named {
        Some(name) if whole => name.to_owned(),
        Some(name) => format!("{path}.{name}"),
        None if whole => what.to_owned(),
        None => path,
    };
    let remedy = remedy_for(&inner);
    DocumentFault::new(field, text, remedy)
}

/// The fault of a number, truth value, list or null where a word belongs. The reader calls it broken JSON though
/// the text is sound, so the value is put to it again as a word, and it says which words there are.
fn not_a_word<T: DeserializeOwned>(
    json: &[u8],
    what: &str,
    e: &serde_path_to_error::Error<serde_json::Error>,
) -> Option<DocumentFault> {
    if !e.inner().is_syntax() {
        return None;
    }
    let mut sound: Value = serde_json::from_slice(json).ok()?;
    let mut at = &mut sound;
    for step in e.path() {
        at = match step {
            Segment::Seq { index } => at.get_mut(*index)?,
            Segment::Map { key } => at.get_mut(key)?,
            Segment::Enum { .. } | Segment::Unknown => return None,
        };
    }
    let word = match &*at {
        Value::String(_) => return None,
        Value::Array(_) => "a list".into(),
        Value::Object(_) => "an object".into(),
        other => other.to_string(),
    };
    *at = Value::String(word);
    serde_path_to_error::deserialize::<_, T>(&sound).err().map(|e| fault_of(what, e))
}

fn remedy_for(e: &serde_json::Error) -> &'static str {
    let text = e.to_string();
    if text.contains("unknown field") {
        "use one of the fields named, or leave it out"
    } else if text.contains("missing field") {
        "add it"
    } else if text.contains("unknown variant") {
        "use one of the words named"
    } else if text.contains("duplicate field") {
        "keep one of the two"
    } else if e.is_data() {
        "give a value of the kind named"
    } else {
        "write JSON; numbers are whole, and NaN is not a number"
    }
}
