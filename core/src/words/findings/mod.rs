//! What the log adds up to, said: a page of sentences and tables in the lifter's language.

pub mod chart;
mod maximum;
mod next;
mod standing;
mod week;

pub use next::because;

use super::{Arg, Speech};
use crate::catalogue::Catalogue;
use crate::companion::{Findings, LiftFrom, MovementFindings, Scores};
use crate::load::Mass;
use crate::load::mass::{PER_KILOGRAM, PER_POUND, Unit};
use chrono::NaiveDate;
use serde::Serialize;

pub use week::{SaidMuscle, SaidWeek};

/// A best load.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct SaidBest {
    /// For how many repetitions.
    pub reps: String,
    /// The load.
    pub load: String,
    /// On which day.
    pub day: String,
}

/// A movement's findings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct SaidMovement {
    /// Its id.
    pub movement: String,
    /// Its name.
    pub name: String,
    /// What is found, a sentence each.
    pub told: Vec<String>,
    /// What that rests on: entries and published sources, a sentence each.
    pub rests_on: Vec<String>,
    /// The best loads.
    pub bests: Vec<SaidBest>,
}

/// A published score.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct SaidScore {
    /// Its name, with the cycle where it has one.
    pub name: String,
    /// The points.
    pub points: String,
    /// The points between the ends of the estimates; empty where the total is of singles.
    pub between: String,
    /// Where the coefficients were read.
    pub read_in: String,
}

/// The findings of a day, said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record), uniffi(name = "FindingsPage"))]
pub struct Page {
    /// The day.
    pub head: String,
    /// What is to be known first.
    pub notes: Vec<String>,
    /// Each movement of the log, the one done last first.
    pub movements: Vec<SaidMovement>,
    /// The newest week of the log; none without a set.
    pub week: Option<SaidWeek>,
    /// Sessions done, and what was not heard of.
    pub sessions: Vec<String>,
    /// Body mass.
    pub body: Vec<String>,
    /// Published scores, each with its provenance.
    pub scores: Vec<SaidScore>,
    /// What they are of.
    pub scores_of: Vec<String>,
    /// The published sources that every movement's findings rest on.
    pub sources: Vec<String>,
}

/// Says findings, with the names of a catalogue.
#[derive(Debug, Clone, Copy)]
pub struct FindingsWords<'a> {
    /// Says it.
    pub speech: &'a Speech,
    /// Where the names of own movements come from.
    pub catalogue: &'a Catalogue,
}

impl FindingsWords<'_> {
    fn say(&self, key: &str, args: &[(&str, Arg<'_>)]) -> String {
        self.speech.say(key, args)
    }

    /// The whole page.
    pub fn page(&self, f: &Findings) -> Page {
        let day = self.day(&f.today);
        let mut notes = Vec::new();
        if f.silent {
            notes.push(self.say("find-silent", &[]));
        }
        if f.movements.is_empty() {
            notes.push(self.say("find-nothing", &[]));
        }
        let any = f.movements.iter().any(|m| m.maximum.is_some());
        let sources = any.then(|| self.say("find-maximum-sources", &[])).into_iter().collect();
        Page {
            sources,
            head: self.say("find-head", &[("day", (&day).into())]),
            notes,
            movements: f.movements.iter().map(|m| self.movement(m)).collect(),
            week: self.week(f),
            sessions: f.attendance.as_ref().map(|a| self.sessions(a)).unwrap_or_default(),
            body: f.body_mass.as_ref().map(|b| self.body(b)).unwrap_or_default(),
            scores: f.scores.as_ref().map(|s| self.scores(s)).unwrap_or_default(),
            scores_of: f.scores.as_ref().map(|s| self.scores_of(s)).unwrap_or_default(),
        }
    }

    /// One movement.
    pub fn movement(&self, m: &MovementFindings) -> SaidMovement {
        let (mut told, mut rests_on) = (Vec::new(), Vec::new());
        if m.hidden {
            told.push(self.say("find-hidden", &[]));
        } else if m.holds_body {
            told.push(self.say("find-holds-body", &[]));
        }
        for best in &m.new_bests {
            told.push(self.new_best(best));
        }
        if let Some(maximum) = &m.maximum {
            told.push(self.maximum(maximum));
            rests_on.extend(self.maximum_rests_on(maximum));
        }
        if let Some(needs) = &m.maximum_needs {
            told.push(self.maximum_needs(needs));
        }
        if let Some(standing) = &m.standing {
            told.push(self.standing(standing));
            rests_on.extend(self.standing_rests_on(standing));
        }
        if let Some(sides) = &m.sides {
            told.push(self.sides(sides));
        }
        if let Some(next) = &m.next {
            told.push(self.next(next, m.holds_body));
            rests_on.push(self.next_source(next.because.source()));
        }
        if let Some(rest) = &m.rest {
            told.push(self.rest(rest));
        }
        let bests = m.bests.iter().map(|b| SaidBest {
            reps: b.reps.to_string(),
            load: self.speech.mass(&b.load),
            day: self.speech.date_with_year(b.day),
        });
        SaidMovement {
            movement: m.movement.clone(),
            name: self.speech.movement_in(self.catalogue, &m.movement),
            told,
            rests_on,
            bests: bests.collect(),
        }
    }

    fn scores(&self, s: &Scores) -> Vec<SaidScore> {
        let points = |p: f64| self.speech.decimal(&format!("{p:.1}"));
        let said = s.scores.iter().map(|one| SaidScore {
            name: match &one.score.formula {
                crate::progress::scores::Formula::Sinclair { cycle } => {
                    let name = one.score.formula.name();
                    self.say("find-score-cycle", &[("name", name.into()), ("cycle", cycle.into())])
                }
                formula => formula.name().to_owned(),
            },
            points: points(one.score.points),
            between: match (one.low, one.high) {
                (Some(low), Some(high)) => {
                    let (low, high) = (points(low), points(high));
                    self.say("find-between", &[("low", (&low).into()), ("high", (&high).into())])
                }
                _ => String::new(),
            },
            read_in: one.score.provenance.clone(),
        });
        said.collect()
    }

    fn scores_of(&self, s: &Scores) -> Vec<String> {
        let lift = |l: &crate::companion::Lift| {
            let name = self.speech.movement_in(self.catalogue, &l.movement);
            match &l.from {
                LiftFrom::Single { day } => {
                    let (mass, day) = (self.speech.mass(&l.mass), self.day(day));
                    self.say(
                        "find-lift-single",
                        &[("movement", (&name).into()), ("load", (&mass).into()), ("day", (&day).into())],
                    )
                }
                LiftFrom::Estimate { low, high } => {
                    let [mass, low, high] = [&l.mass, low, high].map(|m| self.about(m));
                    self.say(
                        "find-lift-estimate",
                        &[
                            ("movement", (&name).into()),
                            ("load", (&mass).into()),
                            ("low", (&low).into()),
                            ("high", (&high).into()),
                        ],
                    )
                }
            }
        };
        let mut out: Vec<String> = s.lifts.iter().map(lift).collect();
        let body = self.speech.mass(&s.body_mass);
        out.push(self.say("find-score-basis", &[("body", (&body).into())]));
        out.push(self.say("find-score-meaning", &[]));
        out.extend(s.without.iter().map(|why| self.speech.english(why)));
        out
    }

    /// A day of the record, such as `2026-05-03`, with its year.
    fn day(&self, text: &str) -> String {
        text.parse::<NaiveDate>().map_or_else(|_| text.to_owned(), |d| self.speech.date_with_year(d))
    }

    /// An estimate, to the whole unit: more would pretend to be exact.
    fn about(&self, mass: &Mass) -> String {
        let unit = match mass.unit() {
            Unit::Kilogram => PER_KILOGRAM,
            Unit::Pound => PER_POUND,
        };
        let whole = (mass.amount() + unit / 2) / unit * unit;
        self.speech.mass(&Mass::from_amount(whole, mass.unit()).unwrap_or(*mass))
    }

    /// A probability as a chance in few: "4 in 5".
    fn chance(&self, per_mille: u32) -> String {
        let tenths = ((per_mille + 50) / 100).min(10);
        match tenths {
            0 => self.say("find-chance-less", &[]),
            10 => self.say("find-chance-more", &[]),
            _ => {
                let by = [5, 2].into_iter().find(|d| tenths.is_multiple_of(*d)).unwrap_or(1);
                self.say("find-chance", &[("n", (tenths / by).into()), ("of", (10 / by).into())])
            }
        }
    }

    /// Per mille as per cent: 21 is "2.1".
    fn percent(&self, per_mille: u32) -> String {
        self.speech.decimal(&format!("{}.{}", per_mille / 10, per_mille % 10))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Language;

    #[test]
    fn chances_and_estimates_are_said_in_few_figures() {
        let catalogue = Catalogue::builtin().expect("sound");
        for (language, chances, about) in [
            (Language::English, ["4 in 5", "7 in 10", "1 in 2", "more than 9 in 10"], "120 kg"),
            (Language::German, ["4 von 5", "7 von 10", "1 von 2", "mehr als 9 von 10"], "120 kg"),
        ] {
            let speech = Speech::new(language);
            let words = FindingsWords { speech: &speech, catalogue: &catalogue };
            assert_eq!([812, 700, 549, 961].map(|p| words.chance(p)), chances);
            assert_eq!(words.about(&Mass::grams(119_730)), about);
            let pounds: Mass = "225.4 lb".parse().expect("a mass");
            assert_eq!(words.about(&pounds), "225 lb");
        }
    }
}
