//! `plinth record`: the record's way in and out, its check, its backups.

use crate::arguments::{RecordArguments, RecordQuestion};
use crate::failure::Failure;
use crate::opening::{open, open_existing};
use crate::output::{json, sentence};
use crate::{input, moment};
use plinth_core::companion::Companion;
use plinth_core::plan::brief::{LARGEST_BRIEF_BYTES, read_brief};
use plinth_core::published;
use plinth_core::record::{MOST_BYTES, Refused};
use plinth_core::store::{Imported, Key, Store, system_random, unseal_with};
use plinth_core::words::{Arg, Speech};
use serde_json::json;
use std::fs::{self, File};
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

/// Entries that are merged at a time.
const PAGE: u32 = 500;
/// The most bytes of a file that holds 24 words.
const LARGEST_KEY_BYTES: usize = 4096;
/// The most bytes of a sealed backup.
const LARGEST_SEALED_BYTES: usize = 4 * 1024 * 1024 * 1024 - 1;
/// How a record file begins, as any SQLite file does.
const SQLITE: &[u8] = b"SQLite format 3\0";

pub(crate) fn run(speech: &Speech, a: &RecordArguments) -> Result<(), Failure> {
    match &a.question {
        RecordQuestion::Begin { record, brief, programme, starts_on } => {
            begin(speech, record, brief.as_deref(), programme.as_deref(), starts_on.as_deref())
        }
        RecordQuestion::Export { record, csv, output } => export(speech, record, *csv, output.as_deref()),
        RecordQuestion::Import { record, file, csv, show } => import(speech, record, file, *csv, show.json),
        RecordQuestion::Check { record, show } => check(speech, record, show.json),
        RecordQuestion::Merge { record, other, show } => merge(speech, record, other, show.json),
        RecordQuestion::Backup { record, to } => {
            let (companion, _) = open_existing(speech, record)?;
            unlike(record, to)?;
            companion.backup(to)?;
            wrote(speech, "record-backup", to, companion.store().count().map_err(companion_fault)?)
        }
        RecordQuestion::Restore { record, from } => restore(speech, record, from),
        RecordQuestion::Key { record } => {
            let (mut companion, at) = open_existing(speech, record)?;
            let words = companion.make_backup_key(&at)?;
            let out = &mut io::stdout().lock();
            writeln!(out, "{words}")?;
            sentence(out, "", &speech.say("record-key", &[]))
        }
        RecordQuestion::Seal { record, to } => seal(speech, record, to),
        RecordQuestion::Open { sealed, to, key } => unseal(speech, sealed, to, key),
        RecordQuestion::Erase { record, everything } => {
            let (companion, _) = open_existing(speech, record)?;
            if !everything {
                return Err(Failure::Input(
                    "--everything: erasing takes the record and every copy beside it that bears its name, for \
                     good; export or back up what you want to keep, then add --everything."
                        .into(),
                ));
            }
            companion.erase()?;
            say(speech, "record-erased", &[])
        }
    }
}

fn say(speech: &Speech, key: &str, args: &[(&str, Arg<'_>)]) -> Result<(), Failure> {
    sentence(&mut io::stdout().lock(), "", &speech.say(key, args))
}

fn companion_fault(e: plinth_core::store::StoreError) -> Failure {
    plinth_core::companion::CompanionError::from(e).into()
}

fn wrote(speech: &Speech, key: &str, to: &Path, entries: u64) -> Result<(), Failure> {
    let to = to.display().to_string();
    say(speech, key, &[("to", (&to).into()), ("n", entries.into())])
}

/// A copy onto the record itself would destroy it.
fn unlike(record: &Path, to: &Path) -> Result<(), Failure> {
    let same = fs::canonicalize(record).ok().zip(fs::canonicalize(to).ok()).is_some_and(|(a, b)| a == b);
    if same {
        return Err(Failure::Input(format!("TO: {} is the record itself; give another path.", to.display())));
    }
    Ok(())
}

/// Takes a brief and a programme into a record, which is made where it is not there.
fn begin(
    speech: &Speech,
    record: &Path,
    brief: Option<&Path>,
    programme: Option<&Path>,
    starts_on: Option<&str>,
) -> Result<(), Failure> {
    // Everything is read and checked before a file is made.
    let brief = brief.map(|p| input::read(p, LARGEST_BRIEF_BYTES)).transpose()?;
    if let Some(brief) = &brief {
        read_brief(brief, &input::catalogue()?)?;
    }
    let programme = programme.map(|p| input::read(p, published::LARGEST_BYTES)).transpose()?;
    if let Some(programme) = &programme {
        published::open(programme)?;
    }
    if brief.is_none() && programme.is_none() {
        return Err(Failure::Input(
            "--brief: nothing was given to begin with; give a brief, a programme or both.".into(),
        ));
    }
    let at = moment::now();
    let first = match starts_on {
        None => at.local().date_naive(),
        Some(text) => text.parse().map_err(|_| {
            Failure::Input(format!("--starts-on: {text:?} is no date; write it as 2026-05-03."))
        })?,
    };
    let mut companion = open(speech, record, &at)?;
    if let Some(brief) = &brief {
        companion.tell_brief(brief, &at)?;
        say(speech, "record-brief", &[])?;
    }
    if let Some(programme) = &programme {
        companion.take_on(programme, "own", first, &at)?;
        let day = speech.date_with_year(first);
        say(speech, "record-programme", &[("day", (&day).into())])?;
    }
    Ok(())
}

/// Writes a file that is whole or not there.
fn write_whole<T>(
    to: &Path,
    write: impl FnOnce(&mut BufWriter<File>) -> Result<T, Failure>,
) -> Result<T, Failure> {
    let mut name = to.file_name().unwrap_or_default().to_os_string();
    name.push(".part");
    let part = to.with_file_name(name);
    let made = (|| {
        let mut file = BufWriter::new(File::create(&part)?);
        let told = write(&mut file)?;
        file.into_inner().map_err(io::IntoInnerError::into_error)?.sync_all()?;
        fs::rename(&part, to)?;
        Ok(told)
    })();
    if made.is_err() {
        let _ = fs::remove_file(&part); // the fault that matters is the one told
    }
    made
}

/// Writes the record or its sets, and says how many.
fn all(companion: &Companion, csv: bool, out: &mut impl Write) -> Result<u64, Failure> {
    let mut told = Flagged { out, fault: None };
    let count = if csv { companion.export_csv(&mut told) } else { companion.export_json(&mut told) };
    match (count, told.fault) {
        // What the reader of our output did is not a fault of the record.
        (Err(_), Some(fault)) => Err(Failure::Output(fault)),
        (count, _) => Ok(count?),
    }
}

fn export(speech: &Speech, record: &Path, csv: bool, output: Option<&Path>) -> Result<(), Failure> {
    let (companion, _) = open_existing(speech, record)?;
    match output {
        None => {
            let mut out = BufWriter::new(io::stdout().lock());
            all(&companion, csv, &mut out)?;
            Ok(out.flush()?)
        }
        Some(to) => {
            unlike(record, to)?;
            let count = write_whole(to, |out| all(&companion, csv, out))?;
            wrote(speech, if csv { "record-exported-sets" } else { "record-exported" }, to, count)
        }
    }
}

/// Remembers the fault of a writer, which the store would tell as its own.
struct Flagged<'a, W> {
    out: &'a mut W,
    fault: Option<io::Error>,
}

impl<W: Write> Write for Flagged<'_, W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.out.write(bytes).inspect_err(|e| self.fault = Some(e.kind().into()))
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush().inspect_err(|e| self.fault = Some(e.kind().into()))
    }
}

fn import(speech: &Speech, record: &Path, file: &Path, csv: bool, as_json: bool) -> Result<(), Failure> {
    let bytes = input::read(file, usize::try_from(MOST_BYTES).unwrap_or(usize::MAX))?;
    let (mut companion, at) = open_existing(speech, record)?;
    let imported =
        if csv { companion.import_csv(&bytes, &at)? } else { companion.import_json(&bytes, &at)? };
    told(speech, &imported, as_json)
}

/// What an import did; refused entries end with exit code 2, though the others were taken.
fn told(speech: &Speech, imported: &Imported, as_json: bool) -> Result<(), Failure> {
    let out = &mut io::stdout().lock();
    if as_json {
        json(out, imported)?;
    } else {
        let args = [("taken", imported.taken.into()), ("changed", imported.changed.into())];
        sentence(out, "", &speech.say("record-imported", &args))?;
    }
    let refused = |r: &Refused| {
        let line = r.line.to_string();
        let field = r.field.as_deref().unwrap_or("-");
        let entry = r.entry.as_deref().unwrap_or("-");
        let (reason, remedy) = (speech.english(&r.reason), speech.english(&r.remedy));
        let args = [
            ("line", (&line).into()),
            ("entry", entry.into()),
            ("field", field.into()),
            ("reason", (&reason).into()),
            ("remedy", (&remedy).into()),
        ];
        speech.say("record-refused", &args)
    };
    if imported.refused.is_empty() {
        return Ok(());
    }
    for r in &imported.refused {
        eprintln!("{}", refused(r));
    }
    let n = imported.refused.len();
    Err(Failure::Told(speech.say("record-refused-count", &[("n", n.into())])))
}

fn check(speech: &Speech, record: &Path, as_json: bool) -> Result<(), Failure> {
    let (companion, _) = open_existing(speech, record)?;
    let checked = companion.check()?;
    if as_json {
        json(&mut io::stdout().lock(), &checked)?;
    }
    match checked.first_fault() {
        Some(fault) => {
            let fault = speech.english(&fault);
            Err(Failure::Damaged(speech.say("record-check-bad", &[("fault", (&fault).into())])))
        }
        None if as_json => Ok(()),
        None => say(speech, "record-check-good", &[("n", checked.entries.into())]),
    }
}

fn merge(speech: &Speech, record: &Path, other: &Path, as_json: bool) -> Result<(), Failure> {
    let is_record = {
        let mut head = [0; SQLITE.len()];
        let mut file = File::open(other).map_err(|e| {
            Failure::Input(format!(
                "OTHER: {} cannot be read ({e}); give a record or an export.",
                other.display()
            ))
        })?;
        file.read_exact(&mut head).is_ok() && head == SQLITE
    };
    if !is_record {
        return import(speech, record, other, false, as_json);
    }
    unlike(record, other)?;
    let (mut companion, at) = open_existing(speech, record)?;
    let other = Store::open(other, &at, &mut system_random).map_err(companion_fault)?.store;
    let (mut taken, mut changed, mut after) = (0_u64, 0_u64, None);
    loop {
        let page = other.all(after, PAGE).map_err(companion_fault)?;
        let Some(last) = page.last() else { break };
        after = Some(last.id);
        taken += page.len() as u64;
        changed += companion.merge(&page)? as u64;
    }
    companion.read_again(&at)?;
    if as_json {
        return json(&mut io::stdout().lock(), &json!({ "taken": taken, "changed": changed, "refused": [] }));
    }
    say(speech, "record-imported", &[("taken", taken.into()), ("changed", changed.into())])
}

fn restore(speech: &Speech, record: &Path, from: &Path) -> Result<(), Failure> {
    if !from.is_file() {
        return Err(Failure::Input(format!(
            "FROM: there is no backup at {}; give the path of one.",
            from.display()
        )));
    }
    unlike(record, from)?;
    let at = moment::now();
    let was_there = record.is_file();
    let (_, entries, replaced) = open(speech, record, &at)?.restore(from, &at)?;
    wrote(speech, "record-restored", record, entries)?;
    if was_there {
        let aside = replaced.display().to_string();
        return say(speech, "record-replaced", &[("aside", (&aside).into())]);
    }
    // What was replaced is the empty record that was made on the way.
    Ok(fs::remove_file(replaced)?)
}

fn seal(speech: &Speech, record: &Path, to: &Path) -> Result<(), Failure> {
    let (mut companion, at) = open_existing(speech, record)?;
    unlike(record, to)?;
    let Some(due) = companion.backup_for_key() else {
        return Err(Failure::Input(
            "RECORD: it has no key to seal for; make one with `plinth record key` and keep its words.".into(),
        ));
    };
    companion.make_backup(&due, to, &at)?;
    wrote(speech, "record-sealed", to, companion.store().count().map_err(companion_fault)?)
}

fn unseal(speech: &Speech, sealed: &Path, to: &PathBuf, key: &Path) -> Result<(), Failure> {
    let words = input::read(key, LARGEST_KEY_BYTES)?;
    let key = Key::of_words(&String::from_utf8_lossy(&words)).map_err(companion_fault)?;
    let plain = unseal_with(&input::read(sealed, LARGEST_SEALED_BYTES)?, &key).map_err(companion_fault)?;
    let mut file = File::create_new(to).map_err(|e| {
        Failure::Input(format!("TO: {} cannot be made ({e}); give a path where nothing is.", to.display()))
    })?;
    file.write_all(&plain)?;
    file.sync_all()?;
    let to = to.display().to_string();
    say(speech, "record-opened", &[("to", (&to).into())])
}
