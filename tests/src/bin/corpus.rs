//! Writes the instances of the corpus, and the weeks that the search finds for them.

use plinth_core::plan::search::{Effort, Ranges, search};
use plinth_core::plan::{Planner, bound};
use plinth_tests::{Data, week_by_id};
use serde_json::json;
use std::error::Error;
use std::io::Write;
use std::time::Instant;

const USAGE: &str = "usage:
  corpus instances DIR FIRST COUNT           one JSON file for each seed
  corpus weeks FIRST COUNT EVALUATIONS CHAINS  one JSON line for each seed: the week that the search finds
  corpus fresh SEED COUNT                    one JSON line for each of COUNT briefs outside the corpus: instance,
                                             week, points and certified bound, for tests/judge/fresh.py
  corpus uses                                sessions of each movement over the corpus, as CSV";

fn main() -> Result<(), Box<dyn Error>> {
    let data = Data::builtin()?;
    let args: Vec<String> = std::env::args().collect();
    let number = |k: usize| -> Result<u64, Box<dyn Error>> { Ok(args.get(k).ok_or(USAGE)?.parse()?) };
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    match args.get(1).map(String::as_str) {
        Some("instances") => {
            let dir = args.get(2).ok_or(USAGE)?;
            for seed in number(3)?..number(3)? + number(4)? {
                std::fs::write(
                    format!("{dir}/{seed:03}.json"),
                    serde_json::to_vec(&data.case(seed).instance)?,
                )?;
            }
        }
        Some("weeks") => {
            let effort = Effort { evaluations: number(4)?, chains: u32::try_from(number(5)?)? };
            for seed in number(2)?..number(2)? + number(3)? {
                let instance = data.case(seed).instance;
                let ranges = Ranges::free(&instance);
                let start = Instant::now();
                let found = search(&instance, &ranges, None, effort, &mut |_| true).ok_or("nothing found")?;
                let micros = u64::try_from(start.elapsed().as_micros())?;
                let line = json!({"id": format!("{seed:03}"), "brief": data.brief(seed), "points": found.points,
                    "micros": micros, "evaluations": found.evaluations, "movements": instance.movements.len(),
                    "week": week_by_id(&instance, &found.week)});
                writeln!(out, "{line}")?;
            }
        }
        Some("fresh") => {
            let planner = Planner::new(&data.catalogue, &data.weights);
            let (first, count) = (number(2)?, number(3)?);
            for k in 0..count {
                // Far from the corpus, and no brief twice on consecutive days.
                let seed = 1_000_000 + first.wrapping_mul(count) + k;
                let mut solved = planner.solve(&data.brief(seed), Effort::FULL, &mut |_| true);
                planner.prove(&mut solved, bound::Effort::of_about_ms(1000), &mut |_| true);
                let instance = &solved.case.instance;
                let line = json!({"id": format!("seed {seed}"), "instance": instance,
                    "week": week_by_id(instance, &solved.week), "points": solved.certificate.points,
                    "bound": solved.certificate.at_least});
                writeln!(out, "{line}")?;
            }
        }
        Some("uses") => {
            writeln!(out, "movement,sessions")?;
            for (id, sessions) in plinth_tests::uses(&data) {
                writeln!(out, "{id},{sessions}")?;
            }
        }
        _ => return Err(USAGE.into()),
    }
    out.flush()?;
    Ok(())
}
