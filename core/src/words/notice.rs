//! What a lifter is told about a brief before and beside its plan.

use super::{English, group as base_group};
use crate::catalogue::Catalogue;
use crate::plan::brief::{Notice, PossibleBecause, Weekday};

fn movement(catalogue: &Catalogue, id: &str) -> String {
    catalogue.movement(id).map_or_else(|| id.to_owned(), |m| m.name.clone())
}

fn muscle(catalogue: &Catalogue, id: &str) -> String {
    catalogue.muscle(id).map_or_else(|| id.to_owned(), |m| catalogue.muscles[m].name.clone())
}

/// A notice as one sentence.
pub fn notice(catalogue: &Catalogue, notice: &Notice) -> String {
    match notice {
        Notice::RequiredAndForbidden { movement: id } => {
            format!("{} is both wanted and forbidden: forbidding wins.", movement(catalogue, id))
        }
        Notice::AskedMoreThanPossible { movement: id, asked, possible, because } => {
            let because = match because {
                PossibleBecause::Days => "the week has no more training days",
                PossibleBecause::MostPerWeek => "it is not done more often in a week",
            };
            format!("{}: {asked} sessions asked, {possible} possible, since {because}.", movement(catalogue, id))
        }
        Notice::TargetOrder { muscle: id } => format!(
            "{}: the weekly sets asked are out of order (minimum, target, maximum); the larger number is used for those below it.",
            muscle(catalogue, id)
        ),
        Notice::EveryMuscleFirst => "Every muscle is a priority, which is the same as none.".into(),
        Notice::TimeBelowOneMovement { day, useful_minutes } => format!(
            "Session {}: the minutes hold a warm-up but no movement; from {useful_minutes} minutes on one fits.",
            day + 1
        ),
        Notice::CarryingNotPossible { movement: id } => format!(
            "{} cannot carry the programme: safety, kit or a wish keeps it out.",
            movement(catalogue, id)
        ),
        Notice::SeeCareFirst => "Much is severely sore. See licensed care first; what is planned loads only what is left, and \
             nothing here says that training is right for you."
            .into(),
        Notice::NothingLeft => "Almost no movement is left. Lift a forbidden pattern or movement, or name more kit; limits of safety stay."
            .into(),
        Notice::LightToModerate => "Light to moderate work only: the self-screening is open or asks for it.".into(),
        Notice::GroupUnavailable { group, by_choice } => {
            let why = if *by_choice { "by your choice" } else { "with this kit and these limits" };
            format!("{}: none can be done {why}.", base_group(group))
        }
        Notice::MuscleUnavailable { muscle: id } => {
            format!("{}: nothing that is left trains it.", muscle(catalogue, id))
        }
        Notice::NotOfferedAlone { movement: id } => format!(
            "{} is not offered to a lifter alone without safeties: a failed repetition can trap you. A dumbbell or press-up form is.",
            movement(catalogue, id)
        ),
        Notice::RequiredButOut { movement: id, barrier } => format!(
            "{} is required but left out: {}.",
            movement(catalogue, id),
            English { catalogue, days: &[] }.barrier(barrier)
        ),
        Notice::WeekdaysTooFew { days, named } => format!(
            "{days} training days are asked but only {named} weekdays named; the others were chosen to keep days apart."
        ),
    }
}

/// The English name of a weekday.
pub fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "Monday",
        Weekday::Tuesday => "Tuesday",
        Weekday::Wednesday => "Wednesday",
        Weekday::Thursday => "Thursday",
        Weekday::Friday => "Friday",
        Weekday::Saturday => "Saturday",
        Weekday::Sunday => "Sunday",
    }
}
