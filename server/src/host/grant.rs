//! What a lifter's grants let a coach see and write. The grant is an entry of the lifter's own record.
//!
//! A grant of the record names the coach's account in `to` and says in `may` what: the groups of [`Group`] to read, and
//! `programmes` and `notes` to write. It counts from `from` until `until`, while it is neither withdrawn nor deleted. A
//! field that cannot be read counts as the more cautious. A minor's grants count only while a guardian's does, whose
//! `may` holds `train`.

use super::account::AccountId;
use super::audit::{Deed, Did};
use super::opening::{all_of, grants};
use super::store::{Asked, Held, Old, Store};
use chrono::DateTime;
use plinth_core::record::{
    Date, Entry, EntryId, GrantFields, Kind, LifterFields, NoteFields, Stamp, View, Writer,
};
use plinth_core::terms;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What a coach may be let read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Group {
    /// Sessions, sets, kit, own movements and notes; with [`Self::Discomfort`] also the briefs, which say it.
    Log,
    /// What findings are made of: movement, load, amount and reserve of each set, without notes.
    Findings,
    /// Discomforts, red flags and returns.
    Discomfort,
    /// Body mass and other measures of the body. Never a minor's.
    BodyMass,
    /// The screening.
    Screening,
}

impl Group {
    const ALL: [Self; 5] = [Self::Log, Self::Findings, Self::Discomfort, Self::BodyMass, Self::Screening];

    /// Its name in a grant.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Log => "log",
            Self::Findings => "findings",
            Self::Discomfort => "discomfort",
            Self::BodyMass => "body_mass",
            Self::Screening => "screening",
        }
    }
}

/// The words of a grant that let a coach write, and a guardian's word.
const PROGRAMMES: &str = "programmes";
const NOTES: &str = "notes";
const TRAIN: &str = "train";

/// What the grants of a lifter let one coach do now.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Standing {
    /// What may be read.
    pub reads: BTreeSet<Group>,
    /// Whether programmes may be written.
    pub programmes: bool,
    /// Whether notes may be written.
    pub notes: bool,
}

/// Why a coach may not write something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Barred {
    /// At which field.
    pub field: Option<String>,
    /// Why.
    pub reason: String,
}

/// Whether a grant was withdrawn or deleted, or cannot be read.
pub fn withdrawn(grant: &Entry) -> bool {
    let (fields, faults) = GrantFields::read(grant);
    grant.deleted() || fields.withdrawn_at.is_some() || !faults.is_empty()
}

fn counts(grant: &Entry, voided: &BTreeMap<EntryId, Stamp>, now_ms: i64) -> Option<GrantFields> {
    let void = voided.get(&grant.id).is_some_and(|at| grant.last_written().is_none_or(|last| last <= *at));
    if void || withdrawn(grant) {
        return None;
    }
    let fields = GrantFields::read(grant).0;
    let begun = fields.from.as_ref().is_none_or(|t| t.millis() <= now_ms);
    let over = fields.until.as_ref().is_some_and(|t| t.millis() <= now_ms);
    (begun && !over).then_some(fields)
}

/// What the grants of a lifter let a coach do at an instant.
pub fn standing(
    coach: &AccountId,
    grants: &[Entry],
    lifters: &[Entry],
    voided: &BTreeMap<EntryId, Stamp>,
    now_ms: i64,
) -> Standing {
    let counting: Vec<GrantFields> = grants.iter().filter_map(|g| counts(g, voided, now_ms)).collect();
    let minor = is_minor(lifters, now_ms);
    let may = |g: &GrantFields, word: &str| g.may.iter().flatten().any(|w| w == word);
    if minor && !counting.iter().any(|g| may(g, TRAIN)) {
        return Standing::default();
    }
    let mut standing = Standing::default();
    for g in counting.iter().filter(|g| g.to.as_deref() == Some(coach.as_str())) {
        let hidden = |group: &Group| minor && *group == Group::BodyMass;
        standing.reads.extend(Group::ALL.into_iter().filter(|group| may(g, group.name()) && !hidden(group)));
        standing.programmes |= may(g, PROGRAMMES);
        standing.notes |= may(g, NOTES);
    }
    standing
}

/// Whether any entry of the lifter says a day of birth of a minor. A day that cannot be read counts as one.
fn is_minor(lifters: &[Entry], now_ms: i64) -> bool {
    let today = DateTime::from_timestamp_millis(now_ms).unwrap_or_default().date_naive();
    lifters.iter().filter(|e| !e.deleted()).any(|e| {
        let (fields, faults) = LifterFields::read(e);
        faults.iter().any(|f| f.field == "born_on")
            || fields.born_on.is_some_and(|Date(born)| {
                terms::age_years(born, today).is_none_or(|years| terms::minor(years, terms::ADULT_YEARS))
            })
    })
}

/// What a coach sees of a set for the findings.
const OF_A_SET: [&str; 12] = [
    "session", "movement", "line", "number", "purpose", "outcome", "side", "load", "amount", "measure",
    "reserve", "ended_at",
];

impl Standing {
    /// Whether nothing may be read or written.
    pub fn is_nothing(&self) -> bool {
        self.reads.is_empty() && !self.programmes && !self.notes
    }

    fn reads(&self, group: Group) -> bool {
        self.reads.contains(&group)
    }

    /// What a coach sees of an entry; nothing where no grant lets it.
    pub fn seen(&self, coach: &AccountId, held: &Held) -> Option<Entry> {
        let entry = &held.entry;
        let own = held.made_by.as_ref() == Some(coach);
        let whole = match &entry.kind {
            _ if own => true,
            Kind::Session | Kind::Kit | Kind::OwnMovement | Kind::Note => self.reads(Group::Log),
            Kind::Programme => self.reads(Group::Log) || self.programmes,
            Kind::Brief => self.reads(Group::Log) && self.reads(Group::Discomfort),
            Kind::Discomfort | Kind::Flag | Kind::Return => self.reads(Group::Discomfort),
            Kind::BodyMeasurement => self.reads(Group::BodyMass),
            Kind::Screening => self.reads(Group::Screening),
            Kind::Set if self.reads(Group::Log) => true,
            Kind::Set if self.reads(Group::Findings) => return part(entry, |name| OF_A_SET.contains(&name)),
            Kind::Lifter if !self.is_nothing() => return part(entry, |name| name == "name"),
            // A coach sees no grant, no setting, and nothing of a kind that this version cannot tell the group of.
            Kind::Set
            | Kind::Lifter
            | Kind::Grant
            | Kind::Setting
            | Kind::Draft
            | Kind::Publication
            | Kind::Group
            | Kind::Other(_) => false,
        };
        if !whole {
            return None;
        }
        let hides = entry.kind == Kind::Session && !self.reads(Group::BodyMass);
        part(entry, |name| !(hides && name == "bodyweight"))
    }

    /// Whether a coach may write an entry: a programme or a note of their own, without what is the lifter's to say;
    /// and of a lifter's note that the coach sees, that it was read.
    ///
    /// # Errors
    /// Why not.
    pub fn may_write(&self, coach: &AccountId, old: Option<Old<'_>>, entry: &Entry) -> Result<(), Barred> {
        let barred = |field: Option<&str>, reason: &str| {
            Err(Barred { field: field.map(ToOwned::to_owned), reason: reason.to_owned() })
        };
        let (granted, lifters) = match entry.kind {
            Kind::Programme => (self.programmes, &["accepted_at", "adapted", "starts_on", "ended_on"][..]),
            Kind::Note => (self.notes, &["read_at"][..]),
            _ => return barred(Some("kind"), "a coach writes programmes and notes only"),
        };
        if !granted {
            return barred(Some("kind"), "no grant lets this coach write it");
        }
        if old.is_some_and(|h| self.marks_as_read(h, entry)) {
            return Ok(());
        }
        if old.is_some_and(|h| h.made_by != Some(coach) || h.entry.kind != entry.kind) {
            return barred(Some("id"), "the entry is not this coach's");
        }
        let theirs = |name: &str| {
            let field = entry.fields.get(name);
            field.is_some() && field != old.and_then(|h| h.entry.fields.get(name))
        };
        if let Some(name) = lifters.iter().find(|name| theirs(name)) {
            return barred(Some(name), "that is the lifter's to say");
        }
        // A week does not change under who trains by it, and does not go away.
        let taken_on = |h: Old<'_>| h.entry.fields.get("accepted_at").is_some_and(|f| !f.value.is_null());
        if entry.kind == Kind::Programme
            && old.is_some_and(taken_on)
            && let Some(name) = entry.fields.keys().find(|name| theirs(name))
        {
            return barred(Some(name), "the lifter has taken it on; another version is another entry");
        }
        Ok(())
    }

    /// Whether all that a coach writes is that a note of the lifter's, which the coach may see, was read.
    fn marks_as_read(&self, old: Old<'_>, entry: &Entry) -> bool {
        let lifters = old.made_by.is_none() && NoteFields::read(old.entry).0.by != Some(Writer::Coach);
        let note = old.entry.kind == Kind::Note && entry.kind == Kind::Note;
        let alone = !entry.fields.is_empty() && entry.fields.keys().all(|name| &**name == "read_at");
        self.reads(Group::Log) && lifters && note && alone
    }
}

fn part(entry: &Entry, keep: impl Fn(&str) -> bool) -> Option<Entry> {
    let mut part = Entry::new(entry.id, entry.kind.clone());
    part.fields = entry
        .fields
        .iter()
        .filter(|(n, _)| &***n == "deleted" || keep(n))
        .map(|(n, f)| (n.clone(), f.clone()))
        .collect();
    (!part.fields.is_empty()).then_some(part)
}

/// What a lifter's grants let a coach do now who asks for that lifter by name. Nothing where that is nothing, alike for
/// a lifter who is not there; the try is noted where somebody can read it.
///
/// # Errors
/// Those of the store.
pub async fn granted<S: Store>(
    store: &S,
    lifter: &AccountId,
    coach: &AccountId,
    now_ms: i64,
) -> Asked<Option<Standing>> {
    let standing = standing_of(store, lifter, coach, now_ms).await?;
    if !standing.is_nothing() {
        return Ok(Some(standing));
    }
    if store.account(lifter).await?.is_some() {
        store.note(lifter, coach, Did { deed: Deed::Refused, what: Vec::new() }, now_ms).await?;
    }
    Ok(None)
}

/// Notes where the lifter reads it that a coach reads what is granted. Before it is shown: what is not noted is not
/// read.
///
/// # Errors
/// Those of the store.
pub async fn note_reading<S: Store>(
    store: &S,
    lifter: &AccountId,
    coach: &AccountId,
    may: &Standing,
    now_ms: i64,
) -> Asked<()> {
    let what = may.reads.iter().map(|g| g.name().to_owned()).collect();
    store.note(lifter, coach, Did { deed: Deed::Read, what }, now_ms).await
}

/// What a lifter's grants let a coach do now, as the store has them.
///
/// # Errors
/// Those of the store.
pub async fn standing_of<S: Store>(
    store: &S,
    lifter: &AccountId,
    coach: &AccountId,
    now_ms: i64,
) -> Asked<Standing> {
    let entries = |held: Vec<Held>| held.into_iter().map(|h| h.entry).collect::<Vec<_>>();
    let given = entries(grants(store, lifter).await?);
    if given.is_empty() {
        return Ok(Standing::default());
    }
    let lifters = entries(all_of(store, lifter, Kind::Lifter).await?);
    Ok(standing(coach, &given, &lifters, &store.voided(lifter).await?, now_ms))
}
