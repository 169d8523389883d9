//! The doors by which documents come in, knocked at alike, for the tests of hostile input.

use crate::Data;
use crate::faults::{Folder, at, open};
use plinth_core::catalogue::Texts;
use plinth_core::companion::{Companion, CompanionError};
use plinth_core::floor::{Company, EntryId, Event, Floor, House};
use plinth_core::load::Kit;
use plinth_core::moment::Moment;
use plinth_core::plan::DocumentFault;
use plinth_core::plan::brief::{Brief, read_brief};
use plinth_core::plan::programme::Programme;
use plinth_core::published;
use plinth_core::record::{CsvRows, DocumentEntries, Refused, read_entry};
use plinth_core::store::{Imported, Key, StoreError, seal_for, system_random, unseal_with};
use plinth_core::words::Language;
use std::error::Error;

/// A door.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Door {
    /// Import of a record.
    Record,
    /// Import of sets.
    Sets,
    /// A brief.
    Brief,
    /// A programme.
    Programme,
    /// The kit of a place.
    Kit,
    /// A movement of one's own.
    Own,
    /// The snapshot of the session at hand, and what is touched on its screen.
    Floor,
    /// An event of the floor.
    Event,
    /// A sealed backup.
    Sealed,
}

/// All of them.
pub const DOORS: [Door; 9] = [
    Door::Record,
    Door::Sets,
    Door::Brief,
    Door::Programme,
    Door::Kit,
    Door::Own,
    Door::Floor,
    Door::Event,
    Door::Sealed,
];

/// What was refused.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize)]
pub struct Told {
    /// The code, where the door has codes; else its name.
    pub code: String,
    /// The field at fault, where one is named.
    pub field: Option<String>,
}

/// What a door said.
#[derive(Debug, Default)]
pub struct Answer {
    /// What was refused, in order.
    pub told: Vec<Told>,
    /// How many documents, entries or rows were taken.
    pub taken: usize,
    /// Bytes of all that was said.
    pub said: usize,
    /// Refusals that do not say what to do.
    pub without_remedy: usize,
    /// The record afterwards, where it was imported.
    pub export: Vec<u8>,
}

impl Answer {
    fn tell(&mut self, code: &str, field: Option<&str>, problem: &str, remedy: &str) {
        self.told.push(Told { code: code.into(), field: field.map(Into::into) });
        self.said += problem.len() + remedy.len();
        self.without_remedy += usize::from(remedy.trim().is_empty() || problem.trim().is_empty());
    }

    fn document(mut self, door: &str, result: Result<(), Vec<DocumentFault>>) -> Self {
        match result {
            Ok(()) => self.taken = 1,
            Err(faults) => faults.iter().for_each(|f| self.tell(door, Some(&f.field), &f.problem, &f.remedy)),
        }
        self
    }

    fn companion<T>(mut self, result: Result<T, CompanionError>) -> Self {
        match result {
            Ok(_) => self.taken = 1,
            Err(e) => self.tell(&e.code, e.field.as_deref(), &e.problem, &e.remedy),
        }
        self
    }

    fn imported(mut self, result: Result<Imported, StoreError>) -> Self {
        match result {
            Ok(done) => {
                self.taken = done.taken;
                done.refused.iter().for_each(|r| self.refused(r));
            }
            Err(e) => self.tell(e.code(), None, &e.to_string(), e.remedy()),
        }
        self
    }

    fn refused(&mut self, r: &Refused) {
        self.tell(r.code, r.field.as_deref(), &r.reason, &r.remedy);
    }
}

/// What the doors need.
#[derive(Debug)]
pub struct Doors {
    data: Data,
    texts: Texts,
    brief: Brief,
    programme: Programme,
    key: Key,
    folder: Folder,
}

impl Doors {
    /// With the example brief and a programme solved from it.
    ///
    /// # Errors
    /// What keeps it from being made.
    pub fn new() -> Result<Self, Box<dyn Error>> {
        let data = Data::builtin()?;
        let texts = Texts::builtin(&data.catalogue).map_err(|f| format!("{f:?}"))?;
        let brief: Brief = serde_json::from_str(include_str!("../../server/data/example-brief.json"))?;
        let programme = data.publish(&brief);
        let (key, folder) = (Key::new(&mut system_random)?, Folder::new());
        Ok(Self { data, texts, brief, programme, key, folder })
    }

    fn house(&self) -> House<'_> {
        House::new(&self.data.catalogue, &self.texts, &self.data.weights, &self.brief, Some(&self.programme))
    }

    /// The snapshot of a session with a few sets done.
    pub fn snapshot(&self) -> String {
        let (house, mut floor) = (self.house(), Floor::new(&self.house()));
        let mut events = vec![
            Event::ChooseDay { day: Some(0) },
            Event::Company { company: Company::Spotted },
            Event::Safeties { there: true },
            Event::Begin,
            Event::WarmUpSkipped,
        ];
        events.extend([Event::Done, Event::Done, Event::Done, Event::NotAsWritten]);
        for (n, event) in (0..).zip(&events) {
            floor.dispatch(event, &at_second(n * 400), &house, &mut ids());
        }
        floor.to_json()
    }

    /// A sound document for a door that has no example in the corpus.
    ///
    /// # Errors
    /// Those of the seal.
    pub fn sealed(&self, bytes: &[u8]) -> Result<Vec<u8>, StoreError> {
        seal_for(bytes, &self.key.recipient())
    }

    /// Knocks as the product does: what is good is written.
    ///
    /// # Errors
    /// Those of the disk, which are not the document's.
    ///
    /// # Panics
    /// When the record does not hold what was taken, once.
    pub fn knock(&self, door: Door, bytes: &[u8]) -> Result<Answer, StoreError> {
        match door {
            Door::Record | Door::Sets => {
                self.folder.forget("record.plinth");
                let mut store = open(&self.folder.file("record.plinth"))?.store;
                let result = match door {
                    Door::Record => store.import_json(bytes),
                    _ => store.import_csv(bytes, &at(1), &mut system_random),
                };
                let mut answer = Answer::default().imported(result);
                assert_eq!(store.count()?, answer.taken as u64, "what was taken is in the record, once");
                store.export_json(&mut answer.export)?;
                Ok(answer)
            }
            Door::Kit | Door::Own => {
                self.folder.forget("record.plinth");
                let path = self.folder.file("record.plinth");
                let told = Companion::open(&path, Language::English, &at(0), Box::new(system_random))
                    .and_then(|opened| {
                        let mut companion = opened.companion;
                        match door {
                            Door::Kit => companion.tell_kit(None, "invented", bytes, None, &at(1)),
                            _ => companion.tell_own_movement(bytes, &at(1)),
                        }
                    });
                Ok(Answer::default().companion(told))
            }
            _ => Ok(self.listen(door, bytes)),
        }
    }

    /// Knocks without writing anything.
    pub fn listen(&self, door: Door, bytes: &[u8]) -> Answer {
        let mut answer = Answer::default();
        match door {
            Door::Record => {
                match DocumentEntries::of(bytes) {
                    Ok(all) => all.for_each(|e| match e {
                        Ok((_, entry)) => answer.taken += usize::from(entry.digest().len() == 32),
                        Err(r) => answer.refused(&r),
                    }),
                    Err(e) => answer.tell(e.code(), None, &e.to_string(), "said with it"),
                }
                // Any bytes may also come as one entry by itself.
                if let Err(r) = read_entry(bytes) {
                    answer.said += r.to_string().len();
                }
            }
            Door::Sets => match CsvRows::of(bytes) {
                Ok(all) => all.for_each(|row| match row {
                    Ok(_) => answer.taken += 1,
                    Err(r) => answer.refused(&r),
                }),
                Err(e) => answer.tell(e.code(), None, &e.to_string(), "said with it"),
            },
            Door::Brief => {
                return answer.document("brief", read_brief(bytes, &self.data.catalogue).map(drop));
            }
            Door::Programme => {
                // What is shown of a programme is worked out from its numbers.
                let read = published::open(bytes).map(|p| {
                    p.programme.certificate.claim();
                });
                return answer.document("programme", read);
            }
            Door::Kit => match std::str::from_utf8(bytes).map(Kit::from_json) {
                Ok(Ok(_)) => answer.taken = 1,
                Ok(Err(e)) => answer.tell("kit", None, &e.to_string(), "said with it"),
                Err(_) => answer.tell("kit", None, "no UTF-8", "said with it"),
            },
            Door::Own => match serde_json::from_slice(bytes) {
                Ok(own) => match self.data.catalogue.with_own(&[own]) {
                    Ok(_) => answer.taken = 1,
                    Err(f) => {
                        for f in &f {
                            answer.tell("own", Some(&f.field), &f.problem, &f.remedy);
                        }
                    }
                },
                Err(e) => answer.tell("own", None, &e.to_string(), "said with it"),
            },
            Door::Floor => match std::str::from_utf8(bytes).map(Floor::from_json) {
                Ok(Ok(floor)) => {
                    self.touch(&floor, &[]);
                    answer.taken = 1;
                }
                Ok(Err(e)) => answer.tell("snapshot", None, &e.to_string(), "said with it"),
                Err(_) => answer.tell("snapshot", None, "no UTF-8", "said with it"),
            },
            Door::Event => match serde_json::from_slice::<Event>(bytes) {
                Ok(event) => {
                    if let Ok(floor) = Floor::from_json(&self.snapshot()) {
                        self.touch(&floor, &[event]);
                    }
                    answer.taken = 1;
                }
                Err(e) => answer.tell("event", None, &e.to_string(), "said with it"),
            },
            Door::Sealed => match unseal_with(bytes, &self.key) {
                Ok(_) => answer.taken = 1,
                Err(e) => answer.tell(e.code(), None, &e.to_string(), e.remedy()),
            },
        }
        answer
    }

    /// Shows a session and touches what is there.
    fn touch(&self, floor: &Floor, first: &[Event]) {
        let (house, mut floor) = (self.house(), floor.clone());
        let usual = [
            Event::Open,
            Event::Tick,
            Event::NotAsWritten,
            Event::Amount { amount: 5 },
            Event::Done,
            Event::Ready,
            Event::SetsDone,
            Event::Correct { set: 0 },
            Event::Back,
            Event::StandIns { line: 0 },
            Event::StandIn { offer: 0 },
            Event::Back,
            Event::Minutes { minutes: 20 },
            Event::Undo,
            Event::Close,
        ];
        for (n, event) in (0..).zip(first.iter().chain(&usual)) {
            let now = at_second(5_000 + n * 100);
            floor.view(&now, &house);
            floor.dispatch(event, &now, &house, &mut ids());
        }
        floor.view(&at_second(9_000), &house);
    }
}

fn ids() -> impl FnMut() -> EntryId {
    let mut n = 0u64;
    move || {
        n += 1;
        EntryId::new(n, [9; 10])
    }
}

fn at_second(seconds: i64) -> Moment {
    let mut now = at(0);
    now.wall_ms += seconds * 1000;
    now.monotonic_ms = 1_000_000 + u64::try_from(seconds).unwrap_or(0) * 1000;
    now
}
