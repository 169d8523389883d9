//! The sheet for the wall: a day on each leaf, its lines in letters that are read at two metres, and below each, for who
//! steps closer, how it is rested, what it is for and what may stand in.
//!
//! A letter that subtends five minutes of arc is just read by an eye of ordinary acuity (ISO 8596; from memory): 2.9 mm at
//! two metres. The lines are set in 30 points, whose capitals are some 7.5 mm high, two and a half times as much.

use super::super::look::{self, Place};
use super::super::visit::Visit;
use super::super::{Desk, shelf, week};
use super::{catalogue_of, one};
use crate::host::fault::Fault;
use crate::host::store::Store;
use axum::extract::{Extension, Path, State};
use axum::response::Response;
use maud::{Markup, html};
use plinth_core::catalogue::{Catalogue, StandInKind};
use plinth_core::plan::programme::{Line, Mark};
use plinth_core::words::{Speech, prescription, tempo};
use std::sync::Arc;

/// Stand-ins that are named of each line.
const STAND_INS: usize = 3;

pub(super) async fn page<S: Store>(
    State(desk): State<Arc<Desk<S>>>,
    Extension(visit): Extension<Visit>,
    Path(id): Path<String>,
) -> Response {
    let made = async {
        let p = one(&desk, &visit, &id).await?;
        let c = catalogue_of(&desk, &visit, p.draft).await?;
        let s = shelf::speech_of(&visit, &c);
        let main = html! {
            p.screen { a href={ "/desk/published/" (p.id) } { (p.name(&s)) } " " (s.say("desk-sheet-print", &[])) }
            @for day in &p.programme.days {
                section.leaf {
                    h2 { (s.weekday(day.weekday)) }
                    p {
                        (s.say("desk-sheet-head", &[
                            ("name", (&p.name(&s)).into()),
                            ("minutes", ((day.seconds + 59) / 60).into()),
                            ("warm", (day.warm_up.general_s / 60).into()),
                        ]))
                    }
                    ol { @for line in &day.lines { li { (leaf(&s, &c, line)) } } }
                    p.soft { (s.say("desk-sheet-caution", &[])) }
                }
            }
        };
        Ok::<_, Fault>((p.name(&s), main))
    };
    match made.await {
        Ok((title, main)) => look::page(&visit, Place::Published, &title, &main),
        Err(fault) => look::fault(&visit, Place::Published, &fault),
    }
}

fn leaf(s: &Speech, c: &Catalogue, line: &Line) -> Markup {
    let stand_ins = stand_ins(s, c, line);
    html! {
        p.line { strong { (s.movement_in(c, &line.movement)) } " " span.how { (prescription(s, line)) "." } @if let Some(t) = line.tempo.filter(|t| t.repetition_s() > 0) { " " (tempo(s, &t)) } }
        p {
            (s.say("desk-sheet-rest", &[("time", (&s.clock(i64::from(line.rest_s))).into())])) " "
            (week::purpose(s, c, line)) " "
            @if line.mark == Mark::MayBend && !stand_ins.is_empty() {
                (s.say("desk-sheet-stand-ins", &[("which", (&s.or(&stand_ins)).into())]))
            }
        }
    }
}

/// What serves when the station is taken or the kit is not there.
fn stand_ins(s: &Speech, c: &Catalogue, line: &Line) -> Vec<String> {
    let serves = |kind: StandInKind| {
        matches!(kind, StandInKind::Busy | StandInKind::Equipment | StandInKind::Lateral | StandInKind::Alone)
    };
    let mut out: Vec<String> = Vec::new();
    for stand_in in c.find(&line.movement).into_iter().flat_map(|m| c.stand_ins_of(m)) {
        let Some(to) = c.movements.get(stand_in.to).filter(|_| serves(stand_in.kind)) else { continue };
        let name = s.movement_in(c, &to.id);
        if !out.contains(&name) && out.len() < STAND_INS {
            out.push(name);
        }
    }
    out
}
