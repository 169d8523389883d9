//! What is linked into what is distributed: every package under a licence that is taken, from the registry, and pinned
//! to its bytes.

use plinth_tests::packages::{Package, TAKEN, Told, linked, taken};
use std::collections::{BTreeMap, BTreeSet};

/// What is distributed: the binary, and the library that the shells load.
const DISTRIBUTED: [&str; 2] = ["plinth", "plinth-ffi"];
/// For which other systems; only the deep count asks for them, since their packages may not be fetched.
const SYSTEMS: [&str; 5] = [
    "aarch64-unknown-linux-gnu",
    "aarch64-apple-darwin",
    "x86_64-pc-windows-msvc",
    "aarch64-linux-android",
    "aarch64-apple-ios",
];

/// Which part, for which target, and the packages that are linked into it.
type Linked = (&'static str, Option<&'static str>, BTreeSet<Package>);

fn all() -> Told<Vec<Linked>> {
    let deep = std::env::var_os("PLINTH_DEEP").is_some();
    let mut found = Vec::new();
    for root in DISTRIBUTED {
        let others = SYSTEMS.into_iter().map(Some).filter(|_| deep);
        for target in std::iter::once(None).chain(others) {
            found.push((root, target, linked(root, target)?));
        }
    }
    Ok(found)
}

#[test]
fn every_part_has_a_licence_that_is_taken_and_comes_from_the_registry() {
    let mut faults = BTreeSet::new();
    for (root, target, parts) in all().unwrap() {
        assert!(parts.len() > 50, "{root} has {} parts for {target:?}", parts.len());
        for part in parts {
            if let Err(fault) = part.taken() {
                faults
                    .insert(format!("{root}: {fault}; leave it, or add the licence to TAKEN and deny.toml"));
            }
            if let Some(elsewhere) = part.elsewhere {
                faults.insert(format!("{root}: {} comes from {elsewhere}", part.name));
            }
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

/// The list that the locker shows is of the phones' targets, and its licences are among those too.
#[test]
fn every_part_of_the_phones_has_a_licence_that_is_taken() {
    let mut reader = csv::Reader::from_reader(include_str!("../../core/data/licences.csv").as_bytes());
    for row in reader.records().map(Result::unwrap).filter(|r| !r[1].is_empty()) {
        assert_eq!(taken(&row[2]).as_deref(), Some(&row[3]), "{}", &row[0]);
    }
}

/// What `cargo deny` is told to allow is what is allowed here.
#[test]
fn the_two_lists_of_licences_are_one() {
    let deny: toml::Table = toml::from_str(include_str!("../../deny.toml")).unwrap();
    let allowed: BTreeSet<&str> =
        deny["licenses"]["allow"].as_array().unwrap().iter().filter_map(toml::Value::as_str).collect();
    assert_eq!(allowed, TAKEN.into_iter().collect());
}

#[test]
fn every_package_of_the_lock_is_ours_or_pinned_to_its_bytes() {
    let lock: toml::Table = toml::from_str(include_str!("../../Cargo.lock")).unwrap();
    let packages = lock["package"].as_array().unwrap();
    assert!(packages.len() > 100);
    let mut registries = BTreeSet::new();
    for package in packages {
        let text = |member: &str| package.get(member).and_then(toml::Value::as_str);
        let name = text("name").unwrap();
        if name.starts_with("plinth") {
            assert_eq!((text("source"), text("checksum")), (None, None), "{name}");
            continue;
        }
        let source = text("source").unwrap_or_default();
        assert!(source.starts_with("registry+"), "{name}: {source:?}");
        registries.insert(source);
        let sum = text("checksum").unwrap_or_default();
        assert!(sum.len() == 64 && sum.bytes().all(|b| b.is_ascii_hexdigit()), "{name}: {sum:?}");
    }
    assert_eq!(registries.len(), 1, "{registries:?}");
}

const ONCE: [&str; 9] =
    ["libsqlite3-sys", "rusqlite", "rustls", "ring", "tokio", "hyper", "serde", "serde_json", "age"];

/// What holds state, or speaks to the system or the network, is there once: two of it would be two of everything.
#[test]
fn what_matters_is_linked_once() {
    for (root, target, parts) in all().unwrap() {
        let mut versions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for part in parts {
            versions.entry(part.name).or_default().insert(part.version);
        }
        for name in ONCE {
            let found = versions.get(name).map_or(0, BTreeSet::len);
            assert!(found <= 1, "{root}, {target:?}: {name} in {found} versions");
        }
    }
}
