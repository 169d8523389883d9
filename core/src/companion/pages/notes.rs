//! Notes between the lifter and who coaches, both ways. That one was read is said by a touch, not by having been shown.

use super::typed::Typed;
use super::{Did, Making, No};
use crate::companion::error::CompanionError;
use crate::companion::known::living;
use crate::companion::{Companion, Moment};
use crate::page::{Deed, Keys, Spot};
use crate::record::{Edit, EntryId, Kind, NoteFields, Time, View, Writer};

/// Notes that are listed.
const SHOWN: usize = 100;
/// The longest note that is written here, characters.
const LONGEST: usize = 2_000;
/// What is shown of a note in the list, characters.
const OPENING: usize = 90;

/// A note with something in it.
struct Note {
    id: EntryId,
    fields: NoteFields,
}

impl Note {
    fn own(&self) -> bool {
        !matches!(self.fields.by, Some(Writer::Coach | Writer::Guardian))
    }

    fn waits(&self) -> bool {
        !self.own() && self.fields.read_at.is_none()
    }

    fn text(&self) -> &str {
        self.fields.text.as_deref().unwrap_or_default().trim()
    }

    /// The beginning of it, on one line.
    fn opening(&self) -> String {
        let line = self.text().split_whitespace().collect::<Vec<_>>().join(" ");
        if line.chars().count() <= OPENING {
            return line;
        }
        let cut: String = line.chars().take(OPENING).collect();
        let whole = cut.rsplit_once(' ').map_or(cut.as_str(), |(words, _)| words);
        format!("{whole} …")
    }
}

impl Companion {
    /// The newest first.
    fn notes(&self) -> Result<Vec<Note>, CompanionError> {
        let all = living(&self.store, &Kind::Note)?;
        let mut notes: Vec<Note> = all
            .iter()
            .map(|e| Note { id: e.id, fields: NoteFields::read(e).0 })
            .filter(|n| !n.text().is_empty())
            .collect();
        notes
            .sort_by_key(|n| std::cmp::Reverse((n.fields.written_at.as_ref().map_or(0, Time::millis), n.id)));
        Ok(notes)
    }

    fn one_note(&self, id: &str) -> Result<Option<Note>, CompanionError> {
        Ok(self.notes()?.into_iter().find(|n| n.id.to_string() == id))
    }

    /// How many notes to the lifter are not read yet.
    pub(super) fn unread_notes(&self) -> Result<usize, CompanionError> {
        Ok(self.notes()?.iter().filter(|n| n.waits()).count())
    }

    /// Whether there is a note of this id.
    pub(super) fn has_note(&self, id: &str) -> Result<bool, CompanionError> {
        Ok(self.one_note(id)?.is_some())
    }

    /// Whose it is, of when, about what, and whether it was read.
    fn about_note(&self, note: &Note) -> String {
        let s = &self.speech;
        let by = match note.fields.by {
            Some(Writer::Coach) => "notes-by-coach",
            Some(Writer::Guardian) => "notes-by-guardian",
            _ => "notes-by-you",
        };
        let mut parts = vec![s.say(by, &[])];
        parts.extend(note.fields.written_at.as_ref().map(|t| s.date_with_year(t.date())));
        parts.extend(note.fields.movement.as_ref().map(|m| s.movement_in(&self.known.catalogue, m)));
        let read = note.fields.read_at.as_ref();
        parts.push(match read {
            Some(at) => s.say("notes-read-on", &[("date", (&s.date_with_year(at.date())).into())]),
            None => s.say("notes-not-read", &[]),
        });
        parts.join(" · ")
    }

    pub(super) fn notes_page(&self) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-notes", &[]));
        page.sentence(s.say("notes-about", &[]));
        page.entry("text", "notes-write", Keys::Words, None);
        let (new, old): (Vec<Note>, Vec<Note>) = self.notes()?.into_iter().partition(Note::waits);
        if new.is_empty() && old.is_empty() {
            page.sentence(s.say("notes-none", &[]));
        }
        for (head, notes) in [("notes-new", new), ("notes-earlier", old)] {
            if !notes.is_empty() {
                page.heading(head);
            }
            for note in notes.iter().take(SHOWN) {
                page.line(
                    note.opening(),
                    vec![self.about_note(note)],
                    Spot::Note { id: note.id.to_string() },
                );
            }
        }
        Ok(page)
    }

    pub(super) fn note_page(&self, id: &str) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("notes-one", &[]));
        let Some(note) = self.one_note(id)? else {
            page.sentence(s.say("page-refused-gone", &[]));
            return Ok(page);
        };
        page.sentence(self.about_note(&note));
        for line in note.text().lines().filter(|l| !l.trim().is_empty()) {
            page.sentence(line.trim());
        }
        if note.waits() {
            page.deed("notes-mark", Deed::Keep, true);
        }
        if note.own() {
            let sure = self.visit.asks_again(&Spot::Note { id: id.to_owned() });
            page.deed(if sure { "notes-remove-sure" } else { "notes-remove" }, Deed::Remove, false);
        }
        Ok(page)
    }

    /// Writes a note to whoever coaches.
    pub(super) fn choose_in_notes(&mut self, field: &str, value: &str, moment: &Moment) -> Result<Did, No> {
        if field != "text" {
            return Err(No::Field(field.to_owned()));
        }
        let text = Typed::new(&self.speech, "notes-write", value).words(LONGEST)?;
        self.note(None, None, &text, Writer::Lifter, moment)?;
        let key = if self.pairing()?.is_some() { "notes-written" } else { "notes-written-here" };
        self.visit.told.push(self.speech.say(key, &[]));
        self.tell_host()
    }

    /// Says that a note was read, or takes an own one back at the second touch.
    pub(super) fn do_with_note(&mut self, id: &str, deed: &Deed, moment: &Moment) -> Result<Did, No> {
        let note = self.one_note(id)?.ok_or(No::NotHere)?;
        match deed {
            Deed::Keep if note.waits() => {
                let fields = NoteFields { read_at: Some(Time::of(moment)), ..NoteFields::default() };
                self.edit(&[fields.edit(note.id)], moment)?;
            }
            Deed::Remove if note.own() => {
                if !self.visit.second_touch(&Spot::Note { id: id.to_owned() }) {
                    return Ok(Did::default());
                }
                self.edit(&[Edit::delete(note.id, Kind::Note)], moment)?;
                self.visit.told.push(self.speech.say("notes-removed", &[]));
            }
            _ => return Err(No::NotHere),
        }
        self.visit.open(Spot::Notes);
        self.tell_host()
    }
}
