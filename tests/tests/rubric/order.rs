//! What comes first, and what shares a session.

use crate::view::{View, each, unless};
use crate::{NO_SOURCE, Statement};

fn swap_ends(v: &mut View<'_>, ask: impl Fn(&View<'_>, &plinth_core::plan::programme::Line) -> bool) -> bool {
    for d in 0..v.programme().days.len() {
        let lines = &v.programme().days[d].lines;
        let Some(last) = lines.len().checked_sub(1) else { continue };
        if last > 0 && ask(v, &lines[last]) {
            let line = v.answer.programme.days[d].lines.remove(last);
            v.answer.programme.days[d].lines.insert(0, line);
            return true;
        }
    }
    false
}

pub(crate) fn statements() -> Vec<Statement> {
    vec![
        Statement {
            name: "every session is led by a movement that carries the programme",
            source: "Nunes 2021: multi-joint lifts gain more strength when first (seen: abstract); that they carry: common practice, no source",
            applies: |v| v.at_least(2, 45) && !v.case.carrying.is_empty(),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let led = lines.first().is_some_and(|l| l.carrying);
                    unless(!led, || format!("day {d} is led by {:?}", lines.first().map(|l| &l.movement)))
                })
            },
            spoil: |v| v.answer.programme.days[0].lines.first_mut().map(|l| l.carrying = false).is_some(),
        },
        Statement {
            name: "compounds come before isolation",
            source: "ACSM 2009: multi- before single-joint (seen: medical-news reproduction); Nunes 2021 (seen: abstract)",
            applies: |v| {
                v.days().any(|d| d.iter().any(|l| v.isolation(l)) && d.iter().any(|l| v.compound(l)))
            },
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let last = lines.iter().rposition(|l| v.compound(l));
                    let first = lines.iter().position(|l| v.isolation(l));
                    unless(matches!((last, first), (Some(c), Some(i)) if i < c), || format!("day {d}"))
                })
            },
            spoil: |v| {
                for d in 0..v.programme().days.len() {
                    let lines = &v.programme().days[d].lines;
                    let (c, i) = (
                        lines.iter().position(|l| v.compound(l)),
                        lines.iter().rposition(|l| v.isolation(l)),
                    );
                    if let (Some(c), Some(i)) = (c, i) {
                        v.answer.programme.days[d].lines.swap(c, i);
                        return true;
                    }
                }
                false
            },
        },
        Statement {
            name: "trunk work and carries come last",
            source: NO_SOURCE,
            applies: |v| v.lines().any(|l| v.trunk(l)),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let first = lines.iter().position(|l| v.trunk(l));
                    let after = first.is_some_and(|k| lines[k..].iter().any(|l| !v.trunk(l)));
                    unless(after, || format!("day {d}"))
                })
            },
            spoil: |v| swap_ends(v, |v, l| v.trunk(l)),
        },
        Statement {
            name: "isolation takes at most a third of a session's sets unless it is for a muscle put first",
            source: NO_SOURCE,
            applies: |v| v.lines().any(|l| v.isolation(l)),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let all: i32 = lines.iter().map(|l| l.sets).sum();
                    let isolation: i32 =
                        lines.iter().filter(|l| v.isolation(l) && !v.prioritised(l)).map(|l| l.sets).sum();
                    unless(3 * isolation > all, || format!("day {d}: {isolation} of {all}"))
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.isolation(l) && !v.prioritised(l)) else { return false };
                v.answer.programme.days[d].lines[k].sets = 60;
                true
            },
        },
        Statement {
            name: "isolation never outnumbers the compounds",
            source: NO_SOURCE,
            applies: |v| v.lines().any(|l| v.isolation(l)),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let isolation = lines.iter().filter(|l| v.isolation(l)).count();
                    let compounds = lines.iter().filter(|l| v.compound(l)).count();
                    unless(isolation > compounds, || format!("day {d}: {isolation} to {compounds}"))
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.isolation(l)) else { return false };
                let line = v.programme().days[d].lines[k].clone();
                v.answer.programme.days[d].lines = vec![line];
                true
            },
        },
        Statement {
            name: "at most one lift of full spinal load in a session",
            source: NO_SOURCE,
            applies: |v| v.owns("barbell"),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let full = lines.iter().filter(|l| v.movement(l).axial == 3).count();
                    unless(full > 1, || format!("day {d}: {full}"))
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.movement(l).axial == 3) else { return false };
                let line = v.programme().days[d].lines[k].clone();
                v.answer.programme.days[d].lines.push(line);
                true
            },
        },
        Statement {
            name: "at most one movement of trunk work in a session",
            source: NO_SOURCE,
            applies: |v| v.lines().any(|l| v.trunk(l)),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let trunk = lines.iter().filter(|l| v.trunk(l)).count();
                    unless(trunk > 1, || format!("day {d}: {trunk}"))
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.trunk(l)) else { return false };
                let line = v.programme().days[d].lines[k].clone();
                v.answer.programme.days[d].lines.push(line);
                true
            },
        },
        Statement {
            name: "no pattern comes twice in a session where the week has at most three days",
            source: NO_SOURCE,
            applies: |v| v.brief.days <= 3,
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    each(lines.iter().enumerate(), |(k, l)| {
                        let before = lines[..k].iter().any(|b| v.pattern(b).id == v.pattern(l).id);
                        unless(before, || format!("day {d}: {}", v.pattern(l).id))
                    })
                })
            },
            spoil: |v| {
                let line = v.programme().days[0].lines[0].clone();
                v.answer.programme.days[0].lines.push(line);
                true
            },
        },
        Statement {
            name: "sets done in turn never train the same muscle directly",
            source: "Zhang 2025: pairs of the same muscle cost volume load, opposing ones do not (seen: secondary)",
            applies: |v| v.programme().days.iter().any(|d| !d.in_turn.is_empty()),
            holds: |v| {
                each(v.programme().days.iter(), |d| {
                    each(d.in_turn.iter(), |t| {
                        let (a, b) = (v.movement(&d.lines[t.first]), v.movement(&d.lines[t.second]));
                        let shared = a.direct().any(|g| b.direct().any(|h| g == h));
                        unless(shared, || format!("{} with {}", a.id, b.id))
                    })
                })
            },
            spoil: |v| {
                let day = v.answer.programme.days.iter_mut().find(|d| !d.in_turn.is_empty());
                let Some(day) = day else { return false };
                let turn = day.in_turn[0];
                let id = day.lines[turn.first].movement.clone();
                day.lines[turn.second].movement = id;
                true
            },
        },
        Statement {
            name: "where two movements carry a session, the harder on the spine comes first",
            source: "ACSM 2009: large before small, heavy before light (seen: medical-news reproduction)",
            applies: |v| v.days().any(|d| d.iter().filter(|l| l.carrying).count() >= 2),
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let axial: Vec<i32> =
                        lines.iter().filter(|l| l.carrying).map(|l| v.movement(l).axial).collect();
                    let full = axial.iter().position(|a| *a == 3);
                    unless(full.is_some_and(|k| k > 0), || format!("day {d}: {axial:?}"))
                })
            },
            spoil: |v| {
                for d in 0..v.programme().days.len() {
                    let lines = &v.programme().days[d].lines;
                    let carrying = lines.iter().filter(|l| l.carrying).count();
                    if carrying >= 2 && v.movement(&lines[0]).axial == 3 {
                        v.answer.programme.days[d].lines[..carrying].reverse();
                        return true;
                    }
                }
                false
            },
        },
    ]
}
