use super::day::{Fate, Use, least_change, plus};
use super::options::{Ground, Options, carrying};
use super::*;
use crate::catalogue::Catalogue;
use crate::plan::brief::Minutes;
use crate::plan::sample::sample_brief;
use crate::plan::search::{Effort, Random};

/// Every fate of every line, checked by the plain limits.
fn brute_force(ground: &Ground, day: usize, lines: &[&Options], barred: &[usize]) -> [i32; LEVELS] {
    let fates: Vec<Vec<Fate>> = lines
        .iter()
        .map(|l| {
            let choices = l.choices.iter().enumerate().filter(|(_, c)| !barred.contains(&c.movement));
            let some = choices.flat_map(|(n, c)| (c.sets.0..=c.sets.1).map(move |s| Some((n, s))));
            some.chain([None]).collect()
        })
        .collect();
    let mut lowest = [i32::MAX; LEVELS];
    let mut at = vec![0usize; lines.len()];
    loop {
        let mut used = Use::new(ground);
        let mut change = [0; LEVELS];
        let mut twice = false;
        for (k, line) in lines.iter().enumerate() {
            let choice = fates[k][at[k]].map(|(n, sets)| (&line.choices[n], sets));
            change = plus(change, line.change(choice));
            if let Some((c, sets)) = choice {
                twice |= used.has(c.movement);
                used.add(ground, c, sets, 1);
            }
        }
        if !twice && used.broken(ground, day).is_none() {
            lowest = lowest.min(change);
        }
        let Some(k) = (0..at.len()).find(|k| at[*k] + 1 < fates[*k].len()) else { return lowest };
        at[k] += 1;
        at[..k].fill(0);
    }
}

#[test]
fn the_least_change_of_a_day_is_as_little_as_trying_everything() {
    let catalogue = Catalogue::builtin().expect("sound");
    let weights = crate::plan::Weights::builtin().expect("sound");
    let planner = Planner::new(&catalogue, &weights);
    let mut random = Random::new(5);
    let (mut cases, mut changed) = (0, 0);
    for seed in 0..120 {
        let own = sample_brief(seed, &catalogue);
        let effort = Effort { evaluations: 6_000, chains: 1 };
        let solved = planner.solve(&own, effort, &mut |_| true);
        let published = planner.programme(&own, &solved).programme;
        let mut brief = sample_brief(seed + 700, &catalogue);
        brief.days = own.days;
        brief.minutes = Minutes::Same([15, 25, 40, 60][random.below(4)]);
        brief.carrying = Some(carrying(&published));
        let case = build(&brief, &catalogue, &weights, Keep::Everything);
        let ground = Ground::new(&planner, &published, &brief, &case);
        for _ in 0..3 {
            let day = random.below(published.days.len());
            // Few enough lines and choices that everything can be tried.
            let mut lines: Vec<Options> =
                (0..published.days[day].lines.len().min(5)).map(|k| ground.options((day, k))).collect();
            for line in &mut lines {
                line.choices.truncate(1 + random.below(3));
            }
            let lines: Vec<&Options> = lines.iter().collect();
            let barred: Vec<usize> =
                (0..random.below(3)).map(|_| random.below(catalogue.movements.len())).collect();
            let found = least_change(&ground, day, &lines, &barred);
            assert!(found.least);
            assert_eq!(found.change, brute_force(&ground, day, &lines, &barred), "seed {seed} day {day}");
            cases += 1;
            changed += i32::from(found.change > [0; LEVELS]);
        }
    }
    assert!(cases == 360 && changed > 150, "{changed} of {cases} changed something");
}
