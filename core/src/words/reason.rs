//! The plan's reasons in sentences.

use super::{English, and, count, group, halves, minutes, sentence, sets};
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
pub fn term(term: Term) -> &'static str {
    match term {
        Term::ExposureMissing => "wanted sessions of a movement missing",
        Term::GroupMissing => "a basic pattern visited too seldom",
        Term::BelowMinimum => "muscles below their weekly minimum",
        Term::BelowTarget => "muscles below their weekly target",
        Term::AboveMaximum => "muscles above their weekly maximum",
        Term::DayMissing => "major muscles trained on too few days",
        Term::NearMuscle => "the same muscles within 48 hours",
        Term::NearAxial => "load down the spine within 48 hours",
        Term::NearHeavy => "heavy squats and heavy pulls from the floor on neighbouring days",
        Term::PushPull => "pushes and pulls out of balance",
        Term::Sets => "tiring, disliked or uncomfortable sets",
        Term::Sessions => "movements that suit the goal or the lifter less",
        Term::Distinct => "more different movements",
        Term::FewMovements => "sessions with few movements",
        Term::NoCarrying => "sessions without a movement that carries the programme",
        Term::Longest => "a longer longest session",
        Term::Time => "more training time",
    }
}

fn points(p: i64) -> String {
    count(p, "point", "points")
}

/// `, because of ...` for the term that decides.
fn decided(change: Option<TermChange>, better: bool) -> String {
    change.map_or_else(String::new, |t| {
        let sign = if better { "less of: " } else { "" };
        format!(" ({sign}{}, {})", term(t.term), points(t.points.abs()))
    })
}

fn verdict(d: &Difference) -> String {
    match d.points {
        0 => "a tie: as good by the points".into(),
        p if p > 0 => format!("{} worse{}", points(p), decided(d.dominant(), false)),
        p => format!("{} better{}", points(-p), decided(d.dominant(), true)),
    }
}

impl English<'_> {
    /// What stands in the way.
    pub fn barrier(&self, barrier: &Barrier) -> String {
        match barrier {
            Barrier::Discomfort { region, severity } => {
                let how = ["mild", "moderate", "severe"][(*severity - 1).clamp(0, 2) as usize];
                format!("the {how} discomfort: {}", self.region(region))
            }
            Barrier::NewDiscomfort { region } => {
                format!(
                    "the new or worse discomfort ({}): left out until care was taken",
                    self.region(region)
                )
            }
            Barrier::AfterSurgery { region } => {
                format!("the operation ({}) whose written limits are not entered", self.region(region))
            }
            Barrier::RegionOut { region } => {
                format!("the {}, which stays out until a return is recorded", self.region(region))
            }
            Barrier::LyingOnBack => "lying on the back is to be left out".into(),
            Barrier::LyingOnFront => "lying on the front is to be left out".into(),
            Barrier::AloneWithoutSafeties => {
                "a barbell over the chest is not offered to someone alone without safeties".into()
            }
            Barrier::Kit { missing } if missing.is_empty() => "the kit at hand".into(),
            Barrier::Kit { missing } => format!("kit that is not at hand: {}", self.kit(missing)),
            Barrier::Forbidden => "the lifter forbids it".into(),
            Barrier::Skill => "its technique comes later".into(),
            Barrier::Dominated { by } => {
                format!("the {} does the same at no greater cost", self.movement(by))
            }
            Barrier::Time => "the minutes of the session".into(),
            Barrier::Movements => "the number of movements in a session".into(),
            Barrier::SingleJoint => "the number of single-joint movements in a session".into(),
            Barrier::SingleJointOverCompounds => {
                "single-joint movements may not outnumber the compounds of a session".into()
            }
            Barrier::SingleJointThird => "single-joint work takes at most a third of a session's sets".into(),
            Barrier::Trunk => "the number of trunk and carry movements in a session".into(),
            Barrier::Pattern { pattern } => {
                format!("the number of movements of one pattern in a session ({})", self.pattern(pattern))
            }
            Barrier::AxialThree => "one movement that loads the spine most in a session".into(),
            Barrier::HeavyPair => "no heavy squat and heavy pull from the floor in one session".into(),
            Barrier::Axial => "the load down the spine in a session".into(),
            Barrier::Fatigue => "the fatigue of a session".into(),
            Barrier::Grip => "the demand on the grip in a session".into(),
            Barrier::Muscle { muscle } => {
                format!("the work of one muscle in a session ({})", self.muscle(muscle))
            }
            Barrier::MostPerWeek { movement, .. } if movement.is_empty() => {
                "the most sessions a week of a movement".into()
            }
            Barrier::MostPerWeek { movement, most } => {
                format!(
                    "{} at most {} a week",
                    self.movement(movement),
                    count(i64::from(*most), "time", "times")
                )
            }
            Barrier::SetsRange { movement, fewest, most } => {
                format!("{} is done with {fewest} to {most} sets", self.movement(movement))
            }
            Barrier::Repeated => "it is in that session already".into(),
            Barrier::NotThere => "it is not in that session".into(),
        }
    }

    fn barriers(&self, all: &[Barrier]) -> String {
        and(&all.iter().take(BARRIERS).map(|b| self.barrier(b)).collect::<Vec<_>>())
    }

    /// A demand.
    pub fn demand(&self, demand: &Demand) -> String {
        match demand {
            Demand::Asked { movement, times, day, sets, rank } => {
                let what = if rank.is_some() { "required" } else { "asked for" };
                let on = day.map_or_else(String::new, |d| format!(" on {}", self.day(d)));
                let with = sets
                    .map_or_else(String::new, |s| format!(" with {}", count(i64::from(s), "set", "sets")));
                let times = if *times == 1 { String::new() } else { format!(" {times} times a week") };
                format!("{} {what}{times}{on}{with}", self.movement(movement))
            }
            Demand::Days { days } => {
                format!("{} a week", count(i64::from(*days), "training day", "training days"))
            }
            Demand::Minutes { minutes } => {
                let same = minutes.windows(2).all(|w| w[0] == w[1]);
                if let (Some(m), true) = (minutes.first(), same) {
                    format!("sessions of {m} minutes")
                } else {
                    let each: Vec<String> = minutes.iter().map(ToString::to_string).collect();
                    format!("sessions of {} minutes", and(&each))
                }
            }
            Demand::Forbid { movement: Some(m), .. } => format!("{} forbidden", self.movement(m)),
            Demand::Forbid { pattern, .. } => {
                format!("{} forbidden", self.pattern(pattern.as_deref().unwrap_or_default()))
            }
            Demand::Barrier { barrier } => self.barrier(barrier),
        }
    }

    /// A step, as something to do.
    pub fn step(&self, step: &Step) -> String {
        match step {
            Step::InTurn => "do movements in turn".into(),
            Step::Safeties => "set safeties on the rack".into(),
            Step::MoreMinutes { minutes } => format!("{minutes} minutes more for each session"),
            Step::MoreDays { days } => {
                format!("{} a week", count(i64::from(*days), "more training day", "more training days"))
            }
            Step::FewerTimes { movement, times } => {
                format!(
                    "ask {} {} a week",
                    self.movement(movement),
                    count(i64::from(*times), "time", "times")
                )
            }
            Step::LetGo { movement } => format!("let go of {}", self.movement(movement)),
            Step::StandIn { movement, instead } => {
                format!("ask for {} in place of {}", self.movement(instead), self.movement(movement))
            }
            Step::Kit { equipment } => format!("have {}", self.kit(equipment)),
            Step::Allow { movement: Some(m), .. } => format!("allow {} again", self.movement(m)),
            Step::Allow { pattern, .. } => {
                format!("allow {} again", self.pattern(pattern.as_deref().unwrap_or_default()))
            }
        }
    }

    fn muscles(&self, all: &[MuscleChange], gained: bool) -> String {
        let mut chosen: Vec<&MuscleChange> =
            all.iter().filter(|m| if gained { m.after > m.before } else { m.after < m.before }).collect();
        chosen.sort_by_key(|m| -(m.after - m.before).abs());
        let more = chosen.len().saturating_sub(MUSCLES);
        let mut named: Vec<String> = chosen
            .iter()
            .take(MUSCLES)
            .map(|m| format!("{} {}", self.muscle(&m.muscle), sets((m.after - m.before).abs())))
            .collect();
        if more > 0 {
            named.push(count(more as i64, "other", "others"));
        }
        and(&named)
    }

    /// A difference in sets for each muscle, minutes and points.
    pub fn difference(&self, d: &Difference) -> String {
        let mut parts = Vec::new();
        let (gained, lost) = (self.muscles(&d.muscles, true), self.muscles(&d.muscles, false));
        if !gained.is_empty() {
            parts.push(format!("more for {gained}"));
        }
        if !lost.is_empty() {
            parts.push(format!("less for {lost}"));
        }
        let seconds = d.seconds();
        if seconds != 0 {
            let which = if seconds > 0 { "longer" } else { "shorter" };
            parts.push(format!("the week {} {which}", minutes(seconds.abs())));
        }
        parts.push(verdict(d));
        parts.join("; ")
    }

    fn lines_changed(&self, d: &Difference) -> String {
        let of = |l: &crate::plan::reason::LineChange| {
            let name = self.movement(&l.movement);
            let day = self.day(l.day);
            match (l.before, l.after) {
                (0, n) => format!("{day} gains {name} ({})", count(i64::from(n), "set", "sets")),
                (_, 0) => format!("{day} loses {name}"),
                (a, b) => format!("{day} {name} {a} to {}", count(i64::from(b), "set", "sets")),
            }
        };
        and(&d.lines.iter().map(of).collect::<Vec<_>>())
    }

    fn asked(&self, asked: &Asked) -> String {
        match asked {
            Asked::Carrying { named: true } => "it was named to carry the programme".into(),
            Asked::Carrying { named: false } => "it carries the programme by default for this kit".into(),
            Asked::Required { times } => {
                format!("it was required ({} a week)", count(i64::from(*times), "time", "times"))
            }
            Asked::Preferred { times } => {
                format!("it was preferred ({} a week)", count(i64::from(*times), "time", "times"))
            }
            Asked::Priority { muscles } => {
                let names: Vec<String> = muscles.iter().map(|m| self.muscle(m)).collect();
                format!("it trains what comes first: {}", and(&names))
            }
        }
    }

    fn blocked(&self, blocked: &[BlockedDay]) -> String {
        let day = |b: &BlockedDay| format!("{}: {}", self.day(b.day), self.barriers(&b.barriers));
        blocked.iter().map(day).collect::<Vec<_>>().join("; ")
    }

    /// Why a line is there, why there, and what it displaced: one sentence each.
    pub fn line(&self, r: &LineReason) -> Vec<String> {
        let name = self.movement(&r.movement);
        let mut out = Vec::new();
        let asked: Vec<String> = r.asked.iter().map(|a| self.asked(a)).collect();
        if !asked.is_empty() {
            out.push(sentence(&format!("{name}: {}", and(&asked))));
        }
        let rises: Vec<String> = r
            .without
            .terms
            .iter()
            .filter(|t| t.points > 0)
            .take(BARRIERS)
            .map(|t| format!("{} ({})", term(t.term), points(t.points)))
            .collect();
        let lost = self.muscles(&r.without.muscles, false);
        let mut text = format!("without {name}");
        if !lost.is_empty() {
            let piece = format!(" the week has less for {lost}");
            text.push_str(&piece);
        }
        if !rises.is_empty() {
            let piece = format!("; it would have {}", and(&rises));
            text.push_str(&piece);
        }
        let whole = match r.without.points {
            p if p > 0 => format!("; in all {} worse", points(p)),
            0 => "; in all as good".into(),
            p => format!("; in all {} better", points(-p)),
        };
        text.push_str(&whole);
        out.push(sentence(&text));
        if !r.held_up.is_empty() {
            out.push(sentence(&format!(
                "the rest of the session leans on it: {}",
                self.barriers(&r.held_up)
            )));
        }
        out.push(sentence(&self.here(r)));
        out.extend(self.displaced(&r.displaced).map(|t| sentence(&t)));
        out
    }

    fn here(&self, r: &LineReason) -> String {
        match &r.here {
            Here::OnlyDay => "the week has one training day".into(),
            Here::EveryDay => "it is done on every training day".into(),
            Here::NoOtherDay { blocked } => format!("no other day allows it ({})", self.blocked(blocked)),
            Here::OtherDay { day, exchanged, difference, .. } => {
                let swap = exchanged
                    .as_ref()
                    .map_or_else(String::new, |e| format!(" in exchange for {}", self.movement(&e.movement)));
                format!("the best other day is {}{swap}: {}", self.day(*day), verdict(difference))
            }
        }
    }

    fn displaced(&self, all: &[Alternative]) -> Option<String> {
        let one = |a: &Alternative| {
            let n = count(i64::from(a.sets), "set", "sets");
            format!("{} ({n}): {}", self.movement(&a.movement), verdict(&a.difference))
        };
        let told: Vec<String> = all.iter().map(one).collect();
        (!told.is_empty()).then(|| format!("next best in its place: {}", told.join("; ")))
    }

    /// What stops more on a day.
    pub fn stops(&self, s: &Stops) -> String {
        let day = self.day(s.day);
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
                    Barrier::Time => format!("{} of {} used", minutes(b.used), minutes(b.available)),
                    Barrier::Muscle { .. } => format!("{} of {}", halves(b.used), sets(b.available)),
                    _ => format!("{} of {}", b.used, b.available),
                };
                format!("{} ({numbers})", self.barrier(&b.barrier))
            })
            .collect();
        let full =
            if all.is_empty() { "no limit is used up".into() } else { format!("used up: {}", and(&all)) };
        let next = match &s.cheapest {
            None => "nothing more fits".into(),
            Some(a) => format!(
                "the next best addition that fits is {} ({}): {}",
                self.movement(&a.movement),
                count(i64::from(a.sets), "set", "sets"),
                verdict(&a.difference)
            ),
        };
        sentence(&format!("{day}: {full}; {next}"))
    }

    /// What the week lacks, one sentence each.
    pub fn shortfalls(&self, s: &Shortfalls) -> Vec<String> {
        let mut out = Vec::new();
        for m in &s.muscles {
            let name = self.muscle(&m.muscle);
            let against = if m.half_sets < m.minimum {
                format!("below its minimum of {}", sets(m.minimum))
            } else {
                format!("below its target of {}", sets(m.target))
            };
            let why = if m.unavailable { "; no movement that is left trains it" } else { "" };
            out.push(sentence(&format!("{name}: {} a week, {against}{why}", sets(m.half_sets))));
        }
        for d in &s.days {
            let name = self.muscle(&d.muscle);
            let days = count(i64::from(d.days), "day", "days");
            out.push(sentence(&format!("{name}: at least two sets on {days} of {} wanted", d.wanted)));
        }
        for g in &s.groups {
            let name = group(&g.group);
            out.push(sentence(&match (g.unavailable, g.by_choice) {
                (true, true) => format!("{name} are unavailable by your choice"),
                (true, false) => format!("{name} are unavailable with this kit and these limits"),
                _ => format!(
                    "{name} come {} a week of {} wanted",
                    count(i64::from(g.exposures), "time", "times"),
                    g.wanted
                ),
            }));
        }
        out.extend(s.wishes.iter().map(|w| self.wish_short(w)));
        out
    }

    fn wish_short(&self, w: &WishShort) -> String {
        let name = self.movement(&w.movement);
        let have = count(i64::from(w.sessions), "time", "times");
        let what = match w.wish {
            Some(WishKind::Avoid) => format!("{name}, to be avoided, comes {have} a week"),
            Some(WishKind::Require) => format!("{name}, required, comes {have} of {} a week", w.asked),
            Some(_) => format!("{name}, preferred, comes {have} of {} a week", w.asked),
            None => format!("{name}, which carries the programme, comes {have} of {} a week", w.asked),
        };
        let more = if w.wish == Some(WishKind::Avoid) { "leaving it out" } else { "once more" };
        sentence(&match &w.because {
            Because::Out { barrier } => format!("{what}: {}", self.barrier(barrier)),
            Because::Conflict { demands } => {
                format!("{what}: {} cannot be kept together", self.demands(demands))
            }
            Because::Outweighed { difference } => {
                format!("{what}; {more} would mean: {}", self.difference(difference))
            }
            Because::Open => format!("{what}; no week with it was found, and none was proved impossible"),
        })
    }

    fn demands(&self, demands: &[Demand]) -> String {
        and(&demands.iter().map(|d| self.demand(d)).collect::<Vec<_>>())
    }

    /// What would bring what is lacking.
    pub fn remedy(&self, r: &Remedy) -> String {
        let mut gains = Vec::new();
        for w in &r.wishes {
            gains.push(format!("{} {} to {} a week", self.movement(&w.id), w.before, w.after));
        }
        for g in &r.groups {
            gains.push(format!("{} {} to {} a week", group(&g.id), g.before, g.after));
        }
        let muscles = self.muscles(&r.muscles, true);
        if !muscles.is_empty() {
            gains.push(muscles);
        }
        let mut text = format!("{} would bring {}", self.step(&r.step), and(&gains));
        let losses = self.muscles(&r.losses, false);
        if !losses.is_empty() {
            let piece = format!(", and take {losses}");
            text.push_str(&piece);
        }
        let piece =
            format!("; lacking in all {} instead of {}", sets(r.lacking_after), halves(r.lacking_before));
        text.push_str(&piece);
        if r.seconds_more != 0 {
            let which = if r.seconds_more > 0 { "longer" } else { "shorter" };
            let piece = format!("; the week {} {which}", minutes(r.seconds_more.abs()));
            text.push_str(&piece);
        }
        sentence(&text)
    }

    /// A change asked about.
    pub fn change(&self, change: &Change) -> String {
        match change {
            Change::Force { movement, day: Some(d) } => {
                format!("{} on {}", self.movement(movement), self.day(*d))
            }
            Change::Force { movement, day: None } => format!("{} in the week", self.movement(movement)),
            Change::Forbid { movement } => format!("no {}", self.movement(movement)),
            Change::Move { movement, from, to } => {
                format!("{} from {} to {}", self.movement(movement), self.day(*from), self.day(*to))
            }
            Change::Sets { day, movement, sets } => format!(
                "{} with {} on {}",
                self.movement(movement),
                count(i64::from(*sets), "set", "sets"),
                self.day(*day)
            ),
        }
    }

    /// The price of a change.
    pub fn price(&self, price: &Price) -> Vec<String> {
        let what = self.change(&price.change);
        match &price.outcome {
            Outcome::Priced { difference } => {
                let mut out = vec![sentence(&format!("{what}: {}", self.difference(difference)))];
                if !difference.lines.is_empty() {
                    out.push(sentence(&self.lines_changed(difference)));
                }
                out
            }
            Outcome::AlreadySo => vec![sentence(&format!("{what}: it is so already"))],
            Outcome::NotOffered { barrier } => {
                vec![sentence(&format!("{what}: not offered, {}", self.barrier(barrier)))]
            }
            Outcome::Forbidden { demands } => {
                vec![sentence(&format!(
                    "{what}: impossible, {} cannot be kept together",
                    self.demands(demands)
                ))]
            }
            Outcome::NotFound => {
                vec![sentence(&format!("{what}: no week with it was found, and none was proved impossible"))]
            }
        }
    }

    /// Why something required is not there, and the ways out.
    pub fn impossible(&self, one: &Impossible) -> Vec<String> {
        let name = self.movement(&one.movement);
        let have = format!(
            "{name} comes {} of {} a week",
            count(i64::from(one.sessions), "time", "times"),
            one.asked
        );
        let mut out = vec![sentence(&if one.demands.is_empty() {
            format!("{have}; no week with it was found, and none was proved impossible")
        } else if one.irreducible {
            format!(
                "{have}: {} cannot be kept together; any one of them less, and the others can",
                self.demands(&one.demands)
            )
        } else {
            format!("{have}: {} cannot be kept together", self.demands(&one.demands))
        })];
        for way in &one.ways {
            let steps: Vec<String> = way.steps.iter().map(|s| self.step(s)).collect();
            let days = count(way.days.len() as i64, "day", "days");
            out.push(sentence(&format!(
                "way out: {}; then {} is there on {days}",
                and(&steps),
                self.movement(&way.movement)
            )));
        }
        if one.ways.is_empty() {
            out.push("No way out was found that leaves health first.".into());
        }
        out
    }
}
