//! What a draft becomes: the week with its reasons and what may be decided in it, weekly sets, what could not be met,
//! and the weeks of the block.

use super::super::look::{self, proof};
use super::super::visit::Visit;
use super::super::{shelf, week};
use super::decide::price_of;
use super::work::{Answer, Draft};
use maud::{Markup, html};
use plinth_core::plan::brief::Weekday;
use plinth_core::plan::programme::{Claim, LONGEST_CUE, Line, Mark};
use plinth_core::plan::reason::Change;
use plinth_core::words::{self, Account, Speech};

/// The answered part of a draft's page.
pub(super) fn part(visit: &Visit, draft: &Draft, answer: &Answer) -> Markup {
    let s = &*shelf::speech_of(visit, &answer.catalogue);
    let days: Vec<Weekday> = answer.programme.days.iter().map(|d| d.weekday).collect();
    let account = Account { speech: s, catalogue: &answer.catalogue, days: &days };
    let minutes: i32 = answer.programme.days.iter().map(|d| (d.seconds + 59) / 60).sum();
    html! {
        @if !answer.is_of(draft) { p.wrong role="status" { (s.say("draft-before", &[])) } }
        @for n in &answer.notices { p.wrong { (words::notice(s, &answer.catalogue, n)) } }
        p {
            (s.say("week-minutes", &[("minutes", minutes.into()), ("claim", (&claim(s, answer)).into())]))
        }
        p { a.act-link href={ "/desk/published/new?draft=" (draft.id) } { (s.say("draft-publish", &[])) } }
        (decisions(s, visit, draft, answer, &account))
        @for (d, day) in answer.programme.days.iter().enumerate() {
            h3 {
                (s.weekday(day.weekday)) ", "
                (s.say("draft-day-minutes", &[("used", ((day.seconds + 59) / 60).into()), ("of", day.minutes_at_hand.into())]))
            }
            @if day.lines.is_empty() { p { (s.say("draft-day-empty", &[])) } }
            ol.lines {
                @for (l, line) in day.lines.iter().enumerate() {
                    li { (one(s, visit, draft, answer, &account, (d, l), line)) }
                }
            }
            @if let Some(stops) = answer.stops.iter().find(|x| x.day == d) { p.soft { (account.stops(stops)) } }
        }
        (missing(s, draft, answer, &account))
        h3 { (s.say("head-weekly-sets", &[])) }
        (volumes(s, answer))
        h3 { (s.say("desk-block", &[])) }
        (week::block(s, &answer.catalogue, &answer.programme))
    }
}

/// What is known of how good the week is.
fn claim(s: &Speech, answer: &Answer) -> String {
    match answer.programme.certificate.claim() {
        Claim::Unfinished if answer.held => s.say("draft-claim-held", &[]),
        other => words::claim(s, other),
    }
}

/// What the coach decided, each with what lets it go.
fn decisions(s: &Speech, visit: &Visit, draft: &Draft, answer: &Answer, account: &Account<'_>) -> Markup {
    html! {
        @if !draft.held.is_empty() {
            h3 { (s.say("draft-decided", &[])) }
            ul.drafts {
                @for (k, change) in draft.held.iter().enumerate() {
                    li {
                        span {
                            (account.change(change))
                            @if answer.let_go.contains(change) { " " strong { (s.say("draft-not-held", &[])) } }
                        }
                        form method="post" action={ "/desk/drafting/" (draft.id) "/let-go" } {
                            (proof(visit))
                            input type="hidden" name="number" value=(k);
                            button aria-label={ (s.say("draft-let-go", &[])) ": " (account.change(change)) } { (s.say("draft-let-go", &[])) }
                        }
                    }
                }
            }
        }
    }
}

fn one(
    s: &Speech,
    visit: &Visit,
    draft: &Draft,
    answer: &Answer,
    account: &Account<'_>,
    (d, l): (usize, usize),
    line: &Line,
) -> Markup {
    let name = s.movement_in(&answer.catalogue, &line.movement);
    let reason = answer.lines.get(d).and_then(|lines| lines.get(l));
    html! {
        p {
            strong { (name) } " " (week::how(s, line)) "; "
            (s.say("desk-sheet-rest", &[("time", (&s.clock(i64::from(line.rest_s))).into())]))
        }
        @if let Some(cue) = &line.cue { p { (s.say("draft-cue-is", &[("cue", cue.into())])) } }
        @let told = reason.map(|r| account.line(r)).unwrap_or_default();
        @if let Some(first) = told.first() { p.soft { (first) } }
        details {
            summary { (s.say("draft-decide", &[("movement", (&name).into())])) }
            @if told.len() > 1 { p.soft { (told[1..].join(" ")) } }
            p { (s.say("draft-ask-price", &[])) }
            ul.ways {
                @for (change, told) in offers(s, answer, d, line) {
                    li { a href=(price_of(draft, &change)) { (told) } }
                }
            }
            form.column method="post" action={ "/desk/drafting/" (draft.id) "/line" } {
                (proof(visit))
                input type="hidden" name="movement" value=(line.movement);
                fieldset {
                    legend { (s.say("draft-mark", &[])) }
                    div.boxes {
                        @for (mark, key) in [("keep", "draft-mark-keep"), ("may_bend", "draft-mark-may-bend"), ("never", "draft-mark-never")] {
                            @let id = format!("mark-{d}-{l}-{mark}");
                            span.tick {
                                input type="radio" name="mark" value=(mark) id=(id)
                                    checked[(line.mark == Mark::Keep && mark == "keep") || (line.mark == Mark::MayBend && mark == "may_bend")];
                                label for=(id) { (s.say(key, &[])) }
                            }
                        }
                    }
                }
                label for={ "cue-" (d) "-" (l) } { (s.say("draft-cue", &[])) }
                input id={ "cue-" (d) "-" (l) } name="cue" maxlength=(LONGEST_CUE) value=(line.cue.as_deref().unwrap_or_default());
                button { (s.say("draft-line-keep", &[])) }
            }
        }
    }
}

/// What may be asked of a line.
fn offers(s: &Speech, answer: &Answer, d: usize, line: &Line) -> Vec<(Change, String)> {
    let movement = || line.movement.clone();
    let mut out = Vec::new();
    for (sets, key) in [(line.sets + 1, "draft-more"), (line.sets - 1, "draft-fewer")] {
        if sets > 0 {
            let told = s.say(key, &[("n", sets.into())]);
            out.push((Change::Sets { day: d, movement: movement(), sets }, told));
        }
    }
    for (to, day) in answer.programme.days.iter().enumerate() {
        if to != d && day.lines.iter().all(|l| l.movement != line.movement) {
            let told = s.say("draft-move", &[("day", (&s.weekday(day.weekday)).into())]);
            out.push((Change::Move { movement: movement(), from: d, to }, told));
        }
    }
    out.push((Change::Sets { day: d, movement: movement(), sets: 0 }, s.say("draft-off-day", &[])));
    out.push((Change::Forbid { movement: movement() }, s.say("draft-off-week", &[])));
    out
}

/// What could not be met, why, and the ways out.
fn missing(s: &Speech, draft: &Draft, answer: &Answer, account: &Account<'_>) -> Markup {
    let short = account.shortfalls(&answer.shortfalls);
    html! {
        @if !short.is_empty() || !answer.impossible.is_empty() {
            h3 { (s.say("draft-missing", &[])) }
            ul { @for told in &short { li { (told) } } }
            @for one in &answer.impossible { ul { @for told in account.impossible(one) { li { (told) } } } }
            @if answer.remedies.is_empty() {
                p { a href={ "/desk/drafting/" (draft.id) "?help=yes#becomes" } { (s.say("draft-help", &[])) } }
            } @else {
                h4 { (s.say("draft-help-is", &[])) }
                ul { @for r in &answer.remedies { li { (account.remedy(r)) } } }
            }
        }
    }
}

/// Weekly sets of the peak week against their ranges, as strokes and as figures.
fn volumes(s: &Speech, answer: &Answer) -> Markup {
    html! {
        (look::wide(&s.say("head-weekly-sets", &[]), &html! {
            table {
                caption { (s.say("volume-note", &[])) }
                thead { tr {
                    th scope="col" { (s.say("draft-muscle", &[])) }
                    @for key in ["head-total", "head-direct", "head-shared", "head-aim"] { th scope="col" { (s.say(key, &[])) } }
                    th scope="col" { (s.say("draft-strokes", &[])) }
                } }
                tbody {
                    @for v in &answer.programme.weekly_sets {
                        @let total = v.direct + v.shared;
                        tr {
                            th scope="row" { (s.muscle(&v.muscle)) }
                            td.n { (s.halves(total)) } td.n { (s.halves(v.direct)) } td.n { (s.halves(v.shared)) }
                            td { (s.halves(v.minimum)) "–" (s.halves(v.target)) "–" (s.halves(v.maximum)) }
                            td {
                                (strokes(total, v.minimum, v.maximum))
                                @if total < v.minimum { " " (s.say("volume-below-minimum", &[])) }
                                @else if total < v.target { " " (s.say("volume-below-target", &[])) }
                                @else if total > v.maximum { " " (s.say("volume-above", &[])) }
                            }
                        }
                    }
                }
            }
        }))
    }
}

/// How much a muscle gets, as a bar of ink over its hatched range. The figures stand beside it.
fn strokes(total: i32, minimum: i32, maximum: i32) -> Markup {
    // Half-sets; twelve sets fill the width, and more is drawn to a smaller measure.
    let most = maximum.max(total).max(24);
    let at = |half_sets: i32| half_sets * 120 / most;
    html! {
        svg.strokes viewBox="0 0 120 16" width="120" height="16" aria-hidden="true" {
            g.range {
                @for x in (at(minimum)..=at(maximum)).step_by(5) { path d={ "M" (x) " 15l5-14" } {} }
            }
            rect.ink x="0" y="5" width=(at(total)) height="6" {}
        }
    }
}
