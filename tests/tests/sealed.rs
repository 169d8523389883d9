//! Sealed backups as a shell makes and restores them: when one is due, which words open it, and that a record which
//! cannot be replaced is as it was.

#![allow(clippy::expect_used, clippy::unwrap_used, missing_docs)] // a test may stop at what should not be

use plinth_core::companion::{Event, Screen};
use plinth_core::moment::Moment;
use plinth_core::page::{PageEvent, Place, Spot};
use plinth_core::words::Language;
use plinth_ffi::{PlinthCompanion, PlinthError};
use plinth_tests::faults::Folder;
use std::path::Path;
use std::sync::Arc;

const HOUR: i64 = 3600;
const BRIEF: &str = include_str!("../../server/data/example-brief.json");

fn at(seconds: i64) -> Moment {
    Moment {
        wall_ms: 1_777_800_000_000 + seconds * 1000,
        offset_min: 120,
        monotonic_ms: 1_000_000 + seconds.unsigned_abs() * 1000,
        boot: "b".into(),
    }
}

fn text(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn open(path: &Path) -> Arc<PlinthCompanion> {
    PlinthCompanion::open(text(path), Language::English, &at(0), None, None).expect("it opens")
}

fn code(e: &PlinthError) -> &str {
    let (PlinthError::Input { code, .. }
    | PlinthError::Store { code, .. }
    | PlinthError::Defect { code, .. }) = e;
    code
}

#[test]
fn a_backup_is_sealed_where_one_is_due_or_where_it_is_asked_for() {
    let folder = Folder::new();
    let c = open(&folder.file("record.plinth"));
    let to = folder.file("copy.age");
    let seal = |now: bool, hours: i64| c.seal_backup(&text(&to), now, &at(hours * HOUR)).unwrap();
    assert!(!c.has_backup_key(&at(0)).unwrap());
    assert!(!seal(false, 0) && !seal(true, 0), "there is no key");
    assert!(!to.exists());
    c.make_backup_key(&at(0)).unwrap();
    assert!(c.has_backup_key(&at(0)).unwrap());
    assert!(seal(false, 1) && to.exists());
    std::fs::remove_file(&to).unwrap();
    assert!(!seal(false, 24), "a day has not passed");
    assert!(!to.exists());
    assert!(seal(true, 24) && to.exists());
    assert!(!seal(false, 47) && seal(false, 48), "a day after the last");
}

#[test]
fn a_backup_comes_back_with_its_words_and_not_with_others() {
    let folder = Folder::new();
    let (path, to) = (folder.file("record.plinth"), folder.file("copy.age"));
    let c = open(&path);
    let words = c.make_backup_key(&at(0)).unwrap();
    c.tell_brief(BRIEF, &at(1)).unwrap();
    assert!(c.seal_backup(&text(&to), false, &at(2)).unwrap());
    // The copy is of the moment before it is noted that there is one.
    let other = open(&folder.file("other.plinth"));
    let others = other.make_backup_key(&at(0)).unwrap();
    other.dispatch(&Event::Page(PageEvent::Place { place: Place::Locker }), &at(1)).unwrap();
    let (before, screen) = (other.digest(&at(1)).unwrap(), other.screen(&at(1)).unwrap());
    let short = words.rsplit_once(' ').unwrap().0.to_owned();
    for wrong in [others.as_str(), short.as_str(), "", "zebra"] {
        let refused = other.restore(&text(&to), wrong, &at(3)).unwrap_err();
        assert_eq!(code(&refused), "store_sealed", "{refused}");
        assert!(matches!(refused, PlinthError::Input { .. }));
    }
    let torn = folder.file("torn.age");
    std::fs::write(&torn, &std::fs::read(&to).unwrap()[..2000]).unwrap();
    assert_eq!(code(&other.restore(&text(&torn), &words, &at(3)).unwrap_err()), "store_sealed");
    // What opens and is no record: sealed for the same key, and refused after it was opened.
    let stranger = folder.file("stranger.age");
    let recipient = plinth_core::store::Key::of_words(&words).unwrap().recipient();
    std::fs::write(&stranger, plinth_core::store::seal_for(&[7; 9000], &recipient).unwrap()).unwrap();
    assert!(other.restore(&text(&stranger), &words, &at(3)).is_err());
    assert_eq!(other.digest(&at(4)).unwrap(), before, "nothing has changed");
    assert_eq!(other.screen(&at(1)).unwrap(), screen);

    let typed = format!("  {}\n", words.to_uppercase().replace(' ', "\n"));
    let restored = other.restore(&text(&to), &typed, &at(5)).unwrap();
    assert!(restored.entries > 0);
    assert_ne!(other.digest(&at(6)).unwrap(), before);
    assert!(matches!(other.screen(&at(6)).unwrap(), Screen::Floor(_)));
    let replaced = open(Path::new(&restored.replaced));
    assert_eq!(replaced.digest(&at(6)).unwrap(), before, "the old one was kept aside");
    // It is open and goes on: the key is the one it was made with.
    assert!(other.seal_backup(&text(&folder.file("again.age")), true, &at(7)).unwrap());
    let third = open(&folder.file("third.plinth"));
    third.restore(&text(&folder.file("again.age")), &words, &at(8)).unwrap();
    third.dispatch(&Event::Page(PageEvent::Open { spot: Spot::Backup }), &at(9)).unwrap();
    let plain = |name: &str| [".unsealed", ".sealing", ".part"].iter().any(|end| name.ends_with(end));
    let left = std::fs::read_dir(path.parent().unwrap()).unwrap();
    let left: Vec<String> = left.map(|f| f.unwrap().file_name().to_string_lossy().into_owned()).collect();
    assert!(!left.iter().any(|f| plain(f)), "no open copy stays: {left:?}");
    other.shut_down();
    assert_eq!(code(&other.restore(&text(&to), &words, &at(9)).unwrap_err()), "shut_down");
}

#[test]
fn the_programme_goes_out_as_what_another_record_takes_on() {
    let folder = Folder::new();
    let c = open(&folder.file("record.plinth"));
    let to = text(&folder.file("programme.json"));
    assert!(!c.export_programme(&to, &at(0)).unwrap(), "none runs");
    assert!(!Path::new(&to).exists());
    c.dispatch(&Event::Page(PageEvent::Place { place: Place::Week }), &at(1)).unwrap();
    let made = PageEvent::Do { deed: plinth_core::page::Deed::MakeWeek };
    assert_eq!(c.dispatch(&Event::Page(made), &at(1)).unwrap().refused, None);
    assert!(c.export_programme(&to, &at(2)).unwrap());
    let document = std::fs::read_to_string(&to).unwrap();
    let other = open(&folder.file("other.plinth"));
    other.take_on(&document, "own", &at(3)).unwrap();
    let back = folder.file("back.json");
    assert!(other.export_programme(&text(&back), &at(4)).unwrap());
    assert_eq!(std::fs::read_to_string(&back).unwrap(), document);
}
