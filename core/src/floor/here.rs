//! What the session knows of company, for whoever asks safety beside it.

use super::Floor;
use super::state::Company;
use crate::safety::Here;

impl Floor {
    /// What was answered for this session; what was not counts as the more cautious.
    pub fn here(&self) -> Here {
        let before = &self.state.before;
        let spotted = before.company == Some(Company::Spotted);
        Here {
            alone: !spotted,
            spotter: spotted,
            safeties: before.safeties == Some(true),
            adult_present: before.adult,
        }
    }
}

impl Floor {
    /// When the session that is shown ended, once it has.
    pub fn ended_at(&self) -> Option<&crate::moment::Moment> {
        self.state.ended.as_ref().map(|e| &e.at)
    }
}
