//! What is refused, with field and remedy. Fields keep the names that the documents and the options have.

use super::{Arg, Speech};
use crate::load::LoadError;
use crate::plan::DocumentFault;
use crate::plan::reason::ChangeFault;
use crate::plan::session::SessionFault;

/// Why a session under way could not be re-planned.
pub fn session_fault(speech: &Speech, fault: &SessionFault) -> String {
    match fault {
        SessionFault::Day { day, days } => {
            speech.say("fault-session-day", &[("day", (*day).into()), ("days", (*days).into())])
        }
        SessionFault::Line { line, lines } => {
            speech.say("fault-session-line", &[("line", (*line).into()), ("lines", (*lines).into())])
        }
        SessionFault::Movement { id } => speech.say("fault-session-movement", &[("id", id.into())]),
        SessionFault::Kit { id } => speech.say("fault-session-kit", &[("id", id.into())]),
        SessionFault::Number { field, given, low, high } => {
            let args = [
                ("field", (*field).into()),
                ("given", (*given).into()),
                ("low", (*low).into()),
                ("high", (*high).into()),
            ];
            speech.say("fault-session-number", &args)
        }
        SessionFault::TooLarge => speech.say("fault-session-large", &[]),
    }
}

/// Why a change could not be priced.
pub fn change_fault(speech: &Speech, fault: &ChangeFault) -> String {
    match fault {
        ChangeFault::UnknownMovement { id, remedy } => {
            let remedy = speech.english(remedy);
            speech.say("fault-change-movement", &[("id", id.into()), ("remedy", (&remedy).into())])
        }
        ChangeFault::NoSuchDay { field, day, days } => speech.say(
            "fault-change-day",
            &[("field", (*field).into()), ("day", (*day).into()), ("days", (*days).into())],
        ),
        ChangeFault::NegativeSets { sets } => speech.say("fault-change-sets", &[("sets", (*sets).into())]),
    }
}

/// Why a load could not be read, made or estimated.
pub fn load_fault(speech: &Speech, fault: &LoadError) -> String {
    match fault {
        LoadError::Mass { text, problem } => {
            let problem = speech.english(problem);
            speech.say("fault-mass", &[("text", text.into()), ("problem", (&problem).into())])
        }
        LoadError::Missing { what } => {
            speech.say("fault-load-missing", &[("what", (&speech.english(what)).into())])
        }
        LoadError::BelowLightest { wanted, lightest } => {
            let (wanted, lightest) = (exact(speech, wanted), exact(speech, lightest));
            speech
                .say("fault-load-lightest", &[("wanted", (&wanted).into()), ("lightest", (&lightest).into())])
        }
        LoadError::TooVaried { wanted, certain_to } => {
            let (wanted, certain) = (exact(speech, wanted), exact(speech, certain_to));
            speech.say("fault-load-varied", &[("wanted", (&wanted).into()), ("certain", (&certain).into())])
        }
        LoadError::NotMade { number, wanted } => {
            let wanted = exact(speech, wanted);
            speech.say("fault-load-not-made", &[("number", (*number).into()), ("wanted", (&wanted).into())])
        }
        LoadError::TooManyLoads { given, most } => {
            speech.say("fault-load-many", &[("given", (*given).into()), ("most", (*most).into())])
        }
        LoadError::Reps { reps, from, to, what } => {
            let what = speech.english(what);
            let args = [
                ("reps", (*reps).into()),
                ("from", (*from).into()),
                ("to", (*to).into()),
                ("what", (&what).into()),
            ];
            speech.say("fault-load-reps", &args)
        }
        // What only a file of kit or a damaged build brings up.
        other => speech.english(&other.to_string()),
    }
}

/// The mass as it was entered, not rounded: the lifter must know it again.
fn exact(speech: &Speech, mass: &crate::load::Mass) -> String {
    speech.decimal(&mass.to_string())
}

/// The first fault of a document, and how many more there are.
pub fn document_faults(speech: &Speech, faults: &[DocumentFault]) -> String {
    let Some(first) = faults.first() else { return speech.say("fault-empty-document", &[]) };
    let first = speech.english(&first.to_string());
    speech.say("more-faults", &[("first", (&first).into()), ("n", Arg::Count(faults.len() as i64 - 1))])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    /// The English of a message is what the error says of itself: the two must not drift apart.
    #[test]
    fn english_says_what_the_errors_say() {
        let en = Speech::new(Language::English);
        for f in [
            SessionFault::Day { day: 9, days: 3 },
            SessionFault::Line { line: 9, lines: 3 },
            SessionFault::Movement { id: "x".into() },
            SessionFault::Kit { id: "x".into() },
            SessionFault::Number { field: "minutes", given: -1, low: 0, high: 300 },
            SessionFault::TooLarge,
        ] {
            assert_eq!(session_fault(&en, &f), f.to_string());
        }
        for f in [
            ChangeFault::UnknownMovement { id: "x".into(), remedy: "see the catalogue".into() },
            ChangeFault::NoSuchDay { field: "from", day: 9, days: 3 },
            ChangeFault::NegativeSets { sets: -1 },
        ] {
            assert_eq!(change_fault(&en, &f), f.to_string());
        }
        let [light, heavy] = ["12.125 kg", "20 kg"].map(|m| m.parse().expect("a mass"));
        for f in [
            LoadError::Mass { text: "x kg".into(), problem: "there is no number" },
            LoadError::Missing { what: "sled".into() },
            LoadError::BelowLightest { wanted: light, lightest: heavy },
            LoadError::TooVaried { wanted: heavy, certain_to: light },
            LoadError::NotMade { number: 2, wanted: light },
            LoadError::TooManyLoads { given: 99, most: 60 },
            LoadError::Reps { reps: 40, from: 1, to: 12, what: "Brzycki".into() },
            LoadError::Bounds { field: "mass", given: "x".into(), bounds: "0 to 1000 kg".into() },
        ] {
            assert_eq!(load_fault(&en, &f), f.to_string());
        }
    }

    #[test]
    fn german_names_field_and_remedy_too() {
        let de = Speech::new(Language::German);
        let f = SessionFault::Number { field: "minutes", given: -1, low: 0, high: 300 };
        assert_eq!(session_fault(&de, &f), "minutes: -1 ist nicht möglich; gib 0 bis 300 an");
        let [light, heavy] = ["12.125 kg", "20 kg"].map(|m| m.parse().expect("a mass"));
        let told = load_fault(&de, &LoadError::BelowLightest { wanted: light, lightest: heavy });
        assert!(told.contains("12,125 kg") && told.contains("20 kg;"), "{told}");
    }
}
