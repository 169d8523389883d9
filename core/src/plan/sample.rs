//! Briefs of invented lifters, drawn from a seed: the corpus on which the plan is judged.

use super::brief::{
    Brief, Discomfort, Goal, Limits, Minutes, Nature, Screening, Severity, TrainingAge, Weekday, Wish,
    WishKind,
};
use super::search::Random;
use crate::catalogue::Catalogue;

/// Named collections of kit, from much to none.
pub const KITS: [(&str, &[&str]); 8] = [
    (
        "gym",
        &[
            "barbell",
            "rack",
            "bench",
            "dumbbells",
            "kettlebell",
            "cable",
            "pulldown",
            "cable_row",
            "leg_press",
            "leg_curl_machine",
            "leg_extension_machine",
            "calf_machine",
            "fly_machine",
            "hip_machine",
            "pull_up_bar",
            "dip_bars",
            "box",
            "back_extension_bench",
            "bands",
            "trap_bar",
            "row_machine",
            "chest_press_machine",
            "shoulder_press_machine",
            "guided_bar",
            "hack_squat_machine",
            "seated_calf_machine",
            "bar_pivot",
            "rings",
            "wheel",
            "blocks",
            "belt_squat_machine",
        ],
    ),
    (
        "small gym",
        &[
            "barbell",
            "rack",
            "bench",
            "dumbbells",
            "cable",
            "pulldown",
            "leg_press",
            "leg_curl_machine",
            "pull_up_bar",
        ],
    ),
    ("garage", &["barbell", "rack", "bench", "pull_up_bar", "dumbbells"]),
    ("barbell room", &["barbell", "rack", "bench", "pull_up_bar", "dip_bars", "blocks", "trap_bar", "box"]),
    ("dumbbells", &["dumbbells", "bench", "bands", "box"]),
    ("one kettlebell", &["kettlebell", "pull_up_bar", "bands"]),
    (
        "machines",
        &[
            "leg_press",
            "leg_curl_machine",
            "leg_extension_machine",
            "chest_press_machine",
            "shoulder_press_machine",
            "pulldown",
            "cable_row",
            "cable",
            "calf_machine",
            "hip_machine",
            "fly_machine",
            "row_machine",
        ],
    ),
    ("floor", &["box", "bands"]),
];

/// The brief of seed `seed`.
pub fn sample_brief(seed: u64, catalogue: &Catalogue) -> Brief {
    let mut r = Random::new(seed.wrapping_add(77_777));
    let days = [1, 2, 2, 3, 3, 3, 3, 4, 4, 4, 5, 6][r.below(12)];
    let kit = [0, 0, 0, 1, 1, 2, 2, 3, 4, 4, 5, 6, 7][r.below(13)];
    let (kit_name, kit) = KITS[kit];
    let goal = [(50, 50, 0), (100, 0, 0), (0, 100, 0), (0, 0, 100), (30, 70, 0), (30, 30, 40), (60, 20, 20)]
        [r.below(7)];
    let training_age =
        [TrainingAge::Novice, TrainingAge::Intermediate, TrainingAge::Intermediate, TrainingAge::Advanced]
            [r.below(4)];
    let minutes = [20, 30, 40, 45, 45, 50, 60, 60, 60, 75, 75, 90][r.below(12)];
    let minutes = if r.below(6) == 0 {
        Minutes::Each((0..days).map(|_| minutes.max(20) - 10 * r.below(2) as u32).collect())
    } else {
        Minutes::Same(minutes)
    };
    let mut weekdays = Vec::new();
    if r.below(4) == 0 {
        for _ in 0..=days {
            weekdays.push(Weekday::ALL[r.below(7)]);
        }
    }
    let mut discomforts: Vec<Discomfort> = Vec::new();
    if r.below(3) == 0 {
        for _ in 0..=r.below(2) {
            let region = catalogue.regions[r.below(catalogue.regions.len())].id.clone();
            if discomforts.iter().all(|d| d.region != region) {
                discomforts.push(Discomfort {
                    region,
                    severity: [Severity::Mild, Severity::Mild, Severity::Moderate, Severity::Severe]
                        [r.below(4)],
                    nature: if r.below(5) == 0 { Nature::NewOrWorse } else { Nature::Usual },
                });
            }
        }
    }
    let limits = Limits {
        screening: if r.below(10) == 0 { Screening::Unanswered } else { Screening::AnsweredNoLimit },
        stiff_ankles: r.below(8) == 0,
        no_lying_on_back: r.below(25) == 0,
        no_lying_on_front: r.below(25) == 0,
        no_long_breath_hold: r.below(20) == 0,
        no_maximal_lifts: r.below(25) == 0,
        minor: r.below(25) == 0,
        after_surgery: Vec::new(),
        regions_out: Vec::new(),
    };
    let mut priorities = Vec::new();
    for _ in 0..[0, 0, 0, 1, 2][r.below(5)] {
        priorities.push(catalogue.muscles[r.below(catalogue.muscles.len())].id.clone());
    }
    let mut wishes: Vec<Wish> = Vec::new();
    for _ in 0..[0, 0, 1, 1, 2, 3][r.below(6)] {
        let movement = catalogue.movements[r.below(catalogue.movements.len())].id.clone();
        let wish = [WishKind::Require, WishKind::Prefer, WishKind::Prefer, WishKind::Avoid, WishKind::Forbid]
            [r.below(5)];
        let times = (matches!(wish, WishKind::Require) && r.below(4) == 0).then_some(2);
        if wishes.iter().all(|w| w.movement.as_ref() != Some(&movement)) {
            wishes.push(Wish { wish, movement: Some(movement), pattern: None, times });
        }
    }
    let carrying = (r.below(6) == 0 && kit.contains(&"barbell") && kit.contains(&"rack")).then(|| {
        ["barbell_back_squat", "barbell_bench_press", "conventional_deadlift", "barbell_row"]
            .map(String::from)
            .to_vec()
    });
    Brief {
        format: "plinth.brief/1".into(),
        title: format!("Invented lifter {seed}, {kit_name}"),
        days,
        weekdays,
        minutes,
        goal: Goal { strength: goal.0, size: goal.1, health: goal.2 },
        training_age,
        age_years: Some([19, 27, 34, 42, 55, 66][r.below(6)]),
        equipment: kit.iter().map(ToString::to_string).collect(),
        discomforts,
        limits,
        priorities,
        muscle_sets: Vec::new(),
        carrying,
        wishes,
        in_turn: r.below(4) == 0,
        alone: r.below(3) == 0,
        safeties: r.below(2) == 0,
        bests: Vec::new(),
        body_mass: None,
        kit: None,
        weeks: 4 + r.below(3) as u32,
        own_movements: Vec::new(),
    }
}
