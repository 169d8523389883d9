use super::exact::{Room, best};
use super::*;
use crate::plan::model::{Limit, score, slack_of_day};
use crate::plan::sample::sample_brief;
use crate::plan::search::{Effort, Random};

/// A published week of an invented lifter.
fn published(seed: u64, planner: &Planner, catalogue: &Catalogue) -> (Brief, Programme) {
    let brief = sample_brief(seed, catalogue);
    let effort = Effort { evaluations: 6_000, chains: 1 };
    let solved = planner.solve(&brief, effort, &mut |_| true);
    let programme = planner.programme(&brief, &solved).programme;
    (brief, programme)
}

/// Something done of a day: some lines wholly, one in part, at times more than planned or off the plan.
fn some_done(random: &mut Random, programme: &Programme, today: usize, catalogue: &Catalogue) -> Vec<Done> {
    let mut done = Vec::new();
    for line in &programme.days[today].lines {
        if random.below(3) == 0 {
            let most = line.sets.max(1) as usize + if random.below(6) == 0 { 9 } else { 0 };
            let sets = 1 + random.below(most) as i32;
            done.push(Done { movement: line.movement.clone(), sets });
        }
    }
    if random.below(6) == 0 {
        let any = &catalogue.movements[random.below(catalogue.movements.len())];
        done.push(Done { movement: any.id.clone(), sets: 1 + random.below(4) as i32 });
    }
    done
}

/// Every choice of sets, priced by the plain score and checked by the plain limits.
fn brute_force(session: &Session, items: &[exact::Item], time_s: i32) -> i64 {
    let instance = &session.case.instance;
    let slack = |slots: &[Slot]| slack_of_day(instance, session.today, slots);
    let (facts, plan) = (slack(&session.done()), slack(&session.planned_slots()));
    let mut lowest = i64::MAX;
    let mut at = vec![0usize; items.len()];
    loop {
        let mut slots = Vec::new();
        let (mut raw, mut by_class) = (0, [0; 4]);
        for (item, k) in items.iter().zip(&at) {
            let sets = item.options[*k];
            if sets > 0 {
                slots.push(Slot { movement: item.movement, sets });
            }
            let more = (sets - item.done).max(0);
            if more > 0 {
                raw += item.fixed_s + more * item.set_s;
                if let Some(class) = instance.movements[item.movement].pair_class.slot() {
                    by_class[class] += more;
                }
            }
        }
        let makes_up =
            |l: Limit| matches!(l, Limit::Movements | Limit::SingleJoint | Limit::Trunk | Limit::Pattern(_));
        let fits = raw - instance.pairs_save(by_class) <= time_s
            && slack(&slots).iter().zip(&facts).zip(&plan).all(|((now, fact), plan)| match now.limit {
                Limit::Time => true,
                Limit::SingleJointOverCompounds | Limit::SingleJointThird => {
                    plan.used > plan.available || now.used <= now.available.max(fact.used)
                }
                Limit::HeavyPair => now.used <= 1 || now.used <= fact.used,
                l if makes_up(l) => now.used <= now.available.max(fact.used).max(plan.used),
                _ => now.used <= now.available.max(fact.used),
            });
        if fits {
            let mut week = session.week.clone();
            week.days[session.today] = slots;
            lowest = lowest.min(score(instance, &week).total());
        }
        let Some(k) = (0..at.len()).find(|k| at[*k] + 1 < items[*k].options.len()) else { return lowest };
        at[k] += 1;
        at[..k].fill(0);
    }
}

#[test]
fn minutes_left_is_as_good_as_trying_everything() {
    let catalogue = Catalogue::builtin().expect("sound");
    let weights = crate::plan::Weights::builtin().expect("sound");
    let planner = Planner::new(&catalogue, &weights);
    let mut random = Random::new(11);
    let (mut cases, mut cut, mut over) = (0, 0, 0);
    for seed in 0..110 {
        let (brief, programme) = published(seed, &planner, &catalogue);
        for _ in 0..3 {
            let today = random.below(programme.days.len());
            let done = some_done(&mut random, &programme, today, &catalogue);
            let now = Now { today, done, ..Now::default() };
            let session = planner.session(&brief, &programme, &now).expect("a sound question");
            let minutes = random.below(70) as i32;
            let answer = session.minutes_left(minutes).expect("minutes in range");
            assert!(answer.exact);
            let items = session.items();
            let warm_up = if session.any_done { 0 } else { session.case.instance.days[today].warm_up_s };
            let time_s = (minutes * 60 - warm_up).max(0);
            assert_eq!(answer.points, brute_force(&session, &items, time_s), "seed {seed}");
            assert!(answer.seconds <= time_s);
            for line in &answer.lines {
                let of_plan =
                    session.lines.iter().find(|l| catalogue.movements[l.movement].id == line.movement);
                if let Some(p) = of_plan {
                    assert!(line.sets >= p.done && line.sets <= p.sets.max(p.done));
                    assert_eq!(line.prescription, p.prescription, "rests stay");
                    assert_eq!(line.ramp_sets, if p.done > 0 { 0 } else { p.ramp_sets }, "the whole ramp");
                }
            }
            let cost = session.cost().expect("small");
            let facts = cost.sums(&session.done());
            over += i32::from(Room::new(&cost, &facts, &facts, 0).facts_exceed(&cost));
            cut += answer.cut.len();
            cases += 1;
            // A second call, and a search without bounds on its work, say the same.
            assert_eq!(answer, session.minutes_left(minutes).expect("again"));
            let plan = cost.sums(&session.planned_slots());
            let room = Room::new(&cost, &facts, &plan, time_s);
            assert_eq!(best(&cost, &items, &room, u64::MAX).points, answer.points);
            if let Some(free) = &answer.free {
                assert!(free.points_fewer > 0 && free.seconds <= time_s && !free.brought_in.is_empty());
            }
        }
    }
    println!("{cases} cases, {cut} cuts, facts above a cap in {over}");
    assert!(cases >= 300 && cut > 200 && over > 0);
}
