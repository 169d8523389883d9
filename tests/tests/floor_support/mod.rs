//! A programme solved from the example brief, and a lifter who touches what a screen offers.

#![allow(clippy::needless_pass_by_value, clippy::must_use_candidate, clippy::new_without_default)] // a helper of tests reads best so
#![allow(dead_code, unreachable_pub, missing_docs, clippy::expect_used, clippy::unwrap_used)] // each test file uses its part

use plinth_core::catalogue::{Catalogue, Texts};
use plinth_core::floor::{
    Action, Company, Edit, EntryId, Event, FlagKind, Floor, House, Kind, Refused, Stage, Step, View,
};
use plinth_core::moment::Moment;
use plinth_core::plan::brief::Brief;
use plinth_core::plan::programme::Programme;
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Planner, Weights};
use plinth_core::record::{Clock, DeviceId, Entry, SessionFields, SetFields, View as _};
use std::collections::BTreeMap;
use std::sync::OnceLock;

pub struct Home {
    pub catalogue: Catalogue,
    pub texts: Texts,
    pub weights: Weights,
    pub brief: Brief,
    pub programme: Programme,
}

pub fn flags() -> Vec<FlagKind> {
    plinth_core::safety::Rules::builtin().expect("sound").flags.iter().map(FlagKind::from).collect()
}

pub fn solve(brief: &Brief, catalogue: &Catalogue, weights: &Weights) -> Programme {
    let planner = Planner::new(catalogue, weights);
    let solved = planner.solve(brief, Effort { evaluations: 20_000, chains: 1 }, &mut |_| true);
    planner.programme(brief, &solved).programme
}

pub fn example_brief() -> Brief {
    serde_json::from_str(include_str!("../../../server/data/example-brief.json")).expect("the example brief")
}

impl Home {
    pub fn of(brief: Brief) -> Self {
        let catalogue = Catalogue::builtin().expect("sound");
        let texts = Texts::builtin(&catalogue).expect("sound");
        let weights = Weights::builtin().expect("sound");
        let programme = solve(&brief, &catalogue, &weights);
        Self { catalogue, texts, weights, brief, programme }
    }

    /// Solved once for all tests of a file.
    pub fn example() -> &'static Self {
        static HOME: OnceLock<Home> = OnceLock::new();
        HOME.get_or_init(|| Self::of(example_brief()))
    }

    pub fn paired() -> &'static Self {
        static HOME: OnceLock<Home> = OnceLock::new();
        HOME.get_or_init(|| Self::of(Brief { in_turn: true, ..example_brief() }))
    }

    pub fn house(&self) -> House<'_> {
        let mut house =
            House::new(&self.catalogue, &self.texts, &self.weights, &self.brief, Some(&self.programme));
        house.flags = flags();
        house
    }
}

pub fn moment(seconds: i64) -> Moment {
    Moment {
        wall_ms: 1_764_000_000_000 + seconds * 1000,
        offset_min: 60,
        monotonic_ms: 5_000_000 + seconds as u64 * 1000,
        boot: "first".into(),
    }
}

/// A record that the edits are written into, each field checked and stamped.
pub struct Record {
    pub entries: BTreeMap<EntryId, Entry>,
    clock: Clock,
}

impl Record {
    pub fn new() -> Self {
        Self { entries: BTreeMap::new(), clock: Clock::new(DeviceId::new(7)) }
    }

    pub fn write(&mut self, edits: &[Edit], now: &Moment) {
        for e in edits {
            let entry = self.entries.entry(e.id).or_insert_with(|| Entry::new(e.id, e.kind.clone()));
            assert_eq!(entry.kind, e.kind, "an entry keeps its kind");
            let stamp = self.clock.tick(now.wall_ms, entry.replaced_by(e));
            entry.write(e, stamp).expect("the record takes every field");
        }
    }

    pub fn of(&self, kind: &Kind) -> Vec<&Entry> {
        self.entries.values().filter(|e| e.kind == *kind && !e.deleted()).collect()
    }
}

/// Sets that stand in the record, as its own views read them.
pub fn sets(record: &Record) -> Vec<serde_json::Value> {
    let all = record.of(&Kind::Set).into_iter();
    all.map(|e| {
        // Brought back is as good as never deleted.
        let set = SetFields { deleted: None, ..SetFields::of(e).expect("a sound set") };
        serde_json::to_value(set).expect("json")
    })
    .collect()
}

pub fn session(record: &Record) -> serde_json::Value {
    let all = record.of(&Kind::Session);
    assert_eq!(all.len(), 1);
    serde_json::to_value(SessionFields::of(all[0]).expect("a sound session")).expect("json")
}

pub struct Lifter<'a> {
    pub house: House<'a>,
    pub floor: Floor,
    pub now: Moment,
    pub record: Record,
    pub effects: Vec<plinth_core::floor::Effect>,
    pub next_id: u64,
    /// Serialise and read back at every event.
    pub killed: bool,
}

impl<'a> Lifter<'a> {
    pub fn new(house: House<'a>) -> Self {
        let floor = Floor::new(&house);
        Self {
            house,
            floor,
            now: moment(0),
            record: Record::new(),
            effects: Vec::new(),
            next_id: 1,
            killed: true,
        }
    }

    pub fn view(&self) -> View {
        self.floor.view(&self.now, &self.house)
    }

    pub fn pass(&mut self, seconds: i64) {
        self.now.wall_ms += seconds * 1000;
        self.now.monotonic_ms += seconds as u64 * 1000;
    }

    /// Sends an event, writes what it says, and reopens from the snapshot.
    pub fn send(&mut self, event: &Event) -> Step {
        let id = &mut self.next_id;
        let mut ids = || {
            *id += 1;
            EntryId::new(*id, [0; 10])
        };
        let step = self.floor.dispatch(event, &self.now, &self.house, &mut ids);
        self.record.write(&step.edits, &self.now);
        self.effects.extend(step.effects.iter().cloned());
        if self.killed {
            let shown = self.view();
            self.floor = Floor::from_json(&self.floor.to_json()).expect("the snapshot reads back");
            assert_eq!(self.view(), shown, "the same screen after a kill at {event:?}");
        }
        step
    }

    /// Sends an event that must be done.
    pub fn do_it(&mut self, event: Event) -> Step {
        let step = self.send(&event);
        assert_eq!(step.refused, None, "{event:?} on {:?}", self.view().stage);
        step
    }

    pub fn refused(&mut self, event: Event) -> Refused {
        let step = self.send(&event);
        assert!(step.edits.is_empty() && step.effects.is_empty());
        step.refused.unwrap_or_else(|| panic!("{event:?} was done"))
    }

    /// Touches the wide action.
    pub fn wide(&mut self) -> Step {
        let wide = self.view().wide.expect("a wide action");
        self.do_it(wide.event)
    }

    pub fn begin(&mut self, day: Option<usize>) {
        self.do_it(Event::ChooseDay { day });
        self.do_it(Event::Company { company: Company::Spotted });
        self.do_it(Event::Safeties { there: true });
        self.do_it(Event::Begin);
    }

    /// Skips the general warm-up.
    pub fn warmed_up(&mut self) {
        self.pass(300);
        self.do_it(Event::WarmUpSkipped);
    }

    /// Does what is at hand as written until something stops it; gives the sets touched.
    pub fn work(&mut self, most: usize) -> usize {
        for done in 0..most {
            let view = self.view();
            match view.stage {
                Stage::Lifting | Stage::Resting => {
                    if let Some(rest) = &view.rest {
                        self.pass((rest.left_ms + 999) / 1000);
                    }
                    self.pass(35);
                    match view.rows.iter().flat_map(|r| &r.actions).next() {
                        // The search is told of plenty once, then of none: it finds the first load.
                        Some(a) if matches!(a.event, Event::DoneWith { .. }) => {
                            let first = view.set.as_ref().is_some_and(|s| s.number == 1);
                            let reserve = if first { 5 } else { 0 };
                            self.do_it(Event::DoneWith { reserve, form_changed: false });
                        }
                        Some(a) => {
                            self.do_it(a.event.clone());
                        }
                        None => {
                            self.wide();
                        }
                    }
                }
                Stage::WarmUp => {
                    self.pass(60);
                    self.wide();
                }
                _ => return done,
            }
        }
        most
    }

    /// Works until the line at hand is this movement's.
    pub fn until(&mut self, is: impl Fn(&View) -> bool) {
        for _ in 0..200 {
            if is(&self.view()) {
                return;
            }
            assert_eq!(self.work(1), 1, "it never comes to it: {:?}", self.view().stage);
        }
        panic!("it never comes to it");
    }
}

/// Everything that can be touched on a screen.
pub fn touchable(view: &View) -> Vec<Action> {
    let mut all: Vec<Action> = view.wide.iter().cloned().collect();
    all.extend(view.actions.iter().cloned());
    let rows = view.rows.iter().chain(&view.before).chain(view.form.iter().flat_map(|f| &f.rows));
    all.extend(rows.flat_map(|r| r.actions.iter().cloned()));
    if view.undo.is_some() {
        all.push(Action {
            event: Event::Undo,
            chosen: false,
            outlined: false,
            records: None,
            movement: None,
            about: None,
        });
    }
    all
}
