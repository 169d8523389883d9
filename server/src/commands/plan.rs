//! `plinth plan`, and what `plinth` shows without a command.

use crate::arguments::{PlanArguments, Show};
use crate::failure::Failure;
use crate::input;
use crate::output::{at_least, json, print_table, sentence, table};
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::{Brief, read_brief};
use plinth_core::plan::loads::{LineLoad, SessionLoads, session_loads};
use plinth_core::plan::programme::{Answer, Programme, ProgrammeDay, WeekKind};
use plinth_core::plan::reason::{Impossible, LineReason, Reasoner, Remedy, Shortfalls, Stops};
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Keep, Planner, bound, build};
use plinth_core::words;
use serde::Serialize;
use std::io::Write;

/// Work on the proof, in about so many milliseconds; the first answer must not wait for it.
const QUICK_PROOF_MS: u64 = 50;
const THOROUGH_PROOF_MS: u64 = 4000;

const EXAMPLE: &[u8] = include_bytes!("../../data/example-brief.json");

/// What `plan --json` prints.
#[derive(Serialize)]
struct Document<'a> {
    programme: &'a Programme,
    notices: Vec<String>,
    reasons: &'a Reasons,
    first_session: &'a SessionLoads,
}

/// Why the week is as it is.
#[derive(Serialize)]
struct Reasons {
    lines: Vec<Vec<LineReason>>,
    what_stops_more: Vec<Stops>,
    shortfalls: Shortfalls,
    impossible: Vec<Impossible>,
    remedies: Vec<Remedy>,
}

/// The main job on a brief of our own.
pub(crate) fn example(show: &Show) -> Result<(), Failure> {
    let (brief, catalogue) = read_brief(EXAMPLE, &input::catalogue()?)?;
    answer(&brief, &catalogue, Effort::QUICK, show)
}

pub(crate) fn run(a: &PlanArguments) -> Result<(), Failure> {
    let (brief, catalogue) = input::brief(&a.brief)?;
    if a.instance {
        let case = build(&brief, &catalogue, &input::weights()?, Keep::Undominated);
        return json(&mut std::io::stdout().lock(), &case.instance);
    }
    answer(&brief, &catalogue, if a.thorough { Effort::FULL } else { Effort::QUICK }, &a.show)
}

fn answer(brief: &Brief, catalogue: &Catalogue, effort: Effort, show: &Show) -> Result<(), Failure> {
    let weights = input::weights()?;
    let planner = Planner::new(catalogue, &weights);
    let mut solved = planner.solve(brief, effort, &mut |_| true);
    let proof = if effort == Effort::QUICK { QUICK_PROOF_MS } else { THOROUGH_PROOF_MS };
    planner.prove(&mut solved, bound::Effort::of_about_ms(proof), &mut |_| true);
    let answer = planner.programme(brief, &solved);
    let reasoner = Reasoner::new(planner, brief, &solved);
    let shortfalls = reasoner.shortfalls();
    let impossible = if shortfalls.wishes.is_empty() { Vec::new() } else { reasoner.why_impossible() };
    // What would help is solved again for each step: only on request, since it takes its time.
    let remedies =
        if effort == Effort::QUICK { Vec::new() } else { reasoner.remedies(&shortfalls, Effort::QUICK) };
    let reasons = Reasons {
        lines: reasoner.reasons(),
        what_stops_more: reasoner.what_stops_more(),
        shortfalls,
        impossible,
        remedies,
    };
    let loads = session_loads(brief, catalogue, &answer.programme, 0, 0)?;
    let out = &mut std::io::BufWriter::new(std::io::stdout().lock());
    if show.json {
        let notices = answer.notices.iter().map(|n| words::notice(catalogue, n)).collect();
        json(
            out,
            &Document { programme: &answer.programme, notices, reasons: &reasons, first_session: &loads },
        )?;
    } else {
        print(out, brief, catalogue, &answer, &reasons, &loads)?;
    }
    out.flush()?;
    Ok(())
}

fn print(
    out: &mut impl Write,
    brief: &Brief,
    catalogue: &Catalogue,
    answer: &Answer,
    reasons: &Reasons,
    loads: &SessionLoads,
) -> Result<(), Failure> {
    let programme = &answer.programme;
    if !programme.title.is_empty() {
        writeln!(out, "{}\n", programme.title)?;
    }
    for notice in &answer.notices {
        sentence(out, "! ", &words::notice(catalogue, notice))?;
    }
    if !answer.notices.is_empty() {
        writeln!(out)?;
    }
    for day in &programme.days {
        print_day(out, catalogue, day)?;
    }
    let minutes: i32 = programme.days.iter().map(|d| (d.seconds + 59) / 60).sum();
    sentence(out, "", &format!("{minutes} minutes a week. {}", words::claim(programme.certificate.claim())))?;
    writeln!(out)?;
    print_reasons(out, catalogue, programme, reasons)?;
    print_volume(out, catalogue, programme)?;
    print_block(out, programme)?;
    print_loads(out, brief, catalogue, programme, loads)?;
    sentence(
        out,
        "",
        "Not medical advice. Pain, illness and limits belong to licensed care; the rules of the place and whoever \
         supervises it come first. Learn the bail-out of a lift before its first set: plinth catalogue ID.",
    )
}

fn name<'a>(catalogue: &'a Catalogue, id: &'a str) -> &'a str {
    catalogue.movement(id).map_or(id, |m| m.name.as_str())
}

pub(super) fn print_day(
    out: &mut impl Write,
    catalogue: &Catalogue,
    day: &ProgrammeDay,
) -> Result<(), Failure> {
    let carriers: Vec<&str> =
        day.lines.iter().filter(|l| l.carrying).map(|l| name(catalogue, &l.movement)).collect();
    let carried = if carriers.is_empty() { String::new() } else { format!(": {}", carriers.join(", ")) };
    writeln!(out, "{}{carried}", words::weekday(day.weekday))?;
    let mut t = table(&["", "movement", "sets", "rest", "ramp", ""], &[3, 4]);
    at_least(&mut t, 1, 40);
    at_least(&mut t, 2, 22);
    for (k, line) in day.lines.iter().enumerate() {
        let turn: Vec<String> = day
            .in_turn
            .iter()
            .filter(|t| t.second == k)
            .map(|t| {
                format!(
                    "{} in turn with {}",
                    words::count(i64::from(t.sets), "set", "sets"),
                    (b'a' + t.first as u8) as char
                )
            })
            .collect();
        t.add_row([
            ((b'a' + k as u8) as char).to_string(),
            name(catalogue, &line.movement).to_owned(),
            words::prescription(line),
            words::clock(line.rest_s),
            if line.ramp_sets > 0 { line.ramp_sets.to_string() } else { "-".into() },
            turn.join(", "),
        ]);
    }
    print_table(out, &t)?;
    let mobility = if day.warm_up.ankle_mobility_s > 0 {
        format!(", {} ankle mobility", words::clock(day.warm_up.ankle_mobility_s))
    } else {
        String::new()
    };
    writeln!(
        out,
        "{} of {} minutes; {} general warm-up{mobility}\n",
        (day.seconds + 59) / 60,
        day.minutes_at_hand,
        words::clock(day.warm_up.general_s)
    )?;
    Ok(())
}

fn print_reasons(
    out: &mut impl Write,
    catalogue: &Catalogue,
    programme: &Programme,
    reasons: &Reasons,
) -> Result<(), Failure> {
    let days: Vec<_> = programme.days.iter().map(|d| d.weekday).collect();
    let english = words::English { catalogue, days: &days };
    for (d, lines) in reasons.lines.iter().enumerate() {
        writeln!(out, "Why, {}", english.day(d))?;
        for (k, line) in lines.iter().enumerate() {
            let head = format!("{}  ", (b'a' + k as u8) as char);
            sentence(out, &head, &english.line(line).join(" "))?;
        }
        if let Some(stops) = reasons.what_stops_more.iter().find(|s| s.day == d) {
            sentence(out, "   ", &english.stops(stops))?;
        }
        writeln!(out)?;
    }
    for text in english.shortfalls(&reasons.shortfalls) {
        sentence(out, "- ", &text)?;
    }
    for one in &reasons.impossible {
        for text in english.impossible(one) {
            sentence(out, "! ", &text)?;
        }
    }
    for remedy in &reasons.remedies {
        sentence(out, "+ ", &english.remedy(remedy))?;
    }
    if !reasons.shortfalls.is_empty() {
        writeln!(out)?;
    }
    Ok(())
}

fn print_volume(out: &mut impl Write, catalogue: &Catalogue, programme: &Programme) -> Result<(), Failure> {
    let mut t = table(&["weekly sets", "direct", "shared", "total", "aim", "days", ""], &[1, 2, 3, 4, 5]);
    at_least(&mut t, 0, 34);
    for v in &programme.weekly_sets {
        let name =
            catalogue.muscle(&v.muscle).map_or(v.muscle.as_str(), |m| catalogue.muscles[m].name.as_str());
        let total = v.direct + v.shared;
        let remark = if total < v.minimum {
            "below the minimum"
        } else if total < v.target {
            "below the target"
        } else if total > v.maximum {
            "above the range"
        } else {
            ""
        };
        t.add_row([
            name.to_owned(),
            words::halves(v.direct),
            words::halves(v.shared),
            words::halves(total),
            format!("{}-{}-{}", words::halves(v.minimum), words::halves(v.target), words::halves(v.maximum)),
            v.days.to_string(),
            remark.to_owned(),
        ]);
    }
    print_table(out, &t)?;
    sentence(
        out,
        "",
        "Shared work counts as half a set, by the convention that Pelland et al. (2025) found to fit best; the evidence \
         spreads around it. Aim: minimum, target, most.",
    )?;
    writeln!(out)?;
    Ok(())
}

fn print_block(out: &mut impl Write, programme: &Programme) -> Result<(), Failure> {
    let mut t = table(&["week", "", "sets", "reserve"], &[0, 2]);
    for week in &programme.block {
        let kind = match week.kind {
            WeekKind::Build => "build",
            WeekKind::Peak => "peak, as above",
            WeekKind::Deload => "deload (common practice)",
        };
        let sets: i32 = week.days.iter().flatten().map(|l| l.sets).sum();
        let lowest = week.days.iter().flatten().map(|l| l.reserve).min().unwrap_or(0);
        let highest = week.days.iter().flatten().map(|l| l.reserve).max().unwrap_or(0);
        let leave =
            if lowest == highest { format!("leave {lowest}") } else { format!("leave {lowest}-{highest}") };
        t.add_row([week.number.to_string(), kind.to_owned(), sets.to_string(), leave]);
    }
    print_table(out, &t)?;
    writeln!(out)?;
    Ok(())
}

fn print_loads(
    out: &mut impl Write,
    brief: &Brief,
    catalogue: &Catalogue,
    programme: &Programme,
    loads: &SessionLoads,
) -> Result<(), Failure> {
    let Some(day) = programme.days.first() else { return Ok(()) };
    writeln!(out, "Loads of the first session ({}, week 1)", words::weekday(day.weekday))?;
    for (k, (line, load)) in day.lines.iter().zip(&loads.lines).enumerate() {
        let head = format!("{}  {}: ", (b'a' + k as u8) as char, name(catalogue, &line.movement));
        let text = match load {
            LineLoad::FromBest { from, .. } => {
                let percent = from.percent.per_mille;
                format!(
                    "{} ({}; {}.{} % of about {}, from {} x {} with {} left)",
                    from.made.made.words(),
                    from.made,
                    percent / 10,
                    percent % 10,
                    from.estimates.middle.words(),
                    from.best.load.words(),
                    from.best.reps,
                    from.best.reserve
                )
            }
            LineLoad::Find { first } => {
                let steps: Vec<String> = first.loads.iter().map(plinth_core::load::Mass::words).collect();
                format!(
                    "no recent best: try {} repetitions at {} in turn; stop at the first set that leaves fewer than {}, or when \
                     the form changes",
                    first.reps,
                    steps.join(", "),
                    first.wanted_reserve
                )
            }
            LineLoad::BodyMass => "body mass".into(),
            LineLoad::Band => "a band that leaves the reserve asked".into(),
            LineLoad::Unknown { because } => because.clone(),
        };
        sentence(out, &head, &text)?;
    }
    for bar in &loads.bars {
        writeln!(out)?;
        let route = &bar.session.route;
        sentence(
            out,
            "",
            &format!(
                "{} ({}): {} disc moves on each side; loading each set heaviest first takes {}.",
                bar.bar,
                if brief.kit.is_some() { "your kit" } else { "a usual gym's discs, invented" },
                route.moves_per_side,
                route.heaviest_first_moves_per_side
            ),
        )?;
        let mut t = table(&["", "set", "load", "each side, from the inside", "off", "on"], &[2, 4, 5]);
        let mut stops = route.stops.iter();
        for (line, ramp) in bar.lines.iter().zip(&bar.session.ramps) {
            let letter = ((b'a' + *line as u8) as char).to_string();
            let names =
                ramp.sets.iter().map(|s| format!("ramp, {} repetitions", s.reps)).chain(["work".to_owned()]);
            for (what, stop) in names.zip(stops.by_ref()) {
                let discs: Vec<String> = stop.per_side.iter().map(|p| p.mass.value()).collect();
                let blocks = if stop.blocks_needed { " (raise the bar on blocks)" } else { "" };
                let discs = if discs.is_empty() { "empty bar".into() } else { discs.join(" ") };
                t.add_row([
                    letter.clone(),
                    what,
                    stop.load.words(),
                    format!("{discs}{blocks}"),
                    stop.off.to_string(),
                    stop.on.to_string(),
                ]);
            }
        }
        print_table(out, &t)?;
    }
    writeln!(out)?;
    Ok(())
}
