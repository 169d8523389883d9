//! The conformance vectors of `tests/vectors/`.

use plinth_tests::vectors::{folder, make, renew};
use serde_json::{Map, Value};
use std::collections::BTreeSet;
use std::error::Error;
use std::fs;

const USAGE: &str = "usage:
  vectors make    write the files anew from their seeds
  vectors renew   make the calls that the files hold, and write what they give now, saying what differs
  vectors check   as renew, but say what differs instead of writing; exit code 1";

/// Where two JSON texts differ, a line for each place, so that a reader sees what changed and not a whole screen.
fn differences(had: &str, now: &str) -> Result<Vec<String>, serde_json::Error> {
    fn walk(path: &str, had: &Value, now: &Value, out: &mut Vec<String>) {
        match (had, now) {
            (Value::Object(a), Value::Object(b)) => {
                let names: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
                let of = |map: &Map<String, Value>, name: &String| map.get(name).cloned().unwrap_or_default();
                for name in names {
                    walk(&format!("{path}.{name}"), &of(a, name), &of(b, name), out);
                }
            }
            (Value::Array(a), Value::Array(b)) => {
                let of = |list: &[Value], n: usize| list.get(n).cloned().unwrap_or_default();
                for n in 0..a.len().max(b.len()) {
                    walk(&format!("{path}[{n}]"), &of(a, n), &of(b, n), out);
                }
            }
            _ if had != now => out.push(format!("{path}: {had} -> {now}")),
            _ => {}
        }
    }
    let mut out = Vec::new();
    walk("", &serde_json::from_str(had)?, &serde_json::from_str(now)?, &mut out);
    if out.is_empty() {
        out.push("only the order of members or the way of writing".to_owned());
    }
    Ok(out)
}

fn main() -> Result<(), Box<dyn Error>> {
    match std::env::args().nth(1).as_deref() {
        Some("make") => {
            fs::create_dir_all(folder())?;
            for (name, lines) in make()? {
                let path = folder().join(format!("{name}.jsonl"));
                fs::write(&path, lines.join("\n") + "\n")?;
                println!("{}: {} vectors", path.display(), lines.len());
            }
        }
        Some(how @ ("renew" | "check")) => {
            let mut differ = 0;
            for file in fs::read_dir(folder())? {
                let path = file?.path();
                if path.extension().is_none_or(|e| e != "jsonl") {
                    continue;
                }
                let lines =
                    renew(&fs::read_to_string(&path)?).map_err(|e| format!("{}: {e}", path.display()))?;
                for (n, (had, now)) in lines.iter().enumerate().filter(|(_, (had, now))| had != now) {
                    differ += 1;
                    println!("{} line {}", path.display(), n + 1);
                    for line in differences(had, now)? {
                        println!("  {line}");
                    }
                }
                if how == "renew" {
                    let now: Vec<&str> = lines.iter().map(|(_, now)| now.as_str()).collect();
                    fs::write(&path, now.join("\n") + "\n")?;
                }
            }
            println!("{differ} vectors differ");
            std::process::exit(i32::from(how == "check" && differ > 0));
        }
        _ => return Err(USAGE.into()),
    }
    Ok(())
}
