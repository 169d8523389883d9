//! `plinth load`: estimates, ramps and disc routes.

use crate::arguments::{LoadArguments, LoadQuestion};
use crate::failure::Failure;
use crate::input;
use crate::output::{json, print_table, sentence, table};
use plinth_core::load::equations::{all, estimates};
use plinth_core::load::kit::BarKind;
use plinth_core::load::ramp::{RampRequest, load_session};
use plinth_core::load::route::{Place, Route, Target, route};
use plinth_core::load::{BarLoads, Kit, Mass, Rounding};
use std::io::Write;
use std::path::Path;

const LARGEST_KIT_BYTES: usize = 64 * 1024;

pub(crate) fn run(a: &LoadArguments) -> Result<(), Failure> {
    let out = &mut std::io::stdout().lock();
    match &a.question {
        LoadQuestion::Estimate { load, reps, reserve, show } => {
            let estimates = estimates(&mass(load)?, reps.saturating_add(*reserve))?;
            if show.json {
                return json(out, &estimates);
            }
            let known = all()?;
            let mut t = table(&["equation", "estimate", "made for", "source"], &[1]);
            for e in &estimates.each {
                let of = known.iter().find(|k| k.id == e.equation);
                t.add_row([
                    e.equation.clone(),
                    e.mass.words(),
                    of.map_or_else(String::new, |k| k.validity.clone()),
                    of.map_or_else(String::new, |k| k.citation.clone()),
                ]);
            }
            print_table(out, &t)?;
            let range = format!(
                "About {}; the equations say {} to {}. An estimate is not a maximum to try.",
                estimates.middle.words(),
                estimates.lowest.words(),
                estimates.highest.words()
            );
            sentence(out, "", &range)
        }
        LoadQuestion::Ramp { load, reps, sets, kit: name, bar: bar_name, floor, show } => {
            let kit = kit(name)?;
            let loads = bar(&kit, bar_name.as_deref())?;
            let wanted = mass(load)?;
            let made = loads.make(&wanted, Rounding::Nearest)?;
            let request = RampRequest {
                working: made.made,
                working_reps: *reps,
                sets: *sets,
                heavy_compound: true,
                place: if *floor { Place::Floor } else { Place::Rack },
            };
            let session = load_session(&loads, &[request], true)?;
            if show.json {
                return json(out, &session);
            }
            writeln!(out, "{made}")?;
            let ramp = session.ramps.first();
            let what: Vec<String> = ramp
                .into_iter()
                .flat_map(|r| &r.sets)
                .map(|s| format!("ramp, {} repetitions", s.reps))
                .chain([format!("work, {reps} repetitions")])
                .collect();
            print_route(out, &session.route, &what)
        }
        LoadQuestion::Route { loads: texts, kit: name, bar: bar_name, floor, show } => {
            let kit = kit(name)?;
            let loads = bar(&kit, bar_name.as_deref())?;
            let place = if *floor { Place::Floor } else { Place::Rack };
            let mut targets = Vec::new();
            let mut what = Vec::new();
            for text in texts {
                let made = loads.make(&mass(text)?, Rounding::Nearest)?;
                targets.push(Target::exact(made.made, place));
                what.push(made.to_string());
            }
            let route = route(&loads, &targets, true)?;
            if show.json {
                return json(out, &route);
            }
            print_route(out, &route, &what)
        }
    }
}

fn print_route(out: &mut impl Write, route: &Route, what: &[String]) -> Result<(), Failure> {
    let mut t = table(&["set", "load", "each side, from the inside", "off", "on"], &[1, 3, 4]);
    for (what, stop) in what.iter().zip(&route.stops) {
        let discs: Vec<String> = stop.per_side.iter().map(|p| p.mass.words()).collect();
        let blocks = if stop.blocks_needed { " (raise the bar on blocks)" } else { "" };
        let discs = if discs.is_empty() { "empty bar".into() } else { discs.join(", ") };
        t.add_row([
            what.clone(),
            stop.load.words(),
            format!("{discs}{blocks}"),
            stop.off.to_string(),
            stop.on.to_string(),
        ]);
    }
    print_table(out, &t)?;
    let proved =
        if route.proved { "no route has fewer" } else { "the kit is too varied to prove the fewest" };
    sentence(
        out,
        "",
        &format!(
            "{} disc moves on each side ({proved}); heaviest first takes {}. The sides never differ by more than {}: load and \
             strip them in turn, or the bar tips.",
            route.moves_per_side,
            route.heaviest_first_moves_per_side,
            route.greatest_imbalance.words()
        ),
    )
}

fn mass(text: &str) -> Result<Mass, Failure> {
    text.parse().map_err(|e: plinth_core::load::LoadError| Failure::Input(format!("load: {e}")))
}

fn kit(name: &str) -> Result<Kit, Failure> {
    if Kit::STARTING.contains(&name) {
        return Ok(Kit::starting(name)?);
    }
    let bytes = input::read(Path::new(name), LARGEST_KIT_BYTES)?;
    let text = String::from_utf8(bytes)
        .map_err(|_| Failure::Input(format!("{name}: is not UTF-8 text; save the kit as UTF-8.")))?;
    Ok(Kit::from_json(&text)?)
}

fn bar(kit: &Kit, name: Option<&str>) -> Result<BarLoads, Failure> {
    let name =
        match name {
            Some(name) => name.to_owned(),
            None => kit.bars.iter().find(|b| b.kind == BarKind::Barbell).map(|b| b.name.clone()).ok_or_else(
                || Failure::Input("kit: has no barbell; name a bar of it with --bar, or add one.".into()),
            )?,
        };
    Ok(BarLoads::new(kit, &name)?)
}
