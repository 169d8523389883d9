//! `plinth findings`: what the log adds up to, in sentences, tables and charts.

use crate::arguments::FindingsArguments;
use crate::chart::{self, On};
use crate::failure::Failure;
use crate::opening::open_existing;
use crate::output::{json, print_table, sentence, table_of};
use plinth_core::companion::{Findings, MovementFindings};
use plinth_core::words::Speech;
use plinth_core::words::findings::{FindingsWords, Page, chart as words};
use serde::Serialize;
use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Movements that are drawn.
const MOST_DRAWN: usize = 12;

#[derive(Serialize)]
struct Answer<'a> {
    findings: &'a Findings,
    said: &'a Page,
    charts: &'a [PathBuf],
}

pub(crate) fn run(speech: &Speech, a: &FindingsArguments) -> Result<(), Failure> {
    let (mut companion, at) = open_existing(speech, &a.record)?;
    let findings = companion.findings(&at)?;
    // The command speaks as it was asked to, whatever the record's setting.
    let mut speech = Speech::new(speech.language());
    speech.learn(companion.catalogue());
    let words = FindingsWords { speech: &speech, catalogue: companion.catalogue() };
    let page = words.page(&findings);
    let charts = match &a.charts {
        Some(folder) => draw(&speech, &findings, &page, folder, at.local().date_naive())?,
        None => Vec::new(),
    };
    let out = &mut io::stdout().lock();
    if a.show.json {
        return json(out, &Answer { findings: &findings, said: &page, charts: &charts });
    }
    print(out, &speech, &page)?;
    if let Some(folder) = &a.charts {
        let folder = folder.display().to_string();
        let args = [("n", charts.len().into()), ("folder", (&folder).into())];
        sentence(out, "", &speech.say("find-charts", &args))?;
    }
    Ok(())
}

fn print(out: &mut impl Write, speech: &Speech, page: &Page) -> Result<(), Failure> {
    sentence(out, "", &page.head)?;
    for note in &page.notes {
        sentence(out, "", note)?;
    }
    for m in &page.movements {
        writeln!(out, "\n{}", m.name)?;
        for told in &m.told {
            sentence(out, "  ", told)?;
        }
        if !m.bests.is_empty() {
            let mut t = table_of(speech, &["head-reps", "head-best", "head-day"], &[0, 1]);
            for best in &m.bests {
                t.add_row([&best.reps, &best.load, &best.day]);
            }
            print_table(out, &t)?;
        }
        for rests_on in &m.rests_on {
            sentence(out, "  - ", rests_on)?;
        }
    }
    if let Some(week) = &page.week {
        writeln!(out, "\n{}", week.head)?;
        let heads =
            ["head-muscle", "head-direct", "head-shared", "head-total", "head-aim", "", "head-before"];
        let mut t = table_of(speech, &heads, &[1, 2, 3]);
        for m in &week.muscles {
            let name = m.name.split(" (").next().unwrap_or_default();
            t.add_row([name, &m.direct, &m.shared, &m.total, &m.aim, &m.against, &m.before]);
        }
        print_table(out, &t)?;
        for note in &week.notes {
            sentence(out, "", note)?;
        }
    }
    for (head, told) in [("find-page-sessions", &page.sessions), ("find-page-body", &page.body)] {
        if !told.is_empty() {
            writeln!(out, "\n{}", speech.say(head, &[]))?;
            sentence(out, "  ", &told.join(" "))?;
        }
    }
    if !page.scores_of.is_empty() {
        writeln!(out, "\n{}", speech.say("find-page-scores", &[]))?;
        let heads = ["head-score", "head-points", "head-between", "head-read-in"];
        let mut t = table_of(speech, &heads, &[1]);
        for s in &page.scores {
            t.add_row([s.name.clone(), s.points.clone(), s.between.clone(), speech.english(&s.read_in)]);
        }
        print_table(out, &t)?;
        for told in &page.scores_of {
            sentence(out, "  ", told)?;
        }
    }
    writeln!(out)?;
    for source in &page.sources {
        sentence(out, "", source)?;
    }
    sentence(out, "", &speech.say("find-page-foot", &[]))
}

/// Draws the main movements, the week and body mass; says which files.
fn draw(
    speech: &Speech,
    f: &Findings,
    page: &Page,
    folder: &Path,
    today: chrono::NaiveDate,
) -> Result<Vec<PathBuf>, Failure> {
    let refused = |path: &Path, e: &io::Error| {
        Failure::Input(format!(
            "--charts: {} cannot be written ({e}); give a folder that may be written to.",
            path.display()
        ))
    };
    fs::create_dir_all(folder).map_err(|e| refused(folder, &e))?;
    let mut pictures: Vec<(String, String)> = Vec::new();
    let mut names = BTreeSet::new();
    for m in main_movements(f) {
        let Some(said) = page.movements.iter().find(|s| s.movement == m.movement) else { continue };
        let file = file_name(&m.movement, &mut names);
        let told = said.told.join(" ");
        if let Some(picture) = words::maximum(speech, &said.name, m, &told, today) {
            pictures.push((format!("{file}-maximum"), chart::field(On::File, &picture)));
        }
        if let Some(picture) = words::bests(speech, &said.name, m) {
            pictures.push((format!("{file}-bests"), chart::field(On::File, &picture)));
        }
    }
    if let Some(picture) = page.week.as_ref().and_then(|w| chart::week(On::File, speech, f, w)) {
        pictures.push(("weekly-sets".into(), picture));
    }
    if let Some(picture) = words::body(speech, f, &page.body.join(" "), today) {
        pictures.push(("body-mass".into(), chart::field(On::File, &picture)));
    }
    let mut paths = Vec::new();
    for (name, picture) in pictures {
        let path = folder.join(name + ".svg");
        fs::write(&path, picture).map_err(|e| refused(&path, &e))?;
        paths.push(path);
    }
    Ok(paths)
}

/// What carries the programme; without one, every movement.
fn main_movements(f: &Findings) -> impl Iterator<Item = &MovementFindings> {
    let any = f.movements.iter().any(|m| m.carrying);
    f.movements.iter().filter(move |m| m.carrying || !any).take(MOST_DRAWN)
}

/// A file name from an id of the record, which may hold anything.
fn file_name(id: &str, taken: &mut BTreeSet<String>) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '_' || c == '-' { c } else { '_' };
    let name: String = id.chars().take(60).map(plain).collect();
    let mut free = name.clone();
    let mut n = 2;
    while !taken.insert(free.to_ascii_lowercase()) {
        free = format!("{name}-{n}");
        n += 1;
    }
    free
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_name_stays_in_its_folder_and_is_given_once() {
        let mut taken = BTreeSet::new();
        assert_eq!(file_name("../../etc/passwd", &mut taken), "______etc_passwd");
        assert_eq!(file_name("a/b", &mut taken), "a_b");
        assert_eq!(file_name("a\\b", &mut taken), "a_b-2");
    }
}
