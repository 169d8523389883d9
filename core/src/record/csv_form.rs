//! Sets as CSV (RFC 4180), for a spreadsheet and back.
//!
//! A cell that a spreadsheet could take for a formula is written with an apostrophe before it, which reading takes
//! off again. Stamps and what has no plain cell stand in the last two columns, so that what is read back is equal.

use super::document::{Lines, Refusals, too_many};
use super::fault::{Reason, clip};
use super::read::{MOST_BYTES_OF_A_VALUE, pairs, string};
use super::views::{SetFields, View, check};
use super::{Entry, EntryId, ImportFault, Json, Kind, MOST_BYTES, MOST_ENTRIES, Refused, Stamp};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{self, Write};

/// A row: a set with, where the row has them, its identity and stamps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CsvRow {
    /// The line on which it begins, counted from 1.
    pub line: u64,
    /// The set; none for one that was written by hand.
    pub id: Option<EntryId>,
    /// Its fields, each with its stamp where it has one.
    pub fields: BTreeMap<String, (Json, Option<Stamp>)>,
}

const ID: &str = "id";
const MORE: &str = "more";
const STAMPS: &str = "stamps";

/// Writes the sets among the entries as CSV, in the order given, and says how many.
///
/// # Errors
/// Those of the writer, and those with which the entries come.
pub fn write_csv<E: From<io::Error>>(
    entries: impl IntoIterator<Item = Result<Entry, E>>,
    out: &mut impl Write,
) -> Result<u64, E> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(out);
    let header = [ID].into_iter().chain(SetFields::NAMES.iter().copied()).chain([MORE, STAMPS]);
    writer.write_record(header).map_err(io::Error::from)?;
    let mut count = 0;
    for entry in entries {
        let entry = entry?;
        if entry.kind != Kind::Set {
            continue;
        }
        let mut more = String::new();
        let mut cells = vec![entry.id.to_string()];
        for name in SetFields::NAMES {
            let cell = entry.fields.get(*name).and_then(|f| cell(name, &f.value));
            cells.push(cell.map(|c| guard(&c)).unwrap_or_default());
        }
        let mut stamps = serde_json::Map::new();
        for (name, field) in &entry.fields {
            stamps.insert(name.to_string(), json!(field.stamp));
            if !SetFields::NAMES.contains(&&**name) || cell(name, &field.value).is_none() {
                more.push_str(if more.is_empty() { "{" } else { "," });
                super::canonical::write_string(name, &mut more);
                more.push(':');
                more.push_str(field.value.text());
            }
        }
        if !more.is_empty() {
            more.push('}');
        }
        cells.push(more);
        cells.push(Value::Object(stamps).to_string());
        writer.write_record(&cells).map_err(io::Error::from)?;
        count += 1;
    }
    writer.flush()?;
    Ok(count)
}

/// Reads rows of sets whole. A bad row spoils only itself.
///
/// # Errors
/// [`ImportFault`] when the file as a whole cannot be taken.
pub fn read_csv(bytes: &[u8]) -> Result<(Vec<CsvRow>, Vec<Refused>), ImportFault> {
    let (mut rows, mut refused) = (Vec::new(), Refusals::default());
    for row in CsvRows::of(bytes)? {
        match row {
            Ok(row) => rows.push(row),
            Err(fault) => refused.add(fault),
        }
    }
    Ok((rows, refused.into_list()))
}

/// The rows of a file one after the other, so that a long file is never held in memory as rows.
#[derive(Debug)]
pub struct CsvRows<'a> {
    reader: csv::Reader<&'a [u8]>,
    columns: Vec<String>,
    lines: Lines<'a>,
    left: u64,
}

impl<'a> CsvRows<'a> {
    /// Reads the names of the columns.
    ///
    /// # Errors
    /// [`ImportFault`] when the file as a whole cannot be taken.
    pub fn of(bytes: &'a [u8]) -> Result<Self, ImportFault> {
        if bytes.len() as u64 > MOST_BYTES {
            return Err(ImportFault::TooLong { bytes: bytes.len() as u64, most: MOST_BYTES });
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(bytes);
        let fault =
            |reason: String, remedy: &str| ImportFault::NotARecord { line: 1, reason, remedy: remedy.into() };
        let header = reader.byte_headers().map_err(|e| {
            fault(format!("the first line cannot be read ({e})"), "write the names of the columns there")
        })?;
        let mut columns = Vec::new();
        for name in header {
            let name = String::from_utf8_lossy(name).trim().to_owned();
            if ![ID, MORE, STAMPS].contains(&name.as_str()) && !SetFields::NAMES.contains(&name.as_str()) {
                let names = SetFields::NAMES.join(", ");
                return Err(fault(
                    format!("the column \"{}\" is not known", clip(&name)),
                    &format!("take it out; the columns are id, {names}, more and stamps"),
                ));
            }
            if columns.contains(&name) {
                return Err(fault(format!("the column \"{name}\" stands twice"), "keep one of the two"));
            }
            columns.push(name);
        }
        if !columns.iter().any(|c| c == "movement") {
            return Err(fault("there is no column \"movement\"".into(), "name the movement of each set"));
        }
        Ok(Self { reader, columns, lines: Lines::new(bytes), left: MOST_ENTRIES + 1 })
    }
}

impl Iterator for CsvRows<'_> {
    type Item = Result<CsvRow, Refused>;

    fn next(&mut self) -> Option<Self::Item> {
        let mut record = csv::ByteRecord::new();
        // Reading from memory cannot fail, and neither quotes nor lengths are faults to the reader.
        let Ok(true) = self.reader.read_byte_record(&mut record) else { return None };
        let line = self.lines.of(record.position().map_or(0, |p| p.byte() as usize));
        if self.left <= 1 {
            let first = self.left == 1;
            self.left = 0;
            return first.then(|| Err(too_many(line)));
        }
        self.left -= 1;
        let mut place = (None, None);
        Some(match row(&self.columns, &record, &mut place) {
            Ok((id, fields)) => Ok(CsvRow { line, id, fields }),
            Err(r) => Err(Refused {
                line,
                entry: place.0,
                field: place.1,
                code: r.code,
                reason: r.what,
                remedy: r.remedy.into(),
            }),
        })
    }
}

type Fields = BTreeMap<String, (Json, Option<Stamp>)>;

fn row(
    columns: &[String],
    record: &csv::ByteRecord,
    place: &mut (Option<String>, Option<String>),
) -> Result<(Option<EntryId>, Fields), Reason> {
    if record.len() != columns.len() {
        let reason = format!("it has {} cells and the first line {}", record.len(), columns.len());
        return Err(Reason::new(
            "row_cells",
            reason,
            "give every column a cell; quote a cell that holds a comma",
        ));
    }
    let mut id = None;
    let mut stamps = BTreeMap::new();
    let mut fields = Fields::new();
    for (name, bytes) in columns.iter().zip(record) {
        place.1 = Some(name.clone());
        let text = std::str::from_utf8(bytes)
            .map_err(|_| Reason::new("row_encoding", "it is not UTF-8", "save the file as UTF-8"))?;
        let text = unguard(text);
        if text.is_empty() {
            continue;
        }
        match name.as_str() {
            ID => {
                place.0 = Some(clip(text));
                let read = text.parse::<EntryId>();
                id = Some(read.map_err(|e| Reason::new("entry_id", "the id is no identity of an entry", e))?);
            }
            MORE => {
                for (name, value) in pairs(text)? {
                    place.1 = Some(clip(&name));
                    if !super::kind::is_name(&name) {
                        let remedy = "use 1 to 64 of a-z, 0-9 and _";
                        return Err(Reason::new("field_name", "a field cannot be called so", remedy));
                    }
                    if super::scan::depth(value.get().as_bytes()) > super::MOST_DEPTH {
                        return Err(Reason::new("entry_depth", "it nests too deep", "nest less deeply"));
                    }
                    let value = match check(&Kind::Set, &name, "null") {
                        Some(_) => {
                            let value = Json::strict(value.get())?;
                            check(&Kind::Set, &name, value.text()).unwrap_or(Ok(()))?;
                            value
                        }
                        None => Json::kept(value.get()),
                    };
                    insert(&mut fields, &name, value)?;
                }
            }
            STAMPS => {
                for (name, value) in pairs(text)? {
                    let stamp = string(value, "field_stamp", "the stamp")?
                        .parse::<Stamp>()
                        .map_err(|e| Reason::new("field_stamp", "a stamp cannot be read", e))?;
                    if stamp.millis > Stamp::FURTHEST || stamps.insert(name, stamp).is_some() {
                        let reason = "a stamp lies at the end of all time or stands twice";
                        return Err(Reason::new("field_stamp", reason, "export again"));
                    }
                }
            }
            name => insert(&mut fields, name, value_of(name, text)?)?,
        }
    }
    place.1 = Some("movement".into());
    if !fields.contains_key("movement") {
        return Err(Reason::new("row_movement", "it names no movement", "name the movement's id"));
    }
    place.1 = None;
    for (name, (_, stamp)) in &mut fields {
        *stamp = stamps.get(name).copied();
    }
    if id.is_none() && !stamps.is_empty() {
        return Err(Reason::new("entry_id", "it has stamps and no id", "keep both or take out both"));
    }
    Ok((id, fields))
}

fn insert(fields: &mut Fields, name: &str, value: Json) -> Result<(), Reason> {
    if value.text().len() > MOST_BYTES_OF_A_VALUE {
        return Err(Reason::new("field_too_long", "the value is too long", "shorten it"));
    }
    match fields.insert(name.to_owned(), (value, None)) {
        None => Ok(()),
        Some(_) => Err(Reason::new("duplicate_name", "it stands twice", "keep one of the two")),
    }
}

/// The plain cell of a value, where one reads back to the same value.
fn cell(name: &str, value: &Json) -> Option<String> {
    let read: Value = value.read().ok()?;
    let text = match &read {
        Value::String(text) => text.clone(),
        Value::Number(number) => number.to_string(),
        Value::Bool(flag) => flag.to_string(),
        Value::Object(members) => {
            let text = |key: &str| members.get(key).and_then(Value::as_str);
            match (text("of"), text("mass"), text("band"), members.get("reps")) {
                (Some(of), Some(mass), None, None) => format!("{of} {mass}"),
                (Some("band"), None, Some(band), None) => format!("band {band}"),
                (Some(of), None, None, None) => of.to_owned(),
                (None, None, None, Some(Value::Number(reps))) => reps.to_string(),
                _ => return None,
            }
        }
        _ => return None,
    };
    let same = !text.is_empty() && value_of(name, &text).is_ok_and(|back| back == *value);
    same.then_some(text)
}

/// The value that a cell stands for: the first reading that the field can hold.
fn value_of(name: &str, text: &str) -> Result<Json, Reason> {
    let mut readings = Vec::new();
    if let Ok(number) = text.parse::<i64>()
        && number.to_string() == text
    {
        readings.push(json!(number));
        readings.push(json!({ "reps": number }));
    }
    match text {
        "true" | "TRUE" => readings.push(json!(true)),
        "false" | "FALSE" => readings.push(json!(false)),
        _ => {}
    }
    readings.push(json!(text));
    readings.push(match text.split_once(' ') {
        Some(("band", band)) => json!({"of": "band", "band": band}),
        Some((of, mass)) => json!({"of": of, "mass": mass}),
        None => json!({ "of": text }),
    });
    let mut first = None;
    for reading in readings {
        let value = Json::of(&reading)?;
        match check(&Kind::Set, name, value.text()) {
            Some(Ok(())) => return Ok(value),
            Some(Err(fault)) => first = first.or(Some(fault)),
            None => {}
        }
    }
    Err(first.unwrap_or_else(|| Reason::new("field_name", "the column is not known", "take it out")))
}

/// What spreadsheets begin a formula with, or skip before one.
fn suspicious(c: char) -> bool {
    matches!(c, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠')
}

fn guard(cell: &str) -> String {
    let guarded = cell.starts_with(|c| suspicious(c) || c == '\'');
    if guarded { format!("'{cell}") } else { cell.to_owned() }
}

fn unguard(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(|c| suspicious(c) || c == '\'') => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{DeviceId, LoadDone, ReserveDone};
    use super::*;
    use proptest::prelude::*;

    fn round_trip(entry: &Entry) -> Entry {
        let mut out = Vec::new();
        write_csv([Ok::<_, io::Error>(entry.clone())], &mut out).unwrap();
        let (rows, refused) = read_csv(&out).unwrap();
        assert!(refused.is_empty(), "{refused:?}\n{}", String::from_utf8_lossy(&out));
        let [row] = &rows[..] else { panic!("{} rows", rows.len()) };
        let mut back = Entry::new(row.id.unwrap(), Kind::Set);
        for (name, (value, stamp)) in &row.fields {
            let field = super::super::Field { value: value.clone(), stamp: stamp.unwrap() };
            back.fields.insert(name.as_str().into(), field);
        }
        back
    }

    proptest! {
        #[test]
        fn a_set_reads_back_equal(
            note in "\\PC*|[=+@\\-'\t\r\n,\" ]{0,6}",
            amount in any::<u32>(),
            reps in proptest::option::of(any::<u32>()),
            mass in "[1-9][0-9]{0,3}(\\.[0-9]{1,3})? (kg|lb)",
            band in "[ a-z0-9=]{0,8}",
            millis in 0..=Stamp::FURTHEST,
            deleted in proptest::option::of(any::<bool>()),
        ) {
            let id = EntryId::new(5, [3; 10]);
            let set = SetFields {
                movement: Some("barbell_back_squat".into()),
                note: Some(note),
                amount: Some(amount),
                reserve: Some(reps.map_or(ReserveDone::NotReported, ReserveDone::Reps)),
                load: Some(LoadDone::Pair { mass: mass.parse().unwrap() }),
                asked_load: Some(LoadDone::Band { band }),
                deleted,
                ..SetFields::default()
            };
            let mut entry = Entry::new(id, Kind::Set);
            let stamp = Stamp { millis, counter: 1, device: DeviceId::new(4) };
            entry.write(&set.edit(id), stamp).unwrap();
            let later = Stamp { counter: 2, ..stamp };
            let emptied = super::super::Edit { id, kind: Kind::Set, fields: BTreeMap::new() };
            entry.write(&emptied.with("side", Value::Null), later).unwrap();
            let unknown = super::super::Field { value: Json::kept("{ \"x\" : 1e5 }"), stamp };
            entry.fields.insert("tempo".into(), unknown);
            let back = round_trip(&entry);
            prop_assert_eq!(back.digest(), entry.digest());
            prop_assert_eq!(back, entry);
        }
    }

    #[test]
    fn a_formula_is_written_as_text() {
        for cell in ["=1+1", "@SUM(A1)", "-2", "\t=1", "'quoted", "＝1"] {
            assert!(guard(cell).starts_with('\''));
            assert_eq!(unguard(&guard(cell)), cell);
        }
        assert_eq!(unguard("'twas slow"), "'twas slow");
    }

    #[test]
    fn rows_by_hand_need_a_movement_only_and_bad_ones_are_named() {
        let text = "movement,amount,load,note\r\nbarbell_back_squat,5,bar 80 kg,\"a, b\"\r\n,5,,\r\nrow,five,,\r\nrow,1\r\nrow,1,ton 1,\r\n";
        let (rows, refused) = read_csv(text.as_bytes()).unwrap();
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].fields["load"].0.text(), "{\"mass\":\"80 kg\",\"of\":\"bar\"}");
        let found: Vec<_> = refused.iter().map(|r| (r.line, r.code, r.field.as_deref())).collect();
        assert_eq!(
            found,
            [
                (3, "row_movement", Some("movement")),
                (4, "field_type", Some("amount")),
                (5, "row_cells", None),
                (6, "field_type", Some("load")),
            ]
        );
        assert!(read_csv(b"movement,colour\n").unwrap_err().to_string().contains("colour"));
        assert!(read_csv(b"").is_err());
    }
}
