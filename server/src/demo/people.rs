//! Who is there: five invented lifters, each with something else for a coach to see.

use super::body::Body;
use super::training::{Happening, Training};
use super::{COACH, DemoFault};
use chrono::{Days, NaiveDate};
use plinth_core::load::kit::Kit;
use plinth_core::moment::Moment;
use plinth_core::progress::volume::monday;
use plinth_core::record::Entry;
use plinth_core::words::Speech;
use serde_json::{Value, json};
use std::thread;

/// Weeks that are trained before this one.
const WEEKS: u64 = 11;
/// Since so many days nothing is heard of the last one.
const SILENT_DAYS: u64 = 9;

/// A lifter with a record as their phone holds it.
#[derive(Debug)]
pub struct Lifter {
    /// The account.
    pub account: String,
    /// The record.
    pub entries: Vec<Entry>,
    /// Days since their phone was heard last.
    pub silent_days: u64,
}

/// What makes a lifter.
struct Plan {
    number: u32,
    seed: u64,
    body: Body,
    /// What differs from the brief that all share.
    brief: Value,
    weeks: u64,
    silent_days: u64,
    may: &'static [&'static str],
    happens: Vec<Happening>,
    note: Option<&'static str>,
}

const MOST: &[&str] = &["log", "discomfort", "body_mass", "programmes", "notes"];

fn plans() -> Result<[Plan; 5], DemoFault> {
    let body = |squat_kg, mass_kg, gain, stray| Body { squat_kg, mass_kg, gain, stray };
    let best = |movement: &str, load: &str, reps: u32| json!({ "movement": movement, "load": load, "reps": reps, "reserve": 1 });
    let pounds = Kit::starting("gym_lb").map_err(|e| DemoFault::Data(e.to_string()))?;
    let pounds = serde_json::to_value(pounds).map_err(|e| DemoFault::Data(e.to_string()))?;
    let of = |number, body, brief| Plan {
        number,
        seed: 4_200 + u64::from(number),
        body,
        brief,
        weeks: WEEKS,
        silent_days: 0,
        may: MOST,
        happens: Vec::new(),
        note: None,
    };
    Ok([
        // Gains week by week; there is a note of theirs to read.
        Plan {
            note: Some("demo-note"),
            ..of(
                1,
                body(125.0, 78.0, 0.012, 0.01),
                json!({ "days": 3, "bests": [best("barbell_back_squat", "105 kg", 5), best("barbell_bench_press", "75 kg", 5)] }),
            )
        },
        // Gains nothing, trains in pounds, and is in the last week of the programme. A plateau is named of the bench press on
        // whichever weekday the house is opened.
        of(
            2,
            body(150.0, 90.0, 0.0, 0.005),
            json!({
                "days": 3, "weeks": 6, "kit": pounds, "body_mass": "198 lb",
                "bests": [best("barbell_back_squat", "285 lb", 5), best("barbell_bench_press", "205 lb", 5)],
            }),
        ),
        // A knee that hurts since the last session.
        Plan {
            happens: vec![Happening::Hurts("knee")],
            ..of(
                3,
                body(95.0, 64.0, 0.006, 0.02),
                json!({ "weeks": 4, "bests": [best("barbell_back_squat", "80 kg", 5)] }),
            )
        },
        // A red flag that ended the last session.
        Plan {
            happens: vec![Happening::Flag("giving_way", "knee")],
            ..of(
                4,
                body(110.0, 72.0, 0.005, 0.02),
                json!({ "bests": [best("barbell_back_squat", "92.5 kg", 5), best("conventional_deadlift", "120 kg", 5)] }),
            )
        },
        // A beginner with few sessions, not heard from since; grants less.
        Plan {
            weeks: 2,
            silent_days: SILENT_DAYS,
            may: &["log"],
            ..of(
                5,
                body(50.0, 60.0, 0.02, 0.03),
                json!({ "minutes": 40, "training_age": "novice", "weeks": 6 }),
            )
        },
    ])
}

/// The brief that all share, with what differs.
fn brief(speech: &Speech, differs: &Value) -> Value {
    let mut brief = json!({
        "title": speech.say("demo-brief", &[]),
        "days": 2, "minutes": 40, "weeks": 5,
        "goal": { "strength": 60, "size": 30, "health": 10 },
        "training_age": "intermediate",
        "equipment": [
            "barbell", "rack", "bench", "dumbbells", "cable", "pulldown", "leg_press", "leg_curl_machine",
        ],
        "limits": { "screening": "answered_no_limit" },
        "alone": false, "safeties": true,
    });
    if let (Some(all), Some(differs)) = (brief.as_object_mut(), differs.as_object()) {
        all.extend(differs.clone());
    }
    brief
}

/// Trains all five up to yesterday and gives their records.
///
/// # Errors
/// [`DemoFault::Record`] and [`DemoFault::Data`]: defects of the build, or no memory.
pub fn lifters(speech: &Speech, now: &Moment) -> Result<Vec<Lifter>, DemoFault> {
    let plans = plans()?;
    thread::scope(|scope| {
        let all: Vec<_> = plans.iter().map(|plan| scope.spawn(move || trained(speech, plan, now))).collect();
        all.into_iter()
            .map(|one| one.join().map_err(|_| DemoFault::Data("a simulated lifter broke off".into()))?)
            .collect()
    })
}

fn trained(speech: &Speech, plan: &Plan, now: &Moment) -> Result<Lifter, DemoFault> {
    let today = now.local().date_naive();
    let back = |from: NaiveDate, days| from.checked_sub_days(Days::new(days)).unwrap_or(from);
    let last = back(today, plan.silent_days + 1);
    let first = back(monday(last), 7 * plan.weeks);
    let number = plan.number.to_string();
    let name = speech.say("demo-lifter", &[("n", (&number).into())]);
    let mut training = Training::begin(plan.seed, plan.body.clone(), now, first)?;
    training.introduce(&name, &brief(speech, &plan.brief))?;
    training.until(last, &plan.happens)?;
    training.grant(COACH, plan.may)?;
    if let Some(note) = plan.note {
        training.note(&speech.say(note, &[]))?;
    }
    Ok(Lifter {
        account: format!("lifter-{number}"),
        entries: training.entries()?,
        silent_days: plan.silent_days,
    })
}
