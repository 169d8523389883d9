//! How much: sets, repetitions, rest, minutes, and how the block lays them out.

use crate::view::{View, each, unless};
use crate::{NO_SOURCE, Statement};
use plinth_core::catalogue::{Laterality, Measure, Tier};
use plinth_core::plan::brief::{Minutes, TrainingAge};
use plinth_core::plan::programme::{Line, WeekKind};

/// Whether a limit of safety changes repetitions or reserve of this line's movement.
fn eased(v: &View<'_>, l: &Line) -> bool {
    let m = v.catalogue.find(&l.movement).expect("a movement");
    v.case.eases[m].is_some_and(|e| e.reps_at_least > 0 || e.reserve_at_least > 0)
}

fn sets_of_week(v: &View<'_>, week: usize) -> i32 {
    v.programme().block[week].days.iter().flatten().map(|l| l.sets).sum()
}

/// The session's seconds reckoned again from its lines, without the model: warm-up, setting up, ramps,
/// repetitions at 3.5 s, rests.
fn reckoned_s(v: &View<'_>, day: usize) -> i32 {
    let day = &v.programme().days[day];
    let lines: i32 = day
        .lines
        .iter()
        .map(|l| {
            let m = v.movement(l);
            let ramp_s = if m.tier == Tier::Main { 55 } else { 40 };
            let once = if m.tier == Tier::Trunk || m.measure != Measure::Repetitions {
                35
            } else {
                (f64::from(l.low + l.high) / 2.0 * 3.5).round() as i32
            };
            let sides = if m.laterality == Laterality::Each { 2 } else { 1 };
            m.set_up_s + m.ramp_sets * ramp_s + l.sets * (once * sides + l.rest_s)
        })
        .sum();
    day.warm_up.general_s + day.warm_up.ankle_mobility_s + lines
}

pub(crate) fn statements() -> Vec<Statement> {
    vec![
        Statement {
            name: "a movement that carries the programme has three to five sets",
            source: "within the 2-6 sets of NSCA Essentials 4e (seen: study-guide copies); the rest common practice, no source",
            applies: |v| v.lines().any(|l| l.carrying),
            holds: |v| {
                each(v.lines().filter(|l| l.carrying), |l| {
                    unless(!(3..=5).contains(&l.sets), || format!("{} has {} sets", l.movement, l.sets))
                })
            },
            spoil: |v| v.lines_mut().find(|l| l.carrying).map(|l| l.sets = 2).is_some(),
        },
        Statement {
            name: "no line has fewer than two or more than five sets, a novice's at most four",
            source: "NSCA Essentials 4e: 2-6 (seen: study-guide copies); ACSM 2009: 1-3 for novices (seen: medical-news reproduction); the fourth common practice, no source",
            applies: |_| true,
            holds: |v| {
                let most = if v.brief.training_age == TrainingAge::Novice { 4 } else { 5 };
                each(v.lines(), |l| {
                    unless(!(2..=most).contains(&l.sets), || format!("{} has {} sets", l.movement, l.sets))
                })
            },
            spoil: |v| v.lines_mut().next().map(|l| l.sets = 6).is_some(),
        },
        Statement {
            name: "each major muscle gets at least four weekly sets in a week of three hours",
            source: "Iversen 2021: at least 4 weekly sets a muscle (seen: abstract); shared work counted half (Pelland 2025, seen: abstract)",
            applies: |v| v.at_least(3, 60) && v.brief.goal.health < 100,
            holds: |v| {
                let half_sets = v.half_sets(v.lines());
                each(v.majors().into_iter(), |g| {
                    unless(half_sets[g] < 8, || {
                        format!("{} {} half-sets", v.catalogue.muscles[g].id, half_sets[g])
                    })
                })
            },
            spoil: |v| {
                let Some(&g) = v.majors().first() else { return false };
                let ids: Vec<String> = v
                    .lines()
                    .filter(|l| v.movement(l).trains.iter().any(|a| a.muscle == g))
                    .map(|l| l.movement.clone())
                    .collect();
                for day in &mut v.answer.programme.days {
                    day.lines.retain(|l| !ids.contains(&l.movement));
                }
                true
            },
        },
        Statement {
            name: "no muscle gets more than two sets above the top of its range",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                let half_sets = v.half_sets(v.lines());
                each(v.case.instance.muscles.iter().zip(half_sets), |(m, half_sets)| {
                    unless(half_sets > m.maximum + 4, || format!("{} {half_sets} of {}", m.id, m.maximum))
                })
            },
            spoil: |v| v.lines_mut().next().map(|l| l.sets = 40).is_some(),
        },
        Statement {
            name: "no muscle gets more than eight sets in a session, nine from half a year on, ten from three years",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                let cap = [16, 18, 20][v.brief.training_age as usize];
                each(v.days(), |lines| {
                    each(v.half_sets(lines.iter()).into_iter(), |n| {
                        unless(n > cap, || format!("{n} half-sets"))
                    })
                })
            },
            spoil: |v| v.lines_mut().next().map(|l| l.sets = 11).is_some(),
        },
        Statement {
            name: "every session ends within its minutes",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                each(v.programme().days.iter().enumerate(), |(d, day)| {
                    let most = 60 * v.brief.minutes_of(d) as i32;
                    // Work done in turn is judged by the published seconds, the rest is reckoned again.
                    let seconds =
                        if day.in_turn.is_empty() { reckoned_s(v, d).max(day.seconds) } else { day.seconds };
                    unless(seconds > most, || format!("day {d}: {seconds} s of {most}"))
                })
            },
            spoil: |v| {
                let free = v.programme().days.iter().all(|d| d.in_turn.is_empty());
                free && v.lines_mut().next().map(|l| l.rest_s += 240 * 60).is_some()
            },
        },
        Statement {
            name: "the minutes that are told are those that the lines take",
            source: NO_SOURCE,
            applies: |v| !v.brief.in_turn,
            holds: |v| {
                each(v.programme().days.iter().enumerate(), |(d, day)| {
                    let again = reckoned_s(v, d);
                    // One second a set for rounding half repetitions.
                    let sets: i32 = day.lines.iter().map(|l| 2 * l.sets).sum();
                    unless((again - day.seconds).abs() > sets, || {
                        format!("day {d}: {again} s, told {}", day.seconds)
                    })
                })
            },
            spoil: |v| {
                v.answer.programme.days[0].seconds += 300;
                true
            },
        },
        Statement {
            name: "sessions with the same minutes differ in length by at most fifteen minutes",
            source: NO_SOURCE,
            applies: |v| v.brief.days >= 2 && matches!(v.brief.minutes, Minutes::Same(_)),
            holds: |v| {
                let seconds = v.programme().days.iter().map(|d| d.seconds);
                let (least, most) = (seconds.clone().min().unwrap_or(0), seconds.max().unwrap_or(0));
                unless(most - least > 15 * 60, || format!("{} minutes apart", (most - least) / 60))
            },
            spoil: |v| {
                v.answer.programme.days[0].seconds = 240 * 60;
                v.answer.programme.days[1].seconds = 20 * 60;
                true
            },
        },
        Statement {
            name: "a session under 76 minutes has at most six movements, seven when they are done in turn",
            source: NO_SOURCE,
            applies: |v| (0..v.brief.days as usize).any(|d| v.brief.minutes_of(d) < 76),
            holds: |v| {
                each(v.days().enumerate().filter(|(d, _)| v.brief.minutes_of(*d) < 76), |(d, lines)| {
                    let most = if v.brief.in_turn { 7 } else { 6 };
                    unless(lines.len() > most, || format!("day {d}: {} movements", lines.len()))
                })
            },
            spoil: |v| {
                let d = (0..v.brief.days as usize).find(|d| v.brief.minutes_of(*d) < 76).unwrap_or(0);
                let day = &mut v.answer.programme.days[d].lines;
                let Some(line) = day.first().cloned() else { return false };
                day.extend(std::iter::repeat_n(line, 7));
                true
            },
        },
        Statement {
            name: "after a heavy compound the rest is at least two minutes",
            source: "ACSM 2009: 2-3 min for core lifts with heavy loads (seen: medical-news reproduction); NSCA Essentials 4e: 2-5 min for strength (seen: study-guide copies)",
            applies: |v| v.lines().any(|l| v.heavy(l)),
            holds: |v| {
                each(v.lines().filter(|l| v.heavy(l)), |l| {
                    unless(!(120..=300).contains(&l.rest_s), || {
                        format!("{} rests {} s", l.movement, l.rest_s)
                    })
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.heavy(l)) else { return false };
                v.answer.programme.days[d].lines[k].rest_s = 115;
                true
            },
        },
        Statement {
            name: "no rest is under one minute",
            source: "ACSM 2009: 1-2 min for assistance work (seen: medical-news reproduction)",
            applies: |_| true,
            holds: |v| {
                each(v.lines(), |l| unless(l.rest_s < 60, || format!("{} rests {} s", l.movement, l.rest_s)))
            },
            spoil: |v| v.lines_mut().next().map(|l| l.rest_s = 55).is_some(),
        },
        Statement {
            name: "for strength the main lifts are done for six repetitions or fewer, eight where it is half the goal, unless eased",
            source: "NSCA Essentials 4e: at most 6 (seen: study-guide copies); ACSM 2009: 1-6 RM emphasised (seen: abstract); the eight common practice, no source",
            applies: |v| {
                v.brief.goal.size + v.brief.goal.health <= v.brief.goal.strength
                    && v.lines().any(|l| v.movement(l).tier == Tier::Main && !eased(v, l))
            },
            holds: |v| {
                let most = if v.brief.goal.size + v.brief.goal.health == 0 { 6 } else { 8 };
                each(v.lines().filter(|l| v.movement(l).tier == Tier::Main && !eased(v, l)), |l| {
                    unless(l.high > most, || format!("{} for {} to {}", l.movement, l.low, l.high))
                })
            },
            spoil: |v| {
                let place = v.place(|l| v.movement(l).tier == Tier::Main && !eased(v, l));
                let Some((d, k)) = place else { return false };
                v.answer.programme.days[d].lines[k].high = 9;
                true
            },
        },
        Statement {
            name: "where strength is no part of the goal the compounds are done for six to twelve repetitions unless eased",
            source: "for size NSCA Essentials 4e: 6-12 (seen: study-guide copies), ACSM 2009: mostly 6-12 (seen: teaching summary); for health common practice, no source",
            applies: |v| v.brief.goal.strength == 0 && v.lines().any(|l| !eased(v, l)),
            holds: |v| {
                let counted = |l: &&Line| v.compound(l) && l.measure == Measure::Repetitions && !eased(v, l);
                each(v.lines().filter(counted), |l| {
                    unless(l.low < 6 || l.high > 12, || format!("{} for {} to {}", l.movement, l.low, l.high))
                })
            },
            spoil: |v| {
                let place = v.place(|l| v.compound(l) && l.measure == Measure::Repetitions && !eased(v, l));
                let Some((d, k)) = place else { return false };
                v.answer.programme.days[d].lines[k].high = 13;
                true
            },
        },
        Statement {
            name: "isolation is done for six to fifteen repetitions, never heavy",
            source: "Iversen 2021: 6-15 RM (seen: abstract)",
            applies: |v| v.lines().any(|l| v.isolation(l)),
            holds: |v| {
                each(v.lines().filter(|l| v.isolation(l) && l.measure == Measure::Repetitions), |l| {
                    unless(l.low < 6 || l.high > 15, || format!("{} for {} to {}", l.movement, l.low, l.high))
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.isolation(l) && l.measure == Measure::Repetitions) else {
                    return false;
                };
                v.answer.programme.days[d].lines[k].low = 5;
                true
            },
        },
        Statement {
            name: "no compound is taken to failure in any week of the block",
            source: "ACSM 2026: training to failure is not consistently important (seen: secondary); Refalo 2023 (seen: abstract)",
            applies: |_| true,
            holds: |v| {
                each(v.programme().block.iter(), |week| {
                    each(v.days().zip(&week.days), |(lines, days)| {
                        each(lines.iter().zip(days).filter(|(l, _)| v.compound(l)), |(l, b)| {
                            unless(b.reserve < 1, || format!("{} in week {}", l.movement, week.number))
                        })
                    })
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.compound(l)) else { return false };
                v.answer.programme.block[0].days[d][k].reserve = 0;
                true
            },
        },
        Statement {
            name: "the block ends in a deload with fewer sets, further from failure",
            source: "expert agreement only: Bell 2023 (seen: abstract)",
            applies: |_| true,
            holds: |v| {
                let block = &v.programme().block;
                let (last, peak) = (block.len() - 1, block.len() - 2);
                unless(block[last].kind != WeekKind::Deload || block[peak].kind != WeekKind::Peak, || {
                    "the last two weeks are not peak and deload".into()
                })?;
                let (fewer, of) = (sets_of_week(v, last), sets_of_week(v, peak));
                unless(4 * fewer > 3 * of, || format!("{fewer} sets after {of}"))?;
                each(block[last].days.iter().flatten(), |l| {
                    unless(l.reserve < 4, || format!("{} left in the deload", l.reserve))
                })
            },
            spoil: |v| {
                let peak = v.programme().block.len() - 2;
                let days = v.programme().block[peak].days.clone();
                v.answer.programme.block.last_mut().expect("weeks").days = days;
                true
            },
        },
        Statement {
            name: "sets never fall, and reserve never grows, on the way to the peak, which is the week published",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                let block = &v.programme().block;
                let up = &block[..block.len() - 1];
                for (now, next) in up.iter().zip(&up[1..]) {
                    for (a, b) in now.days.iter().flatten().zip(next.days.iter().flatten()) {
                        unless(a.sets > b.sets || a.reserve < b.reserve, || {
                            format!(
                                "week {}: {} sets, {} left; then {}, {}",
                                now.number, a.sets, a.reserve, b.sets, b.reserve
                            )
                        })?;
                    }
                }
                let peak = up.last().expect("a peak");
                each(v.lines().zip(peak.days.iter().flatten()), |(l, b)| {
                    unless(l.sets != b.sets, || {
                        format!("{} has {} sets, peak {}", l.movement, l.sets, b.sets)
                    })
                })
            },
            spoil: |v| {
                v.answer.programme.block[0].days[0][0].sets += 4;
                true
            },
        },
        Statement {
            name: "the weeks of the block really build: the first has fewer sets or more in reserve than the peak",
            source: NO_SOURCE,
            applies: |v| v.programme().block.len() >= 4,
            holds: |v| {
                let block = &v.programme().block;
                let (first, peak) = (&block[0], &block[block.len() - 2]);
                each(first.days.iter().flatten().zip(peak.days.iter().flatten()), |(a, b)| {
                    unless(a.sets >= b.sets && a.reserve <= b.reserve, || format!("{a:?} then {b:?}"))
                })
            },
            spoil: |v| {
                let peak = v.programme().block.len() - 2;
                v.answer.programme.block[0].days = v.programme().block[peak].days.clone();
                true
            },
        },
        Statement {
            name: "a main lift is ramped up to with at least two lighter sets",
            source: "IJERPH 2020;17(18):6882: 2x6 at 40 and 80 % of the working load (seen: abstract)",
            applies: |v| v.lines().any(|l| v.movement(l).tier == Tier::Main),
            holds: |v| {
                each(v.lines().filter(|l| v.movement(l).tier == Tier::Main), |l| {
                    unless(l.ramp_sets < 2, || format!("{} has {} ramp sets", l.movement, l.ramp_sets))
                })
            },
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.movement(l).tier == Tier::Main) else { return false };
                v.answer.programme.days[d].lines[k].ramp_sets = 1;
                true
            },
        },
        Statement {
            name: "every session begins with two to ten minutes of easy movement",
            source: "Iversen 2021: keep the warm-up to what is specific when time is short (seen: abstract); the minutes common practice, no source",
            applies: |_| true,
            holds: |v| {
                each(v.programme().days.iter(), |d| {
                    let s = d.warm_up.general_s;
                    unless(!(120..=600).contains(&s), || format!("{s} s"))
                })
            },
            spoil: |v| {
                v.answer.programme.days[0].warm_up.general_s = 60;
                true
            },
        },
        Statement {
            name: "a muscle that the lifter puts first gets its usual minimum where the week has three long days",
            source: NO_SOURCE,
            applies: |v| v.at_least(3, 45) && !v.brief.priorities.is_empty(),
            holds: |v| {
                let half_sets = v.half_sets(v.lines());
                each(v.brief.priorities.iter(), |id| {
                    let g = v.catalogue.muscle(id).expect("a muscle");
                    let can = v.usable().any(|m| m.trains.iter().any(|a| a.muscle == g));
                    let least = v.case.instance.muscles[g].minimum.max(4);
                    unless(can && half_sets[g] < least, || format!("{id} gets {} half-sets", half_sets[g]))
                })
            },
            spoil: |v| {
                let g = v.catalogue.muscle(&v.brief.priorities[0]).expect("a muscle");
                if !v.usable().any(|m| m.trains.iter().any(|a| a.muscle == g)) {
                    return false;
                }
                let ids: Vec<String> = v
                    .lines()
                    .filter(|l| v.movement(l).trains.iter().any(|a| a.muscle == g))
                    .map(|l| l.movement.clone())
                    .collect();
                for day in &mut v.answer.programme.days {
                    day.lines.retain(|l| !ids.contains(&l.movement));
                }
                true
            },
        },
    ]
}
