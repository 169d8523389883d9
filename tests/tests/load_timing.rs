//! What the load room costs: printed, never a reason to fail. Run with `--ignored --nocapture`.
#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use std::hint::black_box;
use std::time::Instant;

use plinth_core::load::kit::Disc;
use plinth_core::load::make::BarLoads;
use plinth_core::load::ramp::{RampRequest, load_session};
use plinth_core::load::route::{Place, Target, route};
use plinth_core::load::{Kit, Mass, Rounding};

fn time<T>(what: &str, times: u32, mut run: impl FnMut() -> T) {
    black_box(run());
    let start = Instant::now();
    for _ in 0..times {
        black_box(run());
    }
    println!("{what}: {:.1} us", start.elapsed().as_secs_f64() * 1e6 / f64::from(times));
}

/// Six movements of five loads each, ramps to working sets, on one bar.
fn session(loads: &BarLoads, tops: &[u32]) -> Vec<Target> {
    let mut targets = Vec::new();
    for (i, top) in tops.iter().enumerate() {
        for share in [200, 400, 600, 800, 1000] {
            let wanted = Mass::grams(top * share).max(loads.lightest());
            let made = loads.make(&wanted, Rounding::AtOrBelow).unwrap().made;
            targets.push(Target::exact(made, if i % 3 == 1 { Place::Floor } else { Place::Rack }));
        }
    }
    targets
}

#[test]
#[ignore = "prints times"]
fn times() {
    let mut mixed = Kit::starting("gym_kg").unwrap();
    for (text, count) in [("45 lb", 4), ("35 lb", 2), ("25 lb", 2), ("10 lb", 4), ("5 lb", 2), ("2.5 lb", 2)]
    {
        mixed.discs.push(Disc {
            mass: text.parse().unwrap(),
            count,
            full_diameter: false,
            thickness_mm: None,
        });
    }
    let kits = [
        ("home", Kit::starting("home").unwrap()),
        ("gym_kg", Kit::starting("gym_kg").unwrap()),
        ("gym_lb", Kit::starting("gym_lb").unwrap()),
        ("mixed", mixed),
    ];
    for (name, kit) in kits {
        time(&format!("{name}: every load of a bar"), 20, || BarLoads::new(&kit, "Barbell").unwrap());
        let loads = BarLoads::new(&kit, "Barbell").unwrap();
        println!("{name}: {} loads up to {}", loads.loads().count(), loads.heaviest().words());
        let wanted: Mass = "81 kg".parse().unwrap();
        time(&format!("{name}: make one load"), 1000, || loads.make(&wanted, Rounding::Nearest).unwrap());
        for tops in [&[100, 140, 60, 80, 50, 90][..], &[180, 240, 120, 160, 100, 200], &[140], &[60]] {
            let targets = session(&loads, tops);
            let found = route(&loads, &targets, true).unwrap();
            println!(
                "{name}: {} loads, {} moves a side (heaviest first {}), proved {}",
                targets.len(),
                found.moves_per_side,
                found.heaviest_first_moves_per_side,
                found.proved
            );
            time(&format!("{name}: route of {} loads", targets.len()), 5, || {
                route(&loads, &targets, true).unwrap()
            });
        }
        let requests: Vec<RampRequest> = [100, 140, 60, 80, 50, 90]
            .iter()
            .zip(0..)
            .map(|(top, i)| RampRequest {
                working: loads.make(&Mass::grams(top * 1000), Rounding::AtOrBelow).unwrap().made,
                working_reps: 8,
                sets: 4,
                heavy_compound: true,
                place: if i % 3 == 1 { Place::Floor } else { Place::Rack },
            })
            .collect();
        let found = load_session(&loads, &requests, true).unwrap();
        println!(
            "{name}: ramps chosen, {} moves a side, proved {}",
            found.route.moves_per_side, found.route.proved
        );
        time(&format!("{name}: six ramps with their route"), 5, || {
            load_session(&loads, &requests, true).unwrap()
        });
    }
}
