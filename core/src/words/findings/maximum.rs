//! Estimated maxima and bests.

use super::FindingsWords;
use crate::progress::bests::NewBest;
use crate::progress::maximum::{Maximum, NotYet, ReserveKnown};

impl FindingsWords<'_> {
    /// The estimate with its interval; where no reserve was reported the low end is the news.
    pub fn maximum(&self, m: &Maximum) -> String {
        let [low, middle, high] = [&m.low, &m.middle, &m.high].map(|mass| self.about(mass));
        let args = [("middle", (&middle).into()), ("low", (&low).into()), ("high", (&high).into())];
        match m.reserve {
            ReserveKnown::Reported => self.say("find-maximum", &args),
            ReserveKnown::Partly => self.say("find-maximum-partly", &args),
            ReserveKnown::NotReported => self.say("find-maximum-unsaid", &args),
        }
    }

    /// The sets and the publications behind it.
    pub fn maximum_rests_on(&self, m: &Maximum) -> Vec<String> {
        let mut out = Vec::new();
        if let Some(newest) = m.basis.first() {
            let (load, day) = (self.speech.mass(&newest.load), self.speech.date_with_year(newest.day));
            let args = [
                ("n", m.basis.len().into()),
                ("reps", newest.reps.into()),
                ("load", (&load).into()),
                ("day", (&day).into()),
            ];
            out.push(match newest.reserve {
                None => self.say("find-maximum-basis-unsaid", &args),
                Some(left) => {
                    let args = [&args[..], &[("left", left.into())]].concat();
                    self.say("find-maximum-basis", &args)
                }
            });
        }
        // All agree on a single.
        if let Some(e) = m.equations.as_ref().filter(|e| e.lowest != e.highest) {
            let [low, high] = [&e.lowest, &e.highest].map(|mass| self.about(mass));
            let args = [("n", e.each.len().into()), ("low", (&low).into()), ("high", (&high).into())];
            out.push(self.say("find-maximum-equations", &args));
        }
        out
    }

    /// What is needed before a maximum can be told.
    pub fn maximum_needs(&self, needs: &NotYet) -> String {
        match needs {
            NotYet::NoSet { window_days } => self.say("find-needs-set", &[("days", (*window_days).into())]),
            NotYet::NoLoad => self.say("find-needs-load", &[]),
            NotYet::TooFarFromFailure { most_reps, most_reserve } => self.say(
                "find-needs-near",
                &[("reps", (*most_reps).into()), ("reserve", (*most_reserve).into())],
            ),
            NotYet::FewDays { have, need } => {
                self.say("find-needs-days", &[("have", (*have).into()), ("need", (*need).into())])
            }
            NotYet::TooWide { .. } => self.say("find-needs-narrow", &[]),
            NotYet::Tables => self.say("find-needs-tables", &[]),
        }
    }

    /// "Most yet for 5 reps: 80 kg; before, 77.5 kg on 3 May."
    pub fn new_best(&self, best: &NewBest) -> String {
        let load = self.speech.mass(&best.set.load);
        match &best.before {
            None => self.say("find-best-first", &[("reps", best.set.reps.into()), ("load", (&load).into())]),
            Some(before) => {
                let (old, day) = (self.speech.mass(&before.load), self.speech.date_with_year(before.day));
                self.say(
                    "find-best",
                    &[
                        ("reps", best.set.reps.into()),
                        ("load", (&load).into()),
                        ("before", (&old).into()),
                        ("day", (&day).into()),
                    ],
                )
            }
        }
    }
}
