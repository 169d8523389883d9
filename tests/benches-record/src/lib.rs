//! What the benches of the record share: an invented lifter in mid-session, and a log of many sets.
//!
//! The package stands apart so that its heavy dependencies are built for the benches only.

use plinth_core::companion::Companion;
use plinth_core::floor::{Company, Event};
use plinth_core::moment::Moment;
use plinth_core::plan::brief::Brief;
use plinth_core::record::{
    ClosedBy, Edit, EntryId, LoadDone, Measure, Outcome, Purpose, ReserveDone, SessionFields, SetFields,
    Time, View,
};
use plinth_core::store::{Store, system_random};
use plinth_core::words::Language;
use plinth_tests::Data;
use std::error::Error;
use std::path::Path;

/// What went wrong; a bench stops at it.
pub type Fault = Box<dyn Error>;

const BRIEF: &str = include_str!("../../../server/data/example-brief.json");
/// The invented afternoon on which the benches open the record.
const TODAY_MS: i64 = 1_777_800_000_000;
/// Sets of a session.
pub const SESSION: u64 = 20;
/// Days between two sessions, in turn, so that there are three in a week.
const APART: [u64; 3] = [2, 2, 3];

/// Seconds after the afternoon's beginning.
pub fn at(seconds: i64) -> Moment {
    Moment {
        wall_ms: TODAY_MS + seconds * 1000,
        offset_min: 120,
        monotonic_ms: 10_000_000 + u64::try_from(seconds).unwrap_or(0) * 1000,
        boot: "b".into(),
    }
}

/// Opens a companion.
///
/// # Errors
/// Those of the companion.
pub fn open(path: &Path) -> Result<Companion, Fault> {
    Ok(Companion::open(path, Language::English, &at(0), Box::new(system_random))?.companion)
}

/// A companion with the example brief and a programme solved from it.
///
/// # Errors
/// Those of the companion.
pub fn lifter(path: &Path) -> Result<Companion, Fault> {
    let brief: Brief = serde_json::from_str(BRIEF)?;
    let programme = serde_json::to_vec(&Data::builtin()?.publish(&brief))?;
    let mut companion = open(path)?;
    companion.tell_brief(BRIEF.as_bytes(), &at(0))?;
    companion.take_on(&programme, "own", at(0).local().date_naive(), &at(0))?;
    Ok(companion)
}

/// Begins a session and does sets as written; the moment after them.
///
/// # Errors
/// Those of the companion, and a floor that takes no set.
pub fn train(companion: &mut Companion, sets: usize) -> Result<i64, Fault> {
    for event in [
        Event::ChooseDay { day: Some(0) },
        Event::Company { company: Company::Spotted },
        Event::Safeties { there: true },
        Event::Begin,
        Event::WarmUpSkipped,
    ] {
        companion.dispatch(&event, &at(0))?;
    }
    let (mut done, mut now) = (0, 0);
    for _ in 0..10 * sets {
        now += 400;
        for event in [Event::Done, Event::DoneWith { reserve: 1, form_changed: false }] {
            if done < sets && companion.dispatch(&event, &at(now))?.refused.is_none() {
                done += 1;
                break;
            }
        }
    }
    if done < sets { Err(format!("only {done} sets could be done").into()) } else { Ok(now) }
}

/// The nth set of a log of `many`, the last of them a day before the afternoon, as the floor writes one.
pub fn set(n: u64, many: u64, movements: &[String]) -> Edit {
    let (began, id) = (began_ms(n / SESSION, many), set_id(n, many));
    let ended = moment_of(began + 300_000 + n % SESSION * 200_000);
    let movement = movements.get((n / 4) as usize % movements.len().max(1)).cloned();
    let load = format!("{}.5 kg", 40 + n / 4 % 60).parse().ok().map(|mass| LoadDone::Bar { mass });
    SetFields {
        session: Some(session_id(n / SESSION, many)),
        movement,
        purpose: Some(if n.is_multiple_of(4) { Purpose::WarmUp } else { Purpose::Working }),
        measure: Some(Measure::Repetitions),
        line: Some((n % SESSION / 4) as u32),
        number: Some(1 + (n % 4) as u32),
        planned: Some(true),
        as_written: Some(!n.is_multiple_of(5)),
        low: Some(5),
        high: Some(8),
        target_reserve: Some(2),
        asked_load: load.clone(),
        load,
        amount: Some(5 + (n % 4) as u32),
        reserve: Some(if n.is_multiple_of(3) {
            ReserveDone::NotReported
        } else {
            ReserveDone::Reps((n % 4) as u32)
        }),
        outcome: Some(Outcome::Done),
        ended_at: Some(Time::of(&ended)),
        rest_s: Some(150),
        ..SetFields::default()
    }
    .edit(id)
}

/// The nth session of a log of `many` sets.
pub fn session(n: u64, many: u64) -> Edit {
    let began = began_ms(n, many);
    SessionFields {
        begun_at: Some(Time::of(&moment_of(began))),
        ended_at: Some(Time::of(&moment_of(began + 4_500_000))),
        closed_by: Some(ClosedBy::Lifter),
        ..SessionFields::default()
    }
    .edit(session_id(n, many))
}

/// Writes a log of `many` sets with its sessions.
///
/// # Errors
/// Those of the store.
pub fn fill(store: &mut Store, many: u64, movements: &[String]) -> Result<(), Fault> {
    let sessions: Vec<Edit> = (0..many.div_ceil(SESSION)).map(|n| session(n, many)).collect();
    store.write(&sessions, None, &at(0))?;
    for from in (0..many).step_by(5_000) {
        let sets: Vec<Edit> = (from..many.min(from + 5_000)).map(|n| set(n, many, movements)).collect();
        store.write(&sets, None, &at(0))?;
    }
    Ok(())
}

fn began_ms(session: u64, many: u64) -> u64 {
    let back = many.div_ceil(SESSION) - session;
    let days = 1 + back / 3 * APART.iter().sum::<u64>() + APART.iter().take((back % 3) as usize).sum::<u64>();
    TODAY_MS.unsigned_abs() - days * 86_400_000
}

fn moment_of(ms: u64) -> Moment {
    Moment { wall_ms: ms.cast_signed(), ..at(0) }
}

fn session_id(n: u64, many: u64) -> EntryId {
    EntryId::new(began_ms(n, many), [3; 10])
}

fn set_id(n: u64, many: u64) -> EntryId {
    let mut bits = [4; 10];
    bits[2..].copy_from_slice(&n.wrapping_mul(0x9e37_79b9_7f4a_7c15).to_be_bytes());
    EntryId::new(began_ms(n / SESSION, many) + 300_000 + n % SESSION * 200_000, bits)
}
