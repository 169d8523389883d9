//! Whether the numbers of a snapshot are such as a session has. A snapshot may come from a damaged or a stranger's
//! file, and what reckons with it must not meet a rest of minus a second or a set of ten years.

use super::state::{Form, Line, Loading, State};

/// More than any session has.
const MOST_LINES: usize = 100;
const MOST_SETS: i32 = 100;
const MOST_AMOUNT: u32 = 100_000;
const MOST_REPS: i32 = 10_000;
const MOST_SECONDS: i32 = 36_000;
const MOST_SETS_DONE: usize = 5_000;

impl State {
    /// The first number that no session has, by its name.
    pub(super) fn unsound(&self) -> Option<&'static str> {
        let seconds = |s: i32| (0..=MOST_SECONDS).contains(&s);
        let bounded = [
            ("lines", self.lines.len() <= MOST_LINES && self.order.len() <= 2 * MOST_LINES),
            ("warm_up", self.warm_up.len() <= MOST_LINES && self.warm_up.iter().all(|w| seconds(w.seconds))),
            ("pairs", self.pairs.len() <= MOST_LINES && self.pairs.iter().all(|p| sets(p.sets))),
            ("rest", self.rest.as_ref().is_none_or(|r| seconds(r.seconds) && seconds(r.floor_s))),
            ("sets", self.sets.len() <= MOST_SETS_DONE && self.sets.iter().all(done)),
            ("minutes", self.before.minutes.is_none_or(|m| m <= MOST_AMOUNT)),
            ("form", self.form.as_ref().is_none_or(form)),
        ];
        let first = bounded.into_iter().find(|(_, good)| !good).map(|(name, _)| name);
        first.or_else(|| self.lines.iter().find_map(line))
    }
}

fn sets(n: i32) -> bool {
    (0..=MOST_SETS).contains(&n)
}

fn reps(n: i32) -> bool {
    (0..=MOST_REPS).contains(&n)
}

fn done(s: &super::state::SetDone) -> bool {
    s.amount <= MOST_AMOUNT
        && s.number <= MOST_AMOUNT
        && s.reserve.is_none_or(|r| r <= MOST_AMOUNT)
        && [s.low, s.high, s.target_reserve].into_iter().all(reps)
}

fn line(l: &Line) -> Option<&'static str> {
    let seconds = |s: i32| (0..=MOST_SECONDS).contains(&s);
    let first_rest = match &l.loading {
        Loading::Find { first, .. } => {
            i32::try_from(first.rest_s).is_ok_and(seconds) && first.loads.len() <= 1_000
        }
        _ => true,
    };
    let bounded = [
        ("line.sets", sets(l.sets) && sets(l.planned_sets)),
        ("line.low", [l.low, l.high, l.reserve, l.asked.0, l.asked.1, l.asked.2].into_iter().all(reps)),
        ("line.amount", l.amount <= MOST_AMOUNT),
        ("line.rest_s", seconds(l.rest_s)),
        ("line.work_s", seconds(l.work_s)),
        ("line.set_up_s", seconds(l.set_up_s)),
        ("line.ramp", l.ramp.len() <= 1_000 && l.ramp_done <= 1_000 && l.ramp_sets <= 1_000),
        ("line.loading", first_rest),
        (
            "line.tempo",
            l.tempo
                .is_none_or(|t| [t.lower_s, t.turn_s, t.raise_s].into_iter().all(|s| (0..=10).contains(&s))),
        ),
    ];
    bounded.into_iter().find(|(_, good)| !good).map(|(name, _)| name)
}

fn form(f: &Form) -> bool {
    match f {
        Form::Set { set } => {
            set.amount <= MOST_AMOUNT
                && set.ago_min <= MOST_AMOUNT
                && set.reserve.is_none_or(|r| r <= MOST_AMOUNT)
                && set.weaker.is_none_or(|w| w <= MOST_AMOUNT)
        }
        Form::StandIns { offers, .. } => {
            offers.len() <= MOST_LINES && offers.iter().all(|o| line(&o.line).is_none())
        }
        Form::Minutes { answer: Some(answer) } => {
            let shares = answer.shares.iter().chain(answer.free.iter().flatten());
            answer.minutes <= MOST_AMOUNT
                && (0..=1_000_000).contains(&answer.seconds)
                && shares.into_iter().all(|s| sets(s.sets))
        }
        _ => true,
    }
}
