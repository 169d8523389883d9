//! What stands on each button: made from the event that it dispatches and from what it will record.

use super::{Button, ButtonRow, FloorWords};
use crate::catalogue::Measure;
use crate::floor::{
    Action, Asking, Company, Event, Feeling, LineView, LoadDone, Nature, Outcome, Page, Recorded, Row,
    RowKind, View,
};
use crate::load::first::LighterWay;
use crate::plan::brief::Severity;

impl FloorWords<'_> {
    pub(super) fn row(&self, view: &View, row: &Row) -> ButtonRow {
        let measure = view.set.as_ref().map_or(Measure::Repetitions, |s| s.measure);
        let of_records = row.actions.iter().find_map(|a| a.records.as_ref()).map(|r| r.measure);
        let measure = of_records.unwrap_or(measure);
        let id = serde_json::to_value(row.kind).ok().and_then(|v| v.as_str().map(str::to_owned));
        let key = format!("floor-row-{}", id.unwrap_or_default());
        let label = self.say(&key, &[("measure", measure.word().into())]);
        let buttons = row.actions.iter().map(|a| self.in_row(view, row.kind, a)).collect();
        ButtonRow { label, buttons }
    }

    fn in_row(&self, view: &View, kind: RowKind, action: &Action) -> Button {
        let mut button = self.button(view, action);
        // In a row of amounts the number alone stands on the button; a reader hears what it records.
        if kind == RowKind::Amounts
            || (kind == RowKind::Other && matches!(action.event, Event::Amount { .. }))
        {
            let (Event::Amount { amount: n } | Event::AmountThen { amount: n }) = action.event else {
                return button;
            };
            let measure = action
                .records
                .as_ref()
                .map(|r| r.measure)
                .or_else(|| view.set.as_ref().map(|s| s.measure))
                .unwrap_or(Measure::Repetitions);
            button.label = self.amount(n, measure);
        }
        if matches!(kind, RowKind::Offers) && matches!(action.event, Event::StandIns { .. }) {
            let name = action.movement.as_deref().map(|m| self.inside(m)).unwrap_or_default();
            button.label = self.say("floor-stand-ins-for", &[("movement", (&name).into())]);
            button.spoken.clone_from(&button.label);
        }
        button
    }

    pub(super) fn button(&self, view: &View, action: &Action) -> Button {
        let label = self.label(view, action);
        let mut more = Vec::new();
        if let (Some(about), Event::StandIn { .. }) = (&action.about, &action.event) {
            more.extend(about.because.iter().map(|b| self.speech.english(b)));
            more.extend(self.speech.cautions(self.texts, &about.movement));
            if about.eased {
                more.push(self.say("floor-eased", &[]));
            }
        }
        Button {
            event: action.event.clone(),
            spoken: label.clone(),
            label,
            chosen: action.chosen,
            outlined: action.outlined,
            more,
        }
    }

    /// "5 reps at 80 kg".
    pub(super) fn logged(&self, n: u32, measure: Measure, load: Option<&LoadDone>) -> String {
        let amount = self.amount(n, measure);
        match load.filter(|l| !matches!(l, LoadDone::BodyMass)) {
            Some(load) => {
                let load = self.load(load);
                self.say("floor-what-load", &[("amount", (&amount).into()), ("load", (&load).into())])
            }
            None => amount,
        }
    }

    /// "Done: 5 reps at 80 kg".
    pub(super) fn done(&self, n: u32, measure: Measure, load: Option<&LoadDone>, missed: bool) -> String {
        let amount = self.amount(n, measure);
        let loaded = load.filter(|l| !matches!(l, LoadDone::BodyMass)).map(|l| self.load(l));
        let key = match (missed, loaded.is_some()) {
            (false, false) => "floor-done",
            (false, true) => "floor-done-load",
            (true, false) => "floor-missed",
            (true, true) => "floor-missed-load",
        };
        let load = loaded.unwrap_or_default();
        self.say(key, &[("amount", (&amount).into()), ("load", (&load).into())])
    }

    /// What a touch will record.
    pub(super) fn recorded(&self, r: &Recorded) -> String {
        let missed = r.outcome == Outcome::Missed;
        let mut text = self.done(r.amount, r.measure, r.load.as_ref(), missed);
        if let Some(other) = r.other {
            let n = self.amount(other, r.measure);
            text = self.say("floor-record-other", &[("done", (&text).into()), ("n", (&n).into())]);
        }
        if let Some(reserve) = r.reserve {
            text = self.say("floor-record-reserve", &[("done", (&text).into()), ("n", reserve.into())]);
        }
        if r.ago_min > 0 {
            text = self.say("floor-record-ago", &[("done", (&text).into()), ("n", r.ago_min.into())]);
        }
        text
    }

    fn day(&self, asking: Option<&Asking>, begin: bool) -> String {
        match asking.and_then(|a| a.weekday.map(|w| (a, w))) {
            Some((a, weekday)) => {
                let day = self.speech.weekday(weekday);
                let movements = self.movements(&a.carrying);
                self.say(
                    if begin { "floor-begin-day" } else { "floor-day" },
                    &[("weekday", (&day).into()), ("movements", (&movements).into())],
                )
            }
            None => self.say(if begin { "floor-begin-free" } else { "floor-day-free" }, &[]),
        }
    }

    /// "3 sets, 8 to 12 reps at 40 kg" of a line.
    fn about(&self, l: &LineView) -> String {
        let sets = self.speech.sets(l.sets * 2);
        let amount = if l.low == l.high {
            self.amount(l.high.max(0) as u32, l.measure)
        } else {
            format!("{}–{}", l.low, self.amount(l.high.max(0) as u32, l.measure))
        };
        let load = match &l.load {
            _ if l.search => Some(self.say("floor-offer-search", &[])),
            Some(load) => Some(self.load(load)),
            None => None,
        };
        [Some(sets), Some(amount), load].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    fn label(&self, view: &View, action: &Action) -> String {
        let plain = |key: &str| self.say(key, &[]);
        let name = || action.movement.as_deref().map(|m| self.inside(m)).unwrap_or_default();
        let title = || {
            action.movement.as_deref().map(|m| self.speech.movement_in(self.catalogue, m)).unwrap_or_default()
        };
        let with = |key: &str, name: &str, value: &str| self.say(key, &[(name, value.into())]);
        if let (Some(r), Event::Done | Event::Amount { .. }) = (&action.records, &action.event) {
            return self.recorded(r);
        }
        match &action.event {
            Event::Open | Event::Tick | Event::Speak => plain("floor-speak"),
            Event::ChooseDay { day } => self.day(view.days.iter().find(|d| d.day == *day), false),
            Event::Company { company } => {
                let before = view.stage == crate::floor::Stage::Before;
                plain(match (company, before) {
                    (Company::Alone, true) => "floor-company-alone",
                    (Company::Spotted, true) => "floor-company-spotted",
                    (Company::Alone, false) => "floor-now-alone",
                    (Company::Spotted, false) => "floor-now-spotted",
                })
            }
            Event::Safeties { there: true } => plain("floor-safeties-yes"),
            Event::Safeties { there: false } => plain("floor-safeties-no"),
            Event::Adult { present: true } => plain("floor-adult-yes"),
            Event::Adult { present: false } => plain("floor-adult-no"),
            Event::Feeling { feeling } => plain(match feeling {
                Feeling::Well => "floor-feeling-well",
                Feeling::Usual => "floor-feeling-usual",
                Feeling::Tired => "floor-feeling-tired",
            }),
            Event::MinutesAtHand { minutes: None } => plain("floor-minutes-planned"),
            Event::MinutesAtHand { minutes: Some(n) } | Event::Minutes { minutes: n } => {
                self.speech.minutes(i64::from(*n))
            }
            Event::Place { place } => self.places.get(*place).map_or_else(String::new, |p| p.name.clone()),
            Event::Begin => {
                let rows = view.before.iter().filter(|r| r.kind == RowKind::Days);
                let chosen = rows.flat_map(|r| &r.actions).find(|a| a.chosen).map(|a| &a.event);
                let day = match chosen {
                    Some(Event::ChooseDay { day }) => *day,
                    _ => None,
                };
                self.day(view.days.iter().find(|d| d.day == day), true)
            }
            Event::WarmUpDone => {
                let what = view.warm_up.map(|w| self.warm_up(w)).unwrap_or_default();
                with("floor-warm-up-done", "what", &what)
            }
            Event::WarmUpSkipped => plain("floor-warm-up-skip"),
            Event::Done => plain("floor-done"),
            Event::DoneWith { form_changed: true, .. } => plain("floor-search-form"),
            Event::DoneWith { reserve, .. } => self.say("floor-search-left", &[("n", (*reserve).into())]),
            Event::HoldBegun => plain("floor-hold-begin"),
            Event::NotAsWritten => plain("floor-not-as-written"),
            Event::SetsDone => plain("floor-sets-done"),
            Event::Correct { .. } | Event::Remove { .. } => {
                let what = action.records.as_ref().map(|r| self.recorded(r)).unwrap_or_default();
                let text =
                    self.say("floor-logged", &[("movement", (&title()).into()), ("what", (&what).into())]);
                if matches!(action.event, Event::Remove { .. }) {
                    with("floor-remove", "what", &text)
                } else {
                    text
                }
            }
            Event::Late { .. } => with("floor-late", "movement", &name()),
            Event::Load { load: Some(mass) } => self.speech.mass(mass),
            Event::Load { load: None } => plain("floor-load-body"),
            Event::Reserve { reserve: None } => plain("floor-reserve-none"),
            Event::Reserve { reserve: Some(n) } => self.say("floor-reserve-n", &[("n", (*n).into())]),
            Event::Missed { missed: true } => plain("floor-missed-yes"),
            Event::Missed { missed: false } => plain("floor-missed-no"),
            Event::EndedAgo { minutes: 0 } => plain("floor-ago-now"),
            Event::EndedAgo { minutes } => self.say("floor-ago", &[("n", (*minutes).into())]),
            Event::SidesApart { apart: true } => plain("floor-sides-apart"),
            Event::SidesApart { apart: false } => plain("floor-sides-together"),
            Event::Turn { page } => plain(match page {
                Page::Loads => "floor-turn-loads",
                Page::Amounts => "floor-turn-amounts",
                Page::Reserves => "floor-turn-reserves",
                Page::Near | Page::OtherSide => "floor-turn-near",
            }),
            Event::Amount { amount } | Event::AmountThen { amount } => {
                let measure = view.set.as_ref().map_or(Measure::Repetitions, |s| s.measure);
                self.amount(*amount, measure)
            }
            Event::Back => plain("floor-back"),
            Event::Longer => plain("floor-longer"),
            Event::Ready => plain("floor-ready"),
            Event::EndedEarlier => plain("floor-ended-earlier"),
            Event::StandIns { .. } => plain("floor-stand-ins"),
            Event::StandIn { .. } => {
                let what = action.about.as_ref().map(|l| self.about(l)).unwrap_or_default();
                self.say("floor-offer", &[("movement", (&title()).into()), ("what", (&what).into())])
            }
            Event::Kit => plain("floor-kit"),
            Event::Taken { item, taken } => {
                let item = self.speech.kit_item(item);
                with(if *taken { "floor-taken" } else { "floor-free" }, "item", &item)
            }
            Event::MinutesLeft => plain("floor-minutes-left"),
            Event::TakeMinutes { free: false } => plain("floor-minutes-take"),
            Event::TakeMinutes { free: true } => plain("floor-minutes-take-other"),
            Event::Wrong => plain("floor-wrong"),
            Event::Hurts => plain("floor-hurts"),
            Event::Unwell => plain("floor-unwell"),
            Event::HurtsWhere { region } | Event::FlagWhere { region } => self.region(region),
            Event::HurtsHow { nature } => plain(match nature {
                Nature::Usual => "floor-nature-usual",
                Nature::NewOrWorse => "floor-nature-new_or_worse",
            }),
            Event::HurtsMuch { severity } => plain(match severity {
                Severity::Mild => "floor-severity-mild",
                Severity::Moderate => "floor-severity-moderate",
                Severity::Severe => "floor-severity-severe",
            }),
            Event::Flag { flag } => self.flag(flag),
            Event::ConfirmFlag { flag } => {
                let flag = self.flag(flag);
                let region = view.form.as_ref().and_then(|f| f.region.as_deref());
                match region.map(|r| self.speech.region_inside(r)) {
                    Some(region) => self.say(
                        "floor-confirm-where",
                        &[("flag", (&flag).into()), ("region", (&region).into())],
                    ),
                    None => with("floor-confirm", "flag", &flag),
                }
            }
            Event::Dial => plain("floor-dial"),
            Event::Lines => plain("floor-lines"),
            Event::GoTo { .. } => match &action.about {
                Some(l) => match &l.out {
                    Some(out) => {
                        let because = self.out(out);
                        self.say(
                            "floor-line-out",
                            &[("movement", (&title()).into()), ("because", (&because).into())],
                        )
                    }
                    None => self.say(
                        "floor-line",
                        &[("movement", (&title()).into()), ("done", l.done.into()), ("sets", l.sets.into())],
                    ),
                },
                None => title(),
            },
            Event::ExtraSet { .. } => with("floor-extra", "movement", &name()),
            Event::Movements => plain("floor-movements"),
            Event::Add { movement } => self.speech.movement_in(self.catalogue, movement),
            Event::Lighter { way } => {
                let ways = view.set.as_ref().map(|s| s.lighter_ways.as_slice()).unwrap_or_default();
                match ways.get(*way) {
                    Some(LighterWay::Bar { bar, mass }) => {
                        let mass = self.speech.mass(mass);
                        self.say("floor-lighter-bar", &[("bar", bar.into()), ("mass", (&mass).into())])
                    }
                    Some(LighterWay::DumbbellPair { each }) => {
                        with("floor-lighter-dumbbells", "mass", &self.speech.mass(each))
                    }
                    Some(LighterWay::Kettlebell { mass }) => {
                        with("floor-lighter-kettlebell", "mass", &self.speech.mass(mass))
                    }
                    Some(LighterWay::Unloaded) | None => plain("floor-lighter-unloaded"),
                }
            }
            Event::Sharing => plain("floor-sharing"),
            Event::Partner { load: None } => plain("floor-partner-none"),
            Event::Partner { load: Some(load) } => with("floor-partner", "load", &self.speech.mass(load)),
            Event::Pause => plain("floor-pause"),
            Event::Resume => plain("floor-resume"),
            Event::Close => plain("floor-close"),
            Event::CloseForgotten => {
                let last = view.forgotten.as_ref().map(|m| self.speech.time(m.local().time()));
                with("floor-close-forgotten", "time", &last.unwrap_or_default())
            }
            Event::Note { .. } => plain("floor-note"),
            Event::Undo => plain("floor-undo"),
        }
    }

    /// A flag's words are safety's.
    fn flag(&self, id: &str) -> String {
        let key = format!("flag-{}", id.replace('_', "-"));
        if self.speech.has(&key) { self.say(&key, &[]) } else { id.to_owned() }
    }
}
