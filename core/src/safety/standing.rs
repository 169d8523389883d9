//! Everything about a lifter that safety needs, and what it allows on an occasion.

use super::fault::{FaultCode, SafetyFault};
use super::flags::FlagHeld;
use super::life::{Age, Discomfort, GuardianGrant, Maternity, Surgery};
use super::permit::{Circumstances, Ease, Refusal, Sore, permit};
use super::returns::Return;
use super::rules::Rules;
use super::screening::{Answers, Intensity, Outcome};
use crate::catalogue::{Catalogue, Movement};
use crate::moment::Moment;
use crate::terms;
use chrono::{DateTime, Duration, NaiveDate};
use serde::{Deserialize, Serialize};

/// What was answered for this session. What was not answered counts as the more cautious.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[allow(clippy::struct_excessive_bools)] // independent answers
pub struct Here {
    /// Nobody else is there.
    pub alone: bool,
    /// A spotter is confirmed.
    pub spotter: bool,
    /// Safeties are confirmed.
    pub safeties: bool,
    /// For a minor: an adult is confirmed.
    pub adult_present: bool,
}

impl Default for Here {
    fn default() -> Self {
        Self { alone: true, spotter: false, safeties: false, adult_present: false }
    }
}

impl Here {
    /// Whether a spotter is there: one who is alone has none, whatever was answered.
    pub fn spotted(self) -> bool {
        self.spotter && !self.alone
    }

    /// Whether something or someone catches a failed repetition.
    pub fn caught(self) -> bool {
        self.safeties || self.spotted()
    }
}

/// The occasion on which something is asked: the rules, the catalogue, the day and what was answered here.
#[derive(Debug, Clone, Copy)]
pub struct Occasion<'a> {
    /// The rules.
    pub rules: &'a Rules,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The local day.
    pub today: NaiveDate,
    /// Milliseconds since 1970 by the wall clock, where known: a flight to the east starts no new day.
    pub wall_ms: Option<i64>,
    /// What was answered for this session.
    pub here: Here,
}

impl<'a> Occasion<'a> {
    /// An occasion on a day.
    pub fn on(rules: &'a Rules, catalogue: &'a Catalogue, today: NaiveDate, here: Here) -> Self {
        Self { rules, catalogue, today, wall_ms: None, here }
    }

    /// An occasion at a moment.
    pub fn at(rules: &'a Rules, catalogue: &'a Catalogue, moment: &Moment, here: Here) -> Self {
        let today = moment.local().date_naive();
        Self { rules, catalogue, today, wall_ms: Some(moment.wall_ms), here }
    }

    /// Today where a flag was raised, or here, whichever is earlier.
    fn earlier_today(&self, offset_min: Option<i32>) -> NaiveDate {
        let there = self.wall_ms.zip(offset_min).and_then(|(ms, offset)| {
            let utc = DateTime::from_timestamp_millis(ms)?;
            Some(utc.checked_add_signed(Duration::minutes(i64::from(offset)))?.date_naive())
        });
        there.map_or(self.today, |t| t.min(self.today))
    }
}

/// What a history of it asks for: breathing through the effort, no long breath-hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[allow(clippy::struct_excessive_bools)] // independent answers
pub struct BreathHistory {
    /// High blood pressure.
    pub blood_pressure: bool,
    /// Heart.
    pub heart: bool,
    /// Eye.
    pub eye: bool,
    /// Hernia.
    pub hernia: bool,
}

impl BreathHistory {
    /// Whether any of them was told.
    pub fn any(self) -> bool {
        self.blood_pressure || self.heart || self.eye || self.hernia
    }
}

/// Everything that a lifter's record says about safety.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Standing {
    /// The answers to the self-screening.
    pub screening: Answers,
    /// What the lifter's own brief says came of a screening; it counts while the record holds no answers.
    pub screening_told: Option<Intensity>,
    /// The day of birth, if told.
    pub born_on: Option<NaiveDate>,
    /// The lifter said that they are a minor.
    pub says_minor: bool,
    /// Years under which one is a minor where the lifter trains; it raises 18 and never lowers it.
    pub age_of_the_place: u32,
    /// A minor's guardian's grant.
    pub guardian: Option<GuardianGrant>,
    /// Pregnancy or the time after a birth, if told.
    pub maternity: Option<Maternity>,
    /// Operations.
    pub surgery: Vec<Surgery>,
    /// Blood pressure, heart, eye, hernia.
    pub breath: BreathHistory,
    /// Every confirmed flag of the record.
    pub flags: Vec<FlagHeld>,
    /// Every sound return of the record.
    pub returns: Vec<Return>,
    /// Discomforts.
    pub discomforts: Vec<Discomfort>,
    /// New to training: first loads are found in small steps.
    pub beginner: bool,
    /// Ids of movements whose bail-out was taught.
    pub bail_outs_taught: Vec<String>,
}

impl Default for Standing {
    fn default() -> Self {
        Self {
            screening: Answers::default(),
            screening_told: None,
            born_on: None,
            says_minor: false,
            age_of_the_place: terms::ADULT_YEARS,
            guardian: None,
            maternity: None,
            surgery: Vec::new(),
            breath: BreathHistory::default(),
            flags: Vec::new(),
            returns: Vec::new(),
            discomforts: Vec::new(),
            beginner: false,
            bail_outs_taught: Vec::new(),
        }
    }
}

/// Why no session begins, or why the open one ends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Barred {
    /// A flag of tier 1 or 2 closed the session; there is no resuming that day.
    SameDay {
        /// The entry of the flag.
        entry: String,
        /// 1 or 2.
        tier: u8,
    },
    /// A flag of tier 1 or 2 has no recorded return.
    NoReturn {
        /// The entry of the flag.
        entry: String,
        /// 1 or 2.
        tier: u8,
    },
    /// The screening says to seek clearance first.
    ClearanceFirst,
    /// A minor without a guardian's grant in force.
    NoGuardian,
    /// A minor without an adult confirmed for this session.
    NoAdult,
}

impl Barred {
    /// The key of its words.
    pub fn words(&self) -> &'static str {
        match self {
            Self::SameDay { .. } => "barred-same-day",
            Self::NoReturn { .. } => "barred-no-return",
            Self::ClearanceFirst => "barred-clearance-first",
            Self::NoGuardian => "barred-no-guardian",
            Self::NoAdult => "barred-no-adult",
        }
    }
}

impl Standing {
    /// How old the lifter is, as far as safety asks.
    pub fn age(&self, today: NaiveDate) -> Age {
        if self.says_minor {
            return Age::Minor;
        }
        match self.born_on.and_then(|born| terms::age_years(born, today)) {
            None => Age::Unknown,
            Some(years) if terms::minor(years, self.age_of_the_place) => Age::Minor,
            Some(_) => Age::Adult,
        }
    }

    /// The outcome of the screening. A heart history answers the question about known disease.
    pub fn screened<'a>(&self, rules: &'a Rules, today: NaiveDate) -> Outcome<'a> {
        let mut answers = self.screening.clone();
        if self.breath.heart {
            answers.known_disease = Some(true);
        }
        let unanswered = answers == Answers::default();
        let mut outcome = answers.outcome(&rules.screening, today);
        if unanswered && let Some(told) = self.screening_told {
            outcome.intensity = told;
        }
        outcome
    }

    /// The newest return that answers a flag: later records stand above earlier ones.
    pub fn return_for(&self, flag: &FlagHeld, today: NaiveDate) -> Option<&Return> {
        let answering = self.returns.iter().filter(|r| r.answers(flag, today));
        answering.max_by(|a, b| (a.returned_on, &a.entry).cmp(&(b.returned_on, &b.entry)))
    }

    /// The flags that no return has answered.
    pub fn open_flags(&self, today: NaiveDate) -> impl Iterator<Item = &FlagHeld> {
        self.flags.iter().filter(move |f| self.return_for(f, today).is_none())
    }

    /// Everything that keeps a session from beginning or going on, the most urgent first.
    ///
    /// The day of a flag is the day it was raised, there and here: neither a clock set back nor a flight ends it.
    /// A flag dated after today was dated by a wrong clock, so the day of its return is the day that must pass.
    pub fn barred(&self, occasion: &Occasion<'_>) -> Vec<Barred> {
        let mut out = Vec::new();
        let mut stops: Vec<&FlagHeld> = self.flags.iter().filter(|f| f.tier <= 2).collect();
        stops.sort_by_key(|f| f.tier);
        for f in stops {
            let (entry, tier) = (f.entry.clone(), f.tier);
            let today = occasion.earlier_today(f.offset_min);
            match self.return_for(f, occasion.today) {
                None if f.raised_on == Some(today) => out.push(Barred::SameDay { entry, tier }),
                None => out.push(Barred::NoReturn { entry, tier }),
                Some(r) => {
                    let bar = f.raised_on.filter(|raised| *raised <= r.returned_on).unwrap_or(r.returned_on);
                    if today <= bar {
                        out.push(Barred::SameDay { entry, tier });
                    }
                }
            }
        }
        if self.screened(occasion.rules, occasion.today).intensity == Intensity::Stop {
            out.push(Barred::ClearanceFirst);
        }
        if self.age(occasion.today) == Age::Minor {
            if !self.guardian.as_ref().is_some_and(|g| g.in_force(occasion.today)) {
                out.push(Barred::NoGuardian);
            }
            if !occasion.here.adult_present {
                out.push(Barred::NoAdult);
            }
        }
        out
    }

    /// Whether a session may begin, and whether an open one may go on.
    ///
    /// # Errors
    /// The most urgent reason why not.
    pub fn may_begin(&self, occasion: &Occasion<'_>) -> Result<(), Barred> {
        self.barred(occasion).into_iter().next().map_or(Ok(()), Err)
    }

    /// Ids of the regions that are out: by an open flag, by what a return keeps out, and by limits of care.
    pub fn regions_out(&self, occasion: &Occasion<'_>) -> Vec<usize> {
        let today = occasion.today;
        let all = || 0..occasion.catalogue.regions.len();
        let mut out = Vec::new();
        let mut add = |id: &str| match occasion.catalogue.region(id) {
            Some(region) => out.push(region),
            // A region that this version does not know could be any.
            None => out.extend(all()),
        };
        for f in &self.flags {
            match self.return_for(f, today) {
                Some(r) => r.regions_still_out.iter().for_each(|id| add(id)),
                None if f.tier == 3 && f.regions.is_empty() => add(""),
                None => f.regions.iter().for_each(|id| add(id)),
            }
        }
        let entered = |s: &&Surgery| s.limits_entered(today).is_some_and(|l| l.still_out);
        self.surgery.iter().filter(entered).for_each(|s| add(&s.region));
        let care = self.maternity.as_ref().and_then(|m| m.limits_in_force(today));
        care.iter().flat_map(|l| &l.regions_out).for_each(|id| add(id));
        out.sort_unstable();
        out.dedup();
        out
    }

    /// The circumstances for [`permit`].
    pub fn circumstances(&self, occasion: &Occasion<'_>) -> Circumstances {
        let (today, here) = (occasion.today, occasion.here);
        let minor = self.age(today) == Age::Minor;
        let regions = |id: &str| match occasion.catalogue.region(id) {
            Some(region) => vec![region],
            None => (0..occasion.catalogue.regions.len()).collect(),
        };
        let sore = (self.discomforts.iter().filter(|d| d.on(today)))
            .flat_map(|d| {
                let new_or_worse = d.new_or_worse || (minor && d.lasting(today));
                let severity = i32::from(d.severity.clamp(1, 3));
                regions(&d.region).into_iter().map(move |region| Sore { region, severity, new_or_worse })
            })
            .collect();
        let mut after_surgery: Vec<usize> = (self.surgery.iter())
            .filter(|s| s.limits_entered(today).is_none())
            .flat_map(|s| regions(&s.region))
            .collect();
        after_surgery.sort_unstable();
        after_surgery.dedup();
        let maternity = self.maternity.as_ref();
        let care = maternity.map(|m| m.limits_in_force(today));
        Circumstances {
            sore,
            after_surgery,
            regions_out: self.regions_out(occasion),
            no_lying_on_back: care.is_some_and(|c| c.is_none_or(|l| !l.back_allowed)),
            no_lying_on_front: care.is_some_and(|c| c.is_none_or(|l| !l.front_allowed)),
            no_long_breath_hold: self.breath.any() || maternity.is_some(),
            no_maximal_lifts: maternity.is_some(),
            minor,
            light_to_moderate: self.screened(occasion.rules, today).intensity <= Intensity::LightToModerate
                || care.is_some_and(|c| c.is_none_or(|l| l.light_to_moderate)),
            alone: !here.spotted(),
            safeties: here.safeties,
        }
    }

    /// Whether a movement may be offered, and how it must be eased.
    ///
    /// # Errors
    /// The first reason why it may not.
    pub fn permit(&self, occasion: &Occasion<'_>, movement: &Movement) -> Result<Ease, Refusal> {
        permit(movement, &self.circumstances(occasion))
    }

    /// Findings such as a plateau or a missed day are silent in pregnancy and after birth.
    pub fn findings_silent(&self) -> bool {
        self.maternity.is_some()
    }

    /// Whether body mass is shown: not to a minor.
    pub fn body_mass_shown(&self, today: NaiveDate) -> bool {
        self.age(today) != Age::Minor
    }

    /// Whether a goal of losing body mass may be set: by an adult who is neither pregnant nor after a birth.
    pub fn weight_loss_goal_allowed(&self, today: NaiveDate) -> bool {
        self.age(today) == Age::Adult && self.maternity.is_none()
    }

    /// Whether what a coach writes is shown to the guardian.
    pub fn guardian_reads_messages(&self, today: NaiveDate) -> bool {
        self.age(today) == Age::Minor
    }

    /// Faults of the answers themselves, each with its field and remedy: they are refused at the door.
    pub fn faults(&self, catalogue: &Catalogue, today: NaiveDate) -> Vec<SafetyFault> {
        let mut out = Vec::new();
        let mut add = |code, field: String, problem: String, remedy: &str| {
            out.push(SafetyFault::new(code, field, problem, remedy));
        };
        if let Some(born) = self.born_on {
            match terms::age_years(born, today) {
                None => {
                    let problem = format!("{born} is after today, {today}");
                    add(FaultCode::InTheFuture, "born_on".into(), problem, "give the day of birth");
                }
                Some(years) if years > 110 => {
                    add(FaultCode::Malformed, "born_on".into(), format!("{years} years"), "check the year");
                }
                Some(_) => {}
            }
        }
        if !(14..=25).contains(&self.age_of_the_place) {
            let problem = format!("{} years", self.age_of_the_place);
            add(FaultCode::Malformed, "age_of_the_place".into(), problem, "give 14 to 25");
        }
        if let Some(on) = self.screening.clearance.as_ref().and_then(|c| c.on).filter(|on| *on > today) {
            let problem = format!("{on} is after today, {today}");
            add(
                FaultCode::InTheFuture,
                "screening.clearance.on".into(),
                problem,
                "give the day it was given",
            );
        }
        if let Some(limits) = self.maternity.as_ref().and_then(|m| m.limits.as_ref()) {
            if limits.advised_on > today {
                let problem = format!("{} is after today, {today}", limits.advised_on);
                let field = "maternity.limits.advised_on";
                add(FaultCode::InTheFuture, field.into(), problem, "give the day on which they were set");
            }
            if limits.review_on < limits.advised_on {
                let problem = format!("{} is before the limits were set", limits.review_on);
                let field = "maternity.limits.review_on";
                add(FaultCode::TooEarly, field.into(), problem, "give the day of the next review");
            }
        }
        for (k, s) in self.surgery.iter().enumerate() {
            if catalogue.region(&s.region).is_none() {
                let problem = format!("{:?} is unknown", s.region);
                add(
                    FaultCode::Unknown,
                    format!("surgery[{k}].region"),
                    problem,
                    "choose a region of the list",
                );
            }
            if s.limits.as_ref().is_some_and(|l| l.advised_on < s.on) {
                let field = format!("surgery[{k}].limits.advised_on");
                let problem = "the limits are older than the operation".to_owned();
                add(FaultCode::TooEarly, field, problem, "enter the limits that were written after it");
            }
        }
        for (k, d) in self.discomforts.iter().enumerate() {
            if catalogue.region(&d.region).is_none() {
                let problem = format!("{:?} is unknown", d.region);
                let remedy = "choose a region of the list";
                add(FaultCode::Unknown, format!("discomforts[{k}].region"), problem, remedy);
            }
            if !(1..=3).contains(&d.severity) {
                let field = format!("discomforts[{k}].severity");
                add(FaultCode::Malformed, field, format!("{}", d.severity), "give 1, 2 or 3");
            }
        }
        out
    }
}

#[cfg(test)]
#[path = "standing_tests.rs"]
mod tests;
