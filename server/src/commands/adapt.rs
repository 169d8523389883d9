//! `plinth adapt`: a published programme for another lifter.

use super::plan::print_day;
use crate::arguments::AdaptArguments;
use crate::failure::Failure;
use crate::input;
use crate::output::{json, sentence};
use plinth_core::catalogue::Measure;
use plinth_core::plan::Planner;
use plinth_core::plan::programme::{LARGEST_PROGRAMME_BYTES, read_programme};
use plinth_core::words;
use std::io::Write;

pub(crate) fn run(a: &AdaptArguments) -> Result<(), Failure> {
    let bytes = input::read(&a.programme, LARGEST_PROGRAMME_BYTES)?;
    let published = read_programme(&bytes)?;
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
