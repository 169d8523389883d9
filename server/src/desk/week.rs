//! A programme's week and block as they stand on a page.

use super::look;
use maud::{Markup, html};
use plinth_core::catalogue::{Catalogue, ShareKind};
use plinth_core::plan::programme::{Line, Mark, Programme, WeekKind};
use plinth_core::words::{Speech, prescription, tempo};

/// The days with their lines: what is done, how it is rested, what may happen to it.
pub(super) fn days(s: &Speech, c: &Catalogue, programme: &Programme) -> Markup {
    html! {
        @for day in &programme.days {
            h3 {
                (s.weekday(day.weekday)) ", "
                (s.minutes(i64::from((day.seconds + 59) / 60)))
            }
            (look::wide(&s.weekday(day.weekday), &html! {
                table {
                    thead { tr {
                        @for key in ["desk-movement", "desk-sets", "desk-rest", "desk-purpose"] {
                            th scope="col" { (s.say(key, &[])) }
                        }
                    } }
                    tbody {
                        @for line in &day.lines {
                            tr {
                                th scope="row" { (s.movement_in(c, &line.movement)) }
                                td { (how(s, line)) }
                                td { (s.clock(i64::from(line.rest_s))) }
                                td { (purpose(s, c, line)) }
                            }
                        }
                    }
                }
            }))
        }
    }
}

/// How the sets of a line are done, with its tempo.
pub(super) fn how(s: &Speech, line: &Line) -> String {
    let told = prescription(s, line);
    match line.tempo.filter(|t| t.repetition_s() > 0) {
        Some(t) => format!("{told}. {}", tempo(s, &t)),
        None => told,
    }
}

/// What a line is for, and what may happen to it.
pub(super) fn purpose(s: &Speech, c: &Catalogue, line: &Line) -> String {
    let direct: Vec<String> = c
        .movement(&line.movement)
        .into_iter()
        .flat_map(|m| m.trains.iter().filter(|t| t.share == ShareKind::Direct))
        .filter_map(|t| Some(s.muscle_inside(&c.muscles.get(t.muscle)?.id)))
        .collect();
    let kind = if line.carrying { "carries" } else { "fills" };
    let mark = match line.mark {
        Mark::Keep => "keep",
        Mark::MayBend => "may-bend",
    };
    s.say(
        "desk-line-purpose",
        &[("kind", kind.into()), ("muscles", (&s.and(&direct)).into()), ("mark", mark.into())],
    )
}

/// The weeks of the block: for each line its sets and reserve.
pub(super) fn block(s: &Speech, c: &Catalogue, programme: &Programme) -> Markup {
    html! {
        (look::wide(&s.say("desk-block", &[]), &html! {
            table {
                caption { (s.say("desk-block-about", &[])) }
                thead { tr {
                    th scope="col" { (s.say("desk-movement", &[])) }
                    @for week in &programme.block {
                        th scope="col" {
                            (s.say("desk-block-week", &[
                                ("n", week.number.into()),
                                ("kind", match week.kind {
                                    WeekKind::Build => "build",
                                    WeekKind::Peak => "peak",
                                    WeekKind::Deload => "deload",
                                }.into()),
                            ]))
                        }
                    }
                } }
                tbody {
                    @for (d, day) in programme.days.iter().enumerate() {
                        @for (l, line) in day.lines.iter().enumerate() {
                            tr {
                                th scope="row" { (s.weekday(day.weekday)) ": " (s.movement_in(c, &line.movement)) }
                                @for week in &programme.block {
                                    td {
                                        @if let Some(b) = week.days.get(d).and_then(|lines| lines.get(l)) {
                                            @if b.sets == 0 { (s.say("desk-block-none", &[])) }
                                            @else {
                                                (s.say("desk-block-sets", &[
                                                    ("n", b.sets.into()), ("reserve", b.reserve.into()),
                                                ]))
                                            }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }))
    }
}
