//! "It hurts": my usual is told apart from new or worse.

use super::permit::{Circumstances, Ease, Sore, permit};
use crate::catalogue::Movement;

/// What follows for the movement at hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PainStep {
    /// Usual and mild enough: it goes on, eased.
    Ease(Ease),
    /// Usual, and the movement asks too much of it: another takes its place.
    Replace,
    /// New or worse: the movement stops, and what loads the region stays out until care was taken.
    Stop,
}

/// What a discomfort reported during a movement leads to.
pub fn on_pain(movement: &Movement, around: &Circumstances, sore: Sore) -> PainStep {
    if sore.new_or_worse {
        // Also where the catalogue sees no load on the region: the lifter feels what the catalogue does not know.
        return PainStep::Stop;
    }
    let mut now = around.clone();
    now.sore.push(sore);
    permit(movement, &now).map_or(PainStep::Replace, PainStep::Ease)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;

    #[test]
    fn new_or_worse_stops_every_movement_and_usual_never_goes_on_unchanged_where_it_loads() {
        let c = Catalogue::builtin().unwrap();
        for m in &c.movements {
            for region in 0..c.regions.len() {
                for severity in 1..=3 {
                    let step = |new_or_worse| {
                        let sore = Sore { region, severity, new_or_worse };
                        on_pain(m, &Circumstances::default(), sore)
                    };
                    assert_eq!(step(true), PainStep::Stop);
                    match step(false) {
                        PainStep::Ease(ease) => assert_eq!(ease.discomfort, severity * m.flag(region)),
                        PainStep::Replace => assert!(m.flag(region) > 0),
                        PainStep::Stop => panic!("{}: usual does not stop", m.id),
                    }
                }
            }
        }
    }
}
