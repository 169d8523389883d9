//! The conformance vectors of `tests/vectors/`.

use plinth_tests::vectors::{folder, make, renew};
use std::error::Error;
use std::fs;

const USAGE: &str = "usage:
  vectors make    write the files anew from their seeds
  vectors renew   make the calls that the files hold, and write what they give now
  vectors check   as renew, but say what differs instead of writing; exit code 1";

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
                    println!("{} line {}\n- {had}\n+ {now}", path.display(), n + 1);
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
