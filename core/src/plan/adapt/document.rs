//! The adapted programme as a document, and the list of its differences.

use super::apply::place_folded;
use super::day::{Fate, Use};
use super::difference::{Adapted, Change, Difference, Reason};
use super::options::{Choice, Ground, Kept, Options};
use super::week::Solved;
use crate::plan::brief::Weekday;
use crate::plan::model::{Limit, Slot, Week, score};
use crate::plan::order::turns;
use crate::plan::prescription::Prescription;
use crate::plan::programme::{BlockLine, BlockWeek, Certificate, Line, Programme, ProgrammeDay, WarmUp};
use crate::plan::{Solved as SolvedBrief, solve};

/// A line of the adapted day with where it comes from.
struct Placed<'a> {
    options: &'a Options,
    choice: &'a Choice,
    line: Line,
}

fn placed<'a>(ground: &Ground, options: &'a Options, fate: Fate) -> Option<Placed<'a>> {
    let (n, sets) = fate?;
    let choice = options.choices.get(n)?;
    let published = ground.line(options.place);
    let m = &ground.planner.catalogue.movements[choice.movement];
    let p = choice.prescription;
    let line = Line {
        movement: m.id.clone(),
        carrying: published.carrying,
        mark: published.mark,
        sets,
        measure: m.measure,
        low: p.low,
        high: p.high,
        reserve: p.reserve,
        rest_s: p.rest_s,
        ramp_sets: choice.ramp_sets,
        // A tempo and a cue are of their movement; a stand-in is done as it comes.
        tempo: published.tempo.filter(|_| m.id == published.movement),
        cue: published.cue.clone().filter(|_| m.id == published.movement),
    };
    Some(Placed { options, choice, line })
}

/// Sets out what the search decided.
pub(super) fn set_out(ground: &Ground, kept: &Kept, solved: &Solved) -> Adapted {
    let (case, published) = (ground.case, ground.published);
    let mut days = Vec::new();
    let mut week = Week::empty(solved.days.len());
    let mut places: Vec<Vec<(usize, usize)>> = Vec::new();
    let mut differences = Vec::new();
    for (d, fates) in solved.days.iter().enumerate() {
        let from = kept.stay[d];
        let (mut own, mut folded) = (Vec::new(), Vec::new());
        let mut used = Use::new(ground);
        for (options, fate) in fates {
            let away = options.place.0 != from;
            if let Some(p) = placed(ground, options, *fate) {
                used.add(ground, p.choice, p.line.sets, 1);
                if away { folded.push(p) } else { own.push(p) }
            }
        }
        for (k, (options, _)) in fates.iter().enumerate() {
            if options.place.0 != from {
                let movement = ground.line(options.place).movement.clone();
                let change = Change::Folded { movement, into: from };
                differences.push(difference(options, change, fewer_days(ground, kept)));
            }
            differences.extend(of_line(ground, d, fates, k));
        }
        let lines = place_folded(own, folded, |p| p.line.carrying);
        week.days[d] =
            lines.iter().map(|p| Slot { movement: p.choice.movement, sets: p.line.sets }).collect();
        let day = &case.instance.days[d];
        let mobility = ground.planner.mobility_s(ground.brief);
        let weekday = Weekday::ALL[day.weekday.rem_euclid(7) as usize];
        if weekday != published.days[from].weekday {
            let change = Change::Weekday { from: published.days[from].weekday, to: weekday };
            differences.push(Difference { day: from, line: None, change, reason: Reason::Weekdays });
        }
        places.push(lines.iter().map(|p| p.options.place).collect());
        days.push(ProgrammeDay {
            weekday,
            minutes_at_hand: ground.brief.minutes_of(d) as i32,
            seconds: used.seconds(ground) + day.warm_up_s,
            warm_up: WarmUp { general_s: day.warm_up_s - mobility, ankle_mobility_s: mobility },
            in_turn: turns(case, &week.days[d]),
            lines: lines.into_iter().map(|p| p.line).collect(),
        });
    }
    for day in (0..published.days.len()).filter(|d| !kept.stay.contains(d)) {
        let reason = fewer_days(ground, kept);
        differences.push(Difference { day, line: None, change: Change::DayLeftOut, reason });
    }
    for options in &solved.homeless {
        let reason = options.impossible.clone().unwrap_or_else(|| fewer_days(ground, kept));
        differences.push(difference(options, left_out(ground, options), reason));
    }
    // What concerns a day comes before its lines.
    differences.sort_by_key(|d| (d.day, d.line.map_or(0, |k| k + 1)));

    let points = score(&case.instance, &week).total();
    let certificate = Certificate { points, at_least: 0, no_single_change_improves: false, evaluations: 0 };
    let block = block(ground, &days, &places);
    let whole = SolvedBrief { case: case.clone(), week, certificate: certificate.clone() };
    let own_movements = Programme::named_of(&days, &published.own_movements);
    let programme = Programme {
        format: published.format.clone(),
        title: published.title.clone(),
        catalogue_version: published.catalogue_version.clone(),
        weights_version: published.weights_version.clone(),
        goal: published.goal,
        training_age: ground.brief.training_age,
        days,
        never: published.never.clone(),
        block,
        weekly_sets: solve::volumes(ground.planner, &whole),
        certificate,
        own_movements,
    };
    Adapted {
        programme,
        from_days: kept.stay.clone(),
        differences,
        change: solved.change,
        least: solved.least,
    }
}

fn fewer_days(ground: &Ground, kept: &Kept) -> Reason {
    Reason::FewerDays { published: ground.published.days.len() as i32, days: kept.stay.len() as i32 }
}

fn difference(options: &Options, change: Change, reason: Reason) -> Difference {
    Difference { day: options.place.0, line: Some(options.place.1), change, reason }
}

fn left_out(ground: &Ground, options: &Options) -> Change {
    Change::LeftOut { movement: ground.line(options.place).movement.clone(), keep: options.keep }
}

/// The differences of line `k` of the lifter's day `d`.
fn of_line(ground: &Ground, d: usize, fates: &[(Options, Fate)], k: usize) -> Vec<Difference> {
    let (options, fate) = &fates[k];
    let published = ground.line(options.place);
    let mut out = Vec::new();
    let mut say = |change: Change, reason: Reason| out.push(difference(options, change, reason));
    let Some(p) = placed(ground, options, *fate) else {
        let reason = options.impossible.clone().unwrap_or_else(|| why(ground, d, fates, k, 0));
        say(left_out(ground, options), reason);
        return out;
    };
    let stand_in = p.choice.nearness;
    if let Some(nearness) = stand_in {
        let reason = options.impossible.clone().unwrap_or_else(|| why(ground, d, fates, k, 0));
        let change = Change::Replaced {
            from: published.movement.clone(),
            to: p.line.movement.clone(),
            nearness,
            keep: options.keep,
            because: p.choice.because.clone(),
        };
        say(change, reason);
    } else if ground.forbids(p.choice.movement) {
        say(Change::KeptThoughForbidden { movement: p.line.movement.clone() }, Reason::MarkedKeep);
    }
    if p.line.sets != published.sets {
        let reason = if p.line.sets == p.choice.sets.1 {
            Reason::StandIn
        } else {
            why(ground, d, fates, k, p.line.sets + 1)
        };
        say(Change::Sets { from: published.sets, to: p.line.sets }, reason);
    }
    let from = Prescription {
        low: published.low,
        high: published.high,
        reserve: published.reserve,
        rest_s: published.rest_s,
    };
    let because = || if stand_in.is_some() { Reason::StandIn } else { Reason::Eased };
    if from != p.choice.prescription {
        say(Change::Prescribed { from, to: p.choice.prescription }, because());
    }
    if p.line.ramp_sets != published.ramp_sets {
        say(Change::Ramp { from: published.ramp_sets, to: p.line.ramp_sets }, because());
    }
    out
}

/// Why line `k` is not there as published (`sets` 0), or not with `sets` sets: what would break.
fn why(ground: &Ground, d: usize, fates: &[(Options, Fate)], k: usize, sets: i32) -> Reason {
    let (options, fate) = &fates[k];
    let mut used = Use::new(ground);
    for (j, (other, fate)) in fates.iter().enumerate() {
        if let Some(p) = placed(ground, other, *fate).filter(|_| j != k) {
            used.add(ground, p.choice, p.line.sets, 1);
        }
    }
    let choice = match (sets, fate) {
        (0, _) => options.choices.first(),
        (_, Some((n, _))) => options.choices.get(*n),
        _ => None,
    };
    let Some(choice) = choice else { return Reason::Unknown };
    if used.has(choice.movement) {
        return Reason::AlreadyThere;
    }
    used.add(ground, choice, if sets == 0 { choice.sets.0 } else { sets }, 1);
    match used.broken(ground, d) {
        Some(Limit::Time) => Reason::Minutes { minutes: ground.brief.minutes_of(d) as i32 },
        Some(limit) => Reason::Limit { limit },
        None => Reason::TooOften { most: ground.most_sessions(choice.movement) },
    }
}

/// The published block with the adapted sets as its most and the eased reserve as its least.
fn block(ground: &Ground, days: &[ProgrammeDay], places: &[Vec<(usize, usize)>]) -> Vec<BlockWeek> {
    let line = |week: &BlockWeek, line: &Line, place: (usize, usize)| {
        let published = ground.line(place);
        let of_week = week.days.get(place.0).and_then(|d| d.get(place.1)).copied();
        let of_week = of_week.unwrap_or(BlockLine { sets: published.sets, reserve: published.reserve });
        let movement = ground.planner.catalogue.find(&line.movement);
        let ease = movement
            .and_then(|m| crate::safety::permit(&ground.planner.catalogue.movements[m], &ground.around).ok());
        let more = (line.reserve - published.reserve.clamp(0, 20)).clamp(0, 20);
        let reserve = of_week.reserve.clamp(0, 20) + more;
        BlockLine {
            sets: of_week.sets.clamp(1, line.sets.max(1)),
            reserve: reserve.max(ease.map_or(0, |e| e.reserve_at_least)),
        }
    };
    let weeks = ground.published.block.iter().map(|week| BlockWeek {
        number: week.number,
        kind: week.kind,
        days: days
            .iter()
            .zip(places)
            .map(|(day, places)| day.lines.iter().zip(places).map(|(l, p)| line(week, l, *p)).collect())
            .collect(),
    });
    weeks.collect()
}
