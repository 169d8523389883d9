//! What was changed in a published programme, and why, as sentences.

use super::{Arg, Speech};
use crate::catalogue::{Catalogue, Measure};
use crate::plan::adapt::{Adapted, Change, Difference, Nearness, Reason};
use crate::plan::model::Limit;
use crate::plan::prescription::Prescription;
use crate::plan::programme::Programme;
use crate::safety::Refusal;

fn kit(speech: &Speech, ids: &[String]) -> String {
    ids.iter().map(|id| speech.kit_item(id)).collect::<Vec<_>>().join(", ")
}

fn done(speech: &Speech, measure: Measure, p: Prescription) -> String {
    let key = match measure {
        Measure::Repetitions => "adapt-done-repetitions",
        Measure::Hold => "adapt-done-hold",
        Measure::Carry => "adapt-done-carry",
    };
    let args = [
        ("low", p.low.into()),
        ("high", p.high.into()),
        ("reserve", p.reserve.into()),
        ("rest", p.rest_s.into()),
    ];
    speech.say(key, &args)
}

/// Why safety keeps a movement out, as a clause after a colon.
pub fn refusal(speech: &Speech, catalogue: &Catalogue, refusal: Refusal) -> String {
    let of = |key: &str, region: usize| {
        let id = catalogue.regions.get(region).map_or("", |n| n.id.as_str());
        speech.say(key, &[("region", (&speech.region_inside(id)).into())])
    };
    match refusal {
        Refusal::Discomfort { region, .. } => of("refusal-discomfort", region),
        Refusal::NewDiscomfort { region } => of("refusal-new-discomfort", region),
        Refusal::AfterSurgery { region } => of("refusal-after-surgery", region),
        Refusal::RegionOut { region } => of("refusal-region-out", region),
        Refusal::LyingOnBack => speech.say("refusal-on-back", &[]),
        Refusal::LyingOnFront => speech.say("refusal-on-front", &[]),
        Refusal::AloneWithoutSafeties => speech.say("refusal-alone", &[]),
    }
}

/// Every difference of an adapted programme from the published one, each as one sentence with its day and movement.
pub fn differences(
    speech: &Speech,
    catalogue: &Catalogue,
    published: &Programme,
    adapted: &Adapted,
) -> Vec<String> {
    let one = |d: &Difference| {
        let day = published.days.get(d.day);
        let line = d.line.and_then(|k| day?.lines.get(k));
        let measure = line.map_or(Measure::Repetitions, |l| l.measure);
        let told = difference(speech, catalogue, d, measure);
        let day = day.map_or_else(String::new, |day| speech.weekday(day.weekday));
        let (day, told) = (("day", (&day).into()), ("difference", (&told).into()));
        match line {
            None => speech.say("adapted-day", &[day, told]),
            Some(l) => {
                let name = speech.movement_in(catalogue, &l.movement);
                speech.say("adapted-line", &[day, ("movement", (&name).into()), told])
            }
        }
    };
    adapted.differences.iter().map(one).collect()
}

/// A difference as one sentence. `measure` is what the line's movement counts.
pub fn difference(
    speech: &Speech,
    catalogue: &Catalogue,
    difference: &Difference,
    measure: Measure,
) -> String {
    let because = reason(speech, catalogue, &difference.reason);
    let name = |id: &str| speech.movement_in(catalogue, id);
    let because = ("because", Arg::Text(&because));
    match &difference.change {
        Change::DayLeftOut => speech.say("adapt-day-left-out", &[because]),
        Change::Weekday { from, to } => {
            let (from, to) = (speech.weekday(*from), speech.weekday(*to));
            speech.say("adapt-weekday", &[("from", (&from).into()), ("to", (&to).into()), because])
        }
        Change::Folded { movement, into } => speech.say(
            "adapt-folded",
            &[("movement", (&name(movement)).into()), ("day", (into + 1).into()), because],
        ),
        Change::LeftOut { movement, keep } => {
            let key = if *keep { "adapt-left-out-keep" } else { "adapt-left-out" };
            speech.say(key, &[("movement", (&name(movement)).into()), because])
        }
        Change::Replaced { from, to, nearness, keep, because: named } => {
            let near = match (named, nearness) {
                (Some(named), _) => speech.english(named),
                (None, Nearness::SamePattern) => speech.say("adapt-near-pattern", &[]),
                (None, _) => speech.say("adapt-near-left", &[]),
            };
            let key = if *keep { "adapt-replaced-keep" } else { "adapt-replaced" };
            let (from, to) = (name(from), name(to));
            let args = [("from", (&from).into()), ("to", (&to).into()), because, ("near", (&near).into())];
            speech.say(key, &args)
        }
        Change::Sets { from, to } => {
            let to = speech.say("sets", &[("n", (*to).into())]);
            speech.say("adapt-sets", &[("from", (*from).into()), ("to", (&to).into()), because])
        }
        Change::Prescribed { from, to } => {
            let (from, to) = (done(speech, measure, *from), done(speech, measure, *to));
            speech.say("adapt-prescribed", &[("from", (&from).into()), ("to", (&to).into()), because])
        }
        Change::Ramp { from, to } => {
            speech.say("adapt-ramp", &[("from", (*from).into()), ("to", (*to).into()), because])
        }
        Change::KeptThoughForbidden { movement } => {
            speech.say("adapt-kept", &[("movement", (&name(movement)).into()), because])
        }
    }
}

/// A reason as a clause after a colon.
pub fn reason(speech: &Speech, catalogue: &Catalogue, reason: &Reason) -> String {
    match reason {
        Reason::Safety { refusal: r } => refusal(speech, catalogue, *r),
        Reason::Eased => speech.say("reason-eased", &[]),
        Reason::Kit { missing } => speech.say("reason-kit", &[("kit", (&kit(speech, missing)).into())]),
        Reason::Forbidden => speech.say("reason-forbidden", &[]),
        Reason::Skill => speech.say("reason-skill", &[]),
        Reason::Minutes { minutes } => speech.say("reason-minutes", &[("minutes", (*minutes).into())]),
        Reason::Limit { limit } => limit_clause(speech, catalogue, *limit),
        Reason::TooOften { most } => speech.say("reason-too-often", &[("most", (*most).into())]),
        Reason::FewerDays { published, days } => {
            speech.say("reason-fewer-days", &[("published", (*published).into()), ("days", (*days).into())])
        }
        Reason::AlreadyThere => speech.say("reason-already-there", &[]),
        Reason::Weekdays => speech.say("reason-weekdays", &[]),
        Reason::Unknown => speech.say("reason-unknown", &[]),
        Reason::StandIn => speech.say("reason-stand-in", &[]),
        Reason::MarkedKeep => speech.say("reason-keep", &[]),
    }
}

/// A limit of a session as a clause after a colon.
pub(super) fn limit_clause(speech: &Speech, catalogue: &Catalogue, limit: Limit) -> String {
    match limit {
        Limit::Time => speech.say("limit-time", &[]),
        Limit::Axial | Limit::AxialThree => speech.say("limit-axial", &[]),
        Limit::HeavyPair => speech.say("limit-heavy-pair", &[]),
        Limit::Fatigue => speech.say("limit-fatigue", &[]),
        Limit::Grip => speech.say("limit-grip", &[]),
        Limit::Muscle(g) => {
            let name = catalogue.muscles.get(g).map_or_else(String::new, |m| speech.muscle(&m.id));
            speech.say("limit-muscle", &[("muscle", (&name).into())])
        }
        _ => speech.say("limit-other", &[]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    #[test]
    fn refusals_and_differences_hold_their_grammar_in_both_languages() {
        let catalogue = Catalogue::builtin().expect("sound");
        let back = catalogue.region("low_back").expect("a region");
        let [en, de] = Language::ALL.map(Speech::new);
        let new = Refusal::NewDiscomfort { region: back };
        assert_eq!(
            refusal(&en, &catalogue, new),
            "the discomfort of the low back is new or worse: what loads it waits until licensed care was taken"
        );
        assert_eq!(
            refusal(&de, &catalogue, new),
            "die Beschwerden sind neu oder stärker (unterer Rücken): Was diese Stelle belastet, wartet, bis \
             sich Fachleute das angesehen haben"
        );
        let sets = Difference {
            day: 0,
            line: Some(0),
            change: Change::Sets { from: 4, to: 1 },
            reason: Reason::Minutes { minutes: 45 },
        };
        let said = |speech| difference(speech, &catalogue, &sets, Measure::Repetitions);
        assert_eq!(said(&en), "1 set instead of 4: more would not fit the 45 minutes.");
        assert_eq!(said(&de), "1 Satz statt 4: mehr passt nicht in die 45 Minuten.");
        let replaced = Difference {
            day: 0,
            line: Some(0),
            change: Change::Replaced {
                from: "barbell_bench_press".into(),
                to: "one_arm_dumbbell_row".into(),
                nearness: Nearness::SamePattern,
                keep: true,
                because: None,
            },
            reason: Reason::Kit { missing: vec!["barbell".into(), "rack".into()] },
        };
        let said = |speech| difference(speech, &catalogue, &replaced, Measure::Repetitions);
        assert_eq!(
            said(&en),
            "One-arm dumbbell row stands in for Barbell bench press, which is marked to stay: kit is missing \
             (Barbell and discs, Rack with hooks for the bar); it is of the same pattern."
        );
        assert_eq!(
            said(&de),
            "Einarmiges Rudern mit Kurzhantel ersetzt „Bankdrücken mit Langhantel“ trotz des Vermerks, dass die \
             Übung bleiben soll: es fehlt Ausrüstung (Langhantel und Scheiben, Rack mit Haken für die Stange); \
             die Übung gehört zum selben Muster."
        );
    }
}
