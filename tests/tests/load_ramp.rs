//! Warm-up ramps and first loads.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use plinth_core::load::first::{Best, FirstKind, LighterWay, Next, Stopped, Tried, first_loads, from_bests};
use plinth_core::load::make::Difference;
use plinth_core::load::ramp::{RampRequest, load_session, ramp};
use plinth_core::load::route::{Place, Target, route};
use plinth_core::load::{BarLoads, Implement, Kit, LoadError, Mass, loads_of};
use proptest::prelude::*;

fn mass(text: &str) -> Mass {
    text.parse().expect(text)
}

fn gym() -> Kit {
    Kit::starting("gym_kg").unwrap()
}

fn request(working: &str, reps: u32, sets: u32, heavy_compound: bool) -> RampRequest {
    RampRequest { working: mass(working), working_reps: reps, sets, heavy_compound, place: Place::Rack }
}

fn shown(ramp: &plinth_core::load::ramp::Ramp) -> Vec<String> {
    ramp.sets.iter().map(|s| format!("{} x{}", s.load, s.reps)).collect()
}

/// IJERPH 2020;17(18):6882 (abstract read): six repetitions at 40 % and at 80 %, or at 80 % alone.
#[test]
fn the_published_ramp_is_six_at_forty_and_at_eighty_per_cent() {
    let bar = Implement::Bar("Barbell".into());
    let two = ramp(&gym(), &bar, &request("100 kg", 8, 2, true)).unwrap();
    assert_eq!(
        two.sets.iter().map(|s| (s.wanted.to_string(), s.reps)).collect::<Vec<_>>(),
        [("40 kg".into(), 6), ("80 kg".into(), 6)]
    );
    assert!(two.sets.iter().all(|s| s.source.starts_with("IJERPH 2020")));
    let one = ramp(&gym(), &bar, &request("100 kg", 8, 1, false)).unwrap();
    assert_eq!(one.sets[0].wanted, mass("80 kg"));
    let none = ramp(&gym(), &bar, &request("100 kg", 8, 0, false)).unwrap();
    assert!(none.sets.is_empty() && !none.raised_to_floor);
}

#[test]
fn a_heavy_compound_keeps_its_two_ramp_sets() {
    let bar = Implement::Bar("Barbell".into());
    for asked in [0, 1] {
        let raised = ramp(&gym(), &bar, &request("140 kg", 3, asked, true)).unwrap();
        assert_eq!((raised.sets.len(), raised.raised_to_floor), (2, true));
        assert!(raised.sets.iter().all(|s| s.reps == 3), "never more repetitions than planned");
    }
}

#[test]
fn the_light_bar_comes_first_and_a_light_working_load_leaves_steps_out() {
    let bar = Implement::Bar("Barbell".into());
    let four = ramp(&gym(), &bar, &request("100 kg", 8, 4, true)).unwrap();
    assert_eq!(four.sets.len(), 4);
    assert_eq!(shown(&four)[0], "20 kg x8");
    let light = ramp(&gym(), &bar, &request("30 kg", 8, 3, false)).unwrap();
    assert_eq!((shown(&light), light.left_out), (vec!["20 kg x8".to_owned(), "25 kg x6".to_owned()], 1));
    let empty = ramp(&gym(), &bar, &request("20 kg", 8, 3, false)).unwrap();
    assert_eq!((empty.sets.len(), empty.left_out), (0, 3));
}

#[test]
fn ramps_with_dumbbells_and_stacks_use_what_there_is() {
    let pair = ramp(&gym(), &Implement::DumbbellPair, &request("30 kg", 10, 2, false)).unwrap();
    assert_eq!(shown(&pair), ["12 kg x6", "24 kg x6"]);
    let stack = ramp(&gym(), &Implement::Stack("row".into()), &request("52.5 kg", 10, 2, false)).unwrap();
    assert_eq!(shown(&stack), ["20 kg x6", "42.5 kg x6"]);
    assert_eq!(stack.sets[0].difference, Difference::Lighter(mass("1 kg")));
    assert!(matches!(
        ramp(&gym(), &Implement::DumbbellPair, &request("31 kg", 10, 2, false)),
        Err(LoadError::NotMade { .. })
    ));
    assert!(matches!(
        ramp(&gym(), &Implement::DumbbellPair, &request("30 kg", 0, 2, false)),
        Err(LoadError::Bounds { field: "working_reps", .. })
    ));
    assert!(matches!(
        ramp(&gym(), &Implement::DumbbellPair, &request("30 kg", 5, 9, false)),
        Err(LoadError::Bounds { field: "sets", .. })
    ));
}

#[test]
fn a_pull_from_the_floor_ramps_with_full_diameter_discs() {
    let loads = BarLoads::new(&gym(), "Barbell").unwrap();
    let pull = RampRequest { place: Place::Floor, ..request("140 kg", 5, 4, true) };
    let session = load_session(&loads, &[pull], false).unwrap();
    for stop in &session.route.stops {
        assert!(stop.per_side[0].full_diameter && !stop.blocks_needed, "{stop:?}");
    }
    assert_eq!(session.ramps[0].sets[0].load, mass("30 kg"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn a_ramp_rises_stays_near_its_steps_and_reuses_discs(
        kit in prop_oneof![Just("home"), Just("gym_kg"), Just("gym_lb")],
        picks in proptest::collection::vec((any::<prop::sample::Index>(), 1u32..=12, 0u32..=5, any::<bool>(), any::<bool>()), 1..=4),
    ) {
        let kit = Kit::starting(kit).unwrap();
        let loads = BarLoads::new(&kit, "Barbell").unwrap();
        let all: Vec<Mass> = loads.loads().collect();
        let requests: Vec<RampRequest> = picks.iter().map(|p| RampRequest {
            working: *p.0.get(&all[..all.len() / 2]),
            working_reps: p.1,
            sets: p.2,
            heavy_compound: p.3,
            place: if p.4 { Place::Floor } else { Place::Rack },
        }).collect();
        let session = load_session(&loads, &requests, false).unwrap();
        prop_assert!(session.route.proved);
        let mut exact = Vec::new();
        for (request, ramp) in requests.iter().zip(&session.ramps) {
            let floor = if request.heavy_compound { 2 } else { 0 };
            prop_assert_eq!(ramp.sets.len() as u32 + ramp.left_out, request.sets.max(floor));
            let mut before = Mass::ZERO;
            for set in &ramp.sets {
                prop_assert!(set.load > before && set.load < request.working, "{:?}", ramp);
                prop_assert!(set.reps <= request.working_reps && set.reps > 0);
                prop_assert!(all.contains(&set.load));
                before = set.load;
                exact.push(Target::exact(set.load, request.place));
            }
            exact.push(Target::exact(request.working, request.place));
        }
        // The loads chosen need no more moves than the nearest ones would.
        let again = route(&loads, &exact, false).unwrap();
        prop_assert_eq!(again.moves_per_side, session.route.moves_per_side);
    }
}

fn tried(reserve: u32) -> Tried {
    Tried { reserve: Some(reserve), form_changed: false, hurt: false }
}

#[test]
fn first_loads_start_with_the_empty_bar_and_name_lighter_ways() {
    let bar = Implement::Bar("Barbell".into());
    let first = first_loads(&gym(), FirstKind::BarUpper, &bar).unwrap();
    let loads: Vec<String> = first.loads.iter().map(Mass::to_string).collect();
    assert_eq!(loads, ["20 kg", "22.5 kg", "25 kg", "27.5 kg", "30 kg"]);
    assert!(!first.coarse && first.source == "common practice, no source");
    assert_eq!(first.lighter_ways[0], LighterWay::Bar { bar: "Light barbell".into(), mass: mass("15 kg") });
    assert_eq!(first.lighter_ways.last(), Some(&LighterWay::Unloaded));
    assert!(first.lighter_ways.contains(&LighterWay::DumbbellPair { each: mass("1 kg") }));
    let bells = first_loads(&gym(), FirstKind::Dumbbell, &Implement::Kettlebell).unwrap();
    assert_eq!(bells.loads[0], mass("4 kg"));
    assert!(loads_of(&gym(), &Implement::Kettlebell).unwrap().len() == 7);
}

#[test]
fn the_ramp_to_a_first_load_stops_at_the_first_set_that_leaves_too_little() {
    let first = first_loads(&gym(), FirstKind::BarLower, &Implement::Bar("Barbell".into())).unwrap();
    assert_eq!(first.next(&[]), Next::Try(mass("20 kg")));
    assert_eq!(first.next(&[tried(8), tried(4)]), Next::Try(mass("30 kg")));
    let work = |load: &str, because| Next::Work { load: mass(load), because };
    assert_eq!(first.next(&[tried(8), tried(5), tried(3)]), work("25 kg", Stopped::ReserveTooSmall));
    assert_eq!(first.next(&[tried(2)]), Next::Lighter(Stopped::ReserveTooSmall));
    assert_eq!(first.next(&[tried(9); 5]), work("40 kg", Stopped::LastStep));
    assert_eq!(first.next(&[tried(9); 50]), work("40 kg", Stopped::LastStep));
    let form = Tried { form_changed: true, ..tried(6) };
    assert_eq!(first.next(&[tried(8), form]), work("20 kg", Stopped::FormChanged));
    assert_eq!(first.next(&[tried(8), Tried { hurt: true, ..tried(6) }]), Next::Leave);
    let untold = Tried { reserve: None, ..tried(0) };
    assert_eq!(first.next(&[tried(8), untold]), work("25 kg", Stopped::ReserveNotTold));
}

#[test]
fn a_load_from_recent_bests_can_be_followed_step_by_step() {
    let bar = Implement::Bar("Barbell".into());
    let best = |load: &str, reps, reserve| Best { load: mass(load), reps, reserve };
    // Five at 100 kg: the middle estimate is 116.58 kg; eight in all are 80 %: 93.26 kg.
    let found = from_bests(&gym(), &bar, &[best("80 kg", 10, 0), best("100 kg", 5, 0)], 6, 2).unwrap();
    assert_eq!(found.best.load, mass("100 kg"));
    assert_eq!(found.estimates.middle, mass("116.58 kg"));
    assert_eq!(found.percent.per_mille, 800);
    assert_eq!(found.made.to_string(), "wanted 93.26 kg, made 92.5 kg");
    let left = from_bests(&gym(), &bar, &[best("100 kg", 3, 2)], 6, 2).unwrap();
    assert_eq!(left.made.made, found.made.made);
    assert!(matches!(from_bests(&gym(), &bar, &[], 6, 2), Err(LoadError::Bounds { field: "bests", .. })));
    assert!(matches!(from_bests(&gym(), &bar, &[best("30 kg", 40, 0)], 6, 2), Err(LoadError::Reps { .. })));
    assert!(matches!(
        from_bests(&gym(), &bar, &[best("20 kg", 5, 0)], 12, 3),
        Err(LoadError::BelowLightest { .. })
    ));
}
