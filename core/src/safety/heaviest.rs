//! Who may try the heaviest work, and why not. Who may not gets an estimate from fewer kilograms instead.

use super::life::{Age, Surgery};
use super::permit::Refusal;
use super::returns::Return;
use super::screening::Intensity;
use super::standing::{Occasion, Standing};
use crate::catalogue::Movement;
use serde::{Deserialize, Serialize};

/// Why the heaviest work is not offered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum WhyNot {
    /// A session may not begin at all.
    Barred,
    /// The movement may not be offered.
    NotOffered,
    /// A minor.
    Minor,
    /// The age is not told.
    AgeUnknown,
    /// A flag that no return has answered.
    FlagOpen,
    /// Limits that came with a return, or after an operation.
    LimitOfCare,
    /// Pregnancy, or the time after a birth.
    Maternity,
    /// No long breath-hold: the heaviest work cannot be done without.
    BreathHold,
    /// The screening is open, or does not allow any intensity yet.
    Screening,
    /// A discomfort where the movement loads.
    Discomfort,
    /// The ramp is not done.
    RampNotDone,
    /// Neither safeties nor a spotter are confirmed for this session.
    NothingCatches,
}

impl WhyNot {
    /// Every reason.
    pub const ALL: [Self; 12] = [
        Self::Barred,
        Self::NotOffered,
        Self::Minor,
        Self::AgeUnknown,
        Self::FlagOpen,
        Self::LimitOfCare,
        Self::Maternity,
        Self::BreathHold,
        Self::Screening,
        Self::Discomfort,
        Self::RampNotDone,
        Self::NothingCatches,
    ];

    /// The key of its words.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Barred => "heaviest-barred",
            Self::NotOffered => "heaviest-not-offered",
            Self::Minor => "heaviest-minor",
            Self::AgeUnknown => "heaviest-age-unknown",
            Self::FlagOpen => "heaviest-flag-open",
            Self::LimitOfCare => "heaviest-limit-of-care",
            Self::Maternity => "heaviest-maternity",
            Self::BreathHold => "heaviest-breath-hold",
            Self::Screening => "heaviest-screening",
            Self::Discomfort => "heaviest-discomfort",
            Self::RampNotDone => "heaviest-ramp-not-done",
            Self::NothingCatches => "heaviest-nothing-catches",
        }
    }
}

impl Standing {
    /// Every reason why the heaviest work in a movement is not offered: it is for an adult with no open flag or
    /// limit, the ramp done, and a spotter or safeties confirmed in this session.
    pub fn why_not_heaviest(
        &self,
        occasion: &Occasion<'_>,
        movement: &Movement,
        ramp_done: bool,
    ) -> Vec<WhyNot> {
        let today = occasion.today;
        let permitted: Result<_, Refusal> = self.permit(occasion, movement);
        let limited = |r: Option<&Return>| r.is_some_and(Return::has_limits);
        let reasons = [
            (self.may_begin(occasion).is_err(), WhyNot::Barred),
            (permitted.is_err(), WhyNot::NotOffered),
            (self.age(today) == Age::Minor, WhyNot::Minor),
            (self.age(today) == Age::Unknown, WhyNot::AgeUnknown),
            (self.open_flags(today).next().is_some(), WhyNot::FlagOpen),
            (
                self.flags.iter().any(|f| limited(self.return_for(f, today)))
                    || self.surgery.iter().any(|s: &Surgery| s.limits_hold(today)),
                WhyNot::LimitOfCare,
            ),
            (self.maternity.is_some(), WhyNot::Maternity),
            (self.breath.any(), WhyNot::BreathHold),
            (self.screened(occasion.rules, today).intensity < Intensity::Any, WhyNot::Screening),
            (permitted.is_ok_and(|ease| ease.discomfort > 0), WhyNot::Discomfort),
            (!ramp_done, WhyNot::RampNotDone),
            (!occasion.here.caught(), WhyNot::NothingCatches),
        ];
        reasons.into_iter().filter(|(holds, _)| *holds).map(|(_, why)| why).collect()
    }

    /// Whether the heaviest work in a movement may be offered.
    ///
    /// # Errors
    /// The first reason why not.
    pub fn heaviest_allowed(
        &self,
        occasion: &Occasion<'_>,
        movement: &Movement,
        ramp_done: bool,
    ) -> Result<(), WhyNot> {
        self.why_not_heaviest(occasion, movement, ramp_done).into_iter().next().map_or(Ok(()), Err)
    }
}
