//! `plinth price`: what a change to the planned week costs.

use crate::arguments::{ChangeArgument, PriceArguments};
use crate::failure::Failure;
use crate::input;
use crate::output::{json, sentence};
use plinth_core::plan::Planner;
use plinth_core::plan::reason::{Change, Reasoner};
use plinth_core::plan::search::Effort;
use plinth_core::words::{Account, Speech};

pub(crate) fn run(speech: &Speech, a: &PriceArguments) -> Result<(), Failure> {
    let (brief, catalogue) = input::brief(&a.brief)?;
    let weights = input::weights()?;
    let planner = Planner::new(&catalogue, &weights);
    let solved = planner.solve(&brief, Effort::QUICK, &mut |_| true);
    let reasoner = Reasoner::new(planner, &brief, &solved);
    let (change, show) = match &a.change {
        ChangeArgument::Force { movement, day, show } => {
            let day = day.map(|d| input::from_one("--day", d)).transpose()?;
            (Change::Force { movement: movement.clone(), day }, show)
        }
        ChangeArgument::Forbid { movement, show } => (Change::Forbid { movement: movement.clone() }, show),
        ChangeArgument::Move { movement, from, to, show } => {
            let (from, to) = (input::from_one("FROM", *from)?, input::from_one("TO", *to)?);
            (Change::Move { movement: movement.clone(), from, to }, show)
        }
        ChangeArgument::Sets { movement, day, sets, show } => {
            let sets = i32::try_from(*sets)
                .map_err(|_| Failure::Input(format!("SETS: {sets} is too many; give a few.")))?;
            (Change::Sets { day: input::from_one("DAY", *day)?, movement: movement.clone(), sets }, show)
        }
    };
    let price = reasoner.price_of_change(&change)?;
    let out = &mut std::io::stdout().lock();
    if show.json {
        return json(out, &price);
    }
    let days = reasoner.weekdays();
    let account = Account { speech, catalogue: &catalogue, days: &days };
    for text in account.price(&price) {
        sentence(out, "", &text)?;
    }
    Ok(())
}
