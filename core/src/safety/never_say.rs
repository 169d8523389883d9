//! What no sentence of this project ever says, in English and German.

/// A phrase, and what it would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Phrase {
    /// Lower case, words separated by one space.
    pub text: &'static str,
    /// Why it is never said.
    pub because: &'static str,
}

const fn p(text: &'static str, because: &'static str) -> Phrase {
    Phrase { text, because }
}

const JUDGES: &str = "it judges what only licensed care can";
const URGES: &str = "it urges on past a warning";
const DIAGNOSES: &str = "it diagnoses";
const PROMISES: &str = "it promises what nobody can";
const BODY: &str = "it holds up one body as right";
const GUILT: &str = "it makes guilty";
const UNREAD: &str = "it claims that someone read what may not have been delivered";

/// The phrases.
pub const NEVER_SAY: &[Phrase] = &[
    p("safe", JUDGES),
    p("safely", JUDGES),
    p("cleared", JUDGES),
    p("normal pain", JUDGES),
    p("pain is normal", JUDGES),
    p("push through", URGES),
    p("work through the pain", URGES),
    p("no pain no gain", URGES),
    p("probably a strain", DIAGNOSES),
    p("probably just", DIAGNOSES),
    p("only a strain", DIAGNOSES),
    p("fix your imbalance", DIAGNOSES),
    p("fix an imbalance", DIAGNOSES),
    p("prevents injury", PROMISES),
    p("prevents injuries", PROMISES),
    p("prevent injury", PROMISES),
    p("injury prevention", PROMISES),
    p("risk of injury", PROMISES),
    p("injury risk", PROMISES),
    p("rehabilitation", JUDGES),
    p("rehab", JUDGES),
    p("ideal weight", BODY),
    p("ideal body", BODY),
    p("days to recover", PROMISES),
    p("fully recovered", PROMISES),
    p("you missed", GUILT),
    p("you skipped", GUILT),
    p("no excuses", GUILT),
    p("shame on", GUILT),
    p("lazy", GUILT),
    p("let yourself down", GUILT),
    p("your coach knows", UNREAD),
    p("your coach has seen", UNREAD),
    p("ungefährlich", JUDGES),
    p("gefahrlos", JUDGES),
    p("unbedenklich", JUDGES),
    p("freigegeben", JUDGES),
    p("ist sicher", JUDGES),
    p("sind sicher", JUDGES),
    p("sichere übung", JUDGES),
    p("du bist sicher", JUDGES),
    p("normaler schmerz", JUDGES),
    p("normale schmerzen", JUDGES),
    p("normalen schmerz", JUDGES),
    p("schmerzen sind normal", JUDGES),
    p("zähne zusammenbeißen", URGES),
    p("beiß dich durch", URGES),
    p("durchbeißen", URGES),
    p("beiß die zähne zusammen", URGES),
    p("durch den schmerz", URGES),
    p("zerrung", DIAGNOSES),
    p("dysbalance", DIAGNOSES),
    p("wahrscheinlich nur", DIAGNOSES),
    p("ungleichgewicht beheben", DIAGNOSES),
    p("beugt verletzungen vor", PROMISES),
    p("verhindert verletzungen", PROMISES),
    p("verletzungsrisiko", PROMISES),
    p("verletzungsgefahr", PROMISES),
    p("reha", JUDGES),
    p("idealgewicht", BODY),
    p("wunschgewicht", BODY),
    p("traumfigur", BODY),
    p("tage bis zur erholung", PROMISES),
    p("vollständig erholt", PROMISES),
    p("du hast verpasst", GUILT),
    p("hast du verpasst", GUILT),
    p("sie haben verpasst", GUILT),
    p("geschwänzt", GUILT),
    p("keine ausreden", GUILT),
    p("faul", GUILT),
    p("dein coach weiß", UNREAD),
    p("dein trainer weiß", UNREAD),
    p("ihr trainer weiß", UNREAD),
    p("deine trainerin weiß", UNREAD),
];

/// The phrases that a text says: as whole words, whatever the case and the white space between them.
pub fn never_said(text: &str) -> Vec<Phrase> {
    let mut words = String::from(" ");
    for c in text.chars().flat_map(char::to_lowercase) {
        // An identifier such as `cleared_by` is one word, and so is a word with a hyphen.
        if c.is_alphanumeric() || matches!(c, '_' | '-') {
            words.push(c);
        } else if c != '\'' && c != '\u{2019}' && !words.ends_with(' ') {
            words.push(' ');
        }
    }
    words.push(' ');
    let said = |phrase: &&Phrase| words.contains(&format!(" {} ", phrase.text));
    NEVER_SAY.iter().filter(said).copied().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_words_are_found_whatever_their_case_and_spacing() {
        let texts = |t: &str| never_said(t).iter().map(|p| p.text).collect::<Vec<_>>();
        assert_eq!(texts("You are SAFE, go on."), ["safe"]);
        assert_eq!(texts("Push\n   through!"), ["push through"]);
        assert_eq!(texts("Das Verletzungsrisiko sinkt"), ["verletzungsrisiko"]);
        assert!(texts("Set the safeties; cleared_by; push the bar through the hoop").is_empty());
    }

    #[test]
    fn every_phrase_is_found_in_itself_and_has_a_reason() {
        for phrase in NEVER_SAY {
            assert!(never_said(phrase.text).contains(phrase), "{}", phrase.text);
            assert!(!phrase.because.is_empty());
        }
    }
}
