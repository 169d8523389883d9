//! Who did what with an account, as sentences.

use super::Speech;
use crate::sync::{AuditDeed, AuditLine};

/// A line of it, with how often.
pub fn audit(speech: &Speech, line: &AuditLine) -> String {
    let kind = match line.deed {
        AuditDeed::Paired => "paired",
        AuditDeed::Renewed => "renewed",
        AuditDeed::Revoked => "revoked",
        AuditDeed::Read => "read",
        AuditDeed::Wrote => "wrote",
        AuditDeed::Refused => "refused",
        AuditDeed::Other(_) => "other",
    };
    let of_record = matches!(line.deed, AuditDeed::Read | AuditDeed::Wrote);
    let what: Vec<String> =
        line.what.iter().map(|w| if of_record { part(speech, w) } else { w.clone() }).collect();
    let what = speech.and(&what);
    let args = [("kind", kind.into()), ("who", line.who.as_str().into()), ("what", (&what).into())];
    let told = speech.say("audit-line", &args);
    match line.times {
        0 | 1 => told,
        n => speech.say("audit-times", &[("told", (&told).into()), ("n", n.into())]),
    }
}

/// What a grant opens by this word, or entries of this kind.
fn part(speech: &Speech, word: &str) -> String {
    let key = match word {
        "programme" => "grant-programmes".to_owned(),
        "note" => "grant-notes".to_owned(),
        group => format!("grant-{}", group.replace('_', "-")),
    };
    if speech.has(&key) { speech.say(&key, &[]) } else { word.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    #[test]
    fn a_line_says_who_did_what_and_how_often() {
        let line = |deed, what: &[&str], times| AuditLine {
            number: 1,
            who: "mara".into(),
            deed,
            what: what.iter().map(|w| (*w).to_owned()).collect(),
            from_ms: 0,
            until_ms: 0,
            times,
        };
        let [en, de] = Language::ALL.map(Speech::new);
        let read = line(AuditDeed::Read, &["log", "body_mass"], 3);
        assert_eq!(audit(&en, &read), "mara read: sessions and sets and body mass and measures (3 times)");
        assert_eq!(
            audit(&de, &read),
            "mara hat gelesen: Einheiten und Sätze und Körpermasse und andere Maße (3 Mal)"
        );
        let wrote = line(AuditDeed::Wrote, &["note", "programme"], 1);
        assert_eq!(audit(&en, &wrote), "mara wrote: notes and programmes");
        assert_eq!(audit(&en, &line(AuditDeed::Paired, &["log"], 1)), "mara paired the device log");
        assert_eq!(audit(&en, &line(AuditDeed::Refused, &[], 1)), "mara asked for what no grant allows");
        let newer = line(AuditDeed::Other("sung".into()), &[], 1);
        assert_eq!(audit(&en, &newer), "mara did something that this version does not know");
    }
}
