//! Gain and plateau, sides, sessions, body mass, rest.

use super::FindingsWords;
use crate::progress::Side;
use crate::progress::attendance::{Attendance, Known};
use crate::progress::body::BodyTrend;
use crate::progress::next::{Proposal, Source};
use crate::progress::plateau::{Standing, Verdict, WEEKS};
use crate::progress::rest::LearnedRest;
use crate::progress::sides::Sides;
use crate::words::Arg;

impl FindingsWords<'_> {
    /// How the movement stands, as a probability with its evidence.
    pub fn standing(&self, s: &Standing) -> String {
        let chance = self.chance(s.flat_per_mille.unwrap_or(0));
        let percent = self.percent(s.smallest_worthwhile_per_mille);
        let args: [(&str, Arg<'_>); 4] = [
            ("chance", (&chance).into()),
            ("percent", (&percent).into()),
            ("weeks", WEEKS.into()),
            ("days", s.days.into()),
        ];
        match &s.verdict {
            Verdict::Gaining => self.say("find-gaining", &args),
            Verdict::Plateau => self.say("find-plateau", &args),
            Verdict::CannotTell { weeks_needed: Some(needed) } => {
                self.say("find-cannot-tell", &[&args[..], &[("needed", (*needed).into())]].concat())
            }
            Verdict::CannotTell { weeks_needed: None } => self.say("find-cannot-tell-long", &args),
            Verdict::TooFew { have, need, weeks_needed } => self.say(
                "find-too-few",
                &[("have", (*have).into()), ("need", (*need).into()), ("needed", (*weeks_needed).into())],
            ),
        }
    }

    /// The trend behind it and the method.
    pub fn standing_rests_on(&self, s: &Standing) -> Vec<String> {
        let Some(slope) = s.slope.filter(|_| s.flat_per_mille.is_some()) else { return Vec::new() };
        let percent = |log: f64| self.speech.decimal(&format!("{:+.2}", libm::expm1(log) * 100.0));
        let [slope, low, high] = [slope.slope, slope.low, slope.high].map(percent);
        let args = [("slope", (&slope).into()), ("low", (&low).into()), ("high", (&high).into())];
        vec![self.say("find-trend", &args)]
    }

    /// Left and right.
    pub fn sides(&self, s: &Sides) -> String {
        let percent = |p: f64| self.speech.decimal(&format!("{p:.1}"));
        match s {
            Sides::TooFew { have, need } => {
                self.say("find-sides-few", &[("have", (*have).into()), ("need", (*need).into())])
            }
            Sides::WithinError(c) => {
                let (by, within) = (percent(c.percent), percent(c.within_percent));
                let args = [
                    ("percent", (&by).into()),
                    ("within", (&within).into()),
                    ("days", c.days.into()),
                    ("formula", c.formula.name().into()),
                ];
                self.say("find-sides-alike", &args)
            }
            Sides::Differ { stronger, compared: c } => {
                let (by, within) = (percent(c.percent), percent(c.within_percent));
                let args = [
                    ("percent", (&by).into()),
                    ("within", (&within).into()),
                    ("days", c.days.into()),
                    ("formula", c.formula.name().into()),
                ];
                match stronger {
                    Side::Left => self.say("find-sides-left", &args),
                    Side::Right => self.say("find-sides-right", &args),
                }
            }
        }
    }

    /// Sessions done, and what is known of the others: "7 of 9 sessions done; 1 not heard from."
    pub fn sessions(&self, a: &Attendance) -> Vec<String> {
        let count = |known| a.count(known);
        let past = a.sessions.len() as u32 - count(Known::ToCome);
        let mut out = vec![match count(Known::NotHeardFrom) {
            0 => self.say("find-sessions", &[("done", count(Known::Done).into()), ("n", past.into())]),
            silent => self.say(
                "find-sessions-unheard",
                &[("done", count(Known::Done).into()), ("n", past.into()), ("unheard", silent.into())],
            ),
        }];
        for (key, n) in [
            ("find-sessions-off", count(Known::CalledOff)),
            ("find-sessions-nothing", count(Known::NothingLogged)),
            ("find-sessions-beside", a.unplanned),
            ("find-sessions-to-come", count(Known::ToCome)),
        ] {
            if n > 0 {
                out.push(self.say(key, &[("n", n.into())]));
            }
        }
        out
    }

    /// Body mass and its trend.
    pub fn body(&self, b: &BodyTrend) -> Vec<String> {
        let (mass, day) = (self.speech.mass(&b.newest.mass), self.speech.date_with_year(b.newest.day));
        let mut out = vec![self.say("find-body", &[("mass", (&mass).into()), ("day", (&day).into())])];
        out.push(match &b.slope_kg {
            None => self.say("find-body-few", &[("n", b.count.into())]),
            Some(s) => {
                let kg = |v: f64| self.speech.decimal(&format!("{v:+.2}"));
                let [slope, low, high] = [s.slope, s.low, s.high].map(kg);
                let args = [
                    ("slope", (&slope).into()),
                    ("low", (&low).into()),
                    ("high", (&high).into()),
                    ("n", b.count.into()),
                ];
                self.say("find-body-trend", &args)
            }
        });
        out
    }

    /// The load that is proposed next, with its reason.
    pub fn next(&self, p: &Proposal, holds_body: bool) -> String {
        let mut load = self.speech.mass(&p.load);
        if holds_body {
            load = self.say("find-load-added", &[("load", (&load).into())]);
        }
        let args = [("load", (&load).into()), ("reps", p.aim_reps.into()), ("reserve", p.reserve.into())];
        let key = if p.half_the_sets { "find-next-half" } else { "find-next" };
        format!("{} {}", self.say(key, &args), super::because(self.speech, p))
    }

    /// What a proposal's rule rests on.
    pub fn next_source(&self, source: Source) -> String {
        match source {
            Source::Acsm2009 => self.say("find-next-acsm", &[]),
            Source::Helms2018 => self.say("find-next-helms", &[]),
            Source::CommonPractice => self.say("find-next-common", &[]),
        }
    }

    /// The rest that was learned.
    pub fn rest(&self, r: &LearnedRest) -> String {
        let (rest, chance) = (self.speech.clock(i64::from(r.rest_s)), self.chance(r.kept_per_mille));
        let args = [("rest", (&rest).into()), ("chance", (&chance).into()), ("n", r.pairs.into())];
        self.say(if r.at_floor { "find-rest-floor" } else { "find-rest" }, &args)
    }
}
