//! What the week is made of.

use crate::view::{View, each, unless};
use crate::{NO_SOURCE, Statement};
use plinth_core::catalogue::{Direction, HeavyClass};
use plinth_core::plan::brief::WishKind;
use plinth_core::plan::filter::Removal;

fn sides(v: &View<'_>) -> (i32, i32) {
    let of = |side: Direction| v.lines().filter(|l| v.pattern(l).direction == side).map(|l| l.sets).sum();
    (of(Direction::Push), of(Direction::Pull))
}

fn heavy_of(v: &View<'_>, day: usize, class: HeavyClass) -> bool {
    v.programme().days[day].lines.iter().any(|l| v.heavy(l) && v.movement(l).heavy_class == class)
}

/// A heavy floor pull put beside (or `apart` days after) the first heavy squat.
fn pull_near_squat(v: &mut View<'_>, apart: usize) -> bool {
    let Some((d, k)) = v.place(|l| v.heavy(l) && v.movement(l).heavy_class == HeavyClass::Squat) else {
        return false;
    };
    let mut pull = v.programme().days[d].lines[k].clone();
    pull.movement = "conventional_deadlift".into();
    let Some(day) = v.answer.programme.days.get_mut(d + apart) else { return false };
    day.lines.push(pull);
    true
}

fn adjacent(v: &View<'_>) -> Vec<(usize, usize)> {
    let days = &v.programme().days;
    let mut out = Vec::new();
    for a in 0..days.len() {
        for b in 0..days.len() {
            if (days[a].weekday as i32 + 1) % 7 == days[b].weekday as i32 {
                out.push((a, b));
            }
        }
    }
    out
}

fn group_visits(v: &View<'_>, group: &str) -> i32 {
    v.days().flatten().filter(|l| v.pattern(l).base_group.as_deref() == Some(group)).count() as i32
}

fn groups(v: &View<'_>) -> Vec<String> {
    let mut out: Vec<String> =
        v.usable().filter_map(|m| v.catalogue.patterns[m.pattern].base_group.clone()).collect();
    out.sort();
    out.dedup();
    out
}

/// Major muscles that can be trained and get two sets (shared work counted half) on fewer than two days.
fn once<'a>(v: &'a View<'_>) -> Vec<&'a str> {
    let days = |g: usize| v.days().filter(|lines| v.half_sets(lines.iter())[g] >= 4).count();
    v.majors().into_iter().filter(|g| days(*g) < 2).map(|g| v.catalogue.muscles[g].id.as_str()).collect()
}

/// Takes all work of the first `count` major muscles away.
fn drop_major(v: &mut View<'_>, count: usize) -> bool {
    let majors: Vec<usize> = v.majors().into_iter().take(count).collect();
    let ids: Vec<String> = v
        .lines()
        .filter(|l| v.movement(l).trains.iter().any(|a| majors.contains(&a.muscle)))
        .map(|l| l.movement.clone())
        .collect();
    majors.len() == count && drop_all(v, &ids)
}

/// Movements that should carry the programme and are not in the week.
fn missing<'a>(v: &'a View<'_>) -> Vec<&'a str> {
    let ids = v.case.carrying.iter().map(|m| v.catalogue.movements[*m].id.as_str());
    ids.filter(|id| v.lines().all(|l| l.movement != *id)).collect()
}

/// An elbow or wrist so sore that holding a bar is rationed.
fn weak_grip(v: &View<'_>) -> bool {
    v.brief.severity_of("elbow").max(v.brief.severity_of("wrist")) >= 2
}

fn drop_all(v: &mut View<'_>, ids: &[String]) -> bool {
    let before = v.lines().count();
    for day in &mut v.answer.programme.days {
        day.lines.retain(|l| !ids.contains(&l.movement));
    }
    v.lines().count() < before
}

pub(crate) fn statements() -> Vec<Statement> {
    vec![
        Statement {
            name: "no training day is left empty",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    unless(lines.is_empty(), || format!("day {d} is empty"))
                })
            },
            spoil: |v| {
                v.answer.programme.days[0].lines.clear();
                true
            },
        },
        Statement {
            name: "every movement that should carry the programme appears",
            source: NO_SOURCE,
            applies: |v| {
                (v.at_least(2, 60) || v.at_least(3, 50)) && !v.case.carrying.is_empty() && !weak_grip(v)
            },
            holds: |v| unless(!missing(v).is_empty(), || format!("{:?} missing", missing(v))),
            spoil: |v| {
                let id = v.catalogue.movements[v.case.carrying[0]].id.clone();
                drop_all(v, &[id])
            },
        },
        Statement {
            name: "in shorter weeks at most two of the movements that should carry the programme are missing",
            source: NO_SOURCE,
            applies: |v| v.at_least(2, 45) && v.case.carrying.len() >= 3,
            holds: |v| unless(missing(v).len() > 2, || format!("{:?} missing", missing(v))),
            spoil: |v| {
                let ids: Vec<String> =
                    v.case.carrying[..3].iter().map(|m| v.catalogue.movements[*m].id.clone()).collect();
                drop_all(v, &ids)
            },
        },
        Statement {
            name: "what carries the programme recurs: most of it twice a week from three days on",
            source: NO_SOURCE,
            applies: |v| v.at_least(3, 60) && v.case.carrying.len() >= 3,
            holds: |v| {
                let twice = |m: &usize| {
                    let m = &v.catalogue.movements[*m];
                    let often = v.lines().filter(|l| l.movement == m.id).count();
                    often >= if m.heavy_class == HeavyClass::FloorPull { 1 } else { 2 }
                };
                let of = v.case.carrying.len();
                let met = v.case.carrying.iter().filter(|m| twice(m)).count();
                unless(2 * met <= of, || format!("{met} of {of} recur"))
            },
            spoil: |v| {
                for m in v.case.carrying.clone() {
                    let id = v.catalogue.movements[m].id.clone();
                    let mut met = false;
                    for day in &mut v.answer.programme.days {
                        day.lines.retain(|l| l.movement != id || !std::mem::replace(&mut met, true));
                    }
                }
                v.case
                    .carrying
                    .iter()
                    .filter(|m| v.catalogue.movements[**m].heavy_class != HeavyClass::FloorPull)
                    .count()
                    * 2
                    >= v.case.carrying.len()
            },
        },
        Statement {
            name: "the base patterns are met twice a week from three days on",
            source: "ACSM 2026: all major muscle groups at least two days a week (seen: secondary); by pattern: common practice, no source",
            applies: |v| v.at_least(3, 45),
            holds: |v| {
                each(groups(v).iter(), |g| {
                    let n = group_visits(v, g);
                    unless(n < 2, || format!("{g} {n} times"))
                })
            },
            spoil: |v| {
                let Some(g) = groups(v).first().cloned() else { return false };
                let ids: Vec<String> = v
                    .lines()
                    .filter(|l| v.pattern(l).base_group.as_ref() == Some(&g))
                    .map(|l| l.movement.clone())
                    .collect();
                drop_all(v, &ids)
            },
        },
        Statement {
            name: "every major muscle that can be trained is trained on two days, from three long days on",
            source: "WHO 2020 (seen: secondary table); ACSM 2026 (seen: secondary)",
            applies: |v| v.at_least(3, 60),
            holds: |v| unless(!once(v).is_empty(), || format!("{:?}", once(v))),
            spoil: |v| drop_major(v, 1),
        },
        Statement {
            name: "in shorter weeks at most one major muscle misses its second day",
            source: "WHO 2020 (seen: secondary table) asks for all; that a six-movement session may miss one: common practice, no source",
            applies: |v| v.at_least(2, 45),
            holds: |v| unless(once(v).len() > 1, || format!("{:?}", once(v))),
            spoil: |v| drop_major(v, 2),
        },
        Statement {
            name: "pushes and pulls lie within a third of each other",
            source: NO_SOURCE,
            applies: |v| {
                let has = |side| v.usable().any(|m| v.catalogue.patterns[m.pattern].direction == side);
                v.at_least(2, 45) && has(Direction::Push) && has(Direction::Pull)
            },
            holds: |v| {
                let (push, pull) = sides(v);
                unless(3 * push.min(pull) < 2 * push.max(pull), || format!("{push} pushes, {pull} pulls"))
            },
            spoil: |v| {
                let pulls: Vec<String> = v
                    .lines()
                    .filter(|l| v.pattern(l).direction == Direction::Pull)
                    .map(|l| l.movement.clone())
                    .collect();
                drop_all(v, &pulls)
            },
        },
        Statement {
            name: "the heavy squat and the heavy pull from the floor are not in one session",
            source: "common practice, no source (Belcher 2019 and Barnes 2019, seen: abstracts, do not show the deadlift to fatigue more)",
            applies: |v| v.owns("barbell") || v.owns("trap_bar"),
            holds: |v| {
                each(0..v.programme().days.len(), |d| {
                    let both = heavy_of(v, d, HeavyClass::Squat) && heavy_of(v, d, HeavyClass::FloorPull);
                    unless(both, || format!("day {d}"))
                })
            },
            spoil: |v| pull_near_squat(v, 0),
        },
        Statement {
            name: "the heavy squat and the heavy pull from the floor are not on adjacent days of a free week",
            source: NO_SOURCE,
            applies: |v| (v.owns("barbell") || v.owns("trap_bar")) && v.brief.weekdays.is_empty(),
            holds: |v| {
                let (squat, pull) = (HeavyClass::Squat, HeavyClass::FloorPull);
                each(adjacent(v).into_iter(), |(a, b)| {
                    let met = heavy_of(v, a, squat) && heavy_of(v, b, pull)
                        || heavy_of(v, a, pull) && heavy_of(v, b, squat);
                    unless(met, || format!("days {a} and {b}"))
                })
            },
            spoil: |v| {
                let near = adjacent(v);
                let Some((d, _)) = v.place(|l| v.heavy(l) && v.movement(l).heavy_class == HeavyClass::Squat)
                else {
                    return false;
                };
                near.contains(&(d, d + 1)) && pull_near_squat(v, 1)
            },
        },
        Statement {
            name: "a deadlift from the floor comes at most once a week",
            source: NO_SOURCE,
            applies: |v| v.owns("barbell") || v.owns("trap_bar"),
            holds: |v| {
                let asked =
                    v.brief.wishes.iter().filter(|w| w.wish == WishKind::Require).filter_map(|w| w.times);
                let most = asked.max().unwrap_or(1).max(1) as usize;
                let mut ids: Vec<&str> = v
                    .lines()
                    .filter(|l| v.movement(l).heavy_class == HeavyClass::FloorPull)
                    .map(|l| l.movement.as_str())
                    .collect();
                ids.sort_unstable();
                each(ids.chunk_by(|a, b| a == b), |same| {
                    unless(same.len() > most, || format!("{} {} times", same[0], same.len()))
                })
            },
            spoil: |v| {
                v.put("conventional_deadlift", |_| true) && {
                    let line = v.lines().next().cloned().expect("put above");
                    for day in &mut v.answer.programme.days {
                        day.lines.push(line.clone());
                        day.lines.push(line.clone());
                    }
                    true
                }
            },
        },
        Statement {
            name: "no movement comes more than three times a week unless it is asked for",
            source: NO_SOURCE,
            applies: |v| v.brief.days >= 4,
            holds: |v| {
                each(v.lines(), |l| {
                    let often = v.lines().filter(|k| k.movement == l.movement).count();
                    let asked = v.brief.wishes.iter().any(|w| {
                        w.movement.as_ref() == Some(&l.movement)
                            && w.times.is_some_and(|t| t as usize >= often)
                    });
                    unless(often > 3 && !asked, || format!("{} {often} times", l.movement))
                })
            },
            spoil: |v| {
                let line = v.programme().days[0].lines[0].clone();
                for day in &mut v.answer.programme.days {
                    day.lines.push(line.clone());
                }
                true
            },
        },
        Statement {
            name: "in a week of one or two hour-long days each session trains both halves of the body",
            source: NO_SOURCE,
            applies: |v| {
                let any = |half: &str| v.majors().iter().any(|g| v.catalogue.muscles[*g].region == half);
                v.at_least(1, 60) && v.brief.days <= 2 && any("lower") && any("upper")
            },
            holds: |v| {
                each(v.days().enumerate(), |(d, lines)| {
                    let half_sets = v.half_sets(lines.iter());
                    each(["lower", "upper"].into_iter(), |half| {
                        let any = v
                            .majors()
                            .iter()
                            .any(|g| v.catalogue.muscles[*g].region == half && half_sets[*g] >= 4);
                        unless(!any, || format!("day {d} trains nothing of the {half} body"))
                    })
                })
            },
            spoil: |v| {
                let day = v.answer.programme.days[0].lines.clone();
                let keep = day.into_iter().filter(|l| v.pattern(l).direction != Direction::None).collect();
                v.answer.programme.days[0].lines = keep;
                v.programme().days[0].lines.iter().all(|l| {
                    v.movement(l).trains.iter().all(|a| v.catalogue.muscles[a.muscle].region != "lower")
                })
            },
        },
        Statement {
            name: "the abdominals get some work in a week of two such days",
            source: NO_SOURCE,
            applies: |v| v.at_least(2, 45),
            holds: |v| {
                let g = v.catalogue.muscle("abdominals").expect("a muscle");
                let half_sets = v.half_sets(v.lines())[g];
                unless(half_sets < 4, || format!("{half_sets} half-sets"))
            },
            spoil: |v| {
                let g = v.catalogue.muscle("abdominals").expect("a muscle");
                let ids: Vec<String> = v
                    .lines()
                    .filter(|l| v.movement(l).trains.iter().any(|a| a.muscle == g))
                    .map(|l| l.movement.clone())
                    .collect();
                drop_all(v, &ids)
            },
        },
        Statement {
            name: "few lifts, practised often: no novice meets more than fourteen movements in a week",
            source: NO_SOURCE,
            applies: |v| v.brief.training_age == plinth_core::plan::brief::TrainingAge::Novice,
            holds: |v| {
                let mut ids: Vec<&str> = v.lines().map(|l| l.movement.as_str()).collect();
                ids.sort_unstable();
                ids.dedup();
                unless(ids.len() > 14, || format!("{} movements", ids.len()))
            },
            spoil: |v| {
                let line = v.programme().days[0].lines[0].clone();
                for m in &v.catalogue.movements[..15] {
                    let line = plinth_core::plan::programme::Line { movement: m.id.clone(), ..line.clone() };
                    v.answer.programme.days[0].lines.push(line);
                }
                true
            },
        },
        Statement {
            name: "what the lifter forbids is absent",
            source: NO_SOURCE,
            applies: |v| v.brief.wishes.iter().any(|w| w.wish == WishKind::Forbid),
            holds: |v| {
                each(v.brief.wishes.iter().filter(|w| w.wish == WishKind::Forbid), |w| {
                    let met = v.lines().any(|l| Some(&l.movement) == w.movement.as_ref());
                    unless(met, || format!("{:?}", w.movement))
                })
            },
            spoil: |v| {
                let w = v
                    .brief
                    .wishes
                    .iter()
                    .find(|w| w.wish == WishKind::Forbid)
                    .and_then(|w| w.movement.clone());
                w.is_some_and(|id| v.put(&id, |_| true))
            },
        },
        Statement {
            name: "what the lifter requires is there, as often as asked, or a reason is told why not",
            source: NO_SOURCE,
            applies: |v| v.brief.wishes.iter().any(|w| w.wish == WishKind::Require),
            holds: |v| {
                each(v.brief.wishes.iter().filter(|w| w.wish == WishKind::Require), |w| {
                    let id = w.movement.as_deref().unwrap_or_default();
                    let often = v.lines().filter(|l| l.movement == id).count();
                    let asked = w.times.unwrap_or(1).min(v.brief.days) as usize;
                    let told = v.case.removed.iter().any(|(m, why)| {
                        v.catalogue.movements[*m].id == id && !matches!(why, Removal::Dominated { .. })
                    });
                    unless(often < asked && !told, || format!("{id} {often} of {asked} times"))
                })
            },
            spoil: |v| {
                let w = v
                    .brief
                    .wishes
                    .iter()
                    .find(|w| w.wish == WishKind::Require)
                    .and_then(|w| w.movement.clone());
                w.is_some_and(|id| drop_all(v, &[id]))
            },
        },
        Statement {
            name: "all kit that a line needs is at hand",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                each(v.lines(), |l| {
                    let at_hand = v
                        .movement(l)
                        .equipment
                        .iter()
                        .any(|all| all.iter().all(|e| v.owns(&v.catalogue.equipment[*e].id)));
                    unless(!at_hand, || l.movement.clone())
                })
            },
            spoil: |v| {
                let id = v
                    .catalogue
                    .movements
                    .iter()
                    .find(|m| {
                        m.equipment
                            .iter()
                            .all(|all| all.iter().any(|e| !v.owns(&v.catalogue.equipment[*e].id)))
                    })
                    .map(|m| m.id.clone());
                id.is_some_and(|id| v.put(&id, |_| true))
            },
        },
        Statement {
            name: "two sessions are 48 hours apart where the week is free and has at most three",
            source: NO_SOURCE,
            applies: |v| v.brief.weekdays.is_empty() && (2..=3).contains(&v.brief.days),
            holds: |v| unless(!adjacent(v).is_empty(), || "sessions on adjacent days".into()),
            spoil: |v| {
                let monday = plinth_core::plan::brief::Weekday::Monday;
                let tuesday = plinth_core::plan::brief::Weekday::Tuesday;
                v.answer.programme.days[0].weekday = monday;
                v.answer.programme.days[1].weekday = tuesday;
                true
            },
        },
    ]
}
