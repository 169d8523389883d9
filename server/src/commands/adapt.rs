//! `plinth adapt`: a published programme for another lifter.

use super::plan::print_day;
use crate::arguments::AdaptArguments;
use crate::failure::Failure;
use crate::input;
use crate::output::{json, sentence};
use plinth_core::catalogue::Measure;
use plinth_core::plan::Planner;
use plinth_core::plan::programme::Programme;
use plinth_core::words;
use serde::Deserialize;
use std::io::Write;

const LARGEST_PROGRAMME_BYTES: usize = 1024 * 1024;

/// What `plan --json` prints, of which only the programme is needed.
#[derive(Deserialize)]
struct Printed {
    programme: Programme,
}

pub(crate) fn run(a: &AdaptArguments) -> Result<(), Failure> {
    let bytes = input::read(&a.programme, LARGEST_PROGRAMME_BYTES)?;
    let published = read(&bytes)?;
    let (brief, catalogue) = input::brief(&a.brief)?;
    let weights = input::weights()?;
    let adapted = Planner::new(&catalogue, &weights).adapt(&published, &brief);
    let out = &mut std::io::BufWriter::new(std::io::stdout().lock());
    if a.show.json {
        json(out, &adapted)?;
    } else {
        for day in &adapted.programme.days {
            print_day(out, &catalogue, day)?;
        }
        let least = if adapted.least { "No adaptation changes less." } else { "A smaller change may exist." };
        let count = words::count(adapted.differences.len() as i64, "difference", "differences");
        sentence(out, "", &format!("{count} from the published programme. {least}"))?;
        for d in &adapted.differences {
            let line = d.line.and_then(|k| published.days.get(d.day)?.lines.get(k));
            let measure = line.map_or(Measure::Repetitions, |l| l.measure);
            let name = line.map_or_else(String::new, |l| {
                catalogue.movement(&l.movement).map_or_else(|| l.movement.clone(), |m| m.name.clone()) + ": "
            });
            let place = published.days.get(d.day).map_or("", |day| words::weekday(day.weekday));
            sentence(
                out,
                "- ",
                &format!("{place}, {name}{}", words::adapt::difference(&catalogue, d, measure)),
            )?;
        }
    }
    out.flush()?;
    Ok(())
}

fn read(bytes: &[u8]) -> Result<Programme, Failure> {
    let programme = serde_json::from_slice::<Programme>(bytes)
        .or_else(|first| serde_json::from_slice::<Printed>(bytes).map(|p| p.programme).map_err(|_| first))
        .map_err(|e| {
            Failure::Input(format!("programme: {e}; give what `plinth plan --json` prints, unchanged."))
        })?;
    if programme.format == "plinth.programme/1" {
        Ok(programme)
    } else {
        Err(Failure::Input(format!(
            "format: {:?} is unknown; use plinth.programme/1, or a newer Plinth.",
            programme.format
        )))
    }
}
