//! What keeps a lifter from harm: flags and the return, the screening, limits, cautions, and what a limit, a
//! discomfort or training alone takes out or eases. Nothing here diagnoses.
//!
//! `docs/safety.md` lists every rule with its source and the test that tries to get round it.

mod cautions;
mod fault;
mod flags;
mod heaviest;
mod life;
mod never_say;
mod pain;
mod permit;
mod returns;
mod rules;
mod screening;
mod standing;

pub use cautions::{Caution, CautionId, Collars, MOST_CAUTIONS, bail_out_due, cautions_for, collars};
pub use fault::{FaultCode, SafetyFault};
pub use flags::{AskedOf, Care, Confirmed, Consequence, Flag, FlagHeld, Raised, raise};
pub use heaviest::WhyNot;
pub use life::{Age, CareLimits, Discomfort, GuardianGrant, Maternity, Surgery, SurgeryLimits};
pub use never_say::{NEVER_SAY, Phrase, never_said};
pub use pain::{PainStep, on_pain};
pub use permit::{Circumstances, Ease, Refusal, Sore, permit};
pub use returns::{LONGEST_LIMITS, LONGEST_NAME, NO_LIMITS, Return, ReturnAnswers};
pub use rules::Rules;
pub use screening::{Answers, Asked, Clearance, Intensity, Outcome, Row};
pub use standing::{Barred, BreathHistory, Here, Occasion, Standing};
