//! What the fault tests share: counts, a generator with a printed seed, folders that go away, and sets to write.

use plinth_core::moment::Moment;
use plinth_core::record::{
    Edit, Entry, EntryId, Kind, LoadDone, NoteFields, ReserveDone, SetFields, Time, View,
};
use plinth_core::store::{Keep, Opened, Session, Store, StoreError, system_random};
use serde_json::json;
use std::path::{Path, PathBuf};
use std::process::Command;

/// How often a fault is tried: `quick` in the tests of every change, `deep` when `PLINTH_DEEP` is set.
pub fn count(quick: usize, deep: usize) -> usize {
    if std::env::var_os("PLINTH_DEEP").is_some() { deep } else { quick }
}

/// A generator (splitmix64) whose seed is printed, and taken from `PLINTH_SEED` when that is set.
pub struct Dice(u64);

impl Dice {
    /// Seeds it and prints the seed.
    pub fn new(what: &str) -> Self {
        let today = std::time::SystemTime::now()
            .duration_since(std::time::UNIX_EPOCH)
            .map_or(0, |d| d.as_secs() / 86_400);
        let seed = std::env::var("PLINTH_SEED").ok().and_then(|s| s.parse().ok()).unwrap_or(today);
        println!("{what}: seed {seed}");
        Self(seed)
    }

    /// One of a seed that another has drawn, or that is printed elsewhere.
    pub const fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number.
    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.roll() % end.max(1) as u64).unwrap_or(0)
    }
}

/// Bends bytes in one to five places: a bit, the end, a gap, a piece said again, a byte more, or one of the tokens.
pub fn garble(dice: &mut Dice, sound: &[u8], tokens: &[&[u8]]) -> Vec<u8> {
    let mut bytes = sound.to_vec();
    for _ in 0..=dice.below(4) {
        let at = dice.below(bytes.len());
        match dice.below(7) {
            0 if !bytes.is_empty() => bytes[at] ^= 1 << dice.below(8),
            1 => bytes.truncate(at),
            2 => drop(bytes.drain(at..(at + 1 + dice.below(20)).min(bytes.len()))),
            3 => {
                let piece = bytes[at..(at + 1 + dice.below(200)).min(bytes.len())].to_vec();
                let to = dice.below(bytes.len());
                bytes.splice(to..to, piece);
            }
            4 => bytes.insert(at, dice.roll() as u8),
            _ => {
                let end = (at + dice.below(6)).min(bytes.len());
                bytes.splice(at..end, tokens[dice.below(tokens.len())].iter().copied());
            }
        }
    }
    bytes
}

/// A folder that is removed with its contents.
#[derive(Debug)]
pub struct Folder(PathBuf);

impl Folder {
    /// Makes one.
    ///
    /// # Panics
    /// When the temporary folder cannot be written to.
    #[allow(clippy::new_without_default)] // it makes something
    pub fn new() -> Self {
        Self::inside(&std::env::temp_dir())
    }

    /// Makes one in memory where the system has a place for it: for tests that ask nothing of the disk.
    ///
    /// # Panics
    /// As [`Self::new`].
    pub fn in_memory() -> Self {
        let memory = Path::new("/dev/shm");
        if memory.is_dir() { Self::inside(memory) } else { Self::new() }
    }

    #[allow(clippy::expect_used)] // without a folder there is no test
    fn inside(place: &Path) -> Self {
        let mut bits = [0; 8];
        system_random(&mut bits);
        let path = place.join(format!("plinth-faults-{:016x}", u64::from_be_bytes(bits)));
        std::fs::create_dir_all(&path).expect("the temporary folder can be written to");
        Self(path)
    }

    /// A file in it.
    pub fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    /// Removes a record in it, with its log.
    pub fn forget(&self, name: &str) {
        for end in ["", "-wal", "-journal"] {
            let _ = std::fs::remove_file(self.file(&format!("{name}{end}")));
        }
    }

    /// Removes the files in it.
    pub fn empty(&self) {
        for file in std::fs::read_dir(&self.0).into_iter().flatten().flatten() {
            let _ = std::fs::remove_file(file.path());
        }
    }
}

/// Builds the library that makes a write fail, or kills at one (`fail_write.c`), into a folder.
///
/// # Panics
/// When there is no C compiler.
#[cfg(target_os = "linux")]
#[allow(clippy::expect_used)] // without the library there is no test
pub fn failing_library(folder: &Folder) -> PathBuf {
    let library = folder.file("fail_write.so");
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/src/fail_write.c");
    let mut cc = Command::new("cc");
    cc.args(["-shared", "-fPIC", "-O1", "-o"]).arg(&library).arg(source).arg("-ldl");
    assert!(cc.status().expect("cc runs").success(), "the C compiler that builds SQLite builds this");
    library
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Minutes after an invented afternoon.
pub fn at(minutes: i64) -> Moment {
    Moment {
        wall_ms: 1_777_800_000_000 + minutes * 60_000,
        offset_min: 120,
        monotonic_ms: 0,
        boot: "b".into(),
    }
}

/// The id of the nth set.
pub fn set_id(n: u64) -> EntryId {
    EntryId::new(1_777_800_000_000 + n, [1; 10])
}

/// The id of its note, which is written with it.
pub fn note_id(n: u64) -> EntryId {
    EntryId::new(1_777_800_000_000 + n, [2; 10])
}

/// The nth set and a note about it, to be written in one transaction.
pub fn pair(n: u64) -> [Edit; 2] {
    let set = SetFields {
        session: Some(set_id(n / 20)),
        movement: Some(
            ["barbell_back_squat", "barbell_bench_press", "barbell_row"][usize::try_from(n % 3).unwrap_or(0)]
                .into(),
        ),
        load: format!("{}.5 kg", 60 + n % 50).parse().ok().map(|mass| LoadDone::Bar { mass }),
        amount: Some(5),
        reserve: Some(ReserveDone::Reps(u32::try_from(n % 6).unwrap_or(0))),
        ended_at: Some(Time::of(&at(i64::try_from(n).unwrap_or(0) * 3))),
        ..SetFields::default()
    };
    let note =
        NoteFields { about: Some(set_id(n)), text: Some(format!("note {n}")), ..NoteFields::default() };
    [set.edit(set_id(n)), note.edit(note_id(n))]
}

/// Opens a record.
///
/// # Errors
/// As [`Store::open`].
pub fn open(path: &Path) -> Result<Opened, StoreError> {
    Store::open(path, &at(0), &mut system_random)
}

/// Writes the nth pair with the snapshot of the session: whole at every seventh, as a step between them.
///
/// # Errors
/// As [`Store::write`].
pub fn write(store: &mut Store, n: u64) -> Result<Vec<Entry>, StoreError> {
    let text = snapshot(n);
    let keep = if n.is_multiple_of(7) { Keep::Whole(&text) } else { Keep::Step(&text) };
    store.write(&pair(n), Some(keep), &at(0))
}

/// What is kept of the session once the nth pair was written.
pub fn session(n: u64) -> Session {
    let whole = n - n % 7;
    Session { whole: snapshot(whole), steps: (whole + 1..=n).map(snapshot).collect() }
}

/// How many pairs are whole, and that they are the first ones.
///
/// # Panics
/// When a pair is half, or one is missing among them.
pub fn prefix(store: &Store) -> u64 {
    let there = |id: &EntryId| store.entry(id).is_ok_and(|e| e.is_some());
    let mut n = 0;
    while there(&set_id(n)) {
        assert!(there(&note_id(n)), "half a transaction: the set {n} is there without its note");
        n += 1;
    }
    let notes = store.of_kind(&Kind::Note, None, 1_000_000).map_or(0, |notes| notes.len() as u64);
    let all = store.count().unwrap_or(0);
    assert_eq!((notes, all), (n, 2 * n), "not a prefix of what was written");
    n
}

/// The program that writes pairs and says which it has written.
pub fn writer(program: &str, path: &Path, from: u64, many: u64) -> Command {
    let mut command = Command::new(program);
    command.arg("write").arg(path).arg(from.to_string()).arg(many.to_string());
    command
}

/// The snapshot of the floor that goes with the nth pair.
pub fn snapshot(n: u64) -> String {
    json!({ "after": n }).to_string()
}
