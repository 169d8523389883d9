//! Odd briefs: each gets a useful answer with its exact notices, keeps every hard limit, and is never met
//! with silence.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::needless_pass_by_value)]

mod kit_and_time;
mod limits;
mod wishes;

use std::sync::OnceLock;

use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::{Notice, read_brief};
use plinth_core::plan::filter::Removal;
use plinth_core::plan::model;
use plinth_core::plan::programme::Programme;
use plinth_core::plan::sample::KITS;
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Planner, Solved, Weights};
use plinth_core::words::{self, Language, Speech};
use serde_json::{Value, json};

fn catalogue() -> &'static Catalogue {
    static CATALOGUE: OnceLock<Catalogue> = OnceLock::new();
    CATALOGUE.get_or_init(|| Catalogue::builtin().expect("the catalogue is sound"))
}

fn kit(name: &str) -> Value {
    json!(KITS.iter().find(|k| k.0 == name).unwrap_or_else(|| panic!("{name}")).1)
}

/// A plain brief: three days of an hour in a gym, for size and strength; `with` puts fields over it.
fn brief(with: Value) -> Value {
    let mut brief = json!({
        "days": 3, "minutes": 60, "goal": { "strength": 50, "size": 50 }, "training_age": "intermediate",
        "equipment": kit("gym"), "limits": { "screening": "answered_no_limit" }
    });
    for (key, value) in with.as_object().expect("fields") {
        brief[key] = value.clone();
    }
    brief
}

/// An answered brief.
struct Answered {
    catalogue: Catalogue,
    solved: Solved,
    programme: Programme,
    notices: Vec<Notice>,
}

/// Solves a brief and checks what every answer must keep.
fn answer(with: Value) -> Answered {
    let text = brief(with).to_string();
    let (brief, catalogue) = read_brief(text.as_bytes(), catalogue()).unwrap_or_else(|f| panic!("{f:?}"));
    let weights = Weights::builtin().expect("the weights are sound");
    let planner = Planner::new(&catalogue, &weights);
    let solved = planner.solve(&brief, Effort::QUICK, &mut |_| true);
    let answer = planner.programme(&brief, &solved);
    let programme = answer.programme;

    let broken = model::broken_limits(&solved.case.instance, &solved.week);
    assert!(broken.is_empty(), "{broken:?}");
    assert_eq!(programme.days.len(), brief.days as usize);
    assert_eq!(programme.block.len(), brief.weeks as usize);
    for (d, day) in programme.days.iter().enumerate() {
        assert!(day.seconds <= 60 * brief.minutes_of(d) as i32, "day {d}: {} s", day.seconds);
        for line in &day.lines {
            let m = catalogue.find(&line.movement).expect("a movement");
            assert!(solved.case.eases[m].is_some(), "{} is out", line.movement);
        }
    }
    let empty = programme.days.iter().any(|d| d.lines.is_empty());
    assert!(!empty || !answer.notices.is_empty(), "an empty day and not a word");
    Answered { catalogue, solved, programme, notices: answer.notices }
}

impl Answered {
    /// The notice is there, once, and reads so.
    fn tells_once(&self, notice: &Notice, sentence: &str) {
        assert_eq!(self.notices.iter().filter(|n| *n == notice).count(), 1, "{:?}", self.notices);
        let english = Speech::new(Language::English);
        assert_eq!(words::notice(&english, &self.catalogue, notice), sentence);
    }

    /// Sessions of a movement.
    fn often(&self, id: &str) -> usize {
        self.programme.days.iter().flat_map(|d| &d.lines).filter(|l| l.movement == id).count()
    }

    fn lines(&self) -> usize {
        self.programme.days.iter().map(|d| d.lines.len()).sum()
    }

    fn minutes(&self) -> Vec<i32> {
        self.programme.days.iter().map(|d| (d.seconds + 59) / 60).collect()
    }

    /// Movements of each day.
    fn sizes(&self) -> Vec<usize> {
        self.programme.days.iter().map(|d| d.lines.len()).collect()
    }

    /// Why a movement is out, `None` when it is not.
    fn why_out(&self, id: &str) -> Option<&Removal> {
        let m = self.catalogue.find(id).unwrap();
        self.solved.case.removed.iter().find(|(x, _)| *x == m).map(|(_, why)| why)
    }

    /// Half-sets of a muscle in the week.
    fn half_sets(&self, muscle: &str) -> i32 {
        let v = self.programme.weekly_sets.iter().find(|v| v.muscle == muscle).unwrap();
        v.direct + v.shared
    }

    /// Muscles below their minimum.
    fn short(&self) -> Vec<&str> {
        let below = |v: &&plinth_core::plan::programme::MuscleVolume| v.direct + v.shared < v.minimum;
        self.programme.weekly_sets.iter().filter(below).map(|v| v.muscle.as_str()).collect()
    }

    /// Base groups that are told to be out of reach, with `true` when by choice.
    fn groups_out(&self) -> Vec<(&str, bool)> {
        self.notices
            .iter()
            .filter_map(|n| match n {
                Notice::GroupUnavailable { group, by_choice } => Some((group.as_str(), *by_choice)),
                _ => None,
            })
            .collect()
    }

    /// Muscles that are told to be out of reach.
    fn muscles_out(&self) -> Vec<&str> {
        self.notices
            .iter()
            .filter_map(|n| match n {
                Notice::MuscleUnavailable { muscle } => Some(muscle.as_str()),
                _ => None,
            })
            .collect()
    }
}
