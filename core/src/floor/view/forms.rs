//! The forms of a screen: each row with its buttons, and what each touch will record.

use super::make::{cautions, load_done, movement_of, preview};
use super::{Action, FormKind, FormView, LineView, Recorded, Row, RowKind};
use crate::floor::change::{addable, kit_needed};
use crate::floor::event::Event;
use crate::floor::form::{AGO_MIN, all_amounts, near_amounts, near_loads, written};
use crate::floor::house::House;
use crate::floor::loads::loads_for;
use crate::floor::next::Next;
use crate::floor::state::{Form, Line, Loading, Nature, Out, Page, SetForm, SetWhat, State, Told};
use crate::floor::work::{Values, sides};
use crate::load::Mass;
use crate::plan::brief::Severity;

fn line_view(state: &State, house: &House<'_>, k: Option<usize>, line: &Line) -> LineView {
    let mass = match &line.loading {
        Loading::Weight { made, .. } => Some(*made),
        _ => None,
    };
    LineView {
        movement: line.movement.clone(),
        done: k.map_or(0, |k| state.done_of(k)),
        sets: line.sets,
        low: line.low,
        high: line.high,
        measure: line.measure,
        reserve: line.reserve,
        load: load_done(line, mass),
        search: matches!(line.loading, Loading::Find { .. }),
        out: line.out.clone(),
        because: None,
        related: true,
        cautions: cautions(house, &line.movement),
        eased: line.eased,
    }
}

pub(super) fn form_view(state: &State, house: &House<'_>, form: &Form) -> FormView {
    let mut view = FormView {
        kind: FormKind::Wrong,
        movement: None,
        rows: Vec::new(),
        told: Vec::new(),
        seconds: None,
        side: None,
        named: None,
        region: None,
    };
    let row = |kind, actions: Vec<Action>| Row { kind, actions };
    let regions = |event: &dyn Fn(String) -> Event| {
        house.catalogue.regions.iter().map(|r| Action::new(event(r.id.clone()))).collect::<Vec<_>>()
    };
    match form {
        Form::Set { set } => set_form(&mut view, state, house, set),
        Form::Sets => {
            view.kind = FormKind::Sets;
            let of = |event: &dyn Fn(usize) -> Event| -> Vec<Action> {
                let all = state.sets.iter().enumerate().rev().filter(|(_, s)| !s.deleted);
                all.map(|(k, s)| {
                    let records = Recorded {
                        outcome: s.outcome,
                        amount: s.amount,
                        other: None,
                        measure: s.measure,
                        load: s.load.clone(),
                        reserve: s.reserve,
                        both_sides: false,
                        ago_min: 0,
                    };
                    Action { records: Some(records), ..Action::of(event(k), &s.movement) }
                })
                .collect()
            };
            view.rows.push(row(RowKind::Sets, of(&|set| Event::Correct { set })));
            view.rows.push(row(RowKind::Remove, of(&|set| Event::Remove { set })));
        }
        Form::StandIns { line, offers } => {
            view.kind = FormKind::StandIns;
            view.movement = movement_of(state, *line);
            let actions = offers.iter().enumerate().map(|(k, o)| {
                let mut about = line_view(state, house, None, &o.line);
                about.because.clone_from(&o.because);
                about.related = o.related;
                Action { about: Some(about), ..Action::of(Event::StandIn { offer: k }, &o.line.movement) }
            });
            view.rows.push(row(RowKind::Offers, actions.collect()));
        }
        Form::Kit => {
            view.kind = FormKind::Kit;
            let actions = kit_needed(state, house).into_iter().map(|item| {
                let taken = state.taken.contains(&item);
                Action::chosen(Event::Taken { item, taken: !taken }, taken)
            });
            view.rows.push(row(RowKind::Kit, actions.collect()));
        }
        Form::Minutes { answer } => {
            view.kind = if answer.is_some() { FormKind::MinutesAnswer } else { FormKind::Minutes };
            let now = answer.as_ref().map(|a| a.minutes);
            let minutes = [5, 10, 15, 20, 30, 40, 50, 60]
                .map(|m| Action::chosen(Event::Minutes { minutes: m }, now == Some(m)));
            view.rows.push(row(RowKind::Minutes, minutes.to_vec()));
            if let Some(a) = answer {
                view.told.clone_from(&a.cut);
                view.seconds = Some(a.seconds);
                if let Some(free) = &a.free {
                    let new = free.iter().filter(|s| state.lines.iter().all(|l| l.movement != s.movement));
                    view.told
                        .extend(new.map(|s| Told::BroughtIn { movement: s.movement.clone(), sets: s.sets }));
                    view.rows.push(row(RowKind::Other, vec![Action::new(Event::TakeMinutes { free: true })]));
                }
            }
        }
        Form::Wrong => {
            view.rows.push(row(RowKind::Wrong, vec![Action::new(Event::Hurts), Action::new(Event::Unwell)]));
        }
        Form::Where => {
            view.kind = FormKind::Where;
            view.rows.push(row(RowKind::Regions, regions(&|region| Event::HurtsWhere { region })));
        }
        Form::How { region } => {
            view.kind = FormKind::How;
            view.named = Some(region.clone());
            let actions =
                [Nature::Usual, Nature::NewOrWorse].map(|nature| Action::new(Event::HurtsHow { nature }));
            view.rows.push(row(RowKind::Nature, actions.to_vec()));
        }
        Form::Much { region, .. } => {
            view.kind = FormKind::Much;
            view.named = Some(region.clone());
            let actions = [Severity::Mild, Severity::Moderate, Severity::Severe]
                .map(|severity| Action::new(Event::HurtsMuch { severity }));
            view.rows.push(row(RowKind::Severity, actions.to_vec()));
        }
        Form::Unwell => {
            view.kind = FormKind::Unwell;
            let actions = house.flags.iter().map(|f| Action::new(Event::Flag { flag: f.id.clone() }));
            view.rows.push(row(RowKind::Flags, actions.collect()));
        }
        Form::FlagWhere { flag } => {
            view.kind = FormKind::FlagWhere;
            view.named = Some(flag.clone());
            view.rows.push(row(RowKind::Regions, regions(&|region| Event::FlagWhere { region })));
        }
        Form::Confirm { flag, region, .. } => {
            view.kind = FormKind::Confirm;
            view.named = Some(flag.clone());
            view.region.clone_from(region);
        }
        Form::Lines => {
            view.kind = FormKind::Lines;
            let about = |event: Event, k: usize, l: &Line| Action {
                about: Some(line_view(state, house, Some(k), l)),
                ..Action::of(event, &l.movement)
            };
            let lines = || state.order.iter().filter_map(|k| state.lines.get(*k).map(|l| (*k, l)));
            let at = state.next(house).line();
            let go = lines().filter(|(k, _)| state.open_line(*k)).map(|(k, l)| {
                let mut a = about(Event::GoTo { line: k }, k, l);
                a.chosen = at == Some(k);
                a
            });
            view.rows.push(row(RowKind::Lines, go.collect()));
            let more = lines().filter(|(_, l)| matches!(l.out, None | Some(Out::Minutes)) && l.sets < 30);
            view.rows.push(row(
                RowKind::Extra,
                more.map(|(k, l)| about(Event::ExtraSet { line: k }, k, l)).collect(),
            ));
            let out = lines().filter(|(k, l)| {
                matches!(l.out, Some(Out::Safety { .. } | Out::Hurt)) && state.done_of(*k) < l.sets
            });
            view.rows.push(row(
                RowKind::Offers,
                out.map(|(k, l)| about(Event::StandIns { line: k }, k, l)).collect(),
            ));
            let late = lines().filter(|(k, l)| {
                let step = Next::Work { line: *k, pair: None };
                Values::written(state, step).is_some() && !matches!(l.out, Some(Out::StoodIn { .. }))
            });
            view.rows
                .push(row(RowKind::Late, late.map(|(k, l)| about(Event::Late { line: k }, k, l)).collect()));
        }
        Form::Movements => {
            view.kind = FormKind::Movements;
            let all = addable(state, house);
            let actions = all.iter().map(|m| Action::of(Event::Add { movement: m.id.clone() }, &m.id));
            view.rows.push(row(RowKind::Movements, actions.collect()));
        }
        Form::Sharing => {
            view.kind = FormKind::Sharing;
            let line = state.next(house).line().and_then(|k| state.lines.get(k));
            let mut actions = vec![Action::chosen(Event::Partner { load: None }, state.partner.is_none())];
            let loads = line.map(|l| loads_for(&house.kit(state), l)).unwrap_or_default();
            actions.extend(loads.into_iter().map(|m| {
                let chosen = state.partner.as_ref().is_some_and(|p| p.load == m);
                Action::chosen(Event::Partner { load: Some(m) }, chosen)
            }));
            view.rows.push(row(RowKind::Partner, actions));
        }
    }
    view
}

fn set_form(view: &mut FormView, state: &State, house: &House<'_>, set: &SetForm) {
    let line = state.lines.get(set.line);
    let (asked_mass, asked_amount) = written(state, house, set);
    let all = line.map(|l| loads_for(&house.kit(state), l)).unwrap_or_default();
    let row = |kind, actions: Vec<Action>| Row { kind, actions };
    let loads = |of: Vec<Mass>| -> Vec<Action> {
        of.into_iter().map(|m| Action::chosen(Event::Load { load: Some(m) }, set.mass == Some(m))).collect()
    };
    let amounts = |of: Vec<u32>| -> Vec<Action> {
        of.into_iter()
            .map(|amount| Action {
                records: preview(state, set, amount),
                ..Action::chosen(Event::Amount { amount }, amount == set.amount)
            })
            .collect()
    };
    let reserves = || -> Vec<Action> {
        let told =
            (0..=5).map(|r| Action::chosen(Event::Reserve { reserve: Some(r) }, set.reserve == Some(r)));
        told.chain([Action::chosen(Event::Reserve { reserve: None }, set.reserve.is_none())]).collect()
    };
    // Each says what its touch does; what holds now is in the wide action.
    let missed = |m: bool| vec![Action::new(Event::Missed { missed: m })];
    view.movement = movement_of(state, set.line);
    view.kind = match (set.page, set.what) {
        (Page::OtherSide, _) => FormKind::OtherSide,
        (Page::Loads, _) => FormKind::AllLoads,
        (Page::Amounts, _) => FormKind::AllAmounts,
        (Page::Reserves, _) => FormKind::Reserves,
        (Page::Near, SetWhat::Next) => FormKind::NotAsWritten,
        (Page::Near, SetWhat::Correct { .. }) => FormKind::Correct,
        (Page::Near, SetWhat::Late) => FormKind::Late,
    };
    let each = line.is_some_and(|l| l.each) && !matches!(set.what, SetWhat::Correct { .. });
    if each && set.apart {
        let [first, second] = sides(house, line.map_or("", |l| l.movement.as_str()));
        view.side = Some(if set.weaker.is_some() { second } else { first });
    }
    match set.page {
        Page::Near => {
            if !all.is_empty() {
                view.rows.push(row(RowKind::Loads, loads(near_loads(&all, asked_mass))));
            }
            view.rows.push(row(RowKind::Reserve, reserves()));
            view.rows.push(row(RowKind::Missed, missed(!set.missed)));
            let ago =
                AGO_MIN.map(|minutes| Action::chosen(Event::EndedAgo { minutes }, set.ago_min == minutes));
            if !matches!(set.what, SetWhat::Correct { .. }) {
                view.rows.push(row(RowKind::Ago, ago.to_vec()));
            }
            if each {
                let apart = Action::new(Event::SidesApart { apart: !set.apart });
                view.rows.push(row(RowKind::Sides, vec![apart]));
            }
            view.rows.push(row(RowKind::Amounts, amounts(near_amounts(state, set, asked_amount))));
            let page = if all.is_empty() { Page::Amounts } else { Page::Loads };
            view.rows.push(row(RowKind::Other, vec![Action::new(Event::Turn { page })]));
        }
        Page::OtherSide => {
            let near = near_amounts(state, set, set.weaker.unwrap_or(asked_amount));
            view.rows.push(row(RowKind::Amounts, amounts(near)));
            let rest: Vec<u32> = all_amounts(state, set);
            view.rows.push(row(RowKind::Other, amounts(rest)));
        }
        Page::Loads => view.rows.push(row(RowKind::AllLoads, loads(all))),
        Page::Amounts => {
            let of = all_amounts(state, set);
            let actions = if set.apart {
                amounts(of)
            } else {
                let then = |amount| Action::chosen(Event::AmountThen { amount }, amount == set.amount);
                of.into_iter().map(then).collect()
            };
            view.rows.push(row(RowKind::Amounts, actions));
        }
        Page::Reserves => {
            let record = |mut a: Action, reserve, missed| {
                let mut with = set.clone();
                (with.reserve, with.missed) = (reserve, missed);
                a.records = preview(state, &with, set.amount);
                a
            };
            let told = reserves().into_iter().map(|a| match a.event {
                Event::Reserve { reserve } => record(a, reserve, set.missed),
                _ => a,
            });
            view.rows.push(row(RowKind::Reserve, told.collect()));
            let miss = Action::new(Event::Missed { missed: true });
            view.rows.push(row(RowKind::Missed, vec![record(miss, set.reserve, true)]));
        }
    }
}
