//! `plinth session`: re-plans a session under way.

use crate::arguments::{SessionArguments, SessionQuestion};
use crate::failure::Failure;
use crate::input;
use crate::output::{json, print_table, sentence, table};
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::Planner;
use plinth_core::plan::programme::Programme;
use plinth_core::plan::search::Effort;
use plinth_core::plan::session::{Done, Now, SessionFault};
use plinth_core::words;
use std::io::Write;

impl From<SessionFault> for Failure {
    fn from(e: SessionFault) -> Self {
        Self::Input(e.to_string())
    }
}

pub(crate) fn run(a: &SessionArguments) -> Result<(), Failure> {
    let (brief, catalogue) = input::brief(&a.brief)?;
    let weights = input::weights()?;
    let planner = Planner::new(&catalogue, &weights);
    let solved = planner.solve(&brief, Effort::QUICK, &mut |_| true);
    let programme = planner.programme(&brief, &solved).programme;
    let today = input::from_one("--today", a.today)?;
    let done = a.done.iter().map(|text| done(text)).collect::<Result<Vec<Done>, Failure>>()?;
    let now = Now { today, done, days_over: Vec::new(), taken: a.taken.clone() };
    let session = planner.session(&brief, &programme, &now)?;
    let name = |id: &str| catalogue.movement(id).map_or_else(|| id.to_owned(), |m| m.name.clone());
    let out = &mut std::io::stdout().lock();
    match &a.question {
        SessionQuestion::StandIn { movement, show } => {
            let line = line(&programme, today, movement)?;
            let answer = session.stand_in(line)?;
            if show.json {
                return json(out, &answer);
            }
            let sets = words::count(i64::from(answer.sets_left), "set", "sets");
            sentence(out, "", &format!("In the place of {} ({sets} left):", name(&answer.of)))?;
            let mut t = table(&["movement", "sets", "reps", "leave", "points", "why"], &[1, 3, 4]);
            for o in &answer.offers {
                t.add_row([
                    name(&o.movement),
                    o.sets.to_string(),
                    format!("{}-{}", o.prescription.low, o.prescription.high),
                    o.prescription.reserve.to_string(),
                    format!("{:+}", o.points_more),
                    o.because.clone().unwrap_or_else(|| words::reason::term(o.mostly).to_owned()),
                ]);
            }
            print_table(out, &t)?;
            caution(out)
        }
        SessionQuestion::MinutesLeft { minutes, show } => {
            let minutes = i32::try_from(*minutes)
                .map_err(|_| Failure::Input("MINUTES: too many; give at most a few hundred.".into()))?;
            let answer = session.minutes_left(minutes)?;
            if show.json {
                return json(out, &answer);
            }
            let mut t = table(&["still to do", "sets"], &[1]);
            for l in answer.lines.iter().filter(|l| l.sets > l.done) {
                t.add_row([name(&l.movement), (l.sets - l.done).to_string()]);
            }
            print_table(out, &t)?;
            for cut in &answer.cut {
                let text = if cut.to == 0 {
                    format!("{} is left out.", name(&cut.movement))
                } else {
                    format!(
                        "{}: {} instead of {}.",
                        name(&cut.movement),
                        words::count(i64::from(cut.to), "set", "sets"),
                        cut.from
                    )
                };
                sentence(out, "- ", &text)?;
            }
            let proved = if answer.exact { "No other choice of these lines is better." } else { "" };
            sentence(out, "", &format!("{} of work and rest. {proved}", words::minutes(answer.seconds)))?;
            if let Some(free) = &answer.free {
                let brought: Vec<String> = free.brought_in.iter().map(|b| name(&b.movement)).collect();
                sentence(
                    out,
                    "",
                    &format!("Better still, with another movement: {}.", words::and(&brought)),
                )?;
            }
            sentence(out, "", "Ramps and rests are never shortened.")
        }
        SessionQuestion::FoldIn { day, show } => {
            let answer = session.fold_in(input::from_one("DAY", *day)?)?;
            if show.json {
                return json(out, &answer);
            }
            for f in &answer.folded {
                let text = format!(
                    "{}: {} of {} go to {}.",
                    name(&f.movement),
                    words::count(i64::from(f.gained), "set", "sets"),
                    f.planned,
                    weekday(&programme, f.day)
                );
                sentence(out, "- ", &text)?;
            }
            for cut in &answer.dropped {
                sentence(
                    out,
                    "- ",
                    &format!("{} is dropped, and not carried into the next week.", name(&cut.movement)),
                )?;
            }
            days(out, &catalogue, &programme, &answer)
        }
    }
}

fn days(
    out: &mut impl Write,
    catalogue: &Catalogue,
    programme: &Programme,
    answer: &plinth_core::plan::session::Folding,
) -> Result<(), Failure> {
    for d in &answer.days {
        let mut t = table(&[weekday(programme, d.day), "sets"], &[1]);
        for l in &d.lines {
            let name = catalogue.movement(&l.movement).map_or(l.movement.as_str(), |m| m.name.as_str());
            t.add_row([name.to_owned(), l.sets.to_string()]);
        }
        writeln!(out)?;
        print_table(out, &t)?;
    }
    Ok(())
}

fn weekday(programme: &Programme, day: usize) -> &'static str {
    programme.days.get(day).map_or("another day", |d| words::weekday(d.weekday))
}

fn caution(out: &mut impl Write) -> Result<(), Failure> {
    sentence(out, "", "Read its cautions first: plinth catalogue ID. Set the safeties anew.")
}

fn done(text: &str) -> Result<Done, Failure> {
    let fault = || Failure::Input(format!("--done: {text:?} cannot be read; write MOVEMENT=SETS."));
    let (movement, sets) = text.split_once('=').ok_or_else(fault)?;
    let sets = sets.parse::<i32>().ok().filter(|s| (0..=50).contains(s)).ok_or_else(fault)?;
    Ok(Done { movement: movement.to_owned(), sets })
}

fn line(programme: &Programme, today: usize, movement: &str) -> Result<usize, Failure> {
    let lines = programme.days.get(today).map_or(&[][..], |d| &d.lines);
    lines.iter().position(|l| l.movement == movement).ok_or_else(|| {
        let ids: Vec<&str> = lines.iter().map(|l| l.movement.as_str()).collect();
        Failure::Input(format!(
            "MOVEMENT: {movement:?} is not in the session; use one of {}.",
            ids.join(", ")
        ))
    })
}
