//! The kit of each place: which places there are, and what belongs to one.

use super::advice::toggled;
use super::typed::Typed;
use super::{Did, Making, No, pick};
use crate::companion::{Companion, Moment};
use crate::floor::Place;
use crate::load::Kit;
use crate::page::{Deed, Keys, KitPart, PageButton, Spot};
use crate::record::{Edit, EntryId, Kind};

/// Most characters of the name of a place, a bar or a band.
pub(super) const LONGEST_NAME: usize = 80;
/// Most places that are kept.
const MOST_PLACES: usize = 30;

/// The parts of a kit in the order of its page, with their words.
pub(super) const PARTS: [(KitPart, &str); 7] = [
    (KitPart::Pieces, "gear-pieces"),
    (KitPart::Bars, "gear-bars"),
    (KitPart::Discs, "gear-discs"),
    (KitPart::Dumbbells, "gear-dumbbells"),
    (KitPart::Kettlebells, "gear-kettlebells"),
    (KitPart::Stacks, "gear-stacks"),
    (KitPart::Bands, "gear-bands"),
];

impl Companion {
    /// The place with the entry of this id.
    pub(super) fn place(&self, id: &str) -> Option<&Place> {
        self.known.places.iter().find(|p| p.entry.is_some_and(|e| e.to_string() == id))
    }

    pub(super) fn kits_page(&self) -> Making<'_> {
        let s = &self.speech;
        let mut page = Making::new(s, s.say("pages-kits", &[]));
        page.sentence(s.say("gear-intro", &[]));
        for place in &self.known.places {
            let Some(entry) = place.entry else { continue };
            let n = self.pieces(place).len();
            let more = vec![s.say("gear-pieces-count", &[("n", n.into())])];
            page.line(place.name.clone(), more, Spot::Kit { id: entry.to_string() });
        }
        if self.known.places.len() < MOST_PLACES {
            let starting = self.shelf.begin.places.iter();
            let buttons = starting.map(|p| pick("add", &p.id, self.starting_place(&p.id))).collect();
            page.question("gear-add", vec![s.say("gear-add-note", &[])], buttons);
        }
        page
    }

    /// The pieces of a place: its own, else those of the brief.
    pub(super) fn pieces(&self, place: &Place) -> Vec<String> {
        place.equipment.clone().unwrap_or_else(|| self.known.brief.equipment.clone())
    }

    pub(super) fn choose_in_kits(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        if field != "add" {
            return Err(No::Field(field.to_owned()));
        }
        if self.known.places.len() >= MOST_PLACES {
            return Err(No::NotHere);
        }
        let begin = self.shelf.begin.place(value).ok_or_else(|| No::Field("value".into()))?;
        let (kit, equipment) = (begin.kit(), begin.equipment.clone());
        let name = self.starting_place(value);
        let id = self.tell_kit(None, &name, &json(&kit)?, Some(equipment), moment)?;
        self.visit.open(Spot::Kit { id: id.to_string() });
        Ok(())
    }

    pub(super) fn kit_page(&self, id: &str) -> Making<'_> {
        let s = &self.speech;
        let Some(place) = self.place(id) else { return Making::new(s, s.say("pages-kits", &[])) };
        let mut page = Making::new(s, place.name.clone());
        page.entry("name", "gear-name", Keys::Words, Some(place.name.clone()));
        let kit = &place.kit;
        for (part, key) in PARTS {
            let n = match part {
                KitPart::Pieces => self.pieces(place).len(),
                KitPart::Bars => kit.bars.len(),
                KitPart::Discs => kit.discs.iter().map(|d| d.count as usize).sum(),
                KitPart::Dumbbells => kit.dumbbell_masses(false).len(),
                KitPart::Kettlebells => kit.kettlebells.len(),
                KitPart::Stacks => kit.stacks.len(),
                KitPart::Bands => kit.bands.len(),
            };
            let more = vec![s.say("gear-count", &[("n", n.into())])];
            page.line(s.say(key, &[]), more, Spot::PartOfKit { id: id.to_owned(), part });
        }
        let spot = Spot::Kit { id: id.to_owned() };
        let sure = self.visit.asks_again(&spot);
        let label =
            s.say(if sure { "gear-remove-sure" } else { "gear-remove" }, &[("place", (&place.name).into())]);
        page.action(label, Deed::Remove, false);
        page
    }

    pub(super) fn choose_in_kit(
        &mut self,
        id: &str,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        if field != "name" {
            return Err(No::Field(field.to_owned()));
        }
        let name = Typed::new(&self.speech, "gear-name", value).words(LONGEST_NAME)?;
        self.change_place(id, moment, |place| {
            place.name = name;
            Ok(())
        })
    }

    /// Takes a place away, once that was touched twice.
    pub(super) fn remove_place(&mut self, id: &str, moment: &Moment) -> Result<Did, No> {
        let spot = Spot::Kit { id: id.to_owned() };
        let entry = self.entry_of(id)?;
        if !self.visit.second_touch(&spot) {
            return Ok(Did::default());
        }
        self.edit(&[Edit::delete(entry, Kind::Kit)], moment)?;
        self.visit.drop_draft();
        self.visit.go(crate::page::Place::Locker.spot());
        self.visit.open(Spot::Kits);
        Ok(Did::default())
    }

    fn entry_of(&self, id: &str) -> Result<EntryId, No> {
        self.place(id).and_then(|p| p.entry).ok_or(No::NotHere)
    }

    /// Changes a place and keeps it; what cannot be is refused and nothing is changed.
    pub(super) fn change_place(
        &mut self,
        id: &str,
        moment: &Moment,
        change: impl FnOnce(&mut Place) -> Result<(), No>,
    ) -> Result<(), No> {
        let entry = self.entry_of(id)?;
        let mut place = self.place(id).cloned().ok_or(No::NotHere)?;
        change(&mut place)?;
        self.tell_kit(Some(entry), &place.name, &json(&place.kit)?, place.equipment, moment)?;
        Ok(())
    }

    /// Every piece of kit that a movement asks for, those at hand chosen.
    pub(super) fn pieces_offered(&self, place: &Place) -> Vec<PageButton> {
        let have = self.pieces(place);
        let c = &self.known.catalogue;
        let asked = c.equipment.iter().filter(|e| e.id != "floor");
        asked
            .map(|e| pick("piece", &e.id, self.speech.kit_item(&e.id)).chosen(have.contains(&e.id)))
            .collect()
    }

    pub(super) fn choose_piece(&mut self, id: &str, piece: &str, moment: &Moment) -> Result<(), No> {
        if piece == "floor" || self.known.catalogue.kit(piece).is_none() {
            return Err(No::Field("value".into()));
        }
        let have = self.place(id).map(|p| self.pieces(p)).ok_or(No::NotHere)?;
        self.change_place(id, moment, |place| {
            place.equipment = Some(toggled(have, piece));
            Ok(())
        })
    }
}

fn json(kit: &Kit) -> Result<Vec<u8>, No> {
    serde_json::to_vec(kit).map_err(|_| No::NotHere)
}
