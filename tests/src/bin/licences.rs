//! Writes what is owed to the parts of what is distributed: names, licences, copyright notices. Notices and texts are
//! read from the packages' own files.
//!
//! `cargo run -p plinth-tests --bin licences > core/data/licences.csv` lists the parts of the library that the shells
//! load, for the locker; with a target, such as `x86_64-unknown-linux-gnu`, it writes the page of the parts of the
//! binary for that target, with the texts of their licences, which goes into its archive.

use plinth_tests::packages::{BUILT_IN, Sources, Told, linked};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;
use std::process::ExitCode;

const PHONES: [&str; 2] = ["aarch64-linux-android", "aarch64-apple-ios"];

fn main() -> ExitCode {
    let target = std::env::args().nth(1);
    match target.map_or_else(list, |target| page(&target)) {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("licences: {why}");
            ExitCode::FAILURE
        }
    }
}

fn list() -> Told<String> {
    let (sources, mut parts) = (Sources::all()?, BTreeSet::new());
    for target in PHONES {
        parts.extend(linked("plinth-ffi", Some(target))?);
    }
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["part", "version", "licence", "taken", "copyright"])?;
    for part in parts {
        out.write_record([
            &part.name,
            &part.version,
            &part.licence,
            &part.taken()?,
            &sources.notice(&part)?,
        ])?;
    }
    for row in BUILT_IN {
        out.write_record(row)?;
    }
    Ok(String::from_utf8(out.into_inner()?)?)
}

fn page(target: &str) -> Told<String> {
    let (sources, parts) = (Sources::all()?, linked("plinth", Some(target))?);
    let mut out = format!(
        "# The parts of plinth for {target}\n\nEach with what its authors offer, under which of it Plinth takes it, and \
         their notice; the texts follow.\n\n| part | offered | taken | notice |\n| --- | --- | --- | --- |\n"
    );
    // One text of several packages stands once, whatever its spaces and line ends.
    let mut texts: BTreeMap<String, (BTreeSet<String>, String)> = BTreeMap::new();
    for part in &parts {
        let (named, taken) = (format!("{} {}", part.name, part.version), part.taken()?);
        let notice = sources.notice(part)?.replace('|', "\\|");
        writeln!(out, "| {named} | {} | {taken} | {notice} |", part.licence)?;
        let mut own = sources.texts(part)?;
        if own.is_empty() {
            own = taken.split(" AND ").map(standard).collect::<Told<_>>()?;
        }
        for text in own {
            let same = text.split_whitespace().collect::<Vec<_>>().join(" ");
            texts.entry(same).or_insert_with(|| (BTreeSet::new(), text)).0.insert(named.clone());
        }
    }
    for [name, version, licence, taken, notice] in BUILT_IN {
        writeln!(out, "| {} | {licence} | {taken} | {notice} |", format!("{name} {version}").trim_end())?;
    }
    let mut texts: Vec<_> = texts.into_values().collect();
    texts.sort();
    for (of, text) in texts {
        let of: Vec<String> = of.into_iter().collect();
        writeln!(out, "\n## {}\n\n~~~~text\n{}\n~~~~", of.join(", "), text.replace('\r', "").trim_end())?;
    }
    Ok(out)
}

/// The text of a licence, for a package that names it and brings none.
fn standard(licence: &str) -> Told<String> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../core/data/licences/{licence}.txt"));
    Ok(std::fs::read_to_string(&file).map_err(|e| format!("{}: {e}", file.display()))?)
}
