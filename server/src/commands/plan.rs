//! `plinth plan`, and what `plinth` shows without a command.

use super::load::{discs_on, made};
use crate::arguments::{PlanArguments, Show};
use crate::failure::Failure;
use crate::input;
use crate::output::{at_least, json, print_table, sentence, table_of};
use plinth_core::catalogue::Catalogue;
use plinth_core::load::ramp::RampSet;
use plinth_core::plan::brief::{Brief, read_brief};
use plinth_core::plan::loads::{LineLoad, SessionLoads, session_loads};
use plinth_core::plan::programme::{Answer, Programme, ProgrammeDay, WeekKind};
use plinth_core::plan::reason::{Impossible, LineReason, Reasoner, Remedy, Shortfalls, Stops};
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Keep, Planner, bound, build};
use plinth_core::words::{self, Account, Arg, Speech};
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
pub(crate) fn example(speech: &Speech, show: &Show) -> Result<(), Failure> {
    let (brief, catalogue) = read_brief(EXAMPLE, &input::catalogue()?)?;
    answer(speech, &brief, &catalogue, Effort::QUICK, show)
}

pub(crate) fn run(speech: &Speech, a: &PlanArguments) -> Result<(), Failure> {
    let (brief, catalogue) = input::brief(&a.brief)?;
    if a.instance {
        let case = build(&brief, &catalogue, &input::weights()?, Keep::Undominated);
        return json(&mut std::io::stdout().lock(), &case.instance);
    }
    answer(speech, &brief, &catalogue, if a.thorough { Effort::FULL } else { Effort::QUICK }, &a.show)
}

fn answer(
    speech: &Speech,
    brief: &Brief,
    catalogue: &Catalogue,
    effort: Effort,
    show: &Show,
) -> Result<(), Failure> {
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
        let notices = answer.notices.iter().map(|n| words::notice(speech, catalogue, n)).collect();
        json(
            out,
            &Document { programme: &answer.programme, notices, reasons: &reasons, first_session: &loads },
        )?;
    } else {
        print(out, speech, brief, catalogue, &answer, &reasons, &loads)?;
    }
    out.flush()?;
    Ok(())
}

fn print(
    out: &mut impl Write,
    speech: &Speech,
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
        sentence(out, "! ", &words::notice(speech, catalogue, notice))?;
    }
    if !answer.notices.is_empty() {
        writeln!(out)?;
    }
    for day in &programme.days {
        print_day(out, speech, catalogue, day)?;
    }
    let minutes: i32 = programme.days.iter().map(|d| (d.seconds + 59) / 60).sum();
    let claim = words::claim(speech, programme.certificate.claim());
    let whole = speech.say("week-minutes", &[("minutes", minutes.into()), ("claim", (&claim).into())]);
    sentence(out, "", &whole)?;
    writeln!(out)?;
    print_reasons(out, speech, catalogue, programme, reasons)?;
    print_volume(out, speech, programme)?;
    print_block(out, speech, programme)?;
    print_loads(out, speech, brief, catalogue, programme, loads)?;
    sentence(out, "", &speech.say("plan-not-medical", &[]))
}

/// The letter of a line.
fn letter(k: usize) -> String {
    ((b'a' + k as u8) as char).to_string()
}

pub(super) fn print_day(
    out: &mut impl Write,
    speech: &Speech,
    catalogue: &Catalogue,
    day: &ProgrammeDay,
) -> Result<(), Failure> {
    let name = |id: &str| speech.movement_in(catalogue, id);
    let carriers: Vec<String> = day.lines.iter().filter(|l| l.carrying).map(|l| name(&l.movement)).collect();
    let weekday = speech.weekday(day.weekday);
    if carriers.is_empty() {
        writeln!(out, "{weekday}")?;
    } else {
        let carriers = carriers.join(", ");
        let args = [("day", (&weekday).into()), ("movements", (&carriers).into())];
        writeln!(out, "{}", speech.say("day-head", &args))?;
    }
    let mut t = table_of(speech, &["", "head-movement", "head-sets", "head-rest", "head-ramp", ""], &[3, 4]);
    at_least(&mut t, 1, 40);
    at_least(&mut t, 2, 22);
    for (k, line) in day.lines.iter().enumerate() {
        let turn: Vec<String> = day
            .in_turn
            .iter()
            .filter(|t| t.second == k)
            .map(|t| {
                let args = [("n", t.sets.into()), ("letter", Arg::Text(&letter(t.first)))];
                speech.say("in-turn", &args)
            })
            .collect();
        t.add_row([
            letter(k),
            name(&line.movement),
            match &line.tempo {
                Some(tempo) => {
                    format!("{}. {}", words::prescription(speech, line), words::tempo(speech, tempo))
                }
                None => words::prescription(speech, line),
            },
            speech.clock(line.rest_s.into()),
            if line.ramp_sets > 0 { line.ramp_sets.to_string() } else { "-".into() },
            turn.join(", "),
        ]);
    }
    print_table(out, &t)?;
    let general = speech.clock(day.warm_up.general_s.into());
    let ankles = speech.clock(day.warm_up.ankle_mobility_s.into());
    let args = [
        ("used", ((day.seconds + 59) / 60).into()),
        ("minutes", day.minutes_at_hand.into()),
        ("general", (&general).into()),
    ];
    let foot = if day.warm_up.ankle_mobility_s > 0 {
        let [used, minutes, general] = args;
        speech.say("day-foot-ankles", &[used, minutes, general, ("ankles", (&ankles).into())])
    } else {
        speech.say("day-foot", &args)
    };
    writeln!(out, "{foot}\n")?;
    Ok(())
}

fn print_reasons(
    out: &mut impl Write,
    speech: &Speech,
    catalogue: &Catalogue,
    programme: &Programme,
    reasons: &Reasons,
) -> Result<(), Failure> {
    let days: Vec<_> = programme.days.iter().map(|d| d.weekday).collect();
    let account = Account { speech, catalogue, days: &days };
    for (d, lines) in reasons.lines.iter().enumerate() {
        writeln!(out, "{}", speech.say("why-day", &[("day", (&account.day(d)).into())]))?;
        for (k, line) in lines.iter().enumerate() {
            let head = format!("{}  ", letter(k));
            sentence(out, &head, &account.line(line).join(" "))?;
        }
        if let Some(stops) = reasons.what_stops_more.iter().find(|s| s.day == d) {
            sentence(out, "   ", &account.stops(stops))?;
        }
        writeln!(out)?;
    }
    for text in account.shortfalls(&reasons.shortfalls) {
        sentence(out, "- ", &text)?;
    }
    for one in &reasons.impossible {
        for text in account.impossible(one) {
            sentence(out, "! ", &text)?;
        }
    }
    for remedy in &reasons.remedies {
        sentence(out, "+ ", &account.remedy(remedy))?;
    }
    if !reasons.shortfalls.is_empty() {
        writeln!(out)?;
    }
    Ok(())
}

fn print_volume(out: &mut impl Write, speech: &Speech, programme: &Programme) -> Result<(), Failure> {
    let heads = ["head-weekly-sets", "head-direct", "head-shared", "head-total", "head-aim", "head-days", ""];
    let mut t = table_of(speech, &heads, &[1, 2, 3, 4, 5]);
    at_least(&mut t, 0, 34);
    for v in &programme.weekly_sets {
        let total = v.direct + v.shared;
        let remark = if total < v.minimum {
            speech.say("volume-below-minimum", &[])
        } else if total < v.target {
            speech.say("volume-below-target", &[])
        } else if total > v.maximum {
            speech.say("volume-above", &[])
        } else {
            String::new()
        };
        let [least, target, most] = [v.minimum, v.target, v.maximum].map(|n| speech.halves(n));
        t.add_row([
            speech.muscle(&v.muscle),
            speech.halves(v.direct),
            speech.halves(v.shared),
            speech.halves(total),
            format!("{least}-{target}-{most}"),
            v.days.to_string(),
            remark,
        ]);
    }
    print_table(out, &t)?;
    sentence(out, "", &speech.say("volume-note", &[]))?;
    writeln!(out)?;
    Ok(())
}

fn print_block(out: &mut impl Write, speech: &Speech, programme: &Programme) -> Result<(), Failure> {
    let mut t = table_of(speech, &["head-week", "", "head-sets", "head-reserve"], &[0, 2]);
    for week in &programme.block {
        let kind = match week.kind {
            WeekKind::Build => "week-build",
            WeekKind::Peak => "week-peak",
            WeekKind::Deload => "week-deload",
        };
        let sets: i32 = week.days.iter().flatten().map(|l| l.sets).sum();
        let lowest = week.days.iter().flatten().map(|l| l.reserve).min().unwrap_or(0);
        let highest = week.days.iter().flatten().map(|l| l.reserve).max().unwrap_or(0);
        let leave = if lowest == highest {
            speech.say("leave-one", &[("reserve", lowest.into())])
        } else {
            speech.say("leave-range", &[("low", lowest.into()), ("high", highest.into())])
        };
        t.add_row([week.number.to_string(), speech.say(kind, &[]), sets.to_string(), leave]);
    }
    print_table(out, &t)?;
    writeln!(out)?;
    Ok(())
}

fn print_loads(
    out: &mut impl Write,
    speech: &Speech,
    brief: &Brief,
    catalogue: &Catalogue,
    programme: &Programme,
    loads: &SessionLoads,
) -> Result<(), Failure> {
    let Some(day) = programme.days.first() else { return Ok(()) };
    let weekday = speech.weekday(day.weekday);
    writeln!(out, "{}", speech.say("loads-head", &[("day", (&weekday).into())]))?;
    for (k, (line, load)) in day.lines.iter().zip(&loads.lines).enumerate() {
        let head = format!("{}  {}: ", letter(k), speech.movement_in(catalogue, &line.movement));
        let text = match load {
            LineLoad::FromBest { from, .. } => {
                let percent = format!("{}.{}", from.percent.per_mille / 10, from.percent.per_mille % 10);
                let (made, how) = (speech.mass(&from.made.made), made(speech, &from.made));
                let (maximum, load) = (speech.mass(&from.estimates.middle), speech.mass(&from.best.load));
                let args = [
                    ("made", (&made).into()),
                    ("how", (&how).into()),
                    ("percent", Arg::Decimal(&percent)),
                    ("maximum", (&maximum).into()),
                    ("load", (&load).into()),
                    ("reps", from.best.reps.into()),
                    ("reserve", from.best.reserve.into()),
                ];
                speech.say("load-from-best", &args)
            }
            LineLoad::Find { first } => {
                let steps: Vec<String> = first.loads.iter().map(|m| speech.mass(m)).collect();
                let steps = steps.join(", ");
                let args = [
                    ("reps", first.reps.into()),
                    ("loads", (&steps).into()),
                    ("reserve", first.wanted_reserve.into()),
                ];
                speech.say("load-find", &args)
            }
            LineLoad::BodyMass => speech.say("load-body-mass", &[]),
            LineLoad::Band => speech.say("load-band", &[]),
            LineLoad::Unknown { because } => speech.english(because),
        };
        sentence(out, &head, &text)?;
    }
    for bar in &loads.bars {
        writeln!(out)?;
        let route = &bar.session.route;
        let whose = if brief.kit.is_some() { "load-kit-yours" } else { "load-kit-invented" };
        let whose = speech.say(whose, &[]);
        let args = [
            ("bar", (&bar.bar).into()),
            ("kit", (&whose).into()),
            ("moves", route.moves_per_side.into()),
            ("greedy", route.heaviest_first_moves_per_side.into()),
        ];
        sentence(out, "", &speech.say("load-bar", &args))?;
        let heads = ["", "head-set", "head-load", "head-each-side", "head-off", "head-on"];
        let mut t = table_of(speech, &heads, &[2, 4, 5]);
        let mut stops = route.stops.iter();
        for (line, ramp) in bar.lines.iter().zip(&bar.session.ramps) {
            let letter = letter(*line);
            let ramp_set = |s: &RampSet| speech.say("set-ramp", &[("reps", s.reps.into())]);
            let names = ramp.sets.iter().map(ramp_set).chain([speech.say("set-work", &[])]);
            for (what, stop) in names.zip(stops.by_ref()) {
                let discs: Vec<String> =
                    stop.per_side.iter().map(|p| speech.decimal(&p.mass.value())).collect();
                let discs = discs_on(speech, &discs.join(" "), stop.blocks_needed);
                t.add_row([
                    letter.clone(),
                    what,
                    speech.mass(&stop.load),
                    discs,
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
