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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    #[test]
    fn notices_are_whole_sentences_in_both_languages() {
        let catalogue = Catalogue::builtin().expect("sound");
        let speeches = Language::ALL.map(Speech::new);
        for (told, english, german) in [
            (
                Notice::RequiredAndForbidden { movement: "leg_press".into() },
                "Leg press is both wanted and forbidden: forbidding wins.",
                "Beinpresse ist zugleich gewünscht und ausgeschlossen: Der Ausschluss gilt.",
            ),
            (
                Notice::AskedMoreThanPossible {
                    movement: "barbell_row".into(),
                    asked: 4,
                    possible: 3,
                    because: PossibleBecause::Days,
                },
                "Bent-over barbell row: 4 sessions asked, 3 possible, since the week has no more training days.",
                "Vorgebeugtes Rudern mit Langhantel: 4 Einheiten gewünscht, 3 möglich, denn die Woche hat nicht \
                 mehr Trainingstage.",
            ),
            (
                Notice::TimeBelowOneMovement { day: 1, useful_minutes: 18 },
                "Session 2: the minutes hold a warm-up but no movement; from 18 minutes on one fits.",
                "Einheit 2: Die Minuten reichen zum Aufwärmen, aber für keine Übung; ab 18 Minuten passt eine \
                 hinein.",
            ),
            (
                Notice::GroupUnavailable { group: "horizontal_pull".into(), by_choice: false },
                "Rows: none can be done with this kit and these limits.",
                "Ruderübungen: mit dieser Ausrüstung und diesen Grenzen bleibt nichts Machbares.",
            ),
            (
                Notice::RequiredButOut {
                    movement: "plank".into(),
                    barrier: crate::plan::reason::Barrier::Skill,
                },
                "Front plank is required but left out: its technique comes later.",
                "Unterarmstütz ist verlangt, bleibt aber weg: die Technik kommt später.",
            ),
        ] {
            for (speech, expected) in speeches.iter().zip([english, german]) {
                assert_eq!(notice(speech, &catalogue, &told), expected);
            }
        }
    }
}
