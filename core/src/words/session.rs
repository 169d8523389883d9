//! What is said in mid-session: a stand-in, the minutes left, a missed day folded in.

use super::adapt::limit_clause;
use super::{English, and, count, minutes, reason::term, sentence};
use crate::catalogue::Texts;
use crate::plan::reason::Barrier;
use crate::plan::session::{Cut, CutBecause, FoldedIn, Folding, MinutesLeft, Offer, StandInAnswer};

/// Said with every change of a session under way.
pub const PROTECTED: &str = "Ramps and rests are never shortened. Set the safeties anew for what is new.";

fn some_sets(n: i32) -> String {
    count(i64::from(n), "set", "sets")
}

impl English<'_> {
    /// What the offers of a stand-in stand for.
    pub fn stand_in(&self, answer: &StandInAnswer) -> String {
        let name = self.movement(&answer.of);
        if answer.sets_left == 0 {
            return sentence(&format!("{name}: all its sets are done"));
        }
        let left = some_sets(answer.sets_left);
        if answer.offers.is_empty() {
            return sentence(&format!(
                "nothing that fits now can stand in for {name} ({left} left); leaving it out is an answer too"
            ));
        }
        format!("In the place of {name} ({left} left):")
    }

    /// Why a movement is offered: the catalogue's reason, or what changes most.
    pub fn offer(&self, offer: &Offer) -> String {
        offer.because.clone().unwrap_or_else(|| term(offer.mostly).to_owned())
    }

    /// Sets taken off or a line left out, and why.
    pub fn cut(&self, cut: &Cut) -> String {
        let name = self.movement(&cut.movement);
        let why = match &cut.because {
            CutBecause::Out { removal } => self.barrier(&Barrier::of_removal(removal, self.catalogue)),
            CutBecause::Limit { limit } => limit_clause(self.catalogue, *limit),
            CutBecause::WorthLess => "the week is worth more so".into(),
            CutBecause::NoDayLeft { .. } => "no day of the week is left to take it".into(),
        };
        sentence(&if cut.to == 0 {
            format!("{name} is left out: {why}")
        } else {
            format!("{name}: {} instead of {}: {why}", some_sets(cut.to), cut.from)
        })
    }

    /// A line of a missed day that found a place.
    pub fn folded(&self, f: &FoldedIn) -> String {
        let gained = some_sets(f.gained);
        sentence(&format!(
            "{}: {gained} of {} go to {}",
            self.movement(&f.movement),
            f.planned,
            self.day(f.day)
        ))
    }

    /// What the minutes left mean beside the lines: what gives way, how long it takes, what would be better.
    pub fn minutes_left(&self, answer: &MinutesLeft) -> Vec<String> {
        let mut out: Vec<String> = answer.cut.iter().map(|c| self.cut(c)).collect();
        let proved = if answer.exact { ". No other choice of these lines is better" } else { "" };
        out.push(sentence(&format!("{} of work and rest{proved}", minutes(answer.seconds))));
        if let Some(free) = &answer.free {
            let brought: Vec<String> = free
                .brought_in
                .iter()
                .map(|b| format!("{} ({})", self.movement(&b.movement), some_sets(b.sets)))
                .collect();
            out.push(sentence(&format!("better still, with another movement: {}", and(&brought))));
        }
        out
    }

    /// What a missed day means for the days that are left: what found a place, what is dropped, what gives way.
    pub fn folding(&self, answer: &Folding) -> Vec<String> {
        let mut out: Vec<String> = answer.folded.iter().map(|f| self.folded(f)).collect();
        out.extend(answer.dropped.iter().map(|cut| {
            sentence(&format!(
                "{} is dropped, and not carried into the next week",
                self.movement(&cut.movement)
            ))
        }));
        for day in &answer.days {
            out.extend(day.cut.iter().map(|c| format!("{}: {}", self.day(day.day), self.cut(c))));
        }
        out
    }

    /// The cautions of movements, each with its movement's name and each movement once.
    pub fn cautions<'i>(&self, texts: &Texts, ids: impl IntoIterator<Item = &'i str>) -> Vec<String> {
        let mut told: Vec<&str> = Vec::new();
        let mut out = Vec::new();
        for id in ids {
            if told.contains(&id) {
                continue;
            }
            told.push(id);
            let name = self.catalogue.movement(id).map_or(id, |m| m.name.as_str());
            match texts.of(id) {
                Some(text) => out.extend(text.cautions.iter().map(|c| format!("{name}: {c}"))),
                None => out.push(format!("{name}: no cautions are written for it; ask who added it.")),
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::plan::brief::Weekday;
    use crate::plan::filter::Removal;
    use crate::plan::model::Limit;
    use crate::safety::Refusal;

    fn cut(to: i32, because: CutBecause) -> Cut {
        Cut { movement: "barbell_back_squat".into(), from: 4, to, because }
    }

    #[test]
    fn a_cut_says_what_and_why() {
        let catalogue = Catalogue::builtin().expect("sound");
        let english = English { catalogue: &catalogue, days: &[Weekday::Monday, Weekday::Friday] };
        let knee = catalogue.region("knee").expect("a region");
        let out = Removal::Safety { refusal: Refusal::NewDiscomfort { region: knee } };
        for (one, said) in [
            (
                cut(1, CutBecause::Limit { limit: Limit::Time }),
                "Barbell back squat: 1 set instead of 4: more would not fit the minutes.",
            ),
            (cut(0, CutBecause::WorthLess), "Barbell back squat is left out: the week is worth more so."),
            (
                cut(0, CutBecause::Out { removal: out }),
                "Barbell back squat is left out: the new or worse discomfort (knee): left out until care was taken.",
            ),
            (
                cut(0, CutBecause::NoDayLeft { missed: 1 }),
                "Barbell back squat is left out: no day of the week is left to take it.",
            ),
        ] {
            assert_eq!(english.cut(&one), said);
        }
        let folded = FoldedIn { movement: "leg_press".into(), day: 1, planned: 3, gained: 2 };
        assert_eq!(english.folded(&folded), "Leg press: 2 sets of 3 go to Friday.");
    }

    #[test]
    fn an_answer_without_offers_is_not_silent() {
        let catalogue = Catalogue::builtin().expect("sound");
        let english = English { catalogue: &catalogue, days: &[] };
        let mut answer = StandInAnswer { of: "plank".into(), sets_left: 2, offers: Vec::new() };
        assert!(
            english
                .stand_in(&answer)
                .starts_with("Nothing that fits now can stand in for front plank (2 sets left)")
        );
        answer.sets_left = 0;
        assert_eq!(english.stand_in(&answer), "Front plank: all its sets are done.");
    }

    #[test]
    fn cautions_are_told_once_for_each_movement_and_never_silently_missing() {
        let catalogue = Catalogue::builtin().expect("sound");
        let texts = Texts::builtin(&catalogue).expect("sound");
        let english = English { catalogue: &catalogue, days: &[] };
        let told = english.cautions(&texts, ["plank", "own_sled", "plank"]);
        let plank = &texts.of("plank").expect("a text").cautions;
        assert_eq!(told.len(), plank.len() + 1);
        assert_eq!(told[0], format!("Front plank: {}", plank[0]));
        assert!(told.last().expect("one").starts_with("own_sled: no cautions are written"));
    }
}
