//! `plinth adapt`: a published programme for another lifter.

use super::plan::print_day;
use crate::arguments::AdaptArguments;
use crate::failure::Failure;
use crate::input;
use crate::output::{json, sentence};
use plinth_core::plan::Planner;
use plinth_core::published;
use plinth_core::words::{self, Speech};
use std::io::Write;

pub(crate) fn run(speech: &Speech, a: &AdaptArguments) -> Result<(), Failure> {
    let bytes = input::read(&a.programme, published::LARGEST_BYTES)?;
    let published = published::open(&bytes)?.programme;
    let (brief, catalogue) = input::brief(&a.brief)?;
    let (catalogue, faults) = catalogue.learning(&published.own_movements);
    for fault in &faults {
        eprintln!("{}", speech.english(&fault.to_string()));
    }
    let weights = input::weights()?;
    let adapted = Planner::new(&catalogue, &weights).adapt(&published, &brief);
    let out = &mut std::io::BufWriter::new(std::io::stdout().lock());
    if a.show.json {
        json(out, &adapted)?;
    } else {
        for day in &adapted.programme.days {
            print_day(out, speech, &catalogue, day)?;
        }
        let key = if adapted.least { "adapted-least" } else { "adapted-perhaps" };
        sentence(out, "", &speech.say(key, &[("n", adapted.differences.len().into())]))?;
        for told in words::adapt::differences(speech, &catalogue, &published, &adapted) {
            sentence(out, "- ", &told)?;
        }
    }
    out.flush()?;
    Ok(())
}
