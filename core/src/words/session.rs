//! What is said in mid-session: a stand-in, the minutes left, a missed day folded in.

use super::adapt::limit_clause;
use super::{Account, Arg, Speech, reason::term, sentence};
use crate::catalogue::Texts;
use crate::plan::reason::Barrier;
use crate::plan::session::{Cut, CutBecause, FoldedIn, Folding, MinutesLeft, Offer, StandInAnswer};

/// Said with every change of a session under way.
pub fn protected(speech: &Speech) -> String {
    speech.say("session-protected", &[])
}

impl Account<'_> {
    /// What the offers of a stand-in stand for.
    pub fn stand_in(&self, answer: &StandInAnswer) -> String {
        let (name, left) = (self.movement(&answer.of), self.some_sets(answer.sets_left));
        let (name, left) = (("movement", Arg::Text(&name)), ("sets", Arg::Text(&left)));
        if answer.sets_left == 0 {
            return sentence(&self.say("session-all-done", &[name]));
        }
        if answer.offers.is_empty() {
            return sentence(&self.say("session-no-stand-in", &[name, left]));
        }
        self.say("session-in-place", &[name, left])
    }

    /// Why a movement is offered: the catalogue's reason, or what changes most.
    pub fn offer(&self, offer: &Offer) -> String {
        match &offer.because {
            Some(because) => self.speech.english(because),
            None => term(self.speech, offer.mostly),
        }
    }

    /// Sets taken off or a line left out, and why.
    pub fn cut(&self, cut: &Cut) -> String {
        let name = self.movement(&cut.movement);
        let why = match &cut.because {
            CutBecause::Out { removal } => self.barrier(&Barrier::of_removal(removal, self.catalogue)),
            CutBecause::Limit { limit } => limit_clause(self.speech, self.catalogue, *limit),
            CutBecause::WorthLess => self.say("session-worth-less", &[]),
            CutBecause::NoDayLeft { .. } => self.say("session-no-day", &[]),
        };
        let (name, why) = (("movement", Arg::Text(&name)), ("why", Arg::Text(&why)));
        sentence(&if cut.to == 0 {
            self.say("session-left-out", &[name, why])
        } else {
            let sets = self.some_sets(cut.to);
            self.say("session-cut", &[name, ("sets", (&sets).into()), ("from", cut.from.into()), why])
        })
    }

    /// A line of a missed day that found a place.
    pub fn folded(&self, f: &FoldedIn) -> String {
        let (name, day) = (self.movement(&f.movement), self.day(f.day));
        let args = [
            ("movement", (&name).into()),
            ("n", f.gained.into()),
            ("planned", f.planned.into()),
            ("day", (&day).into()),
        ];
        sentence(&self.say("session-folded", &args))
    }

    /// What the minutes left mean beside the lines: what gives way, how long it takes, what would be better.
    pub fn minutes_left(&self, answer: &MinutesLeft) -> Vec<String> {
        let mut out: Vec<String> = answer.cut.iter().map(|c| self.cut(c)).collect();
        let key = if answer.exact { "session-time-best" } else { "session-time" };
        let time = self.speech.duration(answer.seconds.into());
        out.push(sentence(&self.say(key, &[("time", (&time).into())])));
        if let Some(free) = &answer.free {
            let brought: Vec<String> = free
                .brought_in
                .iter()
                .map(|b| {
                    let (name, sets) = (self.movement(&b.movement), self.some_sets(b.sets));
                    self.say("session-brought", &[("movement", (&name).into()), ("sets", (&sets).into())])
                })
                .collect();
            let brought = self.speech.and(&brought);
            out.push(sentence(&self.say("session-better", &[("movements", (&brought).into())])));
        }
        out
    }

    /// What a missed day means for the days that are left: what found a place, what is dropped, what gives way.
    pub fn folding(&self, answer: &Folding) -> Vec<String> {
        let mut out: Vec<String> = answer.folded.iter().map(|f| self.folded(f)).collect();
        out.extend(answer.dropped.iter().map(|cut| {
            let name = self.movement(&cut.movement);
            sentence(&self.say("session-dropped", &[("movement", (&name).into())]))
        }));
        for day in &answer.days {
            out.extend(day.cut.iter().map(|c| {
                let (day, cut) = (self.day(day.day), self.cut(c));
                self.say("session-on-day", &[("day", (&day).into()), ("cut", (&cut).into())])
            }));
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
            let name = self.speech.movement_in(self.catalogue, id);
            let name = ("movement", Arg::Text(&name));
            if texts.of(id).is_none() {
                out.push(self.say("caution-none", &[name]));
            }
            let of = |c: String| self.say("caution-of", &[name, ("caution", (&c).into())]);
            out.extend(self.speech.cautions(texts, id).into_iter().map(of));
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
    use crate::words::Language;

    fn cut(to: i32, because: CutBecause) -> Cut {
        Cut { movement: "barbell_back_squat".into(), from: 4, to, because }
    }

    #[test]
    fn a_cut_says_what_and_why() {
        let catalogue = Catalogue::builtin().expect("sound");
        let speech = Speech::new(Language::English);
        let account =
            Account { speech: &speech, catalogue: &catalogue, days: &[Weekday::Monday, Weekday::Friday] };
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
            assert_eq!(account.cut(&one), said);
        }
        let german = Speech::new(Language::German);
        let konto = Account { speech: &german, ..account };
        assert_eq!(
            konto.cut(&cut(1, CutBecause::Limit { limit: Limit::Time })),
            "Kniebeuge mit Langhantel: 1 Satz statt 4: mehr passt nicht in die Minuten."
        );
        let folded = FoldedIn { movement: "leg_press".into(), day: 1, planned: 3, gained: 2 };
        assert_eq!(account.folded(&folded), "Leg press: 2 sets of 3 go to Friday.");
        assert_eq!(konto.folded(&folded), "Beinpresse: 2 Sätze von 3 kommen auf Freitag.");
    }

    #[test]
    fn an_answer_without_offers_is_not_silent() {
        let catalogue = Catalogue::builtin().expect("sound");
        let speech = Speech::new(Language::English);
        let account = Account { speech: &speech, catalogue: &catalogue, days: &[] };
        let mut answer = StandInAnswer { of: "plank".into(), sets_left: 2, offers: Vec::new() };
        assert!(
            account
                .stand_in(&answer)
                .starts_with("Nothing that fits now can stand in for front plank (2 sets left)")
        );
        answer.sets_left = 0;
        assert_eq!(account.stand_in(&answer), "Front plank: all its sets are done.");
    }

    #[test]
    fn cautions_are_told_once_for_each_movement_and_never_silently_missing() {
        let catalogue = Catalogue::builtin().expect("sound");
        let texts = Texts::builtin(&catalogue).expect("sound");
        let speech = Speech::new(Language::English);
        let account = Account { speech: &speech, catalogue: &catalogue, days: &[] };
        let told = account.cautions(&texts, ["plank", "own_sled", "plank"]);
        let plank = &texts.of("plank").expect("a text").cautions;
        assert_eq!(told.len(), plank.len() + 1);
        assert_eq!(told[0], format!("Front plank: {}", plank[0]));
        assert!(told.last().expect("one").starts_with("own_sled: no cautions are written"));
    }
}
