//! `plinth catalogue`: lists, filters and shows movements.

use crate::arguments::CatalogueArguments;
use crate::failure::Failure;
use crate::input;
use crate::output::{json, print_table, sentence, table};
use plinth_core::catalogue::{Catalogue, Movement, Named, ShareKind, StandInKind, Text};
use plinth_core::plan::filter::missing_kit;
use serde::Serialize;
use std::io::Write;

/// What `catalogue ID --json` prints: everything by id, nothing by index.
#[derive(Serialize)]
struct Page<'a> {
    id: &'a str,
    name: &'a str,
    pattern: &'a str,
    tier: &'static str,
    joint_actions: &'a [String],
    equipment: Vec<Vec<&'a str>>,
    laterality: &'static str,
    load_kind: &'static str,
    axial: i32,
    fatigue: i32,
    skill: i32,
    grip: i32,
    asks_of: Vec<(&'a str, i32)>,
    ramp_sets: i32,
    load_step_g: i32,
    trains: Vec<Trains<'a>>,
    stand_ins: Vec<Substitute<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    text: Option<&'a Text>,
}

#[derive(Serialize)]
struct Trains<'a> {
    muscle: &'a str,
    share: &'static str,
    reason: &'a str,
    source: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    second: Option<&'a (String, String)>,
}

#[derive(Serialize)]
struct Substitute<'a> {
    movement: &'a str,
    kind: String,
    reason: &'a str,
}

pub(crate) fn run(a: &CatalogueArguments) -> Result<(), Failure> {
    let c = input::catalogue()?;
    let out = &mut std::io::BufWriter::new(std::io::stdout().lock());
    if a.muscles {
        if a.show.json {
            json(out, &c.muscles)?;
        } else {
            let mut t = table(&["id", "name", "region", "major"], &[]);
            for m in &c.muscles {
                t.add_row([m.id.as_str(), &m.name, &m.region, if m.major { "yes" } else { "" }]);
            }
            print_table(out, &t)?;
        }
    } else if a.patterns {
        if a.show.json {
            json(out, &c.patterns)?;
        } else {
            let mut t = table(&["id", "name", "base group"], &[]);
            for p in &c.patterns {
                t.add_row([p.id.as_str(), &p.name, p.base_group.as_deref().unwrap_or("")]);
            }
            print_table(out, &t)?;
        }
    } else if a.kit || a.regions {
        let list = if a.kit { &c.equipment } else { &c.regions };
        named(out, list, a.show.json)?;
    } else if let Some(id) = &a.movement {
        one(out, &c, id, a.show.json)?;
    } else {
        list(out, &c, a)?;
    }
    out.flush()?;
    Ok(())
}

fn named(out: &mut impl Write, list: &[Named], as_json: bool) -> Result<(), Failure> {
    if as_json {
        return json(out, &list);
    }
    let mut t = table(&["id", "name"], &[]);
    for n in list {
        t.add_row([&n.id, &n.name]);
    }
    print_table(out, &t)
}

/// Index of an id that an option names, or one sentence with the ids there are.
fn index(option: &str, id: &str, ids: &[&str]) -> Result<usize, Failure> {
    ids.iter().position(|x| *x == id).ok_or_else(|| {
        Failure::Input(format!("--{option}: {id:?} is unknown; use one of {}.", ids.join(", ")))
    })
}

fn list(out: &mut impl Write, c: &Catalogue, a: &CatalogueArguments) -> Result<(), Failure> {
    let ids = |n: &'_ [Named]| -> Vec<String> { n.iter().map(|x| x.id.clone()).collect() };
    let find = |option: &str, id: &Option<String>, all: Vec<String>| -> Result<Option<usize>, Failure> {
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        id.as_deref().map(|id| index(option, id, &all)).transpose()
    };
    let pattern = find("pattern", &a.pattern, c.patterns.iter().map(|p| p.id.clone()).collect())?;
    let muscle = find("muscle", &a.muscle, c.muscles.iter().map(|p| p.id.clone()).collect())?;
    let sparing = find("sparing", &a.sparing, ids(&c.regions))?;
    let mut owned = vec![a.with.is_empty(); c.equipment.len()];
    for id in &a.with {
        if let Some(e) = find("with", &Some(id.clone()), ids(&c.equipment))? {
            owned[e] = true;
        }
    }
    let chosen: Vec<&Movement> = c
        .movements
        .iter()
        .filter(|m| pattern.is_none_or(|p| m.pattern == p))
        .filter(|m| muscle.is_none_or(|g| m.trains.iter().any(|t| t.muscle == g)))
        .filter(|m| sparing.is_none_or(|r| m.flag(r) == 0))
        .filter(|m| missing_kit(m, &owned).is_empty())
        .collect();
    if a.show.json {
        let pages: Vec<Page<'_>> = chosen.iter().map(|m| page(c, m, None)).collect();
        return json(out, &pages);
    }
    let mut t = table(&["id", "name", "pattern", "direct", "shared"], &[]);
    for m in &chosen {
        let muscles = |share: ShareKind| -> String {
            let of: Vec<&str> = m
                .trains
                .iter()
                .filter(|t| t.share == share)
                .map(|t| c.muscles[t.muscle].id.as_str())
                .collect();
            of.join(", ")
        };
        t.add_row([
            m.id.clone(),
            m.name.clone(),
            c.patterns[m.pattern].name.clone(),
            muscles(ShareKind::Direct),
            muscles(ShareKind::Indirect),
        ]);
    }
    print_table(out, &t)?;
    sentence(
        out,
        "",
        &format!("{} of {} movements, catalogue {}.", chosen.len(), c.movements.len(), c.version),
    )
}

fn page<'a>(c: &'a Catalogue, m: &'a Movement, text: Option<&'a Text>) -> Page<'a> {
    let index = c.find(&m.id);
    Page {
        id: &m.id,
        name: &m.name,
        pattern: &c.patterns[m.pattern].id,
        tier: m.tier.word(),
        joint_actions: &m.joint_actions,
        equipment: kit_of(c, m),
        laterality: m.laterality.word(),
        load_kind: m.load_kind.word(),
        axial: m.axial,
        fatigue: m.fatigue,
        skill: m.skill,
        grip: m.grip,
        asks_of: m.flags.iter().map(|f| (c.regions[f.region].id.as_str(), f.weight)).collect(),
        ramp_sets: m.ramp_sets,
        load_step_g: m.load_step_g,
        trains: m
            .trains
            .iter()
            .map(|t| Trains {
                muscle: &c.muscles[t.muscle].id,
                share: t.share.word(),
                reason: &t.reason,
                source: &t.source,
                second: t.second.as_ref(),
            })
            .collect(),
        stand_ins: index
            .into_iter()
            .flat_map(|m| c.stand_ins_of(m))
            .map(|s| Substitute {
                movement: &c.movements[s.to].id,
                kind: occasion(c, s.kind),
                reason: &s.reason,
            })
            .collect(),
        text,
    }
}

fn kit_of<'a>(c: &'a Catalogue, m: &Movement) -> Vec<Vec<&'a str>> {
    m.equipment.iter().map(|all| all.iter().map(|e| c.equipment[*e].id.as_str()).collect()).collect()
}

fn occasion(c: &Catalogue, kind: StandInKind) -> String {
    match kind {
        StandInKind::Discomfort(r) => format!("sore {}", c.regions[r].name.to_lowercase()),
        StandInKind::LimitAnkle => "ankles lack bend".into(),
        StandInKind::Imbalance => "sides differ".into(),
        StandInKind::Busy => "station taken".into(),
        StandInKind::Equipment => "kit missing".into(),
        StandInKind::Alone => "training alone".into(),
        StandInKind::Emphasis(g) => format!("more {}", c.muscles[g].name.to_lowercase()),
        StandInKind::Regression => "easier".into(),
        StandInKind::Progression => "harder".into(),
        StandInKind::Pairing => "goes with the session".into(),
        StandInKind::Lateral => "as good".into(),
    }
}

fn one(out: &mut impl Write, c: &Catalogue, id: &str, as_json: bool) -> Result<(), Failure> {
    let Some(m) = c.movement(id) else {
        let similar = c.similar(id);
        let remedy = if similar.is_empty() {
            "plinth catalogue lists all".into()
        } else {
            format!("did you mean {}?", similar.join(" or "))
        };
        return Err(Failure::Input(format!("movement: {id:?} is unknown; {remedy}")));
    };
    let texts = input::texts(c)?;
    let text = texts.of(id);
    let page = page(c, m, text);
    if as_json {
        return json(out, &page);
    }
    writeln!(out, "{} ({})\n", page.name, page.id)?;
    let kit: Vec<String> = page
        .equipment
        .iter()
        .map(|all| if all.is_empty() { "floor".into() } else { all.join(" and ") })
        .collect();
    sentence(out, "Pattern      ", &c.patterns[m.pattern].name)?;
    sentence(out, "Joints       ", &page.joint_actions.join(", "))?;
    sentence(out, "Kit          ", &kit.join("; or "))?;
    let asks: Vec<String> = m
        .flags
        .iter()
        .map(|f| {
            let much = ["", "a little", "a good deal", "very much"][f.weight.clamp(0, 3) as usize];
            format!("{} ({much})", c.regions[f.region].name.to_lowercase())
        })
        .collect();
    let asks = if asks.is_empty() { "no region in particular".into() } else { asks.join(", ") };
    sentence(out, "Asks of      ", &asks)?;
    writeln!(out)?;
    if let Some(text) = text {
        print_text(out, text)?;
    }
    let mut t = table(&["trains", "", "why", "source"], &[]);
    for a in &m.trains {
        let (mut why, mut source) = (a.reason.clone(), a.source.clone());
        if let Some((second, from)) = &a.second {
            why = format!("{why}; {second}");
            source = format!("{source}; {from}");
        }
        t.add_row([c.muscles[a.muscle].name.clone(), a.share.word().to_owned(), why, source]);
    }
    print_table(out, &t)?;
    writeln!(out)?;
    let mut t = table(&["stand-in", "when", "why"], &[]);
    for s in &page.stand_ins {
        let name = c.movement(s.movement).map_or(s.movement, |m| m.name.as_str());
        t.add_row([name, s.kind.as_str(), s.reason]);
    }
    print_table(out, &t)
}

fn print_text(out: &mut impl Write, text: &Text) -> Result<(), Failure> {
    for caution in &text.cautions {
        sentence(out, "Caution      ", caution)?;
    }
    if let Some(bail_out) = &text.bail_out {
        sentence(out, "Bail-out     ", bail_out)?;
    }
    sentence(out, "Set-up       ", &text.set_up)?;
    for cue in &text.cues {
        sentence(out, "Cue          ", cue)?;
    }
    for f in &text.faults {
        sentence(out, "Fault        ", &format!("{} - {}", f.fault, f.remedy))?;
    }
    sentence(out, "Range        ", &text.range)?;
    sentence(out, "Breathing    ", &text.breathing)?;
    sentence(out, "Easier       ", &text.easier)?;
    sentence(out, "Harder       ", &text.harder)?;
    sentence(out, "Source       ", &text.source)?;
    writeln!(out)?;
    Ok(())
}
