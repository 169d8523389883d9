//! The training record: entries whose fields carry stamps, how two records become one, and their plain-JSON form.
//!
//! Pure: the instant, the random bytes and the files' bytes are handed in. `docs/record.md` says the same in prose
//! with examples.

mod canonical;
mod clock;
mod csv_form;
mod document;
mod edit;
mod entry;
mod fault;
mod id;
mod kind;
mod read;
mod scan;
mod schema;
mod stamp;
mod sum;
pub mod views;

pub use canonical::Json;
pub use clock::Clock;
pub use csv_form::{CsvRow, CsvRows, read_csv, write_csv};
pub use document::{DocumentEntries, FORM, Refusals, Taken, read_document, write_document};
pub use edit::Edit;
pub use entry::{Entry, Field};
pub use fault::{FieldFault, ImportFault, Refused};
pub use id::{DeviceId, EntryId};
pub use kind::Kind;
pub use read::{MOST_BYTES, MOST_DEPTH, MOST_ENTRIES, MOST_FIELDS, read_entry, read_stored};
pub use schema::document_schema;
pub use stamp::Stamp;
pub use sum::{Between, KindSum, Sum, hex_of};
pub use views::{
    Advice, AfterBirth, Answer, BodyMeasurementFields, BriefFields, Clearance, ClosedBy, Date,
    DiscomfortFields, Document, DraftFields, Feeling, FlagFields, GrantFields, GroupFields, History,
    KitFields, LifterFields, LoadDone, Measure, Nature, NoteFields, Outcome, OwnMovementFields, Pregnancy,
    ProgrammeFields, PublicationFields, Purpose, Quantity, QuantityUnit, ReserveDone, ReturnFields,
    ScreeningFields, Sent, SessionFields, SetFields, SettingFields, Severity, Sex, Side, Surgery, Time, View,
    Writer,
};
