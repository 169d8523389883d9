//! Writes the instances of the corpus, and the weeks that the search finds for them.
//!
//! `corpus instances DIR FIRST COUNT` writes one JSON file for each seed;
//! `corpus weeks FIRST COUNT EVALUATIONS CHAINS` prints one JSON line for each seed.

use plinth_core::catalogue::Catalogue;
use plinth_core::plan::sample::sample_brief;
use plinth_core::plan::search::{Effort, Ranges, search};
use plinth_core::plan::{Keep, Weights, build};
use std::error::Error;
use std::io::Write;
use std::time::Instant;

fn main() -> Result<(), Box<dyn Error>> {
    let catalogue = Catalogue::builtin().map_err(|f| format!("{f:?}"))?;
    let weights = Weights::builtin()?;
    let args: Vec<String> = std::env::args().collect();
    let number =
        |k: usize| -> Result<u64, Box<dyn Error>> { Ok(args.get(k).ok_or("too few arguments")?.parse()?) };
    let instance =
        |seed| build(&sample_brief(seed, &catalogue), &catalogue, &weights, Keep::Undominated).instance;
    let mut out = std::io::stdout().lock();
    match args.get(1).map(String::as_str) {
        Some("instances") => {
            let dir = args.get(2).ok_or("too few arguments")?;
            for seed in number(3)?..number(3)? + number(4)? {
                std::fs::write(format!("{dir}/{seed:03}.json"), serde_json::to_vec(&instance(seed))?)?;
            }
        }
        Some("weeks") => {
            let effort = Effort { evaluations: number(4)?, chains: number(5)? as u32 };
            for seed in number(2)?..number(2)? + number(3)? {
                let i = instance(seed);
                let ranges = Ranges::free(&i);
                let start = Instant::now();
                let Some(found) = search(&i, &ranges, None, effort, &mut |_| true) else {
                    writeln!(out, "{}", serde_json::json!({"id": format!("{seed:03}"), "week": null}))?;
                    continue;
                };
                let micros = start.elapsed().as_micros() as u64;
                let week: Vec<Vec<(&str, i32)>> = found
                    .week
                    .days
                    .iter()
                    .map(|d| d.iter().map(|s| (i.movements[s.movement].id.as_str(), s.sets)).collect())
                    .collect();
                let brief = sample_brief(seed, &catalogue);
                let line = serde_json::json!({"brief": brief, "id": format!("{seed:03}"), "points": found.points, "micros": micros,
                    "evaluations": found.evaluations, "movements": i.movements.len(), "week": week});
                writeln!(out, "{line}")?;
            }
        }
        _ => {
            return Err(
                "usage: corpus instances DIR FIRST COUNT | corpus weeks FIRST COUNT EVALUATIONS CHAINS"
                    .into(),
            );
        }
    }
    Ok(())
}
