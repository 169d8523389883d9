//! The search and the bound against the independent solver, over the frozen corpus.
//!
//! Source of the reference values: `HiGHS` 1.16 on the model of `docs/plan-model.md` as `tests/judge/model.py` states
//! it a second time; optima are proved by it, the others are its best weeks and bounds. Renew them as
//! `DEVELOPERS.md` says.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::plan::bound::{Effort as Work, lower_bound};
use plinth_core::plan::model::{broken_limits, score};
use plinth_core::plan::search::{Effort, Ranges, search};
use plinth_tests::{CORPUS, Data, digest, frozen};

fn data() -> Data {
    Data::builtin().expect("the built-in data are sound")
}

#[test]
fn the_corpus_is_whole_and_its_instances_are_those_that_were_solved() {
    let data = data();
    let rows = frozen().expect("tests/data/corpus.csv is there");
    assert_eq!(rows.len() as u64, CORPUS);
    let stale: Vec<&str> = rows
        .iter()
        .filter(|r| digest(&data.case(r.seed()).instance).expect("JSON") != r.digest)
        .map(|r| r.id.as_str())
        .collect();
    assert!(stale.is_empty(), "the data or the model changed; solve these again (DEVELOPERS.md): {stale:?}");
    let proved = rows.iter().filter(|r| r.proved()).count();
    println!("{proved} of {} proved", rows.len());
    assert!(proved * 2 > rows.len(), "most optima are proved");
}

/// A gap to a proved optimum: per cent, points, brief.
type Gap = (f64, i64, String);
/// A gap to an unproved incumbent: per cent, brief.
type Unproved = (f64, String);

/// Gaps to the proved optima, and those against unproved incumbents, the widest first.
fn gaps(effort: Effort) -> (Vec<Gap>, Vec<Unproved>) {
    let data = data();
    let mut gaps = Vec::new();
    let mut unproved = Vec::new();
    for row in frozen().expect("there") {
        let instance = data.case(row.seed()).instance;
        let found = search(&instance, &Ranges::free(&instance), None, effort, &mut |_| true).expect("found");
        assert!(broken_limits(&instance, &found.week).is_empty(), "brief {} breaks a limit", row.id);
        assert_eq!(score(&instance, &found.week).total(), found.points, "brief {}", row.id);
        let points = found.points - row.objective;
        let percent = 100.0 * points as f64 / row.objective as f64;
        if row.proved() {
            assert!(points >= 0, "brief {}: {} lies below a proved optimum", row.id, found.points);
            gaps.push((percent, points, row.id));
        } else {
            assert!(
                row.bound.is_none_or(|b| found.points >= b),
                "brief {} lies below a proved bound",
                row.id
            );
            unproved.push((percent, row.id));
        }
    }
    gaps.sort_by(|a, b| b.0.total_cmp(&a.0));
    unproved.sort_by(|a, b| b.0.total_cmp(&a.0));
    (gaps, unproved)
}

fn table(name: &str, gaps: &[Gap], unproved: &[Unproved]) -> (f64, f64) {
    let worst_unproved = unproved.first().map_or(0.0, |u| u.0);
    let n = gaps.len() as f64;
    let mean = gaps.iter().map(|g| g.0).sum::<f64>() / n;
    let mean_points = gaps.iter().map(|g| g.1).sum::<i64>() as f64 / n;
    let at = |share: f64| &gaps[((1.0 - share) * n) as usize];
    let optimal = gaps.iter().filter(|g| g.1 == 0).count() as f64 / n;
    println!(
        "{name}: {} proved; mean {mean:.3} % ({mean_points:.0} points), p90 {:.2} % ({}), p99 {:.2} % ({}), most {:.2} % \
         ({}; brief {}), optimal {:.0} %; worst against an unproved incumbent {worst_unproved:.2} %",
        gaps.len(),
        at(0.9).0,
        at(0.9).1,
        at(0.99).0,
        at(0.99).1,
        gaps[0].0,
        gaps[0].1,
        gaps[0].2,
        100.0 * optimal
    );
    (mean, at(0.99).0)
}

#[test]
fn a_first_answer_is_near_the_optimum() {
    let (found, unproved) = gaps(Effort::QUICK);
    let (mean, p99) = table("quick", &found, &unproved);
    assert!(mean <= 0.4, "mean gap {mean} %");
    assert!(p99 <= 3.0, "99 in 100 within {p99} %");
}

#[test]
fn the_kept_answer_is_nearer() {
    let (found, unproved) = gaps(Effort::FULL);
    let (mean, p99) = table("full", &found, &unproved);
    assert!(mean <= 0.2, "mean gap {mean} %");
    assert!(p99 <= 2.0, "99 in 100 within {p99} %");
    for (percent, id) in &unproved {
        assert!(*percent <= 1.0, "brief {id} is worse than its incumbent by {percent} %");
    }
}

#[test]
fn the_bound_never_exceeds_an_optimum_and_is_tight_on_most() {
    let data = data();
    let mut shares = Vec::new();
    for row in frozen().expect("there") {
        let instance = data.case(row.seed()).instance;
        let effort = Effort::QUICK;
        let found = search(&instance, &Ranges::free(&instance), None, effort, &mut |_| true).expect("found");
        let bound = lower_bound(&instance, Some(&found.week), Work::of_about_ms(1000), &mut |_| true);
        assert!(
            bound.points <= row.objective,
            "brief {}: bound {} above {}",
            row.id,
            bound.points,
            row.objective
        );
        shares.push(100.0 * (row.objective - bound.points) as f64 / row.objective as f64);
    }
    shares.sort_by(f64::total_cmp);
    let within = |percent: f64| shares.iter().filter(|s| **s <= percent).count() as f64 / shares.len() as f64;
    println!(
        "bound after about one second: within 0 % of the best known on {:.0} %, 1 % on {:.0} %, 2 % on {:.0} %, 5 % on {:.0} %, \
         10 % on {:.0} %; median {:.2} %",
        100.0 * within(0.0),
        100.0 * within(1.0),
        100.0 * within(2.0),
        100.0 * within(5.0),
        100.0 * within(10.0),
        shares[shares.len() / 2]
    );
    assert!(within(5.0) >= 0.5, "within 5 % on half");
    assert!(within(10.0) >= 0.9, "within 10 % on nine tenths");
}
