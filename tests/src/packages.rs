//! The packages that are linked into what is distributed, as cargo knows them: their licences, and where they come from.

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The licences that are taken. Where a choice is given, the first of these.
pub const TAKEN: [&str; 10] = [
    "MIT",
    "Apache-2.0",
    "BSD-3-Clause",
    "Zlib",
    "Unicode-3.0",
    "CC0-1.0",
    "MPL-2.0",
    "ISC",
    "Unlicense",
    "CDLA-Permissive-2.0",
];
/// Parts that are built in without being a package of their own: name, version, licence, taken, copyright.
pub const BUILT_IN: [[&str; 5]; 1] =
    [["SQLite", "", "public domain", "public domain", "its authors disclaim copyright"]];
/// What goes wrong in reading them.
pub type Told<T> = Result<T, Box<dyn std::error::Error>>;

/// A package that is linked.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Package {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// What its authors offer.
    pub licence: String,
    /// Where it comes from, where that is not the registry.
    pub elsewhere: Option<String>,
}

/// The packages that are linked into one of ours for a target, or for this machine; without ours. It asks no network:
/// what it names must have been fetched.
///
/// # Errors
/// Those of cargo.
pub fn linked(root: &str, target: Option<&str>) -> Told<BTreeSet<Package>> {
    let mut tree = vec!["tree", "--locked", "--offline", "-p", root, "-e", "normal,no-proc-macro"];
    tree.extend(["--prefix", "none", "--format", "{p}\t{l}"]);
    if let Some(target) = target {
        tree.extend(["--target", target]);
    }
    let mut found = BTreeSet::new();
    for line in cargo(&tree)?.lines().filter(|l| !l.is_empty()) {
        let (named, licence) = line.split_once('\t').ok_or("a line of cargo tree without a licence")?;
        let mut words = named.splitn(3, ' ');
        let (Some(name), Some(version)) = (words.next(), words.next()) else { continue };
        if name == "plinth" || name.starts_with("plinth-") {
            continue;
        }
        found.insert(Package {
            name: name.to_owned(),
            version: version.trim_start_matches('v').to_owned(),
            // What was named before is marked so.
            licence: licence.trim_end_matches(" (*)").to_owned(),
            elsewhere: words.next().filter(|w| *w != "(*)").map(ToOwned::to_owned),
        });
    }
    Ok(found)
}

/// Where the packages of the workspace lie, and who their manifests say wrote them. What is missing is fetched.
#[derive(Debug)]
pub struct Sources(Value);

impl Sources {
    /// Asks cargo.
    ///
    /// # Errors
    /// Those of cargo.
    pub fn all() -> Told<Self> {
        Ok(Self(serde_json::from_str(&cargo(&["metadata", "--locked", "--format-version", "1"])?)?))
    }

    fn of(&self, package: &Package) -> Told<&Value> {
        let Package { name, version, .. } = package;
        let mut packages = self.0["packages"].as_array().into_iter().flatten();
        let found = packages.find(|p| p["name"] == *name && p["version"] == *version);
        Ok(found.ok_or_else(|| format!("{name} {version} is not in the metadata"))?)
    }

    /// The texts of a package's files about licences and copyright, by file.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn texts(&self, package: &Package) -> Told<Vec<String>> {
        let manifest = self.of(package)?["manifest_path"].as_str().ok_or("a package without a manifest")?;
        let folder = Path::new(manifest).parent().ok_or("a manifest without a folder")?;
        let mut files = Vec::new();
        for file in std::fs::read_dir(folder)? {
            let file = file?;
            let name = file.file_name().to_string_lossy().to_lowercase();
            let speaks = ["licen", "copying", "copyright", "notice"].iter().any(|n| name.starts_with(n));
            if speaks && file.file_type()?.is_file() {
                files.push(file.path());
            }
        }
        files.sort();
        let text = |f: &PathBuf| Ok(String::from_utf8_lossy(&std::fs::read(f)?).into_owned());
        files.iter().map(text).collect()
    }

    /// The copyright lines of a package's files; its authors where none has one.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn notice(&self, package: &Package) -> Told<String> {
        let texts = self.texts(package)?;
        let lines = texts.iter().flat_map(|t| t.lines()).map(str::trim).filter(|l| is_notice(l));
        let mut lines: Vec<String> = lines.map(ToOwned::to_owned).collect();
        if lines.is_empty() {
            let authors = self.of(package)?["authors"].as_array().into_iter().flatten();
            // An address is nobody's business here.
            let authors = authors.filter_map(Value::as_str).map(|a| a.split(" <").next().unwrap_or(a));
            lines.extend(authors.map(ToOwned::to_owned));
        }
        if lines.is_empty() {
            lines.push(format!("the authors of {}", package.name));
        }
        lines.sort();
        lines.dedup();
        Ok(lines.join("; "))
    }
}

fn cargo(arguments: &[&str]) -> Told<String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let out = Command::new(cargo).current_dir(here).args(arguments).output()?;
    if !out.status.success() {
        return Err(String::from_utf8_lossy(&out.stderr).into());
    }
    Ok(String::from_utf8(out.stdout)?)
}

/// The licences under which something is taken: all that are joined by AND, and of a choice the first that is known.
/// Nothing where one of them is not.
pub fn taken(licence: &str) -> Option<String> {
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

impl Package {
    /// Under which licences it is taken.
    ///
    /// # Errors
    /// None of them is taken.
    pub fn taken(&self) -> Told<String> {
        Ok(taken(&self.licence)
            .ok_or_else(|| format!("{}: none of {:?} is taken here", self.name, self.licence))?)
    }
}

fn is_notice(line: &str) -> bool {
    let lower = line.to_lowercase();
    let of_the_terms = ["[yyyy]", "{yyyy}", "notice", "license", "holder", "owner"];
    (lower.starts_with("copyright") || lower.starts_with('©'))
        && !of_the_terms.iter().any(|t| lower.contains(t))
        && (lower.contains("(c)") || lower.contains('©') || lower.bytes().any(|b| b.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::taken;

    #[test]
    fn of_a_choice_the_first_that_is_known_and_of_several_all() {
        assert_eq!(taken("Unlicense/MIT").as_deref(), Some("MIT"));
        assert_eq!(taken("(MIT OR Apache-2.0) AND Unicode-3.0").as_deref(), Some("MIT AND Unicode-3.0"));
        assert_eq!(taken("Apache-2.0 AND ISC").as_deref(), Some("Apache-2.0 AND ISC"));
        for none in ["", "GPL-3.0", "MIT AND GPL-3.0", "AGPL-3.0 OR SSPL-1.0"] {
            assert_eq!(taken(none), None, "{none}");
        }
    }
}
