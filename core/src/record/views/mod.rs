//! What the fields of each known kind hold, as types.
//!
//! Every field is optional, because each is merged alone and may be emptied; a field that a newer version added is no
//! part of a view, and stays in its entry.

mod parts;
mod value;

pub use parts::{
    Advice, AfterBirth, Answer, Clearance, ClosedBy, Feeling, History, LoadDone, Measure, Nature, Outcome,
    Pregnancy, Purpose, ReserveDone, Sent, Severity, Sex, Side, Surgery, Writer,
};
pub use value::{Date, Document, Quantity, QuantityUnit, Time};

use super::fault::Reason;
use super::{Edit, Entry, EntryId, FieldFault, Kind};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The fields of one kind, as a type.
pub trait View: Sized + Default + Serialize + JsonSchema {
    /// The kind.
    const KIND: Kind;
    /// The names of its fields.
    const NAMES: &'static [&'static str];

    /// What can be read of an entry, and the fields that cannot.
    fn read(entry: &Entry) -> (Self, Vec<FieldFault>);

    /// The fields of an entry.
    ///
    /// # Errors
    /// The first field that is not what it should be, or that the entry is of another kind.
    fn of(entry: &Entry) -> Result<Self, FieldFault> {
        let (view, faults) = Self::read(entry);
        faults.into_iter().next().map_or(Ok(view), Err)
    }

    /// What is there, as an edit of the entry.
    fn edit(self, id: EntryId) -> Edit {
        let fields = match serde_json::to_value(&self) {
            Ok(serde_json::Value::Object(members)) => members.into_iter().collect(),
            // A view serialises to an object; its parts are texts, numbers and lists of them.
            _ => BTreeMap::new(),
        };
        Edit { id, kind: Self::KIND, fields }
    }
}

macro_rules! views {
    ($( $(#[$about:meta])* $name:ident: $kind:ident { $( $(#[$doc:meta])* $field:ident: $type:ty, )* } )*) => {
        $(
            $(#[$about])*
            #[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
            #[serde(default)]
            pub struct $name {
                $(
                    $(#[$doc])*
                    #[serde(skip_serializing_if = "Option::is_none")]
                    pub $field: Option<$type>,
                )*
                /// Whether it was deleted; see [`Entry::deleted`] for whether it still is.
                #[serde(skip_serializing_if = "Option::is_none")]
                pub deleted: Option<bool>,
            }

            impl View for $name {
                const KIND: Kind = Kind::$kind;
                const NAMES: &'static [&'static str] = &[$(stringify!($field),)* "deleted"];

                fn read(entry: &Entry) -> (Self, Vec<FieldFault>) {
                    let mut view = Self::default();
                    let mut faults = Vec::new();
                    if entry.kind != Kind::$kind {
                        faults.push(FieldFault {
                            entry: entry.id,
                            kind: entry.kind.clone(),
                            field: "kind".into(),
                            code: "entry_kind",
                            reason: format!("it is not of the kind {}", Kind::$kind),
                            remedy: "ask for the entry by its own kind",
                        });
                        return (view, faults);
                    }
                    $( view.$field = take(entry, stringify!($field), &mut faults); )*
                    view.deleted = take(entry, "deleted", &mut faults);
                    (view, faults)
                }
            }
        )*

        /// Whether this version knows a field.
        pub(super) fn knows(kind: &Kind, field: &str) -> bool {
            match kind {
                $( Kind::$kind => $name::NAMES.contains(&field), )*
                Kind::Other(_) => false,
            }
        }

        /// Whether a canonical text is what a known field holds; [`None`] for a field that this version does not know.
        pub(super) fn check(kind: &Kind, field: &str, text: &str) -> Option<Result<(), Reason>> {
            match kind {
                $( Kind::$kind => match field {
                    $( stringify!($field) => Some(fits::<$type>(text)), )*
                    "deleted" => Some(fits::<bool>(text)),
                    _ => None,
                }, )*
                Kind::Other(_) => None,
            }
        }

        /// The schema of each known kind's view.
        pub(super) fn schemas(generator: &mut schemars::SchemaGenerator) -> Vec<(Kind, schemars::Schema)> {
            vec![$( (Kind::$kind, <$name as JsonSchema>::json_schema(generator)), )*]
        }
    };
}

fn fits<T: for<'de> Deserialize<'de>>(text: &str) -> Result<(), Reason> {
    serde_json::from_str::<Option<T>>(text).map(drop).map_err(|e| {
        let text = e.to_string();
        let text = text.rsplit_once(" at line ").map_or(text.as_str(), |(head, _)| head);
        Reason::new(
            "field_type",
            super::fault::clip_long(text),
            "give it the form that docs/record.schema.json says",
        )
    })
}

fn take<T: for<'de> Deserialize<'de>>(entry: &Entry, name: &str, faults: &mut Vec<FieldFault>) -> Option<T> {
    let field = entry.fields.get(name)?;
    field.value.read::<Option<T>>().unwrap_or_else(|e| {
        let text = e.to_string();
        faults.push(FieldFault {
            entry: entry.id,
            kind: entry.kind.clone(),
            field: name.to_owned(),
            code: "field_type",
            reason: super::fault::clip_long(
                text.rsplit_once(" at line ").map_or(text.as_str(), |(head, _)| head),
            ),
            remedy: "write the field again",
        });
        None
    })
}

views! {
    /// Who the record belongs to. Nothing here is needed to train.
    LifterFields: Lifter {
        /// What the lifter wants to be called.
        name: String,
        /// Date of birth, for the age.
        born_on: Date,
        /// For the published scores that tell the sexes apart; may stay open.
        sex: Sex,
        /// The guardian of a minor.
        guardian: String,
    }

    /// What a programme was asked for.
    BriefFields: Brief {
        /// The brief, as `plinth schema brief` says.
        document: Document,
        /// When it was made.
        made_at: Time,
    }

    /// A programme that the lifter follows, followed or may follow.
    ProgrammeFields: Programme {
        /// The programme, as `plinth schema programme` says.
        document: Document,
        /// Its title.
        title: String,
        /// When it was made.
        made_at: Time,
        /// The first day of its first week.
        starts_on: Date,
        /// When the lifter took it on.
        accepted_at: Time,
        /// Whose it is: `own`, or the coach's name.
        from: String,
        /// Its version, counted by who made it.
        version: u32,
        /// The day on which it was left or ended; of one that was never taken on, that it was put aside.
        ended_on: Date,
        /// What it became for this lifter when it was taken on, as `plinth schema programme` says; the one trained by.
        adapted: Document,
    }

    /// A session.
    SessionFields: Session {
        /// The programme that it is part of; none when unplanned.
        programme: EntryId,
        /// The week of the programme, counted from 0.
        week: u32,
        /// The training day of the week, counted from 0.
        day: u32,
        /// The day's title.
        title: String,
        /// When it began.
        begun_at: Time,
        /// When it ended.
        ended_at: Time,
        /// What closed it.
        closed_by: ClosedBy,
        /// Whether the lifter trained alone.
        alone: bool,
        /// Whether safeties were set.
        safeties: bool,
        /// Whether someone spotted.
        spotter: bool,
        /// Whether an adult was there; asked of a minor.
        adult_present: bool,
        /// How the lifter felt before.
        feeling: Feeling,
        /// Minutes at hand, as said before.
        minutes_at_hand: u32,
        /// The kit of the place.
        kit: EntryId,
        /// A note.
        note: String,
        /// Body mass on the day.
        bodyweight: Quantity,
    }

    /// A set.
    SetFields: Set {
        /// The session in which it was done.
        session: EntryId,
        /// The movement's id.
        movement: String,
        /// The line's position in the session, counted from 0.
        line: u32,
        /// Its number within the line and purpose, counted from 1.
        number: u32,
        /// Working or warm-up.
        purpose: Purpose,
        /// Done or missed.
        outcome: Outcome,
        /// The side of a one-sided movement.
        side: Side,
        /// What was lifted.
        load: LoadDone,
        /// Repetitions, seconds held or metres carried, as `measure` says.
        amount: u32,
        /// What `amount` counts.
        measure: Measure,
        /// Repetitions in reserve.
        reserve: ReserveDone,
        /// The least amount that was asked.
        low: u32,
        /// The greatest amount that was asked.
        high: u32,
        /// The repetitions in reserve that were asked.
        target_reserve: u32,
        /// The load that was asked.
        asked_load: LoadDone,
        /// When it began.
        started_at: Time,
        /// When it ended.
        ended_at: Time,
        /// Rest before it, in seconds.
        rest_s: u32,
        /// A note.
        note: String,
        /// Whether it was logged as written, with one touch.
        as_written: bool,
        /// Whether the programme asked for it.
        planned: bool,
    }

    /// A measure of the body.
    BodyMeasurementFields: BodyMeasurement {
        /// What was measured: `body_mass`, `waist` and so on.
        what: String,
        /// How much, in the unit entered.
        value: Quantity,
        /// When.
        measured_at: Time,
    }

    /// A discomfort.
    DiscomfortFields: Discomfort {
        /// The region's id.
        region: String,
        /// How much.
        severity: Severity,
        /// The lifter's usual, or new or worse.
        nature: Nature,
        /// Since when.
        since: Time,
        /// Until when.
        until: Time,
        /// A note.
        note: String,
    }

    /// A red flag that the lifter confirmed.
    FlagFields: Flag {
        /// Its id in the list of flags.
        flag: String,
        /// 1 call for help, 2 care the same day, 3 care before the region is trained again.
        tier: u32,
        /// The region's id, where it concerns one.
        region: String,
        /// When it was raised.
        raised_at: Time,
        /// The session that it closed.
        session: EntryId,
        /// When the lifter confirmed it.
        confirmed_at: Time,
    }

    /// The return after a flag.
    ReturnFields: Return {
        /// The flag.
        flag: EntryId,
        /// Who advised.
        advised_by: String,
        /// When.
        advised_on: Date,
        /// The limits, in the words of who advised.
        limits: String,
        /// Regions that stay out.
        regions_still_out: Vec<String>,
        /// When the lifter returned.
        returned_at: Time,
    }

    /// Answers to the screening (logic: Riebe et al. 2015).
    ScreeningFields: Screening {
        /// Regular exercise in the last three months.
        regular_exercise: Answer,
        /// A known cardiovascular, metabolic or renal disease.
        known_disease: Answer,
        /// Signs or symptoms that suggest one.
        signs_or_symptoms: Answer,
        /// What medical clearance was given.
        clearance: Clearance,
        /// Who gave it.
        cleared_by: String,
        /// When it was given.
        cleared_on: Date,
        /// When the lifter answered.
        answered_at: Time,
        /// Pregnancy: private and voluntary.
        pregnancy: Pregnancy,
        /// The time after a birth: private and voluntary.
        after_birth: AfterBirth,
        /// Surgery.
        surgery: Vec<Surgery>,
        /// What speaks against holding the breath.
        breath: Vec<History>,
        /// Answers to further questions, by key.
        answers: BTreeMap<String, Answer>,
    }

    /// Who may see what of the record.
    GrantFields: Grant {
        /// To whom.
        to: String,
        /// The groups of fields that may be seen.
        may: Vec<String>,
        /// From when.
        from: Time,
        /// Until when.
        until: Time,
        /// When it was withdrawn.
        withdrawn_at: Time,
    }

    /// The kit of a place.
    KitFields: Kit {
        /// The kit, as `plinth schema kit` says.
        document: Document,
        /// The place.
        place: String,
        /// Ids of the kit at hand there, as `plinth catalogue --kit` lists them.
        equipment: Vec<String>,
    }

    /// A movement of the lifter's own.
    OwnMovementFields: OwnMovement {
        /// The movement, as `plinth schema own-movement` says.
        document: Document,
    }

    /// A note.
    NoteFields: Note {
        /// The entry that it is about.
        about: EntryId,
        /// The movement that it is about.
        movement: String,
        /// What it says.
        text: String,
        /// Who wrote it.
        by: Writer,
        /// When it was written.
        written_at: Time,
        /// When it was read.
        read_at: Time,
    }

    /// A setting.
    SettingFields: Setting {
        /// Its key.
        key: String,
        /// Its value.
        value: serde_json::Value,
    }

    /// A draft in a coach's own record: never a programme that somebody trains by.
    DraftFields: Draft {
        /// Its title.
        title: String,
        /// The brief, as `plinth schema brief` says.
        brief: Document,
        /// Changes of single lines that stay when it is made anew, as `plinth price --json` writes them.
        held: Vec<serde_json::Value>,
        /// What may happen to a movement, by its id: `keep` or `may_bend`.
        marks: Document,
        /// Cues of the coach's own, by the movement's id.
        cues: Document,
        /// What was made of it last, as `plinth schema programme` says.
        programme: Document,
        /// What the programme was made of: SHA-256 of brief, held changes, marks and cues, in hexadecimal digits.
        made_of: String,
        /// When it was begun.
        made_at: Time,
    }

    /// A programme that a coach has published, in the coach's own record. Another version is another entry.
    PublicationFields: Publication {
        /// The programme, as `plinth schema programme` says.
        programme: Document,
        /// Its title.
        title: String,
        /// Its version, counted from 1 for each draft.
        version: u32,
        /// When it was published.
        made_at: Time,
        /// The draft that it is of.
        draft: EntryId,
        /// The publication whose place it takes.
        replaces: EntryId,
        /// To whom it was sent.
        sent: Vec<Sent>,
    }

    /// Lifters whom a coach keeps together, in the coach's own record.
    GroupFields: Group {
        /// What it is called.
        name: String,
        /// The accounts of its lifters.
        members: Vec<String>,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{DeviceId, Stamp};
    use super::*;
    use serde_json::json;

    fn id(n: u64) -> EntryId {
        EntryId::new(n, [0; 10])
    }

    #[test]
    fn a_view_becomes_an_edit_and_comes_back() {
        let set = SetFields {
            session: Some(id(1)),
            movement: Some("barbell_back_squat".into()),
            load: Some(LoadDone::Bar { mass: "137.5 kg".parse().unwrap() }),
            reserve: Some(ReserveDone::NotReported),
            amount: Some(5),
            ended_at: Some("2026-05-03T18:04:09.250+02:00".parse().unwrap()),
            ..SetFields::default()
        };
        let edit = set.clone().edit(id(2));
        assert_eq!(edit.fields["load"], json!({"of": "bar", "mass": "137.5 kg"}));
        assert_eq!(edit.fields["reserve"], json!("not_reported"));
        let mut entry = Entry::new(id(2), Kind::Set);
        entry.write(&edit, Stamp { millis: 1, counter: 0, device: DeviceId::new(1) }).unwrap();
        assert_eq!(SetFields::of(&entry), Ok(set));
        assert!(NoteFields::of(&entry).is_err());
    }

    #[test]
    fn an_emptied_field_is_absent() {
        let mut entry = Entry::new(id(2), Kind::Set);
        let edit = Edit { id: id(2), kind: Kind::Set, fields: BTreeMap::new() };
        let at = |millis| Stamp { millis, counter: 0, device: DeviceId::new(1) };
        entry.write(&edit.clone().with("note", json!("slow")), at(1)).unwrap();
        entry.write(&edit.with("note", json!(null)), at(2)).unwrap();
        assert_eq!(SetFields::of(&entry).unwrap().note, None);
    }
}
