//! What a state of the floor means for the record: every entry that it holds, and the edits from one state to
//! the next. Undo is the same comparison backwards, so that it can neither lose nor double a set.

use super::state::{Company, SetDone, State};
use crate::record::{Edit, EntryId, Kind};
use crate::safety::{Confirmed, Consequence};
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;

type Fields = BTreeMap<String, Value>;

fn put(fields: &mut Fields, name: &str, value: impl Serialize) {
    // None of these types can fail to serialise; what is absent stays absent.
    match serde_json::to_value(value) {
        Ok(Value::Null) | Err(_) => {}
        Ok(v) => {
            fields.insert(name.to_owned(), v);
        }
    }
}

/// Every entry that the state holds.
pub(super) fn entries(state: &State) -> BTreeMap<EntryId, (Kind, Fields)> {
    let mut all = BTreeMap::new();
    let (Some(session), Some(began)) = (state.session, state.began.as_ref()) else { return all };
    let mut f = Fields::new();
    put(&mut f, "programme", state.programme);
    if let Some(day) = state.before.day {
        put(&mut f, "week", state.week);
        put(&mut f, "day", day);
    }
    put(&mut f, "title", &state.title);
    put(&mut f, "begun_at", began.rfc3339());
    put(&mut f, "ended_at", state.ended.as_ref().map(|e| e.at.rfc3339()));
    put(&mut f, "closed_by", state.ended.as_ref().map(|e| e.by));
    put(&mut f, "alone", state.before.company == Some(Company::Alone));
    put(&mut f, "spotter", state.before.company == Some(Company::Spotted));
    put(&mut f, "safeties", state.before.safeties);
    if state.adult_asked {
        put(&mut f, "adult_present", state.before.adult);
    }
    put(&mut f, "feeling", state.before.feeling);
    put(&mut f, "minutes_at_hand", state.before.minutes);
    put(&mut f, "kit", state.kit);
    put(&mut f, "note", &state.note);
    all.insert(session, (Kind::Session, f));
    for set in &state.sets {
        all.insert(set.id, (Kind::Set, set_fields(session, set)));
    }
    for sore in &state.sore {
        let mut f = Fields::new();
        put(&mut f, "region", &sore.region);
        put(&mut f, "severity", sore.severity);
        put(&mut f, "nature", sore.nature);
        put(&mut f, "since", sore.since.rfc3339());
        all.insert(sore.id, (Kind::Discomfort, f));
    }
    for flag in &state.flags {
        // Safety's own form of it, with the seal that no later edit takes away.
        let confirmed = Confirmed {
            flag: flag.flag.clone(),
            tier: flag.tier,
            region: flag.region.clone(),
            raised_at: flag.raised.rfc3339(),
            session: Some(session.to_string()),
            consequence: Consequence::CloseSession { care: flag.care },
        };
        let mut f = confirmed.fields();
        put(&mut f, "confirmed_at", flag.confirmed.rfc3339());
        all.insert(flag.id, (Kind::Flag, f));
    }
    all
}

fn set_fields(session: EntryId, s: &SetDone) -> Fields {
    let mut f = Fields::new();
    put(&mut f, "session", session);
    put(&mut f, "movement", &s.movement);
    put(&mut f, "line", s.line);
    put(&mut f, "number", s.number);
    put(&mut f, "purpose", s.purpose);
    put(&mut f, "outcome", s.outcome);
    put(&mut f, "side", s.side);
    put(&mut f, "load", &s.load);
    put(&mut f, "amount", s.amount);
    put(&mut f, "measure", s.measure.word());
    f.insert("reserve".into(), s.reserve.map_or_else(|| json!("not_reported"), |n| json!({ "reps": n })));
    put(&mut f, "low", s.low);
    put(&mut f, "high", s.high);
    put(&mut f, "target_reserve", s.target_reserve);
    put(&mut f, "asked_load", &s.asked_load);
    put(&mut f, "started_at", s.started.as_ref().map(crate::moment::Moment::rfc3339));
    put(&mut f, "ended_at", s.ended.rfc3339());
    put(&mut f, "rest_s", s.rest_s);
    put(&mut f, "as_written", s.as_written);
    put(&mut f, "planned", s.planned);
    if s.deleted {
        f.insert("deleted".into(), json!(true));
    }
    f
}

/// What to write so that the record of `before` becomes that of `after`. A field that is no longer there is
/// written as null; an entry that is no longer there is deleted.
pub(super) fn edits(before: &State, after: &State) -> Vec<Edit> {
    let (old, new) = (entries(before), entries(after));
    let mut out = Vec::new();
    for (id, (kind, fields)) in &new {
        let mut changed = fields.clone();
        if let Some((_, was)) = old.get(id) {
            changed.retain(|name, value| was.get(name) != Some(value));
            for name in was.keys().filter(|n| !fields.contains_key(*n)) {
                let none = if name == "deleted" { json!(false) } else { Value::Null };
                changed.insert(name.clone(), none);
            }
        }
        if !changed.is_empty() {
            out.push(Edit { id: *id, kind: kind.clone(), fields: changed });
        }
    }
    for (id, (kind, _)) in old.iter().filter(|(id, _)| !new.contains_key(id)) {
        out.push(Edit::delete(*id, kind.clone()));
    }
    out
}
