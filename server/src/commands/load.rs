//! `plinth load`: estimates, ramps and disc routes.

use crate::arguments::{LoadArguments, LoadQuestion};
use crate::failure::Failure;
use crate::input;
use crate::output::{json, print_table, sentence, table_of};
use plinth_core::load::equations::{all, estimates};
use plinth_core::load::kit::BarKind;
use plinth_core::load::make::{Difference, Made};
use plinth_core::load::ramp::{RampRequest, load_session};
use plinth_core::load::route::{Place, Route, Target, route};
use plinth_core::load::{BarLoads, Kit, Mass, Rounding};
use plinth_core::words::Speech;
use std::io::Write;
use std::path::Path;

const LARGEST_KIT_BYTES: usize = 64 * 1024;

pub(crate) fn run(speech: &Speech, a: &LoadArguments) -> Result<(), Failure> {
    let out = &mut std::io::stdout().lock();
    match &a.question {
        LoadQuestion::Estimate { load, reps, reserve, show } => {
            let estimates = estimates(&mass(load)?, reps.saturating_add(*reserve))?;
            if show.json {
                return json(out, &estimates);
            }
            let known = all()?;
            let mut t =
                table_of(speech, &["head-equation", "head-estimate", "head-made-for", "head-source"], &[1]);
            for e in &estimates.each {
                let of = known.iter().find(|k| k.id == e.equation);
                t.add_row([
                    e.equation.clone(),
                    speech.mass(&e.mass),
                    of.map_or_else(String::new, |k| k.validity.clone()),
                    of.map_or_else(String::new, |k| k.citation.clone()),
                ]);
            }
            print_table(out, &t)?;
            let [middle, lowest, highest] =
                [&estimates.middle, &estimates.lowest, &estimates.highest].map(|m| speech.mass(m));
            let args =
                [("middle", (&middle).into()), ("lowest", (&lowest).into()), ("highest", (&highest).into())];
            sentence(out, "", &speech.say("estimate-range", &args))
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
            writeln!(out, "{}", self::made(speech, &made))?;
            let ramp = session.ramps.first();
            let what: Vec<String> = ramp
                .into_iter()
                .flat_map(|r| &r.sets)
                .map(|s| speech.say("set-ramp", &[("reps", s.reps.into())]))
                .chain([speech.say("set-work-reps", &[("reps", (*reps).into())])])
                .collect();
            print_route(out, speech, &session.route, &what)
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
                what.push(self::made(speech, &made));
            }
            let route = route(&loads, &targets, true)?;
            if show.json {
                return json(out, &route);
            }
            print_route(out, speech, &route, &what)
        }
    }
}

/// "wanted 81 kg, made 80 kg", or only the load where nothing was rounded.
pub(super) fn made(speech: &Speech, made: &Made) -> String {
    let (got, wanted) = (speech.mass(&made.made), speech.mass(&made.wanted));
    match made.difference {
        Difference::None => got,
        _ => speech.say("load-made", &[("wanted", (&wanted).into()), ("made", (&got).into())]),
    }
}

/// The discs of one side in words.
pub(super) fn discs_on(speech: &Speech, discs: &str, on_blocks: bool) -> String {
    let discs = if discs.is_empty() { speech.say("discs-none", &[]) } else { discs.to_owned() };
    if on_blocks { speech.say("discs-on-blocks", &[("discs", (&discs).into())]) } else { discs }
}

fn print_route(out: &mut impl Write, speech: &Speech, route: &Route, what: &[String]) -> Result<(), Failure> {
    let mut t =
        table_of(speech, &["head-set", "head-load", "head-each-side", "head-off", "head-on"], &[1, 3, 4]);
    for (what, stop) in what.iter().zip(&route.stops) {
        let discs: Vec<String> = stop.per_side.iter().map(|p| speech.mass(&p.mass)).collect();
        let discs = discs_on(speech, &discs.join(", "), stop.blocks_needed);
        t.add_row([what.clone(), speech.mass(&stop.load), discs, stop.off.to_string(), stop.on.to_string()]);
    }
    print_table(out, &t)?;
    let key = if route.proved { "route-proved" } else { "route-unproved" };
    let imbalance = speech.mass(&route.greatest_imbalance);
    let args = [
        ("moves", route.moves_per_side.into()),
        ("greedy", route.heaviest_first_moves_per_side.into()),
        ("imbalance", (&imbalance).into()),
    ];
    sentence(out, "", &speech.say(key, &args))
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
