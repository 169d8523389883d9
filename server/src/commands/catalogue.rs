//! `plinth catalogue`: lists, filters and shows movements.

use crate::arguments::CatalogueArguments;
use crate::failure::Failure;
use crate::input;
use crate::output::{json, print_table, sentence, table_of};
use plinth_core::catalogue::{Catalogue, Movement, Named, ShareKind, Text, Texts};
use plinth_core::plan::filter::missing_kit;
use plinth_core::words::{Language, Speech};
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

pub(crate) fn run(speech: &Speech, a: &CatalogueArguments) -> Result<(), Failure> {
    let c = input::catalogue()?;
    let out = &mut std::io::BufWriter::new(std::io::stdout().lock());
    if a.muscles {
        if a.show.json {
            json(out, &c.muscles)?;
        } else {
            let mut t = table_of(speech, &["head-id", "head-name", "head-region", "head-major"], &[]);
            for m in &c.muscles {
                let major = if m.major { speech.say("word-yes", &[]) } else { String::new() };
                t.add_row([m.id.as_str(), &speech.muscle(&m.id), &m.region, &major]);
            }
            print_table(out, &t)?;
        }
    } else if a.patterns {
        if a.show.json {
            json(out, &c.patterns)?;
        } else {
            let mut t = table_of(speech, &["head-id", "head-name", "head-base-group"], &[]);
            for p in &c.patterns {
                t.add_row([p.id.as_str(), &speech.pattern(&p.id), p.base_group.as_deref().unwrap_or("")]);
            }
            print_table(out, &t)?;
        }
    } else if a.kit || a.regions {
        let list = if a.kit { &c.equipment } else { &c.regions };
        let name = |id: &str| if a.kit { speech.kit_item(id) } else { speech.region(id) };
        named(out, speech, list, name, a.show.json)?;
    } else if let Some(id) = &a.movement {
        one(out, speech, &c, id, a.show.json)?;
    } else {
        list(out, speech, &c, a)?;
    }
    out.flush()?;
    Ok(())
}

fn named(
    out: &mut impl Write,
    speech: &Speech,
    list: &[Named],
    name: impl Fn(&str) -> String,
    as_json: bool,
) -> Result<(), Failure> {
    if as_json {
        return json(out, &list);
    }
    let mut t = table_of(speech, &["head-id", "head-name"], &[]);
    for n in list {
        t.add_row([&n.id, &name(&n.id)]);
    }
    print_table(out, &t)
}

/// Index of an id that an option names, or one sentence with the ids there are.
fn index(option: &str, id: &str, ids: &[&str]) -> Result<usize, Failure> {
    ids.iter().position(|x| *x == id).ok_or_else(|| {
        Failure::Input(format!("--{option}: {id:?} is unknown; use one of {}.", ids.join(", ")))
    })
}

fn list(out: &mut impl Write, speech: &Speech, c: &Catalogue, a: &CatalogueArguments) -> Result<(), Failure> {
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
        let pages: Vec<Page<'_>> =
            chosen.iter().map(|m| page(&Speech::new(Language::English), c, m, None)).collect();
        return json(out, &pages);
    }
    let mut t =
        table_of(speech, &["head-id", "head-name", "head-pattern", "head-direct", "head-shared"], &[]);
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
            speech.movement_in(c, &m.id),
            speech.pattern(&c.patterns[m.pattern].id),
            muscles(ShareKind::Direct),
            muscles(ShareKind::Indirect),
        ]);
    }
    print_table(out, &t)?;
    let args = [
        ("shown", chosen.len().into()),
        ("n", c.movements.len().into()),
        ("version", c.version.as_str().into()),
    ];
    sentence(out, "", &speech.say("catalogue-count", &args))
}

fn page<'a>(speech: &Speech, c: &'a Catalogue, m: &'a Movement, text: Option<&'a Text>) -> Page<'a> {
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
                kind: speech.occasion(c, s.kind),
                reason: &s.reason,
            })
            .collect(),
        text,
    }
}

fn kit_of<'a>(c: &'a Catalogue, m: &Movement) -> Vec<Vec<&'a str>> {
    m.equipment.iter().map(|all| all.iter().map(|e| c.equipment[*e].id.as_str()).collect()).collect()
}

fn one(out: &mut impl Write, speech: &Speech, c: &Catalogue, id: &str, as_json: bool) -> Result<(), Failure> {
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
    if as_json {
        return json(out, &page(&Speech::new(Language::English), c, m, text));
    }
    writeln!(out, "{} ({})\n", speech.movement_in(c, id), id)?;
    labelled(out, speech, "page-pattern", &speech.pattern(&c.patterns[m.pattern].id))?;
    labelled(out, speech, "page-joints", &speech.english(&m.joint_actions.join(", ")))?;
    labelled(out, speech, "page-kit", &speech.ways(c, m, true))?;
    labelled(out, speech, "page-asks", &speech.asks_of(c, m))?;
    writeln!(out)?;
    if let Some(text) = text {
        print_text(out, speech, &texts, id, text)?;
    }
    let mut t = table_of(speech, &["head-trains", "", "head-why", "head-source"], &[]);
    for a in &m.trains {
        let (mut why, mut source) = (a.reason.clone(), a.source.clone());
        if let Some((second, from)) = &a.second {
            why = format!("{why}; {second}");
            source = format!("{source}; {from}");
        }
        t.add_row([
            speech.muscle(&c.muscles[a.muscle].id),
            speech.share(a.share),
            speech.english(&why),
            source,
        ]);
    }
    print_table(out, &t)?;
    writeln!(out)?;
    let mut t = table_of(speech, &["head-stand-in", "head-when", "head-why"], &[]);
    for s in c.find(id).into_iter().flat_map(|m| c.stand_ins_of(m)) {
        t.add_row([
            speech.movement_in(c, &c.movements[s.to].id),
            speech.occasion(c, s.kind),
            speech.english(&s.reason),
        ]);
    }
    print_table(out, &t)
}

/// Columns of the widest label of a page.
const LABEL: usize = 13;

fn labelled(out: &mut impl Write, speech: &Speech, key: &str, text: &str) -> Result<(), Failure> {
    sentence(out, &format!("{:LABEL$}", speech.say(key, &[])), text)
}

fn print_text(
    out: &mut impl Write,
    speech: &Speech,
    texts: &Texts,
    id: &str,
    text: &Text,
) -> Result<(), Failure> {
    for caution in speech.cautions(texts, id) {
        labelled(out, speech, "page-caution", &caution)?;
    }
    if let Some(bail_out) = speech.bail_out(texts, id) {
        labelled(out, speech, "page-bail-out", &bail_out)?;
    }
    let long = |key: &'static str, text: &str| (key, speech.english(text));
    let mut lines = vec![long("page-set-up", &text.set_up)];
    lines.extend(text.cues.iter().map(|cue| long("page-cue", cue)));
    lines.extend(text.faults.iter().map(|f| long("page-fault", &format!("{} - {}", f.fault, f.remedy))));
    lines.extend([
        long("page-range", &text.range),
        long("page-breathing", &text.breathing),
        long("page-easier", &text.easier),
        long("page-harder", &text.harder),
        ("page-source", text.source.clone()),
    ]);
    for (key, text) in lines {
        labelled(out, speech, key, &text)?;
    }
    writeln!(out)?;
    Ok(())
}
