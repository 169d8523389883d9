//! `plinth session`: re-plans a session under way.

use crate::arguments::{SessionArguments, SessionQuestion};
use crate::failure::Failure;
use crate::input;
use crate::output::{json, print_table, sentence, table, table_of};
use plinth_core::plan::Planner;
use plinth_core::plan::brief::Weekday;
use plinth_core::plan::programme::Programme;
use plinth_core::plan::search::Effort;
use plinth_core::plan::session::{Done, Folding, MinutesLeft, Now, StandInAnswer};
use plinth_core::words::session::protected;
use plinth_core::words::{Account, Speech};
use std::io::Write;

pub(crate) fn run(speech: &Speech, a: &SessionArguments) -> Result<(), Failure> {
    let (brief, catalogue) = input::brief(&a.brief)?;
    let weights = input::weights()?;
    let planner = Planner::new(&catalogue, &weights);
    let solved = planner.solve(&brief, Effort::QUICK, &mut |_| true);
    let programme = planner.programme(&brief, &solved).programme;
    let today = input::from_one("--today", a.today)?;
    let done = a.done.iter().map(|text| done(text)).collect::<Result<Vec<Done>, Failure>>()?;
    let now = Now { today, done, days_over: Vec::new(), taken: a.taken.clone() };
    let session = planner.session(&brief, &programme, &now)?;
    let weekdays: Vec<Weekday> = programme.days.iter().map(|d| d.weekday).collect();
    let said = Said {
        account: Account { speech, catalogue: &catalogue, days: &weekdays },
        out: &mut std::io::stdout().lock(),
    };
    match &a.question {
        SessionQuestion::StandIn { movement, show } => {
            let answer = session.stand_in(line(&programme, today, movement)?)?;
            if show.json { json(said.out, &answer) } else { said.stand_in(&answer) }
        }
        SessionQuestion::MinutesLeft { minutes, show } => {
            let minutes = i32::try_from(*minutes)
                .map_err(|_| Failure::Input("MINUTES: too many; give at most a few hundred.".into()))?;
            let answer = session.minutes_left(minutes)?;
            if show.json { json(said.out, &answer) } else { said.minutes_left(&answer) }
        }
        SessionQuestion::FoldIn { day, show } => {
            let answer = session.fold_in(input::from_one("DAY", *day)?)?;
            if show.json { json(said.out, &answer) } else { said.folding(&answer) }
        }
    }
}

/// Prints an answer: tables here, sentences from the core.
struct Said<'a, W> {
    account: Account<'a>,
    out: &'a mut W,
}

impl<W: Write> Said<'_, W> {
    fn name(&self, id: &str) -> String {
        self.account.speech.movement_in(self.account.catalogue, id)
    }

    fn stand_in(self, answer: &StandInAnswer) -> Result<(), Failure> {
        sentence(self.out, "", &self.account.stand_in(answer))?;
        if answer.offers.is_empty() {
            return Ok(());
        }
        let mut t = table_of(
            self.account.speech,
            &["head-movement", "head-sets", "head-reps", "head-leave", "head-points", "head-why"],
            &[1, 3, 4],
        );
        for o in &answer.offers {
            t.add_row([
                self.name(&o.movement),
                o.sets.to_string(),
                format!("{}-{}", o.prescription.low, o.prescription.high),
                o.prescription.reserve.to_string(),
                format!("{:+}", o.points_more),
                self.account.offer(o),
            ]);
        }
        print_table(self.out, &t)?;
        self.cautions(answer.offers.iter().map(|o| o.movement.as_str()))
    }

    fn minutes_left(self, answer: &MinutesLeft) -> Result<(), Failure> {
        let mut t = table_of(self.account.speech, &["head-still-to-do", "head-sets"], &[1]);
        let open = || answer.lines.iter().filter(|l| l.sets > l.done);
        for l in open() {
            t.add_row([self.name(&l.movement), (l.sets - l.done).to_string()]);
        }
        print_table(self.out, &t)?;
        for text in self.account.minutes_left(answer) {
            sentence(self.out, "- ", &text)?;
        }
        let brought = answer.free.iter().flat_map(|f| &f.brought_in);
        let ids = open().map(|l| &l.movement).chain(brought.map(|b| &b.movement));
        self.cautions(ids.map(String::as_str))
    }

    fn folding(self, answer: &Folding) -> Result<(), Failure> {
        for text in self.account.folding(answer) {
            sentence(self.out, "- ", &text)?;
        }
        for d in &answer.days {
            let mut t = table(&[&self.account.day(d.day), &self.account.speech.say("head-sets", &[])], &[1]);
            for l in &d.lines {
                t.add_row([self.name(&l.movement), l.sets.to_string()]);
            }
            writeln!(self.out)?;
            print_table(self.out, &t)?;
        }
        let brought = answer.days.iter().flat_map(|d| &d.brought_in);
        let ids = answer.folded.iter().map(|f| &f.movement).chain(brought.map(|b| &b.movement));
        self.cautions(ids.map(String::as_str))
    }

    /// The cautions of what is to be done, beside it.
    fn cautions<'i>(self, ids: impl Iterator<Item = &'i str>) -> Result<(), Failure> {
        let texts = input::texts(self.account.catalogue)?;
        writeln!(self.out)?;
        for caution in self.account.cautions(&texts, ids) {
            sentence(self.out, "! ", &caution)?;
        }
        sentence(self.out, "", &protected(self.account.speech))
    }
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
