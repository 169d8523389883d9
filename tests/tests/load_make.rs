//! Masses, kits, and what a kit can make, against counting every choice of discs.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::collections::BTreeMap;

use plinth_core::load::kit::{Bar, BarKind, Disc, Dumbbells};
use plinth_core::load::make::{Difference, Means};
use plinth_core::load::{BarLoads, Implement, Kit, LoadError, Mass, Rounding, Unit, loads_of, make};
use proptest::prelude::*;

fn mass(text: &str) -> Mass {
    text.parse().expect(text)
}

fn gym() -> Kit {
    Kit::starting("gym_kg").unwrap()
}

#[test]
fn a_mass_is_exact_and_keeps_its_unit() {
    for (text, shown) in [
        ("137.5 kg", "137.5 kg"),
        ("2.50lb", "2.5 lb"),
        (" 45 lbs ", "45 lb"),
        ("0.4535923700 kg", "0.45359237 kg"),
        ("007 kg", "7 kg"),
        ("0 kg", "0 kg"),
        ("1000 kg", "1000 kg"),
    ] {
        assert_eq!(mass(text).to_string(), shown);
    }
    assert_eq!(mass("1 lb"), mass("0.45359237 kg"));
    assert!(mass("2.2 lb") < mass("1 kg") && mass("2.21 lb") > mass("1 kg"));
    let sum = mass("20 kg").plus(&mass("45 lb")).unwrap();
    assert_eq!(sum.to_string(), "40.41165665 kg");
    assert_eq!(sum.words(), "40.41 kg");
    assert_eq!(mass("45 lb").plus(&mass("2.5 lb")).unwrap().to_string(), "47.5 lb");
    assert_eq!(mass("100 kg").words_in(Unit::Pound), "220.46 lb");
    assert_eq!(mass("10 kg").minus(&mass("12 kg")), None);
    assert_eq!(mass("101 kg").per_mille(875).unwrap().to_string(), "88.37 kg");
}

#[test]
fn a_bad_mass_is_refused_with_a_remedy() {
    for text in [
        "",
        "kg",
        "12",
        "-5 kg",
        "1,5 kg",
        "1.5.5 kg",
        "NaN kg",
        "1e3 kg",
        "5 st",
        "1000.1 kg",
        "99999 kg",
        "2204.63 lb",
        "0.001 lb",
        "0.00000000001 kg",
        "1. kg",
        ".5 kg",
        "١ kg",
    ] {
        let error = text.parse::<Mass>().unwrap_err().to_string();
        assert!(error.starts_with("mass `") && error.contains("such as \"137.5 kg\""), "{error}");
    }
    let long = "9".repeat(10_000_000);
    assert!(long.parse::<Mass>().unwrap_err().to_string().len() < 200);
}

#[test]
fn a_mass_in_json_is_a_text_and_its_parts_are_read_too() {
    assert_eq!(serde_json::to_string(&mass("2.50 lb")).unwrap(), "\"2.5 lb\"");
    let parts: Mass = serde_json::from_str(r#"{"value": "137.5", "unit": "kg"}"#).unwrap();
    assert_eq!(parts.to_string(), "137.5 kg");
    for bad in
        ["5", "5.5", "null", "[]", r#"{"value": 5, "unit": "kg"}"#, r#"{"value": "5", "unit": "kg", "x": 1}"#]
    {
        assert!(serde_json::from_str::<Mass>(bad).unwrap_err().to_string().contains("137.5 kg"), "{bad}");
    }
}

#[test]
fn the_starting_kits_are_faultless_and_survive_json() {
    for id in Kit::STARTING {
        let kit = Kit::starting(id).unwrap();
        kit.validate().unwrap();
        assert_eq!(Kit::from_json(&serde_json::to_string(&kit).unwrap()).unwrap(), kit);
    }
    assert!(matches!(Kit::starting("attic"), Err(LoadError::Unknown { .. })));
}

#[test]
fn a_faulty_kit_names_its_field() {
    type Spoil = fn(&mut Kit);
    let faults: [(&str, Spoil); 10] = [
        ("bars[1].name", |k| k.bars[1].name = "Barbell".into()),
        ("bars[0].mass", |k| k.bars[0].mass = Mass::ZERO),
        ("bars[0].count", |k| k.bars[0].count = 0),
        ("discs[2].mass", |k| k.discs[2].mass = Mass::ZERO),
        ("discs[1].count", |k| k.discs[1].count = 0),
        ("discs[1].mass", |k| k.discs[1] = k.discs[0].clone()),
        ("discs", |k| k.discs = vec![k.discs[0].clone(); 17]),
        ("dumbbells[0]", |k| k.dumbbells[0].step = None),
        ("stacks[0]", |k| k.stacks[0].step = Mass::ZERO),
        ("bands[0]", |k| k.bands[0] = " ".into()),
    ];
    for (field, spoil) in faults {
        let mut kit = gym();
        spoil(&mut kit);
        match kit.validate() {
            Err(LoadError::Kit { field: named, .. }) => assert_eq!(named, field),
            other => panic!("{field}: {other:?}"),
        }
    }
    let unknown = Kit::from_json(r#"{"bars": [], "plates": []}"#).unwrap_err().to_string();
    assert!(unknown.contains("unknown field `plates`"), "{unknown}");
    assert!(Kit::from_json(r#"{"discs": [{"mass": "5 kg", "count": -2}]}"#).is_err());
}

#[test]
fn wanted_81_made_80() {
    let mut kit = gym();
    kit.discs.retain(|d| d.mass >= mass("2.5 kg"));
    let made = make(&kit, &Implement::Bar("Barbell".into()), &mass("81 kg"), Rounding::Nearest).unwrap();
    assert_eq!(made.to_string(), "wanted 81 kg, made 80 kg");
    assert_eq!(made.difference, Difference::Lighter(mass("1 kg")));
    let exact = make(&kit, &Implement::Bar("Barbell".into()), &mass("80 kg"), Rounding::Nearest).unwrap();
    assert_eq!(exact.to_string(), "80 kg");
    let Means::Bar { per_side, .. } = exact.means else { panic!() };
    let sides: Vec<(String, u32)> = per_side.iter().map(|d| (d.mass.to_string(), d.count)).collect();
    assert_eq!(sides, [("25 kg".to_owned(), 1), ("5 kg".to_owned(), 1)]);
}

#[test]
fn dumbbells_stacks_kettlebells_and_added_loads() {
    let kit = gym();
    let of = |what: &Implement, text: &str, rounding| make(&kit, what, &mass(text), rounding).unwrap();
    let down = Rounding::AtOrBelow;
    assert_eq!(of(&Implement::DumbbellPair, "11.9 kg", down).made, mass("10 kg"));
    assert_eq!(of(&Implement::DumbbellPair, "11 kg", Rounding::Nearest).made, mass("10 kg"));
    assert_eq!(of(&Implement::DumbbellPair, "11.1 kg", Rounding::Nearest).made, mass("12 kg"));
    assert_eq!(of(&Implement::Kettlebell, "15 kg", down).made, mass("12 kg"));
    let stack = of(&Implement::Stack("cable".into()), "38 kg", down);
    assert_eq!(stack.made, mass("37.5 kg"));
    assert_eq!(
        stack.means,
        Means::Stack { machine: "any".into(), pin: mass("35 kg"), add_ons: vec![mass("2.5 kg")] }
    );
    assert_eq!(of(&Implement::Added, "8 kg", down).made, mass("8 kg"));
    assert_eq!(of(&Implement::Added, "0.5 kg", down).means, Means::NothingAdded);
    let light = make(&kit, &Implement::DumbbellPair, &mass("0.5 kg"), down).unwrap_err();
    assert!(light.to_string().contains("another way in"), "{light}");
    assert_eq!(of(&Implement::DumbbellPair, "0.5 kg", Rounding::Nearest).made, mass("1 kg"));
    let none = make(&Kit::default(), &Implement::Kettlebell, &mass("8 kg"), down).unwrap_err();
    assert_eq!(none, LoadError::Missing { what: "kettlebell".into() });
    // Two handles share the discs: four ends, so 2.5 kg on each end needs four discs.
    let home = Kit::starting("home").unwrap();
    let pair = make(&home, &Implement::DumbbellPair, &mass("10 kg"), down).unwrap();
    assert_eq!(pair.made, mass("10 kg"));
    let most = *loads_of(&home, &Implement::DumbbellPair).unwrap().last().unwrap();
    assert_eq!(most, mass("40 kg"));
    let odd = Dumbbells { masses: vec![mass("7 kg")], from: None, to: None, step: None, in_pairs: false };
    let kit = Kit { dumbbells: vec![odd], ..Kit::default() };
    assert!(make(&kit, &Implement::DumbbellPair, &mass("8 kg"), down).is_err());
    assert_eq!(make(&kit, &Implement::Dumbbell, &mass("8 kg"), down).unwrap().made, mass("7 kg"));
}

#[test]
fn a_sleeve_holds_no_more_than_its_length() {
    let disc =
        |text, count, mm| Disc { mass: mass(text), count, full_diameter: false, thickness_mm: Some(mm) };
    let bar =
        Bar { name: "b".into(), mass: mass("20 kg"), kind: BarKind::Barbell, count: 1, sleeve_mm: Some(100) };
    let kit =
        Kit { bars: vec![bar], discs: vec![disc("20 kg", 8, 60), disc("15 kg", 8, 30)], ..Kit::default() };
    let loads = BarLoads::new(&kit, "b").unwrap();
    let all: Vec<String> = loads.loads().map(|m| m.to_string()).collect();
    assert_eq!(all, ["20 kg", "50 kg", "60 kg", "80 kg", "90 kg", "110 kg"]);
}

/// Every sum of one side and the fewest discs for it, counted out one by one.
fn count_out(kinds: &[(i64, u32)]) -> BTreeMap<i64, u32> {
    let mut sums = BTreeMap::from([(0, 0)]);
    for &(amount, each) in kinds {
        for (sum, discs) in sums.clone() {
            for n in 1..=each {
                let fewest = sums.entry(sum + amount * i64::from(n)).or_insert(u32::MAX);
                *fewest = (*fewest).min(discs + n);
            }
        }
    }
    sums
}

proptest! {
    #[test]
    fn nothing_nearer_and_nothing_with_fewer_discs_can_be_made(
        picks in proptest::collection::vec((0usize..10, 1u32..=7), 1..=6),
        bar in prop_oneof![Just("20 kg"), Just("45 lb")],
        wanted_g in 0u32..400_000,
        collars in proptest::option::of(prop_oneof![Just("2.5 kg"), Just("1 lb")]),
        nearest in any::<bool>(),
    ) {
        let menu = ["25 kg", "20 kg", "10 kg", "5 kg", "1.25 kg", "45 lb", "25 lb", "10 lb", "5 lb", "2.5 lb"];
        let mut discs: Vec<Disc> = Vec::new();
        for (i, count) in picks {
            if discs.iter().all(|d| d.mass != mass(menu[i])) {
                discs.push(Disc { mass: mass(menu[i]), count, full_diameter: i % 2 == 0, thickness_mm: None });
            }
        }
        let bar = Bar { name: "b".into(), mass: mass(bar), kind: BarKind::Barbell, count: 1, sleeve_mm: None };
        let collars = collars.map(|c| serde_json::from_value(serde_json::json!({"mass": c, "per": "each"})).unwrap());
        let kit = Kit { bars: vec![bar.clone()], discs: discs.clone(), collars, ..Kit::default() };
        let base = bar.mass.amount() + kit.collar_pair(bar.kind).amount();
        let sums = count_out(&discs.iter().map(|d| (d.mass.amount(), d.count / 2)).collect::<Vec<_>>());
        let loads = BarLoads::new(&kit, "b").unwrap();
        let all: Vec<i64> = loads.loads().map(|m| m.amount()).collect();
        prop_assert_eq!(&all, &sums.keys().map(|s| base + 2 * s).collect::<Vec<_>>());
        let wanted = Mass::grams(wanted_g);
        let rounding = if nearest { Rounding::Nearest } else { Rounding::AtOrBelow };
        let allowed = all.iter().filter(|l| nearest || **l <= wanted.amount());
        let best = allowed.min_by_key(|l| ((*l - wanted.amount()).abs(), **l));
        match (loads.make(&wanted, rounding), best) {
            (Ok(made), Some(best)) => {
                prop_assert_eq!(made.made.amount(), *best);
                let Means::Bar { per_side, .. } = made.means else { panic!() };
                let side: i64 = per_side.iter().map(|d| d.mass.amount() * i64::from(d.count)).sum();
                prop_assert_eq!(base + 2 * side, *best);
                prop_assert_eq!(per_side.iter().map(|d| d.count).sum::<u32>(), sums[&side]);
                for d in per_side {
                    prop_assert!(discs.iter().any(|k| k.mass == d.mass && d.count <= k.count / 2));
                }
            }
            (Err(LoadError::BelowLightest { .. }), None) => {}
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_mass_survives_its_own_text(units in 0i64..=10_000_000_000_000, hundredths in 0u32..=220_462) {
        let kilograms = Mass::from_amount(units, Unit::Kilogram).unwrap();
        let read: Mass = kilograms.to_string().parse().unwrap();
        prop_assert_eq!(read.amount(), units);
        let pounds = Mass::pound_hundredths(hundredths);
        let read: Mass = pounds.to_string().parse().unwrap();
        prop_assert!(read.amount() == pounds.amount() && read.unit() == Unit::Pound);
    }
}
