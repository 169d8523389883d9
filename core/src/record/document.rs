//! The whole record as one JSON document.

use super::scan::{Part, Parts, member, skip};
use super::{Entry, EntryId, ImportFault, MOST_BYTES, MOST_ENTRIES, Refused, read_entry};
use std::collections::BTreeMap;
use std::io::{self, Write};
use std::ops::Range;

/// The form of the document, named in its member `form`.
pub const FORM: &str = "plinth.record/1";

/// What was read of a file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taken {
    /// The entries that may be taken, by id. Two of one id are merged.
    pub entries: Vec<Entry>,
    /// Those that may not, in the order of the file.
    pub refused: Vec<Refused>,
}

/// Writes entries as a document: one line for each, in the order given (by id, for the same bytes each time).
///
/// # Errors
/// Those of the writer, and those with which the entries come.
pub fn write_document<E: From<io::Error>>(
    entries: impl IntoIterator<Item = Result<Entry, E>>,
    out: &mut impl Write,
) -> Result<u64, E> {
    write!(out, "{{\"form\":\"{FORM}\",\"entries\":[")?;
    let mut count = 0;
    for entry in entries {
        let entry = entry?;
        out.write_all(if count == 0 { b"\n" } else { b",\n" })?;
        out.write_all(entry.text().as_bytes())?;
        count += 1;
    }
    out.write_all(b"\n]}\n")?;
    Ok(count)
}

/// Reads a document whole. A bad entry spoils only itself, whatever is wrong with it.
///
/// # Errors
/// [`ImportFault`] when the file as a whole cannot be taken.
pub fn read_document(bytes: &[u8]) -> Result<Taken, ImportFault> {
    let mut taken: BTreeMap<EntryId, Entry> = BTreeMap::new();
    let mut refused = Refusals::default();
    for part in DocumentEntries::of(bytes)? {
        match part {
            Ok((line, entry)) => match taken.get_mut(&entry.id) {
                None => {
                    taken.insert(entry.id, entry);
                }
                Some(first) if first.kind == entry.kind => {
                    first.merge(&entry);
                }
                Some(first) => refused.add(Refused {
                    line,
                    entry: Some(entry.id.to_string()),
                    field: None,
                    code: "entry_two_kinds",
                    reason: format!("the id is that of a {} above", first.kind),
                    remedy: "give it an id of its own".into(),
                }),
            },
            Err(fault) => refused.add(fault),
        }
    }
    Ok(Taken { entries: taken.into_values().collect(), refused: refused.into_list() })
}

/// The entries of a document one after the other, each with the line on which it begins, so that a long document is
/// never held in memory as entries.
#[derive(Debug)]
pub struct DocumentEntries<'a> {
    bytes: &'a [u8],
    parts: Parts<'a>,
    lines: Lines<'a>,
    left: u64,
}

impl<'a> DocumentEntries<'a> {
    /// Finds them.
    ///
    /// # Errors
    /// [`ImportFault`] when the file as a whole cannot be taken.
    pub fn of(bytes: &'a [u8]) -> Result<Self, ImportFault> {
        if bytes.len() as u64 > MOST_BYTES {
            return Err(ImportFault::TooLong { bytes: bytes.len() as u64, most: MOST_BYTES });
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let (form, entries) = members(bytes)?;
        if form != FORM {
            return Err(ImportFault::OtherForm { form: super::fault::clip(&form), ours: FORM });
        }
        let mut lines = Lines::new(bytes);
        let parts = Parts::of(bytes, &entries, b'[').ok_or_else(|| {
            not_a_record(lines.of(entries.start), "\"entries\" is no list", "make it a list of entries")
        })?;
        Ok(Self { bytes, parts, lines, left: MOST_ENTRIES })
    }
}

impl Iterator for DocumentEntries<'_> {
    type Item = Result<(u64, Entry), Refused>;

    fn next(&mut self) -> Option<Self::Item> {
        let (range, ended) = match self.parts.next()? {
            Part::Whole(range) => (range, true),
            Part::Unended(range) => (range, false),
        };
        let line = self.lines.of(range.start);
        let refused = |code, reason: &str, remedy: &str| Refused {
            line,
            entry: None,
            field: None,
            code,
            reason: reason.into(),
            remedy: remedy.into(),
        };
        if self.left == 0 {
            self.parts.stop();
            return Some(Err(too_many(line)));
        }
        self.left -= 1;
        if !ended {
            let reason = "the file ends within this entry or list";
            return Some(Err(refused("entry_cut_short", reason, "export or copy the file again")));
        }
        let read = read_entry(self.bytes.get(range).unwrap_or_default());
        Some(read.map(|entry| (line, entry)).map_err(|fault| Refused { line, ..fault }))
    }
}

/// What is said of the first that is one too many.
pub(super) fn too_many(line: u64) -> Refused {
    Refused {
        line,
        entry: None,
        field: None,
        code: "import_too_many",
        reason: format!("a file has at most {MOST_ENTRIES} entries or rows; this and all after it were left"),
        remedy: "put the rest into a file of its own and import that too".into(),
    }
}

/// What was refused, told singly up to a number: a file of millions of bad entries does not become a list of millions.
#[derive(Debug, Default)]
pub struct Refusals {
    told: Vec<Refused>,
    more: u64,
}

impl Refusals {
    /// How many are told singly.
    pub const MOST: usize = 1_000;

    /// Adds one.
    pub fn add(&mut self, refused: Refused) {
        if self.told.len() < Self::MOST { self.told.push(refused) } else { self.more += 1 }
    }

    /// The list; where there are more, the last line says how many.
    pub fn into_list(mut self) -> Vec<Refused> {
        if let (Some(last), true) = (self.told.last(), self.more > 0) {
            self.told.push(Refused {
                line: last.line,
                entry: None,
                field: None,
                code: "more_refused",
                reason: format!("{} more after this line were refused", self.more),
                remedy: "mend those above, then import again".into(),
            });
        }
        self.told
    }
}

/// The form, and where the entries stand.
fn members(bytes: &[u8]) -> Result<(String, Range<usize>), ImportFault> {
    let whole = 0..bytes.len();
    let line = |at: usize| 1 + bytes.get(..at).map_or(0, newlines);
    let parts = Parts::of(bytes, &whole, b'{').ok_or_else(|| {
        not_a_record(
            line(skip(bytes, 0)),
            "this is no JSON object",
            "import what `plinth record export` wrote",
        )
    })?;
    let (mut form, mut entries) = (None, None);
    for part in parts {
        let (Part::Whole(range) | Part::Unended(range)) = part;
        let Some((name, value)) = member(bytes, &range) else {
            // What follows the entries of a file that was cut short is told there.
            if entries.is_some() {
                continue;
            }
            return Err(not_a_record(
                line(range.start),
                "a name and a value should stand here",
                "mend the file",
            ));
        };
        let slot = match bytes.get(name) {
            Some(b"\"form\"") => &mut form,
            Some(b"\"entries\"") => &mut entries,
            _ => continue,
        };
        if slot.replace(value).is_some() {
            return Err(not_a_record(line(range.start), "a name stands twice", "keep one of the two"));
        }
    }
    let missing =
        |what: &str| not_a_record(1, &format!("there is no \"{what}\""), "import what an export wrote");
    let form = form.ok_or_else(|| missing("form"))?;
    let form = bytes
        .get(form.clone())
        .and_then(|b| serde_json::from_slice::<String>(b).ok())
        .ok_or_else(|| not_a_record(line(form.start), "\"form\" is no text", &format!("write \"{FORM}\"")))?;
    Ok((form, entries.ok_or_else(|| missing("entries"))?))
}

fn not_a_record(line: u64, reason: &str, remedy: &str) -> ImportFault {
    ImportFault::NotARecord { line, reason: reason.into(), remedy: remedy.into() }
}

#[allow(clippy::naive_bytecount)] // a crate for it is not worth what it saves here
fn newlines(bytes: &[u8]) -> u64 {
    bytes.iter().filter(|b| **b == b'\n').count() as u64
}

/// Counts lines as the reading goes on.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0, line: 1 }
    }

    /// The line of the first place from `at` that is no white space; `at` only rises from call to call.
    pub(super) fn of(&mut self, at: usize) -> u64 {
        let at = skip(self.bytes, at);
        let passed = self.bytes.get(self.at..at).unwrap_or_default();
        self.line += newlines(passed);
        self.at = self.at.max(at);
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(n: u64, fields: &str) -> String {
        format!("{{\"id\":\"{}\",\"kind\":\"note\",\"fields\":{fields}}}", EntryId::new(n, [0; 10]))
    }

    fn note(n: u64) -> String {
        entry(n, r#"{"text":{"value":"a","stamp":"000000000001-0000-0000000000000001"}}"#)
    }

    fn file(entries: &[String]) -> String {
        format!("{{\"form\": \"{FORM}\", \"entries\": [\n{}\n]}}", entries.join(",\n"))
    }

    #[test]
    fn what_is_written_reads_back_byte_for_byte() {
        let given = file(&[
            note(1),
            entry(
                2,
                r#"{"new_one":{"value":{ "b" : 1e999, "a":"\ud800" },"stamp":"000000000001-0000-0000000000000001"}}"#,
            ),
        ]);
        let taken = read_document(given.as_bytes()).unwrap();
        assert!(taken.refused.is_empty(), "{:?}", taken.refused);
        let mut out = Vec::new();
        let count = write_document(taken.entries.iter().cloned().map(Ok::<_, io::Error>), &mut out).unwrap();
        assert_eq!(count, 2);
        assert_eq!(read_document(&out).unwrap(), taken);
        assert!(String::from_utf8(out).unwrap().contains(r#"{ "b" : 1e999, "a":"\ud800" }"#));
    }

    #[test]
    fn one_bad_entry_in_a_thousand_spoils_only_itself() {
        let stamp = r#""stamp":"000000000001-0000-0000000000000001""#;
        let deep = format!("{}{}", "[".repeat(10_000), "]".repeat(10_000));
        let bad = [
            ("not_json", "{\"id\":NaN}".to_owned()),
            ("field_not_canonical", entry(501, &format!("{{\"text\":{{\"value\":1e999,{stamp}}}}}"))),
            (
                "field_not_canonical",
                entry(501, &format!("{{\"text\":{{\"value\":9007199254740993,{stamp}}}}}")),
            ),
            ("field_not_canonical", entry(501, &format!("{{\"text\":{{\"value\":\"\\ud800\",{stamp}}}}}"))),
            ("field_not_canonical", entry(501, &format!("{{\"text\":{{\"value\":\"\\u0000\",{stamp}}}}}"))),
            ("not_json", entry(501, &format!("{{\"text\":{{\"value\":\"\0\",{stamp}}}}}"))),
            ("field_type", entry(501, &format!("{{\"text\":{{\"value\":5,{stamp}}}}}"))),
            ("entry_depth", entry(501, &format!("{{\"x\":{{\"value\":{deep},{stamp}}}}}"))),
            (
                "duplicate_name",
                entry(
                    501,
                    &format!("{{\"text\":{{\"value\":\"a\",{stamp}}},\"text\":{{\"value\":\"b\",{stamp}}}}}"),
                ),
            ),
            (
                "duplicate_name",
                entry(501, &format!("{{\"text\":{{\"value\":\"a\",\"value\":\"b\",{stamp}}}}}")),
            ),
            ("field_stamp", entry(501, "{\"text\":{\"value\":\"a\",\"stamp\":\"now\"}}")),
            (
                "field_stamp",
                entry(501, "{\"text\":{\"value\":\"a\",\"stamp\":\"ffffffffffff-ffff-0000000000000001\"}}"),
            ),
            ("field_stamp", entry(501, "{\"text\":{\"value\":\"a\"}}")),
            ("field_name", entry(501, &format!("{{\"Text\":{{\"value\":\"a\",{stamp}}}}}"))),
            ("entry_id", entry(501, "{}").replace("-7", "-4")),
            ("entry_member", "{\"id\":1,\"extra\":2}".to_owned()),
            ("not_json", "7".to_owned()),
            ("not_json", String::new()),
        ];
        for (code, bad) in bad {
            let mut entries: Vec<String> = (0..1000).map(note).collect();
            entries[500].clone_from(&bad);
            let taken = read_document(file(&entries).as_bytes()).unwrap();
            assert_eq!(taken.entries.len(), 999, "{}", super::super::fault::clip(&bad));
            let [refused] = &taken.refused[..] else { panic!("{:?}", taken.refused) };
            assert_eq!((refused.line, refused.code), (502, code), "{refused}");
            assert!(!refused.remedy.is_empty());
        }
    }

    #[test]
    fn a_million_bad_entries_are_not_told_one_by_one() {
        let text = format!("{{\"form\":\"{FORM}\",\"entries\":[{}7]}}", "7,".repeat(1_999_999));
        let taken = read_document(text.as_bytes()).unwrap();
        assert_eq!(taken.refused.len(), Refusals::MOST + 1);
        let last = taken.refused.last().unwrap();
        // The one beyond the limit stands for all after it.
        assert_eq!(last.code, "more_refused");
        assert!(last.reason.starts_with("999001 more"), "{}", last.reason);
    }

    #[test]
    fn a_file_that_was_cut_short_gives_what_is_whole() {
        let whole = file(&[note(1), note(2), note(3)]);
        for end in 0..whole.len() {
            if let Ok(taken) = read_document(&whole.as_bytes()[..end]) {
                assert!(taken.entries.len() <= 3);
                assert!(taken.entries.len() == 3 || !taken.refused.is_empty(), "{end}");
            }
        }
    }

    #[test]
    fn other_files_are_refused_as_a_whole() {
        let other = file(&[]).replace("/1", "/2");
        assert!(matches!(read_document(other.as_bytes()), Err(ImportFault::OtherForm { .. })));
        for bad in [
            "",
            "[]",
            "{}",
            "\"a\"",
            "{\"form\":1,\"entries\":[]}",
            "{\"form\":\"plinth.record/1\"}",
            "{\"entries\":7,\"form\":\"plinth.record/1\"}",
        ] {
            let fault = read_document(bad.as_bytes()).unwrap_err();
            assert_eq!(fault.code(), "import_not_a_record", "{bad}");
        }
    }
}
