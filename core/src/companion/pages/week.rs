//! The week: its days and lines.

use super::{Did, Making, No, pick};
use crate::catalogue::ShareKind;
use crate::companion::error::CompanionError;
use crate::companion::known::setting_u32;
use crate::companion::{Companion, Moment};
use crate::page::{Block, Deed, Spot, Tally};
use crate::plan::programme::{Mark, MuscleVolume, Programme, ProgrammeDay};
use crate::plan::search::Effort;
use crate::words::{self, Arg};
use serde_json::Value;

/// The value of a rest that is not the lifter's own.
const PROPOSED: &str = "proposed";
/// Seconds of a step, and those that a lifter's own rest may have.
const REST_STEP_S: u32 = 15;
const REST_S: std::ops::RangeInclusive<u32> = 15..=900;

/// The setting of a movement's own rest.
fn rest_key(movement: &str) -> String {
    format!("rest_s.{movement}")
}

impl Companion {
    pub(super) fn week_has(&self, spot: &Spot) -> bool {
        let days = self.known.programmes.running.as_ref().map_or(&[][..], |r| &r.programme.days);
        match spot {
            Spot::Line { day, line } => {
                days.get(*day as usize).is_some_and(|d| (*line as usize) < d.lines.len())
            }
            Spot::Sent { id } => self.waits_at(id).is_some(),
            _ => true,
        }
    }

    pub(super) fn week_page(&self, spot: &Spot, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        if let Spot::Sent { id } = spot {
            return Ok(self.sent_page(id, moment));
        }
        let mut page = Making::new(s, s.say("place-week", &[]));
        if *spot == Spot::Week {
            self.tell_waiting(&mut page)?;
        }
        let Some(running) = &self.known.programmes.running else {
            page.sentence(s.say("page-no-week", &[]));
            page.deed("page-make-week", Deed::MakeWeek, true);
            page.line(s.say("brief-change", &[]), Vec::new(), Spot::Brief);
            return Ok(page);
        };
        let programme = &running.programme;
        if let Spot::Line { day, line } = spot {
            self.line_page(&mut page, programme, *day as usize, *line as usize);
            return Ok(page);
        }
        if !programme.title.is_empty() {
            page.sentence(programme.title.clone());
        }
        if let Some(next) = &self.known.programmes.next {
            let (title, date) = (&next.programme.title, s.date(next.starts_on));
            let key = if title.is_empty() { "week-next-untitled" } else { "week-next" };
            page.sentence(s.say(key, &[("title", title.into()), ("date", (&date).into())]));
        }
        for (d, day) in programme.days.iter().enumerate() {
            page.blocks.push(Block::Heading { text: self.day_head(day) });
            for (l, line) in day.lines.iter().enumerate() {
                let name = s.movement_in(&self.known.catalogue, &line.movement);
                let more = vec![words::prescription(s, line)];
                page.line(name, more, Spot::Line { day: d as u32, line: l as u32 });
            }
        }
        self.weekly_sets(&mut page, programme);
        page.sentence(words::claim(s, programme.certificate.claim()));
        Ok(page)
    }

    /// What a programme's week adds up to for each muscle.
    pub(super) fn weekly_sets(&self, page: &mut Making<'_>, programme: &Programme) {
        page.heading("head-weekly-sets");
        let tallies = programme.weekly_sets.iter().map(|v| self.tally(v)).collect();
        page.blocks.push(Block::Tallies { notes: vec![self.speech.say("pages-tally-note", &[])], tallies });
    }

    /// What a line is for: what it carries or fills, what it trains, what may be done to it.
    fn line_page(&self, page: &mut Making<'_>, programme: &Programme, day: usize, line: usize) {
        let (c, s) = (&self.known.catalogue, &self.speech);
        let Some(line) = programme.days.get(day).and_then(|d| d.lines.get(line)) else { return };
        page.title = s.movement_in(c, &line.movement);
        page.sentence(words::prescription(s, line));
        if let Some(tempo) = line.tempo.filter(|t| t.repetition_s() > 0) {
            page.sentence(words::tempo(s, &tempo));
        }
        page.sentence(s.say(if line.carrying { "pages-carries" } else { "pages-fills" }, &[]));
        let key = match line.mark {
            Mark::Keep => "pages-mark-keep",
            Mark::MayBend => "pages-mark-may-bend",
        };
        page.sentence(s.say(key, &[]));
        let Some(m) = c.movement(&line.movement) else { return };
        page.caution(s.cautions(&self.shelf.texts, &m.id));
        self.ask_rest(page, &m.id, line.rest_s);
        for share in [ShareKind::Direct, ShareKind::Indirect] {
            let muscles: Vec<String> = (m.trains.iter())
                .filter(|t| t.share == share)
                .filter_map(|t| Some(s.muscle_inside(&c.muscles.get(t.muscle)?.id)))
                .collect();
            if !muscles.is_empty() {
                let key = match share {
                    ShareKind::Direct => "pages-trains-direct",
                    ShareKind::Indirect => "pages-trains-shared",
                };
                page.sentence(s.say(key, &[("muscles", (&s.and(&muscles)).into())]));
            }
        }
        page.line(s.say("pages-in-catalogue", &[]), Vec::new(), Spot::Movement { id: m.id.clone() });
    }

    /// Asks for the lifter's own rest after a set. The floor of rest stands above it, on the floor itself.
    fn ask_rest(&self, page: &mut Making<'_>, movement: &str, proposed_s: i32) {
        let s = &self.speech;
        let own = setting_u32(&self.known.settings, &rest_key(movement));
        let now = own.unwrap_or_else(|| u32::try_from(proposed_s).unwrap_or(0));
        let mut buttons = vec![page.pick("rest", PROPOSED, "pages-rest-proposed", own.is_none())];
        let steps = [
            ("pages-rest-shorter", now.saturating_sub(REST_STEP_S)),
            ("pages-rest-longer", now + REST_STEP_S),
        ];
        for (key, seconds) in steps {
            if REST_S.contains(&seconds) && seconds != now {
                buttons.push(pick("rest", &seconds.to_string(), s.say(key, &[("n", REST_STEP_S.into())])));
            }
        }
        let time = s.clock(i64::from(now));
        let label = s.say("pages-rest", &[("time", (&time).into())]);
        page.blocks.push(Block::Question { label, notes: vec![s.say("pages-rest-note", &[])], buttons });
    }

    pub(super) fn choose_in_week(
        &mut self,
        spot: &Spot,
        field: &str,
        value: &str,
        moment: &Moment,
    ) -> Result<(), No> {
        let no_field = || No::Field(field.to_owned());
        if matches!(spot, Spot::Sent { .. }) {
            return self.choose_in_sent(spot, field, value, moment);
        }
        let Spot::Line { day, line } = spot else { return Err(no_field()) };
        if field != "rest" {
            return Err(no_field());
        }
        let running = self.known.programmes.running.as_ref().ok_or(No::NotHere)?;
        let day = running.programme.days.get(*day as usize).ok_or(No::NotHere)?;
        let movement = day.lines.get(*line as usize).ok_or(No::NotHere)?.movement.clone();
        let seconds = if value == PROPOSED {
            Value::Null
        } else {
            let seconds = value.parse::<u32>().ok().filter(|s| REST_S.contains(s));
            seconds.ok_or_else(|| No::Field("value".into()))?.into()
        };
        Ok(self.set(&rest_key(&movement), seconds, moment)?)
    }

    fn tally(&self, v: &MuscleVolume) -> Tally {
        let s = &self.speech;
        let label = s.muscle(&v.muscle);
        let [direct, shared, low, high] = [v.direct, v.shared, v.minimum, v.maximum].map(|n| s.halves(n));
        let args = [
            ("muscle", (&label).into()),
            ("direct", Arg::Decimal(&direct)),
            ("shared", Arg::Decimal(&shared)),
            ("low", Arg::Decimal(&low)),
            ("high", Arg::Decimal(&high)),
        ];
        Tally {
            sentence: s.say("pages-tally", &args),
            label,
            direct_half_sets: v.direct,
            shared_half_sets: v.shared,
            low_half_sets: v.minimum,
            high_half_sets: v.maximum,
        }
    }

    /// A day is named by the movements that carry it.
    pub(super) fn day_head(&self, day: &ProgrammeDay) -> String {
        let name = |id: &str| self.speech.movement_in(&self.known.catalogue, id);
        let carriers: Vec<String> =
            day.lines.iter().filter(|l| l.carrying).map(|l| name(&l.movement)).collect();
        let weekday = self.speech.weekday(day.weekday);
        if carriers.is_empty() {
            return weekday;
        }
        let carriers = self.speech.and(&carriers);
        self.speech.say("day-head", &[("day", Arg::Text(&weekday)), ("movements", Arg::Text(&carriers))])
    }

    pub(super) fn do_in_week(&mut self, spot: &Spot, deed: &Deed, moment: &Moment) -> Result<Did, No> {
        if let Spot::Sent { id } = spot {
            return self.do_in_sent(id, deed, moment);
        }
        if *deed != Deed::MakeWeek || *spot != Spot::Week || self.known.programmes.running.is_some() {
            return Err(No::NotHere);
        }
        let answer = self.plan(moment, Effort::QUICK, &mut || true);
        let json = serde_json::to_vec(&answer.programme).map_err(CompanionError::data)?;
        self.take_on(&json, "own", moment.local().date_naive(), moment)?;
        Ok(Did::default())
    }
}
