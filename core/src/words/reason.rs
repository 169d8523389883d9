//! The plan's reasons in sentences.

use super::{Account, Arg, Speech, group, sentence};
use crate::plan::brief::WishKind;
use crate::plan::model::Term;
use crate::plan::reason::{
    Alternative, Asked, Barrier, Because, BlockedDay, Change, Demand, Difference, Here, Impossible,
    LineReason, MuscleChange, Outcome, Price, Remedy, Shortfalls, Step, Stops, TermChange, WishShort,
};

/// Muscles named in one sentence at most.
const MUSCLES: usize = 4;
/// Barriers named in one sentence at most.
const BARRIERS: usize = 3;

/// What a term of the objective counts, as something of which there is more.
pub fn term(speech: &Speech, term: Term) -> String {
    let key = match term {
        Term::ExposureMissing => "term-exposure-missing",
        Term::GroupMissing => "term-group-missing",
        Term::BelowMinimum => "term-below-minimum",
        Term::BelowTarget => "term-below-target",
        Term::AboveMaximum => "term-above-maximum",
        Term::DayMissing => "term-day-missing",
        Term::NearMuscle => "term-near-muscle",
        Term::NearAxial => "term-near-axial",
        Term::NearHeavy => "term-near-heavy",
        Term::PushPull => "term-push-pull",
        Term::Sets => "term-sets",
        Term::Sessions => "term-sessions",
        Term::Distinct => "term-distinct",
        Term::FewMovements => "term-few-movements",
        Term::NoCarrying => "term-no-carrying",
        Term::Longest => "term-longest",
        Term::Time => "term-time",
    };
    speech.say(key, &[])
}

impl Account<'_> {
    fn points(&self, p: i64) -> String {
        self.say("points", &[("n", p.into())])
    }

    fn times(&self, n: impl Into<i64>) -> String {
        self.say("times", &[("n", Arg::Count(n.into()))])
    }

    pub(super) fn some_sets(&self, n: impl Into<i64>) -> String {
        self.say("sets", &[("n", Arg::Count(n.into()))])
    }

    /// A duration without its sign.
    fn time(&self, seconds: i32) -> String {
        self.speech.duration(i64::from(seconds).abs())
    }

    fn week_longer(&self, seconds: i32) -> String {
        let key = if seconds > 0 { "week-longer" } else { "week-shorter" };
        self.say(key, &[("time", (&self.time(seconds)).into())])
    }

    /// What a difference is worth by the points, and the term that decides.
    fn verdict(&self, d: &Difference) -> String {
        let decided = |alone: &str, by: &str, change: Option<TermChange>| {
            let points = self.points(d.points.abs());
            let points = ("points", Arg::Text(&points));
            match change {
                None => self.say(alone, &[points]),
                Some(t) => {
                    let (term, by_points) = (term(self.speech, t.term), self.points(t.points.abs()));
                    self.say(by, &[points, ("term", (&term).into()), ("by", (&by_points).into())])
                }
            }
        };
        match d.points {
            0 => self.say("verdict-tie", &[]),
            p if p > 0 => decided("verdict-worse", "verdict-worse-by", d.dominant()),
            _ => decided("verdict-better", "verdict-better-by", d.dominant()),
        }
    }

    /// What stands in the way.
    pub fn barrier(&self, barrier: &Barrier) -> String {
        let of_region = |key: &str, region: &str| self.say(key, &[("region", (&self.region(region)).into())]);
        match barrier {
            Barrier::Discomfort { region, severity } => {
                let key = match severity {
                    ..=1 => "barrier-discomfort-mild",
                    2 => "barrier-discomfort-moderate",
                    _ => "barrier-discomfort-severe",
                };
                of_region(key, region)
            }
            Barrier::NewDiscomfort { region } => of_region("barrier-new-discomfort", region),
            Barrier::AfterSurgery { region } => of_region("barrier-after-surgery", region),
            Barrier::RegionOut { region } => of_region("barrier-region-out", region),
            Barrier::LyingOnBack => self.say("barrier-on-back", &[]),
            Barrier::LyingOnFront => self.say("barrier-on-front", &[]),
            Barrier::AloneWithoutSafeties => self.say("barrier-alone", &[]),
            Barrier::Kit { missing } if missing.is_empty() => self.say("barrier-kit", &[]),
            Barrier::Kit { missing } => {
                self.say("barrier-kit-missing", &[("kit", (&self.kit(missing)).into())])
            }
            Barrier::Forbidden => self.say("barrier-forbidden", &[]),
            Barrier::Skill => self.say("barrier-skill", &[]),
            Barrier::Dominated { by } => {
                self.say("barrier-dominated", &[("movement", (&self.movement(by)).into())])
            }
            Barrier::Time => self.say("barrier-time", &[]),
            Barrier::Movements => self.say("barrier-movements", &[]),
            Barrier::SingleJoint => self.say("barrier-single-joint", &[]),
            Barrier::SingleJointOverCompounds => self.say("barrier-single-joint-compounds", &[]),
            Barrier::SingleJointThird => self.say("barrier-single-joint-third", &[]),
            Barrier::Trunk => self.say("barrier-trunk", &[]),
            Barrier::Pattern { pattern } => {
                self.say("barrier-pattern", &[("pattern", (&self.pattern(pattern)).into())])
            }
            Barrier::AxialThree => self.say("barrier-axial-three", &[]),
            Barrier::HeavyPair => self.say("barrier-heavy-pair", &[]),
            Barrier::Axial => self.say("barrier-axial", &[]),
            Barrier::Fatigue => self.say("barrier-fatigue", &[]),
            Barrier::Grip => self.say("barrier-grip", &[]),
            Barrier::Muscle { muscle } => {
                self.say("barrier-muscle", &[("muscle", (&self.muscle(muscle)).into())])
            }
            Barrier::MostPerWeek { movement, .. } if movement.is_empty() => {
                self.say("barrier-most-per-week", &[])
            }
            Barrier::MostPerWeek { movement, most } => {
                let (name, times) = (self.movement(movement), self.times(*most));
                self.say(
                    "barrier-most-per-week-of",
                    &[("movement", (&name).into()), ("times", (&times).into())],
                )
            }
            Barrier::SetsRange { movement, fewest, most } => {
                let name = self.movement(movement);
                self.say(
                    "barrier-sets-range",
                    &[("movement", (&name).into()), ("fewest", (*fewest).into()), ("most", (*most).into())],
                )
            }
            Barrier::Repeated => self.say("barrier-repeated", &[]),
            Barrier::NotThere => self.say("barrier-not-there", &[]),
        }
    }

    fn barriers(&self, all: &[Barrier]) -> String {
        self.speech.and(&all.iter().take(BARRIERS).map(|b| self.barrier(b)).collect::<Vec<_>>())
    }

    /// A demand.
    pub fn demand(&self, demand: &Demand) -> String {
        let forbidden = |what: String| self.say("demand-forbidden", &[("what", (&what).into())]);
        match demand {
            Demand::Asked { movement, times, day, sets, rank } => {
                let mut details = String::new();
                let mut add = |text: String| {
                    details.push(' ');
                    details.push_str(&text);
                };
                if *times != 1 {
                    add(self.say("demand-times", &[("n", (*times).into())]));
                }
                if let Some(d) = day {
                    add(self.say("demand-day", &[("day", (&self.day(*d)).into())]));
                }
                if let Some(s) = sets {
                    add(self.say("demand-sets", &[("n", (*s).into())]));
                }
                let key = if rank.is_some() { "demand-required" } else { "demand-asked" };
                let name = self.movement(movement);
                self.say(key, &[("movement", (&name).into()), ("details", (&details).into())])
            }
            Demand::Days { days } => self.say("demand-days", &[("n", (*days).into())]),
            Demand::Minutes { minutes } => {
                let same = minutes.windows(2).all(|w| w[0] == w[1]);
                let told = if same { minutes.get(..1).unwrap_or_default() } else { minutes };
                let each: Vec<String> = told.iter().map(ToString::to_string).collect();
                self.say("demand-minutes", &[("minutes", (&self.speech.and(&each)).into())])
            }
            Demand::Forbid { movement: Some(m), .. } => forbidden(self.movement(m)),
            Demand::Forbid { pattern, .. } => forbidden(self.pattern(pattern.as_deref().unwrap_or_default())),
            Demand::Barrier { barrier } => self.barrier(barrier),
        }
    }

    /// A step, as something to do.
    pub fn step(&self, step: &Step) -> String {
        let of_movement = |key: &str, id: &str| self.say(key, &[("movement", (&self.movement(id)).into())]);
        let allow = |what: String| self.say("step-allow", &[("what", (&what).into())]);
        match step {
            Step::InTurn => self.say("step-in-turn", &[]),
            Step::Safeties => self.say("step-safeties", &[]),
            Step::MoreMinutes { minutes } => self.say("step-more-minutes", &[("n", (*minutes).into())]),
            Step::MoreDays { days } => self.say("step-more-days", &[("n", (*days).into())]),
            Step::FewerTimes { movement, times } => {
                let name = self.movement(movement);
                self.say("step-fewer-times", &[("movement", (&name).into()), ("n", (*times).into())])
            }
            Step::LetGo { movement } => of_movement("step-let-go", movement),
            Step::StandIn { movement, instead } => {
                let (name, other) = (self.movement(movement), self.movement(instead));
                self.say("step-stand-in", &[("movement", (&name).into()), ("instead", (&other).into())])
            }
            Step::Kit { equipment } => self.say("step-kit", &[("kit", (&self.kit(equipment)).into())]),
            Step::Allow { movement: Some(m), .. } => allow(self.movement(m)),
            Step::Allow { pattern, .. } => allow(self.pattern(pattern.as_deref().unwrap_or_default())),
        }
    }

    fn muscles(&self, all: &[MuscleChange], gained: bool) -> String {
        let mut chosen: Vec<&MuscleChange> =
            all.iter().filter(|m| if gained { m.after > m.before } else { m.after < m.before }).collect();
        chosen.sort_by_key(|m| -(m.after - m.before).abs());
        let more = chosen.len().saturating_sub(MUSCLES);
        let name = |m: &&MuscleChange| {
            let (muscle, sets) = (self.muscle(&m.muscle), self.speech.sets((m.after - m.before).abs()));
            self.say("muscle-sets", &[("muscle", (&muscle).into()), ("sets", (&sets).into())])
        };
        let mut named: Vec<String> = chosen.iter().take(MUSCLES).map(name).collect();
        if more > 0 {
            named.push(self.say("others", &[("n", more.into())]));
        }
        self.speech.and(&named)
    }

    /// A difference in sets for each muscle, minutes and points.
    pub fn difference(&self, d: &Difference) -> String {
        let mut parts = Vec::new();
        let (gained, lost) = (self.muscles(&d.muscles, true), self.muscles(&d.muscles, false));
        if !gained.is_empty() {
            parts.push(self.say("difference-more", &[("muscles", (&gained).into())]));
        }
        if !lost.is_empty() {
            parts.push(self.say("difference-less", &[("muscles", (&lost).into())]));
        }
        if d.seconds() != 0 {
            parts.push(self.week_longer(d.seconds()));
        }
        parts.push(self.verdict(d));
        parts.join("; ")
    }

    fn lines_changed(&self, d: &Difference) -> String {
        let of = |l: &crate::plan::reason::LineChange| {
            let (name, day, sets) = (self.movement(&l.movement), self.day(l.day), self.some_sets(l.after));
            let (name, day) = (("movement", Arg::Text(&name)), ("day", Arg::Text(&day)));
            let sets = ("sets", Arg::Text(&sets));
            match (l.before, l.after) {
                (0, _) => self.say("line-gained", &[day, name, sets]),
                (_, 0) => self.say("line-lost", &[day, name]),
                (before, _) => self.say("line-changed", &[day, name, ("before", before.into()), sets]),
            }
        };
        self.speech.and(&d.lines.iter().map(of).collect::<Vec<_>>())
    }

    fn asked(&self, asked: &Asked) -> String {
        match asked {
            Asked::Carrying { named: true } => self.say("asked-carrying-named", &[]),
            Asked::Carrying { named: false } => self.say("asked-carrying-default", &[]),
            Asked::Required { times } => {
                self.say("asked-required", &[("times", (&self.times(*times)).into())])
            }
            Asked::Preferred { times } => {
                self.say("asked-preferred", &[("times", (&self.times(*times)).into())])
            }
            Asked::Priority { muscles } => {
                let names: Vec<String> = muscles.iter().map(|m| self.muscle(m)).collect();
                self.say("asked-priority", &[("muscles", (&self.speech.and(&names)).into())])
            }
        }
    }

    fn blocked(&self, blocked: &[BlockedDay]) -> String {
        let day = |b: &BlockedDay| {
            let (day, barriers) = (self.day(b.day), self.barriers(&b.barriers));
            self.say("blocked-day", &[("day", (&day).into()), ("barriers", (&barriers).into())])
        };
        blocked.iter().map(day).collect::<Vec<_>>().join("; ")
    }

    /// Why a line is there, why there, and what it displaced: one sentence each.
    pub fn line(&self, r: &LineReason) -> Vec<String> {
        let name = self.movement(&r.movement);
        let mut out = Vec::new();
        let asked: Vec<String> = r.asked.iter().map(|a| self.asked(a)).collect();
        if !asked.is_empty() {
            let asked = self.speech.and(&asked);
            let args = [("movement", (&name).into()), ("reasons", (&asked).into())];
            out.push(sentence(&self.say("line-asked", &args)));
        }
        out.push(sentence(&self.without(r, &name)));
        if !r.held_up.is_empty() {
            let barriers = self.barriers(&r.held_up);
            out.push(sentence(&self.say("held-up", &[("barriers", (&barriers).into())])));
        }
        out.push(sentence(&self.here(r)));
        out.extend(self.displaced(&r.displaced).map(|t| sentence(&t)));
        out
    }

    fn without(&self, r: &LineReason, name: &str) -> String {
        let lost = self.muscles(&r.without.muscles, false);
        let mut parts = vec![if lost.is_empty() {
            self.say("without-movement", &[("movement", name.into())])
        } else {
            self.say("without-lost", &[("movement", name.into()), ("muscles", (&lost).into())])
        }];
        let rise = |t: &TermChange| {
            let (term, points) = (term(self.speech, t.term), self.points(t.points));
            self.say("term-points", &[("term", (&term).into()), ("points", (&points).into())])
        };
        let rises: Vec<String> =
            r.without.terms.iter().filter(|t| t.points > 0).take(BARRIERS).map(rise).collect();
        if !rises.is_empty() {
            parts.push(self.say("without-rises", &[("terms", (&self.speech.and(&rises)).into())]));
        }
        let points = self.points(r.without.points.abs());
        let points = ("points", Arg::Text(&points));
        parts.push(match r.without.points {
            0 => self.say("without-same", &[]),
            p if p > 0 => self.say("without-worse", &[points]),
            _ => self.say("without-better", &[points]),
        });
        parts.join("; ")
    }

    fn here(&self, r: &LineReason) -> String {
        match &r.here {
            Here::OnlyDay => self.say("here-only-day", &[]),
            Here::EveryDay => self.say("here-every-day", &[]),
            Here::NoOtherDay { blocked } => {
                self.say("here-no-other", &[("blocked", (&self.blocked(blocked)).into())])
            }
            Here::OtherDay { day, exchanged, difference, .. } => {
                let (day, verdict) = (self.day(*day), self.verdict(difference));
                let (day, verdict) = (("day", Arg::Text(&day)), ("verdict", Arg::Text(&verdict)));
                match exchanged {
                    None => self.say("here-other", &[day, verdict]),
                    Some(e) => {
                        let name = self.movement(&e.movement);
                        self.say("here-exchanged", &[day, ("movement", (&name).into()), verdict])
                    }
                }
            }
        }
    }

    fn worth(&self, key: &str, movement: &str, sets: i32, d: &Difference) -> String {
        let (name, sets, verdict) = (self.movement(movement), self.some_sets(sets), self.verdict(d));
        self.say(
            key,
            &[("movement", (&name).into()), ("sets", (&sets).into()), ("verdict", (&verdict).into())],
        )
    }

    fn displaced(&self, all: &[Alternative]) -> Option<String> {
        let told: Vec<String> =
            all.iter().map(|a| self.worth("displaced-one", &a.movement, a.sets, &a.difference)).collect();
        let told = (!told.is_empty()).then(|| told.join("; "))?;
        Some(self.say("displaced", &[("movements", (&told).into())]))
    }

    /// What stops more on a day.
    pub fn stops(&self, s: &Stops) -> String {
        // Rules that hold for a few movements only are worth a word when they stop everything.
        let narrow =
            |b: &Barrier| matches!(b, Barrier::Pattern { .. } | Barrier::HeavyPair | Barrier::AxialThree);
        let all: Vec<String> = s
            .limits
            .iter()
            .filter(|l| l.stops_all || !narrow(&l.bound.barrier))
            .map(|l| {
                let b = &l.bound;
                let numbers = match &b.barrier {
                    Barrier::Time => {
                        let [used, available] =
                            [b.used, b.available].map(|s| self.speech.duration(i64::from(s)));
                        self.say(
                            "stops-time",
                            &[("used", (&used).into()), ("available", (&available).into())],
                        )
                    }
                    Barrier::Muscle { .. } => {
                        let (used, n) = (super::speech::halves(b.used), super::speech::halves(b.available));
                        self.say("stops-muscle", &[("used", Arg::Decimal(&used)), ("n", Arg::Decimal(&n))])
                    }
                    _ => {
                        self.say("stops-count", &[("used", b.used.into()), ("available", b.available.into())])
                    }
                };
                let barrier = self.barrier(&b.barrier);
                self.say("stops-barrier", &[("barrier", (&barrier).into()), ("numbers", (&numbers).into())])
            })
            .collect();
        let full = if all.is_empty() {
            self.say("stops-none", &[])
        } else {
            self.say("stops-full", &[("barriers", (&self.speech.and(&all)).into())])
        };
        let next = match &s.cheapest {
            None => self.say("stops-no-more", &[]),
            Some(a) => self.worth("stops-next", &a.movement, a.sets, &a.difference),
        };
        let day = self.day(s.day);
        let args = [("day", (&day).into()), ("full", (&full).into()), ("next", (&next).into())];
        sentence(&self.say("stops-day", &args))
    }

    /// What the week lacks, one sentence each.
    pub fn shortfalls(&self, s: &Shortfalls) -> Vec<String> {
        let mut out = Vec::new();
        for m in &s.muscles {
            let (key, aim) = match (m.half_sets < m.minimum, m.unavailable) {
                (true, false) => ("short-minimum", m.minimum),
                (true, true) => ("short-minimum-unavailable", m.minimum),
                (false, false) => ("short-target", m.target),
                (false, true) => ("short-target-unavailable", m.target),
            };
            let (name, sets, aim) =
                (self.muscle(&m.muscle), self.speech.sets(m.half_sets), self.speech.sets(aim));
            let args = [("muscle", (&name).into()), ("sets", (&sets).into()), ("aim", (&aim).into())];
            out.push(sentence(&self.say(key, &args)));
        }
        for d in &s.days {
            let name = self.muscle(&d.muscle);
            let args = [("muscle", (&name).into()), ("n", d.days.into()), ("wanted", d.wanted.into())];
            out.push(sentence(&self.say("short-days", &args)));
        }
        for g in &s.groups {
            let name = group(self.speech, &g.group);
            let name = ("group", Arg::Text(&name));
            out.push(sentence(&match (g.unavailable, g.by_choice) {
                (true, true) => self.say("short-group-by-choice", &[name]),
                (true, false) => self.say("short-group-by-limits", &[name]),
                _ => {
                    let times = self.times(g.exposures);
                    self.say("short-group", &[name, ("times", (&times).into()), ("wanted", g.wanted.into())])
                }
            }));
        }
        out.extend(s.wishes.iter().map(|w| self.wish_short(w)));
        out
    }

    fn wish_short(&self, w: &WishShort) -> String {
        let (name, have) = (self.movement(&w.movement), self.times(w.sessions));
        let (name, have) = (("movement", Arg::Text(&name)), ("times", Arg::Text(&have)));
        let asked = ("asked", w.asked.into());
        let what = match w.wish {
            Some(WishKind::Avoid) => self.say("wish-avoid", &[name, have]),
            Some(WishKind::Require) => self.say("wish-require", &[name, have, asked]),
            Some(_) => self.say("wish-prefer", &[name, have, asked]),
            None => self.say("wish-carry", &[name, have, asked]),
        };
        let what = ("what", Arg::Text(&what));
        sentence(&match &w.because {
            Because::Out { barrier } => {
                self.say("wish-out", &[what, ("barrier", (&self.barrier(barrier)).into())])
            }
            Because::Conflict { demands } => {
                self.say("wish-conflict", &[what, ("demands", (&self.demands(demands)).into())])
            }
            Because::Outweighed { difference } => {
                let avoided = w.wish == Some(WishKind::Avoid);
                let key = if avoided { "wish-outweighed-avoid" } else { "wish-outweighed" };
                self.say(key, &[what, ("difference", (&self.difference(difference)).into())])
            }
            Because::Open => self.say("wish-open", &[what]),
        })
    }

    fn demands(&self, demands: &[Demand]) -> String {
        self.speech.and(&demands.iter().map(|d| self.demand(d)).collect::<Vec<_>>())
    }

    /// What would bring what is lacking.
    pub fn remedy(&self, r: &Remedy) -> String {
        let mut gains = Vec::new();
        for w in &r.wishes {
            let name = self.movement(&w.id);
            let args = [("movement", (&name).into()), ("before", w.before.into()), ("after", w.after.into())];
            gains.push(self.say("remedy-wish", &args));
        }
        for g in &r.groups {
            let name = group(self.speech, &g.id);
            let args = [("group", (&name).into()), ("before", g.before.into()), ("after", g.after.into())];
            gains.push(self.say("remedy-group", &args));
        }
        let muscles = self.muscles(&r.muscles, true);
        if !muscles.is_empty() {
            gains.push(muscles);
        }
        let (step, gains, losses) =
            (self.step(&r.step), self.speech.and(&gains), self.muscles(&r.losses, false));
        let (step, gains) = (("step", Arg::Text(&step)), ("gains", Arg::Text(&gains)));
        let mut parts = vec![if losses.is_empty() {
            self.say("remedy-gains", &[step, gains])
        } else {
            self.say("remedy-gains-losses", &[step, gains, ("losses", (&losses).into())])
        }];
        let (after, before) = (self.speech.sets(r.lacking_after), self.speech.halves(r.lacking_before));
        parts.push(self.say("remedy-lacking", &[("after", (&after).into()), ("before", (&before).into())]));
        if r.seconds_more != 0 {
            parts.push(self.week_longer(r.seconds_more));
        }
        sentence(&parts.join("; "))
    }

    /// A change asked about.
    pub fn change(&self, change: &Change) -> String {
        match change {
            Change::Force { movement, day: Some(d) } => {
                let (name, day) = (self.movement(movement), self.day(*d));
                self.say("change-force-day", &[("movement", (&name).into()), ("day", (&day).into())])
            }
            Change::Force { movement, day: None } => {
                self.say("change-force", &[("movement", (&self.movement(movement)).into())])
            }
            Change::Forbid { movement } => {
                self.say("change-forbid", &[("movement", (&self.movement(movement)).into())])
            }
            Change::Move { movement, from, to } => {
                let (name, from, to) = (self.movement(movement), self.day(*from), self.day(*to));
                let args = [("movement", (&name).into()), ("from", (&from).into()), ("to", (&to).into())];
                self.say("change-move", &args)
            }
            Change::Sets { day, movement, sets } => {
                let (name, day) = (self.movement(movement), self.day(*day));
                let args = [("movement", (&name).into()), ("n", (*sets).into()), ("day", (&day).into())];
                self.say("change-sets", &args)
            }
        }
    }

    /// The price of a change.
    pub fn price(&self, price: &Price) -> Vec<String> {
        let change = self.change(&price.change);
        let change = ("change", Arg::Text(&change));
        match &price.outcome {
            Outcome::Priced { difference } => {
                let told = self.difference(difference);
                let mut out =
                    vec![sentence(&self.say("price-priced", &[change, ("difference", (&told).into())]))];
                if !difference.lines.is_empty() {
                    out.push(sentence(&self.lines_changed(difference)));
                }
                out
            }
            Outcome::AlreadySo => vec![sentence(&self.say("price-already", &[change]))],
            Outcome::NotOffered { barrier } => {
                let barrier = self.barrier(barrier);
                vec![sentence(&self.say("price-not-offered", &[change, ("barrier", (&barrier).into())]))]
            }
            Outcome::Forbidden { demands } => {
                let demands = self.demands(demands);
                vec![sentence(&self.say("price-forbidden", &[change, ("demands", (&demands).into())]))]
            }
            Outcome::NotFound => vec![sentence(&self.say("price-not-found", &[change]))],
        }
    }

    /// Why something required is not there, and the ways out.
    pub fn impossible(&self, one: &Impossible) -> Vec<String> {
        let (name, have, demands) =
            (self.movement(&one.movement), self.times(one.sessions), self.demands(&one.demands));
        let (name, have) = (("movement", Arg::Text(&name)), ("times", Arg::Text(&have)));
        let (asked, demands) = (("asked", one.asked.into()), ("demands", Arg::Text(&demands)));
        let mut out = vec![sentence(&if one.demands.is_empty() {
            self.say("impossible-open", &[name, have, asked])
        } else if one.irreducible {
            self.say("impossible-irreducible", &[name, have, asked, demands])
        } else {
            self.say("impossible-conflict", &[name, have, asked, demands])
        })];
        for way in &one.ways {
            let steps: Vec<String> = way.steps.iter().map(|s| self.step(s)).collect();
            let (steps, name) = (self.speech.and(&steps), self.movement(&way.movement));
            let args =
                [("steps", (&steps).into()), ("movement", (&name).into()), ("n", way.days.len().into())];
            out.push(sentence(&self.say("way-out", &args)));
        }
        if one.ways.is_empty() {
            out.push(self.say("no-way-out", &[]));
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::plan::brief::Weekday;
    use crate::words::Language;

    #[test]
    fn demands_steps_and_changes_are_said_in_both_languages() {
        let catalogue = Catalogue::builtin().expect("sound");
        let days = [Weekday::Monday, Weekday::Thursday];
        let speeches = Language::ALL.map(Speech::new);
        let [en, de] =
            [&speeches[0], &speeches[1]].map(|speech| Account { speech, catalogue: &catalogue, days: &days });
        let row = || "barbell_row".to_owned();
        let asked = Demand::Asked { movement: row(), times: 2, day: Some(1), sets: Some(3), rank: Some(0) };
        assert_eq!(
            en.demand(&asked),
            "bent-over barbell row required 2 times a week on Thursday with 3 sets"
        );
        assert_eq!(
            de.demand(&asked),
            "„vorgebeugtes Rudern mit Langhantel“ 2-mal pro Woche am Donnerstag mit 3 Sätzen verlangt"
        );
        let minutes = Demand::Minutes { minutes: vec![45, 45] };
        assert_eq!(en.demand(&minutes), "sessions of 45 minutes");
        assert_eq!(de.demand(&Demand::Minutes { minutes: vec![45, 60] }), "Einheiten von 45 und 60 Minuten");
        assert_eq!(en.step(&Step::MoreDays { days: 1 }), "1 more training day a week");
        assert_eq!(de.step(&Step::MoreDays { days: 2 }), "2 Trainingstage mehr pro Woche");
        let sets = Change::Sets { day: 7, movement: row(), sets: 1 };
        assert_eq!(en.change(&sets), "bent-over barbell row with 1 set on day 8");
        assert_eq!(de.change(&sets), "vorgebeugtes Rudern mit Langhantel mit 1 Satz am Tag 8");
        let back = Barrier::Discomfort { region: "low_back".into(), severity: 2 };
        assert_eq!(en.barrier(&back), "the moderate discomfort: low back");
        assert_eq!(de.barrier(&back), "die mittleren Beschwerden: unterer Rücken");
    }
}
