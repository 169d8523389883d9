//! A lifter trains with the companion alone, as a phone would have them: reads the screen, does what a body can, and
//! touches what is offered.

use super::DemoFault;
use super::body::{Body, Chance};
use chrono::{Datelike, NaiveDate, NaiveTime};
use plinth_core::companion::Random;
use plinth_core::companion::{Companion, CompanionError};
use plinth_core::floor::{Company, Event, Feeling, Nature};
use plinth_core::load::Mass;
use plinth_core::moment::Moment;
use plinth_core::plan::brief::Severity;
use plinth_core::plan::search::Effort;
use plinth_core::progress::volume::monday;
use plinth_core::record::{
    BodyMeasurementFields, Edit, Entry, EntryId, GrantFields, NoteFields, Time, View, Writer,
};
use plinth_core::store::repeatable_random;
use plinth_core::words::Language;
use plinth_core::words::floor::{Button, FloorScreen};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// How long a plan is searched for: enough for a sound week, and the house does not wait for it.
const EFFORT: Effort = Effort { evaluations: 4_000, chains: 1 };
/// Touches after which a session is given up: a defect, since one needs some two hundred.
const MOST_STEPS: u32 = 1_000;
/// How often a lifter says what was left in reserve (an assumption).
const TELLS: f64 = 0.9;
/// The hour at which a session begins.
const HOUR: u32 = 18;

/// What befalls a lifter in the last session.
pub(super) enum Happening {
    /// A region hurts anew.
    Hurts(&'static str),
    /// A red flag, at a region.
    Flag(&'static str, &'static str),
}

/// A lifter in training.
pub(super) struct Training {
    companion: Companion,
    now: Moment,
    first: NaiveDate,
    body: Body,
    chance: Chance,
    ids: Random,
    /// Names on the screen, with their ids.
    names: BTreeMap<String, String>,
    weighed: Vec<Edit>,
}

impl Training {
    /// With an empty record, on the morning of the first day.
    pub(super) fn begin(
        seed: u64,
        body: Body,
        now: &Moment,
        first: NaiveDate,
    ) -> Result<Self, CompanionError> {
        let mut now = now.clone();
        set(&mut now, first, 9);
        let random = Box::new(repeatable_random(seed));
        let companion = Companion::from_afar(Language::English, &now, random)?;
        let (catalogue, speech) = (companion.catalogue(), companion.speech());
        let names = catalogue.movements.iter();
        let names = names.map(|m| (speech.movement_in(catalogue, &m.id), m.id.clone())).collect();
        let (chance, ids) = (Chance::new(seed ^ 0xb0d7), Box::new(repeatable_random(seed ^ 0x1d5)));
        Ok(Self { companion, now, first, body, chance, ids, names, weighed: Vec::new() })
    }

    fn id(&mut self) -> EntryId {
        let mut random = [0; 10];
        (self.ids)(&mut random);
        self.pass(1);
        EntryId::new(u64::try_from(self.now.wall_ms).unwrap_or(0), random)
    }

    fn pass(&mut self, seconds: u32) {
        self.now.wall_ms += i64::from(seconds) * 1000;
        self.now.monotonic_ms += u64::from(seconds) * 1000;
    }

    /// Says who they are and what they want, and takes on a first programme.
    pub(super) fn introduce(&mut self, name: &str, brief: &Value) -> Result<(), DemoFault> {
        self.companion.tell_lifter("name", &json!(name), &self.now)?;
        self.companion.tell_brief(brief.to_string().as_bytes(), &self.now)?;
        let answer = self.companion.plan(&self.now, EFFORT, &mut || true);
        self.take_on(&answer.programme, self.first)
    }

    fn take_on(&mut self, programme: &impl serde::Serialize, from: NaiveDate) -> Result<(), DemoFault> {
        let json = serde_json::to_vec(programme).map_err(|e| DemoFault::Data(e.to_string()))?;
        self.companion.take_on(&json, "own", from, &self.now)?;
        Ok(())
    }

    /// Trains on every day of the programme up to a day; what happens, happens in the last session.
    pub(super) fn until(&mut self, last: NaiveDate, happens: &[Happening]) -> Result<(), DemoFault> {
        let days: Vec<NaiveDate> = self.first.iter_days().take_while(|d| *d <= last).collect();
        let mut week = None;
        // The last training day is known once the programme is: the days of a week stay alike from block to block.
        let trains = |me: &Self, day: NaiveDate| {
            let programme = me.companion.programme();
            programme.is_some_and(|(_, p, _)| {
                p.days.iter().any(|d| d.weekday as u32 == day.weekday().num_days_from_monday())
            })
        };
        for day in &days {
            set(&mut self.now, *day, 8);
            if week != Some(monday(*day)) {
                week = Some(monday(*day));
                self.weigh()?;
                self.next_block(*day)?;
            }
            if trains(self, *day) {
                let is_last = !days.iter().any(|d| d > day && trains(self, *d));
                set(&mut self.now, *day, HOUR);
                self.session(if is_last { happens } else { &[] })?;
            }
        }
        Ok(())
    }

    /// Once a week the lifter steps on the scales; it is typed in with the grant.
    fn weigh(&mut self) -> Result<(), DemoFault> {
        let id = self.id();
        let mass = format!("{:.1} kg", self.body.mass_kg * (1.0 + 0.006 * self.chance.stray()));
        let value = json!({ "what": "body_mass", "value": mass, "measured_at": self.now.rfc3339() });
        let fields: BodyMeasurementFields =
            serde_json::from_value(value).map_err(|e| DemoFault::Data(e.to_string()))?;
        self.weighed.push(fields.edit(id));
        Ok(())
    }

    /// The block after the one that is over.
    fn next_block(&mut self, day: NaiveDate) -> Result<(), DemoFault> {
        let over = self.companion.programme().is_some_and(|(_, programme, starts_on)| {
            let passed = (monday(day) - monday(starts_on)).num_days() / 7;
            usize::try_from(passed).is_ok_and(|passed| passed >= programme.block.len())
        });
        if over {
            let next = self.companion.next_block(&self.now, EFFORT, &mut || true)?;
            let brief = serde_json::to_vec(&next.brief).map_err(|e| DemoFault::Data(e.to_string()))?;
            self.companion.tell_brief(&brief, &self.now)?;
            self.take_on(&next.answer.programme, day)?;
        }
        Ok(())
    }

    /// Touches something. A refusal is no fault: the screen says what can be done.
    fn touch(&mut self, event: &Event) -> Result<FloorScreen, DemoFault> {
        self.pass(2);
        match self.companion.dispatch(event, &self.now)?.screen.floor() {
            Some(screen) => Ok(screen),
            None => Ok(self.companion.floor(&self.now)?),
        }
    }

    /// A session from its questions to its close.
    fn session(&mut self, happens: &[Happening]) -> Result<(), DemoFault> {
        for event in [
            Event::Company { company: Company::Spotted },
            Event::Safeties { there: true },
            Event::Feeling { feeling: Feeling::Usual },
        ] {
            self.touch(&event)?;
        }
        let mut screen = self.touch(&Event::Begin)?;
        let day = self.chance.stray();
        let mut done: BTreeMap<String, u32> = BTreeMap::new();
        for _ in 0..MOST_STEPS {
            screen = match screen.stage.as_str() {
                "warm_up" => {
                    self.pass(90);
                    self.touch(&Event::WarmUpDone)?
                }
                "resting" => {
                    let ends = screen.clock.as_ref().map_or(0, |c| c.ends_monotonic_ms);
                    let left = ends.saturating_sub(self.now.monotonic_ms).div_ceil(1000);
                    self.pass(u32::try_from(left).unwrap_or(0) + 15);
                    // A rest that is over brings up the next set.
                    self.companion.floor(&self.now)?
                }
                "lifting" if !happens.is_empty() && done.values().sum::<u32>() >= 3 => {
                    return self.befall(happens);
                }
                "lifting" => {
                    self.pass(40);
                    self.set(&screen, day, &mut done)?
                }
                _ => break,
            };
        }
        self.touch(&Event::Close)?;
        Ok(())
    }

    /// What happens, and the end of the session.
    fn befall(&mut self, happens: &[Happening]) -> Result<(), DemoFault> {
        for happening in happens {
            self.touch(&Event::Wrong)?;
            let touches = match *happening {
                Happening::Hurts(region) => [
                    Event::Hurts,
                    Event::HurtsWhere { region: region.into() },
                    Event::HurtsHow { nature: Nature::NewOrWorse },
                    Event::HurtsMuch { severity: Severity::Moderate },
                ],
                Happening::Flag(flag, region) => [
                    Event::Unwell,
                    Event::Flag { flag: flag.into() },
                    Event::FlagWhere { region: region.into() },
                    Event::ConfirmFlag { flag: flag.into() },
                ],
            };
            for event in &touches {
                self.touch(event)?;
            }
        }
        self.touch(&Event::Close)?;
        Ok(())
    }

    /// The set on the screen, as the body can.
    fn set(
        &mut self,
        screen: &FloorScreen,
        day: f64,
        done: &mut BTreeMap<String, u32>,
    ) -> Result<FloorScreen, DemoFault> {
        let Some(set) = &screen.set else { return self.touch(&Event::Close) };
        let wanted = first_number(&set.amount);
        let before = done.entry(set.movement.clone()).or_default();
        let kg = set.load.as_deref().and_then(kilograms);
        let weeks = (self.now.local().date_naive() - self.first).num_days() as f64 / 7.0;
        let catalogue = self.companion.catalogue();
        let m = self.names.get(&set.movement).and_then(|id| catalogue.movement(id));
        let able = m.map_or(wanted, |m| self.body.able(catalogue, m, kg, weeks, day, *before));
        *before += 1;
        let left = able.saturating_sub(wanted).min(5);
        if offers(screen, &|e| matches!(e, Event::DoneWith { .. })) {
            return self.touch(&Event::DoneWith { reserve: left, form_changed: able < wanted });
        }
        if !offers(screen, &|e| *e == Event::Done) {
            // No load can be made for it here: another movement, or it is left.
            let screen = self.touch(&Event::NotAsWritten)?;
            return self.stand_in(&screen);
        }
        if able < wanted {
            let form = self.touch(&Event::NotAsWritten)?;
            let amount = able.max(1);
            if offers(&form, &|e| *e == Event::Amount { amount }) {
                return self.amount(amount);
            }
            self.touch(&Event::Back)?;
        } else if self.chance.happens(TELLS) {
            self.touch(&Event::NotAsWritten)?;
            let form = self.touch(&Event::Reserve { reserve: Some(left) })?;
            if offers(&form, &|e| *e == Event::Amount { amount: wanted }) {
                return self.amount(wanted);
            }
            self.touch(&Event::Back)?;
        }
        self.touch(&Event::Done)
    }

    /// So many, and as many with the other side where it is asked.
    fn amount(&mut self, amount: u32) -> Result<FloorScreen, DemoFault> {
        let screen = self.touch(&Event::Amount { amount })?;
        if screen.form.is_some() {
            self.pass(30);
            return self.touch(&Event::Amount { amount });
        }
        Ok(screen)
    }

    fn stand_in(&mut self, screen: &FloorScreen) -> Result<FloorScreen, DemoFault> {
        let asks =
            offered(screen).find(|b| matches!(b.event, Event::StandIns { .. })).map(|b| b.event.clone());
        let Some(asks) = asks else { return self.touch(&Event::Close) };
        self.touch(&asks)?;
        self.touch(&Event::StandIn { offer: 0 })
    }

    /// Opens the record to a coach.
    pub(super) fn grant(&mut self, to: &str, may: &[&str]) -> Result<(), DemoFault> {
        let id = self.id();
        let fields = GrantFields {
            to: Some(to.to_owned()),
            may: Some(may.iter().map(|m| (*m).to_owned()).collect()),
            from: Some(Time::of(&self.now)),
            ..GrantFields::default()
        };
        let mut edits = std::mem::take(&mut self.weighed);
        edits.push(fields.edit(id));
        Ok(self.companion.edit(&edits, &self.now)?)
    }

    /// Writes a note to the coach.
    pub(super) fn note(&mut self, text: &str) -> Result<(), DemoFault> {
        let id = self.id();
        let fields = NoteFields {
            text: Some(text.to_owned()),
            by: Some(Writer::Lifter),
            written_at: Some(Time::of(&self.now)),
            ..NoteFields::default()
        };
        Ok(self.companion.edit(&[fields.edit(id)], &self.now)?)
    }

    /// The record.
    pub(super) fn entries(&self) -> Result<Vec<Entry>, DemoFault> {
        let (mut all, mut after) = (Vec::new(), None);
        loop {
            let page = self.companion.store().all(after, 1_000).map_err(CompanionError::from)?;
            let Some(last) = page.last() else { return Ok(all) };
            after = Some(last.id);
            all.extend(page);
        }
    }
}

/// Sets the clock to an hour of a day, as the zone of now says; it never goes back.
fn set(now: &mut Moment, day: NaiveDate, hour: u32) {
    let time = NaiveTime::from_hms_opt(hour, 0, 0).unwrap_or_default();
    let wall_ms = day.and_time(time).and_utc().timestamp_millis() - i64::from(now.offset_min) * 60_000;
    let ahead = u64::try_from(wall_ms - now.wall_ms).unwrap_or(0);
    now.monotonic_ms += ahead;
    now.wall_ms = wall_ms;
}

fn offered(screen: &FloorScreen) -> impl Iterator<Item = &Button> {
    let rows = screen.form.iter().flat_map(|f| &f.rows).chain(&screen.rows).chain(&screen.more);
    screen.wide.iter().chain(&screen.actions).chain(rows.flat_map(|r| &r.buttons))
}

fn offers(screen: &FloorScreen, is: &dyn Fn(&Event) -> bool) -> bool {
    offered(screen).any(|b| is(&b.event))
}

/// The first whole number of a text, such as that of "5 reps".
fn first_number(text: &str) -> u32 {
    let digits: String =
        text.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap_or(1)
}

/// The load of a text, such as "22.5 kg each", in kilograms.
fn kilograms(text: &str) -> Option<f64> {
    let text = text.trim_start_matches(|c: char| !c.is_ascii_digit());
    let mut words = text.split_whitespace();
    let (number, unit) = (words.next()?, words.next()?.trim_matches(|c: char| !c.is_ascii_alphabetic()));
    format!("{number} {unit}").parse::<Mass>().ok().map(|m| m.kilograms())
}
