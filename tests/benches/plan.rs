//! How long the plan takes, and what it gives for the time.
//!
//! Times are of one core. The closing table sets the search beside the independent solver (`HiGHS` through
//! `tests/judge/solve.py`) on the same instances in the same run, as ratios; it needs the Python environment that
//! `tests/run judge` makes, and says so when that is absent.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a bench may stop at what should not be

use criterion::{BenchmarkId, Criterion, criterion_group};
use plinth_core::plan::bound::{Effort as Work, lower_bound};
use plinth_core::plan::reason::{Change, Reasoner};
use plinth_core::plan::search::{Effort, Ranges, search};
use plinth_core::plan::session::{Done, Now};
use plinth_core::plan::{Keep, Planner, build};
use plinth_tests::{Data, data_folder, frozen};
use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

/// Seeds of unlike size: one to six days, little and much kit.
const SEEDS: [u64; 5] = [10, 26, 45, 58, 85];

fn plan(c: &mut Criterion) {
    let data = Data::builtin().expect("sound");
    let planner = Planner::new(&data.catalogue, &data.weights);
    let mut group = c.benchmark_group("plan");
    group.sample_size(10);
    for seed in SEEDS {
        let brief = data.brief(seed);
        let case = data.case(seed);
        group.bench_with_input(BenchmarkId::new("build", seed), &seed, |b, _| {
            b.iter(|| build(black_box(&brief), &data.catalogue, &data.weights, Keep::Undominated));
        });
        for (name, effort) in [("quick", Effort::QUICK), ("full", Effort::FULL)] {
            let ranges = Ranges::free(&case.instance);
            group.bench_with_input(BenchmarkId::new(name, seed), &seed, |b, _| {
                b.iter(|| search(black_box(&case.instance), &ranges, None, effort, &mut |_| true));
            });
        }
        let solved = planner.solve(&brief, Effort::QUICK, &mut |_| true);
        group.bench_with_input(BenchmarkId::new("bound 1 s", seed), &seed, |b, _| {
            b.iter(|| {
                lower_bound(&case.instance, Some(&solved.week), Work::of_about_ms(1000), &mut |_| true)
            });
        });
        let reasoner = Reasoner::new(planner, &brief, &solved);
        let movement = solved.case.instance.movements[solved.week.days[0][0].movement].id.clone();
        let change = Change::Forbid { movement: movement.clone() };
        group.bench_with_input(BenchmarkId::new("price of a change", seed), &seed, |b, _| {
            b.iter(|| reasoner.price_of_change(black_box(&change)));
        });
        let programme = planner.programme(&brief, &solved).programme;
        let now = Now { done: vec![Done { movement, sets: 1 }], ..Now::default() };
        let session = planner.session(&brief, &programme, &now).expect("a session");
        group.bench_with_input(BenchmarkId::new("stand-in", seed), &seed, |b, _| {
            b.iter(|| session.stand_in(black_box(1)));
        });
        group.bench_with_input(BenchmarkId::new("minutes left", seed), &seed, |b, _| {
            b.iter(|| session.minutes_left(black_box(20)));
        });
    }
    group.finish();
}

/// The search beside `HiGHS` on the same instances, one thread each, `HiGHS` for at most 20 s.
fn beside_the_judge() {
    let folder = data_folder();
    let root = folder.parent().expect("tests").to_path_buf();
    let python = root.join(".cache/venv/bin/python");
    if !python.exists() {
        println!("HiGHS is not here (run tests/run judge first): no ratios");
        return;
    }
    let data = Data::builtin().expect("sound");
    println!(
        "brief  search quick: ms, points  full: ms, points  HiGHS: ms, points, status  time HiGHS/quick, HiGHS/full"
    );
    for row in frozen().expect("the corpus").into_iter().filter(|r| SEEDS.contains(&r.seed())) {
        let instance = data.case(row.seed()).instance;
        let ranges = Ranges::free(&instance);
        let timed = |effort| {
            let start = Instant::now();
            let found = search(&instance, &ranges, None, effort, &mut |_| true).expect("found");
            (start.elapsed().as_secs_f64() * 1000.0, found.points)
        };
        let (quick_ms, quick) = timed(Effort::QUICK);
        let (full_ms, full) = timed(Effort::FULL);
        let file = std::env::temp_dir().join(format!("plinth-bench-{}-{}.json", std::process::id(), row.id));
        std::fs::write(&file, serde_json::to_vec(&instance).expect("JSON")).expect("written");
        let out = Command::new(&python)
            .arg(root.join("judge/solve.py"))
            .arg(&file)
            .args(["--seconds", "20"])
            .output()
            .expect("the judge runs");
        let _ = std::fs::remove_file(&file);
        let answer: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
        let judge_ms = answer["seconds"].as_f64().unwrap_or(0.0) * 1000.0;
        println!(
            "{}  {quick_ms:.0}, {quick}  {full_ms:.0}, {full}  {judge_ms:.0}, {}, {}  {:.0}x, {:.0}x",
            row.id,
            answer["objective"],
            answer["status"],
            judge_ms / quick_ms,
            judge_ms / full_ms
        );
    }
}

criterion_group!(benches, plan);

fn main() {
    benches();
    beside_the_judge();
    Criterion::default().configure_from_args().final_summary();
}
