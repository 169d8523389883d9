//! Sessions done, and what was not heard of: silence is not absence.

use chrono::NaiveDate;
use serde::Serialize;

use super::set::as_text;

/// A session that a programme lays on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Planned {
    /// The day.
    #[serde(serialize_with = "as_text")]
    pub day: NaiveDate,
    /// Its week in the programme, from nought.
    pub week: u32,
    /// Its number in the week, from nought.
    pub number: u32,
}

/// What was heard of sessions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Heard {
    /// The week in the programme, when it belongs to one.
    pub week: Option<u32>,
    /// The number in the week.
    pub number: Option<u32>,
    /// The day it was begun.
    #[serde(serialize_with = "as_text")]
    pub day: NaiveDate,
    /// Whether it has at least one set that was done.
    pub any_set: bool,
    /// Whether the lifter said that it will not be done.
    pub called_off: bool,
}

/// What is known of a planned session.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// Done, at least one set of it.
    Done,
    /// The lifter said that it will not be done.
    CalledOff,
    /// The record as of its last news reaches past the day, and holds nothing of it.
    NothingLogged,
    /// The day lies after the last news: nothing is known.
    NotHeardFrom,
    /// Still to come.
    ToCome,
}

/// The sessions of a programme and what is known of each.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Attendance {
    /// Each planned session, in order of days.
    pub sessions: Vec<(Planned, Known)>,
    /// Sessions done beside the plan.
    pub unplanned: u32,
    /// The day of the last news, if any ever came.
    pub last_news: Option<String>,
}

impl Attendance {
    /// How many are known to be so.
    pub fn count(&self, known: Known) -> u32 {
        self.sessions.iter().filter(|(_, k)| *k == known).count() as u32
    }
}

/// What is known of the planned sessions. `last_news` is the day on which the record that is read was last
/// complete: on the lifter's own device today, on a coach's desk the day of the last exchange.
pub fn attendance(
    planned: &[Planned],
    heard: &[Heard],
    last_news: Option<NaiveDate>,
    today: NaiveDate,
) -> Attendance {
    let mut sessions: Vec<Planned> = planned.to_vec();
    sessions.sort_unstable();
    let any = |p: &Planned, what: fn(&Heard) -> bool| {
        heard.iter().any(|h| h.week == Some(p.week) && h.number == Some(p.number) && what(h))
    };
    let known = |p: &Planned| {
        if any(p, |h| h.any_set) {
            Known::Done
        } else if any(p, |h| h.called_off) {
            Known::CalledOff
        } else if p.day >= today {
            Known::ToCome
        } else if last_news.is_some_and(|news| p.day < news) {
            Known::NothingLogged
        } else {
            Known::NotHeardFrom
        }
    };
    let beside = |h: &&Heard| {
        h.any_set && !sessions.iter().any(|p| h.week == Some(p.week) && h.number == Some(p.number))
    };
    Attendance {
        unplanned: heard.iter().filter(beside).count() as u32,
        sessions: sessions.iter().map(|p| (*p, known(p))).collect(),
        last_news: last_news.map(|day| day.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(n: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 5, n).expect("a date")
    }

    #[test]
    fn not_heard_from_is_not_missed() {
        let planned: Vec<Planned> =
            (0..5).map(|n| Planned { day: day(4 + 2 * n), week: 0, number: n }).collect();
        let heard = |number: u32, any_set, called_off| Heard {
            week: Some(0),
            number: Some(number),
            day: day(4),
            any_set,
            called_off,
        };
        let beside = Heard { week: None, number: None, day: day(5), any_set: true, called_off: false };
        let news = [heard(0, true, false), heard(1, false, true), beside];
        let told = attendance(&planned, &news, Some(day(9)), day(12));
        let want = [
            Known::Done,
            Known::CalledOff,
            Known::NothingLogged, // 8 May: the record reaches to 9 May
            Known::NotHeardFrom,  // 10 May: after the last news
            Known::ToCome,        // 12 May is today
        ];
        assert_eq!(told.sessions.iter().map(|s| s.1).collect::<Vec<_>>(), want);
        assert_eq!((told.unplanned, told.count(Known::Done)), (1, 1));
        let silent = attendance(&planned, &[], None, day(30));
        assert_eq!(silent.count(Known::NotHeardFrom), 5, "never heard from is not missed either");
    }

    #[test]
    fn a_session_begun_without_a_set_is_not_done() {
        let planned = [Planned { day: day(4), week: 0, number: 0 }];
        let empty = Heard { week: Some(0), number: Some(0), day: day(4), any_set: false, called_off: false };
        assert_eq!(attendance(&planned, &[empty], Some(day(9)), day(9)).sessions[0].1, Known::NothingLogged);
    }
}
