//! The parts of a lifter's standing that come from life: age, pregnancy and birth, operations, discomforts.

use super::returns::NO_LIMITS;
use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// Days after which a minor's joint pain counts as lasting (common practice, no source).
pub(super) const LASTING_PAIN_DAYS: i64 = 7;

/// How old a lifter is, as far as safety asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Age {
    /// Not told: no heaviest work.
    Unknown,
    /// Under 18, or under the age of the place.
    Minor,
    /// An adult.
    Adult,
}

/// A guardian's grant for a minor.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GuardianGrant {
    /// Who gave it.
    pub by: String,
    /// From this day on.
    pub from: NaiveDate,
    /// To this day, both counted.
    #[serde(default)]
    pub until: Option<NaiveDate>,
    /// Whether it was withdrawn.
    #[serde(default)]
    pub withdrawn: bool,
}

impl GuardianGrant {
    /// Whether it holds on a day.
    pub fn in_force(&self, today: NaiveDate) -> bool {
        !self.withdrawn
            && !self.by.trim().is_empty()
            && self.from <= today
            && self.until.is_none_or(|until| today <= until)
    }
}

/// Limits that a clinician set for pregnancy or the time after birth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CareLimits {
    /// Who set them, in the lifter's words.
    pub advised_by: String,
    /// When.
    pub advised_on: NaiveDate,
    /// The day of review: past it the cautious default holds again.
    pub review_on: NaiveDate,
    /// Lying on the back was allowed.
    #[serde(default)]
    pub back_allowed: bool,
    /// Lying on the front was allowed.
    #[serde(default)]
    pub front_allowed: bool,
    /// Only light to moderate work was allowed.
    #[serde(default)]
    pub light_to_moderate: bool,
    /// Ids of regions that are to be left out.
    #[serde(default)]
    pub regions_out: Vec<String>,
    /// The limits in words, or `none`.
    pub text: String,
}

/// Pregnancy, or the time after a birth. Private and voluntary: absent unless the lifter told it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Maternity {
    /// The day of the birth, once it was.
    pub birth_on: Option<NaiveDate>,
    /// The clinician's limits.
    pub limits: Option<CareLimits>,
}

impl Maternity {
    /// Whether the birth has been.
    pub fn after_birth(&self, today: NaiveDate) -> bool {
        self.birth_on.is_some_and(|on| on <= today)
    }

    /// The clinician's limits while they hold: not before they were set, not past their review, and not across
    /// the birth, which closes what was cleared before it.
    pub fn limits_in_force(&self, today: NaiveDate) -> Option<&CareLimits> {
        self.limits.as_ref().filter(|l| {
            l.advised_on <= today
                && today <= l.review_on
                && !l.advised_by.trim().is_empty()
                && self.birth_on.is_none_or(|birth| l.advised_on > birth)
        })
    }
}

/// The surgeon's written limits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurgeryLimits {
    /// Who wrote them, in the lifter's words.
    pub advised_by: String,
    /// When.
    pub advised_on: NaiveDate,
    /// The limits in words, or `none`.
    pub text: String,
    /// They forbid loading the region.
    #[serde(default)]
    pub still_out: bool,
}

/// An operation. No timelines of ours: only the surgeon's written limits give the region back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Surgery {
    /// Id of the region.
    pub region: String,
    /// The day of the operation.
    pub on: NaiveDate,
    /// The written limits, once entered.
    #[serde(default)]
    pub limits: Option<SurgeryLimits>,
}

impl Surgery {
    /// The written limits where they count: set by someone, in words, not to come and not before the operation.
    pub fn limits_entered(&self, today: NaiveDate) -> Option<&SurgeryLimits> {
        self.limits.as_ref().filter(|l| {
            l.advised_on >= self.on
                && l.advised_on <= today
                && !l.advised_by.trim().is_empty()
                && !l.text.trim().is_empty()
        })
    }

    /// Whether limits hold, entered or not.
    pub(super) fn limits_hold(&self, today: NaiveDate) -> bool {
        self.limits_entered(today).is_none_or(|l| l.still_out || l.text.trim() != NO_LIMITS)
    }
}

/// A discomfort.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Discomfort {
    /// Id of the region.
    pub region: String,
    /// 1 mild, 2 moderate, 3 severe.
    pub severity: u8,
    /// New or worse, not the lifter's usual.
    pub new_or_worse: bool,
    /// Since when, if told.
    #[serde(default)]
    pub since: Option<NaiveDate>,
    /// Until when, once it is over.
    #[serde(default)]
    pub until: Option<NaiveDate>,
}

impl Discomfort {
    /// Whether it is there on a day.
    pub(super) fn on(&self, today: NaiveDate) -> bool {
        self.until.is_none_or(|until| today <= until)
    }

    /// Whether it has lasted so long that a minor should ask licensed care.
    pub(super) fn lasting(&self, today: NaiveDate) -> bool {
        self.since.is_some_and(|since| (today - since).num_days() > LASTING_PAIN_DAYS)
    }
}
