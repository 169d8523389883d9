//! What a strength coach or a textbook would say of a week, held against the weeks of two hundred invented
//! lifters. Each statement names its source and the briefs to which it applies; it must hold on all of them
//! but for the exceptions that `exceptions.rs` lists with the reason. Each is also shown a week that was
//! spoilt on purpose, since a statement that cannot fail says nothing.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::redundant_closure_for_method_calls)]

mod dose;
mod exceptions;
mod order;
mod safety;
mod view;
mod week;

use std::sync::OnceLock;

use exceptions::EXCEPTIONS;
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::sample::sample_brief;
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Planner, Weights};
use view::View;

/// Briefs of the corpus.
const BRIEFS: u64 = 200;
/// A statement that applies to fewer says too little.
const FEWEST: usize = 20;

/// What is wrong, if anything.
type Verdict = Result<(), String>;

/// A statement of the rubric.
struct Statement {
    /// The statement, in a coach's words.
    name: &'static str,
    /// Who says so, and whether that was read or is from memory.
    source: &'static str,
    /// The briefs to which it applies.
    applies: fn(&View<'_>) -> bool,
    /// Whether the week keeps it, or how not.
    holds: fn(&View<'_>) -> Verdict,
    /// Breaks a week to which it applies; `false` where this week offers no place to break.
    spoil: fn(&mut View<'_>) -> bool,
}

const NO_SOURCE: &str = "common practice, no source";

fn statements() -> Vec<Statement> {
    let mut all = week::statements();
    all.extend(dose::statements());
    all.extend(order::statements());
    all.extend(safety::statements());
    all
}

fn corpus() -> &'static [View<'static>] {
    static CATALOGUE: OnceLock<Catalogue> = OnceLock::new();
    static CORPUS: OnceLock<Vec<View<'static>>> = OnceLock::new();
    CORPUS.get_or_init(|| {
        let catalogue = CATALOGUE.get_or_init(|| Catalogue::builtin().expect("the catalogue is sound"));
        let weights = Weights::builtin().expect("the weights are sound");
        let planner = Planner::new(catalogue, &weights);
        (0..BRIEFS)
            .map(|seed| {
                let brief = sample_brief(seed, catalogue);
                let solved = planner.solve(&brief, Effort::QUICK, &mut |_| true);
                let answer = planner.programme(&brief, &solved);
                View { seed, catalogue, brief, case: solved.case, answer }
            })
            .collect()
    })
}

#[test]
fn every_statement_holds_on_every_week_to_which_it_applies() {
    let mut faults = Vec::new();
    for s in statements() {
        let mut applied = 0;
        for view in corpus().iter().filter(|v| (s.applies)(v)) {
            applied += 1;
            let excepted = EXCEPTIONS.iter().any(|e| e.statement == s.name && e.seed == view.seed);
            match (s.holds)(view) {
                Err(why) if !excepted => faults.push(format!("{} | seed {}: {why}", s.name, view.seed)),
                Ok(()) if excepted => {
                    faults.push(format!("{} | seed {}: no longer an exception", s.name, view.seed));
                }
                _ => {}
            }
        }
        println!("{applied:>4}  {} [{}]", s.name, s.source);
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn there_are_enough_statements_each_with_its_own_name_a_source_and_enough_briefs() {
    let all = statements();
    assert!(all.len() >= 26, "{}", all.len());
    for (k, s) in all.iter().enumerate() {
        assert!(all[..k].iter().all(|t| t.name != s.name), "{} twice", s.name);
        let marked = s.source.contains("seen") || s.source.contains("memory") || s.source.contains(NO_SOURCE);
        assert!(marked, "{}: {} says neither seen nor memory nor common practice", s.name, s.source);
        let applies = corpus().iter().filter(|v| (s.applies)(v)).count();
        assert!(applies >= FEWEST, "{} applies to {applies} briefs only", s.name);
    }
}

#[test]
fn every_exception_names_a_statement_that_applies_to_its_brief() {
    let all = statements();
    for (k, e) in EXCEPTIONS.iter().enumerate() {
        let s = all.iter().find(|s| s.name == e.statement).unwrap_or_else(|| panic!("{}", e.statement));
        let view = &corpus()[e.seed as usize];
        assert!((s.applies)(view), "{} does not apply to seed {}", e.statement, e.seed);
        assert!(e.reason.len() > 20, "seed {} of {} has no reason", e.seed, e.statement);
        let twice = EXCEPTIONS[..k].iter().any(|f| (f.statement, f.seed) == (e.statement, e.seed));
        assert!(!twice, "{} seed {} is listed twice", e.statement, e.seed);
    }
    for s in &all {
        let applies = corpus().iter().filter(|v| (s.applies)(v)).count();
        let listed = EXCEPTIONS.iter().filter(|e| e.statement == s.name).count();
        assert!(
            10 * listed <= applies,
            "{}: {listed} exceptions of {applies} briefs are no exceptions",
            s.name
        );
    }
}

#[test]
fn every_statement_fails_on_a_week_that_is_spoilt() {
    for s in statements() {
        let mut spoilt = 0;
        for view in corpus().iter().filter(|v| (s.applies)(v) && (s.holds)(v).is_ok()) {
            let mut view = view.clone();
            if !(s.spoil)(&mut view) {
                continue;
            }
            spoilt += 1;
            assert!((s.holds)(&view).is_err(), "{} passes a spoilt week, seed {}", s.name, view.seed);
        }
        assert!(spoilt >= 3, "{}: only {spoilt} weeks could be spoilt", s.name);
    }
}
