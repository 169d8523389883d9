//! A programme in words.

use super::{Arg, Speech};
use crate::catalogue::Measure;
use crate::plan::programme::{Claim, Line, Tempo};

/// What may be said of a week: a figure only when it is 5 % or better, "best possible" only when proved.
pub fn claim(speech: &Speech, claim: Claim) -> String {
    match claim {
        Claim::BestPossible => speech.say("claim-best", &[]),
        Claim::Within { per_mille } => {
            let percent = format!("{}.{}", per_mille / 10, per_mille % 10);
            speech.say("claim-within", &[("percent", Arg::Decimal(&percent))])
        }
        Claim::NoSingleChangeImproves => speech.say("claim-no-single-change", &[]),
        Claim::Unfinished => speech.say("claim-unfinished", &[]),
    }
}

/// How fast a repetition is done: "Tempo: lower for 3 s, hold still for 1 s at the turn."
pub fn tempo(speech: &Speech, tempo: &Tempo) -> String {
    let parts: Vec<String> =
        [("tempo-lower", tempo.lower_s), ("tempo-turn", tempo.turn_s), ("tempo-raise", tempo.raise_s)]
            .into_iter()
            .filter(|(_, seconds)| *seconds > 0)
            .map(|(key, seconds)| speech.say(key, &[("n", seconds.into())]))
            .collect();
    speech.say("tempo", &[("parts", (&speech.and(&parts)).into())])
}

/// How the sets of a line are done: "3 x 5-8, leave 2".
pub fn prescription(speech: &Speech, line: &Line) -> String {
    let range: [(&str, Arg<'_>); 3] =
        [("sets", line.sets.into()), ("low", line.low.into()), ("high", line.high.into())];
    match line.measure {
        Measure::Repetitions => {
            let [sets, low, high] = range;
            speech.say("prescription-repetitions", &[sets, low, high, ("reserve", line.reserve.into())])
        }
        Measure::Hold => speech.say("prescription-hold", &range),
        Measure::Carry => speech.say("prescription-carry", &range),
    }
}
