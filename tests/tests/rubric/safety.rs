//! What a limit, a discomfort, inexperience or training alone takes out or eases.

use crate::view::{View, each, unless};
use crate::{NO_SOURCE, Statement};
use plinth_core::catalogue::{Lying, Measure, Trap};
use plinth_core::plan::brief::{Nature, Severity, TrainingAge};

fn named(v: &View<'_>, id: &str) -> bool {
    v.brief.carrying.iter().flatten().any(|c| c == id)
        || v.brief.wishes.iter().any(|w| w.movement.as_deref() == Some(id))
}

fn left_out(v: &View<'_>) -> Vec<usize> {
    v.brief
        .discomforts
        .iter()
        .filter(|d| d.nature == Nature::NewOrWorse || d.severity == Severity::Severe)
        .filter_map(|d| v.catalogue.region(&d.region))
        .collect()
}

fn put_where(v: &mut View<'_>, ask: impl Fn(&plinth_core::catalogue::Movement) -> bool) -> bool {
    let id = v.catalogue.movements.iter().find(|m| ask(m)).map(|m| m.id.clone());
    id.is_some_and(|id| v.put(&id, |_| true))
}

pub(crate) fn statements() -> Vec<Statement> {
    vec![
        Statement {
            name: "a region that is newly sore, worse or severe is loaded by nothing",
            source: NO_SOURCE,
            applies: |v| !left_out(v).is_empty(),
            holds: |v| {
                each(left_out(v).into_iter(), |region| {
                    each(v.lines(), |l| {
                        unless(v.movement(l).flag(region) > 0, || {
                            format!("{} asks of the {}", l.movement, v.catalogue.regions[region].id)
                        })
                    })
                })
            },
            spoil: |v| {
                let region = left_out(v)[0];
                put_where(v, |m| m.flag(region) > 0)
            },
        },
        Statement {
            name: "a usual discomfort is spared: nothing asks very much of the region, nor a good deal when it disturbs",
            source: NO_SOURCE,
            applies: |v| v.brief.discomforts.iter().any(|d| d.nature == Nature::Usual),
            holds: |v| {
                each(v.brief.discomforts.iter(), |d| {
                    let region = v.catalogue.region(&d.region).expect("a region");
                    let most = if d.severity == Severity::Mild { 2 } else { 1 };
                    each(v.lines(), |l| {
                        unless(v.movement(l).flag(region) > most, || format!("{}: {}", d.region, l.movement))
                    })
                })
            },
            spoil: |v| {
                let d = v.brief.discomforts[0].clone();
                let region = v.catalogue.region(&d.region).expect("a region");
                put_where(v, |m| m.flag(region) == 3)
            },
        },
        Statement {
            name: "alone without safeties no bar is pressed over the chest",
            source: NO_SOURCE,
            applies: |v| v.brief.alone && !v.brief.safeties,
            holds: |v| each(v.lines(), |l| unless(v.movement(l).trap == Trap::Chest, || l.movement.clone())),
            spoil: |v| put_where(v, |m| m.trap == Trap::Chest),
        },
        Statement {
            name: "a novice does nothing of the highest skill unless a coach names it",
            source: "master technique before overloading: common practice, no source",
            applies: |v| v.brief.training_age == TrainingAge::Novice,
            holds: |v| {
                each(v.lines(), |l| {
                    unless(v.movement(l).skill >= 4 && !named(v, &l.movement), || l.movement.clone())
                })
            },
            spoil: |v| {
                let before = v.clone();
                put_where(v, |m| m.skill >= 4 && !named(&before, &m.id))
            },
        },
        Statement {
            name: "minors and lifters without maximal lifts or long breath-holds do no set under six repetitions",
            source: NO_SOURCE,
            applies: |v| {
                let l = &v.brief.limits;
                l.minor || l.no_maximal_lifts || l.no_long_breath_hold
            },
            holds: |v| {
                each(v.lines(), |l| unless(l.low < 6, || format!("{} from {}", l.movement, l.low)))?;
                each(v.lines(), |l| {
                    let least = if v.brief.limits.no_maximal_lifts { 3 } else { 2 };
                    unless(l.reserve < least, || format!("{} leaves {}", l.movement, l.reserve))
                })
            },
            spoil: |v| v.lines_mut().next().map(|l| l.low = 5).is_some(),
        },
        Statement {
            name: "light to moderate work leaves four repetitions in every week of the block and starts at ten",
            source: "NSCA Essentials 4e: lighter loads go with more repetitions (seen: study-guide copies); the numbers common practice, no source",
            applies: |v| v.brief.light_to_moderate(),
            holds: |v| {
                each(v.lines(), |l| {
                    let few = l.measure == Measure::Repetitions && l.low < 10;
                    unless(l.reserve < 4 || few, || {
                        format!("{} {} left, {} up", l.movement, l.reserve, l.low)
                    })
                })?;
                each(v.programme().block.iter().flat_map(|w| w.days.iter().flatten()), |l| {
                    unless(l.reserve < 4, || format!("{} left", l.reserve))
                })
            },
            spoil: |v| {
                v.answer.programme.block[1].days[0][0].reserve = 3;
                true
            },
        },
        Statement {
            name: "heavy sets are for lifters without a limit that forbids them",
            source: NO_SOURCE,
            applies: |v| {
                let l = &v.brief.limits;
                v.brief.light_to_moderate() || l.minor || l.no_maximal_lifts || l.no_long_breath_hold
            },
            holds: |v| each(v.lines(), |l| unless(v.heavy(l), || l.movement.clone())),
            spoil: |v| {
                let Some((d, k)) = v.place(|l| v.compound(l)) else { return false };
                let line = &mut v.answer.programme.days[d].lines[k];
                (line.low, line.high, line.reserve) = (3, 5, 1);
                true
            },
        },
        Statement {
            name: "stiff ankles get a minute of mobility before the work, others spend no time on it",
            source: NO_SOURCE,
            applies: |_| true,
            holds: |v| {
                each(v.programme().days.iter(), |d| {
                    let stiff = v.brief.limits.stiff_ankles;
                    unless(stiff != (d.warm_up.ankle_mobility_s >= 60), || {
                        format!("{} s", d.warm_up.ankle_mobility_s)
                    })
                })
            },
            spoil: |v| {
                let mobility_s = &mut v.answer.programme.days[0].warm_up.ankle_mobility_s;
                *mobility_s = 60 - *mobility_s;
                true
            },
        },
        Statement {
            name: "what lying, a discomfort or training alone leaves out stays out, with its reason kept",
            source: NO_SOURCE,
            applies: |v| {
                let l = &v.brief.limits;
                l.no_lying_on_back || l.no_lying_on_front || v.brief.alone || !v.brief.discomforts.is_empty()
            },
            holds: |v| {
                let l = &v.brief.limits;
                each(v.lines(), |line| {
                    let m = v.movement(line);
                    let lies = m.lying == Lying::Back && l.no_lying_on_back
                        || m.lying == Lying::Front && l.no_lying_on_front;
                    let out = v.case.removed.iter().any(|(x, _)| v.catalogue.movements[*x].id == m.id);
                    unless(lies || out, || line.movement.clone())
                })
            },
            spoil: |v| {
                let id = v.case.removed.first().map(|(m, _)| v.catalogue.movements[*m].id.clone());
                id.is_some_and(|id| v.put(&id, |_| true))
            },
        },
    ]
}
