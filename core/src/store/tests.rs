use super::*;
use crate::record::{Edit, LoadDone, Outcome, Quantity, ReserveDone, SessionFields, SetFields, Time, View};
use proptest::prelude::*;
use serde_json::json;
use std::collections::BTreeMap;
use std::fs;

/// A folder that is removed with its contents.
pub(super) struct Folder(PathBuf);

impl Folder {
    pub(super) fn new() -> Self {
        let mut bits = [0; 8];
        assert!(system_random(&mut bits));
        let path = std::env::temp_dir().join(format!("plinth-store-{:016x}", u64::from_be_bytes(bits)));
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub(super) fn file(&self) -> PathBuf {
        self.0.join("record.plinth")
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn at(wall_ms: i64) -> Moment {
    Moment { wall_ms: 1_777_800_000_000 + wall_ms, offset_min: 120, monotonic_ms: 0, boot: "b".into() }
}

fn open(folder: &Folder) -> Store {
    let opened = Store::open(&folder.file(), &at(0), &mut system_random).unwrap();
    assert_eq!(opened.recovered, None);
    opened.store
}

fn id(n: u64) -> EntryId {
    EntryId::new(n, [1; 10])
}

fn mass(text: &str) -> Quantity {
    text.parse().unwrap()
}

fn set(n: u64, movement: &str, load: &str, reps: u32) -> Edit {
    SetFields {
        session: Some(id(900 + n / 4)),
        movement: Some(movement.into()),
        load: Some(LoadDone::Bar { mass: mass(load) }),
        amount: Some(reps),
        reserve: Some(ReserveDone::Reps(u32::try_from(n % 7).unwrap())),
        ended_at: Some(Time::of(&at(i64::try_from(n).unwrap() * 3_600_000 * 9))),
        ..SetFields::default()
    }
    .edit(id(n))
}

#[test]
fn what_is_written_is_there_after_opening_again() {
    let folder = Folder::new();
    let mut store = open(&folder);
    let device = store.device();
    let written = store
        .write(&[set(1, "barbell_back_squat", "80 kg", 5)], Some(Keep::Whole("{\"line\":2}")), &at(1))
        .unwrap();
    store.write(&[], Some(Keep::Step("[1]")), &at(1)).unwrap();
    store.write(&[], Some(Keep::Step("[2]")), &at(1)).unwrap();
    drop(store);
    let store = open(&folder);
    assert_eq!(store.device(), device);
    assert_eq!(store.entry(&id(1)).unwrap().as_ref(), Some(&written[0]));
    let kept = Session { whole: "{\"line\":2}".into(), steps: vec!["[1]".into(), "[2]".into()] };
    assert_eq!(store.session().unwrap(), Some(kept));
    assert_eq!(store.pending(None, 10).unwrap(), written);
    assert_eq!(store.check().unwrap().first_fault(), None);
}

#[test]
fn an_edit_exceeds_what_it_replaces_after_the_clock_went_back_and_the_process_ended() {
    let folder = Folder::new();
    let first = open(&folder).write(&[set(1, "row", "60 kg", 8)], None, &at(3_600_000)).unwrap().remove(0);
    let note = Edit { id: id(1), kind: Kind::Set, fields: BTreeMap::from([("amount".into(), json!(9))]) };
    let second = open(&folder).write(&[note], None, &at(-3_600_000)).unwrap().remove(0);
    assert!(second.fields["amount"].stamp > first.fields["amount"].stamp);
}

#[test]
fn a_wrong_edit_writes_none_of_them() {
    let folder = Folder::new();
    let mut store = open(&folder);
    let wrong = set(2, "row", "60 kg", 8).with("amount", json!("many"));
    let fault = store.write(&[set(1, "row", "60 kg", 8), wrong], Some(Keep::Whole("x")), &at(1)).unwrap_err();
    assert_eq!(fault.code(), "field_type");
    assert!(fault.to_string().contains("amount"), "{fault}");
    assert_eq!(store.count().unwrap(), 0);
    assert_eq!(store.session().unwrap(), None);
    let other = Edit { kind: Kind::Note, ..Edit::delete(id(1), Kind::Note) };
    store.write(&[set(1, "row", "60 kg", 8)], None, &at(1)).unwrap();
    assert_eq!(store.write(&[other], None, &at(2)).unwrap_err().code(), "entry_kind");
}

#[test]
fn the_sums_say_what_was_done() {
    let folder = Folder::new();
    let mut store = open(&folder);
    let session =
        SessionFields { begun_at: Some(Time::of(&at(0))), ..SessionFields::default() }.edit(id(900));
    let missed = SetFields { outcome: Some(Outcome::Missed), ..SetFields::default() }.edit(id(3)).fields;
    let mut third = set(3, "squat", "120 kg", 5);
    third.fields.extend(missed);
    let edits = [
        session,
        set(1, "squat", "100 kg", 5),
        set(2, "squat", "225 lb", 5),
        third,
        set(6, "squat", "90 kg", 8),
    ];
    store.write(&edits, None, &at(1)).unwrap();
    let sum = store.sums().movement("squat").unwrap().unwrap();
    assert_eq!((sum.sets, sum.last_session), (4, Some(id(901))));
    // 225 lb is 102.06 kg; the missed set is none.
    let bests: Vec<_> =
        store.sums().bests("squat").unwrap().into_iter().map(|b| (b.repetitions, b.mass)).collect();
    assert_eq!(bests, [(5, "225 lb".to_owned()), (8, "90 kg".to_owned())]);
    let weeks = store.sums().weeks("2026-W01", "2026-W53").unwrap();
    assert_eq!(weeks.iter().map(|w| w.working).sum::<u32>(), 4);
    // Reserves 1, 2, 3 and 6.
    assert_eq!(weeks.iter().map(|w| w.hard).sum::<u32>(), 3);
    assert_eq!(store.sums().sessions("2026-W01", "2026-W53").unwrap().len(), 1);
    store.write(&[Edit::delete(id(2), Kind::Set), Edit::delete(id(6), Kind::Set)], None, &at(2)).unwrap();
    let bests: Vec<_> =
        store.sums().bests("squat").unwrap().into_iter().map(|b| (b.repetitions, b.mass)).collect();
    assert_eq!(bests, [(5, "100 kg".to_owned())]);
    assert_eq!(store.sums().movement("squat").unwrap().unwrap().last_session, Some(id(900)));
    assert_eq!(store.check().unwrap().first_fault(), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn the_sums_always_agree_with_the_entries(steps in prop::collection::vec(
        (0u64..8, prop::sample::select(vec!["squat", "row"]), prop::sample::select(vec!["80 kg", "100 kg", "220 lb"]),
         prop::sample::select(vec![5u32, 8]), 0u8..6), 1..40)) {
        let folder = Folder::new();
        let mut store = open(&folder);
        for (k, (n, movement, load, reps, what)) in steps.into_iter().enumerate() {
            let edit = match what {
                0 => Edit::delete(id(n), Kind::Set),
                1 => set(n, movement, load, reps).with("purpose", json!("warm_up")),
                2 => set(n, movement, load, reps).with("outcome", json!("missed")),
                _ => set(n, movement, load, reps),
            };
            store.write(&[edit], None, &at(i64::try_from(k).unwrap())).unwrap();
        }
        prop_assert!(store.check().unwrap().sums_agree);
    }
}

#[test]
fn the_hot_queries_use_their_indexes() {
    let folder = Folder::new();
    let store = open(&folder);
    let plan = |query: &str| -> String {
        let mut statement =
            store.db.prepare(&format!("EXPLAIN QUERY PLAN {}", query.replace("{}", "id, body"))).unwrap();
        let marks = statement.parameter_count();
        let given: Vec<i64> = vec![1; marks];
        let rows =
            statement.query_map(rusqlite::params_from_iter(given), |row| row.get::<_, String>(3)).unwrap();
        rows.map(Result::unwrap).collect::<Vec<_>>().join("; ")
    };
    for (query, index) in [
        (rows::OF_KIND, "entry_by_kind (kind=? AND id>?)"),
        (rows::OF_SESSION, "set_by_session (session=?)"),
        (rows::OF_MOVEMENT, "set_by_movement (movement=?)"),
        (rows::SETS, "sqlite_autoindex_entry_1 (id>?)"),
        (rows::ALL, "sqlite_autoindex_entry_1 (id>?)"),
        ("SELECT {} FROM entry WHERE id = ?1", "sqlite_autoindex_entry_1 (id=?)"),
    ] {
        let plan = plan(query);
        assert!(plan.contains(index), "{query}: {plan}");
        assert!(!plan.contains("SCAN") && !plan.contains("TEMP B-TREE"), "{query}: {plan}");
    }
    for query in [
        "SELECT sets FROM movement_sum WHERE movement = ?1",
        "SELECT mass FROM best WHERE movement = ?1 ORDER BY load_of, repetitions",
        "SELECT working FROM week_sum WHERE week BETWEEN ?1 AND ?2 ORDER BY week, movement",
    ] {
        let plan = plan(query);
        assert!(plan.contains("USING PRIMARY KEY") && !plan.contains("TEMP"), "{plan}");
    }
}

#[test]
fn a_newer_file_is_left_as_it_is() {
    let folder = Folder::new();
    drop(open(&folder));
    let newer = |version: i64| {
        let db = Connection::open(folder.file()).unwrap();
        db.pragma_update(None, "user_version", version).unwrap();
    };
    newer(LATEST + 1);
    let before = fs::read(folder.file()).unwrap();
    let fault = Store::open(&folder.file(), &at(0), &mut system_random).unwrap_err();
    assert!(matches!(fault, StoreError::Newer { found, ours: LATEST } if found == LATEST + 1), "{fault}");
    assert!(fs::read(folder.file()).unwrap() == before, "the file was touched");
    assert_eq!(fs::read_dir(&folder.0).unwrap().count(), 1);
}

#[test]
fn another_programs_file_is_left_as_it_is() {
    let folder = Folder::new();
    fs::write(folder.file(), "not a database at all, but someone's diary").unwrap();
    let fault = Store::open(&folder.file(), &at(0), &mut system_random).unwrap_err();
    assert_eq!(fault.code(), "store_not_a_record");
    assert!(fs::read_to_string(folder.file()).unwrap().contains("diary"));
    fs::remove_file(folder.file()).unwrap();
    Connection::open(folder.file()).unwrap().execute_batch("CREATE TABLE diary (day TEXT)").unwrap();
    let before = fs::read(folder.file()).unwrap();
    let fault = Store::open(&folder.file(), &at(0), &mut system_random).unwrap_err();
    assert_eq!(fault.code(), "store_not_a_record");
    assert!(fs::read(folder.file()).unwrap() == before, "the file was touched");
}

#[test]
fn a_second_opening_is_told_that_the_record_is_busy() {
    let folder = Folder::new();
    let _first = open(&folder);
    let fault = Store::open(&folder.file(), &at(0), &mut system_random).unwrap_err();
    assert_eq!(fault.code(), "store_busy");
}

#[test]
fn f5_a_disk_that_fills_at_any_page_is_called_full_and_changes_nothing() {
    let folder = Folder::new();
    let mut store = open(&folder);
    store.write(&[set(1, "squat", "80 kg", 5)], None, &at(1)).unwrap();
    let (digest, device) = (store.digest().unwrap(), store.clock.last());
    let pages: i64 = store.db.pragma_query_value(None, "page_count", |r| r.get(0)).unwrap();
    let limit = |store: &Store, pages: i64| {
        store.db.query_row(&format!("PRAGMA max_page_count = {pages}"), [], |_| Ok(())).unwrap();
    };
    let long = |n: u64| set(n, "squat", "80 kg", 5).with("note", json!("x".repeat(6_000)));
    let edits: Vec<Edit> = (2..8).map(long).collect();
    let mut failed = 0;
    for more in 0..1_000 {
        limit(&store, pages + more);
        match store.write(&edits, Some(Keep::Whole("{\"line\":1}")), &at(2)) {
            Ok(_) => break,
            Err(fault) => assert_eq!(fault.code(), "store_disk_full"),
        }
        failed += 1;
        assert_eq!((store.digest().unwrap(), store.clock.last()), (digest, device));
        assert_eq!(store.session().unwrap(), None);
    }
    assert!(failed > 5, "{failed}");
    assert_eq!(store.count().unwrap(), 7);
    assert_eq!(store.check().unwrap().first_fault(), None);
    println!("F5: {failed} failures at ever later pages, told as a full disk, nothing changed");
}

#[test]
fn a_restored_record_is_equal_and_another_device() {
    let folder = Folder::new();
    let mut store = open(&folder);
    let edits: Vec<Edit> = (0..50).map(|n| set(n, "squat", "80 kg", 5)).collect();
    store.write(&edits, None, &at(1)).unwrap();
    let (digest, device) = (store.digest().unwrap(), store.device());
    let kept = folder.0.join("kept");
    store.backup(&kept).unwrap();
    store.write(&[Edit::delete(id(3), Kind::Set)], None, &at(2)).unwrap();
    let restored = store.restore(&kept, &at(3), &mut system_random).unwrap();
    assert_eq!(restored.entries, 50);
    assert_eq!(restored.store.digest().unwrap(), digest);
    assert_ne!(restored.store.device(), device);
    assert!(restored.replaced.exists());
    assert_eq!(restored.store.pending(None, 100).unwrap().len(), 50);
    // A backup that is not good leaves the record as it is.
    let mut bytes = fs::read(&kept).unwrap();
    let text = bytes.windows(5).position(|w| w == b"80 kg").unwrap();
    bytes[text] = b'9';
    fs::write(&kept, bytes).unwrap();
    let fault = restored.store.restore(&kept, &at(4), &mut system_random).unwrap_err();
    assert_eq!(fault.code(), "store_damaged");
    assert_eq!(open(&folder).digest().unwrap(), digest);
}

#[test]
fn a_swap_that_was_cut_short_is_finished() {
    let folder = Folder::new();
    let mut store = open(&folder);
    store.write(&[set(1, "squat", "80 kg", 5)], None, &at(1)).unwrap();
    let digest = store.digest().unwrap();
    store.backup(&files::fresh(&folder.file())).unwrap();
    drop(store);
    // Killed after the old file was set aside, before the new one took its place.
    fs::rename(folder.file(), folder.0.join("record.plinth.damaged-1")).unwrap();
    fs::write(folder.0.join("record.plinth-wal"), "the log of the other file").unwrap();
    assert_eq!(open(&folder).digest().unwrap(), digest);
    // Killed while the new one was being made.
    fs::write(files::fresh(&folder.file()), "half").unwrap();
    assert_eq!(open(&folder).digest().unwrap(), digest);
    assert!(!files::fresh(&folder.file()).exists());
}

#[test]
fn an_import_takes_the_good_and_never_overwrites_the_newer() {
    let (folder, other) = (Folder::new(), Folder::new());
    let mut store = open(&folder);
    store.write(&(0..20).map(|n| set(n, "squat", "80 kg", 5)).collect::<Vec<_>>(), None, &at(1)).unwrap();
    let mut json_file = Vec::new();
    assert_eq!(store.export_json(&mut json_file).unwrap(), 20);
    let mut csv_file = Vec::new();
    assert_eq!(store.export_csv(&mut csv_file).unwrap(), 20);
    let digest = store.digest().unwrap();
    let mut copy = open(&other);
    assert_eq!(copy.import_json(&json_file).unwrap().changed, 20);
    assert_eq!(copy.digest().unwrap(), digest);
    assert_eq!(copy.import_json(&json_file).unwrap().changed, 0);
    drop(copy);
    let third = Folder::new();
    let mut from_csv = open(&third);
    let imported = from_csv.import_csv(&csv_file, &at(2), &mut system_random).unwrap();
    assert_eq!((imported.changed, imported.refused.len()), (20, 0));
    assert_eq!(from_csv.digest().unwrap(), digest);
    // Newer here: the file does not bring the old value back.
    store.write(&[set(4, "squat", "85 kg", 5)], None, &at(3)).unwrap();
    let newer = store.digest().unwrap();
    assert_eq!(store.import_json(&json_file).unwrap().changed, 0);
    assert_eq!(store.import_csv(&csv_file, &at(4), &mut system_random).unwrap().changed, 0);
    assert_eq!(store.digest().unwrap(), newer);
    // Changed in a spreadsheet: an edit of now, unless the record has a newer one.
    let edited = String::from_utf8(csv_file).unwrap().replace("bar 80 kg", "bar 82.5 kg");
    assert_eq!(store.import_csv(edited.as_bytes(), &at(5), &mut system_random).unwrap().changed, 19);
    let load = |n| store.entry(&id(n)).unwrap().unwrap().fields["load"].value.text().to_owned();
    assert!(load(3).contains("82.5 kg") && load(4).contains("85 kg"));
    // By hand, without identity.
    let by_hand = "movement,amount,load\nsquat,3,bar 100 kg\nsquat,many,bar 100 kg\n";
    let imported = store.import_csv(by_hand.as_bytes(), &at(6), &mut system_random).unwrap();
    assert_eq!((imported.taken, imported.refused[0].line), (1, 3));
    assert_eq!(store.check().unwrap().first_fault(), None);
}

#[test]
fn what_the_server_has_does_not_wait() {
    let (folder, other) = (Folder::new(), Folder::new());
    let (mut here, mut there) = (open(&folder), open(&other));
    let theirs = there.write(&[set(1, "squat", "80 kg", 5)], None, &at(1)).unwrap();
    let from_server = || Received { entries: theirs.clone(), ..Received::default() };
    here.receive(&from_server(), "{}").unwrap();
    assert!(here.pending(None, 9).unwrap().is_empty());
    let note = Edit { id: id(1), kind: Kind::Set, fields: BTreeMap::from([("note".into(), json!("slow"))]) };
    let mine = here.write(std::slice::from_ref(&note), None, &at(-9_000_000)).unwrap().remove(0);
    here.receive(&from_server(), "{}").unwrap();
    let sent = here.pending(None, 9).unwrap();
    assert_eq!(sent, [mine]);
    // Written again while it was on its way.
    here.write(&[note.with("note", json!("fast"))], None, &at(2)).unwrap();
    let took = |digest| Received { took: vec![(id(1), digest)], ..Received::default() };
    here.receive(&took(sent[0].digest()), "{}").unwrap();
    let again = here.pending(None, 9).unwrap();
    assert_eq!(again.len(), 1);
    here.receive(&took(again[0].digest()), "{}").unwrap();
    assert!(here.pending(None, 9).unwrap().is_empty());
}

#[test]
fn a_stamp_of_another_year_is_made_anew_by_the_servers_clock_and_does_not_win_for_ever() {
    let folder = Folder::new();
    let mut store = open(&folder);
    let ahead = store.write(&[set(1, "squat", "80 kg", 5)], None, &at(4_000_000_000)).unwrap().remove(0);
    let server_ms = 1_800_000_000_000;
    let received =
        Received { ahead: vec![id(1)], server_ms, most_ms: server_ms + 300_000, ..Received::default() };
    store.receive(&received, "{}").unwrap();
    let now = store.entry(&id(1)).unwrap().unwrap();
    assert!(now.fields.values().all(|f| f.stamp.millis < server_ms + 300_000));
    assert_eq!(now.fields.len(), ahead.fields.len());
    assert!(now.fields.iter().all(|(n, f)| f.value == ahead.fields[n].value));
    assert_eq!(store.pending(None, 9).unwrap().len(), 1);
    let moment = Moment { wall_ms: server_ms as i64 + 1000, ..at(0) };
    let note = Edit { id: id(1), kind: Kind::Set, fields: BTreeMap::from([("note".into(), json!("now"))]) };
    let edited = store.write(&[note], None, &moment).unwrap().remove(0);
    assert!(edited.last_written().unwrap().millis <= server_ms + 1000, "the clock came back too");
    assert_eq!(store.check().unwrap().first_fault(), None);
}

#[test]
fn erasing_leaves_nothing() {
    let folder = Folder::new();
    let mut store = open(&folder);
    store.write(&[set(1, "squat", "80 kg", 5)], None, &at(1)).unwrap();
    store.backup(&folder.0.join("record.plinth.version-1")).unwrap();
    fs::write(folder.0.join("another.file"), "stays").unwrap();
    store.erase().unwrap();
    let left: Vec<_> = fs::read_dir(&folder.0).unwrap().map(|f| f.unwrap().file_name()).collect();
    assert_eq!(left, ["another.file"]);
}

#[test]
fn an_older_file_comes_up_to_date_with_a_backup() {
    let folder = Folder::new();
    let frozen = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/data/store/version-1.plinth");
    fs::copy(frozen, folder.file()).unwrap();
    let opened = Store::open(&folder.file(), &at(0), &mut system_random).unwrap();
    let backup = opened.backup.unwrap();
    assert_eq!(fs::read(backup).unwrap().len(), fs::read(frozen).unwrap().len());
    assert_eq!(opened.store.check().unwrap().first_fault(), None);
    assert_eq!(opened.store.count().unwrap(), 25);
    assert_eq!(opened.store.pending(None, 100).unwrap().len(), 25);
    assert_eq!(opened.store.sums().movement("squat").unwrap().unwrap().sets, 24);
    assert_eq!(opened.store.session().unwrap().map(|s| s.whole).as_deref(), Some("{\"line\":1}"));
}

#[test]
fn the_schema_is_the_frozen_one() {
    for version in 1..=LATEST {
        let mut db = Connection::open_in_memory().unwrap();
        migrate::make(&mut db, usize::try_from(version).unwrap()).unwrap();
        let mut statement =
            db.prepare("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name").unwrap();
        let lines: Vec<String> =
            statement.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        let found = lines.join(";\n\n") + ";\n";
        let path = format!("{}/../tests/data/store/schema-{version}.sql", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("PLINTH_FREEZE").is_some() && !Path::new(&path).exists() {
            fs::write(&path, &found).unwrap();
        }
        assert_eq!(
            fs::read_to_string(&path).unwrap_or_default(),
            found,
            "a released schema is never changed: add a migration"
        );
    }
}

/// SHA-256 of the snapshot in the small files (`printf '{"line":1}' | sha256sum`).
const FLOOR_DIGEST: [u8; 32] = [
    0xf8, 0xc7, 0x08, 0xb9, 0xd8, 0xc8, 0x7d, 0xc2, 0x05, 0xa3, 0x79, 0xe3, 0xb7, 0x6d, 0x50, 0xa4, 0xce,
    0x4f, 0x10, 0x29, 0x02, 0xba, 0x76, 0x6a, 0x1e, 0x1f, 0xdd, 0xef, 0xca, 0x3e, 0x08, 0x92,
];

/// Makes the small database files of released versions that are not there yet: `PLINTH_FREEZE=1 cargo test -p
/// plinth-core store::tests::freeze`.
#[test]
fn freeze_small_files() {
    if std::env::var_os("PLINTH_FREEZE").is_none() {
        return;
    }
    for version in 1..=LATEST {
        let path = PathBuf::from(format!(
            "{}/../tests/data/store/version-{version}.plinth",
            env!("CARGO_MANIFEST_DIR")
        ));
        if path.exists() {
            continue;
        }
        let mut db = Connection::open(&path).unwrap();
        migrate::make(&mut db, usize::try_from(version).unwrap()).unwrap();
        let mut ticking = Clock::new(DeviceId::new(0x1111));
        let session =
            SessionFields { begun_at: Some(Time::of(&at(0))), ..SessionFields::default() }.edit(id(900));
        for edit in (0..24).map(|n| set(n, "squat", "80 kg", 5)).chain([session]) {
            let mut entry = Entry::new(edit.id, edit.kind.clone());
            entry.write(&edit, ticking.tick(at(0).wall_ms, None)).unwrap();
            rows::save(&db, &entry).unwrap();
            if version > 1 {
                sums::update(&db, None, &entry).unwrap();
                outbox::add(&db, &entry.id).unwrap();
            }
        }
        if version < 3 {
            db.execute(
                "INSERT INTO floor VALUES (1, ?1, ?2)",
                rusqlite::params!["{\"line\":1}", FLOOR_DIGEST],
            )
            .unwrap();
        } else {
            rows::keep_session(&db, Keep::Whole("{\"line\":1}")).unwrap();
            rows::keep_session(&db, Keep::Step("[]")).unwrap();
        }
        clock::save(&db, &ticking).unwrap();
    }
}
