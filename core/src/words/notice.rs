//! What a lifter is told about a brief before and beside its plan.

use super::group as base_group;
use super::speech::capital;
use super::{Account, Arg, Speech};
use crate::catalogue::Catalogue;
use crate::plan::brief::{Notice, PossibleBecause};

/// A notice as one sentence.
pub fn notice(speech: &Speech, catalogue: &Catalogue, notice: &Notice) -> String {
    let of_movement =
        |key: &str, id: &str| speech.say(key, &[("movement", Arg::Text(&speech.movement_in(catalogue, id)))]);
    let of_muscle = |key: &str, id: &str| speech.say(key, &[("muscle", Arg::Text(&speech.muscle(id)))]);
    match notice {
        Notice::RequiredAndForbidden { movement } => of_movement("notice-required-and-forbidden", movement),
        Notice::AskedMoreThanPossible { movement, asked, possible, because } => {
            let key = match because {
                PossibleBecause::Days => "notice-more-than-days",
                PossibleBecause::MostPerWeek => "notice-more-than-week",
            };
            let name = speech.movement_in(catalogue, movement);
            speech.say(
                key,
                &[("movement", (&name).into()), ("asked", (*asked).into()), ("possible", (*possible).into())],
            )
        }
        Notice::TargetOrder { muscle } => of_muscle("notice-target-order", muscle),
        Notice::EveryMuscleFirst => speech.say("notice-every-muscle-first", &[]),
        Notice::TimeBelowOneMovement { day, useful_minutes } => {
            speech.say("notice-time", &[("day", (*day + 1).into()), ("minutes", (*useful_minutes).into())])
        }
        Notice::CarryingNotPossible { movement } => of_movement("notice-carrying", movement),
        Notice::SeeCareFirst => speech.say("notice-care-first", &[]),
        Notice::NothingLeft => speech.say("notice-nothing-left", &[]),
        Notice::LightToModerate => speech.say("notice-light", &[]),
        Notice::GroupUnavailable { group, by_choice } => {
            let key = if *by_choice { "notice-group-by-choice" } else { "notice-group-by-limits" };
            speech.say(key, &[("group", (&capital(&base_group(speech, group))).into())])
        }
        Notice::MuscleUnavailable { muscle } => of_muscle("notice-muscle", muscle),
        Notice::NotOfferedAlone { movement } => of_movement("notice-alone", movement),
        Notice::RequiredButOut { movement, barrier } => {
            let name = speech.movement_in(catalogue, movement);
            let barrier = Account { speech, catalogue, days: &[] }.barrier(barrier);
            speech.say(
                "notice-required-but-out",
                &[("movement", (&name).into()), ("barrier", (&barrier).into())],
            )
        }
        Notice::WeekdaysTooFew { days, named } => {
            speech.say("notice-weekdays", &[("days", (*days).into()), ("named", (*named).into())])
        }
    }
}
