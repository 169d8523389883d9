//! The disc route against a search that knows nothing of its method, and the order of single moves.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::collections::BTreeSet;

use plinth_core::load::kit::{Bar, BarKind, Disc};
use plinth_core::load::make::BarLoads;
use plinth_core::load::route::{Action, Move, Place, Route, Side, Target, route, route_exact};
use plinth_core::load::{Kit, LoadError, Mass};
use proptest::prelude::*;

fn mass(text: &str) -> Mass {
    text.parse().expect(text)
}

fn disc(text: &str, count: u32, full_diameter: bool) -> Disc {
    Disc { mass: mass(text), count, full_diameter, thickness_mm: None }
}

fn kit(bar: &str, discs: Vec<Disc>) -> Kit {
    let bar = Bar { name: "bar".into(), mass: mass(bar), kind: BarKind::Barbell, count: 1, sleeve_mm: None };
    Kit { bars: vec![bar], discs, ..Kit::default() }
}

fn reference_kit() -> Kit {
    kit(
        "20 kg",
        vec![
            disc("25 kg", 4, true),
            disc("20 kg", 2, true),
            disc("15 kg", 2, false),
            disc("10 kg", 4, false),
            disc("5 kg", 2, false),
        ],
    )
}

fn masses(kilograms: &[u32]) -> Vec<Mass> {
    kilograms.iter().map(|k| Mass::grams(k * 1000)).collect()
}

#[test]
fn the_reference_ramp_needs_seven_moves_where_heaviest_first_needs_ten() {
    let loads = BarLoads::new(&reference_kit(), "bar").unwrap();
    let found = route_exact(&loads, &masses(&[40, 60, 80, 90, 100]), Place::Rack).unwrap();
    assert!(found.proved);
    assert_eq!((found.moves_per_side, found.heaviest_first_moves_per_side), (7, 10));
    check(&found, &loads, &masses(&[40, 60, 80, 90, 100]));
}

#[test]
fn a_pull_from_the_floor_has_full_diameter_discs_innermost_or_says_blocks() {
    let loads = BarLoads::new(&reference_kit(), "bar").unwrap();
    let wanted = masses(&[40, 60, 80, 100]);
    let found = route_exact(&loads, &wanted, Place::Floor).unwrap();
    check(&found, &loads, &wanted);
    // 40 kg is ten on each side, and no full-diameter disc is that light in this kit.
    assert!(found.stops[0].blocks_needed);
    for stop in &found.stops[1..] {
        assert!(!stop.blocks_needed && stop.per_side[0].full_diameter, "{stop:?}");
    }
}

#[test]
fn a_disc_too_heavy_for_an_empty_rack_comes_second_or_the_other_end_is_held() {
    let only_heavy = kit("15 kg", vec![disc("25 kg", 2, true)]);
    let loads = BarLoads::new(&only_heavy, "bar").unwrap();
    let found = route_exact(&loads, &masses(&[65]), Place::Rack).unwrap();
    assert!(found.stops[0].moves[0].hold_other_end);
    assert_eq!(found.tip_limit, mass("18.75 kg"));
    let with_light = kit("15 kg", vec![disc("25 kg", 2, true), disc("10 kg", 2, false)]);
    let loads = BarLoads::new(&with_light, "bar").unwrap();
    let found = route_exact(&loads, &masses(&[85]), Place::Rack).unwrap();
    assert_eq!(found.stops[0].per_side[0].mass, mass("10 kg"));
    assert!(found.stops[0].moves.iter().chain(&found.strip).all(|m| !m.hold_other_end));
}

#[test]
fn of_routes_with_equally_few_moves_the_larger_discs_lie_inside() {
    let discs = vec![disc("25 kg", 4, true), disc("20 kg", 2, false)];
    let loads = BarLoads::new(&kit("20 kg", discs), "bar").unwrap();
    let wanted = masses(&[70, 110, 60]);
    let found = route_exact(&loads, &wanted, Place::Rack).unwrap();
    check(&found, &loads, &wanted);
    // 25; 20 outside it; both off and 20. To put 25 outside 20 would take five moves as well.
    assert_eq!(cost(&found, false), (5, 4, 0));
    let second: Vec<Mass> = found.stops[1].per_side.iter().map(|p| p.mass).collect();
    assert_eq!(second, masses(&[25, 20]));
}

#[test]
fn a_smaller_disc_stays_inside_where_that_saves_moves() {
    let loads = BarLoads::new(&reference_kit(), "bar").unwrap();
    let found = route_exact(&loads, &masses(&[40, 80]), Place::Rack).unwrap();
    assert_eq!(cost(&found, false), (2, 3, 1), "10 stays and 20 comes outside it");
}

#[test]
fn pounds_on_a_bar_in_kilograms_are_exact() {
    let discs = vec![
        disc("45 lb", 4, true),
        disc("25 lb", 2, false),
        disc("10 kg", 2, false),
        disc("1.25 kg", 2, false),
    ];
    let loads = BarLoads::new(&kit("20 kg", discs), "bar").unwrap();
    let wanted: Vec<Mass> =
        ["40 kg", "60.8233133 kg", "42.5 kg", "62.6796185 kg", "101.6466266 kg"].map(mass).into();
    let found = route_exact(&loads, &wanted, Place::Rack).unwrap();
    check(&found, &loads, &wanted);
    // On each side: 10; off, 45 lb; off, 10, 1.25; off, 25 lb above the 10; two off, two of 45 lb.
    assert_eq!(found.moves_per_side, 12);
}

#[test]
fn a_load_that_cannot_be_made_is_refused_by_its_number() {
    let loads = BarLoads::new(&reference_kit(), "bar").unwrap();
    let error = route_exact(&loads, &[mass("40 kg"), mass("41 kg")], Place::Rack).unwrap_err();
    assert_eq!(error, LoadError::NotMade { number: 2, wanted: mass("41 kg") });
    let many = vec![mass("40 kg"); 65];
    assert!(matches!(
        route_exact(&loads, &many, Place::Rack),
        Err(LoadError::TooManyLoads { given: 65, most: 64 })
    ));
}

/// Everything that holds of any route: loads made, stacks obeyed, sides level.
fn check(found: &Route, loads: &BarLoads, wanted: &[Mass]) {
    assert_eq!(found.stops.len(), wanted.len());
    let mut sides: [Vec<Mass>; 2] = [Vec::new(), Vec::new()];
    let sum = |s: &[Mass]| s.iter().map(Mass::amount).sum::<i64>();
    let play = |single: &[Move], sides: &mut [Vec<Mass>; 2]| {
        for m in single {
            let side = &mut sides[usize::from(m.side == Side::Right)];
            match m.action {
                Action::On => side.push(m.disc.mass),
                Action::Off => assert_eq!(side.pop(), Some(m.disc.mass), "only the outermost comes off"),
            }
            let [left, right] = &*sides;
            assert_eq!((sum(left) - sum(right)).abs(), m.imbalance.amount());
            assert!(left.len().abs_diff(right.len()) <= 1, "never more than one disc of difference");
            assert!(m.imbalance <= m.disc.mass, "never more than the disc in hand");
            assert!(m.imbalance <= found.greatest_imbalance);
        }
    };
    let mut moves = 0;
    for (stop, wanted) in found.stops.iter().zip(wanted) {
        assert_eq!(stop.load, *wanted);
        play(&stop.moves, &mut sides);
        moves += stop.moves.len();
        let [left, right] = &sides;
        assert_eq!(left, right);
        assert_eq!(left, &stop.per_side.iter().map(|p| p.mass).collect::<Vec<_>>());
        assert_eq!(2 * sum(left) + loads.lightest().amount(), wanted.amount());
    }
    play(&found.strip, &mut sides);
    assert!(sides.iter().all(Vec::is_empty));
    assert_eq!(moves as u32, 2 * found.moves_per_side);
}

/// Mass in grams, how many on each side, of full diameter or not.
type Kind = (i64, u32, bool);

/// One load on a side: the sums that will do, whether full diameter must be innermost, the limit of the innermost.
struct Want {
    sums: Vec<i64>,
    full: bool,
    limit: Option<i64>,
}

/// What a route costs: moves, discs on the bar summed over the loads, discs put on outside a lighter one.
type Cost = (u32, u32, u32);

/// The least cost by walking every stack, cheapest first: no intervals, no multisets, no pruning.
fn brute(kinds: &[Kind], wants: &[Want], strip: bool) -> Option<Cost> {
    let most = wants.iter().flat_map(|w| w.sums.iter().copied()).max().unwrap_or(0);
    let mut seen: BTreeSet<(usize, Vec<usize>)> = BTreeSet::new();
    let mut queue: BTreeSet<(Cost, (usize, Vec<usize>))> = BTreeSet::from([((0, 0, 0), (0, Vec::new()))]);
    let under = |limit: Option<i64>, k: usize| limit.is_none_or(|l| kinds[k].0 <= l);
    while let Some(((moves, lying, outside), node)) = queue.pop_first() {
        if !seen.insert(node.clone()) {
            continue;
        }
        let (done, stack): (usize, Vec<usize>) = node;
        // Whoever strips the bar later takes the innermost off where the last load lay.
        let end = stack.first().is_none_or(|&k| wants.last().is_none_or(|w| under(w.limit, k)));
        if done == wants.len() && end && (!strip || stack.is_empty()) {
            return Some((moves, lying, outside));
        }
        let weight: i64 = stack.iter().map(|&k| kinds[k].0).sum();
        if let Some(want) = wants.get(done)
            && want.sums.contains(&weight)
            && (!want.full || stack.first().is_some_and(|&k| kinds[k].2))
        {
            queue.insert(((moves, lying + stack.len() as u32, outside), (done + 1, stack.clone())));
        }
        if let Some((_, shorter)) = stack.split_last() {
            // The innermost comes off where the bar lay for the load before.
            let before = done.checked_sub(1).and_then(|d| wants[d].limit);
            if !shorter.is_empty() || under(before, stack[0]) {
                queue.insert(((moves + 1, lying, outside), (done, shorter.to_vec())));
            }
        }
        for (k, kind) in kinds.iter().enumerate() {
            let used = stack.iter().filter(|&&s| s == k).count() as u32;
            let light = !stack.is_empty() || wants.get(done).is_none_or(|w| under(w.limit, k));
            if used < kind.1 && weight + kind.0 <= most && light {
                let heavier = stack.last().is_some_and(|&inner| kinds[inner].0 < kind.0);
                let mut longer = stack.clone();
                longer.push(k);
                queue.insert(((moves + 1, lying, outside + u32::from(heavier)), (done, longer)));
            }
        }
    }
    None
}

/// The cost of a route, counted from its moves.
fn cost(found: &Route, strip: bool) -> Cost {
    let moves = found.moves_per_side + if strip { (found.strip.len() / 2) as u32 } else { 0 };
    let lying = found.stops.iter().map(|s| s.per_side.len() as u32).sum();
    let mut side: Vec<Mass> = Vec::new();
    let mut outside = 0;
    for m in found.stops.iter().flat_map(|s| &s.moves).filter(|m| m.side == Side::Left) {
        match m.action {
            Action::On => {
                outside += u32::from(side.last().is_some_and(|inner| *inner < m.disc.mass));
                side.push(m.disc.mass);
            }
            Action::Off => {
                side.pop();
            }
        }
    }
    (moves, lying, outside)
}

fn sums_of(kinds: &[Kind], full: bool) -> BTreeSet<i64> {
    let mut sums: BTreeSet<(i64, bool)> = BTreeSet::from([(0, false)]);
    for &(m, count, is_full) in kinds {
        let now: Vec<(i64, bool)> = sums.iter().copied().collect();
        for (s, f) in now {
            for n in 1..=count {
                sums.insert((s + m * i64::from(n), f || is_full));
            }
        }
    }
    sums.into_iter().filter(|s| s.1 || !full).map(|s| s.0).collect()
}

fn small_kinds() -> impl Strategy<Value = Vec<Kind>> {
    let menu = [25_000, 20_000, 15_000, 10_000, 5_000, 2_500, 1_250];
    proptest::collection::vec((0usize..7, 1u32..=2, any::<bool>()), 1..=4).prop_map(move |rows| {
        let mut kinds: Vec<Kind> = Vec::new();
        for (i, n, f) in rows {
            if !kinds.iter().any(|k| k.0 == menu[i]) {
                kinds.push((menu[i], n, f));
            }
        }
        kinds
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]

    #[test]
    fn no_route_has_fewer_moves_than_the_one_found(
        kinds in small_kinds(),
        picks in proptest::collection::vec((any::<prop::sample::Index>(), any::<bool>()), 1..=6),
        strip in any::<bool>(),
        bar_kg in prop_oneof![Just(20u32), Just(15), Just(8)],
    ) {
        let discs = kinds
            .iter()
            .map(|k| Disc { mass: Mass::grams(k.0 as u32), count: k.1 * 2, full_diameter: k.2, thickness_mm: None })
            .collect();
        let loads = BarLoads::new(&kit(&format!("{bar_kg} kg"), discs), "bar").unwrap();
        let all: Vec<i64> = sums_of(&kinds, false).into_iter().collect();
        let with_full = sums_of(&kinds, true);
        let sums: Vec<i64> = picks.iter().map(|p| *p.0.get(&all)).collect();
        let wanted: Vec<Mass> = sums.iter().map(|s| Mass::grams(bar_kg * 1000 + 2 * *s as u32)).collect();
        let targets: Vec<Target> = wanted
            .iter()
            .zip(&picks)
            .map(|(m, p)| Target::exact(*m, if p.1 { Place::Floor } else { Place::Rack }))
            .collect();
        let found = route(&loads, &targets, strip).unwrap();
        prop_assert!(found.proved);
        check(&found, &loads, &wanted);
        let tip = i64::from(bar_kg) * 1250;
        let wants: Vec<Want> = sums
            .iter()
            .zip(&picks)
            .map(|(&sum, p)| {
                let full = p.1 && with_full.contains(&sum);
                // A load that no light enough disc can begin is free of the limit, and its moves say so.
                let alone = Want { sums: vec![sum], full, limit: Some(tip) };
                let limit = (!p.1 && brute(&kinds, &[alone], false).is_some()).then_some(tip);
                Want { sums: vec![sum], full, limit }
            })
            .collect();
        for (i, stop) in found.stops.iter().enumerate() {
            prop_assert_eq!(stop.blocks_needed, picks[i].1 && !wants[i].full);
            prop_assert!(!wants[i].full || stop.per_side[0].full_diameter);
            if wants[i].limit.is_some() {
                prop_assert!(stop.moves.iter().filter(|m| m.action == Action::On).all(|m| !m.hold_other_end));
            }
        }
        // The fewest moves; of these the fewest discs on the bar; of these the fewest outside a lighter one.
        prop_assert_eq!(Some(cost(&found, strip)), brute(&kinds, &wants, strip));
    }

    #[test]
    fn where_several_loads_will_do_none_of_the_choices_needs_fewer_moves(
        kinds in small_kinds(),
        picks in proptest::collection::vec(proptest::collection::vec(any::<prop::sample::Index>(), 1..=3), 1..=4),
        strip in any::<bool>(),
    ) {
        let discs = kinds
            .iter()
            .map(|k| Disc { mass: Mass::grams(k.0 as u32), count: k.1 * 2, full_diameter: k.2, thickness_mm: None })
            .collect();
        let loads = BarLoads::new(&kit("40 kg", discs), "bar").unwrap();
        let all: Vec<i64> = sums_of(&kinds, false).into_iter().collect();
        let wants: Vec<Want> = picks
            .iter()
            .map(|p| Want { sums: p.iter().map(|i| *i.get(&all)).collect(), full: false, limit: None })
            .collect();
        let load = |sum: &i64| Mass::grams(40_000 + 2 * *sum as u32);
        let targets: Vec<Target> = wants
            .iter()
            .map(|w| Target {
                loads: w.sums.iter().zip(0..).map(|(s, i)| (load(s), i)).collect(),
                place: Place::Rack,
            })
            .collect();
        let found = route(&loads, &targets, strip).unwrap();
        let made: Vec<Mass> = found.stops.iter().map(|s| s.load).collect();
        check(&found, &loads, &made);
        for (stop, target) in found.stops.iter().zip(&targets) {
            prop_assert!(target.loads.iter().any(|l| l.0 == stop.load));
        }
        prop_assert_eq!(Some(cost(&found, strip).0), brute(&kinds, &wants, strip).map(|c| c.0));
    }
}

#[test]
fn a_kit_beyond_all_measure_still_gets_a_route_that_says_it_is_not_proved() {
    let discs = (0..16).map(|i| disc(&format!("{}.{} kg", 1 + i, i * 7 % 10), 40, i % 2 == 0)).collect();
    let loads = BarLoads::new(&kit("20 kg", discs), "bar").unwrap();
    let all: Vec<Mass> = loads.loads().filter(|m| *m > mass("150 kg") && *m < mass("250 kg")).collect();
    let wanted: Vec<Mass> = (0..40).map(|i| all[i * 37 % all.len()]).collect();
    let found = route_exact(&loads, &wanted, Place::Rack).unwrap();
    assert!(!found.proved);
    check(&found, &loads, &wanted);
    assert_eq!(found.moves_per_side, found.heaviest_first_moves_per_side);
}
