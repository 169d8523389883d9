//! A value of a field, and the one canonical text of what it means.

use super::fault::Reason;
use serde::de::{self, DeserializeOwned, Deserializer, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;
use std::cmp::Ordering;
use std::fmt::{self, Write as _};
use std::sync::Arc;

/// 2^53 - 1: the greatest integer that every JSON reader keeps exactly (RFC 8259, section 6).
const MOST_INTEGER: i64 = 9_007_199_254_740_991;

/// A JSON value that keeps its text. A field that this version knows holds canonical text; one that it does not know
/// holds what was received, byte for byte.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Json {
    // Shared, so that an entry that goes from one record to another is not copied letter by letter.
    text: Arc<str>,
    canonical: bool,
}

impl Json {
    /// The canonical form of a text: members sorted by UTF-16 code units, no white space, strings as RFC 8785 writes
    /// them, numbers integers within 2^53 - 1.
    pub(super) fn strict(text: &str) -> Result<Self, Reason> {
        canonical(text).map(|text| Self { text: text.into(), canonical: true })
    }

    /// Keeps a text, which must be JSON, as it is.
    pub(super) fn kept(text: &str) -> Self {
        let is_canonical = canonical(text).is_ok_and(|c| c == text);
        Self { text: text.into(), canonical: is_canonical }
    }

    /// A text that is known to be canonical.
    pub(super) fn trusted(text: &str) -> Self {
        Self { text: text.into(), canonical: true }
    }

    /// The canonical form of a value.
    pub(crate) fn of(value: &serde_json::Value) -> Result<Self, Reason> {
        use serde_json::Value;
        let text = value.to_string();
        // What is most of a record is written canonically at once: no need to read it again.
        let plain = match value {
            Value::Null | Value::Bool(_) => true,
            Value::Number(n) => n.as_i64().is_some_and(|n| (-MOST_INTEGER..=MOST_INTEGER).contains(&n)),
            Value::String(s) => s.bytes().all(|b| b >= b' ' && b != b'"' && b != b'\\'),
            Value::Array(_) | Value::Object(_) => false,
        };
        if plain { Ok(Self { text: text.into(), canonical: true }) } else { Self::strict(&text) }
    }

    /// Whether the text that is kept is the canonical one.
    pub(super) const fn is_canonical(&self) -> bool {
        self.canonical
    }

    /// The text that is kept.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The canonical text; where there is none, because the value is unknown and holds what has no canonical form,
    /// the text that is kept.
    pub fn canonical(&self) -> Cow<'_, str> {
        if self.canonical {
            return Cow::Borrowed(&self.text);
        }
        canonical(&self.text).map_or(Cow::Borrowed(&self.text), Cow::Owned)
    }

    /// Whether it is `null`: a field that was emptied.
    pub fn is_null(&self) -> bool {
        &*self.text == "null"
    }

    /// Read as a type.
    ///
    /// # Errors
    /// That the value is not of the type.
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, serde_json::Error> {
        serde_json::from_str(&self.text)
    }
}

impl PartialOrd for Json {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// By the canonical text, then by the text that is kept.
impl Ord for Json {
    fn cmp(&self, other: &Self) -> Ordering {
        if self.text == other.text {
            return Ordering::Equal;
        }
        self.canonical().cmp(&other.canonical()).then_with(|| self.text.cmp(&other.text))
    }
}

/// The canonical text of a JSON text.
fn canonical(text: &str) -> Result<String, Reason> {
    let node: Node = serde_json::from_str(text).map_err(|e| reason(&e))?;
    let mut out = String::with_capacity(text.len());
    node.write(&mut out);
    Ok(out)
}

/// What a parse error means for whoever wrote the file.
fn reason(error: &serde_json::Error) -> Reason {
    let mut text = error.to_string();
    // The place within one value misleads: the line of the entry is told elsewhere.
    if let Some(end) = text.rfind(" at line ") {
        text.truncate(end);
    }
    let remedy = match text.as_str() {
        FRACTION => "write it as a string, such as \"137.5\"",
        TOO_GREAT => "write it as a string",
        NUL => "take the character U+0000 out",
        "lone leading surrogate in hex escape" | "unexpected end of hex escape" => "write whole characters",
        "recursion limit exceeded" => "nest less deeply",
        "number out of range" => "write it as a string",
        _ => "write valid JSON, each name once in an object",
    };
    Reason::new("field_not_canonical", text, remedy)
}

const FRACTION: &str = "a number with a fraction or an exponent has no exact form";
const TOO_GREAT: &str = "an integer beyond 2^53 - 1 has no exact form in every reader";
const NUL: &str = "a text holds the character U+0000";

enum Node {
    Null,
    Flag(bool),
    Integer(i64),
    Text(String),
    List(Vec<Node>),
    Object(Vec<(String, Node)>),
}

impl Node {
    fn write(&self, out: &mut String) {
        match self {
            Self::Null => out.push_str("null"),
            Self::Flag(flag) => out.push_str(if *flag { "true" } else { "false" }),
            Self::Integer(n) => out.push_str(&n.to_string()),
            Self::Text(text) => write_string(text, out),
            Self::List(items) => {
                out.push('[');
                for (k, item) in items.iter().enumerate() {
                    if k > 0 {
                        out.push(',');
                    }
                    item.write(out);
                }
                out.push(']');
            }
            Self::Object(members) => {
                out.push('{');
                for (k, (name, value)) in members.iter().enumerate() {
                    if k > 0 {
                        out.push(',');
                    }
                    write_string(name, out);
                    out.push(':');
                    value.write(out);
                }
                out.push('}');
            }
        }
    }
}

/// A string as RFC 8785, section 3.2.2.2, writes it.
pub(super) fn write_string(text: &str, out: &mut String) {
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\u{8}' => out.push_str("\\b"),
            '\u{c}' => out.push_str("\\f"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c < ' ' => {
                // Writing to a string cannot fail.
                let _ = write!(out, "\\u{:04x}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
}

impl<'de> de::Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }

    fn visit_bool<E>(self, flag: bool) -> Result<Node, E> {
        Ok(Node::Flag(flag))
    }

    fn visit_i64<E: de::Error>(self, n: i64) -> Result<Node, E> {
        if (-MOST_INTEGER..=MOST_INTEGER).contains(&n) {
            Ok(Node::Integer(n))
        } else {
            Err(E::custom(TOO_GREAT))
        }
    }

    fn visit_u64<E: de::Error>(self, n: u64) -> Result<Node, E> {
        i64::try_from(n).map_err(|_| E::custom(TOO_GREAT)).and_then(|n| self.visit_i64(n))
    }

    fn visit_f64<E: de::Error>(self, _: f64) -> Result<Node, E> {
        Err(E::custom(FRACTION))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Node, E> {
        if text.contains('\0') { Err(E::custom(NUL)) } else { Ok(Node::Text(text.to_owned())) }
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Node, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Node::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Node, A::Error> {
        let mut object: Vec<(String, Node)> = Vec::new();
        while let Some((name, value)) = members.next_entry::<String, Node>()? {
            if name.contains('\0') {
                return Err(de::Error::custom(NUL));
            }
            object.push((name, value));
        }
        object.sort_by(|(a, _), (b, _)| a.encode_utf16().cmp(b.encode_utf16()));
        if let Some([(name, _), _]) = object.windows(2).find(|w| matches!(w, [(a, _), (b, _)] if a == b)) {
            return Err(de::Error::custom(format!(
                "\"{}\" stands twice in one object",
                super::fault::clip(name)
            )));
        }
        Ok(Node::Object(object))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_at_once_is_what_reading_it_again_would_give() {
        use serde_json::{Value, json};
        let values = [
            json!(null),
            json!(true),
            json!(0),
            json!(-7),
            json!(9_007_199_254_740_991_i64),
            json!(""),
            json!("plain"),
            json!("Kniebeuge \u{fc}ber 80 kg"),
            json!("\u{7f}\u{2028}\u{1f3cb}"),
            json!("a \"b\" \\ c\n"),
        ];
        for value in values {
            assert_eq!(Json::of(&value), Json::strict(&value.to_string()), "{value}");
        }
        for bad in [json!(9_007_199_254_740_992_i64), json!(1.5), json!(u64::MAX), Value::from("nul \u{0}")] {
            assert!(Json::of(&bad).is_err(), "{bad}");
        }
    }

    fn canon(text: &str) -> String {
        Json::strict(text).unwrap().text().to_owned()
    }

    #[test]
    fn members_are_sorted_by_utf16_code_units() {
        // RFC 8785, section 3.2.3 (seen in its errata-free text): the order of these names, numbers made integers.
        let given = "{\"\\u20ac\":1,\"\\r\":2,\"\\ufb33\":3,\"1\":4,\"\\ud83d\\ude00\":5,\"\\u0080\":6,\"\\u00f6\":7}";
        let wanted =
            "{\"\\r\":2,\"1\":4,\"\u{80}\":6,\"\u{f6}\":7,\"\u{20ac}\":1,\"\u{1f600}\":5,\"\u{fb33}\":3}";
        assert_eq!(canon(given), wanted);
    }

    #[test]
    fn strings_are_written_one_way() {
        assert_eq!(canon(r#" "\u0041\/\u001F\b\n€" "#), "\"A/\\u001f\\b\\n€\"");
    }

    #[test]
    fn what_has_no_exact_form_is_refused() {
        for bad in [
            "1.5",
            "1e3",
            "-0",
            "9007199254740992",
            "-9007199254740992",
            "18446744073709551616",
            "1e999",
            "NaN",
            r#"{"a":1,"a":2}"#,
            r#"{"a":1,"\u0061":2}"#,
            r#""\ud800""#,
            r#""\u0000""#,
            "[1,]",
            "",
        ] {
            let fault = Json::strict(bad).unwrap_err();
            assert!(!fault.what.is_empty() && !fault.remedy.is_empty(), "{bad}");
        }
        assert_eq!(canon("9007199254740991"), "9007199254740991");
        let deep = format!("{}{}", "[".repeat(10_000), "]".repeat(10_000));
        assert_eq!(Json::strict(&deep).unwrap_err().remedy, "nest less deeply");
    }

    #[test]
    fn a_kept_text_compares_by_what_it_means() {
        let (spaced, plain) = (Json::kept("{ \"a\" : 1 }"), Json::kept("{\"a\":1}"));
        assert_eq!(spaced.text(), "{ \"a\" : 1 }");
        assert_eq!(spaced.canonical(), plain.canonical());
        assert_ne!(spaced.cmp(&plain), Ordering::Equal);
        assert_eq!(Json::kept("1e999").canonical(), "1e999");
    }
}
