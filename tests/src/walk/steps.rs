//! One step of a session: the set done as a body can, and what else happens on a floor.

use super::check::Kind;
use super::text::{kilograms, whole};
use super::{Logged, Proposed, Walk, floor_of, offered};
use plinth_core::catalogue::{Measure, Tier};
use plinth_core::floor::{Company, Event, Nature};
use plinth_core::plan::brief::Severity;
use plinth_core::words::floor::FloorScreen;

impl Walk {
    /// Whether something is offered now.
    pub fn offers(&mut self, is: impl Fn(&Event) -> bool) -> Option<Event> {
        let screen = match self.shown.clone() {
            Some(screen) => screen,
            None => self.screen(),
        };
        offered(&screen).into_iter().map(|b| b.event.clone()).find(|e| is(e))
    }

    /// Touches the first thing that fits, if it is offered.
    pub fn try_touch(&mut self, is: impl Fn(&Event) -> bool) -> bool {
        let Some(event) = self.offers(is) else { return false };
        self.pass(2);
        self.touch(&event);
        true
    }

    /// Weeks since the walk began.
    pub fn weeks(&self) -> f64 {
        let start = chrono::NaiveDate::from_ymd_opt(2026, 3, 2).expect("a day");
        (self.today() - start).num_days() as f64 / 7.0
    }

    /// What the body does of the set on the screen: repetitions to failure.
    fn able(&self, screen: &FloorScreen, day: f64) -> Option<f64> {
        let set = screen.set.as_ref()?;
        let m = self.movement_named(&set.movement)?;
        let kg = set.load.as_deref().and_then(kilograms);
        let mut able = self.body.able(&self.catalogue, m, kg, self.weeks(), day);
        if m.laterality == plinth_core::catalogue::Laterality::Each {
            able *= self.body.weaker;
        }
        let session = self.session()?;
        let before =
            self.logged.iter().filter(|l| l.session == session && l.movement == set.movement).count();
        // Fatigue from set to set.
        Some(able - 0.4 * before.min(5) as f64)
    }

    /// The rest that runs, to its end.
    pub fn rest(&mut self) {
        let screen = self.screen();
        let Some(clock) = &screen.clock else { return };
        let left = clock.ends_monotonic_ms as i64 - self.now.monotonic_ms as i64;
        if left > 0 {
            self.pass((left + 999) / 1000);
            self.companion_tick();
        }
    }

    /// The set on the screen, rest and all. `day` is how the day goes.
    pub fn set(&mut self, day: f64) {
        self.rest();
        self.pass(40);
        let screen = self.screen();
        let Some(kind) = self.kind_of(&screen) else { return };
        let Some(able) = self.able(&screen, day) else { return };
        let Some(set) = screen.set.clone() else { return };
        let amount = whole(&set.amount).unwrap_or(1);
        if kind == Kind::Working {
            self.propose(&screen);
            self.judge_ramp(&screen);
        }
        if self.try_touch(|e| matches!(e, Event::Lighter { way: 0 })) {
            return;
        }
        if kind == Kind::Search {
            let left = able - f64::from(amount);
            let event = if left < 0.0 {
                Event::DoneWith { reserve: 0, form_changed: true }
            } else {
                Event::DoneWith { reserve: (left as u32).min(5), form_changed: false }
            };
            self.touch(&event);
            return;
        }
        let able = able.max(0.0) as u32;
        let counts = self.movement_named(&set.movement).is_some_and(|m| m.measure == Measure::Repetitions);
        if screen.wide.is_none() {
            self.load_open();
            return;
        }
        let logged = if counts && able < amount && kind == Kind::Working {
            self.fewer(able)
        } else if kind == Kind::Working && self.dice.per_cent(self.habits.tells_reserve) {
            self.with_reserve(amount, (able - amount.min(able)).min(5))
        } else {
            if self.dice.per_cent(self.habits.undoes) {
                self.touch_and_undo(&Event::Done);
                // A second within a second is one press.
                self.pass(2);
            }
            self.touch(&Event::Done);
            true
        };
        if logged {
            let after = self.screen();
            self.judge_rest(&screen, &after);
            self.done_of(&set.movement);
        }
    }

    fn companion_tick(&mut self) {
        let now = self.now.clone();
        let update = self.companion().dispatch(&Event::Tick, &now).expect("a tick");
        assert_eq!(update.refused, None);
        let screen = floor_of(update.screen);
        self.judge(&screen);
        self.shown = Some(screen);
    }

    /// A movement whose load the kit does not know: something else.
    fn load_open(&mut self) {
        if self.try_touch(|e| matches!(e, Event::StandIns { .. }))
            && self.try_touch(|e| matches!(e, Event::StandIn { offer: 0 }))
        {
            return;
        }
        self.try_touch(|e| matches!(e, Event::Back));
        panic!("{}: the lifter is stuck", self.who);
    }

    /// Fewer than written.
    fn fewer(&mut self, able: u32) -> bool {
        if !self.try_touch(|e| matches!(e, Event::NotAsWritten)) {
            return false;
        }
        if self.dice.per_cent(50) {
            self.try_touch(|e| matches!(e, Event::Missed { missed: true }));
        }
        self.pass(2);
        if self.offers(|e| *e == Event::Amount { amount: able }).is_some() {
            self.touch(&Event::Amount { amount: able });
        } else {
            self.far(able);
        }
        self.other_side(able)
    }

    /// Far from what was written: every number.
    fn far(&mut self, amount: u32) {
        use plinth_core::floor::Page;
        if !self.try_touch(|e| *e == Event::Turn { page: Page::Amounts }) {
            // Every load first: the one at hand stays.
            assert!(
                self.try_touch(|e| *e == Event::Turn { page: Page::Loads }),
                "{}: another number",
                self.who
            );
            let screen = self.screen();
            let at_hand =
                offered(&screen).into_iter().find(|b| b.chosen && matches!(b.event, Event::Load { .. }));
            let at_hand = at_hand.map(|b| b.event.clone()).expect("the load at hand is marked");
            self.touch(&at_hand);
        }
        let then = Event::AmountThen { amount };
        if self.offers(|e| *e == then).is_some() {
            self.touch(&then);
            self.pass(2);
            self.try_touch(|e| *e == Event::Reserve { reserve: None });
        } else {
            let fit = self.offers(|e| matches!(e, Event::AmountThen { .. } | Event::Amount { .. }));
            self.touch(&fit.expect("a number"));
            self.pass(2);
            self.try_touch(|e| *e == Event::Reserve { reserve: None });
        }
    }

    fn with_reserve(&mut self, amount: u32, reserve: u32) -> bool {
        if !self.try_touch(|e| matches!(e, Event::NotAsWritten)) {
            self.touch(&Event::Done);
            return true;
        }
        self.try_touch(|e| *e == Event::Reserve { reserve: Some(reserve) });
        self.pass(2);
        self.touch(&Event::Amount { amount });
        self.other_side(amount)
    }

    fn other_side(&mut self, amount: u32) -> bool {
        let screen = self.screen();
        if screen.form.is_some() {
            self.pass(20);
            if self.offers(|e| *e == Event::Amount { amount }).is_some() {
                self.touch(&Event::Amount { amount });
            }
        }
        true
    }

    /// A one-sided set with its sides apart: the weaker one does fewer.
    pub fn sides_apart(&mut self, weaker: u32, other: u32) -> bool {
        if !self.try_touch(|e| matches!(e, Event::NotAsWritten)) {
            return false;
        }
        if !self.try_touch(|e| *e == Event::SidesApart { apart: true }) {
            self.try_touch(|e| matches!(e, Event::Back));
            return false;
        }
        self.pass(2);
        for amount in [weaker, other] {
            if self.offers(|e| *e == Event::Amount { amount }).is_none() {
                self.try_touch(|e| matches!(e, Event::Back));
                self.try_touch(|e| matches!(e, Event::Back));
                return false;
            }
            self.touch(&Event::Amount { amount });
            self.pass(20);
        }
        true
    }

    /// The working load on the screen goes into the coach's list, once for each session and movement.
    fn propose(&mut self, screen: &FloorScreen) {
        let Some(set) = &screen.set else { return };
        let Some(m) = self.movement_named(&set.movement).map(|m| m.id.clone()) else { return };
        let day = self.today();
        if self.proposed.iter().any(|p| p.day == day && p.movement == m) {
            return;
        }
        let parts = [set.load.clone(), Some(set.amount.clone()), set.reserve.clone()];
        self.proposed.push(Proposed {
            day,
            movement: m,
            what: parts.into_iter().flatten().collect::<Vec<_>>().join(", "),
            because: set.because.clone().unwrap_or_default(),
            grams: set.load.as_deref().and_then(kilograms).map(|kg| (kg * 1000.0).round() as i64),
            amount: whole(&set.amount).unwrap_or(0),
            done: Vec::new(),
        });
    }

    fn done_of(&mut self, movement: &str) {
        let Some(id) = self.movement_named(movement).map(|m| m.id.clone()) else { return };
        let Some(last) = self.logged.last().map(|l| l.says.clone()) else { return };
        let day = self.today();
        if let Some(p) = self.proposed.iter_mut().find(|p| p.day == day && p.movement == id) {
            p.done.push(last);
        }
    }

    /// Before the first heavy set of a movement with a bar there was a ramp or a search.
    fn judge_ramp(&mut self, screen: &FloorScreen) {
        let Some(set) = &screen.set else { return };
        let Some(m) = self.movement_named(&set.movement) else { return };
        let amount = whole(&set.amount).unwrap_or(0) as i32;
        let reserve = set.reserve.as_deref().and_then(whole).unwrap_or(4) as i32;
        let heavy =
            matches!(m.tier, Tier::Main | Tier::Compound) && plinth_core::terms::heavy_set(amount, reserve);
        // An empty bar is its own ramp.
        if !heavy || set.load.as_deref().and_then(kilograms).is_none_or(|kg| kg <= 25.0) {
            return;
        }
        let Some(session) = self.session() else { return };
        let name = set.movement.clone();
        let any = self.logged.iter().any(|l: &Logged| l.session == session && l.movement == name);
        assert!(any, "{} on {}: the first set of {name} is heavy without a ramp", self.who, self.today());
    }

    /// Something hurts: where, how and how much, in four touches.
    pub fn hurts(&mut self, region: &str, nature: Nature, severity: Severity) {
        self.try_touch(|e| matches!(e, Event::Wrong));
        self.try_touch(|e| matches!(e, Event::Hurts));
        self.try_touch(|e| *e == Event::HurtsWhere { region: region.to_owned() });
        self.try_touch(|e| *e == Event::HurtsHow { nature });
        let index = super::check::region(&self.catalogue, region);
        // From the touch on the walk knows it.
        self.around.sore.push(plinth_core::safety::Sore {
            region: index,
            severity: severity as i32 + 1,
            new_or_worse: nature == Nature::NewOrWorse,
        });
        assert!(self.try_touch(|e| *e == Event::HurtsMuch { severity }), "{}: how much", self.who);
    }

    /// Something other than the next set.
    pub fn restless(&mut self) {
        match self.dice.roll() % 10 {
            0 if self.habits.stands_in => {
                if self.try_touch(|e| matches!(e, Event::StandIns { .. }))
                    && !self.try_touch(|e| matches!(e, Event::StandIn { offer: 0 }))
                {
                    self.try_touch(|e| matches!(e, Event::Back));
                }
            }
            1 => {
                self.try_touch(|e| matches!(e, Event::MinutesLeft));
                self.try_touch(|e| matches!(e, Event::Minutes { minutes: 20 | 30 }));
                if !self.try_touch(|e| matches!(e, Event::TakeMinutes { free: false })) {
                    self.try_touch(|e| matches!(e, Event::Back));
                }
            }
            2 => {
                if self.try_touch(|e| matches!(e, Event::Pause)) {
                    self.pass(400);
                    self.try_touch(|e| matches!(e, Event::Resume));
                }
            }
            3 => {
                if let Some(e) = self.offers(|e| matches!(e, Event::Longer)) {
                    self.pass(3);
                    self.touch(&e);
                }
            }
            4 => {
                if let Some(e) = self.offers(|e| matches!(e, Event::Ready)) {
                    self.touch_and_undo(&e);
                }
            }
            5 => self.correct_last(),
            6 => {
                let now = self.now.clone();
                let spoken = self.companion().dispatch(&Event::Speak, &now).expect("it speaks");
                assert!(!spoken.effects.is_empty(), "{}: it says something", self.who);
            }
            7 => {
                let to = if self.alone { Company::Spotted } else { Company::Alone };
                let back = if self.alone { Company::Alone } else { Company::Spotted };
                let was = self.alone;
                self.alone = to == Company::Alone;
                if self.try_touch(|e| *e == Event::Company { company: to }) {
                    self.pass(5);
                    self.alone = was;
                    self.try_touch(|e| *e == Event::Company { company: back });
                }
                self.alone = was;
            }
            8 => {
                if self.try_touch(|e| matches!(e, Event::Lines)) {
                    let line = self.offers(|e| matches!(e, Event::GoTo { .. }));
                    match line {
                        Some(e) if self.dice.per_cent(30) => {
                            self.touch(&e);
                        }
                        _ => {
                            self.try_touch(|e| matches!(e, Event::Back));
                        }
                    }
                }
            }
            _ => {
                if let Some(e) = self.offers(|e| matches!(e, Event::EndedEarlier)) {
                    self.touch(&e);
                }
            }
        }
    }

    /// The last set is corrected: one repetition fewer.
    fn correct_last(&mut self) {
        let Some(session) = self.session() else { return };
        let Some(at) = self.logged.iter().rposition(|l| l.session == session) else { return };
        if !self.try_touch(|e| matches!(e, Event::SetsDone)) {
            return;
        }
        // The set done last stands first in the list.
        let corrects: Vec<Event> = {
            let screen = self.screen();
            offered(&screen)
                .into_iter()
                .map(|b| &b.event)
                .filter(|e| matches!(e, Event::Correct { .. }))
                .cloned()
                .collect()
        };
        let (Some(last), true) = (corrects.first(), self.logged[at].entries.len() == 1) else {
            self.try_touch(|e| matches!(e, Event::Back));
            return;
        };
        let last = last.clone();
        self.touch(&last);
        let screen = self.screen();
        let written = screen.wide.as_ref().map(|w| w.event.clone());
        let Some(Event::Amount { amount }) = written else {
            self.try_touch(|e| matches!(e, Event::Back));
            return;
        };
        let event = Event::Amount { amount: amount.saturating_sub(1).max(1) };
        let Some(button) = offered(&screen).into_iter().find(|b| b.event == event).cloned() else {
            self.try_touch(|e| matches!(e, Event::Back));
            return;
        };
        self.pass(2);
        self.touch(&event);
        self.logged[at].says = button.spoken;
    }
}
