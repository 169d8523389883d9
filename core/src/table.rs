//! Reads the CSV tables that are data files: every fault names its line and column.

use serde::de::DeserializeOwned;

/// What is wrong with a table, where, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TableFault {
    /// Its line in the file; the header is line 1.
    pub(crate) line: u64,
    /// The column by its name, or `row` where the whole row is at fault.
    pub(crate) column: String,
    /// What is wrong.
    pub(crate) problem: String,
    /// What to do.
    pub(crate) remedy: String,
}

/// Every row of a table with its line, or what is wrong with it. Nothing is read after a faulty header, which
/// would only be told again for every row.
pub(crate) fn rows<R: DeserializeOwned>(text: &str) -> Vec<Result<(u64, R), TableFault>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let names: Vec<String> =
        reader.headers().map(|h| h.iter().map(str::to_owned).collect()).unwrap_or_default();
    let mut out = Vec::new();
    for (before, row) in reader.deserialize::<R>().enumerate() {
        let line = before as u64 + 2;
        match row {
            Ok(row) => out.push(Ok((line, row))),
            Err(e) => {
                let fault = fault(&e, line, &names);
                let header = fault.line == 1;
                out.push(Err(fault));
                if header {
                    break;
                }
            }
        }
    }
    out
}

fn fault(e: &csv::Error, line: u64, names: &[String]) -> TableFault {
    let line = e.position().map_or(line, csv::Position::line);
    let csv::ErrorKind::Deserialize { err, .. } = e.kind() else {
        return TableFault {
            line,
            column: "row".into(),
            problem: e.to_string(),
            remedy: "give every column of the header, quoted where it holds a comma".into(),
        };
    };
    let problem = match err.kind() {
        csv::DeserializeErrorKind::Message(text) | csv::DeserializeErrorKind::Unsupported(text) => {
            text.clone()
        }
        other => other.to_string(),
    };
    let of_header = [
        ("unknown field", "take the column out, or write the name that is meant"),
        ("missing field", "add the column"),
        ("duplicate field", "keep one of the two columns"),
    ];
    if let Some((_, remedy)) = of_header.into_iter().find(|(start, _)| problem.starts_with(start)) {
        let column = problem.split('`').nth(1).unwrap_or("header").to_owned();
        return TableFault { line: 1, column, problem, remedy: remedy.into() };
    }
    let column = err.field().and_then(|k| names.get(k as usize)).map_or("row", String::as_str).to_owned();
    TableFault { line, column, problem, remedy: "give a value of the kind that the column holds".into() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Disc {
        name: String,
        grams: u32,
    }

    fn only(text: &str) -> TableFault {
        let mut faults: Vec<TableFault> = rows::<Disc>(text).into_iter().filter_map(Result::err).collect();
        assert_eq!(faults.len(), 1, "{faults:?}");
        faults.remove(0)
    }

    #[test]
    fn a_sound_table_gives_its_rows_with_their_lines() {
        let disc = |name: &str, grams| Disc { name: name.into(), grams };
        let read: Vec<_> = rows::<Disc>("name,grams\na,5\nb,10\n").into_iter().map(Result::unwrap).collect();
        assert_eq!(read, [(2, disc("a", 5)), (3, disc("b", 10))]);
    }

    #[test]
    fn a_faulty_header_is_told_once_with_the_column() {
        for (text, column, remedy) in [
            ("name,grams,colour\na,5,red\nb,10,red\n", "colour", "take the column out"),
            ("name\na\nb\n", "grams", "add the column"),
            ("name,grams,name\na,5,a\nb,10,b\n", "name", "keep one of the two"),
        ] {
            let f = only(text);
            assert_eq!((f.line, f.column.as_str()), (1, column));
            assert!(f.remedy.contains(remedy), "{f:?}");
        }
    }

    #[test]
    fn a_faulty_cell_names_its_line_and_column_and_the_others_are_read() {
        let f = only("name,grams\na,many\nb,10\n");
        assert_eq!((f.line, f.column.as_str()), (2, "grams"));
        assert_eq!(rows::<Disc>("name,grams\na,many\nb,10\n").len(), 2);
        let f = only("name,grams\na\nb,10\n");
        assert_eq!((f.line, f.column.as_str()), (2, "row"));
    }
}
