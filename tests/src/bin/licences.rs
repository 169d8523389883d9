//! Writes the list of all parts of the library that the shells load, with their licences and copyright notices:
//! `cargo run -p plinth-tests --bin licences > core/data/licences.csv`.
//!
//! The parts are those that `cargo tree` names for the phones; the notices are read from the packages' own files.

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, ExitCode};

const TARGETS: [&str; 2] = ["aarch64-linux-android", "aarch64-apple-ios"];
/// Where a choice is given, the first of these is taken.
const TAKEN: [&str; 7] = ["MIT", "Apache-2.0", "BSD-3-Clause", "Zlib", "Unicode-3.0", "CC0-1.0", "MPL-2.0"];
/// Parts that are built in without being a package of their own.
const BUILT_IN: [[&str; 5]; 1] =
    [["SQLite", "", "public domain", "public domain", "its authors disclaim copyright"]];

type Told<T> = Result<T, Box<dyn std::error::Error>>;

fn main() -> ExitCode {
    match list() {
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

fn cargo(arguments: &[&str]) -> Told<String> {
    let out = Command::new("cargo").args(arguments).output()?;
    if !out.status.success() {
        return Err(String::from_utf8_lossy(&out.stderr).into());
    }
    Ok(String::from_utf8(out.stdout)?)
}

fn list() -> Told<String> {
    let mut parts: BTreeMap<(String, String), [String; 3]> = BTreeMap::new();
    for target in TARGETS {
        let metadata =
            cargo(&["metadata", "--locked", "--format-version", "1", "--filter-platform", target])?;
        let metadata: Value = serde_json::from_str(&metadata)?;
        let kinds = "normal,no-proc-macro";
        let tree =
            ["tree", "--locked", "-p", "plinth-ffi", "-e", kinds, "--target", target, "--prefix", "none"];
        for line in cargo(&tree)?.lines() {
            let mut words = line.split(' ');
            let (Some(name), Some(version)) = (words.next(), words.next()) else { continue };
            let version = version.trim_start_matches('v');
            if name.starts_with("plinth") {
                continue;
            }
            let package = metadata["packages"].as_array().into_iter().flatten();
            let package = package.into_iter().find(|p| p["name"] == name && p["version"] == version);
            let package = package.ok_or_else(|| format!("{name} {version} is not in the metadata"))?;
            let licence = package["license"].as_str().unwrap_or_default();
            let taken = taken(licence).ok_or_else(|| format!("{name}: none of {licence:?} is known here"))?;
            let row = [licence.to_owned(), taken, notice(package)?];
            parts.insert((name.to_owned(), version.to_owned()), row);
        }
    }
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(["part", "version", "licence", "taken", "copyright"])?;
    for ((name, version), [licence, taken, copyright]) in &parts {
        out.write_record([name, version, licence, taken, copyright])?;
    }
    for row in BUILT_IN {
        out.write_record(row)?;
    }
    Ok(String::from_utf8(out.into_inner()?)?)
}

/// The licences under which a part is taken: all that are joined by AND, and of a choice the first that is known.
fn taken(licence: &str) -> Option<String> {
    let all: Option<Vec<&str>> = licence
        .split(" AND ")
        .map(|choice| {
            let choice = choice.trim_matches(['(', ')']).replace('/', " OR ");
            let of: Vec<&str> = choice.split(" OR ").map(str::trim).collect();
            TAKEN.into_iter().find(|t| of.contains(t))
        })
        .collect();
    Some(all?.join(" AND "))
}

/// The copyright lines of a package's files; its authors where none has one.
fn notice(package: &Value) -> Told<String> {
    let manifest = package["manifest_path"].as_str().ok_or("a package without a manifest")?;
    let folder = Path::new(manifest).parent().ok_or("a manifest without a folder")?;
    let mut lines: Vec<String> = Vec::new();
    for file in std::fs::read_dir(folder)? {
        let file = file?;
        let name = file.file_name().to_string_lossy().to_lowercase();
        let speaks = ["licen", "copying", "copyright", "notice"].iter().any(|n| name.starts_with(n));
        if !speaks || !file.file_type()?.is_file() {
            continue;
        }
        let text = String::from_utf8_lossy(&std::fs::read(file.path())?).into_owned();
        lines.extend(text.lines().map(str::trim).filter(|l| is_notice(l)).map(ToOwned::to_owned));
    }
    if lines.is_empty() {
        let authors = package["authors"].as_array().into_iter().flatten().filter_map(Value::as_str);
        // An address is nobody's business here.
        lines.extend(authors.map(|a| a.split(" <").next().unwrap_or(a).to_owned()));
    }
    if lines.is_empty() {
        let name = package["name"].as_str().unwrap_or_default();
        lines.push(format!("the authors of {name}"));
    }
    lines.sort();
    lines.dedup();
    Ok(lines.join("; "))
}

fn is_notice(line: &str) -> bool {
    let lower = line.to_lowercase();
    let of_the_terms = ["[yyyy]", "{yyyy}", "notice", "license", "holder", "owner"];
    (lower.starts_with("copyright") || lower.starts_with('©'))
        && !of_the_terms.iter().any(|t| lower.contains(t))
        && (lower.contains("(c)") || lower.contains('©') || lower.bytes().any(|b| b.is_ascii_digit()))
}
